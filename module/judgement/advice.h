/* SPDX-License-Identifier: MIT */
/* What a garden file says, and what cold does to it before any weather is known. */
#ifndef OVERWINTER_JUDGEMENT_ADVICE_H
#define OVERWINTER_JUDGEMENT_ADVICE_H

#include "garden/forcing.h"
#include "garden/garden.h"
#include "status.h"

/*
 * Says, in lines of at most 80 columns: stock and outputs; for each plant where it stands, what
 * there is to lift, its limits with source and grade, and how long it holds out in a steady frost,
 * bare and under each cover at hand; which plants need what first; and whether heaters are large
 * enough for the coldest night of `record`, which may be empty or NULL. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_advise(const ow_garden *garden, const ow_forcing *record,
                             ow_report *report);

#endif
