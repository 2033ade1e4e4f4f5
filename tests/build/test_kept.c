/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bodies of meshes that are kept between readings: the same body where file and words are the same,
 * another where anything is not, and what is said of it in either case. Bricks, whose volume is
 * length by width by height. */
#include "build/build.h"
#include "build/shelf.h"
#include "support/stl_bytes.h"

#include <gsl/gsl_errno.h>
#include <pthread.h>

enum { THREADS = 4, ROUNDS = 60 };
static const char *const plain = ", \"unit\": \"mm\"";

static bool give_bytes(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    const StlBytes *file = context;
    *text = calloc(file->size + 1, 1);
    if (*text == NULL)
        return bly_fail(err, BLY_E_MEMORY, name, "no memory");
    *size = file->size;
    memcpy(*text, file->bytes, file->size);
    return true;
}

static bool read_with(const BlyCatalog *shelf, StlBytes *file, const char *keys, BlyKept *kept,
                      BlyBuild **build) {
    char text[512];
    const BlyBuildFiles files = {.read = give_bytes, .context = file, .kept = kept};
    (void)snprintf(text, sizeof text,
                   "{\"ballastry\": 1, \"name\": \"a\", \"body\": {\"mesh\": \"body.stl\", "
                   "\"material\": {\"density\": \"1.2 g/cm3\", \"give\": \"0.03 g/cm3\"}%s}}",
                   keys);
    return bly_build_read_with(text, strlen(text), shelf, &files, build, NULL);
}

static BlyBuild *must_read(const BlyCatalog *shelf, StlBytes *file, const char *keys,
                           BlyKept *kept) {
    BlyBuild *build = NULL;
    assert_true(read_with(shelf, file, keys, kept, &build));
    return build;
}

static StlBytes brick(double length) {
    BlyMesh mesh = mesh_brick(bly_vec(0.0, -0.007, -0.01), bly_vec(length, 0.007, 0.01));
    StlBytes file = stl_binary(&mesh, "made up");
    bly_mesh_release(&mesh);
    return file;
}

static void the_same_is_found(void **state) {
    BlyKept *kept = bly_kept_make(NULL);
    StlBytes file = brick(0.09);
    BlyBuild *one = must_read(*state, &file, plain, kept);
    BlyBuild *two = must_read(*state, &file, plain, kept);
    assert_ptr_equal(one->shape, two->shape);
    assert_int_equal(one->said_count, two->said_count);
    for (size_t i = 0; i < one->said_count; i++)
        assert_string_equal(one->said[i], two->said[i]);
    bly_build_free(one);
    bly_kept_free(kept); /* the body lives on */
    assert_close(bly_body_solid(two->shape)->volume, 0.09 * 0.014 * 0.02, 0, 1e-6);
    bly_build_free(two);
    free(file.bytes);
}

/* One file read twice with the same store. */
typedef struct Twice {
    BlyKept *kept;
    StlBytes file;
    BlyBuild *one, *two;
} Twice;

/* `byte` of the file is changed in between; 0: none. */
static Twice read_twice(const BlyCatalog *shelf, const char *first, const char *then, int byte) {
    Twice t = {.kept = bly_kept_make(NULL), .file = brick(0.09)};
    t.one = must_read(shelf, &t.file, first, t.kept);
    t.file.bytes[byte] ^= byte > 0; /* in the heading, which says nothing of the shape */
    t.two = must_read(shelf, &t.file, then, t.kept);
    return t;
}

static void let_go(Twice *t) {
    bly_build_free(t->one);
    bly_build_free(t->two);
    bly_kept_free(t->kept);
    free(t->file.bytes);
}

