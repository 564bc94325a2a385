/* SPDX-License-Identifier: MIT */
#include "hosts/printed_sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "hosts/flow.h"
#include "hosts/local_time.h"
#include "hosts/numbers.h"

enum { JOBS_A_PLANT = 16 };

ow_status ow_printed_gather(const ow_module *module, const ow_engine *engine, ow_printed *sheet)
{
    int room = module->plant_count(engine) * JOBS_A_PLANT;
    *sheet = (ow_printed){.module = module, .engine = engine};
    sheet->job = calloc((size_t)room, sizeof *sheet->job);
    if (sheet->job == NULL) {
        return OW_NO_MEMORY;
    }
    module->ahead(engine, &sheet->ahead);
    ow_status status = module->jobs(engine, sheet->job, room, &sheet->jobs);
    for (int i = 0; i < sheet->jobs; i++) {
        sheet->minutes += sheet->job[i].minutes;
    }
    if (status != OW_OK) {
        ow_printed_free(sheet);
    }
    return status;
}

void ow_printed_free(ow_printed *sheet)
{
    free(sheet->job);
    sheet->job = NULL;
}

/* ---- sentences that both sheets share -------------------------------------------------------- */

void ow_printed_lowest(const ow_printed *e, char text[OW_PRINTED_LINE])
{
    char when[OW_LOCAL_TEXT], until[OW_LOCAL_TEXT], lowest[OW_NUMBER_TEXT];
    if (!e->ahead.known) {
        snprintf(text, OW_PRINTED_LINE, "Nothing is known of the hours ahead.");
        return;
    }
    snprintf(text, OW_PRINTED_LINE,
             "Lowest expected out of doors: %s C by %s (looked ahead until %s).",
             ow_fixed(e->ahead.lowest_air_c, 1, lowest),
             ow_local_short(e->ahead.lowest_air_s, when), ow_local_short(e->ahead.until_s, until));
}

void ow_printed_by(const ow_job_view *job, char text[OW_PRINTED_BY])
{
    char when[OW_LOCAL_TEXT];
    if (job->by_s == INT64_MIN) {
        snprintf(text, OW_PRINTED_BY, "no hurry");
    } else {
        snprintf(text, OW_PRINTED_BY, "%sby %s", job->late ? "late, " : "",
                 ow_local_short(job->by_s, when));
    }
}

void ow_printed_first(const ow_printed *e, char text[OW_PRINTED_LINE])
{
    char by[OW_PRINTED_BY], last[OW_LOCAL_TEXT];
    if (e->jobs == 0) {
        snprintf(text, OW_PRINTED_LINE, "Nothing to do.");
        return;
    }
    const ow_job_view *first = &e->job[0];
    ow_printed_by(first, by);
    int used = snprintf(text, OW_PRINTED_LINE, "First: %.100s, %.160s, %.40s", first->subject,
                        first->what, by);
    if (first->last_s != INT64_MIN && first->last_s != first->by_s) {
        used += snprintf(text + used, OW_PRINTED_LINE - (size_t)used, ", %s at the latest",
                         ow_local_short(first->last_s, last));
    }
    snprintf(text + used, OW_PRINTED_LINE - (size_t)used, ". %d %s, %d min in all.", e->jobs,
             e->jobs == 1 ? "job" : "jobs", e->minutes);
}

void ow_printed_effort(const ow_job_view *job, char text[OW_PRINTED_LINE])
{
    char last[OW_LOCAL_TEXT];
    int used = snprintf(text, OW_PRINTED_LINE, "%d min", job->minutes);
    if (job->people > 1) {
        used += snprintf(text + used, OW_PRINTED_LINE - (size_t)used, ", %d people", job->people);
    }
    if (!isnan(job->kg)) {
        used += snprintf(text + used, OW_PRINTED_LINE - (size_t)used, ", %.0f kg to lift", job->kg);
    }
    if (job->who[0] != '\0') {
        used += snprintf(text + used, OW_PRINTED_LINE - (size_t)used, ", for %s", job->who);
    }
    if (job->last_s != INT64_MIN && job->last_s != job->by_s) {
        snprintf(text + used, OW_PRINTED_LINE - (size_t)used, "; at the latest %s",
                 ow_local_short(job->last_s, last));
    }
}

