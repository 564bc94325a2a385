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
    NEXT_X = 42,
    MORE_WIDTH = 50,
    TALLEST = 150
};

/* Characters at most: of a name or state, of a whole line. */
enum { NAME_MOST = 40, LINE_MOST = 88, HEAD_MOST = 46 };

/* Room for one text and its codes. */
enum { LINE_TEXT = 900, LINE_CODE = 2000, WORD_TEXT = 32 };

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

/* A text of the picture and its codes, so that a page can say it in another language. */
typedef struct line {
    char text[LINE_TEXT], code[LINE_CODE];
} line;

static ow_speech speech_on(line *l, const ow_tile *t, const char *joint)
{
    return ow_speech_begin(t->local, joint, l->text, sizeof l->text, l->code, sizeof l->code);
}

static bool is_urgent(ow_state state)
{
    return state <= OW_STATE_COVER_SOON;
}

static char first_upper(const char *word)
{
    return word[0] >= 'a' && word[0] <= 'z' ? (char)(word[0] - 'a' + 'A') : word[0];
}

static ow_blank blank_of_state(ow_state state)
{
    return ow_blank_word("state", ow_state_word(state), ow_state_word(state));
}

static ow_state worst_of(const ow_tile *t)
{
    ow_state worst = OW_STATE_HOLD;
    for (int i = 0; i < t->garden->plant_count; i++) {
        worst = t->state[i] < worst ? t->state[i] : worst;
    }
    return worst;
}

/* "Cover soon: mandarin, olive, 3 more". */
static void say_headline(const ow_tile *t, ow_speech *to)
{
    enum { NAMED = 2, MORE = 12 }; /* ": " and ", 99 more" */
    const ow_garden *g = t->garden;
    ow_state worst = worst_of(t);
    const char *names[NAMED];
    char word[WORD_TEXT];
    int all = 0;
    size_t length = strlen(ow_state_word(worst)) + MORE;
    ow_blank about = {.kind = OW_BLANK_NAMES, .names = names, .text = ", "};
    snprintf(word, sizeof word, "%c%s", first_upper(ow_state_word(worst)),
             ow_state_word(worst) + 1);
    for (int i = 0; i < g->plant_count && worst != OW_STATE_HOLD; i++) {
        if (t->state[i] != worst) {
            continue;
        }
        all++;
        if (about.n < NAMED && length + strlen(g->plants[i].name) <= HEAD_MOST) {
            length += strlen(g->plants[i].name) + 2;
            names[about.n++] = g->plants[i].name;
        }
    }
    ow_saying saying = about.n == 0    ? OW_SAY_TILE_STATE
                       : all > about.n ? OW_SAY_TILE_HEAD_MORE
                                       : OW_SAY_TILE_HEAD;
    OW_SPEAK(to, saying, ow_blank_word("state", ow_state_word(worst), word), about,
             ow_blank_number(all - about.n, 0));
}

static void say_weather(const ow_tile *t, ow_speech *to)
{
    if (t->outlook == NULL || t->outlook->steps == 0) {
        ow_speak_plain(to, t->cast == NULL ? OW_SAY_NO_READING : OW_SAY_UNKNOWN_AHEAD);
        return;
    }
    OW_SPEAK(to, OW_SAY_TILE_LOWEST,
             {.kind = OW_BLANK_DEGREES, .number = ow_tenth_c(t->outlook->lowest_air_c)},
             ow_blank_at(t->outlook->lowest_air_s));
}

static void say_job(const ow_tile *t, ow_speech *to)
{
    if (t->jobs == 0) {
        ow_speak_plain(to, OW_SAY_TILE_IDLE);
        return;
    }
    const ow_tile_job *j = &t->job[0];
    OW_SPEAK(to, OW_SAY_TILE_JOB,
             j->of_garden ? ow_blank_word("thing", j->name, j->name) : ow_blank_name(j->name),
             j->action.text[0] != '\0' ? ow_blank_spoken(j->action)
                                       : ow_blank_word("kind", "look", "look"));
}

static void say_time(const ow_tile *t, ow_speech *to)
{
    if (t->jobs > 0 && t->job[0].by_s == OW_NEVER) {
        ow_speak_plain(to, OW_SAY_TILE_NO_HURRY);
    } else if (t->jobs > 0) {
        OW_SPEAK(to, t->job[0].late ? OW_SAY_TILE_LATE : OW_SAY_TILE_BY,
                 ow_blank_at(t->job[0].by_s));
    }
}

