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

#define OW_NEVER INT64_MAX

/* What lies ahead of one plant. Times OW_NEVER: not within the outlook. */
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

/* Another way for a plant: from at_s on it wears `covers` more, or fewer, or stands elsewhere. */
enum { OW_TRIAL_COVERS = 2 };
typedef struct ow_trial {
    int place;                    /* index; -1: stays */
    int covers;                   /* how many of `cover` go on */
    int cover[OW_TRIAL_COVERS];   /* indices in garden.covers */
    bool point;                   /* they go round the growing point only */
    bool bare;                    /* all covers come off first */
    bool home;                    /* the place is its own again */
    ow_utc_s at_s;
} ow_trial;

typedef struct ow_outlook {
    const ow_garden *garden;
    ow_scene *ahead;         /* the garden run ahead */
    ow_spot *spot;           /* [step * places + place] */
    size_t room;             /* spots allocated */
    int steps, step_s;       /* steps looked ahead; 0: no outlook */
    int wanted, looked;      /* steps of a look under way */
    ow_utc_s start_s;
    ow_course *course;       /* one a plant, nothing done */
    ow_cast **trial;         /* one a plant, built when first asked */
    double lowest_air_c;     /* out of doors */
    ow_utc_s lowest_air_s;
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

/* Up to OW_LANES trials of one plant; answer[i] is the course under trial[i]. */
typedef struct ow_question {
    int plant;
    int n;
    ow_trial trial[OW_LANES];
    ow_course answer[OW_LANES];
    int step;
} ow_question;

/*
 * Begins a question whose plant, n and trials are set: the plant as it is now in n lanes. The rest
 * of the garden goes on as in the outlook. The scene must be the one looked ahead from.
 */
OW_CHECK ow_status ow_question_begin(ow_question *question, ow_outlook *outlook,
                                     const ow_scene *now);
/* At most `steps` more; true when answered. */
bool ow_question_some(ow_question *question, ow_outlook *outlook, int steps);

ow_utc_s ow_outlook_end_s(const ow_outlook *outlook);

/* Changes an actor as a trial says. Covers that no longer fit on are left away. */
void ow_trial_apply(const ow_trial *trial, const ow_garden *garden, ow_actor *actor);

/* The same act, whatever its hour. */
bool ow_trial_same(const ow_trial *a, const ow_trial *b);

#endif
