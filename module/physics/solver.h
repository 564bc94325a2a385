/* SPDX-License-Identifier: MIT */
/*
 * Heat and ice inside many bodies at once: adaptive locally one-dimensional steps in enthalpy.
 *
 * A block holds up to OW_LANES bodies of one grid (nr x nz cells), lane by lane beside each other,
 * so that plain loops over the lane become vector instructions. Enthalpy is the only state. Each
 * step solves every line along r, then every line along z (order alternating), each line
 * implicitly with as many repeats as it needs; heat is updated from the fluxes and is therefore
 * conserved to rounding whatever the iteration did. A lane that has settled is left alone while
 * its neighbours repeat, so a body's result does not depend on its company.
 *
 * Bodies: a cylinder (radius and depth; axis at r = 0, z from the top down) or a column (nr = 1,
 * no side). Boundaries: side (lower and upper zone), top, base; see physics/boundary.h.
 * Set up: ow_block_bytes, ow_block_init, ow_block_put. Per step: ow_block_boundary for each lane
 * and face, ow_block_step. Read: ow_block_inside and friends. No allocation anywhere.
 */
#ifndef OVERWINTER_PHYSICS_SOLVER_H
#define OVERWINTER_PHYSICS_SOLVER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "physics/boundary.h"
#include "physics/law.h"
#include "status.h"

#ifndef OW_REAL
#define OW_REAL float
#endif
typedef OW_REAL ow_real;

#ifndef OW_LANES
#define OW_LANES 16
#endif
#define OW_LINE_CELLS 512 /* cells along one direction at most */

typedef ow_real ow_row[OW_LANES]; /* one value a lane */

typedef enum ow_side { OW_SIDE, OW_SIDE_UPPER, OW_TOP, OW_BASE, OW_FACES } ow_side;

typedef struct ow_grid {
    int nr, nz;     /* cells along the radius and the depth; nr = 1 with radius 0 is a column */
    int upper_rows; /* rows from the top whose side belongs to OW_SIDE_UPPER */
} ow_grid;

/* One direction of a block: what a line solve needs, all lanes. */
typedef struct ow_axis {
    int cells;
    ow_row *conductance; /* between cell i and i+1, per unit of cross measure */
    ow_row *capacity;    /* ring area (r) or thickness (z) */
    ow_row edge_area;    /* area of the outer edge in the same measure */
    ow_row near_half_m, far_half_m; /* half-cell depth behind the two edges, m */
} ow_axis;

/* Where the pieces of a law end, falling; and the highest of all lanes. */
typedef struct ow_knots {
    ow_row at[OW_HINGES];
    ow_real most[OW_HINGES];
} ow_knots;

/* A line, value = at_zero + slope x, in each lane. */
typedef struct ow_piece {
    ow_row at_zero, slope;
} ow_piece;

typedef struct ow_block {
    ow_grid grid;
    ow_axis r, z;
    ow_row *h_j_m3, *u_w_m, *slope; /* [iz * nr + ir] : enthalpy, potential, du/dh */
    /* the law of each lane: piece 0 lies above all knots, piece i + 1 below knot i */
    ow_knots of_h, of_t;
    ow_piece u_of_h[OW_HINGES + 1], t_of_h[OW_HINGES + 1], ice_of_h[OW_HINGES + 1];
    ow_piece u_of_t[OW_HINGES + 1];
    ow_row half_ice, warm_k, least_k, most_k;
    ow_row te_c[OW_FACES], face_h[OW_FACES];
    double heat_in_j[OW_LANES]; /* heat that came in over all faces since ow_block_put, J (columns: J/m2) */
    double base_in_j[OW_LANES]; /* of the last step through the base, J (columns: J/m2) */
    uint64_t repeats, unsettled; /* line repeats so far; lines that did not settle in 20 */
    ow_law law[OW_LANES];
    ow_row *work; /* line workspace */
} ow_block;

/* What a body is: faces of the cells, from axis to mantle and from top to base, and its medium. */
typedef struct ow_body {
    const double *r_face_m; /* nr + 1 values from 0; NULL for a column */
    const double *z_face_m; /* nz + 1 values from 0 */
    const ow_law *law;      /* copied */
    double start_c;         /* uniform temperature at the start; NAN: see profile */
    const double *start_profile_c; /* nz values, used when start_c is NAN */
} ow_body;

/* Bytes that a block of this grid needs besides the struct; 0 for an impossible grid. */
size_t ow_block_bytes(const ow_grid *grid);

