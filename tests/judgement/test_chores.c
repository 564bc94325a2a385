/* SPDX-License-Identifier: MIT */
/* Small jobs: each with its cause, and not without it. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/chores.h"
#include "judgement/stage.h"

#define OPEN "'places':[{'id':'deck','kind':'open sky'}],"
#define POT(more) "'pot':{'diameter_mm':160,'depth_mm':150" more "}"

static ow_chore_set chores(yard *y)
{
    ow_chore_set c;
    yard_look(y);
    ow_chores_of(y->outlook, y->on.scene, 0, &c);
    return c;
}

static bool wants(yard *y, ow_chore chore)
{
    return (chores(y).set & 1u << chore) != 0;
}

static yard frost(const char *garden, double coldest_c)
{
    yard y = yard_open(garden, 4.0);
    turn turns[] = {{0, 4}, {8, 4}, {16, coldest_c}, {60, coldest_c}, {72, 4}};
    yard_forecast(&y, turns, 5);
    yard_live(&y, 0.5);
    return y;
}

static void saucers_are_emptied_but_for_bog_plants(void **state)
{
    (void)state;
#define DISH(taxon)                                                                                \
    OPEN "'plants':[{'id':'one','taxon':'" taxon                                                   \
         "','place':'deck'," POT(",'stands_on':'tray of water','tray_mm':20") "}]"
    yard y = frost(DISH("Camellia japonica"), -3.0);
    ow_chore_set c = chores(&y);
    assert_true(c.set & 1u << OW_CHORE_EMPTY_SAUCER);
    assert_true(c.by_s[OW_CHORE_EMPTY_SAUCER] > y.on.scene->now_s);
    assert_true(c.by_s[OW_CHORE_EMPTY_SAUCER] <= y.on.scene->now_s + 14 * OW_HOUR_S);
    yard_close(&y);
    y = frost(DISH("Sarracenia flava"), -3.0);
    assert_false(wants(&y, OW_CHORE_EMPTY_SAUCER));
    yard_close(&y);
    y = frost(DISH("Camellia japonica"), 1.0);
    assert_false(wants(&y, OW_CHORE_EMPTY_SAUCER));
    yard_close(&y);
}

static void dry_evergreens_are_watered_before_they_freeze(void **state)
{
    (void)state;
#define THIRSTY(taxon, moisture)                                                                   \
    OPEN "'plants':[{'id':'one','taxon':'" taxon "','place':'deck'," POT(                          \
        ",'stands_on':'raised','moisture':'" moisture "'") "}]"
    static const struct {
        const char *garden;
        double coldest_c;
        bool wants;
    } cases[] = {{THIRSTY("Camellia japonica", "dry"), -12.0, true},
                 {THIRSTY("Camellia japonica", "moist"), -12.0, false},
                 {THIRSTY("Camellia japonica", "dry"), 0.5, false},
                 {THIRSTY("Agave americana", "dry"), -12.0, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = frost(cases[i].garden, cases[i].coldest_c);
        assert_int_equal(wants(&y, OW_CHORE_WATER), cases[i].wants);
        yard_close(&y);
    }
}

static void rain_is_kept_off_crowns(void **state)
{
    (void)state;
#define CROWN(wearing)                                                                             \
    OPEN "'covers':[{'id':'film','kind':'bubble film','on':'top'}],"                               \
         "'plants':[{'id':'one','taxon':'Agave americana','place':'deck'," POT("") wearing "}]"
    for (int rain = 0; rain < 2; rain++) {
        for (int dressed = 0; dressed < 2; dressed++) {
            yard y = frost(dressed ? CROWN(",'wearing':['film']") : CROWN(""), -3.0);
            y.ahead.row[9].weather.rain_mm = rain;
            assert_int_equal(wants(&y, OW_CHORE_KEEP_RAIN_OFF), rain && !dressed);
            yard_close(&y);
        }
    }
}

/* Frozen buds that the morning sun reaches: the hour before is the latest to shade them. */
static void buds_are_shaded_from_the_morning_sun(void **state)
{
    (void)state;
    for (int sun = 0; sun < 2; sun++) {
        yard y = yard_open(OPEN "'plants':[{'id':'one','place':'deck',"
                                "'limits':{'buds':{'damaged_c':-9}}," POT("") "}]",
                           -4.0);
        turn turns[] = {{0, -5}, {8, -6}, {10, 2}, {14, 6}, {24, 0}};
        yard_forecast(&y, turns, 5);
        for (size_t i = 0; i < y.ahead.rows; i++) {
            double hour = (double)(y.ahead.row[i].utc_s - STAGE_MIDWINTER) / 3600.0;
            bool day = hour >= 8.0 && hour <= 15.0;
            y.ahead.row[i].weather.solar_wm2 = sun && day ? 350.0 : 0.0;
        }
        ow_chore_set c = chores(&y);
        assert_int_equal((c.set & 1u << OW_CHORE_SHADE) != 0, sun);
        if (sun) {
            assert_in_range(c.by_s[OW_CHORE_SHADE] - STAGE_MIDWINTER, 6 * 3600, 10 * 3600);
        }
        yard_close(&y);
    }
}

