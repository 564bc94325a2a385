/* SPDX-License-Identifier: MIT */
/*
 * The garden file, read and proved: what stands where, what it stands in, what can be put over it.
 *
 * ow_garden_read takes the whole text of a garden file (JSON, // and block comments, UTF-8) and
 * gives one struct, or tells every fault in one go and gives none. Nothing here opens a file.
 * Conventions of the structs below:
 *   - a number that was left out and has no default is NAN, a text that was left out is NULL;
 *   - a part that may be left out begins with `given`;
 *   - a reference to another thing carries its id and, resolved, its index `at` in that list
 *     (-1 when the reference was left out);
 *   - every pointer is owned by the garden and lives until ow_garden_free.
 */
#ifndef OVERWINTER_GARDEN_GARDEN_H
#define OVERWINTER_GARDEN_GARDEN_H

#include "physics/covers.h"
#include "physics/glasshouse.h"
#include "physics/materials.h"
#include "physics/medium.h"
#include "physics/weather.h"
#include "plants/tolerance.h"
#include "status.h"

#include <stdbool.h>
#include <stddef.h>

/* A reference by id; `at` is the index in the list meant (garden.places, garden.covers...). */
typedef struct ow_ref {
    const char *id;
    int at;
} ow_ref;

typedef struct ow_refs {
    int count;
    ow_ref *item;
} ow_refs;

/* A span of the local day in minutes after midnight; may pass midnight; -1, -1 when left out. */
typedef struct ow_hours {
    int from_min;
    int until_min;
} ow_hours;

/* ---- places ---------------------------------------------------------------------------------- */

#define OW_GARDEN_ENUM(name, text) name,

#define OW_LIGHT_LIST(X)                                                                           \
    X(OW_LIGHT_DARK, "dark")                                                                       \
    X(OW_LIGHT_DIM, "dim")                                                                         \
    X(OW_LIGHT_BRIGHT, "bright")

typedef enum ow_light { OW_LIGHT_LIST(OW_GARDEN_ENUM) } ow_light;

typedef struct ow_place {
    const char *id;
    const char *name; /* for people; the id when left out */
    ow_place_kind kind;
    double faces_deg;  /* the way a wall faces, clockwise from north, 0..360; NAN for other kinds */
    double air_c;      /* indoors: its steady air temperature; else NAN */
    ow_light light;    /* indoors: default dim; bright for every other kind */
    int room_for;      /* plants it has room for; default 1000, as good as no limit */
    double floor_m2;   /* glasshouse; else NAN */
    double glazing_m2; /* glasshouse, all panes and the ridge; else NAN */
    ow_glazing_kind glazing;  /* glasshouse; default single glass */
    double air_changes_per_h; /* glasshouse; default 1 */
    double volume_m3;         /* glasshouse; NAN: derive from floor and glazing */
    double film_w_m2k; /* expert: all-in surface coefficient of side, top and raised base; or NAN */
    double ground_c;   /* expert: fixed temperature of the ground; or NAN */
} ow_place;

/* ---- covers ---------------------------------------------------------------------------------- */

typedef struct ow_cover {
    const char *id;
    const char *name;
    ow_cover_kind kind;
    int count;          /* how many there are, default 1 */
    int on_word;        /* index into ow_cover_on_names, -1 when left out */
    unsigned on;        /* the same as zones (ow_zone); 0: the kind's own */
    double r_m2k_w;     /* expert: measured resistance, dry; NAN: the kind's own */
    double wind_max_ms; /* wind above which it counts as blown off; NAN: the kind's own */
} ow_cover;

/* ---- plants ---------------------------------------------------------------------------------- */

#define OW_VALUE_LIST(X)                                                                           \
    X(OW_VALUE_ORDINARY, "ordinary")                                                               \
    X(OW_VALUE_TREASURED, "treasured")                                                             \
    X(OW_VALUE_IRREPLACEABLE, "irreplaceable")

typedef enum ow_value { OW_VALUE_LIST(OW_GARDEN_ENUM) } ow_value;

/* A medium that was measured. All NAN when the medium was named instead. */
typedef struct ow_measured_medium {
    ow_medium medium;      /* latent_j_m3 is filled from water_fraction where that was given */
    double water_fraction; /* volume share of water; NAN when latent_j_m3 was given instead */
} ow_measured_medium;

