/* SPDX-License-Identifier: MIT */
/*
 * A modelled ground temperature, and simple rules a hub could follow, against one measured:
 *
 *   score MEASURED.csv SOIL_COLUMN MODELLED.csv MODEL_COLUMN FROM UNTIL [SERIES.tsv | -]
 *
 * Both files are hourly with an ISO time first; hours from FROM up to UNTIL count. Prints one
 * tab-separated line a method: name, part (all: the whole span; second: its second half), hours,
 * bias, RMSE, hours with 1 C or less measured, RMSE of those. Rules with something to fit are
 * fitted on the first half and scored on the second only. Then "spell" lines: begin and end of the
 * longest spell below -0.1 C, measured and modelled. SERIES gets the daily means for figures; with
 * - the model is scored alone.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_HOURS = 20000, MOST_FIELDS = 40, TERMS = 11 };
static const double TURN = 2.0 * 3.14159265358979323846;

typedef struct record {
    int hours;
    char time[MOST_HOURS][21];
    double air[MOST_HOURS], soil[MOST_HOURS], model[MOST_HOURS];
} record;

static record data;

/* ---- files ----------------------------------------------------------------------------------- */

/* Cuts a line at its commas, empty fields kept; a carriage return is dropped. */
static int cut(char *line, char *field[MOST_FIELDS])
{
    int n = 0;
    line[strcspn(line, "\r\n")] = '\0';
    for (char *at = line; at != NULL && n < MOST_FIELDS; n++) {
        field[n] = at;
        at = strchr(at, ',');
        if (at != NULL) {
            *at++ = '\0';
        }
    }
    return n;
}

static FILE *open_or_die(const char *path, const char *mode)
{
    FILE *f = fopen(path, mode);
    if (f == NULL) {
        fprintf(stderr, "score: %s cannot be opened\n", path);
        exit(1);
    }
    return f;
}

static int column_of(FILE *f, const char *path, const char *name)
{
    char line[2000], *field[MOST_FIELDS];
    int n = fgets(line, sizeof line, f) != NULL ? cut(line, field) : 0;
    rewind(f);
    for (int i = 0; i < n; i++) {
        if (strcmp(field[i], name) == 0) {
            return i;
        }
    }
    fprintf(stderr, "score: %s has no column %s\n", path, name);
    exit(1);
}

static double number(const char *text)
{
    char *end;
    double x = strtod(text, &end);
    return end == text ? NAN : x;
}

static void read_measured(const char *path, const char *soil)
{
    FILE *f = open_or_die(path, "r");
    int air_at = column_of(f, path, "air_c"), soil_at = column_of(f, path, soil);
    char line[2000], *field[MOST_FIELDS];
    (void)!fgets(line, sizeof line, f);
    while (fgets(line, sizeof line, f) != NULL && data.hours < MOST_HOURS) {
        int n = cut(line, field), i = data.hours++;
        snprintf(data.time[i], sizeof data.time[i], "%.20s", field[0]);
        data.air[i] = air_at < n ? number(field[air_at]) : NAN;
        data.soil[i] = soil_at < n ? number(field[soil_at]) : NAN;
        data.model[i] = NAN;
        if (isnan(data.air[i]) && i > 0) {
            data.air[i] = data.air[i - 1]; /* a rule must have some air */
        }
    }
    fclose(f);
}

/* Rows of both files rise in time. */
static void read_model(const char *path, const char *column)
{
    FILE *f = open_or_die(path, "r");
    int at = column_of(f, path, column);
    char line[2000], *field[MOST_FIELDS];
    (void)!fgets(line, sizeof line, f);
    for (int i = 0; fgets(line, sizeof line, f) != NULL;) {
        cut(line, field);
        while (i < data.hours && strcmp(data.time[i], field[0]) < 0) {
            i++;
        }
        if (i < data.hours && strcmp(data.time[i], field[0]) == 0) {
            data.model[i] = number(field[at]);
        }
    }
    fclose(f);
}

/* ---- scores ---------------------------------------------------------------------------------- */

typedef struct span {
    int from, until;
} span;

