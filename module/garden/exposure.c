/* SPDX-License-Identifier: MIT */
#include "garden/exposure.h"

#include <math.h>
#include <string.h>

#include "physics/materials.h"
#include "physics/surface.h"

/* Short-wave absorbed and long-wave emitted by pots, soil and bark: dull, rather dark surfaces
 * (handbook order). Snow throws most of the sun back. */
static const double ABSORBS = 0.7, SNOW_ABSORBS = 0.2, EMISSIVITY = 0.95;
static const double GRASS_ABSORBS = 0.77; /* FAO-56's reference surface, albedo 0.23 */

/* Leaves over a pot's top and a trunk's crown take part of the sky from it (our judgement). */
static const double VIEW_UNDER_LEAVES = 0.7;

/* Typical garden ground under a pot, W/mK, for the spreading of heat below it. */
static const double GROUND_W_MK = 1.5;

static const double BED_WIDTH_M = 1.0, TRUNK_TO_ROOT_M = 0.15, TRUNK_W_MK = 0.4;

/* A measured surface drives a bed as if nothing lay between. */
static const double DIRECT_W_M2K = 1e5;

static double extra_r(ow_cover_kind kind, const ow_departure *off)
{
    return ow_range_at(ow_cover_spec_of(kind)->range, off->cover_normal) - 1.0;
}

void ow_dress_differ(ow_dress *dress, const ow_departure *off)
{
    dress->off = *off;
    for (size_t i = 0; i < dress->n; i++) {
        dress->cover[i].extra_r = extra_r(dress->cover[i].kind, off);
    }
}

ow_status ow_dress_add(ow_dress *dress, const ow_garden *garden, int cover)
{
    const ow_cover *of = &garden->covers[cover];
    if (dress->n == OW_WORN_MAX) {
        return OW_FULL;
    }
    dress->cover[dress->n] =
        (ow_worn_cover){.kind = of->kind,
                        .r_m2k_w = of->r_m2k_w,
                        .on = of->on,
                        .holds_to_ms = isnan(of->wind_max_ms) ? 0.0 : of->wind_max_ms,
                        .extra_r = extra_r(of->kind, &dress->off)};
    dress->item[dress->n++] = cover;
    return OW_OK;
}

ow_status ow_dress_remove(ow_dress *dress, int cover)
{
    for (size_t i = 0; i < dress->n; i++) {
        if (dress->item[i] == cover) {
            dress->n--;
            for (size_t k = i; k < dress->n; k++) {
                dress->cover[k] = dress->cover[k + 1];
                dress->item[k] = dress->item[k + 1];
            }
            return OW_OK;
        }
    }
    return OW_NOT_FOUND;
}

static int worn_at(const ow_dress *dress, int cover)
{
    for (size_t i = 0; i < dress->n; i++) {
        if (dress->item[i] == cover) {
            return (int)i;
        }
    }
    return -1;
}

bool ow_dress_has(const ow_dress *dress, int cover)
{
    return worn_at(dress, cover) >= 0;
}

bool ow_dress_blown(const ow_dress *dress, int cover)
{
    int at = worn_at(dress, cover);
    return at >= 0 && dress->cover[at].state.blown_off;
}

bool ow_dress_lay_again(ow_dress *dress, int cover)
{
    int at = worn_at(dress, cover);
    if (at >= 0) {
        dress->cover[at].state = (ow_cover_state){0};
    }
    return at >= 0;
}

static ow_wall wall_of(const ow_pot *pot)
{
    ow_wall wall = {.r_m2k_w = pot->wall_r_m2k_w};
    if (isnan(pot->wall_r_m2k_w) && ow_wall_of(pot->wall, &wall) != OW_OK) {
        wall = (ow_wall){0};
    }
    return wall;
}

double ow_pot_radius_m(const ow_pot *pot)
{
    return pot->diameter_mm / 2000.0 - wall_of(pot).thickness_m;
}

static double trunk_radius_m(const ow_trunk *trunk)
{
    return trunk->diameter_mm / 2000.0;
}

