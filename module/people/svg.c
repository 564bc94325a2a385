/* SPDX-License-Identifier: MIT */
#include "people/svg.h"

#include <math.h>
#include <stdarg.h>
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

static void put_char(FILE *file, char c)
{
    const char *escape = escaped(c);
    if (escape != NULL) {
        fputs(escape, file);
    } else {
        fputc((unsigned char)c < 0x20 || c == 0x7F ? ' ' : c, file);
    }
}

void ow_svg_text(FILE *file, const char *text)
{
    for (; *text != '\0'; text++) {
        put_char(file, *text);
    }
}

void ow_svg_attribute(FILE *file, const char *text)
{
    for (; *text != '\0'; text++) {
        if (*text == '"') {
            fputc('"', file);
        } else if (*text == '\'') {
            fputs("&#39;", file);
        } else {
            put_char(file, *text);
        }
    }
}

/* Bytes that go on with a character of UTF-8 begin with the bits 10. */
static bool begins_character(char c)
{
    return ((unsigned char)c & 0xC0u) != 0x80u;
}

void ow_svg_text_cut(FILE *file, const char *text, int most)
{
    int length = 0, at = 0;
    for (const char *c = text; *c != '\0'; c++) {
        length += begins_character(*c);
    }
    for (; *text != '\0'; text++) {
        at += begins_character(*text);
        if (length > most && at >= most) {
            fputs("\xE2\x80\xA6", file);
            return;
        }
        put_char(file, *text);
    }
}

/* Tenths of a pixel are as fine as anyone sees; equal ones are level. */
static double tenth(double value)
{
    return floor(value * 10.0 + 0.5) / 10.0 + 0.0;
}

void ow_svg_put(FILE *file, const char *format, ...)
{
    bool after_number = false;
    va_list args;
    va_start(args, format);
    for (; *format != '\0'; format++) {
        if (*format != '#') {
            fputc(*format, file);
            after_number = false;
            continue;
        }
        double value = tenth(va_arg(args, double));
        fprintf(file, after_number && !(value < 0.0) ? " %g" : "%g", value);
        after_number = true;
    }
    va_end(args);
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
