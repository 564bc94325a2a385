/* SPDX-License-Identifier: MIT */
#include "people/specimen.h"

#include <math.h>

#include "garden/cut.h"
#include "people/palette.h"
#include "people/svg.h"

static const double BED_SHOWN_M = 0.45;  /* of the depth of a bed */
static const double ICE_EVERY_PX = 1.8;  /* between two engraved lines */
static const double WIDEST_POT_M = 0.45; /* drawn as large as its box allows */
static const double FROZEN = 0.5;        /* relative ice share that is engraved */

/* A drawing under way. */
typedef struct sketch {
    FILE *file;
    const ow_cast *cast;
    const ow_actor *actor;
    const ow_plant *plant;
    ow_box box;
    int nearest;
    bool passed;
    double at_x[OW_PARTS], at_y[OW_PARTS]; /* where each part is, for the mark; NAN: not drawn */
} sketch;

/* A body on the page: cut and frame. */
typedef struct view {
    const ow_cut *cut;
    double mid_x, top_y, half_w; /* of the widest cell */
    double height, depth_m;      /* pixels, and the metres that they show */
} view;

static void place_part(sketch *s, ow_part part, double x, double y)
{
    s->at_x[part] = x;
    s->at_y[part] = y;
}

static const char *edge_of(const sketch *s, ow_part part)
{
    return s->nearest == (int)part ? "edge near" : "edge";
}

/* The step of a part's temperature; what is not known looks like paper. */
static void part_class(const sketch *s, ow_part part)
{
    int step = ow_palette_of_c(s->actor->sense.part_c[part]);
    if (step < 0) {
        fprintf(s->file, "class=\"paper %s\"", edge_of(s, part));
    } else {
        fprintf(s->file, "class=\"t%d %s\"", step, edge_of(s, part));
    }
}

/* ---- cells ----------------------------------------------------------------------------------- */

static double z_px(const view *v, double z_m)
{
    return v->top_y + v->height * fmin(z_m / v->depth_m, 1.0);
}

static double r_px(const view *v, int face)
{
    const ow_cut *c = v->cut;
    return c->nr == 1 ? v->half_w * face : v->half_w * c->r_m[face] / c->r_m[c->nr];
}

static int step_of_cell(const view *v, int ir, int iz)
{
    return ow_palette_of_c(v->cut->t_c[iz * v->cut->nr + ir]);
}

/* Absolute corners: neighbours meet however they are rounded. */
static void rectangle(FILE *file, double x, double y, double to_x, double to_y)
{
    ow_svg_put(file, "M##H#V#H#z", x, y, to_x, to_y, x);
}

/* Cells ir..end-1 of the rows iz..below-1, on both sides of the axis. */
static void ring(FILE *file, const view *v, int iz, int below, int ir, int end)
{
    double y = z_px(v, v->cut->z_m[iz]), to_y = z_px(v, v->cut->z_m[below]);
    double in = r_px(v, ir), out = r_px(v, end);
    if (ir == 0) {
        rectangle(file, v->mid_x - out, y, v->mid_x + out, to_y);
        return;
    }
    rectangle(file, v->mid_x - out, y, v->mid_x - in, to_y);
    rectangle(file, v->mid_x + in, y, v->mid_x + out, to_y);
}

/* How far from ir on the cells of a row are of one step. */
static int run_end(const view *v, int iz, int ir)
{
    int end = ir + 1;
    while (end < v->cut->nr && step_of_cell(v, end, iz) == step_of_cell(v, ir, iz)) {
        end++;
    }
    return end;
}

/* Whether the cells ir..end-1 of a row are a run of that step. */
static bool is_run(const view *v, int iz, int ir, int end, int step)
{
    return iz >= 0 && iz < v->cut->nz && v->cut->z_m[iz] < v->depth_m &&
           step_of_cell(v, ir, iz) == step && run_end(v, iz, ir) == end &&
           (ir == 0 || step_of_cell(v, ir - 1, iz) != step);
}

