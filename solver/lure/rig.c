/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Choices and rigs as plain records. */
#include "ballastry/rig.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

double bly_choice_wire_mass(const BlyChoice *choice) {
    const BlyChosenPart *wire = &choice->of[BLY_PART_WIRE];
    if (wire->part == NULL)
        return 0;
    return isfinite(wire->weighed.value)
               ? wire->weighed.value
               : choice->count * bly_wire_turn_mass(wire->part, choice->of[BLY_PART_HOOK].part);
}

BlyChoice bly_choice_empty(double x) {
    BlyChoice choice = {.x = x, .thickness = NAN};
    for (int kind = 0; kind < BLY_PART_KINDS; kind++)
        choice.of[kind].weighed.value = NAN;
    return choice;
}

bool bly_choice_is_empty(const BlyChoice *choice) {
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        if (choice->of[kind].part)
            return false;
    }
    return true;
}

bool bly_rig_init(BlyRig *rig, size_t count, BlyError *err) {
    *rig = (BlyRig){0};
    if (count == 0)
        return true;
    rig->at = calloc(count, sizeof *rig->at);
    if (!rig->at)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a rig of %zu seats", count);
    rig->count = count;
    for (size_t i = 0; i < count; i++)
        rig->at[i] = bly_choice_empty(0.0);
    return true;
}

bool bly_rig_copy(BlyRig *to, const BlyRig *from, BlyError *err) {
    if (!bly_rig_init(to, from->count, err))
        return false;
    if (from->count > 0)
        memcpy(to->at, from->at, from->count * sizeof *to->at);
    return true;
}

void bly_rig_release(BlyRig *rig) {
    free(rig->at);
    *rig = (BlyRig){0};
}

unsigned bly_seat_carries(BlySeatKind kind) {
    static const unsigned carries[BLY_SEAT_KINDS] = {
        [BLY_SEAT_TIE] = 1u << BLY_PART_EYE | 1u << BLY_PART_RING | 1u << BLY_PART_SNAP,
        [BLY_SEAT_HANGER] =
            1u << BLY_PART_EYE | 1u << BLY_PART_RING | 1u << BLY_PART_HOOK | 1u << BLY_PART_WIRE,
        [BLY_SEAT_SLOT] = 1u << BLY_PART_SHEET | 1u << BLY_PART_OUTLINE,
        [BLY_SEAT_PATCH] = 1u << BLY_PART_STRIP | 1u << BLY_PART_DOT,
    };
    return (unsigned)kind < BLY_SEAT_KINDS ? carries[kind] : 0u;
}

const char *bly_seat_kind_name(BlySeatKind kind) {
    static const char *const names[BLY_SEAT_KINDS] = {"tie", "hanger", "slot", "patch"};
    return (unsigned)kind < BLY_SEAT_KINDS ? names[kind] : "unknown";
}

const char *bly_seat_side_name(BlySeatSide side) {
    static const char *const names[BLY_SIDES] = {"nose", "belly", "back", "tail"};
    return (unsigned)side < BLY_SIDES ? names[side] : "unknown";
}

unsigned bly_seat_mendable(const BlySeat *seat, const BlyChoice *fitted, bool coated) {
    const unsigned angler = 1u << BLY_PART_RING | 1u << BLY_PART_SNAP;
    bool eye = fitted->of[BLY_PART_EYE].part != NULL;
    unsigned kinds = 0;
    switch (seat->kind) {
    case BLY_SEAT_HANGER:
        kinds = eye ? 1u << BLY_PART_RING | 1u << BLY_PART_HOOK | 1u << BLY_PART_WIRE : 0;
        break;
    case BLY_SEAT_TIE:
        return eye ? seat->named & angler : 0;
    case BLY_SEAT_PATCH:
        kinds = coated && fitted->of[BLY_PART_STRIP].part != NULL
                    ? 0
                    : 1u << BLY_PART_STRIP | 1u << BLY_PART_DOT;
        break;
    case BLY_SEAT_SLOT:
        kinds = fitted->of[BLY_PART_OUTLINE].part != NULL
                    ? 1u << BLY_PART_SHEET | 1u << BLY_PART_OUTLINE
                    : 0;
        break;
    case BLY_SEAT_KINDS:
        break;
    }
    unsigned open = seat->open;
    if (open & 1u << BLY_PART_HOOK) /* what may be another one may carry wire */
        open |= 1u << BLY_PART_WIRE;
    return seat->open_said ? kinds & open : kinds;
}
