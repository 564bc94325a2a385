/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <locale.h>

#include "check.h"
#include "garden/json_payload.h"
#include "garden/number_text.h"
#include "live.h"

static ow_reading reading(ow_measures measures, const char *pointer, ow_unit unit)
{
    return (ow_reading){.id = "deck-air",
                        .measures = measures,
                        .place = {.at = -1},
                        .plant = {.at = -1},
                        .topic = "sensors/deck",
                        .pointer = pointer,
                        .unit = unit,
                        .open = "open",
                        .shut = "shut",
                        .stale_after_min = 30};
}

static ow_cause take(const ow_reading *r, const char *bytes, size_t size, ow_sample *sample)
{
    char why[OW_WHY_TEXT] = "";
    char *copy = heap_bytes(bytes, size);
    ow_sample before = *sample;
    ow_cause cause = ow_payload_read(r, copy, size, sample, why);
    free(copy);
    if (cause == OW_CAUSE_NONE) {
        assert_true(isfinite(sample->value) && isfinite(sample->time_s));
    } else {
        assert_true(memcmp(&sample->value, &before.value, sizeof before.value) == 0);
        assert_true(sample->timed == before.timed &&
                    memcmp(&sample->time_s, &before.time_s, sizeof before.time_s) == 0);
        assert_non_null(strstr(why, "sensors/deck: deck-air "));
        assert_true(strlen(why) > 30 && strlen(why) < OW_WHY_TEXT);
        assert_null(strpbrk(why, "\n\r\t"));
    }
    return cause;
}

static double value(const ow_reading *r, const char *text)
{
    ow_sample sample = {.value = NAN};
    ow_cause cause = take(r, text, strlen(text), &sample);
    if (cause != OW_CAUSE_NONE) {
        fail_msg("%s: refused as %s", text, ow_cause_name(cause));
    }
    return sample.value;
}

static void refused(const ow_reading *r, const char *text, ow_cause want)
{
    ow_sample sample = {.value = 77};
    ow_cause cause = take(r, text, strlen(text), &sample);
    if (cause != want) {
        fail_msg("%s: %s, want %s", text, ow_cause_name(cause), ow_cause_name(want));
    }
}

static void plain_numbers(void **state)
{
    (void)state;
    ow_reading air = reading(OW_MEASURES_AIR, "", OW_UNIT_C);
    static const struct {
        const char *text;
        double want;
    } good[] = {
        {"3.5", 3.5},    {" -12 \r\n", -12}, {"+4.25", 4.25},  {"007.50", 7.5},
        {"-00.5", -0.5}, {"1e1", 10},        {"2.5E-1", 0.25}, {"0", 0},
        {"-0", 0},       {"1e+0", 1},        {"\"5.5\"", 5.5}, {"\" 6 \"", 6},
    };
    static const char *const bad[] = {
        "abc",     "3,5",
        "5 C",     "5.",
        ".5",      "--5",
        "0x10",    "NaN",
        "inf",     "1e999",
        "1e",      "-",
        "true",    "null",
        " ",       "5 6",
        "\"5 C\"", "1e400",
        "\"\"",    "1.0000000000000000000000000000000000000000000000000000000000000000000000",
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        check_close(good[i].text, value(&air, good[i].text), good[i].want, 1e-15, 0);
    }
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        refused(&air, bad[i], OW_CAUSE_NO_NUMBER);
    }
    refused(&air, "", OW_CAUSE_NO_NUMBER);
    ow_sample sample = {.value = 77};
    assert_int_equal(take(&air,
                          "3\0"
                          "5",
                          3, &sample),
                     OW_CAUSE_NO_NUMBER);
}

static void units_are_turned(void **state)
{
    (void)state;
    ow_reading f = reading(OW_MEASURES_AIR, "", OW_UNIT_F);
    ow_reading kmh = reading(OW_MEASURES_WIND, "/w", OW_UNIT_KM_H);
    ow_reading okta = reading(OW_MEASURES_CLOUD, "", OW_UNIT_OKTA);
    ow_reading metre = reading(OW_MEASURES_SNOW, "", OW_UNIT_M);
    check_close("F", value(&f, "23"), -5, 1e-12, 0);
    check_close("km/h", value(&kmh, "{\"w\": 18}"), 5, 1e-12, 0);
    check_close("okta", value(&okta, "2"), 25, 1e-12, 0);
    check_close("m", value(&metre, "0.3"), 30, 1e-12, 0);
}

