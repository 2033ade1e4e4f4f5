/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lures on a line for the tests of tow. Masses and places are invented. */
#ifndef BALLASTRY_TESTS_TOW_LINES_H
#define BALLASTRY_TESTS_TOW_LINES_H

#include "ballastry/tow.h"
#include "rest/bench.h"

#define DEG(x) ((x)*0.017453292519943295)

static inline BlyTow *tow_of(const Bench *bench, BlyVec3 tie) {
    BlyTow *tow = NULL;
    must(bly_tow_make(&bench->lure, tie, &bench_tap, &tow, err));
    return tow;
}

static inline BlyTowRun run_of(const BlyTow *tow, const BlyTowModel *model, double speed) {
    BlyTowLine line = bly_tow_line_usual();
    BlyTowRun run;
    must(bly_tow_run(tow, model, speed, &line, &run, err));
    return run;
}

/* A speck of a body that weighs nothing in water and is left out of the flow: what hangs on it is
 * all there is. */
static inline void open_speck(Bench *bench) {
    BlyBodyFacts facts = kit_facts(bench_tap.density);
    bench_open(bench, kit_ellipsoid(0, 1e-3, 1e-3, 1e-3), &facts);
}

static inline BlyTowModel without_body(void) {
    BlyTowModel model = bly_tow_nominal();
    model.by[BLY_TOW_POTENTIAL] = model.by[BLY_TOW_CROSS] = model.by[BLY_TOW_AXIAL] = 0;
    return model;
}

/* A plate of `across` by `chord` with its normal (sin, 0, -cos) of `angle` and its middle at `at`;
 * it weighs nothing in water. */
static inline BlyItem *add_lip(Bench *bench, double across, double chord, double angle,
                               BlyVec3 at) {
    BlyItem *item = bench_add(bench, 0, 0, at);
    bench_plate(item, fmin(across, chord), angle, at);
    item->face_area = across * chord;
    item->face_across = across;
    item->face_aspect = fmax(across, chord) / fmin(across, chord);
    return item;
}

/* A minnow of 88 mm with hooks, leaden belly and a lip of 10 x 15 mm at 40 degrees below the nose;
 * net weight in water as asked for (kg). */
static inline BlyVec3 open_diver(Bench *bench, double net_weight, double chord, double across,
                                 double angle) {
    BlyBodyFacts facts = kit_facts(bench_minnow_density(net_weight));
    bench_minnow(bench, 0, &facts);
    BlyVec3 mouth = bly_vec(8e-3, 0, -4e-3);
    add_lip(bench, across, chord, angle,
            bly_vec(mouth.x - chord / 2 * cos(angle), 0, mouth.z - chord / 2 * sin(angle)));
    return bly_vec(-2.5e-3, 0, 0);
}

#endif
