/* SPDX-License-Identifier: MIT */
/*
 * The garden on the hub, held to the rules of the Homie convention, version 5 (homieiot.github.io):
 * the description, the order of a start, what is kept, what is cleared.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>

#include "hub/host.h"
#include "hub/tree.h"

/* ---- the convention's rules of a description ------------------------------------------------- */

static bool is_id(const char *id)
{
    return id[0] != '\0' && strspn(id, "abcdefghijklmnopqrstuvwxyz0123456789-") == strlen(id);
}

static bool is_number(const char *text, size_t length)
{
    char copy[40], *end = copy;
    if (length == 0) {
        return true; /* an end may be left open */
    }
    if (length >= sizeof copy) {
        return false;
    }
    memcpy(copy, text, length);
    copy[length] = '\0';
    double value = strtod(copy, &end);
    return *end == '\0' && isfinite(value);
}

/* [min]:[max][:step] */
static bool is_range(const char *format)
{
    const char *colon = strchr(format, ':');
    if (colon == NULL || !is_number(format, (size_t)(colon - format))) {
        return false;
    }
    const char *step = strchr(colon + 1, ':');
    size_t max = step != NULL ? (size_t)(step - colon - 1) : strlen(colon + 1);
    return is_number(colon + 1, max) &&
           (step == NULL || (step[1] != '\0' && is_number(step + 1, strlen(step + 1))));
}

static bool is_enum(const char *format)
{
    char copy[4000];
    const char *word[500];
    size_t n = 0;
    snprintf(copy, sizeof copy, "%s", format);
    for (char *at = copy; at != NULL && n < 500;) {
        char *comma = strchr(at, ',');
        if (comma != NULL) {
            *comma++ = '\0';
        }
        word[n++] = at;
        at = comma;
    }
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++) {
            if (strcmp(word[i], word[k]) == 0) {
                return false;
            }
        }
        if (word[i][0] == '\0') {
            return false;
        }
    }
    return n > 0;
}

static const char *text_at(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);
    return cJSON_IsString(item) ? item->valuestring : NULL;
}

/* Every key is one of those, and of its kind: string, boolean, object, integer; none is null. */
static void check_keys(const char *where, const cJSON *object, const char *keys)
{
    const cJSON *item;
    cJSON_ArrayForEach(item, object)
    {
        char wanted[60];
        snprintf(wanted, sizeof wanted, " %s:", item->string);
        const char *at = strstr(keys, wanted);
        if (at == NULL) {
            fail_msg("%s has the unknown key \"%s\"", where, item->string);
            return;
        }
        char kind = at[strlen(wanted)];
        bool whole = cJSON_IsNumber(item) && item->valuedouble == floor(item->valuedouble);
        bool fits = kind == 's'   ? cJSON_IsString(item)
                    : kind == 'b' ? cJSON_IsBool(item)
                    : kind == 'o' ? cJSON_IsObject(item)
                                  : whole;
        if (!fits) {
            fail_msg("%s: \"%s\" is of the wrong kind", where, item->string);
        }
    }
}

/* A JSON schema, at least an object with a type. */
static bool is_schema(const char *format)
{
    cJSON *schema = cJSON_ParseWithOpts(format, NULL, 1);
    bool good = cJSON_IsString(cJSON_GetObjectItemCaseSensitive(schema, "type"));
    cJSON_Delete(schema);
    return good;
}

static void check_property(const char *where, const cJSON *p)
{
    check_keys(where, p, " name:s datatype:s format:s settable:b retained:b unit:s");
    const char *datatype = text_at(p, "datatype"), *format = text_at(p, "format");
    const char *unit = text_at(p, "unit");
    static const char *const known[] = {"integer", "float",    "boolean",  "string", "enum",
                                        "color",   "datetime", "duration", "json"};
    bool is_known = false;
    assert_non_null(datatype);
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        is_known = is_known || strcmp(known[i], datatype) == 0;
    }
    bool number = strcmp(datatype, "integer") == 0 || strcmp(datatype, "float") == 0;
    bool list = strcmp(datatype, "enum") == 0;
    bool good = format == NULL ? !list && strcmp(datatype, "color") != 0
                : number       ? is_range(format)
                : list         ? is_enum(format)
                : strcmp(datatype, "json") == 0 ? is_schema(format)
                                                : false; /* this module writes no other format */
    if (!is_known || !good) {
        fail_msg("%s: datatype %s with format \"%s\"", where, datatype, format ? format : "");
    }
    if (unit != NULL) {
        assert_true(number && unit[0] != '\0');
        assert_true(strchr(unit, 'C') == NULL || strcmp(unit, "\xc2\xb0" "C") == 0);
    }
}

