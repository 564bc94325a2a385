/* SPDX-License-Identifier: MIT */
/*
 * The tile: one picture of the garden, an SVG of 400 x 300 that scales to any size. Up to twelve
 * plants, each cut open on a bench, its state in words and its next 72 hours as a ribbon; above
 * them what the garden is in for, below them the next job and the outputs with what blocks them.
 * The same garden in the same state gives the same bytes; nothing is left between calls.
 */
#ifndef OVERWINTER_PEOPLE_TILE_H
#define OVERWINTER_PEOPLE_TILE_H

#include "judgement/outlook.h"
#include "judgement/reason.h"
#include "judgement/verdict.h"

enum { OW_TILE_PLANTS = 12, OW_TILE_MOST = 60000 /* bytes, with twelve plants */ };

typedef struct ow_tile_job {
    const char *name; /* of the plant, or "garden" */
    bool of_garden;
    ow_spoken action;   /* "cover with fleece" */
    ow_utc_s by_s;      /* OW_NEVER: no hurry */
    bool late;
    int minutes;
} ow_tile_job;

typedef struct ow_tile_output {
    const char *name;
    const char *does;    /* "on", "off", "close"...; NULL: not commanded yet */
    ow_spoken blocked;   /* the most serious reason; its text NULL: none */
} ow_tile_output;

/* All texts are the caller's. */
typedef struct ow_tile {
    const ow_garden *garden;
    const ow_cast *cast;       /* actor i is plant i; NULL: no reading yet */
    const ow_outlook *outlook; /* NULL or without steps: nothing foreseen */
    const ow_state *state;     /* one a plant */
    const ow_local *local;
    ow_utc_s now_s;
    const ow_tile_job *job; /* by their time */
    int jobs;
    const ow_tile_output *output;
    int outputs;
} ow_tile;

/* Draws it; texts carry their codes (judgement/speech.h) as data-say, and as data-fit the width
 * that they may take in another language. *text is the caller's to free(), zero-terminated.
 * OW_NO_MEMORY. */
OW_CHECK ow_status ow_tile_draw(const ow_tile *tile, char **text);

#endif
