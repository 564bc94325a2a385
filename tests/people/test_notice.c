/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>

#include "../garden/stage.h"
#include "people/notice.h"
#include "people/sheet.h"
#include "zone.h"

/* Ada hears all and sleeps at night, Ben hears what is urgent, Cy hears jobs only. */
static const char garden_text[] =
    STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
               "\"plants\":[{\"id\":\"lemon\",\"name\":\"The lemon\",\"place\":\"deck\","
               STAGE_LIMITS ",\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"peat\"}}],"
               "\"household\":[{\"id\":\"ada\",\"quiet\":\"22:00-07:00\"},"
               "{\"id\":\"ben\",\"hears\":[\"urgent\"],\"quiet\":\"22:00-07:00\"},"
               "{\"id\":\"cy\",\"hears\":[\"jobs\"]}]}";
enum { ADA, BEN, CY, ROOM = 4, MOST = 16 };

static ow_garden *garden;
static ow_board *board;
static ow_delivery got[MOST];
static ow_utc_s noon, night;

static int set_up(void **state)
{
    (void)state;
    garden = stage_garden(garden_text);
    noon = zone_time("2024-01-10T11:00Z"); /* 12:00 in the zone */
    night = zone_time("2024-01-10T22:30Z"); /* 23:30 */
    return ow_board_new(garden, &zone, ROOM, &board) != OW_OK;
}

static int tear_down(void **state)
{
    (void)state;
    ow_board_free(board);
    ow_garden_free(garden);
    return 0;
}

static ow_notice notice(const char *id, ow_hears urgency, ow_utc_s act_by_s)
{
    ow_notice n = {.urgency = urgency, .act_by_s = act_by_s, .cleared_s = OW_NEVER};
    snprintf(n.id, sizeof n.id, "%s", id);
    snprintf(n.subject, sizeof n.subject, "%.5s", id);
    snprintf(n.text, sizeof n.text, "about %s", id);
    return n;
}

static void raise_it(const char *id, ow_hears urgency, ow_utc_s act_by_s, ow_utc_s now_s)
{
    ow_notice n = notice(id, urgency, act_by_s);
    assert_int_equal(ow_board_raise(board, &n, now_s), OW_OK);
}

static size_t take(ow_utc_s now_s)
{
    return ow_board_take(board, now_s, got, MOST);
}

static void check_news(size_t i, int member, const char *id)
{
    assert_int_equal(got[i].member, member);
    assert_false(got[i].empty);
    assert_true(got[i].news);
    assert_string_equal(got[i].notice->id, id);
}

static void check_shown(size_t i, int member, const char *id, int noticed_by)
{
    assert_int_equal(got[i].member, member);
    assert_false(got[i].empty);
    assert_false(got[i].news);
    assert_string_equal(got[i].notice->id, id);
    assert_int_equal(got[i].noticed_by, noticed_by);
}

static void check_empty(size_t i, int member)
{
    assert_int_equal(got[i].member, member);
    assert_true(got[i].empty);
}

static void each_hears_what_the_file_says_once(void **state)
{
    (void)state;
    raise_it("lemon-uncover", OW_HEARS_JOBS, OW_NEVER, noon);
    assert_int_equal(take(noon), 2);
    check_news(0, ADA, "lemon-uncover");
    check_news(1, CY, "lemon-uncover");
    assert_true(got[0].notice->raised_s == noon);
    assert_true(got[0].notice->cleared_s == OW_NEVER);
    assert_int_equal(got[0].noticed_by, -1);
    assert_int_equal(take(noon), 0);
    raise_it("lemon-carry-in", OW_HEARS_URGENT, noon + 36000, noon);
    assert_int_equal(take(noon), 2);
    check_news(0, ADA, "lemon-carry-in");
    check_news(1, BEN, "lemon-carry-in");
    for (int hour = 0; hour < 7; hour++) { /* the causes stand and nobody is told again */
        ow_utc_s now = noon + hour * OW_HOUR_S;
        raise_it("lemon-uncover", OW_HEARS_JOBS, OW_NEVER, now);
        raise_it("lemon-carry-in", OW_HEARS_URGENT, noon + 36000 - 60 * hour, now);
        assert_int_equal(take(now), 0);
    }
    assert_int_equal(ow_board_standing(board), 2);
}

