/* SPDX-License-Identifier: MIT */
/*
 * A kept state with any bytes changed, whose size and checksum are right all the same: the garden
 * goes live on what of it makes sense, lives on, and keeps a state that opens.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "fuzz/fuzz.h"
#include "garden/pack.h"
#include "garden/snapshot.h"
#include "hub/host.h"

enum { HEAD = 24, FOOT = 8 };

/* The state of a garden that has lived an evening. */
static const unsigned char *sound_state(size_t *size)
{
    static void *state;
    static size_t state_size;
    if (state == NULL) {
        host *h = host_start(WHOLE_GARDEN);
        h->sensors.roof_c = h->sensors.house_c = h->sensors.house2_c = -3.0;
        h->sensors.door = "shut";
        h->step_ms = 10000;
        host_run(h, 3 * 3600);
        assert_int_equal(h->module->save(h->engine, &state, &state_size), OW_OK);
        host_end(h);
    }
    *size = state_size;
    return state;
}

/* Each edit: where (two bytes), how many bytes are cut there (one) and which come in. */
static unsigned char *edited(bytes *b, const unsigned char *state, size_t *size)
{
    unsigned char *out = malloc(*size + b->left);
    memcpy(out, state, *size);
    while (b->left > 2) {
        size_t most = *size - HEAD - FOOT, added;
        size_t at = HEAD + take_two(b) % (most + 1), cut = take(b) % 64;
        const uint8_t *in = take_some(b, take(b) % 64, &added);
        cut = cut < *size - FOOT - at ? cut : *size - FOOT - at;
        memmove(out + at + added, out + at + cut, *size - at - cut);
        memcpy(out + at, in, added);
        *size = *size - cut + added;
    }
    int64_t whole = (int64_t)*size, crc;
    ow_pack p = ow_pack_writing();
    ow_pack_int64(&p, &whole);
    memcpy(out + HEAD - 8, p.out, 8);
    ow_pack_free(&p);
    crc = ow_crc32(out, *size - FOOT);
    p = ow_pack_writing();
    ow_pack_int64(&p, &crc);
    memcpy(out + *size - FOOT, p.out, 8);
    ow_pack_free(&p);
    return out;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bytes b = {data, size};
    size_t state_size, kept_size;
    void *kept;
    ow_snapshot snapshot;
    const unsigned char *sound = sound_state(&state_size);
    unsigned char *state = edited(&b, sound, &state_size);
    host *h = host_open(WHOLE_GARDEN);
    h->now.utc_ms += 4 * 3600 * 1000;
    host_live(h, state, state_size);
    host_link(h, true);
    h->sensors.roof_c = h->sensors.house_c = -3.0;
    h->step_ms = 10000;
    host_run(h, 120);
    assert_int_equal(h->module->save(h->engine, &kept, &kept_size), OW_OK);
    assert_int_equal(ow_snapshot_open(kept, kept_size, &snapshot), OW_SNAPSHOT_WHOLE);
    assert_int_equal(h->module->stop(h->engine, h->now), OW_OK);
    host_end(h);
    free(kept);
    free(state);
    return 0;
}
