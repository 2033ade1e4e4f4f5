/* SPDX-License-Identifier: GPL-3.0-or-later */
/* emscripten's declares no getrandom; solver/alone/stand_ins/random.c has it. */
#ifndef ALONE_SYS_RANDOM_H
#define ALONE_SYS_RANDOM_H

#include <sys/types.h>

int getentropy(void *bytes, size_t size);
ssize_t getrandom(void *bytes, size_t size, unsigned flags);

#endif
