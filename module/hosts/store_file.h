/* SPDX-License-Identifier: MIT */
/*
 * The store: DIR/state, written whole or not at all, with the one before it as DIR/state.1, and a
 * lock so that one instance has it. Bytes are written beside it, every write is checked, flushed to
 * the device and only then renamed; the directory is flushed after that.
 *
 * ow_store_write blocks on the device. Where that must not be, ow_store_writer does it in a thread
 * of its own, which calls nothing of any host.
 */
#ifndef OVERWINTER_HOSTS_STORE_FILE_H
#define OVERWINTER_HOSTS_STORE_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "garden/snapshot.h"
#include "status.h"

typedef struct ow_store {
    char *dir;
    int dir_fd, lock_fd;
    bool good; /* DIR/state is known to be whole: worth keeping as state.1 */
} ow_store;

/*
 * Opens (makes, one level) the directory and takes its lock, told in `report` when that fails:
 * OW_FULL when another instance has it (its process id is named when known), OW_IO when it cannot
 * be made, read or written. OW_NO_MEMORY. The lock lasts until ow_store_close or the process ends.
 */
OW_CHECK ow_status ow_store_open(const char *dir, ow_report *report, ow_store **store);
void ow_store_close(ow_store *store);

/*
 * Reads the newest whole state: DIR/state, else DIR/state.1, and tells when it had to fall back and
 * why. A state of a newer version is set aside as DIR/state.version-N, never overwritten, and told.
 * *bytes is the caller's to free and *snapshot points into it. OW_NOT_FOUND: there is none yet, or
 * none that is whole (told). OW_IO: there is one that cannot be read (told). OW_NO_MEMORY.
 */
OW_CHECK ow_status ow_store_read(ow_store *store, ow_report *report, unsigned char **bytes,
                                 ow_snapshot *snapshot);

/* Makes `bytes` the state. On OW_IO (told) what was stored before is still there. */
OW_CHECK ow_status ow_store_write(ow_store *store, const unsigned char *bytes, size_t size,
                                  ow_report *report);

/* ---- a thread that writes -------------------------------------------------------------------- */

typedef struct ow_store_writer ow_store_writer;

enum { OW_STORE_TELLS = 512 };

/* Starts a thread on a store that must outlive it and that nobody else writes meanwhile. OW_IO
 * when no thread can be had, OW_NO_MEMORY. */
OW_CHECK ow_status ow_store_writer_start(ow_store *store, ow_store_writer **writer);

/* Hands over bytes from malloc; never waits for the device. Newer bytes replace those that have
 * not been begun. */
void ow_store_writer_give(ow_store_writer *writer, unsigned char *bytes, size_t size);

/* Hands over a line of the season log (copied, with its newline); never waits for the device. A
 * line that finds too many waiting is lost, and the news say so. */
void ow_store_writer_line(ow_store_writer *writer, const char *line);

/* How writing has fared since asked last: whole states written, and whether one failed, with the
 * last failure's words. */
typedef struct ow_store_news {
    unsigned written, failed;
    char why[OW_STORE_TELLS];  /* of states; empty: nothing failed */
    unsigned logged;           /* times that lines of the season log went down */
    char lost[OW_STORE_TELLS]; /* why some did not; empty: none was lost */
} ow_store_news;
ow_store_news ow_store_writer_news(ow_store_writer *writer);

/* Writes what was given last, ends the thread, and gives its news. */
ow_store_news ow_store_writer_close(ow_store_writer *writer);

#endif
