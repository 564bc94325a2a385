/* SPDX-License-Identifier: MIT */
/* The table of keys is sound, and what docs/ says of the garden file is what the table says. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "garden_text.h"
#include "key_docs.h"
#include "plants/spelling.h"

/* What a writer writes, zero-terminated; the caller frees it. */
static char *written_by(void (*writer)(FILE *out))
{
    FILE *file = tmpfile();
    long size;
    char *text;
    assert_non_null(file);
    writer(file);
    size = ftell(file);
    assert_true(size > 0);
    text = malloc((size_t)size + 1);
    assert_non_null(text);
    rewind(file);
    assert_int_equal(fread(text, 1, (size_t)size, file), (size_t)size);
    text[size] = '\0';
    fclose(file);
    return text;
}

static void schema_is_written_from_the_table(void **state)
{
    char *kept = file_text("docs/garden.schema.json", NULL), *made = written_by(write_schema);
    (void)state;
    if (strcmp(kept, made) != 0) {
        fail_msg("docs/garden.schema.json is not what make_schema writes; write it anew");
    }
    free(kept);
    free(made);
}

static void page_is_written_from_the_table(void **state)
{
    char *page = file_text("docs/garden-file.md", NULL), *made = written_by(write_page);
    const char *part = strstr(page, PAGE_MARK);
    (void)state;
    assert_non_null(part);
    if (strcmp(part, made) != 0) {
        fail_msg("docs/garden-file.md is not what make_schema writes; write it anew");
    }
    free(page);
    free(made);
}

static void page_shows_the_smallest_garden(void **state)
{
    char *page = file_text("docs/garden-file.md", NULL);
    char *smallest = file_text("config-examples/smallest.json", NULL);
    (void)state;
    assert_non_null(strstr(page, smallest));
    free(page);
    free(smallest);
}

static void check_fallback(const ow_object *object, const ow_key *key)
{
    size_t n = 0;
    const char *const *words;
    bool found = false;
    if (key->type == OW_KEY_NUMBER || key->type == OW_KEY_INTEGER) {
        double number = strtod(key->fallback, NULL);
        if (!(number >= key->min && number <= key->max)) {
            fail_msg("%s.%s: the default is out of range", object->name, key->name);
        }
    }
    if (key->type != OW_KEY_NAME && key->type != OW_KEY_NAME_OR_OBJECT) {
        return;
    }
    words = key->names(&n);
    for (size_t i = 0; i < n; i++) {
        found = found || strcmp(words[i], key->fallback) == 0;
    }
    if (!found) {
        fail_msg("%s.%s: the default is none of its words", object->name, key->name);
    }
}

static void every_row_of_the_table_is_whole(void **state)
{
    struct objects objects = {.count = 0};
    size_t rows = 0;
    (void)state;
    collect(&objects, ow_keys_garden());
    assert_true(objects.count < OBJECTS_MAX);
    for (size_t i = 0; i < objects.count; i++) {
        const ow_object *object = objects.item[i];
        assert_in_range(object->key_count, 1, 64); /* the reader has room for so many */
        for (size_t k = 0; k < object->key_count; k++) {
            const ow_key *key = &object->keys[k];
            assert_non_null(key->name);
            assert_non_null(key->about);
            assert_true(key->offset < object->size);
            if (key->fallback != NULL) {
                assert_false(key->required);
                check_fallback(object, key);
            }
            rows++;
        }
    }
    assert_true(rows > 100);
}

static void parts_have_the_names_of_the_plants_layer(void **state)
{
    const ow_key *limits = NULL;
    struct objects objects = {.count = 0};
    (void)state;
    collect(&objects, ow_keys_garden());
    for (size_t i = 0; i < objects.count; i++) {
        if (strcmp(objects.item[i]->name, "limits") == 0) {
            limits = objects.item[i]->keys;
        }
    }
    assert_non_null(limits);
    for (int part = 0; part < OW_PARTS; part++) {
        assert_string_equal(limits[part].name, ow_part_name((ow_part)part));
    }
}

static void slips_are_counted(void **state)
{
    (void)state;
    assert_int_equal(ow_edit_distance("", ""), 0);
    assert_int_equal(ow_edit_distance("pot", ""), 3);
    assert_int_equal(ow_edit_distance("", "pot"), 3);
    assert_int_equal(ow_edit_distance("kitten", "sitting"), 3); /* the textbook pair */
    assert_int_equal(ow_edit_distance("flim", "film"), 1);      /* neighbours swapped */
    assert_int_equal(ow_edit_distance("depth_mm", "dept_mm"), 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(schema_is_written_from_the_table),
        cmocka_unit_test(page_is_written_from_the_table),
        cmocka_unit_test(page_shows_the_smallest_garden),
        cmocka_unit_test(every_row_of_the_table_is_whole),
        cmocka_unit_test(parts_have_the_names_of_the_plants_layer),
        cmocka_unit_test(slips_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
