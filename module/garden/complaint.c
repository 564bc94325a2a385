/* SPDX-License-Identifier: MIT */
#include "garden/complaint.h"

#include "physics/calendar.h"

static bool power_of_ten(unsigned long n)
{
    while (n > 1 && n % 10 == 0) {
        n /= 10;
    }
    return n == 1;
}

void ow_complain(ow_complaints *complaints, ow_cause cause, const char *why, double boot_s,
                 ow_report *report)
{
    ow_complaint *c = &complaints->of[cause];
    if (c->count > 0 && boot_s - c->last_s > OW_HEALED_S && !c->open) {
        *c = (ow_complaint){0};
    }
    c->count++;
    c->last_s = boot_s;
    complaints->total++;
    if (!power_of_ten(c->count) && boot_s - c->told_s < OW_DAY_S) {
        return;
    }
    c->told_s = boot_s;
    c->open = true;
    if (c->count == 1) {
        ow_error(report, "%s", why);
    } else {
        ow_error(report, "%s (%lu times now)", why, c->count);
    }
}

void ow_complaints_end(ow_complaints *complaints, const char *topic, const char *who, double boot_s,
                       ow_report *report)
{
    for (int cause = 0; cause < OW_CAUSES; cause++) {
        ow_complaint *c = &complaints->of[cause];
        if (c->open) {
            c->open = false;
            ow_say(report,
                   "%s: %s can be read again, %.0f s after the last of %lu bad messages"
                   " (%s)",
                   topic, who, boot_s - c->last_s, c->count, ow_cause_name((ow_cause)cause));
        }
    }
}
