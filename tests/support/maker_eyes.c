/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Eyes: by strength, in wood that holds them. */
#include "support/maker.h"

#include <math.h>
#include <string.h>

static bool is_twisted(const BlyPart *eye) {
    return strcmp(eye->style, "twisted") == 0;
}

/* Wires by length, mm, and one step more from a mass. A length within a millimetre of a border and
 * a border between the two masses are open: then two wires are right. */
static void wires_for(const MakerCase *c, bool twisted, double out[2]) {
    static const double screw[][2] = {{60, 0.8},  {90, 1.0},   {120, 1.3},
                                      {150, 1.6}, {180, 1.83}, {INFINITY, 2.34}};
    static const double twist[][2] = {{60, 0.8}, {100, 1.04}, {170, 1.3}, {INFINITY, 1.57}};
    const double(*rows)[2] = twisted ? twist : screw;
    int last = twisted ? 3 : 5;
    for (int k = 0; k < 2; k++) {
        double length = c->length + (k == 0 ? -1 : 1), mass = k == 0 ? c->mass_least : c->mass_most;
        int i = 0;
        while (length > rows[i][0])
            i++;
        if (!twisted && mass >= 28 && i < last)
            i++;
        if (twisted && mass >= 85)
            i = last;
        out[k] = rows[i][1];
    }
}

/* The least wood across a shank that begins at the skin and runs into the body, mm, from 3 mm below
 * the skin to its tip; and how far the tip stays from the far skin. Straight in: aft from the nose,
 * forward from the tail, up from the belly, down from the back. */
typedef struct Wood {
    double least, beyond;
} Wood;

static double across(const BlyBody *body, BlyVec3 p, bool upright) {
    double width = 2 * bly_body_half_width(body, p.x, p.z);
    if (upright)
        return width * 1e3;
    BlySection s;
    if (!bly_body_section(body, p.x, &s))
        return 0;
    return fmin(width, s.back - s.belly) * 1e3;
}

static Wood wood_about(const MakerCase *c, size_t seat, double x, double shank) {
    const BlySeat *at = &c->build->seats[seat];
    const BlyBody *body = c->build->shape;
    BlyVec3 from = bly_seat_surface(&c->build->blank, at, x);
    bool upright = at->side == BLY_AT_BELLY || at->side == BLY_AT_BACK;
    double sign = at->side == BLY_AT_TAIL || at->side == BLY_AT_BACK ? -1 : 1;
    Wood wood = {INFINITY, INFINITY};
    for (int i = 0; i <= 60; i++) {
        double s = shank * i / 60;
        if (s < 3e-3)
            continue;
        BlyVec3 p = from;
        *(upright ? &p.z : &p.x) += sign * s;
        wood.least = fmin(wood.least, across(body, p, upright));
    }
    BlySection section;
    if (upright && bly_body_section(body, x, &section)) {
        double far = at->side == BLY_AT_BELLY ? section.back : section.belly;
        wood.beyond = (sign * (far - from.z) - shank) * 1e3;
    }
    return wood;
}

/* No screw in balsa, cork or foam: common practice, no source. Cork is some 0.24 g/cm3, the next
 * wood, paulownia, 0.28; between them either will do. */
static MakerWord holds_a_screw(const MakerCase *c) {
    double density = c->build->blank.body_density * 1e-3;
    return density < 0.24 ? MAKER_BROKEN : density < 0.27 ? MAKER_OPEN : MAKER_KEPT;
}

/* How an eye's shank stands in the wood of its seat. Five of a hundred are open: the words give
 * "a third" and no way to measure a round tail. */
static MakerWord stands(const MakerCase *c, size_t seat, double x, const BlyPart *eye) {
    Wood wood = wood_about(c, seat, x, eye->length);
    double wire = eye->wire * 1e3;
    MakerWord about = is_twisted(eye) ? maker_at_most(2 * wire, 0.45 * wood.least, 0.05)
                                      : maker_at_most(wire, wood.least / 3, 0.05);
    MakerWord tip = wood.beyond < 1.2 ? MAKER_BROKEN : wood.beyond < 1.8 ? MAKER_OPEN : MAKER_KEPT;
    if (!is_twisted(eye) && holds_a_screw(c) > about)
        about = holds_a_screw(c);
    return about > tip ? about : tip;
}

static bool same_wire(const BlyPart *a, const BlyPart *b) {
    return fabs(a->wire - b->wire) < 1e-6;
}

static bool same_sort(const BlyPart *a, const BlyPart *b) {
    return strcmp(a->style, b->style) == 0 && strcmp(a->material, b->material) == 0;
}

