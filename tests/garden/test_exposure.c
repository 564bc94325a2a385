/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "garden/stage.h"
#include "garden/exposure.h"
#include "physics/covers.h"
#include "physics/materials.h"
#include "physics/surface.h"

static const ow_dress bare;

/* 2024-01-15T12:00:00Z on the meridian: the sun is due south within a few minutes. */
#define NOON (STAGE_MIDWINTER + 12 * OW_HOUR_S)

static ow_place place_of(ow_place_kind kind)
{
    return (ow_place){.kind = kind,
                      .faces_deg = kind == OW_PLACE_WALL ? 180.0 : NAN,
                      .film_w_m2k = NAN,
                      .ground_c = NAN};
}

static ow_spot spot_at(const ow_place *place, const ow_weather *w, ow_utc_s utc_s)
{
    ow_site site = {48.8, 0.0, 60.0};
    ow_outdoors out = {.weather = *w,
                       .sky = ow_sky_of(w, &site, utc_s, NAN),
                       .wall_c = w->air_c,
                       .ground_c = 4.0,
                       .snow_age_days = 3.0};
    ow_spot spot;
    ow_spot_outdoors(place, &out, &spot);
    return spot;
}

static ow_spot spot_under(ow_place_kind kind, const ow_weather *w, ow_utc_s utc_s)
{
    ow_place place = place_of(kind);
    return spot_at(&place, w, utc_s);
}

/* A place whose film is fixed at 10 W/m2K, air -6 C under a sky that must not matter. */
static ow_spot fixed_spot(void)
{
    ow_place place = place_of(OW_PLACE_OPEN_SKY);
    place.film_w_m2k = 10.0;
    ow_weather w = stage_clear_night(-6.0, 7.0);
    w.snow_cm = 20.0;
    return spot_at(&place, &w, NOON);
}

static ow_pot pot_of(ow_base_kind base)
{
    return (ow_pot){.given = true,
                    .diameter_mm = 260.0,
                    .depth_mm = 240.0,
                    .wall_r_m2k_w = 0.01,
                    .stands_on = base,
                    .base_r_m2k_w = NAN,
                    .tray_mm = NAN};
}

static void face_pot_in(const ow_pot *pot, const ow_spot *spot, const ow_dress *dress,
                        const ow_tray *tray, ow_boundary face[OW_FACES])
{
    ow_plant plant = {.pot = *pot};
    ow_dress fitted = *dress;
    ow_exposure x;
    ow_dress_fit(&fitted, &plant);
    ow_exposure_start(&x);
    ow_pot_expose(&x, 0, pot, spot, &fitted, tray);
    ow_exposure_work_out(&x);
    ow_exposure_faces(&x, 0, face);
}

static void face_pot(const ow_pot *pot, const ow_spot *spot, const ow_dress *dress,
                     ow_boundary face[OW_FACES])
{
    face_pot_in(pot, spot, dress, NULL, face);
}

static ow_dress wearing(ow_cover_kind kind, double r_m2k_w, unsigned on)
{
    return (ow_dress){.n = 1, .cover = {{.kind = kind, .r_m2k_w = r_m2k_w, .on = on}}};
}

static ow_leaf_exposed expose_leaf(ow_plates *plates, const ow_spot *spot, const ow_dress *dress)
{
    static const ow_plant plant;
    ow_dress fitted = *dress;
    ow_dress_fit(&fitted, &plant);
    plates->n = 0;
    return ow_leaf_expose(plates, OW_LEAF_WIDTH_M, spot, &fitted);
}

static ow_leaf_state leaf_of(const ow_spot *spot, const ow_dress *dress)
{
    ow_plates plates;
    ow_leaf_exposed leaf = expose_leaf(&plates, spot, dress);
    ow_plates_settle(&plates);
    return (ow_leaf_state){.leaf_c = ow_leaf_exposed_c(&leaf, &plates),
                           .air_at_leaf_c = leaf.air_c};
}

static double leaf_sun_wm2(const ow_spot *spot, const ow_dress *dress)
{
    ow_plates plates;
    return expose_leaf(&plates, spot, dress).sun_wm2;
}

static void check_face(const char *what, ow_boundary got, double te_c, double h_w_m2k)
{
    check_close(what, got.te_c, te_c, 1e-12, 0);
    check_close(what, got.h_w_m2k, h_w_m2k, 1e-12, 1e-12);
}

