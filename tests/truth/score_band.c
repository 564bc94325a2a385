/* SPDX-License-Identifier: MIT */
/*
 * How often a measured ground temperature lies within the band that the model claims:
 *
 *   score_band GARDEN.json WEATHER.csv MEASURED.csv FROM UNTIL PROBE_K {SOIL_COLUMN DEPTH_M}...
 *
 * Thirty-two columns of ground live through the measured weather. Each is one of the garden's beds
 * (several where the station's soil is not described), with a draw of what the tables leave open
 * and a lasting error of what was not, or not well, measured: the sky's long-wave, its clouds where
 * nobody saw them, the snow, the ground two metres down; and of the probe, within +-PROBE_K and
 * some millimetres of its depth. The band holds nine in ten of them.
 * Prints, a line a depth: hours, share within, the same of hours at or below 1 C, mean width (K),
 * RMSE of the middle one.
 */
#include "rows.h"

#include "garden/cast.h"
#include "garden/climate.h"
#include "garden/scene.h"
#include "judgement/draws.h"

enum { STEP_S = 1800, DEPTHS = 6, UNKNOWN_SKY = 100, UNKNOWN_SNOW, UNKNOWN_STICK, UNKNOWN_DEEP,
       UNKNOWN_START, UNKNOWN_PROBE, UNKNOWN_DEPTH = UNKNOWN_PROBE + DEPTHS };

/*
 * Long-wave: 5 W/m2 where measured (the usual claim for such instruments), 15 W/m2 where it
 * follows from cloud (see physics/sky.h). Cloud that nobody saw: a quarter of the sky. Depth of
 * snow between a stick and a plot: by half, and by 1 cm, since the stick is read to a whole one.
 * The season's normal, from which columns begin and on which they stand: within 3 K (see
 * garden/climate.h). Depth of a probe: within 1 cm (common practice, no source).
 */
static const double LONGWAVE_SD_WM2 = 5.0, SKY_SD_WM2 = 15.0, CLOUD_SD_PCT = 25.0;
static const double STICK_SD_CM = 0.6, DEEP_SD_K = 1.8, START_SD_K = 1.5, DEPTH_SD_M = 0.006;
static const ow_range SNOW_DEPTH = {0.6, 1.5};

/* A tenth of the normal distribution lies beyond so many deviations, half on either side. */
static const double TENTH = 1.645;

static double sky[OW_MEMBERS], snow[OW_MEMBERS], stick[OW_MEMBERS], deep[OW_MEMBERS];
static double begun[OW_MEMBERS];

static void say(void *self, const char *text)
{
    (void)self;
    fprintf(stderr, "%s\n", text);
}

static ow_garden *garden_of(const char *path)
{
    static char text[65536];
    FILE *f = fopen(path, "rb");
    size_t size = f != NULL ? fread(text, 1, sizeof text, f) : 0;
    ow_report report = {say, NULL, 0};
    ow_garden *garden = NULL;
    if (f == NULL || ow_garden_read(path, text, size, &report, &garden) != OW_OK) {
        stop("no garden", path);
    }
    fclose(f);
    return garden;
}

static ow_cast *columns(const ow_garden *g, ow_utc_s utc_s, double air_c)
{
    int plant[OW_MEMBERS];
    double start[OW_MEMBERS], normal[OW_MEMBERS][OW_UNKNOWNS];
    ow_cast *cast;
    for (int m = 0; m < OW_MEMBERS; m++) {
        plant[m] = m % g->plant_count;
        start[m] = air_c + START_SD_K * begun[m] - DEEP_SD_K * deep[m];
    }
    if (ow_cast_new(g, plant, OW_MEMBERS, start, utc_s, &cast) != OW_OK) {
        exit(1);
    }
    ow_draw_plant("ground", normal);
    for (int m = 1; m < OW_MEMBERS; m++) {
        ow_variant variant;
        if (ow_variant_of(&g->plants[plant[m]], normal[m], &variant) != OW_OK) {
            exit(1);
        }
        ow_cast_vary(cast, m, &variant);
        double off_k = DEEP_SD_K * deep[m];
        ow_cast_warm(cast, m, false, off_k * ow_cast_law(cast, m, false)->warm_j_m3k);
    }
    cast->apart = g->place_count;
    return cast;
}

/* The weather of a step as a member takes it. */
static ow_spot spot_of(const ow_scene *s, const ow_weather *mean, int m)
{
    ow_outdoors out = s->outdoors;
    ow_weather *w = &out.weather;
    ow_utc_s mid_s = s->now_s - STEP_S / 2;
    double guess = ow_scene_cloud_guess_pct(s);
    *w = *mean;
    w->longwave_wm2 += LONGWAVE_SD_WM2 * sky[m];
    if (mean->snow_cm > 0.0) {
        w->snow_cm = mean->snow_cm * ow_range_at(SNOW_DEPTH, snow[m]) + STICK_SD_CM * stick[m];
        w->snow_cm = fmax(w->snow_cm, 0.0);
    }
    guess = (isnan(guess) ? OW_DEFAULT_CLOUD_PCT : guess) + CLOUD_SD_PCT * sky[m];
    out.sky = ow_sky_of(w, &s->garden->site, mid_s, fmin(fmax(guess, 0.0), 100.0));
    if (isnan(mean->longwave_wm2)) {
        out.sky.longwave_wm2 += SKY_SD_WM2 * sky[m];
        out.sky.sky_c = ow_radiant_c(out.sky.longwave_wm2);
    }
    ow_spot spot;
    ow_scene_spot(s, 0, &out, NULL, NAN, mid_s, &spot);
    spot.ground_fixed = true; /* the column's foot */
    spot.ground_c = ow_normal_ground_c(&s->garden->site, s->now_s, 2.0) + DEEP_SD_K * deep[m];
    return spot;
}

