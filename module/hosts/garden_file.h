/* SPDX-License-Identifier: MIT */
/* Opens an engine on a garden file. */
#ifndef OVERWINTER_HOSTS_GARDEN_FILE_H
#define OVERWINTER_HOSTS_GARDEN_FILE_H

#include "overwinter.h"

#define OW_GARDEN_FILE_MOST ((size_t)1024 * 1024)

/*
 * Reads the file, opens an engine on it and takes the garden's time zone. settings may be NULL for
 * a garden that is only checked. The engine is the caller's, to be closed by module->close.
 * Whatever is wrong with the file is told and is OW_BAD_INPUT.
 */
OW_CHECK ow_status ow_garden_file_open(const ow_module *module, const ow_host *host,
                                       const char *path, const ow_settings *settings,
                                       ow_report *report, ow_engine **engine);

#endif
