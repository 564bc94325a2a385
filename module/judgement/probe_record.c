/* SPDX-License-Identifier: MIT */
#include "judgement/probe_record.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "garden/units.h"

/* ---- laying out ------------------------------------------------------------------------------ */

static ow_utc_s hour_from(ow_utc_s utc_s)
{
    ow_utc_s past_s = ((utc_s % OW_HOUR_S) + OW_HOUR_S) % OW_HOUR_S;
    return past_s == 0 ? utc_s : utc_s + OW_HOUR_S - past_s;
}

static bool common_time(const ow_probe_at *probe, size_t n, const ow_forcing *weather,
                        ow_record_hours *hours, char why[OW_RECORD_WORDS])
{
    char a[OW_TIME_TEXT], b[OW_TIME_TEXT], c[OW_TIME_TEXT], d[OW_TIME_TEXT];
    ow_utc_s first_s = weather->row[0].utc_s, last_s = weather->row[weather->rows - 1].utc_s;
    ow_utc_s from_s = hour_from(probe[0].utc_s > first_s ? probe[0].utc_s : first_s);
    ow_utc_s to_s = probe[n - 1].utc_s < last_s ? probe[n - 1].utc_s : last_s;
    if (to_s < from_s) {
        snprintf(why, OW_RECORD_WORDS,
                 "the probe's record goes from %s to %s and the weather from %s to %s: they have "
                 "no time in common",
                 ow_time_format(probe[0].utc_s, a), ow_time_format(probe[n - 1].utc_s, b),
                 ow_time_format(first_s, c), ow_time_format(last_s, d));
        return false;
    }
    hours->from_s = from_s;
    hours->n = (size_t)((to_s - from_s) / OW_HOUR_S) + 1;
    return true;
}

/* Between a reading and the one before it. */
static bool is_gap(const ow_probe_at *probe, size_t i)
{
    return probe[i].utc_s - probe[i - 1].utc_s > OW_RECORD_GAP_S;
}

/* The longest part of the record without a gap, for the advice. */
static void longest_part(const ow_probe_at *probe, size_t n, size_t *from, size_t *to)
{
    size_t begin = 0;
    *from = *to = 0;
    for (size_t i = 1; i <= n; i++) {
        if (i == n || is_gap(probe, i)) {
            if (probe[i - 1].utc_s - probe[begin].utc_s > probe[*to].utc_s - probe[*from].utc_s) {
                *from = begin;
                *to = i - 1;
            }
            begin = i;
        }
    }
}

static bool probe_has_gap(const ow_probe_at *probe, size_t n, char why[OW_RECORD_WORDS])
{
    int gaps = 0;
    size_t first = 1, from, to;
    char at[OW_TIME_TEXT], begin[OW_TIME_TEXT], end[OW_TIME_TEXT];
    for (size_t i = 1; i < n; i++) {
        gaps += is_gap(probe, i);
    }
    if (gaps == 0) {
        return false;
    }
    while (!is_gap(probe, first)) {
        first++;
    }
    longest_part(probe, n, &from, &to);
    snprintf(why, OW_RECORD_WORDS,
             "the probe's record has %d gap%s of more than %d hours, the first of %.0f hours after "
             "%s; the longest part without one is --from %s --until %s",
             gaps, gaps == 1 ? "" : "s", OW_RECORD_GAP_S / OW_HOUR_S,
             (double)(probe[first].utc_s - probe[first - 1].utc_s) / OW_HOUR_S,
             ow_time_format(probe[first - 1].utc_s, at), ow_time_format(probe[from].utc_s, begin),
             ow_time_format(probe[to].utc_s, end));
    return true;
}

static ow_utc_s at_hour(const ow_record_hours *hours, size_t k)
{
    return hours->from_s + (ow_utc_s)k * OW_HOUR_S;
}

/* The reading at a time that the record holds, straight between two; *next goes on from hour to
 * hour. */
static double probe_at(const ow_probe_at *probe, size_t *next, ow_utc_s utc_s)
{
    while (probe[*next].utc_s < utc_s) {
        (*next)++;
    }
    const ow_probe_at *after = &probe[*next], *before = after - 1;
    if (after->utc_s == utc_s) {
        return after->c;
    }
    double share = (double)(utc_s - before->utc_s) / (double)(after->utc_s - before->utc_s);
    return before->c + share * (after->c - before->c);
}