static void say_output(const ow_tile_output *o, ow_speech *to)
{
    ow_blank name = ow_blank_name(o->name);
    ow_blank does = ow_blank_word("command", o->does != NULL ? o->does : "", o->does);
    if (o->does != NULL && o->blocked.text != NULL) {
        OW_SPEAK(to, OW_SAY_TILE_DOES_BLOCKED, name, does, ow_blank_spoken(o->blocked));
    } else if (o->does != NULL) {
        OW_SPEAK(to, OW_SAY_TILE_DOES, name, does);
    } else if (o->blocked.text != NULL) {
        OW_SPEAK(to, OW_SAY_TILE_BLOCKED, name, ow_blank_spoken(o->blocked));
    } else {
        OW_SPEAK(to, OW_SAY_TILE_UNTOLD, name);
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

/* ---- texts in the picture -------------------------------------------------------------------- */

/* Text that has a width of its own to keep, whatever letters the reader's system has: a long one is
 * squeezed into it. Its codes, where there are any, go with the width that another may take. */
static void put_fit_within(FILE *file, const char *style, double x, double y, double width,
                           const line *l, int most, double room)
{
    static const double WIDE_LETTER = 6.1;
    double letters = fmin((double)strlen(l->text), most);
    fprintf(file, "<text class=\"%s\" x=\"%.1f\" y=\"%.1f\"", style, x, y);
    if (WIDE_LETTER * letters > width) {
        fprintf(file, " textLength=\"%.0f\" lengthAdjust=\"spacingAndGlyphs\"", width);
    }
    if (l->code[0] != '\0') {
        fprintf(file, " data-fit=\"%.0f\" data-say='", room);
        ow_svg_attribute(file, l->code);
        fputs("'", file);
    }
    fputs(">", file);
    ow_svg_text_cut(file, l->text, most);
    fputs("</text>\n", file);
}

static void put_fit(FILE *file, const char *style, double x, double y, double width, const line *l,
                    int most)
{
    put_fit_within(file, style, x, y, width, l, most, width);
}

static void put_line(FILE *file, const char *style, double x, double y, const line *l)
{
    put_fit(file, style, x, y, WIDTH, l, 200);
}

/* One saying; blanks end with OW_BLANK_END. */
static void put_saying(FILE *file, const ow_tile *t, const char *style, double x, double y,
                       double width, ow_saying saying, const ow_blank *blanks)
{
    line l;
    ow_speech to = speech_on(&l, t, " ");
    ow_speak(&to, saying, blanks);
    put_fit(file, style, x, y, width, &l, 200);
}
#define PUT_SAYING(file, t, style, x, y, width, saying, ...)                                       \
    put_saying(file, t, style, x, y, width, saying,                                                \
               (const ow_blank[]){__VA_ARGS__, {.kind = OW_BLANK_END}})

/* An element of words alone, such as a title. */
static void put_words(FILE *file, const char *element, const char *id, const line *l)
{
    fprintf(file, "<%s", element);
    if (id != NULL) {
        fprintf(file, " id=\"%s\"", id);
    }
    if (l->code[0] != '\0') {
        fputs(" data-say='", file);
        ow_svg_attribute(file, l->code);
        fputs("'", file);
    }
    fputs(">", file);
    ow_svg_text(file, l->text);
    fprintf(file, "</%s>", element);
}

/* ---- one plant ------------------------------------------------------------------------------- */

static ow_blank blank_of_part(int part)
{
    return ow_blank_word("part", ow_part_name((ow_part)part), ow_part_name((ow_part)part));
}

/* All that the picture of a plant shows, in words. */
static void put_title(FILE *file, const ow_tile *t, const shown *s)
{
    line l;
    ow_utc_s at_s = 0;
    ow_speech to = speech_on(&l, t, " ");
    OW_SPEAK(&to, OW_SAY_TILE_PLANT, ow_blank_name(t->garden->plants[s->plant].name),
             blank_of_state(s->state));
    if (t->cast != NULL && !isnan(t->cast->actor[s->plant].sense.air_c)) {
        const ow_inside *root = &t->cast->actor[s->plant].sense.root;
        OW_SPEAK(&to, OW_SAY_TILE_ROOT, ow_blank_c(root->mean_c),
                 ow_blank_number(100.0 * root->ice_share, 0));
    }
    if (s->nearest >= 0) {
        double k = ow_tenth_c(s->margin_k);
        OW_SPEAK(&to, k < 0.0 ? OW_SAY_TILE_NEAR_BELOW : OW_SAY_TILE_NEAR_ABOVE,
                 blank_of_part(s->nearest), ow_blank_k(fabs(k)));
    }
    double ahead_k = t->outlook != NULL && t->outlook->steps > 0
                         ? ow_ribbon_least_k(&t->outlook->track[s->plant], t->now_s, &at_s)
                         : NAN;
    if (!isnan(ahead_k)) {
        double k = ow_tenth_c(ahead_k);
        OW_SPEAK(&to, k < 0.0 ? OW_SAY_TILE_LEAST_BELOW : OW_SAY_TILE_LEAST_ABOVE,
                 ow_blank_k(fabs(k)), ow_blank_at(at_s));
    }
    put_words(file, "title", NULL, &l);
}

/* An urgent state stands on a filled label, a lesser one on an outlined one, hold on none. */
static void put_state(FILE *file, const ow_tile *t, ow_state state, double mid, double y,
                      double width)
{
    line l;
    ow_speech to = speech_on(&l, t, " ");
    OW_SPEAK(&to, OW_SAY_TILE_STATE, blank_of_state(state));
    double half = 0.5 * fmin(6.3 * (double)strlen(l.text) + 9.0, width);
    if (state == OW_STATE_HOLD) {
        put_fit(file, "mid faint", mid, y, width, &l, NAME_MOST);
        return;
    }
    /* The shape of a plant label: its left end comes to a point. */
    fprintf(file, "<path class=\"%s\" d=\"M%.1f %.1fl4-5.8h%.1fv11.6h%.1fz\"/>",
            is_urgent(state) ? "tag" : "tagline", mid - half, y - 3.2, 2.0 * half - 4.0,
            4.0 - 2.0 * half);
    put_fit_within(file, is_urgent(state) ? "mid tagged" : "mid", mid + 1.5, y, 2.0 * half - 8.0,
                   &l, NAME_MOST, width);
}

static void put_margin(FILE *file, const ow_tile *t, const shown *s, double mid, double y,
                       double width)
{
    if (s->nearest < 0) {
        return;
    }
    PUT_SAYING(file, t, s->passed ? "mid alarm" : "mid faint", mid, y, width, OW_SAY_TILE_MARGIN,
               ow_blank_word("short", ow_part_name((ow_part)s->nearest), short_part[s->nearest]),
               {.kind = OW_BLANK_SIGNED_K, .number = ow_tenth_c(s->margin_k)});
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
    line name = {.code = ""};
    snprintf(name.text, sizeof name.text, "%s", t->garden->plants[s->plant].name);
    put_fit(file, "mid name", mid, drawing.y - DRAWING_DROP + NAME_DROP, box.w, &name,
            (int)(box.w / 4.2));
    if (t->cast != NULL) {
        ow_specimen_draw(file, t->cast, s->plant, drawing, s->nearest, s->passed);
    }
    fprintf(file, "<path class=\"line hair\" d=\"M%.1f %.1fh%.1f\"/>", box.x - 0.5 * GAP, words,
            box.w + GAP);
    put_state(file, t, s->state, mid, words + 11.0, box.w);
    put_margin(file, t, s, mid, words + 22.0, box.w);
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
    line l;
    ow_speech to = speech_on(&l, t, " ");
    say_headline(t, &to);
    put_fit_within(file, "head", EDGE, 16, 1.5 * WIDTH, &l, HEAD_MOST, WIDTH - 2 * EDGE);
    to = speech_on(&l, t, " ");
    say_weather(t, &to);
    put_line(file, "faint", EDGE, 29, &l);
    to = speech_on(&l, t, " ");
    if (left_out > 0) {
        OW_SPEAK(&to, OW_SAY_TILE_NOW_MORE, ow_blank_number(left_out, 0), ow_blank_at(t->now_s));
    } else {
        OW_SPEAK(&to, OW_SAY_TILE_NOW, ow_blank_at(t->now_s));
    }
    put_line(file, "end faint", WIDTH - EDGE, 29, &l);
}

static void put_next(FILE *file, const ow_tile *t)
{
    line l;
    ow_speech to = speech_on(&l, t, " ");
    ow_speak_plain(&to, OW_SAY_TILE_NEXT);
    put_fit(file, "strong", EDGE, 255, NEXT_X - EDGE - 2, &l, 200);
    to = speech_on(&l, t, " ");
    say_job(t, &to);
    put_fit(file, "strong", NEXT_X, 255, WIDTH - EDGE - NEXT_X, &l, LINE_MOST);
    to = speech_on(&l, t, " ");
    say_time(t, &to);
    put_line(file, t->jobs > 0 && t->job[0].late ? "alarm" : "plain", NEXT_X, 266, &l);
    if (t->jobs > 1) {
        PUT_SAYING(file, t, "end faint", WIDTH - EDGE, 266, WIDTH, OW_SAY_TILE_JOBS,
                   ow_blank_number(t->jobs, 0), ow_blank_number(minutes_in_all(t), 0));
    }
}

static void put_outputs(FILE *file, const ow_tile *t)
{
    enum { LINES = 2 };
    int n = t->outputs < LINES ? t->outputs : LINES;
    for (int i = 0; i < n; i++) {
        line l;
        ow_speech to = speech_on(&l, t, " ");
        bool more = i == n - 1 && t->outputs > LINES;
        say_output(&t->output[i], &to);
        put_fit(file, "plain", EDGE, 277 + 11 * i, WIDTH - 2 * EDGE - (more ? MORE_WIDTH : 0), &l,
                LINE_MOST);
        if (more) {
            PUT_SAYING(file, t, "end faint", WIDTH - EDGE, 277 + 11 * i, MORE_WIDTH,
                       OW_SAY_TILE_MORE, ow_blank_number(t->outputs - LINES, 0));
        }
    }
}

/* What colours, lines and ribbons mean, in one row. */
static void put_legend(FILE *file, const ow_tile *t)
{
    fputs("<g aria-hidden=\"true\"><g class=\"cells\">", file);
    for (int i = 0; i < OW_PALETTE_STEPS; i++) {
        fprintf(file, "<path class=\"t%d\" d=\"M%d 291h5v6h-5z\"/>", i, 43 + 5 * i);
    }
    fputs("<path class=\"t1\" d=\"M128 291h13v6h-13z\"/></g>"
          "<path class=\"ice\" d=\"M128 292.2h13M128 294h13M128 295.8h13\"/>"
          "<path class=\"mark\" d=\"M167 294l7-3.5v7z\"/>"
          "<path class=\"t6\" d=\"M291 297v-5h4v2h4v-3h4v6z\"/>\n",
          file);
    PUT_SAYING(file, t, "faint", EDGE, 297.5, 34, OW_SAY_TILE_COLD,
               {.kind = OW_BLANK_WHOLE_C, .number = OW_PALETTE_COLD_C});
    PUT_SAYING(file, t, "faint", 95, 297.5, 30, OW_SAY_TILE_COLD,
               {.kind = OW_BLANK_WHOLE_C, .number = OW_PALETTE_WARM_C});
    PUT_SAYING(file, t, "faint", 144, 297.5, 22, OW_SAY_TILE_ICE, {.kind = OW_BLANK_END});
    PUT_SAYING(file, t, "faint", 177, 297.5, 110, OW_SAY_TILE_NEAREST, {.kind = OW_BLANK_END});
    PUT_SAYING(file, t, "end faint", WIDTH - EDGE, 297.5, 84, OW_SAY_TILE_RIBBON,
               {.kind = OW_BLANK_END});
    fputs("</g>", file);
}

/* ---- the whole ------------------------------------------------------------------------------- */

static void put_desc(FILE *file, const ow_tile *t)
{
    line l;
    ow_speech to = speech_on(&l, t, ". ");
    say_headline(t, &to);
    put_words(file, "title", "ow-tile-title", &l);
    to = speech_on(&l, t, ". ");
    say_weather(t, &to);
    say_job(t, &to);
    say_time(t, &to);
    for (int i = 0; i < t->outputs; i++) {
        say_output(&t->output[i], &to);
    }
    put_words(file, "desc", "ow-tile-desc", &l);
    fputs("\n", file);
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
    put_legend(file, t);
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
