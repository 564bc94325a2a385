/* SPDX-License-Identifier: MIT */
#include "judgement/watch_list.h"

#include <stdio.h>

#include "judgement/reason.h"
#include "plants/lookback.h"

int ow_watch_list(const ow_condition *condition, const ow_tolerance *stands, double latitude_deg,
                  ow_watch_item item[OW_PARTS])
{
    int n = 0;
    for (int p = 0; p < OW_PARTS; p++) {
        const ow_harm_watch *w = &condition->watch[p];
        if (w->damaged || w->killed) {
            item[n++] = (ow_watch_item){.part = (ow_part)p,
                                        .killed = w->killed,
                                        .lowest_c = w->lowest_c,
                                        .lowest_s = w->lowest_at,
                                        .damaged_c = stands->limit[p].damaged_c,
                                        .killed_c = stands->limit[p].killed_c,
                                        .look_s = ow_look_again_s((ow_part)p, w->lowest_at,
                                                                  latitude_deg)};
        }
    }
    return n;
}

int ow_watch_decides(const ow_watch_item *item, int n)
{
    int best = -1;
    for (int i = 0; i < n; i++) {
        bool more = best < 0 || item[i].killed > item[best].killed ||
                    (item[i].killed == item[best].killed && item[i].look_s > item[best].look_s);
        best = more ? i : best;
    }
    return best;
}

ow_utc_s ow_watch_look_s(const ow_condition *condition, const ow_tolerance *stands,
                         double latitude_deg)
{
    ow_watch_item item[OW_PARTS];
    int decides = ow_watch_decides(item, ow_watch_list(condition, stands, latitude_deg, item));
    return decides >= 0 ? item[decides].look_s : OW_NEVER;
}

void ow_watch_answer(const ow_watch_item *item, const char *word, char text[OW_ANSWER_TEXT])
{
    snprintf(text, OW_ANSWER_TEXT, "%.9s; %s %.1f C (limits %.1f, %.1f C)", word,
             ow_part_name(item->part), ow_tenth_c(item->lowest_c), item->damaged_c,
             item->killed_c);
}
