/* SPDX-License-Identifier: MIT */
#include "hosts/plot.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "hosts/local_time.h"
#include "hosts/numbers.h"
#include "people/svg.h"
#include "physics/calendar.h"

/* Pixels. */
enum {
    COLUMN_WIDTH = 2,
    LEFT = 48,
    WIDTH = OW_PLOT_COLUMNS * COLUMN_WIDTH,
    TOTAL_WIDTH = LEFT + WIDTH + 16,
    HEAD = 92,
    TITLE_DROP = 12,
    TEMPERATURE_TOP = 20,
    TEMPERATURE_HEIGHT = 72,
    TEMPERATURE_END = TEMPERATURE_TOP + TEMPERATURE_HEIGHT,
    ICE_TOP = TEMPERATURE_END + 4,
    ICE_HEIGHT = 12,
    ICE_END = ICE_TOP + ICE_HEIGHT,
    WORD_DROP = 11,
    WORD_ROWS = 2,
    STRIP = ICE_END + WORD_ROWS * WORD_DROP + 18,
    FOOT = 24
};

/* Dark on light and light on dark; each kind of line has its own dashes, so that colour never
 * says anything alone. Colours are steps of viridis. */
static const char style_sheet[] =
    "<style>\n"
    "text{font:11px sans-serif;fill:#1c1c22}.big{font-size:15px;font-weight:bold}"
    ".id{font-weight:bold}.faint{fill:#55555f}.small{font-size:10px}\n"
    ".paper{fill:#ffffff}.frame{fill:none;stroke:#9a9aa4}.day{stroke:#e2e2e8}"
    ".zero{stroke:#77777f}.turn{stroke:#55555f;stroke-dasharray:1 2}\n"
    ".ball{fill:#3b528b;fill-opacity:.3}.mean{fill:none;stroke:#3b528b;stroke-width:1.6}"
    ".leaf{fill:none;stroke:#1f7a55;stroke-width:1.5;stroke-dasharray:2 2}"
    ".limit{fill:none;stroke:#440154;stroke-width:1.4;stroke-dasharray:7 4}"
    ".ice{fill:#21918c}\n"
    "@media (prefers-color-scheme:dark){text{fill:#ececf1}.faint{fill:#b4b4be}"
    ".paper{fill:#15161b}.frame{stroke:#73737d}.day{stroke:#2d2e36}.zero{stroke:#92929c}"
    ".turn{stroke:#b4b4be}.ball{fill:#8ea4dd}.mean{stroke:#a9bcf0}.leaf{stroke:#7ad151}"
    ".limit{stroke:#fde725}.ice{fill:#3fb8b0}}\n"
    "</style>\n";

/* The temperatures that a strip spans. */
struct scale {
    double low_c, high_c;
};

/* One strip's points, with the columns that nothing fell into left out. */
struct strip {
    int n;
    double x[OW_PLOT_COLUMNS];
    double coldest[OW_PLOT_COLUMNS], warmest[OW_PLOT_COLUMNS], mean[OW_PLOT_COLUMNS];
    double leaf[OW_PLOT_COLUMNS], limit[OW_PLOT_COLUMNS], ice[OW_PLOT_COLUMNS];
    double ice_base[OW_PLOT_COLUMNS];
};

static double column_x(int column)
{
    return LEFT + column * COLUMN_WIDTH + COLUMN_WIDTH / 2;
}

static void widen(struct scale *scale, double value)
{
    scale->low_c = fmin(scale->low_c, value);
    scale->high_c = fmax(scale->high_c, value);
}

/* Zero is always in sight; a limit far below all that happened would flatten the rest. */
static struct scale scale_of(const ow_plot_plant *plant)
{
    const double far_below_k = 10.0;
    struct scale scale = {0.0, 0.0};
    for (int i = 0; i < OW_PLOT_COLUMNS; i++) {
        const ow_plot_column *column = &plant->column[i];
        if (column->used) {
            widen(&scale, column->coldest_c);
            widen(&scale, column->warmest_c);
            widen(&scale, column->foliage_c);
        }
    }
    double lowest = scale.low_c;
    for (int i = 0; i < OW_PLOT_COLUMNS; i++) {
        const ow_plot_column *column = &plant->column[i];
        if (column->used && column->limit_c >= lowest - far_below_k) {
            widen(&scale, column->limit_c);
        }
    }
    scale.low_c = 5.0 * floor((scale.low_c - 0.5) / 5.0);
    scale.high_c = 5.0 * ceil((scale.high_c + 0.5) / 5.0);
    return scale;
}

