/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/forecast.h"
#include "garden/persistence.h"
#include "live.h"

#define HOUR 3600.0

static const ow_forecast_source source = {.given = true,
                                          .topic = "weather/hourly",
                                          .list = "/hours",
                                          .time = "/at",
                                          .air = "/temp",
                                          .wind = "/wind",
                                          .humidity = "/rh",
                                          .cloud = "/cloud",
                                          .rain = "/rain",
                                          .unit = OW_UNIT_C,
                                          .wind_unit = OW_UNIT_KM_H,
                                          .cloud_unit = OW_UNIT_OKTA,
                                          .rain_unit = OW_UNIT_MM,
                                          .stale_after_h = 12};

static struct told told;

static ow_cause take_bytes(ow_forecast *f, const char *text, size_t size, bool stored, double at)
{
    ow_report report = {.line = tell, .self = &told};
    char *bytes = heap_bytes(text, size);
    ow_cause cause = ow_forecast_take(f, bytes, size, stored, at_s(at), &report);
    free(bytes);
    return cause;
}

static ow_cause take(ow_forecast *f, const char *text, double at)
{
    return take_bytes(f, text, strlen(text), false, at);
}

/* Hours from `first` h after the start on, every `every` h, air falling from `air` by 0.1 K. */
static char *hours_text(int first, int every, int n, double air)
{
    char *text = malloc((size_t)n * 60 + 40);
    size_t used = 0;
    assert_non_null(text);
    used += (size_t)sprintf(text, "{\"hours\": [");
    for (int i = 0; i < n; i++) {
        used +=
            (size_t)sprintf(text + used, "%s{\"at\": %lld, \"temp\": %.2f}", i > 0 ? "," : "",
                            (long long)T0 + (long long)(first + i * every) * 3600, air - 0.1 * i);
    }
    sprintf(text + used, "]}");
    return text;
}

static ow_cause take_hours(ow_forecast *f, int first, int every, int n, double air, bool stored,
                           double at)
{
    char *text = hours_text(first, every, n, air);
    ow_cause cause = take_bytes(f, text, strlen(text), stored, at);
    free(text);
    return cause;
}

static ow_quality quality(const ow_forecast *f, double at)
{
    return ow_forecast_quality(f, at_s(at));
}

static ow_forecast begin(void)
{
    ow_forecast f;
    ow_forecast_init(&f, &source);
    told = (struct told){0};
    return f;
}

static void fields_and_units(void **state)
{
    (void)state;
    ow_forecast f = begin();
    assert_int_equal(quality(&f, 0), OW_QUALITY_MISSING);
    assert_int_equal(take(&f,
                          "{\"hours\": [{\"at\": \"2024-01-15T02:00:00+01:00\", \"temp\": \"-3.5\","
                          " \"wind\": 18, \"rh\": 80, \"cloud\": 6, \"rain\": 0.4},"
                          " {\"at\": 1705284000, \"temp\": 1, \"wind\": null, \"rh\": 300},"
                          " {\"at\": 1705287600000, \"temp\": 2, \"cloud\": 9, \"rain\": \"x\"}]}",
                          0),
                     OW_CAUSE_NONE);
    assert_int_equal(f.rows, 3);
    assert_true(f.row[0].utc_s == T0 + 3600 && f.row[1].utc_s == T0 + 7200);
    assert_true(f.row[2].utc_s == T0 + 10800); /* milliseconds */
    check_close("air", f.row[0].weather.air_c, -3.5, 0, 0);
    check_close("wind", f.row[0].weather.wind_ms, 5, 1e-12, 0);
    check_close("humidity", f.row[0].weather.rh_pct, 80, 0, 0);
    check_close("cloud", f.row[0].weather.cloud_pct, 75, 1e-12, 0);
    check_close("rain", f.row[0].weather.rain_mm, 0.4, 0, 0);
    assert_true(isnan(f.row[0].weather.solar_wm2));
    assert_true(isnan(f.row[1].weather.wind_ms) && isnan(f.row[1].weather.rh_pct));
    assert_int_equal(f.dropped_numbers, 3);
    assert_int_equal(quality(&f, 60), OW_QUALITY_MEASURED);
    check_close("age", ow_forecast_age_s(&f, at_s(60).boot_s), 60, 0, 0);
    ow_forecast_free(&f);
}

