/* SPDX-License-Identifier: MIT */
#include "judgement/winter.h"

#include "plants/season.h"

/* Below this share of hardness that the date allows it is the warm half of the year: in the north
 * from the first week of April to the middle of October. */
static const double WARM_HALF = 0.5;

static ow_winter_news opens(ow_winter *w, ow_utc_s now_s)
{
    *w = (ow_winter){.open = true, .opened_s = now_s, .last_risk_s = now_s};
    return OW_WINTER_OPENS;
}

ow_winter_news ow_winter_note(ow_winter *w, bool risk, ow_utc_s now_s, double latitude_deg)
{
    if (risk && !w->open) {
        return opens(w, now_s);
    }
    if (risk) {
        w->last_risk_s = now_s;
    }
    bool quiet = now_s - w->last_risk_s >= OW_WINTER_QUIET_S;
    if (w->open && quiet && ow_hardening_allowed(now_s, latitude_deg) < WARM_HALF) {
        w->open = false;
        return OW_WINTER_CLOSES;
    }
    return OW_WINTER_NO_NEWS;
}

ow_utc_s ow_winter_drain_s(const ow_winter *w, const ow_outlook *o)
{
    bool done = w->open && w->drained;
    return done || o->steps == 0 ? OW_NEVER : o->hard_frost_s;
}

void ow_winter_pack(ow_winter *w, ow_pack *pack)
{
    ow_pack_bool(pack, &w->open);
    ow_pack_bool(pack, &w->drained);
    ow_pack_time(pack, &w->opened_s);
    ow_pack_time(pack, &w->last_risk_s);
}
