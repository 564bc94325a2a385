/* SPDX-License-Identifier: MIT */
#include "garden/json_text.h"

#include <string.h>

size_t ow_code_point_size(const unsigned char *s, size_t left)
{
    static const struct {
        unsigned char first_low, first_high, second_low, second_high, size;
    } form[] = {
        {0x00, 0x7F, 0x00, 0x00, 1}, {0xC2, 0xDF, 0x80, 0xBF, 2}, {0xE0, 0xE0, 0xA0, 0xBF, 3},
        {0xE1, 0xEC, 0x80, 0xBF, 3}, {0xED, 0xED, 0x80, 0x9F, 3}, {0xEE, 0xEF, 0x80, 0xBF, 3},
        {0xF0, 0xF0, 0x90, 0xBF, 4}, {0xF1, 0xF3, 0x80, 0xBF, 4}, {0xF4, 0xF4, 0x80, 0x8F, 4},
    };
    for (size_t i = 0; i < sizeof form / sizeof form[0]; i++) {
        if (s[0] < form[i].first_low || s[0] > form[i].first_high) {
            continue;
        }
        if (form[i].size > left) {
            return 0;
        }
        for (size_t k = 1; k < form[i].size; k++) {
            unsigned char low = k == 1 ? form[i].second_low : 0x80;
            unsigned char high = k == 1 ? form[i].second_high : 0xBF;
            if (s[k] < low || s[k] > high) {
                return 0;
            }
        }
        return form[i].size;
    }
    return 0;
}

size_t ow_utf8_size(const char *text, size_t size)
{
    size_t at = 0, step = 1;
    while (at < size && step > 0) {
        step = ow_code_point_size((const unsigned char *)text + at, size - at);
        at += step;
    }
    return at;
}

void ow_utf8_mend(char *text)
{
    text[ow_utf8_size(text, strlen(text))] = '\0';
}

bool ow_check_utf8(const char *text, size_t size, ow_faults *faults)
{
    size_t at = ow_utf8_size(text, size);
    if (at < size) {
        ow_fault_add(faults, at, "the byte 0x%02X is not UTF-8 here; save the file as UTF-8",
                     (unsigned)(unsigned char)text[at]);
    }
    return at == size;
}

/* One past the text in quotes that begins at `at`; stops at a line's end, where none may pass. */
static size_t skip_quoted(const char *text, size_t size, size_t at)
{
    for (at++; at < size && text[at] != '\n'; at++) {
        if (text[at] == '"') {
            return at + 1;
        }
        if (text[at] == '\\' && at + 1 < size && text[at + 1] != '\n') {
            at++;
        }
    }
    return at;
}

/* One past the comment at `at`; `size` + 1 when a block comment has no end. */
static size_t skip_comment(const char *text, size_t size, size_t at)
{
    bool block = text[at + 1] == '*';
    for (at += 2; at < size; at++) {
        if (!block && text[at] == '\n') {
            return at;
        }
        if (block && text[at] == '*' && at + 1 < size && text[at + 1] == '/') {
            return at + 2;
        }
    }
    return block ? size + 1 : size;
}

bool ow_blank_comments(char *text, size_t size, ow_faults *faults)
{
    size_t at = 0;
    if (size >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        memset(text, ' ', 3);
    }
    while (at < size) {
        size_t from = at;
        if (text[at] == '"') {
            at = skip_quoted(text, size, at);
            continue;
        }
        if (text[at] != '/' || at + 1 == size || (text[at + 1] != '/' && text[at + 1] != '*')) {
            at++;
            continue;
        }
        at = skip_comment(text, size, at);
        if (at > size) {
            ow_fault_add(faults, from, "this comment has no end; close it with */");
            return false;
        }
        for (; from < at; from++) {
            text[from] = text[from] == '\n' ? '\n' : ' ';
        }
    }
    return true;
}
