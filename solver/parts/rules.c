/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of the rules, and of what they speak of. */
#include "ballastry/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *const ids[BLY_RULES] = {[BLY_RULE_FIRST_BUILD] = "first-build",
                                           [BLY_RULE_HOOK_SIZE] = "hook-size",
                                           [BLY_RULE_HOOK_GRADE] = "hook-grade",
                                           [BLY_RULE_HOOK_STYLE] = "hook-style",
                                           [BLY_RULE_HOOK_ORDER] = "hook-order",
                                           [BLY_RULE_HOOK_ALIKE] = "hook-alike",
                                           [BLY_RULE_RING_SIZE] = "ring-size",
                                           [BLY_RULE_RING_ALIKE] = "ring-alike",
                                           [BLY_RULE_EYE_WIRE] = "eye-wire",
                                           [BLY_RULE_EYE_SHANK] = "eye-shank",
                                           [BLY_RULE_EYE_WOOD] = "eye-wood",
                                           [BLY_RULE_EYE_SOLID] = "eye-solid",
                                           [BLY_RULE_EYE_ALIKE] = "eye-alike",
                                           [BLY_RULE_LIP_WIDTH] = "lip-width",
                                           [BLY_RULE_LIP_FREE] = "lip-free",
                                           [BLY_RULE_LIP_GAUGE] = "lip-gauge",
                                           [BLY_RULE_LIP_BENDING] = "lip-bending",
                                           [BLY_RULE_SURFACE] = "surface",
                                           [BLY_RULE_LEAD] = "lead",
                                           [BLY_RULE_SNAP] = "snap",
                                           [BLY_RULE_HOOK_SHARE] = "hook-share",
                                           [BLY_RULE_KINDS] = "kinds",
                                           [BLY_RULE_ATTITUDE] = "attitude",
                                           [BLY_RULE_MENDING] = "mending"};
static const char *const mends[BLY_MENDS] = {"wire",  "dot",    "strip", "ring",
                                             "grade", "number", "edge",  "back"};
static const char *const strengths[BLY_RULE_STRENGTHS] = {"off", "never", "costs", "order"};

const char *bly_rule_id(BlyRuleId rule) {
    return (unsigned)rule < BLY_RULES ? ids[rule] : "";
}

bool bly_rule_read(const char *id, BlyRuleId *out) {
    for (int i = 0; i < BLY_RULES; i++) {
        if (strcmp(ids[i], id) == 0) {
            *out = (BlyRuleId)i;
            return true;
        }
    }
    return false;
}

const char *bly_mend_id(BlyMend mend) {
    return (unsigned)mend < BLY_MENDS ? mends[mend] : "";
}

const char *bly_rule_strength_name(BlyRuleStrength strength) {
    return (unsigned)strength < BLY_RULE_STRENGTHS ? strengths[strength] : "";
}

bool bly_ring_number(const char *size, int *out) {
    size_t length = size != NULL ? strlen(size) : 0;
    if (length == 0 || length > 3 || strspn(size, "0123456789") != length)
        return false;
    int noughts = (int)strspn(size, "0");
    *out = noughts == (int)length ? 1 - noughts : (int)strtol(size, NULL, 10);
    return noughts == 0 || noughts == (int)length;
}

int bly_hook_grade(const char *grade) {
    static const char *const grades[] = {"fine", "medium", "stout", "extra"};
    for (int i = 0; grade != NULL && i < 4; i++) {
        if (strcmp(grades[i], grade) == 0)
            return i + 1;
    }
    return 0;
}

BlyMending bly_practice_mending(const BlyPractice *practice) {
    /* As in catalog/practice.json, for catalogs without the rule. */
    BlyMending how = {.rung = {1, 1, 1, 2, 3, 4, 5, 6},
                      .edge_step = 0.5e-3,
                      .back_step = 0.1e-3,
                      .back_give = 0.05e-3,
                      .at_once = 3,
                      .gain = 0.05,
                      .alike = 0.05,
                      .worth = 0.4};
    if (practice == NULL || practice->rule[BLY_RULE_MENDING].strength == BLY_RULE_OFF)
        return how;
    for (int kind = 0; kind < BLY_MENDS; kind++) {
        how.rung[kind] = 0;
        for (size_t i = 0; i < practice->mend_order.rows; i++) {
            if (strcmp(practice->mend_order.word[i][0], bly_mend_id((BlyMend)kind)) == 0)
                how.rung[kind] = (int)practice->mend_order.at[i][0];
        }
    }
    how.edge_step = fmax(practice->edge_step, 1e-5);
    how.back_step = fmax(practice->back_step, 1e-5);
    how.back_give = practice->back_give;
    how.at_once = (int)practice->mends_most;
    how.gain = practice->mend_gain;
    how.alike = practice->mend_alike;
    how.worth = practice->mend_worth;
    return how;
}
