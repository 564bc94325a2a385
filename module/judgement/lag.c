/* SPDX-License-Identifier: MIT */
#include "judgement/lag.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/variants.h"
#include "judgement/fit.h"
#include "judgement/least_squares.h"
#include "physics/ow_math.h"

enum { KIND_TEXT = 120, MOST_KINDS = 10000 };

/* The shadows, and by what two of them differ from the garden file's side. */
enum { AS_IS, LESS, MORE, SHADOWS };
static const double APART = 1.4;

/* The unknowns among those of least_squares.h. */
enum { SIDE = 0, PROBE_OFF = 1 };
static const double PROBE_SPREAD_K = 0.3;

/* A probe's error and the model's remember half a day; ice ends a lesson, a start delays one
 * (common practice, no source). */
static const ow_noise half_hourly = {.memory = 0.95, .new_k = 0.15};
static const double THAWED_C = 1.0, DARK_WM2 = 2.0, KEEPS_A_DAY = 0.98;
static const ow_utc_s SETTLES_S = 12 * OW_HOUR_S;

typedef struct kind {
    char name[KIND_TEXT];
    ow_normal sums;
} kind;

/* The shadows of one plant; no cast: they do not live yet. */
typedef struct shadows {
    ow_variants variants;
    ow_cast *cast;
    ow_utc_s began_s, now_s;
    long rows;                      /* of lessons that follow on each other */
    double before[OW_SOUGHT + 1]; /* the last of them */
} shadows;

struct ow_lags {
    const ow_garden *garden;
    int kinds;
    kind *kind;
    int *of;           /* the kind of each plant; -1: a bed */
    shadows **shadows; /* of each plant; NULL: none so far */
};

/* ---- kinds ----------------------------------------------------------------------------------- */

/* Wall, medium and size in steps of the square root of two; what the file itself says of the side
 * makes another kind, since it is learnt on top of that. */
static void name_kind(const ow_pot *pot, char name[KIND_TEXT])
{
    char wall[40], medium[40], own[24] = "";
    double size = floor(2.0 * ow_log(pot->diameter_mm / 100.0) / ow_log(2.0) + 0.5);
    if (isnan(pot->wall_r_m2k_w)) {
        snprintf(wall, sizeof wall, "%s", ow_wall_names(NULL)[pot->wall]);
    } else {
        snprintf(wall, sizeof wall, "a wall of %.3f m2K/W", pot->wall_r_m2k_w);
    }
    if (isnan(pot->soil.measured.medium.thawed_w_mk)) {
        snprintf(medium, sizeof medium, "%s", ow_medium_names(NULL)[pot->soil.kind]);
    } else {
        snprintf(medium, sizeof medium, "a medium of %.2f W/mK",
                 pot->soil.measured.medium.thawed_w_mk);
    }
    if (!isnan(pot->side_factor)) {
        snprintf(own, sizeof own, ", side_factor %.2f", pot->side_factor);
    }
    snprintf(name, KIND_TEXT, "%s, %s, about %.0f mm%s", wall, medium,
             100.0 * ow_exp(0.5 * size * ow_log(2.0)), own);
}

static int kind_named(const ow_lags *l, const char *name)
{
    for (int k = 0; k < l->kinds; k++) {
        if (strcmp(l->kind[k].name, name) == 0) {
            return k;
        }
    }
    return -1;
}

static void sort_plants(ow_lags *l)
{
    for (int i = 0; i < l->garden->plant_count; i++) {
        char name[KIND_TEXT];
        l->of[i] = -1;
        if (!l->garden->plants[i].pot.given) {
            continue;
        }
        name_kind(&l->garden->plants[i].pot, name);
        l->of[i] = kind_named(l, name);
        if (l->of[i] < 0) {
            l->of[i] = l->kinds;
            memcpy(l->kind[l->kinds++].name, name, sizeof name);
        }
    }
}

