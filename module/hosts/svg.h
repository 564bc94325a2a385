/* SPDX-License-Identifier: MIT */
/* The few shapes of SVG that the plot is made of. Coordinates are in pixels, NAN is a gap. */
#ifndef OVERWINTER_HOSTS_SVG_H
#define OVERWINTER_HOSTS_SVG_H

#include <stdio.h>

/* Writes text with what XML cannot hold escaped or, for control characters, replaced. */
void ow_svg_text(FILE *file, const char *text);

/* A line through n points; points within a level stretch are left out. */
void ow_svg_line(FILE *file, const char *style, const double *x, const double *y, int n);

/* The area between two lines. */
void ow_svg_band(FILE *file, const char *style, const double *x, const double *upper,
                 const double *lower, int n);

#endif