static double rmse_of(const double *got, span s)
{
    double sum = 0.0;
    int n = 0;
    for (int i = s.from; i < s.until; i++) {
        double off = got[i] - data.soil[i];
        if (!isnan(off)) {
            sum += off * off;
            n++;
        }
    }
    return n > 0 ? sqrt(sum / n) : NAN;
}

static void score(const char *name, const char *part, const double *got, span s)
{
    double bias = 0.0, cold = 0.0;
    int n = 0, cold_n = 0;
    for (int i = s.from; i < s.until; i++) {
        double off = got[i] - data.soil[i];
        if (isnan(off)) {
            continue;
        }
        bias += off;
        n++;
        if (data.soil[i] <= 1.0) {
            cold += off * off;
            cold_n++;
        }
    }
    printf("%s\t%s\t%d\t%.3f\t%.3f\t%d\t%.3f\n", name, part, n, bias / n, rmse_of(got, s), cold_n,
           cold_n > 0 ? sqrt(cold / cold_n) : NAN);
}

/* ---- rules ----------------------------------------------------------------------------------- */

static void trailing_mean(int hours, int whole_days, double *out)
{
    for (int i = 0; i < data.hours; i++) {
        /* whole_days: the day before today, by the clock of the file (UTC) */
        int end = whole_days ? i - atoi(data.time[i] + 11) : i + 1;
        double sum = 0.0;
        int n = 0;
        for (int k = end - hours; k < end; k++) {
            if (k >= 0) {
                sum += data.air[k];
                n++;
            }
        }
        out[i] = n == hours ? sum / n : NAN;
    }
}

static void smooth(double tau_h, double *out)
{
    double keep = exp(-1.0 / tau_h);
    for (int i = 0; i < data.hours; i++) {
        out[i] = i == 0 ? data.air[0] : keep * out[i - 1] + (1.0 - keep) * data.air[i];
    }
}

/* Solves a x = b in place, n small, a symmetric positive. */
static void solve(int n, double a[TERMS][TERMS], double *b)
{
    for (int k = 0; k < n; k++) {
        for (int i = k + 1; i < n; i++) {
            double f = a[i][k] / a[k][k];
            for (int j = k; j < n; j++) {
                a[i][j] -= f * a[k][j];
            }
            b[i] -= f * b[k];
        }
    }
    for (int k = n - 1; k >= 0; k--) {
        for (int j = k + 1; j < n; j++) {
            b[k] -= a[k][j] * b[j];
        }
        b[k] /= a[k][k];
    }
}

/* Least squares of the soil on n terms over a span, a little ridge on all but the first. */
static void fit(double term[TERMS][MOST_HOURS], int n, double ridge, span s, double *out)
{
    double a[TERMS][TERMS] = {{0}}, b[TERMS] = {0};
    for (int i = s.from; i < s.until; i++) {
        for (int j = 0; j < n && !isnan(data.soil[i]); j++) {
            for (int k = 0; k < n; k++) {
                a[j][k] += term[j][i] * term[k][i];
            }
            b[j] += term[j][i] * data.soil[i];
        }
    }
    for (int j = 1; j < n; j++) {
        a[j][j] += ridge * (s.until - s.from);
    }
    solve(n, a, b);
    for (int i = 0; i < data.hours; i++) {
        out[i] = 0.0;
        for (int j = 0; j < n; j++) {
            out[i] += b[j] * term[j][i];
        }
    }
}

static double term[TERMS][MOST_HOURS], got[MOST_HOURS], best[MOST_HOURS];

static void ones(double *out)
{
    for (int i = 0; i < data.hours; i++) {
        out[i] = 1.0;
    }
}

/* The time constant (1 to 400 h) that fits best; with a gain, or an offset only. */
static void exponential(int with_gain, span first, span second)
{
    double least = INFINITY;
    ones(term[0]);
    for (double tau = 1.0; tau <= 400.0; tau *= 1.1) {
        smooth(tau, term[1]);
        if (with_gain) {
            fit(term, 2, 0.0, first, got);
        } else {
            double off = 0.0;
            int n = 0;
            for (int i = first.from; i < first.until; i++) {
                if (!isnan(data.soil[i])) {
                    off += data.soil[i] - term[1][i];
                    n++;
                }
            }
            for (int i = 0; i < data.hours; i++) {
                got[i] = term[1][i] + off / n;
            }
        }
        double rmse = rmse_of(got, first);
        if (rmse < least) {
            least = rmse;
            memcpy(best, got, sizeof best);
        }
    }
    score(with_gain ? "smoothed air, gain" : "smoothed air, offset", "second", best, second);
}

