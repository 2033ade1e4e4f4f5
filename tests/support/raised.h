/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plainest way to stop a search: a flag that anyone may raise. */
#ifndef BALLASTRY_TESTS_RAISED_H
#define BALLASTRY_TESTS_RAISED_H

#include <stdatomic.h>
#include <stdbool.h>

static inline bool raised(void *flag) {
    return atomic_load((atomic_bool *)flag);
}

#endif
