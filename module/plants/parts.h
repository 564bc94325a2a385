/* SPDX-License-Identifier: MIT */
/* The parts of a plant that cold can harm, and their names. */
#ifndef OVERWINTER_PLANTS_PARTS_H
#define OVERWINTER_PLANTS_PARTS_H

#include "status.h"

typedef enum ow_part {
    OW_FOLIAGE,
    OW_BUDS,
    OW_ROOTS,
    OW_GROWING_POINT,
    OW_STORAGE_ORGAN,
    OW_PARTS
} ow_part;

/* "foliage", "buds", "roots", "growing point", "storage organ"; "?" for anything else. */
const char *ow_part_name(ow_part part);

/* The part of that exact name; OW_NOT_FOUND (and `part` untouched) when there is none. */
OW_CHECK ow_status ow_part_find(const char *name, ow_part *part);

#endif
