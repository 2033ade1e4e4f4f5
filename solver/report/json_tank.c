/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tank taught, as a JSON tree. */
#include "report/tank.h"

#include <gsl/gsl_math.h>
#include <math.h>

static const double ninety = BLY_SIGMAS_90 / BLY_SIGMAS_95; /* as in text_tank.c */
static const double deg = 180 / M_PI;

/* What follows a key, and SI times this. */
typedef struct Unit {
    const char *ending;
    double times;
} Unit;

static const Unit reading_units[BLY_READ_KINDS] = {
    [BLY_READ_SCALE] = {"_g", 1e3},
    [BLY_READ_IN_WATER] = {"_g", 1e3},
    [BLY_READ_DRIFT] = {"_mm_s", 1e3},
    [BLY_READ_TILT] = {"_deg", 180 / M_PI},
    [BLY_READ_TILT_AFLOAT] = {"_deg", 180 / M_PI},
    [BLY_READ_SHOWS] = {"_percent", 100},
    [BLY_READ_BALANCE] = {"_mm", 1e3},
};

static const Unit learn_units[BLY_LEARN_KINDS] = {
    [BLY_LEARN_DENSITY] = {"_g_cm3", 1e-3},      [BLY_LEARN_MASS] = {"_g", 1e3},
    [BLY_LEARN_VOLUME] = {"_factor", 1},         [BLY_LEARN_BALANCE] = {"_mm", 1e3},
    [BLY_LEARN_BALANCE_UP] = {"_mm", 1e3},       [BLY_LEARN_COAT] = {"_mm", 1e3},
    [BLY_LEARN_SOAK] = {"_percent", 100},        [BLY_LEARN_EXPANSION] = {"_ppm_k", 1e6},
    [BLY_LEARN_DRAG] = {"_factor", 1},           [BLY_LEARN_MUNK] = {"_factor", 1},
    [BLY_LEARN_COAT_DENSITY] = {"_g_cm3", 1e-3}, [BLY_LEARN_INSET_DENSITY] = {"_g_cm3", 1e-3},
    [BLY_LEARN_INSET_MASS] = {"_g", 1e3},        [BLY_LEARN_PIECE] = {"_g", 1e3},
    [BLY_LEARN_TEMPERATURE] = {"_c", 1},         [BLY_LEARN_SALINITY] = {"_g_kg", 1e3},
};

static bool put_in(cJSON *o, const char *key, Unit unit, double si) {
    char name[64];
    (void)snprintf(name, sizeof name, "%s%s", key, unit.ending);
    return put_number(o, name, si * unit.times);
}

static bool put_reading(cJSON *list, const TankReport *t, size_t i) {
    const BlyReading *reading = &t->readings[i];
    const BlyTaught *taught = &t->result->taught[i];
    Unit unit = reading_units[reading->kind];
    char words[WORDS_MAX] = "";
    if (taught->correction >= 0)
        correction_words(t->build, &t->result->corrections[taught->correction], words);
    cJSON *o = cJSON_CreateObject();
    return put_last(list, o) && put_text(o, "reading", bly_reading_words(reading->kind)) &&
           put_text(o, "stage", bly_stage_words[reading->stage]) &&
           put_in(o, "read", unit, reading->value.value) &&
           put_in(o, "give", unit, reading->value.give) &&
           put_in(o, "before", unit, taught->before) && put_in(o, "after", unit, taught->after) &&
           put_number(o, "share_followed", taught->weight) && put_text(o, "taught_most", words) &&
           put_number(o, "share_alone", taught->alone) &&
           put_number(o, "contradiction", taught->contradiction) &&
           put_bool(o, "contradicts", taught->contradicts) &&
           put_in(o, "expected", unit, taught->expected) && put_number(o, "slip", taught->slip);
}

static bool put_correction(cJSON *list, const TankReport *t, const BlyCorrection *c) {
    Unit unit = learn_units[c->kind];
    char words[WORDS_MAX];
    correction_words(t->build, c, words);
    cJSON *o = cJSON_CreateObject();
    return put_last(list, o) && put_text(o, "quantity", words) &&
           put_in(o, "before", unit, c->before.value) &&
           put_in(o, "before_half_range", unit, ninety * c->before.give) &&
           put_in(o, "after", unit, c->after.value) &&
           put_in(o, "after_half_range", unit, ninety * c->after.give) &&
           put_number(o, "share_learnt", c->learnt);
}

static cJSON *json_band(BlyBand90 band, double times) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_number(o, "low", band.low * times) &&
                                put_number(o, "high", band.high * times));
}

static cJSON *json_forecast(const BlyForecast *f) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_tree(o, "outcome", json_outcome(&f->outcome)) &&
                                put_tree(o, "net_weight_range_g", json_band(f->net_weight, 1e3)) &&
                                put_tree(o, "drift_range_mm_s", json_band(f->drift, 1e3)) &&
                                put_tree(o, "nose_down_range_deg", json_band(f->nose_down, deg)) &&
                                put_tree(o, "shows_range_percent", json_band(f->shows, 100)));
}

static bool put_sentences(cJSON *o, const Report *r, const TankReport *t) {
    char said[TANK_SAID_MAX][TANK_SENTENCE_MAX];
    cJSON *list = cJSON_AddArrayToObject(o, "said");
    size_t count = tank_said(r, t, said);
    bool good = list != NULL;
    for (size_t i = 0; good && i < count; i++)
        good = put_last(list, cJSON_CreateString(said[i]));
    return good;
}

static bool put_unfinished(cJSON *o, const BlyBuild *build) {
    cJSON *list = cJSON_AddArrayToObject(o, "unfinished");
    bool good = list != NULL;
    for (size_t i = 0; good && i < build->seat_count; i++) {
        BlyPartKind part = bly_tank_lacks(build, i);
        if (part == BLY_PART_KINDS)
            continue;
        cJSON *seat = cJSON_CreateObject();
        good = put_last(list, seat);
        good = good && put_text(seat, "seat", build->seats[i].name) &&
               put_text(seat, "lacks", bly_part_kind_name(part));
    }
    return good;
}

static bool fill(cJSON *o, const Report *r, const TankReport *t) {
    cJSON *readings = cJSON_AddArrayToObject(o, "readings"),
          *corrections = cJSON_AddArrayToObject(o, "corrections");
    bool good = readings != NULL && corrections != NULL;
    for (size_t i = 0; good && i < t->result->reading_count; i++)
        good = put_reading(readings, t, i);
    for (size_t i = 0; good && i < t->result->correction_count; i++)
        good = put_correction(corrections, t, &t->result->corrections[i]);
    return good && put_number(o, "body_mass_g", 1e3 * t->result->body_mass.value) &&
           put_number(o, "body_mass_half_range_g", 1e3 * ninety * t->result->body_mass.give) &&
           put_number(o, "chi_square", t->result->chi_square) &&
           put_number(o, "chance", t->result->chance) &&
           put_bool(o, "contradiction", t->result->contradiction) &&
           put_bool(o, "settled", t->result->settled) && put_unfinished(o, t->build) &&
           put_sentences(o, r, t) && put_tree(o, "before", json_forecast(t->before)) &&
           put_tree(o, "after", json_forecast(t->after));
}

cJSON *json_tank(const Report *r, const TankReport *t) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o != NULL && put_text(o, "name", t->build->name) && fill(o, r, t) &&
               put_slips(o, t->slips) &&
               (t->worth == NULL ||
                put_tree(o, "next_reading", json_worth(t->build, t->worth, t->reserve))));
}
