/* SPDX-License-Identifier: MIT */
/* Whether heaters are large enough: against worked examples of the usual greenhouse heat-loss rule,
 * and on nights of a record. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdlib.h>

#include "check.h"
#include "judgement/sizing.h"
#include "judgement/stage.h"

#define PLANT                                                                                      \
    "'plants':[{'id':'lemon','place':'house','pot':{'diameter_mm':300,'depth_mm':280},"            \
    "'limits':{'foliage':{'damaged_c':-2,'killed_c':-4}}}]"
#define HEATER(id, watts)                                                                          \
    "{'id':'" id "','kind':'heater','place':'house','watts':" #watts ",'keep_air_above_c':4,"      \
    "'topic':'plugs/" id "','on':'on {seconds}','off':'off','off_by_itself_s':600}"
#define HOUSE(glazing, floor, panes, volume, changes)                                              \
    "'places':[{'id':'house','kind':'glasshouse','glazing':'" glazing "','floor_m2':" #floor       \
    ",'glazing_m2':" #panes ",'volume_m3':" #volume ",'air_changes_per_h':" #changes "}],"

static ow_garden *garden_of(const char *quoted)
{
    char text[YARD_TEXT];
    return stage_garden(yard_text(quoted, text));
}

static ow_house_size size_at(const char *quoted, double design_c)
{
    ow_garden *g = garden_of(quoted);
    ow_design_night night;
    ow_house_size size;
    ow_design_night_stated(&g->site, design_c, &night);
    ow_house_size_of(g, 0, &night, &size);
    ow_garden_free(g);
    return size;
}

/*
 * Worked examples of Q = sum(U A) dT + 0.335 n V dT (greenhouse heat-loss rule as in extension
 * courses, EN 12831 air term; computed by hand from the U named beside each).
 */
static void losses_are_those_of_the_rule(void **state)
{
    (void)state;
    /* Hobby house 1.9 x 2.5 m, glass 21 m2 at U 5.8, 9.5 m3, one change, 10 K: 1249.8 W. Ours is
     * 5.75, so within a hundredth. */
    ow_house_size a = size_at(HOUSE("single glass", 4.75, 21, 9.5, 1) "'outputs':["
                              HEATER("h", 1500) "]," PLANT, -6.0);
    check_close("glass: W/K", a.loss_w_k, 121.8 + 3.1825, 0.0, 0.01);
    check_close("glass: W to hold 4 C at -6 C", a.needed_w, 1249.825, 0.0, 0.01);
    /* The same house in 6 mm twin-wall, U 3.55, 0.75 changes: 769.3687 W. */
    ow_house_size b = size_at(HOUSE("twin-wall 6 mm", 4.75, 21, 9.5, 0.75) "'outputs':["
                              HEATER("h", 1500) "]," PLANT, -6.0);
    check_close("twin-wall: W", b.needed_w, 769.36875, 0.0, 1e-6);
    /* Tunnel 4 x 8 m, double film 74 m2 at U 4.0, 64 m3, 0.75 changes, 8 K: 2496.64 W. */
    ow_house_size f = size_at(HOUSE("double film", 32, 74, 64, 0.75) "'outputs':["
                              HEATER("h", 3000) "]," PLANT, -4.0);
    check_close("tunnel: W", f.needed_w, 2496.64, 0.0, 1e-6);
}

static void a_small_heater_lets_it_fall(void **state)
{
    (void)state;
    ow_house_size s = size_at(HOUSE("twin-wall 6 mm", 4.75, 21, 9.5, 0.75) "'outputs':["
                              HEATER("h", 500) "]," PLANT, -6.0);
    double loss_w_k = 76.936875; /* 769.36875 W over 10 K */
    check_close("falls to", s.falls_to_c, -6.0 + 500.0 / loss_w_k, 1e-9, 0);
    check_close("holds to", s.holds_to_c, 4.0 - 500.0 / loss_w_k, 1e-9, 0);
    /* It runs all night: 500 W times the dark hours, 8 to 16 of them at middle latitudes. */
    check_close("kWh of whole hours", s.kwh / 0.5, round(s.kwh / 0.5), 1e-9, 0);
    check_between("kWh", s.kwh, 4.0, 8.0);
}

static void heaters_of_a_house_add_up(void **state)
{
    (void)state;
    ow_house_size s = size_at(HOUSE("twin-wall 6 mm", 4.75, 21, 9.5, 0.75) "'outputs':["
                              HEATER("one", 500) "," HEATER("two", 400) "]," PLANT, -6.0);
    assert_int_equal(s.heaters, 2);
    check_close("watts", s.watts, 900.0, 0, 0);
    check_close("held", s.falls_to_c, 4.0, 1e-12, 0);
    check_between("no more than is needed", s.kwh, 0.0, 0.9 * 16.0);
}

static void a_house_without_heater_is_only_reckoned(void **state)
{
    (void)state;
    ow_house_size s = size_at(HOUSE("single glass", 4.75, 21, 9.5, 1) PLANT, -6.0);
    assert_true(isnan(s.keep_c) && isnan(s.kwh) && isnan(s.needed_w) && isnan(s.holds_to_c));
    check_close("as outside", s.falls_to_c, -6.0, 0, 0);
}

