/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The trim reserve of a rig: many lures, each looked at in the tank and trimmed the best way, and
 * how many of them then meet the target. */
#include "trim/reserve.h"
#include "trim/trim.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_statistics.h>
#include <stdlib.h>
#include <string.h>

enum { NOISES = BLY_TESTS_MAX * PLANNED_NOISES };

typedef struct Run {
    const BlyCatalog *catalog; /* borrowed */
    QuickLure *quick;
    PlannedTest task;
    TrimList *trims;
    TrimChooser chooser;
    int tests;
    size_t samples, met[BLY_TESTS_MAX + 1], left_alone;
    double *drift, *nose, *shows; /* in the tank as built, by sample */
    size_t shows_count, nose_count, turned;
    BlyOutcome nominal;           /* in the tank */
    size_t used[TRIM_GROUPS_MAX]; /* after the first test */
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
    if (options->tools == 0)
        options->tools = build->tools != 0 ? build->tools : BLY_TOOLS_USUAL;
    return true;
}

/* The tank first, then the target's waters. */
static QuickLure *make_quick(const BlyBuild *build, const BlyRig *rig, BlyOutcome *tank,
                             BlyError *err) {
    BlyWaterFacts waters[QUICK_WATERS_MAX];
    BlyOutcome nominal[QUICK_WATERS_MAX];
    size_t count = build->target_water_count + 1;
    waters[0] = build->water;
    for (size_t w = 1; w < count; w++)
        waters[w] = build->target_waters[w - 1];
    QuickLure *quick = quick_lure_make(build, rig, waters, count, &build->target, nominal, err);
    if (quick)
        *tank = nominal[0];
    return quick;
}

/* What the far end of the spread lacks or has too much; and half the target's band. */
static double weight_needed(const Run *run, double *half) {
    double missing;
    planned_missing(&run->task, &missing, half);
    return fabs(missing) + BLY_SIGMAS_90 * sqrt(run->task.prior.cov[BELIEF_N][BELIEF_N]);
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
    *run = (Run){.catalog = catalog,
                 .samples = options->samples,
                 .tests = options->fewer < BLY_TESTS_MAX ? BLY_TESTS_MAX - options->fewer : 0};
    run->quick = make_quick(build, rig, &run->nominal, err);
    run->trims = malloc(sizeof *run->trims);
    if (!run->quick)
        return false;
    if (!run->trims)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for trims");
    planned_make(run->quick, options, options->tools, &run->task);
    TrimTask task = {build, catalog, rig, options, run->task.load[0].density, 0, 0, NULL};
    task.need = weight_needed(run, &task.half);
    return trims_list(&task, run->trims, err) &&
           trim_chooser_make(&run->task, run->trims, &run->chooser, err) && make_lists(run, err);
}

static void close_run(Run *run) {
    trim_chooser_release(&run->chooser);
    for (int g = 0; g < TRIM_GROUPS_MAX; g++) {
        free(run->steps[g]);
        free(run->places[g]);
        free(run->from[g]);
    }
    free(run->drift);
    free(run->nose);
    free(run->shows);
    free(run->trims);
    free(run->quick);
}

/* Met in every water of the target; `tank` takes the outcome in the tank. */
static bool meets(const Run *run, const double *u, const double sums[SUMS], BlyOutcome *tank) {
    bool met = true;
    if (tank)
        quick_lure_sample(run->quick, u, sums, 0, tank);
    for (size_t w = 1; met && w < run->quick->water_count; w++) {
        BlyOutcome outcome;
        quick_lure_sample(run->quick, u, sums, w, &outcome);
        met = bly_judge(run->task.target, &outcome).met;
    }
    return met;
}

/* The lure as built with all that is on. What is added is off by its own give: `noise` has one
 * normal number for each group. */
static void put_on(const Run *run, const TrimState *state, const double *noise, double sums[SUMS]) {
    for (size_t g = 0; g < run->trims->count; g++) {
        const TrimGroup *group = &run->trims->group[g];
        int on = state->on[g];
        if (on < 0)
            continue;
        double by = fmax(1.0 + sqrt(trim_share_variance(group, on)) * noise[g], 0.1);
        quick_sums_add(sums, moments_scaled(group->option[on].add, by));
    }
}

