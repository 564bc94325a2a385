/* SPDX-License-Identifier: MIT */
/*
 * The living state of a garden as bytes, and back: heat and ice of every body, trays, covers worn
 * and how they fare, places, limits passed and watched, drought clocks, hardening, the ground, the
 * air under glass, heat given; and named sections of bytes that other layers add.
 *
 * Bytes: "OWSTATE\n", format version, size of the whole, sections, CRC-32 of all before it. A
 * section has a name and a size; those of things in the garden carry their id, so that a state
 * still serves when the garden file has been edited since. Magic, size and CRC stay where they are
 * in every version, so that a newer version can be told from a broken one. No size and no index in
 * the bytes is trusted.
 */
#ifndef OVERWINTER_GARDEN_SNAPSHOT_H
#define OVERWINTER_GARDEN_SNAPSHOT_H

#include "garden/scene.h"

#define OW_SNAPSHOT_VERSION 1

/* Bytes that another layer keeps under a name of its own, at most OW_SECTION_NAME - 1 long. */
enum { OW_SECTION_NAME = 32 };
typedef struct ow_section {
    const char *name;
    const unsigned char *bytes;
    size_t size;
} ow_section;

/*
 * Writes the scene (NULL: none yet) and n sections. `saved_s` is the wall time of saving. *bytes is
 * the caller's to free. OW_NO_MEMORY; OW_BAD_INPUT for a section name that is too long.
 */
OW_CHECK ow_status ow_snapshot_write(const ow_scene *scene, ow_utc_s saved_s,
                                     const ow_section *sections, size_t n, unsigned char **bytes,
                                     size_t *size);

typedef enum ow_snapshot_fault {
    OW_SNAPSHOT_WHOLE,
    OW_SNAPSHOT_NOT_ONE, /* does not begin as a state does */
    OW_SNAPSHOT_CUT,     /* shorter or longer than it says */
    OW_SNAPSHOT_BROKEN,  /* the checksum or the order of sections is wrong */
    OW_SNAPSHOT_NEWER    /* whole, but of a version that this build does not know */
} ow_snapshot_fault;

/* What is wrong, for a message; never NULL. */
const char *ow_snapshot_fault_text(ow_snapshot_fault fault);

/* Whole bytes, proved; points into them. */
typedef struct ow_snapshot {
    const unsigned char *bytes;
    size_t size;
    int64_t version;
    bool has_scene;   /* else the rest here says nothing, and there is nothing to restore */
    ow_utc_s saved_s; /* wall time of saving */
    ow_utc_s now_s;   /* the scene's now */
    int step_s;       /* its step */
    double air_c;     /* slow mean of the air: what things that are new may start at */
} ow_snapshot;

/* Proves the bytes, which must outlive *snapshot. `snapshot->version` is set for a newer one
 * too; otherwise a fault leaves *snapshot as it was. */
OW_CHECK ow_snapshot_fault ow_snapshot_open(const unsigned char *bytes, size_t size,
                                            ow_snapshot *snapshot);

/* What became of the things in a state. */
typedef struct ow_restored {
    int plants_kept; /* go on as they were */
    int plants_anew; /* new in the garden, or in another pot, bed or trunk now */
    int plants_gone; /* in the state, no longer in the garden */
} ow_restored;

/*
 * Brings a scene, built for the garden as it is now, to the state. What does not fit stays as the
 * scene had it, and `report` (may be NULL) gets a line for each such thing. A plant is where it was
 * unless its place is gone or the garden file gives it another since. Where only its limits were
 * edited, it forgets those it had passed. `kept` (may be NULL) has room for one a plant. The
 * scene's now becomes the state's, rounded down to a whole step. The scene's guessed sky stays its
 * own. A snapshot that was opened cannot fail here.
 */
ow_restored ow_snapshot_restore(const ow_snapshot *snapshot, ow_scene *scene, ow_report *report,
                                bool *kept);

/* Finds a section of another layer; OW_NOT_FOUND. Points into the snapshot's bytes. */
OW_CHECK ow_status ow_snapshot_section(const ow_snapshot *snapshot, const char *name,
                                       const unsigned char **bytes, size_t *size);

#endif
