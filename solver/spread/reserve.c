/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The trim reserve of a rig: many lures, each looked at in the tank and trimmed the best way, and
 * how many of them then meet the target. */
#include "spread/reserve.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_statistics.h>
#include <stdlib.h>
#include <string.h>

typedef struct Run {
    SpreadModel *model;
    TankTask task;
    TrimList *trims;
    TrimCombos combos;
    size_t samples, met_before, met_after, left_alone;
    double *drift, *nose, *shows; /* in the tank, by sample */
    size_t shows_count;
    size_t used[TRIM_GROUPS_MAX];
    double *steps[TRIM_GROUPS_MAX], *places[TRIM_GROUPS_MAX],
        *from[TRIM_GROUPS_MAX]; /* of the lures that it is used on */
} Run;

static bool check(const BlyBuild *build, BlyReserveOptions *options, BlyError *err) {
    if (!build->has_target)
        return bly_fail(err, BLY_E_MISSING, "/target", "a reserve needs a target");
    if (options->samples == 0)
        options->samples = 2048;
    if (options->samples < 100 || options->samples > 100000)
        return bly_fail(err, BLY_E_RANGE, NULL, "the reserve takes 100 to 100000 samples");
    return true;
}

/* The tank first, then the target's waters. */
static SpreadModel *make_model(const BlyBuild *build, const BlyRig *rig, BlyError *err) {
    BlyWaterFacts waters[MODEL_WATERS_MAX];
    BlyOutcome nominal[MODEL_WATERS_MAX];
    size_t count = build->target_water_count + 1;
    waters[0] = build->water;
    for (size_t w = 1; w < count; w++)
        waters[w] = build->target_waters[w - 1];
    return spread_model_make(build, rig, waters, count, &build->target, nominal, err);
}

/* One sigma of net weight, from the sums. */
static double weight_sigma(const SpreadModel *model, double density) {
    double square = 0.0;
    for (size_t i = 0; i < model->set.input_count; i++) {
        const double *slope = model->sums.slope[i];
        square += gsl_pow_2(slope[SUM_M] - density * (slope[SUM_H] + slope[SUM_P]));
    }
    return sqrt(square);
}

/* What the far end of the spread lacks or has too much; and half the target's band. */
static double weight_needed(const Run *run, double *half) {
    double missing, density = run->task.load[0].density;
    TankBelief nominal;
    memcpy(nominal.load, run->task.load, sizeof nominal.load);
    nominal.shows = run->task.at_surface ? run->task.shows[0] : NAN;
    nominal.nose_down = spread_grip_rest(&run->model->grip, &run->task.load[0]).nose_down;
    tank_missing(&run->task, &nominal, &missing, half);
    return fabs(missing) + SPREAD_RANGE_SIGMA * weight_sigma(run->model, density);
}

static bool make_lists(Run *run, BlyError *err) {
    size_t bytes = run->samples * sizeof(double);
    run->drift = malloc(bytes);
    run->nose = malloc(bytes);
    run->shows = malloc(bytes);
    bool good = run->drift && run->nose && run->shows;
    for (size_t g = 0; good && g < run->trims->count; g++) {
        run->steps[g] = malloc(bytes);
        run->places[g] = malloc(bytes);
        run->from[g] = malloc(bytes);
        good = run->steps[g] && run->places[g] && run->from[g];
    }
    return good || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the samples of the reserve");
}

static bool open_run(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                     const BlyReserveOptions *options, Run *run, BlyError *err) {
    *run = (Run){.samples = options->samples};
    run->model = make_model(build, rig, err);
    run->trims = malloc(sizeof *run->trims);
    if (!run->model)
        return false;
    if (!run->trims)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for trims");
    tank_task_make(run->model, options, &run->task);
    TrimTask task = {build, catalog, rig, options, run->task.load[0].density, 0, 0};
    task.need = weight_needed(run, &task.half);
    return trims_list(&task, run->trims, err) &&
           trim_combos_make(run->trims, task.density, &run->combos, err) && make_lists(run, err);
}

