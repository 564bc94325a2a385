/* SPDX-License-Identifier: MIT */
/*
 * The inquiry into one plant: what threatens it, what each act open to it would do, and by when it
 * must be done at the latest. The answer is a survey; the plan chooses from it.
 */
#ifndef OVERWINTER_JUDGEMENT_INQUIRY_H
#define OVERWINTER_JUDGEMENT_INQUIRY_H

#include "judgement/verdict.h"

/*
 * One plant being looked at. The outlook may have no steps (nothing foreseen). Where the plant is
 * threatened, questions are put to the outlook one after the other:
 *   begin; while (inquiry.asking) { run inquiry.question to its end; answer; }
 * Then the survey, which held the one before, holds the new one. A survey whose question is still
 * the same is kept as it is, for six hours at most.
 */
typedef struct ow_inquiry {
    ow_survey *survey;
    ow_outlook *outlook;
    const ow_scene *scene;
    bool asking;
    ow_question question;
    /* inside */
    int stage;
    bool among;              /* looked at on a member of the ensemble */
    int member;
    const ow_course *course; /* with nothing done; NULL: nothing is foreseen */
    bool was_mild;
    ow_trial trial[OW_TRIALS_MOST];
    int trials, asked;
    int seeking[OW_LANES], probes; /* ways whose latest start is sought, starts tried of each */
    ow_utc_s good_s[OW_WAYS], bad_s[OW_WAYS];
} ow_inquiry;

/*
 * Begins. `before` is the plant's verdict so far, air_gap_s the hole in the measured air that now
 * lies in. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_inquiry_begin(ow_inquiry *inquiry, ow_survey *survey, ow_outlook *outlook,
                                    const ow_scene *scene, int plant, const ow_verdict *before,
                                    double air_gap_s);
/*
 * Asks what a plant, whose survey is made, would lose by giving away what others are short of:
 * flags one a cover and a place. Questions follow as above, if it has anything to give.
 */
OW_CHECK ow_status ow_inquiry_give(ow_inquiry *inquiry, ow_survey *survey, ow_outlook *outlook,
                                   const ow_scene *scene, int plant, const bool *cover_short,
                                   const bool *room_short);
/* Takes the answer of the question and goes on to the next, or to the end. OW_NO_MEMORY. */
OW_CHECK ow_status ow_inquiry_answer(ow_inquiry *inquiry);

#endif
