/* SPDX-License-Identifier: MIT */
#include "garden/night_minimum.h"

#include <math.h>

#include "garden/bias.h"
#include "physics/humidity.h"
#include "physics/sky.h"

/*
 * The law before own nights are known, fitted on 97 clear nights with less than 12 C at the start:
 * Hamburg (DWD station 01975, 2018/19) 0.71, 0.25, -3.9 and Newton 8 W (NOAA climate reference
 * network, 2021) 0.75, 0.20, -4.4, which leave 1.5 and 1.9 K. How far a garden's own law may be
 * from it is our judgement.
 */
static const double DEFAULT[] = {0.73, 0.22, -4.1}, MAY_DIFFER[] = {0.2, 0.15, 2.5};
static const double LEAST[] = {0.2, -0.3, -12.0}, MOST[] = {1.2, 0.7, 0.0};
static const double LEAVES_K = 1.7, MOST_FALL_K = 15.0;
enum { TERMS = 3 };

/* A clear, calm night: known cloud and wind below these; where the sky was not seen, one that was
 * coldest in its last third and fell by so much (our judgement). Tonight is taken for clear until
 * it is known to be otherwise. */
static const double CLEAR_PCT = 30.0, CALM_MS = 4.0, CLOUDY_PCT = 50.0, WINDY_MS = 5.0;
static const double FALLS_K = 1.0;

static const ow_utc_s SCAN_S = 300, PAST_SUNSET_S = 2 * OW_HOUR_S, SHORTEST_S = OW_HOUR_S;
static const ow_utc_s HALF_WINDOW_S = OW_HOUR_S / 4, FADES_S = 6 * OW_HOUR_S;

/* ---- the night ------------------------------------------------------------------------------- */

static bool sun_is_up(const ow_site *site, ow_utc_s utc_s)
{
    return ow_sun_at(site, utc_s).altitude_rad > 0.0;
}

/* The last instant before, or the first after, at which the sun is up (or down); a day at most. */
static bool find(const ow_site *site, ow_utc_s from_s, ow_utc_s step_s, bool up, ow_utc_s *at_s)
{
    ow_utc_s from_grid_s = from_s - from_s % SCAN_S;
    for (ow_utc_s gone_s = 0; gone_s <= OW_DAY_S; gone_s += SCAN_S) {
        *at_s = step_s > 0 ? from_grid_s + gone_s : from_grid_s - gone_s;
        if (sun_is_up(site, *at_s) == up) {
            return true;
        }
    }
    return false;
}

bool ow_night_around(const ow_site *site, ow_utc_s utc_s, ow_utc_s *start_s, ow_utc_s *sunrise_s)
{
    ow_utc_s sunset_s;
    if (sun_is_up(site, utc_s) || !find(site, utc_s, -SCAN_S, true, &sunset_s) ||
        !find(site, utc_s, SCAN_S, true, sunrise_s)) {
        return false;
    }
    *start_s = sunset_s + PAST_SUNSET_S;
    return *sunrise_s - *start_s >= SHORTEST_S;
}

/* ---- own nights ------------------------------------------------------------------------------ */

/* Air about an instant, by rows no further apart than an hour; NAN: not measured. */
static double air_at(const ow_forcing *measured, ow_utc_s utc_s, double *rh_pct)
{
    ow_weather w;
    *rh_pct = NAN;
    if (measured->rows == 0 || measured->row[0].utc_s > utc_s ||
        measured->row[measured->rows - 1].utc_s < utc_s - HALF_WINDOW_S) {
        return NAN;
    }
    double gap_s = ow_forcing_mean(measured, utc_s - HALF_WINDOW_S, utc_s + HALF_WINDOW_S, &w);
    *rh_pct = w.rh_pct;
    return gap_s <= OW_HOUR_S ? w.air_c : NAN;
}

static double dew_c(double air_c, double rh_pct)
{
    double rh = isnan(rh_pct) ? OW_DEFAULT_RH_PCT : fmax(rh_pct, 1.0);
    return ow_dew_point_c(ow_vapour_kpa(air_c, rh));
}

