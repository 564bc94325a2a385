/* SPDX-License-Identifier: MIT */
#include "judgement/advice.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "garden/cast.h"
#include "physics/materials.h"
#include "physics/ow_math.h"

/* The steady frost of the table: an overcast windy night without end, after a mild day. */
static const double FROST_C = -5.0, START_C = 4.0, FROST_WIND_MS = 3.0;
/* Midwinter of either half of the earth: the ground's start and foot follow the date. */
static const ow_utc_s FROST_NORTH_S = 1737072000; /* 2025-01-17T00:00:00Z */
static const ow_utc_s FROST_SOUTH_S = 1752710400; /* 2025-07-17T00:00:00Z */
enum { FROST_STEP_S = 1800, FROST_DAYS = 21, LONGEST_LINE = 160 };

static double pot_kg(const ow_pot *pot)
{
    double radius = ow_pot_radius_m(pot), depth = pot->depth_mm / 1000.0;
    double kg_m3 = isnan(pot->soil.measured.medium.thawed_w_mk)
                       ? ow_medium_kg_m3(pot->soil.kind, pot->soil.moisture)
                       : NAN;
    return OW_PI * radius * radius * depth * kg_m3;
}

static const char *soil_word(const ow_soil *soil)
{
    return isnan(soil->measured.medium.thawed_w_mk) ? ow_medium_names(NULL)[soil->kind]
                                                    : "measured medium";
}

static void say_home(const ow_garden *g, const ow_plant *p, ow_report *report)
{
    const char *place = g->places[p->place.at].name;
    char taxon[LONGEST_LINE] = "";
    if (p->taxon != NULL) {
        snprintf(taxon, sizeof taxon, " (%s)", p->taxon);
    }
    if (p->pot.given) {
        double kg = pot_kg(&p->pot);
        char weight[32] = "";
        if (!isnan(kg)) {
            snprintf(weight, sizeof weight, ", about %.0f kg", kg);
        }
        ow_say(report, "%s%s", p->name, taxon);
        ow_say(report, "  %s: pot %.0f x %.0f mm, %s, %s%s", place, p->pot.diameter_mm,
               p->pot.depth_mm, soil_word(&p->pot.soil),
               ow_moisture_names(NULL)[p->pot.soil.moisture], weight);
    } else {
        ow_say(report, "%s%s", p->name, taxon);
        ow_say(report, "  %s: bed of %s, %s", place, soil_word(&p->bed.soil),
               ow_moisture_names(NULL)[p->bed.soil.moisture]);
    }
    if (p->trunk.given) {
        ow_say(report, "  trunk %.0f x %.0f mm, growing point %.0f mm down",
               p->trunk.diameter_mm, p->trunk.height_mm, p->trunk.growing_point_mm);
    }
}

/* Long sources are cut to the page. */
static void say_limits(const ow_plant *p, ow_report *report)
{
    char line[LONGEST_LINE];
    for (int part = 0; part < OW_PARTS; part++) {
        const ow_limit *l = &p->tolerance.limit[part];
        if (!l->set) {
            continue;
        }
        snprintf(line, sizeof line, "  %-13s harmed %5.1f C, killed %5.1f C %s, grade %c: %s",
                 ow_part_name((ow_part)part), l->damaged_c, l->killed_c,
                 l->of_air ? "(air)   " : "(tissue)", l->grade, l->source);
        if (strlen(line) > 80) {
            snprintf(line + 77, sizeof line - 77, "...");
        }
        ow_say(report, "%s", line);
    }
    if (!isnan(p->tolerance.suffers_days)) {
        ow_say(report, "  frozen roots  suffers after %.0f days, may die after %.0f",
               p->tolerance.suffers_days, p->tolerance.may_die_days);
    }
    if (p->by_genus) {
        ow_say(report, "  this species is not in the table: the tenderest of its genus holds");
    }
}

/* ---- the steady frost ------------------------------------------------------------------------ */

enum { DRESSES = 8 };

typedef struct frost {
    double half_h, through_h;   /* NAN: not within FROST_DAYS */
    double point_h;             /* growing point or storage organ reaches its limit */
    double lowest_c;            /* of that part */
} frost;

static ow_utc_s frost_from_s(const ow_garden *g)
{
    return g->site.latitude_deg < 0.0 ? FROST_SOUTH_S : FROST_NORTH_S;
}

static ow_spot frost_spot(const ow_garden *g, const ow_place *home)
{
    ow_weather weather = {.air_c = FROST_C,
                          .rh_pct = 85.0,
                          .wind_ms = FROST_WIND_MS,
                          .cloud_pct = 100.0,
                          .solar_wm2 = 0.0,
                          .longwave_wm2 = NAN,
                          .snow_cm = NAN,
                          .rain_mm = NAN,
                          .ground_c = NAN,
                          .surface_c = NAN};
    ow_outdoors out = {.weather = weather, .wall_c = FROST_C, .ground_c = 1.0};
    ow_place open = *home;
    if (home->kind == OW_PLACE_GLASSHOUSE || home->kind == OW_PLACE_INDOORS) {
        open.kind = OW_PLACE_OPEN_SKY;
    }
    out.sky = ow_sky_of(&weather, &g->site, frost_from_s(g), NAN);
    return ow_spot_outdoors(&open, &out);
}

