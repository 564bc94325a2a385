/* SPDX-License-Identifier: MIT */
/* Advice in lines of at most 80 columns, the way a terminal or a sheet of paper takes it. */
#ifndef OVERWINTER_JUDGEMENT_PAGE_H
#define OVERWINTER_JUDGEMENT_PAGE_H

#include "status.h"

#include <stddef.h>

enum { OW_PAGE_COLUMNS = 80, OW_PAGE_TEXT = 1024 };

/* Columns of `size` bytes of UTF-8: one a character. */
int ow_columns_of(const char *text, size_t size);

/* Says a text, broken at blanks: the first line `first` columns in and the others `rest`. */
void ow_page_say(ow_report *report, int first, int rest, const char *text);

/* "s" for any number but one. */
const char *ow_plural(int n);

#endif
