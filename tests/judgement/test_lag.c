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
#include "judgement/lag.h"

enum { LEARNER, LIKE_IT, OTHER_SIZE, OTHER_WALL, BED, PLANTS };

#define POT_OF(id, rest)                                                                           \
    "{\"id\":\"" id "\",\"taxon\":\"Citrus limon\",\"place\":\"deck\",\"pot\":{\"depth_mm\":280,"   \
    "\"stands_on\":\"raised\"," rest "}}"
#define GARDEN                                                                                     \
    STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],\"plants\":["                 \
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_side_is_learnt),
        cmocka_unit_test(it_stays_when_the_probe_moves_on),
        cmocka_unit_test(pots_of_a_kind_share_it),
        cmocka_unit_test(it_is_bounded),
        cmocka_unit_test(it_is_packed_by_kind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
