/* SPDX-License-Identifier: MIT */
#include "hub/belief.h"

#include <math.h>
#include <stdio.h>

#include "garden/alerts.h"
#include "hub/live.h"

/* ---- a heated place -------------------------------------------------------------------------- */

static double all_watts(const ow_garden *g, int place)
{
    double watts = 0.0;
    for (int i = 0; i < g->output_count; i++) {
        bool here = g->outputs[i].kind == OW_OUTPUT_HEATER && g->outputs[i].place.at == place;
        watts += here ? g->outputs[i].watts : 0.0;
    }
    return watts;
}

ow_accord ow_belief_air(const ow_scene *scene, int place, double air_c, const ow_observed *outside)
{
    double cold_c = ow_scene_glass_c(scene, place, 0.0);
    double warm_c = ow_scene_glass_c(scene, place, all_watts(scene->garden, place));
    if (isnan(cold_c) || isnan(warm_c) || outside->quality != OW_QUALITY_MEASURED) {
        return OW_ACCORD_UNKNOWN;
    }
    bool too_cold = air_c < fmin(cold_c, outside->lowest) - OW_BELIEF_COLDER_K;
    bool too_warm = air_c > fmax(warm_c, outside->highest) + OW_BELIEF_WARMER_K;
    return too_cold || too_warm ? OW_ACCORD_PARTS : OW_ACCORD_AGREES;
}

ow_accord ow_belief_warmth(const ow_scene *scene, const ow_output *heater, double came_on_c,
                           double warmest_c, double air_c)
{
    int place = heater->place.at;
    double cold_c = ow_scene_glass_c(scene, place, 0.0);
    double rise_k = ow_scene_glass_c(scene, place, heater->watts) - cold_c;
    if (!(rise_k >= OW_BELIEF_RISE_LEAST_K)) {
        return OW_ACCORD_UNKNOWN;
    }
    bool rose = warmest_c - came_on_c >= OW_BELIEF_ROSE_K;
    bool keeps = air_c - cold_c >= OW_BELIEF_RISE_SHARE * rise_k;
    return rose || keeps ? OW_ACCORD_AGREES : OW_ACCORD_PARTS;
}

/* ---- the garden's own readings --------------------------------------------------------------- */

static const uint64_t GONE_MS = 1800000;

static const struct {
    const char *alert;
    ow_saying saying;
    uint64_t after_ms;
} doubts[OW_DOUBTS] = {
    [OW_DOUBT_READINGS] = {OW_ALERT_READINGS, OW_SAY_READINGS_PART, 0},
    /* hours went by before it was called stuck */
    [OW_DOUBT_STUCK] = {OW_ALERT_STUCK, OW_SAY_READING_STUCK, 0},
    [OW_DOUBT_FORECAST] = {OW_ALERT_FORECAST, OW_SAY_FORECAST_PARTS, 3600000},
};

static void tell(ow_engine *e, ow_doubt_kind kind, bool stands, ow_blank about)
{
    ow_live *l = e->live;
    ow_utc_s now_s = l->now.utc_ms / 1000;
    ow_notice notice = {.urgency = OW_HEARS_URGENT, .act_by_s = OW_NEVER, .cleared_s = OW_NEVER};
    snprintf(notice.id, sizeof notice.id, "garden-%s", doubts[kind].alert);
    snprintf(notice.subject, sizeof notice.subject, "garden");
    if (!stands) {
        (void)!ow_tree_alert(l->tree, doubts[kind].alert, NULL);
        ow_board_clear(l->board, notice.id, now_s);
        return;
    }
    ow_speech to = ow_notice_speech(&notice, &e->local);
    OW_SPEAK(&to, doubts[kind].saying, about);
    (void)!ow_tree_alert(l->tree, doubts[kind].alert, notice.text);
    (void)!ow_board_raise(l->board, &notice, now_s);
}

/* One row's look at one doubt, and what to say that it is about. */
static void look(ow_engine *e, ow_doubt_kind kind, bool seen, ow_blank about)
{
    ow_doubt *d = &e->live->doubt[kind];
    uint64_t now_ms = e->live->now.boot_ms;
    if (d->told ? seen : seen != d->seen) {
        d->since_ms = now_ms;
    }
    d->seen = seen;
    uint64_t lasted_ms = now_ms - d->since_ms;
    if (!d->told && seen && lasted_ms >= doubts[kind].after_ms) {
        d->told = true;
        tell(e, kind, true, about);
    } else if (d->told && !seen && lasted_ms >= GONE_MS) {
        d->told = false;
        tell(e, kind, false, about);
    }
}

/* The forecast for now between two of its hours; NAN: none that counts. */
static double foreseen_c(const ow_engine *e)
{
    const ow_forecast *f = &e->live->forecast;
    ow_now now = e->live->now;
    double utc_s = (double)now.utc_ms / 1000.0;
    ow_instant instant = {(double)now.boot_ms / 1000.0, now.utc_ms / 1000};
    if (ow_forecast_quality(f, instant) != OW_QUALITY_MEASURED) {
        return NAN;
    }
    for (size_t i = 0; i + 1 < f->rows; i++) {
        double from_s = (double)f->row[i].utc_s, to_s = (double)f->row[i + 1].utc_s;
        if (utc_s >= from_s && utc_s < to_s) {
            double part = (utc_s - from_s) / (to_s - from_s);
            return f->row[i].weather.air_c +
                   part * (f->row[i + 1].weather.air_c - f->row[i].weather.air_c);
        }
    }
    return NAN;
}

/* The first reading that has stood still for too long; NULL: none has. */
static const char *stuck_reading(const ow_engine *e)
{
    for (int i = 0; i < e->garden->reading_count; i++) {
        if (ow_station_reading(e->live->station, i, (double)e->live->now.boot_ms / 1000.0).stuck) {
            return e->garden->readings[i].id;
        }
    }
    return NULL;
}

void ow_belief_mind(ow_engine *e, bool readings_part, double air_c)
{
    const ow_blank end = {.kind = OW_BLANK_END};
    bool parted = e->live->doubt[OW_DOUBT_FORECAST].told;
    double off_k = fabs(air_c - foreseen_c(e));
    const char *stuck = stuck_reading(e);
    look(e, OW_DOUBT_READINGS, readings_part, end);
    look(e, OW_DOUBT_STUCK, stuck != NULL, stuck != NULL ? ow_blank_name(stuck) : end);
    look(e, OW_DOUBT_FORECAST, off_k > (parted ? OW_BELIEF_FORECAST_AGAIN_K : OW_BELIEF_FORECAST_K),
         end);
}