static bool is_same(const ow_worn_cover *a, const ow_worn_cover *b)
{
    bool same_r = a->r_m2k_w == b->r_m2k_w || (isnan(a->r_m2k_w) && isnan(b->r_m2k_w));
    return a->kind == b->kind && a->on == b->on && same_r && a->extra_r == b->extra_r &&
           a->state.wet_zones == b->state.wet_zones && a->state.blown_off == b->state.blown_off;
}

static bool still_fits(const ow_dress *dress)
{
    const ow_lining *l = &dress->lining;
    bool fits = l->made && l->n == dress->n;
    for (size_t i = 0; fits && i < l->n; i++) {
        fits = is_same(&l->of[i], &dress->cover[i]);
    }
    return fits;
}

static void line_zone(const ow_dress *dress, ow_zone zone, double face_radius_m,
                      double start_radius_m, ow_zone_cover *out)
{
    ow_covers_on_zone(dress->cover, dress->n, zone, face_radius_m, start_radius_m, out);
}

void ow_dress_fit(ow_dress *dress, const ow_plant *plant)
{
    ow_lining *l = &dress->lining;
    if (still_fits(dress)) {
        return;
    }
    l->made = true;
    l->n = dress->n;
    memcpy(l->of, dress->cover, sizeof l->of);
    line_zone(dress, OW_ZONE_TOP, 0.0, 0.0, &l->top);
    line_zone(dress, OW_ZONE_FOLIAGE, 0.0, 0.0, &l->leaves);
    if (plant->pot.given) {
        double radius = ow_pot_radius_m(&plant->pot), wall = wall_of(&plant->pot).thickness_m;
        line_zone(dress, OW_ZONE_SIDE, radius, radius + wall, &l->side);
    }
    if (plant->trunk.given) {
        double radius = trunk_radius_m(&plant->trunk);
        line_zone(dress, OW_ZONE_SIDE, radius, radius, &l->trunk_side);
        line_zone(dress, OW_ZONE_GROWING_POINT, radius, radius, &l->trunk_upper);
        line_zone(dress, OW_ZONE_GROWING_POINT, 0.0, 0.0, &l->trunk_top);
    }
}

static double taken_in(double share, const ow_departure *off)
{
    double taken = share * (1.0 + off->sun);
    return taken < 1.0 ? taken : 1.0;
}

static ow_face face_of(ow_face_kind kind, double size_m, double absorbs, const ow_spot *spot,
                       const ow_zone_cover *cover, const ow_departure *off)
{
    return (ow_face){.kind = kind,
                     .diameter_m = size_m,
                     .sky_view = spot->sky_view,
                     .wind_share = spot->wind_share,
                     .sun_share = spot->sun_share,
                     .absorbs = absorbs * (1.0 - cover->shut_light),
                     .emissivity = EMISSIVITY,
                     .surround_c = spot->surround_c,
                     .faces_deg = kind == OW_FACE_MANTLE ? spot->faces_deg : NAN,
                     .extra = off->film};
}

/* ---- skins ----------------------------------------------------------------------------------- */

/* No film of ours: what lies outside is at te_c, behind a conductance of its own. */
static void put_fixed(ow_skin *skin, double te_c, double h_w_m2k)
{
    skin->film = -1;
    skin->outside.te_c = te_c;
    skin->outside.h_w_m2k = h_w_m2k;
    skin->topsoil = NULL;
    skin->round = skin->factor = 1.0;
    skin->snowed_in = false;
    skin->r_m2k_w = 0.0;
}

/* The film of a face there, of which a place may say how strong it is. */
static void put_film(ow_skin *skin, ow_faces *films, const ow_face *face, const ow_spot *spot)
{
    put_fixed(skin, spot->sky.air_c, spot->film_w_m2k);
    if (isnan(spot->film_w_m2k)) {
        skin->film = ow_faces_put(films, face, &spot->sky);
    }
}

static ow_boundary boundary_of(const ow_skin *skin, const ow_faces *films)
{
    ow_boundary film = skin->film < 0 ? skin->outside : ow_faces_film(films, skin->film);
    if (skin->topsoil != NULL) {
        film = ow_topsoil_film(skin->topsoil, film, EMISSIVITY, skin->sky);
    }
    film = ow_film_round(film, 1.0, skin->round);
    if (skin->snowed_in) { /* snow cannot be warmer than 0 C: it melts instead */
        film.te_c = film.te_c < 0.0 ? film.te_c : 0.0;
    }
    film = ow_boundary_behind(film, skin->r_m2k_w);
    film.h_w_m2k /= skin->factor;
    return film;
}

