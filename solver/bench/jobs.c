/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One lock guards all that a job's thread and the page's requests share; the search itself runs
 * without it, on a build that nobody else has. */
#include "bench/jobs.h"
#include "bench/results.h"

#include <errno.h>
#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

typedef struct Job {
    struct Jobs *jobs;
    pthread_t thread;
    uint64_t number; /* 0: this place is free */
    char page[JOB_PAGE_MAX + 1];
    BlyBuild *build;   /* the thread's alone until it has ended */
    BenchStock *stock; /* held: what the build was read with */
    BlyFitOptions options;
    FitRank rank;
    atomic_bool stop;
    /* under the lock */
    JobState state;
    bool told_to_stop;
    BlyFitProgress progress;
    size_t rigs_before; /* of the searches before the one under way */
    double began, ended, seen;
    cJSON *answer;
    BlyError err;
} Job;

struct Jobs {
    pthread_mutex_t lock, solver;
    pthread_cond_t ends; /* some job has ended */
    bool closed;
    uint64_t last;
    Job at[JOBS_KEPT_MAX];
};

static double now_secs(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* ---- the job's own thread ---- */

static void halt(Job *job) {
    job->told_to_stop = true;
    atomic_store_explicit(&job->stop, true, memory_order_relaxed);
}

static bool halted(void *flag) {
    return atomic_load_explicit((atomic_bool *)flag, memory_order_relaxed);
}

static void on_progress(void *context, const BlyFitProgress *progress) {
    Job *job = context;
    (void)pthread_mutex_lock(&job->jobs->lock);
    size_t so_far = job->progress.rigs;
    if (progress->stage == BLY_FIT_GATHERS)
        job->rigs_before = so_far;
    job->progress = *progress;
    job->progress.rigs =
        progress->stage == BLY_FIT_RANKS ? so_far : job->rigs_before + progress->rigs;
    if (now_secs() - job->seen > JOB_UNSEEN_SECS)
        halt(job);
    (void)pthread_mutex_unlock(&job->jobs->lock);
}

static void *run(void *context) {
    Job *job = context;
    Jobs *jobs = job->jobs;
    BlyError err = {0};
    FitWork work;
    bool alone = !bly_fit_threads(); /* a GLPK that cannot serve two threads serves one after the
                                      * other */
    if (alone)
        (void)pthread_mutex_lock(&jobs->solver);
    bool good = fit_work(job->build, &job->stock->catalog, job->rank, &job->options, &work, &err);
    if (alone)
        (void)pthread_mutex_unlock(&jobs->solver);
    cJSON *answer = good ? fit_tree(job->build, &work, &err) : NULL;
    bool stopped = work.result.stopped;
    fit_work_release(&work);
    (void)pthread_mutex_lock(&jobs->lock);
    job->answer = answer;
    job->err = err;
    job->state = answer == NULL ? JOB_FAILED : stopped ? JOB_STOPPED : JOB_DONE;
    job->ended = now_secs();
    (void)pthread_cond_broadcast(&jobs->ends);
    (void)pthread_mutex_unlock(&jobs->lock);
    return NULL;
}

/* ---- all jobs ---- */

Jobs *jobs_new(void) {
    Jobs *jobs = calloc(1, sizeof *jobs);
    pthread_condattr_t monotonic;
    if (jobs == NULL || pthread_condattr_init(&monotonic) != 0) {
        free(jobs);
        return NULL;
    }
    bool good = pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC) == 0 &&
                pthread_cond_init(&jobs->ends, &monotonic) == 0;
    (void)pthread_condattr_destroy(&monotonic);
    if (!good || pthread_mutex_init(&jobs->lock, NULL) != 0 ||
        pthread_mutex_init(&jobs->solver, NULL) != 0) {
        free(jobs);
        return NULL;
    }
    return jobs;
}

/* Waits for the thread; without the lock, which the thread needs to end. */
static void job_end(Job *job) {
    (void)pthread_join(job->thread, NULL);
    bly_build_free(job->build);
    stock_let_go(job->stock);
    cJSON_Delete(job->answer);
    *job = (Job){0};
}

void jobs_close(Jobs *jobs) {
    (void)pthread_mutex_lock(&jobs->lock);
    jobs->closed = true;
    for (size_t i = 0; i < JOBS_KEPT_MAX; i++) {
        if (jobs->at[i].number != 0)
            halt(&jobs->at[i]);
    }
    (void)pthread_cond_broadcast(&jobs->ends);
    (void)pthread_mutex_unlock(&jobs->lock);
}

void jobs_free(Jobs *jobs) {
    if (jobs == NULL)
        return;
    jobs_close(jobs);
    for (size_t i = 0; i < JOBS_KEPT_MAX; i++) {
        if (jobs->at[i].number != 0)
            job_end(&jobs->at[i]);
    }
    (void)pthread_mutex_destroy(&jobs->lock);
    (void)pthread_mutex_destroy(&jobs->solver);
    (void)pthread_cond_destroy(&jobs->ends);
    free(jobs);
}

