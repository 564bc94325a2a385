/* SPDX-License-Identifier: MIT */
/*
 * The hours ahead in many runs at once: each member has its own error of the forecast (air, wind
 * and sky, the same for all plants) and its own draw of what nobody has measured about each plant.
 * The share of members in which a limit is passed is the plant's risk.
 *
 * Member 0 has no error and no draw. Air is off by the forecast's error, whose spread grows with
 * lead and which drifts smoothly with a memory of half a day. Steps are an hour where the scene's
 * allow it. Members share the median's ground (its spread at a pot's foot is small over some days) and the
 * heat that plants give the air of their glasshouse.
 *
 * First the weather of all members is run and kept, then plant after plant runs through it, 32
 * lanes beside each other. Nothing is allocated after begin.
 */
#ifndef OVERWINTER_JUDGEMENT_ENSEMBLE_H
#define OVERWINTER_JUDGEMENT_ENSEMBLE_H

#include "garden/forcing.h"
#include "garden/forecast_error.h"
#include "garden/scene.h"
#include "judgement/course.h"
#include "judgement/draws.h"
#include "judgement/trial.h"

/* What the members differ in. */
typedef struct ow_spread {
    bool weather;                   /* in the forecast's errors */
    bool materials;                 /* in what nobody has measured about the plants */
    const ow_forecast_skill *skill; /* of the forecast; NULL: the prior. Outlives the ensemble. */
} ow_spread;

/* What is told of a plant over the hours: parts as in ow_part, then the root ball's mean. */
enum { OW_BAND_ROOT_MEAN = OW_PARTS, OW_BANDS };

/* Of the members so many in a hundred are colder than low_c, and than high_c. */
enum { OW_BAND_LOW_PCT = 5, OW_BAND_HIGH_PCT = 95 };

/* Of a part what is held against its limit. All NAN: no such part. */
typedef struct ow_band {
    float low_c, median_c, high_c;
} ow_band;

/* One plant's members. */
typedef struct ow_risk {
    int runs;            /* members: OW_MEMBERS */
    int damaged, killed; /* in so many of them a limit is passed */
    ow_utc_s early_s, median_s, late_s; /* of those, when: a tenth, half, nine tenths; OW_NEVER */
    int order[OW_MEMBERS]; /* members from the one it fares worst in */
} ow_risk;

/* Shapes of bodies: each grid of roots, with a trunk or without. */
enum { OW_SHAPES = 2 * OW_BODY_GRIDS };

/* One plant running through the weather of all members, doing as `trial` says where it acts. */
typedef struct ow_many {
    int plant;
    bool acts;
    ow_trial trial;
    int step;
    ow_course course[OW_MEMBERS];
} ow_many;

typedef struct ow_ensemble {
    const ow_garden *garden;
    ow_spread spread;
    const ow_scene *now;      /* looked ahead from */
    int steps, step_s;        /* steps looked ahead; 0: none, or not complete */
    ow_utc_s start_s;
    ow_course *course;        /* [plant * OW_MEMBERS + member] */
    ow_risk *risk;            /* one a plant */
    /* inside */
    int wanted, looked, plant;
    ow_scene *lead;           /* runs under the forecast as it is */
    size_t room;              /* steps allocated */
    int houses;               /* glasshouses */
    int *house_of;            /* one a place; -1: no glasshouse */
    double *glazing;          /* [house * OW_MEMBERS + member]: in deviations */
    ow_outdoors *out;         /* [step * OW_MEMBERS + member] */
    ow_glasshouse_out *house; /* [(step * OW_MEMBERS + member) * houses + house] */
    ow_glasshouse_out *warm;  /* the same with its heaters turned up, where they can be */
    double *floor_c;          /* [step * houses + house] */
    double *under_c;          /* [step * places + place]: below leaves, of the median */
    ow_band *band;            /* [(plant * room + step) * OW_BANDS + which] */
    ow_drift air;
    double wind[OW_MEMBERS], sky[OW_MEMBERS];
    ow_cast *cast[OW_SHAPES];
    int varied;               /* the plant whose draws these are; -1: none yet */
    ow_variant variant[OW_MEMBERS];
    ow_spot *spot;            /* [member * places + place] */
    ow_many many;
} ow_ensemble;

/* Built for a scene that it will look ahead of. OW_NO_MEMORY. */
OW_CHECK ow_status ow_ensemble_new(const ow_scene *scene, ow_ensemble **ensemble);
void ow_ensemble_free(ow_ensemble *ensemble);

/*
 * Looks ahead from the scene as it is over `hours` or to the end of the forecast, whichever is
 * less, in portions as ow_outlook does: the scene and the forecast must stay until it is complete
 * (the scene for as long as questions are put). OW_NO_MEMORY leaves none.
 */
OW_CHECK ow_status ow_ensemble_begin(ow_ensemble *ensemble, const ow_scene *now,
                                     const ow_forcing *forecast, double hours, ow_spread spread);
/* At most `steps` steps of OW_MEMBERS lanes more; true when complete. */
bool ow_ensemble_some(ow_ensemble *ensemble, const ow_forcing *forecast, int steps);

/* Share of members in which a limit of the plant is passed, 0..1; NAN when nothing is foreseen. */
double ow_ensemble_risk(const ow_ensemble *ensemble, int plant);

/*
 * The member at which the risk reaches a share: a limit is passed in it if and only if the plant's
 * risk is at least that share (and more than nought).
 */
int ow_ensemble_member_at(const ow_ensemble *ensemble, int plant, double share);

/* A band of a plant at the end of a step. */
ow_band ow_ensemble_band(const ow_ensemble *ensemble, int plant, int step, int which);

/* The spots of a member in a step, one a place; into `spot`, room for the garden's places. */
void ow_ensemble_spots(const ow_ensemble *ensemble, int member, int step, ow_spot *spot);

/* The spot of a heated house whose heaters keep ow_guide_most_c. */
ow_spot ow_ensemble_warm_spot(const ow_ensemble *ensemble, int member, int step, int place);

/*
 * One plant under one act, in all members of a complete ensemble: set plant, acts and trial, begin,
 * then _some until it is true; the courses are then the answer.
 */
OW_CHECK ow_status ow_many_begin(ow_many *many, ow_ensemble *ensemble);
bool ow_many_some(ow_many *many, ow_ensemble *ensemble, int steps);
/* Share of courses in which a part's limit is passed, of damage or of death; what the plant has
 * suffered already left out. */
double ow_many_part_risk(const ow_many *many, const ow_ensemble *ensemble, ow_part part,
                         bool killed);
/* What its courses come to. */
void ow_many_risk(const ow_many *many, const ow_ensemble *ensemble, ow_risk *risk);

#endif
