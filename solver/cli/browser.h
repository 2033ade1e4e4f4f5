/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shows an address in the maker's browser, where there is one. */
#ifndef BALLASTRY_CLI_BROWSER_H
#define BALLASTRY_CLI_BROWSER_H

enum { BROWSER_FILE_MAX = 256 };

/* Starts $BROWSER, or xdg-open where there is a display; on a machine without either nothing
 * happens. Never waits, never prints, never fails. The address holds a key, and what a program is
 * started with can be seen by everyone on the machine: it goes into a file that only its owner may
 * read, and that sends the browser on. `file` is its path, "" for none, for browser_forget. */
void browser_open(const char *address, char file[BROWSER_FILE_MAX]);
void browser_forget(const char *file);

#endif
