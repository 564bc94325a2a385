/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "garden/probe.h"
#include "garden/station.h"
#include "garden_text.h"
#include "live.h"

static const char garden_file[] =
    "{\"garden\": \"g\", \"site\": {\"latitude_deg\": 43, \"longitude_deg\": 5},"
    "\"places\": [{\"id\": \"deck\", \"kind\": \"open sky\"},"
    " {\"id\": \"lean-to\", \"kind\": \"glasshouse\", \"floor_m2\": 8, \"glazing_m2\": 26}],"
    "\"readings\": ["
    " {\"id\": \"a1\", \"measures\": \"air\", \"place\": \"deck\", \"topic\": \"t/a1\"},"
    " {\"id\": \"a2\", \"measures\": \"air\", \"topic\": \"t/a2\", \"unit\": \"F\"},"
    " {\"id\": \"a3\", \"measures\": \"air\", \"place\": \"deck\", \"topic\": \"t/a3\"},"
    " {\"id\": \"in\", \"measures\": \"air\", \"place\": \"lean-to\", \"topic\": \"t/in\"},"
    " {\"id\": \"r1\", \"measures\": \"rain\", \"topic\": \"t/rain\"},"
    " {\"id\": \"both-w\", \"measures\": \"wind\", \"topic\": \"t/both\", \"pointer\": \"/w\","
    "  \"unit\": \"km/h\"},"
    " {\"id\": \"both-h\", \"measures\": \"humidity\", \"topic\": \"t/both\", \"pointer\": \"/h\"},"
    " {\"id\": \"probe\", \"measures\": \"root ball\", \"plant\": \"lemon\", \"topic\": \"t/p\"},"
    " {\"id\": \"door\", \"measures\": \"contact\", \"topic\": \"t/d\", \"open\": \"open\","
    "  \"shut\": \"shut\"}],"
    "\"plants\": [{\"id\": \"fig\", \"taxon\": \"Citrus limon\", \"place\": \"deck\","
    "  \"pot\": {\"diameter_mm\": 300, \"depth_mm\": 300}},"
    " {\"id\": \"lemon\", \"taxon\": \"Citrus limon\", \"place\": \"deck\","
    "  \"pot\": {\"diameter_mm\": 300, \"depth_mm\": 300}}]}";

enum { A1, A2, A3, IN, R1, WIND, HUMIDITY, PROBE, DOOR };

struct stage {
    ow_garden *garden;
    ow_station *station;
};

static int set_up(void **state)
{
    static struct stage stage;
    static struct lines lines;
    int errors = 0;
    if (read_bytes(garden_file, sizeof garden_file - 1, &lines, &errors, &stage.garden) != OW_OK) {
        fail_msg("%s", lines.text);
    }
    assert_int_equal(ow_station_new(stage.garden, &stage.station), OW_OK);
    *state = &stage;
    return 0;
}

static int tear_down(void **state)
{
    struct stage *stage = *state;
    ow_station_free(stage->station);
    ow_garden_free(stage->garden);
    return 0;
}

static int take(struct stage *stage, const char *topic, const char *text, bool stored, double at)
{
    struct told told = {0};
    ow_report report = {.line = tell, .self = &told};
    return ow_station_take(stage->station, topic, text, strlen(text), stored, at_s(at), &report);
}

static ow_observed measured(struct stage *stage, ow_measures measures, int at, double s)
{
    return ow_station_measured(stage->station, measures, at, at_s(s).boot_s);
}

static void topics_find_their_readings(void **state)
{
    struct stage *stage = *state;
    assert_int_equal(take(stage, "t/none", "1", false, 0), -1);
    assert_int_equal(take(stage, "t/a1", "x", false, 0), 0);
    assert_int_equal(take(stage, "t/a1", "1", false, 0), 1);
    assert_int_equal(take(stage, "t/both", "{\"w\": 36, \"h\": 80}", false, 0), 2);
    check_close("wind", measured(stage, OW_MEASURES_WIND, OW_AT_SITE, 0).value, 10, 1e-12, 0);
    check_close("humidity", measured(stage, OW_MEASURES_HUMIDITY, OW_AT_SITE, 0).value, 80, 0, 0);
    assert_int_equal(take(stage, "t/both", "{\"w\": 18}", false, 1), 1);
    assert_int_equal(ow_station_sensor(stage->station, HUMIDITY)->complaints.total, 1);
}