static void regression(span first, span second)
{
    static const double tau_h[5] = {3, 12, 48, 168, 400};
    ones(term[0]);
    memcpy(term[1], data.air, sizeof term[1]);
    for (int k = 0; k < 5; k++) {
        smooth(tau_h[k], term[2 + k]);
    }
    for (int i = 0; i < data.hours; i++) {
        double hour = atof(data.time[i] + 11);
        for (int k = 0; k < 2; k++) {
            term[7 + 2 * k][i] = sin(TURN * (k + 1) * hour / 24.0);
            term[8 + 2 * k][i] = cos(TURN * (k + 1) * hour / 24.0);
        }
    }
    fit(term, TERMS, 0.01, first, got);
    score("ridge regression", "second", got, second);
}

/* ---- spells ---------------------------------------------------------------------------------- */

/* The longest spell below -0.1 C with gaps of under a day. */
static void spell(const char *whose, const double *c, span s)
{
    int from = -1, last = -1, best_from = -1, best_last = -2, hours = 0;
    for (int i = s.from; i < s.until; i++) {
        if (!(c[i] < -0.1)) {
            continue;
        }
        hours++;
        if (from < 0 || i - last > 24) {
            from = i;
        }
        last = i;
        if (last - from > best_last - best_from) {
            best_from = from;
            best_last = last;
        }
    }
    printf("spell\t%s\t%d\t%s\t%s\n", whose, hours, best_from < 0 ? "-" : data.time[best_from],
           best_from < 0 ? "-" : data.time[best_last]);
}

static void write_series(const char *path, span s)
{
    FILE *f = open_or_die(path, "w");
    for (int i = s.from; i + 24 <= s.until; i += 24) {
        double soil = 0.0, model = 0.0, air = 0.0;
        for (int k = i; k < i + 24; k++) {
            soil += data.soil[k] / 24.0;
            model += data.model[k] / 24.0;
            air += data.air[k] / 24.0;
        }
        fprintf(f, "%.10s\t%.3f\t%.3f\t%.3f\n", data.time[i], air, soil, model);
    }
    fclose(f);
}

int main(int argc, char **argv)
{
    if (argc < 7) {
        fprintf(stderr, "usage: score MEASURED.csv SOIL_COLUMN MODELLED.csv MODEL_COLUMN FROM "
                        "UNTIL [SERIES.tsv | -]\n");
        return 2;
    }
    read_measured(argv[1], argv[2]);
    read_model(argv[3], argv[4]);
    span all = {0, 0};
    for (int i = 0; i < data.hours; i++) {
        all.from += strcmp(data.time[i], argv[5]) < 0;
        all.until += strcmp(data.time[i], argv[6]) < 0;
    }
    int half = (all.from + all.until) / 2;
    span first = {all.from, half}, second = {half, all.until};
    score("model", "all", data.model, all);
    score("model", "first", data.model, first);
    score("model", "second", data.model, second);
    if (argc > 7 && strcmp(argv[7], "-") == 0) {
        return 0;
    }
    trailing_mean(24, 1, got);
    score("yesterday's mean air", "all", got, all);
    trailing_mean(48, 0, got);
    score("mean air of two days", "all", got, all);
    for (int i = 0; i < data.hours; i++) {
        got[i] = i >= 24 ? data.soil[i - 24] : NAN;
    }
    score("the probe of yesterday", "all", got, all);
    exponential(0, first, second);
    exponential(1, first, second);
    regression(first, second);
    spell("measured", data.soil, all);
    spell("modelled", data.model, all);
    if (argc > 7) {
        write_series(argv[7], all);
    }
    return 0;
}
