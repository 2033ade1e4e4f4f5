/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several mends done together, and how well what they change is known afterwards. */
#include "fit/mend_mix.h"
#include "trim/trim.h"

#include <math.h>
#include <string.h>

static const double least_give = 1e-6; /* kg */

static bool is_hook(BlyMend kind) {
    return kind == BLY_MEND_GRADE || kind == BLY_MEND_NUMBER;
}

int mix_wire_of(const MendList *mends, const Mix *mix, int k) {
    const Mend *hook = &mends->at[mix->mend[k]];
    if (!is_hook(hook->kind) || hook->seats != 1)
        return -1;
    for (int i = 0; i < mix->count; i++) {
        const Mend *wire = &mends->at[mix->mend[i]];
        if (wire->kind == BLY_MEND_WIRE && wire->seat[0] == hook->seat[0] && wire->to[0].count > 0)
            return i;
    }
    return -1;
}

BlyFigure mend_piece_mass(const BlyChosenPart *piece, BlyPartKind kind) {
    if (piece->part == NULL)
        return (BlyFigure){0, 0};
    if (isfinite(piece->weighed.value))
        return piece->weighed;
    double mass = piece->part->mass.value, share = bly_part_give_share(piece->part);
    share = isfinite(share) ? share : 0;
    return (BlyFigure){mass,
                       mass * (kind == BLY_PART_HOOK ? hypot(share, BLY_HOOK_TO_HOOK) : share)};
}

double mix_wound(const Bench *bench, const Mend *hook, const Mend *wire) {
    const BlyPart *part = wire->to[0].of[BLY_PART_WIRE].part,
                  *on = hook->to[0].of[BLY_PART_HOOK].part;
    double quarter = 0.25 * bly_wire_turn_mass(part, on);
    double asked =
        bly_choice_wire_mass(&bench->build->fitted.at[wire->seat[0]]) + 1e-3 * wire->adds.m;
    return quarter * fmax(4 * trim_turns_least, rint(asked / quarter));
}

/* The hook is another one, and turns go on its shank until the scale shows what both together shall
 * do: so hook and wire together are off by the scale and by what was not known of the old hook. */
static void weigh_together(const Bench *bench, const Mend *hook, const Mend *wire, BlyRig *rig,
                           BuildCarry *carry) {
    int s = hook->seat[0];
    const BlyChoice *was = &bench->build->fitted.at[s];
    BlyChoice *is = &rig->at[s];
    BlyChosenPart *on = &is->of[BLY_PART_HOOK], *turns = &is->of[BLY_PART_WIRE];
    BlyFigure before = mend_piece_mass(&was->of[BLY_PART_HOOK], BLY_PART_HOOK);
    double wound = mix_wound(bench, hook, wire);
    double a_turn = bly_wire_turn_mass(turns->part, on->part);
    double known = was->of[BLY_PART_WIRE].weighed.give;
    on->weighed = (BlyFigure){on->part->mass.value, hypot(before.give, BLY_SCALE_GIVE)};
    turns->weighed =
        (BlyFigure){wound, isfinite(was->of[BLY_PART_WIRE].weighed.value) ? fmax(known, least_give)
                                                                          : least_give};
    is->count = (int)fmax(1, ceil(wound / a_turn - 0.05));
    *carry = (BuildCarry){s, BLY_PART_HOOK, was->of[BLY_PART_HOOK].part, on->part,
                          before.give / on->weighed.give};
}

/* What a piece that stays in part is still known by. */
static void carry_piece(const BlyChosenPart *was, const BlyChosenPart *is, int seat,
                        BlyPartKind kind, MendCarries *out) {
    if (was->part == NULL || was->part != is->part || !(was->weighed.give > 0) ||
        !(is->weighed.give > 0) || !isfinite(was->weighed.value) || !isfinite(is->weighed.value) ||
        out->count == MEND_CARRIES)
        return;
    double stays = was->weighed.give * fmin(1, is->weighed.value / was->weighed.value);
    double share = fmin(1, stays / is->weighed.give);
    if (share < 1)
        out->at[out->count++] = (BuildCarry){seat, kind, was->part, is->part, share};
}

void mix_apply(const Bench *bench, const MendList *mends, const Mix *mix, BlyRig *rig,
               MendCarries *out) {
    const BlyBuild *build = bench->build;
    *out = (MendCarries){.count = 0};
    for (int i = 0; i < mix->count; i++)
        mend_apply(build, &mends->at[mix->mend[i]], rig);
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++)
            carry_piece(&build->fitted.at[s].of[kind], &rig->at[s].of[kind], (int)s,
                        (BlyPartKind)kind, out);
    }
    for (int i = 0; i < mix->count; i++) {
        int wire = mix_wire_of(mends, mix, i);
        if (wire >= 0 && out->count < MEND_CARRIES)
            weigh_together(bench, &mends->at[mix->mend[i]], &mends->at[mix->mend[wire]], rig,
                           &out->at[out->count++]);
    }
}

int mix_things(const MendList *mends, const Mix *mix) {
    int things = 0;
    for (int i = 0; i < mix->count; i++)
        things += mends->at[mix->mend[i]].seats;
    return things;
}
