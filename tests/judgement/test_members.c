/* SPDX-License-Identifier: MIT */
/* What an ensemble's members take for their weather, and what their fates come to, by hand. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>

#include "garden/forecast_error.h"
#include "judgement/stage.h"

#define ONE                                                                                        \
    "'places':[" YARD_PLAIN_DECK ",{'id':'wall','kind':'wall','faces_deg':180}],"                  \
    "'plants':[{'id':'bay'," YARD_LEAVES ",'place':'deck'," YARD_POT "}]"

#define ROOTS "'limits':{'roots':{'damaged_c':-2}}"
#define ONE_AND_A_BED                                                                              \
    "'places':[" YARD_PLAIN_DECK "],'plants':[{'id':'bay'," ROOTS ",'place':'deck'," YARD_POT      \
    "},{'id':'bed'," ROOTS ",'place':'deck','bed':{}}]"
#define TWO_HOUSES                                                                                 \
    "'places':[{'id':'one','kind':'glasshouse','floor_m2':6,'glazing_m2':18}," YARD_PLAIN_DECK     \
    ",{'id':'two','kind':'glasshouse','floor_m2':2,'glazing_m2':9,'air_changes_per_h':3}],"        \
    "'plants':[{'id':'bay'," ROOTS ",'place':'one'," YARD_POT "}]"

/* ---- weather --------------------------------------------------------------------------------- */

/* Four steps of an hour under a steady forecast, one after the other. */
typedef struct look {
    yard y;
    ow_ensemble *e;
} look;

static look begin_in(const char *garden, const ow_weather *w, double hours, ow_spread spread)
{
    look l = {.y = yard_open(garden, 1.0)};
    for (int i = 0; i <= 2 * (int)hours; i++) {
        ow_weather_at row = {.utc_s = l.y.on.scene->now_s + i * STAGE_STEP_S, .weather = *w};
        assert_int_equal(ow_forcing_add(&l.y.ahead, &row, 1), OW_OK);
    }
    assert_int_equal(ow_ensemble_new(l.y.on.scene, &l.e), OW_OK);
    assert_int_equal(l.e->step_s, 3600); /* two of the scene's */
    assert_int_equal(ow_ensemble_begin(l.e, l.y.on.scene, &l.y.ahead, hours, spread), OW_OK);
    return l;
}

static look begin(const ow_weather *w, double hours, ow_spread spread)
{
    return begin_in(ONE, w, hours, spread);
}

static void end(look *l)
{
    ow_ensemble_free(l->e);
    yard_close(&l->y);
}

/* The three errors as they wander: seeds of their own, and forgotten to 1/e in twelve hours; that of
 * the air in a smooth course, whose root is taken twice in that time. */
typedef struct errors {
    ow_drift air;
    double wind[OW_MEMBERS], sky[OW_MEMBERS];
} errors;

static void wander(errors *e, int step)
{
    double keeps = exp(-1.0 / 12.0);
    ow_draw_drift(1, step, keeps * keeps, &e->air);
    ow_draw_wander(2, step, keeps, e->wind);
    ow_draw_wander(3, step, keeps, e->sky);
}

/* Air off by the skill of its lead, wind by three tenths in logarithms, the sky by 15 W/m2 and by
 * what warmer air sends (0.85 of a black body's change with temperature), cloud by 25 %. */
