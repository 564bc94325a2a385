/* SPDX-License-Identifier: MIT */
#include "judgement/sizing.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "judgement/page.h"
#include "physics/ow_math.h"
#include "physics/sky.h"

/* ---- the night ------------------------------------------------------------------------------- */

static int dark_hours(const ow_site *site, double day)
{
    double dark_h = OW_NIGHT_HOURS - ow_daylight_h(site->latitude_deg, day);
    return (int)ceil(fmax(dark_h, 1.0));
}

void ow_design_night_stated(const ow_site *site, double design_c, ow_design_night *night)
{
    static const double NORTHERN_SOLSTICE = 355.0, SOUTHERN_SOLSTICE = 172.0;
    double day = site->latitude_deg >= 0.0 ? NORTHERN_SOLSTICE : SOUTHERN_SOLSTICE;
    *night = (ow_design_night){.hours = dark_hours(site, day), .coldest_c = design_c};
    for (int i = 0; i < night->hours; i++) {
        night->air_c[i] = design_c;
    }
}

static double hour_mean_c(const ow_forcing *record, ow_utc_s from_s)
{
    ow_weather mean;
    (void)ow_forcing_mean(record, from_s, from_s + OW_HOUR_S, &mean);
    return mean.air_c;
}

/* The start of the coldest hour among the rows measured; false: none. */
static bool coldest_hour(const ow_forcing *record, ow_utc_s since_s, ow_utc_s *coldest_s)
{
    double coldest_c = INFINITY;
    for (size_t i = 0; i < record->rows; i++) {
        const ow_weather_at *row = &record->row[i];
        if (row->utc_s >= since_s && row->weather.air_c < coldest_c) {
            coldest_c = row->weather.air_c;
            *coldest_s = row->utc_s;
        }
    }
    return coldest_c < INFINITY;
}

/* Midnight by the sun, nearest to a time. */
static ow_utc_s sun_midnight(const ow_site *site, ow_utc_s time_s)
{
    double shift_s = site->longitude_deg / 360.0 * OW_DAY_S;
    double days = ((double)time_s + shift_s) / OW_DAY_S;
    return (ow_utc_s)(floor(days + 0.5) * OW_DAY_S - shift_s);
}

void ow_design_night_recorded(const ow_site *site, const ow_forcing *record,
                              ow_design_night *night)
{
    *night = (ow_design_night){.recorded = true};
    ow_utc_s coldest_s = 0, last_s = record->rows > 0 ? record->row[record->rows - 1].utc_s : 0;
    if (!coldest_hour(record, last_s - (ow_utc_s)(OW_DESIGN_YEARS * 365.25 * OW_DAY_S),
                      &coldest_s)) {
        return;
    }
    ow_utc_s middle_s = sun_midnight(site, coldest_s);
    night->hours = dark_hours(site, ow_day_of_year(middle_s));
    night->coldest_c = INFINITY;
    night->coldest_s = coldest_s;
    for (int i = 0; i < night->hours; i++) {
        ow_utc_s from_s = middle_s + (2 * i - night->hours) * (OW_HOUR_S / 2);
        night->air_c[i] = hour_mean_c(record, from_s);
        night->coldest_c = fmin(night->coldest_c, night->air_c[i]);
    }
}

/* ---- the house ------------------------------------------------------------------------------- */

static void add_heaters(const ow_garden *g, int place, ow_house_size *size)
{
    for (int i = 0; i < g->output_count; i++) {
        const ow_output *o = &g->outputs[i];
        if (o->kind == OW_OUTPUT_HEATER && o->place.at == place) {
            size->heaters++;
            size->watts += o->watts;
            size->keep_c = fmax(size->keep_c, o->keep_air_above_c); /* fmax passes over NAN */
        }
    }
}

static double loss_w_k(const ow_place *p)
{
    ow_shell_part panes = {ow_glazing_of(p->glazing)->u_w_m2k, p->glazing_m2};
    double volume_m3 = isnan(p->volume_m3) ? p->floor_m2 * OW_GLASSHOUSE_HEIGHT_M : p->volume_m3;
    return ow_shell_w_k(&panes, 1) + ow_air_change_w_k(volume_m3, p->air_changes_per_h);
}

static void through_night(const ow_design_night *night, ow_house_size *size)
{
    double wh = 0.0;
    size->falls_to_c = night->coldest_c + size->watts / size->loss_w_k;
    if (size->heaters == 0) {
        return;
    }
    size->needed_w = fmax(size->loss_w_k * (size->keep_c - night->coldest_c), 0.0);
    size->falls_to_c = fmin(size->falls_to_c, fmax(size->keep_c, night->coldest_c));
    for (int i = 0; i < night->hours; i++) {
        wh += fmin(fmax(size->loss_w_k * (size->keep_c - night->air_c[i]), 0.0), size->watts);
    }
    size->kwh = wh / 1000.0;
}