static void median_of_the_fresh(void **state)
{
    struct stage *stage = *state;
    (void)take(stage, "t/a1", "1", false, 0);
    (void)take(stage, "t/a2", "35.6", false, 60); /* 2 C */
    (void)take(stage, "t/a3", "3.5", false, 120);
    ow_observed o = measured(stage, OW_MEASURES_AIR, OW_AT_SITE, 180);
    check_close("of three", o.value, 2, 1e-9, 0);
    check_close("youngest", o.age_s, 60, 0, 0);
    assert_int_equal(o.fresh, 3);
    o = measured(stage, OW_MEASURES_AIR, OW_AT_SITE, 1801); /* a1 is stale */
    check_close("of two", o.value, 2.75, 1e-9, 0);
    check_close("lowest", o.lowest, 2, 1e-9, 0);
    check_close("highest", o.highest, 3.5, 1e-9, 0);
    o = measured(stage, OW_MEASURES_AIR, 0, 180); /* the deck's own */
    check_close("a place", o.value, 2.25, 1e-9, 0);
    o = measured(stage, OW_MEASURES_AIR, OW_AT_SITE, 4000);
    assert_int_equal(o.quality, OW_QUALITY_STALE);
    check_close("the youngest stale one is shown", o.value, 3.5, 0, 0);
    assert_false(o.may_arm);
}

static void contradiction(void **state)
{
    struct stage *stage = *state;
    (void)take(stage, "t/a1", "1", false, 0);
    (void)take(stage, "t/a3", "4", false, 0);
    assert_false(measured(stage, OW_MEASURES_AIR, 0, 0).contradictory); /* 3 K are allowed */
    (void)take(stage, "t/a3", "4.1", false, 60);
    ow_observed o = measured(stage, OW_MEASURES_AIR, 0, 60);
    assert_true(o.contradictory && !o.may_arm);
    check_close("the median all the same", o.value, 2.55, 1e-12, 0);
    ow_weather_at row;
    bool contradictory = false;
    assert_true(ow_station_row(stage->station, at_s(60), &row, &contradictory));
    assert_true(contradictory);
    check_close("row", row.weather.air_c, 2.55, 1e-12, 0);
    o = measured(stage, OW_MEASURES_AIR, 0, 1801); /* only one is fresh: nobody contradicts */
    assert_true(!o.contradictory && o.may_arm);
}

static void stored_is_shown_before_stale(void **state)
{
    struct stage *stage = *state;
    (void)take(stage, "t/a1", "1", false, 0);
    (void)take(stage, "t/a3", "2", true, 1700);
    ow_observed o = measured(stage, OW_MEASURES_AIR, 0, 1900);
    check_close("stored", o.value, 2, 0, 0);
    assert_int_equal(o.quality, OW_QUALITY_STORED);
    ow_weather_at row;
    bool contradictory;
    assert_false(ow_station_row(stage->station, at_s(1900), &row, &contradictory));
    assert_true(isnan(row.weather.air_c));
}

static void places_are_apart(void **state)
{
    struct stage *stage = *state;
    (void)take(stage, "t/in", "9", false, 0);
    check_close("inside", measured(stage, OW_MEASURES_AIR, 1, 0).value, 9, 0, 0);
    assert_int_equal(measured(stage, OW_MEASURES_AIR, OW_AT_SITE, 0).quality, OW_QUALITY_MISSING);
    (void)take(stage, "t/p", "0.5", false, 0);
    check_close("lemon", measured(stage, OW_MEASURES_ROOT_BALL, 1, 0).value, 0.5, 0, 0);
    assert_int_equal(measured(stage, OW_MEASURES_ROOT_BALL, 0, 0).quality, OW_QUALITY_MISSING);
    assert_int_equal(measured(stage, OW_MEASURES_TRUNK, 1, 0).quality, OW_QUALITY_MISSING);
    (void)take(stage, "t/d", "open", false, 0);
    check_close("door", ow_station_reading(stage->station, DOOR, at_s(9).boot_s).value, OW_IS_OPEN,
                0, 0);
}

static void rain_is_summed_between_rows(void **state)
{
    struct stage *stage = *state;
    ow_weather_at row;
    bool contradictory;
    (void)take(stage, "t/rain", "7", true, 0); /* stored: counted before, perhaps */
    (void)take(stage, "t/rain", "0.1", false, 0);
    assert_false(ow_station_row(stage->station, at_s(0), &row, &contradictory)); /* no air yet */
    (void)take(stage, "t/a1", "1", false, 0);
    (void)take(stage, "t/rain", "5", true, 0);
    (void)take(stage, "t/rain", "0.2", false, 60);
    (void)take(stage, "t/rain", "0.4", false, 120);
    (void)take(stage, "t/rain", "-1", false, 130);
    assert_true(ow_station_row(stage->station, at_s(180), &row, &contradictory));
    check_close("sum", row.weather.rain_mm, 0.7, 1e-12, 0);
    assert_true(row.utc_s == T0 + 180);
    assert_true(isnan(row.weather.cloud_pct) && isnan(row.weather.longwave_wm2));
    assert_true(ow_station_row(stage->station, at_s(240), &row, &contradictory));
    check_close("a new sum", row.weather.rain_mm, 0.0, 0, 0);
    assert_true(ow_station_row(stage->station, at_s(1800), &row, &contradictory));
    (void)take(stage, "t/a1", "1", false, 2000);
    assert_true(ow_station_row(stage->station, at_s(2000), &row, &contradictory));
    assert_true(isnan(row.weather.rain_mm)); /* the gauge is stale */
}

