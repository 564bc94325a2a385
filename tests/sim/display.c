/* SPDX-License-Identifier: MIT */
#define _DEFAULT_SOURCE /* TIOCGWINSZ */

#include "sim/display.h"

#include <cjson/cJSON.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "hosts/local_time.h"
#include "physics/calendar.h"

enum { WIDTH = 80, INDENT = 14, NAME_WIDTH = 17, LEAST_ROWS = 16, AROUND_TABLE = 14 };
enum { NOTICE_LINES = 2 };
static const uint64_t DRAW_EVERY_MS = 200, SETTLED_MS = 30;
static const double TELL_AFTER_S = 6.0 * OW_HOUR_S; /* off for so long: the next on is told */

static const char HOME[] = "\033[H", CLEAR_LINE[] = "\033[K", CLEAR_BELOW[] = "\033[J";
static const char CLEAR_ALL[] = "\033[2J", HIDE[] = "\033[?25l", SHOW[] = "\033[?25h";
static const char BOLD[] = "\033[1m", PLAIN[] = "\033[0m";

bool sim_display_begin(sim_display *d, const ow_garden *garden, const sim_world *world,
                       const sim_devices *devices, int64_t now_s)
{
    *d = (sim_display){.garden = garden, .world = world, .devices = devices, .now_s = now_s};
    d->plant = calloc((size_t)garden->plant_count, sizeof *d->plant);
    d->device = calloc((size_t)garden->output_count + 1, sizeof *d->device);
    d->terminal = isatty(STDOUT_FILENO) != 0;
    d->summed_day = (now_s + OW_DAY_S / 2) / OW_DAY_S;
    for (int i = 0; d->device != NULL && i < garden->output_count; i++) {
        d->device[i].off_since_s = -TELL_AFTER_S;
    }
    if (d->terminal) {
        printf("%s%s", HIDE, CLEAR_ALL);
    }
    return d->plant != NULL && d->device != NULL;
}

void sim_display_end(sim_display *d)
{
    if (d->terminal) {
        printf("%s", SHOW);
    }
    free(d->plant);
    free(d->device);
}

/* ---- lines ----------------------------------------------------------------------------------- */

/* Prints a text folded between words at 80 columns, at most `most` lines; the rest is indented. */
static int fold(const char *text, int most, const char *end)
{
    int lines = 0, indent = 0;
    while (text[0] != '\0' && lines < most) {
        int room = WIDTH - indent, length = (int)strlen(text), cut = length;
        if (length > room) {
            for (cut = room; cut > 0 && text[cut] != ' '; cut--) {
            }
            cut = cut > 0 ? cut : room;
        }
        printf("%*s%.*s%s\n", indent, "", cut, text, end);
        text += cut + (text[cut] == ' ');
        indent = INDENT;
        lines++;
    }
    return lines;
}

/* A line to be told: at once in a pipe, among the latest at a terminal. */
static void say(sim_display *d, const char *who, const char *text)
{
    char when[OW_LOCAL_TEXT], line[SIM_LINE];
    snprintf(line, sizeof line, "%-*s%s: %.*s", INDENT, ow_local_short(d->now_s, when), who,
             SIM_LINE - 120, text);
    if (!d->terminal) {
        (void)fold(line, 100, "");
        fflush(stdout);
        return;
    }
    memmove(d->line[0], d->line[1], sizeof d->line - sizeof d->line[0]);
    memcpy(d->line[SIM_SHOWN - 1], line, sizeof line);
}

/* ---- what the tree says ---------------------------------------------------------------------- */

static void keep(char *to, size_t room, const ow_message *m)
{
    size_t size = m->size < room - 1 ? m->size : room - 1;
    memcpy(to, m->payload, size);
    to[size] = '\0';
}

static unsigned hash(const char *text)
{
    unsigned h = 2166136261u; /* FNV-1a */
    for (; *text != '\0'; text++) {
        h = (h ^ (unsigned char)*text) * 16777619u;
    }
    return h;
}

static bool told_already(sim_display *d, const char *text)
{
    unsigned h = hash(text);
    for (int i = 0; i < d->tolds; i++) {
        if (d->told[i] == h) {
            return true;
        }
    }
    d->told[d->tolds % SIM_TOLD] = h;
    d->tolds += d->tolds < SIM_TOLD;
    return false;
}

