/* SPDX-License-Identifier: MIT */
#include "hub/switches.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "hub/belief.h"
#include "outputs/set_point.h"
#include "outputs/span.h"

static const double AIR_STALE_DEFAULT_MIN = 30.0;

/* A wet cloth in air below this may be frozen fast. */
static const double FROZEN_BELOW_C = 0.5;

/* ---- specs ----------------------------------------------------------------------------------- */

/* Of the readings of a quantity at a place, the soonest that goes stale. */
static double stale_min(const ow_garden *g, ow_measures measures, int place)
{
    double least = INFINITY;
    for (int i = 0; i < g->reading_count; i++) {
        const ow_reading *r = &g->readings[i];
        if (r->measures == measures && (place < 0 || r->place.at == place)) {
            least = fmin(least, r->stale_after_min);
        }
    }
    return isinf(least) ? AIR_STALE_DEFAULT_MIN : least;
}

static ow_heater_spec heater_spec(const ow_garden *g, const ow_output *o, uint32_t slack_ms)
{
    double power_stale =
        o->power.at >= 0 ? g->readings[o->power.at].stale_after_min : AIR_STALE_DEFAULT_MIN;
    return (ow_heater_spec){.cautions_read = o->cautions_read,
                            .reports = o->reported.given,
                            .measures_power = o->power.at >= 0,
                            .has_doors = o->blocked_while_open.count > 0,
                            .on_circuit = o->circuit.at >= 0,
                            .watts = (uint32_t)o->watts,
                            .keep_mc = ow_milli_of(o->keep_air_above_c),
                            .too_warm_mc = ow_milli_of(o->too_warm_c),
                            .lease_ms = ow_span_of_s(o->lease_s),
                            .off_by_itself_ms = ow_span_of_s(o->off_by_itself_s),
                            .longest_run_ms = ow_span_of_min(o->longest_run_min),
                            .least_rest_ms = ow_span_of_min(o->least_rest_min),
                            .shortest_on_ms = ow_span_of_min(o->shortest_on_min),
                            .shortest_off_ms = ow_span_of_min(o->shortest_off_min),
                            .air_stale_ms =
                                ow_span_of_min(stale_min(g, OW_MEASURES_AIR, o->place.at)),
                            .power_stale_ms = ow_span_of_min(power_stale),
                            .grace_ms = OW_GRACE_MS + slack_ms,
                            .slack_ms = slack_ms};
}

static ow_drive_spec drive_spec(const ow_garden *g, const ow_output *o, uint32_t slack_ms)
{
    return (ow_drive_spec){.cautions_read = o->cautions_read,
                           .has_closed_end = o->closed_end.at >= 0,
                           .has_open_end = o->open_end.at >= 0,
                           .lease_ms = ow_span_of_s(o->lease_s),
                           .off_by_itself_ms = ow_span_of_s(o->off_by_itself_s),
                           .travel_ms = ow_span_of_s(o->travel_s),
                           .dead_ms = ow_span_of_s(o->dead_s),
                           .wind_max_milli = ow_milli_of(o->wind_max_ms),
                           .wind_stale_ms = ow_span_of_min(stale_min(g, OW_MEASURES_WIND, -1)),
                           .starts_per_h = (uint32_t)o->starts_per_h,
                           .slack_ms = slack_ms};
}

ow_status ow_switches_new(const ow_garden *garden, uint64_t boot_ms, uint32_t slack_ms,
                          ow_switches **out)
{
    ow_switches *s = calloc(1, sizeof *s);
    if (s == NULL) {
        return OW_NO_MEMORY;
    }
    s->garden = garden;
    s->last_ms = (uint32_t)boot_ms;
    s->count = garden->output_count;
    s->item = calloc((size_t)s->count + 1, sizeof *s->item);
    if (s->item == NULL) {
        free(s);
        return OW_NO_MEMORY;
    }
    for (int i = 0; i < s->count; i++) {
        ow_switch *w = &s->item[i];
        w->output = &garden->outputs[i];
        w->came_on_c = w->warmest_c = NAN;
        if (w->output->kind == OW_OUTPUT_HEATER) {
            w->heater_spec = heater_spec(garden, w->output, slack_ms);
            w->heater = ow_heater_started(&w->heater_spec, (uint32_t)boot_ms);
        } else {
            w->drive_spec = drive_spec(garden, w->output, slack_ms);
            w->drive = ow_drive_started(&w->drive_spec, (uint32_t)boot_ms);
        }
    }
    *out = s;
    return OW_OK;
}

