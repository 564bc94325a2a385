/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>

#include "garden/stage.h"
#include "physics/materials.h"

/* A pot, a bed and a trunk in a bed, and things that go on them. */
static const char three_text[] =
    STAGE_SITE
    "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"},"
    "{\"id\":\"porch\",\"kind\":\"under eaves\"}],"
    "\"covers\":[{\"id\":\"fleece\",\"kind\":\"fleece\",\"count\":9}],"
    "\"plants\":["
    "{\"id\":\"pot\",\"place\":\"deck\"," STAGE_LIMITS ",\"covers\":[\"fleece\"],"
    "\"pot\":{\"diameter_mm\":300,\"depth_mm\":280,\"stands_on\":\"tray of water\","
    "\"tray_mm\":30}},"
    "{\"id\":\"bed\",\"place\":\"deck\"," STAGE_LIMITS ",\"bed\":{\"organ_depth_mm\":150}},"
    "{\"id\":\"fern\",\"place\":\"deck\"," STAGE_LIMITS ",\"bed\":{},"
    "\"trunk\":{\"diameter_mm\":220,\"height_mm\":900,\"growing_point_mm\":40}}]}";

enum { POT, BED, FERN, PLANTS };
enum { DECK, PORCH, PLACES };

/* A night and a day as it might be, changing from step to step. */
static ow_weather weather_at(int step)
{
    ow_weather w = stage_clear_night(-3.0 - 5.0 * sin(step / 7.0), 1.0 + step % 5);
    w.solar_wm2 = fmax(0.0, 300.0 * sin(step / 11.0));
    w.rain_mm = step % 17 == 0 ? 1.0 : 0.0;
    return w;
}

static void spots_at(const ow_garden *g, int step, ow_spot spots[PLACES])
{
    ow_weather w = weather_at(step);
    ow_outdoors out = {.weather = w,
                       .sky = ow_sky_of(&w, &g->site, STAGE_MIDWINTER + step * STAGE_STEP_S, NAN),
                       .wall_c = 0.0,
                       .ground_c = 3.0};
    ow_spot_outdoors(&g->places[0], &out, &spots[DECK]);
    ow_spot_outdoors(&g->places[1], &out, &spots[PORCH]);
}

static ow_cast *cast_of(const ow_garden *g, const int *plant, int n)
{
    double *start = calloc((size_t)n, sizeof *start);
    assert_non_null(start);
    for (int i = 0; i < n; i++) {
        start[i] = 4.0;
    }
    ow_cast *cast = NULL;
    assert_int_equal(ow_cast_new(g, plant, n, start, STAGE_MIDWINTER, &cast), OW_OK);
    free(start);
    return cast;
}

static void run(ow_cast *cast, int from, int to)
{
    for (int i = from; i < to; i++) {
        ow_spot spots[PLACES];
        spots_at(cast->garden, i, spots);
        ow_cast_step(cast, spots, STAGE_MIDWINTER + i * STAGE_STEP_S, STAGE_STEP_S);
    }
}

/* Every cell of the bodies, the tray and what was sensed and noted: the same bits. */
static void check_same(const ow_cast *one, int i, const ow_cast *other, int k)
{
    const ow_actor *a = &one->actor[i], *b = &other->actor[k];
    const int grid = ow_root_grid(&one->garden->plants[a->plant]);
    const ow_block *x = &one->block[grid][a->root.block], *y = &other->block[grid][b->root.block];
    for (int cell = 0; cell < x->grid.nr * x->grid.nz; cell++) {
        double p = ow_block_h(x, a->root.lane, cell), q = ow_block_h(y, b->root.lane, cell);
        assert_memory_equal(&p, &q, sizeof p);
    }
    if (a->trunk.block >= 0) {
        x = &one->block[OW_BODY_TRUNK][a->trunk.block];
        y = &other->block[OW_BODY_TRUNK][b->trunk.block];
        for (int cell = 0; cell < x->grid.nr * x->grid.nz; cell++) {
            double p = ow_block_h(x, a->trunk.lane, cell), q = ow_block_h(y, b->trunk.lane, cell);
            assert_memory_equal(&p, &q, sizeof p);
        }
    }
    assert_memory_equal(&a->tray.j_m2, &b->tray.j_m2, sizeof a->tray.j_m2);
    assert_memory_equal(&a->sense, &b->sense, sizeof a->sense);
    assert_memory_equal(&a->condition.drought.clock_s, &b->condition.drought.clock_s,
                        sizeof(double));
    assert_memory_equal(&a->condition.hardening.mean_c, &b->condition.hardening.mean_c,
                        sizeof(double));
}

