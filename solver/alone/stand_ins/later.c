/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A search's thread where there are none: it waits until its worker calls alone_run, and lets the
 * worker hear what it is told whenever the search tells how far it is. The linker puts these in
 * place of what they are named after (--wrap); bench/jobs.c knows nothing of it. */
#include "ballastry/fit.h"

#include <emscripten.h>
#include <errno.h>
#include <pthread.h>

static const double hearing_every_ms = 40;

/* One search at a time: a worker starts the next one when this one is over. */
static struct {
    void *(*work)(void *context); /* NULL: none waits */
    void *context;
    int telling;
    bool runs, hears; /* hears: it is put aside while its worker does something else */
    double heard_ms;
} waiting;

int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attr, void *(*work)(void *),
                          void *context);
int __wrap_pthread_join(pthread_t thread, void **result);
int __wrap_pthread_cond_timedwait(pthread_cond_t *cond, pthread_mutex_t *mutex,
                                  const struct timespec *until);
void __real_fit_tell(const BlyFitOptions *options, const BlyFitProgress *progress);
void __wrap_fit_tell(const BlyFitOptions *options, const BlyFitProgress *progress);
void alone_run(void);

int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attr, void *(*work)(void *),
                          void *context) {
    (void)attr;
    if (waiting.work != NULL)
        return EAGAIN;
    waiting.work = work;
    waiting.context = context;
    *thread = 0;
    return 0;
}

int __wrap_pthread_join(pthread_t thread, void **result) {
    (void)thread, (void)result;
    return 0;
}

/* Whoever waits for a search does so in the worker. */
int __wrap_pthread_cond_timedwait(pthread_cond_t *cond, pthread_mutex_t *mutex,
                                  const struct timespec *until) {
    (void)cond, (void)mutex, (void)until;
    return ETIMEDOUT;
}

void __wrap_fit_tell(const BlyFitOptions *options, const BlyFitProgress *progress) {
    waiting.telling++; /* one search may tell for another: it is put aside where that is told */
    __real_fit_tell(options, progress);
    waiting.telling--;
    /* What a request searches by itself, as it may for mends, is not put aside. */
    if (!waiting.runs || waiting.hears || waiting.telling > 0 ||
        emscripten_get_now() - waiting.heard_ms < hearing_every_ms)
        return;
    waiting.hears = true;
    emscripten_sleep(0);
    waiting.hears = false;
    waiting.heard_ms = emscripten_get_now();
}

EMSCRIPTEN_KEEPALIVE void alone_run(void) {
    waiting.runs = true;
    if (waiting.work != NULL)
        (void)waiting.work(waiting.context);
    waiting.work = NULL;
    waiting.runs = false;
}