static void a_fixed_film_is_exact(void **state)
{
    (void)state;
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_spot spot = fixed_spot();
    ow_boundary face[OW_FACES];
    face_pot(&pot, &spot, &bare, face);
    check_face("side: wall 0.01", face[OW_SIDE], -6.0, 1.0 / (0.1 + 0.01));
    check_face("top", face[OW_TOP], -6.0, 10.0);
    check_face("raised base: wall 0.01", face[OW_BASE], -6.0, 1.0 / (0.1 + 0.01));
}

static void measured_resistances_add_exactly(void **state)
{
    (void)state;
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_spot spot = fixed_spot();
    ow_dress film = wearing(OW_COVER_BUBBLE_FILM, 0.35, OW_ZONE_SIDE);
    ow_boundary face[OW_FACES];
    face_pot(&pot, &spot, &film, face);
    check_face("side: 0.01 + 0.35", face[OW_SIDE], -6.0, 1.0 / (0.1 + 0.36));
    check_face("top is bare", face[OW_TOP], -6.0, 10.0);
    check_face("so is the base", face[OW_BASE], -6.0, 1.0 / (0.1 + 0.01));
    film.cover[1] = film.cover[0];
    film.n = 2;
    face_pot(&pot, &spot, &film, face);
    check_face("two of them", face[OW_SIDE], -6.0, 1.0 / (0.1 + 0.01 + 2 * 0.35));
}

static void a_pot_on_fixed_ground_feels_the_contact_alone(void **state)
{
    (void)state;
    ow_pot pot = pot_of(OW_BASE_PAVING);
    pot.base_r_m2k_w = 0.05;
    ow_spot spot = fixed_spot();
    spot.ground_c = 2.0;
    spot.ground_fixed = true;
    ow_boundary face[OW_FACES];
    face_pot(&pot, &spot, &bare, face);
    check_face("wall and contact", face[OW_BASE], 2.0, 1.0 / (0.01 + 0.05));
    spot.ground_fixed = false;
    face_pot(&pot, &spot, &bare, face);
    /* pi a / (4 k) under a disc: Carslaw & Jaeger 1959, 8.2; ground 1.5 W/mK */
    double spreading = 3.14159265358979 * 0.13 / (4.0 * 1.5);
    check_close("ground of ours below", face[OW_BASE].h_w_m2k, 1.0 / (0.06 + spreading), 0, 1e-9);
}

static void what_it_stands_on_ranks(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-6.0, 2.0);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_boundary soil[OW_FACES], paving[OW_FACES], mat[OW_FACES], raised[OW_FACES], deck[OW_FACES];
    ow_pot pot = pot_of(OW_BASE_SOIL);
    face_pot(&pot, &spot, &bare, soil);
    pot = pot_of(OW_BASE_PAVING);
    face_pot(&pot, &spot, &bare, paving);
    pot = pot_of(OW_BASE_MAT);
    face_pot(&pot, &spot, &bare, mat);
    pot = pot_of(OW_BASE_RAISED);
    face_pot(&pot, &spot, &bare, raised);
    pot = pot_of(OW_BASE_DECK);
    face_pot(&pot, &spot, &bare, deck);
    assert_true(soil[OW_BASE].h_w_m2k > paving[OW_BASE].h_w_m2k);
    assert_true(paving[OW_BASE].h_w_m2k > mat[OW_BASE].h_w_m2k);
    check_close("soil is at the ground's", soil[OW_BASE].te_c, 4.0, 0, 0);
    check_close("feet stand in air", raised[OW_BASE].te_c, -6.0, 1e-9, 0);
    assert_true(deck[OW_BASE].h_w_m2k < raised[OW_BASE].h_w_m2k);
}

static void a_tray_lies_between(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-6.0, 2.0);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_pot pot = pot_of(OW_BASE_TRAY);
    ow_tray tray = ow_tray_at(0.03, 1.0);
    ow_boundary face[OW_FACES];
    face_pot_in(&pot, &spot, &bare, &tray, face);
    check_close("the water's", face[OW_BASE].te_c, 1.0, 1e-12, 0);
    check_close("through wall and half the water", face[OW_BASE].h_w_m2k,
                1.0 / (0.01 + 0.015 / 0.57), 0, 1e-9);
    assert_true(ow_tray_ground_w_m2k(&pot, &tray) > 0.0);
}

