/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/browser.h"

#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

static bool said(const char *name) {
    const char *value = getenv(name);
    return value != NULL && value[0] != '\0';
}

/* The first of a list "one:two" that BROWSER may be, without arguments of its own: the address
 * goes in as one word, and no shell sees it. */
static const char *first_of(char *list) {
    list[strcspn(list, ":")] = '\0';
    return strpbrk(list, " %\t\n") == NULL ? list : NULL;
}

/* In a child of a child, which belongs to nobody and outlives us or not, as it likes. */
static _Noreturn void become(const char *program, const char *address) {
    sigset_t none;
    int nowhere = open("/dev/null", O_RDWR);
    (void)sigemptyset(&none);
    (void)sigprocmask(SIG_SETMASK, &none, NULL);
    if (nowhere < 0 || setsid() < 0 || fork() != 0)
        _exit(0);
    for (int i = 0; i < 3; i++)
        (void)dup2(nowhere, i);
    execlp(program, program, address, (char *)NULL);
    _exit(127);
}

void browser_open(const char *address) {
    const char *program = NULL;
    char *list = said("BROWSER") ? strdup(getenv("BROWSER")) : NULL;
    if (list != NULL)
        program = first_of(list);
    if (program == NULL && (said("DISPLAY") || said("WAYLAND_DISPLAY")))
        program = "xdg-open";
    if (program != NULL) {
        pid_t child = fork();
        if (child == 0)
            become(program, address);
        if (child > 0)
            (void)waitpid(child, NULL, 0);
    }
    free(list);
}
