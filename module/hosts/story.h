/* SPDX-License-Identifier: MIT */
/* The events of a rehearsal told briefly, for people. */
#ifndef OVERWINTER_HOSTS_STORY_H
#define OVERWINTER_HOSTS_STORY_H

#include <stdio.h>

#include "hosts/event_log.h"

/*
 * Tells the events in at most `most_lines` lines of 80 columns (a sentence that has begun is ended),
 * times local. Like events of an hour stand together with the reason of the first. Where that is
 * too long, those of a day do, then only the first of a kind has its reason, then jobs are left to
 * events.csv, and then all but the first time that a plant comes to a state. The last line counts
 * the rows of events.csv that were not told.
 */
void ow_story_tell(FILE *file, const ow_event_log *log, int most_lines);

#endif
