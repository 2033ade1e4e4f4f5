/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values that an input can take: normal about the build's figure, within what is possible. */
#include "uncertain/uncertain.h"

#include <math.h>

/* What is possible, whatever the give says. */
static void limits(const BlyInput *input, double *low, double *high) {
    *low = 0.0;
    *high = INFINITY;
    switch (input->kind) {
    case BLY_IN_BALANCE:
    case BLY_IN_BALANCE_UP:
    case BLY_IN_LOAD:
        *low = -INFINITY;
        break;
    case BLY_IN_BODY_DENSITY:
    case BLY_IN_BODY_MASS:
    case BLY_IN_PART_MASS:
    case BLY_IN_PART_THICKNESS:
    case BLY_IN_PART_DENSITY:
    case BLY_IN_PIECE_MASS:
    case BLY_IN_COAT_DENSITY:
    case BLY_IN_INSET_DENSITY:
    case BLY_IN_INSET_MASS:
    case BLY_IN_DRAG:
    case BLY_IN_VOLUME:
        *low = 0.1 * input->value;
        break;
    case BLY_IN_MUNK:
        *high = 1.0;
        break;
    case BLY_IN_TEMPERATURE:
        *high = BLY_WATER_WARMEST;
        break;
    case BLY_IN_SALINITY:
        *high = BLY_WATER_SALTIEST;
        break;
    case BLY_IN_FILED:
    case BLY_IN_SOAK:
    case BLY_IN_EXPANSION:
    case BLY_IN_COAT_THICKNESS:
    case BLY_IN_WEIGHED:
    case BLY_INPUT_KINDS:
        break;
    }
}

double uncertain_value(const BlyInput *input, double u) {
    double low, high;
    limits(input, &low, &high);
    return fmin(fmax(input->value + u * input->give / BLY_SIGMAS_95, low), high);
}

void uncertain_reach(const BlyInput *input, double *low, double *high) {
    static const double far = 1e3; /* sigmas: beyond what is possible of anything */
    double sigma = input->give / BLY_SIGMAS_95;
    *low = (uncertain_value(input, -far) - input->value) / sigma;
    *high = (uncertain_value(input, far) - input->value) / sigma;
}

/* One thermometer and one refractometer for all waters: u moves each water by its own give. */
bool uncertain_water(const UncertainCase *set, const BlyWaterFacts *facts, const double *u,
                     BlyWater *out, BlyError *err) {
    double t = facts->temperature.value, s = facts->salinity.value;
    for (size_t i = 0; i < set->input_count; i++) {
        BlyInput input = set->inputs[i];
        if (input.kind == BLY_IN_TEMPERATURE) {
            input.value = facts->temperature.value;
            input.give = facts->temperature.give;
            t = uncertain_value(&input, u[i]);
        } else if (input.kind == BLY_IN_SALINITY) {
            input.value = facts->salinity.value;
            input.give = facts->salinity.give;
            s = uncertain_value(&input, u[i]);
        }
    }
    return bly_water_at(t, s, out, err);
}
