/* SPDX-License-Identifier: MIT */
/* Any text as a garden file: it is refused in words, or opens and can be closed. */
#include "fuzz/fuzz.h"

#include <stdlib.h>

#include "overwinter.h"

const ow_module *overwinter_module(void);

static int offset(void *self, int64_t utc_s)
{
    (void)self;
    (void)utc_s;
    return 0;
}

static void count(void *self, const char *line)
{
    *(size_t *)self += strlen(line);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    size_t told = 0;
    ow_engine *engine = NULL;
    ow_host host = {.utc_offset_s = offset};
    ow_report report = {.line = count, .self = &told};
    const ow_module *m = overwinter_module();
    ow_status status =
        m->open(&host, "g.json", (const char *)bytes, size, NULL, &report, &engine);
    if (status != OW_OK && told == 0) {
        abort(); /* refused without a word */
    }
    if (status == OW_OK) {
        m->close(engine);
    }
    return 0;
}
