/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What libFuzzer calls with one made-up input. Each fuzz_*.c defines it, and promises more than not
 * to crash: a law that a good input keeps. test_replay.c runs the seeds and all inputs that once
 * failed through the same functions in `make test`. */
#ifndef BALLASTRY_TESTS_FUZZ_H
#define BALLASTRY_TESTS_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A law is broken: say which, and stop where a debugger and libFuzzer see it. */
#define FUZZ_LAW(holds)                                                                            \
    do {                                                                                           \
        if (!(holds)) {                                                                            \
            (void)fprintf(stderr, "%s:%d: broken: %s\n", __FILE__, __LINE__, #holds);              \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

#endif
