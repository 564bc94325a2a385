/* SPDX-License-Identifier: MIT */
/* What speaks against a cloth drive moving. Used by drive.c; open to tests. */
#ifndef OVERWINTER_OUTPUTS_DRIVE_CAUSES_H
#define OVERWINTER_OUTPUTS_DRIVE_CAUSES_H

#include "outputs/drive.h"

bool ow_drive_spec_sound(const ow_drive_spec *spec);

bool ow_drive_wind_usable(const ow_drive_spec *spec, ow_sensed wind);

bool ow_drive_moving(const ow_drive *drive);

/* True when there is a contact at the closed or else the open end. */
bool ow_drive_has_end(const ow_drive_spec *spec, bool closing);

/* True when the contact at that end says that the cloth is there. */
bool ow_drive_at_end(const ow_drive_spec *spec, const ow_drive_inputs *in, bool closing);

/* Every cause seen now, save the events that await a reading. */
ow_blocks ow_drive_causes(const ow_drive_spec *spec, const ow_drive *drive,
                          const ow_drive_inputs *in);

#endif
