/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings as evidence, against normal laws in closed form; lures added, renewed, forgotten.
 * Figures are invented. */
#include "lure/kit.h"
#include "book/evidence.h"
#include "desk/book.h"

#include <gsl/gsl_errno.h>

static const double s95 = 1.959963984540054;

static BookFinding finding(const char *kind, const char *key, const char *unit, BlyFigure value,
                           BlyFigure before, BlyFigure usual) {
    BookFinding f = {.value = value, .before = before, .usual = usual};
    (void)snprintf(f.kind, sizeof f.kind, "%s", kind);
    (void)snprintf(f.key, sizeof f.key, "%s", key);
    (void)snprintf(f.unit, sizeof f.unit, "%s", unit);
    return f;
}

static void add(Book *book, const char *name, const BookFinding *f, size_t count) {
    BookLure lure = {0};
    must(book_lure_begin(&lure, count, true, err));
    memcpy(lure.at, f, count * sizeof *f);
    (void)snprintf(lure.name, sizeof lure.name, "%s", name);
    (void)snprintf(lure.build, sizeof lure.build, "build");
    (void)snprintf(lure.date, sizeof lure.date, "2026-05-31");
    must(book_lure_check(&lure, err));
    must(book_append(book, &lure, err));
}

/* A normal law before (mean p, sigma a) times a reading (y, sigma s) is normal: what is found. The
 * reading comes out of it again. */
static BlyFigure found_of(BlyFigure before, double y, double s) {
    double a = before.give / s95, w = 1.0 / (1.0 / (a * a) + 1.0 / (s * s));
    return (BlyFigure){w * (before.value / (a * a) + y / (s * s)), s95 * sqrt(w)};
}

static void the_reading_comes_out_again(void **state) {
    (void)state;
    static const double wide[] = {0.02, 0.1, 0.5, 5.0};
    for (size_t i = 0; i < sizeof wide / sizeof wide[0]; i++) {
        const BlyFigure before = {3.0, 0.8}, none = {NAN, 0};
        const double y = 3.7, s = wide[i];
        Book book = {0};
        double middle = 2.5, sigma = 0.7, weight, pull;
        BookFinding f[1] = {finding("x", "k", "1", found_of(before, y, s), before, none)};
        add(&book, "a", f, 1);
        must(evidence_of(&book.lures[0], &middle, &sigma, &weight, &pull, err));
        assert_close(weight, sigma * sigma / (s * s), 0, 1e-8);
        assert_close(pull, weight * (y - middle) / sigma, 0, 1e-8);
        book.lures[0].at[0].before.value = NAN; /* nothing was known before */
        must(evidence_of(&book.lures[0], &middle, &sigma, &weight, &pull, err));
        double own = book.lures[0].at[0].value.give / s95;
        assert_close(weight, sigma * sigma / (own * own), 0, 1e-8);
        book.lures[0].at[0].before = (BlyFigure){3.0, 0.01}; /* found worse than known: by hand */
        must(evidence_of(&book.lures[0], &middle, &sigma, &weight, &pull, err));
        assert_true(fabs(weight) < 1e-9 && fabs(pull) < 1e-6);
        book_release(&book);
    }
}

/* y = x1 + x2 read with sigma s, before independent: covariance after by the rule of Sherman and
 * Morrison. Its evidence is of the sum alone. */
static void a_sum_comes_out_again(void **state) {
    (void)state;
    const double a = 0.4, b = 0.9, s = 0.05, y = 1.3, total = a * a + b * b + s * s;
    const double caa = a * a - a * a * a * a / total, cbb = b * b - b * b * b * b / total,
                 cab = -a * a * b * b / total;
    const BlyFigure none = {NAN, 0};
    const double middle[2] = {0, 0}, sigma[2] = {1, 1};
    double weight[4], pull[2];
    Book book = {0};
    BookFinding f[2] = {finding("x", "k", "1", (BlyFigure){a * a * y / total, s95 * sqrt(caa)},
                                (BlyFigure){0, s95 * a}, none),
                        finding("z", "k", "1", (BlyFigure){b * b * y / total, s95 * sqrt(cbb)},
                                (BlyFigure){0, s95 * b}, none)};
    add(&book, "a", f, 2);
    book.lures[0].together[1] = book.lures[0].together[2] = cab / sqrt(caa * cbb);
    must(evidence_of(&book.lures[0], middle, sigma, weight, pull, err));
    for (int i = 0; i < 4; i++)
        assert_close(weight[i], 1 / (s * s), 0, 1e-7);
    assert_close(pull[0], y / (s * s), 0, 1e-7);
    assert_close(pull[1], y / (s * s), 0, 1e-7);
    /* Forgetting one leaves the normal law of the other. */
    assert_int_equal(book_forget_figure(&book, "z", "k"), 1);
    must(evidence_of(&book.lures[0], middle, sigma, weight, pull, err));
    assert_close(weight[0], 1 / (b * b + s * s), 0, 1e-7);
    book_release(&book);
}

