/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules of eyes: strength, and what the body takes. */
#include "practice/craft.h"

#include <math.h>

enum { SAMPLES = 8 };
static const double same_wire = 0.03; /* of it: gauges of one name */
static const double slack = 1e-6;     /* m */

static bool across(const BlySeat *seat) {
    return seat->side == BLY_AT_BELLY || seat->side == BLY_AT_BACK;
}

/* The point of the shank's axis at a depth below the skin, and how much wood is about it there;
 * along a shank that runs lengthwise the body's height counts as well. */
static BlyVec3 shank_point(const BlySeat *seat, const BlySection *section, double x, double depth) {
    switch (seat->side) {
    case BLY_AT_NOSE:
        return bly_vec(x + depth, 0, section->centre);
    case BLY_AT_TAIL:
        return bly_vec(x - depth, 0, section->centre);
    case BLY_AT_BACK:
        return bly_vec(x, 0, section->back - depth);
    case BLY_AT_BELLY:
    case BLY_SIDES:
        break;
    }
    return bly_vec(x, 0, section->belly + depth);
}

static double wood_at(const BlyBody *body, const BlySeat *seat, BlyVec3 point) {
    double wide = 2 * bly_body_half_width(body, point.x, point.z);
    BlySection there;
    if (across(seat))
        return wide;
    return bly_body_section(body, point.x, &there) ? fmin(wide, there.height) : 0;
}

static double least_wood(const Craft *c, const BlySeat *seat, const BlySection *section, double x,
                         double length) {
    double from = fmin(c->rules->skin, length), least = INFINITY;
    for (int i = 0; i <= SAMPLES; i++) {
        double depth = from + (length - from) * i / SAMPLES;
        BlyVec3 at = shank_point(seat, section, x, depth);
        BlySection there = *section;
        if (!across(seat) && bly_body_section(c->build->shape, at.x, &there))
            at.z = there.centre;
        least = fmin(least, wood_at(c->build->shape, seat, at));
    }
    return least;
}

/* How far a shank may go before its tip comes near the far skin. */
static double deepest(const Craft *c, const BlySeat *seat, const BlySection *section, double x) {
    BlyBox box = bly_body_box(c->build->shape);
    double room = section->height;
    if (seat->side == BLY_AT_NOSE)
        room = box.high.x - x;
    else if (seat->side == BLY_AT_TAIL)
        room = x - box.low.x;
    return room - c->rules->far_skin;
}

/* The whole shank in wall, in a piece set in, or in solid infill. */
static bool stands_in_solid(const Craft *c, const BlySeat *seat, const BlySection *section,
                            double x, double length) {
    static const double solid = 0.99;
    const BlyBuild *build = c->build;
    bool thin = build->filled.value < solid;
    if (!thin && bly_body_is_solid(build->shape))
        return true;
    for (int i = 1; i <= SAMPLES; i++) {
        BlyVec3 at = shank_point(seat, section, x, length * i / SAMPLES);
        int inset = -1;
        (void)bly_blank_density(&build->blank, at, &inset);
        BlyFilled here = bly_body_filled(build->shape, at);
        if (inset < 0 && (thin || here.filled < solid * here.within))
            return false;
    }
    return true;
}

/* Whether a screw finds no hold: wood, foam or cork too light for a thread. A hollow's mean density
 * says nothing of its wall, of which another rule speaks. */
static bool too_soft(const Craft *c, const BlySeat *seat, const BlySection *section, double x,
                     double length) {
    int inset;
    BlyVec3 middle = shank_point(seat, section, x, length / 2);
    return bly_body_is_solid(c->build->shape) && c->build->filled.value > 0.99 &&
           bly_blank_density(&c->build->blank, middle, &inset) < c->rules->screw_density;
}

static const unsigned wood = 1u << BLY_RULE_EYE_WOOD, hollow = 1u << BLY_RULE_EYE_SOLID;

/* By these rules. */
static unsigned shank_breaks(const Craft *c, unsigned rules, const BlySeat *seat, double x,
                             const BlyPart *eye) {
    BlySection section;
    int style = craft_eye_style(eye);
    if ((rules & (wood | hollow)) == 0 || !isfinite(eye->length) || !isfinite(eye->wire) ||
        !bly_body_section(c->build->shape, x, &section))
        return 0;
    unsigned broken = 0;
    double hole = style == 1 ? 2 * eye->wire : eye->wire;
    double share = style == 1 ? c->rules->twisted_share : c->rules->screw_share;
    if (rules & wood) {
        double least = least_wood(c, seat, &section, x, eye->length);
        if (eye->length > deepest(c, seat, &section, x) + slack || hole > share * least + slack)
            broken |= wood;
        if (style == 0 && too_soft(c, seat, &section, x, eye->length))
            broken |= wood;
    }
    if ((rules & hollow) && !stands_in_solid(c, seat, &section, x, eye->length))
        broken |= hollow;
    return broken;
}

unsigned craft_shank(const Craft *c, const BlySeat *seat, double x, const BlyPart *eye) {
    return shank_breaks(c, c->live, seat, x, eye);
}

static unsigned rules_at(const Craft *c, int seat) {
    return c->live | (c->seat[seat].keeps_wood ? wood : 0);
}

unsigned craft_eye(const Craft *c, int seat, double x, const BlyPart *eye) {
    if (c->rules == NULL || eye == NULL)
        return 0;
    unsigned broken = shank_breaks(c, rules_at(c, seat), &c->build->seats[seat], x, eye);
    int style = craft_eye_style(eye);
    if (style < 0 || !craft_binds(c, BLY_RULE_EYE_WIRE) || !isfinite(eye->wire))
        return broken;
    double least = c->seat[seat].wire[style], most = fmax(least, c->wire_most[style]);
    if (c->fine_everywhere) /* as fine everywhere as one place asks is alike */
        least = fmin(least, c->wire_least[style]);
    if (isfinite(least) &&
        (eye->wire < least * (1 - same_wire) || eye->wire > most * (1 + same_wire)))
        broken |= 1u << BLY_RULE_EYE_WIRE;
    return broken;
}

/* Out on the other side, whatever the rules say. */
static bool comes_out(const Craft *c, const BlySeat *seat, double x, const BlyPart *eye) {
    static const double most = 0.95; /* of the height, as a choice's own check has it */
    BlySection section;
    return across(seat) && bly_body_section(c->build->shape, x, &section) &&
           eye->length > most * section.height;
}

bool craft_eye_is_short(const Craft *c, int seat, double x, const BlyPart *eye) {
    if (!craft_binds(c, BLY_RULE_EYE_SHANK) || eye == NULL || !isfinite(eye->length))
        return false;
    for (size_t i = 0; i < c->catalog->part_count; i++) {
        const BlyPart *other = &c->catalog->parts[i];
        if (other->kind == BLY_PART_EYE && other->length > eye->length + slack &&
            craft_same_eye(other, eye) && !comes_out(c, &c->build->seats[seat], x, other) &&
            bly_limits_allow(&c->build->limits, other) &&
            shank_breaks(c, rules_at(c, seat), &c->build->seats[seat], x, other) == 0)
            return true;
    }
    return false;
}
