/* SPDX-License-Identifier: MIT */
#include "hosts/svg.h"

#include <math.h>
#include <stdbool.h>

static const char *escaped(char c)
{
    switch (c) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    default:
        return NULL;
    }
}

void ow_svg_text(FILE *file, const char *text)
{
    for (; *text != '\0'; text++) {
        const char *escape = escaped(*text);
        if (escape != NULL) {
            fputs(escape, file);
        } else {
            fputc((unsigned char)*text < 0x20 || *text == 0x7F ? ' ' : *text, file);
        }
    }
}

/* Tenths of a pixel are as fine as anyone sees; equal ones are level. */
static double tenth(double value)
{
    return floor(value * 10.0 + 0.5) / 10.0 + 0.0;
}

static bool is_gap(double y)
{
    return !isfinite(y);
}

static void point(FILE *file, char how, double x, double y)
{
    fprintf(file, "%c%g %g", how, tenth(x), tenth(y));
}

/* Points from `begin`, step by step towards `end` (not included), as lines on from the first. */
static void run(FILE *file, char how, const double *x, const double *y, int begin, int end)
{
    int step = begin < end ? 1 : -1;
    for (int i = begin; i != end; i += step) {
        bool inside = i != begin && i + step != end;
        if (!inside || tenth(y[i]) != tenth(y[i - step]) || tenth(y[i]) != tenth(y[i + step])) {
            point(file, how, x[i], y[i]);
        }
        how = 'L';
    }
}

/* The first index from `from` on without a gap in either line; *end is the next gap or n. */
static int next_run(const double *a, const double *b, int from, int n, int *end)
{
    while (from < n && (is_gap(a[from]) || is_gap(b[from]))) {
        from++;
    }
    *end = from;
    while (*end < n && !is_gap(a[*end]) && !is_gap(b[*end])) {
        ++*end;
    }
    return from;
}

void ow_svg_line(FILE *file, const char *style, const double *x, const double *y, int n)
{
    int end = 0;
    fprintf(file, "<path class=\"%s\" d=\"", style);
    for (int begin = next_run(y, y, 0, n, &end); begin < n; begin = next_run(y, y, end, n, &end)) {
        run(file, 'M', x, y, begin, end);
    }
    fputs("\"/>\n", file);
}

void ow_svg_band(FILE *file, const char *style, const double *x, const double *upper,
                 const double *lower, int n)
{
    int end = 0;
    fprintf(file, "<path class=\"%s\" d=\"", style);
    for (int begin = next_run(upper, lower, 0, n, &end); begin < n;
         begin = next_run(upper, lower, end, n, &end)) {
        run(file, 'M', x, upper, begin, end);
        run(file, 'L', x, lower, end - 1, begin - 1);
        fputc('Z', file);
    }
    fputs("\"/>\n", file);
}
