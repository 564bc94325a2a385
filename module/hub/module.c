/* SPDX-License-Identifier: MIT */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "hub/announce.h"
#include "hub/engine.h"
#include "hub/ahead_view.h"
#include "hub/fitting.h"
#include "hub/live.h"
#include "hub/picture.h"
#include "judgement/advice.h"

/* ---- opening and closing --------------------------------------------------------------------- */

static void engine_close(ow_engine *e)
{
    if (e == NULL) {
        return;
    }
    ow_live_free(e);
    ow_engine_drop(e);
    ow_forcing_free(&e->measured);
    ow_forcing_free(&e->forecast);
    free(e->judged);
    free(e->cover_left);
    free(e->heating);
    free(e->raised);
    ow_fitting_free(e->fitting);
    ow_garden_link_free(&e->link);
    ow_garden_free(e->garden);
    free(e);
}

static bool settings_are_sane(const ow_settings *s)
{
    return s->step_s >= 60 && s->step_s <= 1800 && s->foresight_h >= 0.0 && s->foresight_h <= 384.0;
}

static void no_event(void *self, int64_t utc_s, const char *subject, const char *event,
                     const char *detail)
{
    (void)self;
    (void)utc_s;
    (void)subject;
    (void)event;
    (void)detail;
}

static ow_status engine_open(const ow_host *host, const char *file_name, const char *text,
                             size_t size, const ow_settings *settings, ow_report *report,
                             ow_engine **out)
{
    ow_engine *e = calloc(1, sizeof *e);
    if (e == NULL) {
        return OW_NO_MEMORY;
    }
    e->host = *host;
    e->host.event = host->event != NULL ? host->event : no_event;
    e->drain_s = OW_NEVER;
    e->local = (ow_local){host->utc_offset_s, host->self};
    e->settings = settings != NULL ? *settings : (ow_settings){.step_s = 1800, .start_air_c = NAN};
    ow_status status = settings_are_sane(&e->settings)
                           ? ow_garden_read(file_name, text, size, report, &e->garden)
                           : OW_BAD_INPUT;
    if (status == OW_OK) {
        status = ow_announce_check(e->garden, file_name, text, size, report);
    }
    if (status == OW_OK) {
        status = ow_garden_link_fill(e->garden, &e->link);
    }
    if (status == OW_OK) {
        e->judged = calloc((size_t)e->garden->plant_count, sizeof *e->judged);
        e->cover_left = calloc((size_t)e->garden->cover_count + 1, sizeof *e->cover_left);
        e->heating = calloc((size_t)e->garden->output_count + 1, sizeof *e->heating);
        e->raised = calloc((size_t)e->garden->place_count, sizeof *e->raised);
        bool whole = e->judged != NULL && e->cover_left != NULL && e->heating != NULL &&
                     e->raised != NULL;
        status = whole ? OW_OK : OW_NO_MEMORY;
    }
    if (status != OW_OK) {
        engine_close(e);
        return status;
    }
    *out = e;
    return OW_OK;
}

static ow_status engine_check(ow_engine *e, ow_report *report)
{
    return ow_advise(e->garden, &e->measured, report);
}

/* ---- weather --------------------------------------------------------------------------------- */

static int64_t engine_now_s(const ow_engine *e)
{
    if (e->scene != NULL) {
        return e->scene->now_s;
    }
    return e->measured.rows > 0 ? e->measured.row[0].utc_s : INT64_MIN;
}

/* All rows or, when one of them is wrong, none. */
static ow_status add_rows(ow_forcing *to, const ow_weather_row *rows, size_t n)
{
    size_t before = to->rows;
    for (size_t i = 0; i < n; i++) {
        const ow_weather_row *r = &rows[i];
        ow_weather_at at = {.utc_s = r->utc_s,
                            .weather = {.air_c = r->air_c,
                                        .rh_pct = r->rh_pct > 100.0 ? 100.0 : r->rh_pct,
                                        .wind_ms = r->wind_ms,
                                        .cloud_pct = r->cloud_pct,
                                        .solar_wm2 = r->solar_wm2,
                                        .longwave_wm2 = r->longwave_wm2,
                                        .rain_mm = r->rain_mm,
                                        .snow_cm = r->snow_cm,
                                        .ground_c = r->ground_c,
                                        .surface_c = r->surface_c}};
        ow_status status = ow_forcing_add(to, &at, 1);
        if (status != OW_OK) {
            to->rows = before;
            return status;
        }
    }
    return OW_OK;
}

static ow_status engine_weather(ow_engine *e, const ow_weather_row *rows, size_t n)
{
    return add_rows(&e->measured, rows, n);
}

/* Measured rows from the last before now join the forecast to what was: those of hours not reached
 * yet lie ahead too. */
