/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the model does not know, and the words that go with a run. */
#include "tow/parts.h"

#include <gsl/gsl_math.h>

static const struct {
    double nominal, low, high;
    const char *words;
} factors[BLY_TOW_FACTORS] = {
    [BLY_TOW_PEAK] = {0.25, 0, 1, "how much of a plate's peak before its stall the lip has"},
    [BLY_TOW_LIP] = {1, 0.65, 1.25, "the lip's force"},
    [BLY_TOW_CENTRE] = {0, -0.08, 0.08, "where on the lip it acts"},
    [BLY_TOW_POTENTIAL] = {1, 0.4, 1.6, "how the nose of the body lifts"},
    [BLY_TOW_CROSS] = {1, 0.7, 1.3, "how the body is held across the flow"},
    [BLY_TOW_AXIAL] = {1.5, 1, 3, "the body's friction"},
    [BLY_TOW_WIRE] = {1, 0.7, 1.3, "the drag of hooks and rings"},
};

BlyTowModel bly_tow_nominal(void) {
    BlyTowModel model;
    for (int i = 0; i < BLY_TOW_FACTORS; i++)
        model.by[i] = factors[i].nominal;
    return model;
}

void bly_tow_bounds(BlyTowFactor factor, double *low, double *high) {
    *low = factors[factor].low;
    *high = factors[factor].high;
}

const char *bly_tow_factor_words(BlyTowFactor factor) {
    return factors[factor].words;
}

const char *bly_tow_state_words(BlyTowState state) {
    static const char *const words[BLY_TOW_STATES] = {
        [BLY_TOW_DIVES] = "dives",
        [BLY_TOW_COMES_UP] = "comes up",
        [BLY_TOW_ON_TOP] = "stays on top",
        [BLY_TOW_NOWHERE] = "finds no way to run",
    };
    return words[state];
}

static bool lip_near_stall(const TowAt *at, const BlyTowRun *run) {
    for (size_t i = 0; i < at->tow->lip_count; i++) {
        const TowLip *lip = &at->tow->lips[i];
        double off = lip->angle + run->nose_down - bly_tow_plate_stall(lip->aspect);
        if (off > -5 * M_PI / 180 && off < 12 * M_PI / 180)
            return true;
    }
    return false;
}

static bool lip_odd(const BlyTow *tow) {
    for (size_t i = 0; i < tow->lip_count; i++) {
        if (!(tow->lips[i].aspect >= 0.5 && tow->lips[i].aspect <= 3))
            return true;
    }
    return false;
}

static bool wire_odd(const TowAt *at) {
    for (size_t i = 0; i < at->tow->wire_count; i++) {
        double re = at->tow->water.density * at->speed * at->tow->wires[i].diameter /
                    at->tow->water.viscosity;
        if (!bly_drag_wire_known(re))
            return true;
    }
    return false;
}

static unsigned bit_if(bool set, BlyTowNote note) {
    return set ? (unsigned)note : 0;
}

unsigned tow_notes(const TowAt *at, const BlyTowRun *run) {
    const TowBody *body = &at->tow->body;
    double slender = body->length / body->diameter;
    double re = at->tow->water.density * at->speed * body->length / at->tow->water.viscosity;
    unsigned notes = bit_if(lip_odd(at->tow), BLY_TOW_NOTE_ASPECT) |
                     bit_if(slender < 2 || slender > 40, BLY_TOW_NOTE_SHORT) |
                     bit_if(re < 3e4, BLY_TOW_NOTE_SLOW) |
                     bit_if(body->bluntest > 0.75, BLY_TOW_NOTE_BLUNT) |
                     bit_if(at->tow->lip_count == 0, BLY_TOW_NOTE_NO_LIP) |
                     bit_if(wire_odd(at), BLY_TOW_NOTE_WIRE);
    if (run->state == BLY_TOW_NOWHERE)
        return notes;
    return notes | bit_if(lip_near_stall(at, run), BLY_TOW_NOTE_STALL) |
           bit_if(fabs(run->nose_down) > 20 * M_PI / 180, BLY_TOW_NOTE_STEEP) |
           bit_if(run->other_count > 0, BLY_TOW_NOTE_MANY) |
           bit_if(run->line.depth < 4 * body->diameter, BLY_TOW_NOTE_SHALLOW) |
           bit_if(fabs(run->rise) < 3 * M_PI / 180, BLY_TOW_NOTE_NO_HOLD);
}

const char *bly_tow_note_words(unsigned bit) {
    static const struct {
        BlyTowNote bit;
        const char *words;
    } table[] = {
        {BLY_TOW_NOTE_STALL, "The lip is met near the angle at which plates stall: there its force "
                             "is least sure."},
        {BLY_TOW_NOTE_ASPECT, "The lip is narrower or wider than the plates whose force was "
                              "measured."},
        {BLY_TOW_NOTE_STEEP, "It lies more than 20 degrees off the flow, where the body's force is "
                             "a guess."},
        {BLY_TOW_NOTE_SHORT, "The body is stubbier or more slender than those its force was "
                             "measured on."},
        {BLY_TOW_NOTE_SLOW, "So slow that the body's friction lies outside its formula."},
        {BLY_TOW_NOTE_BLUNT, "An end is cut off flat: it drags more than said."},
        {BLY_TOW_NOTE_MANY, "It can run at more than one tilt; this is the one it comes to from "
                            "a faster draw."},
        {BLY_TOW_NOTE_NO_LIP, "Without a lip nothing here says whether it runs straight or hunts "
                              "sideways."},
        {BLY_TOW_NOTE_SHALLOW, "At the surface, or all but: waves and air, which decide there, are "
                               "left out."},
        {BLY_TOW_NOTE_NO_HOLD, "It hardly pulls up or down: a little decides whether it dives or "
                               "comes up."},
        {BLY_TOW_NOTE_WIRE, "The drag of hook wire was not measured at this speed."},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        if (table[i].bit == bit)
            return table[i].words;
    }
    return NULL;
}
