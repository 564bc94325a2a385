/* SPDX-License-Identifier: MIT */
/* What make-taxa writes from taxa.tsv, for taxa.c alone. */
#ifndef OVERWINTER_PLANTS_TAXA_TABLE_H
#define OVERWINTER_PLANTS_TAXA_TABLE_H

#include "plants/taxa.h"

struct ow_taxon {
    const char *name;
    ow_tolerance stands;
};

/* A name as ow_taxon_find compares it: lower case, no hybrid sign, no quotes. */
typedef struct ow_taxon_key {
    const char *key;
    const char *shown; /* the name as people write it */
    const ow_taxon *taxon;
} ow_taxon_key;

extern const ow_taxon ow_taxa_table[]; /* alphabetical */
extern const size_t ow_taxa_count;
extern const ow_taxon ow_genera_table[]; /* alphabetical */
extern const size_t ow_genera_count;
extern const ow_taxon_key ow_taxa_keys[]; /* of taxa, names and synonyms */
extern const size_t ow_taxa_key_count;

#endif
