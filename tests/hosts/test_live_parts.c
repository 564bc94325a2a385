/* SPDX-License-Identifier: MIT */
/* The small parts of the live hosts: clocks, complaints, credentials, topics of a broker. */
#define _POSIX_C_SOURCE 200809L

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <mosquitto.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "check.h"
#include "hosts/broker/garden_topic.h"
#include "hosts/broker/topic_set.h"
#include "hosts/broker/zone.h"
#include "hosts/clocks.h"
#include "hosts/complaint.h"
#include "hosts/credentials.h"
#include "hosts/lines.h"
#include "hosts/tls.h"

static struct lines lines;

static void wait_ms(long ms)
{
    const struct timespec span = {ms / 1000, ms % 1000 * 1000000};
    nanosleep(&span, NULL);
}

static void both_clocks_keep_the_pace(void **state)
{
    (void)state;
    ow_clocks clocks;
    ow_clocks_start(&clocks, 1704412800, 1000);
    ow_now first = ow_clocks_now(&clocks);
    uint64_t real_ms = ow_real_ms();
    wait_ms(50);
    ow_now second = ow_clocks_now(&clocks);
    uint64_t gone_ms = ow_real_ms() - real_ms;
    assert_true(first.utc_ms >= 1704412800000 && first.utc_ms < 1704412800000 + 10000000);
    assert_int_equal(second.boot_ms - first.boot_ms, (uint64_t)(second.utc_ms - first.utc_ms));
    /* A thousand times the real span, give or take the ms that the two are read apart. */
    assert_in_range(second.boot_ms - first.boot_ms, 1000 * (gone_ms - 5), 1000 * (gone_ms + 5));
}

static void an_unpaced_clock_is_the_systems(void **state)
{
    (void)state;
    ow_clocks clocks;
    ow_clocks_start(&clocks, INT64_MIN, 1);
    assert_false(clocks.shifted);
    int64_t off_s = ow_clocks_now(&clocks).utc_ms / 1000 - (int64_t)time(NULL);
    assert_true(off_s >= -1 && off_s <= 1);
    assert_int_equal(ow_clocks_real_span(&clocks, 1000, 5), 1000);
    ow_clocks_start(&clocks, INT64_MIN, 8000);
    assert_true(clocks.shifted);
    assert_int_equal(ow_clocks_real_span(&clocks, 1000, 5), 5);
    assert_int_equal(ow_clocks_real_span(&clocks, 60000, 5), 7);
}

static void complaints_come_ever_more_rarely(void **state)
{
    (void)state;
    ow_complaint complaint = {0};
    uint64_t told = 0, at_ms = 1000;
    for (; at_ms < 1000 + 60000 * 15; at_ms += 1000) {
        told += ow_complaint_due(&complaint, at_ms);
    }
    /* At 0, 1, 3 and 7 minutes. */
    assert_int_equal(told, 4);
    assert_true(ow_complaint_over(&complaint));
    assert_false(ow_complaint_over(&complaint));
    assert_true(ow_complaint_due(&complaint, at_ms));
}

static void complaints_come_once_a_day_at_least(void **state)
{
    (void)state;
    static const uint64_t HOUR_MS = 3600000;
    ow_complaint complaint = {0};
    uint64_t last_ms = 0;
    for (uint64_t at_ms = 0; at_ms < 200 * HOUR_MS; at_ms += HOUR_MS) {
        if (ow_complaint_due(&complaint, at_ms)) {
            assert_true(at_ms - last_ms <= 25 * HOUR_MS);
            last_ms = at_ms;
        }
    }
    assert_true(last_ms > 150 * HOUR_MS);
}

static void loopback_is_this_machine_only(void **state)
{
    (void)state;
    assert_true(ow_is_loopback("localhost") && ow_is_loopback("127.0.0.1"));
    assert_true(ow_is_loopback("127.1.2.3") && ow_is_loopback("::1"));
    assert_false(ow_is_loopback("128.0.0.1") || ow_is_loopback("hub.lan"));
    assert_false(ow_is_loopback("localhost.evil.example") || ow_is_loopback("127.0.0.1.example"));
    assert_false(ow_is_loopback(""));
}

