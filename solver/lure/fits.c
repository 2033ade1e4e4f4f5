/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a choice may sit on a seat: the seat's own limits here, what goes with what from the
 * parts room. */
#include "ballastry/rig.h"

#include <gsl/gsl_math.h>

/* Lengths are compared to a micrometre: places come off a grid. */
static const double SLACK = 1e-6;
enum { PIECES_MOST = 1000 };

static double mm(double m) {
    return m * 1e3;
}

static const BlyPart *part_of(const BlyChoice *choice, BlyPartKind kind) {
    return choice->of[kind].part;
}

static bool refuse(BlyError *why, const BlySeat *seat) {
    if (why)
        bly_error_prefix(why, seat->name ? seat->name : "");
    return false;
}

static bool kinds_fit(const BlySeat *seat, const BlyChoice *choice, BlyError *why) {
    unsigned carries = bly_seat_carries(seat->kind);
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        const BlyPart *part = choice->of[kind].part;
        if (!part)
            continue;
        if (part->kind != (BlyPartKind)kind)
            return bly_fail(why, BLY_E_INTERNAL, NULL, "%s stands where a %s belongs", part->id,
                            bly_part_kind_name((BlyPartKind)kind));
        if (!(carries & 1u << kind))
            return bly_fail(why, BLY_E_CONFLICT, NULL, "a %s carries no %s",
                            bly_seat_kind_name(seat->kind), bly_part_kind_name((BlyPartKind)kind));
    }
    return true;
}

static bool place_fits(const BlySeat *seat, double x, BlyError *why) {
    if (x >= seat->x_from - SLACK && x <= seat->x_to + SLACK)
        return true;
    return bly_fail(why, BLY_E_RANGE, NULL, "stands at %.2f mm, the seat reaches from %.2f to %.2f",
                    mm(x), mm(seat->x_from), mm(seat->x_to));
}

/* Tie and hanger: whatever hangs needs an eye, and each piece goes through the one above it. */
static bool chain_fits(const BlyChoice *choice, BlyError *why) {
    const BlyPart *eye = part_of(choice, BLY_PART_EYE), *ring = part_of(choice, BLY_PART_RING),
                  *hook = part_of(choice, BLY_PART_HOOK), *snap = part_of(choice, BLY_PART_SNAP),
                  *wire = part_of(choice, BLY_PART_WIRE);
    if (!eye && (ring || hook || snap))
        return bly_fail(why, BLY_E_MISSING, NULL, "a %s needs an eye to hang from",
                        ring ? "ring" : (hook ? "hook" : "snap"));
    if (wire && !hook)
        return bly_fail(why, BLY_E_MISSING, NULL, "wire needs a hook to be wrapped on");
    if (wire && (choice->count < 1 || choice->count > PIECES_MOST))
        return bly_fail(why, BLY_E_RANGE, NULL, "%d turns of wire; 1 to %d can be wrapped",
                        choice->count, PIECES_MOST);
    if (ring && !bly_fits_ring_eye(ring, eye, why))
        return false;
    if (ring && hook && !bly_fits_ring_hook(ring, hook, why))
        return false;
    if (!ring && hook && !bly_fits_hook_eye(hook, eye, why))
        return false;
    if (!ring && snap && !bly_fits_snap_eye(snap, eye, why))
        return false;
    return !wire || bly_fits_wire_hook(wire, choice->count, hook, why);
}

static bool lip_length_fits(const BlySeat *seat, const BlyPart *outline, double length,
                            BlyError *why) {
    double least = fmax(outline->length_least, seat->length_from);
    double most = fmin(outline->length_most, seat->length_to);
    if (!(length > seat->depth + SLACK))
        return bly_fail(why, BLY_E_RANGE, NULL, "the lip is %.2f mm long, the slot %.2f mm deep",
                        mm(length), mm(seat->depth));
    if (length < least - SLACK)
        return bly_fail(why, BLY_E_RANGE, NULL, "the lip is %.2f mm long, %.2f mm is the least",
                        mm(length), mm(least));
    if (length > most + SLACK)
        return bly_fail(why, BLY_E_RANGE, NULL, "the lip is %.2f mm long, %.2f mm is the most",
                        mm(length), mm(most));
    return true;
}