/* Tells where the air was not measured, and fills no further. */
static void fill(const ow_probe_at *probe, const ow_forcing *weather, ow_record_hours *hours,
                 char why[OW_RECORD_WORDS])
{
    size_t next = 0;
    char at[OW_TIME_TEXT];
    for (size_t k = 0; k < hours->n; k++) {
        ow_weather mean;
        ow_utc_s t = at_hour(hours, k);
        double gap_s = ow_forcing_mean(weather, t - OW_HOUR_S / 2, t + OW_HOUR_S / 2, &mean);
        hours->air_c[k] = mean.air_c;
        hours->probe_c[k] = probe_at(probe, &next, t);
        if (!(gap_s <= OW_BRIDGE_S)) {
            snprintf(why, OW_RECORD_WORDS,
                     "the weather has a gap of %.0f hours in its air_c at %s; take a part without "
                     "one by --from and --until",
                     gap_s / OW_HOUR_S, ow_time_format(t, at));
            return;
        }
    }
}

static double least(const double *x, size_t n)
{
    double low = x[0];
    for (size_t i = 1; i < n; i++) {
        low = fmin(low, x[i]);
    }
    return low;
}

static void judge_length(const ow_record_hours *hours, char why[OW_RECORD_WORDS])
{
    int h = (int)hours->n - 1;
    if (h < OW_RECORD_LEAST_H) {
        snprintf(why, OW_RECORD_WORDS,
                 "too short: probe and weather have %d hours in common; it takes %d, three nights "
                 "with the days between",
                 h, OW_RECORD_LEAST_H);
    } else if (h > OW_RECORD_MOST_H) {
        snprintf(why, OW_RECORD_WORDS,
                 "too long: probe and weather have %d days in common and a pot changes in that "
                 "time; take at most %d by --from and --until",
                 h / 24, OW_RECORD_MOST_H / 24);
    }
}

ow_status ow_record_lay_out(const ow_probe_at *probe, size_t n, const ow_forcing *weather,
                            ow_record_hours *hours, char why[OW_RECORD_WORDS])
{
    *hours = (ow_record_hours){.n = 0};
    if (n == 0 || weather->rows == 0) {
        snprintf(why, OW_RECORD_WORDS, "there is no %s", n == 0 ? "probe reading" : "weather");
        return OW_OK;
    }
    if (!common_time(probe, n, weather, hours, why) || probe_has_gap(probe, n, why)) {
        return OW_OK;
    }
    judge_length(hours, why);
    if (why[0] != '\0') {
        return OW_OK;
    }
    hours->probe_c = calloc(hours->n, sizeof *hours->probe_c);
    hours->air_c = calloc(hours->n, sizeof *hours->air_c);
    if (hours->probe_c == NULL || hours->air_c == NULL) {
        return OW_NO_MEMORY;
    }
    fill(probe, weather, hours, why);
    return OW_OK;
}

void ow_record_free(ow_record_hours *hours)
{
    free(hours->probe_c);
    free(hours->air_c);
    *hours = (ow_record_hours){.n = 0};
}

/* ---- what is no root ball -------------------------------------------------------------------- */

enum { WINDOW_H = 24, CHANGE_H = 2, MOST_LAG_H = 8, LEADS_H = 2 };

/* Numbers below are common practice, no source: wide of any pot that was tried (90 to 600 mm). */
static const double APART_K = 8.0, UNIT_K = 4.0;
static const double FOLLOWS_R = 0.9, FOLLOWS_SHARE = 0.7, NEAR_AIR_K = 3.0, CALM_K = 0.4;
static const double LEADS_R = 0.5;
static const double STUCK_AIR_K = 5.0, STUCK_K = 0.01, ICE_K = 0.6;

static double mean(const double *x, size_t n)
{
    double sum = 0.0;
    for (size_t i = 0; i < n; i++) {
        sum += x[i];
    }
    return sum / (double)n;
}

static double span(const double *x, size_t n)
{
    double high = x[0];
    for (size_t i = 1; i < n; i++) {
        high = fmax(high, x[i]);
    }
    return high - least(x, n);
}

static double celsius(double fahrenheit)
{
    return ow_unit_convert(fahrenheit, OW_UNIT_F, OW_UNIT_C);
}

static bool other_unit(const ow_record_hours *h, double model_mean_c, char why[OW_RECORD_WORDS])
{
    double probe = mean(h->probe_c, h->n), air = mean(h->air_c, h->n);
    if (fabs(probe - model_mean_c) <= APART_K) {
        return false;
    }
    if (fabs(celsius(probe) - air) < UNIT_K + 0.5 * fabs(air - model_mean_c)) {
        snprintf(why, OW_RECORD_WORDS,
                 "the probe reads %.1f on the mean in air of %.1f C: is it in degrees Fahrenheit? "
                 "name its column probe_f",
                 probe, air);
        return true;
    }
    if (fabs(probe - celsius(air)) < UNIT_K) {
        snprintf(why, OW_RECORD_WORDS,
                 "air_c is %.1f on the mean beside a probe at %.1f C: is the weather in degrees "
                 "Fahrenheit? write degrees Celsius, (F - 32) / 1.8",
                 air, probe);
        return true;
    }
    snprintf(why, OW_RECORD_WORDS,
             "the probe reads %.1f C on the mean where the model has %.1f C: see that probe and "
             "weather are of one garden and one winter, and the place that of the record",
             probe, model_mean_c);
    return true;
}

