/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

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

static const winter winters[] = {{6.0, -1.0, 7.0, 3.0}, {5.0, -6.0, 6.0, 4.0}, {8.0, 3.0, 9.0, 2.0}};
enum { WINTERS = sizeof winters / sizeof winters[0] };

static const double spreads[OW_FIT_PARTS] = {OW_FIT_SIDE_SPREAD, OW_FIT_TOP_SPREAD,
                                             OW_FIT_WATER_SPREAD};

/* A truth as the tables leave it open, within the bounds of the garden file. */
static truth any_truth(const ow_garden *g, dice *d)
{
    truth t = {.probe_off_k = 0.3 * dice_normal(d), .noise_k = 0.1 + 0.15 * dice_share(d), .start_k = dice_normal(d)};
    for (int i = 0; i < OW_FIT_PARTS; i++) {
        t.log_of[i] = spreads[i] * dice_normal(d);
    }
    double most = log(0.85 / table_water(g));
    t.log_of[OW_FIT_WATER] = fmin(t.log_of[OW_FIT_WATER], most);
    t.depth_m = g->plants[0].pot.given ? g->plants[0].pot.depth_mm / 2000.0 : 0.1;
    return t;
}

typedef struct tally {
    int told, within;
    double narrowed;
} tally;

static int records(void)
{
#ifdef OW_NO_CLONES
    return 10; /* under the sanitizers */
#else
    return 200;
#endif
}

static void the_truth_lies_within_nine_times_in_ten(void **state)
{
    (void)state;
    static record r;
    tally tallies[OW_FIT_PARTS] = {{0}}, all = {0};
    int refused = 0;
    for (int i = 0; i < records(); i++) {
        dice d = {.state = 1000u + (uint64_t)i};
        for (int k = 0; k < 10; k++) {
            (void)dice_share(&d);
        }
        r.garden = garden_with(homes[i % HOMES]);
        r.truth = any_truth(r.garden, &d);
        record_make(&r, &winters[(i / HOMES) % WINTERS], 96 + 24 * (i % 3), &d);
        const ow_fit *fit = record_fit(&r);
        refused += fit->refused[0] != '\0';
        if (fit->refused[0]) print_message("%d %s\n", i, fit->refused);
        for (int p = 0; p < OW_FIT_PARTS && fit->refused[0] == '\0'; p++) {
            const ow_fit_part *part = &fit->part[p];
            double want = part->tables * exp(r.truth.log_of[p]);
            bool told = part->fate == OW_FIT_TOLD, within = want >= part->low && want <= part->high;
            tallies[p].told += told;
            tallies[p].within += told && within;
            tallies[p].narrowed += told ? log(part->high / part->low) / (3.29 * spreads[p]) : 0.0;
            all.told += told;
            all.within += told && within;
        }
        record_drop(&r);
    }
    for (int p = 0; p < OW_FIT_PARTS; p++) {
        print_message("part %d: told %d, within %.3f, narrowed to %.2f\n", p, tallies[p].told,
                      tallies[p].within / (double)tallies[p].told,
                      tallies[p].narrowed / tallies[p].told);
    }
    print_message("all: %d of %d, %.3f; refused %d\n", all.within, all.told,
                  all.within / (double)all.told, refused);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_truth_lies_within_nine_times_in_ten),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
