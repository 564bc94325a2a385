/* SPDX-License-Identifier: MIT */
/* What a probe teaches about a pot's side: how near it comes, who shares it, that it stays. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "garden/probe.h"
#include "garden/stage.h"
#include "garden/variants.h"
#include "judgement/fit.h"
#include "judgement/lag.h"

enum { LEARNER, LIKE_IT, OTHER_SIZE, OTHER_WALL, BED, PLANTS };

#define POT_OF(id, rest)                                                                           \
    "{\"id\":\"" id "\",\"taxon\":\"Citrus limon\",\"place\":\"deck\",\"pot\":{\"depth_mm\":280,"   \
    "\"stands_on\":\"raised\"," rest "}}"
#define GARDEN                                                                                     \
    STAGE_SITE "\"places\":[{\"id\":\"shed\",\"kind\":\"indoors\",\"air_c\":15},"              \
    "{\"id\":\"deck\",\"kind\":\"open sky\"}],\"plants\":["                                      \
    POT_OF("one", "\"diameter_mm\":300") "," POT_OF("like", "\"diameter_mm\":310") ","             \
    POT_OF("big", "\"diameter_mm\":500") ","                                                       \
    POT_OF("clay", "\"diameter_mm\":300,\"wall\":\"terracotta\"") ","                              \
    "{\"id\":\"bed\",\"taxon\":\"Citrus limon\",\"place\":\"deck\",\"bed\":{}}]}"

/* Mild days and cool nights, so that nothing freezes. */
static ow_weather at_hour(double h)
{
    ow_weather w = stage_dull(8.0 + 4.0 * cos(6.2832 * (h - 14.0) / 24.0) + 2.0 * sin(0.04 * h), 3.0);
    w.solar_wm2 = fmax(0.0, 150.0 * cos(6.2832 * (h - 12.0) / 24.0));
    return w;
}

typedef struct course {
    stage model;
    ow_scene *truth;
    ow_variants variants;
    ow_lags *lags;
    double hour;
} course;

/* A garden and, beside it, what really stands there: plant LEARNER with another side. */
static void begin(course *c, double side_factor)
{
    c->model = stage_open(GARDEN, 8.0);
    ow_variants_of(c->model.garden, LEARNER, 1, &c->variants);
    c->variants.plant[0].pot.side_factor = side_factor;
    assert_int_equal(ow_scene_new(&c->variants.garden, STAGE_MIDWINTER, STAGE_STEP_S, 8.0, &c->truth),
                     OW_OK);
    assert_int_equal(ow_lags_new(c->model.garden, &c->lags), OW_OK);
    c->hour = 0.0;
}

static void end(course *c)
{
    ow_lags_free(c->lags);
    ow_scene_free(c->truth);
    stage_close(&c->model);
}

static double apart_k(const course *c)
{
    return ow_cast_probe_c(c->truth->cast, 0, false) -
           ow_cast_probe_c(c->model.scene->cast, LEARNER, false);
}

/* Some days, with the probe pulling and teaching or without. Returns the mean of what the model is
 * off by, K. */
static double live(course *c, double days, bool probe)
{
    double sum = 0.0;
    int steps = (int)(days * 48.0);
    for (int i = 0; i < steps; i++) {
        ow_weather w = at_hour(c->hour);
        ow_cast *cast = c->model.scene->cast;
        ow_scene_step(c->truth, &w);
        ow_scene_step(c->model.scene, &w);
        c->hour += 0.5;
        double model_c = ow_cast_probe_c(cast, LEARNER, false), seen_c = model_c + apart_k(c);
        sum += fabs(apart_k(c));
        assert_int_equal(ow_lags_learn(c->lags, c->model.scene, LEARNER, probe ? seen_c : NAN),
                         OW_OK);
        if (probe) {
            ow_cast_warm(cast, LEARNER, false,
                         ow_probe_heat_j_m3(ow_cast_law(cast, LEARNER, false), model_c, seen_c,
                                            STAGE_STEP_S));
        }
        for (int p = 0; p < PLANTS; p++) {
            cast->actor[p].side_factor = ow_lags_factor(c->lags, p);
        }
    }
    return sum / steps;
}

