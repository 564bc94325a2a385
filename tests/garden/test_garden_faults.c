/* SPDX-License-Identifier: MIT */
/*
 * Faults of a garden file: tests/garden/bad/NAME.json is refused with exactly the lines of
 * NAME.txt, and no text whatever does worse than be refused.
 */
#define _POSIX_C_SOURCE 200809L

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <dirent.h>

#include "garden/scene.h"
#include "garden_text.h"

static void check_bad_file(const char *name)
{
    static struct lines lines;
    char path[300];
    size_t size;
    int errors;
    ow_garden *garden;
    char *text, *wanted;
    snprintf(path, sizeof path, "tests/garden/bad/%s.json", name);
    text = file_text(path, &size);
    snprintf(path, sizeof path, "tests/garden/bad/%s.txt", name);
    wanted = file_text(path, NULL);
    if (read_bytes(text, size, &lines, &errors, &garden) != OW_BAD_INPUT || errors == 0) {
        fail_msg("%s was not refused", name);
    }
    if (strcmp(lines.text, wanted) != 0) {
        fail_msg("%s\ngot:\n%s\nwanted:\n%s", name, lines.text, wanted);
    }
    assert_null(garden);
    free(text);
    free(wanted);
}

static void every_bad_file_is_refused_with_its_lines(void **state)
{
    DIR *folder = opendir("tests/garden/bad");
    const struct dirent *entry;
    int files = 0;
    (void)state;
    assert_non_null(folder);
    while ((entry = readdir(folder)) != NULL) {
        char name[260];
        const char *end = strstr(entry->d_name, ".json");
        if (end != NULL) {
            snprintf(name, sizeof name, "%.*s", (int)(end - entry->d_name), entry->d_name);
            check_bad_file(name);
            files++;
        }
    }
    closedir(folder);
    assert_true(files == 44);
}

/* ---- what a text file of test data cannot hold well ---- */

static void check_lines(const char *text, size_t size, const char *wanted)
{
    static struct lines lines;
    int errors;
    ow_garden *garden;
    assert_int_equal(read_bytes(text, size, &lines, &errors, &garden), OW_BAD_INPUT);
    assert_string_equal(lines.text, wanted);
}

#define GARDEN(site_and_more)                                                                      \
    "{\"garden\":\"yard\"," site_and_more                                                          \
    "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],\n"                                      \
    "\"plants\":[{\"id\":\"lemon\",\"taxon\":\"Citrus limon\",\"place\":\"deck\",\"bed\":{}}]}"
#define SITE "\"site\":{\"latitude_deg\":51,\"longitude_deg\":4},\n"

static void good_text_with_odd_bytes_is_read(void **state)
{
    static const char *const good[] = {
        GARDEN(SITE),
        "\xEF\xBB\xBF" GARDEN(SITE), /* byte order mark */
        GARDEN(SITE) "\r\n\t \n",
        "// \xC3\xA9t\xC3\xA9\r\n/**/" GARDEN(SITE "/* { \" */") "// no end of line",
        "/***/" GARDEN("\"store\":\"/a//b/*c*/\",\r\n" SITE), /* no comment within quotes */
        GARDEN("\"store\":\"\\u00e9\\ud83c\\udf4b\\\"\\\\\",\n" SITE),
    };
    static struct lines lines;
    int errors;
    ow_garden *garden;
    (void)state;
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        ow_status status = read_bytes(good[i], strlen(good[i]), &lines, &errors, &garden);
        if (status != OW_OK || errors != 0) {
            fail_msg("text %zu was refused: %s", i, lines.text);
        }
        if (i == 4) {
            assert_string_equal(garden->store, "/a//b/*c*/");
        }
        if (i == 5) {
            assert_string_equal(garden->store, "\xC3\xA9\xF0\x9F\x8D\x8B\"\\");
        }
        ow_garden_free(garden);
    }
}

