/* SPDX-License-Identifier: MIT */
/*
 * The Thing Description, held to the rules of "Web of Things (WoT) Thing Description 1.1" (W3C
 * Recommendation, 5 December 2023, section 5: mandatory members, types, operations) and of its MQTT
 * binding; and announcements by templates of the garden file.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>

#include "hub/host.h"

static const cJSON *at(const cJSON *object, const char *key)
{
    return cJSON_GetObjectItemCaseSensitive(object, key);
}

static const char *text(const cJSON *object, const char *key)
{
    const char *value = cJSON_GetStringValue(at(object, key));
    if (value == NULL || value[0] == '\0') {
        fail_msg("%s lacks the text %s", object->string != NULL ? object->string : "?", key);
    }
    return value;
}

static bool is_one_of(const char *word, const char *const *words)
{
    for (; *words != NULL; words++) {
        if (strcmp(word, *words) == 0) {
            return true;
        }
    }
    return false;
}

static void check_schema(const cJSON *schema)
{
    static const char *const types[] = {"boolean", "integer", "number", "string",
                                        "object",  "array",   "null",   NULL};
    const cJSON *type = at(schema, "type"), *words = at(schema, "enum");
    const cJSON *low = at(schema, "minimum"), *high = at(schema, "maximum");
    assert_true(type == NULL || is_one_of(text(schema, "type"), types));
    assert_true(words == NULL || (cJSON_IsArray(words) && cJSON_GetArraySize(words) > 0));
    assert_true(low == NULL || cJSON_IsNumber(low));
    assert_true(high == NULL || cJSON_IsNumber(high));
    assert_true(low == NULL || high == NULL || low->valuedouble < high->valuedouble);
}

/* The one form of a property or an action, with what is mandatory in it. */
static const cJSON *check_form(const cJSON *of, const char *const *ops)
{
    const cJSON *forms = at(of, "forms"), *op;
    assert_true(cJSON_IsArray(forms));
    assert_int_equal(cJSON_GetArraySize(forms), 1);
    const cJSON *form = forms->child, *type = at(form, "contentType"), *each;
    assert_string_equal(text(form, "href"), "/"); /* below the base */
    assert_true(type == NULL || strchr(text(form, "contentType"), '/') != NULL);
    op = at(form, "op");
    assert_int_equal(op != NULL, ops != NULL); /* left out it is invokeaction on an action */
    cJSON_ArrayForEach(each, op)
    {
        assert_true(is_one_of(each->valuestring, ops));
    }
    return form;
}

static cJSON *thing_of(host *h)
{
    const heard *said = host_last(h, HEARD_PUBLISH, ROOT "/$thing");
    assert_true(said->retain);
    cJSON *thing = cJSON_Parse(said->text);
    assert_non_null(thing);
    return thing;
}

static void it_has_what_the_standard_asks_for(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    host_run(h, 3);
    cJSON *thing = thing_of(h);
    const cJSON *context = at(thing, "@context");
    assert_true(cJSON_IsArray(context)); /* the first is the standard's own */
    assert_string_equal(context->child->valuestring, "https://www.w3.org/2022/wot/td/v1.1");
    assert_non_null(at(context->child->next, "mqv"));
    assert_string_equal(text(thing, "title"), "roof");
    assert_string_equal(text(thing, "base"), "mqtt://127.0.0.1:1883");
    const cJSON *scheme = at(at(thing, "securityDefinitions"), text(thing, "security"));
    assert_string_equal(text(scheme, "scheme"), "nosec");
    cJSON_Delete(thing);
    host_end(h);
}