/* How well the best eye of this sort and wire would stand there. */
static MakerWord best_of_wire(const MakerCase *c, size_t seat, double x, const BlyPart *like,
                              double wire_mm) {
    MakerWord best = MAKER_BROKEN;
    for (size_t i = 0; i < c->catalog->part_count; i++) {
        const BlyPart *p = &c->catalog->parts[i];
        if (p->kind != BLY_PART_EYE || !same_sort(p, like) || fabs(p->wire * 1e3 - wire_mm) > 0.005)
            continue;
        MakerWord word = stands(c, seat, x, p);
        best = word < best ? word : best;
    }
    return best;
}

static MakerWord wire_word(const MakerCase *c, size_t seat, double x, const BlyPart *eye) {
    double wires[2], wire = eye->wire * 1e3;
    wires_for(c, is_twisted(eye), wires);
    bool first = fabs(wire - wires[0]) < 0.005, second = fabs(wire - wires[1]) < 0.005;
    if (first && second)
        return MAKER_KEPT;
    if (first || second)
        return MAKER_OPEN;
    if (wire > wires[1])
        return MAKER_BROKEN;
    /* Thinner: only where the place forbids the usual wire; alike everywhere, so any place does. */
    MakerWord usual = best_of_wire(c, seat, x, eye, wires[0]);
    for (size_t i = 0; i < c->rig->count; i++)
        if (c->rig->at[i].of[BLY_PART_EYE].part != NULL &&
            best_of_wire(c, i, c->rig->at[i].x, eye, wires[0]) != MAKER_KEPT)
            usual = MAKER_OPEN;
    return usual == MAKER_KEPT ? MAKER_BROKEN : MAKER_OPEN;
}

/* The longest shank that fits, of this sort and wire. */
static MakerWord shank_word(const MakerCase *c, size_t seat, double x, const BlyPart *eye) {
    MakerWord word = MAKER_KEPT;
    for (size_t i = 0; i < c->catalog->part_count; i++) {
        const BlyPart *p = &c->catalog->parts[i];
        if (p->kind != BLY_PART_EYE || !same_sort(p, eye) || !same_wire(p, eye) ||
            p->length <= eye->length)
            continue;
        MakerWord longer = stands(c, seat, x, p);
        if (longer == MAKER_KEPT)
            return MAKER_BROKEN;
        if (longer == MAKER_OPEN)
            word = MAKER_OPEN;
    }
    return word;
}

static void judge_alike(MakerCase *c, size_t one, size_t other) {
    const BlyChoice *ca = &c->rig->at[one], *cb = &c->rig->at[other];
    const BlyPart *a = ca->of[BLY_PART_EYE].part, *b = cb->of[BLY_PART_EYE].part;
    if (same_sort(a, b) && same_wire(a, b))
        return;
    if (strcmp(a->material, b->material) != 0) { /* no place forbids a metal */
        maker_say(c, BLY_RULE_EYE_ALIKE, MAKER_BROKEN);
        return;
    }
    if (strcmp(a->style, b->style) != 0) { /* a twisted one may be all that a tail takes, or not */
        double wires[2];
        wires_for(c, is_twisted(a), wires);
        MakerWord a_there = best_of_wire(c, other, cb->x, a, a->wire * 1e3);
        MakerWord b_there = best_of_wire(c, one, ca->x, b, b->wire * 1e3);
        maker_say(c, BLY_RULE_EYE_ALIKE,
                  a_there == MAKER_KEPT && b_there == MAKER_KEPT ? MAKER_BROKEN : MAKER_OPEN);
        return;
    }
    bool a_thicker = a->wire > b->wire;
    MakerWord there = a_thicker ? best_of_wire(c, other, cb->x, b, a->wire * 1e3)
                                : best_of_wire(c, one, ca->x, a, b->wire * 1e3);
    maker_say(c, BLY_RULE_EYE_ALIKE, there == MAKER_KEPT ? MAKER_BROKEN : MAKER_OPEN);
}

void maker_eyes(MakerCase *c) {
    for (size_t i = 0; i < c->rig->count; i++) {
        const BlyChoice *at = &c->rig->at[i];
        const BlyPart *eye = at->of[BLY_PART_EYE].part;
        if (eye == NULL)
            continue;
        MakerWord wire =
            c->build->limits.eye_wire_high > 0 ? MAKER_OPEN : wire_word(c, i, at->x, eye);
        MakerWord shank = shank_word(c, i, at->x, eye);
        if (shank == MAKER_BROKEN && wire == MAKER_BROKEN)
            shank = MAKER_OPEN; /* another eye comes there anyhow */
        maker_say(c, BLY_RULE_EYE_WIRE, wire);
        maker_say(c, BLY_RULE_EYE_SHANK, shank);
        maker_say(c, BLY_RULE_EYE_WOOD, stands(c, i, at->x, eye));
        for (size_t k = i + 1; k < c->rig->count; k++)
            if (c->rig->at[k].of[BLY_PART_EYE].part != NULL)
                judge_alike(c, i, k);
    }
}
