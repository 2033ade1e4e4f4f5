/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure it is, as text. */
#include "report/lines.h"
#include "report/sure.h"

#include <gsl/gsl_math.h>

enum { INPUTS_TOLD = 3 };

static const char *const quantity_words[BLY_QUANTITIES] = {
    [BLY_Q_NET_WEIGHT] = "weight in water",
    [BLY_Q_DRIFT] = "speed",
    [BLY_Q_NOSE_DOWN] = "tilt",
    [BLY_Q_SHOWS] = "part above water",
};

void band_words(const Report *r, BlyQuantity q, const BlyRange *range, char out[WORDS_MAX]) {
    char light[WORDS_MAX], heavy[WORDS_MAX];
    if (q == BLY_Q_DRIFT) {
        drift_range_words(range->low, range->high, r->system, 0, out);
    } else if (q == BLY_Q_NOSE_DOWN) {
        attitude_range_words(range->low, range->high, 1, out);
    } else if (q == BLY_Q_SHOWS) {
        from_to_words(r, range->low, range->high, BLY_DIM_RATIO, 1, out);
    } else {
        small_mass_words(range->low, r->system, true, light);
        small_mass_words(range->high, r->system, true, heavy);
        (void)snprintf(out, WORDS_MAX, "%.60s to %.60s", light, heavy);
    }
}

const char *quantity_label(BlyQuantity q, bool afloat) {
    if (q != BLY_Q_NOSE_DOWN)
        return quantity_words[q];
    return afloat ? "tilt at the surface" : "tilt under water";
}

static void text_range(const Report *r, BlyQuantity q, const BlySpreadWater *water) {
    const BlyRange *range = &water->range[q];
    char band[WORDS_MAX], turned[WORDS_MAX] = "";
    if (q == BLY_Q_NOSE_DOWN && water->no_attitude) {
        text_wrapped(r, 23, "  %-20s any: nothing but the tolerances turns it",
                     quantity_label(q, water->afloat));
        return;
    }
    if (isnan(range->low) || isnan(range->high))
        return;
    if (q == BLY_Q_NOSE_DOWN)
        turned_words(water->turned, turned);
    band_words(r, q, range, band);
    text_wrapped(r, 23, "  %-20s %s%s", quantity_label(q, water->afloat), band, turned);
}

static void text_states(const Report *r, const BlySpreadWater *water) {
    static const char *const words[3] = {"float", "suspend", "sink"};
    const char *comma = "";
    int told = 0;
    for (int s = 0; s < 3; s++)
        told += water->state[s] >= 0.005;
    if (told < 2)
        return;
    (void)fprintf(r->out, "  %-20s ", "of 100 such lures");
    for (int s = 0; s < 3; s++) {
        double share = in_100(water->state[s]);
        if (share < 1)
            continue;
        (void)fprintf(r->out, "%s%.0f %s%s", comma, share, words[s], share == 1 ? "s" : "");
        comma = ", ";
    }
    (void)fprintf(r->out, "\n");
}

/* The chance has one number: that of the reserve where there is one. */
static void text_chance(const Report *r, const BlySpread *spread, bool told_below) {
    static const char *const words[BLY_MISSES] = {"speed", "part above water", "tilt", "roll arm"};
    char missed[WORDS_MAX] = "";
    size_t length = 0;
    if (!spread->has_target)
        return;
    if (!told_below)
        text_wrapped(r, 23, "  %-20s %s in 100%s", "right first time",
                     share_text(spread->chance).words,
                     spread->water_count > 1 ? ", in every water" : "");
    for (int m = 0; m < BLY_MISSES; m++) {
        if (spread->miss[m] >= 0.005)
            length += (size_t)snprintf(missed + length, sizeof missed - length, "%s%s in %.0f",
                                       length > 0 ? ", " : "", words[m], in_100(spread->miss[m]));
    }
    if (length > 0)
        text_wrapped(r, 23, "  %-20s %s", "misses the target by", missed);
}

static void text_input(const Report *r, const BlyBuild *build, const BlyInput *input,
                       double share) {
    char id[WORDS_MAX] = "", at[WORDS_MAX] = "";
    if (input->id[0] != '\0')
        (void)snprintf(id, sizeof id, ", %.100s", input->id);
    if (input->seat >= 0)
        (void)snprintf(at, sizeof at, " at %.100s", build->seats[input->seat].name);
    text_wrapped(r, 11, "    %3.0f %%  %s%s%s: %s", in_100(share), bly_input_words(input->kind), id,
                 at, bly_input_advice(input->kind));
}

