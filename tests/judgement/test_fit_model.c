/* SPDX-License-Identifier: MIT */
/* What sixteen variants make of a record, what that costs and which way it falls, by hand. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/fit_search.h"
#include "judgement/records.h"
#include "starve.h"

enum { HOURS = 20, SIDE = OW_FIT_SIDE, TOP = OW_FIT_TOP, WATER = OW_FIT_WATER };
enum { START = OW_FIT_START, OFF = OW_FIT_PROBE_OFF };

/* A work whose model is whatever the test says. */
typedef struct stand {
    ow_fit_work work;
    double probe_c[HOURS], weight[HOURS + 1], model_c[OW_LANES * HOURS];
} stand;

static stand stand_of(double memory, double new_k)
{
    stand s = {.work.noise = {memory, new_k}};
    for (int i = 0; i < OW_SOUGHT; i++) {
        s.work.unknown[i] = (ow_sought){0.5, true};
        s.work.low[i] = -9.0;
        s.work.high[i] = 9.0;
    }
    for (int k = 0; k < HOURS; k++) {
        s.weight[k] = 1.0;
    }
    return s;
}

static const ow_fit_work *work(stand *s, size_t n)
{
    s->work.hours = (ow_record_hours){.n = n, .probe_c = s->probe_c};
    s->work.weight = s->weight;
    s->work.model_c = s->model_c;
    return &s->work;
}

/* ---- weights --------------------------------------------------------------------------------- */

/* A leap of 2 K within an hour, of which half an hour may be late: 1 K beside a probe's own 0.2 K,
 * for three hours on either side (the numbers are ours). */
static void hours_round_a_leap_count_little(void **state)
{
    (void)state;
    static const struct {
        int at, first, last; /* the hour that it has leapt by, and those that count little */
    } cases[] = {{10, 7, 12}, {1, 0, 3}, {3, 0, 5}, {HOURS - 1, HOURS - 4, HOURS - 1}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        stand s = stand_of(0.0, 1.0);
        for (int k = 0; k < HOURS; k++) {
            s.probe_c[k] = k < cases[i].at ? 1.0 : -1.0;
            s.weight[k] = NAN;
        }
        s.weight[HOURS] = 77.0;
        (void)work(&s, HOURS);
        ow_fit_weigh(&s.work);
        for (int k = 0; k < HOURS; k++) {
            bool near = k >= cases[i].first && k <= cases[i].last;
            check_close("weight", s.weight[k], near ? 0.2 / hypot(0.2, 1.0) : 1.0, 1e-12, 0.0);
        }
        check_close("no hour more", s.weight[HOURS], 77.0, 0.0, 0.0);
    }
}

/* ---- cost and slopes ------------------------------------------------------------------------- */

static void cost_is_that_of_noise_that_remembers(void **state)
{
    (void)state;
    stand s = stand_of(0.6, 0.5);
    double theta[OW_SOUGHT] = {0.1, -0.2, 0.3, 1.0, 0.25}, want = 0.0, before = 0.0;
    for (int k = 0; k < HOURS; k++) {
        s.probe_c[k] = 3.0 + sin(k);
        s.weight[k] = 1.0 - 0.02 * k;
        s.model_c[2 * HOURS + k] = 3.0 + 0.5 * sin(k + 1.0);
    }
    s.work.settled = 4;
    for (int k = 4; k < HOURS; k++) {
        double r = s.weight[k] * (s.probe_c[k] - 0.25 - s.model_c[2 * HOURS + k]);
        /* Of the first all that it could remember is new: it counts with its whole variance. */
        double e = k == 4 ? r * sqrt(1.0 - 0.36) : r - 0.6 * before;
        want += e * e / 0.25;
        before = r;
    }
    for (int i = 0; i < OW_SOUGHT; i++) {
        s.work.unknown[i].prior_sd = 0.5 + 0.1 * i;
        want += pow(theta[i] / (0.5 + 0.1 * i), 2.0);
    }
    check_close("cost", ow_fit_cost(work(&s, HOURS), 2, theta), want, 0.0, 1e-12);
    check_close("residual", ow_fit_residual(&s.work, 2, 7, 0.25),
                s.probe_c[7] - 0.25 - s.model_c[2 * HOURS + 7], 1e-12, 0.0);
}

/* The model is what a straight line makes of the unknowns, so its slopes are known: 1 + u of
 * unknown u, times the hour, and less where a bound cuts the step short. */
