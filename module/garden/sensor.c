/* SPDX-License-Identifier: MIT */
#include "garden/sensor.h"

#include "garden/quantity.h"

#include <math.h>
#include <stdio.h>

/* Own times carry whole seconds of the wall clock: so much disorder is none. */
#define SLACK_S 2.0
/* A slow sender has not said the same often enough to be called stuck. */
#define STUCK_MESSAGES 10

const char *ow_quality_name(ow_quality quality)
{
    static const char *const name[] = {"missing", "stale", "stored", "measured"};
    size_t i = (size_t)quality;
    return i < sizeof name / sizeof name[0] ? name[i] : "?";
}

void ow_sensor_init(ow_sensor *sensor, const ow_reading *reading)
{
    *sensor = (ow_sensor){.reading = reading, .value = NAN};
}

void ow_sensor_doubt(ow_sensor *sensor)
{
    sensor->age_known = false;
    sensor->doubted = false;
}

static double stale_s(const ow_sensor *sensor)
{
    return 60.0 * sensor->reading->stale_after_min;
}

/* How old a sample is, s; NAN: unknown. The relative time of a stored one tells nothing. */
static double age_of(const ow_sample *sample, bool stored, ow_instant now)
{
    if (sample->timed == OW_TIME_UTC) {
        return (double)now.utc_s - sample->time_s;
    }
    if (stored) {
        return NAN;
    }
    return sample->timed == OW_TIME_SINCE_SENT ? -sample->time_s : 0.0;
}

static ow_cause bad_time(const ow_sensor *sensor, double age_s, char why[OW_WHY_TEXT])
{
    snprintf(
        why, OW_WHY_TEXT,
        "%.160s: %s is %.0f s %s by its own time; it may be %.0f s old or %.0f s ahead; set the"
        " sender's clock or leave the time out",
        sensor->reading->topic, sensor->reading->id, fabs(age_s), age_s < 0 ? "ahead" : "old",
        stale_s(sensor), OW_AHEAD_S);
    return OW_CAUSE_TIME;
}

static ow_cause bad_order(const ow_sensor *sensor, double taken_s, char why[OW_WHY_TEXT])
{
    snprintf(why, OW_WHY_TEXT,
             "%.160s: %s is %.0f s older than the one before; send readings in order",
             sensor->reading->topic, sensor->reading->id, sensor->taken_s - taken_s);
    return OW_CAUSE_TIME;
}

static ow_cause bad_range(const ow_sensor *sensor, double value, char why[OW_WHY_TEXT])
{
    const ow_quantity *q = ow_quantity_of(sensor->reading->measures);
    const char *unit = ow_unit_name(q->unit);
    snprintf(why, OW_WHY_TEXT,
             "%.160s: %s is %.6g %s; %s is %.6g to %.6g %s; look at the sensor and at its unit",
             sensor->reading->topic, sensor->reading->id, value, unit, q->what, q->low, q->high,
             unit);
    return OW_CAUSE_RANGE;
}

static bool close_to(const ow_quantity *q, double a, double b, double apart_s)
{
    return fabs(a - b) <= q->jump + q->per_min * apart_s / 60.0;
}

/* A change that no weather makes waits for a second message that says much the same. */
static ow_cause check_jump(ow_sensor *sensor, double value, double taken_s, char why[OW_WHY_TEXT])
{
    const ow_quantity *q = ow_quantity_of(sensor->reading->measures);
    if (!sensor->known || !sensor->age_known ||
        close_to(q, value, sensor->value, taken_s - sensor->taken_s)) {
        return OW_CAUSE_NONE;
    }
    if (sensor->doubted && taken_s > sensor->doubt_s &&
        close_to(q, value, sensor->doubt, taken_s - sensor->doubt_s)) {
        return OW_CAUSE_NONE;
    }
    snprintf(why, OW_WHY_TEXT,
             "%.160s: %s goes from %.6g to %.6g %s in %.0f s; more than %.6g %s and %.6g a minute"
             " is believed when the next reading agrees",
             sensor->reading->topic, sensor->reading->id, sensor->value, value,
             ow_unit_name(q->unit), taken_s - sensor->taken_s, q->jump, ow_unit_name(q->unit),
             q->per_min);
    sensor->doubted = true;
    sensor->doubt = value;
    sensor->doubt_s = taken_s;
    return OW_CAUSE_JUMP;
}

