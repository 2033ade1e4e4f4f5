/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/aims.h"

#include <math.h>
#include <string.h>

#include "build/build.h"

static const struct {
    const char *word;
    BlyState state;
} aim_table[] = {{"float", BLY_FLOATS}, {"suspend", BLY_SUSPENDS}, {"sink", BLY_SINKS}};

bool aim_read(const char *word, const char *option, BlyState *out, BlyError *err) {
    for (size_t i = 0; i < sizeof aim_table / sizeof aim_table[0]; i++) {
        if (strcmp(word, aim_table[i].word) == 0) {
            *out = aim_table[i].state;
            return true;
        }
    }
    return bly_fail(err, BLY_E_UNKNOWN, option, "'%.60s' should be float, suspend or sink", word);
}

bool aim_weighs(const BlyBuild *build, double *out, BlyError *err) {
    BlyLure lure = {0};
    if (!bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err))
        return false;
    double mass = 0;
    for (size_t i = 0; i < lure.count; i++)
        mass += lure.items[i].mass;
    *out = 1e-3 * mass / build->blank.hull_volume;
    bly_lure_release(&lure);
    return true;
}

/* Hooks, rings and eyes, and a lip, for each cm3 that the body displaces, g: as in the starters
 * that float. */
static double parts_weigh(bool lip) {
    return lip ? 0.30 : 0.20;
}

static void put_shows(bool lip, double weighs, BlyText *out) {
    static const double step = 0.05, least = 0.02, width = 0.25, most = 0.95;
    double middle = 1.0 - weighs - parts_weigh(lip);
    double low = fmin(fmax(step * round((middle - 0.5 * width) / step), least), most - width);
    double high = fmin(step * round((low + width) / step), most);
    bly_text_appendf(out, ",\n    \"shows\": [\"%.10g %%\", \"%.10g %%\"]", 1e2 * low, 1e2 * high);
}

/* Speeds and angles are common practice, no source. A lure with a lip runs from nose-down. */
void aim_put(BlyState state, bool lip, double weighs, BlyText *out) {
    const char *nose = lip ? "[\"3 deg\", \"15 deg\"]" : "[\"-5 deg\", \"10 deg\"]";
    const char *drift =
        state == BLY_SINKS ? "[\"40 mm/s\", \"100 mm/s\"]" : "[\"-15 mm/s\", \"15 mm/s\"]";
    const char *word = "suspend";
    for (size_t i = 0; i < sizeof aim_table / sizeof aim_table[0]; i++) {
        if (aim_table[i].state == state)
            word = aim_table[i].word;
    }
    bly_text_appendf(out, "{\n    \"state\": \"%s\"", word);
    if (state == BLY_FLOATS)
        put_shows(lip, weighs, out);
    else
        bly_text_appendf(out, ",\n    \"drift\": %s,\n    \"nose_down\": %s", drift, nose);
    bly_text_append(out, "\n  }");
}

bool aim_text(const BlyBuild *build, BlyState state, char **text, BlyError *err) {
    BlyEdit edit = {"/target", NULL};
    BlyText target;
    double weighs;
    if (!aim_weighs(build, &weighs, err))
        return false;
    bly_text_init(&target);
    aim_put(state, bly_build_seat(build, "lip") >= 0, weighs, &target);
    edit.json = bly_text_string(&target);
    bool same = build->target.state == state;
    bool good = bly_text_good(&target, err) &&
                bly_build_text_with_all(build, &edit, same ? 0 : 1, text, err);
    bly_text_release(&target);
    return good;
}
