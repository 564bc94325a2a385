/* SPDX-License-Identifier: MIT */
/*
 * Ten steps of cividis, a scale that is even to the eye and the same to one who is colour blind
 * (Nunez, Anderton & Renslow 2018, PLoS ONE 13(7):e0199239). The colours themselves stand in
 * tile.css as the classes t0 (deep blue) to t9 (yellow).
 */
#ifndef OVERWINTER_PEOPLE_PALETTE_H
#define OVERWINTER_PEOPLE_PALETTE_H

enum { OW_PALETTE_STEPS = 10 };

/* The ends of the scale of temperatures. */
enum { OW_PALETTE_COLD_C = -10, OW_PALETTE_WARM_C = 10 };

/* The step of a value between low and high, ends included beyond; -1 for NAN. */
int ow_palette_step(double value, double low, double high);

/* Temperatures: 2 K a step, from under -8 C to over 8 C. */
int ow_palette_of_c(double t_c);

/* Distance above a limit: 1 K a step, from under 1 K to over 9 K. */
int ow_palette_of_margin_k(double margin_k);

#endif