ow_status ow_lags_new(const ow_garden *garden, ow_lags **lags)
{
    ow_lags *l = calloc(1, sizeof *l);
    size_t n = (size_t)garden->plant_count;
    if (l == NULL) {
        return OW_NO_MEMORY;
    }
    l->garden = garden;
    l->kind = calloc(n, sizeof *l->kind);
    l->of = calloc(n, sizeof *l->of);
    l->shadows = calloc(n, sizeof *l->shadows);
    if (l->kind == NULL || l->of == NULL || l->shadows == NULL) {
        ow_lags_free(l);
        return OW_NO_MEMORY;
    }
    sort_plants(l);
    *lags = l;
    return OW_OK;
}

static void end_shadows(shadows *s)
{
    ow_cast_free(s->cast);
    s->cast = NULL;
}

void ow_lags_free(ow_lags *l)
{
    if (l == NULL) {
        return;
    }
    for (int i = 0; l->shadows != NULL && i < l->garden->plant_count; i++) {
        if (l->shadows[i] != NULL) {
            end_shadows(l->shadows[i]);
            free(l->shadows[i]);
        }
    }
    free(l->shadows);
    free(l->kind);
    free(l->of);
    free(l);
}

/* ---- shadows --------------------------------------------------------------------------------- */

static void differ(ow_variants *v)
{
    double own = v->plant[AS_IS].pot.side_factor, file = isnan(own) ? 1.0 : own;
    v->plant[LESS].pot.side_factor = file / APART;
    v->plant[MORE].pot.side_factor = file * APART;
}

/* Bodies and clothes of the scene's plant onto all of them. */
static void take_after(shadows *s, const ow_scene *scene, int plant)
{
    for (int i = 0; i < SHADOWS; i++) {
        ow_cast_copy(s->cast, i, scene->cast, plant);
        s->cast->actor[i].plant = i;
        s->cast->actor[i].place = 0;
        s->cast->actor[i].side_factor = 0.0;
    }
    s->began_s = s->now_s = scene->now_s;
}

static ow_status begin_shadows(ow_lags *l, const ow_scene *scene, int plant)
{
    static const int all[SHADOWS] = {AS_IS, LESS, MORE};
    static const double start[SHADOWS] = {0.0};
    if (l->shadows[plant] == NULL) {
        l->shadows[plant] = calloc(1, sizeof *l->shadows[plant]);
    }
    shadows *s = l->shadows[plant];
    if (s == NULL) {
        return OW_NO_MEMORY;
    }
    ow_variants_of(l->garden, plant, SHADOWS, &s->variants);
    differ(&s->variants);
    ow_status status =
        ow_cast_new(&s->variants.garden, all, SHADOWS, start, scene->now_s, &s->cast);
    if (status == OW_OK) {
        take_after(s, scene, plant);
    }
    return status;
}

/* One step under the spot and the clothes of the scene's plant. */
static void go_on(shadows *s, const ow_scene *scene, int plant)
{
    const ow_actor *a = &scene->cast->actor[plant];
    for (int i = 0; i < SHADOWS; i++) {
        s->cast->actor[i].dress = a->dress;
    }
    ow_cast_step(s->cast, &scene->spot[a->place], s->now_s, scene->step_s);
    s->now_s = scene->now_s;
}

static double shadow_c(const shadows *s, int i)
{
    return ow_cast_probe_c(s->cast, i, false);
}

static bool holds_ice(const shadows *s)
{
    for (int i = 0; i < SHADOWS; i++) {
        if (s->cast->actor[i].sense.root.ice_share > 0.0) {
            return true;
        }
    }
    return false;
}

/* ---- lessons --------------------------------------------------------------------------------- */

static void fade(ow_normal *n, double keep)
{
    for (int i = 0; i <= PROBE_OFF; i++) {
        for (int k = 0; k <= PROBE_OFF; k++) {
            n->jj[i][k] *= keep;
        }
        n->jr[i] *= keep;
    }
}

