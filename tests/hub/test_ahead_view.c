/* SPDX-License-Identifier: MIT */
/* The evening as the door shows it: the hours ahead, jobs with who and what otherwise, left off. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "hub/stage.h"

/* Two pots whose leaves a frost will harm, one cover, and one person who can lift. */
#define SHORT_OF_COVERS                                                                            \
    "'places':[{'id':'deck','kind':'open sky'}],"                                                  \
    "'covers':[{'id':'fleece','kind':'fleece','count':1,'r_m2k_w':0.5}],"                          \
    "'household':[{'id':'ada','name':'Ada'}],"                                                     \
    "'plants':[{'id':'one','name':'first','covers':['fleece'],'place':'deck'," YARD_LEAVES         \
    "," YARD_POT "},"                                                                              \
    "{'id':'two','name':'second','covers':['fleece'],'place':'deck'," YARD_LEAVES "," YARD_POT     \
    "}]"

enum { ROOM = 32, AHEAD_ROWS = 31 };

static house under(double coldest_c, bool foresees)
{
    house h = house_open(SHORT_OF_COVERS, (ow_settings){.foresight_h = 30.0,
                                                        .step_s = 1800,
                                                        .start_air_c = 5.0});
    ow_weather_row rows[AHEAD_ROWS];
    for (int i = 0; i < AHEAD_ROWS; i++) {
        double dip = i < 12 ? (double)i / 12.0 : fmax(0.0, 2.0 - (double)i / 12.0);
        ow_weather w = {.air_c = 5.0 - (5.0 - coldest_c) * dip, .rh_pct = 80.0, .wind_ms = 2.0,
                        .cloud_pct = 100.0, .solar_wm2 = 0.0, .longwave_wm2 = NAN,
                        .rain_mm = NAN, .snow_cm = NAN, .ground_c = NAN, .surface_c = NAN};
        rows[i] = row_of(i, w);
    }
    house_weather(&h, rows, 1);
    assert_int_equal(h.door->forecast(h.engine, rows + 1, foresees ? AHEAD_ROWS - 1 : 0), OW_OK);
    house_advance(&h, 0);
    return h;
}

static void one_gets_the_cover_and_one_is_left_off(void **state)
{
    (void)state;
    house h = under(-6.0, true);
    ow_ahead_view ahead;
    ow_job_view job[ROOM];
    ow_left_view left;
    int n = 0, without = 0;
    h.door->ahead(h.engine, &ahead);
    assert_true(ahead.known);
    assert_true(fabs(ahead.lowest_air_c + 6.0) < 0.5); /* means of half hours about the lowest */
    assert_true(llabs(ahead.lowest_air_s - HOUR(12)) <= 3600);
    assert_int_equal(h.door->jobs(h.engine, job, ROOM, &n), OW_OK);
    assert_int_equal(n, 2);
    int drains = job[0].plant < 0 ? 0 : 1;
    assert_string_equal(job[drains].kind, "drain"); /* once in a season, of the whole garden */
    assert_string_equal(job[drains].subject, "garden");
    assert_null(job[drains].place);
    job[0] = job[1 - drains];
    assert_string_equal(job[0].kind, "cover");
    assert_string_equal(job[0].who, "Ada");
    assert_string_equal(job[0].place, "deck");
    assert_true(job[0].last_s > HOUR(0) && job[0].last_s < HOUR(12));
    assert_non_null(strstr(job[0].otherwise, "foliage harmed from"));
    for (int i = 0; i < 2; i++) {
        if (h.door->left_off(h.engine, i, &left)) {
            without++;
            assert_int_not_equal(i, job[0].plant);
            assert_string_equal(left.what, "cover with fleece");
            assert_string_equal(left.why, "the covers are needed elsewhere");
        }
    }
    assert_int_equal(without, 1);
    assert_int_equal(h.door->jobs(h.engine, job, 0, &n), OW_OK);
    assert_int_equal(n, 0); /* no more than there is room for */
    house_close(&h);
}

static void a_mild_night_asks_nothing(void **state)
{
    (void)state;
    house h = under(3.0, true);
    ow_job_view job[ROOM];
    ow_left_view left;
    int n = -1;
    assert_int_equal(h.door->jobs(h.engine, job, ROOM, &n), OW_OK);
    assert_int_equal(n, 0);
    assert_false(h.door->left_off(h.engine, 0, &left) || h.door->left_off(h.engine, 1, &left));
    house_close(&h);
}

static void what_is_not_foreseen_is_not_known(void **state)
{
    (void)state;
    house h = under(-6.0, false);
    ow_ahead_view ahead;
    h.door->ahead(h.engine, &ahead);
    assert_false(ahead.known);
    assert_true(isnan(ahead.lowest_air_c) && ahead.until_s == INT64_MIN);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_gets_the_cover_and_one_is_left_off),
        cmocka_unit_test(a_mild_night_asks_nothing),
        cmocka_unit_test(what_is_not_foreseen_is_not_known),
    };
    return cmocka_run_group_tests_name("evening", tests, NULL, NULL);
}
