/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Made-up tackle of any size for measurements: a lure with a line tie, three hangers, a lip of
 * sheet metal that may be filed, three strips cut to the millimetre, and wire wraps on each hook;
 * to hang level in three waters. Nothing here is a real part.
 *
 * `n` is the number of parts of each class: eyes, rings, hooks, snaps, plates. A chain at a hanger
 * is an eye, a ring whose wire goes through eye and hook, and a hook of the ring's size or a
 * neighbouring one; chains of equal mass (0.01 g) are bucketed, the cheapest kept. */
#ifndef BALLASTRY_TESTS_TACKLE_H
#define BALLASTRY_TESTS_TACKLE_H

#include "programme/programme.h"
#include "support/dice.h"

enum { TACKLE_HANGERS = 3, TACKLE_STRIPS = 3, TACKLE_WATERS = 3, TACKLE_WRAPS = 12 };
enum { TACKLE_STRIP_MM = 40, TACKLE_GROUPS = 11 };

/* Features of every column. */
enum {
    TACKLE_NET = 0,     /* per water, g */
    TACKLE_LOW = 3,     /* moment at 3 degrees nose-down, per water, g mm */
    TACKLE_HIGH = 6,    /* at 15 degrees */
    TACKLE_ROLL = 9,    /* per water, g mm */
    TACKLE_MIDDLE = 12, /* moment at 8 degrees in the first water */
    TACKLE_MARGIN = 13, /* g */
    TACKLE_FEATURES = 14
};

typedef struct TacklePart {
    double mass_g, price;
    double wire_mm, bore_mm; /* wire of rings and snaps, bore of eyes and hooks */
    int size;                /* of rings and hooks */
    double volume_cm3;
    /* plates */
    int footprint, material;
    double gauge_mm, range_mm, area_mm2, density;
} TacklePart;

typedef struct TackleOptions {
    double heavy_g; /* added to the body: hopeless from some 4 g */
    double dead;    /* dead zone in tolerances, 0.5 usually */
} TackleOptions;

typedef struct Tackle {
    size_t n;
    TacklePart *eyes, *rings, *hooks, *snaps, *plates;
    double hanger_x[TACKLE_HANGERS], strip_x[TACKLE_STRIPS];
    double body[TACKLE_FEATURES]; /* the body's own sums */
    TackleOptions options;
    Programme programme;
    ProgGroup groups[TACKLE_GROUPS];
    ProgRow rows[16];
    ProgTarget targets[2];
    double class_weight[3];
    ProgColumn *columns;
    double *numbers;
} Tackle;

/* The parts and the body. */
void tackle_make(Tackle *tackle, size_t n, uint64_t seed, const TackleOptions *options);
/* The rows and the columns: `programme` can be solved from here on. */
void tackle_build(Tackle *tackle);
void tackle_free(Tackle *tackle);

/* Features of a mass and volume at a point, `tolerance` as a share of the mass. */
void tackle_features(double mass_g, double volume_cm3, double x_mm, double z_mm, double tolerance,
                     double *f);
/* A strip of so many whole millimetres from its fixed end. */
void tackle_strip(const Tackle *tackle, size_t strip, size_t length_mm, double *f);
bool tackle_ring_fits_eye(const TacklePart *ring, const TacklePart *eye);
bool tackle_ring_fits_hook(const TacklePart *ring, const TacklePart *hook);

#define TACKLE_HANGER_Z (-8.0)
#define TACKLE_LIP_X 3.0
#define TACKLE_LIP_Z (-11.0)
#define TACKLE_TIE_X (-2.0)
#define TACKLE_TIE_Z 0.0
#define TACKLE_WIRE_TOLERANCE 0.008
#define TACKLE_WRAP_G 0.03
#define TACKLE_STEEL 7.85

#endif
