/* SPDX-License-Identifier: MIT */
#include "hub/evening.h"

#include <math.h>
#include <stdio.h>

#include "garden/json_text.h"
#include "hub/live.h"
#include "physics/surface.h"

static const ow_utc_s NIGHT_S = 16 * OW_HOUR_S, HALF_HOUR_S = OW_HOUR_S / 2;

/* A night so cold may bring frost on leaves (common practice, no source). */
static const double FROST_BELOW_C = 2.0;

/* Leaves take what sun grass does, 0.77 of it (FAO 56, from memory). To open the sun must give so
 * much more than is lost, and the air be above freezing (ours). */
static const double SUN_TAKEN = 0.77, OPENS_WM2 = 20.0, OPENS_C = 0.0;

/* A word before dark, while something can still be carried in (ours). */
static const ow_utc_s BEFORE_DARK_S = 2 * OW_HOUR_S;

static ow_utc_s now_s(const ow_engine *e)
{
    return e->live->now.utc_ms / 1000;
}

/* ---- cloths ---------------------------------------------------------------------------------- */

double ow_evening_lowest_c(const ow_engine *e)
{
    double lowest_c = NAN;
    for (size_t i = 0; i < e->forecast.rows && e->forecast.row[i].utc_s <= now_s(e) + NIGHT_S;
         i++) {
        bool ahead = e->forecast.row[i].utc_s > now_s(e);
        lowest_c = ahead ? fmin(lowest_c, e->forecast.row[i].weather.air_c) : lowest_c;
    }
    return lowest_c;
}

/* What leaves gain from sun and sky in the half hour ahead, W/m2. */
static double gain_wm2(const ow_engine *e, double *air_c)
{
    ow_weather weather;
    ow_utc_s start = now_s(e);
    (void)ow_forcing_mean(&e->forecast, start, start + HALF_HOUR_S, &weather);
    double guess_pct = e->scene != NULL ? ow_scene_cloud_guess_pct(e->scene) : (double)NAN;
    ow_sky sky = ow_sky_of(&weather, &e->garden->site, start + HALF_HOUR_S / 2, guess_pct);
    *air_c = sky.air_c;
    return SUN_TAKEN * sky.global_wm2 + sky.longwave_wm2 - ow_black_body_wm2(sky.air_c);
}

bool ow_evening_shuts(const ow_engine *e, double lowest_c, bool shut)
{
    double air_c;
    ow_observed now = ow_station_measured(e->live->station, OW_MEASURES_AIR, OW_AT_SITE,
                                          (double)e->live->now.boot_ms / 1000.0);
    double now_c = now.quality == OW_QUALITY_MEASURED ? now.value : (double)NAN;
    if (isnan(lowest_c)) {
        return true; /* a closed cloth does less harm than an open one */
    }
    if (fmin(lowest_c, now_c) > FROST_BELOW_C) { /* fmin passes over NAN */
        return false;
    }
    double gains = gain_wm2(e, &air_c);
    bool warm = fmin(air_c, now_c) > OPENS_C;
    return !(gains > (shut ? OPENS_WM2 : 0.0)) || !warm;
}

/* ---- houses that cannot be held -------------------------------------------------------------- */

static bool is_up(const ow_engine *e, ow_utc_s at_s)
{
    return ow_sun_at(&e->garden->site, at_s).altitude_rad > 0.0;
}

static void warn_of(ow_engine *e, const ow_place *place, const ow_guided *h)
{
    bool harms = h->keep_margin_k < OW_GUIDE_MARGIN_K;
    ow_notice notice = {.urgency = harms ? OW_HEARS_URGENT : OW_HEARS_JOBS,
                        .act_by_s = OW_NEVER,
                        .cleared_s = OW_NEVER};
    snprintf(notice.id, sizeof notice.id, "%s-not-held", place->id);
    snprintf(notice.subject, sizeof notice.subject, "%s", place->id);
    ow_speech to = ow_notice_speech(&notice, &e->local);
    OW_SPEAK(&to, OW_SAY_NOT_HELD, ow_blank_name(place->name), ow_blank_c(h->keep_c),
             ow_blank_c(h->falls_to_c), ow_blank_at(h->falls_s),
             ow_blank_k(h->keep_c - h->falls_to_c));
    ow_utf8_mend(notice.text);
    (void)!ow_board_raise(e->live->board, &notice, now_s(e)); /* no room: raised at the next tick */
}

void ow_evening_warn(ow_engine *e, bool sound)
{
    bool day = is_up(e, now_s(e)) && is_up(e, now_s(e) + BEFORE_DARK_S);
    char id[OW_NOTICE_ID];
    for (int p = 0; e->guide != NULL && p < e->garden->place_count; p++) {
        const ow_guided *h = &e->guide->house[p];
        if (day && h->heated) {
            snprintf(id, sizeof id, "%s-not-held", e->garden->places[p].id);
            ow_board_clear(e->live->board, id, now_s(e));
        } else if (sound && h->heated && h->short_s != OW_NEVER) {
            warn_of(e, &e->garden->places[p], h);
        }
    }
}