/* What the first test asks for. */
static void note_trims(Run *run, const TrimMoves *moves, double drift) {
    run->left_alone += moves->count == 0;
    for (int i = 0; i < moves->count; i++) {
        int g = moves->move[i].group;
        const TrimOption *option = &run->trims->group[g].option[moves->move[i].option];
        run->steps[g][run->used[g]] = option->steps;
        run->from[g][run->used[g]] = drift;
        run->places[g][run->used[g]++] = option->x;
    }
}

/* How it lies in the tank, in the nominal lure's way or another. */
static void note_attitude(Run *run, const BlyOutcome *tank) {
    double nominal = spread_quantity(run->quick, 0, &run->nominal, BLY_Q_NOSE_DOWN);
    double off = spread_moved(run->quick, 0, tank, &run->nominal, BLY_Q_NOSE_DOWN);
    if (fabs(off) <= SPREAD_TURNED)
        run->nose[run->nose_count++] = nominal + off;
    else if (tank->has_surface || !run->quick->by_afloat[0])
        run->turned++;
}

static void note_as_built(Run *run, size_t number, const BlyOutcome *tank) {
    run->drift[number] = tank->drift;
    note_attitude(run, tank);
    double shows = spread_quantity(run->quick, 0, tank, BLY_Q_SHOWS);
    if (!isnan(shows))
        run->shows[run->shows_count++] = shows;
}

/* u: the lure; noise: of the readings of each test, then of each group. */
static void one_lure(Run *run, size_t number, double *u, const double *noise) {
    double built[SUMS], sums[SUMS];
    BlyOutcome tank;
    Belief belief = run->task.prior;
    TrimState state;
    Outlook outlook;
    for (size_t g = 0; g < TRIM_GROUPS_MAX; g++)
        state.on[g] = -1;
    quick_lure_tie(run->quick, u);
    quick_lure_clamp(run->quick, u);
    quick_sums_at(&run->quick->sums, u, built);
    run->met[0] += meets(run, u, built, &tank);
    note_as_built(run, number, &tank);
    for (int test = 0; test < run->tests; test++) {
        PlannedReading reading = planned_read(&run->task, &tank, noise + test * PLANNED_NOISES);
        planned_learn(&run->task, &reading, &belief);
        outlook_make(&run->task, &belief, &outlook);
        TrimMoves moves = trim_choose(&run->chooser, &state, &outlook);
        if (test == 0)
            note_trims(run, &moves, tank.drift);
        trim_move(&run->chooser, &moves, &state, &belief);
        memcpy(sums, built, sizeof sums);
        put_on(run, &state, noise + NOISES, sums);
        run->met[test + 1] += meets(run, u, sums, &tank);
    }
}

static bool all_lures(Run *run, unsigned long seed, BlyError *err) {
    size_t inputs = run->quick->set.input_count;
    double u[BLY_INPUTS_MAX + NOISES + TRIM_GROUPS_MAX];
    SpreadDraw *draw =
        spread_draw_make(inputs + NOISES + run->trims->count, BLY_SOURCE_SOBOL, seed, err);
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
    const QuickGrip *grip = &run->quick->grip;
    Moments add = moments_scaled(option->add, 1.0 / option->steps);
    GripLoad load = run->task.load[0], more;
    GripCell hold;
    GripRest rest = quick_grip_rest(grip, &load);
    load.net_weight = quick_grip_weight(grip, &load, rest.nose_down, out->from, &hold);
    rest = quick_grip_rest(grip, &load);
    more = quick_grip_added(&load, &add);
    out->net_weight = moments_weight(&add, load.density).net;
    GripRest after = quick_grip_rest(grip, &more);
    out->nose_down = remainder(after.nose_down - rest.nose_down, 2.0 * M_PI);
    out->drift = after.drift - rest.drift;
}

static void describe(Run *run, size_t g, double middle_drift, BlyTrim *out) {
    const TrimGroup *group = &run->trims->group[g];
    double steps[3];
    *out = (BlyTrim){.kind = group->kind, .seat = group->seat, .part = group->part};
    out->unit = trims_unit(run->catalog, group->kind);
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
        out->tests = build->tests;
        out->worked = run.tests;
        out->tools = asked.tools;
        for (int k = 0; k <= BLY_TESTS_MAX; k++)
            out->chance[k] = k <= run.tests ? (double)run.met[k] / n : NAN;
        out->left_alone = (double)run.left_alone / n;
        three(run.drift, run.samples, out->drift);
        three(run.nose, run.nose_count, out->nose_down);
        out->turned = (double)run.turned / n;
        three(run.shows, run.shows_count, out->shows);
        describe_all(&run, out);
    }
    close_run(&run);
    return good;
}