void ow_house_size_of(const ow_garden *g, int place, const ow_design_night *night,
                      ow_house_size *size)
{
    *size = (ow_house_size){.loss_w_k = loss_w_k(&g->places[place]),
                            .keep_c = NAN,
                            .needed_w = NAN,
                            .falls_to_c = NAN,
                            .kwh = NAN};
    add_heaters(g, place, size);
    size->holds_to_c = size->keep_c - size->watts / size->loss_w_k;
    if (night->hours > 0) {
        through_night(night, size);
    }
}

/* ---- in words -------------------------------------------------------------------------------- */

static void say_night(const ow_design_night *night, ow_report *report)
{
    char when[OW_TIME_TEXT];
    if (night->hours == 0) {
        ow_page_say(report, 0, 2,
                    "Glasshouses (state site.design_c, or check with a weather record, and they "
                    "are held against a night):");
    } else if (night->recorded) {
        ow_say(report, "Glasshouses in a night such as the record's coldest, %.1f C on %.10s:",
               night->coldest_c, ow_time_format(night->coldest_s, when));
    } else {
        ow_say(report, "Glasshouses in a night of %.1f C, %d hours long:", night->coldest_c,
               night->hours);
    }
}

static void say_cost(const ow_garden *g, double kwh, char *text, size_t room)
{
    if (isnan(g->tariff.per_kwh)) {
        snprintf(text, room, "%.1f kWh", kwh);
    } else {
        snprintf(text, room, "%.1f kWh or %.2f%s%.40s", kwh, kwh * g->tariff.per_kwh,
                 g->tariff.currency != NULL ? " " : "",
                 g->tariff.currency != NULL ? g->tariff.currency : "");
    }
}

static void say_heated(const ow_garden *g, const ow_design_night *night,
                       const ow_house_size *size, ow_report *report)
{
    char text[OW_PAGE_TEXT], cost[80];
    if (night->hours == 0) {
        ow_say(report, "    %.0f W of heaters hold %.1f C down to %.1f C outside", size->watts,
               size->keep_c, size->holds_to_c);
        return;
    }
    bool holds = size->needed_w <= size->watts;
    say_cost(g, size->kwh, cost, sizeof cost);
    snprintf(text, sizeof text,
             "to hold %.1f C takes %.0f W; there are %.0f W: %s %.1f C. They hold it down to "
             "%.1f C outside. Such a night takes %s.",
             size->keep_c, size->needed_w, size->watts,
             holds ? "it is held at" : "NOT ENOUGH, it falls to", size->falls_to_c,
             size->holds_to_c, cost);
    ow_page_say(report, 4, 6, text);
}

static void say_house(const ow_garden *g, int place, const ow_design_night *night,
                      ow_report *report)
{
    char text[OW_PAGE_TEXT];
    const ow_place *p = &g->places[place];
    ow_house_size size;
    ow_house_size_of(g, place, night, &size);
    snprintf(text, sizeof text, "%.200s, %s of %.0f m2: loses %.0f W for each degree that it is "
             "warmer than outside", p->name, ow_glazing_names(NULL)[p->glazing], p->glazing_m2,
             size.loss_w_k);
    ow_page_say(report, 2, 4, text);
    if (size.heaters > 0) {
        say_heated(g, night, &size, report);
    } else if (night->hours > 0) {
        ow_say(report, "    no heater: by dawn it may be as cold as outside, but for what floor and");
        ow_say(report, "    pots give back");
    }
}

void ow_advise_sizes(const ow_garden *g, const ow_forcing *record, ow_report *report)
{
    ow_design_night night = {.hours = 0};
    bool told = false;
    if (record != NULL && record->rows > 0) {
        ow_design_night_recorded(&g->site, record, &night);
    } else if (!isnan(g->design_c)) {
        ow_design_night_stated(&g->site, g->design_c, &night);
    }
    for (int i = 0; i < g->place_count; i++) {
        if (g->places[i].kind == OW_PLACE_GLASSHOUSE) {
            if (!told) {
                ow_say(report, "%s", "");
                say_night(&night, report);
                told = true;
            }
            say_house(g, i, &night, report);
        }
    }
    if (told) {
        ow_page_say(report, 2, 2,
                    "Reckoned with the usual loss of panes and leaks, give or take a fifth; a "
                    "clear still night takes more. The heater's own thermostat and cut-out, and "
                    "a licensed electrician's work, come before any number here.");
    }
}
