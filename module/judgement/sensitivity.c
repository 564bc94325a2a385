/* SPDX-License-Identifier: MIT */
#include "judgement/sensitivity.h"

#include <math.h>

#include "garden/cast.h"
#include "garden/variants.h"
#include "judgement/steady_frost.h"
#include "physics/ow_math.h"

/*
 * Both ends. Wind at 10 m on a sheltered and on an open terrace; no cloud and all (common practice,
 * no source); a pot's side or a bed's top where in their range, in deviations. NAN: the usual.
 */
#define USUAL {NAN, NAN}
static const struct range {
    ow_doubt_words words;
    double wind_ms[2], factor[2], cloud_pct[2];
} ranges[OW_DOUBTS] = {
    [OW_DOUBT_MOISTURE] = {{"moisture", "moisture", NULL, NULL}, USUAL, USUAL, USUAL},
    [OW_DOUBT_WIND] = {{"wind", "wind", "at 1 m/s", "at 6 m/s"}, {1.0, 6.0}, USUAL, USUAL},
    [OW_DOUBT_WALL] = {{"wall", "what lies on it", "if thin", "if thick"},
                       USUAL, {OW_RANGE_LOW, OW_RANGE_HIGH}, USUAL},
    [OW_DOUBT_SKY] = {{"sky", "sky", "if clear", "if shut"}, USUAL, USUAL, {0.0, 100.0}},
};

/* Actor 0 is as the file says, then both ends of each doubt; each stands in a spot of its own. */
enum { ACTORS = 1 + 2 * OW_DOUBTS };

const ow_doubt_words *ow_doubt_about(ow_doubt doubt)
{
    return &ranges[doubt].words;
}

static ow_moisture moved(ow_moisture moisture, int by)
{
    int to = (int)moisture + by;
    return to < 0 ? OW_MOISTURE_DRY : to >= OW_MOISTURE_COUNT ? OW_MOISTURE_STANDING
                                                              : (ow_moisture)to;
}

static double or_usual(double x, double usual)
{
    return isnan(x) ? usual : x;
}

static void set_actor(const ow_garden *g, const ow_place *home, int actor, ow_plant *plant,
                      ow_spot *spot)
{
    static const struct range as_it_is = {.wind_ms = USUAL, .factor = USUAL, .cloud_pct = USUAL};
    const struct range *r = actor > 0 ? &ranges[(actor - 1) / 2] : &as_it_is;
    int end = (actor + 1) % 2;
    *spot = ow_frost_spot(g, home, or_usual(r->wind_ms[end], OW_FROST_WIND_MS),
                          or_usual(r->cloud_pct[end], OW_FROST_CLOUD_PCT));
    if (r == &ranges[OW_DOUBT_MOISTURE]) {
        ow_soil *soil = ow_plant_soil(plant);
        soil->moisture = moved(soil->moisture, end == 0 ? -1 : 1);
    }
    if (!isnan(r->factor[end])) {
        double *factor = plant->pot.given ? &plant->pot.side_factor : &plant->bed.top_factor;
        ow_range range = plant->pot.given ? OW_SIDE_RANGE : OW_TOP_RANGE;
        *factor = ow_range_at(range, r->factor[end]) * or_usual(*factor, 1.0);
    }
}

static void through(const ow_garden *g, ow_cast *cast, const ow_spot *spots, double h[ACTORS])
{
    int open = ACTORS, steps = OW_FROST_DAYS * OW_DAY_S / OW_FROST_STEP_S;
    for (int k = 0; k < steps && open > 0; k++) {
        ow_utc_s at_s = ow_frost_from_s(g) + (ow_utc_s)k * OW_FROST_STEP_S;
        ow_cast_step(cast, spots, at_s, OW_FROST_STEP_S);
        for (int i = 0; i < ACTORS; i++) {
            if (isnan(h[i]) && cast->actor[i].condition.drought.frozen_through) {
                h[i] = (k + 1) * OW_FROST_STEP_S / 3600.0;
                open--;
            }
        }
    }
}

static double spread_of(double a_h, double b_h)
{
    double most_h = OW_FROST_DAYS * 24.0;
    return fabs(ow_log(or_usual(a_h, most_h) / or_usual(b_h, most_h)));
}

static void judge(const double h[ACTORS], ow_sensitivity *out)
{
    double most = 0.0;
    out->usual_h = h[0];
    out->most = -1;
    for (int d = 0; d < OW_DOUBTS; d++) {
        out->low_h[d] = h[1 + 2 * d];
        out->high_h[d] = h[2 + 2 * d];
        double spread = spread_of(out->low_h[d], out->high_h[d]);
        out->most = spread > most ? d : out->most;
        most = fmax(most, spread);
    }
}

ow_status ow_sensitivity_of(const ow_garden *garden, int plant, ow_sensitivity *out)
{
    int same[ACTORS];
    double start[ACTORS], h[ACTORS];
    ow_spot spots[ACTORS];
    ow_variants v;
    ow_cast *cast = NULL;
    const ow_place *home = &garden->places[garden->plants[plant].place.at];
    ow_variants_of(garden, plant, ACTORS, &v);
    for (int i = 0; i < ACTORS; i++) {
        same[i] = i;
        start[i] = OW_FROST_START_C;
        h[i] = NAN;
        set_actor(garden, home, i, &v.plant[i], &spots[i]);
    }
    ow_moisture moisture = ow_plant_soil(&v.plant[0])->moisture;
    out->drier = moved(moisture, -1);
    out->wetter = moved(moisture, 1);
    ow_status status =
        ow_cast_new(&v.garden, same, ACTORS, start, ow_frost_from_s(garden), &cast);
    for (int i = 0; status == OW_OK && i < ACTORS; i++) {
        cast->actor[i].place = i; /* its spot */
        cast->actor[i].dress.n = 0;
    }
    if (status == OW_OK) {
        through(garden, cast, spots, h);
        judge(h, out);
    }
    ow_cast_free(cast);
    return status;
}
