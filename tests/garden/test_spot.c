/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "garden/stage.h"
#include "physics/covers.h"

static ow_place place_of(ow_place_kind kind)
{
    return (ow_place){.kind = kind, .faces_deg = NAN, .film_w_m2k = NAN, .ground_c = NAN};
}

static ow_outdoors under(const ow_weather *w)
{
    ow_site site = {48.8, 0.0, 60.0};
    return (ow_outdoors){.weather = *w,
                         .sky = ow_sky_of(w, &site, STAGE_MIDWINTER, NAN),
                         .wall_c = w->air_c + 2.0,
                         .ground_c = 4.0,
                         .snow_age_days = 3.0};
}

static ow_spot outdoors(const ow_place *place, const ow_outdoors *out)
{
    ow_spot spot;
    ow_spot_outdoors(place, out, &spot);
    return spot;
}

static void open_sky_has_all_of_the_weather(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-3.0, 5.0);
    w.rain_mm = 2.0;
    w.snow_cm = 10.0;
    ow_outdoors out = under(&w);
    ow_place place = place_of(OW_PLACE_OPEN_SKY);
    ow_spot spot = outdoors(&place, &out);
    assert_true(spot.open_air && !spot.ground_fixed);
    check_close("sky", spot.sky_view, 1.0, 0, 0);
    check_close("wind", spot.wind_share, 1.0, 0, 0);
    check_close("rain", spot.rain_mm_h, 2.0, 0, 0);
    check_close("snow", spot.snow_cm, 10.0, 0, 0);
    check_close("its resistance", spot.snow_r_m2k_w, ow_snow_r_m2k_w(0.10, 3.0), 1e-12, 0);
    check_close("ground", spot.ground_c, 4.0, 0, 0);
    assert_true(isnan(spot.surround_c) && isnan(spot.faces_deg) && isnan(spot.film_w_m2k));
}

static void eaves_and_walls_take_their_share(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-3.0, 5.0);
    w.rain_mm = 2.0;
    w.snow_cm = 10.0;
    ow_outdoors out = under(&w);
    ow_place eaves = place_of(OW_PLACE_UNDER_EAVES), wall = place_of(OW_PLACE_WALL);
    wall.faces_deg = 180.0;
    ow_spot under_eaves = outdoors(&eaves, &out), by_wall = outdoors(&wall, &out);
    check_close("no rain under eaves", under_eaves.rain_mm_h, 0.0, 0, 0);
    check_close("no snow there", under_eaves.snow_cm, 0.0, 0, 0);
    assert_true(under_eaves.sky_view < by_wall.sky_view && by_wall.sky_view < 1.0);
    assert_true(under_eaves.wind_share < 1.0 && by_wall.wind_share < 1.0);
    assert_true(by_wall.rain_mm_h > 0.0 && by_wall.rain_mm_h < 2.0);
    check_close("the wall is seen", by_wall.surround_c, out.wall_c, 0, 0);
    check_close("and faces south", by_wall.faces_deg, 180.0, 0, 0);
    assert_true(isnan(under_eaves.surround_c));
}

/*
 * View factors of infinite strips from a level element at the foot of a long wall (Incropera and
 * DeWitt, chapter 13): the wall hides half of the sky, and an eave that stands out as far as `out`
 * beyond the element, `up` above it, the sine of the angle to its edge from the other half. Eaves of
 * 0.5 to 0.8 m at 2.2 m are common practice.
 */
static void walls_and_eaves_hide_what_strips_hide(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-3.0, 5.0);
    ow_outdoors out = under(&w);
    ow_place eaves = place_of(OW_PLACE_UNDER_EAVES), wall = place_of(OW_PLACE_WALL);
    double near = 0.5 * (1.0 - sin(atan(0.8 / 2.2))), far = 0.5 * (1.0 - sin(atan(0.5 / 2.2)));
    check_close("wall", outdoors(&wall, &out).sky_view, 0.5, 0, 0);
    check_between("eaves", outdoors(&eaves, &out).sky_view, near, far);
}

