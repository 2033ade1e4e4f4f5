/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fit against the full physics alone: made-up lures that float, suspend or sink in one to three
 * waters, with eyes, rings, hooks and lips open. Every combination of parts is worked through
 * `rest` here and ranked by the rule of docs/fit.md with arithmetic of our own; fit must say the
 * same of whether there is a rig, and its first must be as good as the best there is. Bodies,
 * catalogs and targets are invented; the check is that two independent ways agree.
 *
 * `make test` looks at some of the problems, FIT_TRUE=all at all of them (.ci/run does). */
#include "support/check.h"
#include "support/dice.h"
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "build/build.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>

enum { PROBLEMS = 360, PROBLEMS_IN_SHORT = 12, CHOICES_MOST = 64, SEATS_OPEN = 3, TEXT = 16384 };

/* In half-bands. Both ways work a rig through the same `rest`; only sums are added in another
 * order. */
static const double same_merit = 1e-6;

typedef struct Text {
    char at[TEXT];
    size_t length;
} Text;

static void put(Text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void put(Text *text, const char *format, ...) {
    va_list list;
    va_start(list, format);
    int n = vsnprintf(text->at + text->length, TEXT - text->length, format, list);
    va_end(list);
    assert_true(n >= 0 && text->length + (size_t)n < TEXT);
    text->length += (size_t)n;
}

/* ---- a catalog ---- */

typedef struct Counts {
    int hooks, rings, eyes, sheets, outlines;
} Counts;

static void put_part(Text *text, const char *kind, char letter, int i) {
    put(text,
        ", { \"origin\": \"measured\", \"source\": \"made up\", \"kind\": \"%s\", \"id\": "
        "\"%c%d\", \"name\": \"%c%d\"",
        kind, letter, i, letter, i);
}

static void put_tackle(Dice *dice, const Counts *n, Text *text) {
    static const char *const sizes[] = {"10", "8", "6", "5"};
    double mass = dice_between(dice, 0.3, 0.45);
    for (int i = 0; i < n->hooks; i++, mass += dice_between(dice, 0.08, 0.3)) {
        double gape = 4.2 + 1.8 * mass; /* short enough to hang clear of each other */
        put_part(text, "hook", 'h', i);
        put(text,
            ", \"style\": \"%s\", \"size\": \"%s\", \"material\": \"m-steel\", \"mass\": %.3f, "
            "\"wire\": %.2f, \"gape\": %.2f, \"length\": %.2f, \"bore\": %.2f, \"shank\": %.2f }",
            dice_below(dice, 3) == 0 ? "single" : "treble", sizes[i], mass, 0.7 + 0.06 * i, gape,
            2.4 * gape, 1.4 + 0.15 * i, 0.9 * gape);
    }
    for (int i = 0; i < n->rings; i++) {
        put_part(text, "ring", 'r', i);
        put(text,
            ", \"size\": \"%d\", \"material\": \"m-steel\", \"mass\": %.3f, \"wire\": %.2f, "
            "\"outer\": %.2f, \"passes\": %.2f }",
            i + 1, 0.05 + dice_between(dice, 0.045, 0.065) * i, 0.5 + 0.12 * i, 4.2 + 0.85 * i,
            1.0 + 0.24 * i);
    }
    for (int i = 0; i < n->eyes; i++) {
        put_part(text, "eye", 'e', i);
        put(text,
            ", \"style\": \"%s\", \"material\": \"%s\", \"mass\": %.3f, \"wire\": %.2f, \"outer\": "
            "%.2f, \"bore\": %.2f, \"length\": %d }",
            dice_below(dice, 2) == 0 ? "screw" : "twisted", i == 2 ? "m-steel" : "m-a",
            0.12 + dice_between(dice, 0.05, 0.09) * i, 0.8 + 0.15 * i, 3.6 + 0.6 * i, 2.0 + 0.3 * i,
            8 + i);
    }
}

static void put_lips(Dice *dice, const Counts *n, Text *text) {
    for (int i = 0; i < n->sheets; i++) {
        put_part(text, "sheet", 's', i);
        put(text, ", \"material\": \"%s\", \"thickness\": %.2f }",
            dice_below(dice, 2) == 0 ? "m-a" : "m-b", dice_between(dice, 0.5, 1.6));
    }
    for (int i = 0; i < n->outlines; i++) {
        double length = dice_stepped(dice, 17, 25, 0.1);
        put_part(text, "outline", 'o', i);
        put(text, ", \"form\": \"%s\", \"width\": %.1f, \"lengths\": [%.1f, %.1f] }",
            i == 0 ? "tongue" : "square", dice_between(dice, 9, 15), length,
            length + (double)dice_below(dice, 2));
    }
}

static void make_catalog(Dice *dice, const Counts *n, BlyCatalog *out) {
    static Text text;
    BlyError err = {0};
    text.length = 0;
    put(&text, "{ \"ballastry_catalog\": 1, \"materials\": [");
    static const char *const ids[] = {"m-steel", "m-a", "m-b"};
    const double density[] = {7.85, dice_between(dice, 8.2, 8.9), dice_between(dice, 1.2, 4.5)};
    for (int i = 0; i < 3; i++)
        put(&text,
            "%s{ \"origin\": \"measured\", \"source\": \"made up\", \"id\": \"%s\", \"name\": "
            "\"%s\", \"density\": %.4f, \"give\": \"2 %%\" }",
            i > 0 ? "," : "", ids[i], ids[i], density[i]);
    put(&text, "], \"parts\": [");
    size_t begin = text.length;
    put_tackle(dice, n, &text);
    put_lips(dice, n, &text);
    text.at[begin] = ' '; /* the first comma */
    put(&text, "] }");
    *out = (BlyCatalog){0};
    if (!bly_catalog_read_json(out, text.at, text.length, &err))
        fail_msg("%s: %s", err.where, err.text);
}

/* ---- a build ---- */

typedef struct Plan {
    BlyState state;
    Counts parts;
    bool tail_open, lip;
    double density; /* g/cm3, of the body */
    int waters;
    double temperature[3], salinity[3];
} Plan;

static Plan make_plan(Dice *dice, BlyState state) {
    static const double light[] = {0.56, 0.80, 0.95}, heavy[] = {0.70, 0.90, 1.10};
    Plan plan = {.state = state, .waters = 1 + (int)dice_below(dice, 3)};
    plan.density = dice_between(dice, light[state], heavy[state]);
    plan.lip = dice_below(dice, 2) == 1;
    plan.tail_open = !plan.lip || dice_below(dice, 4) == 0;
    plan.parts = (Counts){.hooks = 2 + (int)dice_below(dice, plan.lip && plan.tail_open ? 1 : 2),
                          .rings = 2 + (int)dice_below(dice, 2),
                          .eyes = 2 + (int)dice_below(dice, 2),
                          .sheets = plan.lip ? 2 + (int)dice_below(dice, 2) : 0,
                          .outlines = plan.lip ? 1 + (int)dice_below(dice, 2) : 0};
    /* What hangs still in one water does not in one much colder or saltier. */
    bool alike = state == BLY_SUSPENDS;
    for (int w = 0; w < plan.waters; w++) {
        plan.temperature[w] = alike && w > 0
                                  ? plan.temperature[0] + dice_stepped(dice, -1.5, 1.5, 0.1)
                                  : dice_stepped(dice, 4, 28, 0.1);
        plan.salinity[w] = !alike && dice_below(dice, 3) == 0 ? dice_stepped(dice, 0, 12, 0.1) : 0;
    }
    return plan;
}

static void put_body(Dice *dice, const Plan *plan, double length, Text *text) {
    static const double at[] = {0, 0.08, 0.2, 0.35, 0.55, 0.75, 0.9, 1};
    static const double wide[] = {0.2, 0.55, 0.85, 1, 0.92, 0.65, 0.38, 0.18};
    double width = dice_between(dice, 14, 18), deep = dice_between(dice, 1.04, 1.15);
    put(text, "\"body\": { \"stations\": [");
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++)
        put(text, "%s{ \"x\": %.2f, \"width\": %.3f, \"height\": %.3f, \"centre\": %.3f }",
            i > 0 ? "," : "", at[i] * length, wide[i] * width, wide[i] * width * deep,
            dice_between(dice, -0.5, 0.5));
    put(text,
        "], \"section\": %.2f, \"material\": { \"density\": %.5f }, \"coats\": [ { "
        "\"material\": { \"density\": 1.15 }, \"thickness\": %.2f } ] },",
        dice_between(dice, 1.8, 2.4), plan->density, dice_between(dice, 0.1, 0.4));
}