typedef struct fall {
    double lowest_c;
    ow_utc_s lowest_s;
} fall;

/* False: not measured throughout. */
static bool see_fall(const ow_forcing *measured, ow_utc_s start_s, ow_utc_s sunrise_s, fall *seen)
{
    *seen = (fall){.lowest_c = INFINITY};
    for (ow_utc_s t = start_s; t <= sunrise_s + OW_HOUR_S / 2; t += 2 * HALF_WINDOW_S) {
        double rh_pct, air_c = air_at(measured, t, &rh_pct);
        if (isnan(air_c)) {
            return false;
        }
        if (air_c < seen->lowest_c) {
            *seen = (fall){air_c, t};
        }
    }
    return true;
}

static bool was_clear(const ow_forcing *measured, ow_utc_s start_s, ow_utc_s sunrise_s,
                      const fall *seen, double start_c)
{
    ow_weather mean;
    (void)ow_forcing_mean(measured, start_s, sunrise_s, &mean);
    if (mean.wind_ms > CALM_MS) {
        return false;
    }
    if (!isnan(mean.cloud_pct)) {
        return mean.cloud_pct <= CLEAR_PCT;
    }
    return seen->lowest_s >= sunrise_s - (sunrise_s - start_s) / 3 &&
           start_c - seen->lowest_c >= FALLS_K;
}

void ow_nights_keep(ow_nights *nights, const ow_night *night)
{
    nights->night[nights->next] = *night;
    nights->next = (nights->next + 1) % OW_NIGHTS;
    nights->kept = nights->kept < OW_NIGHTS ? nights->kept + 1 : OW_NIGHTS;
}

void ow_nights_note(ow_nights *nights, const ow_site *site, const ow_forcing *measured,
                    ow_utc_s now_s)
{
    ow_utc_s down_s, start_s, sunrise_s;
    if (now_s - nights->noted_s < OW_DAY_S / 2 || !sun_is_up(site, now_s - OW_HOUR_S) ||
        !find(site, now_s, -SCAN_S, false, &down_s) ||
        !ow_night_around(site, down_s, &start_s, &sunrise_s) || sunrise_s <= nights->noted_s) {
        return;
    }
    fall seen;
    double rh_pct, start_c = air_at(measured, start_s, &rh_pct);
    nights->noted_s = sunrise_s;
    if (!isnan(start_c) && see_fall(measured, start_s, sunrise_s, &seen) &&
        was_clear(measured, start_s, sunrise_s, &seen, start_c)) {
        ow_night night = {start_c, dew_c(start_c, rh_pct), seen.lowest_c};
        ow_nights_keep(nights, &night);
    }
}

/* ---- the law --------------------------------------------------------------------------------- */

/* Solves a x = b by elimination; a is symmetric and positive definite: no pivoting is wanted. */
static void solve(double a[TERMS][TERMS], double b[TERMS])
{
    for (int i = 0; i < TERMS; i++) {
        for (int r = i + 1; r < TERMS; r++) {
            double share = a[r][i] / a[i][i];
            for (int c = i; c < TERMS; c++) {
                a[r][c] -= share * a[i][c];
            }
            b[r] -= share * b[i];
        }
    }
    for (int i = TERMS - 1; i >= 0; i--) {
        for (int c = i + 1; c < TERMS; c++) {
            b[i] -= a[i][c] * b[c];
        }
        b[i] /= a[i][i];
    }
}

ow_night_law ow_nights_law(const ow_nights *nights)
{
    double a[TERMS][TERMS] = {{0}}, change[TERMS] = {0};
    for (int i = 0; i < TERMS; i++) {
        a[i][i] = LEAVES_K * LEAVES_K / (MAY_DIFFER[i] * MAY_DIFFER[i]);
    }
    for (int k = 0; k < nights->kept; k++) {
        const ow_night *n = &nights->night[k];
        double term[TERMS] = {n->start_c, n->dew_c, 1.0};
        double left_k = n->lowest_c;
        for (int i = 0; i < TERMS; i++) {
            left_k -= DEFAULT[i] * term[i];
        }
        for (int i = 0; i < TERMS; i++) {
            for (int j = 0; j < TERMS; j++) {
                a[i][j] += term[i] * term[j];
            }
            change[i] += term[i] * left_k;
        }
    }
    solve(a, change);
    double fitted[TERMS];
    for (int i = 0; i < TERMS; i++) {
        fitted[i] = fmin(fmax(DEFAULT[i] + change[i], LEAST[i]), MOST[i]);
    }
    return (ow_night_law){fitted[0], fitted[1], fitted[2]};
}

