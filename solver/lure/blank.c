/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body with its coats: what it weighs, whatever was on it when it was weighed. */
#include "lure/items.h"

#include <stdlib.h>

static const double DENSITY_MOST = 25000.0, MASS_MOST = 100.0, THICKNESS_MOST = 0.02;

static bool in_range(double value, double low, double high) {
    return isfinite(value) && value >= low && value <= high;
}

static bool check_facts(const BlyBodyFacts *facts, BlyError *err) {
    if (isnan(facts->mass.value) && !in_range(facts->density.value, 1e-3, DENSITY_MOST))
        return bly_fail(err, BLY_E_RANGE, "/density",
                        "the body's density is not above 0 and below "
                        "25 g/cm3");
    if (!isnan(facts->mass.value) && !in_range(facts->mass.value, 1e-9, MASS_MOST))
        return bly_fail(err, BLY_E_RANGE, "/mass",
                        "the body's mass is not above 0 and below 100 "
                        "kg");
    if ((unsigned)facts->stage >= BLY_STAGES)
        return bly_fail(err, BLY_E_INTERNAL, "/stage", "a stage that does not exist");
    if (!in_range(facts->volume_share.value, 0.1, 10.0))
        return bly_fail(err, BLY_E_RANGE, "/volume_share",
                        "the factor on the volume is not within "
                        "0.1 and 10");
    if (!isnan(facts->soak.value) && !in_range(facts->soak.value, 0.0, 5.0))
        return bly_fail(err, BLY_E_RANGE, "/soak",
                        "the share of water taken up is not within 0 "
                        "and 5");
    return true;
}

static bool check_coats(const BlyCoat *coats, size_t count, double *total, BlyError *err) {
    *total = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (!in_range(coats[i].density.value, 1e-3, DENSITY_MOST))
            return bly_fail(err, BLY_E_RANGE, "/coats",
                            "the density of coat %zu is not above 0 "
                            "and below 25 g/cm3",
                            i + 1);
        if (!in_range(coats[i].thickness.value, 0.0, THICKNESS_MOST))
            return bly_fail(err, BLY_E_RANGE, "/coats", "coat %zu is not 0 to 20 mm thick", i + 1);
        *total += coats[i].thickness.value;
    }
    return true;
}

/* Parallel layers one on the other; the give of thickness counts with the outer surface that it
 * moves, and adds to the density's as squares. */
static void add_coats(BlyBlank *blank, const BlyCoat *coats, size_t count) {
    double from = 0.0;
    for (size_t i = 0; i < count; i++) {
        double thickness = coats[i].thickness.value, density = coats[i].density.value;
        double to = from + thickness;
        if (thickness > 0.0) {
            BlySolid layer = bly_body_layer(blank->bare, from, to);
            double by_density = known_or_zero(coats[i].density.give) * layer.volume;
            double by_thickness =
                known_or_zero(coats[i].thickness.give) / thickness * density * layer.volume;
            BlyItem *item = &blank->items[blank->item_count++];
            *item = (BlyItem){.kind = BLY_ITEM_COAT, .seat = -1, .inset = -1, .at = layer.centroid};
            item->mass = density * layer.volume;
            item->mass_give = hypot(by_density, by_thickness);
            item->from = item->to = item->at;
        }
        from = to;
    }
}

const char *const bly_stage_words[BLY_STAGES] = {"blank", "cut", "eyed", "coated", "complete"};

BlyStage bly_item_stage(const BlyItem *item) {
    if (item->kind == BLY_ITEM_REMOVED)
        return BLY_STAGE_CUT;
    if (item->kind == BLY_ITEM_COAT)
        return BLY_STAGE_COATED;
    if (item->kind == BLY_ITEM_BODY || item->kind == BLY_ITEM_INSET)
        return BLY_STAGE_BLANK;
    if (item->kind == BLY_ITEM_LOAD || !item->part)
        return BLY_STAGES;
    switch (item->part->kind) {
    case BLY_PART_EYE:
    case BLY_PART_SHEET:
    case BLY_PART_OUTLINE:
        return BLY_STAGE_EYED;
    case BLY_PART_STRIP:
    case BLY_PART_DOT:
        return BLY_STAGE_COATED;
    case BLY_PART_RING:
    case BLY_PART_HOOK:
    case BLY_PART_SNAP:
    case BLY_PART_WIRE:
    case BLY_PART_KINDS:
        break;
    }
    return BLY_STAGE_COMPLETE;
}

