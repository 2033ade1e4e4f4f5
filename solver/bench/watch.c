/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/watch.h"

#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <time.h>

static const double look_every_secs = 0.25;

struct Guest {
    Watch *watch;
    Guest *next, *before;
    int descriptor;
    double since; /* it was its turn */
    bool ours;    /* we are at work */
    bool heard;   /* a request is coming or being answered */
    bool shown_out;
};

struct Watch {
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t wake;
    double request_secs;
    size_t most, count; /* of guests that are not shown out yet */
    Guest *first;
    bool end;
};

static struct timespec moment(double secs) {
    time_t whole = (time_t)secs;
    return (struct timespec){.tv_sec = whole, .tv_nsec = (long)((secs - (double)whole) * 1e9)};
}

static double now_secs(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void show_one_out(Watch *watch, Guest *guest) {
    if (guest->shown_out)
        return;
    guest->shown_out = true;
    watch->count--;
    (void)shutdown(guest->descriptor, SHUT_RDWR);
}

/* Shut, not closed: closing is the server's, which finds nothing more to read. */
static void show_out(Watch *watch) {
    for (Guest *guest = watch->first; guest != NULL; guest = guest->next) {
        if (!guest->ours && now_secs() - guest->since > watch->request_secs)
            show_one_out(watch, guest);
    }
}

/* Nobody who has asked for something is sent away for one who may not. */
static void make_room(Watch *watch) {
    Guest *oldest = NULL;
    for (Guest *guest = watch->first; guest != NULL; guest = guest->next) {
        if (!guest->heard && !guest->shown_out && (oldest == NULL || guest->since <= oldest->since))
            oldest = guest;
    }
    if (oldest != NULL)
        show_one_out(watch, oldest);
}

static void *look(void *context) {
    Watch *watch = context;
    (void)pthread_mutex_lock(&watch->lock);
    while (!watch->end) {
        show_out(watch);
        struct timespec until = moment(now_secs() + look_every_secs);
        (void)pthread_cond_timedwait(&watch->wake, &watch->lock, &until);
    }
    (void)pthread_mutex_unlock(&watch->lock);
    return NULL;
}

static bool make_locks(Watch *watch) {
    pthread_condattr_t monotonic;
    if (pthread_condattr_init(&monotonic) != 0)
        return false;
    bool good = pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC) == 0 &&
                pthread_cond_init(&watch->wake, &monotonic) == 0;
    (void)pthread_condattr_destroy(&monotonic);
    return good && pthread_mutex_init(&watch->lock, NULL) == 0;
}

Watch *watch_new(double request_secs, size_t most_guests) {
    Watch *watch = calloc(1, sizeof *watch);
    if (watch == NULL)
        return NULL;
    watch->request_secs = request_secs;
    watch->most = most_guests;
    if (make_locks(watch) && pthread_create(&watch->thread, NULL, look, watch) == 0)
        return watch;
    free(watch);
    return NULL;
}

void watch_free(Watch *watch) {
    if (watch == NULL)
        return;
    (void)pthread_mutex_lock(&watch->lock);
    watch->end = true;
    (void)pthread_cond_signal(&watch->wake);
    (void)pthread_mutex_unlock(&watch->lock);
    (void)pthread_join(watch->thread, NULL);
    (void)pthread_mutex_destroy(&watch->lock);
    (void)pthread_cond_destroy(&watch->wake);
    free(watch);
}

Guest *watch_enter(Watch *watch, int descriptor) {
    Guest *guest = calloc(1, sizeof *guest);
    if (guest == NULL)
        return NULL;
    *guest = (Guest){.watch = watch, .descriptor = descriptor, .since = now_secs()};
    (void)pthread_mutex_lock(&watch->lock);
    if (watch->count >= watch->most)
        make_room(watch);
    watch->count++;
    guest->next = watch->first;
    if (guest->next != NULL)
        guest->next->before = guest;
    watch->first = guest;
    (void)pthread_mutex_unlock(&watch->lock);
    return guest;
}

void watch_leave(Guest *guest) {
    if (guest == NULL)
        return;
    Watch *watch = guest->watch;
    (void)pthread_mutex_lock(&watch->lock);
    watch->count -= !guest->shown_out;
    if (guest->before != NULL)
        guest->before->next = guest->next;
    else
        watch->first = guest->next;
    if (guest->next != NULL)
        guest->next->before = guest->before;
    (void)pthread_mutex_unlock(&watch->lock);
    free(guest);
}

static void turn(Guest *guest, bool ours, bool heard) {
    if (guest == NULL)
        return;
    (void)pthread_mutex_lock(&guest->watch->lock);
    guest->ours = ours;
    guest->heard = heard;
    guest->since = now_secs();
    (void)pthread_mutex_unlock(&guest->watch->lock);
}

void watch_work(Guest *guest) {
    turn(guest, true, true);
}

void watch_wait(Guest *guest) {
    turn(guest, false, true);
}

void watch_rest(Guest *guest) {
    turn(guest, false, false);
}

/* The time for the request runs on. */
void watch_hear(Guest *guest) {
    if (guest == NULL)
        return;
    (void)pthread_mutex_lock(&guest->watch->lock);
    guest->heard = true;
    (void)pthread_mutex_unlock(&guest->watch->lock);
}
