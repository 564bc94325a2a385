/* SPDX-License-Identifier: MIT */
#include "garden/weight.h"

#include <math.h>

#include "physics/materials.h"
#include "physics/ow_math.h"

double ow_pot_kg(const ow_pot *pot)
{
    double radius = ow_pot_radius_m(pot), depth = pot->depth_mm / 1000.0;
    double kg_m3 = isnan(pot->soil.measured.medium.thawed_w_mk)
                       ? ow_medium_kg_m3(pot->soil.kind, pot->soil.moisture)
                       : NAN;
    return OW_PI * radius * radius * depth * kg_m3;
}

bool ow_frozen_down(const ow_plant *plant, const ow_actor *actor, const ow_spot *spot)
{
    bool on_soil =
        plant->pot.given && isnan(plant->pot.base_r_m2k_w) && plant->pot.stands_on == OW_BASE_SOIL;
    return on_soil && spot->open_air && actor->condition.drought.frozen_through &&
           spot->ground_c < 0.0;
}