static bool lip_fits(const BlySeat *seat, const BlyChoice *choice, BlyError *why) {
    const BlyPart *sheet = part_of(choice, BLY_PART_SHEET),
                  *outline = part_of(choice, BLY_PART_OUTLINE);
    if (!sheet || !outline)
        return bly_fail(why, BLY_E_MISSING, NULL, "a lip needs %s",
                        sheet ? "an outline" : "a sheet to be cut from");
    double thickness = isnan(choice->thickness) ? sheet->thickness : choice->thickness;
    if (!(thickness > 0.0) || thickness > sheet->thickness + SLACK)
        return bly_fail(why, BLY_E_RANGE, NULL, "the lip is %.2f mm thick, the sheet %.2f mm",
                        mm(thickness), mm(sheet->thickness));
    double outside = thickness - choice->filed;
    if (choice->filed < 0.0 || !(outside > 0.0) || outside < sheet->thinnest - SLACK)
        return bly_fail(why, BLY_E_RANGE, NULL, "filed to %.2f mm, %.2f mm is the thinnest",
                        mm(outside), mm(sheet->thinnest));
    if (thickness > seat->gap + SLACK)
        return bly_fail(why, BLY_E_CONFLICT, NULL, "the lip is %.2f mm thick, the slot takes %.2f",
                        mm(thickness), mm(seat->gap));
    if (outline->width > seat->width + SLACK)
        return bly_fail(why, BLY_E_CONFLICT, NULL, "the lip is %.2f mm wide, %.2f mm is the most",
                        mm(outline->width), mm(seat->width));
    return lip_length_fits(seat, outline, choice->length, why);
}

static bool patch_fits(const BlySeat *seat, const BlyChoice *choice, BlyError *why) {
    const BlyPart *strip = part_of(choice, BLY_PART_STRIP), *dot = part_of(choice, BLY_PART_DOT);
    if (seat->side != BLY_AT_BELLY && seat->side != BLY_AT_BACK)
        return bly_fail(why, BLY_E_CONFLICT, NULL, "a patch lies on the belly or on the back");
    if (strip && dot)
        return bly_fail(why, BLY_E_CONFLICT, NULL, "a patch carries a strip or dots, not both");
    double reach = seat->x_to - seat->x_from;
    double across = strip ? strip->width : dot->outer;
    if (choice->count < 1 || choice->count > PIECES_MOST)
        return bly_fail(why, BLY_E_RANGE, NULL, "%d %s; 1 to %d can be laid", choice->count,
                        strip ? "layers" : "dots", PIECES_MOST);
    if (across > seat->width + SLACK)
        return bly_fail(why, BLY_E_CONFLICT, NULL, "the %s is %.2f mm wide, %.2f mm is the most",
                        strip ? "strip" : "dot", mm(across), mm(seat->width));
    if (dot && dot->outer > reach + SLACK)
        return bly_fail(why, BLY_E_RANGE, NULL, "the dot is %.2f mm wide, the patch %.2f mm long",
                        mm(dot->outer), mm(reach));
    if (strip && !(choice->length > 0.0))
        return bly_fail(why, BLY_E_RANGE, NULL, "the strip has no length");
    if (strip && choice->length > strip->length + SLACK)
        return bly_fail(why, BLY_E_RANGE, NULL, "the strip is %.2f mm long, %.2f mm is the longest",
                        mm(choice->length), mm(strip->length));
    /* Along a sloping line it may be longer than its reach along x: 45 degrees at the steepest. */
    if (strip && choice->length > M_SQRT2 * (seat->x_to - choice->x) + SLACK)
        return bly_fail(why, BLY_E_RANGE, NULL, "the strip is %.2f mm long, the patch has %.2f mm",
                        mm(choice->length), mm(seat->x_to - choice->x));
    return true;
}

static bool pieces_fit(const BlySeat *seat, const BlyChoice *choice, BlyError *why) {
    switch (seat->kind) {
    case BLY_SEAT_TIE:
    case BLY_SEAT_HANGER:
        return chain_fits(choice, why);
    case BLY_SEAT_SLOT:
        return lip_fits(seat, choice, why);
    case BLY_SEAT_PATCH:
        return patch_fits(seat, choice, why);
    case BLY_SEAT_KINDS:
        break;
    }
    return bly_fail(why, BLY_E_INTERNAL, NULL, "a seat of no known kind");
}

bool bly_choice_fits(const BlySeat *seat, const BlyChoice *choice, BlyError *why) {
    if (bly_choice_is_empty(choice))
        return true;
    if (kinds_fit(seat, choice, why) && place_fits(seat, choice->x, why) &&
        pieces_fit(seat, choice, why))
        return true;
    return refuse(why, seat);
}
