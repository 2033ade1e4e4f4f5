/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fit as the person at the terminal sees it: after half a second a line on standard error says
 * what is looked at and how good the best is, and vanishes at the end; on Ctrl-C the fit ends with
 * the best so far, on a second one the program. One fit at a time. */
#ifndef BALLASTRY_CLI_WATCH_H
#define BALLASTRY_CLI_WATCH_H

#include "ballastry/fit.h"
#include "build/build.h"

/* Sets options->stop and options->progress. The line is left out where standard error is no
 * terminal. */
void watch_begin(BlyFitOptions *options);
/* Wipes the line off; Ctrl-C ends the program again. */
void watch_end(void);

#endif
