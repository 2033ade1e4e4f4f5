/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums over the lure as a polynomial of the inputs: mass, volumes and their moments are all but
 * linear in each. Slope and bend of each input come from two lures, one sigma off either way; of
 * the products only those between facts of the body and its coats are worth keeping (density times
 * volume, thickness times density). How the water holds the lure changes little with its inputs:
 * it goes along in the same polynomial, looked at where the nominal lure rests. Swelling and the
 * water's density are not in it: they multiply what is here. */
#include "spread/spread.h"

#include <math.h>
#include <string.h>

static void of_blank(const BlyBlank *blank, double out[SUMS]) {
    memset(out, 0, SUMS * sizeof *out);
    out[SUM_H] = blank->hull_volume;
    out[SUM_HX] = blank->hull_volume * blank->hull_centroid.x;
    out[SUM_HZ] = blank->hull_volume * blank->hull_centroid.z;
}

static void add_items(const BlyItem *items, size_t count, double out[SUMS]) {
    for (size_t i = 0; i < count; i++) {
        const BlyItem *item = &items[i];
        out[SUM_M] += item->mass;
        out[SUM_MX] += item->mass * item->at.x;
        out[SUM_MZ] += item->mass * item->at.z;
        out[SUM_P] += item->volume;
        out[SUM_PX] += item->volume * 0.5 * (item->from.x + item->to.x);
        out[SUM_PZ] += item->volume * 0.5 * (item->from.z + item->to.z);
    }
}

void spread_sums_of(const BlyLure *lure, double out[SUMS]) {
    of_blank(lure->blank, out);
    add_items(lure->items, lure->count, out);
}

typedef struct Task {
    const SpreadCase *set;
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
    SpreadLure lure;
    BlyHold hold;
    bool good = spread_lure_make(task->set, u, &lure, err);
    if (good) {
        /* Drag and its factor are inputs of their own. */
        lure.blank.facts.drag_factor = task->set->build->facts.drag_factor;
        spread_sums_of(&lure.lure, out);
        good =
            bly_rest_hold(&lure.lure, &task->water, task->nose_down, &task->speed, 1, &hold, err);
    }
    if (good)
        add_hold(&hold, &task->hold, out);
    spread_lure_release(&lure);
    return good;
}

/* Standing still is looked at as drifting very slowly. */
static bool open_task(const SpreadCase *set, const BlyOutcome *nominal, Task *task, BlyError *err) {
    const double nothing[BLY_INPUTS_MAX] = {0};
    SpreadLure lure;
    *task = (Task){.set = set, .water = nominal->water};
    task->nose_down = isnan(nominal->nose_down) ? 0.0 : nominal->nose_down;
    task->speed = fmax(fabs(nominal->drift), 1e-3);
    bool good =
        spread_lure_make(set, nothing, &lure, err) &&
        bly_rest_hold(&lure.lure, &task->water, task->nose_down, &task->speed, 1, &task->hold, err);
    spread_lure_release(&lure);
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

static bool find_slopes(const Task *task, SpreadSums *out, BlyError *err) {
    const SpreadCase *set = task->set;
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

static bool cross_of(const Task *task, const SpreadSums *sums, SpreadCross *cross, BlyError *err) {
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
static bool counts(const SpreadSums *sums, const SpreadCross *cross) {
    for (int k = 0; k < SUMS; k++) {
        double square = 0.0;
        for (size_t i = 0; i < sums->count; i++)
            square += sums->slope[i][k] * sums->slope[i][k];
        if (fabs(cross->by[k]) > 1e-3 * sqrt(square) && square > 0.0)
            return true;
    }
    return false;
}

static bool find_crosses(const Task *task, SpreadSums *out, BlyError *err) {
    const SpreadCase *set = task->set;
    for (size_t a = 0; a < set->input_count; a++) {
        for (size_t b = a + 1; b < set->input_count; b++) {
            if (!of_body(&set->inputs[a]) || !of_body(&set->inputs[b]) ||
                out->cross_count == CROSSES_MAX)
                continue;
            SpreadCross *cross = &out->cross[out->cross_count];
            *cross = (SpreadCross){.a = a, .b = b};
            if (!cross_of(task, out, cross, err))
                return false;
            out->cross_count += counts(out, cross);
        }
    }
    return true;
}

bool spread_sums_make(const SpreadCase *set, const BlyOutcome *nominal, SpreadSums *out,
                      BlyError *err) {
    const double nothing[BLY_INPUTS_MAX] = {0};
    Task task;
    memset(out, 0, sizeof *out);
    out->count = set->input_count;
    return open_task(set, nominal, &task, err) && sums_at(&task, nothing, out->at_zero, err) &&
           find_slopes(&task, out, err) && find_crosses(&task, out, err);
}

void spread_sums_at(const SpreadSums *sums, const double *u, double out[SUMS]) {
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
