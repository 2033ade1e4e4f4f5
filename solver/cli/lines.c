/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many builds: sets up the ring of lines, shows how far it is, tells what was wrong at the end. */
#define _GNU_SOURCE /* sched_getaffinity: a worker for each core that we may run on */
#include "cli/lines.h"

#include <errno.h>
#include <fcntl.h>
#include <sched.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/stop.h"

static size_t cores(void) {
    cpu_set_t set;
    if (sched_getaffinity(0, sizeof set, &set) != 0)
        return 1;
    int count = CPU_COUNT(&set);
    return count < 1 ? 1 : count > RING_WORKERS_MOST ? RING_WORKERS_MOST : (size_t)count;
}

static bool read_workers(const char *words, size_t *out, BlyError *err) {
    *out = cores();
    if (words == NULL)
        return true;
    char *end;
    long n = strtol(words, &end, 10);
    if (*words == '\0' || *end != '\0' || n < 1 || n > RING_WORKERS_MOST)
        return bly_fail(err, BLY_E_RANGE, "--workers", "'%s' is not a number from 1 to %d", words,
                        RING_WORKERS_MOST);
    *out = (size_t)n;
    return true;
}

/* ---- how far it is: one line on a terminal that shows no results ---------------------------- */

typedef struct Progress {
    struct timespec begin;
    double told; /* seconds after begin */
    int width;   /* of what stands there */
} Progress;

static const double progress_every_secs = 0.2;

static double seconds_since(const struct timespec *begin) {
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - begin->tv_sec) + 1e-9 * (double)(now.tv_nsec - begin->tv_nsec);
}

static void tell_progress(void *context, const RingSums *sums) {
    Progress *progress = context;
    double secs = seconds_since(&progress->begin);
    if (secs < progress->told + progress_every_secs)
        return;
    progress->told = secs;
    size_t bad = sums->by[RING_BAD] + sums->by[RING_FAULT];
    int width = fprintf(stderr, "\r%zu lines, %.1f a second, %zu bad", sums->lines,
                        (double)sums->lines / secs, bad);
    for (int i = width; i < progress->width; i++)
        (void)fputc(' ', stderr);
    if (width > progress->width)
        progress->width = width;
}

static void clear_progress(const Progress *progress) {
    if (progress->width > 0)
        (void)fprintf(stderr, "\r%*s\r", progress->width, "");
}

/* ---- the run --------------------------------------------------------------------------------- */

static int tell_end(const char *file, const RingSums *sums) {
    size_t bad = sums->by[RING_BAD] + sums->by[RING_FAULT];
    if (bad > 0) {
        BlyError err = {0};
        (void)bly_fail(&err, sums->by[RING_FAULT] > 0 ? BLY_E_INTERNAL : BLY_E_SYNTAX, NULL,
                       "%zu of %zu lines could not be worked, the first is line %zu", bad,
                       sums->lines, sums->first_bad);
        return cli_tell(file, &err);
    }
    return sums->by[RING_NO_RIG] > 0 ? EXIT_NO_RIG : EXIT_DONE;
}

static int run(const char *file, int in, size_t workers, LineJob *line_job) {
    Progress progress = {.told = 0.0};
    bool shows = isatty(STDERR_FILENO) && !isatty(STDOUT_FILENO);
    RingJob job = {.in = in,
                   .out = STDOUT_FILENO,
                   .in_name = file,
                   .workers = workers,
                   .work = line_answer,
                   .context = line_job,
                   .progress = shows ? tell_progress : NULL,
                   .progress_context = &progress};
    RingSums sums;
    BlyError err = {0};
    (void)clock_gettime(CLOCK_MONOTONIC, &progress.begin);
    stop_watch();
    bool good = ring_run(&job, &sums, &err);
    clear_progress(&progress);
    return good ? tell_end(file, &sums) : cli_tell(file, &err);
}

static int open_lines(const char *name, const char **file, BlyError *err) {
    bool standard = strcmp(name, "-") == 0;
    *file = standard ? "standard input" : name;
    int in = standard ? STDIN_FILENO : open(name, O_RDONLY | O_CLOEXEC);
    if (in < 0)
        (void)bly_fail(err, BLY_E_IO, name, "cannot be opened: %s", strerror(errno));
    return in;
}

static int work_lines(Cli *cli, const LineWords *words, const LineTask *task, size_t workers) {
    int status = EXIT_DONE;
    Cli here = {.file = ""}; /* files that a line names are looked for where we stand */
    if (!(cli->argument_count > 0 ? cli_build(cli, &status)
                                  : cli_catalog(cli, &status) && cli_book(cli, &status)))
        return status;
    LineJob job = {.command = cli->command,
                   .task = task,
                   .catalog = &cli->catalog,
                   .base = cli->build,
                   .water = &cli->water,
                   .beside_base = cli->files,
                   .here = cli_files(&here)};
    BlyError err = {0};
    const char *file;
    int in = open_lines(words->lines, &file, &err);
    if (in < 0)
        return cli_tell(file, &err);
    status = run(file, in, workers, &job);
    if (in != STDIN_FILENO)
        (void)close(in);
    return status;
}

int cli_lines(Cli *cli, const Command *command, const LineWords *words, const LineTask *task) {
    BlyError err = {0};
    size_t workers;
    if (!read_workers(words->workers, &workers, &err))
        return cli_end(cli, NULL, (cli_tell(NULL, &err), EXIT_USAGE));
    if (cli->argument_count > 0 && strcmp(cli->arguments[0], "-") == 0 &&
        strcmp(words->lines, "-") == 0)
        return cli_end(cli, NULL, cli_usage(command, "BUILD and lines cannot both be '-'"));
    int status = work_lines(cli, words, task, workers);
    cli->json = false; /* the lines are out already; there is nothing left to print */
    return cli_end(cli, NULL, status);
}

bool cli_one_build(Cli *cli, const Command *command, const LineWords *words, int *status) {
    if (words->workers != NULL) {
        *status = cli_usage(command, "--workers goes with --lines");
        return false;
    }
    if (cli->argument_count == 0) {
        *status = cli_usage(command, "expected BUILD, or --lines FILE");
        return false;
    }
    return cli_build(cli, status);
}