void ow_switches_free(ow_switches *s)
{
    if (s != NULL) {
        free(s->item);
        free(s);
    }
}

/* ---- what devices report --------------------------------------------------------------------- */

const char *ow_switches_topic(const ow_switches *s, int index)
{
    for (int i = 0; i < s->count; i++) {
        if (s->item[i].output->reported.given && index-- == 0) {
            return s->item[i].output->reported.topic;
        }
    }
    return NULL;
}

static bool says(const ow_message *m, const char *word)
{
    return m->size == strlen(word) && memcmp(m->payload, word, m->size) == 0;
}

bool ow_switches_take(ow_switches *s, const ow_message *m)
{
    bool heard = false;
    for (int i = 0; i < s->count; i++) {
        ow_switch *w = &s->item[i];
        if (!w->output->reported.given || strcmp(w->output->reported.topic, m->topic) != 0) {
            continue;
        }
        heard = true;
        /* A stored report counts: a plug that reports only changes would else never be heard. */
        w->reported = says(m, w->output->reported.on)    ? OW_SAID_ON
                      : says(m, w->output->reported.off) ? OW_SAID_OFF
                                                         : OW_SAID_NOTHING;
    }
    return heard;
}

/* ---- inputs ---------------------------------------------------------------------------------- */

static uint32_t age_ms(const ow_observed *o)
{
    return o->may_arm && o->age_s < 4e6 ? (uint32_t)(o->age_s * 1000.0) : OW_AGE_UNKNOWN;
}

static ow_sensed sensed(const ow_observed *o)
{
    ow_sensed s = ow_sensed_of(o->value, age_ms(o));
    s.contradicted = o->contradictory;
    if (o->contradictory) { /* its age is known although nothing may be armed by it */
        s.age_ms = o->age_s < 4e6 ? (uint32_t)(o->age_s * 1000.0) : OW_AGE_UNKNOWN;
    }
    return s;
}

static ow_contact contact(const ow_station *station, int reading, double boot_s)
{
    ow_observed o = ow_station_reading(station, reading, boot_s);
    if (o.quality != OW_QUALITY_MEASURED || isnan(o.value)) {
        return OW_CONTACT_UNKNOWN;
    }
    return o.value >= OW_IS_OPEN ? OW_CONTACT_OPEN : OW_CONTACT_SHUT;
}

static ow_contact doors(const ow_switch *w, const ow_switch_moment *m)
{
    ow_contact worst = OW_CONTACT_SHUT;
    for (int i = 0; i < w->output->blocked_while_open.count; i++) {
        int reading = w->output->blocked_while_open.item[i].at;
        worst =
            ow_contact_worse(worst, contact(m->station, reading, (double)m->now.boot_ms / 1000.0));
    }
    return worst;
}

/* Remembers the air when the heater came on, and the warmest since. */
static void follow_air(ow_switch *w, double air_c)
{
    if (w->heater.state != OW_HEATER_ON) {
        w->came_on_c = w->warmest_c = air_c;
    } else {
        w->came_on_c = isnan(w->came_on_c) ? air_c : w->came_on_c;
        w->warmest_c = fmax(w->warmest_c, air_c);
    }
}

/* What was found ahead is asked for only while the air of the house is known. */
static int32_t set_point_mc(const ow_switch *w, const ow_switch_moment *m, const ow_observed *air)
{
    const ow_output *o = w->output;
    bool guided = m->guide != NULL && air->quality == OW_QUALITY_MEASURED && !air->contradictory;
    double wanted_c = guided ? ow_guide_set_c(m->guide, o) : (double)NAN;
    return ow_heater_set_mc((ow_set_point){.keep_mc = ow_milli_of(o->keep_air_above_c),
                                           .set_back_mc = ow_milli_of(o->set_back_c),
                                           .too_warm_mc = ow_milli_of(o->too_warm_c),
                                           .wanted_mc = ow_milli_of(wanted_c)});
}

