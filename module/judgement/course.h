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
    ow_utc_s frost_s;           /* the air at the plant first below 0 C */
    ow_utc_s frozen_s;          /* first frozen through (from now on) */
    ow_utc_s open_s;            /* after that, or from frozen now: first a tenth open again */
    ow_utc_s half_s, gone_s;    /* after frozen through: ice share first below a half, and gone */
    ow_utc_s reset_s;           /* the drought clock goes back to zero */
    ow_utc_s quick_s[OW_PARTS]; /* a frozen part first thaws too quickly in the sun */
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

#endif