static void covers_keep_to_their_zones(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-6.0, 2.0);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_boundary none[OW_FACES], side[OW_FACES], top[OW_FACES], all[OW_FACES];
    face_pot(&pot, &spot, &bare, none);
    ow_dress d = wearing(OW_COVER_FLEECE, NAN, OW_ZONE_SIDE);
    face_pot(&pot, &spot, &d, side);
    d = wearing(OW_COVER_FLEECE, NAN, OW_ZONE_TOP);
    face_pot(&pot, &spot, &d, top);
    d = wearing(OW_COVER_FLEECE, NAN, 0); /* the kind's own: all */
    face_pot(&pot, &spot, &d, all);
    assert_true(side[OW_SIDE].h_w_m2k < 0.7 * none[OW_SIDE].h_w_m2k);
    check_close("top as it was", side[OW_TOP].h_w_m2k, none[OW_TOP].h_w_m2k, 0, 0);
    assert_true(top[OW_TOP].h_w_m2k < 0.7 * none[OW_TOP].h_w_m2k);
    check_close("side as it was", top[OW_SIDE].h_w_m2k, none[OW_SIDE].h_w_m2k, 0, 0);
    check_close("all: side", all[OW_SIDE].h_w_m2k, side[OW_SIDE].h_w_m2k, 0, 0);
    check_close("all: top", all[OW_TOP].h_w_m2k, top[OW_TOP].h_w_m2k, 0, 0);
    check_close("the base is never covered", all[OW_BASE].h_w_m2k, none[OW_BASE].h_w_m2k, 0, 0);
}

static void blown_off_is_bare_and_wet_is_poor(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-6.0, 2.0);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_boundary none[OW_FACES], dry[OW_FACES], wet[OW_FACES], gone[OW_FACES];
    ow_dress d = wearing(OW_COVER_THICK_FLEECE, NAN, 0);
    face_pot(&pot, &spot, &bare, none);
    face_pot(&pot, &spot, &d, dry);
    d.cover[0].state.wet_zones = OW_ZONES_ALL;
    face_pot(&pot, &spot, &d, wet);
    assert_true(dry[OW_SIDE].h_w_m2k < wet[OW_SIDE].h_w_m2k);
    assert_true(wet[OW_SIDE].h_w_m2k < none[OW_SIDE].h_w_m2k * 1.2);
    check_close("no credit to leaves under wet cloth", leaf_of(&spot, &d).air_at_leaf_c, -6.0, 0,
                0);
    d.cover[0].state.blown_off = true;
    face_pot(&pot, &spot, &d, gone);
    assert_memory_equal(gone, none, sizeof none);
}

static void dry_cloth_keeps_leaves_warmer(void **state)
{
    (void)state;
    ow_weather w = stage_clear_night(-4.0, 0.5);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_dress fleece = wearing(OW_COVER_THICK_FLEECE, NAN, 0);
    ow_leaf_state open = leaf_of(&spot, &bare);
    ow_leaf_state under = leaf_of(&spot, &fleece);
    assert_true(open.leaf_c < -5.0); /* colder than the air under a clear still sky */
    check_close("open air", open.air_at_leaf_c, -4.0, 0, 0);
    assert_true(under.air_at_leaf_c > -4.0);
    assert_true(under.leaf_c > open.leaf_c + 1.0);
}

static void wind_films(void **state)
{
    (void)state;
    ow_weather calm = stage_dull(-6.0, 0.0), gale = stage_dull(-6.0, 12.0);
    ow_spot still = spot_under(OW_PLACE_OPEN_SKY, &calm, STAGE_MIDWINTER);
    ow_spot blown = spot_under(OW_PLACE_OPEN_SKY, &gale, STAGE_MIDWINTER);
    ow_spot sheltered = spot_under(OW_PLACE_WALL, &gale, STAGE_MIDWINTER);
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_boundary a[OW_FACES], b[OW_FACES], c[OW_FACES];
    face_pot(&pot, &still, &bare, a);
    face_pot(&pot, &blown, &bare, b);
    face_pot(&pot, &sheltered, &bare, c);
    for (int f = 0; f < OW_FACES; f++) {
        check_close("te is the air's under a sky as warm", a[f].te_c, -6.0, 1e-6, 0);
        assert_true(a[f].h_w_m2k < b[f].h_w_m2k);
    }
    assert_true(a[OW_SIDE].h_w_m2k < c[OW_SIDE].h_w_m2k && c[OW_SIDE].h_w_m2k < b[OW_SIDE].h_w_m2k);
}

