/* SPDX-License-Identifier: MIT */
#include "physics/foliage.h"

#include <math.h>
#include <stdbool.h>

#include "physics/humidity.h"
#include "physics/ow_math.h"
#include "physics/surface.h"

/* Latent heat of rime over that of dew (2.834 and FAO-56's 2.45 MJ/kg): more heat per vapour. */
#define RIME_OVER_DEW (2.834 / 2.45)

typedef struct balance {
    double gain_wm2;    /* heat gained at a trial temperature; 0 at the root */
    double slope_w_m2k; /* its derivative, always negative */
} balance;

/* Vapour that meets a surface below its dew or frost point leaves its heat there: by the
 * psychrometric relation h/gamma (e - e_saturated) per side. A dry leaf has none to give back. */
static balance latent(const ow_plate *plate, double plate_c)
{
    bool rime = plate_c < 0.0;
    ow_saturation at =
        rime ? ow_saturation_over_ice(plate_c) : ow_saturation_over_water(plate_c);
    if (isnan(plate->vapour_kpa) || plate->vapour_kpa <= at.kpa) {
        return (balance){0.0, 0.0};
    }
    double per_kpa = 2.0 * plate->h_w_m2k / ow_psychrometric_kpa_k(plate->pressure_kpa) *
                     (rime ? RIME_OVER_DEW : 1.0);
    return (balance){per_kpa * (plate->vapour_kpa - at.kpa), -per_kpa * at.slope_kpa_k};
}

static balance balance_at(const ow_plate *plate, double plate_c)
{
    balance wet = latent(plate, plate_c);
    double falls_on = plate->emissivity * (plate->above_wm2 + plate->below_wm2);
    double emits = 2.0 * plate->emissivity * ow_black_body_wm2(plate_c);
    return (balance){
        .gain_wm2 = falls_on - emits + plate->sun_wm2 +
                    2.0 * plate->h_w_m2k * (plate->air_c - plate_c) + wet.gain_wm2,
        .slope_w_m2k = -2.0 * plate->emissivity * ow_radiative_black(plate_c) -
                       2.0 * plate->h_w_m2k + wet.slope_w_m2k,
    };
}

#define COLDEST_K 100.0
#define WARMEST_K 200.0
#define ROUNDS 60
#define CLOSE_K 1e-7 /* of the last step: what is left is its square, or at a kink some of it */

/* The gain falls with temperature, so the bracket always holds the root; Newton inside it, a
 * halving where Newton leaves it (the balance has kinks at the dew point and at 0 C). */
double ow_plate_c(const ow_plate *plate)
{
    double low = plate->air_c - COLDEST_K;
    double high = plate->air_c + WARMEST_K;
    double at = plate->air_c;
    for (int round = 0; round < ROUNDS; round++) {
        balance now = balance_at(plate, at);
        if (now.gain_wm2 > 0.0) {
            low = at;
        } else {
            high = at;
        }
        double next = at - now.gain_wm2 / now.slope_w_m2k;
        if (!(next >= low && next <= high)) {
            next = 0.5 * (low + high);
        }
        if (fabs(next - at) < CLOSE_K) {
            return next;
        }
        at = next;
    }
    return at;
}

double ow_leaf_convection(double width_m, double wind_ms)
{
    double width = fmin(fmax(width_m, 0.002), 0.5);
    return (OW_LEAF_STILL + OW_LEAF_PER_WIND * wind_ms) * sqrt(OW_LEAF_WIDTH_M / width);
}

/* From below: the ground, and under a cover what the cover keeps at the air within. */
static double below_wm2(const ow_leaf *leaf, double cover_wm2, double around_wm2)
{
    if (isnan(leaf->under_c)) {
        return around_wm2;
    }
    double ground_wm2 = ow_black_body_wm2(leaf->under_c);
    return (1.0 - leaf->sky_shut) * ground_wm2 + leaf->sky_shut * cover_wm2;
}

/* Long-wave from above: the open sky, the cover at the air within, and what stands around. */
static double above_wm2(const ow_leaf *leaf, const ow_sky *sky, double cover_wm2, double around_wm2)
{
    double open = leaf->sky_view * (1.0 - leaf->sky_shut);
    double covered = leaf->sky_view * leaf->sky_shut;
    return open * sky->longwave_wm2 + covered * cover_wm2 + (1.0 - leaf->sky_view) * around_wm2;
}

ow_leaf_state ow_leaf_under(const ow_leaf *leaf, const ow_sky *sky)
{
    double air_c = sky->air_c + leaf->credit_k;
    double within_wm2 = ow_black_body_wm2(air_c);
    double around_wm2 = isnan(leaf->surround_c) ? within_wm2 : ow_black_body_wm2(leaf->surround_c);
    double wind_ms = sky->wind_ms * leaf->wind_share * (1.0 - leaf->wind_shut);
    double light_wm2 = ow_sun_on_plane_wm2(sky, 0.0, 0.0, leaf->sun_share, leaf->sky_view);
    ow_plate plate = {
        .air_c = air_c,
        .above_wm2 = above_wm2(leaf, sky, within_wm2, around_wm2),
        .below_wm2 = below_wm2(leaf, within_wm2, around_wm2),
        .sun_wm2 = OW_LEAF_ABSORBS * (1.0 - leaf->light_shut) * light_wm2,
        .emissivity = OW_LEAF_EMISSIVITY,
        .h_w_m2k = ow_leaf_convection(leaf->width_m, wind_ms),
        .vapour_kpa = sky->vapour_kpa,
        .pressure_kpa = sky->pressure_kpa,
    };
    return (ow_leaf_state){.leaf_c = ow_plate_c(&plate), .air_at_leaf_c = air_c};
}
