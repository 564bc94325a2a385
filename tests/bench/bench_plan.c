/* SPDX-License-Identifier: MIT */
/*
 * How long a whole plan takes: every plant ahead in all members with nothing done and under each of
 * six acts, then the questions that find each act's latest start, and the job list. Told beside it
 * is how the time grows with plants, acts and days, and what it is with code for any x86-64 (the
 * same program, linked with that, lies beside this one).
 *
 *   bench_plan           all of it
 *   bench_plan seconds   only the runs ahead of the usual size
 */
#define _POSIX_C_SOURCE 200809L

#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "bench/crowd.h"
#include "judgement/inquiry.h"
#include "judgement/schedule.h"

static const ow_utc_s MIDWINTER = 1768867200; /* 2026-01-20T00:00:00Z */
enum { STEP_S = 1800, COVERS = 4, ACTS_MOST = 12, PLANTS_MOST = 100 };

/* What a plan is made for. */
typedef struct size {
    int plants, acts, days;
} size;
static const size USUAL = {50, 6, 10};

typedef struct yard {
    ow_garden *garden;
    ow_scene *scene;
    ow_forcing ahead;
    ow_outlook *outlook;
    ow_ensemble *ensemble;
    ow_schedule *schedule;
} yard;

static void say(void *self, const char *text)
{
    (void)self;
    fprintf(stderr, "%s\n", text);
}

static void foretell(yard *y, int days)
{
    for (int hour = -1; hour <= 24 * days; hour++) {
        ow_weather w = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
        w.air_c = crowd_air_c(hour < 0 ? 0.0 : hour);
        ow_weather_at row = {.utc_s = MIDWINTER + hour * OW_HOUR_S, .weather = w};
        must(ow_forcing_add(&y->ahead, &row, 1));
    }
}

static yard open_yard(const size *n)
{
    static char text[CROWD_TEXT];
    ow_report report = {.line = say};
    yard y = {0};
    ow_weather now;
    must(ow_garden_read("bench", text, crowd_text(n->plants, text), &report, &y.garden));
    must(ow_scene_new(y.garden, MIDWINTER - STEP_S, STEP_S, 4.0, &y.scene));
    must(ow_outlook_new(y.scene, &y.outlook));
    must(ow_ensemble_new(y.scene, &y.ensemble));
    must(ow_schedule_new(y.garden, &y.schedule));
    y.outlook->ensemble = y.ensemble;
    foretell(&y, n->days);
    (void)ow_forcing_mean(&y.ahead, MIDWINTER - STEP_S, MIDWINTER, &now);
    ow_scene_step(y.scene, &now);
    return y;
}

static void close_yard(yard *y)
{
    ow_schedule_free(y->schedule);
    ow_ensemble_free(y->ensemble);
    ow_outlook_free(y->outlook);
    ow_forcing_free(&y->ahead);
    ow_scene_free(y->scene);
    ow_garden_free(y->garden);
}

static void look(yard *y, int days)
{
    static const ow_spread all = {.weather = true, .materials = true};
    must(ow_ensemble_begin(y->ensemble, y->scene, &y->ahead, 24.0 * days, all));
    (void)ow_ensemble_some(y->ensemble, &y->ahead, INT_MAX);
}

/* Each cover alone, then two together. */
static ow_trial act(int i)
{
    ow_trial t = {.place = -1, .covers = i < COVERS ? 1 : 2, .at_s = MIDWINTER};
    t.cover[0] = i % COVERS;
    t.cover[1] = (i + i / COVERS) % COVERS;
    return t;
}

static void try_acts(yard *y, int acts)
{
    ow_many *many = calloc(1, sizeof *many);
    ow_risk risk;
    must(many != NULL ? OW_OK : OW_NO_MEMORY);
    for (int plant = 0; plant < y->garden->plant_count; plant++) {
        for (int i = 0; i < acts; i++) {
            many->plant = plant;
            many->acts = true;
            many->trial = act(i);
            must(ow_many_begin(many, y->ensemble));
            (void)ow_many_some(many, y->ensemble, INT_MAX);
            ow_many_risk(many, y->ensemble, &risk);
        }
    }
    free(many);
}

