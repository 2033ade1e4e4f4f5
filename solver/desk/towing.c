/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A draw on the line out of a maker's words. */
#include "desk/towing.h"

#include <stdio.h>
#include <string.h>

#include "ballastry/units.h"
#include "build/build.h"

/* What an option takes. */
typedef struct Taken {
    const char *option;
    BlyDimension dim;
    const char *unit; /* of a bare number */
    double least, most;
    const char *range; /* the same in words */
} Taken;

static const Taken a_speed = {"--speed", BLY_DIM_SPEED, "m/s", 0.05, 5, "0.05 m/s to 5 m/s"},
                   a_length = {"--line", BLY_DIM_LENGTH, "m", 0.5, 1000, "0.5 m to 1000 m"},
                   a_diameter = {"--line", BLY_DIM_LENGTH, "mm", 2e-5, 5e-3, "0.02 mm to 5 mm"},
                   a_rod = {"--rod", BLY_DIM_LENGTH, "m", 0, 20, "0 m to 20 m"};

static bool read_one(const char *text, const Taken *taken, double *out, BlyError *err) {
    if (!bly_quantity_read(text, taken->dim, taken->unit, out, err)) {
        (void)snprintf(err->where, sizeof err->where, "%s", taken->option);
        return false;
    }
    return (*out >= taken->least && *out <= taken->most) ||
           bly_fail(err, BLY_E_RANGE, taken->option, "\"%s\" is out of range: expected %s", text,
                    taken->range);
}

/* "30 m of 0.30 mm"; without "of" the length alone. */
static bool read_line(const char *text, BlyTowLine *line, BlyError *err) {
    char length[64];
    const char *of = strstr(text, " of ");
    size_t size = of ? (size_t)(of - text) : strlen(text);
    if (size >= sizeof length)
        return bly_fail(err, BLY_E_SYNTAX, "--line",
                        "too long: expected a length and a diameter, as in \"30 m of 0.30 mm\"");
    memcpy(length, text, size);
    length[size] = '\0';
    return read_one(length, &a_length, &line->length, err) &&
           (!of || read_one(of + 4, &a_diameter, &line->diameter, err));
}

bool tow_words_read(const TowWords *words, BlyTowAsk *out, BlyError *err) {
    *out = bly_tow_usual();
    if (words->speed_count > BLY_TOW_SPEEDS_MAX)
        return bly_fail(err, BLY_E_RANGE, "--speed", "%zu speeds, expected at most %d",
                        words->speed_count, BLY_TOW_SPEEDS_MAX);
    if (words->speed_count > 0)
        out->speed_count = words->speed_count;
    out->change_at = out->speed_count / 2;
    for (size_t i = 0; i < words->speed_count; i++) {
        if (!read_one(words->speeds[i], &a_speed, &out->speeds[i], err))
            return false;
    }
    return (!words->line || read_line(words->line, &out->line, err)) &&
           (!words->rod || read_one(words->rod, &a_rod, &out->line.rod, err));
}

void tow_ask_of(const BlyBuild *build, BlyTowAsk *ask) {
    const BlyTowWish *wish = bly_build_tow_wish(build);
    if (wish == NULL)
        return;
    ask->speeds[0] = wish->speed;
    ask->speed_count = 1;
    ask->change_at = 0;
    ask->line.length = wish->length;
    ask->line.diameter = wish->diameter;
    ask->line.rod = wish->rod;
}

bool tow_find(const BlyBuild *build, const BlyRig *rig, const BlyTowAsk *ask, TowFound *out,
              BlyError *err) {
    out->ask = *ask;
    out->asked = bly_build_tow_wish(build) != NULL;
    return bly_water_at(build->water.temperature.value, build->water.salinity.value, &out->water,
                        err) &&
           bly_towed(build, rig, ask, &out->towed, err) &&
           bly_tow_levers(build, rig, ask, out->levers, err) &&
           (!out->asked || bly_tow_wished(build, rig, &out->wished, err));
}

bool tow_has_tie(const BlyBuild *build) {
    for (size_t i = 0; i < build->seat_count; i++) {
        if (build->seats[i].kind == BLY_SEAT_TIE)
            return true;
    }
    return false;
}
