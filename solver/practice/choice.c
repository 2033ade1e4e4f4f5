/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One seat's choice, two seats' choices, and a whole rig. */
#include "practice/craft.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool chosen(unsigned kinds, BlyPartKind kind) {
    return (kinds & (1u << kind)) != 0;
}

static unsigned lead_of(const BlyChoice *choice, unsigned kinds) {
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        const BlyPart *part = choice->of[kind].part;
        if (chosen(kinds, (BlyPartKind)kind) && part != NULL && part->lead)
            return 1u << BLY_RULE_LEAD;
    }
    return 0;
}

unsigned craft_choice(const Craft *c, int seat, const BlyChoice *choice, unsigned kinds) {
    const BlySeat *s = &c->build->seats[seat];
    const BlyPart *eye = choice->of[BLY_PART_EYE].part;
    const BlyPart *ring = choice->of[BLY_PART_RING].part;
    const BlyPart *hook = choice->of[BLY_PART_HOOK].part;
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    unsigned broken = lead_of(choice, kinds);
    if (c->rules == NULL)
        return 0;
    if (chosen(kinds, BLY_PART_HOOK))
        broken |= craft_hook(c, hook);
    if (chosen(kinds, BLY_PART_HOOK) || chosen(kinds, BLY_PART_RING))
        broken |= craft_ring(c, ring, hook);
    if (chosen(kinds, BLY_PART_EYE) && eye != NULL) {
        broken |= craft_eye(c, seat, choice->x, eye);
        broken |= craft_eye_is_short(c, seat, choice->x, eye) ? 1u << BLY_RULE_EYE_SHANK : 0;
    }
    if (chosen(kinds, BLY_PART_WIRE) && choice->of[BLY_PART_WIRE].part != NULL)
        broken |= 1u << BLY_RULE_FIRST_BUILD;
    if (chosen(kinds, BLY_PART_SNAP) && choice->of[BLY_PART_SNAP].part != NULL)
        broken |= 1u << BLY_RULE_SNAP;
    if (sheet != NULL && (chosen(kinds, BLY_PART_SHEET) || chosen(kinds, BLY_PART_OUTLINE))) {
        double thick = isfinite(choice->thickness) ? choice->thickness : sheet->thickness;
        broken |= craft_lip(c, s, choice, thick - choice->filed);
    }
    if (chosen(kinds, BLY_PART_STRIP) || chosen(kinds, BLY_PART_DOT))
        broken |= craft_patch(c, s, choice);
    return broken & c->live;
}

/* ---- two seats ---- */

static unsigned hooks_together(const Craft *c, const BlyChoice *front, const BlyChoice *rear) {
    const BlyPart *a = front->of[BLY_PART_HOOK].part, *b = rear->of[BLY_PART_HOOK].part;
    unsigned broken = 0;
    if (a == NULL || b == NULL)
        return 0;
    bool alike = a->style == NULL || b->style == NULL || strcmp(a->style, b->style) == 0;
    if (!alike)
        broken |= 1u << BLY_RULE_HOOK_STYLE;
    int ra = alike ? a->size_rank : craft_treble_rank(c, a);
    int rb = alike ? b->size_rank : craft_treble_rank(c, b);
    int most = (int)c->rules->smaller_most;
    int smaller = craft_size_step(c, ra) - craft_size_step(c, rb);
    if (ra > 0 && rb > 0 && (smaller > most || -smaller > (c->rear_larger ? most : 0)))
        broken |= 1u << BLY_RULE_HOOK_ORDER;
    int ga = bly_hook_grade(a->grade), gb = bly_hook_grade(b->grade);
    if (ga > 0 && gb > 0 && abs(ga - gb) > (int)c->rules->grades_apart)
        broken |= 1u << BLY_RULE_HOOK_ALIKE;
    return broken;
}

static unsigned rings_together(const Craft *c, const BlyChoice *a, const BlyChoice *b) {
    const BlyPart *ra = a->of[BLY_PART_RING].part, *rb = b->of[BLY_PART_RING].part;
    const BlyPart *ha = a->of[BLY_PART_HOOK].part, *hb = b->of[BLY_PART_HOOK].part;
    unsigned broken = 0;
    bool light_a = craft_ring_is_light(c, ra, ha), light_b = craft_ring_is_light(c, rb, hb);
    if (ha == NULL || hb == NULL) /* a lighter one needs another hook that it suits */
        return c->hangers == 2 && (light_a || light_b) ? 1u << BLY_RULE_RING_SIZE : 0;
    if (ra != NULL && rb != NULL && ra != rb)
        broken |= 1u << BLY_RULE_RING_ALIKE;
    int larger = craft_treble_rank(c, ha) - craft_treble_rank(c, hb);
    if ((light_a && larger <= 0) || (light_b && larger >= 0))
        broken |= 1u << BLY_RULE_RING_SIZE;
    return broken;
}

