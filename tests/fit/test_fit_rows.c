/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds that one row of the programme decides: the cheap rigs all miss the target by that one
 * requirement, more looks of them than the fit works through, so that with the row open no rig is
 * found (tried by hand for the roll row and for the upper angle row). Every rig of the small
 * catalog is worked through the full physics here, and fit must say what that says. Bodies and
 * targets are invented; the parts are the shipped ones. */
#include "support/check.h"
#include "support/shipped.h"
#include "ballastry/fit.h"
#include "build/build.h"

enum { COUNT_MOST = 8, KINDS_MOST = 40, LIST_MOST = 1000, RIGS_MOST = 200000 };
enum { LOOKS_MOST = (KINDS_MOST + 1) * (KINDS_MOST + 1) };

/* docs/fit.md: two rigs nearer than this in merit may change places. */
static const double tie = 0.03;

/* Dots of one kind on one patch, about one place; part NULL: none. */
typedef struct Dots {
    const BlyPart *part;
    int count;
    double x;
} Dots;

typedef enum Miss { MEETS, BY_ROLL, BY_UPPER_ANGLE, OTHERWISE } Miss;

/* What the full physics says of a rig, and how that stands to the target. */
typedef struct Truth {
    Dots at[2];
    double net, net_low, net_high, drift, nose_down, roll_arm;
    double cost, merit;
    Miss miss;
} Truth;

static BlyBuild *read_build(const char *text) {
    BlyBuild *build;
    BlyError err = {0};
    if (!bly_build_read(text, strlen(text), &catalog, &build, &err))
        fail_msg("%s: %s", err.where, err.text);
    return build;
}

/* ---- every rig ---- */

static BlyChoice choice_of(Dots dots) {
    BlyChoice out = bly_choice_empty(dots.x);
    if (dots.part != NULL) {
        out.of[BLY_PART_DOT] = (BlyChosenPart){dots.part, {NAN, 0}};
        out.count = dots.count;
    }
    return out;
}

static size_t list_kind(const BlySeat *seat, const BlyPart *part, Dots *out) {
    double reach = seat->x_to - seat->x_from, edge = 0.5 * part->outer;
    int places = reach > part->outer ? (int)floor((reach - part->outer) / 2e-3) + 1 : 1;
    size_t count = 0;
    for (int place = 0; place < places; place++) {
        double x = seat->x_from + (places == 1 ? 0.5 * reach : edge + place * 2e-3);
        for (int n = 1; n <= COUNT_MOST; n++) {
            Dots one = {part, n, x};
            BlyChoice choice = choice_of(one);
            if (!bly_choice_fits(seat, &choice, NULL))
                break;
            out[count++] = one;
        }
    }
    return count;
}

/* All that a patch takes, every two millimetres (docs/fit.md), and nothing. */
static size_t list_dots(const BlyBuild *build, const BlySeat *seat, Dots *out) {
    const BlyPart **parts;
    size_t kinds, count = 0;
    assert_true(bly_limits_parts(&build->limits, &catalog, BLY_PART_DOT, &parts, &kinds, NULL));
    out[count++] = (Dots){NULL, 0, seat->x_from};
    for (size_t i = 0; i < kinds; i++) {
        assert_true(kinds <= KINDS_MOST && count + 100 < LIST_MOST);
        count += list_kind(seat, parts[i], out + count);
    }
    free(parts);
    return count;
}

static double beyond(double value, double low, double high) {
    double off = fabs(value - 0.5 * (low + high)) / (0.5 * (high - low)) - 0.25;
    return off > 0 ? off : 0;
}

/* False for rigs far off in weight. */
static bool work_out(const BlyBuild *build, const BlyRig *rig, Truth *t) {
    const BlyTarget *target = &build->target;
    BlyLure lure;
    BlyOutcome o;
    BlyWater water;
    assert_true(bly_water_at(build->target_waters[0].temperature.value, 0, &water, NULL));
    assert_true(bly_lure_make(&build->blank, build->seats, rig, &lure, NULL));
    bly_balance_sums(&lure, &water, &o.sums);
    bool near = fabs(o.sums.net_weight) < 0.25e-3;
    if (near) {
        assert_true(bly_rest_under_water(&lure, &water, &o, NULL));
        assert_true(
            bly_rest_net_weight(&lure, &water, o.nose_down, target->drift_low, &t->net_low, NULL));
        assert_true(bly_rest_net_weight(&lure, &water, o.nose_down, target->drift_high,
                                        &t->net_high, NULL));
        t->net = o.sums.net_weight;
        t->drift = o.drift;
        t->nose_down = o.nose_down;
        t->roll_arm = o.roll_arm;
    }
    bly_lure_release(&lure);
    return near;
}

