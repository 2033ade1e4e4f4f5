/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a maker could do to a finished lure: the list, and what hangs. */
#include "fit/mends.h"
#include "fit/mend_mix.h"
#include "trim/trim.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TURNS_MOST = 12 };

/* Rules that a mend may not break anew; the others speak of first builds, or of rings, which a
 * heavier or lighter one is meant to leave. */
static const unsigned kept = 1u << BLY_RULE_HOOK_SIZE | 1u << BLY_RULE_HOOK_GRADE |
                             1u << BLY_RULE_HOOK_STYLE | 1u << BLY_RULE_HOOK_ORDER |
                             1u << BLY_RULE_HOOK_ALIKE | 1u << BLY_RULE_LIP_FREE |
                             1u << BLY_RULE_LIP_BENDING | 1u << BLY_RULE_LIP_GAUGE |
                             1u << BLY_RULE_SURFACE | 1u << BLY_RULE_LEAD;

double mends_give(const Bench *bench, double mass, double share) {
    double give = fabs(mass) * (isfinite(share) ? share : 0);
    return bench->by_scale ? fmin(give, BLY_SCALE_GIVE) : give;
}

double mends_wire_give(const Bench *bench, const BlyPart *wire, double mass) {
    return bench->by_scale ? fmin(BLY_SCALE_GIVE, bly_wire_cut_give(wire, fabs(mass)))
                           : mends_give(bench, mass, bly_part_give_share(wire));
}

void mends_release(MendList *list) {
    free(list->at);
    memset(list, 0, sizeof *list);
}

bool mends_begin(MendList *list, const Bench *bench, BlyMend kind, int first) {
    if (bench->how.rung[kind] == 0 || list->classes == MEND_CLASSES_MAX)
        return false;
    list->rung[list->classes] = bench->how.rung[kind];
    list->first[list->classes] = first;
    list->classes++;
    return true;
}

void mends_end(MendList *list) {
    if (list->count == 0 || list->at[list->count - 1].class != list->classes - 1)
        list->classes--;
}

static bool grow(MendList *list, BlyError *err) {
    if (list->count < list->room)
        return true;
    size_t room = list->room == 0 ? 256 : 2 * list->room;
    Mend *at = realloc(list->at, room * sizeof *at);
    if (at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu mends", room);
    list->at = at;
    list->room = room;
    return true;
}

static bool lump_at(const Bench *bench, int seat, const BlyChoice *choice, Lump *out) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    if (!bly_choice_items(&bench->build->blank, &bench->build->seats[seat], seat, choice, items,
                          &count, NULL))
        return false;
    *out = lump_of_items(items, count);
    return true;
}

/* A hook that is against the craft already may come nearer to it, not farther off. */
static bool farther_out(const Bench *bench, const BlyPart *was, const BlyPart *is) {
    if (was == NULL || is == NULL || was == is)
        return false;
    int low = bench->craft->hook_low, high = bench->craft->hook_high;
    int before = craft_treble_rank(bench->craft, was), after = craft_treble_rank(bench->craft, is);
    unsigned broken = craft_hook(bench->craft, is);
    bool larger = after > high && after > before, smaller = after < low && after < before;
    return ((broken & (1u << BLY_RULE_HOOK_SIZE)) != 0 && (larger || smaller)) ||
           ((broken & (1u << BLY_RULE_HOOK_GRADE)) != 0 &&
            bly_hook_grade(is->grade) > bly_hook_grade(was->grade));
}

/* What the lure as it is breaks already is the maker's own affair. */
static bool breaks_anew(const Bench *bench, const Mend *mend, const BlyRig *rig) {
    const BlyRig *fitted = &bench->build->fitted;
    for (int i = 0; i < mend->seats; i++) {
        int s = mend->seat[i];
        unsigned after = craft_choice(bench->craft, s, &rig->at[s], ~0u);
        unsigned before = craft_choice(bench->craft, s, &fitted->at[s], ~0u);
        if ((after & ~before & kept) != 0 ||
            farther_out(bench, fitted->at[s].of[BLY_PART_HOOK].part,
                        rig->at[s].of[BLY_PART_HOOK].part))
            return true;
        for (size_t other = 0; other < rig->count; other++) {
            if ((int)other == s || bench->craft->rules == NULL)
                continue;
            after = craft_pair(bench->craft, s, &rig->at[s], (int)other, &rig->at[other]);
            before = craft_pair(bench->craft, s, &fitted->at[s], (int)other, &fitted->at[other]);
            if ((after & ~before & kept) != 0)
                return true;
        }
    }
    return false;
}

