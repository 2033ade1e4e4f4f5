/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drag of a whole lure as the sum of its body and its pieces, and what the sum stands on. */
#include "sink/drag.h"

#include <gsl/gsl_math.h>
#include <stdio.h>

static double reynolds(const BlyWater *water, double speed, double size) {
    return water->density * speed * size / water->viscosity;
}

/* Cd on the area seen. The flow square to a leaning wire is slower, and so is its Re. */
static double piece_cd(const BlyDragPiece *piece, const BlyWater *water, double speed) {
    double re = reynolds(water, speed, piece->size);
    if (piece->kind == BLY_DRAG_WIRE)
        return bly_drag_wire(re * fmax(cos(piece->lean), 1e-6)) *
               bly_drag_wire_ends(piece->aspect) * bly_drag_wire_lean(piece->lean);
    return bly_drag_plate(piece->aspect, re) * bly_drag_plate_lean(piece->lean);
}

double drag_area_raw(const BlyDragSet *set, const BlyWater *water, double speed, double *shares) {
    double diameter = bly_drag_diameter(set->body.volume);
    double total = set->factor * M_PI / 4 * diameter * diameter *
                   bly_drag_body_cd(&set->body, reynolds(water, speed, diameter));
    if (shares)
        shares[0] = total;
    for (size_t i = 0; i < set->count; i++) {
        const BlyDragPiece *piece = &set->pieces[i];
        double part = set->factor * piece->area * piece_cd(piece, water, speed);
        if (shares)
            shares[i + 1] = part;
        total += part;
    }
    return total;
}

static bool want(bool sound, const char *where, double got, const char *expected, BlyError *err) {
    return sound || bly_fail(err, BLY_E_RANGE, where, "got %g, expected %s", got, expected);
}

static bool want_positive(const char *where, double x, BlyError *err) {
    return want(isfinite(x) && x > 0, where, x, "a positive number", err);
}

static bool piece_sound(const BlyDragPiece *piece, size_t i, BlyError *err) {
    bool sound = want(piece->kind == BLY_DRAG_PLATE || piece->kind == BLY_DRAG_WIRE, "/kind",
                      (double)piece->kind, "plate or wire", err) &&
                 want(isfinite(piece->area) && piece->area >= 0, "/area", piece->area,
                      "an area of 0 or more", err) &&
                 want_positive("/size", piece->size, err) &&
                 want(piece->aspect >= 1, "/aspect", piece->aspect, "1 or more", err) &&
                 want(piece->lean >= 0 && piece->lean <= M_PI_2, "/lean", piece->lean,
                      "0 to a right angle, in radians", err);
    if (!sound) {
        char place[BLY_WHERE_MAX];
        (void)snprintf(place, sizeof place, "/pieces/%zu", i);
        bly_error_prefix(err, place);
    }
    return sound;
}

static bool end_sound(const BlyDragEnd *end, BlyError *err) {
    if (!want(end->share >= 0 && end->share <= 1, "/body/end/share", end->share, "0 to 1", err))
        return false;
    return end->share == 0 || (want_positive("/body/end/lengthwise", end->lengthwise, err) &&
                               want(isfinite(end->pressure) && end->pressure >= 0,
                                    "/body/end/pressure", end->pressure, "0 or more", err));
}

bool drag_set_sound(const BlyDragSet *set, const BlyWater *water, BlyError *err) {
    if (!want_positive("/water/density", water->density, err) ||
        !want_positive("/water/viscosity", water->viscosity, err) ||
        !want_positive("/body/volume", set->body.volume, err) ||
        !want_positive("/body/sphericity", set->body.sphericity, err) ||
        !want_positive("/body/crosswise", set->body.crosswise, err) ||
        !want_positive("/body/lengthwise", set->body.lengthwise, err) ||
        !end_sound(&set->body.end, err) || !want_positive("/factor", set->factor, err))
        return false;
    if (set->count > 0 && set->pieces == NULL)
        return bly_fail(err, BLY_E_MISSING, "/pieces", "expected %zu pieces", set->count);
    for (size_t i = 0; i < set->count; i++) {
        if (!piece_sound(&set->pieces[i], i, err))
            return false;
    }
    return true;
}

double bly_drag_area(const BlyDragSet *set, const BlyWater *water, double speed, double *shares) {
    if (!isfinite(speed) || speed == 0 || !drag_set_sound(set, water, NULL))
        return NAN;
    return drag_area_raw(set, water, fabs(speed), shares);
}

/* Karamanev & Nikolov 1992 (from memory): light spheres zigzag above Re of some 130. "Light" is our
 * choice: a tenth lighter than the water they displace. */
static bool zigzags(const BlyDragSet *set, const BlyWater *water, double re, double force) {
    return re > 130 && force < -0.1 * water->density * BLY_GRAVITY * set->body.volume;
}

static unsigned piece_notes(const BlyDragPiece *piece, const BlyWater *water, double speed) {
    if (piece->area == 0)
        return 0;
    double re = reynolds(water, speed, piece->size);
    if (piece->kind == BLY_DRAG_WIRE)
        return bly_drag_wire_known(re) ? 0 : BLY_DRAG_NOTE_WIRE;
    unsigned notes = bly_drag_plate_known(re) ? 0 : BLY_DRAG_NOTE_PLATE_SLOW;
    return notes | (piece->lean > M_PI / 3 ? BLY_DRAG_NOTE_PLATE_EDGE : 0);
}

unsigned drag_notes(const BlyDragSet *set, const BlyWater *water, double speed, double force) {
    double re = reynolds(water, speed, bly_drag_diameter(set->body.volume));
    double phi = set->body.sphericity;
    unsigned notes = bly_drag_sphere_known(re) ? 0 : BLY_DRAG_NOTE_CRISIS;
    if (phi > DRAG_ROUND_FROM && phi < 1)
        notes |= BLY_DRAG_NOTE_ROUND;
    if (phi < 0.5)
        notes |= BLY_DRAG_NOTE_SLIM;
    if (set->body.end.share > 0.25 && set->body.end.share < 0.9 && re > 2000)
        notes |= BLY_DRAG_NOTE_SLANT;
    if (zigzags(set, water, re, force))
        notes |= BLY_DRAG_NOTE_ZIGZAG;
    for (size_t i = 0; i < set->count; i++)
        notes |= piece_notes(&set->pieces[i], water, speed);
    return notes;
}

const char *bly_drag_note_words(unsigned bit) {
    static const struct {
        BlyDragNote bit;
        const char *words;
    } table[] = {
        {BLY_DRAG_NOTE_CRISIS, "so large and fast that roughness decides the body's drag"},
        {BLY_DRAG_NOTE_ROUND, "the body is nearly a sphere: its drag lies between two formulas"},
        {BLY_DRAG_NOTE_SLIM, "the body is thinner or flatter than those the drag was checked on"},
        {BLY_DRAG_NOTE_ZIGZAG, "a light body zigzags as it rises: it may be 30 % slower"},
        {BLY_DRAG_NOTE_WIRE, "the drag of wire was never measured at this speed and thickness"},
        {BLY_DRAG_NOTE_PLATE_SLOW, "the drag of the lip was not measured at so slow a speed"},
        {BLY_DRAG_NOTE_PLATE_EDGE, "the lip stands nearly along the flow: its drag is a guess"},
        {BLY_DRAG_NOTE_SLANT,
         "the body moves at a slant faster than the law between broadside and end on was checked"},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        if ((unsigned)table[i].bit == bit)
            return table[i].words;
    }
    return NULL;
}
