/* SPDX-License-Identifier: MIT */
#include "sim/world.h"

#include <math.h>
#include <stdlib.h>

/* Single glass; air with staging, floor and pots; sun that stays inside (all rough). */
static const double GLASS_W_M2K = 6.0, AIR_J_M3K = 1200.0, HOLDS_J_M2K = 60000.0, SUN_SHARE = 0.35;
static const double HEIGHT_M = 2.2;
static const int STEP_S = 60;

ow_weather_row sim_world_weather(const sim_world *w, int64_t utc_s)
{
    size_t i = 0;
    while (i + 1 < w->rows && w->row[i + 1].utc_s <= utc_s) {
        i++;
    }
    ow_weather_row now = w->row[i];
    if (i + 1 == w->rows || utc_s <= now.utc_s) {
        return now;
    }
    const ow_weather_row *a = &w->row[i], *b = &w->row[i + 1];
    double share = (double)(utc_s - a->utc_s) / (double)(b->utc_s - a->utc_s);
    now.air_c = a->air_c + share * (b->air_c - a->air_c);
    now.rh_pct = a->rh_pct + share * (b->rh_pct - a->rh_pct);
    now.wind_ms = a->wind_ms + share * (b->wind_ms - a->wind_ms);
    now.cloud_pct = a->cloud_pct + share * (b->cloud_pct - a->cloud_pct);
    now.solar_wm2 = a->solar_wm2 + share * (b->solar_wm2 - a->solar_wm2);
    now.snow_cm = a->snow_cm + share * (b->snow_cm - a->snow_cm);
    now.rain_mm = b->rain_mm; /* a sum of the hour that ends there */
    now.utc_s = utc_s;
    return now;
}

static double resting_air_c(const ow_place *place, double outside_c)
{
    return place->kind == OW_PLACE_INDOORS ? place->air_c : outside_c;
}

bool sim_world_begin(sim_world *w, const ow_garden *garden, const ow_weather_row *row, size_t rows,
                     int64_t now_s)
{
    *w = (sim_world){.garden = garden, .row = row, .rows = rows, .now_s = now_s};
    w->air_c = calloc((size_t)garden->place_count, sizeof *w->air_c);
    if (w->air_c == NULL) {
        return false;
    }
    w->weather = sim_world_weather(w, now_s);
    for (int i = 0; i < garden->place_count; i++) {
        w->air_c[i] = resting_air_c(&garden->places[i], w->weather.air_c);
    }
    return true;
}

void sim_world_end(sim_world *w)
{
    free(w->air_c);
}

static double glass_after(const ow_place *p, const ow_weather_row *out, double air_c, double watts)
{
    double volume_m3 = isnan(p->volume_m3) ? p->floor_m2 * HEIGHT_M : p->volume_m3;
    double loss_w_k =
        p->glazing_m2 * GLASS_W_M2K + volume_m3 * p->air_changes_per_h / 3600.0 * AIR_J_M3K;
    double sun_w = isnan(out->solar_wm2) ? 0.0 : out->solar_wm2 * p->floor_m2 * SUN_SHARE;
    double gain_w = watts + sun_w + loss_w_k * (out->air_c - air_c);
    return air_c + gain_w * STEP_S / (p->floor_m2 * HOLDS_J_M2K);
}

void sim_world_move(sim_world *w, int64_t now_s, const double *watts)
{
    for (; w->now_s + STEP_S <= now_s; w->now_s += STEP_S) {
        w->weather = sim_world_weather(w, w->now_s + STEP_S);
        for (int i = 0; i < w->garden->place_count; i++) {
            const ow_place *p = &w->garden->places[i];
            w->air_c[i] = p->kind == OW_PLACE_GLASSHOUSE
                              ? glass_after(p, &w->weather, w->air_c[i], watts[i])
                              : resting_air_c(p, w->weather.air_c);
        }
    }
}
