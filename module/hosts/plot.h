/* SPDX-License-Identifier: MIT */
/* ahead.svg: a strip for each plant, its root ball, foliage, limit, ice and states over time. */
#ifndef OVERWINTER_HOSTS_PLOT_H
#define OVERWINTER_HOSTS_PLOT_H

#include <stdio.h>

#include "hosts/plot_data.h"
#include "hosts/worst.h"

/* Plants drawn at most: those that came nearest to a limit. */
enum { OW_PLOT_STRIPS = 20 };

/* What is written beside a strip. Texts are of the caller. */
typedef struct ow_plot_label {
    const char *id, *name, *taxon; /* name and taxon may be NULL */
    const char *nearest_part;      /* NULL: no part has a limit */
    ow_worst worst;
} ow_plot_label;

/*
 * Draws the plot of what was collected; label[i] is of data->plant[i]. Whether everything could
 * be written shows when the file is closed.
 */
void ow_plot_draw(FILE *file, const char *garden, const ow_plot_data *data,
                  const ow_plot_label *label);

#endif