/* Nine days of a probe, in which the truth never strays far from what the probe is trusted to. */
static void a_side_is_learnt(void **state)
{
    (void)state;
    static const double factors[] = {0.5, 1.0, 1.8};
    for (size_t i = 0; i < sizeof factors / sizeof factors[0]; i++) {
        static course c;
        begin(&c, factors[i]);
        (void)live(&c, 9.0, true);
        double got = log(ow_lags_factor(c.lags, LEARNER)), want = log(factors[i]);
        print_message("side %.2f: learnt %.2f\n", factors[i], exp(got));
        check_between("the same way", got * (want < 0.0 ? -1.0 : 1.0), 0.75 * fabs(want) - 0.02,
                      1.1 * fabs(want) + 0.02);
        end(&c);
    }
}

/* Without the probe the model goes on nearer to the truth than one that was never taught. */
static void it_stays_when_the_probe_moves_on(void **state)
{
    (void)state;
    static course taught, plain;
    begin(&taught, 1.8);
    begin(&plain, 1.8);
    (void)live(&taught, 7.0, true);
    double factor = ow_lags_factor(taught.lags, LEARNER);
    (void)live(&plain, 7.0, false);
    double taught_k = live(&taught, 4.0, false), plain_k = live(&plain, 4.0, false);
    print_message("off by %.2f K taught, %.2f K not\n", taught_k, plain_k);
    assert_true(taught_k < 0.8 * plain_k);
    assert_true(ow_lags_factor(taught.lags, LEARNER) == factor);
    end(&taught);
    end(&plain);
}

/* Taught again after the probe was away: what was learnt is of the file's side, not of the side as
 * it was corrected since. */
static void it_is_not_learnt_twice(void **state)
{
    (void)state;
    static course c;
    begin(&c, 1.8);
    (void)live(&c, 8.0, true);
    double once = ow_lags_factor(c.lags, LEARNER);
    (void)live(&c, 0.1, false);
    (void)live(&c, 20.0, true);
    check_close("factor", ow_lags_factor(c.lags, LEARNER) / once, 1.0, 0.05, 0.0);
    end(&c);
}

/* A fleece that goes on while a probe teaches goes on the shadows too: the side learns nothing. */
static void what_it_wears_is_not_its_side(void **state)
{
    (void)state;
    static course c;
    const ow_dress fleece = {.n = 1, .cover = {{.kind = OW_COVER_THICK_FLEECE, .r_m2k_w = NAN,
                                                .on = OW_ZONES_ALL}}};
    begin(&c, 1.0);
    (void)live(&c, 1.0, true);
    c.model.scene->cast->actor[LEARNER].dress = fleece;
    c.truth->cast->actor[0].dress = fleece;
    (void)live(&c, 5.0, true);
    check_close("factor", ow_lags_factor(c.lags, LEARNER), 1.0, 0.02, 0.0);
    end(&c);
}

static void pots_of_a_kind_share_it(void **state)
{
    (void)state;
    static course c;
    begin(&c, 1.8);
    (void)live(&c, 4.0, true);
    double learnt = ow_lags_factor(c.lags, LEARNER);
    assert_true(learnt > 1.05);
    assert_true(ow_lags_factor(c.lags, LIKE_IT) == learnt);
    assert_true(ow_lags_factor(c.lags, OTHER_SIZE) == 1.0);
    assert_true(ow_lags_factor(c.lags, OTHER_WALL) == 1.0);
    assert_true(ow_lags_factor(c.lags, BED) == 1.0);
    assert_string_equal(ow_lags_kind(c.lags, LIKE_IT), ow_lags_kind(c.lags, LEARNER));
    assert_null(ow_lags_kind(c.lags, BED));
    end(&c);
}

/* A broken probe moves it to its bound and no further; beds learn nothing. */
static void it_is_bounded(void **state)
{
    (void)state;
    static course c;
    begin(&c, 1.0);
    for (int i = 0; i < 8 * 48; i++) {
        ow_weather w = at_hour(c.hour += 0.5);
        ow_scene_step(c.model.scene, &w);
        double broken_c = 20.0 - 2.0 * w.air_c;
        assert_int_equal(ow_lags_learn(c.lags, c.model.scene, LEARNER, broken_c), OW_OK);
        assert_int_equal(ow_lags_learn(c.lags, c.model.scene, BED, broken_c), OW_OK);
        check_between("factor", ow_lags_factor(c.lags, LEARNER), 1.0 / OW_LAG_MOST, OW_LAG_MOST);
    }
    assert_true(ow_lags_factor(c.lags, LEARNER) == OW_LAG_MOST);
    assert_true(ow_lags_factor(c.lags, BED) == 1.0);
    end(&c);
}

