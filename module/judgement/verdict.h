/* SPDX-License-Identifier: MIT */
/*
 * The verdict on one plant: its state, what to do and by when, and why.
 *
 * A limit that will be passed asks for an act: a cover at hand that prevents it (cover soon), else
 * another place (carry in). The latest useful time of the act is searched among sixteen starting
 * times at once, twice.
 *
 * Where the hours ahead were run in many members, an act is asked from that risk on at which what
 * it costs is as much as what it saves on average: the member at which the risk reaches that share
 * stands for the hours ahead, and the act is chosen and timed on it. A verdict is left for a milder one only after it has been milder for two
 * hours, or at once when half a kelvin lies between the plant and its limit.
 */
#ifndef OVERWINTER_JUDGEMENT_VERDICT_H
#define OVERWINTER_JUDGEMENT_VERDICT_H

#include "judgement/outlook.h"

/* Worst first; the words are the states' names everywhere. */
#define OW_STATE_LIST(X)                                                                           \
    X(OW_STATE_NO_READING, "no reading")                                                           \
    X(OW_STATE_THAW_NEEDED, "thaw needed")                                                         \
    X(OW_STATE_CARRY_IN, "carry in")                                                               \
    X(OW_STATE_COVER_SOON, "cover soon")                                                           \
    X(OW_STATE_THAWING, "thawing")                                                                 \
    X(OW_STATE_WAIT_AND_SEE, "wait and see")                                                       \
    X(OW_STATE_UNCOVER, "uncover")                                                                 \
    X(OW_STATE_CARRY_OUT, "carry out")                                                             \
    X(OW_STATE_HOLD, "hold")

typedef enum ow_state {
#define OW_STATE_ENUM(name, word) name,
    OW_STATE_LIST(OW_STATE_ENUM)
#undef OW_STATE_ENUM
        OW_STATES
} ow_state;

const char *ow_state_word(ow_state state);

/*
 * Share of members in which a limit is passed from which an act is asked: the cost of acting (some
 * minutes, a cover) over the loss that it averts (cost-loss decision model, Murphy 1977, Richardson
 * 2000, from memory). The three ratios are our judgement: a plant worth four times, ten times and
 * more than thirty times the trouble.
 */
double ow_act_from_risk(ow_value value);

typedef struct ow_verdict {
    ow_state state;
    unsigned also;         /* bit 1u << state for the others that hold */
    ow_trial act;          /* what is asked; meaningful when `asks` */
    bool asks;
    bool prevents;         /* the act prevents all of the threat */
    ow_utc_s act_by_s;     /* OW_NEVER: none */
    bool late;
    ow_threat threat;      /* with nothing done */
    double eased_c;        /* the threatened part's lowest under the act; NAN: no act */
    ow_utc_s thaw_s;       /* water expected to move again; OW_NEVER: not within the outlook */
    double risk;           /* share of runs ahead in which a limit is passed; NAN: none was made */
    int runs, passed;      /* runs ahead, and those in which a limit is passed */
    ow_utc_s milder_since_s; /* since when a milder state would do; OW_NEVER: it would not */
} ow_verdict;

void ow_verdict_start(ow_verdict *verdict);

/* What a verdict may know of the moment besides the scene and the outlook. */
typedef struct ow_moment {
    double air_gap_s;      /* hole in the measured air that now lies in */
    const int *cover_left; /* covers of each kind not worn by anything, one a cover */
} ow_moment;

/* What is found out about a plant on the way to its verdict: a state and the act it asks for. */
typedef struct ow_finding {
    ow_state state;
    ow_trial act;
    bool asks, prevents;
    ow_utc_s act_by_s;
    double eased_c;
} ow_finding;

enum { OW_FINDINGS = 8, OW_WAYS = 2 /* covers, places */ };

/*
 * One plant being judged. The outlook may have no steps (nothing foreseen). Where the plant is
 * threatened, questions are put to the outlook one after the other:
 *   begin; while (inquiry.asking) { run inquiry.question to its end; answer; }
 * Then `verdict`, which held the one before, holds the new one.
 */
typedef struct ow_inquiry {
    ow_verdict *verdict;
    ow_outlook *outlook;
    const ow_scene *scene;
    ow_moment moment;
    bool asking;
    ow_question question;
    /* inside */
    bool among;              /* judged on a member of the ensemble */
    int member;
    const ow_course *course; /* with nothing done; NULL: nothing is foreseen */
    int stage;
    ow_threat threat, left[OW_WAYS];
    ow_trial best[OW_WAYS];
    double eased_c[OW_WAYS];
    bool helps[OW_WAYS];
    double most_weight;
    ow_utc_s from_s, to_s;
    ow_finding found[OW_FINDINGS];
    int findings;
} ow_inquiry;

OW_CHECK ow_status ow_inquiry_begin(ow_inquiry *inquiry, ow_verdict *verdict, ow_outlook *outlook,
                                    const ow_scene *scene, int plant, const ow_moment *moment);
/* Takes the answer of the question and goes on to the next, or to the verdict. OW_NO_MEMORY. */
OW_CHECK ow_status ow_inquiry_answer(ow_inquiry *inquiry);

#endif
