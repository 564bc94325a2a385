/* SPDX-License-Identifier: MIT */
/* How a record is laid out by hours, and which hours no root ball could make: drawn by hand. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "judgement/probe_record.h"

#define MIDNIGHT ((ow_utc_s)1705276800) /* 2024-01-15T00:00:00Z */

enum { ROWS = 95 * 24 };

static ow_utc_s at(double hour)
{
    return MIDNIGHT + (ow_utc_s)floor(hour * OW_HOUR_S + 0.5);
}

/* ---- laying out ------------------------------------------------------------------------------ */

static ow_probe_at probe[ROWS];
static size_t probes;
static ow_forcing weather;
static char why[OW_RECORD_WORDS];

/* Both are their own hour in degrees: the probe each hour from first_h on, the air each hour. */
static void rows(double probe_from_h, double probe_to_h, double air_from_h, double air_to_h)
{
    probes = 0;
    ow_forcing_clear(&weather);
    for (double h = probe_from_h; h <= probe_to_h + 1e-9; h += 1.0) {
        probe[probes++] = (ow_probe_at){at(h), h};
    }
    for (double h = air_from_h; h <= air_to_h + 1e-9; h += 1.0) {
        ow_weather_at row = {.utc_s = at(h), .weather = {.air_c = h}};
        assert_int_equal(ow_forcing_add(&weather, &row, 1), OW_OK);
    }
}

static ow_record_hours lay_out(void)
{
    ow_record_hours hours;
    why[0] = '\0';
    assert_int_equal(ow_record_lay_out(probe, probes, &weather, &hours, why), OW_OK);
    return hours;
}

static void hours_are_the_whole_ones_in_common(void **state)
{
    (void)state;
    static const struct {
        double probe_from, probe_to, air_from, air_to;
        double from;
        size_t n;
    } cases[] = {
        {0.0, 70.0, 0.0, 70.0, 0.0, 71},
        {1.0 / 3.0, 71.0 + 1.0 / 3.0, 0.0, 70.0, 1.0, 70},
        {0.0, 69.0, 2.0, 80.0, 2.0, 68},
        {5.0, 90.0, 2.0 + 0.5, 80.5, 5.0, 76},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        rows(cases[i].probe_from, cases[i].probe_to, cases[i].air_from, cases[i].air_to);
        ow_record_hours h = lay_out();
        assert_string_equal(why, "");
        assert_true(h.from_s == at(cases[i].from));
        assert_int_equal(h.n, cases[i].n);
        for (size_t k = 0; k < h.n; k++) {
            double hour = cases[i].from + (double)k;
            check_close("probe", h.probe_c[k], hour, 1e-9, 0.0);
            /* The mean of the hour round it; beyond its ends the weather is held. */
            if (hour - 0.5 >= cases[i].air_from && hour + 0.5 <= cases[i].air_to) {
                check_close("air", h.air_c[k], hour, 1e-9, 0.0);
            } else {
                check_close("air", h.air_c[k], hour, 0.13, 0.0);
            }
        }
        ow_record_free(&h);
        assert_true(h.n == 0 && h.probe_c == NULL && h.air_c == NULL);
    }
}

/* Before 1970 hours are whole at the same minute. */
static void hours_before_the_epoch_are_whole(void **state)
{
    (void)state;
    const ow_utc_s back_s = MIDNIGHT + 7200; /* two hours into the year 1970 */
    rows(0.25, 75.25, 0.0, 76.0);
    for (size_t i = 0; i < probes; i++) {
        probe[i].utc_s -= back_s;
    }
    for (size_t i = 0; i < weather.rows; i++) {
        weather.row[i].utc_s -= back_s;
    }
    ow_record_hours h = lay_out();
    assert_string_equal(why, "");
    assert_true(h.from_s == -3600 && h.n == 75);
    ow_record_free(&h);
}

static void check_refused(const char *words)
{
    ow_record_hours h = lay_out();
    assert_string_equal(why, words);
    ow_record_free(&h);
}

/* And no hour is laid out: a record of years need not be held. */
static void check_length(const char *words)
{
    ow_record_hours h = lay_out();
    assert_string_equal(why, words);
    assert_null(h.probe_c);
    assert_null(h.air_c);
}