static void air_only_by_its_own_list(void **state)
{
    (void)state;
    ow_forecast_source bare = {
        .topic = "w", .list = "", .time = "/0", .air = "/1", .unit = OW_UNIT_F, .stale_after_h = 6};
    ow_forecast f;
    ow_forecast_init(&f, &bare);
    assert_int_equal(take(&f, "[[\"2024-01-15T03:00Z\", 50], [\"2024-01-15 06:00\", 14]]", 0),
                     OW_CAUSE_NONE);
    check_close("air", f.row[1].weather.air_c, -10, 1e-12, 0);
    assert_true(isnan(f.row[1].weather.wind_ms));
    ow_forecast_free(&f);
}

static void order_and_doubles(void **state)
{
    (void)state;
    ow_forecast f = begin();
    assert_int_equal(take(&f,
                          "{\"hours\": [{\"at\": 1705284000, \"temp\": 2},"
                          "{\"at\": 1705280400, \"temp\": 1}, {\"at\": 1705284000, \"temp\": 3},"
                          "{\"at\": 1705262400, \"temp\": 9}, {\"at\": 1705273200, \"temp\": 8},"
                          "{\"at\": 1709284000, \"temp\": 4}, {\"at\": \"soon\", \"temp\": 4},"
                          "{\"at\": 1705287600}, {\"at\": 1705287600, \"temp\": 99}, 7]}",
                          0),
                     OW_CAUSE_NONE);
    assert_int_equal(f.rows, 3); /* one hour ago is joined, four hours ago is past */
    check_close("past", f.row[0].weather.air_c, 8, 0, 0);
    check_close("first", f.row[1].weather.air_c, 1, 0, 0);
    check_close("the last of two", f.row[2].weather.air_c, 3, 0, 0);
    assert_int_equal(f.dropped_rows, 5);
    ow_forecast_free(&f);
}

static void unusable_changes_nothing(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        ow_cause want;
    } bad[] = {
        {"", OW_CAUSE_JSON},
        {"offline", OW_CAUSE_JSON},
        {"{\"hours\": [", OW_CAUSE_JSON},
        {"{}", OW_CAUSE_NOT_THERE},
        {"{\"hours\": {}}", OW_CAUSE_NOT_THERE},
        {"{\"hours\": []}", OW_CAUSE_SHORT},
        {"{\"hours\": [1, null, \"x\"]}", OW_CAUSE_SHORT},
        {"{\"hours\": [{\"at\": 1705280400}]}", OW_CAUSE_SHORT},
        {"{\"hours\": [{\"at\": 1705276800, \"temp\": 1}]}", OW_CAUSE_SHORT}, /* now, not ahead */
        {"{\"hours\": [{\"at\": -5, \"temp\": 1}, {\"at\": 1e300, \"temp\": 1}]}", OW_CAUSE_SHORT},
    };
    ow_forecast f = begin();
    assert_int_equal(take_hours(&f, 1, 1, 48, 5, false, 0), OW_CAUSE_NONE);
    ow_weather_at *row = f.row;
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        ow_cause cause = take(&f, bad[i].text, 0);
        if (cause != bad[i].want) {
            fail_msg("%s: %s", bad[i].text, ow_cause_name(cause));
        }
        assert_ptr_equal(f.row, row);
        assert_int_equal(f.rows, 48);
    }
    assert_non_null(strstr(told.last, "weather/hourly: the forecast "));
    assert_int_equal(take_hours(&f, 1, 1, 12, 9, false, 13 * HOUR), OW_CAUSE_SHORT); /* all past */
    assert_int_equal(take_hours(&f, 14, 1, 5, 9, false, 13 * HOUR), OW_CAUSE_NONE);  /* stale one */
    assert_int_equal(f.rows, 5);
    assert_non_null(strstr(told.last, "can be read again"));
    ow_forecast_free(&f);
}

