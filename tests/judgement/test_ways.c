/* SPDX-License-Identifier: MIT */
/* What could be done for a plant, what is kept of it, and what is not worth keeping. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/stage.h"

enum { DECK, CELLAR, HOUSE, WALL, BARN };
enum { FLEECE, THICK, SPARE, STRAW };

#define GARDEN                                                                                     \
    "'covers':[{'id':'fleece','kind':'fleece','on':'all'},"                                        \
    "{'id':'thick','kind':'thick fleece','on':'all'},"                                             \
    "{'id':'spare','kind':'fleece','on':'all'},"                                                   \
    "{'id':'straw','kind':'straw','on':'growing point'}],"                                         \
    "'places':[" YARD_PLAIN_DECK ",{'id':'cellar','kind':'indoors','air_c':8,'room_for':1},"       \
    "{'id':'house','kind':'glasshouse','floor_m2':8,'glazing_m2':26,'room_for':2},"                \
    "{'id':'wall','kind':'wall','faces_deg':180},"                                                 \
    "{'id':'barn','kind':'indoors','air_c':12}],"                                                  \
    "'plants':[{'id':'bush'," YARD_LEAVES ",'place':'deck'," YARD_POT                              \
    ",'covers':['fleece','thick','spare']},"                                                       \
    "{'id':'fern'," YARD_LEAVES ",'place':'deck','bed':{},'covers':['fleece','straw'],"            \
    "'trunk':{'diameter_mm':120,'height_mm':900,'growing_point_mm':20}}]"
enum { BUSH, FERN };

#define HEATED                                                                                     \
    "'outputs':[{'id':'heater','kind':'heater','place':'house','topic':'p','on':'on','off':'off'," \
    "'watts':3000,'keep_air_above_c':3,'off_by_itself_s':600,'cautions_read':true}],"

static ow_garden *garden;

static int open_garden(void **state)
{
    char text[YARD_TEXT];
    (void)state;
    garden = stage_garden(yard_text(GARDEN, text));
    return 0;
}

static int close_garden(void **state)
{
    (void)state;
    ow_garden_free(garden);
    return 0;
}

static ow_actor actor_of(int plant, int place)
{
    return (ow_actor){.plant = plant, .place = place};
}

/* ---- what could be done ---------------------------------------------------------------------- */

/* "+fleece", "wall+fleece", "+straw@point", "+water", "house,warm"... with blanks between trials. */
static void check_trials(const ow_actor *a, int room, const char *want)
{
    ow_trial trial[OW_TRIALS_MOST];
    char text[2048] = "";
    int n = ow_trials_of(garden, a, STAGE_MIDWINTER, trial, room);
    assert_in_range(n, 0, room);
    for (int i = 0; i < n; i++) {
        const ow_trial *t = &trial[i];
        assert_true(t->at_s == STAGE_MIDWINTER && t->place >= -1 && !t->bare && !t->home);
        snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s", i > 0 ? " " : "",
                 t->place >= 0 ? garden->places[t->place].id : "");
        for (int k = 0; k < t->covers; k++) {
            snprintf(text + strlen(text), sizeof text - strlen(text), "+%s%s",
                     garden->covers[t->cover[k]].id, t->point ? "@point" : "");
        }
        snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s", t->wet ? "+water" : "",
                 t->warm ? ",warm" : "");
    }
    assert_string_equal(text, want);
}

/* One cover, two of different kinds, the least change of place first, then with a cover where
 * covers are of use. */
static void what_could_be_done_for_a_pot(void **state)
{
    (void)state;
    ow_actor a = actor_of(BUSH, DECK);
    check_trials(&a, OW_TRIALS_MOST,
                 "+fleece +thick +spare +fleece+thick +thick+spare wall house cellar barn "
                 "wall+fleece wall+thick wall+spare house+fleece house+thick house+spare");
    check_trials(&a, 3, "+fleece +thick +spare");
    check_trials(&a, 0, "");
    a = actor_of(BUSH, WALL);
    check_trials(&a, OW_TRIALS_MOST,
                 "+fleece +thick +spare +fleece+thick +thick+spare house cellar barn "
                 "house+fleece house+thick house+spare");
    garden->places[CELLAR].room_for = 0;
    garden->places[HOUSE].room_for = 0;
    check_trials(&a, OW_TRIALS_MOST, "+fleece +thick +spare +fleece+thick +thick+spare barn");
    garden->places[CELLAR].room_for = 1;
    garden->places[HOUSE].room_for = 2;
    garden->places[DECK].kind =
        OW_PLACE_UNDER_EAVES; /* the file's first place is one like others */
    check_trials(&a, 9, "+fleece +thick +spare +fleece+thick +thick+spare deck house cellar barn");
    garden->places[DECK].kind = OW_PLACE_OPEN_SKY;
}