static void check_node(const char *id, const cJSON *node)
{
    const cJSON *p;
    char where[300];
    check_keys(id, node, " name:s type:s properties:o");
    assert_true(is_id(id));
    cJSON_ArrayForEach(p, cJSON_GetObjectItemCaseSensitive(node, "properties"))
    {
        snprintf(where, sizeof where, "%s/%s", id, p->string);
        assert_true(is_id(p->string));
        check_property(where, p);
    }
}

static cJSON *check_description(const char *text)
{
    cJSON *all = cJSON_ParseWithOpts(text, NULL, 1);
    const cJSON *node;
    assert_non_null(all);
    check_keys("$description", all, " homie:s version:i name:s type:s nodes:o");
    assert_string_equal(text_at(all, "homie"), "5.0");
    assert_non_null(cJSON_GetObjectItemCaseSensitive(all, "version"));
    cJSON_ArrayForEach(node, cJSON_GetObjectItemCaseSensitive(all, "nodes"))
    {
        check_node(node->string, node);
    }
    return all;
}

static const cJSON *property_of(const cJSON *all, const char *node, const char *property)
{
    const cJSON *nodes = cJSON_GetObjectItemCaseSensitive(all, "nodes");
    const cJSON *one = cJSON_GetObjectItemCaseSensitive(nodes, node);
    return cJSON_GetObjectItemCaseSensitive(cJSON_GetObjectItemCaseSensitive(one, "properties"),
                                            property);
}

/* ---- the payloads of a datatype -------------------------------------------------------------- */

static bool in_enum(const char *format, const char *text)
{
    size_t length = strlen(text);
    for (const char *at = format; at != NULL;) {
        const char *comma = strchr(at, ',');
        size_t size = comma != NULL ? (size_t)(comma - at) : strlen(at);
        if (size == length && memcmp(at, text, size) == 0) {
            return true;
        }
        at = comma != NULL ? comma + 1 : NULL;
    }
    return false;
}

static bool is_datetime(const char *text)
{
    static const char shape[] = "dddd-dd-ddTdd:dd:ddZ";
    if (strlen(text) != sizeof shape - 1) {
        return false;
    }
    for (size_t i = 0; shape[i] != '\0'; i++) {
        bool digit = text[i] >= '0' && text[i] <= '9';
        if (shape[i] == 'd' ? !digit : text[i] != shape[i]) {
            return false;
        }
    }
    return true;
}

static bool payload_fits(const cJSON *p, const char *text)
{
    const char *datatype = text_at(p, "datatype"), *format = text_at(p, "format");
    char *end;
    if (strcmp(datatype, "float") == 0) {
        double value = strtod(text, &end);
        double low = -INFINITY, high = INFINITY;
        if (format != NULL && format[0] != ':') {
            low = strtod(format, NULL);
        }
        if (format != NULL && strchr(format, ':')[1] != '\0') {
            high = strtod(strchr(format, ':') + 1, NULL);
        }
        return strspn(text, "0123456789-.eE") == strlen(text) && *end == '\0' &&
               isfinite(value) && value >= low && value <= high;
    }
    if (strcmp(datatype, "integer") == 0) {
        return text[0] != '\0' && strspn(text, "0123456789-") == strlen(text);
    }
    if (strcmp(datatype, "boolean") == 0) {
        return strcmp(text, "true") == 0 || strcmp(text, "false") == 0;
    }
    if (strcmp(datatype, "enum") == 0) {
        return in_enum(format, text);
    }
    if (strcmp(datatype, "datetime") == 0) {
        return is_datetime(text);
    }
    if (strcmp(datatype, "json") == 0) {
        cJSON *json = cJSON_ParseWithOpts(text, NULL, 1);
        bool fits = cJSON_IsArray(json) || cJSON_IsObject(json);
        cJSON_Delete(json);
        return fits;
    }
    return true;
}

