/* SPDX-License-Identifier: MIT */
#include "hub/live.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/json_text.h"
#include "garden/probe.h"
#include "garden/snapshot.h"
#include "hub/jobs.h"
#include "hub/keep.h"

static const int STEP_S = 1800;
static const double FORESIGHT_H = 72.0;
static const uint64_t ROW_EVERY_MS = 300000, OUTPUT_EVERY_MS = 1000, BEAT_MOST_MS = 60000;
static const uint64_t TILE_EVERY_MS = 5000;
static const uint64_t THING_AFTER_MS = 2000; /* what the broker has stored has come by then */
static const int64_t JUMP_MS = 60000;
static const double TICK_MS = 1000.0;
static const ow_utc_s JUDGE_EVERY_S = OW_HOUR_S;
static const ow_utc_s GUIDED_S = 3 * OW_HOUR_S; /* verdicts come every hour */
static const ow_utc_s KEEP_ROWS_S = 16 * OW_DAY_S, DOUBT_GUESS_S = OW_DAY_S;

/* ---- helpers --------------------------------------------------------------------------------- */

static ow_instant instant(ow_now now)
{
    return (ow_instant){(double)now.boot_ms / 1000.0, now.utc_ms / 1000};
}

static ow_utc_s utc_s(const ow_live *l)
{
    return l->now.utc_ms / 1000;
}

void ow_live_log(ow_engine *e, ow_level level, const char *format, ...)
{
    char line[600];
    va_list args;
    va_start(args, format);
    vsnprintf(line, sizeof line, format, args);
    va_end(args);
    ow_utf8_mend(line);
    e->host.log(e->host.self, level, line);
    if (level >= OW_LEVEL_WARN && e->live->up) {
        ow_tree_log(e->live->tree, &e->host, level, line);
    }
}

static void report_line(void *self, const char *text)
{
    ow_live_log(self, OW_LEVEL_WARN, "%s", text);
}

/* ---- begin and end --------------------------------------------------------------------------- */

static uint64_t beat_every_ms(double shortest_lease_s)
{
    double lease_ms = shortest_lease_s > 0.0 ? shortest_lease_s * 1000.0 : INFINITY;
    double third_ms = lease_ms / 3.0 - TICK_MS; /* the tick that is due comes late */
    return (uint64_t)fmax(fmin(third_ms, (double)BEAT_MOST_MS), 0.0);
}

void ow_live_free(ow_engine *e)
{
    ow_live *l = e->live;
    if (l == NULL) {
        return;
    }
    ow_switches_free(l->switches);
    ow_lags_free(l->lags);
    ow_board_free(l->board);
    ow_forecast_free(&l->forecast);
    ow_learned_free(&l->learned);
    ow_station_free(l->station);
    ow_tree_free(l->tree);
    free(l->told);
    free(l->past);
    free(l->cloth);
    free(l);
    e->live = NULL;
}

static ow_status build(ow_engine *e, ow_now now)
{
    ow_live *l = e->live;
    const ow_garden *g = e->garden;
    int causes = 2 * g->plant_count + 8 * g->output_count + 2 * g->household_count + 8;
    ow_status status = ow_tree_new(g, &l->tree);
    if (status == OW_OK) {
        status = ow_station_new(g, &l->station);
    }
    if (status == OW_OK) {
        status = ow_board_new(g, &e->local, causes, &l->board);
    }
    if (status == OW_OK) {
        status = ow_switches_new(g, now.boot_ms, e->host.slack_ms, &l->switches);
    }
    if (status == OW_OK) {
        status = ow_lags_new(g, &l->lags);
    }
    if (status == OW_OK) {
        status = ow_learned_init(&l->learned, g);
    }
    l->told = calloc((size_t)g->plant_count, sizeof *l->told);
    l->past = calloc((size_t)g->plant_count, sizeof *l->past);
    l->cloth = calloc((size_t)g->output_count + 1, sizeof *l->cloth);
    ow_forecast_init(&l->forecast, &g->forecast);
    ow_prices_init(&l->prices, &g->tariff.prices);
    bool whole = l->told != NULL && l->past != NULL && l->cloth != NULL;
    return status == OW_OK && !whole ? OW_NO_MEMORY : status;
}

static ow_status set_scene(ow_engine *e, ow_utc_s start_s, double air_c)
{
    ow_status status = ow_scene_new(e->garden, start_s, STEP_S, air_c, &e->scene);
    if (status != OW_OK) {
        return status;
    }
    e->scene->place_bias = e->live->learned.place;
    return ow_engine_foresee(e);
}

/* What each member was told last still stands on the hub after a restart. */
static void show_notices(ow_engine *e)
{
    for (int i = 0; i < e->garden->household_count; i++) {
        ow_delivery shown = ow_board_shown(e->live->board, i);
        ow_show_notice(e, &shown);
    }
}

