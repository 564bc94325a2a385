/* SPDX-License-Identifier: MIT */
/*
 * What forecasts said, held against what came: every third hour of each forecast is noted at
 * several leads, and when that hour has been measured the habit (bias) and the spread of the
 * error are learned from it.
 */
#ifndef OVERWINTER_GARDEN_HINDSIGHT_H
#define OVERWINTER_GARDEN_HINDSIGHT_H

#include "garden/bias.h"
#include "garden/forcing.h"
#include "garden/forecast_error.h"

enum { OW_MARK_S = 3 * OW_HOUR_S, OW_MARKS = 17 * 8 + 1 };

/* One hour foretold. utc_s 0: none. */
typedef struct ow_foretold {
    ow_utc_s utc_s;
    double lead_h, air_c, cloud_pct, air_sd_k;
} ow_foretold;

typedef struct ow_hindsight {
    ow_bias bias;            /* measured less forecast, of the open site */
    ow_forecast_skill skill; /* of what is left */
    ow_foretold mark[OW_LEAD_CLASSES][OW_MARKS];
    ow_utc_s checked_s;      /* marks up to here are done with */
} ow_hindsight;

void ow_hindsight_init(ow_hindsight *hindsight);

/* Notes what a forecast (rows in rising time) says, at now_s. In each class of lead the one that
 * was nearest to the class's middle is kept. */
void ow_hindsight_note(ow_hindsight *hindsight, const ow_weather_at *rows, size_t n,
                       ow_utc_s now_s);

/*
 * Learns from the marks that have been measured by now_s. `doubtful`: readings contradict each
 * other, and those hours teach nothing. Returns how many hours taught something.
 */
int ow_hindsight_learn(ow_hindsight *hindsight, const ow_site *site, const ow_forcing *measured,
                       ow_utc_s now_s, bool doubtful);

/* Takes the habit off the rows of a forecast. */
void ow_hindsight_apply(const ow_hindsight *hindsight, const ow_site *site, ow_weather_at *rows,
                        size_t n);

void ow_hindsight_pack(ow_hindsight *hindsight, ow_pack *pack);

#endif