static void a_clear_night_pulls_and_shelter_holds(void **state)
{
    (void)state;
    ow_weather w = stage_clear_night(-6.0, 1.0);
    ow_spot open = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_spot eaves = spot_under(OW_PLACE_UNDER_EAVES, &w, STAGE_MIDWINTER);
    ow_place wall = place_of(OW_PLACE_WALL);
    ow_spot by_wall = spot_at(&wall, &w, STAGE_MIDWINTER);
    by_wall.surround_c = -3.0; /* masonry that gives some back */
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_boundary a[OW_FACES], b[OW_FACES], c[OW_FACES];
    face_pot(&pot, &open, &bare, a);
    face_pot(&pot, &eaves, &bare, b);
    face_pot(&pot, &by_wall, &bare, c);
    assert_true(a[OW_TOP].te_c < -8.0 && a[OW_SIDE].te_c < -6.5);
    assert_true(b[OW_TOP].te_c > a[OW_TOP].te_c && b[OW_SIDE].te_c > a[OW_SIDE].te_c);
    assert_true(c[OW_SIDE].te_c > b[OW_SIDE].te_c);
    check_close("no sky under the pot", a[OW_BASE].te_c, -6.0, 1e-9, 0);
}

static void neighbours_hide_the_sky(void **state)
{
    (void)state;
    ow_weather w = stage_clear_night(-6.0, 3.0);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_boundary open[OW_FACES], half[OW_FACES], shut[OW_FACES];
    face_pot(&pot, &spot, &bare, open);
    pot.shielded_share = 0.5;
    face_pot(&pot, &spot, &bare, half);
    pot.shielded_share = 1.0;
    face_pot(&pot, &spot, &bare, shut);
    check_close("no sky at all", shut[OW_SIDE].te_c, -6.0, 1e-12, 0);
    assert_true(open[OW_SIDE].te_c < half[OW_SIDE].te_c);
    assert_true(shut[OW_SIDE].h_w_m2k < half[OW_SIDE].h_w_m2k);
    assert_true(half[OW_SIDE].h_w_m2k < open[OW_SIDE].h_w_m2k);
    check_close("the top is open", shut[OW_TOP].te_c, open[OW_TOP].te_c, 0, 0);
}

/* A factor multiplies the resistance of its face, whatever stands behind it, and nothing else. */
static void a_factor_multiplies_a_face(void **state)
{
    (void)state;
    ow_weather w = stage_clear_night(-6.0, 3.0);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_boundary usual[OW_FACES], more[OW_FACES];
    face_pot(&pot, &spot, &bare, usual);
    pot.side_factor = 1.6;
    pot.top_factor = 0.5;
    face_pot(&pot, &spot, &bare, more);
    for (int f = 0; f < OW_FACES; f++) {
        double factor = f == OW_TOP ? 0.5 : f == OW_BASE ? 1.0 : 1.6;
        check_close("resistance", 1.0 / more[f].h_w_m2k, factor / usual[f].h_w_m2k, 0, 1e-12);
        check_close("beyond", more[f].te_c, usual[f].te_c, 0, 0);
    }
}