/* Everything published below the device belongs there and is of its datatype. Gives how many. */
static int check_published(const host *h, const cJSON *all)
{
    int values = 0;
    for (size_t i = 0; i < h->count; i++) {
        const heard *one = &h->heard[i];
        char node[100], property[100], rest[20] = "";
        if (one->kind != HEARD_PUBLISH || strncmp(one->topic, ROOT "/", strlen(ROOT "/")) != 0 ||
            one->topic[strlen(ROOT "/")] == '$') {
            continue;
        }
        int parts = sscanf(one->topic + strlen(ROOT "/"), "%99[^/]/%99[^/]/%19s", node, property,
                           rest);
        const cJSON *p = property_of(all, node, property);
        bool target = parts == 3 && strcmp(rest, "$target") == 0;
        if (p == NULL || !(parts == 2 || target)) {
            fail_msg("%s is not in the description", one->topic);
        }
        if (!one->retain || (one->size > 0 && !(one->size == 1 && one->text[0] == '\0') &&
                             !payload_fits(p, one->text))) {
            fail_msg("%s must not be \"%s\"%s", one->topic, one->text,
                     one->retain ? "" : ", not retained");
        }
        if (one->size == 1 && one->text[0] == '\0') {
            assert_string_equal(text_at(p, "datatype"), "string");
        }
        values++;
    }
    return values;
}

/* ---- tests ----------------------------------------------------------------------------------- */

static void description_keeps_the_rules(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    cJSON *all = check_description(host_value(h, "$description"));
    static const struct {
        const char *node, *property, *datatype;
        bool settable;
    } wanted[] = {
        {"lemon", "state", "enum", false},       {"lemon", "also", "string", false},
        {"lemon", "reason", "string", false},    {"lemon", "act-by", "datetime", false},
        {"lemon", "risk", "float", false},
        {"lemon", "quality", "enum", false},     {"lemon", "measured-at", "datetime", false},
        {"lemon", "root-mean", "float", false},  {"lemon", "root-coldest", "float", false},
        {"lemon", "ice-share", "float", false},  {"lemon", "frozen-days", "float", false},
        {"lemon", "foliage", "float", false},    {"lemon", "growing-point", "float", false},
        {"lemon", "storage", "float", false},    {"lemon", "place", "enum", true},
        {"lemon", "wearing", "json", true},      {"lemon", "done", "json", true},
        {"lemon", "seen", "enum", true},         {"lemon", "course", "json", false},
        {"garden", "tile", "string", false},     {"heater", "command", "enum", false},
        {"heater", "blocked-by", "json", false}, {"heater", "would-switch", "enum", false},
        {"heater", "energy", "float", false},    {"heater", "release", "string", true},
        {"cloth", "command", "enum", false},     {"cloth", "blocked-by", "json", false},
        {"cloth", "would-switch", "enum", false}, {"cloth", "position", "float", false},
        {"cloth", "release", "string", true},    {"garden", "state", "enum", false},
        {"garden", "tonight", "string", false},  {"garden", "next-job", "string", false},
        {"garden", "jobs", "json", false},       {"garden", "beat", "integer", false},
        {"garden", "stop", "boolean", true},     {"household-ada", "notice", "json", false},
        {"household-ada", "noticed", "string", true},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        const cJSON *p = property_of(all, wanted[i].node, wanted[i].property);
        if (p == NULL) {
            fail_msg("%s/%s is missing", wanted[i].node, wanted[i].property);
            return;
        }
        assert_string_equal(text_at(p, "datatype"), wanted[i].datatype);
        bool settable = cJSON_IsTrue(cJSON_GetObjectItemCaseSensitive(p, "settable"));
        assert_int_equal(settable, wanted[i].settable);
    }
    assert_string_equal(text_at(property_of(all, "lemon", "risk"), "format"), "0:1");
    assert_null(property_of(all, "garden", "course"));
    assert_null(property_of(all, "cloth", "energy"));
    assert_null(property_of(all, "heater", "position"));
    assert_string_equal(text_at(property_of(all, "lemon", "place"), "format"), "roof,house");
    assert_string_equal(text_at(property_of(all, "lemon", "seen"), "format"),
                        "alive,regrowing,dead");
    assert_string_equal(text_at(property_of(all, "lemon", "wearing"), "format"),
                        "{\"type\":\"array\",\"items\":{\"enum\":[\"fleece\"]}}");
    cJSON_Delete(all);
    host_end(h);
}

