/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE
#include "try.h"

#include <dirent.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { SECONDS_MOST = 120, TOLD_MOST = 6, DESCRIPTORS = 64, FOUR = 4 };

/* Below the top folder: what the command finds, what the good run left, where the first process
 * runs the command itself, and where the try does. "out", "err" and "said" of each beside it. */
static char top[PATH_MAX];
static const char *const in = "in", *const good = "good", *const self = "self",
                         *const tried = "try";
static int report = -1; /* standard output of the whole */
static int good_status;
static unsigned long requests, tries, by_four, as_good, failed;

void try_give_up(const char *why) {
    (void)dprintf(report >= 0 ? report : 2, "FAILED: %s\n", why);
    _exit(99);
}

int try_report(void) {
    return report;
}

static const char *place(char out[PATH_MAX], const char *run, const char *end) {
    if (snprintf(out, PATH_MAX, "%s/%s%s", top, run, end) >= PATH_MAX)
        try_give_up("a name is too long");
    return out;
}

/* ---- files ---- */

static void copy_file(const char *from, const char *to) {
    char bytes[1 << 16];
    ssize_t size = 0;
    int a = open(from, O_RDONLY | O_CLOEXEC), b = open(to, O_WRONLY | O_CREAT | O_TRUNC, 0644);
    if (a < 0 || b < 0)
        try_give_up(from);
    while ((size = read(a, bytes, sizeof bytes)) > 0) {
        if (write(b, bytes, (size_t)size) != size)
            try_give_up(to);
    }
    (void)close(a);
    (void)close(b);
}

static bool same_file(const char *one, const char *other) {
    FILE *a = fopen(one, "rb"), *b = fopen(other, "rb");
    bool same = a != NULL && b != NULL;
    for (int c = 0; same && c != EOF;) {
        c = getc_unlocked(a);
        same = c == getc_unlocked(b);
    }
    if (a != NULL)
        (void)fclose(a);
    if (b != NULL)
        (void)fclose(b);
    return same;
}

typedef bool (*PerFile)(const char *here, const char *there);

static bool remove_one(const char *here, const char *there) {
    (void)there;
    return unlink(here) == 0;
}

static bool copy_one(const char *here, const char *there) {
    copy_file(here, there);
    return true;
}

/* Whether `act` holds for each file of a flat folder and its namesake in another. */
static bool each_file(const char *run, const char *other, PerFile act) {
    char path[PATH_MAX], here[PATH_MAX + 256], there[PATH_MAX + 256];
    bool all = true;
    DIR *folder = opendir(place(path, run, ""));
    if (folder == NULL)
        return true;
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
            continue;
        (void)snprintf(here, sizeof here, "%s/%s/%s", top, run, entry->d_name);
        (void)snprintf(there, sizeof there, "%s/%s/%s", top, other, entry->d_name);
        all = act(here, there) && all;
    }
    (void)closedir(folder);
    return all;
}

/* `run` begins with the files and the output of `from`. */
static void prepare(const char *run, const char *from) {
    static const char *const streams[] = {".out", ".err", ".said"};
    char here[PATH_MAX], there[PATH_MAX];
    (void)each_file(run, run, remove_one);
    (void)mkdir(place(here, run, ""), 0755);
    (void)each_file(from, run, copy_one);
    for (int i = 0; i < 3; i++) {
        (void)unlink(place(here, run, streams[i]));
        if (access(place(there, from, streams[i]), F_OK) == 0)
            copy_file(there, here);
    }
}

/* ---- processes ---- */

/* A descriptor shared with the first process would share its place in the file too. */
static void own_descriptors(void) {
    for (int fd = 3; fd < DESCRIPTORS; fd++) {
        char name[64];
        int flags = fcntl(fd, F_GETFL);
        struct stat facts;
        if (flags < 0 || fd == report || fstat(fd, &facts) != 0 || !S_ISREG(facts.st_mode))
            continue;
        if ((flags & O_ACCMODE) != O_RDONLY)
            try_give_up("memory is asked for while a file is open for writing");
        (void)snprintf(name, sizeof name, "/proc/self/fd/%d", fd);
        off_t at = lseek(fd, 0, SEEK_CUR);
        int mine = open(name, O_RDONLY | O_CLOEXEC);
        if (mine < 0 || lseek(mine, at, SEEK_SET) != at || dup2(mine, fd) < 0)
            try_give_up("a descriptor cannot be opened again");
        (void)close(mine);
    }
}

static void redirect(const char *run) {
    char path[PATH_MAX];
    for (int fd = 1; fd <= 2; fd++) {
        int to = open(place(path, run, fd == 1 ? ".out" : ".err"),
                      O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0644);
        if (to < 0 || dup2(to, fd) < 0)
            try_give_up(path);
        (void)close(to);
    }
}

static void enter(const char *run) {
    char path[PATH_MAX];
    redirect(run);
    if (chdir(place(path, run, "")) != 0)
        try_give_up(path);
}

