/* SPDX-License-Identifier: MIT */
/*
 * A block with its memory for the tests of the solver, and the laws of textbook media.
 * Include it after <cmocka.h>.
 */
#ifndef OVERWINTER_TESTS_PHYSICS_RIG_H
#define OVERWINTER_TESTS_PHYSICS_RIG_H

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "check.h"
#include "physics/solver.h"

#define RIG_HELD_W_M2K 1e5 /* a film so good that it holds the surface at its te */

static inline bool rig_is_double(void)
{
    return sizeof(ow_real) == sizeof(double);
}

typedef struct rig {
    ow_block block;
    void *memory;
} rig;

static inline void rig_open_grid(rig *r, ow_grid grid)
{
    size_t bytes = ow_block_bytes(&grid);
    r->memory = aligned_alloc(64, bytes);
    assert_non_null(r->memory);
    assert_int_equal(ow_block_init(&r->block, &grid, r->memory), OW_OK);
}

static inline void rig_open(rig *r, int nr, int nz)
{
    rig_open_grid(r, (ow_grid){nr, nz, 0});
}

static inline void rig_close(rig *r)
{
    free(r->memory);
    r->memory = NULL;
}

/* A body's shape: radius 0 is a column. */
typedef struct rig_shape {
    double radius_m, radius_growth; /* finest at the mantle */
    double depth_m, depth_growth;
    ow_spacing depth_spacing;
} rig_shape;

static inline void rig_put_profile(rig *r, int lane, const rig_shape *s, const ow_law *law,
                                   double start_c, const double *profile_c)
{
    double r_face[OW_LINE_CELLS + 1], z_face[OW_LINE_CELLS + 1];
    ow_body body = {.z_face_m = z_face,
                    .law = law,
                    .start_c = start_c,
                    .start_profile_c = profile_c};
    ow_spread_faces(s->depth_m, r->block.grid.nz, s->depth_growth, s->depth_spacing, z_face);
    if (s->radius_m > 0.0) {
        ow_spread_faces(s->radius_m, r->block.grid.nr, s->radius_growth, OW_FINE_END, r_face);
        body.r_face_m = r_face;
    }
    assert_int_equal(ow_block_put(&r->block, lane, &body), OW_OK);
}

static inline void rig_put(rig *r, int lane, const rig_shape *s, const ow_law *law, double start_c)
{
    rig_put_profile(r, lane, s, law, start_c, NULL);
}

static inline void rig_face(rig *r, int lane, ow_side face, double te_c, double h_w_m2k)
{
    ow_block_boundary(&r->block, lane, face, (ow_boundary){te_c, h_w_m2k});
}

static inline ow_inside rig_inside(const rig *r, int lane)
{
    ow_inside x;
    ow_block_inside(&r->block, lane, &x);
    return x;
}

/* Thickness of a row of cells. */
static inline double rig_thick(const rig *r, int lane, int iz)
{
    return (double)r->block.z.capacity[iz][lane];
}

/* Depth of ice in a column: ice share times thickness, summed. */
static inline double rig_ice_depth_m(const rig *r, int lane)
{
    double depth = 0.0;
    for (int iz = 0; iz < r->block.grid.nz; iz++) {
        depth += rig_thick(r, lane, iz) *
                 ow_law_ice(&r->block.law[lane], ow_block_h(&r->block, lane, iz));
    }
    return depth;
}

/* First depth where a column passes t_c (colder above), linear between nodes; *cell_m its size. */
static inline double rig_depth_of(const rig *r, int lane, double t_c, double *cell_m)
{
    double top = 0.0, mid_before = 0.0, t_before = NAN;
    for (int iz = 0; iz < r->block.grid.nz; iz++) {
        double thick = rig_thick(r, lane, iz), mid = top + 0.5 * thick;
        double t = ow_block_t(&r->block, lane, iz);
        if (iz > 0 && t_before < t_c && t >= t_c) {
            *cell_m = thick;
            return mid_before + (mid - mid_before) * (t_c - t_before) / (t - t_before);
        }
        top += thick;
        mid_before = mid;
        t_before = t;
    }
    return NAN;
}

/* Size of the cell at a depth. */
static inline double rig_cell_at(const rig *r, int lane, double z_m)
{
    double top = 0.0, thick = 0.0;
    for (int iz = 0; iz < r->block.grid.nz && top <= z_m; iz++) {
        thick = rig_thick(r, lane, iz);
        top += thick;
    }
    return thick;
}

/* ---- laws ---- */

/* Never freezes: h = c T. */
static inline ow_law rig_constant_law(double k_w_mk, double c_j_m3k)
{
    const double t[1] = {-90.0}, h[1] = {-90.0 * c_j_m3k}, ice[1] = {0.0};
    ow_law law;
    assert_int_equal(ow_law_of_nodes(1, t, h, ice, NULL, c_j_m3k, k_w_mk, c_j_m3k, k_w_mk, &law),
                     OW_OK);
    return law;
}

/* Freezes all at once at 0 C. */
static inline ow_law rig_sharp_law(double frozen_w_mk, double frozen_j_m3k, double thawed_w_mk,
                                   double thawed_j_m3k, double latent_j_m3)
{
    const double t[2] = {0.0, 0.0}, h[2] = {0.0, -latent_j_m3}, ice[2] = {0.0, 1.0};
    const double k[1] = {thawed_w_mk};
    ow_law law;
    assert_int_equal(ow_law_of_nodes(2, t, h, ice, k, thawed_j_m3k, thawed_w_mk, frozen_j_m3k,
                                     frozen_w_mk, &law),
                     OW_OK);
    return law;
}

#endif