static void bad_bytes_are_refused_where_they_stand(void **state)
{
    static const struct {
        const char *text, *wanted;
    } bad[] = {
        {"{\n\"garden\":\"y\xFF\"}",
         "garden.json:2:12: the byte 0xFF is not UTF-8 here; save the file as UTF-8\n"},
        {"// \xC0\xAF overlong\n{}",
         "garden.json:1:4: the byte 0xC0 is not UTF-8 here; save the file as UTF-8\n"},
        {"{\"a\":\"\xED\xA0\x80\"}", /* a surrogate */
         "garden.json:1:7: the byte 0xED is not UTF-8 here; save the file as UTF-8\n"},
        {"{\"a\":\"\xE2\x82",
         "garden.json:1:7: the byte 0xE2 is not UTF-8 here; save the file as UTF-8\n"},
        {"{\"a\":\"tab\there\"}",
         "garden.json:1:10: the control character 0x09 cannot stand in a text as it is\n"},
        {"{\"a\":\x01 1}",
         "garden.json:1:6: a value (a text in double quotes, a number, true, false, [ or {) is "
         "expected here, not the character 0x01\n"},
        {"{\"a\":\"\\ud83c x\"}",
         "garden.json:1:7: this is the first half of a surrogate pair without its second\n"},
        {"{\"a\":\"\\udf4b\"}",
         "garden.json:1:7: this is the second half of a surrogate pair without its first\n"},
        {"{\"a\":\"\\u12g4\"}", "garden.json:1:7: \\u needs four hexadecimal digits\n"},
        {"{\"a\":NaN}",
         "garden.json:1:6: a value (a text in double quotes, a number, true, false, [ or {) is "
         "expected here, not N\n"},
        {"{\"a\":-}", "garden.json:1:7: a digit is expected here, not }\n"},
        {"{\"a\":1e}", "garden.json:1:8: a digit of the exponent is expected here, not }\n"},
        {"{\"a\":truely}", "garden.json:1:10: a comma or } is expected here, not l\n"},
        {"{\"a\":[1 2]}", "garden.json:1:9: a comma or ] is expected here, not 2\n"},
        {"{\xC3\xA9}",
         "garden.json:1:2: a key in double quotes or } is expected here, not \xC3\xA9\n"},
        {"{} /", "garden.json:1:4: nothing more after the closing } is expected here, not /\n"},
        {"/*/", "garden.json:1:1: this comment has no end; close it with */\n"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        check_lines(bad[i].text, strlen(bad[i].text), bad[i].wanted);
    }
}

static void a_zero_byte_is_refused(void **state)
{
    static const char inside[] = "{\"a\":\"x\0y\"}", behind[] = "{}\0{}";
    (void)state;
    check_lines(inside, sizeof inside - 1,
                "garden.json:1:8: the control character 0x00 cannot stand in a text as it is\n");
    check_lines(behind, sizeof behind - 1,
                "garden.json:1:3: nothing more after the closing } is expected here, not the "
                "character 0x00\n");
}

static void columns_count_characters(void **state)
{
    const char *text = GARDEN("/* \xC3\xA9\xF0\x9F\x8D\x8B */ \"sit\":1," SITE);
    (void)state;
    check_lines(text, strlen(text),
                "garden.json:1:27: sit is not a known key; the nearest is site\n");
    text = "\xEF\xBB\xBF"
           "x";
    check_lines(text, strlen(text),
                "garden.json:1:1: the opening { of the garden is expected here, not x\n");
}

static void too_large_a_file_is_refused(void **state)
{
    size_t size = 1024 * 1024 + 1;
    char *text = malloc(size);
    (void)state;
    assert_non_null(text);
    memset(text, ' ', size);
    check_lines(text, size,
                "garden.json:1:1: the file has 1048577 bytes; a garden file has at most "
                "1048576\n");
    free(text);
}

static void a_number_that_would_be_cut_short_is_refused(void **state)
{
    (void)state;
    const char *text = "{\"a\":0.1234567890123456789012345678901234567890123456789012345678901234}";
    check_lines(text, strlen(text),
                "garden.json:1:6: this number has 66 characters; write at most "
                "63\n");
}

/* A foretold end contact may be missing only as long as the drive is not armed. */
static void an_end_contact_may_come_later(void **state)
{
    static struct lines lines;
    int errors;
    ow_garden *garden;
    const char *rehearsed = GARDEN(
        SITE
        "\"outputs\":[{\"id\":\"cloth\",\"kind\":\"cloth "
        "drive\",\"place\":\"deck\",\"topic\":\"t\","
        "\"close\":\"c\",\"open\":\"o\",\"stop\":\"s\",\"travel_s\":9,\"closed_end\":\"c1\"}],\n");
    const char *armed = GARDEN(
        SITE "\"outputs\":[{\"id\":\"cloth\",\"kind\":\"cloth "
             "drive\",\"place\":\"deck\",\"topic\":\"t\","
             "\"close\":\"c\",\"open\":\"o\",\"stop\":\"s\",\"travel_s\":9,\"closed_end\":\"c1\","
             "\"off_by_itself_s\":600,\"cautions_read\":true}],\n");
    (void)state;
    assert_int_equal(read_bytes(rehearsed, strlen(rehearsed), &lines, &errors, &garden), OW_OK);
    assert_int_equal(garden->outputs[0].closed_end.at, -1);
    ow_garden_free(garden);
    assert_string_equal(
        lines.text,
        "garden.json:2:12: advice: outputs[0] is only rehearsed, since cautions_read is not true\n"
        "garden.json:2:134: advice: outputs[0].closed_end names an end contact that no reading "
        "gives yet; the drive is only rehearsed\n");
    check_lines(armed, strlen(armed),
                "garden.json:2:12: advice: outputs[0] never moves, since no reading measures wind\n"
                "garden.json:2:134: outputs[0].closed_end is \"c1\"; no reading has that id\n");
}

/* Nothing is wrong in the file, and yet such a cloth would never move. */
static void a_cloth_that_would_never_move_is_told(void **state)
{
    static struct lines lines;
    int errors;
    ow_garden *garden;
    const char *dry_nowhere = GARDEN(
        SITE "\"readings\":[{\"id\":\"wind\",\"measures\":\"wind\",\"topic\":\"w\"}],"
             "\"outputs\":[{\"id\":\"cloth\",\"kind\":\"cloth "
             "drive\",\"place\":\"deck\",\"topic\":\"t\",\"off_by_itself_s\":60,"
             "\"close\":\"c\",\"open\":\"o\",\"stop\":\"s\",\"travel_s\":9,"
             "\"cautions_read\":true}],\n");
    (void)state;
    assert_int_equal(read_bytes(dry_nowhere, strlen(dry_nowhere), &lines, &errors, &garden), OW_OK);
    ow_garden_free(garden);
    assert_non_null(strstr(lines.text, "advice: outputs[0] never moves, since no reading measures "
                                       "rain and a wet cloth must stay\n"));
}

/* The interlock no-off-timer (outputs/interlock.h) holds back drives as well as heaters. */
static void without_an_off_timer_a_drive_is_only_rehearsed(void **state)
{
    static struct lines lines;
    int errors;
    ow_garden *garden;
    const char *text = GARDEN(SITE "\"outputs\":[{\"id\":\"cloth\",\"kind\":\"cloth "
                                   "drive\",\"place\":\"deck\",\"topic\":\"t\","
                                   "\"close\":\"c\",\"open\":\"o\",\"stop\":\"s\",\"travel_s\":9,"
                                   "\"cautions_read\":true}],\n");
    (void)state;
    assert_int_equal(read_bytes(text, strlen(text), &lines, &errors, &garden), OW_OK);
    ow_garden_free(garden);
    assert_string_equal(lines.text, "garden.json:2:12: advice: outputs[0] is only rehearsed, since "
                                    "it has no off_by_itself_s\n");
}

/* A wall of wood is 20 mm thick (module/physics/materials.c): of 52 mm 12 are left, too few. */
static void a_pot_is_wider_than_its_walls(void **state)
{
    static struct lines lines;
    int errors;
    ow_garden *garden;
    const char *const wood =
        "{\"garden\":\"yard\"," SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open "
        "sky\"}],\n\"plants\":[{\"id\":\"lemon\",\"taxon\":\"Citrus limon\",\"place\":\"deck\","
        "\"pot\":{\"depth_mm\":90,\"wall\":\"wood\",\"diameter_mm\":%d}}]}";
    char text[600];
    (void)state;
    snprintf(text, sizeof text, wood, 52);
    check_lines(
        text, strlen(text),
        "garden.json:3:112: plants[0].pot.diameter_mm is 52; its walls take 40 mm of it, so "
        "that it must be at least 60; give it as measured outside\n");
    snprintf(text, sizeof text, wood, 60);
    assert_int_equal(read_bytes(text, strlen(text), &lines, &errors, &garden), OW_OK);
    ow_scene *scene = NULL;
    assert_int_equal(ow_scene_new(garden, 1768910400, 600, 5.0, &scene), OW_OK);
    ow_scene_free(scene);
    ow_garden_free(garden);
}

static ow_status read_houses(int n, struct lines *lines, ow_garden **garden)
{
    static char text[4000];
    int errors;
    size_t used = (size_t)snprintf(text, sizeof text,
                                   "{\"garden\":\"yard\"," SITE
                                   "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}");
    for (int i = 0; i < n; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used,
                                 ",{\"id\":\"house-%d\",\"kind\":\"glasshouse\",\"floor_m2\":6,"
                                 "\"glazing_m2\":20}",
                                 i);
    }
    used += (size_t)snprintf(text + used, sizeof text - used,
                             "],\"plants\":[{\"id\":\"lemon\",\"taxon\":\"Citrus "
                             "limon\",\"place\":\"deck\",\"bed\":{}}]}");
    return read_bytes(text, used, lines, &errors, garden);
}

