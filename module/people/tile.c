/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L /* open_memstream */
#include "people/tile.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "people/palette.h"
#include "people/ribbon.h"
#include "people/specimen.h"
#include "people/svg.h"
#include "people/tile_style.h"

/* Pixels. */
enum {
    WIDTH = 400,
    HEIGHT = 300,
    EDGE = 7,
    BENCH_TOP = 35,
    BENCH_END = 244,
    GAP = 5,
    NAME_DROP = 9,
    DRAWING_DROP = 12,
    WORDS = 40, /* state, margin and ribbon below a drawing */
    RIBBON = 15,
    NEXT_X = 36,
    MORE_WIDTH = 50,
    TALLEST = 150
};

/* Characters at most: of a name or state, of a whole line. */
enum { NAME_MOST = 40, LINE_MOST = 88 };

/* Columns and rows for so many plants. */
static const struct bench {
    int most, columns, rows;
} benches[] = {{3, 3, 1}, {4, 4, 1}, {6, 3, 2}, {8, 4, 2}, {10, 5, 2}, {OW_TILE_PLANTS, 6, 2}};

static const char *const short_part[OW_PARTS] = {"leaf", "bud", "root", "point", "organ"};

/* A plant as the tile ranks and shows it. */
typedef struct shown {
    int plant;
    ow_state state;
    int nearest; /* part; -1: none has a limit */
    double margin_k;
    bool passed;
} shown;

/* ---- words ----------------------------------------------------------------------------------- */

static bool is_urgent(ow_state state)
{
    return state <= OW_STATE_COVER_SOON;
}

static char first_upper(const char *word)
{
    return word[0] >= 'a' && word[0] <= 'z' ? (char)(word[0] - 'a' + 'A') : word[0];
}

static ow_state worst_of(const ow_tile *t)
{
    ow_state worst = OW_STATE_HOLD;
    for (int i = 0; i < t->garden->plant_count; i++) {
        worst = t->state[i] < worst ? t->state[i] : worst;
    }
    return worst;
}

/* "Cover soon: mandarin, olive and 3 more". */
static void headline(const ow_tile *t, char *text, size_t room)
{
    const ow_garden *g = t->garden;
    ow_state worst = worst_of(t);
    const char *word = ow_state_word(worst);
    int named = 0, all = 0;
    size_t used = (size_t)snprintf(text, room, "%c%s", first_upper(word), word + 1);
    for (int i = 0; i < g->plant_count && worst != OW_STATE_HOLD; i++) {
        if (t->state[i] != worst) {
            continue;
        }
        all++;
        if (named < 2 && used + strlen(g->plants[i].name) < 44) {
            used += (size_t)snprintf(text + used, room - used, "%s %s", named ? "," : ":",
                                     g->plants[i].name);
            named++;
        }
    }
    if (all > named && named > 0) {
        snprintf(text + used, room - used, " and %d more", all - named);
    }
}

static void weather_line(const ow_tile *t, char *text, size_t room)
{
    char when[OW_WHEN_TEXT];
    if (t->outlook == NULL || t->outlook->steps == 0) {
        snprintf(text, room, "%s",
                 t->cast == NULL ? "No reading of the air has come in yet."
                                 : "Nothing is known of the hours ahead.");
        return;
    }
    snprintf(text, room,
             "Lowest %.1f \xc2\xb0"
             "C outdoors by %s",
             ow_tenth_c(t->outlook->lowest_air_c),
             ow_when(t->local, t->outlook->lowest_air_s, when));
}

static void job_line(const ow_tile *t, char *text, size_t room)
{
    if (t->jobs == 0) {
        snprintf(text, room, "nothing to do");
        return;
    }
    const ow_tile_job *j = &t->job[0];
    snprintf(text, room, "%s: %s", j->name, j->action[0] != '\0' ? j->action : "look");
}

static void time_line(const ow_tile *t, char *text, size_t room)
{
    char when[OW_WHEN_TEXT];
    if (t->jobs == 0) {
        text[0] = '\0';
    } else if (t->job[0].by_s == OW_NEVER) {
        snprintf(text, room, "no hurry");
    } else {
        snprintf(text, room, "%s %s", t->job[0].late ? "late since" : "by",
                 ow_when(t->local, t->job[0].by_s, when));
    }
}

static int minutes_in_all(const ow_tile *t)
{
    int minutes = 0;
    for (int i = 0; i < t->jobs; i++) {
        minutes += t->job[i].minutes;
    }
    return minutes;
}

/* ---- who is shown ---------------------------------------------------------------------------- */

