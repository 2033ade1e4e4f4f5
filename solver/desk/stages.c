/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings on the way, stage by stage. */
#include "desk/stages.h"

#include <assert.h>
#include <gsl/gsl_math.h>

#include "ballastry/units.h"

static_assert((int)BUILD_READ_KINDS == (int)BLY_READ_KINDS, "build files name every reading");

bool stages_passed(const BlyBuild *build, const TankWork *work, BlyError *err) {
    BlyStage reached;
    if (!build_reached(build, &reached))
        return true;
    for (size_t i = 0; i < work->count; i++) {
        if (work->readings[i].stage < reached)
            return bly_fail(err, BLY_E_CONFLICT, "--stage",
                            "the lure was read as %s already: as %s it can be read no more "
                            "(--anyway takes a reading that was noted then)",
                            bly_stage_words[reached], bly_stage_words[work->readings[i].stage]);
    }
    return true;
}

static void put(BlyReadingKind kind, BlyFigure figure, BlyText *out) {
    static const BlyDimension dims[BLY_READ_KINDS] = {
        [BLY_READ_SCALE] = BLY_DIM_MASS,        [BLY_READ_IN_WATER] = BLY_DIM_MASS,
        [BLY_READ_DRIFT] = BLY_DIM_SPEED,       [BLY_READ_TILT] = BLY_DIM_ANGLE,
        [BLY_READ_TILT_AFLOAT] = BLY_DIM_ANGLE, [BLY_READ_SHOWS] = BLY_DIM_RATIO,
        [BLY_READ_BALANCE] = BLY_DIM_LENGTH,
    };
    char value[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    bly_quantity_within(figure.value, 0.005 * figure.give, dims[kind], BLY_METRIC, value);
    bly_quantity_within(figure.give, 0.005 * figure.give, dims[kind], BLY_METRIC, give);
    bly_text_appendf(out, "{\"value\": \"%s\", \"give\": \"%s\"}", value, give);
}

void stages_entry(const BlyReading *reading, const BlyFigure *planned, const char *on,
                  BlyText *out) {
    bly_text_appendf(out, "{\"stage\": \"%s\"", bly_stage_words[reading->stage]);
    if (on != NULL && on[0] != '\0')
        bly_text_appendf(out, ", \"on\": \"%s\"", on);
    bly_text_appendf(out, ", \"%s\": ", build_reading_keys[reading->kind]);
    put(reading->kind, reading->value, out);
    if (isfinite(planned->value)) {
        bly_text_appendf(out, ", \"planned\": ");
        put(reading->kind, *planned, out);
    }
    bly_text_appendf(out, "}");
}

/* Of one reading alone its weight says how sure the build was: g^2 / (g^2 + n^2). */
bool stages_planned(const BlyBuild *build, const BlyReading *reading, const BlyWaterFacts *water,
                    BlyFigure *out, BlyError *err) {
    BlyTankResult result;
    if (!bly_tank_learn(build, reading, 1, water, &result, err))
        return false;
    double h = fmin(result.taught[0].weight, 1.0 - 1e-12);
    *out = (BlyFigure){result.taught[0].before, reading->value.give * sqrt(h / (1.0 - h))};
    bly_tank_release(&result);
    return true;
}

bool stages_date(const char *text, const char *option, BlyError *err) {
    return build_is_date(text) ||
           bly_fail(err, BLY_E_SYNTAX, option, "'%.40s' is not a date such as 2031-04-30", text);
}
