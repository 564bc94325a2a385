/* SPDX-License-Identifier: MIT */
#include "garden/cast.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "garden/climate.h"
#include "garden/column.h"
#include "physics/materials.h"
#include "physics/ow_math.h"
#include "physics/surface.h"

/* Production grids; see docs/verification.md for what they reach. */
static const ow_grid grids[OW_BODY_GRIDS] = {
    [OW_BODY_POT] = {.nr = 8, .nz = 8, .upper_rows = 0},
    [OW_BODY_SMALL_POT] = {.nr = 8, .nz = 8, .upper_rows = 0},
    [OW_BODY_BED] = {.nr = 1, .nz = OW_COLUMN_CELLS, .upper_rows = 0},
    [OW_BODY_TRUNK] = {.nr = 6, .nz = 12, .upper_rows = 5},
};
enum { MOST_FACES = 32 };
static const double POT_GROWTH = 1.2, TRUNK_GROWTH = 1.25;

/* Depth of a growing point that sits at the soil of a pot or bed without a trunk. */
static const double CROWN_DEPTH_M = 0.02;

static ow_status medium_of_soil(const ow_soil *soil, ow_medium *medium)
{
    *medium = soil->measured.medium;
    return isnan(medium->thawed_w_mk) ? ow_medium_of(soil->kind, soil->moisture, medium) : OW_OK;
}

static int pot_parts(const ow_pot *pot)
{
    ow_medium medium;
    return medium_of_soil(&pot->soil, &medium) == OW_OK
               ? ow_step_parts(ow_pot_radius_m(pot), pot->depth_mm / 1000.0, medium.thawed_j_m3k)
               : 1;
}

int ow_root_grid(const ow_plant *plant)
{
    if (!plant->pot.given) {
        return OW_BODY_BED;
    }
    return pot_parts(&plant->pot) > 1 ? OW_BODY_SMALL_POT : OW_BODY_POT;
}

/* ---- building -------------------------------------------------------------------------------- */

/* A named medium whose numbers lie so many deviations off the tables'. */
static ow_status law_of_kind(ow_medium_kind kind, ow_moisture moisture, const double *normal,
                             ow_law *law)
{
    ow_medium medium;
    ow_range water, conducts, freezes;
    ow_status status = ow_medium_water_range(kind, moisture, &water);
    if (status == OW_OK) {
        status = ow_medium_conducts_range(kind, &conducts);
    }
    if (status == OW_OK) {
        status = ow_medium_freezes_range(kind, &freezes);
    }
    if (status == OW_OK) {
        ow_medium_draw draw = {.water = ow_range_at(water, normal[OW_UNKNOWN_WATER]),
                               .conducts = ow_range_at(conducts, normal[OW_UNKNOWN_CONDUCTS]),
                               .freezes = ow_range_at(freezes, normal[OW_UNKNOWN_FREEZES])};
        status = ow_medium_drawn(kind, moisture, draw, &medium);
    }
    return status == OW_OK ? ow_law_of_medium(&medium, OW_HINGES, law) : status;
}

static const double as_tabled[OW_UNKNOWNS];

static ow_status law_of_soil(const ow_soil *soil, const double *normal, ow_law *law)
{
    bool measured = !isnan(soil->measured.medium.thawed_w_mk);
    return measured ? ow_law_of_medium(&soil->measured.medium, OW_HINGES, law)
                    : law_of_kind(soil->kind, soil->moisture, normal, law);
}

static ow_status trunk_law(const ow_plant *plant, const double *normal, ow_law *law)
{
    bool fibrous = (plant->tolerance.traits & OW_TRAIT_FIBROUS_TRUNK) != 0;
    ow_medium_kind kind = fibrous ? OW_MEDIUM_FIBROUS_TRUNK : OW_MEDIUM_WOODY_TRUNK;
    return law_of_kind(kind, OW_MOISTURE_MOIST, normal, law);
}

static ow_status put_pot(ow_block *b, int lane, const ow_pot *pot, double start_c)
{
    double r[MOST_FACES], z[MOST_FACES];
    ow_law law;
    ow_status status = law_of_soil(&pot->soil, as_tabled, &law);
    if (status != OW_OK) {
        return status;
    }
    ow_spread_faces(ow_pot_radius_m(pot), b->grid.nr, POT_GROWTH, OW_FINE_END, r);
    ow_spread_faces(pot->depth_mm / 1000.0, b->grid.nz, POT_GROWTH, OW_FINE_BOTH, z);
    ow_body body = {.r_face_m = r, .z_face_m = z, .law = &law, .start_c = start_c};
    return ow_block_put(b, lane, &body);
}

