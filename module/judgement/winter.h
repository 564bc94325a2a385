/* SPDX-License-Identifier: MIT */
/*
 * The season of one garden: it opens with the first risk to a plant and closes by itself after the
 * last one, in the warm half of the year. Once in it the water outside is drained.
 *
 * Common practice, no source: hose, tap and butt are drained before the air first falls to
 * OW_HARD_FROST_C; a month without risk in spring is the end.
 */
#ifndef OVERWINTER_JUDGEMENT_WINTER_H
#define OVERWINTER_JUDGEMENT_WINTER_H

#include "garden/pack.h"
#include "judgement/outlook.h"

#define OW_WINTER_QUIET_S (30 * OW_DAY_S)

#define OW_DRAIN_MIN 15

typedef struct ow_winter {
    bool open;
    ow_utc_s opened_s, last_risk_s; /* valid when open, and of the last season afterwards */
    bool drained;                   /* in this season */
} ow_winter;

typedef enum ow_winter_news {
    OW_WINTER_NO_NEWS,
    OW_WINTER_OPENS,
    OW_WINTER_CLOSES
} ow_winter_news;

/* A verdict on all plants was made at now_s; `risk`: something threatens one of them. */
ow_winter_news ow_winter_note(ow_winter *winter, bool risk, ow_utc_s now_s, double latitude_deg);

/* Whether to drain, and by when: before the first step of the outlook at OW_HARD_FROST_C or less
 * out of doors. OW_NEVER: not now, or done in this season. */
ow_utc_s ow_winter_drain_s(const ow_winter *winter, const ow_outlook *outlook);

void ow_winter_pack(ow_winter *winter, ow_pack *pack);

#endif
