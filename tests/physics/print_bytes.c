/* SPDX-License-Identifier: MIT */
/* Runs 16 random pots for a week and prints every byte of what is in them and read off them;
 * test_clones.sh holds differently built solvers to the same print. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "random_pots.h"
#include "rig.h"

static void print_bytes(const void *from, size_t n)
{
    const unsigned char *byte = from;
    for (size_t i = 0; i < n; i++) {
        printf("%02x", byte[i]);
    }
    printf("\n");
}

int main(void)
{
    rig r;
    random_pot pot[OW_LANES];
    range met = {0, 0};
    rig_open(&r, 8, 8);
    for (int l = 0; l < OW_LANES; l++) {
        pot[l] = random_pot_of((uint64_t)(900 + l));
        random_put(&r, l, &pot[l]);
    }
    for (int s = 0; s < 336; s++) {
        for (int l = 0; l < OW_LANES; l++) {
            random_weather(&r, l, &pot[l], (s + 0.5) * 0.5, &met);
        }
        ow_block_step(&r.block, 1800, (uint64_t)s);
    }
    for (int c = 0; c < 64; c++) {
        print_bytes(r.block.h_j_m3[c], sizeof(ow_row));
    }
    print_bytes(r.block.heat_in_j, sizeof r.block.heat_in_j);
    ow_inside inside[OW_LANES];
    ow_block_insides(&r.block, INFINITY, inside);
    print_bytes(inside, sizeof inside);
    printf("%lu repeats\n", (unsigned long)r.block.repeats);
    rig_close(&r);
    return 0;
}