static void believe(ow_sensor *sensor, double value, double taken_s, bool age_known)
{
    bool same = sensor->known && value <= sensor->value && value >= sensor->value;
    if (!same) {
        sensor->same_since_s = taken_s;
        sensor->same = 0;
    }
    sensor->same++;
    sensor->taken++;
    sensor->known = true;
    sensor->age_known = age_known;
    sensor->value = value;
    sensor->taken_s = taken_s;
    sensor->doubted = false;
}

/* One of unknown age is only better than nothing, than another such, and than a stale one. */
static void feed_ageless(ow_sensor *sensor, double value, double boot_s)
{
    if (!sensor->known || !sensor->age_known || boot_s - sensor->taken_s > stale_s(sensor)) {
        believe(sensor, value, boot_s, false);
    }
}

ow_cause ow_sensor_feed(ow_sensor *sensor, const ow_sample *sample, bool stored, ow_instant now,
                        char why[OW_WHY_TEXT])
{
    const ow_quantity *q = ow_quantity_of(sensor->reading->measures);
    double age_s = age_of(sample, stored, now);
    double value = fmin(fmax(sample->value, q->least), q->most);
    bool in_reason = age_s >= -OW_AHEAD_S && age_s <= stale_s(sensor);
    ow_cause cause;
    if (!(sample->value >= q->low && sample->value <= q->high)) {
        return bad_range(sensor, sample->value, why);
    }
    if (!in_reason && !stored) {
        return bad_time(sensor, age_s, why);
    }
    if (!in_reason) {
        feed_ageless(sensor, value, now.boot_s);
        return OW_CAUSE_NONE;
    }
    double taken_s = now.boot_s - fmax(age_s, 0.0);
    if (sensor->known && sensor->age_known && taken_s < sensor->taken_s - SLACK_S) {
        return stored ? OW_CAUSE_NONE : bad_order(sensor, taken_s, why);
    }
    taken_s = sensor->age_known ? fmax(taken_s, sensor->taken_s) : taken_s;
    cause = check_jump(sensor, value, taken_s, why);
    if (cause == OW_CAUSE_NONE) {
        believe(sensor, value, taken_s, true);
    }
    return cause;
}

ow_cause ow_sensor_take(ow_sensor *sensor, const void *bytes, size_t size, bool stored,
                        ow_instant now, ow_report *report)
{
    char why[OW_WHY_TEXT];
    ow_sample sample;
    const ow_reading *reading = sensor->reading;
    ow_cause cause = ow_payload_read(reading, bytes, size, &sample, why);
    if (cause == OW_CAUSE_NONE) {
        cause = ow_sensor_feed(sensor, &sample, stored, now, why);
    }
    if (cause == OW_CAUSE_NONE) {
        ow_complaints_end(&sensor->complaints, reading->topic, reading->id, now.boot_s, report);
    } else {
        ow_complain(&sensor->complaints, cause, why, now.boot_s, report);
    }
    return cause;
}

ow_observed ow_sensor_look(const ow_sensor *sensor, double boot_s)
{
    const ow_quantity *q = ow_quantity_of(sensor->reading->measures);
    double age_s = boot_s - sensor->taken_s;
    ow_observed seen = {.value = NAN, .age_s = INFINITY, .lowest = NAN, .highest = NAN};
    if (!sensor->known) {
        return seen;
    }
    seen.quality = age_s > stale_s(sensor) ? OW_QUALITY_STALE
                   : sensor->age_known     ? OW_QUALITY_MEASURED
                                           : OW_QUALITY_STORED;
    seen.value = seen.lowest = seen.highest = sensor->value;
    seen.age_s = sensor->age_known ? fmax(age_s, 0.0) : INFINITY;
    seen.may_arm = seen.quality == OW_QUALITY_MEASURED;
    seen.fresh = seen.may_arm ? 1 : 0;
    seen.stuck = seen.may_arm && sensor->same >= STUCK_MESSAGES &&
                 sensor->taken_s - sensor->same_since_s > q->stuck_h * OW_HOUR_S;
    return seen;
}