/* A bed stays where it is; of a trunk the growing point alone can be wrapped, unless the cover is
 * made for that anyway. */
static void what_could_be_done_for_a_trunk_in_a_bed(void **state)
{
    (void)state;
    ow_actor a = actor_of(FERN, DECK);
    check_trials(&a, OW_TRIALS_MOST, "+fleece@point +fleece +straw +fleece+straw");
    assert_int_equal(ow_dress_add(&a.dress, garden, FLEECE), OW_OK);
    check_trials(&a, OW_TRIALS_MOST, "+straw");
    a.dress.cover[0].state.blown_off = true; /* it can be laid again as it was, not elsewhere */
    check_trials(&a, OW_TRIALS_MOST, "+fleece +straw +fleece+straw");
    ow_actor almost = actor_of(FERN, DECK);
    while (almost.dress.n < OW_WORN_MAX - 1) {
        assert_int_equal(ow_dress_add(&almost.dress, garden, THICK), OW_OK);
    }
    check_trials(&almost, OW_TRIALS_MOST, "+fleece@point +fleece +straw");
}

static void no_more_than_can_be_worn(void **state)
{
    (void)state;
    static const struct {
        int worn;
        const char *trials;
    } cases[] = {
        {OW_WORN_MAX - 2, "+fleece +thick +spare +fleece+thick +thick+spare"},
        {OW_WORN_MAX - 1, "+fleece +thick +spare"},
        {OW_WORN_MAX, ""},
    };
    for (int i = 0; i < garden->place_count; i++) {
        garden->places[i].room_for = 0;
    }
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_actor a = actor_of(BUSH, DECK);
        for (int n = 0; n < cases[i].worn; n++) {
            assert_int_equal(ow_dress_add(&a.dress, garden, STRAW), OW_OK);
        }
        check_trials(&a, OW_TRIALS_MOST, cases[i].trials);
    }
    ow_actor full = actor_of(BUSH, DECK);
    for (int n = 0; n < OW_WORN_MAX; n++) {
        assert_int_equal(ow_dress_add(&full.dress, garden, n == 0 ? THICK : STRAW), OW_OK);
    }
    check_trials(&full, OW_TRIALS_MOST, "");
    full.dress.cover[0].state.blown_off = true; /* laying it again takes no more room */
    check_trials(&full, OW_TRIALS_MOST, "+thick");
    garden->places[CELLAR].room_for = 1;
    garden->places[HOUSE].room_for = 2;
    garden->places[DECK].room_for = garden->places[WALL].room_for = 1000;
    garden->places[BARN].room_for = 1000;
    full.dress.cover[0].state.blown_off = false;
    check_trials(&full, OW_TRIALS_MOST, "wall house cellar barn");
    full.dress.n--;
    check_trials(&full, OW_TRIALS_MOST,
                 "+fleece +spare wall house cellar barn wall+fleece wall+spare house+fleece "
                 "house+spare");
}

