/* SPDX-License-Identifier: MIT */
#include "judgement/advice.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/weight.h"
#include "judgement/page.h"
#include "judgement/sensitivity.h"
#include "judgement/sizing.h"
#include "judgement/steady_frost.h"
#include "physics/materials.h"

static const char *hours(double h, char text[24])
{
    if (isnan(h)) {
        return "-";
    }
    snprintf(text, 24, h < 72.0 ? "%.0f h" : "%.1f days", h < 72.0 ? fmax(h, 1.0) : h / 24.0);
    return text;
}

/* ---- where it stands ------------------------------------------------------------------------- */

static const char *soil_word(const ow_soil *soil)
{
    return isnan(soil->measured.medium.thawed_w_mk) ? ow_medium_names(NULL)[soil->kind]
                                                    : "measured medium";
}

static bool is_sheltered(const ow_garden *g, const ow_plant *p)
{
    ow_place_kind kind = g->places[p->place.at].kind;
    return kind == OW_PLACE_GLASSHOUSE || kind == OW_PLACE_INDOORS;
}

static void say_pot(const ow_pot *pot, ow_report *report)
{
    double kg = ow_pot_kg(pot);
    char weight[40] = "";
    if (!isnan(kg)) {
        snprintf(weight, sizeof weight, ", about %.*f kg to lift", kg < 10.0 ? 1 : 0, kg);
    }
    ow_say(report, "  pot of %.0f x %.0f mm, %s, %s%s", pot->diameter_mm, pot->depth_mm,
           soil_word(&pot->soil), ow_moisture_names(NULL)[pot->soil.moisture], weight);
}

static void say_home(const ow_garden *g, const ow_plant *p, ow_report *report)
{
    char text[OW_PAGE_TEXT];
    const ow_place *place = &g->places[p->place.at];
    snprintf(text, sizeof text, "%s%s%s%s, %s", p->name, p->taxon != NULL ? " (" : "",
             p->taxon != NULL ? p->taxon : "", p->taxon != NULL ? ")" : "", place->name);
    ow_say(report, "%s", "");
    ow_page_say(report, 0, 2, text);
    if (p->pot.given) {
        say_pot(&p->pot, report);
    } else {
        ow_say(report, "  bed of %s, %s", soil_word(&p->bed.soil),
               ow_moisture_names(NULL)[p->bed.soil.moisture]);
    }
    if (p->trunk.given) {
        ow_say(report, "  trunk of %.0f x %.0f mm, growing point %.0f mm deep",
               p->trunk.diameter_mm, p->trunk.height_mm, p->trunk.growing_point_mm);
    }
    if (place->kind == OW_PLACE_INDOORS) {
        ow_say(report, "  indoors at %.0f C: the frost below is what it is spared", place->air_c);
    } else if (place->kind == OW_PLACE_GLASSHOUSE) {
        ow_say(report, "  under glass: the frost below is that of the open, which is harder");
    }
}

/* ---- limits ---------------------------------------------------------------------------------- */

static const char *grade_words(char grade)
{
    switch (grade) {
    case 'A':
        return "freezing test";
    case 'B':
        return "field record";
    case 'C':
        return "growers' word";
    default:
        return "your own";
    }
}

/* Parts that share a source are named together; there is room for all of their names. */
static void say_source(const ow_tolerance *t, int part, ow_report *report)
{
    char text[OW_PAGE_TEXT];
    const ow_limit *l = &t->limit[part];
    int n = snprintf(text, sizeof text, "%s", ow_part_name((ow_part)part));
    for (int i = 0; i < OW_PARTS; i++) {
        bool same = t->limit[i].set && strcmp(t->limit[i].source, l->source) == 0;
        if (same && i < part) {
            return; /* told with that part */
        }
        if (same && i > part) {
            n += snprintf(text + n, sizeof text - (size_t)n, ", %s", ow_part_name((ow_part)i));
        }
    }
    if (l->grade != 'O') {
        snprintf(text + n, sizeof text - (size_t)n, ": %s (%s)", l->source, grade_words(l->grade));
        ow_page_say(report, 4, 6, text);
    }
}

