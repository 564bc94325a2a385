/* SPDX-License-Identifier: MIT */
/* Verdicts as plain sentences: the part, the temperature, the time, what is asked. */
#ifndef OVERWINTER_JUDGEMENT_REASON_H
#define OVERWINTER_JUDGEMENT_REASON_H

#include "judgement/speech.h"
#include "judgement/verdict.h"

enum { OW_REASON_TEXT = 600, OW_ACTION_TEXT = 160, OW_REASON_CODE = 1800, OW_ACTION_CODE = 500 };

/* The one sentence (or two) that explains a verdict, spoken. give: what the plan lets it give, or
 * NULL. */
void ow_reason(const ow_verdict *verdict, const ow_outlook *outlook, const ow_scene *scene,
               int plant, const ow_give *give, ow_speech *to);

/* What is asked, e.g. "cover with fleece", "carry to cellar"; nothing when nothing is. */
void ow_action(const ow_verdict *verdict, const ow_garden *garden, ow_speech *to);

/* Between the parts of what is asked. */
#define OW_ACTION_JOINT " and "

/* The same as English alone. */
void ow_action_text(const ow_verdict *verdict, const ow_garden *garden, char text[OW_ACTION_TEXT]);

#endif
