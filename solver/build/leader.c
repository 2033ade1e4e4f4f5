/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The leader that hangs from the line tie: half of what it weighs in water is the lure's to carry,
 * the other half the line's. */
#include "ballastry/water.h"
#include "build/sections.h"

#include <gsl/gsl_math.h>

static const double lures_half = 0.5;

/* A floating leader lifts: its weight in water is below zero. */
static const Quantity weight_in_water = {BLY_DIM_MASS, "g", -50e-3, 50e-3, false};
static const Quantity leader_length = {BLY_DIM_LENGTH, "mm", 0.0, 5.0, true};
static const Quantity leader_diameter = {BLY_DIM_LENGTH, "mm", 0.0, 5e-3, true};
static const Quantity line_density = {BLY_DIM_DENSITY, "g/cm3", 10.0, 23000.0, false};
static const Give uncertain_weight = {0.0, 0.20}, uncertain_density = {0.0, 0.05};
static const double diameter_give = 0.05; /* of the diameter; all gives from memory */

static bool by_weight(const BlyJson *weight, BlyFigure *load, BlyError *err) {
    BlyFigure whole;
    if (!build_figure(weight, &weight_in_water, uncertain_weight, &whole, err))
        return false;
    *load = (BlyFigure){lures_half * whole.value, lures_half * whole.give};
    return true;
}

static bool by_size(const BlyJson *leader, const BlyWaterFacts *water, BlyFigure *load,
                    BlyError *err) {
    BlyJson length, diameter, density;
    double l, d;
    BlyFigure rho;
    BlyWater here;
    if (!bly_json_require(leader, "length", &length, err) ||
        !bly_json_require(leader, "diameter", &diameter, err) ||
        !bly_json_require(leader, "density", &density, err) ||
        !build_quantity(&length, &leader_length, &l, err) ||
        !build_quantity(&diameter, &leader_diameter, &d, err) ||
        !build_figure(&density, &line_density, uncertain_density, &rho, err) ||
        !bly_water_at(water->temperature.value, water->salinity.value, &here, err))
        return false;
    double volume = M_PI_4 * d * d * l;
    double weight = volume * (rho.value - here.density);
    double give = hypot(volume * rho.give, 2.0 * diameter_give * weight);
    *load = (BlyFigure){lures_half * weight, lures_half * give};
    return true;
}

bool build_read_leader(const BlyJson *leader, const BlyWaterFacts *water, BlyFigure *load,
                       BlyError *err) {
    static const char *const keys[] = {"in_water", "length", "diameter", "density"};
    BlyJson weight;
    if (!bly_json_object(leader, keys, 4, err))
        return false;
    if (!build_member(leader, "in_water", &weight))
        return by_size(leader, water, load, err);
    for (int i = 1; i < 4; i++) {
        BlyJson size;
        if (build_member(leader, keys[i], &size))
            return bly_json_refuse(&size, BLY_E_CONFLICT, err,
                                   "the leader's weight is given by \"in_water\" already");
    }
    return by_weight(&weight, load, err);
}
