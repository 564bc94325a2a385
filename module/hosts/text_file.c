/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/text_file.h"

#include <errno.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Reads to the end or to one byte past `most`, whichever comes first. */
static ow_status read_all(FILE *file, size_t most, char **text, size_t *size)
{
    size_t room = 0;
    size_t got;
    do {
        if (room - *size < 2) {
            room = room == 0 ? 65536 : 2 * room;
            char *larger = realloc(*text, room);
            if (larger == NULL) {
                return OW_NO_MEMORY;
            }
            *text = larger;
        }
        got = fread(*text + *size, 1, room - *size - 1, file);
        *size += got;
    } while (got > 0 && *size <= most);
    (*text)[*size] = '\0';
    return ferror(file) ? OW_IO : OW_OK;
}

ow_status ow_text_read(const char *path, size_t most, ow_report *report, char **text, size_t *size)
{
    char *all = NULL;
    size_t length = 0;
    FILE *file = fopen(path, "rb");
    ow_status status = file == NULL ? OW_IO : read_all(file, most, &all, &length);
    if (status == OW_IO) {
        ow_error(report, "%s: cannot be read: %s; give the path of a file that you may read", path,
                 strerror(errno));
        status = OW_BAD_INPUT;
    } else if (status == OW_OK && length > most) {
        ow_error(report, "%s: is larger than %zu KiB, the most that is read; is it the right file?",
                 path, most / 1024);
        status = OW_BAD_INPUT;
    }
    if (file != NULL) {
        fclose(file); /* was only read */
    }
    if (status != OW_OK) {
        free(all);
        return status;
    }
    *text = all;
    *size = length;
    return OW_OK;
}

/* Makes one level; 0 or the errno. */
static int make_level(const char *dir)
{
    struct stat info;
    if (mkdir(dir, 0777) == 0 || (stat(dir, &info) == 0 && S_ISDIR(info.st_mode))) {
        return 0;
    }
    return errno == ENOENT || errno == EACCES || errno == ENOTDIR ? errno : ENOTDIR;
}

ow_status ow_out_dir(const char *dir, ow_report *report)
{
    int failed = 0;
    char *path = strdup(dir);
    if (path == NULL) {
        return OW_NO_MEMORY;
    }
    for (char *at = path + 1; *dir != '\0' && *at != '\0' && failed == 0; at++) {
        if (*at == '/') {
            *at = '\0';
            failed = make_level(path);
            *at = '/';
        }
    }
    failed = failed != 0 ? failed : make_level(path);
    free(path);
    if (failed != 0) {
        ow_error(report, "%s: the directory cannot be made: %s; give --out another one", dir,
                 strerror(failed));
        return OW_IO;
    }
    return OW_OK;
}

static char *joined(const char *dir, const char *name, const char *end)
{
    size_t size = strlen(dir) + strlen(name) + strlen(end) + 2;
    char *path = malloc(size);
    if (path != NULL) {
        snprintf(path, size, "%s/%s%s", dir, name, end);
    }
    return path;
}

static void forget(ow_out *out)
{
    free(out->path);
    free(out->part);
    *out = (ow_out){0};
}

static ow_status cannot_write(const char *path, int why, ow_report *report)
{
    ow_error(report, "%s: cannot be written: %s; free some room or give --out another directory",
             path, why == 0 ? "the device is full or has failed" : strerror(why));
    return OW_IO;
}

ow_status ow_out_open(ow_out *out, const char *dir, const char *name, ow_report *report)
{
    ow_status status = OW_NO_MEMORY;
    *out = (ow_out){.path = joined(dir, name, ""), .part = joined(dir, name, ".part")};
    if (out->path != NULL && out->part != NULL) {
        out->file = fopen(out->part, "wb");
        status = out->file == NULL ? cannot_write(out->path, errno, report) : OW_OK;
    }
    if (status != OW_OK) {
        forget(out);
    }
    return status;
}

ow_status ow_out_keep(ow_out *out, ow_report *report)
{
    ow_status status = OW_OK;
    errno = 0;
    bool written = fflush(out->file) == 0 && !ferror(out->file);
    int why = errno;
    /* Some file systems tell of a full device only when the file is closed. */
    if (fclose(out->file) != 0 && written) {
        written = false;
        why = errno;
    }
    if (written && rename(out->part, out->path) != 0) {
        written = false;
        why = errno;
    }
    if (!written) {
        unlink(out->part);
        status = cannot_write(out->path, why, report);
    }
    forget(out);
    return status;
}

void ow_out_drop(ow_out *out)
{
    if (out->file == NULL) {
        return;
    }
    fclose(out->file); /* its bytes are thrown away */
    unlink(out->part);
    forget(out);
}

ow_status ow_out_remove(const char *dir, const char *name, ow_report *report)
{
    char *path = joined(dir, name, "");
    if (path == NULL) {
        return OW_NO_MEMORY;
    }
    ow_status status = OW_OK;
    if (unlink(path) != 0 && errno != ENOENT) {
        ow_error(report, "%s: is out of date and cannot be removed: %s", path, strerror(errno));
        status = OW_IO;
    }
    free(path);
    return status;
}
