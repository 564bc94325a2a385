/* SPDX-License-Identifier: MIT */
/* Verdicts as plain sentences: the part, the temperature, the time, what is asked. */
#ifndef OVERWINTER_JUDGEMENT_REASON_H
#define OVERWINTER_JUDGEMENT_REASON_H

#include "judgement/verdict.h"

/* Local time comes from the host. */
typedef struct ow_local {
    int (*utc_offset_s)(void *self, int64_t utc_s);
    void *self;
} ow_local;

enum { OW_REASON_TEXT = 600, OW_ACTION_TEXT = 160, OW_WHEN_TEXT = 32 };

/* "Thu 30 Jan 05:00" in local time; returns text. */
char *ow_when(const ow_local *local, ow_utc_s utc_s, char text[OW_WHEN_TEXT]);

/* To a tenth of a degree, for people: no "-0.0". */
double ow_tenth_c(double c);

/* The one sentence (or two) that explains a verdict. give: what the plan lets it give; NULL. */
void ow_reason(const ow_verdict *verdict, const ow_outlook *outlook, const ow_scene *scene,
               int plant, const ow_give *give, const ow_local *local, char text[OW_REASON_TEXT]);

/* What is asked, e.g. "cover with fleece", "carry to cellar"; empty when nothing is. */
void ow_action(const ow_verdict *verdict, const ow_garden *garden, char text[OW_ACTION_TEXT]);

#endif
