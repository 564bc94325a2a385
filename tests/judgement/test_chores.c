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

/* Film around the pot, or on the ground where the wind left it, keeps no rain off. */
static void film_elsewhere_keeps_no_rain_off(void **state)
{
    (void)state;
    yard y = frost(CROWN(",'wearing':['film']"), -3.0);
    ow_worn_cover *film = &yard_actor(&y, 0)->dress.cover[0];
    y.ahead.row[9].weather.rain_mm = 1.0;
    assert_false(wants(&y, OW_CHORE_KEEP_RAIN_OFF));
    film->on = OW_ZONE_SIDE;
    assert_true(wants(&y, OW_CHORE_KEEP_RAIN_OFF));
    film->on = OW_ZONE_GROWING_POINT;
    assert_false(wants(&y, OW_CHORE_KEEP_RAIN_OFF));
    film->state.blown_off = true;
    assert_true(wants(&y, OW_CHORE_KEEP_RAIN_OFF));
    yard_close(&y);
}

/* Film that the wind took needs no opening. */
static void film_that_is_gone_is_not_opened(void **state)
{
    (void)state;
    yard y = frost(CROWN(",'wearing':['film']"), -3.0);
    ow_sense *sense = &yard_actor(&y, 0)->sense;
    yard_look(&y);
    for (int blown = 0; blown < 2; blown++) {
        for (int sun = 0; sun < 2; sun++) {
            ow_chore_set c;
            yard_actor(&y, 0)->dress.cover[0].state.blown_off = blown;
            sense->sun_wm2 = sun ? 200.0 : 0.0;
            sense->air_c = 9.0;
            ow_chores_of(y.outlook, y.on.scene, 0, &c);
            assert_int_equal((c.set & 1u << OW_CHORE_AIR) != 0, sun && !blown);
        }
    }
    yard_close(&y);
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

/* ---- thresholds ------------------------------------------------------------------------------ */

/* Bare, thawed and dry, well, and nothing ahead of it but what a case says. */
static yard calm(const char *taxon)
{
    char garden[1024];
    snprintf(garden, sizeof garden,
             "'places':[{'id':'eaves','kind':'under eaves'},{'id':'deck','kind':'open sky'}],"
             "'plants':[{'id':'one','taxon':'%s','place':'deck'," POT(
                 ",'stands_on':'raised','moisture':'dry'") "}]",
             taxon);
    yard y = yard_open(garden, 4.0);
    yard_steady(&y, 4.0, 24.0);
    yard_look(&y);
    return y;
}

static ow_chore_set chores_as_they_are(const yard *y)
{
    ow_chore_set c;
    ow_chores_of(y->outlook, y->on.scene, 0, &c);
    return c;
}

static bool has(const yard *y, ow_chore chore)
{
    return (chores_as_they_are(y).set & 1u << chore) != 0;
}

/* The first hour of a tenth of a millimetre where it stands, not where others do. */
static void rain_is_dated_where_it_falls(void **state)
{
    (void)state;
    enum { EAVES, DECK, PLACES };
    static const struct {
        const char *taxon;
        int place, step;
        double mm_h;
        bool frost, wants;
    } cases[] = {
        {"Agave americana", DECK, 0, 0.1, true, true},
        {"Agave americana", DECK, 7, 0.1, true, true},
        {"Agave americana", DECK, 47, 5.0, true, true},
        {"Dicksonia antarctica", DECK, 7, 0.1, true, true},
        {"Agave americana", DECK, 7, 0.0999, true, false},
        {"Agave americana", DECK, 7, 5.0, false, false},
        {"Agave americana", EAVES, 7, 5.0, true, false},
        {"Camellia japonica", DECK, 7, 5.0, true, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = calm(cases[i].taxon);
        assert_int_equal(y.outlook->steps, 48);
        assert_false(has(&y, OW_CHORE_KEEP_RAIN_OFF));
        y.outlook->spot[cases[i].step * PLACES + cases[i].place].rain_mm_h = cases[i].mm_h;
        y.outlook->course[0].frost_s = cases[i].frost ? y.on.scene->now_s + 3600 : OW_NEVER;
        ow_chore_set c = chores_as_they_are(&y);
        assert_int_equal((c.set & 1u << OW_CHORE_KEEP_RAIN_OFF) != 0, cases[i].wants);
        if (cases[i].wants) {
            assert_int_equal(c.by_s[OW_CHORE_KEEP_RAIN_OFF] - y.on.scene->now_s,
                             cases[i].step * STAGE_STEP_S);
        }
        yard_close(&y);
    }
}

/* An hour before the first part thaws too quickly, leaves or buds. */
static void shade_comes_an_hour_before_the_first(void **state)
{
    (void)state;
    yard y = calm("Camellia japonica");
    ow_utc_s now = y.on.scene->now_s, *quick_s = y.outlook->course[0].quick_s;
    static const int hours[][2] = {{9, 10}, {10, 9}};
    for (int i = 0; i < 2; i++) {
        quick_s[OW_FOLIAGE] = now + hours[i][0] * OW_HOUR_S;
        quick_s[OW_BUDS] = now + hours[i][1] * OW_HOUR_S;
        ow_chore_set c = chores_as_they_are(&y);
        assert_int_equal(c.set, 1u << OW_CHORE_SHADE);
        assert_int_equal(c.by_s[OW_CHORE_SHADE] - now, 8 * OW_HOUR_S);
    }
    yard_close(&y);
}

static void only_a_thawed_ball_is_watered(void **state)
{
    (void)state;
    static const struct {
        double ice_share;
        bool wants;
    } cases[] = {{0.0, true}, {0.0099, true}, {0.01, false}, {0.5, false}};
    yard y = calm("Camellia japonica");
    ow_course *course = &y.outlook->course[0];
    course->frost_s = y.on.scene->now_s + 5 * OW_HOUR_S;
    course->frozen_s = course->frost_s + OW_DAY_S;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard_actor(&y, 0)->sense.root.ice_share = cases[i].ice_share;
        ow_chore_set c = chores_as_they_are(&y);
        assert_int_equal((c.set & 1u << OW_CHORE_WATER) != 0, cases[i].wants);
        assert_true(!cases[i].wants || c.by_s[OW_CHORE_WATER] == course->frost_s);
    }
    yard_close(&y);
}

static void snow_breaks_from_ten_centimetres(void **state)
{
    (void)state;
    static const struct {
        const char *taxon;
        double snow_cm;
        bool wants;
    } cases[] = {{"Camellia japonica", 9.9, false},
                 {"Camellia japonica", 10.0, true},
                 {"Acer palmatum", 30.0, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        yard y = calm(cases[i].taxon);
        y.on.scene->spot[1].snow_cm = cases[i].snow_cm;
        y.on.scene->spot[0].snow_cm = 30.0 - cases[i].snow_cm; /* another place */
        assert_int_equal(has(&y, OW_CHORE_CLEAR_SNOW), cases[i].wants);
        yard_close(&y);
    }
}

/* By day, from 5 C on, while more frost is to come; what was taken off counts no more. */
static void film_is_opened_on_mild_days(void **state)
{
    (void)state;
    enum { FILM = OW_COVER_BUBBLE_FILM, FLEECE = OW_COVER_FLEECE };
    static const struct {
        size_t worn;
        int cover[3];
        double sun_wm2, air_c;
        bool frost, wants;
    } cases[] = {
        {1, {FILM}, 1.0, 5.0, true, true},
        {2, {FILM, FLEECE}, 1.0, 5.0, true, true},
        {2, {FLEECE, FILM}, 1.0, 5.0, true, true},
        {1, {FLEECE}, 1.0, 5.0, true, false},
        {1, {FLEECE, FILM}, 1.0, 5.0, true, false}, /* taken off */
        {0, {FILM}, 1.0, 5.0, true, false},
        {1, {FILM}, 0.0, 5.0, true, false},
        {1, {FILM}, 1.0, 4.99, true, false},
        {1, {FILM}, 1.0, 5.0, false, false},
    };
    yard y = calm("Camellia japonica");
    ow_actor *a = yard_actor(&y, 0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        a->dress.n = cases[i].worn;
        for (int k = 0; k < 3; k++) {
            a->dress.cover[k] = (ow_worn_cover){.kind = (ow_cover_kind)cases[i].cover[k]};
        }
        a->sense.sun_wm2 = cases[i].sun_wm2;
        a->sense.air_c = cases[i].air_c;
        y.outlook->course[0].frost_s = cases[i].frost ? y.on.scene->now_s + 3600 : OW_NEVER;
        ow_chore_set c = chores_as_they_are(&y);
        assert_int_equal(c.set, cases[i].wants ? 1u << OW_CHORE_AIR : 0u);
        assert_true(!cases[i].wants || c.by_s[OW_CHORE_AIR] == OW_NEVER);
    }
    yard_close(&y);
}

static void what_was_taken_off_counts_no_more(void **state)
{
    (void)state;
    yard y = calm("Agave americana");
    ow_actor *a = yard_actor(&y, 0);
    y.outlook->spot[1].rain_mm_h = 1.0;
    y.outlook->course[0].frost_s = y.on.scene->now_s + 3600;
    for (size_t worn = 0; worn < OW_WORN_MAX; worn++) {
        a->dress.n = worn;
        for (size_t i = 0; i < OW_WORN_MAX; i++) {
            a->dress.cover[i] = (ow_worn_cover){.kind = OW_COVER_FLEECE};
        }
        a->dress.cover[worn] = (ow_worn_cover){.kind = OW_COVER_BUBBLE_FILM, .on = OW_ZONE_FOLIAGE};
        a->dress.cover[worn].state.blown_off = true;
        assert_int_equal(chores_as_they_are(&y).set, 1u << OW_CHORE_KEEP_RAIN_OFF);
    }
    a->dress.cover[OW_WORN_MAX - 1].state.blown_off = false;
    a->dress.n = OW_WORN_MAX;
    assert_int_equal(chores_as_they_are(&y).set, 0u); /* under the film on top of them all */
    yard_close(&y);
}

/* Leaves of which no limit is known are black below -1 C (plants/season.h), others by their own. */
static void leaves_blacken_by_their_limit(void **state)
{
    (void)state;
    static const struct {
        const char *own;
        bool damaged;
        double lowest_c;
        bool wants;
    } cases[] = {
        {"", false, -1.0, false},
        {"", false, -1.01, true},
        {"", true, 0.0, true},
        {"'foliage':{'damaged_c':-4},", false, -3.0, false},
        {"'foliage':{'damaged_c':-4},", true, -5.0, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char garden[512];
        snprintf(garden, sizeof garden,
                 OPEN "'plants':[{'id':'one','place':'deck','bed':{},"
                      "'limits':{%s'storage organ':{'damaged_c':-1}}}]",
                 cases[i].own);
        yard y = yard_open(garden, 4.0);
        yard_steady(&y, 4.0, 24.0);
        yard_look(&y);
        yard_actor(&y, 0)->condition.watch[OW_FOLIAGE].damaged = cases[i].damaged;
        yard_actor(&y, 0)->condition.watch[OW_FOLIAGE].lowest_c = cases[i].lowest_c;
        assert_int_equal(has(&y, OW_CHORE_LIFT), cases[i].wants);
        yard_close(&y);
    }
}

/* Ten centimetres down a bed may reach -4 C (ours); what stands that stays, unless the outlook
 * says otherwise. Ground at 0 C can still be dug. */
static void what_the_bed_would_harm_is_lifted(void **state)
{
    (void)state;
    static const struct {
        const char *damaged_c, *start_c;
        bool foreseen, wants;
    } cases[] = {
        {"-4", "2", false, true},  {"-4.01", "2", false, false}, {"-4.01", "2", true, true},
        {"-4", "0", false, true},  {"-4", "-0.001", false, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char garden[512];
        snprintf(garden, sizeof garden,
                 OPEN "'plants':[{'id':'one','place':'deck','bed':{},'start_c':%s,"
                      "'limits':{'storage organ':{'damaged_c':%s}}}]",
                 cases[i].start_c, cases[i].damaged_c);
        yard y = yard_open(garden, 4.0);
        yard_steady(&y, 4.0, 24.0);
        yard_look(&y);
        ow_utc_s harm_s = cases[i].foreseen ? y.on.scene->now_s + OW_DAY_S : OW_NEVER;
        yard_actor(&y, 0)->condition.watch[OW_FOLIAGE].damaged = true;
        y.outlook->course[0].damaged_s[OW_STORAGE_ORGAN] = harm_s;
        ow_chore_set c = chores_as_they_are(&y);
        assert_int_equal((c.set & 1u << OW_CHORE_LIFT) != 0, cases[i].wants);
        assert_true(!cases[i].wants || c.by_s[OW_CHORE_LIFT] == harm_s);
        yard_close(&y);
    }
}

/* Without hours ahead only what can be seen now is asked. */
static void without_foresight_only_what_is_seen(void **state)
{
    (void)state;
    yard y = calm("Camellia japonica");
    const unsigned seen = 1u << OW_CHORE_CLEAR_SNOW;
    y.on.scene->spot[1].snow_cm = 20.0;
    y.outlook->course[0].quick_s[OW_BUDS] = y.on.scene->now_s + OW_HOUR_S;
    for (int steps = 0; steps < 3; steps++) {
        y.outlook->steps = steps;
        assert_int_equal(chores_as_they_are(&y).set,
                         steps == 0 ? seen : seen | 1u << OW_CHORE_SHADE);
    }
    yard_close(&y);
}

/* The first of several covers to do harm is told. */
static void the_worst_cover_counts(void **state)
{
    (void)state;
    static const struct {
        size_t worn;
        ow_worn_cover cover[3];
        double days;
        bool rots;
    } cases[] = {
        {2, {{.kind = OW_COVER_STRAW, .on = OW_ZONES_ALL}, {.kind = OW_COVER_FLEECE}}, 7.0, false},
        {2, {{.kind = OW_COVER_FLEECE}, {.kind = OW_COVER_STRAW, .on = OW_ZONES_ALL}}, 7.0, false},
        {1, {{.kind = OW_COVER_FLEECE}, {.kind = OW_COVER_STRAW, .on = OW_ZONES_ALL}}, INFINITY,
         false},
        {2, {{.kind = OW_COVER_STRAW, .on = OW_ZONES_ALL},
             {.kind = OW_COVER_BUBBLE_FILM, .on = OW_ZONES_ALL}}, 5.0, true},
        {1, {{.kind = OW_COVER_BUBBLE_FILM, .on = OW_ZONE_SIDE}}, INFINITY, false},
        {1, {{.kind = OW_COVER_BUBBLE_FILM, .on = OW_ZONE_GROWING_POINT}}, 5.0, true},
    };
    const ow_tolerance stands = {.leaves = OW_LEAVES_EVERGREEN};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_dress dress = {.n = cases[i].worn};
        memcpy(dress.cover, cases[i].cover, sizeof cases[i].cover);
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
        cmocka_unit_test(film_elsewhere_keeps_no_rain_off),
        cmocka_unit_test(film_that_is_gone_is_not_opened),
        cmocka_unit_test(buds_are_shaded_from_the_morning_sun),
        cmocka_unit_test(tubers_are_lifted_between_two_frosts),
        cmocka_unit_test(tubers_are_lifted_before_the_ground_shuts),
        cmocka_unit_test(black_bananas_are_cut_and_wrapped),
        cmocka_unit_test(snow_is_cleared_off_evergreens),
        cmocka_unit_test(what_the_wind_took_is_looked_at),
        cmocka_unit_test(covers_cost_days),
        cmocka_unit_test(rain_is_dated_where_it_falls),
        cmocka_unit_test(shade_comes_an_hour_before_the_first),
        cmocka_unit_test(only_a_thawed_ball_is_watered),
        cmocka_unit_test(snow_breaks_from_ten_centimetres),
        cmocka_unit_test(film_is_opened_on_mild_days),
        cmocka_unit_test(what_was_taken_off_counts_no_more),
        cmocka_unit_test(leaves_blacken_by_their_limit),
        cmocka_unit_test(what_the_bed_would_harm_is_lifted),
        cmocka_unit_test(without_foresight_only_what_is_seen),
        cmocka_unit_test(the_worst_cover_counts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
