/* SPDX-License-Identifier: MIT */
/* The door's fit: from rows and an id to what is told, in words and lines of the garden file. */
#ifndef OVERWINTER_HUB_FITTING_H
#define OVERWINTER_HUB_FITTING_H

#include "hub/engine.h"

typedef struct ow_fitting ow_fitting;

/* ow_module.fit. */
OW_CHECK ow_status ow_engine_fit(ow_engine *engine, const char *plant, double depth_m,
                                 const ow_probe_row *rows, size_t n, ow_fit_view *view);

void ow_fitting_free(ow_fitting *fitting);

#endif
