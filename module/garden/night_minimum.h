/* SPDX-License-Identifier: MIT */
/*
 * How cold a clear night gets, from the air and its dew point two hours after sunset. Method of the
 * frost handbook of the FAO (Snyder & de Melo-Abreu 2005, Frost Protection: fundamentals, practice
 * and economics, vol. 1, chapter 5): the minimum is a linear function of the two, fitted on the
 * garden's own clear nights, and the air falls to it with the square root of time until sunrise.
 */
#ifndef OVERWINTER_GARDEN_NIGHT_MINIMUM_H
#define OVERWINTER_GARDEN_NIGHT_MINIMUM_H

#include "garden/forcing.h"
#include "garden/pack.h"

enum { OW_NIGHTS = 30 };

typedef struct ow_night {
    double start_c, dew_c; /* of the air, two hours after sunset */
    double lowest_c;       /* until sunrise */
} ow_night;

/* The last clear nights. */
typedef struct ow_nights {
    ow_night night[OW_NIGHTS];
    int kept, next;
    ow_utc_s noted_s; /* sunrise of the last night looked at, clear or not */
} ow_nights;

/* lowest = per_start x start + per_dew x dew + constant. */
typedef struct ow_night_law {
    double per_start, per_dew, constant_c;
} ow_night_law;

/* The night around utc_s: two hours past sunset, and sunrise. False: the sun is up, or the night
 * is shorter than three hours or longer than a day. */
bool ow_night_around(const ow_site *site, ow_utc_s utc_s, ow_utc_s *start_s, ow_utc_s *sunrise_s);

/* Keeps the night that ended last, once, when it was measured and clear; call it now and then. */
void ow_nights_note(ow_nights *nights, const ow_site *site, const ow_forcing *measured,
                    ow_utc_s now_s);

/* Keeps one night. */
void ow_nights_keep(ow_nights *nights, const ow_night *night);

/* Least squares over the nights kept, held to the default as far as they are few. */
ow_night_law ow_nights_law(const ow_nights *nights);

/* The minimum of a clear night, C; no higher than the start and at most 15 K below it. */
double ow_night_lowest_c(const ow_night_law *law, double start_c, double dew_c);

/*
 * Lays tonight's fall over hourly rows from now_s on that are the last day over again; after
 * sunrise what was changed fades over six hours. False (rows untouched): it is not night, two
 * hours after sunset have not passed, it is known to be cloudy or windy, or the air or the
 * evening's was not measured.
 */
bool ow_nights_lay(const ow_nights *nights, const ow_site *site, const ow_forcing *measured,
                   ow_utc_s now_s, ow_weather_at *rows, size_t n);

void ow_nights_pack(ow_nights *nights, ow_pack *pack);

#endif
