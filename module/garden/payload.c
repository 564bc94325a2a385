/* SPDX-License-Identifier: MIT */
#include "garden/payload.h"

#include "garden/faults.h"
#include "garden/json_payload.h"
#include "garden/number_text.h"
#include "garden/quantity.h"
#include "garden/senml.h"
#include "garden/units.h"

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define SHOWN_MAX 40

const char *ow_cause_name(ow_cause cause)
{
#define NAME(name, text) text,
    static const char *const name[] = {OW_CAUSE_LIST(NAME)};
#undef NAME
    size_t i = (size_t)cause;
    return i < OW_CAUSES ? name[i] : "?";
}

/* ---- what went wrong ------------------------------------------------------------------------- */

struct read {
    const ow_reading *reading;
    const char *bytes;
    size_t size;
    char *why;
};

static ow_cause refuse(const struct read *read, ow_cause cause, const char *format, ...)
    OW_PRINTF(3, 4);

static ow_cause refuse(const struct read *read, ow_cause cause, const char *format, ...)
{
    va_list args;
    int used =
        snprintf(read->why, OW_WHY_TEXT, "%.160s: %s ", read->reading->topic, read->reading->id);
    va_start(args, format);
    vsnprintf(read->why + used, OW_WHY_TEXT - (size_t)used, format, args);
    va_end(args);
    return cause;
}

/* The payload's beginning, fit for a line. */
static const char *shown(const struct read *read, char out[SHOWN_MAX + 4])
{
    size_t n = read->size < SHOWN_MAX ? read->size : SHOWN_MAX;
    for (size_t i = 0; i < n; i++) {
        out[i] = read->bytes[i] >= ' ' && read->bytes[i] < 0x7F ? read->bytes[i] : '?';
    }
    snprintf(out + n, 4, "%s", read->size > n ? "..." : "");
    return out;
}

static ow_cause no_value(const struct read *read)
{
    char seen[SHOWN_MAX + 4];
    if (read->reading->measures == OW_MEASURES_CONTACT) {
        return refuse(read, OW_CAUSE_NO_NUMBER,
                      "is neither \"%.40s\" nor \"%.40s\" in \"%s\"; name its two words in the"
                      " garden file",
                      read->reading->open, read->reading->shut, shown(read, seen));
    }
    return refuse(read, OW_CAUSE_NO_NUMBER,
                  "is no number in \"%s\"; send one such as -3.5, with a point, without its unit",
                  shown(read, seen));
}

/* ---- values ---------------------------------------------------------------------------------- */

/* Does a JSON value say this word: a text, true or false, or a number written alike? */
static bool says(const cJSON *value, const char *word)
{
    double wanted = 0.0;
    if (cJSON_IsString(value)) {
        return strcmp(value->valuestring, word) == 0;
    }
    if (cJSON_IsBool(value)) {
        return strcmp(cJSON_IsTrue(value) ? "true" : "false", word) == 0;
    }
    return cJSON_IsNumber(value) && ow_number_read(word, strlen(word), &wanted) &&
           value->valuedouble >= wanted && value->valuedouble <= wanted;
}

static bool json_value(const ow_reading *reading, const cJSON *value, double *number)
{
    if (reading->measures != OW_MEASURES_CONTACT) {
        return ow_json_number(value, number);
    }
    *number = says(value, reading->open) ? OW_IS_OPEN : OW_IS_SHUT;
    return says(value, reading->open) || says(value, reading->shut);
}

static bool is_word(const struct read *read, const char *word)
{
    return strlen(word) == read->size && memcmp(word, read->bytes, read->size) == 0;
}

/* The payload without any JSON. */
static bool plain_value(const struct read *read, double *number)
{
    if (read->reading->measures != OW_MEASURES_CONTACT) {
        return ow_number_read(read->bytes, read->size, number);
    }
    *number = is_word(read, read->reading->open) ? OW_IS_OPEN : OW_IS_SHUT;
    return is_word(read, read->reading->open) || is_word(read, read->reading->shut);
}

/* ---- the ways a payload may be written ------------------------------------------------------- */

/* Turns the number into the unit of its quantity. */
static ow_cause settle(const struct read *read, ow_unit unit, double number, ow_sample *sample)
{
    ow_measures measures = read->reading->measures;
    if (measures != OW_MEASURES_CONTACT) {
        number = ow_unit_convert(number, unit, ow_quantity_of(measures)->unit);
    }
    if (!isfinite(number)) {
        return no_value(read);
    }
    *sample = (ow_sample){.value = number, .timed = OW_TIME_NONE};
    return OW_CAUSE_NONE;
}

