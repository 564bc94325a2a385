/* SPDX-License-Identifier: MIT */
/* Announcements by the garden file's own templates, for a hub with a format of its own. */
#ifndef OVERWINTER_HUB_ANNOUNCE_H
#define OVERWINTER_HUB_ANNOUNCE_H

#include "hub/tree.h"

/* Are the properties known that announcements name? `text` is what the garden was read from. Those
 * that are not are told with their place in it and the choices: OW_BAD_INPUT. OW_NO_MEMORY. */
OW_CHECK ow_status ow_announce_check(const ow_garden *garden, const char *file_name,
                                     const char *text, size_t size, ow_report *report);

/* Says all, retained, from *done on (0 at first), as long as the host takes them. True: all are
 * said. */
bool ow_announce_all(const ow_tree *tree, const ow_garden *garden, size_t *done,
                     const ow_host *host);

#endif
