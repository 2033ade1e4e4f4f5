/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of this room share; the public face is ballastry/water.h. */
#ifndef BALLASTRY_WATER_FORMULAS_H
#define BALLASTRY_WATER_FORMULAS_H

/* What salt adds to the density of fresh water, kg/m3: EOS-80 less its own fresh value, so 0 at
 * zero salinity. No range check. t_ipts68: deg C; practical: practical salinity, >= 0. */
double water_salt_excess(double t_ipts68, double practical);

#endif
