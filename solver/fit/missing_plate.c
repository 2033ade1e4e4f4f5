/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet that the catalog lacks: every material on offer is taken to come in any thickness, and
 * the programme chooses among such plates and all that the other seats allow. */
#include "fit/problem.h"
#include "text/format.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROUNDS = 4, TRIED = 6, STEPS = 16 };
static const double thinnest = 0.3, thickest = 4; /* mm, of sheets that are sold */

static bool is_lip(const Candidate *c) {
    return c->choice.of[BLY_PART_SHEET].part != NULL;
}

static double thickness_of(const BlyChoice *choice) {
    return 1e3 * (isfinite(choice->thickness) ? choice->thickness
                                              : choice->of[BLY_PART_SHEET].part->thickness);
}

/* All that a lip adds goes with its thickness, so the thickest plate that may be filed to any other
 * stands for them all. */
static Candidate any_plate(const Problem *p, int seat, const Candidate *c) {
    Candidate any = *c;
    double gap = 1e3 * p->build->seats[seat].gap;
    double most = isfinite(gap) ? fmin(floor(100 * gap) / 100, thickest) : thickest;
    double least = thinnest, low, high;
    if (craft_binds(&p->craft, BLY_RULE_LIP_GAUGE) &&
        craft_gauges(&p->craft, c->choice.of[BLY_PART_SHEET].part, &low, &high))
        most = fmin(most, floor(1e5 * high) / 100);
    least = fmax(least, 1e3 * craft_lip_least(&p->craft, &p->build->seats[seat], &c->choice));
    any.per_filed = moments_scaled(c->lump, 1 / thickness_of(&c->choice));
    any.lump = moments_scaled(any.per_filed, most);
    any.filing = fmax(most - least, 0);
    any.choice.thickness = 1e-3 * most;
    return any;
}

static bool same_but_thickness(const Candidate *a, const Candidate *b) {
    const BlyPart *x = a->choice.of[BLY_PART_SHEET].part;
    const BlyPart *y = b->choice.of[BLY_PART_SHEET].part;
    return x->density.value == y->density.value && fabs(a->choice.x - b->choice.x) < 1e-9 &&
           a->choice.of[BLY_PART_OUTLINE].part == b->choice.of[BLY_PART_OUTLINE].part &&
           fabs(a->choice.length - b->choice.length) < 1e-9;
}

