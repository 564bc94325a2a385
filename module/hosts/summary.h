/* SPDX-License-Identifier: MIT */
/* summary.json: what a rehearsal came to. */
#ifndef OVERWINTER_HOSTS_SUMMARY_H
#define OVERWINTER_HOSTS_SUMMARY_H

#include "overwinter.h"

/* The summary from a start to the engine's present time; a text to be freed with free(). */
OW_CHECK ow_status ow_summary_text(const ow_module *module, const ow_engine *engine, int64_t from_s,
                                   char **text);

#endif
