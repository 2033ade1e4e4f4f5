/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which rules of the craft a maker's own rig breaks: each once, where it is met first. */
#include "ballastry/practice.h"
#include "report/report.h"
#include "report/result.h"

#include <math.h>

static bool said_before(const BlyBreaches *breaches, size_t index) {
    return index > 0 && breaches->at[index - 1].rule == breaches->at[index].rule;
}

static const char *place_of(const BlyBuild *build, const BlyBreach *breach) {
    return breach->seat >= 0 ? build->seats[breach->seat].name : "the lure";
}

void text_craft(const Report *r, const BlyBuild *build, const BlyBreaches *breaches) {
    const BlyPractice *rules = bly_catalog_practice(build->catalog);
    for (size_t i = 0; i < breaches->count; i++) {
        const BlyBreach *one = &breaches->at[i];
        if (said_before(breaches, i))
            continue;
        text_wrapped(r, 4, "  craft: %s: %s%s%s (%s)", place_of(build, one), one->text,
                     one->text[0] != '\0' ? "; " : "", rules->rule[one->rule].words,
                     bly_rule_id(one->rule));
    }
}

bool put_craft(cJSON *object, const BlyBuild *build, const BlyBreaches *breaches) {
    cJSON *list = breaches->count > 0 ? cJSON_AddArrayToObject(object, "craft") : NULL;
    bool good = list != NULL || breaches->count == 0;
    for (size_t i = 0; good && i < breaches->count; i++) {
        const BlyBreach *breach = &breaches->at[i];
        if (said_before(breaches, i))
            continue;
        cJSON *one = cJSON_CreateObject();
        good = put_last(list, one) && put_text(one, "rule", bly_rule_id(breach->rule)) &&
               put_text(one, "where", place_of(build, breach)) &&
               put_text(one, "text", breach->text);
    }
    return good;
}

double hook_share(const BlyRig *rig, double whole) {
    double hooks = 0;
    for (size_t s = 0; s < rig->count; s++) {
        const BlyChosenPart *hook = &rig->at[s].of[BLY_PART_HOOK];
        if (hook->part != NULL)
            hooks += isfinite(hook->weighed.value) ? hook->weighed.value : hook->part->mass.value;
    }
    return hooks / whole;
}
