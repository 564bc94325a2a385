/* SPDX-License-Identifier: MIT */
/*
 * The watch list: limits that a plant has passed, each with the day on which what lived can show
 * (plants/lookback.h). A person is asked once for the whole plant, on the day of the harm that
 * takes longest to show among those that weigh most, and until then the plant is left alone.
 */
#ifndef OVERWINTER_JUDGEMENT_WATCH_LIST_H
#define OVERWINTER_JUDGEMENT_WATCH_LIST_H

#include "garden/condition.h"
#include "judgement/course.h"

typedef struct ow_watch_item {
    ow_part part;
    bool killed; /* past killed_c, not only damaged_c */
    double lowest_c;
    ow_utc_s lowest_s;
    double damaged_c, killed_c; /* the limit of the hardened plant */
    ow_utc_s look_s;            /* when to look again */
} ow_watch_item;

/* The limits passed, in the order of the parts; returns how many. */
int ow_watch_list(const ow_condition *condition, const ow_tolerance *stands, double latitude_deg,
                  ow_watch_item item[OW_PARTS]);

/* Which of n items decides when to look; -1 for none. */
int ow_watch_decides(const ow_watch_item *item, int n);

/* When to look at the plant again; OW_NEVER: no limit was passed. */
ow_utc_s ow_watch_look_s(const ow_condition *condition, const ow_tolerance *stands,
                         double latitude_deg);

/* A person's answer to one item in few words, such as "dead; growing point -9.1 C (limits -6.0,
 * -8.0 C)"; the brackets hold damaged_c and killed_c. */
enum { OW_ANSWER_TEXT = 80 };
void ow_watch_answer(const ow_watch_item *item, const char *word, char text[OW_ANSWER_TEXT]);

#endif
