/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/watch.h"

#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

/* The search tells of itself only now and then, so the line is written by a thread of its own. */
typedef struct Watch {
    pthread_mutex_t lock;
    pthread_cond_t ended;
    pthread_t writer;
    bool has_writer, over;
    BlyFitProgress progress;
} Watch;

static Watch watch = {.lock = PTHREAD_MUTEX_INITIALIZER, .ended = PTHREAD_COND_INITIALIZER};
static atomic_bool stop;

static void on_interrupt(int number) {
    (void)number;
    atomic_store(&stop, true);
}

static bool interrupted(void *context) {
    (void)context;
    return atomic_load_explicit(&stop, memory_order_relaxed);
}

static void take_progress(void *context, const BlyFitProgress *progress) {
    (void)context;
    (void)pthread_mutex_lock(&watch.lock);
    watch.progress = *progress;
    (void)pthread_mutex_unlock(&watch.lock);
}

static void write_line(const BlyFitProgress *p, int tenths) {
    (void)fprintf(stderr, "\r\033[K%d s: %s", tenths / 10, bly_fit_stage_words(p->stage));
    if (p->rigs > 0)
        (void)fprintf(stderr, "; %zu rig%s tried, %s", p->rigs, p->rigs == 1 ? "" : "s",
                      p->met ? "the best meets the target" : "none meets the target yet");
    (void)fprintf(stderr, "  (Ctrl-C: the best so far)");
    (void)fflush(stderr);
}

/* Waits for the end of the fit, at most a tenth of a second at a time. */
static void *write_lines(void *context) {
    enum { FIRST = 5, EVERY = 2 };
    (void)context;
    bool written = false;
    (void)pthread_mutex_lock(&watch.lock);
    for (int tenths = 1; !watch.over; tenths++) {
        struct timespec until;
        (void)clock_gettime(CLOCK_REALTIME, &until);
        until.tv_nsec += 100000000;
        until.tv_sec += until.tv_nsec / 1000000000;
        until.tv_nsec %= 1000000000;
        (void)pthread_cond_timedwait(&watch.ended, &watch.lock, &until);
        if (watch.over || tenths < FIRST || (tenths - FIRST) % EVERY != 0)
            continue;
        write_line(&watch.progress, tenths);
        written = true;
    }
    (void)pthread_mutex_unlock(&watch.lock);
    if (written) {
        (void)fprintf(stderr, "\r\033[K");
        (void)fflush(stderr);
    }
    return NULL;
}

void watch_begin(BlyFitOptions *options) {
    atomic_store(&stop, false);
    options->stop = interrupted;
    options->progress = take_progress;
    watch.over = false;
    watch.progress = (BlyFitProgress){0};
    struct sigaction old, fresh = {.sa_handler = on_interrupt, .sa_flags = (int)SA_RESETHAND};
    (void)sigemptyset(&fresh.sa_mask);
    if (sigaction(SIGINT, NULL, &old) == 0 && old.sa_handler != SIG_IGN)
        (void)sigaction(SIGINT, &fresh, NULL);
    watch.has_writer =
        isatty(STDERR_FILENO) && pthread_create(&watch.writer, NULL, write_lines, NULL) == 0;
}

void watch_end(void) {
    (void)pthread_mutex_lock(&watch.lock);
    watch.over = true;
    (void)pthread_cond_signal(&watch.ended);
    (void)pthread_mutex_unlock(&watch.lock);
    if (watch.has_writer)
        (void)pthread_join(watch.writer, NULL);
    struct sigaction now, usual = {.sa_handler = SIG_DFL};
    (void)sigemptyset(&usual.sa_mask);
    if (sigaction(SIGINT, NULL, &now) == 0 && now.sa_handler == on_interrupt)
        (void)sigaction(SIGINT, &usual, NULL);
}