static shown show(const ow_tile *t, int plant)
{
    shown s = {plant, t->state[plant], -1, INFINITY, false};
    if (t->cast != NULL) {
        const ow_condition *c = &t->cast->actor[plant].condition;
        s.nearest = ow_condition_nearest(c, &t->garden->plants[plant].tolerance, &s.margin_k);
        s.passed = s.nearest >= 0 && s.margin_k <= 0.0;
    }
    return s;
}

static int by_need(const void *a, const void *b)
{
    const shown *one = a, *other = b;
    if (one->state != other->state) {
        return one->state < other->state ? -1 : 1;
    }
    if (one->margin_k != other->margin_k) {
        return one->margin_k < other->margin_k ? -1 : 1;
    }
    return one->plant - other->plant;
}

static int by_place_in_file(const void *a, const void *b)
{
    return ((const shown *)a)->plant - ((const shown *)b)->plant;
}

/* The twelve that need it most, in the order of the garden file. */
static int choose(const ow_tile *t, shown *all)
{
    int n = t->garden->plant_count;
    for (int i = 0; i < n; i++) {
        all[i] = show(t, i);
    }
    qsort(all, (size_t)n, sizeof *all, by_need);
    n = n < OW_TILE_PLANTS ? n : OW_TILE_PLANTS;
    qsort(all, (size_t)n, sizeof *all, by_place_in_file);
    return n;
}

/* ---- texts in the picture ---------------------------------------------------------------------
 */

/* Text that has a width of its own to keep, whatever letters the reader's system has: a long one is
 * squeezed into it. */
static void put_fit(FILE *file, const char *style, double x, double y, double width,
                    const char *text, int most)
{
    static const double WIDE_LETTER = 6.1;
    double letters = fmin((double)strlen(text), most);
    fprintf(file, "<text class=\"%s\" x=\"%.1f\" y=\"%.1f\"", style, x, y);
    if (WIDE_LETTER * letters > width) {
        fprintf(file, " textLength=\"%.0f\" lengthAdjust=\"spacingAndGlyphs\"", width);
    }
    fputs(">", file);
    ow_svg_text_cut(file, text, most);
    fputs("</text>\n", file);
}

static void put_text(FILE *file, const char *style, double x, double y, const char *text)
{
    put_fit(file, style, x, y, WIDTH, text, 200);
}

/* ---- one plant ------------------------------------------------------------------------------- */

static const char *plain_part(int part)
{
    return part >= 0 ? ow_part_name((ow_part)part) : "";
}

/* All that the picture of a plant shows, in words. */
static void put_title(FILE *file, const ow_tile *t, const shown *s)
{
    char text[200], when[OW_WHEN_TEXT];
    ow_utc_s at_s = 0;
    fputs("<title>", file);
    ow_svg_text(file, t->garden->plants[s->plant].name);
    fprintf(file, ": %s.", ow_state_word(s->state));
    if (t->cast != NULL && !isnan(t->cast->actor[s->plant].sense.air_c)) {
        const ow_inside *root = &t->cast->actor[s->plant].sense.root;
        fprintf(file, " Root ball %.1f C, %.0f percent ice.", ow_tenth_c(root->mean_c),
                100.0 * root->ice_share);
    }
    if (s->nearest >= 0) {
        double k = ow_tenth_c(s->margin_k);
        snprintf(text, sizeof text, " Nearest its limit: %s, %.1f K %s it.", plain_part(s->nearest),
                 fabs(k), k < 0.0 ? "below" : "above");
        ow_svg_text(file, text);
    }
    double ahead_k = t->outlook != NULL && t->outlook->steps > 0
                         ? ow_ribbon_least_k(&t->outlook->track[s->plant], t->now_s, &at_s)
                         : NAN;
    if (!isnan(ahead_k)) {
        double k = ow_tenth_c(ahead_k);
        fprintf(file, " Least in the next 72 hours: %.1f K %s a limit, about %s.", fabs(k),
                k < 0.0 ? "below" : "above", ow_when(t->local, at_s, when));
    }
    fputs("</title>", file);
}

/* An urgent state stands on a filled label, a lesser one on an outlined one, hold on none. */
static void put_state(FILE *file, ow_state state, double mid, double y, double width)
{
    const char *word = ow_state_word(state);
    double half = 0.5 * fmin(6.3 * (double)strlen(word) + 9.0, width);
    if (state == OW_STATE_HOLD) {
        put_fit(file, "mid faint", mid, y, width, word, NAME_MOST);
        return;
    }
    /* The shape of a plant label: its left end comes to a point. */
    fprintf(file, "<path class=\"%s\" d=\"M%.1f %.1fl4-5.8h%.1fv11.6h%.1fz\"/>",
            is_urgent(state) ? "tag" : "tagline", mid - half, y - 3.2, 2.0 * half - 4.0,
            4.0 - 2.0 * half);
    put_fit(file, is_urgent(state) ? "mid tagged" : "mid", mid + 1.5, y, 2.0 * half - 8.0, word,
            NAME_MOST);
}

