/* SPDX-License-Identifier: MIT */
#include "physics/materials.h"

#include <math.h>
#include <string.h>

#include "physics/constants.h"
#include "physics/ow_math.h"

/* ---- words ----------------------------------------------------------------------------------- */

#define NAME_LIST(function, LIST)                                                                  \
    const char *const *function(size_t *n)                                                         \
    {                                                                                              \
        static const char *const names[] = {LIST(OW_WORD_NAME)};                                   \
        if (n)                                                                                     \
            *n = sizeof names / sizeof names[0];                                                   \
        return names;                                                                              \
    }

NAME_LIST(ow_medium_names, OW_MEDIUM_LIST)
NAME_LIST(ow_moisture_names, OW_MOISTURE_LIST)
NAME_LIST(ow_wall_names, OW_WALL_LIST)
NAME_LIST(ow_base_names, OW_BASE_LIST)
NAME_LIST(ow_place_kind_names, OW_PLACE_KIND_LIST)

ow_status ow_name_index(const char *const *names, size_t n, const char *word, size_t *index)
{
    for (size_t i = 0; i < n; i++) {
        if (strcmp(names[i], word) == 0) {
            *index = i;
            return OW_OK;
        }
    }
    return OW_NOT_FOUND;
}

#define BY_NAME(function, type, names_of)                                                          \
    ow_status function(const char *word, type *kind)                                               \
    {                                                                                              \
        size_t n, index;                                                                           \
        const char *const *names = names_of(&n);                                                   \
        ow_status status = ow_name_index(names, n, word, &index);                                  \
        if (status == OW_OK)                                                                       \
            *kind = (type)index;                                                                   \
        return status;                                                                             \
    }

BY_NAME(ow_medium_kind_by_name, ow_medium_kind, ow_medium_names)
BY_NAME(ow_moisture_by_name, ow_moisture, ow_moisture_names)
BY_NAME(ow_wall_kind_by_name, ow_wall_kind, ow_wall_names)
BY_NAME(ow_base_kind_by_name, ow_base_kind, ow_base_names)
BY_NAME(ow_place_kind_by_name, ow_place_kind, ow_place_kind_names)

/* ---- media ----------------------------------------------------------------------------------- */

typedef struct medium_row {
    ow_composition made_of;
    double water[OW_MOISTURE_COUNT]; /* by volume: dry, moist, wet, standing */
    double moist_freezing_c;         /* where ice first forms in it when moist */
    double curve_exponent;
} medium_row;

/* Sources, and which rows are common practice, stand in docs/materials.md. Standing water leaves
 * about a twentieth of the medium as entrapped air. */