/* ---- with something read before ---- */

/* Shares of the variance of net weight and of its moment that a reading takes away, added. */
static double doubt_gone(const QuickLure *quick, double density, const TrimKnown *known) {
    size_t n = quick->set.input_count;
    double all = known->sigma * known->sigma, with[2] = {0}, own[2] = {0}, gone = 0.0;
    for (size_t k = 0; k < n; k++) { /* along each independent input */
        double u[BLY_INPUTS_MAX] = {0}, moved[2] = {0}, row = 0.0;
        u[k] = 1.0;
        quick_lure_tie(quick, u);
        for (size_t i = 0; i < n; i++) {
            const double *slope = quick->sums.slope[i];
            row += known->row[i] * u[i];
            moved[0] += u[i] * (slope[SUM_M] - density * (slope[SUM_H] + slope[SUM_P]));
            moved[1] += u[i] * (slope[SUM_MX] - density * (slope[SUM_HX] + slope[SUM_PX]));
        }
        all += row * row;
        for (int q = 0; q < 2; q++) {
            with[q] += row * moved[q];
            own[q] += moved[q] * moved[q];
        }
    }
    for (int q = 0; q < 2; q++)
        gone += own[q] > 0.0 ? with[q] * with[q] / (all * own[q]) : 0.0;
    return gone;
}

/* The lures of the run, as its inputs' law now is: the share that meets the target in the end. */
static bool chance_of(Run *run, const BlyReserveOptions *options, double *chance, BlyError *err) {
    planned_make(run->quick, options, options->tools, &run->task);
    memset(run->met, 0, sizeof run->met);
    memset(run->used, 0, sizeof run->used);
    run->shows_count = run->nose_count = run->turned = run->left_alone = 0;
    if (!all_lures(run, options->seed, err))
        return false;
    *chance = (double)run->met[run->tests] / (double)run->samples;
    return true;
}

static bool each_known(Run *run, const BlyReserveOptions *options, const TrimKnown *known,
                       size_t count, size_t most, double *chance, BlyError *err) {
    QuickLure *quick = run->quick;
    double gone[TRIM_KNOWN_MAX], factor[BLY_INPUTS_MAX * BLY_INPUTS_MAX];
    bool good = true, tied = quick->tied;
    memcpy(factor, quick->factor, sizeof factor);
    for (size_t i = 0; i < count; i++) {
        gone[i] = doubt_gone(quick, run->task.load[0].density, &known[i]);
        chance[i] = NAN;
    }
    for (size_t round = 0; good && round < most && round < count; round++) {
        size_t best = count;
        for (size_t i = 0; i < count; i++) {
            if (isnan(chance[i]) && gone[i] > 1e-3 && (best == count || gone[i] > gone[best]))
                best = i;
        }
        if (best == count)
            break;
        good =
            trim_condition(quick->factor, quick->tied, quick->set.input_count, &known[best], err);
        quick->tied = true;
        good = good && chance_of(run, options, &chance[best], err);
        memcpy(quick->factor, factor, sizeof factor);
        quick->tied = tied;
    }
    return good;
}

bool trim_knowing(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                  const BlyReserveOptions *options, TrimKnownList list, const void *context,
                  size_t most, double *now, double chance[TRIM_KNOWN_MAX], size_t *count,
                  BlyError *err) {
    BlyReserveOptions asked = options ? *options : (BlyReserveOptions){0};
    Run run = {0};
    *count = 0;
    if (!check(build, &asked, err))
        return false;
    asked.fewer = build->tests < BLY_TESTS_MAX ? BLY_TESTS_MAX - build->tests : 0;
    TrimKnown *known = calloc(TRIM_KNOWN_MAX, sizeof *known);
    bool good = known != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for readings");
    good = good && open_run(build, catalog, rig, &asked, &run, err) &&
           chance_of(&run, &asked, now, err);
    if (good) {
        *count = list(context, run.quick->inputs, run.quick->set.input_count, known);
        good = each_known(&run, &asked, known, *count, most, chance, err);
    }
    close_run(&run);
    free(known);
    return good;
}
