/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lures for the tests of balance, put together by hand as lists of items. */
#ifndef BALLASTRY_TESTS_BALANCE_LURES_H
#define BALLASTRY_TESTS_BALANCE_LURES_H

#include "ballastry/balance.h"
#include "ballastry/loft.h"
#include "lure/blank.h"
#include "support/check.h"

#ifndef M_PI
#define M_PI 3.14159265358979323846
#endif

enum { TEST_ITEMS = 24, TEST_STATIONS = 41 };

typedef struct TestLure {
    BlyBlank blank;
    BlyItem items[TEST_ITEMS];
    BlyLure lure;
} TestLure;

static inline BlyWater water_of(double density) {
    return (BlyWater){.temperature = 20, .density = density, .viscosity = 1.002e-3};
}

/* Adds a lump of mass and displaced volume at a point. */
static inline BlyItem *add_lump(TestLure *test, double mass, double volume, BlyVec3 at) {
    assert_true(test->lure.count < TEST_ITEMS);
    BlyItem *item = &test->items[test->lure.count++];
    *item = (BlyItem){.kind = BLY_ITEM_PART,
                      .seat = -1,
                      .mass = mass,
                      .at = at,
                      .volume = volume,
                      .from = at,
                      .to = at};
    return item;
}

/* Adds what hangs from a point, evenly between two distances below it. */
static inline void add_hanging(TestLure *test, double mass, double volume, BlyVec3 at,
                               double hang_from, double hang_to) {
    BlyItem *item = add_lump(test, mass, volume, at);
    item->hangs = true;
    item->hang_from = hang_from;
    item->hang_to = hang_to;
}

static inline void lure_start(TestLure *test, const BlyStation *stations, size_t count) {
    BlyError err = {BLY_OK, "", ""};
    *test = (TestLure){.lure = {.count = 0}};
    if (!bly_body_from_stations(stations, count, &test->blank.hull, &err))
        fail_msg("%s: %s", err.where, err.text);
    const BlySolid *solid = bly_body_solid(test->blank.hull);
    test->blank.bare = test->blank.hull;
    test->blank.hull_volume = solid->volume;
    test->blank.hull_centroid = solid->centroid;
    test->blank.facts.expansion.value = NAN;
    test->blank.facts.reference_t = 20;
    test->lure.blank = &test->blank;
    test->lure.items = test->items;
}

/* The body itself, of one material of this density. */
static inline void add_body(TestLure *test, double density) {
    BlyItem *item = add_lump(test, density * test->blank.hull_volume, 0, test->blank.hull_centroid);
    item->kind = BLY_ITEM_BODY;
}

static inline void lure_end(TestLure *test) {
    bly_body_free(test->blank.hull);
}

/* A body of the same section all along. */
static inline void start_prism(TestLure *test, double length, double width, double height,
                               double exponent) {
    BlyStation station[2] = {{0, width, height, 0, exponent}, {length, width, height, 0, exponent}};
    lure_start(test, station, 2);
}

/* Half axes: a along x, b across, c up and down. Exact, for squares are interpolated. */
static inline void start_ellipsoid(TestLure *test, double a, double b, double c) {
    BlyStation station[TEST_STATIONS];
    for (int i = 0; i < TEST_STATIONS; i++) {
        double u = 2.0 * i / (TEST_STATIONS - 1) - 1, k = sqrt(1 - u * u);
        station[i] = (BlyStation){a * (1 + u), 2 * b * k, 2 * c * k, 0, 2};
    }
    lure_start(test, station, TEST_STATIONS);
}

/* Apex at the nose. */
static inline void start_cone(TestLure *test, double height, double radius) {
    BlyStation station[TEST_STATIONS];
    for (int i = 0; i < TEST_STATIONS; i++) {
        double u = (double)i / (TEST_STATIONS - 1);
        station[i] = (BlyStation){height * u, 2 * radius * u, 2 * radius * u, 0, 2};
    }
    lure_start(test, station, TEST_STATIONS);
}

/* A made-up minnow: fuller in front, belly deeper than back. */
static inline void start_minnow(TestLure *test, double length, double width, double height) {
    BlyStation station[TEST_STATIONS];
    for (int i = 0; i < TEST_STATIONS; i++) {
        double u = (double)i / (TEST_STATIONS - 1);
        double k = sqrt(u * (1 - u)) * 2 * (1.15 - 0.35 * u);
        station[i] =
            (BlyStation){length * u, width * k, height * k, -0.08 * height * sin(M_PI * u), 2.2};
    }
    lure_start(test, station, TEST_STATIONS);
}

/* A box that stands on end (x up or down), `breadth` along y. Its section is a superellipse of
 * exponent 20 with the area of the box's and the same second moment of breadth, which is all that
 * counts for draft and roll while the surface crosses the walls alone. Areas and moments of
 * superellipses are Dirichlet integrals, in closed form by the gamma function. */
static inline void start_standing_box(TestLure *test, double depth, double breadth, double length) {
    const double n = 20;
    double area = tgamma(1 + 1 / n) * tgamma(1 + 1 / n) / tgamma(1 + 2 / n);
    double spread = tgamma(1 + 3 / n) * tgamma(1 + 2 / n) / (tgamma(1 + 4 / n) * tgamma(1 + 1 / n));
    start_prism(test, depth, breadth / sqrt(spread), length * sqrt(spread) / area, n);
}

#endif
