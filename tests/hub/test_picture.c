/* SPDX-License-Identifier: MIT */
/*
 * What tile and page are drawn from: the SVG of the garden and the course of each plant, as a hub
 * gets them.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>
#include <ctype.h>
#include <math.h>

#include "hub/host.h"

#define HOSTILE "\"name\":\"<script>alert(1)</script> & \\\"tub\\\"\","
#define TUB(id, extra)                                                                             \
    "{\"id\":\"" id "\"," extra "\"taxon\":\"Citrus limon\",\"place\":\"roof\","                   \
    "\"pot\":{\"diameter_mm\":300,\"depth_mm\":280,\"wall\":\"terracotta\"}}"
#define FERN(id)                                                                                   \
    "{\"id\":\"" id "\",\"taxon\":\"Dicksonia antarctica\",\"place\":\"roof\","                    \
    "\"trunk\":{\"diameter_mm\":220,\"height_mm\":900,\"growing_point_mm\":40},"                   \
    "\"pot\":{\"diameter_mm\":400,\"depth_mm\":380}}"

/* Twelve plants that each take the most ink: a tub and a trunk. */
#define TWELVE                                                                                     \
    FERN("a")                                                                                      \
    "," FERN("b") "," FERN("c") "," FERN("d") "," FERN("e") "," FERN("f") "," FERN("g") "," FERN(  \
        "h") "," FERN("i") "," FERN("j") "," FERN("k") "," TUB("l", HOSTILE)

/* ---- a little XML ---------------------------------------------------------------------------- */

