/* SPDX-License-Identifier: MIT */
/*
 * Keeps the state of a live garden: reads what an earlier run left, and hands the newest to the
 * store's own thread once it is worth it, at most once a minute. A device that is full or broken is
 * told, ever more rarely, and stops nothing. The same thread writes the season log.
 */
#ifndef OVERWINTER_HOSTS_KEEPER_H
#define OVERWINTER_HOSTS_KEEPER_H

#include "hosts/complaint.h"
#include "hosts/store_file.h"
#include "overwinter.h"

/* All zero: keeps nothing. */
typedef struct ow_keeper {
    ow_store *store;
    ow_store_writer *writer;
    uint64_t worth, at_once; /* of what was handed over last */
    uint64_t next_ms; /* the next is not handed over before */
    ow_complaint failing, losing; /* states; lines of the season log */
} ow_keeper;

/*
 * Locks the store in `dir` (NULL: an advice that nothing is kept). OW_FULL: another has it; OW_IO,
 * OW_NO_MEMORY; all told.
 */
OW_CHECK ow_status ow_keeper_open(ow_keeper *keeper, const char *dir, ow_report *report);

/*
 * Takes the state that was kept, starts the thread and goes live; what is left of the state stays
 * in the store. Errors are those of go_live, and OW_IO.
 */
OW_CHECK ow_status ow_keeper_go_live(ow_keeper *keeper, const ow_module *module, ow_engine *engine,
                                     ow_now now, ow_report *report);

/* Adds an event to the season log; nothing without a store. */
void ow_keeper_note(ow_keeper *keeper, int64_t utc_s, const char *subject, const char *event,
                    const char *detail);

/* Hands the state over when it is due: gap_ms after the last at the soonest, but for what is to be
 * kept at once. */
void ow_keeper_turn(ow_keeper *keeper, const ow_module *module, const ow_engine *engine,
                    const ow_host *host, uint64_t real_ms, uint64_t gap_ms);

/* Keeps the last state (engine NULL: there is none), waits for it to be down, and lets go. */
void ow_keeper_close(ow_keeper *keeper, const ow_module *module, const ow_engine *engine,
                     const ow_host *host);

#endif
