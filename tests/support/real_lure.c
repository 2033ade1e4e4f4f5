/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/real_lure.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <string.h>

/* What hands are off by, 95 of 100, from memory: a strip or an edge cut to a mark, a dot set to
 * one, a turn of wire wound by eye. What is ground off is off as the build says of it. */
static const double cut_give = 0.3e-3, edge_give = 0.2e-3, place_give = 0.5e-3, turn_give = 0.03;
/* m: a wire cut to its length by a ruler. */
static const double nip_give = 0.5e-3;
/* kg: two readings of a scale of a hundredth of a gram. */
static const double scale_give = 14e-6;

static double drawn(const RealLure *lure, double give) {
    return lure->hand * gsl_ran_gaussian(lure->dice, give / BLY_SIGMAS_95);
}

/* What was drawn of this input before, or is now. */
static double *draw_of(RealLure *lure, const BlyInput *input) {
    for (size_t i = 0; i < lure->draw_count; i++) {
        const BlyInput *old = &lure->draw[i].input;
        if (old->kind == input->kind && old->seat == input->seat && old->index == input->index &&
            old->part_kind == input->part_kind && strcmp(old->id, input->id) == 0)
            return &lure->draw[i].u;
    }
    if (lure->draw_count == REAL_DRAWS_MAX)
        return NULL;
    RealDraw *now = &lure->draw[lure->draw_count++];
    *now = (RealDraw){*input, gsl_ran_gaussian(lure->dice, 1.0)};
    return &now->u;
}

static bool draw_all(RealLure *lure, BlyInput *inputs, size_t *count, double *u, BlyError *err) {
    if (!bly_inputs_list(lure->build, &lure->rig, &lure->build->water, inputs, count, err))
        return false;
    for (size_t i = 0; i < *count; i++) {
        const double *one = draw_of(lure, &inputs[i]);
        if (one == NULL)
            return bly_fail(err, BLY_E_INTERNAL, NULL, "no room for what is drawn");
        u[i] = *one;
    }
    return true;
}

/* So much more is ground off, whatever the file has come to think of what went before. */
static void grind(RealLure *lure, size_t s, const BlyChoice *now, const BlyChoice *to) {
    static const double least = 1e-8;
    double more = to->filed - now->filed;
    double square = to->filed_give * to->filed_give - now->filed_give * now->filed_give;
    if (more > least)
        lure->hands[s].filed += fmax(more + drawn(lure, sqrt(fmax(square, 0))), 0);
}

static void is_ground(RealLure *lure, size_t s) {
    lure->rig.at[s].filed = lure->hands[s].filed;
    lure->rig.at[s].filed_give = 0;
}

bool real_begin(const BlyBuild *build, gsl_rng *dice, double hand, RealLure *out, BlyError *err) {
    BlyInput inputs[BLY_INPUTS_MAX];
    double u[BLY_INPUTS_MAX];
    size_t count;
    *out = (RealLure){.build = build, .dice = dice, .hand = hand};
    if (build->seat_count > REAL_SEATS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "more seats than the bench holds");
    if (!bly_rig_copy(&out->said, &build->fitted, err) ||
        !bly_rig_copy(&out->rig, &build->fitted, err))
        return false;
    const BlyChoice whole = bly_choice_empty(0);
    for (size_t s = 0; s < out->rig.count; s++) {
        grind(out, s, &whole, &build->fitted.at[s]);
        is_ground(out, s);
    }
    return draw_all(out, inputs, &count, u, err);
}

void real_release(RealLure *lure) {
    bly_rig_release(&lure->said);
    bly_rig_release(&lure->rig);
}

/* ---- hands ---- */

static bool same(double a, double b) {
    return a == b || (isnan(a) && isnan(b)) || fabs(a - b) < 1e-9;
}

static void set_hands(RealLure *lure, size_t s, const BlyChoice *from, const BlyChoice *to) {
    RealHands *hands = &lure->hands[s];
    bool strip = to->of[BLY_PART_STRIP].part != NULL, dot = to->of[BLY_PART_DOT].part != NULL;
    if (!same(from->length, to->length))
        hands->length = drawn(lure, strip ? cut_give : edge_give);
    if ((strip || dot) && (!same(from->x, to->x) || from->of[BLY_PART_DOT].part == NULL))
        hands->x = strip && same(from->x, to->x) ? hands->x : drawn(lure, place_give);
    if (from->of[BLY_PART_WIRE].part != to->of[BLY_PART_WIRE].part)
        hands->turn = drawn(lure, turn_give);
    if (from->of[BLY_PART_WIRE].part != to->of[BLY_PART_WIRE].part)
        hands->metre = drawn(lure, scale_give);
}

