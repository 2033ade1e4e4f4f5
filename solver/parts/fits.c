/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What goes with what: comparisons of the records' own fields, each with its reason in words. */
#include "ballastry/parts.h"

#include <limits.h>
#include <math.h>
#include <string.h>

/* Equal sizes pass; a file's "1.44 mm" and 2 x 0.72 mm must count as equal. */
static const double nanometre = 1e-9;

static double mm(double metres) {
    return metres * 1e3;
}

static const char *id_of(const BlyPart *part) {
    return part->id != NULL ? part->id : "";
}

static bool wrong_kind(const BlyPart *part, BlyPartKind kind, BlyError *why) {
    if (part != NULL && part->kind == kind)
        return false;
    bly_fail(why, BLY_E_INTERNAL, NULL, "%s %s is no %s",
             part != NULL ? bly_part_kind_name(part->kind) : "nothing",
             part != NULL ? id_of(part) : "", bly_part_kind_name(kind));
    return true;
}

static bool known(const BlyPart *part, double size, const char *what, BlyError *why) {
    if (isfinite(size))
        return true;
    return bly_fail(why, BLY_E_MISSING, NULL, "%s of %s %s is unknown", what,
                    bly_part_kind_name(part->kind), id_of(part));
}

/* Does `size` of one part go through the bore of the other? */
static bool goes_through(const BlyPart *inner, double size, const char *what, const BlyPart *outer,
                         BlyError *why) {
    if (!known(inner, size, what, why) || !known(outer, outer->bore, "the bore", why))
        return false;
    if (size <= outer->bore + nanometre)
        return true;
    return bly_fail(
        why, BLY_E_CONFLICT, NULL, "%s %s is %.2f mm through, the eye of %s has %.2f mm",
        bly_part_kind_name(inner->kind), id_of(inner), mm(size), id_of(outer), mm(outer->bore));
}

bool bly_fits_ring_eye(const BlyPart *ring, const BlyPart *eye, BlyError *why) {
    if (wrong_kind(ring, BLY_PART_RING, why) || wrong_kind(eye, BLY_PART_EYE, why))
        return false;
    return goes_through(ring, ring->passes, "the thickness", eye, why);
}

bool bly_fits_snap_eye(const BlyPart *snap, const BlyPart *eye, BlyError *why) {
    if (wrong_kind(snap, BLY_PART_SNAP, why) || wrong_kind(eye, BLY_PART_EYE, why))
        return false;
    return goes_through(snap, snap->passes, "the thickness", eye, why);
}

static bool is_single(const BlyPart *hook) {
    return hook->style != NULL && strcmp(hook->style, "single") == 0;
}

static bool size_suits(const BlyPart *ring, const BlyPart *hook, BlyError *why) {
    bool single = is_single(hook);
    int low = single ? ring->single_rank_low : ring->hook_rank_low;
    int high = single ? ring->single_rank_high : ring->hook_rank_high;
    if (low == 0 && high == 0)
        return true;
    if (hook->size_rank >= low && hook->size_rank <= high)
        return true;
    char smallest[8], largest[8], given[8];
    bly_hook_size(low, smallest);
    bly_hook_size(high, largest);
    bly_hook_size(hook->size_rank, given);
    return bly_fail(why, BLY_E_CONFLICT, NULL,
                    "ring %s suits %s hooks from size %s to %s, %s is %s", id_of(ring),
                    single ? "single" : "treble", smallest, largest, id_of(hook),
                    given[0] != '\0' ? given : "of no known size");
}

bool bly_fits_ring_hook(const BlyPart *ring, const BlyPart *hook, BlyError *why) {
    if (wrong_kind(ring, BLY_PART_RING, why) || wrong_kind(hook, BLY_PART_HOOK, why))
        return false;
    return goes_through(ring, ring->passes, "the thickness", hook, why) &&
           size_suits(ring, hook, why);
}

bool bly_fits_hook_eye(const BlyPart *hook, const BlyPart *eye, BlyError *why) {
    if (wrong_kind(hook, BLY_PART_HOOK, why) || wrong_kind(eye, BLY_PART_EYE, why))
        return false;
    return goes_through(hook, hook->wire, "the wire", eye, why) &&
           goes_through(eye, eye->wire, "the wire", hook, why);
}

bool bly_fits_wire_hook(const BlyPart *wire, int turns, const BlyPart *hook, BlyError *why) {
    if (wrong_kind(wire, BLY_PART_WIRE, why) || wrong_kind(hook, BLY_PART_HOOK, why))
        return false;
    if (turns < 0)
        return bly_fail(why, BLY_E_RANGE, NULL, "%d turns of wire", turns);
    if (turns == 0)
        return true;
    if (!known(wire, wire->wire, "the diameter", why) ||
        !known(hook, hook->shank, "the free shank", why))
        return false;
    if (turns * wire->wire <= hook->shank + nanometre)
        return true;
    return bly_fail(why, BLY_E_CONFLICT, NULL,
                    "%d turns of %s need %.1f mm, the free shank of %s has %.1f mm", turns,
                    id_of(wire), mm(turns * wire->wire), id_of(hook), mm(hook->shank));
}

int bly_wire_turns_most(const BlyPart *wire, const BlyPart *hook) {
    double turns = floor((hook->shank + nanometre) / wire->wire);
    return turns >= 1 && turns < INT_MAX ? (int)turns : 0;
}