static double y_of(const struct scale *scale, double value_c, double top)
{
    double share = (scale->high_c - value_c) / (scale->high_c - scale->low_c);
    return share > 1.0 ? NAN : top + TEMPERATURE_TOP + share * TEMPERATURE_HEIGHT;
}

/* Where another part comes nearest its limit the line is broken, so that no jump is drawn. */
static bool limit_jumps(const ow_plot_plant *plant, int column)
{
    const double season_k = 0.5; /* hardening moves a limit by less from column to column */
    const ow_plot_column *at = &plant->column[column];
    return column > 0 && at[-1].used && fabs(at->limit_c - at[-1].limit_c) > season_k;
}

static void fill_strip(struct strip *strip, const ow_plot_plant *plant, const struct scale *scale,
                       double top)
{
    strip->n = 0;
    for (int i = 0; i < OW_PLOT_COLUMNS; i++) {
        const ow_plot_column *column = &plant->column[i];
        if (!column->used) {
            continue;
        }
        int n = strip->n++;
        strip->x[n] = column_x(i);
        strip->coldest[n] = y_of(scale, column->coldest_c, top);
        strip->warmest[n] = y_of(scale, column->warmest_c, top);
        strip->mean[n] = y_of(scale, column->mean_c, top);
        strip->leaf[n] = y_of(scale, column->foliage_c, top);
        strip->limit[n] = limit_jumps(plant, i) ? NAN : y_of(scale, column->limit_c, top);
        strip->ice_base[n] = top + ICE_END;
        strip->ice[n] = top + ICE_END - fmin(column->ice_share, 1.0) * ICE_HEIGHT;
    }
}

static void text_at(FILE *file, const char *style, double x, double y, const char *anchor,
                    const char *text)
{
    fprintf(file, "<text class=\"%s\" x=\"%g\" y=\"%g\" text-anchor=\"%s\">", style, x, y, anchor);
    ow_svg_text(file, text);
    fputs("</text>\n", file);
}

static void degrees_at(FILE *file, const struct scale *scale, double value_c, double top)
{
    char text[OW_NUMBER_TEXT + 8];
    double y = y_of(scale, value_c, top);
    snprintf(text, sizeof text,
             "%g \xC2\xB0"
             "C",
             value_c);
    text_at(file, "small", LEFT - 5, floor(y) + 3, "end", text);
}

static void draw_axes(FILE *file, const struct scale *scale, double top)
{
    double zero = floor(y_of(scale, 0.0, top)) + 0.5;
    fprintf(file, "<path class=\"zero\" d=\"M%d %gH%d\"/>\n", LEFT, zero, LEFT + WIDTH);
    fprintf(file, "<path class=\"frame\" d=\"M%d.5 %g.5h%dv%dh-%dzM%d.5 %g.5h%dv%dh-%dz\"/>\n",
            LEFT, top + TEMPERATURE_TOP, WIDTH, TEMPERATURE_HEIGHT, WIDTH, LEFT, top + ICE_TOP,
            WIDTH, ICE_HEIGHT, WIDTH);
    degrees_at(file, scale, scale->high_c, top);
    degrees_at(file, scale, scale->low_c, top);
    if (scale->high_c > 0.0) {
        degrees_at(file, scale, 0.0, top);
    }
    text_at(file, "small", LEFT - 5, top + ICE_END - 2, "end", "ice");
}

/* The word of each change of state, where a row has room for it; a tick for every one. */
static void draw_turns(FILE *file, const ow_plot_plant *plant, double top)
{
    const double letter = 5.6; /* width of a small letter, generously */
    double row_end[WORD_ROWS] = {0};
    for (int i = 0; i < plant->turns; i++) {
        const ow_plot_turn *turn = &plant->turn[i];
        double width = letter * (double)strlen(turn->state);
        double x = fmin(column_x(turn->column), LEFT + WIDTH - width);
        int row = 0;
        while (row < WORD_ROWS && row_end[row] > x) {
            row++;
        }
        fprintf(file, "<g><title>");
        ow_svg_text(file, turn->state);
        fprintf(file, "</title><path class=\"turn\" d=\"M%g.5 %gV%g\"/></g>\n",
                column_x(turn->column), top + TEMPERATURE_TOP, top + ICE_END + 4);
        if (row < WORD_ROWS) {
            text_at(file, "small", x, top + ICE_END + (row + 1) * WORD_DROP, "start", turn->state);
            row_end[row] = x + width + letter;
        }
    }
}