static void it_is_told_again_when_more_urgent_or_earlier_by_more_than_an_hour(void **state)
{
    (void)state;
    ow_utc_s by = noon + 10 * OW_HOUR_S;
    raise_it("lemon-carry-in", OW_HEARS_JOBS, by, noon);
    assert_int_equal(take(noon), 2);
    raise_it("lemon-carry-in", OW_HEARS_JOBS, by - OW_HOUR_S, noon + 60);
    assert_int_equal(take(noon + 60), 0);
    raise_it("lemon-carry-in", OW_HEARS_JOBS, by - OW_HOUR_S - 1, noon + 120);
    assert_int_equal(take(noon + 120), 2); /* little by little counts as well */
    raise_it("lemon-carry-in", OW_HEARS_JOBS, by + 5 * OW_HOUR_S, noon + 180);
    raise_it("lemon-carry-in", OW_HEARS_JOBS, by - OW_HOUR_S, noon + 240);
    assert_int_equal(take(noon + 240), 0); /* later and back again is nothing new */
    raise_it("lemon-carry-in", OW_HEARS_URGENT, by, noon + 300);
    assert_int_equal(take(noon + 300), 2);
    check_news(0, ADA, "lemon-carry-in");
    check_news(1, BEN, "lemon-carry-in");
    raise_it("lemon-carry-in", OW_HEARS_JOBS, by, noon + 360);
    raise_it("lemon-carry-in", OW_HEARS_URGENT, by, noon + 420);
    assert_int_equal(take(noon + 420), 0);
    raise_it("lemon-thawing", OW_HEARS_JOBS, OW_NEVER, noon);
    assert_int_equal(take(noon + 420), 2);
    raise_it("lemon-thawing", OW_HEARS_JOBS, by, noon); /* a time where there was none */
    assert_int_equal(take(noon + 420), 2);
}

static void jobs_wait_for_the_end_of_quiet_hours_and_the_urgent_do_not(void **state)
{
    (void)state;
    ow_utc_s seven = zone_time("2024-01-11T06:00Z");
    raise_it("lemon-uncover", OW_HEARS_JOBS, OW_NEVER, night);
    raise_it("lemon-carry-in", OW_HEARS_URGENT, night + 7200, night);
    assert_int_equal(take(night), 3);
    check_news(0, ADA, "lemon-carry-in");
    check_news(1, BEN, "lemon-carry-in");
    check_news(2, CY, "lemon-uncover"); /* has no quiet hours */
    assert_int_equal(ow_board_noticed(board, BEN, "lemon-carry-in"), OW_OK);
    (void)take(night); /* else it would go on to Cy */
    assert_int_equal(take(seven - 1), 0);
    assert_int_equal(take(seven), 1);
    check_news(0, ADA, "lemon-uncover");
}

static void a_job_of_the_night_is_told_before_it_is_quiet(void **state)
{
    (void)state;
    ow_utc_s ten = zone_time("2024-01-10T21:00Z");
    raise_it("lemon-cover-soon", OW_HEARS_JOBS, night, ten - 1); /* the last moment before */
    assert_int_equal(take(ten - 1), 2);
    check_news(0, ADA, "lemon-cover-soon");
    raise_it("lemon-uncover", OW_HEARS_JOBS, night, ten);
    assert_int_equal(take(ten), 1);
    assert_int_equal(got[0].member, CY);
}

static void quiet_ends_right_in_the_nights_when_clocks_change(void **state)
{
    (void)state;
    const char *const raised[] = {"2024-10-26T22:00Z", "2024-03-30T22:00Z"};
    const char *const seven[] = {"2024-10-27T06:00Z", "2024-03-31T05:00Z"};
    for (int i = 0; i < 2; i++) {
        ow_utc_s now = zone_time(raised[i]), end = zone_time(seven[i]);
        raise_it(i == 0 ? "lemon-autumn" : "lemon-spring", OW_HEARS_JOBS, OW_NEVER, now);
        assert_int_equal(take(now), 1);
        assert_int_equal(got[0].member, CY);
        for (ow_utc_s t = now; t < end; t += 300) {
            assert_int_equal(take(t), 0);
        }
        assert_int_equal(take(end), 1);
        assert_int_equal(got[0].member, ADA);
    }
}

static void a_job_that_is_gone_before_morning_is_never_told(void **state)
{
    (void)state;
    raise_it("lemon-uncover", OW_HEARS_JOBS, OW_NEVER, night);
    assert_int_equal(take(night), 1);
    ow_board_clear(board, "lemon-uncover", night + 3600);
    assert_int_equal(take(night + 3600), 1);
    check_empty(0, CY); /* and is taken off the topic of the one who was */
    assert_int_equal(take(noon + OW_DAY_S), 0);
    assert_int_equal(ow_board_standing(board), 0);
}