static void slopes_are_those_of_the_model(void **state)
{
    (void)state;
    stand s = stand_of(0.0, 1.0);
    static const double step[OW_FIT_SLOPED] = {0.25, 0.25, 0.25, 1.0};
    double theta[OW_SOUGHT] = {0.0, 8.9, -8.95, 0.5, 0.3}, jj[OW_SOUGHT][OW_SOUGHT] = {{0.0}},
           jr[OW_SOUGHT] = {0.0};
    ow_normal normal;
    s.work.settled = 5;
    for (int k = 0; k < HOURS; k++) {
        s.probe_c[k] = 2.0 + cos(k);
        s.weight[k] = k % 2 == 0 ? 1.0 : 0.5;
        for (int u = 0; u < OW_FIT_SLOPED; u++) {
            double up = fmin(theta[u] + step[u], 9.0), down = fmax(theta[u] - step[u], -9.0);
            s.model_c[(1 + 2 * u) * HOURS + k] = (1.0 + u) * k * up;
            s.model_c[(2 + 2 * u) * HOURS + k] = (1.0 + u) * k * down;
        }
        s.model_c[k] = 1.0;
    }
    for (int k = 5; k < HOURS; k++) {
        double slope[OW_SOUGHT];
        for (int u = 0; u < OW_SOUGHT; u++) {
            slope[u] = s.weight[k] * (u == OFF ? 1.0 : (1.0 + u) * k);
        }
        double r = s.weight[k] * (s.probe_c[k] - 0.3 - 1.0);
        for (int u = 0; u < OW_SOUGHT; u++) {
            for (int v = 0; v < OW_SOUGHT; v++) {
                jj[u][v] += slope[u] * slope[v];
            }
            jr[u] += slope[u] * r;
        }
    }
    ow_fit_gather(work(&s, HOURS), theta, &normal);
    for (int u = 0; u < OW_SOUGHT; u++) {
        for (int v = 0; v < OW_SOUGHT; v++) {
            check_close("of two", normal.jj[u][v], jj[u][v], 1e-9, 1e-9);
        }
        check_close("and the residual", normal.jr[u], jr[u], 1e-9, 1e-9);
    }
    assert_int_equal(normal.rows, HOURS - 5);
}

/* Variant 0 is all of the step, those behind the slopes 0.5, 0.25 and 0.1 of it. Each misses the
 * probe by what the case says, in an hour each. */
static void the_best_of_a_step_and_shorter_ones(void **state)
{
    (void)state;
    static const struct {
        double miss_k[1 + OW_FIT_SHORTER], before;
        double share;
    } cases[] = {
        {{0.0, 3.0, 3.0, 3.0}, 99.0, 1.0},
        {{9.0, 0.0, 9.0, 9.0}, 99.0, 0.5},
        {{9.0, 9.0, 0.0, 9.0}, 99.0, 0.25},
        {{9.0, 9.0, 9.0, 0.0}, 99.0, 0.1},
        {{0.0, 0.0, 0.0, 0.0}, 99.0, 0.1}, /* as near: the tables' middle draws */
        {{1.0, 2.0, 2.0, 2.0}, 1.9, 0.0},
        {{1.0, 2.0, 2.0, 2.0}, 2.1, 1.0}, /* 1 of the miss and 1 of the way */
        {{1.0, 2.0, 2.0, 2.0}, 2.0, 0.0},
        {{0.9, 1.0, 2.0, 2.0}, 99.0, 0.5}, /* 0.81 and 1 against 1 and 0.25 */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        stand s = stand_of(0.0, 1.0);
        double from[OW_SOUGHT] = {0.0}, to[OW_SOUGHT] = {[SIDE] = 0.3, [OFF] = 0.0, [WATER] = 0.4};
        for (int v = 0; v <= OW_FIT_SHORTER; v++) {
            s.model_c[v == 0 ? 0 : OW_FIT_WITH_SLOPES + v - 1] = cases[i].miss_k[v];
        }
        double share = ow_fit_best(work(&s, 1), from, to, cases[i].before);
        check_close("share", share, cases[i].share, 0.0, 0.0);
    }
    /* From elsewhere a step back to the tables costs less the longer it is. */
    stand s = stand_of(0.0, 1.0);
    double from[OW_SOUGHT] = {[SIDE] = 2.0}, to[OW_SOUGHT] = {0.0};
    check_close("all of it", ow_fit_best(work(&s, 1), from, to, 99.0), 1.0, 0.0, 0.0);
}

/* ---- living through a record ----------------------------------------------------------------- */

#define POT "'pot':{'diameter_mm':220,'depth_mm':200,'medium':'peat-free mix'}"
#define BED "'bed':{'medium':'loam'}"

enum { LIVED_H = 12 };

