/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small changes that a maker asks about, made on one lure whatever its seats allow. */
#include "tow/sample.h"

#include <math.h>
#include <string.h>

static bool lip(TowRigged *on, size_t s) {
    const BlyChoice *choice = &on->rig->at[s];
    return choice->of[BLY_PART_SHEET].part && choice->of[BLY_PART_OUTLINE].part;
}

static void wider(TowRigged *on, size_t s, double by) {
    BlyChosenPart *piece = &on->rig->at[s].of[BLY_PART_OUTLINE];
    on->parts[s] = *piece->part;
    on->parts[s].width += by;
    on->parts[s].root_width += by;
    piece->part = &on->parts[s];
}

static const double a_degree = 0.017453292519943295;

/* False where too little would be left of it. */
static bool change_lip(TowRigged *on, size_t s, BlyTowLever lever) {
    const BlyPart *outline = on->rig->at[s].of[BLY_PART_OUTLINE].part;
    double stands_out = on->rig->at[s].length - on->seats[s].depth;
    switch (lever) {
    case BLY_TOW_LIP_LONGER:
        on->rig->at[s].length += 4e-3;
        break;
    case BLY_TOW_LIP_SHORTER:
        on->rig->at[s].length -= 3e-3;
        break;
    case BLY_TOW_LIP_WIDER:
        wider(on, s, 2e-3);
        break;
    case BLY_TOW_LIP_NARROWER:
        if (outline->width > 5e-3)
            wider(on, s, -2e-3);
        break;
    case BLY_TOW_LIP_FLATTER:
        on->seats[s].angle -= 10 * a_degree;
        return true;
    default:
        on->seats[s].angle += 10 * a_degree;
        return true;
    }
    on->rig->at[s].of[BLY_PART_SHEET].weighed.value = NAN; /* as weighed it is another one now */
    return !(lever == BLY_TOW_LIP_SHORTER && stands_out < 5e-3) &&
           !(lever == BLY_TOW_LIP_NARROWER && outline->width <= 5e-3);
}

static bool change_lips(TowRigged *on, size_t seats, BlyTowLever lever) {
    bool any = false;
    for (size_t s = 0; s < seats; s++)
        any = (lip(on, s) && change_lip(on, s, lever)) || any;
    return any;
}

/* The next larger hook of the style, of the grade if there is one. */
static const BlyPart *larger(const BlyCatalog *catalog, const BlyPart *hook) {
    const BlyPart *found = NULL;
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        if (part->kind != BLY_PART_HOOK || part->size_rank <= hook->size_rank ||
            strcmp(part->style, hook->style) != 0 || !(part->mass.value > hook->mass.value))
            continue;
        bool same = strcmp(part->grade, hook->grade) == 0;
        bool found_same = found && strcmp(found->grade, hook->grade) == 0;
        if (!found || (same && !found_same) ||
            (same == found_same && part->size_rank < found->size_rank))
            found = part;
    }
    return found;
}

/* As much off its catalog mass as the hook that it takes the place of. */
static void take(TowRigged *on, size_t s, const BlyPart *next, double share) {
    BlyChosenPart *piece = &on->rig->at[s].of[BLY_PART_HOOK];
    on->parts[s] = *next;
    on->parts[s].mass.value *= share;
    if (!next->volume_given)
        on->parts[s].volume *= share;
    *piece = (BlyChosenPart){&on->parts[s], {NAN, 0}};
}

static bool larger_hooks(const BlyBuild *build, const BlyRig *plain, TowRigged *on) {
    bool any = false;
    for (size_t s = 0; s < build->seat_count; s++) {
        const BlyPart *was = plain->at[s].of[BLY_PART_HOOK].part;
        const BlyPart *now = on->rig->at[s].of[BLY_PART_HOOK].part;
        const BlyPart *next = was ? larger(build->catalog, was) : NULL;
        if (!next)
            continue;
        any = true;
        take(on, s, next, was->mass.value > 0 ? now->mass.value / was->mass.value : 1);
    }
    return any;
}

