/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The planned chance, and that after the next reading, against brute sampling: lures drawn anew by
 * pseudo-random numbers, each put together whole with its own figures and with what is trimmed on
 * it, worked by the full physics in the tank and in every water of the target. The maker's part
 * stays the plan's: what is read, what is believed then, which trims. What is drawn for a lure with
 * something read before is the reading, too: its mean as Bayes' rule has it is what is chosen
 * anew for, and taken off. The builds are the examples with the first rig of `fit`.
 *
 * Held: within three standard deviations of a share of so many lures and of the plan's own 2048,
 * and 0.02 for the stand-ins (docs/spread.md has what they are off by). FULL=1 draws more. */
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "build/files.h"
#include "support/check.h"
#include "trim/reserve.h"
#include "worth/worth.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <string.h>

enum { LURES = 300, LURES_IN_FULL = 2500, NOISES = BLY_TESTS_MAX * PLANNED_NOISES };
static const double stand_ins = 0.02;

typedef struct Brute {
    BlyCatalog catalog;
    BlyBuild *build;
    BlyFitResult fitted;
    BlyReserve *reserves;
    const BlyRig *rig;
    TrimPlan *plan; /* its trims, its test and what it believes before; no lure of it is used */
    gsl_rng *dice;
} Brute;

static void open_brute(const char *path, Brute *b) {
    const BlyFitOptions one = {.rigs = 1};
    BlyError err = {0};
    size_t size;
    char *text = file_bytes(path, &size);
    memset(b, 0, sizeof *b);
    if (!bly_catalog_shipped(&b->catalog, &err) ||
        !bly_build_read(text, size, &b->catalog, &b->build, &err) ||
        !bly_fit_surest(b->build, &b->catalog, &one, &b->fitted, &b->reserves, &err) ||
        !b->fitted.met)
        fail_msg("%s: %s %s", path, err.where, err.text);
    b->rig = &b->fitted.rigs[0].rig;
    assert_true(trim_plan_open(b->build, &b->catalog, b->rig, NULL, &b->plan, NULL));
    b->dice = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(b->dice, 20);
    free(text);
}

static void close_brute(Brute *b) {
    gsl_rng_free(b->dice);
    trim_plan_free(b->plan);
    free(b->reserves);
    bly_fit_release(&b->fitted);
    bly_build_free(b->build);
    bly_catalog_release(&b->catalog);
}

/* ---- a lure with trims on, put together ---- */

/* What cannot be said of a rig, for a seat takes one wire and one kind of dot: as a lump of its
 * own. */
typedef struct Lumps {
    Moments at[2 * TRIM_GROUPS_MAX];
    size_t count;
} Lumps;

/* Dots, strips and lips are said anew; what hangs goes on by the scale, in parts of a turn, a hook
 * or ring for another with wire on it: one lump at its hanger, as what a trim adds is by
 * tests/trim. */
static void put(const TrimGroup *group, int option, double factor, BlyRig *rig, Lumps *lumps) {
    const TrimOption *o = &group->option[option];
    BlyChoice *choice = &rig->at[group->seat];
    const bool dots = group->kind == BLY_TRIM_DOTS, hangs = group->kind == BLY_TRIM_TURNS ||
                                                            group->kind == BLY_TRIM_HOOK ||
                                                            group->kind == BLY_TRIM_RING;
    BlyChosenPart *dot = &choice->of[BLY_PART_DOT];
    const bool lump = hangs || (dots && dot->part != NULL && dot->part != group->part);
    lumps->at[lumps->count++] = moments_scaled(o->add, lump ? factor : factor - 1.0);
    if (lump)
        return;
    if (dots) {
        choice->count = (dot->part != NULL ? choice->count : 0) + o->steps;
        dot->part = choice->count > 0 ? group->part : NULL;
        dot->weighed.value = NAN;
        choice->x = o->x;
    } else if (group->kind == BLY_TRIM_LIP) {
        choice->filed += -o->steps * 1e-5; /* a hundredth of a millimetre, as told of it */
    } else {                               /* a strip by millimetres, an edge by halves of one */
        choice->length += o->steps * (group->kind == BLY_TRIM_STRIP ? 1e-3 : 0.5e-3);
    }
}

static void add_lumps(const Lumps *lumps, BlyLure *lure) {
    lure->items = realloc(lure->items, (lure->count + lumps->count + 1) * sizeof *lure->items);
    assert_non_null(lure->items);
    for (size_t i = 0; i < lumps->count; i++) {
        const Moments *m = &lumps->at[i];
        if (fabs(m->m) < 1e-15)
            continue;
        BlyItem item = {.kind = BLY_ITEM_PART, .seat = -1, .inset = -1};
        item.mass = m->m;
        item.volume = m->v;
        item.at = (BlyVec3){m->mx / m->m, 0, m->mz / m->m};
        item.from = item.to = item.at;
        if (m->v != 0.0)
            item.from = item.to = (BlyVec3){m->vx / m->v, 0, m->vz / m->v};
        lure->items[lure->count++] = item;
    }
}