/* docs/fit.md's merit with arithmetic of our own. */
static void judge(const BlyTarget *target, Truth *t) {
    BlyOutcome o = {.drift = t->drift, .nose_down = t->nose_down, .roll_arm = t->roll_arm};
    BlyJudgement j = bly_judge(target, &o);
    bool drift = !(j.drift_off > 0), nose = !(j.nose_off > 0), roll = !(j.roll_off > 0);
    t->cost = 0;
    for (int k = 0; k < 2; k++) {
        double price = t->at[k].part != NULL ? t->at[k].part->price : NAN;
        t->cost += t->at[k].part != NULL ? 0.08 + 0.02 * t->at[k].count : 0;
        t->cost += isfinite(price) ? 0.05 * price * t->at[k].count : 0;
    }
    t->merit = t->cost + beyond(t->net, t->net_low, t->net_high) +
               beyond(t->nose_down, target->nose_low, target->nose_high);
    t->miss = OTHERWISE;
    if (j.met)
        t->miss = MEETS;
    else if (drift && nose)
        t->miss = BY_ROLL;
    else if (drift && roll && t->nose_down > target->nose_high)
        t->miss = BY_UPPER_ANGLE;
}

static size_t brute(const BlyBuild *build, const char *const seats[2], Truth *all) {
    static Dots lists[2][LIST_MOST];
    int seat[2];
    size_t lengths[2], count = 0;
    BlyRig rig = {0};
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    for (int k = 0; k < 2; k++) {
        seat[k] = bly_build_seat(build, seats[k]);
        lengths[k] = list_dots(build, &build->seats[seat[k]], lists[k]);
    }
    for (size_t a = 0; a < lengths[0]; a++) {
        for (size_t b = 0; b < lengths[1]; b++) {
            Truth t = {.at = {lists[0][a], lists[1][b]}};
            rig.at[seat[0]] = choice_of(t.at[0]);
            rig.at[seat[1]] = choice_of(t.at[1]);
            if (!work_out(build, &rig, &t))
                continue;
            assert_true(count < RIGS_MOST);
            all[count++] = t;
        }
    }
    bly_rig_release(&rig);
    return count;
}

static const Truth *best_of(const Truth *all, size_t count) {
    const Truth *best = NULL;
    for (size_t i = 0; i < count; i++) {
        if (all[i].miss == MEETS && (best == NULL || all[i].merit < best->merit))
            best = &all[i];
    }
    assert_non_null(best);
    return best;
}

/* How many looks (kinds of dots on the two patches) there are that miss by this alone and cost less
 * than the best rig. */
static size_t cheaper_looks(const Truth *all, size_t count, Miss miss, const Truth *best) {
    static const Truth *seen[LOOKS_MOST];
    size_t looks = 0;
    for (size_t i = 0; i < count; i++) {
        bool twice = all[i].miss != miss || all[i].cost >= best->cost;
        for (size_t k = 0; k < looks && !twice; k++)
            twice = seen[k]->at[0].part == all[i].at[0].part &&
                    seen[k]->at[1].part == all[i].at[1].part;
        if (!twice)
            seen[looks++] = &all[i];
    }
    return looks;
}

static int rising(const void *pa, const void *pb) {
    double a = *(const double *)pa, b = *(const double *)pb;
    return (a > b) - (a < b);
}

/* The edge that `keep` of the rigs in the drift band are beyond: the largest roll arms, the most
 * nose-up angles. */
static double edge_of(const BlyTarget *target, const Truth *all, size_t count, bool arm,
                      size_t keep) {
    static double value[RIGS_MOST];
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        if (all[i].drift >= target->drift_low && all[i].drift <= target->drift_high)
            value[n++] = arm ? -all[i].roll_arm : all[i].nose_down;
    }
    assert_true(n > 4 * keep);
    qsort(value, n, sizeof *value, rising);
    double edge = 0.5 * (value[keep - 1] + value[keep]);
    return arm ? -edge : edge;
}