static ow_status put_bed(ow_block *b, int lane, const ow_garden *garden, const ow_plant *plant,
                         double surface_c, ow_utc_s utc_s)
{
    ow_law law;
    ow_status status = law_of_soil(&plant->bed.soil, as_tabled, &law);
    return status == OW_OK ? ow_column_put(b, lane, &law, &garden->site, utc_s, surface_c,
                                           plant->start_c)
                           : status;
}

static ow_status put_trunk(ow_block *b, int lane, const ow_plant *plant, double start_c)
{
    double r[MOST_FACES], z[MOST_FACES];
    ow_law law;
    ow_status status = trunk_law(plant, as_tabled, &law);
    if (status != OW_OK) {
        return status;
    }
    ow_spread_faces(plant->trunk.diameter_mm / 2000.0, b->grid.nr, POT_GROWTH, OW_FINE_END, r);
    ow_spread_faces(plant->trunk.height_mm / 1000.0, b->grid.nz, TRUNK_GROWTH, OW_FINE_START, z);
    ow_body body = {.r_face_m = r, .z_face_m = z, .law = &law, .start_c = start_c};
    return ow_block_put(b, lane, &body);
}

static ow_block *block_of(const ow_cast *cast, int grid, ow_lane at)
{
    return &cast->block[grid][at.block];
}

static ow_block *root_block(const ow_cast *cast, const ow_actor *a)
{
    return block_of(cast, a->root_grid, a->root);
}

/* How far down roots are looked at: all of a pot. */
static double root_depth_m(int root_grid)
{
    return root_grid == OW_BODY_BED ? OW_ROOT_ZONE_M : INFINITY;
}

/* What is known before the first step: the root ball. Leaves and parts want weather first. */
static void sense_start(const ow_cast *cast, ow_actor *a)
{
    a->sense.air_c = a->sense.leaf_air_c = a->sense.sun_wm2 = a->sense.wind_ms = NAN;
    for (int p = 0; p < OW_PARTS; p++) {
        a->sense.part_c[p] = NAN;
    }
    ow_block_inside_above(root_block(cast, a), a->root.lane, root_depth_m(a->root_grid),
                          &a->sense.root);
}

static ow_status start_actor(ow_cast *cast, ow_actor *a, double start_c, ow_utc_s utc_s)
{
    const ow_garden *g = cast->garden;
    const ow_plant *plant = &g->plants[a->plant];
    double at = isnan(plant->start_c) ? start_c : plant->start_c;
    a->place = plant->place.at;
    ow_status status = plant->pot.given
                           ? put_pot(root_block(cast, a), a->root.lane, &plant->pot, at)
                           : put_bed(root_block(cast, a), a->root.lane, g, plant, at, utc_s);
    if (status == OW_OK && plant->trunk.given) {
        status = put_trunk(block_of(cast, OW_BODY_TRUNK, a->trunk), a->trunk.lane, plant, at);
    }
    a->has_tray = plant->pot.given && isnan(plant->pot.base_r_m2k_w) &&
                  plant->pot.stands_on == OW_BASE_TRAY;
    if (a->has_tray) {
        a->tray = ow_tray_at(plant->pot.tray_mm / 1000.0, fmax(at, 0.0));
    }
    if (plant->bed.given) {
        a->topsoil = ow_bed_topsoil(&plant->bed);
    }
    for (int i = 0; status == OW_OK && i < plant->wearing.count; i++) {
        status = ow_dress_add(&a->dress, g, plant->wearing.item[i].at);
    }
    ow_condition_start(&a->condition, utc_s, g->site.latitude_deg);
    if (status == OW_OK) {
        sense_start(cast, a);
    }
    return status;
}

/* Lanes are handed out in the order of the actors, block after block. */
static void hand_out_lanes(ow_cast *cast)
{
    int used[OW_BODY_GRIDS] = {0};
    for (int i = 0; i < cast->actors; i++) {
        ow_actor *a = &cast->actor[i];
        const ow_plant *plant = &cast->garden->plants[a->plant];
        a->root_grid = ow_root_grid(plant);
        int *next = &used[a->root_grid];
        a->root = (ow_lane){*next / OW_LANES, *next % OW_LANES};
        (*next)++;
        a->trunk = (ow_lane){-1, 0};
        if (plant->trunk.given) {
            next = &used[OW_BODY_TRUNK];
            a->trunk = (ow_lane){*next / OW_LANES, *next % OW_LANES};
            (*next)++;
        }
    }
    for (int g = 0; g < OW_BODY_GRIDS; g++) {
        cast->blocks[g] = (used[g] + OW_LANES - 1) / OW_LANES;
    }
}

