/* SPDX-License-Identifier: MIT */
#include "hosts/rehearse.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "hosts/flow.h"
#include "hosts/garden_file.h"
#include "hosts/local_time.h"
#include "hosts/record.h"
#include "hosts/spell.h"
#include "hosts/story.h"
#include "hosts/table.h"
#include "physics/calendar.h"

enum { LONGEST_STEP_S = 1800, STORY_LINES = 27 };

struct run {
    const ow_module *module;
    const ow_options *options;
    ow_report *report;
    ow_weather_file weather;
    ow_spell spell;
    ow_engine *engine;
    ow_record record;
};

int ow_rehearse_step_s(int every_min)
{
    int every_s = 60 * every_min;
    int n = (every_s + LONGEST_STEP_S - 1) / LONGEST_STEP_S;
    while (every_s % n != 0) {
        n++;
    }
    return every_s / n;
}

static ow_status read_weather(struct run *run)
{
    const char *path = run->options->weather;
    ow_status status = ow_weather_file_open(path, run->report, &run->weather);
    if (status != OW_OK) {
        return status;
    }
    return ow_spell_choose(&run->weather, path, run->options->from_s, run->options->until_s,
                           run->report, &run->spell);
}

/* The record is not open yet while the garden is; nothing happens before the clock starts. */
static void take_event(void *self, int64_t utc_s, const char *subject, const char *event,
                       const char *detail)
{
    struct run *run = self;
    if (run->record.events.out.file != NULL) {
        ow_event_log_add(&run->record.events, utc_s, subject, event, detail);
    }
}

static ow_status issue_forecast(struct run *run)
{
    const ow_weather_row *rows;
    int64_t ahead_s = (int64_t)(run->options->foresight_h * OW_HOUR_S);
    if (ahead_s == 0) {
        return OW_OK;
    }
    size_t n = ow_spell_ahead(&run->spell, run->module->now_s(run->engine), ahead_s, &rows);
    return run->module->forecast(run->engine, rows, n);
}

static ow_status feed(struct run *run, int64_t until_s)
{
    const ow_weather_row *rows;
    size_t n = ow_spell_feed(&run->spell, until_s, &rows);
    return n == 0 ? OW_OK : run->module->weather(run->engine, rows, n);
}

/* The state at the first row. */
static ow_status begin(struct run *run)
{
    int64_t start_s = ow_spell_start_s(&run->spell);
    ow_status status = feed(run, start_s);
    if (status == OW_OK) {
        status = issue_forecast(run);
    }
    if (status == OW_OK) {
        status = run->module->advance(run->engine, start_s);
    }
    if (status == OW_OK) {
        ow_record_note(&run->record, true);
    }
    return status;
}

/* One advance, of an hour or what comes near it in whole steps; a forecast in each new hour. */
static ow_status go_on(struct run *run, int64_t to_s, int64_t *hour)
{
    int64_t since_start_s = run->module->now_s(run->engine) - ow_spell_start_s(&run->spell);
    ow_status status = OW_OK;
    if (since_start_s / OW_HOUR_S != *hour) {
        *hour = since_start_s / OW_HOUR_S;
        status = issue_forecast(run);
    }
    if (status == OW_OK) {
        status = feed(run, to_s);
    }
    return status == OW_OK ? run->module->advance(run->engine, to_s) : status;
}

static ow_status play(struct run *run)
{
    int step_s = ow_rehearse_step_s(run->options->every_min);
    int64_t stride_s = step_s * (step_s < OW_HOUR_S ? OW_HOUR_S / step_s : 1);
    int64_t every_s = 60 * (int64_t)run->options->every_min;
    int64_t now_s = ow_spell_start_s(&run->spell);
    int64_t line_s = now_s + every_s;
    int64_t hour = 0;
    ow_status status = begin(run);
    while (status == OW_OK && line_s <= ow_spell_end_s(&run->spell)) {
        now_s = now_s + stride_s < line_s ? now_s + stride_s : line_s;
        status = go_on(run, now_s, &hour);
        if (status == OW_OK) {
            ow_record_note(&run->record, now_s == line_s);
        }
        line_s += now_s == line_s ? every_s : 0;
    }
    return status;
}

static void print_head(const struct run *run)
{
    ow_flow flow = {.file = stdout};
    char from[OW_LOCAL_TEXT], until[OW_LOCAL_TEXT], text[512];
    snprintf(text, sizeof text, "%s: %s to %s, time of %s", run->module->garden_id(run->engine),
             ow_local_long(run->record.from_s, from),
             ow_local_long(run->module->now_s(run->engine), until),
             run->module->time_zone(run->engine));
    ow_flow_words(&flow, text);
    ow_flow_end(&flow);
    putchar('\n');
}

static void print_files(const struct run *run)
{
    ow_flow flow = {.file = stdout};
    ow_flow_words(&flow, "The plot and the numbers are in");
    ow_flow_words(&flow, run->options->out);
    ow_flow_put(&flow, ":", 0);
    ow_flow_words(&flow, "ahead.svg, tile.svg, summary.json, timeline.csv, events.csv");
    if (run->record.has_ground) {
        ow_flow_words(&flow, "and ground.csv");
    }
    ow_flow_end(&flow);
}

static void print_result(const struct run *run)
{
    if (run->options->json) {
        puts(run->record.summary);
        return;
    }
    print_head(run);
    ow_table_plants(stdout, run->module, run->engine, run->record.worst);
    puts("\nleaf bud root point organ: foliage, buds, roots, growing point, storage organ.\n"
         "Minus: so far past its limit of harm. froz: days with roots shut in ice.\n"
         "\nWhat happened:");
    ow_story_tell(stdout, &run->record.events, STORY_LINES);
    putchar('\n');
    ow_table_sky(stdout, run->module, run->engine);
    ow_table_heaters(stdout, run->module, run->engine);
    print_files(run);
}

static ow_status rehearse_open(struct run *run)
{
    ow_status status =
        ow_record_open(&run->record, run->module, run->engine, run->options->out,
                       ow_spell_start_s(&run->spell), ow_spell_end_s(&run->spell), run->report);
    if (status != OW_OK) {
        return status;
    }
    status = play(run);
    if (status == OW_OK) {
        status = ow_record_keep(&run->record, run->report);
    }
    if (status == OW_OK) {
        print_result(run);
    }
    ow_record_close(&run->record);
    return status;
}

ow_status ow_rehearse(const ow_module *module, const ow_options *options, ow_report *report)
{
    struct run run = {.module = module, .options = options, .report = report};
    const ow_host host = {.self = &run, .utc_offset_s = ow_local_offset_s, .event = take_event};
    /* Both files are read before either stops the run, so that all errors come in one go. */
    ow_status weather = read_weather(&run);
    const ow_settings settings = {.hands_obey = options->hands_obey,
                                  .foresight_h = options->foresight_h,
                                  .spread_weather = options->spread_weather,
                                  .spread_materials = options->spread_materials,
                                  .step_s = ow_rehearse_step_s(options->every_min),
                                  .start_air_c =
                                      weather == OW_OK ? ow_spell_start_air_c(&run.spell) : NAN};
    ow_status garden =
        ow_garden_file_open(module, &host, options->garden, &settings, report, &run.engine);
    ow_status status = garden != OW_OK ? garden : weather;
    if (status == OW_OK) {
        status = rehearse_open(&run);
    }
    if (garden == OW_OK) {
        module->close(run.engine);
    }
    ow_weather_file_free(&run.weather);
    return status;
}
