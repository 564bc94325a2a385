/* SPDX-License-Identifier: MIT */
/* A garden minded live: readings in, model and verdicts in their time, whatever the ticks. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>

#include "check.h"
#include "hub/host.h"

#define PLAIN GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG, "")

#define WALLED                                                                                     \
    "{" GARDEN_SITE "\"readings\":[" GARDEN_READINGS                                               \
    ",{\"id\":\"wall-air\",\"measures\":\"air\",\"place\":\"south\",\"topic\":\"s/wall\","         \
    "\"unit\":\"C\"}],\"places\":[{\"id\":\"roof\",\"kind\":\"open sky\"},"                        \
    "{\"id\":\"house\",\"kind\":\"glasshouse\",\"floor_m2\":6,\"glazing_m2\":20},"                 \
    "{\"id\":\"south\",\"kind\":\"wall\",\"faces_deg\":180}],\"plants\":[" PLANT_BOG               \
    ",{\"id\":\"lemon\",\"taxon\":\"Citrus limon\",\"place\":\"south\","                           \
    "\"pot\":{\"diameter_mm\":300,\"depth_mm\":280}}]}"

static host *begin(const char *garden, double roof_c)
{
    host *h = host_start(garden);
    h->sensors.roof_c = roof_c;
    return h;
}

static double number(const host *h, const char *below)
{
    const char *text = host_value(h, below);
    return text != NULL ? strtod(text, NULL) : (double)NAN;
}

static void nothing_heard_is_no_reading(void **state)
{
    (void)state;
    host *h = host_start(PLAIN);
    host_run(h, 3 * 3600);
    check_value(h, "lemon/state", "no reading");
    check_value(h, "lemon/quality", "missing");
    assert_null(host_value(h, "lemon/root-mean"));
    assert_false(h->module->busy(h->engine));
    void *bytes;
    size_t size;
    assert_int_equal(h->module->save(h->engine, &bytes, &size), OW_OK);
    host *anew = host_open(PLAIN); /* what is kept of it is that there was nothing */
    host_live(anew, bytes, size);
    assert_int_equal(anew->reports, 0);
    host_link(anew, true);
    host_run(anew, 60);
    check_value(anew, "lemon/quality", "missing");
    host_end(anew);
    free(bytes);
    host_end(h);
}

static void first_reading_starts_the_model(void **state)
{
    (void)state;
    host *h = begin(PLAIN, 5.0);
    host_run(h, 20);
    check_value(h, "lemon/state", "hold");
    check_value(h, "garden/state", "hold");
    check_value(h, "lemon/quality", "modelled");
    check_value(h, "lemon/measured-at", "2026-01-20T12:00:00Z");
    assert_int_equal(host_heard(h, HEARD_EVENT, "lemon", "state: hold"), 1);
    assert_non_null(strstr(host_value(h, "garden/tonight"), "Nothing is known"));
    host_end(h);
}

/* Nobody knows what froze before: no ball is called frozen, nor its roots harmed, by one reading of
 * a frosty night, however cold. It freezes from then on. */
static void a_start_in_frost_begins_thawed(void **state)
{
    (void)state;
    host *h = begin(PLAIN, -9.0);
    host_run(h, 2400); /* one step of the model */
    assert_true(number(h, "lemon/ice-share") < 0.05);
    assert_true(number(h, "lemon/root-mean") > -0.5);
    host_run(h, 24 * 3600);
    assert_true(number(h, "lemon/ice-share") > 0.3);
    host_end(h);
}

/* Values of the body change at the half hours and at no other time. */
static void the_model_goes_by_half_hours(void **state)
{
    (void)state;
    host *h = begin(PLAIN, 5.0);
    host_run(h, 20);
    size_t from = h->count;
    for (int i = 0; i < 36; i++) {
        h->sensors.roof_c -= 0.1;
        host_run(h, 300);
    }
    int changes = 0;
    for (size_t i = from; i < h->count; i++) {
        if (strcmp(h->heard[i].topic, ROOT "/lemon/root-mean") == 0) {
            int64_t past_s = h->heard[i].utc_ms / 1000 % 1800;
            assert_in_range(past_s, 0, 60);
            changes++;
        }
    }
    assert_in_range(changes, 5, 6);
    host_end(h);
}

