/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities printed, exactly for files and rounded for people. */
#include "decimal/decimal.h"
#include "units/unit_table.h"

#include <math.h>
#include <stdio.h>

#define ARRAY_LENGTH(a) (sizeof(a) / sizeof(a)[0])

/* The usual unit of each dimension and system, and how many places after the point a bench can
 * make use of; the unit that SI has. A price has none. */
static const struct Usual {
    BlyDimension dim;
    const char *unit[2]; /* by BlySystem */
    int places[2];
    const char *si;
} usual_table[] = {
    {BLY_DIM_LENGTH, {"mm", "in"}, {1, 3}, "m"},
    {BLY_DIM_MASS, {"g", "oz"}, {2, 3}, "kg"},
    {BLY_DIM_VOLUME, {"cm3", "in3"}, {2, 3}, "m3"},
    {BLY_DIM_AREA, {"cm2", "in2"}, {1, 2}, "m2"},
    {BLY_DIM_DENSITY, {"g/cm3", "lb/ft3"}, {3, 1}, "kg/m3"},
    {BLY_DIM_TEMPERATURE, {"C", "F"}, {1, 1}, "C"},
    {BLY_DIM_TEMPERATURE_STEP, {"C", "F"}, {1, 1}, "K"},
    {BLY_DIM_SPEED, {"mm/s", "in/s"}, {2, 2}, "m/s"},
    {BLY_DIM_ANGLE, {"deg", "deg"}, {1, 1}, "rad"},
    {BLY_DIM_TIME, {"s", "s"}, {1, 1}, "s"},
    {BLY_DIM_SALINITY, {"g/kg", "g/kg"}, {1, 1}, "kg/kg"},
    {BLY_DIM_RATIO, {"%", "%"}, {1, 1}, ""},
    {BLY_DIM_EXPANSION, {"ppm/K", "ppm/F"}, {0, 0}, "1/K"},
    {BLY_DIM_AREA_MASS, {"g/cm2", "oz/ft2"}, {3, 2}, "kg/m2"},
    {BLY_DIM_STRESS, {"MPa", "ksi"}, {0, 1}, "Pa"},
    {BLY_DIM_PRICE, {"", ""}, {2, 2}, ""},
};

static const struct Usual *usual_of(BlyDimension dim) {
    for (size_t i = 0; i < ARRAY_LENGTH(usual_table); i++) {
        if (usual_table[i].dim == dim)
            return &usual_table[i];
    }
    return &usual_table[ARRAY_LENGTH(usual_table) - 1];
}

/* SI to a number of the unit; NULL is no unit. Within a few units in the last place. */
static double in_unit(double si, const BlyUnit *unit) {
    if (unit == NULL)
        return si;
    const double num = (double)unit->num, den = (double)unit->den;
    const double up = unit->power < 0 ? pow(10.0, -unit->power) : 1.0;
    const double down = unit->power > 0 ? pow(10.0, unit->power) : 1.0;
    if (unit->inverse)
        return num * down / (den * up) / si;
    return si * (den * up) / (num * down) - unit->shift;
}

static void join(char *out, const char *number, const char *unit) {
    (void)snprintf(out, BLY_QUANTITY_MAX, "%s%s%s", number, unit[0] != '\0' ? " " : "", unit);
}

static bool reads_back(const char *text, BlyDimension dim, double si) {
    double back;
    return bly_quantity_read(text, dim, NULL, &back, NULL) && back == si;
}

/* Fewest digits first; with all seventeen the neighbours too, since x itself is rounded. */
static bool exact_in(double si, BlyDimension dim, const char *name, char *out) {
    double x = in_unit(si, unit_find(name, dim));
    char number[BLY_NUMBER_MAX];
    if (!isfinite(x))
        return false;
    for (int digits = 1; digits <= 17; digits++) {
        bly_number_digits(x, digits, number);
        join(out, number, name);
        if (reads_back(out, dim, si))
            return true;
    }
    double above = x, below = x;
    for (int step = 0; step < 4; step++) {
        above = nextafter(above, INFINITY);
        below = nextafter(below, -INFINITY);
        for (int side = 0; side < 2; side++) {
            bly_number_digits(side == 0 ? above : below, 17, number);
            join(out, number, name);
            if (reads_back(out, dim, si))
                return true;
        }
    }
    return false;
}