/* What was learnt holds for every pot of a kind, probe or none. */
static void use_what_was_learnt(ow_engine *e)
{
    for (int i = 0; i < e->garden->plant_count; i++) {
        e->scene->cast->actor[i].side_factor = ow_lags_factor(e->live->lags, i);
    }
}

/* A state that cannot be used is no reason not to start: it is said, and all begins anew. */
static ow_status restore(ow_engine *e, const void *state, size_t size, ow_report *report)
{
    ow_snapshot snapshot;
    if (state == NULL || size == 0) {
        return OW_OK;
    }
    ow_snapshot_fault fault = ow_snapshot_open(state, size, &snapshot);
    if (fault != OW_SNAPSHOT_WHOLE) {
        ow_say(report, "the kept state is left unread: %s", ow_snapshot_fault_text(fault));
        ow_switches_forget(e->live->switches, e->live->now.boot_ms);
        return OW_OK;
    }
    if (!snapshot.has_scene) { /* kept before the first reading */
        ow_keep_read(e, &snapshot, report);
        show_notices(e);
        return OW_OK;
    }
    ow_status status = set_scene(e, snapshot.now_s - snapshot.now_s % STEP_S, snapshot.air_c);
    if (status != OW_OK) {
        return status;
    }
    ow_keep_water(e, &snapshot);
    (void)ow_snapshot_restore(&snapshot, e->scene, report, NULL);
    if (e->scene->now_s > utc_s(e->live)) {
        ow_say(report,
               "the kept state is later than the clock: it goes on from now; see the clock");
        e->scene->now_s = utc_s(e->live) - utc_s(e->live) % STEP_S;
    }
    ow_keep_read(e, &snapshot, report);
    use_what_was_learnt(e);
    for (int i = 0; i < e->garden->plant_count; i++) {
        ow_schedule_stand(e->schedule, i, &e->judged[i].verdict);
    }
    ow_engine_told_already(e);
    show_notices(e);
    return OW_OK;
}

ow_status ow_live_begin(ow_engine *e, ow_now now, const void *state, size_t size, ow_report *report)
{
    e->live = calloc(1, sizeof *e->live);
    if (e->live == NULL) {
        return OW_NO_MEMORY;
    }
    ow_live *l = e->live;
    e->settings.step_s = STEP_S;
    e->settings.foresight_h = FORESIGHT_H;
    e->settings.spread_weather = e->settings.spread_materials = true;
    l->now = now;
    l->judging = l->settling = -1;
    l->tile_due = true;
    l->beat = now.utc_ms / 1000; /* not a number that the broker still holds from before */
    l->guessed_until_s = l->guided_until_s = INT64_MIN;
    l->report = (ow_report){.line = report_line, .self = e};
    l->beat_every_ms = beat_every_ms(e->link.link.shortest_lease_s);
    ow_status status = build(e, now);
    if (status == OW_OK) {
        status = restore(e, state, size, report);
    }
    for (int i = 0; status == OW_OK && i < e->garden->plant_count; i++) {
        ow_show_plant(e, i);
    }
    if (status == OW_OK) {
        ow_show_stop(e);
        ow_show_notices(e);
    } else {
        ow_live_free(e);
    }
    return status;
}

/* ---- clocks ---------------------------------------------------------------------------------- */

static void clock_jumped(ow_engine *e, int64_t by_ms)
{
    ow_live *l = e->live;
    l->jumped = true;
    l->judge_again = true;
    l->guided_until_s = INT64_MIN;
    ow_evening_forget(e);
    ow_station_doubt(l->station);
    ow_live_log(e, OW_LEVEL_WARN, "the clock jumped by %.0f s; outputs wait for fresh readings",
                (double)by_ms / 1000.0);
    if (by_ms < 0) { /* rows from a time that has not been are of no use */
        ow_forcing_clear(&e->measured);
        if (e->scene != NULL && e->scene->now_s > utc_s(l)) {
            e->scene->now_s = utc_s(l) - utc_s(l) % STEP_S;
        }
    }
}

static void watch_clock(ow_engine *e, ow_now now)
{
    ow_live *l = e->live;
    int64_t boot = (int64_t)(now.boot_ms - l->now.boot_ms), wall = now.utc_ms - l->now.utc_ms;
    bool jumped = l->began && (wall - boot > JUMP_MS || wall - boot < -JUMP_MS);
    l->now = now;
    l->began = true;
    if (jumped) {
        clock_jumped(e, wall - boot);
    }
}

static void mind_outputs(ow_engine *e);

/* ---- the connection -------------------------------------------------------------------------- */