/* As many glasshouses as there are lanes for their floors, and not one more. */
static void there_are_floors_for_every_glasshouse(void **state)
{
    static struct lines lines;
    ow_garden *garden;
    ow_scene *scene = NULL;
    (void)state;
    assert_int_equal(read_houses(OW_GLASSHOUSES, &lines, &garden), OW_OK);
    assert_int_equal(ow_scene_new(garden, 1768910400, 600, 5.0, &scene), OW_OK);
    ow_scene_free(scene);
    ow_garden_free(garden);
    assert_int_equal(read_houses(OW_GLASSHOUSES + 1, &lines, &garden), OW_BAD_INPUT);
    assert_string_equal(lines.text,
                        "garden.json:2:10: places has 15 glasshouses; there may be at "
                        "most 14; write two gardens, or houses that are alike as one\n");
}

/* ---- any text at all ---- */

static void no_beginning_of_a_file_is_a_file(void **state)
{
    static struct lines lines;
    size_t size;
    char *text = file_text("tests/garden/school-roof.json", &size);
    (void)state;
    while (size > 0 && text[size - 1] == '\n') {
        size--;
    }
    for (size_t part = 0; part < size; part++) {
        int errors;
        ow_garden *garden;
        if (read_bytes(text, part, &lines, &errors, &garden) != OW_BAD_INPUT || errors != 1) {
            fail_msg("the first %zu bytes: %d errors\n%s", part, errors, lines.text);
        }
    }
    free(text);
}

