/* SPDX-License-Identifier: MIT */
/*
 * The plan: one way for each plant, chosen together so that what is lost is least, under what there
 * is of covers, room, hands and heat. Numbers only: nothing here knows of weather or bodies.
 *
 * A way uses some of the shared things and leaves a loss; it may give a cover or a room back that
 * the plant holds. Way 0 of each plant is to leave it as it is: it uses and gives nothing, so there
 * is always a plan. Hands: ways whose latest useful time is early can
 * count on fewer minutes. A set of ways can be done in order of those times when, for each of them,
 * the minutes of all that are due no later fit into the minutes until then.
 *
 * Solved by branch and bound. The bound is Lagrange's: shared things are given prices, and what
 * each plant would take at those prices can be added up plant by plant. The search ends after a
 * fixed count of nodes; the answer then says how far from the best it can be at most.
 */
#ifndef OVERWINTER_JUDGEMENT_PLAN_H
#define OVERWINTER_JUDGEMENT_PLAN_H

#include <stdbool.h>

#include "status.h"

enum { OW_PLAN_COVERS = 2 };

/* Why a way is not taken. The first five are found by the plan, the others given with the way. */
#define OW_BAR_LIST(X)                                                                             \
    X(OW_BAR_NONE, "taken")                                                                        \
    X(OW_BAR_BETTER, "another way is better")                                                      \
    X(OW_BAR_STOCK, "the covers are needed elsewhere")                                             \
    X(OW_BAR_ROOM, "the room is needed elsewhere")                                                 \
    X(OW_BAR_HANDS, "the hands are needed elsewhere")                                              \
    X(OW_BAR_HEAVY, "too heavy to carry")                                                          \
    X(OW_BAR_FROZEN_DOWN, "frozen to the ground")                                                  \
    X(OW_BAR_NO_HANDS, "no hands in time")                                                         \
    X(OW_BAR_LATE, "too late")                                                                     \
    X(OW_BAR_HEATER, "its heater cannot be counted on")

typedef enum ow_bar {
#define OW_BAR_ENUM(name, words) name,
    OW_BAR_LIST(OW_BAR_ENUM)
#undef OW_BAR_ENUM
        OW_BARS
} ow_bar;

const char *ow_bar_words(ow_bar bar);

typedef struct ow_plan_way {
    double loss;               /* expected, that is left under it */
    double effort;             /* in the same measure: what makes the lesser act win a tie */
    int covers;                /* how many of `cover` it takes from the stock, one of each */
    int cover[OW_PLAN_COVERS]; /* indices of stocks */
    int place;                 /* takes a room there; -1: none */
    bool gives_cover, gives_room; /* what the plant holds now goes back to the stock, to the free */
    int given_cover, given_place;
    int knob;                  /* works only with that heat turned up; -1: always */
    double minutes;            /* of hands */
    double hands_min;          /* minutes of hands there are until its latest time; INFINITY */
    ow_bar bar;                /* OW_BAR_NONE, or why it is not open at all */
    double stay; /* taken off its cost: what the plan before asked wins by this much */
} ow_plan_way;

typedef struct ow_plan_plant {
    const ow_plan_way *way;
    int ways; /* at least 1 */
} ow_plan_plant;

typedef struct ow_plan_task {
    const ow_plan_plant *plant;
    int plants;
    const int *stock; /* one a cover, of what is worn by nothing */
    int covers;
    const int *room; /* one a place, free */
    int places;
    const double *knob_cost; /* one a knob, in the measure of loss */
    int knobs;               /* at most OW_PLAN_KNOBS */
} ow_plan_task;

enum { OW_PLAN_KNOBS = 4, OW_PLAN_NODES = 100000 };

typedef struct ow_plan {
    int *choice;    /* one a plant, owned by whoever asks */
    unsigned knobs; /* bit 1u << knob for those turned up */
    double total;   /* loss and effort of the choice, with what was taken off standing ways */
    double bound;   /* no plan has less than this; equal to total when exact */
    bool exact;
    long nodes;
} ow_plan;

/*
 * Solves a task; `plan->choice` points to room for one number a plant. At most most_nodes nodes are
 * searched (OW_PLAN_NODES is some milliseconds); the same task gives the same answer everywhere.
 * OW_NO_MEMORY leaves the choice untouched; OW_BAD_INPUT for a plant without ways or whose way 0
 * uses something, or too many knobs.
 */
OW_CHECK ow_status ow_plan_solve(const ow_plan_task *task, long most_nodes, ow_plan *plan);

/* A plant that takes what was not free, and the one that gives it. */
typedef struct ow_handing {
    int taker, giver;
} ow_handing;

/* Who hands a cover to whom (place < 0), or a room (cover < 0); how many, at most `room`. */
int ow_plan_handings(const ow_plan_task *task, const int *choice, int cover, int place,
                     ow_handing *handing, int room);

/*
 * Why a plant's way was not chosen: what of the shared things is short when all others do as
 * planned. *item is the cover or place, *who a plant that has one of it (-1: none has).
 */
ow_bar ow_plan_why(const ow_plan_task *task, const ow_plan *plan, int plant, int way, int *item,
                   int *who);

#endif
