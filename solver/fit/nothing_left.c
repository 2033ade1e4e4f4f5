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
            (void)bly_format(out, size,
                             "nothing that may go to %s has a price, so nothing is known to keep "
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

void problem_nothing_left(const Problem *p, char *out, size_t size) {
    if (too_dear(p, out, size) || too_many_changes(p, out, size))
        return;
    (void)bly_format(out, size,
                     "no choice keeps all limits at once and has hooks that hang clear of each "
                     "other");
}
