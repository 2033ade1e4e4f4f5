/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The water that the maker fishes or tests in. */
#include "ballastry/water.h"
#include "build/sections.h"

static const Quantity temperature = {BLY_DIM_TEMPERATURE, "C", 0.0, BLY_WATER_WARMEST, false};
static const Quantity salinity = {BLY_DIM_SALINITY, "g/kg", 0.0, BLY_WATER_SALTIEST, false};

/* A household thermometer; a refractometer, which reads fresh water as fresh. From memory. */
static const Give thermometer = {1.0, 0.0};
static const Give refractometer = {0.0, 0.05};

BlyWaterFacts build_usual_water(void) {
    return (BlyWaterFacts){{12.0, thermometer.fixed}, {0.0, 0.0}};
}

bool build_read_water(const BlyJson *water, BlyWaterFacts *out, BlyError *err) {
    static const char *const keys[] = {"temperature", "salinity"};
    return bly_json_object(water, keys, 2, err) &&
           build_opt_figure(water, "temperature", &temperature, thermometer, &out->temperature,
                            err) &&
           build_opt_figure(water, "salinity", &salinity, refractometer, &out->salinity, err);
}