static void company_changes_no_bit(void **state)
{
    (void)state;
    enum { MANY = 40, STEPS = 96 };
    ow_garden *g = stage_garden(three_text);
    int many[MANY * PLANTS];
    for (int i = 0; i < MANY * PLANTS; i++) {
        many[i] = i % PLANTS;
    }
    ow_cast *crowd = cast_of(g, many, MANY * PLANTS);
    assert_int_equal(crowd->blocks[OW_BODY_POT], 3);
    assert_int_equal(crowd->blocks[OW_BODY_BED], 5);
    assert_int_equal(crowd->blocks[OW_BODY_TRUNK], 3);
    for (int i = PLANTS; i < MANY * PLANTS; i += 2) { /* neighbours that fare otherwise */
        crowd->actor[i].place = i % 3 ? PORCH : DECK;
        assert_int_equal(ow_dress_add(&crowd->actor[i].dress, g, 0), OW_OK);
    }
    int last = MANY * PLANTS - PLANTS; /* the last three stand where the lone ones do */
    for (int i = last; i < MANY * PLANTS; i++) {
        crowd->actor[i].place = DECK;
        crowd->actor[i].dress.n = 0;
    }
    run(crowd, 0, STEPS);
    for (int plant = 0; plant < PLANTS; plant++) {
        ow_cast *alone = cast_of(g, &plant, 1);
        run(alone, 0, STEPS);
        check_same(alone, 0, crowd, plant);
        check_same(alone, 0, crowd, last + plant);
        ow_cast_free(alone);
    }
    ow_cast_free(crowd);
    ow_garden_free(g);
}

static void a_copy_goes_on_alike(void **state)
{
    (void)state;
    ow_garden *g = stage_garden(three_text);
    const int all[] = {POT, BED, FERN}, back[] = {FERN, POT, BED, POT};
    ow_cast *one = cast_of(g, all, 3), *other = cast_of(g, back, 4);
    assert_int_equal(ow_dress_add(&one->actor[POT].dress, g, 0), OW_OK);
    run(one, 0, 51); /* an odd count: the order of the sweeps must go along */
    run(other, 0, 20);
    ow_cast_copy(other, 0, one, FERN);
    ow_cast_copy(other, 1, one, POT);
    ow_cast_copy(other, 2, one, BED);
    assert_int_equal(other->actor[1].root.lane, 0);
    run(one, 51, 120);
    run(other, 51, 120);
    check_same(one, FERN, other, 0);
    check_same(one, POT, other, 1);
    check_same(one, BED, other, 2);
    ow_cast_free(one);
    ow_cast_free(other);
    ow_garden_free(g);
}

static void parts_are_sensed_where_they_are(void **state)
{
    (void)state;
    ow_garden *g = stage_garden(three_text);
    const int all[] = {POT, BED, FERN};
    ow_cast *cast = cast_of(g, all, 3);
    run(cast, 0, 30);
    const ow_sense *pot = &cast->actor[POT].sense, *bed = &cast->actor[BED].sense;
    assert_true(isnan(pot->part_c[OW_BUDS])); /* no limit, no buds to mind */
    check_close("roots are the coldest", pot->part_c[OW_ROOTS], pot->root.coldest_c, 0, 0);
    check_close("bulb at 15 cm", bed->part_c[OW_STORAGE_ORGAN], ow_cast_bed_c(cast, BED, 0.15), 0,
                0);
    assert_true(isnan(ow_cast_bed_c(cast, POT, 0.1)));
    const ow_lane at = cast->actor[FERN].trunk;
    check_close("crown of the fern", cast->actor[FERN].sense.part_c[OW_GROWING_POINT],
                ow_block_axis_c(&cast->block[OW_BODY_TRUNK][at.block], at.lane, 0.04), 0, 0);
    ow_cast_free(cast);
    ow_garden_free(g);
}

static void a_bed_starts_at_the_surface_and_ends_at_the_season(void **state)
{
    (void)state;
    ow_garden *g = stage_garden(three_text);
    const int bed = BED;
    ow_cast *cast = cast_of(g, &bed, 1);
    check_close("top", ow_cast_bed_c(cast, 0, 0.0), 4.0, 0.3, 0);
    double before = -INFINITY;
    for (double z = 0.0; z < 1.9; z += 0.1) { /* midwinter: warmer with depth */
        double c = ow_cast_bed_c(cast, 0, z);
        assert_true(c >= before - 1e-6);
        before = c;
    }
    check_between("deep", before, 5.0, 12.0);
    ow_cast_free(cast);
    ow_garden_free(g);
}