static void put_seats(Dice *dice, const Plan *plan, double length, Text *text) {
    double belly = dice_between(dice, 0.30, 0.36) * length;
    bool slides = !plan->lip && dice_below(dice, 2) == 0;
    put(text,
        "\"seats\": { \"tie\": { \"kind\": \"tie\", \"x\": 0, \"side\": \"nose\" }, \"belly\": "
        "{ \"kind\": \"hanger\", \"side\": \"belly\", \"open\": [\"eye\", \"ring\", \"hook\"], ");
    if (slides)
        put(text, "\"x\": [%.1f, %.1f], \"step\": \"3 mm\" }", belly - 3, belly);
    else
        put(text, "\"x\": %.1f }", belly);
    put(text, ", \"tail\": { \"kind\": \"hanger\", \"x\": %.2f, \"side\": \"tail\"%s }", length,
        plan->tail_open ? ", \"open\": [\"ring\", \"hook\"]" : "");
    if (plan->lip)
        put(text,
            ", \"lip\": { \"kind\": \"slot\", \"x\": %.1f, \"side\": \"belly\", \"angle\": %.0f, "
            "\"depth\": %.1f }",
            0.1 * length, dice_between(dice, 25, 50), dice_between(dice, 6, 8));
    put(text,
        " }, \"fitted\": { \"tie\": { \"eye\": \"e0\" }, \"belly\": {}, \"tail\": { \"eye\": "
        "\"e0\"%s } },",
        plan->tail_open ? "" : ", \"ring\": \"r0\", \"hook\": \"h0\"");
}