void ow_exposure_start(ow_exposure *x)
{
    x->films.flat = x->films.round = 0;
}

void ow_exposure_work_out(ow_exposure *x)
{
    ow_faces_work_out(&x->films);
}

void ow_exposure_faces(const ow_exposure *x, int body, ow_boundary face[OW_FACES])
{
    const ow_skin *skin = x->skin[body];
    face[OW_SIDE] = boundary_of(&skin[OW_SIDE], &x->films);
    face[OW_SIDE_UPPER] =
        x->one_side[body] ? face[OW_SIDE] : boundary_of(&skin[OW_SIDE_UPPER], &x->films);
    face[OW_TOP] = boundary_of(&skin[OW_TOP], &x->films);
    face[OW_BASE] = boundary_of(&skin[OW_BASE], &x->films);
}

/* ---- bodies ---------------------------------------------------------------------------------- */

static double wall_r(const ow_pot *pot, const ow_dress *dress)
{
    return isnan(pot->wall_r_m2k_w) ? wall_of(pot).r_m2k_w * (1.0 + dress->off.wall_r)
                                    : pot->wall_r_m2k_w;
}

/* Mantle of a round body: film outside of wall and covers, all referred to the medium's edge. */
static void mantle(ow_skin *skin, ow_faces *films, double radius_m, double r_m2k_w, double shielded,
                   const ow_zone_cover *cover, const ow_spot *spot, const ow_departure *off)
{
    ow_face face = face_of(OW_FACE_MANTLE, 2.0 * cover->outer_radius_m, taken_in(ABSORBS, off),
                           spot, cover, off);
    face.shielded_share = shielded;
    put_film(skin, films, &face, spot);
    skin->round = skin->film < 0 ? 1.0 : cover->outer_radius_m / radius_m;
    skin->r_m2k_w = r_m2k_w + cover->r_m2k_w;
}

/* Whether nothing keeps the vapour of a bed's top from the open air. */
static bool dries(const ow_spot *spot, double r_m2k_w)
{
    return spot->open_air && r_m2k_w <= 0.0 && spot->snow_cm < OW_SNOW_SHOWS_CM &&
           isnan(spot->film_w_m2k);
}

/* What lies on a bed beside covers and snow, m2K/W. */
typedef struct litter {
    double mulch_r, grass_r;
} litter;

static const litter BARE;

/* topsoil: of a bed, which dries where nothing shuts it in; NULL: no vapour counted. */
static void level_top(ow_skin *skin, ow_faces *films, double size_m, double view,
                      ow_topsoil *topsoil, litter on, const ow_zone_cover *cover,
                      const ow_spot *spot, const ow_departure *off)
{
    bool snowed_in = spot->snow_cm >= OW_SNOW_SHOWS_CM;
    bool grassed = on.grass_r > 0.0 && !snowed_in;
    ow_face face = face_of(grassed ? OW_FACE_GRASS : OW_FACE_LEVEL_UP, size_m,
                           taken_in(grassed ? GRASS_ABSORBS : ABSORBS, off), spot, cover, off);
    face.sky_view *= view;
    if (snowed_in) {
        face.absorbs = SNOW_ABSORBS;
    }
    put_film(skin, films, &face, spot);
    if (topsoil != NULL && dries(spot, cover->r_m2k_w + on.mulch_r)) {
        topsoil->extra = off->vapour;
        skin->topsoil = topsoil;
        skin->sky = &spot->sky;
    }
    skin->snowed_in = snowed_in && skin->film >= 0;
    skin->r_m2k_w = cover->r_m2k_w + on.mulch_r + on.grass_r +
                    (skin->snowed_in ? spot->snow_r_m2k_w * (1.0 + off->snow_r) : 0.0);
}