/* One lure that was read weakly moves the middle little, seven read well move it much. */
static void one_little_seven_much(void **state) {
    (void)state;
    const BlyFigure usual = {0.25, 0.0625};
    BookHabits habits;
    Book book = {0};
    const BookFinding weak =
        finding(BOOK_COAT, "epoxy", "mm", found_of(usual, 0.31, 0.08), usual, usual);
    const BookFinding well =
        finding(BOOK_COAT, "epoxy", "mm", found_of(usual, 0.31, 0.01), usual, usual);
    add(&book, "weak", &weak, 1);
    must(book_pool(&book, NULL, NULL, &habits, err));
    assert_between(habits.at[0].next.value, 0.2501, 0.25 + 0.06 / 5);
    assert_between(habits.at[0].next.give, 0.9 * usual.give, usual.give);
    book_habits_release(&habits);
    for (int i = 0; i < 7; i++) {
        char name[32];
        (void)snprintf(name, sizeof name, "well %d", i);
        add(&book, name, &well, 1);
    }
    must(book_pool(&book, NULL, NULL, &habits, err));
    assert_int_equal(habits.count, 1);
    assert_int_equal(habits.at[0].lures, 8);
    assert_between(habits.at[0].next.value, 0.25 + 0.06 * 0.9, 0.312);
    assert_between(habits.at[0].next.give, 0.1 * usual.give, 0.5 * usual.give);
    book_habits_release(&habits);
    book.off = true;
    must(book_pool(&book, NULL, NULL, &habits, err));
    assert_int_equal(habits.count, 0);
    book_release(&book);
}

/* A lure that says nothing leaves the usual figure as it is, to the digit. */
static void nothing_said_nothing_changed(void **state) {
    (void)state;
    const BlyFigure usual = {1.15, 0.04};
    const BookFinding f = finding(BOOK_COAT_DENSITY, "epoxy", "g/cm3", usual, usual, usual);
    BookHabits habits;
    Book book = {0};
    add(&book, "a", &f, 1);
    must(book_pool(&book, NULL, NULL, &habits, err));
    assert_close(habits.at[0].next.value, usual.value, 1e-9, 0);
    assert_close(habits.at[0].next.give, usual.give, 0, 2e-3);
    assert_int_equal(habits.at[0].lures, 0);
    book_habits_release(&habits);
    book_release(&book);
}

/* What is written reads back, and pools alike. */
static void through_json(void **state) {
    (void)state;
    const BlyFigure usual = {0.59, 0.059}, none = {NAN, 0};
    Book book = {0}, back;
    BookHabits a, b;
    BlyText text = {0};
    for (int i = 0; i < 3; i++) {
        char name[32];
        BookFinding f[2] = {finding(BOOK_DENSITY, "larch", "g/cm3",
                                    (BlyFigure){0.61 + 0.01 * i, 0.01}, none, usual),
                            finding("tow-thing", "slender \"round\"", "deg", (BlyFigure){4 + i, 1},
                                    (BlyFigure){3, 2}, none)};
        (void)snprintf(name, sizeof name, "lure %d", i);
        add(&book, name, f, 2);
        book.lures[i].together[1] = book.lures[i].together[2] = -0.5;
    }
    must(book_put_text(&book, &text, err));
    must(book_read_text(bly_text_string(&text), text.length, &back, err));
    assert_int_equal(back.count, 3);
    must(book_pool(&book, NULL, NULL, &a, err));
    must(book_pool(&back, NULL, NULL, &b, err));
    assert_int_equal(a.count, 2);
    for (size_t i = 0; i < 2; i++) {
        assert_string_equal(a.at[i].key, b.at[i].key);
        assert_close(b.at[i].next.value, a.at[i].next.value, 1e-8, 0);
        assert_close(b.at[i].next.give, a.at[i].next.give, 1e-8, 0);
    }
    BookFinding other =
        finding("tow-thing", "slender \"round\"", "rad", (BlyFigure){0.1, 0.1}, none, none);
    book_habits_release(&a);
    book_habits_release(&b);
    BlyError err = {0};
    add(&back, "in rad", &other, 1);
    assert_false(book_pool(&back, NULL, NULL, &b, &err));
    assert_int_equal(err.code, BLY_E_CONFLICT);
    bly_text_release(&text);
    book_release(&book);
    book_release(&back);
}

