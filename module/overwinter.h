/* SPDX-License-Identifier: MIT */
/*
 * The module's only door: what build/overwinter.so offers to the program that hosts it.
 *
 * A host opens an engine on the text of a garden file, feeds it weather, moves its clock on, and
 * reads views of plants, places and beds. The engine takes time, texts and weather only from here;
 * it opens no file, reads no clock and starts no thread, so the same calls give the same bytes.
 * One engine is used by one thread at a time. Times are seconds since 1970-01-01T00:00:00Z.
 * NAN and NULL mean: unknown, or no such part. Texts in views live until the next call that
 * changes the engine.
 *
 * Nothing here may be relied on for safety. The module advises people; what keeps a heater from
 * doing harm must be in the heater and in the installation.
 */
#ifndef OVERWINTER_H
#define OVERWINTER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "status.h"

#define OW_MODULE_VERSION 3u
#define OW_MODULE_ENTRY "overwinter_module"

typedef struct ow_engine ow_engine;

typedef enum ow_level { OW_LEVEL_INFO, OW_LEVEL_WARN, OW_LEVEL_ERROR } ow_level;

/*
 * What the host offers. utc_offset_s must be set; event may be NULL where nobody wants to be told;
 * the rest is for a live garden and may be NULL for a rehearsal. The module calls them only from
 * within a call of its own.
 */
typedef struct ow_host {
    void *self;
    /* Seconds that local time of the garden's zone is ahead of UTC at an instant. */
    int (*utc_offset_s)(void *self, int64_t utc_s);
    /* Something happened: subject is an id (or "garden"), event a word, detail a plain text. */
    void (*event)(void *self, int64_t utc_s, const char *subject, const char *event,
                  const char *detail);
    /* Hands a message to the broker, QoS 1. Called only while connected. False: not taken. */
    bool (*publish)(void *self, const char *topic, const void *payload, size_t size, bool retain);
    /* Asks for a topic (no wildcards). `retained` of its messages is to tell that the broker had
     * stored them; for a topic that ends in /set, that they were sent so. False: not taken. */
    bool (*subscribe)(void *self, const char *topic);
    /* A line for the host's log. */
    void (*log)(void *self, ow_level level, const char *line);
    /* True when this host stays to send "off" and the broker sends a will should it vanish. */
    bool can_switch_off;
    /* How late messages and ticks may come in the garden's time, beyond what the outputs allow
     * anyhow: 0, but for a clock that runs faster than the world's (demonstrations, tests). */
    uint32_t slack_ms;
} ow_host;

/* The host's clocks: boot_ms never jumps and counts suspension (CLOCK_BOOTTIME), utc_ms is wall. */
typedef struct ow_now {
    uint64_t boot_ms;
    int64_t utc_ms;
} ow_now;

/* A message of the broker. */
typedef struct ow_message {
    const char *topic;
    const void *payload;
    size_t size;
    bool retained; /* stored by the broker some time ago: its age is unknown */
    const char *who; /* its user property "who": the person who says it; NULL: not told */
} ow_message;

/* One row of weather, in the units of the weather file; NAN = not measured. */
typedef struct ow_weather_row {
    int64_t utc_s; /* instant; sums (rain) are of the period that ends here */
    double air_c, rh_pct, wind_ms, cloud_pct, solar_wm2, longwave_wm2, rain_mm, snow_cm, ground_c,
        surface_c;
} ow_weather_row;

typedef struct ow_settings {
    bool hands_obey;     /* jobs are done at their act_by, at once if that is past */
    double foresight_h;  /* how far ahead judgement may look into the forecast; 0: not at all */
    bool spread_weather; /* the hours ahead are run many times, each with an error of the forecast */
    bool spread_materials; /* and with a draw of what nobody has measured about the plants */
    int step_s;          /* length of a step of the model, 60..1800 */
    double start_air_c;  /* mean air of the first day: what everything starts at; NAN: first row's */
} ow_settings;

