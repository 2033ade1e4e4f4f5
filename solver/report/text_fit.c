/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ranked rigs, or the nearest misses, as text. */
#include "report/sure.h"

#include <math.h>

/* A floater is described as it lies, anything else as it drifts. */
static void one_line(const Report *r, const BlyTarget *target, const BlyOutcome *o) {
    char water[WORDS_MAX], speed[WORDS_MAX], attitude[WORDS_MAX], net[WORDS_MAX];
    water_words(&o->water, r->system, water);
    speed_words(o->drift, r->system, speed);
    small_mass_words(o->sums.net_weight, r->system, true, net);
    bool afloat = target->state == BLY_FLOATS && o->has_surface;
    attitude_words(afloat ? o->surface.nose_down : o->nose_down, attitude);
    (void)fprintf(r->out, "    %s: ", water);
    if (afloat)
        report_print(r->out, "floats, shows %.1f %%, %s, weight in water %s\n",
                     o->surface.shows * 100, attitude, net);
    else
        (void)fprintf(r->out, "%s, %s, %s, weight in water %s\n", drift_words(o->drift), attitude,
                      speed, net);
}

static unsigned notes_of(const BlyFitRig *rig) {
    unsigned notes = 0;
    for (size_t w = 0; w < rig->water_count; w++)
        notes |= rig->outcome[w].notes;
    return notes;
}

/* What holds of every rig is told once, below them all. */
static unsigned common_notes(const BlyFitResult *result) {
    unsigned notes = result->count > 1 ? ~0U : 0U;
    for (size_t i = 0; i < result->count; i++)
        notes &= notes_of(&result->rigs[i]);
    return notes;
}

static void one_rig(const Report *r, const BlyBuild *build, const BlyFitRig *rig, size_t number,
                    const BlyReserve *reserve, bool finished, unsigned told_below) {
    char mass[WORDS_MAX];
    small_mass_words(rig->outcome[0].sums.mass, r->system, false, mass);
    (void)fprintf(r->out, "%zu. ", number);
    if (finished && rig->changes == 0)
        (void)fprintf(r->out, "as it is, ");
    else if (finished)
        (void)fprintf(r->out, "%d change%s (*), ", rig->changes, rig->changes == 1 ? "" : "s");
    (void)fprintf(r->out, "%d piece%s, whole lure %s", rig->pieces, rig->pieces == 1 ? "" : "s",
                  mass);
    if (isfinite(rig->price) && rig->price > 0)
        report_print(r->out, ", price %.2f", rig->price);
    (void)fprintf(r->out, "\n");
    text_rig(r, build, &rig->rig, finished ? &build->fitted : NULL);
    for (size_t w = 0; w < rig->water_count; w++) {
        one_line(r, &build->target, &rig->outcome[w]);
        if (!rig->met)
            text_judgement(r, "      ", &build->target, &rig->outcome[w], &rig->judgement[w]);
    }
    if (reserve != NULL)
        text_reserve(r, build, &rig->rig, reserve);
    text_notes(r, "    ", notes_of(rig) & ~told_below);
    if (rig->equals != NULL && rig->equals[0] != '\0')
        (void)fprintf(r->out, "    as good: %s\n", rig->equals);
}

static bool rig_holds_lead(const BlyRig *rig) {
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            const BlyPart *part = rig->at[s].piece[kind].part;
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
        (void)fprintf(r->out, "lead is poisonous and not allowed everywhere: gloves, no sanding, "
                              "clean hands; \"lead_free\": true under limits leaves it out\n");
}

/* Nearest to the target is not surest to meet it; below nine of ten that is worth a line. */
static void point_to_surest(const Report *r, const BlyFitResult *result,
                            const BlyReserve *reserves) {
    double best = 0;
    if (reserves == NULL || result->surest || !result->met)
        return;
    for (size_t i = 0; i < result->count; i++)
        best = fmax(best, reserves[i].chance_with);
    if (best < 0.9)
        (void)fprintf(r->out,
                      "another rig may be surer after one tank test and its trims: --surest "
                      "ranks by that\n");
}

/* To two digits, never below the value: what is claimed of it stays true. */
static double two_digits_up(double value) {
    if (!(value > 0))
        return 0;
    double step = pow(10, floor(log10(value)) - 1);
    return step * ceil(value / step - 1e-6);
}

void text_fit(const Report *r, const BlyBuild *build, const BlyFitResult *result,
              const BlyReserve *reserves) {
    (void)fprintf(r->out, "%s\n", build->name);
    text_said(r, build);
    if (result->impossible[0] != '\0')
        (void)fprintf(r->out, "no lure can do this: %s\n", result->impossible);
    else if (!result->met && result->stopped)
        (void)fprintf(r->out, "stopped before a rig that meets the target was found%s\n",
                      result->count > 0 ? "; these came nearest so far" : "");
    else if (!result->met)
        (void)fprintf(r->out, "no rig meets the target; these come nearest\n");
    else if (result->finished)
        (void)fprintf(r->out, "%zu way%s to mend the finished lure, fewest changes first\n",
                      result->count, result->count == 1 ? "" : "s");
    else if (result->surest)
        (void)fprintf(r->out, "%zu rig%s, the surest after one tank test and trims first\n",
                      result->count, result->count == 1 ? "" : "s");
    else
        (void)fprintf(r->out, "%zu rig%s that meet%s the target, best first\n", result->count,
                      result->count == 1 ? "" : "s", result->count == 1 ? "s" : "");
    unsigned common = common_notes(result);
    for (size_t i = 0; i < result->count; i++) {
        (void)fprintf(r->out, "\n");
        one_rig(r, build, &result->rigs[i], i + 1, reserves != NULL ? &reserves[i] : NULL,
                result->finished, common);
    }
    if (result->count > 0)
        (void)fprintf(r->out, "\n");
    if (common != 0)
        (void)fprintf(r->out, "for all of these\n");
    text_notes(r, "  ", common);
    if (result->missing[0] != '\0')
        (void)fprintf(r->out, "what would do it: %s\n", result->missing);
    (void)fprintf(r->out, "looked at %zu candidates", result->columns);
    if (result->proven)
        (void)fprintf(r->out, "; %s\n",
                      result->count > 0 ? "nothing better is among them" : "none of them will do");
    else if (isfinite(result->gap))
        report_print(r->out,
                     "; stopped early: no rig could be better than the first by more than %.2g "
                     "half-bands\n",
                     two_digits_up(result->gap));
    else
        (void)fprintf(r->out, "; stopped early: how much better a rig could be is not known\n");
    point_to_surest(r, result, reserves);
    warn_of_lead(r, result, reserves);
}
