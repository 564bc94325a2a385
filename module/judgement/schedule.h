/* SPDX-License-Identifier: MIT */
/*
 * The schedule: the surveys of all plants, and the plan made of them under the covers, room and
 * hands that this garden has. Surveys are made plant by plant (judgement/inquiry.h); when all are,
 * the plan is made in one go, and each plant has its pick.
 */
#ifndef OVERWINTER_JUDGEMENT_SCHEDULE_H
#define OVERWINTER_JUDGEMENT_SCHEDULE_H

#include "judgement/hands.h"
#include "judgement/plan.h"
#include "judgement/verdict.h"

typedef struct ow_schedule {
    const ow_garden *garden;
    ow_survey *survey; /* one a plant */
    ow_pick *pick;     /* one a plant, of the last plan */
    ow_hands hands;
    ow_plan plan;
    double minutes; /* of hands, all that is planned */
    bool *may_warm; /* one a place: its heaters may be asked for more; the caller's */
    ow_utc_s *warm_from_s;          /* one a place: planned warmer from then on; OW_NEVER: not */
    bool *cover_short, *room_short; /* more want it than there is of it */
    /* inside */
    ow_trial *standing; /* what the plan before asked of a plant */
    bool *stands;
    ow_plan_way (*way)[1 + OW_WAYS + OW_GIVES];
    ow_plan_plant *plant;
    int *choice, *stock, *room;
    int knob_place[OW_PLAN_KNOBS];
    double knob_cost[OW_PLAN_KNOBS];
    int knobs;
} ow_schedule;

OW_CHECK ow_status ow_schedule_new(const ow_garden *garden, ow_schedule **schedule);
void ow_schedule_free(ow_schedule *schedule);

/* A plant was moved, dressed or undressed: what was found and planned for it holds no more. */
void ow_schedule_forget(ow_schedule *schedule, int plant);

/* What a verdict from before a restart asks for counts as what the plan before asked. */
void ow_schedule_stand(ow_schedule *schedule, int plant, const ow_verdict *verdict);

/*
 * When all surveys are made: what is short (cover_short, room_short), for ow_inquiry_give of each
 * plant before the plan.
 */
void ow_schedule_find_short(ow_schedule *schedule, const ow_scene *scene, const int *cover_left);

/*
 * Plans: a pick for each plant. cover_left: covers of each kind worn by nothing. The plan looks as
 * far as the outlook does. OW_NO_MEMORY leaves the picks as they were.
 */
OW_CHECK ow_status ow_schedule_plan(ow_schedule *schedule, const ow_scene *scene,
                                    const ow_outlook *outlook, const ow_local *local,
                                    const int *cover_left);

/* What a verdict lets its plant give; NULL: nothing. */
const ow_give *ow_schedule_give(const ow_schedule *schedule, int plant, const ow_verdict *verdict);

/* Settles the verdict of a plant by its survey and pick. */
void ow_schedule_settle(ow_schedule *schedule, int plant, ow_verdict *verdict, ow_utc_s now_s);

#endif