/* The index-th topic that is listened to: readings, reports, what is ahead; NULL past the end. */
static const char *listened(const ow_engine *e, int index)
{
    const ow_garden *g = e->garden;
    if (index < g->reading_count) {
        return g->readings[index].topic;
    }
    index -= g->reading_count;
    if (g->forecast.given && index-- == 0) {
        return g->forecast.topic;
    }
    if (g->tariff.prices.given && index-- == 0) {
        return g->tariff.prices.topic;
    }
    return ow_switches_topic(e->live->switches, index);
}

/* As long as the host takes them; the rest at the next tick. */
static void subscribe(ow_engine *e)
{
    const char *topic;
    int *asked = &e->live->asked;
    while ((topic = listened(e, *asked)) != NULL && e->host.subscribe(e->host.self, topic)) {
        (*asked)++;
    }
}

ow_status ow_live_connected(ow_engine *e, ow_now now, bool up)
{
    ow_live *l = e->live;
    l->up = l->up && up; /* before anything is said of the clock */
    watch_clock(e, now);
    l->up = up;
    if (!up) {
        ow_tree_lost(l->tree);
        return OW_OK;
    }
    l->asked = 0;
    l->beat_due_ms = 0; /* a guard may be waiting for it */
    l->thing_due_ms = now.boot_ms + THING_AFTER_MS;
    subscribe(e);
    ow_tree_up(l->tree);
    ow_tree_flush(l->tree, &e->host);
    return OW_OK;
}

ow_status ow_live_message(ow_engine *e, ow_now now, const ow_message *m)
{
    ow_live *l = e->live;
    ow_slot slot;
    watch_clock(e, now);
    if (ow_tree_thing_heard(l->tree, m)) {
        return OW_OK;
    }
    if (ow_tree_commanded(l->tree, m->topic, &slot) == OW_OK) {
        ow_command(e, slot, m);
        if (slot.prop == OW_PROP_STOP) { /* does not wait for the tick */
            mind_outputs(e);
        }
        ow_tree_flush(l->tree, &e->host);
        return OW_OK;
    }
    l->step_due_ms = 0; /* outputs answer at the next tick, whatever their second */
    (void)ow_switches_take(l->switches, m);
    if (e->garden->forecast.given && strcmp(m->topic, e->garden->forecast.topic) == 0) {
        ow_cause cause = ow_forecast_take(&l->forecast, m->payload, m->size, m->retained,
                                          instant(now), &l->report);
        if (cause == OW_CAUSE_NONE) {
            l->judge_again = true;
            ow_learn_forecast(e);
        }
    }
    if (e->garden->tariff.prices.given && strcmp(m->topic, e->garden->tariff.prices.topic) == 0) {
        (void)ow_prices_take(&l->prices, m->payload, m->size, instant(now), &l->report);
    }
    (void)ow_station_take(l->station, m->topic, m->payload, m->size, m->retained, instant(now),
                          &l->report);
    return OW_OK;
}

/* ---- weather and the model ------------------------------------------------------------------- */

static bool model_is_behind(const ow_engine *e)
{
    return e->scene != NULL && e->scene->now_s + STEP_S <= utc_s(e->live);
}

/* A step wants a row at its end too: rain is known only up to the last row. */
static bool step_wants_row(const ow_engine *e)
{
    const ow_forcing *f = &e->measured;
    return model_is_behind(e) &&
           (f->rows == 0 || f->row[f->rows - 1].utc_s < e->scene->now_s + STEP_S);
}

bool ow_live_has_judged(const ow_engine *e)
{
    return e->judged[e->garden->plant_count - 1].reason[0] != '\0';
}

static ow_status take_row(ow_engine *e)
{
    ow_live *l = e->live;
    ow_weather_at row;
    bool contradictory = false;
    if (l->now.boot_ms < l->row_due_ms && !step_wants_row(e)) {
        return OW_OK;
    }
    if (!ow_station_row(l->station, instant(l->now), &row, &contradictory)) {
        return OW_OK; /* looked for again at the next tick, so that a first reading counts at once
                       */
    }
    ow_belief_mind(e, contradictory, row.weather.air_c);
    l->row_due_ms = l->now.boot_ms + ROW_EVERY_MS;
    size_t rows = e->measured.rows;
    if (rows > 0 && e->measured.row[rows - 1].utc_s >= row.utc_s) {
        return OW_OK;
    }
    ow_status status = ow_forcing_add(&e->measured, &row, 1);
    if (status == OW_OK && e->scene == NULL) {
        /* One reading in frost tells nothing of ice: all begins thawed and freezes from then on. */
        double start_c = fmax(row.weather.air_c, 0.0);
        status = set_scene(e, row.utc_s - row.utc_s % STEP_S, start_c);
        l->judge_again = true;
    }
    /* A first reading does not wait for the model's step, but for a forecast that is to come. */
    l->judge_again |= !ow_live_has_judged(e) && !e->garden->forecast.given;
    return status;
}