static double version_of(const char *garden)
{
    host *h = host_start(garden);
    cJSON *all = check_description(host_value(h, "$description"));
    double version = cJSON_GetObjectItemCaseSensitive(all, "version")->valuedouble;
    cJSON_Delete(all);
    host_end(h);
    return version;
}

static void version_differs_with_the_garden(void **state)
{
    (void)state;
    double whole = version_of(WHOLE_GARDEN);
    assert_true(whole == version_of(WHOLE_GARDEN));
    assert_true(whole !=
                version_of(GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG "," PLANT_FERN,
                                     ",\"outputs\":[" HEATER "," DRIVE "]")));
    assert_true(whole != version_of(GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG,
                                              ",\"outputs\":[" HEATER "," DRIVE "]" HOUSEHOLD)));
}

static bool is_value(const heard *one)
{
    return one->kind == HEARD_PUBLISH && strncmp(one->topic, ROOT "/", strlen(ROOT "/")) == 0 &&
           one->topic[strlen(ROOT "/")] != '$';
}

static bool is_set(const heard *one)
{
    size_t length = strlen(one->topic);
    return one->kind == HEARD_SUBSCRIBE && length > 4 &&
           strcmp(one->topic + length - 4, "/set") == 0;
}

static bool told_before(const host *h, size_t from, size_t i)
{
    for (size_t k = from; k < i; k++) {
        if (h->heard[k].kind == HEARD_PUBLISH &&
            strcmp(h->heard[k].topic, h->heard[i].topic) == 0) {
            return true;
        }
    }
    return false;
}

/* From `from` on: init, $description, values, subscriptions to what is settable, ready. */
static void check_boot(const host *h, size_t from)
{
    size_t init = h->count, description = 0, first_value = h->count, last_value = 0,
           first_set = h->count, last_set = 0, ready = 0;
    int values = 0, sets = 0;
    for (size_t i = from; i < h->count; i++) {
        const heard *one = &h->heard[i];
        if (one->kind == HEARD_PUBLISH && strcmp(one->topic, ROOT "/$state") == 0) {
            assert_true(one->retain);
            if (strcmp(one->text, "init") == 0) {
                assert_int_equal(init, h->count);
                init = i;
            } else {
                assert_string_equal(one->text, "ready");
                assert_int_equal(ready, 0);
                ready = i;
            }
        } else if (one->kind == HEARD_PUBLISH && strcmp(one->topic, ROOT "/$description") == 0) {
            assert_true(one->retain);
            description = i;
        } else if (is_value(one) && ready == 0 && !told_before(h, from, i)) {
            first_value = i < first_value ? i : first_value;
            last_value = i;
            values++;
        } else if (is_set(one)) {
            first_set = i < first_set ? i : first_set;
            last_set = i;
            sets++;
        }
    }
    assert_true(init < description && description < first_value);
    assert_true(last_value < first_set && last_set < ready);
    /* 3 plants of 20, a heater of 6, a drive of 6 and $target, the garden of 10, 2 members of 2 */
    assert_int_equal(values, 3 * 20 + 6 + 7 + 10 + 2 * 2);
    assert_int_equal(sets, 3 * 4 + 2 + 2 + 2);
}

static void boot_is_in_order(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    check_boot(h, 0);
    assert_int_equal(host_heard(h, HEARD_SUBSCRIBE, "s/air", ""), 1);
    assert_int_equal(host_heard(h, HEARD_SUBSCRIBE, "w/f", ""), 1);
    assert_int_equal(host_heard(h, HEARD_SUBSCRIBE, "p/state", ""), 1);
    assert_string_equal(h->module->will_topic(h->engine), ROOT "/$state");
    assert_string_equal(h->module->will_payload(h->engine), "lost");
    const ow_link *link = h->module->link(h->engine);
    assert_string_equal(link->state_topic, ROOT "/$state");
    assert_string_equal(link->beat_topic, ROOT "/garden/beat");
    assert_string_equal(link->host, "127.0.0.1");
    assert_int_equal(link->port, 1883);
    assert_true(link->shortest_lease_s == 20.0);
    assert_null(link->user);
    host_end(h);
}