static size_t round_up(size_t bytes)
{
    return (bytes + 63) / 64 * 64;
}

static ow_status build_blocks(ow_cast *cast)
{
    size_t bytes = 0;
    for (int g = 0; g < OW_BODY_GRIDS; g++) {
        bytes += (size_t)cast->blocks[g] *
                 (round_up(sizeof(ow_block)) + round_up(ow_block_bytes(&grids[g])));
    }
    char *at = cast->memory = aligned_alloc(64, bytes + 64);
    if (at == NULL) {
        return OW_NO_MEMORY;
    }
    for (int g = 0; g < OW_BODY_GRIDS; g++) {
        cast->block[g] = (ow_block *)(void *)at;
        at += round_up((size_t)cast->blocks[g] * sizeof(ow_block));
        for (int i = 0; i < cast->blocks[g]; i++) {
            ow_status status = ow_block_init(&cast->block[g][i], &grids[g], at);
            if (status != OW_OK) {
                return status;
            }
            at += round_up(ow_block_bytes(&grids[g]));
        }
    }
    return OW_OK;
}

ow_status ow_cast_new(const ow_garden *garden, const int *plant, int n, const double *start_c,
                      ow_utc_s utc_s, ow_cast **out)
{
    ow_cast *cast = calloc(1, sizeof *cast);
    ow_status status = OW_NO_MEMORY;
    if (cast == NULL) {
        return status;
    }
    cast->garden = garden;
    cast->actors = n;
    cast->actor = calloc((size_t)n, sizeof *cast->actor);
    if (cast->actor != NULL) {
        for (int i = 0; i < n; i++) {
            cast->actor[i].plant = plant[i];
        }
        hand_out_lanes(cast);
        status = build_blocks(cast);
    }
    for (int i = 0; status == OW_OK && i < n; i++) {
        status = start_actor(cast, &cast->actor[i], start_c[i], utc_s);
    }
    if (status != OW_OK) {
        ow_cast_free(cast);
        return status;
    }
    *out = cast;
    return OW_OK;
}

void ow_cast_free(ow_cast *cast)
{
    if (cast != NULL) {
        free(cast->actor);
        free(cast->memory);
        free(cast);
    }
}

void ow_cast_copy(ow_cast *to, int to_actor, const ow_cast *from, int from_actor)
{
    ow_actor *t = &to->actor[to_actor];
    const ow_actor *f = &from->actor[from_actor];
    ow_lane root = t->root, trunk = t->trunk;
    ow_block_copy(root_block(to, t), root.lane, root_block(from, f), f->root.lane);
    if (trunk.block >= 0) {
        ow_block_copy(block_of(to, OW_BODY_TRUNK, trunk), trunk.lane,
                      block_of(from, OW_BODY_TRUNK, f->trunk), f->trunk.lane);
    }
    *t = *f;
    t->root = root;
    t->trunk = trunk;
}

/* ---- what nobody has measured ---------------------------------------------------------------- */

static ow_departure off_of(const ow_plant *plant, const double normal[OW_UNKNOWNS])
{
    ow_range mulch = ow_cover_spec_of(OW_COVER_MULCH)->range;
    ow_wall wall = {.range = {1.0, 1.0}};
    if (plant->pot.given && ow_wall_of(plant->pot.wall, &wall) != OW_OK) {
        wall.range = (ow_range){1.0, 1.0};
    }
    return (ow_departure){.wall_r = ow_range_at(wall.range, normal[OW_UNKNOWN_WALL]) - 1.0,
                    .film = ow_range_at(OW_FILM_RANGE, normal[OW_UNKNOWN_FILM]) - 1.0,
                    .snow_r = ow_range_at(OW_SNOW_RANGE, normal[OW_UNKNOWN_SNOW]) - 1.0,
                    .sun = ow_range_at(OW_ABSORBS_RANGE, normal[OW_UNKNOWN_SUN]) - 1.0,
                    .vapour = ow_range_at(OW_VAPOUR_RANGE, normal[OW_UNKNOWN_VAPOUR]) - 1.0,
                    .mulch_r = ow_range_at(mulch, normal[OW_UNKNOWN_COVER]) - 1.0,
                    .grass_r = ow_range_at(OW_GRASS_RANGE, normal[OW_UNKNOWN_COVER]) - 1.0,
                    .cover_normal = normal[OW_UNKNOWN_COVER]};
}

