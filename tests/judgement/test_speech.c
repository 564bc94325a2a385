/* SPDX-License-Identifier: MIT */
/* Sentences in English and as codes: the list itself, what fills a blank, and what finds no room.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>
#include <string.h>

#include "judgement/speech.h"

static int offset(void *self, int64_t utc_s)
{
    (void)self;
    (void)utc_s;
    return 3600;
}

static const ow_local local = {.utc_offset_s = offset};
static char text[400], code[600];

static ow_speech begin(void)
{
    return ow_speech_begin(&local, " ", text, sizeof text, code, sizeof code);
}

/* Blanks are numbered from 0 on without a gap, each brace is closed, and no code comes twice. */
static void the_list_is_well_formed(void **state)
{
    (void)state;
    for (int i = 0; i < OW_SAYINGS; i++) {
        unsigned seen = 0;
        const char *english = ow_saying_english((ow_saying)i);
        for (const char *at = strchr(english, '{'); at != NULL; at = strchr(at + 1, '{')) {
            const char *end = strchr(at, '}');
            assert_non_null(end);
            assert_in_range(at[1], '0', '0' + OW_SPEECH_BLANKS - 1);
            if (at[2] != '}') {
                const char *bar = strchr(at, '|');
                assert_true(at[2] == ':' && bar != NULL && bar < end);
            }
            seen |= 1u << (at[1] - '0');
        }
        assert_int_equal(seen & (seen + 1), 0);
        for (int k = 0; k < i; k++) {
            assert_string_not_equal(ow_saying_code((ow_saying)i), ow_saying_code((ow_saying)k));
        }
    }
}

static void both_come_from_one_call(void **state)
{
    (void)state;
    const char *const used[] = {"cellar", "fleece"};
    ow_speech s = begin();
    ow_blank part = ow_blank_word("part", "foliage", "The leaves");
    part.many = true;
    OW_SPEAK(&s, OW_SAY_THREAT_MAY, part, ow_blank_c(-6.24), ow_blank_at(1704951000),
             ow_blank_c(-0.04), ow_blank_say(OW_SAY_IN_AIR), ow_blank_nothing(),
             ow_blank_nothing());
    OW_SPEAK(&s, OW_SAY_EASED, {.kind = OW_BLANK_NAMES, .names = used, .n = 2, .text = " and "},
             ow_blank_c(1.0));
    ow_speak_plain(&s, OW_SAY_THAW_CALM);
    assert_string_equal(text, "The leaves may fall to -6.2 C by Thu 11 Jan 06:30; they are harmed "
                              "from 0.0 C in the air. With cellar and fleece: 1.0 C. "
                              "No heater and no sun on it meanwhile.");
    assert_string_equal(code, "[[\"threat-may\",{\"part\":\"foliage\"},{\"c\":-6.2},"
                              "{\"at\":\"2024-01-11T05:30:00Z\"},{\"c\":0.0},"
                              "{\"say\":[[\"in-air\"]]},\"\",\"\"],"
                              "[\"eased\",{\"names\":[\"cellar\",\"fleece\"]},{\"c\":1.0}],"
                              "[\"thaw-calm\"]]");
}

static void one_thing_and_many(void **state)
{
    (void)state;
    ow_speech s = begin();
    OW_SPEAK(&s, OW_SAY_THREAT_WILL, ow_blank_word("part", "growing point", "The growing point"),
             ow_blank_c(-2.0), ow_blank_at(0), ow_blank_c(-1.0), ow_blank_nothing(),
             ow_blank_nothing(), ow_blank_nothing());
    assert_non_null(strstr(text, "; it is harmed from"));
    assert_null(strstr(text, "they"));
}

/* Names are whatever the garden file says, and a sentence may stand within another. */
static void names_stay_json(void **state)
{
    (void)state;
    char within[80], within_code[120];
    ow_speech act =
        ow_speech_begin(&local, " and ", within, sizeof within, within_code, sizeof within_code);
    OW_SPEAK(&act, OW_SAY_CARRY, ow_blank_name("the \"cellar\"\\\n"));
    OW_SPEAK(&act, OW_SAY_COVER, ow_blank_name("fleece"));
    ow_speech s = begin();
    OW_SPEAK(&s, OW_SAY_ASK_BY, ow_blank_name("l\xc3\xa9mon"), ow_blank_speech(&act),
             ow_blank_at(0));
    assert_string_equal(text, "l\xc3\xa9mon: carry to the \"cellar\"\\\n and cover with fleece "
                              "by Thu 1 Jan 01:00.");
    cJSON *all = cJSON_Parse(code);
    assert_non_null(all);
    const cJSON *say = cJSON_GetObjectItem(cJSON_GetArrayItem(all->child, 2), "say");
    assert_int_equal(cJSON_GetArraySize(say), 2);
    assert_string_equal(cJSON_GetArrayItem(say->child, 1)->valuestring, "the \"cellar\"\\\n");
    cJSON_Delete(all);
}

/* Half of what was said would say something else: then there are no codes at all. */
static void what_finds_no_room_has_no_code(void **state)
{
    (void)state;
    char small[40];
    ow_speech s = ow_speech_begin(&local, " ", text, sizeof text, small, sizeof small);
    ow_speak_plain(&s, OW_SAY_NOTHING);
    assert_string_equal(small, "[[\"nothing\"]]");
    OW_SPEAK(&s, OW_SAY_BLOWN, ow_blank_name("a long name of a cover"));
    assert_string_equal(small, "");
    ow_speak_plain(&s, OW_SAY_NOTHING);
    assert_string_equal(small, "");
    assert_string_equal(text, "Nothing to do. The wind may have taken a long name of a cover: "
                              "look. Nothing to do.");
    ow_speech outer = begin();
    OW_SPEAK(&outer, OW_SAY_ASK, ow_blank_name("lemon"), ow_blank_speech(&s));
    assert_string_equal(code, "");
}

static void a_sentence_is_said_again(void **state)
{
    (void)state;
    static const char said[] = "It is late. The wind may have taken ][\" it: look.";
    static const char codes[] = "[[\"late\"],[\"blown\",\"][\\\" it\",{\"x\":[1]}],[\"nothing\"]]";
    ow_speech s = begin();
    ow_speak_again(&s, said + 12, (int)strlen(said) - 12, codes, 1);
    assert_string_equal(text, "The wind may have taken ][\" it: look.");
    assert_string_equal(code, "[[\"blown\",\"][\\\" it\",{\"x\":[1]}]]");
    ow_speak_again(&s, "x", 1, codes, 3); /* there is none */
    assert_string_equal(code, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_list_is_well_formed),
        cmocka_unit_test(both_come_from_one_call),
        cmocka_unit_test(one_thing_and_many),
        cmocka_unit_test(names_stay_json),
        cmocka_unit_test(what_finds_no_room_has_no_code),
        cmocka_unit_test(a_sentence_is_said_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