/* A cold day with jobs, a stop, a release: all that is published is of its datatype. */
static void values_are_of_their_datatype(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    cJSON *all = check_description(host_value(h, "$description"));
    h->sensors = (sensors){4.0, 6.0, NAN, 1.0, 0.0, 3.0, "shut", NULL, NULL, false};
    host_run(h, 600);
    host_forecast(h, 72, -4.0, 5.0);
    host_run(h, 3 * 3600);
    for (int i = 0; i < 12; i++) {
        h->sensors.roof_c -= 0.6;
        h->sensors.house_c -= 0.5;
        h->sensors.probe_c -= 0.2;
        host_run(h, 1800);
    }
    host_say(h, ROOT "/garden/stop/set", "true");
    host_run(h, 60);
    host_say(h, ROOT "/heater/release/set", "ada");
    host_run(h, 60);
    assert_true(check_published(h, all) > 500);
    assert_non_null(host_value(h, "lemon/act-by"));
    assert_non_null(host_value(h, "garden/tonight"));
    cJSON_Delete(all);
    host_end(h);
}

static void unknown_is_empty_and_retained(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    static const char *const unknown[] = {"lemon/root-mean", "lemon/act-by", "lemon/foliage",
                                          "lemon/measured-at", "lemon/seen", "cloth/position",
                                          "cloth/position/$target", "heater/command"};
    for (size_t i = 0; i < sizeof unknown / sizeof unknown[0]; i++) {
        char topic[200];
        snprintf(topic, sizeof topic, ROOT "/%s", unknown[i]);
        const heard *one = host_last(h, HEARD_PUBLISH, topic);
        if (one == NULL || one->size != 0 || !one->retain) {
            fail_msg("%s is not cleared", topic);
        }
    }
    check_value(h, "lemon/state", "no reading");
    check_value(h, "lemon/quality", "missing");
    check_value(h, "lemon/place", "roof");
    assert_non_null(host_value(h, "lemon/reason"));
    host_end(h);
}

static void empty_text_is_one_zero_byte(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    h->sensors.roof_c = 12.0;
    host_run(h, 300); /* a mild day: nothing to do, and nothing else holds */
    host_run(h, 1900);
    const heard *next = host_last(h, HEARD_PUBLISH, ROOT "/garden/next-job");
    const heard *also = host_last(h, HEARD_PUBLISH, ROOT "/fern/also");
    assert_non_null(next);
    assert_int_equal(next->size, 1);
    assert_int_equal(next->text[0], 0);
    assert_int_equal(also->size, 1);
    assert_int_equal(also->text[0], 0);
    check_value(h, "garden/jobs", "[]");
    host_end(h);
}

static void growing_point_only_where_there_is_one(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    h->sensors.roof_c = 12.0;
    host_run(h, 2400);
    assert_non_null(host_value(h, "fern/growing-point"));
    assert_null(host_value(h, "lemon/storage"));
    assert_non_null(host_value(h, "lemon/foliage"));
    assert_non_null(host_value(h, "lemon/root-mean"));
    host_end(h);
}

/* Whatever publish or subscription is refused: it goes on at the next flush, without loss. */
static void refused_goes_on_later(void **state)
{
    (void)state;
    host *whole = host_start(WHOLE_GARDEN);
    size_t all = 0;
    for (size_t i = 0; i < whole->count; i++) {
        all += whole->heard[i].kind == HEARD_PUBLISH || whole->heard[i].kind == HEARD_SUBSCRIBE;
    }
    for (long take = 0; take < (long)all; take += take < 12 || take > (long)all - 20 ? 1 : 7) {
        host *h = host_open(WHOLE_GARDEN);
        host_live(h, NULL, 0);
        h->take = take;
        host_link(h, true);
        h->take = -1;
        host_tick(h);
        check_boot(h, 0);
        for (size_t i = 0; i < whole->count; i++) {
            const heard *one = &whole->heard[i];
            if (one->kind == HEARD_SUBSCRIBE &&
                host_heard(h, HEARD_SUBSCRIBE, one->topic, "") != 1) {
                fail_msg("taking %ld: %s is not subscribed", take, one->topic);
            }
        }
        for (size_t i = 0; i < whole->kept_count; i++) {
            const kept *one = &whole->kept[i], *got = host_kept(h, one->topic);
            bool moves = strstr(one->topic, "heater/") != NULL || strstr(one->topic, "cloth/") ||
                         strstr(one->topic, "/beat") != NULL ||
                         strstr(one->topic, "/tile") != NULL; /* drawn at the tick */
            if (got == NULL || (!moves && strcmp(got->text ? got->text : "",
                                                 one->text ? one->text : "") != 0)) {
                fail_msg("taking %ld: %s is lost", take, one->topic);
            }
        }
        host_end(h);
    }
    host_end(whole);
}

