/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Put before a program with LD_PRELOAD: asks for the locale of the environment, as a program with a
 * window does that links the library. ballastry itself never asks, so that its own locale is C. */
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

__attribute__((constructor)) static void ask(void) {
    char text[8];
    const char *locale = setlocale(LC_ALL, "");
    (void)snprintf(text, sizeof text, "%.1f", 0.5);
    if (locale == NULL || strcmp(text, "0,5") != 0)
        exit(99); /* no comma locale: the test would prove nothing */
}
