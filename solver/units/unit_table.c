/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "units/unit_table.h"
#include "text/near.h"

#define ARRAY_LENGTH(a) (sizeof(a) / sizeof(a)[0])

/* The sources. "defined" figures: the yard is 0.9144 m and the pound 0.45359237 kg exactly, a foot
 * a third of the yard, an inch a twelfth of the foot, an ounce a sixteenth and a grain a 7000th of
 * the pound, and the US fluid ounce 231/128 cubic inches (NIST SP 811, sections B.6 and B.8). */
#define SI_UNIT "SI Brochure, 9th ed. (2019), tables 2 and 7"
#define SI_ACCEPTED "SI Brochure, 9th ed. (2019), table 8"
#define SI_CELSIUS "SI Brochure, 9th ed. (2019), section 2.3.1, kelvin"
#define SP811 "NIST SP 811 (2008), appendix B.8"
#define SP811_QUOTIENT "quotient of exact factors in NIST SP 811 (2008), appendix B.8"
#define SP811_PER "NIST SP 811 (2008), section 7.10"

#define EXACT(num, power, den) num, power, den, false, 0.0
#define INVERSE(num, power, den) num, power, den, true, 0.0
#define SHIFTED(shift, num, power, den) num, power, den, false, shift

/* In each dimension the commonest first: suggestions for mistyped units follow this order.
 * pi/180 is given to 19 digits, a thousand times finer than a double. */
