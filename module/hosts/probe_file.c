/* SPDX-License-Identifier: MIT */
#include "hosts/probe_file.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "garden/faults.h"
#include "garden/units.h"
#include "physics/calendar.h"

enum { COLUMNS = 2, MOST_FAULTS = 20 };
static const double LEAST_C = -50.0, MOST_C = 60.0;

struct reader {
    ow_csv csv;
    ow_faults faults;
    int time_at, probe_at; /* columns; -1: not given */
    ow_unit unit;
    ow_probe_file file;
    size_t room;
};

/* ---- the header ------------------------------------------------------------------------------ */

/* "lemon_c" is a plant and a unit; false for anything else. */
static bool take_probe(struct reader *r, const char *text)
{
    size_t length = strlen(text);
    if (length < 3 || text[length - 2] != '_' || strchr("cfk", text[length - 1]) == NULL) {
        return false;
    }
    char unit = text[length - 1];
    r->unit = unit == 'f' ? OW_UNIT_F : unit == 'k' ? OW_UNIT_K : OW_UNIT_C;
    memcpy(r->file.plant, text, length - 2);
    r->file.plant[length - 2] = '\0';
    if (strcmp(r->file.plant, "probe") == 0) {
        r->file.plant[0] = '\0';
    }
    return true;
}

static void header_field(struct reader *r, const ow_csv_field *field, int column)
{
    char shown[OW_SHOWN_SIZE];
    if (strcmp(field->text, "air_c") == 0) {
        ow_fault_add(&r->faults, field->at,
                     "a probe's record has no air_c: is this the weather? the probe's file comes "
                     "first, the weather second");
    } else if (strcmp(field->text, "time") == 0 && r->time_at < 0) {
        r->time_at = column;
    } else if (r->probe_at < 0 && take_probe(r, field->text)) {
        r->probe_at = column;
    } else {
        ow_fault_add(&r->faults, field->at,
                     "column \"%s\" does not belong here; a probe's record has time and one "
                     "temperature, such as time,lemon_c or time,probe_f",
                     ow_shown(shown, field->text));
    }
}

static bool read_header(struct reader *r)
{
    ow_csv_field field;
    if (!ow_csv_line(&r->csv)) {
        ow_fault_add(&r->faults, 0,
                     "the file is empty; its first line names the columns, such as time,lemon_c");
        return false;
    }
    size_t begin = r->csv.at;
    for (int column = 0; r->faults.errors == 0 && ow_csv_field_next(&r->csv, &field); column++) {
        header_field(r, &field, column);
    }
    if (r->faults.errors == 0 && (r->time_at < 0 || r->probe_at < 0)) {
        ow_fault_add(&r->faults, begin, "column %s is missing; the first line is like time,lemon_c",
                     r->time_at < 0 ? "time" : "of the temperature");
    }
    return r->faults.errors == 0;
}

/* ---- rows ------------------------------------------------------------------------------------ */

static double field_c(struct reader *r, const ow_csv_field *field)
{
    char shown[OW_SHOWN_SIZE];
    int64_t utc_s;
    if (field->text[0] == '\0') {
        return NAN;
    }
    if (!ow_csv_is_number(field->text)) {
        ow_fault_add(&r->faults, field->at, "the temperature is \"%s\", which is no number%s",
                     ow_shown(shown, field->text),
                     ow_time_parse(field->text, &utc_s) == OW_OK
                         ? " but a time: are the columns swapped?"
                         : "; write it like -3.5, or leave the field empty");
        return NAN;
    }
    double c = ow_unit_convert(strtod(field->text, NULL), r->unit, OW_UNIT_C);
    if (!(c >= LEAST_C && c <= MOST_C)) {
        ow_fault_add(&r->faults, field->at,
                     "the probe reads %.1f C; a root ball is %.0f to %.0f C%s", c, LEAST_C, MOST_C,
                     c > 200.0 ? ": is it in kelvin? name the column probe_k"
                               : ", and a broken wire often reads 85 or -127: see the probe");
        return NAN;
    }
    return c;
}

static bool field_time(struct reader *r, const ow_csv_field *field, int64_t *utc_s)
{
    char shown[OW_SHOWN_SIZE];
    const ow_probe_file *file = &r->file;
    if (ow_time_parse(field->text, utc_s) != OW_OK) {
        ow_fault_add(&r->faults, field->at, "time is \"%s\"%s", ow_shown(shown, field->text),
                     ow_csv_is_number(field->text)
                         ? ", a number: are the columns swapped?"
                         : "; write it like 2024-01-31T05:00:00Z");
        return false;
    }
    if (file->count > 0 && *utc_s <= file->row[file->count - 1].utc_s) {
        ow_fault_add(&r->faults, field->at,
                     "time is %s, not later than that of the row before; put the rows in order and "
                     "each time in once",
                     ow_shown(shown, field->text));
        return false;
    }
    return true;
}

static ow_status keep(struct reader *r, const ow_probe_row *row)
{
    ow_probe_file *file = &r->file;
    if (file->count == r->room) {
        size_t room = r->room == 0 ? 1024 : 2 * r->room;
        ow_probe_row *larger = realloc(file->row, room * sizeof *larger);
        if (larger == NULL) {
            return OW_NO_MEMORY;
        }
        file->row = larger;
        r->room = room;
    }
    file->row[file->count++] = *row;
    return OW_OK;
}

static ow_status read_row(struct reader *r)
{
    ow_csv_field field;
    ow_probe_row row = {.c = NAN};
    bool has_time = false;
    size_t begin = r->csv.at;
    int n = 0;
    for (; ow_csv_field_next(&r->csv, &field); n++) {
        if (n == r->time_at) {
            has_time = field_time(r, &field, &row.utc_s);
        } else if (n == r->probe_at) {
            row.c = field_c(r, &field);
        }
    }
    if (n != COLUMNS) {
        ow_fault_add(&r->faults, begin, "the row has %d fields; the header has %d", n, COLUMNS);
    }
    return has_time ? keep(r, &row) : OW_OK;
}

ow_status ow_probe_file_read(const char *name, const char *text, size_t size, ow_report *report,
                             ow_probe_file *file)
{
    struct reader r = {.time_at = -1, .probe_at = -1};
    ow_csv_start(&r.csv, text, size);
    ow_status status = OW_OK;
    bool goes_on = read_header(&r);
    while (status == OW_OK && goes_on && r.faults.errors < MOST_FAULTS && ow_csv_line(&r.csv)) {
        status = read_row(&r);
    }
    if (status == OW_OK && r.faults.errors == 0 && r.file.count == 0) {
        ow_fault_add(&r.faults, size, "there are no rows; below the header stand the readings");
    }
    ow_faults_tell(&r.faults, name, text, size, report);
    if (status == OW_OK && r.faults.no_memory) {
        status = OW_NO_MEMORY;
    } else if (status == OW_OK && r.faults.errors > 0) {
        status = OW_BAD_INPUT;
    }
    ow_faults_free(&r.faults);
    if (status != OW_OK) {
        ow_probe_file_free(&r.file);
        return status;
    }
    *file = r.file;
    return OW_OK;
}

void ow_probe_file_free(ow_probe_file *file)
{
    free(file->row);
    *file = (ow_probe_file){.count = 0};
}