static ow_status engine_forecast(ow_engine *e, const ow_weather_row *rows, size_t n)
{
    ow_forcing_clear(&e->forecast);
    if (n == 0 || e->measured.rows == 0) {
        return OW_OK;
    }
    const ow_weather_at *row = e->measured.row;
    size_t from = e->measured.rows - 1;
    ow_utc_s last_s = row[from].utc_s, now_s = engine_now_s(e);
    while (from > 0 && (row[from].utc_s > now_s || isnan(row[from].weather.air_c))) {
        from--;
    }
    ow_status status = ow_forcing_add(&e->forecast, &row[from], e->measured.rows - from);
    while (n > 0 && rows->utc_s <= last_s) {
        rows++;
        n--;
    }
    return status == OW_OK ? add_rows(&e->forecast, rows, n) : status;
}

/* ---- views ----------------------------------------------------------------------------------- */

static const char *engine_garden_id(const ow_engine *e)
{
    return e->garden->id;
}

static const char *engine_time_zone(const ow_engine *e)
{
    return e->garden->time_zone;
}

static int engine_plant_count(const ow_engine *e)
{
    return e->garden->plant_count;
}

static void view_part(const ow_actor *a, const ow_tolerance *stands, ow_part part,
                      ow_part_view *view)
{
    const ow_harm_watch *w = &a->condition.watch[part];
    ow_limit limit = ow_condition_limit(&a->condition, stands, part);
    double now_c = a->sense.part_c[part];
    *view = (ow_part_view){.name = isnan(now_c) ? NULL : ow_part_name(part),
                           .now_c = now_c,
                           .lowest_c = w->lowest_c,
                           .lowest_s = w->lowest_at,
                           .damaged_c = limit.set ? limit.damaged_c : NAN,
                           .killed_c = limit.set ? limit.killed_c : NAN,
                           .of_air = limit.of_air,
                           .source = limit.set ? limit.source : NULL,
                           .passed_damaged = w->damaged,
                           .passed_killed = w->killed,
                           .passed_damaged_s = w->damaged_at,
                           .passed_killed_s = w->killed_at};
}

static void view_texts(const ow_judged *j, ow_plant_view *view)
{
    view->state = ow_state_word(j->verdict.state);
    view->also = j->also;
    view->reason = j->reason;
    view->action = j->action;
    view->act_by_s = j->verdict.act_by_s == OW_NEVER ? INT64_MIN : j->verdict.act_by_s;
    view->late = j->verdict.late;
    view->risk = j->verdict.risk;
    view->wearing = j->wearing;
}

static void engine_plant(const ow_engine *e, int index, ow_plant_view *view)
{
    const ow_plant *p = &e->garden->plants[index];
    const ow_actor *a = &e->scene->cast->actor[index];
    const ow_inside *root = &a->sense.root;
    const ow_marks *marks = &a->condition.marks;
    *view = (ow_plant_view){.id = p->id,
                            .name = p->name,
                            .taxon = p->taxon,
                            .place = e->garden->places[a->place].id,
                            .in_bed = p->bed.given,
                            .root_mean_c = root->mean_c,
                            .root_coldest_c = root->coldest_c,
                            .root_warmest_c = root->warmest_c,
                            .root_centre_c = root->centre_c,
                            .ice_share = root->ice_share,
                            .least_ice_share = root->least_ice,
                            .frozen_days = ow_drought_frozen_days(&a->condition.drought),
                            .frozen_through_h = a->condition.frozen_through_s / OW_HOUR_S,
                            .foliage_c = a->sense.part_c[OW_FOLIAGE],
                            .buds_c = a->sense.part_c[OW_BUDS],
                            .growing_point_c = a->sense.part_c[OW_GROWING_POINT],
                            .storage_c = a->sense.part_c[OW_STORAGE_ORGAN],
                            .air_c = a->sense.air_c,
                            .ice_half_s = marks->half_s,
                            .ice_nine_tenths_s = marks->nine_tenths_s,
                            .thaw_half_s = marks->thaw_half_s,
                            .thaw_gone_s = marks->thaw_gone_s,
                            .suffers_days = p->tolerance.suffers_days,
                            .may_die_days = p->tolerance.may_die_days};
    for (int part = 0; part < OW_PARTS; part++) {
        view_part(a, &p->tolerance, (ow_part)part, &view->part[part]);
    }
    view->nearest_part = ow_condition_nearest(&a->condition, &p->tolerance, &view->nearest_k);
    view_texts(&e->judged[index], view);
}