bool ow_printed_left(const ow_printed *e, int plant, char text[OW_PRINTED_LINE])
{
    ow_plant_view view;
    ow_left_view left;
    if (!e->module->left_off(e->engine, plant, &left)) {
        return false;
    }
    e->module->plant(e->engine, plant, &view);
    snprintf(text, OW_PRINTED_LINE, "%.100s: %s%s%s", view.name, left.what,
             left.what[0] != '\0' ? ": " : "", left.why);
    return true;
}

void ow_printed_state(const ow_plant_view *p, char text[OW_PRINTED_LINE])
{
    int used = snprintf(text, OW_PRINTED_LINE, "%s", p->state);
    if (!isnan(p->risk)) {
        used += snprintf(text + used, OW_PRINTED_LINE - (size_t)used, ", risk %.0f %%",
                         100.0 * p->risk);
    }
    if (p->wearing[0] != '\0') {
        snprintf(text + used, OW_PRINTED_LINE - (size_t)used, ", wears %s", p->wearing);
    }
}

/* ---- 80 columns ------------------------------------------------------------------------------ */

static void paragraph(FILE *file, int indent, const char *head, const char *words)
{
    ow_flow flow = {.file = file, .indent = indent};
    ow_flow_put(&flow, "", indent);
    ow_flow_words(&flow, head);
    ow_flow_words(&flow, words);
    ow_flow_end(&flow);
}

static void put_job(FILE *file, const ow_job_view *job, int number)
{
    enum { NUMBER = 4 };
    char line[OW_PRINTED_LINE], by[OW_PRINTED_BY], head[16];
    ow_flow flow = {.file = file, .indent = NUMBER};
    snprintf(head, sizeof head, "%2d. ", number);
    ow_flow_put(&flow, head, NUMBER);
    ow_printed_by(job, by);
    snprintf(line, sizeof line, "%.100s%s%.100s%s: %.160s, %s", job->subject,
             job->place != NULL ? " (" : "", job->place != NULL ? job->place : "",
             job->place != NULL ? ")" : "", job->what, by);
    ow_flow_words(&flow, line);
    ow_flow_end(&flow);
    ow_printed_effort(job, line);
    paragraph(file, NUMBER, line, "");
    if (job->why[0] != '\0') {
        paragraph(file, NUMBER, "Why:", job->why);
    }
    if (job->otherwise[0] != '\0') {
        paragraph(file, NUMBER, "Otherwise:", job->otherwise);
    }
}

static void put_left(FILE *file, const ow_printed *e)
{
    char line[OW_PRINTED_LINE];
    const char *head = "\nLeft off:\n";
    for (int i = 0; i < e->module->plant_count(e->engine); i++) {
        if (ow_printed_left(e, i, line)) {
            fputs(head, file);
            paragraph(file, 2, line, "");
            head = "";
        }
    }
}

static void put_plants(FILE *file, const ow_printed *e)
{
    enum { NAME = 26 };
    char line[OW_PRINTED_LINE];
    fputs("\nThe plants:\n", file);
    for (int i = 0; i < e->module->plant_count(e->engine); i++) {
        ow_plant_view plant;
        e->module->plant(e->engine, i, &plant);
        ow_flow flow = {.file = file, .indent = NAME};
        ow_flow_put(&flow, "  ", 2);
        ow_flow_put(&flow, plant.name, NAME - 2);
        ow_printed_state(&plant, line);
        ow_flow_words(&flow, line);
        ow_flow_end(&flow);
    }
}

void ow_printed_text(FILE *file, const ow_printed *e)
{
    char line[OW_PRINTED_LINE], when[OW_LOCAL_TEXT];
    snprintf(line, sizeof line, "%.100s, %s, time of %.60s", e->module->garden_id(e->engine),
             ow_local_long(e->module->now_s(e->engine), when), e->module->time_zone(e->engine));
    paragraph(file, 0, line, "");
    ow_printed_lowest(e, line);
    paragraph(file, 0, line, "");
    ow_printed_first(e, line);
    paragraph(file, 0, line, "");
    for (int i = 0; i < e->jobs; i++) {
        fputc('\n', file);
        put_job(file, &e->job[i], i + 1);
    }
    put_left(file, e);
    put_plants(file, e);
}