/* A record of days that swing 5 K about a mean; the cold night is one of them. */
static ow_forcing record_of(ow_utc_s from_s, int days, int cold_day, double cold_c)
{
    ow_forcing record = {0};
    for (int h = 0; h < 24 * days; h++) {
        bool cold = h >= 24 * cold_day - 12 && h < 24 * cold_day + 12;
        double swing = -5.0 * cos((h % 24 - 5) / 24.0 * 6.283185307179586);
        ow_weather_at row = {.utc_s = from_s + h * OW_HOUR_S,
                             .weather = {.air_c = (cold ? cold_c + 5.0 : 6.0) + swing,
                                         .rh_pct = NAN, .wind_ms = NAN, .cloud_pct = NAN,
                                         .solar_wm2 = NAN, .longwave_wm2 = NAN, .rain_mm = NAN,
                                         .snow_cm = NAN, .ground_c = NAN}};
        assert_int_equal(ow_forcing_add(&record, &row, 1), OW_OK);
    }
    return record;
}

static void the_coldest_night_of_a_record_is_found(void **state)
{
    (void)state;
    ow_site site = {.latitude_deg = 50.0, .longitude_deg = 0.0};
    ow_utc_s january = 1704067200; /* 2024-01-01T00:00:00Z */
    ow_forcing record = record_of(january, 30, 20, -9.0);
    ow_design_night night;
    ow_design_night_recorded(&site, &record, &night);
    assert_true(night.recorded);
    /* 2024-01-21 at 05 h; 50 degrees north has 8.6 h of daylight then (FAO-56 eq. 34). */
    assert_int_equal(night.coldest_s, january + 20 * OW_DAY_S + 5 * OW_HOUR_S);
    assert_int_equal(night.hours, 16);
    check_close("coldest hour", night.coldest_c, -9.0, 0.2, 0);
    check_close("first hour", night.air_c[0],
                -4.0 - 5.0 * cos((16.5 - 5) / 24.0 * 6.283185307179586), 0.05, 0);
    ow_forcing_free(&record);
}

static void nights_of_more_than_ten_years_ago_do_not_count(void **state)
{
    (void)state;
    ow_site site = {.latitude_deg = 50.0, .longitude_deg = 0.0};
    ow_forcing record = record_of(1041379200, 10, 5, -20.0); /* 2003-01-01 */
    ow_forcing later = record_of(1704067200, 10, 5, -3.0);
    ow_design_night night;
    assert_int_equal(ow_forcing_add(&record, later.row, later.rows), OW_OK);
    ow_design_night_recorded(&site, &record, &night);
    check_close("coldest hour", night.coldest_c, -3.0, 0.2, 0);
    ow_forcing_free(&record);
    ow_forcing_free(&later);
}

static void an_empty_record_has_no_night(void **state)
{
    (void)state;
    ow_site site = {.latitude_deg = 50.0};
    ow_forcing none = {0};
    ow_design_night night;
    ow_design_night_recorded(&site, &none, &night);
    assert_int_equal(night.hours, 0);
}

/* ---- in words -------------------------------------------------------------------------------- */

static char said[8192];

static void keep(void *self, const char *line)
{
    (void)self;
    assert_in_range(strlen(line), 0, 80);
    strncat(said, line, sizeof said - strlen(said) - 1);
    strncat(said, "\n", sizeof said - strlen(said) - 1);
}

static void check_said(const char *quoted, const ow_forcing *record, const char *words)
{
    ow_garden *g = garden_of(quoted);
    ow_report report = {keep, NULL, 0};
    said[0] = '\0';
    ow_advise_sizes(g, record, &report);
    if (strstr(said, words) == NULL) {
        fail_msg("\"%s\" is not in:\n%s", words, said);
    }
    ow_garden_free(g);
}

#define SMALL                                                                                      \
    HOUSE("twin-wall 6 mm", 4.75, 21, 9.5, 0.75)                                                   \
    "'outputs':[" HEATER("h", 500) "],'tariff':{'per_kwh':0.25,'currency':'EUR'}," PLANT

static void it_is_said_in_words(void **state)
{
    (void)state;
    ow_forcing record = record_of(1704067200, 30, 20, -9.0);
    check_said(SMALL, NULL, "500 W of heaters hold 4.0 C down to -2.5 C outside");
    check_said(SMALL, &record, "coldest, -8.9 C on 2024-01-21");
    check_said(SMALL, &record, "NOT ENOUGH");
    check_said(SMALL, &record, "EUR");
    ow_forcing_free(&record);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(losses_are_those_of_the_rule),
        cmocka_unit_test(a_small_heater_lets_it_fall),
        cmocka_unit_test(heaters_of_a_house_add_up),
        cmocka_unit_test(a_house_without_heater_is_only_reckoned),
        cmocka_unit_test(the_coldest_night_of_a_record_is_found),
        cmocka_unit_test(nights_of_more_than_ten_years_ago_do_not_count),
        cmocka_unit_test(an_empty_record_has_no_night),
        cmocka_unit_test(it_is_said_in_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