typedef struct ow_soil {
    ow_medium_kind kind; /* holds when measured.medium.thawed_w_mk is NAN */
    ow_measured_medium measured;
    ow_moisture moisture;
} ow_soil;

typedef struct ow_pot {
    bool given;
    double diameter_mm; /* outside, at half height */
    double depth_mm;    /* of the root ball */
    ow_wall_kind wall;  /* holds when wall_r_m2k_w is NAN */
    double wall_r_m2k_w;
    ow_soil soil;
    ow_base_kind stands_on; /* holds when base_r_m2k_w is NAN */
    double base_r_m2k_w;    /* contact resistance beside the wall's own */
    double tray_mm;         /* depth of water, with stands_on "tray of water"; else NAN */
    double shielded_share;  /* share of the side shielded by neighbours, 0..1, default 0 */
    double side_factor; /* expert: resistance of the side, all layers, over the tables'; or NAN */
    double top_factor;  /* the same of the top */
} ow_pot;

typedef struct ow_bed {
    bool given;
    ow_soil soil;
    double mulch_mm; /* standing layer of mulch, default 0 */
    bool grass;      /* short grass all over it */
    double top_factor; /* expert: resistance of the top, all layers, over the tables'; or NAN */
    double
        organ_depth_mm; /* depth of bulbs, tubers or rhizomes below the soil's top, default 100 */
} ow_bed;

typedef struct ow_trunk {
    bool given;
    double diameter_mm;
    double height_mm;
    double growing_point_mm; /* depth of the growing point below the crown's top */
} ow_trunk;

#define OW_LIMIT_OF_LIST(X)                                                                        \
    X(OW_LIMIT_OF_TISSUE, "tissue")                                                                \
    X(OW_LIMIT_OF_AIR, "air")

typedef enum ow_limit_of { OW_LIMIT_OF_LIST(OW_GARDEN_ENUM) } ow_limit_of;

/* A limit as the file states it; what left out means is settled in ow_plant.tolerance. */
typedef struct ow_own_limit {
    bool given;
    double damaged_c;
    double killed_c; /* NAN: OW_LIMIT_GAP_K below damaged_c */
    int of;          /* ow_limit_of; -1: of air for foliage and buds, of tissue for the rest */
    double minutes;
} ow_own_limit;

typedef struct ow_own_drought {
    bool given;
    double suffers_days;
    double may_die_days;
} ow_own_drought;

typedef struct ow_own_limits {
    bool given;
    ow_own_limit part[OW_PARTS];
    ow_own_drought drought;
} ow_own_limits;

typedef struct ow_plant {
    const char *id;
    const char *name;
    const char *taxon; /* as written in the file; NULL when left out */
    bool by_genus;     /* the species is not in the table, its genus is */
    ow_own_limits limits;
    ow_tolerance tolerance; /* resolved: the taxon's limits with the plant's own laid over */
    ow_ref place;
    ow_refs covers; /* covers at hand for it */
    ow_value value;
    ow_pot pot; /* exactly one of pot and bed is given */
    ow_bed bed;
    ow_trunk trunk;
    double start_c;  /* uniform temperature at the start of a rehearsal, or NAN */
    ow_refs wearing; /* covers on it at the start */
} ow_plant;

/* ---- what measures and foretells ------------------------------------------------------------- */

#define OW_MEASURES_LIST(X)                                                                        \
    X(OW_MEASURES_AIR, "air")                                                                      \
    X(OW_MEASURES_HUMIDITY, "humidity")                                                            \
    X(OW_MEASURES_WIND, "wind")                                                                    \
    X(OW_MEASURES_CLOUD, "cloud")                                                                  \
    X(OW_MEASURES_SOLAR, "solar")                                                                  \
    X(OW_MEASURES_RAIN, "rain")                                                                    \
    X(OW_MEASURES_SNOW, "snow")                                                                    \
    X(OW_MEASURES_GROUND, "ground")                                                                \
    X(OW_MEASURES_ROOT_BALL, "root ball")                                                          \
    X(OW_MEASURES_TRUNK, "trunk")                                                                  \
    X(OW_MEASURES_CONTACT, "contact")                                                              \
    X(OW_MEASURES_POWER, "power")

typedef enum ow_measures { OW_MEASURES_LIST(OW_GARDEN_ENUM) } ow_measures;

