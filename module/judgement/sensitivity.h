/* SPDX-License-Identifier: MIT */
/*
 * Which unknown matters most for how long a plant holds out: the steady frost again with moisture,
 * wind, wall and sky each at both ends of what may well be, the rest as the garden file says.
 */
#ifndef OVERWINTER_JUDGEMENT_SENSITIVITY_H
#define OVERWINTER_JUDGEMENT_SENSITIVITY_H

#include "garden/garden.h"
#include "status.h"

typedef enum ow_doubt {
    OW_DOUBT_MOISTURE, /* a word drier and a word wetter than the file's */
    OW_DOUBT_WIND,
    OW_DOUBT_WALL, /* all that lies round a pot, or over a bed */
    OW_DOUBT_SKY,
    OW_DOUBTS
} ow_doubt;

/* Both ends of a doubt, in words, for a pot and for a bed. */
typedef struct ow_doubt_words {
    const char *name, *bed_name, *low, *high;
} ow_doubt_words;

/* Moisture's ends are words of the garden file and are NULL here. */
const ow_doubt_words *ow_doubt_about(ow_doubt doubt);

/* Hours until frozen through; NAN: not within OW_FROST_DAYS. */
typedef struct ow_sensitivity {
    double usual_h;
    double low_h[OW_DOUBTS], high_h[OW_DOUBTS];
    ow_moisture drier, wetter;
    int most; /* the doubt that spreads the hours most; -1: none freezes it through */
} ow_sensitivity;

/* Steps a plant of the garden, bare, through the steady frost in all these ways. OW_NO_MEMORY. */
OW_CHECK ow_status ow_sensitivity_of(const ow_garden *garden, int plant, ow_sensitivity *out);

#endif
