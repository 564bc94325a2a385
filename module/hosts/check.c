/* SPDX-License-Identifier: MIT */
#include "hosts/check.h"

#include "hosts/garden_file.h"
#include "hosts/local_time.h"
#include "hosts/past_winters.h"
#include "hosts/weather_file.h"

static ow_status feed_record(const ow_module *module, ow_engine *engine, const char *path,
                             ow_report *report)
{
    ow_weather_file weather;
    ow_status status = ow_weather_file_open(path, report, &weather);
    if (status == OW_OK) {
        status = module->weather(engine, weather.row, weather.count);
        ow_weather_file_free(&weather);
    }
    return status;
}

ow_status ow_check(const ow_module *module, const char *garden, const char *weather,
                   ow_report *report)
{
    const ow_host host = {.utc_offset_s = ow_local_offset_s};
    ow_engine *engine;
    ow_status status = ow_garden_file_open(module, &host, garden, NULL, report, &engine);
    if (status != OW_OK) {
        return status;
    }
    if (weather != NULL) {
        status = feed_record(module, engine, weather, report);
    }
    if (status == OW_OK) {
        status = module->check(engine, report);
        ow_past_winters_tell(module, engine, report);
    }
    module->close(engine);
    return status;
}
