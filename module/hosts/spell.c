/* SPDX-License-Identifier: MIT */
#include "hosts/spell.h"

#include <math.h>

#include "physics/calendar.h"

/* Index of the first row later than an instant. */
static size_t after(const ow_weather_row *row, size_t count, int64_t utc_s)
{
    size_t low = 0;
    while (low < count) {
        size_t middle = low + (count - low) / 2;
        if (row[middle].utc_s > utc_s) {
            count = middle;
        } else {
            low = middle + 1;
        }
    }
    return low;
}

ow_status ow_spell_choose(const ow_weather_file *weather, const char *name, int64_t from_s,
                          int64_t until_s, ow_report *report, ow_spell *spell)
{
    size_t first = from_s == INT64_MIN ? 0 : after(weather->row, weather->count, from_s - 1);
    size_t end = after(weather->row, weather->count, until_s);
    while (first < end && isnan(weather->row[first].air_c)) {
        first++; /* a start needs a temperature */
    }
    if (first >= end) {
        char begin[OW_TIME_TEXT], last[OW_TIME_TEXT];
        ow_error(report,
                 "%s: no row with an air_c lies between --from and --until; the file goes from %s "
                 "to %s",
                 name, ow_time_format(weather->row[0].utc_s, begin),
                 ow_time_format(weather->row[weather->count - 1].utc_s, last));
        return OW_BAD_INPUT;
    }
    *spell = (ow_spell){weather->row, weather->count, first, end, first};
    return OW_OK;
}

int64_t ow_spell_start_s(const ow_spell *spell)
{
    return spell->row[spell->first].utc_s;
}

double ow_spell_start_air_c(const ow_spell *spell)
{
    size_t day = after(spell->row, spell->end, ow_spell_start_s(spell) + OW_DAY_S), n = 0;
    double sum = 0.0;
    for (size_t i = spell->first; i < day; i++) {
        if (!isnan(spell->row[i].air_c)) {
            sum += spell->row[i].air_c;
            n++;
        }
    }
    return sum / (double)n; /* the first row has a temperature, so n is not 0 */
}

int64_t ow_spell_end_s(const ow_spell *spell)
{
    return spell->row[spell->end - 1].utc_s;
}

size_t ow_spell_feed(ow_spell *spell, int64_t until_s, const ow_weather_row **rows)
{
    size_t from = spell->fed;
    size_t to = after(spell->row, spell->end, until_s - 1) + 1;
    to = to > spell->end ? spell->end : to;
    spell->fed = to > from ? to : from;
    *rows = spell->row + from;
    return spell->fed - from;
}

size_t ow_spell_ahead(const ow_spell *spell, int64_t now_s, int64_t ahead_s,
                      const ow_weather_row **rows)
{
    size_t from = after(spell->row, spell->count, now_s);
    size_t to = after(spell->row, spell->count, now_s + ahead_s);
    *rows = spell->row + from;
    return to - from;
}