static void halt_unseen(Jobs *jobs) {
    for (size_t i = 0; i < JOBS_KEPT_MAX; i++) {
        Job *job = &jobs->at[i];
        if (job->number != 0 && job->state == JOB_RUNS && now_secs() - job->seen > JOB_UNSEEN_SECS)
            halt(job);
    }
}

/* A free place, or that of the job that ended first. NULL when too many run. */
static Job *find_place(Jobs *jobs, const char *page) {
    Job *place = NULL;
    size_t running = 0, threads = 0;
    for (size_t i = 0; i < JOBS_KEPT_MAX; i++) {
        Job *job = &jobs->at[i];
        if (job->number != 0 && job->state == JOB_RUNS) {
            if (strcmp(job->page, page) == 0)
                halt(job);
            threads++;
            running += !job->told_to_stop;
        } else if (place == NULL || (place->number != 0 && job->number < place->number)) {
            place = job;
        }
    }
    return running < JOBS_RUNNING_MAX && threads < JOBS_THREADS_MAX ? place : NULL;
}

static void job_begin(Jobs *jobs, Job *job, BlyBuild *build, BenchStock *stock,
                      const JobOrder *order) {
    *job = (Job){.jobs = jobs,
                 .build = build,
                 .stock = stock,
                 .rank = order->rank,
                 .progress = {.off = NAN, .gap = NAN},
                 .options = {.rigs = order->rigs, .time_limit_secs = order->seconds}};
    job->options.stop = halted;
    job->options.stop_context = &job->stop;
    job->options.progress = on_progress;
    job->options.progress_context = job;
    job->began = job->seen = now_secs();
    (void)snprintf(job->page, sizeof job->page, "%s", order->page);
}

bool jobs_start(Jobs *jobs, BlyBuild *build, BenchStock *stock, const JobOrder *order,
                uint64_t *number, bool *busy, BlyError *err) {
    (void)pthread_mutex_lock(&jobs->lock);
    halt_unseen(jobs);
    Job *job = jobs->closed ? NULL : find_place(jobs, order->page);
    *busy = job == NULL;
    bool good = job != NULL;
    if (good) {
        if (job->number != 0)
            job_end(job); /* it has ended and needs the lock no more */
        job_begin(jobs, job, build, stock, order);
        good = pthread_create(&job->thread, NULL, run, job) == 0;
        if (good)
            stock_hold(stock);
        job->number = good ? ++jobs->last : 0;
        *number = job->number;
    }
    (void)pthread_mutex_unlock(&jobs->lock);
    if (good)
        return true;
    bly_build_free(build);
    return *busy ? bly_fail(err, BLY_E_CONFLICT, NULL, "too many searches run; stop one first")
                 : bly_fail(err, BLY_E_INTERNAL, NULL, "no thread for the search");
}

static Job *find(Jobs *jobs, uint64_t number) {
    for (size_t i = 0; i < JOBS_KEPT_MAX; i++) {
        if (number != 0 && jobs->at[i].number == number)
            return &jobs->at[i];
    }
    return NULL;
}

static bool unknown(BlyError *err) {
    return bly_fail(err, BLY_E_UNKNOWN, "/job",
                    "is not a search of this start, or was over long ago");
}

/* The place may be given to another job while this waits. */
static Job *wait_for(Jobs *jobs, uint64_t number, double secs) {
    double until = now_secs() + secs;
    struct timespec end = {.tv_sec = (time_t)until};
    end.tv_nsec = (long)((until - floor(until)) * 1e9);
    for (int code = 0;;) {
        Job *job = find(jobs, number);
        if (job == NULL)
            return NULL;
        job->seen = now_secs();
        if (job->state != JOB_RUNS || secs <= 0 || code == ETIMEDOUT || jobs->closed)
            return job;
        code = pthread_cond_timedwait(&jobs->ends, &jobs->lock, &end);
    }
}

bool jobs_look(Jobs *jobs, uint64_t number, double secs, JobView *out, BlyError *err) {
    (void)pthread_mutex_lock(&jobs->lock);
    halt_unseen(jobs);
    const Job *job = wait_for(jobs, number, secs);
    if (job != NULL) {
        *out = (JobView){
            .number = number, .state = job->state, .progress = job->progress, .err = job->err};
        out->seconds = (job->state == JOB_RUNS ? now_secs() : job->ended) - job->began;
        if (job->answer != NULL)
            out->answer = cJSON_Duplicate(job->answer, true);
    }
    (void)pthread_mutex_unlock(&jobs->lock);
    return job != NULL || unknown(err);
}

bool jobs_stop(Jobs *jobs, uint64_t number, BlyError *err) {
    (void)pthread_mutex_lock(&jobs->lock);
    Job *job = find(jobs, number);
    if (job != NULL)
        halt(job);
    (void)pthread_mutex_unlock(&jobs->lock);
    return job != NULL || unknown(err);
}