static void each_member_is_off_by_its_errors(void **state)
{
    (void)state;
    static const double SIGMA = 5.670374419e-8;
    for (int told = 0; told < 2; told++) {
        ow_weather w = stage_dull(-2.0, told ? 3.0 : NAN);
        w.cloud_pct = told ? 80.0 : NAN;
        look l = begin(&w, 4.0, (ow_spread){.weather = true});
        errors off;
        double mean_wind_ms = told ? 3.0 : 2.0, wall_c[OW_MEMBERS];
        bool shut = false;
        for (int k = 0; k < 4; k++) {
            wander(&off, k);
            assert_false(ow_ensemble_some(l.e, &l.y.ahead, 1));
            double sd_k = ow_forecast_error_sd_k(NULL, k + 0.5);
            assert_memory_equal(&l.e->out[k * OW_MEMBERS], &l.e->lead->outdoors,
                                sizeof l.e->out[0]); /* the first is the forecast's own */
            for (int m = 0; m < OW_MEMBERS; m++) {
                const ow_weather *got = &l.e->out[k * OW_MEMBERS + m].weather;
                double before_c = k > 0 ? wall_c[m] : l.y.on.scene->outdoors.wall_c;
                wall_c[m] = l.e->out[k * OW_MEMBERS + m].wall_c;
                check_close("wall", wall_c[m],
                            m > 0 ? ow_scene_wall_c(l.e->lead, before_c, got->air_c)
                                  : l.e->lead->outdoors.wall_c,
                            1e-12, 0.0);
                double off_k = sd_k * off.air.at[m];
                check_close("air", got->air_c, -2.0 + off_k, 1e-9, 0.0);
                check_close("sky", got->longwave_wm2,
                            w.longwave_wm2 + 15.0 * off.sky[m] +
                                off_k * 0.85 * 4.0 * SIGMA * pow(271.15, 3.0),
                            1e-6, 0.0);
                if (m > 0 || told) {
                    check_close("wind", got->wind_ms, mean_wind_ms * exp(0.3 * off.wind[m]), 1e-9,
                                0.0);
                }
                double cloud_pct = fmin(fmax(80.0 + 25.0 * off.sky[m], 0.0), 100.0);
                shut = shut || cloud_pct == 100.0;
                if (told) {
                    check_close("cloud", got->cloud_pct, cloud_pct, 1e-9, 0.0);
                } else {
                    assert_true(isnan(got->cloud_pct));
                }
            }
        }
        assert_true(shut);
        end(&l);
    }
}

/* A sky that nobody tells is guessed at half shut, 25 % off either way: the clearer, the colder. */
static void a_sky_that_is_not_told_is_guessed(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 3.0);
    w.longwave_wm2 = NAN;
    look l = begin(&w, 1.0, (ow_spread){.weather = true});
    errors off;
    wander(&off, 0);
    assert_false(ow_ensemble_some(l.e, &l.y.ahead, 1));
    ow_utc_s mid_s = l.y.on.scene->now_s + 1800;
    for (int m = 1; m < OW_MEMBERS; m++) {
        const ow_outdoors *o = &l.e->out[m];
        double guess = fmin(fmax(50.0 + 25.0 * off.sky[m], 0.0), 100.0);
        ow_sky want = ow_sky_of(&o->weather, &l.y.on.garden->site, mid_s, guess);
        assert_memory_equal(&o->sky, &want, sizeof want);
        check_close("wall", o->wall_c,
                    ow_scene_wall_c(l.e->lead, l.y.on.scene->outdoors.wall_c, o->weather.air_c),
                    1e-12, 0.0);
    }
    end(&l);
}

/* Beyond the end of what is known the spread stays as it is there. */
static void the_spread_stays_beyond_the_horizon(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 3.0);
    ow_forecast_skill skill;
    ow_forecast_skill_init(&skill);
    skill.horizon_h = 2.0;
    look l = begin(&w, 5.0, (ow_spread){.weather = true, .skill = &skill});
    errors off;
    for (int k = 0; k < 5; k++) {
        wander(&off, k);
        assert_false(ow_ensemble_some(l.e, &l.y.ahead, 1));
        double sd_k = ow_forecast_error_sd_k(&skill, fmin(k + 0.5, 2.0));
        for (int m = 0; m < OW_MEMBERS; m++) {
            check_close("air", l.e->out[k * OW_MEMBERS + m].weather.air_c, -2.0 + sd_k * off.air.at[m],
                        1e-9, 0.0);
        }
    }
    end(&l);
}