static void the_sun_at_noon_warms(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-2.0, 2.0);
    w.solar_wm2 = 300.0;
    ow_spot open = spot_under(OW_PLACE_OPEN_SKY, &w, NOON);
    ow_spot eaves = spot_under(OW_PLACE_UNDER_EAVES, &w, NOON);
    ow_spot south = spot_under(OW_PLACE_WALL, &w, NOON);
    ow_place northern = place_of(OW_PLACE_WALL);
    northern.faces_deg = 0.0;
    ow_spot north = spot_at(&northern, &w, NOON);
    ow_pot pot = pot_of(OW_BASE_RAISED);
    ow_boundary a[OW_FACES], b[OW_FACES], c[OW_FACES], d[OW_FACES], e[OW_FACES];
    face_pot(&pot, &open, &bare, a);
    face_pot(&pot, &eaves, &bare, b);
    face_pot(&pot, &south, &bare, c);
    face_pot(&pot, &north, &bare, d);
    assert_true(a[OW_TOP].te_c > 5.0 && a[OW_SIDE].te_c > 2.0);
    assert_true(b[OW_SIDE].te_c < a[OW_SIDE].te_c);
    assert_true(d[OW_SIDE].te_c < c[OW_SIDE].te_c - 2.0); /* no beam on a northern wall */
    assert_true(leaf_of(&open, &bare).leaf_c > -2.0);
    check_close("sun on the leaves", leaf_sun_wm2(&open, &bare), 300.0, 1e-9, 0);
    ow_dress straw = wearing(OW_COVER_STRAW, NAN, OW_ZONES_ALL);
    face_pot(&pot, &open, &straw, e);
    check_close("straw shuts it out", e[OW_SIDE].te_c, -2.0, 0.05, 0);
    check_close("from the leaves too", leaf_sun_wm2(&open, &straw), 0.0, 1e-9, 0);
}

static void face_soil(const ow_bed *bed, const ow_spot *spot, const ow_dress *dress,
                      ow_topsoil *topsoil, ow_boundary face[OW_FACES])
{
    ow_plant plant = {.bed = *bed};
    ow_dress fitted = *dress;
    ow_exposure x;
    ow_dress_fit(&fitted, &plant);
    ow_exposure_start(&x);
    ow_bed_expose(&x, 0, bed, spot, &fitted, topsoil, 8.0);
    ow_exposure_work_out(&x);
    ow_exposure_faces(&x, 0, face);
}

static void face_bed(const ow_bed *bed, const ow_spot *spot, const ow_dress *dress,
                     ow_boundary face[OW_FACES])
{
    ow_topsoil topsoil = ow_bed_topsoil(bed);
    face_soil(bed, spot, dress, &topsoil, face);
}

static void snow_lies_between(void **state)
{
    (void)state;
    ow_weather w = stage_clear_night(-10.0, 2.0);
    ow_bed bed = {.given = true, .mulch_mm = 0.0};
    ow_boundary thin[OW_FACES], thick[OW_FACES], thaw[OW_FACES], eaves[OW_FACES];
    w.snow_cm = 10.0;
    ow_spot snow = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    face_bed(&bed, &snow, &bare, thin);
    w.snow_cm = 30.0;
    snow = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    face_bed(&bed, &snow, &bare, thick);
    check_close("20 cm more", 1.0 / thick[OW_TOP].h_w_m2k - 1.0 / thin[OW_TOP].h_w_m2k,
                ow_snow_r_m2k_w(0.20, 3.0), 1e-9, 1e-9);
    check_between("all of it", thick[OW_TOP].h_w_m2k, 0.2, 1.0);
    w.air_c = 6.0;
    w.longwave_wm2 = ow_black_body_wm2(6.0);
    snow = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    face_bed(&bed, &snow, &bare, thaw);
    check_close("melting, not warmer than 0 C", thaw[OW_TOP].te_c, 0.0, 0, 0);
    snow = spot_under(OW_PLACE_UNDER_EAVES, &w, STAGE_MIDWINTER);
    face_bed(&bed, &snow, &bare, eaves);
    assert_true(eaves[OW_TOP].te_c > 4.0 && eaves[OW_TOP].h_w_m2k > 5.0); /* none under eaves */
}

static void a_bed_under_mulch(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-5.0, 2.0);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_bed thin = {.given = true, .mulch_mm = 40.0}, thick = {.given = true, .mulch_mm = 120.0};
    ow_boundary a[OW_FACES], b[OW_FACES], wet[OW_FACES];
    face_bed(&thin, &spot, &bare, a);
    face_bed(&thick, &spot, &bare, b);
    check_close("in series", 1.0 / b[OW_TOP].h_w_m2k - 1.0 / a[OW_TOP].h_w_m2k,
                ow_mulch_r_m2k_w(0.08, false), 1e-12, 1e-12);
    spot.rain_mm_h = 1.0;
    face_bed(&thick, &spot, &bare, wet);
    assert_true(wet[OW_TOP].h_w_m2k > b[OW_TOP].h_w_m2k);
    check_close("no side", a[OW_SIDE].h_w_m2k, 0.0, 0, 0);
    check_close("the depth below", a[OW_BASE].te_c, 8.0, 0, 0);
    assert_true(a[OW_BASE].h_w_m2k > 1e3);
}

