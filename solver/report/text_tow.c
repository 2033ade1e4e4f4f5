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

static double whole(double share) {
    return floor(100 * share + 0.5);
}

/* Depths and lengths of line: metres or feet with a figure or two. */
void tow_reach_words(double m, BlySystem system, char out[WORDS_MAX]) {
    double value = system == BLY_INCH ? m / 0.3048 : m;
    int places = value < 9.95 ? 1 : 0;
    if (isfinite(value))
        (void)bly_format(out, WORDS_MAX, "%.*f %s", places, value, system == BLY_INCH ? "ft" : "m");
    else
        (void)snprintf(out, WORDS_MAX, "any length");
}

void tow_speed_words(double speed, BlySystem system, char out[WORDS_MAX]) {
    double value = system == BLY_INCH ? speed / 0.3048 : speed;
    (void)bly_format(out, WORDS_MAX, "%.*f %s", value < 0.995 ? 2 : 1, value,
                     system == BLY_INCH ? "ft/s" : "m/s");
}

/* Two figures are all that a pull is worth. */
void tow_pull_words(double newton, BlySystem system, char out[WORDS_MAX]) {
    double value = newton / BLY_GRAVITY / (system == BLY_INCH ? 0.028349523125 : 1e-3);
    double step = value > 0 ? pow(10, floor(log10(value)) - 1) : 1;
    value = floor(value / step + 0.5) * step;
    (void)bly_format(out, WORDS_MAX, "%.*f %s",
                     step < 0.095  ? 2
                     : step < 0.95 ? 1
                                   : 0,
                     value, system == BLY_INCH ? "oz" : "g");
}

/* "1.6 m (1.1 to 2.2)". */
typedef void (*Words)(double si, BlySystem system, char out[WORDS_MAX]);
static void banded(const Report *r, const BlyTowRange *range, Words words, char out[WORDS_MAX]) {
    char middle[WORDS_MAX], low[WORDS_MAX], high[WORDS_MAX];
    words(range->nominal, r->system, middle);
    words(range->said_low, r->system, low);
    words(range->said_high, r->system, high);
    if (isfinite(range->said_high)) {
        *strrchr(low, ' ') = '\0';
        *strrchr(high, ' ') = '\0';
    }
    (void)snprintf(out, WORDS_MAX, "%.40s (%.40s to %.40s)", middle, low, high);
}

static double degrees(double rad) {
    return floor(rad * 180 / M_PI + 0.5);
}

/* "nose-down 14 deg (9 to 19)", "nose-up 3 deg (nose-up 8 deg to nose-down 2 deg)". */
static void lies_words(const BlyTowRange *range, char out[WORDS_MAX]) {
    double low = degrees(range->said_low), high = degrees(range->said_high);
    char middle[WORDS_MAX], band[WORDS_MAX];
    attitude_range_words(range->nominal, range->nominal, 0, middle);
    if (low >= 0)
        (void)bly_format(band, WORDS_MAX, "%.0f to %.0f", low, high);
    else if (high <= 0)
        (void)bly_format(band, WORDS_MAX, "%.0f to %.0f", fabs(high), fabs(low));
    else
        attitude_range_words(range->said_low, range->said_high, 0, band);
    (void)snprintf(out, WORDS_MAX, "%.40s (%.80s)", middle, band);
}

static void text_line(const Report *r, const BlyTowLine *line) {
    char length[WORDS_MAX], rod[WORDS_MAX], thick[BLY_QUANTITY_MAX];
    tow_reach_words(line->length, r->system, length);
    tow_reach_words(line->rod, r->system, rod);
    bly_quantity_show(line->diameter, BLY_DIM_LENGTH, r->system, r->system == BLY_INCH ? 4 : 2,
                      thick);
    text_wrapped(r, 2, "on the line: %s of %s, rod tip %s above the water", length, thick, rod);
}

