/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a target asks of the drawn lure, as text. */
#include "report/wish.h"
#include "text/format.h"

#include <math.h>
#include <string.h>

#include "report/tow.h"

static void thread_words(double m, BlySystem system, char out[BLY_QUANTITY_MAX]) {
    bly_quantity_show(m, BLY_DIM_LENGTH, system, system == BLY_INCH ? 4 : 2, out);
}

static void between(double low, double high, BlySystem system,
                    void (*words)(double, BlySystem, char *), char out[WORDS_MAX]) {
    char from[WORDS_MAX], to[WORDS_MAX];
    words(isfinite(low) ? low : high, system, from);
    words(isfinite(high) ? high : low, system, to);
    if (isfinite(low) && isfinite(high))
        (void)snprintf(out, WORDS_MAX, "%.60s to %.60s", from, to);
    else
        (void)snprintf(out, WORDS_MAX, "at %s %.60s", isfinite(low) ? "least" : "most", from);
}

static void nose_band(const BlyTowWish *wish, char out[WORDS_MAX]) {
    char one[WORDS_MAX];
    if (isfinite(wish->nose_low) && isfinite(wish->nose_high)) {
        attitude_range_words(wish->nose_low, wish->nose_high, 1, out);
        return;
    }
    bool least = isfinite(wish->nose_low);
    attitude_words(least ? wish->nose_low : wish->nose_high, one);
    (void)snprintf(out, WORDS_MAX, "%.80s or %s", one, least ? "more" : "less");
}

static void miss(const Report *r, const char *margin, const char *what, const char *got,
                 const char *wanted) {
    text_wrapped(r, (int)strlen(margin) + 2, "%smisses on the line: %s %s, wanted %s", margin, what,
                 got, wanted);
}

void text_tow_verdict(const Report *r, const char *margin, const BlyBuild *build,
                      const BlyTowVerdict *v) {
    const BlyTowWish *wish = bly_build_tow_wish(build);
    char got[WORDS_MAX], wanted[WORDS_MAX];
    if (v->met) {
        tow_speed_words(wish->speed, r->system, got);
        (void)fprintf(r->out, "%son the line at %s: as the target asks, by the middle estimate\n",
                      margin, got);
        return;
    }
    if (v->run.state == BLY_TOW_NOWHERE) {
        (void)fprintf(r->out, "%smisses on the line: it finds no way to run\n", margin);
        return;
    }
    if (v->nose_off != 0) {
        attitude_words(v->run.nose_down, got);
        nose_band(wish, wanted);
        miss(r, margin, "runs", got, wanted);
    }
    if (v->depth_off != 0) {
        tow_reach_words(v->run.line.depth, r->system, got);
        between(wish->depth_low, wish->depth_high, r->system, tow_reach_words, wanted);
        miss(r, margin, "trolled it runs", v->run.line.depth > 0 ? got : "at the surface", wanted);
    }
    if (v->under_off != 0) {
        tow_speed_words(v->draws_under, r->system, got);
        between(-INFINITY, wish->under_most, r->system, tow_speed_words, wanted);
        miss(r, margin, "is drawn under from",
             isfinite(v->draws_under) ? got : "no speed looked at", wanted);
    }
}

/* "85 of 100 such lures keep what is asked; depth alone 90". */
static void shares_words(const BlyTowWished *w, char out[2 * WORDS_MAX]) {
    const struct {
        const char *what;
        double share;
    } parts[] = {{"tilt", w->nose_down}, {"depth", w->depth}, {"draws under", w->draws_under}};
    size_t asked = 0;
    for (size_t i = 0; i < 3; i++)
        asked += isnan(parts[i].share) ? 0 : 1;
    (void)bly_format(out, 2 * WORDS_MAX, "%s of 100 such lures keep what is asked",
                     share_text(w->met).words);
    for (size_t i = 0; i < 3 && asked > 1; i++) {
        size_t length = strlen(out);
        if (!isnan(parts[i].share))
            (void)bly_format(out + length, 2 * WORDS_MAX - length, "; %s alone %.0f", parts[i].what,
                             in_100(parts[i].share));
    }
}

void text_wish_kept(const Report *r, const BlyBuild *build, const BlyTowWished *w) {
    char shares[2 * WORDS_MAX];
    shares_words(w, shares);
    (void)fprintf(r->out, "what the target asks\n");
    text_tow_verdict(r, "  ", build, &w->verdict);
    text_wrapped(r, 4, "  %s", shares);
}

/* "1.0 m/s, 30 m of 0.30 mm, rod tip 1.0 m above the water". */
static void draw_words(const Report *r, const BlyTowWish *wish, char out[2 * WORDS_MAX]) {
    char speed[WORDS_MAX], length[WORDS_MAX], rod[WORDS_MAX], thick[BLY_QUANTITY_MAX];
    tow_speed_words(wish->speed, r->system, speed);
    tow_reach_words(wish->length, r->system, length);
    tow_reach_words(wish->rod, r->system, rod);
    thread_words(wish->diameter, r->system, thick);
    (void)snprintf(out, 2 * WORDS_MAX, "%.40s, %.40s of %s, rod tip %.40s above the water", speed,
                   length, thick, rod);
}

static void runs_words(const Report *r, const BlyTowWished *w, char out[4 * WORDS_MAX]) {
    char runs[2 * WORDS_MAX], under[WORDS_MAX] = "", speed[WORDS_MAX], shares[2 * WORDS_MAX];
    tow_ranges_words(r, &w->towed.at[0], runs);
    shares_words(w, shares);
    if (isfinite(w->verdict.draws_under) && w->verdict.draws_under > 0) {
        tow_speed_words(w->verdict.draws_under, r->system, speed);
        (void)snprintf(under, WORDS_MAX, "; goes under from about %.40s", speed);
    }
    (void)snprintf(out, 4 * WORDS_MAX, "%.310s%.80s; %.240s", runs, under, shares);
}

void text_wished(const Report *r, const BlyBuild *build, const BlyTowWished *w) {
    char draw[2 * WORDS_MAX], runs[4 * WORDS_MAX];
    draw_words(r, bly_build_tow_wish(build), draw);
    runs_words(r, w, runs);
    text_wrapped(r, 4, "  on the line at %s (an estimate): %s", draw, runs);
    if (!w->verdict.met)
        text_tow_verdict(r, "    ", build, &w->verdict);
}

void text_wished_beside(const Report *r, const BlyTowWished *w) {
    char runs[4 * WORDS_MAX];
    runs_words(r, w, runs);
    text_wrapped(r, 5, "   on the line: %s", runs);
}

void text_wished_note(const Report *r, bool chances) {
    text_wrapped(r, 2, "on the line: %s%s", tow_estimate_words,
                 chances ? "; the chances above are of still water" : "");
}