static bool goes(const Bench *bench, Mend *mend, const BlyRig *rig) {
    for (int i = 0; i < mend->seats; i++) {
        int s = mend->seat[i];
        Lump before, after;
        if (!bly_choice_fits(&bench->build->seats[s], &rig->at[s], NULL) ||
            !lump_at(bench, s, &rig->at[s], &after) ||
            !lump_at(bench, s, &bench->build->fitted.at[s], &before))
            return false;
        mend->adds = moments_sum(mend->adds, moments_sum(after, moments_scaled(before, -1)));
    }
    return !breaks_anew(bench, mend, rig);
}

bool mends_add(const Bench *bench, Mend *mend, MendList *list, BlyError *err) {
    BlyRig rig;
    if (!grow(list, err) || !bly_rig_copy(&rig, &bench->build->fitted, err))
        return false;
    mend->class = list->classes - 1;
    mend->adds = (Lump){0};
    mend_apply(bench->build, mend, &rig);
    mend->takes = false;
    for (int i = 0; i < mend->seats && bench->box->count > 0; i++)
        mend->takes = mend->takes || box_key(bench->box, &mend->to[i],
                                             &bench->build->fitted.at[mend->seat[i]]) != 0;
    if (box_holds(bench->box, bench->build, &rig, NULL) && goes(bench, mend, &rig))
        list->at[list->count++] = *mend;
    bly_rig_release(&rig);
    return true;
}

static bool may(const Bench *bench, int seat, BlyPartKind kind) {
    const BlyBuild *build = bench->build;
    return (bly_seat_mendable(&build->seats[seat], &build->fitted.at[seat], build->coat_count > 0) &
            (1u << kind)) != 0;
}

static bool parts_of(const Bench *bench, BlyPartKind kind, const BlyPart ***out, size_t *count,
                     BlyError *err) {
    return bly_limits_parts(&bench->build->limits, bench->catalog, kind, out, count, err);
}

/* ---- wire ---- */

/* What all turns weigh after some more or fewer; NAN: as the catalog has them. What a scale or a
 * length of wire tells is told as a mass, so that a turn may be a part of one. */
static BlyFigure turns_weigh(const Bench *bench, const BlyChoice *now, const BlyPart *wire,
                             double more) {
    const BlyChosenPart *on = &now->of[BLY_PART_WIRE];
    const bool same = on->part == wire, known = isfinite(on->weighed.value);
    double turn = bly_wire_turn_mass(wire, now->of[BLY_PART_HOOK].part);
    double share = bly_part_give_share(wire);
    BlyFigure have = {0, 0};
    if (same)
        have = known ? on->weighed : (BlyFigure){now->count * turn, now->count * turn * share};
    if (!bench->by_scale && !(same && known))
        return (BlyFigure){NAN, 0};
    double give = mends_wire_give(bench, wire, more * turn);
    if (!bench->by_scale && !(give <= have.give)) /* not weighed, too */
        return (BlyFigure){NAN, 0};
    return (BlyFigure){have.value + more * turn, hypot(have.give, give)};
}

static bool wind_by(const Bench *bench, int seat, const BlyPart *wire, double more, MendList *list,
                    BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    double turn = bly_wire_turn_mass(wire, now->of[BLY_PART_HOOK].part);
    int have = now->of[BLY_PART_WIRE].part != NULL ? now->count : 0;
    Mend mend = {.kind = BLY_MEND_WIRE, .seats = 1, .seat = {seat}};
    BlyFigure weigh = turns_weigh(bench, now, wire, more);
    double turns = isfinite(weigh.value) && more != rint(more) ? weigh.value / turn : have + more;
    int count = (int)ceil(turns - 0.05);
    if (fabs(more) * turn < trim_cut_least * wire->mass.value || count < 0 ||
        count > bly_wire_turns_most(wire, now->of[BLY_PART_HOOK].part))
        return true;
    mend.to[0] = *now;
    mend.to[0].of[BLY_PART_WIRE] =
        count > 0 ? (BlyChosenPart){wire, weigh} : (BlyChosenPart){NULL, {NAN, 0}};
    mend.to[0].count = count;
    mend.trouble = fabs(more);
    return mends_add(bench, &mend, list, err);
}