static ow_boundary top_of_bed(ow_moisture moisture, const ow_spot *spot, double mulch_mm)
{
    ow_bed bed = {.given = true, .mulch_mm = mulch_mm, .soil = {.moisture = moisture}};
    ow_boundary face[OW_FACES];
    face_bed(&bed, spot, &bare, face);
    return face[OW_TOP];
}

/*
 * Grass lies between its own surface, which sun, sky and vapour reach, and the soil: the resistance
 * adds, the vapour goes on. Its albedo is FAO-56's 0.23.
 */
static void grass_takes_the_weather_for_the_soil(void **state)
{
    (void)state;
    ow_weather w = stage_dull(12.0, 3.0), night = stage_clear_night(-4.0, 2.0);
    ow_bed turf = {.given = true, .grass = true, .soil = {.moisture = OW_MOISTURE_WET}};
    ow_bed soil = {.given = true, .soil = {.moisture = OW_MOISTURE_WET}};
    ow_boundary a[OW_FACES], b[OW_FACES];
    w.solar_wm2 = 300.0;
    w.rh_pct = 60.0;
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, NOON);
    ow_topsoil topsoil = ow_bed_topsoil(&turf);
    face_soil(&turf, &spot, &bare, &topsoil, a);
    assert_true(topsoil.takes_w_m2k > 1.0);
    face_bed(&soil, &spot, &bare, b);
    double film = 1.0 / (1.0 / a[OW_TOP].h_w_m2k - OW_GRASS_R_M2K_W);
    assert_true(film > b[OW_TOP].h_w_m2k); /* rougher than a plate */
    assert_true(a[OW_TOP].te_c < b[OW_TOP].te_c);
    double top_c = a[OW_TOP].te_c; /* nothing goes into the soil: the grass is at te */
    double convection = film - topsoil.takes_w_m2k - 0.95 * ow_radiative_black(12.0);
    check_close("its own balance",
                0.77 * ow_sun_on_plane_wm2(&spot.sky, 0.0, 0.0, 1.0, 1.0) +
                    0.95 * (spot.sky.longwave_wm2 - ow_black_body_wm2(12.0)),
                (film - topsoil.takes_w_m2k) * (top_c - 12.0) + topsoil.takes_w_m2 +
                    topsoil.takes_w_m2k * (top_c - 12.0),
                1e-6, 0);
    check_close(
        "convection", convection,
        ow_convection_mixed(ow_convection_grass(ow_wind_at_2m(3.0, 10.0)), OW_STILL_LEVEL_UP), 1e-9,
        0);
    spot = spot_under(OW_PLACE_OPEN_SKY, &night, STAGE_MIDWINTER);
    face_bed(&turf, &spot, &bare, a);
    face_bed(&soil, &spot, &bare, b);
    assert_true(a[OW_TOP].h_w_m2k < 0.6 * b[OW_TOP].h_w_m2k);
    night.snow_cm = 20.0;
    spot = spot_under(OW_PLACE_OPEN_SKY, &night, STAGE_MIDWINTER);
    face_bed(&turf, &spot, &bare, a);
    face_bed(&soil, &spot, &bare, b);
    check_close("below snow", 1.0 / a[OW_TOP].h_w_m2k - 1.0 / b[OW_TOP].h_w_m2k, OW_GRASS_R_M2K_W,
                1e-9, 0);
}

static void wet_ground_is_cooled_by_its_vapour(void **state)
{
    (void)state;
    ow_weather w = stage_dull(12.0, 3.0), frost = stage_dull(-8.0, 3.0);
    w.solar_wm2 = 300.0;
    w.rh_pct = 60.0;
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, NOON);
    ow_boundary dry = top_of_bed(OW_MOISTURE_DRY, &spot, 0.0);
    ow_boundary moist = top_of_bed(OW_MOISTURE_MOIST, &spot, 0.0);
    ow_boundary wet = top_of_bed(OW_MOISTURE_WET, &spot, 0.0);
    assert_true(moist.te_c < dry.te_c - 1.0 && wet.te_c < moist.te_c - 1.0);
    assert_true(moist.h_w_m2k > dry.h_w_m2k);
    check_close("none through mulch", top_of_bed(OW_MOISTURE_WET, &spot, 50.0).te_c,
                top_of_bed(OW_MOISTURE_DRY, &spot, 50.0).te_c, 1e-12, 0);
    ow_spot cold = spot_under(OW_PLACE_OPEN_SKY, &frost, STAGE_MIDWINTER);
    check_close("little in frost", top_of_bed(OW_MOISTURE_MOIST, &cold, 0.0).te_c, -8.0, 0.3, 0);
    /* A wet surface in the shade comes near the wet bulb, the linear form within half a kelvin:
     * 12 C at 60 % is 8.2 C wet (FAO-56 eq. 15 solved for it); a part of it, a part of the way. */
    w.solar_wm2 = 0.0;
    spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    check_between("shade", top_of_bed(OW_MOISTURE_WET, &spot, 0.0).te_c, 8.2, 12.0);
}