static void said_again_grows_no_younger(void **state)
{
    (void)state;
    ow_forecast f = begin();
    assert_int_equal(take_hours(&f, 1, 3, 20, 5, false, 0), OW_CAUSE_NONE);
    assert_int_equal(take_hours(&f, 1, 3, 20, 5, false, 5 * HOUR), OW_CAUSE_NONE);
    check_close("age", ow_forecast_age_s(&f, at_s(5 * HOUR).boot_s), 5 * HOUR, 0, 0);
    assert_int_equal(quality(&f, 12 * HOUR), OW_QUALITY_MEASURED);
    assert_int_equal(quality(&f, 12 * HOUR + 1), OW_QUALITY_STALE);
    assert_int_equal(take_hours(&f, 1, 3, 20, 5.1, false, 13 * HOUR), OW_CAUSE_NONE);
    assert_int_equal(quality(&f, 13 * HOUR), OW_QUALITY_MEASURED);
    ow_forecast_free(&f);
}

static void stored_is_weighed_by_its_hours(void **state)
{
    (void)state;
    ow_forecast f = begin();
    assert_int_equal(take_hours(&f, -25, 1, 100, 5, true, 0), OW_CAUSE_TIME);
    assert_int_equal(f.rows, 0);
    assert_int_equal(take_hours(&f, -23, 1, 100, 5, true, 0), OW_CAUSE_NONE);
    assert_int_equal(quality(&f, 0), OW_QUALITY_STORED);
    ow_forecast_free(&f);
}

static void bounded(void **state)
{
    (void)state;
    ow_forecast f = begin();
    char *text = malloc(OW_FORECAST_SIZE_MAX + 1);
    size_t used = 0;
    assert_non_null(text);
    used += (size_t)sprintf(text, "{\"hours\": [");
    for (int i = 0; i < 1200; i++) {
        used += (size_t)sprintf(text + used, "%s{\"at\": %lld, \"temp\": 1}", i > 0 ? "," : "",
                                (long long)T0 + 60 * (i + 1));
    }
    used += (size_t)sprintf(text + used, "]}");
    assert_int_equal(take_bytes(&f, text, used, false, 0), OW_CAUSE_NONE);
    assert_int_equal(f.rows, OW_FORECAST_ROWS);
    assert_int_equal(f.dropped_rows, 200);
    memset(text + used, ' ', OW_FORECAST_SIZE_MAX + 1 - used);
    assert_int_equal(take_bytes(&f, text, OW_FORECAST_SIZE_MAX + 1, false, 0), OW_CAUSE_LONG);
    free(text);
    ow_forecast_free(&f);
}

/* A day of hourly rows up to `end_h`, air the hour's number; a gap where wanted. */
static ow_forcing measured_day(int hours, int gap_from, int gap_until)
{
    ow_forcing day = {0};
    for (int h = -hours; h <= 0; h++) {
        ow_weather_at row = {.utc_s = T0 + h * 3600,
                             .weather = {h, NAN, 2, NAN, NAN, NAN, 0.5, NAN, NAN, NAN}};
        if (h > gap_from && h < gap_until) {
            continue;
        }
        assert_int_equal(ow_forcing_add(&day, &row, 1), OW_OK);
    }
    return day;
}