static ow_heater_inputs heater_inputs(ow_switch *w, const ow_switch_moment *m)
{
    double boot_s = (double)m->now.boot_ms / 1000.0;
    ow_observed air = ow_station_measured(m->station, OW_MEASURES_AIR, w->output->place.at, boot_s);
    w->heater_spec.keep_mc = set_point_mc(w, m, &air);
    ow_heater_inputs in = {
        .hosting = m->hosting, .air = sensed(&air), .doors = doors(w, m), .reported = w->reported};
    if (w->output->power.at >= 0) {
        ow_observed power = ow_station_reading(m->station, w->output->power.at, boot_s);
        in.power = sensed(&power);
    }
    if (m->scene != NULL && air.quality == OW_QUALITY_MEASURED) {
        ow_observed outside =
            ow_station_measured(m->station, OW_MEASURES_AIR, OW_AT_SITE, boot_s);
        follow_air(w, air.value);
        in.air_fits = ow_belief_air(m->scene, w->output->place.at, air.value, &outside);
        in.warms = ow_belief_warmth(m->scene, w->output, w->came_on_c, w->warmest_c, air.value);
    }
    return in;
}

/* The cloth is as wet as fleece would be in the same weather; wet and near freezing it is frozen.
 * Under the sky it is dry only where something says that it does not rain. */
static ow_cloth cloth_of(const ow_switch *w, const ow_switch_moment *m)
{
    if (m->scene == NULL) {
        return OW_CLOTH_UNKNOWN;
    }
    int place = w->output->place.at;
    const ow_spot *spot = &m->scene->spot[place];
    ow_place_kind kind = m->scene->garden->places[place].kind;
    ow_observed fell = ow_station_measured(m->station, OW_MEASURES_RAIN, OW_AT_SITE,
                                           (double)m->now.boot_ms / 1000.0);
    bool told = fell.quality == OW_QUALITY_MEASURED; /* since the model's step */
    bool roofed = kind == OW_PLACE_GLASSHOUSE || kind == OW_PLACE_INDOORS;
    bool rain = spot->rain_mm_h > 0.0 || (told && !roofed && fell.highest > 0.0);
    bool cold = spot->sky.air_c < FROZEN_BELOW_C;
    if (spot->snow_cm > 0.0 || (rain && cold)) {
        return OW_CLOTH_FROZEN;
    }
    if (!rain && !roofed && !told && !spot->rain_known) {
        return OW_CLOTH_UNKNOWN;
    }
    return rain ? OW_CLOTH_WET : OW_CLOTH_DRY;
}

static ow_drive_inputs drive_inputs(const ow_switch *w, const ow_switch_moment *m, bool shut)
{
    double boot_s = (double)m->now.boot_ms / 1000.0;
    ow_observed wind = ow_station_measured(m->station, OW_MEASURES_WIND, OW_AT_SITE, boot_s);
    wind.value = isnan(wind.highest) ? wind.value : wind.highest; /* a gust felt by one counts */
    ow_drive_inputs in = {.hosting = m->hosting,
                          .wind = sensed(&wind),
                          .cloth = cloth_of(w, m),
                          .wish = shut ? OW_WISH_CLOSE : OW_WISH_OPEN};
    if (w->output->closed_end.at >= 0) {
        in.closed_end = contact(m->station, w->output->closed_end.at, boot_s);
    }
    if (w->output->open_end.at >= 0) {
        in.open_end = contact(m->station, w->output->open_end.at, boot_s);
    }
    return in;
}

/* ---- circuits -------------------------------------------------------------------------------- */

static void share_circuit(ow_switches *s, int circuit, ow_heater_inputs *in)
{
    ow_circuit_member member[OW_CIRCUIT_MEMBERS];
    int output[OW_CIRCUIT_MEMBERS], n = 0;
    for (int i = 0; i < s->count && n < OW_CIRCUIT_MEMBERS; i++) {
        const ow_switch *w = &s->item[i];
        if (w->output->kind == OW_OUTPUT_HEATER && w->output->circuit.at == circuit) {
            member[n] = ow_heater_member(&w->heater, &w->heater_spec, in[i].air);
            output[n++] = i;
        }
    }
    ow_circuit_share((uint32_t)s->garden->circuits[circuit].max_watts, member, n);
    for (int k = 0; k < n; k++) {
        in[output[k]].granted = member[k].granted;
    }
}

/* ---- commands -------------------------------------------------------------------------------- */

/* "on {seconds}" with the lease filled in, which is never longer than the word for it. */
static void fill_seconds(const char *pattern, uint32_t seconds, char *text, size_t room)
{
    static const char mark[] = "{seconds}";
    size_t used = 0;
    for (const char *at; (at = strstr(pattern, mark)) != NULL; pattern = at + sizeof mark - 1) {
        used += (size_t)snprintf(text + used, room - used, "%.*s%u", (int)(at - pattern), pattern,
                                 seconds);
    }
    snprintf(text + used, room - used, "%s", pattern);
}

