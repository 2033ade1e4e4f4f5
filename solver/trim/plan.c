/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan of a rig: many lures, each looked at in the tank and trimmed the best way, and whether
 * it then meets the target. */
#include "trim/reserve.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

enum { NOISES = BLY_TESTS_MAX * PLANNED_NOISES };

bool plan_check(const BlyBuild *build, BlyReserveOptions *options, BlyError *err) {
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
static double weight_needed(const TrimPlan *plan, double *half) {
    double missing;
    planned_missing(&plan->task, &missing, half);
    return fabs(missing) + BLY_SIGMAS_90 * sqrt(plan->task.prior.cov[BELIEF_N][BELIEF_N]);
}

static bool make_lists(TrimPlan *plan, BlyError *err) {
    size_t bytes = plan->samples * sizeof(double);
    plan->met_then = calloc(plan->samples, 1);
    plan->mends = calloc(plan->samples, 1);
    plan->drift = malloc(bytes);
    plan->nose = malloc(bytes);
    plan->shows = malloc(bytes);
    bool good = plan->met_then && plan->mends && plan->drift && plan->nose && plan->shows;
    for (size_t g = 0; good && g < plan->trims->count; g++) {
        plan->steps[g] = malloc(bytes);
        plan->places[g] = malloc(bytes);
        plan->from[g] = malloc(bytes);
        good = plan->steps[g] && plan->places[g] && plan->from[g];
    }
    return good || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the samples of the reserve");
}

static bool fill(const BlyBuild *build, const BlyRig *rig, const BlyReserveOptions *options,
                 TrimPlan *plan, BlyError *err) {
    plan->quick = make_quick(build, rig, &plan->nominal, err);
    plan->trims = malloc(sizeof *plan->trims);
    if (!plan->quick)
        return false;
    if (!plan->trims)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for trims");
    planned_make(plan->quick, options, options->tools, &plan->task);
    TrimTask task = {build, plan->catalog, rig, options, plan->task.load[0].density, 0, 0, NULL};
    task.need = weight_needed(plan, &task.half);
    return trims_list(&task, plan->trims, err) &&
           trim_chooser_make(&plan->task, plan->trims, &plan->chooser, err) &&
           make_lists(plan, err) && plan_again(plan, options, err);
}

bool trim_plan_open(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                    const BlyReserveOptions *options, TrimPlan **out, BlyError *err) {
    BlyReserveOptions asked = options ? *options : (BlyReserveOptions){0};
    *out = NULL;
    if (!plan_check(build, &asked, err))
        return false;
    TrimPlan *plan = calloc(1, sizeof *plan);
    if (!plan)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a plan");
    *out = plan;
    plan->catalog = catalog;
    plan->samples = asked.samples;
    plan->own_lures = options != NULL && options->samples != 0;
    plan->seed = asked.seed;
    plan->tests = asked.fewer < BLY_TESTS_MAX ? BLY_TESTS_MAX - asked.fewer : 0;
    plan->asked = build->tests;
    return fill(build, rig, &asked, plan, err);
}

void trim_plan_free(TrimPlan *plan) {
    if (!plan)
        return;
    trim_chooser_release(&plan->chooser);
    for (int g = 0; g < TRIM_GROUPS_MAX; g++) {
        free(plan->steps[g]);
        free(plan->places[g]);
        free(plan->from[g]);
    }
    spread_draw_free(plan->draw);
    free(plan->met_then);
    free(plan->mends);
    free(plan->drift);
    free(plan->nose);
    free(plan->shows);
    free(plan->trims);
    free(plan->quick);
    free(plan);
}

/* Met in every water of the target; `tank` takes the outcome in the tank. */
static bool meets(const TrimPlan *plan, const double *u, const double sums[SUMS],
                  BlyOutcome *tank) {
    bool met = true;
    if (tank)
        quick_lure_sample(plan->quick, u, sums, 0, tank);
    for (size_t w = 1; met && w < plan->quick->water_count; w++) {
        BlyOutcome outcome;
        quick_lure_sample(plan->quick, u, sums, w, &outcome);
        met = bly_judge(plan->task.target, &outcome).met;
    }
    return met;
}

/* The lure as built with all that is on. What is added is off by its own give: `noise` has one
 * normal number for each group. */
static void put_on(const TrimPlan *plan, const TrimState *state, const double *noise,
                   double sums[SUMS]) {
    for (size_t g = 0; g < plan->trims->count; g++) {
        const TrimGroup *group = &plan->trims->group[g];
        int on = state->on[g];
        if (on < 0)
            continue;
        double by = trim_state_share(group, state, g, noise[g]);
        quick_sums_add(sums, moments_scaled(group->option[on].add, by));
    }
}

/* What the first test asks for. */
static void note_trims(TrimPlan *plan, const TrimMoves *moves, double drift) {
    plan->left_alone += moves->count == 0;
    for (int i = 0; i < moves->count; i++) {
        int g = moves->move[i].group;
        const TrimOption *option = &plan->trims->group[g].option[moves->move[i].option];
        plan->steps[g][plan->used[g]] = option->steps;
        plan->from[g][plan->used[g]] = drift;
        plan->places[g][plan->used[g]++] = option->x;
    }
}

/* How it lies in the tank, in the nominal lure's way or another. */
static void note_attitude(TrimPlan *plan, const BlyOutcome *tank) {
    double nominal = spread_quantity(plan->quick, 0, &plan->nominal, BLY_Q_NOSE_DOWN);
    double off = spread_moved(plan->quick, 0, tank, &plan->nominal, BLY_Q_NOSE_DOWN);
    if (fabs(off) <= SPREAD_TURNED)
        plan->nose[plan->nose_count++] = nominal + off;
    else if (tank->has_surface || !plan->quick->by_afloat[0])
        plan->turned++;
}

static void note_as_built(TrimPlan *plan, size_t number, const BlyOutcome *tank) {
    plan->drift[number] = tank->drift;
    note_attitude(plan, tank);
    double shows = spread_quantity(plan->quick, 0, tank, BLY_Q_SHOWS);
    if (!isnan(shows))
        plan->shows[plan->shows_count++] = shows;
}

/* u: the lure; noise: of the readings of each test, then of each group. */
static void one_lure(TrimPlan *plan, size_t number, double *u, const double *noise) {
    double built[SUMS], sums[SUMS];
    BlyOutcome tank;
    Belief belief = plan->task.prior;
    TrimState state;
    Outlook outlook;
    trim_state_begin(&state);
    quick_lure_tie(plan->quick, u);
    quick_lure_clamp(plan->quick, u);
    quick_sums_at(&plan->quick->sums, u, built);
    const bool as_built = meets(plan, u, built, &tank);
    bool met = as_built, now = as_built;
    unsigned char mends = 0;
    plan->met[0] += as_built;
    plan->kept[0] += as_built;
    note_as_built(plan, number, &tank);
    for (int test = 0; test < plan->tests; test++) {
        mends = (unsigned char)(mends + (!now && test < plan->asked));
        PlannedReading reading = planned_read(&plan->task, &tank, noise + test * PLANNED_NOISES);
        planned_learn(&plan->task, &reading, &belief);
        outlook_make(&plan->task, &belief, &outlook);
        TrimMoves moves = trim_choose(&plan->chooser, &state, &outlook);
        if (test == 0)
            note_trims(plan, &moves, tank.drift);
        trim_move(&plan->chooser, &moves, &state, &belief);
        memcpy(sums, built, sizeof sums);
        put_on(plan, &state, noise + NOISES, sums);
        now = meets(plan, u, sums, &tank);
        plan->met[test + 1] += now;
        plan->kept[test + 1] += as_built && now;
        met = test < plan->asked ? now : met;
    }
    plan->met_then[number] = met;
    plan->mends[number] = mends;
}

bool plan_again(TrimPlan *plan, const BlyReserveOptions *options, BlyError *err) {
    size_t inputs = plan->quick->set.input_count;
    memset(plan->met, 0, sizeof plan->met);
    memset(plan->kept, 0, sizeof plan->kept);
    memset(plan->used, 0, sizeof plan->used);
    plan->shows_count = plan->nose_count = plan->turned = plan->left_alone = plan->looked = 0;
    spread_draw_free(plan->draw);
    plan->draw = spread_draw_make(inputs + NOISES + plan->trims->count, BLY_SOURCE_SOBOL,
                                  options->seed, err);
    return plan->draw != NULL;
}

void trim_plan_look(TrimPlan *plan, size_t lures) {
    size_t inputs = plan->quick->set.input_count;
    double u[BLY_INPUTS_MAX + NOISES + TRIM_GROUPS_MAX];
    for (; plan->looked < lures && plan->looked < plan->samples; plan->looked++) {
        spread_draw_next(plan->draw, u);
        one_lure(plan, plan->looked, u, u + inputs);
    }
}

size_t trim_plan_looked(const TrimPlan *plan) {
    return plan->looked;
}

bool trim_plan_met(const TrimPlan *plan, size_t lure) {
    return plan->met_then[lure] != 0;
}

int trim_plan_mends(const TrimPlan *plan, size_t lure) {
    return plan->mends[lure];
}

double trim_plan_chance(const TrimPlan *plan) {
    int after = plan->asked < plan->tests ? plan->asked : plan->tests;
    return plan->looked > 0 ? (double)plan->met[after] / (double)plan->looked : NAN;
}

void trim_plan_room(const TrimPlan *plan, double *add, double *take_off) {
    double most = 2.0 * BLY_SIGMAS_90 * sqrt(plan->task.prior.cov[BELIEF_N][BELIEF_N]);
    *add = *take_off = 0.0;
    for (size_t g = 0; g < plan->trims->count; g++) {
        const TrimGroup *group = &plan->trims->group[g];
        for (size_t i = 0; i < group->count; i++) {
            double net = moments_weight(&group->option[i].add, plan->task.load[0].density).net;
            *add = fmax(*add, fmin(net, most));
            *take_off = fmax(*take_off, fmin(-net, most));
        }
    }
}
