/* SPDX-License-Identifier: MIT */
/*
 * A probe in a root ball or trunk pulls the model, a little at a time. The numbers are common
 * practice, no source: a usual probe is good to half a kelvin.
 */
#ifndef OVERWINTER_GARDEN_PROBE_H
#define OVERWINTER_GARDEN_PROBE_H

#include "physics/calendar.h"
#include "physics/law.h"

#define OW_PROBE_TRUSTED_K 0.5 /* a probe is right to so much: within it nothing is pulled */
#define OW_PROBE_SLOWNESS_S (2 * OW_HOUR_S) /* the rest goes with this time constant */
#define OW_PROBE_MOST_K_H 1.0               /* at most, in kelvins of sensible heat an hour */

/*
 * How far the model is pulled towards a probe in one step, K; model_c is the model's temperature
 * where the probe sits. Zero when either is NAN or they agree within OW_PROBE_TRUSTED_K.
 */
double ow_probe_pull_k(double model_c, double measured_c, double step_s);

/*
 * The same as heat, J per m3, to be added to every cell of the body. A kelvin is taken as the
 * medium's sensible heat on the model's side of freezing, so that a probe melts or freezes no more
 * than a plain kelvin's worth of heat does: a pull never leaps over the plateau. A probe that
 * stands near freezing cannot tell how much is ice, and says nothing while the model is there too.
 */
double ow_probe_heat_j_m3(const ow_law *law, double model_c, double measured_c, double step_s);

#endif