/* What was on the lure when it was weighed (less what had been taken out of the pieces), and what
 * had been taken out of the body's own material. */
static bool mounted(const BlyBlank *blank, const BlySeat *seats, const BlyRig *fitted,
                    double *mass_on, double *volume_out, BlyError *err) {
    *mass_on = *volume_out = 0.0;
    for (size_t i = 1; i < blank->item_count; i++) { /* all but the body, which is sought */
        if (bly_item_stage(&blank->items[i]) <= blank->facts.stage)
            *mass_on += blank->items[i].mass;
    }
    for (size_t s = 0; fitted && s < fitted->count; s++) {
        BlyItem items[BLY_CHOICE_ITEMS];
        size_t count;
        if (!bly_choice_items(blank, &seats[s], (int)s, &fitted->at[s], items, &count, err))
            return false;
        for (size_t i = 0; i < count; i++) {
            if (bly_item_stage(&items[i]) > blank->facts.stage)
                continue;
            if (items[i].kind == BLY_ITEM_REMOVED && items[i].inset < 0)
                *volume_out += items[i].taken_own;
            else
                *mass_on += items[i].mass;
        }
    }
    return true;
}

/* The pieces together: what they weigh, and what they leave of the body's own material. */
static double all_pieces(const BlyBlank *blank, double *volume) {
    const BlyBodyFacts *facts = &blank->facts;
    double mass = 0.0, share = facts->volume_share.value;
    *volume = share * bly_body_solid(blank->bare)->volume;
    for (size_t i = 0; i < facts->inset_count; i++) {
        mass += bly_inset_mass(&facts->insets[i], share);
        *volume -= bly_inset_taken(&facts->insets[i], share).volume;
    }
    return mass;
}

/* scale = density (volume - taken out) + pieces + mounted, solved for the density. */
static bool weigh(BlyBlank *blank, const BlySeat *seats, const BlyRig *fitted, BlyError *err) {
    double volume, mass_on = 0.0, volume_out = 0.0, pieces = all_pieces(blank, &volume);
    if (!(volume > 0.0))
        return bly_fail(err, BLY_E_RANGE, NULL, "the body has no volume");
    blank->body_density = blank->facts.density.value;
    if (!isnan(blank->facts.mass.value)) {
        if (blank->facts.stage != BLY_STAGE_BLANK &&
            !mounted(blank, seats, fitted, &mass_on, &volume_out, err))
            return false;
        if (!(volume > volume_out))
            return bly_fail(err, BLY_E_CONFLICT, NULL, "slots and shanks take out the whole body");
        blank->body_density = (blank->facts.mass.value - pieces - mass_on) / (volume - volume_out);
    }
    if (!(blank->body_density > 0.0))
        return bly_fail(err, BLY_E_CONFLICT, "/mass",
                        "the scale says %.2f g, but what was %s by then weighs %.2f g",
                        1e3 * blank->facts.mass.value, pieces > 0.0 ? "in and on it" : "mounted",
                        1e3 * (pieces + mass_on));
    if (blank->body_density > DENSITY_MOST)
        return bly_fail(err, BLY_E_RANGE, "/mass", "a body of %.1f g/cm3 is denser than any metal",
                        1e-3 * blank->body_density);
    blank->body_mass = blank->body_density * volume + pieces;
    return true;
}

static BlyItem own_item(BlyItemKind kind, double mass, double give, BlyVec3 at) {
    return (BlyItem){.kind = kind,
                     .seat = -1,
                     .inset = -1,
                     .mass = mass,
                     .mass_give = give,
                     .at = at,
                     .from = at,
                     .to = at};
}

/* Where the body's own material has its middle: the whole body's, less what the pieces take. */
static BlyVec3 less_taken(const BlyBodyFacts *facts, double whole, double left, BlyVec3 middle) {
    BlyVec3 moment = bly_vec_scale(middle, whole);
    for (size_t i = 0; i < facts->inset_count; i++) {
        BlyLump taken = bly_inset_taken(&facts->insets[i], facts->volume_share.value);
        moment = bly_vec_sub(moment, bly_vec_scale(taken.at, taken.volume));
    }
    return facts->inset_count > 0 ? bly_vec_scale(moment, 1.0 / left) : middle;
}

