/* SPDX-License-Identifier: MIT */
#include "hosts/fit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "hosts/flow.h"
#include "hosts/garden_file.h"
#include "hosts/local_time.h"
#include "hosts/probe_file.h"
#include "hosts/text_file.h"
#include "hosts/weather_file.h"

enum { SIDE, TOP, WATER };
static const char *const part_words[OW_FIT_VIEW_PARTS] = {"side", "top", "water"};
static const double TELLS_PROBE_K = 0.2, TELLS_CORRELATION = 0.7, AS_FAR_AS = 3.9;

struct fit {
    const ow_module *module;
    const ow_options *options;
    ow_report *report;
    ow_weather_file weather;
    ow_probe_file probe;
    ow_engine *engine;
};

/* ---- the files ------------------------------------------------------------------------------- */

static ow_status read_probe(struct fit *f)
{
    char *text;
    size_t size;
    const char *path = f->options->probe;
    ow_status status = ow_text_read(path, OW_PROBE_FILE_MOST, f->report, &text, &size);
    if (status == OW_OK) {
        status = ow_probe_file_read(path, text, size, f->report, &f->probe);
        free(text);
    }
    return status;
}

/* The rows between --from and --until. */
static const ow_probe_row *chosen(const struct fit *f, size_t *n)
{
    const ow_probe_row *row = f->probe.row, *end = row + f->probe.count;
    while (row < end && row->utc_s < f->options->from_s) {
        row++;
    }
    while (end > row && end[-1].utc_s > f->options->until_s) {
        end--;
    }
    *n = (size_t)(end - row);
    return row;
}

static const char *plant_of(const struct fit *f)
{
    const char *plant = f->options->plant != NULL ? f->options->plant : f->probe.plant;
    if (plant[0] == '\0') {
        ow_error(f->report,
                 "%s: its header does not say which plant it is of; give --plant ID, or name the "
                 "column after the plant, such as lemon_c",
                 f->options->probe);
        return NULL;
    }
    if (f->options->plant != NULL && f->probe.plant[0] != '\0' &&
        strcmp(f->options->plant, f->probe.plant) != 0) {
        ow_error(f->report, "%s: its header says %s and --plant says %s; which is it?",
                 f->options->probe, f->probe.plant, f->options->plant);
        return NULL;
    }
    return plant;
}

/* ---- what is printed ------------------------------------------------------------------------- */

static void print_text(const char *text)
{
    ow_flow flow = {.file = stdout};
    ow_flow_words(&flow, text);
    ow_flow_end(&flow);
}

static void print_part(const ow_fit_view *v, int part)
{
    const ow_fit_part_view *p = &v->part[part];
    if (!p->told) {
        printf("  %-6s left to the tables: %s\n", part_words[part], p->why_not);
    } else if (part == WATER) {
        printf("  %-6s %.2f of the volume (%.2f to %.2f); the tables have %.2f\n",
               part_words[part], p->value, p->low, p->high, p->tables);
    } else {
        printf("  %-6s resists heat %.2f times (%.2f to %.2f) as the tables say\n",
               part_words[part], p->value, p->low, p->high);
    }
}

/* The part that the tables were furthest off in, against what they leave open; -1: none told. */
static int furthest(const ow_fit_view *v)
{
    int most = -1;
    double off = -1.0;
    for (int i = 0; i < OW_FIT_VIEW_PARTS; i++) {
        double ratio = v->part[i].told ? fabs(log(v->part[i].value / v->part[i].tables)) : -1.0;
        most = ratio > off ? i : most;
        off = fmax(off, ratio);
    }
    return most;
}

static void print_sentence(const ow_fit_view *v)
{
    static const char *const words[OW_FIT_VIEW_PARTS] = {
        "how well the side of %.100s holds heat", "how well the top of %.100s holds heat",
        "the water in %.100s"};
    char text[600], what[200];
    int part = furthest(v);
    const ow_fit_part_view *p = &v->part[part];
    bool agrees = p->low <= p->tables && p->tables <= p->high;
    snprintf(what, sizeof what, words[part], v->name);
    snprintf(text, sizeof text,
             "The tables put %s %.0f %% too %s%s; they missed the probe by %.2f K, these lines miss "
             "it by %.2f K, a steady error left out.",
             what, 100.0 * fabs(p->tables / p->value - 1.0), p->value > p->tables ? "low" : "high",
             agrees ? ", which is within the bounds" : "", v->tables_k, v->fitted_k);
    print_text(text);
}