static void say_limits(const ow_plant *p, ow_report *report)
{
    const ow_tolerance *t = &p->tolerance;
    for (int part = 0; part < OW_PARTS; part++) {
        const ow_limit *l = &t->limit[part];
        if (l->set) {
            ow_say(report, "  %-14s harmed below %5.1f C, killed below %5.1f C%s",
                   ow_part_name((ow_part)part), l->damaged_c, l->killed_c,
                   l->of_air ? " in the air" : "");
        }
    }
    if (!isnan(t->suffers_days)) {
        ow_say(report, "  frozen roots   suffers after %.0f days, may die after %.0f",
               t->suffers_days, t->may_die_days);
    }
    for (int part = 0; part < OW_PARTS; part++) {
        if (t->limit[part].set) {
            say_source(t, part, report);
        }
    }
    if (p->by_genus) {
        ow_say(report, "    this species is not in the table: the tenderest of its genus holds");
    }
}

/* ---- the steady frost ------------------------------------------------------------------------ */

static const char *dress_name(const ow_garden *g, const ow_plant *p, int dress)
{
    return dress == 0 ? "bare" : g->covers[p->covers.item[dress - 1].at].name;
}

static void say_course(const char *dress, const ow_plant *p, const ow_frost_course *course,
                       ow_report *report)
{
    char half[24], through[24], harm[24], first[64] = "-";
    if (!isnan(course->harm_h)) {
        snprintf(first, sizeof first, "%s, %s", hours(course->harm_h, harm),
                 ow_part_name(course->part));
    }
    ow_say(report, "  %-18.18s %-14s %-14s %s", dress,
           p->pot.given ? hours(course->half_h, half) : "",
           p->pot.given ? hours(course->through_h, through) : "", first);
}

static const char *or_never(double h, char text[24])
{
    if (isnan(h)) {
        snprintf(text, 24, "over %d days", OW_FROST_DAYS);
        return text;
    }
    return hours(h, text);
}

/* Which unknown is worth measuring: the one that spreads the time to ice through most. */
static ow_status say_doubt(const ow_garden *g, int plant, ow_report *report)
{
    char low[24], high[24];
    ow_sensitivity s;
    ow_status status = ow_sensitivity_of(g, plant, &s);
    if (status != OW_OK) {
        return status;
    }
    if (s.most < 0) {
        ow_say(report, "  most in doubt: nothing that brings ice through within %d days",
               OW_FROST_DAYS);
        return OW_OK;
    }
    const ow_doubt_words *words = ow_doubt_about((ow_doubt)s.most);
    bool moisture = s.most == OW_DOUBT_MOISTURE;
    const char *const *names = ow_moisture_names(NULL);
    ow_say(report, "  most in doubt: %s; ice through: %s %s, %s %s",
           g->plants[plant].pot.given ? words->name : words->bed_name, or_never(s.low_h[s.most], low),
           moisture ? names[s.drier] : words->low, or_never(s.high_h[s.most], high),
           moisture ? names[s.wetter] : words->high);
    return OW_OK;
}

/* What a plant in the open needs first: the line of the closing list. */
struct need {
    int plant;
    int best; /* the dress that holds out longest */
    ow_frost_course bare, dressed;
};

static bool holds_longer(const ow_frost_course *a, const ow_frost_course *b)
{
    return !isnan(b->harm_h) && (isnan(a->harm_h) || a->harm_h > b->harm_h);
}

static ow_status advise_plant(const ow_garden *g, struct need *need, ow_report *report)
{
    const ow_plant *p = &g->plants[need->plant];
    ow_frost_course course[OW_FROST_DRESSES];
    ow_status status = ow_steady_frost(g, need->plant, course);
    if (status != OW_OK) {
        return status;
    }
    say_home(g, p, report);
    say_limits(p, report);
    ow_say(report, "  %-18s %-14s %-14s %s", "in the frost", p->pot.given ? "half ice" : "",
           p->pot.given ? "ice through" : "", "first harm");
    for (int i = 0; i < ow_frost_dresses(p); i++) {
        need->best = holds_longer(&course[i], &course[need->best]) ? i : need->best;
        say_course(dress_name(g, p, i), p, &course[i], report);
    }
    need->bare = course[0];
    need->dressed = course[need->best];
    return say_doubt(g, need->plant, report);
}

/* Sooner harm first; equals keep the garden's order. */
static int by_need(const void *a, const void *b)
{
    const struct need *one = a, *other = b;
    int later = holds_longer(&one->bare, &other->bare) - holds_longer(&other->bare, &one->bare);
    return later != 0 ? later : one->plant - other->plant;
}