static void the_last_day_over_again(void **state)
{
    (void)state;
    ow_weather_at rows[50];
    ow_forcing day = measured_day(30, 0, 0);
    assert_int_equal(ow_persist(&day, T0, 50, rows), OW_OK);
    assert_true(rows[0].utc_s == T0 + 3600 && rows[49].utc_s == T0 + 50 * 3600);
    /* between rows all is linear: half an hour about -23 h has the mean -23 but for the kink */
    check_close("an hour from now", rows[0].weather.air_c, -23, 1e-9, 0);
    check_close("half a day", rows[11].weather.air_c, -12, 1e-9, 0);
    check_close("a day later the same", rows[35].weather.air_c, -12, 1e-9, 0);
    check_close("rain", rows[5].weather.rain_mm, 0.5, 1e-9, 0);
    check_close("wind", rows[5].weather.wind_ms, 2, 1e-9, 0);
    assert_true(isnan(rows[5].weather.rh_pct));
    ow_forcing_free(&day);
    day = measured_day(12, 0, 0);
    assert_int_equal(ow_persist(&day, T0, 50, rows), OW_NOT_FOUND); /* half a day is no day */
    ow_forcing_free(&day);
    day = measured_day(30, -12, -8);
    assert_int_equal(ow_persist(&day, T0, 50, rows), OW_NOT_FOUND); /* four hours unknown */
    ow_forcing_free(&day);
    day = (ow_forcing){0};
    assert_int_equal(ow_persist(&day, T0, 50, rows), OW_NOT_FOUND);
}

static size_t rows_of(const ow_forecast *f, double at, double until_h, ow_weather_at *rows,
                      size_t room)
{
    return ow_forecast_rows(f, at_s(at), T0 + (ow_utc_s)(until_h * HOUR), rows, room);
}

static void rows_ahead_while_fresh(void **state)
{
    (void)state;
    ow_weather_at rows[72];
    ow_forecast f = begin();
    assert_int_equal(rows_of(&f, 0, 48, rows, 72), 0);
    assert_int_equal(take_hours(&f, -2, 1, 60, 5, false, 0), OW_CAUSE_NONE);
    assert_int_equal(rows_of(&f, 0, 48, rows, 72), 48);
    assert_true(rows[0].utc_s == T0 + 3600 && rows[47].utc_s == T0 + 48 * 3600);
    assert_int_equal(rows_of(&f, 0, 48, rows, 10), 10);
    assert_int_equal(rows_of(&f, 0, 300, rows, 72), 57); /* no further than it goes */
    assert_int_equal(rows_of(&f, 12 * HOUR + 1, 48, rows, 72), 0); /* stale: 12 h at most */
    ow_forecast_free(&f);
}

static double air_at(const ow_forecast *f, double at, int hour)
{
    static ow_weather_at rows[400];
    size_t n = rows_of(f, at, 300, rows, 400);
    for (size_t i = 0; i < n; i++) {
        if (rows[i].utc_s == T0 + hour * 3600) {
            return rows[i].weather.air_c;
        }
    }
    return NAN;
}

