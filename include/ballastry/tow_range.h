/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a run on the line is: the build's own gives and what the model does not know, drawn
 * together; what a change does, by draws that both sides share. docs/tow.md. */
#ifndef BALLASTRY_TOW_RANGE_H
#define BALLASTRY_TOW_RANGE_H

#include "ballastry/build.h"
#include "ballastry/tow.h"

BLY_API_BEGIN

enum { BLY_TOW_SPEEDS_MAX = 8, BLY_TOW_DRAWS = 200 };

typedef struct BlyTowAsk {
    double speeds[BLY_TOW_SPEEDS_MAX]; /* m/s */
    size_t speed_count;
    size_t change_at; /* index of the speed at which changes are looked at */
    BlyTowLine line;
    size_t draws; /* 20 to 10,000; 0: BLY_TOW_DRAWS */
    unsigned long seed;
} BlyTowAsk;

/* The model for lures of this build: as bly_tow_nominal, with what the water taught ("learnt"/"tow"
 * of the build). */
BlyTowModel bly_tow_model(const BlyBuild *build);

/* 0.5, 1 and 1.5 m/s on bly_tow_line_usual; changes are looked at at 1 m/s. */
BlyTowAsk bly_tow_usual(void);

typedef struct BlyTowRange {
    double nominal;
    double low, high; /* 5 and 95 of 100 draws */
    /* What may be said: the same, but never closer about the nominal one than a third (nose-down: 5
     * degrees; draws under: a factor of 1.5), for the line's own drag and the wobble, which are not
     * drawn. */
    double said_low, said_high;
} BlyTowRange;

typedef struct BlyTowAt {
    BlyTowRun run;                           /* nominal */
    double share[BLY_TOW_STATES];            /* of the draws */
    BlyTowRange nose_down;                   /* rad; of the draws that lie somehow */
    BlyTowRange pull, depth, cast, near_rod; /* N, m; as in BlyTowRun; cast has no lower side */
} BlyTowAt;

typedef struct BlyTowed {
    BlyTowAt at[BLY_TOW_SPEEDS_MAX]; /* as asked */
    size_t count;
    double net_weight;       /* kg, nominal */
    BlyTowRange draws_under; /* m/s, as bly_tow_draws_under */
    double floats;           /* share of draws that are lighter than water */
    BlyTowLine line;
    size_t draws;
} BlyTowed;

/* A build's lure with a rig in its own water. Errors: those of lure, tow and uncertain; BLY_E_RANGE
 * for the asking ("/speed", "/draws"). */
bool bly_towed(const BlyBuild *build, const BlyRig *rig, const BlyTowAsk *ask, BlyTowed *out,
               BlyError *err) BLY_MUST_CHECK;

/* What has become of one figure, draw by draw. */
typedef struct BlyTowChange {
    double middle, low, high; /* factor (nose-down: difference, rad): median, 5 and 95 of 100 */
    double more, less;        /* share of draws */
    int sign; /* 1 or -1 where 95 of 100 draws share it and it is worth 2 % (half a degree), else 0
               */
} BlyTowChange;

typedef struct BlyTowEffect {
    bool possible; /* false: there is no lip, hook, .. to change; all else is 0 */
    BlyTowChange depth, pull, nose_down;
} BlyTowEffect;

/* Two rigs of one build: what the second is to the first. */
bool bly_tow_compare(const BlyBuild *build, const BlyRig *from, const BlyRig *to,
                     const BlyTowAsk *ask, BlyTowEffect *out, BlyError *err) BLY_MUST_CHECK;

typedef enum BlyTowLever {
    BLY_TOW_LIP_LONGER,   /* 4 mm */
    BLY_TOW_LIP_WIDER,    /* 2 mm */
    BLY_TOW_LIP_FLATTER,  /* 10 degrees nearer to the body's axis */
    BLY_TOW_TIE_LOWER,    /* 2 mm */
    BLY_TOW_HOOKS_LARGER, /* each by one size of its style that the catalog has */
    BLY_TOW_LINE_THINNER, /* 0.20 mm */
    BLY_TOW_LEVERS,
    /* What makers try besides (docs/on-the-water.md), of bly_tow_effects alone. */
    BLY_TOW_LIP_SHORTER = BLY_TOW_LEVERS + 1, /* 3 mm */
    BLY_TOW_LIP_NARROWER,                     /* 2 mm */
    BLY_TOW_LIP_STEEPER,                      /* 10 degrees further from the body's axis */
    BLY_TOW_TIE_FORWARD,                      /* 2 mm, and 2 mm lower */
    BLY_TOW_METAL_FORWARD,                    /* surface metal 5 mm, as far as its seat goes */
    BLY_TOW_METAL_MORE,                       /* one layer or dot more at each patch that has any */
    BLY_TOW_REAR_HOOK_LARGER,                 /* the last one, by one size of its style */
    BLY_TOW_LINE_LONGER,                      /* half as much again, the rod's tip at 0.3 m */
    BLY_TOW_CHANGES
} BlyTowLever;
const char *bly_tow_lever_words(BlyTowLever lever); /* "4 mm more lip" */

/* What each of them would do to the lure, whether its seats allow it or not. */
bool bly_tow_levers(const BlyBuild *build, const BlyRig *rig, const BlyTowAsk *ask,
                    BlyTowEffect out[BLY_TOW_LEVERS], BlyError *err) BLY_MUST_CHECK;

/* The same of any of them. */
bool bly_tow_effects(const BlyBuild *build, const BlyRig *rig, const BlyTowAsk *ask,
                     const BlyTowLever *levers, size_t count, BlyTowEffect *out,
                     BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
