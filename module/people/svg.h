/* SPDX-License-Identifier: MIT */
/* The few shapes of SVG that plot and tile are made of. Coordinates are in pixels, NAN is a gap. */
#ifndef OVERWINTER_PEOPLE_SVG_H
#define OVERWINTER_PEOPLE_SVG_H

#include <stdio.h>

/* Writes text with what XML and HTML cannot hold escaped or, for control characters, replaced. */
void ow_svg_text(FILE *file, const char *text);

/* The same, at most `most` characters (code points of UTF-8), the last one an ellipsis if it is
 * cut. */
void ow_svg_text_cut(FILE *file, const char *text, int most);

/* Writes text for an attribute between single quotes: JSON stays short so. */
void ow_svg_attribute(FILE *file, const char *text);

/*
 * Writes a format in which each '#' stands for a number (a double), to tenths and as short as a
 * path allows: ow_svg_put(file, "M##h#", 1.0, -2.5, 3.25) writes M1-2.5h3.3.
 */
void ow_svg_put(FILE *file, const char *format, ...);

/* A line through n points; points within a level stretch are left out. */
void ow_svg_line(FILE *file, const char *style, const double *x, const double *y, int n);

/* The area between two lines. */
void ow_svg_band(FILE *file, const char *style, const double *x, const double *upper,
                 const double *lower, int n);

#endif
