/* SPDX-License-Identifier: MIT */
/* An act put on a plant, and when two are the same. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/stage.h"

enum { DECK, CELLAR };
enum { FLEECE, FILM, STRAW };

#define GARDEN                                                                                     \
    "'places':[" YARD_PLAIN_DECK "," YARD_CELLAR "],"                                              \
    "'covers':[{'id':'fleece','kind':'fleece','on':'all'},"                                        \
    "{'id':'film','kind':'bubble film','on':'side'},{'id':'straw','kind':'straw','on':'all'}],"    \
    "'plants':[{'id':'bush'," YARD_LEAVES ",'place':'deck'," YARD_POT "}]"

static void applied(const ow_garden *g, ow_actor *a, ow_trial trial)
{
    ow_trial_apply(&trial, g, a);
}

static void it_moves_and_dresses(void **state)
{
    (void)state;
    char text[YARD_TEXT];
    ow_garden *g = stage_garden(yard_text(GARDEN, text));
    ow_actor a = {.place = CELLAR};
    applied(g, &a, (ow_trial){.place = -1});
    assert_int_equal(a.place, CELLAR);
    assert_int_equal(a.dress.n, 0);
    applied(g, &a, (ow_trial){.place = DECK, .covers = 2, .cover = {FILM, FLEECE}});
    assert_int_equal(a.place, DECK);
    assert_int_equal(a.dress.n, 2);
    assert_int_equal(a.dress.item[0], FILM);
    assert_int_equal(a.dress.item[1], FLEECE);
    assert_int_equal(a.dress.cover[0].on, OW_ZONE_SIDE);
    assert_int_equal(a.dress.cover[1].on, OW_ZONES_ALL);
    applied(g, &a, (ow_trial){.place = -1, .covers = 1, .cover = {STRAW}, .point = true});
    assert_int_equal(a.dress.cover[2].on, OW_ZONE_GROWING_POINT);
    assert_int_equal(a.dress.cover[1].on, OW_ZONES_ALL);
    for (int twice = 0; twice < 2; twice++) { /* gone already */
        applied(g, &a, (ow_trial){.place = -1, .sheds = true, .shed = FLEECE});
        assert_int_equal(a.dress.n, 2);
        assert_true(a.dress.item[0] == FILM && a.dress.item[1] == STRAW);
    }
    applied(g, &a, (ow_trial){.place = -1, .bare = true});
    assert_int_equal(a.dress.n, 0);
    ow_garden_free(g);
}

/* What the wind took is laid again, not a second one beside it; the other of a pair still goes on,
 * and round the growing point goes only what is new. */
static void what_is_worn_is_laid_again(void **state)
{
    (void)state;
    char text[YARD_TEXT];
    ow_garden *g = stage_garden(yard_text(GARDEN, text));
    ow_actor a = {.place = DECK};
    applied(g, &a, (ow_trial){.place = -1, .covers = 1, .cover = {FLEECE}});
    a.dress.cover[0].state.blown_off = true;
    applied(g, &a, (ow_trial){.place = -1, .covers = 2, .cover = {FLEECE, STRAW}, .point = true});
    assert_int_equal(a.dress.n, 2);
    assert_false(a.dress.cover[0].state.blown_off);
    assert_int_equal(a.dress.cover[0].on, OW_ZONES_ALL);
    assert_int_equal(a.dress.item[1], STRAW);
    assert_int_equal(a.dress.cover[1].on, OW_ZONE_GROWING_POINT);
    ow_garden_free(g);
}

/* Six are worn: a seventh is left away, and its wish for the growing point with it. */
static void what_no_longer_fits_on_is_left_away(void **state)
{
    (void)state;
    char text[YARD_TEXT];
    ow_garden *g = stage_garden(yard_text(GARDEN, text));
    ow_actor a = {.place = DECK};
    while (a.dress.n < OW_WORN_MAX) {
        assert_int_equal(ow_dress_add(&a.dress, g, FLEECE), OW_OK);
    }
    applied(g, &a, (ow_trial){.place = -1, .covers = 1, .cover = {STRAW}, .point = true});
    assert_int_equal(a.dress.n, OW_WORN_MAX);
    assert_int_equal(a.dress.item[OW_WORN_MAX - 1], FLEECE);
    assert_int_equal(a.dress.cover[OW_WORN_MAX - 1].on, OW_ZONES_ALL);
    applied(g, &a, (ow_trial){.place = -1, .bare = true, .covers = 1, .cover = {STRAW}});
    assert_int_equal(a.dress.n, 1); /* bare first, then there is room */
    ow_garden_free(g);
}

static void the_same_act_at_any_hour(void **state)
{
    (void)state;
    const ow_trial act = {.place = CELLAR, .covers = 2, .cover = {FILM, FLEECE}, .at_s = 7};
    ow_trial other[] = {act, act, act, act, act, act, act, act, act};
    other[0].place = DECK;
    other[1].covers = 1;
    other[2].cover[0] = STRAW;
    other[3].cover[1] = STRAW;
    other[4].bare = true;
    other[5].point = true;
    other[6].wet = true;
    other[7].warm = true;
    other[8].sheds = true;
    for (size_t i = 0; i < sizeof other / sizeof other[0]; i++) {
        assert_false(ow_trial_same(&act, &other[i]));
    }
    ow_trial later = act;
    later.at_s = 99;
    assert_true(ow_trial_same(&act, &later));
    ow_trial one = {.place = -1, .covers = 1, .cover = {FILM, FLEECE}};
    ow_trial alike = {
        .place = -1, .covers = 1, .cover = {FILM, STRAW}}; /* the second is not read */
    assert_true(ow_trial_same(&one, &alike));
    one.shed = STRAW; /* nor what would come off */
    assert_true(ow_trial_same(&one, &alike));
    one.sheds = alike.sheds = true;
    assert_false(ow_trial_same(&one, &alike));
    alike.shed = STRAW;
    assert_true(ow_trial_same(&one, &alike));
}

/* Only what is to be watered is, and its pot is moist from then on. */
static void it_waters(void **state)
{
    (void)state;
    yard y = yard_open(GARDEN, 3.0);
    y.on.garden->plants[0].pot.soil.moisture = OW_MOISTURE_DRY;
    for (int wet = 0; wet < 2; wet++) {
        ow_trial_play(&(ow_trial){.place = -1, .wet = wet}, y.on.scene->cast, 0);
        assert_int_equal(yard_actor(&y, 0)->watered, wet);
    }
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_moves_and_dresses),
        cmocka_unit_test(what_is_worn_is_laid_again),
        cmocka_unit_test(what_no_longer_fits_on_is_left_away),
        cmocka_unit_test(it_waters),
        cmocka_unit_test(the_same_act_at_any_hour),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
