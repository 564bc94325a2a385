/* SPDX-License-Identifier: MIT */
#include "physics/tray.h"

#include <math.h>

#include "physics/constants.h"

/* Heat capacity of ice counted by the volume of the water it was. */
#define ICE_J_M3K (OW_ICE_J_M3K * OW_ICE_GROWTH)

ow_tray ow_tray_at(double depth_m, double t_c)
{
    double j_m2 = t_c >= 0.0 ? depth_m * OW_WATER_J_M3K * t_c
                             : depth_m * (ICE_J_M3K * t_c - OW_LATENT_J_M3);
    return (ow_tray){.depth_m = depth_m, .j_m2 = j_m2};
}

double ow_tray_c(const ow_tray *tray)
{
    double latent = tray->depth_m * OW_LATENT_J_M3;
    if (tray->j_m2 > 0.0)
        return tray->j_m2 / (tray->depth_m * OW_WATER_J_M3K);
    if (tray->j_m2 < -latent)
        return (tray->j_m2 + latent) / (tray->depth_m * ICE_J_M3K);
    return 0.0;
}

double ow_tray_ice_share(const ow_tray *tray)
{
    return fmin(1.0, fmax(0.0, -tray->j_m2 / (tray->depth_m * OW_LATENT_J_M3)));
}

/* Still water below, ice above it or the other way round: shares of half the depth in series. */
double ow_tray_r_m2k_w(const ow_tray *tray)
{
    double ice = ow_tray_ice_share(tray);
    return 0.5 * tray->depth_m * (ice / OW_ICE_W_MK + (1.0 - ice) / OW_WATER_W_MK);
}

double ow_tray_step(ow_tray *tray, double pot_c, double pot_w_m2k, double ground_c,
                    double ground_w_m2k, double dt_s)
{
    double sum_w_m2k = pot_w_m2k + ground_w_m2k;
    double latent = tray->depth_m * OW_LATENT_J_M3;
    /* Heat it would hold were it at 0 C all through the step tells the phase it ends in. */
    double at_zero = tray->j_m2 + dt_s * (pot_w_m2k * pot_c + ground_w_m2k * ground_c);
    double end_c = 0.0;
    if (at_zero > 0.0)
        end_c = at_zero / (tray->depth_m * OW_WATER_J_M3K + dt_s * sum_w_m2k);
    else if (at_zero < -latent)
        end_c = (at_zero + latent) / (tray->depth_m * ICE_J_M3K + dt_s * sum_w_m2k);
    tray->j_m2 = at_zero - dt_s * sum_w_m2k * end_c;
    return pot_w_m2k * (end_c - pot_c);
}