void try_begin(const char *folder) {
    char path[PATH_MAX];
    report = fcntl(1, F_DUPFD_CLOEXEC, DESCRIPTORS);
    if (folder == NULL || strlen(folder) >= sizeof top || report < 0)
        try_give_up("FAULT_FOLDER should name a folder");
    (void)strcpy(top, folder); /* NOLINT: measured just above */
    (void)place(path, in, "");
}

bool try_good_run(void) {
    int status = 0;
    char path[PATH_MAX];
    prepare(good, in);
    pid_t child = fork();
    if (child == 0) {
        enter(good);
        return true;
    }
    if (child < 0 || waitpid(child, &status, 0) != child || !WIFEXITED(status))
        try_give_up("the good run did not end well");
    good_status = WEXITSTATUS(status);
    FILE *said = fopen(place(path, good, ".said"), "r");
    if (said == NULL || fscanf(said, "requests %lu", &requests) != 1) /* NOLINT: our own line */
        try_give_up("the good run leaks");
    (void)fclose(said);
    (void)unlink(path);
    prepare(self, in);
    enter(self);
    return false;
}

/* To the first line of RUN.said, where RUN is the working folder. */
static void say(const char *line) {
    char folder[PATH_MAX - 8], path[PATH_MAX];
    if (getcwd(folder, sizeof folder) == NULL)
        try_give_up("no working folder");
    (void)snprintf(path, sizeof path, "%s.said", folder);
    int to = open(path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0644);
    if (to < 0 || write(to, line, strlen(line)) != (ssize_t)strlen(line))
        try_give_up(path);
    (void)close(to);
}

void try_say_requests(unsigned long count) {
    char line[64];
    (void)snprintf(line, sizeof line, "requests %lu\n", count);
    say(line);
}

unsigned long try_requests(void) {
    return requests;
}

void try_say_leak(size_t count, const char *object, ptrdiff_t offset) {
    char line[PATH_MAX];
    (void)snprintf(line, sizeof line, "leaks %zu, one at %s+0x%tx\n", count,
                   object != NULL ? object : "?", offset);
    say(line);
}

/* ---- judgement ---- */

static void first_line(const char *path, char *out, size_t size) {
    FILE *file = fopen(path, "r");
    out[0] = '\0';
    if (file == NULL)
        return;
    if (fgets(out, (int)size, file) == NULL)
        out[0] = '\0';
    (void)fclose(file);
    out[strcspn(out, "\n")] = '\0';
}

static size_t lines_of(const char *path) {
    FILE *file = fopen(path, "r");
    size_t lines = 0;
    for (int c; file != NULL && (c = getc_unlocked(file)) != EOF;)
        lines += c == '\n';
    if (file != NULL)
        (void)fclose(file);
    return lines;
}

/* What is wrong with the try, NULL for nothing. */
static const char *judge(int status, char said[PATH_MAX]) {
    char here[PATH_MAX], there[PATH_MAX];
    static char words[64];
    first_line(place(here, tried, ".said"), said, PATH_MAX);
    if (said[0] != '\0')
        return "leaks";
    first_line(place(here, tried, ".err"), said, PATH_MAX);
    if (!WIFEXITED(status)) {
        (void)snprintf(words, sizeof words, "signal %d", WTERMSIG(status));
        return words;
    }
    (void)snprintf(words, sizeof words, "exit %d with a file that is not whole",
                   WEXITSTATUS(status));
    if (!each_file(tried, good, same_file))
        return words;
    if (WEXITSTATUS(status) == FOUR) {
        by_four++;
        return lines_of(place(here, tried, ".err")) == 1 ? NULL : "not one line";
    }
    (void)snprintf(words, sizeof words, "exit %d", WEXITSTATUS(status));
    if (WEXITSTATUS(status) != good_status)
        return words;
    as_good++;
    if (!each_file(good, tried, same_file))
        return "ended well without its file";
    return same_file(place(here, tried, ".out"), place(there, good, ".out"))
               ? NULL
               : "ended well with other output";
}

bool try_fork(unsigned long number, bool all, const char *object, ptrdiff_t offset) {
    char said[PATH_MAX];
    int status = 0;
    prepare(tried, self);
    pid_t child = fork();
    if (child == 0) {
        (void)alarm(SECONDS_MOST);
        own_descriptors();
        enter(tried);
        return true;
    }
    if (child < 0 || waitpid(child, &status, 0) != child)
        try_give_up("no process for the try");
    tries++;
    const char *wrong = judge(status, said);
    if (wrong != NULL && ++failed <= TOLD_MOST)
        (void)dprintf(report, "FAILED: request %lu%s of %lu, at %s+0x%tx: %s: %s\n", number,
                      all ? " and on" : "", requests, object, offset, wrong, said);
    if (getenv("FAULT_SHOW") != NULL)
        (void)dprintf(report, "%s+0x%tx %d\n", object, offset, status);
    return false;
}

int try_end(void) {
    (void)dprintf(report,
                  "%lu requests, %lu tries, %lu ended with 4, %lu did without, "
                  "%lu failed\n",
                  requests, tries, by_four, as_good, failed);
    return failed == 0 && by_four > 0 ? 0 : 1;
}
