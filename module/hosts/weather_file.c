/* SPDX-License-Identifier: MIT */
#include "hosts/weather_file.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/faults.h"
#include "hosts/csv.h"
#include "hosts/text_file.h"
#include "hosts/weather_columns.h"
#include "physics/calendar.h"
#include "plants/spelling.h"

/* More columns than the file can need, so that a stray one gets a message of its own. */
enum { MOST_FIELDS = 64 };

struct seen {
    size_t at; /* of the name in the header */
    bool given, any;
    double least, greatest;
};

struct reader {
    ow_csv csv;
    ow_faults faults;
    int hidden;                 /* faults past those that are told */
    int column_of[MOST_FIELDS]; /* index in ow_weather_columns; -1: unknown */
    size_t fields;
    struct seen seen[OW_COLUMN_COUNT];
    ow_weather_file weather;
    size_t room;
};

static void fault(struct reader *reader, size_t at, const char *format, ...) OW_PRINTF(3, 4);

static void fault(struct reader *reader, size_t at, const char *format, ...)
{
    char text[400];
    va_list args;
    if (reader->faults.errors >= OW_WEATHER_FAULTS_TOLD) {
        reader->hidden++;
        return;
    }
    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    ow_fault_add(&reader->faults, at, "%s", text);
}

static int column_named(const char *name)
{
    for (int i = 0; i < OW_COLUMN_COUNT; i++) {
        if (strcmp(name, ow_weather_columns[i].name) == 0) {
            return i;
        }
    }
    return -1;
}

static const char *nearest_column(const char *name)
{
    int best = 0;
    for (int i = 1; i < OW_COLUMN_COUNT; i++) {
        if (ow_edit_distance(name, ow_weather_columns[i].name) <
            ow_edit_distance(name, ow_weather_columns[best].name)) {
            best = i;
        }
    }
    return ow_weather_columns[best].name;
}

static const char *all_columns(char *out, size_t size)
{
    size_t n = 0;
    for (int i = 0; i < OW_COLUMN_COUNT && n < size; i++) {
        n += (size_t)snprintf(out + n, size - n, "%s%s", i == 0 ? "" : ", ",
                              ow_weather_columns[i].name);
    }
    return out;
}

/* The column that a header field names; -1, with a fault, when it is unknown or given twice. */
static int header_field(struct reader *reader, const ow_csv_field *field)
{
    char shown[OW_SHOWN_SIZE], list[160];
    int column = column_named(field->text);
    if (strchr(field->text, ';') != NULL) {
        fault(reader, field->at,
              "the header is \"%s\", with semicolons; put commas between the fields, and points "
              "in the numbers, such as -3.5",
              ow_shown(shown, field->text));
        return -1;
    }
    if (column < 0) {
        fault(reader, field->at,
              "column \"%s\" is not known; the nearest is %s, the columns are %s, with commas "
              "between them",
              ow_shown(shown, field->text), nearest_column(field->text),
              all_columns(list, sizeof list));
        return -1;
    }
    if (reader->seen[column].given) {
        fault(reader, field->at, "column %s is there twice; take one of them out", field->text);
        return -1;
    }
    reader->seen[column].given = true;
    reader->seen[column].at = field->at;
    return column;
}

static bool read_header(struct reader *reader)
{
    ow_csv_field field;
    if (!ow_csv_line(&reader->csv)) {
        fault(reader, 0, "the file is empty; its first line names the columns, such as time,air_c");
        return false;
    }
    size_t begin = reader->csv.at;
    while (ow_csv_field_next(&reader->csv, &field)) {
        if (reader->fields == MOST_FIELDS) {
            fault(reader, field.at, "there are more than %d columns", MOST_FIELDS);
            return false;
        }
        reader->column_of[reader->fields++] = header_field(reader, &field);
    }
    bool split = memchr(reader->csv.text + begin, ';', reader->csv.line_end - begin) == NULL;
    for (int i = OW_COLUMN_TIME; i <= OW_COLUMN_AIR; i++) {
        if (split && !reader->seen[i].given) { /* else the one fault is told already */
            fault(reader, begin, "column %s is missing; every weather file needs time and air_c",
                  ow_weather_columns[i].name);
        }
    }
    return reader->seen[OW_COLUMN_TIME].given;
}

static void note_range(struct seen *seen, double value)
{
    seen->least = seen->any ? fmin(seen->least, value) : value;
    seen->greatest = seen->any ? fmax(seen->greatest, value) : value;
    seen->any = true;
}

/* The number of a field; NAN for an empty one and, with a fault, for a wrong one. */
static double field_value(struct reader *reader, const ow_csv_field *field, int index)
{
    const ow_weather_column *column = &ow_weather_columns[index];
    char shown[OW_SHOWN_SIZE];
    if (field->text[0] == '\0') {
        return NAN;
    }
    if (!ow_csv_is_number(field->text)) {
        fault(reader, field->at,
              "%s is \"%s\", which is no number; write it like -3.5, or leave the field empty when "
              "it was not measured",
              column->name, ow_shown(shown, field->text));
        return NAN;
    }
    double value = strtod(field->text, NULL);
    note_range(&reader->seen[index], value);
    if (!(value >= column->low && value <= column->high)) {
        fault(reader, field->at,
              "%s is %s; it is %g to %g %s; mend it, or leave the field empty when it was not "
              "measured",
              column->name, ow_shown(shown, field->text), column->low, column->high, column->unit);
        return NAN;
    }
    /* Pyranometers read a little below zero at night. */
    return strcmp(column->name, "solar_wm2") == 0 ? fmax(value, 0.0) : value;
}