static void doubt_disarms_all(void **state)
{
    struct stage *stage = *state;
    (void)take(stage, "t/a1", "1", false, 0);
    (void)take(stage, "t/in", "1", false, 0);
    ow_station_doubt(stage->station);
    assert_false(measured(stage, OW_MEASURES_AIR, 0, 1).may_arm);
    assert_false(measured(stage, OW_MEASURES_AIR, 1, 1).may_arm);
    (void)take(stage, "t/in", "1", false, 2);
    assert_false(measured(stage, OW_MEASURES_AIR, 0, 2).may_arm);
    assert_true(measured(stage, OW_MEASURES_AIR, 1, 2).may_arm);
}

static void a_probe_pulls_gently(void **state)
{
    (void)state;
    check_close("trusted", ow_probe_pull_k(2.0, 2.5, 600), 0, 0, 0);
    check_close("unknown", ow_probe_pull_k(2.0, NAN, 600), 0, 0, 0);
    check_close("unknown", ow_probe_pull_k(NAN, 2.0, 600), 0, 0, 0);
    check_close("no time", ow_probe_pull_k(2.0, 9.0, 0), 0, 0, 0);
    check_close("a share of the rest", ow_probe_pull_k(2.0, 3.5, 720), 0.1, 1e-12, 0);
    check_close("either way", ow_probe_pull_k(3.5, 2.0, 720), -0.1, 1e-12, 0);
    check_close("bounded", ow_probe_pull_k(0.0, 30.0, 3600), OW_PROBE_MOST_K_H, 1e-12, 0);
    check_close("bounded", ow_probe_pull_k(0.0, -30.0, 900), -0.25 * OW_PROBE_MOST_K_H, 1e-12, 0);
    double model = 10.0; /* it comes within what is trusted and never beyond */
    for (int i = 0; i < 1000; i++) {
        model += ow_probe_pull_k(model, 2.0, 600);
        assert_true(model >= 2.5);
    }
    check_close("arrives", model, 2.5, 1e-6, 0);
}

static void a_probe_does_not_leap_over_ice(void **state)
{
    (void)state;
    ow_law law;
    ow_medium medium = {.thawed_w_mk = 0.6, /* a moist mix, round numbers */
                        .frozen_w_mk = 1.2,
                        .thawed_j_m3k = 2.5e6,
                        .frozen_j_m3k = 1.8e6,
                        .latent_j_m3 = 1.0e8,
                        .freezing_c = -0.1,
                        .curve_exponent = 1.0};
    assert_int_equal(ow_law_of_medium(&medium, OW_HINGES, &law), OW_OK);
    check_close("warm", ow_probe_heat_j_m3(&law, 4.0, 2.0, 720), -0.15 * law.warm_j_m3k, 1e-6, 0);
    check_close("cold", ow_probe_heat_j_m3(&law, -6.0, -4.0, 720), 0.15 * law.cold_j_m3k, 1e-6, 0);
    /* thawed a little above, a probe just below freezing: it cannot know, nothing happens */
    check_close("silent", ow_probe_heat_j_m3(&law, 0.2, -0.2, 600), 0, 0, 0);
    double h = ow_law_h(&law, 0.1);
    for (int i = 0; i < 6; i++) { /* an hour of a far colder probe */
        h += ow_probe_heat_j_m3(&law, ow_law_t(&law, h), -8.0, 600);
    }
    check_between("ice after an hour", ow_law_ice(&law, h), 0.0, 0.05);
}

static void mutations(void **state)
{
    struct stage *stage = *state;
    unsigned seed = 99;
    int believed = 0;
    for (int i = 0; i < 5000; i++) {
        char text[64] = "{\"w\": 18.5, \"h\": \"80\"}";
        size_t size = mutate(text, strlen(text), &seed);
        char *bytes = heap_bytes(text, size);
        int n = ow_station_take(stage->station, "t/both", bytes, size, false, at_s(i), NULL);
        free(bytes);
        assert_in_range(n, 0, 2);
        believed += n;
        ow_observed o = measured(stage, OW_MEASURES_WIND, OW_AT_SITE, i);
        assert_true(isnan(o.value) || (o.value >= 0.0 && o.value <= 75.0));
    }
    assert_true(believed > 1000);
}

int main(void)
{
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(topics_find_their_readings),
        STAGED(median_of_the_fresh),
        STAGED(contradiction),
        STAGED(stored_is_shown_before_stale),
        STAGED(places_are_apart),
        STAGED(rain_is_summed_between_rows),
        STAGED(doubt_disarms_all),
        STAGED(mutations),
        cmocka_unit_test(a_probe_pulls_gently),
        cmocka_unit_test(a_probe_does_not_leap_over_ice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
