/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ranked rigs, or the nearest misses, as text. */
#include "ballastry/rules.h"
#include "report/fit_rig.h"

#include <math.h>

/* What holds of every rig is told once, below them all. */
static unsigned common_notes(const BlyFitResult *result) {
    unsigned notes = result->count > 1 ? ~0U : 0U;
    for (size_t i = 0; i < result->count; i++)
        notes &= fit_rig_notes(&result->rigs[i]);
    return notes;
}

static bool rig_holds_lead(const BlyRig *rig) {
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            const BlyPart *part = rig->at[s].of[kind].part;
            if (part != NULL && part->lead)
                return true;
        }
    }
    return false;
}

static void warn_of_lead(const Report *r, const BlyFitResult *result, const BlyReserve *reserves) {
    bool lead = false;
    for (size_t i = 0; i < result->count; i++)
        lead = lead || rig_holds_lead(&result->rigs[i].rig) ||
               (reserves != NULL && trims_hold_lead(&reserves[i]));
    if (lead)
        text_wrapped(r, 2,
                     "lead is poisonous and banned in places: gloves, no sanding, clean "
                     "hands; \"lead_free\": true under limits leaves it out");
}

/* Nearest on paper is not surest to meet the target. */
static void on_paper_words(const BlyFitResult *result, size_t size, char *words) {
    words[0] = '\0';
    if (result->on_paper > 1 && (size_t)result->on_paper <= result->count)
        (void)snprintf(words, size, "nearest on paper: rig %d; ", result->on_paper);
    else if (result->on_paper > 1)
        (void)snprintf(words, size, "nearer on paper: --on-paper; ");
}

/* The one next step, and where the rest is. */
static void text_next(const Report *r, const FitShown *shown) {
    const BlyFitResult *result = shown->result;
    if (result->met && result->finished)
        text_wrapped(r, 2, "next: do what stands under 1, then look at it in the tank again");
    char nearer[96];
    on_paper_words(result, sizeof nearer, nearer);
    if (result->count == 0 || (shown->full && !result->met))
        return;
    text_wrapped(r, 2, "%s%s%s%s", nearer, shown->full ? "" : "all in full: --full",
                 shown->full || !result->met ? "" : "; ",
                 result->met ? "keep rig 1: --write FILE" : "");
}

/* What the build does not say, and a maker takes for granted. */
static void text_assumed(const Report *r, const BlyBuild *build) {
    char words[4 * WORDS_MAX] = "", tilt[WORDS_MAX], arm[BLY_QUANTITY_MAX];
    size_t length = 0;
    const BlyTarget *t = &build->target;
    if (build->assumed & (1u << BLY_RULE_ATTITUDE)) {
        attitude_range_words(t->nose_low, t->nose_high, 1, tilt);
        length += (size_t)snprintf(words, sizeof words, ", %s%s", tilt,
                                   t->state == BLY_FLOATS ? " at the surface" : "");
    }
    if (build->has_target && build->roll_assumed) {
        bly_quantity_show(t->roll_arm_least, BLY_DIM_LENGTH, r->system,
                          r->system == BLY_INCH ? 2 : 1, arm);
        length +=
            (size_t)snprintf(words + length, sizeof words - length, ", roll arm %s or more", arm);
    }
    if (build->assumed & (1u << BLY_RULE_LEAD))
        length += (size_t)snprintf(words + length, sizeof words - length, ", no lead");
    if (length > 0)
        text_wrapped(r, 2, "assumed, as the build does not say: %s", words + 2);
}

static const char *plural(size_t count) {
    return count == 1 ? "" : "s";
}

/* Whether a chance as printed is above that of the rig before it: alike to the search, which then
 * goes by nearness on paper, but not to a reader. */
static bool goes_up(const BlyFitResult *result, const BlyReserve *reserves) {
    for (size_t i = 1; reserves != NULL && i < result->count; i++) {
        const BlyReserve *before = &reserves[i - 1], *now = &reserves[i];
        if (rint(100.0 * now->chance[now->worked]) > rint(100.0 * before->chance[before->worked]))
            return true;
    }
    return false;
}

