/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dynamic viscosity of water at one atmosphere: fresh by IAPWS, and what salt makes of it. */
#include "ballastry/water.h"

#include <math.h>

/* IAPWS SR6-08(2011), eq (7): liquid water at 0.1 MPa, 253.15 to 383.15 K; stated uncertainty
 * about 1 %. It stays within 0.003 % of the full release R12-08 from 0 to 40 C. */
double bly_water_fresh_viscosity(double temperature) {
    if (!(temperature >= -20 && temperature <= 110))
        return NAN;
    double x = (temperature + 273.15) / 300;
    return 1e-6 * (280.68 * pow(x, -1.9) + 511.45 * pow(x, -7.7) + 61.131 * pow(x, -19.6) +
                   0.45903 * pow(x, -40));
}

/* Sharqawy, Lienhard & Zubair 2010, Desalination and Water Treatment 16, 354-380, eq (22) without
 * its own fresh water; constants in full precision from the first author's published code.
 * 0 to 180 C, 0 to 0.15 kg/kg; stated accuracy 1.5 %. */
double bly_water_salt_viscosity_ratio(double temperature, double salinity) {
    if (!(temperature >= 0 && temperature <= 180 && salinity >= 0 && salinity <= 0.15))
        return NAN;
    double t = temperature;
    double a = 1.5409136040 + t * (1.9981117208e-2 - t * 9.5203865864e-5);
    double b = 7.9739318223 + t * (-7.5614568881e-2 + t * 4.7237011074e-4);
    return 1 + salinity * (a + b * salinity);
}