ow_status ow_variant_of(const ow_plant *plant, const double normal[OW_UNKNOWNS], ow_variant *v)
{
    const ow_soil *soil = plant->pot.given ? &plant->pot.soil : &plant->bed.soil;
    v->off = off_of(plant, normal);
    memcpy(v->normal, normal, sizeof v->normal);
    ow_status status = law_of_soil(soil, normal, &v->root);
    return status == OW_OK && plant->trunk.given ? trunk_law(plant, normal, &v->trunk) : status;
}

void ow_cast_vary(ow_cast *cast, int actor, const ow_variant *v)
{
    ow_actor *a = &cast->actor[actor];
    ow_dress_differ(&a->dress, &v->off);
    ow_block_set_law(root_block(cast, a), a->root.lane, &v->root);
    if (a->trunk.block >= 0) {
        ow_block_set_law(block_of(cast, OW_BODY_TRUNK, a->trunk), a->trunk.lane, &v->trunk);
    }
    memcpy(a->normal, v->normal, sizeof a->normal);
    if (a->watered) {
        a->watered = false;
        ow_cast_water(cast, actor);
    }
}

bool ow_actor_is_dry(const ow_garden *garden, const ow_actor *a)
{
    const ow_pot *pot = &garden->plants[a->plant].pot;
    return pot->given && !a->watered && pot->soil.moisture == OW_MOISTURE_DRY &&
           isnan(pot->soil.measured.medium.thawed_w_mk);
}

void ow_cast_water(ow_cast *cast, int actor)
{
    ow_actor *a = &cast->actor[actor];
    ow_law law;
    if (ow_actor_is_dry(cast->garden, a) &&
        law_of_kind(cast->garden->plants[a->plant].pot.soil.kind, OW_MOISTURE_MOIST,
                    a->normal, &law) == OW_OK) {
        ow_block_set_law(root_block(cast, a), a->root.lane, &law);
        a->watered = true;
    }
}

/* ---- a step ---------------------------------------------------------------------------------- */

static void set_faces(ow_block *b, int lane, const ow_boundary face[OW_FACES])
{
    for (int f = 0; f < OW_FACES; f++) {
        ow_block_boundary(b, lane, (ow_side)f, face[f]);
    }
}

static double bed_roots_c(const ow_cast *cast, const ow_actor *a)
{
    return ow_block_axis_c(root_block(cast, a), a->root.lane, 0.5 * OW_ROOT_ZONE_M);
}

/* What a trunk stands on: the root ball, or the bed at the depth of its roots. */
static double under_trunk_c(const ow_cast *cast, const ow_actor *a)
{
    bool bed = cast->garden->plants[a->plant].bed.given;
    return bed ? bed_roots_c(cast, a) : a->sense.root.mean_c;
}

static const ow_spot *spot_of(const ow_cast *cast, const ow_spot *spots, int i)
{
    return &spots[i * cast->apart + cast->actor[i].place];
}

/* How many actors are taken at once from that one on. */
static int abreast(const ow_cast *cast, int first)
{
    int left = cast->actors - first;
    return left < OW_BODIES_ABREAST ? left : OW_BODIES_ABREAST;
}

static void expose_root(ow_exposure *x, int body, const ow_cast *cast, ow_actor *a,
                        const ow_spot *spot, double deep_c)
{
    const ow_plant *plant = &cast->garden->plants[a->plant];
    ow_dress_fit(&a->dress, plant);
    if (plant->pot.given) {
        ow_pot_expose(x, body, &plant->pot, spot, &a->dress, a->has_tray ? &a->tray : NULL);
    } else {
        ow_bed_expose(x, body, &plant->bed, spot, &a->dress, &a->topsoil,
                      spot->ground_fixed ? spot->ground_c : deep_c);
    }
}

