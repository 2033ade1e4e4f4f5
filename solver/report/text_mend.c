/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now, as a maker would want it told: the act, what it should weigh, how sure it is
 * then, what the tank should show, and what to do where it does not. */
#include "report/mend.h"
#include "text/format.h"

#include <math.h>

static const double scale_digit = 10e-6; /* kg */
static const double likely = 0.5;        /* as the page has it (odds.js) */

static double marks(const Report *r) {
    return r->system == BLY_INCH ? 0.6096 : 0.6;
}

/* "60 cm in 8.3 s". */
static void timed(const Report *r, double drift, char out[WORDS_MAX]) {
    double seconds = marks(r) / fmax(fabs(drift), 1e-9);
    (void)bly_format(out, WORDS_MAX, "%s in %.*f s", r->system == BLY_INCH ? "2 ft" : "60 cm",
                     seconds < 9.95 ? 1 : 0, seconds);
}

/* "a foot in 20 s": what is too slow to time over 60 cm is told by the foot. */
static void edge_words(const Report *r, double drift, char out[WORDS_MAX]) {
    double foot = 0.3048 / fmax(fabs(drift), 1e-9);
    if (foot < 10)
        timed(r, drift, out);
    else
        (void)bly_format(out, WORDS_MAX, "a foot in %.0f s", foot);
}

static void text_chance(const Report *r, const BlyMendPlan *p) {
    if (p->leaves && p->chance_now >= likely)
        report_print(r->out, "leave it as it is; on target: %s in 100\n",
                     share_text(p->chance_now).words);
    else if (p->leaves)
        report_print(r->out,
                     "no trim makes it surer before the next test; on target as it is: %s in 100\n",
                     share_text(p->chance_now).words);
    else
        report_print(r->out, "on target as it is: %s in 100; after this: %s in 100\n",
                     share_text(p->chance_now).words, share_text(p->chance).words);
}

/* Wire that goes on or comes off a hook that stays. */
static const BlyPart *cut_at(const BlyChoice *was, const BlyChoice *is) {
    const BlyChosenPart *before = &was->of[BLY_PART_WIRE], *after = &is->of[BLY_PART_WIRE];
    bool alike = was->count == is->count && before->weighed.value == after->weighed.value;
    if (was->of[BLY_PART_HOOK].part != is->of[BLY_PART_HOOK].part || after->part == NULL ||
        (before->part == after->part && alike))
        return NULL;
    return after->part;
}

/* Wire on a hook that is new. */
static bool winds_on_another(const BlyChoice *was, const BlyChoice *is) {
    return was->of[BLY_PART_HOOK].part != is->of[BLY_PART_HOOK].part &&
           is->of[BLY_PART_WIRE].part != NULL;
}

/* Enough of what only the scale tells: wire on a new hook, dots and strips, what is ground off. */
static bool goes_by_scale(const BlyChoice *was, const BlyChoice *is) {
    bool skin = was->of[BLY_PART_DOT].part != is->of[BLY_PART_DOT].part ||
                (is->of[BLY_PART_DOT].part != NULL && was->count != is->count) ||
                (is->of[BLY_PART_STRIP].part != NULL && was->length != is->length);
    return winds_on_another(was, is) || skin || was->filed != is->filed;
}

static void how_wire(const Report *r, const BlyPart *wire, char out[2 * WORDS_MAX]) {
    static const double yard = 0.9144;
    const bool inch = r->system == BLY_INCH;
    char weighs[WORDS_MAX];
    bly_quantity_show((inch ? yard : 1) * wire->mass.value, BLY_DIM_MASS, r->system, inch ? 3 : 2,
                      weighs);
    (void)snprintf(out, 2 * WORDS_MAX,
                   "cut the wire by a ruler, to %s; a %s of %.40s should weigh %.24s: where yours "
                   "does not, cut in proportion",
                   inch ? "a fiftieth of an inch" : "half a millimetre", inch ? "yard" : "metre",
                   wire->id, weighs);
}

static void how_scale(const Report *r, const BlyMendPlan *p, bool enough, char out[2 * WORDS_MAX]) {
    char more[WORDS_MAX], then[WORDS_MAX];
    int digits = r->system == BLY_INCH ? 4 : 2;
    bly_quantity_show(fabs(p->mass - p->mass_now), BLY_DIM_MASS, r->system, digits, more);
    bly_quantity_show(p->mass, BLY_DIM_MASS, r->system, digits, then);
    if (fabs(p->mass - p->mass_now) < scale_digit / 2)
        (void)snprintf(out, 2 * WORDS_MAX,
                       "dry, all in all, the scale then shows what it shows now");
    else
        (void)snprintf(out, 2 * WORDS_MAX,
                       "weigh it dry before and after: all in all %.24s %s, some %.24s then%s",
                       more, p->mass > p->mass_now ? "heavier" : "lighter", then,
                       enough ? "; the scale says when it is enough" : "");
}