/* What a probe teaches of its pot's side; a reading counts only in the present: through a gap that
 * is caught up with it is not of the hour. */
static ow_status learn_side(ow_engine *e, int plant, double measured_c)
{
    ow_live *l = e->live;
    double before = ow_lags_factor(l->lags, plant);
    double probe_c = model_is_behind(e) ? NAN : measured_c;
    ow_status status = ow_lags_learn(l->lags, e->scene, plant, probe_c);
    double now = ow_lags_factor(l->lags, plant);
    if (floor(10.0 * now + 0.5) != floor(10.0 * before + 0.5)) {
        ow_live_log(e, OW_LEVEL_INFO,
                    "the probe in %s: sides of its kind (%s) resist heat %.1f times as the garden "
                    "file has it",
                    e->garden->plants[plant].id, ow_lags_kind(l->lags, plant), now);
    }
    return status;
}

static bool has_probe(const ow_garden *g, int plant)
{
    for (int i = 0; i < g->reading_count; i++) {
        if (g->readings[i].measures == OW_MEASURES_ROOT_BALL && g->readings[i].plant.at == plant) {
            return true;
        }
    }
    return false;
}

static ow_status learn_by_probes(ow_engine *e)
{
    double boot_s = (double)e->live->now.boot_ms / 1000.0;
    ow_status status = OW_OK;
    for (int i = 0; status == OW_OK && i < e->garden->plant_count; i++) {
        ow_observed o = {.value = NAN};
        if (has_probe(e->garden, i)) {
            o = ow_station_measured(e->live->station, OW_MEASURES_ROOT_BALL, i, boot_s);
            bool fresh = o.quality == OW_QUALITY_MEASURED;
            status = learn_side(e, i, fresh ? o.value : (double)NAN);
        }
    }
    use_what_was_learnt(e);
    return status;
}

static void pull_by_probes(ow_engine *e)
{
    double boot_s = (double)e->live->now.boot_ms / 1000.0;
    for (int i = 0; i < e->garden->plant_count; i++) {
        for (int trunk = 0; trunk <= 1; trunk++) {
            ow_measures what = trunk ? OW_MEASURES_TRUNK : OW_MEASURES_ROOT_BALL;
            ow_observed o = ow_station_measured(e->live->station, what, i, boot_s);
            const ow_law *law = ow_cast_law(e->scene->cast, i, trunk);
            if (o.quality == OW_QUALITY_MEASURED && law != NULL) {
                double model_c = ow_cast_probe_c(e->scene->cast, i, trunk);
                ow_cast_warm(e->scene->cast, i, trunk,
                             ow_probe_heat_j_m3(law, model_c, o.value, STEP_S));
            }
        }
    }
}

/* Verdicts are due every hour, as in a rehearsal, and after a gap. */
static void caught_up(ow_engine *e)
{
    ow_live *l = e->live;
    l->judge_again |= e->scene->now_s - e->outlook->start_s >= JUDGE_EVERY_S;
    l->tile_due = true;
    l->worth++;
    for (int i = 0; !l->judge_again && i < e->garden->plant_count; i++) {
        ow_show_plant(e, i); /* else shown with its verdict */
    }
}

/* A day that is held to come again is a guess too. */
static void count_guesses(ow_engine *e, const ow_bridge *step)
{
    ow_live *l = e->live;
    bool repeated = l->ahead_from == OW_AHEAD_PERSISTED;
    double guessed_s = step->guessed_s + (repeated ? step->foreseen_s : 0.0);
    l->guessed_s = guessed_s > 0.0 ? l->guessed_s + guessed_s : 0.0;
    if (l->guessed_s > OW_GUESSED_MOST_S) {
        l->guessed_until_s = e->scene->now_s + DOUBT_GUESS_S;
    }
}

static void note_past(ow_engine *e)
{
    for (int i = 0; i < e->garden->plant_count; i++) {
        ow_track_note(&e->live->past[i], &e->scene->cast->actor[i], &e->garden->plants[i].tolerance,
                      e->scene->now_s, true);
    }
}

/* The guide at a time, which pays or not by what is dear then; NULL: it is not to be followed. */
static const ow_guide *guide_at(ow_engine *e, ow_utc_s at_s)
{
    const ow_prices *prices = &e->live->prices;
    double boot_s = (double)e->live->now.boot_ms / 1000.0;
    ow_utc_s dear_s = at_s + OW_GUIDE_CHEAP_S;
    if (e->guide == NULL || utc_s(e->live) >= e->live->guided_until_s) {
        return NULL;
    }
    e->guide->cheap =
        ow_guide_pays(ow_prices_least(prices, boot_s, at_s, at_s + 1),
                      ow_prices_least(prices, boot_s, dear_s, dear_s + OW_GUIDE_DEAR_S));
    return e->guide;
}

