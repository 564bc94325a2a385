/* SPDX-License-Identifier: MIT */
/* Text that flows into lines of 80 columns. */
#ifndef OVERWINTER_HOSTS_FLOW_H
#define OVERWINTER_HOSTS_FLOW_H

#include <stdio.h>

enum { OW_FLOW_WIDTH = 80 };

typedef struct ow_flow {
    FILE *file; /* NULL: the lines are only counted */
    int indent; /* of the lines that follow the first */
    int column, lines;
} ow_flow;

/* Columns that a text takes: its characters, of UTF-8. */
int ow_flow_columns(const char *text);

/* Text as it stands, control characters blanked, then blanks up to `width` columns. */
void ow_flow_put(ow_flow *flow, const char *text, int width);

/* Words, each after a blank or on a new line where the present one is full. */
void ow_flow_words(ow_flow *flow, const char *text);

/* Ends the line. */
void ow_flow_end(ow_flow *flow);

#endif
