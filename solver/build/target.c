/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the lure shall do. */
#include "build/sections.h"

#include <math.h>
#include <stdlib.h>

static const double USUAL_ROLL_ARM = 0.5e-3; /* from memory */

static const Quantity speed = {BLY_DIM_SPEED, "mm/s", -10.0, 10.0, false};
static const Quantity shown_share = {BLY_DIM_RATIO, NULL, 0.0, 1.0, false};
static const Quantity attitude = {BLY_DIM_ANGLE, "deg", -1.5707963267948966, 1.5707963267948966,
                                  false};

/* The speeds at which a lure is in a state, as bly_state_of has it; also the drift band where the
 * file names none. */
static const struct {
    const char *word;
    BlyState state;
    double drift_low, drift_high;
    const char *says;
} state_table[] = {
    {"float", BLY_FLOATS, -INFINITY, -BLY_SUSPEND_SPEED,
     "a lure that floats rises faster than 6 mm/s"},
    {"suspend", BLY_SUSPENDS, -BLY_SUSPEND_SPEED, BLY_SUSPEND_SPEED,
     "a lure that suspends drifts slower than 6 mm/s"},
    {"sink", BLY_SINKS, BLY_SUSPEND_SPEED, INFINITY, "a lure that sinks is faster than 6 mm/s"},
};
enum { STATES = sizeof state_table / sizeof state_table[0] };

static bool read_state(const BlyJson *target, BlyTarget *out, size_t *row, BlyError *err) {
    const char *words[STATES];
    for (size_t i = 0; i < STATES; i++)
        words[i] = state_table[i].word;
    BlyJson state;
    if (!bly_json_require(target, "state", &state, err) ||
        !bly_json_word(&state, words, STATES, row, err))
        return false;
    out->state = state_table[*row].state;
    out->drift_low = state_table[*row].drift_low;
    out->drift_high = state_table[*row].drift_high;
    return true;
}

static bool read_drift(const BlyJson *target, BlyTarget *out, size_t row, BlyError *err) {
    BlyJson drift;
    if (!build_member(target, "drift", &drift))
        return true;
    if (!build_band(&drift, &speed, &out->drift_low, &out->drift_high, err))
        return false;
    if (out->drift_low <= state_table[row].drift_high &&
        out->drift_high >= state_table[row].drift_low)
        return true;
    return bly_json_refuse(&drift, BLY_E_CONFLICT, err, "does not go with the state: %s",
                           state_table[row].says);
}

static bool read_shows(const BlyJson *target, BlyTarget *out, BlyError *err) {
    BlyJson shows;
    if (!build_member(target, "shows", &shows))
        return true;
    if (out->state != BLY_FLOATS)
        return bly_json_refuse(&shows, BLY_E_CONFLICT, err,
                               "only a lure that floats shows above the water");
    return build_band(&shows, &shown_share, &out->shows_low, &out->shows_high, err);
}

static bool read_nose(const BlyJson *target, BlyTarget *out, BlyError *err) {
    BlyJson nose;
    return !build_member(target, "nose_down", &nose) ||
           build_band(&nose, &attitude, &out->nose_low, &out->nose_high, err);
}

/* At least one water: the build's own where the target names none. */
static bool read_waters(const BlyJson *target, BlyBuild *build, BlyError *err) {
    BlyJson list;
    bool named = build_member(target, "water", &list);
    if (named && !bly_json_array(&list, 1, BLY_TARGET_WATERS_MAX, err))
        return false;
    size_t count = named ? bly_json_count(&list) : 1;
    build->target_waters = calloc(count, sizeof *build->target_waters);
    if (build->target_waters == NULL)
        return bly_json_refuse(target, BLY_E_MEMORY, err, "no memory for %zu waters", count);
    build->target_water_count = count;
    build->target_waters[0] = build->water;
    for (BlyJson item = bly_json_first(&list); item.node != NULL; bly_json_next(&item)) {
        build->target_waters[item.index] = build->water;
        if (!build_read_water(&item, &build->target_waters[item.index], err))
            return false;
    }
    return true;
}

bool build_read_target(const BlyJson *target, BlyBuild *build, BlyError *err) {
    static const char *const keys[] = {"state", "drift", "shows", "nose_down", "roll_arm",
                                       "water", "tests", "tools", "tow"};
    BlyTarget *out = &build->target;
    *out = (BlyTarget){.shows_low = -INFINITY,
                       .shows_high = INFINITY,
                       .nose_low = -INFINITY,
                       .nose_high = INFINITY,
                       .roll_arm_least = USUAL_ROLL_ARM};
    size_t row;
    BlyJson roll;
    build->has_target = true;
    build->roll_assumed = !build_member(target, "roll_arm", &roll);
    return bly_json_object(target, keys, sizeof keys / sizeof keys[0], err) &&
           read_state(target, out, &row, err) && read_drift(target, out, row, err) &&
           read_shows(target, out, err) && read_nose(target, out, err) &&
           build_opt_quantity(target, "roll_arm", &bly_some_length, &out->roll_arm_least, err) &&
           build_read_tests(target, build, err) && read_waters(target, build, err) &&
           build_read_tow_wish(target, build, err);
}
