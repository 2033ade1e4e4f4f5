/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which trims a finished lure leaves open, with what each adds. */
#include "ballastry/rules.h"
#include "trim/reserve.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

enum { DOTS_MOST = 12, TURNS_MOST = 12, FINE_MOST = 4, PLACES = 5, HOOK_PARTS = 20 };
static const double strip_step = 1e-3, lip_outside = 5e-3; /* m; a lip keeps that much outside */

/* What the seat adds with `to` in place of what is there; false where that cannot be. */
static bool difference(const TrimTask *task, size_t s, const BlyChoice *to, Moments *add) {
    const BlySeat *seat = &task->build->seats[s];
    const BlyBlank *blank = &task->build->blank;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    *add = (Moments){0};
    if (!bly_choice_fits(seat, to, NULL) ||
        !bly_choice_items(blank, seat, (int)s, to, items, &count, NULL))
        return false;
    moments_add(add, items, count, moments_si);
    if (!bly_choice_items(blank, seat, (int)s, &task->rig->at[s], items, &count, NULL))
        return false;
    moments_add(add, items, count, (MomentUnits){-1, -1, 1});
    return true;
}

/* By its own give, of wire by its length; or by the scale, where that tells more. */
static double known_share(const TrimGroup *group, double share, double mass) {
    mass = fabs(mass);
    if (!(mass > 0.0))
        return share;
    double own =
        group->kind == BLY_TRIM_TURNS ? bly_wire_cut_give(group->part, mass) : share * mass;
    return fmin(own, BLY_SCALE_GIVE) / mass;
}

static bool add_option(const TrimTask *task, const BlyChoice *to, int steps, TrimGroup *group) {
    if (group->count == TRIM_OPTIONS_MAX)
        return false;
    TrimOption *option = &group->option[group->count];
    *option = (TrimOption){.steps = steps};
    if (!difference(task, (size_t)group->seat, to, &option->add))
        return false;
    option->things = 1;
    option->x = to->x;
    option->give_share = known_share(group, group->give_share, option->add.m);
    group->count++;
    return true;
}

static TrimGroup *begin(TrimList *list, BlyTrimKind kind, size_t seat, const BlyPart *part) {
    if (list->count == TRIM_GROUPS_MAX)
        return NULL;
    TrimGroup *group = &list->group[list->count];
    *group = (TrimGroup){.kind = kind, .seat = (int)seat, .part = part};
    double share = part ? bly_part_give_share(part) : 0.0;
    group->give_share = isfinite(share) ? share : 0.0;
    return group;
}

/* An empty group is not kept. */
static void end(TrimList *list, const TrimGroup *group) {
    if (group && group->count > 0)
        list->count++;
}

static bool is_open(const TrimTask *task, size_t s, BlyTrimKind kind, BlyPartKind part) {
    if (task->options->kinds != 0 && !(task->options->kinds & 1u << kind))
        return false;
    const BlyBuild *build = task->build;
    bool open = !task->options->only_open || (build->seats[s].open & 1u << part) != 0;
    return open && (bly_seat_mendable(&build->seats[s], &task->rig->at[s], build->coat_count > 0) &
                    1u << part) != 0;
}

/* ---- which dot, which wire ---- */

/* A part that weight is added with: kg a step, kg that it reaches, and kg that it can be set to. */
typedef struct Means {
    const BlyPart *part;
    double step, reach, grain;
} Means;

/* The smallest step that reaches what is needed; if none does, what reaches farthest. */
static bool is_coarser_choice(const TrimTask *task, const Means *a, const Means *best) {
    bool reaches = a->reach >= task->need;
    if (!best->part || reaches != (best->reach >= task->need))
        return !best->part || reaches;
    return reaches ? a->step < best->step : a->reach > best->reach;
}

/* The coarsest that can be set to within half the band; if there is none, the finest. */
static bool is_finer_choice(const TrimTask *task, const Means *a, const Means *best) {
    bool fine = a->grain <= task->half;
    if (!best->part || fine != (best->grain <= task->half))
        return !best->part || fine;
    return fine ? a->grain > best->grain : a->grain < best->grain;
}

/* What a part would do at a seat; step 0 where it cannot. */
typedef Means (*MeansOf)(const TrimTask *task, size_t seat, const BlyPart *part);

