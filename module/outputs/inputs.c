/* SPDX-License-Identifier: MIT */
#include "outputs/inputs.h"

int32_t ow_milli_of(double value)
{
    if (value >= -2.0e6 && value <= 2.0e6) {
        return (int32_t)(value * 1000.0 + (value < 0.0 ? -0.5 : 0.5));
    }
    return OW_MILLI_NONE;
}

ow_sensed ow_sensed_of(double value, uint32_t age_ms)
{
    ow_sensed sensed = {.milli = ow_milli_of(value), .age_ms = age_ms};
    sensed.known = sensed.milli != OW_MILLI_NONE;
    return sensed;
}

bool ow_sensed_fresh(ow_sensed sensed, uint32_t stale_ms, int32_t low, int32_t high)
{
    return sensed.known && sensed.age_ms <= stale_ms && sensed.age_ms != OW_AGE_UNKNOWN &&
           sensed.milli >= low && sensed.milli <= high;
}

bool ow_sensed_usable(ow_sensed sensed, uint32_t stale_ms, int32_t low, int32_t high)
{
    return !sensed.contradicted && ow_sensed_fresh(sensed, stale_ms, low, high);
}

bool ow_parts(ow_accord accord)
{
    return accord != OW_ACCORD_UNKNOWN && accord != OW_ACCORD_AGREES;
}

ow_contact ow_contact_worse(ow_contact a, ow_contact b)
{
    if (a == OW_CONTACT_OPEN || b == OW_CONTACT_OPEN) {
        return OW_CONTACT_OPEN;
    }
    return a == OW_CONTACT_SHUT && b == OW_CONTACT_SHUT ? OW_CONTACT_SHUT : OW_CONTACT_UNKNOWN;
}
