/* SPDX-License-Identifier: MIT */
#include "hub/fitting.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "judgement/fit.h"

static const double BED_PROBE_M = 0.1;

struct ow_fitting {
    ow_fit fit;
    char why_not[OW_FIT_PARTS][120];
    char lines[1200];
};

_Static_assert((int)OW_FIT_VIEW_PARTS == (int)OW_FIT_PARTS, "the door shows every part");

void ow_fitting_free(ow_fitting *fitting)
{
    free(fitting);
}

static const char *part_name(int part)
{
    static const char *const names[OW_FIT_PARTS] = {"the side", "the top", "the water"};
    return names[part];
}

static void say_why_not(const ow_fit_part *part, bool bed, int index, char text[120])
{
    switch (part->fate) {
    case OW_FIT_TOLD:
        text[0] = '\0';
        break;
    case OW_FIT_NO_SUCH:
        snprintf(text, 120, "%s", bed && index == OW_FIT_SIDE
                                      ? "a bed has none"
                                      : "the medium is given by measured numbers");
        break;
    case OW_FIT_NO_ICE:
        snprintf(text, 120, "only freezing tells it, and nothing froze");
        break;
    case OW_FIT_UNTOLD:
        snprintf(text, 120, "the record leaves it as open as the tables do");
        break;
    case OW_FIT_TANGLED:
        snprintf(text, 120, "it cannot be told apart from %s", part_name(part->tangled_with));
        break;
    }
}

static void add_line(char *lines, size_t size, const char *format, ...) OW_PRINTF(3, 4);

static void add_line(char *lines, size_t size, const char *format, ...)
{
    size_t used = strlen(lines);
    va_list args;
    va_start(args, format);
    vsnprintf(lines + used, size - used, format, args);
    va_end(args);
}

static void write_lines(const ow_fit *fit, char *lines, size_t size)
{
    const ow_medium *m = &fit->medium;
    lines[0] = '\0';
    if (fit->part[OW_FIT_SIDE].fate == OW_FIT_TOLD) {
        add_line(lines, size, "\"side_factor\": %.2f,\n", fit->part[OW_FIT_SIDE].value);
    }
    if (fit->part[OW_FIT_TOP].fate == OW_FIT_TOLD) {
        add_line(lines, size, "\"top_factor\": %.2f,\n", fit->part[OW_FIT_TOP].value);
    }
    if (fit->part[OW_FIT_WATER].fate == OW_FIT_TOLD) {
        add_line(lines, size,
                 "\"medium\": { \"thawed_w_mk\": %.3f, \"frozen_w_mk\": %.3f,\n"
                 "            \"thawed_j_m3k\": %.0f, \"frozen_j_m3k\": %.0f,\n"
                 "            \"water_fraction\": %.3f,\n"
                 "            \"freezing_c\": %.3f, \"curve_exponent\": %.2f },\n",
                 m->thawed_w_mk, m->frozen_w_mk, m->thawed_j_m3k, m->frozen_j_m3k,
                 fit->part[OW_FIT_WATER].value, m->freezing_c, m->curve_exponent);
    }
}

static void show(const ow_fitting *f, const ow_plant *plant, ow_fit_view *view)
{
    const ow_fit *fit = &f->fit;
    *view = (ow_fit_view){.refused = fit->refused[0] != '\0' ? fit->refused : NULL,
                          .name = plant->name,
                          .in_bed = plant->bed.given,
                          .hours = fit->hours,
                          .tables_k = fit->tables_k,
                          .fitted_k = fit->fitted_k,
                          .probe_off_k = fit->probe_off_k,
                          .lines = f->lines,
                          .moist_share = NAN};
    memcpy(view->correlation, fit->correlation, sizeof view->correlation);
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        const ow_fit_part *part = &fit->part[i];
        bool told = part->fate == OW_FIT_TOLD;
        view->part[i] = (ow_fit_part_view){.told = told,
                                           .why_not = told ? NULL : f->why_not[i],
                                           .tables = part->tables,
                                           .value = told ? part->value : NAN,
                                           .low = told ? part->low : NAN,
                                           .high = told ? part->high : NAN};
    }
    if (view->part[OW_FIT_WATER].told) {
        view->moist_share = fit->part[OW_FIT_WATER].value;
    }
}

/* Readings that are numbers, for the fit. */
static size_t take_rows(const ow_probe_row *rows, size_t n, ow_probe_at *probe)
{
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        if (!isnan(rows[i].c)) {
            probe[kept++] = (ow_probe_at){rows[i].utc_s, rows[i].c};
        }
    }
    return kept;
}

static double usual_depth_m(const ow_plant *plant)
{
    return plant->pot.given ? plant->pot.depth_mm / 2000.0 : BED_PROBE_M;
}

static ow_status fit_plant(ow_engine *e, int plant, double depth_m, const ow_probe_row *rows,
                           size_t n, ow_fit_view *view)
{
    const ow_plant *p = &e->garden->plants[plant];
    ow_fitting *f = e->fitting;
    ow_probe_at *probe = calloc(n + 1, sizeof *probe);
    if (probe == NULL) {
        return OW_NO_MEMORY;
    }
    ow_fit_task task = {.garden = e->garden,
                        .plant = plant,
                        .depth_m = isnan(depth_m) ? usual_depth_m(p) : depth_m,
                        .weather = &e->measured,
                        .probe = probe,
                        .probes = take_rows(rows, n, probe),
                        .step_s = e->settings.step_s};
    ow_status status = ow_fit_run(&task, &f->fit);
    free(probe);
    if (status != OW_OK) {
        return status;
    }
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        say_why_not(&f->fit.part[i], p->bed.given, i, f->why_not[i]);
    }
    write_lines(&f->fit, f->lines, sizeof f->lines);
    show(f, p, view);
    return OW_OK;
}

ow_status ow_engine_fit(ow_engine *e, const char *id, double depth_m, const ow_probe_row *rows,
                        size_t n, ow_fit_view *view)
{
    int plant = ow_plant_named(e->garden, id);
    if (e->fitting == NULL) {
        e->fitting = calloc(1, sizeof *e->fitting);
    }
    if (e->fitting == NULL) {
        return OW_NO_MEMORY;
    }
    if (plant < 0) {
        snprintf(e->fitting->fit.refused, sizeof e->fitting->fit.refused,
                 "%.64s is no plant of the garden", id);
        *view = (ow_fit_view){.refused = e->fitting->fit.refused, .moist_share = NAN};
        return OW_BAD_INPUT;
    }
    return fit_plant(e, plant, depth_m, rows, n, view);
}
