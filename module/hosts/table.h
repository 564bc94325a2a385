/* SPDX-License-Identifier: MIT */
/* What a rehearsal prints for people: plain text of 80 columns. */
#ifndef OVERWINTER_HOSTS_TABLE_H
#define OVERWINTER_HOSTS_TABLE_H

#include <stdio.h>

#include "hosts/worst.h"
#include "overwinter.h"

/* One line for each plant: what it first asked and by when, its state now, and its worst. worst[i]
 * is of plant i. */
void ow_table_plants(FILE *file, const ow_module *module, const ow_engine *engine,
                     const ow_worst *worst);

/* How much it matters that the sky was not measured, in a sentence or two. */
void ow_table_sky(FILE *file, const ow_module *module, const ow_engine *engine);

/* What the heaters would have used; nothing when there is none. */
void ow_table_heaters(FILE *file, const ow_module *module, const ow_engine *engine);

#endif
