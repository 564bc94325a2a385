/* SPDX-License-Identifier: MIT */
/* Runs 16 random pots for a week and prints every byte of what is in them and read off them, then
 * of the films of random faces and of the temperatures of random leaves; test_clones.sh holds
 * differently built ones to the same print. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "random_faces.h"
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

static void print_films(void)
{
    uint64_t seed = 3;
    ow_faces faces;
    faces.flat = faces.round = 0;
    for (int i = 0; i < 2 * OW_FACES_ALIKE; i++) {
        ow_face face = random_face(&seed, kind_in_turn(i));
        ow_sky sky = random_sky(&seed);
        (void)ow_faces_put(&faces, &face, &sky);
    }
    ow_faces_work_out(&faces);
    print_bytes(faces.te_c, sizeof faces.te_c);
    print_bytes(faces.h_w_m2k, sizeof faces.h_w_m2k);
}

static void print_leaves(void)
{
    uint64_t seed = 4;
    ow_plates plates;
    plates.n = 0;
    for (int i = 0; i < OW_PLATES_ABREAST; i++) {
        ow_plate plate = random_plate(&seed);
        (void)ow_plates_put(&plates, &plate);
    }
    ow_plates_settle(&plates);
    print_bytes(plates.plate_c, sizeof plates.plate_c);
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
    print_films();
    print_leaves();
    return 0;
}