static ow_status step_model(ow_engine *e)
{
    ow_live *l = e->live;
    ow_bridge step = {0};
    ow_learn_own_air(e);
    ow_guide_heaters(guide_at(e, e->scene->now_s), true, e->scene);
    ow_status status =
        ow_scene_bridge(e->scene, &e->measured, &e->forecast, e->scene->now_s + STEP_S, &step);
    if (status == OW_BAD_INPUT) { /* away for longer than any heat lasts */
        e->scene->now_s = utc_s(l) - utc_s(l) % STEP_S;
        step.guessed_s = INFINITY;
        status = OW_OK;
    }
    if (status == OW_OK) {
        count_guesses(e, &step);
        status = learn_by_probes(e);
        pull_by_probes(e);
        ow_learn_step(e);
        ow_engine_tell_step(e);
        note_past(e);
        ow_forcing_forget(&e->measured, e->scene->now_s - KEEP_ROWS_S);
        if (!model_is_behind(e)) {
            caught_up(e);
        }
    }
    return status;
}

/* ---- verdicts in portions -------------------------------------------------------------------- */

static ow_status know_ahead(ow_engine *e)
{
    ow_live *l = e->live;
    static const size_t room = OW_FORECAST_ROWS;
    ow_weather_at *rows = calloc(room, sizeof *rows);
    if (rows == NULL) {
        return OW_NO_MEMORY;
    }
    ow_known known = {.site = &e->garden->site,
                      .forecast = &l->forecast,
                      .measured = &e->measured,
                      .nights = &l->learned.nights,
                      .hindsight = &l->learned.hindsight};
    ow_view view = ow_look_ahead(&known, instant(l->now), (int)FORESIGHT_H, rows, room);
    size_t n = view.rows;
    l->ahead_from = view.from;
    l->known_until_s = view.known > 0 ? rows[view.known - 1].utc_s : utc_s(l);
    ow_forecast_skill_use(&l->learned.hindsight.skill, rows, view.known, utc_s(l));
    ow_forcing_clear(&e->forecast);
    ow_status status = OW_OK;
    if (n > 0 && e->measured.rows > 0 &&
        e->measured.row[e->measured.rows - 1].utc_s < rows[0].utc_s) {
        status = ow_forcing_add(&e->forecast, &e->measured.row[e->measured.rows - 1], 1);
    }
    if (status == OW_OK && n > 0) {
        status = ow_forcing_add(&e->forecast, rows, n);
    }
    free(rows);
    return status;
}

static ow_status begin_judging(ow_engine *e)
{
    ow_live *l = e->live;
    ow_status status = know_ahead(e);
    if (status == OW_OK) {
        ow_guide_begin(e->guide, e->scene, &e->forecast);
    }
    l->judge_again = false;
    l->guiding = status == OW_OK;
    return status;
}

static bool weather_doubtful(const ow_engine *e)
{
    const ow_live *l = e->live;
    ow_observed air = ow_station_measured(l->station, OW_MEASURES_AIR, OW_AT_SITE,
                                          (double)l->now.boot_ms / 1000.0);
    return utc_s(l) < l->guessed_until_s || air.contradictory;
}

/* Heaters and the model keep what was found, unless it rests on guesses. */
static ow_status end_guiding(ow_engine *e)
{
    ow_live *l = e->live;
    bool sound = l->ahead_from != OW_AHEAD_NONE && !weather_doubtful(e);
    l->guiding = false;
    l->looking = true;
    l->guided_until_s = sound ? utc_s(l) + GUIDED_S : INT64_MIN;
    if (sound) {
        e->guide->cheap = false; /* for what looks ahead from here: it lasts an hour at most */
    }
    ow_guide_heaters(sound ? e->guide : NULL, false, e->scene);
    return ow_outlook_begin(e->outlook, e->scene, &e->forecast, FORESIGHT_H);
}

/* What may hold a heater back for a while only. */
static const ow_blocks PASSING = OW_BLOCK(OW_BLOCK_CIRCUIT) | OW_BLOCK(OW_BLOCK_TOO_WARM) |
                                 OW_BLOCK(OW_BLOCK_LONGEST) | OW_BLOCK(OW_BLOCK_REST) |
                                 OW_BLOCK(OW_BLOCK_SHORTEST_OFF) | OW_BLOCK(OW_BLOCK_STARTED) |
                                 OW_BLOCK(OW_BLOCK_RELOADED);

/* More heat is planned with only where it will come: the weather ahead is vouched for and no
 * interlock keeps a heater of the house off. */
