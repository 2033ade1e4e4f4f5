/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run on the line, as text. */
#include "report/lines.h"
#include "report/tow.h"
#include "report/wish.h"
#include "text/format.h"

#include <gsl/gsl_math.h>
#include <string.h>

const char *const tow_estimate_words =
    "an estimate from published forces on plates, wires and slender bodies; never checked against "
    "a lure on a line";

static void text_line(const Report *r, const BlyTowLine *line) {
    char length[WORDS_MAX], rod[WORDS_MAX], thick[BLY_QUANTITY_MAX];
    tow_reach_words(line->length, r->system, length);
    tow_reach_words(line->rod, r->system, rod);
    bly_quantity_show(line->diameter, BLY_DIM_LENGTH, r->system, r->system == BLY_INCH ? 4 : 2,
                      thick);
    text_wrapped(r, 2, "on the line: %s of %s, rod tip %s above the water", length, thick, rod);
}

static void text_at(const Report *r, const BlyTowAt *at) {
    TowSaid said;
    tow_said(at, r->system, &said);
    if (said.lies[0] == '\0') {
        text_wrapped(r, 16, "  at %-10s %s", said.speed, said.does);
        return;
    }
    bool rod = said.at_rod[0] != '\0';
    text_wrapped(r, 16, "  at %-10s %s, runs %s, pulls %s%s%s%s; %s of its drag", said.speed,
                 said.does, said.lies, said.pull, rod ? ", " : "", said.at_rod,
                 rod ? " at the rod" : "", said.most);
    if (said.depth[0] == '\0') {
        (void)fprintf(r->out, "                stays at the surface\n");
        return;
    }
    text_wrapped(r, 18, "                trolled %s deep; cast and reeled in at most %s",
                 said.depth, said.cast);
    if (said.near_rod[0] != '\0')
        (void)fprintf(r->out, "                comes up near the rod from %s of line\n",
                      said.near_rod);
}

static void text_under(const Report *r, const BlyTowed *towed) {
    char said[2 * WORDS_MAX];
    tow_under_said(towed, r->system, said);
    if (said[0] != '\0')
        text_wrapped(r, 4, "  %s", said);
}

static unsigned notes_of(const BlyTowed *towed) {
    unsigned notes = 0;
    for (size_t i = 0; i < towed->count; i++)
        notes |= towed->at[i].run.notes;
    return notes;
}

static void text_tow_notes(const Report *r, const BlyTowed *towed) {
    unsigned notes = notes_of(towed);
    for (unsigned bit = 1; bly_tow_note_words(bit); bit <<= 1) {
        if (notes & bit)
            text_wrapped(r, 8, "  note: %s", bly_tow_note_words(bit));
    }
}

void text_towed(const Report *r, const BlyTowed *towed) {
    text_line(r, &towed->line);
    text_wrapped(r, 2, "  %s", tow_estimate_words);
    text_wrapped(r, 2,
                 "  in brackets: 90 of 100 such lures, the error of the formulas counted in; "
                 "never closer than a third or 5 deg");
    for (size_t i = 0; i < towed->count; i++)
        text_at(r, &towed->at[i]);
    text_under(r, towed);
    text_tow_notes(r, towed);
    text_wrapped(r, 2,
                 "  whether it runs steady, porpoises, rolls over or how it wobbles only the "
                 "water tells");
}

void text_tow_short(const Report *r, const BlyTowed *towed) {
    text_line(r, &towed->line);
    for (size_t i = 0; i < towed->count; i++)
        text_at(r, &towed->at[i]);
    text_under(r, towed);
    text_wrapped(r, 4, "  %s; ballastry tow tells more", tow_estimate_words);
}

void text_tow_levers(const Report *r, const BlyTowEffect levers[BLY_TOW_LEVERS], double speed) {
    char at[WORDS_MAX];
    tow_speed_words(speed, r->system, at);
    (void)fprintf(r->out,
                  "what a change does at %s, where 95 of 100 agree\n  %-23s %-17s %-15s "
                  "%s\n",
                  at, "", "depth", "pull", "tilt");
    for (int i = 0; i < BLY_TOW_LEVERS; i++) {
        if (!levers[i].possible)
            continue;
        TowChangeSaid said;
        tow_change_said(&levers[i], &said);
        (void)fprintf(r->out, "  %-23s %-17s %-15s %s\n", bly_tow_lever_words((BlyTowLever)i),
                      said.depth, said.pull, said.tilt);
    }
}

void text_tow_compare(const Report *r, const BlyTowEffect *effect, const BlyTowAsk *ask) {
    char at[WORDS_MAX];
    TowChangeSaid said;
    tow_speed_words(ask->speeds[ask->change_at], r->system, at);
    tow_change_said(effect, &said);
    text_wrapped(r, 2,
                 "on the line at %s, after against before (an estimate, told where 95 of 100 "
                 "agree)",
                 at);
    text_wrapped(r, 4, "  depth %s; pull %s; tilt %s", said.depth, said.pull, said.tilt);
}
