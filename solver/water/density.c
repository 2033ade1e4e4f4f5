/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Density of water at one atmosphere: fresh by the CIPM formula, salt by EOS-80. */
#include "ballastry/water.h"
#include "water/formulas.h"

#include <math.h>

/* Tanaka, Girard, Davis, Peuto & Bignell 2001, Metrologia 38, 301-309, eq (1) and its constants:
 * air-free standard mean ocean water at 101325 Pa, ITS-90, 0 to 40 C. */
double bly_water_fresh_density(double temperature) {
    const double a1 = -3.983035, a2 = 301.797, a3 = 522528.9, a4 = 69.34881, a5 = 999.974950;
    if (!(temperature >= 0 && temperature <= BLY_WATER_WARMEST))
        return NAN;
    double t = temperature, from_maximum = t + a1;
    return a5 * (1 - from_maximum * from_maximum * (t + a2) / (a3 * (t + a4)));
}

/* Millero & Poisson 1981, Deep-Sea Res. 28A, 625-629; UNESCO Technical Papers in Marine Science
 * 44 (1983), eq (14): EOS-80's own fresh water. */
static double eos80_fresh(double t) {
    return 999.842594 +
           t * (6.793952e-2 +
                t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))));
}

/* The same papers, eq (13): the terms in salinity. */
double water_salt_excess(double t_ipts68, double practical) {
    double t = t_ipts68, s = practical;
    double first =
        8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)));
    double three_halves = -5.72466e-3 + t * (1.0227e-4 + t * -1.6546e-6);
    return s * (first + three_halves * sqrt(s) + 4.8314e-4 * s);
}

double bly_water_eos80_density(double t_ipts68, double practical) {
    if (!(t_ipts68 >= -2 && t_ipts68 <= 40 && practical >= 0 && practical <= 42))
        return NAN;
    return eos80_fresh(t_ipts68) + water_salt_excess(t_ipts68, practical);
}
