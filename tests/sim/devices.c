/* SPDX-License-Identifier: MIT */
#include "sim/devices.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "physics/calendar.h"

static const uint64_t LATE_MS = 20000, REPORT_EVERY_MS = 60000;
static const double NO_TIMER_S = 1e9, STANDBY_W = 0.4;
static const char mark[] = "{seconds}";

static const char *const manner_words[SIM_MANNERS] = {
    [SIM_HONEST] = "honest", [SIM_PULSE] = "pulse", [SIM_LATE] = "late",
    [SIM_WRONG] = "wrong",   [SIM_STUCK] = "stuck",
};

sim_manner sim_manner_named(const char *word)
{
    int i = 0;
    while (i < SIM_MANNERS && strcmp(manner_words[i], word) != 0) {
        i++;
    }
    return (sim_manner)i;
}

bool sim_devices_begin(sim_devices *s, const ow_garden *garden, FILE *log)
{
    *s = (sim_devices){.count = garden->output_count, .log = log};
    s->item = calloc((size_t)s->count + 1, sizeof *s->item);
    for (int i = 0; s->item != NULL && i < s->count; i++) {
        s->item[i].output = &garden->outputs[i];
    }
    return s->item != NULL;
}

void sim_devices_end(sim_devices *s)
{
    free(s->item);
}

bool sim_devices_manner(sim_devices *s, const char *id, sim_manner manner)
{
    for (int i = 0; i < s->count; i++) {
        if (strcmp(s->item[i].output->id, id) == 0) {
            s->item[i].manner = manner;
            return true;
        }
    }
    return false;
}

static void tell(const sim_devices *s, const sim_device *d, const char *what)
{
    char time[OW_TIME_TEXT];
    fprintf(s->log, "%s %s %s\n", ow_time_format(s->now.utc_ms / 1000, time), d->output->id, what);
    fflush(s->log);
}

/* ---- commands -------------------------------------------------------------------------------- */

/* Does the payload fit the pattern? *seconds is what stands for its mark, or stays as it is. */
static bool fits(const char *pattern, const ow_message *m, double *seconds)
{
    char text[256], *end = NULL;
    if (m->size >= sizeof text) {
        return false;
    }
    memcpy(text, m->payload, m->size);
    text[m->size] = '\0';
    const char *at = strstr(pattern, mark);
    if (at == NULL) {
        return strcmp(text, pattern) == 0;
    }
    size_t before = (size_t)(at - pattern);
    if (strncmp(text, pattern, before) != 0) {
        return false;
    }
    double value = strtod(text + before, &end);
    if (end == text + before || strcmp(end, at + sizeof mark - 1) != 0) {
        return false;
    }
    *seconds = value;
    return true;
}

static double own_timer_s(const sim_device *d)
{
    return isnan(d->output->off_by_itself_s) ? NO_TIMER_S : d->output->off_by_itself_s;
}

static void start_timer(sim_devices *s, sim_device *d, double seconds)
{
    d->ends_ms = s->now.boot_ms + (uint64_t)(seconds * 1000.0);
    d->leases++;
}

/* One that is under way is not put off by the next command. */
static void report_soon(const sim_devices *s, sim_device *d)
{
    if (d->report_ms != 0) {
        return;
    }
    d->report_ms = s->now.boot_ms + (d->manner == SIM_LATE ? LATE_MS : 0);
    d->report_ms += d->report_ms == 0;
}

static void plug_off(sim_devices *s, sim_device *d, const char *why)
{
    if (d->on && d->manner != SIM_STUCK) {
        d->on = false;
        d->on_s += (double)(s->now.boot_ms - d->on_since_ms) / 1000.0;
        tell(s, d, why);
    }
    report_soon(s, d); /* also when it was off: that is what was asked */
}

static void plug_hear(sim_devices *s, sim_device *d, const ow_message *m)
{
    char line[64];
    double seconds = own_timer_s(d);
    if (fits(d->output->off, m, &seconds)) {
        plug_off(s, d, "off by command");
    } else if (fits(d->output->on, m, &seconds)) {
        seconds = d->manner == SIM_PULSE ? own_timer_s(d) : seconds;
        snprintf(line, sizeof line, d->on ? "renewed %.0f" : "on %.0f by command", seconds);
        start_timer(s, d, seconds);
        if (!d->on) {
            d->on_since_ms = s->now.boot_ms;
            d->starts++;
            report_soon(s, d);
        }
        d->on = true;
        tell(s, d, line);
    }
}

