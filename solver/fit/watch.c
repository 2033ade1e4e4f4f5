/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fit as its caller watches it: time, the stop flag, what it says of itself. */
#include "fit/problem.h"

#include <time.h>

double fit_now_secs(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

bool fit_stopped(const BlyFitOptions *options) {
    return options->stop != NULL && atomic_load_explicit(options->stop, memory_order_relaxed);
}

void fit_tell(const BlyFitOptions *options, const BlyFitProgress *progress) {
    if (options->progress != NULL)
        options->progress(options->progress_context, progress);
}

const char *bly_fit_stage_words(BlyFitStage stage) {
    static const char *const words[BLY_FIT_STAGES] = {
        "listing what goes to each seat",    "choosing among the parts",
        "working rigs through in the water", "trying other places and lengths",
        "looking at what it found",          "finding out how sure each rig is"};
    return (unsigned)stage < BLY_FIT_STAGES ? words[stage] : "";
}
