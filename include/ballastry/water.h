/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fresh and sea water at the surface: density and viscosity. */
#ifndef BALLASTRY_WATER_H
#define BALLASTRY_WATER_H

#include "ballastry/error.h"

BLY_API_BEGIN

/* Where the published formulas end: deg C and kg/kg, both from 0. */
#define BLY_WATER_WARMEST 40.0
#define BLY_WATER_SALTIEST 0.042

/* m/s2, standard: 3rd General Conference on Weights and Measures, 1901. */
#define BLY_GRAVITY 9.80665

typedef struct BlyWater {
    double temperature; /* deg C, ITS-90, 0 to 40 */
    double salinity;    /* kg/kg, absolute salinity, 0 to 0.042 */
    double density;     /* kg/m3 */
    double viscosity;   /* Pa s, dynamic */
} BlyWater;

/* True when the published formulas cover this water: 0 to 40 C and 0 to 0.042 kg/kg. */
bool bly_water_known(double temperature, double salinity);

/* Fills *out for one atmosphere. Outside the range: BLY_E_RANGE, *out untouched.
 * The error's place is "/temperature" or "/salinity".
 * Sources: Tanaka et al. 2001 (fresh density), EOS-80 (salt, added as the difference to its own
 * fresh value so that both meet at zero salinity), IAPWS SR6-08(2011) eq 7 (fresh viscosity at
 * 0.1 MPa, within 0.003 % of R12-08 here), Sharqawy et al. 2010 (salt correction). Measured
 * deviations from the published tables: docs/water.md. */
bool bly_water_at(double temperature, double salinity, BlyWater *out, BlyError *err) BLY_MUST_CHECK;

/* The formulas themselves. Each returns NAN outside its own range, NaN and infinity included. */

/* kg/m3 of air-free fresh water at 101325 Pa; temperature deg C (ITS-90), 0 to 40. */
double bly_water_fresh_density(double temperature);

/* Pa s of fresh water at 0.1 MPa; temperature deg C (ITS-90), -20 to 110. */
double bly_water_fresh_viscosity(double temperature);

/* kg/m3 of sea water at one atmosphere; t_ipts68 deg C on IPTS-68 (1.00024 times ITS-90), -2 to
 * 40; practical salinity (PSS-78), 0 to 42. */
double bly_water_eos80_density(double t_ipts68, double practical);

/* Viscosity over that of fresh water, >= 1; temperature deg C, 0 to 180; salinity kg/kg, 0 to
 * 0.15. */
double bly_water_salt_viscosity_ratio(double temperature, double salinity);

BLY_API_END

#endif
