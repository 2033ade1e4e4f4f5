/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each piece of a blank takes from the body and from the other pieces.
 *
 * A solid is parted into columns across the lure, and each column into what lies in a layer, in
 * the hollow of another solid, in the body's own material, or out of the body. */
#include "ballastry/inset.h"
#include "lure/items.h"

#include <gsl/gsl_math.h>
#include <stdio.h>

/* Volume and moment under way. */
typedef struct Heap {
    double volume;
    BlyVec3 moment;
} Heap;

static void heap_add(Heap *heap, double volume, BlyVec3 at) {
    heap->volume += volume;
    heap->moment = bly_vec_add(heap->moment, bly_vec_scale(at, volume));
}

static BlyLump lump_of(const Heap *heap, BlyVec3 otherwise) {
    bool some = heap->volume != 0.0;
    return (BlyLump){heap->volume,
                     some ? bly_vec_scale(heap->moment, 1.0 / heap->volume) : otherwise};
}

static Heap heap_of(BlyLump lump) {
    return (Heap){lump.volume, bly_vec_scale(lump.at, lump.volume)};
}

enum { PLACE_MAX = 24 };

static const char *place_of(size_t piece, char out[PLACE_MAX]) {
    (void)snprintf(out, PLACE_MAX, "/%zu", piece);
    return out;
}

/* ---- layers ---- */

static bool in_range(const double range[2], double value) {
    return value >= range[0] && value < range[1];
}

static bool zone_holds(const BlyZone *zone, BlyVec3 p) {
    return in_range(zone->x, p.x) && in_range(zone->z, p.z) && in_range(zone->off, fabs(p.y));
}

static bool meet(const double a[2], const double b[2], double both[2]) {
    both[0] = GSL_MAX_DBL(a[0], b[0]);
    both[1] = GSL_MIN_DBL(a[1], b[1]);
    return both[1] > both[0];
}

static bool place_layer(const BlyBody *body, BlyInset *insets, size_t at, BlyError *err) {
    BlySolid solid;
    BlyInset *layer = &insets[at];
    const double nothing = 1e-6 * bly_body_solid(body)->volume;
    char place[PLACE_MAX];
    if (!bly_body_is_solid(body))
        return bly_fail(err, BLY_E_CONFLICT, place_of(at, place),
                        "parts a body of solid material; this one has hollows or infill, in which "
                        "a ball, disc, rod or box may lie");
    if (!bly_body_zone(body, &layer->zone, &solid, err))
        return false;
    if (!(solid.volume > nothing))
        return bly_fail(err, BLY_E_RANGE, place_of(at, place), "holds nothing of the body");
    layer->gross = layer->own = layer->taken = (BlyLump){solid.volume, solid.centroid};
    layer->outside = (BlyLump){0.0, solid.centroid};
    for (size_t i = 0; i < at; i++) {
        BlyZone both;
        const BlyZone *a = &layer->zone, *b = &insets[i].zone;
        if (!insets[i].is_layer || !meet(a->x, b->x, both.x) || !meet(a->z, b->z, both.z) ||
            !meet(a->off, b->off, both.off))
            continue;
        if (!bly_body_zone(body, &both, &solid, err))
            return false;
        if (solid.volume > nothing)
            return bly_fail(err, BLY_E_CONFLICT, place_of(at, place),
                            "overlaps \"%s\"; end one of them where the other begins",
                            insets[i].name);
    }
    return true;
}

/* ---- solids ---- */

typedef struct Placing {
    const BlyBody *body;
    BlyInset *insets;
    size_t count, at;
    const BlyForm *form;                         /* the copy under way */
    Heap taken, outside, common[BLY_INSETS_MAX]; /* common: with a solid; from a layer */
    double farthest;                             /* m that it stands out */
    BlyVec3 where;
} Placing;

