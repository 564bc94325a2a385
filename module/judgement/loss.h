/* SPDX-License-Identifier: MIT */
/*
 * What a course would cost: the first harm on it, and the loss it stands for.
 *
 * A loss is a sum over harms: what the plant is worth (value) x what the harm weighs x the risk
 * that it comes. The weights are ours: leaves grow again, the one growing point does not; a part
 * that dies weighs ten times one that is harmed.
 */
#ifndef OVERWINTER_JUDGEMENT_LOSS_H
#define OVERWINTER_JUDGEMENT_LOSS_H

#include "garden/garden.h"
#include "judgement/course.h"

/* The first harm ahead of a plant. */
typedef struct ow_threat {
    bool any;
    bool dry;        /* no limit of cold: frozen roots will keep it without water for too long */
    ow_part part;    /* the part harmed first; roots when dry */
    bool kills;      /* killed_c, not only damaged_c, will have been passed by any part */
    ow_utc_s at_s;   /* when the first limit will have been passed */
    double lowest_c; /* of that part, as held against the limit */
    ow_utc_s lowest_s;
    double limit_c;
    double weight; /* sum over harms, for comparing what is left under an act */
} ow_threat;

/* The first harm on a course, what the plant has suffered already left out. */
ow_threat ow_threat_of(const ow_course *course, const ow_condition *condition);

typedef struct ow_loss {
    double sure;     /* weights of the harms that the course itself passes */
    double expected; /* value x weight x risk */
} ow_loss;

/* What a plant's value counts: ordinary 1, treasured 3, irreplaceable 10 (ours). */
double ow_value_counts(ow_value value);

/*
 * Share of members in which a limit is passed from which an act is asked: the cost of acting (some
 * minutes, a cover) over the loss that it averts (cost-loss decision model, Murphy 1977, Richardson
 * 2000, from memory). The three ratios are our judgement: a plant worth four times, ten times and
 * more than thirty times the trouble.
 */
double ow_act_from_risk(ow_value value);

/*
 * The risk, 0..1, that a limit will have been passed, from a course that stands for the hours ahead
 * and the share of runs in which the plant is harmed with nothing done. This is the one place where
 * a course becomes a risk: what the course passes has that share as its risk, what it does not pass
 * has none; the depth below the limit is a hair's breadth on top, so that of two losses the lesser
 * one wins.
 */
double ow_risk_of(const ow_course *course, ow_part part, bool killed, double share);

/* Loss of a plant on a course; the drought of frozen roots is one of the harms. */
ow_loss ow_loss_of(const ow_course *course, const ow_condition *condition, const ow_plant *plant,
                   double share);

#endif