#define WARMED                                                                                     \
    "'outputs':[{'id':'heater','kind':'heater','place':'two','topic':'p','on':'on','off':'off',"   \
    "'watts':600,'keep_air_above_c':3,'off_by_itself_s':600,'cautions_read':true}],"

/* The second house's heater would keep it at 6 C (three more than it does) and all but gets there:
 * its air goes on from its own warmer air, in each member and with its panes; the first house has
 * none. */
static void a_heated_house_has_a_warmer_air_beside(void **state)
{
    (void)state;
    static const int houses[] = {0, 2};
    ow_weather w = stage_dull(-6.0, 3.0);
    look l = begin_in(WARMED TWO_HOUSES, &w, 4.0, (ow_spread){.weather = true, .materials = true});
    double before_c[OW_MEMBERS], panes[OW_MEMBERS];
    ow_draw_glazing("two", panes);
    for (int m = 0; m < OW_MEMBERS; m++) {
        before_c[m] = l.y.on.scene->glass[2].air_c;
    }
    for (int k = 0; k < 4; k++) {
        assert_false(ow_ensemble_some(l.e, &l.y.ahead, 1));
        for (int m = 0; m < OW_MEMBERS; m++) {
            int i = k * OW_MEMBERS + m;
            ow_glasshouse_out want = l.e->house[2 * i + 1];
            want.air_c = before_c[m];
            ow_scene_air_kept(l.e->lead, 2, &l.e->out[i], panes[m], 6.0, &want);
            before_c[m] = l.e->warm[2 * i + 1].air_c;
            check_close("warmed", before_c[m], want.air_c, 1e-12, 0.0);
            assert_true(before_c[m] >= l.e->house[2 * i + 1].air_c + (m == 0 ? 1.0 : 0.0));
            assert_memory_equal(&l.e->warm[2 * i], &l.e->house[2 * i], sizeof l.e->warm[0]);
        }
    }
    for (int i = 0; i < 4 * OW_MEMBERS; i++) {
        for (int h = 0; h < 2; h++) {
            ow_spot warm = ow_ensemble_warm_spot(l.e, i % OW_MEMBERS, i / OW_MEMBERS, houses[h]);
            check_close("spot", warm.sky.air_c, l.e->warm[2 * i + h].air_c, 0.0, 0.0);
        }
    }
    end(&l);
}

