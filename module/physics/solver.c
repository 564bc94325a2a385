/* SPDX-License-Identifier: MIT */
#include "physics/solver.h"

#include <math.h>
#include <string.h>

#include "physics/lanes.h"
#include "physics/ow_math.h"

#ifndef __clang__
/* Else gcc copies rows in pieces of 16 bytes, and what then reads 32 of them must wait. */
#pragma GCC optimize("no-tree-loop-distribute-patterns")
#endif
#define FOR_LANES(l) OW_VECTORISE("omp simd") for (int l = 0; l < OW_LANES; l++)
#define ANY_LANE(any, l)                                                                           \
    OW_VECTORISE("omp simd reduction(|:any)") for (int l = 0; l < OW_LANES; l++)

enum { MOST_REPEATS = 20, WORK_ROWS = 5, KNOTS_AT_ONCE = 2 };
_Static_assert(OW_HINGES % KNOTS_AT_ONCE == 0, "knots come in whole groups");

/* A line may miss its linearised potential by this many kelvins times the least conductivity. */
static const ow_real MISS_K = (ow_real)0.2;

static const ow_row NONE; /* zeros */

/* Outside one end of a line: conductance h to te behind the half-cell; the axis is closed. */
typedef struct edge {
    const ow_real *te_c, *h;
    const ow_real *area, *half_m;
} edge;

static bool is_open(const edge *e)
{
    return e->h != NONE;
}

typedef struct line {
    int n;
    ow_row *h_j_m3, *u, *slope; /* first cell; the next one is `stride` rows on */
    int stride;
    const ow_row *conductance, *capacity;
    edge near, far;
} line;

/* ---- set-up ---------------------------------------------------------------------------------- */

static size_t cells_of(const ow_grid *grid)
{
    return (size_t)grid->nr * (size_t)grid->nz;
}

static bool grid_is_possible(const ow_grid *g)
{
    return g->nr >= 1 && g->nz >= 1 && g->nr <= OW_LINE_CELLS && g->nz <= OW_LINE_CELLS &&
           g->upper_rows >= 0 && g->upper_rows <= g->nz;
}

static size_t rows_of(const ow_grid *g)
{
    size_t longest = (size_t)(g->nr > g->nz ? g->nr : g->nz);
    return 3 * cells_of(g) + 2 * (size_t)g->nr + 2 * (size_t)g->nz + WORK_ROWS * longest;
}

size_t ow_block_bytes(const ow_grid *grid)
{
    return grid_is_possible(grid) ? rows_of(grid) * sizeof(ow_row) : 0;
}

static ow_row *take(ow_row **memory, size_t rows)
{
    ow_row *taken = *memory;
    *memory += rows;
    return taken;
}

static void idle_lane(ow_block *b, int l)
{
    static const double face[2] = {0.0, 1.0};
    double z[OW_LINE_CELLS + 1];
    const double unit_t[1] = {-100.0}, unit_h[1] = {-1e8}, unit_ice[1] = {0.0};
    ow_law law;
    if (ow_law_of_nodes(1, unit_t, unit_h, unit_ice, NULL, 1e6, 1.0, 1e6, 1.0, &law) != OW_OK) {
        return;
    }
    double r[OW_LINE_CELLS + 1];
    ow_spread_faces(1.0, b->grid.nz, 1.0, OW_FINE_START, z);
    ow_spread_faces(1.0, b->grid.nr, 1.0, OW_FINE_START, r);
    ow_body body = {.r_face_m = b->grid.nr == 1 ? face : r, .z_face_m = z, .law = &law};
    (void)!ow_block_put(b, l, &body);
}

ow_status ow_block_init(ow_block *b, const ow_grid *grid, void *memory)
{
    if (!grid_is_possible(grid)) {
        return OW_BAD_INPUT;
    }
    memset(b, 0, sizeof *b);
    memset(memory, 0, ow_block_bytes(grid));
    b->grid = *grid;
    b->r.cells = grid->nr;
    b->z.cells = grid->nz;
    ow_row *rows = memory;
    b->h_j_m3 = take(&rows, cells_of(grid));
    b->u_w_m = take(&rows, cells_of(grid));
    b->slope = take(&rows, cells_of(grid));
    b->r.conductance = take(&rows, (size_t)grid->nr);
    b->r.capacity = take(&rows, (size_t)grid->nr);
    b->z.conductance = take(&rows, (size_t)grid->nz);
    b->z.capacity = take(&rows, (size_t)grid->nz);
    b->work = rows;
    for (int l = 0; l < OW_LANES; l++) {
        idle_lane(b, l);
    }
    return OW_OK;
}

static bool faces_rise(const double *face, int n)
{
    for (int i = 0; i < n; i++) {
        if (!(face[i + 1] > face[i])) {
            return false;
        }
    }
    return true;
}

/* The node of a ring: its mid radius; the innermost one sits on half its radius. */
static double ring_node(const double *face, int i)
{
    return 0.5 * (face[i] + face[i + 1]);
}

static void put_radius(ow_axis *a, int l, const double *face)
{
    int n = a->cells;
    double node = 0.5, outer = 1.0;
    if (face == NULL) { /* a column of 1 m2 */
        a->capacity[0][l] = 1;
        a->edge_area[l] = 0;
        a->far_half_m[l] = 1;
        return;
    }
    for (int i = 0; i < n; i++) {
        node = ring_node(face, i);
        outer = face[i + 1];
        a->capacity[i][l] = (ow_real)(OW_PI * (outer - face[i]) * (outer + face[i]));
        if (i + 1 < n) {
            a->conductance[i][l] = (ow_real)(2.0 * OW_PI * outer / (ring_node(face, i + 1) - node));
        }
    }
    a->edge_area[l] = (ow_real)(2.0 * OW_PI * outer);
    a->far_half_m[l] = (ow_real)(outer - node);
}

