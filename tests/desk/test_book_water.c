/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _POSIX_C_SOURCE 200809L
/* What the water taught goes into the book by shape and comes out of it for the next build. The
 * pooled figure is held against the normal law of textbooks: it lies between the usual one and what
 * the lure said, and is surer than the usual one (Gelman and others, Bayesian Data Analysis,
 * chapter 5, from memory); how it pools is tests/book's. */
#include "ballastry/build.h"
#include "build/build.h"
#include "desk/book.h"
#include "desk/from_water.h"
#include "files/files.h"
#include "lure/kit.h"
#include "support/check.h"
#include "ballastry/catalog.h"

#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char path[] = "/tmp/ballastry-water-XXXXXX";

static char *diver_text(void) {
    size_t size;
    char *text;
    must(bly_file_read("tests/cli/on-the-line.json", 1 << 20, &text, &size, err));
    return text;
}

static BlyBuild *read_with(const Book *book, BlyCatalog *shelf, BookHabits *habits,
                           const char *text) {
    BlyBuild *build;
    must(bly_catalog_shipped(shelf, err));
    must(book_use(book, shelf, habits, err));
    must(bly_build_read(text, strlen(text), shelf, &build, err));
    return build;
}

/* A lip that does three quarters of what is published, as the model itself would have it run. */
static WaterWork seen_on_water(const BlyBuild *build, double share) {
    WaterWork work = {.on = "2031-04-30", .saw = {"porpoises at 1.6 m/s"}, .saw_count = 1};
    BlyTowAsk ask = bly_tow_usual();
    BlyTowed towed;
    must(bly_towed(build, &build->fitted, &ask, &towed, err));
    double depth = share * towed.at[1].run.line.depth;
    work.readings[0] = (BlyTowReading){BLY_TOW_READ_DEPTH, {depth, 0.05}, 1, ask.line};
    work.count = 1;
    must(water_work(build, &work, err));
    return work;
}

static void the_next_of_its_shape_starts_from_it(void **state) {
    (void)state;
    char *text = diver_text(), name[BOOK_NAME_MAX];
    BlyCatalog shelf, later;
    BookHabits none, habits;
    Book book = {0};
    BookKept kept;
    bool there;
    BlyBuild *build = read_with(&book, &shelf, &none, text);
    WaterWork work = seen_on_water(build, 0.8);
    must(book_keep_water(path, build, &work, &kept, name, err));
    assert_int_equal(kept, BOOK_ADDED);
    must(book_keep_water(path, build, &work, &kept, name, err));
    assert_int_equal(kept, BOOK_THERE);
    must(book_load(path, &book, &there, err));
    assert_int_equal(book.count, 1);
    assert_int_equal(book.seen_count, 1);
    assert_string_equal(book.seen[0].words, "2031-04-30: porpoises at 1.6 m/s");

    BlyBuild *next = read_with(&book, &later, &habits, text);
    const BlyFigure usual = water_usual(0), found = work.lesson.corrections[0].after;
    assert_true(next->tow_learnt.by_book);
    assert_between(next->tow_learnt.by[0].value, found.value, usual.value);
    assert_true(next->tow_learnt.by[0].give < usual.give);
    BlyTowAsk ask = bly_tow_usual();
    BlyTowed was, is;
    must(bly_towed(build, &build->fitted, &ask, &was, err));
    must(bly_towed(next, &next->fitted, &ask, &is, err));
    assert_true(is.at[1].run.line.depth < was.at[1].run.line.depth);

    bly_build_free(next);
    book_habits_release(&habits);
    bly_catalog_release(&later);
    bly_build_free(build);
    book_habits_release(&none);
    bly_catalog_release(&shelf);
    book_release(&book);
    free(text);
}

/* Of the same readings of a lure, given twice to builds that know and do not know of them. */
static void its_own_word_stands_and_other_shapes_are_left_alone(void **state) {
    (void)state;
    char *text = diver_text(), *own, *wide;
    BlyCatalog shelf;
    BookHabits habits;
    Book book = {0};
    bool there;
    must(book_load(path, &book, &there, err));
    BlyBuild *build = read_with(&book, &shelf, &habits, text), *kept, *other;
    WaterWork work = seen_on_water(build, 0.7);
    must(water_text(build, &work, &own, err));
    must(bly_build_read(own, strlen(own), &shelf, &kept, err));
    assert_false(kept->tow_learnt.by_book);
    assert_close(kept->tow_learnt.by[0].value, work.lesson.corrections[0].after.value, 0, 1e-3);
    assert_int_equal(kept->tow_learnt.read_count, 1);
    assert_string_equal(kept->seen[1], "2031-04-30: porpoises at 1.6 m/s");

    must(bly_build_text_with(build, "/body/stations/1/width", "\"60 mm\"", &wide, err));
    must(bly_build_read(wide, strlen(wide), &shelf, &other, err));
    assert_false(other->tow_learnt.any);
    free(own);
    free(wide);
    bly_build_free(other);
    bly_build_free(kept);
    bly_build_free(build);
    book_habits_release(&habits);
    bly_catalog_release(&shelf);
    book_release(&book);
    free(text);
}

/* A second test from the build that knows of the first renews it, and counts both; words of a shape
 * can be forgotten. */
static void renewed_and_forgotten(void **state) {
    (void)state;
    char *text = diver_text(), *own, name[BOOK_NAME_MAX];
    BlyCatalog shelf;
    BookHabits none;
    Book book = {0};
    BookKept kept;
    bool there;
    BlyBuild *build = read_with(&book, &shelf, &none, text), *knows;
    WaterWork first = seen_on_water(build, 0.8);
    must(water_text(build, &first, &own, err));
    must(bly_build_read(own, strlen(own), &shelf, &knows, err));
    WaterWork second = seen_on_water(knows, 1.05);
    must(book_keep_water(path, knows, &second, &kept, name, err));
    assert_int_equal(kept, BOOK_RENEWED);
    must(book_load(path, &book, &there, err));
    assert_int_equal(book.count, 1);
    assert_close(book.lures[0].at[0].before.value, water_usual(0).value, 0, 1e-3);
    assert_int_equal(book_forget_figure(&book, "seen", book.seen[0].shape), 1);
    assert_int_equal(book.seen_count, 0);
    free(own);
    bly_build_free(knows);
    bly_build_free(build);
    book_habits_release(&none);
    bly_catalog_release(&shelf);
    book_release(&book);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_next_of_its_shape_starts_from_it),
        cmocka_unit_test(its_own_word_stands_and_other_shapes_are_left_alone),
        cmocka_unit_test(renewed_and_forgotten),
    };
    (void)gsl_set_error_handler_off();
    int file = mkstemp(path);
    if (file < 0 || write(file, "{\"ballastry_book\": 1}", 21) != 21 || close(file) != 0)
        return 1;
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    char beside[sizeof path + 8];
    (void)unlink(path);
    (void)snprintf(beside, sizeof beside, "%s~", path);
    (void)unlink(beside);
    (void)snprintf(beside, sizeof beside, "%s.lock", path);
    (void)unlink(beside);
    return failed;
}