static void nothing_is_nothing(void **state)
{
    (void)state;
    rows(0.0, 70.0, 0.0, 70.0);
    probes = 0;
    check_refused("there is no probe reading");
    rows(0.0, 70.0, 0.0, 70.0);
    ow_forcing_clear(&weather);
    check_refused("there is no weather");
}

static void no_time_in_common_is_told(void **state)
{
    (void)state;
    rows(0.0, 70.0, 72.0, 100.0);
    check_refused("the probe's record goes from 2024-01-15T00:00:00Z to 2024-01-17T22:00:00Z and "
                  "the weather from 2024-01-18T00:00:00Z to 2024-01-19T04:00:00Z: they have no "
                  "time in common");
    rows(0.0, 70.0, 70.0, 100.0); /* one hour is one */
    check_refused("too short: probe and weather have 0 hours in common; it takes 60, three nights "
                  "with the days between");
}

static void lengths_have_their_bounds(void **state)
{
    (void)state;
    rows(0.0, 59.0, 0.0, 70.0);
    check_length("too short: probe and weather have 59 hours in common; it takes 60, three nights "
                 "with the days between");
    rows(0.0, 60.0, 0.0, 70.0);
    check_refused("");
    rows(0.0, 2160.0, 0.0, 2170.0);
    check_refused("");
    rows(0.0, 2179.0, 0.0, 2179.0);
    check_length("too long: probe and weather have 90 days in common and a pot changes in that "
                 "time; take at most 90 by --from and --until");
    rows(0.0, 2161.0, 0.0, 2179.0);
    check_length("too long: probe and weather have 90 days in common and a pot changes in that "
                 "time; take at most 90 by --from and --until");
}

/* Takes readings out of the probe's record. */
static void cut(size_t from, size_t n)
{
    memmove(&probe[from], &probe[from + n], (probes - from - n) * sizeof probe[0]);
    probes -= n;
}

static void gaps_of_the_probe_are_told(void **state)
{
    (void)state;
    rows(0.0, 90.0, 0.0, 90.0);
    cut(20, 2); /* three hours from 19 to 22: bridged straight */
    ow_record_hours h = lay_out();
    assert_string_equal(why, "");
    check_close("bridged", h.probe_c[20], 20.0, 1e-9, 0.0);
    ow_record_free(&h);
    probe[20].utc_s += 1; /* and a second */
    check_refused("the probe's record has 1 gap of more than 3 hours, the first of 3 hours after "
                  "2024-01-15T19:00:00Z; the longest part without one is --from "
                  "2024-01-15T22:00:01Z --until 2024-01-18T18:00:00Z");
    rows(0.0, 90.0, 0.0, 90.0);
    cut(80, 4); /* the first part is the longest */
    check_refused("the probe's record has 1 gap of more than 3 hours, the first of 5 hours after "
                  "2024-01-18T07:00:00Z; the longest part without one is --from "
                  "2024-01-15T00:00:00Z --until 2024-01-18T07:00:00Z");
    cut(10, 5); /* the middle one, and of two as long the first */
    check_refused("the probe's record has 2 gaps of more than 3 hours, the first of 6 hours after "
                  "2024-01-15T09:00:00Z; the longest part without one is --from "
                  "2024-01-15T15:00:00Z --until 2024-01-18T07:00:00Z");
    rows(0.0, 44.0, 0.0, 90.0);
    cut(20, 5);
    check_refused("the probe's record has 1 gap of more than 3 hours, the first of 6 hours after "
                  "2024-01-15T19:00:00Z; the longest part without one is --from "
                  "2024-01-15T00:00:00Z --until 2024-01-15T19:00:00Z");
}

