/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Candidates of a lip slot: sheets over outlines and trimmed lengths, with filing as a continuous
 * amount. All that a lip adds is proportional to its thickness, and its mass to its density, so
 * the geometry is worked out once for each outline and length. */
#include "fit/candidates.h"
#include "fit/fewer_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { LENGTHS_MOST = 40, CANDIDATES_KEPT = 6000 };
static const double grain_g = 0.01, length_step = 1e-3, least_outside = 5e-3;
static const double grind_step = 1e-4; /* a plate before it is glued in; the same */

/* Per kg/m3 of sheet and metre of thickness (metal), and per metre of thickness (the rest). */
typedef struct LipShape {
    Lump metal, rest;
} LipShape;

static Lump item_mass(const BlyItem *it) {
    BlyItem mass_only = *it;
    mass_only.volume = 0;
    return lump_of_items(&mass_only, 1);
}

static Lump item_volume(const BlyItem *it) {
    BlyItem volume_only = *it;
    volume_only.mass = 0;
    return lump_of_items(&volume_only, 1);
}

static bool lip_shape(const BlyBuild *build, int seat, const BlyChoice *choice, LipShape *out,
                      BlyError *err) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    if (!bly_choice_items(&build->blank, &build->seats[seat], seat, choice, items, &count, err))
        return false;
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    double thickness = sheet->thickness;
    memset(out, 0, sizeof *out);
    for (size_t i = 0; i < count; i++) {
        Lump mass = item_mass(&items[i]);
        if (items[i].kind == BLY_ITEM_PART)
            out->metal = moments_sum(out->metal,
                                     moments_scaled(mass, 1 / (thickness * sheet->density.value)));
        else
            out->rest = moments_sum(out->rest, moments_scaled(mass, 1 / thickness));
        out->rest = moments_sum(out->rest, moments_scaled(item_volume(&items[i]), 1 / thickness));
    }
    return true;
}

static Lump lip_lump(const LipShape *shape, double density, double thickness) {
    return moments_sum(moments_scaled(shape->metal, density * thickness),
                       moments_scaled(shape->rest, thickness));
}

/* The plate as bought, and ground thinner by whole tenths of a millimetre before it is glued in, as
 * far as seat and sheet let it. */
static bool add_gauges(const BlyBuild *build, const BlyChoice *base, const LipShape *shape,
                       double thinnest, double thickest, CandidateSet *out, BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    const BlyPart *sheet = base->of[BLY_PART_SHEET].part;
    double least = ceil((sheet->thickness - thickest) / grind_step - 1e-6);
    for (double k = fmax(least, 0);; k++) {
        double thickness = sheet->thickness - k * grind_step;
        BlyChoice choice = *base;
        choice.thickness = k > 0 ? thickness : NAN;
        if (thickness < thinnest - 1e-9 || !(thickness > 0))
            return true;
        if ((out->craft != NULL && craft_lip(out->craft, seat, &choice, thickness) != 0) ||
            !bly_choice_fits(seat, &choice, NULL))
            continue;
        Lump lump = lip_lump(shape, sheet->density.value, thickness);
        if (!candidates_add(out, build, &choice, &lump, err))
            return false;
        out->at[out->count - 1].cost += FIT_FILING_COST * 1e3 * k * grind_step;
    }
}

static bool add_sheets(const BlyBuild *build, const BlyChoice *base, const LipShape *shape,
                       const BlyPart *const *sheets, size_t count, CandidateSet *out,
                       BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    for (size_t i = 0; i < count; i++) {
        const BlyPart *sheet = sheets[i];
        BlyChoice choice = *base;
        choice.of[BLY_PART_SHEET] = (BlyChosenPart){sheet, {NAN, 0}};
        double thickest = fmin(sheet->thickness, isfinite(seat->gap) ? seat->gap : INFINITY);
        double thinnest = isfinite(sheet->thinnest) ? sheet->thinnest : sheet->thickness;
        if (build->limits.lip_gauge_high > 0) {
            thickest = fmin(thickest, build->limits.lip_gauge_high);
            thinnest = fmax(thinnest, build->limits.lip_gauge_low);
        }
        if (out->craft != NULL)
            thinnest = fmax(thinnest, craft_lip_least(out->craft, seat, &choice));
        if (!add_gauges(build, &choice, shape, thinnest, thickest, out, err))
            return false;
    }
    return true;
}

typedef struct LengthRange {
    double from, to;
} LengthRange;

static LengthRange length_range(const BlyLimits *limits, const BlySeat *seat,
                                const BlyPart *outline) {
    double from = fmax(outline->length_least, seat->depth + least_outside);
    double to = outline->length_most;
    if (isfinite(seat->length_from))
        from = fmax(from, seat->length_from);
    if (isfinite(seat->length_to))
        to = fmin(to, seat->length_to);
    if (limits->lip_free_high > 0) {
        from = fmax(from, seat->depth + limits->lip_free_low);
        to = fmin(to, seat->depth + limits->lip_free_high);
    }
    return (LengthRange){from, to};
}

