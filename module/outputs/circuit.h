/* SPDX-License-Identifier: MIT */
/*
 * Who of several heaters on one circuit may draw, so that together they never pass its watts.
 * What draws keeps its share; what is left goes to those who ask, the greatest need first and
 * among equals the first in the list. Nothing that draws is put off for a greater need.
 */
#ifndef OVERWINTER_OUTPUTS_CIRCUIT_H
#define OVERWINTER_OUTPUTS_CIRCUIT_H

#include <stdbool.h>
#include <stdint.h>

/* Most heaters on one circuit; those beyond are not granted. */
#define OW_CIRCUIT_MEMBERS 64

typedef struct ow_circuit_member {
    uint32_t watts;
    bool draws;        /* is on, or may be: off was not yet confirmed */
    bool asks;         /* would switch on if it were granted */
    uint32_t need_mk;  /* how far its air is below what it should be; 0 when only rehearsed */
    bool granted;      /* the answer */
} ow_circuit_member;

/* Fills `granted` of each of `count` members. 0 watts: the circuit is not known, none is granted. */
void ow_circuit_share(uint32_t max_watts, ow_circuit_member *members, int count);

#endif
