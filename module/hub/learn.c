/* SPDX-License-Identifier: MIT */
#include "hub/learn.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "hub/live.h"

/* Half-hourly readings of two places differ by chance, and much alike from one to the next. */
static const double PLACE_NOISE_K = 2.0;
static const double WORTH_LOGGING_K = 0.5;

ow_status ow_learned_init(ow_learned *l, const ow_garden *g)
{
    *l = (ow_learned){.told_k = 0.0};
    ow_hindsight_init(&l->hindsight);
    l->place = calloc((size_t)g->place_count, sizeof *l->place);
    for (int p = 0; l->place != NULL && p < g->place_count; p++) {
        ow_bias_init(&l->place[p]);
    }
    return l->place != NULL ? OW_OK : OW_NO_MEMORY;
}

void ow_learned_free(ow_learned *l)
{
    free(l->place);
    l->place = NULL;
}

void ow_learn_forecast(ow_engine *e)
{
    const ow_forecast *f = &e->live->forecast;
    double boot_s = (double)e->live->now.boot_ms / 1000.0;
    if (!f->stored && ow_forecast_age_s(f, boot_s) <= 0.0) {
        /* the tail was noted when it came */
        ow_hindsight_note(&e->live->learned.hindsight, f->row, f->own,
                          e->live->now.utc_ms / 1000);
    }
}

/* ---- places ---------------------------------------------------------------------------------- */

/* Air at a place less that of the open site, both fresh; NAN: not measured, or doubtful. */
static double own_air_k(const ow_engine *e, int place)
{
    double boot_s = (double)e->live->now.boot_ms / 1000.0;
    ow_place_kind kind = e->garden->places[place].kind;
    ow_observed site = ow_station_measured(e->live->station, OW_MEASURES_AIR, OW_AT_SITE, boot_s);
    ow_observed own = ow_station_measured(e->live->station, OW_MEASURES_AIR, place, boot_s);
    bool known = site.quality == OW_QUALITY_MEASURED && own.quality == OW_QUALITY_MEASURED &&
                 !site.contradictory && !own.contradictory;
    bool outdoors = kind != OW_PLACE_GLASSHOUSE && kind != OW_PLACE_INDOORS;
    return known && outdoors ? own.value - site.value : NAN;
}

void ow_learn_own_air(ow_engine *e)
{
    bool recent = e->live->now.utc_ms / 1000 - e->scene->now_s <= 2 * e->scene->step_s;
    for (int p = 0; p < e->garden->place_count; p++) {
        double k = recent ? own_air_k(e, p) : NAN;
        e->scene->own_air_k[p] = fmin(fmax(k, -OW_BIAS_MOST_K), OW_BIAS_MOST_K);
        if (isnan(k)) { /* fmin and fmax leave it out */
            e->scene->own_air_k[p] = NAN;
        }
    }
}

/* ---- a step ---------------------------------------------------------------------------------- */

static void log_habit(ow_engine *e)
{
    int sky = 0, hour = 0;
    ow_learned *l = &e->live->learned;
    double k = ow_bias_greatest(&l->hindsight.bias, &sky, &hour);
    if (fabs(k - l->told_k) >= WORTH_LOGGING_K) {
        l->told_k = k;
        ow_live_log(e, OW_LEVEL_INFO,
                    "learned from readings: under a %s sky at %02d:00 by the sun the air here is"
                    " %.1f K %s than the forecast says; forecasts are put right by what was"
                    " learned",
                    sky == 0 ? "clear" : "cloudy", hour * 24 / OW_BIAS_HOURS, fabs(k),
                    k < 0.0 ? "colder" : "warmer");
    }
}

void ow_learn_step(ow_engine *e)
{
    ow_live *l = e->live;
    const ow_site *site = &e->garden->site;
    ow_utc_s now_s = l->now.utc_ms / 1000;
    ow_observed air = ow_station_measured(l->station, OW_MEASURES_AIR, OW_AT_SITE,
                                          (double)l->now.boot_ms / 1000.0);
    if (ow_hindsight_learn(&l->learned.hindsight, site, &e->measured, now_s, air.contradictory) >
        0) {
        log_habit(e);
    }
    ow_nights_note(&l->learned.nights, site, &e->measured, now_s);
    for (int p = 0; p < e->garden->place_count; p++) {
        ow_bias_learn(&l->learned.place[p], site, e->scene->now_s,
                      e->scene->outdoors.sky.cloud_pct, e->scene->own_air_k[p], PLACE_NOISE_K);
    }
}

/* ---- kept ------------------------------------------------------------------------------------ */

void ow_learned_pack(ow_learned *l, const ow_garden *g, ow_pack *pack)
{
    enum { ID_ROOM = 72, MOST = 10000 };
    int count = g->place_count;
    ow_hindsight_pack(&l->hindsight, pack);
    ow_nights_pack(&l->nights, pack);
    ow_pack_int(pack, &count, 0, MOST);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        char id[ID_ROOM] = "";
        ow_bias bias;
        ow_bias_init(&bias);
        if (!pack->reading) {
            strncpy(id, g->places[i].id, sizeof id - 1);
            bias = l->place[i];
        }
        ow_pack_text(pack, id, sizeof id);
        ow_bias_pack(&bias, pack);
        int place = ow_place_named(g, id);
        if (pack->reading && pack->status == OW_OK && place >= 0) {
            l->place[place] = bias;
        }
    }
}