/* The newer, shorter one rules as far as it goes, and the older, longer one beyond. */
static void the_tail_of_a_longer_one(void **state)
{
    (void)state;
    ow_forecast f = begin();
    assert_int_equal(take_hours(&f, 1, 1, 100, 20, false, 0), OW_CAUSE_NONE);
    assert_int_equal(take_hours(&f, 3, 1, 30, 5, false, 2 * HOUR), OW_CAUSE_NONE); /* to hour 32 */
    assert_true(f.own == 30 && f.rows == 98);
    assert_true(ow_forecast_own_end_s(&f) == T0 + 32 * 3600);
    check_close("its last", air_at(&f, 2 * HOUR, 32), 5 - 2.9, 1e-9, 0);
    check_close("beyond", air_at(&f, 2 * HOUR, 33), 20 - 3.2, 1e-9, 0);
    check_close("the end", air_at(&f, 2 * HOUR, 100), 20 - 9.9, 1e-9, 0);
    check_close("age", ow_forecast_age_s(&f, at_s(3 * HOUR).boot_s), HOUR, 0, 0);
    /* either said again changes nothing, however often */
    for (int i = 0; i < 2; i++) {
        assert_int_equal(take_hours(&f, 1, 1, 100, 20, false, 4 * HOUR), OW_CAUSE_NONE);
        assert_int_equal(take_hours(&f, 3, 1, 30, 5, false, 4 * HOUR), OW_CAUSE_NONE);
        check_close("age", ow_forecast_age_s(&f, at_s(5 * HOUR).boot_s), 3 * HOUR, 0, 0);
        check_close("near", air_at(&f, 5 * HOUR, 10), 5 - 0.7, 1e-9, 0);
    }
    /* a next short one keeps the tail, and the tail its age: twelve hours from its own coming */
    assert_int_equal(take_hours(&f, 9, 1, 40, 7, false, 8 * HOUR), OW_CAUSE_NONE);
    check_close("beyond", air_at(&f, 12 * HOUR, 49), 20 - 4.8, 1e-9, 0);
    assert_true(isnan(air_at(&f, 12 * HOUR + 1, 49)));
    check_close("near", air_at(&f, 12 * HOUR + 1, 48), 7 - 3.9, 1e-9, 0);
    assert_int_equal(quality(&f, 12 * HOUR + 1), OW_QUALITY_MEASURED);
    /* a longer one rules alone */
    assert_int_equal(take_hours(&f, 14, 1, 100, 1, false, 13 * HOUR), OW_CAUSE_NONE);
    assert_true(f.own == 100 && f.rows == 100);
    ow_forecast_free(&f);
}

/* When the short one's hours have passed its tail is what is gone by; a stale one leaves none. */
static void a_tail_alone(void **state)
{
    (void)state;
    ow_forecast f = begin();
    assert_int_equal(take_hours(&f, 1, 1, 60, 20, true, 0), OW_CAUSE_NONE);
    assert_int_equal(take_hours(&f, 2, 1, 4, 5, false, HOUR), OW_CAUSE_NONE); /* to hour 5 */
    assert_int_equal(quality(&f, 4 * HOUR), OW_QUALITY_MEASURED);
    assert_int_equal(quality(&f, 6 * HOUR), OW_QUALITY_STORED);
    check_close("the tail's", air_at(&f, 6 * HOUR, 7), 20 - 0.6, 1e-9, 0);
    assert_int_equal(quality(&f, 12 * HOUR + 1), OW_QUALITY_STALE);
    assert_int_equal(take_hours(&f, 14, 1, 5, 3, false, 13 * HOUR), OW_CAUSE_NONE);
    assert_true(f.own == 5 && f.rows == 5);
    ow_forecast_free(&f);
}

/* Three-hourly hours stay as they are; holes of six and twelve hours are drawn across, and one of
 * fifteen stays. */
static void missing_hours_are_drawn_across(void **state)
{
    (void)state;
    ow_weather_at rows[72];
    ow_forecast f = begin();
    assert_int_equal(take(&f,
                          "{\"hours\": ["
                          "{\"at\": 1705276800, \"temp\": 3, \"cloud\": 0},"
                          "{\"at\": 1705287600, \"temp\": 0, \"cloud\": 0, \"rain\": 3},"
                          "{\"at\": 1705309200, \"temp\": -6, \"cloud\": 6, \"rain\": 6},"
                          "{\"at\": 1705363200, \"temp\": 9}]}",
                          0),
                     OW_CAUSE_NONE);
    assert_int_equal(rows_of(&f, 0, 48, rows, 72), 1 + 6 + 1);
    check_close("three-hourly rain", rows[0].weather.rain_mm, 3, 0, 0);
    for (int h = 1; h <= 6; h++) {
        assert_true(rows[h].utc_s == T0 + (3 + h) * 3600);
        check_close("air", rows[h].weather.air_c, -h, 1e-12, 0);
        check_close("cloud", rows[h].weather.cloud_pct, 12.5 * h, 1e-12, 0);
        check_close("rain spread", rows[h].weather.rain_mm, 1, 1e-12, 0);
        assert_true(isnan(rows[h].weather.wind_ms));
    }
    assert_true(rows[7].utc_s == T0 + 24 * 3600);
    assert_int_equal(rows_of(&f, 5 * HOUR, 7, rows, 72), 2); /* within the hole */
    assert_true(rows[0].utc_s == T0 + 6 * 3600 && rows[1].utc_s == T0 + 7 * 3600);
    ow_forecast_free(&f);
}

