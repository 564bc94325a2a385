/* SPDX-License-Identifier: MIT */
#include "hosts/csv.h"

#include <string.h>

void ow_csv_start(ow_csv *csv, const char *text, size_t size)
{
    bool has_mark = size >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0;
    *csv = (ow_csv){.text = text, .size = size, .next = has_mark ? 3 : 0, .line_done = true};
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

static bool next_line(ow_csv *csv)
{
    if (csv->next >= csv->size) {
        return false;
    }
    const char *feed = memchr(csv->text + csv->next, '\n', csv->size - csv->next);
    csv->at = csv->next;
    csv->line_end = feed == NULL ? csv->size : (size_t)(feed - csv->text);
    csv->next = feed == NULL ? csv->size : csv->line_end + 1;
    if (csv->line_end > csv->at && csv->text[csv->line_end - 1] == '\r') {
        csv->line_end--;
    }
    csv->line_done = false;
    return true;
}

static bool line_is_blank(const ow_csv *csv)
{
    for (size_t at = csv->at; at < csv->line_end; at++) {
        if (!is_blank(csv->text[at])) {
            return false;
        }
    }
    return true;
}

bool ow_csv_line(ow_csv *csv)
{
    while (next_line(csv)) {
        if (!line_is_blank(csv)) {
            return true;
        }
    }
    return false;
}

static void put(ow_csv_field *field, size_t *length, char c)
{
    if (*length + 1 < sizeof field->text) {
        field->text[(*length)++] = c == '\0' ? '?' : c;
    }
}

/* From behind the opening quote to behind the closing one; a doubled quote stands for itself. */
static void quoted(ow_csv *csv, ow_csv_field *field, size_t *length)
{
    while (csv->at < csv->line_end) {
        char c = csv->text[csv->at++];
        if (c == '"' && (csv->at >= csv->line_end || csv->text[csv->at] != '"')) {
            return;
        }
        csv->at += c == '"' ? 1 : 0;
        put(field, length, c);
    }
    field->unclosed = true;
}

bool ow_csv_field_next(ow_csv *csv, ow_csv_field *field)
{
    size_t length = 0;
    if (csv->line_done) {
        return false;
    }
    while (csv->at < csv->line_end && is_blank(csv->text[csv->at])) {
        csv->at++;
    }
    *field = (ow_csv_field){.at = csv->at};
    if (csv->at < csv->line_end && csv->text[csv->at] == '"') {
        csv->at++;
        quoted(csv, field, &length);
    }
    while (csv->at < csv->line_end && csv->text[csv->at] != ',') {
        char c = csv->text[csv->at++];
        field->unclosed = field->unclosed || c == '"';
        put(field, &length, c);
    }
    while (length > 0 && is_blank(field->text[length - 1])) {
        length--;
    }
    field->text[length] = '\0';
    csv->line_done = csv->at >= csv->line_end;
    csv->at += csv->line_done ? 0 : 1;
    return true;
}

bool ow_csv_is_number(const char *text)
{
    const char *at = text + (*text == '+' || *text == '-' ? 1 : 0);
    size_t whole = strspn(at, "0123456789");
    at += whole;
    size_t decimals = *at == '.' ? strspn(at + 1, "0123456789") : 0;
    at += *at == '.' ? 1 + decimals : 0;
    if (whole + decimals == 0) {
        return false;
    }
    if (*at == 'e' || *at == 'E') {
        at++;
        at += *at == '+' || *at == '-' ? 1 : 0;
        size_t exponent = strspn(at, "0123456789");
        at += exponent;
        if (exponent == 0) {
            return false;
        }
    }
    return *at == '\0';
}