/* What was kept some minutes after each half hour, for one way of ticking. */
static char *course(uint64_t step_ms, bool at_once, int hours)
{
    host *h = begin(GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG "," PLANT_FERN,
                              ",\"outputs\":[" HEATER "]" HOUSEHOLD),
                    4.0);
    size_t room = 2000000, used = 0;
    char *all = malloc(room);
    assert_non_null(all);
    h->sensors.house_c = 5.0;
    h->sensors.wind_ms = 1.0;
    h->sensors.door = "shut";
    h->step_ms = step_ms;
    for (int minute = 0; minute < hours * 60; minute++) {
        h->sensors.roof_c = 4.0 - 9.0 * sin(minute / 1440.0 * 3.14159);
        h->sensors.house_c = 5.0 - 4.0 * sin(minute / 720.0 * 3.14159);
        if (minute == 5) {
            host_forecast(h, 72, -3.0, 4.0);
        }
        if (minute == 65) {
            host_say(h, ROOT "/lemon/wearing/set", "[\"fleece\"]");
        }
        for (int s = 0; s < 60; s++) {
            host_run(h, 1);
            if (at_once) {
                (void)host_settle(h);
            }
        }
        for (size_t i = 0; minute % 30 == 4 && i < h->kept_count; i++) {
            /* told to the second: when a notice was raised, what was measured last when shown */
            bool own =
                strstr(h->kept[i].topic, "/beat") || strstr(h->kept[i].topic, "/household-") ||
                strstr(h->kept[i].topic, "/notices") || strstr(h->kept[i].topic, "/measured-at");
            assert_true(used < room - 70000);
            used += (size_t)snprintf(all + used, room - used, "%d %s %s\n", minute,
                                     own ? "" : h->kept[i].topic,
                                     own || !h->kept[i].text ? "" : h->kept[i].text);
        }
    }
    host_end(h);
    return all;
}

/* Line by line the same, but that a value may round to the neighbouring hundredth: a mean of
 * readings over half an hour begins with the tick that first sees them. */
static void check_alike(const char *one, const char *other)
{
    while (*one != '\0' || *other != '\0') {
        size_t n = strcspn(one, "\n"), m = strcspn(other, "\n"), same = 0, value;
        while (same < n && same < m && one[same] == other[same]) {
            same++;
        }
        for (value = same; value > 0 && one[value - 1] != ' ';) {
            value--;
        }
        if (n != m || same < n) {
            char *end, *other_end;
            double gap = strtod(one + value, &end) - strtod(other + value, &other_end);
            if (end != one + n || other_end != other + m || fabs(gap) > 0.0101) {
                fail_msg("%.*s, and %.*s", (int)n, one, (int)m, other);
            }
        }
        one += n + (one[n] == '\n');
        other += m + (other[m] == '\n');
    }
}

static void ticks_make_no_difference(void **state)
{
    (void)state;
    const int hours = CHECKED_BUILD ? 4 : 8;
    char *second = course(1000, false, hours), *often = course(100, false, hours);
    char *at_once = course(1000, true, hours);
    assert_string_equal(at_once, second);
    check_alike(often, second);
    assert_non_null(strstr(second, "carry in"));
    free(second);
    free(often);
    free(at_once);
}

/* Work is taken in portions: many short ticks, none that does it all. */
static void work_is_in_portions(void **state)
{
    (void)state;
    host *h = begin(WHOLE_GARDEN, 4.0);
    host_run(h, 2);
    host_forecast(h, 72, -6.0, 4.0);
    host_tick(h);
    size_t from = h->count;
    int ticks = 0, most = 0;
    while (h->module->busy(h->engine)) {
        size_t before = h->count;
        assert_int_equal(h->module->tick(h->engine, h->now), OW_OK);
        int said = host_heard_from(h, before, HEARD_PUBLISH, NULL, "");
        most = said > most ? said : most;
        ticks++;
    }
    assert_true(ticks > 10);
    /* one plant's values, its alert, its notice to two members, and the garden's own */
    assert_true(host_heard_from(h, from, HEARD_PUBLISH, NULL, "") > most);
    assert_in_range(most, 1, 19 + 1 + 2 + 7);
    host_end(h);
}

