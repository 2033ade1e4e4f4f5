/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is usual comes first among equals: trebles, shanks of the usual length, stainless eyes,
 * hooks alike. */
#include "practice/craft.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool is_single(const BlyPart *hook) {
    return hook->style != NULL && strcmp(hook->style, "single") == 0;
}

static bool is_short(const Craft *c, const BlyPart *hook) {
    int rank = hook->size_rank;
    return rank > 0 && rank < CRAFT_RANKS &&
           hook->length < c->rules->short_below * c->longest[rank];
}

static bool is_listed(const BlyRuleTable *words, const char *word) {
    for (size_t i = 0; i < words->rows; i++) {
        if (strcmp(words->word[i][0], word) == 0)
            return true;
    }
    return false;
}

bool craft_is_usual_metal(const Craft *c, const BlyPart *eye) {
    const BlyRuleTable *usual = &c->rules->eye_metals;
    return usual->rows == 0 || is_listed(usual, eye->material);
}

static void set_finest(Craft *c, const BlyPart *ring) {
    int row = craft_ring_row(ring);
    if (row >= 0 && (c->ring_wire[row] == 0 || ring->wire < c->ring_wire[row]))
        c->ring_wire[row] = ring->wire;
}

void craft_set_usual(Craft *c) {
    for (size_t i = 0; i < c->catalog->part_count; i++) {
        const BlyPart *part = &c->catalog->parts[i];
        int rank = part->size_rank;
        if (part->kind == BLY_PART_RING)
            set_finest(c, part);
        if (part->kind == BLY_PART_HOOK && !is_single(part) && rank > 0 && rank < CRAFT_RANKS &&
            part->length > c->longest[rank])
            c->longest[rank] = part->length;
    }
}

double craft_unusual(const Craft *c, const BlyChoice *choice, unsigned kinds) {
    const BlyPart *hook = choice->of[BLY_PART_HOOK].part;
    const BlyPart *eye = choice->of[BLY_PART_EYE].part;
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    double cost = 0;
    if (c->rules == NULL || !craft_binds(c, BLY_RULE_KINDS))
        return 0;
    if (hook != NULL && (kinds & (1u << BLY_PART_HOOK)) != 0) {
        bool single = is_single(hook);
        cost += single ? c->rules->single_cost : 0;
        cost += !single && is_short(c, hook) ? c->rules->short_cost : 0;
    }
    if (eye != NULL && (kinds & (1u << BLY_PART_EYE)) != 0 && !craft_is_usual_metal(c, eye))
        cost += c->rules->metal_cost;
    if (sheet != NULL && (kinds & (1u << BLY_PART_SHEET)) != 0 &&
        is_listed(&c->rules->rare_lips, sheet->material))
        cost += c->rules->metal_cost;
    return cost;
}

double craft_rare_chance(const Craft *c, const BlyRig *rig) {
    double chance = 0;
    if (c->rules == NULL || !craft_binds(c, BLY_RULE_KINDS))
        return 0;
    for (size_t s = 0; s < rig->count; s++) {
        const BlyPart *sheet = rig->at[s].of[BLY_PART_SHEET].part;
        bool has = sheet == NULL || sheet->in_box > 0 ||
                   sheet == c->build->fitted.at[s].of[BLY_PART_SHEET].part;
        chance +=
            !has && is_listed(&c->rules->rare_lips, sheet->material) ? c->rules->metal_chance : 0;
    }
    return chance;
}

static double unlike(const Craft *c, const BlyPart *a, const BlyPart *b) {
    int ga = bly_hook_grade(a->grade), gb = bly_hook_grade(b->grade);
    double cost = ga > 0 && gb > 0 ? c->rules->grade_cost * abs(ga - gb) : 0;
    if (a->size_rank > 0 && b->size_rank > 0)
        cost += c->rules->number_cost *
                abs(craft_size_step(c, a->size_rank) - craft_size_step(c, b->size_rank));
    return cost;
}

bool craft_hooks_cost(const Craft *c) {
    return craft_binds(c, BLY_RULE_HOOK_SHARE) && c->rules->share_cost > 0 &&
           c->rules->rule[BLY_RULE_HOOK_SHARE].strength == BLY_RULE_COSTS;
}

double craft_hook_mass(const BlyChoice *choice) {
    const BlyChosenPart *hook = &choice->of[BLY_PART_HOOK];
    if (hook->part == NULL)
        return 0;
    return isfinite(hook->weighed.value) ? hook->weighed.value : hook->part->mass.value;
}

double craft_unlike_hooks(const Craft *c, const BlyRig *rig) {
    double cost = 0;
    for (size_t a = 0; a < rig->count; a++) {
        const BlyPart *hook = rig->at[a].of[BLY_PART_HOOK].part;
        for (size_t b = 0; hook != NULL && b < a; b++) {
            const BlyPart *other = rig->at[b].of[BLY_PART_HOOK].part;
            cost += other != NULL ? unlike(c, hook, other) : 0;
        }
    }
    return cost;
}
