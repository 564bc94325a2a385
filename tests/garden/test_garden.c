/* SPDX-License-Identifier: MIT */
/* A whole garden file comes out as it was meant: every key, every default, every reference. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>

#include "check.h"
#include "garden_text.h"

static ow_garden *garden_of(const char *path, struct lines *lines)
{
    size_t size;
    int errors;
    ow_garden *garden;
    char *text = file_text(path, &size);
    ow_status status = read_bytes(text, size, lines, &errors, &garden);
    free(text);
    if (status != OW_OK) {
        fail_msg("%s was refused:\n%s", path, lines->text);
    }
    assert_int_equal(errors, 0);
    return garden;
}

static void smallest_garden_has_the_defaults(void **state)
{
    static struct lines lines;
    ow_garden *garden = garden_of("config-examples/smallest.json", &lines);
    const ow_place *place = &garden->places[0];
    const ow_plant *plant = &garden->plants[0];
    (void)state;
    assert_string_equal(lines.text, "");
    assert_string_equal(garden->id, "doorstep");
    check_close("latitude", garden->site.latitude_deg, 51.5, 0, 0);
    check_close("elevation", garden->site.elevation_m, 0, 0, 0);
    assert_string_equal(garden->time_zone, "UTC");
    assert_string_equal(garden->root, "homie");
    assert_null(garden->store);
    assert_false(garden->broker.given);
    assert_false(garden->forecast.given);
    assert_int_equal(garden->reading_count + garden->cover_count + garden->output_count +
                         garden->circuit_count + garden->household_count,
                     0);
    assert_int_equal(garden->place_count, 1);
    assert_string_equal(place->name, "step");
    assert_int_equal(place->light, OW_LIGHT_BRIGHT);
    assert_int_equal(place->room_for, 1000);
    assert_true(isnan(place->faces_deg) && isnan(place->air_c) && isnan(place->film_w_m2k));
    assert_int_equal(garden->plant_count, 1);
    assert_int_equal(plant->place.at, 0);
    assert_int_equal(plant->value, OW_VALUE_ORDINARY);
    assert_true(plant->pot.given);
    assert_false(plant->bed.given || plant->trunk.given || plant->limits.given || plant->by_genus);
    assert_int_equal(plant->pot.wall, OW_WALL_PLASTIC);
    assert_int_equal(plant->pot.soil.kind, OW_MEDIUM_PEAT_FREE_MIX);
    assert_int_equal(plant->pot.soil.moisture, OW_MOISTURE_MOIST);
    assert_int_equal(plant->pot.stands_on, OW_BASE_PAVING);
    assert_true(isnan(plant->pot.wall_r_m2k_w) && isnan(plant->pot.base_r_m2k_w) &&
                isnan(plant->pot.tray_mm) && isnan(plant->start_c));
    assert_true(isnan(plant->pot.soil.measured.medium.thawed_w_mk));
    check_close("shielded", plant->pot.shielded_share, 0, 0, 0);
    assert_true(plant->tolerance.limit[OW_FOLIAGE].set);
    ow_garden_free(garden);
}

static void places_and_covers_are_as_written(void **state)
{
    static struct lines lines;
    ow_garden *garden = garden_of("tests/garden/school-roof.json", &lines);
    const ow_place *place = garden->places;
    const ow_cover *cover = garden->covers;
    (void)state;
    assert_int_equal(garden->place_count, 5);
    assert_string_equal(place[0].name, "the deck");
    assert_int_equal(place[1].kind, OW_PLACE_UNDER_EAVES);
    check_close("ground_c", place[1].ground_c, 4, 0, 0);
    check_close("film_w_m2k", place[1].film_w_m2k, 12, 0, 0);
    check_close("faces_deg", place[2].faces_deg, 180, 0, 0);
    assert_int_equal(place[3].kind, OW_PLACE_INDOORS);
    assert_int_equal(place[3].light, OW_LIGHT_DARK);
    check_close("air_c", place[3].air_c, 8, 0, 0);
    assert_int_equal(place[3].room_for, 10);
    assert_int_equal(place[4].glazing, OW_GLAZING_SINGLE_GLASS);
    check_close("floor_m2", place[4].floor_m2, 8, 0, 0);
    check_close("glazing_m2", place[4].glazing_m2, 26, 0, 0);
    check_close("air_changes_per_h", place[4].air_changes_per_h, 1, 0, 0);
    check_close("volume_m3", place[4].volume_m3, 18, 0, 0);
    assert_int_equal(garden->cover_count, 3);
    assert_int_equal(cover[0].count, 6);
    assert_int_equal(cover[0].on, 0);
    assert_true(isnan(cover[0].r_m2k_w) && isnan(cover[0].wind_max_ms));
    assert_int_equal(cover[1].kind, OW_COVER_BUBBLE_FILM);
    assert_int_equal(cover[1].on, OW_ZONE_SIDE);
    check_close("r_m2k_w", cover[1].r_m2k_w, 0.12, 0, 0);
    check_close("wind_max_ms", cover[1].wind_max_ms, 14, 0, 0);
    assert_int_equal(cover[2].count, 1);
    assert_int_equal(cover[2].on & (unsigned)OW_ZONE_GROWING_POINT, OW_ZONE_GROWING_POINT);
    assert_string_equal(cover[2].name, "straw cap");
    ow_garden_free(garden);
}

static void plants_are_as_written(void **state)
{
    static struct lines lines;
    ow_garden *garden = garden_of("tests/garden/school-roof.json", &lines);
    const ow_plant *lemon = &garden->plants[0], *fern = &garden->plants[1];
    const ow_plant *pitcher = &garden->plants[3];
    (void)state;
    assert_string_equal(lemon->taxon, "Citrus limon");
    assert_int_equal(lemon->covers.count, 2);
    assert_int_equal(lemon->covers.item[0].at, 0);
    assert_string_equal(lemon->covers.item[1].id, "film");
    assert_int_equal(lemon->covers.item[1].at, 1);
    assert_int_equal(lemon->value, OW_VALUE_TREASURED);
    assert_int_equal(lemon->pot.wall, OW_WALL_TERRACOTTA);
    assert_int_equal(lemon->pot.soil.kind, OW_MEDIUM_LOAM_MIX);
    check_close("shielded", lemon->pot.shielded_share, 0.25, 0, 0);
    assert_false(fern->pot.given);
    assert_true(fern->bed.given && fern->trunk.given);
    check_close("mulch", fern->bed.mulch_mm, 80, 0, 0);
    check_close("organ depth", fern->bed.organ_depth_mm, 150, 0, 0);
    check_close("height", fern->trunk.height_mm, 900, 0, 0);
    check_close("growing point", fern->trunk.growing_point_mm, 40, 0, 0);
    check_close("start", fern->start_c, 3.5, 0, 0);
    assert_int_equal(fern->wearing.count, 1);
    assert_int_equal(fern->wearing.item[0].at, 1);
    assert_int_equal(pitcher->place.at, 4);
    assert_int_equal(pitcher->pot.stands_on, OW_BASE_TRAY);
    assert_int_equal(pitcher->pot.soil.moisture, OW_MOISTURE_STANDING);
    check_close("tray", pitcher->pot.tray_mm, 60, 0, 0);
    ow_garden_free(garden);
}

static void measured_numbers_and_own_limits_are_as_written(void **state)
{
    static struct lines lines;
    ow_garden *garden = garden_of("tests/garden/school-roof.json", &lines);
    const ow_plant *plant = &garden->plants[2];
    const ow_limit *limit = plant->tolerance.limit;
    (void)state;
    assert_null(plant->taxon);
    assert_string_equal(plant->name, "the one from the fair");
    check_close("wall", plant->pot.wall_r_m2k_w, 0.01, 0, 0);
    check_close("base", plant->pot.base_r_m2k_w, 0.05, 0, 0);
    check_close("frozen_w_mk", plant->pot.soil.measured.medium.frozen_w_mk, 1.6, 0, 0);
    /* latent heat of freezing 333.43 kJ/kg (TEOS-10/IAPWS) of 0.4 m3 of water of 1000 kg/m3 */
    check_close("latent", plant->pot.soil.measured.medium.latent_j_m3, 0.4 * 333.43e6, 0, 1e-3);
    assert_true(limit[OW_FOLIAGE].set && limit[OW_FOLIAGE].of_air);
    check_close("foliage killed", limit[OW_FOLIAGE].killed_c, -4, 0, 0);
    check_close("foliage minutes", limit[OW_FOLIAGE].minutes, 30, 0, 0);
    assert_false(limit[OW_ROOTS].of_air);
    check_close("roots killed, left out", limit[OW_ROOTS].killed_c, -6 - OW_LIMIT_GAP_K, 0, 0);
    check_close("roots minutes", limit[OW_ROOTS].minutes, 120, 0, 0);
    assert_false(limit[OW_GROWING_POINT].of_air);
    assert_int_equal(limit[OW_GROWING_POINT].grade, 'O');
    assert_false(limit[OW_BUDS].set || limit[OW_STORAGE_ORGAN].set);
    check_close("suffers", plant->tolerance.suffers_days, 5, 0, 0);
    check_close("may die", plant->tolerance.may_die_days, 14, 0, 0);
    ow_garden_free(garden);
}

