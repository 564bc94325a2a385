/* SPDX-License-Identifier: MIT */
#include "judgement/reason.h"

#include <math.h>

#include "judgement/chores.h"
#include "judgement/guide.h"
#include "judgement/watch_list.h"

/* Leaves colder than this may hang while the plant is well. */
static const double DROOP_C = -3.0;

static bool is_plural(ow_part part)
{
    return part == OW_FOLIAGE || part == OW_BUDS || part == OW_ROOTS;
}

/* For a sentence that begins with it: "The leaves will". */
static ow_blank part_first(ow_part part)
{
    const char *english = part == OW_FOLIAGE ? "leaves" : ow_part_name(part);
    ow_blank blank = ow_blank_word("part", ow_part_name(part), english);
    blank.many = is_plural(part);
    return blank;
}

static ow_blank part_within(ow_part part)
{
    return ow_blank_word("part", ow_part_name(part), ow_part_name(part));
}

/* ---- what is asked --------------------------------------------------------------------------- */

/* Names of what is used, the place first; as many as an act can have. */
typedef struct names {
    const char *name[OW_TRIAL_COVERS + 1];
    int n;
} names;

static void name_covers(const ow_trial *act, const ow_garden *g, names *to)
{
    for (int i = 0; i < act->covers; i++) {
        to->name[to->n++] = g->covers[act->cover[i]].name;
    }
}

static ow_blank blank_of(const names *all)
{
    return (ow_blank){
        .kind = OW_BLANK_NAMES, .names = all->name, .n = all->n, .text = OW_ACTION_JOINT};
}

/* How warm the house is kept for it, and whose room it takes. */
static void say_more(const ow_verdict *v, const ow_garden *g, ow_speech *to)
{
    if (v->act.warm) {
        OW_SPEAK(to, OW_SAY_KEPT_AT, ow_blank_c(ow_guide_most_c(g, v->act.place)));
    }
    if (v->pick.from >= 0 && v->pick.from_cover < 0) {
        OW_SPEAK(to, OW_SAY_IN_PLACE_OF, ow_blank_name(g->plants[v->pick.from].name));
    }
}

static void say_place(const ow_verdict *v, const ow_garden *g, ow_speech *to)
{
    bool thaws = v->state == OW_STATE_THAW_NEEDED;
    bool for_another = v->pick.to >= 0;
    char text[OW_ACTION_TEXT], code[OW_ACTION_CODE];
    ow_speech more = ow_speech_begin(to->local, "", text, sizeof text, code, sizeof code);
    say_more(v, g, &more);
    ow_saying saying = v->act.home ? (for_another ? OW_SAY_CARRY_BACK_FOR
                                      : thaws     ? OW_SAY_CARRY_BACK_THAW
                                                  : OW_SAY_CARRY_BACK)
                       : thaws     ? OW_SAY_CARRY_THAW
                                   : OW_SAY_CARRY;
    ow_blank place = ow_blank_name(g->places[v->act.place].name);
    if (text[0] != '\0') {
        OW_SPEAK(to, thaws ? OW_SAY_CARRY_THAW_MORE : OW_SAY_CARRY_MORE, place,
                 ow_blank_speech(&more));
    } else if (for_another) {
        OW_SPEAK(to, saying, place, ow_blank_name(g->plants[v->pick.to].name));
    } else {
        OW_SPEAK(to, saying, place);
    }
}

static void say_shed(const ow_verdict *v, const ow_garden *g, ow_speech *to)
{
    if (v->pick.to < 0) {
        OW_SPEAK(to, OW_SAY_SHED, ow_blank_name(g->covers[v->act.shed].name));
    } else {
        OW_SPEAK(to, OW_SAY_SHED_FOR, ow_blank_name(g->covers[v->act.shed].name),
                 ow_blank_name(g->plants[v->pick.to].name));
    }
}

static void say_covers(const ow_verdict *v, const ow_garden *g, ow_speech *to)
{
    names covers = {.n = 0};
    name_covers(&v->act, g, &covers);
    if (v->pick.from_cover >= 0) {
        OW_SPEAK(to, v->act.point ? OW_SAY_WRAP_POINT_FROM : OW_SAY_COVER_FROM, blank_of(&covers),
                 ow_blank_name(g->plants[v->pick.from].name));
    } else {
        OW_SPEAK(to, v->act.point ? OW_SAY_WRAP_POINT : OW_SAY_COVER, blank_of(&covers));
    }
}