static bool rest_of(const Brute *b, MovedLure *moved, const double *u, const BlyWaterFacts *facts,
                    BlyOutcome *out) {
    const QuickLure *quick = b->plan->quick;
    BlyWater water;
    BlyError err;
    bool good = uncertain_water(&quick->set, facts, u, &water, &err) &&
                (quick->at_surface ? bly_rest(&moved->lure, &water, out, &err)
                                   : bly_rest_under_water(&moved->lure, &water, out, &err));
    assert_true(good);
    return good;
}

/* Met in every water; how it lies in the tank. */
static bool look(const Brute *b, const double *u, const TrimState *state, const double *noise,
                 BlyOutcome *tank) {
    BlyRig rig;
    MovedLure moved;
    Lumps lumps = {.count = 0};
    UncertainCase set = b->plan->quick->set;
    bool met = true;
    assert_true(bly_rig_copy(&rig, b->rig, NULL));
    for (size_t g = 0; g < b->plan->trims->count; g++) {
        const TrimGroup *group = &b->plan->trims->group[g];
        if (state->on[g] < 0)
            continue;
        put(group, state->on[g], trim_state_share(group, state, g, noise[g]), &rig, &lumps);
    }
    set.rig = &rig;
    assert_true(moved_lure_make(&set, u, &moved, NULL));
    add_lumps(&lumps, &moved.lure);
    (void)rest_of(b, &moved, u, &b->build->water, tank);
    for (size_t w = 0; met && w < b->build->target_water_count; w++) {
        BlyOutcome outcome;
        (void)rest_of(b, &moved, u, &b->build->target_waters[w], &outcome);
        met = bly_judge(&b->build->target, &outcome).met;
    }
    moved_lure_release(&moved);
    bly_rig_release(&rig);
    return met;
}

/* ---- a maker with one lure ---- */

static void one_lure(const Brute *b, const double *u, size_t met[BLY_TESTS_MAX + 1]) {
    const TrimPlan *plan = b->plan;
    double noise[NOISES + TRIM_GROUPS_MAX];
    Belief belief = plan->task.prior;
    TrimState state;
    BlyOutcome tank;
    trim_state_begin(&state);
    for (size_t i = 0; i < sizeof noise / sizeof noise[0]; i++)
        noise[i] = gsl_ran_gaussian(b->dice, 1.0);
    met[0] += look(b, u, &state, noise + NOISES, &tank);
    for (int test = 0; test < b->build->tests; test++) {
        Outlook outlook;
        PlannedReading reading = planned_read(&plan->task, &tank, noise + test * PLANNED_NOISES);
        planned_learn(&plan->task, &reading, &belief);
        outlook_make(&plan->task, &belief, &outlook);
        TrimMoves moves = trim_choose(&plan->chooser, &state, &outlook);
        trim_move(&plan->chooser, &moves, &state, &belief);
        met[test + 1] += look(b, u, &state, noise + NOISES, &tank);
    }
}

/* Tied numbers of one lure, from independent ones. */
static void draw(const Brute *b, double *u) {
    for (size_t i = 0; i < b->plan->quick->set.input_count; i++)
        u[i] = gsl_ran_gaussian(b->dice, 1.0);
    quick_lure_tie(b->plan->quick, u);
}

/* What the reading says of this lure, taken off it: Bayes' rule for normal laws, along = C r by
 * the inputs' own covariance C. */
static void choose_anew(const Brute *b, const TrimKnown *known, const double *along, double all,
                        double *u) {
    double read = gsl_ran_gaussian(b->dice, known->sigma);
    size_t n = b->plan->quick->set.input_count;
    for (size_t i = 0; i < n; i++)
        read += known->row[i] * u[i];
    for (size_t i = 0; i < n; i++)
        u[i] -= along[i] * read / all;
}

static double covariance_along(const Brute *b, const TrimKnown *known, double *along) {
    const QuickLure *quick = b->plan->quick;
    size_t n = quick->set.input_count;
    double all = known->sigma * known->sigma;
    memset(along, 0, n * sizeof *along);
    for (size_t k = 0; k < n; k++) { /* C = sum over k of column k of the factor with itself */
        double column[BLY_INPUTS_MAX] = {0}, dot = 0;
        column[k] = 1.0;
        quick_lure_tie(quick, column);
        for (size_t i = 0; i < n; i++)
            dot += column[i] * known->row[i];
        for (size_t i = 0; i < n; i++)
            along[i] += column[i] * dot;
        all += dot * dot;
    }
    return all;
}

