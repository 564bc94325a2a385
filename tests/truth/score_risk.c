/* SPDX-License-Identifier: MIT */
/*
 * Risks told beforehand against what came, over measured winters:
 *
 *   score_risk STEP_DAYS WEATHER.csv LATITUDE LONGITUDE ELEVATION [WEATHER.csv ...]
 *
 * Each afternoon, every STEP_DAYS days, a forecast of 48 hours is made from the record with error
 * of known statistics (that of garden/forecast_error.h with nothing learned, a memory of half a
 * day, wind by a third, a quarter of the sky; independent of the forecast) and the ensemble tells
 * the risk of pots and leaves. What came is synthetic: each pot as a body of 12 x 12 cells under the measured weather, with
 * hidden properties drawn from the tables' ranges by another generator than the ensemble's. Against
 * it stands the rule "act when the forecast's minimum is below the limit". Prints lines for the
 * page of truth, tab-separated: Brier scores, reliability, misses and false alarms, cost.
 */
#include "rows.h"

#include <limits.h>

#include "garden/exposure.h"
#include "judgement/ensemble.h"
#include "judgement/verdict.h"
#include "physics/materials.h"
#include "physics/surface.h"

enum { STEP_S = 1800, AHEAD_H = 48, AFTERNOON_H = 15, FINE = 12, PLANTS = 12, MOST_CASES = 40000 };

static const char plants[] =
    "{\"garden\":\"trial\",\"site\":{\"latitude_deg\":%s,\"longitude_deg\":%s,\"elevation_m\":%s},"
    "\"places\":[{\"id\":\"yard\",\"kind\":\"open sky\"}],\"plants\":[";

/* Diameter (mm), wall, medium, moisture, part, limit (C). */
static const struct {
    int mm;
    const char *wall, *medium, *moisture, *part;
    double limit_c;
} pots[PLANTS] = {
    {200, "plastic", "peat-free mix", "moist", "foliage", -1.0},
    {200, "plastic", "peat-free mix", "moist", "foliage", -3.0},
    {200, "plastic", "peat-free mix", "moist", "foliage", -5.0},
    {200, "plastic", "peat-free mix", "moist", "foliage", -7.0},
    {110, "plastic", "peat", "moist", "roots", -1.0},
    {110, "plastic", "peat", "moist", "roots", -3.0},
    {200, "terracotta", "loam mix", "moist", "roots", -1.0},
    {200, "terracotta", "loam mix", "moist", "roots", -3.0},
    {300, "plastic", "bark mix", "moist", "roots", -1.0},
    {300, "plastic", "bark mix", "moist", "roots", -3.0},
    {420, "wood", "peat-free mix", "wet", "roots", -0.5},
    {420, "wood", "peat-free mix", "wet", "roots", -2.0},
};

static void say(void *self, const char *text)
{
    (void)self;
    fprintf(stderr, "%s\n", text);
}

static ow_garden *garden_at(char **where)
{
    char text[12000];
    int used = snprintf(text, sizeof text, plants, where[0], where[1], where[2]);
    for (int i = 0; i < PLANTS; i++) {
        used += snprintf(
            text + used, sizeof text - (size_t)used,
            "%s{\"id\":\"p%d\",\"place\":\"yard\",\"limits\":{\"%s\":{\"damaged_c\":%g}},\"pot\":{"
            "\"diameter_mm\":%d,\"depth_mm\":%d,\"wall\":\"%s\",\"medium\":\"%s\",\"moisture\":"
            "\"%s\",\"stands_on\":\"raised\"}}",
            i > 0 ? "," : "", i, pots[i].part, pots[i].limit_c, pots[i].mm, pots[i].mm * 9 / 10,
            pots[i].wall, pots[i].medium, pots[i].moisture);
    }
    used += snprintf(text + used, sizeof text - (size_t)used, "]}");
    ow_report report = {say, NULL, 0};
    ow_garden *garden;
    if (ow_garden_read("trial", text, (size_t)used, &report, &garden) != OW_OK) {
        exit(1);
    }
    return garden;
}

