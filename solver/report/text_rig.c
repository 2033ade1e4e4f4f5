/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to mount where, as a maker would write it on the bench. */
#include "report/lines.h"
#include "text/format.h"

#include <math.h>
#include <string.h>

/* The words of one choice, as they grow. */
typedef struct Words {
    const Report *r;
    char *out;
    size_t length;
    bool brief; /* without what the ids and the ladder tell */
} Words;

BLY_PRINTF(2, 3) static void add(Words *words, const char *fmt, ...) {
    va_list args;
    va_start(args, fmt);
    int n = bly_vformat(words->out + words->length, CHOICE_MAX - words->length, fmt, args);
    va_end(args);
    size_t room = CHOICE_MAX - words->length - 1;
    words->length += n < 0 ? 0 : (size_t)n < room ? (size_t)n : room;
}

static void add_length(Words *words, const char *before, double si) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(si, BLY_DIM_LENGTH, words->r->system, words->r->system == BLY_INCH ? 2 : 1,
                      text);
    add(words, "%s%s", before, text);
}

static void add_gauge(Words *words, const char *before, double si) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(si, BLY_DIM_LENGTH, words->r->system, words->r->system == BLY_INCH ? 3 : 2,
                      text);
    add(words, "%s%s", before, text);
}

static double piece_mass(const BlyChosenPart *piece) {
    return isfinite(piece->weighed.value) ? piece->weighed.value : piece->part->mass.value;
}

static void add_piece(Words *words, const BlyChosenPart *piece) {
    char mass[WORDS_MAX];
    small_mass_words(piece_mass(piece), words->r->system, false, mass);
    add(words, "%s%s", words->length > 0 ? ", " : "", piece->part->id);
    if (isfinite(piece_mass(piece)) && !words->brief)
        add(words, " (%s)", mass);
}

static void add_lip(Words *words, const BlySeat *seat, const BlyChoice *c) {
    const BlyPart *sheet = c->of[BLY_PART_SHEET].part;
    double thickness = isfinite(c->thickness) ? c->thickness : sheet->thickness;
    bool filed = thickness < sheet->thickness - 1e-7;
    add(words, "%s, shape %s", sheet->id, c->of[BLY_PART_OUTLINE].part->id);
    add_length(words, ", ", c->length);
    add_length(words, " long with ", seat->depth);
    add(words, " in the slot");
    if (filed)
        add_gauge(words, ", filed to ", thickness);
    else if (!words->brief)
        add_gauge(words, ", thickness ", thickness);
    if (c->filed > 0)
        add_gauge(words, ", outside the slot filed to ", thickness - c->filed);
}

static void add_patch(Words *words, const BlyChoice *c) {
    const BlyPart *strip = c->of[BLY_PART_STRIP].part;
    const BlyPart *dot = c->of[BLY_PART_DOT].part;
    if (strip != NULL) {
        add(words, "%s", strip->id);
        add_length(words, ", ", c->length);
        add_length(words, " long, from ", c->x);
        if (c->count > 1)
            add(words, ", %d layers", c->count);
    } else if (dot != NULL) {
        add(words, "%d x %s", c->count, dot->id);
        add_length(words, " around ", c->x);
    }
}

static void add_chain(Words *words, const BlyChoice *c) {
    static const BlyPartKind order[] = {BLY_PART_EYE, BLY_PART_RING, BLY_PART_HOOK, BLY_PART_SNAP};
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        if (c->of[order[i]].part != NULL)
            add_piece(words, &c->of[order[i]]);
    }
    if (c->of[BLY_PART_WIRE].part != NULL)
        add(words, ", %d turn%s of %s on the shank", c->count, c->count == 1 ? "" : "s",
            c->of[BLY_PART_WIRE].part->id);
}

void choice_words(const Report *r, const BlySeat *seat, const BlyChoice *c, bool brief,
                  char out[CHOICE_MAX]) {
    Words words = {r, out, 0, brief};
    out[0] = '\0';
    if (bly_choice_is_empty(c)) {
        add(&words, "nothing");
        return;
    }
    if (seat->kind == BLY_SEAT_SLOT)
        add_lip(&words, seat, c);
    else if (seat->kind == BLY_SEAT_PATCH)
        add_patch(&words, c);
    else
        add_chain(&words, c);
    if (seat->kind != BLY_SEAT_PATCH)
        add_length(&words, "; at ", c->x);
}

