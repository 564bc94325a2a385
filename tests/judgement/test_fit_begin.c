/* SPDX-License-Identifier: MIT */
/* Where a fit begins, which hours of a record count, and what the tables alone miss: records are
 * made of what the tables' own plant would do, so that it is known to the last digit. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/records.h"
#include "starve.h"

#define POT "'pot':{'diameter_mm':220,'depth_mm':200,'medium':'peat-free mix'}"
#define BED "'bed':{'medium':'loam'}"

enum { HOURS = 72, POT_SETTLES_H = 12, BED_SETTLES_H = 24 };

#define FROM (STAGE_MIDWINTER + 60 * OW_DAY_S)

/* Cool days without frost, after weeks that each have an air of their own. */
static double air_c(double h)
{
    double weeks_c = h < 0.0 ? 4.0 * sin(h / 60.0) : 0.0;
    return 6.0 + weeks_c + 5.0 * cos(6.2832 * (h - 14.0) / 24.0);
}

/* An hour's weather each from `before_h` before the record to its end. */
static void begin(record *r, const char *plant, double before_h)
{
    char quoted[YARD_TEXT], text[YARD_TEXT];
    snprintf(quoted, sizeof quoted,
             "'places':[{'id':'deck','kind':'open sky'}],'plants':[{'id':'lemon',"
             "'taxon':'Citrus limon','place':'deck',%s}]",
             plant);
    *r = (record){.garden = stage_garden(yard_text(quoted, text)), .truth = {.depth_m = 0.1}};
    for (double h = -before_h; h < HOURS + 1; h = floor(h) + 1.0) {
        ow_weather_at row = {.utc_s = FROM + (ow_utc_s)(h * OW_HOUR_S),
                             .weather = stage_dull(air_c(h), 3.0)};
        assert_int_equal(ow_forcing_add(&r->weather, &row, 1), OW_OK);
    }
    r->n = HOURS;
}

/* The probe is what the plant of the file lives through from `before_h` before the record. */
static void live(record *r, int before_h, double start_c)
{
    ow_scene *scene = NULL;
    ow_utc_s begin_s = FROM - before_h * OW_HOUR_S;
    assert_int_equal(ow_scene_new(r->garden, begin_s, RECORD_STEP_S, start_c, &scene), OW_OK);
    for (int h = -before_h; h < HOURS; h++) {
        ow_weather mean;
        if (h >= 0) {
            r->probe[h] = (ow_probe_at){scene->now_s, ow_cast_axis_c(scene->cast, 0, 0.1)};
        }
        ow_forcing_mean(&r->weather, scene->now_s, scene->now_s + RECORD_STEP_S, &mean);
        ow_scene_step(scene, &mean);
    }
    ow_scene_free(scene);
}

static double mean_of_day_c(const record *r, ow_utc_s from_s)
{
    ow_weather mean;
    ow_forcing_mean(&r->weather, from_s, from_s + OW_DAY_S, &mean);
    return mean.air_c;
}

/* A pot at the start, its record read to the last bit there. */
static void live_in_a_pot(record *r, double before_h, double start_c)
{
    begin(r, POT, before_h);
    live(r, 0, start_c);
    check_close("starts there", r->probe[0].c, start_c, 1e-5, 0.0);
    r->probe[0].c = start_c;
}

/* What the tables miss when `k` of the hours that count are `off_k` beside them, their mean left
 * out. */
static double spread_k(int counted, int k, double off_k)
{
    double share = (double)k / counted;
    return off_k * sqrt(share * (1.0 - share));
}

/* ---- the start ------------------------------------------------------------------------------- */

/* A pot begins where the probe is, and needs no weather before. */
static void a_pot_begins_where_the_probe_is(void **state)
{
    (void)state;
    static record r;
    for (int before_h = 0; before_h <= 50; before_h += 50) {
        live_in_a_pot(&r, before_h, 7.5);
        check_close("tables miss", record_fit(&r)->tables_k, 0.0, 1e-6, 0.0);
        record_drop(&r);
    }
}

/* A bed lives through the weather before the record, whole steps of it and forty days at the most,
 * from the first day's mean air on. */
static void a_bed_begins_weeks_before(void **state)
{
    (void)state;
    static record r;
    static const struct {
        double weather_h;
        int lives_h;
    } cases[] = {{72.0, 72}, {100.4, 100}, {960.0, 960}, {1200.0, 960}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin(&r, BED, cases[i].weather_h);
        int lives_h = cases[i].lives_h;
        live(&r, lives_h, mean_of_day_c(&r, FROM - lives_h * OW_HOUR_S));
        check_close("tables miss", record_fit(&r)->tables_k, 0.0, 1e-6, 0.0);
        record_drop(&r);
    }
}

