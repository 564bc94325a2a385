/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/season_log.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "hosts/numbers.h"

static const char NAME[] = "season.csv", HEADER[] = "time,subject,event,detail\n";
enum { OTHERS_NONE = 0640 };

char *ow_season_line(int64_t utc_s, const char *subject, const char *event, const char *detail)
{
    char *line = NULL;
    size_t size = 0;
    FILE *file = open_memstream(&line, &size);
    if (file == NULL) {
        return NULL;
    }
    ow_csv_time(file, utc_s);
    const char *const fields[] = {subject, event, detail};
    for (int i = 0; i < 3; i++) {
        fputc(',', file);
        ow_csv_text(file, fields[i]);
    }
    if (fclose(file) != 0) {
        free(line);
        return NULL;
    }
    for (size_t i = 0; i < size; i++) { /* one event, one line */
        line[i] = (unsigned char)line[i] < 0x20 ? ' ' : line[i];
    }
    char *longer = realloc(line, size + 2);
    if (longer == NULL) {
        free(line);
        return NULL;
    }
    memcpy(longer + size, "\n", 2);
    return longer;
}

/* A write that is cut short is a failure: the rest would be a second write. */
static bool put(int fd, const char *text, size_t size)
{
    ssize_t put = write(fd, text, size);
    errno = put >= 0 ? ENOSPC : errno;
    return put == (ssize_t)size;
}

/* A new file gets its header; a last line without a newline was torn off. */
static bool begin(int fd)
{
    char last = '\n';
    off_t end = lseek(fd, 0, SEEK_END);
    if (end < 0) {
        return false;
    }
    if (end == 0) {
        return put(fd, HEADER, sizeof HEADER - 1);
    }
    if (pread(fd, &last, 1, end - 1) != 1) {
        return false;
    }
    return last == '\n' || put(fd, "\n", 1);
}

static bool put_lines(int fd, const char *lines, size_t size)
{
    while (size > 0) {
        const char *feed = memchr(lines, '\n', size);
        size_t length = feed != NULL ? (size_t)(feed - lines) + 1 : size;
        if (!put(fd, lines, length)) {
            return false;
        }
        lines += length;
        size -= length;
    }
    return true;
}

ow_status ow_season_log_add(int dir_fd, const char *dir, const char *lines, size_t size,
                            ow_report *report)
{
    int fd = openat(dir_fd, NAME, O_RDWR | O_APPEND | O_CREAT | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK,
                    OTHERS_NONE);
    bool written = fd >= 0 && begin(fd) && put_lines(fd, lines, size) && fdatasync(fd) == 0;
    int why = errno;
    if (fd >= 0 && close(fd) != 0 && written) {
        written = false;
        why = errno;
    }
    if (!written) {
        ow_error(report, "store %s/%s: cannot be written, so lines of the season are lost: %s", dir,
                 NAME, strerror(why));
        return OW_IO;
    }
    return OW_OK;
}
