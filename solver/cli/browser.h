/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shows an address in the maker's browser, where there is one. */
#ifndef BALLASTRY_CLI_BROWSER_H
#define BALLASTRY_CLI_BROWSER_H

/* Starts $BROWSER, or xdg-open where there is a display; on a machine without either nothing
 * happens. Never waits, never prints, never fails. */
void browser_open(const char *address);

#endif