static void the_way_to_the_broker_is_proved(void **state)
{
    (void)state;
    lines_start(&lines);
    const ow_link none = {0}, far = {.host = "hub.lan", .user = "ada"},
                  secret = {.host = "hub.lan", .user = "ada", .ca_file = "ca"},
                  near = {.host = "::1", .user = "ada"};
    assert_int_equal(ow_link_check(&none, false, "g.json", &lines.report), OW_BAD_INPUT);
    check_says(&lines, "g.json: names no broker");
    assert_int_equal(ow_link_check(&far, true, "g.json", &lines.report), OW_BAD_INPUT);
    check_says(&lines, "no real device may be switched by a fast clock");
    lines_start(&lines);
    assert_int_equal(ow_link_check(&secret, false, "g.json", &lines.report), OW_OK);
    assert_int_equal(ow_link_check(&near, true, "g.json", &lines.report), OW_OK);
    assert_int_equal(lines.count, 0);
    assert_int_equal(ow_link_check(&far, false, "g.json", &lines.report), OW_OK);
    check_says(&lines, "in the clear");
}

/* Writes a password file; the path lives until the next call. */
static const char *password_file(const char *text, size_t size, mode_t mode)
{
    static char path[64];
    snprintf(path, sizeof path, "/tmp/overwinter-test-XXXXXX");
    int fd = mkstemp(path);
    assert_true(fd >= 0 && write(fd, text, size) == (ssize_t)size && fchmod(fd, mode) == 0);
    close(fd);
    return path;
}

static ow_status read_password(const char *text, size_t size, mode_t mode, char *password)
{
    const char *path = password_file(text, size, mode);
    lines_start(&lines);
    ow_status status = ow_password_read(path, &lines.report, password);
    unlink(path);
    return status;
}

static void a_password_is_one_line_of_a_private_file(void **state)
{
    (void)state;
    char password[OW_PASSWORD_MOST + 1], longest[OW_PASSWORD_MOST + 2];
    assert_int_equal(read_password("open sesame\n", 12, 0600, password), OW_OK);
    assert_string_equal(password, "open sesame");
    assert_int_equal(read_password("a\r\nb\n", 5, 0400, password), OW_OK);
    assert_string_equal(password, "a");
    memset(longest, 'x', sizeof longest);
    assert_int_equal(read_password(longest, OW_PASSWORD_MOST, 0600, password), OW_OK);
    assert_int_equal(strlen(password), OW_PASSWORD_MOST);
    assert_int_equal(read_password(longest, OW_PASSWORD_MOST + 1, 0600, password), OW_BAD_INPUT);
    assert_int_equal(read_password("", 0, 0600, password), OW_BAD_INPUT);
    assert_int_equal(read_password("a\0b", 3, 0600, password), OW_BAD_INPUT);
    static const mode_t shared[] = {0640, 0604, 0620, 0610, 0644};
    for (size_t i = 0; i < sizeof shared / sizeof shared[0]; i++) {
        assert_int_equal(read_password("a", 1, shared[i], password), OW_BAD_INPUT);
        check_says(&lines, "chmod 600");
    }
    assert_int_equal(ow_password_read("/nowhere/at/all", &lines.report, password), OW_BAD_INPUT);
    assert_int_equal(ow_password_read("/tmp", &lines.report, password), OW_BAD_INPUT);
}

