/* SPDX-License-Identifier: MIT */
/*
 * Chores: small jobs that need no plan, since they take no cover, no room and no strength. Each has
 * its cause in what the model knows; the rules are common practice, without a source, unless said.
 */
#ifndef OVERWINTER_JUDGEMENT_CHORES_H
#define OVERWINTER_JUDGEMENT_CHORES_H

#include "judgement/outlook.h"

/* enum, the job's word, minutes of one person's time, what is asked. */
#define OW_CHORE_LIST(X)                                                                           \
    X(OW_CHORE_SHADE, "shade", 3, "shade it from the morning sun until it has thawed")             \
    X(OW_CHORE_WATER, "water", 3, "water it while it is thawed: dry roots have nothing to freeze") \
    X(OW_CHORE_EMPTY_SAUCER, "empty saucer", 2, "empty the saucer before it freezes")              \
    X(OW_CHORE_KEEP_RAIN_OFF, "keep rain off", 3, "keep the rain off its crown before the frost")  \
    X(OW_CHORE_CLEAR_SNOW, "clear snow", 5, "clear the snow off before it breaks")                 \
    X(OW_CHORE_AIR, "air", 3, "open the wraps by day, close them before dusk")                     \
    X(OW_CHORE_LAY_AGAIN, "look", 2, "see whether the wind has taken its cover")                   \
    X(OW_CHORE_LIFT, "lift", 15, "lift it before the ground freezes: its leaves are black")        \
    X(OW_CHORE_CUT_AND_WRAP, "cut and wrap", 20, "cut the black leaves off and wrap the stem")     \
    X(OW_CHORE_HARDEN, "harden", 20,                                                               \
      "stand it out in mild shade for the day, in again before dusk")

typedef enum ow_chore {
#define OW_CHORE_ENUM(name, word, minutes, what) name,
    OW_CHORE_LIST(OW_CHORE_ENUM)
#undef OW_CHORE_ENUM
        OW_CHORES
} ow_chore;

typedef struct ow_chore_row {
    const char *word, *what;
    const char *code; /* of what, as in speech.h */
    int minutes;
} ow_chore_row;

const ow_chore_row *ow_chore_about(ow_chore chore);

/* The chores of one plant: bit 1u << chore; by_s[chore] is their latest time, OW_NEVER: no hurry.
 */
typedef struct ow_chore_set {
    unsigned set;
    ow_utc_s by_s[OW_CHORES];
} ow_chore_set;

/* What a plant wants in the hours that the outlook sees. */
void ow_chores_of(const ow_outlook *outlook, const ow_scene *scene, int plant,
                  ow_chore_set *chores);

/* How long covers may stay on in mild weather, days; INFINITY: as long as they like. */
typedef struct ow_stay {
    double days;
    bool rots; /* damp is what harms first, not the lack of light */
} ow_stay;
ow_stay ow_covers_stay(const ow_dress *dress, const ow_tolerance *stands);

#endif
