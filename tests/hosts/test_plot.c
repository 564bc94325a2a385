/* SPDX-License-Identifier: MIT */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>

#include "check.h"
#include "hosts/lines.h"
#include "hosts/local_time.h"
#include "hosts/plot.h"
#include "people/svg.h"

enum { HOURS = 216, MOST_BYTES = 2000000 };

static char first[MOST_BYTES], second[MOST_BYTES];

static ow_plant_view view_at(int hour, int plant)
{
    double ball = (hour < 100 ? 4.0 - 0.1 * hour : -6.0) + plant;
    ow_plant_view view = {.id = "lemon",
                          .state = ball < -3.0 ? "carry in" : "hold",
                          .root_mean_c = ball,
                          .root_coldest_c = ball - 1.0,
                          .root_warmest_c = ball + 1.0,
                          .ice_share = ball < 0.0 ? fmin(1.0, -ball / 5.0) : 0.0,
                          .foliage_c = NAN,
                          .nearest_part = 2,
                          .nearest_k = ball + 4.0};
    view.part[2].name = "roots";
    view.part[2].damaged_c = -5.0;
    return view;
}

static void collect(ow_plot_data *data, int plants)
{
    assert_int_equal(ow_plot_data_open(data, plants, 1704412800, 1704412800 + HOURS * 3600), OW_OK);
    for (int hour = 0; hour <= HOURS; hour++) {
        for (int i = 0; i < plants; i++) {
            ow_plant_view view = view_at(hour, i);
            ow_plot_data_note(data, i, 1704412800 + hour * 3600, &view);
        }
    }
}

static void draw(const ow_plot_data *data, const ow_plot_label *label, char *text)
{
    FILE *file = tmpfile();
    assert_non_null(file);
    ow_plot_draw(file, "roof & top", data, label);
    file_text(file, text, MOST_BYTES);
    fclose(file);
}

static int count_of(const char *text, const char *part)
{
    int count = 0;
    for (const char *at = text; (at = strstr(at, part)) != NULL; at++) {
        count++;
    }
    return count;
}

static ow_plot_label label_of(const char *name, double nearest_k)
{
    return (ow_plot_label){.id = "lemon",
                           .name = name,
                           .taxon = "Citrus limon",
                           .nearest_part = "roots",
                           .worst = {.root_coldest_c = -7.0,
                                     .ice_share = 1.0,
                                     .frozen_days = 2.0,
                                     .nearest_part = 2,
                                     .nearest_k = nearest_k}};
}

static void each_plant_has_a_strip(void **state)
{
    ow_plot_data data;
    ow_plot_label label[2] = {label_of("<lemon> & \"co\"", -2.0), label_of(NULL, 1.0)};
    (void)state;
    collect(&data, 2);
    draw(&data, label, first);
    draw(&data, label, second);
    assert_string_equal(first, second);
    assert_int_equal(count_of(first, "<g role=\"group\">"), 2);
    assert_int_equal(count_of(first, "&lt;lemon&gt; &amp; &quot;co&quot;"), 1);
    assert_int_equal(count_of(first, "<lemon>"), 0);
    assert_non_null(strstr(first, "roots 2.0 K past the limit"));
    assert_non_null(strstr(first, "roots 1.0 K above the limit"));
    assert_non_null(strstr(first, "root ball down to -7.0"));
    assert_non_null(strstr(first, "roof &amp; top, Fri  5 Jan 2024"));
    /* every change of state has its tick and its word: hold, then carry in, of two plants */
    assert_int_equal(count_of(first, "<path class=\"turn\""), 4);
    assert_int_equal(count_of(first, ">carry in</text>"), 2);
    assert_int_equal(count_of(first, "nan"), 0);
    ow_plot_data_close(&data);
}

static void the_nearest_to_harm_are_drawn(void **state)
{
    enum { PLANTS = 23 };
    ow_plot_data data;
    ow_plot_label label[PLANTS];
    (void)state;
    collect(&data, PLANTS);
    for (int i = 0; i < PLANTS; i++) {
        label[i] = label_of(i == 0 ? "safest" : i == PLANTS - 1 ? "worst" : "other", PLANTS - i);
    }
    draw(&data, label, first);
    assert_int_equal(count_of(first, "<g role=\"group\">"), OW_PLOT_STRIPS);
    assert_int_equal(count_of(first, ">worst<"), 1);
    assert_int_equal(count_of(first, ">safest<"), 0);
    assert_non_null(strstr(first, "The 20 plants that came nearest to a limit, of 23."));
    assert_true(strlen(first) < 500000);
    ow_plot_data_close(&data);
}

/* A column keeps the extremes of what fell into it, so that a short frost is not thinned away. */
static void thinning_keeps_extremes(void **state)
{
    ow_plot_data data;
    (void)state;
    assert_int_equal(ow_plot_data_open(&data, 1, 0, 1000000), OW_OK);
    for (int second_s = 0; second_s <= 1000000; second_s += 100) {
        ow_plant_view view = view_at(0, 0);
        view.root_coldest_c = second_s == 500000 ? -9.0 : 1.0;
        ow_plot_data_note(&data, 0, second_s, &view);
    }
    double lowest = INFINITY;
    for (int i = 0; i < OW_PLOT_COLUMNS; i++) {
        assert_true(data.plant[0].column[i].used);
        lowest = fmin(lowest, data.plant[0].column[i].coldest_c);
    }
    check_close("coldest", lowest, -9.0, 0, 0);
    ow_plot_data_close(&data);
}

static void lines_break_at_gaps_and_skip_level_points(void **state)
{
    const double x[] = {0, 2, 4, 6, 8, 10}, y[] = {1, 1, 1, NAN, 5, 6.25};
    FILE *file = tmpfile();
    (void)state;
    assert_non_null(file);
    ow_svg_line(file, "mean", x, y, 6);
    assert_string_equal(file_text(file, first, MOST_BYTES),
                        "<path class=\"mean\" d=\"M0 1L4 1M8 5L10 6.3\"/>\n");
    fclose(file);
}

static void bands_are_closed(void **state)
{
    const double x[] = {0, 2, 4}, upper[] = {1, 2, NAN}, lower[] = {5, 6, 7};
    FILE *file = tmpfile();
    (void)state;
    assert_non_null(file);
    ow_svg_band(file, "ball", x, upper, lower, 3);
    assert_string_equal(file_text(file, first, MOST_BYTES),
                        "<path class=\"ball\" d=\"M0 1L2 2L2 6L0 5Z\"/>\n");
    fclose(file);
}

static void one_moment_can_be_drawn(void **state)
{
    ow_plot_data data;
    ow_plot_label label = label_of(NULL, 1.0);
    ow_plant_view view = view_at(0, 0);
    (void)state;
    assert_int_equal(ow_plot_data_open(&data, 1, 0, 0), OW_OK);
    ow_plot_data_note(&data, 0, 0, &view);
    draw(&data, &label, first);
    assert_int_equal(count_of(first, "<g role=\"group\">"), 1);
    ow_plot_data_close(&data);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_plant_has_a_strip),
        cmocka_unit_test(the_nearest_to_harm_are_drawn),
        cmocka_unit_test(thinning_keeps_extremes),
        cmocka_unit_test(lines_break_at_gaps_and_skip_level_points),
        cmocka_unit_test(bands_are_closed),
        cmocka_unit_test(one_moment_can_be_drawn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