/* "dives (in 81 of 100; 19: stays on top)". */
static void state_words(const BlyTowAt *at, char out[WORDS_MAX]) {
    double share = whole(at->share[at->run.state]);
    size_t length = (size_t)snprintf(out, WORDS_MAX, "%s", bly_tow_state_words(at->run.state));
    if (share > 99)
        return;
    length += (size_t)snprintf(out + length, WORDS_MAX - length, " (in %.0f of 100", share);
    const char *before = "; ";
    for (int s = 0; s < BLY_TOW_STATES && length < WORDS_MAX; s++) {
        if ((BlyTowState)s == at->run.state || whole(at->share[s]) < 1)
            continue;
        length += (size_t)snprintf(out + length, WORDS_MAX - length, "%s%.0f: %s", before,
                                   whole(at->share[s]), bly_tow_state_words((BlyTowState)s));
        before = ", ";
    }
    if (length < WORDS_MAX)
        (void)snprintf(out + length, WORDS_MAX - length, ")");
}

static const char *most_of(const BlyTowRun *run) {
    static const char *const words[BLY_TOW_SOURCES] = {"the body", "the lip", "hooks and rings"};
    int most = 0;
    for (int i = 1; i < BLY_TOW_SOURCES; i++)
        most = run->share[i] > run->share[most] ? i : most;
    return words[most];
}

static double most_share(const BlyTowRun *run) {
    return fmax(run->share[0], fmax(run->share[1], run->share[2]));
}

static void pull_sentence(const Report *r, const BlyTowAt *at, char out[4 * WORDS_MAX]) {
    char nose[WORDS_MAX], pull[WORDS_MAX];
    lies_words(&at->nose_down, nose);
    banded(r, &at->pull, tow_pull_words, pull);
    (void)snprintf(out, 4 * WORDS_MAX, ", runs %s, pulls %s; %s make%s %.0f %% of that", nose, pull,
                   most_of(&at->run),
                   at->run.share[BLY_TOW_BY_WIRE] == most_share(&at->run) ? "" : "s",
                   whole(most_share(&at->run)));
}

/* Deep enough to be worth a word in some draws. */
static bool gets_under(const BlyTowAt *at) {
    return at->depth.high > 0.05;
}

static void text_depth(const Report *r, const char *margin, const BlyTowAt *at) {
    char depth[WORDS_MAX], cast[WORDS_MAX], near[WORDS_MAX];
    if (!gets_under(at)) {
        (void)fprintf(r->out, "%sstays at the surface\n", margin);
        return;
    }
    banded(r, &at->depth, tow_reach_words, depth);
    tow_reach_words(fmax(at->cast.high, at->cast.nominal), r->system, cast);
    text_wrapped(r, 18, "%strolled %s deep; cast and reeled in at most %s", margin, depth, cast);
    if (!isfinite(at->near_rod.nominal) || !(at->near_rod.nominal > 0))
        return;
    banded(r, &at->near_rod, tow_reach_words, near);
    (void)fprintf(r->out, "%scomes up near the rod from %s of line\n", margin, near);
}

void tow_ranges_words(const Report *r, const BlyTowAt *at, char out[2 * WORDS_MAX]) {
    char nose[WORDS_MAX], depth[WORDS_MAX];
    if (at->run.state == BLY_TOW_NOWHERE) {
        (void)snprintf(out, 2 * WORDS_MAX, "%s", bly_tow_state_words(at->run.state));
        return;
    }
    lies_words(&at->nose_down, nose);
    (void)snprintf(depth, WORDS_MAX, "stays at the surface");
    if (gets_under(at))
        banded(r, &at->depth, tow_reach_words, depth);
    (void)snprintf(out, 2 * WORDS_MAX, "%s (%.0f of 100 draws), runs %.90s, %s%.90s%s",
                   bly_tow_state_words(at->run.state), whole(at->share[at->run.state]), nose,
                   gets_under(at) ? "trolled " : "", depth, gets_under(at) ? " deep" : "");
}

