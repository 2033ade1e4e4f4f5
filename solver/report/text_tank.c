/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tank taught, as a maker would want it told. */
#include "report/lines.h"
#include "report/tank.h"
#include "text/format.h"

#include <math.h>
#include <string.h>

/* 90 of 100 over 95 of 100 of a normal law. */
static const double ninety = BLY_SIGMAS_90 / BLY_SIGMAS_95;

static const struct {
    BlyDimension dim;
    int digits[2]; /* metric, inch */
} reading_table[BLY_READ_KINDS] = {
    [BLY_READ_SCALE] = {BLY_DIM_MASS, {2, 4}},        [BLY_READ_IN_WATER] = {BLY_DIM_MASS, {3, 4}},
    [BLY_READ_DRIFT] = {BLY_DIM_SPEED, {2, 2}},       [BLY_READ_TILT] = {BLY_DIM_ANGLE, {1, 1}},
    [BLY_READ_TILT_AFLOAT] = {BLY_DIM_ANGLE, {1, 1}}, [BLY_READ_SHOWS] = {BLY_DIM_RATIO, {1, 1}},
    [BLY_READ_BALANCE] = {BLY_DIM_LENGTH, {1, 2}},
};

static const struct {
    BlyDimension dim;
    int digits[2];
} learn_table[BLY_LEARN_KINDS] = {
    [BLY_LEARN_DENSITY] = {BLY_DIM_DENSITY, {3, 1}},
    [BLY_LEARN_MASS] = {BLY_DIM_MASS, {2, 4}},
    [BLY_LEARN_VOLUME] = {BLY_DIM_RATIO, {1, 1}},
    [BLY_LEARN_BALANCE] = {BLY_DIM_LENGTH, {1, 2}},
    [BLY_LEARN_BALANCE_UP] = {BLY_DIM_LENGTH, {1, 2}},
    [BLY_LEARN_COAT] = {BLY_DIM_LENGTH, {2, 3}},
    [BLY_LEARN_COAT_DENSITY] = {BLY_DIM_DENSITY, {3, 1}},
    [BLY_LEARN_INSET_DENSITY] = {BLY_DIM_DENSITY, {3, 1}},
    [BLY_LEARN_INSET_MASS] = {BLY_DIM_MASS, {3, 4}},
    [BLY_LEARN_SOAK] = {BLY_DIM_RATIO, {1, 1}},
    [BLY_LEARN_EXPANSION] = {BLY_DIM_EXPANSION, {0, 0}},
    [BLY_LEARN_DRAG] = {BLY_DIM_RATIO, {0, 0}},
    [BLY_LEARN_MUNK] = {BLY_DIM_RATIO, {0, 0}},
    [BLY_LEARN_PIECE] = {BLY_DIM_MASS, {3, 4}},
    [BLY_LEARN_TEMPERATURE] = {BLY_DIM_TEMPERATURE, {1, 1}},
    [BLY_LEARN_SALINITY] = {BLY_DIM_SALINITY, {1, 1}},
};

void tank_reading_figure(const Report *r, BlyReadingKind kind, double value,
                         char out[BLY_QUANTITY_MAX]) {
    bly_quantity_show(value, reading_table[kind].dim, r->system,
                      reading_table[kind].digits[r->system == BLY_INCH], out);
}

void correction_words(const BlyBuild *build, const BlyCorrection *c, char out[WORDS_MAX]) {
    if (c->kind == BLY_LEARN_PIECE)
        (void)snprintf(out, WORDS_MAX, "%s %s %s", build->seats[c->index].name,
                       bly_part_kind_name(c->part),
                       build->fitted.at[c->index].of[c->part].part->id);
    else if ((c->kind == BLY_LEARN_COAT || c->kind == BLY_LEARN_COAT_DENSITY) &&
             build->coat_count > 1)
        (void)snprintf(out, WORDS_MAX, "coat %d %s", c->index + 1,
                       c->kind == BLY_LEARN_COAT ? "thickness" : "density");
    else if (c->kind == BLY_LEARN_INSET_DENSITY || c->kind == BLY_LEARN_INSET_MASS)
        (void)snprintf(out, WORDS_MAX, "%s of %s",
                       c->kind == BLY_LEARN_INSET_MASS ? "mass" : "density",
                       build->facts.insets[c->index].name);
    else
        (void)snprintf(out, WORDS_MAX, "%s", bly_learn_words(c->kind));
}

/* JSON keeps the name of the literature. */
static void said_words(const BlyBuild *build, const BlyCorrection *c, char out[WORDS_MAX]) {
    if (c->kind == BLY_LEARN_MUNK)
        (void)snprintf(out, WORDS_MAX, "turning by the flow");
    else
        correction_words(build, c, out);
}

