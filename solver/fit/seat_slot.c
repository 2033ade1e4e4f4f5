/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Candidates of a lip slot: sheets over outlines and trimmed lengths, with filing as a continuous
 * amount. All that a lip adds is proportional to its thickness, and its mass to its density, so
 * the geometry is worked out once for each outline and length. */
#include "fit/candidates.h"
#include "fit/shelf.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { LENGTHS_MOST = 40, CANDIDATES_KEPT = 6000 };
static const double grain_g = 0.01, length_step = 1e-3, least_outside = 5e-3;

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
    const BlyPart *sheet = choice->piece[BLY_PART_SHEET].part;
    double thickness = sheet->thickness;
    memset(out, 0, sizeof *out);
    for (size_t i = 0; i < count; i++) {
        Lump mass = item_mass(&items[i]);
        if (items[i].kind == BLY_ITEM_PART)
            out->metal =
                lump_add(out->metal, lump_scale(mass, 1 / (thickness * sheet->density.value)));
        else
            out->rest = lump_add(out->rest, lump_scale(mass, 1 / thickness));
        out->rest = lump_add(out->rest, lump_scale(item_volume(&items[i]), 1 / thickness));
    }
    return true;
}

static Lump lip_lump(const LipShape *shape, double density, double thickness) {
    return lump_add(lump_scale(shape->metal, density * thickness),
                    lump_scale(shape->rest, thickness));
}

static bool add_sheets(const BlyBuild *build, const BlyChoice *base, const LipShape *shape,
                       const BlyPart *const *sheets, size_t count, CandidateSet *out,
                       BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    for (size_t i = 0; i < count; i++) {
        const BlyPart *sheet = sheets[i];
        BlyChoice choice = *base;
        choice.piece[BLY_PART_SHEET] = (BlyPiece){sheet, {NAN, 0}};
        double thickest = fmin(sheet->thickness, isfinite(seat->gap) ? seat->gap : INFINITY);
        double thinnest = isfinite(sheet->thinnest) ? sheet->thinnest : sheet->thickness;
        if (thickest < thinnest)
            continue;
        choice.thickness = thickest < sheet->thickness ? thickest : NAN;
        if (!bly_choice_fits(seat, &choice, NULL))
            continue;
        Lump lump = lip_lump(shape, sheet->density.value, thickest);
        if (!candidates_add(out, build, &choice, &lump, err))
            return false;
        Candidate *c = &out->at[out->count - 1];
        c->filing = 1e3 * (thickest - thinnest);
        c->per_filed = lip_lump(shape, sheet->density.value, 1e-3);
    }
    return true;
}

typedef struct LengthRange {
    double from, to;
} LengthRange;

static LengthRange length_range(const BlySeat *seat, const BlyPart *outline) {
    double from = fmax(outline->length_least, seat->depth + least_outside);
    double to = outline->length_most;
    if (isfinite(seat->length_from))
        from = fmax(from, seat->length_from);
    if (isfinite(seat->length_to))
        to = fmin(to, seat->length_to);
    return (LengthRange){from, to};
}

static bool add_outline(const BlyBuild *build, const BlyPart *outline, LengthRange range,
                        const BlyPart *const *sheets, size_t sheet_count, double x,
                        CandidateSet *out, BlyError *err) {
    size_t steps = (size_t)floor((range.to - range.from) / length_step + 1e-6) + 1;
    double step = steps > LENGTHS_MOST ? (range.to - range.from) / LENGTHS_MOST : length_step;
    for (double length = range.from; length <= range.to + 1e-9 && candidates_go_on(out);
         length += step) {
        BlyChoice choice = bly_choice_empty(x);
        choice.piece[BLY_PART_OUTLINE] = (BlyPiece){outline, {NAN, 0}};
        choice.piece[BLY_PART_SHEET] = (BlyPiece){sheets[0], {NAN, 0}};
        choice.length = length;
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
            LengthRange range = choose_outline ? length_range(seat, outlines[i])
                                               : (LengthRange){fitted->length, fitted->length};
            if (!add_outline(build, outlines[i], range, sheets, sheet_count, seat_place(seat, p),
                             out, err))
                return false;
        }
    }
    return true;
}

/* The catalog's parts of a kind when open, else the fitted one alone. */
static bool choices_of(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                       BlyPartKind kind, const BlyPart ***out, size_t *count, BlyError *err) {
    const BlyPart *fitted = build->fitted.at[seat].piece[kind].part;
    if (!fit_shelf(build, catalog, kind, fitted, out, count, err))
        return false;
    if ((open & (1u << kind)) == 0) {
        *count = fitted != NULL;
        (*out)[0] = fitted;
    }
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

/* ---- a lip that is glued in ---- */

/* What one millimetre off the outer piece takes away, and how far it may go (mm). */
static bool set_filing(const BlyBuild *build, Candidate *c, int seat, BlyError *err) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    const BlyPart *sheet = c->choice.piece[BLY_PART_SHEET].part;
    double thick = isfinite(c->choice.thickness) ? c->choice.thickness : sheet->thickness;
    double thinnest = isfinite(sheet->thinnest) ? sheet->thinnest : thick;
    double outside = thick - c->choice.filed;
    if (!bly_choice_items(&build->blank, &build->seats[seat], seat, &c->choice, items, &count, err))
        return false;
    for (size_t i = 0; i < count; i++) { /* the outer piece is the one that displaces */
        if (items[i].volume > 0)
            c->per_filed =
                lump_add(c->per_filed, lump_scale(lump_of_items(&items[i], 1), 1e-3 / outside));
    }
    c->filing = fmax(1e3 * (outside - thinnest), 0);
    c->changed = c->filing > 0;
    return true;
}

/* Once as it is and once to be filed: filing is a change, too. */
static bool add_length(const BlyBuild *build, const BlyChoice *choice, CandidateSet *out,
                       BlyError *err) {
    if (!candidates_add(out, build, choice, NULL, err) ||
        !candidates_add(out, build, choice, NULL, err))
        return false;
    Candidate *as_it_is = &out->at[out->count - 2], *filed = &out->at[out->count - 1];
    if (!set_filing(build, filed, out->seat, err))
        return false;
    if (filed->filing > 0)
        filed->cost += as_it_is->changed ? 0 : FIT_CHANGE_COST;
    else
        out->count--;
    return true;
}

/* Sheet and outline stay; the free end may be cut back by whole millimetres and what stands out be
 * filed. A flared outline is not cut back: its sides would no longer be those of a shorter one. */
bool filed_candidates(const BlyBuild *build, int seat, CandidateSet *out, BlyError *err) {
    const BlyChoice *fitted = &build->fitted.at[seat];
    const BlyPart *outline = fitted->piece[BLY_PART_OUTLINE].part;
    if (outline == NULL)
        return true;
    double least = fmax(outline->length_least, build->seats[seat].depth + least_outside);
    if (outline->form == BLY_OUTLINE_FLARED)
        least = fitted->length;
    double whole = bly_outline_area(outline, fitted->length);
    for (double length = fitted->length; length >= fmin(least, fitted->length) - 1e-9;
         length -= length_step) {
        BlyChoice choice = *fitted;
        BlyFigure *weighed = &choice.piece[BLY_PART_SHEET].weighed;
        double left = bly_outline_area(outline, length) / whole;
        choice.length = length;
        weighed->value *= left; /* NAN stays so */
        weighed->give *= left;
        if (!add_length(build, &choice, out, err))
            return false;
    }
    return true;
}