static void a_measured_surface_drives_a_bed_directly(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-5.0, 2.0);
    w.surface_c = 1.25;
    w.snow_cm = 40.0;
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_bed bed = {.given = true, .mulch_mm = 80.0};
    ow_dress board = wearing(OW_COVER_BOARD, NAN, 0);
    ow_boundary face[OW_FACES];
    face_bed(&bed, &spot, &board, face);
    check_close("te", face[OW_TOP].te_c, 1.25, 0, 0);
    assert_true(face[OW_TOP].h_w_m2k > 1e3);
}

static void face_trunk(const ow_trunk *trunk, const ow_spot *spot, const ow_dress *dress,
                       ow_boundary face[OW_FACES])
{
    ow_plant plant = {.trunk = *trunk};
    ow_dress fitted = *dress;
    ow_exposure x;
    ow_dress_fit(&fitted, &plant);
    ow_exposure_start(&x);
    ow_trunk_expose(&x, 0, trunk, spot, &fitted, 3.0);
    ow_exposure_work_out(&x);
    ow_exposure_faces(&x, 0, face);
}

static void a_trunk_has_two_zones_and_a_crown(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-5.0, 2.0);
    ow_spot spot = spot_under(OW_PLACE_OPEN_SKY, &w, STAGE_MIDWINTER);
    ow_trunk trunk = {.given = true, .diameter_mm = 220.0, .height_mm = 900.0};
    ow_boundary a[OW_FACES], b[OW_FACES];
    face_trunk(&trunk, &spot, &bare, a);
    check_close("bare alike", a[OW_SIDE].h_w_m2k, a[OW_SIDE_UPPER].h_w_m2k, 0, 0);
    check_close("roots below", a[OW_BASE].te_c, 3.0, 0, 0);
    ow_dress straw = wearing(OW_COVER_STRAW, NAN, OW_ZONE_GROWING_POINT);
    face_trunk(&trunk, &spot, &straw, b);
    check_close("lower trunk bare", b[OW_SIDE].h_w_m2k, a[OW_SIDE].h_w_m2k, 0, 0);
    assert_true(b[OW_SIDE_UPPER].h_w_m2k < 0.5 * a[OW_SIDE_UPPER].h_w_m2k);
    assert_true(b[OW_TOP].h_w_m2k < 0.5 * a[OW_TOP].h_w_m2k);
}

static void covers_go_on_and_come_off(void **state)
{
    (void)state;
    ow_cover stock[2] = {{.kind = OW_COVER_FLEECE, .on = 0, .r_m2k_w = NAN},
                         {.kind = OW_COVER_BUBBLE_FILM, .on = OW_ZONE_TOP, .r_m2k_w = 0.35}};
    ow_garden garden = {.cover_count = 2, .covers = stock};
    ow_dress dress = {0};
    assert_int_equal(ow_dress_add(&dress, &garden, 1), OW_OK);
    assert_int_equal(ow_dress_add(&dress, &garden, 0), OW_OK);
    assert_true(ow_dress_has(&dress, 0) && ow_dress_has(&dress, 1));
    assert_int_equal(dress.cover[0].on, OW_ZONE_TOP);
    check_close("its own resistance", dress.cover[0].r_m2k_w, 0.35, 0, 0);
    assert_int_equal(ow_dress_remove(&dress, 1), OW_OK);
    assert_false(ow_dress_has(&dress, 1));
    assert_int_equal(dress.cover[0].kind, OW_COVER_FLEECE);
    assert_int_equal(ow_dress_remove(&dress, 1), OW_NOT_FOUND);
    while (dress.n < OW_WORN_MAX) {
        assert_int_equal(ow_dress_add(&dress, &garden, 0), OW_OK);
    }
    assert_int_equal(ow_dress_add(&dress, &garden, 0), OW_FULL);
}