typedef struct trip {
    ow_garden *garden;
    ow_forcing weather;
    ow_fit_task task;
    ow_fit_work work;
    ow_weather step[4 * LIVED_H];
    double probe_c[LIVED_H + 1], weight[LIVED_H + 1];
    double model_c[(OW_LANES + 1) * (LIVED_H + 1)]; /* and one that nobody may look at */
} trip;

/* Steps from `before_h` before a record of twelve hours of frost. */
static void set_out(trip *t, const char *plant, int before_h, int step_s)
{
    char quoted[YARD_TEXT], text[YARD_TEXT];
    dice d = {.state = 7};
    winter w = {2.0, -6.0, 5.0, 3.0};
    *t = (trip){.work.begin_c = 2.0};
    snprintf(quoted, sizeof quoted,
             "'places':[{'id':'deck','kind':'open sky'}],'plants':[{'id':'lemon',"
             "'taxon':'Citrus limon','place':'deck',%s}]",
             plant);
    t->garden = stage_garden(yard_text(quoted, text));
    record_weather(&w, 60, &d, &t->weather);
    t->task = (ow_fit_task){.garden = t->garden, .depth_m = 0.1, .step_s = step_s};
    t->work.task = &t->task;
    t->work.hours = (ow_record_hours){
        .from_s = STAGE_MIDWINTER + 90 * OW_HOUR_S, .n = LIVED_H + 1, .probe_c = t->probe_c};
    t->work.begin_s = t->work.hours.from_s - before_h * OW_HOUR_S;
    t->work.weather = t->step;
    t->work.model_c = t->model_c;
    t->work.weight = t->weight;
    t->work.steps = OW_HOUR_S / step_s * (LIVED_H + before_h);
    for (long i = 0; i < t->work.steps; i++) {
        ow_utc_s at = t->work.begin_s + i * step_s;
        (void)ow_forcing_mean(&t->weather, at, at + step_s, &t->step[i]);
    }
    for (int i = 0; i < OW_SOUGHT; i++) {
        t->work.unknown[i] = (ow_sought){0.5, true};
        t->work.low[i] = -1.2;
        t->work.high[i] = 1.2;
    }
}

static void come_home(trip *t)
{
    ow_forcing_free(&t->weather);
    ow_garden_free(t->garden);
}

/* One variant alone, an hour at a time. */
static void check_lived(const trip *t, int variant, const double theta[OW_SOUGHT])
{
    static ow_variants v;
    ow_scene *scene = NULL;
    int i = 0;
    ow_variants_of(t->garden, 0, 1, &v);
    v.plant[0].start_c = NAN;
    v.plant[0].pot.side_factor = exp(theta[SIDE]);
    v.plant[0].pot.top_factor = v.plant[0].bed.top_factor = exp(theta[TOP]);
    assert_int_equal(ow_variant_water(&v.plant[0], exp(theta[WATER])), OW_OK);
    assert_int_equal(ow_scene_new(&v.garden, t->work.begin_s, t->task.step_s, 2.0, &scene), OW_OK);
    ow_cast_warm(scene->cast, 0, false,
                 theta[START] * ow_cast_law(scene->cast, 0, false)->warm_j_m3k);
    for (int h = 0; h <= LIVED_H; h++) {
        while (scene->now_s < t->work.hours.from_s + h * OW_HOUR_S) {
            ow_scene_step(scene, &t->step[i++]);
        }
        check_close("lived", t->model_c[variant * (LIVED_H + 1) + h],
                    ow_cast_axis_c(scene->cast, 0, 0.1), 1e-9, 0.0);
    }
    ow_scene_free(scene);
}

static void each_variant_lives_as_it_would_alone(void **state)
{
    (void)state;
    static trip t;
    static const char started[] = "'start_c':9," POT; /* the record says where it begins */
    static const char *const homes[] = {POT, BED, started};
    for (int home = 0; home < 3; home++) {
        double theta[3][OW_SOUGHT] = {
            {0.0}, {0.5, -0.4, 0.2, 1.5, 0.1}, {-0.6, 0.3, -0.3, -1.0, 0.0}};
        set_out(&t, homes[home], home == 1 ? 5 : 0, home == 2 ? 3600 : 1800);
        t.model_c[3 * (LIVED_H + 1)] = 77.0;
        assert_int_equal(ow_fit_live(&t.work, theta, 3), OW_OK);
        for (int v = 0; v < 3; v++) {
            check_lived(&t, v, theta[v]);
        }
        check_close("no fourth one", t.model_c[3 * (LIVED_H + 1)], 77.0, 0.0, 0.0);
        come_home(&t);
    }
}