/* The covers again an hour before the threat, and on the whole hour halfway; never in the past. */
static void covers_are_tried_later_too(void **state)
{
    (void)state;
    const ow_utc_s now = STAGE_MIDWINTER;
    static const struct {
        double threat_h; /* NAN: never */
        int room;
        int n;
        double later_h[4]; /* of the fleece, the thick fleece, the fleece again... */
    } cases[] = {
        {10.0, 9, 7, {9.0, 9.0, 5.0, 5.0}},
        {3.5, 9, 7, {2.5, 2.5, 1.0, 1.0}},
        {2.0, 9, 7, {1.0, 1.0, 1.0, 1.0}},
        {1.5, 9, 5, {0.5, 0.5}}, /* halfway is this hour */
        {1.0, 9, 3, {0.0}},      /* an hour before is now */
        {-4.0, 9, 3, {0.0}},
        {NAN, 9, 3, {0.0}},
        {10.0, 6, 6, {9.0, 9.0, 5.0}},
        {10.0, 3, 3, {0.0}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_trial t[9] = {{.place = -1, .covers = 1, .cover = {FLEECE}, .at_s = now},
                         {.place = DECK, .at_s = now},
                         {.place = -1, .covers = 1, .cover = {THICK}, .at_s = now}};
        ow_utc_s threat_s =
            isnan(cases[i].threat_h) ? OW_NEVER : now + (ow_utc_s)(cases[i].threat_h * OW_HOUR_S);
        int n = ow_trials_later(t, 3, cases[i].room, now, threat_s);
        assert_int_equal(n, cases[i].n);
        for (int k = 3; k < n; k++) {
            assert_true(t[k].at_s == now + (ow_utc_s)(cases[i].later_h[k - 3] * OW_HOUR_S));
            assert_int_equal(t[k].place, -1);
            assert_int_equal(t[k].cover[0], (k - 3) % 2 == 0 ? FLEECE : THICK);
        }
    }
}

/* A dry pot is watered while it is thawed, for leaves that drink in winter; a heated house can be
 * kept warmer, for what stands there and for what is carried there. */
static void water_and_warmth_are_tried(void **state)
{
    (void)state;
    char text[YARD_TEXT];
    ow_garden *before = garden;
    garden = stage_garden(yard_text(HEATED GARDEN, text));
    ow_plant *bush = &garden->plants[BUSH];
    bush->covers.count = 1;
    bush->pot.soil.moisture = OW_MOISTURE_DRY;
    bush->tolerance.leaves = OW_LEAVES_EVERGREEN;
    garden->places[WALL].room_for = garden->places[BARN].room_for = 0;
    ow_actor a = actor_of(BUSH, DECK);
    a.sense.root.ice_share = 0.009;
    check_trials(&a, 9, "+fleece +water house house,warm cellar house+fleece");
    a.place = HOUSE;
    check_trials(&a, 9, ",warm +fleece +water cellar");
    a.sense.root.ice_share = 0.011;
    check_trials(&a, 9, ",warm +fleece cellar");
    a.sense.root.ice_share = 0.0;
    a.watered = true;
    check_trials(&a, 9, ",warm +fleece cellar");
    a.watered = false;
    bush->tolerance.traits = OW_TRAIT_RESTS_DRY;
    check_trials(&a, 9, ",warm +fleece cellar");
    bush->tolerance.traits = 0;
    bush->tolerance.leaves = OW_LEAVES_NONE;
    check_trials(&a, 9, ",warm +fleece cellar");
    ow_garden_free(garden);
    garden = before;
}

/* "home", "home+fleece", "-thick"... with blanks between trials. */
static void check_gives(const ow_actor *a, const bool *cover_short, const bool *room_short,
                        int room, const char *want)
{
    ow_trial trial[OW_TRIALS_MOST];
    char text[512] = "";
    int n = ow_trials_give(garden, a, STAGE_MIDWINTER, cover_short, room_short, trial, room);
    assert_in_range(n, 0, room);
    for (int i = 0; i < n; i++) {
        const ow_trial *t = &trial[i];
        bool home = t->home && t->place == DECK && !t->sheds;
        bool sheds = t->sheds && t->place == -1 && t->covers == 0 && !t->home;
        assert_true(t->at_s == STAGE_MIDWINTER && (home || sheds));
        snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s%s%s%s", i > 0 ? " " : "",
                 home ? "home" : "-", home ? "" : garden->covers[t->shed].id,
                 t->covers > 0 ? "+" : "", t->covers > 0 ? garden->covers[t->cover[0]].id : "");
        assert_in_range(t->covers, 0, 1);
    }
    assert_string_equal(text, want);
}

/* A guest leaves a room that is short, as it is or in a cover that it can wear at home; a cover
 * that is short is taken off, unless the wind has. Who lives there stays. */