void ow_action(const ow_verdict *v, const ow_garden *g, ow_speech *to)
{
    if (!v->asks) {
        return;
    }
    if (v->act.bare) {
        ow_speak_plain(to, OW_SAY_UNCOVER);
    }
    if (v->act.sheds) {
        say_shed(v, g, to);
    }
    if (v->act.wet) {
        ow_speak_plain(to, OW_SAY_WATER);
    }
    if (v->act.place >= 0) {
        say_place(v, g, to);
    }
    if (v->act.covers > 0) {
        say_covers(v, g, to);
    }
}

void ow_action_text(const ow_verdict *v, const ow_garden *g, char text[OW_ACTION_TEXT])
{
    ow_speech to = ow_speech_begin(NULL, OW_ACTION_JOINT, text, OW_ACTION_TEXT, NULL, 0);
    ow_action(v, g, &to);
}

/* In how many runs ahead a limit is passed, where there were many and it is in doubt. */
static void say_risk(const ow_verdict *v, ow_speech *to)
{
    if (v->runs > 1 && v->passed > 0) {
        OW_SPEAK(to, OW_SAY_RISK, ow_blank_number(v->passed, 0), ow_blank_number(v->runs, 0));
    }
}

/* What it holds goes to another, and what that leaves. */
static void say_give(const ow_verdict *v, const ow_garden *g, const ow_give *give, ow_speech *to)
{
    if (v->pick.to < 0) {
        return;
    }
    ow_blank who = ow_blank_name(g->plants[v->pick.to].name);
    if (give->act.sheds) {
        OW_SPEAK(to, OW_SAY_GIVES_COVER, ow_blank_name(g->covers[give->act.shed].name), who);
    } else {
        OW_SPEAK(to, OW_SAY_GIVES_ROOM, who);
    }
    if (give->harms) {
        ow_speak_plain(to, OW_SAY_GIVING_HARMS);
    } else if (isfinite(give->spare_k)) {
        OW_SPEAK(to, OW_SAY_GIVING_SPARES, ow_blank_k(give->spare_k));
    }
}

/* The heater of its house sees to it. */
static void say_heat(const ow_verdict *v, const ow_scene *s, int plant, ow_speech *to)
{
    int place = s->cast->actor[plant].place;
    char text[OW_ACTION_TEXT], code[OW_ACTION_CODE];
    ow_speech eased = ow_speech_begin(to->local, "", text, sizeof text, code, sizeof code);
    if (!isnan(v->eased_c)) {
        OW_SPEAK(&eased, OW_SAY_HEATED_SO, ow_blank_c(v->eased_c));
    }
    OW_SPEAK(to, OW_SAY_HEATED, part_first(v->threat.part), ow_blank_c(v->threat.lowest_c),
             ow_blank_c(v->threat.limit_c), ow_blank_name(s->garden->places[place].name),
             ow_blank_c(ow_guide_most_c(s->garden, place)), ow_blank_at(v->act_by_s),
             ow_blank_speech(&eased));
}

/* ---- reasons --------------------------------------------------------------------------------- */

/* No limit of cold is passed, but frozen roots will be without water for too long. */
static void say_drought(const ow_verdict *v, const ow_course *course, const ow_tolerance *stands,
                        ow_speech *to)
{
    ow_blank suffers = ow_blank_at(v->threat.at_s);
    ow_blank days = ow_blank_number(stands->suffers_days, 0);
    if (course->frozen_s != OW_NEVER) {
        OW_SPEAK(to, OW_SAY_DROUGHT, ow_blank_at(course->frozen_s), suffers, days);
    } else {
        OW_SPEAK(to, OW_SAY_DROUGHT_THEN, suffers, days);
    }
}

/* How much warmer its limit is than in midwinter, and why. */
static void say_softer(const ow_limit *limit, double limit_c, const ow_hardening *hardening,
                       ow_speech *to)
{
    double softer = limit_c - limit->damaged_c;
    if (softer > 0.05 && hardening->hardened < 1.0) {
        OW_SPEAK(to, hardening->spring ? OW_SAY_SOFTENED : OW_SAY_UNHARDENED, ow_blank_k(softer));
    }
}

