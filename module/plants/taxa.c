/* SPDX-License-Identifier: MIT */
#include "plants/taxa.h"

#include <string.h>

#include "plants/spelling.h"
#include "plants/taxa_table.h"

#define KEY_SIZE 64 /* longer names are cut; the longest in the table is under 50 */

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* The end of the word that starts at `at`; a quoted cultivar is one word. */
static const char *word_end(const char *at)
{
    if (*at == '\'' || *at == '"') {
        const char *close = strchr(at + 1, *at);
        return close != NULL ? close + 1 : at + strlen(at);
    }
    return at + strcspn(at, " \t");
}

static bool is_noise(const char *word, size_t size)
{
    static const char *const noise[] = {"x", "X", "\xc3\x97", "ssp.", "subsp.", "var.", "f."};
    if (*word == '\'' || *word == '"') {
        return true;
    }
    for (size_t i = 0; i < sizeof noise / sizeof *noise; i++) {
        if (strlen(noise[i]) == size && strncmp(noise[i], word, size) == 0) {
            return true;
        }
    }
    return false;
}

/* The name as the table's keys are written: see ow_taxon_find for what does not matter. */
static void make_key(const char *name, char key[KEY_SIZE])
{
    size_t used = 0;
    for (const char *at = name + strspn(name, " \t"); *at != '\0'; at += strspn(at, " \t")) {
        const char *end = word_end(at);
        if (strncmp(at, "\xc3\x97", 2) == 0 && end - at > 2) {
            at += 2; /* the sign written against its word */
        }
        if (!is_noise(at, (size_t)(end - at))) {
            if (used > 0 && used < KEY_SIZE - 1) {
                key[used++] = ' ';
            }
            while (at < end && used < KEY_SIZE - 1) {
                key[used++] = lower(*at++);
            }
        }
        at = end;
    }
    key[used] = '\0';
}

static const ow_taxon_key *find_key(const char *key)
{
    for (size_t i = 0; i < ow_taxa_key_count; i++) {
        if (strcmp(ow_taxa_keys[i].key, key) == 0) {
            return &ow_taxa_keys[i];
        }
    }
    return NULL;
}

/* Species beyond the first two words (a subspecies) are dropped one by one until one is known. */
static const ow_taxon_key *find_species(char *key)
{
    const ow_taxon_key *found = find_key(key);
    for (char *cut = strrchr(key, ' '); found == NULL && cut != NULL && strchr(key, ' ') != cut;
         cut = strrchr(key, ' ')) {
        *cut = '\0';
        found = find_key(key);
    }
    return found;
}

static const ow_taxon *find_genus(const char *key)
{
    size_t size = strcspn(key, " ");
    for (size_t i = 0; i < ow_genera_count; i++) {
        const char *genus = ow_genera_table[i].name;
        if (strlen(genus) == size && lower(genus[0]) == key[0] &&
            strncmp(genus + 1, key + 1, size - 1) == 0) {
            return &ow_genera_table[i];
        }
    }
    return NULL;
}

ow_status ow_taxon_find(const char *name, const ow_taxon **taxon, bool *by_genus)
{
    char key[KEY_SIZE];
    make_key(name, key);
    if (key[0] == '\0') {
        return OW_NOT_FOUND;
    }
    const ow_taxon_key *found = find_species(key);
    const ow_taxon *genus = found != NULL ? NULL : find_genus(key);
    if (found == NULL && genus == NULL) {
        return OW_NOT_FOUND;
    }
    *taxon = found != NULL ? found->taxon : genus;
    *by_genus = found == NULL;
    return OW_OK;
}

/*
 * How far a key is: by the whole, or, of another species of a genus nearly so called, by the genus
 * and two more; a genus alone is held against genera.
 */
static size_t farness(const char *wanted, const char *key)
{
    size_t whole = (size_t)ow_edit_distance(wanted, key);
    size_t wanted_genus = strcspn(wanted, " ");
    size_t by_genus = (size_t)ow_edit_distance_of(wanted, wanted_genus, key, strcspn(key, " "));
    if (by_genus * 4 > wanted_genus) { /* more edits make it another word */
        return whole;
    }
    by_genus += wanted[wanted_genus] == '\0' ? 0 : 2;
    return by_genus < whole ? by_genus : whole;
}

typedef struct nearest {
    const char **names; /* nearest first */
    size_t far[OW_NEAREST], count;
} nearest;

static void keep_nearest(nearest *kept, const char *name, size_t distance)
{
    size_t at = kept->count;
    while (at > 0 && kept->far[at - 1] > distance) {
        at--;
    }
    if (at >= OW_NEAREST) {
        return;
    }
    kept->count += kept->count < OW_NEAREST;
    for (size_t i = kept->count - 1; i > at; i--) {
        kept->far[i] = kept->far[i - 1];
        kept->names[i] = kept->names[i - 1];
    }
    kept->far[at] = distance;
    kept->names[at] = name;
}

size_t ow_taxon_nearest(const char *name, const char *near_names[OW_NEAREST])
{
    char key[KEY_SIZE];
    nearest kept = {.names = near_names, .count = 0};
    make_key(name, key);
    for (size_t i = 0; i < ow_taxa_key_count; i++) {
        size_t distance = farness(key, ow_taxa_keys[i].key);
        if (distance * 5 <= strlen(key) * 2) { /* more than two fifths wrong was not meant */
            keep_nearest(&kept, ow_taxa_keys[i].shown, distance);
        }
    }
    return kept.count;
}

size_t ow_taxon_count(void)
{
    return ow_taxa_count;
}

const ow_taxon *ow_taxon_at(size_t index)
{
    return index < ow_taxa_count ? &ow_taxa_table[index] : NULL;
}

const char *ow_taxon_name(const ow_taxon *taxon)
{
    return taxon->name;
}

void ow_tolerance_of(const ow_taxon *taxon, ow_tolerance *tolerance)
{
    *tolerance = taxon->stands;
}
