/* SPDX-License-Identifier: MIT */
/* Hardening by season and recent air, and what it does to limits. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "plants/season.h"
#include "plants/taxa.h"

#define NORTH 48.0
#define SOUTH (-42.0)

static ow_utc_s on(int year, int month, int day)
{
    ow_date date = {.year = year, .month = month, .day = day};
    return ow_time_of(&date);
}

static ow_hardening started(ow_utc_s time_s, double latitude_deg)
{
    ow_hardening hardening;
    ow_hardening_start(&hardening, time_s, latitude_deg);
    return hardening;
}

static void step(ow_hardening *hardening, ow_utc_s time_s, double air_c, double dt_s)
{
    ow_season season = ow_season_at(time_s, dt_s);
    ow_hardening_step(hardening, &season, air_c);
}

/* Hourly steps at one temperature. */
static void live(ow_hardening *hardening, ow_utc_s from_s, int days, double air_c)
{
    for (int hour = 1; hour <= days * 24; hour++) {
        step(hardening, from_s + (ow_utc_s)hour * OW_HOUR_S, air_c, OW_HOUR_S);
    }
}

static ow_tolerance stands(const char *name)
{
    const ow_taxon *taxon = NULL;
    bool by_genus = false;
    ow_tolerance tolerance;
    assert_int_equal(ow_taxon_find(name, &taxon, &by_genus), OW_OK);
    ow_tolerance_of(taxon, &tolerance);
    return tolerance;
}

static void a_date_alone_starts_sensibly(void **state)
{
    (void)state;
    check_close("mid-January", started(on(2024, 1, 15), NORTH).hardened, 1.0, 0.0, 0.0);
    check_close("1 December", started(on(2023, 12, 1), NORTH).hardened, 1.0, 0.0, 0.0);
    check_between("mid-October", started(on(2023, 10, 15), NORTH).hardened, 0.4, 0.6);
    check_between("mid-April", started(on(2024, 4, 15), NORTH).hardened, 0.2, 0.6);
    check_close("July", started(on(2024, 7, 1), NORTH).hardened, 0.0, 0.0, 0.0);
    check_close("July in the south", started(on(2024, 7, 1), SOUTH).hardened, 1.0, 0.0, 0.0);
    check_close("January in the south", started(on(2024, 1, 15), SOUTH).hardened, 0.0, 0.0, 0.0);
}

static void the_season_has_no_jump(void **state)
{
    (void)state;
    ow_utc_s time_s = on(2023, 1, 1);
    for (double latitude_deg = SOUTH; latitude_deg <= NORTH; latitude_deg += NORTH - SOUTH) {
        double last = ow_hardening_allowed(time_s, latitude_deg);
        for (int hour = 1; hour < 2 * 366 * 24; hour++) {
            double now = ow_hardening_allowed(time_s + (ow_utc_s)hour * OW_HOUR_S, latitude_deg);
            check_between("share", now, 0.0, 1.0);
            check_close("an hour on", now, last, 0.02, 0.0);
            last = now;
        }
    }
}

static void a_hardened_plant_in_midwinter_cold_is_exactly_at_its_limits(void **state)
{
    (void)state;
    ow_utc_s start_s = on(2024, 1, 10);
    ow_hardening hardening = started(start_s, NORTH);
    live(&hardening, start_s, 20, -4.0);
    check_close("hardened", hardening.hardened, 1.0, 0.0, 0.0);
    ow_tolerance camellia = stands("Camellia japonica");
    ow_limit now = ow_limit_now(&camellia.limit[OW_FOLIAGE], camellia.soft_k, hardening.hardened);
    check_close("damaged", now.damaged_c, camellia.limit[OW_FOLIAGE].damaged_c, 0.0, 0.0);
    check_close("killed", now.killed_c, camellia.limit[OW_FOLIAGE].killed_c, 0.0, 0.0);
}

static void cool_days_harden_over_some_weeks(void **state)
{
    (void)state;
    ow_utc_s start_s = on(2023, 11, 1);
    ow_hardening cool = started(start_s, NORTH), warm = started(start_s, NORTH);
    cool.hardened = warm.hardened = 0.3;
    live(&cool, start_s, 7, 4.0);
    check_close("a week", cool.hardened, 0.3 + 7.0 / 30.0, 1e-9, 0.0);
    live(&cool, on(2023, 11, 8), 28, 4.0);
    check_close("five weeks", cool.hardened, 1.0, 0.0, 0.0);
    live(&warm, start_s, 45, 16.0);
    check_close("short days alone give half", warm.hardened, 0.5, 1e-9, 0.0);
}

static void a_warm_spell_softens_more_after_midwinter_than_before(void **state)
{
    (void)state;
    ow_hardening before = started(on(2023, 12, 5), NORTH);
    ow_hardening after = started(on(2024, 2, 5), NORTH);
    live(&before, on(2023, 12, 5), 10, 15.0);
    live(&after, on(2024, 2, 5), 10, 15.0);
    check_between("before", before.hardened, 0.66, 0.85);
    check_close("after", after.hardened, 0.5, 1e-9, 0.0);
    live(&after, on(2024, 2, 15), 6, -2.0); /* hardens again, slowly */
    check_between("cold again", after.hardened, 0.55, 0.75);
}

static void growth_in_spring_softens_even_in_the_cold(void **state)
{
    (void)state;
    ow_utc_s start_s = on(2024, 2, 1);
    ow_hardening hardening = started(start_s, NORTH);
    live(&hardening, start_s, 104, 2.0); /* to 15 May */
    check_between("mid-May", hardening.hardened, 0.0, 0.01);
}