static void what_could_be_given(void **state)
{
    (void)state;
    bool none[5] = {false}, cellar[5] = {[CELLAR] = true}, deck[5] = {[DECK] = true};
    bool spare[4] = {[SPARE] = true}, all[4] = {true, true, true, true};
    ow_actor guest = actor_of(BUSH, CELLAR), home = actor_of(BUSH, DECK);
    check_gives(&guest, none, none, 9, "");
    check_gives(&guest, all, deck, 9, "");
    check_gives(&guest, none, cellar, 9, "home home+fleece home+thick home+spare");
    check_gives(&guest, none, cellar, 3, "home home+fleece home+thick");
    check_gives(&home, none, deck, 9, "");
    assert_int_equal(ow_dress_add(&guest.dress, garden, THICK), OW_OK);
    check_gives(&guest, none, cellar, 9, "home home+fleece home+spare");
    check_gives(&guest, all, cellar, 9, "home home+fleece home+spare -thick");
    while (guest.dress.n < OW_WORN_MAX - 1) {
        assert_int_equal(ow_dress_add(&guest.dress, garden, STRAW), OW_OK);
    }
    check_gives(&guest, none, cellar, 9, "home home+fleece home+spare");
    assert_int_equal(ow_dress_add(&guest.dress, garden, STRAW), OW_OK);
    check_gives(&guest, none, cellar, 9, "home");
    assert_int_equal(ow_dress_add(&home.dress, garden, FLEECE), OW_OK);
    assert_int_equal(ow_dress_add(&home.dress, garden, SPARE), OW_OK);
    check_gives(&home, spare, none, 9, "-spare");
    check_gives(&home, all, deck, 9, "-fleece -spare");
    check_gives(&home, all, none, 1, "-fleece");
    home.dress.cover[0].state.blown_off = true;
    check_gives(&home, all, none, 9, "-spare");
}

/* ---- what it costs (common practice, no source) ---------------------------------------------- */