static void readings_and_forecast_are_as_written(void **state)
{
    static struct lines lines;
    ow_garden *garden = garden_of("tests/garden/school-roof.json", &lines);
    static const ow_unit unit[] = {OW_UNIT_C,    OW_UNIT_PERCENT, OW_UNIT_KM_H, OW_UNIT_SHARE,
                                   OW_UNIT_W_M2, OW_UNIT_INCH,    OW_UNIT_M,    OW_UNIT_F,
                                   OW_UNIT_C,    OW_UNIT_C};
    const ow_reading *reading = garden->readings;
    (void)state;
    assert_int_equal(garden->reading_count, 14);
    for (size_t i = 0; i < sizeof unit / sizeof unit[0]; i++) {
        assert_string_equal(ow_unit_name(reading[i].unit), ow_unit_name(unit[i]));
    }
    assert_int_equal(reading[13].unit, OW_UNIT_W);
    assert_int_equal(reading[0].place.at, 0);
    assert_string_equal(reading[0].pointer, "/temperature");
    assert_string_equal(reading[2].pointer, "");
    assert_int_equal(reading[2].place.at, -1);
    assert_int_equal(reading[8].measures, OW_MEASURES_ROOT_BALL);
    assert_int_equal(reading[8].plant.at, 0);
    assert_int_equal(reading[8].place.at, -1);
    assert_string_equal(reading[10].shut, "shut");
    check_close("stale", reading[13].stale_after_min, 30, 0, 0);
    assert_true(garden->forecast.given);
    assert_string_equal(garden->forecast.list, "/hours");
    assert_string_equal(garden->forecast.rain, "/rain");
    check_close("stale", garden->forecast.stale_after_h, 12, 0, 0);
    ow_garden_free(garden);
}

