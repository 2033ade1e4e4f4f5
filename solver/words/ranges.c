/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Speeds and angles with their way in words, alone and from one to another: a maker reads "between
 * nose-up 4 and nose-down 18 deg", never a sign. */
#include "words/words.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <gsl/gsl_math.h>

/* What a quantity with two ways is told in. */
typedef struct Ways {
    double unit; /* SI */
    const char *name;
    int places;
    const char *way[2];           /* below zero, above */
    const char *nought, *open[2]; /* an end that is none */
    const char *beyond;           /* after the only end */
} Ways;

enum { AMOUNT_MAX = 48 };

/* "0.4"; false where the digits say nothing but zero. */
static bool amount_words(const Ways *ways, double value, char out[AMOUNT_MAX]) {
    double amount = fabs(value) / ways->unit, hair = 0.5 * pow(10.0, -ways->places);
    (void)bly_format(out, AMOUNT_MAX, "%.*f", ways->places, fmin(amount, 1e15));
    return amount >= hair;
}

/* unit: whether it is said here, or follows with the other end. */
static void one_end(const Ways *ways, double value, bool unit, char out[WORDS_MAX]) {
    char amount[AMOUNT_MAX];
    int way = value > 0;
    if (isinf(value))
        (void)snprintf(out, WORDS_MAX, "%s", ways->open[way]);
    else if (amount_words(ways, value, amount))
        (void)snprintf(out, WORDS_MAX, "%s %s%s%s", ways->way[way], amount, unit ? " " : "",
                       unit ? ways->name : "");
    else
        (void)snprintf(out, WORDS_MAX, "%s", ways->nought);
}

/* Both ends on one side: the way is said once, the smaller amount first. */
static bool one_way(const Ways *ways, double low, double high, char out[WORDS_MAX]) {
    char less[AMOUNT_MAX], more[AMOUNT_MAX];
    int way = low > 0;
    if ((low > 0) != (high > 0) || !amount_words(ways, fmin(fabs(low), fabs(high)), less))
        return false;
    if (!isfinite(low) || !isfinite(high))
        (void)snprintf(out, WORDS_MAX, "%s %s %s %s", ways->way[way], less, ways->name,
                       ways->beyond);
    else if (amount_words(ways, fmax(fabs(low), fabs(high)), more))
        (void)snprintf(out, WORDS_MAX, "%s %s to %s %s", ways->way[way], less, more, ways->name);
    return true;
}

static void range_words(const Ways *ways, double low, double high, char out[WORDS_MAX]) {
    char from[WORDS_MAX], to[WORDS_MAX];
    if (isnan(low) || isnan(high)) {
        (void)snprintf(out, WORDS_MAX, "unknown");
        return;
    }
    one_end(ways, low, true, from);
    one_end(ways, high, true, to);
    if (strcmp(from, to) == 0) {
        (void)snprintf(out, WORDS_MAX, "%s", from);
    } else if (!one_way(ways, low, high, out)) {
        one_end(ways, low, strcmp(to, ways->nought) == 0 || isinf(high), from);
        (void)snprintf(out, WORDS_MAX, "between %.70s and %.70s", from, to);
    }
}

static Ways drift_ways(BlySystem system, double low, double high, int finer) {
    bool inch = system == BLY_INCH;
    double most = fmax(isfinite(low) ? fabs(low) : 0, isfinite(high) ? fabs(high) : 0);
    return (Ways){.unit = inch ? 0.0254 : 0.01,
                  .name = inch ? "in/s" : "cm/s",
                  .places = finer + (inch || most < 0.00995 ? 2 : 1),
                  .way = {"rising", "sinking"},
                  .nought = "hanging still",
                  .open = {"rising at any speed", "sinking at any speed"},
                  .beyond = "or faster"};
}

void drift_range_words(double low, double high, BlySystem system, int finer, char out[WORDS_MAX]) {
    Ways ways = drift_ways(system, low, high, finer);
    range_words(&ways, low, high, out);
}

void attitude_range_words(double low, double high, int places, char out[WORDS_MAX]) {
    Ways ways = {.unit = M_PI / 180.0,
                 .name = "deg",
                 .places = places,
                 .way = {"nose-up", "nose-down"},
                 .nought = "level",
                 .open = {"nose-up by any angle", "nose-down by any angle"},
                 .beyond = "or more"};
    range_words(&ways, low, high, out);
}

double in_100(double share) {
    return floor(100.0 * share + 0.5);
}

ShareText share_text(double share) {
    ShareText out = {"fewer than 1"};
    if (!(share > 0 && in_100(share) < 1))
        (void)bly_format(out.words, sizeof out.words, "%.0f", in_100(share));
    return out;
}

void turned_words(double share, char out[WORDS_MAX]) {
    out[0] = '\0';
    if (share >= 0.005)
        (void)bly_format(out, WORDS_MAX, "; %.0f in 100 turn over", in_100(share));
}
