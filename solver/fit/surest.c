/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The surest rigs: by the chance to meet the target after one tank test and the best trims. */
#include "fit/problem.h"
#include "ballastry/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { RIGS_LOOKED_AT = 10, QUICK_SAMPLES = 512 };

/* What can be added and taken off later, kg in water, up to what the spread asks for. */
typedef struct Room {
    double add, take_off;
} Room;

static bool find_room(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                      Room *out, BlyError *err) {
    const BlySpreadOptions quick = {.samples = QUICK_SAMPLES, .sample_all = true};
    const BlyReserveOptions few = {.samples = QUICK_SAMPLES};
    BlyReserve reserve;
    BlySpread *spread = malloc(sizeof *spread);
    if (spread == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    bool good = bly_spread(build, rig, build->target_waters, 1, NULL, &quick, spread, err) &&
                bly_reserve(build, catalog, rig, &few, &reserve, err);
    *out = (Room){0, 0};
    for (size_t k = 0; good && k < reserve.count; k++) {
        const BlyTrim *trim = &reserve.trims[k];
        out->add = fmax(out->add, trim->most * trim->net_weight);
        out->take_off = fmax(out->take_off, -trim->least * trim->net_weight);
    }
    if (good) {
        double asked = 2 * BLY_SIGMAS_90 * spread->water[0].range[BLY_Q_NET_WEIGHT].sigma;
        out->add = fmin(out->add, asked);
        out->take_off = fmin(out->take_off, asked);
    }
    free(spread);
    return good;
}

/* The drift at which the lure weighs `more` kg more than it does at `drift`. */
static bool shift_drift(const BlyLure *lure, const BlyWater *water, double nose, double more,
                        double *drift, BlyError *err) {
    double net;
    if (!isfinite(*drift))
        return true;
    return bly_rest_net_weight(lure, water, nose, *drift, &net, err) &&
           bly_rest_speed(lure, water, nose, net + more, drift, err);
}

/* The band of all lures that trims can bring into the target's. */
static bool widen(const BlyBuild *build, const BlyRig *rig, const Room *room, BlyTarget *target,
                  BlyError *err) {
    BlyLure lure;
    BlyWater water;
    const BlyWaterFacts *facts = &build->target_waters[0];
    if (!bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) ||
        !bly_lure_make(&build->blank, build->seats, rig, &lure, err))
        return false;
    double nose = isfinite(target->nose_low) && isfinite(target->nose_high)
                      ? (target->nose_low + target->nose_high) / 2
                      : 0;
    bool good = true;
    if (target->state == BLY_FLOATS &&
        (isfinite(target->shows_low) || isfinite(target->shows_high))) {
        double whole = water.density * build->blank.hull_volume;
        target->shows_high = fmin(target->shows_high + room->add / whole, 1);
        target->shows_low = fmax(target->shows_low - room->take_off / whole, 0);
    } else {
        good = shift_drift(&lure, &water, nose, -room->add, &target->drift_low, err) &&
               shift_drift(&lure, &water, nose, room->take_off, &target->drift_high, err);
    }
    bly_lure_release(&lure);
    return good;
}

typedef struct Ranked {
    BlyFitRig rig; /* owned */
    double chance;
} Ranked;

/* The chance speaks of still water: no trim mends what misses on the line. */
static bool misses_on_line(const BlyFitRig *rig) {
    return rig->binding >= BLY_REQ_TOW_ATTITUDE;
}

static int by_chance(const void *pa, const void *pb) {
    const Ranked *a = pa, *b = pb;
    if (misses_on_line(&a->rig) != misses_on_line(&b->rig))
        return misses_on_line(&a->rig) ? 1 : -1;
    int64_t chance_a = rig_steps(a->chance), chance_b = rig_steps(b->chance);
    if (chance_a != chance_b)
        return chance_a > chance_b ? -1 : 1;
    int64_t near_a = rig_steps(a->rig.off + a->rig.cost);
    int64_t near_b = rig_steps(b->rig.off + b->rig.cost);
    if (near_a != near_b)
        return near_a < near_b ? -1 : 1;
    return rig_order(&a->rig.rig, &b->rig.rig);
}

/* Takes a rig over as the build's own target judges it. */
static bool take(const BlyBuild *build, const BlyCatalog *catalog, BlyFitRig *from, Ranked *to,
                 BlyError *err) {
    const BlyReserveOptions few = {.samples = QUICK_SAMPLES};
    BlyReserve reserve;
    memset(to, 0, sizeof *to);
    if (!rig_rework(build, &from->rig, &to->rig, err))
        return false;
    if (!rig_finish(build, &to->rig, err)) {
        fit_rig_release(&to->rig);
        return false;
    }
    to->rig.cost = from->cost;
    to->rig.changes = from->changes;
    to->rig.pieces = from->pieces;
    to->rig.price = from->price;
    to->rig.equals = from->equals;
    from->equals = NULL;
    if (!bly_reserve(build, catalog, &to->rig.rig, &few, &reserve, err)) {
        fit_rig_release(&to->rig);
        return false;
    }
    to->chance = bly_reserve_chance(&reserve);
    return true;
}

