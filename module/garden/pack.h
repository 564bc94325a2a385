/* SPDX-License-Identifier: MIT */
/*
 * Values to bytes and back by one and the same list of calls: a function that packs a struct names
 * each field once, and whether the call writes the field or reads it is up to the ow_pack. Numbers
 * take 8 bytes, little end first; doubles go by their bits, so that NAN and the last bit survive.
 *
 * The first thing that goes wrong sets `status` and makes all later calls do nothing: OW_NO_MEMORY
 * when writing, OW_BAD_INPUT when reading past the end or a value out of its range. A field that
 * could not be read is left as it was. Check `status` once, at the end.
 */
#ifndef OVERWINTER_GARDEN_PACK_H
#define OVERWINTER_GARDEN_PACK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "status.h"

typedef struct ow_pack {
    bool reading;
    ow_status status;
    unsigned char *out;      /* written so far; owned by the pack */
    const unsigned char *in; /* to be read; owned by the caller */
    size_t size, room;       /* bytes written or to be read; bytes allocated */
    size_t at;               /* where reading stands */
} ow_pack;

/* A pack that writes (free it, or take what it wrote) and one that reads `size` bytes. */
ow_pack ow_pack_writing(void);
ow_pack ow_pack_reading(const unsigned char *in, size_t size);
void ow_pack_free(ow_pack *pack);

/* Gives the bytes written to the caller, who frees them, and empties the pack. */
OW_CHECK ow_status ow_pack_take(ow_pack *pack, unsigned char **bytes, size_t *size);

void ow_pack_double(ow_pack *pack, double *value);
void ow_pack_doubles(ow_pack *pack, double *value, size_t n);
void ow_pack_int64(ow_pack *pack, int64_t *value);
/* Seconds since 1970, 0 to the end of the year 9999, or INT64_MAX for never. */
void ow_pack_time(ow_pack *pack, int64_t *time_s);
void ow_pack_int(ow_pack *pack, int *value, int least, int most);
void ow_pack_bool(ow_pack *pack, bool *value);

/* A zero-terminated text in `room` bytes; one that does not fit is OW_BAD_INPUT. */
void ow_pack_text(ow_pack *pack, char *text, size_t room);

/* Bytes as they are; when reading, *bytes points into what is read. */
void ow_pack_bytes(ow_pack *pack, const unsigned char **bytes, size_t *size);

/* CRC-32 of ISO/IEC/IEEE 8802-3 (reflected, polynomial 0x04C11DB7, all ones at both ends). */
uint32_t ow_crc32(const unsigned char *bytes, size_t size);

#endif
