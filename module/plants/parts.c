/* SPDX-License-Identifier: MIT */
#include "plants/parts.h"

#include <stddef.h>
#include <string.h>

static const char *const names[OW_PARTS] = {"foliage", "buds", "roots", "growing point",
                                            "storage organ"};

const char *ow_part_name(ow_part part)
{
    return (unsigned)part < OW_PARTS ? names[part] : "?";
}

ow_status ow_part_find(const char *name, ow_part *part)
{
    for (size_t i = 0; i < OW_PARTS; i++) {
        if (strcmp(name, names[i]) == 0) {
            *part = (ow_part)i;
            return OW_OK;
        }
    }
    return OW_NOT_FOUND;
}
