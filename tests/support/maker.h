/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A second reading of the craft, written from makers' words about their craft without looking at
 * the practice room: its numbers are literals here, so that a slip in the table or in the room's
 * code shows. It shares bodies, parts and rule ids with the program, and nothing else. */
#ifndef BALLASTRY_TESTS_SUPPORT_MAKER_H
#define BALLASTRY_TESTS_SUPPORT_MAKER_H

#include "build/build.h"
#include "ballastry/rules.h"

/* What the words say of a rig. OPEN: they leave it open (a border that is not said to the digit, a
 * place that no row speaks of), so either verdict agrees with them. */
typedef enum MakerWord { MAKER_KEPT, MAKER_OPEN, MAKER_BROKEN } MakerWord;

typedef struct MakerVerdict {
    MakerWord of[BLY_RULES];
} MakerVerdict;

/* The rig on the build, with this catalog to look for what else would have fitted. Rules that speak
 * of targets or of order among equals stay KEPT. */
MakerVerdict maker_judge(const BlyBuild *build, const BlyRig *rig, const BlyCatalog *catalog);

/* For the two halves of the judge. */
typedef struct MakerCase {
    const BlyBuild *build;
    const BlyRig *rig;
    const BlyCatalog *catalog;
    double length, width, height; /* mm, of the bare body */
    double mass_least, mass_most; /* g, finished */
    MakerVerdict *verdict;
} MakerCase;
void maker_say(MakerCase *c, BlyRuleId rule, MakerWord word); /* the worst stays */
/* BROKEN above most, OPEN within a share of it below or above, else KEPT. */
MakerWord maker_at_most(double value, double most, double share);
void maker_hooks(MakerCase *c);
void maker_eyes(MakerCase *c);
void maker_lips(MakerCase *c);
void maker_surface(MakerCase *c);

#endif