/* The examples of RFC 6901 section 5 and what it forbids. */
static void pointers(void **state)
{
    (void)state;
    const char *text =
        "{\"foo\": [10, 11], \"\": 0, \"a/b\": 1, \"c%d\": 2, \"e^f\": 3, \"g|h\": 4,"
        " \"i\\\\j\": 5, \"k\\\"l\": 6, \" \": 7, \"m~n\": 8, \"A\": 9, \"~1\": 12}";
    static const struct {
        const char *pointer;
        double want;
    } good[] = {{"/foo/0", 10}, {"/foo/1", 11}, {"/", 0},     {"/a~1b", 1}, {"/c%d", 2},
                {"/e^f", 3},    {"/g|h", 4},    {"/i\\j", 5}, {"/k\"l", 6}, {"/ ", 7},
                {"/m~0n", 8},   {"/A", 9},      {"/~01", 12}};
    static const char *const none[] = {"",        "/foo",   "/foo/2",   "/foo/00",
                                       "/foo/01", "/foo/-", "/foo/",    "/a",
                                       "/fo",     "/Foo/0", "/foo/0/0", "/foo/99999999999999999999",
                                       "/foo/ 0", "/foo/+0"};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        ow_reading r = reading(OW_MEASURES_AIR, good[i].pointer, OW_UNIT_C);
        check_close(good[i].pointer, value(&r, text), good[i].want, 0, 0);
    }
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        ow_reading r = reading(OW_MEASURES_AIR, none[i], OW_UNIT_C);
        refused(&r, text, OW_CAUSE_NOT_THERE);
    }
    cJSON *root = cJSON_Parse("[1]");
    assert_null(ow_json_at(root, "0"));
    assert_null(ow_json_at(root, "/~"));
    assert_null(ow_json_at(root, "/~2"));
    assert_ptr_equal(ow_json_at(root, ""), root);
    cJSON_Delete(root);
}

static void json_is_strict(void **state)
{
    (void)state;
    ow_reading r = reading(OW_MEASURES_AIR, "/t", OW_UNIT_C);
    check_close("a text with a number", value(&r, "{\"t\": \"-2.5\"}"), -2.5, 0, 0);
    refused(&r, "{\"t\": 1, \"t\": 2}", OW_CAUSE_JSON);
    refused(&r, "{\"t\": 1e999}", OW_CAUSE_JSON);
    refused(&r, "{\"t\": 07}", OW_CAUSE_JSON);
    refused(&r, "{\"t\": 1,}", OW_CAUSE_JSON);
    refused(&r, "{\"t\": 1} x", OW_CAUSE_JSON);
    refused(&r, "{\"t\": 1 // no\n}", OW_CAUSE_JSON);
    refused(&r, "{\"t\": \"\xFF\"}", OW_CAUSE_JSON);
    refused(&r, "{\"t\": 1", OW_CAUSE_JSON);
    refused(&r, "{\"t\": true}", OW_CAUSE_NO_NUMBER);
    refused(&r, "{\"t\": null}", OW_CAUSE_NO_NUMBER);
    refused(&r, "{\"t\": \"n/a\"}", OW_CAUSE_NO_NUMBER);
    refused(&r, "{\"t\": {}}", OW_CAUSE_NOT_THERE);
    refused(&r, "{\"T\": 1}", OW_CAUSE_NOT_THERE);
    refused(&r, "5", OW_CAUSE_NOT_THERE);
}

static void bounds(void **state)
{
    (void)state;
    ow_reading r = reading(OW_MEASURES_AIR, "/t", OW_UNIT_C);
    ow_sample sample = {.value = 77};
    char *big = malloc(OW_PAYLOAD_SIZE_MAX + 1);
    assert_non_null(big);
    memset(big, ' ', OW_PAYLOAD_SIZE_MAX + 1);
    memcpy(big, "{\"t\":1}", 7);
    assert_int_equal(take(&r, big, OW_PAYLOAD_SIZE_MAX, &sample), OW_CAUSE_NONE);
    assert_int_equal(take(&r, big, OW_PAYLOAD_SIZE_MAX + 1, &sample), OW_CAUSE_LONG);
    memset(big, '[', OW_PAYLOAD_SIZE_MAX);
    assert_int_equal(take(&r, big, OW_PAYLOAD_SIZE_MAX, &sample), OW_CAUSE_JSON);
    size_t used = 1;
    for (int i = 0; i <= OW_JSON_KEYS_MAX; i++) {
        used += (size_t)snprintf(big + used, 32, "%s\"k%d\":1", i > 0 ? "," : "", i);
    }
    big[0] = '{';
    big[used++] = '}';
    assert_int_equal(take(&r, big, used, &sample), OW_CAUSE_JSON);
    free(big);
}