/* ---- chance, by another generator than the ensemble's ---------------------------------------- */

/* What is hidden of a pot leaves the forecasts what they are: each has a stream of its own. */
static uint64_t of_weather = 88172645463325252u, of_pots = 2463534242u;

static double uniform(uint64_t *chance)
{
    *chance ^= *chance << 13; /* xorshift64, Marsaglia 2003 */
    *chance ^= *chance >> 7;
    *chance ^= *chance << 17;
    return ((double)(*chance >> 11) + 0.5) / 9007199254740992.0;
}

static double gauss(uint64_t *chance)
{
    double far = sqrt(-2.0 * log(uniform(chance)));
    return far * cos(6.283185307179586 * uniform(chance));
}

/* ---- what came ------------------------------------------------------------------------------- */

typedef struct came {
    ow_block block; /* a lane a plant */
    void *memory;
    ow_dress dress[PLANTS];
    ow_condition condition[PLANTS];
    ow_outdoors out;
} came;

static void hide(came *c, const ow_garden *g, int i, double start_c)
{
    const ow_pot *pot = &g->plants[i].pot;
    double r[FINE + 1], z[FINE + 1];
    ow_range water, conducts, freezes;
    ow_medium medium;
    ow_law law;
    ow_wall wall;
    ow_status status = ow_medium_water_range(pot->soil.kind, pot->soil.moisture, &water);
    status = status == OW_OK ? ow_medium_conducts_range(pot->soil.kind, &conducts) : status;
    status = status == OW_OK ? ow_medium_freezes_range(pot->soil.kind, &freezes) : status;
    double normal[OW_UNKNOWNS];
    for (int u = 0; u < OW_UNKNOWNS; u++) {
        normal[u] = gauss(&of_pots);
    }
    ow_medium_draw draw = {.water = ow_range_at(water, normal[OW_UNKNOWN_WATER]),
                           .conducts = ow_range_at(conducts, normal[OW_UNKNOWN_CONDUCTS]),
                           .freezes = ow_range_at(freezes, normal[OW_UNKNOWN_FREEZES])};
    status = status == OW_OK
                 ? ow_medium_drawn(pot->soil.kind, pot->soil.moisture, draw, &medium)
                 : status;
    status = status == OW_OK ? ow_law_of_medium(&medium, OW_HINGES, &law) : status;
    status = status == OW_OK ? ow_wall_of(pot->wall, &wall) : status;
    if (status != OW_OK) {
        stop("a pot that cannot be built", "score_risk");
    }
    ow_departure off = {.wall_r = ow_range_at(wall.range, normal[OW_UNKNOWN_WALL]) - 1.0,
                        .film = ow_range_at(OW_FILM_RANGE, normal[OW_UNKNOWN_FILM]) - 1.0,
                        .snow_r = ow_range_at(OW_SNOW_RANGE, normal[OW_UNKNOWN_SNOW]) - 1.0,
                        .sun = ow_range_at(OW_ABSORBS_RANGE, normal[OW_UNKNOWN_SUN]) - 1.0};
    c->dress[i] = (ow_dress){.n = 0};
    ow_dress_differ(&c->dress[i], &off);
    ow_spread_faces(ow_pot_radius_m(pot), FINE, 1.15, OW_FINE_END, r);
    ow_spread_faces(pot->depth_mm / 1000.0, FINE, 1.15, OW_FINE_BOTH, z);
    ow_body body = {.r_face_m = r, .z_face_m = z, .law = &law, .start_c = start_c};
    if (ow_block_put(&c->block, i, &body) != OW_OK) {
        stop("a body that cannot be put", "score_risk");
    }
}

static void begin_truth(came *c, const ow_garden *g, ow_utc_s utc_s, double air_c)
{
    static const ow_grid grid = {.nr = FINE, .nz = FINE, .upper_rows = 0};
    c->memory = aligned_alloc(64, (ow_block_bytes(&grid) + 63) / 64 * 64);
    c->out = (ow_outdoors){.wall_c = air_c};
    if (c->memory == NULL || ow_block_init(&c->block, &grid, c->memory) != OW_OK) {
        exit(1);
    }
    for (int i = 0; i < PLANTS; i++) {
        hide(c, g, i, air_c);
        ow_condition_start(&c->condition[i], utc_s, g->site.latitude_deg);
    }
}