/* All cells of one step as one path, runs alike below each other in one; false: there are none. */
static bool cells_of_step(FILE *file, const view *v, int step)
{
    const ow_cut *c = v->cut;
    bool any = false;
    for (int iz = 0; iz < c->nz && c->z_m[iz] < v->depth_m; iz++) {
        for (int ir = 0, end; ir < c->nr; ir = end) {
            end = run_end(v, iz, ir);
            if (step_of_cell(v, ir, iz) != step || is_run(v, iz - 1, ir, end, step)) {
                continue;
            }
            if (!any) {
                fprintf(file, "<path class=\"t%d\" d=\"", step);
            }
            any = true;
            int below = iz + 1;
            while (is_run(v, below, ir, end, step)) {
                below++;
            }
            ring(file, v, iz, below, ir, end);
        }
    }
    return any;
}

/* ---- ice ------------------------------------------------------------------------------------- */

/* The ice of a ring at a depth, linear between the middles of the rows. */
static double ice_at(const ow_cut *c, int ir, double z_m)
{
    int iz = 0;
    while (iz + 2 < c->nz && 0.5 * (c->z_m[iz + 1] + c->z_m[iz + 2]) < z_m) {
        iz++;
    }
    if (c->nz < 2) {
        return c->ice[ir];
    }
    double above = 0.5 * (c->z_m[iz] + c->z_m[iz + 1]);
    double below = 0.5 * (c->z_m[iz + 1] + c->z_m[iz + 2]);
    double share = fmin(fmax((z_m - above) / (below - above), 0.0), 1.0);
    return c->ice[iz * c->nr + ir] * (1.0 - share) + c->ice[(iz + 1) * c->nr + ir] * share;
}

static double middle_px(const view *v, int ir)
{
    return 0.5 * (r_px(v, ir) + r_px(v, ir + 1));
}

static void ice_line(FILE *file, const view *v, double from, double to, double y)
{
    if (from <= 0.0) {
        ow_svg_put(file, "M##h#", v->mid_x - to, y, 2.0 * to);
        return;
    }
    ow_svg_put(file, "M##h#M##h#", v->mid_x - to, y, to - from, v->mid_x + from, y, to - from);
}

/* One engraved line: stretches of the radius on which half of the water is ice. */
static void ice_row(FILE *file, const view *v, double y)
{
    const ow_cut *c = v->cut;
    double z_m = (y - v->top_y) / v->height * v->depth_m;
    double before = ice_at(c, 0, z_m), from = before >= FROZEN ? 0.0 : NAN;
    for (int ir = 1; ir < c->nr; ir++) {
        double ice = ice_at(c, ir, z_m);
        if ((ice >= FROZEN) != (before >= FROZEN)) {
            double share = (FROZEN - before) / (ice - before);
            double at = middle_px(v, ir - 1) + share * (middle_px(v, ir) - middle_px(v, ir - 1));
            if (ice >= FROZEN) {
                from = at;
            } else {
                ice_line(file, v, from, at, y);
                from = NAN;
            }
        }
        before = ice;
    }
    if (!isnan(from)) {
        ice_line(file, v, from, v->half_w, y);
    }
}

static bool has_ice(const ow_cut *c)
{
    for (int i = 0; i < c->nr * c->nz; i++) {
        if (c->ice[i] >= FROZEN) {
            return true;
        }
    }
    return false;
}

static void draw_body(const sketch *s, const view *v)
{
    fputs("<g class=\"cells\">", s->file);
    for (int step = 0; step < OW_PALETTE_STEPS; step++) {
        if (cells_of_step(s->file, v, step)) {
            fputs("\"/>", s->file);
        }
    }
    fputs("</g>", s->file);
    if (!has_ice(v->cut)) {
        return;
    }
    fputs("<path class=\"ice\" d=\"", s->file);
    for (double y = v->top_y + 0.9; y < v->top_y + v->height; y += ICE_EVERY_PX) {
        ice_row(s->file, v, y);
    }
    fputs("\"/>", s->file);
}