/* Lays the block into memory (64-byte aligned, ow_block_bytes long, owned by the caller). All
 * lanes get an idle body, all boundaries insulate. OW_BAD_INPUT for an impossible grid. */
OW_CHECK ow_status ow_block_init(ow_block *block, const ow_grid *grid, void *memory);

/* Puts a body into a lane, at its start temperature, boundaries insulated, heat tally zero.
 * OW_BAD_INPUT for faces that do not rise or a start outside -60..80 C. */
OW_CHECK ow_status ow_block_put(ow_block *block, int lane, const ow_body *body);

/* Gives a lane another law; what it keeps of its state is said at ow_law_carried. */
void ow_block_set_law(ow_block *block, int lane, const ow_law *law);

/* Copies a lane (body, state, boundaries, tally) between blocks of the same grid. */
void ow_block_copy(ow_block *to, int to_lane, const ow_block *from, int from_lane);

/* Sets what lies outside one face of a lane, until set again. */
void ow_block_boundary(ow_block *block, int lane, ow_side face, ow_boundary boundary);

/* One step of dt_s (up to 3600). `step_index` counts steps from a fixed origin; its last bit picks
 * the order of the sweeps, so that lanes copied between blocks go on alike. */
void ow_block_step(ow_block *block, double dt_s, uint64_t step_index);

/*
 * A small dry root ball follows the air within the hour, and steps of half an hour blur it. How
 * many parts a step is cut into for a cylinder: OW_QUICK_PARTS when the heat that it holds (thawed) over
 * what a film of 15 W/m2K takes from all its faces is less than an hour, else one. A block may
 * only hold bodies of one answer.
 */
#define OW_QUICK_PARTS 4
int ow_step_parts(double radius_m, double depth_m, double thawed_j_m3k);

/* One step of dt_s in equal parts, boundaries unchanged; base_in_j is of all parts. */
void ow_block_step_in(ow_block *block, int parts, double dt_s, uint64_t step_index);

/* dh/dt (W/m3) of every cell [cell * OW_LANES + lane] by the same fluxes, for explicit stepping
 * in tests; h is the block's. */
void ow_block_rates(ow_block *block, ow_real *rate);

/* Adds rate * dt to the enthalpy (explicit step). */
void ow_block_add(ow_block *block, const ow_real *rate, double dt_s);

/* Moves a lane's temperatures by a whole field of enthalpies, h[cell]; for restoring a state. */
void ow_block_set_h(ow_block *block, int lane, const double *h_j_m3);
double ow_block_h(const ow_block *block, int lane, int cell);
double ow_block_t(const ow_block *block, int lane, int cell);

/* A body in numbers. Means are by volume. */
typedef struct ow_inside {
    double mean_c, coldest_c, warmest_c;
    double centre_c;           /* axis, half depth */
    double mean_h_j_m3;
    double ice_share;          /* mean frozen share of the water */
    double least_ice;          /* least frozen share anywhere */
    double least_relative_ice; /* the same relative to that at -5 C, 0..1 */
    double open_share;         /* share of the volume with relative ice under a half */
} ow_inside;
void ow_block_inside(const ow_block *block, int lane, ow_inside *inside);
/* The same of the rows whose middle lies above depth_m; the first row always counts. */
void ow_block_inside_above(const ow_block *block, int lane, double depth_m, ow_inside *inside);
/* That of all lanes, for hardly more work than of one. */
void ow_block_insides(const ow_block *block, double depth_m, ow_inside inside[OW_LANES]);

/* Temperature on the axis (column: anywhere) at a depth from the top, C; linear between cell
 * centres, the outer half cells by their cell's value. */
double ow_block_axis_c(const ow_block *block, int lane, double z_m);

/* The coldest medium temperature right at a face (behind wall and covers), C. */
double ow_block_face_c(const ow_block *block, int lane, ow_side face);

/* How a face holds on to its te: sum of g A (W/K) and of g A T (W) over its cells, g the
 * conductance from te to the cell's node. For air that shares its heat with bodies. */
void ow_block_exchange(const ow_block *block, int lane, ow_side face, double *ga_w_k,
                       double *gat_w);

/*
 * Cell faces along a length: n cells, neighbours differ by the factor `growth`.
 * OW_FINE_END: finest at the far end (mantle); OW_FINE_BOTH: at both ends; OW_FINE_START: at the
 * start (top of a bed). `face` gets n + 1 values, face[0] = 0.
 */
typedef enum ow_spacing { OW_FINE_START, OW_FINE_END, OW_FINE_BOTH } ow_spacing;
void ow_spread_faces(double length_m, int n, double growth, ow_spacing spacing, double *face);

#endif