static void put_depth(ow_axis *a, int l, const double *face)
{
    for (int i = 0; i < a->cells; i++) {
        a->capacity[i][l] = (ow_real)(face[i + 1] - face[i]);
        if (i + 1 < a->cells) {
            a->conductance[i][l] = (ow_real)(2.0 / (face[i + 2] - face[i]));
        }
    }
    a->edge_area[l] = 1;
    a->near_half_m[l] = (ow_real)(0.5 * (face[1] - face[0]));
    a->far_half_m[l] = (ow_real)(0.5 * (face[a->cells] - face[a->cells - 1]));
}

/* Slope of the segment below hinge i (above hinge 0 for i = -1) of a value against enthalpy. */
static double segment(const ow_law *law, const double *value, int i, double warm, double cold)
{
    if (i < 0) {
        return warm;
    }
    if (i == law->hinges - 1) {
        return cold;
    }
    return (value[i + 1] - value[i]) / (law->h_j_m3[i + 1] - law->h_j_m3[i]);
}

/* Conductivity below hinge i; on a front, where temperature stands still, that above it. */
static double conductivity(const ow_law *law, int i, double above)
{
    if (i == law->hinges - 1) {
        return law->cold_w_mk;
    }
    double fall = law->t_c[i] - law->t_c[i + 1];
    return fall > 0.0 ? (law->u_w_m[i] - law->u_w_m[i + 1]) / fall : above;
}

/* The line of this slope through a point that it meets to the last bit. */
static void put_piece(ow_piece *piece, int l, double slope, double x, double value)
{
    ow_real held = (ow_real)slope;
    piece->slope[l] = held;
    piece->at_zero[l] = (ow_real)(value - (double)held * (double)(ow_real)x);
}

static void put_knot(ow_knots *knots, int i, int l, double at)
{
    knots->at[i][l] = (ow_real)at;
    knots->most[i] = knots->at[i][0];
    for (int lane = 1; lane < OW_LANES; lane++) {
        ow_real here = knots->at[i][lane];
        knots->most[i] = here > knots->most[i] ? here : knots->most[i];
    }
}

static void put_law(ow_block *b, int l, const ow_law *law)
{
    double warm_t = 1.0 / law->warm_j_m3k, warm_u = law->warm_w_mk * warm_t;
    double cold_t = 1.0 / law->cold_j_m3k, cold_u = law->cold_w_mk * cold_t;
    double cold_ice = law->cold_ice_per_k * cold_t, k = law->warm_w_mk;
    b->law[l] = *law;
    b->half_ice[l] = (ow_real)(law->ice_at_minus5 > 0.0 ? 0.5 * law->ice_at_minus5 : INFINITY);
    b->warm_k[l] = (ow_real)law->warm_w_mk;
    b->least_k[l] = (ow_real)law->least_w_mk;
    b->most_k[l] = (ow_real)law->most_w_mk;
    for (int i = -1; i < OW_HINGES; i++) { /* the piece below hinge i; the first lies above all */
        int at = i < 0 ? 0 : i;
        if (i >= law->hinges) {
            put_knot(&b->of_h, i, l, -INFINITY);
            put_knot(&b->of_t, i, l, -INFINITY);
            continue;
        }
        double h = law->h_j_m3[at], t = law->t_c[at], u = law->u_w_m[at];
        k = i < 0 ? k : conductivity(law, i, k);
        if (i >= 0) {
            put_knot(&b->of_h, i, l, h);
            put_knot(&b->of_t, i, l, t);
        }
        put_piece(&b->u_of_h[i + 1], l, segment(law, law->u_w_m, i, warm_u, cold_u), h, u);
        put_piece(&b->t_of_h[i + 1], l, segment(law, law->t_c, i, warm_t, cold_t), h, t);
        put_piece(&b->ice_of_h[i + 1], l, segment(law, law->ice, i, 0.0, cold_ice), h, law->ice[at]);
        put_piece(&b->u_of_t[i + 1], l, k, t, u);
    }
}

OW_INLINE void evaluate_u(const ow_block *b, const ow_real *h, ow_real *u, ow_real *slope);

static void refresh_lane_potential(ow_block *b)
{
    for (size_t c = 0; c < cells_of(&b->grid); c++) {
        evaluate_u(b, b->h_j_m3[c], b->u_w_m[c], b->slope[c]);
    }
}

ow_status ow_block_put(ow_block *b, int l, const ow_body *body)
{
    bool uniform = !isnan(body->start_c);
    if (l < 0 || l >= OW_LANES || !faces_rise(body->z_face_m, b->grid.nz) ||
        (body->r_face_m != NULL && !faces_rise(body->r_face_m, b->grid.nr)) ||
        (body->r_face_m == NULL && b->grid.nr != 1) ||
        (!uniform && body->start_profile_c == NULL)) {
        return OW_BAD_INPUT;
    }
    for (int iz = 0; iz < b->grid.nz; iz++) {
        double t = uniform ? body->start_c : body->start_profile_c[iz];
        if (!(t >= -60.0 && t <= 80.0)) {
            return OW_BAD_INPUT;
        }
    }
    put_radius(&b->r, l, body->r_face_m);
    put_depth(&b->z, l, body->z_face_m);
    put_law(b, l, body->law);
    for (int iz = 0; iz < b->grid.nz; iz++) {
        double t = uniform ? body->start_c : body->start_profile_c[iz];
        for (int ir = 0; ir < b->grid.nr; ir++) {
            b->h_j_m3[iz * b->grid.nr + ir][l] = (ow_real)ow_law_h(body->law, t);
        }
    }
    for (int face = 0; face < OW_FACES; face++) {
        b->te_c[face][l] = 0;
        b->face_h[face][l] = 0;
    }
    b->heat_in_j[l] = b->base_in_j[l] = 0.0;
    refresh_lane_potential(b);
    return OW_OK;
}

