/* SPDX-License-Identifier: MIT */
#include "hosts/timeline.h"

#include <stdbool.h>

#include "hosts/numbers.h"

#define GROUND_FILE "ground.csv"

static bool has_bed(const ow_module *module, const ow_engine *engine)
{
    double t_c[OW_BED_DEPTHS];
    for (int i = 0; i < module->plant_count(engine); i++) {
        if (module->bed(engine, i, t_c)) {
            return true;
        }
    }
    return false;
}

static ow_status open_ground(ow_timeline *timeline, const char *dir, const ow_module *module,
                             const ow_engine *engine, ow_report *report)
{
    if (!has_bed(module, engine)) {
        return ow_out_remove(dir, GROUND_FILE, report);
    }
    ow_status status = ow_out_open(&timeline->ground, dir, GROUND_FILE, report);
    if (status == OW_OK) {
        fputs("time,plant,t_5cm,t_10cm,t_20cm,t_50cm,t_100cm\n", timeline->ground.file);
    }
    return status;
}

ow_status ow_timeline_open(ow_timeline *timeline, const char *dir, const ow_module *module,
                           const ow_engine *engine, ow_report *report)
{
    *timeline = (ow_timeline){.plants = {0}};
    ow_status status = ow_out_open(&timeline->plants, dir, "timeline.csv", report);
    if (status != OW_OK) {
        return status;
    }
    fputs("time,plant,state,act_by,root_mean_c,root_coldest_c,root_warmest_c,root_centre_c,"
          "ice_share,least_ice_share,frozen_days,foliage_c,buds_c,growing_point_c,storage_c,risk\n",
          timeline->plants.file);
    status = open_ground(timeline, dir, module, engine, report);
    if (status != OW_OK) {
        ow_timeline_drop(timeline);
    }
    return status;
}

static void write_plant(FILE *file, int64_t now_s, const ow_plant_view *view)
{
    ow_csv_time(file, now_s);
    fputc(',', file);
    ow_csv_text(file, view->id);
    fputc(',', file);
    ow_csv_text(file, view->state);
    fputc(',', file);
    if (view->act_by_s != INT64_MIN) {
        ow_csv_time(file, view->act_by_s);
    }
    ow_csv_number(file, view->root_mean_c, OW_DECIMALS_C);
    ow_csv_number(file, view->root_coldest_c, OW_DECIMALS_C);
    ow_csv_number(file, view->root_warmest_c, OW_DECIMALS_C);
    ow_csv_number(file, view->root_centre_c, OW_DECIMALS_C);
    ow_csv_number(file, view->ice_share, OW_DECIMALS_SHARE);
    ow_csv_number(file, view->least_ice_share, OW_DECIMALS_SHARE);
    ow_csv_number(file, view->frozen_days, OW_DECIMALS_DAYS);
    ow_csv_number(file, view->foliage_c, OW_DECIMALS_C);
    ow_csv_number(file, view->buds_c, OW_DECIMALS_C);
    ow_csv_number(file, view->growing_point_c, OW_DECIMALS_C);
    ow_csv_number(file, view->storage_c, OW_DECIMALS_C);
    ow_csv_number(file, view->risk, OW_DECIMALS_SHARE);
    fputc('\n', file);
}

static void write_bed(FILE *file, int64_t now_s, const char *id, const double t_c[OW_BED_DEPTHS])
{
    ow_csv_time(file, now_s);
    fputc(',', file);
    ow_csv_text(file, id);
    for (int i = 0; i < OW_BED_DEPTHS; i++) {
        ow_csv_number(file, t_c[i], OW_DECIMALS_C);
    }
    fputc('\n', file);
}

void ow_timeline_write(ow_timeline *timeline, const ow_module *module, const ow_engine *engine)
{
    int64_t now_s = module->now_s(engine);
    for (int i = 0; i < module->plant_count(engine); i++) {
        ow_plant_view view;
        double t_c[OW_BED_DEPTHS];
        module->plant(engine, i, &view);
        write_plant(timeline->plants.file, now_s, &view);
        if (module->bed(engine, i, t_c) && timeline->ground.file != NULL) {
            write_bed(timeline->ground.file, now_s, view.id, t_c);
        }
    }
}

ow_status ow_timeline_keep(ow_timeline *timeline, ow_report *report)
{
    ow_status plants = ow_out_keep(&timeline->plants, report);
    ow_status ground =
        timeline->ground.file == NULL ? OW_OK : ow_out_keep(&timeline->ground, report);
    return plants != OW_OK ? plants : ground;
}

void ow_timeline_drop(ow_timeline *timeline)
{
    ow_out_drop(&timeline->plants);
    ow_out_drop(&timeline->ground);
}
