/* SPDX-License-Identifier: MIT */
#include "garden/json_scan.h"

#include "garden/json_text.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* cJSON cuts a longer number short without a word. */
#define NUMBER_SIZE_MAX 63

struct scan {
    ow_json_text is;
    const char *text; /* zero-terminated, comments blanked */
    size_t size, at;
    int depth;
    ow_faults *faults;
    ow_position *item;
    size_t count, capacity;
    bool no_memory;
};

static bool scan_value(struct scan *scan, size_t key_at);

/* Says what was expected and what stands there instead. Always false. */
static bool expected(struct scan *scan, const char *what)
{
    const unsigned char *here = (const unsigned char *)scan->text + scan->at;
    if (scan->at >= scan->size) {
        ow_fault_add(scan->faults, scan->at, "%s is expected here, but the %s ends", what,
                     scan->is == OW_JSON_FILE ? "file" : "payload");
    } else if (*here < 0x20 || *here == 0x7F) {
        ow_fault_add(scan->faults, scan->at, "%s is expected here, not the character 0x%02X", what,
                     (unsigned)*here);
    } else {
        size_t size = ow_code_point_size(here, scan->size - scan->at);
        ow_fault_add(scan->faults, scan->at, "%s is expected here, not %.*s", what, (int)size,
                     (const char *)here);
    }
    return false;
}

static char peek(const struct scan *scan)
{
    return scan->text[scan->at];
}

static void skip_blanks(struct scan *scan)
{
    while (peek(scan) == ' ' || peek(scan) == '\t' || peek(scan) == '\n' || peek(scan) == '\r') {
        scan->at++;
    }
}