static void put_target(const Plan *plan, const char *bands, Text *text) {
    static const char *const words[] = {"float", "suspend", "sink"};
    put(text, "\"target\": { \"state\": \"%s\", %s\"water\": [", words[plan->state], bands);
    for (int w = 0; w < plan->waters; w++)
        put(text, "%s{ \"temperature\": %.1f, \"salinity\": %.1f }", w > 0 ? "," : "",
            plan->temperature[w], plan->salinity[w]);
    put(text, "] }, \"limits\": { \"eye_wire\": [0.5, 2] } }"); /* whatever suits the length */
}

/* The same dice make the same body again. */
static BlyBuild *make_build(Dice dice, const Plan *plan, const char *bands,
                            const BlyCatalog *catalog) {
    static Text text;
    BlyBuild *build;
    BlyError err = {0};
    double length = dice_between(&dice, 76, 92);
    text.length = 0;
    put(&text, "{ \"ballastry\": 1, \"name\": \"made up\", \"water\": { \"temperature\": %.1f },",
        plan->temperature[0]);
    put_body(&dice, plan, length, &text);
    put_seats(&dice, plan, length, &text);
    put_target(plan, bands, &text);
    if (!bly_build_read(text.at, text.length, catalog, &build, &err))
        fail_msg("%s: %s\n%s", err.where, err.text, text.at);
    return build;
}

/* ---- every combination ---- */

typedef struct Seat {
    int index;
    BlyChoice at[CHOICES_MOST];
    size_t count;
} Seat;

static void add_choice(const BlyBuild *build, const BlyChoice *choice, Seat *seat) {
    if (!bly_choice_fits(&build->seats[seat->index], choice, NULL))
        return;
    assert_true(seat->count < CHOICES_MOST);
    seat->at[seat->count++] = *choice;
}

static const BlyPart *part_at(const BlyCatalog *catalog, char letter, int i) {
    char id[12];
    (void)snprintf(id, sizeof id, "%c%d", letter, i);
    return bly_catalog_part(catalog, id);
}

