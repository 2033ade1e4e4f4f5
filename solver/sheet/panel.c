/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What several drawings share. */
#include "sheet/panel.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>

double nice_scale(double most) {
    static const double steps[] = {1, 1.25, 1.5, 1.75, 2, 2.5, 3, 4, 5, 6, 8, 10};
    if (!(most > 0) || !isfinite(most))
        return 1;
    double decade = pow(10, floor(log10(most))), best = decade;
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        if (steps[i] * decade <= most * (1 + 1e-9))
            best = steps[i] * decade;
    }
    return best;
}

void scale_words(double scale, char out[WORDS_MAX]) {
    if (fabs(scale - 1) < 1e-9)
        (void)snprintf(out, WORDS_MAX, "life size");
    else if (scale > 1)
        (void)bly_format(out, WORDS_MAX, "%g times life size", scale);
    else
        (void)bly_format(out, WORDS_MAX, "%g of life size", scale);
}

size_t paragraph_lines(TextStyle style, double width, const char *text) {
    size_t lines = 0;
    while (*text != '\0') {
        text += text_break(style, text, width);
        while (*text == ' ')
            text++;
        lines++;
    }
    return lines;
}

double flow_paragraph(Canvas *canvas, TextStyle style, double x, double baseline, double width,
                      const char *text) {
    while (*text != '\0') {
        size_t length = text_break(style, text, width);
        BlyText line = {0};
        bly_text_append_bytes(&line, text, length);
        canvas->svg.failed = canvas->svg.failed || line.failed;
        (void)canvas_text(canvas, style, ANCHOR_START, (Pt){x, baseline}, 0,
                          bly_text_string(&line));
        bly_text_release(&line);
        text += length;
        while (*text == ' ')
            text++;
        baseline += text_pitch(style);
    }
    return baseline;
}

void seat_words(const BlySheetFacts *facts, int seat, char text[64], char brief[8]) {
    (void)snprintf(brief, 8, "%d", (seat + 1) % 1000);
    bool empty = bly_choice_is_empty(&facts->rig->at[seat]);
    (void)snprintf(text, 64, "%d %.45s%s", (seat + 1) % 1000, facts->build->seats[seat].name,
                   empty ? ", empty" : "");
}

void doing_words(const BlyOutcome *outcome, BlySystem system, char out[3 * WORDS_MAX]) {
    char attitude[WORDS_MAX], speed[WORDS_MAX];
    if (outcome->has_surface) {
        attitude_words(outcome->surface.nose_down, attitude);
        (void)snprintf(out, 3 * WORDS_MAX, "floats, %.0f %% above water, %s",
                       outcome->surface.shows * 100, attitude);
        return;
    }
    attitude_words(outcome->nose_down, attitude);
    speed_words(outcome->drift, system, speed);
    (void)snprintf(out, 3 * WORDS_MAX, "%s, %s, %s", drift_words(outcome->drift), attitude, speed);
}

bool facts_figure(const BlySheetFacts *facts, Aspect aspect, unsigned parts, Figure *out,
                  BlyError *err) {
    const FigureOf of = {facts->build, facts->rig, &facts->lure};
    return bly_figure_make(&of, aspect, parts, out, err);
}
