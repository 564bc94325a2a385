/* SPDX-License-Identifier: MIT */
/*
 * Sensor measurement lists (RFC 8428): records resolved by their base fields.
 */
#ifndef OVERWINTER_GARDEN_SENML_H
#define OVERWINTER_GARDEN_SENML_H

#include "garden/garden.h"

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stddef.h>

/* A time below it is relative to when the message was sent, RFC 8428 section 4.5.3. */
#define OW_SENML_ABSOLUTE_S 268435456.0

/* A record after its base fields. Pointers are into the tree. */
typedef struct ow_senml {
    const cJSON *value;           /* of v, vs or vb; NULL: none that can be a reading */
    double base;                  /* to be added to a number */
    const char *unit;             /* NULL: none */
    double time_s;                /* base and own time together; 0: none */
    const char *base_name, *name; /* "" when left out; the name is both, one after the other */
} ow_senml;

/*
 * Is it a list of records, and does `pointer` ask for one of them? Any other pointer is one into
 * plain JSON.
 */
bool ow_senml_is(const cJSON *root, const char *pointer);

/*
 * The record that `pointer` means, where ow_senml_is: `/2`, `/2/v`, `/NAME` (whole name or `n`);
 * with "" the only one with a value, else the only one whose unit fits `measures`; of several with
 * one name the latest. False: none or more than one, or the list says that it must not be used;
 * `why` says which.
 */
bool ow_senml_pick(const cJSON *root, const char *pointer, ow_measures measures, ow_senml *record,
                   char *why, size_t room);

#endif