/* What a seat is trimmed with; -1: with nothing. */
static int last_kind(const BlyChoice *choice) {
    static const int kinds[] = {BLY_PART_WIRE, BLY_PART_DOT, BLY_PART_STRIP};
    for (int i = 0; i < 3; i++) {
        if (choice->of[kinds[i]].part != NULL)
            return kinds[i];
    }
    return -1;
}

/* As it is, for what is said of it. What the scale said of pieces is the maker's knowledge, not the
 * lure's. */
static void put_on(RealLure *lure, size_t s, const BlyChoice *said) {
    RealHands *hands = &lure->hands[s];
    BlyChoice *is = &lure->rig.at[s];
    *is = *said;
    for (int kind = 0; kind < BLY_PART_KINDS; kind++)
        is->of[kind].weighed = (BlyFigure){NAN, 0};
    is->length += hands->length;
    is_ground(lure, s);
    int last = last_kind(said);
    if (last >= 0 && hands->piece > 0)
        is->of[last].weighed = (BlyFigure){hands->piece, 0};
    if (said->of[BLY_PART_STRIP].part != NULL || said->of[BLY_PART_DOT].part != NULL)
        is->x = fmin(fmax(said->x + hands->x, lure->build->seats[s].x_from),
                     lure->build->seats[s].x_to);
    if (said->of[BLY_PART_WIRE].part == NULL)
        return;
    hands->wire = *said->of[BLY_PART_WIRE].part;
    hands->wire.mass.value *= 1.0 + hands->turn;
    hands->wire.volume *= 1.0 + hands->turn;
    is->of[BLY_PART_WIRE].part = &hands->wire;
}

int rig_changes(const BlyRig *from, const BlyRig *to) {
    int count = 0;
    for (size_t s = 0; s < from->count; s++) {
        const BlyChoice *a = &from->at[s], *b = &to->at[s];
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            bool counted = kind == BLY_PART_WIRE || kind == BLY_PART_DOT || kind == BLY_PART_STRIP;
            count += a->of[kind].part != b->of[kind].part ||
                     (counted && b->of[kind].part != NULL && a->count != b->count);
        }
        count += !same(a->length, b->length) && a->of[BLY_PART_STRIP].part != NULL &&
                 b->of[BLY_PART_STRIP].part != NULL;
        count += !same(a->length, b->length) && b->of[BLY_PART_SHEET].part != NULL;
        count += !same(a->filed, b->filed);
    }
    return count;
}

/* ---- what it does ---- */

typedef struct Real {
    BlyInput inputs[BLY_INPUTS_MAX];
    double u[BLY_INPUTS_MAX];
    UncertainCase set;
    MovedLure moved;
} Real;

static bool make(RealLure *lure, Real *out, BlyError *err) {
    memset(out, 0, sizeof *out);
    out->set = (UncertainCase){.build = lure->build,
                               .rig = &lure->rig,
                               .inputs = out->inputs,
                               .like = &lure->build->blank};
    return draw_all(lure, out->inputs, &out->set.input_count, out->u, err) &&
           moved_lure_make(&out->set, out->u, &out->moved, err);
}

/* ---- by the scale ---- */

/* kg at a seat, of parts; and of what it is trimmed with. */
static double mass_at(const BlyLure *lure, int seat, int kind) {
    double mass = 0;
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (item->kind == BLY_ITEM_PART && item->seat == seat &&
            (kind < 0 || (item->part != NULL && item->part->kind == (BlyPartKind)kind)))
            mass += item->mass;
    }
    return mass;
}

/* The lure as it is. */
static bool weigh(RealLure *lure, double all[REAL_SEATS_MAX], double last[REAL_SEATS_MAX],
                  BlyError *err) {
    Real real;
    bool good = make(lure, &real, err);
    for (size_t s = 0; good && s < lure->rig.count; s++) {
        int kind = last_kind(&lure->rig.at[s]);
        all[s] = mass_at(&real.moved.lure, (int)s, -1);
        last[s] = kind < 0 ? 0 : mass_at(&real.moved.lure, (int)s, kind);
    }
    moved_lure_release(&real.moved);
    return good;
}

bool real_takes(RealLure *lure, const BlyRig *rig, BlyError *err) {
    bly_rig_release(&lure->said);
    bly_rig_release(&lure->rig);
    if (!bly_rig_copy(&lure->said, rig, err) || !bly_rig_copy(&lure->rig, rig, err))
        return false;
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++)
            lure->rig.at[s].of[kind].weighed = (BlyFigure){NAN, 0};
    }
    return true;
}

bool real_blank(RealLure *lure, double *mass, BlyError *err) {
    Real real;
    bool good = make(lure, &real, err);
    *mass = 0;
    for (size_t i = 0; good && i < real.moved.lure.count; i++) {
        const BlyItem *item = &real.moved.lure.items[i];
        *mass += bly_item_stage(item) == BLY_STAGE_BLANK ? item->mass : 0;
    }
    moved_lure_release(&real.moved);
    return good;
}