static bool add_outline(const BlyBuild *build, const BlyPart *outline, LengthRange range,
                        const BlyPart *const *sheets, size_t sheet_count, double x,
                        CandidateSet *out, BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    size_t steps = (size_t)floor((range.to - range.from) / length_step + 1e-6) + 1;
    double step = length_step; /* in whole tenths */
    if (steps > LENGTHS_MOST)
        step = 1e-4 * ceil((range.to - range.from) / LENGTHS_MOST / 1e-4 - 1e-6);
    for (double length = range.from; length <= range.to + 1e-9 && candidates_go_on(out);
         length += step) {
        BlyChoice choice = bly_choice_empty(x);
        choice.of[BLY_PART_OUTLINE] = (BlyChosenPart){outline, {NAN, 0}};
        choice.of[BLY_PART_SHEET] = (BlyChosenPart){sheets[0], {NAN, 0}};
        choice.length = length;
        if (out->craft != NULL && craft_lip_outline(out->craft, seat, &choice) != 0)
            continue;
        LipShape shape;
        if (!lip_shape(build, out->seat, &choice, &shape, err) ||
            !add_sheets(build, &choice, &shape, sheets, sheet_count, out, err) ||
            !candidates_thin_early(out, CANDIDATES_KEPT, grain_g, err))
            return false;
    }
    return true;
}

static bool over_outlines(const BlyBuild *build, unsigned open, const BlyPart *const *outlines,
                          size_t outline_count, const BlyPart *const *sheets, size_t sheet_count,
                          CandidateSet *out, BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    const BlyChoice *fitted = &build->fitted.at[out->seat];
    bool choose_outline = (open & (1u << BLY_PART_OUTLINE)) != 0;
    for (size_t p = 0; p < seat_places(seat); p++) {
        for (size_t i = 0; i < outline_count; i++) {
            if (isfinite(seat->width) && outlines[i]->width > seat->width + 1e-9)
                continue;
            LengthRange range = choose_outline ? length_range(&build->limits, seat, outlines[i])
                                               : (LengthRange){fitted->length, fitted->length};
            if (!add_outline(build, outlines[i], range, sheets, sheet_count, seat_place(seat, p),
                             out, err))
                return false;
        }
    }
    return true;
}

/* The same sheet but for its temper, and stiffer, for no more money: a maker glues that one in. */
static bool is_stiffer_twin(const BlyPart *a, const BlyPart *b) {
    static const double same = 1e-6; /* m */
    bool same_gauge =
        fabs(a->thickness - b->thickness) < same && !(fabs(a->thinnest - b->thinnest) > same);
    return strcmp(a->material, b->material) == 0 && same_gauge &&
           !(fabs(a->density.value - b->density.value) > 0) && a->bending > b->bending &&
           !(a->price > b->price);
}

static void drop_softer_twins(const BlyPart **sheets, size_t *count, const BlyPart *stays) {
    size_t left = 0;
    for (size_t i = 0; i < *count; i++) {
        bool softer = false;
        for (size_t k = 0; k < *count && sheets[i] != stays; k++)
            softer = softer || is_stiffer_twin(sheets[k], sheets[i]);
        if (!softer)
            sheets[left++] = sheets[i];
    }
    *count = left;
}

/* The catalog's parts of a kind when open, else the fitted one alone. */
static bool choices_of(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                       BlyPartKind kind, const BlyPart ***out, size_t *count, BlyError *err) {
    const BlyPart *fitted = build->fitted.at[seat].of[kind].part;
    if (!fit_fewer_parts(build, catalog, kind, fitted, out, count, err))
        return false;
    if ((open & (1u << kind)) == 0) {
        *count = fitted != NULL;
        (*out)[0] = fitted;
    }
    if (kind == BLY_PART_SHEET)
        drop_softer_twins(*out, count, fitted);
    return true;
}

bool slot_candidates(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                     CandidateSet *out, BlyError *err) {
    const BlyPart **sheets = NULL, **outlines = NULL;
    size_t sheet_count = 0, outline_count = 0;
    bool good =
        choices_of(build, catalog, seat, open, BLY_PART_SHEET, &sheets, &sheet_count, err) &&
        choices_of(build, catalog, seat, open, BLY_PART_OUTLINE, &outlines, &outline_count, err);
    if (good && sheet_count > 0)
        good = over_outlines(build, open, outlines, outline_count, sheets, sheet_count, out, err);
    free(sheets);
    free(outlines);
    good = good && candidates_thin(out, CANDIDATES_KEPT, grain_g, err);
    if (good && build->seats[seat].may_stay_empty) {
        BlyChoice empty = bly_choice_empty(build->seats[seat].x_from);
        good = candidates_add(out, build, &empty, NULL, err);
    }
    return good;
}
