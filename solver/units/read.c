/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities as makers write them, read into SI. */
#include "text/quote.h"
#include "units/reader.h"
#include "units/unit_table.h"

#include <math.h>
#include <string.h>

#define ARRAY_LENGTH(a) (sizeof(a) / sizeof(a)[0])

static const double ABSOLUTE_ZERO_C = -273.15; /* SI Brochure, 9th ed. (2019), section 2.3.1 */

#define WORDS(noun, example) noun, noun " such as \"" example "\""
static const struct {
    BlyDimension dim;
    const char *noun, *words;
} dimension_table[] = {
    {BLY_DIM_LENGTH, WORDS("a length", "88 mm")},
    {BLY_DIM_MASS, WORDS("a mass", "12.3 g")},
    {BLY_DIM_VOLUME, WORDS("a volume", "14 cm3")},
    {BLY_DIM_AREA, WORDS("an area", "6 cm2")},
    {BLY_DIM_DENSITY, WORDS("a density", "0.55 g/cm3")},
    {BLY_DIM_TEMPERATURE, WORDS("a temperature", "10 C")},
    {BLY_DIM_TEMPERATURE_STEP, WORDS("a temperature difference", "2 C")},
    {BLY_DIM_SPEED, WORDS("a speed", "15 mm/s")},
    {BLY_DIM_ANGLE, WORDS("an angle", "40 deg")},
    {BLY_DIM_TIME, WORDS("a time", "5.2 s")},
    {BLY_DIM_SALINITY, WORDS("an absolute salinity", "35 g/kg")},
    {BLY_DIM_RATIO, WORDS("a ratio", "8 %")},
    {BLY_DIM_EXPANSION, WORDS("a linear expansion", "60 ppm/K")},
    {BLY_DIM_AREA_MASS, WORDS("a mass per area", "0.155 g/cm2")},
    {BLY_DIM_STRESS, WORDS("a strength", "350 MPa")},
    {BLY_DIM_PRICE, WORDS("a price without a unit", "2.50")},
};

/* What two quantities in one text make: "60 cm in 5.2 s", "4 s / 1 ft", "12 g / 22 cm3". */
typedef struct Pair {
    BlyDimension first, second, result;
    bool inverse; /* second over first */
} Pair;

static const Pair pair_table[] = {
    {BLY_DIM_LENGTH, BLY_DIM_TIME, BLY_DIM_SPEED, false},
    {BLY_DIM_TIME, BLY_DIM_LENGTH, BLY_DIM_SPEED, true},
    {BLY_DIM_MASS, BLY_DIM_VOLUME, BLY_DIM_DENSITY, false},
    {BLY_DIM_MASS, BLY_DIM_AREA, BLY_DIM_AREA_MASS, false},
};

/* A number and the text of its unit. */
typedef struct Term {
    Number number;
    char unit[BLY_SPELLING_MAX];
    const char *at; /* where the unit stands */
} Term;

const char *bly_dimension_words(BlyDimension dim) {
    for (size_t i = 0; i < ARRAY_LENGTH(dimension_table); i++) {
        if (dimension_table[i].dim == dim)
            return dimension_table[i].words;
    }
    return "a quantity";
}

static bool refuse_dimension(const Reader *r, BlyDimension found) {
    const char *noun = "something else";
    for (size_t i = 0; i < ARRAY_LENGTH(dimension_table); i++) {
        if (dimension_table[i].dim == found)
            noun = dimension_table[i].noun;
    }
    return reader_refuse(r, BLY_E_UNIT, "is %s; expected %s", noun, bly_dimension_words(r->dim));
}

static bool holds_second_number(const char *text) {
    if (number_starts(text))
        return true;
    for (; *text != '\0'; text++) {
        if ((*text == ' ' || *text == ',') && number_starts(text + 1))
            return true;
    }
    return false;
}

static bool refuse_practical_salinity(const Reader *r) {
    return reader_refuse(r, BLY_E_UNIT,
                         "is practical salinity, which has no unit; expected absolute salinity "
                         "in g/kg (35 psu of sea water is 35.165 g/kg)");
}