static bool take_all(const BlyBuild *build, const BlyCatalog *catalog, BlyFitResult *from,
                     Ranked *ranked, size_t *count, BlyError *err) {
    for (size_t i = 0; i < from->count; i++) {
        if (!take(build, catalog, &from->rigs[i], &ranked[*count], err))
            return false;
        (*count)++;
    }
    return true;
}

static bool alike(const BlyRig *a, const BlyRig *b) {
    for (size_t s = 0; s < a->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            if (kind != BLY_PART_EYE && kind != BLY_PART_RING &&
                a->at[s].of[kind].part != b->at[s].of[kind].part)
                return false;
        }
    }
    return true;
}

/* The best of each look. */
static bool give(const BlyBuild *build, const BlyCatalog *catalog, Ranked *ranked, size_t count,
                 size_t wanted, BlyFitResult *out, BlyReserve **reserves, BlyError *err) {
    out->rigs = calloc(wanted, sizeof *out->rigs);
    *reserves = calloc(wanted, sizeof **reserves);
    if (out->rigs == NULL || *reserves == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    for (size_t i = 0; i < count && out->count < wanted; i++) {
        bool seen = false;
        for (size_t k = 0; k < out->count; k++)
            seen = seen || alike(&out->rigs[k].rig, &ranked[i].rig.rig);
        if (seen)
            continue;
        if (!bly_reserve(build, catalog, &ranked[i].rig.rig, NULL, &(*reserves)[out->count], err))
            return false;
        out->rigs[out->count++] = ranked[i].rig;
        memset(&ranked[i].rig, 0, sizeof ranked[i].rig);
    }
    for (size_t i = 0; i < out->count; i++)
        out->met = out->met || out->rigs[i].met ||
                   (!misses_on_line(&out->rigs[i]) && bly_reserve_chance(&(*reserves)[i]) >= 0.5);
    return true;
}

static void take_counts(const BlyFitResult *from, BlyFitResult *out) {
    out->stopped = out->stopped || from->stopped;
    out->complete = out->complete && from->complete && !out->stopped;
    out->gap = NAN; /* chance is what ranks: half-bands do not bound it, nothing is proven of it */
    out->cost_least = from->cost_least;
    out->rounds += from->rounds;
    out->columns = from->columns;
    out->nodes += from->nodes;
    memcpy(out->impossible, from->impossible, sizeof out->impossible);
}

bool bly_fit_surest(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                    BlyFitResult *out, BlyReserve **reserves, BlyError *err) {
    BlyFitOptions first = *options, second;
    BlyFitResult plain = {0}, light = {.complete = true};
    BlyBuild widened = *build; /* borrows everything */
    Ranked *ranked = calloc(2 * BLY_FIT_RIGS_MAX, sizeof *ranked);
    size_t count = 0, wanted = options->rigs == 0 ? 5 : options->rigs;
    Room room = {0, 0};
    *out = (BlyFitResult){.surest = true, .complete = true};
    *reserves = NULL;
    double deadline = fit_deadline(options);
    first.rigs = wanted > RIGS_LOOKED_AT ? wanted : RIGS_LOOKED_AT;
    second = first;
    second.margins = true;
    bool good = ranked != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    good = good && bly_fit(build, catalog, &first, &plain, err);
    second.time_limit_secs = fit_secs_left(deadline);
    light.stopped = fit_over(options, deadline);
    if (good && plain.count > 0 && !light.stopped)
        good = find_room(build, catalog, &plain.rigs[0].rig, &room, err) &&
               widen(build, &plain.rigs[0].rig, &room, &widened.target, err) &&
               bly_fit(&widened, catalog, &second, &light, err);
    if (good) {
        take_counts(&light, out);
        take_counts(&plain, out);
        fit_tell(options, &(BlyFitProgress){.stage = BLY_FIT_RANKS,
                                            .rigs = plain.count + light.count,
                                            .met = plain.met,
                                            .off = plain.count > 0 ? plain.rigs[0].off : NAN,
                                            .gap = out->gap});
        good = take_all(build, catalog, &plain, ranked, &count, err) &&
               take_all(build, catalog, &light, ranked, &count, err);
    }
    if (good) {
        qsort(ranked, count, sizeof *ranked, by_chance);
        good = give(build, catalog, ranked, count, wanted, out, reserves, err);
    }
    for (size_t i = 0; i < count; i++)
        fit_rig_release(&ranked[i].rig);
    free(ranked);
    bly_fit_release(&plain);
    bly_fit_release(&light);
    return good;
}
