/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stand-in: sums over the lure as a polynomial of the inputs: mass, volumes and their moments are
 * all but linear in each. Slope and bend of each input come from two lures, one sigma off either
 * way; of the products only those between facts of the body and its coats are worth keeping
 * (density times volume, thickness times density). How the water holds the lure changes little with
 * its inputs: it goes along in the same polynomial, looked at where the nominal lure rests.
 * Swelling and the water's density are not in it: they multiply what is here. Held to the lure
 * room's own sums in tests/spread/test_quick.c (sums_of_lures). */
#include "spread/quick.h"

#include <math.h>
#include <string.h>

void quick_sums_add(double sums[SUMS], Moments more) {
    sums[SUM_M] += more.m;
    sums[SUM_MX] += more.mx;
    sums[SUM_MZ] += more.mz;
    sums[SUM_P] += more.v;
    sums[SUM_PX] += more.vx;
    sums[SUM_PZ] += more.vz;
}

Moments quick_sums_moments(const double sums[SUMS]) {
    return (Moments){.m = sums[SUM_M],
                     .v = sums[SUM_P],
                     .mx = sums[SUM_MX],
                     .mz = sums[SUM_MZ],
                     .vx = sums[SUM_PX],
                     .vz = sums[SUM_PZ]};
}

void quick_sums_of(const BlyLure *lure, double out[SUMS]) {
    const BlyBlank *blank = lure->blank;
    Moments hull = moments_of_volume(blank->hull_volume, blank->hull_centroid), items = {0};
    moments_add(&items, lure->items, lure->count, moments_si);
    memset(out, 0, SUMS * sizeof *out);
    out[SUM_H] = hull.v;
    out[SUM_HX] = hull.vx;
    out[SUM_HZ] = hull.vz;
    quick_sums_add(out, items);
}

typedef struct Task {
    const UncertainCase *set;
    BlyWater water;
    double nose_down, speed; /* where the hold is looked at */
    BlyHold hold;            /* nominal */
} Task;

static void add_hold(const BlyHold *hold, const BlyHold *nominal, double out[SUMS]) {
    out[SUM_HOLD_X] = hold->centre.x - nominal->centre.x;
    out[SUM_HOLD_Z] = hold->centre.z - nominal->centre.z;
    out[SUM_HOLD_AREA] = log(hold->area / nominal->area);
}

static bool sums_at(const Task *task, const double *u, double out[SUMS], BlyError *err) {
    MovedLure lure;
    BlyHold hold;
    bool good = moved_lure_make(task->set, u, &lure, err);
    if (good) {
        /* Drag and its factor are inputs of their own. */
        lure.blank.facts.drag_factor = task->set->build->facts.drag_factor;
        quick_sums_of(&lure.lure, out);
        good =
            bly_rest_hold(&lure.lure, &task->water, task->nose_down, &task->speed, 1, &hold, err);
    }
    if (good)
        add_hold(&hold, &task->hold, out);
    moved_lure_release(&lure);
    return good;
}

/* Standing still is looked at as drifting very slowly. */
static bool open_task(const UncertainCase *set, const BlyOutcome *nominal, Task *task,
                      BlyError *err) {
    const double nothing[BLY_INPUTS_MAX] = {0};
    MovedLure lure;
    *task = (Task){.set = set, .water = nominal->water};
    task->nose_down = isnan(nominal->nose_down) ? 0.0 : nominal->nose_down;
    task->speed = fmax(fabs(nominal->drift), 1e-3);
    bool good =
        moved_lure_make(set, nothing, &lure, err) &&
        bly_rest_hold(&lure.lure, &task->water, task->nose_down, &task->speed, 1, &task->hold, err);
    moved_lure_release(&lure);
    return good;
}

/* Swelling and water act outside the polynomial, drag on nothing in it. */
static bool moves_sums(BlyInputKind kind) {
    return kind != BLY_IN_EXPANSION && kind != BLY_IN_DRAG && kind != BLY_IN_MUNK &&
           kind != BLY_IN_TEMPERATURE && kind != BLY_IN_SALINITY;
}

