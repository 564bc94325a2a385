/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdlib.h>

#include "judgement/stage.h"
#include "physics/materials.h"

static const ow_spread ALL = {.weather = true, .materials = true};
static const ow_spread WEATHER = {.weather = true};
static const ow_spread NONE;

#define ONE_LEAF(value)                                                                            \
    "'places':[" YARD_PLAIN_DECK "," YARD_CELLAR "],'covers':[{'id':'fleece','kind':'fleece'}],"   \
    "'plants':[{'id':'bay','place':'deck','value':'" value "','covers':['fleece']," YARD_POT ","   \
    "'limits':{'foliage':{'damaged_c':-5,'killed_c':-30,'of':'air'}}}]"

/* Pots in the open, under glass, in a bed, with a trunk. */
#define MIXED                                                                                      \
    "'places':[{'id':'deck','kind':'open sky'},{'id':'wall','kind':'wall','faces_deg':180},"       \
    "{'id':'glass','kind':'glasshouse','floor_m2':6,'glazing_m2':18}],"                            \
    "'covers':[{'id':'fleece','kind':'fleece','count':4}],"                                        \
    "'plants':[{'id':'lemon','limits':{'roots':{'damaged_c':-2}},'place':'deck'," YARD_POT "},"    \
    "{'id':'twin','limits':{'roots':{'damaged_c':-2}},'place':'deck'," YARD_POT "},"               \
    "{'id':'bed','limits':{'storage organ':{'damaged_c':-2}},'place':'wall','bed':{}},"            \
    "{'id':'fern','taxon':'Dicksonia antarctica','place':'deck',"                                  \
    "'trunk':{'diameter_mm':220,'height_mm':900,'growing_point_mm':40},'bed':{}},"                 \
    "{'id':'lean'," YARD_LEAVES ",'place':'glass'," YARD_SMALL_POT "}]"

static ow_ensemble *gather(yard *y, ow_spread spread, double hours, int portion)
{
    ow_ensemble *e;
    assert_int_equal(ow_ensemble_new(y->on.scene, &e), OW_OK);
    assert_int_equal(ow_ensemble_begin(e, y->on.scene, &y->ahead, hours, spread), OW_OK);
    while (!ow_ensemble_some(e, &y->ahead, portion)) {
        assert_int_equal(e->steps, 0);
    }
    return e;
}

static yard frosty(void)
{
    yard y = yard_open(MIXED, 1.0);
    turn turns[] = {{0, -1}, {14, -6}, {26, 0}};
    yard_forecast_under(&y, turns, 3, 60.0);
    return y;
}

/* ---- ranges ---------------------------------------------------------------------------------- */

static void a_range_is_met_at_its_ends(void **state)
{
    (void)state;
    ow_range r = {0.5, 3.0};
    check_close("middle", ow_range_at(r, 0.0), 1.0, 0, 0);
    check_close("low", ow_range_at(r, ow_normal_deviate(0.05)), 0.5, 1e-5, 0);
    check_close("high", ow_range_at(r, ow_normal_deviate(0.95)), 3.0, 1e-5, 0);
    check_close("held", ow_range_at(r, 9.0), ow_range_at(r, 2.5), 0, 0);
    check_close("one deviation", exp(ow_range_spread((ow_range){0.25, 4.0})),
                ow_range_at((ow_range){0.25, 4.0}, 1.0), 1e-12, 0);
}

/* moist loam mix, 0.30: half the way to dry 0.12 and to wet 0.45 (docs/materials.md) */
static void a_moisture_leaves_half_the_way_to_its_neighbours(void **state)
{
    (void)state;
    ow_range r;
    assert_int_equal(ow_medium_water_range(OW_MEDIUM_LOAM_MIX, OW_MOISTURE_MOIST, &r), OW_OK);
    check_close("drier", 0.30 * r.low, 0.21, 1e-12, 0);
    check_close("wetter", 0.30 * r.high, 0.375, 1e-12, 0);
    assert_int_equal(ow_medium_water_range(OW_MEDIUM_COUNT, OW_MOISTURE_MOIST, &r), OW_BAD_INPUT);
}