static void close_run(Run *run) {
    trim_combos_release(&run->combos);
    for (int g = 0; g < TRIM_GROUPS_MAX; g++) {
        free(run->steps[g]);
        free(run->places[g]);
        free(run->from[g]);
    }
    free(run->drift);
    free(run->nose);
    free(run->shows);
    free(run->trims);
    free(run->model);
}

/* Met in every water of the target; `tank` takes the outcome in the tank. */
static bool meets(const Run *run, const double *u, const double sums[SUMS], BlyOutcome *tank) {
    bool met = true;
    if (tank)
        spread_model_sample(run->model, u, sums, 0, tank);
    for (size_t w = 1; met && w < run->model->water_count; w++) {
        BlyOutcome outcome;
        spread_model_sample(run->model, u, sums, w, &outcome);
        met = bly_judge(run->task.target, &outcome).met;
    }
    return met;
}

/* What is added is off by its own give: `noise` has one normal number for each group. */
static void trim(Run *run, const TrimCombo *combo, const double *noise, double drift,
                 double sums[SUMS]) {
    static const SpreadSum sum_of[ADDS] = {SUM_M, SUM_MX, SUM_MZ, SUM_P, SUM_PX, SUM_PZ};
    for (int k = 0; k < 2 && combo->group[k] >= 0; k++) {
        int g = combo->group[k];
        const TrimGroup *group = &run->trims->group[g];
        const TrimOption *option = &group->option[combo->option[k]];
        double by = fmax(1.0 + group->give_share / SPREAD_GIVE_SIGMA * noise[g], 0.1);
        for (int i = 0; i < ADDS; i++)
            sums[sum_of[i]] += by * option->add[i];
        run->steps[g][run->used[g]] = option->steps;
        run->from[g][run->used[g]] = drift;
        run->places[g][run->used[g]++] = option->x;
    }
}

static void one_lure(Run *run, size_t number, double *u, const double *noise) {
    double sums[SUMS];
    BlyOutcome tank;
    TankBelief belief;
    spread_model_tie(run->model, u);
    spread_model_clamp(run->model, u);
    spread_sums_at(&run->model->sums, u, sums);
    run->met_before += meets(run, u, sums, &tank);
    run->drift[number] = tank.drift;
    run->nose[number] = spread_quantity(run->model, &tank, BLY_Q_NOSE_DOWN);
    double shows = spread_quantity(run->model, &tank, BLY_Q_SHOWS);
    if (!isnan(shows))
        run->shows[run->shows_count++] = shows;
    TankReading reading = tank_read(&run->task, &tank, noise);
    tank_believe(&run->task, &reading, &belief);
    const TrimCombo *combo = trim_choose(run->trims, &run->combos, &run->task, &belief);
    run->left_alone += combo->group[0] < 0;
    trim(run, combo, noise + 2, tank.drift, sums);
    run->met_after += meets(run, u, sums, NULL);
}

static bool all_lures(Run *run, unsigned long seed, BlyError *err) {
    size_t inputs = run->model->set.input_count;
    double u[BLY_INPUTS_MAX + 2 + TRIM_GROUPS_MAX];
    SpreadDraw *draw =
        spread_draw_make(inputs + 2 + run->trims->count, BLY_SOURCE_SOBOL, seed, err);
    if (!draw)
        return false;
    for (size_t i = 0; i < run->samples; i++) {
        spread_draw_next(draw, u);
        one_lure(run, i, u, u + inputs);
    }
    spread_draw_free(draw);
    return true;
}

/* ---- what it comes to ---- */

static double quantile(double *values, size_t count, double share) {
    if (count == 0)
        return NAN;
    size_t k = (size_t)(share * (double)count);
    return gsl_stats_select(values, 1, count, k < count ? k : count - 1);
}