/* What to do stands first; why, behind it, is for the person. */
static void first_sentence(char *text)
{
    char *end = strstr(text, ". ");
    if (end != NULL) {
        end[1] = '\0';
    }
}

static void hear_notice(sim_display *d, const char *node, const ow_message *m)
{
    char who[128];
    cJSON *o = cJSON_ParseWithLength(m->payload, m->size);
    const cJSON *text = cJSON_GetObjectItemCaseSensitive(o, "text");
    const cJSON *urgency = cJSON_GetObjectItemCaseSensitive(o, "urgency");
    if (cJSON_IsString(text) && !told_already(d, text->valuestring)) {
        bool urgent = cJSON_IsString(urgency) && strcmp(urgency->valuestring, "urgent") == 0;
        snprintf(who, sizeof who, "to %s%s", node + strlen("household-"), urgent ? ", urgent" : "");
        first_sentence(text->valuestring);
        say(d, who, text->valuestring);
        d->notices++;
    }
    cJSON_Delete(o);
}

static void hear_plant(sim_shown_plant *p, const char *prop, const ow_message *m, uint64_t real_ms)
{
    struct {
        const char *prop;
        char *to;
    } kept[] = {{"state", p->state},
                {"act-by", p->act_by},
                {"root-coldest", p->ball},
                {"ice-share", p->ice},
                {"frozen-days", p->frozen}};
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++) {
        if (strcmp(prop, kept[i].prop) == 0) {
            keep(kept[i].to, SIM_WORD, m);
            p->heard_ms = real_ms;
        }
    }
}

static void hear_node(sim_display *d, const char *node, const char *prop, const ow_message *m)
{
    for (int i = 0; i < d->garden->plant_count; i++) {
        if (strcmp(d->garden->plants[i].id, node) == 0) {
            hear_plant(&d->plant[i], prop, m, d->real_ms);
        }
    }
    if (strcmp(node, "garden") == 0 && strcmp(prop, "tonight") == 0) {
        keep(d->tonight, sizeof d->tonight, m);
    }
    if (strncmp(node, "household-", 10) == 0 && strcmp(prop, "notice") == 0 && m->size > 0) {
        hear_notice(d, node, m);
    }
}

static void hear_hub(sim_display *d, const ow_message *m)
{
    char line[80], before[SIM_WORD];
    memcpy(before, d->hub, sizeof before);
    keep(d->hub, sizeof d->hub, m);
    if (strcmp(before, d->hub) != 0 && strcmp(d->hub, "init") != 0 && d->hub[0] != '\0') {
        snprintf(line, sizeof line, "the garden is %s", d->hub);
        say(d, "hub", line);
    }
}

void sim_display_hear(sim_display *d, const ow_message *m)
{
    char own[256], node[96];
    int length = snprintf(own, sizeof own, "%s/5/%s/", d->garden->root, d->garden->id);
    if (strncmp(m->topic, own, (size_t)length) != 0) {
        return;
    }
    const char *rest = m->topic + length, *slash = strchr(rest, '/');
    if (strcmp(rest, "$state") == 0) {
        hear_hub(d, m);
    } else if (strcmp(rest, "$log/error") == 0 || strcmp(rest, "$log/warn") == 0) {
        char text[SIM_LINE];
        keep(text, sizeof text, m);
        say(d, "log", text);
    } else if (slash != NULL && (size_t)(slash - rest) < sizeof node &&
               strchr(slash + 1, '/') == NULL) {
        snprintf(node, sizeof node, "%.*s", (int)(slash - rest), rest);
        hear_node(d, node, slash + 1, m);
    }
}

/* ---- in a pipe ------------------------------------------------------------------------------- */

static const char *act_by_text(const sim_shown_plant *p, char text[OW_LOCAL_TEXT])
{
    ow_utc_s by_s;
    return p->act_by[0] != '\0' && ow_time_parse(p->act_by, &by_s) == OW_OK
               ? ow_local_short(by_s, text)
               : "";
}

