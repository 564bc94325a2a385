/* SPDX-License-Identifier: MIT */
#include "hosts/past_winters.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "hosts/csv.h"

enum { TIME, SUBJECT, EVENT, DETAIL, COLUMNS, DAY = 10, PATH_ROOM = 1024 };
static const long LOG_MOST = 64L * 1024 * 1024;

static bool read_row(ow_csv *csv, char row[COLUMNS][OW_CSV_FIELD])
{
    ow_csv_field field;
    int n = 0;
    while (ow_csv_field_next(csv, &field)) {
        if (n < COLUMNS) {
            memcpy(row[n], field.text, sizeof field.text);
        }
        n += !field.unclosed;
    }
    return n == COLUMNS;
}

int ow_past_winters_read(const char *text, size_t size, void *self,
                         void (*take)(void *self, const char *day, const char *subject,
                                      const char *detail))
{
    ow_csv csv;
    char row[COLUMNS][OW_CSV_FIELD];
    int n = 0;
    ow_csv_start(&csv, text, size);
    while (ow_csv_line(&csv)) {
        if (read_row(&csv, row) && strcmp(row[EVENT], "answered") == 0) {
            row[TIME][DAY] = '\0';
            take(self, row[TIME], row[SUBJECT], row[DETAIL]);
            n++;
        }
    }
    return n;
}

struct telling {
    ow_report *report;
    bool begun;
};

static void tell(void *self, const char *day, const char *subject, const char *detail)
{
    struct telling *t = self;
    if (!t->begun) {
        ow_say(t->report,
               "What past winters showed (lowest, and the limits used: harmed, killed):");
        t->begun = true;
    }
    ow_say(t->report, "  %s  %s: %s", day, subject, detail);
}

/* Not a fault when it cannot be read: it is there after the first answer only. */
static char *whole(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    if (file == NULL) {
        return NULL;
    }
    long end = fseek(file, 0, SEEK_END) == 0 ? ftell(file) : -1;
    if (end > 0 && end <= LOG_MOST && fseek(file, 0, SEEK_SET) == 0) {
        text = malloc((size_t)end);
        *size = text != NULL ? fread(text, 1, (size_t)end, file) : 0;
    }
    fclose(file); /* was only read */
    return text;
}

void ow_past_winters_tell(const ow_module *module, const ow_engine *engine, ow_report *report)
{
    char path[PATH_ROOM];
    const char *store = module->link(engine)->store;
    struct telling telling = {.report = report};
    size_t size = 0;
    if (store == NULL ||
        snprintf(path, sizeof path, "%s/season.csv", store) >= (int)sizeof path) {
        return;
    }
    char *text = whole(path, &size);
    if (text != NULL) {
        (void)ow_past_winters_read(text, size, &telling, tell);
    }
    free(text);
}
