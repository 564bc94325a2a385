/* SPDX-License-Identifier: MIT */
/*
 * The prices of electricity by the hour, as a topic tells them, by pointers. A price holds from its
 * time until the next one's, the last of them for an hour. They are only compared with each other,
 * so their unit does not matter. A message is taken whole or not at all.
 */
#ifndef OVERWINTER_GARDEN_PRICES_H
#define OVERWINTER_GARDEN_PRICES_H

#include "garden/complaint.h"
#include "garden/garden.h"
#include "garden/sensor.h"

#define OW_PRICES_SIZE_MAX (64u * 1024u)

enum { OW_PRICES = 400 }; /* four days of quarters of an hour; later ones are left out */

typedef struct ow_price {
    ow_utc_s from_s;
    double price;
} ow_price;

typedef struct ow_prices {
    const ow_price_source *source; /* the garden's; outlives it */
    ow_price row[OW_PRICES];       /* rising times */
    int rows;
    double received_s; /* boot clock: their age counts from here, also of a stored message: what is
                          in it says its own time */
    ow_complaints complaints;
} ow_prices;

void ow_prices_init(ow_prices *prices, const ow_price_source *source);

/* One message on the topic. Anything but OW_CAUSE_NONE changed nothing. */
ow_cause ow_prices_take(ow_prices *prices, const void *bytes, size_t size, ow_instant now,
                        ow_report *report);

/* Least price from one time to a later one; NAN where they are stale or part of it has no price. */
double ow_prices_least(const ow_prices *prices, double boot_s, ow_utc_s from_s, ow_utc_s until_s);

#endif