static bool rear_hook(const BlyBuild *build, const BlyRig *plain, TowRigged *on) {
    size_t rear = build->seat_count;
    for (size_t s = 0; s < build->seat_count; s++) {
        if (plain->at[s].of[BLY_PART_HOOK].part &&
            (rear == build->seat_count || plain->at[s].x > plain->at[rear].x))
            rear = s;
    }
    if (rear == build->seat_count)
        return false;
    const BlyPart *was = plain->at[rear].of[BLY_PART_HOOK].part;
    const BlyPart *now = on->rig->at[rear].of[BLY_PART_HOOK].part;
    const BlyPart *next = larger(build->catalog, was);
    if (next)
        take(on, rear, next, was->mass.value > 0 ? now->mass.value / was->mass.value : 1);
    return next != NULL;
}

/* Strips and dots: further forward within their seat, or one more of them. */
static bool metal(TowRigged *on, size_t seats, bool more) {
    bool any = false;
    for (size_t s = 0; s < seats; s++) {
        BlyChoice *choice = &on->rig->at[s];
        BlyPartKind kind = choice->of[BLY_PART_STRIP].part ? BLY_PART_STRIP : BLY_PART_DOT;
        if (!choice->of[kind].part)
            continue;
        if (more) {
            choice->count += 1;
            choice->of[kind].weighed.value = NAN;
            any = true;
        } else if (choice->x - on->seats[s].x_from > 1e-3) {
            choice->x = fmax(choice->x - 5e-3, on->seats[s].x_from);
            any = true;
        }
    }
    return any;
}

bool tow_lever_pull(BlyTowLever lever, const BlyBuild *build, const BlyRig *plain, TowRigged *on) {
    switch (lever) {
    case BLY_TOW_LIP_LONGER:
    case BLY_TOW_LIP_WIDER:
    case BLY_TOW_LIP_FLATTER:
    case BLY_TOW_LIP_SHORTER:
    case BLY_TOW_LIP_NARROWER:
    case BLY_TOW_LIP_STEEPER:
        return change_lips(on, build->seat_count, lever);
    case BLY_TOW_TIE_FORWARD:
        on->tie_moved = bly_vec(-2e-3, 0, -2e-3);
        return true;
    case BLY_TOW_METAL_FORWARD:
    case BLY_TOW_METAL_MORE:
        return metal(on, build->seat_count, lever == BLY_TOW_METAL_MORE);
    case BLY_TOW_REAR_HOOK_LARGER:
        return rear_hook(build, plain, on);
    case BLY_TOW_LINE_LONGER:
        on->line.length *= 1.5;
        on->line.rod = fmin(on->line.rod, 0.3);
        return true;
    case BLY_TOW_TIE_LOWER:
        on->tie_moved = bly_vec(0, 0, -2e-3);
        return true;
    case BLY_TOW_HOOKS_LARGER:
        return larger_hooks(build, plain, on);
    case BLY_TOW_LINE_THINNER:
        if (!(on->line.diameter > 0.2e-3 * (1 + 1e-9)))
            return false;
        on->line.diameter = 0.2e-3;
        return true;
    case BLY_TOW_LEVERS:
    case BLY_TOW_CHANGES:
        break;
    }
    return true;
}

const char *bly_tow_lever_words(BlyTowLever lever) {
    static const char *const words[BLY_TOW_CHANGES] = {
        [BLY_TOW_LIP_LONGER] = "4 mm more lip",
        [BLY_TOW_LIP_WIDER] = "lip 2 mm wider",
        [BLY_TOW_LIP_FLATTER] = "lip 10 deg flatter",
        [BLY_TOW_TIE_LOWER] = "tie 2 mm lower",
        [BLY_TOW_HOOKS_LARGER] = "hooks one size larger",
        [BLY_TOW_LINE_THINNER] = "0.20 mm line",
        [BLY_TOW_LEVERS] = "as it is",
        [BLY_TOW_LIP_SHORTER] = "3 mm less lip",
        [BLY_TOW_LIP_NARROWER] = "lip 2 mm narrower",
        [BLY_TOW_LIP_STEEPER] = "lip 10 deg steeper",
        [BLY_TOW_TIE_FORWARD] = "tie 2 mm forward and 2 mm lower",
        [BLY_TOW_METAL_FORWARD] = "surface metal 5 mm forward",
        [BLY_TOW_METAL_MORE] = "one layer or dot of metal more",
        [BLY_TOW_REAR_HOOK_LARGER] = "rear hook one size larger",
        [BLY_TOW_LINE_LONGER] = "half as much line again, rod tip down",
    };
    return words[lever];
}
