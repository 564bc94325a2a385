/* SPDX-License-Identifier: MIT */
#include "hosts/ahead.h"

#include <math.h>
#include <time.h>

#include "hosts/printed_sheet.h"
#include "hosts/garden_file.h"
#include "hosts/local_time.h"
#include "hosts/past_winters.h"
#include "physics/calendar.h"

enum { STEP_S = 1800 };

int64_t ow_ahead_now_s(const ow_spell *spell, int64_t from_s, int64_t clock_s, double foresight_h,
                       int step_s)
{
    int64_t start_s = ow_spell_start_s(spell), end_s = ow_spell_end_s(spell);
    int64_t now_s = from_s;
    if (from_s == INT64_MIN) {
        bool reaches = clock_s >= start_s && clock_s < end_s;
        now_s = reaches ? clock_s : end_s - (int64_t)(foresight_h * OW_HOUR_S);
    }
    now_s = now_s < start_s ? start_s : now_s;
    now_s -= (now_s - start_s) % step_s;
    while (now_s > start_s && now_s / OW_HOUR_S == (now_s - step_s) / OW_HOUR_S) {
        now_s -= step_s;
    }
    return now_s;
}

static ow_status feed(const ow_module *module, ow_engine *engine, ow_spell *spell, int64_t until_s)
{
    const ow_weather_row *rows;
    size_t n = ow_spell_feed(spell, until_s, &rows);
    return n == 0 ? OW_OK : module->weather(engine, rows, n);
}

/* Up to the step before now nothing is foreseen, so that only one look ahead is taken. */
static ow_status play(const ow_module *module, ow_engine *engine, ow_spell *spell, int64_t now_s,
                      double foresight_h)
{
    const ow_weather_row *rows;
    int64_t before_s = now_s - STEP_S, ahead_s = (int64_t)(foresight_h * OW_HOUR_S);
    ow_status status = OW_OK;
    if (before_s >= ow_spell_start_s(spell)) {
        status = feed(module, engine, spell, before_s);
        status = status == OW_OK ? module->advance(engine, before_s) : status;
    }
    if (status == OW_OK) {
        status = feed(module, engine, spell, now_s);
    }
    size_t n = ow_spell_ahead(spell, now_s, ahead_s, &rows);
    if (status == OW_OK) {
        status = module->forecast(engine, rows, n);
    }
    return status == OW_OK ? module->advance(engine, now_s) : status;
}

static void print_line(void *self, const char *text)
{
    (void)self;
    puts(text);
}

static ow_status print_sheet(const ow_module *module, const ow_engine *engine, bool html)
{
    ow_printed sheet;
    ow_status status = ow_printed_gather(module, engine, &sheet);
    if (status != OW_OK) {
        return status;
    }
    (html ? ow_printed_html : ow_printed_text)(stdout, &sheet);
    ow_printed_free(&sheet);
    if (!html) {
        ow_report lines = {.line = print_line};
        ow_past_winters_tell(module, engine, &lines);
    }
    return OW_OK;
}

/* A now beyond the file is a slip of the hand, and is told as one. */
static ow_status choose(const ow_weather_file *weather, const ow_options *options,
                        ow_report *report, ow_spell *spell)
{
    ow_status status =
        ow_spell_choose(weather, options->weather, INT64_MIN, INT64_MAX, report, spell);
    char begin[OW_TIME_TEXT], last[OW_TIME_TEXT];
    bool within = status != OW_OK || options->from_s == INT64_MIN ||
                  (options->from_s >= ow_spell_start_s(spell) &&
                   options->from_s <= ow_spell_end_s(spell));
    if (!within) {
        ow_error(report, "%s: --from is not within the file, which goes from %s to %s",
                 options->weather, ow_time_format(ow_spell_start_s(spell), begin),
                 ow_time_format(ow_spell_end_s(spell), last));
        return OW_BAD_INPUT;
    }
    return status;
}

ow_status ow_ahead(const ow_module *module, const ow_options *options, ow_report *report)
{
    const ow_host host = {.utc_offset_s = ow_local_offset_s};
    ow_weather_file weather = {0};
    ow_spell spell;
    ow_engine *engine;
    /* Both files are read before either stops the run, so that all errors come in one go. */
    ow_status read = ow_weather_file_open(options->weather, report, &weather);
    if (read == OW_OK) {
        read = choose(&weather, options, report, &spell);
    }
    const ow_settings settings = {.foresight_h = options->foresight_h,
                                  .spread_weather = options->spread_weather,
                                  .spread_materials = options->spread_materials,
                                  .step_s = STEP_S,
                                  .start_air_c = read == OW_OK ? ow_spell_start_air_c(&spell)
                                                               : (double)NAN};
    ow_status garden =
        ow_garden_file_open(module, &host, options->garden, &settings, report, &engine);
    ow_status status = garden != OW_OK ? garden : read;
    if (status == OW_OK) {
        int64_t now_s = ow_ahead_now_s(&spell, options->from_s, (int64_t)time(NULL),
                                       options->foresight_h, STEP_S);
        status = play(module, engine, &spell, now_s, options->foresight_h);
    }
    if (status == OW_OK) {
        status = print_sheet(module, engine, options->html);
    }
    if (garden == OW_OK) {
        module->close(engine);
    }
    ow_weather_file_free(&weather);
    return status;
}
