/* SPDX-License-Identifier: MIT */
#include "garden/prices.h"

#include "garden/json_payload.h"
#include "garden/number_text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* No price is beyond it, in whatever money. */
static const double PRICE_MOST = 1e9;

void ow_prices_init(ow_prices *prices, const ow_price_source *source)
{
    *prices = (ow_prices){.source = source};
}

/* ---- taking them ----------------------------------------------------------------------------- */

/* Puts it where its time belongs; of two of one time the later in the message holds. */
static void insert(ow_prices *p, ow_price price)
{
    int at = p->rows;
    while (at > 0 && p->row[at - 1].from_s > price.from_s) {
        at--;
    }
    if (at > 0 && p->row[at - 1].from_s == price.from_s) {
        p->row[at - 1] = price;
    } else if (p->rows < OW_PRICES) {
        memmove(&p->row[at + 1], &p->row[at], (size_t)(p->rows - at) * sizeof p->row[0]);
        p->row[at] = price;
        p->rows++;
    }
}

/* All that can be read; a price that is none leaves a hole that the one before must not fill. */
static bool read_list(ow_prices *p, const cJSON *list, ow_utc_s now_s)
{
    for (const cJSON *item = list->child; item != NULL; item = item->next) {
        ow_price price = {.price = NAN};
        if (!ow_json_time(ow_json_at(item, p->source->time), &price.from_s)) {
            return false;
        }
        if (!ow_json_number(ow_json_at(item, p->source->price), &price.price) ||
            !(fabs(price.price) <= PRICE_MOST)) {
            price.price = NAN;
        }
        if (price.from_s > now_s - OW_DAY_S) {
            insert(p, price);
        }
    }
    return true;
}

static ow_cause refuse(const ow_prices *p, ow_cause cause, const char *what, char why[OW_WHY_TEXT])
{
    snprintf(why, OW_WHY_TEXT, "%.160s: the prices %.200s", p->source->topic, what);
    return cause;
}

static ow_cause take(ow_prices *fresh, const void *bytes, size_t size, ow_instant now,
                     char why[OW_WHY_TEXT])
{
    char what[OW_WHY_TEXT / 2];
    cJSON *root = NULL;
    if (size > OW_PRICES_SIZE_MAX) {
        return refuse(fresh, OW_CAUSE_LONG, "come in more than 64 KiB; send fewer hours", why);
    }
    ow_status status = ow_json_payload(bytes, size, what, sizeof what, &root);
    if (status != OW_OK) {
        return status == OW_NO_MEMORY
                   ? refuse(fresh, OW_CAUSE_MEMORY, "could not be read: out of memory", why)
                   : refuse(fresh, OW_CAUSE_JSON, "are not valid JSON; mend the sender", why);
    }
    const cJSON *list = ow_json_at(root, fresh->source->list);
    bool listed = cJSON_IsArray(list), timed = listed && read_list(fresh, list, now.utc_s);
    cJSON_Delete(root);
    if (!listed) {
        return refuse(fresh, OW_CAUSE_NOT_THERE, "are no list; mend the pointer \"list\"", why);
    }
    if (!timed) {
        return refuse(fresh, OW_CAUSE_TIME,
                      "have one without a time (ISO 8601 or seconds since 1970); mend the pointer "
                      "\"time\" or the sender", why);
    }
    if (fresh->rows == 0 || fresh->row[fresh->rows - 1].from_s + OW_HOUR_S <= now.utc_s) {
        return refuse(fresh, OW_CAUSE_SHORT, "have none for now or ahead; mend the sender", why);
    }
    return OW_CAUSE_NONE;
}

ow_cause ow_prices_take(ow_prices *p, const void *bytes, size_t size, ow_instant now,
                        ow_report *report)
{
    char why[OW_WHY_TEXT];
    ow_prices fresh = {
        .source = p->source, .received_s = now.boot_s, .complaints = p->complaints};
    ow_cause cause = take(&fresh, bytes, size, now, why);
    if (cause != OW_CAUSE_NONE) {
        ow_complain(&p->complaints, cause, why, now.boot_s, report);
        return cause;
    }
    *p = fresh;
    ow_complaints_end(&p->complaints, p->source->topic, "prices", now.boot_s, report);
    return OW_CAUSE_NONE;
}

/* ---- what they are --------------------------------------------------------------------------- */

static ow_utc_s end_s(const ow_prices *p, int row)
{
    return row + 1 < p->rows ? p->row[row + 1].from_s : p->row[row].from_s + OW_HOUR_S;
}

double ow_prices_least(const ow_prices *p, double boot_s, ow_utc_s from_s, ow_utc_s until_s)
{
    double least = INFINITY;
    ow_utc_s known_s = 0;
    if (p->rows == 0 || boot_s - p->received_s > p->source->stale_after_h * OW_HOUR_S) {
        return NAN;
    }
    for (int i = 0; i < p->rows; i++) {
        ow_utc_s begin_s = p->row[i].from_s > from_s ? p->row[i].from_s : from_s;
        ow_utc_s last_s = end_s(p, i) < until_s ? end_s(p, i) : until_s;
        if (last_s > begin_s && !isnan(p->row[i].price)) {
            least = fmin(least, p->row[i].price);
            known_s += last_s - begin_s;
        }
    }
    return until_s > from_s && known_s == until_s - from_s ? least : NAN;
}
