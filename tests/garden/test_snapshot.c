/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>

#include "garden/pack.h"
#include "garden/snapshot.h"
#include "garden_text.h"
#include "stage.h"

/* A pot with a tray under it, a bed with a trunk, a pot under glass, a heater, two covers. */
#define PLACES                                                                                     \
    "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"},"                                         \
    "{\"id\":\"cellar\",\"kind\":\"indoors\",\"air_c\":8},"                                        \
    "{\"id\":\"house\",\"kind\":\"glasshouse\",\"floor_m2\":8,\"glazing_m2\":26}],"
#define COVERS                                                                                     \
    "\"covers\":[{\"id\":\"wrap\",\"kind\":\"fleece\",\"count\":3},"                               \
    "{\"id\":\"film\",\"kind\":\"bubble film\",\"count\":3}],"
#define TUB                                                                                        \
    "{\"id\":\"tub\",\"place\":\"deck\"," STAGE_LIMITS ",\"covers\":[\"wrap\",\"film\"],"          \
    "\"wearing\":[\"wrap\",\"film\"],\"pot\":{\"diameter_mm\":300,\"depth_mm\":280,"               \
    "\"medium\":\"loam mix\",\"stands_on\":\"tray of water\",\"tray_mm\":30}}"
#define PALM                                                                                       \
    "{\"id\":\"palm\",\"place\":\"deck\"," STAGE_LIMITS ",\"bed\":{\"medium\":\"loam\"},"          \
    "\"trunk\":{\"diameter_mm\":200,\"height_mm\":800,\"growing_point_mm\":50}}"
#define POT                                                                                        \
    "{\"id\":\"pot\",\"place\":\"house\"," STAGE_LIMITS ","                                        \
    "\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"peat\"}}"
#define OUTPUTS                                                                                    \
    ",\"outputs\":[{\"id\":\"warm\",\"kind\":\"heater\",\"place\":\"house\",\"watts\":1500,"       \
    "\"keep_air_above_c\":3,\"topic\":\"plug/set\",\"on\":\"on {seconds}\",\"off\":\"off\"}]"
#define GARDEN(plants)                                                                             \
    STAGE_SITE PLACES COVERS "\"plants\":[" plants "]" OUTPUTS "}"

#define AT_LATITUDE(deg)                                                                           \
    "{\"garden\":\"stage\",\"site\":{\"latitude_deg\":" deg ",\"longitude_deg\":0,"                \
    "\"elevation_m\":60}," PLACES "\"plants\":[" POT "]}"

static const char whole_text[] = GARDEN(TUB "," PALM "," POT);

/* Two days of rain and frost: something of every kind of state is under way. */
static stage lived_in(void)
{
    stage s = stage_open(whole_text, 4.0);
    ow_weather rain = stage_dull(2.0, 3.0), night = stage_clear_night(-9.0, 2.0);
    rain.rain_mm = 1.5;
    night.snow_cm = 3.0;
    stage_run(&s, &rain, 10);
    stage_run(&s, &night, 36.5); /* an odd number of steps: the order of sweeps matters */
    return s;
}

static void save(const stage *s, unsigned char **bytes, size_t *size)
{
    const ow_section added[] = {{"latches", (const unsigned char *)"stopped", 7},
                                {"nothing", NULL, 0}};
    assert_int_equal(ow_snapshot_write(s->scene, STAGE_MIDWINTER + 999, added, 2, bytes, size),
                     OW_OK);
}

static stage restored(const char *text, const unsigned char *bytes, size_t size,
                      struct lines *lines, bool *kept, ow_restored *result)
{
    stage s = stage_open(text, 11.0); /* an air that nothing in the state has */
    ow_report report = {.line = add_line, .self = lines};
    ow_snapshot snapshot;
    lines->used = 0;
    lines->text[0] = '\0';
    assert_int_equal(ow_snapshot_open(bytes, size, &snapshot), OW_SNAPSHOT_WHOLE);
    *result = ow_snapshot_restore(&snapshot, s.scene, &report, kept);
    return s;
}

static struct lines lines;

/* ---- field by field: one that is forgotten is missing from the bytes of both --------------- */

#define SAME(field) assert_memory_equal(&a->field, &b->field, sizeof a->field)

static void check_same_watches(const ow_condition *c, const ow_condition *d)
{
    for (int p = 0; p < OW_PARTS; p++) {
        const ow_harm_watch *a = &c->watch[p], *b = &d->watch[p];
        SAME(below_damaged_s);
        SAME(below_killed_s);
        SAME(damaged);
        SAME(killed);
        SAME(damaged_at);
        SAME(killed_at);
        SAME(lowest_c);
        SAME(lowest_at);
    }
    for (int p = 0; p < OW_PARTS; p++) {
        const ow_thaw_watch *a = &c->thaw[p], *b = &d->thaw[p];
        SAME(last_c);
        SAME(in_sun);
        SAME(frozen_at_sun);
        SAME(too_quick);
        SAME(too_quick_at);
    }
}

static void check_same_actor(const ow_actor *a, const ow_actor *b)
{
    SAME(place);
    SAME(tray);
    SAME(topsoil.depletion_mm);
    SAME(sense); /* doubles only */
    SAME(dress.n);
    for (size_t i = 0; i < a->dress.n; i++) {
        SAME(dress.item[i]);
        SAME(dress.cover[i].state.wet_zones);
        SAME(dress.cover[i].state.blown_off);
        SAME(dress.cover[i].state.dry_s);
    }
    check_same_watches(&a->condition, &b->condition);
    SAME(condition.drought.clock_s);
    SAME(condition.drought.frozen_s);
    SAME(condition.drought.open_s);
    SAME(condition.drought.frozen_through);
    SAME(condition.drought.running);
    SAME(condition.drought.was_frozen);
    SAME(condition.hardening.hardened);
    SAME(condition.hardening.mean_c);
    SAME(condition.hardening.south);
    SAME(condition.hardening.spring);
    SAME(condition.marks);
    SAME(condition.frozen_through_s);
    SAME(condition.compared_c);
}

static void check_same_scene(const ow_scene *a, const ow_scene *b)
{
    SAME(now_s);
    SAME(outdoors.weather);
    SAME(outdoors.wall_c);
    SAME(outdoors.ground_c);
    SAME(outdoors.snow_age_days);
    for (int cell = 0; cell < a->ground.grid.nz; cell++) {
        assert_true(ow_block_h(&a->ground, OW_PAVED_LANE, cell) ==
                    ow_block_h(&b->ground, OW_PAVED_LANE, cell));
    }
    SAME(topsoil.depletion_mm);
    SAME(cloud_memory_pct);
    SAME(cloud_seen_s);
    SAME(sky_assumed);
    SAME(snow_cm);
    SAME(heater_j[0]);
    SAME(heater_w[0]);
    SAME(glass[2].air_c);
    for (int i = 0; i < a->cast->actors; i++) {
        check_same_actor(&a->cast->actor[i], &b->cast->actor[i]);
    }
}

/* Numbers that no other field has, so that one left out is missed. */
static void make_odd(ow_scene *s)
{
    ow_condition *c = &s->cast->actor[1].condition;
    double odd = 1.0;
    for (int p = 0; p < OW_PARTS; p++) {
        ow_utc_s at = 1000 + p;
        c->watch[p] = (ow_harm_watch){odd, odd + 1, p % 2, p % 3, at, at + 10, odd + 2, at + 20};
        c->thaw[p] = (ow_thaw_watch){odd + 3, p % 2, p % 3, !(p % 2), at + 30};
        c->compared_c[p] = odd + 4;
        odd += 10.0;
    }
    c->drought = (ow_drought){101, 102, 103, true, true, true};
    c->hardening = (ow_hardening){0.625, 104, false, true}; /* the south has its own test */
    c->marks = (ow_marks){105, 106, 107, 108, 109};
    c->frozen_through_s = 110;
    s->cast->actor[0].dress.cover[1].state = (ow_cover_state){5, true, 111};
    s->outdoors.snow_age_days = 112;
    s->cloud_memory_pct = 33;
    s->cloud_seen_s = 114;
    s->sky_assumed = true;
    s->heater_w[0] = 115;
    s->topsoil.depletion_mm = 16.5;
    s->cast->actor[1].topsoil.depletion_mm = 17.5;
}

static void no_field_is_forgotten(void **state)
{
    (void)state;
    stage one = lived_in();
    unsigned char *bytes;
    size_t size;
    ow_restored result;
    make_odd(one.scene);
    save(&one, &bytes, &size);
    stage two = restored(whole_text, bytes, size, &lines, NULL, &result);
    check_same_scene(one.scene, two.scene);
    free(bytes);
    stage_close(&one);
    stage_close(&two);
}

static void a_body_with_impossible_heat_starts_anew(void **state)
{
    (void)state;
    const double wrong[] = {NAN, INFINITY, -1e12, 1e12};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        stage one = lived_in();
        const ow_actor *pot = stage_actor(&one, 2);
        unsigned char *bytes;
        double h[128];
        bool kept[3];
        size_t size;
        ow_restored result;
        for (int c = 0; c < 128; c++) {
            h[c] = c == 5 ? wrong[i] : 0.0;
        }
        ow_block_set_h(&one.scene->cast->block[pot->root_grid][pot->root.block], pot->root.lane, h);
        save(&one, &bytes, &size);
        stage two = restored(whole_text, bytes, size, &lines, kept, &result);
        assert_true(kept[0] && kept[1]);
        assert_false(kept[2]);
        free(bytes);
        stage_close(&one);
        stage_close(&two);
    }
}