static void a_long_gap_is_no_reading_and_ends(void **state)
{
    (void)state;
    host *h = begin(PLAIN, 12.0);
    host_run(h, 3600);
    check_value(h, "lemon/state", "hold");
    h->sensors.roof_c = NAN;
    host_run(h, 5 * 3600);
    check_value(h, "lemon/state", "hold");
    check_value(h, "lemon/quality", "stale");
    host_run(h, 2 * 3600);
    check_value(h, "lemon/state", "no reading");
    check_value(h, "garden/state", "no reading");
    h->sensors.roof_c = 12.0;
    host_run(h, 1900);
    check_value(h, "lemon/quality", "modelled");
    host_run(h, 3 * 3600); /* little was guessed: two hours that a milder state must last */
    check_value(h, "lemon/state", "hold");
    host_end(h);
}

/* Longer than can be bridged and guessed: as after an absence, a day of doubt follows. */
static void after_a_longer_gap_comes_a_day_of_doubt(void **state)
{
    (void)state;
    host *h = begin(PLAIN, 5.0);
    host_run(h, 3600);
    h->sensors.roof_c = NAN;
    host_run(h, 11 * 3600);
    h->sensors.roof_c = 5.0;
    host_run(h, 22 * 3600);
    check_value(h, "lemon/quality", "modelled");
    check_value(h, "lemon/state", "no reading");
    host_run(h, 6 * 3600); /* with the two hours that a milder state must last */
    check_value(h, "lemon/state", "hold");
    host_end(h);
}

static void a_forecast_judges_anew(void **state)
{
    (void)state;
    host *h = begin(PLAIN, 5.0);
    host_run(h, 600);
    check_value(h, "lemon/state", "hold");
    host_forecast(h, 72, -8.0, 4.0);
    host_run(h, 60);
    check_value(h, "lemon/state", "carry in");
    assert_non_null(host_value(h, "lemon/act-by"));
    assert_non_null(strstr(host_value(h, "garden/tonight"), "Lowest -1")); /* -12 */
    host_say(h, ROOT "/garden/done/set", "{\"job\":\"drain\",\"who\":\"ada\"}");
    assert_non_null(strstr(host_value(h, "garden/tonight"), "First: lemon"));
    assert_int_equal(host_heard(h, HEARD_EVENT, "lemon", "job: "), 1);
    host_forecast(h, 72, -0.04, 0.0);
    host_run(h, 60);
    assert_non_null(strstr(host_value(h, "garden/tonight"), "Lowest 0.0 C"));
    host_forecast(h, 72, -8.0, 4.0);
    host_say(h, "w/f", "{\"h\":[]}"); /* nothing in it: the one before holds */
    host_say(h, "w/f", "{");
    host_run(h, 60);
    check_value(h, "lemon/state", "carry in");
    host_end(h);
}

static void without_a_forecast_the_last_day_comes_again(void **state)
{
    (void)state;
    host *h = begin(PLAIN, 5.0);
    for (int i = 0; i < 25 * 2; i++) {
        h->sensors.roof_c = -2.0 + 3.0 * cos(i / 24.0 * 3.14159);
        host_run(h, 1800);
    }
    assert_non_null(strstr(host_value(h, "garden/tonight"), "if the last day comes again"));
    assert_non_null(strstr(host_value(h, "garden/tonight"), "Lowest -5."));
    host_forecast(h, 72, 4.0, 3.0);
    host_run(h, 60);
    assert_null(strstr(host_value(h, "garden/tonight"), "last day"));
    host_run(h, 13 * 3600); /* stale after 12 hours, and night by now */
    assert_non_null(strstr(host_value(h, "garden/tonight"),
                           "if the sky stays clear (no fresh forecast)"));
    host_end(h);
}

static void beyond_a_short_forecast_comes_the_season(void **state)
{
    (void)state;
    host *h = begin(PLAIN, 14.0); /* far above the normal of a January at 47 degrees: 2 C */
    host_run(h, 60);
    host_forecast(h, 30, 14.0, 0.1);
    host_run(h, 300);
    assert_non_null(strstr(host_value(h, "garden/tonight"),
                           "returns to the season's normal (the forecast ends before)"));
    /* 42 h on exp(-42/48) is left of some 12 K */
    check_between("lowest", strtod(strstr(host_value(h, "garden/tonight"), "Lowest") + 6, NULL),
                  5.5, 8.5);
    host_end(h);
}

/* At the wall it is three kelvins warmer: leaves there, which sky and wall cool and warm as well,
 * feel it at once. */
