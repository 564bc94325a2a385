/* SPDX-License-Identifier: MIT */
/* How far one spelling is from another, for what a message offers in place of an unknown word. */
#ifndef OVERWINTER_PLANTS_SPELLING_H
#define OVERWINTER_PLANTS_SPELLING_H

#include <stddef.h>

/*
 * Letters to add, leave out, change or swap with a neighbour to turn one text into the other
 * (optimal string alignment). Of longer texts the first 64 bytes count: a message wants the
 * likeliest slip, no more.
 */
int ow_edit_distance(const char *left, const char *right);

/* The same of the first bytes of two texts, as many as told. */
int ow_edit_distance_of(const char *left, size_t left_size, const char *right, size_t right_size);

#endif