static void raised_base(ow_skin *skin, ow_faces *films, double radius_m, double r,
                        const ow_spot *spot, const ow_departure *off)
{
    ow_zone_cover none = {0};
    ow_face face = face_of(OW_FACE_LEVEL_DOWN, 2.0 * radius_m, 0.0, spot, &none, off);
    put_film(skin, films, &face, spot);
    skin->r_m2k_w = r;
}

static ow_base base_of(const ow_pot *pot)
{
    ow_base base = {.r_m2k_w = pot->base_r_m2k_w};
    if (isnan(pot->base_r_m2k_w) && ow_base_of(pot->stands_on, &base) != OW_OK) {
        base = (ow_base){0};
    }
    return base;
}

bool ow_pot_base_in_air(const ow_pot *pot)
{
    return base_of(pot).to_air;
}

/* From the underside of what it stands on to the ground's own temperature. */
static double ground_r(const ow_pot *pot, const ow_spot *spot)
{
    return spot->ground_fixed ? 0.0 : ow_spreading_r_m2k_w(ow_pot_radius_m(pot), GROUND_W_MK);
}

double ow_tray_ground_w_m2k(const ow_pot *pot, const ow_tray *tray)
{
    double spreading = ow_spreading_r_m2k_w(ow_pot_radius_m(pot), GROUND_W_MK);
    return 1.0 / (ow_tray_r_m2k_w(tray) + base_of(pot).r_m2k_w + spreading);
}

static void pot_base(ow_skin *skin, ow_faces *films, const ow_pot *pot, const ow_spot *spot,
                     const ow_dress *dress, const ow_tray *tray)
{
    double radius = ow_pot_radius_m(pot), wall = wall_r(pot, dress);
    ow_base base = base_of(pot);
    if (base.water && tray != NULL) {
        put_fixed(skin, ow_tray_c(tray), 1.0 / (wall + ow_tray_r_m2k_w(tray)));
    } else if (base.to_air) {
        raised_base(skin, films, radius, wall + base.r_m2k_w, spot, &dress->off);
    } else {
        double r = wall + base.r_m2k_w + ground_r(pot, spot);
        bool paved = isnan(pot->base_r_m2k_w) && pot->stands_on == OW_BASE_PAVING;
        put_fixed(skin, paved ? spot->paved_c : spot->ground_c, 1.0 / (r > 1e-4 ? r : 1e-4));
    }
}

/* So many times the resistance; 0 or NAN: none was given. */
static void times(ow_skin *skin, double factor)
{
    if (factor > 0.0) {
        skin->factor *= factor;
    }
}

void ow_pot_expose(ow_exposure *x, int body, const ow_pot *pot, const ow_spot *spot,
                   const ow_dress *dress, const ow_tray *tray)
{
    double radius = ow_pot_radius_m(pot);
    ow_skin *skin = x->skin[body];
    mantle(&skin[OW_SIDE], &x->films, radius, wall_r(pot, dress), pot->shielded_share,
           &dress->lining.side, spot, &dress->off);
    times(&skin[OW_SIDE], pot->side_factor);
    level_top(&skin[OW_TOP], &x->films, 2.0 * radius, VIEW_UNDER_LEAVES, NULL, BARE,
              &dress->lining.top, spot, &dress->off);
    times(&skin[OW_TOP], pot->top_factor);
    pot_base(&skin[OW_BASE], &x->films, pot, spot, dress, tray);
    x->one_side[body] = true;
}

ow_topsoil ow_bed_topsoil(const ow_bed *bed)
{
    bool named = isnan(bed->soil.measured.medium.thawed_w_mk);
    const ow_composition *of = ow_medium_composition(named ? bed->soil.kind : OW_MEDIUM_LOAM);
    return ow_topsoil_at(of->texture, bed->soil.moisture);
}

double ow_bed_grass_r_m2k_w(const ow_bed *bed, const ow_dress *dress)
{
    return bed->grass ? OW_GRASS_R_M2K_W * (1.0 + dress->off.grass_r) : 0.0;
}