/* n actors from the first on. */
static void face_roots(ow_cast *cast, const ow_spot *spots, int first, int n, double deep_c)
{
    ow_boundary face[OW_FACES];
    ow_exposure x;
    ow_exposure_start(&x);
    for (int i = 0; i < n; i++) {
        expose_root(&x, i, cast, &cast->actor[first + i], spot_of(cast, spots, first + i), deep_c);
    }
    ow_exposure_work_out(&x);
    for (int i = 0; i < n; i++) {
        ow_actor *a = &cast->actor[first + i];
        ow_exposure_faces(&x, i, face);
        if (a->side_factor > 0.0) {
            face[OW_SIDE].h_w_m2k /= a->side_factor;
            face[OW_SIDE_UPPER].h_w_m2k /= a->side_factor;
        }
        set_faces(root_block(cast, a), a->root.lane, face);
    }
}

static void face_trunks(ow_cast *cast, const ow_spot *spots, int first, int n)
{
    ow_boundary face[OW_FACES];
    ow_exposure x;
    ow_exposure_start(&x);
    for (int i = 0; i < n; i++) {
        ow_actor *a = &cast->actor[first + i];
        if (a->trunk.block >= 0) {
            ow_trunk_expose(&x, i, &cast->garden->plants[a->plant].trunk,
                            spot_of(cast, spots, first + i), &a->dress, under_trunk_c(cast, a));
        }
    }
    ow_exposure_work_out(&x);
    for (int i = 0; i < n; i++) {
        ow_actor *a = &cast->actor[first + i];
        if (a->trunk.block >= 0) {
            ow_exposure_faces(&x, i, face);
            set_faces(block_of(cast, OW_BODY_TRUNK, a->trunk), a->trunk.lane, face);
        }
    }
}

void ow_cast_face(ow_cast *cast, const ow_spot *spots, ow_utc_s start_s)
{
    double deep_c = ow_normal_ground_c(&cast->garden->site, start_s, OW_COLUMN_M);
    for (int first = 0; first < cast->actors; first += OW_BODIES_ABREAST) {
        int n = abreast(cast, first);
        face_roots(cast, spots, first, n, deep_c);
        if (cast->blocks[OW_BODY_TRUNK] > 0) {
            face_trunks(cast, spots, first, n);
        }
    }
}

/* The tray pays what the pot's base took in this step, then the ground has its say. */
static void step_tray(const ow_cast *cast, ow_actor *a, const ow_spot *spot, int dt_s)
{
    const ow_block *b = root_block(cast, a);
    const ow_plant *plant = &cast->garden->plants[a->plant];
    double radius = ow_pot_radius_m(&plant->pot);
    a->tray.j_m2 -= b->base_in_j[a->root.lane] / (OW_PI * radius * radius);
    (void)ow_tray_step(&a->tray, 0.0, 0.0, spot->ground_c,
                       ow_tray_ground_w_m2k(&plant->pot, &a->tray), dt_s);
}

/* Without a gauge the topsoil stays as moist as it is. */
static void step_topsoil(const ow_cast *cast, ow_actor *a, const ow_spot *spot, int dt_s)
{
    const ow_block *b = root_block(cast, a);
    int lane = a->root.lane;
    double soil_c = ow_block_face_c(b, lane, OW_TOP);
    double into_soil_wm2 =
        (double)b->face_h[OW_TOP][lane] * ((double)b->te_c[OW_TOP][lane] - soil_c);
    double surface_c =
        soil_c +
        into_soil_wm2 * ow_bed_grass_r_m2k_w(&cast->garden->plants[a->plant].bed, &a->dress);
    if (spot->rain_known) {
        ow_topsoil_step(&a->topsoil, surface_c, spot->sky.air_c,
                        spot->rain_mm_h * dt_s / OW_HOUR_S, dt_s);
    }
}

static double growing_point_c(const ow_cast *cast, const ow_actor *a)
{
    const ow_plant *plant = &cast->garden->plants[a->plant];
    if (a->trunk.block >= 0) {
        return ow_block_axis_c(block_of(cast, OW_BODY_TRUNK, a->trunk), a->trunk.lane,
                               plant->trunk.growing_point_mm / 1000.0);
    }
    return ow_block_axis_c(root_block(cast, a), a->root.lane, CROWN_DEPTH_M);
}

/* A storage organ lies at its depth in a bed, in the middle of a pot's root ball. */
static double storage_c(const ow_cast *cast, const ow_actor *a)
{
    const ow_plant *plant = &cast->garden->plants[a->plant];
    double depth = plant->bed.given ? plant->bed.organ_depth_mm : 0.5 * plant->pot.depth_mm;
    return ow_block_axis_c(root_block(cast, a), a->root.lane, depth / 1000.0);
}