static void every_range_holds_its_own_value(void **state)
{
    (void)state;
    for (int k = 0; k < OW_MEDIUM_COUNT; k++) {
        for (int w = 0; w < OW_MOISTURE_COUNT; w++) {
            ow_range water, conducts, freezes;
            ow_medium low, table, high;
            ow_medium_kind kind = (ow_medium_kind)k;
            ow_moisture moisture = (ow_moisture)w;
            assert_int_equal(ow_medium_water_range(kind, moisture, &water), OW_OK);
            assert_int_equal(ow_medium_conducts_range(kind, &conducts), OW_OK);
            assert_int_equal(ow_medium_freezes_range(kind, &freezes), OW_OK);
            ow_medium_draw least = {water.low, conducts.low, freezes.low};
            ow_medium_draw most = {9.0, conducts.high, freezes.high};
            assert_true(water.low > 0.0 && water.low <= 1.0 && water.high >= 1.0);
            assert_true(conducts.low > 0.0 && conducts.low <= 1.0 && conducts.high >= 1.0);
            assert_true(freezes.low > 0.0 && freezes.low <= 1.0 && freezes.high >= 1.0);
            assert_int_equal(ow_medium_of(kind, moisture, &table), OW_OK);
            assert_int_equal(ow_medium_drawn(kind, moisture, least, &low), OW_OK);
            assert_int_equal(ow_medium_drawn(kind, moisture, most, &high), OW_OK);
            assert_true(low.latent_j_m3 <= table.latent_j_m3);
            assert_true(high.latent_j_m3 <= 333.5e6); /* no more water than pores */
            assert_true(low.thawed_w_mk <= table.thawed_w_mk);
            assert_true(high.frozen_w_mk >= table.frozen_w_mk);
        }
    }
}

/* ---- varying a body -------------------------------------------------------------------------- */

static void a_varied_plant_keeps_its_warmth_and_ice(void **state)
{
    (void)state;
    yard y = frosty();
    ow_weather cold = stage_clear_night(-5.0, 3.0);
    stage_run(&y.on, &cold, 20);
    ow_cast *cast = y.on.scene->cast;
    const ow_block *b = &cast->block[OW_BODY_POT][0];
    const ow_inside before = cast->actor[0].sense.root;
    const double normal[OW_UNKNOWNS] = {[OW_UNKNOWN_WATER] = 1.2, [OW_UNKNOWN_CONDUCTS] = -1.0};
    assert_true(before.ice_share > 0.05 && before.ice_share < 0.9);
    ow_variant variant;
    assert_int_equal(ow_variant_of(&cast->garden->plants[cast->actor[0].plant], normal, &variant),
                     OW_OK);
    ow_cast_vary(cast, 0, &variant);
    ow_inside after;
    ow_block_inside(b, cast->actor[0].root.lane, &after);
    check_close("mean", after.mean_c, before.mean_c, 0.002, 0);
    check_close("coldest", after.coldest_c, before.coldest_c, 0.002, 0);
    check_close("ice share", after.ice_share, before.ice_share, 0.005, 0);
    assert_true(b->law[0].h_j_m3[OW_HINGES - 1] < b->law[1].h_j_m3[OW_HINGES - 1]);
    yard_close(&y);
}

/* Freezing points of growing media, -0.02 to -0.3 C; wherever drawn, the ice at -5 C is the same. */
static void a_drawn_freezing_curve_has_the_same_ice_in_hard_frost(void **state)
{
    (void)state;
    for (int k = 0; k < OW_MEDIUM_COUNT; k++) {
        ow_range range;
        ow_medium table;
        ow_law of_table, of_drawn;
        assert_int_equal(ow_medium_freezes_range((ow_medium_kind)k, &range), OW_OK);
        assert_int_equal(ow_medium_of((ow_medium_kind)k, OW_MOISTURE_MOIST, &table), OW_OK);
        assert_int_equal(ow_law_of_medium(&table, OW_HINGES, &of_table), OW_OK);
        for (double normal = -3.0; normal <= 3.0; normal += 0.25) {
            ow_medium drawn;
            ow_medium_draw draw = {1.0, 1.0, ow_range_at(range, normal)};
            assert_int_equal(ow_medium_drawn((ow_medium_kind)k, OW_MOISTURE_MOIST, draw, &drawn),
                             OW_OK);
            assert_int_equal(ow_law_of_medium(&drawn, OW_HINGES, &of_drawn), OW_OK);
            check_between("freezes at", drawn.freezing_c, -0.3, -0.02);
            assert_true((drawn.freezing_c - table.freezing_c) * normal <= 0.0);
            check_close("ice at -5 C", of_drawn.ice_at_minus5, of_table.ice_at_minus5, 0.01, 0);
        }
    }
    ow_range range;
    assert_int_equal(ow_medium_freezes_range(OW_MEDIUM_COUNT, &range), OW_BAD_INPUT);
}

