/* SPDX-License-Identifier: MIT */
#include "garden/hindsight.h"

#include <math.h>

/* Hours further apart than this say nothing of those between; measured rows must be closer. */
static const ow_utc_s SAYS_S = 6 * OW_HOUR_S, MEASURES_S = OW_HOUR_S;
static const ow_utc_s HALF_WINDOW_S = OW_HOUR_S / 2, LOOKS_BACK_S = OW_DAY_S;

/* Errors three hours apart are much alike: each counts as this many times less (our judgement). */
static const double ALIKE = 2.0;

void ow_hindsight_init(ow_hindsight *h)
{
    *h = (ow_hindsight){.checked_s = 0};
    ow_bias_init(&h->bias);
    ow_forecast_skill_init(&h->skill);
}

static ow_foretold *mark_of(ow_hindsight *h, int class, ow_utc_s utc_s)
{
    return &h->mark[class][(utc_s / OW_MARK_S) % OW_MARKS];
}

/* ---- noting ---------------------------------------------------------------------------------- */

static double between(double from, double to, double share)
{
    return share <= 0.0 ? from : from + share * (to - from);
}

/* `before` and `after` lie around the mark. */
static ow_foretold foretold(const ow_weather_at *before, const ow_weather_at *after, ow_utc_s at_s,
                            ow_utc_s now_s)
{
    double share = (double)(at_s - before->utc_s) / (double)(after->utc_s - before->utc_s);
    const ow_weather *from = &before->weather, *to = &after->weather;
    return (ow_foretold){.utc_s = at_s,
                         .lead_h = (double)(at_s - now_s) / OW_HOUR_S,
                         .air_c = between(from->air_c, to->air_c, share),
                         .cloud_pct = between(from->cloud_pct, to->cloud_pct, share),
                         .air_sd_k = between(before->air_sd_k, after->air_sd_k, share)};
}

static void keep(ow_hindsight *h, const ow_foretold *told)
{
    int class = ow_lead_class(told->lead_h);
    ow_foretold *held = mark_of(h, class, told->utc_s);
    double middle_h = ow_lead_middle_h(class);
    if (held->utc_s != told->utc_s ||
        fabs(told->lead_h - middle_h) < fabs(held->lead_h - middle_h)) {
        *held = *told;
    }
}

void ow_hindsight_note(ow_hindsight *h, const ow_weather_at *rows, size_t n, ow_utc_s now_s)
{
    ow_utc_s at_s = now_s - now_s % OW_MARK_S + OW_MARK_S;
    for (size_t i = 0; i + 1 < n; i++) {
        bool says = rows[i + 1].utc_s - rows[i].utc_s <= SAYS_S;
        while (at_s < rows[i].utc_s) {
            at_s += OW_MARK_S;
        }
        for (; at_s < rows[i + 1].utc_s; at_s += OW_MARK_S) {
            if (says) {
                ow_foretold told = foretold(&rows[i], &rows[i + 1], at_s, now_s);
                keep(h, &told);
            }
        }
    }
}

/* ---- learning -------------------------------------------------------------------------------- */

/* The nearest forecast teaches the habit, since it errs least by chance; each its own spread. */
static bool learn_mark(ow_hindsight *h, const ow_site *site, ow_utc_s at_s, double air_c)
{
    const ow_foretold *nearest = NULL;
    for (int class = OW_LEAD_CLASSES - 1; class >= 0; class--) {
        const ow_foretold *told = mark_of(h, class, at_s);
        if (told->utc_s == at_s) {
            double off_k = air_c - told->air_c;
            double habit_k = ow_bias_k(&h->bias, site, at_s, told->cloud_pct);
            ow_forecast_skill_learn(&h->skill, told->lead_h, told->air_sd_k, off_k - habit_k);
            nearest = told;
        }
    }
    if (nearest == NULL) {
        return false;
    }
    double noise_k = ow_lead_class_sd_k(&h->skill, ow_lead_class(nearest->lead_h)) * sqrt(ALIKE);
    ow_bias_learn(&h->bias, site, at_s, nearest->cloud_pct, air_c - nearest->air_c, noise_k);
    return true;
}