/* `dim` is what the unit should measure: half of a pair does not measure what the whole does. */
static bool refuse_unknown(const Reader *r, const Term *term, BlyDimension dim) {
    static const char *const practical[] = {"psu", "PSU", "pss", "PSS", "PSS-78", "psu78"};
    for (size_t i = 0; i < ARRAY_LENGTH(practical); i++) {
        if (strcmp(term->unit, practical[i]) == 0)
            return refuse_practical_salinity(r);
    }
    if (holds_second_number(term->unit))
        return reader_refuse(r, BLY_E_SYNTAX, "holds two numbers; expected %s",
                             bly_dimension_words(r->dim));
    char first[BLY_SPELLING_MAX], quoted[BLY_QUOTE_MAX];
    size_t word = strcspn(term->unit, " ");
    memcpy(first, term->unit, word);
    first[word] = '\0';
    if (term->unit[word] != '\0' && unit_find_any(first) != NULL) {
        bly_quote(term->unit + word + 1, quoted);
        return reader_refuse(r, BLY_E_SYNTAX, "has text after the unit: \"%s\"", quoted);
    }
    bly_quote(term->unit, quoted);
    const char *near = unit_near(term->unit, dim);
    if (near != NULL)
        return reader_refuse(r, BLY_E_UNIT, "has an unknown unit \"%s\"; did you mean \"%s\"?",
                             quoted, near);
    return reader_refuse(r, BLY_E_UNIT, "has an unknown unit \"%s\"; expected %s", quoted,
                         bly_dimension_words(r->dim));
}

/* An overflowing or vanishing number is refused; nothing is rounded before the unit's factor is in.
 */
static bool term_value(const Reader *r, const Term *term, bool minus, const BlyUnit *unit,
                       double *si) {
    BlyDecimal top = term->number.top;
    const double bottom = (double)term->number.bottom, den = (double)unit->den;
    double value;
    if (unit->shift != 0.0) {
        double x = bly_decimal_value(&top) / bottom;
        value = ((minus ? -x : x) + unit->shift) * (double)unit->num / den;
    } else if (unit->inverse) {
        if (top.count == 0)
            return reader_refuse(r, BLY_E_RANGE, "divides by zero");
        BlyDecimal factor = bly_decimal_from(unit->num);
        factor.power = unit->power;
        value = bly_decimal_value(&factor) / den / (bly_decimal_value(&top) / bottom);
    } else {
        bly_decimal_times(&top, unit->num, unit->power);
        value = bly_decimal_value(&top) / (bottom * den);
    }
    if (!isfinite(value))
        return reader_refuse(r, BLY_E_RANGE, "is too large a number");
    if (value == 0.0 && top.count > 0 && unit->shift == 0.0)
        return reader_refuse(r, BLY_E_RANGE, "is too small a number");
    *si = minus && unit->shift == 0.0 && value > 0.0 ? -value : value;
    return true;
}

/* "-459.67 F" is absolute zero but for the last digit. */
static bool check_temperature(const Reader *r, double *celsius) {
    if (*celsius < ABSOLUTE_ZERO_C - 1e-9)
        return reader_refuse(r, BLY_E_RANGE, "is below absolute zero (-273.15 C)");
    if (*celsius < ABSOLUTE_ZERO_C)
        *celsius = ABSOLUTE_ZERO_C;
    return true;
}

static bool spell(const Reader *r, Term *term, size_t length) {
    if (unit_spelling(term->at, length, term->unit))
        return true;
    return reader_refuse(r, BLY_E_UNIT, "has too long a unit; expected %s",
                         bly_dimension_words(r->dim));
}

/* Where a second quantity begins: after '/', "in" or "per" with a number behind it. Returns its
 * place and, in *length, how much before it belongs to the first unit. */
static const char *find_second(const char *text, size_t *length) {
    static const char *const joints[] = {"/", "in ", "per "};
    for (const char *at = text; *at != '\0'; at++) {
        for (size_t i = 0; i < ARRAY_LENGTH(joints); i++) {
            size_t n = strlen(joints[i]);
            if (strncmp(at, joints[i], n) != 0 || (i > 0 && at > text && at[-1] != ' '))
                continue;
            const char *next = at + n;
            while (*next == ' ')
                next++;
            if (!number_starts(next))
                continue;
            *length = (size_t)(at - text);
            return next;
        }
    }
    return NULL;
}

static const Pair *find_pair(const Term *first, const Term *second) {
    for (size_t i = 0; i < ARRAY_LENGTH(pair_table); i++) {
        if (unit_find(first->unit, pair_table[i].first) != NULL &&
            unit_find(second->unit, pair_table[i].second) != NULL)
            return &pair_table[i];
    }
    return NULL;
}

/* What the first or the second half of a pair measures when the whole measures dim. */
static BlyDimension part_of(BlyDimension dim, bool first) {
    for (size_t i = 0; i < ARRAY_LENGTH(pair_table); i++) {
        if (pair_table[i].result == dim)
            return first ? pair_table[i].first : pair_table[i].second;
    }
    return dim;
}