/* What dies back or drops its leaves has none in the cold half of the year. */
static bool in_leaf(const ow_actor *a, const ow_tolerance *stands, const ow_season *season)
{
    bool cold_half = season->allowed[a->condition.hardening.south] >= 0.5;
    return stands->leaves != OW_LEAVES_NONE || (stands->limit[OW_FOLIAGE].set && !cold_half);
}

static bool has_buds(const ow_cast *cast, const ow_actor *a)
{
    return cast->garden->plants[a->plant].tolerance.limit[OW_BUDS].set;
}

/* The insides of the root balls in one block. */
static void sense_roots(ow_cast *cast, int grid, int block)
{
    ow_inside inside[OW_LANES];
    ow_block_insides(&cast->block[grid][block], root_depth_m(grid), inside);
    for (int i = 0; i < cast->actors; i++) {
        ow_actor *a = &cast->actor[i];
        if (a->root_grid == grid && a->root.block == block) {
            a->sense.root = inside[a->root.lane];
        }
    }
}

_Static_assert(OW_PLATES_ABREAST >= 2 * OW_BODIES_ABREAST, "a leaf and a bud of each");

/* Leaves and buds of n actors from the first on. */
static void sense_leaves(ow_cast *cast, const ow_spot *spots, int first, int n,
                         const ow_season *season)
{
    ow_leaf_exposed leaf[OW_BODIES_ABREAST], bud[OW_BODIES_ABREAST];
    ow_plates plates;
    plates.n = 0;
    for (int i = 0; i < n; i++) {
        const ow_actor *a = &cast->actor[first + i];
        const ow_spot *spot = spot_of(cast, spots, first + i);
        leaf[i] = ow_leaf_expose(&plates, OW_LEAF_WIDTH_M, spot, &a->dress);
        if (has_buds(cast, a)) {
            bud[i] = ow_leaf_expose(&plates, OW_BUD_WIDTH_M, spot, &a->dress);
        }
    }
    ow_plates_settle(&plates);
    for (int i = 0; i < n; i++) {
        ow_actor *a = &cast->actor[first + i];
        const ow_tolerance *stands = &cast->garden->plants[a->plant].tolerance;
        ow_sense *s = &a->sense;
        s->part_c[OW_FOLIAGE] =
            in_leaf(a, stands, season) ? ow_leaf_exposed_c(&leaf[i], &plates) : NAN;
        s->part_c[OW_BUDS] = has_buds(cast, a) ? ow_leaf_exposed_c(&bud[i], &plates) : NAN;
        s->leaf_air_c = leaf[i].air_c;
        s->sun_wm2 = leaf[i].sun_wm2;
    }
}

static void sense_body(const ow_cast *cast, ow_actor *a, const ow_spot *spot)
{
    const ow_plant *plant = &cast->garden->plants[a->plant];
    const ow_tolerance *stands = &plant->tolerance;
    ow_sense *s = &a->sense;
    /* A pot's young roots lie at its cold edge; a bed's crust holds none. */
    s->part_c[OW_ROOTS] = plant->bed.given ? bed_roots_c(cast, a) : s->root.coldest_c;
    s->part_c[OW_GROWING_POINT] = a->trunk.block >= 0 || stands->limit[OW_GROWING_POINT].set
                                      ? growing_point_c(cast, a)
                                      : NAN;
    s->part_c[OW_STORAGE_ORGAN] =
        stands->limit[OW_STORAGE_ORGAN].set ? storage_c(cast, a) : NAN;
    s->air_c = spot->sky.air_c;
    s->wind_ms = spot->sky.wind_ms * spot->wind_share;
}

