/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a maker would build: which rules of the craft (rules.h) a rig breaks. The rules' numbers
 * stand in the catalog; this room knows what they ask. docs/practice.md. */
#ifndef BALLASTRY_PRACTICE_H
#define BALLASTRY_PRACTICE_H

#include "ballastry/build.h"
#include "ballastry/rules.h"

BLY_API_BEGIN

/* A rule that a rig breaks: where, and the figures in words. */
typedef struct BlyBreach {
    BlyRuleId rule;
    int seat; /* -1: the whole lure */
    char text[BLY_TEXT_MAX];
} BlyBreach;

typedef struct BlyBreaches {
    BlyBreach *at; /* owned */
    size_t count;
} BlyBreaches;

/* Every rule that this rig of the build breaks and that the build does not ask to, in the order of
 * the rules, then of the seats; what a fixed seat carries counts as any other. What only a first
 * build should not have counts until the lure was read complete. Release *out in every case.
 * BLY_E_MEMORY. */
bool bly_practice_judge(const BlyBuild *build, const BlyRig *rig, BlyBreaches *out,
                        BlyError *err) BLY_MUST_CHECK;
void bly_breaches_release(BlyBreaches *breaches);

BLY_API_END

#endif
