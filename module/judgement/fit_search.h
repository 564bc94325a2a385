/* SPDX-License-Identifier: MIT */
/* The search for the most likely unknowns, and how far they may be from the truth. For fit.c. */
#ifndef OVERWINTER_JUDGEMENT_FIT_SEARCH_H
#define OVERWINTER_JUDGEMENT_FIT_SEARCH_H

#include "judgement/fit_model.h"

/* Both sides, Student's t of 20: hours that remember count for less. */
#define OW_FIT_NINE_IN_TEN 1.725

/* Puts work->at where the best of a wide spread of starts is. */
OW_CHECK ow_status ow_fit_look_round(ow_fit_work *work);

/* From work->at to rest; model, slopes and noise are those of where it rests. */
OW_CHECK ow_status ow_fit_seek(ow_fit_work *work);

/*
 * The cost is no smooth bowl: fronts pass from cell to cell, ice goes by leaps. So each part is
 * moved to both ends of its interval, the others going along as the covariance says; where the cost
 * rises by less than it should the interval is too short by the root of that (stretch, 1..3).
 * *better: lower ground was found on the way, and work->at is there; seek on.
 */
OW_CHECK ow_status ow_fit_walk_out(ow_fit_work *work, const ow_normal *normal,
                                   double stretch[OW_FIT_PARTS], bool *better);

double ow_fit_correlation(double covariance[OW_SOUGHT][OW_SOUGHT], int i, int k);

/*
 * Which estimated part must be left to the tables, with its fate in *fit: the later one of a pair
 * that is correlated beyond OW_FIT_TANGLE, else the last one that the record hardly narrows.
 * -1: none.
 */
int ow_fit_to_leave(const ow_sought unknown[OW_SOUGHT], double covariance[OW_SOUGHT][OW_SOUGHT],
                    ow_fit *fit);

#endif
