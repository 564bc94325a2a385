/* SPDX-License-Identifier: MIT */
#include "hosts/flow.h"

#include <stddef.h>
#include <string.h>

#include "judgement/page.h"

int ow_flow_columns(const char *text)
{
    return ow_columns_of(text, strlen(text));
}

static void put(ow_flow *flow, const char *text, size_t size)
{
    for (size_t i = 0; i < size && flow->file != NULL; i++) {
        fputc((unsigned char)text[i] < 0x20 || text[i] == 0x7F ? ' ' : text[i], flow->file);
    }
    flow->column += ow_columns_of(text, size);
}

void ow_flow_put(ow_flow *flow, const char *text, int width)
{
    put(flow, text, strlen(text));
    for (int i = ow_flow_columns(text); i < width; i++) {
        put(flow, " ", 1);
    }
}

void ow_flow_end(ow_flow *flow)
{
    if (flow->file != NULL) {
        fputc('\n', flow->file);
    }
    flow->column = 0;
    flow->lines++;
}

/* A word longer than a line is broken where the line is full, never within a character. */
static void put_hard(ow_flow *flow, const char *word, size_t size)
{
    while (flow->column + ow_columns_of(word, size) > OW_FLOW_WIDTH) {
        size_t fits = 0;
        int room = OW_FLOW_WIDTH - flow->column;
        while (ow_columns_of(word, fits + 1) <= room) {
            fits++;
        }
        put(flow, word, fits);
        ow_flow_end(flow);
        ow_flow_put(flow, "", flow->indent);
        word += fits;
        size -= fits;
    }
    put(flow, word, size);
}

static void put_word(ow_flow *flow, const char *word, size_t size)
{
    int blank = flow->column > flow->indent ? 1 : 0;
    if (blank && flow->column + 1 + ow_columns_of(word, size) > OW_FLOW_WIDTH) {
        ow_flow_end(flow);
        blank = 0;
    }
    while (flow->column < flow->indent) {
        put(flow, " ", 1);
    }
    put(flow, " ", (size_t)blank);
    put_hard(flow, word, size);
}

void ow_flow_words(ow_flow *flow, const char *text)
{
    while (*(text += strspn(text, " ")) != '\0') {
        size_t size = strcspn(text, " ");
        put_word(flow, text, size);
        text += size;
    }
}