static void tell_states(sim_display *d)
{
    char line[120], by[OW_LOCAL_TEXT];
    for (int i = 0; i < d->garden->plant_count; i++) {
        sim_shown_plant *p = &d->plant[i];
        bool settled = d->real_ms - p->heard_ms >= SETTLED_MS; /* state and act by come apart */
        if (p->state[0] == '\0' || strcmp(p->state, p->told) == 0 || !settled) {
            continue;
        }
        const char *when = act_by_text(p, by);
        snprintf(line, sizeof line, "%s%s%s", p->state, when[0] != '\0' ? ", by " : "", when);
        bool first = p->told[0] == '\0' || strcmp(p->told, "no reading") == 0;
        bool quiet =
            strcmp(p->state, "no reading") == 0 || (first && strcmp(p->state, "hold") == 0);
        d->states += !quiet;
        if (!d->terminal && !quiet) {
            say(d, d->garden->plants[i].name, line);
        }
        memcpy(p->told, p->state, sizeof p->told);
    }
}

/* The first on after a long rest, and the off that follows it: each one would drown the rest. */
static void tell_plug(sim_display *d, sim_shown_device *seen, const sim_device *now)
{
    bool went_on = now->on && !seen->on, went_off = !now->on && seen->on;
    if (went_on && (double)d->now_s - seen->off_since_s > TELL_AFTER_S) {
        say(d, now->output->name, "on, on a lease");
        seen->tell_off = true;
    }
    if (went_off && seen->tell_off) {
        say(d, now->output->name, "off; it goes on and off through the night");
        seen->tell_off = false;
    }
    if (went_off) {
        seen->off_since_s = (double)d->now_s;
    }
    seen->on = now->on;
}

static void tell_drive(sim_display *d, sim_shown_device *seen, const sim_device *now)
{
    double closed = sim_device_closed(now);
    const char *where = closed >= 1.0 ? "closed" : closed <= 0.0 ? "open" : seen->cloth;
    if (where != NULL && seen->cloth != NULL && strcmp(where, seen->cloth) != 0) {
        say(d, now->output->name, where);
    }
    seen->cloth = where;
}

static void tell_switching(sim_display *d)
{
    for (int i = 0; i < d->devices->count; i++) {
        const sim_device *now = &d->devices->item[i];
        if (now->output->kind == OW_OUTPUT_HEATER) {
            tell_plug(d, &d->device[i], now);
        } else {
            tell_drive(d, &d->device[i], now);
        }
    }
}

/* At noon: what each heater did since the last. */
static void tell_day(sim_display *d)
{
    char line[160];
    int64_t day = (d->now_s + OW_DAY_S / 2) / OW_DAY_S;
    if (day == d->summed_day) {
        return;
    }
    d->summed_day = day;
    for (int i = 0; i < d->devices->count; i++) {
        const sim_device *now = &d->devices->item[i];
        sim_shown_device *seen = &d->device[i];
        if (now->output->kind != OW_OUTPUT_HEATER || now->starts == seen->starts) {
            continue;
        }
        snprintf(line, sizeof line, "since noon %u times on, %.1f h in all, %.1f kWh, %u leases",
                 now->starts - seen->starts, (now->on_s - seen->on_s) / 3600.0,
                 (now->used_j - seen->used_j) / 3.6e6, now->leases - seen->leases);
        say(d, now->output->name, line);
        seen->starts = now->starts;
        seen->leases = now->leases;
        seen->on_s = now->on_s;
        seen->used_j = now->used_j;
    }
}

/* ---- at a terminal --------------------------------------------------------------------------- */

static int screen_rows(void)
{
    struct winsize size = {0};
    int known = ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0;
    int rows = known ? size.ws_row : 40;
    return rows > LEAST_ROWS ? rows : LEAST_ROWS;
}

static void draw_plant(const ow_plant *plant, const sim_shown_plant *p)
{
    char by[OW_LOCAL_TEXT];
    bool asks = strcmp(p->state, "hold") != 0 && strcmp(p->state, "no reading") != 0;
    printf("%-*.*s %s%-13s%s %-14s %7s %5.0f%% %8s%s\n", NAME_WIDTH, NAME_WIDTH, plant->name,
           asks ? BOLD : "", p->state, asks ? PLAIN : "", act_by_text(p, by), p->ball,
           100.0 * strtod(p->ice, NULL), p->frozen, CLEAR_LINE);
}