static void text_readings(const Report *r, const TankReport *t) {
    (void)fprintf(r->out, "  %-16s %-9s %11s  %11s  %11s\n", "reading", "at", "read", "build said",
                  "says now");
    for (size_t i = 0; i < t->result->reading_count; i++) {
        const BlyReading *reading = &t->readings[i];
        const BlyTaught *taught = &t->result->taught[i];
        char read[BLY_QUANTITY_MAX], before[BLY_QUANTITY_MAX], after[BLY_QUANTITY_MAX];
        char what[WORDS_MAX];
        tank_reading_figure(r, reading->kind, reading->value.value, read);
        tank_reading_figure(r, reading->kind, taught->before, before);
        tank_reading_figure(r, reading->kind, taught->after, after);
        (void)fprintf(r->out, "  %-16s %-9s %11s  %11s  %11s\n", bly_reading_words(reading->kind),
                      bly_stage_words[reading->stage], read, before, after);
        if (taught->correction < 0 || taught->alone < 0.005)
            continue;
        said_words(t->build, &t->result->corrections[taught->correction], what);
        text_wrapped(r, 6,
                     "    tells most about %s: by itself it makes that %.0f %% less uncertain",
                     what, 100 * taught->alone);
    }
}

/* Shown are those that were learnt of, as before any edit of the file. */
static bool shown(const BlyCorrection *c) {
    return c->learnt >= 0.01 || fabs(c->after.value - c->before.value) > 0.1 * c->before.give;
}

/* Factors read best as numbers, all else with its unit. */
static void show_learnt(const Report *r, BlyLearnKind kind, double value, bool is_give, char *out) {
    BlyDimension dim = learn_table[kind].dim;
    bool factor = kind == BLY_LEARN_VOLUME || kind == BLY_LEARN_DRAG || kind == BLY_LEARN_MUNK;
    if (factor)
        (void)bly_format(out, BLY_QUANTITY_MAX, "%.*f", kind == BLY_LEARN_VOLUME ? 3 : 2, value);
    else
        bly_quantity_show(value,
                          is_give && dim == BLY_DIM_TEMPERATURE ? BLY_DIM_TEMPERATURE_STEP : dim,
                          r->system, learn_table[kind].digits[r->system == BLY_INCH], out);
}