static void minutes_of_an_act(void **state)
{
    (void)state;
    static const struct {
        ow_trial act;
        double minutes;
    } cases[] = {
        {{.place = -1}, 0.0},
        {{.place = -1, .covers = 1}, 5.0},
        {{.place = -1, .covers = 2}, 10.0},
        {{.place = -1, .covers = 1, .point = true}, 4.0},
        {{.place = -1, .bare = true}, 5.0},
        {{.place = DECK}, 10.0},
        {{.place = CELLAR, .covers = 1, .bare = true}, 20.0},
        {{.place = -1, .wet = true}, 3.0},
        {{.place = WALL, .covers = 1, .wet = true}, 18.0},
        {{.place = -1, .sheds = true}, 5.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        check_close("minutes", ow_act_minutes(&cases[i].act), cases[i].minutes, 0.0, 0.0);
    }
}

/* An outlook of so many hours from midwinter on, of which only the times are read. */
static ow_outlook outlook_of(int hours)
{
    return (ow_outlook){.start_s = STAGE_MIDWINTER, .steps = 2 * hours, .step_s = 1800};
}

/* Six hours sooner are worth the ten minutes that carrying takes. */
static void waiting_costs_by_the_hour(void **state)
{
    (void)state;
    ow_outlook o = outlook_of(72);
    check_close("now", ow_thaw_wait(&o, STAGE_MIDWINTER), 0.0, 0.0, 0.0);
    check_close("six hours", ow_thaw_wait(&o, STAGE_MIDWINTER + 6 * OW_HOUR_S),
                10.0 * OW_MINUTE_COSTS, 1e-12, 0.0);
    check_close("not as far as was looked: a day beyond", ow_thaw_wait(&o, OW_NEVER),
                96.0 * OW_WAIT_PER_H, 1e-12, 0.0);
}

/* ---- what is noted --------------------------------------------------------------------------- */

static ow_course calm_course(void)
{
    ow_course c = {.suffers_s = OW_NEVER,
                   .may_die_s = OW_NEVER,
                   .open_s = OW_NEVER,
                   .half_s = 21,
                   .gone_s = 22,
                   .reset_s = 23};
    for (int p = 0; p < OW_PARTS; p++) {
        c.damaged_s[p] = c.killed_s[p] = OW_NEVER;
        c.lowest_c[p] = c.limit_c[p] = -5.0 - p;
    }
    return c;
}

/* Harm to the foliage, of one in the measure of loss, and its share as what is expected of it. */
static ow_course harmed_course(void)
{
    ow_course c = calm_course();
    c.damaged_s[OW_FOLIAGE] = STAGE_MIDWINTER + OW_HOUR_S;
    return c;
}

static void note(ow_survey *s, ow_trial trial, const ow_course *course)
{
    ow_outlook o = outlook_of(72);
    ow_actor a = actor_of(BUSH, DECK);
    ow_survey_note(s, &trial, course, &a, garden, &o);
}

static void a_way_that_helps_is_noted_whole(void **state)
{
    (void)state;
    ow_course well = calm_course(), harmed = harmed_course();
    ow_survey s = {.share = 0.5, .leave = {11.0, 5.5}, .threat = {.any = true, .part = OW_BUDS}};
    note(&s, (ow_trial){.place = -1, .covers = 1, .cover = {THICK}, .at_s = 77}, &well);
    note(&s, (ow_trial){.place = WALL, .at_s = 78}, &harmed);
    assert_int_equal(s.ways, 2);
    const ow_way *w = &s.way[0];
    assert_true(w->act.cover[0] == THICK && w->latest_s == 77 && w->prevents && !w->hasty);
    assert_true(w->half_s == 21 && w->gone_s == 22 && w->reset_s == 23 && w->open_s == OW_NEVER);
    check_close("nothing lost", w->loss.sure + w->loss.expected + w->wait, 0.0, 0.0, 0.0);
    check_close("the threatened part's lowest", w->eased_c, -6.0, 0.0, 0.0);
    w = &s.way[1];
    assert_true(w->act.place == WALL && w->latest_s == 78 && !w->prevents);
    check_close("lost", w->loss.sure, 1.0, 0.0, 0.0);
    check_close("expected", w->loss.expected, 0.5, 1e-12, 0.0);
    s.threat.any = false;
    note(&s, (ow_trial){.place = BARN}, &well);
    assert_true(isnan(s.way[2].eased_c));
}

static void what_does_not_help_is_not_noted(void **state)
{
    (void)state;
    ow_course well = calm_course(), harmed = harmed_course();
    ow_survey s = {.share = 1.0, .leave = {1.0, 1.0}};
    note(&s, (ow_trial){.place = WALL}, &harmed); /* as much is lost */
    assert_int_equal(s.ways, 0);
    note(&s, (ow_trial){.place = WALL}, &well);
    assert_int_equal(s.ways, 1);
}

/* Roots that open sooner by more than carrying costs; harm to leaves no less, but no more. */
static void a_thaw_must_be_worth_the_carrying(void **state)
{
    (void)state;
    static const struct {
        double open_h, leave_open_h, leave_sure;
        int place;
        bool thaw, noted;
    } cases[] = {
        {13.9, 20.0, 0.0, CELLAR, true, true},
        {14.1, 20.0, 0.0, CELLAR, true, false},
        {13.9, 20.0, 0.0, CELLAR, false, false},
        {-1.0, 5.0, 0.0, CELLAR, true, false}, /* -1: never */
        {0.0, -1.0, 0.0, CELLAR, true, true},
        {13.9, 20.0, -1.0, CELLAR, true, false}, /* one harm more than with nothing done */
    };
    ow_outlook o = outlook_of(72);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_course c = cases[i].leave_sure < 0.0 ? harmed_course() : calm_course();
        double open_h = cases[i].open_h, leave_h = cases[i].leave_open_h;
        ow_utc_s leave_s =
            leave_h < 0.0 ? OW_NEVER : STAGE_MIDWINTER + (ow_utc_s)(leave_h * OW_HOUR_S);
        ow_survey s = {
            .share = 0.0, .thaw = cases[i].thaw, .leave_wait = ow_thaw_wait(&o, leave_s)};
        c.open_s = open_h < 0.0 ? OW_NEVER : STAGE_MIDWINTER + (ow_utc_s)(open_h * OW_HOUR_S);
        note(&s, (ow_trial){.place = cases[i].place}, &c);
        assert_int_equal(s.ways, cases[i].noted);
        if (s.ways > 0) {
            check_close("wait", s.way[0].wait, ow_thaw_wait(&o, c.open_s), 1e-12, 0.0);
        }
    }
}