static void noticed_by_one_it_stops_for_all(void **state)
{
    (void)state;
    raise_it("lemon-carry-in", OW_HEARS_URGENT, noon + 36000, noon);
    assert_int_equal(take(noon), 2);
    assert_int_equal(ow_board_noticed(board, BEN, "fern-carry-in"), OW_NOT_FOUND);
    assert_int_equal(ow_board_noticed(board, 3, "lemon-carry-in"), OW_NOT_FOUND);
    assert_int_equal(ow_board_noticed(board, -1, "lemon-carry-in"), OW_NOT_FOUND);
    assert_int_equal(take(noon), 0);
    assert_int_equal(ow_board_noticed(board, BEN, "lemon-carry-in"), OW_OK);
    assert_int_equal(take(noon), 2);
    check_shown(0, ADA, "lemon-carry-in", BEN); /* says who */
    check_shown(1, BEN, "lemon-carry-in", BEN);
    assert_int_equal(ow_board_noticed(board, ADA, "lemon-carry-in"), OW_OK);
    assert_int_equal(take(noon), 0); /* the first counts */
    raise_it("lemon-carry-in", OW_HEARS_URGENT, noon + 7200, noon);
    assert_int_equal(take(noon), 2); /* hours earlier is news again */
    check_news(0, ADA, "lemon-carry-in");
    assert_int_equal(got[0].noticed_by, -1);
}

static void noticed_in_time_it_is_not_told_in_the_morning(void **state)
{
    (void)state;
    raise_it("lemon-uncover", OW_HEARS_JOBS, OW_NEVER, night);
    assert_int_equal(take(night), 1);
    assert_int_equal(ow_board_noticed(board, CY, "lemon-uncover"), OW_OK);
    assert_int_equal(take(night), 1);
    check_shown(0, CY, "lemon-uncover", CY);
    assert_int_equal(take(noon + OW_DAY_S), 0);
}

static void the_topic_falls_back_on_what_still_stands(void **state)
{
    (void)state;
    raise_it("lemon-one", OW_HEARS_JOBS, noon + 7200, noon);
    raise_it("lemon-two", OW_HEARS_URGENT, OW_NEVER, noon);
    raise_it("lemon-six", OW_HEARS_JOBS, noon + 3600, noon);
    assert_int_equal(take(noon), 6);
    check_news(0, ADA, "lemon-one"); /* least first, so that the worst stays on the topic */
    check_news(1, ADA, "lemon-six");
    check_news(2, ADA, "lemon-two");
    assert_string_equal(ow_board_shown(board, ADA).notice->id, "lemon-two");
    ow_board_clear(board, "lemon-one", noon); /* not shown to Ada: nothing to do */
    assert_int_equal(take(noon), 0);
    ow_board_clear(board, "lemon-two", noon);
    assert_int_equal(take(noon), 2);
    check_shown(0, ADA, "lemon-six", -1);
    check_empty(1, BEN);
    ow_board_clear(board, "lemon-six", noon);
    ow_board_clear(board, "lemon-six", noon);
    assert_int_equal(take(noon), 2);
    check_empty(0, ADA);
    check_empty(1, CY);
    assert_true(ow_board_shown(board, ADA).empty);
}

static void what_comes_back_within_an_hour_was_not_away(void **state)
{
    (void)state;
    raise_it("lemon-thawing", OW_HEARS_JOBS, OW_NEVER, noon);
    assert_int_equal(take(noon), 2);
    ow_board_clear(board, "lemon-thawing", noon + 60);
    assert_int_equal(take(noon + 60), 2);
    check_empty(0, ADA);
    raise_it("lemon-thawing", OW_HEARS_JOBS, OW_NEVER, noon + 3660);
    assert_int_equal(take(noon + 3660), 2);
    check_shown(0, ADA, "lemon-thawing", -1); /* shown, but no news */
    assert_true(got[0].notice->raised_s == noon);
    ow_board_clear(board, "lemon-thawing", noon + 4000);
    assert_int_equal(take(noon + 4000), 2);
    raise_it("lemon-thawing", OW_HEARS_JOBS, OW_NEVER, noon + 4000 + 3601);
    assert_int_equal(take(noon + 8000), 2);
    check_news(0, ADA, "lemon-thawing");
}

static void a_subject_has_one_cause_at_a_time(void **state)
{
    (void)state;
    ow_notice cover = notice("lemon-cover-soon", OW_HEARS_JOBS, noon + 7200);
    ow_notice carry = notice("lemon-carry-in", OW_HEARS_JOBS, noon + 7200);
    raise_it("fern-cover-soon", OW_HEARS_JOBS, noon + 90000, noon);
    assert_int_equal(ow_board_settle(board, "lemon", &cover, noon), OW_OK);
    assert_int_equal(take(noon), 4);
    assert_int_equal(ow_board_settle(board, "lemon", &carry, noon), OW_OK);
    assert_int_equal(ow_board_standing(board), 2);
    assert_int_equal(take(noon), 2);
    check_news(0, ADA, "lemon-carry-in");
    assert_int_equal(ow_board_settle(board, "lemon", NULL, noon), OW_OK);
    assert_int_equal(ow_board_standing(board), 1);
    assert_int_equal(take(noon), 2);
    check_shown(0, ADA, "fern-cover-soon", -1);
}

