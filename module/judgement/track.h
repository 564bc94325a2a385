/* SPDX-License-Identifier: MIT */
/*
 * How one plant stands over a stretch of time, in points of three hours: what the tile and the page
 * draw of the week behind and the days ahead. Points begin at whole multiples of three hours UTC.
 */
#ifndef OVERWINTER_JUDGEMENT_TRACK_H
#define OVERWINTER_JUDGEMENT_TRACK_H

#include "garden/cast.h"
#include "garden/pack.h"

enum { OW_TRACK_POINT_S = 3 * OW_HOUR_S, OW_TRACK_POINTS = 56 /* a week */ };

/* The worst of three hours. NAN: not known, or no such part. */
typedef struct ow_track_point {
    float root_c;            /* mean of the root ball at the end */
    float ice_share;         /* of the root ball at the end, 0..1 */
    float margin_k;          /* least distance of any part above the limit that harms it */
    float part_c[OW_PARTS];  /* least of what is held against the limit */
    float limit_c[OW_PARTS]; /* damaged_c then */
} ow_track_point;

typedef struct ow_track {
    ow_utc_s from_s; /* where the first point begins */
    int n;
    ow_track_point point[OW_TRACK_POINTS];
} ow_track;

/* Empty; the first note says where it begins. */
void ow_track_start(ow_track *track);

/*
 * Notes an actor after a step that ended at end_s. Time must not run back: a note from before the
 * last point is left out. A track that is full lets its oldest point go when `rolls`, else it
 * leaves out what is new. Hours without a note become points of NAN.
 */
void ow_track_note(ow_track *track, const ow_actor *actor, const ow_tolerance *stands,
                   ow_utc_s end_s, bool rolls);

/* Kept as it is; one that was kept by another version of the point reads as empty. */
void ow_track_pack(ow_track *track, ow_pack *pack);

#endif