static void told_when_it_was_refused_in_life(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    h->sensors.roof_c = 12.0;
    host_run(h, 600);
    h->take = 0;
    h->sensors.roof_c = 11.0;
    host_run(h, 3600);
    h->take = -1;
    host_run(h, 2);
    host *same = host_start(WHOLE_GARDEN);
    same->sensors.roof_c = 12.0;
    host_run(same, 600);
    same->sensors.roof_c = 11.0;
    host_run(same, 3602);
    static const char *const held[] = {"lemon/root-mean", "bog/root-coldest", "fern/foliage",
                                       "garden/beat",     "garden/state",     "lemon/reason"};
    for (size_t i = 0; i < sizeof held / sizeof held[0]; i++) {
        check_value(h, held[i], host_value(same, held[i]));
    }
    host_end(same);
    host_end(h);
}

static void reconnect_says_all_anew(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    h->sensors = (sensors){4.0, 6.0, NAN, 1.0, 0.0, NAN, "shut", NULL, NULL, false};
    host_run(h, 4000);
    host_link(h, false);
    size_t before = h->count;
    host_run(h, 7200);
    assert_int_equal(host_heard_from(h, before, HEARD_PUBLISH, NULL, ""), 0);
    assert_int_equal(host_heard_from(h, before, HEARD_SUBSCRIBE, NULL, ""), 0);
    before = h->count;
    host_link(h, true);
    check_boot(h, before);
    assert_int_equal(host_heard_from(h, before, HEARD_SUBSCRIBE, "s/air", ""), 1);
    before = h->count;
    host_link(h, true); /* the host may say "up" twice: a new connection it had not noticed */
    check_boot(h, before);
    host_end(h);
}

static void stop_says_disconnected_last(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    h->sensors.roof_c = 4.0;
    host_run(h, 100);
    assert_int_equal(h->module->stop(h->engine, h->now), OW_OK);
    const heard *last = &h->heard[h->count - 1];
    assert_string_equal(last->topic, ROOT "/$state");
    assert_string_equal(last->text, "disconnected");
    assert_true(last->retain);
    size_t before = h->count;
    for (int i = 0; i < 100; i++) {
        host_tick(h);
    }
    assert_int_equal(host_heard_from(h, before, HEARD_PUBLISH, NULL, ""), 0);
    host_end(h);

    h = host_open(WHOLE_GARDEN); /* never connected: nobody to say it to */
    host_live(h, NULL, 0);
    assert_int_equal(h->module->stop(h->engine, h->now), OW_OK);
    host_end(h);
}

static void log_only_when_ready_and_never_kept(void **state)
{
    (void)state;
    host *h = host_open(WHOLE_GARDEN);
    host_live(h, NULL, 0);
    h->take = 5; /* still at its boot */
    host_link(h, true);
    h->take = -1;
    host_say(h, "s/air", "nonsense");
    assert_int_equal(host_heard(h, HEARD_PUBLISH, ROOT "/$log/warn", ""), 0);
    assert_true(host_heard(h, HEARD_LOG, NULL, "s/air") == 1);
    host_tick(h);
    host_say(h, "s/wind", "nonsense");
    const heard *line = host_last(h, HEARD_PUBLISH, ROOT "/$log/warn");
    assert_non_null(line);
    assert_false(line->retain);
    assert_non_null(strstr(line->text, "s/wind"));
    host_link(h, false);
    host_say(h, "s/house", "nonsense"); /* a message that was still on its way */
    assert_int_equal(host_heard(h, HEARD_PUBLISH, ROOT "/$log/warn", "s/house"), 0);
    host_end(h);
}

