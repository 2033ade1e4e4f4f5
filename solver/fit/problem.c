/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Setting a fit up: open seats, candidates, the lump of all that is fixed. */
#include "fit/problem.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What can still be changed on a finished lure: what hangs, what is stuck on, and the lip, which
 * may be filed or cut back but not exchanged. A seat without its eye or lip stays as it is; a strip
 * under the coat, too. */
static unsigned still_open(BlySeatKind kind, const BlyChoice *fitted, bool coated) {
    bool eye = fitted->piece[BLY_PART_EYE].part != NULL;
    switch (kind) {
    case BLY_SEAT_HANGER:
        return eye ? OPEN_FINISHED | (1u << BLY_PART_RING) | (1u << BLY_PART_HOOK) |
                         (1u << BLY_PART_WIRE)
                   : 0;
    case BLY_SEAT_TIE:
        return eye ? OPEN_FINISHED | (1u << BLY_PART_RING) | (1u << BLY_PART_SNAP) : 0;
    case BLY_SEAT_PATCH:
        return coated && fitted->piece[BLY_PART_STRIP].part != NULL
                   ? 0
                   : OPEN_FINISHED | (1u << BLY_PART_STRIP) | (1u << BLY_PART_DOT);
    case BLY_SEAT_SLOT:
        return fitted->piece[BLY_PART_OUTLINE].part != NULL ? OPEN_FINISHED : 0;
    case BLY_SEAT_KINDS:
        break;
    }
    return 0;
}

unsigned problem_open(const BlyBuild *build, const BlyFitOptions *options, size_t seat) {
    const BlySeat *s = &build->seats[seat];
    if (!options->after_build)
        return s->open;
    return still_open(s->kind, &build->fitted.at[seat], build->coat_count > 0);
}

static bool fixed_lump(const BlyBuild *build, const BlyFitOptions *options, Lump *out,
                       BlyError *err) {
    *out = lump_of_items(build->blank.items, build->blank.item_count);
    for (size_t s = 0; s < build->seat_count; s++) {
        if (problem_open(build, options, s) != 0)
            continue;
        BlyItem items[BLY_CHOICE_ITEMS];
        size_t count;
        if (!bly_choice_items(&build->blank, &build->seats[s], (int)s, &build->fitted.at[s], items,
                              &count, err))
            return false;
        *out = lump_add(*out, lump_of_items(items, count));
    }
    return true;
}

static bool gather_sets(Problem *p, BlyError *err) {
    const BlyBuild *build = p->build;
    p->sets = calloc(build->seat_count + 1, sizeof *p->sets);
    if (p->sets == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the candidates");
    for (size_t s = 0; s < build->seat_count; s++) {
        unsigned open = problem_open(build, p->options, s);
        if (open == 0)
            continue;
        p->sets[p->set_count].options = p->options;
        p->sets[p->set_count].deadline = p->deadline;
        if (!candidates_of_seat(build, p->catalog, (int)s, open, &p->sets[p->set_count], err)) {
            p->set_count++; /* so that it is released */
            return false;
        }
        p->set_count++;
        if (problem_over(p))
            return true; /* the caller looks, too */
    }
    if (p->set_count == 0)
        return bly_fail(err, BLY_E_MISSING, "/seats",
                        "every seat is fitted; leave one out of \"fitted\" or say \"open\": true");
    return true;
}

/* A body of very many triangles has a stand-in so fine that it needs one itself. */
static bool has_fine_stand_in(const BlyBlank *blank) {
    const BlyBody *fine = bly_body_rough(blank->hull);
    return fine != NULL && bly_body_rough(fine) != NULL;
}

static void choose_searched(const BlyBuild *build, Problem *out) {
    out->searched = build;
    if (build->target.state != BLY_FLOATS || !has_fine_stand_in(&build->blank))
        return;
    out->quick = *build;
    out->quick.blank.quick = true;
    out->searched = &out->quick;
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
                   Problem *out, BlyError *err) {
    memset(out, 0, sizeof *out);
    out->build = build;
    choose_searched(build, out);
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
    if (!fixed_lump(build, options, &out->blank, err) || !gather_sets(out, err))
        return false;
    out->cost_least = least_cost(out);
    return true;
}

bool problem_over(const Problem *p) {
    return fit_over(p->options, p->deadline);
}

void problem_end(Problem *problem) {
    for (size_t i = 0; i < problem->set_count; i++)
        candidates_release(&problem->sets[i]);
    free(problem->sets);
    memset(problem, 0, sizeof *problem);
}

bool problem_frames(Problem *p, const BlyRig *like, BlyError *err) {
    BlyLure lure = {0};
    const BlyBuild *build = p->searched;
    bool good = bly_lure_make(&build->blank, build->seats, like, &lure, err);
    for (size_t w = 0; good && w < p->water_count; w++)
        good = frame_make(build, &lure, &build->target_waters[w], &p->frame[w], err);
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
        if (filed > 0 && p->options->after_build) {
            choice->filed += filed * 1e-3;
            choice->piece[BLY_PART_SHEET].weighed.value -= filed * c->per_filed.m * 1e-3;
        } else if (filed > 0) {
            const BlyPart *sheet = c->choice.piece[BLY_PART_SHEET].part;
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