/* Whether covers do the same to all zones. */
static bool same_lining(const ow_lining *a, const ow_lining *b)
{
    size_t from = offsetof(ow_lining, side);
    return memcmp((const char *)a + from, (const char *)b + from, sizeof *a - from) == 0;
}

/* A dress that has been fitted once is the same as one fitted anew, whatever changes of it. */
static void a_dress_is_fitted_anew_when_it_changes(void **state)
{
    (void)state;
    ow_plant plant = {.pot = pot_of(OW_BASE_RAISED), .trunk = {.given = true, .diameter_mm = 200}};
    ow_dress dress = wearing(OW_COVER_FLEECE, NAN, OW_ZONES_ALL);
    for (int change = 0; change <= 8; change++) {
        ow_worn_cover *first = &dress.cover[0];
        first->extra_r = change == 1 ? 0.25 : first->extra_r;
        first->state.wet_zones = change == 2 ? OW_ZONE_SIDE : first->state.wet_zones;
        first->r_m2k_w = change == 3 ? 0.2 : first->r_m2k_w;
        first->kind = change == 4 ? OW_COVER_STRAW : first->kind;
        first->on = change == 5 ? OW_ZONE_GROWING_POINT : first->on;
        if (change == 6) {
            dress.cover[dress.n++] = (ow_worn_cover){.kind = OW_COVER_BUBBLE_FILM, .r_m2k_w = NAN};
        }
        dress.cover[0].state.blown_off = change >= 7;
        dress.n = change == 8 ? 1 : dress.n;
        ow_lining before = dress.lining;
        ow_dress anew = dress;
        anew.lining.made = false;
        ow_dress_fit(&dress, &plant);
        ow_dress_fit(&anew, &plant);
        assert_true(same_lining(&dress.lining, &anew.lining));
        assert_false(same_lining(&dress.lining, &before));
    }
}

static void a_named_wall_takes_its_thickness(void **state)
{
    (void)state;
    ow_pot pot = pot_of(OW_BASE_RAISED);
    check_close("measured: none", ow_pot_radius_m(&pot), 0.13, 1e-12, 0);
    ow_wall terracotta;
    assert_int_equal(ow_wall_of(OW_WALL_TERRACOTTA, &terracotta), OW_OK);
    pot.wall = OW_WALL_TERRACOTTA;
    pot.wall_r_m2k_w = NAN;
    check_close("terracotta", ow_pot_radius_m(&pot), 0.13 - terracotta.thickness_m, 1e-12, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_fixed_film_is_exact),
        cmocka_unit_test(measured_resistances_add_exactly),
        cmocka_unit_test(a_pot_on_fixed_ground_feels_the_contact_alone),
        cmocka_unit_test(what_it_stands_on_ranks),
        cmocka_unit_test(a_tray_lies_between),
        cmocka_unit_test(covers_keep_to_their_zones),
        cmocka_unit_test(blown_off_is_bare_and_wet_is_poor),
        cmocka_unit_test(dry_cloth_keeps_leaves_warmer),
        cmocka_unit_test(wind_films),
        cmocka_unit_test(a_clear_night_pulls_and_shelter_holds),
        cmocka_unit_test(neighbours_hide_the_sky),
        cmocka_unit_test(a_factor_multiplies_a_face),
        cmocka_unit_test(the_sun_at_noon_warms),
        cmocka_unit_test(snow_lies_between),
        cmocka_unit_test(a_bed_under_mulch),
        cmocka_unit_test(grass_takes_the_weather_for_the_soil),
        cmocka_unit_test(wet_ground_is_cooled_by_its_vapour),
        cmocka_unit_test(a_measured_surface_drives_a_bed_directly),
        cmocka_unit_test(a_trunk_has_two_zones_and_a_crown),
        cmocka_unit_test(covers_go_on_and_come_off),
        cmocka_unit_test(a_dress_is_fitted_anew_when_it_changes),
        cmocka_unit_test(a_named_wall_takes_its_thickness),
    };
    return cmocka_run_group_tests_name("exposure", tests, NULL, NULL);
}