/* A room above OW_THAW_ROOM_C is hasty, and that costs something; only for a thaw, only indoors. */
static void warm_rooms_are_hasty(void **state)
{
    (void)state;
    static const struct {
        int place;
        double air_c;
        bool thaw, hasty;
    } cases[] = {
        {BARN, 12.0, true, false},  {BARN, 12.1, true, true}, {BARN, 12.1, false, false},
        {HOUSE, 30.0, true, false}, {-1, 30.0, true, false},  {DECK, 30.0, true, true},
    };
    ow_course c = calm_course();
    c.open_s = STAGE_MIDWINTER + OW_HOUR_S;
    garden->places[DECK].kind = OW_PLACE_INDOORS; /* so that the first of places can be hasty */
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey s = {.thaw = cases[i].thaw, .leave = {9.0, 9.0}, .leave_wait = 9.0};
        double was_c = cases[i].place >= 0 ? garden->places[cases[i].place].air_c : NAN;
        if (cases[i].place >= 0) {
            garden->places[cases[i].place].air_c = cases[i].air_c;
        }
        note(&s, (ow_trial){.place = cases[i].place}, &c);
        assert_int_equal(s.ways, 1);
        assert_int_equal(s.way[0].hasty, cases[i].hasty);
        check_close("wait", s.way[0].wait,
                    cases[i].thaw ? OW_WAIT_PER_H + (cases[i].hasty ? 0.05 : 0.0) : 0.0, 1e-12,
                    0.0);
        if (cases[i].place >= 0) {
            garden->places[cases[i].place].air_c = was_c;
        }
    }
    garden->places[DECK].kind = OW_PLACE_OPEN_SKY;
}

/* Of the same act at two starts the better one stays, of two as good the earlier. */
static void an_act_is_noted_once(void **state)
{
    (void)state;
    ow_course well = calm_course(), harmed = harmed_course();
    ow_survey s = {.share = 0.5, .leave = {11.0, 5.5}};
    const ow_trial act = {.place = -1, .covers = 1, .cover = {FLEECE}, .at_s = 1};
    ow_trial later = act, other = act;
    later.at_s = 2;
    other.cover[0] = THICK;
    note(&s, act, &harmed);
    note(&s, later, &harmed);
    assert_true(s.ways == 1 && s.way[0].act.at_s == 1);
    note(&s, other, &harmed);
    note(&s, later, &well);
    assert_int_equal(s.ways, 2);
    assert_true(s.way[0].act.at_s == 2 && s.way[0].loss.sure == 0.0);
    note(&s, act, &harmed);
    assert_true(s.ways == 2 && s.way[0].act.at_s == 2);
}

/* A full survey gives the place of its worst to what is better, and to nothing else. */
static void of_too_many_the_best_are_kept(void **state)
{
    (void)state;
    ow_course well = calm_course(), harmed = harmed_course();
    ow_survey s = {.share = 0.5, .leave = {11.0, 5.5}};
    s.ways = OW_WAYS;
    for (int i = 0; i < OW_WAYS; i++) {
        s.way[i].act = (ow_trial){.place = 10 + i};
        s.way[i].loss.expected = i == 5 ? 0.6 : i == 9 ? 0.55 : 0.1;
    }
    ow_survey as_was = s;
    s.way[5].loss.expected = 0.5; /* as dear as what comes, by place and loss */
    s.way[9].loss.expected = 0.4;
    note(&s, (ow_trial){.place = WALL}, &harmed);
    assert_int_equal(s.way[5].act.place, 15);
    s = as_was;
    note(&s, (ow_trial){.place = WALL}, &harmed); /* 0.5 */
    assert_int_equal(s.ways, OW_WAYS);
    assert_int_equal(s.way[5].act.place, WALL);
    assert_int_equal(s.way[9].act.place, 19);
    note(&s, (ow_trial){.place = BARN}, &well);
    assert_int_equal(s.way[9].act.place, BARN);
    s = as_was;
    s.way[0].loss.expected = 0.7; /* the first is the worst */
    note(&s, (ow_trial){.place = WALL}, &harmed);
    assert_int_equal(s.way[0].act.place, WALL);
    s.ways = OW_WAYS - 1;
    note(&s, (ow_trial){.place = HOUSE}, &harmed);
    assert_int_equal(s.ways, OW_WAYS);
    assert_int_equal(s.way[OW_WAYS - 1].act.place, HOUSE);
}

/* What it gives adds to what is lost anyway, and counts as sure; it harms where more is passed than
 * with nothing done. */