void ow_cast_step(ow_cast *cast, const ow_spot *spots, ow_utc_s start_s, int dt_s)
{
    for (int i = 0; i < cast->actors; i++) {
        ow_actor *a = &cast->actor[i];
        const ow_spot *spot = spot_of(cast, spots, i);
        ow_covers_step(a->dress.cover, a->dress.n, spot->rain_mm_h,
                       spot->sky.wind_ms * spot->wind_share, dt_s);
    }
    ow_cast_face(cast, spots, start_s);
    for (int g = 0; g < OW_BODY_GRIDS; g++) {
        int parts = g == OW_BODY_SMALL_POT ? OW_QUICK_PARTS : 1;
        for (int i = 0; i < cast->blocks[g]; i++) {
            ow_block_step_in(&cast->block[g][i], parts, dt_s, (uint64_t)(start_s / dt_s));
            if (g != OW_BODY_TRUNK) {
                sense_roots(cast, g, i);
            }
        }
    }
    ow_season season = ow_season_at(start_s + dt_s, dt_s);
    for (int first = 0; first < cast->actors; first += OW_BODIES_ABREAST) {
        sense_leaves(cast, spots, first, abreast(cast, first), &season);
    }
    for (int i = 0; i < cast->actors; i++) {
        ow_actor *a = &cast->actor[i];
        const ow_spot *spot = spot_of(cast, spots, i);
        if (a->has_tray) {
            step_tray(cast, a, spot, dt_s);
        }
        if (cast->garden->plants[a->plant].bed.given) {
            step_topsoil(cast, a, spot, dt_s);
        }
        sense_body(cast, a, spot);
        ow_condition_step(&a->condition, &cast->garden->plants[a->plant].tolerance, &a->sense,
                          &season, start_s + dt_s, dt_s);
    }
}

void ow_cast_exchange(const ow_cast *cast, int place, double *w_k, double *w)
{
    *w_k = *w = 0.0;
    for (int i = 0; i < cast->actors; i++) {
        const ow_actor *a = &cast->actor[i];
        if (a->place != place || cast->garden->plants[a->plant].bed.given) {
            continue;
        }
        double ga, gat;
        bool raised = ow_pot_base_in_air(&cast->garden->plants[a->plant].pot);
        for (int f = 0; f <= (raised ? OW_BASE : OW_TOP); f++) {
            ow_block_exchange(root_block(cast, a), a->root.lane, (ow_side)f, &ga, &gat);
            *w_k += ga;
            *w += gat;
        }
        for (int f = 0; a->trunk.block >= 0 && f <= OW_TOP; f++) {
            ow_block_exchange(block_of(cast, OW_BODY_TRUNK, a->trunk), a->trunk.lane, (ow_side)f,
                              &ga, &gat);
            *w_k += ga;
            *w += gat;
        }
    }
}

static ow_block *probed(const ow_cast *cast, const ow_actor *a, bool trunk, int *lane)
{
    *lane = trunk ? a->trunk.lane : a->root.lane;
    if (trunk) {
        return a->trunk.block >= 0 ? block_of(cast, OW_BODY_TRUNK, a->trunk) : NULL;
    }
    return root_block(cast, a);
}

void ow_cast_warm(ow_cast *cast, int actor, bool trunk, double j_m3)
{
    int lane;
    ow_block *b = probed(cast, &cast->actor[actor], trunk, &lane);
    double h[OW_LINE_CELLS];
    int cells = b != NULL ? b->grid.nr * b->grid.nz : 0;
    for (int i = 0; i < cells; i++) {
        h[i] = ow_block_h(b, lane, i) + j_m3;
    }
    if (cells > 0) {
        ow_block_set_h(b, lane, h);
    }
}

double ow_cast_probe_c(const ow_cast *cast, int actor, bool trunk)
{
    const ow_actor *a = &cast->actor[actor];
    if (!trunk) {
        return a->sense.root.centre_c;
    }
    double half_m = cast->garden->plants[a->plant].trunk.height_mm / 2000.0;
    return a->trunk.block >= 0
               ? ow_block_axis_c(block_of(cast, OW_BODY_TRUNK, a->trunk), a->trunk.lane, half_m)
               : NAN;
}

const ow_law *ow_cast_law(const ow_cast *cast, int actor, bool trunk)
{
    int lane;
    const ow_block *b = probed(cast, &cast->actor[actor], trunk, &lane);
    return b != NULL ? &b->law[lane] : NULL;
}

double ow_cast_axis_c(const ow_cast *cast, int actor, double depth_m)
{
    const ow_actor *a = &cast->actor[actor];
    return ow_block_axis_c(root_block(cast, a), a->root.lane, depth_m);
}

double ow_cast_bed_c(const ow_cast *cast, int actor, double depth_m)
{
    const ow_actor *a = &cast->actor[actor];
    if (!cast->garden->plants[a->plant].bed.given) {
        return NAN;
    }
    return ow_cast_axis_c(cast, actor, depth_m);
}