static const BlyUnit unit_table[] = {
    {BLY_DIM_LENGTH,
     "mm",
     EXACT(1, -3, 1),
     SI_UNIT,
     {"millimetre", "millimetres", "millimeter", "millimeters"}},
    {BLY_DIM_LENGTH,
     "cm",
     EXACT(1, -2, 1),
     SI_UNIT,
     {"centimetre", "centimetres", "centimeter", "centimeters"}},
    {BLY_DIM_LENGTH, "m", EXACT(1, 0, 1), SI_UNIT, {"metre", "metres", "meter", "meters"}},
    {BLY_DIM_LENGTH,
     "um",
     EXACT(1, -6, 1),
     SI_UNIT,
     {"micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"}},
    {BLY_DIM_LENGTH, "in", EXACT(254, -4, 1), SP811, {"inch", "inches", "\""}},
    {BLY_DIM_LENGTH, "ft", EXACT(3048, -4, 1), SP811, {"foot", "feet", "'"}},
    {BLY_DIM_LENGTH, "yd", EXACT(9144, -4, 1), SP811, {"yard", "yards"}},
    {BLY_DIM_LENGTH, "thou", EXACT(254, -7, 1), SP811 ", mil", {"mil", "mils", "thous"}},

    {BLY_DIM_MASS, "g", EXACT(1, -3, 1), SI_UNIT, {"gram", "grams", "gramme", "grammes", "gm"}},
    {BLY_DIM_MASS, "mg", EXACT(1, -6, 1), SI_UNIT, {"milligram", "milligrams"}},
    {BLY_DIM_MASS, "kg", EXACT(1, 0, 1), SI_UNIT, {"kilogram", "kilograms", "kilo", "kilos"}},
    {BLY_DIM_MASS, "oz", EXACT(28349523125, -12, 1), SP811, {"ounce", "ounces"}},
    {BLY_DIM_MASS, "lb", EXACT(45359237, -8, 1), SP811, {"lbs", "pound", "pounds"}},
    {BLY_DIM_MASS, "gr", EXACT(6479891, -11, 1), SP811, {"grain", "grains"}},

    {BLY_DIM_VOLUME,
     "cm3",
     EXACT(1, -6, 1),
     SI_UNIT,
     {"cc", "ccm", "cu cm", "cubic centimetre", "cubic centimetres", "cubic centimeter",
      "cubic centimeters"}},
    {BLY_DIM_VOLUME,
     "ml",
     EXACT(1, -6, 1),
     SI_ACCEPTED,
     {"millilitre", "millilitres", "milliliter", "milliliters"}},
    {BLY_DIM_VOLUME, "l", EXACT(1, -3, 1), SI_ACCEPTED, {"litre", "litres", "liter", "liters"}},
    {BLY_DIM_VOLUME, "mm3", EXACT(1, -9, 1), SI_UNIT, {"cu mm"}},
    {BLY_DIM_VOLUME,
     "m3",
     EXACT(1, 0, 1),
     SI_UNIT,
     {"cu m", "cubic metre", "cubic metres", "cubic meter", "cubic meters"}},
    {BLY_DIM_VOLUME,
     "in3",
     EXACT(16387064, -12, 1),
     SP811,
     {"cu in", "cubic inch", "cubic inches"}},
    {BLY_DIM_VOLUME,
     "ft3",
     EXACT(28316846592, -12, 1),
     SP811,
     {"cu ft", "cubic foot", "cubic feet"}},
    {BLY_DIM_VOLUME,
     "fl oz",
     EXACT(295735295625, -16, 1),
     SP811 ", ounce (US fluid)",
     {"floz", "fluid ounce", "fluid ounces", "fl oz (US)", "US fl oz"}},

    {BLY_DIM_AREA,
     "mm2",
     EXACT(1, -6, 1),
     SI_UNIT,
     {"sq mm", "square millimetres", "square millimeters"}},
    {BLY_DIM_AREA,
     "cm2",
     EXACT(1, -4, 1),
     SI_UNIT,
     {"sq cm", "square centimetres", "square centimeters"}},
    {BLY_DIM_AREA, "m2", EXACT(1, 0, 1), SI_UNIT, {"sq m", "square metres", "square meters"}},
    {BLY_DIM_AREA, "in2", EXACT(64516, -8, 1), SP811, {"sq in", "square inch", "square inches"}},
    {BLY_DIM_AREA, "ft2", EXACT(9290304, -8, 1), SP811, {"sq ft", "square foot", "square feet"}},

    {BLY_DIM_DENSITY, "g/cm3", EXACT(1, 3, 1), SI_UNIT, {"g/cc", "g/ccm"}},
    {BLY_DIM_DENSITY, "g/ml", EXACT(1, 3, 1), SI_ACCEPTED, {"kg/l"}},
    {BLY_DIM_DENSITY, "kg/m3", EXACT(1, 0, 1), SI_UNIT, {"g/l", "kg/cu m"}},
    {BLY_DIM_DENSITY,
     "lb/ft3",
     EXACT(45359237, 4, 28316846592),
     SP811_QUOTIENT,
     {"lb/cu ft", "lbs/ft3", "lbs/cu ft"}},
    {BLY_DIM_DENSITY,
     "lb/in3",
     EXACT(45359237, 4, 16387064),
     SP811_QUOTIENT,
     {"lb/cu in", "lbs/in3", "lbs/cu in"}},
    {BLY_DIM_DENSITY, "oz/in3", EXACT(28349523125, 0, 16387064), SP811_QUOTIENT, {"oz/cu in"}},
    {BLY_DIM_DENSITY, "in3/lb", INVERSE(45359237, 4, 16387064), SP811_QUOTIENT, {"cu in/lb"}},
    {BLY_DIM_DENSITY, "cm3/g", INVERSE(1, 3, 1), SI_UNIT, {"cc/g", "ml/g"}},

    {BLY_DIM_TEMPERATURE,
     "C",
     EXACT(1, 0, 1),
     SI_CELSIUS,
     {"degC", "deg C", "celsius", "degrees C", "degrees celsius"}},
    {BLY_DIM_TEMPERATURE,
     "F",
     SHIFTED(-32.0, 5, 0, 9),
     SP811,
     {"degF", "deg F", "fahrenheit", "degrees F", "degrees fahrenheit"}},
    {BLY_DIM_TEMPERATURE, "K", SHIFTED(-273.15, 1, 0, 1), SI_CELSIUS, {"kelvin", "kelvins"}},

    {BLY_DIM_TEMPERATURE_STEP,
     "C",
     EXACT(1, 0, 1),
     SI_CELSIUS,
     {"degC", "deg C", "celsius", "degrees C", "degrees celsius"}},
    {BLY_DIM_TEMPERATURE_STEP, "K", EXACT(1, 0, 1), SI_CELSIUS, {"kelvin", "kelvins"}},
    {BLY_DIM_TEMPERATURE_STEP,
     "F",
     EXACT(5, 0, 9),
     SP811,
     {"degF", "deg F", "fahrenheit", "degrees F", "degrees fahrenheit"}},

    {BLY_DIM_SPEED, "mm/s", EXACT(1, -3, 1), SI_UNIT, {"mm/sec", "mm/second"}},
    {BLY_DIM_SPEED, "cm/s", EXACT(1, -2, 1), SI_UNIT, {"cm/sec", "cm/second"}},
    {BLY_DIM_SPEED, "m/s", EXACT(1, 0, 1), SI_UNIT, {"m/sec", "m/second"}},
    {BLY_DIM_SPEED, "m/min", EXACT(1, 0, 60), SI_ACCEPTED, {"m/minute"}},
    {BLY_DIM_SPEED,
     "in/s",
     EXACT(254, -4, 1),
     SP811,
     {"in/sec", "inch/s", "inches/s", "inches/second", "\"/s"}},
    {BLY_DIM_SPEED,
     "ft/s",
     EXACT(3048, -4, 1),
     SP811,
     {"ft/sec", "foot/s", "feet/s", "feet/second", "'/s"}},
    {BLY_DIM_SPEED, "ft/min", EXACT(508, -5, 1), SP811, {"feet/minute"}},
    {BLY_DIM_SPEED,
     "s/ft",
     INVERSE(3048, -4, 1),
     SP811,
     {"sec/ft", "s/foot", "sec/foot", "seconds/foot"}},
    {BLY_DIM_SPEED,
     "s/in",
     INVERSE(254, -4, 1),
     SP811,
     {"sec/in", "s/inch", "sec/inch", "seconds/inch"}},
    {BLY_DIM_SPEED, "s/cm", INVERSE(1, -2, 1), SI_UNIT, {"sec/cm"}},
    {BLY_DIM_SPEED, "s/m", INVERSE(1, 0, 1), SI_UNIT, {"sec/m"}},

    {BLY_DIM_ANGLE,
     "deg",
     EXACT(1745329251994329577, -20, 1),
     SI_ACCEPTED,
     {"degree", "degrees", "degs"}},
    {BLY_DIM_ANGLE, "rad", EXACT(1, 0, 1), SI_UNIT, {"radian", "radians"}},

    {BLY_DIM_TIME, "s", EXACT(1, 0, 1), SI_UNIT, {"sec", "secs", "second", "seconds"}},
    {BLY_DIM_TIME, "min", EXACT(60, 0, 1), SI_ACCEPTED, {"mins", "minute", "minutes"}},
    {BLY_DIM_TIME, "h", EXACT(3600, 0, 1), SI_ACCEPTED, {"hr", "hrs", "hour", "hours"}},
    {BLY_DIM_TIME, "ms", EXACT(1, -3, 1), SI_UNIT, {"millisecond", "milliseconds"}},

    {BLY_DIM_RATIO, "%", EXACT(1, -2, 1), SP811_PER, {"percent"}},
    {BLY_DIM_RATIO, "ppm", EXACT(1, -6, 1), SP811_PER, {"parts/million"}},

    {BLY_DIM_SALINITY, "g/kg", EXACT(1, -3, 1), SI_UNIT, {"ppt", "permil"}},
    {BLY_DIM_SALINITY, "%", EXACT(1, -2, 1), SP811_PER, {"percent", "% mass", "% by mass"}},
    {BLY_DIM_SALINITY, "kg/kg", EXACT(1, 0, 1), SI_UNIT, {"g/g"}},
    {BLY_DIM_SALINITY, "mg/kg", EXACT(1, -6, 1), SI_UNIT, {NULL}},

    {BLY_DIM_EXPANSION, "ppm/K", EXACT(1, -6, 1), SP811_PER, {"ppm/C", "ppm/degC", "ppm/deg C"}},
    {BLY_DIM_EXPANSION,
     "um/m/K",
     EXACT(1, -6, 1),
     SI_UNIT,
     {"um/(m K)", "um/m K", "um/m/C", "um/m/degC", "um/m C", "um/(m C)"}},
    {BLY_DIM_EXPANSION,
     "mm/m/K",
     EXACT(1, -3, 1),
     SI_UNIT,
     {"mm/(m K)", "mm/m K", "mm/m/C", "mm/m/degC"}},
    {BLY_DIM_EXPANSION,
     "1/K",
     EXACT(1, 0, 1),
     SI_UNIT,
     {"/K", "K-1", "1/C", "/C", "1/degC", "/degC", "m/m/K"}},
    {BLY_DIM_EXPANSION,
     "1/F",
     EXACT(18, -1, 1),
     SP811,
     {"/F", "1/degF", "/degF", "in/in/F", "in/in/degF"}},
    {BLY_DIM_EXPANSION, "ppm/F", EXACT(18, -7, 1), SP811, {"ppm/degF", "ppm/deg F"}},

    {BLY_DIM_AREA_MASS, "g/cm2", EXACT(1, 1, 1), SI_UNIT, {"g/sq cm"}},
    {BLY_DIM_AREA_MASS, "mg/cm2", EXACT(1, -2, 1), SI_UNIT, {"mg/sq cm"}},
    {BLY_DIM_AREA_MASS, "g/m2", EXACT(1, -3, 1), SI_UNIT, {"gsm", "g/sq m"}},
    {BLY_DIM_AREA_MASS, "kg/m2", EXACT(1, 0, 1), SI_UNIT, {"kg/sq m"}},
    {BLY_DIM_AREA_MASS, "g/in2", EXACT(1, 5, 64516), SP811_QUOTIENT, {"g/sq in"}},
    {BLY_DIM_AREA_MASS, "oz/in2", EXACT(28349523125, -4, 64516), SP811_QUOTIENT, {"oz/sq in"}},
    {BLY_DIM_AREA_MASS, "oz/ft2", EXACT(28349523125, -4, 9290304), SP811_QUOTIENT, {"oz/sq ft"}},
    {BLY_DIM_AREA_MASS, "oz/yd2", EXACT(28349523125, -4, 83612736), SP811_QUOTIENT, {"oz/sq yd"}},
    {BLY_DIM_AREA_MASS,
     "lb/ft2",
     EXACT(45359237, 0, 9290304),
     SP811_QUOTIENT,
     {"lb/sq ft", "lbs/sq ft", "lbs/ft2"}},

    {BLY_DIM_STRESS, "MPa", EXACT(1, 6, 1), SI_UNIT, {"N/mm2", "N/sq mm"}},
    {BLY_DIM_STRESS, "Pa", EXACT(1, 0, 1), SI_UNIT, {"N/m2"}},
    {BLY_DIM_STRESS, "psi", EXACT(44482216152605, -5, 64516), SP811_QUOTIENT, {"lbf/in2"}},
    {BLY_DIM_STRESS, "ksi", EXACT(44482216152605, -2, 64516), SP811_QUOTIENT, {NULL}},
};

