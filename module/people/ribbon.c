/* SPDX-License-Identifier: MIT */
#include "people/ribbon.h"

#include <math.h>

#include "people/palette.h"
#include "people/svg.h"

static const double FULL_K = 10.0; /* drawn as high as the ribbon goes */
static const double ABOVE = 0.68;  /* share of the height above the line */

typedef struct ribbon {
    FILE *file;
    const ow_track *track;
    ow_utc_s now_s;
    double x, line_y, width, up, down;
} ribbon;

static double x_of(const ribbon *r, ow_utc_s at_s)
{
    double hours = (double)(at_s - r->now_s) / OW_HOUR_S;
    return r->x + r->width * fmin(fmax(hours / OW_RIBBON_H, 0.0), 1.0);
}

static ow_utc_s begin_of(const ow_track *t, int i)
{
    return t->from_s + (ow_utc_s)i * OW_TRACK_POINT_S;
}

static double high_of(const ribbon *r, double margin_k)
{
    return margin_k <= 0.0 ? r->up : r->up * fmin(margin_k / FULL_K, 1.0);
}

/* -1 nothing known, OW_PALETTE_STEPS passed, else the step of the margin. */
static int look_of(const ow_track_point *p)
{
    double k = (double)p->margin_k;
    return isnan(k) ? -1 : k <= 0.0 ? OW_PALETTE_STEPS : ow_palette_of_margin_k(k);
}

static void draw_look(const ribbon *r, int look)
{
    bool any = false;
    for (int i = 0; i < r->track->n; i++) {
        double from = x_of(r, begin_of(r->track, i)), to = x_of(r, begin_of(r->track, i + 1));
        if (look_of(&r->track->point[i]) != look || to <= from) {
            continue;
        }
        double high = fmax(high_of(r, (double)r->track->point[i].margin_k), 0.6);
        if (!any && look == OW_PALETTE_STEPS) {
            fputs("<path class=\"hit hair\" d=\"", r->file);
        } else if (!any) {
            fprintf(r->file, "<path class=\"t%d hair\" d=\"", look);
        }
        any = true;
        ow_svg_put(r->file, "M##v#h#v#z", from, r->line_y, -high, to - from, high);
    }
    if (any) {
        fputs("\"/>", r->file);
    }
}

/* An icicle in each point that has ice, as long as the share of ice. */
static void draw_icicles(const ribbon *r)
{
    double pen_x = NAN;
    for (int i = 0; i < r->track->n; i++) {
        double from = x_of(r, begin_of(r->track, i)), to = x_of(r, begin_of(r->track, i + 1));
        double ice = (double)r->track->point[i].ice_share, half = 0.5 * (to - from);
        if (to <= from || isnan(ice) || ice < 0.02) {
            continue;
        }
        fputs(isnan(pen_x) ? "<path class=\"hang\" d=\"" : "", r->file);
        if (!(fabs(from - pen_x) < 0.01)) {
            ow_svg_put(r->file, "M##", from, r->line_y);
        }
        ow_svg_put(r->file, "L##L##", from + half, r->line_y + 0.6 + ice * r->down, to, r->line_y);
        pen_x = to;
    }
    fputs(isnan(pen_x) ? "" : "\"/>", r->file);
}

/* The line of the limit, with a tick at each local midnight. */
static void draw_line(const ribbon *r, const ow_local *local)
{
    int offset_s = local->utc_offset_s(local->self, r->now_s);
    ow_utc_s end_s = r->now_s + (ow_utc_s)OW_RIBBON_H * OW_HOUR_S;
    ow_utc_s midnight_s = r->now_s - (r->now_s + offset_s) % OW_DAY_S + OW_DAY_S;
    ow_svg_put(r->file, "<path class=\"line\" d=\"M##h#", r->x, r->line_y, r->width);
    for (; midnight_s < end_s; midnight_s += OW_DAY_S) {
        double x = x_of(r, midnight_s);
        ow_svg_put(r->file, "M##V#", x, r->line_y - r->up, r->line_y + r->down);
    }
    fputs("\"/>", r->file);
}

void ow_ribbon_draw(FILE *file, const ow_track *track, ow_utc_s now_s, const ow_local *local,
                    double x, double y, double width, double height)
{
    ribbon r = {.file = file,
                .track = track,
                .now_s = now_s,
                .x = x,
                .line_y = y + ABOVE * height,
                .width = width,
                .up = ABOVE * height,
                .down = (1.0 - ABOVE) * height};
    for (int look = 0; look <= OW_PALETTE_STEPS; look++) {
        draw_look(&r, look);
    }
    draw_icicles(&r);
    draw_line(&r, local);
}

double ow_ribbon_least_k(const ow_track *t, ow_utc_s now_s, ow_utc_s *at_s)
{
    double least_k = NAN;
    ow_utc_s end_s = now_s + (ow_utc_s)OW_RIBBON_H * OW_HOUR_S;
    for (int i = 0; i < t->n; i++) {
        double k = (double)t->point[i].margin_k;
        bool ahead = begin_of(t, i + 1) > now_s && begin_of(t, i) < end_s;
        if (ahead && !isnan(k) && (isnan(least_k) || k < least_k)) {
            least_k = k;
            *at_s = begin_of(t, i) > now_s ? begin_of(t, i) : now_s;
        }
    }
    return least_k;
}
