/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines in flight: order, borders and memory, with answers that anybody can work out. */
#include "support/check.h"
#include "cli/reader.h"
#include "cli/ring.h"

#include <fcntl.h>
#include <pthread.h>
#include <stdatomic.h>
#include <time.h>
#include <unistd.h>

static void wait_us(long us) {
    struct timespec t = {0, us * 1000};
    (void)nanosleep(&t, NULL);
}

/* A file without a name, from its beginning. */
static int file_of(const char *bytes, size_t length) {
    char name[] = "/tmp/ring-XXXXXX";
    int file = mkstemp(name);
    assert_true(file >= 0);
    assert_int_equal(unlink(name), 0);
    for (size_t done = 0; done < length;) {
        ssize_t wrote = write(file, bytes + done, length - done);
        assert_true(wrote > 0);
        done += (size_t)wrote;
    }
    assert_int_equal(lseek(file, 0, SEEK_SET), 0);
    return file;
}

static void read_all(int file, BlyText *text) {
    char block[4096];
    ssize_t got;
    assert_int_equal(lseek(file, 0, SEEK_SET), 0);
    while ((got = read(file, block, sizeof block)) > 0)
        bly_text_append_bytes(text, block, (size_t)got);
}

/* Number and line come back; "long" where it was too long. Uneven: some take much longer. */
static RingEnd echo(void *context, const RingLine *line, BlyText *answer) {
    (void)context;
    if (line->number % 97 == 1)
        wait_us(2000);
    else if (line->number % 5 == 0)
        wait_us(50);
    bly_text_appendf(answer, "%zu:%s\n", line->number, line->too_long ? "long" : line->text);
    return line->too_long ? RING_BAD : strcmp(line->text, "n") == 0 ? RING_NO_RIG : RING_GOOD;
}

static bool run(const char *in, size_t length, size_t workers, BlyText *out, RingSums *sums) {
    int from = file_of(in, length), to = file_of("", 0);
    RingJob job = {.in = from, .out = to, .in_name = "in", .workers = workers, .work = echo};
    bool good = ring_run(&job, sums, NULL);
    read_all(to, out);
    (void)close(from);
    (void)close(to);
    return good;
}

static void assert_answers(const char *in, size_t workers, const char *want) {
    BlyText out = {0};
    RingSums sums;
    assert_true(run(in, strlen(in), workers, &out, &sums));
    assert_string_equal(bly_text_string(&out), want);
    bly_text_release(&out);
}

static void borders_of_lines(void **state) {
    (void)state;
    for (size_t workers = 1; workers <= 3; workers++) {
        assert_answers("", workers, "");
        assert_answers("\n \t\r\n\n", workers, "");
        assert_answers("a\nb\n", workers, "1:a\n2:b\n");
        assert_answers("a\nb", workers, "1:a\n2:b\n");
        assert_answers("\n\na\n\nb\n\n", workers, "3:a\n5:b\n");
        assert_answers("a\r\n", workers, "1:a\r\n");
    }
}

enum { MANY = 10000 };

static void order_is_kept(void **state) {
    (void)state;
    BlyText in = {0}, want = {0};
    for (int i = 1; i <= MANY; i++) {
        bly_text_appendf(&in, "line %d of many\n", i);
        bly_text_appendf(&want, "%d:line %d of many\n", i, i);
    }
    static const size_t workers[] = {1, 2, 8, 64};
    for (size_t i = 0; i < sizeof workers / sizeof workers[0]; i++) {
        BlyText out = {0};
        RingSums sums;
        assert_true(run(in.bytes, in.length, workers[i], &out, &sums));
        assert_string_equal(bly_text_string(&out), bly_text_string(&want));
        assert_int_equal(sums.lines, MANY);
        assert_int_equal(sums.by[RING_GOOD], MANY);
        bly_text_release(&out);
    }
    bly_text_release(&in);
    bly_text_release(&want);
}

/* Longer than a block of the reader, as long as may be, and one byte longer. */
static void length_has_a_limit(void **state) {
    (void)state;
    static const size_t lengths[] = {READER_BLOCK - 1, READER_BLOCK,  READER_BLOCK + 1,
                                     LINE_MOST,        LINE_MOST + 1, LINE_MOST + READER_BLOCK,
                                     10000000};
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++) {
        BlyText in = {0}, out = {0};
        RingSums sums;
        bly_text_append(&in, "n\n");
        bly_text_repeat(&in, 'x', lengths[i]);
        bly_text_append(&in, "\nafter");
        assert_true(run(in.bytes, in.length, 2, &out, &sums));
        bool fits = lengths[i] <= LINE_MOST;
        assert_int_equal(sums.lines, 3);
        assert_int_equal(sums.by[RING_BAD], fits ? 0 : 1);
        assert_int_equal(sums.by[RING_NO_RIG], 1);
        assert_int_equal(sums.first_bad, fits ? 0 : 2);
        if (fits)
            assert_int_equal(out.length, in.length + strlen("1:2:3:\n"));
        else
            assert_string_equal(bly_text_string(&out), "1:n\n2:long\n3:after\n");
        bly_text_release(&in);
        bly_text_release(&out);
    }
}