#define OW_UNIT_LIST(X)                                                                            \
    X(OW_UNIT_C, "C")                                                                              \
    X(OW_UNIT_F, "F")                                                                              \
    X(OW_UNIT_K, "K")                                                                              \
    X(OW_UNIT_PERCENT, "%")                                                                        \
    X(OW_UNIT_SHARE, "1")                                                                          \
    X(OW_UNIT_OKTA, "okta")                                                                        \
    X(OW_UNIT_M_S, "m/s")                                                                          \
    X(OW_UNIT_KM_H, "km/h")                                                                        \
    X(OW_UNIT_MPH, "mph")                                                                          \
    X(OW_UNIT_KNOT, "kn")                                                                          \
    X(OW_UNIT_W_M2, "W/m2")                                                                        \
    X(OW_UNIT_MM, "mm")                                                                            \
    X(OW_UNIT_INCH, "in")                                                                          \
    X(OW_UNIT_CM, "cm")                                                                            \
    X(OW_UNIT_M, "m")                                                                              \
    X(OW_UNIT_W, "W")                                                                              \
    X(OW_UNIT_KW, "kW")

typedef enum ow_unit { OW_UNIT_LIST(OW_GARDEN_ENUM) } ow_unit;

typedef struct ow_reading {
    const char *id;
    ow_measures measures;
    ow_ref place;
    ow_ref plant; /* root ball, trunk */
    const char *topic;
    const char *pointer; /* JSON pointer into the payload; "" takes the payload itself */
    ow_unit unit;        /* always one that fits `measures`; no meaning for a contact */
    const char *open;    /* contact: payload that means open */
    const char *shut;
    double stale_after_min;
} ow_reading;

typedef struct ow_forecast_source {
    bool given;
    const char *topic;
    const char *list; /* JSON pointer to the list of hours */
    const char *time; /* JSON pointers within one hour; NULL when left out */
    const char *air;
    const char *air_low; /* one in ten stays below, above */
    const char *air_high;
    const char *wind;
    const char *humidity;
    const char *cloud;
    const char *rain;
    ow_unit unit; /* of air */
    ow_unit wind_unit;
    ow_unit cloud_unit;
    ow_unit rain_unit;
    double stale_after_h;
} ow_forecast_source;

typedef struct ow_broker {
    bool given;
    const char *host;
    int port;
    const char *user;
    const char *password_file;
    const char *ca_file;
    const char *cert_file;
    const char *key_file;
} ow_broker;

/* ---- what switches --------------------------------------------------------------------------- */

#define OW_OUTPUT_KIND_LIST(X)                                                                     \
    X(OW_OUTPUT_HEATER, "heater")                                                                  \
    X(OW_OUTPUT_CLOTH_DRIVE, "cloth drive")

typedef enum ow_output_kind { OW_OUTPUT_KIND_LIST(OW_GARDEN_ENUM) } ow_output_kind;

typedef struct ow_reported {
    bool given;
    const char *topic;
    const char *on;
    const char *off;
} ow_reported;

typedef struct ow_output {
    const char *id;
    const char *name;
    ow_output_kind kind;
    ow_ref place;
    const char *topic; /* where commands go */
    double lease_s;
    double off_by_itself_s; /* the device's own timer; NAN: only ever rehearsed */
    bool cautions_read;     /* false: only ever rehearsed */
    /* heater */
    const char *on; /* payload; {seconds} stands for the lease */
    const char *off;
    double watts;
    double keep_air_above_c;
    double set_back_c; /* lowest that the air may fall to while its plants allow; NAN: the same */
    ow_reported reported;
    ow_ref power;               /* a reading */
    ow_refs blocked_while_open; /* readings */
    double too_warm_c;
    double longest_run_min;
    double least_rest_min;
    double shortest_on_min;
    double shortest_off_min;
    ow_ref circuit;
    /* cloth drive */
    const char *close;
    const char *open;
    const char *stop;
    ow_refs covers_plants;
    double travel_s;
    double dead_s;
    ow_ref closed_end; /* readings */
    ow_ref open_end;
    double wind_max_ms;
    double starts_per_h;
} ow_output;

typedef struct ow_circuit {
    const char *id;
    double max_watts;
} ow_circuit;

typedef struct ow_price_source {
    bool given;
    const char *topic;
    const char *list; /* JSON pointer to the list of prices */
    const char *time; /* JSON pointers within one of them */
    const char *price;
    double stale_after_h;
} ow_price_source;

