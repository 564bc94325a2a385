/* SPDX-License-Identifier: MIT */
/* A person's words and the payload they become. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "check.h"
#include "hosts/answer.h"
#include "hosts/lines.h"

static const char description_text[] =
    "{\"nodes\":{"
    "\"lemon\":{\"properties\":{\"state\":{\"datatype\":\"enum\"},"
    "\"place\":{\"datatype\":\"enum\",\"format\":\"roof,house\",\"settable\":true},"
    "\"wearing\":{\"datatype\":\"json\",\"settable\":true,\"format\":"
    "\"{\\\"items\\\":{\\\"enum\\\":[\\\"fleece\\\",\\\"film\\\"]}}\"},"
    "\"done\":{\"datatype\":\"json\",\"settable\":true},"
    "\"seen\":{\"datatype\":\"enum\",\"format\":\"alive,regrowing,dead\",\"settable\":true}}},"
    "\"heater\":{\"properties\":{\"release\":{\"datatype\":\"string\",\"settable\":true}}},"
    "\"garden\":{\"properties\":{\"stop\":{\"datatype\":\"boolean\",\"settable\":true}}},"
    "\"silent\":{\"properties\":{\"state\":{\"datatype\":\"enum\"}}},"
    "\"household-ada\":{\"properties\":{\"noticed\":{\"datatype\":\"string\",\"settable\":true}}}}}";

static const char meant_text[] = "[{\"plant\":\"fig\",\"job\":\"thaw\"},"
                                 "{\"plant\":\"lemon\",\"job\":\"cover\"}]";

static struct lines lines;

static ow_status say(const char *thing, const char *word, const char *value, const char *meant,
                     ow_answer *answer)
{
    cJSON *description = cJSON_Parse(description_text);
    cJSON *stands = meant != NULL ? cJSON_Parse(meant) : NULL;
    const ow_words words = {thing, word, value, "ada"};
    assert_non_null(description);
    lines_start(&lines);
    ow_status status = ow_answer_find(description, &words, &lines.report, answer);
    if (status == OW_OK) {
        status = ow_answer_fill(description, &words, stands, &lines.report, answer);
    }
    cJSON_Delete(description);
    cJSON_Delete(stands);
    return status;
}

static void words_become_payloads(void **state)
{
    static const struct {
        const char *thing, *word, *value, *meant, *node, *payload;
    } rows[] = {
        {"lemon", "place", "house", NULL, "lemon", "house"},
        {"lemon", "moved", "roof", NULL, "lemon", "roof"},
        {"lemon", "wearing", "fleece,film", NULL, "lemon", "[\"fleece\",\"film\"]"},
        {"lemon", "wearing", "nothing", NULL, "lemon", "[]"},
        {"lemon", "done", NULL, meant_text, "lemon", "{\"job\":\"cover\",\"who\":\"ada\"}"},
        {"lemon", "done", "thaw", NULL, "lemon", "{\"job\":\"thaw\",\"who\":\"ada\"}"},
        {"lemon", "seen", "regrowing", NULL, "lemon", "regrowing"},
        {"heater", "release", NULL, NULL, "heater", "ada"},
        {"garden", "stop", NULL, NULL, "garden", "true"},
        {"garden", "stop", "true", NULL, "garden", "true"},
        {"ada", "noticed", "lemon-cover-soon", NULL, "household-ada", "lemon-cover-soon"},
        {"household-ada", "noticed", NULL, "{\"id\":\"x-y\"}", "household-ada", "x-y"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ow_answer answer;
        assert_int_equal(
            say(rows[i].thing, rows[i].word, rows[i].value, rows[i].meant, &answer), OW_OK);
        assert_string_equal(answer.node, rows[i].node);
        assert_string_equal(answer.payload, rows[i].payload);
    }
}

static void what_is_not_known_is_refused_with_the_choices(void **state)
{
    static const struct {
        const char *thing, *word, *value, *says;
    } rows[] = {
        {"fig", "place", "roof", "one of lemon, heater, garden, household-ada"},
        {"silent", "state", "x", "one of lemon"},
        {"", "place", "roof", "one of lemon"},
        {"lemon", "prune", NULL, "one of place, wearing, done, seen"},
        {"lemon", "state", "hold", "one of place, wearing, done, seen"},
        {"lemon", "place", "attic", "one of roof, house"},
        {"lemon", "place", NULL, "needs a value: roof, house"},
        {"lemon", "wearing", "felt", "one of nothing, fleece, film"},
        {"lemon", "wearing", "fleece,felt", "\"felt\""},
        {"lemon", "wearing", NULL, "nothing, fleece, film"},
        {"lemon", "seen", "gone", "one of alive, regrowing, dead"},
        {"lemon", "done", NULL, "no job is asked for"},
        {"ada", "noticed", NULL, "no notice stands"},
        {"garden", "stop", "false", "takes no value"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ow_answer answer;
        assert_int_equal(say(rows[i].thing, rows[i].word, rows[i].value, NULL, &answer),
                         OW_BAD_INPUT);
        assert_int_equal(lines.report.errors, 1);
        check_says(&lines, rows[i].says);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_become_payloads),
        cmocka_unit_test(what_is_not_known_is_refused_with_the_choices),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