static void three(double *values, size_t count, double out[3]) {
    static const double share[3] = {0.05, 0.5, 0.95};
    for (int k = 0; k < 3; k++)
        out[k] = quantile(values, count, share[k]);
}

/* What one step does to a lure that drifts as those that it is used on. */
static void effects(const Run *run, const TrimGroup *group, BlyTrim *out) {
    const TrimOption *option = &group->option[0];
    const SpreadGrip *grip = &run->model->grip;
    double by = 1.0 / option->steps, add[ADDS];
    GripLoad load = run->task.load[0], more;
    GripCell hold;
    for (int i = 0; i < ADDS; i++)
        add[i] = by * option->add[i];
    GripRest rest = spread_grip_rest(grip, &load);
    load.net_weight = spread_grip_weight(grip, &load, rest.nose_down, out->from, &hold);
    rest = spread_grip_rest(grip, &load);
    more = load;
    out->net_weight = add[ADD_M] - load.density * add[ADD_P];
    more.net_weight += out->net_weight;
    more.wx += add[ADD_MX] - load.density * add[ADD_PX];
    more.wz += add[ADD_MZ] - load.density * add[ADD_PZ];
    GripRest after = spread_grip_rest(grip, &more);
    out->nose_down = remainder(after.nose_down - rest.nose_down, 2.0 * M_PI);
    out->drift = after.drift - rest.drift;
}

static void describe(Run *run, size_t g, double middle_drift, BlyTrim *out) {
    const TrimGroup *group = &run->trims->group[g];
    double steps[3];
    *out = (BlyTrim){.kind = group->kind, .seat = group->seat, .part = group->part};
    out->unit = trims_unit(group->kind);
    for (size_t i = 0; i < group->count; i++) {
        out->least = group->option[i].steps < out->least ? group->option[i].steps : out->least;
        out->most = group->option[i].steps > out->most ? group->option[i].steps : out->most;
    }
    out->used = (double)run->used[g] / (double)run->samples;
    out->x = run->used[g] > 0 ? quantile(run->places[g], run->used[g], 0.5) : group->option[0].x;
    out->from = run->used[g] > 0 ? quantile(run->from[g], run->used[g], 0.5) : middle_drift;
    effects(run, group, out);
    if (run->used[g] == 0)
        return;
    three(run->steps[g], run->used[g], steps);
    out->low = (int)lround(steps[0]);
    out->middle = (int)lround(steps[1]);
    out->high = (int)lround(steps[2]);
}

/* Insertion keeps the seats' order among equals. */
static void describe_all(Run *run, BlyReserve *out) {
    for (size_t g = 0; g < run->trims->count; g++) {
        BlyTrim trim_now;
        describe(run, g, out->drift[1], &trim_now);
        size_t at = out->count++;
        for (; at > 0 && out->trims[at - 1].used < trim_now.used; at--)
            out->trims[at] = out->trims[at - 1];
        out->trims[at] = trim_now;
    }
}

bool bly_reserve(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                 const BlyReserveOptions *options, BlyReserve *out, BlyError *err) {
    BlyReserveOptions asked = options ? *options : (BlyReserveOptions){0};
    Run run = {0};
    memset(out, 0, sizeof *out);
    if (!check(build, &asked, err))
        return false;
    bool good = open_run(build, catalog, rig, &asked, &run, err) &&
                bly_water_at(build->water.temperature.value, build->water.salinity.value,
                             &out->tank, err) &&
                all_lures(&run, asked.seed, err);
    if (good) {
        double n = (double)run.samples;
        out->samples = run.samples;
        out->chance_without = (double)run.met_before / n;
        out->chance_with = (double)run.met_after / n;
        out->left_alone = (double)run.left_alone / n;
        three(run.drift, run.samples, out->drift);
        three(run.nose, run.samples, out->nose_down);
        three(run.shows, run.shows_count, out->shows);
        describe_all(&run, out);
    }
    close_run(&run);
    return good;
}