static void count_on_heaters(ow_engine *e)
{
    const ow_live *l = e->live;
    for (int p = 0; p < e->garden->place_count; p++) {
        e->schedule->may_warm[p] = utc_s(l) < l->guided_until_s;
    }
    for (int i = 0; i < l->switches->count; i++) {
        const ow_switch *w = &l->switches->item[i];
        if (w->output->kind == OW_OUTPUT_HEATER && (w->blocked & ~PASSING) != 0) {
            e->schedule->may_warm[w->output->place.at] = false;
        }
    }
}

static ow_status begin_plant(ow_engine *e, int plant)
{
    ow_live *l = e->live;
    ow_observed air = ow_station_measured(l->station, OW_MEASURES_AIR, OW_AT_SITE,
                                          (double)l->now.boot_ms / 1000.0);
    l->judging = plant;
    return ow_inquiry_begin(&e->inquiry, &e->schedule->survey[plant], e->outlook, e->scene, plant,
                            &e->judged[plant].verdict,
                            weather_doubtful(e) ? INFINITY : air.age_s);
}

void ow_live_judge_anew(ow_engine *e, int plant)
{
    ow_live *l = e->live;
    l->judging = l->settling = -1;
    l->guiding = l->looking = l->giving = false;
    l->judge_again = true;
    ow_engine_judge_anew(e, plant);
}

static void notify(ow_engine *e, int plant)
{
    ow_live *l = e->live;
    ow_notice notice;
    const ow_judged *j = &e->judged[plant];
    bool waits = j->verdict.state == OW_STATE_WAIT_AND_SEE; /* quiet until there is to look */
    bool asks =
        !(waits && !j->look_due) &&
        ow_notice_of_verdict(e->garden, plant, &j->verdict, (ow_spoken){j->action, j->action_code},
                             (ow_spoken){j->reason, j->reason_code}, &e->local, &notice);
    (void)!ow_board_settle(l->board, e->garden->plants[plant].id, asks ? &notice : NULL, utc_s(l));
    bool person = asks && j->verdict.state <= OW_STATE_COVER_SOON;
    (void)!ow_tree_alert(l->tree, e->garden->plants[plant].id, person ? j->reason : NULL);
}

/* Without a question it is over at once: the next one's turn. */
static ow_status begin_giving(ow_engine *e, int plant)
{
    const ow_schedule *s = e->schedule;
    ow_status status = OW_OK;
    e->live->giving = true;
    e->inquiry.asking = false;
    for (; status == OW_OK && !e->inquiry.asking && plant < e->garden->plant_count; plant++) {
        e->live->judging = plant;
        status = ow_inquiry_give(&e->inquiry, &s->survey[plant], e->outlook, e->scene, plant,
                                 s->cover_short, s->room_short);
    }
    return status;
}

static ow_status end_plant(ow_engine *e)
{
    ow_live *l = e->live;
    if (!l->giving && l->judging + 1 < e->garden->plant_count) {
        return begin_plant(e, l->judging + 1);
    }
    if (!l->giving) {
        ow_engine_find_short(e);
        count_on_heaters(e);
        ow_status status = begin_giving(e, 0);
        if (status != OW_OK || e->inquiry.asking) {
            return status;
        }
    } else if (l->judging + 1 < e->garden->plant_count) {
        ow_status status = begin_giving(e, l->judging + 1);
        if (status != OW_OK || e->inquiry.asking) {
            return status;
        }
    }
    l->giving = false;
    l->judging = -1;
    l->settling = 0;
    return ow_engine_plan(e);
}

/* What the whole garden is asked once in a season. */
static void notify_garden(ow_engine *e)
{
    ow_live *l = e->live;
    ow_job job;
    if (!ow_job_of_garden(e, &job)) {
        ow_board_clear(l->board, "garden-drain", utc_s(l));
        return;
    }
    ow_notice notice = {.id = "garden-drain", .subject = "garden", .urgency = OW_HEARS_JOBS,
                        .act_by_s = job.by_s, .cleared_s = OW_NEVER};
    ow_speech to = ow_notice_speech(&notice, &e->local);
    OW_SPEAK(&to, OW_SAY_ASK_BY, ow_blank_word("thing", "garden", "garden"),
             ow_blank_spoken((ow_spoken){job.what, job.code}), ow_blank_at(job.by_s));
    (void)!ow_board_raise(l->board, &notice, utc_s(l));
}

static void settle_plant(ow_engine *e)
{
    ow_live *l = e->live;
    ow_engine_settle(e, l->settling, !e->judged[l->settling].told);
    e->judged[l->settling].told = true;
    notify(e, l->settling);
    ow_show_plant(e, l->settling);
    if (++l->settling == e->garden->plant_count) {
        l->settling = -1;
        l->worth++;
        ow_engine_note_winter(e);
        notify_garden(e);
        ow_show_garden(e);
        l->tile_due = true;
    }
}