static void a_give_costs_what_it_adds(void **state)
{
    (void)state;
    ow_course well = calm_course(), harmed = harmed_course();
    for (int p = 0; p < OW_PARTS; p++) {
        well.lowest_c[p] = harmed.lowest_c[p] = well.limit_c[p] + 1.5;
    }
    const struct {
        const ow_course *course, *kept;
        double expected;
        bool harms;
    } cases[] = {{&well, &well, 1.5, false},
                 {&harmed, &well, 2.5, true},
                 {&harmed, &harmed, 1.5, false},
                 {&well, &harmed, 1.5, false}};
    ow_outlook o = outlook_of(72);
    ow_actor a = actor_of(BUSH, DECK);
    ow_survey s = {.share = 0.5, .leave = {3.0, 1.5}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        s.thaw = i == 0;
        ow_survey_note_give(&s, &(ow_trial){.place = -1, .sheds = true, .shed = (int)i},
                            cases[i].course, cases[i].kept, &a, garden, &o);
        assert_int_equal(s.gives, i + 1);
        const ow_give *g = &s.give[i];
        assert_int_equal(g->act.shed, i);
        assert_int_equal(g->harms, cases[i].harms);
        check_close("expected", g->loss.expected, cases[i].expected, 1e-12, 0.0);
        check_close("wait", g->wait, i == 0 ? 96.0 * OW_WAIT_PER_H : 0.0, 1e-12, 0.0);
        check_close("spare", g->spare_k, 1.5, 1e-12, 0.0);
    }
    for (int i = 4; i < OW_GIVES + 2; i++) { /* the first are kept */
        s.findings = 7;
        ow_survey_note_give(&s, &(ow_trial){.shed = i}, &well, &well, &a, garden, &o);
        assert_true(s.gives == (i < OW_GIVES ? i + 1 : OW_GIVES) && s.findings == 7);
        assert_int_equal(s.give[s.gives - 1].act.shed, s.gives - 1);
    }
}

/* ---- what is thinned out --------------------------------------------------------------------- */

static ow_way way(double loss, int place, int one, int two)
{
    ow_way w = {.loss = {.expected = loss}, .act = {.place = place, .cover = {one, two}}};
    w.act.covers = one < 0 ? 0 : two < 0 ? 1 : 2;
    return w;
}

/* Ways named by the letters a, b, c in their order; which of them stay. A cover costs 0.02, a
 * carry 0.04. */
