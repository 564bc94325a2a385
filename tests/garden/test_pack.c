/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "garden/pack.h"

/* The check value of CRC-32 as ISO/IEC/IEEE 8802-3 has it (catalogued as CRC-32/ISO-HDLC). */
static void the_checksum_gives_its_check_value(void **state)
{
    (void)state;
    assert_int_equal(ow_crc32((const unsigned char *)"123456789", 9), 0xCBF43926);
    assert_int_equal(ow_crc32((const unsigned char *)"", 0), 0);
}

/* Bit by bit with the polynomial itself, for every byte there is. */
static void the_checksum_is_that_of_its_polynomial(void **state)
{
    (void)state;
    unsigned char all[256];
    uint32_t crc = 0xFFFFFFFFu;
    for (int i = 0; i < 256; i++) {
        all[i] = (unsigned char)i;
        crc ^= all[i];
        for (int bit = 0; bit < 8; bit++) {
            crc = crc & 1u ? crc >> 1 ^ 0xEDB88320u : crc >> 1; /* 0x04C11DB7 reflected */
        }
    }
    assert_int_equal(ow_crc32(all, sizeof all), (uint32_t)~crc);
}

typedef struct things {
    double d[4];
    int64_t i64;
    int i;
    bool b;
    char text[12];
} things;

static void pack_things(ow_pack *p, things *t)
{
    ow_pack_doubles(p, t->d, 4);
    ow_pack_int64(p, &t->i64);
    ow_pack_int(p, &t->i, -5, 5);
    ow_pack_bool(p, &t->b);
    ow_pack_text(p, t->text, sizeof t->text);
}

static void what_was_written_is_read(void **state)
{
    (void)state;
    things in = {{NAN, -0.0, 0.1, INFINITY}, INT64_MIN, -5, true, "wool"}, out = {.i = 3};
    ow_pack w = ow_pack_writing();
    pack_things(&w, &in);
    assert_int_equal(w.status, OW_OK);
    ow_pack r = ow_pack_reading(w.out, w.size);
    pack_things(&r, &out);
    assert_int_equal(r.status, OW_OK);
    assert_int_equal(r.at, r.size);
    assert_memory_equal(in.d, out.d, sizeof in.d); /* bits, so that NAN and -0 count */
    assert_true(out.i64 == INT64_MIN);
    assert_int_equal(out.i, -5);
    assert_true(out.b);
    assert_string_equal(out.text, "wool");
    ow_pack_free(&w);
}

static void bytes_are_little_end_first(void **state)
{
    (void)state;
    const unsigned char wanted[] = {0x02, 0x01, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0xF0, 0x3F};
    int64_t number = 0x0102;
    double one = 1.0; /* 0x3FF0000000000000 in IEEE 754 binary64 */
    ow_pack w = ow_pack_writing();
    ow_pack_int64(&w, &number);
    ow_pack_double(&w, &one);
    assert_int_equal(w.size, sizeof wanted);
    assert_memory_equal(w.out, wanted, sizeof wanted);
    ow_pack_free(&w);
}

static void every_cut_is_seen(void **state)
{
    (void)state;
    things in = {{1, 2, 3, 4}, 5, 1, true, "wool"};
    ow_pack w = ow_pack_writing();
    pack_things(&w, &in);
    for (size_t size = 0; size < w.size; size++) {
        things out = {.text = "before"};
        ow_pack r = ow_pack_reading(w.out, size);
        pack_things(&r, &out);
        assert_int_equal(r.status, OW_BAD_INPUT);
        assert_string_equal(out.text, "before"); /* the last field cannot have been whole */
    }
    ow_pack_free(&w);
}

static void values_out_of_range_are_refused(void **state)
{
    (void)state;
    int six = 6, read = 2;
    int64_t before_1970 = -1, when = 7;
    size_t huge = SIZE_MAX;
    const unsigned char *bytes = NULL;
    ow_pack w = ow_pack_writing();
    ow_pack_int(&w, &six, 0, 5); /* writing trusts the program */
    ow_pack_int64(&w, &before_1970);
    ow_pack r = ow_pack_reading(w.out, w.size);
    ow_pack_int(&r, &read, 0, 5);
    assert_int_equal(r.status, OW_BAD_INPUT);
    assert_int_equal(read, 2);
    r = ow_pack_reading(w.out + 8, 8);
    ow_pack_time(&r, &when);
    assert_int_equal(r.status, OW_BAD_INPUT);
    assert_int_equal(when, 7);
    r = ow_pack_reading(w.out + 8, 8); /* all ones as a length */
    ow_pack_bytes(&r, &bytes, &huge);
    assert_int_equal(r.status, OW_BAD_INPUT);
    ow_pack_free(&w);
}

static void texts_must_fit_and_hold_no_zero(void **state)
{
    (void)state;
    char small[4] = "is", text[16] = "longer";
    const unsigned char hole[] = {'a', 0, 'b'}, *bytes = hole;
    size_t size = sizeof hole;
    ow_pack w = ow_pack_writing();
    ow_pack_text(&w, text, sizeof text);
    ow_pack r = ow_pack_reading(w.out, w.size);
    ow_pack_text(&r, small, sizeof small);
    assert_int_equal(r.status, OW_BAD_INPUT);
    assert_string_equal(small, "is");
    ow_pack_free(&w);
    ow_pack_bytes(&w, &bytes, &size);
    r = ow_pack_reading(w.out, w.size);
    ow_pack_text(&r, text, sizeof text);
    assert_int_equal(r.status, OW_BAD_INPUT);
    ow_pack_free(&w);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_checksum_gives_its_check_value),
        cmocka_unit_test(the_checksum_is_that_of_its_polynomial),
        cmocka_unit_test(what_was_written_is_read),
        cmocka_unit_test(bytes_are_little_end_first),
        cmocka_unit_test(every_cut_is_seen),
        cmocka_unit_test(values_out_of_range_are_refused),
        cmocka_unit_test(texts_must_fit_and_hold_no_zero),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
