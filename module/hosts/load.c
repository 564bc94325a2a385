/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/load.h"

#include <dlfcn.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define MODULE_FILE "overwinter.so"

/* The directory that the program itself is in; empty when it cannot be told. */
static void own_directory(char *dir, size_t size)
{
    ssize_t length = readlink("/proc/self/exe", dir, size - 1);
    dir[length < 0 ? 0 : length] = '\0';
    char *slash = strrchr(dir, '/');
    if (slash != NULL) {
        *slash = '\0';
    }
}

static void *open_beside(char *path, size_t size)
{
    char dir[PATH_MAX];
    own_directory(dir, sizeof dir);
    const char *const places[] = {dir, OW_MODULE_DIR};
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        int length = snprintf(path, size, "%s/%s", places[i], MODULE_FILE);
        /* One that is there and cannot be loaded is told, not passed over. */
        if (length > 0 && (size_t)length < size && access(path, F_OK) == 0) {
            return dlopen(path, RTLD_NOW | RTLD_LOCAL);
        }
    }
    path[0] = '\0';
    return NULL;
}

/* POSIX lets the pointer that dlsym gives be one to a function; C says only how to copy it. */
static ow_module_entry entry_of(void *handle)
{
    ow_module_entry entry = NULL;
    void *symbol = dlsym(handle, OW_MODULE_ENTRY);
    memcpy(&entry, &symbol, sizeof entry);
    return entry;
}

ow_status ow_load(ow_report *report, ow_loaded *loaded)
{
    char path[PATH_MAX + sizeof MODULE_FILE];
    void *handle = open_beside(path, sizeof path);
    if (handle == NULL) {
        ow_error(report, "overwinter: the module " MODULE_FILE " %s; build or install it again",
                 path[0] == '\0' ? "is neither beside the program nor in " OW_MODULE_DIR
                                 : dlerror());
        return OW_IO;
    }
    ow_module_entry entry = entry_of(handle);
    const ow_module *module = entry == NULL ? NULL : entry();
    if (module == NULL || module->version != OW_MODULE_VERSION) {
        ow_error(report,
                 "%s: has interface version %u, the program needs %u; install both from "
                 "one build",
                 path, module == NULL ? 0u : (unsigned)module->version, OW_MODULE_VERSION);
        dlclose(handle);
        return OW_IO;
    }
    *loaded = (ow_loaded){handle, module};
    return OW_OK;
}

void ow_unload(ow_loaded *loaded)
{
    dlclose(loaded->handle);
    *loaded = (ow_loaded){0};
}