static void the_same_state_goes_on_alike_to_the_last_bit(void **state)
{
    (void)state;
    stage one = lived_in();
    unsigned char *bytes, *again;
    size_t size, again_size;
    bool kept[3];
    ow_restored result;
    save(&one, &bytes, &size);
    stage two = restored(whole_text, bytes, size, &lines, kept, &result);
    assert_int_equal(result.plants_kept, 3);
    assert_string_equal(lines.text, "");
    save(&two, &again, &again_size);
    assert_int_equal(size, again_size);
    assert_memory_equal(bytes, again, size);
    free(again);
    free(bytes);
    ow_weather thaw = stage_dull(3.0, 2.0);
    thaw.cloud_pct = 60;
    thaw.longwave_wm2 = thaw.solar_wm2 = NAN; /* the sky is remembered */
    stage_run(&one, &thaw, 30);
    stage_run(&two, &thaw, 30);
    check_same_scene(one.scene, two.scene);
    save(&one, &bytes, &size);
    save(&two, &again, &again_size);
    assert_int_equal(size, again_size);
    assert_memory_equal(bytes, again, size);
    free(bytes);
    free(again);
    stage_close(&one);
    stage_close(&two);
}

static void what_is_kept_is_what_was(void **state)
{
    (void)state;
    stage one = lived_in();
    unsigned char *bytes;
    size_t size;
    ow_restored result;
    ow_actor *tub = &one.scene->cast->actor[0];
    tub->place = 1;
    assert_int_equal(ow_dress_remove(&tub->dress, 1), OW_OK);
    save(&one, &bytes, &size);
    stage two = restored(whole_text, bytes, size, &lines, NULL, &result);
    const ow_actor *a = stage_actor(&two, 0);
    assert_int_equal(a->place, 1);
    assert_int_equal(a->dress.n, 1);
    assert_int_equal(a->dress.item[0], 0);
    assert_true(a->dress.cover[0].state.wet_zones == tub->dress.cover[0].state.wet_zones);
    assert_true(a->condition.watch[OW_FOLIAGE].damaged);
    assert_true(a->tray.j_m2 == tub->tray.j_m2);
    assert_true(a->tray.j_m2 < ow_tray_at(0.03, 4.0).j_m2); /* it has cooled meanwhile */
    assert_true(two.scene->heater_j[0] == one.scene->heater_j[0]);
    assert_true(two.scene->heater_j[0] > 0.0);
    assert_true(two.scene->now_s == one.scene->now_s);
    check_close("snow", two.scene->snow_cm, 3.0, 1e-12, 0.0);
    free(bytes);
    stage_close(&one);
    stage_close(&two);
}

