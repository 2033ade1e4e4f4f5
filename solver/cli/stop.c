/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/stop.h"

#include <signal.h>
#include <stdatomic.h>
#include <stddef.h>

/* The handler and the writer each set their own flag before they look at the other's, so at least
 * one of them sees both: either nothing more is written, or the writer ends the program. */
static atomic_bool writing;
static atomic_int stopped_by;

static void end_by(int number) {
    (void)signal(number, SIG_DFL);
    (void)raise(number);
}

static void on_signal(int number) {
    int before = atomic_exchange(&stopped_by, number);
    if (before != 0 || !atomic_load(&writing))
        end_by(number);
}

void stop_watch(void) {
    static const int numbers[] = {SIGINT, SIGTERM, SIGHUP};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        struct sigaction old, fresh = {.sa_handler = on_signal, .sa_flags = SA_RESTART};
        (void)sigemptyset(&fresh.sa_mask);
        if (sigaction(numbers[i], NULL, &old) == 0 && old.sa_handler != SIG_IGN)
            (void)sigaction(numbers[i], &fresh, NULL);
    }
}

bool stop_line_begins(void) {
    atomic_store(&writing, true);
    return atomic_load(&stopped_by) == 0;
}

void stop_line_ends(void) {
    atomic_store(&writing, false);
    int number = atomic_load(&stopped_by);
    if (number != 0)
        end_by(number);
}