static void say_threat(const ow_verdict *v, const ow_scene *s, int plant, ow_speech *to)
{
    const ow_threat *t = &v->threat;
    const ow_limit *limit = &s->garden->plants[plant].tolerance.limit[t->part];
    char text[OW_ACTION_TEXT], code[OW_ACTION_CODE];
    ow_speech softer = ow_speech_begin(to->local, "", text, sizeof text, code, sizeof code);
    say_softer(limit, t->limit_c, &s->cast->actor[plant].condition.hardening, &softer);
    if (v->late) {
        ow_speak_plain(to, OW_SAY_LATE);
    }
    OW_SPEAK(to, v->runs > 1 && v->passed < v->runs ? OW_SAY_THREAT_MAY : OW_SAY_THREAT_WILL,
             part_first(t->part), ow_blank_c(t->lowest_c), ow_blank_at(t->lowest_s),
             ow_blank_c(t->limit_c),
             limit->of_air ? ow_blank_say(OW_SAY_IN_AIR) : ow_blank_nothing(),
             limit->grade == 'C' ? ow_blank_say(OW_SAY_GROWERS) : ow_blank_nothing(),
             ow_blank_speech(&softer));
    say_risk(v, to);
}

/* What was found to be short, and who has it. */
static void say_bar(const ow_verdict *v, const ow_garden *g, ow_speech *to)
{
    const ow_pick *p = &v->pick;
    ow_blank who = ow_blank_name(p->who >= 0 ? g->plants[p->who].name : "");
    switch (p->bar) {
    case OW_BAR_STOCK:
        OW_SPEAK(to, p->who >= 0 ? OW_SAY_NO_STOCK_WHO : OW_SAY_NO_STOCK,
                 ow_blank_name(g->covers[p->item].name), who);
        break;
    case OW_BAR_ROOM:
        OW_SPEAK(to, p->who >= 0 ? OW_SAY_NO_ROOM_WHO : OW_SAY_NO_ROOM,
                 ow_blank_name(g->places[p->item].name), who);
        break;
    case OW_BAR_HANDS:
        ow_speak_plain(to, OW_SAY_BUSY_HANDS);
        break;
    case OW_BAR_HEAVY:
        ow_speak_plain(to, OW_SAY_TOO_HEAVY);
        break;
    case OW_BAR_FROZEN_DOWN:
        ow_speak_plain(to, OW_SAY_FROZEN_DOWN);
        break;
    case OW_BAR_HEATER:
        ow_speak_plain(to, OW_SAY_NO_HEAT);
        break;
    case OW_BAR_NO_HANDS:
        ow_speak_plain(to, OW_SAY_NO_HANDS);
        break;
    case OW_BAR_NONE:
    case OW_BAR_BETTER:
    case OW_BAR_LATE:
    case OW_BARS:
        break;
    }
    if (p->turn_s != OW_NEVER) {
        OW_SPEAK(to, OW_SAY_TURN, ow_blank_at(p->turn_s),
                 ow_blank_name(g->plants[p->turn_after].name));
    }
}

static void say_answer(const ow_verdict *v, const ow_garden *g, ow_speech *to)
{
    names with = {.n = 0};
    bool heats = !v->asks && v->act.warm;
    if (v->pick.give >= 0) {
        say_bar(v, g, to);
        return;
    }
    if (!v->asks && !heats) {
        if (!(v->pick.bar > OW_BAR_BETTER)) {
            ow_speak_plain(to, OW_SAY_NO_HELP);
        }
        say_bar(v, g, to);
        return;
    }
    if (v->act.place >= 0) {
        with.name[with.n++] = g->places[v->act.place].name;
    }
    name_covers(&v->act, g, &with);
    ow_blank helps = v->act.wet ? ow_blank_say(OW_SAY_WITH_WATER)
                     : heats    ? ow_blank_say(OW_SAY_WITH_HEAT)
                                : blank_of(&with);
    if (v->threat.dry) {
        OW_SPEAK(to, OW_SAY_EASED_DRY, helps);
    } else {
        OW_SPEAK(to, v->prevents ? OW_SAY_EASED : OW_SAY_EASED_PART, helps,
                 ow_blank_c(v->eased_c));
    }
    say_bar(v, g, to);
}