/* Where there is no room for all, those on hold are only counted. */
static void draw_plants(const sim_display *d, int room)
{
    int holds = 0;
    bool all = d->garden->plant_count <= room;
    printf("%-*s %-13s %-14s %7s %6s %8s%s\n", NAME_WIDTH, "plant", "state", "act by", "ball C",
           "ice", "frozen d", CLEAR_LINE);
    for (int i = 0; i < d->garden->plant_count; i++) {
        bool shown = all || (strcmp(d->plant[i].state, "hold") != 0 && room-- > 1);
        holds += !shown;
        if (shown) {
            draw_plant(&d->garden->plants[i], &d->plant[i]);
        }
    }
    if (holds > 0) {
        printf("and %d more%s\n", holds, CLEAR_LINE);
    }
}

static void draw_device(const sim_display *d, const sim_device *now)
{
    char when[OW_LOCAL_TEXT];
    const ow_output *o = now->output;
    if (o->kind != OW_OUTPUT_HEATER) {
        printf("%-*s %s, %.0f %% closed%s\n", NAME_WIDTH, o->name,
               now->motion == SIM_CLOSING   ? "closing"
               : now->motion == SIM_OPENING ? "opening"
                                            : "still",
               100.0 * sim_device_closed(now), CLEAR_LINE);
        return;
    }
    int64_t ends_s = d->now_s + ((int64_t)now->ends_ms - (int64_t)d->devices->now.boot_ms) / 1000;
    printf("%-*s %s%s, %.1f C there, %.1f kWh so far%s\n", NAME_WIDTH, o->name,
           now->on ? "on, lease to " : "off", now->on ? ow_local_short(ends_s, when) : "",
           o->place.at >= 0 ? d->world->air_c[o->place.at] : 0.0, now->used_j / 3.6e6, CLEAR_LINE);
}

static void draw(const sim_display *d)
{
    char when[OW_LOCAL_TEXT];
    printf("%s%s%s%s, %s: %.1f C, wind %.1f m/s, cloud %.0f %%, snow %.0f cm%s\n", HOME, BOLD,
           d->garden->id, PLAIN, ow_local_long(d->now_s, when), d->world->weather.air_c,
           d->world->weather.wind_ms, d->world->weather.cloud_pct, d->world->weather.snow_cm,
           CLEAR_LINE);
    (void)fold(d->tonight, NOTICE_LINES, CLEAR_LINE);
    printf("%s\n", CLEAR_LINE);
    draw_plants(d, screen_rows() - AROUND_TABLE - d->devices->count);
    printf("%s\n", CLEAR_LINE);
    for (int i = 0; i < d->devices->count; i++) {
        draw_device(d, &d->devices->item[i]);
    }
    printf("%s\n", CLEAR_LINE);
    for (int i = 0; i < SIM_SHOWN; i++) {
        (void)fold(d->line[i], i + 1 == SIM_SHOWN ? 2 : 1, CLEAR_LINE);
    }
    printf("%s", CLEAR_BELOW);
    fflush(stdout);
}

void sim_display_move(sim_display *d, int64_t now_s, uint64_t real_ms)
{
    d->now_s = now_s;
    d->real_ms = real_ms;
    tell_states(d);
    tell_switching(d);
    tell_day(d);
    if (d->terminal && real_ms - d->drawn_ms >= DRAW_EVERY_MS) {
        d->drawn_ms = real_ms;
        draw(d);
    }
}

void sim_display_sum(const sim_display *d)
{
    printf("\nSeen on the hub: %d changes of state, %d notices. Switched:\n", d->states,
           d->notices);
    for (int i = 0; i < d->devices->count; i++) {
        const sim_device *now = &d->devices->item[i];
        if (now->output->kind == OW_OUTPUT_HEATER) {
            printf("  %s: %u times on, on %u leases, %.1f kWh\n", now->output->name, now->starts,
                   now->leases, now->used_j / 3.6e6);
        } else {
            printf("  %s: %u times moved\n", now->output->name, now->starts);
        }
    }
    fflush(stdout);
}