static void show_figure(const Report *r, BlyLearnKind kind, BlyFigure figure, char out[WORDS_MAX]) {
    char value[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    show_learnt(r, kind, figure.value, false, value);
    show_learnt(r, kind, ninety * figure.give, true, give);
    value[strcspn(value, " ")] = '\0';
    (void)snprintf(out, WORDS_MAX, "%s +-%s", value, give);
}

static void text_corrections(const Report *r, const TankReport *t) {
    const BlyTankResult *result = t->result;
    bool any = false;
    for (size_t i = 0; i < result->correction_count; i++)
        any = any || shown(&result->corrections[i]);
    if (!any) {
        (void)fprintf(r->out, "nothing to correct\n");
        return;
    }
    (void)fprintf(r->out,
                  "corrections (of 100 such lures, 90 lie within the +-)\n  %-30s %-19s %-19s "
                  "%s\n",
                  "", "before", "after", "surer by");
    for (size_t i = 0; i < result->correction_count; i++) {
        const BlyCorrection *c = &result->corrections[i];
        char words[WORDS_MAX], before[WORDS_MAX], after[WORDS_MAX];
        if (!shown(c))
            continue;
        said_words(t->build, c, words);
        show_figure(r, c->kind, c->before, before);
        show_figure(r, c->kind, c->after, after);
        if (strlen(words) > 30)
            (void)fprintf(r->out, "  %s\n", words);
        (void)fprintf(r->out, "  %-30s %-19s %-19s %3.0f %%\n", strlen(words) > 30 ? "" : words,
                      before, after, 100 * c->learnt);
    }
}

/* "value (low to high)", or a dash where there is no value. */
static void in_band(double value, const char *text, const char *band, char out[2 * WORDS_MAX]) {
    if (isfinite(value))
        (void)snprintf(out, 2 * WORDS_MAX, "%.100s (%.150s)", text, band);
    else
        (void)snprintf(out, 2 * WORDS_MAX, "-");
}

static void forecast_row(const Report *r, const char *label, char both[2][2 * WORDS_MAX]) {
    text_wrapped(r, 26, "  %-16s before  %s", label, both[0]);
    text_wrapped(r, 26, "  %-16s after   %s", "", both[1]);
}

static void amount_row(const Report *r, const char *label, const double value[2],
                       const BlyBand90 band[2], BlyDimension dim, int digits) {
    char both[2][2 * WORDS_MAX];
    for (int i = 0; i < 2; i++) {
        char text[BLY_QUANTITY_MAX], range[WORDS_MAX];
        bly_quantity_show(value[i], dim, r->system, digits, text);
        from_to_words(r, band[i].low, band[i].high, dim, digits, range);
        in_band(value[i], text, range, both[i]);
    }
    forecast_row(r, label, both);
}

static void drift_row(const Report *r, const double value[2], const BlyBand90 band[2]) {
    char both[2][2 * WORDS_MAX];
    for (int i = 0; i < 2; i++) {
        char text[WORDS_MAX], range[WORDS_MAX];
        drift_range_words(value[i], value[i], r->system, 0, text);
        drift_range_words(band[i].low, band[i].high, r->system, 0, range);
        in_band(value[i], text, range, both[i]);
    }
    forecast_row(r, "speed", both);
}

static void attitude_row(const Report *r, const double value[2], const BlyBand90 band[2]) {
    char both[2][2 * WORDS_MAX];
    for (int i = 0; i < 2; i++) {
        char text[WORDS_MAX], range[WORDS_MAX];
        attitude_words(value[i], text);
        attitude_range_words(band[i].low, band[i].high, 1, range);
        in_band(value[i], text, range, both[i]);
    }
    forecast_row(r, "tilt", both);
}

static void text_forecast(const Report *r, const TankReport *t) {
    const BlyForecast *f[2] = {t->before, t->after};
    double net[2], drift[2], nose[2], shows[2];
    BlyBand90 nets[2], drifts[2], noses[2], showing[2];
    char water[WORDS_MAX];
    for (int i = 0; i < 2; i++) {
        net[i] = f[i]->outcome.sums.net_weight;
        drift[i] = f[i]->outcome.drift;
        nose[i] = f[i]->outcome.nose_down;
        shows[i] = f[i]->outcome.has_surface ? f[i]->outcome.surface.shows : NAN;
        nets[i] = f[i]->net_weight;
        drifts[i] = f[i]->drift;
        noses[i] = f[i]->nose_down;
        showing[i] = f[i]->shows;
    }
    water_words(&f[1]->outcome.water, r->system, water);
    text_wrapped(r, 2, "the finished lure in %s (and where 90 of 100 such lures lie)", water);
    char it[2][2 * WORDS_MAX];
    for (int i = 0; i < 2; i++)
        (void)snprintf(it[i], sizeof it[i], "%s",
                       f[i]->outcome.state == BLY_FLOATS ? "floats" : drift_words(drift[i]));
    forecast_row(r, "it", it);
    amount_row(r, "weight in water", net, nets, BLY_DIM_MASS, r->system == BLY_INCH ? 4 : 3);
    drift_row(r, drift, drifts);
    attitude_row(r, nose, noses);
    if (f[0]->outcome.has_surface || f[1]->outcome.has_surface)
        amount_row(r, "part above water", shows, showing, BLY_DIM_RATIO, 1);
}

/* What must be known first. */
static void text_first(const Report *r, const TankReport *t) {
    char said[TANK_SAID_MAX][TANK_SENTENCE_MAX];
    size_t count = tank_said(r, t, said);
    for (size_t i = 0; i < count; i++)
        text_wrapped(r, 2, "%s", said[i]);
    text_tank_unfinished(r, t);
}

/* By the share of true lures that would disagree more. */
static void text_agreement(const Report *r, const BlyTankResult *result) {
    const char *how = result->chance >= 0.1    ? "agree well"
                      : result->chance >= 0.02 ? "agree, but only just"
                                               : "hardly agree: read them once more";
    (void)fprintf(r->out, "reading%s and build %s\n", result->reading_count == 1 ? "" : "s", how);
}

/* A reading that contradicts spoils every figure that follows from it: then nothing else is told.
 */
static void text_learnt(const Report *r, const TankReport *t) {
    BlyWater water;
    char words[WORDS_MAX] = "water";
    if (t->result->contradiction && !t->anyway) {
        text_wrapped(r, 2,
                     "read that again, leave it out, or correct the build; --anyway shows what "
                     "would come of it");
        return;
    }
    if (bly_water_at(t->water->temperature.value, t->water->salinity.value, &water, NULL))
        water_words(&water, r->system, words);
    (void)fprintf(r->out, "read in %s\n", words);
    text_readings(r, t);
    (void)fprintf(r->out, "\n");
    text_corrections(r, t);
    text_agreement(r, t->result);
    (void)fprintf(r->out, "\n");
    text_forecast(r, t);
}

/* Read on the way: as chosen it would now miss its target, and something is not mounted yet. */
static bool is_to_be_chosen_anew(const TankReport *t) {
    bool open = false;
    if (t->worth->made || !t->build->has_target)
        return false;
    for (size_t s = 0; s < t->build->seat_count; s++)
        open = open || t->build->seats[s].open != 0;
    for (size_t i = 0; i < t->result->reading_count; i++)
        open = open && t->readings[i].stage != BLY_STAGE_COMPLETE;
    return open && !bly_judge(&t->build->target, &t->after->outcome).met;
}

static void text_next(const Report *r, const TankReport *t) {
    if (t->worth != NULL && is_to_be_chosen_anew(t))
        text_wrapped(r, 2,
                     "next: `fit` on the corrected build, which would miss its target as it is "
                     "chosen: what is not mounted yet is chosen anew");
    else if (t->worth != NULL)
        text_worth(r, t->build, t->worth, t->reserve);
}

void text_tank(const Report *r, const TankReport *t) {
    (void)fprintf(r->out, "%s\n", t->build->name);
    text_first(r, t);
    text_learnt(r, t);
    text_slips(r, t->slips);
    text_next(r, t);
}