/* A hook may be so heavy by itself that no wire is wanted: then the build must not think there is.
 */
static void how_bare(const BlySeat *seat, char out[2 * WORDS_MAX]) {
    (void)snprintf(out, 2 * WORDS_MAX,
                   "if the new hook is too heavy by itself, wind no wire and tell the build: "
                   "swap --at %.40s.wire=none",
                   seat->name);
}

size_t mend_how(const Report *r, const BlyBuild *build, const BlyMendPlan *p,
                char out[MEND_HOW_MAX][2 * WORDS_MAX]) {
    const BlyPart *said = NULL;
    size_t count = 0;
    bool enough = false;
    for (size_t s = 0; s < build->seat_count; s++) {
        const BlyChoice *was = &build->fitted.at[s], *is = &p->rig.rig.at[s];
        const BlyPart *wire = cut_at(was, is);
        enough = enough || goes_by_scale(was, is);
        if (wire != NULL && wire != said && count + 1 < MEND_HOW_MAX)
            how_wire(r, said = wire, out[count++]);
    }
    how_scale(r, p, enough, out[count++]);
    for (size_t s = 0; s < build->seat_count && count < MEND_HOW_MAX; s++) {
        if (winds_on_another(&build->fitted.at[s], &p->rig.rig.at[s]))
            how_bare(&build->seats[s], out[count++]);
    }
    return count;
}

static void text_steps(const Report *r, const BlyBuild *build, const BlyMendPlan *p) {
    char steps[MEND_STEPS_MAX][MEND_WORDS_MAX], how[MEND_HOW_MAX][2 * WORDS_MAX];
    size_t count = mend_steps(build, &p->rig.rig, r->system, steps);
    size_t ways = mend_how(r, build, p, how);
    if (p->leaves)
        return;
    (void)fprintf(r->out, "do this now\n");
    for (size_t i = 0; i < count; i++)
        text_wrapped(r, 5, "  %zu. %s", i + 1, steps[i]);
    for (size_t i = 0; i < ways; i++)
        text_wrapped(r, 4, "  %s", how[i]);
}

static void text_drift(const Report *r, BlyBand90 band) {
    char first[WORDS_MAX], last[WORDS_MAX];
    static const double still = 5e-3; /* m/s: slower all but hangs */
    bool down = band.low > still, up = band.high < -still;
    if (down || up) {
        double a = marks(r) / fabs(band.low), b = marks(r) / fabs(band.high);
        report_print(r->out, "  %s: %s in %.1f to %.1f s\n", down ? "sinks" : "rises",
                     r->system == BLY_INCH ? "2 ft" : "60 cm", fmin(a, b), fmax(a, b));
        return;
    }
    edge_words(r, band.low, first);
    edge_words(r, band.high, last);
    if (band.low < 0 && band.high > 0)
        (void)fprintf(r->out, "  between rising %s and sinking %s\n", first, last);
    else
        (void)fprintf(r->out, "  %s, slower than %s\n", band.low >= 0 ? "sinks" : "rises",
                      band.low >= 0 ? last : first);
}

void text_mend_expected(const Report *r, const BlyBuild *build, const BlyMendPlan *p) {
    char water[WORDS_MAX], low[WORDS_MAX], high[WORDS_MAX], nose[WORDS_MAX];
    int digits = r->system == BLY_INCH ? 4 : 3;
    water_words(&p->tank.water, r->system, water);
    (void)fprintf(r->out, "the next test, in %s, should show, 90 times in 100\n", water);
    if (build->target.state == BLY_FLOATS && isfinite(p->shows.low)) {
        bly_quantity_show(p->shows.low, BLY_DIM_RATIO, r->system, 0, low);
        bly_quantity_show(p->shows.high, BLY_DIM_RATIO, r->system, 0, high);
        (void)fprintf(r->out, "  %s to %s above the water\n", low, high);
    } else if (isfinite(p->drift.low)) {
        text_drift(r, p->drift);
    }
    if (isfinite(p->nose_down.low)) {
        attitude_range_words(p->nose_down.low, p->nose_down.high, 0, nose);
        (void)fprintf(r->out, "  %s\n", nose);
    }
    bly_quantity_show(p->net_weight.low, BLY_DIM_MASS, r->system, digits, low);
    bly_quantity_show(p->net_weight.high, BLY_DIM_MASS, r->system, digits, high);
    (void)fprintf(r->out, "  %s to %s on a thread in the water\n", low, high);
    (void)fprintf(r->out, "  what lies far outside is a slip: look again before you go on\n");
}

