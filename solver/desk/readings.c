/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings from a maker's words. */
#include "desk/readings.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "ballastry/units.h"
#include "text/format.h"

enum { WORDS = 120 };

static const double stopwatch = 0.2, tape = 5e-3; /* s, m: from memory, docs/tank.md */

static const struct {
    BlyDimension dim;
    const char *bare;
} measures[BLY_READ_KINDS] = {
    [BLY_READ_SCALE] = {BLY_DIM_MASS, "g"},          [BLY_READ_IN_WATER] = {BLY_DIM_MASS, "g"},
    [BLY_READ_DRIFT] = {BLY_DIM_SPEED, "mm/s"},      [BLY_READ_TILT] = {BLY_DIM_ANGLE, "deg"},
    [BLY_READ_TILT_AFLOAT] = {BLY_DIM_ANGLE, "deg"}, [BLY_READ_SHOWS] = {BLY_DIM_RATIO, NULL},
    [BLY_READ_BALANCE] = {BLY_DIM_LENGTH, "mm"},
};

const ReadingOption reading_options[READING_WAYS] = {
    {"--scale", BLY_READ_SCALE, false}, {"--in-water", BLY_READ_IN_WATER, false},
    {"--sinks", BLY_READ_DRIFT, false}, {"--rises", BLY_READ_DRIFT, true},
    {"--tilts", BLY_READ_TILT, false},  {"--tilts-afloat", BLY_READ_TILT_AFLOAT, false},
    {"--shows", BLY_READ_SHOWS, false}, {"--balance", BLY_READ_BALANCE, false},
};

/* A text cut up: what was read, its give and the stage, "" where not said. */
typedef struct Parts {
    char value[WORDS], give[WORDS], stage[WORDS];
} Parts;

static void copy_trimmed(const char *from, size_t length, char out[WORDS]) {
    while (length > 0 && bly_is_space(*from)) {
        from++;
        length--;
    }
    while (length > 0 && bly_is_space(from[length - 1]))
        length--;
    memcpy(out, from, length);
    out[length] = '\0';
}

static bool cut_up(const char *text, const char *option, Parts *out, BlyError *err) {
    size_t length = strlen(text);
    *out = (Parts){"", "", ""};
    if (length >= WORDS)
        return bly_fail(err, BLY_E_SYNTAX, option, "is longer than any reading");
    const char *at = strstr(text, " at "), *give = strstr(text, "+-");
    const char *stop = at != NULL ? at : text + length;
    if (at != NULL && give != NULL && give > at)
        return bly_fail(
            err, BLY_E_SYNTAX, option,
            "expected the tolerance before the stage, as in \"14.2 g +- 0.05 g at coated\"");
    if (at != NULL)
        copy_trimmed(at + 4, strlen(at + 4), out->stage);
    if (give != NULL) {
        copy_trimmed(give + 2, (size_t)(stop - give - 2), out->give);
        stop = give;
    }
    copy_trimmed(text, (size_t)(stop - text), out->value);
    return true;
}

bool option_quantity(const char *text, BlyDimension dim, const char *bare, const char *option,
                     double *out, BlyError *err) {
    if (bly_quantity_read(text, dim, bare, out, err))
        return true;
    if (err != NULL)
        (void)snprintf(err->where, sizeof err->where, "%s", option);
    return false;
}

/* A scale rounds; whoever writes whole seconds or degrees rarely did so well. */
static double as_written(const char *value, BlyDimension dim, const char *bare) {
    return dim == BLY_DIM_MASS ? bly_mass_give_least(value)
                               : bly_quantity_last_digit(value, dim, bare);
}

/* The figure of one quantity; `usual` is the tool's give. */
static bool figure(const char *value, const char *give, BlyDimension dim, const char *bare,
                   double usual, const char *option, BlyFigure *out, BlyError *err) {
    if (!option_quantity(value, dim, bare, option, &out->value, err))
        return false;
    out->give = fmax(usual, as_written(value, dim, bare));
    if (give[0] == '\0')
        return true;
    BlyDimension step = dim == BLY_DIM_TEMPERATURE ? BLY_DIM_TEMPERATURE_STEP : dim;
    if (!option_quantity(give, step, bare, option, &out->give, err))
        return false;
    if (out->give > 0.0)
        return true;
    return bly_fail(err, BLY_E_RANGE, option, "expected a tolerance above 0");
}

