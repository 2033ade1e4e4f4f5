/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One outcome, its ladder and its influence, as text. */
#include "report/book.h"
#include "report/lines.h"
#include "text/format.h"

#include <math.h>
#include <string.h>
#include <gsl/gsl_math.h>

static void row(const Report *r, const char *label, const char *value) {
    text_wrapped(r, 23, "  %-20s %s", label, value);
}

static void row_quantity(const Report *r, const char *label, double si, BlyDimension dim,
                         int digits, const char *more) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(si, dim, r->system, digits, text);
    text_wrapped(r, 23, "  %-20s %s%s", label, text, more);
}

static void text_centres(const Report *r, const BlySums *sums) {
    char x[BLY_QUANTITY_MAX], bx[BLY_QUANTITY_MAX];
    int digits = r->system == BLY_INCH ? 2 : 1;
    bly_quantity_show(sums->gravity.x, BLY_DIM_LENGTH, r->system, digits, x);
    bly_quantity_show(sums->buoyancy.x, BLY_DIM_LENGTH, r->system, digits, bx);
    text_wrapped(r, 23, "  %-20s %s from the nose; buoyancy acts at %s", "balance point", x, bx);
}

/* At the surface a lure may lie otherwise than under water, so each says where it holds. */
static const char *roll_arm_words(const BlyOutcome *o) {
    if (fabs(o->roll_arm) <= BLY_ROLL_HOLDS)
        return o->has_surface ? " (under water nothing keeps it upright)"
                              : " (nothing keeps it upright)";
    if (o->roll_arm > 0)
        return o->has_surface ? " (under water it rights itself)" : " (rights itself)";
    return o->has_surface ? " (under water it falls on its side)" : " (falls on its side)";
}

static const char *roll_height_words(const BlyFloat *f) {
    if (f->roll_neutral)
        return " (turns freely)";
    if (fabs(f->roll_height) <= BLY_ROLL_HOLDS)
        return " (nothing keeps it upright)";
    return f->upright_unstable ? " (does not stay upright)" : " (stays upright)";
}

static void text_surface(const Report *r, const BlyOutcome *o) {
    const BlyFloat *f = &o->surface;
    char text[WORDS_MAX], more[WORDS_MAX], over[WORDS_MAX] = "";
    attitude_words(f->nose_down, text);
    if (f->upright_unstable)
        (void)bly_format(over, WORDS_MAX, ", %s over by %.0f deg",
                         fabs(f->roll_height) <= BLY_ROLL_HOLDS ? "may roll" : "rolls",
                         fabs(f->heel) * 180 / M_PI);
    text_wrapped(r, 23, "  %-20s %s%s", "at the surface", text, over);
    bly_quantity_show(f->shows, BLY_DIM_RATIO, r->system, 1, text);
    bly_quantity_show(f->draft, BLY_DIM_LENGTH, r->system, r->system == BLY_INCH ? 2 : 1, more);
    text_wrapped(r, 23, "  %-20s %s of body and coat; draft %s", "part above water", text, more);
    row_quantity(r, "roll height", f->roll_height, BLY_DIM_LENGTH, r->system == BLY_INCH ? 3 : 1,
                 roll_height_words(f));
}

void text_outcome(const Report *r, const BlyOutcome *o) {
    char text[WORDS_MAX], moves[WORDS_MAX], tilt[WORDS_MAX];
    water_words(&o->water, r->system, text);
    moves_words(o->drift, o->state == BLY_FLOATS, r->system, moves);
    attitude_words(o->nose_down, tilt);
    text_wrapped(r, 2, "in %s it %s, %s", text, moves, tilt);
    small_mass_words(o->sums.net_weight, r->system, true, text);
    row(r, "weight in water", text);
    row_quantity(r, "mass", o->sums.mass, BLY_DIM_MASS, r->system == BLY_INCH ? 3 : 2, "");
    row_quantity(r, "displaces", o->sums.volume, BLY_DIM_VOLUME, r->system == BLY_INCH ? 3 : 2, "");
    text_centres(r, &o->sums);
    row_quantity(r, "roll arm", o->roll_arm, BLY_DIM_LENGTH, r->system == BLY_INCH ? 3 : 1,
                 roll_arm_words(o));
    if (o->has_surface)
        text_surface(r, o);
    text_notes(r, "  ", o->notes);
}

void text_notes(const Report *r, const char *margin, unsigned notes) {
    for (unsigned bit = 1; bit != 0 && bit <= notes; bit <<= 1) {
        if (notes & bit)
            text_wrapped(r, (int)strlen(margin) + 6, "%snote: %s", margin,
                         bly_note_words((BlyNote)bit));
    }
}

static void miss_line(const Report *r, const char *margin, const char *got, const char *wanted) {
    text_wrapped(r, (int)strlen(margin) + 2, "%smisses the target: %s, wanted %s", margin, got,
                 wanted);
}

/* A miss by a hair is told with more digits, so that it is seen to be one. */
static int finer_for(double off, double hair) {
    return off < hair / 10.0 ? 2 : off < hair ? 1 : 0;
}