static void a_place_has_the_air_that_is_measured_there(void **state)
{
    (void)state;
    host *walled[2] = {begin(WALLED, -4.0), begin(WALLED, -4.0)};
    for (int i = 0; i < 12; i++) {
        host_say_number(walled[1], "s/wall", -1.0);
        host_run(walled[0], 900);
        host_run(walled[1], 900);
    }
    check_between("leaves at the wall are warmer",
                  number(walled[1], "lemon/foliage") - number(walled[0], "lemon/foliage"), 1.0,
                  3.0);
    check_close("the roof is as it was", number(walled[1], "bog/root-mean"),
                number(walled[0], "bog/root-mean"), 0.0, 0.0);
    host_end(walled[0]);
    host_end(walled[1]);
}

static void clock_jumps(void **state)
{
    (void)state;
    static const int64_t jumps_h[] = {-240, -5, 5, 240};
    for (int i = 0; i < 4; i++) {
        host *h = begin(PLAIN, 5.0);
        host_run(h, 2 * 3600);
        h->now.utc_ms += jumps_h[i] * 3600000;
        host_run(h, 5);
        (void)host_settle(h);
        h->sensors.roof_c = 12.0; /* no frost within the error of a forecast */
        host_run(h, 3 * 3600);
        /* leaves are some kelvins below the air under a clear night sky, and above it in the sun */
        check_between("leaves after the jump", number(h, "lemon/foliage"), 5.0, 21.0);
        check_value(h, "lemon/quality", "modelled");
        int64_t now_s = h->now.utc_ms / 1000;
        const heard *last = host_last(h, HEARD_PUBLISH, ROOT "/lemon/root-mean");
        assert_true(now_s - last->utc_ms / 1000 < 3600);
        host_run(h, 25 * 3600); /* and vouches for the plants in the end */
        check_value(h, "lemon/state", "hold");
        host_end(h);
    }
}

/* The link can be lost in the same breath, as when the machine was suspended. */
static void a_jump_is_not_told_to_a_lost_link(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    host_run(h, 60);
    h->now.utc_ms += 3600000;
    host_link(h, false);
    assert_int_equal(h->said_while_down, 0);
    assert_true(host_heard(h, HEARD_LOG, NULL, "the clock jumped by 3600 s") > 0);
    host_end(h);
}

static void a_probe_pulls_the_model(void **state)
{
    (void)state;
    host *with = begin(PLAIN, 4.0), *without = begin(PLAIN, 4.0);
    with->sensors.probe_c = 9.0;
    host_run(with, 12 * 3600);
    host_run(without, 12 * 3600);
    check_value(with, "bog/quality", "measured");
    check_value(without, "bog/quality", "modelled");
    check_value(with, "lemon/quality", "modelled");
    assert_true(number(with, "bog/root-mean") > number(without, "bog/root-mean") + 0.3);
    check_close("lemon", number(with, "lemon/root-mean"), number(without, "lemon/root-mean"), 0, 0);
    host_end(with);
    host_end(without);
}

/* A shower that the gauge tells of is in the weather of the half hour it fell in. */
static void rain_reaches_the_model(void **state)
{
    (void)state;
    host *wet = begin(GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG,
                                ",\"outputs\":[" DRIVE "]"),
                      4.0);
    wet->sensors.wind_ms = 1.0;
    wet->sensors.rain_mm = 0.0;
    host_run(wet, 3700);
    assert_false(host_blocked(wet, "cloth", "wet"));
    host_say(wet, "s/rain", "4.0"); /* one shower, then dry again */
    host_run(wet, 2100);
    assert_true(host_blocked(wet, "cloth", "wet"));
    host_run(wet, 2 * 3600);
    assert_false(host_blocked(wet, "cloth", "wet"));
    host_end(wet);
}

static void beat_is_quick_enough_for_the_shortest_lease(void **state)
{
    (void)state;
    host *h = begin(WHOLE_GARDEN, 5.0); /* a lease of 20 s */
    host_run(h, 900);
    uint64_t last_ms = 0;
    long last = -1;
    for (size_t i = 0; i < h->count; i++) {
        const heard *one = &h->heard[i];
        if (strcmp(one->topic, ROOT "/garden/beat") == 0 && one->size > 0) {
            long beat = strtol(one->text, NULL, 10);
            assert_true(one->retain && beat != last);
            assert_true(last_ms == 0 || one->boot_ms - last_ms <= 20000 / 3);
            last_ms = one->boot_ms;
            last = beat;
        }
    }
    assert_true(h->now.boot_ms - last_ms <= 20000 / 3);
    host_end(h);
    h = begin(PLAIN, 5.0); /* no outputs: once a minute */
    host_run(h, 900);
    assert_in_range(host_heard(h, HEARD_PUBLISH, ROOT "/garden/beat", ""), 14, 18);
    assert_true(h->module->link(h->engine)->shortest_lease_s == 0.0);
    host_end(h);
}