static void added_sections_come_back(void **state)
{
    (void)state;
    stage one = lived_in();
    const unsigned char *found;
    unsigned char *bytes;
    size_t size, found_size;
    ow_snapshot s;
    save(&one, &bytes, &size);
    assert_int_equal(ow_snapshot_open(bytes, size, &s), OW_SNAPSHOT_WHOLE);
    assert_true(s.saved_s == STAGE_MIDWINTER + 999);
    assert_true(s.now_s == one.scene->now_s);
    assert_int_equal(s.step_s, STAGE_STEP_S);
    assert_int_equal(ow_snapshot_section(&s, "latches", &found, &found_size), OW_OK);
    assert_int_equal(found_size, 7);
    assert_memory_equal(found, "stopped", 7);
    assert_int_equal(ow_snapshot_section(&s, "nothing", &found, &found_size), OW_OK);
    assert_int_equal(found_size, 0);
    assert_int_equal(ow_snapshot_section(&s, "others", &found, &found_size), OW_NOT_FOUND);
    const ow_section long_name = {"a-name-that-is-longer-than-thirty-two", NULL, 0};
    unsigned char *none;
    assert_int_equal(ow_snapshot_write(one.scene, 0, &long_name, 1, &none, &found_size),
                     OW_BAD_INPUT);
    free(bytes);
    stage_close(&one);
}

