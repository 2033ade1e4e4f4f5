/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The command as it is called: exit status, what is written and what is not. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cli.h"
#include "support/check.h"

#include <gsl/gsl_errno.h>
#include <unistd.h>

static const char build_file[] = "examples/sinker-swap.json";
static char out_file[] = "/tmp/ballastry-tank-XXXXXX";

/* Runs with up to eight words behind the build; -1 stands for a crash of the test itself. */
static int run(const char *a, const char *b, const char *c, const char *d, const char *e,
               const char *f) {
    static const Command command = {"tank", "BUILD", "", "", cmd_tank};
    const char *words[] = {"tank", build_file, a, b, c, d, e, f};
    char *argv[9];
    int argc = 0;
    for (int i = 0; i < 8 && words[i] != NULL; i++)
        argv[argc++] = (char *)words[i];
    argv[argc] = NULL;
    return cmd_tank(&command, argc, argv);
}

static bool there(void) {
    return access(out_file, F_OK) == 0;
}

static void test_usage(void **state) {
    (void)state;
    assert_int_equal(run(NULL, NULL, NULL, NULL, NULL, NULL), EXIT_USAGE);
    assert_int_equal(run("--scale", "7.2 mm", NULL, NULL, NULL, NULL), EXIT_USAGE);
    assert_int_equal(run("--scale", NULL, NULL, NULL, NULL, NULL), EXIT_USAGE);
    assert_int_equal(run("--sinks", "1 m/s", NULL, NULL, NULL, NULL), EXIT_USAGE);
    assert_int_equal(run("--weighs", "7.2 g", NULL, NULL, NULL, NULL), EXIT_USAGE);
    assert_int_equal(run("--scale", "7.2 g", "--stage", "wet", NULL, NULL), EXIT_USAGE);
    assert_int_equal(run("--scale", "7.2 g", "--water", "80 C", NULL, NULL), EXIT_USAGE);
    assert_int_equal(run("--scale", "7.2 g", "--salt", "80 g/kg", NULL, NULL), EXIT_USAGE);
    assert_int_equal(run("--shows", "120 %", NULL, NULL, NULL, NULL), EXIT_BAD_INPUT);
}

static void test_writes_beside(void **state) {
    (void)state;
    assert_int_equal(run("--scale", "7.25 g", "--write", out_file, NULL, NULL), EXIT_DONE);
    assert_true(there());
    /* Never over a file, and never over the build. */
    assert_int_equal(run("--scale", "7.25 g", "--write", out_file, NULL, NULL), EXIT_BAD_INPUT);
    assert_int_equal(run("--scale", "7.25 g", "--write", build_file, NULL, NULL), EXIT_BAD_INPUT);
    assert_int_equal(unlink(out_file), 0);
    assert_int_equal(run("--scale", "7.25 g", "--json", NULL, NULL, NULL), EXIT_DONE);
}

/* 2 g too much: told, not written; written when it is wanted all the same. */
static void test_contradiction(void **state) {
    (void)state;
    assert_int_equal(run("--scale", "9.25 g", "--write", out_file, NULL, NULL), EXIT_BAD_INPUT);
    assert_false(there());
    assert_int_equal(run("--scale", "9.25 g", "--write", out_file, "--anyway", NULL), EXIT_DONE);
    assert_true(there());
    assert_int_equal(unlink(out_file), 0);
}

static int set_up(void **state) {
    (void)state;
    (void)gsl_set_error_handler_off();
    int descriptor = mkstemp(out_file); /* a name of its own */
    assert_true(descriptor >= 0);
    (void)close(descriptor);
    return unlink(out_file);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_usage),
        cmocka_unit_test(test_writes_beside),
        cmocka_unit_test(test_contradiction),
    };
    return cmocka_run_group_tests(tests, set_up, NULL);
}