static void a_drawn_freezing_curve_makes_and_melts_no_ice(void **state)
{
    (void)state;
    for (double normal = -2.0; normal <= 2.0; normal += 1.0) {
        yard y = frosty();
        ow_weather cold = stage_clear_night(-5.0, 3.0);
        stage_run(&y.on, &cold, 20);
        ow_cast *cast = y.on.scene->cast;
        const ow_inside before = cast->actor[0].sense.root;
        const double drawn[OW_UNKNOWNS] = {[OW_UNKNOWN_FREEZES] = normal};
        ow_variant variant;
        assert_int_equal(ow_variant_of(&y.on.garden->plants[0], drawn, &variant), OW_OK);
        ow_cast_vary(cast, 0, &variant);
        ow_inside after;
        ow_block_inside(&cast->block[OW_BODY_POT][0], cast->actor[0].root.lane, &after);
        check_close("ice share", after.ice_share, before.ice_share, 0.005, 0);
        check_close("mean", after.mean_c, before.mean_c, 0.3, 0);
        yard_close(&y);
    }
}

/* ---- members --------------------------------------------------------------------------------- */

/* At steps of an hour the first member goes as the outlook does, to the byte. */
static void the_first_member_is_the_outlook(void **state)
{
    (void)state;
    yard y = frosty();
    ow_scene *hourly;
    ow_outlook *o;
    ow_ensemble *e;
    assert_int_equal(ow_scene_new(y.on.garden, STAGE_MIDWINTER, 3600, 1.0, &hourly), OW_OK);
    assert_int_equal(ow_outlook_new(hourly, &o), OW_OK);
    assert_int_equal(ow_outlook_begin(o, hourly, &y.ahead, 26), OW_OK);
    assert_true(ow_outlook_some(o, &y.ahead, INT_MAX));
    assert_int_equal(ow_ensemble_new(hourly, &e), OW_OK);
    assert_int_equal(ow_ensemble_begin(e, hourly, &y.ahead, 26, ALL), OW_OK);
    assert_true(ow_ensemble_some(e, &y.ahead, INT_MAX));
    assert_int_equal(e->steps, 26);
    for (int i = 0; i < y.on.garden->plant_count; i++) {
        assert_memory_equal(&e->course[i * OW_MEMBERS], &o->course[i], sizeof o->course[i]);
    }
    ow_ensemble_free(e);
    ow_outlook_free(o);
    ow_scene_free(hourly);
    yard_close(&y);
}

static void without_spread_all_are_one(void **state)
{
    (void)state;
    yard y = frosty();
    ow_ensemble *e = gather(&y, NONE, 26, INT_MAX);
    for (int i = 0; i < y.on.garden->plant_count; i++) {
        for (int m = 1; m < OW_MEMBERS; m++) {
            assert_memory_equal(&e->course[i * OW_MEMBERS + m], &e->course[i * OW_MEMBERS],
                                sizeof e->course[0]);
        }
        double risk = ow_ensemble_risk(e, i);
        assert_true(risk == 0.0 || risk == 1.0);
    }
    ow_ensemble_free(e);
    yard_close(&y);
}

static void portions_make_no_difference(void **state)
{
    (void)state;
    yard y = frosty();
    ow_ensemble *one = gather(&y, ALL, 26, INT_MAX), *three = gather(&y, ALL, 26, 3);
    int plants = y.on.garden->plant_count;
    size_t courses = (size_t)plants * OW_MEMBERS;
    assert_memory_equal(one->course, three->course, courses * sizeof *one->course);
    for (int i = 0; i < plants; i++) {
        assert_memory_equal(one->risk[i].order, three->risk[i].order, sizeof one->risk[i].order);
        for (int which = 0; which < OW_BANDS; which++) {
            ow_band a = ow_ensemble_band(one, i, 20, which);
            ow_band b = ow_ensemble_band(three, i, 20, which);
            assert_memory_equal(&a, &b, sizeof a);
        }
    }
    ow_ensemble_free(one);
    ow_ensemble_free(three);
    yard_close(&y);
}

/*
 * Steady air at T over one hour, a limit of the air at L: the risk is the normal distribution's
 * share below (L - T)/sd, but for the thirty-second that one member stands for.
 */
static void risk_is_the_share_of_the_error(void **state)
{
    (void)state;
    double sd_k = ow_forecast_error_sd_k(NULL, 0.5);
    for (double deviates = -1.5; deviates <= 1.5; deviates += 0.5) {
        yard y = yard_open(ONE_LEAF("ordinary"), 2.0);
        yard_steady(&y, -5.0 - deviates * sd_k, 1.0);
        ow_ensemble *e = gather(&y, WEATHER, 1.0, INT_MAX);
        double share = 0.5 * erfc(-deviates / sqrt(2.0));
        check_close("risk", ow_ensemble_risk(e, 0), share, 1.5 / OW_MEMBERS, 0);
        ow_ensemble_free(e);
        yard_close(&y);
    }
}