static void watch_frost(const ow_actor *a, const ow_tolerance *stands, double h, frost *f)
{
    ow_part part = stands->limit[OW_STORAGE_ORGAN].set ? OW_STORAGE_ORGAN : OW_GROWING_POINT;
    double c = a->sense.part_c[part];
    if (isnan(f->half_h) && a->sense.root.ice_share >= 0.5) {
        f->half_h = h;
    }
    if (isnan(f->through_h) && a->condition.drought.frozen_through) {
        f->through_h = h;
    }
    if (isnan(f->point_h) && c < stands->limit[part].damaged_c) {
        f->point_h = h;
    }
    f->lowest_c = c;
}

static ow_status run_frost(const ow_garden *g, int plant, int dresses, frost *result)
{
    int same[DRESSES];
    double start[DRESSES];
    const ow_plant *p = &g->plants[plant];
    ow_cast *cast = NULL;
    ow_utc_s from_s = frost_from_s(g);
    ow_spot spot = frost_spot(g, &g->places[p->place.at]);
    for (int i = 0; i < dresses; i++) {
        same[i] = plant;
        start[i] = START_C;
        result[i] = (frost){NAN, NAN, NAN, NAN};
    }
    ow_status status = ow_cast_new(g, same, dresses, start, from_s, &cast);
    for (int i = 0; status == OW_OK && i < dresses; i++) {
        cast->actor[i].place = 0; /* all stand in the one spot given below */
        cast->actor[i].dress.n = 0;
        if (i > 0) {
            status = ow_dress_add(&cast->actor[i].dress, g, p->covers.item[i - 1].at);
        }
    }
    int steps = FROST_DAYS * OW_DAY_S / FROST_STEP_S;
    for (int k = 0; status == OW_OK && k < steps; k++) {
        ow_cast_step(cast, &spot, from_s + (ow_utc_s)k * FROST_STEP_S, FROST_STEP_S);
        for (int i = 0; i < dresses; i++) {
            watch_frost(&cast->actor[i], &p->tolerance, (k + 1) * FROST_STEP_S / 3600.0,
                        &result[i]);
        }
    }
    ow_cast_free(cast);
    return status;
}

static const char *hours(double h, char text[24])
{
    if (isnan(h)) {
        return "not in 21 days";
    }
    snprintf(text, 24, h < 72.0 ? "%.0f h" : "%.1f days", h < 72.0 ? h : h / 24.0);
    return text;
}

static void say_frost(const char *dress, const ow_plant *p, const frost *f, ow_report *report)
{
    char half[24], through[24], point[24];
    bool organ = p->tolerance.limit[OW_STORAGE_ORGAN].set;
    bool has_point = organ || p->tolerance.limit[OW_GROWING_POINT].set;
    if (p->pot.given) {
        ow_say(report, "  %-14.14s half frozen %-14s frozen through %s", dress,
               hours(f->half_h, half), hours(f->through_h, through));
    }
    if (has_point && (p->trunk.given || p->bed.given)) {
        ow_say(report, "  %-14.14s %s at its limit %s", dress,
               organ ? "storage organ" : "growing point", hours(f->point_h, point));
    }
}

static ow_status advise_plant(const ow_garden *g, int plant, ow_report *report)
{
    const ow_plant *p = &g->plants[plant];
    frost result[DRESSES];
    int dresses = 1 + (p->covers.count < DRESSES - 1 ? p->covers.count : DRESSES - 1);
    say_home(g, p, report);
    say_limits(p, report);
    ow_status status = run_frost(g, plant, dresses, result);
    for (int i = 0; status == OW_OK && i < dresses; i++) {
        say_frost(i == 0 ? "bare" : g->covers[p->covers.item[i - 1].at].name, p, &result[i],
                  report);
    }
    return status;
}

static void advise_stock(const ow_garden *g, ow_report *report)
{
    ow_say(report, "%s: %d plants in %d places, %d kinds of cover, %d outputs", g->id,
           g->plant_count, g->place_count, g->cover_count, g->output_count);
    for (int i = 0; i < g->output_count; i++) {
        const ow_output *o = &g->outputs[i];
        ow_say(report, "  %s: %s in %s, only rehearsed by this version", o->name,
               ow_output_kind_name(o->kind), g->places[o->place.at].name);
    }
    ow_say(report, "How long each holds out at a steady %.0f C, overcast, %.0f m/s wind, from %.0f C:",
           FROST_C, FROST_WIND_MS, START_C);
}

ow_status ow_advise(const ow_garden *garden, ow_report *report)
{
    ow_status status = OW_OK;
    advise_stock(garden, report);
    for (int i = 0; status == OW_OK && i < garden->plant_count; i++) {
        status = advise_plant(garden, i, report);
    }
    return status;
}
