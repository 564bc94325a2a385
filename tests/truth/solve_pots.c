/* SPDX-License-Identifier: MIT */
/*
 * The bodies of pots.h on a fine grid. Writes C text for pots.inc:
 *
 *   solve_pots > tests/truth/pots.inc
 */
#include <math.h>
#include <stdio.h>

#include <sundials/sundials_config.h>

#include "truth/fine_pot.h"

static void print_number(double x)
{
    if (isnan(x)) {
        printf("NAN");
    } else {
        printf("%.3f", x);
    }
}

static void print_answer(const truth_answer *a)
{
    printf("{\"%s\", ", a->name);
    print_number(a->half_frozen_h);
    printf(", ");
    print_number(a->thaw_1_h);
    printf(", %.6f,\n {", a->grid_gap);
    for (int k = 0; k < TRUTH_HOURS; k++) {
        const truth_hour *x = &a->at[k];
        printf("%s{%.4e, %.4f, %.4f}", k == 0 ? "" : k % 3 == 0 ? ",\n  " : ", ",
               x->mean_h_j_m3, x->mean_c, x->axis_c);
    }
    printf("}},\n");
}

int main(void)
{
    static const fine_settings fine = {1.0, 1e-5, 1e-6, 8}, half = {0.5, 1e-5, 1e-6, 8};
    long steps;
    printf("/* SPDX-License-Identifier: MIT */\n"
           "/* Written by tests/truth/solve_pots.c (CVODE of SUNDIALS %s); see pots.h. */\n",
           SUNDIALS_VERSION);
    for (int i = 0; i < TRUTH_POTS; i++) {
        const truth_pot *p = &TRUTH_POT_OF[i];
        truth_answer a = fine_pot_solve(p, &fine, &steps);
        truth_answer coarse = fine_pot_solve(p, &half, &steps);
        for (int k = 0; k < TRUTH_HOURS; k++) {
            a.grid_gap += fabs(a.at[k].mean_h_j_m3 - coarse.at[k].mean_h_j_m3) /
                          p->medium.latent_j_m3 / TRUTH_HOURS;
        }
        print_answer(&a);
        fflush(stdout);
    }
    return 0;
}
