/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labels in a row: against every other arrangement on a grid (brute force), and by the laws that
 * hold for any arrangement. Steps of axes and scales: by their own definition. */
#include "support/check.h"
#include "sheet/panel.h"
#include "sheet/plot.h"
#include "sheet/rowlabels.h"

#include <stdio.h>

static double shifts(const double *wish, const double *widths, const double *begin, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        double off = begin[i] + 0.5 * widths[i] - wish[i];
        sum += off * off;
    }
    return sum;
}

/* Three labels, every place on a grid of a fifth of a millimetre. */
static double best_by_brute_force(const double *wish, const double *widths, double gap, double left,
                                  double right) {
    const double step = 0.2;
    double best = INFINITY;
    for (double a = left; a + widths[0] <= right; a += step) {
        for (double b = a + widths[0] + gap; b + widths[1] <= right; b += step) {
            for (double c = b + widths[1] + gap; c + widths[2] <= right + 1e-9; c += step) {
                const double begin[3] = {a, b, c};
                best = fmin(best, shifts(wish, widths, begin, 3));
            }
        }
    }
    return best;
}

static void no_arrangement_is_nearer(void **state) {
    (void)state;
    static const double wishes[][3] = {
        {5, 15, 25}, {10, 10, 10}, {2, 3, 28}, {0, 1, 2}, {27, 28, 29}, {4, 14, 15}, {-5, 10, 40},
    };
    const double widths[3] = {6, 3, 8}, gap = 1;
    for (size_t i = 0; i < sizeof wishes / sizeof wishes[0]; i++) {
        double begin[3];
        assert_true(row_place(wishes[i], widths, 3, gap, 0, 30, begin));
        double ours = shifts(wishes[i], widths, begin, 3);
        assert_true(ours <= best_by_brute_force(wishes[i], widths, gap, 0, 30) + 1e-9);
        assert_true(begin[0] >= 0 && begin[2] + widths[2] <= 30 + 1e-9);
        assert_true(begin[1] >= begin[0] + widths[0] + gap - 1e-9);
        assert_true(begin[2] >= begin[1] + widths[1] + gap - 1e-9);
    }
}

static void too_little_room_is_said(void **state) {
    (void)state;
    const double wish[2] = {5, 6}, widths[2] = {6, 6};
    double begin[2];
    assert_true(row_place(wish, widths, 2, 1, 0, 13, begin));
    assert_false(row_place(wish, widths, 2, 1, 0, 12.9, begin));
    assert_true(row_place(wish, widths, 0, 1, 0, 1, begin));
}

static void many_labels_go_brief_and_never_meet(void **state) {
    (void)state;
    for (int count = 1; count <= ROW_LABELS_MAX + 3; count++) {
        Canvas canvas;
        RowLabels labels = {0};
        canvas_open(&canvas, 100, 40, "labels");
        for (int i = 0; i < count; i++) {
            char brief[8];
            (void)snprintf(brief, sizeof brief, "%d", i % 1000);
            row_labels_add(&labels, (Pt){50 + 0.1 * (i * 7 % 11), 20}, brief,
                           "a longer name of it");
        }
        row_labels_draw(&labels, &canvas, 2, 98, 10);
        assert_true(canvas.text_count > 0);
        if (count <= 20)
            assert_int_equal(canvas.text_count, count);
        for (size_t i = 0; i < canvas.text_count; i++) {
            assert_true(canvas.texts[i].x >= 2 - 1e-9 &&
                        canvas.texts[i].x + canvas.texts[i].w <= 98 + 1e-9);
            for (size_t k = i + 1; k < canvas.text_count; k++)
                assert_false(label_boxes_meet(canvas.texts[i], canvas.texts[k]));
        }
        canvas_release(&canvas);
    }
}

static void axis_steps_are_round(void **state) {
    (void)state;
    for (double span = 1e-5; span < 1e6; span *= 1.37) {
        double step = plot_step(span, 6);
        assert_true(span / step <= 6 && span / step >= 6 / 2.5 - 1e-9);
        double lead = step / pow(10, floor(log10(step) + 1e-9));
        assert_true(fabs(lead - 1) < 1e-6 || fabs(lead - 2) < 1e-6 || fabs(lead - 5) < 1e-6);
    }
}

static void scales_fit_and_are_spoken(void **state) {
    (void)state;
    char words[WORDS_MAX];
    for (double most = 1e-3; most < 1e3; most *= 1.19) {
        double scale = nice_scale(most);
        assert_true(scale <= most * (1 + 1e-8) && scale >= most / 1.35);
    }
    assert_close(nice_scale(1 - 1e-12), 1, 1e-9, 0); /* a hair below a step is that step */
    scale_words(1, words);
    assert_string_equal(words, "life size");
    scale_words(1.5, words);
    assert_string_equal(words, "1.5 times life size");
    scale_words(0.25, words);
    assert_string_equal(words, "0.25 of life size");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_arrangement_is_nearer),
        cmocka_unit_test(too_little_room_is_said),
        cmocka_unit_test(many_labels_go_brief_and_never_meet),
        cmocka_unit_test(axis_steps_are_round),
        cmocka_unit_test(scales_fit_and_are_spoken),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