static void a_stated_start_is_uniform(void **state)
{
    (void)state;
    ow_garden *g = stage_garden(
        STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
                   "\"plants\":[{\"id\":\"bed\",\"place\":\"deck\",\"start_c\":7," STAGE_LIMITS
                   ",\"bed\":{}}]}");
    const int bed = 0;
    ow_cast *cast = cast_of(g, &bed, 1);
    for (double z = 0.0; z < 2.0; z += 0.25) {
        check_close("everywhere", ow_cast_bed_c(cast, 0, z), 7.0, 1e-4, 0);
    }
    ow_cast_free(cast);
    ow_garden_free(g);
}

static void air_feels_the_bodies_in_it(void **state)
{
    (void)state;
    ow_garden *g = stage_garden(three_text);
    const int all[] = {POT, BED, FERN};
    ow_cast *cast = cast_of(g, all, 3);
    ow_spot spots[PLACES];
    double w_k, w, none_w_k, none_w;
    spots_at(g, 0, spots);
    ow_cast_exchange(cast, DECK, &w_k, &w);
    check_close("insulated before they are faced", w_k, 0.0, 0, 0);
    ow_cast_face(cast, spots, STAGE_MIDWINTER);
    ow_cast_exchange(cast, DECK, &w_k, &w);
    ow_cast_exchange(cast, PORCH, &none_w_k, &none_w);
    assert_true(w_k > 0.5 && w_k < 50.0);
    check_close("all of them at 4 C", w / w_k, 4.0, 1e-3, 0);
    check_close("nobody there", none_w_k, 0.0, 0, 0);
    ow_cast_free(cast);
    ow_garden_free(g);
}

/* ---- a trunk ---- */

#define TRUNK(id, mm, high, point)                                                                 \
    "{\"id\":\"" id "\",\"place\":\"bench\",\"start_c\":4," STAGE_LIMITS ",\"bed\":{},"            \
    "\"trunk\":{\"diameter_mm\":" mm ",\"height_mm\":" high ",\"growing_point_mm\":" point "}}"

/*
 * Far from its ends a trunk is an infinite cylinder: case C12 of the reference pots (1-D radial,
 * 400 cells, CVODE): radius 0.15 m, from 4 C into -8 C behind 15 W/m2K; half frozen after
 * 21.8376 h, axis below -1 C after 59.6401 h.
 */
static void a_trunk_far_from_its_ends_is_a_cylinder(void **state)
{
    (void)state;
    const ow_medium wood = {.thawed_w_mk = 0.35, .frozen_w_mk = 0.5, .thawed_j_m3k = 2.4e6,
                            .frozen_j_m3k = 1.8e6, .latent_j_m3 = 1.002e8, .freezing_c = -0.3,
                            .curve_exponent = 0.7};
    enum { NR = 6, NZ = 12, MIDDLE = 8 }; /* the row whose middle is nearest to half way */
    stage s = stage_open(
        STAGE_SITE "\"places\":[{\"id\":\"bench\",\"kind\":\"open sky\",\"film_w_m2k\":15}],"
                   "\"plants\":[" TRUNK("trunk", "300", "1000", "40") "]}", 4.0);
    const ow_lane at = stage_actor(&s, 0)->trunk;
    ow_block *b = &s.scene->cast->block[OW_BODY_TRUNK][at.block];
    double r[NR + 1], z[NZ + 1];
    ow_law law;
    assert_int_equal(ow_law_of_medium(&wood, OW_HINGES, &law), OW_OK);
    ow_spread_faces(0.15, NR, 1.2, OW_FINE_END, r);
    ow_spread_faces(1.0, NZ, 1.25, OW_FINE_START, z);
    ow_body body = {.r_face_m = r, .z_face_m = z, .law = &law, .start_c = 4.0};
    assert_int_equal(ow_block_put(b, at.lane, &body), OW_OK);
    ow_weather w = stage_dull(-8.0, 3.0);
    double half_h = NAN, axis_h = NAN, before = 0.0;
    for (int step = 1; step <= 150; step++) {
        ow_scene_step(s.scene, &w);
        double ice = 0.0, area = 0.0;
        for (int i = 0; i < NR; i++) {
            double ring = r[i + 1] * r[i + 1] - r[i] * r[i];
            ice += ring * ow_law_ice(&law, ow_block_h(b, at.lane, MIDDLE * NR + i));
            area += ring;
        }
        ice /= area;
        if (isnan(half_h) && ice >= 0.5) {
            half_h = 0.5 * (step - (ice - 0.5) / (ice - before));
        }
        if (isnan(axis_h) && ow_block_t(b, at.lane, MIDDLE * NR) < -1.0) {
            axis_h = 0.5 * step;
        }
        before = ice;
    }
    check_close("half frozen, h", half_h, 21.8376, 0.0, 0.03);
    check_close("axis below -1 C, h", axis_h, 59.6401, 0.0, 0.08);
    stage_close(&s);
}

