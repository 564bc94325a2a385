/* SPDX-License-Identifier: MIT */
/* Faces, plates and skies at random, as many beside each other as are worked out at once. */
#ifndef OVERWINTER_TESTS_PHYSICS_RANDOM_FACES_H
#define OVERWINTER_TESTS_PHYSICS_RANDOM_FACES_H

#include "physics/foliage.h"
#include "physics/humidity.h"
#include "physics/random_pots.h"
#include "physics/surface.h"

static inline ow_sky random_sky(uint64_t *seed)
{
    /* One after the other: in what order arguments are worked out is the compiler's choice. */
    double air_c = random_in(seed, -30.0, 30.0), rh_pct = random_in(seed, 20.0, 100.0);
    ow_sky sky = ow_sky_within(air_c, rh_pct, random_in(seed, 70.0, 102.0));
    bool day = random_in(seed, 0.0, 1.0) < 0.5;
    sky.wind_ms = random_in(seed, -1.0, 20.0); /* below 0: none */
    sky.wind_ms = sky.wind_ms < 0.0 ? 0.0 : sky.wind_ms;
    sky.longwave_wm2 = ow_black_body_wm2(air_c) * random_in(seed, 0.6, 1.0);
    sky.sun_up = day ? random_in(seed, 0.1, 0.8) : 0.0;
    sky.sun_along = day ? 0.7 : 0.0;
    sky.azimuth_deg = random_in(seed, 90.0, 270.0);
    sky.direct_wm2 = day ? random_in(seed, 0.0, 800.0) : 0.0;
    sky.diffuse_wm2 = day ? random_in(seed, 0.0, 200.0) : 0.0;
    return sky;
}

static inline ow_face random_face(uint64_t *seed, ow_face_kind kind)
{
    return (ow_face){.kind = kind,
                     .diameter_m = random_log(seed, 0.05, 2.0),
                     .sky_view = random_in(seed, 0.0, 1.0),
                     .wind_share = random_in(seed, 0.0, 1.0),
                     .sun_share = random_in(seed, 0.0, 1.0),
                     .absorbs = random_in(seed, 0.0, 0.9),
                     .emissivity = random_in(seed, 0.8, 1.0),
                     .surround_c =
                         random_in(seed, 0.0, 1.0) < 0.5 ? NAN : random_in(seed, -20.0, 30.0),
                     .faces_deg = kind == OW_FACE_WALL || random_in(seed, 0.0, 1.0) < 0.5
                                      ? random_in(seed, 0.0, 360.0)
                                      : NAN,
                     .shielded_share = random_in(seed, 0.0, 1.0),
                     .extra = random_in(seed, -0.3, 0.4)};
}

static inline ow_plate random_plate(uint64_t *seed)
{
    double air_c = random_in(seed, -30.0, 30.0);
    bool dry = random_in(seed, 0.0, 1.0) < 0.2;
    return (ow_plate){.air_c = air_c,
                      .above_wm2 = ow_black_body_wm2(air_c) * random_in(seed, 0.6, 1.0),
                      .below_wm2 = ow_black_body_wm2(air_c - random_in(seed, 0.0, 3.0)),
                      .sun_wm2 =
                          random_in(seed, 0.0, 1.0) < 0.5 ? 0.0 : random_in(seed, 0.0, 500.0),
                      .emissivity = 0.95,
                      .h_w_m2k = random_log(seed, 1.0, 60.0),
                      .vapour_kpa = dry ? NAN : ow_vapour_kpa(air_c, random_in(seed, 20.0, 100.0)),
                      .pressure_kpa = random_in(seed, 70.0, 102.0)};
}

/* Kinds in turn: as many mantles, and as many other faces, as there is room for. */
static inline ow_face_kind kind_in_turn(int i)
{
    static const ow_face_kind flat[] = {OW_FACE_LEVEL_UP, OW_FACE_GRASS, OW_FACE_LEVEL_DOWN,
                                        OW_FACE_WALL};
    return i % 2 == 0 ? OW_FACE_MANTLE : flat[i / 2 % 4];
}

#endif