void ow_block_set_law(ow_block *b, int l, const ow_law *law)
{
    for (size_t c = 0; c < cells_of(&b->grid); c++) {
        double h = ow_law_carried(law, &b->law[l], (double)b->h_j_m3[c][l]);
        b->h_j_m3[c][l] = (ow_real)h;
    }
    put_law(b, l, law);
    refresh_lane_potential(b);
}

static void copy_rows(ow_row *to, int to_lane, const ow_row *from, int from_lane, size_t rows)
{
    for (size_t i = 0; i < rows; i++) {
        to[i][to_lane] = from[i][from_lane];
    }
}

static void copy_axis(ow_axis *to, int tl, const ow_axis *from, int fl)
{
    copy_rows(to->conductance, tl, from->conductance, fl, (size_t)from->cells);
    copy_rows(to->capacity, tl, from->capacity, fl, (size_t)from->cells);
    to->edge_area[tl] = from->edge_area[fl];
    to->near_half_m[tl] = from->near_half_m[fl];
    to->far_half_m[tl] = from->far_half_m[fl];
}

void ow_block_copy(ow_block *to, int tl, const ow_block *from, int fl)
{
    size_t cells = cells_of(&from->grid);
    copy_axis(&to->r, tl, &from->r, fl);
    copy_axis(&to->z, tl, &from->z, fl);
    put_law(to, tl, &from->law[fl]);
    copy_rows(to->h_j_m3, tl, from->h_j_m3, fl, cells);
    copy_rows(to->u_w_m, tl, from->u_w_m, fl, cells);
    copy_rows(to->slope, tl, from->slope, fl, cells);
    copy_rows(to->te_c, tl, from->te_c, fl, OW_FACES);
    copy_rows(to->face_h, tl, from->face_h, fl, OW_FACES);
    to->heat_in_j[tl] = from->heat_in_j[fl];
    to->base_in_j[tl] = from->base_in_j[fl];
}

void ow_block_boundary(ow_block *b, int l, ow_side face, ow_boundary boundary)
{
    b->te_c[face][l] = (ow_real)boundary.te_c;
    b->face_h[face][l] = (ow_real)boundary.h_w_m2k;
}

/* ---- the law, all lanes ---------------------------------------------------------------------- */

/* Whether a lane lies below its knot. */
OW_INLINE bool any_below(const ow_real *x, const ow_real *knot)
{
    int32_t any = 0;
    ANY_LANE(any, l)
    {
        any |= x[l] < knot[l] ? 1 : 0;
    }
    return any != 0;
}

OW_INLINE ow_real least_of(const ow_real *x)
{
    ow_real least = x[0];
    OW_VECTORISE("omp simd reduction(min:least)")
    for (int l = 0; l < OW_LANES; l++) {
        least = x[l] < least ? x[l] : least;
    }
    return least;
}

/* From one piece to the next at each knot that x lies below, a few knots from `first` on. */
OW_INLINE void pass_knots(const ow_real *x, const ow_knots *knots, const ow_piece *piece, int first,
                          const ow_piece *from, ow_piece *to)
{
    FOR_LANES(l)
    {
        ow_real zero = from->at_zero[l], slope = from->slope[l];
        for (int j = first; j < first + KNOTS_AT_ONCE; j++) {
            ow_real next_zero = piece[j + 1].at_zero[l], next_slope = piece[j + 1].slope[l];
            bool below = x[l] < knots->at[j][l];
            zero = below ? next_zero : zero;
            slope = below ? next_slope : slope;
        }
        to->at_zero[l] = zero;
        to->slope[l] = slope;
    }
}

/*
 * A piecewise linear function and its slope: of each lane the piece below the last knot that lies
 * above x. Knots fall, so no piece is wanted from a knot on that in no lane lies above the least x.
 */
OW_INLINE void evaluate(const ow_real *x, const ow_knots *knots, const ow_piece *piece,
                        ow_real *value, ow_real *slope)
{
    ow_piece on; /* local, so that compilers see that nothing overlaps */
    ow_real least = least_of(x);
    pass_knots(x, knots, piece, 0, &piece[0], &on);
    for (int j = KNOTS_AT_ONCE; j < OW_HINGES && least < knots->most[j]; j += KNOTS_AT_ONCE) {
        pass_knots(x, knots, piece, j, &on, &on);
    }
    FOR_LANES(l)
    {
        value[l] = on.at_zero[l] + on.slope[l] * x[l];
        slope[l] = on.slope[l];
    }
}

OW_INLINE void evaluate_u(const ow_block *b, const ow_real *h, ow_real *u, ow_real *slope)
{
    evaluate(h, &b->of_h, b->u_of_h, u, slope);
}

OW_INLINE void evaluate_t(const ow_block *b, const ow_real *h, ow_real *t, ow_real *slope)
{
    evaluate(h, &b->of_h, b->t_of_h, t, slope);
}

OW_INLINE void evaluate_ice(const ow_block *b, const ow_real *h, ow_real *ice, ow_real *slope)
{
    evaluate(h, &b->of_h, b->ice_of_h, ice, slope);
}

/* Potential and conductivity at a temperature. */
OW_INLINE void evaluate_k(const ow_block *b, const ow_real *t, ow_real *u, ow_real *k)
{
    evaluate(t, &b->of_t, b->u_of_t, u, k);
}

OW_INLINE ow_real clamp(ow_real x, ow_real low, ow_real high)
{
    x = x < low ? low : x;
    return x > high ? high : x;
}

/*
 * Conductance from te to the node of the edge cell, per m2 of edge: outer h in series with the
 * half-cell, whose conductivity is the mean between node and surface (one Kirchhoff pass). The
 * conductivity at the node is du/dh over dt/dh; on a plateau, where both vanish, the thawed one.
 */
