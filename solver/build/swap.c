/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One part at one seat for another, as a maker would do it at the bench: what cannot stay without
 * the old part goes with it, and what the new part needs is set to the least that works. */
#include "ballastry/build.h"
#include "build/fitted.h"
#include "text/near.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What a part holds: it cannot stay when that part is taken off. A lip is one piece of two. */
static const struct {
    BlyPartKind off, with_it;
} held_table[] = {
    {BLY_PART_EYE, BLY_PART_RING},      {BLY_PART_EYE, BLY_PART_SNAP},
    {BLY_PART_EYE, BLY_PART_HOOK},      {BLY_PART_EYE, BLY_PART_WIRE},
    {BLY_PART_HOOK, BLY_PART_WIRE},     {BLY_PART_SHEET, BLY_PART_OUTLINE},
    {BLY_PART_OUTLINE, BLY_PART_SHEET},
};

static const BlyChosenPart no_piece = {NULL, {NAN, 0.0}};

static void take_off(BlyChoice *choice, BlyPartKind kind) {
    choice->of[kind] = no_piece;
    for (size_t i = 0; i < sizeof held_table / sizeof held_table[0]; i++) {
        if (held_table[i].off == kind)
            choice->of[held_table[i].with_it] = no_piece;
    }
    if (choice->of[BLY_PART_WIRE].part == NULL && choice->of[BLY_PART_STRIP].part == NULL &&
        choice->of[BLY_PART_DOT].part == NULL)
        choice->count = 0;
    if (bly_choice_is_empty(choice)) {
        choice->length = 0.0;
        choice->thickness = NAN;
        choice->filed = 0.0;
    }
}

/* The lip keeps its length as far as seat and outline allow. */
static double lip_length(const BlySeat *seat, const BlyPart *outline, double length) {
    double least = fmax(outline->length_least, seat->length_from);
    double most = fmin(outline->length_most, seat->length_to);
    return fmin(fmax(length, least), most);
}

static void put_on(const BlySeat *seat, BlyChoice *choice, const BlyPart *part) {
    BlyPartKind kind = part->kind;
    if (kind == BLY_PART_STRIP || kind == BLY_PART_DOT) {
        BlyPartKind other = kind == BLY_PART_STRIP ? BLY_PART_DOT : BLY_PART_STRIP;
        if (choice->of[other].part != NULL)
            *choice = bly_choice_empty(choice->x);
    }
    choice->of[kind] = (BlyChosenPart){part, {NAN, 0.0}};
    if ((kind == BLY_PART_WIRE || kind == BLY_PART_STRIP || kind == BLY_PART_DOT) &&
        choice->count < 1)
        choice->count = 1;
    if (kind == BLY_PART_SHEET) { /* as bought */
        choice->thickness = NAN;
        choice->filed = 0.0;
    }
    if (kind == BLY_PART_SHEET || kind == BLY_PART_OUTLINE)
        choice->of[BLY_PART_SHEET].weighed = no_piece.weighed; /* another lip */
    if (kind == BLY_PART_OUTLINE)
        choice->length = lip_length(seat, part, choice->length);
    if (kind == BLY_PART_STRIP && !(choice->length > 0.0))
        choice->length = fmin(part->length, seat->x_to - choice->x);
}

static bool find_kind(const BlySeat *seat, const char *name, BlyPartKind *kind, BlyError *err) {
    const char *known[BLY_PART_KINDS];
    for (int i = 0; i < BLY_PART_KINDS; i++)
        known[i] = bly_part_kind_name((BlyPartKind)i);
    const char *near = bly_near(name, known, BLY_PART_KINDS);
    if (!bly_part_kind_read(name, kind))
        return bly_fail(err, BLY_E_UNKNOWN, NULL, "no kind of part \"%.40s\"%s%s%s", name,
                        near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                        near != NULL ? "\"?" : "");
    if (bly_seat_carries(seat->kind) & 1u << *kind)
        return true;
    return bly_fail(err, BLY_E_CONFLICT, NULL, "a %s carries no %s", bly_seat_kind_name(seat->kind),
                    name);
}

static bool find_part(const BlyCatalog *catalog, BlyPartKind kind, const char *id,
                      const BlyPart **part, BlyError *err) {
    *part = bly_catalog_part(catalog, id);
    const char *near = bly_catalog_nearest_part(catalog, id);
    if (*part == NULL)
        return bly_fail(err, BLY_E_UNKNOWN, NULL, "no part \"%.60s\" in the catalog%s%s%s", id,
                        near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                        near != NULL ? "\"?" : "");
    if ((*part)->kind == kind)
        return true;
    return bly_fail(err, BLY_E_CONFLICT, NULL, "%s is a %s; expected a %s", (*part)->id,
                    bly_part_kind_name((*part)->kind), bly_part_kind_name(kind));
}

/* A lip is put on in two steps, sheet and outline; between them it fits nothing. */
static bool is_half_lip(const BlyChoice *choice) {
    return (choice->of[BLY_PART_SHEET].part == NULL) != (choice->of[BLY_PART_OUTLINE].part == NULL);
}

static bool swap_at(const BlySeat *seat, const BlyCatalog *catalog, BlyChoice *choice,
                    const char *kind_name, const char *id, BlyError *err) {
    BlyPartKind kind;
    const BlyPart *part;
    if (!find_kind(seat, kind_name, &kind, err))
        return false;
    BlyChoice changed = *choice;
    if (strcmp(id, "none") == 0) {
        take_off(&changed, kind);
    } else {
        if (!find_part(catalog, kind, id, &part, err))
            return false;
        put_on(seat, &changed, part);
    }
    if (!is_half_lip(&changed) && !bly_choice_fits(seat, &changed, err))
        return false;
    *choice = changed;
    return true;
}

bool bly_build_swap(const BlyBuild *build, const BlyCatalog *catalog, BlyRig *rig, const char *seat,
                    const char *kind, const char *id, BlyError *err) {
    int at = bly_build_seat(build, seat);
    if (at < 0) {
        const char *near = build_near_seat(build, seat);
        return bly_fail(err, BLY_E_UNKNOWN, seat, "no such seat%s%s%s",
                        near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                        near != NULL ? "\"?" : "");
    }
    if (swap_at(&build->seats[at], catalog, &rig->at[at], kind, id, err))
        return true;
    if (err != NULL)
        (void)snprintf(err->where, sizeof err->where, "%.100s.%.100s", seat, kind);
    return false;
}