/* The error of the weather is common: alike plants fare alike where nothing else is drawn. */
static void weather_is_common_to_plants(void **state)
{
    (void)state;
    yard y = frosty();
    ow_ensemble *same = gather(&y, WEATHER, 26, INT_MAX), *drawn = gather(&y, ALL, 26, INT_MAX);
    size_t bytes = OW_MEMBERS * sizeof(ow_course);
    assert_memory_equal(same->course, same->course + OW_MEMBERS, bytes);
    assert_true(memcmp(drawn->course, drawn->course + OW_MEMBERS, bytes) != 0);
    ow_ensemble_free(same);
    ow_ensemble_free(drawn);
    yard_close(&y);
}

/* Each source of spread widens the band of the root ball, and the expected run lies within it. */
static void bands_widen_with_what_is_unknown(void **state)
{
    (void)state;
    yard y = frosty();
    ow_spread materials = {.materials = true};
    ow_ensemble *e[] = {gather(&y, NONE, 26, INT_MAX), gather(&y, materials, 26, INT_MAX),
                        gather(&y, ALL, 26, INT_MAX)};
    for (int i = 0; i < y.on.garden->plant_count; i++) {
        float width[3];
        ow_band none = ow_ensemble_band(e[0], i, 20, OW_BAND_ROOT_MEAN);
        for (int k = 0; k < 3; k++) {
            ow_band b = ow_ensemble_band(e[k], i, 20, OW_BAND_ROOT_MEAN);
            assert_true(b.low_c <= none.median_c && none.median_c <= b.high_c);
            width[k] = b.high_c - b.low_c;
        }
        assert_true(width[0] == 0.0f && width[1] > 0.01f && width[2] > width[1]);
    }
    assert_true(isnan(ow_ensemble_band(e[2], 0, 20, OW_STORAGE_ORGAN).median_c));
    for (int k = 0; k < 3; k++) {
        ow_ensemble_free(e[k]);
    }
    yard_close(&y);
}

/* Under glass the panes are drawn as well: air of an unheated house on a clear night. */
static void panes_are_drawn_with_the_materials(void **state)
{
    (void)state;
    yard y = frosty();
    ow_ensemble *e = gather(&y, (ow_spread){.materials = true}, 26, INT_MAX);
    float low = INFINITY, high = -INFINITY;
    double first_c = e->house[20 * OW_MEMBERS].air_c;
    for (int m = 1; m < OW_MEMBERS; m++) {
        low = fminf(low, (float)e->house[20 * OW_MEMBERS + m].air_c);
        high = fmaxf(high, (float)e->house[20 * OW_MEMBERS + m].air_c);
    }
    assert_true(low < first_c - 0.02 && high > first_c + 0.02);
    check_between("K", high - low, 0.05, 2.0);
    ow_ensemble_free(e);
    yard_close(&y);
}

static bool passes(const ow_ensemble *e, const yard *y, int plant, int member)
{
    return ow_threat_of(&e->course[plant * OW_MEMBERS + member], &yard_actor(y, plant)->condition)
        .any;
}

/* The member at a share passes the limit exactly when the risk reaches that share. */
static void the_member_at_a_share_stands_for_it(void **state)
{
    (void)state;
    yard y = yard_open(ONE_LEAF("ordinary"), 2.0);
    yard_cold_night(&y, -4.0);
    ow_ensemble *e = gather(&y, ALL, 48, INT_MAX);
    double risk = ow_ensemble_risk(e, 0);
    assert_true(risk > 0.1 && risk < 0.9);
    for (int k = 1; k <= 64; k++) {
        int member = ow_ensemble_member_at(e, 0, k / 64.0);
        assert_int_equal(passes(e, &y, 0, member), risk >= k / 64.0);
    }
    const ow_risk *r = &e->risk[0];
    assert_true(r->early_s <= r->median_s && r->median_s <= r->late_s && r->late_s != OW_NEVER);
    ow_ensemble_free(e);
    yard_close(&y);
}

