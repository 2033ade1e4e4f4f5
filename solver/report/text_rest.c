/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One outcome, its ladder and its influence, as text. */
#include "report/report.h"

#include <math.h>
#include <gsl/gsl_math.h>

static void row(const Report *r, const char *label, const char *value) {
    (void)fprintf(r->out, "  %-20s %s\n", label, value);
}

static void row_quantity(const Report *r, const char *label, double si, BlyDimension dim,
                         int digits, const char *more) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(si, dim, r->system, digits, text);
    (void)fprintf(r->out, "  %-20s %s%s\n", label, text, more);
}

static void text_centres(const Report *r, const BlySums *sums) {
    char x[BLY_QUANTITY_MAX], bx[BLY_QUANTITY_MAX];
    int digits = r->system == BLY_INCH ? 2 : 1;
    bly_quantity_show(sums->gravity.x, BLY_DIM_LENGTH, r->system, digits, x);
    bly_quantity_show(sums->buoyancy.x, BLY_DIM_LENGTH, r->system, digits, bx);
    (void)fprintf(r->out, "  %-20s gravity %s, buoyancy %s from the nose\n", "centres", x, bx);
}

static void text_surface(const Report *r, const BlyOutcome *o) {
    const BlyFloat *f = &o->surface;
    char text[WORDS_MAX], more[WORDS_MAX];
    attitude_words(f->nose_down, text);
    (void)fprintf(r->out, "  %-20s %s", "at the surface", text);
    if (f->upright_unstable)
        (void)fprintf(r->out, ", rolls over by %.0f deg", fabs(f->heel) * 180 / M_PI);
    (void)fprintf(r->out, "\n");
    bly_quantity_show(f->shows, BLY_DIM_RATIO, r->system, 1, text);
    bly_quantity_show(f->draft, BLY_DIM_LENGTH, r->system, r->system == BLY_INCH ? 2 : 1, more);
    (void)fprintf(r->out, "  %-20s %s of body and coat above the water, draft %s\n", "shows", text,
                  more);
    row_quantity(r, "roll height", f->roll_height, BLY_DIM_LENGTH, r->system == BLY_INCH ? 3 : 1,
                 f->roll_neutral      ? " (turns freely)"
                 : f->roll_height > 0 ? " (stays upright)"
                                      : "");
}

static void text_state(const Report *r, const BlyOutcome *o) {
    char speed[WORDS_MAX], attitude[WORDS_MAX];
    speed_words(o->drift, r->system, speed);
    attitude_words(o->nose_down, attitude);
    if (o->state == BLY_FLOATS) {
        row(r, "it floats", speed);
        row(r, "on its way up", attitude);
        return;
    }
    (void)fprintf(r->out, "  %-20s %s, %s\n", "it", drift_words(o->drift), attitude);
    row(r, "drift", speed);
}

void text_outcome(const Report *r, const BlyOutcome *o) {
    char text[WORDS_MAX];
    water_words(&o->water, r->system, text);
    (void)fprintf(r->out, "in %s\n", text);
    text_state(r, o);
    small_mass_words(o->sums.net_weight, r->system, true, text);
    row(r, "weight in water", text);
    row_quantity(r, "mass", o->sums.mass, BLY_DIM_MASS, r->system == BLY_INCH ? 3 : 2, "");
    row_quantity(r, "displaces", o->sums.volume, BLY_DIM_VOLUME, r->system == BLY_INCH ? 3 : 2, "");
    text_centres(r, &o->sums);
    row_quantity(r, "roll arm", o->roll_arm, BLY_DIM_LENGTH, r->system == BLY_INCH ? 3 : 1,
                 o->roll_arm > 0 ? " (rights itself)" : " (lies over)");
    if (o->has_surface)
        text_surface(r, o);
    text_notes(r, "  ", o->notes);
}

void text_notes(const Report *r, const char *margin, unsigned notes) {
    for (unsigned bit = 1; bit != 0 && bit <= notes; bit <<= 1) {
        if (notes & bit)
            (void)fprintf(r->out, "%snote: %s\n", margin, bly_note_words((BlyNote)bit));
    }
}

static void miss_line(const Report *r, const char *margin, const char *what, const char *got,
                      const char *wanted) {
    (void)fprintf(r->out, "%smisses the target: %s is %s, wanted %s\n", margin, what, got, wanted);
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
    miss_line(r, margin, "the drift", got, wanted);
}

static void miss_attitude(const Report *r, const char *margin, const BlyTarget *t, double nose_down,
                          double off) {
    char got[WORDS_MAX], wanted[WORDS_MAX];
    attitude_range_words(nose_down, nose_down, 1 + finer_for(off, 0.1 * M_PI / 180), got);
    attitude_range_words(t->nose_low, t->nose_high, 1, wanted);
    miss_line(r, margin, "the attitude", got, wanted);
}

