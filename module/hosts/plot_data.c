/* SPDX-License-Identifier: MIT */
#include "hosts/plot_data.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

ow_status ow_plot_data_open(ow_plot_data *data, int plants, int64_t from_s, int64_t until_s)
{
    ow_plot_plant *plant = calloc((size_t)plants + 1, sizeof *plant);
    if (plant == NULL) {
        return OW_NO_MEMORY;
    }
    *data = (ow_plot_data){from_s, until_s, plants, plant};
    return OW_OK;
}

static int column_at(const ow_plot_data *data, int64_t now_s)
{
    int64_t span_s = data->until_s > data->from_s ? data->until_s - data->from_s : 1;
    int64_t column = (now_s - data->from_s) * (OW_PLOT_COLUMNS - 1) / span_s;
    return column < 0 ? 0 : column >= OW_PLOT_COLUMNS ? OW_PLOT_COLUMNS - 1 : (int)column;
}

static void note_turn(ow_plot_plant *plant, int column, const char *state)
{
    if (strcmp(plant->state, state) == 0) {
        return;
    }
    snprintf(plant->state, sizeof plant->state, "%s", state);
    if (plant->turns < OW_PLOT_TURNS) {
        ow_plot_turn *turn = &plant->turn[plant->turns++];
        turn->column = column;
        memcpy(turn->state, plant->state, sizeof turn->state);
    }
}

void ow_plot_data_note(ow_plot_data *data, int plant, int64_t now_s, const ow_plant_view *view)
{
    int at = column_at(data, now_s);
    ow_plot_column *column = &data->plant[plant].column[at];
    if (!column->used) {
        *column = (ow_plot_column){true, NAN, NAN, NAN, NAN, NAN, NAN};
    }
    column->coldest_c = fmin(column->coldest_c, view->root_coldest_c);
    column->warmest_c = fmax(column->warmest_c, view->root_warmest_c);
    column->mean_c = view->root_mean_c;
    column->foliage_c = fmin(column->foliage_c, view->foliage_c);
    column->limit_c = view->nearest_part < 0 ? NAN : view->part[view->nearest_part].damaged_c;
    column->ice_share = fmax(column->ice_share, view->ice_share);
    note_turn(&data->plant[plant], at, view->state);
}

void ow_plot_data_close(ow_plot_data *data)
{
    free(data->plant);
    *data = (ow_plot_data){0};
}