static ow_cause senml_unit(const struct read *read, const ow_senml *record, ow_unit *unit)
{
    char seen[OW_SHOWN_SIZE];
    *unit = read->reading->unit;
    if (record->unit == NULL || read->reading->measures == OW_MEASURES_CONTACT) {
        return OW_CAUSE_NONE;
    }
    if (!ow_unit_of_senml(record->unit, unit) ||
        !ow_unit_fits(*unit, ow_quantity_of(read->reading->measures)->unit)) {
        return refuse(read, OW_CAUSE_UNIT,
                      "comes in the unit \"%s\", which does not measure %s; mend the sensor or"
                      " point at another record",
                      ow_shown(seen, record->unit), ow_measures_name(read->reading->measures));
    }
    return OW_CAUSE_NONE;
}

static ow_cause read_senml(const struct read *read, const cJSON *root, ow_sample *sample)
{
    char what[OW_WHY_TEXT / 2];
    ow_senml record;
    ow_unit unit;
    double number = 0.0;
    if (!ow_senml_pick(root, read->reading->pointer, read->reading->measures, &record, what,
                       sizeof what)) {
        return refuse(read, OW_CAUSE_NOT_THERE, "cannot be read: pointer \"%.60s\" %s",
                      read->reading->pointer, what);
    }
    if (!json_value(read->reading, record.value, &number)) {
        return no_value(read);
    }
    ow_cause cause = senml_unit(read, &record, &unit);
    if (cause == OW_CAUSE_NONE) {
        number += read->reading->measures == OW_MEASURES_CONTACT ? 0.0 : record.base;
        cause = settle(read, unit, number, sample);
    }
    if (cause == OW_CAUSE_NONE && (record.time_s < 0.0 || record.time_s > 0.0)) {
        sample->timed = record.time_s < OW_SENML_ABSOLUTE_S ? OW_TIME_SINCE_SENT : OW_TIME_UTC;
        sample->time_s = record.time_s;
    }
    return cause;
}

static ow_cause read_tree(const struct read *read, const cJSON *root, ow_sample *sample)
{
    const ow_reading *reading = read->reading;
    double number = 0.0;
    if (ow_senml_is(root, reading->pointer)) {
        return read_senml(read, root, sample);
    }
    const cJSON *value = ow_json_at(root, reading->pointer);
    if (value == NULL) {
        char seen[SHOWN_MAX + 4];
        return refuse(read, OW_CAUSE_NOT_THERE,
                      "is not there: pointer \"%.100s\" names nothing in \"%s\"; mend the pointer",
                      reading->pointer, shown(read, seen));
    }
    if (cJSON_IsObject(value) || cJSON_IsArray(value)) {
        return refuse(read, OW_CAUSE_NOT_THERE,
                      "is not one value: pointer \"%.100s\" names %s; point into it, as in"
                      " \"/temperature\"",
                      reading->pointer, cJSON_IsObject(value) ? "an object" : "a list");
    }
    return json_value(reading, value, &number) ? settle(read, reading->unit, number, sample)
                                               : no_value(read);
}

static bool looks_like_json(const struct read *read)
{
    size_t at = 0;
    while (at < read->size && strchr(" \t\r\n", read->bytes[at]) != NULL && read->bytes[at]) {
        at++;
    }
    return at < read->size && strchr("{[\"", read->bytes[at]) != NULL && read->bytes[at] != '\0';
}

static ow_cause read_json(const struct read *read, ow_sample *sample)
{
    char what[OW_WHY_TEXT / 2];
    cJSON *root = NULL;
    ow_status status = ow_json_payload(read->bytes, read->size, what, sizeof what, &root);
    if (status == OW_NO_MEMORY) {
        return refuse(read, OW_CAUSE_MEMORY, "could not be read: out of memory");
    }
    if (status != OW_OK) {
        return looks_like_json(read) || read->reading->pointer[0] != '\0'
                   ? refuse(read, OW_CAUSE_JSON, "is not in valid JSON: %s; mend the sender", what)
                   : no_value(read);
    }
    ow_cause cause = read_tree(read, root, sample);
    cJSON_Delete(root);
    return cause;
}

ow_cause ow_payload_read(const ow_reading *reading, const void *bytes, size_t size,
                         ow_sample *sample, char why[OW_WHY_TEXT])
{
    struct read read = {.reading = reading, .bytes = bytes, .size = size, .why = why};
    double number = 0.0;
    why[0] = '\0';
    if (size > OW_PAYLOAD_SIZE_MAX) {
        return refuse(&read, OW_CAUSE_LONG, "comes in %zu bytes; at most %u are read; send less",
                      size, OW_PAYLOAD_SIZE_MAX);
    }
    if (size == 0) {
        return refuse(&read, OW_CAUSE_NO_NUMBER, "came empty; send a value");
    }
    if (reading->pointer[0] == '\0' && plain_value(&read, &number)) {
        return settle(&read, reading->unit, number, sample);
    }
    return read_json(&read, sample);
}
