/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "garden/pack.h"
#include "hosts/season_log.h"
#include "hosts/store_file.h"

#include "../garden/garden_text.h"
#include "../garden/stage.h"

static const char garden_text[] =
    STAGE_SITE "\"places\":[{\"id\":\"deck\",\"kind\":\"open sky\"}],"
               "\"plants\":[{\"id\":\"pot\",\"place\":\"deck\"," STAGE_LIMITS ","
               "\"pot\":{\"diameter_mm\":200,\"depth_mm\":180,\"medium\":\"peat\"}}]}";

static stage scene;
static struct lines lines;
static char dir[64], path[128];

static ow_report telling(void)
{
    lines.used = 0;
    lines.text[0] = '\0';
    return (ow_report){.line = add_line, .self = &lines};
}

static const char *file(const char *name)
{
    snprintf(path, sizeof path, "%s/%s", dir, name);
    return path;
}

static void remove_all(void)
{
    static const char *const names[] = {"state",           "state.1",           "state.new", "lock",
                                        "state.version-2", "state.version-2.2", "season.csv", NULL};
    for (int i = 0; names[i] != NULL; i++) {
        if (unlink(file(names[i])) != 0) {
            rmdir(file(names[i]));
        }
    }
    rmdir(dir);
}

static int set_up(void **state)
{
    (void)state;
    scene = stage_open(garden_text, 4.0);
    snprintf(dir, sizeof dir, "/tmp/overwinter-store-XXXXXX");
    return mkdtemp(dir) == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    remove_all();
    stage_close(&scene);
    return 0;
}

/* A state that carries a number, with as many bytes behind it that depend on it. */
static unsigned char *state_of(int64_t number, size_t padding, size_t *size)
{
    unsigned char *bytes, *pad = malloc(padding + 8);
    assert_non_null(pad);
    memset(pad, (int)(number % 251), padding + 8);
    memcpy(pad, &number, sizeof number);
    const ow_section section = {"number", pad, padding + 8};
    assert_int_equal(ow_snapshot_write(scene.scene, number, &section, 1, &bytes, size), OW_OK);
    free(pad);
    return bytes;
}

static int64_t number_in(const ow_snapshot *snapshot)
{
    const unsigned char *found;
    size_t size;
    int64_t number;
    assert_int_equal(ow_snapshot_section(snapshot, "number", &found, &size), OW_OK);
    memcpy(&number, found, sizeof number);
    for (size_t i = 8; i < size; i++) {
        assert_int_equal(found[i], number % 251);
    }
    return number;
}

static void put(ow_store *store, int64_t number)
{
    size_t size;
    unsigned char *bytes = state_of(number, 5000, &size);
    ow_report report = telling();
    assert_int_equal(ow_store_write(store, bytes, size, &report), OW_OK);
    assert_int_equal(report.errors, 0);
    free(bytes);
}

static ow_store *opened(void)
{
    ow_store *store = NULL;
    ow_report report = telling();
    assert_int_equal(ow_store_open(dir, &report, &store), OW_OK);
    return store;
}

/* The number in the state that is read; -1: there is none. */
static int64_t get(ow_store *store)
{
    unsigned char *bytes = NULL;
    ow_snapshot snapshot;
    ow_report report = telling();
    ow_status status = ow_store_read(store, &report, &bytes, &snapshot);
    int64_t number = status == OW_OK ? number_in(&snapshot) : -1;
    assert_true(status == OW_OK || status == OW_NOT_FOUND);
    free(bytes);
    return number;
}