OW_INLINE void edge_conductance(const ow_block *b, const edge *e, const ow_real *t,
                                const ow_real *t_slope, const ow_real *u, const ow_real *u_slope,
                                ow_real *g)
{
    const ow_real *h = e->h, *te_c = e->te_c, *half_m = e->half_m;
    ow_row k, surface_c, surface_u, surface_k;
    FOR_LANES(l)
    {
        ow_real warm = b->warm_k[l], rise = t_slope[l] > 0 ? t_slope[l] : 1;
        ow_real local = clamp(u_slope[l] / rise, b->least_k[l], b->most_k[l]);
        k[l] = t_slope[l] > 0 ? local : warm;
        ow_real inner = k[l] / half_m[l];
        surface_c[l] = (h[l] * te_c[l] + inner * t[l]) / (h[l] + inner);
    }
    evaluate_k(b, surface_c, surface_u, surface_k);
    FOR_LANES(l)
    {
        ow_real drop = surface_c[l] - t[l], size = drop < 0 ? -drop : drop;
        ow_real apart = size > (ow_real)1e-3 ? drop : 1;
        ow_real secant = clamp((surface_u[l] - u[l]) / apart, b->least_k[l], b->most_k[l]);
        ow_real mean = size > (ow_real)1e-3 ? secant : k[l];
        g[l] = h[l] * mean / (mean + h[l] * half_m[l]);
    }
}

/* ---- one line -------------------------------------------------------------------------------- */

typedef struct edge_state {
    ow_row g;        /* conductance, per line measure */
    ow_row t, slope; /* node temperature and dt/dh at the current enthalpy */
    ow_row flux;     /* heat into the line at the end of the step */
} edge_state;

OW_INLINE void open_edge(const ow_block *b, const edge *e, const ow_real *h, const ow_real *u,
                         const ow_real *u_slope, edge_state *s)
{
    memset(s, 0, sizeof *s);
    if (!is_open(e)) {
        return;
    }
    evaluate_t(b, h, s->t, s->slope);
    edge_conductance(b, e, s->t, s->slope, u, u_slope, s->g);
    FOR_LANES(l)
    {
        s->g[l] *= e->area[l];
    }
}

/* Heat through an edge at the current enthalpy, per line measure. */
OW_INLINE ow_real edge_pull(const edge *e, const edge_state *s, int l)
{
    return s->g[l] * (e->te_c[l] - s->t[l]);
}

/* Scratch of a line: enthalpies before the step, Thomas factors and answers, the steepest slopes
 * met, and dt over the capacity. */
typedef struct line_work {
    ow_row *old_h, *p, *dh, *steep, *share;
} line_work;

/* Slopes that a line is linearised with, a row every `stride`. */
typedef struct slopes {
    ow_row *at;
    int stride;
} slopes;

/* Cell i of the elimination below. Which ends it lies at is plain where this is called, so that no
 * more is worked out than it has neighbours for. */
OW_INLINE void eliminate(const line *ln, slopes slope, int i, bool first, bool last,
                         const ow_real *edge_d, const ow_real *edge_r, ow_real per_dt,
                         const line_work *w)
{
    int up = first ? i : i - 1, down = last ? i : i + 1;
    const ow_real *h = ln->h_j_m3[i * ln->stride], *u = ln->u[i * ln->stride];
    const ow_real *old_h = w->old_h[i], *capacity = ln->capacity[i];
    const ow_real *s = slope.at[i * slope.stride], *up_s = slope.at[up * slope.stride];
    const ow_real *down_s = slope.at[down * slope.stride];
    const ow_real *up_u = ln->u[up * ln->stride], *down_u = ln->u[down * ln->stride];
    const ow_real *up_g = ln->conductance[up], *down_g = ln->conductance[i];
    const ow_real *up_p = w->p[up], *up_dh = w->dh[up];
    ow_real *p = w->p[i], *dh = w->dh[i];
    FOR_LANES(l)
    {
        ow_real a = capacity[l] * per_dt;
        ow_real g_up = first ? 0 : up_g[l], g_down = last ? 0 : down_g[l];
        ow_real lower = g_up * up_s[l]; /* both off-diagonals are minus these */
        ow_real diagonal = a + (g_up + g_down) * s[l];
        ow_real right = a * (old_h[l] - h[l]);
        right += first ? 0 : g_up * (up_u[l] - u[l]);
        right -= last ? 0 : g_down * (u[l] - down_u[l]);
        diagonal += first || last ? edge_d[l] : 0;
        right += first || last ? edge_r[l] : 0;
        diagonal -= first ? 0 : lower * up_p[l];
        right += first ? 0 : lower * up_dh[l];
        ow_real inverse = 1 / diagonal;
        p[l] = last ? 0 : g_down * down_s[l] * inverse;
        dh[l] = right * inverse;
    }
}

/*
 * Thomas elimination for the change of enthalpy dh around the current one; the matrix is column
 * dominant, so no pivoting. `p` gets the upper factors, `dh` the right sides and then the answer.
 */