static void tenths_become_a_spread(void **state)
{
    (void)state;
    ow_forecast_source wide = source;
    wide.air_low = "/p10";
    wide.air_high = "/p90";
    ow_forecast f;
    ow_forecast_init(&f, &wide);
    assert_int_equal(take(&f,
                          "{\"hours\": [{\"at\": 1705280400, \"temp\": 1, \"p10\": -2, "
                          "\"p90\": 3.1262}, {\"at\": 1705284000, \"temp\": 1, \"p10\": 2},"
                          "{\"at\": 1705287600, \"temp\": 1, \"p10\": 3, \"p90\": 2}]}",
                          0),
                     OW_CAUSE_NONE);
    /* 1.2816 standard deviations on either side: tables of the normal distribution */
    check_close("spread", f.row[0].air_sd_k, 2.0, 1e-3, 0);
    check_close("half of it is none", f.row[1].air_sd_k, 0, 0, 0);
    check_close("turned round is none", f.row[2].air_sd_k, 0, 0, 0);
    ow_forecast_free(&f);
}

static void mutations(void **state)
{
    (void)state;
    static const char seed_text[] =
        "{\"hours\": [{\"at\": \"2024-01-15T01:00Z\", \"temp\": -3.5, \"wind\": 18, \"rh\": 80},"
        " {\"at\": 1705284000, \"temp\": \"1.5\", \"cloud\": 6, \"rain\": 0.4}]}";
    ow_forecast f = begin();
    unsigned seed = 4711;
    int good = 0;
    unsigned long complaints = 0;
    for (int i = 0; i < 10000; i++) {
        char text[sizeof seed_text + 1];
        memcpy(text, seed_text, sizeof seed_text);
        size_t size = mutate(text, sizeof seed_text - 1, &seed);
        ow_weather_at *row;
        size_t rows;
        if (i % 20 == 0) { /* else one that reaches far keeps out all others */
            complaints += f.complaints.total;
            ow_forecast_free(&f);
            f = begin();
        }
        row = f.row;
        rows = f.rows;
        if (take_bytes(&f, text, size, i % 5 == 0, 0) != OW_CAUSE_NONE) {
            assert_ptr_equal(f.row, row);
            assert_int_equal(f.rows, rows);
            continue;
        }
        good++;
        for (size_t r = 0; r < f.rows; r++) {
            check_between("air", f.row[r].weather.air_c, -60, 60);
            assert_true(r == 0 || f.row[r].utc_s > f.row[r - 1].utc_s);
        }
    }
    assert_true(good > 500 && complaints > 2000);
    ow_forecast_free(&f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fields_and_units),
        cmocka_unit_test(air_only_by_its_own_list),
        cmocka_unit_test(order_and_doubles),
        cmocka_unit_test(unusable_changes_nothing),
        cmocka_unit_test(said_again_grows_no_younger),
        cmocka_unit_test(stored_is_weighed_by_its_hours),
        cmocka_unit_test(bounded),
        cmocka_unit_test(the_last_day_over_again),
        cmocka_unit_test(rows_ahead_while_fresh),
        cmocka_unit_test(the_tail_of_a_longer_one),
        cmocka_unit_test(a_tail_alone),
        cmocka_unit_test(missing_hours_are_drawn_across),
        cmocka_unit_test(tenths_become_a_spread),
        cmocka_unit_test(mutations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