static void the_board_is_full_of_what_stands_only(void **state)
{
    (void)state;
    char id[32];
    for (int i = 0; i < ROOM; i++) {
        snprintf(id, sizeof id, "lemon-%d", i);
        raise_it(id, OW_HEARS_JOBS, OW_NEVER, noon + i);
    }
    ow_notice more = notice("lemon-more", OW_HEARS_URGENT, OW_NEVER);
    assert_int_equal(ow_board_raise(board, &more, noon), OW_FULL);
    assert_int_equal(take(noon), 2 * ROOM);
    ow_board_clear(board, "lemon-2", noon);
    assert_int_equal(ow_board_raise(board, &more, noon), OW_OK);
    assert_int_equal(take(noon), 2);
    check_news(0, ADA, "lemon-more");
    assert_int_equal(ow_board_standing(board), ROOM);
}

static void few_at_a_time_come_to_the_same(void **state)
{
    (void)state;
    int told[3] = {0};
    raise_it("lemon-one", OW_HEARS_JOBS, OW_NEVER, noon);
    raise_it("lemon-two", OW_HEARS_URGENT, OW_NEVER, noon);
    while (ow_board_take(board, noon, got, 1) == 1) {
        told[got[0].member]++;
    }
    assert_int_equal(told[ADA], 2);
    assert_int_equal(told[BEN], 1);
    assert_int_equal(told[CY], 1);
}

/* ---- kept and restored ---------------------------------------------------------------------- */

static ow_pack packed(void)
{
    ow_pack p = ow_pack_writing();
    ow_board_pack(board, &p);
    assert_int_equal(p.status, OW_OK);
    return p;
}

static void fill(void)
{
    raise_it("lemon-uncover", OW_HEARS_JOBS, OW_NEVER, night);
    raise_it("lemon-carry-in", OW_HEARS_URGENT, night + 7200, night);
    assert_int_equal(take(night), 3);
    assert_int_equal(ow_board_noticed(board, BEN, "lemon-carry-in"), OW_OK);
}

static void a_restored_board_goes_on_where_it_was(void **state)
{
    (void)state;
    fill();
    ow_pack p = packed();
    ow_board_free(board);
    assert_int_equal(ow_board_new(garden, &zone, ROOM, &board), OW_OK);
    ow_pack r = ow_pack_reading(p.out, p.size);
    ow_board_pack(board, &r);
    assert_int_equal(r.status, OW_OK);
    ow_pack again = packed();
    assert_int_equal(again.size, p.size);
    assert_memory_equal(again.out, p.out, p.size);
    assert_int_equal(take(night), 2); /* who noticed it had yet to be shown */
    check_shown(0, ADA, "lemon-carry-in", BEN);
    check_shown(1, BEN, "lemon-carry-in", BEN);
    assert_string_equal(ow_board_shown(board, CY).notice->text, "about lemon-uncover");
    assert_int_equal(take(zone_time("2024-01-11T06:00Z")), 1);
    check_news(0, ADA, "lemon-uncover");
    ow_pack_free(&again);
    ow_pack_free(&p);
}

static void another_household_keeps_what_fits(void **state)
{
    (void)state;
    static const char other_text[] =
        STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
                   "\"plants\":[{\"id\":\"lemon\",\"place\":\"deck\"," STAGE_LIMITS
                   ",\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"peat\"}}],"
                   "\"household\":[{\"id\":\"dee\"},{\"id\":\"ada\"}]}";
    fill();
    ow_pack p = packed();
    ow_garden *other = stage_garden(other_text);
    ow_board *two;
    assert_int_equal(ow_board_new(other, &zone, 1, &two), OW_OK); /* and less room */
    ow_pack r = ow_pack_reading(p.out, p.size);
    ow_board_pack(two, &r);
    assert_int_equal(r.status, OW_OK);
    assert_int_equal(ow_board_standing(two), 1);
    assert_int_equal(ow_board_take(two, night, got, MOST), 2);
    check_news(0, 0, "lemon-uncover"); /* Dee is new */
    check_news(1, 1, "lemon-uncover"); /* Ada has no quiet hours any more */
    ow_board_free(two);
    ow_garden_free(other);
    ow_pack_free(&p);
}