/* A gap after the very first reading; and three hours, which are none, beside one that is. */
static void gaps_at_the_edge_are_told(void **state)
{
    (void)state;
    rows(0.0, 90.0, 0.0, 90.0);
    cut(1, 5);
    check_refused("the probe's record has 1 gap of more than 3 hours, the first of 6 hours after "
                  "2024-01-15T00:00:00Z; the longest part without one is --from "
                  "2024-01-15T06:00:00Z --until 2024-01-18T18:00:00Z");
    rows(0.0, 90.0, 0.0, 90.0);
    cut(20, 2);
    cut(60, 5);
    check_refused("the probe's record has 1 gap of more than 3 hours, the first of 6 hours after "
                  "2024-01-17T13:00:00Z; the longest part without one is --from "
                  "2024-01-15T00:00:00Z --until 2024-01-17T13:00:00Z");
}

/* However long the gap behind it, a part is as long as it is; and where each reading has a gap
 * behind it the first stands for itself. */
static void a_gap_is_no_part(void **state)
{
    (void)state;
    rows(0.0, 90.0, 0.0, 90.0);
    cut(70, 10); /* after 29 hours */
    cut(35, 5);  /* 34 hours, the longest */
    check_refused("the probe's record has 2 gaps of more than 3 hours, the first of 6 hours after "
                  "2024-01-16T10:00:00Z; the longest part without one is --from "
                  "2024-01-15T00:00:00Z --until 2024-01-16T10:00:00Z");
    rows(0.0, 90.0, 0.0, 90.0);
    for (size_t i = 0; i < probes; i++) {
        probe[i].utc_s = at(4.0 * (double)i);
    }
    check_refused("the probe's record has 90 gaps of more than 3 hours, the first of 4 hours after "
                  "2024-01-15T00:00:00Z; the longest part without one is --from "
                  "2024-01-15T00:00:00Z --until 2024-01-15T00:00:00Z");
}

/* A reading at the hour itself is taken as it is. */
static void whole_hours_are_taken_as_they_are(void **state)
{
    (void)state;
    rows(0.0, 70.0, 0.0, 70.0);
    for (size_t i = 0; i < probes; i++) {
        probe[i].c = i % 2 == 0 ? 6.0 : 0.15; /* 6 + (0.15 - 6) is more than 0.15 */
    }
    ow_record_hours h = lay_out();
    for (size_t k = 0; k < h.n; k++) {
        assert_true(h.probe_c[k] == probe[k].c);
    }
    ow_record_free(&h);
}

/* The last hour is that of the last reading. */
static void the_last_reading_counts(void **state)
{
    (void)state;
    rows(0.0, 70.0, 0.0, 70.0);
    probe[70].c = -3.0;
    ow_record_hours h = lay_out();
    check_close("last", h.probe_c[70], -3.0, 0.0, 0.0);
    check_close("the one before", h.probe_c[69], 69.0, 1e-9, 0.0);
    ow_record_free(&h);
}

/* A hole in the air is bridged up to OW_BRIDGE_S. */
static void gaps_of_the_weather_are_told(void **state)
{
    (void)state;
    const int bridged_h = (int)(OW_BRIDGE_S / OW_HOUR_S);
    for (int more = 0; more < 2; more++) {
        rows(0.0, 70.0, 0.0, 70.0);
        for (int k = 1; k < bridged_h + more; k++) {
            weather.row[30 + k].weather.air_c = NAN;
        }
        char words[OW_RECORD_WORDS] = "";
        if (more) {
            snprintf(words, sizeof words,
                     "the weather has a gap of %d hours in its air_c at 2024-01-16T0%d:00:00Z; "
                     "take a part without one by --from and --until",
                     bridged_h + 1, 6);
        }
        check_refused(words);
    }
}

/* Two readings at one time: the later one holds from then on, and nothing is divided by nought. */
static void two_readings_at_one_time(void **state)
{
    (void)state;
    rows(0.0, 70.0, 0.0, 70.0);
    probe[1].utc_s = probe[0].utc_s;
    ow_record_hours h = lay_out();
    check_close("first", h.probe_c[0], 0.0, 1e-9, 0.0);
    check_close("then", h.probe_c[1], 1.5, 1e-9, 0.0);
    ow_record_free(&h);
}

/* ---- what is no root ball -------------------------------------------------------------------- */

enum { N = 96 };

/* Allocated, so that a look past either end is seen. */
static double *probe_c, *air_c, *model_c;