OW_INLINE void line_change(const line *ln, slopes slope, const edge_state *near,
                           const edge_state *far, ow_real per_dt, const line_work *w)
{
    int n = ln->n;
    ow_row near_d, near_r, far_d, far_r;
    FOR_LANES(l)
    {
        far_d[l] = far->g[l] * far->slope[l];
        far_r[l] = edge_pull(&ln->far, far, l);
        near_d[l] = near->g[l] * near->slope[l] + (n == 1 ? far_d[l] : 0);
        near_r[l] = edge_pull(&ln->near, near, l) + (n == 1 ? far_r[l] : 0);
    }
    if (n == 1) {
        eliminate(ln, slope, 0, true, true, near_d, near_r, per_dt, w);
        return;
    }
    eliminate(ln, slope, 0, true, false, near_d, near_r, per_dt, w);
    for (int i = 1; i < n - 1; i++) {
        eliminate(ln, slope, i, false, false, NONE, NONE, per_dt, w);
    }
    eliminate(ln, slope, n - 1, false, true, far_d, far_r, per_dt, w);
    for (int i = n - 2; i >= 0; i--) {
        const ow_real *p = w->p[i], *dh_down = w->dh[i + 1];
        ow_real *dh = w->dh[i];
        FOR_LANES(l)
        {
            dh[l] += p[l] * dh_down[l];
        }
    }
}

/*
 * New enthalpies from the fluxes of the linearised potentials, for the lanes still active; then
 * whether each lane's line hit its linearisation. Returns true when some lane goes on.
 */
OW_INLINE bool line_update(const ow_block *b, const line *ln, slopes slope, edge_state *near,
                           edge_state *far, const line_work *w, int32_t *active)
{
    int n = ln->n;
    ow_row inflow, far_q, linear_u;
    int32_t again[OW_LANES];
    const ow_real *first_dh = w->dh[0], *last_dh = w->dh[n - 1];
    const ow_real *first_u = ln->u[0], *first_s = slope.at[0];
    FOR_LANES(l)
    {
        inflow[l] = edge_pull(&ln->near, near, l) - near->g[l] * near->slope[l] * first_dh[l];
        far_q[l] = edge_pull(&ln->far, far, l) - far->g[l] * far->slope[l] * last_dh[l];
        near->flux[l] = active[l] ? inflow[l] : near->flux[l];
        far->flux[l] = active[l] ? far_q[l] : far->flux[l];
        linear_u[l] = first_u[l] + first_s[l] * first_dh[l];
        again[l] = 0;
    }
    for (int i = 0; i < n; i++) {
        bool last = i == n - 1;
        int down = last ? i : i + 1;
        ow_real *h = ln->h_j_m3[i * ln->stride], *u = ln->u[i * ln->stride];
        ow_real *s = ln->slope[i * ln->stride];
        const ow_real *old_h = w->old_h[i], *share = w->share[i], *down_dh = w->dh[down];
        const ow_real *down_u = ln->u[down * ln->stride], *down_s = slope.at[down * slope.stride];
        const ow_real *g_down = last ? NONE : ln->conductance[i], *end_q = last ? far_q : NONE;
        ow_row down_linear, h_new;
        FOR_LANES(l)
        {
            down_linear[l] = down_u[l] + down_s[l] * down_dh[l];
            ow_real outflow = g_down[l] * (linear_u[l] - down_linear[l]) - end_q[l];
            ow_real moved = old_h[l] + share[l] * (inflow[l] - outflow), kept = h[l];
            h_new[l] = active[l] ? moved : kept; /* what is settled evaluates to what it was */
            inflow[l] = outflow;
        }
        evaluate_u(b, h_new, u, s);
        FOR_LANES(l)
        {
            ow_real miss = u[l] - linear_u[l];
            miss = miss < 0 ? -miss : miss;
            again[l] |= miss > MISS_K * b->least_k[l] ? 1 : 0;
            h[l] = h_new[l];
            linear_u[l] = down_linear[l];
        }
    }
    int32_t any = 0;
    ANY_LANE(any, l)
    {
        active[l] &= again[l];
        any |= active[l];
    }
    return any != 0;
}

/* Edge temperatures after a repeat; from the second one on with the larger slope met. */
OW_INLINE void move_edge(const ow_block *b, const edge *e, const ow_real *h, bool keep_steep,
                         edge_state *s)
{
    ow_row slope;
    if (!is_open(e)) {
        return;
    }
    evaluate_t(b, h, s->t, slope);
    FOR_LANES(l)
    {
        s->slope[l] = keep_steep && s->slope[l] > slope[l] ? s->slope[l] : slope[l];
    }
}

/* The steepest slopes that a line has met, for its repeats. */
OW_INLINE void note_steepest(const line *ln, const line_work *w)
{
    for (int i = 0; i < ln->n; i++) {
        const ow_real *s = ln->slope[i * ln->stride];
        ow_real *steep = w->steep[i];
        FOR_LANES(l)
        {
            steep[l] = steep[l] > s[l] ? steep[l] : s[l];
        }
    }
}

/* Solves one line over dt; heat into it over both ends, and over the far one, is added to `heat`
 * and `far_heat` times `weight`. */
OW_INLINE void solve_line(ow_block *b, const line *ln, const line_work *w, ow_real dt_s,
                          const ow_real *weight, ow_real *heat, ow_real *far_heat)
{
    ow_real per_dt = 1 / dt_s;
    edge_state near, far;
    int32_t active[OW_LANES];
    for (int i = 0; i < ln->n; i++) {
        const ow_real *h = ln->h_j_m3[i * ln->stride], *s = ln->slope[i * ln->stride];
        ow_real *old_h = w->old_h[i], *steep = w->steep[i];
        FOR_LANES(l)
        {
            old_h[l] = h[l];
            steep[l] = s[l];
        }
    }
    FOR_LANES(l)
    {
        active[l] = 1;
    }
    int last = (ln->n - 1) * ln->stride;
    open_edge(b, &ln->near, ln->h_j_m3[0], ln->u[0], ln->slope[0], &near);
    open_edge(b, &ln->far, ln->h_j_m3[last], ln->u[last], ln->slope[last], &far);
    for (int repeat = 0;; repeat++) {
        slopes slope = repeat < 2 ? (slopes){ln->slope, ln->stride} : (slopes){w->steep, 1};
        line_change(ln, slope, &near, &far, per_dt, w);
        if (!line_update(b, ln, slope, &near, &far, w, active)) {
            break;
        }
        if (repeat == MOST_REPEATS) {
            b->unsettled++;
            break;
        }
        b->repeats++;
        note_steepest(ln, w);
        move_edge(b, &ln->near, ln->h_j_m3[0], repeat > 0, &near);
        move_edge(b, &ln->far, ln->h_j_m3[last], repeat > 0, &far);
    }
    FOR_LANES(l)
    {
        heat[l] += (near.flux[l] + far.flux[l]) * weight[l] * dt_s;
        far_heat[l] += far.flux[l] * weight[l] * dt_s;
    }
}