/* ---- which hours count ----------------------------------------------------------------------- */

/* The start settles for half a day in a pot and a day in a bed; the last hour counts. */
static void hours_after_the_start_count(void **state)
{
    (void)state;
    static record r;
    for (int bed = 0; bed < 2; bed++) {
        int settles_h = bed ? BED_SETTLES_H : POT_SETTLES_H;
        const int beside[] = {1, settles_h - 1, settles_h, HOURS - 1};
        for (int i = 0; i < 4; i++) {
            if (bed) {
                begin(&r, BED, 72.0);
                live(&r, 72, mean_of_day_c(&r, FROM - 3 * OW_DAY_S));
            } else {
                live_in_a_pot(&r, 72.0, 6.0);
            }
            r.probe[beside[i]].c += 0.5;
            double want_k = i < 2 ? 0.0 : spread_k(HOURS - settles_h, 1, 0.5);
            check_close("tables miss", record_fit(&r)->tables_k, want_k, 1e-6, 0.0);
            record_drop(&r);
        }
    }
}

/* A probe that always reads a kelvin too much misses nothing; what it does beside that counts. */
static void a_steady_error_is_left_out(void **state)
{
    (void)state;
    static record r;
    for (int sign = -1; sign <= 1; sign += 2) {
        live_in_a_pot(&r, 0.0, 6.0);
        for (int k = 1; k < HOURS; k++) {
            r.probe[k].c += sign * 1.0 + (k % 2 == 0 ? 0.05 : -0.05);
        }
        const ow_fit *fit = record_fit(&r);
        check_close("tables miss", fit->tables_k, 0.05, 1e-6, 0.0);
        assert_string_equal(fit->refused, "");
        check_between("fitted misses", fit->fitted_k, 0.04, 0.15);
        check_between("seems to read too much", sign * fit->probe_off_k, 0.5, 1.0);
        record_drop(&r);
    }
}

/* No probe is three kelvins off: with such an error, steady as it may be, it is another plant's. */
static void a_great_steady_error_is_refused(void **state)
{
    (void)state;
    static record r;
    for (int sign = -1; sign <= 1; sign += 2) {
        live_in_a_pot(&r, 0.0, 6.0);
        for (int k = 1; k < HOURS; k++) {
            r.probe[k].c += sign * 4.0;
        }
        assert_non_null(strstr(record_fit(&r)->refused, "even at best the model misses the probe"));
        record_drop(&r);
    }
}

/* Ice shows below 0.15 C, in an hour that counts: only then is water asked for. */
static void ice_that_counts_tells_of_water(void **state)
{
    (void)state;
    static record r;
    static const struct {
        int hour;
        double c;
        bool ice;
    } cases[] = {{POT_SETTLES_H - 1, 0.1, false},
                 {POT_SETTLES_H, 0.149, true},
                 {POT_SETTLES_H, 0.151, false},
                 {HOURS - 1, 0.149, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin(&r, POT, 0.0);
        live(&r, 0, 6.0);
        r.probe[cases[i].hour].c = cases[i].c;
        assert_int_equal(record_fit(&r)->part[OW_FIT_WATER].fate == OW_FIT_NO_ICE, !cases[i].ice);
        record_drop(&r);
    }
}

/* ---- memory ---------------------------------------------------------------------------------- */

/* Whichever allocation is refused, from the first to the last, it is said. */
static void a_fit_without_memory_says_so(void **state)
{
    (void)state;
    static record r;
    ow_fit_task task = {.depth_m = 0.1, .step_s = RECORD_STEP_S};
    ow_fit fit;
    const int plenty = 1000000;
    if (!starve_works()) {
        skip();
    }
    begin(&r, POT, 0.0);
    live(&r, 0, 6.0);
    task.garden = r.garden;
    task.weather = &r.weather;
    task.probe = r.probe;
    task.probes = r.n;
    for (int given = plenty, all = plenty; given >= 0; given = (given < all ? given : all) - 1) {
        starve_after = given;
        starve_refused = false;
        starve_counts = true;
        ow_status status = ow_fit_run(&task, &fit);
        starve_counts = false;
        assert_int_equal(starve_refused, given < all);
        assert_int_equal(status, starve_refused ? OW_NO_MEMORY : OW_OK);
        all = starve_refused ? all : plenty - starve_after;
    }
    record_drop(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pot_begins_where_the_probe_is),
        cmocka_unit_test(a_bed_begins_weeks_before),
        cmocka_unit_test(hours_after_the_start_count),
        cmocka_unit_test(a_steady_error_is_left_out),
        cmocka_unit_test(a_great_steady_error_is_refused),
        cmocka_unit_test(ice_that_counts_tells_of_water),
        cmocka_unit_test(a_fit_without_memory_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