/* What shows and the roll arm: plain amounts, the upper end of which may be open. */
static void miss_of(const Report *r, const char *margin, const char *what, double got, double low,
                    double high, BlyDimension dim) {
    char g[BLY_QUANTITY_MAX], l[BLY_QUANTITY_MAX], h[BLY_QUANTITY_MAX], wanted[WORDS_MAX];
    bly_quantity_show(got, dim, r->system, -1, g);
    bly_quantity_show(low, dim, r->system, -1, l);
    (void)snprintf(wanted, WORDS_MAX, "at least %s", l);
    if (isfinite(high)) {
        bly_quantity_show(high, dim, r->system, -1, h);
        (void)snprintf(wanted, WORDS_MAX, "%s to %s", l, h);
    }
    miss_line(r, margin, what, g, wanted);
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
        miss_of(r, margin, "what shows", afloat ? o->surface.shows : 0, t->shows_low, t->shows_high,
                BLY_DIM_RATIO);
    if (!(j->nose_off == 0))
        miss_attitude(r, margin, t, afloat ? o->surface.nose_down : o->nose_down, j->nose_off);
    if (!(j->roll_off == 0))
        miss_of(r, margin, "the roll arm", o->roll_arm, t->roll_arm_least, INFINITY,
                BLY_DIM_LENGTH);
}

/* What the blank is glued of, each by itself: the core first. */
static void text_pieces(const Report *r, const BlyLure *lure, int digits) {
    const BlyBodyFacts *facts = &lure->blank->facts;
    char mass[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    if (facts->inset_count == 0)
        return;
    bly_quantity_show(lure->blank->items[0].mass, BLY_DIM_MASS, r->system, digits, mass);
    (void)fprintf(r->out, "    of that %-20s %9s\n", "its own material", mass);
    for (size_t i = 0; i < facts->inset_count; i++) {
        BlyFigure weighs = bly_inset_weighs(&facts->insets[i], facts->volume_share.value);
        bly_quantity_show(weighs.value, BLY_DIM_MASS, r->system, digits, mass);
        bly_quantity_show(weighs.give, BLY_DIM_MASS, r->system, digits, give);
        (void)fprintf(r->out, "            %-20s %9s +-%s\n", facts->insets[i].name, mass, give);
    }
}

void text_ladder(const Report *r, const BlyLure *lure) {
    BlyRung rung[BLY_STEPS];
    bly_ladder(lure, rung);
    (void)fprintf(r->out, "what the scale should read\n");
    int digits = r->system == BLY_INCH ? 3 : 2;
    for (int s = 0; s < BLY_STEPS; s++) {
        char reads[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX], adds[WORDS_MAX];
        if (s > 0 && fabs(rung[s].adds) < 5e-7)
            continue;
        bly_quantity_show(rung[s].reads, BLY_DIM_MASS, r->system, digits, reads);
        bly_quantity_show(rung[s].give, BLY_DIM_MASS, r->system, digits, give);
        small_mass_words(rung[s].adds, r->system, true, adds);
        (void)fprintf(r->out, "  %-28s %9s +-%-8s %s\n", bly_step_words((BlyStep)s), reads, give,
                      s > 0 ? adds : "");
        if (s == BLY_STEP_BLANK)
            text_pieces(r, lure, digits);
    }
}

static void influence_row(const Report *r, const char *label, const BlyInfluence *influence) {
    char net[WORDS_MAX], speed[WORDS_MAX];
    small_mass_words(influence->net_weight, r->system, true, net);
    small_speed_words(influence->drift, r->system, true, speed);
    report_print(r->out, "  %-12s weight in water %s, nose-down %+.1f deg, drift %s\n", label, net,
                 influence->nose_down * 180 / M_PI, speed);
}

void text_influence(const Report *r, const BlyBuild *build, const BlyInfluence *influence,
                    size_t count, double extra) {
    char text[WORDS_MAX];
    small_mass_words(extra, r->system, false, text);
    (void)fprintf(r->out, "what %s more of metal does at\n", text);
    for (size_t i = 0; i < count; i++)
        influence_row(r, build->seats[influence[i].seat].name, &influence[i]);
}

void text_leader(const Report *r, const BlyBuild *build, const BlyInfluence *leader) {
    if (leader->seat < 0)
        return;
    (void)fprintf(r->out, "what the leader does, already counted above, at\n");
    influence_row(r, build->seats[leader->seat].name, leader);
}

void text_said(const Report *r, const BlyBuild *build) {
    for (size_t i = 0; i < build->said_count; i++)
        (void)fprintf(r->out, "  body: %s\n", build->said[i]);
}