static int make_room(void **state)
{
    (void)state;
    probe_c = calloc(N, sizeof *probe_c);
    air_c = calloc(N, sizeof *air_c);
    model_c = calloc(N, sizeof *model_c);
    return probe_c != NULL && air_c != NULL && model_c != NULL ? 0 : -1;
}

static void check_odd(const char *words)
{
    ow_record_hours h = {.from_s = MIDNIGHT, .n = N, .probe_c = probe_c, .air_c = air_c};
    why[0] = '\0';
    bool odd = ow_record_is_odd(&h, model_c, why);
    if (odd != (why[0] != '\0') || odd != (words[0] != '\0') ||
        strncmp(why, words, strlen(words)) != 0) {
        fail_msg("\"%s\" does not begin with \"%s\"", why, words);
    }
}

static void fill(double *x, double mean_c, double swing_k, double late_h)
{
    for (int k = 0; k < N; k++) {
        x[k] = mean_c + swing_k * sin(6.283185307179586 * (k - late_h) / 24.0);
    }
}

static void means_that_part_are_of_another_unit_or_garden(void **state)
{
    (void)state;
    static const struct {
        double probe_c, air_c, model_c;
        const char *words;
    } cases[] = {
        {10.0, 2.0, 2.0, ""},
        {10.1, 2.0, 2.0, "the probe reads 10.1 C on the mean where the model has 2.0 C: see"},
        {-6.1, 2.0, 2.0, "the probe reads -6.1 C on the mean where the model has 2.0 C: see"},
        {41.0, 3.0, 5.0, "the probe reads 41.0 on the mean in air of 3.0 C: is it in degrees F"},
        {41.0, 0.0, 5.0, "the probe reads 41.0 on the mean in air of 0.0 C: is it in degrees F"},
        {41.0, 0.0, -5.0, "the probe reads 41.0 on the mean in air of 0.0 C: is it in degrees F"},
        {41.0, -1.0, 5.0, "the probe reads 41.0 on the mean in air of -1.0 C: is it in degrees F"},
        {41.0, -3.0, 5.0, "the probe reads 41.0 C on the mean where"}, /* 8 K of 4 and half of 8 */
        {6.0, 50.0, 48.0, "the probe reads 6.0 C on the mean where"},
        {6.1, 50.0, 48.0, "air_c is 50.0 on the mean beside a probe at 6.1 C: is the weather in"},
        {13.9, 50.0, 48.0, "air_c is 50.0 on the mean beside a probe at 13.9 C: is the weather in"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        fill(probe_c, cases[i].probe_c, 0.0, 0.0);
        fill(air_c, cases[i].air_c, 0.0, 0.0);
        fill(model_c, cases[i].model_c, 0.0, 0.0);
        check_odd(cases[i].words);
    }
    fill(probe_c, 9.9, 0.0, 0.0); /* the mean is that of all hours, the first and the last too */
    fill(air_c, 2.0, 0.0, 0.0);
    fill(model_c, 2.0, 0.0, 0.0);
    check_odd("");
    probe_c[0] += 0.2 * N;
    check_odd("the probe reads 10.1 C");
    probe_c[0] -= 0.2 * N;
    probe_c[N - 1] += 0.2 * N;
    check_odd("the probe reads 10.1 C");
}

static void nights_must_be_cold_once(void **state)
{
    (void)state;
    static const int coldest[] = {0, 1, 50, N - 1};
    fill(probe_c, 9.0, 0.0, 0.0);
    fill(model_c, 9.0, 0.0, 0.0);
    fill(air_c, 8.0, 0.0, 0.0);
    check_odd(
        "too warm: the air did not fall below 8.0 C; in such weather sun and drying count for "
        "more than the pot does; take nights that fall below 8 C");
    for (size_t i = 0; i < sizeof coldest / sizeof coldest[0]; i++) {
        fill(air_c, 9.0, 0.0, 0.0);
        air_c[coldest[i]] = 7.99;
        check_odd("");
    }
}

/* Readings that change by a kelvin each hour but for a stretch, in air that does by six. Changes
 * over two hours, which all else looks at, are none. */
static void stick(double c, int from, int hours, double jitter_k, double air_span_k)
{
    for (int k = 0; k < N; k++) {
        bool held = k >= from && k < from + hours;
        probe_c[k] = held ? c + (k % 2) * jitter_k : c + 1.0 + k % 2;
        air_c[k] = (k % 2) * air_span_k;
    }
    fill(model_c, 3.0, 0.0, 0.0);
}

static void a_stuck_probe_is_found(void **state)
{
    (void)state;
    static const struct {
        double c;
        int from, hours;
        double jitter_k, air_span_k;
        const char *words;
    } cases[] = {
        {3.25, 30, 11, 0.0, 6.0, ""},
        {3.25, 30, 12, 0.0, 6.0,
         "from 2024-01-16T06:00:00Z the probe reads 3.25 C without a change "
         "for 12 hours: it is stuck"},
        {3.25, 0, 12, 0.0, 6.0, "from 2024-01-15T00:00:00Z the probe reads 3.25 C"},
        {3.25, N - 12, 12, 0.0, 6.0, "from 2024-01-18T12:00:00Z the probe reads 3.25 C"},
        {3.25, 30, 12, 0.009, 6.0, "from 2024-01-16T06:00:00Z"},
        {3.25, 30, 12, 0.011, 6.0, ""},
        {3.25, 30, 12, 0.0, 5.0, ""},
        {3.25, 30, 12, 0.0, 5.1, "from 2024-01-16T06:00:00Z"},
        {0.61, 30, 12, 0.0, 6.0, "from 2024-01-16T06:00:00Z"},
        {0.6, 30, 12, 0.0, 6.0, ""}, /* ice holds it there */
        {-0.6, 30, 12, 0.0, 6.0, ""},
        {-0.61, 30, 12, 0.0, 6.0, "from 2024-01-16T06:00:00Z the probe reads -0.61 C"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        stick(cases[i].c, cases[i].from, cases[i].hours, cases[i].jitter_k, cases[i].air_span_k);
        check_odd(cases[i].words);
    }
    /* Thirteen hours, but not in the second of them: never twelve on end. */
    stick(3.25, 30, 13, 0.0, 6.0);
    probe_c[31] = 3.5;
    check_odd("");
}

/* The model is the probe itself, so that following the air is no fault. */
static void what_leads_is_swapped(void **state)
{
    (void)state;
    static const struct {
        double air_late_h;
        const char *words;
    } cases[] = {
        {-3.0, ""},
        {0.0, ""},
        {1.0, ""},
        {2.0, "the air follows the probe 2 hours later: are the two files, or their columns, swap"},
        {5.0, "the air follows the probe 5 hours later"},
        {8.0, "the air follows the probe 8 hours later"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        fill(probe_c, 3.0, 2.0, 0.0);
        fill(model_c, 3.0, 2.0, 0.0);
        fill(air_c, 3.0, 4.0, cases[i].air_late_h);
        check_odd(cases[i].words);
    }
    /* A great tub may be eight hours late. In air that comes and goes by half days it then seems to
     * lead by four, too, but for what else the air does. */
    for (int k = 0; k < N; k++) {
        double was_h = k - 8.0;
        air_c[k] = 3.0 + 4.0 * sin(0.5236 * k) + 2.5 * sin(0.2 * k);
        probe_c[k] = model_c[k] = 3.0 + sin(0.5236 * was_h) + 0.625 * sin(0.2 * was_h);
    }
    check_odd("");
}

/* The probe's swing over the air's, its mean over the air's, the air's own swing, and what the
 * model makes of the same air. */
static void what_does_as_the_air_does_is_in_it(void **state)
{
    (void)state;
    static const char words[] = "the probe does what the air does, hour by hour: it is in the air";
    static const struct {
        double share, apart_k, air_swing_k, model_share, late_h;
        const char *words;
    } cases[] = {
        {1.0, 0.0, 5.0, 0.2, 0.0, words},
        {0.71, 0.0, 5.0, 0.2, 0.0, words},
        {0.69, 0.0, 5.0, 0.2, 0.0, ""},
        {1.0, 2.9, 5.0, 0.2, 0.0, words},
        {1.0, -2.9, 5.0, 0.2, 0.0, words},
        {1.0, 3.1, 5.0, 0.2, 0.0, ""},
        {1.0, -3.1, 5.0, 0.2, 0.0, ""},
        {0.90, 0.0, 5.0, 0.7, 0.0, ""}, /* the model follows the air nearly as well */
        {0.92, 0.0, 5.0, 0.7, 0.0, words},
        {1.0, 0.0, 1.0, 0.2, 0.0, ""},       /* 0.37 K in two hours: too calm to tell */
        {1.0, 0.0, 1.2, 0.2, 0.0, words},    /* 0.44 K */
        {1.0, 0.0, 1.1066, 0.2, 0.0, words}, /* 0.401 K, over the 94 changes that there are */
        {1.0, 0.0, 5.0, 0.2, 1.6, words},    /* cos(24 degrees) is 0.91 */
        {1.0, 0.0, 5.0, 0.2, 1.9, ""},       /* cos(28.5) is 0.88 */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double swing_k = cases[i].air_swing_k;
        fill(air_c, 3.0, swing_k, 0.0);
        fill(probe_c, 3.0 + cases[i].apart_k, cases[i].share * swing_k, cases[i].late_h);
        fill(model_c, 3.0, cases[i].model_share * swing_k, 0.0);
        check_odd(cases[i].words);
    }
}

/* Each hour counts: one reading in a warm hand, before the probe hung in the air, and it is not the
 * whole record that was. */
static void the_first_hour_counts(void **state)
{
    (void)state;
    fill(air_c, 3.0, 5.0, 0.0);
    fill(model_c, 3.0, 0.5, 6.0);
    fill(probe_c, 3.0, 5.0, 0.0);
    probe_c[0] = 35.0;
    check_odd("from about 2024-01-15T06:00:00Z the probe does what the air does");
}

/* A day in the air among days in the ball: told from the sixth hours on. */
static void a_probe_that_fell_out_is_found(void **state)
{
    (void)state;
    static const struct {
        int from, until;
        const char *words;
    } cases[] = {
        {48, 72,
         "from about 2024-01-17T00:00:00Z the probe does what the air does: did it fall "
         "out? take the part before by --until"},
        {0, 24, "from about 2024-01-15T00:00:00Z"},
        {N - 24, N, "from about 2024-01-18T00:00:00Z"},
        {54, 78, "from about 2024-01-17T06:00:00Z"},
        {54, 68, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        fill(air_c, 3.0, 5.0, 0.0);
        fill(model_c, 3.0, 0.5, 6.0);
        fill(probe_c, 3.0, 0.5, 6.0);
        for (int k = cases[i].from; k < cases[i].until; k++) {
            probe_c[k] = air_c[k];
        }
        check_odd(cases[i].words);
    }
}

static int sweep(void **state)
{
    (void)state;
    ow_forcing_free(&weather);
    free(probe_c);
    free(air_c);
    free(model_c);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hours_are_the_whole_ones_in_common),
        cmocka_unit_test(hours_before_the_epoch_are_whole),
        cmocka_unit_test(nothing_is_nothing),
        cmocka_unit_test(no_time_in_common_is_told),
        cmocka_unit_test(lengths_have_their_bounds),
        cmocka_unit_test(gaps_of_the_probe_are_told),
        cmocka_unit_test(gaps_at_the_edge_are_told),
        cmocka_unit_test(a_gap_is_no_part),
        cmocka_unit_test(whole_hours_are_taken_as_they_are),
        cmocka_unit_test(the_last_reading_counts),
        cmocka_unit_test(gaps_of_the_weather_are_told),
        cmocka_unit_test(two_readings_at_one_time),
        cmocka_unit_test(means_that_part_are_of_another_unit_or_garden),
        cmocka_unit_test(nights_must_be_cold_once),
        cmocka_unit_test(a_stuck_probe_is_found),
        cmocka_unit_test(what_leads_is_swapped),
        cmocka_unit_test(what_does_as_the_air_does_is_in_it),
        cmocka_unit_test(the_first_hour_counts),
        cmocka_unit_test(a_probe_that_fell_out_is_found),
    };
    return cmocka_run_group_tests(tests, make_room, sweep);
}
