/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of this room share; the public face is ballastry/tow.h. */
#ifndef BALLASTRY_TOW_PARTS_H
#define BALLASTRY_TOW_PARTS_H

#include "ballastry/sink.h"
#include "ballastry/tow.h"
#include "lure/blank.h"

/* The body as strips across x, summed up: all strips meet the same flow. Places are relative to the
 * tie, sizes as swollen. */
typedef struct TowBody {
    double length, diameter; /* m; of the circle of its greatest section */
    double front;            /* m2, seen from ahead */
    double axis;             /* m, height of that area's middle */
    double cross[2];         /* m2, m3: sum of eta Cz b dx, and of that times x */
    double potential[2];     /* m2, m3: the same of d(pi/4 b^2)/dx dx (k_up - k_along) up to x0 */
    double bluntest;         /* the blunter end's share, bly_body_blunt */
} TowBody;

bool tow_body_of(const BlyBlank *blank, BlyVec3 tie, const BlyWater *water, TowBody *out,
                 BlyError *err) BLY_MUST_CHECK;

typedef struct TowLip {
    double angle;        /* rad, its normal is (sin, 0, -cos) */
    double area, aspect; /* m2; width^2/area */
    double chord;        /* m, area/width */
    BlyVec3 middle;      /* m, relative to the tie */
    double stubby, size; /* long over short side, and the short one, m: for its force face on */
} TowLip;

typedef struct TowWire {
    double diameter, area;
    BlyVec3 at; /* m, relative to the tie */
} TowWire;

enum { TOW_LIPS = 4 };

struct BlyTow {
    BlyWater water;
    double net_weight;         /* kg */
    double moment_x, moment_z; /* kg m about the tie */
    TowBody body;
    TowLip lips[TOW_LIPS];
    size_t lip_count;
    TowWire *wires; /* owned; one of each diameter */
    size_t wire_count;
};

/* At one speed, what no attitude changes. */
typedef struct TowAt {
    const BlyTow *tow;
    const BlyTowModel *model;
    double speed, pressure; /* m/s; 1/2 density speed^2, Pa */
    double axial;           /* m2, Cd A of the body's friction */
    double wire;            /* m2, Cd A */
    BlyVec3 wire_moment;    /* m3, the same times its place */
    double face_on[TOW_LIPS];
} TowAt;

TowLip tow_lip_of(const BlyItem *item, BlyVec3 tie);

TowAt tow_at(const BlyTow *tow, const BlyTowModel *model, double speed);
BlyTowForce tow_force(const TowAt *at, double nose_down);

enum { TOW_ROOTS = 8 };
typedef struct TowRoots {
    double angle[TOW_ROOTS]; /* rad, falling roots of the couple, nearest to the flow first */
    size_t count;
} TowRoots;
TowRoots tow_roots(const TowAt *at);
/* The root that the lure is at when it has slowed down to the speed; NAN: none. */
double tow_followed(const BlyTow *tow, const BlyTowModel *model, double speed);
/* The falling root within 8 degrees of `guess`; NAN: none. */
double tow_root_near(const TowAt *at, double guess);
/* N m/rad, how fast the couple falls. */
double tow_stiffness(const TowAt *at, double angle);

unsigned tow_notes(const TowAt *at, const BlyTowRun *run);

#endif