static void text_at(const Report *r, const BlyTowAt *at) {
    char speed[WORDS_MAX], state[WORDS_MAX], pull[4 * WORDS_MAX] = "";
    tow_speed_words(at->run.speed, r->system, speed);
    state_words(at, state);
    if (at->run.state != BLY_TOW_NOWHERE)
        pull_sentence(r, at, pull);
    text_wrapped(r, 16, "  at %-10s %s%s", speed, state, pull);
    if (at->run.state != BLY_TOW_NOWHERE)
        text_depth(r, "                ", at);
}

static void text_under(const Report *r, const BlyTowed *towed) {
    char words[WORDS_MAX];
    const BlyTowRange *under = &towed->draws_under;
    if (towed->floats < 0.05)
        return;
    if (isinf(under->nominal)) {
        tow_speed_words(BLY_TOW_FASTEST, r->system, words);
        (void)fprintf(r->out, "  stays at the surface up to %s\n", words);
    } else if (under->nominal > 0.05 && isfinite(under->said_high)) {
        banded(r, under, tow_speed_words, words);
        (void)fprintf(r->out, "  goes under from %s\n", words);
    } else if (isfinite(under->said_high)) {
        tow_speed_words(fmax(under->said_high, 0.05), r->system, words);
        text_wrapped(r, 4,
                     "  where it comes out lighter than water (%.0f of 100), it goes under from %s "
                     "or less",
                     whole(towed->floats), words);
    }
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

static void factor_words(const BlyTowChange *change, const char *more, const char *less,
                         char out[WORDS_MAX]) {
    if (change->sign == 0)
        (void)snprintf(out, WORDS_MAX, "about the same");
    else if (isfinite(change->middle))
        (void)bly_format(out, WORDS_MAX, "%s x %.2f", change->sign > 0 ? more : less,
                         change->middle);
    else
        (void)snprintf(out, WORDS_MAX, "%s", change->sign > 0 ? more : less);
}

static void nose_words(const BlyTowChange *change, char out[WORDS_MAX]) {
    if (change->sign == 0)
        (void)snprintf(out, WORDS_MAX, "about the same");
    else
        (void)bly_format(out, WORDS_MAX, "nose %.0f deg %s", fabs(change->middle) * 180 / M_PI,
                         change->sign > 0 ? "lower" : "higher");
}

void text_tow_levers(const Report *r, const BlyTowEffect levers[BLY_TOW_LEVERS], double speed) {
    char at[WORDS_MAX], depth[WORDS_MAX], pull[WORDS_MAX], nose[WORDS_MAX];
    tow_speed_words(speed, r->system, at);
    (void)fprintf(r->out,
                  "what a change does at %s, where 95 of 100 agree\n  %-23s %-17s %-15s "
                  "%s\n",
                  at, "", "depth", "pull", "tilt");
    for (int i = 0; i < BLY_TOW_LEVERS; i++) {
        if (!levers[i].possible)
            continue;
        factor_words(&levers[i].depth, "deeper", "shallower", depth);
        factor_words(&levers[i].pull, "harder", "lighter", pull);
        nose_words(&levers[i].nose_down, nose);
        (void)fprintf(r->out, "  %-23s %-17s %-15s %s\n", bly_tow_lever_words((BlyTowLever)i),
                      depth, pull, nose);
    }
}

void text_tow_compare(const Report *r, const BlyTowEffect *effect, const BlyTowAsk *ask) {
    char at[WORDS_MAX], depth[WORDS_MAX], pull[WORDS_MAX], nose[WORDS_MAX];
    tow_speed_words(ask->speeds[ask->change_at], r->system, at);
    factor_words(&effect->depth, "deeper", "shallower", depth);
    factor_words(&effect->pull, "harder", "lighter", pull);
    nose_words(&effect->nose_down, nose);
    text_wrapped(r, 2,
                 "on the line at %s, after against before (an estimate, told where 95 of 100 "
                 "agree)",
                 at);
    text_wrapped(r, 4, "  depth %s; pull %s; tilt %s", depth, pull, nose);
}
