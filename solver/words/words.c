/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The choice of words and digits. */
#include "words/words.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <gsl/gsl_math.h>

/* Upper ends of the bands in m/s. Proposed from the rates makers quote; docs/rest.md. */
static const struct {
    double up_to;
    const char *down, *up;
} drift_table[] = {
    {0.006, "suspends", "suspends"},
    {0.015, "barely sinks", "barely rises"},
    {0.040, "sinks very slowly", "rises very slowly"},
    {0.100, "sinks slowly", "rises slowly"},
    {0.350, "sinks", "rises"},
    {INFINITY, "sinks fast", "rises fast"},
};

static const double still = 5e-5; /* m/s */

const char *drift_words(double drift) {
    for (size_t i = 0; i < sizeof drift_table / sizeof drift_table[0]; i++) {
        if (fabs(drift) <= drift_table[i].up_to)
            return drift < 0 ? drift_table[i].up : drift_table[i].down;
    }
    return "speed unknown";
}

/* Seconds a foot beyond which no stopwatch tells more: common practice has a lure hang still from
 * some 50 s on. */
static const double still_from = 300;

/* "24.8 cm/s (a foot in 1.2 s)"; in the inch system the foot comes first. Two digits tell speeds
 * apart. */
static void amount_words(double speed, BlySystem system, char out[WORDS_MAX]) {
    double a_foot = 0.3048 / speed; /* seconds */
    int places = a_foot < 0.995 ? 2 : a_foot < 9.95 ? 1 : 0;
    if (a_foot > still_from) {
        (void)bly_format(out, WORDS_MAX, "%.2f %s (hangs still)",
                         speed * (system == BLY_INCH ? 1 / 0.0254 : 100),
                         system == BLY_INCH ? "in/s" : "cm/s");
        return;
    }
    if (system == BLY_INCH)
        (void)bly_format(out, WORDS_MAX, "a foot in %.*f s (%.2f in/s)", places, a_foot,
                         speed / 0.0254);
    else
        (void)bly_format(out, WORDS_MAX, "%.*f cm/s (a foot in %.*f s)", speed < 0.00995 ? 2 : 1,
                         speed * 100, places, a_foot);
}

void speed_words(double drift, BlySystem system, char out[WORDS_MAX]) {
    char amount[WORDS_MAX];
    if (!isfinite(drift)) {
        (void)snprintf(out, WORDS_MAX, "speed unknown");
        return;
    }
    if (fabs(drift) < still) {
        (void)snprintf(out, WORDS_MAX, "hanging still");
        return;
    }
    amount_words(fabs(drift), system, amount);
    (void)snprintf(out, WORDS_MAX, "%s %.120s", drift < 0 ? "rising" : "sinking", amount);
}

void moves_words(double drift, bool floats, BlySystem system, char out[WORDS_MAX]) {
    char amount[WORDS_MAX];
    bool at = system != BLY_INCH;
    if (floats && isfinite(drift)) {
        amount_words(fabs(drift), system, amount);
        (void)snprintf(out, WORDS_MAX, "floats; pushed under, it comes up %s%.110s",
                       at ? "at " : "", amount);
    } else if (!isfinite(drift) || fabs(drift) <= drift_table[0].up_to) {
        speed_words(drift, system, amount);
        (void)snprintf(out, WORDS_MAX, "%s%.130s", isfinite(drift) ? "suspends, " : "", amount);
    } else {
        amount_words(fabs(drift), system, amount);
        (void)snprintf(out, WORDS_MAX, "%s %s%.120s", drift_words(drift), at ? "at " : "", amount);
    }
}

void small_speed_words(double drift, BlySystem system, bool sign, char out[WORDS_MAX]) {
    bool inch = system == BLY_INCH;
    const char *unit = inch ? "in/s" : "cm/s";
    int places = inch ? 2 : 1;
    double value = inch ? drift / 0.0254 : drift * 100;
    if (!isfinite(value))
        (void)snprintf(out, WORDS_MAX, "unknown");
    else if (fabs(value) < 0.5 * pow(10.0, -places))
        (void)snprintf(out, WORDS_MAX, "0 %s", unit);
    else if (sign)
        (void)bly_format(out, WORDS_MAX, "%+.*f %s", places, value, unit);
    else
        (void)bly_format(out, WORDS_MAX, "%.*f %s", places, value, unit);
}

void attitude_words(double nose_down, char out[WORDS_MAX]) {
    double deg = nose_down * 180 / M_PI;
    if (!isfinite(deg))
        (void)snprintf(out, WORDS_MAX, "at any tilt");
    else if (fabs(deg) >= 90.05)
        (void)snprintf(out, WORDS_MAX, "on its back, turned over by %.0f deg", fabs(deg));
    else if (fabs(deg) < 0.05)
        (void)snprintf(out, WORDS_MAX, "level");
    else
        (void)bly_format(out, WORDS_MAX, "nose-%s %.1f deg", deg > 0 ? "down" : "up", fabs(deg));
}

void small_mass_words(double kg, BlySystem system, bool sign, char out[WORDS_MAX]) {
    const char *format_mg = sign ? "%+.0f mg" : "%.0f mg";
    const char *format_g = sign ? "%+.2f g" : "%.2f g";
    if (!isfinite(kg)) {
        (void)snprintf(out, WORDS_MAX, "unknown");
    } else if (system == BLY_INCH) {
        char text[BLY_QUANTITY_MAX];
        bly_quantity_show(kg, BLY_DIM_MASS, BLY_INCH, 4, text);
        (void)snprintf(out, WORDS_MAX, "%s%s", sign && kg > 0 ? "+" : "", text);
    } else if (fabs(kg) < 0.9995e-3) {
        double mg = kg * 1e6;
        (void)snprintf(out, WORDS_MAX, format_mg, fabs(mg) < 0.5 ? 0.0 : mg);
    } else {
        (void)bly_format(out, WORDS_MAX, format_g, kg * 1e3);
    }
}

void water_words(const BlyWater *water, BlySystem system, char out[WORDS_MAX]) {
    char t[BLY_QUANTITY_MAX], s[BLY_QUANTITY_MAX];
    bly_quantity_show(water->temperature, BLY_DIM_TEMPERATURE, system, -1, t);
    if (water->salinity <= 0) {
        (void)snprintf(out, WORDS_MAX, "fresh water at %s", t);
        return;
    }
    bly_quantity_show(water->salinity, BLY_DIM_SALINITY, system, -1, s);
    (void)snprintf(out, WORDS_MAX, "water with %s of salt at %s", s, t);
}
