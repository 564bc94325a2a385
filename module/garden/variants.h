/* SPDX-License-Identifier: MIT */
/*
 * One plant of a garden several times over, each time as if the garden file said something else of
 * it: what pot and place would it take to behave as it does? A scene or a cast of such a garden
 * carries all of them side by side, by the very model that minds the garden.
 */
#ifndef OVERWINTER_GARDEN_VARIANTS_H
#define OVERWINTER_GARDEN_VARIANTS_H

#include "garden/garden.h"
#include "physics/solver.h"

/* A garden of one place and n plants; points into itself and into the garden it is of. */
typedef struct ow_variants {
    ow_garden garden;
    ow_place place;
    ow_plant plant[OW_LANES];
} ow_variants;

/* n copies (1..OW_LANES) of a plant, alone in its place; edit variants->plant, and do not move or
 * copy *variants. The garden must outlive it. */
void ow_variants_of(const ow_garden *garden, int plant, int n, ow_variants *variants);

/* Gives a plant that many times the water of its moisture's word, as a measured medium; what the
 * grower measured himself stays. OW_BAD_INPUT: no such medium. */
OW_CHECK ow_status ow_variant_water(ow_plant *plant, double share);

/* The soil of its pot or bed. */
ow_soil *ow_plant_soil(ow_plant *plant);

#endif
