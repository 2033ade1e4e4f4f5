/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far off the blank may come out: each input's slope times its give, added as squares. */
#include "pour/inside.h"

#include <gsl/gsl_deriv.h>
#include <math.h>

/* An uneven range is worth a word when its two sides differ by more than this share of it. */
static const double uneven = 0.2;

typedef struct Probe {
    const Setup *setup;
    int input;
    bool of_mass; /* else of density */
} Probe;

static double probe(double value, void *params) {
    const Probe *p = params;
    double x[BLY_POUR_INPUTS];
    for (int i = 0; i < BLY_POUR_INPUTS; i++)
        x[i] = p->setup->x[i];
    x[p->input] = value;
    Blank blank = pour_outcome(p->setup, x);
    return p->of_mass ? blank.mass : blank.density;
}

/* Slope times give. The outcome is a ratio of polynomials, smooth on both sides of any input. */
static double effect(Probe *p) {
    double give = p->setup->give[p->input];
    if (!(give > 0))
        return 0;
    gsl_function f = {probe, p};
    double slope = 0, error = 0;
    gsl_deriv_central(&f, p->setup->x[p->input], 0.01 * give, &slope, &error);
    return slope * give;
}

/* By how much the two ends of an input's give lie off to the same side. */
static double bend(Probe *p) {
    double x = p->setup->x[p->input], give = p->setup->give[p->input];
    return fabs(probe(x + give, p) + probe(x - give, p) - 2 * probe(x, p));
}

void pour_spread(const Setup *setup, BlyPourPlan *out) {
    Blank blank = pour_outcome(setup, setup->x);
    double squares = 0, mass_squares = 0, bends = 0;
    for (int i = 0; i < BLY_POUR_INPUTS; i++) {
        Probe density = {setup, i, false}, mass = {setup, i, true};
        double e = effect(&density);
        out->influence[i] = e * e;
        squares += e * e;
        mass_squares += pow(effect(&mass), 2);
        bends += setup->give[i] > 0 ? bend(&density) : 0;
    }
    for (int i = 0; i < BLY_POUR_INPUTS && squares > 0; i++)
        out->influence[i] /= squares;
    out->density = (BlyFigure){blank.density, sqrt(squares)};
    out->mass = (BlyFigure){blank.mass, sqrt(mass_squares)};
    /* NaN, from a give that reaches past what is possible, counts as uneven. Rounding does not. */
    if (!(bends <= uneven * sqrt(squares) + 1e-9 * blank.density))
        out->notes |= BLY_POUR_ROUGH;
}