static void contacts(void **state)
{
    (void)state;
    ow_reading r = reading(OW_MEASURES_CONTACT, "", OW_UNIT_C);
    check_close("open", value(&r, "open"), OW_IS_OPEN, 0, 0);
    check_close("shut", value(&r, "shut"), OW_IS_SHUT, 0, 0);
    check_close("in quotes", value(&r, "\"open\""), OW_IS_OPEN, 0, 0);
    refused(&r, "Open", OW_CAUSE_NO_NUMBER);
    refused(&r, "open ", OW_CAUSE_NO_NUMBER);
    refused(&r, "opened", OW_CAUSE_NO_NUMBER);
    refused(&r, "ope", OW_CAUSE_NO_NUMBER);
    r = reading(OW_MEASURES_CONTACT, "/door", OW_UNIT_C);
    r.open = "false";
    r.shut = "true";
    check_close("false is open", value(&r, "{\"door\": false}"), OW_IS_OPEN, 0, 0);
    check_close("true is shut", value(&r, "{\"door\": true}"), OW_IS_SHUT, 0, 0);
    refused(&r, "{\"door\": 1}", OW_CAUSE_NO_NUMBER);
    refused(&r, "{\"door\": null}", OW_CAUSE_NO_NUMBER);
    r.open = "1";
    r.shut = "0";
    check_close("1 is open", value(&r, "{\"door\": 1}"), OW_IS_OPEN, 0, 0);
    check_close("0 is shut", value(&r, "{\"door\": 0.0}"), OW_IS_SHUT, 0, 0);
    refused(&r, "{\"door\": 2}", OW_CAUSE_NO_NUMBER);
}

static ow_sample senml(ow_measures measures, const char *pointer, const char *text)
{
    ow_reading r =
        reading(measures, pointer, measures == OW_MEASURES_AIR ? OW_UNIT_C : OW_UNIT_PERCENT);
    ow_sample sample = {.value = NAN};
    if (take(&r, text, strlen(text), &sample) != OW_CAUSE_NONE) {
        fail_msg("refused: %s", text);
    }
    return sample;
}

/* Shapes of RFC 8428 section 5.1 with other numbers. */
static void senml_lists(void **state)
{
    (void)state;
    const char *two = "[{\"bn\":\"urn:dev:ow:10e2073a01080063:\",\"bt\":1705276800,\"n\":\"temp\","
                      "\"u\":\"Cel\",\"v\":-3.5},{\"n\":\"hum\",\"u\":\"%RH\",\"v\":81,\"t\":-60}]";
    ow_sample s = senml(OW_MEASURES_AIR, "", two);
    check_close("by unit", s.value, -3.5, 0, 0);
    assert_int_equal(s.timed, OW_TIME_UTC);
    check_close("base time", s.time_s, 1705276800.0, 0, 0);
    s = senml(OW_MEASURES_HUMIDITY, "", two);
    check_close("by unit", s.value, 81, 0, 0);
    check_close("base and own time", s.time_s, 1705276740.0, 0, 0);
    check_close("by index", senml(OW_MEASURES_HUMIDITY, "/1", two).value, 81, 0, 0);
    check_close("by value", senml(OW_MEASURES_HUMIDITY, "/1/v", two).value, 81, 0, 0);
    check_close("by n", senml(OW_MEASURES_HUMIDITY, "/hum", two).value, 81, 0, 0);
    check_close("by name", senml(OW_MEASURES_AIR, "/urn:dev:ow:10e2073a01080063:temp", two).value,
                -3.5, 0, 0);
    s = senml(OW_MEASURES_AIR, "", "[{\"u\":\"K\",\"v\":263.15,\"t\":-20}]");
    check_close("kelvin", s.value, -10, 1e-12, 0);
    assert_int_equal(s.timed, OW_TIME_SINCE_SENT);
    check_close("ago", s.time_s, -20, 0, 0);
    s = senml(OW_MEASURES_AIR, "", "[{\"bu\":\"Cel\",\"bv\":20},{\"v\":-18.5}]");
    check_close("base value and unit", s.value, 1.5, 1e-12, 0);
    assert_int_equal(s.timed, OW_TIME_NONE);
    s = senml(OW_MEASURES_AIR, "",
              "[{\"bn\":\"a\",\"bu\":\"Cel\",\"v\":1,\"t\":-60},{\"v\":2,\"t\":-5},"
              "{\"v\":3,\"t\":-30}]");
    check_close("the latest of one name", s.value, 2, 0, 0);
    check_close("no unit: the file's", senml(OW_MEASURES_AIR, "", "[{\"n\":\"a\",\"v\":4}]").value,
                4, 0, 0);
    check_close("plain JSON in the same shape",
                senml(OW_MEASURES_AIR, "/0/air", "[{\"v\":9,\"air\":5}]").value, 5, 0, 0);
}