size_t unit_count(void) {
    return ARRAY_LENGTH(unit_table);
}

const BlyUnit *unit_at(size_t index) {
    return index < ARRAY_LENGTH(unit_table) ? &unit_table[index] : NULL;
}

static char lower(char c) {
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool same_word(const char *a, const char *b) {
    while (*a != '\0' && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return *a == '\0' && *b == '\0';
}

static bool is_spelled(const BlyUnit *unit, const char *spelling) {
    if (same_word(unit->name, spelling))
        return true;
    for (size_t i = 0; i < BLY_UNIT_ALIASES && unit->alias[i] != NULL; i++) {
        if (same_word(unit->alias[i], spelling))
            return true;
    }
    return false;
}

const BlyUnit *unit_find(const char *spelling, BlyDimension dim) {
    for (size_t i = 0; i < ARRAY_LENGTH(unit_table); i++) {
        if (unit_table[i].dim == dim && is_spelled(&unit_table[i], spelling))
            return &unit_table[i];
    }
    return NULL;
}

const BlyUnit *unit_find_any(const char *spelling) {
    for (size_t i = 0; i < ARRAY_LENGTH(unit_table); i++) {
        if (is_spelled(&unit_table[i], spelling))
            return &unit_table[i];
    }
    return NULL;
}

const char *unit_near(const char *spelling, BlyDimension dim) {
    const char *known[128];
    size_t count = 0;
    for (size_t i = 0; i < ARRAY_LENGTH(unit_table); i++) {
        const BlyUnit *unit = &unit_table[i];
        if (unit->dim != dim)
            continue;
        if (count < ARRAY_LENGTH(known))
            known[count++] = unit->name;
        for (size_t k = 0; k < BLY_UNIT_ALIASES && unit->alias[k] != NULL; k++) {
            if (count < ARRAY_LENGTH(known))
                known[count++] = unit->alias[k];
        }
    }
    return bly_near(spelling, known, count);
}