/* How changes of y follow those of x some hours before, over [from, to). NAN, which is above and
 * below nothing, where there are no changes. */
typedef struct follow {
    double r, share, x_sd;
} follow;

static follow follows(const double *y, const double *x, size_t from, size_t to, int lag)
{
    double xx = 0.0, yy = 0.0, xy = 0.0;
    long n = 0, first = (long)from, last = (long)to;
    for (long k = first + CHANGE_H; k < last; k++) {
        if (k - lag - CHANGE_H < first || k - lag >= last) {
            continue;
        }
        double dy = y[k] - y[k - CHANGE_H], dx = x[k - lag] - x[k - lag - CHANGE_H];
        xx += dx * dx;
        yy += dy * dy;
        xy += dx * dy;
        n++;
    }
    return (follow){.r = xy / sqrt(xx * yy), .share = xy / xx, .x_sd = sqrt(xx / (double)n)};
}

/* A time in which the probe does what the air does, though the model does not. */
static bool is_in_air(const ow_record_hours *h, const double *model_c, size_t from, size_t to)
{
    follow probe = follows(h->probe_c, h->air_c, from, to, 0);
    follow model = follows(model_c, h->air_c, from, to, 0);
    double apart_k = mean(h->probe_c + from, to - from) - mean(h->air_c + from, to - from);
    return probe.x_sd > CALM_K && probe.r > FOLLOWS_R && probe.share > FOLLOWS_SHARE &&
           probe.share > 1.3 * model.share && fabs(apart_k) < NEAR_AIR_K;
}

static bool in_the_air(const ow_record_hours *h, const double *model_c, char why[OW_RECORD_WORDS])
{
    char at[OW_TIME_TEXT];
    if (is_in_air(h, model_c, 0, h->n)) {
        snprintf(why, OW_RECORD_WORDS,
                 "the probe does what the air does, hour by hour: it is in the air; push it into "
                 "the middle of the root ball");
        return true;
    }
    for (size_t k = 0; k + WINDOW_H <= h->n; k += WINDOW_H / 4) {
        if (is_in_air(h, model_c, k, k + WINDOW_H)) {
            snprintf(why, OW_RECORD_WORDS,
                     "from about %s the probe does what the air does: did it fall out? take the "
                     "part before by --until",
                     ow_time_format(at_hour(h, k), at));
            return true;
        }
    }
    return false;
}

/* The air follows the probe: what should lag leads. */
static bool swapped(const ow_record_hours *h, char why[OW_RECORD_WORDS])
{
    int best = 0;
    double most = 0.0;
    for (int lag = -MOST_LAG_H; lag <= MOST_LAG_H; lag++) {
        follow f = follows(h->probe_c, h->air_c, 0, h->n, lag);
        best = f.r > most ? lag : best;
        most = fmax(most, f.r);
    }
    if (best > -LEADS_H || most < LEADS_R) {
        return false;
    }
    snprintf(why, OW_RECORD_WORDS,
             "the air follows the probe %d hours later: are the two files, or their columns, "
             "swapped?",
             -best);
    return true;
}

/* The same to the last digit for half a day of changing air; ice may well hold it at 0 C. */
static bool stuck(const ow_record_hours *h, char why[OW_RECORD_WORDS])
{
    char at[OW_TIME_TEXT];
    for (size_t k = 0; k + WINDOW_H / 2 <= h->n; k++) {
        size_t n = WINDOW_H / 2;
        if (fabs(h->probe_c[k]) > ICE_K && span(h->probe_c + k, n) < STUCK_K &&
            span(h->air_c + k, n) > STUCK_AIR_K) {
            snprintf(why, OW_RECORD_WORDS,
                     "from %s the probe reads %.2f C without a change for 12 hours: it is stuck; "
                     "take a part without that by --from and --until",
                     ow_time_format(at_hour(h, k), at), h->probe_c[k]);
            return true;
        }
    }
    return false;
}

static bool too_warm(const ow_record_hours *h, char why[OW_RECORD_WORDS])
{
    double low_c = least(h->air_c, h->n);
    if (low_c < OW_RECORD_COLD_C) {
        return false;
    }
    snprintf(why, OW_RECORD_WORDS,
             "too warm: the air did not fall below %.1f C; in such weather sun and drying count "
             "for more than the pot does; take nights that fall below %.0f C",
             low_c, OW_RECORD_COLD_C);
    return true;
}

bool ow_record_is_odd(const ow_record_hours *h, const double *model_c, char why[OW_RECORD_WORDS])
{
    return other_unit(h, mean(model_c, h->n), why) || too_warm(h, why) || stuck(h, why) ||
           swapped(h, why) || in_the_air(h, model_c, why);
}