/* "root ball down to -6.3 C, ice at most 45 %, foliage 0.8 K above the limit" */
static void put_account(const ow_plot_label *label, char *out, size_t size)
{
    char coldest[OW_NUMBER_TEXT], ice[OW_NUMBER_TEXT], margin[OW_NUMBER_TEXT];
    size_t n = 0;
    const ow_worst *worst = &label->worst;
    out[0] = '\0';
    if (isfinite(worst->root_coldest_c)) {
        n += (size_t)snprintf(out, size,
                              "root ball down to %s \xC2\xB0"
                              "C, ice at most %s %%",
                              ow_fixed(worst->root_coldest_c, 1, coldest),
                              ow_fixed(100.0 * worst->ice_share, 0, ice));
    }
    if (label->nearest_part != NULL && n < size) {
        snprintf(out + n, size - n, "%s%s %s K %s the limit", n > 0 ? ", " : "",
                 label->nearest_part, ow_fixed(fabs(worst->nearest_k), 1, margin),
                 worst->nearest_k < 0.0 ? "past" : "above");
    }
}

static void draw_title(FILE *file, const ow_plot_label *label, const char *account, double top)
{
    fprintf(file, "<text x=\"%d\" y=\"%g\"><tspan class=\"id\">", LEFT, top + TITLE_DROP);
    ow_svg_text(file, label->name != NULL ? label->name : label->id);
    fputs("</tspan>", file);
    if (label->taxon != NULL) {
        fputs(" <tspan class=\"faint\" font-style=\"italic\">", file);
        ow_svg_text(file, label->taxon);
        fputs("</tspan>", file);
    }
    fputs("</text>\n", file);
    text_at(file, "faint", LEFT + WIDTH, top + TITLE_DROP, "end", account);
}

static void draw_strip(FILE *file, const ow_plot_plant *plant, const ow_plot_label *label,
                       double top)
{
    char account[200];
    struct strip strip;
    struct scale scale = scale_of(plant);
    fill_strip(&strip, plant, &scale, top);
    put_account(label, account, sizeof account);
    fputs("<g role=\"group\">\n<title>", file);
    ow_svg_text(file, label->id);
    fputs(": ", file);
    ow_svg_text(file, account);
    fputs("</title>\n", file);
    draw_title(file, label, account, top);
    draw_axes(file, &scale, top);
    ow_svg_band(file, "ball", strip.x, strip.warmest, strip.coldest, strip.n);
    ow_svg_line(file, "mean", strip.x, strip.mean, strip.n);
    ow_svg_line(file, "leaf", strip.x, strip.leaf, strip.n);
    ow_svg_line(file, "limit", strip.x, strip.limit, strip.n);
    ow_svg_band(file, "ice", strip.x, strip.ice, strip.ice_base, strip.n);
    draw_turns(file, plant, top);
    fputs("</g>\n", file);
}

/* The least of some handy steps that leaves the dates room. */
static int64_t date_step_s(int64_t span_s)
{
    static const int64_t hours[] = {1, 3, 6, 12, 24, 48, 168, 336, 672, 1344, 2688};
    const int64_t most_labels = WIDTH / 64;
    size_t i = 0;
    while (i + 1 < sizeof hours / sizeof hours[0] &&
           span_s / (hours[i] * OW_HOUR_S) > most_labels) {
        i++;
    }
    return hours[i] * OW_HOUR_S;
}

/* Lines and labels at round local times; their step is found in local time, so that they stay at
 * midnight when the clocks change. */