/* Whole turns; and, where lengths are measured, quarters of the next one or two: a wire's end is
 * snipped off, or left longer. */
static bool wind(const Bench *bench, int seat, const BlyPart *wire, MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    int have = now->of[BLY_PART_WIRE].part != NULL ? now->count : 0;
    for (int more = -have; more <= TURNS_MOST - have; more++) {
        if (more != 0 && !wind_by(bench, seat, wire, more, list, err))
            return false;
    }
    for (int part = -7; bench->by_scale && part <= 7; part++) {
        if (part % 4 != 0 && have + 0.25 * part >= trim_turns_least &&
            !wind_by(bench, seat, wire, 0.25 * part, list, err))
            return false;
    }
    return true;
}

bool mends_cut(const Bench *bench, int like, double more, MendList *list, int *at, BlyError *err) {
    static const double cut = 0.5e-3; /* m */
    const Mend was = list->at[like];
    const BlyChoice *now = &bench->build->fitted.at[was.seat[0]];
    const BlyPart *on = was.to[0].of[BLY_PART_WIRE].part;
    const BlyPart *wire = on != NULL ? on : now->of[BLY_PART_WIRE].part;
    double turn = bly_wire_turn_mass(wire, now->of[BLY_PART_HOOK].part);
    more = wire->mass.value * cut * rint(more / (wire->mass.value * cut));
    *at = like;
    for (size_t i = 0; i < list->count; i++) {
        if (list->at[i].class == was.class && list->at[i].to[0].of[BLY_PART_WIRE].part == on &&
            fabs(1e-3 * list->at[i].adds.m - more) < 0.1 * wire->mass.value * cut) {
            *at = (int)i;
            return true;
        }
    }
    size_t count = list->count;
    if (on == NULL || bly_choice_wire_mass(now) + more < trim_turns_least * turn)
        return true;
    if (!wind_by(bench, was.seat[0], wire, more / turn, list, err))
        return false;
    if (list->count > count) {
        list->at[count].class = was.class;
        *at = (int)count;
    }
    return true;
}

static bool wires(const Bench *bench, int seat, MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    const BlyPart **parts, *on = now->of[BLY_PART_WIRE].part;
    size_t count;
    if (now->of[BLY_PART_HOOK].part == NULL || !may(bench, seat, BLY_PART_WIRE) ||
        !mends_begin(list, bench, BLY_MEND_WIRE, 0))
        return true;
    if (!parts_of(bench, BLY_PART_WIRE, &parts, &count, err))
        return false;
    bool good = on == NULL || wind(bench, seat, on, list, err);
    for (size_t i = 0; good && on == NULL && i < count; i++)
        good = wind(bench, seat, parts[i], list, err);
    free(parts);
    mends_end(list);
    return good;
}

/* ---- rings and hooks ---- */

static bool one_ring_off(const BlyPart *from, const BlyPart *to) {
    int a, b;
    if (!bly_ring_number(from->size, &a) || !bly_ring_number(to->size, &b))
        return true;
    return abs(a - b) <= 1;
}

/* The next heavier (way 1) or lighter one that fits; NULL: none. */
static const BlyPart *next_ring(const Bench *bench, int seat, int way, const BlyPart *const *parts,
                                size_t count) {
    static const double step_least = 0.05; /* of its mass: less is the same ring */
    BlyChoice choice = bench->build->fitted.at[seat];
    const BlyPart *ring = choice.of[BLY_PART_RING].part, *best = NULL;
    for (size_t i = 0; ring != NULL && i < count; i++) {
        double more = way * (parts[i]->mass.value - ring->mass.value);
        choice.of[BLY_PART_RING] = (BlyChosenPart){parts[i], {NAN, 0}};
        if (more > step_least * ring->mass.value && one_ring_off(ring, parts[i]) &&
            bly_words_alike(parts[i]->material, ring->material) &&
            (best == NULL || more < way * (best->mass.value - ring->mass.value)) &&
            bly_choice_fits(&bench->build->seats[seat], &choice, NULL))
            best = parts[i];
    }
    return best;
}