/* The pieces, behind the body. Of a blank that was weighed whole their gives are in the scale's. */
static BlyVec3 add_pieces(BlyBlank *blank) {
    const BlyBodyFacts *facts = &blank->facts;
    BlyVec3 moment = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < facts->inset_count; i++) {
        const BlyInset *inset = &facts->insets[i];
        BlyLump own = bly_inset_own(inset, facts->volume_share.value);
        BlyFigure weighs = bly_inset_weighs(inset, facts->volume_share.value);
        double mass = weighs.value, give = isnan(facts->mass.value) ? weighs.give : 0.0;
        BlyItem *item = &blank->items[blank->item_count++];
        *item = own_item(BLY_ITEM_INSET, mass, give, own.at);
        item->inset = (int)i;
        item->volume = inset->outside.volume;
        item->from = item->to = inset->outside.at;
        moment = bly_vec_add(moment, bly_vec_scale(own.at, mass));
    }
    return moment;
}

/* The bare body, first in the list; the water that it soaks up, last. */
static void add_body(BlyBlank *blank) {
    const BlyBodyFacts *facts = &blank->facts;
    double left, whole = facts->volume_share.value * bly_body_solid(blank->bare)->volume;
    double own = blank->body_mass - all_pieces(blank, &left);
    BlyVec3 filled = bly_body_material(blank->bare)->centroid, pieces = add_pieces(blank);
    BlyVec3 middle = less_taken(facts, whole, left, filled), known = filled;
    if (isfinite(facts->balance.value))
        known.x = bly_body_box(blank->bare).low.x + facts->balance.value;
    if (isfinite(facts->balance_up.value))
        known.z = facts->balance_up.value;
    BlyVec3 at = less_taken(facts, whole, left, known);
    if (facts->balance_of_all && facts->inset_count > 0)
        at.x = (blank->body_mass * known.x - pieces.x) / own;
    if (facts->balance_up_of_all && facts->inset_count > 0)
        at.z = (blank->body_mass * known.z - pieces.z) / own;
    double give = isnan(facts->mass.value)
                      ? known_or_zero(facts->density.give) / blank->body_density * own
                      : known_or_zero(facts->mass.give);
    blank->items[0] = own_item(BLY_ITEM_BODY, own, give, at);
    if (facts->soak.value > 0.0)
        blank->items[blank->item_count++] = own_item(BLY_ITEM_SOAK, facts->soak.value * own,
                                                     known_or_zero(facts->soak.give) * own, middle);
}

double bly_blank_density(const BlyBlank *blank, BlyVec3 point, int *inset) {
    const BlyBodyFacts *facts = &blank->facts;
    *inset = bly_insets_at(facts->insets, facts->inset_count, point);
    if (*inset < 0)
        return blank->body_density;
    const BlyInset *piece = &facts->insets[*inset];
    double volume = bly_inset_own(piece, facts->volume_share.value).volume;
    return bly_inset_mass(piece, facts->volume_share.value) / volume;
}

static bool make_hull(const BlyBody *bare, double total, BlyBody **hull, BlySeenTable **seen,
                      BlyError *err) {
    if (!bly_body_coated(bare, total, hull, err))
        return false;
    *seen = seen_make(*hull, err);
    if (*seen != NULL)
        return true;
    bly_body_free(*hull);
    *hull = NULL;
    return false;
}

/* The hull under `total` of coat, and what is seen of it; those of `like` when it has as much, or
 * has had them made before. */
static bool set_hull(BlyBlank *blank, const BlyBlank *like, double total, BlyError *err) {
    bool akin = like != NULL && like->bare == blank->bare;
    blank->coat_thickness = total;
    blank->hull_borrowed = true;
    if (akin && like->coat_thickness == total) {
        blank->hull = like->hull;
        blank->seen = like->seen;
        return true;
    }
    if (akin && coated_find(like->coated, total, &blank->hull, &blank->seen))
        return true;
    blank->hull_borrowed = false;
    if (!make_hull(blank->bare, total, &blank->hull, &blank->seen, err))
        return false;
    blank->hull_borrowed = akin && coated_keep(like->coated, total, blank->hull, blank->seen);
    blank->coated = akin ? NULL : coated_make(err);
    return akin || blank->coated != NULL;
}

