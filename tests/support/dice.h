/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Seeded random numbers for made-up instances: SplitMix64 (Steele, Lea and Flood, "Fast splittable
 * pseudorandom number generators", OOPSLA 2014), the same on every machine. */
#ifndef BALLASTRY_TESTS_DICE_H
#define BALLASTRY_TESTS_DICE_H

#include <stddef.h>
#include <stdint.h>

typedef struct Dice {
    uint64_t state;
} Dice;

static inline uint64_t dice_next(Dice *dice) {
    uint64_t z = dice->state += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

/* In [lo, hi). */
static inline double dice_between(Dice *dice, double lo, double hi) {
    return lo + (hi - lo) * ((double)(dice_next(dice) >> 11) * 0x1p-53);
}

/* In 0 .. n-1. */
static inline size_t dice_below(Dice *dice, size_t n) {
    return (size_t)(dice_next(dice) % n);
}

/* In [lo, hi), rounded to whole steps. */
static inline double dice_stepped(Dice *dice, double lo, double hi, double step) {
    return step * (double)(int64_t)(dice_between(dice, lo, hi) / step + 0.5);
}

#endif
