/* SPDX-License-Identifier: MIT */
#include "hub/evening.h"

#include <math.h>
#include <stdio.h>

#include "garden/json_text.h"
#include "hub/live.h"
#include "physics/surface.h"

static const ow_utc_s NIGHT_S = 16 * OW_HOUR_S, HALF_HOUR_S = OW_HOUR_S / 2;

/* Where no limit says it: a night that may bring frost on leaves (common practice, no source). */
static const double FROST_BELOW_C = 2.0;

/* What has shut a cloth must be away by so much, so that no two outlooks move it to and fro. */
static const double NEAR_BAND_K = 0.5;

/* Leaves take what sun grass does, 0.77 of it (FAO 56, from memory). To open the sun must give so
 * much more than is lost, and, where no limit says it, the air be above freezing (ours). */
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

/* The least margin of a course of points that begin before then; NAN: no limit is known. */
static double night_margin_k(const ow_track *ahead, ow_utc_s until_s)
{
    double margin_k = NAN;
    for (int i = 0; i < ahead->n && ahead->from_s + (ow_utc_s)i * OW_TRACK_POINT_S < until_s; i++) {
        margin_k = fmin(margin_k, (double)ahead->point[i].margin_k); /* fmin passes over NAN */
    }
    return margin_k;
}

void ow_evening_look(ow_engine *e)
{
    for (int i = 0; i < e->garden->output_count; i++) {
        const ow_refs *under = &e->garden->outputs[i].covers_plants;
        ow_cloth_wish *cloth = &e->live->cloth[i];
        cloth->looked = e->outlook->steps > 0;
        cloth->unknown = under->count == 0;
        cloth->margin_k = INFINITY;
        for (int k = 0; k < under->count; k++) {
            const ow_track *ahead = &e->outlook->track[under->item[k].at];
            double margin_k = night_margin_k(ahead, e->outlook->start_s + NIGHT_S);
            cloth->unknown |= isnan(margin_k);
            cloth->margin_k = fmin(cloth->margin_k, margin_k);
        }
    }
}

void ow_evening_forget(ow_engine *e)
{
    for (int i = 0; i < e->garden->output_count; i++) {
        e->live->cloth[i].looked = false;
    }
}

/* What is above ground, which the cloth shields and the sun warms first, as the model has it. */
static double leaves_margin_k(const ow_engine *e, const ow_refs *under)
{
    static const ow_part parts[] = {OW_FOLIAGE, OW_BUDS, OW_GROWING_POINT};
    double margin_k = NAN;
    for (int k = 0; e->scene != NULL && k < under->count; k++) {
        int plant = under->item[k].at;
        const ow_condition *now = &e->scene->cast->actor[plant].condition;
        for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
            const ow_limit limit =
                ow_condition_limit(now, &e->garden->plants[plant].tolerance, parts[p]);
            double k_above = limit.set ? now->compared_c[parts[p]] - limit.damaged_c : (double)NAN;
            margin_k = fmin(margin_k, k_above);
        }
    }
    return margin_k;
}

static double air_now_c(const ow_engine *e)
{
    ow_observed now = ow_station_measured(e->live->station, OW_MEASURES_AIR, OW_AT_SITE,
                                          (double)e->live->now.boot_ms / 1000.0);
    return now.quality == OW_QUALITY_MEASURED ? now.value : (double)NAN;
}

/* Does the night ahead, or the air now, ask for the cloth? */
static bool is_cold(const ow_engine *e, const ow_cloth_wish *cloth, double leaves_k,
                    double lowest_c, bool known)
{
    double near_k = OW_EVENING_NEAR_K + (cloth->shut ? NEAR_BAND_K : 0.0);
    bool by_rule = fmin(lowest_c, air_now_c(e)) <= FROST_BELOW_C;
    bool guess = !known || cloth->unknown;
    return (known && cloth->margin_k < near_k) || leaves_k < near_k || (guess && by_rule);
}

static bool is_shut(const ow_engine *e, int output, double lowest_c, bool sound)
{
    double air_c;
    const ow_cloth_wish *cloth = &e->live->cloth[output];
    double leaves_k = leaves_margin_k(e, &e->garden->outputs[output].covers_plants);
    bool known = sound && cloth->looked;
    if (isnan(lowest_c)) {
        return true; /* a closed cloth does less harm than an open one */
    }
    if (!is_cold(e, cloth, leaves_k, lowest_c, known)) {
        return false;
    }
    double gains = gain_wm2(e, &air_c);
    bool by_limits = known && !cloth->unknown && !isnan(leaves_k);
    bool warm = by_limits ? leaves_k > OW_GUIDE_MARGIN_K : fmin(air_c, air_now_c(e)) > OPENS_C;
    return !(gains > (cloth->shut ? OPENS_WM2 : 0.0)) || !warm;
}

void ow_evening_wish(ow_engine *e, double lowest_c, bool sound)
{
    for (int i = 0; i < e->garden->output_count; i++) {
        if (e->garden->outputs[i].kind == OW_OUTPUT_CLOTH_DRIVE) {
            e->live->cloth[i].shut = is_shut(e, i, lowest_c, sound);
        }
    }
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
