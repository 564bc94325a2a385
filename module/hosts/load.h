/* SPDX-License-Identifier: MIT */
/* Finds and loads the module: beside the program, else where it was installed. */
#ifndef OVERWINTER_HOSTS_LOAD_H
#define OVERWINTER_HOSTS_LOAD_H

#include "overwinter.h"

typedef struct ow_loaded {
    void *handle;
    const ow_module *module;
} ow_loaded;

/* Loads the module and checks its version; OW_IO, told, when there is none that fits. */
OW_CHECK ow_status ow_load(ow_report *report, ow_loaded *loaded);

/* Lets go of the module; no engine may be open any more. */
void ow_unload(ow_loaded *loaded);

#endif