static void step_words(const Report *r, const BlyBuild *build, const BlyMendStep *step,
                       char out[2 * WORDS_MAX]) {
    const char *seat = build->seats[step->seat].name, *id = step->part ? step->part->id : "";
    char length[BLY_QUANTITY_MAX], weight[WORDS_MAX];
    int n = step->count < 0 ? -step->count : step->count, inch = r->system == BLY_INCH;
    small_mass_words(step->net_weight, r->system, true, weight);
    bly_quantity_show(step->length, BLY_DIM_LENGTH, r->system,
                      step->kind == BLY_MEND_BACK ? (inch ? 3 : 2) : (inch ? 2 : 1), length);
    switch (step->kind) {
    case BLY_MEND_WIRE:
        mend_wire_length(fabs(step->length), r->system, length);
        (void)snprintf(out, 2 * WORDS_MAX, "%s %s of %.40s %s at %.32s (%s in water)",
                       step->length > 0 ? "snip" : "wind", length, id,
                       step->length > 0 ? "off" : "on", seat, weight);
        break;
    case BLY_MEND_DOT:
        (void)snprintf(out, 2 * WORDS_MAX, "%s %d %.40s %s at %.32s (%s in water)",
                       step->count < 0 ? "take" : "put", n, id, step->count < 0 ? "off" : "on",
                       seat, weight);
        break;
    case BLY_MEND_STRIP:
        (void)snprintf(out, 2 * WORDS_MAX, "%s %s of %.40s at %.32s (%s in water)",
                       step->length > 0 ? "cut off" : "put on", length, id, seat, weight);
        break;
    case BLY_MEND_EDGE:
        (void)snprintf(out, 2 * WORDS_MAX, "cut %s off the lip's front edge (%s in water)", length,
                       weight);
        break;
    default:
        (void)snprintf(out, 2 * WORDS_MAX, "grind %s off the lip's back (%s in water)", length,
                       weight);
        break;
    }
}

/* leaves: there is nothing to do before that test. */
static void text_side(const Report *r, const BlyBuild *build, const BlyMendStep *step, bool heavy,
                      bool leaves) {
    char edge[WORDS_MAX], when[2 * WORDS_MAX],
        what[2 * WORDS_MAX] = "nothing that is left to trim helps; give the reading to `tank`";
    if (!isfinite(step->edge))
        return;
    if (build->target.state == BLY_FLOATS) {
        bly_quantity_show(step->edge, BLY_DIM_RATIO, r->system, 0, edge);
        (void)snprintf(when, sizeof when, "%s than %s shows", heavy ? "less" : "more", edge);
    } else {
        edge_words(r, step->edge, edge);
        bool down = step->edge > 0;
        (void)snprintf(when, sizeof when, "it %s %s %s than %s", leaves ? "then" : "still",
                       down ? "sinks" : "rises", down == heavy ? "faster" : "more slowly", edge);
    }
    if (step->known)
        step_words(r, build, step, what);
    text_wrapped(r, 2, "if %s: %s", when, what);
}

void text_mend_otherwise(const Report *r, const BlyBuild *build, const BlyMendPlan *p) {
    text_side(r, build, &p->too_heavy, true, p->leaves);
    text_side(r, build, &p->too_light, false, p->leaves);
}

void text_mend(const Report *r, const BlyBuild *build, const BlyMendPlan *p, const char *file,
               const char *written) {
    (void)fprintf(r->out, "%s\n", build->name);
    text_chance(r, p);
    text_steps(r, build, p);
    text_mend_expected(r, build, p);
    text_mend_otherwise(r, build, p);
    text_notes(r, "  ", p->rig.water_count > 0 ? p->rig.outcome[0].notes : 0);
    if (written != NULL)
        (void)fprintf(r->out,
                      "the build as mended is in %s\nthe next reading goes to: ballastry tank %s\n",
                      written, written);
    else if (file != NULL && !p->leaves)
        text_wrapped(r, 2, "-o FILE writes the build as mended, for `tank` with the next reading");
}