typedef struct ow_tariff {
    double per_kwh;       /* NAN when left out */
    const char *currency; /* or NULL */
    ow_price_source prices;
} ow_tariff;

/* ---- people ---------------------------------------------------------------------------------- */

#define OW_HEARS_LIST(X)                                                                           \
    X(OW_HEARS_URGENT, "urgent") X(OW_HEARS_JOBS, "jobs") X(OW_HEARS_SHEETS, "sheets")

typedef enum ow_hears { OW_HEARS_LIST(OW_GARDEN_ENUM) } ow_hears;

/* What a trolley makes of what a person lifts (common practice, no source). */
#define OW_TROLLEY_TIMES 4.0

typedef struct ow_member {
    const char *id;
    const char *name;
    unsigned hears; /* bit 1u << ow_hears; default all */
    ow_hours quiet; /* no notice but urgent ones */
    ow_hours hands; /* when hands are free for jobs */
    double lifts_kg;
    bool trolley; /* moves OW_TROLLEY_TIMES what it lifts */
} ow_member;

/* ---- announcements --------------------------------------------------------------------------- */

#define OW_ANNOUNCED_LIST(X)                                                                       \
    X(OW_ANNOUNCED_STATES, "states") X(OW_ANNOUNCED_NUMBERS, "numbers")                            \
    X(OW_ANNOUNCED_TIMES, "times") X(OW_ANNOUNCED_TEXTS, "texts") X(OW_ANNOUNCED_LISTS, "lists")   \
    X(OW_ANNOUNCED_SETTABLE, "settable")

typedef enum ow_announced { OW_ANNOUNCED_LIST(OW_GARDEN_ENUM) } ow_announced;

/* What the hub is told of each property, by templates (garden/template.h). */
typedef struct ow_announcement {
    const char *topic, *text;
    unsigned of;          /* bit 1u << ow_announced */
    const char *property; /* one property of all things; NULL: by `of` */
} ow_announcement;

#undef OW_GARDEN_ENUM

/* ---- the garden ------------------------------------------------------------------------------ */

typedef struct ow_garden {
    const char *id; /* the key "garden" */
    ow_site site;
    const char *time_zone;
    double design_c;   /* coldest night to be ready for; NAN when left out */
    const char *root;  /* of the hub tree, default "homie" */
    const char *store; /* directory for state; NULL when left out */
    ow_broker broker;
    ow_forecast_source forecast;
    int reading_count;
    ow_reading *readings;
    int place_count;
    ow_place *places;
    int cover_count;
    ow_cover *covers;
    int plant_count;
    ow_plant *plants;
    int output_count;
    ow_output *outputs;
    int circuit_count;
    ow_circuit *circuits;
    ow_tariff tariff;
    int household_count;
    ow_member *household;
    int announcement_count;
    ow_announcement *announcements;
} ow_garden;

/*
 * Reads and proves a garden file. `file_name` stands before each message ("NAME:line:column: ").
 * `text` holds `size` bytes and need not be zero-terminated. Every fault goes to `report` as an
 * error, sorted by place in the file; advice goes there as lines that are no errors.
 * OW_OK: *garden owns the new garden. OW_BAD_INPUT, OW_NO_MEMORY: *garden is untouched.
 */
OW_CHECK ow_status ow_garden_read(const char *file_name, const char *text, size_t size,
                                  ow_report *report, ow_garden **garden);

/* Frees a garden and all it owns; NULL is allowed. */
void ow_garden_free(ow_garden *garden);

/* Index of the plant, place or cover with that id; -1: the garden has none such. */
int ow_plant_named(const ow_garden *garden, const char *id);
int ow_place_named(const ow_garden *garden, const char *id);
int ow_cover_named(const ow_garden *garden, const char *id);

/* The words that the file uses, e.g. "treasured"; "?" outside the enum. */
const char *ow_light_name(ow_light light);
const char *ow_value_name(ow_value value);
const char *ow_limit_of_name(ow_limit_of of);
const char *ow_measures_name(ow_measures measures);
const char *ow_unit_name(ow_unit unit);
const char *ow_output_kind_name(ow_output_kind kind);
const char *ow_hears_name(ow_hears hears);
const char *ow_announced_name(ow_announced announced);

#endif