/* The places of two sizes among those that are sold lie one apart; without a list any do. */
static bool next_number(const Craft *craft, int a, int b) {
    int at[2] = {-1, -1};
    if (craft->rules == NULL || craft->rules->sold.rows == 0)
        return true;
    for (size_t i = 0; i < craft->rules->sold.rows; i++) {
        at[0] = (int)craft->rules->sold.at[i][0] == a ? (int)i : at[0];
        at[1] = (int)craft->rules->sold.at[i][0] == b ? (int)i : at[1];
    }
    return at[0] < 0 || at[1] < 0 || abs(at[0] - at[1]) == 1;
}

/* How far one hook is from another: in number where the grades are `grades` apart, in grade where
 * the numbers are alike; 0: neither. */
static int hook_steps(BlyMend kind, int grades, const BlyPart *from, const BlyPart *to) {
    bool number = from->size_rank != to->size_rank;
    int a = bly_hook_grade(from->grade), b = bly_hook_grade(to->grade);
    if (!bly_words_alike(from->style, to->style) || !bly_words_alike(from->material, to->material))
        return 0;
    if (kind == BLY_MEND_GRADE)
        return number || a == 0 || b == 0 ? 0 : b - a;
    bool wanted = grades == 0 ? bly_words_alike(from->grade, to->grade) : a > 0 && b - a == grades;
    return wanted ? to->size_rank - from->size_rank : 0;
}

static const BlyPart *next_hook(const Bench *bench, int seat, BlyMend kind, int way, int grades,
                                const BlyPart *const *parts, size_t count) {
    const BlyPart *hook = bench->build->fitted.at[seat].of[BLY_PART_HOOK].part, *best = NULL;
    int nearest = 0;
    for (size_t i = 0; hook != NULL && i < count; i++) {
        int steps = way * hook_steps(kind, grades, hook, parts[i]);
        if (steps <= 0 || (best != NULL && steps >= nearest))
            continue;
        best = parts[i];
        nearest = steps;
    }
    if (best == NULL || (kind == BLY_MEND_GRADE && nearest > 1) ||
        (kind == BLY_MEND_NUMBER && !next_number(bench->craft, hook->size_rank, best->size_rank)))
        return NULL;
    return best;
}

static const BlyPart *next_part(const Bench *bench, int seat, BlyMend kind, int way, int grades,
                                const BlyPart *const *parts, size_t count) {
    return kind == BLY_MEND_RING ? next_ring(bench, seat, way, parts, count)
                                 : next_hook(bench, seat, kind, way, grades, parts, count);
}

