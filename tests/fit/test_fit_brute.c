/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a maker would not build is left out here by the judge of whole rigs, there by the
 * programme's rows and lists. What the builds keep fitted is allowed whatever it is.
 *
 * fit against brute force: on small random builds every combination of hooks, eyes and places is
 * worked through the full physics here, ranked by the rule of docs/fit.md with arithmetic of our
 * own, and compared with what fit returns. Builds and targets are invented; the check is that two
 * independent ways agree. */
#include "support/raised.h"
#include "support/check.h"
#include "support/shipped.h"
#include "support/dice.h"
#include "ballastry/fit.h"
#include "ballastry/practice.h"
#include "build/build.h"

enum {
    INSTANCES = 220,
    SLIM_INSTANCES = 160,
    STOPPED_INSTANCES = 40,
    BEST = 6,
    RIGS_MOST = 4000,
    TEXT_MOST = 4000
};

/* The programme ranks by a model that is linear about the best rig; rigs nearer to one another
 * than this (in half-bands, of which a band has two) may change places. */
static const double tie = 0.03;

static const char *const hooks[] = {
    "treble-10-fine", "treble-8-fine", "treble-8-medium", "treble-6-fine",    "treble-6-medium",
    "treble-6-stout", "treble-7-fine", "treble-7-medium", "treble-10-medium", "treble-8-stout"};
static const char *const eyes[] = {"screw-eye-1.0-10", "screw-eye-0.8-8", "twisted-eye-0.8-10"};

typedef struct Instance {
    const char *hook[3];
    const char *eye[2];
    char text[TEXT_MOST];
} Instance;

static void pick_distinct(Dice *dice, const char *const *from, size_t count, const char **to,
                          size_t wanted) {
    for (size_t i = 0; i < wanted;) {
        const char *one = from[dice_below(dice, count)];
        bool twice = false;
        for (size_t k = 0; k < i; k++)
            twice = twice || to[k] == one;
        if (!twice)
            to[i++] = one;
    }
}

/* `slim`: a body so slim that hooks are more than 15 % of many of its rigs. */
static void make_text(Dice *dice, bool slim, Instance *in) {
    pick_distinct(dice, hooks, sizeof hooks / sizeof hooks[0], in->hook, 3);
    pick_distinct(dice, eyes, sizeof eyes / sizeof eyes[0], in->eye, 2);
    double k = slim ? dice_between(dice, 0.89, 0.98) : dice_between(dice, 0.9, 1.15);
    double density = slim ? dice_between(dice, 0.60, 0.72) : dice_between(dice, 0.78, 0.90);
    double fat = slim ? 0.89 * k : k;
    double half = dice_between(dice, 90, 240) + (slim ? 60 : 0);
    double nose = dice_between(dice, -75, -30), wide = dice_between(dice, 15, 35);
    bool two = dice_below(dice, 2) == 1;
    int n = snprintf(
        in->text, sizeof in->text,
        "{ \"ballastry\": 1, \"name\": \"made up\", \"water\": { \"temperature\": \"12 C\" },"
        "\"body\": { \"stations\": [ { \"x\": 0, \"diameter\": 0 }, { \"x\": %.3f, \"diameter\": "
        "%.3f }, { \"x\": %.3f, \"diameter\": %.3f }, { \"x\": %.3f, \"diameter\": %.3f } ],"
        "\"material\": { \"density\": \"%.4f g/cm3\", \"give\": \"0.05 g/cm3\" } },"
        "\"seats\": { \"tie\": { \"kind\": \"tie\", \"x\": 1, \"side\": \"nose\" },"
        "\"front\": { \"kind\": \"hanger\", \"x\": [%.3f, %.3f], \"step\": \"5 mm\", \"side\": "
        "\"belly\", \"open\": [\"eye\", \"hook\"] },"
        "\"rear\": { \"kind\": \"hanger\", \"x\": %.3f, \"side\": \"tail\", \"open\": [\"hook\"] } "
        "},"
        "\"fitted\": { \"tie\": { \"eye\": \"%s\" },"
        "\"front\": { \"eye\": \"%s\", \"ring\": \"ring-2\", \"hook\": \"%s\", \"x\": %.3f },"
        "\"rear\": { \"eye\": \"%s\", \"ring\": \"ring-2\", \"hook\": \"%s\" } },"
        "\"target\": { \"state\": \"suspend\", \"drift\": [\"%.2f mm/s\", \"%.2f mm/s\"],"
        "\"nose_down\": [\"%.2f deg\", \"%.2f deg\"], \"roll_arm\": \"0.2 mm\","
        "\"water\": [ { \"temperature\": \"10 C\" }%s ] },"
        "\"limits\": { \"allow\": [\"eye-wire\", \"eye-shank\", \"eye-wood\", \"eye-alike\", "
        "\"ring-size\"], \"only\": [\"%s\", \"%s\", \"%s\", \"%s\", \"%s\"] } }",
        20 * k, 14 * fat, 55 * k, 13 * fat, 95 * k, 3 * k, density, 25 * k, 25 * k + 10, 94 * k,
        eyes[0], in->eye[0], in->hook[0], 25 * k, eyes[0], in->hook[0], -half, half, nose,
        nose + wide, two ? ", { \"temperature\": \"16 C\" }" : "", in->hook[0], in->hook[1],
        in->hook[2], in->eye[0], in->eye[1]);
    assert_true(n > 0 && n < TEXT_MOST);
}