static void drive_hear(sim_devices *s, sim_device *d, const ow_message *m)
{
    static const char *const words[] = {"stopped by command", "closing by command",
                                        "opening by command"};
    double seconds = own_timer_s(d);
    sim_motion motion = fits(d->output->close, m, &seconds)  ? SIM_CLOSING
                        : fits(d->output->open, m, &seconds) ? SIM_OPENING
                                                             : SIM_STILL;
    if (motion == SIM_STILL && !fits(d->output->stop, m, &seconds)) {
        return;
    }
    if (motion != d->motion) {
        tell(s, d, words[motion]);
        d->starts += motion != SIM_STILL;
    }
    d->motion = motion;
    start_timer(s, d, seconds);
}

void sim_devices_hear(sim_devices *s, const ow_message *m)
{
    for (int i = 0; i < s->count; i++) {
        sim_device *d = &s->item[i];
        if (strcmp(d->output->topic, m->topic) != 0) {
            continue;
        }
        if (m->retained) {
            tell(s, d, "was sent a retained command");
        } else if (d->output->kind == OW_OUTPUT_HEATER) {
            plug_hear(s, d, m);
        } else {
            drive_hear(s, d, m);
        }
    }
}

/* ---- time ------------------------------------------------------------------------------------ */

static void report(sim_devices *s, sim_device *d, ow_client *client)
{
    const ow_reported *r = &d->output->reported;
    bool due = d->report_ms != 0 && s->now.boot_ms >= d->report_ms;
    bool again = s->now.boot_ms - d->said_ms >= REPORT_EVERY_MS;
    if (!r->given || (!due && (!again || d->report_ms != 0))) {
        return;
    }
    const char *word = d->on || d->manner == SIM_WRONG ? r->on : r->off;
    if (ow_client_publish(client, r->topic, word, strlen(word), false, 0)) {
        d->report_ms = 0;
        d->said_ms = s->now.boot_ms;
    }
}

static void turn(sim_devices *s, sim_device *d, double gone_s)
{
    double travel_s = d->output->travel_s;
    if (d->motion == SIM_STILL || d->manner == SIM_STUCK) {
        return;
    }
    d->closed_s += d->motion == SIM_CLOSING ? gone_s : -gone_s;
    if (d->closed_s >= travel_s || d->closed_s <= 0.0) { /* its own end stop */
        d->closed_s = d->closed_s >= travel_s ? travel_s : 0.0;
        tell(s, d, d->motion == SIM_CLOSING ? "closed" : "open");
        d->motion = SIM_STILL;
    }
}

/* A timer in a plug is punctual, however late a busy machine lets the simulator look. */
static ow_now when_ended(ow_now now, uint64_t ends_ms)
{
    now.utc_ms -= (int64_t)(now.boot_ms - ends_ms);
    now.boot_ms = ends_ms;
    return now;
}

void sim_devices_move(sim_devices *s, ow_now now, ow_client *client)
{
    double gone_s = s->now.boot_ms == 0 ? 0.0 : (double)(now.boot_ms - s->now.boot_ms) / 1000.0;
    s->now = now;
    for (int i = 0; i < s->count; i++) {
        sim_device *d = &s->item[i];
        d->used_j += sim_device_watts(d) * gone_s;
        turn(s, d, gone_s);
        bool over = now.boot_ms >= d->ends_ms;
        s->now = over ? when_ended(now, d->ends_ms) : now;
        if (over && d->on) {
            plug_off(s, d, "off by its timer");
        }
        if (over && d->motion != SIM_STILL) {
            d->motion = SIM_STILL;
            tell(s, d, "stopped by its timer");
        }
        s->now = now;
        report(s, d, client);
    }
}

double sim_device_watts(const sim_device *d)
{
    if (d->output->kind != OW_OUTPUT_HEATER) {
        return 0.0;
    }
    return d->on ? d->output->watts : STANDBY_W;
}

double sim_device_closed(const sim_device *d)
{
    return d->closed_s / d->output->travel_s;
}

void sim_devices_heat(const sim_devices *s, double *watts)
{
    for (int i = 0; i < s->count; i++) {
        if (s->item[i].output->kind == OW_OUTPUT_HEATER && s->item[i].output->place.at >= 0) {
            watts[s->item[i].output->place.at] += sim_device_watts(&s->item[i]);
        }
    }
}
