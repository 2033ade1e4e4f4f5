/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/browser.h"

#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

static bool said(const char *name) {
    const char *value = getenv(name);
    return value != NULL && value[0] != '\0';
}

/* The first of a list "one:two" that BROWSER may be, without arguments of its own: the file's name
 * goes in as one word, and no shell sees it. */
static const char *first_of(char *list) {
    list[strcspn(list, ":")] = '\0';
    return strpbrk(list, " %\t\n") == NULL ? list : NULL;
}

/* In a child of a child, which belongs to nobody and outlives us or not, as it likes. */
static _Noreturn void become(const char *program, const char *way) {
    sigset_t none;
    int nowhere = open("/dev/null", O_RDWR);
    (void)sigemptyset(&none);
    (void)sigprocmask(SIG_SETMASK, &none, NULL);
    if (nowhere < 0 || setsid() < 0 || fork() != 0)
        _exit(0);
    for (int i = 0; i < 3; i++)
        (void)dup2(nowhere, i);
    execlp(program, program, way, (char *)NULL);
    _exit(127);
}

/* A page that does nothing but lead to the address. The address is ours and needs no escaping. */
static bool write_way(const char *address, char file[BROWSER_FILE_MAX]) {
    const char *folder = said("TMPDIR") ? getenv("TMPDIR") : "/tmp";
    int n = snprintf(file, BROWSER_FILE_MAX, "%s/ballastry-XXXXXX", folder);
    int descriptor = n > 0 && n < BROWSER_FILE_MAX && folder[0] == '/' ? mkstemp(file) : -1;
    FILE *out = descriptor >= 0 ? fdopen(descriptor, "w") : NULL;
    if (out == NULL) {
        file[0] = '\0';
        return false;
    }
    (void)fprintf(out,
                  "<!doctype html><meta charset=\"utf-8\"><title>ballastry bench</title>\n"
                  "<meta http-equiv=\"refresh\" content=\"0; url=%s\">\n"
                  "<p><a href=\"%s\">To the bench</a></p>\n",
                  address, address);
    return fclose(out) == 0;
}

void browser_open(const char *address, char file[BROWSER_FILE_MAX]) {
    const char *program = NULL;
    char way[BROWSER_FILE_MAX + 8];
    char *list = said("BROWSER") ? strdup(getenv("BROWSER")) : NULL;
    file[0] = '\0';
    if (list != NULL)
        program = first_of(list);
    if (program == NULL && (said("DISPLAY") || said("WAYLAND_DISPLAY")))
        program = "xdg-open";
    if (program != NULL && write_way(address, file)) {
        (void)snprintf(way, sizeof way, "file://%s", file);
        pid_t child = fork();
        if (child == 0)
            become(program, way);
        if (child > 0)
            (void)waitpid(child, NULL, 0);
    }
    free(list);
}

void browser_forget(const char *file) {
    if (file[0] != '\0')
        (void)unlink(file);
}
