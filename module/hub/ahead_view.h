/* SPDX-License-Identifier: MIT */
/* What an evening asks, for whoever prints it: views of the hours ahead, of jobs and of what was
 * left off. As ow_module in overwinter.h says. */
#ifndef OVERWINTER_HUB_AHEAD_VIEW_H
#define OVERWINTER_HUB_AHEAD_VIEW_H

#include "hub/engine.h"

void ow_view_ahead(const ow_engine *engine, ow_ahead_view *view);
OW_CHECK ow_status ow_view_jobs(const ow_engine *engine, ow_job_view *views, int room, int *count);
bool ow_view_left_off(const ow_engine *engine, int plant, ow_left_view *view);

#endif
