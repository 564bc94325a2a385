/* SPDX-License-Identifier: MIT */
#include "hosts/garden_file.h"

#include <stdlib.h>

#include "hosts/local_time.h"
#include "hosts/text_file.h"

ow_status ow_garden_file_open(const ow_module *module, const ow_host *host, const char *path,
                              const ow_settings *settings, ow_report *report, ow_engine **engine)
{
    char *text;
    size_t size;
    ow_engine *opened = NULL;
    ow_status status = ow_text_read(path, OW_GARDEN_FILE_MOST, report, &text, &size);
    if (status != OW_OK) {
        return status;
    }
    status = module->open(host, path, text, size, settings, report, &opened);
    free(text);
    if (status != OW_OK) {
        return status;
    }
    status = ow_local_zone(module->time_zone(opened), path, report);
    if (status != OW_OK) {
        module->close(opened);
        return status;
    }
    *engine = opened;
    return OW_OK;
}
