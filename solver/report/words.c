/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The choice of words and digits. */
#include "report/report.h"
#include "text/format.h"

#include <math.h>
#include <gsl/gsl_math.h>

/* Upper ends of the bands in m/s. Proposed from the rates makers quote; docs/rest.md. */
static const struct {
    double up_to;
    const char *down, *up;
} drift_table[] = {
    {0.006, "suspends", "suspends"},
    {0.015, "hovers, sinking", "hovers, rising"},
    {0.040, "sinks very slowly", "rises very slowly"},
    {0.100, "sinks slowly", "rises slowly"},
    {0.350, "sinks", "rises"},
    {INFINITY, "sinks fast", "rises fast"},
};

const char *drift_words(double drift) {
    for (size_t i = 0; i < sizeof drift_table / sizeof drift_table[0]; i++) {
        if (fabs(drift) <= drift_table[i].up_to)
            return drift < 0 ? drift_table[i].up : drift_table[i].down;
    }
    return "not known";
}

void speed_words(double drift, BlySystem system, char out[WORDS_MAX]) {
    double speed = fabs(drift);
    if (!isfinite(speed)) {
        (void)snprintf(out, WORDS_MAX, "not known");
        return;
    }
    if (speed < 5e-5) {
        (void)snprintf(out, WORDS_MAX, "stands still");
        return;
    }
    const char *way = drift < 0 ? "up" : "down";
    double a_foot = 0.3048 / speed; /* seconds */
    int places = a_foot < 9.95 ? 1 : 0;
    if (system == BLY_INCH)
        (void)bly_format(out, WORDS_MAX, "a foot %s in %.*f s (%.2f in/s)", way, places, a_foot,
                         speed / 0.0254);
    else
        (void)bly_format(out, WORDS_MAX, "%.*f cm/s %s (a foot in %.*f s)", speed < 0.00995 ? 2 : 1,
                         speed * 100, way, places, a_foot);
}

void small_speed_words(double drift, BlySystem system, bool sign, char out[WORDS_MAX]) {
    bool inch = system == BLY_INCH;
    const char *unit = inch ? "in/s" : "cm/s";
    int places = inch ? 2 : 1;
    double value = inch ? drift / 0.0254 : drift * 100;
    if (!isfinite(value))
        (void)snprintf(out, WORDS_MAX, "not known");
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
        (void)snprintf(out, WORDS_MAX, "no attitude of its own");
    else if (fabs(deg) > 90)
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
        (void)snprintf(out, WORDS_MAX, "not known");
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
