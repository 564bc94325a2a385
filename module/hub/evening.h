/* SPDX-License-Identifier: MIT */
/* What the coming night asks for: cloths shut in time, and a word at dusk of a house that its
 * heaters cannot hold. */
#ifndef OVERWINTER_HUB_EVENING_H
#define OVERWINTER_HUB_EVENING_H

#include "hub/engine.h"
#include "judgement/guide.h"

/* Lowest air out of doors within the night; NAN: nothing is known. */
double ow_evening_lowest_c(const ow_engine *engine);

/* A night is cold for a plant that comes nearer than this to a limit: as far as the guide lets it
 * come, were it as much colder than foretold (judgement/guide.h). */
#define OW_EVENING_NEAR_K (OW_GUIDE_MARGIN_K + OW_GUIDE_COLDER_K)

/* One cloth, as last wished, and what the outlook, which knows of no cloth, says of its plants. */
typedef struct ow_cloth_wish {
    bool shut;
    bool looked;     /* the outlook did; false: nothing of it is known or to be trusted */
    bool unknown;    /* of one under it, or of what is under it, no limit is known */
    double margin_k; /* how near any part comes to its limit within the night; INFINITY: none known */
} ow_cloth_wish;

/* Takes what the outlook, just complete, says of the plants under each cloth; or forgets it. */
void ow_evening_look(ow_engine *engine);
void ow_evening_forget(ow_engine *engine);

/*
 * Which cloths are to be shut now. Before a night that is cold for a plant under it, one closes half
 * an hour before leaves lose more to the sky than the sun gives, and opens when it gives clearly more
 * again and the leaves stand clear of their limits. For plants of which no limit is known, and
 * without an outlook to be trusted (`sound`), a night of 2 C is cold, and it stays shut in air that
 * freezes. Where nothing is known all are shut.
 */
void ow_evening_wish(ow_engine *engine, double lowest_c, bool sound);

/* Raises, from two hours before sunset, what heaters cannot hold tonight, once a night; by day it
 * is over. `sound`: what the guide found may be trusted. */
void ow_evening_warn(ow_engine *engine, bool sound);

#endif
