/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A process of its own for libraries that end the whole process where they get no memory, print, or
 * read and write where they may not: what happens to it happens to nobody else. Who forks one says
 * how its work comes back. */
#ifndef BALLASTRY_FENCE_FENCE_H
#define BALLASTRY_FENCE_FENCE_H

#include "ballastry/error.h"

#include <sys/types.h>

/* In the new process, first of all: faults end it and nothing else, nothing is printed, no core is
 * left behind, and it ends after so many seconds of the processor, or three times as many in all.
 * False where its output cannot be turned away: then it should end. */
bool bly_fence_in(unsigned seconds) BLY_MUST_CHECK;

/* In the old one: waits for its end. True when it ended with exit 0, or when the system does not
 * tell (SIGCHLD ignored); so what came back must be looked at too. */
bool bly_fence_ended_well(pid_t child) BLY_MUST_CHECK;

#endif