static void cut_or_wrong_bytes_change_nothing(void **state)
{
    (void)state;
    fill();
    ow_pack p = packed();
    for (size_t at = 0; at < p.size; at++) {
        unsigned char *copy = malloc(at > 0 ? at : 1);
        assert_non_null(copy);
        memcpy(copy, p.out, at);
        ow_pack r = ow_pack_reading(copy, at);
        ow_board_pack(board, &r);
        assert_int_equal(r.status, OW_BAD_INPUT);
        free(copy);
    }
    ow_pack again = packed();
    assert_int_equal(again.size, p.size);
    assert_memory_equal(again.out, p.out, p.size);
    for (size_t at = 0; at < p.size; at++) { /* whatever they say now, nothing breaks */
        unsigned char right = p.out[at];
        p.out[at] = 0xFF;
        ow_pack r = ow_pack_reading(p.out, p.size);
        ow_board_pack(board, &r);
        p.out[at] = right;
        (void)take(noon);
        raise_it("lemon-uncover", OW_HEARS_JOBS, noon, noon);
        ow_board_clear(board, "lemon-uncover", noon);
    }
    ow_pack_free(&again);
    ow_pack_free(&p);
}

/* ---- on to the next ------------------------------------------------------------------------- */

static void what_nobody_notices_goes_on_to_the_next(void **state)
{
    (void)state;
    ow_utc_s by = noon + 6 * OW_HOUR_S, on = by - OW_NOTICE_ESCALATE_BEFORE_S;
    raise_it("lemon-uncover", OW_HEARS_JOBS, by, noon);
    assert_int_equal(take(noon), 2); /* Ada and Cy */
    assert_false(got[0].escalated);
    assert_int_equal(take(on - 1), 0);
    assert_int_equal(take(on), 1);
    check_news(0, BEN, "lemon-uncover");
    assert_true(got[0].escalated);
    assert_int_equal(take(by), 0); /* once */
    raise_it("lemon-carry-in", OW_HEARS_URGENT, by, noon);
    assert_int_equal(take(noon + 1), 2); /* Ada and Ben */
    assert_int_equal(ow_board_noticed(board, ADA, "lemon-carry-in"), OW_OK);
    (void)take(noon + 2);
    assert_int_equal(take(by), 0); /* noticed: it does not go on to Cy */
}

static void it_goes_on_step_by_step_and_not_into_the_night(void **state)
{
    (void)state;
    static const char three[] =
        STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
                   "\"plants\":[{\"id\":\"lemon\",\"place\":\"deck\"," STAGE_LIMITS
                   ",\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"peat\"}}],"
                   "\"household\":[{\"id\":\"a\",\"hears\":[\"jobs\"]},"
                   "{\"id\":\"b\",\"hears\":[\"urgent\"],\"quiet\":\"22:00-07:00\"},"
                   "{\"id\":\"c\",\"hears\":[\"urgent\"]}]}";
    ow_garden *other = stage_garden(three);
    ow_board *two;
    assert_int_equal(ow_board_new(other, &zone, 2, &two), OW_OK);
    ow_notice n = notice("lemon-cover", OW_HEARS_JOBS, night + OW_HOUR_S);
    assert_int_equal(ow_board_raise(two, &n, night), OW_OK);
    assert_int_equal(ow_board_take(two, night, got, MOST), 1);
    ow_utc_s on = night + OW_NOTICE_ESCALATE_SOONEST_S; /* not at once though it is late */
    assert_int_equal(ow_board_take(two, on, got, MOST), 0); /* b sleeps */
    assert_int_equal(ow_board_take(two, on + OW_NOTICE_ESCALATE_EVERY_S - 1, got, MOST), 0);
    assert_int_equal(ow_board_take(two, on + OW_NOTICE_ESCALATE_EVERY_S, got, MOST), 1);
    check_news(0, 2, "lemon-cover");
    n = notice("heater-stuck", OW_HEARS_URGENT, OW_NEVER); /* no time: after a while */
    assert_int_equal(ow_board_raise(two, &n, night), OW_OK);
    assert_int_equal(ow_board_take(two, night, got, MOST), 2);
    assert_int_equal(ow_board_take(two, night + OW_NOTICE_ESCALATE_EVERY_S, got, MOST), 1);
    check_news(0, 0, "heater-stuck");
    ow_board_free(two);
    ow_garden_free(other);
}

/* Nobody hears jobs here: there is no next one. */
static void what_nobody_wants_to_hear_goes_to_nobody(void **state)
{
    (void)state;
    garden->household[ADA].hears = garden->household[CY].hears = 1u << OW_HEARS_URGENT;
    raise_it("lemon-uncover", OW_HEARS_JOBS, noon + OW_HOUR_S, noon);
    assert_int_equal(take(noon + OW_HOUR_S), 0);
}

/* ---- sheets --------------------------------------------------------------------------------- */