static int left_out; /* rigs that nobody would build */

/* One combination worked through here. */
typedef struct Truth {
    const BlyPart *front, *rear, *eye;
    double x, objective, price; /* of which `price` is for hooks that weigh more than their share */
    bool met;
} Truth;

static double beyond(double value, double low, double high) {
    double half = (high - low) / 2;
    double off = fabs(value - (low + high) / 2) / half - 0.25;
    return off > 0 ? off : 0;
}

/* docs/fit.md: mean over the waters of both distances, and 0.02 a piece, 0.1 a changed seat, 0.03
 * for each hundredth that hooks are of the lure above 15. */
static Truth work_out(const BlyBuild *build, const BlyRig *rig) {
    Truth t = {.met = true};
    BlyLure lure;
    BlyError err = {0};
    assert_true(bly_lure_make(&build->blank, build->seats, rig, &lure, &err));
    for (size_t w = 0; w < build->target_water_count; w++) {
        BlyWater water;
        BlyOutcome o;
        double low, high;
        assert_true(bly_water_at(build->target_waters[w].temperature.value, 0, &water, &err));
        assert_true(bly_rest_under_water(&lure, &water, &o, &err));
        assert_true(
            bly_rest_net_weight(&lure, &water, o.nose_down, build->target.drift_low, &low, &err));
        assert_true(
            bly_rest_net_weight(&lure, &water, o.nose_down, build->target.drift_high, &high, &err));
        double angle = o.nose_down;
        double off = beyond(o.sums.net_weight, low, high) +
                     beyond(angle, build->target.nose_low, build->target.nose_high);
        t.objective += off / (double)build->target_water_count;
        t.met = t.met && bly_judge(&build->target, &o).met;
    }
    double hung = 0, all = 0;
    for (size_t i = 0; i < lure.count; i++) {
        const BlyPart *part = lure.items[i].part;
        all += lure.items[i].mass;
        hung += part != NULL && part->kind == BLY_PART_HOOK ? lure.items[i].mass : 0;
    }
    t.price = 0.03 * fmax(0, 100 * hung / all - 15);
    t.objective += t.price;
    bly_lure_release(&lure);
    return t;
}

/* The rules that say never; how much of the lure its hooks are has a price. */
static bool against_the_craft(const BlyBuild *build, const BlyRig *rig) {
    BlyBreaches breaches;
    bool against = false;
    assert_true(bly_practice_judge(build, rig, &breaches, NULL));
    for (size_t i = 0; i < breaches.count; i++)
        against = against || breaches.at[i].rule != BLY_RULE_HOOK_SHARE;
    bly_breaches_release(&breaches);
    return against;
}

/* Where a word stands among those that are sold, or among grades. */
static int place_of(const char *word, const char *const *words, int count) {
    for (int i = 0; i < count; i++) {
        if (strcmp(word, words[i]) == 0)
            return i;
    }
    fail_msg("%s", word);
    return -1;
}

/* docs/fit.md: 0.1 a grade, 0.05 a number by which two hooks differ. */
static double unlike(const BlyPart *a, const BlyPart *b) {
    static const char *const grades[] = {"fine", "medium", "stout", "extra"};
    static const char *const sizes[] = {"12", "10", "8", "7", "6", "5", "4", "3", "2", "1"};
    return 0.1 * abs(place_of(a->grade, grades, 4) - place_of(b->grade, grades, 4)) +
           0.05 * abs(place_of(a->size, sizes, 10) - place_of(b->size, sizes, 10));
}

