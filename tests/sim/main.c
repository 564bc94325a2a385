/* SPDX-License-Identifier: MIT */
/*
 * A garden's sensors, forecast, devices and people, played from a weather file on the clock that
 * `overwinter run --pace N --from T` keeps; and a display. For the demonstration and the tests.
 */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "hosts/clocks.h"
#include "hosts/console.h"
#include "hosts/credentials.h"
#include "hosts/local_time.h"
#include "hosts/signals.h"
#include "hosts/text_file.h"
#include "hosts/turn.h"
#include "hosts/weather_file.h"
#include "physics/calendar.h"
#include "sim/devices.h"
#include "sim/display.h"
#include "sim/hands.h"
#include "sim/sensors.h"
#include "sim/world.h"

static const char usage[] =
    "sim GARDEN WEATHER.csv --from T --until T [--pace N] [--every S] [--show]\n"
    "    [--log FILE] [--device OUTPUT=honest|pulse|late|wrong|stuck]\n"
    "    [--open READING=T,T] [--silent READING] [--hands PLANT,PLANT...]\n"
    "\n"
    "Sends what the garden's sensors would, every S seconds of its own time, and the\n"
    "forecast every hour; answers for its plugs and drives; does the jobs of some\n"
    "plants. Each change of a device is a line in the log (standard output).\n"
    "--show shows the garden as the hub tells it. --open: a contact that is open\n"
    "between two times.\n";

static const size_t FILE_MOST = (size_t)1024 * 1024;
enum { SPARE = 64, MANNERS = 16, TURN_MOST_MS = 50, TURN_LEAST_MS = 4 };

struct sim {
    const char *garden_path, *weather_path, *log_path;
    const char *manner[MANNERS]; /* OUTPUT=MANNER */
    int manners;
    int pace;
    int64_t from_s, until_s;
    bool show;
    ow_garden *garden;
    ow_weather_file weather;
    ow_clocks clocks;
    sim_world world;
    sim_devices devices;
    sim_sensors sensors;
    sim_hands hands;
    sim_display display;
    ow_link link;
    ow_client *client;
    FILE *log;
    double *watts;
};

/* ---- the command line ------------------------------------------------------------------------ */

static bool take_time(const char *text, int64_t *time_s)
{
    return ow_time_parse(text, time_s) == OW_OK;
}

/* READING=T,T; the text is cut in place. */
static bool take_opening(struct sim *s, char *text)
{
    char *equals = strchr(text, '='), *comma = strchr(text, ',');
    if (equals == NULL || comma == NULL || s->sensors.openings == SIM_OPENINGS) {
        return false;
    }
    sim_opening *o = &s->sensors.opening[s->sensors.openings++];
    *equals = *comma = '\0';
    o->reading = text;
    return take_time(equals + 1, &o->from_s) && take_time(comma + 1, &o->until_s);
}

static bool take_option(struct sim *s, const char *name, char *value)
{
    if (strcmp(name, "--from") == 0) {
        return take_time(value, &s->from_s);
    }
    if (strcmp(name, "--until") == 0) {
        return take_time(value, &s->until_s);
    }
    if (strcmp(name, "--pace") == 0) {
        s->pace = atoi(value);
        return s->pace >= 1 && s->pace <= OW_PACE_MOST;
    }
    if (strcmp(name, "--every") == 0) {
        s->sensors.every_s = atoi(value);
        return s->sensors.every_s >= 1;
    }
    if (strcmp(name, "--device") == 0 && s->manners < MANNERS) {
        s->manner[s->manners++] = value;
        return strchr(value, '=') != NULL;
    }
    if (strcmp(name, "--silent") == 0 && s->sensors.silents < SIM_SILENT) {
        s->sensors.silent[s->sensors.silents++] = value;
        return true;
    }
    if (strcmp(name, "--hands") == 0) {
        s->hands.plants = value;
        return true;
    }
    if (strcmp(name, "--log") == 0) {
        s->log_path = value;
        return true;
    }
    return strcmp(name, "--open") == 0 && take_opening(s, value);
}

static bool read_words(struct sim *s, int argc, char **argv)
{
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--show") == 0) {
            s->show = true;
        } else if (argv[i][0] == '-') {
            if (i + 1 == argc || !take_option(s, argv[i], argv[i + 1])) {
                return false;
            }
            i++;
        } else if (s->garden_path == NULL) {
            s->garden_path = argv[i];
        } else if (s->weather_path == NULL) {
            s->weather_path = argv[i];
        } else {
            return false;
        }
    }
    return s->weather_path != NULL && s->from_s < s->until_s && s->until_s != INT64_MAX;
}

/* ---- begin ----------------------------------------------------------------------------------- */

static ow_status read_files(struct sim *s, ow_report *report)
{
    char *text = NULL;
    size_t size = 0;
    ow_status status = ow_text_read(s->garden_path, FILE_MOST, report, &text, &size);
    status =
        status != OW_OK ? status : ow_garden_read(s->garden_path, text, size, report, &s->garden);
    free(text);
    text = NULL;
    status = status != OW_OK
                 ? status
                 : ow_text_read(s->weather_path, OW_WEATHER_FILE_MOST, report, &text, &size);
    status = status != OW_OK
                 ? status
                 : ow_weather_file_read(s->weather_path, text, size, report, &s->weather);
    free(text);
    return status != OW_OK ? status : ow_local_zone(s->garden->time_zone, s->garden_path, report);
}

