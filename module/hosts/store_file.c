/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/store_file.h"

#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include "hosts/season_log.h"

static const char STATE[] = "state", BEFORE[] = "state.1", PART[] = "state.new", LOCK[] = "lock";
enum { OTHERS_NONE = 0640, DIR_OTHERS_NONE = 0750, NAME_ROOM = 64 };
static const size_t SIZE_MOST = (size_t)256 << 20;
static const size_t LINES_MOST = (size_t)64 << 10; /* that wait for a slow device */

/* ---- opening --------------------------------------------------------------------------------- */

static ow_status open_dir(ow_store *s, ow_report *report)
{
    if (mkdir(s->dir, DIR_OTHERS_NONE) != 0 && errno != EEXIST) {
        ow_error(report, "store %s: the directory cannot be made: %s; make it, or name another",
                 s->dir, strerror(errno));
        return OW_IO;
    }
    s->dir_fd = open(s->dir, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (s->dir_fd < 0) {
        ow_error(report, "store %s: cannot be opened: %s; name a directory of your own", s->dir,
                 strerror(errno));
        return OW_IO;
    }
    return OW_OK;
}

static ow_status tell_holder(const ow_store *s, ow_report *report)
{
    char text[32] = "";
    ssize_t got = pread(s->lock_fd, text, sizeof text - 1, 0);
    long pid = got > 0 ? strtol(text, NULL, 10) : 0;
    if (pid > 0) {
        ow_error(report, "store %s: process %ld already minds this garden; end it first", s->dir,
                 pid);
    } else {
        ow_error(report, "store %s: another instance already minds this garden; end it first",
                 s->dir);
    }
    return OW_FULL;
}

static ow_status take_lock(ow_store *s, ow_report *report)
{
    char text[32];
    s->lock_fd = openat(s->dir_fd, LOCK, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, OTHERS_NONE);
    if (s->lock_fd < 0) {
        ow_error(report, "store %s: cannot be written: %s; give this user the right to", s->dir,
                 strerror(errno));
        return OW_IO;
    }
    if (flock(s->lock_fd, LOCK_EX | LOCK_NB) != 0) {
        return errno == EWOULDBLOCK ? tell_holder(s, report) : OW_IO;
    }
    int length = snprintf(text, sizeof text, "%ld\n", (long)getpid());
    if (ftruncate(s->lock_fd, 0) != 0 || pwrite(s->lock_fd, text, (size_t)length, 0) != length) {
        ow_error(report, "store %s: cannot be written: %s; free some room", s->dir,
                 strerror(errno));
        return OW_IO;
    }
    return OW_OK;
}

ow_status ow_store_open(const char *dir, ow_report *report, ow_store **store)
{
    ow_store *s = calloc(1, sizeof *s);
    if (s == NULL) {
        return OW_NO_MEMORY;
    }
    *s = (ow_store){.dir = strdup(dir), .dir_fd = -1, .lock_fd = -1};
    ow_status status = s->dir != NULL ? open_dir(s, report) : OW_NO_MEMORY;
    if (status == OW_OK) {
        status = take_lock(s, report);
    }
    if (status != OW_OK) {
        ow_store_close(s);
        return status;
    }
    *store = s;
    return OW_OK;
}

void ow_store_close(ow_store *s)
{
    if (s == NULL) {
        return;
    }
    if (s->lock_fd >= 0) {
        close(s->lock_fd); /* gives the lock back */
    }
    if (s->dir_fd >= 0) {
        close(s->dir_fd);
    }
    free(s->dir);
    free(s);
}

/* ---- writing --------------------------------------------------------------------------------- */

static bool write_all(int fd, const unsigned char *bytes, size_t size)
{
    while (size > 0) {
        ssize_t put = write(fd, bytes, size);
        if (put < 0 && errno == EINTR) {
            continue;
        }
        if (put <= 0) {
            return false;
        }
        bytes += put;
        size -= (size_t)put;
    }
    return true;
}

/* Some file systems tell of a full device only when the file is flushed or closed. */
static bool write_part(const ow_store *s, const unsigned char *bytes, size_t size)
{
    int fd = openat(s->dir_fd, PART, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW,
                    OTHERS_NONE);
    if (fd < 0) {
        return false;
    }
    bool whole = write_all(fd, bytes, size) && fsync(fd) == 0;
    int why = errno;
    if (close(fd) != 0 && whole) {
        return false;
    }
    errno = why;
    return whole;
}

/* Between the two renames a reader finds state.1, which is whole as well. */
static bool give_names(ow_store *s)
{
    if (s->good && renameat(s->dir_fd, STATE, s->dir_fd, BEFORE) != 0 && errno != ENOENT) {
        return false;
    }
    s->good = false;
    return renameat(s->dir_fd, PART, s->dir_fd, STATE) == 0;
}

ow_status ow_store_write(ow_store *s, const unsigned char *bytes, size_t size, ow_report *report)
{
    bool written = write_part(s, bytes, size);
    bool named = written && give_names(s);
    s->good = s->good || named;
    if (!named || fsync(s->dir_fd) != 0) {
        int why = errno;
        if (!written) {
            unlinkat(s->dir_fd, PART, 0); /* gives back the room it took */
        }
        ow_error(report, "store %s: the state cannot be written: %s; the one before is kept",
                 s->dir, why == ENOSPC ? "the device is full; free some room" : strerror(why));
        return OW_IO;
    }
    return OW_OK;
}

/* ---- reading --------------------------------------------------------------------------------- */

/* Reads a file of `size` bytes or fewer; *size becomes what was read. False: errno says why. */
static bool read_bytes(int fd, unsigned char *bytes, size_t *size)
{
    size_t used = 0;
    while (used < *size) {
        ssize_t got = read(fd, bytes + used, *size - used);
        if (got < 0 && errno != EINTR) {
            return false;
        }
        if (got == 0) {
            break;
        }
        used += got > 0 ? (size_t)got : 0;
    }
    *size = used;
    return true;
}

static ow_status tell_unreadable(const ow_store *s, const char *name, const char *why,
                                 ow_report *report)
{
    ow_error(report, "store %s/%s: cannot be read: %s; mend that, or move the file away", s->dir,
             name, why);
    return OW_IO;
}

static ow_status read_file(const ow_store *s, const char *name, ow_report *report,
                           unsigned char **bytes, size_t *size)
{
    struct stat info;
    int fd = openat(s->dir_fd, name, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (fd < 0) {
        return errno == ENOENT ? OW_NOT_FOUND : tell_unreadable(s, name, strerror(errno), report);
    }
    ow_status status = OW_OK;
    unsigned char *read_in = NULL;
    if (fstat(fd, &info) != 0 || !S_ISREG(info.st_mode) || (size_t)info.st_size > SIZE_MOST) {
        status = tell_unreadable(s, name, "it is no file of a state's size", report);
    } else {
        *size = (size_t)info.st_size;
        read_in = malloc(*size + 1);
        status = read_in == NULL ? OW_NO_MEMORY : OW_OK;
    }
    if (status == OW_OK && !read_bytes(fd, read_in, size)) {
        status = tell_unreadable(s, name, strerror(errno), report);
    }
    close(fd); /* was only read */
    if (status != OW_OK) {
        free(read_in);
        return status;
    }
    *bytes = read_in;
    return OW_OK;
}

/* A newer build's state is moved to a name of its own, where nothing overwrites it. */
static ow_status set_aside(const ow_store *s, const char *name, int64_t version, ow_report *report)
{
    char aside[NAME_ROOM];
    snprintf(aside, sizeof aside, "state.version-%lld", (long long)version);
    for (int i = 2; faccessat(s->dir_fd, aside, F_OK, 0) == 0; i++) {
        snprintf(aside, sizeof aside, "state.version-%lld.%d", (long long)version, i);
    }
    if (renameat(s->dir_fd, name, s->dir_fd, aside) != 0) {
        ow_error(report, "store %s/%s: was saved by a newer version and cannot be set aside: %s",
                 s->dir, name, strerror(errno));
        return OW_IO;
    }
    ow_say(report, "store %s/%s: was saved by a newer version (format %lld, this one reads %d); "
                   "kept unread as %s",
           s->dir, name, (long long)version, OW_SNAPSHOT_VERSION, aside);
    return OW_NOT_FOUND;
}

/* OW_NOT_FOUND: not there, or not whole (told). */
static ow_status read_state(const ow_store *s, const char *name, ow_report *report,
                            unsigned char **bytes, ow_snapshot *snapshot)
{
    unsigned char *read_in = NULL;
    size_t size = 0;
    ow_status status = read_file(s, name, report, &read_in, &size);
    if (status != OW_OK) {
        return status;
    }
    ow_snapshot_fault fault = ow_snapshot_open(read_in, size, snapshot);
    if (fault == OW_SNAPSHOT_WHOLE) {
        *bytes = read_in;
        return OW_OK;
    }
    free(read_in);
    if (fault == OW_SNAPSHOT_NEWER) {
        return set_aside(s, name, snapshot->version, report);
    }
    ow_say(report, "store %s/%s: left unread, %s", s->dir, name, ow_snapshot_fault_text(fault));
    return OW_NOT_FOUND;
}

ow_status ow_store_read(ow_store *s, ow_report *report, unsigned char **bytes,
                        ow_snapshot *snapshot)
{
    char when[OW_TIME_TEXT];
    ow_status status = read_state(s, STATE, report, bytes, snapshot);
    s->good = status == OW_OK;
    if (status != OW_NOT_FOUND) {
        return status;
    }
    status = read_state(s, BEFORE, report, bytes, snapshot);
    if (status == OW_OK) {
        ow_say(report, "store %s/%s: the state before is taken instead, saved %s", s->dir, BEFORE,
               ow_time_format(snapshot->saved_s, when));
    }
    return status;
}

/* ---- a thread that writes -------------------------------------------------------------------- */

struct ow_store_writer {
    ow_store *store;
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t wake;
    unsigned char *pending; /* NULL: nothing to write */
    size_t size;
    char *lines; /* of the season log, not written yet */
    size_t lines_size;
    bool closing;
    ow_store_news news;
};

static void keep_line(void *self, const char *text)
{
    snprintf(self, OW_STORE_TELLS, "%s", text);
}

static void lost(ow_store_writer *w, const char *why)
{
    snprintf(w->news.lost, sizeof w->news.lost, "%s", why);
}

/* Writes without the lock and takes it again to tell how that went. */
static void write_lines(ow_store_writer *w)
{
    char why[OW_STORE_TELLS] = "";
    ow_report report = {.line = keep_line, .self = why};
    char *lines = w->lines;
    size_t size = w->lines_size;
    w->lines = NULL;
    w->lines_size = 0;
    pthread_mutex_unlock(&w->lock);
    ow_status status = ow_season_log_add(w->store->dir_fd, w->store->dir, lines, size, &report);
    free(lines);
    pthread_mutex_lock(&w->lock);
    if (status == OW_OK) {
        w->news.logged++;
    } else {
        lost(w, why);
    }
}

/* As write_lines. */
static void write_one(ow_store_writer *w)
{
    char why[OW_STORE_TELLS] = "";
    ow_report report = {.line = keep_line, .self = why};
    unsigned char *bytes = w->pending;
    size_t size = w->size;
    w->pending = NULL;
    pthread_mutex_unlock(&w->lock);
    ow_status status = ow_store_write(w->store, bytes, size, &report);
    free(bytes);
    pthread_mutex_lock(&w->lock);
    if (status == OW_OK) {
        w->news.written++;
    } else {
        w->news.failed++;
        snprintf(w->news.why, sizeof w->news.why, "%s", why);
    }
}

static void *run(void *self)
{
    ow_store_writer *w = self;
    pthread_mutex_lock(&w->lock);
    for (;;) {
        if (w->lines != NULL) {
            write_lines(w);
        } else if (w->pending != NULL) {
            write_one(w);
        } else if (w->closing) {
            break;
        } else {
            pthread_cond_wait(&w->wake, &w->lock);
        }
    }
    pthread_mutex_unlock(&w->lock);
    return NULL;
}

/* Signals are the host's affair: its handlers must not run in a thread of ours. */
static int start_thread(ow_store_writer *w)
{
    sigset_t all, before;
    sigfillset(&all);
    pthread_sigmask(SIG_SETMASK, &all, &before);
    int failed = pthread_create(&w->thread, NULL, run, w);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return failed;
}

ow_status ow_store_writer_start(ow_store *store, ow_store_writer **writer)
{
    ow_store_writer *w = calloc(1, sizeof *w);
    if (w == NULL) {
        return OW_NO_MEMORY;
    }
    w->store = store;
    bool made = pthread_mutex_init(&w->lock, NULL) == 0;
    bool ready = made && pthread_cond_init(&w->wake, NULL) == 0;
    if (ready && start_thread(w) == 0) {
        *writer = w;
        return OW_OK;
    }
    if (ready) {
        pthread_cond_destroy(&w->wake);
    }
    if (made) {
        pthread_mutex_destroy(&w->lock);
    }
    free(w);
    return OW_IO;
}

void ow_store_writer_give(ow_store_writer *w, unsigned char *bytes, size_t size)
{
    pthread_mutex_lock(&w->lock);
    unsigned char *older = w->pending;
    w->pending = bytes;
    w->size = size;
    pthread_cond_signal(&w->wake);
    pthread_mutex_unlock(&w->lock);
    free(older);
}

void ow_store_writer_line(ow_store_writer *w, const char *line)
{
    size_t length = strlen(line);
    pthread_mutex_lock(&w->lock);
    bool fits = w->lines_size + length <= LINES_MOST;
    char *longer = fits ? realloc(w->lines, w->lines_size + length) : NULL;
    if (longer != NULL) {
        memcpy(longer + w->lines_size, line, length);
        w->lines = longer;
        w->lines_size += length;
        pthread_cond_signal(&w->wake);
    } else {
        lost(w, "the season log: a line is lost, too many wait for the device");
    }
    pthread_mutex_unlock(&w->lock);
}

static ow_store_news take_news(ow_store_writer *w)
{
    ow_store_news news = w->news;
    w->news = (ow_store_news){.written = 0};
    return news;
}

ow_store_news ow_store_writer_news(ow_store_writer *w)
{
    pthread_mutex_lock(&w->lock);
    ow_store_news news = take_news(w);
    pthread_mutex_unlock(&w->lock);
    return news;
}

ow_store_news ow_store_writer_close(ow_store_writer *w)
{
    pthread_mutex_lock(&w->lock);
    w->closing = true;
    pthread_cond_signal(&w->wake);
    pthread_mutex_unlock(&w->lock);
    pthread_join(w->thread, NULL);
    ow_store_news news = take_news(w);
    pthread_cond_destroy(&w->wake);
    pthread_mutex_destroy(&w->lock);
    free(w);
    return news;
}
