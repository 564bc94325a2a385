/* SPDX-License-Identifier: MIT */
/* What lies ahead of one plant along one run of the hours to come. */
#ifndef OVERWINTER_JUDGEMENT_COURSE_H
#define OVERWINTER_JUDGEMENT_COURSE_H

#include "garden/cast.h"

#define OW_NEVER INT64_MAX

/* Times OW_NEVER: not within the run. */
typedef struct ow_course {
    ow_utc_s damaged_s[OW_PARTS], killed_s[OW_PARTS]; /* a limit will have been passed */
    double lowest_c[OW_PARTS];  /* lowest of what is held against the limit; NAN: no such part */
    ow_utc_s lowest_s[OW_PARTS];
    double limit_c[OW_PARTS];   /* damaged_c at the time of the lowest; NAN: no limit known */
    ow_utc_s suffers_s, may_die_s; /* the drought clock passes these */
    ow_utc_s frozen_s;          /* first frozen through (from now on) */
    ow_utc_s open_s;            /* after that, or from frozen now: first a tenth open again */
    ow_utc_s reset_s;           /* the drought clock goes back to zero */
    double lowest_air_c;        /* at the plant */
    double clock_days;          /* on the drought clock at the end */
} ow_course;

/* Begins a course of an actor that is a copy of the living one: its harm is watched anew. */
void ow_course_start(ow_course *course, ow_actor *actor);
/* After a step of the actor that ended at end_s. */
void ow_course_step(ow_course *course, const ow_actor *actor, const ow_tolerance *stands,
                    ow_utc_s end_s);
/* After the last step. */
void ow_course_end(ow_course *course, const ow_actor *actor);

/* How far the plant's nearest part stays above its limit, K; INFINITY: no limit is known. */
double ow_course_margin_k(const ow_course *course);

/* The first harm ahead of a plant. */
typedef struct ow_threat {
    bool any;
    ow_part part;
    bool kills;        /* killed_c, not only damaged_c, will have been passed by any part */
    ow_utc_s at_s;     /* when the first limit will have been passed */
    double lowest_c;   /* of that part, as held against the limit */
    ow_utc_s lowest_s;
    double limit_c;
    double weight;     /* sum over parts, for comparing what is left under an act */
} ow_threat;

/* The first harm on a course, what the plant has suffered already left out. */
ow_threat ow_threat_of(const ow_course *course, const ow_condition *condition);

#endif
