/* SPDX-License-Identifier: MIT */
#include "hosts/record.h"

#include <stdlib.h>

#include "hosts/plot.h"
#include "hosts/summary.h"

static ow_status open_parts(ow_record *record, int64_t until_s, ow_report *report)
{
    int plants = record->module->plant_count(record->engine);
    record->worst = calloc((size_t)plants + 1, sizeof *record->worst);
    if (record->worst == NULL) {
        return OW_NO_MEMORY;
    }
    for (int i = 0; i < plants; i++) {
        record->worst[i] = ow_worst_none();
    }
    ow_status status = ow_plot_data_open(&record->plot, plants, record->from_s, until_s);
    if (status == OW_OK) {
        status = ow_out_dir(record->dir, report);
    }
    if (status == OW_OK) {
        status = ow_event_log_open(&record->events, record->dir, report);
    }
    if (status == OW_OK) {
        status = ow_timeline_open(&record->timeline, record->dir, record->module, record->engine,
                                  report);
    }
    record->has_ground = record->timeline.ground.file != NULL;
    return status;
}

ow_status ow_record_open(ow_record *record, const ow_module *module, const ow_engine *engine,
                         const char *dir, int64_t from_s, int64_t until_s, ow_report *report)
{
    *record = (ow_record){.module = module, .engine = engine, .dir = dir, .from_s = from_s};
    ow_status status = open_parts(record, until_s, report);
    if (status != OW_OK) {
        ow_record_close(record);
    }
    return status;
}

void ow_record_note(ow_record *record, bool line)
{
    int64_t now_s = record->module->now_s(record->engine);
    for (int i = 0; i < record->plot.plants; i++) {
        ow_plant_view view;
        record->module->plant(record->engine, i, &view);
        ow_worst_note(&record->worst[i], &view);
        ow_plot_data_note(&record->plot, i, now_s, &view);
    }
    if (line) {
        ow_timeline_write(&record->timeline, record->module, record->engine);
    }
}

static ow_plot_label label_of(const ow_plant_view *view, const ow_worst *worst)
{
    return (ow_plot_label){
        .id = view->id,
        .name = view->name,
        .taxon = view->taxon,
        .nearest_part = worst->nearest_part < 0 ? NULL : view->part[worst->nearest_part].name,
        .worst = *worst};
}

static ow_status keep_plot(const ow_record *record, ow_report *report)
{
    ow_out out;
    ow_plot_label *label = calloc((size_t)record->plot.plants + 1, sizeof *label);
    if (label == NULL) {
        return OW_NO_MEMORY;
    }
    for (int i = 0; i < record->plot.plants; i++) {
        ow_plant_view view;
        record->module->plant(record->engine, i, &view);
        label[i] = label_of(&view, &record->worst[i]);
    }
    ow_status status = ow_out_open(&out, record->dir, "ahead.svg", report);
    if (status == OW_OK) {
        ow_plot_draw(out.file, record->module->garden_id(record->engine), &record->plot, label);
        status = ow_out_keep(&out, report);
    }
    free(label);
    return status;
}

static ow_status keep_tile(const ow_record *record, ow_report *report)
{
    ow_out out;
    char *svg = NULL;
    ow_status status = record->module->tile(record->engine, &svg);
    if (status == OW_OK) {
        status = ow_out_open(&out, record->dir, "tile.svg", report);
    }
    if (status == OW_OK) {
        fputs(svg, out.file);
        status = ow_out_keep(&out, report);
    }
    free(svg);
    return status;
}

static ow_status keep_summary(ow_record *record, ow_report *report)
{
    ow_out out;
    ow_status status =
        ow_summary_text(record->module, record->engine, record->from_s, &record->summary);
    if (status != OW_OK) {
        return status;
    }
    status = ow_out_open(&out, record->dir, "summary.json", report);
    if (status != OW_OK) {
        return status;
    }
    fprintf(out.file, "%s\n", record->summary);
    return ow_out_keep(&out, report);
}

ow_status ow_record_keep(ow_record *record, ow_report *report)
{
    ow_status status = ow_timeline_keep(&record->timeline, report);
    if (status == OW_OK) {
        status = ow_event_log_keep(&record->events, report);
    }
    if (status == OW_OK) {
        status = keep_plot(record, report);
    }
    if (status == OW_OK) {
        status = keep_tile(record, report);
    }
    return status == OW_OK ? keep_summary(record, report) : status;
}

void ow_record_close(ow_record *record)
{
    ow_event_log_close(&record->events);
    ow_timeline_drop(&record->timeline);
    ow_plot_data_close(&record->plot);
    free(record->worst);
    free(record->summary);
    *record = (ow_record){.summary = NULL};
}