static void miss_drift(const Report *r, const char *margin, const BlyTarget *t, double drift,
                       double off) {
    char got[WORDS_MAX], wanted[WORDS_MAX];
    double most = fabs(drift) < 0.00995 ? 1e-4 : 1e-3; /* m/s: one of the last digit */
    drift_range_words(drift, drift, r->system, finer_for(off, most), got);
    drift_range_words(t->drift_low, t->drift_high, r->system, 0, wanted);
    miss_line(r, margin, got, wanted);
}

static void miss_attitude(const Report *r, const char *margin, const BlyTarget *t, double nose_down,
                          double off) {
    char got[WORDS_MAX], wanted[WORDS_MAX];
    attitude_range_words(nose_down, nose_down, 1 + finer_for(off, 0.1 * M_PI / 180), got);
    attitude_range_words(t->nose_low, t->nose_high, 1, wanted);
    miss_line(r, margin, got, wanted);
}

/* What shows and the roll arm: plain amounts, the upper end of which may be open. As many digits as
 * tell the figure from the bound that it misses. */
static void miss_of(const Report *r, const char *margin, const char *what, double got, double low,
                    double high, BlyDimension dim) {
    char g[BLY_QUANTITY_MAX], bound[BLY_QUANTITY_MAX], wanted[WORDS_MAX], words[WORDS_MAX];
    int digits = 0;
    do {
        digits++;
        bly_quantity_show(got, dim, r->system, digits, g);
        bly_quantity_show(got < low ? low : high, dim, r->system, digits, bound);
    } while (strcmp(g, bound) == 0 && digits < 6);
    (void)snprintf(words, WORDS_MAX, "%s %s", what, g);
    bly_quantity_show(low, dim, r->system, -1, bound);
    (void)snprintf(wanted, WORDS_MAX, "%s or more", bound);
    if (isfinite(high))
        from_to_words(r, low, high, dim, -1, wanted);
    miss_line(r, margin, words, wanted);
}

void text_judgement(const Report *r, const char *margin, const BlyTarget *t, const BlyOutcome *o,
                    const BlyJudgement *j) {
    if (j->met) {
        (void)fprintf(r->out, "%smeets the target\n", margin);
        return;
    }
    bool afloat = t->state == BLY_FLOATS && o->has_surface;
    if (!(j->drift_off == 0))
        miss_drift(r, margin, t, o->drift, j->drift_off);
    if (!(j->shows_off == 0))
        miss_of(r, margin, "part above water", afloat ? o->surface.shows : 0, t->shows_low,
                t->shows_high, BLY_DIM_RATIO);
    if (!(j->nose_off == 0))
        miss_attitude(r, margin, t, afloat ? o->surface.nose_down : o->nose_down, j->nose_off);
    if (o->roll_arm < t->roll_arm_least)
        miss_of(r, margin, "roll arm", o->roll_arm, t->roll_arm_least, INFINITY, BLY_DIM_LENGTH);
    if (afloat && t->roll_arm_least > 0 && o->surface.roll_height < -BLY_ROLL_HOLDS)
        miss_of(r, margin, "rolls over at the surface: roll height", o->surface.roll_height, 0,
                INFINITY, BLY_DIM_LENGTH);
}

static void influence_row(const Report *r, int width, const char *label,
                          const BlyInfluence *influence) {
    char net[WORDS_MAX], speed[WORDS_MAX];
    small_mass_words(influence->net_weight, r->system, true, net);
    small_speed_words(influence->drift, r->system, true, speed);
    report_print(r->out, "  %-*s %10s %+9.1f deg %12s\n", width, label, net,
                 influence->nose_down * 180 / M_PI, speed);
}

static void influence_head(const Report *r, int width, const char *first) {
    (void)fprintf(r->out, "  %-*s %10s %13s %12s\n", width, first, "in water", "nose-down",
                  "sinking");
}

void text_influence(const Report *r, const BlyBuild *build, const BlyInfluence *influence,
                    size_t count, double extra) {
    char text[WORDS_MAX];
    int width = seat_width(build, 8);
    small_mass_words(extra, r->system, false, text);
    (void)fprintf(r->out, "what %s more of metal changes\n", text);
    influence_head(r, width, "at");
    for (size_t i = 0; i < count; i++)
        influence_row(r, width, build->seats[influence[i].seat].name, &influence[i]);
}

void text_leader(const Report *r, const BlyBuild *build, const BlyInfluence *leader) {
    if (leader->seat < 0)
        return;
    (void)fprintf(r->out, "what the leader changes, already counted above\n");
    influence_row(r, seat_width(build, 8), build->seats[leader->seat].name, leader);
}

void text_slips(const Report *r, const BlySlips *slips) {
    for (size_t i = 0; i < slips->count; i++)
        text_wrapped(r, 4, "  a slip? %s: %s", slips->at[i].where, slips->at[i].text);
}

void text_said(const Report *r, const BlyBuild *build) {
    for (size_t i = 0; i < build->said_count; i++)
        text_wrapped(r, 8, "  body: %s", build->said[i]);
    text_book_used(r, build);
    text_shape_seen(r, build);
    for (size_t i = 0; i < build->tow_learnt.read_count; i++)
        text_wrapped(r, 8, "  read on the water: %s", build->tow_learnt.read[i]);
    for (size_t i = 0; i < build->seen_count; i++)
        text_wrapped(r, 8, "  seen on the water: %s (kept as words, nothing is computed from it)",
                     build->seen[i]);
}
