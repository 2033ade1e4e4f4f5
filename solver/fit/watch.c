/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fit as its caller watches it: time, the stop flag, what it says of itself. */
#include "fit/problem.h"
#include "programme/programme.h"

#include <math.h>
#include <time.h>

static double now_secs(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

double fit_deadline(const BlyFitOptions *options) {
    return options->time_limit_secs > 0 ? now_secs() + options->time_limit_secs : INFINITY;
}

double fit_secs_left(double deadline) {
    return isfinite(deadline) ? fmax(deadline - now_secs(), 1e-9) : 0;
}

bool fit_halted(const BlyFitOptions *options) {
    return options->stop != NULL && options->stop(options->stop_context);
}

bool fit_over(const BlyFitOptions *options, double deadline) {
    if (fit_halted(options))
        return true;
    return isfinite(deadline) && now_secs() >= deadline;
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

bool bly_fit_threads(void) {
    return prog_threads();
}