static void say_need(const ow_garden *g, const struct need *need, ow_report *report)
{
    char text[OW_PAGE_TEXT], then[OW_PAGE_TEXT], when[24];
    const ow_plant *p = &g->plants[need->plant];
    const char *dress = dress_name(g, p, need->best);
    if (need->best == 0) {
        snprintf(then, sizeof then, "%s, so %s",
                 p->covers.count == 0 ? "no cover is named for it"
                                      : "no cover at hand holds longer",
                 p->pot.given ? "carry it in" : "lift it in time or lay mulch");
    } else if (isnan(need->dressed.harm_h)) {
        snprintf(then, sizeof then, "with %s not in %d days", dress, OW_FROST_DAYS);
    } else {
        snprintf(then, sizeof then, "with %s after %s", dress, hours(need->dressed.harm_h, when));
    }
    snprintf(text, sizeof text, "%.200s: %s after %s; %.700s", p->name,
             ow_part_name(need->bare.part), hours(need->bare.harm_h, when), then);
    ow_page_say(report, 2, 4, text);
}

/* Those under glass and indoors are not asked: the frost is not theirs. */
static void say_needs(const ow_garden *g, const struct need *need, ow_report *report)
{
    int told = 0, safe = 0;
    ow_say(report, "%s", "");
    ow_say(report, "Out of doors these are harmed first in such a frost, and need you first:");
    for (int i = 0; i < g->plant_count; i++) {
        bool outside = !is_sheltered(g, &g->plants[need[i].plant]);
        if (outside && !isnan(need[i].bare.harm_h)) {
            say_need(g, &need[i], report);
            told++;
        }
        safe += outside && isnan(need[i].bare.harm_h) ? 1 : 0;
    }
    if (told == 0) {
        ow_say(report, "  none");
    }
    if (safe > 0) {
        ow_say(report, "  no limit is passed within %d days: %d plant%s", OW_FROST_DAYS, safe,
               ow_plural(safe));
    }
}

/* ---- the whole ------------------------------------------------------------------------------- */

static void advise_output(const ow_garden *g, const ow_output *o, ow_report *report)
{
    char text[OW_PAGE_TEXT];
    const char *why = !o->cautions_read ? "it is only rehearsed, since cautions_read is not true"
                      : isnan(o->off_by_itself_s)
                          ? "it is only rehearsed, since off_by_itself_s is not given"
                          : "a rehearsal only works out when it would be switched";
    snprintf(text, sizeof text, "%s, %s in %s: %s", o->name, ow_output_kind_name(o->kind),
             g->places[o->place.at].name, why);
    ow_page_say(report, 2, 4, text);
}

static void advise_stock(const ow_garden *g, ow_report *report)
{
    char text[OW_PAGE_TEXT];
    snprintf(text, sizeof text, "%s: %d plant%s, %d place%s, %d kind%s of cover, %d output%s",
             g->id, g->plant_count, ow_plural(g->plant_count), g->place_count, ow_plural(g->place_count),
             g->cover_count, ow_plural(g->cover_count), g->output_count, ow_plural(g->output_count));
    ow_page_say(report, 0, 2, text);
    for (int i = 0; i < g->output_count; i++) {
        advise_output(g, &g->outputs[i], report);
    }
    if (g->output_count > 0) {
        ow_page_say(report, 2, 2,
                    "Outputs are switched for convenience only. What keeps people safe is "
                    "installed: each device's own thermostat, thermal cut-out, end stops and "
                    "off-timer, a residual-current device, and a licensed electrician's work. Read "
                    "docs/safety.md before you set cautions_read.");
    }
    snprintf(text, sizeof text,
             "The frost below is the same for all: %.0f C day and night for %d days, overcast, "
             "wind %.0f m/s, after a day at %.0f C. It shows how long each holds out; - means: not "
             "within these days. Limits are those of a hardened plant.",
             OW_FROST_C, OW_FROST_DAYS, OW_FROST_WIND_MS, OW_FROST_START_C);
    ow_page_say(report, 0, 0, text);
}

ow_status ow_advise(const ow_garden *garden, const ow_forcing *record, ow_report *report)
{
    ow_status status = OW_OK;
    size_t plants = (size_t)garden->plant_count;
    struct need *need = calloc(plants + 1, sizeof *need);
    if (need == NULL) {
        return OW_NO_MEMORY;
    }
    advise_stock(garden, report);
    for (int i = 0; status == OW_OK && i < garden->plant_count; i++) {
        need[i].plant = i;
        status = advise_plant(garden, &need[i], report);
    }
    if (status == OW_OK) {
        qsort(need, plants, sizeof *need, by_need);
        say_needs(garden, need, report);
        ow_advise_sizes(garden, record, report);
    }
    free(need);
    return status;
}
