/* SPDX-License-Identifier: MIT */
/* The part of recorded weather that is played, and what of it is known at each time. */
#ifndef OVERWINTER_HOSTS_SPELL_H
#define OVERWINTER_HOSTS_SPELL_H

#include "hosts/weather_file.h"

typedef struct ow_spell {
    const ow_weather_row *row; /* all rows of the file */
    size_t count;
    size_t first, end; /* rows that are played: first .. end - 1 */
    size_t fed;        /* rows before this one have been given as measured */
} ow_spell;

/*
 * The rows within [from_s, until_s], from the first on that has an air temperature. OW_BAD_INPUT,
 * told with the file's name, when there is none. The rows stay those of `weather`.
 */
OW_CHECK ow_status ow_spell_choose(const ow_weather_file *weather, const char *name, int64_t from_s,
                                   int64_t until_s, ow_report *report, ow_spell *spell);

int64_t ow_spell_start_s(const ow_spell *spell);
/* Mean of the air over the first day: what everything starts at, so that a spell that begins at
 * dawn does not begin with frozen pots. */
double ow_spell_start_air_c(const ow_spell *spell);
int64_t ow_spell_end_s(const ow_spell *spell);

/*
 * The measured rows to give so that the engine can go on to an instant: up to the first one that
 * is not before it, since values between rows are interpolated. Returns how many; may be 0.
 */
size_t ow_spell_feed(ow_spell *spell, int64_t until_s, const ow_weather_row **rows);

/* The rows of the file in (now_s, now_s + ahead_s]. Returns how many. */
size_t ow_spell_ahead(const ow_spell *spell, int64_t now_s, int64_t ahead_s,
                      const ow_weather_row **rows);

#endif
