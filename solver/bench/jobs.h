/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fits that go on while the page asks for other things: each in a thread of its own, watched by
 * number. A page has one at a time; what nobody looks at any more is stopped. */
#ifndef BALLASTRY_BENCH_JOBS_H
#define BALLASTRY_BENCH_JOBS_H

#include "bench/stock.h"
#include "desk/desk.h"

#include <stdint.h>

/* Threads: those that were told to stop count until they have. */
enum { JOBS_RUNNING_MAX = 4, JOBS_THREADS_MAX = 8, JOBS_KEPT_MAX = 16, JOB_PAGE_MAX = 64 };
#define JOB_UNSEEN_SECS 60.0

typedef struct Jobs Jobs;

typedef struct JobOrder {
    const char *page; /* copied */
    FitRank rank;
    size_t rigs;
    double seconds;
} JobOrder;

typedef enum JobState { JOB_RUNS, JOB_DONE, JOB_STOPPED, JOB_FAILED } JobState;

/* One look at a job. */
typedef struct JobView {
    uint64_t number;
    JobState state;
    BlyFitProgress progress; /* rigs: of all its searches */
    double seconds;          /* since the start, until the end */
    cJSON *answer;           /* owned by whoever looked: DONE and STOPPED, NULL without memory */
    BlyError err;            /* FAILED */
} JobView;

/* NULL without memory. */
Jobs *jobs_new(void) BLY_MUST_CHECK;
/* Stops every job and waits for it. NULL is allowed. */
void jobs_free(Jobs *jobs);
/* No new jobs from now on, and those that run stop soon: for the end of the server. */
void jobs_close(Jobs *jobs);

/* Takes the build in every case, and holds the stock that it was read with. Stops the page's job
 * that still runs. False with *busy when too many run. */
bool jobs_start(Jobs *jobs, BlyBuild *build, BenchStock *stock, const JobOrder *order,
                uint64_t *number, bool *busy, BlyError *err) BLY_MUST_CHECK;

/* Looks at once, or waits up to `secs` for the end. False (BLY_E_UNKNOWN) when it is not known. */
bool jobs_look(Jobs *jobs, uint64_t number, double secs, JobView *out,
               BlyError *err) BLY_MUST_CHECK;
/* Asks a job to end; look on for what it has. */
bool jobs_stop(Jobs *jobs, uint64_t number, BlyError *err) BLY_MUST_CHECK;

#endif