static void check(const char *text, const char *const seats[2], Miss miss, size_t keep) {
    static Truth all[RIGS_MOST];
    BlyBuild *build = read_build(text);
    BlyTarget *target = &build->target;
    BlyError err = {0};
    size_t count = brute(build, seats, all), meet = 0;
    double edge = edge_of(target, all, count, miss == BY_ROLL, keep);
    if (miss == BY_ROLL) {
        target->roll_arm_least = edge;
    } else {
        target->nose_low += edge - target->nose_high;
        target->nose_high = edge;
    }
    for (size_t i = 0; i < count; i++)
        judge(target, &all[i]);
    const Truth *best = best_of(all, count);
    size_t looks = cheaper_looks(all, count, miss, best);
    for (size_t i = 0; i < count; i++)
        meet += all[i].miss == MEETS;
    /* enough that an open row fills the fit's whole list of picks with them */
    print_message("%zu meet, %zu cheaper looks\n", meet, looks);
    assert_true(meet >= keep && looks > 20);
    BlyFitOptions options = {.rigs = 1};
    BlyFitResult result;
    if (!bly_fit(build, &catalog, &options, &result, &err))
        fail_msg("%s: %s", err.where, err.text);
    assert_true(result.met);
    assert_int_equal(result.count, 1);
    assert_close(result.rigs[0].off + result.rigs[0].cost, best->merit, tie, 0);
    bly_fit_release(&result);
    bly_build_free(build);
}

#define BODY(density)                                                                              \
    "{ \"ballastry\": 1, \"name\": \"rows\", \"water\": { \"temperature\": \"12 C\" },"            \
    "\"body\": { \"stations\": [ { \"x\": 0, \"diameter\": 0 }, { \"x\": 20, \"diameter\": 15 },"  \
    "{ \"x\": 55, \"diameter\": 14 }, { \"x\": 95, \"diameter\": 3 } ],"                           \
    "\"material\": { \"density\": \"" density " g/cm3\", \"give\": \"0.02 g/cm3\" } },"

static void the_roll_row(void **state) {
    (void)state;
    static const char *const seats[2] = {"spine", "keel"};
    check(
        BODY("0.89") "\"seats\": {"
                     "\"front\": { \"kind\": \"hanger\", \"x\": 42, \"side\": \"belly\" },"
                     "\"spine\": { \"kind\": \"patch\", \"x\": [34, 46], \"side\": \"back\", "
                     "\"width\": 12, \"open\": [\"dot\"] },"
                     "\"keel\": { \"kind\": \"patch\", \"x\": [36, 44], \"side\": \"belly\", "
                     "\"width\": 4.2, \"open\": [\"dot\"] } },"
                     "\"fitted\": { \"front\": { \"eye\": \"screw-eye-1.0-10\", \"ring\": "
                     "\"ring-2\", \"hook\": \"treble-7-stout\" } },"
                     "\"target\": { \"state\": \"suspend\", \"drift\": [\"-40 mm/s\", \"40 mm/s\"],"
                     "\"nose_down\": [\"-80 deg\", \"80 deg\"], \"roll_arm\": \"0.1 mm\" },"
                     "\"limits\": { \"only\": [\"lead-dot-*\", \"tungsten-dot-*\", "
                     "\"tin-copper-dot-*\"] } }",
        seats, BY_ROLL, 40);
}

/* What the stern takes is dear (the prices are invented), and the least nose-down lures have it. */
static void price_small_dots(double price) {
    for (size_t i = 0; i < catalog.part_count; i++) {
        if (catalog.parts[i].kind == BLY_PART_DOT && catalog.parts[i].outer < 4.2e-3)
            catalog.parts[i].price = price;
    }
}

static void the_upper_angle_row(void **state) {
    (void)state;
    price_small_dots(4);
    static const char *const seats[2] = {"fore", "stern"};
    check(
        BODY("0.92") "\"seats\": {"
                     "\"front\": { \"kind\": \"hanger\", \"x\": 42, \"side\": \"belly\" },"
                     "\"fore\": { \"kind\": \"patch\", \"x\": [24, 34], \"side\": \"belly\", "
                     "\"width\": 12, \"open\": [\"dot\"] },"
                     "\"stern\": { \"kind\": \"patch\", \"x\": [70, 75], \"side\": \"belly\", "
                     "\"width\": 4.2, \"open\": [\"dot\"] } },"
                     "\"fitted\": { \"front\": { \"eye\": \"screw-eye-1.0-10\", \"ring\": "
                     "\"ring-2\", \"hook\": \"treble-7-stout\" } },"
                     "\"target\": { \"state\": \"suspend\", \"drift\": [\"-40 mm/s\", \"40 mm/s\"],"
                     "\"nose_down\": [\"-75 deg\", \"15 deg\"], \"roll_arm\": \"0.1 mm\" },"
                     "\"limits\": { \"only\": [\"washer-*\", \"tungsten-dot-*\", "
                     "\"tin-copper-dot-*\"] } }",
        seats, BY_UPPER_ANGLE, 200);
    price_small_dots(NAN);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_roll_row),
        cmocka_unit_test(the_upper_angle_row),
    };
    return cmocka_run_group_tests(tests, load_without_practice, drop_shipped);
}