static void send(ow_switches *s, ow_switch *w, const char *payload, const char *word,
                 const ow_host *host)
{
    if (host->publish(host->self, w->output->topic, payload, strlen(payload), false)) {
        s->worth += w->sent == NULL || strcmp(w->sent, word) != 0;
        w->sent = word;
    }
}

const char *ow_switch_off_payload(const ow_output *o)
{
    return o->kind == OW_OUTPUT_HEATER ? o->off : o->stop;
}

static void step_heater(ow_switches *s, ow_switch *w, const ow_heater_inputs *in, uint32_t now_ms,
                        const ow_host *host)
{
    char on[256];
    ow_heater_answer answer = ow_heater_step(&w->heater, &w->heater_spec, in, now_ms);
    w->blocked = answer.blocked;
    w->would = answer.would_switch ? "on" : "off";
    switch (answer.command) {
    case OW_HEATER_SEND_ON:
        fill_seconds(w->output->on, answer.lease_s, on, sizeof on);
        send(s, w, on, "on", host);
        break;
    case OW_HEATER_SEND_OFF:
        send(s, w, w->output->off, "off", host);
        break;
    case OW_HEATER_SEND_NOTHING:
        break;
    }
}

static const char *drive_word(ow_drive_command command)
{
    return command == OW_DRIVE_SEND_CLOSE  ? "close"
           : command == OW_DRIVE_SEND_OPEN ? "open"
                                           : "stop";
}

static void step_drive(ow_switches *s, ow_switch *w, const ow_drive_inputs *in, uint32_t now_ms,
                       const ow_host *host)
{
    char move[256];
    ow_drive_answer answer = ow_drive_step(&w->drive, &w->drive_spec, in, now_ms);
    w->blocked = answer.blocked;
    w->would = drive_word(answer.would_switch);
    switch (answer.command) {
    case OW_DRIVE_SEND_CLOSE:
    case OW_DRIVE_SEND_OPEN:
        fill_seconds(answer.command == OW_DRIVE_SEND_CLOSE ? w->output->close : w->output->open,
                     answer.lease_s, move, sizeof move);
        send(s, w, move, drive_word(answer.command), host);
        break;
    case OW_DRIVE_SEND_STOP:
        send(s, w, w->output->stop, "stop", host);
        break;
    case OW_DRIVE_SEND_NOTHING:
        break;
    }
}

/* ---- alarms ---------------------------------------------------------------------------------- */

/* Where nothing can be read of its air, the cold out of doors says whether it would be needed. */
static bool heater_needed(const ow_switch *w, const ow_switch_moment *m)
{
    const ow_blocks blind = OW_BLOCK(OW_BLOCK_NO_AIR) | OW_BLOCK(OW_BLOCK_CONTRADICTED) |
                            OW_BLOCK(OW_BLOCK_ASTRAY);
    ow_observed outside = ow_station_measured(m->station, OW_MEASURES_AIR, OW_AT_SITE,
                                              (double)m->now.boot_ms / 1000.0);
    double keep_c = w->output->keep_air_above_c;
    bool cold = outside.quality == OW_QUALITY_MEASURED && outside.value < keep_c;
    return w->heater.wanted ||
           ((w->blocked & blind) != 0 && (cold || !(m->lowest_ahead_c > keep_c)));
}

static void mind_alarms(ow_switch *w, const ow_switch_moment *m, bool shut, uint32_t span_ms)
{
    bool heater = w->output->kind == OW_OUTPUT_HEATER;
    bool needed = heater ? heater_needed(w, m) : shut && w->drive.state != OW_DRIVE_CLOSED;
    (void)ow_alarms_step(&w->alarms, heater ? &w->heater.locks : &w->drive.locks, needed, span_ms);
}

/* ---- telling --------------------------------------------------------------------------------- */

static const struct {
    const char *text, *clears;
} block_codes[OW_INTERLOCKS] = {
#define OW_BLOCK_CODES(id, word, guards, leaves, recover_s, tell_s, text, clears)                  \
    [id] = {"[[\"block-" word "\"]]", "[[\"clear-" word "\"]]"},
    OW_INTERLOCK_LIST(OW_BLOCK_CODES)
#undef OW_BLOCK_CODES
};