static void what_is_outdone_is_left_out(void **state)
{
    (void)state;
    static const int NO = -1;
    const struct {
        const char *why;
        ow_way way[3];
        int n, most;
        const char *stay;
    } cases[] = {
        {"other covers", {way(1, NO, FLEECE, NO), way(1, NO, THICK, NO)}, 2, 9, "ab"},
        {"more covers, no better", {way(1, NO, FLEECE, NO), way(1, NO, THICK, FLEECE)}, 2, 9, "a"},
        {"fewer covers later on", {way(1, NO, THICK, FLEECE), way(1, NO, FLEECE, NO)}, 2, 9, "b"},
        {"more covers, better", {way(2, NO, FLEECE, NO), way(1, NO, FLEECE, THICK)}, 2, 9, "ab"},
        {"another pair", {way(1, NO, FLEECE, THICK), way(2, NO, FLEECE, SPARE)}, 2, 9, "ab"},
        {"room for all against a scarce one",
         {way(1, BARN, NO, NO), way(1.5, CELLAR, NO, NO)},
         2,
         9,
         "a"},
        {"a scarce one against room for all",
         {way(1, CELLAR, NO, NO), way(1.5, BARN, NO, NO)},
         2,
         9,
         "ab"},
        {"scarce, the same", {way(1, CELLAR, NO, NO), way(1, CELLAR, FLEECE, NO)}, 2, 9, "a"},
        {"scarce, two of them", {way(1, CELLAR, NO, NO), way(2, HOUSE, NO, NO)}, 2, 9, "ab"},
        {"no carrying at all", {way(1, BARN, FLEECE, NO), way(0.9, NO, FLEECE, NO)}, 2, 9, "b"},
        {"carrying against a cover", {way(0.5, BARN, NO, NO), way(1, NO, FLEECE, NO)}, 2, 9, "ab"},
        {"a cover against carrying", {way(0.5, NO, FLEECE, NO), way(1, BARN, NO, NO)}, 2, 9, "ab"},
        {"the first place, with a cover",
         {way(1, DECK, NO, NO), way(1, DECK, FLEECE, NO)},
         2,
         9,
         "a"},
        {"the first place is carrying too",
         {way(0.5, DECK, NO, NO), way(1, NO, FLEECE, NO)},
         2,
         9,
         "ab"},
        {"equals: the first", {way(1, BARN, NO, NO), way(1, WALL, NO, NO)}, 2, 9, "a"},
        {"all but equals", {way(1.1, BARN, NO, NO), way(1, WALL, NO, NO)}, 2, 9, "b"},
        {"one against two",
         {way(1, NO, FLEECE, NO), way(1, NO, FLEECE, THICK), way(1, BARN, FLEECE, NO)},
         3,
         9,
         "a"},
        {"the middle one",
         {way(1, NO, FLEECE, NO), way(2, NO, FLEECE, SPARE), way(1, NO, THICK, NO)},
         3,
         9,
         "ac"},
        {"the dearest",
         {way(1, NO, FLEECE, NO), way(3, NO, THICK, NO), way(2, NO, SPARE, NO)},
         3,
         2,
         "ac"},
        {"the two dearest",
         {way(2, NO, FLEECE, NO), way(3, NO, THICK, NO), way(1, NO, SPARE, NO)},
         3,
         1,
         "c"},
        {"the dearest, and then the next",
         {way(2, NO, FLEECE, NO), way(1, NO, THICK, NO), way(3, NO, SPARE, NO)},
         3,
         1,
         "b"},
        {"of equals the last",
         {way(1, NO, FLEECE, NO), way(1, NO, THICK, NO), way(1, NO, SPARE, NO)},
         3,
         2,
         "ab"},
        {"as many as may be", {way(1, NO, FLEECE, NO), way(1, NO, THICK, NO)}, 2, 2, "ab"},
        {"none", {way(1, NO, FLEECE, NO)}, 1, 0, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_survey s = {.ways = cases[i].n};
        char stay[4] = "";
        for (int k = 0; k < s.ways; k++) {
            s.way[k] = cases[i].way[k];
            s.way[k].latest_s = 'a' + k;
        }
        ow_survey_thin(&s, garden, cases[i].most);
        for (int k = 0; k < s.ways; k++) {
            stay[k] = (char)s.way[k].latest_s;
        }
        if (strcmp(stay, cases[i].stay) != 0) {
            fail_msg("%s: \"%s\" stay, not \"%s\"", cases[i].why, stay, cases[i].stay);
        }
    }
}

/* As many ways as there can be, all alike or each with a cover of its own. */
static void a_full_survey_is_thinned(void **state)
{
    (void)state;
    for (int alike = 0; alike < 2; alike++) {
        ow_survey s = {.ways = OW_WAYS};
        for (int i = 0; i < OW_WAYS; i++) {
            s.way[i] = way(alike ? 1 : 1 + i, -1, alike ? FLEECE : i, -1);
        }
        ow_survey_thin(&s, garden, 9);
        assert_int_equal(s.ways, alike ? 1 : 9);
        assert_int_equal(s.way[s.ways - 1].act.cover[0], alike ? FLEECE : 8);
    }
}

/* From 1000 on there is room for all. */
static void room_for_all_is_a_thousand(void **state)
{
    (void)state;
    for (int room = 999; room <= 1000; room++) {
        ow_survey s = {.ways = 2};
        s.way[0] = way(1, DECK, -1, -1);
        s.way[1] = way(2, BARN, -1, -1);
        garden->places[DECK].room_for = room;
        ow_survey_thin(&s, garden, 9);
        assert_int_equal(s.ways, room == 999 ? 2 : 1);
    }
    garden->places[DECK].room_for = 1000;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_could_be_done_for_a_pot),
        cmocka_unit_test(what_could_be_done_for_a_trunk_in_a_bed),
        cmocka_unit_test(no_more_than_can_be_worn),
        cmocka_unit_test(covers_are_tried_later_too),
        cmocka_unit_test(water_and_warmth_are_tried),
        cmocka_unit_test(what_could_be_given),
        cmocka_unit_test(minutes_of_an_act),
        cmocka_unit_test(waiting_costs_by_the_hour),
        cmocka_unit_test(a_way_that_helps_is_noted_whole),
        cmocka_unit_test(what_does_not_help_is_not_noted),
        cmocka_unit_test(a_thaw_must_be_worth_the_carrying),
        cmocka_unit_test(warm_rooms_are_hasty),
        cmocka_unit_test(an_act_is_noted_once),
        cmocka_unit_test(of_too_many_the_best_are_kept),
        cmocka_unit_test(a_give_costs_what_it_adds),
        cmocka_unit_test(what_is_outdone_is_left_out),
        cmocka_unit_test(a_full_survey_is_thinned),
        cmocka_unit_test(room_for_all_is_a_thousand),
    };
    return cmocka_run_group_tests(tests, open_garden, close_garden);
}