static void text_answer(const Report *r, const BlyBuild *build, const BlyFitResult *result,
                        const BlyReserve *reserves) {
    size_t n = result->count;
    const char *unsure = result->stopped && reserves == NULL
                             ? "; stopped before it was found out how sure each is"
                             : "";
    if (result->impossible[0] != '\0')
        text_wrapped(r, 2, "no lure can do this: %s", result->impossible);
    else if (!result->met && result->stopped)
        text_wrapped(r, 2, "stopped before a rig that meets the target was found%s",
                     n > 0 ? "; these come nearest so far" : "");
    else if (!result->met)
        text_wrapped(r, 2, "no rig meets the target%s", n > 0 ? "; these come nearest" : "");
    else if (result->finished && n == 1 && result->rigs[0].changes == 0)
        (void)fprintf(r->out, "the finished lure meets the target; no mend makes it surer\n");
    else if (result->finished)
        text_wrapped(r, 2, "%zu way%s to mend the finished lure, the surest%s first%s", n,
                     plural(n), result->surest ? tests_words(build->tests) : "", unsure);
    else if (result->surest && n == 1)
        text_wrapped(r, 2, "1 rig, the surest%s", tests_words(build->tests));
    else if (result->surest)
        text_wrapped(r, 2, "%zu rigs, the surest%s first%s", n, tests_words(build->tests),
                     goes_up(result, reserves) ? ", to within a few in 100" : "");
    else
        text_wrapped(r, 2, "%zu rig%s that meet%s the target, best first%s", n, plural(n),
                     n == 1 ? "s" : "", unsure);
}

/* With what to write into the build for it. */
static void text_allowance(const Report *r, const BlyFitResult *result) {
    const BlyAllowance *allows = &result->allows;
    char list[4 * sizeof allows->value[0] + 24] = "false";
    size_t length = 0;
    for (size_t i = 0; i < allows->count; i++)
        length += (size_t)snprintf(list + length, sizeof list - length, "%s\"%s\"",
                                   i == 0 ? "[" : ", ", allows->value[i]);
    text_wrapped(r, 2, "%s; \"%s\": %s%s under limits allows it", result->craft, allows->key, list,
                 allows->count > 0 ? "]" : "");
}

/* What stands in the way, or would help. */
static void text_remarks(const Report *r, const BlyFitResult *result) {
    if (result->place[0] != '\0')
        text_wrapped(r, 2, "%s; let go in these", result->place);
    if (result->light[0] != '\0')
        text_wrapped(r, 2, "%s", result->light);
    if (result->heavy[0] != '\0')
        text_wrapped(r, 2, "%s", result->heavy);
    if (result->craft[0] != '\0')
        text_allowance(r, result);
    if (result->second_try)
        text_wrapped(r, 2,
                     "nothing but wire on a shank, dots or washers reaches the target; "
                     "makers keep them for the tank");
    if (result->missing[0] != '\0')
        text_wrapped(r, 2, "what would do it: %s", result->missing);
}

/* How thoroughly it looked; a proof has its figures in JSON. */
static void text_search(const Report *r, const BlyFitResult *result, bool full) {
    const char *said;
    if (result->proven || result->gap <= 0 || result->complete)
        said = result->met ? "nothing better was found" : "none of them will do";
    else
        said = result->stopped ? "stopped early: there may be a better rig"
                               : "there may be a better rig";
    if (full || !result->complete)
        text_wrapped(r, 2, "%zu ways to fill the seats were compared; %s", result->columns, said);
}

void text_fit(const Report *r, const BlyBuild *build, const BlyFitResult *result,
              const BlyReserve *reserves, const BlyTowWished *wished, const BlyLure *first,
              bool full) {
    const FitShown shown = {result, reserves, wished, common_notes(result), full};
    (void)fprintf(r->out, "%s\n", build->name);
    text_said(r, build);
    text_assumed(r, build);
    if (!result->finished)
        text_stage(r, build);
    text_answer(r, build, result, reserves);
    for (size_t i = 0; i < result->count; i++) {
        if (full || i < 2)
            (void)fprintf(r->out, "\n");
        if (full || i == 0)
            text_rig_found(r, build, &shown, i);
        else
            text_rig_beside(r, build, &shown, i);
        if (i == 0 && first != NULL && full)
            text_ladder(r, build, first);
        else if (i == 0 && first != NULL)
            text_ladder_short(r, "  ", build, first);
    }
    if (result->count > 0)
        (void)fprintf(r->out, "\n");
    if (shown.common != 0)
        (void)fprintf(r->out, "of all of these:\n");
    text_notes(r, "  ", shown.common);
    if (wished != NULL && result->count > 0)
        text_wished_note(r, reserves != NULL);
    text_remarks(r, result);
    text_search(r, result, full);
    warn_of_lead(r, result, reserves);
    text_next(r, &shown);
}