/* ---- leaves and organs ----------------------------------------------------------------------- */

typedef struct spray {
    double x, y;         /* tip, in lengths from the foot, y upwards */
    double bow_x, bow_y; /* how far its two sides bow out */
} spray;

/* Upright leaves of a shrub, and hanging fronds of what has a trunk. */
static const spray leaves[] = {{-0.86, 0.38, 0.10, 0.24},
                               {0.86, 0.38, 0.10, 0.24},
                               {-0.52, 0.78, 0.20, 0.14},
                               {0.52, 0.78, 0.20, 0.14},
                               {0.0, 1.0, 0.20, 0.0}};
static const spray fronds[] = {{-1.0, -0.10, 0.0, 0.62},  {1.0, -0.10, 0.0, 0.62},
                               {-0.80, 0.42, 0.0, 0.44},  {0.80, 0.42, 0.0, 0.44},
                               {-0.36, 0.86, 0.10, 0.20}, {0.36, 0.86, 0.10, 0.20}};

static void draw_blade(FILE *file, const spray *l, double x, double y, double size)
{
    double tip_x = x + l->x * size, tip_y = y - l->y * size;
    double mid_x = x + 0.5 * l->x * size, mid_y = y - 0.5 * l->y * size;
    double bow_x = l->bow_x * size, bow_y = l->bow_y * size;
    double lean = l->x < 0.0 ? -1.0 : 1.0;
    ow_svg_put(file, "M##Q####Q####z", x, y, mid_x - lean * bow_x, mid_y - bow_y, tip_x, tip_y,
               mid_x + lean * bow_x, mid_y + 0.35 * bow_y, x, y);
}

/* Leaves from a foot upwards; bare twigs where there are none now. */
static void draw_crown(sketch *s, double x, double y, double size, bool hangs)
{
    const spray *blade = hangs ? fronds : leaves;
    int n = hangs ? (int)(sizeof fronds / sizeof fronds[0]) : (int)(sizeof leaves / sizeof *leaves);
    bool in_leaf = !isnan(s->actor->sense.part_c[OW_FOLIAGE]);
    if (in_leaf) {
        fputs("<path ", s->file);
        part_class(s, OW_FOLIAGE);
        fputs(" d=\"", s->file);
        for (int i = 0; i < n; i++) {
            draw_blade(s->file, &blade[i], x, y, size);
        }
        fputs("\"/>", s->file);
        place_part(s, OW_FOLIAGE, x + 0.74 * size, y - 0.62 * size);
        return;
    }
    ow_svg_put(s->file, "<path class=\"line\" d=\"M##v#M##l##M##l##\"/>", x, y, -0.8 * size, x,
               y - 0.25 * size, -0.36 * size, -0.3 * size, x, y - 0.4 * size, 0.32 * size,
               -0.28 * size);
}

static void draw_buds(sketch *s, double x, double y, double size)
{
    static const double bud[3][2] = {{0.0, 0.9}, {-0.5, 0.62}, {0.5, 0.62}};
    if (isnan(s->actor->sense.part_c[OW_BUDS])) {
        return;
    }
    for (int i = 0; i < 3; i++) {
        fputs("<circle ", s->file);
        part_class(s, OW_BUDS);
        ow_svg_put(s->file, " cx=\"#\" cy=\"#\" r=\"2\"/>", x + bud[i][0] * size,
                   y - bud[i][1] * size);
    }
    place_part(s, OW_BUDS, x + 0.5 * size + 2.0, y - 0.62 * size);
}

static void draw_growing_point(sketch *s, double x, double y)
{
    if (isnan(s->actor->sense.part_c[OW_GROWING_POINT])) {
        return;
    }
    fputs("<path ", s->file);
    part_class(s, OW_GROWING_POINT);
    ow_svg_put(s->file, " d=\"M##l-2.6 4h5.2z\"/>", x, y - 2.0);
    place_part(s, OW_GROWING_POINT, x + 2.6, y + 1.0);
}