static void list_chains(const BlyBuild *build, const BlyCatalog *catalog, const Counts *n,
                        bool eye_open, Seat *seat) {
    const BlySeat *s = &build->seats[seat->index];
    int places = s->x_to > s->x_from ? 2 : 1;
    for (int place = 0; place < places; place++) {
        for (int e = 0; e < (eye_open ? n->eyes : 1); e++) {
            for (int r = 0; r < n->rings; r++) {
                for (int h = 0; h < n->hooks; h++) {
                    BlyChoice c = build->fitted.at[seat->index];
                    c.x = s->x_from + 3e-3 * place;
                    if (eye_open)
                        c.of[BLY_PART_EYE] = (BlyChosenPart){part_at(catalog, 'e', e), {NAN, 0}};
                    c.of[BLY_PART_RING] = (BlyChosenPart){part_at(catalog, 'r', r), {NAN, 0}};
                    c.of[BLY_PART_HOOK] = (BlyChosenPart){part_at(catalog, 'h', h), {NAN, 0}};
                    add_choice(build, &c, seat);
                }
            }
        }
    }
}

static void list_lips(const BlyBuild *build, const BlyCatalog *catalog, const Counts *n,
                      Seat *seat) {
    for (int o = 0; o < n->outlines; o++) {
        const BlyPart *outline = part_at(catalog, 'o', o);
        for (double length = outline->length_least; length < outline->length_most + 1e-6;
             length += 1e-3) {
            for (int s = 0; s < n->sheets; s++) {
                BlyChoice c = bly_choice_empty(build->seats[seat->index].x_from);
                c.of[BLY_PART_OUTLINE] = (BlyChosenPart){outline, {NAN, 0}};
                c.of[BLY_PART_SHEET] = (BlyChosenPart){part_at(catalog, 's', s), {NAN, 0}};
                c.length = length;
                add_choice(build, &c, seat);
            }
        }
    }
}

static size_t list_seats(const BlyBuild *build, const BlyCatalog *catalog, const Plan *plan,
                         Seat seats[SEATS_OPEN]) {
    size_t count = 0;
    seats[count++] = (Seat){.index = bly_build_seat(build, "belly")};
    list_chains(build, catalog, &plan->parts, true, &seats[0]);
    if (plan->tail_open) {
        seats[count] = (Seat){.index = bly_build_seat(build, "tail")};
        list_chains(build, catalog, &plan->parts, false, &seats[count++]);
    }
    if (plan->lip) {
        seats[count] = (Seat){.index = bly_build_seat(build, "lip")};
        list_lips(build, catalog, &plan->parts, &seats[count++]);
    }
    return count;
}

static double beyond(double value, double low, double high) {
    double half = fmax((high - low) / 2, 1e-12);
    return isfinite(half) ? fmax(0, fabs(value - (low + high) / 2) / half - 0.25) : 0;
}

/* docs/fit.md: both distances, of weight in water and of angle. */
static double off_of(const BlyTarget *t, const BlyLure *lure, const BlyOutcome *o) {
    double low = -INFINITY, high = INFINITY, whole = o->water.density * lure->blank->hull_volume;
    double angle = t->state == BLY_FLOATS && o->has_surface ? o->surface.nose_down : o->nose_down;
    BlyError err = {0};
    if (!isfinite(angle))
        return 10;
    if (isfinite(t->shows_low)) {
        low = -whole * t->shows_high;
        high = -whole * t->shows_low;
    } else if (isfinite(t->drift_low) && isfinite(t->drift_high)) {
        assert_true(bly_rest_net_weight(lure, &o->water, o->nose_down, t->drift_low, &low, &err) &&
                    bly_rest_net_weight(lure, &o->water, o->nose_down, t->drift_high, &high, &err));
    }
    return beyond(o->sums.net_weight, low, high) + beyond(angle, t->nose_low, t->nose_high);
}

/* 0.02 a piece, 0.1 a seat that differs from what was fitted there. */
static double cost_of(const BlyBuild *build, const Seat *seats, size_t count,
                      const size_t *chosen) {
    double cost = 0;
    for (size_t i = 0; i < count; i++) {
        const BlyChoice *c = &seats[i].at[chosen[i]], *f = &build->fitted.at[seats[i].index];
        cost += c->of[BLY_PART_SHEET].part != NULL ? 0.02 : 3 * 0.02;
        cost += bly_choice_is_empty(f) ? 0 : 0.1; /* the tail, whose fitted chain is no choice */
    }
    return cost;
}

typedef struct Truth {
    bool met;
    double merit; /* of the best: that meets the target, if any does */
    size_t rigs;
} Truth;