/* Each probe's hours follow on its own, whoever else teaches the kind. */
static void teach(kind *k, shadows *s, double probe_c, int step_s)
{
    double slope[OW_SOUGHT] = {0.0};
    slope[SIDE] = (shadow_c(s, MORE) - shadow_c(s, LESS)) / (2.0 * ow_log(APART));
    slope[PROBE_OFF] = 1.0;
    fade(&k->sums, 1.0 - (1.0 - KEEPS_A_DAY) * step_s / OW_DAY_S);
    k->sums.rows = s->rows;
    memcpy(k->sums.before, s->before, sizeof s->before);
    ow_normal_add(&k->sums, &half_hourly, probe_c - shadow_c(s, AS_IS), slope);
    s->rows = k->sums.rows;
    memcpy(s->before, k->sums.before, sizeof s->before);
}

ow_status ow_lags_learn(ow_lags *l, const ow_scene *scene, int plant, double probe_c)
{
    if (l->of[plant] < 0) {
        return OW_OK;
    }
    kind *k = &l->kind[l->of[plant]];
    shadows *s = l->shadows[plant];
    if (s == NULL || s->cast == NULL) {
        bool may = probe_c >= THAWED_C && scene->cast->actor[plant].sense.root.ice_share <= 0.0;
        return may ? begin_shadows(l, scene, plant) : OW_OK;
    }
    go_on(s, scene, plant);
    bool dark = scene->cast->actor[plant].sense.sun_wm2 < DARK_WM2;
    if (!(probe_c >= THAWED_C) || holds_ice(s)) {
        end_shadows(s); /* begun anew when all is thawed and the probe is back */
    } else if (dark && s->now_s - s->began_s >= SETTLES_S) {
        teach(k, s, probe_c, scene->step_s);
        return OW_OK;
    }
    s->rows = 0; /* the next hour does not follow on the last */
    return OW_OK;
}

double ow_lags_factor(const ow_lags *l, int plant)
{
    static const double tables[OW_SOUGHT];
    const ow_sought unknown[OW_SOUGHT] = {[SIDE] = {ow_fit_spread(OW_FIT_SIDE), true},
                                          [PROBE_OFF] = {PROBE_SPREAD_K, true}};
    double step[OW_SOUGHT], most = ow_log(OW_LAG_MOST);
    if (l->of[plant] < 0 ||
        ow_normal_step(&l->kind[l->of[plant]].sums, unknown, tables, step) != OW_OK) {
        return 1.0;
    }
    return ow_exp(fmin(fmax(step[SIDE], -most), most));
}

const char *ow_lags_kind(const ow_lags *l, int plant)
{
    return l->of[plant] >= 0 ? l->kind[l->of[plant]].name : NULL;
}

/* ---- kept ------------------------------------------------------------------------------------ */

static void pack_sums(ow_pack *pack, ow_normal *n)
{
    ow_pack_double(pack, &n->jj[SIDE][SIDE]);
    ow_pack_double(pack, &n->jj[SIDE][PROBE_OFF]);
    ow_pack_double(pack, &n->jj[PROBE_OFF][PROBE_OFF]);
    ow_pack_double(pack, &n->jr[SIDE]);
    ow_pack_double(pack, &n->jr[PROBE_OFF]);
    n->jj[PROBE_OFF][SIDE] = n->jj[SIDE][PROBE_OFF];
}

static bool sound(const ow_normal *n)
{
    return n->jj[SIDE][SIDE] >= 0.0 && n->jj[PROBE_OFF][PROBE_OFF] >= 0.0 &&
           isfinite(n->jj[SIDE][SIDE] + n->jj[SIDE][PROBE_OFF] + n->jj[PROBE_OFF][PROBE_OFF] +
                    n->jr[SIDE] + n->jr[PROBE_OFF]);
}

void ow_lags_pack(ow_lags *l, ow_pack *pack)
{
    int count = l->kinds;
    ow_pack_int(pack, &count, 0, MOST_KINDS);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        kind k = {.sums = {.rows = 0}};
        if (!pack->reading) {
            k = l->kind[i];
        }
        ow_pack_text(pack, k.name, sizeof k.name);
        pack_sums(pack, &k.sums);
        bool taken = pack->reading && pack->status == OW_OK && sound(&k.sums);
        int at = taken ? kind_named(l, k.name) : -1;
        if (at >= 0) {
            l->kind[at] = k;
        }
    }
}
