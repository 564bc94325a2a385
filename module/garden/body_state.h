/* SPDX-License-Identifier: MIT */
/* The state of one body of a block, apart from the block: for bytes and back. */
#ifndef OVERWINTER_GARDEN_BODY_STATE_H
#define OVERWINTER_GARDEN_BODY_STATE_H

#include <stdbool.h>

#include "garden/pack.h"
#include "physics/solver.h"

enum { OW_BODY_CELLS = 128 }; /* at most, of any grid that is saved */

/* Heat in a lane of a block, and what lay outside it in the last step. */
typedef struct ow_body_state {
    int64_t shape; /* what it must be put into: grid, cells and medium */
    int cells;
    double h_j_m3[OW_BODY_CELLS];
    double te_c[OW_FACES], face_h[OW_FACES];
    double heat_in_j;
} ow_body_state;

/* Takes the state of a lane. */
void ow_body_gather(const ow_block *block, int lane, ow_body_state *state);

/* Writes or reads it. */
void ow_body_pack(ow_pack *pack, ow_body_state *state);

/* Whether it is of a body like the lane's (grid, sizes, medium) and every number in it is one that
 * the solver bears. */
bool ow_body_fits(const ow_block *block, int lane, const ow_body_state *state);

/* Brings a lane that it fits to the state. */
void ow_body_put(ow_block *block, int lane, const ow_body_state *state);

/* Whether a temperature is one that a body or the air can have, -120 to 120 C. */
bool ow_is_body_c(double c);

/* A checksum of numbers by their bits: equal numbers, equal prints. */
int64_t ow_print_of(const double *value, size_t n);

#endif
