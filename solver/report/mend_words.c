/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do to a finished lure, a sentence each, in the order in which a maker would: what is put
 * on and taken off, rings, hooks, the lip's edge, its back. */
#include "report/report.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { WHAT_MAX = MEND_WORDS_MAX - 40 }; /* beside the seat's name */

typedef struct Said {
    char (*out)[MEND_WORDS_MAX];
    size_t count;
    BlySystem system;
} Said;

static void say(Said *said, const char *seat, const char *what) {
    if (said->count < MEND_STEPS_MAX)
        (void)snprintf(said->out[said->count++], MEND_WORDS_MAX, "%.32s: %s", seat, what);
}

void mend_wire_length(double si, BlySystem system, char out[BLY_QUANTITY_MAX]) {
    const double halves = rint(2e3 * si); /* of a millimetre */
    bool whole = fmod(halves, 2) == 0;
    if (system == BLY_INCH)
        bly_quantity_show(si, BLY_DIM_LENGTH, system, 2, out);
    else
        bly_quantity_show(0.5e-3 * halves, BLY_DIM_LENGTH, system, whole ? 0 : 1, out);
}

static void length_words(const Said *said, double si, char out[BLY_QUANTITY_MAX]) {
    bly_quantity_show(si, BLY_DIM_LENGTH, said->system, said->system == BLY_INCH ? 2 : 1, out);
}

static void thickness_words(const Said *said, double si, char out[BLY_QUANTITY_MAX]) {
    bly_quantity_show(si, BLY_DIM_LENGTH, said->system, said->system == BLY_INCH ? 3 : 2, out);
}

static const BlyPart *part(const BlyChoice *choice, BlyPartKind kind) {
    return choice->of[kind].part;
}

static const char *plural(int count) {
    return count == 1 ? "" : "s";
}

/* Its length, and to the quarter what that is in turns: "34.5 mm (3.75 turns)". */
static void turns_words(const Said *said, const BlyPart *wire, const BlyPart *hook, double mass,
                        const char *more, char out[WORDS_MAX]) {
    double quarters = 0.25 * fmax(1, rint(4 * fabs(mass) / bly_wire_turn_mass(wire, hook)));
    char measure[BLY_QUANTITY_MAX];
    mend_wire_length(fabs(mass) / wire->mass.value, said->system, measure);
    (void)bly_format(out, WORDS_MAX, "%.24s %s(%.4g turn%s)", measure, more, quarters,
                     quarters > 1 ? "s" : "");
}

/* What hung on the old hook went with it. */
static void wire_step(Said *said, const char *seat, const BlyChoice *was, const BlyChoice *is) {
    bool other = part(was, BLY_PART_HOOK) != part(is, BLY_PART_HOOK);
    const BlyPart *on = other ? NULL : part(was, BLY_PART_WIRE), *wire = part(is, BLY_PART_WIRE),
                  *hook = part(is, BLY_PART_HOOK);
    char what[WHAT_MAX], turns[WORDS_MAX];
    if (wire == NULL) {
        if (on != NULL) {
            (void)snprintf(what, sizeof what, "take the %s off the hook's shank", on->id);
            say(said, seat, what);
        }
        return;
    }
    double more = bly_choice_wire_mass(is) - (on == wire ? bly_choice_wire_mass(was) : 0);
    if (fabs(more) < 0.05 * bly_wire_turn_mass(wire, hook))
        return;
    turns_words(said, wire, hook, more, on == wire && more > 0 ? "more " : "", turns);
    if (on == wire && more < 0)
        (void)snprintf(what, sizeof what, "take %.60s of %s off the hook's shank", turns, wire->id);
    else if (on == wire || on == NULL)
        (void)snprintf(what, sizeof what, "wind %.60s of %s on the hook's shank", turns, wire->id);
    else
        (void)snprintf(what, sizeof what, "take the %s off the hook's shank, wind %.60s of %s",
                       on->id, turns, wire->id);
    say(said, seat, what);
}

static void dot_step(Said *said, const char *seat, const BlyChoice *was, const BlyChoice *is) {
    const BlyPart *on = part(was, BLY_PART_DOT), *dot = part(is, BLY_PART_DOT);
    int before = on != NULL ? was->count : 0, after = dot != NULL ? is->count : 0;
    char what[WHAT_MAX], place[BLY_QUANTITY_MAX];
    if (before == after && on == dot)
        return;
    length_words(said, dot != NULL ? is->x : was->x, place);
    if (after > before)
        (void)snprintf(what, sizeof what, "put %d %spiece%s of %s on, around %s from the nose",
                       after - before, before > 0 ? "more " : "", plural(after - before), dot->id,
                       place);
    else
        (void)snprintf(what, sizeof what, "take %d piece%s of %s off", before - after,
                       plural(before - after), on->id);
    say(said, seat, what);
}

