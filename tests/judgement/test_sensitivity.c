/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/sensitivity.h"
#include "judgement/stage.h"
#include "judgement/steady_frost.h"

#define OPEN "{'id':'deck','kind':'open sky'}"
#define POT "'pot':{'diameter_mm':260,'depth_mm':240,'stands_on':'raised','moisture':'%s'}"

static ow_sensitivity of(const char *place, const char *home)
{
    char quoted[YARD_TEXT], text[YARD_TEXT];
    ow_sensitivity s;
    snprintf(quoted, sizeof quoted,
             "'places':[%s],'plants':[{'id':'lemon','taxon':'Citrus limon','place':'deck',%s}]",
             place, home);
    ow_garden *g = stage_garden(yard_text(quoted, text));
    assert_int_equal(ow_sensitivity_of(g, 0, &s), OW_OK);
    ow_frost_course course[OW_FROST_DRESSES];
    assert_int_equal(ow_steady_frost(g, 0, course), OW_OK);
    /* the usual is the bare line of the advice */
    assert_true(s.usual_h == course[0].through_h ||
                (isnan(s.usual_h) && isnan(course[0].through_h)));
    ow_garden_free(g);
    return s;
}

static const char *pot(const char *moisture)
{
    static char text[200];
    snprintf(text, sizeof text, POT, moisture);
    return text;
}

/* Less water, more wind, a thinner wall and a clear sky: each freezes it through sooner. */
static void every_end_lies_on_its_side(void **state)
{
    (void)state;
    ow_sensitivity s = of(OPEN, pot("moist"));
    assert_int_equal(s.drier, OW_MOISTURE_DRY);
    assert_int_equal(s.wetter, OW_MOISTURE_WET);
    assert_true(s.low_h[OW_DOUBT_MOISTURE] < s.usual_h && s.usual_h < s.high_h[OW_DOUBT_MOISTURE]);
    assert_true(s.low_h[OW_DOUBT_WIND] > s.usual_h && s.usual_h > s.high_h[OW_DOUBT_WIND]);
    assert_true(s.low_h[OW_DOUBT_WALL] < s.usual_h && s.usual_h < s.high_h[OW_DOUBT_WALL]);
    assert_true(s.low_h[OW_DOUBT_SKY] < s.usual_h);
    assert_true(s.high_h[OW_DOUBT_SKY] == s.usual_h);
}

static void the_widest_is_named(void **state)
{
    (void)state;
    ow_sensitivity s = of(OPEN, pot("moist"));
    for (int d = 0; d < OW_DOUBTS; d++) {
        assert_true(fabs(log(s.low_h[d] / s.high_h[d])) <=
                    fabs(log(s.low_h[s.most] / s.high_h[s.most])));
    }
}

/* There is no word drier than dry; the end is the usual. */
static void the_last_word_has_one_side(void **state)
{
    (void)state;
    ow_sensitivity s = of(OPEN, pot("standing"));
    assert_int_equal(s.wetter, OW_MOISTURE_STANDING);
    assert_true(s.high_h[OW_DOUBT_MOISTURE] == s.usual_h);
}

/* Each end of the moisture is the usual of the word beside it. */
static void a_word_drier_and_a_word_wetter(void **state)
{
    (void)state;
    static const char *const words[] = {"dry", "moist", "wet", "standing"};
    ow_sensitivity s[4];
    for (int i = 0; i < 4; i++) {
        s[i] = of(OPEN, pot(words[i]));
    }
    for (int i = 0; i < 4; i++) {
        int drier = i > 0 ? i - 1 : 0, wetter = i < 3 ? i + 1 : 3;
        assert_int_equal(s[i].drier, drier);
        assert_int_equal(s[i].wetter, wetter);
        assert_true(s[i].low_h[OW_DOUBT_MOISTURE] == s[drier].usual_h);
        assert_true(s[i].high_h[OW_DOUBT_MOISTURE] == s[wetter].usual_h);
    }
}

/* A side that the file itself says is doubted on top of that. */
static void a_side_of_its_own_is_doubted_too(void **state)
{
    (void)state;
    ow_sensitivity s = of(OPEN, "'pot':{'diameter_mm':260,'depth_mm':240,'stands_on':'raised',"
                                "'side_factor':2.5}");
    assert_true(s.low_h[OW_DOUBT_WALL] < s.usual_h && s.usual_h < s.high_h[OW_DOUBT_WALL]);
}

/* What it wears now is taken off: the hours are those of the bare pot. */
static void covers_do_not_count(void **state)
{
    (void)state;
    ow_sensitivity bare = of(OPEN, pot("moist"));
    char dressed[300];
    snprintf(dressed, sizeof dressed, "%s,'covers':['fleece'],'wearing':['fleece']", pot("moist"));
    ow_sensitivity s = of(OPEN "],'covers':[{'id':'fleece','kind':'fleece'}", dressed);
    assert_true(s.usual_h == bare.usual_h);
    assert_true(s.high_h[OW_DOUBT_WALL] == bare.high_h[OW_DOUBT_WALL]);
}

/* A fixed surface coefficient has neither wind nor sky. */
static void what_cannot_matter_does_not(void **state)
{
    (void)state;
    ow_sensitivity s = of(YARD_PLAIN_DECK, pot("moist"));
    assert_true(s.low_h[OW_DOUBT_WIND] == s.high_h[OW_DOUBT_WIND]);
    assert_true(s.low_h[OW_DOUBT_SKY] == s.high_h[OW_DOUBT_SKY]);
    assert_true(s.most == OW_DOUBT_MOISTURE || s.most == OW_DOUBT_WALL);
}

/* 40 cm of mulch: nothing comes through. */
static void what_never_freezes_names_nothing(void **state)
{
    (void)state;
    ow_sensitivity s = of("{'id':'deck','kind':'open sky','film_w_m2k':2,'ground_c':9}",
                          "'bed':{'mulch_mm':400}");
    assert_int_equal(s.most, -1);
    assert_true(isnan(s.usual_h));
}

/* No pot freezes through after the last step of the three weeks that the frost lasts. The deepest
 * that does so in the usual frost does so in the last step, and sooner when it is dry. */
static void three_weeks_are_all_there_is(void **state)
{
    (void)state;
    double told_mm = 400.0, untold_mm = 600.0, usual_h = NAN;
    while (untold_mm - told_mm > 0.02) {
        char home[200];
        double middle_mm = 0.5 * (told_mm + untold_mm);
        snprintf(home, sizeof home,
                 "'pot':{'diameter_mm':1200,'depth_mm':%.4f,'stands_on':'raised'}", middle_mm);
        ow_sensitivity s = of(YARD_PLAIN_DECK, home);
        usual_h = isnan(s.usual_h) ? usual_h : s.usual_h;
        *(isnan(s.usual_h) ? &untold_mm : &told_mm) = middle_mm;
        assert_true(s.low_h[OW_DOUBT_MOISTURE] < 21.0 * 24.0);
        assert_true(isnan(s.usual_h) || s.usual_h <= 21.0 * 24.0);
    }
    check_close("ice through, h", usual_h, 21.0 * 24.0, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_end_lies_on_its_side),
        cmocka_unit_test(the_widest_is_named),
        cmocka_unit_test(the_last_word_has_one_side),
        cmocka_unit_test(a_word_drier_and_a_word_wetter),
        cmocka_unit_test(a_side_of_its_own_is_doubted_too),
        cmocka_unit_test(covers_do_not_count),
        cmocka_unit_test(what_cannot_matter_does_not),
        cmocka_unit_test(what_never_freezes_names_nothing),
        cmocka_unit_test(three_weeks_are_all_there_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