static void a_bad_payload_changes_nothing_and_is_said_once(void **state)
{
    (void)state;
    host *h = begin(PLAIN, 5.0);
    host_run(h, 60);
    size_t from = h->count;
    h->sensors.roof_c = NAN;
    for (int i = 0; i < 600; i++) {
        host_say(h, "s/air", "n/a");
        host_run(h, 1);
    }
    int lines = host_heard_from(h, from, HEARD_LOG, NULL, "s/air");
    assert_in_range(lines, 1, 5);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/$log/warn", "s/air"), lines);
    h->sensors.roof_c = 5.0;
    host_run(h, 120);
    assert_int_equal(host_heard_from(h, from, HEARD_LOG, NULL, "s/air"), lines + 1); /* its end */
    host_end(h);
}

/* What stands when the household could not be told is told when it can. */
static void notices_wait_for_the_link(void **state)
{
    (void)state;
    host *h = begin(WHOLE_GARDEN, 5.0);
    host_run(h, 600);
    host_link(h, false);
    host_forecast(h, 72, -10.0, 4.0); /* it came just before */
    for (int i = 0; i < 120; i++) {
        host_tick(h);
    }
    size_t from = h->count;
    host_link(h, true);
    host_run(h, 10);
    /* three plants, three causes: each of them is heard, not only the last */
    assert_true(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/household-ada/notice", "lemon") > 0);
    assert_true(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/household-ada/notice", "fern") > 0 ||
                strcmp(host_value(h, "fern/state"), "hold") == 0);
    assert_true(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/household-ada/notice", "bog") > 0 ||
                strcmp(host_value(h, "bog/state"), "hold") == 0);
    host_end(h);
}

/* Closed at any moment of its thinking, nothing is left behind (under the sanitizers). */
/* At five in the evening of the garden's zone the jobs of the night come as one sheet, once. */
static void the_evening_sheet_comes_with_the_jobs(void **state)
{
    (void)state;
    host *h = host_start(GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG,
                                   ",\"household\":[{\"id\":\"ada\"}]"));
    h->sensors.roof_c = 5.0;
    host_run(h, 600);
    host_forecast(h, 72, -10.0, 4.0);
    h->step_ms = 60000;
    host_run(h, 60);
    while (h->now.utc_ms < NOON_MS + 4 * 3600000 - 60000) { /* noon is 13:00 there */
        host_run(h, 1);
    }
    assert_int_equal(host_heard(h, HEARD_EVENT, "household-ada", "notice: For tonight."), 0);
    host_run(h, 10);
    assert_int_equal(host_heard(h, HEARD_EVENT, "household-ada", "notice: For tonight."), 1);
    assert_true(host_heard(h, HEARD_PUBLISH, ROOT "/household-ada/notice", "For tonight. Lowest -") > 0);
    assert_int_equal(host_heard(h, HEARD_EVENT, "household-ada", ". garden: drain hose"), 1);
    host_run(h, 3600);
    assert_int_equal(host_heard(h, HEARD_EVENT, "household-ada", "notice: For tonight."), 1);
    host_end(h);
}

