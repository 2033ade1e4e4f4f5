/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the fit room: parts of which the maker's box holds fewer than a rig could take. */
#ifndef BALLASTRY_FIT_BOX_H
#define BALLASTRY_FIT_BOX_H

#include "ballastry/fit.h"
#include "build/build.h"

#include <stdint.h>

typedef struct BoxCount {
    const BlyPart *part;
    int have;
} BoxCount;

/* Owned; zero is a valid box that limits nothing. */
typedef struct FitBox {
    BoxCount *at;
    size_t count;
} FitBox;

/* `open` of each seat of the build: which kinds are chosen there, bits 1 << BlyPartKind. What is
 * used up (0 left) is no part of the box: it is bought like any other. */
bool box_begin(const BlyBuild *build, const BlyCatalog *catalog, const unsigned *open, FitBox *out,
               BlyError *err) BLY_MUST_CHECK;
void box_end(FitBox *box);

/* How many of a counted part this choice takes out of the box; what is fitted already takes none.
 */
int box_takes(const BoxCount *counted, const BlyChoice *choice, const BlyChoice *fitted);

/* Equal for choices that take the same out of the box; 0: nothing that is counted. */
uint64_t box_key(const FitBox *box, const BlyChoice *choice, const BlyChoice *fitted);

/* Whether the box holds what a rig takes; `also` (NULL: none) is one more of a part. */
bool box_holds(const FitBox *box, const BlyBuild *build, const BlyRig *rig, const BlyPart *also);

#endif