/* To the bit; of an edited garden what still fits; of broken bytes nothing. */
static void it_is_packed_by_kind(void **state)
{
    (void)state;
    static course c, other;
    begin(&c, 1.8);
    begin(&other, 1.0);
    (void)live(&c, 3.0, true);
    ow_pack out = ow_pack_writing();
    ow_lags_pack(c.lags, &out);
    assert_int_equal(out.status, OW_OK);
    ow_pack in = ow_pack_reading(out.out, out.size);
    ow_lags_pack(other.lags, &in);
    assert_int_equal(in.status, OW_OK);
    assert_int_equal(in.at, in.size);
    assert_true(ow_lags_factor(other.lags, LIKE_IT) == ow_lags_factor(c.lags, LEARNER));
    for (size_t cut = 0; cut < out.size; cut += 7) {
        in = ow_pack_reading(out.out, cut);
        ow_lags_pack(other.lags, &in);
        assert_int_equal(in.status, OW_BAD_INPUT);
    }
    memset(out.out + out.size - 8, 0xFF, 8); /* a NAN in the last kind */
    in = ow_pack_reading(out.out, out.size);
    ow_lags_pack(other.lags, &in);
    assert_true(ow_lags_factor(other.lags, OTHER_WALL) == 1.0);
    ow_pack_free(&out);
    end(&other);
    end(&c);
}

/* A garden of one pot that nobody taught about, and one of the one that somebody did. */
static void what_another_garden_calls_otherwise_is_left(void **state)
{
    (void)state;
    static const char *const pots[] = {"\"diameter_mm\":700", "\"diameter_mm\":305"};
    static course c;
    begin(&c, 1.8);
    (void)live(&c, 3.0, true);
    double learnt = ow_lags_factor(c.lags, LEARNER);
    ow_pack out = ow_pack_writing();
    ow_lags_pack(c.lags, &out);
    for (int i = 0; i < 2; i++) {
        char text[2048];
        snprintf(text, sizeof text,
                 STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
                            "\"plants\":[" POT_OF("one", "%s") "]}",
                 pots[i]);
        ow_garden *g = stage_garden(text);
        ow_lags *lags;
        assert_int_equal(ow_lags_new(g, &lags), OW_OK);
        ow_pack in = ow_pack_reading(out.out, out.size);
        ow_lags_pack(lags, &in);
        assert_int_equal(in.status, OW_OK);
        assert_true(ow_lags_factor(lags, 0) == (i == 0 ? 1.0 : learnt));
        ow_pack own = ow_pack_writing(); /* and its own lessons come back whole */
        ow_lags_pack(lags, &own);
        ow_pack back = ow_pack_reading(own.out, own.size);
        ow_lags_pack(lags, &back);
        assert_true(back.status == OW_OK && back.at == back.size);
        ow_pack_free(&own);
        ow_lags_free(lags);
        ow_garden_free(g);
    }
    ow_pack_free(&out);
    end(&c);
}

/* What somebody else kept counts as it is: of a pot that nobody taught that is nothing. A garden of
 * beds keeps nothing. */
static void what_was_kept_takes_the_place_of_what_is(void **state)
{
    (void)state;
    static course c, untaught;
    begin(&c, 1.8);
    begin(&untaught, 1.0);
    (void)live(&c, 3.0, true);
    assert_true(ow_lags_factor(c.lags, LEARNER) > 1.05);
    ow_pack out = ow_pack_writing();
    ow_lags_pack(untaught.lags, &out);
    ow_pack in = ow_pack_reading(out.out, out.size);
    ow_lags_pack(c.lags, &in);
    assert_true(ow_lags_factor(c.lags, LEARNER) == 1.0);
    ow_pack_free(&out);
    end(&untaught);
    end(&c);
    ow_garden *g = stage_garden(STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
                                           "\"plants\":[{\"id\":\"bed\",\"taxon\":"
                                           "\"Citrus limon\",\"place\":\"deck\",\"bed\":{}}]}");
    ow_lags *lags;
    assert_int_equal(ow_lags_new(g, &lags), OW_OK);
    out = ow_pack_writing();
    ow_lags_pack(lags, &out);
    in = ow_pack_reading(out.out, out.size);
    ow_lags_pack(lags, &in);
    assert_true(out.status == OW_OK && in.status == OW_OK && in.at == in.size);
    ow_pack_free(&out);
    ow_lags_free(lags);
    ow_garden_free(g);
}

/* ---- which hours teach ----------------------------------------------------------------------- */

/* What a pack holds of a kind: products of side and probe, and of both with the residual. */
typedef struct sums {
    double side_side, side_probe, probe_probe, side, probe;
} sums;