void bly_quantity_exact(double si, BlyDimension dim, BlySystem system, char *out) {
    if (!isfinite(si)) {
        (void)snprintf(out, BLY_QUANTITY_MAX, "unknown");
        return;
    }
    const struct Usual *usual = usual_of(dim);
    if (exact_in(si, dim, usual->unit[system == BLY_INCH], out))
        return;
    char number[BLY_NUMBER_MAX];
    bly_number_shortest(si, number);
    join(out, number, usual->si);
}

void bly_quantity_within(double si, double within, BlyDimension dim, BlySystem system, char *out) {
    const struct Usual *usual = usual_of(dim);
    const char *name = usual->unit[system == BLY_INCH];
    double x = in_unit(si, unit_find(name, dim)), back;
    for (int digits = 1; isfinite(si) && isfinite(x) && digits <= 17; digits++) {
        char number[BLY_NUMBER_MAX];
        bly_number_digits(x, digits, number);
        join(out, number, name);
        if (bly_quantity_read(out, dim, NULL, &back, NULL) && fabs(back - si) <= within)
            return;
    }
    bly_quantity_exact(si, dim, system, out);
}

/* Four digits are plenty for a bench, two the least for something small. */
static int sensible_places(double value, int usual) {
    if (value == 0.0)
        return 0;
    int first = (int)floor(log10(fabs(value)));
    int places = first < -usual + 1 ? 1 - first : 3 - first < usual ? 3 - first : usual;
    return places < 0 ? 0 : places > 6 ? 6 : places;
}

static void drop_zeros(char *number) {
    char *end = number, *point = NULL;
    for (; *end != '\0'; end++) {
        if (*end == '.')
            point = end;
        if (*end == 'e')
            return;
    }
    if (point == NULL)
        return;
    while (end > point + 1 && end[-1] == '0')
        end--;
    if (end == point + 1)
        end--;
    *end = '\0';
}

static void show_number(double value, int digits, int usual, char *number) {
    if (digits >= 0) {
        bly_number_places(value, digits < 12 ? digits : 12, number);
        return;
    }
    bly_number_places(value, sensible_places(value, usual), number);
    drop_zeros(number);
    if (number[0] == '-' && number[1] == '0' && number[2] == '\0')
        (void)snprintf(number, BLY_NUMBER_MAX, "0");
}

/* Makers with feet time a slow lure in seconds for each foot, a fast one in feet per second; those
 * with a metric rule speak of centimetres a second. */
static const char *speed_unit(double si, BlySystem system) {
    const double foot_per_second = 0.3048; /* m/s */
    if (system != BLY_INCH)
        return "cm/s";
    bool slow = si != 0.0 && fabs(si) < foot_per_second;
    return slow ? "s/ft" : "ft/s";
}

void bly_quantity_show(double si, BlyDimension dim, BlySystem system, int digits, char *out) {
    if (!isfinite(si)) {
        (void)snprintf(out, BLY_QUANTITY_MAX, "unknown");
        return;
    }
    const struct Usual *usual = usual_of(dim);
    const char *name = usual->unit[system == BLY_INCH];
    if (dim == BLY_DIM_SPEED)
        name = speed_unit(si, system);
    double value = in_unit(si, unit_find(name, dim));
    if (!isfinite(value)) {
        name = usual->si;
        value = si;
    }
    char number[BLY_NUMBER_MAX];
    show_number(value, digits, usual->places[system == BLY_INCH], number);
    join(out, number, name);
}