static bool note(struct scan *scan, size_t key_at)
{
    if (scan->count == scan->capacity) {
        size_t capacity = scan->capacity == 0 ? 256 : 2 * scan->capacity;
        ow_position *item = realloc(scan->item, capacity * sizeof *item);
        if (item == NULL) {
            scan->no_memory = true;
            return false;
        }
        scan->item = item;
        scan->capacity = capacity;
    }
    scan->item[scan->count++] =
        (ow_position){.value_at = scan->at, .key_at = key_at == SIZE_MAX ? scan->at : key_at};
    return true;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool scan_digits(struct scan *scan, const char *what)
{
    if (!is_digit(peek(scan))) {
        return expected(scan, what);
    }
    while (is_digit(peek(scan))) {
        scan->at++;
    }
    return true;
}

static bool scan_number(struct scan *scan)
{
    size_t from = scan->at;
    scan->at += peek(scan) == '-' ? 1 : 0;
    if (peek(scan) == '0' && is_digit(scan->text[scan->at + 1])) {
        ow_fault_add(scan->faults, from, "a number must not begin with a needless 0");
        return false;
    }
    if (!scan_digits(scan, "a digit")) {
        return false;
    }
    if (peek(scan) == '.') {
        scan->at++;
        if (!scan_digits(scan, "a digit after the point")) {
            return false;
        }
    }
    if (peek(scan) == 'e' || peek(scan) == 'E') {
        scan->at++;
        scan->at += peek(scan) == '+' || peek(scan) == '-' ? 1 : 0;
        if (!scan_digits(scan, "a digit of the exponent")) {
            return false;
        }
    }
    if (scan->at - from > NUMBER_SIZE_MAX) {
        ow_fault_add(scan->faults, from, "this number has %d characters; write at most %d",
                     (int)(scan->at - from), NUMBER_SIZE_MAX);
        return false;
    }
    return true;
}

/* The four hex digits of \uXXXX at `at`; -1 when they are not that. */
static long hex4(const char *text, size_t at)
{
    long value = 0;
    for (size_t i = 0; i < 4; i++) {
        const char *digits = "0123456789abcdef0123456789ABCDEF";
        const char *found = text[at + i] == '\0' ? NULL : strchr(digits, text[at + i]);
        if (found == NULL) {
            return -1;
        }
        value = 16 * value + (found - digits) % 16;
    }
    return value;
}

static bool scan_unicode_escape(struct scan *scan)
{
    size_t from = scan->at;
    long unit = hex4(scan->text, scan->at + 2);
    const char *fault = NULL;
    scan->at += 6;
    if (unit < 0) {
        fault = "\\u needs four hexadecimal digits";
    } else if (unit == 0) {
        fault = "\\u0000 cannot stand in a text";
    } else if (unit >= 0xDC00 && unit <= 0xDFFF) {
        fault = "this is the second half of a surrogate pair without its first";
    } else if (unit >= 0xD800 && unit <= 0xDBFF) {
        long second =
            strncmp(scan->text + scan->at, "\\u", 2) == 0 ? hex4(scan->text, scan->at + 2) : -1;
        scan->at += 6;
        if (second < 0xDC00 || second > 0xDFFF) {
            fault = "this is the first half of a surrogate pair without its second";
        }
    }
    if (fault != NULL) {
        ow_fault_add(scan->faults, from, "%s", fault);
    }
    return fault == NULL;
}

static bool scan_escape(struct scan *scan)
{
    char c = scan->text[scan->at + 1];
    if (c == 'u') {
        return scan_unicode_escape(scan);
    }
    if (c == '\0' || strchr("\"\\/bfnrt", c) == NULL) {
        scan->at++;
        return expected(scan, "one of \" \\ / b f n r t u after the backslash");
    }
    scan->at += 2;
    return true;
}

static bool scan_string(struct scan *scan)
{
    size_t from = scan->at++;
    for (;;) {
        unsigned char c = (unsigned char)peek(scan);
        if (scan->at >= scan->size || c == '\n' || c == '\r') {
            ow_fault_add(scan->faults, from, "this text lacks its closing quote on the same line");
            return false;
        }
        if (c < 0x20) {
            ow_fault_add(scan->faults, scan->at,
                         "the control character 0x%02X cannot stand in a text as it is",
                         (unsigned)c);
            return false;
        }
        if (c == '"') {
            scan->at++;
            return true;
        }
        if (c != '\\') {
            scan->at++;
        } else if (!scan_escape(scan)) {
            return false;
        }
    }
}

static bool scan_word(struct scan *scan)
{
    static const char *const word[] = {"true", "false", "null"};
    for (size_t i = 0; i < sizeof word / sizeof word[0]; i++) {
        size_t size = strlen(word[i]);
        if (strncmp(scan->text + scan->at, word[i], size) == 0) {
            scan->at += size;
            return true;
        }
    }
    return expected(scan, "a value (a text in double quotes, a number, true, false, [ or {)");
}

/* A key, its colon and its value. */
static bool scan_member(struct scan *scan, const char *what)
{
    size_t key_at = scan->at;
    if (peek(scan) != '"') {
        return expected(scan, what);
    }
    if (!scan_string(scan)) {
        return false;
    }
    skip_blanks(scan);
    if (peek(scan) != ':') {
        return expected(scan, "a colon after the key");
    }
    scan->at++;
    skip_blanks(scan);
    return scan_value(scan, key_at);
}

struct brackets {
    char close;
    const char *first, *next, *after_comma;
};

static const struct brackets object_brackets = {'}', "a key in double quotes or }", "a comma or }",
                                                "a key in double quotes after the comma"};
static const struct brackets list_brackets = {']', "a value or ]", "a comma or ]",
                                              "a value after the comma"};

static bool scan_item(struct scan *scan, const struct brackets *in, const char *what)
{
    if (in == &object_brackets) {
        return scan_member(scan, what);
    }
    if (peek(scan) == in->close || peek(scan) == ',') {
        return expected(scan, what);
    }
    return scan_value(scan, SIZE_MAX);
}

static bool scan_items(struct scan *scan, const struct brackets *in)
{
    if (++scan->depth > OW_JSON_DEPTH_MAX) {
        ow_fault_add(scan->faults, scan->at, "brackets stand more than %d deep in each other here",
                     OW_JSON_DEPTH_MAX);
        return false;
    }
    scan->at++;
    skip_blanks(scan);
    if (peek(scan) != in->close) {
        const char *what = in->first;
        for (;;) {
            if (!scan_item(scan, in, what)) {
                return false;
            }
            skip_blanks(scan);
            if (peek(scan) != ',') {
                break;
            }
            scan->at++;
            skip_blanks(scan);
            what = in->after_comma;
        }
    }
    if (peek(scan) != in->close) {
        return expected(scan, in->next);
    }
    scan->at++;
    scan->depth--;
    return true;
}

/* Any value; notes its place, so that the notes stand in the order of the tree. */
static bool scan_value(struct scan *scan, size_t key_at)
{
    char c = peek(scan);
    if (!note(scan, key_at)) {
        return false;
    }
    if (c == '{') {
        return scan_items(scan, &object_brackets);
    }
    if (c == '[') {
        return scan_items(scan, &list_brackets);
    }
    if (c == '"') {
        return scan_string(scan);
    }
    return c == '-' || is_digit(c) ? scan_number(scan) : scan_word(scan);
}

static bool scan_text(struct scan *scan)
{
    skip_blanks(scan);
    if (scan->is == OW_JSON_FILE && peek(scan) != '{') {
        return expected(scan, "the opening { of the garden");
    }
    if (!scan_value(scan, SIZE_MAX)) {
        return false;
    }
    skip_blanks(scan);
    return scan->at == scan->size ||
           expected(scan, scan->is == OW_JSON_FILE ? "nothing more after the closing }"
                                                   : "nothing more after the value");
}

ow_status ow_json_scan(ow_json_text is, const char *text, size_t size, ow_faults *faults,
                       ow_position **item, size_t *count)
{
    struct scan scan = {.is = is, .text = text, .size = size, .faults = faults};
    if (scan_text(&scan)) {
        *item = scan.item;
        *count = scan.count;
        return OW_OK;
    }
    free(scan.item);
    return scan.no_memory ? OW_NO_MEMORY : OW_BAD_INPUT;
}