static bool field_time(struct reader *reader, const ow_csv_field *field, int64_t *utc_s)
{
    char shown[OW_SHOWN_SIZE], before[OW_TIME_TEXT];
    const ow_weather_file *weather = &reader->weather;
    if (ow_time_parse(field->text, utc_s) != OW_OK) {
        fault(reader, field->at, "time is \"%s\"; write it like 2024-01-31T05:00:00Z",
              ow_shown(shown, field->text));
        return false;
    }
    if (weather->count > 0 && *utc_s <= weather->row[weather->count - 1].utc_s) {
        fault(reader, field->at,
              "time is %s, not later than %s of the row before; put the rows in order and each "
              "time in once",
              ow_shown(shown, field->text),
              ow_time_format(weather->row[weather->count - 1].utc_s, before));
        return false;
    }
    return true;
}

static void read_field(struct reader *reader, const ow_csv_field *field, int column,
                       ow_weather_row *row, bool *has_time)
{
    if (field->unclosed) {
        fault(reader, field->at, "a quote has no partner on this line; numbers need no quotes");
    } else if (column == OW_COLUMN_TIME) {
        *has_time = field_time(reader, field, &row->utc_s);
    } else if (column > OW_COLUMN_TIME) {
        double value = field_value(reader, field, column);
        memcpy((char *)row + ow_weather_columns[column].offset, &value, sizeof value);
    }
}

/* True when the row can be kept: it has a time, whatever else is wrong with it. */
static bool read_row(struct reader *reader, ow_weather_row *row)
{
    ow_csv_field field;
    bool has_time = false;
    size_t begin = reader->csv.at;
    size_t n = 0;
    *row = (ow_weather_row){0, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    for (; ow_csv_field_next(&reader->csv, &field); n++) {
        if (n < reader->fields) {
            read_field(reader, &field, reader->column_of[n], row, &has_time);
        }
    }
    if (n != reader->fields) {
        fault(reader, begin, "the row has %zu fields; the header has %zu", n, reader->fields);
    }
    return has_time;
}

static ow_status keep_row(struct reader *reader, const ow_weather_row *row)
{
    ow_weather_file *weather = &reader->weather;
    if (weather->count == reader->room) {
        size_t room = reader->room == 0 ? 1024 : 2 * reader->room;
        ow_weather_row *larger = realloc(weather->row, room * sizeof *larger);
        if (larger == NULL) {
            return OW_NO_MEMORY;
        }
        weather->row = larger;
        reader->room = room;
    }
    weather->row[weather->count++] = *row;
    return OW_OK;
}

static ow_status read_rows(struct reader *reader)
{
    ow_weather_row row;
    while (ow_csv_line(&reader->csv)) {
        if (read_row(reader, &row) && keep_row(reader, &row) != OW_OK) {
            return OW_NO_MEMORY;
        }
    }
    if (reader->weather.count == 0 && reader->faults.errors == 0) {
        fault(reader, reader->csv.size, "there are no rows; below the header stands the weather");
    } else if (!reader->seen[OW_COLUMN_AIR].any && reader->seen[OW_COLUMN_AIR].given &&
               reader->faults.errors == 0) {
        fault(reader, reader->seen[OW_COLUMN_AIR].at, "no row has an air_c; it must be measured");
    }
    return OW_OK;
}

static void doubt_units(struct reader *reader)
{
    for (int i = OW_COLUMN_AIR; i < OW_COLUMN_COUNT; i++) {
        const struct seen *seen = &reader->seen[i];
        const char *doubt =
            seen->any ? ow_weather_unit_doubt(&ow_weather_columns[i], seen->least, seen->greatest)
                      : NULL;
        if (doubt != NULL) {
            ow_advice_add(&reader->faults, seen->at, "%s", doubt);
        }
    }
}

ow_status ow_weather_file_read(const char *name, const char *text, size_t size, ow_report *report,
                               ow_weather_file *weather)
{
    struct reader reader = {.hidden = 0};
    ow_csv_start(&reader.csv, text, size);
    ow_status status = read_header(&reader) ? read_rows(&reader) : OW_OK;
    doubt_units(&reader);
    ow_faults_tell(&reader.faults, name, text, size, report);
    if (reader.hidden > 0) {
        ow_error(report, "%s: and %d more", name, reader.hidden);
    }
    if (status == OW_OK && reader.faults.no_memory) {
        status = OW_NO_MEMORY;
    } else if (status == OW_OK && reader.faults.errors > 0) {
        status = OW_BAD_INPUT;
    }
    ow_faults_free(&reader.faults);
    if (status != OW_OK) {
        ow_weather_file_free(&reader.weather);
        return status;
    }
    *weather = reader.weather;
    return OW_OK;
}

ow_status ow_weather_file_open(const char *path, ow_report *report, ow_weather_file *weather)
{
    char *text;
    size_t size;
    ow_status status = ow_text_read(path, OW_WEATHER_FILE_MOST, report, &text, &size);
    if (status == OW_OK) {
        status = ow_weather_file_read(path, text, size, report, weather);
        free(text);
    }
    return status;
}

void ow_weather_file_free(ow_weather_file *weather)
{
    free(weather->row);
    *weather = (ow_weather_file){0};
}
