/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/ring.h"
#include "cli/reader.h"
#include "cli/stop.h"

#include <errno.h>
#include <poll.h>
#include <pthread.h>
#include <stdlib.h>
#include <unistd.h>

typedef struct Slot {
    size_t number;
    BlyText line, answer;
    bool too_long, done;
    RingEnd end;
} Slot;

/* head <= next <= tail count lines; a slot belongs to the reader from tail on, to the worker that
 * took it between next and done, and to the writer from then on. */
typedef struct Ring {
    const RingJob *job;
    Slot *slots; /* owned, `room` of them */
    size_t room;
    size_t head, next, tail;
    pthread_mutex_t lock;
    pthread_cond_t may_read, may_work;
    bool ended;   /* no more lines will come */
    bool stopped; /* the output is broken: no more lines are wanted */
    bool writing; /* somebody is at it */
    RingSums *sums;
    BlyError err; /* why it stopped */
} Ring;

static Slot *slot_at(const Ring *ring, size_t line) {
    return &ring->slots[line % ring->room];
}

static bool write_whole(int out, const BlyText *text, BlyError *err) {
    for (size_t done = 0; done < text->length;) {
        ssize_t wrote = write(out, text->bytes + done, text->length - done);
        if (wrote >= 0) {
            done += (size_t)wrote;
        } else if (errno == EAGAIN) { /* somebody has set our output to refuse rather than wait */
            struct pollfd ready = {.fd = out, .events = POLLOUT};
            (void)poll(&ready, 1, -1);
        } else if (errno != EINTR) {
            return bly_fail(err, BLY_E_IO, "standard output", "cannot be written to");
        }
    }
    return true;
}

static bool put_out(const Ring *ring, const Slot *slot, BlyError *err) {
    if (!bly_text_good(&slot->answer, err))
        return false;
    bool good = stop_line_begins() && write_whole(ring->job->out, &slot->answer, err);
    stop_line_ends();
    return good;
}

static void count(RingSums *sums, const Slot *slot) {
    sums->lines++;
    sums->by[slot->end]++;
    if (sums->first_bad == 0 && (slot->end == RING_BAD || slot->end == RING_FAULT))
        sums->first_bad = slot->number;
}

static void stop(Ring *ring, const BlyError *err) {
    ring->stopped = true;
    ring->err = *err;
    (void)pthread_cond_broadcast(&ring->may_work);
    (void)pthread_cond_broadcast(&ring->may_read);
}

static void release_slot(Slot *slot) {
    bly_text_release(&slot->line);
    bly_text_release(&slot->answer);
    slot->done = false;
}

/* With the lock held, which is let go while a line goes out. */
static void write_ready(Ring *ring) {
    if (ring->writing)
        return;
    ring->writing = true;
    while (!ring->stopped && ring->head < ring->next && slot_at(ring, ring->head)->done) {
        Slot *slot = slot_at(ring, ring->head);
        BlyError err = {0};
        (void)pthread_mutex_unlock(&ring->lock);
        bool good = put_out(ring, slot, &err);
        (void)pthread_mutex_lock(&ring->lock);
        if (!good) {
            stop(ring, &err);
            break;
        }
        count(ring->sums, slot);
        release_slot(slot);
        ring->head++;
        (void)pthread_cond_signal(&ring->may_read);
        if (ring->job->progress != NULL)
            ring->job->progress(ring->job->progress_context, ring->sums);
    }
    ring->writing = false;
}

static void *work(void *of_ring) {
    Ring *ring = of_ring;
    (void)pthread_mutex_lock(&ring->lock);
    for (;;) {
        while (!ring->stopped && !ring->ended && ring->next == ring->tail)
            (void)pthread_cond_wait(&ring->may_work, &ring->lock);
        if (ring->stopped || ring->next == ring->tail)
            break;
        Slot *slot = slot_at(ring, ring->next++);
        (void)pthread_mutex_unlock(&ring->lock);
        const RingLine line = {slot->number, bly_text_string(&slot->line), slot->line.length,
                               slot->too_long};
        slot->end = ring->job->work(ring->job->context, &line, &slot->answer);
        (void)pthread_mutex_lock(&ring->lock);
        slot->done = true;
        write_ready(ring);
    }
    (void)pthread_mutex_unlock(&ring->lock);
    return NULL;
}

/* Waits for a free slot; false when no more lines are wanted. */
static bool wait_for_room(Ring *ring) {
    (void)pthread_mutex_lock(&ring->lock);
    while (!ring->stopped && ring->tail - ring->head == ring->room)
        (void)pthread_cond_wait(&ring->may_read, &ring->lock);
    bool wanted = !ring->stopped;
    (void)pthread_mutex_unlock(&ring->lock);
    return wanted;
}

static bool read_lines(Ring *ring, LineReader *reader, BlyError *err) {
    while (wait_for_room(ring)) {
        Slot *slot = slot_at(ring, ring->tail);
        bool found;
        if (!reader_next(reader, &slot->line, &slot->too_long, &found, err))
            return false;
        if (!found)
            return true;
        if (!bly_text_good(&slot->line, err))
            return false;
        slot->number = reader->number;
        (void)pthread_mutex_lock(&ring->lock);
        ring->tail++;
        (void)pthread_cond_signal(&ring->may_work);
        (void)pthread_mutex_unlock(&ring->lock);
    }
    return true;
}

static void end_lines(Ring *ring) {
    (void)pthread_mutex_lock(&ring->lock);
    ring->ended = true;
    (void)pthread_cond_broadcast(&ring->may_work);
    (void)pthread_mutex_unlock(&ring->lock);
}

/* As many workers as can be had, at least one. */
static bool run_threads(Ring *ring, LineReader *reader, BlyError *err) {
    pthread_t threads[RING_WORKERS_MOST];
    size_t count = 0;
    while (count < ring->job->workers && pthread_create(&threads[count], NULL, work, ring) == 0)
        count++;
    bool good = count > 0 ? read_lines(ring, reader, err)
                          : bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a worker");
    end_lines(ring);
    for (size_t i = 0; i < count; i++)
        (void)pthread_join(threads[i], NULL);
    if (good && ring->stopped && err != NULL)
        *err = ring->err;
    return good && !ring->stopped;
}

static void release(Ring *ring) {
    for (size_t i = 0; ring->slots != NULL && i < ring->room; i++)
        release_slot(&ring->slots[i]);
    free(ring->slots);
    (void)pthread_cond_destroy(&ring->may_read);
    (void)pthread_cond_destroy(&ring->may_work);
    (void)pthread_mutex_destroy(&ring->lock);
}

bool ring_run(const RingJob *job, RingSums *sums, BlyError *err) {
    *sums = (RingSums){0};
    LineReader reader;
    Ring ring = {.job = job, .sums = sums, .room = job->workers * RING_LINES_A_WORKER};
    ring.slots = calloc(ring.room, sizeof *ring.slots);
    (void)pthread_mutex_init(&ring.lock, NULL);
    (void)pthread_cond_init(&ring.may_read, NULL);
    (void)pthread_cond_init(&ring.may_work, NULL);
    bool good = ring.slots != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for lines");
    if (good && reader_open(&reader, job->in, job->out, job->in_name, err)) {
        good = run_threads(&ring, &reader, err);
        reader_close(&reader);
    } else {
        good = false;
    }
    release(&ring);
    return good;
}