static const medium_row media[OW_MEDIUM_COUNT] = {
    /* made of: mineral, organic, quartz, kg/m3, texture; then water, freezing point, exponent */
    [OW_MEDIUM_PEAT] = {{0.00, 0.10, 0.0, 140, OW_TEXTURE_FIBROUS},
                        {0.15, 0.45, 0.70, 0.85}, -0.10, 0.8},
    [OW_MEDIUM_PEAT_FREE_MIX] = {{0.05, 0.15, 0.4, 340, OW_TEXTURE_FIBROUS},
                                 {0.15, 0.40, 0.60, 0.75}, -0.10, 0.8},
    [OW_MEDIUM_BARK_MIX] = {{0.02, 0.20, 0.4, 330, OW_TEXTURE_FIBROUS},
                            {0.12, 0.30, 0.50, 0.73}, -0.10, 0.8},
    [OW_MEDIUM_COIR_MIX] = {{0.01, 0.07, 0.4, 125, OW_TEXTURE_FIBROUS},
                            {0.15, 0.45, 0.70, 0.87}, -0.10, 0.8},
    [OW_MEDIUM_LOAM_MIX] = {{0.30, 0.08, 0.4, 910, OW_TEXTURE_FINE},
                            {0.12, 0.30, 0.45, 0.57}, -0.10, 0.7},
    [OW_MEDIUM_GRIT_MIX] = {{0.42, 0.05, 0.4, 1180, OW_TEXTURE_COARSE},
                            {0.08, 0.20, 0.35, 0.48}, -0.07, 0.8},
    [OW_MEDIUM_BOG_MIX] = {{0.18, 0.07, 0.7, 575, OW_TEXTURE_FIBROUS},
                           {0.25, 0.50, 0.65, 0.71}, -0.07, 0.8},
    [OW_MEDIUM_LOAM] = {{0.48, 0.02, 0.4, 1300, OW_TEXTURE_FINE},
                        {0.12, 0.27, 0.38, 0.46}, -0.10, 0.5},
    [OW_MEDIUM_SAND] = {{0.60, 0.00, 0.6, 1590, OW_TEXTURE_COARSE},
                        {0.04, 0.12, 0.25, 0.37}, -0.03, 0.9},
    [OW_MEDIUM_CLAY] = {{0.50, 0.01, 0.1, 1340, OW_TEXTURE_FINE},
                        {0.20, 0.35, 0.42, 0.46}, -0.05, 0.3},
    [OW_MEDIUM_WOODY_TRUNK] = {{0.00, 0.30, 0.0, 450, OW_TEXTURE_FIBROUS},
                               {0.30, 0.50, 0.58, 0.65}, -0.30, 1.0},
    [OW_MEDIUM_FIBROUS_TRUNK] = {{0.00, 0.17, 0.0, 240, OW_TEXTURE_FIBROUS},
                                 {0.25, 0.45, 0.60, 0.78}, -0.10, 0.8},
    [OW_MEDIUM_WATER] = {{0.00, 0.00, 0.0, 0, OW_TEXTURE_FIBROUS},
                         {1.00, 1.00, 1.00, 1.00}, -0.02, 1.5},
};

/* Within these a freezing curve is near enough to what was measured in growing media. */
#define COLDEST_FREEZING_C (-0.30)
#define WARMEST_FREEZING_C (-0.02)

static const medium_row *row_of(ow_medium_kind kind)
{
    return (unsigned)kind < OW_MEDIUM_COUNT ? &media[kind] : NULL;
}

double ow_medium_water(ow_medium_kind kind, ow_moisture moisture)
{
    const medium_row *row = row_of(kind);
    return row && (unsigned)moisture < OW_MOISTURE_COUNT ? row->water[moisture] : NAN;
}

double ow_medium_kg_m3(ow_medium_kind kind, ow_moisture moisture)
{
    const medium_row *row = row_of(kind);
    return row ? row->made_of.dry_kg_m3 + ow_medium_water(kind, moisture) * OW_WATER_KG_M3 : NAN;
}

const ow_composition *ow_medium_composition(ow_medium_kind kind)
{
    const medium_row *row = row_of(kind);
    return row ? &row->made_of : NULL;
}

double ow_heat_capacity_j_m3k(double mineral, double organic, double liquid, double ice)
{
    return mineral * OW_MINERAL_J_M3K + organic * OW_ORGANIC_J_M3K + liquid * OW_WATER_J_M3K +
           ice * OW_ICE_J_M3K;
}

double ow_latent_j_m3(double water)
{
    return water * OW_LATENT_J_M3;
}

/* Johansen's dry conductivity from bulk density; it serves peat too (0.033 at 140 kg/m3). */
static double dry_w_mk(double dry_kg_m3)
{
    return (0.137 * dry_kg_m3 + 64.7) / (2700.0 - 0.947 * dry_kg_m3);
}

/* Geometric mean of the constituents with the pores full. */
static double saturated_w_mk(const ow_composition *of, bool frozen)
{
    double pores = 1.0 - of->mineral - of->organic;
    double quartz = of->mineral * of->quartz;
    double other = of->mineral - quartz;
    return ow_exp(quartz * ow_log(OW_QUARTZ_W_MK) + other * ow_log(OW_OTHER_MINERAL_W_MK) +
                  of->organic * ow_log(OW_ORGANIC_W_MK) +
                  pores * ow_log(frozen ? OW_ICE_W_MK : OW_WATER_W_MK));
}