static sums sums_of(ow_lags *lags, const char *kind)
{
    sums found = {NAN, NAN, NAN, NAN, NAN};
    ow_pack out = ow_pack_writing();
    ow_lags_pack(lags, &out);
    ow_pack in = ow_pack_reading(out.out, out.size);
    int kinds = 0;
    ow_pack_int(&in, &kinds, 0, 100);
    for (int i = 0; i < kinds; i++) {
        char name[120];
        sums s;
        ow_pack_text(&in, name, sizeof name);
        ow_pack_doubles(&in, &s.side_side, 5);
        found = strcmp(name, kind) == 0 ? s : found;
    }
    assert_int_equal(in.status, OW_OK);
    ow_pack_free(&out);
    return found;
}

/* The most likely side, of the tables' spread, beside a probe's error, of 0.3 K: two equations with
 * two unknowns, solved by Cramer's rule. */
static void the_side_is_the_likeliest(void **state)
{
    (void)state;
    static course c;
    begin(&c, 1.5);
    for (int day = 1; day <= 3; day++) {
        (void)live(&c, 1.0, true);
        sums s = sums_of(c.lags, ow_lags_kind(c.lags, LEARNER));
        double a = s.side_side + pow(ow_fit_spread(OW_FIT_SIDE), -2.0), b = s.side_probe;
        double d = s.probe_probe + 1.0 / (0.3 * 0.3);
        double want = (s.side * d - b * s.probe) / (a * d - b * b);
        assert_true(fabs(s.side_probe) > 1e-3 && fabs(want) > 1e-3);
        check_close("factor", ow_lags_factor(c.lags, LEARNER), exp(want), 1e-9, 0.0);
    }
    end(&c);
}

/* One plant's lessons so far. */
typedef struct pupil {
    bool lives, follows;
    double began_h, before_k;
} pupil;

/*
 * A row of weight 1 for the probe's own error, with noise of 0.15 K a half hour that remembers
 * 0.95: the first of a row of lessons counts with all of its variance, one that follows with what
 * is new over the one before of the same probe. What was learnt fades by 0.98 a day. A lesson needs
 * the dark, a thawed ball and a probe at 1 C or more, twelve hours after the shadows began; they
 * begin anew after the probe was away. Two pots of a kind, whose bodies nobody pulls, teach it
 * together.
 */
static void only_dark_and_settled_hours_teach(void **state)
{
    (void)state;
    static course c;
    static const double seen_c[] = {[LEARNER] = 1.0, [LIKE_IT] = 9.0};
    pupil pupils[2] = {{.lives = false}};
    double products = 0.0, residuals = 0.0;
    int lessons = 0, firsts = 0;
    begin(&c, 1.0);
    const char *kind = ow_lags_kind(c.lags, LEARNER);
    for (int i = 0; i < 5 * 48; i++) {
        ow_weather w = at_hour(c.hour);
        c.hour += 0.5;
        ow_scene_step(c.model.scene, &w);
        bool silent = c.hour > 80.0 && c.hour <= 81.0, cold = c.hour > 50.0 && c.hour <= 51.5;
        bool reads = !silent && !cold;
        for (int p = LEARNER; p <= LIKE_IT; p++) {
            pupil *is = &pupils[p];
            double probe_c = silent ? NAN : cold ? 0.99 : seen_c[p];
            assert_int_equal(ow_lags_learn(c.lags, c.model.scene, p, probe_c), OW_OK);
            double miss_k = probe_c - ow_cast_probe_c(c.model.scene->cast, p, false);
            bool dark = c.model.scene->cast->actor[p].sense.sun_wm2 < 2.0;
            bool teaches = is->lives && reads && dark && c.hour - is->began_h >= 12.0;
            if (teaches) {
                double first = sqrt(1.0 - 0.95 * 0.95);
                double row = (is->follows ? 0.05 : first) / 0.15;
                double e = (is->follows ? miss_k - 0.95 * is->before_k : first * miss_k) / 0.15;
                products = products * (1.0 - 0.02 / 48.0) + row * row;
                residuals = residuals * (1.0 - 0.02 / 48.0) + row * e;
                lessons++;
                firsts += !is->follows;
            }
            is->began_h = !is->lives && reads ? c.hour : is->began_h;
            is->lives = reads;
            is->follows = teaches;
            is->before_k = miss_k;
        }
        check_close("of the probe", sums_of(c.lags, kind).probe_probe, products, 1e-9, 1e-9);
        check_close("and what it read", sums_of(c.lags, kind).probe, residuals, 1e-6, 1e-6);
    }
    assert_in_range(lessons, 100, 2 * (5 * 48 - 50));
    assert_in_range(firsts, 8, 18);
    end(&c);
}

