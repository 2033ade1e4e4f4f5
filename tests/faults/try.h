/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One try of a command that is denied memory: a forked process with files, output and open
 * descriptors of its own, and the judgement of how it ended.
 *
 * Allowed are exit 4 with one line and no file but a whole one (memory may run out behind it), or,
 * where the system's own library gets by without (a smaller buffer), the very output and files of
 * the good run. No signal, no half file, no leak, and the files it found as they were. */
#ifndef BALLASTRY_TESTS_TRY_H
#define BALLASTRY_TESTS_TRY_H

#include <stdbool.h>
#include <stddef.h>

/* FOLDER/in holds what the command finds; all else below FOLDER is made here. */
void try_begin(const char *folder);
/* True in a forked process in which the command is to run well; later false in the first one. */
bool try_good_run(void);
void try_say_requests(unsigned long requests);
unsigned long try_requests(void);

/* True in the forked process that is to be denied its request of this number (`all`: and those
 * behind it), made at an offset of an object; false in the first one, once the other has ended and
 * is judged. */
bool try_fork(unsigned long number, bool all, const char *object, ptrdiff_t offset);
void try_say_leak(size_t blocks, const char *object, ptrdiff_t offset);

/* Prints the sums on the first process's standard output; the exit status of all. */
int try_end(void);
int try_report(void); /* descriptor of that output */
void try_give_up(const char *why);

#endif
