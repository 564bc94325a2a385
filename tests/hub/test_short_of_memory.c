/* SPDX-License-Identifier: MIT */
/* Memory that is refused, once, at each place in turn: a live garden goes on as soon as there is
 * some, with its outputs as they would be. The linker gives the module these in place of the C
 * library's (see the Makefile). */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stdlib.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t n, size_t size);
void *__real_realloc(void *old, size_t size);
void *__real_aligned_alloc(size_t alignment, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t n, size_t size);
void *__wrap_realloc(void *old, size_t size);
void *__wrap_aligned_alloc(size_t alignment, size_t size);

static long asked, refused = -1;

static bool refuse(void)
{
    return asked++ == refused;
}

void *__wrap_malloc(size_t size)
{
    return refuse() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t n, size_t size)
{
    return refuse() ? NULL : __real_calloc(n, size);
}

void *__wrap_realloc(void *old, size_t size)
{
    return refuse() ? NULL : __real_realloc(old, size);
}

void *__wrap_aligned_alloc(size_t alignment, size_t size)
{
    return refuse() ? NULL : __real_aligned_alloc(alignment, size);
}

/* The host's own memory is never short. */
#define malloc(size) __real_malloc(size)
#define calloc(n, size) __real_calloc(n, size)
#define realloc(old, size) __real_realloc(old, size)

#include "check.h"
#include "hub/host.h"

#define GARDEN                                                                                     \
    GARDEN_OF(GARDEN_READINGS, PLANT_LEMON "," PLANT_BOG,                                          \
              ",\"outputs\":[" HEATER "," DRIVE "]" HOUSEHOLD)

static void say(host *h, const char *topic, const char *text)
{
    ow_message m = {topic, text, strlen(text), false, NULL};
    ow_status status = h->module->message(h->engine, h->now, &m);
    assert_true(status == OW_OK || status == OW_NO_MEMORY);
}

/* Half an hour and a little, so that the model steps once. The house warms while the heater is on.
 * Gives how often it was seen on. */
static int live(host *h, bool commands)
{
    int on = 0;
    for (int second = 0; second < 1900; second += 10) {
        char house[20];
        h->now.boot_ms += 10000;
        h->now.utc_ms += 10000;
        h->sensors.house_c += h->plug.on ? 0.04 : -0.04;
        snprintf(house, sizeof house, "%.2f", h->sensors.house_c);
        say(h, "s/air", "-2.0");
        say(h, "s/house", house);
        say(h, "s/wind", "1.0");
        say(h, "s/door", "shut");
        say(h, "p/state", h->plug.on ? "on" : "off");
        if (commands && second == 90) {
            say(h, ROOT "/lemon/wearing/set", "[\"fleece\"]");
        }
        ow_status status = h->module->tick(h->engine, h->now);
        assert_true(status == OW_OK || status == OW_NO_MEMORY);
        on += h->plug.on;
    }
    return on;
}

static void it_goes_on_when_there_is_memory_again(void **state)
{
    (void)state;
    cJSON_Hooks hooks = {__wrap_malloc, free};
    cJSON_InitHooks(&hooks);
    long until = 1;
    for (long n = 0; n < until; n += 1 + n / 40) {
        host *h = host_start(GARDEN);
        h->sensors.house_c = 1.0;
        refused = n;
        asked = 0;
        (void)live(h, true);
        until = asked > until ? asked : until;
        refused = -1;
        assert_in_range(live(h, false), 40, 150); /* of 190 */
        check_value(h, "lemon/quality", "modelled");
        check_value(h, "heater/blocked-by", "[]");
        h->sensors.house_c = 15.0;
        (void)live(h, false);
        check_value(h, "heater/command", "off");
        assert_false(h->plug.on);
        host_end(h);
    }
    cJSON_InitHooks(NULL);
    assert_true(until > 1000); /* so much was asked for */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_goes_on_when_there_is_memory_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
