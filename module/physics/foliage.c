/* SPDX-License-Identifier: MIT */
#include "physics/foliage.h"

#include <math.h>
#include <stdbool.h>

#include "physics/humidity.h"
#include "physics/lanes.h"
#include "physics/surface.h"

/* Latent heat of rime over that of dew (2.834 and FAO-56's 2.45 MJ/kg): more heat per vapour. */
#define RIME_OVER_DEW (2.834 / 2.45)

int ow_plates_put(ow_plates *p, const ow_plate *plate)
{
    int i = p->n++;
    p->air_c[i] = plate->air_c;
    p->falls_on_wm2[i] = plate->emissivity * (plate->above_wm2 + plate->below_wm2) + plate->sun_wm2;
    p->emissivity[i] = plate->emissivity;
    p->h_w_m2k[i] = plate->h_w_m2k;
    p->vapour_kpa[i] = plate->vapour_kpa;
    p->per_kpa[i] = 2.0 * plate->h_w_m2k / ow_psychrometric_kpa_k(plate->pressure_kpa);
    return i;
}

typedef struct balance {
    double gain_wm2;    /* heat gained at a trial temperature; 0 at the root */
    double slope_w_m2k; /* its derivative, always negative */
} balance;

/* Vapour that meets a surface below its dew or frost point leaves its heat there: by the
 * psychrometric relation h/gamma (e - e_saturated) per side. A dry leaf has none to give back. */
OW_INLINE balance latent(const ow_plates *p, int i, double plate_c)
{
    bool rime = plate_c < 0.0;
    ow_tetens over = {rime ? OW_TETENS_ICE.a : OW_TETENS_WATER.a,
                      rime ? OW_TETENS_ICE.b : OW_TETENS_WATER.b};
    ow_saturation at = ow_saturation_by(over, plate_c);
    double per_kpa = p->per_kpa[i] * (rime ? RIME_OVER_DEW : 1.0);
    bool wet = p->vapour_kpa[i] > at.kpa; /* not where it is NAN */
    return (balance){wet ? per_kpa * (p->vapour_kpa[i] - at.kpa) : 0.0,
                     wet ? -per_kpa * at.slope_kpa_k : 0.0};
}

OW_INLINE balance balance_at(const ow_plates *p, int i, double plate_c)
{
    balance wet = latent(p, i, plate_c);
    double emits = 2.0 * p->emissivity[i] * ow_black_body_wm2(plate_c);
    double h = 2.0 * p->h_w_m2k[i];
    return (balance){
        .gain_wm2 = p->falls_on_wm2[i] - emits + h * (p->air_c[i] - plate_c) + wet.gain_wm2,
        .slope_w_m2k = -2.0 * p->emissivity[i] * ow_radiative_black(plate_c) - h + wet.slope_w_m2k,
    };
}

#define COLDEST_K 100.0
#define WARMEST_K 200.0
#define ROUNDS 60
#define CLOSE_K 1e-7 /* of the last step: what is left is its square, or at a kink some of it */

/* What is known of each root, and how far it moved last: a plate that moved less than CLOSE_K is
 * left alone, so that its company changes nothing. */
typedef struct search {
    ow_plate_row low, high, moved_k;
} search;

/* The gain falls with temperature, so the bracket always holds the root; Newton inside it, a
 * halving where Newton leaves it (the balance has kinks at the dew point and at 0 C). */
OW_INLINE bool look_closer(ow_plates *p, search *s)
{
    double moving = 0.0;
    OW_VECTORISE("omp simd reduction(+:moving)")
    for (int i = 0; i < p->n; i++) {
        double at = p->plate_c[i];
        balance now = balance_at(p, i, at);
        double low = now.gain_wm2 > 0.0 ? at : s->low[i];
        double high = now.gain_wm2 > 0.0 ? s->high[i] : at;
        double next = at - now.gain_wm2 / now.slope_w_m2k;
        next = next >= low && next <= high ? next : 0.5 * (low + high);
        bool settled = s->moved_k[i] < CLOSE_K;
        double moved_k = settled ? 0.0 : fabs(next - at);
        p->plate_c[i] = settled ? at : next;
        s->low[i] = low;
        s->high[i] = high;
        s->moved_k[i] = moved_k;
        moving += moved_k < CLOSE_K ? 0.0 : 1.0;
    }
    return moving > 0.0;
}

OW_CLONES static void settle(ow_plates *p)
{
    search s;
    for (int i = 0; i < p->n; i++) {
        p->plate_c[i] = p->air_c[i];
        s.low[i] = p->air_c[i] - COLDEST_K;
        s.high[i] = p->air_c[i] + WARMEST_K;
        s.moved_k[i] = INFINITY;
    }
    for (int round = 0; round < ROUNDS && look_closer(p, &s); round++) {
    }
}

void ow_plates_settle(ow_plates *p)
{
    settle(p);
}

double ow_plate_c(const ow_plate *plate)
{
    ow_plates alone;
    alone.n = 0;
    int number = ow_plates_put(&alone, plate);
    ow_plates_settle(&alone);
    return alone.plate_c[number];
}

double ow_leaf_convection(double width_m, double wind_ms)
{
    double width = width_m < 0.002 ? 0.002 : width_m > 0.5 ? 0.5 : width_m;
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

ow_plate ow_leaf_plate(const ow_leaf *leaf, const ow_sky *sky)
{
    double air_c = sky->air_c + leaf->credit_k;
    double within_wm2 = ow_black_body_wm2(air_c);
    double around_wm2 = isnan(leaf->surround_c) ? within_wm2 : ow_black_body_wm2(leaf->surround_c);
    double wind_ms = sky->wind_ms * leaf->wind_share * (1.0 - leaf->wind_shut);
    double light_wm2 = ow_sun_on_plane_wm2(sky, 0.0, 0.0, leaf->sun_share, leaf->sky_view);
    return (ow_plate){
        .air_c = air_c,
        .above_wm2 = above_wm2(leaf, sky, within_wm2, around_wm2),
        .below_wm2 = below_wm2(leaf, within_wm2, around_wm2),
        .sun_wm2 = OW_LEAF_ABSORBS * (1.0 - leaf->light_shut) * light_wm2,
        .emissivity = OW_LEAF_EMISSIVITY,
        .h_w_m2k = ow_leaf_convection(leaf->width_m, wind_ms),
        .vapour_kpa = sky->vapour_kpa,
        .pressure_kpa = sky->pressure_kpa,
    };
}

ow_leaf_state ow_leaf_under(const ow_leaf *leaf, const ow_sky *sky)
{
    ow_plate plate = ow_leaf_plate(leaf, sky);
    return (ow_leaf_state){.leaf_c = ow_plate_c(&plate), .air_at_leaf_c = plate.air_c};
}