/* The hull's volume and centroid: its own, and what a layer more or less than it was made for adds
 * or takes away. */
static void size_hull(BlyBlank *blank, double coated_for) {
    const BlySolid *bare = bly_body_solid(blank->bare), *hull = bly_body_solid(blank->hull);
    double volume = hull->volume, total = blank->coat_thickness;
    blank->hull_centroid = hull->centroid;
    if (total != coated_for) {
        BlySolid layer =
            bly_body_layer(blank->bare, fmin(total, coated_for), fmax(total, coated_for));
        double more = total > coated_for ? layer.volume : -layer.volume;
        BlyVec3 moment =
            bly_vec_add(bly_vec_scale(hull->centroid, volume), bly_vec_scale(layer.centroid, more));
        volume += more;
        blank->hull_centroid = bly_vec_scale(moment, 1.0 / volume);
    }
    blank->hull_volume = volume + (blank->facts.volume_share.value - 1.0) * bare->volume;
}

static bool fill(BlyBlank *blank, double coated_for, const BlyCoat *coats, size_t coat_count,
                 const BlySeat *seats, const BlyRig *fitted, BlyError *err) {
    blank->items = calloc(coat_count + blank->facts.inset_count + 2, sizeof *blank->items);
    if (!blank->items)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the body's items");
    size_hull(blank, coated_for);
    blank->item_count = 1; /* the body's place */
    blank->items[0] = own_item(BLY_ITEM_BODY, 0.0, 0.0, bly_body_solid(blank->bare)->centroid);
    add_coats(blank, coats, coat_count);
    if (!weigh(blank, seats, fitted, err))
        return false;
    add_body(blank);
    return true;
}

bool bly_blank_like(const BlyBlank *like, const BlyBody *bare, const BlyBodyFacts *facts,
                    const BlyCoat *coats, size_t coat_count, const BlySeat *seats,
                    const BlyRig *fitted, BlyBlank *out, BlyError *err) {
    double total;
    *out = (BlyBlank){.bare = bare, .facts = *facts};
    if (check_facts(facts, err) && check_coats(coats, coat_count, &total, err) &&
        set_hull(out, like, total, err) && fill(out, total, coats, coat_count, seats, fitted, err))
        return true;
    bly_blank_release(out);
    return false;
}

bool bly_blank_about(const BlyBlank *like, const BlyBodyFacts *facts, const BlyCoat *coats,
                     size_t coat_count, const BlySeat *seats, const BlyRig *fitted, BlyBlank *out,
                     BlyError *err) {
    *out = (BlyBlank){.bare = like->bare,
                      .facts = *facts,
                      .hull = like->hull,
                      .seen = like->seen,
                      .hull_borrowed = true};
    if (check_facts(facts, err) && check_coats(coats, coat_count, &out->coat_thickness, err) &&
        fill(out, like->coat_thickness, coats, coat_count, seats, fitted, err))
        return true;
    bly_blank_release(out);
    return false;
}

bool bly_blank_make(const BlyBody *bare, const BlyBodyFacts *facts, const BlyCoat *coats,
                    size_t coat_count, const BlySeat *seats, const BlyRig *fitted, BlyBlank *out,
                    BlyError *err) {
    return bly_blank_like(NULL, bare, facts, coats, coat_count, seats, fitted, out, err);
}

void bly_blank_release(BlyBlank *blank) {
    if (!blank->hull_borrowed) {
        seen_free(blank->seen);
        bly_body_free(blank->hull);
        coated_free(blank->coated);
    }
    free(blank->items);
    *blank = (BlyBlank){0};
}

double bly_blank_swelling(const BlyBlank *blank, double temperature) {
    double alpha = blank->facts.expansion.value;
    return isfinite(alpha) ? 1.0 + 3.0 * alpha * (temperature - blank->facts.reference_t) : 1.0;
}