static void put_file(const char *name, const unsigned char *bytes, size_t size)
{
    FILE *f = fopen(file(name), "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, size, f), size);
    assert_int_equal(fclose(f), 0);
}

/* ---- one after the other -------------------------------------------------------------------- */

static void the_last_state_is_read_and_the_one_before_kept(void **state)
{
    (void)state;
    rmdir(dir); /* is made when missing */
    ow_store *store = opened();
    assert_int_equal(get(store), -1);
    assert_string_equal(lines.text, "");
    put(store, 1);
    put(store, 2);
    assert_int_equal(get(store), 2);
    assert_string_equal(lines.text, "");
    put(store, 3);
    assert_int_equal(unlink(file("state")), 0);
    assert_int_equal(get(store), 2);
    assert_non_null(strstr(lines.text, "state.1: the state before is taken instead, saved "
                                       "1970-01-01T00:00:02Z"));
    put(store, 4); /* with no state there, the one before stays */
    assert_int_equal(get(store), 4);
    assert_int_equal(unlink(file("state")), 0);
    assert_int_equal(get(store), 2);
    assert_int_not_equal(access(file("state.new"), F_OK), 0);
    struct stat info;
    assert_int_equal(stat(file("state.1"), &info), 0);
    assert_int_equal(info.st_mode & 07, 0); /* no one else's business */
    ow_store_close(store);
}

static void a_broken_state_is_told_and_never_displaces_a_good_one(void **state)
{
    (void)state;
    ow_store *store = opened();
    put(store, 1);
    put(store, 2);
    size_t size;
    unsigned char *bytes = state_of(3, 100, &size);
    bytes[size / 2] ^= 1;
    put_file("state", bytes, size);
    assert_int_equal(get(store), 1);
    assert_non_null(strstr(lines.text, "state: left unread, its checksum does not match"));
    put(store, 4);
    put_file("state", bytes, 40);
    assert_int_equal(get(store), 1);
    assert_non_null(strstr(lines.text, "state: left unread, it is cut off"));
    put_file("state.1", bytes, 3);
    assert_int_equal(get(store), -1);
    put_file("state", bytes, 0);
    assert_int_equal(get(store), -1);
    free(bytes);
    ow_store_close(store);
}

static void put_newer(const char *name)
{
    size_t size;
    unsigned char *bytes = state_of(9, 100, &size);
    bytes[8] = 2;
    uint32_t crc = ow_crc32(bytes, size - 8);
    for (int i = 0; i < 4; i++) {
        bytes[size - 8 + (size_t)i] = (unsigned char)(crc >> (8 * i));
    }
    put_file(name, bytes, size);
    free(bytes);
}

static void a_newer_state_is_set_aside_unread(void **state)
{
    (void)state;
    ow_store *store = opened();
    put(store, 1);
    put(store, 2);
    put_newer("state");
    assert_int_equal(get(store), 1);
    assert_non_null(strstr(lines.text, "newer version (format 2, this one reads 1); kept unread "
                                       "as state.version-2"));
    assert_int_equal(access(file("state.version-2"), F_OK), 0);
    put(store, 5);
    put_newer("state");
    assert_int_equal(get(store), 1);
    assert_int_equal(access(file("state.version-2.2"), F_OK), 0);
    ow_store_close(store);
}

/* ---- one instance, and what cannot be ------------------------------------------------------- */

static void a_second_instance_is_refused_by_the_first_one_s_number(void **state)
{
    (void)state;
    ow_store *store = opened(), *second = NULL;
    char wanted[64];
    ow_report report = telling();
    assert_int_equal(ow_store_open(dir, &report, &second), OW_FULL);
    snprintf(wanted, sizeof wanted, "process %ld already minds this garden", (long)getpid());
    assert_non_null(strstr(lines.text, wanted));
    assert_int_equal(report.errors, 1);
    assert_null(second);
    ow_store_close(store);
    store = opened(); /* free again */
    ow_store_close(store);
}

static void a_directory_that_cannot_be_is_told(void **state)
{
    (void)state;
    char below[96];
    ow_store *store = NULL;
    ow_report report = telling();
    put_file("lock", (const unsigned char *)"", 0);
    snprintf(below, sizeof below, "%s/lock/deeper", dir);
    assert_int_equal(ow_store_open(below, &report, &store), OW_IO);
    assert_non_null(strstr(lines.text, "the directory cannot be made"));
    report = telling();
    assert_int_equal(ow_store_open(file("lock"), &report, &store), OW_IO);
    assert_non_null(strstr(lines.text, "cannot be opened"));
    assert_null(store);
}

/* What stands in the way of writing: a directory by the name of the part. */
static void a_write_that_fails_leaves_the_last_state(void **state)
{
    (void)state;
    size_t size;
    unsigned char *bytes = state_of(8, 100, &size);
    ow_store *store = opened();
    put(store, 7);
    assert_int_equal(mkdir(file("state.new"), 0700), 0);
    ow_report report = telling();
    assert_int_equal(ow_store_write(store, bytes, size, &report), OW_IO);
    assert_int_equal(report.errors, 1);
    assert_non_null(strstr(lines.text, "cannot be written"));
    assert_int_equal(get(store), 7);
    assert_int_equal(rmdir(file("state.new")), 0);
    put(store, 9);
    assert_int_equal(get(store), 9);
    free(bytes);
    ow_store_close(store);
}

/* A device that takes 20000 bytes and no more; exits 0 when the write failed as it should. */
static int write_on_a_full_device(void)
{
    struct rlimit room = {20000, 20000};
    size_t size;
    unsigned char *bytes = state_of(2, 200000, &size);
    ow_store *store = opened();
    ow_report report = telling();
    bool read = get(store) == 1;
    report = telling();
    signal(SIGXFSZ, SIG_IGN);
    bool limited = setrlimit(RLIMIT_FSIZE, &room) == 0;
    bool failed = ow_store_write(store, bytes, size, &report) == OW_IO && report.errors == 1;
    free(bytes);
    ow_store_close(store);
    stage_close(&scene);
    return read && limited && failed ? 0 : 1;
}

static void a_full_device_leaves_the_last_state(void **state)
{
    (void)state;
    int status;
    ow_store *store = opened();
    put(store, 1);
    ow_store_close(store);
    pid_t child = fork();
    if (child == 0) {
        _exit(write_on_a_full_device());
    }
    assert_true(child > 0);
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    store = opened();
    assert_int_equal(get(store), 1);
    assert_int_not_equal(access(file("state.new"), F_OK), 0); /* its room is given back */
    ow_store_close(store);
}

/* ---- killed while writing ------------------------------------------------------------------- */

/* Writes states with rising numbers until it is killed; tells each one that is stored. */
static void write_on_and_on(int tell, int64_t from)
{
    ow_store *store = opened();
    (void)!get(store);
    for (int64_t number = from;; number++) {
        size_t size;
        unsigned char *bytes = state_of(number, (size_t)(number * 7919 % 60000), &size);
        ow_report report = telling();
        if (ow_store_write(store, bytes, size, &report) != OW_OK ||
            write(tell, &number, sizeof number) != sizeof number) {
            _exit(1);
        }
        free(bytes);
    }
}

static int64_t last_told(int pipe_end, int64_t before)
{
    int64_t number, last = before;
    while (read(pipe_end, &number, sizeof number) == sizeof number) {
        last = number;
    }
    return last;
}

/* Half of the kills fall right from the start on, the others once a state has been stored. */
static int64_t wait_for_first(int pipe_end, int kill_no, int64_t before)
{
    int64_t number = before;
    if (kill_no % 2 == 1) {
        assert_int_equal(read(pipe_end, &number, sizeof number), sizeof number);
    }
    return number;
}

static void killed_at_any_moment_the_store_is_whole(void **state)
{
    (void)state;
    enum { KILLS = 200 };
    uint32_t random = 2463534242u;
    int64_t stored = 0;
    int advanced = 0;
    for (int kill_no = 0; kill_no < KILLS; kill_no++) {
        int ends[2], status;
        assert_int_equal(pipe(ends), 0);
        pid_t child = fork();
        if (child == 0) {
            close(ends[0]);
            write_on_and_on(ends[1], stored + 1);
        }
        assert_true(child > 0);
        close(ends[1]);
        int64_t told = wait_for_first(ends[0], kill_no, stored);
        random ^= random << 13;
        random ^= random >> 17;
        random ^= random << 5;
        nanosleep(&(struct timespec){0, 500000 + (long)(random % 12000000)}, NULL);
        assert_int_equal(kill(child, SIGKILL), 0);
        assert_int_equal(waitpid(child, &status, 0), child);
        assert_true(WIFSIGNALED(status)); /* it had not given up by itself */
        told = last_told(ends[0], told);
        close(ends[0]);
        ow_store *store = opened();
        int64_t found = get(store);
        ow_store_close(store);
        found = found < 0 ? 0 : found; /* none yet */
        assert_true(found >= told && found <= told + 1); /* one may have been stored untold */
        advanced += found > stored;
        stored = found;
    }
    assert_true(advanced >= KILLS / 2); /* the kills fell into real work */
}

/* ---- the thread ----------------------------------------------------------------------------- */

static void the_thread_writes_what_was_given_last(void **state)
{
    (void)state;
    ow_store *store = opened();
    ow_store_writer *writer = NULL;
    assert_int_equal(ow_store_writer_start(store, &writer), OW_OK);
    for (int64_t number = 1; number <= 50; number++) {
        size_t size;
        unsigned char *bytes = state_of(number, 2000, &size);
        ow_store_writer_give(writer, bytes, size);
    }
    ow_store_news news = ow_store_writer_close(writer);
    assert_true(news.written >= 1 && news.written <= 50);
    assert_int_equal(news.failed, 0);
    assert_string_equal(news.why, "");
    assert_int_equal(get(store), 50);
    ow_store_close(store);
}

static void the_thread_tells_of_a_failure(void **state)
{
    (void)state;
    size_t size;
    unsigned char *bytes = state_of(1, 10, &size);
    ow_store *store = opened();
    ow_store_writer *writer = NULL;
    ow_store_news news = {0};
    assert_int_equal(mkdir(file("state.new"), 0700), 0);
    assert_int_equal(ow_store_writer_start(store, &writer), OW_OK);
    ow_store_writer_give(writer, bytes, size);
    for (int i = 0; i < 5000 && news.failed == 0; i++) {
        nanosleep(&(struct timespec){0, 1000000}, NULL);
        news = ow_store_writer_news(writer);
    }
    assert_int_equal(news.failed, 1);
    assert_non_null(strstr(news.why, "cannot be written"));
    news = ow_store_writer_close(writer);
    assert_int_equal(news.written + news.failed, 0); /* told once */
    ow_store_close(store);
}

/* ---- the season log ------------------------------------------------------------------------- */

static void check_season(const char *wanted)
{
    char text[500];
    FILE *season = fopen(file("season.csv"), "rb");
    assert_non_null(season);
    text[fread(text, 1, sizeof text - 1, season)] = '\0';
    fclose(season);
    assert_string_equal(text, wanted);
}

static void add_season(ow_store *store, const char *detail)
{
    ow_store_writer *writer = NULL;
    char *line = ow_season_line(1704412800, "lemon", "moved", detail);
    assert_non_null(line);
    assert_int_equal(ow_store_writer_start(store, &writer), OW_OK);
    ow_store_writer_line(writer, line);
    free(line);
    assert_int_equal(ow_store_writer_close(writer).failed, 0);
}

#define SEASON_HEAD "time,subject,event,detail\n"
#define SEASON_LINE "2024-01-05T00:00:00Z,lemon,moved,"

static void the_season_is_added_to_and_a_torn_line_closed(void **state)
{
    (void)state;
    ow_store *store = opened();
    add_season(store, "porch");
    check_season(SEASON_HEAD SEASON_LINE "porch\n");
    add_season(store, "porch, by \"a\nda\""); /* no text makes a line of its own */
    check_season(SEASON_HEAD SEASON_LINE "porch\n" SEASON_LINE "\"porch, by \"\"a da\"\"\"\n");
    assert_int_equal(truncate(file("season.csv"), (off_t)strlen(SEASON_HEAD SEASON_LINE "po")), 0);
    add_season(store, "open");
    check_season(SEASON_HEAD SEASON_LINE "po\n" SEASON_LINE "open\n");
    ow_store_close(store);
}

static void a_season_that_cannot_be_written_is_told_and_stops_nothing(void **state)
{
    (void)state;
    size_t size;
    ow_store *store = opened();
    ow_store_writer *writer = NULL;
    assert_int_equal(symlink("/dev/full", file("season.csv")), 0); /* a link is not followed */
    assert_int_equal(ow_store_writer_start(store, &writer), OW_OK);
    ow_store_writer_line(writer, "a\n");
    unsigned char *bytes = state_of(7, 10, &size);
    ow_store_writer_give(writer, bytes, size);
    ow_store_news news = ow_store_writer_close(writer);
    assert_int_equal(news.failed, 0);
    assert_int_equal(news.written, 1);
    assert_non_null(strstr(news.lost, "season.csv: cannot be written"));
    ow_store_close(store);
}

static void the_thread_ends_when_nothing_was_given(void **state)
{
    (void)state;
    ow_store *store = opened();
    ow_store_writer *writer = NULL;
    assert_int_equal(ow_store_writer_start(store, &writer), OW_OK);
    ow_store_news news = ow_store_writer_close(writer);
    assert_int_equal(news.written, 0);
    ow_store_close(store);
}

#define STORE_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        STORE_TEST(the_last_state_is_read_and_the_one_before_kept),
        STORE_TEST(a_broken_state_is_told_and_never_displaces_a_good_one),
        STORE_TEST(a_newer_state_is_set_aside_unread),
        STORE_TEST(a_second_instance_is_refused_by_the_first_one_s_number),
        STORE_TEST(a_directory_that_cannot_be_is_told),
        STORE_TEST(a_write_that_fails_leaves_the_last_state),
        STORE_TEST(a_full_device_leaves_the_last_state),
        STORE_TEST(killed_at_any_moment_the_store_is_whole),
        STORE_TEST(the_thread_writes_what_was_given_last),
        STORE_TEST(the_thread_tells_of_a_failure),
        STORE_TEST(the_season_is_added_to_and_a_torn_line_closed),
        STORE_TEST(a_season_that_cannot_be_written_is_told_and_stops_nothing),
        STORE_TEST(the_thread_ends_when_nothing_was_given),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
