/* SPDX-License-Identifier: MIT */
/*
 * A garden minded live: readings and forecast in, the model half an hour at a time, verdicts in
 * portions, outputs every second, the hub tree, notices and the state to keep.
 *
 * One tick does at most one portion of each: a step of the model, or OW_PORTION actor-steps of
 * looking ahead; portions are counted in work and never in elapsed time, so that the same messages
 * at the same times give the same bytes on a slow machine.
 */
#ifndef OVERWINTER_HUB_LIVE_H
#define OVERWINTER_HUB_LIVE_H

#include "garden/ahead.h"
#include "garden/bridge.h"
#include "garden/forecast.h"
#include "garden/prices.h"
#include "garden/station.h"
#include "hub/belief.h"
#include "hub/engine.h"
#include "hub/evening.h"
#include "hub/learn.h"
#include "hub/switches.h"
#include "hub/tree.h"
#include "judgement/lag.h"
#include "people/notice.h"

/* Actor-steps a tick spends on looking ahead: under 10 ms on a small machine. */
enum { OW_PORTION = 900, OW_SEEN_TEXT = 16 };

/* What people have said of a plant. */
typedef struct ow_told {
    char seen[OW_SEEN_TEXT]; /* "alive", "regrowing", "dead"; empty: nothing */
} ow_told;

typedef struct ow_live {
    ow_tree *tree;
    ow_station *station;
    ow_forecast forecast;
    ow_prices prices;
    ow_board *board;
    ow_switches *switches;
    ow_lags *lags;
    ow_told *told;          /* one a plant */
    ow_track *past;         /* the week behind, one a plant */
    ow_now now;
    bool up, began;         /* connected; the first tick has been */
    int asked;              /* topics subscribed to since the link came up */
    bool jumped;            /* the wall clock did, since the outputs' last step */
    bool reloaded;
    bool tile_due;          /* what the tile shows has changed */
    uint64_t tile_free_ms;  /* boot clock: not drawn again before */
    uint64_t row_due_ms, step_due_ms, beat_due_ms, thing_due_ms; /* boot clock */
    uint64_t beat_every_ms;
    int64_t beat;
    int judging;            /* plant that is being looked at; -1: none */
    bool giving;            /* it is asked what it could give, all having been looked at */
    int settling;           /* plant whose verdict comes next from the plan; -1: none */
    bool guiding;           /* what the heaters are to keep is being sought */
    ow_utc_s guided_until_s; /* what was found holds so long */
    ow_cloth_wish *cloth;   /* one an output; meaningful for drives */
    bool looking;           /* the outlook is under way */
    bool weighing;          /* the ensemble is under way */
    bool judge_again;       /* something changed that verdicts rest on */
    double guessed_s;       /* for how long the last steps rested on guesses */
    ow_utc_s guessed_until_s; /* nothing is vouched for before this */
    ow_ahead ahead_from;    /* what the outlook rests on */
    ow_utc_s known_until_s; /* beyond it the outlook's weather relaxes to the normal */
    ow_learned learned;
    ow_doubt doubt[OW_DOUBTS];
    uint64_t worth;
    ow_report report;       /* lines go to the host's log and the tree's */
} ow_live;

/* The live functions of ow_module, with their promises. */
OW_CHECK ow_status ow_live_begin(ow_engine *engine, ow_now now, const void *state, size_t size,
                                 ow_report *report);
void ow_live_free(ow_engine *engine);
OW_CHECK ow_status ow_live_connected(ow_engine *engine, ow_now now, bool up);
OW_CHECK ow_status ow_live_message(ow_engine *engine, ow_now now, const ow_message *message);
OW_CHECK ow_status ow_live_tick(ow_engine *engine, ow_now now);
OW_CHECK ow_status ow_live_stop(ow_engine *engine, ow_now now);
OW_CHECK ow_status ow_live_save(const ow_engine *engine, void **bytes, size_t *size);
bool ow_live_busy(const ow_engine *engine);

/* Every plant was judged since the start. */
bool ow_live_has_judged(const ow_engine *engine);

/* A plant was moved, dressed or undressed: what is under way is given up, all is judged anew. */
void ow_live_judge_anew(ow_engine *engine, int plant);

/* show.c: puts what is known into the tree. */
void ow_show_plant(ow_engine *engine, int plant);
void ow_show_garden(ow_engine *engine);
void ow_show_stop(ow_engine *engine);
void ow_show_tile(ow_engine *engine);
void ow_show_notice(ow_engine *engine, const ow_delivery *delivery); /* a member's */
void ow_show_notices(ow_engine *engine);                             /* all that stand */

/* sheets.c: raises the sheets that are due. */
void ow_mind_sheets(ow_engine *engine);

/* commands.c: a message to a settable property. */
void ow_command(ow_engine *engine, ow_slot slot, const ow_message *message);

/* Says a line to the host's log and, at warn and worse, to the hub's. */
void ow_live_log(ow_engine *engine, ow_level level, const char *format, ...) OW_PRINTF(3, 4);

#endif
