/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/water.h"
#include "report/wish.h"
#include "text/format.h"

#include <gsl/gsl_math.h>

/* 90 of 100 over 95 of 100 of a normal law. */
static const double ninety = BLY_SIGMAS_90 / BLY_SIGMAS_95;

static void figure_words(const Report *r, BlyTowReadKind kind, double value, char out[WORDS_MAX]) {
    switch (kind) {
    case BLY_TOW_READ_DEPTH:
        if (value > 0)
            tow_reach_words(value, r->system, out);
        else
            (void)snprintf(out, WORDS_MAX, "on top");
        return;
    case BLY_TOW_READ_PULL:
        tow_pull_words(value, r->system, out);
        return;
    case BLY_TOW_READ_NOSE:
        attitude_words(value, out);
        return;
    default:
        if (value > BLY_TOW_FASTEST)
            (void)snprintf(out, WORDS_MAX, "never");
        else
            tow_speed_words(value, r->system, out);
    }
}

static void text_readings(const Report *r, const BlyTowReading *readings,
                          const BlyTowLesson *lesson) {
    (void)fprintf(r->out, "  %-17s %-8s %-18s %-18s %s\n", "on the line", "at", "read",
                  "the model said", "says now");
    for (size_t i = 0; i < lesson->count; i++) {
        const BlyTowReading *reading = &readings[i];
        char at[WORDS_MAX] = "", read[WORDS_MAX], before[WORDS_MAX], after[WORDS_MAX];
        if (reading->kind != BLY_TOW_READ_UNDER)
            tow_speed_words(reading->speed, r->system, at);
        figure_words(r, reading->kind, reading->value.value, read);
        figure_words(r, reading->kind, lesson->before[i], before);
        figure_words(r, reading->kind, lesson->after[i], after);
        (void)fprintf(r->out, "  %-17s %-8s %-18s %-18s %s\n", bly_tow_read_words(reading->kind),
                      at, read, before, after);
    }
}

static void text_corrections(const Report *r, const BlyTowLesson *lesson) {
    (void)fprintf(r->out, "what it taught of lures of this shape, in brackets 90 of 100\n");
    for (int i = 0; i < BLY_TOW_LEARNT; i++) {
        const BlyTowCorrection *c = &lesson->corrections[i];
        bool centre = c->factor == BLY_TOW_CENTRE;
        double half = ninety * c->after.give;
        if (c->learnt < 0.01) {
            (void)fprintf(r->out, "  %s: nothing\n", bly_tow_factor_words(c->factor));
            continue;
        }
        report_print(r->out, "  %s: %.2f%s (%.2f to %.2f), was %.2f (%.2f to %.2f)\n",
                     bly_tow_factor_words(c->factor), c->after.value,
                     centre ? " chords further back" : " times the published force",
                     c->after.value - half, c->after.value + half, c->before.value,
                     c->before.value - ninety * c->before.give,
                     c->before.value + ninety * c->before.give);
        if (c->beyond)
            (void)fprintf(r->out, "    that is more than published figures differ by: the model "
                                  "holds badly for this shape\n");
    }
}

void text_water(const Report *r, const BlyTowReading *readings, const BlyTowLesson *lesson) {
    text_readings(r, readings, lesson);
    if (lesson->contradiction) {
        report_print(r->out,
                     "this cannot all be true: by chance readings lie so far off less than "
                     "once in 100 times\n  read again what lies furthest off; if it stays, the "
                     "model does not hold for this lure\n");
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