/* fine->part is NULL where coarse is fine enough; both are where nothing can be used. */
static bool choose(const TrimTask *task, size_t seat, BlyPartKind kind, MeansOf means,
                   Means *coarse, Means *fine, BlyError *err) {
    const BlyPart **parts;
    size_t count;
    *coarse = *fine = (Means){0};
    if (!bly_limits_parts(&task->build->limits, task->catalog, kind, &parts, &count, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        Means now = means(task, seat, parts[i]);
        if (!(now.step > 0.0))
            continue;
        if (is_coarser_choice(task, &now, coarse))
            *coarse = now;
        if (is_finer_choice(task, &now, fine))
            *fine = now;
    }
    if (!(coarse->grain > task->half) || !(fine->grain < 0.7 * coarse->grain))
        *fine = (Means){0};
    free(parts);
    return true;
}

/* ---- dots ---- */

static BlyChoice with_dots(const BlyChoice *from, const BlyPart *dot, double x, int count) {
    BlyChoice choice = *from;
    choice.of[BLY_PART_DOT].part = count > 0 ? dot : NULL;
    choice.of[BLY_PART_DOT].weighed.value = NAN;
    choice.count = count;
    choice.x = x;
    return choice;
}

static Means dot_means(const TrimTask *task, size_t s, const BlyPart *dot) {
    const BlySeat *seat = &task->build->seats[s];
    double middle = 0.5 * (seat->x_from + seat->x_to);
    Moments add;
    BlyChoice one = with_dots(&task->rig->at[s], dot, middle, 1);
    bool good = difference(task, s, &one, &add);
    double step = good ? moments_weight(&add, task->density).net : 0.0;
    return (Means){dot, step, DOTS_MOST * step, step};
}

/* Dots that are there already may be more or fewer, where they are. */
static void more_dots(const TrimTask *task, size_t s, TrimList *list) {
    const BlyChoice *now = &task->rig->at[s];
    TrimGroup *group = begin(list, BLY_TRIM_DOTS, s, now->of[BLY_PART_DOT].part);
    for (int count = 0; group && count <= now->count + DOTS_MOST; count++) {
        if (count == now->count)
            continue;
        BlyChoice choice = with_dots(now, now->of[BLY_PART_DOT].part, now->x, count);
        (void)add_option(task, &choice, count - now->count, group);
    }
    end(list, group);
}

/* On an empty patch at one of five places over its reach. */
static void new_dots(const TrimTask *task, size_t s, const BlyPart *dot, int most, TrimList *list) {
    const BlySeat *seat = &task->build->seats[s];
    TrimGroup *group = begin(list, BLY_TRIM_DOTS, s, dot);
    double half = 0.5 * dot->outer, from = seat->x_from + half, to = seat->x_to - half;
    int places = to - from > 2e-3 ? PLACES : 1;
    for (int p = 0; group && p < places; p++) {
        double x = places > 1 ? from + (to - from) * p / (places - 1) : 0.5 * (from + to);
        for (int count = 1; count <= most; count++) {
            BlyChoice choice = with_dots(&task->rig->at[s], dot, x, count);
            (void)add_option(task, &choice, count, group);
        }
    }
    end(list, group);
}

static bool patch_trims(const TrimTask *task, size_t s, TrimList *list, BlyError *err) {
    const BlyChoice *now = &task->rig->at[s];
    const BlyPart *strip = now->of[BLY_PART_STRIP].part, *dot = now->of[BLY_PART_DOT].part;
    if (strip && is_open(task, s, BLY_TRIM_STRIP, BLY_PART_STRIP)) {
        TrimGroup *group = begin(list, BLY_TRIM_STRIP, s, strip);
        int most = (int)floor(now->length / strip_step) - 2;
        for (int step = 1; group && step <= most; step++) {
            BlyChoice choice = *now;
            choice.length -= step * strip_step;
            choice.of[BLY_PART_STRIP].weighed.value *= choice.length / now->length;
            (void)add_option(task, &choice, -step, group);
        }
        end(list, group);
    }
    if (strip || !is_open(task, s, BLY_TRIM_DOTS, BLY_PART_DOT))
        return true;
    if (dot) {
        more_dots(task, s, list);
        return true;
    }
    Means coarse, fine;
    if (!choose(task, s, BLY_PART_DOT, dot_means, &coarse, &fine, err))
        return false;
    if (coarse.part)
        new_dots(task, s, coarse.part, DOTS_MOST, list);
    if (fine.part)
        new_dots(task, s, fine.part, FINE_MOST, list);
    return true;
}

/* ---- hangers ---- */

static BlyChoice with_turns(const BlyChoice *from, const BlyPart *wire, int turns) {
    BlyChoice choice = *from;
    choice.of[BLY_PART_WIRE].part = turns > 0 ? wire : NULL;
    choice.of[BLY_PART_WIRE].weighed.value = NAN;
    choice.count = turns;
    return choice;
}

static int turns_most(const BlyPart *wire, const BlyPart *hook) {
    int most = bly_wire_turns_most(wire, hook);
    return most < TURNS_MOST ? most : TURNS_MOST;
}

static Means wire_means(const TrimTask *task, size_t s, const BlyPart *wire) {
    const BlyPart *hook = task->rig->at[s].of[BLY_PART_HOOK].part;
    double in_water = 1.0 - task->density * wire->volume / wire->mass.value;
    double step = bly_wire_turn_mass(wire, hook) * in_water;
    return (Means){wire, isfinite(step) ? step : 0.0, step * turns_most(wire, hook),
                   bly_wire_cut_give(wire, 0.0) * in_water};
}

const double trim_cut_least = 1e-3, trim_turns_least = 0.5;

/* kg of wire. */
static bool is_too_little(const TrimGroup *group, double mass) {
    return fabs(mass) < trim_cut_least * group->part->mass.value;
}

/* Quarters of turns, where a whole one is more than half the band; what is between them the wire is
 * cut to. */
static void add_quarters(const TrimTask *task, int have, int most, TrimGroup *group) {
    TrimOption turn = group->option[0];
    turn.add = moments_scaled(turn.add, 1.0 / turn.steps);
    group->play = 0.125 * turn.add.m;
    if (!(moments_weight(&turn.add, task->density).net > task->half)) {
        group->play = 0.5 * turn.add.m;
        return;
    }
    for (int part = -7; part < 4 * (most - have) && group->count < TRIM_OPTIONS_MAX; part++) {
        double turns = 0.25 * part;
        if (part % 4 == 0 || have + turns < trim_turns_least ||
            is_too_little(group, turns * turn.add.m))
            continue;
        TrimOption *option = &group->option[group->count++];
        *option = turn;
        option->add = moments_scaled(turn.add, turns);
        option->steps = (int)(turns < 0.0 ? floor(turns) : ceil(turns));
        option->give_share = known_share(group, group->give_share, option->add.m);
    }
}

static void add_turns(const TrimTask *task, size_t s, const BlyPart *wire, int most,
                      TrimList *list) {
    const BlyChoice *now = &task->rig->at[s];
    int have = now->of[BLY_PART_WIRE].part ? now->count : 0;
    TrimGroup *group = begin(list, BLY_TRIM_TURNS, s, wire);
    for (int turns = 0; group && turns <= most; turns++) {
        BlyChoice choice = with_turns(now, wire, turns);
        double more = (turns - have) * bly_wire_turn_mass(wire, now->of[BLY_PART_HOOK].part);
        if (!is_too_little(group, more))
            (void)add_option(task, &choice, turns - have, group);
    }
    if (group && group->count > 0)
        add_quarters(task, have, most, group);
    end(list, group);
}

/* ---- a lighter hook, with turns on it ---- */

/* kg: of what all but cancels nothing is a share. */
static const double least_change = 20e-6;

/* Rules that a mend does not break anew (fit/mends.c), of hooks. */
static bool breaks_craft(const TrimTask *task, size_t s, const BlyChoice *to) {
    const unsigned kept = 1u << BLY_RULE_HOOK_SIZE | 1u << BLY_RULE_HOOK_GRADE |
                          1u << BLY_RULE_HOOK_STYLE | 1u << BLY_RULE_HOOK_ORDER |
                          1u << BLY_RULE_HOOK_ALIKE;
    const BlyChoice *now = &task->rig->at[s];
    int seat = (int)s;
    unsigned anew =
        craft_choice(task->craft, seat, to, ~0u) & ~craft_choice(task->craft, seat, now, ~0u);
    for (size_t k = 0; task->craft->rules && k < task->rig->count; k++) {
        const BlyChoice *other = &task->rig->at[k];
        if (k != s)
            anew |= craft_pair(task->craft, seat, to, (int)k, other) &
                    ~craft_pair(task->craft, seat, now, (int)k, other);
    }
    return (anew & kept) != 0;
}

/* Of those so many grades finer, of the same number or the next smaller one; NULL: none. */
static const BlyPart *lighter_hook(const TrimTask *task, size_t s, const BlyPart *const *parts,
                                   size_t count, bool smaller, int finer) {
    const BlyPart *hook = task->rig->at[s].of[BLY_PART_HOOK].part, *best = NULL;
    BlyChoice choice = task->rig->at[s];
    choice.of[BLY_PART_HOOK].weighed.value = NAN;
    for (size_t i = 0; i < count; i++) {
        const BlyPart *one = parts[i];
        int grades = bly_hook_grade(hook->grade) - bly_hook_grade(one->grade);
        choice.of[BLY_PART_HOOK].part = one;
        if (grades == finer && one->mass.value < hook->mass.value &&
            (smaller ? one->size_rank < hook->size_rank : one->size_rank == hook->size_rank) &&
            bly_words_alike(one->style, hook->style) &&
            bly_words_alike(one->material, hook->material) &&
            (!best || one->size_rank > best->size_rank) &&
            bly_choice_fits(&task->build->seats[s], &choice, NULL) &&
            !breaks_craft(task, s, &choice))
            best = one;
    }
    return best;
}

/* kg, 95 of 100, of one hook for another that nobody weighed. */
static double exchange_give(const BlyPart *a, const BlyPart *b) {
    return hypot(a->mass.value * hypot(bly_part_give_share(a), BLY_HOOK_TO_HOOK),
                 b->mass.value * hypot(bly_part_give_share(b), BLY_HOOK_TO_HOOK));
}

/* The other hook, bare and with wire on it by the scale, a part at a time of what it is lighter. */
static void add_hook(const TrimTask *task, size_t s, const BlyPart *other, const BlyPart *wire,
                     TrimGroup *group) {
    const BlyPart *hook = task->rig->at[s].of[BLY_PART_HOOK].part;
    BlyChoice choice = with_turns(&task->rig->at[s], wire, 1);
    choice.of[BLY_PART_HOOK] = (BlyChosenPart){other, {NAN, 0}};
    Moments bare, wound;
    if (!difference(task, s, &choice, &wound))
        return;
    choice = with_turns(&choice, wire, 0);
    if (!difference(task, s, &choice, &bare))
        return;
    Moments turn = moments_sum(wound, moments_scaled(bare, -1.0));
    double most = fmin(turns_most(wire, other), fabs(bare.m) / turn.m);
    for (int k = 0; k < HOOK_PARTS && group->count < TRIM_OPTIONS_MAX; k++) {
        double turns = most * k / HOOK_PARTS;
        TrimOption *option = &group->option[group->count];
        *option = (TrimOption){.steps = -1, .things = k > 0 ? 2 : 1, .x = choice.x, .other = other};
        option->by_scale = k > 0;
        option->add = moments_sum(bare, moments_scaled(turn, turns));
        option->give_share =
            (k > 0 ? BLY_SCALE_GIVE : exchange_give(hook, other)) / fabs(option->add.m);
        group->count +=
            fabs(option->add.m) >= least_change && (k == 0 || turns >= trim_turns_least);
    }
}

/* One grade finer, the next smaller number, and both. */
static bool hook_trims(const TrimTask *task, size_t s, const BlyPart *wire, TrimList *list,
                       BlyError *err) {
    const BlyPart **parts, *other[3];
    size_t count;
    if (!is_open(task, s, BLY_TRIM_HOOK, BLY_PART_HOOK))
        return true;
    if (!bly_limits_parts(&task->build->limits, task->catalog, BLY_PART_HOOK, &parts, &count, err))
        return false;
    other[0] = lighter_hook(task, s, parts, count, false, 1);
    other[1] = lighter_hook(task, s, parts, count, true, 0);
    other[2] = lighter_hook(task, s, parts, count, true, 1);
    free(parts);
    const BlyPart *first = other[0] ? other[0] : other[1] ? other[1] : other[2];
    TrimGroup *group = first ? begin(list, BLY_TRIM_HOOK, s, first) : NULL;
    for (int i = 0; group && i < 3; i++) {
        if (other[i])
            add_hook(task, s, other[i], wire, group);
    }
    end(list, group);
    return true;
}

/* Fine turns go where the coarse ones leave room on the shank. */
static bool turn_trims(const TrimTask *task, size_t s, TrimList *list, BlyError *err) {
    const BlyPart *hook = task->rig->at[s].of[BLY_PART_HOOK].part,
                  *wire = task->rig->at[s].of[BLY_PART_WIRE].part;
    if (!hook || !is_open(task, s, BLY_TRIM_TURNS, BLY_PART_WIRE))
        return true;
    if (wire) {
        add_turns(task, s, wire, turns_most(wire, hook), list);
        return hook_trims(task, s, wire, list, err);
    }
    Means coarse, fine;
    if (!choose(task, s, BLY_PART_WIRE, wire_means, &coarse, &fine, err))
        return false;
    if (!coarse.part)
        return true;
    int most = turns_most(coarse.part, hook);
    if (fine.part) {
        int left = (int)floor((hook->shank - FINE_MOST * fine.part->wire) / coarse.part->wire);
        most = left < most ? left : most;
        add_turns(task, s, fine.part, FINE_MOST, list);
    }
    add_turns(task, s, coarse.part, most, list);
    return hook_trims(task, s, coarse.part, list, err);
}

/* The next heavier ring that the limits allow and that fits. */
static bool ring_trims(const TrimTask *task, size_t s, TrimList *list, BlyError *err) {
    const BlyChoice *now = &task->rig->at[s];
    const BlyPart *ring = now->of[BLY_PART_RING].part, *best = NULL;
    const BlyPart **parts;
    size_t count;
    if (!ring || !is_open(task, s, BLY_TRIM_RING, BLY_PART_RING))
        return true;
    if (!bly_limits_parts(&task->build->limits, task->catalog, BLY_PART_RING, &parts, &count, err))
        return false;
    BlyChoice choice = *now;
    choice.of[BLY_PART_RING].weighed.value = NAN;
    for (size_t i = 0; i < count; i++) {
        choice.of[BLY_PART_RING].part = parts[i];
        if (parts[i]->mass.value > 1.05 * ring->mass.value &&
            (!best || parts[i]->mass.value < best->mass.value) &&
            bly_choice_fits(&task->build->seats[s], &choice, NULL))
            best = parts[i];
    }
    free(parts);
    if (!best)
        return true;
    TrimGroup *group = begin(list, BLY_TRIM_RING, s, best);
    choice.of[BLY_PART_RING].part = best;
    if (group)
        (void)add_option(task, &choice, 1, group);
    end(list, group);
    return true;
}

/* ---- lip ---- */

/* Edges come before faces. A flared outline is not cut back: its sides would no longer be those of
 * a shorter one. */
static void edge_trims(const TrimTask *task, size_t s, TrimList *list) {
    const BlyChoice *now = &task->rig->at[s];
    const BlyPart *outline = now->of[BLY_PART_OUTLINE].part;
    double step = bly_practice_mending(bly_catalog_practice(task->catalog)).edge_step;
    if (!outline || outline->form == BLY_OUTLINE_FLARED ||
        !is_open(task, s, BLY_TRIM_EDGE, BLY_PART_OUTLINE))
        return;
    double least = fmax(outline->length_least, task->build->seats[s].depth + lip_outside);
    double whole = bly_outline_area(outline, now->length);
    TrimGroup *group = begin(list, BLY_TRIM_EDGE, s, now->of[BLY_PART_SHEET].part);
    for (int k = 1; group && now->length - k * step >= least - 1e-9; k++) {
        BlyChoice choice = *now;
        choice.length -= k * step;
        choice.of[BLY_PART_SHEET].weighed.value *= bly_outline_area(outline, choice.length) / whole;
        if (!add_option(task, &choice, -k, group))
            break;
    }
    end(list, group);
}

static bool has_edge(const TrimList *list, size_t s) {
    for (size_t g = 0; g < list->count; g++) {
        if (list->group[g].kind == BLY_TRIM_EDGE && list->group[g].seat == (int)s)
            return true;
    }
    return false;
}

/* A lip ground too thin bends: no rule that holds as it is may be broken by it. */
static bool may_be_ground(const TrimTask *task, size_t s, double less) {
    const unsigned kept = 1u << BLY_RULE_LIP_BENDING | 1u << BLY_RULE_LIP_GAUGE;
    const BlyPart *sheet = task->rig->at[s].of[BLY_PART_SHEET].part;
    BlyChoice choice = task->rig->at[s];
    double thick = isfinite(choice.thickness) ? choice.thickness : sheet->thickness;
    unsigned before = craft_choice(task->craft, (int)s, &choice, ~0u);
    choice.filed += less;
    unsigned after = craft_choice(task->craft, (int)s, &choice, ~0u);
    return thick - choice.filed >= sheet->thinnest - 1e-9 && (after & ~before & kept) == 0;
}

/* Only what stands outside the body can be ground: that much of the outer piece goes, wherever it
 * is; never evenly, so that what goes is off by as much however much it is, or as the scale has
 * it. */
static void back_trims(const TrimTask *task, size_t s, TrimList *list) {
    const BlyChoice *now = &task->rig->at[s];
    const BlyPart *sheet = now->of[BLY_PART_SHEET].part;
    const BlyMending how = bly_practice_mending(bly_catalog_practice(task->catalog));
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = 0;
    if (!sheet || has_edge(list, s) || !is_open(task, s, BLY_TRIM_LIP, BLY_PART_SHEET) ||
        !bly_choice_items(&task->build->blank, &task->build->seats[s], (int)s, now, items, &count,
                          NULL))
        return;
    double thick = (isfinite(now->thickness) ? now->thickness : sheet->thickness) - now->filed;
    if (!(sheet->thinnest < thick))
        return;
    TrimGroup *group = begin(list, BLY_TRIM_LIP, s, sheet);
    /* By the scale, a tenth of the gauge's steps at a time: less at first, more where much goes. */
    for (int tenths = 1; group && group->count < TRIM_OPTIONS_MAX; tenths += 1 + tenths / 20) {
        double less = 0.1 * tenths * how.back_step, part = -less / thick;
        if (!may_be_ground(task, s, less))
            break;
        TrimOption *option = &group->option[group->count++];
        *option = (TrimOption){.steps = -tenths, .things = 1, .x = now->x};
        for (size_t i = 0; i < count; i++) {
            if (items[i].kind == BLY_ITEM_PART && items[i].volume > 0.0)
                moments_add(&option->add, &items[i], 1, (MomentUnits){part, part, 1});
        }
        option->give_share = known_share(group, how.back_give / less, option->add.m);
    }
    end(list, group);
}

bool trim_is_final(BlyTrimKind kind) {
    return kind == BLY_TRIM_STRIP || kind == BLY_TRIM_EDGE || kind == BLY_TRIM_LIP;
}

static bool all_trims(const TrimTask *task, TrimList *out, BlyError *err) {
    bool good = true;
    for (size_t s = 0; good && s < task->build->seat_count; s++) {
        switch (task->build->seats[s].kind) {
        case BLY_SEAT_PATCH:
            good = patch_trims(task, s, out, err);
            break;
        case BLY_SEAT_HANGER:
            good = turn_trims(task, s, out, err) && ring_trims(task, s, out, err);
            break;
        case BLY_SEAT_SLOT:
            edge_trims(task, s, out);
            back_trims(task, s, out);
            break;
        case BLY_SEAT_TIE:
        case BLY_SEAT_KINDS:
            break;
        }
    }
    return good;
}

bool trims_list(const TrimTask *task, TrimList *out, BlyError *err) {
    Craft craft;
    TrimTask with = *task;
    out->count = 0;
    if (!craft_begin(task->build, task->catalog, 0, &craft, err))
        return false;
    with.craft = &craft;
    bool good = all_trims(&with, out, err);
    craft_end(&craft);
    return good;
}

double trims_unit(const BlyCatalog *catalog, BlyTrimKind kind) {
    const BlyMending how = bly_practice_mending(bly_catalog_practice(catalog));
    return kind == BLY_TRIM_STRIP  ? strip_step
           : kind == BLY_TRIM_EDGE ? how.edge_step
           : kind == BLY_TRIM_LIP  ? 0.1 * how.back_step
                                   : 0.0;
}

const char *bly_trim_words(BlyTrimKind kind, bool many) {
    static const char *const words[BLY_TRIM_KINDS][2] = {
        [BLY_TRIM_DOTS] = {"dot", "dots"},
        [BLY_TRIM_TURNS] = {"turn of wire", "turns of wire"},
        [BLY_TRIM_STRIP] = {"strip", "strip"},
        [BLY_TRIM_RING] = {"heavier ring", "heavier rings"},
        [BLY_TRIM_EDGE] = {"lip's edge", "lip's edge"},
        [BLY_TRIM_LIP] = {"lip's back", "lip's back"},
        [BLY_TRIM_HOOK] = {"lighter hook", "lighter hooks"},
    };
    return (unsigned)kind < BLY_TRIM_KINDS ? words[kind][many] : "";
}