static void check_houses(ow_spread spread)
{
    static const int houses[] = {0, 2};
    ow_weather w = stage_dull(-6.0, 3.0);
    look l = begin_in(TWO_HOUSES, &w, 4.0, spread);
    double before_c[OW_MEMBERS][2], panes[2][OW_MEMBERS];
    for (int h = 0; h < 2; h++) { /* panes are drawn by their house's id */
        ow_draw_glazing(h == 0 ? "one" : "two", panes[h]);
    }
    for (int m = 0; m < OW_MEMBERS; m++) {
        for (int h = 0; h < 2; h++) {
            before_c[m][h] = l.y.on.scene->glass[houses[h]].air_c;
        }
    }
    for (int k = 0; k < 4; k++) {
        assert_false(ow_ensemble_some(l.e, &l.y.ahead, 1));
        for (int h = 0; h < 2; h++) {
            int place = houses[h];
            for (int m = 0; m < OW_MEMBERS; m++) {
                ow_glasshouse_out want = l.e->lead->glass[place];
                if (m > 0) {
                    want.air_c = before_c[m][h];
                    ow_scene_air_beside(l.e->lead, place, &l.e->out[k * OW_MEMBERS + m],
                                        spread.materials ? panes[h][m] : 0.0, &want);
                }
                double got_c = l.e->house[(k * OW_MEMBERS + m) * 2 + h].air_c;
                check_close("air", got_c, want.air_c, 1e-12, 0.0);
                before_c[m][h] = got_c;
            }
            check_close("floor", l.e->floor_c[k * 2 + h], ow_scene_floor_c(l.e->lead, place), 0.0,
                        0.0);
        }
        for (int p = 0; p < 3; p++) {
            double under_c = l.e->under_c[k * 3 + p];
            assert_true(under_c == l.e->lead->spot[p].under_c ||
                        (isnan(under_c) && isnan(l.e->lead->spot[p].under_c)));
        }
    }
    for (int i = 0; i < 4 * OW_MEMBERS; i++) {
        ow_spot spot[3];
        int k = i / OW_MEMBERS, m = i % OW_MEMBERS;
        ow_ensemble_spots(l.e, m, k, spot);
        for (int h = 0; h < 2; h++) {
            ow_spot want;
            ow_scene_spot(l.e->lead, houses[h], &l.e->out[i], &l.e->house[i * 2 + h],
                          l.e->floor_c[k * 2 + h], 0, &want);
            check_close("air", spot[houses[h]].sky.air_c, l.e->house[i * 2 + h].air_c, 0.0, 0.0);
            check_close("ground", spot[houses[h]].ground_c, want.ground_c, 0.0, 0.0);
        }
        check_close("out of doors", spot[1].sky.air_c, l.e->out[i].weather.air_c, 0.0, 0.0);
        double off_k = l.e->out[i].sky.air_c - l.e->out[k * OW_MEMBERS].sky.air_c;
        check_close("under", spot[1].under_c, l.e->under_c[k * 3 + 1] + off_k, 1e-12, 0.0);
    }
    end(&l);
}

/* The air of each house goes on from its own of the step before, in each member and under its own
 * panes; floors and the ground are those of the run that leads. */
static void houses_go_on_from_their_own_air(void **state)
{
    (void)state;
    check_houses((ow_spread){.weather = true});
    check_houses((ow_spread){.materials = true});
    check_houses((ow_spread){.weather = true, .materials = true});
}

/* Whatever was looked at before. */
static void without_a_spread_the_weather_is_the_forecasts(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 3.0);
    look l = begin(&w, 2.0, (ow_spread){.weather = true});
    assert_true(ow_ensemble_some(l.e, &l.y.ahead, INT_MAX));
    assert_int_equal(
        ow_ensemble_begin(l.e, l.y.on.scene, &l.y.ahead, 2.0, (ow_spread){.materials = true}),
        OW_OK);
    assert_true(ow_ensemble_some(l.e, &l.y.ahead, INT_MAX));
    assert_int_equal(l.e->steps, 2);
    for (int i = 0; i < 2 * OW_MEMBERS; i++) {
        check_close("air", l.e->out[i].weather.air_c, -2.0, 0.0, 0.0);
    }
    end(&l);
}

/* What a place has taught of its hours goes for every member: its air at the middle of a step. */
static void members_keep_the_hours_of_a_place(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 3.0);
    ow_bias learned[2];
    look l = begin(&w, 9.0, (ow_spread){.weather = true});
    for (int p = 0; p < 2; p++) {
        ow_bias_init(&learned[p]);
    }
    for (int hour = 0; hour < OW_BIAS_HOURS; hour++) {
        learned[0].k[0][hour] = learned[0].k[1][hour] = 0.5 * hour;
    }
    l.e->lead->place_bias = learned;
    assert_true(ow_ensemble_some(l.e, &l.y.ahead, INT_MAX));
    for (int i = 0; i < 9 * OW_MEMBERS; i++) {
        ow_spot spot[2];
        int k = i / OW_MEMBERS;
        double air_c = l.e->out[i].weather.air_c;
        ow_ensemble_spots(l.e, i % OW_MEMBERS, k, spot);
        double by_k = ow_bias_k(&learned[0], &l.y.on.garden->site,
                                l.y.on.scene->now_s + k * OW_HOUR_S + 1800, 50.0);
        check_close("learned", spot[0].sky.air_c, air_c + by_k, 1e-9, 0.0);
        check_close("not learned", spot[1].sky.air_c, air_c, 1e-9, 0.0);
    }
    end(&l);
}

