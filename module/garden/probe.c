/* SPDX-License-Identifier: MIT */
#include "garden/probe.h"

#include <math.h>

double ow_probe_pull_k(double model_c, double measured_c, double step_s)
{
    double apart_k = measured_c - model_c;
    double beyond_k = fabs(apart_k) - OW_PROBE_TRUSTED_K;
    if (!(beyond_k > 0.0) || !(step_s > 0.0)) {
        return 0.0;
    }
    double share = fmin(step_s / OW_PROBE_SLOWNESS_S, 1.0);
    double pull_k = fmin(share * beyond_k, OW_PROBE_MOST_K_H * step_s / OW_HOUR_S);
    return apart_k < 0.0 ? -pull_k : pull_k;
}

double ow_probe_heat_j_m3(const ow_law *law, double model_c, double measured_c, double step_s)
{
    double heat_j_m3k = model_c > law->t_c[0] ? law->warm_j_m3k : law->cold_j_m3k;
    return heat_j_m3k * ow_probe_pull_k(model_c, measured_c, step_s);
}
