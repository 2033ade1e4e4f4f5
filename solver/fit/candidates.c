/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of candidates: adding, costing and thinning. What a seat allows is in seat_*.c. */
#include "fit/problem.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Costs in half-bands: small against a miss (1 is the band's edge), large enough to decide inside
 * the dead zone. Our choice; docs/fit.md. */
static const double cost_change = FIT_CHANGE_COST, cost_piece = 0.02, cost_patch = 0.08,
                    cost_price = 0.05;

void candidates_release(CandidateSet *set) {
    if (!set->borrowed)
        free(set->at);
    memset(set, 0, sizeof *set);
}

Lump lump_of_items(const BlyItem *items, size_t count) {
    Lump sum = {0};
    moments_add(&sum, items, count, moments_grams);
    return sum;
}

size_t seat_places(const BlySeat *seat) {
    if (!(seat->x_to > seat->x_from) || !(seat->step > 0))
        return 1;
    return (size_t)floor((seat->x_to - seat->x_from) / seat->step + 1e-6) + 1;
}

double seat_place(const BlySeat *seat, size_t index) {
    return round((seat->x_from + (double)index * seat->step) * 1e9) / 1e9; /* 28 mm, not 27.99999 */
}

static bool same_choice(const BlyChoice *a, const BlyChoice *b) {
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        if (a->of[kind].part != b->of[kind].part)
            return false;
    }
    bool lip = a->of[BLY_PART_SHEET].part != NULL;
    bool cut = lip || a->of[BLY_PART_STRIP].part != NULL;
    bool counted = a->of[BLY_PART_WIRE].part != NULL || a->of[BLY_PART_DOT].part != NULL ||
                   a->of[BLY_PART_STRIP].part != NULL;
    bool filed_alike = !lip || (isnan(a->thickness) && isnan(b->thickness)) ||
                       fabs(a->thickness - b->thickness) < 1e-6;
    return filed_alike && fabs(a->filed - b->filed) < 1e-6 &&
           (!cut || fabs(a->length - b->length) < 1e-6) && (!counted || a->count == b->count) &&
           fabs(a->x - b->x) < 1e-6;
}

static int choice_pieces(const BlyChoice *choice) {
    int pieces = 0;
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        if (choice->of[kind].part == NULL || kind == BLY_PART_OUTLINE)
            continue;
        bool counted = kind == BLY_PART_DOT || kind == BLY_PART_STRIP;
        pieces += counted ? (choice->count > 1 ? choice->count : 1) : 1;
    }
    return pieces;
}

/* What has to be bought: parts that are fitted already, or lie in the box, cost nothing. */
static double choice_price(const BlyChoice *choice, const BlyChoice *fitted) {
    double sum = 0;
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        const BlyPart *part = choice->of[kind].part;
        if (part == NULL || kind == BLY_PART_OUTLINE || part == fitted->of[kind].part ||
            part->in_box > 0)
            continue;
        double amount = 1;
        if (kind == BLY_PART_SHEET)
            amount = bly_outline_area(choice->of[BLY_PART_OUTLINE].part, choice->length);
        else if (kind == BLY_PART_STRIP)
            amount = choice->length * part->width * choice->count;
        else if (kind == BLY_PART_DOT)
            amount = choice->count;
        else if (kind == BLY_PART_WIRE) /* by the metre; a turn is about 10 mm: small change */
            amount = 0.01 * choice->count;
        sum += part->price * amount;
    }
    return sum;
}

static uint64_t mix(uint64_t hash, const void *bytes, size_t size) {
    const unsigned char *p = bytes;
    for (size_t i = 0; i < size; i++)
        hash = (hash ^ p[i]) * UINT64_C(1099511628211); /* FNV-1a, public domain */
    return hash;
}

/* A maker calls two rigs different when the hook, the lip or the surface metal differs; eyes,
 * rings, turns of wire and lengths are trimming. */
static uint64_t choice_look(const BlyChoice *choice) {
    static const BlyPartKind seen[] = {BLY_PART_HOOK, BLY_PART_SHEET, BLY_PART_OUTLINE,
                                       BLY_PART_STRIP, BLY_PART_DOT};
    uint64_t hash = UINT64_C(14695981039346656037);
    for (size_t i = 0; i < sizeof seen / sizeof seen[0]; i++) {
        const BlyPart *part = choice->of[seen[i]].part;
        if (part != NULL)
            hash = mix(hash, part->id, strlen(part->id) + 1);
    }
    return hash;
}

/* What is in the box comes first, and of that what was weighed. */
static double box_cost(const BlyChoice *choice, const BlyChoice *fitted) {
    double sum = 0;
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        const BlyPart *part = choice->of[kind].part;
        if (part == NULL || kind == BLY_PART_OUTLINE || part == fitted->of[kind].part)
            continue;
        bool cut = kind == BLY_PART_SHEET || kind == BLY_PART_STRIP;
        if (!(part->in_box > 0))
            sum += FIT_BUY_COST;
        else if (!cut && part->origin != BLY_FROM_MEASURED)
            sum += FIT_UNWEIGHED_COST;
    }
    return sum;
}

