/* SPDX-License-Identifier: MIT */
/*
 * The outlook: the garden run ahead under the forecast with nothing done, and questions of what
 * would be if one plant were dressed or placed otherwise from some hour on. Sixteen answers come
 * from one run, lane beside lane.
 */
#ifndef OVERWINTER_JUDGEMENT_OUTLOOK_H
#define OVERWINTER_JUDGEMENT_OUTLOOK_H

#include "garden/forcing.h"
#include "garden/scene.h"
#include "judgement/course.h"
#include "judgement/ensemble.h"
#include "judgement/track.h"
#include "judgement/trial.h"

/* Depth of a bed down to which it must be open for tubers to be dug. */
#define OW_DIG_M 0.10

/* What bursts hoses and taps (common practice, no source). */
#define OW_HARD_FROST_C (-3.0)

typedef struct ow_outlook {
    const ow_garden *garden;
    ow_scene *ahead;         /* the garden run ahead */
    ow_spot *spot;           /* [step * places + place] */
    ow_spot *warm_spot;      /* the same of heated houses kept at warm_c; others unset */
    double *warm_c;          /* one a place: ow_guide_most_c */
    double *warm_j;          /* one a place: heat that its heaters give for it over the hours */
    ow_glasshouse_out *warm; /* one a place, of the last step */
    int steps, step_s;       /* steps looked ahead; 0: no outlook */
    int wanted, looked;      /* steps of a look under way */
    ow_utc_s start_s;
    ow_course *course;       /* one a plant, nothing done */
    ow_track *track;         /* the same, drawn out in time */
    ow_cast **trial;         /* one a plant, built when first asked */
    ow_ensemble *ensemble;   /* the same hours in many runs, not owned; NULL: only this one */
    ow_spot *member_spot;    /* one a place and lane, for questions */
    double lowest_air_c;     /* out of doors */
    ow_utc_s lowest_air_s;
    ow_utc_s *bed_shut_s;    /* one a plant: when the first step begins that ends with its bed
                                frozen at OW_DIG_M; OW_NEVER */
    ow_utc_s hard_frost_s;   /* when the first step at OW_HARD_FROST_C or less begins; OW_NEVER */
} ow_outlook;

/* Built for a scene that it will look ahead of. */
OW_CHECK ow_status ow_outlook_new(const ow_scene *scene, ow_outlook **outlook);
void ow_outlook_free(ow_outlook *outlook);

/*
 * Looks ahead from the scene as it is over `hours` or to the end of the forecast, whichever is
 * less. `forecast` starts at or before the scene's now. The look is taken in portions, so that a
 * host that must not be held up can spread it: begin, then _some until it says that it is done.
 * Until then the outlook has no steps. OW_NO_MEMORY from begin leaves no outlook.
 */
OW_CHECK ow_status ow_outlook_begin(ow_outlook *outlook, const ow_scene *now,
                                    const ow_forcing *forecast, double hours);
/* At most `steps` more steps; true when the look is complete. The forecast is that of begin. */
bool ow_outlook_some(ow_outlook *outlook, const ow_forcing *forecast, int steps);

/*
 * Up to OW_LANES trials of one plant; answer[i] is the course under trial[i]. Asked among the
 * members of the outlook's ensemble, which must be complete, it is answered for that member.
 */
typedef struct ow_question {
    int plant;
    bool among;
    int member;
    int n;
    ow_trial trial[OW_LANES];
    ow_course answer[OW_LANES];
    int step;
} ow_question;

/*
 * Begins a question whose plant, member, n and trials are set: the plant as it is now in n lanes.
 * The rest of the garden goes on as in the outlook. The scene must be the one looked ahead from.
 */
OW_CHECK ow_status ow_question_begin(ow_question *question, ow_outlook *outlook,
                                     const ow_scene *now);
/* The length of its steps. */
int ow_question_step_s(const ow_question *question, const ow_outlook *outlook);
/* At most `steps` more; true when answered. */
bool ow_question_some(ow_question *question, ow_outlook *outlook, int steps);

ow_utc_s ow_outlook_end_s(const ow_outlook *outlook);

#endif