/* ---- sweeps ---------------------------------------------------------------------------------- */

static ow_side side_of_row(const ow_block *b, int iz)
{
    return iz < b->grid.upper_rows ? OW_SIDE_UPPER : OW_SIDE;
}

OW_INLINE line radial_line(ow_block *b, int iz)
{
    int first = iz * b->grid.nr;
    ow_side side = side_of_row(b, iz);
    return (line){.n = b->grid.nr,
                  .h_j_m3 = b->h_j_m3 + first,
                  .u = b->u_w_m + first,
                  .slope = b->slope + first,
                  .stride = 1,
                  .conductance = (const ow_row *)b->r.conductance,
                  .capacity = (const ow_row *)b->r.capacity,
                  .near = {NONE, NONE, NONE, NONE},
                  .far = {b->te_c[side], b->face_h[side], b->r.edge_area, b->r.far_half_m}};
}

OW_INLINE line axial_line(ow_block *b, int ir)
{
    return (line){.n = b->grid.nz,
                  .h_j_m3 = b->h_j_m3 + ir,
                  .u = b->u_w_m + ir,
                  .slope = b->slope + ir,
                  .stride = b->grid.nr,
                  .conductance = (const ow_row *)b->z.conductance,
                  .capacity = (const ow_row *)b->z.capacity,
                  .near = {b->te_c[OW_TOP], b->face_h[OW_TOP], b->z.edge_area, b->z.near_half_m},
                  .far = {b->te_c[OW_BASE], b->face_h[OW_BASE], b->z.edge_area, b->z.far_half_m}};
}

OW_INLINE line_work work_of(ow_block *b, const ow_axis *axis, ow_real dt_s)
{
    ow_row *rows = b->work;
    size_t n = (size_t)axis->cells;
    line_work w = {take(&rows, n), take(&rows, n), take(&rows, n), take(&rows, n), take(&rows, n)};
    for (size_t i = 0; i < n; i++) {
        const ow_real *capacity = axis->capacity[i];
        ow_real *share = w.share[i];
        FOR_LANES(l)
        {
            share[l] = dt_s / capacity[l];
        }
    }
    return w;
}

OW_CLONES static void sweep_radius(ow_block *b, ow_real dt_s, ow_real *heat)
{
    ow_row side = {0};
    if (b->grid.nr == 1 && !any_below(NONE, b->r.edge_area)) {
        return; /* columns: nothing beside them */
    }
    line_work w = work_of(b, &b->r, dt_s);
    for (int iz = 0; iz < b->grid.nz; iz++) {
        line ln = radial_line(b, iz);
        solve_line(b, &ln, &w, dt_s, b->z.capacity[iz], heat, side);
    }
}

OW_CLONES static void sweep_depth(ow_block *b, ow_real dt_s, ow_real *heat, ow_real *base)
{
    line_work w = work_of(b, &b->z, dt_s);
    for (int ir = 0; ir < b->grid.nr; ir++) {
        line ln = axial_line(b, ir);
        solve_line(b, &ln, &w, dt_s, b->r.capacity[ir], heat, base);
    }
}

void ow_block_step(ow_block *b, double dt_s, uint64_t step_index)
{
    ow_row heat = {0}, base = {0};
    ow_real dt = (ow_real)dt_s;
    if (step_index & 1) {
        sweep_depth(b, dt, heat, base);
        sweep_radius(b, dt, heat);
    } else {
        sweep_radius(b, dt, heat);
        sweep_depth(b, dt, heat, base);
    }
    FOR_LANES(l)
    {
        b->heat_in_j[l] += (double)heat[l];
        b->base_in_j[l] = (double)base[l];
    }
}

#define QUICK_S 3600.0
#define USUAL_FILM_W_M2K 15.0

int ow_step_parts(double radius_m, double depth_m, double thawed_j_m3k)
{
    double volume_by_face_m = radius_m * depth_m / (2.0 * (radius_m + depth_m));
    return volume_by_face_m * thawed_j_m3k / USUAL_FILM_W_M2K < QUICK_S ? OW_QUICK_PARTS : 1;
}

void ow_block_step_in(ow_block *b, int parts, double dt_s, uint64_t step_index)
{
    double base_in_j[OW_LANES] = {0};
    for (int k = 0; k < parts; k++) {
        ow_block_step(b, dt_s / parts, step_index * (uint64_t)parts + (uint64_t)k);
        FOR_LANES(l)
        {
            base_in_j[l] += b->base_in_j[l];
        }
    }
    memcpy(b->base_in_j, base_in_j, sizeof base_in_j);
}

/* ---- explicit stepping of the same fluxes ---------------------------------------------------- */

static void line_rates(const ow_block *b, const line *ln, ow_row *rate)
{
    edge_state near, far;
    int end = (ln->n - 1) * ln->stride;
    open_edge(b, &ln->near, ln->h_j_m3[0], ln->u[0], ln->slope[0], &near);
    open_edge(b, &ln->far, ln->h_j_m3[end], ln->u[end], ln->slope[end], &far);
    for (int i = 0; i < ln->n; i++) {
        FOR_LANES(l)
        {
            bool first = i == 0, last = i == ln->n - 1;
            ow_real u = ln->u[i * ln->stride][l];
            ow_real in = first ? edge_pull(&ln->near, &near, l)
                               : ln->conductance[i - 1][l] * (ln->u[(i - 1) * ln->stride][l] - u);
            in += last ? edge_pull(&ln->far, &far, l)
                       : ln->conductance[i][l] * (ln->u[(i + 1) * ln->stride][l] - u);
            rate[i * ln->stride][l] += in / ln->capacity[i][l];
        }
    }
}

