/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run on the line and a change of it in words, alike in texts and on the page. */
#include "report/tow.h"
#include "report/wish.h"
#include "text/format.h"

#include <gsl/gsl_math.h>
#include <stdio.h>
#include <string.h>

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
static void banded(const BlyTowRange *range, Words words, BlySystem system, char out[WORDS_MAX]) {
    char middle[WORDS_MAX], low[WORDS_MAX], high[WORDS_MAX];
    words(range->nominal, system, middle);
    words(range->said_low, system, low);
    words(range->said_high, system, high);
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

/* "dives (in 81 of 100; 19: stays on top)". */
static void state_words(const BlyTowAt *at, char out[WORDS_MAX]) {
    char others[WORDS_MAX] = "";
    double rest = 100;
    for (int s = 0; s < BLY_TOW_STATES; s++) {
        double share = in_100(at->share[s]);
        size_t length = strlen(others);
        if ((BlyTowState)s == at->run.state || share < 1)
            continue;
        rest -= share;
        (void)bly_format(others + length, WORDS_MAX - length, "%s%.0f: %s",
                         length > 0 ? ", " : "; ", share, bly_tow_state_words((BlyTowState)s));
    }
    if (others[0] == '\0')
        (void)snprintf(out, WORDS_MAX, "%s", bly_tow_state_words(at->run.state));
    else
        (void)bly_format(out, WORDS_MAX, "%s (in %.0f of 100%.100s)",
                         bly_tow_state_words(at->run.state), fmax(rest, 0), others);
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

/* Deep enough to be worth a word in some draws. */
static bool gets_under(const BlyTowAt *at) {
    return at->depth.high > 0.05;
}

static void depth_said(const BlyTowAt *at, BlySystem system, TowSaid *out) {
    banded(&at->depth, tow_reach_words, system, out->depth);
    tow_reach_words(fmax(at->cast.high, at->cast.nominal), system, out->cast);
    if (at->depth.nominal > 0 && isfinite(at->near_rod.nominal) && at->near_rod.nominal > 0)
        banded(&at->near_rod, tow_reach_words, system, out->near_rod);
}

void tow_said(const BlyTowAt *at, BlySystem system, TowSaid *out) {
    *out = (TowSaid){.speed = ""};
    tow_speed_words(at->run.speed, system, out->speed);
    state_words(at, out->does);
    if (at->run.state == BLY_TOW_NOWHERE)
        return;
    lies_words(&at->nose_down, out->lies);
    banded(&at->pull, tow_pull_words, system, out->pull);
    if (at->run.line.tension > 1.05 * at->run.pull)
        tow_pull_words(at->run.line.tension, system, out->at_rod);
    (void)snprintf(out->most, WORDS_MAX, "%s make%s %.0f %%", most_of(&at->run),
                   at->run.share[BLY_TOW_BY_WIRE] == most_share(&at->run) ? "" : "s",
                   in_100(most_share(&at->run)));
    if (gets_under(at))
        depth_said(at, system, out);
}

void tow_under_said(const BlyTowed *towed, BlySystem system, char out[2 * WORDS_MAX]) {
    char words[WORDS_MAX];
    const BlyTowRange *under = &towed->draws_under;
    out[0] = '\0';
    if (towed->floats < 0.05)
        return;
    if (isinf(under->nominal)) {
        tow_speed_words(BLY_TOW_FASTEST, system, words);
        (void)snprintf(out, 2 * WORDS_MAX, "stays at the surface up to %s", words);
    } else if (under->nominal > 0.05 && isfinite(under->said_high)) {
        banded(under, tow_speed_words, system, words);
        (void)snprintf(out, 2 * WORDS_MAX, "goes under from %s", words);
    } else if (isfinite(under->said_high)) {
        tow_speed_words(fmax(under->said_high, 0.05), system, words);
        (void)bly_format(out, 2 * WORDS_MAX,
                         "where it comes out lighter than water (%.0f of 100), it goes under from "
                         "%s or less",
                         in_100(towed->floats), words);
    }
}

void tow_ranges_words(const Report *r, const BlyTowAt *at, char out[2 * WORDS_MAX]) {
    TowSaid said;
    tow_said(at, r->system, &said);
    bool surface = said.depth[0] == '\0', on_top = at->run.state == BLY_TOW_ON_TOP;
    if (said.lies[0] == '\0')
        (void)snprintf(out, 2 * WORDS_MAX, "%s", said.does);
    else
        (void)snprintf(out, 2 * WORDS_MAX, "%.100s, runs %.90s%s%.90s%s", said.does, said.lies,
                       !surface ? ", trolled "
                       : on_top ? ""
                                : ", stays at the surface",
                       said.depth, surface ? "" : " deep");
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

void tow_change_said(const BlyTowEffect *effect, TowChangeSaid *out) {
    factor_words(&effect->depth, "deeper", "shallower", out->depth);
    factor_words(&effect->pull, "harder", "lighter", out->pull);
    nose_words(&effect->nose_down, out->tilt);
}
