/* SPDX-License-Identifier: MIT */
#include "garden/garden.h"

#include "garden/garden_check.h"
#include "garden/key_reader.h"
#include "garden/references.h"
#include "physics/materials.h"
#include "plants/taxa.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A garden with all that it owns behind it. */
struct owner {
    ow_garden garden; /* first, so that a garden's address is its owner's */
    ow_chunk *chunks;
};

/* ---- what one key says by way of another ----------------------------------------------------- */

static const char *name_or_id(const char *name, const char *id)
{
    return name != NULL ? name : id;
}

static void settle_names(ow_garden *garden)
{
    for (int i = 0; i < garden->place_count; i++) {
        garden->places[i].name = name_or_id(garden->places[i].name, garden->places[i].id);
    }
    for (int i = 0; i < garden->cover_count; i++) {
        garden->covers[i].name = name_or_id(garden->covers[i].name, garden->covers[i].id);
    }
    for (int i = 0; i < garden->plant_count; i++) {
        garden->plants[i].name = name_or_id(garden->plants[i].name, garden->plants[i].id);
    }
    for (int i = 0; i < garden->output_count; i++) {
        garden->outputs[i].name = name_or_id(garden->outputs[i].name, garden->outputs[i].id);
    }
    for (int i = 0; i < garden->household_count; i++) {
        garden->household[i].name = name_or_id(garden->household[i].name, garden->household[i].id);
    }
}

static void settle_places(ow_garden *garden)
{
    for (int i = 0; i < garden->place_count; i++) {
        if (garden->places[i].kind != OW_PLACE_INDOORS) {
            garden->places[i].light = OW_LIGHT_BRIGHT;
        }
    }
}

static void settle_covers(ow_garden *garden)
{
    for (int i = 0; i < garden->cover_count; i++) {
        ow_cover *cover = &garden->covers[i];
        if (cover->on_word < 0 ||
            ow_cover_on_by_name(ow_cover_on_names(NULL)[cover->on_word], &cover->on) != OW_OK) {
            cover->on = 0;
        }
    }
}

static void settle_soil(ow_soil *soil)
{
    if (!isnan(soil->measured.water_fraction)) {
        soil->measured.medium.latent_j_m3 = ow_latent_j_m3(soil->measured.water_fraction);
    }
}

static void lay_over(const ow_own_limit *own, ow_part part, ow_limit *limit)
{
    bool of_air = own->of >= 0 ? own->of == OW_LIMIT_OF_AIR : part == OW_FOLIAGE || part == OW_BUDS;
    double killed_c = isnan(own->killed_c) ? own->damaged_c - OW_LIMIT_GAP_K : own->killed_c;
    *limit = ow_limit_own(own->damaged_c, killed_c, of_air);
    limit->minutes = own->minutes;
}

static void settle_tolerance(ow_plant *plant)
{
    const ow_taxon *taxon;
    ow_tolerance_own(&plant->tolerance);
    if (plant->taxon != NULL && ow_taxon_find(plant->taxon, &taxon, &plant->by_genus) == OW_OK) {
        ow_tolerance_of(taxon, &plant->tolerance);
    }
    for (int part = 0; part < OW_PARTS; part++) {
        if (plant->limits.part[part].given) {
            lay_over(&plant->limits.part[part], (ow_part)part, &plant->tolerance.limit[part]);
        }
    }
    if (plant->limits.drought.given) {
        plant->tolerance.suffers_days = plant->limits.drought.suffers_days;
        plant->tolerance.may_die_days = plant->limits.drought.may_die_days;
    }
}

static void settle(ow_garden *garden)
{
    settle_names(garden);
    settle_places(garden);
    settle_covers(garden);
    for (int i = 0; i < garden->plant_count; i++) {
        settle_soil(&garden->plants[i].pot.soil);
        settle_soil(&garden->plants[i].bed.soil);
        settle_tolerance(&garden->plants[i]);
    }
}

/* ---- reading --------------------------------------------------------------------------------- */

static ow_status read_tree(const ow_positions *positions, ow_faults *faults, struct owner *owner)
{
    ow_key_reader reader = {.positions = positions, .faults = faults, .chunks = &owner->chunks};
    ow_status status = ow_key_reader_run(&reader, &owner->garden);
    if (status == OW_OK) {
        ow_references_resolve(&reader);
        settle(&owner->garden);
        ow_garden_check(&reader, &owner->garden);
    }
    ow_key_reader_free(&reader);
    return status;
}

static ow_status read_text(const char *text, size_t size, ow_faults *faults, struct owner *owner)
{
    ow_positions positions;
    ow_status status = ow_positions_read(text, size, faults, &positions);
    if (status != OW_OK) {
        return status;
    }
    status = read_tree(&positions, faults, owner);
    ow_positions_free(&positions);
    if (status == OW_OK && faults->no_memory) {
        status = OW_NO_MEMORY;
    }
    return status == OW_OK && faults->errors > 0 ? OW_BAD_INPUT : status;
}

ow_status ow_garden_read(const char *file_name, const char *text, size_t size, ow_report *report,
                         ow_garden **garden)
{
    ow_faults faults = {0};
    ow_status status;
    struct owner *owner = calloc(1, sizeof *owner);
    if (owner == NULL) {
        return OW_NO_MEMORY;
    }
    status = read_text(text, size, &faults, owner);
    ow_faults_tell(&faults, file_name, text, size, report);
    ow_faults_free(&faults);
    if (status == OW_OK) {
        *garden = &owner->garden;
    } else {
        ow_garden_free(&owner->garden);
    }
    return status;
}

void ow_garden_free(ow_garden *garden)
{
    struct owner *owner = (struct owner *)garden;
    if (owner != NULL) {
        ow_chunks_free(&owner->chunks);
        free(owner);
    }
}

/* ---- by id ----------------------------------------------------------------------------------- */

#define NAMED(what, list)                                                                          \
    int ow_##what##_named(const ow_garden *garden, const char *id)                                 \
    {                                                                                              \
        int at = garden->what##_count - 1;                                                         \
        while (at >= 0 && strcmp(garden->list[at].id, id) != 0) {                                  \
            at--;                                                                                  \
        }                                                                                          \
        return at;                                                                                 \
    }

NAMED(plant, plants)
NAMED(place, places)
NAMED(cover, covers)
