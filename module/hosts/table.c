/* SPDX-License-Identifier: MIT */
#include "hosts/table.h"

#include <math.h>
#include <string.h>

#include "hosts/flow.h"
#include "hosts/local_time.h"
#include "hosts/numbers.h"

/* Columns of the table with the blank behind each; the last one takes what is left. */
enum { NAME = 15, ASKED = 13, ACT_BY = 13, STATE = 13, BALL = 6, ICE = 4, DAYS = 5 };

static void put_right(ow_flow *flow, const char *text, int width)
{
    int before = width - 1 - ow_flow_columns(text);
    ow_flow_put(flow, "", before > 0 ? before : 0);
    ow_flow_put(flow, text, 0);
    ow_flow_put(flow, " ", 0);
}

static void put_number(ow_flow *flow, double value, int decimals, int width)
{
    char number[OW_NUMBER_TEXT];
    ow_fixed(value, decimals, number);
    put_right(flow, number[0] == '\0' ? "-" : number, width);
}

static void put_asked(ow_flow *flow, const ow_worst *worst)
{
    char text[OW_LOCAL_TEXT];
    const char *by = worst->asked_late                ? "late"
                     : worst->asked_by_s == INT64_MIN ? "-"
                                                      : ow_local_short(worst->asked_by_s, text);
    ow_flow_put(flow, worst->asked[0] == '\0' ? "-" : worst->asked, ASKED);
    ow_flow_put(flow, by, ACT_BY);
}

/* Short names of the parts, so that a plant keeps to one line. */
static const char *short_part(const char *part)
{
    static const char *const names[][2] = {{"foliage", "leaf"},
                                           {"buds", "bud"},
                                           {"roots", "root"},
                                           {"growing point", "point"},
                                           {"storage organ", "organ"}};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (strcmp(part, names[i][0]) == 0) {
            return names[i][1];
        }
    }
    return part;
}

/* Which part came nearest to its limit, and how far above or (negative) past it. */
static void put_nearest(ow_flow *flow, const ow_plant_view *view, const ow_worst *worst)
{
    enum { PART = 6, MARGIN = 6 };
    if (worst->nearest_part < 0) {
        ow_flow_put(flow, "none", 0);
    } else {
        char number[OW_NUMBER_TEXT];
        ow_fixed(worst->nearest_k, 1, number);
        ow_flow_put(flow, short_part(view->part[worst->nearest_part].name), PART);
        ow_flow_put(flow, "", MARGIN - 1 - ow_flow_columns(number));
        ow_flow_put(flow, number, 0);
    }
}

static void put_plant(FILE *file, const ow_plant_view *view, const ow_worst *worst)
{
    ow_flow flow = {.file = file};
    ow_flow_put(&flow, view->id, NAME);
    if (ow_flow_columns(view->id) >= NAME) {
        ow_flow_end(&flow);
        ow_flow_put(&flow, "", NAME);
    }
    put_asked(&flow, worst);
    ow_flow_put(&flow, view->state, STATE);
    put_number(&flow, worst->root_coldest_c, 1, BALL);
    put_number(&flow, 100.0 * worst->ice_share, 0, ICE);
    put_number(&flow, worst->frozen_days, 1, DAYS);
    put_nearest(&flow, view, worst);
    ow_flow_end(&flow);
}

void ow_table_plants(FILE *file, const ow_module *module, const ow_engine *engine,
                     const ow_worst *worst)
{
    fputs("               what it asked first       state        at its worst\n"
          "plant          state        act by       at the end    root ice froz nearest\n"
          "                                                       ball   % days its limit K\n",
          file);
    for (int i = 0; i < module->plant_count(engine); i++) {
        ow_plant_view view;
        module->plant(engine, i, &view);
        put_plant(file, &view, &worst[i]);
    }
}

/* The part of a plant to which the sky matters most. */
struct sway {
    double share; /* of the time without a measured sky */
    char id[80];
    char part[32];
    double clear_c, shut_c; /* NAN: nothing differs */
    int at_stake;           /* plants that pass a limit under a clear sky only */
};

static void note_sway(struct sway *sway, const ow_plant_view *view, const ow_sky_view *sky)
{
    bool at_stake = false;
    for (int i = 0; i < OW_VIEW_PARTS; i++) {
        const ow_part_view *part = &view->part[i];
        double difference = sky->coldest_shut_c[i] - sky->coldest_clear_c[i];
        if (part->name == NULL || !isfinite(difference)) {
            continue;
        }
        if (!(difference <= sway->shut_c - sway->clear_c)) {
            sway->clear_c = sky->coldest_clear_c[i];
            sway->shut_c = sky->coldest_shut_c[i];
            snprintf(sway->id, sizeof sway->id, "%s", view->id);
            snprintf(sway->part, sizeof sway->part, "%s", part->name);
        }
        at_stake = at_stake || (sky->coldest_clear_c[i] <= part->damaged_c &&
                                sky->coldest_shut_c[i] > part->damaged_c);
    }
    sway->at_stake += at_stake ? 1 : 0;
}

static struct sway sway_of(const ow_module *module, const ow_engine *engine)
{
    struct sway sway = {.clear_c = NAN, .shut_c = NAN};
    for (int i = 0; i < module->plant_count(engine); i++) {
        ow_plant_view view;
        ow_sky_view sky;
        module->plant(engine, i, &view);
        module->sky(engine, i, &sky);
        if (sky.assumed) {
            sway.share = fmax(sway.share, sky.assumed_share);
            note_sway(&sway, &view, &sky);
        }
    }
    return sway;
}

void ow_table_sky(FILE *file, const ow_module *module, const ow_engine *engine)
{
    char text[400], share[OW_NUMBER_TEXT], clear[OW_NUMBER_TEXT], shut[OW_NUMBER_TEXT];
    ow_flow flow = {.file = file};
    struct sway sway = sway_of(module, engine);
    if (!(sway.share > 0.0)) {
        ow_flow_words(&flow, "The sky was measured all the time.");
        ow_flow_end(&flow);
        return;
    }
    snprintf(text, sizeof text, "The sky was not measured for %s %% of the time.",
             ow_fixed(100.0 * sway.share, 0, share));
    ow_flow_words(&flow, text);
    if (fabs(sway.shut_c - sway.clear_c) < 0.05) {
        ow_flow_words(&flow, "Clear or shut, it makes no difference here.");
    } else if (isfinite(sway.clear_c)) {
        snprintf(text, sizeof text,
                 "It matters most to %s: lowest %s %s C under a clear sky, %s C under a shut one. "
                 "Plants that would pass a limit under the clear sky only: %d.",
                 sway.id, sway.part, ow_fixed(sway.clear_c, 1, clear),
                 ow_fixed(sway.shut_c, 1, shut), sway.at_stake);
        ow_flow_words(&flow, text);
    }
    ow_flow_end(&flow);
}

void ow_table_heaters(FILE *file, const ow_module *module, const ow_engine *engine)
{
    for (int i = 0; i < module->heater_count(engine); i++) {
        ow_heater_view view;
        char text[400], kwh[OW_NUMBER_TEXT];
        ow_flow flow = {.file = file};
        module->heater(engine, i, &view);
        snprintf(text, sizeof text,
                 "%s would have used %s kWh in %s; a rehearsal switches nothing.", view.id,
                 ow_fixed(view.kwh, 1, kwh), view.place);
        ow_flow_words(&flow, text);
        ow_flow_end(&flow);
    }
}