static void a_hedge_breaks_the_wind_and_hides_some_sky(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-3.0, 5.0);
    w.rain_mm = 2.0;
    ow_outdoors out = under(&w);
    ow_place hedge = place_of(OW_PLACE_HEDGE), wall = place_of(OW_PLACE_WALL);
    ow_spot by_hedge = outdoors(&hedge, &out), by_wall = outdoors(&wall, &out);
    /* A long hedge up to 45 degrees: by the view factor of an infinite strip, (1 - cos 45)/2. */
    check_close("sky", by_hedge.sky_view, 1.0 - (1.0 - sqrt(0.5)) / 2.0, 0.01, 0);
    assert_true(by_hedge.sky_view > by_wall.sky_view);
    /* Wind in the lee of a windbreak of middling density, one to five heights behind it: 0.3 to 0.6
     * of the open (order of Heisler and DeWalle 1988, from memory). */
    check_between("wind", by_hedge.wind_share, 0.3, 0.6);
    check_close("rain", by_hedge.rain_mm_h, 2.0, 0, 0);
    assert_true(isnan(by_hedge.surround_c) && isnan(by_hedge.faces_deg));
}

static void unmeasured_rain_and_snow_are_none(void **state)
{
    (void)state;
    ow_weather w = stage_unknown();
    w.air_c = 1.0;
    ow_outdoors out = under(&w);
    ow_place place = place_of(OW_PLACE_OPEN_SKY);
    ow_spot spot = outdoors(&place, &out);
    check_close("rain", spot.rain_mm_h, 0.0, 0, 0);
    check_close("snow", spot.snow_cm, 0.0, 0, 0);
    check_close("no resistance", spot.snow_r_m2k_w, 0.0, 0, 0);
    assert_true(isnan(spot.surface_c));
}

static void a_growers_own_numbers_hold(void **state)
{
    (void)state;
    ow_weather w = stage_dull(-3.0, 5.0);
    w.surface_c = -1.5;
    ow_outdoors out = under(&w);
    ow_place place = place_of(OW_PLACE_OPEN_SKY);
    place.film_w_m2k = 10.0;
    place.ground_c = 2.0;
    ow_spot spot = outdoors(&place, &out);
    check_close("film", spot.film_w_m2k, 10.0, 0, 0);
    check_close("ground", spot.ground_c, 2.0, 0, 0);
    check_close("measured surface", spot.surface_c, -1.5, 0, 0);
    assert_true(spot.ground_fixed);
}

static void indoors_has_its_own_still_air(void **state)
{
    (void)state;
    ow_place cellar = place_of(OW_PLACE_INDOORS);
    cellar.air_c = 8.0;
    ow_spot spot;
    ow_spot_indoors(&cellar, 60.0, &spot);
    check_close("air", spot.sky.air_c, 8.0, 0, 0);
    check_close("what it sees", spot.sky.sky_c, 8.0, 1e-9, 0);
    check_close("floor", spot.ground_c, 8.0, 0, 0);
    check_close("wind", spot.sky.wind_ms * spot.wind_share, 0.0, 0, 0);
    check_close("sun", spot.sky.global_wm2, 0.0, 0, 0);
    check_close("rain", spot.rain_mm_h, 0.0, 0, 0);
    assert_false(spot.open_air);
}

static void glass_gives_its_own_air_and_sees_the_panes(void **state)
{
    (void)state;
    ow_weather w = stage_clear_night(-5.0, 2.0);
    ow_outdoors out = under(&w);
    ow_place house = place_of(OW_PLACE_GLASSHOUSE);
    ow_glasshouse_out air = {.air_c = 3.0, .radiant_c = -1.0, .sun_floor_wm2 = 40.0};
    ow_spot spot;
    ow_spot_under_glass(&house, &out, &air, 5.0, &spot);
    check_close("air", spot.sky.air_c, 3.0, 0, 0);
    check_close("overhead", spot.sky.longwave_wm2, ow_black_body_wm2(-1.0), 1e-9, 0);
    check_close("floor", spot.ground_c, 5.0, 0, 0);
    check_close("sun", spot.sky.global_wm2, 40.0, 0, 0);
    check_close("all of it scattered", spot.sky.diffuse_wm2, 40.0, 0, 0);
    check_close("no beam", spot.sky.direct_wm2, 0.0, 0, 0);
    check_close("rain", spot.rain_mm_h, 0.0, 0, 0);
    assert_false(spot.open_air);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(open_sky_has_all_of_the_weather),
        cmocka_unit_test(eaves_and_walls_take_their_share),
        cmocka_unit_test(walls_and_eaves_hide_what_strips_hide),
        cmocka_unit_test(a_hedge_breaks_the_wind_and_hides_some_sky),
        cmocka_unit_test(unmeasured_rain_and_snow_are_none),
        cmocka_unit_test(a_growers_own_numbers_hold),
        cmocka_unit_test(indoors_has_its_own_still_air),
        cmocka_unit_test(glass_gives_its_own_air_and_sees_the_panes),
    };
    return cmocka_run_group_tests_name("spot", tests, NULL, NULL);
}
