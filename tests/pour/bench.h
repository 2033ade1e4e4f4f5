/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pours that several test programs start from. Figures are ours unless a test says otherwise. */
#ifndef BALLASTRY_TESTS_POUR_BENCH_H
#define BALLASTRY_TESTS_POUR_BENCH_H

#include "ballastry/pour.h"

#define ML 1e-6

static inline BlyFigure sure(double value) {
    return (BlyFigure){value, 0};
}

/* Resin by volume 1:1, both parts and the cured resin 1.05 g/cm3 (a casting resin's cured density
 * on a maker's page), in a mould of this volume; no filler. */
static inline BlyPour plain_pour(double mould_ml) {
    BlyPour pour = bly_pour_blank();
    pour.mould.volume = sure(mould_ml * ML);
    pour.resin.by_volume = 1;
    pour.resin.a_density = sure(1050);
    pour.resin.b_density = sure(1050);
    return pour;
}

/* The same with packed filler. */
static inline BlyPour packed_pour(double mould_ml, double filler_density, double packed) {
    BlyPour pour = plain_pour(mould_ml);
    pour.filler.density = sure(filler_density);
    pour.filler.packed = sure(packed);
    return pour;
}

#endif