/* The same numbers on every run (minimal standard generator of Park and Miller 1988). */
static uint32_t next_number(uint32_t *seed)
{
    *seed = (uint32_t)(*seed * UINT64_C(48271) % UINT64_C(2147483647));
    return *seed;
}

static void spoil(char *text, size_t size, uint32_t *seed)
{
    static const char byte[] = "{}[]\",:/*\\-0123456789eE. \n\t\0\xC3\xFF"
                               "abz";
    for (uint32_t n = 1 + next_number(seed) % 4; n > 0; n--) {
        size_t at = next_number(seed) % size, from = next_number(seed) % size;
        if (next_number(seed) % 3 == 0) { /* copy a piece over another */
            size_t most = size - (at > from ? at : from);
            memmove(text + at, text + from, most < 40 ? most : 40);
        } else {
            text[at] = byte[next_number(seed) % (sizeof byte - 1)];
        }
    }
}

static void spoilt_files_are_read_or_refused(void **state)
{
    static struct lines lines;
    size_t size;
    char *text = file_text("tests/garden/school-roof.json", &size), *spoilt = malloc(size);
    uint32_t seed = 20250111;
    int refused = 0, deep = 0;
    (void)state;
    assert_non_null(spoilt);
    for (int i = 0; i < 3000; i++) {
        int errors;
        ow_garden *garden;
        memcpy(spoilt, text, size);
        spoil(spoilt, size, &seed);
        ow_status status = read_bytes(spoilt, size, &lines, &errors, &garden);
        assert_true((status == OW_OK) == (errors == 0));
        assert_true(status == OW_OK || (status == OW_BAD_INPUT && garden == NULL));
        refused += status == OW_OK ? 0 : 1;
        deep += errors > 0 && strstr(lines.text, "expected") == NULL ? 1 : 0;
        ow_garden_free(garden);
    }
    assert_in_range(refused, 1000, 2999);
    assert_true(deep > 300); /* not only the syntax was tried */
    free(text);
    free(spoilt);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_bad_file_is_refused_with_its_lines),
        cmocka_unit_test(good_text_with_odd_bytes_is_read),
        cmocka_unit_test(bad_bytes_are_refused_where_they_stand),
        cmocka_unit_test(a_zero_byte_is_refused),
        cmocka_unit_test(columns_count_characters),
        cmocka_unit_test(too_large_a_file_is_refused),
        cmocka_unit_test(a_number_that_would_be_cut_short_is_refused),
        cmocka_unit_test(an_end_contact_may_come_later),
        cmocka_unit_test(there_are_floors_for_every_glasshouse),
        cmocka_unit_test(a_cloth_that_would_never_move_is_told),
        cmocka_unit_test(a_pot_is_wider_than_its_walls),
        cmocka_unit_test(without_an_off_timer_a_drive_is_only_rehearsed),
        cmocka_unit_test(no_beginning_of_a_file_is_a_file),
        cmocka_unit_test(spoilt_files_are_read_or_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
