/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which rule of the craft stands in the way: each is loosened alone, in the order of the table, and
 * the programme asked once more about the rig that came nearest. What it picks is worked through
 * the full physics, so what is said was found and not guessed. */
#include "fit/staged.h"
#include "text/format.h"
#include "text/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PICKS = 6, ROUNDS = 2, PATIENCE = 100000 };

/* Works picks through until one meets the target; else keeps the best of them. */
static bool work_picks(const Problem *p, const PickList *picks, BlyFitRig *best, bool *met,
                       BlyError *err) {
    for (size_t i = 0; i < picks->count && !*met && !problem_over(p); i++) {
        BlyRig rig = {0};
        BlyFitRig worked = {0};
        bool good =
            problem_rig(p, &picks->at[i], &rig, err) && rig_rework(p->build, &rig, &worked, err);
        bly_rig_release(&rig);
        if (!good)
            return false;
        if (best->rig.at == NULL || rig_merit(&worked) < rig_merit(best)) {
            fit_rig_release(best);
            *best = worked;
        } else {
            fit_rig_release(&worked);
        }
        *met = best->met;
    }
    return true;
}

/* Starts from the rig that came nearest, where there is one. */
static bool first_look(Problem *p, const BlyFitResult *nearest, BlyError *err) {
    if (nearest->count > 0)
        return problem_frames(p, &nearest->rigs[0].rig, nearest->rigs[0].outcome, err);
    return problem_first_frames(p, err);
}

static bool probe(Problem *p, const BlyFitResult *nearest, BlyFitRig *found, bool *met,
                  BlyError *err) {
    bool good = first_look(p, nearest, err);
    p->patience = PATIENCE;
    p->enough = nearest->count > 0 ? problem_in_bands(p) : 0;
    for (int round = 0; good && round < ROUNDS && !*met && !problem_over(p); round++) {
        PickList picks;
        if (!problem_choose(p, PICKS, &picks, err))
            return false;
        bool none = picks.count == 0; /* and the same would be asked again */
        good = work_picks(p, &picks, found, met, err);
        picks_release(&picks);
        if (none)
            break;
        if (good && !*met && found->rig.at != NULL)
            good = problem_frames(p, &found->rig, found->outcome, err);
    }
    return good;
}

/* ---- what is said ---- */

typedef struct Span {
    double low, high;
} Span;

static void widen(Span *span, double value) {
    if (!isfinite(value))
        return;
    span->low = fmin(span->low, value);
    span->high = fmax(span->high, value);
}

static Span span_of(const BlyRig *rig, BlyPartKind kind, double (*figure)(const BlyPart *part)) {
    Span span = {INFINITY, -INFINITY};
    for (size_t s = 0; s < rig->count; s++) {
        const BlyPart *part = rig->at[s].of[kind].part;
        if (part != NULL)
            widen(&span, figure(part));
    }
    return span;
}

static double rank_of(const BlyPart *hook) {
    return hook->size_rank > 0 ? (double)hook->size_rank : (double)NAN;
}

static void allow(BlyAllowance *allows, const char *key, size_t count) {
    allows->count = count;
    (void)bly_format(allows->key, sizeof allows->key, "%s", key);
}

static void say_hook_size(const Craft *c, const BlyRig *rig, BlyText *out, BlyAllowance *allows) {
    Span span = span_of(rig, BLY_PART_HOOK, rank_of);
    char low[8], high[8], from[8], to[8];
    bly_hook_size(c->hook_low, low);
    bly_hook_size(c->hook_high, high);
    bly_hook_size((int)fmin(span.low, c->hook_low), from);
    bly_hook_size((int)fmax(span.high, c->hook_high), to);
    bool larger = span.high > c->hook_high;
    bly_text_appendf(out,
                     "with hooks %s size %s (%.0f mm takes %s to %s) some rig meets the target",
                     larger ? "up to" : "down to", larger ? to : from, 1e3 * c->length, low, high);
    allow(allows, "hook_size", 2);
    (void)bly_format(allows->value[0], sizeof allows->value[0], "%s", from);
    (void)bly_format(allows->value[1], sizeof allows->value[1], "%s", to);
}

static void say_grades(const Craft *c, const BlyRig *rig, BlyText *out, BlyAllowance *allows) {
    static const char *const words[] = {"", "fine", "medium", "stout", "extra"};
    unsigned grades = c->grades;
    for (size_t s = 0; s < rig->count; s++) {
        const BlyPart *hook = rig->at[s].of[BLY_PART_HOOK].part;
        grades |= hook != NULL ? 1u << bly_hook_grade(hook->grade) : 0;
    }
    bly_text_append(out, "with hooks of other wire some rig meets the target");
    allow(allows, "hook_grade", 0);
    for (unsigned i = 1; i <= 4; i++) {
        char *value = allows->value[allows->count];
        if ((grades & (1u << i)) == 0)
            continue;
        (void)bly_format(value, sizeof allows->value[0], "%s", words[i]);
        allows->count++;
    }
}

