/* SPDX-License-Identifier: MIT */
/*
 * The verdict on one plant: its state, what to do and by when, and why.
 *
 * A limit that will be passed asks for an act: a cover at hand that prevents it (cover soon), else
 * another place (carry in). Which act it is comes from the plan of all plants together.
 *
 * Where the hours ahead were run in many members, an act is asked from that risk on at which what
 * it costs is as much as what it saves on average: the member at which the risk reaches that share
 * stands for the hours ahead, and acts are tried and timed on it.
 *
 * A verdict is left for a milder one only after it has been milder for two hours, or at once when
 * half a kelvin lies between the plant and its limit.
 */
#ifndef OVERWINTER_JUDGEMENT_VERDICT_H
#define OVERWINTER_JUDGEMENT_VERDICT_H

#include "judgement/plan.h"
#include "judgement/ways.h"

/* What the plan has for a plant: one of its ways, or why the way it would want is not open. */
typedef struct ow_pick {
    int way;       /* index in the survey; -1: none */
    int wanted;    /* when none: the way it would have had; -1: nothing helps */
    ow_bar bar;    /* why it is not open; OW_BAR_NONE when the pick is what it wants */
    int item, who; /* the cover or place that is short, and a plant that has it; -1 */
    double kg;     /* what there is to lift; NAN: nothing, or not known */
    int people;
    double minutes;   /* of all people together */
    double saves;     /* loss avoided, in the measure of loss.h */
    ow_utc_s do_by_s; /* while there are hands, daylight first; OW_NEVER: no hurry */
    ow_utc_s turn_s;  /* when a room comes free for a thaw; OW_NEVER */
    int turn_after;   /* the plant that leaves it; -1 */
    int give, to;     /* index of what it gives away, and the plant that has it then; -1 */
    int from;         /* the plant that its cover or room comes from; -1: it is free */
    int from_cover;   /* the cover that comes from there; -1: the room */
    ow_utc_s give_by_s;
} ow_pick;

/* A pick of nothing. */
ow_pick ow_pick_none(void);
/* Whether the plan asks something of the plant. */
bool ow_pick_asks(const ow_pick *pick);

typedef struct ow_verdict {
    ow_state state;
    unsigned also; /* bit 1u << state for the others that hold */
    ow_trial act;  /* what is asked; meaningful when `asks` */
    bool asks;
    bool prevents;     /* the act prevents all of the threat */
    ow_utc_s act_by_s; /* OW_NEVER: none */
    bool late;
    ow_threat threat;        /* with nothing done */
    double eased_c;          /* the threatened part's lowest under the act; NAN: no act */
    ow_utc_s thaw_s;         /* water expected to move again; OW_NEVER: not within the outlook */
    ow_utc_s half_s, gone_s; /* ice below a half and gone: under the act where one is asked */
    bool hasty;              /* the act thaws in too warm a room */
    double risk;      /* share of runs ahead in which a limit is passed; NAN: none was made */
    int runs, passed; /* runs ahead, and those in which a limit is passed */
    ow_pick pick;
    ow_utc_s milder_since_s; /* since when a milder state would do; OW_NEVER: it would not */
} ow_verdict;

void ow_verdict_start(ow_verdict *verdict);

/* Settles what was found and what is planned into the new verdict over the one before. */
void ow_verdict_settle(ow_verdict *verdict, const ow_survey *survey, const ow_pick *pick,
                       ow_utc_s now_s);

#endif