static void alerts_are_raised_replaced_and_cleared(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    h->sensors.roof_c = 4.0;
    host_run(h, 300);
    assert_null(host_value(h, "$alert/lemon"));
    host_forecast(h, 72, -8.0, 4.0);
    host_run(h, 60);
    const char *text = host_value(h, "$alert/lemon");
    assert_non_null(text);
    assert_string_equal(text, host_value(h, "lemon/reason"));
    assert_true(host_last(h, HEARD_PUBLISH, ROOT "/$alert/lemon")->retain);
    char *before = host_copy(text, strlen(text));
    host_forecast(h, 72, -12.0, 4.0);
    host_run(h, 60);
    assert_non_null(host_value(h, "$alert/lemon"));
    assert_string_not_equal(host_value(h, "$alert/lemon"), before);
    free(before);
    host_forecast(h, 72, 14.0, 3.0);
    h->sensors.roof_c = 12.0;
    host_run(h, 4 * 3600);
    assert_null(host_value(h, "$alert/lemon"));
    const heard *last = host_last(h, HEARD_PUBLISH, ROOT "/$alert/lemon");
    assert_int_equal(last->size, 0);
    assert_true(last->retain);
    host_end(h);
}

/* An alert cleared while the link is down is cleared on the hub when it is back. */
static void alert_cleared_while_down(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    h->sensors.roof_c = 4.0;
    host_run(h, 300);
    host_forecast(h, 72, -8.0, 4.0);
    host_run(h, 60);
    assert_non_null(host_value(h, "$alert/lemon"));
    host_link(h, false);
    host_forecast(h, 72, 14.0, 3.0);
    for (int i = 0; i < 5 * 60; i++) {
        host_say(h, "s/air", "12.0");
        host_run(h, 60);
    }
    assert_non_null(host_value(h, "$alert/lemon"));
    host_link(h, true);
    host_tick(h);
    assert_null(host_value(h, "$alert/lemon"));
    host_end(h);
}

/* A program that was killed has left its alerts with the broker: the next clears them. */
static void alerts_of_an_earlier_life_are_cleared(void **state)
{
    (void)state;
    host *h = host_open(WHOLE_GARDEN);
    host_keep(h, ROOT "/$alert/lemon", "old", 3);
    host_keep(h, ROOT "/$alert/heater", "old", 3);
    host_keep(h, ROOT "/$alert/readings-part", "old", 3);
    host_live(h, NULL, 0);
    host_link(h, true);
    host_tick(h);
    assert_null(host_value(h, "$alert/lemon"));
    assert_null(host_value(h, "$alert/heater"));
    assert_null(host_value(h, "$alert/readings-part"));
    host_end(h);
}

static void readings_that_part_are_an_alert(void **state)
{
    (void)state;
    host *h = host_start(GARDEN_OF("{\"id\":\"a\",\"measures\":\"air\",\"topic\":\"s/air\","
                                   "\"unit\":\"C\"},{\"id\":\"b\",\"measures\":\"air\",\"topic\":"
                                   "\"s/house\",\"unit\":\"C\"}",
                                   PLANT_LEMON, ""));
    h->sensors.roof_c = 4.0;
    h->sensors.house_c = 12.0;
    host_run(h, 400);
    assert_non_null(host_value(h, "$alert/readings-part"));
    h->sensors.house_c = 4.5;
    host_run(h, 900);
    assert_non_null(host_value(h, "$alert/readings-part")); /* it stands for half an hour more */
    host_run(h, 1800);
    assert_null(host_value(h, "$alert/readings-part"));
    host_end(h);
}

/* As many plants as you like may be in danger at once, and each has its alert. */
static void every_plant_has_its_alert(void **state)
{
    (void)state;
    enum { PLANTS = 40 };
    char *garden = malloc(40000);
    assert_non_null(garden);
    int used = sprintf(garden, "{" GARDEN_SITE "\"readings\":[" GARDEN_READINGS "],"
                               GARDEN_FORECAST GARDEN_PLACES "\"plants\":[" PLANT_BOG);
    for (int i = 0; i < PLANTS; i++) {
        used += sprintf(garden + used,
                        ",{\"id\":\"lemon-%d\",\"taxon\":\"Citrus limon\",\"place\":\"roof\","
                        "\"pot\":{\"diameter_mm\":300,\"depth_mm\":280}}",
                        i);
    }
    sprintf(garden + used, "]}");
    host *h = host_start(garden);
    free(garden);
    h->sensors.roof_c = 2.0;
    host_run(h, 60);
    host_forecast(h, 48, -8.0, 3.0);
    for (int i = 0; i < 3; i++) {
        host_run(h, 1);
        (void)host_settle(h);
    }
    host_run(h, 2);
    for (int i = 0; i < PLANTS; i++) {
        char topic[60];
        snprintf(topic, sizeof topic, "$alert/lemon-%d", i);
        if (host_value(h, topic) == NULL) {
            fail_msg("%s is missing", topic);
        }
    }
    host_end(h);
}