ow_spoken ow_block_text(ow_interlock i)
{
    return (ow_spoken){ow_interlock_about(i)->text, block_codes[i].text};
}

ow_spoken ow_block_clears(ow_interlock i)
{
    return (ow_spoken){ow_interlock_about(i)->clears, block_codes[i].clears};
}

/* All that hold, most serious first, as a JSON list: their texts, or their words. */
static char *blocks_json(ow_blocks blocked, bool words)
{
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; list != NULL && i < OW_INTERLOCKS; i++) {
        if (blocked & OW_BLOCK(i)) {
            const ow_interlock_row *row = ow_interlock_about((ow_interlock)i);
            cJSON_AddItemToArray(list, cJSON_CreateString(words ? row->word : row->text));
        }
    }
    char *text = list != NULL ? cJSON_PrintUnformatted(list) : NULL;
    cJSON_Delete(list);
    return text;
}

static void put(ow_tree *tree, ow_node_kind kind, int i, ow_prop prop, const char *text)
{
    (void)!ow_tree_put(tree, (ow_slot){kind, i, prop}, text); /* told again at the next change */
}

static void put_blocks(const ow_switch *w, ow_node_kind kind, int i, ow_tree *tree)
{
    for (int words = 0; words < 2; words++) {
        char *blocks = blocks_json(w->blocked, words);
        if (blocks != NULL) {
            put(tree, kind, i, words ? OW_PROP_BLOCKED_CODE : OW_PROP_BLOCKED_BY, blocks);
        }
        cJSON_free(blocks);
    }
}

static void tell(const ow_switch *w, int i, ow_tree *tree)
{
    bool heater = w->output->kind == OW_OUTPUT_HEATER;
    ow_node_kind kind = heater ? OW_NODE_HEATER : OW_NODE_DRIVE;
    char number[32];
    put(tree, kind, i, OW_PROP_COMMAND, w->sent);
    put(tree, kind, i, OW_PROP_WOULD_SWITCH, w->would);
    put_blocks(w, kind, i, tree);
    if (heater) {
        snprintf(number, sizeof number, "%.2f", (double)ow_heater_used_mwh(&w->heater) / 1e6);
        put(tree, kind, i, OW_PROP_ENERGY, number);
        return;
    }
    int closed = ow_drive_closed_pct(&w->drive, &w->drive_spec);
    snprintf(number, sizeof number, "%d", closed);
    put(tree, kind, i, OW_PROP_POSITION, closed < 0 ? NULL : number);
    const char *target = w->sent == NULL                 ? NULL
                         : strcmp(w->sent, "close") == 0 ? "100"
                         : strcmp(w->sent, "open") == 0
                             ? "0"
                             : ow_tree_value(tree, (ow_slot){kind, i, OW_PROP_POSITION});
    (void)!ow_tree_target(tree, i, target);
}

void ow_switches_step(ow_switches *s, const ow_switch_moment *m, const ow_host *host, ow_tree *tree)
{
    ow_heater_inputs in[OW_CIRCUIT_MEMBERS] = {0};
    uint32_t now_ms = (uint32_t)m->now.boot_ms; /* cut to 32 bits on purpose, see outputs/span.h */
    uint32_t span_ms = ow_span_between(s->last_ms, now_ms);
    s->last_ms = now_ms;
    int n = s->count < OW_CIRCUIT_MEMBERS ? s->count : OW_CIRCUIT_MEMBERS;
    for (int i = 0; i < n; i++) {
        if (s->item[i].output->kind == OW_OUTPUT_HEATER) {
            in[i] = heater_inputs(&s->item[i], m);
        }
    }
    for (int c = 0; c < s->garden->circuit_count; c++) {
        share_circuit(s, c, in);
    }
    for (int i = 0; i < n; i++) {
        ow_switch *w = &s->item[i];
        ow_blocks before = w->blocked, latched = ow_switch_latched(w);
        if (w->output->kind == OW_OUTPUT_HEATER) {
            step_heater(s, w, &in[i], now_ms, host);
        } else {
            ow_drive_inputs drive = drive_inputs(w, m, m->cloth[i].shut);
            step_drive(s, w, &drive, now_ms, host);
        }
        s->worth += before != w->blocked;
        s->latches += latched != ow_switch_latched(w);
        mind_alarms(w, m, m->cloth[i].shut, span_ms);
        tell(w, i, tree);
    }
}

