/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The day on which something was read: the one thing that a file is given which is not in the
 * input. SOURCE_DATE_EPOCH (reproducible-builds.org, specification 1.1) puts another in its place.
 */
#ifndef BALLASTRY_DESK_TODAY_H
#define BALLASTRY_DESK_TODAY_H

enum { TODAY_MAX = 11 }; /* "2024-05-17" */

/* Returns out; "" where the system knows no day. */
const char *desk_today(char out[TODAY_MAX]);

#endif