int seat_width(const BlyBuild *build, int least) {
    size_t width = (size_t)least;
    for (size_t i = 0; i < build->seat_count; i++) {
        size_t length = strlen(build->seats[i].name);
        width = length > width ? length : width;
    }
    return width < 32 ? (int)width : 32;
}

bool same_pieces(const BlyChoice *a, const BlyChoice *b) {
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        if (a->of[kind].part != b->of[kind].part)
            return false;
    }
    double thinner =
        (isnan(a->thickness) ? 0 : a->thickness) - (isnan(b->thickness) ? 0 : b->thickness);
    return a->count == b->count && fabs(a->x - b->x) < 1e-7 && fabs(a->length - b->length) < 1e-7 &&
           fabs(a->filed - b->filed) < 1e-7 && fabs(thinner) < 1e-7;
}

static void rig_lines(const Report *r, const BlyBuild *build, const BlyRig *rig, const BlyRig *old,
                      bool brief) {
    int width = seat_width(build, 8);
    for (size_t i = 0; i < rig->count; i++) {
        char words[CHOICE_MAX];
        bool changed = old != NULL && !same_pieces(&rig->at[i], &old->at[i]);
        choice_words(r, &build->seats[i], &rig->at[i], brief, words);
        text_wrapped(r, 5 + width, "  %s%-*s %s", changed ? "* " : "  ", width,
                     build->seats[i].name, words);
    }
}

void text_rig(const Report *r, const BlyBuild *build, const BlyRig *rig, const BlyRig *old) {
    rig_lines(r, build, rig, old, false);
}

void text_rig_brief(const Report *r, const BlyBuild *build, const BlyRig *rig, const BlyRig *old) {
    rig_lines(r, build, rig, old, true);
}

/* Two columns where both fit into 80, else one sentence. */
static void both(const Report *r, const char *label, const char *before, const char *after) {
    enum { COLUMN = 34 };
    if (strlen(before) <= COLUMN - 2 && strlen(after) <= 78 - 18 - COLUMN)
        (void)fprintf(r->out, "  %-17s %-*s%s\n", label, COLUMN, before, after);
    else
        text_wrapped(r, 20, "  %-17s %s; after: %s", label, before, after);
}

void text_swap(const Report *r, const BlyBuild *build, const BlyRig *before, const BlyRig *after,
               const BlyOutcome *a, const BlyOutcome *b) {
    char x[WORDS_MAX], y[WORDS_MAX];
    (void)fprintf(r->out, "before\n");
    text_rig(r, build, before, NULL);
    (void)fprintf(r->out, "after (* changed)\n");
    text_rig(r, build, after, before);
    water_words(&a->water, r->system, x);
    (void)fprintf(r->out, "in %s\n", x);
    both(r, "", "before", "after");
    both(r, "it", a->state == BLY_FLOATS ? "floats" : drift_words(a->drift),
         b->state == BLY_FLOATS ? "floats" : drift_words(b->drift));
    drift_range_words(a->drift, a->drift, r->system, 0, x);
    drift_range_words(b->drift, b->drift, r->system, 0, y);
    both(r, "speed", x, y);
    attitude_words(a->nose_down, x);
    attitude_words(b->nose_down, y);
    both(r, "tilt", x, y);
    small_mass_words(a->sums.net_weight, r->system, true, x);
    small_mass_words(b->sums.net_weight, r->system, true, y);
    both(r, "weight in water", x, y);
    small_mass_words(a->sums.mass, r->system, false, x);
    small_mass_words(b->sums.mass, r->system, false, y);
    both(r, "mass", x, y);
    int digits = r->system == BLY_INCH ? 3 : 1;
    bly_quantity_show(a->roll_arm, BLY_DIM_LENGTH, r->system, digits, x);
    bly_quantity_show(b->roll_arm, BLY_DIM_LENGTH, r->system, digits, y);
    both(r, "roll arm", x, y);
    if (a->has_surface || b->has_surface) {
        bly_quantity_show(a->has_surface ? a->surface.shows : 0, BLY_DIM_RATIO, r->system, 1, x);
        bly_quantity_show(b->has_surface ? b->surface.shows : 0, BLY_DIM_RATIO, r->system, 1, y);
        both(r, "part above water", x, y);
    }
    text_notes(r, "  ", b->notes);
}