void ow_block_rates(ow_block *b, ow_real *rate)
{
    ow_row *rows = (ow_row *)rate;
    memset(rate, 0, cells_of(&b->grid) * sizeof(ow_row));
    for (int iz = 0; iz < b->grid.nz; iz++) {
        line ln = radial_line(b, iz);
        line_rates(b, &ln, rows + iz * b->grid.nr);
    }
    for (int ir = 0; ir < b->grid.nr; ir++) {
        line ln = axial_line(b, ir);
        line_rates(b, &ln, rows + ir);
    }
}

void ow_block_add(ow_block *b, const ow_real *rate, double dt_s)
{
    for (size_t c = 0; c < cells_of(&b->grid); c++) {
        FOR_LANES(l)
        {
            b->h_j_m3[c][l] += rate[c * OW_LANES + (size_t)l] * (ow_real)dt_s;
        }
    }
    refresh_lane_potential(b);
}

/* ---- reading --------------------------------------------------------------------------------- */

void ow_block_set_h(ow_block *b, int l, const double *h_j_m3)
{
    for (size_t c = 0; c < cells_of(&b->grid); c++) {
        b->h_j_m3[c][l] = (ow_real)h_j_m3[c];
    }
    refresh_lane_potential(b);
}

double ow_block_h(const ow_block *b, int l, int cell)
{
    return (double)b->h_j_m3[cell][l];
}

double ow_block_t(const ow_block *b, int l, int cell)
{
    return ow_law_t(&b->law[l], (double)b->h_j_m3[cell][l]);
}

/* Axis temperature of a row: the even parabola through the two innermost cell means while both
 * are unfrozen, else the cell's own (a front knows no parabola). */
static double axis_c(const ow_block *b, int l, int iz)
{
    const ow_law *law = &b->law[l];
    double t0 = ow_block_t(b, l, iz * b->grid.nr);
    if (b->grid.nr < 2 || t0 < law->t_c[0]) {
        return t0;
    }
    double t1 = ow_block_t(b, l, iz * b->grid.nr + 1);
    if (t1 < law->t_c[0]) {
        return t0;
    }
    double a0 = (double)b->r.capacity[0][l], a1 = (double)b->r.capacity[1][l];
    double axis = t0 - (t1 - t0) * a0 / (a0 + a1);
    return axis < law->t_c[0] ? law->t_c[0] : axis;
}

double ow_block_axis_c(const ow_block *b, int l, double z_m)
{
    double top = 0.0, mid_before = 0.0, mid = 0.0;
    int iz = 0, last = b->grid.nz - 1;
    for (;; iz++) {
        double thick = (double)b->z.capacity[iz][l];
        mid = top + 0.5 * thick;
        if (z_m <= mid || iz == last) {
            break;
        }
        top += thick;
        mid_before = mid;
    }
    double t = axis_c(b, l, iz);
    if (iz == 0 || z_m > mid) {
        return t;
    }
    double t_before = axis_c(b, l, iz - 1);
    return t_before + (z_m - mid_before) / (mid - mid_before) * (t - t_before);
}

/* Sums over the cells of all lanes, by volume, and extremes; of the rows counted so far. */
typedef struct tally {
    ow_row top_m; /* depth of the rows counted */
    ow_row volume, t, h, ice, open;
    ow_row least_h, most_h;
} tally;

/* Counts a row of cells for the lanes of which it is `thick_m`; 0: it lies too deep there. */
OW_INLINE void tally_row(const ow_block *b, int iz, const ow_real *thick_m, tally *y)
{
    for (int ir = 0; ir < b->grid.nr; ir++) {
        const ow_real *h = b->h_j_m3[iz * b->grid.nr + ir], *area_m2 = b->r.capacity[ir];
        ow_row t, ice, slope;
        evaluate_t(b, h, t, slope);
        evaluate_ice(b, h, ice, slope);
        FOR_LANES(l)
        {
            ow_real v = area_m2[l] * thick_m[l];
            ow_real low = thick_m[l] > 0 ? h[l] : y->least_h[l];
            ow_real high = thick_m[l] > 0 ? h[l] : y->most_h[l];
            y->volume[l] += v;
            y->t[l] += v * t[l];
            y->h[l] += v * h[l];
            y->ice[l] += v * (ice[l] < 1 ? ice[l] : 1); /* a law's last piece goes on */
            y->open[l] += ice[l] < b->half_ice[l] ? v : 0;
            y->least_h[l] = low < y->least_h[l] ? low : y->least_h[l];
            y->most_h[l] = high > y->most_h[l] ? high : y->most_h[l];
        }
    }
}

/* The coldest cell is the one of least heat, and where most is the ice is least. */
OW_CLONES static void tally_above(const ow_block *b, ow_real depth_limit_m, tally *y,
                                  ow_real *coldest, ow_real *warmest, ow_real *least_ice)
{
    ow_row slope;
    memset(y, 0, sizeof *y);
    FOR_LANES(l)
    {
        y->least_h[l] = y->most_h[l] = b->h_j_m3[0][l];
    }
    for (int iz = 0; iz < b->grid.nz; iz++) {
        const ow_real *thick_m = b->z.capacity[iz];
        ow_row counted_m;
        FOR_LANES(l)
        {
            ow_real thick = thick_m[l];
            bool counts = iz == 0 || y->top_m[l] + thick / 2 <= depth_limit_m;
            counted_m[l] = counts ? thick : 0;
            y->top_m[l] += counted_m[l];
        }
        if (!any_below(NONE, counted_m)) {
            break;
        }
        tally_row(b, iz, counted_m, y);
    }
    evaluate_t(b, y->least_h, coldest, slope);
    evaluate_t(b, y->most_h, warmest, slope);
    evaluate_ice(b, y->most_h, least_ice, slope);
}