double ow_night_lowest_c(const ow_night_law *law, double start_c, double dew)
{
    double lowest_c = law->per_start * start_c + law->per_dew * dew + law->constant_c;
    return fmin(fmax(lowest_c, start_c - MOST_FALL_K), start_c);
}

/* ---- tonight --------------------------------------------------------------------------------- */

/* How much of the night's fall is done, 0..1. */
static double done(ow_utc_s at_s, ow_utc_s start_s, ow_utc_s sunrise_s)
{
    double share = (double)(at_s - start_s) / (double)(sunrise_s - start_s);
    return sqrt(fmin(fmax(share, 0.0), 1.0));
}

static bool is_other_than_clear(const ow_forcing *measured, ow_utc_s start_s, ow_utc_s now_s)
{
    ow_weather mean;
    (void)ow_forcing_mean(measured, start_s - OW_HOUR_S, now_s, &mean);
    return mean.cloud_pct > CLOUDY_PCT || mean.wind_ms > WINDY_MS; /* not so when NAN */
}

bool ow_nights_lay(const ow_nights *nights, const ow_site *site, const ow_forcing *measured,
                   ow_utc_s now_s, ow_weather_at *rows, size_t n)
{
    ow_utc_s start_s, sunrise_s;
    if (!ow_night_around(site, now_s, &start_s, &sunrise_s) || now_s < start_s) {
        return false;
    }
    double rh_pct, ignored, start_c = air_at(measured, start_s, &rh_pct);
    double now_c = air_at(measured, now_s, &ignored);
    if (isnan(start_c) || isnan(now_c) || is_other_than_clear(measured, start_s, now_s)) {
        return false;
    }
    ow_night_law law = ow_nights_law(nights);
    double fall_k = start_c - ow_night_lowest_c(&law, start_c, dew_c(start_c, rh_pct));
    double done_now = done(now_s, start_s, sunrise_s), by_k = 0.0;
    for (size_t i = 0; i < n && rows[i].utc_s < sunrise_s + FADES_S; i++) {
        double late_s = (double)(rows[i].utc_s - sunrise_s), left = 1.0 - late_s / (double)FADES_S;
        if (late_s <= 0.0 || i == 0) { /* from the air as it is, whatever the evening foretold */
            double fallen_k = fall_k * (done(rows[i].utc_s, start_s, sunrise_s) - done_now);
            by_k = now_c - fallen_k - rows[i].weather.air_c;
            left = 1.0;
        }
        ow_warm_air(&rows[i].weather, by_k * left);
    }
    return true;
}

/* ---- kept ------------------------------------------------------------------------------------ */

static bool is_sound(const ow_night *n)
{
    return fabs(n->start_c) <= 60.0 && n->dew_c >= -120.0 && n->dew_c <= 60.0 &&
           fabs(n->lowest_c) <= 60.0;
}

void ow_nights_pack(ow_nights *nights, ow_pack *pack)
{
    ow_nights read = *nights;
    ow_pack_int(pack, &read.kept, 0, OW_NIGHTS);
    ow_pack_int(pack, &read.next, 0, OW_NIGHTS - 1);
    ow_pack_time(pack, &read.noted_s);
    for (int i = 0; i < read.kept && pack->status == OW_OK; i++) {
        ow_night *n = &read.night[i];
        ow_pack_double(pack, &n->start_c);
        ow_pack_double(pack, &n->dew_c);
        ow_pack_double(pack, &n->lowest_c);
        if (pack->status == OW_OK && !is_sound(n)) {
            pack->status = OW_BAD_INPUT;
        }
    }
    if (pack->status == OW_OK) {
        *nights = read;
    }
}
