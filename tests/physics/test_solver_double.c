/* SPDX-License-Identifier: MIT */
/* The same tests with the solver's cells in double. */
#include "test_solver.c"