void ow_bed_expose(ow_exposure *x, int body, const ow_bed *bed, const ow_spot *spot,
                   const ow_dress *dress, ow_topsoil *topsoil, double deep_c)
{
    ow_topsoil_close(topsoil);
    double mulch_r = ow_mulch_r_m2k_w(bed->mulch_mm / 1000.0, spot->rain_mm_h > 0.0);
    litter on = {.mulch_r = mulch_r * (1.0 + dress->off.mulch_r),
                 .grass_r = ow_bed_grass_r_m2k_w(bed, dress)};
    ow_skin *skin = x->skin[body];
    put_fixed(&skin[OW_SIDE], deep_c, 0.0);
    if (isnan(spot->surface_c)) {
        level_top(&skin[OW_TOP], &x->films, BED_WIDTH_M, 1.0, topsoil, on, &dress->lining.top, spot,
                  &dress->off);
        times(&skin[OW_TOP], bed->top_factor);
    } else {
        put_fixed(&skin[OW_TOP], spot->surface_c, DIRECT_W_M2K);
    }
    put_fixed(&skin[OW_BASE], deep_c, DIRECT_W_M2K);
    x->one_side[body] = true;
}

void ow_trunk_expose(ow_exposure *x, int body, const ow_trunk *trunk, const ow_spot *spot,
                     const ow_dress *dress, double root_c)
{
    double radius = trunk_radius_m(trunk);
    const ow_lining *l = &dress->lining;
    ow_skin *skin = x->skin[body];
    mantle(&skin[OW_SIDE], &x->films, radius, 0.0, 0.0, &l->trunk_side, spot, &dress->off);
    mantle(&skin[OW_SIDE_UPPER], &x->films, radius, 0.0, 0.0, &l->trunk_upper, spot, &dress->off);
    level_top(&skin[OW_TOP], &x->films, 2.0 * radius, VIEW_UNDER_LEAVES, NULL, BARE, &l->trunk_top,
              spot, &dress->off);
    put_fixed(&skin[OW_BASE], root_c, TRUNK_W_MK / TRUNK_TO_ROOT_M);
    x->one_side[body] = false;
}

/* ---- leaves ---------------------------------------------------------------------------------- */

ow_leaf_exposed ow_leaf_expose(ow_plates *plates, double width_m, const ow_spot *spot,
                               const ow_dress *dress)
{
    const ow_zone_cover *cover = &dress->lining.leaves;
    ow_leaf leaf = {.width_m = width_m,
                    .sky_view = spot->sky_view,
                    .wind_share = spot->wind_share * (1.0 + dress->off.film),
                    .sun_share = spot->sun_share,
                    .surround_c = spot->surround_c,
                    .under_c = spot->under_c,
                    .credit_k = cover->foliage_k,
                    .sky_shut = cover->shut_sky,
                    .light_shut = cover->shut_light,
                    .wind_shut = cover->shut_wind};
    ow_plate plate = ow_leaf_plate(&leaf, &spot->sky);
    return (ow_leaf_exposed){
        .plate = isnan(spot->film_w_m2k) ? ow_plates_put(plates, &plate) : -1,
        .air_c = plate.air_c,
        .sun_wm2 = plate.sun_wm2 / OW_LEAF_ABSORBS,
    };
}

double ow_leaf_exposed_c(const ow_leaf_exposed *leaf, const ow_plates *plates)
{
    return leaf->plate < 0 ? leaf->air_c : plates->plate_c[leaf->plate];
}

/* ---- bare ground ----------------------------------------------------------------------------- */

ow_boundary ow_ground_exposure(const ow_outdoors *out, ow_topsoil *topsoil)
{
    static const ow_zone_cover no_cover;
    static const ow_departure as_tabled;
    ow_place open = {.kind = OW_PLACE_OPEN_SKY, .film_w_m2k = NAN, .ground_c = NAN};
    ow_spot spot;
    ow_exposure x;
    ow_spot_outdoors(&open, out, &spot);
    ow_exposure_start(&x);
    if (topsoil != NULL) {
        ow_topsoil_close(topsoil);
    }
    ow_skin top;
    level_top(&top, &x.films, BED_WIDTH_M, 1.0, topsoil, BARE, &no_cover, &spot, &as_tabled);
    ow_exposure_work_out(&x);
    return boundary_of(&top, &x.films);
}
