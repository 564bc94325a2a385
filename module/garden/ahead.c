/* SPDX-License-Identifier: MIT */
#include "garden/ahead.h"

#include "garden/persistence.h"
#include "garden/relax.h"

enum { DAY_H = 24 };

const char *ow_ahead_name(ow_ahead ahead)
{
    static const char *const name[] = {
        "nothing", "the last day over again (no fresh forecast)",
        "a clear night, then the last day over again (no fresh forecast)", "the forecast"};
    size_t i = (size_t)ahead;
    return i < sizeof name / sizeof name[0] ? name[i] : "?";
}

static ow_view from_forecast(const ow_known *k, ow_instant now, ow_utc_s until_s,
                             ow_weather_at *rows, size_t room)
{
    size_t n = ow_forecast_rows(k->forecast, now, until_s, rows, room);
    ow_hindsight_apply(k->hindsight, k->site, rows, n);
    return (ow_view){n > 0 ? OW_AHEAD_FORECAST : OW_AHEAD_NONE, n, n};
}

static ow_view from_measured(const ow_known *k, ow_instant now, int hours, ow_weather_at *rows,
                             size_t room)
{
    int day = hours < DAY_H ? hours : DAY_H;
    day = (size_t)day < room ? day : (int)room;
    if (ow_persist(k->measured, now.utc_s, day, rows) != OW_OK) {
        return (ow_view){.from = OW_AHEAD_NONE};
    }
    size_t n = (size_t)day;
    bool night = ow_nights_lay(k->nights, k->site, k->measured, now.utc_s, rows, n);
    return (ow_view){night ? OW_AHEAD_NIGHT : OW_AHEAD_PERSISTED, n, n};
}

ow_view ow_look_ahead(const ow_known *k, ow_instant now, int hours, ow_weather_at *rows,
                      size_t room)
{
    ow_utc_s until_s = now.utc_s + (ow_utc_s)hours * OW_HOUR_S;
    ow_view view = from_forecast(k, now, until_s, rows, room);
    if (view.from == OW_AHEAD_NONE) {
        view = from_measured(k, now, hours, rows, room);
    }
    if (view.rows > 0) {
        view.rows = ow_relax_on(k->site, k->measured, rows, view.rows, room, until_s);
    }
    return view;
}
