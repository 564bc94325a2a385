/* SPDX-License-Identifier: MIT */
/* A report's lines, kept to be compared. */
#ifndef OVERWINTER_TESTS_JUDGEMENT_PAGE_LINES_H
#define OVERWINTER_TESTS_JUDGEMENT_PAGE_LINES_H

#include <stdio.h>
#include <string.h>

enum { LINES = 128, LINE = 400 };

typedef struct page {
    char line[LINES][LINE];
    int n;
} page;

/* A say of an ow_report whose self is a page. */
static inline void page_keep(void *self, const char *text)
{
    page *p = self;
    assert_in_range(p->n, 0, LINES - 1);
    assert_in_range(strlen(text), 0, LINE - 1);
    snprintf(p->line[p->n++], LINE, "%s", text);
}

#endif