static void a_sheet_comes_once_a_day_at_its_hour(void **state)
{
    (void)state;
    ow_member m = garden->household[ADA]; /* quiet until 07:00; no hands given: 17:00 */
    ow_utc_s seven = zone_time("2024-01-10T06:00Z"), five = zone_time("2024-01-10T16:00Z");
    assert_false(ow_sheet_due(&m, OW_SHEET_MORNING, &zone, INT64_MIN, seven - 1));
    assert_true(ow_sheet_due(&m, OW_SHEET_MORNING, &zone, INT64_MIN, seven));
    assert_true(ow_sheet_due(&m, OW_SHEET_MORNING, &zone, seven - OW_DAY_S, seven + 60));
    assert_false(ow_sheet_due(&m, OW_SHEET_MORNING, &zone, seven, seven + 60));
    assert_false(ow_sheet_due(&m, OW_SHEET_MORNING, &zone, INT64_MIN, seven + OW_HOUR_S));
    assert_true(ow_sheet_due(&m, OW_SHEET_EVENING, &zone, seven, five));
    assert_false(ow_sheet_due(&m, OW_SHEET_EVENING, &zone, seven, five - 1));
    m.hands = (ow_hours){18 * 60, 21 * 60};
    assert_false(ow_sheet_due(&m, OW_SHEET_EVENING, &zone, seven, five));
    assert_true(ow_sheet_due(&m, OW_SHEET_EVENING, &zone, seven, five + OW_HOUR_S));
    m = garden->household[BEN]; /* hears what is urgent only */
    assert_false(ow_sheet_due(&m, OW_SHEET_MORNING, &zone, INT64_MIN, seven));
}

static void a_sheet_is_told_to_its_member_and_replaces_the_last(void **state)
{
    (void)state;
    static const ow_sheet_line lines[] = {
        {"The lemon", "cover with wrap", "The leaves will fall to -6.2 C. More.", 0, false, 5},
        {"The fig", "look", "Why.", OW_NEVER, false, 2}};
    ow_sheet_line day[2] = {lines[0], lines[1]};
    ow_notice n;
    day[0].by_s = noon;
    garden->household[CY].hears = 7; /* hears sheets too, but this one is Ada's */
    ow_sheet_write(&garden->household[ADA], OW_SHEET_EVENING, "Lowest -6.2 C by Thu. First: x.", day,
                   2, &zone, &n);
    assert_string_equal(n.id, "household-ada-evening");
    assert_string_equal(n.text, "For tonight. Lowest -6.2 C by Thu. 1. The lemon: cover with wrap by "
                                "Wed 10 Jan 12:00. The leaves will fall to -6.2 C. 2. The fig: look. "
                                "Why. 7 min in all.");
    assert_int_equal(ow_board_report(board, &n, noon), OW_OK);
    assert_int_equal(take(noon), 1);
    check_news(0, ADA, "household-ada-evening");
    assert_true(ow_board_raised_s(board, n.id) == noon);
    ow_sheet_write(&garden->household[ADA], OW_SHEET_MORNING, "Mild.", day, 2, &zone, &n);
    assert_string_equal(n.text, "This morning. Mild. 1. The lemon: cover with wrap by Wed 10 Jan "
                                "12:00. 2. The fig: look. 7 min in all.");
    assert_int_equal(ow_board_report(board, &n, noon + 60), OW_OK);
    assert_int_equal(take(noon + 60), 1);
    check_news(0, ADA, "household-ada-morning");
    assert_int_equal(ow_board_standing(board), 1);
    assert_int_equal(ow_board_report(board, &n, noon + OW_DAY_S), OW_OK); /* told as new */
    assert_int_equal(take(noon + OW_DAY_S), 1);
    check_news(0, ADA, "household-ada-morning");
}

static void the_longest_id_hears_its_sheet(void **state)
{
    (void)state;
    char longest[65]; /* an id has at most 64 characters (docs/garden-file.md) */
    ow_sheet_line day = {"The fig", "look", "Why.", OW_NEVER, false, 2};
    ow_notice n;
    const char *own = garden->household[ADA].id;
    memset(longest, 'm', 64);
    longest[64] = '\0';
    garden->household[ADA].id = longest;
    ow_sheet_write(&garden->household[ADA], OW_SHEET_EVENING, "Mild.", &day, 1, &zone, &n);
    assert_int_equal(ow_board_report(board, &n, noon), OW_OK);
    assert_int_equal(take(noon), 1);
    check_news(0, ADA, n.id);
    assert_int_equal(strlen(n.id), 64 + strlen("household--evening"));
    garden->household[ADA].id = own;
}

