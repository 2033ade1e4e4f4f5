/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain bodies with closed forms and invented parts for the tests of lure and rest. */
#ifndef BALLASTRY_TESTS_LURE_KIT_H
#define BALLASTRY_TESTS_LURE_KIT_H

#include "ballastry/loft.h"
#include "lure/blank.h"
#include "support/check.h"

#include <gsl/gsl_math.h>

/* Fails the test with the error's text unless `call` is true. */
#define must(call)                                                                                 \
    do {                                                                                           \
        BlyError must_err_ = {0};                                                                  \
        BlyError *err = &must_err_;                                                                \
        if (!(call))                                                                               \
            fail_msg("%s: %s", must_err_.where, must_err_.text);                                   \
    } while (0)

/* Along one parabola of the squares of width and height: a spheroid, exact with three stations. */
static inline BlyBody *kit_ellipsoid(double x, double length, double width, double height) {
    BlyStation stations[3] = {
        {x, 0, 0, 0, 2}, {x + length / 2, width, height, 0, 2}, {x + length, 0, 0, 0, 2}};
    BlyBody *body = NULL;
    must(bly_body_from_stations(stations, 3, &body, err));
    return body;
}

static inline BlyBody *kit_cylinder(double x, double length, double diameter) {
    BlyStation stations[2] = {{x, diameter, diameter, 0, 2},
                              {x + length, diameter, diameter, 0, 2}};
    BlyBody *body = NULL;
    must(bly_body_from_stations(stations, 2, &body, err));
    return body;
}

static inline BlyBodyFacts kit_facts(double density) {
    return (BlyBodyFacts){.density = {density, 0},
                          .mass = {NAN, 0},
                          .balance = {NAN, 0},
                          .balance_up = {NAN, 0},
                          .volume_share = {1, 0},
                          .expansion = {NAN, 0},
                          .reference_t = 20,
                          .drag_factor = {1, 0},
                          .munk_factor = {0, 0}};
}

static inline BlyBlank kit_blank(const BlyBody *body, const BlyBodyFacts *facts) {
    BlyBlank blank;
    must(bly_blank_make(body, facts, NULL, 0, NULL, NULL, &blank, err));
    return blank;
}

static inline BlySeat kit_seat(BlySeatKind kind, BlySeatSide side, double from, double to) {
    static char name[] = "seat";
    return (BlySeat){.name = name,
                     .kind = kind,
                     .side = side,
                     .x_from = from,
                     .x_to = to,
                     .step = 1e-3,
                     .depth = 0,
                     .length_from = NAN,
                     .length_to = NAN,
                     .gap = NAN,
                     .width = NAN};
}

/* Parts of steel, 7850 kg/m3, give 5 % of the mass. */
static inline BlyPart kit_part(BlyPartKind kind, double mass) {
    static char id[] = "piece", style[] = "treble";
    BlyPart part = bly_part_blank(kind);
    part.id = part.name = id;
    part.style = style;
    part.density = (BlyFigure){7850, 0};
    part.mass = (BlyFigure){mass, 0.05 * mass};
    part.volume = mass / 7850;
    return part;
}

/* 0.4 g, of which 0.25 g in the shank. */
static inline BlyPart kit_eye(void) {
    BlyPart eye = kit_part(BLY_PART_EYE, 0.4e-3);
    eye.shank_mass = 0.25e-3;
    eye.shank_volume = 0.25e-3 / 7850;
    eye.volume = 0.15e-3 / 7850;
    eye.wire = 1e-3;
    eye.outer = 5e-3;
    eye.bore = 3e-3;
    eye.length = 10e-3;
    return eye;
}

static inline BlyPart kit_ring(void) {
    BlyPart ring = kit_part(BLY_PART_RING, 0.1e-3);
    ring.wire = 0.7e-3;
    ring.outer = 6e-3;
    ring.passes = 1.4e-3;
    return ring;
}

static inline BlyPart kit_hook(double mass) {
    BlyPart hook = kit_part(BLY_PART_HOOK, mass);
    hook.wire = 0.9e-3;
    hook.bore = 1.6e-3;
    hook.length = 18e-3;
    hook.shank = 8e-3;
    hook.gape = 6e-3;
    return hook;
}

static inline size_t kit_items(const BlyBlank *blank, const BlySeat *seat, const BlyChoice *choice,
                               BlyItem items[BLY_CHOICE_ITEMS]) {
    size_t count = 0;
    must(bly_choice_items(blank, seat, 3, choice, items, &count, err));
    return count;
}

static inline const BlyItem *kit_find(const BlyItem *items, size_t count, BlyPartKind kind,
                                      BlyItemKind what) {
    for (size_t i = 0; i < count; i++) {
        if (items[i].part && items[i].part->kind == kind && items[i].kind == what)
            return &items[i];
    }
    fail_msg("no item of part kind %d", kind);
    return NULL;
}

#endif
