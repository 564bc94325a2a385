/* SPDX-License-Identifier: MIT */
/* Any text as a table of weather and as a probe's record. */
#include "fuzz/fuzz.h"

#include <stdlib.h>

#include "hosts/probe_file.h"
#include "hosts/weather_file.h"

static void count(void *self, const char *line)
{
    *(size_t *)self += strlen(line);
}

static void weather(const char *text, size_t size)
{
    size_t told = 0;
    ow_report report = {.line = count, .self = &told};
    ow_weather_file file = {0};
    if (ow_weather_file_read("w.csv", text, size, &report, &file) == OW_OK) {
        for (size_t i = 1; i < file.count; i++) {
            if (file.row[i].utc_s <= file.row[i - 1].utc_s) {
                abort();
            }
        }
        ow_weather_file_free(&file);
    } else if (told == 0) {
        abort();
    }
}

static void probe(const char *text, size_t size)
{
    size_t told = 0;
    ow_report report = {.line = count, .self = &told};
    ow_probe_file file = {0};
    if (ow_probe_file_read("p.csv", text, size, &report, &file) == OW_OK) {
        ow_probe_file_free(&file);
    } else if (told == 0) {
        abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    weather((const char *)bytes, size);
    probe((const char *)bytes, size);
    return 0;
}