/* Each against the plain one: whether the body is the same. */
static void what_differs_is_made_anew(void **state) {
    static const struct {
        const char *keys;
        bool same;
    } cases[] = {
        {", \"unit\": \"mm\"", true},
        {", \"unit\": \"cm\"", false},
        {", \"unit\": \"mm\", \"nose\": \"+x\"", false},
        {", \"unit\": \"mm\", \"up\": \"-z\"", false},
        {", \"unit\": \"mm\", \"wall\": \"1 mm\", \"infill\": \"20 %\"", false},
        {", \"unit\": \"mm\", \"wall\": \"1 mm\", \"infill\": \"30 %\"", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        Twice t = read_twice(*state, plain, cases[i].keys, 0);
        BlyBuild *alone = must_read(*state, &t.file, cases[i].keys, NULL);
        assert_int_equal(t.one->shape == t.two->shape, cases[i].same);
        assert_close(t.two->blank.body_mass, alone->blank.body_mass, 0, 0);
        assert_close(t.two->filled.value, alone->filled.value, 0, 0);
        bly_build_free(alone);
        let_go(&t);
    }
}

/* The wall's own give is no part of the body, but of what is said of it. */
static void another_give_counts(void **state) {
    Twice t = read_twice(*state, ", \"unit\": \"mm\", \"wall\": \"1 mm\", \"infill\": \"20 %\"",
                         ", \"unit\": \"mm\", \"wall\": { \"value\": \"1 mm\", \"give\": "
                         "\"0.3 mm\" }, \"infill\": \"20 %\"",
                         0);
    assert_ptr_equal(t.one->shape, t.two->shape);
    assert_true(t.two->filled.give > 1.5 * t.one->filled.give);
    let_go(&t);
}

static void a_changed_byte_counts(void **state) {
    Twice t = read_twice(*state, plain, plain, 3);
    assert_ptr_not_equal(t.one->shape, t.two->shape);
    let_go(&t);
}

/* Two are kept: the third goes in the place of the one that was asked for longest ago. */
static void the_last_two_stay(void **state) {
    BlyKept *kept = bly_kept_make(NULL);
    StlBytes file[3] = {brick(0.07), brick(0.08), brick(0.09)};
    static const int order[] = {0, 1, 0, 2, 0, 1};
    static const bool found[] = {false, false, true, false, true, false};
    BlyBuild *first[3] = {NULL}, *all[6];
    for (int i = 0; i < 6; i++) {
        int which = order[i];
        all[i] = must_read(*state, &file[which], plain, kept);
        if (first[which] == NULL)
            first[which] = all[i];
        else
            assert_int_equal(all[i]->shape == first[which]->shape, found[i]);
    }
    for (int i = 0; i < 6; i++)
        bly_build_free(all[i]);
    bly_kept_free(kept);
    for (int i = 0; i < 3; i++)
        free(file[i].bytes);
}

static void faults_are_told_each_time(void **state) {
    BlyKept *kept = bly_kept_make(NULL);
    StlBytes file = brick(0.09);
    BlyBuild *build = NULL;
    for (int i = 0; i < 3; i++)
        assert_false(
            read_with(*state, &file, ", \"unit\": \"mm\", \"wall\": \"9 mm\"", kept, &build));
    assert_false(read_with(*state, &file, "", kept, &build)); /* no unit */
    bly_kept_free(kept);
    free(file.bytes);
}

typedef struct Reader {
    const BlyCatalog *shelf;
    StlBytes *files;
    BlyKept *kept;
    int wrong;
} Reader;

static void *read_on(void *context) {
    Reader *reader = context;
    static const double length[3] = {0.07, 0.08, 0.09};
    for (int i = 0; i < ROUNDS; i++) {
        BlyBuild *build = NULL;
        bool good = read_with(reader->shelf, &reader->files[i % 3], plain, reader->kept, &build);
        double volume = good ? bly_body_solid(build->shape)->volume : 0;
        reader->wrong += fabs(volume / (length[i % 3] * 0.014 * 0.02) - 1) > 1e-6;
        bly_build_free(build);
    }
    return NULL;
}

static void threads_share(void **state) {
    BlyKept *kept = bly_kept_make(NULL);
    StlBytes file[3] = {brick(0.07), brick(0.08), brick(0.09)};
    pthread_t thread[THREADS];
    Reader reader[THREADS];
    for (int i = 0; i < THREADS; i++) {
        reader[i] = (Reader){*state, file, kept, 0};
        assert_int_equal(pthread_create(&thread[i], NULL, read_on, &reader[i]), 0);
    }
    for (int i = 0; i < THREADS; i++) {
        assert_int_equal(pthread_join(thread[i], NULL), 0);
        assert_int_equal(reader[i].wrong, 0);
    }
    bly_kept_free(kept);
    for (int i = 0; i < 3; i++)
        free(file[i].bytes);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_is_found),         cmocka_unit_test(what_differs_is_made_anew),
        cmocka_unit_test(another_give_counts),       cmocka_unit_test(a_changed_byte_counts),
        cmocka_unit_test(the_last_two_stay),         cmocka_unit_test(threads_share),
        cmocka_unit_test(faults_are_told_each_time),
    };
    (void)gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, shelf_stock, shelf_clear);
}
