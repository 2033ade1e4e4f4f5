/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities as makers write them ("3 1/2 in", "3/8 oz", "54 F", "60 cm in 5.2 s"), read into SI
 * and printed back. Inside the program every double is SI; conversion happens here and only here.
 */
#ifndef BALLASTRY_UNITS_H
#define BALLASTRY_UNITS_H

#include "ballastry/error.h"

BLY_API_BEGIN

/* The dimension that a reader expects, and the SI unit in which the value comes back. */
typedef enum BlyDimension {
    BLY_DIM_LENGTH,           /* m */
    BLY_DIM_MASS,             /* kg */
    BLY_DIM_VOLUME,           /* m3 */
    BLY_DIM_AREA,             /* m2 */
    BLY_DIM_DENSITY,          /* kg/m3 */
    BLY_DIM_TEMPERATURE,      /* deg C (ITS-90): the one place where "SI inside" means Celsius */
    BLY_DIM_TEMPERATURE_STEP, /* K, a difference: "2 C", "4 F" */
    BLY_DIM_SPEED,            /* m/s */
    BLY_DIM_ANGLE,            /* rad */
    BLY_DIM_TIME,             /* s */
    BLY_DIM_SALINITY,         /* kg/kg, absolute salinity: "35 g/kg" is 0.035 */
    BLY_DIM_RATIO,            /* 1: "8 %", "0.08", "1/12" */
    BLY_DIM_EXPANSION,        /* 1/K, linear: "60e-6 /K" */
    BLY_DIM_AREA_MASS,        /* kg/m2, sheet and tape by weight: "0.155 g/cm2" */
    BLY_DIM_STRESS,           /* Pa, a strength: "350 MPa" */
    BLY_DIM_PRICE,            /* the maker's own money, no unit */
    BLY_DIM_COUNT             /* number of dimensions, not one */
} BlyDimension;

/* The maker's preferred way of printing. */
typedef enum BlySystem { BLY_METRIC, BLY_INCH } BlySystem;

/* Reads the whole of `text` as one quantity of dimension `dim`; blanks around it are allowed.
 * A bare number takes `bare_unit` (e.g. "mm"; NULL: a bare number is refused unless the dimension
 * is a ratio or a price). The result is finite. On failure *si is untouched; err->where names the
 * column, err->text quotes the text and says what was expected. Fractions and mixed numbers,
 * e notation, a point (never a comma) and the units of docs/units.md are understood.
 * Speeds also as "60 cm in 5.2 s", "1 ft / 4 s" and the inverse "4 s/ft"; a leading minus rises.
 * Densities and masses per area also as two readings, "12 g / 22 cm3". Errors: BLY_E_SYNTAX,
 * BLY_E_UNIT, BLY_E_RANGE (not finite, zero below, below absolute zero), and BLY_E_INTERNAL when
 * bare_unit is no unit of that dimension. */
bool bly_quantity_read(const char *text, BlyDimension dim, const char *bare_unit, double *si,
                       BlyError *err) BLY_MUST_CHECK;

enum { BLY_QUANTITY_MAX = 64 };

/* What one unit of the last digit that was written stands for, SI: 0.1 g for "14.2 g". 0 for
 * fractions, e notation, two readings in one and whatever does not read. */
double bly_quantity_last_digit(const char *text, BlyDimension dim, const char *bare_unit);

/* The least give, kg, of a mass that is written like this and says no give of its own: half of one
 * unit of its last digit, for the scale rounded. A bare number is in grams. */
double bly_mass_give_least(const char *text);

/* Prints `si` so that reading it back gives the very same double: shortest digits in the usual
 * unit of the dimension and system ("88 mm", "3.5 in"), the SI unit where no number of the usual
 * one does that. Minus zero prints as zero; what is not finite as "not known", which reads as
 * nothing. out holds BLY_QUANTITY_MAX bytes. */
void bly_quantity_exact(double si, BlyDimension dim, BlySystem system, char *out);

/* The same with the fewest digits that read back within `within` (SI, >= 0) of `si`: what a figure
 * is good for ("30 mm" for 0.030000000000000002 within 1 nm). */
void bly_quantity_within(double si, double within, BlyDimension dim, BlySystem system, char *out);

/* Prints for people: `digits` after the point in the usual unit (below zero: sensible digits for
 * the size). "-0" never appears. Speeds print in mm/s, or in s/ft and ft per s in the inch system.
 * NaN prints as "unknown". out holds BLY_QUANTITY_MAX bytes. */
void bly_quantity_show(double si, BlyDimension dim, BlySystem system, int digits, char *out);

/* The plain name of a dimension for messages: "a length such as \"88 mm\"". Never NULL. */
const char *bly_dimension_words(BlyDimension dim);

BLY_API_END

#endif