static void a_sheet_that_is_too_long_counts_the_rest(void **state)
{
    (void)state;
    static ow_sheet_line lines[40];
    ow_notice n;
    for (int i = 0; i < 40; i++) {
        lines[i] = (ow_sheet_line){"The lemon", "cover with wrap", "Why.", OW_NEVER, i == 0, 5};
    }
    ow_sheet_write(&garden->household[ADA], OW_SHEET_EVENING, "Cold.", lines, 40, &zone, &n);
    assert_non_null(strstr(n.text, "1. The lemon: cover with wrap at once, it is late. Why."));
    int told = 0, more = 0;
    for (const char *at = n.text; (at = strstr(at, "The lemon")) != NULL; at++) {
        told++;
    }
    assert_int_equal(sscanf(strstr(n.text, " And "), " And %d more; 200 min in all.", &more), 1);
    assert_int_equal(told + more, 40);
    assert_string_equal(n.text + strlen(n.text) - 11, "min in all.");
}

/* ---- the words ------------------------------------------------------------------------------ */

static ow_verdict verdict(ow_state state, ow_utc_s act_by_s)
{
    ow_verdict v;
    ow_verdict_start(&v);
    v.state = state;
    v.act_by_s = act_by_s;
    return v;
}

static void a_notice_says_what_which_by_when_and_why(void **state)
{
    (void)state;
    ow_notice n;
    ow_verdict v = verdict(OW_STATE_COVER_SOON, noon);
    const char *reason = "The leaves will fall to -6.2 C by Thu 11 Jan 06:30; they are harmed from "
                         "-5.0 C. With wrap: -3.1 C.";
    const ow_spoken wrap = {"cover with wrap", "[[\"cover\",{\"names\":[\"wrap\"]}]]"};
    const ow_spoken coded = {reason, "[[\"because\",{\"c\":-6.2}],[\"eased\"]]"};
    assert_true(ow_notice_of_verdict(garden, 0, &v, wrap, coded, &zone, &n));
    assert_string_equal(n.code,
                        "[[\"ask-by\",\"The lemon\",{\"say\":[[\"cover\",{\"names\":[\"wrap\"]}]]},"
                        "{\"at\":\"2024-01-10T11:00:00Z\"}],[\"because\",{\"c\":-6.2}]]");
    assert_string_equal(n.id, "lemon-cover-soon");
    assert_string_equal(n.subject, "lemon");
    assert_string_equal(n.text, "The lemon: cover with wrap by Wed 10 Jan 12:00. The leaves will "
                                "fall to -6.2 C by Thu 11 Jan 06:30; they are harmed from -5.0 C.");
    assert_int_equal(n.urgency, OW_HEARS_JOBS);
    assert_true(n.act_by_s == noon);
    v.threat.any = v.threat.kills = true;
    assert_true(ow_notice_of_verdict(garden, 0, &v, wrap, (ow_spoken){reason, ""}, &zone, &n));
    assert_string_equal(n.code, ""); /* a part without a code: the whole is without */
    assert_int_equal(n.urgency, OW_HEARS_URGENT);
    v.late = true;
    const ow_spoken late = {"It is late. The leaves will fall. More.",
                            "[[\"late\"],[\"will\"],[\"more\"]]"};
    assert_true(ow_notice_of_verdict(garden, 0, &v, wrap, late, &zone, &n));
    assert_non_null(strstr(n.code, "}],[\"will\"],[\"else-killed\"]]"));
    assert_string_equal(n.text, "The lemon: cover with wrap at once, it is late. The leaves will "
                                "fall. If nothing is done, part of it is killed.");
}

static void every_state_but_hold_has_a_notice(void **state)
{
    (void)state;
    for (int s = 0; s < OW_STATES; s++) {
        ow_notice n = {.text = "untouched"};
        ow_verdict v = verdict((ow_state)s, OW_NEVER);
        bool told = ow_notice_of_verdict(garden, 0, &v, (ow_spoken){"", ""},
                                         (ow_spoken){"Because", ""}, &zone, &n);
        assert_int_equal(told, s != OW_STATE_HOLD);
        assert_true(told ? strncmp(n.text, "The lemon: ", 11) == 0 && strstr(n.text, ". Because")
                         : strcmp(n.text, "untouched") == 0);
        assert_null(strchr(n.id, ' '));
    }
}

