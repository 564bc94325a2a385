/* SPDX-License-Identifier: MIT */
/*
 * The embedded table of taxa, generated from taxa.tsv (docs/taxa.md tells its one mapping rule).
 * Everything here is constant; nothing returned is to be freed.
 */
#ifndef OVERWINTER_PLANTS_TAXA_H
#define OVERWINTER_PLANTS_TAXA_H

#include <stdbool.h>
#include <stddef.h>

#include "plants/tolerance.h"
#include "status.h"

#define OW_NEAREST 3

typedef struct ow_taxon ow_taxon;

/*
 * Looks a taxon up by its botanical name or a synonym. Case, a cultivar in quotes, the hybrid
 * sign (x or the multiplication sign), rank words (ssp., subsp., var., f.) and spare blanks do not
 * matter; of a subspecies that is not in the table the species is taken.
 * When the species is not in the table but its genus is, `taxon` is the genus (for every part the
 * most tender limit of its species, sources beginning "by genus: ") and `by_genus` is true.
 * OW_NOT_FOUND, outputs untouched, when the genus is unknown too.
 */
OW_CHECK ow_status ow_taxon_find(const char *name, const ow_taxon **taxon, bool *by_genus);

/*
 * The names nearest to an unknown one by edit distance, over whole names, synonyms and genera,
 * nearest first; names too far off to be meant are left out. Returns how many, 0..OW_NEAREST.
 */
size_t ow_taxon_nearest(const char *name, const char *near_names[OW_NEAREST]);

/* Number of taxa, genus fall-backs not counted. */
size_t ow_taxon_count(void);

/* The taxon with that index, in alphabetical order; NULL past the end. */
const ow_taxon *ow_taxon_at(size_t index);

/* The accepted name, e.g. "Citrus limon"; of a genus fall-back the genus. */
const char *ow_taxon_name(const ow_taxon *taxon);

/* Copies what the taxon stands. */
void ow_tolerance_of(const ow_taxon *taxon, ow_tolerance *tolerance);

#endif
