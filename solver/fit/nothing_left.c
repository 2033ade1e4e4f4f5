/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why the limits leave no rig at all, in words. */
#include "fit/problem.h"
#include "text/format.h"

#include <math.h>

static const char *seat_name(const Problem *p, size_t set) {
    return p->build->seats[p->sets[set].seat].name;
}

/* Of the cheapest choice; INFINITY where no price is known. Nothing costs nothing. */
static double least_price(const CandidateSet *set) {
    double least = INFINITY;
    for (size_t c = 0; c < set->count; c++) {
        double price = bly_choice_is_empty(&set->at[c].choice) ? 0 : set->at[c].price;
        least = fmin(least, price); /* passes over NAN */
    }
    return least;
}

/* False where the price does not stand in the way, or not alone. */
static bool too_dear(const Problem *p, char *out, size_t size) {
    double most = p->build->limits.price_most, sum = 0;
    for (size_t i = 0; isfinite(most) && i < p->set_count; i++) {
        double least = least_price(&p->sets[i]);
        sum += least;
        if (isinf(least)) {
            (void)bly_format(
                out, size,
                "nothing that may go to %s has a price, so nothing can be shown to keep "
                "the price limit of %.2f; a catalog of your own can say prices",
                seat_name(p, i), most);
            return true;
        }
    }
    if (!isfinite(most) || sum <= most)
        return false;
    (void)bly_format(out, size, "the cheapest choice costs %.2f, the price limit is %.2f", sum,
                     most);
    return true;
}

static bool must_change(const CandidateSet *set) {
    for (size_t c = 0; c < set->count; c++) {
        if (!set->at[c].changed)
            return false;
    }
    return true;
}

static bool too_many_changes(const Problem *p, char *out, size_t size) {
    int must = 0, most = p->build->limits.changes_most;
    for (size_t i = 0; i < p->set_count; i++)
        must += must_change(&p->sets[i]);
    if (most < 0 || must <= most)
        return false;
    (void)bly_format(out, size, "%d %s to change, the limits allow %d", must,
                     must == 1 ? "seat has" : "seats have", most);
    return true;
}

/* How near two hangers' hooks can come at best: room that is missing, m, at most 0 where some pair
 * is clear; -INFINITY where one may hang empty. */
static double missing_room(const CandidateSet *a, const CandidateSet *b, double *apart) {
    double least = INFINITY;
    for (size_t i = 0; i < a->count && least > 0; i++) {
        for (size_t k = 0; k < b->count && least > 0; k++) {
            double room = bly_swings_room(&a->at[i].swing, &b->at[k].swing);
            double distance = bly_vec_norm(bly_vec_sub(a->at[i].swing.at, b->at[k].swing.at));
            if (room - distance < least) {
                least = room - distance;
                *apart = distance;
            }
        }
    }
    return least;
}

/* Two hangers too near to each other for any hooks that the limits leave. */
static bool too_near(const Problem *p, char *out, size_t size) {
    for (size_t a = 0; a < p->set_count; a++) {
        for (size_t b = a + 1; b < p->set_count; b++) {
            double apart = 0, missing;
            if (p->build->seats[p->sets[a].seat].kind != BLY_SEAT_HANGER ||
                p->build->seats[p->sets[b].seat].kind != BLY_SEAT_HANGER)
                continue;
            missing = missing_room(&p->sets[a], &p->sets[b], &apart);
            if (!(missing > 0) || isinf(missing))
                continue;
            (void)bly_format(
                out, size,
                "%s and %s hang %.0f mm apart; even the hooks that reach least need "
                "%.0f mm to hang clear: allow smaller ones (hook_size), move a hanger, "
                "or leave one empty",
                seat_name(p, a), seat_name(p, b), 1e3 * apart, ceil(1e3 * (apart + missing)));
            return true;
        }
    }
    return false;
}

void problem_nothing_left(const Problem *p, char *out, size_t size) {
    if (too_dear(p, out, size) || too_many_changes(p, out, size) || too_near(p, out, size))
        return;
    const BoxCount *scarce = p->box.count > 0 ? &p->box.at[0] : NULL;
    (void)bly_format(out, size,
                     "no choice keeps all limits at once and has hooks that hang clear of each "
                     "other%s%.60s%s",
                     scarce != NULL ? "; the box has few of some parts, such as " : "",
                     scarce != NULL ? scarce->part->id : "",
                     scarce != NULL ? " (`ballastry catalog box` lists it)" : "");
}