/* The candidate, each unknown up and down within its bounds, and shorter steps. */
static void a_try_runs_its_slopes_beside_it(void **state)
{
    (void)state;
    static trip t;
    static const double step[OW_FIT_SLOPED] = {0.25, 0.25, 0.25, 1.0};
    static const double shorter[] = {0.5, 0.25, 0.1};
    double from[OW_SOUGHT] = {0.1, 0.0, 0.0, 0.0, 0.0}, to[OW_SOUGHT] = {0.3, 1.1, 0.1, -0.9, 0.2};
    set_out(&t, POT, 0, 1800);
    assert_int_equal(ow_fit_try(&t.work, from, to), OW_OK);
    check_lived(&t, 0, to);
    for (int u = 0; u < OW_FIT_SLOPED; u++) {
        double up[OW_SOUGHT], down[OW_SOUGHT];
        memcpy(up, to, sizeof up);
        memcpy(down, to, sizeof down);
        up[u] = fmin(to[u] + step[u], 1.2);
        down[u] = fmax(to[u] - step[u], -1.2);
        check_lived(&t, 1 + 2 * u, up);
        check_lived(&t, 2 + 2 * u, down);
    }
    for (int s = 0; s < 3; s++) {
        double part[OW_SOUGHT];
        for (int i = 0; i < OW_SOUGHT; i++) {
            part[i] = from[i] + shorter[s] * (to[i] - from[i]);
        }
        check_lived(&t, 9 + s, part);
    }
    t.model_c[9 * (LIVED_H + 1)] = 77.0;
    assert_int_equal(ow_fit_try(&t.work, to, to), OW_OK);
    check_close("nothing shorter than no step", t.model_c[9 * (LIVED_H + 1)], 77.0, 0.0, 0.0);
    come_home(&t);
}

/* ---- looking round --------------------------------------------------------------------------- */

/* The tables, the eight corners 0.7 spreads off, seven of them at 1.4: where the probe was made at
 * one of them, that one is found, unless a bound or a part that is not sought forbids it. */
static void looking_round_finds_the_corner(void **state)
{
    (void)state;
    static trip t;
    static const struct {
        double side, top, water; /* spreads off */
        bool water_sought;
    } cases[] = {
        {0.0, 0.0, 0.0, true},   {0.7, 0.7, 0.7, true},   {-0.7, 0.7, 0.7, true},
        {0.7, -0.7, 0.7, true},  {0.7, 0.7, -0.7, true},  {-0.7, -0.7, -0.7, true},
        {1.4, 1.4, 1.4, true},   {-1.4, 1.4, -1.4, true}, {-1.4, 1.4, 1.4, true},
        {1.4, -1.4, -1.4, true}, {-0.7, 0.7, 0.0, false},
    };
    set_out(&t, POT, 0, 1800);
    t.work.noise = (ow_noise){0.3, 0.001};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double theta[1][OW_SOUGHT] = {
            {0.5 * cases[i].side, 0.5 * cases[i].top, 0.5 * cases[i].water}};
        t.work.unknown[WATER].estimated = cases[i].water_sought;
        assert_int_equal(ow_fit_live(&t.work, theta, 1), OW_OK);
        for (int h = 0; h <= LIVED_H; h++) {
            t.probe_c[h] = t.model_c[OW_LANES * (LIVED_H + 1) + h] = t.model_c[h];
            t.weight[h] = 1.0;
        }
        t.work.at[START] = 0.7; /* of a search before */
        assert_int_equal(ow_fit_look_round(&t.work), OW_OK);
        for (int u = 0; u < OW_SOUGHT; u++) {
            check_close("at", t.work.at[u], theta[0][u], 1e-12, 0.0);
        }
    }
    t.work.unknown[WATER].estimated = true;
    t.work.high[SIDE] = 0.3; /* 1.4 spreads would be 0.7 */
    double theta[1][OW_SOUGHT] = {{0.3, 0.7, 0.7}};
    assert_int_equal(ow_fit_live(&t.work, theta, 1), OW_OK);
    memcpy(t.probe_c, t.model_c, sizeof t.probe_c);
    assert_int_equal(ow_fit_look_round(&t.work), OW_OK);
    check_close("no further than the bound", t.work.at[SIDE], 0.3, 1e-12, 0.0);
    check_close("the others there", t.work.at[TOP], 0.7, 1e-12, 0.0);
    come_home(&t);
}

/* ---- coming to rest -------------------------------------------------------------------------- */

/* A clean probe of known unknowns: the search rests where they are, but for what the tables draw,
 * and from there no step along any of them gains more than rest allows. */