static void say_thaw_needed(const ow_outlook *o, const ow_actor *a, const ow_course *course,
                            const ow_tolerance *stands, ow_speech *to)
{
    ow_blank frozen = ow_blank_number(ow_drought_frozen_days(&a->condition.drought), 1);
    ow_blank suffers = ow_blank_number(stands->suffers_days, 0);
    if (course->suffers_s == OW_NEVER || course->suffers_s <= o->start_s + o->step_s) {
        OW_SPEAK(to, OW_SAY_THAW_SUFFERS, frozen, suffers,
                 ow_blank_number(stands->may_die_days, 0));
    } else {
        OW_SPEAK(to, course->open_s < course->suffers_s ? OW_SAY_THAW_BRIEF : OW_SAY_THAW_NOT,
                 frozen, ow_blank_at(course->suffers_s), suffers);
    }
}

/* Where it is to thaw, how long that takes, and what not to do. */
static void say_thaw_act(const ow_verdict *v, const ow_garden *g, ow_speech *to)
{
    if (!v->asks) {
        say_bar(v, g, to);
        return;
    }
    if (v->half_s != OW_NEVER && v->gone_s != OW_NEVER) {
        OW_SPEAK(to, OW_SAY_THAW_GONE, ow_blank_at(v->half_s), ow_blank_at(v->gone_s));
    } else if (v->half_s != OW_NEVER) {
        OW_SPEAK(to, OW_SAY_THAW_HALF, ow_blank_at(v->half_s));
    }
    ow_speak_plain(to, v->hasty ? OW_SAY_THAW_WARM : OW_SAY_THAW_CALM);
}

static void say_thawing(const ow_actor *a, const ow_course *course, ow_speech *to)
{
    OW_SPEAK(to, OW_SAY_THAWING, ow_blank_number(ow_drought_frozen_days(&a->condition.drought), 1),
             ow_blank_number(100.0 * a->sense.root.open_share, 0),
             ow_blank_number(100.0 * a->sense.root.ice_share, 0));
    if (course->reset_s != OW_NEVER) {
        OW_SPEAK(to, OW_SAY_THAWING_OVER, ow_blank_at(course->reset_s));
    } else if (course->suffers_s != OW_NEVER) {
        OW_SPEAK(to, OW_SAY_THAWING_AGAIN, ow_blank_at(course->suffers_s));
    }
}

static void say_wait(const ow_scene *s, const ow_actor *a, const ow_tolerance *stands,
                     ow_speech *to)
{
    ow_watch_item item[OW_PARTS];
    int n = ow_watch_list(&a->condition, stands, s->garden->site.latitude_deg, item);
    int decides = ow_watch_decides(item, n);
    if (decides < 0) {
        return;
    }
    const ow_watch_item *w = &item[decides];
    OW_SPEAK(to, w->killed ? OW_SAY_KILLED : OW_SAY_HARMED, part_first(w->part),
             ow_blank_c(w->lowest_c), ow_blank_at(w->lowest_s));
    OW_SPEAK(to, s->now_s < w->look_s ? OW_SAY_WAIT : OW_SAY_LOOK_NOW,
             {.kind = OW_BLANK_DAY, .at_s = w->look_s});
}

/* What a cover costs that stays on in mild weather, and after how many days it harms. */
static void say_cost(const ow_actor *a, const ow_tolerance *stands, ow_speech *to)
{
    ow_stay stay = ow_covers_stay(&a->dress, stands);
    if (isfinite(stay.days)) {
        OW_SPEAK(to, stay.rots ? OW_SAY_STAY_ROTS : OW_SAY_STAY_DARK,
                 ow_blank_number(stay.days, 0));
    }
}

static void say_mild(const ow_outlook *o, ow_saying saying, ow_speech *to)
{
    OW_SPEAK(to, saying, ow_blank_c(o->lowest_air_c), ow_blank_at(ow_outlook_end_s(o)));
}