/* docs/fit.md: 0.04 for each id beyond the first of its kind. All three eyes, both hooks. */
static double further_ids(const Truth *t) {
    bool other_eye = t->eye != bly_catalog_part(&catalog, eyes[0]);
    return 0.04 * (other_eye + (t->front != t->rear)) + unlike(t->front, t->rear);
}

static size_t brute(const BlyBuild *build, const Instance *in, Truth *all) {
    int front = bly_build_seat(build, "front"), rear = bly_build_seat(build, "rear");
    BlyRig rig = {0};
    size_t count = 0;
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    for (int e = 0; e < 2; e++) {
        for (int a = 0; a < 3; a++) {
            for (int b = 0; b < 3; b++) {
                for (int place = 0; place < 3; place++) {
                    BlyChoice *f = &rig.at[front], *r = &rig.at[rear];
                    f->of[BLY_PART_EYE].part = bly_catalog_part(&catalog, in->eye[e]);
                    f->of[BLY_PART_HOOK].part = bly_catalog_part(&catalog, in->hook[a]);
                    r->of[BLY_PART_HOOK].part = bly_catalog_part(&catalog, in->hook[b]);
                    f->x = build->seats[front].x_from + 5e-3 * place;
                    if (!bly_choice_fits(&build->seats[front], f, NULL) ||
                        !bly_choice_fits(&build->seats[rear], r, NULL))
                        continue;
                    if (against_the_craft(build, &rig)) {
                        left_out++;
                        continue;
                    }
                    Truth t = work_out(build, &rig);
                    t.front = f->of[BLY_PART_HOOK].part;
                    t.rear = r->of[BLY_PART_HOOK].part;
                    t.eye = f->of[BLY_PART_EYE].part;
                    t.x = f->x;
                    bool front_changed = e != 0 || a != 0 || place != 0;
                    t.objective += 0.02 * 6 + 0.1 * (front_changed + (b != 0));
                    t.objective += further_ids(&t);
                    assert_true(count < RIGS_MOST);
                    all[count++] = t;
                }
            }
        }
    }
    bly_rig_release(&rig);
    return count;
}

static int by_objective(const void *pa, const void *pb) {
    const Truth *a = pa, *b = pb;
    return a->objective < b->objective ? -1 : a->objective > b->objective;
}

/* Keeps the best of each pair of hooks among those that meet the target. */
static size_t best_looks(Truth *all, size_t count) {
    size_t left = 0;
    qsort(all, count, sizeof *all, by_objective);
    for (size_t i = 0; i < count; i++) {
        bool alike = !all[i].met;
        for (size_t k = 0; k < left; k++)
            alike = alike || (all[k].front == all[i].front && all[k].rear == all[i].rear);
        if (!alike)
            all[left++] = all[i];
    }
    return left;
}

typedef struct Score {
    int feasible, infeasible, exact;
    int priced;  /* looks whose hooks weigh more than their share */
    int decided; /* another best rig than there would be without that price */
} Score;

static bool share_decides(const Truth *best, size_t count) {
    for (size_t i = 1; i < count; i++) {
        if (best[i].objective - best[i].price < best[0].objective - best[0].price - 1e-9)
            return true;
    }
    return false;
}

static void compare(const BlyFitResult *result, const BlyBuild *build, const Truth *best,
                    size_t count, Score *score) {
    int front = bly_build_seat(build, "front"), rear = bly_build_seat(build, "rear");
    assert_int_equal(result->met, count > 0);
    if (count == 0) {
        score->infeasible++;
        return;
    }
    score->feasible++;
    assert_int_equal(result->count, count < BEST ? count : BEST);
    bool exact = true;
    for (size_t i = 0; i < result->count; i++) {
        const BlyFitRig *rig = &result->rigs[i];
        assert_true(rig->met);
        assert_close(rig->off + rig->cost, best[i].objective, tie, 0);
        exact = exact && rig->rig.at[front].of[BLY_PART_HOOK].part == best[i].front &&
                rig->rig.at[rear].of[BLY_PART_HOOK].part == best[i].rear;
    }
    score->exact += exact;
    score->decided += share_decides(best, count);
    for (size_t i = 0; i < count; i++)
        score->priced += best[i].price > 0;
}

/* Stops a fit at its n-th word: the same place every time. */
typedef struct Stopper {
    atomic_bool stop;
    int told, at;
} Stopper;

static void count_words(void *context, const BlyFitProgress *progress) {
    (void)progress;
    Stopper *stopper = context;
    if (++stopper->told >= stopper->at)
        atomic_store(&stopper->stop, true);
}

