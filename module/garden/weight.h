/* SPDX-License-Identifier: MIT */
/* What a potted plant weighs, and whether it can be lifted from where it stands. */
#ifndef OVERWINTER_GARDEN_WEIGHT_H
#define OVERWINTER_GARDEN_WEIGHT_H

#include "garden/cast.h"
#include "garden/garden.h"

/* Kilograms of a pot's medium with its water, from size, medium and moisture; the wall and the
 * plant are left out. NAN for a measured medium, whose density nobody has told. */
double ow_pot_kg(const ow_pot *pot);

/*
 * Whether a pot is frozen to the ground it stands on: it stands on soil, has frozen through, and
 * the ground under it is frozen as well (common practice, no source: forcing it tears roots or
 * pot). A raised pot, or one on paving or a deck, comes free.
 */
bool ow_frozen_down(const ow_plant *plant, const ow_actor *actor, const ow_spot *spot);

#endif