static void say_droop(const ow_actor *a, const ow_tolerance *stands, ow_speech *to)
{
    if (stands->leaves == OW_LEAVES_EVERGREEN && a->sense.part_c[OW_FOLIAGE] < DROOP_C) {
        ow_speak_plain(to, OW_SAY_DROOP);
    }
}

static bool say_frozen_but_well(const ow_actor *a, const ow_course *course, bool foreseen,
                                ow_speech *to)
{
    const ow_drought *drought = &a->condition.drought;
    if (!drought->frozen_through && !drought->running) {
        return false;
    }
    ow_blank days = ow_blank_number(ow_drought_frozen_days(drought), 1);
    if (foreseen && course->open_s != OW_NEVER) {
        OW_SPEAK(to, OW_SAY_FROZEN_THAWS, days, ow_blank_at(course->open_s));
    } else {
        OW_SPEAK(to, OW_SAY_FROZEN_WELL, days);
    }
    return true;
}

static void say_hold(const ow_verdict *v, const ow_outlook *o, const ow_actor *a,
                     const ow_course *course, const ow_tolerance *stands, ow_speech *to)
{
    int nearest = -1;
    double spare = INFINITY;
    if (say_frozen_but_well(a, course, o->steps > 0, to)) {
        say_droop(a, stands, to);
        return;
    }
    for (int p = 0; p < OW_PARTS; p++) {
        double k = course->lowest_c[p] - course->limit_c[p];
        if (k < spare) {
            spare = k;
            nearest = p;
        }
    }
    if (o->steps == 0) {
        ow_speak_plain(to, OW_SAY_BLIND);
    } else if (nearest < 0) {
        ow_speak_plain(to, OW_SAY_NOTHING);
    } else {
        ow_saying saying = spare < 0.0      ? OW_SAY_TOUCHES
                           : a->dress.n > 0 ? OW_SAY_SAFE_COVERED
                                            : OW_SAY_SAFE_BARE;
        OW_SPEAK(to, saying, part_within((ow_part)nearest), ow_blank_c(course->lowest_c[nearest]),
                 ow_blank_at(course->lowest_s[nearest]), ow_blank_k(spare));
    }
    say_risk(v, to);
    say_droop(a, stands, to);
}

static void say_blown(const ow_actor *a, const ow_garden *g, ow_speech *to)
{
    for (size_t i = 0; i < a->dress.n; i++) {
        if (a->dress.cover[i].state.blown_off) {
            OW_SPEAK(to, OW_SAY_BLOWN, ow_blank_name(g->covers[a->dress.item[i]].name));
        }
    }
}

void ow_reason(const ow_verdict *v, const ow_outlook *o, const ow_scene *s, int plant,
               const ow_give *give, ow_speech *to)
{
    const ow_actor *a = &s->cast->actor[plant];
    const ow_tolerance *stands = &s->garden->plants[plant].tolerance;
    const ow_course *course = &o->course[plant];
    switch (v->state) {
    case OW_STATE_NO_READING:
        ow_speak_plain(to, OW_SAY_UNMEASURED);
        break;
    case OW_STATE_THAW_NEEDED:
        say_thaw_needed(o, a, course, stands, to);
        say_thaw_act(v, s->garden, to);
        break;
    case OW_STATE_CARRY_IN:
    case OW_STATE_COVER_SOON:
        if (v->threat.dry) {
            say_drought(v, course, stands, to);
        } else {
            say_threat(v, s, plant, to);
        }
        say_answer(v, s->garden, to);
        break;
    case OW_STATE_THAWING:
        say_thawing(a, course, to);
        break;
    case OW_STATE_WAIT_AND_SEE:
        say_wait(s, a, stands, to);
        break;
    case OW_STATE_UNCOVER:
        say_mild(o, OW_SAY_MILD_COVERS, to);
        say_cost(a, stands, to);
        break;
    case OW_STATE_CARRY_OUT:
        say_mild(o, OW_SAY_MILD_BACK, to);
        break;
    case OW_STATE_HOLD:
    case OW_STATES:
        if (v->act.warm) {
            say_heat(v, s, plant, to);
        } else {
            say_hold(v, o, a, course, stands, to);
        }
        break;
    }
    if (give != NULL) {
        say_give(v, s->garden, give, to);
    }
    say_blown(a, s->garden, to);
}
