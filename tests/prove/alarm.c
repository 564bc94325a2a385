/* SPDX-License-Identifier: MIT */
/* Alarms. */
#include "prove/contracts.h"

/*@ requires \valid_read(alarms) && \valid_read(row) && i < OW_INTERLOCKS;
    assigns \nothing; */
static bool is_told(const ow_alarms *alarms, const ow_interlock_row *row, unsigned i, bool holds,
                    bool needed);

#include "outputs/alarm.c"