/* While the first line is worked, no more are begun than there is room for. */
typedef struct Hold {
    atomic_size_t furthest;
    size_t seen_by_first;
} Hold;

static RingEnd hold_first(void *context, const RingLine *line, BlyText *answer) {
    Hold *hold = context;
    if (line->number > atomic_load(&hold->furthest))
        atomic_store(&hold->furthest, line->number);
    if (line->number == 1) {
        wait_us(100000);
        hold->seen_by_first = atomic_load(&hold->furthest);
    }
    bly_text_append(answer, "x\n");
    return RING_GOOD;
}

static void few_are_in_flight(void **state) {
    (void)state;
    BlyText in = {0};
    for (int i = 0; i < 1000; i++)
        bly_text_append(&in, "x\n");
    Hold hold = {0};
    RingSums sums;
    int from = file_of(in.bytes, in.length), to = file_of("", 0);
    RingJob job = {
        .in = from, .out = to, .in_name = "in", .workers = 4, .work = hold_first, .context = &hold};
    assert_true(ring_run(&job, &sums, NULL));
    assert_int_equal(sums.lines, 1000);
    assert_true(hold.seen_by_first > 1);
    assert_true(hold.seen_by_first <= 4 * RING_LINES_A_WORKER);
    (void)close(from);
    (void)close(to);
    bly_text_release(&in);
}

/* What comes slowly is answered at once, not when a block is full. */
static void *write_slowly(void *of_pipe) {
    const int *ends = of_pipe;
    char answer[8];
    ssize_t ok = write(ends[0], "fir", 3);
    wait_us(1000);
    ok += write(ends[0], "st\nsec", 6);
    ssize_t got = read(ends[1], answer, sizeof answer); /* waits for the first answer */
    ok += write(ends[0], "ond", 3);
    (void)close(ends[0]);
    return ok == 12 && got == 8 && memcmp(answer, "1:first\n", 8) == 0 ? of_pipe : NULL;
}

static void answers_do_not_wait_for_more(void **state) {
    (void)state;
    int in[2], out[2];
    assert_int_equal(pipe(in), 0);
    assert_int_equal(pipe(out), 0);
    int ends[2] = {in[1], out[0]};
    pthread_t feeder;
    assert_int_equal(pthread_create(&feeder, NULL, write_slowly, ends), 0);
    RingSums sums;
    RingJob job = {.in = in[0], .out = out[1], .in_name = "in", .workers = 2, .work = echo};
    assert_true(ring_run(&job, &sums, NULL));
    void *as_wanted;
    assert_int_equal(pthread_join(feeder, &as_wanted), 0);
    assert_non_null(as_wanted);
    char answer[16];
    assert_int_equal(read(out[0], answer, sizeof answer), 9);
    assert_memory_equal(answer, "2:second\n", 9);
    (void)close(in[0]);
    (void)close(out[0]);
    (void)close(out[1]);
}

static RingEnd run_dry(void *context, const RingLine *line, BlyText *answer) {
    (void)context;
    (void)line;
    answer->failed = true;
    return RING_FAULT;
}

static void what_breaks_is_told(void **state) {
    (void)state;
    BlyError err = {0};
    RingSums sums;
    int in = file_of("a\nb\n", 4), full = open("/dev/full", O_WRONLY), folder = open("/", O_RDONLY);
    RingJob job = {.in = in, .out = full, .in_name = "in", .workers = 2, .work = echo};
    assert_false(ring_run(&job, &sums, &err));
    assert_int_equal(err.code, BLY_E_IO);
    assert_string_equal(err.where, "standard output");
    assert_int_equal(sums.lines, 0);
    job.in = folder;
    assert_false(ring_run(&job, &sums, &err));
    assert_int_equal(err.code, BLY_E_IO);
    assert_string_equal(err.where, "in");
    assert_int_equal(lseek(in, 0, SEEK_SET), 0);
    job.in = in;
    job.work = run_dry;
    assert_false(ring_run(&job, &sums, &err));
    assert_int_equal(err.code, BLY_E_MEMORY);
    (void)close(in);
    (void)close(full);
    (void)close(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(borders_of_lines),
        cmocka_unit_test(order_is_kept),
        cmocka_unit_test(length_has_a_limit),
        cmocka_unit_test(few_are_in_flight),
        cmocka_unit_test(answers_do_not_wait_for_more),
        cmocka_unit_test(what_breaks_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