/* Part of low..high that lies within from..to. */
static double overlap(double low, double high, double from, double to) {
    return GSL_MAX_DBL(GSL_MIN_DBL(high, to) - GSL_MAX_DBL(low, from), 0.0);
}

enum { FILL_STEPS = 64 };

/* Gives a stretch of a column to the body's own material, as that fills it there. */
static void take_own(Placing *p, double x, double z, double low, double high, double volume) {
    if (bly_body_is_solid(p->body))
        heap_add(&p->taken, volume, bly_vec(x, 0.5 * (low + high), z));
    for (int i = 0; i < FILL_STEPS && !bly_body_is_solid(p->body); i++) {
        BlyVec3 at = bly_vec(x, low + (high - low) * (i + 0.5) / FILL_STEPS, z);
        heap_add(&p->taken, volume / FILL_STEPS * filling_at(p->body, at), at);
    }
}

/* Gives a stretch of a column to the layer that it lies in, or to the body. */
static void share_out(Placing *p, double x, double z, double low, double high, double ground) {
    double left = high - low;
    if (!(left > 0.0))
        return;
    for (size_t i = 0; i < p->count; i++) {
        const BlyZone *zone = &p->insets[i].zone;
        if (!p->insets[i].is_layer || !in_range(zone->x, x) || !in_range(zone->z, z))
            continue;
        const double sides[2][2] = {{-zone->off[1], -zone->off[0]}, {zone->off[0], zone->off[1]}};
        for (int s = 0; s < 2; s++) {
            double from = GSL_MAX_DBL(low, sides[s][0]), to = GSL_MIN_DBL(high, sides[s][1]);
            if (!(to > from))
                continue;
            heap_add(&p->common[i], ground * (to - from), bly_vec(x, 0.5 * (from + to), z));
            left -= to - from;
        }
    }
    if (left > 1e-12 * (high - low))
        take_own(p, x, z, low, high, ground * left);
}

/* A stretch across the lure; empty when high <= low. */
typedef struct Stretch {
    double low, high;
} Stretch;

static Stretch column(const BlyForm *form, bool hollow, double x, double z) {
    Stretch s;
    if (bly_form_column(form, hollow, x, z, &s.low, &s.high))
        return s;
    return (Stretch){0.0, 0.0};
}

static double both(Stretch a, Stretch b) {
    return overlap(a.low, a.high, b.low, b.high);
}

/* What two walls have in common: the hollows are nobody's. */
static void count_common(Placing *p, size_t other, const BlyForm *form, double x, double z,
                         double ground) {
    Stretch own = column(p->form, false, x, z), own_hollow = column(p->form, true, x, z);
    Stretch its = column(form, false, x, z), its_hollow = column(form, true, x, z);
    double common = both(own, its) - both(own, its_hollow) - both(own_hollow, its) +
                    both(own_hollow, its_hollow);
    heap_add(&p->common[other], ground * common, bly_vec(x, 0.0, z));
}

static void count_outside(Placing *p, double x, double z, Stretch own, double half, double ground) {
    double out = own.high - own.low - overlap(own.low, own.high, -half, half);
    double far = GSL_MAX_DBL(own.high - half, -half - own.low);
    if (!(out > 0.0))
        return;
    heap_add(&p->outside, ground * out, bly_vec(x, 0.5 * (own.low + own.high), z));
    if (far > p->farthest) {
        p->farthest = far;
        p->where = bly_vec(x, 0.0, z);
    }
}

