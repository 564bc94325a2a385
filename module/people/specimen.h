/* SPDX-License-Identifier: MIT */
/*
 * One plant cut open: its pot, its slice of bed or its trunk from the model's own cells. Colour is
 * temperature; ice is engraved as fine lines wherever the model has half of the water frozen
 * (relative to -5 C), so that a ring of ice is seen growing inward.
 */
#ifndef OVERWINTER_PEOPLE_SPECIMEN_H
#define OVERWINTER_PEOPLE_SPECIMEN_H

#include <stdio.h>

#include "garden/cast.h"

typedef struct ow_box {
    double x, y, w, h; /* pixels */
} ow_box;

/* Draws the actor in the box, standing on its lower edge. `nearest` is the part that is marked,
 * -1: none; `passed`: it is below it. */
void ow_specimen_draw(FILE *file, const ow_cast *cast, int actor, ow_box box, int nearest,
                      bool passed);

#endif