static void work_out(const BlyBuild *build, const BlyRig *rig, double cost, Truth *truth) {
    BlyError err = {0};
    BlyLure lure;
    bool met = true;
    double merit = cost;
    assert_true(bly_lure_make(&build->blank, build->seats, rig, &lure, &err));
    for (size_t w = 0; w < build->target_water_count; w++) {
        BlyWater water;
        BlyOutcome o;
        const BlyWaterFacts *facts = &build->target_waters[w];
        assert_true(bly_water_at(facts->temperature.value, facts->salinity.value, &water, &err));
        bool afloat = build->target.state == BLY_FLOATS;
        assert_true(afloat ? bly_rest(&lure, &water, &o, &err)
                           : bly_rest_under_water(&lure, &water, &o, &err));
        met = met && bly_judge(&build->target, &o).met;
        merit += off_of(&build->target, &lure, &o) / (double)build->target_water_count;
    }
    bly_lure_release(&lure);
    truth->rigs++;
    if (met == truth->met ? merit < truth->merit : met) {
        truth->met = met;
        truth->merit = merit;
    }
}

static Truth brute(const BlyBuild *build, const Seat *seats, size_t count) {
    Truth truth = {.met = false, .merit = INFINITY};
    BlyRig rig = {0};
    size_t chosen[SEATS_OPEN] = {0}, place = 0;
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    do {
        for (size_t i = 0; i < count; i++)
            rig.at[seats[i].index] = seats[i].at[chosen[i]];
        work_out(build, &rig, cost_of(build, seats, count, chosen), &truth);
        for (place = 0; place < count && ++chosen[place] == seats[place].count; place++)
            chosen[place] = 0;
    } while (place < count);
    bly_rig_release(&rig);
    return truth;
}

/* ---- a target that some combination comes near ---- */

typedef struct Sample {
    size_t chosen[SEATS_OPEN], water;
} Sample;

static Sample sample_of(Dice *dice, const Seat *seats, size_t count, const Plan *plan) {
    Sample sample = {.water = dice_below(dice, (size_t)plan->waters)};
    for (size_t i = 0; i < count; i++)
        sample.chosen[i] = dice_below(dice, seats[i].count);
    return sample;
}

static BlyOutcome rest_of(const BlyBuild *build, const Seat *seats, size_t count,
                          const Sample *sample) {
    BlyRig rig = {0};
    BlyLure lure;
    BlyWater water;
    BlyOutcome o = {0};
    BlyError err = {0};
    const BlyWaterFacts *facts = &build->target_waters[sample->water];
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    for (size_t i = 0; i < count; i++)
        rig.at[seats[i].index] = seats[i].at[sample->chosen[i]];
    assert_true(bly_lure_make(&build->blank, build->seats, &rig, &lure, &err) &&
                bly_water_at(facts->temperature.value, facts->salinity.value, &water, &err) &&
                bly_rest(&lure, &water, &o, &err));
    bly_lure_release(&lure);
    bly_rig_release(&rig);
    return o;
}

static void put_bands(Dice *dice, BlyState state, const BlyOutcome *o, Text *bands) {
    double angle = o->has_surface && state == BLY_FLOATS ? o->surface.nose_down : o->nose_down;
    double nose = angle * 180 / M_PI, wide = dice_between(dice, 2, 8);
    nose = fmin(fmax(nose + dice_between(dice, -1.2, 1.2) * wide, -80), 80);
    bands->length = 0;
    if (state == BLY_FLOATS) {
        double shows = o->has_surface ? 100 * o->surface.shows : 5, half = dice_between(dice, 1, 3);
        shows = fmax(shows + dice_between(dice, -1, 1) * half, half + 0.1);
        put(bands, "\"shows\": [\"%.4f %%\", \"%.4f %%\"], ", shows - half, shows + half);
    } else {
        double half = dice_between(dice, 8, 40), middle = 1e3 * o->drift;
        middle += dice_between(dice, -1, 1) * half;
        middle = state == BLY_SUSPENDS ? fmin(fmax(middle, -half), half) : fmax(middle, half + 7);
        put(bands, "\"drift\": [\"%.3f mm/s\", \"%.3f mm/s\"], ", middle - half, middle + half);
    }
    put(bands, "\"nose_down\": [%.3f, %.3f], \"roll_arm\": %.2f, ", nose - wide, nose + wide,
        fmax(dice_between(dice, -0.3, 0.3) + 1e3 * o->roll_arm, 0.02));
}