static void steps_of_any_length_agree(void **state)
{
    (void)state;
    ow_utc_s start_s = on(2023, 10, 1);
    ow_hardening hourly = started(start_s, NORTH), daily = started(start_s, NORTH);
    hourly.hardened = daily.hardened = 0.0;
    live(&hourly, start_s, 20, 9.0);
    for (int day = 1; day <= 20; day++) {
        step(&daily, start_s + (ow_utc_s)day * OW_DAY_S, 9.0, OW_DAY_S);
    }
    check_close("mean", daily.mean_c, hourly.mean_c, 1e-9, 0.0);
    check_close("share", daily.hardened, hourly.hardened, 0.01, 0.0);
}

static void a_gap_in_the_air_leaves_the_mean(void **state)
{
    (void)state;
    ow_hardening hardening = started(on(2024, 1, 10), NORTH);
    step(&hardening, on(2024, 1, 11), NAN, OW_DAY_S);
    check_close("mean", hardening.mean_c, 8.0, 0.0, 0.0);
    check_close("share", hardening.hardened, 1.0, 0.0, 0.0);
}

/* Summer limits against tests of the same plants in summer. */
static void soft_plants_are_where_summer_tests_put_them(void **state)
{
    (void)state;
    /* Warrington & Stanley 1987, NZ J. Exp. Agric. 15:357: Metrosideros, summer, -1 and -2 C */
    ow_tolerance rata = stands("Metrosideros kermadecensis");
    ow_limit soft = ow_limit_now(&rata.limit[OW_FOLIAGE], rata.soft_k, 0.0);
    check_close("Metrosideros damaged", soft.damaged_c, -1.0, 0.5, 0.0);
    check_close("Metrosideros killed", soft.killed_c, -2.0, 0.5, 0.0);
    /* the same: Pittosporum tenuifolium, summer, killed at -5 C */
    ow_tolerance pittosporum = stands("Pittosporum tenuifolium");
    soft = ow_limit_now(&pittosporum.limit[OW_FOLIAGE], pittosporum.soft_k, 0.0);
    check_close("Pittosporum killed", soft.killed_c, -5.0, 1.0, 0.0);
    /* Harwood 1981, Aust. J. Bot. 29:209: half killed at -14 C hardened, above -5 C not */
    ow_tolerance gum = stands("Eucalyptus pauciflora");
    soft = ow_limit_now(&gum.limit[OW_FOLIAGE], gum.soft_k, 0.0);
    check_between("Eucalyptus pauciflora killed", soft.killed_c, -5.0, -2.0);
    /* NZ J. Crop Hort. Sci.: Yucca filamentosa unhurt at -17 in winter, damaged at -13 in summer */
    ow_tolerance yucca = stands("Yucca filamentosa");
    soft = ow_limit_now(&yucca.limit[OW_FOLIAGE], yucca.soft_k, 0.0);
    check_close("Yucca damaged", soft.damaged_c, -13.0, 0.5, 0.0);
}

static void evergreen_shrubs_are_all_soft_in_summer(void **state)
{
    (void)state;
    /* NZ J. Crop Hort. Sci.: evergreen shrubs injured or killed at -1 to -5 C in summer */
    static const char *const shrubs[] = {"Camellia japonica", "Photinia x fraseri",
                                         "Magnolia grandiflora", "Pyracantha coccinea"};
    for (size_t i = 0; i < sizeof shrubs / sizeof *shrubs; i++) {
        ow_tolerance shrub = stands(shrubs[i]);
        ow_limit soft = ow_limit_now(&shrub.limit[OW_FOLIAGE], shrub.soft_k, 0.0);
        check_between(shrubs[i], soft.damaged_c, -5.0, -1.0);
        check_between(shrubs[i], soft.killed_c, -5.0, -1.0);
    }
}

static void warming_is_in_proportion_and_bounded(void **state)
{
    (void)state;
    ow_limit roots = ow_limit_own(-3.0, -5.0, false);
    ow_limit half = ow_limit_now(&roots, 14.0, 0.5);
    check_close("half of what brings it to -1 C", half.damaged_c, -2.0, 1e-12, 0.0);
    check_close("half of what brings it to -2 C", half.killed_c, -3.5, 1e-12, 0.0);
    ow_limit tender = ow_limit_own(-0.5, -1.0, true);
    ow_limit now = ow_limit_now(&tender, 5.0, 0.0);
    check_close("warmer already: stays", now.damaged_c, -0.5, 0.0, 0.0);
    check_close("warmer already: stays", now.killed_c, -1.0, 0.0, 0.0);
    ow_limit unset = {.set = false};
    assert_false(ow_limit_now(&unset, 5.0, 0.0).set);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_date_alone_starts_sensibly),
        cmocka_unit_test(the_season_has_no_jump),
        cmocka_unit_test(a_hardened_plant_in_midwinter_cold_is_exactly_at_its_limits),
        cmocka_unit_test(cool_days_harden_over_some_weeks),
        cmocka_unit_test(a_warm_spell_softens_more_after_midwinter_than_before),
        cmocka_unit_test(growth_in_spring_softens_even_in_the_cold),
        cmocka_unit_test(steps_of_any_length_agree),
        cmocka_unit_test(a_gap_in_the_air_leaves_the_mean),
        cmocka_unit_test(soft_plants_are_where_summer_tests_put_them),
        cmocka_unit_test(evergreen_shrubs_are_all_soft_in_summer),
        cmocka_unit_test(warming_is_in_proportion_and_bounded),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