static void senml_refused(void **state)
{
    (void)state;
    ow_reading air = reading(OW_MEASURES_AIR, "", OW_UNIT_C);
    ow_reading named = reading(OW_MEASURES_AIR, "/c", OW_UNIT_C);
    refused(&air, "[{\"n\":\"a\",\"u\":\"lx\",\"v\":4}]", OW_CAUSE_UNIT);
    refused(&air, "[{\"n\":\"a\",\"u\":\"%RH\",\"v\":4}]", OW_CAUSE_UNIT);
    refused(&air, "[{\"n\":\"a\",\"u\":\"Cel\",\"v\":4},{\"n\":\"b\",\"u\":\"Cel\",\"v\":5}]",
            OW_CAUSE_NOT_THERE);
    refused(&air, "[{\"n\":\"a\",\"u\":\"Cel\",\"vb\":true}]", OW_CAUSE_NO_NUMBER);
    refused(&air, "[{\"bver\":11,\"n\":\"a\",\"v\":4}]", OW_CAUSE_NOT_THERE);
    refused(&air, "[{\"n\":\"a\",\"v\":4,\"new_\":1}]", OW_CAUSE_NOT_THERE);
    refused(&air, "[{\"n\":\"a\",\"v\":4,\"t\":\"now\"}]", OW_CAUSE_NOT_THERE);
    refused(&air, "[]", OW_CAUSE_NOT_THERE);
    refused(&named, "[{\"n\":\"a\",\"v\":4}]", OW_CAUSE_NOT_THERE);
    ow_reading door = reading(OW_MEASURES_CONTACT, "", OW_UNIT_C);
    door.open = "true";
    door.shut = "false";
    check_close("vb",
                value(&door, "[{\"n\":\"t\",\"u\":\"Cel\",\"v\":4},{\"n\":\"d\",\"vb\":true}]"),
                OW_IS_OPEN, 0, 0);
}

static void no_locale_matters(void **state)
{
    (void)state;
    static const char *const comma[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "de_DE", "fr_FR"};
    ow_reading air = reading(OW_MEASURES_AIR, "", OW_UNIT_C);
    for (size_t i = 0; i < sizeof comma / sizeof comma[0]; i++) {
        if (setlocale(LC_NUMERIC, comma[i]) != NULL) {
            check_close(comma[i], value(&air, "3.5"), 3.5, 0, 0);
            refused(&air, "3,5", OW_CAUSE_NO_NUMBER);
        }
    }
    setlocale(LC_NUMERIC, "C");
    check_close("C", value(&air, "3.5"), 3.5, 0, 0);
}

/* take() proves of each: no crash, finite or refused with a sentence and nothing changed. */
static void mutations(void **state)
{
    (void)state;
    static const char *const seed_text[] = {
        "-12.75",
        "{\"t\": -3.5, \"list\": [1, {\"a/b\": \"4.5\"}], \"u\": \"\\u00e9\"}",
        ("[{\"bn\":\"urn:x:\",\"bt\":1705276800,\"bu\":\"Cel\",\"n\":\"temp\",\"v\":-3.5},"
         "{\"n\":\"hum\",\"u\":\"%RH\",\"v\":81,\"t\":-60}]"),
        "open",
    };
    static const char *const pointer[] = {"", "/t", "/list/1/a~1b", "/0", "/temp"};
    unsigned seed = 20240115u;
    int good = 0, bad = 0;
    for (int i = 0; i < 20000; i++) {
        char text[256];
        const char *from = seed_text[next_random(&seed) % 4];
        ow_measures m = next_random(&seed) % 4 == 0 ? OW_MEASURES_CONTACT : OW_MEASURES_AIR;
        ow_reading r = reading(m, pointer[next_random(&seed) % 5], OW_UNIT_C);
        ow_sample sample = {.value = 77};
        size_t size = strlen(from);
        memcpy(text, from, size);
        size = mutate(text, size, &seed);
        *(take(&r, text, size, &sample) == OW_CAUSE_NONE ? &good : &bad) += 1;
    }
    assert_true(good > 500 && bad > 5000); /* both ways are walked */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plain_numbers),
        cmocka_unit_test(units_are_turned),
        cmocka_unit_test(pointers),
        cmocka_unit_test(json_is_strict),
        cmocka_unit_test(bounds),
        cmocka_unit_test(contacts),
        cmocka_unit_test(senml_lists),
        cmocka_unit_test(senml_refused),
        cmocka_unit_test(no_locale_matters),
        cmocka_unit_test(mutations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