/* Kersten number: how far the way from dry to saturated conductivity water has brought it. */
static double kersten(ow_texture texture, double saturation, bool frozen)
{
    if (texture == OW_TEXTURE_FIBROUS) {
        /* 0.4 puts half-wet frozen peat into the measured 0.43 to 0.67 W/mK. */
        double kappa = frozen ? 0.4 : 1.0;
        return kappa * saturation / (1.0 + (kappa - 1.0) * saturation);
    }
    if (frozen)
        return saturation;
    if (saturation <= 0.0)
        return 0.0;
    double slope = texture == OW_TEXTURE_COARSE ? 0.7 : 1.0;
    return fmax(0.0, 1.0 + slope * ow_log(saturation) / ow_log(10.0));
}

double ow_conductivity_w_mk(const ow_composition *of, double water, bool frozen)
{
    double saturation = fmin(1.0, water / (1.0 - of->mineral - of->organic));
    double dry = dry_w_mk(of->dry_kg_m3);
    return dry + kersten(of->texture, saturation, frozen) * (saturated_w_mk(of, frozen) - dry);
}

double ow_freezing_depression_k(double suction_pa)
{
    return suction_pa * OW_KELVIN / OW_LATENT_J_M3;
}

/*
 * What stays liquid at a temperature does not depend on how much water there was, so a drier
 * medium follows the same curve from a lower freezing point.
 */
static double freezing_c(const medium_row *row, double water)
{
    double ratio = row->water[OW_MOISTURE_MOIST] / water;
    double at = row->moist_freezing_c * ow_pow(ratio, 1.0 / row->curve_exponent);
    return fmin(WARMEST_FREEZING_C, fmax(COLDEST_FREEZING_C, at));
}

/* Where judgement takes a body as frozen; there every draw of a medium has the same ice. */
#define COLD_C (-5.0)
#define LEAST_EXPONENT 0.2 /* of a freezing curve that a law takes */

/* Moves the freezing point by a factor and bends the curve about its ice at COLD_C. */
static void freeze_at(ow_medium *medium, double times)
{
    double before = ow_log(COLD_C / medium->freezing_c);
    if (times == 1.0)
        return;
    medium->freezing_c =
        fmin(WARMEST_FREEZING_C, fmax(COLDEST_FREEZING_C, medium->freezing_c * times));
    double bent = medium->curve_exponent * before / ow_log(COLD_C / medium->freezing_c);
    medium->curve_exponent = fmax(LEAST_EXPONENT, bent);
}

ow_status ow_medium_drawn(ow_medium_kind kind, ow_moisture moisture, ow_medium_draw draw,
                          ow_medium *out)
{
    const medium_row *row = row_of(kind);
    double table_water = ow_medium_water(kind, moisture);
    if (!row || isnan(table_water))
        return OW_BAD_INPUT;
    const ow_composition *of = &row->made_of;
    double water = fmin(table_water * draw.water, 1.0 - of->mineral - of->organic);
    double thawed = draw.conducts * ow_conductivity_w_mk(of, water, false);
    *out = (ow_medium){
        .thawed_w_mk = thawed,
        /* Johansen's frozen line falls below the thawed one when dry; ice never conducts less
         * than the water it was. */
        .frozen_w_mk = fmax(thawed, draw.conducts * ow_conductivity_w_mk(of, water, true)),
        .thawed_j_m3k = ow_heat_capacity_j_m3k(of->mineral, of->organic, water, 0.0),
        .frozen_j_m3k = ow_heat_capacity_j_m3k(of->mineral, of->organic, 0.0,
                                               water * OW_ICE_GROWTH),
        .latent_j_m3 = ow_latent_j_m3(water),
        .freezing_c = freezing_c(row, table_water),
        .curve_exponent = row->curve_exponent,
    };
    freeze_at(out, draw.freezes);
    return OW_OK;
}

ow_status ow_medium_of(ow_medium_kind kind, ow_moisture moisture, ow_medium *out)
{
    return ow_medium_drawn(kind, moisture, (ow_medium_draw){1.0, 1.0, 1.0}, out);
}

ow_status ow_medium_water_range(ow_medium_kind kind, ow_moisture moisture, ow_range *out)
{
    const medium_row *row = row_of(kind);
    double water = ow_medium_water(kind, moisture);
    if (!row || isnan(water))
        return OW_BAD_INPUT;
    double pores = 1.0 - row->made_of.mineral - row->made_of.organic;
    double drier = moisture > 0 ? row->water[moisture - 1] : 0.0;
    double wetter = moisture < OW_MOISTURE_COUNT - 1 ? row->water[moisture + 1] : pores;
    *out = (ow_range){0.5 * (drier + water) / water, 0.5 * (wetter + water) / water};
    return OW_OK;
}