static bool of_body(const BlyInput *input) {
    return moves_sums(input->kind) && input->kind <= BLY_IN_INSET_MASS;
}

static bool find_slopes(const Task *task, QuickSums *out, BlyError *err) {
    const UncertainCase *set = task->set;
    double u[BLY_INPUTS_MAX] = {0}, more[SUMS], less[SUMS];
    for (size_t i = 0; i < set->input_count; i++) {
        if (!moves_sums(set->inputs[i].kind))
            continue;
        u[i] = 1.0;
        bool good = sums_at(task, u, more, err);
        u[i] = -1.0;
        good = good && sums_at(task, u, less, err);
        u[i] = 0.0;
        if (!good)
            return false;
        for (int k = 0; k < SUMS; k++) {
            out->slope[i][k] = 0.5 * (more[k] - less[k]);
            out->bend[i][k] = 0.5 * (more[k] + less[k]) - out->at_zero[k];
        }
    }
    return true;
}

static bool cross_of(const Task *task, const QuickSums *sums, QuickCross *cross, BlyError *err) {
    double u[BLY_INPUTS_MAX] = {0}, both[SUMS];
    u[cross->a] = u[cross->b] = 1.0;
    if (!sums_at(task, u, both, err))
        return false;
    for (int k = 0; k < SUMS; k++) {
        double alone = sums->slope[cross->a][k] + sums->bend[cross->a][k] +
                       sums->slope[cross->b][k] + sums->bend[cross->b][k];
        cross->by[k] = both[k] - sums->at_zero[k] - alone;
    }
    return true;
}

/* Only what moves a sum by a thousandth of its spread. */
static bool counts(const QuickSums *sums, const QuickCross *cross) {
    for (int k = 0; k < SUMS; k++) {
        double square = 0.0;
        for (size_t i = 0; i < sums->count; i++)
            square += sums->slope[i][k] * sums->slope[i][k];
        if (fabs(cross->by[k]) > 1e-3 * sqrt(square) && square > 0.0)
            return true;
    }
    return false;
}

static bool find_crosses(const Task *task, QuickSums *out, BlyError *err) {
    const UncertainCase *set = task->set;
    for (size_t a = 0; a < set->input_count; a++) {
        for (size_t b = a + 1; b < set->input_count; b++) {
            if (!of_body(&set->inputs[a]) || !of_body(&set->inputs[b]) ||
                out->cross_count == CROSSES_MAX)
                continue;
            QuickCross *cross = &out->cross[out->cross_count];
            *cross = (QuickCross){.a = a, .b = b};
            if (!cross_of(task, out, cross, err))
                return false;
            out->cross_count += counts(out, cross);
        }
    }
    return true;
}

bool quick_sums_make(const UncertainCase *set, const BlyOutcome *nominal, QuickSums *out,
                     BlyError *err) {
    const double nothing[BLY_INPUTS_MAX] = {0};
    Task task;
    memset(out, 0, sizeof *out);
    out->count = set->input_count;
    return open_task(set, nominal, &task, err) && sums_at(&task, nothing, out->at_zero, err) &&
           find_slopes(&task, out, err) && find_crosses(&task, out, err);
}

void quick_sums_at(const QuickSums *sums, const double *u, double out[SUMS]) {
    memcpy(out, sums->at_zero, SUMS * sizeof *out);
    for (size_t i = 0; i < sums->count; i++) {
        double square = u[i] * u[i];
        for (int k = 0; k < SUMS; k++)
            out[k] += u[i] * sums->slope[i][k] + square * sums->bend[i][k];
    }
    for (size_t c = 0; c < sums->cross_count; c++) {
        double product = u[sums->cross[c].a] * u[sums->cross[c].b];
        for (int k = 0; k < SUMS; k++)
            out[k] += product * sums->cross[c].by[k];
    }
}
