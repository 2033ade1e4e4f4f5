/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ballastry/ladder.h"

#include <math.h>
#include <string.h>

static BlyStep step_of_part(const BlyPart *part) {
    switch (part->kind) {
    case BLY_PART_EYE:
    case BLY_PART_SHEET:
    case BLY_PART_OUTLINE:
        return BLY_STEP_MOUNTED;
    case BLY_PART_STRIP:
    case BLY_PART_DOT:
        return BLY_STEP_METAL;
    default:
        return BLY_STEP_HUNG;
    }
}

/* False for what is not on the bench's scale. */
static bool step_of_item(const BlyItem *item, BlyStep *step) {
    switch (item->kind) {
    case BLY_ITEM_BODY:
    case BLY_ITEM_INSET:
        *step = BLY_STEP_BLANK;
        return true;
    case BLY_ITEM_REMOVED:
        *step = BLY_STEP_CUT;
        return true;
    case BLY_ITEM_COAT:
        *step = BLY_STEP_COAT;
        return true;
    case BLY_ITEM_PART:
        *step = item->part != NULL ? step_of_part(item->part) : BLY_STEP_MOUNTED;
        return true;
    case BLY_ITEM_LOAD:
    case BLY_ITEM_SOAK:
    default:
        return false;
    }
}

void bly_ladder(const BlyLure *lure, BlyRung out[BLY_STEPS]) {
    memset(out, 0, BLY_STEPS * sizeof *out);
    double square[BLY_STEPS] = {0};
    for (size_t i = 0; i < lure->count; i++) {
        BlyStep step;
        if (!step_of_item(&lure->items[i], &step))
            continue;
        out[step].adds += lure->items[i].mass;
        square[step] += lure->items[i].mass_give * lure->items[i].mass_give;
    }
    double reads = 0, spread = 0;
    for (int s = 0; s < BLY_STEPS; s++) {
        reads += out[s].adds;
        spread += square[s];
        out[s].reads = reads;
        out[s].give = sqrt(spread);
    }
}

const char *bly_step_words(BlyStep step) {
    static const char *const words[BLY_STEPS] = {
        "bare blank", "slot and holes cut",  "eyes and lip glued", "surface metal on",
        "coated",     "hooks and rings hung"};
    return (unsigned)step < BLY_STEPS ? words[step] : "";
}
