/* SPDX-License-Identifier: MIT */
#include "judgement/page.h"

#include <string.h>

int ow_columns_of(const char *text, size_t size)
{
    int columns = 0;
    for (size_t i = 0; i < size; i++) {
        columns += ((unsigned char)text[i] & 0xC0) != 0x80 ? 1 : 0;
    }
    return columns;
}

/* How much of a text goes on a line: up to the last blank that fits, or all of a long word. */
static size_t fitting(const char *text, int columns)
{
    size_t fits = strcspn(text, " ");
    while (text[fits] != '\0') {
        size_t next = fits + 1 + strcspn(text + fits + 1, " ");
        if (ow_columns_of(text, next) > columns) {
            break;
        }
        fits = next;
    }
    return fits;
}

void ow_page_say(ow_report *report, int first, int rest, const char *text)
{
    int indent = first;
    while (*text != '\0') {
        size_t size = fitting(text, OW_PAGE_COLUMNS - indent);
        ow_say(report, "%*s%.*s", indent, "", (int)size, text);
        text += size + strspn(text + size, " ");
        indent = rest;
    }
}

const char *ow_plural(int n)
{
    return n == 1 ? "" : "s";
}