static int portion(int actors)
{
    int steps = OW_PORTION / (actors + 4);
    return steps > 0 ? steps : 1;
}

static ow_status look_or_ask(ow_engine *e)
{
    ow_live *l = e->live;
    ow_inquiry *q = &e->inquiry;
    if (l->guiding) {
        bool found = ow_guide_some(e->guide, &e->forecast, portion(e->garden->plant_count));
        return found ? end_guiding(e) : OW_OK;
    }
    if (l->looking) {
        if (!ow_outlook_some(e->outlook, &e->forecast, portion(e->garden->plant_count))) {
            return OW_OK;
        }
        ow_spread spread = ow_engine_spread(e);
        spread.skill = &l->learned.hindsight.skill;
        ow_evening_look(e);
        l->looking = false;
        l->weighing = true;
        return ow_ensemble_begin(e->ensemble, e->scene, &e->forecast, FORESIGHT_H, spread);
    }
    if (l->weighing) {
        if (!ow_ensemble_some(e->ensemble, &e->forecast, portion(OW_MEMBERS))) {
            return OW_OK;
        }
        l->weighing = false;
        return begin_plant(e, 0);
    }
    if (l->settling >= 0) {
        settle_plant(e);
        return OW_OK;
    }
    if (q->asking) {
        bool answered = ow_question_some(&q->question, e->outlook, portion(q->question.n));
        return answered ? ow_inquiry_answer(q) : OW_OK;
    }
    return end_plant(e);
}

static bool is_judging(const ow_live *l)
{
    return l->guiding || l->looking || l->weighing || l->judging >= 0 || l->settling >= 0;
}

static ow_status mind_model(ow_engine *e)
{
    ow_live *l = e->live;
    if (e->scene == NULL) {
        return OW_OK;
    }
    if (is_judging(l)) {
        return look_or_ask(e);
    }
    if (model_is_behind(e)) {
        return step_model(e);
    }
    return l->judge_again ? begin_judging(e) : OW_OK;
}

bool ow_live_busy(const ow_engine *e)
{
    return e->live != NULL && e->scene != NULL &&
           (is_judging(e->live) || model_is_behind(e) || e->live->judge_again);
}

/* ---- outputs --------------------------------------------------------------------------------- */

/* All that a person is to be told of an output, most serious first; whole sentences only. */
static void say_blocks(const ow_switch *w, ow_speech *to)
{
    enum { BLOCK_TEXT = 260 }; /* more than any of them takes */
    ow_blank name = ow_blank_name(w->output->name);
    ow_blocks told = w->alarms.told;
    for (bool first = true; told != 0 && to->room - strlen(to->text) > BLOCK_TEXT; first = false) {
        ow_interlock next = ow_blocks_first(told);
        ow_blank text = ow_blank_spoken(ow_block_text(next));
        if (first) {
            OW_SPEAK(to, OW_SAY_BLOCKED, name, text);
        } else {
            OW_SPEAK(to, OW_SAY_ALSO_BLOCKED, text);
        }
        OW_SPEAK(to, OW_SAY_WHAT_TO_DO, ow_blank_spoken(ow_block_clears(next)));
        told &= ~OW_BLOCK(next);
    }
}

/* What an output was told, and what latched it, for the season log. */
static void tell_switching(ow_engine *e, ow_switch *w)
{
    const char *id = w->output->id;
    ow_blocks latched = ow_switch_latched(w), fresh = latched & ~w->told_latched;
    if (w->sent != NULL && (w->told == NULL || strcmp(w->sent, w->told) != 0)) {
        e->host.event(e->host.self, utc_s(e->live), id, "switched", w->sent);
    }
    if (fresh != 0) {
        e->host.event(e->host.self, utc_s(e->live), id, "latched",
                      ow_interlock_about(ow_blocks_first(fresh))->text);
    }
    w->told = w->sent;
    w->told_latched = latched;
}

/* An interlock that needs a person, as alert and urgent notice; gone when it no longer holds. */
static void tell_blocks(ow_engine *e, int output)
{
    ow_live *l = e->live;
    const ow_switch *w = &l->switches->item[output];
    const char *id = w->output->id;
    ow_notice notice = {.urgency = OW_HEARS_URGENT, .act_by_s = OW_NEVER, .cleared_s = OW_NEVER};
    if (w->alarms.told == 0) {
        (void)!ow_board_settle(l->board, id, NULL, utc_s(l));
        (void)!ow_tree_alert(l->tree, id, NULL);
        return;
    }
    const ow_interlock_row *row = ow_interlock_about(ow_blocks_first(w->alarms.told));
    snprintf(notice.id, sizeof notice.id, "%s-%s", id, row->word);
    snprintf(notice.subject, sizeof notice.subject, "%s", id);
    ow_speech to = ow_notice_speech(&notice, &e->local);
    say_blocks(w, &to);
    ow_utf8_mend(notice.text);
    (void)!ow_board_settle(l->board, id, &notice, utc_s(l));
    (void)!ow_tree_alert(l->tree, id, notice.text);
}

