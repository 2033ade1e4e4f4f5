/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a client may take over one request. libmicrohttpd ends a connection that is silent; one
 * that sends a byte now and then is ended here, so that nobody can keep all connections busy. Where
 * many come at once, the oldest silent one makes room for the newest. */
#ifndef BALLASTRY_BENCH_WATCH_H
#define BALLASTRY_BENCH_WATCH_H

#include <stdbool.h>
#include <stddef.h>

typedef struct Watch Watch;
typedef struct Guest Guest; /* one connection */

/* A thread looks at all guests a few times a second. A guest more than most_guests shows out the
 * one that has been silent longest. NULL without memory or thread. */
Watch *watch_new(double request_secs, size_t most_guests);
void watch_free(Watch *watch);

/* A connection came, on this socket; NULL without memory: it is not watched. */
Guest *watch_enter(Watch *watch, int descriptor);
/* Before its socket is closed. NULL is allowed. */
void watch_leave(Guest *guest);

/* The head of a request has come: not silent any more. */
void watch_hear(Guest *guest);
/* The answer was taken, or the request given up: silent until the next one. */
void watch_rest(Guest *guest);

/* A request is whole and we are at work: that time is ours. */
void watch_work(Guest *guest);
/* The answer is ready: it must be taken in time, and so must the next request be sent. */
void watch_wait(Guest *guest);

#endif
