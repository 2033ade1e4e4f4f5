/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/mend_cut.h"
#include "fit/mend_mix.h"

#include <math.h>

/* The wire that mend k of the mix winds by its length; NULL: none. */
static const BlyPart *wire_of(const Bench *bench, const MendList *mends, const Mix *mix, int k) {
    const Mend *mend = &mends->at[mix->mend[k]];
    const BlyPart *wire = mend->to[0].of[BLY_PART_WIRE].part;
    if (!bench->by_scale || mend->kind != BLY_MEND_WIRE || mend->seats != 1)
        return NULL;
    for (int i = 0; i < mix->count; i++) {
        if (i != k && mix_wire_of(mends, mix, i) == k)
            return NULL;
    }
    return wire;
}

static double square_of(double off, double half) {
    return half > 0 && isfinite(off / half) ? off / half * (off / half) : 0;
}

/* Squares of half-bands from the middle, of weight and attitude, over all waters. */
static double square_off(const Problem *problem, const Lump *all) {
    double sum = 0;
    for (size_t w = 0; w < problem->water_count; w++) {
        const Frame *frame = &problem->frame[w];
        double half = (frame->angle[AT_HIGH] - frame->angle[AT_LOW]) / 2 * frame->stiffness;
        if (isfinite(frame->n_middle))
            sum += square_of(frame_blank_weight(frame, all) - frame->n_middle, frame->n_half);
        if (frame->has_attitude)
            sum += square_of(frame_blank_moment(frame, all, AT_MIDDLE), half);
    }
    return sum;
}

/* Of what is a square in `part`, told at -1, 0 and 1: where it is least, within that. */
static double least_at(double low, double middle, double high) {
    double bend = low + high - 2 * middle;
    if (!(bend > 0))
        return low < high ? -1 : high < low ? 1 : 0;
    return fmin(fmax((low - high) / (2 * bend), -1), 1);
}

bool mend_cut_near(const Bench *bench, const Problem *problem, const Lump *fitted, MendList *mends,
                   Mix *mix, BlyError *err) {
    for (int k = 0; k < mix->count; k++) {
        const BlyPart *wire = wire_of(bench, mends, mix, k);
        if (wire == NULL)
            continue;
        const Mend *mend = &mends->at[mix->mend[k]];
        const BlyChoice *now = &bench->build->fitted.at[mend->seat[0]];
        double turn = bly_wire_turn_mass(wire, now->of[BLY_PART_HOOK].part), at[3];
        double part = 0.5 * turn / (1e-3 * mend->adds.m); /* half a turn of what it adds */
        for (int side = 0; side < 3; side++) {
            Lump all = *fitted;
            for (int i = 0; i < mix->count; i++)
                all = moments_sum(all, mends->at[mix->mend[i]].adds);
            all = moments_sum(all, moments_scaled(mend->adds, (side - 1) * part));
            at[side] = square_off(problem, &all);
        }
        double more = 1e-3 * mend->adds.m + 0.5 * turn * least_at(at[0], at[1], at[2]);
        if (!mends_cut(bench, mix->mend[k], more, mends, &mix->mend[k], err))
            return false;
    }
    return true;
}

bool mend_cut_longer(const Bench *bench, int halves, MendList *mends, const Mix *mix, Mix *out,
                     BlyError *err) {
    *out = *mix;
    for (int k = 0; k < mix->count; k++) {
        const BlyPart *wire = wire_of(bench, mends, mix, k);
        if (wire == NULL)
            continue;
        double more = 1e-3 * mends->at[mix->mend[k]].adds.m + 0.5e-3 * halves * wire->mass.value;
        return mends_cut(bench, mix->mend[k], more, mends, &out->mend[k], err);
    }
    return true;
}
