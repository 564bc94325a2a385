/* SPDX-License-Identifier: MIT */
#include "garden/body_state.h"

#include <math.h>

static const double COLDEST_C = -120.0, WARMEST_C = 120.0;

bool ow_is_body_c(double c)
{
    return c >= COLDEST_C && c <= WARMEST_C;
}

int64_t ow_print_of(const double *value, size_t n)
{
    return ow_crc32((const unsigned char *)value, n * sizeof *value);
}

static size_t add_axis(const ow_axis *axis, int lane, double *to)
{
    size_t n = 0;
    for (int i = 0; i < axis->cells; i++) {
        to[n++] = (double)axis->capacity[i][lane];
    }
    to[n++] = (double)axis->edge_area[lane];
    to[n++] = (double)axis->near_half_m[lane];
    to[n++] = (double)axis->far_half_m[lane];
    return n;
}

static int64_t shape_of(const ow_block *b, int lane)
{
    const ow_law *law = &b->law[lane];
    double value[2 * OW_BODY_CELLS + 4 * OW_HINGES + 16];
    size_t n = add_axis(&b->r, lane, value);
    n += add_axis(&b->z, lane, value + n);
    for (int i = 0; i < law->hinges; i++) {
        value[n++] = law->t_c[i];
        value[n++] = law->h_j_m3[i];
        value[n++] = law->u_w_m[i];
        value[n++] = law->ice[i];
    }
    value[n++] = law->warm_j_m3k;
    value[n++] = law->cold_j_m3k;
    return ow_print_of(value, n);
}

void ow_body_gather(const ow_block *b, int lane, ow_body_state *s)
{
    s->shape = shape_of(b, lane);
    s->cells = b->grid.nr * b->grid.nz;
    for (int c = 0; c < s->cells; c++) {
        s->h_j_m3[c] = ow_block_h(b, lane, c);
    }
    for (int f = 0; f < OW_FACES; f++) {
        s->te_c[f] = (double)b->te_c[f][lane];
        s->face_h[f] = (double)b->face_h[f][lane];
    }
    s->heat_in_j = b->heat_in_j[lane];
}

void ow_body_pack(ow_pack *p, ow_body_state *s)
{
    ow_pack_int64(p, &s->shape);
    ow_pack_int(p, &s->cells, 1, OW_BODY_CELLS);
    if (p->status == OW_OK) {
        ow_pack_doubles(p, s->h_j_m3, (size_t)s->cells);
    }
    ow_pack_doubles(p, s->te_c, OW_FACES);
    ow_pack_doubles(p, s->face_h, OW_FACES);
    ow_pack_double(p, &s->heat_in_j);
}

/* Fits the lane, and every number in it is one that the solver bears. */
bool ow_body_fits(const ow_block *b, int lane, const ow_body_state *s)
{
    bool fits = s->shape == shape_of(b, lane) && s->cells == b->grid.nr * b->grid.nz;
    for (int c = 0; fits && c < s->cells; c++) {
        fits = ow_is_body_c(ow_law_t(&b->law[lane], s->h_j_m3[c]));
    }
    for (int f = 0; fits && f < OW_FACES; f++) {
        fits = isfinite(s->te_c[f]) && s->face_h[f] >= 0.0 && isfinite(s->face_h[f]);
    }
    return fits && isfinite(s->heat_in_j);
}

void ow_body_put(ow_block *b, int lane, const ow_body_state *s)
{
    ow_block_set_h(b, lane, s->h_j_m3);
    for (int f = 0; f < OW_FACES; f++) {
        ow_block_boundary(b, lane, (ow_side)f,
                          (ow_boundary){.te_c = s->te_c[f], .h_w_m2k = s->face_h[f]});
    }
    b->heat_in_j[lane] = s->heat_in_j;
}