static void a_long_text_ends_between_characters(void **state)
{
    (void)state;
    char action[2 * OW_NOTICE_TEXT] = "", reason[] = "Why.";
    ow_notice n;
    for (int odd = 0; odd < 2; odd++) { /* two bytes a character, cut at either */
        action[0] = '\0';
        strcat(action, odd ? "x" : "");
        while (strlen(action) < OW_NOTICE_TEXT) {
            strcat(action, "\xC3\xA9");
        }
        ow_verdict v = verdict(OW_STATE_CARRY_IN, OW_NEVER);
        assert_true(ow_notice_of_verdict(garden, 0, &v, (ow_spoken){action, ""},
                                         (ow_spoken){reason, ""}, &zone, &n));
        size_t length = strlen(n.text);
        assert_true(length >= OW_NOTICE_TEXT - 3 && length < OW_NOTICE_TEXT);
        assert_int_equal((unsigned char)n.text[length - 1], 0xA9);
    }
}

static void check_open(const char *const *ids, int n)
{
    ow_standing open[OW_BOARD_OPEN];
    assert_int_equal(ow_board_open(board, open), n);
    for (int i = 0; i < n; i++) {
        assert_string_equal(open[i].notice->id, ids[i]);
    }
}

/* What somebody noticed comes last, what is urgent first; what is for one only is not there. */
static void what_stands_open_is_listed(void **state)
{
    (void)state;
    static const ow_sheet_line lines[] = {{"The lemon", "look", "Why.", OW_NEVER, false, 2}};
    ow_notice sheet;
    raise_it("lemon-look", OW_HEARS_JOBS, OW_NEVER, noon);
    raise_it("olive-cover", OW_HEARS_JOBS, noon + OW_HOUR_S, noon);
    raise_it("stove-stuck", OW_HEARS_URGENT, OW_NEVER, noon);
    ow_sheet_write(&garden->household[ADA], OW_SHEET_EVENING, "Mild.", lines, 1, &zone, &sheet);
    assert_int_equal(ow_board_report(board, &sheet, noon), OW_OK);
    check_open((const char *[]){"stove-stuck", "olive-cover", "lemon-look"}, 3);
    assert_true(ow_board_changed(board));
    assert_false(ow_board_changed(board));
    raise_it("olive-cover", OW_HEARS_JOBS, noon + OW_HOUR_S, noon + 60); /* the same once more */
    assert_false(ow_board_changed(board));
    assert_int_equal(ow_board_noticed(board, ADA, "stove-stuck"), OW_OK);
    assert_true(ow_board_changed(board));
    check_open((const char *[]){"olive-cover", "lemon-look", "stove-stuck"}, 3);
    ow_board_clear(board, "olive-cover", noon + 120);
    assert_true(ow_board_changed(board));
    check_open((const char *[]){"lemon-look", "stove-stuck"}, 2);
    raise_it("lemon-look", OW_HEARS_URGENT, OW_NEVER, noon + 180); /* worse */
    assert_true(ow_board_changed(board));
}

#define BOARD_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        BOARD_TEST(each_hears_what_the_file_says_once),
        BOARD_TEST(it_is_told_again_when_more_urgent_or_earlier_by_more_than_an_hour),
        BOARD_TEST(jobs_wait_for_the_end_of_quiet_hours_and_the_urgent_do_not),
        BOARD_TEST(a_job_of_the_night_is_told_before_it_is_quiet),
        BOARD_TEST(quiet_ends_right_in_the_nights_when_clocks_change),
        BOARD_TEST(a_job_that_is_gone_before_morning_is_never_told),
        BOARD_TEST(noticed_by_one_it_stops_for_all),
        BOARD_TEST(noticed_in_time_it_is_not_told_in_the_morning),
        BOARD_TEST(the_topic_falls_back_on_what_still_stands),
        BOARD_TEST(what_comes_back_within_an_hour_was_not_away),
        BOARD_TEST(a_subject_has_one_cause_at_a_time),
        BOARD_TEST(the_board_is_full_of_what_stands_only),
        BOARD_TEST(few_at_a_time_come_to_the_same),
        BOARD_TEST(a_restored_board_goes_on_where_it_was),
        BOARD_TEST(another_household_keeps_what_fits),
        BOARD_TEST(cut_or_wrong_bytes_change_nothing),
        BOARD_TEST(a_notice_says_what_which_by_when_and_why),
        BOARD_TEST(every_state_but_hold_has_a_notice),
        BOARD_TEST(what_nobody_notices_goes_on_to_the_next),
        BOARD_TEST(it_goes_on_step_by_step_and_not_into_the_night),
        BOARD_TEST(what_nobody_wants_to_hear_goes_to_nobody),
        BOARD_TEST(a_sheet_comes_once_a_day_at_its_hour),
        BOARD_TEST(a_sheet_is_told_to_its_member_and_replaces_the_last),
        BOARD_TEST(the_longest_id_hears_its_sheet),
        BOARD_TEST(a_sheet_that_is_too_long_counts_the_rest),
        BOARD_TEST(a_long_text_ends_between_characters),
        BOARD_TEST(what_stands_open_is_listed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