/* Each property of $description is there, and what can be set is an action as well. */
static void it_says_the_same_as_the_tree(void **state)
{
    static const char *const reads[] = {"readproperty", "observeproperty", NULL};
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    host_run(h, 3);
    cJSON *thing = thing_of(h);
    cJSON *tree = cJSON_Parse(host_last(h, HEARD_PUBLISH, ROOT "/$description")->text);
    const cJSON *node, *property;
    int properties = 0, actions = 0;
    cJSON_ArrayForEach(node, at(tree, "nodes"))
    {
        cJSON_ArrayForEach(property, at(node, "properties"))
        {
            char key[200], topic[300];
            snprintf(key, sizeof key, "%s.%s", node->string, property->string);
            snprintf(topic, sizeof topic, ROOT "/%s/%s", node->string, property->string);
            const cJSON *p = at(at(thing, "properties"), key), *a = at(at(thing, "actions"), key);
            assert_non_null(p);
            check_schema(p);
            assert_true(cJSON_IsTrue(at(p, "readOnly")));
            const cJSON *form = check_form(p, reads);
            assert_int_equal(cJSON_GetArraySize(at(form, "op")), 2);
            assert_true(cJSON_IsTrue(at(p, "observable")));
            assert_string_equal(text(form, "mqv:filter"), topic);
            assert_int_equal(a != NULL, cJSON_IsTrue(at(property, "settable")));
            properties++;
            if (a != NULL) {
                strcat(topic, "/set");
                check_schema(at(a, "input"));
                form = check_form(a, NULL);
                assert_string_equal(text(form, "mqv:qos"), "1");
                assert_string_equal(text(form, "mqv:topic"), topic);
                assert_true(host_heard(h, HEARD_SUBSCRIBE, topic, "") > 0);
                actions++;
            }
        }
    }
    assert_true(properties > 40 && actions > 10);
    assert_int_equal(cJSON_GetArraySize(at(thing, "properties")), properties);
    assert_int_equal(cJSON_GetArraySize(at(thing, "actions")), actions);
    const cJSON *stop = at(at(thing, "actions"), "garden.stop");
    assert_string_equal(text(at(stop, "input"), "type"), "boolean");
    /* words of what can be set stand once, with the action */
    assert_null(at(at(at(thing, "properties"), "lemon.place"), "enum"));
    assert_true(cJSON_IsArray(at(at(at(at(thing, "actions"), "lemon.place"), "input"), "enum")));
    assert_true(cJSON_IsArray(at(at(at(thing, "properties"), "lemon.state"), "enum")));
    const cJSON *share = at(at(thing, "properties"), "lemon.ice-share");
    assert_true(at(share, "minimum")->valuedouble == 0.0 && at(share, "maximum")->valuedouble == 1.0);
    cJSON_Delete(tree);
    cJSON_Delete(thing);
    host_end(h);
}

static int things_from(const host *h, size_t from)
{
    return host_heard_from(h, from, HEARD_PUBLISH, ROOT "/$thing", "");
}

/* It is long: told where the broker does not have it, and not again. */
static void it_is_told_once(void **state)
{
    (void)state;
    host *h = host_start(WHOLE_GARDEN);
    host_run(h, 1);
    assert_int_equal(things_from(h, 0), 0); /* what the broker has may still come */
    assert_int_equal(host_heard(h, HEARD_SUBSCRIBE, ROOT "/$thing-version", ""), 1);
    host_run(h, 3600);
    assert_int_equal(things_from(h, 0), 1);
    assert_true(strlen(host_last(h, HEARD_PUBLISH, ROOT "/$thing")->text) < 25000);
    char version[32];
    snprintf(version, sizeof version, "%s",
             host_last(h, HEARD_PUBLISH, ROOT "/$thing-version")->text);
    assert_true(host_last(h, HEARD_PUBLISH, ROOT "/$thing-version")->retain);
    /* the broker has it still */
    host_link(h, false);
    host_link(h, true);
    host_say_bytes(h, ROOT "/$thing-version", version, strlen(version), true);
    host_run(h, 60);
    assert_int_equal(things_from(h, 0), 1);
    /* it has lost it; it has that of another file */
    host_link(h, false);
    host_link(h, true);
    host_run(h, 60);
    assert_int_equal(things_from(h, 0), 2);
    host_link(h, false);
    host_link(h, true);
    host_say_bytes(h, ROOT "/$thing-version", "12", 2, true);
    host_run(h, 60);
    assert_int_equal(things_from(h, 0), 3);
    host_end(h);
    host *other = host_start(GARDEN_OF(GARDEN_READINGS, PLANT_BOG, ""));
    host_run(other, 3);
    assert_string_not_equal(version, host_last(other, HEARD_PUBLISH, ROOT "/$thing-version")->text);
    host_end(other);
}

/* ---- announcements --------------------------------------------------------------------------- */

#define ANNOUNCED(rows)                                                                            \
    GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG, HOUSEHOLD ",\"announce\":[" rows "]")