/* A hook that does not go on its ring comes with the next ring that it goes on. */
static bool give_ring(const Bench *bench, int seat, BlyChoice *choice, BlyError *err) {
    const BlySeat *s = &bench->build->seats[seat];
    const BlyPart **rings, *ring = choice->of[BLY_PART_RING].part, *best = NULL;
    size_t count;
    if (ring == NULL || bly_choice_fits(s, choice, NULL) || !may(bench, seat, BLY_PART_RING))
        return true;
    if (!parts_of(bench, BLY_PART_RING, &rings, &count, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        double off = fabs(rings[i]->mass.value - ring->mass.value);
        choice->of[BLY_PART_RING] = (BlyChosenPart){rings[i], {NAN, 0}};
        if (one_ring_off(ring, rings[i]) && bly_words_alike(ring->material, rings[i]->material) &&
            bly_choice_fits(s, choice, NULL) &&
            (best == NULL || off < fabs(best->mass.value - ring->mass.value)))
            best = rings[i];
    }
    choice->of[BLY_PART_RING] = (BlyChosenPart){best != NULL ? best : ring, {NAN, 0}};
    free(rings);
    return true;
}

/* One step that way at these seats, all or none; hooks of another number so many grades off. */
static bool exchange_to(const Bench *bench, BlyMend kind, int way, int grades, const int *seats,
                        int seat_count, MendList *list, BlyError *err) {
    BlyPartKind what = kind == BLY_MEND_RING ? BLY_PART_RING : BLY_PART_HOOK;
    Mend mend = {.kind = kind, .seats = seat_count, .trouble = seat_count + (grades != 0)};
    const BlyPart **parts;
    size_t count;
    if (!parts_of(bench, what, &parts, &count, err))
        return false;
    bool good = true, all = true;
    for (int i = 0; all && i < seat_count; i++) {
        const BlyPart *next = next_part(bench, seats[i], kind, way, grades, parts, count);
        mend.seat[i] = seats[i];
        mend.to[i] = bench->build->fitted.at[seats[i]];
        mend.to[i].of[what] = (BlyChosenPart){next, {NAN, 0}};
        good =
            next == NULL || kind != BLY_MEND_NUMBER || give_ring(bench, seats[i], &mend.to[i], err);
        all = good && next != NULL;
    }
    free(parts);
    return good && (!all || mends_add(bench, &mend, list, err));
}

/* One step up and one down at these seats. */
static bool exchange(const Bench *bench, BlyMend kind, const int *seats, int seat_count, int first,
                     MendList *list, BlyError *err) {
    int most = kind == BLY_MEND_NUMBER ? 1 : 0;
    bool good = true;
    for (int way = 1; good && way >= -1; way -= 2) {
        for (int grades = 0; good && grades <= 2 * most; grades++) {
            if (!mends_begin(list, bench, kind, first + (grades > 0 ? MEND_SEATS + 1 : 0)))
                return true;
            int off = grades == 2 ? -1 : grades;
            good = exchange_to(bench, kind, way, off, seats, seat_count, list, err);
            mends_end(list);
        }
    }
    return good;
}

/* Hangers that may change in this, the foremost first. */
static int hangers_with(const Bench *bench, BlyPartKind kind, int out[MEND_SEATS]) {
    const BlyBuild *build = bench->build;
    int count = 0;
    for (size_t s = 0; s < build->seat_count; s++) {
        if (build->seats[s].kind != BLY_SEAT_HANGER || !may(bench, (int)s, kind) ||
            build->fitted.at[s].of[kind].part == NULL || count == MEND_SEATS)
            continue;
        int at = count++;
        for (; at > 0 && build->fitted.at[out[at - 1]].x > build->fitted.at[s].x; at--)
            out[at] = out[at - 1];
        out[at] = (int)s;
    }
    return count;
}

/* The front one, all alike, then each other by itself. */
static bool exchanges(const Bench *bench, BlyMend kind, MendList *list, BlyError *err) {
    int seats[MEND_SEATS];
    int count = hangers_with(bench, kind == BLY_MEND_RING ? BLY_PART_RING : BLY_PART_HOOK, seats);
    bool good = count == 0 || exchange(bench, kind, seats, 1, 0, list, err);
    good = good && (count < 2 || exchange(bench, kind, seats, count, 1, list, err));
    for (int i = 1; good && i < count; i++)
        good = exchange(bench, kind, &seats[i], 1, 1 + i, list, err);
    return good;
}

/* ---- the line tie, where the build opens it by name ---- */

static bool tie_with(const Bench *bench, int seat, BlyPartKind kind, MendList *list,
                     BlyError *err) {
    const BlyPart **parts, *on = bench->build->fitted.at[seat].of[kind].part;
    size_t count;
    if (!may(bench, seat, kind) || !mends_begin(list, bench, BLY_MEND_RING, MEND_SEATS))
        return true;
    if (!parts_of(bench, kind, &parts, &count, err))
        return false;
    bool good = true;
    for (size_t i = 0; good && i <= count; i++) {
        Mend mend = {.kind = BLY_MEND_RING, .seats = 1, .seat = {seat}, .trouble = 1};
        const BlyPart *part = i < count ? parts[i] : NULL;
        mend.to[0] = bench->build->fitted.at[seat];
        mend.to[0].of[kind] = (BlyChosenPart){part, {NAN, 0}};
        good = part == on || mends_add(bench, &mend, list, err);
    }
    free(parts);
    mends_end(list);
    return good;
}

bool mends_list(const Bench *bench, MendList *out, BlyError *err) {
    const BlyBuild *build = bench->build;
    bool good = exchanges(bench, BLY_MEND_RING, out, err) &&
                exchanges(bench, BLY_MEND_GRADE, out, err) &&
                exchanges(bench, BLY_MEND_NUMBER, out, err);
    for (int s = 0; good && s < (int)build->seat_count; s++) {
        switch (build->seats[s].kind) {
        case BLY_SEAT_HANGER:
            good = wires(bench, s, out, err);
            break;
        case BLY_SEAT_TIE:
            good = tie_with(bench, s, BLY_PART_RING, out, err) &&
                   tie_with(bench, s, BLY_PART_SNAP, out, err);
            break;
        case BLY_SEAT_PATCH:
            good = mends_of_skin(bench, s, out, err);
            break;
        case BLY_SEAT_SLOT:
            good = mends_of_lip(bench, s, out, err);
            break;
        case BLY_SEAT_KINDS:
            break;
        }
    }
    return good;
}