/* One column of the solid. What lies in the hollow of another takes nothing from anybody. */
static void visit(double x, double z, double low, double high, double ground, void *user) {
    Placing *p = user;
    double half = bly_body_half_width(p->body, x, z);
    double from = GSL_MAX_DBL(low, -half), to = GSL_MIN_DBL(high, half);
    Stretch own = {low, high}, hollow = {to, to};
    count_outside(p, x, z, own, half, ground);
    for (size_t i = 0; i < p->count; i++) {
        const BlyInset *other = &p->insets[i];
        for (size_t f = 0; i != p->at && !other->is_layer && f < other->form_count; f++) {
            Stretch inner = column(&other->form[f], true, x, z);
            if (i < p->at)
                count_common(p, i, &other->form[f], x, z, ground);
            if (both(own, inner) > 0.0)
                hollow = (Stretch){GSL_MAX_DBL(inner.low, from), GSL_MIN_DBL(inner.high, to)};
        }
    }
    share_out(p, x, z, from, hollow.low, ground);
    share_out(p, x, z, hollow.high, to, ground);
}

static int add_break(double *at, int count, double from, double to, double plane) {
    double s = (plane - from) / (to - from);
    if (s > 1e-9 && s < 1.0 - 1e-9)
        at[count++] = s;
    return count;
}

/* A rod goes in stretches from joint to joint, so that each lies wholly on one side. */
static bool visit_rod(Placing *p, const BlyForm *rod, BlyError *err) {
    double at[4 * BLY_INSETS_MAX + 2];
    int count = 0;
    for (size_t i = 0; i < p->count && rod->from.y == rod->to.y; i++) {
        for (int end = 0; end < 2 && p->insets[i].is_layer; end++) {
            count = add_break(at, count, rod->from.x, rod->to.x, p->insets[i].zone.x[end]);
            count = add_break(at, count, rod->from.z, rod->to.z, p->insets[i].zone.z[end]);
        }
    }
    for (double from = 0.0; from < 1.0;) {
        double to = 1.0;
        for (int i = 0; i < count; i++)
            to = at[i] > from && at[i] < to ? at[i] : to;
        BlyVec3 along = bly_vec_sub(rod->to, rod->from);
        BlyForm stretch = *rod;
        stretch.from = bly_vec_add(rod->from, bly_vec_scale(along, from));
        stretch.to = bly_vec_add(rod->from, bly_vec_scale(along, to));
        if (!bly_form_columns(&stretch, visit, p, err))
            return false;
        from = to;
    }
    return true;
}

static bool check_outside(const Placing *p, double volume, BlyError *err) {
    const BlyInset *inset = &p->insets[p->at];
    double most = inset->stands_out ? BLY_INSET_OUT_MOST : BLY_INSET_OUT_SLIGHT;
    if (!(p->outside.volume > most * volume))
        return true;
    char place[PLACE_MAX];
    return bly_fail(err, BLY_E_RANGE, place_of(p->at, place),
                    "%.0f %% of it stands out of the body, most at x %.1f mm, z %.1f mm; expected "
                    "at most %.0f %%",
                    100.0 * p->outside.volume / volume, 1e3 * p->where.x, 1e3 * p->where.z,
                    100.0 * most);
}

static double whole_volume(const BlyInset *inset) {
    double sum = 0.0;
    for (size_t f = 0; f < inset->form_count; f++)
        sum += bly_form_volume(&inset->form[f]);
    return sum;
}

static bool check_common(const Placing *p, double volume, BlyError *err) {
    char place[PLACE_MAX];
    for (size_t i = 0; i < p->count; i++) {
        double smaller = GSL_MIN_DBL(volume, whole_volume(&p->insets[i]));
        if (!p->insets[i].is_layer && p->common[i].volume > BLY_INSET_COMMON * smaller)
            return bly_fail(err, BLY_E_CONFLICT, place_of(p->at, place),
                            "lies where \"%s\" already is", p->insets[i].name);
    }
    return true;
}

