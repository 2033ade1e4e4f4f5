/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Setting a fit up: open seats, candidates, the lump of all that is fixed. */
#include "fit/problem.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What is glued or coated in by what was read of the real lure stays. */
unsigned problem_open(const BlyBuild *build, size_t seat) {
    return build->seats[seat].open & ~build_mounted(build, seat);
}

static bool fixed_lump(const BlyBuild *build, Lump *out, BlyError *err) {
    *out = lump_of_items(build->blank.items, build->blank.item_count);
    for (size_t s = 0; s < build->seat_count; s++) {
        if (problem_open(build, s) != 0)
            continue;
        BlyItem items[BLY_CHOICE_ITEMS];
        size_t count;
        if (!bly_choice_items(&build->blank, &build->seats[s], (int)s, &build->fitted.at[s], items,
                              &count, err))
            return false;
        *out = moments_sum(*out, lump_of_items(items, count));
    }
    return true;
}

/* What is fitted for good decides what goes beside it. A seat where nothing does keeps its list. */
static void beside_fixed(const Problem *p, CandidateSet *set) {
    for (size_t s = 0; s < p->build->seat_count; s++) {
        if (problem_open(p->build, s) == 0 && (int)s != set->seat)
            candidates_beside(set, (int)s, &p->build->fitted.at[s]);
    }
}