static void the_search_rests_where_the_truth_is(void **state)
{
    (void)state;
    static trip t;
    double made[1][OW_SOUGHT] = {{0.3, -0.2, 0.0, 0.6, 0.0}};
    set_out(&t, POT, 0, 1800);
    t.work.unknown[WATER].estimated = false;
    assert_int_equal(ow_fit_live(&t.work, made, 1), OW_OK);
    for (int h = 0; h <= LIVED_H; h++) {
        t.probe_c[h] = t.model_c[h] + 0.3 * sin(2.0 * h);
        t.weight[h] = 1.0 - 0.02 * h;
    }
    t.work.noise = (ow_noise){0.9, 0.4};
    assert_int_equal(ow_fit_seek(&t.work), OW_OK);
    /* The noise is that of where it rests, of four unknowns, and the grid's own 0.12 K. */
    double r[LIVED_H + 1];
    for (int h = 0; h <= LIVED_H; h++) {
        r[h] = t.weight[h] * (t.probe_c[h] - t.work.at[OFF] - t.model_c[h]);
    }
    ow_noise found = ow_noise_of(r, LIVED_H + 1, 4);
    check_close("memory", t.work.noise.memory, found.memory, 1e-9, 0.0);
    check_close("new", t.work.noise.new_k, hypot(found.new_k, 0.12), 1e-9, 0.0);
    check_close("not sought", t.work.at[WATER], 0.0, 0.0, 0.0);
    double here = ow_fit_cost(&t.work, 0, t.work.at);
    for (int u = 0; u < OW_SOUGHT; u++) {
        for (int sign = -1; sign <= 1 && u != WATER; sign += 2) {
            double theta[1][OW_SOUGHT];
            memcpy(theta[0], t.work.at, sizeof theta[0]);
            theta[0][u] += 0.1 * sign;
            assert_int_equal(ow_fit_live(&t.work, theta, 1), OW_OK);
            assert_true(ow_fit_cost(&t.work, 0, theta[0]) > here - 0.3);
        }
    }
    come_home(&t);
}

/* The probe reads, at full weight, just what that candidate lives through. */
static void read_truly(trip *t, double made[1][OW_SOUGHT])
{
    assert_int_equal(ow_fit_live(&t->work, made, 1), OW_OK);
    for (int h = 0; h <= LIVED_H; h++) {
        t->probe_c[h] = t->model_c[h];
        t->weight[h] = 1.0;
    }
}

/* From far off, and whatever noise it is told first: under nearly none the truth itself is found,
 * under fifty kelvins the search rests at once where it is, finds that the noise there is small,
 * and goes on under that. Where it rests another search finds nothing to do. */
static void whatever_the_noise_it_comes_to_rest(void **state)
{
    (void)state;
    static trip t;
    static const double far[][OW_SOUGHT] = {
        {1.0, -1.0, 0.0, -1.5}, {-1.2, -1.2, 0.0, 1.2}, {1.2, 1.2, 0.0, 1.2}};
    static const double noise_k[] = {1e-5, 50.0};
    double made[1][OW_SOUGHT] = {{0.2, -0.1, 0.0, 0.3, 0.0}};
    set_out(&t, POT, 0, 1800);
    t.work.unknown[WATER].estimated = false;
    read_truly(&t, made);
    for (int i = 0; i < 6; i++) {
        double at[OW_SOUGHT];
        memcpy(t.work.at, far[i / 2], sizeof t.work.at);
        t.work.noise = (ow_noise){0.5, noise_k[i % 2]};
        assert_int_equal(ow_fit_seek(&t.work), OW_OK);
        memcpy(at, t.work.at, sizeof at);
        for (int u = 0; u < OW_SOUGHT && i % 2 == 0; u++) {
            check_close("found", at[u], made[0][u], 0.02, 0.0);
        }
        assert_int_equal(ow_fit_seek(&t.work), OW_OK);
        for (int u = 0; u < OW_SOUGHT && i % 2 == 1; u++) {
            check_close("rested", t.work.at[u], at[u], 0.03, 0.0);
        }
    }
    come_home(&t);
}

/* Each unknown alone is found too; the others stay at the tables. */
static void one_unknown_alone_is_found(void **state)
{
    (void)state;
    static trip t;
    static const double off[OW_SOUGHT] = {0.35, -0.4, 0.0, 0.8, 0.3};
    /* A top tells little in twelve hours. */
    static const double within[OW_SOUGHT] = {0.12, 0.35, 0.0, 0.2, 0.12};
    set_out(&t, POT, 0, 1800);
    for (int u = 0; u < OW_SOUGHT; u++) {
        double made[1][OW_SOUGHT] = {{0.0}};
        if (u == WATER) {
            continue;
        }
        made[0][u] = off[u];
        for (int i = 0; i < OW_SOUGHT; i++) {
            t.work.unknown[i] = (ow_sought){i == START ? 2.0 : 0.5, i == u};
            t.work.at[i] = 0.0;
        }
        assert_int_equal(ow_fit_live(&t.work, made, 1), OW_OK);
        for (int h = 0; h <= LIVED_H; h++) {
            t.probe_c[h] = t.model_c[h] + (u == OFF ? off[OFF] : 0.0);
            t.weight[h] = 1.0;
        }
        t.work.noise = (ow_noise){0.3, 0.05};
        assert_int_equal(ow_fit_seek(&t.work), OW_OK);
        for (int i = 0; i < OW_SOUGHT; i++) {
            check_close("at", t.work.at[i], made[0][i], i == u ? within[i] : 0.0, 0.0);
        }
    }
    come_home(&t);
}