static void templates_are_filled_and_kept(void **state)
{
    (void)state;
    host *h = host_start(ANNOUNCED(
        "{\"topic\":\"found/{garden}/{thing}/{property}/set-up\",\"of\":[\"numbers\",\"settable\"],"
        "\"text\":\"{\\\"n\\\":\\\"{name}\\\",\\\"from\\\":\\\"{value_topic}\\\",\\\"u\\\":"
        "\\\"{unit}\\\",\\\"to\\\":\\\"{set_topic}\\\"}\"},"
        "{\"topic\":\"words/{thing}\",\"property\":\"state\",\"text\":\"{state_topic} {not this} "
        "{datatype}\"}"));
    host_run(h, 2);
    const heard *said = host_last(h, HEARD_PUBLISH, "found/roof/lemon/root-mean/set-up");
    assert_true(said->retain);
    assert_string_equal(said->text, "{\"n\":\"lemon: Root ball, mean\",\"from\":\"" ROOT
                                    "/lemon/root-mean\",\"u\":\"\xc2\xb0"
                                    "C\",\"to\":\"\"}");
    said = host_last(h, HEARD_PUBLISH, "found/roof/lemon/place/set-up");
    assert_non_null(strstr(said->text, "\"to\":\"" ROOT "/lemon/place/set\""));
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "found/roof/lemon/state/set-up", ""), 0);
    assert_string_equal(host_last(h, HEARD_PUBLISH, "words/lemon")->text,
                        ROOT "/$state {not this} enum");
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "words/garden", ""), 1);
    /* again with each connection, and each once however slowly the host takes them */
    host_link(h, false);
    size_t from = h->count;
    host_link(h, true);
    host_run(h, 2);
    assert_int_equal(host_heard_from(h, from, HEARD_PUBLISH, "words/lemon", ""), 1);
    host_end(h);
}

/* What is announced when `of` is left out is what its default says (garden/keys.c), not all. */
static void left_out_of_announces_no_settable(void **state)
{
    (void)state;
    host *h = host_start(
        ANNOUNCED("{\"topic\":\"found/{thing}/{property}\",\"text\":\"{name}\"}"));
    host_run(h, 2);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "found/lemon/state", ""), 1);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "found/lemon/root-mean", ""), 1);
    assert_int_equal(host_heard(h, HEARD_PUBLISH, "found/lemon/place", ""), 0);
    host_end(h);
}

static void refused(const char *garden, const char *says)
{
    host h = {0};
    ow_engine *engine = NULL;
    ow_host door = {.self = &h, .utc_offset_s = host_offset, .event = host_event};
    ow_report report = {.line = host_report, .self = &h};
    assert_int_equal(overwinter_module()->open(&door, "g.json", garden, strlen(garden), NULL,
                                               &report, &engine),
                     OW_BAD_INPUT);
    if (strstr(h.report, says) == NULL) {
        fail_msg("\"%s\" is not in: %s", says, h.report);
    }
}

static void templates_are_proved(void **state)
{
    (void)state;
    refused(ANNOUNCED("{\"topic\":\"a/{thing}/{property}/+\",\"text\":\"x\"}"), "announce[0].topic");
    refused(ANNOUNCED("{\"topic\":\"a/{thing}\",\"text\":\"x\"}"), "lacks {thing} or {property}");
    refused(ANNOUNCED("{\"topic\":\"a/b\",\"text\":\"x\",\"property\":\"state\"}"), "lacks {thing}");
    refused(ANNOUNCED("{\"topic\":\"a/{thing}/{property}\",\"text\":\"{nmae}\"}"), "has {nmae}");
    refused(ANNOUNCED("{\"topic\":\"a/{thing}/{property}/{unit}\",\"text\":\"x\"}"), "has {unit}");
    refused(ANNOUNCED("{\"topic\":\"homie/5/{garden}/{thing}/{property}\",\"text\":\"x\"}"),
            "own tree");
    refused(ANNOUNCED("{\"topic\":\"{thing}/air\",\"text\":\"x\",\"property\":\"state\"}"),
            "may be that of a command");
    refused(ANNOUNCED("\n{\"topic\":\"a/{thing}\",\"text\":\"x\",\n  \"property\":\"stat\"}"),
            "g.json:3:14: announce[0].property is \"stat\"; it must be one of state, also");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_has_what_the_standard_asks_for),
        cmocka_unit_test(it_says_the_same_as_the_tree),
        cmocka_unit_test(it_is_told_once),
        cmocka_unit_test(templates_are_filled_and_kept),
        cmocka_unit_test(left_out_of_announces_no_settable),
        cmocka_unit_test(templates_are_proved),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