/* A scene of more than half an hour a step is looked at in its own steps. */
static void long_steps_are_not_doubled(void **state)
{
    (void)state;
    static const int step_s[][2] = {{600, 1200}, {1800, 3600}, {3600, 3600}};
    for (int i = 0; i < 3; i++) {
        char text[YARD_TEXT];
        ow_garden *g = stage_garden(yard_text(ONE, text));
        ow_scene *scene;
        ow_ensemble *e;
        assert_int_equal(ow_scene_new(g, STAGE_MIDWINTER, step_s[i][0], 1.0, &scene), OW_OK);
        assert_int_equal(ow_ensemble_new(scene, &e), OW_OK);
        assert_int_equal(e->step_s, step_s[i][1]);
        ow_ensemble_free(e);
        ow_scene_free(scene);
        ow_garden_free(g);
    }
}

/* ---- fates ----------------------------------------------------------------------------------- */

typedef struct fates {
    ow_actor actor;
    ow_cast cast;
    ow_scene scene;
    ow_ensemble e;
    ow_many many;
    ow_risk risk;
} fates;

static fates *calm(void)
{
    static fates f;
    f = (fates){.cast.actor = &f.actor, .scene.cast = &f.cast, .e.now = &f.scene};
    for (int m = 0; m < OW_MEMBERS; m++) {
        ow_course *c = &f.many.course[m];
        for (int p = 0; p < OW_PARTS; p++) {
            c->damaged_s[p] = c->killed_s[p] = OW_NEVER;
            c->lowest_c[p] = c->limit_c[p] = NAN;
        }
        c->lowest_c[OW_FOLIAGE] = 1.0;
        c->limit_c[OW_FOLIAGE] = -5.0;
    }
    return &f;
}

/* The tenth, the middle and the ninth tenth of those that are harmed, whatever order they come in.
 */
static void times_of_harm_are_those_in_order(void **state)
{
    (void)state;
    for (int n = 0; n <= OW_MEMBERS; n++) {
        fates *f = calm();
        for (int i = 0; i < n; i++) {
            int m = (7 * i + 3) % OW_MEMBERS; /* each once */
            f->many.course[m].damaged_s[OW_FOLIAGE] = 1000 + i;
            f->many.course[m].killed_s[OW_FOLIAGE] = i % 3 == 0 ? 2000 : OW_NEVER;
        }
        ow_many_risk(&f->many, &f->e, &f->risk);
        assert_int_equal(f->risk.runs, OW_MEMBERS);
        assert_int_equal(f->risk.damaged, n);
        assert_int_equal(f->risk.killed, (n + 2) / 3);
        int last = n - 1;
        assert_true(f->risk.early_s == (n == 0 ? OW_NEVER : 1000 + last / 10));
        assert_true(f->risk.median_s == (n == 0 ? OW_NEVER : 1000 + last / 2));
        assert_true(f->risk.late_s == (n == 0 ? OW_NEVER : 1000 + last - last / 10));
    }
}

/* Who loses most comes first, of these who is nearest its limit, of these the first. */
static void members_are_in_order_of_what_they_lose(void **state)
{
    (void)state;
    fates *f = calm();
    f->many.course[9].damaged_s[OW_FOLIAGE] = 50;
    f->many.course[4].killed_s[OW_FOLIAGE] = 60;
    f->many.course[20].damaged_s[OW_FOLIAGE] = 40;
    f->many.course[20].lowest_c[OW_FOLIAGE] = -7.0;
    f->many.course[9].lowest_c[OW_FOLIAGE] = -6.0;
    f->many.course[30].lowest_c[OW_FOLIAGE] = -4.0;
    f->many.course[2].lowest_c[OW_FOLIAGE] = -3.0;
    ow_many_risk(&f->many, &f->e, &f->risk);
    static const int want[] = {4, 20, 9, 30, 2, 0, 1, 3, 5};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        assert_int_equal(f->risk.order[i], want[i]);
    }
    assert_int_equal(f->risk.order[OW_MEMBERS - 1], 31);
    assert_int_equal(f->risk.damaged, 3);
    assert_int_equal(f->risk.killed, 1);
}