static void draw_dates(FILE *file, const ow_plot_data *data, double end)
{
    int64_t span_s = data->until_s > data->from_s ? data->until_s - data->from_s : 1;
    int64_t step_s = date_step_s(span_s);
    int64_t local_s = data->from_s + ow_local_offset_s(NULL, data->from_s);
    local_s += (step_s - local_s % step_s) % step_s;
    for (int i = 0; i <= 2 * WIDTH / 64; i++, local_s += step_s) {
        char text[OW_LOCAL_TEXT];
        int64_t utc_s = local_s - ow_local_offset_s(NULL, local_s);
        utc_s = local_s - ow_local_offset_s(NULL, utc_s);
        if (utc_s > data->until_s) {
            return;
        }
        double x = floor(column_x(0) + (double)(utc_s - data->from_s) / (double)span_s *
                                           (OW_PLOT_COLUMNS - 1) * COLUMN_WIDTH);
        fprintf(file, "<path class=\"day\" d=\"M%g.5 %dV%g\"/>\n", x, HEAD - 6, end);
        step_s < OW_DAY_S ? ow_local_short(utc_s, text) : ow_local_day(utc_s, text);
        text_at(file, "small faint", x, HEAD - 10, "middle", text);
        text_at(file, "small faint", x, end + 12, "middle", text);
    }
}

static void draw_legend(FILE *file)
{
    const int y = 48;
    static const struct {
        const char *style, *shape, *text;
        int x;
    } entry[] = {
        {"ball", "h26v-9h-26z", "root ball, coldest to warmest", 0},
        {"mean", "m0 -4h26", "its mean", 198},
        {"leaf", "m0 -4h26", "foliage", 288},
        {"limit", "m0 -4h26", "limit of the part nearest to it", 374},
        {"ice", "h26v-9h-26z", "share of ice", 578},
    };
    for (size_t i = 0; i < sizeof entry / sizeof entry[0]; i++) {
        fprintf(file, "<path class=\"%s\" d=\"M%d %d%s\"/>\n", entry[i].style, LEFT + entry[i].x, y,
                entry[i].shape);
        text_at(file, "", LEFT + entry[i].x + 31, y, "start", entry[i].text);
    }
}

static void draw_head(FILE *file, const char *garden, const ow_plot_data *data, int strips,
                      int height)
{
    char from[OW_LOCAL_TEXT], until[OW_LOCAL_TEXT], text[256];
    snprintf(text, sizeof text, "%.100s, %s to %s", garden, ow_local_long(data->from_s, from),
             ow_local_long(data->until_s, until));
    fprintf(file,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" "
            "viewBox=\"0 0 %d %d\" role=\"img\" aria-labelledby=\"what how\">\n<title id=\"what\">",
            TOTAL_WIDTH, height, TOTAL_WIDTH, height);
    ow_svg_text(file, text);
    fputs("</title>\n<desc id=\"how\">For each plant a strip over time: the root ball from its "
          "coldest to its warmest place with its mean, the foliage, the limit of the part nearest "
          "to it, the share of ice, and each change of state with its word.</desc>\n",
          file);
    fputs(style_sheet, file);
    fprintf(file, "<rect class=\"paper\" width=\"%d\" height=\"%d\"/>\n", TOTAL_WIDTH, height);
    text_at(file, "big", LEFT, 24, "start", text);
    draw_legend(file);
    if (data->plants > strips) {
        snprintf(text, sizeof text, "The %d plants that came nearest to a limit, of %d.", strips,
                 data->plants);
        text_at(file, "faint", LEFT, 66, "start", text);
    }
}

/* How many plants came nearer to a limit than this one; equals keep the garden's order. */
static int rank_of(const ow_plot_label *label, int plants, int which)
{
    int rank = 0;
    double own = isnan(label[which].worst.nearest_k) ? INFINITY : label[which].worst.nearest_k;
    for (int i = 0; i < plants; i++) {
        double other = isnan(label[i].worst.nearest_k) ? INFINITY : label[i].worst.nearest_k;
        rank += other < own || (other == own && i < which) ? 1 : 0;
    }
    return rank;
}

void ow_plot_draw(FILE *file, const char *garden, const ow_plot_data *data,
                  const ow_plot_label *label)
{
    int strips = data->plants < OW_PLOT_STRIPS ? data->plants : OW_PLOT_STRIPS;
    int end = HEAD + strips * STRIP;
    int drawn = 0;
    draw_head(file, garden, data, strips, end + FOOT);
    draw_dates(file, data, end);
    for (int i = 0; i < data->plants && drawn < strips; i++) {
        if (rank_of(label, data->plants, i) < strips) {
            draw_strip(file, &data->plant[i], &label[i], HEAD + drawn++ * STRIP);
        }
    }
    fputs("</svg>\n", file);
}