/* Each bit that lets others in is refused before the library sees the file, and told with the mend. */
static void a_key_is_a_private_file(void **state)
{
    (void)state;
    char fault[OW_TLS_TEXT], mode[16];
    for (unsigned bit = 0; bit < 9; bit++) {
        mode_t seen = 0600u | 1u << bit;
        const char *path = password_file("key", 3, seen);
        const ow_link link = {.host = "localhost", .ca_file = "/dev/null", .cert_file = "/dev/null",
                              .key_file = path};
        struct mosquitto *mosq = mosquitto_new(NULL, true, NULL);
        bool private = bit >= 6;
        assert_non_null(mosq);
        fault[0] = '\0';
        assert_int_equal(ow_tls_set_up(mosq, &link, fault), private);
        snprintf(mode, sizeof mode, "mode %03o,", (unsigned)seen);
        assert_int_equal(strstr(fault, mode) != NULL && strstr(fault, path) != NULL &&
                             strstr(fault, "chmod 600") != NULL,
                         !private);
        unlink(path);
        mosquitto_destroy(mosq);
    }
}

static void a_set_of_topics_holds_what_was_put(void **state)
{
    (void)state;
    ow_topic_set set = {0};
    char topic[32];
    assert_false(ow_topic_set_has(&set, "t/0"));
    for (int i = 0; i < 3000; i++) {
        snprintf(topic, sizeof topic, "t/%d", i % 2000);
        assert_int_equal(ow_topic_set_add(&set, topic), OW_OK);
    }
    assert_int_equal(set.count, 2000);
    for (int i = 0; i < 4000; i++) {
        snprintf(topic, sizeof topic, "t/%d", i);
        assert_int_equal(ow_topic_set_has(&set, topic), i < 2000);
    }
    ow_topic_set_clear(&set);
    assert_false(ow_topic_set_has(&set, "t/0"));
    ow_topic_set_clear(&set);
}

static bool topic_of(const char *text, char *topic)
{
    return ow_garden_topic(text, strlen(text), "$state", topic, 64);
}

static void a_wrong_garden_may_still_say_whose_it_is(void **state)
{
    (void)state;
    char topic[64] = "";
    assert_true(topic_of("{ /* c */ \"garden\": \"yard\", \"plants\": 7 } // end", topic));
    assert_string_equal(topic, "homie/5/yard/$state");
    assert_true(topic_of("{ \"root\": \"hub\", \"garden\": \"yard\" }", topic));
    assert_string_equal(topic, "hub/5/yard/$state");
    assert_false(topic_of("{ \"garden\": \"yard\"", topic));
    assert_false(topic_of("{ \"garden\": \"a/b\" }", topic));
    assert_false(topic_of("{ \"garden\": \"#\" }", topic));
    assert_false(topic_of("{ \"garden\": 7 }", topic));
    assert_false(topic_of("{}", topic));
    assert_false(topic_of("", topic));
    assert_false(ow_garden_topic("{\"garden\":\"yard\"}", 17, "$state", topic, 12));
}

static void another_zone_is_said(void **state)
{
    (void)state;
    lines_start(&lines);
    assert_int_equal(setenv("TZ", "Europe/Paris", 1), 0);
    ow_broker_zone_compare("Europe/Paris", &lines.report);
    assert_int_equal(lines.count, 0);
    ow_broker_zone_compare("Asia/Tokyo", &lines.report);
    check_says(&lines, "TZ=Asia/Tokyo");
    assert_int_equal(setenv("TZ", "UTC0", 1), 0);
    lines_start(&lines);
    ow_broker_zone_compare("UTC", &lines.report);
    assert_int_equal(lines.count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_clocks_keep_the_pace),
        cmocka_unit_test(an_unpaced_clock_is_the_systems),
        cmocka_unit_test(complaints_come_ever_more_rarely),
        cmocka_unit_test(complaints_come_once_a_day_at_least),
        cmocka_unit_test(loopback_is_this_machine_only),
        cmocka_unit_test(the_way_to_the_broker_is_proved),
        cmocka_unit_test(a_password_is_one_line_of_a_private_file),
        cmocka_unit_test(a_key_is_a_private_file),
        cmocka_unit_test(a_set_of_topics_holds_what_was_put),
        cmocka_unit_test(a_wrong_garden_may_still_say_whose_it_is),
        cmocka_unit_test(another_zone_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