static void risks_of_parts_leave_out_what_was_suffered(void **state)
{
    (void)state;
    fates *f = calm();
    for (int m = 0; m < 8; m++) {
        f->many.course[m].damaged_s[OW_FOLIAGE] = 50;
        f->many.course[m].killed_s[OW_FOLIAGE] = m < 4 ? 60 : OW_NEVER;
    }
    f->many.course[OW_MEMBERS - 1].damaged_s[OW_FOLIAGE] = 50;
    check_close("harmed", ow_many_part_risk(&f->many, &f->e, OW_FOLIAGE, false), 9.0 / 32.0, 0, 0);
    check_close("killed", ow_many_part_risk(&f->many, &f->e, OW_FOLIAGE, true), 4.0 / 32.0, 0, 0);
    check_close("others", ow_many_part_risk(&f->many, &f->e, OW_BUDS, false), 0.0, 0, 0);
    f->actor.condition.watch[OW_FOLIAGE].damaged = true;
    check_close("harmed before", ow_many_part_risk(&f->many, &f->e, OW_FOLIAGE, false), 0.0, 0, 0);
    check_close("killed", ow_many_part_risk(&f->many, &f->e, OW_FOLIAGE, true), 4.0 / 32.0, 0, 0);
    f->actor.condition.watch[OW_FOLIAGE].killed = true;
    check_close("killed before", ow_many_part_risk(&f->many, &f->e, OW_FOLIAGE, true), 0.0, 0, 0);
}

/* The risk is at least a share if and only if the member at that share is harmed. */
static void the_member_at_a_share_is_the_last_to_be_harmed(void **state)
{
    (void)state;
    ow_risk risk = {.runs = OW_MEMBERS};
    ow_ensemble e = {.risk = &risk, .steps = 1};
    for (int m = 0; m < OW_MEMBERS; m++) {
        risk.order[m] = 100 + m;
    }
    static const struct {
        double share;
        int member;
    } cases[] = {{0.0, 100},  {0.001, 100}, {1.0 / 32.0, 100},  {1.01 / 32.0, 101},
                 {0.25, 107}, {0.26, 108},  {31.0 / 32.0, 130}, {0.999, 131},
                 {1.0, 131},  {2.0, 131}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(ow_ensemble_member_at(&e, 0, cases[i].share), cases[i].member);
    }
    risk.damaged = 8;
    check_close("risk", ow_ensemble_risk(&e, 0), 0.25, 0.0, 0.0);
    e.steps = 0;
    assert_true(isnan(ow_ensemble_risk(&e, 0)));
}

/* ---- bands ----------------------------------------------------------------------------------- */

/* Of 32 members in order the 5 % lie at 1.55, the middle at 15.5, the 95 % at 29.45; of each plant
 * its own. */
static void bands_lie_between_members(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 3.0);
    look l = begin_in(ONE_AND_A_BED, &w, 1.0, (ow_spread){.weather = true, .materials = true});
    assert_true(ow_ensemble_some(l.e, &l.y.ahead, INT_MAX));
    for (int plant = 0; plant < 2; plant++) {
        double c[OW_MEMBERS];
        int part = OW_ROOTS;
        for (int m = 0; m < OW_MEMBERS; m++) {
            /* of one step: what it was */
            double now_c = l.e->course[plant * OW_MEMBERS + m].lowest_c[part];
            int k = m;
            for (; k > 0 && c[k - 1] > now_c; k--) {
                c[k] = c[k - 1];
            }
            c[k] = now_c;
        }
        ow_band b = ow_ensemble_band(l.e, plant, 0, part);
        check_close("low", b.low_c, c[1] + 0.55 * (c[2] - c[1]), 1e-5, 0.0);
        check_close("median", b.median_c, 0.5 * (c[15] + c[16]), 1e-5, 0.0);
        check_close("high", b.high_c, c[29] + 0.45 * (c[30] - c[29]), 1e-5, 0.0);
        assert_true(b.low_c < b.median_c && b.median_c < b.high_c);
        assert_true(isnan(ow_ensemble_band(l.e, plant, 0, OW_GROWING_POINT).low_c));
    }
    end(&l);
}