static void an_act_is_tried_in_all_members(void **state)
{
    (void)state;
    yard y = yard_open(ONE_LEAF("ordinary"), 2.0);
    yard_cold_night(&y, -5.0);
    ow_ensemble *e = gather(&y, ALL, 48, INT_MAX);
    ow_many many = {.plant = 0, .acts = true,
                    .trial = {.place = 1, .at_s = y.on.scene->now_s}};
    ow_risk risk;
    assert_int_equal(ow_many_begin(&many, e), OW_OK);
    assert_true(ow_many_some(&many, e, INT_MAX));
    ow_many_risk(&many, e, &risk);
    assert_true(e->risk[0].damaged > 8);
    assert_int_equal(risk.damaged, 0); /* a cellar at 8 C */
    check_close("leaves", ow_many_part_risk(&many, e, OW_FOLIAGE, false), 0.0, 0, 0);
    memcpy(many.course, e->course, sizeof many.course); /* with nothing done */
    check_close("leaves", ow_many_part_risk(&many, e, OW_FOLIAGE, false), ow_ensemble_risk(e, 0),
                0, 0);
    check_close("killed", ow_many_part_risk(&many, e, OW_FOLIAGE, true), 0.0, 0, 0);
    ow_ensemble_free(e);
    yard_close(&y);
}

/* ---- verdicts -------------------------------------------------------------------------------- */

static ow_verdict judged(const char *garden, double coldest_c, char reason[OW_REASON_TEXT])
{
    yard y = yard_open(garden, 2.0);
    yard_cold_night(&y, coldest_c);
    ow_ensemble *e = gather(&y, ALL, 72, INT_MAX);
    y.outlook->ensemble = e;
    ow_verdict v = *yard_judge(&y, 0);
    (void)yard_reason(&y, 0, reason);
    check_wording(reason);
    ow_ensemble_free(e);
    yard_close(&y);
    return v;
}

/* The same night asks for nothing from an ordinary plant and for a cover on a treasured one. */
static void who_is_worth_more_is_covered_sooner(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT];
    bool parted = false;
    for (double c = -1.0; c >= -5.0; c -= 0.5) {
        ow_verdict plain = judged(ONE_LEAF("ordinary"), c, text);
        ow_verdict dear = judged(ONE_LEAF("treasured"), c, text);
        assert_true(plain.risk == dear.risk && plain.runs == OW_MEMBERS);
        assert_int_equal(plain.state != OW_STATE_HOLD, plain.risk >= 0.25);
        assert_int_equal(dear.state != OW_STATE_HOLD, dear.risk >= 0.10);
        parted |= plain.state == OW_STATE_HOLD && dear.state != OW_STATE_HOLD;
    }
    assert_true(parted);
}

static void the_reason_tells_the_runs(void **state)
{
    (void)state;
    char text[OW_REASON_TEXT], want[80];
    ow_verdict v = judged(ONE_LEAF("treasured"), -3.0, text);
    snprintf(want, sizeof want, "A limit is passed in %d of 32 runs ahead.", v.passed);
    assert_true(v.state != OW_STATE_HOLD && v.asks && v.passed > 3 && v.passed < 32);
    check_says(text, "may fall to");
    check_says(text, want);
    assert_true(v.act_by_s < v.threat.at_s);
}

/* One run only: the risk is what it says. */
static void without_an_ensemble_the_risk_is_all_or_nothing(void **state)
{
    (void)state;
    yard y = yard_open(ONE_LEAF("ordinary"), 2.0);
    yard_cold_night(&y, -9.0);
    check_close("cold", yard_judge(&y, 0)->risk, 1.0, 0, 0);
    yard_cold_night(&y, 0.0);
    check_close("mild", yard_judge(&y, 0)->risk, 0.0, 0, 0);
    ow_forcing_clear(&y.ahead);
    assert_true(isnan(yard_judge(&y, 0)->risk));
    yard_close(&y);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_range_is_met_at_its_ends),
        cmocka_unit_test(a_moisture_leaves_half_the_way_to_its_neighbours),
        cmocka_unit_test(every_range_holds_its_own_value),
        cmocka_unit_test(a_varied_plant_keeps_its_warmth_and_ice),
        cmocka_unit_test(a_drawn_freezing_curve_has_the_same_ice_in_hard_frost),
        cmocka_unit_test(a_drawn_freezing_curve_makes_and_melts_no_ice),
        cmocka_unit_test(the_first_member_is_the_outlook),
        cmocka_unit_test(without_spread_all_are_one),
        cmocka_unit_test(portions_make_no_difference),
        cmocka_unit_test(risk_is_the_share_of_the_error),
        cmocka_unit_test(weather_is_common_to_plants),
        cmocka_unit_test(bands_widen_with_what_is_unknown),
        cmocka_unit_test(panes_are_drawn_with_the_materials),
        cmocka_unit_test(the_member_at_a_share_stands_for_it),
        cmocka_unit_test(an_act_is_tried_in_all_members),
        cmocka_unit_test(who_is_worth_more_is_covered_sooner),
        cmocka_unit_test(the_reason_tells_the_runs),
        cmocka_unit_test(without_an_ensemble_the_risk_is_all_or_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
