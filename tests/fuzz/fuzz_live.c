/* SPDX-License-Identifier: MIT */
/*
 * A live garden under any messages, at any times, over a link that comes and goes and a clock that
 * jumps. Every call is answered, what is said is text, nothing is said while the link is down, and
 * after the end no output is left on.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "fuzz/fuzz.h"
#include "hub/host.h"

enum { TOPICS = 200, TICKS = 300 };

/* Bytes that follow the first of a character of UTF-8 (RFC 3629); -1: none begins so. */
static int followers(unsigned char c)
{
    return c < 0x80 ? 0 : c < 0xC2 ? -1 : c < 0xE0 ? 1 : c < 0xF0 ? 2 : c < 0xF5 ? 3 : -1;
}

static bool is_text(const char *text, size_t size)
{
    const unsigned char *c = (const unsigned char *)text;
    int left = 0;
    for (size_t i = 0; i < size && left >= 0; i++) {
        bool follows = (c[i] & 0xC0) == 0x80;
        left = left > 0 ? (follows ? left - 1 : -1) : followers(c[i]);
    }
    return left == 0;
}

static size_t listen(const host *h, const char *topic[TOPICS])
{
    size_t n = 0;
    for (size_t i = 0; i < h->count && n < TOPICS; i++) {
        if (h->heard[i].kind == HEARD_SUBSCRIBE) {
            topic[n++] = h->heard[i].topic;
        }
    }
    return n;
}

static void some_message(host *h, bytes *b, const char *const *topic, size_t topics)
{
    char who[8] = "";
    size_t size, letters;
    unsigned how = take(b);
    const char *to = topic[take(b) % topics];
    if (how & 2) {
        const uint8_t *name = take_some(b, sizeof who - 1, &letters);
        memcpy(who, name, letters);
        who[letters] = '\0';
    }
    const uint8_t *payload = take_some(b, how & 4 ? take_two(b) : take(b) % 32, &size);
    char *exact = malloc(size + 1);
    memcpy(exact, payload, size);
    ow_message m = {to, size > 0 ? exact : NULL, size, how & 1, how & 2 ? who : NULL};
    assert_int_equal(h->module->message(h->engine, h->now, &m), OW_OK);
    free(exact);
}

static int some_time(host *h, bytes *b)
{
    static const uint64_t steps_ms[] = {20, 1000, 5000, 60000};
    int ticks = (int)(take(b) % 32);
    h->step_ms = steps_ms[take(b) % 4];
    for (int i = 0; i < ticks; i++) {
        host_tick(h);
    }
    return ticks;
}

static void some_sense(host *h, bytes *b)
{
    if (!h->up) {
        return;
    }
    h->sensors.roof_c = (double)take(b) / 4.0 - 32.0;
    h->sensors.house_c = h->sensors.house2_c = (double)take(b) / 4.0 - 32.0;
    h->sensors.door = take(b) & 1 ? "open" : "shut";
    h->sensors.wind_ms = take(b) % 16;
    host_sense(h);
    host_plug(h);
}

static void live(host *h, bytes *b, const char *const *topic, size_t topics)
{
    for (int ticks = 0; b->left > 0 && ticks < TICKS;) {
        switch (take(b) % 8) {
        case 0:
        case 1:
        case 2:
            some_message(h, b, topic, topics);
            break;
        case 3:
        case 4:
            some_sense(h, b);
            break;
        case 5:
            ticks += some_time(h, b);
            break;
        case 6:
            host_link(h, !h->up);
            break;
        default:
            h->now.utc_ms += ((int64_t)take_two(b) - 32768) * 1000 * (int64_t)(take(b) + 1);
        }
    }
}

static void check_off(const host *h, const char *topic, const char *off)
{
    const heard *last = host_last(h, HEARD_PUBLISH, topic);
    if (last != NULL) {
        assert_string_equal(last->text, off);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *heard_topic[TOPICS];
    bytes b = {data, size};
    host *h = host_start(WHOLE_GARDEN);
    size_t topics = listen(h, heard_topic);
    char *topic[TOPICS];
    for (size_t i = 0; i < topics; i++) {
        topic[i] = host_copy(heard_topic[i], strlen(heard_topic[i]));
    }
    live(h, &b, (const char *const *)topic, topics);
    if (!h->up) {
        host_link(h, true);
    }
    assert_int_equal(h->module->stop(h->engine, h->now), OW_OK);
    check_off(h, "p/set", "off");
    check_off(h, "d/set", "stop");
    for (size_t i = 0; i < h->count; i++) {
        assert_true(is_text(h->heard[i].text, h->heard[i].size));
    }
    host_end(h);
    for (size_t i = 0; i < topics; i++) {
        free(topic[i]);
    }
    return 0;
}