static void step_truth(came *c, const ow_scene *s)
{
    const ow_garden *g = s->garden;
    ow_utc_s end = s->now_s;
    ow_season season = ow_season_at(end, STEP_S);
    ow_spot spot = s->spot[0]; /* the same sky; all pots are raised, so no ground */
    ow_exposure x;
    ow_exposure_start(&x);
    for (int i = 0; i < PLANTS; i++) {
        ow_dress_fit(&c->dress[i], &g->plants[i]);
        ow_pot_expose(&x, i, &g->plants[i].pot, &spot, &c->dress[i], NULL);
    }
    ow_exposure_work_out(&x);
    for (int i = 0; i < PLANTS; i++) {
        ow_boundary face[OW_FACES];
        ow_exposure_faces(&x, i, face);
        for (int f = 0; f < OW_FACES; f++) {
            ow_block_boundary(&c->block, i, (ow_side)f, face[f]);
        }
    }
    ow_block_step(&c->block, STEP_S, (uint64_t)((end - STEP_S) / STEP_S));
    ow_leaf_exposed leaf[PLANTS];
    ow_plates plates;
    plates.n = 0;
    for (int i = 0; i < PLANTS; i++) {
        leaf[i] = ow_leaf_expose(&plates, OW_LEAF_WIDTH_M, &spot, &c->dress[i]);
    }
    ow_plates_settle(&plates);
    for (int i = 0; i < PLANTS; i++) {
        ow_sense sense = {.air_c = spot.sky.air_c, .leaf_air_c = leaf[i].air_c};
        ow_block_inside(&c->block, i, &sense.root);
        for (int p = 0; p < OW_PARTS; p++) {
            sense.part_c[p] = NAN;
        }
        sense.part_c[OW_FOLIAGE] = ow_leaf_exposed_c(&leaf[i], &plates);
        sense.part_c[OW_ROOTS] = sense.root.coldest_c;
        ow_condition_step(&c->condition[i], &g->plants[i].tolerance, &sense, &season, end,
                          STEP_S);
    }
}

static bool harmed(const ow_condition *c)
{
    return c->watch[OW_FOLIAGE].damaged || c->watch[OW_ROOTS].damaged;
}

/* ---- forecasts from the record --------------------------------------------------------------- */

/*
 * A forecast whose error does not depend on itself: what came is the forecast and an error, and the
 * two are independent. Error added to a record is not that: it makes the coldest forecasts colder
 * than what comes after them on average. So the record's departure from the normal of month and
 * hour is shrunk by k = 1 - s2 / v before error of variance k s2 is added, with s2 the variance of
 * the forecast's error and v that of the record about its normal. Then the forecast is off by s2,
 * and its covariance with its own error is (1 - k) k v - k s2 = 0. That is what regression of past
 * forecasts on what came makes of any forecast (model output statistics: Glahn and Lowry 1972, from
 * memory).
 */
enum { AIR, WIND, CLOUD, LONGWAVE, QUANTITIES, MONTHS = 12, HOURS = 24 };
static const double LONGWAVE_A_K = 4.0, WIND_SD = 0.30, CLOUD_SD_PCT = 25.0, LONGWAVE_SD = 15.0;

typedef struct normal {
    double n, sum, squares;
} normal;

static normal normals[QUANTITIES][MONTHS][HOURS];

/* What the errors are of: wind by its share, long-wave beside what follows the air. */
static void quantities_of(const ow_weather *w, double value[QUANTITIES])
{
    value[AIR] = w->air_c;
    value[WIND] = isnan(w->wind_ms) ? NAN : log(fmax(w->wind_ms, 0.1));
    value[CLOUD] = w->cloud_pct;
    value[LONGWAVE] = w->longwave_wm2 - LONGWAVE_A_K * w->air_c;
}