static bool place_solid(Placing *p, BlyError *err) {
    BlyInset *inset = &p->insets[p->at];
    Heap own = {0};
    for (size_t f = 0; f < inset->form_count; f++) {
        const BlyForm *form = &inset->form[f];
        heap_add(&own, bly_form_volume(form) - bly_form_hollow(form), bly_form_centre(form));
        p->form = form;
        if (!(form->kind == BLY_FORM_ROD ? visit_rod(p, form, err)
                                         : bly_form_columns(form, visit, p, err)))
            return false;
    }
    double volume = whole_volume(inset);
    if (!check_outside(p, volume, err) || !check_common(p, volume, err))
        return false;
    inset->own = lump_of(&own, bly_form_centre(&inset->form[0]));
    inset->taken = lump_of(&p->taken, inset->own.at);
    inset->outside = lump_of(&p->outside, inset->own.at);
    inset->gross = (BlyLump){0.0, inset->own.at};
    for (size_t i = 0; i < p->count; i++) { /* out of the layers */
        Heap layer = heap_of(p->insets[i].own);
        if (!p->insets[i].is_layer)
            continue;
        heap_add(&layer, -p->common[i].volume, lump_of(&p->common[i], p->insets[i].own.at).at);
        p->insets[i].own = lump_of(&layer, p->insets[i].own.at);
    }
    return true;
}

bool bly_insets_place(const BlyBody *body, BlyInset *insets, size_t count, BlyError *err) {
    double left = bly_body_solid(body)->volume;
    char place[PLACE_MAX];
    if (count > BLY_INSETS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "%zu pieces; at most %d", count, BLY_INSETS_MAX);
    for (size_t i = 0; i < count; i++) {
        if (insets[i].is_layer && !place_layer(body, insets, i, err))
            return false;
    }
    for (size_t i = 0; i < count; i++) {
        Placing placing = {.body = body, .insets = insets, .count = count, .at = i};
        if (!insets[i].is_layer && !place_solid(&placing, err))
            return false;
    }
    for (size_t i = 0; i < count; i++) {
        left -= insets[i].taken.volume;
        if (insets[i].is_layer && !(insets[i].own.volume > 0.0))
            return bly_fail(err, BLY_E_CONFLICT, place_of(i, place),
                            "the others leave nothing of it");
    }
    if (!(left > 1e-6 * bly_body_solid(body)->volume))
        return bly_fail(err, BLY_E_CONFLICT, NULL,
                        "the pieces fill the whole body; leave one of them out, as the body's own "
                        "material");
    return true;
}

/* ---- as they weigh ---- */

/* More or less of a layer, as the body is larger or smaller than its shape. */
static BlyLump grown(BlyLump lump, const BlyInset *inset, double share) {
    Heap heap = heap_of(lump);
    heap_add(&heap, (share - 1.0) * inset->gross.volume, inset->gross.at);
    return lump_of(&heap, lump.at);
}

BlyLump bly_inset_own(const BlyInset *inset, double share) {
    return grown(inset->own, inset, share);
}

BlyLump bly_inset_taken(const BlyInset *inset, double share) {
    return grown(inset->taken, inset, share);
}

double bly_inset_inside(const BlyInset *inset) {
    return inset->is_layer ? inset->own.volume : whole_volume(inset) - inset->outside.volume;
}

double bly_inset_mass(const BlyInset *inset, double share) {
    return isnan(inset->mass.value) ? inset->density.value * bly_inset_own(inset, share).volume
                                    : inset->mass.value;
}

BlyFigure bly_inset_weighs(const BlyInset *inset, double share) {
    bool weighed = !isnan(inset->mass.value);
    double give =
        weighed ? inset->mass.give : inset->density.give * bly_inset_own(inset, share).volume;
    return (BlyFigure){bly_inset_mass(inset, share), give};
}

int bly_insets_at(const BlyInset *insets, size_t count, BlyVec3 point) {
    int layer = -1;
    for (size_t i = 0; i < count; i++) {
        if (insets[i].is_layer && zone_holds(&insets[i].zone, point))
            layer = (int)i;
        for (size_t f = 0; f < insets[i].form_count; f++) {
            if (bly_form_holds(&insets[i].form[f], point))
                return (int)i;
        }
    }
    return layer;
}