/* A bigger trunk's growing point lags longer: common practice, no source. */
static void a_bigger_trunk_lags_longer(void **state)
{
    (void)state;
    stage s = stage_open(STAGE_SITE "\"places\":[{\"id\":\"bench\",\"kind\":\"open sky\"}],"
                                    "\"plants\":[" TRUNK("thin", "120", "900", "60") ","
                                    TRUNK("thick", "240", "900", "60") ","
                                    TRUNK("stout", "480", "900", "60") "]}", 4.0);
    ow_weather w = stage_dull(-8.0, 2.0);
    double frozen_h[3] = {NAN, NAN, NAN};
    for (int step = 1; step <= 400; step++) {
        ow_scene_step(s.scene, &w);
        for (int i = 0; i < 3; i++) {
            bool cold = stage_actor(&s, i)->sense.part_c[OW_GROWING_POINT] < -2.0;
            frozen_h[i] = isnan(frozen_h[i]) && cold ? 0.5 * step : frozen_h[i];
        }
    }
    assert_true(frozen_h[0] < 0.85 * frozen_h[1]);
    assert_true(frozen_h[1] < frozen_h[2]);
    stage_close(&s);
}

static void a_deeper_growing_point_lags_longer(void **state)
{
    (void)state;
    stage s = stage_open(STAGE_SITE "\"places\":[{\"id\":\"bench\",\"kind\":\"open sky\"}],"
                                    "\"plants\":[" TRUNK("shallow", "240", "900", "20") ","
                                    TRUNK("deep", "240", "900", "120") "]}", 4.0);
    ow_weather w = stage_clear_night(-6.0, 1.0);
    stage_run(&s, &w, 12.0);
    assert_true(stage_actor(&s, 0)->sense.part_c[OW_GROWING_POINT] + 0.5 <
                stage_actor(&s, 1)->sense.part_c[OW_GROWING_POINT]);
    stage_close(&s);
}

/* A small pot takes its step in four parts, a large one in one. */
static void small_pots_are_stepped_in_parts(void **state)
{
    (void)state;
    static const struct {
        int plant, grid, dt_s, parts;
    } rows[] = {{0, OW_BODY_SMALL_POT, 1800, 4},
                {0, OW_BODY_SMALL_POT, 3600, 4},
                {1, OW_BODY_POT, 1800, 1},
                {1, OW_BODY_POT, 3600, 1}};
    ow_garden *g = stage_garden(
        STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"},"
                   "{\"id\":\"porch\",\"kind\":\"under eaves\"}],\"plants\":["
                   "{\"id\":\"small\",\"place\":\"deck\"," STAGE_LIMITS
                   ",\"pot\":{\"diameter_mm\":110,\"depth_mm\":100}},"
                   "{\"id\":\"large\",\"place\":\"deck\"," STAGE_LIMITS
                   ",\"pot\":{\"diameter_mm\":300,\"depth_mm\":280}}]}");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ow_cast *whole = cast_of(g, &rows[i].plant, 1), *cut = cast_of(g, &rows[i].plant, 1);
        ow_block *b = &cut->block[rows[i].grid][0];
        ow_spot spots[PLACES];
        spots_at(g, 0, spots);
        ow_cast_face(cut, spots, STAGE_MIDWINTER);
        ow_block_step_in(b, rows[i].parts, rows[i].dt_s,
                         (uint64_t)(STAGE_MIDWINTER / rows[i].dt_s));
        ow_cast_step(whole, spots, STAGE_MIDWINTER, rows[i].dt_s);
        for (int cell = 0; cell < b->grid.nr * b->grid.nz; cell++) {
            double got = ow_block_h(&whole->block[rows[i].grid][0], 0, cell);
            check_close("heat of a cell", got, ow_block_h(b, 0, cell), 0, 0);
        }
        ow_cast_free(whole);
        ow_cast_free(cut);
    }
    ow_garden_free(g);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(company_changes_no_bit),
        cmocka_unit_test(a_copy_goes_on_alike),
        cmocka_unit_test(parts_are_sensed_where_they_are),
        cmocka_unit_test(a_bed_starts_at_the_surface_and_ends_at_the_season),
        cmocka_unit_test(a_stated_start_is_uniform),
        cmocka_unit_test(air_feels_the_bodies_in_it),
        cmocka_unit_test(a_trunk_far_from_its_ends_is_a_cylinder),
        cmocka_unit_test(a_bigger_trunk_lags_longer),
        cmocka_unit_test(a_deeper_growing_point_lags_longer),
        cmocka_unit_test(small_pots_are_stepped_in_parts),
    };
    return cmocka_run_group_tests_name("cast", tests, NULL, NULL);
}
