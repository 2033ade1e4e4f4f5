/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/box.h"

#include <math.h>
#include <stdlib.h>

/* A row of dots is no longer (seat_patch.c). */
enum { DOTS_MOST = 8 };

static bool is_counted_kind(BlyPartKind kind) {
    return kind == BLY_PART_EYE || kind == BLY_PART_RING || kind == BLY_PART_HOOK ||
           kind == BLY_PART_SNAP || kind == BLY_PART_DOT;
}

/* So many pieces of a kind could a rig take at most. */
static int most_of(const unsigned *open, size_t seats, BlyPartKind kind) {
    int most = 0;
    for (size_t s = 0; s < seats; s++)
        most += (open[s] & (1u << kind)) != 0 ? (kind == BLY_PART_DOT ? DOTS_MOST : 1) : 0;
    return most;
}

static bool is_scarce(const BlyBuild *build, const unsigned *open, const BlyPart *part) {
    return is_counted_kind(part->kind) && part->in_box > 0 &&
           part->in_box < most_of(open, build->seat_count, part->kind) &&
           bly_limits_allow(&build->limits, part);
}

bool box_begin(const BlyBuild *build, const BlyCatalog *catalog, const unsigned *open, FitBox *out,
               BlyError *err) {
    size_t count = 0;
    *out = (FitBox){0};
    for (size_t i = 0; i < catalog->part_count; i++)
        count += is_scarce(build, open, &catalog->parts[i]);
    if (count == 0)
        return true;
    out->at = calloc(count, sizeof *out->at);
    if (out->at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the box");
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        if (is_scarce(build, open, part))
            out->at[out->count++] = (BoxCount){part, (int)part->in_box};
    }
    return true;
}

void box_end(FitBox *box) {
    free(box->at);
    *box = (FitBox){0};
}

int box_takes(const BoxCount *counted, const BlyChoice *choice, const BlyChoice *fitted) {
    BlyPartKind kind = counted->part->kind;
    bool there = fitted->of[kind].part == counted->part;
    if (choice->of[kind].part != counted->part)
        return 0;
    if (kind != BLY_PART_DOT)
        return there ? 0 : 1;
    int more = choice->count - (there ? fitted->count : 0);
    return more > 0 ? more : 0;
}

uint64_t box_key(const FitBox *box, const BlyChoice *choice, const BlyChoice *fitted) {
    uint64_t key = 0;
    for (size_t i = 0; i < box->count; i++) {
        int takes = box_takes(&box->at[i], choice, fitted);
        if (takes > 0)
            key = (key ^ (uint64_t)(i * 16 + (size_t)takes)) * UINT64_C(1099511628211) + 1;
    }
    return key;
}

bool box_holds(const FitBox *box, const BlyBuild *build, const BlyRig *rig, const BlyPart *also) {
    for (size_t i = 0; i < box->count; i++) {
        int takes = box->at[i].part == also ? 1 : 0;
        for (size_t s = 0; s < rig->count; s++)
            takes += box_takes(&box->at[i], &rig->at[s], &build->fitted.at[s]);
        if (takes > box->at[i].have)
            return false;
    }
    return true;
}
