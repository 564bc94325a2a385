/* SPDX-License-Identifier: MIT */
/* Ids: each names one thing only, and what refers to a thing finds it. */
#ifndef OVERWINTER_GARDEN_REFERENCES_H
#define OVERWINTER_GARDEN_REFERENCES_H

#include "garden/key_context.h"

/* Beyond this many faults no near names are sought: a garbled file must not take minutes. */
#define OW_FAULTS_WITH_NEAREST 200

/*
 * Checks that ids are unique (over plants, places, covers and outputs together; among themselves
 * for the rest), fills every reference's `at`, and adds a fault for each that names nothing.
 */
void ow_references_resolve(ow_key_reader *reader);

/* The id of that group which comes nearest; NULL when the group is empty. */
const char *ow_reference_nearest(const ow_key_reader *reader, ow_group group, const char *id);

#endif
