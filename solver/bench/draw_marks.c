/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the page lays over the lure as it lies: places to move things to, the hooks' reach, the band
 * of wanted angles. */
#include "bench/draw.h"

#include <gsl/gsl_math.h>

cJSON *draw_sits(const BlyBuild *build, const BlyRig *rig) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    for (size_t i = 0; good && i < build->seat_count; i++) {
        const BlySeat *seat = &build->seats[i];
        cJSON *one = cJSON_CreateObject();
        good = put_tree(o, seat->name, one) && put_number(one, "x", draw_length(rig->at[i].x)) &&
               put_number(one, "from", draw_length(seat->x_from)) &&
               put_number(one, "to", draw_length(seat->x_to));
    }
    return json_finished(o, good);
}

/* What is left (m) between a hook in full swing and the nearest of the others hanging still;
 * negative where they touch, NAN where it is the only one. */
static double room_left(const BlyLure *lure, size_t item, const BlySwing *own) {
    double least = INFINITY;
    for (size_t i = 0; i < lure->count; i++) {
        BlySwing other = bly_hook_swing(&lure->items[i]);
        if (i != item && other.reach > 0)
            least = fmin(least, bly_vec_norm(bly_vec_sub(own->at, other.at)) -
                                    bly_swings_room(own, &other));
    }
    return isfinite(least) ? least : NAN;
}

static cJSON *swing_tree(const BlyBuild *build, const BlyLure *lure, size_t item,
                         const BlySwing *swing, const Lie *lie) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL &&
                                put_text(o, "seat", build->seats[lure->items[item].seat].name) &&
                                put_tree(o, "at", draw_spot(lie, swing->at)) &&
                                put_number(o, "reach", draw_length(swing->reach)) &&
                                put_number(o, "left", draw_length(room_left(lure, item, swing))));
}

cJSON *draw_swings(const BlyBuild *build, const BlyLure *lure, const Lie *lie) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (size_t i = 0; good && i < lure->count; i++) {
        BlySwing swing = bly_hook_swing(&lure->items[i]);
        if (swing.reach > 0 && lure->items[i].seat >= 0)
            good = put_last(list, swing_tree(build, lure, i, &swing, lie));
    }
    return json_finished(list, good);
}

bool put_wanted(cJSON *drawing, const BlyBuild *build, const BlyOutcome *outcome) {
    if (!build->has_target)
        return true;
    bool afloat = outcome->has_surface && build->target.state == BLY_FLOATS;
    double own = afloat ? outcome->surface.nose_down : outcome->nose_down;
    cJSON *band = cJSON_CreateObject();
    return put_tree(drawing, "wanted_nose_down_deg", band) &&
           put_number(band, "from", build->target.nose_low * 180 / M_PI) &&
           put_number(band, "to", build->target.nose_high * 180 / M_PI) &&
           put_number(band, "own", own * 180 / M_PI);
}
