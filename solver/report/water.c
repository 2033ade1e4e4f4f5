/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/lines.h"
#include "report/water.h"
#include "report/wish.h"
#include "text/format.h"

#include <gsl/gsl_math.h>

/* 90 of 100 over 95 of 100 of a normal law. */
static const double ninety = BLY_SIGMAS_90 / BLY_SIGMAS_95;

static void figure_words(BlyTowReadKind kind, double value, BlySystem system, char out[WORDS_MAX]) {
    switch (kind) {
    case BLY_TOW_READ_DEPTH:
        if (value > 0)
            tow_reach_words(value, system, out);
        else
            (void)snprintf(out, WORDS_MAX, "on top");
        return;
    case BLY_TOW_READ_PULL:
        tow_pull_words(value, system, out);
        return;
    case BLY_TOW_READ_NOSE:
        attitude_words(value, out);
        return;
    default:
        if (value > BLY_TOW_FASTEST)
            (void)snprintf(out, WORDS_MAX, "never");
        else
            tow_speed_words(value, system, out);
    }
}

void water_read_said(const BlyTowReading *reading, double before, double after, BlySystem system,
                     WaterReadSaid *out) {
    out->at[0] = '\0';
    if (reading->kind != BLY_TOW_READ_UNDER)
        tow_speed_words(reading->speed, system, out->at);
    figure_words(reading->kind, reading->value.value, system, out->read);
    figure_words(reading->kind, before, system, out->before);
    figure_words(reading->kind, after, system, out->after);
}

const char *const water_beyond_words =
    "that is more than published figures differ by: the model holds badly for this shape";

void water_taught_said(const BlyTowCorrection *c, char out[2 * WORDS_MAX]) {
    double half = ninety * c->after.give, was = ninety * c->before.give;
    if (c->learnt < 0.01)
        (void)snprintf(out, 2 * WORDS_MAX, "nothing");
    else
        (void)bly_format(
            out, 2 * WORDS_MAX, "%.2f %s (%.2f to %.2f), was %.2f (%.2f to %.2f)", c->after.value,
            c->factor == BLY_TOW_CENTRE ? "chords further back" : "times the published force",
            c->after.value - half, c->after.value + half, c->before.value, c->before.value - was,
            c->before.value + was);
}

static void text_readings(const Report *r, const BlyTowReading *readings,
                          const BlyTowLesson *lesson) {
    (void)fprintf(r->out, "  %-17s %-8s %-18s %-18s %s\n", "on the line", "at", "read",
                  "the model said", "says now");
    for (size_t i = 0; i < lesson->count; i++) {
        WaterReadSaid said;
        water_read_said(&readings[i], lesson->before[i], lesson->after[i], r->system, &said);
        (void)fprintf(r->out, "  %-17s %-8s %-18s %-18s %s\n", bly_tow_read_words(readings[i].kind),
                      said.at, said.read, said.before, said.after);
    }
}

static void text_corrections(const Report *r, const BlyTowLesson *lesson) {
    (void)fprintf(r->out, "what it taught of lures of this shape, in brackets 90 of 100\n");
    for (int i = 0; i < BLY_TOW_LEARNT; i++) {
        const BlyTowCorrection *c = &lesson->corrections[i];
        char said[2 * WORDS_MAX];
        water_taught_said(c, said);
        text_wrapped(r, 4, "  %s: %s", bly_tow_factor_words(c->factor), said);
        if (c->learnt >= 0.01 && c->beyond)
            text_wrapped(r, 4, "    %s", water_beyond_words);
    }
}

void text_water(const Report *r, const BlyTowReading *readings, const BlyTowLesson *lesson) {
    text_readings(r, readings, lesson);
    if (lesson->contradiction) {
        text_wrapped(r, 2,
                     "this cannot all be true: by chance readings lie so far off less than "
                     "once in 100 times");
        text_wrapped(r, 2,
                     "  read again what lies furthest off; if it stays, the model does not hold "
                     "for this lure");
        return;
    }
    text_corrections(r, lesson);
}

static cJSON *json_figure(BlyFigure figure) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_number(o, "value", figure.value) &&
                                put_number(o, "give", figure.give));
}

static const double scales[BLY_TOW_READ_KINDS] = {1, 1e3 / BLY_GRAVITY, 180 / M_PI, 1};
static const char *const read_keys[BLY_TOW_READ_KINDS] = {"trolled_depth_m", "pull_g",
                                                          "nose_down_deg", "draws_under_m_s"};

static cJSON *json_read(const BlyTowReading *reading, double before, double after) {
    cJSON *o = cJSON_CreateObject();
    double scale = scales[reading->kind];
    return json_finished(
        o, o && put_text(o, "reading", read_keys[reading->kind]) &&
               put_number(o, "speed_m_s",
                          reading->kind == BLY_TOW_READ_UNDER ? NAN : reading->speed) &&
               put_number(o, "read", reading->value.value * scale) &&
               put_number(o, "give", reading->value.give * scale) &&
               put_number(o, "before", before * scale) && put_number(o, "after", after * scale));
}

static cJSON *json_correction(const BlyTowCorrection *c) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_tree(o, "before", json_figure(c->before)) &&
                                put_tree(o, "after", json_figure(c->after)) &&
                                put_number(o, "learnt", c->learnt) &&
                                put_bool(o, "beyond", c->beyond));
}

cJSON *json_water(const BlyTowReading *readings, const BlyTowLesson *lesson) {
    cJSON *o = cJSON_CreateObject(), *list = cJSON_CreateArray();
    bool good = o && list;
    for (size_t i = 0; good && i < lesson->count; i++)
        good = put_last(list, json_read(&readings[i], lesson->before[i], lesson->after[i]));
    if (!o) {
        cJSON_Delete(list);
        return NULL;
    }
    good = put_tree(o, "readings", list) && good && put_number(o, "chance", lesson->chance) &&
           put_bool(o, "contradiction", lesson->contradiction);
    for (int i = 0; good && i < BLY_TOW_LEARNT; i++)
        good = put_tree(o, bly_tow_learnt_key(i), json_correction(&lesson->corrections[i]));
    return json_finished(o, good);
}
