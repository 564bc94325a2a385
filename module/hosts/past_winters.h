/* SPDX-License-Identifier: MIT */
/* What past winters showed: answers in the season log, beside the limits that were used. */
#ifndef OVERWINTER_HOSTS_PAST_WINTERS_H
#define OVERWINTER_HOSTS_PAST_WINTERS_H

#include <stddef.h>

#include "overwinter.h"

/*
 * Reads the text of a season log (columns time,subject,event,detail) and hands each row whose event
 * is "answered" to `take`, in the order of the file: its time as it stands there (the day only),
 * subject and detail. Rows that cannot be read are passed over. Returns how many were handed over.
 */
int ow_past_winters_read(const char *text, size_t size, void *self,
                         void (*take)(void *self, const char *day, const char *subject,
                                      const char *detail));

/* The same, as lines of a report under a heading, from season.csv of a garden's store. Nothing is
 * said where there is no store, no log or no answer. */
void ow_past_winters_tell(const ow_module *module, const ow_engine *engine, ow_report *report);

#endif
