/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "programme/internal.h"

#include <time.h>

static double now_secs(void) {
    struct timespec now;
    if (clock_gettime(CLOCK_MONOTONIC, &now) != 0)
        return 0;
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

void prog_clock_start(ProgClock *clock, const ProgOptions *options) {
    *clock = (ProgClock){.start_secs = now_secs(),
                         .limit_secs = options->time_limit_secs,
                         .stop = options->stop,
                         .stop_context = options->stop_context};
}

double prog_clock_secs(const ProgClock *clock) {
    return now_secs() - clock->start_secs;
}

bool prog_clock_over(ProgClock *clock) {
    if (clock->stop != NULL && clock->stop(clock->stop_context))
        clock->over = true;
    if (clock->limit_secs > 0 && prog_clock_secs(clock) >= clock->limit_secs)
        clock->over = true;
    return clock->over;
}
