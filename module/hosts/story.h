/* SPDX-License-Identifier: MIT */
/* The events of a rehearsal told briefly, for people. */
#ifndef OVERWINTER_HOSTS_STORY_H
#define OVERWINTER_HOSTS_STORY_H

#include <stdio.h>

#include "hosts/event_log.h"

/*
 * Tells the events in at most `most_lines` lines of 80 columns, times local. Like events of an
 * hour stand together with the reason of the first. Where that is too long, those of a day do,
 * then only the first of a kind has its reason, then jobs and then all but states that ask for
 * something are left to events.csv; at last what is left out is counted.
 */
void ow_story_tell(FILE *file, const ow_event_log *log, int most_lines);

#endif