/* After the frost that blackens leaves, not before, and not once the ground is shut. */
static void tubers_are_lifted_between_two_frosts(void **state)
{
    (void)state;
#define BED(taxon) OPEN "'plants':[{'id':'one','taxon':'" taxon "','place':'deck','bed':{}}]"
    static const struct {
        const char *garden;
        bool black, shut, wants;
    } cases[] = {{BED("Dahlia x hybrida"), true, false, true},
                 {BED("Dahlia x hybrida"), false, false, false},
                 {BED("Dahlia x hybrida"), true, true, false},
                 {BED("Tulipa gesneriana"), true, false, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = yard_open(cases[i].garden, cases[i].shut ? -6.0 : 4.0);
        yard_steady(&y, cases[i].shut ? -6.0 : 4.0, 48.0);
        yard_live(&y, cases[i].shut ? 24.0 : 0.5);
        assert_int_equal(ow_cast_bed_c(y.on.scene->cast, 0, 0.10) < 0.0, cases[i].shut);
        if (cases[i].shut) { /* shut ground, with a tuber that lives */
            ow_harm_watch_start(&yard_actor(&y, 0)->condition.watch[OW_STORAGE_ORGAN]);
        }
        yard_actor(&y, 0)->condition.watch[OW_FOLIAGE].damaged = cases[i].black;
        assert_int_equal(wants(&y, OW_CHORE_LIFT), cases[i].wants);
        yard_close(&y);
    }
}

/* By the hour at which ten centimetres freeze, or the organ's own limit if that comes first. */
static void tubers_are_lifted_before_the_ground_shuts(void **state)
{
    (void)state;
#define TUBER(limit)                                                                               \
    OPEN "'plants':[{'id':'one','place':'deck','bed':{},'limits':{'foliage':{'damaged_c':-1},"      \
         "'storage organ':{'damaged_c':" limit "}}}]"
    static const char *const gardens[] = {TUBER("-4"), TUBER("2")};
    for (int i = 0; i < 2; i++) {
        yard y = yard_open(gardens[i], 4.0);
        turn turns[] = {{0, 4}, {12, -9}, {60, -9}};
        yard_forecast(&y, turns, 3);
        yard_actor(&y, 0)->condition.watch[OW_FOLIAGE].damaged = true;
        ow_chore_set c = chores(&y);
        ow_utc_s harmed = y.outlook->course[0].damaged_s[OW_STORAGE_ORGAN];
        ow_utc_s shut = y.outlook->bed_shut_s[0];
        assert_true(c.set & 1u << OW_CHORE_LIFT);
        assert_true(shut > y.on.scene->now_s + 6 * OW_HOUR_S && shut != OW_NEVER);
        assert_int_equal(harmed < shut, i);
        assert_true(c.by_s[OW_CHORE_LIFT] == (i ? harmed : shut));
        yard_live(&y, (double)(shut - y.on.scene->now_s) / 3600.0);
        assert_true(ow_cast_bed_c(y.on.scene->cast, 0, 0.10) >= 0.0);
        yard_live(&y, 0.5);
        assert_true(ow_cast_bed_c(y.on.scene->cast, 0, 0.10) < 0.0);
        yard_close(&y);
    }
}

static void black_bananas_are_cut_and_wrapped(void **state)
{
    (void)state;
#define STEM(taxon)                                                                                \
    OPEN "'plants':[{'id':'one','taxon':'" taxon                                                   \
         "','place':'deck','trunk':{'diameter_mm':150,'height_mm':1200},'bed':{}}]"
    for (int black = 0; black < 2; black++) {
        for (int palm = 0; palm < 2; palm++) {
            yard y = yard_open(palm ? STEM("Trachycarpus fortunei") : STEM("Musa basjoo"), 4.0);
            yard_steady(&y, 4.0, 48.0);
            yard_live(&y, 0.5);
            yard_actor(&y, 0)->condition.watch[OW_FOLIAGE].damaged = black;
            assert_int_equal(wants(&y, OW_CHORE_CUT_AND_WRAP), black && !palm);
            yard_close(&y);
        }
    }
}

static void snow_is_cleared_off_evergreens(void **state)
{
    (void)state;
    yard y = frost(OPEN "'plants':[{'id':'one','taxon':'Camellia japonica','place':'deck'," POT(
                       "") "}]",
                   -3.0);
    assert_false(wants(&y, OW_CHORE_CLEAR_SNOW));
    y.on.scene->spot[0].snow_cm = 12.0;
    assert_true(wants(&y, OW_CHORE_CLEAR_SNOW));
    yard_close(&y);
}

static void what_the_wind_took_is_looked_at(void **state)
{
    (void)state;
    yard y = frost(OPEN "'covers':[{'id':'fleece','kind':'fleece'}],"
                        "'plants':[{'id':'one','taxon':'Camellia japonica','place':'deck',"
                        "'wearing':['fleece']," POT("") "}]",
                   -3.0);
    assert_false(wants(&y, OW_CHORE_LAY_AGAIN));
    yard_actor(&y, 0)->dress.cover[0].state.blown_off = true;
    assert_true(wants(&y, OW_CHORE_LAY_AGAIN));
    yard_close(&y);
}

/* Film rots a crown in days, the dark starves leaves in a week, thin fleece does neither. */
static void covers_cost_days(void **state)
{
    (void)state;
    static const struct {
        ow_cover_kind kind;
        unsigned on;
        ow_leaves leaves;
        double days;
        bool rots;
    } cases[] = {{OW_COVER_FLEECE, 0, OW_LEAVES_EVERGREEN, INFINITY, false},
                 {OW_COVER_THICK_FLEECE, 0, OW_LEAVES_EVERGREEN, 21.0, false},
                 {OW_COVER_STRAW, OW_ZONES_ALL, OW_LEAVES_EVERGREEN, 7.0, false},
                 {OW_COVER_STRAW, OW_ZONES_ALL, OW_LEAVES_NONE, INFINITY, false},
                 {OW_COVER_STRAW, OW_ZONE_SIDE, OW_LEAVES_EVERGREEN, INFINITY, false},
                 {OW_COVER_BUBBLE_FILM, OW_ZONES_ALL, OW_LEAVES_EVERGREEN, 5.0, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_dress dress = {.n = 1, .cover = {{.kind = cases[i].kind, .on = cases[i].on}}};
        ow_tolerance stands = {.leaves = cases[i].leaves};
        ow_stay stay = ow_covers_stay(&dress, &stands);
        assert_true(stay.days == cases[i].days && stay.rots == cases[i].rots);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(saucers_are_emptied_but_for_bog_plants),
        cmocka_unit_test(dry_evergreens_are_watered_before_they_freeze),
        cmocka_unit_test(rain_is_kept_off_crowns),
        cmocka_unit_test(buds_are_shaded_from_the_morning_sun),
        cmocka_unit_test(tubers_are_lifted_between_two_frosts),
        cmocka_unit_test(tubers_are_lifted_before_the_ground_shuts),
        cmocka_unit_test(black_bananas_are_cut_and_wrapped),
        cmocka_unit_test(snow_is_cleared_off_evergreens),
        cmocka_unit_test(what_the_wind_took_is_looked_at),
        cmocka_unit_test(covers_cost_days),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