static void print_cautions(const ow_fit_view *v)
{
    char text[300];
    for (int i = SIDE; i <= TOP; i++) {
        if (v->part[i].told && fabs(log(v->part[i].value)) > log(AS_FAR_AS)) {
            snprintf(text, sizeof text,
                     "That is as far as a fit goes: something lies round it or over it that the "
                     "garden file does not know, such as litter, a box or a close canopy. Say that "
                     "there first.");
            print_text(text);
        }
    }
    if (fabs(v->probe_off_k) >= TELLS_PROBE_K) {
        snprintf(text, sizeof text,
                 "The probe itself seems to read %.1f K too %s; try it in melting ice.",
                 fabs(v->probe_off_k), v->probe_off_k > 0.0 ? "much" : "little");
        print_text(text);
    }
    for (int i = 0; i < OW_FIT_VIEW_PARTS; i++) {
        for (int k = i + 1; k < OW_FIT_VIEW_PARTS; k++) {
            if (fabs(v->correlation[i][k]) >= TELLS_CORRELATION) {
                snprintf(text, sizeof text,
                         "The numbers of %s and %s hang together (correlation %.2f): take both or "
                         "neither.",
                         part_words[i], part_words[k], v->correlation[i][k]);
                print_text(text);
            }
        }
    }
}

static void print_lines(const ow_fit_view *v, const char *plant)
{
    printf("\nInto \"%s\" of \"%s\", at its beginning and in place of the same keys:\n\n",
           v->in_bed ? "bed" : "pot", plant);
    for (const char *at = v->lines; *at != '\0';) {
        size_t length = strcspn(at, "\n");
        printf("    %.*s\n", (int)length, at);
        at += length + 1;
    }
}

static void print_fit(const ow_fit_view *v, const char *plant)
{
    char text[300];
    snprintf(text, sizeof text,
             "%s: what %.1f days of a probe tell, with bounds that hold the truth nine times in "
             "ten if the rest of the garden file is right:",
             v->name, v->hours / 24.0);
    print_text(text);
    putchar('\n');
    for (int i = 0; i < OW_FIT_VIEW_PARTS; i++) {
        print_part(v, i);
    }
    putchar('\n');
    print_sentence(v);
    print_cautions(v);
    print_lines(v, plant);
}

/* ---- the command ----------------------------------------------------------------------------- */

static ow_status fit_and_print(struct fit *f)
{
    ow_fit_view view;
    size_t n;
    const char *plant = plant_of(f);
    if (plant == NULL) {
        return OW_BAD_INPUT;
    }
    const ow_probe_row *rows = chosen(f, &n);
    ow_status status = f->module->weather(f->engine, f->weather.row, f->weather.count);
    if (status == OW_OK) {
        status = f->module->fit(f->engine, plant, f->options->depth_mm / 1000.0, rows, n, &view);
    } else {
        ow_error(f->report, "%s: the first row has no air_c", f->options->weather);
        return status;
    }
    if ((status == OW_OK || status == OW_BAD_INPUT) && view.refused != NULL) {
        ow_error(f->report, "%s: %s", f->options->probe, view.refused);
        return OW_BAD_INPUT;
    }
    if (status == OW_OK) {
        print_fit(&view, plant);
    }
    return status;
}

ow_status ow_fit_command(const ow_module *module, const ow_options *options, ow_report *report)
{
    struct fit f = {.module = module, .options = options, .report = report};
    const ow_host host = {.self = &f, .utc_offset_s = ow_local_offset_s};
    /* All files are read before any stops the run, so that all errors come in one go. */
    ow_status probe = read_probe(&f);
    ow_status weather = ow_weather_file_open(options->weather, report, &f.weather);
    ow_status garden = ow_garden_file_open(module, &host, options->garden, NULL, report, &f.engine);
    ow_status status = garden != OW_OK ? garden : probe != OW_OK ? probe : weather;
    if (status == OW_OK) {
        status = fit_and_print(&f);
    }
    if (garden == OW_OK) {
        module->close(f.engine);
    }
    ow_probe_file_free(&f.probe);
    ow_weather_file_free(&f.weather);
    return status;
}