void text_spread(const Report *r, const BlyBuild *build, const BlySpread *spread,
                 const BlySpread *in_target, bool chance_below) {
    const BlySpread *judged = in_target ? in_target : spread;
    (void)fprintf(r->out, "how sure that is: of 100 such lures, 90 stay within\n");
    for (int q = 0; q < BLY_QUANTITIES; q++)
        text_range(r, (BlyQuantity)q, &spread->water[0]);
    text_states(r, &spread->water[0]);
    text_chance(r, judged, chance_below);
    if (judged->input_count == 0)
        return;
    const double *share = judged->share[judged->matters];
    (void)fprintf(r->out, "  what makes the %s uncertain, and what helps\n",
                  quantity_words[judged->matters]);
    for (size_t k = 0; k < judged->input_count && k < INPUTS_TOLD; k++) {
        size_t i = judged->order[k];
        if (share[i] >= 0.005)
            text_input(r, build, &judged->inputs[i], share[i]);
    }
}

/* ---- the water window ---- */

static void place_words(const Report *r, bool salt, double at, char out[WORDS_MAX]) {
    bly_quantity_show(at, salt ? BLY_DIM_SALINITY : BLY_DIM_TEMPERATURE, r->system, 1, out);
}

static const char *state_words(BlyState state) {
    return state == BLY_FLOATS ? "floats" : state == BLY_SUSPENDS ? "suspends" : "sinks";
}

static void text_span(const Report *r, bool salt, const BlyWindowSpan *span, bool first,
                      const char *kept) {
    char from[WORDS_MAX], to[WORDS_MAX];
    place_words(r, salt, span->from, from);
    place_words(r, salt, span->to, to);
    (void)fprintf(r->out, "    %-9s ", state_words(span->state));
    if (first && span->ends_at_range)
        (void)fprintf(r->out, "everywhere");
    else if (first)
        (void)fprintf(r->out, "below %s", to);
    else if (span->ends_at_range)
        (void)fprintf(r->out, "above %s", from);
    else
        (void)fprintf(r->out, "%s to %s", from, to);
    (void)fprintf(r->out, "%s\n", span->keeps ? kept : "");
}

static void text_line(const Report *r, bool salt, const BlyWindowLine *line, const char *kept) {
    for (size_t i = 0; i < line->span_count; i++)
        text_span(r, salt, &line->span[i], i == 0, kept);
}

static void line_words(const Report *r, double salinity, char out[WORDS_MAX]) {
    char text[BLY_QUANTITY_MAX];
    if (salinity <= 0.0) {
        (void)snprintf(out, WORDS_MAX, "fresh");
        return;
    }
    bly_quantity_show(salinity, BLY_DIM_SALINITY, r->system, 1, text);
    (void)snprintf(out, WORDS_MAX, "%s of salt", text);
}

static void text_table(const Report *r, const BlyWindow *window) {
    char text[WORDS_MAX];
    bool shows = !isnan(window->temperature[0].point[0].shows);
    (void)fprintf(r->out, "  %s; * still works\n  %-18s",
                  shows                   ? "part above water, in %"
                  : r->system == BLY_INCH ? "speed in in/s, + sinking, - rising"
                                          : "speed in cm/s, + sinking, - rising",
                  "");
    for (int p = 0; p < BLY_WINDOW_POINTS; p++) {
        bly_quantity_show(window->temperature[0].point[p].at, BLY_DIM_TEMPERATURE, r->system, 0,
                          text);
        (void)fprintf(r->out, "%8s", text);
    }
    (void)fprintf(r->out, "\n");
    for (size_t l = 0; l < window->line_count; l++) {
        line_words(r, window->temperature[l].fixed, text);
        (void)fprintf(r->out, "  %-18s", text);
        for (int p = 0; p < BLY_WINDOW_POINTS; p++) {
            const BlyWindowPoint *point = &window->temperature[l].point[p];
            bool inch = !shows && r->system == BLY_INCH;
            double value = shows ? point->shows * 100 : point->drift / (inch ? 0.0254 : 0.01);
            int places = shows ? 0 : inch ? 2 : 1;
            value = fabs(value) < 0.5 * pow(10.0, -places) ? 0.0 : value;
            report_print(r->out, "%7.*f%c", places, value, point->keeps ? '*' : ' ');
        }
        (void)fprintf(r->out, "\n");
    }
}

void text_window(const Report *r, const BlyWindow *window) {
    const char *kept = window->of_target ? ", on target" : ", as in its own water, within 5 deg";
    char text[WORDS_MAX];
    for (size_t l = 0; l < window->line_count; l++) {
        line_words(r, window->temperature[l].fixed, text);
        (void)fprintf(r->out, "  %s water\n", text);
        text_line(r, false, &window->temperature[l], kept);
    }
    place_words(r, false, window->salinity.fixed, text);
    (void)fprintf(r->out, "  at %s, with salt\n", text);
    text_line(r, true, &window->salinity, kept);
    text_table(r, window);
    text_notes(r, "  ", window->notes);
}