static void forgotten(void **state) {
    (void)state;
    const BlyFigure usual = {1, 0.5};
    BookFinding f[3];
    Book book = {0};
    for (int i = 0; i < 3; i++)
        f[i] = finding(i == 1 ? "b" : "a", "k", "1", (BlyFigure){i + 1, 0.2}, usual, usual);
    add(&book, "one", f, 3);
    add(&book, "two", f + 1, 1);
    book.lures[0].together[2] = book.lures[0].together[6] = 0.25;
    assert_int_equal(book_forget_figure(&book, "b", "k"), 2);
    assert_int_equal(book.count, 1); /* nothing was left of the other */
    assert_int_equal(book.lures[0].count, 2);
    assert_close(book.lures[0].at[1].value.value, 3, 0, 0);
    assert_close(book.lures[0].together[1], 0.25, 0, 0);
    assert_int_equal(book_forget_lure(&book, "two"), 0);
    assert_int_equal(book_forget_lure(&book, "one"), 1);
    assert_int_equal(book.count, 0);
    book_release(&book);
}

/* A further test: what was known before stays, pieces that are new have their own. */
static void renewed(void **state) {
    (void)state;
    const BlyFigure usual = {1, 0.5}, later_before = {1.2, 0.1};
    BookFinding first[2] = {finding("a", "k", "1", (BlyFigure){1.2, 0.1}, usual, usual),
                            finding("a", "k", "1", (BlyFigure){1.3, 0.1}, usual, usual)};
    BookFinding second[3] = {
        finding("a", "k", "1", (BlyFigure){1.25, 0.05}, later_before, later_before),
        finding("a", "k", "1", (BlyFigure){1.35, 0.05}, later_before, later_before),
        finding("a", "new", "1", (BlyFigure){2, 0.05}, later_before, later_before)};
    Book book = {0}, more = {0};
    add(&book, "one", first, 2);
    book.lures[0].before[1] = book.lures[0].before[2] = 0.4;
    add(&more, "x", second, 3);
    more.lures[0].before[1] = more.lures[0].before[3] = 0.9;
    must(book_renew(&book.lures[0], &more.lures[0], err));
    const BookLure *lure = &book.lures[0];
    assert_string_equal(lure->name, "one");
    assert_int_equal(lure->count, 3);
    assert_close(lure->at[1].value.value, 1.35, 0, 0);
    assert_close(lure->at[1].before.give, 0.5, 0, 0);
    assert_close(lure->at[2].before.give, 0.1, 0, 0);
    assert_close(lure->before[1], 0.4, 0, 0);
    assert_close(lure->before[2], 0.0, 0, 0);
    more.count = 0;
    book_release(&book);
    book_release(&more);
}

static void keys(void **state) {
    (void)state;
    char key[BOOK_KEY_MAX];
    book_coat_key("epoxy-clear", "", key);
    assert_string_equal(key, "epoxy-clear");
    book_coat_key("epoxy-clear", "dipped", key);
    assert_string_equal(key, "epoxy-clear, dipped");
    book_shape_key(0.09, 0.014, 0.017, key);
    assert_string_equal(key, "slender round");
    book_shape_key(0.05, 0.012, 0.024, key);
    assert_string_equal(key, "stout deep"); /* 2.9 and 2 */
    book_shape_key(0.08, 0.03, 0.015, key);
    assert_string_equal(key, "medium flat");
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_reading_comes_out_again),
        cmocka_unit_test(a_sum_comes_out_again),
        cmocka_unit_test(one_little_seven_much),
        cmocka_unit_test(nothing_said_nothing_changed),
        cmocka_unit_test(through_json),
        cmocka_unit_test(forgotten),
        cmocka_unit_test(renewed),
        cmocka_unit_test(keys),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