static void put_margin(FILE *file, const shown *s, double mid, double y, double width)
{
    char text[40];
    if (s->nearest < 0) {
        return;
    }
    snprintf(text, sizeof text, "%s %+.1f K", short_part[s->nearest], ow_tenth_c(s->margin_k));
    put_fit(file, s->passed ? "mid alarm" : "mid faint", mid, y, width, text, NAME_MOST);
}

static void put_plant(FILE *file, const ow_tile *t, const shown *s, ow_box box)
{
    double mid = box.x + 0.5 * box.w, words = box.y + box.h - WORDS;
    ow_box drawing = {box.x, box.y + DRAWING_DROP, box.w, words - box.y - DRAWING_DROP};
    if (drawing.h > TALLEST) {
        drawing.y += drawing.h - TALLEST;
        drawing.h = TALLEST;
    }
    fputs("<g role=\"img\">", file);
    put_title(file, t, s);
    put_fit(file, "mid name", mid, drawing.y - DRAWING_DROP + NAME_DROP, box.w,
            t->garden->plants[s->plant].name, (int)(box.w / 4.2));
    if (t->cast != NULL) {
        ow_specimen_draw(file, t->cast, s->plant, drawing, s->nearest, s->passed);
    }
    fprintf(file, "<path class=\"line hair\" d=\"M%.1f %.1fh%.1f\"/>", box.x - 0.5 * GAP, words,
            box.w + GAP);
    put_state(file, s->state, mid, words + 11.0, box.w);
    put_margin(file, s, mid, words + 22.0, box.w);
    if (t->outlook != NULL && t->outlook->steps > 0) {
        ow_ribbon_draw(file, &t->outlook->track[s->plant], t->now_s, t->local, box.x,
                       words + WORDS - RIBBON, box.w, RIBBON);
    }
    fputs("</g>\n", file);
}

static void put_bench(FILE *file, const ow_tile *t, const shown *all, int n)
{
    const struct bench *bench = benches;
    while (bench->most < n) {
        bench++;
    }
    double width = (double)(WIDTH - 2 * EDGE + GAP) / bench->columns;
    double height = (double)(BENCH_END - BENCH_TOP) / bench->rows;
    for (int i = 0; i < n; i++) {
        ow_box box = {EDGE + width * (i % bench->columns),
                      BENCH_TOP + height * (i / bench->columns), width - GAP, height - GAP};
        put_plant(file, t, &all[i], box);
    }
}

/* ---- head and foot --------------------------------------------------------------------------- */

static void put_head(FILE *file, const ow_tile *t, int left_out)
{
    char text[200], when[OW_WHEN_TEXT];
    headline(t, text, sizeof text);
    put_fit(file, "head", EDGE, 16, 1.5 * WIDTH, text, 46);
    weather_line(t, text, sizeof text);
    put_text(file, "faint", EDGE, 29, text);
    if (left_out > 0) {
        snprintf(text, sizeof text, "%d more \xc2\xb7 %s", left_out,
                 ow_when(t->local, t->now_s, when));
    } else {
        ow_when(t->local, t->now_s, text);
    }
    put_text(file, "end faint", WIDTH - EDGE, 29, text);
}

static void put_next(FILE *file, const ow_tile *t)
{
    char text[300];
    put_text(file, "strong", EDGE, 255, "Next");
    job_line(t, text, sizeof text);
    put_fit(file, "strong", NEXT_X, 255, WIDTH - EDGE - NEXT_X, text, LINE_MOST);
    time_line(t, text, sizeof text);
    put_text(file, t->jobs > 0 && t->job[0].late ? "alarm" : "plain", NEXT_X, 266, text);
    if (t->jobs > 1) {
        snprintf(text, sizeof text, "%d jobs, %d min in all", t->jobs, minutes_in_all(t));
        put_text(file, "end faint", WIDTH - EDGE, 266, text);
    }
}