static void choice_costs(Candidate *c, const BlyChoice *fitted, bool boxed) {
    c->pieces = choice_pieces(&c->choice);
    c->price = choice_price(&c->choice, fitted);
    c->changed = !same_choice(&c->choice, fitted);
    c->visible = choice_look(&c->choice);
    bool patch =
        c->choice.of[BLY_PART_STRIP].part != NULL || c->choice.of[BLY_PART_DOT].part != NULL;
    bool wrapped = c->choice.of[BLY_PART_WIRE].part != NULL;
    c->cost = (c->changed && !bly_choice_is_empty(fitted) ? cost_change : 0) +
              cost_piece * c->pieces + (patch ? cost_patch : 0) +
              (wrapped ? cost_piece * c->choice.count * 0.25 : 0) +
              (isfinite(c->price) ? cost_price * c->price : 0) +
              (boxed ? box_cost(&c->choice, fitted) : 0);
}

static bool set_grow(CandidateSet *set, BlyError *err) {
    if (set->count < set->room)
        return true;
    size_t room = set->room == 0 ? 256 : 2 * set->room;
    Candidate *at = realloc(set->at, room * sizeof *at);
    if (at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu candidates", room);
    set->at = at;
    set->room = room;
    return true;
}

bool candidates_add(CandidateSet *set, const BlyBuild *build, const BlyChoice *choice,
                    const Lump *lump, BlyError *err) {
    if (!set_grow(set, err))
        return false;
    Candidate *c = &set->at[set->count];
    memset(c, 0, sizeof *c);
    c->choice = *choice;
    if (lump != NULL) {
        c->lump = *lump;
    } else {
        BlyItem items[BLY_CHOICE_ITEMS];
        size_t count;
        if (!bly_choice_items(&build->blank, &build->seats[set->seat], set->seat, choice, items,
                              &count, err))
            return false;
        c->lump = lump_of_items(items, count);
    }
    choice_costs(c, &build->fitted.at[set->seat], set->boxed);
    c->cost += set->craft != NULL ? craft_unusual(set->craft, choice, set->open) : 0;
    if (set->box != NULL)
        c->taken = box_key(set->box, &c->choice, &build->fitted.at[set->seat]);
    set->count++;
    return true;
}

/* ---- thinning ---- */

typedef struct Bucket {
    int64_t weight, x, z, filing;
    uint64_t taken, line;
    size_t first; /* place in the set, so that ties keep the order of generation */
} Bucket;

typedef struct Ranked {
    Bucket key;
    double cost;
} Ranked;

static int bucket_order(const void *pa, const void *pb) {
    const Ranked *a = pa, *b = pb;
    const int64_t ka[] = {a->key.weight, a->key.x, a->key.z, a->key.filing};
    const int64_t kb[] = {b->key.weight, b->key.x, b->key.z, b->key.filing};
    for (size_t i = 0; i < 4; i++) {
        if (ka[i] != kb[i])
            return ka[i] < kb[i] ? -1 : 1;
    }
    if (a->key.taken != b->key.taken)
        return a->key.taken < b->key.taken ? -1 : 1;
    if (a->key.line != b->key.line)
        return a->key.line < b->key.line ? -1 : 1;
    if (a->cost < b->cost || a->cost > b->cost)
        return a->cost < b->cost ? -1 : 1;
    return a->key.first < b->key.first ? -1 : a->key.first > b->key.first;
}

static bool same_bucket(const Bucket *a, const Bucket *b) {
    return a->weight == b->weight && a->x == b->x && a->z == b->z && a->filing == b->filing &&
           a->taken == b->taken && a->line == b->line;
}

/* Outline and, to two millimetres, how far it stands out (FNV-1a). */
static uint64_t line_key(const BlyChoice *choice) {
    uint64_t hash = 1469598103934665603u;
    const BlyPart *outline = choice->of[BLY_PART_OUTLINE].part;
    for (const char *c = outline != NULL ? outline->id : ""; *c != '\0'; c++)
        hash = (hash ^ (unsigned char)*c) * 1099511628211u;
    uint64_t steps = isfinite(choice->length) ? (uint64_t)llround(choice->length * 500) : 0;
    return (hash ^ steps) * 1099511628211u;
}

/* Weight in fresh water and where it acts; a millimetre of place and two of height are less than
 * a maker can work to. */
static Ranked candidate_rank(const Candidate *c, size_t index, double grain, bool by_line) {
    double w = c->lump.m - c->lump.v;
    double lever = fabs(w) > 1e-9 ? 1 / w : 0;
    Ranked r;
    r.key.weight = llround(w / grain);
    r.key.x = llround((c->lump.mx - c->lump.vx) * lever);
    r.key.z = llround((c->lump.mz - c->lump.vz) * lever / 2);
    r.key.filing = llround(c->filing * 20);
    r.key.taken = c->taken;
    r.key.line = by_line ? line_key(&c->choice) : 0;
    r.key.first = index;
    r.cost = c->cost;
    return r;
}

static int by_place(const void *pa, const void *pb) {
    const Ranked *a = pa, *b = pb;
    return a->key.first < b->key.first ? -1 : a->key.first > b->key.first;
}

bool candidates_thin(CandidateSet *set, size_t keep, double grain, BlyError *err) {
    if (set->count <= keep)
        return true;
    Ranked *rank = malloc(set->count * sizeof *rank);
    if (rank == NULL) /* keeping them all would be another list, and so perhaps another answer */
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory to thin %zu candidates", set->count);
    for (size_t i = 0; i < set->count; i++)
        rank[i] = candidate_rank(&set->at[i], i, grain, set->by_line);
    qsort(rank, set->count, sizeof *rank, bucket_order);
    size_t left = 0;
    for (size_t i = 0; i < set->count; i++) {
        if (i == 0 || !same_bucket(&rank[i].key, &rank[left - 1].key))
            rank[left++] = rank[i];
    }
    qsort(rank, left, sizeof *rank, by_place);
    for (size_t i = 0; i < left; i++)
        set->at[i] = set->at[rank[i].key.first];
    set->count = left;
    free(rank);
    return true;
}

bool candidates_thin_early(CandidateSet *set, size_t keep, double grain, BlyError *err) {
    enum { AT_ONCE = 20000 };
    if (set->count <= (set->thin_at > AT_ONCE ? set->thin_at : AT_ONCE))
        return true;
    if (!candidates_thin(set, keep, grain, err))
        return false;
    set->thin_at = 2 * set->count;
    return true;
}

/* ---- the craft between seats ---- */

unsigned candidates_break(const Craft *craft, int seat_a, unsigned open_a, const BlyChoice *a,
                          int seat_b, unsigned open_b, const BlyChoice *b) {
    unsigned open = open_a | open_b, speaks = 0;
    if (craft == NULL || craft->rules == NULL)
        return 0;
    if (open & (1u << BLY_PART_EYE))
        speaks |= 1u << BLY_RULE_EYE_ALIKE;
    if (open & (1u << BLY_PART_HOOK))
        speaks |= 1u << BLY_RULE_HOOK_STYLE | 1u << BLY_RULE_HOOK_ORDER | 1u << BLY_RULE_HOOK_ALIKE;
    if (open & (1u << BLY_PART_RING))
        speaks |= 1u << BLY_RULE_RING_ALIKE;
    if (open & (1u << BLY_PART_RING | 1u << BLY_PART_HOOK))
        speaks |= 1u << BLY_RULE_RING_SIZE;
    return (speaks & craft->live) != 0 ? speaks & craft_pair(craft, seat_a, a, seat_b, b) : 0;
}

static bool goes_with(const CandidateSet *set, const BlyChoice *choice, int fixed_seat,
                      const BlyChoice *fixed) {
    return candidates_break(set->craft, set->seat, set->open, choice, fixed_seat, 0, fixed) == 0;
}

void candidates_beside(CandidateSet *set, int fixed_seat, const BlyChoice *fixed) {
    size_t left = 0, good = 0;
    for (size_t i = 0; i < set->count; i++)
        good += goes_with(set, &set->at[i].choice, fixed_seat, fixed);
    for (size_t i = 0; good > 0 && i < set->count; i++) {
        if (goes_with(set, &set->at[i].choice, fixed_seat, fixed))
            set->at[left++] = set->at[i];
    }
    set->count = good > 0 ? left : set->count;
}

bool candidates_go_on(const CandidateSet *set) {
    return set->options == NULL || !fit_over(set->options, set->deadline);
}

bool candidates_of_seat(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                        CandidateSet *out, BlyError *err) {
    const BlySeat *s = &build->seats[seat];
    out->seat = seat;
    out->open = open;
    out->count = 0;
    out->thin_at = 0;
    out->boxed = bly_catalog_has_box(catalog);
    out->by_line = build->has_tow_wish && s->kind == BLY_SEAT_SLOT;
    bool good;
    if (s->kind == BLY_SEAT_SLOT)
        good = slot_candidates(build, catalog, seat, open, out, err);
    else if (s->kind == BLY_SEAT_PATCH)
        good = patch_candidates(build, catalog, seat, open, out, err);
    else
        good = hanger_candidates(build, catalog, seat, open, out, err);
    if (good && out->count == 0 && !candidates_go_on(out)) /* ended: as it is, so that it has one */
        good = candidates_add(out, build, &build->fitted.at[seat], NULL, err);
    if (good && out->count == 0) {
        char where[BLY_WHERE_MAX], why[200];
        (void)snprintf(where, sizeof where, "/seats/%s", s->name);
        seat_unfillable(build, catalog, seat, why, sizeof why);
        good = bly_fail(err, BLY_E_CONFLICT, where, "%s", why);
    }
    return good;
}