/* A ball that holds ice teaches nothing, and no shadow begins in it. */
static void ice_teaches_nothing(void **state)
{
    (void)state;
    static course c;
    begin(&c, 1.0);
    for (int i = 0; i < 4 * 48; i++) {
        ow_weather w = stage_dull(-8.0, 3.0);
        ow_scene_step(c.model.scene, &w);
        assert_int_equal(ow_lags_learn(c.lags, c.model.scene, LEARNER, 5.0), OW_OK);
    }
    double before = sums_of(c.lags, ow_lags_kind(c.lags, LEARNER)).probe_probe;
    assert_true(c.model.scene->cast->actor[LEARNER].sense.root.ice_share > 0.0);
    for (int i = 0; i < 48; i++) {
        ow_weather w = stage_dull(-1.0, 3.0);
        ow_scene_step(c.model.scene, &w);
        assert_int_equal(ow_lags_learn(c.lags, c.model.scene, LEARNER, 5.0), OW_OK);
    }
    assert_true(sums_of(c.lags, ow_lags_kind(c.lags, LEARNER)).probe_probe == before);
    end(&c);
}

/* ---- kinds ----------------------------------------------------------------------------------- */

/* Sizes go in steps of the square root of two: 100, 141, 200 mm and so on, each to its middle. */
static void kinds_are_told_in_words(void **state)
{
    (void)state;
    static const struct {
        const char *pot, *kind;
    } cases[] = {
        {"\"diameter_mm\":100", "plastic, peat-free mix, about 100 mm"},
        {"\"diameter_mm\":118", "plastic, peat-free mix, about 100 mm"},
        {"\"diameter_mm\":120", "plastic, peat-free mix, about 141 mm"},
        {"\"diameter_mm\":84.5", "plastic, peat-free mix, about 100 mm"},
        {"\"diameter_mm\":83", "plastic, peat-free mix, about 71 mm"},
        {"\"diameter_mm\":400,\"wall\":\"terracotta\",\"medium\":\"loam mix\"",
         "terracotta, loam mix, about 400 mm"},
        {"\"diameter_mm\":200,\"side_factor\":1.25",
         "plastic, peat-free mix, about 200 mm, side_factor 1.25"},
        {"\"diameter_mm\":200,\"wall\":{\"r_m2k_w\":0.05}",
         "a wall of 0.050 m2K/W, peat-free mix, about 200 mm"},
        {"\"diameter_mm\":200,\"medium\":{\"thawed_w_mk\":0.5,\"frozen_w_mk\":0.9,"
         "\"thawed_j_m3k\":2e6,\"frozen_j_m3k\":1.5e6,\"water_fraction\":0.3,"
         "\"freezing_c\":-0.1,\"curve_exponent\":0.7}",
         "plastic, a medium of 0.50 W/mK, about 200 mm"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[2048];
        snprintf(text, sizeof text,
                 STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
                            "\"plants\":[{\"id\":\"bed\",\"taxon\":\"Citrus limon\","
                            "\"place\":\"deck\",\"bed\":{}}," POT_OF("one", "%s") "]}",
                 cases[i].pot);
        ow_garden *g = stage_garden(text);
        ow_lags *lags;
        assert_int_equal(ow_lags_new(g, &lags), OW_OK);
        assert_null(ow_lags_kind(lags, 0));
        assert_string_equal(ow_lags_kind(lags, 1), cases[i].kind);
        ow_lags_free(lags);
        ow_garden_free(g);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_side_is_learnt),
        cmocka_unit_test(it_stays_when_the_probe_moves_on),
        cmocka_unit_test(it_is_not_learnt_twice),
        cmocka_unit_test(what_it_wears_is_not_its_side),
        cmocka_unit_test(pots_of_a_kind_share_it),
        cmocka_unit_test(it_is_bounded),
        cmocka_unit_test(it_is_packed_by_kind),
        cmocka_unit_test(what_another_garden_calls_otherwise_is_left),
        cmocka_unit_test(what_was_kept_takes_the_place_of_what_is),
        cmocka_unit_test(the_side_is_the_likeliest),
        cmocka_unit_test(only_dark_and_settled_hours_teach),
        cmocka_unit_test(ice_teaches_nothing),
        cmocka_unit_test(kinds_are_told_in_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
