/* SPDX-License-Identifier: MIT */
/* Alerts that are no plant's and no output's; those have the id of their plant or output, which may
 * therefore be none of these. */
#ifndef OVERWINTER_GARDEN_ALERTS_H
#define OVERWINTER_GARDEN_ALERTS_H

#define OW_ALERT_READINGS "readings-part"  /* readings of the same thing part */
#define OW_ALERT_STUCK "reading-stuck"     /* one has stood still */
#define OW_ALERT_FORECAST "forecast-parts" /* the air is far from the forecast */
#define OW_ALERT_FILE "garden-file"        /* the broker cannot take the changed file */
#define OW_ALERT_UNMINDED "unminded"       /* the guard's: nobody minds the garden */

#define OW_ALERTS                                                                                  \
    OW_ALERT_READINGS, OW_ALERT_STUCK, OW_ALERT_FORECAST, OW_ALERT_FILE, OW_ALERT_UNMINDED

#endif
