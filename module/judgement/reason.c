/* SPDX-License-Identifier: MIT */
#include "judgement/reason.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "judgement/chores.h"
#include "judgement/guide.h"
#include "judgement/watch_list.h"

/* Leaves colder than this may hang while the plant is well. */
static const double DROOP_C = -3.0;

static void add(char *text, size_t room, const char *format, ...) OW_PRINTF(3, 4);

static void add(char *text, size_t room, const char *format, ...)
{
    size_t used = strlen(text);
    va_list args;
    va_start(args, format);
    vsnprintf(text + used, room - used, format, args);
    va_end(args);
}

static ow_date local_date(const ow_local *local, ow_utc_s utc_s)
{
    return ow_date_of(utc_s + local->utc_offset_s(local->self, utc_s));
}

static const char *const weekdays[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

char *ow_when(const ow_local *local, ow_utc_s utc_s, char text[OW_WHEN_TEXT])
{
    ow_date d = local_date(local, utc_s);
    int weekday = ow_weekday(utc_s + local->utc_offset_s(local->self, utc_s));
    snprintf(text, OW_WHEN_TEXT, "%s %d %s %02d:%02d", weekdays[weekday % 7], d.day,
             months[(d.month - 1) % 12], d.hour, d.minute);
    return text;
}

static char *day_of(const ow_local *local, ow_utc_s utc_s, char text[OW_WHEN_TEXT])
{
    ow_date d = local_date(local, utc_s);
    snprintf(text, OW_WHEN_TEXT, "%d %s %d", d.day, months[(d.month - 1) % 12], d.year);
    return text;
}

double ow_tenth_c(double c)
{
    double tenth = floor(c * 10.0 + 0.5) / 10.0;
    return tenth == 0.0 ? 0.0 : tenth;
}

static const char *part_in_sentence(ow_part part)
{
    static const char *const names[OW_PARTS] = {
        [OW_FOLIAGE] = "The leaves",
        [OW_BUDS] = "The buds",
        [OW_ROOTS] = "The roots",
        [OW_GROWING_POINT] = "The growing point",
        [OW_STORAGE_ORGAN] = "The storage organ",
    };
    return names[part];
}

static bool is_plural(ow_part part)
{
    return part == OW_FOLIAGE || part == OW_BUDS || part == OW_ROOTS;
}

/* ---- what is asked --------------------------------------------------------------------------- */

static void name_covers(const ow_trial *act, const ow_garden *g, char *text, size_t room)
{
    for (int i = 0; i < act->covers; i++) {
        add(text, room, "%s%s", i > 0 ? " and " : "", g->covers[act->cover[i]].name);
    }
}

static void name_place(const ow_verdict *v, const ow_garden *g, char *text)
{
    const char *verb = v->act.home ? "carry back to" : "carry to";
    add(text, OW_ACTION_TEXT, "%s %s%s", verb, g->places[v->act.place].name,
        v->state == OW_STATE_THAW_NEEDED ? " to thaw slowly" : "");
    if (v->act.warm) {
        add(text, OW_ACTION_TEXT, ", kept at %.1f C",
            ow_tenth_c(ow_guide_most_c(g, v->act.place)));
    }
}

void ow_action(const ow_verdict *v, const ow_garden *g, char text[OW_ACTION_TEXT])
{
    text[0] = '\0';
    if (!v->asks) {
        return;
    }
    if (v->act.bare) {
        add(text, OW_ACTION_TEXT, "take the covers off");
    }
    if (v->act.sheds) {
        add(text, OW_ACTION_TEXT, "take %s off", g->covers[v->act.shed].name);
    }
    if (v->act.wet) {
        add(text, OW_ACTION_TEXT, "water it through while it is thawed");
    }
    if (v->act.place >= 0) {
        name_place(v, g, text);
    }
    if (v->act.covers > 0) {
        add(text, OW_ACTION_TEXT, "%s%s with ", v->act.place >= 0 ? " and " : "",
            v->act.point ? "wrap the growing point" : "cover");
        name_covers(&v->act, g, text, OW_ACTION_TEXT);
    }
    if (v->pick.give >= 0 && v->pick.to >= 0) {
        add(text, OW_ACTION_TEXT, v->act.home ? ", to make room for %s" : ", for %s",
            g->plants[v->pick.to].name);
    }
    if (v->pick.way >= 0 && v->pick.from >= 0) {
        add(text, OW_ACTION_TEXT, v->pick.from_cover >= 0 ? ", taken from %s" : " in place of %s",
            g->plants[v->pick.from].name);
    }
}

/* In how many runs ahead a limit is passed, where there were many and it is in doubt. */
static void say_risk(const ow_verdict *v, char *text)
{
    if (v->runs > 1 && v->passed > 0) {
        add(text, OW_REASON_TEXT, " A limit is passed in %d of %d runs ahead.", v->passed, v->runs);
    }
}

/* What it holds goes to another, and what that leaves. */
static void say_give(const ow_verdict *v, const ow_garden *g, const ow_give *give, char *text)
{
    if (v->pick.to < 0) {
        return;
    }
    const char *to = g->plants[v->pick.to].name;
    if (give->act.sheds) {
        add(text, OW_REASON_TEXT, " Its %s saves more on %s.", g->covers[give->act.shed].name, to);
    } else {
        add(text, OW_REASON_TEXT, " Its room saves more for %s.", to);
    }
    if (give->harms) {
        add(text, OW_REASON_TEXT, " It may be harmed for that, which weighs less.");
    } else if (isfinite(give->spare_k)) {
        add(text, OW_REASON_TEXT, " It has %.1f K to spare without.", give->spare_k);
    }
}

/* The heater of its house sees to it. */
static void say_heat(const ow_verdict *v, const ow_scene *s, int plant, const ow_local *local,
                     char *text)
{
    char when[OW_WHEN_TEXT];
    int place = s->cast->actor[plant].place;
    add(text, OW_REASON_TEXT,
        "%s would fall to %.1f C, harmed from %.1f C: the heater keeps %s at %.1f C for it from %s",
        part_in_sentence(v->threat.part), ow_tenth_c(v->threat.lowest_c),
        ow_tenth_c(v->threat.limit_c), s->garden->places[place].name,
        ow_tenth_c(ow_guide_most_c(s->garden, place)), ow_when(local, v->act_by_s, when));
    if (!isnan(v->eased_c)) {
        add(text, OW_REASON_TEXT, ", so %.1f C", ow_tenth_c(v->eased_c));
    }
    add(text, OW_REASON_TEXT, ".");
}

/* ---- reasons --------------------------------------------------------------------------------- */

/* No limit of cold is passed, but frozen roots will be without water for too long. */
static void say_drought(const ow_verdict *v, const ow_course *course, const ow_tolerance *stands,
                        const ow_local *local, char *text)
{
    char from[OW_WHEN_TEXT], suffers[OW_WHEN_TEXT];
    add(text, OW_REASON_TEXT, "The root ball will freeze through by %s and no water will move; it "
        "suffers from %s (%.0f days).",
        course->frozen_s != OW_NEVER ? ow_when(local, course->frozen_s, from) : "then",
        ow_when(local, v->threat.at_s, suffers), stands->suffers_days);
}

static void say_threat(const ow_verdict *v, const ow_scene *s, int plant, const ow_local *local,
                       char *text)
{
    const ow_plant *p = &s->garden->plants[plant];
    const ow_limit *limit = &p->tolerance.limit[v->threat.part];
    char when[OW_WHEN_TEXT];
    double softer = v->threat.limit_c - limit->damaged_c;
    const char *why = ow_hardening_why(&s->cast->actor[plant].condition.hardening);
    add(text, OW_REASON_TEXT, "%s%s %s fall to %.1f C by %s; %s from %.1f C%s%s",
        v->late ? "It is late. " : "", part_in_sentence(v->threat.part),
        v->runs > 1 && v->passed < v->runs ? "may" : "will",
        ow_tenth_c(v->threat.lowest_c), ow_when(local, v->threat.lowest_s, when),
        is_plural(v->threat.part) ? "they are harmed" : "it is harmed",
        ow_tenth_c(v->threat.limit_c), limit->of_air ? " in the air" : "",
        limit->grade == 'C' ? " (growers' word)" : "");
    if (softer > 0.05 && why != NULL) {
        add(text, OW_REASON_TEXT, ", %s: %.1f K warmer than in midwinter", why, softer);
    }
    add(text, OW_REASON_TEXT, ".");
    say_risk(v, text);
}

/* What was found to be short, and who has it. */
static void say_bar(const ow_verdict *v, const ow_garden *g, const ow_local *local, char *text)
{
    const ow_pick *p = &v->pick;
    const char *who = p->who >= 0 ? g->plants[p->who].name : NULL;
    char when[OW_WHEN_TEXT];
    switch (p->bar) {
    case OW_BAR_STOCK:
        add(text, OW_REASON_TEXT, " No %s is left%s%s.", g->covers[p->item].name,
            who != NULL ? ": it goes to " : "", who != NULL ? who : "");
        break;
    case OW_BAR_ROOM:
        add(text, OW_REASON_TEXT, " No room is left in %s%s%s.", g->places[p->item].name,
            who != NULL ? ": it goes to " : "", who != NULL ? who : "");
        break;
    case OW_BAR_HANDS:
        add(text, OW_REASON_TEXT, " The hands there are until then are needed elsewhere.");
        break;
    case OW_BAR_HEAVY:
        add(text, OW_REASON_TEXT, " It is too heavy for anyone to carry.");
        break;
    case OW_BAR_FROZEN_DOWN:
        add(text, OW_REASON_TEXT, " It is frozen to the ground: force nothing.");
        break;
    case OW_BAR_HEATER:
        add(text, OW_REASON_TEXT, " More heat would help, but the heater cannot be counted on.");
        break;
    case OW_BAR_NO_HANDS:
        add(text, OW_REASON_TEXT, " No hands are free before it is too late.");
        break;
    case OW_BAR_NONE:
    case OW_BAR_BETTER:
    case OW_BAR_LATE:
    case OW_BARS:
        break;
    }
    if (p->turn_s != OW_NEVER) {
        add(text, OW_REASON_TEXT, " Its turn there comes by %s, after %s.",
            ow_when(local, p->turn_s, when), g->plants[p->turn_after].name);
    }
}

static void say_answer(const ow_verdict *v, const ow_garden *g, const ow_local *local, char *text)
{
    char names[OW_ACTION_TEXT] = "";
    bool barred = v->pick.bar > OW_BAR_BETTER, gives = v->pick.give >= 0;
    bool heats = !v->asks && v->pick.way >= 0 && v->act.warm;
    if (gives) {
        say_bar(v, g, local, text);
        return;
    }
    if (!v->asks && !heats) {
        if (!barred) {
            add(text, OW_REASON_TEXT, " No cover and no place in this garden prevents it.");
        }
        say_bar(v, g, local, text);
        return;
    }
    if (v->act.place >= 0) {
        add(names, sizeof names, "%s%s", g->places[v->act.place].name,
            v->act.covers > 0 ? " and " : "");
    }
    name_covers(&v->act, g, names, sizeof names);
    if (v->act.wet) {
        add(names, sizeof names, "water");
    } else if (heats) {
        add(names, sizeof names, "more heat");
    }
    if (v->threat.dry) {
        add(text, OW_REASON_TEXT, " With %s it does not come to that.", names);
    } else if (v->prevents) {
        add(text, OW_REASON_TEXT, " With %s: %.1f C.", names, ow_tenth_c(v->eased_c));
    } else {
        add(text, OW_REASON_TEXT, " Nothing at hand prevents all of it; %s does most: %.1f C.",
            names, ow_tenth_c(v->eased_c));
    }
    say_bar(v, g, local, text);
}

static void say_thaw_needed(const ow_outlook *o, const ow_actor *a, const ow_course *course,
                            const ow_tolerance *stands, const ow_local *local, char *text)
{
    char when[OW_WHEN_TEXT];
    add(text, OW_REASON_TEXT,
        "The root ball has been frozen through for %.1f days and no water moves; ",
        ow_drought_frozen_days(&a->condition.drought));
    if (course->suffers_s == OW_NEVER || course->suffers_s <= o->start_s + o->step_s) {
        add(text, OW_REASON_TEXT, "it suffers after %.0f days and may die after %.0f.",
            stands->suffers_days, stands->may_die_days);
    } else {
        add(text, OW_REASON_TEXT, "it suffers from %s (%.0f days) and %s before.",
            ow_when(local, course->suffers_s, when), stands->suffers_days,
            course->open_s < course->suffers_s ? "thaws too briefly" : "will not thaw");
    }
}

/* Where it is to thaw, how long that takes, and what not to do. */
static void say_thaw_act(const ow_verdict *v, const ow_garden *g, const ow_local *local, char *text)
{
    char half[OW_WHEN_TEXT], gone[OW_WHEN_TEXT];
    if (!v->asks) {
        say_bar(v, g, local, text);
        return;
    }
    if (v->half_s != OW_NEVER) {
        add(text, OW_REASON_TEXT, " So done now, half its ice is gone by %s",
            ow_when(local, v->half_s, half));
        if (v->gone_s != OW_NEVER) {
            add(text, OW_REASON_TEXT, " and all of it by %s", ow_when(local, v->gone_s, gone));
        }
        add(text, OW_REASON_TEXT, ".");
    }
    add(text, OW_REASON_TEXT, "%s",
        v->hasty ? " That room is rather warm: keep it shaded there, far from any heater."
                 : " No heater and no sun on it meanwhile.");
}

static void say_thawing(const ow_actor *a, const ow_course *course, const ow_local *local,
                        char *text)
{
    char when[OW_WHEN_TEXT];
    add(text, OW_REASON_TEXT,
        "The root ball was frozen through for %.1f days; water moves again in %.0f %% of it, "
        "%.0f %% of its water is still ice.",
        ow_drought_frozen_days(&a->condition.drought), 100.0 * a->sense.root.open_share,
        100.0 * a->sense.root.ice_share);
    if (course->reset_s != OW_NEVER) {
        add(text, OW_REASON_TEXT, " Over it by %s.", ow_when(local, course->reset_s, when));
    } else if (course->suffers_s != OW_NEVER) {
        add(text, OW_REASON_TEXT, " It will freeze again and suffers from %s.",
            ow_when(local, course->suffers_s, when));
    }
}

static void say_wait(const ow_scene *s, const ow_actor *a, const ow_tolerance *stands,
                     const ow_local *local, char *text)
{
    ow_watch_item item[OW_PARTS];
    char when[OW_WHEN_TEXT], day[OW_WHEN_TEXT];
    int n = ow_watch_list(&a->condition, stands, s->garden->site.latitude_deg, item);
    int decides = ow_watch_decides(item, n);
    if (decides < 0) {
        return;
    }
    const ow_watch_item *w = &item[decides];
    add(text, OW_REASON_TEXT, "%s fell to %.1f C on %s, past the limit of %s. ",
        part_in_sentence(w->part), ow_tenth_c(w->lowest_c), ow_when(local, w->lowest_s, when),
        w->killed ? "what kills" : "harm");
    if (s->now_s < w->look_s) {
        add(text, OW_REASON_TEXT,
            "Leave the plant alone, cut and throw out nothing, and look again on %s.",
            day_of(local, w->look_s, day));
    } else {
        add(text, OW_REASON_TEXT, "What lived can show since %s: look, and say whether it is "
            "alive, regrowing or dead.", day_of(local, w->look_s, day));
    }
}

/* What a cover costs that stays on in mild weather, and after how many days it harms. */
static void say_cost(const ow_actor *a, const ow_tolerance *stands, char *text)
{
    ow_stay stay = ow_covers_stay(&a->dress, stands);
    if (isfinite(stay.days)) {
        add(text, OW_REASON_TEXT, " Left on, %s: %.0f mild days are borne.",
            stay.rots ? "damp air below them makes it rot" : "it lacks light", stay.days);
    }
}

static void say_mild(const ow_outlook *o, bool covers, const ow_local *local, char *text)
{
    char when[OW_WHEN_TEXT];
    add(text, OW_REASON_TEXT, "Not colder than %.1f C until %s: %s.", ow_tenth_c(o->lowest_air_c),
        ow_when(local, ow_outlook_end_s(o), when),
        covers ? "covers now only cost light and air" : "it can go back to its place");
}

static void say_droop(const ow_actor *a, const ow_tolerance *stands, char *text)
{
    if (stands->leaves == OW_LEAVES_EVERGREEN && a->sense.part_c[OW_FOLIAGE] < DROOP_C) {
        add(text, OW_REASON_TEXT, " Leaves that hang in frost are a defence, not damage.");
    }
}

static bool say_frozen_but_well(const ow_actor *a, const ow_course *course, bool foreseen,
                                const ow_local *local, char *text)
{
    char when[OW_WHEN_TEXT];
    if (!a->condition.drought.frozen_through && !a->condition.drought.running) {
        return false;
    }
    add(text, OW_REASON_TEXT,
        "The root ball has been frozen through for %.1f days, which it stands",
        ow_drought_frozen_days(&a->condition.drought));
    if (foreseen && course->open_s != OW_NEVER) {
        add(text, OW_REASON_TEXT, "; it begins to thaw by itself by %s",
            ow_when(local, course->open_s, when));
    }
    add(text, OW_REASON_TEXT, ".");
    return true;
}

static void say_hold(const ow_verdict *v, const ow_outlook *o, const ow_actor *a,
                     const ow_course *course, const ow_tolerance *stands, const ow_local *local,
                     char *text)
{
    int nearest = -1;
    double spare = INFINITY;
    char when[OW_WHEN_TEXT];
    if (say_frozen_but_well(a, course, o->steps > 0, local, text)) {
        say_droop(a, stands, text);
        return;
    }
    for (int p = 0; o->steps > 0 && p < OW_PARTS; p++) {
        double k = course->lowest_c[p] - course->limit_c[p];
        if (k < spare) {
            spare = k;
            nearest = p;
        }
    }
    if (o->steps == 0) {
        add(text, OW_REASON_TEXT,
            "Nothing is known of the hours ahead, so no warning can be given.");
    } else if (nearest < 0) {
        add(text, OW_REASON_TEXT, "Nothing to do.");
    } else if (spare < 0.0) {
        add(text, OW_REASON_TEXT,
            "Nothing more to do: %s will touch %.1f C by %s, not for long enough to harm.",
            ow_part_name((ow_part)nearest), ow_tenth_c(course->lowest_c[nearest]),
            ow_when(local, course->lowest_s[nearest], when));
    } else {
        add(text, OW_REASON_TEXT, "%s: the coldest ahead is %s at %.1f C by %s, %.1f K to spare.",
            a->dress.n > 0 ? "Covered and safe" : "Nothing to do", ow_part_name((ow_part)nearest),
            ow_tenth_c(course->lowest_c[nearest]), ow_when(local, course->lowest_s[nearest], when),
            spare);
    }
    say_risk(v, text);
    say_droop(a, stands, text);
}

static void say_blown(const ow_actor *a, const ow_garden *g, char *text)
{
    for (size_t i = 0; i < a->dress.n; i++) {
        if (a->dress.cover[i].state.blown_off) {
            add(text, OW_REASON_TEXT, " The wind may have taken %s: look.",
                g->covers[a->dress.item[i]].name);
        }
    }
}

void ow_reason(const ow_verdict *v, const ow_outlook *o, const ow_scene *s, int plant,
               const ow_give *give, const ow_local *local, char text[OW_REASON_TEXT])
{
    const ow_actor *a = &s->cast->actor[plant];
    const ow_tolerance *stands = &s->garden->plants[plant].tolerance;
    const ow_course *course = &o->course[plant];
    text[0] = '\0';
    switch (v->state) {
    case OW_STATE_NO_READING:
        add(text, OW_REASON_TEXT,
            "The air has gone unmeasured for over six hours: nothing here "
            "can be vouched for.");
        break;
    case OW_STATE_THAW_NEEDED:
        say_thaw_needed(o, a, course, stands, local, text);
        say_thaw_act(v, s->garden, local, text);
        break;
    case OW_STATE_CARRY_IN:
    case OW_STATE_COVER_SOON:
        if (v->threat.dry) {
            say_drought(v, course, stands, local, text);
        } else {
            say_threat(v, s, plant, local, text);
        }
        say_answer(v, s->garden, local, text);
        break;
    case OW_STATE_THAWING:
        say_thawing(a, course, local, text);
        break;
    case OW_STATE_WAIT_AND_SEE:
        say_wait(s, a, stands, local, text);
        break;
    case OW_STATE_UNCOVER:
        say_mild(o, true, local, text);
        say_cost(a, stands, text);
        break;
    case OW_STATE_CARRY_OUT:
        say_mild(o, false, local, text);
        break;
    case OW_STATE_HOLD:
    case OW_STATES:
        if (v->act.warm && !v->asks && v->threat.any) {
            say_heat(v, s, plant, local, text);
        } else {
            say_hold(v, o, a, course, stands, local, text);
        }
        break;
    }
    if (v->pick.give >= 0 && give != NULL) {
        say_give(v, s->garden, give, text);
    }
    say_blown(a, s->garden, text);
}