/* Bytes of exactly that size on the heap, so that a read past them is seen. */
static ow_snapshot_fault open_copy(const unsigned char *bytes, size_t size, ow_snapshot *s)
{
    unsigned char *copy = malloc(size > 0 ? size : 1);
    assert_non_null(copy);
    memcpy(copy, bytes, size);
    ow_snapshot_fault fault = ow_snapshot_open(copy, size, s);
    free(copy);
    return fault;
}

static void every_cut_and_every_wrong_byte_is_seen(void **state)
{
    (void)state;
    stage one = stage_open(STAGE_SITE PLACES "\"plants\":[" POT "]}", 4.0);
    const ow_snapshot untouched = {.version = -7};
    unsigned char *bytes;
    size_t size;
    assert_int_equal(ow_snapshot_write(one.scene, 5, NULL, 0, &bytes, &size), OW_OK);
    ow_snapshot s = untouched;
    for (size_t cut = 0; cut < size; cut++) {
        ow_snapshot_fault fault = open_copy(bytes, cut, &s);
        assert_true(fault == OW_SNAPSHOT_CUT);
    }
    for (size_t at = 0; at < size; at++) {
        const unsigned char right = bytes[at];
        bytes[at] ^= (unsigned char)(1u << at % 8);
        assert_int_not_equal(ow_snapshot_open(bytes, size, &s), OW_SNAPSHOT_WHOLE);
        bytes[at] = (unsigned char)~right;
        assert_int_not_equal(ow_snapshot_open(bytes, size, &s), OW_SNAPSHOT_WHOLE);
        bytes[at] = right;
    }
    assert_memory_equal(&s, &untouched, sizeof s);
    assert_int_equal(ow_snapshot_open(bytes, size, &s), OW_SNAPSHOT_WHOLE);
    free(bytes);
    stage_close(&one);
}

static void put_number(unsigned char *at, int64_t value)
{
    for (int i = 0; i < 8; i++) {
        at[i] = (unsigned char)((uint64_t)value >> (8 * i));
    }
}

static void seal(unsigned char *bytes, size_t size)
{
    put_number(bytes + size - 8, ow_crc32(bytes, size - 8));
}

static void a_newer_version_is_told_from_a_broken_one(void **state)
{
    (void)state;
    stage one = lived_in();
    unsigned char *bytes;
    size_t size;
    ow_snapshot s = {.version = 0};
    save(&one, &bytes, &size);
    put_number(bytes + 8, OW_SNAPSHOT_VERSION + 4);
    assert_int_equal(ow_snapshot_open(bytes, size, &s), OW_SNAPSHOT_BROKEN);
    seal(bytes, size);
    assert_int_equal(ow_snapshot_open(bytes, size, &s), OW_SNAPSHOT_NEWER);
    assert_int_equal(s.version, OW_SNAPSHOT_VERSION + 4);
    free(bytes);
    stage_close(&one);
}

