/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lures by chance for laws that hold whatever the lure: a body through chance stations, lumps with
 * wire and a lip about it. Seeded; sizes and masses are invented and only have to be sane. */
#ifndef BALLASTRY_TESTS_PROPERTIES_MADE_UP_H
#define BALLASTRY_TESTS_PROPERTIES_MADE_UP_H

#include "rest/bench.h"
#include "support/dice.h"

enum { MADE_STATIONS = 6, MADE_LUMPS_MOST = 5 };

typedef struct MadeLump {
    double mass, density; /* kg, kg/m3 */
    BlyVec3 at;
    double wire_area; /* m2; 0: no face */
} MadeLump;

/* All that a lure is made of, so that it can be mirrored or scaled before it is made. */
typedef struct MadeUp {
    BlyStation station[MADE_STATIONS];
    double density, munk; /* of the body */
    MadeLump lump[MADE_LUMPS_MOST];
    size_t lumps;
    bool has_lip;
    double lip_width, lip_angle, lip_mass;
    BlyVec3 lip_at;
    BlyWater water;
} MadeUp;

static inline BlyWater made_water(Dice *dice) {
    BlyWater water;
    double salt = dice_below(dice, 3) == 0 ? dice_between(dice, 0, 0.04) : 0;
    must(bly_water_at(dice_between(dice, 1, 35), salt, &water, err));
    return water;
}

static inline MadeUp made_up(Dice *dice) {
    MadeUp made = {.water = made_water(dice)};
    double length = dice_between(dice, 40e-3, 160e-3),
           girth = length * dice_between(dice, 0.1, 0.3);
    double x = 0, section = dice_between(dice, 1.6, 4);
    for (int i = 0; i < MADE_STATIONS; i++) {
        double share = (double)i / (MADE_STATIONS - 1), thick = sin(M_PI * (0.08 + 0.84 * share));
        double width = girth * thick * dice_between(dice, 0.5, 0.9);
        double height = girth * thick * dice_between(dice, 0.7, 1.3);
        made.station[i] =
            (BlyStation){x, width, height, girth * dice_between(dice, -0.1, 0.1), section};
        x += length / (MADE_STATIONS - 1) *
             (i < MADE_STATIONS - 2 ? dice_between(dice, 0.8, 1.2) : 1);
    }
    if (dice_below(dice, 2) == 0) /* a pointed nose instead of a flat face */
        made.station[0].width = made.station[0].height = 0;
    made.density = dice_between(dice, 250, 1000);
    made.munk = dice_between(dice, 0, 1);
    made.lumps = 1 + dice_below(dice, MADE_LUMPS_MOST);
    double scale = pow(length / 90e-3, 3);
    for (size_t i = 0; i < made.lumps; i++) {
        MadeLump *lump = &made.lump[i];
        lump->mass = scale * dice_between(dice, 0.1e-3, 3e-3);
        lump->density = dice_between(dice, 1500, 11300);
        lump->at = bly_vec(dice_between(dice, -0.05, 1.05) * length, 0,
                           girth * dice_between(dice, -0.9, 0.2));
        lump->wire_area = length * length * dice_between(dice, 1e-3, 6e-3);
        if (dice_below(dice, 2) == 0)
            lump->wire_area = 0;
    }
    made.has_lip = dice_below(dice, 2) == 0;
    made.lip_width = length * dice_between(dice, 0.08, 0.2);
    made.lip_angle = dice_between(dice, 0.2, 1.4);
    made.lip_mass = scale * dice_between(dice, 0.2e-3, 1.5e-3);
    made.lip_at = bly_vec(-0.03 * length, 0, -0.6 * girth);
    return made;
}

/* What the dice made, as a lure of the tests of rest. */
static inline void made_open(const MadeUp *made, Bench *bench) {
    BlyBody *body = NULL;
    must(bly_body_from_stations(made->station, MADE_STATIONS, &body, err));
    BlyBodyFacts facts = kit_facts(made->density);
    facts.munk_factor.value = made->munk;
    bench_open(bench, body, &facts);
    double length = made->station[MADE_STATIONS - 1].x - made->station[0].x;
    for (size_t i = 0; i < made->lumps; i++) {
        const MadeLump *lump = &made->lump[i];
        BlyItem *item = bench_add(bench, lump->mass, lump->density, lump->at);
        if (lump->wire_area > 0)
            bench_wire(item, 0.01 * length, lump->wire_area);
    }
    if (made->has_lip) {
        BlyItem *lip = bench_add(bench, made->lip_mass, 1200, made->lip_at);
        bench_plate(lip, made->lip_width, made->lip_angle, made->lip_at);
    }
}

static inline BlyOutcome made_rest(const Bench *bench, const BlyWater *water) {
    BlyOutcome out;
    must(bly_rest_under_water(&bench->lure, water, &out, err));
    return out;
}

#endif