/* ---- scores ---------------------------------------------------------------------------------- */

typedef struct score {
    series measured;
    double depth_m;
    double reads_k[OW_MEMBERS], lies_m[OW_MEMBERS]; /* the probe too warm, too deep */
    size_t at;
    int hours, within, cold, cold_within;
    double width_k, squares;
} score;

static int rising(const void *a, const void *b)
{
    const double *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

static double quantile(const double *sorted, double share)
{
    double at = share * (OW_MEMBERS - 1);
    int below = (int)at;
    return sorted[below] + (at - below) * (sorted[below + 1] - sorted[below]);
}

static void compare(score *k, const ow_cast *cast, ow_utc_s now_s)
{
    double c[OW_MEMBERS];
    while (k->at < k->measured.n && k->measured.utc_s[k->at] < now_s) {
        k->at++;
    }
    if (k->at == k->measured.n || k->measured.utc_s[k->at] != now_s ||
        isnan(k->measured.value[k->at])) {
        return;
    }
    for (int m = 0; m < OW_MEMBERS; m++) {
        c[m] = ow_cast_bed_c(cast, m, k->depth_m + k->lies_m[m]) + k->reads_k[m];
    }
    qsort(c, OW_MEMBERS, sizeof c[0], rising);
    double is = k->measured.value[k->at], low = quantile(c, 0.05), high = quantile(c, 0.95);
    double off = quantile(c, 0.5) - is;
    bool within = is >= low && is <= high;
    k->hours++;
    k->within += within;
    k->cold += is <= 1.0;
    k->cold_within += within && is <= 1.0;
    k->width_k += high - low;
    k->squares += off * off;
}

static score probe_of(const char *path, const char *column, double depth_m, double probe_k,
                      int which)
{
    score s = {.measured = read_column(path, column), .depth_m = depth_m};
    ow_draw_unknown((uint64_t)(UNKNOWN_PROBE + which), s.reads_k);
    ow_draw_unknown((uint64_t)(UNKNOWN_DEPTH + which), s.lies_m);
    for (int m = 0; m < OW_MEMBERS; m++) {
        s.reads_k[m] *= probe_k / TENTH;
        s.lies_m[m] *= DEPTH_SD_M;
    }
    return s;
}

static ow_utc_s utc_of(const char *text)
{
    ow_utc_s utc_s;
    if (ow_time_parse(text, &utc_s) != OW_OK) {
        stop("is not a time", text);
    }
    return utc_s;
}

int main(int argc, char **argv)
{
    score scores[DEPTHS] = {0};
    int depths = (argc - 7) / 2;
    if (argc < 9 || argc % 2 != 1 || depths > DEPTHS) {
        fprintf(stderr, "usage: score_band GARDEN.json WEATHER.csv MEASURED.csv FROM UNTIL PROBE_K "
                        "{SOIL_COLUMN DEPTH_M}\n");
        return 2;
    }
    ow_garden *g = garden_of(argv[1]);
    ow_forcing record = read_rows(argv[2]);
    for (int d = 0; d < depths; d++) {
        scores[d] = probe_of(argv[3], argv[7 + 2 * d], atof(argv[8 + 2 * d]), atof(argv[6]), d);
    }
    ow_utc_s from = utc_of(argv[4]), until = utc_of(argv[5]), start = record.row[0].utc_s;
    ow_draw_unknown(UNKNOWN_SKY, sky);
    ow_draw_unknown(UNKNOWN_SNOW, snow);
    ow_draw_unknown(UNKNOWN_STICK, stick);
    ow_draw_unknown(UNKNOWN_DEEP, deep);
    ow_draw_unknown(UNKNOWN_START, begun);
    ow_scene *s;
    ow_weather mean;
    (void)ow_forcing_mean(&record, start, start + OW_DAY_S, &mean);
    start += (OW_HOUR_S - start % OW_HOUR_S) % OW_HOUR_S;
    if (ow_scene_new(g, start, STEP_S, mean.air_c, &s) != OW_OK) {
        return 1;
    }
    ow_cast *cast = columns(g, start, mean.air_c);
    ow_utc_s end = record.row[record.rows - 1].utc_s < until ? record.row[record.rows - 1].utc_s
                                                            : until;
    while (s->now_s + STEP_S <= end) {
        ow_spot spots[OW_MEMBERS];
        (void)ow_forcing_mean(&record, s->now_s, s->now_s + STEP_S, &mean);
        ow_scene_step(s, &mean);
        for (int m = 0; m < OW_MEMBERS; m++) {
            spots[m * cast->apart] = spot_of(s, &mean, m);
        }
        ow_cast_step(cast, spots, s->now_s - STEP_S, STEP_S);
        for (int d = 0; s->now_s >= from && d < depths; d++) {
            compare(&scores[d], cast, s->now_s);
        }
    }
    for (int d = 0; d < depths; d++) {
        const score *k = &scores[d];
        printf("band\t%g\t%d\t%.3f\t%d\t%.3f\t%.2f\t%.2f\n", k->depth_m, k->hours,
               (double)k->within / k->hours, k->cold, (double)k->cold_within / k->cold,
               k->width_k / k->hours, sqrt(k->squares / k->hours));
    }
    ow_cast_free(cast);
    ow_scene_free(s);
    ow_garden_free(g);
    ow_forcing_free(&record);
    return 0;
}