/* Wrong numbers under a right checksum: lengths, counts and temperatures that lead nowhere. Each
 * must be refused or restored without a step outside the bytes, and leave a scene that steps. */
static void no_number_in_the_bytes_is_trusted(void **state)
{
    (void)state;
    const int64_t wrong[] = {-1, INT64_MAX, INT64_MIN, 1 << 20, 0x7FF8000000000000 /* a NAN */};
    stage one = lived_in(), two = stage_open(whole_text, 1.0);
    ow_weather dull = stage_dull(1.0, 1.0);
    unsigned char *bytes;
    size_t size, kept = 0, refused = 0;
    save(&one, &bytes, &size);
    for (size_t at = 16; at + 16 <= size; at += 7) {
        unsigned char *copy = malloc(size);
        ow_snapshot s;
        assert_non_null(copy);
        memcpy(copy, bytes, size);
        put_number(copy + at, wrong[at % 5]);
        seal(copy, size);
        if (ow_snapshot_open(copy, size, &s) == OW_SNAPSHOT_WHOLE) {
            kept += (size_t)ow_snapshot_restore(&s, two.scene, NULL, NULL).plants_kept;
        } else {
            refused++;
        }
        free(copy);
    }
    assert_true(kept > 0 && refused > 0);
    free(bytes);
    for (int i = 0; i < 3; i++) {
        stage_run(&two, &dull, 5);
        assert_true(isfinite(stage_mean_c(&two, i)));
    }
    stage_close(&one);
    stage_close(&two);
}

static void edited(const char *text, bool *kept, ow_restored *result, stage *s)
{
    stage one = lived_in();
    unsigned char *bytes;
    size_t size;
    save(&one, &bytes, &size);
    *s = restored(text, bytes, size, &lines, kept, result);
    free(bytes);
    stage_close(&one);
}

#define OTHER_TUB                                                                                  \
    "{\"id\":\"tub\",\"place\":\"deck\"," STAGE_LIMITS ",\"covers\":[\"wrap\",\"film\"],"          \
    "\"wearing\":[\"wrap\",\"film\"],\"pot\":{\"diameter_mm\":310,\"depth_mm\":280,"               \
    "\"medium\":\"loam mix\",\"stands_on\":\"tray of water\",\"tray_mm\":30}}"
#define FRESH                                                                                      \
    "{\"id\":\"fresh\",\"place\":\"deck\"," STAGE_LIMITS ","                                       \
    "\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"peat\"}}"

static void what_still_fits_an_edited_garden_is_kept(void **state)
{
    (void)state;
    bool kept[3];
    ow_restored result;
    stage s;
    edited(GARDEN(FRESH "," POT "," OTHER_TUB), kept, &result, &s);
    assert_int_equal(result.plants_kept, 1);
    assert_int_equal(result.plants_anew, 2);
    assert_int_equal(result.plants_gone, 1);
    assert_false(kept[0]);
    assert_true(kept[1]); /* in another slot than before */
    assert_false(kept[2]);
    assert_string_equal(lines.text,
                        "store: fresh is new; it starts at the air's mean\n"
                        "store: tub is in another pot, bed or trunk than before; it starts anew\n"
                        "store: palm is no longer in the garden file; its state is dropped\n");
    ow_weather dull = stage_dull(1.0, 1.0);
    stage_run(&s, &dull, 1);
    assert_true(stage_mean_c(&s, 0) > 8.0); /* from the 11 C it was built at */
    stage_close(&s);
}

static void another_medium_is_another_body(void **state)
{
    (void)state;
    bool kept[1];
    ow_restored result;
    stage s;
    edited(STAGE_SITE PLACES "\"plants\":[{\"id\":\"pot\",\"place\":\"house\"," STAGE_LIMITS ","
           "\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"bark mix\"}}]}",
           kept, &result, &s);
    assert_false(kept[0]);
    stage_close(&s);
}