/* ---- the tree by itself ---------------------------------------------------------------------- */

static void a_tree_says_what_changed_and_only_that(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN); /* for its garden and its recording */
    ow_report report = {.line = host_report, .self = h};
    ow_garden *garden = NULL;
    ow_tree *tree = NULL;
    assert_int_equal(ow_garden_read("g", WHOLE_GARDEN, strlen(WHOLE_GARDEN), &report, &garden),
                     OW_OK);
    assert_int_equal(ow_tree_new(garden, &tree), OW_OK);
    host_forget(h);
    ow_slot also = {OW_NODE_PLANT, 0, OW_PROP_ALSO};
    assert_int_equal(ow_tree_put(tree, also, "thawing"), OW_OK);
    ow_tree_flush(tree, &h->door); /* not connected yet */
    assert_int_equal(h->count, 0);
    ow_tree_up(tree);
    ow_tree_flush(tree, &h->door);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, ROOT "/lemon/also", "thawing"), 1);
    host_forget(h);
    assert_int_equal(ow_tree_put(tree, also, "thawing"), OW_OK);
    ow_tree_flush(tree, &h->door);
    assert_int_equal(h->count, 0);
    assert_int_equal(ow_tree_put(tree, also, NULL), OW_OK);
    ow_tree_flush(tree, &h->door);
    assert_int_equal(h->count, 1);
    assert_int_equal(h->heard[0].size, 0);
    assert_null(ow_tree_value(tree, also));
    assert_int_equal(ow_tree_put(tree, (ow_slot){OW_NODE_HEATER, 0, OW_PROP_POSITION}, "3"), OW_OK);
    assert_null(ow_tree_value(tree, (ow_slot){OW_NODE_HEATER, 0, OW_PROP_POSITION}));

    ow_slot slot;
    assert_int_equal(ow_tree_commanded(tree, ROOT "/lemon/place/set", &slot), OW_OK);
    assert_int_equal(slot.prop, OW_PROP_PLACE);
    static const char *const others[] = {ROOT "/lemon/place",     ROOT "/lemon/place/set/x",
                                         ROOT "/lemon/state/set", ROOT "/nobody/place/set",
                                         ROOT "/lemon/place/sett", "",
                                         "homie/5/roof2/lemon/place/set"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        assert_int_equal(ow_tree_commanded(tree, others[i], &slot), OW_NOT_FOUND);
    }
    assert_true(ow_tree_owns(tree, ROOT "/x"));
    assert_false(ow_tree_owns(tree, ROOT "2/x"));
    assert_false(ow_tree_owns(tree, ROOT));
    ow_tree_free(tree);
    ow_garden_free(garden);
    host_end(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(description_keeps_the_rules),
        cmocka_unit_test(version_differs_with_the_garden),
        cmocka_unit_test(boot_is_in_order),
        cmocka_unit_test(values_are_of_their_datatype),
        cmocka_unit_test(unknown_is_empty_and_retained),
        cmocka_unit_test(empty_text_is_one_zero_byte),
        cmocka_unit_test(growing_point_only_where_there_is_one),
        cmocka_unit_test(refused_goes_on_later),
        cmocka_unit_test(told_when_it_was_refused_in_life),
        cmocka_unit_test(reconnect_says_all_anew),
        cmocka_unit_test(stop_says_disconnected_last),
        cmocka_unit_test(log_only_when_ready_and_never_kept),
        cmocka_unit_test(alerts_are_raised_replaced_and_cleared),
        cmocka_unit_test(alert_cleared_while_down),
        cmocka_unit_test(alerts_of_an_earlier_life_are_cleared),
        cmocka_unit_test(readings_that_part_are_an_alert),
        cmocka_unit_test(every_plant_has_its_alert),
        cmocka_unit_test(a_tree_says_what_changed_and_only_that),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