ow_status ow_medium_conducts_range(ow_medium_kind kind, ow_range *out)
{
    /* Sources stand in docs/materials.md. */
    static const ow_range by_texture[] = {
        [OW_TEXTURE_FINE] = {0.75, 1.30},
        [OW_TEXTURE_COARSE] = {0.70, 1.40},
        [OW_TEXTURE_FIBROUS] = {0.75, 1.35},
    };
    const medium_row *row = row_of(kind);
    if (!row)
        return OW_BAD_INPUT;
    *out = kind == OW_MEDIUM_WATER ? (ow_range){1.0, 1.0} : by_texture[row->made_of.texture];
    return OW_OK;
}

ow_status ow_medium_freezes_range(ow_medium_kind kind, ow_range *out)
{
    /* From the middle of growing media, -0.1 C, to the ends of theirs (docs/materials.md). */
    if (!row_of(kind))
        return OW_BAD_INPUT;
    *out = kind == OW_MEDIUM_WATER ? (ow_range){1.0, 1.0} : (ow_range){0.3, 3.0};
    return OW_OK;
}

/* ---- pot walls and bases --------------------------------------------------------------------- */

ow_status ow_wall_of(ow_wall_kind kind, ow_wall *out)
{
    static const struct {
        double thickness_m, w_mk;
        ow_range range; /* of the resistance: thickness and conductivity together */
    } walls[OW_WALL_COUNT] = {
        [OW_WALL_PLASTIC] = {0.003, 0.22, {0.4, 1.5}},    /* polypropylene */
        [OW_WALL_TERRACOTTA] = {0.010, 0.90, {0.7, 1.8}}, /* damp, as outdoors in winter; dry 0.6 */
        [OW_WALL_WOOD] = {0.020, 0.15, {0.75, 1.5}},      /* softwood boards, damp */
        [OW_WALL_GLAZED] = {0.010, 1.10, {0.7, 1.4}},     /* stoneware */
        [OW_WALL_FABRIC] = {0.004, 0.15, {0.4, 2.5}},     /* felt, damp */
        [OW_WALL_METAL] = {0.001, 50.0, {0.3, 3.0}},      /* steel */
        [OW_WALL_HANGING_BASKET] = {0.010, 0.10, {0.5, 2.0}}, /* coir or moss lining, damp */
    };
    if ((unsigned)kind >= OW_WALL_COUNT)
        return OW_BAD_INPUT;
    *out = (ow_wall){.thickness_m = walls[kind].thickness_m,
                     .w_mk = walls[kind].w_mk,
                     .r_m2k_w = walls[kind].thickness_m / walls[kind].w_mk,
                     .range = walls[kind].range};
    return OW_OK;
}

ow_status ow_base_of(ow_base_kind kind, ow_base *out)
{
    static const ow_base bases[OW_BASE_COUNT] = {
        [OW_BASE_SOIL] = {.r_m2k_w = 0.01},   /* presses in: little air left between */
        [OW_BASE_PAVING] = {.r_m2k_w = 0.05}, /* foot ring: thin air gap, then 50 mm of slab */
        [OW_BASE_DECK] = {.r_m2k_w = 0.18, .to_air = true}, /* 27 mm softwood boards, k 0.15 */
        [OW_BASE_RAISED] = {.r_m2k_w = 0.0, .to_air = true},
        [OW_BASE_TRAY] = {.r_m2k_w = 0.0, .water = true},
        [OW_BASE_MAT] = {.r_m2k_w = 0.28},    /* 10 mm of closed-cell foam, k 0.036 */
    };
    if ((unsigned)kind >= OW_BASE_COUNT)
        return OW_BAD_INPUT;
    *out = bases[kind];
    return OW_OK;
}

double ow_spreading_r_m2k_w(double radius_m, double ground_w_mk)
{
    return OW_PI * radius_m / (4.0 * ground_w_mk);
}
