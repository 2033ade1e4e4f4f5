/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fresh and sea water at the surface: density and viscosity. */
#ifndef BALLASTRY_WATER_H
#define BALLASTRY_WATER_H

#include "ballastry/error.h"

typedef struct BlyWater {
    double temperature; /* deg C, ITS-90, 0 to 40 */
    double salinity;    /* kg/kg, absolute salinity, 0 to 0.042 */
    double density;     /* kg/m3 */
    double viscosity;   /* Pa s, dynamic */
} BlyWater;

/* True when the published formulas cover this water: 0 to 40 C and 0 to 0.042 kg/kg. */
bool bly_water_known(double temperature, double salinity);

/* Fills *out for one atmosphere. Outside the range: BLY_E_RANGE, *out untouched.
 * Sources: Tanaka et al. 2001 (fresh density), EOS-80 (salt, added as the difference to its own
 * fresh value so that both meet at zero salinity), IAPWS R12-08 (fresh viscosity), Sharqawy et al.
 * 2010 (salt correction). See docs/physics.md. */
bool bly_water_at(double temperature, double salinity, BlyWater *out, BlyError *err) BLY_MUST_CHECK;

/* The formulas themselves. Each returns NAN outside its own range. */
double bly_water_fresh_density(double temperature);                         /* kg/m3 */
double bly_water_fresh_viscosity(double temperature);                       /* Pa s */
double bly_water_eos80_density(double t_ipts68, double practical);          /* kg/m3, S 0 to 42 */
double bly_water_salt_viscosity_ratio(double temperature, double salinity); /* 1 */

#endif