static ow_status seek(void *self)
{
    trip *t = self;
    memset(t->work.at, 0, sizeof t->work.at);
    t->work.noise = (ow_noise){0.5, 0.2};
    return ow_fit_seek(&t->work);
}

static ow_status look_round(void *self)
{
    trip *t = self;
    return ow_fit_look_round(&t->work);
}

static ow_status walk_out(void *self)
{
    trip *t = self;
    ow_normal normal;
    double stretch[OW_FIT_PARTS];
    bool better = true;
    starve_counts = false;
    assert_int_equal(ow_fit_try(&t->work, t->work.at, t->work.at), OW_OK);
    starve_counts = true;
    ow_fit_gather(&t->work, t->work.at, &normal);
    ow_status status = ow_fit_walk_out(&t->work, &normal, stretch, &better);
    assert_true(status == OW_OK || !better);
    return status;
}

/* Whatever is refused to a run of the model is said, wherever in a search that run is. */
static void a_search_without_memory_says_so(void **state)
{
    (void)state;
    static trip t;
    double made[1][OW_SOUGHT] = {{0.6, -0.2, 0.3, 0.6, 0.2}};
    if (!starve_works()) {
        skip();
    }
    set_out(&t, POT, 0, 1800);
    read_truly(&t, made);
    assert_in_range(starve(seek, &t), 20, 1000);
    assert_in_range(starve(look_round, &t), 5, 1000);
    assert_in_range(starve(walk_out, &t), 5, 1000);
    come_home(&t);
}

/* A medium that no table knows has no water: it is told, and no variant lives. */
static void a_plant_that_cannot_be_is_told(void **state)
{
    (void)state;
    static trip t;
    double theta[2][OW_SOUGHT] = {{0.0}, {0.1}};
    set_out(&t, POT, 0, 1800);
    t.garden->plants[0].pot.soil.kind = (ow_medium_kind)-1;
    assert_int_equal(ow_fit_live(&t.work, theta, 2), OW_BAD_INPUT);
    check_close("nothing lived", t.model_c[0], 0.0, 0.0, 0.0);
    come_home(&t);
}

/* Allocations of a call: each run of the model makes the same number. */
static int allocations_of(ow_status (*call)(ow_fit_work *), ow_fit_work *w)
{
    const int plenty = 1000000;
    starve_after = plenty;
    starve_counts = true;
    ow_status status = call(w);
    starve_counts = false;
    assert_int_equal(status, OW_OK);
    return plenty - starve_after;
}

static ow_status run_once(ow_fit_work *w)
{
    return ow_fit_try(w, w->at, w->at);
}

/* Each run of the model takes time: no more of them than were measured. */
static void a_search_takes_few_runs(void **state)
{
    (void)state;
    static trip t;
    static const struct {
        double side, start;
        int runs;
    } cases[] = {{0.0, 0.0, 3}, {0.6, 0.0, 4}, {-0.9, 1.0, 4}, {0.0, -1.2, 3}};
    double made[1][OW_SOUGHT] = {{0.2, -0.1, 0.0, 0.3, 0.0}};
    if (!starve_works()) {
        skip();
    }
    set_out(&t, POT, 0, 1800);
    t.work.unknown[WATER].estimated = false;
    read_truly(&t, made);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        memcpy(t.work.at, made[0], sizeof t.work.at);
        t.work.at[SIDE] += cases[i].side;
        t.work.at[START] += cases[i].start;
        t.work.noise = (ow_noise){0.5, 0.2};
        int once = allocations_of(run_once, &t.work);
        int runs = allocations_of(ow_fit_seek, &t.work) / once;
        assert_in_range(runs, 1, cases[i].runs);
    }
    come_home(&t);
}

/* ---- walking out ----------------------------------------------------------------------------- */

/* To where a part is 1.725 of its spread off, the others going along as they hang together: 1.725
 * c(i,p) / sqrt(c(p,p)), within the bounds. */