/* ---- stop and release ------------------------------------------------------------------------ */

void ow_switches_stop(ow_switches *s)
{
    for (int i = 0; i < s->count; i++) {
        if (s->item[i].output->kind == OW_OUTPUT_HEATER) {
            ow_heater_stop(&s->item[i].heater);
        } else {
            ow_drive_stop(&s->item[i].drive);
        }
    }
    s->worth++;
    s->latches++;
}

ow_blocks ow_switch_latched(const ow_switch *w)
{
    return w->output->kind == OW_OUTPUT_HEATER ? w->heater.locks.latched : w->drive.locks.latched;
}

bool ow_switches_stopped(const ow_switches *s)
{
    ow_blocks latched = 0;
    for (int i = 0; i < s->count; i++) {
        latched |= ow_switch_latched(&s->item[i]);
    }
    return (latched & OW_BLOCK(OW_BLOCK_BY_HAND)) != 0;
}

void ow_switches_all_off(ow_switches *s, const ow_host *host)
{
    for (int i = 0; i < s->count; i++) {
        ow_switch *w = &s->item[i];
        bool heater = w->output->kind == OW_OUTPUT_HEATER;
        bool owed = heater ? w->heater.commanded : w->drive.commanded; /* maybe by a run before */
        if (w->sent != NULL || owed) { /* what was never commanded is nobody's to switch off */
            const char *off = ow_switch_off_payload(w->output);
            (void)host->publish(host->self, w->output->topic, off, strlen(off), false);
            w->sent = heater ? "off" : "stop";
        }
    }
}

ow_blocks ow_switches_release(ow_switches *s, int output)
{
    ow_switch *w = &s->item[output];
    ow_blocks blame = w->output->kind == OW_OUTPUT_HEATER ? ow_heater_release(&w->heater)
                                                          : ow_drive_release(&w->drive);
    s->worth += blame == 0;
    s->latches += blame == 0;
    return blame;
}

/* ---- keeping --------------------------------------------------------------------------------- */

static void pack_one(ow_switch *w, ow_pack *pack, uint64_t boot_ms)
{
    bool heater = w->output->kind == OW_OUTPUT_HEATER;
    const unsigned char *bytes =
        heater ? (const unsigned char *)&w->heater : (const unsigned char *)&w->drive;
    size_t size = heater ? sizeof w->heater : sizeof w->drive, kept = size;
    ow_pack_bytes(pack, &bytes, &kept);
    if (!pack->reading || pack->status != OW_OK) {
        return;
    }
    if (heater) {
        ow_heater saved = {
            0}; /* a version of 0 is none: what does not fit is forgotten, not trusted */
        if (kept == size) {
            memcpy(&saved, bytes, size);
        }
        w->heater = ow_heater_resumed(&w->heater_spec, &saved, (uint32_t)boot_ms);
    } else {
        ow_drive saved = {0};
        if (kept == size) {
            memcpy(&saved, bytes, size);
        }
        w->drive = ow_drive_resumed(&w->drive_spec, &saved, (uint32_t)boot_ms);
    }
}

void ow_switches_forget(ow_switches *s, uint64_t boot_ms)
{
    for (int i = 0; i < s->count; i++) {
        ow_switch *w = &s->item[i];
        if (w->output->kind == OW_OUTPUT_HEATER) {
            const ow_heater none = {0}; /* of no version: not sound */
            w->heater = ow_heater_resumed(&w->heater_spec, &none, (uint32_t)boot_ms);
        } else {
            const ow_drive none = {0};
            w->drive = ow_drive_resumed(&w->drive_spec, &none, (uint32_t)boot_ms);
        }
    }
}

void ow_switches_pack(ow_switches *s, ow_pack *pack, uint64_t boot_ms)
{
    enum { ID_ROOM = 72, MOST = 64 };
    int count = s->count;
    ow_pack_int(pack, &count, 0, MOST);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        char id[ID_ROOM] = "";
        if (!pack->reading) {
            snprintf(id, sizeof id, "%s", s->item[i].output->id);
        }
        ow_pack_text(pack, id, sizeof id);
        ow_switch stranger = {.output = &(ow_output){.kind = OW_OUTPUT_HEATER}}, *to = &stranger;
        for (int k = 0; k < s->count; k++) {
            if (strcmp(s->item[k].output->id, id) == 0) {
                to = &s->item[k];
            }
        }
        pack_one(to, pack, boot_ms);
    }
}