static void outputs_are_as_written(void **state)
{
    static struct lines lines;
    ow_garden *garden = garden_of("tests/garden/school-roof.json", &lines);
    const ow_output *heater = &garden->outputs[0], *drive = &garden->outputs[1];
    (void)state;
    assert_string_equal(lines.text, ""); /* both are armed: no advice */
    assert_int_equal(heater->kind, OW_OUTPUT_HEATER);
    assert_int_equal(heater->place.at, 4);
    assert_string_equal(heater->on, "on {seconds}");
    check_close("watts", heater->watts, 2000, 0, 0);
    check_close("lease", heater->lease_s, 300, 0, 0);
    check_close("off by itself", heater->off_by_itself_s, 600, 0, 0);
    assert_true(heater->reported.given && heater->cautions_read);
    assert_int_equal(heater->power.at, 13);
    assert_int_equal(heater->blocked_while_open.count, 1);
    assert_int_equal(heater->blocked_while_open.item[0].at, 10);
    assert_int_equal(heater->circuit.at, 0);
    assert_int_equal(drive->kind, OW_OUTPUT_CLOTH_DRIVE);
    assert_int_equal(drive->covers_plants.item[0].at, 0);
    assert_int_equal(drive->closed_end.at, 11);
    assert_int_equal(drive->open_end.at, 12);
    check_close("lease", drive->lease_s, 20, 0, 0);
    check_close("travel", drive->travel_s, 45, 0, 0);
    assert_true(isnan(drive->watts));
    assert_int_equal(drive->power.at, -1);
    ow_garden_free(garden);
}

static void broker_and_household_are_as_written(void **state)
{
    static struct lines lines;
    ow_garden *garden = garden_of("tests/garden/school-roof.json", &lines);
    const ow_member *member = &garden->household[0];
    (void)state;
    assert_true(garden->broker.given);
    assert_int_equal(garden->broker.port, 8883);
    assert_string_equal(garden->broker.key_file, "/etc/roof/key.pem");
    assert_string_equal(garden->store, "/var/lib/overwinter");
    check_close("circuit", garden->circuits[0].max_watts, 3000, 0, 0);
    assert_int_equal(member->hears, (1u << OW_HEARS_URGENT) | (1u << OW_HEARS_JOBS));
    assert_int_equal(member->quiet.from_min, 22 * 60);
    assert_int_equal(member->quiet.until_min, 7 * 60);
    assert_int_equal(member->hands.until_min, 21 * 60 + 30);
    check_close("lifts", member->lifts_kg, 15, 0, 0);
    ow_garden_free(garden);
}

static void reading_needs_no_report_and_freeing_no_garden(void **state)
{
    size_t size;
    char *text = file_text("config-examples/smallest.json", &size);
    ow_garden *garden = NULL;
    (void)state;
    assert_int_equal(ow_garden_read("x", text, size, NULL, &garden), OW_OK);
    ow_garden_free(garden);
    garden = NULL;
    assert_int_equal(ow_garden_read("x", text, size - 3, NULL, &garden), OW_BAD_INPUT);
    assert_null(garden);
    ow_garden_free(NULL);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(smallest_garden_has_the_defaults),
        cmocka_unit_test(places_and_covers_are_as_written),
        cmocka_unit_test(plants_are_as_written),
        cmocka_unit_test(measured_numbers_and_own_limits_are_as_written),
        cmocka_unit_test(readings_and_forecast_are_as_written),
        cmocka_unit_test(outputs_are_as_written),
        cmocka_unit_test(broker_and_household_are_as_written),
        cmocka_unit_test(reading_needs_no_report_and_freeing_no_garden),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
