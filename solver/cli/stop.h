/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ended from outside between two lines, never within one: on SIGINT, SIGTERM or SIGHUP the line
 * that is being written is finished, then the program ends by that signal. A second one ends it at
 * once. What the caller has set to be ignored stays ignored. */
#ifndef BALLASTRY_CLI_STOP_H
#define BALLASTRY_CLI_STOP_H

#include <stdbool.h>

void stop_watch(void);

/* Around the writing of one line, by one thread at a time. False: the program is ending, write
 * nothing. */
bool stop_line_begins(void);
void stop_line_ends(void);

#endif
