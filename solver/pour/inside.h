/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of this room share; the public face is ballastry/pour.h. */
#ifndef BALLASTRY_POUR_INSIDE_H
#define BALLASTRY_POUR_INSIDE_H

#include "ballastry/pour.h"

/* What a number may be, and how to say so: `unit` SI are one `unit_name`. */
typedef struct Bound {
    const char *what; /* "density of the filler" */
    double low, high;
    bool above_low; /* low itself is refused */
    double unit;
    const char *unit_name;
} Bound;

bool pour_number(double value, const Bound *bound, const char *where, BlyError *err);
/* The value within the bound, the give finite and not negative. */
bool pour_figure(BlyFigure figure, const Bound *bound, const char *where, BlyError *err);

/* Every number of a pour that is given is within its bounds, and no two exclude each other. */
bool pour_check(const BlyPour *pour, BlyError *err);
BlyFillerBy pour_filler_by(const BlyFiller *filler);
/* How loosely the filler lies is told, not guessed. */
bool pour_heap_known(const BlyFiller *filler);

/* A resin with what follows from its figures filled in; NAN where nothing does. */
typedef struct Resin {
    double by_weight, by_volume;
    double a, b;               /* kg/m3, liquid */
    bool a_follows, b_follows; /* that density moves with the other one's give */
    double liquid, cured, shrinkage;
    bool cured_given;
    bool disagree; /* ratios and densities, beyond BLY_POUR_RATIO_KEEP */
} Resin;

bool pour_resin(const BlyResin *given, Resin *out, BlyError *err);
/* kg/m3 of the cured resin when the inputs are x[BLY_POUR_INPUTS]. */
double pour_cured(const Resin *resin, const double *x);
/* Splits `mass` kg of mixed resin. */
void pour_split(const Resin *resin, double mass, BlyPortion *a, BlyPortion *b);

/* A pour made ready: its inputs as one row, so that each can be moved by its give, and what the
 * bench keeps fixed meanwhile. */
typedef struct Setup {
    Resin resin;
    BlyFillerBy by; /* TARGET is worked as MASS once the mass is known */
    bool stirred, pieces_inside, own_vessel;
    double water_density; /* kg/m3 of the gap water */
    double x[BLY_POUR_INPUTS], give[BLY_POUR_INPUTS];
    /* Stirred: masses are what the recipe fixes, whatever the densities turn out to be. */
    double recipe_density_ratio; /* filler over cured resin, as planned */
    double recipe_resin;         /* kg of resin in the whole batch */
} Setup;

typedef struct Blank {
    double free_volume, volume;
    double share; /* of filler, by volume of the mix */
    double mix_density, mass, density;
} Blank;

/* The blank that comes out when the inputs are x. No checks. */
Blank pour_outcome(const Setup *setup, const double *x);
/* Fills mass and density with their gives, the influences and the note ROUGH. */
void pour_spread(const Setup *setup, BlyPourPlan *out);
/* The notes that follow from a finished plan. */
unsigned pour_notes(const BlyPour *pour, const Setup *setup, const BlyPourPlan *plan);

#endif