/* The runs ahead of a plan of this size: nothing done, and each act. */
static double runs_s(const size *n)
{
    yard y = open_yard(n);
    double began = spent_s();
    look(&y, n->days);
    try_acts(&y, n->acts);
    double took = spent_s() - began;
    close_yard(&y);
    return took;
}

static int no_offset(void *self, int64_t utc_s)
{
    (void)self;
    (void)utc_s;
    return 0;
}

/* Questions of one plant; returns how many runs they took. */
static int ask(yard *y, int plant, ow_inquiry *q)
{
    ow_verdict verdict;
    int runs = 0;
    ow_verdict_start(&verdict);
    must(ow_inquiry_begin(q, &y->schedule->survey[plant], y->outlook, y->scene, plant, &verdict,
                          0.0));
    while (q->asking) {
        runs += q->question.n;
        (void)ow_question_some(&q->question, y->outlook, INT_MAX);
        must(ow_inquiry_answer(q));
    }
    return runs;
}

/* The plan as the program makes it: the hours ahead, the questions, the job list. */
static void tell_plan(const size *n)
{
    yard y = open_yard(n);
    ow_local local = {no_offset, NULL};
    ow_inquiry *q = calloc(1, sizeof *q);
    int left[COVERS], runs = 0;
    must(q != NULL ? OW_OK : OW_NO_MEMORY);
    for (int c = 0; c < COVERS; c++) {
        left[c] = y.garden->covers[c].count;
    }
    double t0 = spent_s();
    must(ow_outlook_begin(y.outlook, y.scene, &y.ahead, 24.0 * n->days));
    (void)ow_outlook_some(y.outlook, &y.ahead, INT_MAX);
    look(&y, n->days);
    double t1 = spent_s();
    for (int plant = 0; plant < n->plants; plant++) {
        runs += ask(&y, plant, q);
    }
    double t2 = spent_s();
    must(ow_schedule_plan(y.schedule, y.scene, y.outlook, &local, left));
    double t3 = spent_s();
    printf("  job list of %d plants: hours ahead %.2f s, %d questions %.2f s, list %.3f s\n",
           n->plants, t1 - t0, runs, t2 - t1, t3 - t2);
    free(q);
    close_yard(&y);
}

static void tell_growth(double usual)
{
    static const struct {
        const char *what;
        size n;
    } rows[] = {{"half the plants", {25, 6, 10}}, {"twice the plants", {100, 6, 10}},
                {"half the acts", {50, 3, 10}},   {"twice the acts", {50, 12, 10}},
                {"half the days", {50, 6, 5}},    {"twice the days", {50, 6, 20}}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const size *n = &rows[i].n;
        double work = (double)n->plants * (n->acts + 1) * n->days /
                      (USUAL.plants * (USUAL.acts + 1) * USUAL.days);
        double took = runs_s(n);
        printf("  %-17s %6.2f s  %4.2f x the time for %4.2f x the runs\n", rows[i].what, took,
               took / usual, work);
    }
}

/* The program beside this one, for any x86-64. */
static void tell_plain(const char *self, double usual)
{
    char command[4096], line[64] = "";
    snprintf(command, sizeof command, "'%s_sse2' seconds", self);
    FILE *plain = popen(command, "r");
    bool told = plain != NULL && fgets(line, sizeof line, plain) != NULL;
    if (plain != NULL && pclose(plain) == 0 && told) {
        double took = strtod(line, NULL);
        printf("  plain x86-64      %6.2f s  %4.2f x\n", took, took / usual);
    }
}

int main(int arguments, char **argument)
{
    double usual = runs_s(&USUAL);
    if (arguments > 1 && strcmp(argument[1], "seconds") == 0) {
        printf("%.3f\n", usual);
        return 0;
    }
    int runs = USUAL.plants * (USUAL.acts + 1) * OW_MEMBERS;
    printf("plan, %d plants, %d members, nothing done and %d acts, %d days, one core\n",
           USUAL.plants, OW_MEMBERS, USUAL.acts, USUAL.days);
    printf("  %d runs ahead in %.2f s: %.0f container-weeks/s\n", runs, usual,
           runs * USUAL.days / 7.0 / usual);
    tell_plan(&USUAL);
    tell_growth(usual);
    tell_plain(argument[0], usual);
    return 0;
}