static bool engine_bed(const ow_engine *e, int index, double t_c[OW_BED_DEPTHS])
{
    static const double depth_m[OW_BED_DEPTHS] = {0.05, 0.10, 0.20, 0.50, 1.00};
    for (int i = 0; i < OW_BED_DEPTHS; i++) {
        t_c[i] = e->scene != NULL ? ow_cast_bed_c(e->scene->cast, index, depth_m[i]) : NAN;
    }
    return e->garden->plants[index].bed.given;
}

static const ow_output *heater_at(const ow_engine *e, int index, int *output)
{
    for (int i = 0; i < e->garden->output_count; i++) {
        if (e->garden->outputs[i].kind == OW_OUTPUT_HEATER && index-- == 0) {
            *output = i;
            return &e->garden->outputs[i];
        }
    }
    return NULL;
}

static int engine_heater_count(const ow_engine *e)
{
    int n = 0, output;
    while (heater_at(e, n, &output) != NULL) {
        n++;
    }
    return n;
}

static void engine_heater(const ow_engine *e, int index, ow_heater_view *view)
{
    static const double J_PER_KWH = 3.6e6;
    int i = 0;
    const ow_output *o = heater_at(e, index, &i);
    if (o != NULL) {
        *view = (ow_heater_view){.id = o->id,
                                 .place = e->garden->places[o->place.at].id,
                                 .kwh = e->scene->heater_j[i] / J_PER_KWH,
                                 .watts_now = e->scene->heater_w[i],
                                 .watts_max = o->watts};
    }
}

static void engine_sky(const ow_engine *e, int index, ow_sky_view *view)
{
    *view = (ow_sky_view){.assumed = e->assumed_steps > 0,
                          .assumed_share =
                              e->steps > 0 ? (double)e->assumed_steps / (double)e->steps : 0.0};
    for (int p = 0; p < OW_PARTS; p++) {
        const ow_condition *clear = &e->shadow[OW_SHADOW_CLEAR]->cast->actor[index].condition;
        const ow_condition *shut = &e->shadow[OW_SHADOW_SHUT]->cast->actor[index].condition;
        view->coldest_clear_c[p] = clear->watch[p].lowest_c;
        view->coldest_shut_c[p] = shut->watch[p].lowest_c;
    }
}

/* ---- live ------------------------------------------------------------------------------------ */

static uint64_t engine_save_worth(const ow_engine *e)
{
    return e->live->worth;
}

static uint64_t engine_save_at_once(const ow_engine *e)
{
    return e->live->switches->latches;
}

static const char *engine_will_topic(const ow_engine *e)
{
    return e->link.state_topic;
}

static const char *engine_will_payload(const ow_engine *e)
{
    (void)e;
    return "lost";
}

static const ow_link *engine_link(const ow_engine *e)
{
    return &e->link.link;
}

static int engine_off_count(const ow_engine *e)
{
    return e->garden->output_count;
}

static void engine_off(const ow_engine *e, int index, ow_off *off)
{
    const ow_output *o = &e->garden->outputs[index];
    *off = (ow_off){.id = o->id,
                    .topic = o->topic,
                    .payload = ow_switch_off_payload(o),
                    .reported_topic = o->reported.given ? o->reported.topic : NULL,
                    .reported_off = o->reported.given ? o->reported.off : NULL};
}

_Static_assert((int)OW_VIEW_PARTS == (int)OW_PARTS, "the door shows every part");

__attribute__((visibility("default"))) const ow_module *overwinter_module(void);

const ow_module *overwinter_module(void)
{
    static const ow_module module = {
        .version = OW_MODULE_VERSION,
        .open = engine_open,
        .close = engine_close,
        .check = engine_check,
        .weather = engine_weather,
        .forecast = engine_forecast,
        .advance = ow_engine_advance,
        .fit = ow_engine_fit,
        .now_s = engine_now_s,
        .garden_id = engine_garden_id,
        .time_zone = engine_time_zone,
        .plant_count = engine_plant_count,
        .plant = engine_plant,
        .bed = engine_bed,
        .heater_count = engine_heater_count,
        .heater = engine_heater,
        .sky = engine_sky,
        .ahead = ow_view_ahead,
        .jobs = ow_view_jobs,
        .left_off = ow_view_left_off,
        .tile = ow_picture_tile,
        .go_live = ow_live_begin,
        .connected = ow_live_connected,
        .message = ow_live_message,
        .tick = ow_live_tick,
        .busy = ow_live_busy,
        .stop = ow_live_stop,
        .save = ow_live_save,
        .save_worth = engine_save_worth,
        .save_at_once = engine_save_at_once,
        .will_topic = engine_will_topic,
        .will_payload = engine_will_payload,
        .link = engine_link,
        .off_count = engine_off_count,
        .off = engine_off,
    };
    return &module;
}