static void say_lip(const Craft *c, BlyRuleId rule, const BlyRig *rig, BlyText *out,
                    BlyAllowance *allows) {
    for (size_t s = 0; s < rig->count; s++) {
        const BlyPart *sheet = rig->at[s].of[BLY_PART_SHEET].part;
        double least, most, now;
        if (sheet == NULL)
            continue;
        if (rule == BLY_RULE_LIP_FREE) {
            least = c->rules->free_least * c->length;
            most = c->rules->free_most * c->length;
            now = craft_lip_free(&c->build->seats[s], &rig->at[s]);
        } else {
            now = isfinite(rig->at[s].thickness) ? rig->at[s].thickness : sheet->thickness;
            if (!craft_gauges(c, sheet, &least, &most))
                least = most = now;
        }
        bly_text_appendf(out,
                         "with a lip %s %.2f mm %s (%.0f mm of body take %.1f to %.1f) some rig "
                         "meets the target",
                         rule == BLY_RULE_LIP_FREE ? "that stands out by" : "of", 1e3 * now,
                         rule == BLY_RULE_LIP_FREE ? "" : sheet->material, 1e3 * c->length,
                         1e3 * least, 1e3 * most);
        allow(allows, rule == BLY_RULE_LIP_FREE ? "lip_free" : "lip_gauge", 2);
        (void)bly_format(allows->value[0], sizeof allows->value[0], "%.2f mm",
                         1e3 * fmin(least, now));
        (void)bly_format(allows->value[1], sizeof allows->value[1], "%.2f mm",
                         1e3 * fmax(most, now));
        return;
    }
}

static bool say(const Craft *c, BlyRuleId rule, const BlyRig *rig, BlyFitResult *out,
                BlyError *err) {
    BlyAllowance *allows = &out->allows;
    BlyText text;
    bly_text_init(&text);
    bly_text_append(&text, "no rig within the craft: ");
    if (rule == BLY_RULE_HOOK_SIZE)
        say_hook_size(c, rig, &text, allows);
    else if (rule == BLY_RULE_HOOK_GRADE)
        say_grades(c, rig, &text, allows);
    else if (rule == BLY_RULE_LIP_FREE || rule == BLY_RULE_LIP_GAUGE)
        say_lip(c, rule, rig, &text, allows);
    else if (rule == BLY_RULE_LEAD) {
        bly_text_append(&text, "with lead some rig meets the target");
        allow(allows, "lead_free", 0);
    } else {
        bly_text_appendf(&text, "without the rule \"%s\" some rig meets the target",
                         c->rules->rule[rule].words);
        allow(allows, "allow", 1);
        (void)bly_format(allows->value[0], sizeof allows->value[0], "%s", bly_rule_id(rule));
    }
    bool good = bly_text_good(&text, err);
    if (good)
        (void)bly_format(out->craft, sizeof out->craft, "%s", text.bytes);
    bly_text_release(&text);
    return good;
}

/* ---- one rule after the other ---- */

/* The build with what the rule assumed taken back. */
static BlyBuild without(const BlyBuild *build, BlyRuleId rule) {
    BlyBuild loose = *build;
    if (rule == BLY_RULE_LEAD)
        loose.limits.lead_free = false;
    if (rule == BLY_RULE_ATTITUDE && (build->assumed & (1u << BLY_RULE_ATTITUDE)) != 0) {
        loose.target.nose_low = -INFINITY;
        loose.target.nose_high = INFINITY;
    }
    return loose;
}

static bool try_rule(const Problem *base, BlyRuleId rule, unsigned loosened, BlyFitResult *out,
                     bool *met, BlyError *err) {
    BlyBuild loose = without(base->build, rule);
    Problem p;
    BlyError why = {0};
    BlyFitRig found = {0};
    bool alike = false;
    bool good = problem_begin_like(base, &loose, rule, loosened | 1u << rule, &p, &alike, &why);
    if (good && !alike) {
        good = probe(&p, out, &found, met, err) &&
               (!*met || say(&base->craft, rule, &found.rig, out, err));
    } else if (!good) {
        good = why.code == BLY_E_CONFLICT; /* another rule leaves nothing for a seat */
        if (!good && err != NULL)
            *err = why;
    }
    fit_rig_release(&found);
    problem_end(&p);
    return good;
}

/* Where the target was silent, or lead was not spoken of, there is something to take back. */
static bool worth_trying(const BlyBuild *build, BlyRuleId rule) {
    if (rule == BLY_RULE_SNAP || rule == BLY_RULE_EYE_WIRE)
        return false; /* never chosen, never for its weight */
    if (rule == BLY_RULE_ATTITUDE || rule == BLY_RULE_LEAD)
        return (build->assumed & (1u << rule)) != 0;
    return true;
}

bool fit_loosen(const Problem *base, unsigned live, unsigned loosened, BlyFitResult *out,
                BlyError *err) {
    for (int r = 0; r < BLY_RULES && !problem_over(base); r++) {
        BlyRuleId rule = (BlyRuleId)r;
        bool met = false;
        if ((live & (1u << r)) == 0 || !worth_trying(base->build, rule))
            continue;
        if (!try_rule(base, rule, loosened, out, &met, err))
            return false;
        if (met)
            return true;
    }
    return true;
}