static bool find_scarce(Problem *p, BlyError *err) {
    size_t seats = p->build->seat_count;
    unsigned *open = calloc(seats + 1, sizeof *open);
    if (open == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the box");
    for (size_t s = 0; s < seats; s++)
        open[s] = problem_open(p->build, s);
    bool good = box_begin(p->build, p->catalog, open, &p->box, err);
    free(open);
    return good;
}

bool problem_box_holds(const Problem *p, const size_t *candidate) {
    for (size_t b = 0; b < p->box.count; b++) {
        int takes = 0;
        for (size_t i = 0; i < p->set_count; i++) {
            const Candidate *c = &p->sets[i].at[candidate[i]];
            if (c->taken != 0)
                takes +=
                    box_takes(&p->box.at[b], &c->choice, &p->build->fitted.at[p->sets[i].seat]);
        }
        if (takes > p->box.at[b].have)
            return false;
    }
    return true;
}

/* Lists of seats of these kinds may change where the rule is loosened. */
static bool speaks_of(BlyRuleId rule, BlySeatKind kind) {
    bool chain = kind == BLY_SEAT_HANGER || kind == BLY_SEAT_TIE;
    switch (rule) {
    case BLY_RULE_FIRST_BUILD:
        return kind == BLY_SEAT_HANGER || kind == BLY_SEAT_PATCH;
    case BLY_RULE_LIP_WIDTH:
    case BLY_RULE_LIP_FREE:
    case BLY_RULE_LIP_GAUGE:
    case BLY_RULE_LIP_BENDING:
        return kind == BLY_SEAT_SLOT;
    case BLY_RULE_SURFACE:
        return kind == BLY_SEAT_PATCH;
    case BLY_RULE_LEAD:
        return true;
    case BLY_RULE_KINDS:
    case BLY_RULE_ATTITUDE:
    case BLY_RULE_MENDING:
    case BLY_RULE_HOOK_SHARE:
        return false;
    default:
        return chain;
    }
}

/* Rules that only two seats together, or the whole lure, can break. */
static bool is_of_pairs(BlyRuleId rule) {
    return rule == BLY_RULE_HOOK_STYLE || rule == BLY_RULE_HOOK_ORDER ||
           rule == BLY_RULE_HOOK_ALIKE || rule == BLY_RULE_RING_ALIKE ||
           rule == BLY_RULE_EYE_ALIKE || rule == BLY_RULE_ATTITUDE || rule == BLY_RULE_RING_SIZE;
}

static double filing_of(const CandidateSet *set) {
    double sum = 0;
    for (size_t i = 0; i < set->count; i++)
        sum += set->at[i].filing;
    return sum;
}

static bool gather_like(const Problem *like, BlyRuleId rule, Problem *p, bool *alike,
                        BlyError *err) {
    p->sets = calloc(p->build->seat_count + 1, sizeof *p->sets);
    if (p->sets == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the candidates");
    if (!find_scarce(p, err))
        return false;
    for (size_t i = 0; i < like->set_count; i++) {
        const CandidateSet *from = &like->sets[i];
        CandidateSet *set = &p->sets[p->set_count++];
        bool anew = speaks_of(rule, p->build->seats[from->seat].kind);
        *set = *from;
        set->craft = &p->craft;
        set->box = &p->box;
        set->borrowed = true;
        if (!anew)
            continue;
        *set = (CandidateSet){
            .options = p->options, .deadline = p->deadline, .craft = &p->craft, .box = &p->box};
        if (!candidates_of_seat(p->build, p->catalog, from->seat, from->open, set, err))
            return false;
        beside_fixed(p, set);
        *alike = *alike && set->count == from->count && filing_of(set) <= filing_of(from);
    }
    return true;
}

static bool gather_sets(Problem *p, BlyError *err) {
    const BlyBuild *build = p->build;
    p->sets = calloc(build->seat_count + 1, sizeof *p->sets);
    if (p->sets == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the candidates");
    if (!find_scarce(p, err))
        return false;
    for (size_t s = 0; s < build->seat_count; s++) {
        unsigned open = problem_open(build, s);
        if (open == 0)
            continue;
        p->sets[p->set_count].box = &p->box;
        p->sets[p->set_count].options = p->options;
        p->sets[p->set_count].deadline = p->deadline;
        p->sets[p->set_count].craft = &p->craft;
        if (!candidates_of_seat(build, p->catalog, (int)s, open, &p->sets[p->set_count], err)) {
            p->set_count++; /* so that it is released */
            return false;
        }
        beside_fixed(p, &p->sets[p->set_count]);
        p->set_count++;
        if (problem_over(p))
            return true; /* the caller looks, too */
    }
    if (p->set_count == 0)
        return bly_fail(err, BLY_E_MISSING, "/seats",
                        build->reading_count > 0
                            ? "nothing is left to choose: all that is open is on the lure already"
                            : "every seat is fitted; leave one out of \"fitted\" or say \"open\": "
                              "true");
    return true;
}

/* Hooks that are all settled cost nothing, whatever they weigh. */
static bool hooks_cost(const Problem *p) {
    bool chosen = false;
    for (size_t i = 0; i < p->set_count; i++)
        chosen = chosen || (p->sets[i].open & (1u << BLY_PART_HOOK)) != 0;
    return chosen && craft_hooks_cost(&p->craft);
}

static double least_cost(const Problem *p) {
    double sum = 0;
    for (size_t i = 0; i < p->set_count; i++) {
        double least = INFINITY;
        for (size_t c = 0; c < p->sets[i].count; c++)
            least = fmin(least, p->sets[i].at[c].cost);
        sum += least;
    }
    return sum;
}

bool problem_begin(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                   unsigned loosened, Problem *out, BlyError *err) {
    memset(out, 0, sizeof *out);
    out->build = build;
    out->catalog = catalog;
    out->options = options;
    out->deadline = fit_deadline(options);
    out->rigs_wanted = options->rigs == 0 ? 5 : options->rigs;
    out->water_count = build->target_water_count;
    if (!build->has_target)
        return bly_fail(err, BLY_E_MISSING, "/target", "fit needs to know what is wanted");
    if (out->rigs_wanted > BLY_FIT_RIGS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "at most %d rigs", BLY_FIT_RIGS_MAX);
    if (out->water_count == 0 || out->water_count > BLY_FIT_WATERS_MAX)
        return bly_fail(err, BLY_E_RANGE, "/target/water", "between 1 and %d waters",
                        BLY_FIT_WATERS_MAX);
    if (!craft_begin(build, out->catalog, loosened, &out->craft, err) ||
        !fixed_lump(build, &out->blank, err) || !gather_sets(out, err))
        return false;
    out->cost_least = least_cost(out);
    out->hooks_cost = hooks_cost(out);
    return true;
}

bool problem_begin_like(const Problem *like, const BlyBuild *build, BlyRuleId rule,
                        unsigned loosened, Problem *out, bool *alike, BlyError *err) {
    memset(out, 0, sizeof *out);
    out->build = build;
    out->catalog = like->catalog;
    out->options = like->options;
    out->deadline = like->deadline;
    out->rigs_wanted = like->rigs_wanted;
    out->ranked = like->ranked;
    out->water_count = like->water_count;
    out->blank = like->blank;
    *alike = !is_of_pairs(rule);
    if (!craft_begin(build, out->catalog, loosened, &out->craft, err))
        return false;
    if (rule == BLY_RULE_HOOK_SIZE)
        craft_widen_hooks(&out->craft);
    if (!gather_like(like, rule, out, alike, err))
        return false;
    out->cost_least = least_cost(out);
    out->hooks_cost = hooks_cost(out);
    return true;
}

/* The most that hooks can cost for what they are of the lure. */
static double hooks_cost_most(const Problem *p) {
    double hooks = 0;
    if (!p->hooks_cost || !(p->mass > 0))
        return 0;
    for (size_t s = 0; s < p->build->seat_count; s++)
        hooks += problem_open(p->build, s) == 0 ? craft_hook_mass(&p->build->fitted.at[s]) : 0;
    for (size_t i = 0; i < p->set_count; i++) {
        double heaviest = 0;
        for (size_t c = 0; c < p->sets[i].count; c++)
            heaviest = fmax(heaviest, craft_hook_mass(&p->sets[i].at[c].choice));
        hooks += heaviest;
    }
    return p->craft.rules->share_cost * 100 * hooks * 1e3 / p->mass;
}

double problem_in_bands(const Problem *p) {
    /* Two targets a water, whose weights add up to one each, and a fifth of a half-band beyond. */
    double most = 2 * (1 - FIT_DEAD_ZONE) + 2;
    most += p->line.on ? 2 * (1 - FIT_DEAD_ZONE) + 1 : 0; /* and two on the line */
    for (size_t i = 0; i < p->set_count; i++) {
        double dearest = 0;
        for (size_t c = 0; c < p->sets[i].count; c++) {
            const Candidate *one = &p->sets[i].at[c];
            dearest = fmax(dearest, one->cost + FIT_FILING_COST * one->filing);
        }
        most += dearest;
    }
    return most + hooks_cost_most(p);
}

bool problem_over(const Problem *p) {
    return fit_over(p->options, p->deadline);
}

void problem_end(Problem *problem) {
    for (size_t i = 0; i < problem->set_count; i++)
        candidates_release(&problem->sets[i]);
    free(problem->sets);
    craft_end(&problem->craft);
    box_end(&problem->box);
    memset(problem, 0, sizeof *problem);
}

bool problem_frames(Problem *p, const BlyRig *like, const BlyOutcome *worked, BlyError *err) {
    BlyLure lure = {0};
    const BlyBuild *build = p->build;
    bool *fixed = calloc(build->seat_count + 1, sizeof *fixed);
    bool good = fixed != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the seats");
    for (size_t s = 0; good && s < build->seat_count; s++)
        fixed[s] = build->seats[s].open == 0;
    good = good && bly_lure_make(&build->blank, build->seats, like, &lure, err);
    p->mass = 0;
    for (size_t i = 0; good && i < lure.count; i++)
        p->mass += lure.items[i].mass * 1e3;
    for (size_t w = 0; good && w < p->water_count; w++)
        good = frame_make(build, &lure, worked != NULL ? &worked[w] : NULL,
                          &build->target_waters[w], &p->frame[w], err);
    good = good && line_rows_make(build, like, &lure, fixed, &p->line, err);
    free(fixed);
    bly_lure_release(&lure);
    return good;
}

void picks_release(PickList *picks) {
    for (size_t i = 0; i < picks->count; i++) {
        free(picks->at[i].candidate);
        free(picks->at[i].filed);
    }
    free(picks->at);
    memset(picks, 0, sizeof *picks);
}

bool problem_rig(const Problem *p, const Pick *pick, BlyRig *out, BlyError *err) {
    if (!bly_rig_copy(out, &p->build->fitted, err))
        return false;
    for (size_t i = 0; i < p->set_count; i++) {
        const Candidate *c = &p->sets[i].at[pick->candidate[i]];
        BlyChoice *choice = &out->at[p->sets[i].seat];
        *choice = c->choice;
        /* Nobody files to better than a hundredth of a millimetre. */
        double filed = fmin(round(pick->filed[i] * 100) / 100, c->filing);
        if (filed > 0) {
            const BlyPart *sheet = c->choice.of[BLY_PART_SHEET].part;
            double thick = isfinite(choice->thickness) ? choice->thickness : sheet->thickness;
            choice->thickness = thick - filed * 1e-3;
        }
    }
    return true;
}

/* Waters alone move net weight by (difference in density) times the hull's volume: when that is
 * more than the bands leave, no choice of parts helps. */
void problem_impossible(const Problem *p, char *out, size_t size) {
    out[0] = '\0';
    for (size_t a = 0; a < p->water_count; a++) {
        for (size_t b = 0; b < p->water_count; b++) {
            const Frame *fa = &p->frame[a], *fb = &p->frame[b];
            double ma = fa->rho * fa->hull_v, mb = fb->rho * fb->hull_v;
            double room = (fa->n_high + ma) - (fb->n_low + mb);
            if (!(room < 0) || fa->at_surface)
                continue;
            (void)bly_format(
                out, size,
                "between %.1f C, %.1f g/kg and %.1f C, %.1f g/kg the water alone moves "
                "its weight in water by %.0f mg, the wanted drift leaves %.0f mg",
                fa->water.temperature, fa->water.salinity * 1e3, fb->water.temperature,
                fb->water.salinity * 1e3, 1e3 * fabs(ma - mb), 1e3 * (fa->n_high - fb->n_low));
            return;
        }
    }
}
