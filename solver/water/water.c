/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One water from temperature and salinity: the formulas put together, and their common range. */
#include "ballastry/water.h"
#include "water/formulas.h"

/* Comparisons written so that NaN is never inside. */
static bool temperature_known(double t) {
    return t >= 0 && t <= BLY_WATER_WARMEST;
}

static bool salinity_known(double s) {
    return s >= 0 && s <= BLY_WATER_SALTIEST;
}

bool bly_water_known(double temperature, double salinity) {
    return temperature_known(temperature) && salinity_known(salinity);
}

/* EOS-80 speaks IPTS-68 and practical salinity. t68 = 1.00024 t90 is the usual conversion for sea
 * water; 35.16504/35 g/kg is the reference salinity of TEOS-10 (no regional anomaly). At 40 C the
 * converted temperature lies 0.01 C above EOS-80's last degree, where its polynomial is still
 * sound, so the unchecked form is used. */
static double salt_excess(double temperature, double salinity) {
    return water_salt_excess(1.00024 * temperature, 1000 * salinity * 35 / 35.16504);
}

bool bly_water_at(double temperature, double salinity, BlyWater *out, BlyError *err) {
    if (!temperature_known(temperature))
        return bly_fail(err, BLY_E_RANGE, "/temperature",
                        "water of %g C is outside the published formulas, expected 0 to %g C",
                        temperature, BLY_WATER_WARMEST);
    if (!salinity_known(salinity))
        return bly_fail(err, BLY_E_RANGE, "/salinity",
                        "water of %g g/kg is outside the published formulas, expected 0 to %g g/kg",
                        1000 * salinity, 1000 * BLY_WATER_SALTIEST);
    *out = (BlyWater){
        .temperature = temperature,
        .salinity = salinity,
        .density = bly_water_fresh_density(temperature) + salt_excess(temperature, salinity),
        .viscosity = bly_water_fresh_viscosity(temperature) *
                     bly_water_salt_viscosity_ratio(temperature, salinity),
    };
    return true;
}
