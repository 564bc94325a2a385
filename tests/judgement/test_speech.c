/* SPDX-License-Identifier: MIT */
/* Sentences in English and as codes: the list itself, what fills a blank, and what finds no room.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
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
    ow_blank part = ow_blank_word("part", "foliage", "leaves");
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
    OW_SPEAK(&s, OW_SAY_THREAT_WILL, ow_blank_word("part", "growing point", "growing point"),
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

/* Each kind of blank as people read it and as JSON; a minus as wide as the plus is U+2212. */
static void every_kind_of_blank(void **state)
{
    (void)state;
    static const char *const names[] = {"fleece", "film", "straw"};
    static const struct {
        ow_blank blank;
        const char *english, *code;
    } cases[] = {
        {{.kind = OW_BLANK_NAME, .text = "deck"}, "deck", "\"deck\""},
        {{.kind = OW_BLANK_C, .number = -6.2}, "-6.2 C", "{\"c\":-6.2}"},
        {{.kind = OW_BLANK_DEGREES, .number = 4.0}, "4.0 \xc2\xb0" "C", "{\"c\":4.0}"},
        {{.kind = OW_BLANK_WHOLE_C, .number = 4.0}, "+4 \xc2\xb0" "C", "{\"whole_c\":4}"},
        {{.kind = OW_BLANK_WHOLE_C, .number = 0.0}, "+0 \xc2\xb0" "C", "{\"whole_c\":0}"},
        {{.kind = OW_BLANK_WHOLE_C, .number = -4.0}, "\xe2\x88\x92" "4 \xc2\xb0" "C",
         "{\"whole_c\":-4}"},
        {{.kind = OW_BLANK_K, .number = 1.5}, "1.5 K", "{\"k\":1.5}"},
        {{.kind = OW_BLANK_SIGNED_K, .number = 1.5}, "+1.5 K", "{\"signed_k\":1.5}"},
        {{.kind = OW_BLANK_SIGNED_K, .number = -1.5}, "-1.5 K", "{\"signed_k\":-1.5}"},
        {{.kind = OW_BLANK_NUMBER, .number = 2.0}, "2", "{\"n\":2}"},
        {{.kind = OW_BLANK_NUMBER, .number = 2.0, .decimals = 2}, "2.00", "{\"n\":2.00}"},
        {{.kind = OW_BLANK_AT, .at_s = 1704951000}, "Thu 11 Jan 06:30",
         "{\"at\":\"2024-01-11T05:30:00Z\"}"},
        {{.kind = OW_BLANK_DAY, .at_s = 1735687800}, "1 Jan 2025", /* an hour east of Greenwich */
         "{\"day\":\"2024-12-31T23:30:00Z\"}"},
        {{.kind = OW_BLANK_WORD, .list = "part", .word = "buds", .text = "The buds"}, "The buds",
         "{\"part\":\"buds\"}"},
        {{.kind = OW_BLANK_NAMES, .names = names, .n = 0, .text = ", "}, "", "{\"names\":[]}"},
        {{.kind = OW_BLANK_NAMES, .names = names, .n = 1, .text = ", "}, "fleece",
         "{\"names\":[\"fleece\"]}"},
        {{.kind = OW_BLANK_NAMES, .names = names, .n = 3, .text = ", "}, "fleece, film, straw",
         "{\"names\":[\"fleece\",\"film\",\"straw\"]}"},
        {{.kind = OW_BLANK_SAY, .text = "cold", .code = "[[\"cold\"]]"}, "cold",
         "{\"say\":[[\"cold\"]]}"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char want_text[200], want_code[200];
        ow_speech s = begin();
        OW_SPEAK(&s, OW_SAY_CARRY, cases[i].blank);
        snprintf(want_text, sizeof want_text, "carry to %s", cases[i].english);
        snprintf(want_code, sizeof want_code, "[[\"carry\",%s]]", cases[i].code);
        assert_string_equal(text, want_text);
        assert_string_equal(code, want_code);
    }
}

/* RFC 8259, section 7: quotes, backslashes and what is below a blank are escaped, no more. */
static void what_json_escapes(void **state)
{
    (void)state;
    ow_speech s = begin();
    OW_SPEAK(&s, OW_SAY_CARRY, ow_blank_name("a\x01\x1f \x7f\xc3\xa9/'"));
    assert_string_equal(code, "[[\"carry\",\"a\\u0001\\u001f \x7f\xc3\xa9/'\"]]");
}

/* What was said within without a code leaves the whole without. */
static void no_code_within_no_code_at_all(void **state)
{
    (void)state;
    static const char *const within[] = {NULL, ""};
    for (int i = 0; i < 2; i++) {
        ow_speech s = begin();
        OW_SPEAK(&s, OW_SAY_CARRY, ow_blank_spoken((ow_spoken){"somewhere", within[i]}));
        assert_string_equal(text, "carry to somewhere");
        assert_string_equal(code, "");
    }
}

/* A room that holds it to the last byte, and one that lacks one. Beyond it nothing is written. */
static void rooms_are_used_to_the_last_byte(void **state)
{
    (void)state;
    static const char carry[] = "[[\"carry\",\"deck\"]]";
    static const char twice[] = "[[\"carry\",\"deck\"],[\"carry\",\"deck\"]]";
    static const struct {
        size_t room;
        const char *first, *second;
    } cases[] = {{sizeof carry - 1, "", ""},
                 {sizeof carry, carry, ""},
                 {sizeof twice - 1, carry, ""},
                 {sizeof twice, carry, twice},
                 {sizeof twice + 1, carry, twice}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *own = malloc(cases[i].room);
        ow_speech s = ow_speech_begin(&local, " ", text, sizeof text, own, cases[i].room);
        OW_SPEAK(&s, OW_SAY_CARRY, ow_blank_name("deck"));
        assert_string_equal(own, cases[i].first);
        OW_SPEAK(&s, OW_SAY_CARRY, ow_blank_name("deck"));
        assert_string_equal(own, cases[i].second);
        free(own);
    }
    for (size_t room = 1; room <= 40; room++) { /* a text is cut */
        char *own = malloc(room);
        ow_speech s = ow_speech_begin(&local, ", ", own, room, NULL, 0);
        OW_SPEAK(&s, OW_SAY_CARRY, ow_blank_name("deck"));
        OW_SPEAK(&s, OW_SAY_CARRY, ow_blank_name("deck"));
        assert_int_equal(strlen(own), room - 1 < 28 ? room - 1 : 28);
        assert_memory_equal(own, "carry to deck, carry to deck", strlen(own));
        free(own);
    }
}

/* A sentence too long for any is cut in English and has no code. */
static void a_sentence_has_its_length(void **state)
{
    (void)state;
    static char longest[2001], long_text[3000], long_code[4000];
    for (size_t letters = 1; letters <= 2000; letters += 1) {
        memset(longest, 'x', letters);
        ow_speech s = ow_speech_begin(&local, " ", long_text, sizeof long_text, long_code,
                                      sizeof long_code);
        OW_SPEAK(&s, OW_SAY_CARRY, ow_blank_name(longest));
        assert_int_equal(strlen(long_text), letters + 9 < 699 ? letters + 9 : 699);
        size_t codes = strlen(long_code); /* [["carry","..."]] */
        assert_int_equal(codes, letters + 12 < 1400 ? letters + 14 : 0);
    }
}

/* The first, one in the middle, the last; none beyond, none of none, and none too long to keep. */
static void any_sentence_is_said_again(void **state)
{
    (void)state;
    static const char codes[] = "[[\"late\"],[\"eased\",{\"names\":[\"a[\",\"]\"]},{\"c\":1.0}],"
                                "[\"nothing\"]]";
    static const char *const each[] = {"[\"late\"]",
                                       "[\"eased\",{\"names\":[\"a[\",\"]\"]},{\"c\":1.0}]",
                                       "[\"nothing\"]"};
    for (int nth = 0; nth < 4; nth++) {
        char want[200] = "";
        ow_speech s = begin();
        ow_speak_again(&s, "Said before.", 4, codes, nth);
        if (nth < 3) {
            snprintf(want, sizeof want, "[%s]", each[nth]);
        }
        assert_string_equal(text, "Said");
        assert_string_equal(code, want);
        ow_speak_again(&s, "Said before.", 12, codes, nth);
        assert_string_equal(text, "Said Said before.");
        if (nth < 3) {
            snprintf(want, sizeof want, "[%s,%s]", each[nth], each[nth]);
        }
        assert_string_equal(code, want);
    }
    ow_speech s = begin();
    ow_speak_again(&s, "", 0, "", 0);
    assert_string_equal(code, "");
    for (int over = 0; over < 2; over++) { /* 1399 bytes of a sentence, and one more */
        static char kept[2000], again[2000];
        memset(kept, 'x', sizeof kept);
        memcpy(kept, "[[\"", 3);
        strcpy(kept + 1398 + over, "\"]]");
        s = ow_speech_begin(&local, " ", text, sizeof text, again, sizeof again);
        ow_speak_again(&s, "", 0, kept, 0);
        assert_string_equal(again, over ? "" : kept);
    }
    s = ow_speech_begin(&local, " ", text, sizeof text, NULL, 0);
    ow_speak_again(&s, "Said.", 5, codes, 0);
    assert_string_equal(text, "Said.");
}

static void one_is_one_thing(void **state)
{
    (void)state;
    assert_false(ow_blank_number(1.0, 0).many);
    assert_true(ow_blank_number(0.0, 0).many && ow_blank_number(2.0, 0).many);
    assert_false(ow_blank_name("a").many || ow_blank_c(2.0).many);
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
        cmocka_unit_test(every_kind_of_blank),
        cmocka_unit_test(what_json_escapes),
        cmocka_unit_test(no_code_within_no_code_at_all),
        cmocka_unit_test(rooms_are_used_to_the_last_byte),
        cmocka_unit_test(a_sentence_has_its_length),
        cmocka_unit_test(any_sentence_is_said_again),
        cmocka_unit_test(one_is_one_thing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