enum { OW_VIEW_PARTS = 5 }; /* foliage, buds, roots, growing point, storage organ */

typedef struct ow_part_view {
    const char *name;     /* NULL: the plant has no such part */
    double now_c;         /* temperature of the part (roots: the coldest of the root ball) */
    double lowest_c;      /* since the start */
    int64_t lowest_s;
    double damaged_c;     /* its limits as they are today, NAN: none known */
    double killed_c;
    bool of_air;          /* the limits are air minima */
    const char *source;   /* of the limit, with its grade; NULL: none */
    bool passed_damaged, passed_killed;
    int64_t passed_damaged_s, passed_killed_s;
} ow_part_view;

typedef struct ow_plant_view {
    const char *id, *name, *taxon, *place;
    bool in_bed;
    const char *state;    /* a state word */
    const char *also;     /* the other states that hold, separated by ", "; may be empty */
    const char *reason;   /* one plain sentence */
    const char *action;   /* what is asked, e.g. "cover with fleece"; empty when nothing */
    int64_t act_by_s;     /* latest useful time; INT64_MIN: none */
    bool late;            /* act_by has passed */
    double risk;          /* share of the runs ahead in which a limit is passed; NAN: none made */
    const char *wearing;  /* covers on it, separated by ", "; may be empty */
    double root_mean_c, root_coldest_c, root_warmest_c, root_centre_c;
    double ice_share, least_ice_share; /* plain shares, 0..1 */
    double frozen_days;   /* days that the drought clock ran */
    double frozen_through_h; /* hours frozen through so far */
    double foliage_c, buds_c, growing_point_c, storage_c;
    double air_c;         /* air at the plant */
    int nearest_part;     /* index of the part nearest its limit; -1: none has one */
    double nearest_k;     /* how far it is above damaged_c, K; negative: passed */
    ow_part_view part[OW_VIEW_PARTS];
    double ice_half_s, ice_nine_tenths_s;  /* first time at that ice share, UTC seconds or NAN */
    double thaw_half_s, thaw_gone_s;       /* afterwards: first time down to 0.5 and 0.01 */
    double suffers_days, may_die_days;     /* of the drought clock; NAN: no threat */
} ow_plant_view;

enum { OW_BED_DEPTHS = 5 }; /* 5, 10, 20, 50, 100 cm */

typedef struct ow_heater_view {
    const char *id, *place;
    double kwh;           /* that it would have used */
    double watts_now;
    double watts_max;
} ow_heater_view;

/* How much an unmeasured sky matters: the same spell under a clear and under a shut sky. */
typedef struct ow_sky_view {
    bool assumed;             /* the sky was not measured in some of the hours */
    double assumed_share;     /* of the steps so far */
    double coldest_clear_c[OW_VIEW_PARTS], coldest_shut_c[OW_VIEW_PARTS]; /* lowest of each part */
} ow_sky_view;

/* The hours ahead as a whole. */
typedef struct ow_ahead_view {
    bool known;           /* false: nothing is known of them, and the rest is empty */
    double lowest_air_c;  /* out of doors, as expected */
    int64_t lowest_air_s; /* by when */
    int64_t until_s;      /* how far was looked */
} ow_ahead_view;

enum { OW_VIEW_TEXT = 160 };

/* One job. Times INT64_MIN: none. */
typedef struct ow_job_view {
    int plant;            /* index; -1: of the whole garden */
    const char *subject;  /* name of the plant, or what it is about */
    const char *place;    /* name of where it stands; NULL for a job of the whole garden */
    const char *kind;     /* "cover", "carry in", "water"... */
    const char *what;     /* what is asked */
    const char *why;
    int64_t by_s;         /* when to do it: while it is light and somebody is free */
    int64_t last_s;       /* latest time that still helps */
    bool late;
    int minutes, people;
    double kg;            /* to lift; NAN: nothing, or not known */
    char who[OW_VIEW_TEXT];       /* members who could; empty: nobody is named */
    char otherwise[OW_VIEW_TEXT]; /* what happens to the plant when it is not done; may be empty */
} ow_job_view;

