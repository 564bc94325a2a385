/* SPDX-License-Identifier: MIT */
/*
 * What the plot shows of each plant, thinned while it comes in: the span has a fixed number of
 * columns, each of which keeps the extremes of what fell into it.
 */
#ifndef OVERWINTER_HOSTS_PLOT_DATA_H
#define OVERWINTER_HOSTS_PLOT_DATA_H

#include <stdbool.h>

#include "overwinter.h"

enum { OW_PLOT_COLUMNS = 360, OW_PLOT_TURNS = 64 };

typedef struct ow_plot_column {
    bool used;
    double coldest_c, warmest_c, mean_c; /* of the root ball */
    double foliage_c;                    /* coldest */
    double limit_c;                      /* damaged_c of the part nearest its limit */
    double ice_share;                    /* greatest */
} ow_plot_column;

/* A change of state. */
typedef struct ow_plot_turn {
    int column;
    char state[24];
} ow_plot_turn;

typedef struct ow_plot_plant {
    ow_plot_column column[OW_PLOT_COLUMNS];
    ow_plot_turn turn[OW_PLOT_TURNS]; /* later ones are left out */
    int turns;
    char state[24]; /* the last one seen */
} ow_plot_plant;

typedef struct ow_plot_data {
    int64_t from_s, until_s;
    int plants;
    ow_plot_plant *plant;
} ow_plot_data;

/* Room for a span and so many plants; OW_NO_MEMORY. */
OW_CHECK ow_status ow_plot_data_open(ow_plot_data *data, int plants, int64_t from_s,
                                     int64_t until_s);

/* Takes in the view of one plant at a time within the span. */
void ow_plot_data_note(ow_plot_data *data, int plant, int64_t now_s, const ow_plant_view *view);

void ow_plot_data_close(ow_plot_data *data);

#endif
