/* SPDX-License-Identifier: MIT */
/*
 * The bodies of pots.h by CVODE (SUNDIALS): enthalpy as the state, the freezing curve as the power
 * law itself, the surface solved to its root, variable order and step. Nothing of the project's
 * solver or law is used.
 */
#ifndef OVERWINTER_TESTS_TRUTH_FINE_POT_H
#define OVERWINTER_TESTS_TRUTH_FINE_POT_H

#include "truth/pots.h"

typedef struct fine_settings {
    double size;         /* 1: 24 x 24 cells for a pot */
    double relative;     /* tolerance of the enthalpy, relative */
    double of_latent;    /* and absolute, of the latent heat */
    int samples_an_hour; /* how often it is read off */
} fine_settings;

/* Ends the program when the integrator fails. steps: how many it took. */
truth_answer fine_pot_solve(const truth_pot *pot, const fine_settings *how, long *steps);

#endif
