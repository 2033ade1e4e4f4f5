/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several mends done together (mend_mix.c): the rig that comes of them and how well it is known. */
#ifndef BALLASTRY_FIT_MEND_MIX_H
#define BALLASTRY_FIT_MEND_MIX_H

#include "fit/mend_search.h"

enum { MEND_CARRIES = 16 };
typedef struct MendCarries {
    BuildCarry at[MEND_CARRIES];
    int count;
} MendCarries;

/* Does them to a rig of the build, with what is known by the difference that the scale shows. */
void mix_apply(const Bench *bench, const MendList *mends, const Mix *mix, BlyRig *rig,
               MendCarries *out);
/* The place in the mix of the wire that goes on the shank of the hook that mend `k` of it hangs,
 * and which is wound by the scale so that both together weigh what they shall; -1: none. */
int mix_wire_of(const MendList *mends, const Mix *mix, int k);
/* kg: what is wound on the shank of a new hook, all of it, as quarters of turns there. */
double mix_wound(const Bench *bench, const Mend *hook, const Mend *wire);
int mix_things(const MendList *mends, const Mix *mix); /* to do: two hooks are two */

/* What one piece weighs, and its give, from one to the next of its kind; kg. */
BlyFigure mend_piece_mass(const BlyChosenPart *piece, BlyPartKind kind);

#endif