void ow_block_insides(const ow_block *b, double depth_limit_m, ow_inside inside[OW_LANES])
{
    tally y;
    ow_row coldest, warmest, least_ice;
    tally_above(b, (ow_real)depth_limit_m, &y, coldest, warmest, least_ice);
    for (int l = 0; l < OW_LANES; l++) {
        double whole = (double)y.volume[l], least = fmin((double)least_ice[l], 1.0);
        inside[l] = (ow_inside){.mean_c = (double)y.t[l] / whole,
                                .coldest_c = (double)coldest[l],
                                .warmest_c = (double)warmest[l],
                                .centre_c = ow_block_axis_c(b, l, 0.5 * (double)y.top_m[l]),
                                .mean_h_j_m3 = (double)y.h[l] / whole,
                                .ice_share = (double)y.ice[l] / whole,
                                .least_ice = least,
                                .least_relative_ice = ow_law_relative(&b->law[l], least),
                                .open_share = (double)y.open[l] / whole};
    }
}

void ow_block_inside(const ow_block *b, int l, ow_inside *inside)
{
    ow_block_inside_above(b, l, INFINITY, inside);
}

void ow_block_inside_above(const ow_block *b, int l, double depth_limit_m, ow_inside *inside)
{
    ow_inside all[OW_LANES];
    ow_block_insides(b, depth_limit_m, all);
    *inside = all[l];
}

/* The cells behind a face, one after the other: index and area (m2). */
typedef struct face_cells {
    const ow_block *b;
    int lane, at, last;
    ow_side face;
} face_cells;

static face_cells cells_behind(const ow_block *b, int l, ow_side face)
{
    int nz = b->grid.nz, upper = b->grid.upper_rows;
    switch (face) {
    case OW_SIDE:
        return (face_cells){b, l, upper, nz, face};
    case OW_SIDE_UPPER:
        return (face_cells){b, l, 0, upper, face};
    case OW_TOP:
    case OW_BASE:
    case OW_FACES:
        break;
    }
    return (face_cells){b, l, 0, b->grid.nr, face};
}

static bool next_cell(face_cells *f, int *cell, double *area_m2, double *half_m)
{
    const ow_block *b = f->b;
    int l = f->lane, i = f->at++;
    if (i >= f->last) {
        return false;
    }
    if (f->face == OW_SIDE || f->face == OW_SIDE_UPPER) {
        *cell = i * b->grid.nr + b->grid.nr - 1;
        *area_m2 = (double)b->r.edge_area[l] * (double)b->z.capacity[i][l];
        *half_m = (double)b->r.far_half_m[l];
    } else {
        bool top = f->face == OW_TOP;
        *cell = (top ? 0 : (b->grid.nz - 1) * b->grid.nr) + i;
        *area_m2 = (double)b->r.capacity[i][l];
        *half_m = (double)(top ? b->z.near_half_m[l] : b->z.far_half_m[l]);
    }
    return true;
}

/* Conductivity right at a cell's temperature. */
static double cell_w_mk(const ow_block *b, int l, int cell)
{
    const ow_law *law = &b->law[l];
    double t = ow_block_t(b, l, cell), h = ow_block_h(b, l, cell);
    double u = ow_law_u(law, ow_law_h(law, t + 0.01));
    double k = (u - ow_law_u(law, h)) / 0.01;
    return fmin(fmax(k, law->least_w_mk), law->most_w_mk);
}

double ow_block_face_c(const ow_block *b, int l, ow_side face)
{
    face_cells f = cells_behind(b, l, face);
    double te = (double)b->te_c[face][l], h = (double)b->face_h[face][l];
    double coldest = INFINITY, area, half;
    int cell;
    while (next_cell(&f, &cell, &area, &half)) {
        double inner = cell_w_mk(b, l, cell) / half;
        coldest = fmin(coldest, (h * te + inner * ow_block_t(b, l, cell)) / (h + inner));
    }
    return coldest;
}

void ow_block_exchange(const ow_block *b, int l, ow_side face, double *ga_w_k, double *gat_w)
{
    face_cells f = cells_behind(b, l, face);
    double h = (double)b->face_h[face][l], area, half;
    int cell;
    *ga_w_k = *gat_w = 0.0;
    while (next_cell(&f, &cell, &area, &half)) {
        double k = cell_w_mk(b, l, cell);
        double ga = area * h * k / (k + h * half);
        *ga_w_k += ga;
        *gat_w += ga * ow_block_t(b, l, cell);
    }
}

/* ---- grids ----------------------------------------------------------------------------------- */

void ow_spread_faces(double length_m, int n, double growth, ow_spacing spacing, double *face)
{
    double whole = 0.0, size = 1.0;
    for (int i = 0; i < n; i++) { /* sizes first, in the array itself */
        int from_start = i, from_end = n - 1 - i;
        int steps = spacing == OW_FINE_START ? from_start
                    : spacing == OW_FINE_END ? from_end
                    : from_start < from_end  ? from_start
                                             : from_end;
        size = 1.0;
        for (int k = 0; k < steps; k++) {
            size *= growth;
        }
        face[i + 1] = size;
        whole += size;
    }
    face[0] = 0.0;
    for (int i = 0; i < n; i++) {
        face[i + 1] = face[i] + face[i + 1] * length_m / whole;
    }
    face[n] = length_m;
}