/* A bulb: round below, drawn out to a tip. */
static void draw_organ(sketch *s, double x, double y, double size)
{
    if (isnan(s->actor->sense.part_c[OW_STORAGE_ORGAN])) {
        return;
    }
    fputs("<path ", s->file);
    part_class(s, OW_STORAGE_ORGAN);
    ow_svg_put(s->file, " d=\"M##c#### 0 #c#### 0 #z\"/>", x, y - size, 1.5 * size, 0.9 * size,
               1.1 * size, 1.8 * size, 1.8 * size, -1.1 * size, 0.0, -1.5 * size, -0.9 * size,
               -1.8 * size);
    place_part(s, OW_STORAGE_ORGAN, x + 0.8 * size, y);
}

/* ---- bodies ---------------------------------------------------------------------------------- */

/* A trunk standing at `foot_y`; gives the height of its top. */
static double draw_trunk(sketch *s, double x, double foot_y, double room)
{
    ow_cut cut;
    if (!ow_cut_of(s->cast, (int)(s->actor - s->cast->actor), true, &cut)) {
        return foot_y;
    }
    double height = room * (0.45 + 0.2 * fmin(cut.z_m[cut.nz] / 2.0, 1.0));
    double half = fmin(fmax(cut.r_m[cut.nr] * 45.0, 3.0), 7.0) * s->box.h / 50.0;
    view v = {&cut, x, foot_y - height, half, height, cut.z_m[cut.nz]};
    draw_body(s, &v);
    ow_svg_put(s->file, "<path class=\"line\" d=\"M##v#h#v#\"/>", x - half, foot_y, -height,
               2.0 * half, height);
    return v.top_y;
}

static void draw_top(sketch *s, double x, double soil_y)
{
    double room = soil_y - s->box.y;
    double top = draw_trunk(s, x, soil_y, room);
    bool trunk = top < soil_y;
    double size = fmin(top - s->box.y, 0.4 * s->box.w);
    draw_crown(s, x, top, trunk ? size : 0.95 * size, trunk);
    draw_buds(s, x, top, size);
    draw_growing_point(s, x, top);
}

static void draw_pot_wall(const sketch *s, const view *v)
{
    double x = v->mid_x - v->half_w, bottom = v->top_y + v->height;
    bool thick = s->plant->pot.wall != OW_WALL_PLASTIC;
    fprintf(s->file,
            "<path class=\"line%s\" d=\"M%.1f %.1fv%.1fh%.1fv%.1f\"/>"
            "<path class=\"line\" d=\"M%.1f %.1fh%.1f\"/>",
            thick ? " wall" : "", x, v->top_y - 1.5, v->height + 1.5, 2.0 * v->half_w,
            -v->height - 1.5, x - 1.5, v->top_y - 1.5, 2.0 * v->half_w + 3.0);
    if (s->actor->has_tray) {
        ow_svg_put(s->file, "<path class=\"line\" d=\"M##v4h#v-4\"/>", x - 4.0, bottom - 3.0,
                   2.0 * v->half_w + 8.0);
    }
}

static void draw_pot(sketch *s)
{
    ow_cut cut;
    const ow_pot *pot = &s->plant->pot;
    double base = s->box.y + s->box.h;
    if (!ow_cut_of(s->cast, (int)(s->actor - s->cast->actor), false, &cut)) {
        return;
    }
    double share = s->plant->trunk.given ? 0.46 : 0.6;
    double wide_mm = pot->diameter_mm, deep_mm = pot->depth_mm;
    double px_mm = fmin(0.7 * s->box.w / wide_mm, share * s->box.h / deep_mm);
    /* A small pot is seen to be small, but not as small as it is. */
    px_mm *= 0.55 + 0.45 * sqrt(fmin(wide_mm / 1000.0 / WIDEST_POT_M, 1.0));
    double height = px_mm * deep_mm;
    view v = {&cut,
              s->box.x + 0.5 * s->box.w,
              base - height - 1.0,
              0.5 * px_mm * wide_mm,
              height,
              cut.z_m[cut.nz]};
    draw_top(s, v.mid_x, v.top_y);
    draw_body(s, &v);
    draw_pot_wall(s, &v);
    draw_organ(s, v.mid_x, v.top_y + 0.5 * height, fmin(0.16 * height, 6.0));
    place_part(s, OW_ROOTS, v.mid_x + v.half_w, v.top_y + 0.55 * height);
}