/* Elements opened and closed in order, attributes quoted, no stray < or &; what is found wrong. */
static const char *xml_fault(const char *at)
{
    char open[64][24];
    int depth = 0;
    while (*at != '\0') {
        if (*at == '&') {
            size_t n = strcspn(at, ";<");
            if (at[n] != ';' || n > 5) {
                return at;
            }
        }
        if (*at != '<') {
            at++;
            continue;
        }
        bool closes = at[1] == '/';
        const char *name = at + 1 + closes;
        size_t n = strspn(name, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ");
        if (n == 0 || n >= sizeof open[0]) {
            return at;
        }
        const char *end = name + n;
        while (*end != '>') {
            if (*end == '"' || *end == '\'') {
                const char *from = end;
                end = strchr(from + 1, *from);
                for (; end != NULL && from < end; from++) {
                    end = *from == '<' ? NULL : end;
                }
            }
            if (end == NULL || *end == '\0' || *end == '<') {
                return at;
            }
            end++;
        }
        if (closes) {
            if (depth == 0 || strncmp(open[--depth], name, n) != 0 || open[depth][n] != '\0') {
                return at;
            }
        } else if (end[-1] != '/') {
            if (depth == 64) {
                return at;
            }
            memcpy(open[depth], name, n);
            open[depth++][n] = '\0';
        }
        at = end + 1;
    }
    return depth == 0 ? NULL : at;
}

static void check_xml(const char *svg)
{
    const char *fault = xml_fault(svg);
    if (fault != NULL) {
        fail_msg("not well formed at: %.80s", fault);
    }
}

static void the_check_of_xml_can_fail(void **state)
{
    (void)state;
    assert_null(xml_fault("<a b=\"&lt;>\"><c/>x &amp; y</a>"));
    assert_non_null(xml_fault("<a><b></a></b>"));
    assert_non_null(xml_fault("<a>x & y</a>"));
    assert_non_null(xml_fault("<a b=\"<\">x</a>"));
    assert_non_null(xml_fault("<a b='<'>x</a>"));
    assert_null(xml_fault("<a b='\"&#39;\"'>x</a>"));
    assert_non_null(xml_fault("<a>"));
}

static int count(const char *text, const char *part)
{
    int n = 0;
    for (const char *at = strstr(text, part); at != NULL; at = strstr(at + 1, part)) {
        n++;
    }
    return n;
}

/* ---- a garden in the cold -------------------------------------------------------------------- */

/* A frosty evening: readings for hours, and a forecast of worse. */
static host *frosty(const char *garden, int hours)
{
    host *h = host_start(garden);
    h->step_ms = 60000;
    h->sensors.roof_c = -6.0;
    host_forecast(h, 72, -8.0, 4.0);
    host_run(h, hours * 3600 + 120);
    host_settle(h);
    host_run(h, 120); /* the tile follows at the next free tick */
    return h;
}

/* The same garden for the tests that only look at it: it plays for seconds. */
static host *shared;

static int play_shared(void **state)
{
    (void)state;
    shared = frosty(WHOLE_GARDEN, 4);
    return 0;
}

static int end_shared(void **state)
{
    (void)state;
    host_end(shared);
    return 0;
}

static const char *tile_of(const host *h)
{
    const char *svg = host_value(h, "garden/tile");
    assert_non_null(svg);
    return svg;
}

static void a_tile_is_there_before_any_reading(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    host_tick(h);
    check_xml(tile_of(h));
    assert_non_null(strstr(tile_of(h), "No reading of the air has come in yet."));
    host_end(h);
}

static void a_tile_says_all_in_words_too(void **state)
{
    (void)state;
    const char *svg = tile_of(shared);
    check_xml(svg);
    assert_int_equal(count(svg, "role=\"img\""), 3);
    assert_int_equal(count(svg, "<title"), 1 + 3);
    assert_int_equal(count(svg, "<desc"), 1);
    assert_non_null(strstr(svg, "aria-labelledby=\"ow-tile-title ow-tile-desc\""));
    assert_non_null(strstr(svg, "prefers-color-scheme:dark"));
    assert_non_null(strstr(svg, "Nearest its limit:"));
    assert_non_null(strstr(svg, "Least in the next 72 hours:"));
    assert_non_null(strstr(svg, "class=\"mark"));
    assert_non_null(strstr(svg, ">Next<"));
    assert_non_null(strstr(svg, "heater: ")); /* and what blocks it */
    assert_non_null(strstr(svg, "a door or window that must be shut has not said whether it is"));
    assert_null(strstr(svg, "nan"));
    assert_null(strstr(svg, "inf"));
}

/* Ice is drawn where the model has it, and nowhere else. */
static void ice_is_drawn_only_in_frost(void **state)
{
    (void)state;
    assert_true(count(tile_of(shared), "<path class=\"ice\"") > 1); /* one is the legend's */
    host *mild = host_start(WHOLE_GARDEN);
    mild->step_ms = 20000;
    mild->sensors.roof_c = 8.0;
    host_run(mild, 120);
    host_settle(mild);
    host_run(mild, 60);
    assert_int_equal(count(tile_of(mild), "<path class=\"ice\""), 1);
    host_end(mild);
}

static void twelve_plants_fit_in_sixty_kilobytes(void **state)
{
    (void)state;
    host *h = frosty(GARDEN_OF(GARDEN_READINGS, TWELVE "," PLANT_LEMON "," PLANT_BOG, ""), 0);
    const char *svg = tile_of(h);
    check_xml(svg);
    assert_int_equal(count(svg, "<g role=\"img\">"), 12);
    assert_non_null(strstr(svg, "2 more"));
    assert_in_range(strlen(svg), 10000, 60000);
    assert_null(strstr(svg, "<script"));
    host_end(h);
}

static void the_same_garden_gives_the_same_bytes(void **state)
{
    (void)state;
    const char *garden = GARDEN_OF(GARDEN_READINGS, TUB("l", HOSTILE) "," PLANT_BOG, "");
    host *one = frosty(garden, 0), *other = frosty(garden, 0);
    assert_string_equal(tile_of(one), tile_of(other));
    char *again = NULL;
    assert_int_equal(one->module->tile(one->engine, &again), OW_OK);
    assert_string_equal(tile_of(one), again);
    free(again);
    /* and a hostile name stays text */
    check_xml(tile_of(one));
    assert_null(strstr(tile_of(one), "<script"));
    assert_non_null(strstr(tile_of(one), "&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;tub"));
    host_end(one);
    host_end(other);
}

/* Twice an hour at most when nothing but the model moves on; at once after a stop. */
static void a_tile_is_drawn_on_change_only(void **state)
{
    (void)state;
    host *h = shared;
    size_t from = h->count;
    host_run(h, 3600);
    assert_in_range(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/garden/tile", "<svg"), 1, 4);
    from = h->count;
    h->step_ms = 1000;
    host_say(h, ROOT "/garden/stop/set", "true");
    host_tick(h);
    host_tick(h);
    assert_true(host_heard_from(h, from, HEARD_PUBLISH, ROOT "/garden/tile", "stopped it") >= 1);
}

/* ---- courses --------------------------------------------------------------------------------- */

static cJSON *course_of(const host *h, const char *plant)
{
    char below[80];
    snprintf(below, sizeof below, "%s/course", plant);
    assert_non_null(host_value(h, below));
    cJSON *o = cJSON_Parse(host_value(h, below));
    assert_non_null(o);
    return o;
}

static int length_of(const cJSON *o, const char *key)
{
    return cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(o, key));
}

static void a_course_has_what_was_and_what_comes(void **state)
{
    (void)state;
    cJSON *o = course_of(shared, "lemon");
    int n = length_of(o, "root");
    assert_in_range(n, 25, 26); /* four hours behind, 72 ahead, three hours a point */
    assert_int_equal(length_of(o, "ice"), n);
    assert_int_equal(cJSON_GetObjectItemCaseSensitive(o, "step_h")->valueint, 3);
    const cJSON *part, *parts = cJSON_GetObjectItemCaseSensitive(o, "parts");
    assert_true(cJSON_GetArraySize(parts) >= 1);
    cJSON_ArrayForEach(part, parts)
    {
        assert_int_equal(length_of(part, "c"), n);
        assert_int_equal(length_of(part, "limit"), n);
    }
    double last =
        cJSON_GetArrayItem(cJSON_GetObjectItemCaseSensitive(o, "root"), n - 1)->valuedouble;
    assert_true(last < 0.0 && last > -13.0); /* between freezing and the coldest air foreseen */
    cJSON_Delete(o);
}

static double number_at(const cJSON *o, const char *key, int i)
{
    const cJSON *item = cJSON_GetArrayItem(cJSON_GetObjectItemCaseSensitive(o, key), i);
    return cJSON_IsNumber(item) ? item->valuedouble : (double)NAN;
}

/* Low below high in every point ahead and in none of the past; the run without an error, which is
 * what is drawn as the line, lies within it at most hours. */
static void check_band(const cJSON *o, const char *line, const char *low, const char *high, int n)
{
    int ahead = 0, within = 0;
    double widest_k = 0.0;
    assert_int_equal(length_of(o, low), n);
    assert_int_equal(length_of(o, high), n);
    assert_true(isnan(number_at(o, low, 0)) && isnan(number_at(o, high, 0)));
    for (int i = 0; i < n; i++) {
        double a = number_at(o, low, i), c = number_at(o, line, i), b = number_at(o, high, i);
        assert_int_equal(isnan(a), isnan(b));
        if (!isnan(a)) {
            assert_true(a <= b);
            ahead++;
            within += c >= a - 0.051 && c <= b + 0.051; /* both are told to a tenth */
            widest_k = fmax(widest_k, b - a);
        }
    }
    assert_in_range(ahead, 22, 25);
    assert_true(within >= 0.9 * ahead);
    assert_true(widest_k > 1.0);
}

static void a_course_has_the_band_of_its_members(void **state)
{
    (void)state;
    cJSON *o = course_of(shared, "lemon");
    int n = length_of(o, "root");
    assert_true(number_at(o, "band_pct", 0) == 5.0 && number_at(o, "band_pct", 1) == 95.0);
    check_band(o, "root", "root_low", "root_high", n);
    const cJSON *part;
    cJSON_ArrayForEach(part, cJSON_GetObjectItemCaseSensitive(o, "parts"))
    {
        check_band(part, "c", "low", "high", n);
    }
    cJSON_Delete(o);
}

static void the_week_behind_outlives_a_restart(void **state)
{
    (void)state;
    host *h = shared;
    cJSON *before = course_of(h, "lemon");
    void *bytes = NULL;
    size_t size = 0;
    assert_int_equal(h->module->save(h->engine, &bytes, &size), OW_OK);
    host *again = host_open(WHOLE_GARDEN);
    again->now = h->now;
    host_live(again, bytes, size);
    host_link(again, true);
    again->sensors.roof_c = -6.0;
    again->step_ms = 20000;
    host_run(again, 2400);
    host_settle(again);
    cJSON *after = course_of(again, "lemon");
    assert_string_equal(cJSON_GetObjectItemCaseSensitive(before, "from")->valuestring,
                        cJSON_GetObjectItemCaseSensitive(after, "from")->valuestring);
    assert_true(cJSON_Compare(
        cJSON_GetArrayItem(cJSON_GetObjectItemCaseSensitive(before, "root"), 0),
        cJSON_GetArrayItem(cJSON_GetObjectItemCaseSensitive(after, "root"), 0), true));
    cJSON_Delete(before);
    cJSON_Delete(after);
    free(bytes);
    host_end(again);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_check_of_xml_can_fail),
        cmocka_unit_test(a_tile_is_there_before_any_reading),
        cmocka_unit_test(a_tile_says_all_in_words_too),
        cmocka_unit_test(ice_is_drawn_only_in_frost),
        cmocka_unit_test(twelve_plants_fit_in_sixty_kilobytes),
        cmocka_unit_test(the_same_garden_gives_the_same_bytes),
        cmocka_unit_test(a_course_has_what_was_and_what_comes),
        cmocka_unit_test(a_course_has_the_band_of_its_members),
        cmocka_unit_test(the_week_behind_outlives_a_restart),
        cmocka_unit_test(a_tile_is_drawn_on_change_only),
    };
    return cmocka_run_group_tests(tests, play_shared, end_shared);
}