unsigned craft_pair(const Craft *c, int seat_a, const BlyChoice *a, int seat_b,
                    const BlyChoice *b) {
    if (c->rules == NULL)
        return 0;
    const BlySeat *sa = &c->build->seats[seat_a], *sb = &c->build->seats[seat_b];
    const BlyPart *ea = a->of[BLY_PART_EYE].part, *eb = b->of[BLY_PART_EYE].part;
    unsigned broken = 0;
    if (ea != NULL && eb != NULL && !craft_eyes_go_together(c, ea, eb))
        broken |= 1u << BLY_RULE_EYE_ALIKE;
    if (sa->kind == BLY_SEAT_HANGER && sb->kind == BLY_SEAT_HANGER) {
        broken |= a->x <= b->x ? hooks_together(c, a, b) : hooks_together(c, b, a);
        broken |= rings_together(c, a, b);
    }
    return broken & c->live;
}

/* ---- a whole rig ---- */

/* Whether an earlier seat has this part. */
static bool had_before(const BlyRig *rig, size_t seat, int kind) {
    for (size_t s = 0; s < seat; s++) {
        if (rig->at[s].of[kind].part == rig->at[seat].of[kind].part)
            return true;
    }
    return false;
}

int craft_further_kinds(const BlyRig *rig) {
    int further = 0;
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        int different = 0;
        for (size_t s = 0; s < rig->count; s++)
            different += rig->at[s].of[kind].part != NULL && !had_before(rig, s, kind);
        further += different > 1 ? different - 1 : 0;
    }
    return further;
}

double craft_hook_share(const Craft *c, const BlyRig *rig) {
    double hooks = 0, all = 0;
    BlyLure lure = {0};
    if (!bly_lure_make(&c->build->blank, c->build->seats, rig, &lure, NULL))
        return NAN;
    for (size_t i = 0; i < lure.count; i++) {
        const BlyItem *item = &lure.items[i];
        all += item->mass;
        hooks += item->part != NULL && item->part->kind == BLY_PART_HOOK ? item->mass : 0;
    }
    bly_lure_release(&lure);
    return hooks > 0 && all > 0 ? hooks / all : NAN;
}

/* ---- judging ---- */

static bool add_breach(const Craft *c, BlyRuleId rule, int seat, const BlyRig *rig,
                       BlyBreaches *out, BlyError *err) {
    BlyBreach *at = realloc(out->at, (out->count + 1) * sizeof *at);
    if (at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what the craft says");
    out->at = at;
    BlyBreach *breach = &out->at[out->count++];
    *breach = (BlyBreach){.rule = rule, .seat = seat};
    craft_say(c, rule, seat, rig, breach->text, sizeof breach->text);
    return true;
}

/* What a seat breaks alone, and with the seats before it. A light ring on the only hook is too
 * light. */
static unsigned seat_breaks(const Craft *c, const BlyRig *rig, size_t seat) {
    const BlyChoice *choice = &rig->at[seat];
    unsigned broken = craft_choice(c, (int)seat, choice, ~0u);
    bool light =
        craft_binds(c, BLY_RULE_RING_SIZE) &&
        craft_ring_is_light(c, choice->of[BLY_PART_RING].part, choice->of[BLY_PART_HOOK].part);
    bool others = false;
    for (size_t s = 0; s < rig->count; s++) {
        bool hooked = s != seat && rig->at[s].of[BLY_PART_HOOK].part != NULL;
        others = others || hooked;
        if (s < seat)
            broken |= craft_pair(c, (int)s, &rig->at[s], (int)seat, choice);
    }
    if (light && !others)
        broken |= 1u << BLY_RULE_RING_SIZE;
    if (choice->of[BLY_PART_RING].part == NULL || choice->of[BLY_PART_HOOK].part == NULL)
        broken &= ~(1u << BLY_RULE_RING_SIZE); /* told where the ring is */
    return broken;
}

static bool judge(const Craft *c, const BlyRig *rig, BlyBreaches *out, BlyError *err) {
    for (int r = 0; r < BLY_RULES; r++) {
        BlyRuleId rule = (BlyRuleId)r;
        if (!craft_binds(c, rule))
            continue;
        for (size_t s = 0; s < rig->count; s++) {
            if ((seat_breaks(c, rig, s) & (1u << rule)) != 0 &&
                !add_breach(c, rule, (int)s, rig, out, err))
                return false;
        }
        if (rule == BLY_RULE_HOOK_SHARE && craft_hook_share(c, rig) > c->rules->share_most &&
            !add_breach(c, rule, -1, rig, out, err))
            return false;
    }
    return true;
}

/* What was read complete is no first build any more. */
static bool is_finished(const BlyBuild *build) {
    BlyStage reached;
    return build_reached(build, &reached) && reached == BLY_STAGE_COMPLETE;
}

bool bly_practice_judge(const BlyBuild *build, const BlyRig *rig, BlyBreaches *out, BlyError *err) {
    Craft craft;
    *out = (BlyBreaches){0};
    if (!craft_begin_judging(build, rig, &craft, err))
        return false;
    if (is_finished(build))
        craft.live &= ~(1u << BLY_RULE_FIRST_BUILD);
    bool good = craft.rules == NULL || judge(&craft, rig, out, err);
    craft_end(&craft);
    if (!good)
        bly_breaches_release(out);
    return good;
}

void bly_breaches_release(BlyBreaches *breaches) {
    free(breaches->at);
    *breaches = (BlyBreaches){0};
}
