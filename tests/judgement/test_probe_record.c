/* SPDX-License-Identifier: MIT */
/* Records that are no root ball's are found and told, and nothing is fitted to them. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/records.h"

#define POT "'pot':{'diameter_mm':300,'depth_mm':280,'medium':'loam mix'}"
#define SMALL_POT "'pot':{'diameter_mm':90,'depth_mm':85,'stands_on':'raised'}"
#define BED "'bed':{'medium':'loam'}"

static record r;
static const winter usual = {6.0, -2.0, 7.0, 3.0};

static void begin_at(const char *home, const char *place, const winter *w, int hours)
{
    char quoted[YARD_TEXT], text[YARD_TEXT];
    dice d = {.state = 77};
    snprintf(quoted, sizeof quoted,
             "'places':[%s],'plants':[{'id':'lemon','taxon':'Citrus limon','place':'deck',%s}]",
             place, home);
    r = (record){.garden = stage_garden(yard_text(quoted, text)),
                 .truth = {.noise_k = 0.1, .depth_m = 0.04}};
    record_make(&r, w, hours, &d);
}

static void begin(const char *home)
{
    begin_at(home, "{'id':'deck','kind':'open sky'}", &usual, 84);
}

static double air_at(size_t k)
{
    return r.weather.row[RECORD_BEFORE_H + k].weather.air_c;
}

static void check_refused(const char *words)
{
    const ow_fit *fit = record_fit(&r);
    check_says(fit->refused, words);
    assert_null(strstr(fit->refused, "nan"));
    assert_null(strstr(fit->refused, "inf"));
    record_drop(&r);
}

/* Every kind of home, untouched, as the other records begin. */
static void sound_records_are_not_refused(void **state)
{
    (void)state;
    static const char *const homes[] = {POT, SMALL_POT, BED};
    for (size_t i = 0; i < sizeof homes / sizeof homes[0]; i++) {
        begin(homes[i]);
        assert_string_equal(record_fit(&r)->refused, "");
        record_drop(&r);
    }
}

static void fahrenheit_is_found(void **state)
{
    (void)state;
    begin(POT);
    for (size_t k = 0; k < r.n; k++) {
        r.probe[k].c = 32.0 + 1.8 * r.probe[k].c;
    }
    check_refused("is it in degrees Fahrenheit? name its column probe_f");
    begin(POT);
    for (size_t k = 0; k < r.weather.rows; k++) {
        r.weather.row[k].weather.air_c = 32.0 + 1.8 * r.weather.row[k].weather.air_c;
    }
    check_refused("is the weather in degrees Fahrenheit?");
}

static void another_garden_is_found(void **state)
{
    (void)state;
    begin(POT);
    for (size_t k = 0; k < r.n; k++) {
        r.probe[k].c += 12.0;
    }
    check_refused("see that probe and weather are of one garden");
}

static void a_probe_in_the_air_is_found(void **state)
{
    (void)state;
    static const char *const homes[] = {POT, SMALL_POT, BED};
    for (size_t i = 0; i < sizeof homes / sizeof homes[0]; i++) {
        dice d = {.state = 5};
        begin(homes[i]);
        for (size_t k = 0; k < r.n; k++) {
            r.probe[k].c = air_at(k) + 0.5 + 0.1 * dice_normal(&d);
        }
        check_refused("it is in the air");
    }
}

static void a_probe_that_fell_out_is_found(void **state)
{
    (void)state;
    begin(POT);
    for (size_t k = 50; k < r.n; k++) {
        r.probe[k].c = air_at(k) - 0.3;
    }
    check_refused("did it fall out? take the part before by --until");
}

static void swapped_files_are_found(void **state)
{
    (void)state;
    begin(POT);
    for (size_t k = 0; k < r.n; k++) {
        double ball_c = r.probe[k].c;
        r.probe[k].c = air_at(k);
        r.weather.row[RECORD_BEFORE_H + k].weather.air_c = ball_c;
    }
    check_refused("are the two files, or their columns, swapped?");
}

static void gaps_are_found(void **state)
{
    (void)state;
    begin(POT);
    memmove(&r.probe[20], &r.probe[27], (r.n - 27) * sizeof r.probe[0]);
    r.n -= 7;
    check_refused("1 gap of more than 3 hours, the first of 8 hours after 2024-01-18T19:00:00Z; "
                  "the longest part without one is --from 2024-01-19T03:00:00Z --until");
    begin(POT);
    for (size_t k = 0; k < 6; k++) {
        r.weather.row[RECORD_BEFORE_H + 30 + k].weather.air_c = NAN;
    }
    check_refused("the weather has a gap of 7 hours in its air_c");
}

/* Two hours are bridged, as everywhere. */
static void a_short_hole_is_borne(void **state)
{
    (void)state;
    begin(POT);
    memmove(&r.probe[20], &r.probe[22], (r.n - 22) * sizeof r.probe[0]);
    r.n -= 2;
    assert_string_equal(record_fit(&r)->refused, "");
    record_drop(&r);
}

static void a_stuck_probe_is_found(void **state)
{
    (void)state;
    begin(POT);
    for (size_t k = 20; k < 40; k++) {
        r.probe[k].c = 3.25;
    }
    check_refused("reads 3.25 C without a change for 12 hours: it is stuck");
}

static void what_cannot_tell_is_refused(void **state)
{
    (void)state;
    static const winter mild = {15.0, 13.0, 6.0, 3.0}, cold = {-2.0, -6.0, 6.0, 3.0};
    begin(POT);
    r.n = 50;
    check_refused("too short: probe and weather have 49 hours in common");
    begin_at(POT, "{'id':'deck','kind':'open sky'}", &mild, 84);
    check_refused("too warm: the air did not fall below");
    begin_at(POT, "{'id':'deck','kind':'open sky'}", &cold, 84);
    check_refused("nobody knows how much of the root ball was ice");
    begin_at(POT, "{'id':'deck','kind':'indoors','air_c':8}", &usual, 84);
    check_refused("lemon stands indoors");
    begin(BED);
    ow_forcing_forget(&r.weather, r.probe[0].utc_s);
    check_refused("a bed remembers the weather of weeks");
    begin(POT);
    for (size_t k = 0; k < r.n; k++) {
        r.probe[k].utc_s += 400 * OW_DAY_S;
    }
    check_refused("they have no time in common");
    begin(POT);
    r.n = 0;
    check_refused("there is no probe reading");
}

/* A box round it that the tables do not know: no pot of this kind does so. */
static void what_no_pot_does_is_refused(void **state)
{
    (void)state;
    begin(POT);
    for (size_t k = 0; k < r.n; k++) {
        r.probe[k].c += 4.0 * sin(0.9 * (double)k);
    }
    check_refused("even at best the model misses the probe by");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sound_records_are_not_refused),
        cmocka_unit_test(fahrenheit_is_found),
        cmocka_unit_test(another_garden_is_found),
        cmocka_unit_test(a_probe_in_the_air_is_found),
        cmocka_unit_test(a_probe_that_fell_out_is_found),
        cmocka_unit_test(swapped_files_are_found),
        cmocka_unit_test(gaps_are_found),
        cmocka_unit_test(a_short_hole_is_borne),
        cmocka_unit_test(a_stuck_probe_is_found),
        cmocka_unit_test(what_cannot_tell_is_refused),
        cmocka_unit_test(what_no_pot_does_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