/* A plant that would have a job and does not get it. */
typedef struct ow_left_view {
    int plant;
    char what[OW_VIEW_TEXT]; /* what it would have had; empty: nothing in this garden helps */
    const char *why;         /* why not, in words */
} ow_left_view;

/* One reading of a borrowed probe. */
typedef struct ow_probe_row {
    int64_t utc_s;
    double c;
} ow_probe_row;

enum { OW_FIT_VIEW_PARTS = 3 }; /* resistance of the side, of the top, water by volume */

/* What a probe's record tells of one part of a plant's home. */
typedef struct ow_fit_part_view {
    bool told;
    const char *why_not;     /* plain words; NULL when it is told */
    double tables;           /* what the tables say: 1 for a resistance */
    double value, low, high; /* the bounds hold the truth nine times in ten; NAN when not told */
} ow_fit_part_view;

typedef struct ow_fit_view {
    const char *refused; /* why nothing is told; NULL when something is */
    const char *name;    /* of the plant */
    bool in_bed;
    ow_fit_part_view part[OW_FIT_VIEW_PARTS];
    double correlation[OW_FIT_VIEW_PARTS][OW_FIT_VIEW_PARTS]; /* of those told, else 0 */
    double hours;              /* of record that were used */
    double tables_k, fitted_k; /* root mean square by which the model misses the probe, a
                                  steady error left out */
    double probe_off_k;        /* what the probe seems to read too much */
    const char *lines;         /* to be put into the plant's pot or bed; rows end in newlines */
    double moist_share;        /* share of water that the lines stand for; NAN */
} ow_fit_view;

struct ow_link;
struct ow_off;

