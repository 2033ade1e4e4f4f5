/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a process behind the fence ends, as its maker sees it. Signals and limits as POSIX names
 * them (signal.h, sys/resource.h). */
#include "support/check.h"
#include "fence/fence.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <unistd.h>

static pid_t child_that(void (*act)(void)) {
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (bly_fence_in(2))
            act();
        _exit(1);
    }
    return child;
}

static void ends_well(void) {
    _exit(0);
}
static void ends_ill(void) {
    _exit(3);
}
static void aborts(void) {
    (void)raise(SIGABRT);
}
/* Only where core, time and output are as the fence has them. */
static void looks_around(void) {
    struct rlimit core, time;
    if (getrlimit(RLIMIT_CORE, &core) == 0 && getrlimit(RLIMIT_CPU, &time) == 0 &&
        core.rlim_max == 0 && time.rlim_cur == 2 && alarm(0) > 2 && !isatty(STDOUT_FILENO) &&
        lseek(STDERR_FILENO, 0, SEEK_CUR) == 0 && write(STDERR_FILENO, "unseen", 6) == 6)
        _exit(0);
}

static void its_end_is_told(void **state) {
    (void)state;
    assert_true(bly_fence_ended_well(child_that(ends_well)));
    assert_false(bly_fence_ended_well(child_that(ends_ill)));
    assert_false(bly_fence_ended_well(child_that(aborts)));
    assert_true(bly_fence_ended_well(child_that(looks_around)));
}

/* Our own handlers, and those that we were started with, are not the child's. */
static void on_abort(int number) {
    (void)number;
    _exit(0);
}

static void handlers_do_not_hold_there(void **state) {
    (void)state;
    void (*before)(int) = signal(SIGABRT, on_abort);
    assert_false(bly_fence_ended_well(child_that(aborts)));
    (void)signal(SIGABRT, before);
}

static void an_end_that_nobody_keeps_is_no_fault(void **state) {
    (void)state;
    void (*before)(int) = signal(SIGCHLD, SIG_IGN);
    assert_true(bly_fence_ended_well(child_that(ends_well)));
    (void)signal(SIGCHLD, before);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(its_end_is_told),
        cmocka_unit_test(handlers_do_not_hold_there),
        cmocka_unit_test(an_end_that_nobody_keeps_is_no_fault),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