static bool set_of_plates(const Problem *p, const CandidateSet *from, CandidateSet *to,
                          bool *plates, BlyError *err) {
    *to = *from;
    to->count = 0;
    to->room = from->count;
    to->at = malloc(from->count * sizeof *to->at);
    if (to->at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu candidates", from->count);
    for (size_t c = 0; c < from->count; c++) {
        const Candidate *one = &from->at[c];
        bool twice = false;
        for (size_t k = 0; is_lip(one) && k < to->count && !twice; k++)
            twice = is_lip(&to->at[k]) && same_but_thickness(one, &to->at[k]);
        if (twice)
            continue;
        to->at[to->count++] = is_lip(one) ? any_plate(p, from->seat, one) : *one;
        *plates = *plates || is_lip(one);
    }
    return true;
}

static void plates_end(Problem *q) {
    for (size_t i = 0; i < q->set_count; i++)
        free(q->sets[i].at);
    free(q->sets);
}

/* A view of the problem with plates of any thickness; *plates: some seat can carry one. */
static bool plates_begin(const Problem *p, Problem *out, bool *plates, BlyError *err) {
    *out = *p;
    *plates = false;
    out->sets = calloc(p->set_count, sizeof *out->sets);
    if (out->sets == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the candidates");
    for (size_t i = 0; i < p->set_count; i++) {
        if (!set_of_plates(p, &p->sets[i], &out->sets[i], plates, err))
            return false;
    }
    return true;
}

/* What else is other than in the rig that came nearest. */
static void say_others(const Problem *p, const BlyRig *rig, const BlyRig *nearest, char *out,
                       size_t size) {
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < p->set_count && used < size; i++) {
        size_t seat = (size_t)p->sets[i].seat;
        const BlyChoice *now = &rig->at[seat], *then = &nearest->at[seat];
        bool named = false;
        for (int kind = 0; kind < BLY_PART_KINDS && used < size; kind++) {
            const BlyPart *part = now->of[kind].part;
            if (part == NULL || part == then->of[kind].part || kind == BLY_PART_SHEET ||
                kind == BLY_PART_OUTLINE)
                continue;
            int n = named ? bly_format(out + used, size - used, " + %s", part->id)
                          : bly_format(out + used, size - used, ", and %s at %s", part->id,
                                       p->build->seats[seat].name);
            used += n > 0 ? (size_t)n : 0;
            named = true;
        }
    }
    if (used >= size)
        out[0] = '\0';
}

static void say_plate(const Problem *p, const BlyRig *rig, const BlyRig *nearest, char *out,
                      size_t size) {
    char others[160];
    say_others(p, rig, nearest, others, sizeof others);
    for (size_t i = 0; i < p->set_count; i++) {
        size_t seat = (size_t)p->sets[i].seat;
        const BlyChoice *c = &rig->at[seat];
        if (c->of[BLY_PART_SHEET].part == NULL)
            continue;
        (void)bly_format(out, size, "a %s plate %.2f mm thick, %s cut to %.1f mm, at %s%s",
                         c->of[BLY_PART_SHEET].part->material, thickness_of(c),
                         c->of[BLY_PART_OUTLINE].part->id, 1e3 * c->length,
                         p->build->seats[seat].name, others);
        return;
    }
}

/* One round: the picks under the present frames, worked through; the frames are set anew from the
 * nearest of them. */
static bool try_plates(const Problem *p, Problem *q, const BlyRig *nearest, char *out, size_t size,
                       BlyError *err) {
    PickList picks = {0};
    BlyFitRig best = {0};
    bool good = problem_choose(q, TRIED, &picks, err);
    for (size_t i = 0; good && i < picks.count && out[0] == '\0' && !problem_over(p); i++) {
        BlyRig rig = {0};
        BlyFitRig worked = {0};
        good = problem_rig(q, &picks.at[i], &rig, err) && rig_rework(p->build, &rig, &worked, err);
        bly_rig_release(&rig);
        if (good && worked.met)
            say_plate(p, &worked.rig, nearest, out, size);
        if (good && (best.rig.at == NULL || worked.off < best.off)) {
            fit_rig_release(&best);
            best = worked;
        } else if (good) {
            fit_rig_release(&worked);
        }
    }
    if (good && out[0] == '\0' && best.rig.at != NULL)
        good = problem_frames(q, &best.rig, best.outcome, err);
    picks_release(&picks);
    fit_rig_release(&best);
    return good;
}

/* The nearest miss with its own plate in steps of thickness: the frames are set from the best. */
static bool frames_of_best_plate(Problem *q, const BlyRig *nearest, BlyError *err) {
    BlyRig rig = {0};
    BlyFitRig best = {0};
    bool good = bly_rig_copy(&rig, nearest, err);
    for (size_t i = 0; good && i < q->set_count; i++) {
        BlyChoice *lip = &rig.at[q->sets[i].seat];
        double most = fmin(1e3 * q->build->seats[q->sets[i].seat].gap, thickest);
        if (lip->of[BLY_PART_SHEET].part == NULL)
            continue;
        most = isfinite(most) ? most : thickest; /* no gap is said: NAN or INFINITY */
        for (int step = 0; good && step <= STEPS; step++) {
            BlyFitRig worked = {0};
            lip->thickness = 1e-3 * thinnest * pow(most / thinnest, (double)step / STEPS);
            good = rig_rework(q->build, &rig, &worked, err);
            bool better = good && (best.rig.at == NULL || worked.off < best.off);
            fit_rig_release(better ? &best : &worked);
            best = better ? worked : best;
        }
    }
    if (good && best.rig.at != NULL)
        good = problem_frames(q, &best.rig, best.outcome, err);
    fit_rig_release(&best);
    bly_rig_release(&rig);
    return good;
}

bool missing_plate(const Problem *p, const BlyRig *nearest, char *out, size_t size, BlyError *err) {
    Problem q;
    bool plates, good = plates_begin(p, &q, &plates, err);
    out[0] = '\0';
    for (int round = 0; good && plates && round < 2 * ROUNDS && out[0] == '\0'; round++) {
        if (problem_over(p))
            break;
        if (round == ROUNDS) /* once more from where the nearest miss is better so */
            good = frames_of_best_plate(&q, nearest, err);
        good = good && try_plates(p, &q, nearest, out, size, err);
    }
    plates_end(&q);
    return good;
}