typedef struct ow_module {
    uint32_t version; /* OW_MODULE_VERSION */

    /* Reads and proves a garden; faults and advice go to report, in one go. settings may be NULL
     * for a garden that is only to be checked. The text may be freed afterwards. */
    ow_status (*open)(const ow_host *host, const char *file_name, const char *text, size_t size,
                      const ow_settings *settings, ow_report *report, ow_engine **engine);
    void (*close)(ow_engine *engine);

    /* Says, line by line at 80 columns, what the garden holds and what cold does to it; and, after
     * weather, whether heaters are large enough for its coldest night. */
    ow_status (*check)(ow_engine *engine, ow_report *report);

    /* Measured weather, in order, copied; the engine's clock starts at the first row of all. */
    ow_status (*weather)(ow_engine *engine, const ow_weather_row *rows, size_t n);
    /* The forecast, copied: replaces what was known of the hours ahead; rows that lie before the
     * last measured one are left out. */
    ow_status (*forecast)(ow_engine *engine, const ow_weather_row *rows, size_t n);
    /* Moves on to an instant (a whole number of steps; not past the last measured row), judging
     * every hour; events are told on the way. */
    ow_status (*advance)(ow_engine *engine, int64_t until_s);

    /*
     * Fits a plant (by its id) to a probe's record under the weather given before: n rows in rising
     * time, NAN left out, from depth_m below the soil's top (NAN: half a pot's depth, 0.1 m in a
     * bed). A refusal is OW_OK with view->refused. OW_BAD_INPUT with view->refused for an unknown
     * id. The view's texts live until the next fit.
     */
    ow_status (*fit)(ow_engine *engine, const char *plant, double depth_m, const ow_probe_row *rows,
                     size_t n, ow_fit_view *view);

    /* Views. plant, heater and sky want a first advance before them. */
    int64_t (*now_s)(const ow_engine *engine);
    const char *(*garden_id)(const ow_engine *engine);
    const char *(*time_zone)(const ow_engine *engine);
    int (*plant_count)(const ow_engine *engine);
    void (*plant)(const ow_engine *engine, int index, ow_plant_view *view);
    /* Ground temperatures of a plant's bed at OW_BED_DEPTHS depths, NAN before the first advance;
     * false: it stands in a pot. */
    bool (*bed)(const ow_engine *engine, int index, double t_c[OW_BED_DEPTHS]);
    int (*heater_count)(const ow_engine *engine);
    void (*heater)(const ow_engine *engine, int index, ow_heater_view *view);
    void (*sky)(const ow_engine *engine, int plant_index, ow_sky_view *view);
    void (*ahead)(const ow_engine *engine, ow_ahead_view *view);
    /* The jobs in order of their times, at most `room`; how many there are in *count, of which
     * room suffices at 16 a plant. OW_NO_MEMORY. */
    ow_status (*jobs)(const ow_engine *engine, ow_job_view *views, int room, int *count);
    /* Whether a plant goes without, and why. */
    bool (*left_off)(const ow_engine *engine, int plant_index, ow_left_view *view);
    /* The tile as an SVG, zero-terminated, the caller's to free(). OW_NO_MEMORY. */
    ow_status (*tile)(const ow_engine *engine, char **svg);

    /*
     * A live garden. go_live once after open, at the host's time, with the state kept from before
     * (NULL, 0: none; a state that does not fit is left unread and said so); then tick about once a
     * second and soon after a message (more often is fine, each call is bounded), message as they
     * come, connected at every change. Weather comes from the garden's readings and forecast topic;
     * weather, forecast and advance above are then not to be called.
     */
    ow_status (*go_live)(ow_engine *engine, ow_now now, const void *state, size_t size,
                         ow_report *report);
    /* The link to the broker came up (subscribes and publishes everything) or went down. */
    ow_status (*connected)(ow_engine *engine, ow_now now, bool up);
    ow_status (*message)(ow_engine *engine, ow_now now, const ow_message *message);
    ow_status (*tick)(ow_engine *engine, ow_now now);
    /* True while work is waiting: the host may tick again at once instead of in a second. */
    bool (*busy)(const ow_engine *engine);
    /* Outputs off first, then the hub tree says disconnected. Call before close and before a
     * reload; the host lets the messages out. */
    ow_status (*stop)(ow_engine *engine, ow_now now);
    /* The state to keep, whole; *bytes is the caller's to free(). save_worth changes when there is
     * something new, save_at_once when it is such that a minute later may be too late. */
    ow_status (*save)(const ow_engine *engine, void **bytes, size_t *size);
    uint64_t (*save_worth)(const ow_engine *engine);
    uint64_t (*save_at_once)(const ow_engine *engine);
    /* From open on. For the host's connection: the will (topic and payload, retained, QoS 1) and
     * the broker. */
    const char *(*will_topic)(const ow_engine *engine);
    const char *(*will_payload)(const ow_engine *engine);
    const struct ow_link *(*link)(const ow_engine *engine);
    /* The outputs, for the guard. */
    int (*off_count)(const ow_engine *engine);
    void (*off)(const ow_engine *engine, int index, struct ow_off *off);
} ow_module;

/* How to reach the broker and where to keep state, as the garden file says. NULL: not given. */
typedef struct ow_link {
    const char *host;
    int port;
    const char *user, *password_file, *ca_file, *cert_file, *key_file;
    const char *store;
    const char *state_topic, *beat_topic; /* of the hub tree: $state, and the garden's beat */
    double shortest_lease_s;              /* of all outputs; 0 without outputs */
} ow_link;

/* One output for the guard: what to say and how to hear that it was done. */
typedef struct ow_off {
    const char *id, *topic, *payload;          /* the command that switches off, or stops a drive */
    const char *reported_topic, *reported_off; /* NULL: not reported */
} ow_off;

/* The symbol OW_MODULE_ENTRY of the shared object has this type. */
typedef const ow_module *(*ow_module_entry)(void);

#endif