static void a_place_is_the_file_s_when_the_file_says_something_new(void **state)
{
    (void)state;
    bool kept[1];
    ow_restored result;
    stage s;
    edited(STAGE_SITE PLACES "\"plants\":[{\"id\":\"pot\",\"place\":\"cellar\"," STAGE_LIMITS ","
           "\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"peat\"}}]}",
           kept, &result, &s);
    assert_true(kept[0]);
    assert_int_equal(stage_actor(&s, 0)->place, 1);
    assert_non_null(strstr(lines.text, "pot in cellar now"));
    stage_close(&s);
}

static void edited_limits_forget_what_was_passed(void **state)
{
    (void)state;
    bool kept[1];
    ow_restored result;
    stage s;
    edited(STAGE_SITE PLACES "\"covers\":[{\"id\":\"wrap\",\"kind\":\"fleece\"}],"
           "\"plants\":[{\"id\":\"tub\",\"place\":\"deck\",\"limits\":{\"foliage\":"
           "{\"damaged_c\":-20,\"killed_c\":-25}},\"pot\":{\"diameter_mm\":300,\"depth_mm\":280,"
           "\"medium\":\"loam mix\",\"stands_on\":\"tray of water\",\"tray_mm\":30}}]}",
           kept, &result, &s);
    assert_true(kept[0]);
    assert_false(stage_actor(&s, 0)->condition.watch[OW_FOLIAGE].damaged);
    assert_true(stage_actor(&s, 0)->condition.drought.frozen_s >= 0.0);
    assert_int_equal(stage_actor(&s, 0)->dress.n, 1); /* the film is no longer in the file */
    assert_non_null(strstr(lines.text, "tub wore film"));
    assert_non_null(strstr(lines.text, "limits of tub"));
    stage_close(&s);
}

/* A latitude with the wrong sign is mended in the file: the seasons are its from then on. */
static void the_seasons_are_the_file_s(void **state)
{
    (void)state;
    const char *const text[] = {AT_LATITUDE("48.8"), AT_LATITUDE("-48.8")};
    const double latitude_deg[] = {48.8, -48.8};
    for (int i = 0; i < 4; i++) {
        int from = i / 2, to = i % 2;
        unsigned char *bytes;
        size_t size;
        ow_restored result;
        stage one = stage_open(text[from], 4.0);
        one.scene->cast->actor[0].condition.hardening.hardened = 0.625;
        save(&one, &bytes, &size);
        stage two = restored(text[to], bytes, size, &lines, NULL, &result);
        const ow_hardening *h = &stage_actor(&two, 0)->condition.hardening;
        double anew = ow_hardening_allowed(STAGE_MIDWINTER, latitude_deg[to]);
        assert_int_equal(h->south, to);
        check_close("hardened", h->hardened, from == to ? 0.625 : anew, 0, 0);
        assert_int_equal(strstr(lines.text, "other side of the equator") != NULL, from != to);
        free(bytes);
        stage_close(&one);
        stage_close(&two);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_field_is_forgotten),
        cmocka_unit_test(a_body_with_impossible_heat_starts_anew),
        cmocka_unit_test(the_same_state_goes_on_alike_to_the_last_bit),
        cmocka_unit_test(what_is_kept_is_what_was),
        cmocka_unit_test(added_sections_come_back),
        cmocka_unit_test(every_cut_and_every_wrong_byte_is_seen),
        cmocka_unit_test(a_newer_version_is_told_from_a_broken_one),
        cmocka_unit_test(no_number_in_the_bytes_is_trusted),
        cmocka_unit_test(what_still_fits_an_edited_garden_is_kept),
        cmocka_unit_test(another_medium_is_another_body),
        cmocka_unit_test(a_place_is_the_file_s_when_the_file_says_something_new),
        cmocka_unit_test(edited_limits_forget_what_was_passed),
        cmocka_unit_test(the_seasons_are_the_file_s),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