bool real_piece(RealLure *lure, int seat, BlyPartKind kind, double *mass, BlyError *err) {
    Real real;
    bool good = make(lure, &real, err);
    *mass = good ? mass_at(&real.moved.lure, seat, (int)kind) : NAN;
    moved_lure_release(&real.moved);
    return good;
}

/* What the file takes a rig for. */
static bool told(const BlyBuild *build, const BlyRig *rig, double all[REAL_SEATS_MAX],
                 BlyError *err) {
    BlyLure lure = {0};
    bool good = bly_lure_make(&build->blank, build->seats, rig, &lure, err);
    for (size_t s = 0; good && s < rig->count; s++)
        all[s] = mass_at(&lure, (int)s, -1);
    bly_lure_release(&lure);
    return good;
}

static bool same_piece(const BlyChosenPart *a, const BlyChosenPart *b) {
    return a->part == b->part && same(1e3 * a->weighed.value, 1e3 * b->weighed.value);
}

/* What the file takes it for. */
static double weighed(const BlyChoice *choice, int kind) {
    const BlyChosenPart *piece = &choice->of[kind];
    if (piece->part == NULL || isfinite(piece->weighed.value))
        return piece->part == NULL ? 0 : piece->weighed.value;
    if (kind == BLY_PART_WIRE)
        return choice->count * bly_wire_turn_mass(piece->part, choice->of[BLY_PART_HOOK].part);
    return kind == BLY_PART_DOT ? choice->count * piece->part->mass.value : 0;
}

static bool other_hook(const BlyChoice *now, const BlyChoice *to) {
    return now->of[BLY_PART_HOOK].part != to->of[BLY_PART_HOOK].part;
}

/* Whether the scale says when it is enough: where that is surer than a count. Wire is cut to its
 * length, unless it goes with another hook. */
static bool by_scale(const BlyChoice *now, const BlyChoice *to) {
    int kind = last_kind(to);
    if (kind < 0 || !isfinite(to->of[kind].weighed.value))
        return false;
    double more = weighed(to, kind) - (now->of[kind].part != NULL ? weighed(now, kind) : 0);
    return other_hook(now, to) ||
           (kind != BLY_PART_WIRE &&
            fabs(more) * bly_part_give_share(to->of[kind].part) > scale_give);
}

/* How much heavier than the catalog has it this maker's piece is, as a share. */
static double drawn_share(RealLure *lure, const BlyPart *part) {
    BlyInput input = {BLY_IN_PART_MASS, part->id, -1, -1, -1, part->mass.value, part->mass.give};
    const double *u = draw_of(lure, &input);
    return u != NULL && part->mass.give > 0
               ? *u * part->mass.give / BLY_SIGMAS_95 / part->mass.value
               : 0;
}

/* So much more or less by count or length, of what the file says the mass of; `real`: what it
 * weighs so far. */
static void by_count(RealLure *lure, size_t s, const BlyChoice *now, const BlyChoice *to,
                     double real) {
    RealHands *hands = &lure->hands[s];
    int kind = last_kind(to);
    bool known = kind >= 0 && isfinite(to->of[kind].weighed.value), had = false;
    if (kind >= 0)
        had = now->of[kind].part == to->of[kind].part;
    if (!known && !had)
        hands->piece = 0; /* nothing, or as the catalog has it */
    if (!known || (had && same_piece(&now->of[kind], &to->of[kind])))
        return;
    double more = weighed(to, kind) - (had ? weighed(now, kind) : 0);
    const BlyPart *part = to->of[kind].part;
    if (kind == BLY_PART_WIRE) /* of a metre that was weighed, so and so much */
        hands->piece = fmax((had ? real : 0) + more * (1 + hands->metre / part->mass.value) +
                                drawn(lure, nip_give) * part->mass.value,
                            1e-9);
    else if (kind == BLY_PART_STRIP && had)
        hands->piece = real * to->length / now->length;
    else
        hands->piece =
            fmax((had ? real : 0) + more * (1 + drawn_share(lure, part)) * (1 + hands->turn), 1e-9);
}

static bool finish_by_scale(RealLure *lure, const BlyRig *now, const BlyRig *to,
                            const double before[REAL_SEATS_MAX], BlyError *err) {
    double all[REAL_SEATS_MAX], last[REAL_SEATS_MAX], was[REAL_SEATS_MAX], then[REAL_SEATS_MAX];
    if (!weigh(lure, all, last, err) || !told(lure->build, now, was, err) ||
        !told(lure->build, to, then, err))
        return false;
    for (size_t s = 0; s < to->count; s++) {
        if (!by_scale(&now->at[s], &to->at[s]))
            continue;
        double wanted = before[s] + then[s] - was[s] + drawn(lure, scale_give);
        lure->hands[s].piece = fmax(last[s] + wanted - all[s], 1e-9);
        put_on(lure, s, &to->at[s]);
    }
    return true;
}

