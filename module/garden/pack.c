/* SPDX-License-Identifier: MIT */
#include "garden/pack.h"

#include <stdlib.h>
#include <string.h>

enum { NUMBER = 8 };
static const int64_t TIME_MOST_S = 253402300799; /* the end of the year 9999 */

ow_pack ow_pack_writing(void)
{
    return (ow_pack){.reading = false};
}

ow_pack ow_pack_reading(const unsigned char *in, size_t size)
{
    return (ow_pack){.reading = true, .in = in, .size = size};
}

void ow_pack_free(ow_pack *p)
{
    free(p->out);
    *p = (ow_pack){.reading = p->reading};
}

ow_status ow_pack_take(ow_pack *p, unsigned char **bytes, size_t *size)
{
    if (p->status != OW_OK) {
        return p->status;
    }
    *bytes = p->out;
    *size = p->size;
    *p = (ow_pack){.reading = false};
    return OW_OK;
}

/* Room for n more bytes at the end; NULL when there is none. */
static unsigned char *grow(ow_pack *p, size_t n)
{
    if (p->status != OW_OK) {
        return NULL;
    }
    if (p->room - p->size < n) {
        size_t room = 2 * p->size + n + 1024;
        unsigned char *larger = realloc(p->out, room);
        if (larger == NULL) {
            p->status = OW_NO_MEMORY;
            return NULL;
        }
        p->out = larger;
        p->room = room;
    }
    p->size += n;
    return p->out + p->size - n;
}

/* The next n bytes to read; NULL when there are not as many. */
static const unsigned char *next(ow_pack *p, uint64_t n)
{
    if (p->status != OW_OK || n > p->size - p->at) {
        p->status = p->status == OW_OK ? OW_BAD_INPUT : p->status;
        return NULL;
    }
    p->at += (size_t)n;
    return p->in + p->at - (size_t)n;
}

static void pack_bits(ow_pack *p, uint64_t *bits)
{
    if (p->reading) {
        const unsigned char *from = next(p, NUMBER);
        uint64_t read = 0;
        for (int i = NUMBER - 1; from != NULL && i >= 0; i--) {
            read = read << 8 | from[i];
        }
        *bits = from != NULL ? read : *bits;
        return;
    }
    unsigned char *to = grow(p, NUMBER);
    for (int i = 0; to != NULL && i < NUMBER; i++) {
        to[i] = (unsigned char)(*bits >> (8 * i));
    }
}

void ow_pack_double(ow_pack *p, double *value)
{
    uint64_t bits;
    memcpy(&bits, value, sizeof bits);
    pack_bits(p, &bits);
    memcpy(value, &bits, sizeof bits);
}

void ow_pack_doubles(ow_pack *p, double *value, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        ow_pack_double(p, &value[i]);
    }
}

void ow_pack_int64(ow_pack *p, int64_t *value)
{
    uint64_t bits = (uint64_t)*value;
    pack_bits(p, &bits);
    memcpy(value, &bits, sizeof bits); /* two's complement, whatever the sign */
}

void ow_pack_time(ow_pack *p, int64_t *time_s)
{
    int64_t read_s = *time_s;
    ow_pack_int64(p, &read_s);
    bool possible = read_s == INT64_MAX || (read_s >= 0 && read_s <= TIME_MOST_S);
    if (p->reading && p->status == OW_OK && !possible) {
        p->status = OW_BAD_INPUT;
    }
    *time_s = p->status == OW_OK ? read_s : *time_s;
}

void ow_pack_int(ow_pack *p, int *value, int least, int most)
{
    int64_t wide = *value;
    ow_pack_int64(p, &wide);
    if (p->reading && p->status == OW_OK && (wide < least || wide > most)) {
        p->status = OW_BAD_INPUT;
    }
    *value = p->status == OW_OK ? (int)wide : *value;
}

void ow_pack_bool(ow_pack *p, bool *value)
{
    int number = *value;
    ow_pack_int(p, &number, 0, 1);
    *value = number != 0;
}

void ow_pack_bytes(ow_pack *p, const unsigned char **bytes, size_t *size)
{
    uint64_t n = *size;
    pack_bits(p, &n);
    if (p->reading) {
        const unsigned char *from = next(p, n);
        if (from != NULL) {
            *bytes = from;
            *size = (size_t)n;
        }
        return;
    }
    unsigned char *to = grow(p, *size);
    if (to != NULL && *size > 0) {
        memcpy(to, *bytes, *size);
    }
}

void ow_pack_text(ow_pack *p, char *text, size_t room)
{
    const unsigned char *bytes = (const unsigned char *)text;
    size_t size = p->reading ? 0 : strlen(text);
    ow_pack_bytes(p, &bytes, &size);
    if (!p->reading || p->status != OW_OK) {
        return;
    }
    if (size >= room || memchr(bytes, '\0', size) != NULL) {
        p->status = OW_BAD_INPUT;
        return;
    }
    memcpy(text, bytes, size);
    text[size] = '\0';
}

/* What four bits do to the checksum: the polynomial, reflected, shifted through them. */
static const uint32_t crc_of_nibble[16] = {
    0x00000000, 0x1DB71064, 0x3B6E20C8, 0x26D930AC, 0x76DC4190, 0x6B6B51F4, 0x4DB26158, 0x5005713C,
    0xEDB88320, 0xF00F9344, 0xD6D6A3E8, 0xCB61B38C, 0x9B64C2B0, 0x86D3D2D4, 0xA00AE278, 0xBDBDF21C,
};

uint32_t ow_crc32(const unsigned char *bytes, size_t size)
{
    uint32_t crc = 0xFFFFFFFFu;
    for (size_t i = 0; i < size; i++) {
        crc ^= bytes[i];
        crc = crc >> 4 ^ crc_of_nibble[crc & 15u];
        crc = crc >> 4 ^ crc_of_nibble[crc & 15u];
    }
    return ~crc;
}
