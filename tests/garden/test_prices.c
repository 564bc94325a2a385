/* SPDX-License-Identifier: MIT */
/* Prices by the hour: what a message says, for how long, and what none of them may do. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <math.h>
#include <cmocka.h>

#include "garden/live.h"
#include "garden/prices.h"

#define H(n) (T0 + (n) * (ow_utc_s)OW_HOUR_S)

static const ow_price_source source = {.given = true,
                                       .topic = "grid/prices",
                                       .list = "/hours",
                                       .time = "/from",
                                       .price = "/cost",
                                       .stale_after_h = 36.0};

static ow_cause take(ow_prices *prices, const char *text, double after_s, struct told *told)
{
    char *bytes = heap_bytes(text, strlen(text));
    ow_report report = {.line = tell, .self = told};
    ow_cause cause = ow_prices_take(prices, bytes, strlen(text), at_s(after_s), &report);
    free(bytes);
    return cause;
}

static double least(const ow_prices *prices, double hours_after, ow_utc_s from_s, ow_utc_s until_s)
{
    return ow_prices_least(prices, at_s(hours_after * 3600.0).boot_s, from_s, until_s);
}

/* Out of order, as texts and as numbers, one of them twice. */
static void a_price_holds_until_the_next(void **state)
{
    (void)state;
    ow_prices prices;
    struct told told = {0};
    ow_prices_init(&prices, &source);
    assert_true(isnan(least(&prices, 0, H(0), H(1))));
    assert_int_equal(take(&prices,
                          "{\"hours\":[{\"from\":\"2024-01-15T02:00:00Z\",\"cost\":\"0.50\"},"
                          "{\"from\":1705276800,\"cost\":0.1},"
                          "{\"from\":1705288500000,\"cost\":-0.2},"
                          "{\"from\":\"2024-01-15T01:00:00Z\",\"cost\":9},"
                          "{\"from\":\"2024-01-15T01:00:00Z\",\"cost\":0.3}]}",
                          0, &told),
                     OW_CAUSE_NONE);
    assert_int_equal(prices.rows, 4);
    assert_true(least(&prices, 0, H(0), H(0) + 1) == 0.1);
    assert_true(least(&prices, 0, H(1), H(2)) == 0.3);
    assert_true(least(&prices, 0, H(1) - 1, H(2)) == 0.1);
    assert_true(least(&prices, 0, H(2), H(2) + 1) == 0.5);
    assert_true(least(&prices, 0, H(1), H(3)) == 0.3);
    assert_true(least(&prices, 0, H(3), H(3) + 900) == 0.5); /* until a quarter past three */
    assert_true(least(&prices, 0, H(3), H(3) + 901) == -0.2);
    assert_true(least(&prices, 0, H(4), H(4) + 900) == -0.2); /* the last for an hour */
    assert_true(isnan(least(&prices, 0, H(4), H(4) + 901)));
    assert_true(isnan(least(&prices, 0, H(0) - 1, H(1)))); /* before the first */
    assert_true(isnan(least(&prices, 0, H(1), H(1))));     /* of no time */
    assert_int_equal(told.lines, 0);
}

static void they_grow_stale(void **state)
{
    (void)state;
    ow_prices prices;
    struct told told = {0};
    ow_prices_init(&prices, &source);
    assert_int_equal(take(&prices, "{\"hours\":[{\"from\":1705276800,\"cost\":1},"
                                   "{\"from\":1705536000,\"cost\":2}]}", 0, &told),
                     OW_CAUSE_NONE); /* three days on end */
    assert_true(least(&prices, 36.0, H(35), H(36)) == 1.0);
    assert_true(isnan(least(&prices, 36.0003, H(35), H(36))));
}

/* An hour whose price is none is not filled by the one before. */
static void a_hole_stays_one(void **state)
{
    (void)state;
    static const char *const none[] = {"null", "\"dear\"", "true", "{}", "1e10", "\"1e400\""};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        char text[300];
        ow_prices prices;
        struct told told = {0};
        ow_prices_init(&prices, &source);
        snprintf(text, sizeof text,
                 "{\"hours\":[{\"from\":1705276800,\"cost\":1},{\"from\":1705280400,\"cost\":%s},"
                 "{\"from\":1705284000,\"cost\":2}]}",
                 none[i]);
        assert_int_equal(take(&prices, text, 0, &told), OW_CAUSE_NONE);
        assert_true(least(&prices, 0, H(0), H(1)) == 1.0);
        assert_true(isnan(least(&prices, 0, H(1), H(2))));
        assert_true(isnan(least(&prices, 0, H(0), H(1) + 1)));
        assert_true(isnan(least(&prices, 0, H(0), H(3))));
        assert_true(least(&prices, 0, H(2), H(3)) == 2.0);
    }
}