/* "60 cm in 5.2 s". */
static bool drift(const Parts *parts, const ReadingOption *option, BlyFigure *out, BlyError *err) {
    const char *in = strstr(parts->value, " in ");
    char depth_text[WORDS];
    BlyFigure depth = {0.0, tape}, seconds;
    if (in == NULL)
        return bly_fail(err, BLY_E_SYNTAX, option->name,
                        "expected a depth and a time, such as \"60 cm in 5.2 s\"");
    copy_trimmed(parts->value, (size_t)(in - parts->value), depth_text);
    if (!option_quantity(depth_text, BLY_DIM_LENGTH, "mm", option->name, &depth.value, err) ||
        !figure(in + 4, parts->give, BLY_DIM_TIME, "s", stopwatch, option->name, &seconds, err))
        return false;
    if (!(depth.value > 0.0) || !(seconds.value > 0.0))
        return bly_fail(err, BLY_E_RANGE, option->name, "expected a depth and a time above 0");
    *out = bly_reading_drift(depth, seconds, !option->rises);
    return true;
}

bool stage_parse(const char *text, const char *option, BlyStage *out, BlyError *err) {
    for (int i = 0; i < BLY_STAGES; i++) {
        if (strcmp(text, bly_stage_words[i]) == 0) {
            *out = (BlyStage)i;
            return true;
        }
    }
    return bly_fail(err, BLY_E_UNKNOWN, option,
                    "'%.40s' is not a stage; expected blank, cut, eyed, coated or complete", text);
}

bool reading_parse(const char *text, const ReadingOption *option, BlyStage stage, BlyReading *out,
                   BlyError *err) {
    Parts parts;
    *out = (BlyReading){.kind = option->kind, .stage = stage};
    if (!cut_up(text, option->name, &parts, err) ||
        (parts.stage[0] != '\0' && !stage_parse(parts.stage, option->name, &out->stage, err)))
        return false;
    if (option->kind == BLY_READ_DRIFT)
        return drift(&parts, option, &out->value, err);
    return figure(parts.value, parts.give, measures[option->kind].dim, measures[option->kind].bare,
                  bly_reading_give(option->kind), option->name, &out->value, err);
}

static bool water_figure(const char *text, BlyDimension dim, const char *bare, double usual,
                         const char *option, BlyFigure *out, BlyError *err) {
    Parts parts;
    if (text == NULL)
        return true;
    if (!cut_up(text, option, &parts, err))
        return false;
    if (parts.stage[0] != '\0')
        return bly_fail(err, BLY_E_SYNTAX, option, "the water has no stage");
    if (parts.give[0] != '\0')
        return figure(parts.value, parts.give, dim, bare, usual, option, out, err);
    out->give = usual;
    return option_quantity(parts.value, dim, bare, option, &out->value, err);
}

bool tank_water_parse(const char *temperature, const char *salt, BlyWaterFacts *out,
                      BlyError *err) {
    BlyFigure salinity = out->salinity;
    if (!water_figure(temperature, BLY_DIM_TEMPERATURE, "C", 1.0, "--water", &out->temperature,
                      err) ||
        !water_figure(salt, BLY_DIM_SALINITY, "g/kg", NAN, "--salt", &salinity, err))
        return false;
    if (isnan(salinity.give)) /* a refractometer, which reads fresh water as fresh */
        salinity.give = 0.05 * salinity.value;
    out->salinity = salinity;
    if (bly_water_known(out->temperature.value, out->salinity.value))
        return true;
    return bly_fail(err, BLY_E_RANGE, "--water", "water is 0 to 40 C with 0 to 42 g/kg of salt");
}