bool real_mend(RealLure *lure, const BlyRig *now, const BlyRig *to, BlyError *err) {
    double before[REAL_SEATS_MAX], last[REAL_SEATS_MAX];
    BlyRig said;
    if (!weigh(lure, before, last, err) || !bly_rig_copy(&said, to, err))
        return false;
    for (size_t s = 0; s < to->count; s++) {
        set_hands(lure, s, &lure->said.at[s], &to->at[s]);
        grind(lure, s, &now->at[s], &to->at[s]);
        by_count(lure, s, &now->at[s], &to->at[s], last[s]);
        put_on(lure, s, &to->at[s]);
    }
    bly_rig_release(&lure->said);
    lure->said = said;
    return finish_by_scale(lure, now, to, before, err);
}

static bool rest_in(Real *real, const BlyWaterFacts *facts, BlyOutcome *out, BlyError *err) {
    BlyWater water;
    return uncertain_water(&real->set, facts, real->u, &water, err) &&
           bly_rest(&real->moved.lure, &water, out, err);
}

bool real_in_tank(RealLure *lure, BlyOutcome *out, BlyError *err) {
    Real real;
    bool good = make(lure, &real, err) && rest_in(&real, &lure->build->water, out, err);
    moved_lure_release(&real.moved);
    return good;
}

bool real_in_own_water(RealLure *lure, BlyOutcome *out, BlyError *err) {
    const BlyWaterFacts *facts = &lure->build->water;
    Real real;
    BlyWater water;
    bool good = make(lure, &real, err) &&
                bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) &&
                bly_rest(&real.moved.lure, &water, out, err);
    moved_lure_release(&real.moved);
    return good;
}

/* How far outside, in half-bands. */
static double outside(double value, double low, double high, double open_half) {
    bool both = isfinite(low) && isfinite(high);
    double half = both ? fmax(0.5 * (high - low), 1e-12) : open_half;
    double off = fmax(isfinite(low) ? low - value : 0, isfinite(high) ? value - high : 0);
    return isnan(value) ? INFINITY : fmax(off, 0) / half;
}

static double as_weight(double speed) {
    return isfinite(speed) ? speed * fabs(speed) : speed;
}

/* Half-bands that it lies outside. */
typedef struct Outside {
    double drift, nose, shows;
} Outside;

static Outside outside_of(const BlyTarget *target, const BlyOutcome *o) {
    double low, high;
    bool floats = target->state == BLY_FLOATS;
    bly_target_drift(target, &low, &high);
    Outside out = {0};
    out.drift = outside(as_weight(o->drift), as_weight(low), as_weight(high), 1e-4);
    double nose = floats && o->has_surface ? o->surface.nose_down : o->nose_down;
    out.nose = outside(nose, target->nose_low, target->nose_high, 0.1745);
    if (floats)
        out.shows = outside(o->has_surface ? o->surface.shows : 0, target->shows_low,
                            target->shows_high, 0.04);
    return out;
}

static double worst_of(Outside out) {
    return fmax(out.drift, fmax(out.nose, out.shows));
}

bool real_misses(RealLure *lure, RealMiss *what, BlyError *err) {
    const BlyBuild *build = lure->build;
    Real real;
    Outside worst = {0};
    bool good = make(lure, &real, err);
    for (size_t w = 0; good && w < build->target_water_count; w++) {
        BlyOutcome outcome;
        good = rest_in(&real, &build->target_waters[w], &outcome, err);
        Outside now = good ? outside_of(&build->target, &outcome) : worst;
        worst = worst_of(now) > worst_of(worst) ? now : worst;
    }
    moved_lure_release(&real.moved);
    *what = worst.drift >= fmax(worst.nose, worst.shows) ? REAL_DRIFT_OFF
            : worst.nose >= worst.shows                  ? REAL_NOSE_OFF
                                                         : REAL_SHOWS_OFF;
    return good;
}

bool real_judge(RealLure *lure, bool *met, double *off, BlyError *err) {
    const BlyBuild *build = lure->build;
    Real real;
    bool good = make(lure, &real, err);
    *met = true;
    *off = 0;
    for (size_t w = 0; good && w < build->target_water_count; w++) {
        BlyOutcome outcome;
        good = rest_in(&real, &build->target_waters[w], &outcome, err);
        *met = *met && good && bly_judge(&build->target, &outcome).met;
        if (good)
            *off = fmax(*off, worst_of(outside_of(&build->target, &outcome)));
    }
    moved_lure_release(&real.moved);
    return good;
}