/* What a stopped fit says is held against every combination worked through here. Each rig has six
 * pieces, so none costs less than six of them and no change: docs/fit.md's gap, by hand. */
static bool stopped_is_honest(const BlyBuild *build, int at, const Truth *best, size_t count,
                              int *bounded) {
    Stopper stopper = {.at = at};
    BlyFitOptions options = {.rigs = BEST,
                             .stop = raised,
                             .stop_context = &stopper.stop,
                             .progress = count_words,
                             .progress_context = &stopper};
    BlyFitResult result;
    assert_true(bly_fit(build, &catalog, &options, &result, NULL));
    bool stopped = result.stopped, met = result.met;
    for (size_t i = 0; i < result.count; i++)
        assert_int_equal(result.rigs[i].met, met);
    assert_false(met && count == 0);
    assert_int_equal(isfinite(result.gap), result.proven || met);
    if (met && !result.proven) {
        double merit = result.rigs[0].off + result.rigs[0].cost;
        double least = at == 1 ? result.cost_least : 0.02 * 6; /* stopped before the last list */
        assert_close(result.gap, merit - least, 1e-9, 0);
        assert_true(result.cost_least <= 0.02 * 6 + 1e-9);
        assert_true(best[0].objective >= merit - result.gap - 1e-9);
        *bounded += best[0].objective < merit - 1e-6; /* where a gap of 0 would be a lie */
    }
    bly_fit_release(&result);
    return stopped;
}

static void a_stopped_fit_bounds_what_brute_force_finds(void **state) {
    (void)state;
    Dice dice = {20261129};
    int stops = 0, bounded = 0;
    static Truth all[RIGS_MOST];
    int instances = repeats(STOPPED_INSTANCES, 8);
    for (int i = 0; i < instances; i++) {
        Instance in;
        BlyBuild *build;
        make_text(&dice, false, &in);
        assert_true(bly_build_read(in.text, strlen(in.text), &catalog, &build, NULL));
        size_t count = best_looks(all, brute(build, &in, all));
        int at = 1; /* later words are much alike */
        for (; stopped_is_honest(build, at, all, count, &bounded); at += 1 + at / 8)
            stops++;
        bly_build_free(build);
    }
    print_message("%d stops, after %d of them a better rig was left\n", stops, bounded);
    assert_true(stops > 10 * instances && bounded > instances / 2);
}

static Score compare_with_brute_force(uint64_t seed, bool slim, int instances) {
    Dice dice = {seed};
    Score score = {0};
    static Truth all[RIGS_MOST];
    for (int i = 0; i < instances; i++) {
        Instance in;
        BlyBuild *build;
        BlyError err = {0};
        make_text(&dice, slim, &in);
        if (!bly_build_read(in.text, strlen(in.text), &catalog, &build, &err))
            fail_msg("%s: %s", err.where, err.text);
        size_t count = best_looks(all, brute(build, &in, all));
        BlyFitOptions options = {.rigs = BEST};
        BlyFitResult result;
        if (!bly_fit(build, &catalog, &options, &result, &err))
            fail_msg("%s: %s", err.where, err.text);
        compare(&result, build, all, count, &score);
        bly_fit_release(&result);
        bly_build_free(build);
    }
    print_message(
        "%d feasible (%d in exactly the same order), %d infeasible, %d looks priced, %d decided\n",
        score.feasible, score.exact, score.infeasible, score.priced, score.decided);
    assert_true(score.exact >= score.feasible * 9 / 10);
    return score;
}

static void fit_finds_what_brute_force_finds(void **state) {
    (void)state;
    int instances = repeats(INSTANCES, 44);
    left_out = 0;
    Score score = compare_with_brute_force(20261125, false, instances);
    assert_true(score.feasible >= instances / 6 && score.infeasible >= instances / 11);
    assert_true(left_out > 10 * instances); /* of 54 each */
}

/* And where only heavy hooks meet the target, they are found: nothing is hidden by its price. */
static void hooks_that_are_ballast_cost(void **state) {
    (void)state;
    int instances = repeats(SLIM_INSTANCES, 24);
    Score score = compare_with_brute_force(20261201, true, instances);
    assert_true(score.feasible >= instances / 6 && score.priced >= score.feasible / 2 &&
                score.decided > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fit_finds_what_brute_force_finds),
        cmocka_unit_test(hooks_that_are_ballast_cost),
        cmocka_unit_test(a_stopped_fit_bounds_what_brute_force_finds),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
