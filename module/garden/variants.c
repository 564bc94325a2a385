/* SPDX-License-Identifier: MIT */
#include "garden/variants.h"

#include <math.h>

void ow_variants_of(const ow_garden *garden, int plant, int n, ow_variants *v)
{
    v->garden = *garden;
    v->place = garden->places[garden->plants[plant].place.at];
    v->garden.places = &v->place;
    v->garden.place_count = 1;
    v->garden.plants = v->plant;
    v->garden.plant_count = n;
    v->garden.output_count = 0;
    for (int i = 0; i < n; i++) {
        v->plant[i] = garden->plants[plant];
        v->plant[i].place.at = 0;
    }
}

ow_soil *ow_plant_soil(ow_plant *plant)
{
    return plant->pot.given ? &plant->pot.soil : &plant->bed.soil;
}

ow_status ow_variant_water(ow_plant *plant, double share)
{
    ow_soil *soil = ow_plant_soil(plant);
    if (!isnan(soil->measured.medium.thawed_w_mk)) {
        return OW_OK;
    }
    return ow_medium_drawn(soil->kind, soil->moisture, (ow_medium_draw){share, 1.0, 1.0},
                           &soil->measured.medium);
}
