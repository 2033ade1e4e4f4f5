/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which rules a build asks to break, by its limits. A part named under "only" is asked for whatever
 * the craft says of it. The beginning of a name ("polycarbonate-*") asks for a material or a style:
 * as long as some part of it keeps the rule, the others are not meant. */
#include "practice/craft.h"

#include <string.h>

static const double slack = 1e-6; /* m */

static bool begins_a_name(const char *only) {
    size_t n = strlen(only);
    return n > 0 && only[n - 1] == '*';
}

static bool is_named(const char *only, const BlyPart *part) {
    size_t n = strlen(only);
    return begins_a_name(only) ? strncmp(part->id, only, n - 1) == 0 : strcmp(part->id, only) == 0;
}

static bool is_within(double value, double least, double most) {
    return value >= least - slack && value <= most + slack;
}

static bool eye_is_strong(const Craft *c, const BlyPart *eye) {
    static const double same_wire = 0.03; /* of it: gauges of one name */
    int style = craft_eye_style(eye);
    return style < 0 || !(eye->wire < craft_eye_wire(c, style, c->mass) * (1 - same_wire));
}

/* Whether it keeps the rule that naming its kind would lift. */
static bool keeps(const Craft *c, const BlyPart *part) {
    double least, most;
    switch (part->kind) {
    case BLY_PART_HOOK:
        return craft_hook(c, part) == 0;
    case BLY_PART_EYE:
        return eye_is_strong(c, part);
    case BLY_PART_SHEET:
        return !craft_gauges(c, part, &least, &most) || is_within(part->thickness, least, most);
    case BLY_PART_OUTLINE:
        return is_within(part->width, c->rules->lip_least * c->width,
                         c->rules->lip_most * c->width);
    default:
        return false;
    }
}

/* Kinds whose rule is lifted, bits 1 << BlyPartKind. */
static unsigned named_kinds(const Craft *c) {
    const BlyLimits *limits = &c->build->limits;
    unsigned meant = 0, begun = 0, kept = 0;
    for (size_t i = 0; i < limits->only_count; i++) {
        const char *only = limits->only[i];
        for (size_t k = 0; k < c->catalog->part_count; k++) {
            const BlyPart *part = &c->catalog->parts[k];
            if (!is_named(only, part))
                continue;
            if (!begins_a_name(only))
                meant |= 1u << part->kind;
            begun |= 1u << part->kind;
            kept |= bly_limits_allow(limits, part) && keeps(c, part) ? 1u << part->kind : 0;
        }
    }
    return meant | (begun & ~kept);
}

static unsigned bit(BlyRuleId rule) {
    return 1u << rule;
}

unsigned craft_asked(const Craft *c) {
    const BlyBuild *build = c->build;
    const BlyLimits *l = &build->limits;
    unsigned named = named_kinds(c), out = l->allow;
    out |= l->hook_rank_high > 0 ? bit(BLY_RULE_HOOK_SIZE) : 0;
    out |= l->grades != 0 ? bit(BLY_RULE_HOOK_GRADE) | bit(BLY_RULE_HOOK_ALIKE) : 0;
    out |= l->lip_free_high > 0 ? bit(BLY_RULE_LIP_FREE) : 0;
    out |= l->lip_gauge_high > 0 ? bit(BLY_RULE_LIP_GAUGE) : 0;
    if (build->has_target && (build->assumed & bit(BLY_RULE_ATTITUDE)) == 0)
        out |= bit(BLY_RULE_ATTITUDE);
    out |= l->lead_said && !l->lead_free ? bit(BLY_RULE_LEAD) : 0;
    if (named & (1u << BLY_PART_HOOK))
        out |= bit(BLY_RULE_HOOK_SIZE) | bit(BLY_RULE_HOOK_GRADE);
    if (named & (1u << BLY_PART_RING))
        out |= bit(BLY_RULE_RING_SIZE);
    if (named & (1u << BLY_PART_EYE))
        out |= bit(BLY_RULE_EYE_WIRE);
    if (named & (1u << BLY_PART_SHEET))
        out |= bit(BLY_RULE_LIP_GAUGE);
    if (named & (1u << BLY_PART_OUTLINE))
        out |= bit(BLY_RULE_LIP_WIDTH);
    if (named & ((1u << BLY_PART_DOT) | (1u << BLY_PART_WIRE)))
        out |= bit(BLY_RULE_FIRST_BUILD);
    return out;
}
