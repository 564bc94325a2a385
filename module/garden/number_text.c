/* SPDX-License-Identifier: MIT */
#include "garden/number_text.h"

#include <math.h>
#include <string.h>

/* cJSON cuts a longer number short without a word. */
#define NUMBER_SIZE_MAX 63

static size_t digits(const char *text, size_t size, size_t at)
{
    size_t from = at;
    while (at < size && text[at] >= '0' && text[at] <= '9') {
        at++;
    }
    return at - from;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

/* Is it a number from end to end, its digits beginning at `at`? */
static bool is_number(const char *text, size_t size, size_t at)
{
    size_t n = digits(text, size, at);
    at += n;
    if (n > 0 && at < size && text[at] == '.') {
        n = digits(text, size, ++at);
        at += n;
    }
    if (n > 0 && at < size && (text[at] == 'e' || text[at] == 'E')) {
        at++;
        at += at < size && (text[at] == '+' || text[at] == '-') ? 1 : 0;
        n = digits(text, size, at);
        at += n;
    }
    return n > 0 && at == size;
}

bool ow_number_read(const char *text, size_t size, double *number)
{
    char clean[NUMBER_SIZE_MAX + 2];
    size_t at = 0, used = 0;
    while (size > 0 && is_blank(text[size - 1])) {
        size--;
    }
    while (at < size && is_blank(text[at])) {
        at++;
    }
    text += at;
    size -= at;
    if (size == 0 || size > NUMBER_SIZE_MAX) {
        return false;
    }
    at = text[0] == '+' || text[0] == '-' ? 1 : 0;
    if (!is_number(text, size, at)) {
        return false;
    }
    while (at + 1 < size && text[at] == '0' && digits(text, size, at + 1) > 0) {
        at++; /* JSON, which does the rest, knows no leading zeros */
    }
    if (text[0] == '-') {
        clean[used++] = '-';
    }
    memcpy(clean + used, text + at, size - at);
    used += size - at;
    cJSON *value = cJSON_ParseWithLength(clean, used); /* reads a point in every locale */
    bool good = cJSON_IsNumber(value) && isfinite(value->valuedouble);
    if (good) {
        *number = value->valuedouble;
    }
    cJSON_Delete(value);
    return good;
}

bool ow_json_number(const cJSON *value, double *number)
{
    if (cJSON_IsString(value)) {
        return ow_number_read(value->valuestring, strlen(value->valuestring), number);
    }
    if (!cJSON_IsNumber(value) || !isfinite(value->valuedouble)) {
        return false;
    }
    *number = value->valuedouble;
    return true;
}
