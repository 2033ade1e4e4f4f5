/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

int main(void) {
    (void)fputs("ballastry: no command is built yet\n", stderr);
    return 2;
}
