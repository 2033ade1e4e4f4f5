/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fence/fence.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

bool bly_fence_in(unsigned seconds) {
    static const int faults[] = {SIGSEGV, SIGBUS,  SIGFPE,  SIGILL, SIGABRT,
                                 SIGTRAP, SIGALRM, SIGXCPU, SIGPIPE};
    const struct rlimit time = {seconds, seconds}, none = {0, 0};
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++)
        (void)signal(faults[i], SIG_DFL);
    (void)setrlimit(RLIMIT_CPU, &time);
    (void)setrlimit(RLIMIT_CORE, &none);
    (void)alarm(3 * seconds);
    int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
    return nowhere >= 0 && dup2(nowhere, STDOUT_FILENO) >= 0 && dup2(nowhere, STDERR_FILENO) >= 0;
}

bool bly_fence_ended_well(pid_t child) {
    int status = 1;
    while (waitpid(child, &status, 0) < 0) {
        if (errno != EINTR) /* who started us ignores SIGCHLD: nobody keeps how it ended */
            return errno == ECHILD;
    }
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}
