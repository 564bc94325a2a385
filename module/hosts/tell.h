/* SPDX-License-Identifier: MIT */
/* `overwinter tell GARDEN THING WORD [VALUE]`: what a person has to say to a garden that is minded.
 */
#ifndef OVERWINTER_HOSTS_TELL_H
#define OVERWINTER_HOSTS_TELL_H

#include "hosts/options.h"
#include "overwinter.h"

/*
 * Joins the garden's broker, reads from its `$description` what may be said, says it and waits up
 * to ten seconds for the garden to show it; prints one sentence. OW_BAD_INPUT: the file, a word
 * that is not known (the choices are told), or the garden refuses (its reason is told). OW_IO: no
 * broker, nobody minds the garden, or no answer. OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_tell(const ow_module *module, const ow_options *options, ow_report *report);

#endif