int ow_hindsight_learn(ow_hindsight *h, const ow_site *site, const ow_forcing *measured,
                       ow_utc_s now_s, bool doubtful)
{
    int taught = 0;
    ow_utc_s oldest_s = now_s - LOOKS_BACK_S;
    h->checked_s = h->checked_s < now_s ? h->checked_s : now_s; /* the clock was set back */
    ow_utc_s from_s = h->checked_s > oldest_s ? h->checked_s : oldest_s;
    for (ow_utc_s at_s = from_s - from_s % OW_MARK_S + OW_MARK_S; at_s + HALF_WINDOW_S <= now_s;
         at_s += OW_MARK_S) {
        ow_weather seen;
        h->checked_s = at_s;
        if (measured->rows == 0 || measured->row[0].utc_s > at_s - HALF_WINDOW_S ||
            measured->row[measured->rows - 1].utc_s < at_s || doubtful ||
            !(ow_forcing_mean(measured, at_s - HALF_WINDOW_S, at_s + HALF_WINDOW_S, &seen) <=
              (double)MEASURES_S)) {
            continue;
        }
        taught += learn_mark(h, site, at_s, seen.air_c);
    }
    return taught;
}

void ow_hindsight_apply(const ow_hindsight *h, const ow_site *site, ow_weather_at *rows, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        ow_warm_air(&rows[i].weather,
                    ow_bias_k(&h->bias, site, rows[i].utc_s, rows[i].weather.cloud_pct));
    }
}

/* ---- kept ------------------------------------------------------------------------------------ */

static int count_marks(const ow_hindsight *h)
{
    int n = 0;
    for (int i = 0; i < OW_LEAD_CLASSES * OW_MARKS; i++) {
        const ow_foretold *m = &h->mark[i / OW_MARKS][i % OW_MARKS];
        n += m->utc_s > h->checked_s;
    }
    return n;
}

static bool is_sound(const ow_foretold *m)
{
    return m->utc_s < INT64_MAX && m->lead_h >= 0.0 && fabs(m->air_c) < 100.0 &&
           m->air_sd_k >= 0.0;
}

static void pack_mark(ow_hindsight *h, ow_pack *pack, ow_foretold *m)
{
    ow_pack_time(pack, &m->utc_s);
    ow_pack_double(pack, &m->lead_h);
    ow_pack_double(pack, &m->air_c);
    ow_pack_double(pack, &m->cloud_pct);
    ow_pack_double(pack, &m->air_sd_k);
    if (pack->reading && pack->status == OW_OK) {
        if (is_sound(m)) {
            keep(h, m);
        } else {
            pack->status = OW_BAD_INPUT;
        }
    }
}

void ow_hindsight_pack(ow_hindsight *h, ow_pack *pack)
{
    int n = count_marks(h), at = 0;
    ow_bias_pack(&h->bias, pack);
    ow_forecast_skill_pack(&h->skill, pack);
    ow_pack_time(pack, &h->checked_s);
    ow_pack_int(pack, &n, 0, OW_LEAD_CLASSES * OW_MARKS);
    for (int i = 0; pack->reading && i < n && pack->status == OW_OK; i++) {
        ow_foretold m = {0};
        pack_mark(h, pack, &m);
    }
    for (; !pack->reading && at < OW_LEAD_CLASSES * OW_MARKS; at++) {
        ow_foretold *m = &h->mark[at / OW_MARKS][at % OW_MARKS];
        if (m->utc_s > h->checked_s) {
            pack_mark(h, pack, m);
        }
    }
    if (pack->reading && pack->status != OW_OK) {
        ow_hindsight_init(h); /* half a memory is worse than none */
    }
}