static normal *normal_of(int quantity, ow_utc_s utc_s)
{
    ow_date d = ow_date_of(utc_s);
    return &normals[quantity][d.month - 1][d.hour];
}

static void learn_normals(const ow_forcing *record)
{
    double value[QUANTITIES];
    memset(normals, 0, sizeof normals);
    for (size_t i = 0; i < record->rows; i++) {
        quantities_of(&record->row[i].weather, value);
        for (int q = 0; q < QUANTITIES; q++) {
            normal *of = normal_of(q, record->row[i].utc_s);
            of->n += isnan(value[q]) ? 0.0 : 1.0;
            of->sum += isnan(value[q]) ? 0.0 : value[q];
            of->squares += isnan(value[q]) ? 0.0 : value[q] * value[q];
        }
    }
}

/* What is foretold of a value that came, by a deviate; NAN stays what it is. */
static double foretell(int quantity, double value, ow_utc_s utc_s, double sd, double deviate)
{
    const normal *of = normal_of(quantity, utc_s);
    double mean = of->n > 0.0 ? of->sum / of->n : value;
    double variance = of->n > 1.0 ? of->squares / of->n - mean * mean : 0.0;
    double keeps = variance > sd * sd ? 1.0 - sd * sd / variance : 0.0;
    return mean + keeps * (value - mean) + sqrt(keeps) * sd * deviate;
}

static void foretell_row(ow_weather_at *row, int h, double air, double wind, double sky)
{
    double value[QUANTITIES];
    ow_weather *w = &row->weather;
    quantities_of(w, value);
    w->air_c = foretell(AIR, value[AIR], row->utc_s, ow_forecast_error_sd_k(NULL, h), air);
    w->wind_ms = exp(foretell(WIND, value[WIND], row->utc_s, WIND_SD, wind));
    w->longwave_wm2 = LONGWAVE_A_K * w->air_c +
                      foretell(LONGWAVE, value[LONGWAVE], row->utc_s, LONGWAVE_SD, sky);
    if (!isnan(w->cloud_pct)) {
        w->longwave_wm2 = NAN;
        w->cloud_pct = foretell(CLOUD, value[CLOUD], row->utc_s, CLOUD_SD_PCT, sky);
        w->cloud_pct = fmin(fmax(w->cloud_pct, 0.0), 100.0);
    }
    w->solar_wm2 = NAN;
    w->rain_mm = isnan(w->rain_mm) ? 0.0 : w->rain_mm;
}

static void forecast_from(const ow_forcing *record, ow_utc_s now_s, ow_forcing *forecast)
{
    double wind = gauss(&of_weather), sky = gauss(&of_weather), keeps = exp(-1.0 / 12.0);
    double takes = sqrt(1.0 - keeps * keeps), k = exp(-1.0 / 6.0);
    double air = gauss(&of_weather), pace = (air + k * gauss(&of_weather)) / sqrt(1.0 + k * k);
    ow_forcing_clear(forecast);
    for (int h = 0; h <= AHEAD_H; h++) {
        ow_weather_at row = {.utc_s = now_s + h * OW_HOUR_S};
        (void)ow_forcing_mean(record, row.utc_s - OW_HOUR_S / 2, row.utc_s + OW_HOUR_S / 2,
                              &row.weather);
        foretell_row(&row, h, air, wind, sky);
        if (ow_forcing_add(forecast, &row, 1) != OW_OK) {
            exit(1);
        }
        pace = k * pace + sqrt(1.0 - k * k) * gauss(&of_weather); /* smooth, as judgement/draws.h has it */
        air = k * air + (1.0 - k * k) / sqrt(1.0 + k * k) * pace;
        wind = keeps * wind + takes * gauss(&of_weather);
        sky = keeps * sky + takes * gauss(&of_weather);
    }
}

static double minimum_c(const ow_forcing *f)
{
    double least = INFINITY;
    for (size_t i = 0; i < f->rows; i++) {
        least = fmin(least, f->row[i].weather.air_c);
    }
    return least;
}

/* ---- cases ----------------------------------------------------------------------------------- */