static void mind_outputs(ow_engine *e)
{
    ow_live *l = e->live;
    if (l->now.boot_ms < l->step_due_ms || l->switches->count == 0) {
        return;
    }
    l->step_due_ms = l->now.boot_ms + OUTPUT_EVERY_MS;
    double lowest_c = ow_evening_lowest_c(e);
    const ow_guide *guide = guide_at(e, utc_s(l));
    ow_evening_wish(e, lowest_c, guide != NULL);
    ow_switch_moment moment = {.hosting = {.promises_off = e->host.can_switch_off,
                                           .connected = l->up,
                                           .clock_jumped = l->jumped,
                                           .reloaded = l->reloaded},
                               .now = l->now,
                               .station = l->station,
                               .scene = e->scene,
                               .guide = guide,
                               .lowest_ahead_c = lowest_c,
                               .cloth = l->cloth};
    uint64_t before = l->switches->worth;
    ow_switches_step(l->switches, &moment, &e->host, l->tree);
    bool news = l->switches->worth != before;
    l->worth += news;
    l->tile_due |= news;
    l->jumped = l->reloaded = false;
    for (int i = 0; i < l->switches->count; i++) {
        tell_switching(e, &l->switches->item[i]);
        tell_blocks(e, i);
    }
    ow_evening_warn(e, guide != NULL && !l->guiding); /* half a look says too little */
    ow_show_stop(e);
}

/* ---- notices and the beat -------------------------------------------------------------------- */

/* For the season log: who was told what. */
static void tell_notice(const ow_engine *e, const ow_delivery *d)
{
    char subject[OW_NOTICE_ID];
    if (d->news && !d->empty) {
        snprintf(subject, sizeof subject, OW_NOTICE_MEMBER "%s",
                 e->garden->household[d->member].id);
        e->host.event(e->host.self, utc_s(e->live), subject, "notice", d->notice->text);
    }
}

static void mind_notices(ow_engine *e)
{
    ow_delivery delivery;
    ow_mind_sheets(e);
    if (ow_board_changed(e->live->board)) {
        ow_show_notices(e);
    }
    while (e->live->up && ow_board_take(e->live->board, utc_s(e->live), &delivery, 1) == 1) {
        ow_show_notice(e, &delivery);
        tell_notice(e, &delivery);
        ow_tree_flush(e->live->tree, &e->host); /* each one is to be heard, not only the last */
    }
}

static void mind_beat(ow_engine *e)
{
    ow_live *l = e->live;
    char number[32];
    if (l->now.boot_ms < l->beat_due_ms) {
        return;
    }
    l->beat_due_ms = l->now.boot_ms + l->beat_every_ms;
    snprintf(number, sizeof number, "%lld", (long long)++l->beat);
    (void)!ow_tree_put(l->tree, (ow_slot){OW_NODE_GARDEN, 0, OW_PROP_BEAT}, number);
}

/* On change only, and not more often than anybody looks. */
static void mind_tile(ow_engine *e)
{
    ow_live *l = e->live;
    if (l->tile_due && l->now.boot_ms >= l->tile_free_ms) {
        l->tile_due = false;
        l->tile_free_ms = l->now.boot_ms + TILE_EVERY_MS;
        ow_show_tile(e);
    }
}

ow_status ow_live_tick(ow_engine *e, ow_now now)
{
    watch_clock(e, now);
    mind_outputs(e); /* first: nothing slow stands before it */
    ow_status status = take_row(e);
    if (status == OW_OK) {
        status = mind_model(e);
    }
    mind_notices(e);
    mind_tile(e);
    mind_beat(e);
    if (e->live->up) {
        subscribe(e);
        ow_tree_flush(e->live->tree, &e->host);
        if (now.boot_ms >= e->live->thing_due_ms) {
            ow_tree_thing_say(e->live->tree, &e->host);
        }
    }
    return status;
}

ow_status ow_live_stop(ow_engine *e, ow_now now)
{
    ow_live *l = e->live;
    l->now = now;
    if (l->up) {
        ow_switches_all_off(l->switches, &e->host);
        ow_tree_down(l->tree, &e->host);
    }
    l->up = false;
    l->worth++;
    return OW_OK;
}

ow_status ow_live_save(const ow_engine *e, void **bytes, size_t *size)
{
    return ow_keep_write(e, bytes, size);
}