static void end_of_interval(const ow_fit_work *w, double c[OW_SOUGHT][OW_SOUGHT], int part,
                            double sign, double theta[OW_SOUGHT])
{
    for (int i = 0; i < OW_SOUGHT; i++) {
        double by = w->unknown[part].estimated ? 1.725 * c[i][part] / sqrt(c[part][part]) : 0.0;
        double to = w->at[i] + sign * by;
        theta[i] = fmin(fmax(to, w->low[i]), w->high[i]);
    }
}

/*
 * The cost should rise by 1.725 squared at both ends of a part's interval; where it rises by less
 * on the mean the interval is stretched by the root of that, three times at most. From somewhere up
 * a slope one of the ends is lower ground, and the search goes on from the lowest.
 */
static void intervals_are_stretched_by_what_the_cost_tells(void **state)
{
    (void)state;
    static trip t;
    static const double should = 1.725 * 1.725, off[4] = {0.0, 0.2, 0.8, -0.8};
    enum { ENDS = 1 + 2 * OW_FIT_PARTS };
    int stretched = 0, lower = 0;
    /* Of a pot, a bed and another pot: what is left, and what is off. */
    static const int left[] = {WATER, SIDE, SIDE}, moved[] = {SIDE, TOP, WATER};
    for (int i = 0; i < 12; i++) {
        int bed = i / 4 == 1, away = i % 4, absent = left[i / 4];
        double made[1][OW_SOUGHT] = {{absent == SIDE ? 0.0 : 0.2, -0.1, 0.0, 0.3, 0.0}};
        double c[OW_SOUGHT][OW_SOUGHT], stretch[OW_FIT_PARTS + 1], ends[ENDS][OW_SOUGHT], cost[ENDS];
        ow_normal normal;
        ow_sought alone[OW_SOUGHT];
        bool better;
        int lowest = 0;
        set_out(&t, bed ? BED : POT, 0, 1800);
        t.work.settled = 2;
        t.work.unknown[absent].estimated = false;
        t.work.unknown[START].prior_sd = 2.0;
        assert_int_equal(ow_fit_live(&t.work, made, 1), OW_OK);
        for (int h = 0; h <= LIVED_H; h++) {
            t.probe_c[h] = t.model_c[h];
            t.weight[h] = 1.0;
        }
        t.work.noise = (ow_noise){0.5, away == 1 ? 0.4 : 0.12};
        memcpy(t.work.at, made[0], sizeof t.work.at);
        t.work.at[moved[i / 4]] += off[away];
        stretch[OW_FIT_PARTS] = 77.0;
        assert_int_equal(ow_fit_try(&t.work, t.work.at, t.work.at), OW_OK);
        ow_fit_gather(&t.work, t.work.at, &normal);
        memcpy(alone, t.work.unknown, sizeof alone);
        alone[absent].prior_sd = 0.0; /* as the tables have it, and no doubt about it */
        assert_int_equal(ow_normal_covariance(&normal, alone, c), OW_OK);
        memcpy(ends[0], t.work.at, sizeof ends[0]);
        for (int p = 0; p < OW_FIT_PARTS; p++) {
            end_of_interval(&t.work, c, p, 1.0, ends[1 + 2 * p]);
            end_of_interval(&t.work, c, p, -1.0, ends[2 + 2 * p]);
        }
        assert_int_equal(ow_fit_live(&t.work, ends, ENDS), OW_OK);
        for (int v = 0; v < ENDS; v++) {
            cost[v] = ow_fit_cost(&t.work, v, ends[v]);
            lowest = v > 0 && cost[v] < cost[lowest] - (lowest == 0 ? 0.3 : 0.0) ? v : lowest;
        }
        assert_int_equal(ow_fit_walk_out(&t.work, &normal, stretch, &better), OW_OK);
        for (int p = 0; p < OW_FIT_PARTS; p++) {
            double rise = 0.5 * (cost[1 + 2 * p] + cost[2 + 2 * p]) - cost[0];
            double want = rise >= should ? 1.0 : rise <= should / 9.0 ? 3.0 : sqrt(should / rise);
            check_close("stretch", stretch[p], want, 1e-9, 0.0);
            stretched += want > 1.0 && p != absent;
        }
        check_close("no fourth one", stretch[OW_FIT_PARTS], 77.0, 0.0, 0.0);
        assert_int_equal(better, lowest > 0);
        for (int u = 0; u < OW_SOUGHT; u++) {
            check_close("at", t.work.at[u], ends[lowest][u], 1e-12, 0.0);
        }
        lower += better;
        come_home(&t);
    }
    assert_true(stretched > 0 && lower > 0 && lower < 12);
}

/* ---- what is left to the tables -------------------------------------------------------------- */