static void put_outputs(FILE *file, const ow_tile *t)
{
    enum { LINES = 2 };
    char text[300];
    int n = t->outputs < LINES ? t->outputs : LINES;
    for (int i = 0; i < n; i++) {
        const ow_tile_output *o = &t->output[i];
        bool more = i == n - 1 && t->outputs > LINES;
        snprintf(text, sizeof text, "%s: %s%s%s", o->name, o->does != NULL ? o->does : "",
                 o->does != NULL && o->blocked != NULL ? "; " : "",
                 o->blocked != NULL ? o->blocked
                 : o->does != NULL  ? ""
                                    : "not commanded yet");
        put_fit(file, "plain", EDGE, 277 + 11 * i, WIDTH - 2 * EDGE - (more ? MORE_WIDTH : 0), text,
                LINE_MOST);
        if (more) {
            snprintf(text, sizeof text, "+%d more", t->outputs - LINES);
            put_text(file, "end faint", WIDTH - EDGE, 277 + 11 * i, text);
        }
    }
}

/* What colours, lines and ribbons mean, in one row. */
static void put_legend(FILE *file)
{
    fputs("<g aria-hidden=\"true\"><g class=\"cells\">", file);
    for (int i = 0; i < OW_PALETTE_STEPS; i++) {
        fprintf(file, "<path class=\"t%d\" d=\"M%d 291h5v6h-5z\"/>", i, 43 + 5 * i);
    }
    fputs("<path class=\"t1\" d=\"M128 291h13v6h-13z\"/></g>"
          "<path class=\"ice\" d=\"M128 292.2h13M128 294h13M128 295.8h13\"/>"
          "<path class=\"mark\" d=\"M167 294l7-3.5v7z\"/>"
          "<path class=\"t6\" d=\"M296 297v-5h4v2h4v-3h4v6z\"/>\n",
          file);
    put_text(file, "faint", EDGE, 297.5,
             "\xe2\x88\x92"
             "10 \xc2\xb0"
             "C");
    put_text(file, "faint", 95, 297.5, "+10");
    put_text(file, "faint", 144, 297.5, "ice");
    put_text(file, "faint", 177, 297.5, "nearest its limit");
    put_text(file, "end faint", WIDTH - EDGE, 297.5, "K to it, next 72 h");
    fputs("</g>", file);
}

/* ---- the whole ------------------------------------------------------------------------------- */

static void put_desc(FILE *file, const ow_tile *t)
{
    char text[300];
    fputs("<title id=\"ow-tile-title\">", file);
    headline(t, text, sizeof text);
    ow_svg_text(file, text);
    fputs("</title>\n<desc id=\"ow-tile-desc\">", file);
    weather_line(t, text, sizeof text);
    ow_svg_text(file, text);
    fputs(". Next: ", file);
    job_line(t, text, sizeof text);
    ow_svg_text(file, text);
    time_line(t, text, sizeof text);
    fputs(t->jobs > 0 ? ", " : "", file);
    ow_svg_text(file, text);
    fputs(".", file);
    for (int i = 0; i < t->outputs; i++) {
        const ow_tile_output *o = &t->output[i];
        fputs(" ", file);
        ow_svg_text(file, o->name);
        fprintf(file, ": %s", o->does != NULL ? o->does : "still");
        fputs(o->blocked != NULL ? ", blocked: " : "", file);
        ow_svg_text(file, o->blocked != NULL ? o->blocked : "");
        fputs(".", file);
    }
    fputs("</desc>\n", file);
}

static void put_all(FILE *file, const ow_tile *t, const shown *all, int n)
{
    fprintf(file,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" class=\"ow-tile\" "
            "role=\"group\" aria-labelledby=\"ow-tile-title ow-tile-desc\">\n",
            WIDTH, HEIGHT);
    put_desc(file, t);
    fprintf(file, "<style>\n%s</style>\n", ow_tile_style);
    fprintf(file, "<path class=\"paper\" d=\"M0 0h%dv%dH0z\"/>\n", WIDTH, HEIGHT);
    put_head(file, t, t->garden->plant_count - n);
    put_bench(file, t, all, n);
    put_next(file, t);
    put_outputs(file, t);
    put_legend(file);
    fputs("\n</svg>\n", file);
}

ow_status ow_tile_draw(const ow_tile *tile, char **text)
{
    char *drawn = NULL;
    size_t size = 0;
    shown *all = calloc((size_t)tile->garden->plant_count + 1, sizeof *all);
    FILE *file = all != NULL ? open_memstream(&drawn, &size) : NULL;
    if (file == NULL) {
        free(all);
        return OW_NO_MEMORY;
    }
    put_all(file, tile, all, choose(tile, all));
    free(all);
    bool whole = ferror(file) == 0;
    if (fclose(file) != 0 || !whole) {
        free(drawn);
        return OW_NO_MEMORY;
    }
    *text = drawn;
    return OW_OK;
}