/* A slice of ground with its surface, and mulch where there is some. */
static void draw_bed(sketch *s)
{
    ow_cut cut;
    double base = s->box.y + s->box.h, height = 0.5 * s->box.h, half = 0.44 * s->box.w;
    double mid = s->box.x + 0.5 * s->box.w, top = base - height;
    if (!ow_cut_of(s->cast, (int)(s->actor - s->cast->actor), false, &cut)) {
        return;
    }
    view v = {&cut, mid, top, half, height, BED_SHOWN_M};
    draw_top(s, mid, top);
    draw_body(s, &v);
    ow_svg_put(s->file,
               "<path class=\"line\" d=\"M##v#M##v#\"/>"
               "<path class=\"line wall\" d=\"M##h#\"/>",
               mid - half, top, height, mid + half, top, height, mid - half - 2.0, top,
               2.0 * half + 4.0);
    if (s->plant->bed.mulch_mm > 0.0) {
        fprintf(s->file, "<path class=\"line\" d=\"");
        for (double x = mid - half + 1.0; x < mid + half - 2.0; x += 4.5) {
            ow_svg_put(s->file, "M##l3-2", x, top - 1.5);
        }
        fputs("\"/>", s->file);
    }
    double organ_m = s->plant->bed.organ_depth_mm / 1000.0;
    draw_organ(s, mid, z_px(&v, organ_m), 5.0);
    place_part(s, OW_ROOTS, mid + 0.6 * half, z_px(&v, 0.5 * OW_ROOT_ZONE_M));
}

/* ---- covers and the mark --------------------------------------------------------------------- */

/* What it wears: a dashed outline round it, one for each cover. */
static void draw_covers(const sketch *s)
{
    for (size_t i = 0; i < s->actor->dress.n; i++) {
        double in = 1.0 + 2.5 * (double)i;
        ow_svg_put(s->file, "<path class=\"line cloth\" d=\"M##V#Q####T##V#\"/>", s->box.x + in,
                   s->box.y + s->box.h, s->box.y + 0.4 * s->box.h, s->box.x + in, s->box.y + in,
                   s->box.x + 0.5 * s->box.w, s->box.y + in, s->box.x + s->box.w - in,
                   s->box.y + 0.4 * s->box.h, s->box.y + s->box.h);
    }
}

/* A pointer at the part that is nearest its limit; filled once the limit has been passed. */
static void draw_mark(const sketch *s)
{
    if (s->nearest < 0 || isnan(s->at_x[s->nearest])) {
        return;
    }
    fprintf(s->file, "<path class=\"mark%s\" d=\"M%.1f %.1fl7-3.5v7z\"/>", s->passed ? " hit" : "",
            s->at_x[s->nearest] + 1.5, s->at_y[s->nearest]);
}

void ow_specimen_draw(FILE *file, const ow_cast *cast, int actor, ow_box box, int nearest,
                      bool passed)
{
    sketch s = {.file = file,
                .cast = cast,
                .actor = &cast->actor[actor],
                .plant = &cast->garden->plants[cast->actor[actor].plant],
                .box = box,
                .nearest = nearest,
                .passed = passed};
    for (int p = 0; p < OW_PARTS; p++) {
        s.at_x[p] = s.at_y[p] = NAN;
    }
    if (s.plant->pot.given) {
        draw_pot(&s);
    } else {
        draw_bed(&s);
    }
    draw_covers(&s);
    draw_mark(&s);
}
