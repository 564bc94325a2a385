/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "judgement/fit_search.h"
#include "judgement/records.h"

static ow_garden *garden_with(const char *plant)
{
    char quoted[YARD_TEXT], text[YARD_TEXT];
    snprintf(quoted, sizeof quoted,
             "'places':[{'id':'deck','kind':'open sky'}],'plants':[{'id':'lemon',"
             "'taxon':'Citrus limon','place':'deck',%s}]",
             plant);
    return stage_garden(yard_text(quoted, text));
}

/* ---- coverage -------------------------------------------------------------------------------- */

static const char *const homes[] = {
    "'pot':{'diameter_mm':360,'depth_mm':320,'wall':'terracotta','medium':'loam mix'}",
    "'pot':{'diameter_mm':220,'depth_mm':200,'medium':'peat-free mix','stands_on':'raised'}",
    "'pot':{'diameter_mm':150,'depth_mm':140,'medium':'bog mix','moisture':'wet'}",
    "'pot':{'diameter_mm':300,'depth_mm':180,'wall':'wood','medium':'bark mix'}",
    "'bed':{'medium':'loam'}",
};
enum { HOMES = sizeof homes / sizeof homes[0] };

static const winter winters[] = {
    {6.0, -1.0, 7.0, 3.0}, {5.0, -6.0, 6.0, 4.0}, {8.0, 3.0, 9.0, 2.0}};
enum { WINTERS = sizeof winters / sizeof winters[0] };

#ifdef OW_NO_CLONES
enum { RECORDS = 5 }; /* under the sanitizers */
#else
enum { RECORDS = 200 };
#endif

/* A truth as the tables leave it open, within the bounds of the garden file. */
static truth any_truth(const ow_garden *g, dice *d)
{
    truth t = {.probe_off_k = 0.3 * dice_normal(d),
               .noise_k = 0.1 + 0.15 * dice_share(d),
               .start_k = dice_normal(d)};
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        t.log_of[i] = ow_fit_spread(i) * dice_normal(d);
    }
    t.log_of[OW_FIT_WATER] = fmin(t.log_of[OW_FIT_WATER], log(standing_water(g) / table_water(g)));
    t.depth_m = g->plants[0].pot.given ? g->plants[0].pot.depth_mm / 2000.0 : 0.1;
    return t;
}

typedef struct tally {
    int told, within;
} tally;

static void count(const record *r, tally tallies[OW_FIT_PARTS])
{
    for (int p = 0; p < OW_FIT_PARTS && r->fit.refused[0] == '\0'; p++) {
        const ow_fit_part *part = &r->fit.part[p];
        double want = part->tables * exp(r->truth.log_of[p]);
        bool told = part->fate == OW_FIT_TOLD;
        tallies[p].told += told;
        tallies[p].within += told && want >= part->low && want <= part->high;
    }
}

/* No two parts are told that hang together beyond the limit, and each is within its own bounds. */
static void check_told(const ow_fit *fit)
{
    for (int p = 0; p < OW_FIT_PARTS && fit->refused[0] == '\0'; p++) {
        const ow_fit_part *part = &fit->part[p];
        if (part->fate == OW_FIT_TOLD) {
            check_between("value", part->value, part->low, part->high);
        }
        for (int k = 0; k < p; k++) {
            check_between("correlation", fabs(fit->correlation[p][k]), 0.0, OW_FIT_TANGLE);
        }
        assert_true(part->fate != OW_FIT_TANGLED || part->tangled_with < p);
    }
}

/* Record i of the many, fitted. */
static void fit_any(int i, record *r)
{
    dice d = {.state = 1000u + (uint64_t)i};
    for (int k = 0; k < 10; k++) {
        (void)dice_share(&d);
    }
    r->garden = garden_with(homes[i % HOMES]);
    r->truth = any_truth(r->garden, &d);
    record_make(r, &winters[(i / HOMES) % WINTERS], 78 + 12 * (i % 3), &d);
    (void)record_fit(r);
}

/* The claim of nine in ten is to hold in 85 to 95 of a hundred; of each part alone, which is told
 * more rarely, in 80 at least. Few of the records may be refused. */
static void the_truth_lies_within_nine_times_in_ten(void **state)
{
    (void)state;
    static record r;
    tally tallies[OW_FIT_PARTS] = {{0}}, all = {0};
    int refused = 0;
    for (int i = 0; i < RECORDS; i++) {
        fit_any(i, &r);
        refused += r.fit.refused[0] != '\0';
        check_told(&r.fit);
        count(&r, tallies);
        record_drop(&r);
    }
    for (int p = 0; p < OW_FIT_PARTS; p++) {
        all.told += tallies[p].told;
        all.within += tallies[p].within;
        print_message("part %d: told %d times, within %d\n", p, tallies[p].told, tallies[p].within);
    }
    print_message("refused %d of %d\n", refused, RECORDS);
    assert_in_range(refused, 0, RECORDS / 5);
    if (RECORDS < 100) {
        assert_in_range(all.within, all.told / 2, all.told); /* too few to say more */
        return;
    }
    check_between("all within", all.within / (double)all.told, 0.85, 0.95);
    for (int p = 0; p < OW_FIT_PARTS; p++) {
        assert_true(tallies[p].told >= 30);
        check_between("of a part within", tallies[p].within / (double)tallies[p].told, 0.8, 1.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_truth_lies_within_nine_times_in_ten),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