/* Bands about what some combination does; the body of a lure that is to suspend is first made as
 * dense as that takes. */
static void make_bands(Dice *dice, Dice body, Plan *plan, const BlyCatalog *catalog, Text *bands) {
    static Seat seats[SEATS_OPEN];
    BlyBuild *build = make_build(body, plan, "", catalog);
    size_t count = list_seats(build, catalog, plan, seats);
    Sample sample = sample_of(dice, seats, count, plan);
    BlyOutcome o = rest_of(build, seats, count, &sample);
    if (plan->state == BLY_SUSPENDS) {
        double volume = bly_body_solid(build->blank.bare)->volume;
        plan->density -= 1e-3 * o.sums.net_weight / volume;
        bly_build_free(build);
        build = make_build(body, plan, "", catalog);
        o = rest_of(build, seats, count, &sample);
    }
    put_bands(dice, plan->state, &o, bands);
    bly_build_free(build);
}

/* ---- the comparison ---- */

typedef struct Score {
    int problems, feasible, said_wrong, worse, proven;
    size_t rigs;
} Score;

static void compare(const BlyBuild *build, const BlyCatalog *catalog, const Truth *truth,
                    uint64_t seed, Score *score) {
    BlyFitOptions options = {.rigs = 5};
    BlyFitResult result;
    BlyError err = {0};
    if (!bly_fit(build, catalog, &options, &result, &err))
        fail_msg("problem %d: %s: %s", (int)seed, err.where, err.text);
    double merit = result.count > 0 ? result.rigs[0].off + result.rigs[0].cost : INFINITY;
    score->problems++;
    score->rigs += truth->rigs;
    score->feasible += truth->met;
    score->proven += result.proven;
    if (result.met != truth->met) {
        print_error("problem %d: fit says %s, every combination says %s (%.4f)\n", (int)seed,
                    result.met ? "yes" : "no", truth->met ? "yes" : "no", truth->merit);
        score->said_wrong++;
    } else if (truth->met && !(fabs(merit - truth->merit) <= same_merit)) {
        print_error("problem %d: fit's first has %.6f, the best there is %.6f\n", (int)seed, merit,
                    truth->merit);
        score->worse++;
    }
    bly_fit_release(&result);
}

static void one_problem(BlyState state, uint64_t seed, Score *score) {
    static Text bands;
    static Seat seats[SEATS_OPEN];
    Dice dice = {seed}, body = {seed + 1000000};
    Plan plan = make_plan(&dice, state);
    BlyCatalog catalog;
    make_catalog(&dice, &plan.parts, &catalog);
    make_bands(&dice, body, &plan, &catalog, &bands);
    BlyBuild *build = make_build(body, &plan, bands.at, &catalog);
    size_t count = list_seats(build, &catalog, &plan, seats);
    Truth truth = brute(build, seats, count);
    compare(build, &catalog, &truth, seed, score);
    bly_build_free(build);
    bly_catalog_release(&catalog);
}

static void all_problems(BlyState state, const char *words) {
    Score score = {0};
    const char *how = getenv("FIT_TRUE");
    int last = how != NULL && strcmp(how, "all") == 0 ? PROBLEMS / 3 : PROBLEMS_IN_SHORT / 3;
    (void)gsl_set_error_handler_off();
    for (int i = 0; i < last; i++)
        one_problem(state, (uint64_t)(1000 * (int)state + i), &score);
    print_message("%s: %d problems, %zu rigs, %d can be met; %d said wrongly, %d with a worse rig "
                  "first; %d proven\n",
                  words, score.problems, score.rigs, score.feasible, score.said_wrong, score.worse,
                  score.proven);
    assert_int_equal(score.said_wrong, 0);
    assert_int_equal(score.worse, 0);
    assert_true(score.feasible >= last / 4 && score.feasible <= last * 9 / 10);
}

static void floaters(void **state) {
    (void)state;
    all_problems(BLY_FLOATS, "afloat");
}
static void suspenders(void **state) {
    (void)state;
    all_problems(BLY_SUSPENDS, "suspending");
}
static void sinkers(void **state) {
    (void)state;
    all_problems(BLY_SINKS, "sinking");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(floaters),
        cmocka_unit_test(suspenders),
        cmocka_unit_test(sinkers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
