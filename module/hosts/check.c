/* SPDX-License-Identifier: MIT */
#include "hosts/check.h"

#include "hosts/garden_file.h"
#include "hosts/local_time.h"

/* Nothing happens in a garden that is only checked. */
static void no_event(void *self, int64_t utc_s, const char *subject, const char *event,
                     const char *detail)
{
    (void)self;
    (void)utc_s;
    (void)subject;
    (void)event;
    (void)detail;
}

ow_status ow_check(const ow_module *module, const char *garden, ow_report *report)
{
    const ow_host host = {.utc_offset_s = ow_local_offset_s, .event = no_event};
    ow_engine *engine;
    ow_status status = ow_garden_file_open(module, &host, garden, NULL, report, &engine);
    if (status != OW_OK) {
        return status;
    }
    status = module->check(engine, report);
    module->close(engine);
    return status;
}