/* A band of a step is the same however far the look goes on, of each plant. */
static void bands_do_not_hang_on_the_hours_after(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 3.0);
    ow_band first[2];
    for (int hours = 1; hours <= 3; hours++) {
        look l = begin_in(ONE_AND_A_BED, &w, hours, (ow_spread){.weather = true});
        assert_true(ow_ensemble_some(l.e, &l.y.ahead, INT_MAX));
        for (int plant = 0; plant < 2; plant++) {
            ow_band b = ow_ensemble_band(l.e, plant, 0, OW_ROOTS);
            first[plant] = hours == 1 ? b : first[plant];
            assert_true(b.low_c == first[plant].low_c && b.high_c == first[plant].high_c);
            ow_band last = ow_ensemble_band(l.e, plant, hours - 1, OW_ROOTS);
            assert_true(hours == 1 || last.median_c != first[plant].median_c);
        }
        end(&l);
    }
    assert_true(first[0].low_c != first[1].low_c);
}

#define ROOTED(id, body) "{'id':'" id "'," ROOTS ",'place':'deck'," body "}"
#define TRUNK ",'trunk':{'diameter_mm':150,'height_mm':900}"
#define EACH_SHAPE                                                                                 \
    "'places':[" YARD_PLAIN_DECK "],'plants':[" ROOTED("pot", YARD_POT) ","                        \
    ROOTED("potted", YARD_POT TRUNK) "," ROOTED("small", YARD_SMALL_POT) ","                       \
    ROOTED("slim", YARD_SMALL_POT TRUNK) "," ROOTED("bed", "'bed':{}") ","                         \
    ROOTED("tree", "'bed':{}" TRUNK) "]"

/* A pot, a small pot and a bed, with a trunk and without: each goes as in the outlook. */
static void each_shape_of_body_has_its_members(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-9.0, 3.0);
    look l = begin_in(EACH_SHAPE, &w, 3.0, (ow_spread){.materials = true});
    assert_true(ow_ensemble_some(l.e, &l.y.ahead, INT_MAX));
    yard_look(&l.y);
    for (int plant = 0; plant < 6; plant++) {
        double want_c = l.y.outlook->course[plant].lowest_c[OW_ROOTS];
        ow_band b = ow_ensemble_band(l.e, plant, 2, OW_BAND_ROOT_MEAN);
        check_close("coldest roots", l.e->course[plant * OW_MEMBERS].lowest_c[OW_ROOTS], want_c,
                    0.1, 0.0);
        assert_true(b.low_c < b.median_c && b.median_c < b.high_c);
    }
    end(&l);
}

/* A look begins where the living scene is by then, however old the ensemble. */
static void a_look_begins_now(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 3.0);
    look l = begin(&w, 8.0, (ow_spread){.weather = true});
    yard_live(&l.y, 3.0);
    for (int hours = 2; hours <= 4; hours++) { /* room for as many, for fewer and for more */
        assert_int_equal(
            ow_ensemble_begin(l.e, l.y.on.scene, &l.y.ahead, hours, (ow_spread){.weather = true}),
            OW_OK);
        assert_true(l.e->start_s == l.y.on.scene->now_s);
        assert_true(l.e->lead->now_s == l.y.on.scene->now_s);
        assert_true(ow_ensemble_some(l.e, &l.y.ahead, INT_MAX));
        assert_int_equal(l.e->steps, hours);
        assert_true(l.e->lead->now_s == l.y.on.scene->now_s + hours * OW_HOUR_S);
    }
    end(&l);
}

