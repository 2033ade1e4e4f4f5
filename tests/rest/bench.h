/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lures for the tests of rest: bodies with closed forms and lumps put where a test wants them.
 * Masses and places are invented. */
#ifndef BALLASTRY_TESTS_REST_BENCH_H
#define BALLASTRY_TESTS_REST_BENCH_H

#include "ballastry/rest.h"
#include "lure/kit.h"

static const BlyWater bench_tap = {
    .temperature = 20, .salinity = 0, .density = 998.2067, .viscosity = 1.001567e-3};

/* A lure of a blank and lumps that a test adds by hand. */
typedef struct Bench {
    BlyBody *body;
    BlyBlank blank;
    BlyLure lure;
} Bench;

enum { BENCH_ROOM = 24 };

/* Takes the body. */
static inline void bench_open(Bench *bench, BlyBody *body, const BlyBodyFacts *facts) {
    bench->body = body;
    bench->blank = kit_blank(body, facts);
    bench->lure = (BlyLure){.blank = &bench->blank};
    bench->lure.items = calloc(BENCH_ROOM, sizeof *bench->lure.items);
    assert_non_null(bench->lure.items);
    for (size_t i = 0; i < bench->blank.item_count; i++)
        bench->lure.items[bench->lure.count++] = bench->blank.items[i];
}

static inline void bench_close(Bench *bench) {
    bly_lure_release(&bench->lure);
    bly_blank_release(&bench->blank);
    bly_body_free(bench->body);
}

static inline BlyItem *bench_add(Bench *bench, double mass, double density, BlyVec3 at) {
    assert_true(bench->lure.count < BENCH_ROOM);
    BlyItem *item = &bench->lure.items[bench->lure.count++];
    *item = (BlyItem){.kind = BLY_ITEM_PART,
                      .at = at,
                      .from = at,
                      .to = at,
                      .mass = mass,
                      .volume = density > 0 ? mass / density : 0};
    return item;
}

static inline void bench_wire(BlyItem *item, double diameter, double area) {
    item->face = BLY_FACE_WIRE;
    item->face_size = diameter;
    item->face_area = area;
    item->face_at = item->at;
}

/* A lip of area `width` squared, `angle` below the axis, centre at `at`. */
static inline void bench_plate(BlyItem *item, double width, double angle, BlyVec3 at) {
    item->face = BLY_FACE_PLATE;
    item->face_size = width;
    item->face_aspect = 1;
    item->face_area = width * width;
    item->face_normal = bly_vec(sin(angle), 0, -cos(angle));
    item->face_at = at;
}

static inline BlyOutcome bench_rest(const Bench *bench, const BlyWater *water) {
    BlyOutcome out;
    must(bly_rest(&bench->lure, water, &out, err));
    return out;
}

/* Minnow of 88 x 13 x 17 mm with two hooks and a leaden belly; sinks slowly. */
static inline void bench_minnow(Bench *bench, double x, const BlyBodyFacts *facts) {
    bench_open(bench, kit_ellipsoid(x, 88e-3, 13e-3, 17e-3), facts);
    bench_wire(bench_add(bench, 0.9e-3, 7850, bly_vec(x + 30e-3, 0, -12e-3)), 0.9e-3, 40e-6);
    bench_wire(bench_add(bench, 0.6e-3, 7850, bly_vec(x + 90e-3, 0, -1e-3)), 0.8e-3, 30e-6);
    bench_add(bench, 1.2e-3, 11340, bly_vec(x + 40e-3, 0, -8e-3));
}

/* Body density at which the minnow weighs this (kg) in the bench's water. */
static inline double bench_minnow_density(double net_weight) {
    double volume = M_PI / 6 * 88e-3 * 13e-3 * 17e-3, rho = bench_tap.density;
    double hung = 1.5e-3 * (1 - rho / 7850) + 1.2e-3 * (1 - rho / 11340);
    return (net_weight - hung) / volume + rho;
}

#endif
