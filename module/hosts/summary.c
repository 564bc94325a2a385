/* SPDX-License-Identifier: MIT */
#include "hosts/summary.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "hosts/numbers.h"
#include "physics/calendar.h"

/* cJSON takes a NULL parent and gives NULL back, so that one look at the end finds any failure. */
struct maker {
    bool failed;
    const ow_module *module;
    const ow_engine *engine;
};

static cJSON *object(struct maker *maker, cJSON *parent, const char *name)
{
    cJSON *made = cJSON_AddObjectToObject(parent, name);
    maker->failed = maker->failed || made == NULL;
    return made;
}

static cJSON *array(struct maker *maker, cJSON *parent, const char *name)
{
    cJSON *made = cJSON_AddArrayToObject(parent, name);
    maker->failed = maker->failed || made == NULL;
    return made;
}

static cJSON *element(struct maker *maker, cJSON *list)
{
    cJSON *made = cJSON_CreateObject();
    if (!cJSON_AddItemToArray(list, made)) {
        cJSON_Delete(made);
        maker->failed = true;
        return NULL;
    }
    return made;
}

static void add_text(struct maker *maker, cJSON *parent, const char *name, const char *text)
{
    maker->failed = cJSON_AddStringToObject(parent, name, text) == NULL || maker->failed;
}

/* Fixed decimals, null for NAN: cJSON's own printing would show the noise of the last bits. */
static void add_number(struct maker *maker, cJSON *parent, const char *name, double value,
                       int decimals)
{
    char text[OW_NUMBER_TEXT];
    const char *raw = ow_fixed(value, decimals, text)[0] == '\0' ? "null" : text;
    maker->failed = cJSON_AddRawToObject(parent, name, raw) == NULL || maker->failed;
}

static void add_time(struct maker *maker, cJSON *parent, const char *name, int64_t utc_s)
{
    char text[OW_TIME_TEXT];
    add_text(maker, parent, name, ow_time_format(utc_s, text));
}

static void add_moment(struct maker *maker, cJSON *parent, const char *name, double utc_s)
{
    if (isfinite(utc_s)) {
        add_time(maker, parent, name, (int64_t)floor(utc_s + 0.5));
    } else {
        maker->failed = cJSON_AddNullToObject(parent, name) == NULL || maker->failed;
    }
}

static void add_lowest(struct maker *maker, cJSON *plant, const ow_plant_view *view)
{
    cJSON *lowest = object(maker, plant, "lowest");
    for (int i = 0; i < OW_VIEW_PARTS; i++) {
        const ow_part_view *part = &view->part[i];
        if (part->name != NULL && isfinite(part->lowest_c)) {
            cJSON *entry = object(maker, lowest, part->name);
            add_number(maker, entry, "c", part->lowest_c, OW_DECIMALS_C);
            add_time(maker, entry, "time", part->lowest_s);
        }
    }
}

static void add_passed(struct maker *maker, cJSON *list, const char *part, const char *what,
                       int64_t utc_s)
{
    cJSON *entry = element(maker, list);
    add_text(maker, entry, "part", part);
    add_text(maker, entry, "what", what);
    add_time(maker, entry, "time", utc_s);
}

static void add_limits_passed(struct maker *maker, cJSON *plant, const ow_plant_view *view)
{
    cJSON *list = array(maker, plant, "limits_passed");
    for (int i = 0; i < OW_VIEW_PARTS; i++) {
        const ow_part_view *part = &view->part[i];
        if (part->name != NULL && part->passed_damaged) {
            add_passed(maker, list, part->name, "damaged", part->passed_damaged_s);
        }
        if (part->name != NULL && part->passed_killed) {
            add_passed(maker, list, part->name, "killed", part->passed_killed_s);
        }
    }
}

static void add_plants(struct maker *maker, cJSON *root)
{
    cJSON *list = array(maker, root, "plants");
    for (int i = 0; i < maker->module->plant_count(maker->engine); i++) {
        ow_plant_view view;
        maker->module->plant(maker->engine, i, &view);
        cJSON *plant = element(maker, list);
        add_text(maker, plant, "id", view.id);
        add_text(maker, plant, "state", view.state);
        add_lowest(maker, plant, &view);
        add_number(maker, plant, "frozen_through_h", view.frozen_through_h, OW_DECIMALS_DAYS);
        add_moment(maker, plant, "ice_half", view.ice_half_s);
        add_moment(maker, plant, "ice_nine_tenths", view.ice_nine_tenths_s);
        add_moment(maker, plant, "thaw_half", view.thaw_half_s);
        add_moment(maker, plant, "thaw_gone", view.thaw_gone_s);
        add_limits_passed(maker, plant, &view);
        add_number(maker, plant, "risk", view.risk, OW_DECIMALS_SHARE);
    }
}

/* The lowest temperature of each part had the sky been clear, and had it been shut. */
static void add_sky_of(struct maker *maker, cJSON *list, const ow_plant_view *view,
                       const ow_sky_view *sky)
{
    cJSON *plant = element(maker, list);
    add_text(maker, plant, "id", view->id);
    cJSON *lowest = object(maker, plant, "lowest");
    for (int i = 0; i < OW_VIEW_PARTS; i++) {
        if (view->part[i].name != NULL && isfinite(sky->coldest_clear_c[i])) {
            cJSON *part = object(maker, lowest, view->part[i].name);
            add_number(maker, part, "clear_c", sky->coldest_clear_c[i], OW_DECIMALS_C);
            add_number(maker, part, "shut_c", sky->coldest_shut_c[i], OW_DECIMALS_C);
        }
    }
}

static void add_sky(struct maker *maker, cJSON *root)
{
    cJSON *sky = object(maker, root, "sky");
    double share = 0.0;
    int plants = maker->module->plant_count(maker->engine);
    cJSON *list = cJSON_CreateArray();
    for (int i = 0; i < plants; i++) {
        ow_plant_view view;
        ow_sky_view seen;
        maker->module->plant(maker->engine, i, &view);
        maker->module->sky(maker->engine, i, &seen);
        share = seen.assumed ? fmax(share, seen.assumed_share) : share;
        if (seen.assumed) {
            add_sky_of(maker, list, &view, &seen);
        }
    }
    add_number(maker, sky, "assumed_share", share, OW_DECIMALS_SHARE);
    if (!cJSON_AddItemToObject(sky, "plants", list)) {
        cJSON_Delete(list);
        maker->failed = true;
    }
}

static void add_heaters(struct maker *maker, cJSON *root)
{
    cJSON *list = array(maker, root, "heaters");
    for (int i = 0; i < maker->module->heater_count(maker->engine); i++) {
        ow_heater_view view;
        maker->module->heater(maker->engine, i, &view);
        cJSON *heater = element(maker, list);
        add_text(maker, heater, "id", view.id);
        add_number(maker, heater, "kwh", view.kwh, OW_DECIMALS_C);
    }
}

ow_status ow_summary_text(const ow_module *module, const ow_engine *engine, int64_t from_s,
                          char **text)
{
    struct maker maker = {.module = module, .engine = engine};
    cJSON *root = cJSON_CreateObject();
    add_text(&maker, root, "garden", module->garden_id(engine));
    add_time(&maker, root, "from", from_s);
    add_time(&maker, root, "until", module->now_s(engine));
    add_sky(&maker, root);
    add_plants(&maker, root);
    add_heaters(&maker, root);
    char *printed = maker.failed ? NULL : cJSON_Print(root);
    cJSON_Delete(root);
    if (printed == NULL) {
        return OW_NO_MEMORY;
    }
    *text = printed;
    return OW_OK;
}