/* Each OUTPUT=MANNER in its turn. */
static ow_status set_manners(struct sim *s, ow_report *report)
{
    char id[SPARE];
    for (int i = 0; i < s->manners; i++) {
        const char *equals = strchr(s->manner[i], '=');
        snprintf(id, sizeof id, "%.*s", (int)(equals - s->manner[i]), s->manner[i]);
        sim_manner manner = sim_manner_named(equals + 1);
        if (manner == SIM_MANNERS || !sim_devices_manner(&s->devices, id, manner)) {
            ow_error(report, "sim: there is no such output or manner: %s", s->manner[i]);
            return OW_BAD_INPUT;
        }
    }
    return OW_OK;
}

static void up(void *self)
{
    struct sim *s = self;
    char tree[256];
    for (int i = 0; i < s->devices.count; i++) {
        (void)ow_client_subscribe(s->client, s->devices.item[i].output->topic, false);
    }
    snprintf(tree, sizeof tree, "%s/5/%s/#", s->garden->root, s->garden->id);
    (void)ow_client_subscribe(s->client, tree, false);
}

static void down(void *self)
{
    (void)self; /* devices go on; their timers run */
}

static void hear(void *self, const ow_message *message)
{
    struct sim *s = self;
    sim_devices_hear(&s->devices, message);
    sim_hands_hear(&s->hands, message);
    if (s->show) {
        sim_display_hear(&s->display, message);
    }
}

static ow_status connect(struct sim *s, ow_report *report)
{
    static char id[SPARE];
    snprintf(id, sizeof id, "sim-%d", (int)getpid());
    s->link = (ow_link){.host = s->garden->broker.host, .port = s->garden->broker.port};
    const ow_client_setup setup = {
        .link = &s->link, .id = id, .self = s, .up = up, .down = down, .message = hear};
    ow_status status = ow_link_check(&s->link, true, s->garden_path, report);
    return status == OW_OK ? ow_client_new(&setup, report, &s->client) : status;
}

static ow_status begin(struct sim *s, ow_report *report)
{
    ow_status status = read_files(s, report);
    if (status != OW_OK) {
        return status;
    }
    s->log = s->log_path != NULL ? fopen(s->log_path, "w") : stdout;
    if (s->log == NULL) {
        ow_error(report, "sim: %s cannot be written", s->log_path);
        return OW_IO;
    }
    s->watts = calloc((size_t)s->garden->place_count, sizeof *s->watts);
    bool begun =
        s->watts != NULL &&
        sim_world_begin(&s->world, s->garden, s->weather.row, s->weather.count, s->from_s) &&
        sim_devices_begin(&s->devices, s->garden, s->log) &&
        sim_hands_begin(&s->hands, s->garden) &&
        sim_sensors_begin(&s->sensors, s->garden, &s->world, &s->devices);
    begun = begun && (!s->show ||
                      sim_display_begin(&s->display, s->garden, &s->world, &s->devices, s->from_s));
    if (!begun) {
        return OW_NO_MEMORY;
    }
    status = set_manners(s, report);
    return status == OW_OK ? connect(s, report) : status;
}

static void end(struct sim *s)
{
    ow_client_free(s->client);
    if (s->show) {
        sim_display_end(&s->display);
    }
    sim_hands_end(&s->hands);
    sim_sensors_end(&s->sensors);
    sim_devices_end(&s->devices);
    sim_world_end(&s->world);
    if (s->log != NULL && s->log != stdout) {
        fclose(s->log);
    }
    free(s->watts);
    ow_weather_file_free(&s->weather);
    ow_garden_free(s->garden);
}

/* ---- play ------------------------------------------------------------------------------------ */

static void move(struct sim *s)
{
    ow_now now = ow_clocks_now(&s->clocks);
    int64_t now_s = now.utc_ms / 1000;
    memset(s->watts, 0, (size_t)s->garden->place_count * sizeof *s->watts);
    sim_devices_heat(&s->devices, s->watts);
    sim_world_move(&s->world, now_s, s->watts);
    sim_devices_move(&s->devices, now, s->client);
    sim_sensors_move(&s->sensors, now_s, s->client);
    sim_hands_move(&s->hands, now_s, s->client);
    if (s->show) {
        sim_display_move(&s->display, now_s, ow_real_ms());
    }
}

static ow_status play(struct sim *s)
{
    int signal_fd = -1;
    ow_status status = ow_signals_open(&signal_fd);
    ow_clocks_start(&s->clocks, s->from_s, s->pace);
    uint64_t wait_ms = ow_clocks_real_span(&s->clocks, 1000, TURN_LEAST_MS);
    wait_ms = wait_ms < TURN_MOST_MS ? wait_ms : TURN_MOST_MS;
    bool stopped = false;
    while (status == OW_OK && !stopped && ow_clocks_now(&s->clocks).utc_ms < s->until_s * 1000) {
        move(s);
        stopped = ow_turn(s->client, signal_fd, wait_ms) == OW_SIGNAL_STOP;
    }
    if (signal_fd >= 0) {
        close(signal_fd);
    }
    if (s->show && status == OW_OK) {
        sim_display_sum(&s->display);
    }
    return status;
}

int main(int argc, char **argv)
{
    struct sim sim = {
        .pace = 1, .from_s = INT64_MIN, .until_s = INT64_MAX, .sensors = {.every_s = 300}};
    ow_console console;
    ow_console_start(&console, stderr);
    if (!read_words(&sim, argc, argv)) {
        fputs(usage, stderr);
        return OW_EXIT_USAGE;
    }
    ow_status status = begin(&sim, &console.report);
    status = status == OW_OK ? play(&sim) : status;
    end(&sim);
    return ow_console_exit(&console, status);
}