typedef struct foretold {
    double risk;    /* as told */
    double below_k; /* the forecast's minimum below the limit; above 0: the rule acts */
    bool came, foliage;
} foretold;

static foretold cases[MOST_CASES];
static int told;

static void tell(const ow_scene *s, ow_ensemble *e, const ow_forcing *forecast)
{
    ow_spread spread = {.weather = true, .materials = true};
    if (ow_ensemble_begin(e, s, forecast, AHEAD_H, spread) != OW_OK) {
        exit(1);
    }
    (void)ow_ensemble_some(e, forecast, INT_MAX);
    for (int i = 0; i < PLANTS && told + i < MOST_CASES; i++) {
        const ow_condition *c = &s->cast->actor[i].condition;
        bool foliage = s->garden->plants[i].tolerance.limit[OW_FOLIAGE].set;
        ow_limit limit = ow_condition_limit(c, &s->garden->plants[i].tolerance,
                                            foliage ? OW_FOLIAGE : OW_ROOTS);
        cases[told + i] = (foretold){.risk = ow_ensemble_risk(e, i),
                                     .below_k = limit.damaged_c - minimum_c(forecast),
                                     .foliage = foliage};
    }
}

/* Nobody is harmed for good: every afternoon begins with whole plants. */
static void heal(ow_condition *c)
{
    for (int p = 0; p < OW_PARTS; p++) {
        ow_harm_watch_start(&c->watch[p]);
    }
}

/* From an afternoon's forecast to what came within its hours; the next forecast comes after. */
static void winter(const char *path, char **where, int step_days)
{
    ow_forcing record = read_rows(path), forecast = {0};
    ow_garden *g = garden_at(where);
    ow_scene *s;
    ow_ensemble *e;
    came truth;
    ow_utc_s start = record.row[0].utc_s, end = record.row[record.rows - 1].utc_s, open = end;
    start += (STEP_S - start % STEP_S) % STEP_S;
    if (ow_scene_new(g, start, STEP_S, record.row[0].weather.air_c, &s) != OW_OK ||
        ow_ensemble_new(s, &e) != OW_OK) {
        exit(1);
    }
    learn_normals(&record);
    begin_truth(&truth, g, start, record.row[0].weather.air_c);
    bool waits = false;
    while (s->now_s + AHEAD_H * OW_HOUR_S < end || waits) {
        int month = ow_date_of(s->now_s).month;
        bool cold = month >= 10 || month <= 4;
        bool due = s->now_s % OW_DAY_S == AFTERNOON_H * OW_HOUR_S && cold && !waits &&
                   s->now_s >= start + 10 * OW_DAY_S;
        if (due && s->now_s / OW_DAY_S % step_days == 0) {
            for (int i = 0; i < PLANTS; i++) {
                heal(&truth.condition[i]);
                heal(&s->cast->actor[i].condition);
            }
            forecast_from(&record, s->now_s, &forecast);
            tell(s, e, &forecast);
            open = s->now_s + AHEAD_H * OW_HOUR_S;
            waits = true;
        }
        ow_weather weather;
        (void)ow_forcing_mean(&record, s->now_s, s->now_s + STEP_S, &weather);
        ow_scene_step(s, &weather);
        step_truth(&truth, s);
        if (waits && s->now_s == open) {
            for (int i = 0; i < PLANTS && told < MOST_CASES; i++) {
                cases[told++].came = harmed(&truth.condition[i]);
            }
            waits = false;
        }
    }
    ow_ensemble_free(e);
    ow_scene_free(s);
    ow_garden_free(g);
    ow_forcing_free(&record);
    ow_forcing_free(&forecast);
    free(truth.memory);
}

/* ---- scores ---------------------------------------------------------------------------------- */

typedef struct tally {
    int n, came, missed, false_alarms, acts;
} tally;

typedef enum kind { FOLIAGE, ROOTS, ALL } kind;
static const char *const kind_name[] = {"leaves", "roots", "all"};

static bool counts(const foretold *f, kind k)
{
    return k == ALL || f->foliage == (k == FOLIAGE);
}

