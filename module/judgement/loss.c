/* SPDX-License-Identifier: MIT */
#include "judgement/loss.h"

#include <math.h>

double ow_act_from_risk(ow_value value)
{
    static const double from[] = {
        [OW_VALUE_ORDINARY] = 0.25, [OW_VALUE_TREASURED] = 0.10, [OW_VALUE_IRREPLACEABLE] = 0.03};
    return (unsigned)value <= OW_VALUE_IRREPLACEABLE ? from[value] : from[OW_VALUE_ORDINARY];
}

static const double weight[OW_PARTS] = {[OW_FOLIAGE] = 1.0,
                                        [OW_BUDS] = 1.0,
                                        [OW_ROOTS] = 3.0,
                                        [OW_GROWING_POINT] = 4.0,
                                        [OW_STORAGE_ORGAN] = 4.0};
static const double KILLED_WEIGHS = 10.0;

/* Frozen roots too long: it suffers as leaves do, and may die as a whole. */
static const double SUFFERS_WEIGHS = 2.0, MAY_DIE_WEIGHS = 30.0;

/* What a kelvin below a limit adds to a risk of one, up to ten of them. */
static const double DEPTH_PER_K = 0.0005, DEPTH_MOST_K = 10.0;

double ow_value_counts(ow_value value)
{
    static const double counts[] = {
        [OW_VALUE_ORDINARY] = 1.0, [OW_VALUE_TREASURED] = 3.0, [OW_VALUE_IRREPLACEABLE] = 10.0};
    return counts[value];
}

typedef struct news {
    bool damaged, killed;
} news;

static news news_of(const ow_course *course, const ow_condition *condition, int part)
{
    const ow_harm_watch *w = &condition->watch[part];
    return (news){course->damaged_s[part] != OW_NEVER && !w->damaged,
                  course->killed_s[part] != OW_NEVER && !w->killed};
}

ow_threat ow_threat_of(const ow_course *course, const ow_condition *condition)
{
    ow_threat t = {.at_s = OW_NEVER};
    for (int p = 0; p < OW_PARTS; p++) {
        news n = news_of(course, condition, p);
        ow_utc_s at = n.damaged ? course->damaged_s[p] : n.killed ? course->killed_s[p] : OW_NEVER;
        t.weight += weight[p] * ((n.damaged ? 1.0 : 0.0) + (n.killed ? KILLED_WEIGHS : 0.0));
        t.kills |= n.killed;
        if (at < t.at_s) {
            t.any = true;
            t.at_s = at;
            t.part = (ow_part)p;
            t.lowest_c = course->lowest_c[p];
            t.lowest_s = course->lowest_s[p];
            t.limit_c = course->limit_c[p];
        }
    }
    return t;
}

double ow_risk_of(const ow_course *course, ow_part part, bool killed, double share)
{
    ow_utc_s at = killed ? course->killed_s[part] : course->damaged_s[part];
    double depth_k = fmax(0.0, course->limit_c[part] - course->lowest_c[part]);
    return at == OW_NEVER ? 0.0 : share + DEPTH_PER_K * fmin(depth_k, DEPTH_MOST_K);
}

/* What the drought clock will pass and has not passed yet. */
static double drought_weighs(const ow_course *course, const ow_condition *condition,
                             const ow_tolerance *stands)
{
    double days = ow_drought_clock_days(&condition->drought);
    bool suffers = days < stands->suffers_days && course->suffers_s != OW_NEVER;
    bool dies = days < stands->may_die_days && course->may_die_s != OW_NEVER;
    return (suffers ? SUFFERS_WEIGHS : 0.0) + (dies ? MAY_DIE_WEIGHS : 0.0);
}

ow_loss ow_loss_of(const ow_course *course, const ow_condition *condition, const ow_plant *plant,
                   double share)
{
    ow_loss loss = {0.0, 0.0};
    for (int p = 0; p < OW_PARTS; p++) {
        ow_part part = (ow_part)p;
        news n = news_of(course, condition, p);
        double damaged = n.damaged ? weight[p] : 0.0;
        double killed = n.killed ? weight[p] * KILLED_WEIGHS : 0.0;
        loss.sure += damaged + killed;
        loss.expected += damaged * ow_risk_of(course, part, false, share) +
                         killed * ow_risk_of(course, part, true, share);
    }
    double drought = drought_weighs(course, condition, &plant->tolerance);
    loss.sure += drought;
    loss.expected = ow_value_counts(plant->value) * (loss.expected + drought);
    return loss;
}