/* Side, top and water with these spreads (shares of the tables' own, a half) and correlations. */
typedef struct told {
    double side, top, water, side_top, side_water, top_water;
} told;

static int left_of(told t, const bool estimated[OW_FIT_PARTS], ow_fit *fit)
{
    ow_sought unknown[OW_SOUGHT] = {
        {0.5, estimated[0]}, {0.5, estimated[1]}, {0.5, estimated[2]}, {1.0, true}, {1.0, true}};
    double sd[OW_FIT_PARTS] = {0.5 * t.side, 0.5 * t.top, 0.5 * t.water};
    double c[OW_SOUGHT][OW_SOUGHT] = {{0.0}};
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        c[i][i] = sd[i] * sd[i];
    }
    /* The start and the probe's error may hang together: neither is told. */
    c[START][START] = c[OFF][OFF] = c[START][OFF] = c[OFF][START] = 1.0;
    c[0][1] = c[1][0] = t.side_top * sd[0] * sd[1];
    c[0][2] = c[2][0] = t.side_water * sd[0] * sd[2];
    c[1][2] = c[2][1] = t.top_water * sd[1] * sd[2];
    *fit = (ow_fit){.hours = 0.0};
    return ow_fit_to_leave(unknown, c, fit);
}

/* The later of a pair that hangs together beyond 0.95, either way; else the last that is narrowed
 * to no less than three quarters. */
static void what_is_left_to_the_tables(void **state)
{
    (void)state;
    static const bool all[] = {true, true, true}, no_top[] = {true, false, true},
                      no_water[] = {true, true, false};
    static const struct {
        told t;
        const bool *estimated;
        int left, with; /* with: -1: not tangled but untold */
    } cases[] = {
        {{0.2, 0.2, 0.2, 0.94, -0.94, 0.94}, all, -1, -1},
        {{0.2, 0.2, 0.2, 0.96, 0.0, 0.0}, all, TOP, SIDE},
        {{0.2, 0.2, 0.2, 0.96, -0.97, 0.0}, all, WATER, SIDE},
        {{0.2, 0.2, 0.2, 0.0, 0.0, -0.96}, all, WATER, TOP},
        {{0.2, 0.2, 0.2, 0.0, 0.96, 0.96}, all, WATER, SIDE},
        {{0.2, 0.2, 0.2, 0.96, 0.0, 0.96}, no_top, -1, -1},
        {{0.2, 0.2, 0.2, 0.0, 0.96, 0.96}, no_water, -1, -1},
        {{0.9, 0.9, 0.2, 0.0, 0.0, 0.0}, all, TOP, -1},
        {{0.9, 0.2, 0.2, 0.0, 0.0, 0.0}, all, SIDE, -1},
        {{0.9, 0.9, 0.9, 0.0, 0.0, 0.0}, all, WATER, -1},
        {{0.9, 0.9, 0.9, 0.0, 0.0, 0.0}, no_water, TOP, -1},
        {{0.9, 0.9, 0.2, 0.0, 0.0, 0.0}, no_top, SIDE, -1},
        {{0.75, 0.75, 0.75, 0.0, 0.0, 0.0}, all, -1, -1},
        {{2.0, 2.0, 0.2, 0.95, 0.0, 0.0}, all, TOP, -1}, /* not beyond */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_fit fit;
        int left = left_of(cases[i].t, cases[i].estimated, &fit);
        assert_int_equal(left, cases[i].left);
        if (left >= 0) {
            bool tangled = cases[i].with >= 0;
            assert_int_equal(fit.part[left].fate, tangled ? OW_FIT_TANGLED : OW_FIT_UNTOLD);
            assert_int_equal(fit.part[left].tangled_with, tangled ? cases[i].with : 0);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hours_round_a_leap_count_little),
        cmocka_unit_test(cost_is_that_of_noise_that_remembers),
        cmocka_unit_test(slopes_are_those_of_the_model),
        cmocka_unit_test(the_best_of_a_step_and_shorter_ones),
        cmocka_unit_test(each_variant_lives_as_it_would_alone),
        cmocka_unit_test(a_try_runs_its_slopes_beside_it),
        cmocka_unit_test(looking_round_finds_the_corner),
        cmocka_unit_test(the_search_rests_where_the_truth_is),
        cmocka_unit_test(whatever_the_noise_it_comes_to_rest),
        cmocka_unit_test(one_unknown_alone_is_found),
        cmocka_unit_test(a_search_without_memory_says_so),
        cmocka_unit_test(a_plant_that_cannot_be_is_told),
        cmocka_unit_test(a_search_takes_few_runs),
        cmocka_unit_test(intervals_are_stretched_by_what_the_cost_tells),
        cmocka_unit_test(what_is_left_to_the_tables),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