/* Acts where the risk reaches `share`; share NAN: where the rule's margin is above below_k. */
static tally tally_of(kind k, double share, double below_k)
{
    tally t = {0};
    for (int i = 0; i < told; i++) {
        const foretold *f = &cases[i];
        bool acts = isnan(share) ? f->below_k > below_k : f->risk >= share;
        if (counts(f, k)) {
            t.n++;
            t.came += f->came;
            t.acts += acts;
            t.missed += f->came && !acts;
            t.false_alarms += acts && !f->came;
        }
    }
    return t;
}

static double brier(kind k, int which, double rate)
{
    double sum = 0.0;
    int n = 0;
    for (int i = 0; i < told; i++) {
        double told_risk = which == 0   ? cases[i].risk
                           : which == 1 ? (cases[i].below_k > 0.0 ? 1.0 : 0.0)
                                        : rate;
        if (counts(&cases[i], k)) {
            sum += (told_risk - cases[i].came) * (told_risk - cases[i].came);
            n++;
        }
    }
    return n > 0 ? sum / n : NAN;
}

static void print_reliability(kind k)
{
    static const double edge[] = {0.0, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99, 1.01};
    for (size_t b = 0; b + 1 < sizeof edge / sizeof edge[0]; b++) {
        double risk = 0.0;
        int n = 0, harms = 0;
        for (int i = 0; i < told; i++) {
            if (counts(&cases[i], k) && cases[i].risk >= edge[b] && cases[i].risk < edge[b + 1]) {
                n++;
                risk += cases[i].risk;
                harms += cases[i].came;
            }
        }
        if (n > 0) {
            printf("reliability\t%s\t%d\t%.3f\t%.3f\n", kind_name[k], n, risk / n,
                   (double)harms / n);
        }
    }
}

/* The lowest share that alarms no oftener in vain than the rule does. */
static double equal_share(kind k, int false_alarms)
{
    for (int m = 1; m <= OW_MEMBERS; m++) {
        double share = (double)m / OW_MEMBERS;
        if (tally_of(k, share, 0.0).false_alarms <= false_alarms) {
            return share;
        }
    }
    return 1.01;
}

/* Mean cost a case in units of a loss: C/L for each act, 1 for each harm that was missed. */
static double cost(tally t, double ratio)
{
    return (ratio * t.acts + t.missed) / t.n;
}

static void print_kind(kind k)
{
    static const char *const value[] = {"ordinary", "treasured", "irreplaceable"};
    tally rule = tally_of(k, NAN, 0.0);
    double rate = (double)rule.came / rule.n, share = equal_share(k, rule.false_alarms);
    tally equal = tally_of(k, share, 0.0);
    printf("brier\t%s\t%d\t%d\t%.4f\t%.4f\t%.4f\n", kind_name[k], rule.n, rule.came,
           brier(k, 0, rate), brier(k, 1, rate), brier(k, 2, rate));
    printf("equal\t%s\t%.2f\t%d\t%d\t%d\t%d\n", kind_name[k], share, rule.missed,
           rule.false_alarms, equal.missed, equal.false_alarms);
    for (int v = 0; v < 3; v++) {
        double ratio = ow_act_from_risk((ow_value)v);
        tally ours = tally_of(k, ratio, 0.0);
        printf("cost\t%s\t%s\t%.2f\t%.4f\t%.4f\t%d\t%d\t%.4f\n", kind_name[k], value[v], ratio,
               cost(rule, ratio), cost(ours, ratio), ours.missed, ours.false_alarms,
               fmin(ratio, rate));
    }
    print_reliability(k);
}

int main(int argc, char **argv)
{
    if (argc < 6 || (argc - 2) % 4 != 0) {
        fprintf(stderr, "usage: score_risk STEP_DAYS {WEATHER.csv LATITUDE LONGITUDE ELEVATION}\n");
        return 2;
    }
    for (int i = 2; i < argc; i += 4) {
        winter(argv[i], argv + i + 1, atoi(argv[1]));
    }
    for (int k = FOLIAGE; k <= ALL; k++) {
        print_kind((kind)k);
    }
    return 0;
}