/* What one wears goes to another: both jobs, one after the other, name each other's plants. */
static void a_cover_changes_hands(void **state)
{
    (void)state;
    host *h = host_start(GARDEN_OF(
        GARDEN_READINGS,
        "{\"id\":\"palm\",\"limits\":{\"foliage\":{\"damaged_c\":-30}},\"place\":\"roof\","
        "\"covers\":[\"fleece\"],\"wearing\":[\"fleece\"],\"pot\":{\"diameter_mm\":300,"
        "\"depth_mm\":280}},{\"id\":\"lemon\",\"limits\":{\"foliage\":{\"damaged_c\":-5}},"
        "\"place\":\"roof\",\"covers\":[\"fleece\"],\"pot\":{\"diameter_mm\":300,"
        "\"depth_mm\":280}}," PLANT_BOG,
        ""));
    h->sensors.roof_c = 0.0;
    host_run(h, 60);
    host_forecast(h, 72, -3.0, 2.0);
    host_run(h, 300);
    const char *jobs = host_value(h, "garden/jobs");
    const char *uncover = strstr(jobs, "\"plant\":\"palm\",\"job\":\"uncover\"");
    const char *cover = strstr(jobs, "\"plant\":\"lemon\",\"job\":\"cover\"");
    assert_true(uncover != NULL && cover != NULL && uncover < cover);
    assert_non_null(strstr(uncover, "\"for\":\"lemon\""));
    assert_non_null(strstr(cover, "\"from\":\"palm\""));
    host_say(h, ROOT "/palm/done/set", "{\"job\":\"uncover\",\"who\":\"ada\"}");
    host_run(h, 120);
    host_say(h, ROOT "/lemon/done/set", "{\"job\":\"cover\",\"who\":\"ada\"}");
    host_run(h, 120);
    check_value(h, "palm/wearing", "[]");
    check_value(h, "lemon/wearing", "[\"fleece\"]");
    host_end(h);
}

static void may_be_closed_at_any_moment(void **state)
{
    (void)state;
    for (int ticks = 0; ticks < 120; ticks += CHECKED_BUILD ? 11 : 3) {
        host *h = begin(WHOLE_GARDEN, 4.0);
        host_run(h, 2);
        host_forecast(h, 72, -6.0, 4.0);
        for (int i = 0; i < ticks; i++) {
            host_tick(h);
        }
        host_end(h);
    }
}

/* Ids and loops are refused by the reader of the garden file; one of each here. */
static void loops_are_refused(void **state)
{
    (void)state;
    static const char *const bad[] = {
        GARDEN_OF("{\"id\":\"air\",\"measures\":\"air\",\"topic\":\"homie/5/roof/x\","
                  "\"unit\":\"C\"}",
                  PLANT_LEMON, ""),
        GARDEN_OF("{\"id\":\"air\",\"measures\":\"air\",\"topic\":\"s/+\",\"unit\":\"C\"}",
                  PLANT_LEMON, ""),
        GARDEN_OF(GARDEN_READINGS, PLANT_BOG "," PLANT_BOG, ""),
        GARDEN_OF(GARDEN_READINGS, PLANT_BOG,
                  ",\"outputs\":[" HEATER ",{\"id\":\"other\"," DRIVE_KEYS "}]"),
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        host h = {.take = -1};
        ow_host door = {.self = &h, .utc_offset_s = host_offset, .event = host_event};
        ow_report report = {.line = host_report, .self = &h};
        ow_engine *engine = NULL;
        assert_int_not_equal(overwinter_module()->open(&door, "g", bad[i], strlen(bad[i]), NULL,
                                                       &report, &engine),
                             OW_OK);
        assert_true(h.reports > 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_heard_is_no_reading),
        cmocka_unit_test(first_reading_starts_the_model),
        cmocka_unit_test(a_start_in_frost_begins_thawed),
        cmocka_unit_test(the_model_goes_by_half_hours),
        cmocka_unit_test(ticks_make_no_difference),
        cmocka_unit_test(work_is_in_portions),
        cmocka_unit_test(a_long_gap_is_no_reading_and_ends),
        cmocka_unit_test(after_a_longer_gap_comes_a_day_of_doubt),
        cmocka_unit_test(a_forecast_judges_anew),
        cmocka_unit_test(without_a_forecast_the_last_day_comes_again),
        cmocka_unit_test(beyond_a_short_forecast_comes_the_season),
        cmocka_unit_test(a_place_has_the_air_that_is_measured_there),
        cmocka_unit_test(clock_jumps),
        cmocka_unit_test(a_jump_is_not_told_to_a_lost_link),
        cmocka_unit_test(a_probe_pulls_the_model),
        cmocka_unit_test(rain_reaches_the_model),
        cmocka_unit_test(beat_is_quick_enough_for_the_shortest_lease),
        cmocka_unit_test(a_bad_payload_changes_nothing_and_is_said_once),
        cmocka_unit_test(notices_wait_for_the_link),
        cmocka_unit_test(the_evening_sheet_comes_with_the_jobs),
        cmocka_unit_test(a_cover_changes_hands),
        cmocka_unit_test(may_be_closed_at_any_moment),
        cmocka_unit_test(loops_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