/* What is refused changes nothing, and is told with the topic and the mend. */
static void what_is_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        ow_cause cause;
        const char *says;
    } cases[] = {
        {"cheap", OW_CAUSE_JSON, "mend the sender"},
        {"", OW_CAUSE_JSON, "mend the sender"},
        {"[]", OW_CAUSE_NOT_THERE, "\"list\""},
        {"{\"hours\":{}}", OW_CAUSE_NOT_THERE, "\"list\""},
        {"{\"hours\":[]}", OW_CAUSE_SHORT, "none for now or ahead"},
        {"{\"hours\":[{\"cost\":1}]}", OW_CAUSE_TIME, "\"time\""},
        {"{\"hours\":[{\"from\":1705276800,\"cost\":3},{\"from\":\"now\",\"cost\":1}]}",
         OW_CAUSE_TIME, "\"time\""},
        {"{\"hours\":[7]}", OW_CAUSE_TIME, "\"time\""},
        {"{\"hours\":[{\"from\":1705273200,\"cost\":3}]}", OW_CAUSE_SHORT, "none for now"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        ow_prices prices;
        struct told told = {0};
        ow_prices_init(&prices, &source);
        assert_int_equal(take(&prices, "{\"hours\":[{\"from\":1705276800,\"cost\":1}]}", 0, &told),
                         OW_CAUSE_NONE);
        assert_int_equal(take(&prices, cases[i].text, 1, &told), cases[i].cause);
        assert_int_equal(told.lines, 1);
        if (strstr(told.last, "grid/prices: ") != told.last || !strstr(told.last, cases[i].says)) {
            fail_msg("%zu: %s", i, told.last);
        }
        assert_true(least(&prices, 0, H(0), H(1)) == 1.0);
        assert_int_equal(take(&prices, "{\"hours\":[{\"from\":1705276800,\"cost\":2}]}", 2, &told),
                         OW_CAUSE_NONE);
        assert_non_null(strstr(told.last, "can be read again"));
        assert_true(least(&prices, 0, H(0), H(1)) == 2.0);
    }
}

/* More of them than there is room for; more bytes than are read. */
static void too_many(void **state)
{
    (void)state;
    size_t room = OW_PRICES_SIZE_MAX + 100;
    char *text = malloc(room);
    ow_prices prices;
    struct told told = {0};
    assert_non_null(text);
    ow_prices_init(&prices, &source);
    size_t used = (size_t)snprintf(text, room, "{\"hours\":[");
    for (int i = 0; i < 2 * OW_PRICES; i++) { /* quarters of an hour, the last first */
        used += (size_t)snprintf(text + used, room - used, "%s{\"from\":%lld,\"cost\":%d}",
                                 i > 0 ? "," : "", (long long)T0 + 900LL * (OW_PRICES - 1 - i), i);
    }
    snprintf(text + used, room - used, "]}");
    assert_int_equal(take(&prices, text, 0, &told), OW_CAUSE_NONE);
    assert_int_equal(prices.rows, OW_PRICES);
    assert_true(least(&prices, 0, H(0), H(0) + 900) == (double)OW_PRICES - 1);
    memset(text, ' ', room - 1);
    text[room - 1] = '\0';
    memcpy(text, "{\"hours\":[]}", 12);
    assert_int_equal(take(&prices, text, 0, &told), OW_CAUSE_LONG);
    free(text);
}

static void any_bytes_at_all(void **state)
{
    (void)state;
    static const char good[] = "{\"hours\":[{\"from\":1705276800,\"cost\":1},"
                               "{\"from\":\"2024-01-15T01:00:00Z\",\"cost\":\"0.5\"}]}";
    unsigned seed = 11;
    for (int i = 0; i < 20000; i++) {
        char text[sizeof good + 1];
        ow_prices prices;
        struct told told = {0};
        memcpy(text, good, sizeof good);
        size_t size = mutate(text, sizeof good - 1, &seed);
        char *bytes = heap_bytes(text, size);
        ow_report report = {.line = tell, .self = &told};
        ow_prices_init(&prices, &source);
        ow_cause cause = ow_prices_take(&prices, bytes, size, at_s(0), &report);
        assert_true((cause == OW_CAUSE_NONE) == (prices.rows > 0));
        assert_true(prices.rows <= 2);
        free(bytes);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_price_holds_until_the_next), cmocka_unit_test(they_grow_stale),
        cmocka_unit_test(a_hole_stays_one),             cmocka_unit_test(what_is_refused),
        cmocka_unit_test(too_many),                     cmocka_unit_test(any_bytes_at_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