/* A portion is as many steps as were asked for: those of the weather first, then each plant's. */
static void portions_are_counted(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 3.0);
    for (int hours = 0; hours <= 3; hours++) {
        look l = begin_in(ONE_AND_A_BED, &w, hours, (ow_spread){.weather = true});
        int calls = 0;
        for (bool done = false; !done; calls++) {
            assert_in_range(calls, 0, 20);
            if (hours > 0) {
                assert_false(ow_ensemble_some(l.e, &l.y.ahead, 0));
            }
            assert_true(isnan(ow_ensemble_risk(l.e, 0)));
            done = ow_ensemble_some(l.e, &l.y.ahead, 1);
        }
        assert_int_equal(calls, hours == 0 ? 1 : hours + 2 * hours);
        assert_int_equal(l.e->steps, hours);
        assert_int_equal(isnan(ow_ensemble_risk(l.e, 0)), hours == 0);
        end(&l);
    }
}

/* ---- acts ------------------------------------------------------------------------------------ */

/* An act begins with the step that its hour falls into; one of the past at once. */
static void an_act_begins_in_its_step(void **state)
{
    (void)state;
    static const struct {
        double at_h;
        int step;
    } cases[] = {{-5.0, 0}, {0.0, 0}, {0.99, 0}, {1.0, 1}, {2.5, 2}, {3.0, 3}, {4.0, 9}};
    ow_weather w = stage_dull(-2.0, 3.0);
    look l = begin(&w, 4.0, (ow_spread){.weather = true});
    assert_true(ow_ensemble_some(l.e, &l.y.ahead, INT_MAX));
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_many many = {
            .acts = true,
            .trial = {.place = 1,
                      .at_s = l.y.on.scene->now_s + (ow_utc_s)(cases[i].at_h * OW_HOUR_S)}};
        assert_int_equal(ow_many_begin(&many, l.e), OW_OK);
        for (int k = 0; k < 4; k++) {
            assert_int_equal(ow_many_some(&many, l.e, 1), k == 3);
            const ow_cast *cast = l.e->cast[2 * ow_root_grid(&l.y.on.garden->plants[0])];
            assert_int_equal(cast->actor[0].place, k >= cases[i].step ? 1 : 0);
            assert_int_equal(cast->actor[OW_MEMBERS - 1].place, k >= cases[i].step ? 1 : 0);
        }
    }
    end(&l);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_member_is_off_by_its_errors),
        cmocka_unit_test(a_sky_that_is_not_told_is_guessed),
        cmocka_unit_test(the_spread_stays_beyond_the_horizon),
        cmocka_unit_test(a_heated_house_has_a_warmer_air_beside),
        cmocka_unit_test(houses_go_on_from_their_own_air),
        cmocka_unit_test(without_a_spread_the_weather_is_the_forecasts),
        cmocka_unit_test(members_keep_the_hours_of_a_place),
        cmocka_unit_test(long_steps_are_not_doubled),
        cmocka_unit_test(times_of_harm_are_those_in_order),
        cmocka_unit_test(members_are_in_order_of_what_they_lose),
        cmocka_unit_test(risks_of_parts_leave_out_what_was_suffered),
        cmocka_unit_test(the_member_at_a_share_is_the_last_to_be_harmed),
        cmocka_unit_test(bands_lie_between_members),
        cmocka_unit_test(bands_do_not_hang_on_the_hours_after),
        cmocka_unit_test(each_shape_of_body_has_its_members),
        cmocka_unit_test(a_look_begins_now),
        cmocka_unit_test(portions_are_counted),
        cmocka_unit_test(an_act_begins_in_its_step),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