/* Shares that meet the target; known: NULL, or what was read before. */
static void sample(Brute *b, const TrimKnown *known, size_t lures, double out[BLY_TESTS_MAX + 1]) {
    QuickLure *quick = b->plan->quick;
    double along[BLY_INPUTS_MAX], all = 1.0, u[BLY_INPUTS_MAX];
    double factor[BLY_INPUTS_MAX * BLY_INPUTS_MAX], left[BLY_INPUTS_MAX * BLY_INPUTS_MAX];
    const bool tied = quick->tied;
    const BlyReserveOptions usual = {0};
    size_t met[BLY_TESTS_MAX + 1] = {0};
    memcpy(factor, quick->factor, sizeof factor);
    if (known != NULL) { /* the maker knows that much more */
        all = covariance_along(b, known, along);
        assert_true(trim_condition(quick->factor, tied, quick->set.input_count, known, NULL));
        memcpy(left, quick->factor, sizeof left);
        quick->tied = true;
        planned_make(quick, &usual, b->plan->task.tools, &b->plan->task);
        memcpy(quick->factor, factor, sizeof factor);
        quick->tied = tied;
    }
    for (size_t i = 0; i < lures; i++) {
        draw(b, u);
        if (known != NULL)
            choose_anew(b, known, along, all, u);
        quick_lure_clamp(quick, u);
        one_lure(b, u, met);
    }
    for (int k = 0; k <= b->build->tests; k++)
        out[k] = (double)met[k] / (double)lures;
}

static void near(const char *what, double plan, double brute, size_t lures) {
    double p = fmin(fmax(0.5 * (plan + brute), 0.02), 0.98);
    double sigma = sqrt(p * (1 - p) * (1.0 / (double)lures + 1.0 / 2048));
    print_message("  %-44s plan %.3f, brute force %.3f +-%.3f\n", what, plan, brute, sigma);
    assert_close(plan, brute, 3 * sigma + stand_ins, 0);
}

/* ---- the readings that `worth` knows ---- */

typedef struct Asked {
    const Brute *brute;
    WorthAct act[TRIM_KNOWN_MAX];
    TrimKnown known[TRIM_KNOWN_MAX];
} Asked;

static size_t list(const void *context, const BlyInput *inputs, size_t count,
                   TrimKnown out[TRIM_KNOWN_MAX]) {
    Asked *asked = (Asked *)(uintptr_t)context;
    size_t n = worth_list(asked->brute->build, asked->brute->rig, inputs, count, out, asked->act);
    memcpy(asked->known, out, sizeof asked->known);
    return n;
}

/* The chance as `fit` tells it, and that after the reading that takes most doubt away. */
static void against_brute(const char *path) {
    Brute b;
    Asked *asked = calloc(1, sizeof *asked);
    double brute[BLY_TESTS_MAX + 1], now, chance[TRIM_KNOWN_MAX];
    size_t count, best = 0, lures = (size_t)repeats(LURES_IN_FULL, LURES);
    const BlyReserveOptions options = {.samples = 2048};
    char words[100];
    assert_non_null(asked);
    open_brute(path, &b);
    asked->brute = &b;
    sample(&b, NULL, lures, brute);
    for (int k = 0; k <= b.build->tests; k++) {
        (void)snprintf(words, sizeof words, "%s, %d tests", path, k);
        near(words, b.reserves[0].chance[k], brute[k], lures);
    }
    assert_true(trim_knowing(b.build, &b.catalog, b.rig, &options, list, asked, 1, NULL, &now,
                             chance, &count, NULL));
    while (best < count && isnan(chance[best]))
        best++;
    assert_true(best < count);
    sample(&b, &asked->known[best], lures, brute);
    (void)snprintf(words, sizeof words, "%s, reading %d", path, (int)asked->act[best].kind);
    near(words, chance[best], brute[b.build->tests], lures);
    close_brute(&b);
    free(asked);
}

static void test_add_only(void **state) {
    (void)state;
    against_brute("examples/light-by-design.json");
}

static void test_two_waters(void **state) {
    (void)state;
    against_brute("examples/larch-minnow.json");
}

static void test_lip_alone(void **state) {
    (void)state;
    against_brute("examples/board-lip.json");
}

static int set_up(void **state) {
    (void)state;
    (void)gsl_set_error_handler_off();
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_add_only),
                                       cmocka_unit_test(test_two_waters),
                                       cmocka_unit_test(test_lip_alone)};
    return cmocka_run_group_tests(tests, set_up, NULL);
}