static bool read_second(Reader *r, const char *start, Term *term) {
    r->at = start;
    const char *sign = r->at;
    (void)reader_minus(r);
    if (r->at != sign)
        return reader_refuse(r, BLY_E_SYNTAX,
                             "has a sign in the middle; a minus stands in front of it all");
    if (!reader_number(r, &term->number))
        return false;
    reader_skip_blanks(r);
    term->at = r->at;
    return spell(r, term, strlen(r->at));
}

/* Two quantities, the first with its unit still to be found in `length` bytes. */
static bool read_pair(Reader *r, Term *first, size_t length, const char *start, bool minus,
                      double *si) {
    if (!spell(r, first, length))
        return false;
    if (first->unit[0] == '\0')
        return reader_refuse(r, BLY_E_UNIT, "has no unit after the first number; expected %s",
                             bly_dimension_words(r->dim));
    if (unit_find_any(first->unit) == NULL)
        return refuse_unknown(r, first, part_of(r->dim, true));
    Term second;
    if (!read_second(r, start, &second))
        return false;
    const Pair *pair = find_pair(first, &second);
    if (second.unit[0] == '\0')
        return reader_refuse(r, BLY_E_UNIT, "has no unit after the second number; expected %s",
                             bly_dimension_words(r->dim));
    if (pair == NULL && unit_find_any(second.unit) == NULL)
        return refuse_unknown(r, &second, part_of(r->dim, false));
    if (pair == NULL)
        return reader_refuse(r, BLY_E_UNIT, "does not divide into %s", bly_dimension_words(r->dim));
    if (pair->result != r->dim)
        return refuse_dimension(r, pair->result);
    double a, b;
    if (!term_value(r, first, false, unit_find(first->unit, pair->first), &a) ||
        !term_value(r, &second, false, unit_find(second.unit, pair->second), &b))
        return false;
    double over = pair->inverse ? b : a, under = pair->inverse ? a : b;
    if (!(under > 0.0) || !(b > 0.0))
        return reader_refuse(r, BLY_E_RANGE, "divides by zero");
    double value = over / under;
    if (!isfinite(value))
        return reader_refuse(r, BLY_E_RANGE, "is too large a number");
    *si = minus && value > 0.0 ? -value : value;
    return true;
}

/* A number alone: a ratio, a price, or in the unit that the format names. */
static bool bare_value(const Reader *r, const Term *term, const char *bare_unit, bool minus,
                       double *si) {
    static const BlyUnit one = {.num = 1, .den = 1};
    const BlyUnit *unit = NULL;
    if (bare_unit != NULL) {
        char spelling[BLY_SPELLING_MAX];
        if (unit_spelling(bare_unit, strlen(bare_unit), spelling))
            unit = unit_find(spelling, r->dim);
        if (unit == NULL)
            return reader_refuse(r, BLY_E_INTERNAL, "has \"%.16s\" as the unit of the format",
                                 bare_unit);
    } else if (r->dim == BLY_DIM_RATIO || r->dim == BLY_DIM_PRICE) {
        unit = &one;
    } else {
        return reader_refuse(r, BLY_E_UNIT, "has no unit; expected %s",
                             bly_dimension_words(r->dim));
    }
    return term_value(r, term, minus, unit, si);
}

static bool read_single(Reader *r, Term *term, const char *bare_unit, bool minus, double *si) {
    if (!spell(r, term, strlen(term->at)))
        return false;
    if (term->unit[0] == '\0')
        return bare_value(r, term, bare_unit, minus, si);
    const BlyUnit *unit = unit_find(term->unit, r->dim);
    if (unit != NULL)
        return term_value(r, term, minus, unit, si);
    const BlyUnit *other = unit_find_any(term->unit);
    if (other != NULL)
        return refuse_dimension(r, other->dim);
    return refuse_unknown(r, term, r->dim);
}

bool bly_quantity_read(const char *text, BlyDimension dim, const char *bare_unit, double *si,
                       BlyError *err) {
    Reader r = {.text = text, .at = text, .dim = dim, .err = err};
    reader_skip_blanks(&r);
    if (*r.at == '\0')
        return reader_refuse(&r, BLY_E_SYNTAX, "is empty; expected %s", bly_dimension_words(dim));
    bool minus = reader_minus(&r);
    Term term;
    if (!reader_number(&r, &term.number))
        return false;
    reader_skip_blanks(&r);
    term.at = r.at;
    size_t length;
    double value;
    const char *second = find_second(term.at, &length);
    bool good = second != NULL ? read_pair(&r, &term, length, second, minus, &value)
                               : read_single(&r, &term, bare_unit, minus, &value);
    if (good && dim == BLY_DIM_TEMPERATURE)
        good = check_temperature(&r, &value);
    if (good)
        *si = value;
    return good;
}