static void strip_step(Said *said, const char *seat, const BlyChoice *was, const BlyChoice *is) {
    const BlyPart *on = part(was, BLY_PART_STRIP), *strip = part(is, BLY_PART_STRIP);
    char what[WHAT_MAX], less[BLY_QUANTITY_MAX], left[BLY_QUANTITY_MAX];
    if (on == NULL && strip != NULL) {
        length_words(said, is->length, left);
        length_words(said, is->x, less);
        (void)snprintf(what, sizeof what, "put %s of %s on%s, from %s behind the nose", left,
                       strip->id, is->count > 1 ? " in two layers" : "", less);
        say(said, seat, what);
    } else if (on != NULL && strip == on && is->length < was->length - 1e-7) {
        length_words(said, was->length - is->length, less);
        length_words(said, is->length, left);
        (void)snprintf(what, sizeof what, "cut %s off the %s, %s are left", less, on->id, left);
        say(said, seat, what);
    }
}

static double mass_of(const BlyChosenPart *piece) {
    return isfinite(piece->weighed.value) ? piece->weighed.value : piece->part->mass.value;
}

static void exchange_step(Said *said, const char *seat, BlyPartKind kind, const BlyChoice *was,
                          const BlyChoice *is) {
    const BlyChosenPart *before = &was->of[kind], *after = &is->of[kind];
    char what[WHAT_MAX], more[BLY_QUANTITY_MAX];
    if (before->part == after->part)
        return;
    if (after->part == NULL) {
        (void)snprintf(what, sizeof what, "take the %s off", before->part->id);
    } else if (before->part == NULL) {
        (void)snprintf(what, sizeof what, "put a %s on", after->part->id);
    } else {
        double gain = mass_of(after) - mass_of(before);
        bly_quantity_show(fabs(gain), BLY_DIM_MASS, said->system, said->system == BLY_INCH ? 3 : 2,
                          more);
        (void)snprintf(what, sizeof what, "take the %s off, put a %s on (%s %s)", before->part->id,
                       after->part->id, more, gain < 0 ? "lighter" : "heavier");
    }
    say(said, seat, what);
}

static void lip_steps(Said *said, const char *seat, const BlyChoice *was, const BlyChoice *is) {
    const BlyPart *sheet = part(is, BLY_PART_SHEET);
    char what[WHAT_MAX], less[BLY_QUANTITY_MAX], left[BLY_QUANTITY_MAX];
    if (is->length < was->length - 1e-7) {
        length_words(said, was->length - is->length, less);
        length_words(said, is->length, left);
        (void)snprintf(what, sizeof what,
                       "cut %s off the front edge of the lip, so that it is %s long in all", less,
                       left);
        say(said, seat, what);
    }
    if (sheet != NULL && is->filed > was->filed + 1e-7) {
        double thick = isfinite(is->thickness) ? is->thickness : sheet->thickness;
        thickness_words(said, is->filed - was->filed, less);
        thickness_words(said, thick - is->filed, left);
        (void)snprintf(what, sizeof what,
                       "grind %s off the back of the lip where it stands out, down to %s", less,
                       left);
        say(said, seat, what);
    }
}

size_t mend_steps(const BlyBuild *build, const BlyRig *rig, BlySystem system,
                  char out[MEND_STEPS_MAX][MEND_WORDS_MAX]) {
    enum { ROUNDS = 4 };
    Said said = {out, 0, system};
    for (int round = 0; round < ROUNDS; round++) {
        for (size_t s = 0; s < rig->count; s++) {
            const char *seat = build->seats[s].name;
            const BlyChoice *was = &build->fitted.at[s], *is = &rig->at[s];
            bool other = part(was, BLY_PART_HOOK) != part(is, BLY_PART_HOOK);
            if (round == 0 && build->seats[s].kind == BLY_SEAT_HANGER && !other) {
                wire_step(&said, seat, was, is);
            } else if (round == 0 && build->seats[s].kind == BLY_SEAT_PATCH) {
                dot_step(&said, seat, was, is);
                strip_step(&said, seat, was, is);
            } else if (round == 1) {
                exchange_step(&said, seat, BLY_PART_RING, was, is);
                exchange_step(&said, seat, BLY_PART_SNAP, was, is);
            } else if (round == 2) {
                exchange_step(&said, seat, BLY_PART_HOOK, was, is);
                if (other) /* wire goes on the new one */
                    wire_step(&said, seat, was, is);
            } else if (round == 3 && build->seats[s].kind == BLY_SEAT_SLOT) {
                lip_steps(&said, seat, was, is);
            }
        }
    }
    return said.count;
}
