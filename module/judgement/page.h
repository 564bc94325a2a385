/* SPDX-License-Identifier: MIT */
/* Advice in lines of at most 80 columns, the way a terminal or a sheet of paper takes it. */
#ifndef OVERWINTER_JUDGEMENT_PAGE_H
#define OVERWINTER_JUDGEMENT_PAGE_H

#include "status.h"

enum { OW_PAGE_COLUMNS = 80, OW_PAGE_TEXT = 1024 };

/* Says a text, broken at blanks: the first line `first` columns in and the others `rest`. */
void ow_page_say(ow_report *report, int first, int rest, const char *text);

/* "s" for any number but one. */
const char *ow_plural(int n);

#endif
