/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rig does against a rule, as figures in words. */
#include "practice/craft.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void say_hook_size(const Craft *c, const BlyPart *hook, char *out, size_t size) {
    char low[8], high[8];
    bly_hook_size(c->hook_low, low);
    bly_hook_size(c->hook_high, high);
    (void)bly_format(out, size, "hook %s; %.0f mm takes trebles %s to %s", hook->size,
                     1e3 * c->length, low, high);
}

static void ring_words(int number, char out[16]) {
    if (number < 0)
        (void)snprintf(out, 16, "%s", number == -1 ? "00" : "000");
    else
        (void)snprintf(out, 16, "%d", number);
}

static void say_ring(const Craft *c, const BlyPart *ring, const BlyPart *hook, char *out,
                     size_t size) {
    int low, high;
    if (!craft_rings_for(c, hook, &low, &high))
        low = high = 0;
    char numbers[2][16];
    ring_words(low, numbers[0]);
    ring_words(high, numbers[1]);
    (void)bly_format(out, size, "%s%s on hook %s, which takes ring %s%s%s", ring->id,
                     craft_ring_is_heavy(c, ring) ? ", of heavy wire," : "", hook->size, numbers[0],
                     low == high ? "" : " to ", low == high ? "" : numbers[1]);
}

/* Of a pair the lighter ring is the one meant, wherever it hangs. */
static void say_rings(const Craft *c, int seat, const BlyRig *rig, char *out, size_t size) {
    int at = seat;
    for (int s = seat; s >= 0; s--) {
        if (craft_ring_is_light(c, rig->at[s].of[BLY_PART_RING].part,
                                rig->at[s].of[BLY_PART_HOOK].part))
            at = s;
    }
    const BlyPart *ring = rig->at[at].of[BLY_PART_RING].part;
    const BlyPart *hook = rig->at[at].of[BLY_PART_HOOK].part;
    if (ring != NULL && hook != NULL)
        say_ring(c, ring, hook, out, size);
}

static void say_eye(const Craft *c, BlyRuleId rule, int seat, const BlyPart *eye, char *out,
                    size_t size) {
    int style = craft_eye_style(eye);
    double here = style >= 0 ? c->seat[seat].wire[style] : NAN;
    double most = style >= 0 ? c->wire_most[style] : NAN;
    if (rule == BLY_RULE_EYE_WIRE && eye->wire < here && here < most)
        (void)bly_format(out, size, "%s of %.2f mm wire; the wood there takes %.2f mm", eye->id,
                         1e3 * eye->wire, 1e3 * here);
    else if (rule == BLY_RULE_EYE_WIRE)
        (void)bly_format(out, size, "%s of %.2f mm wire; %.0f mm and some %.0f g take %.2f mm",
                         eye->id, 1e3 * eye->wire, 1e3 * c->length, 1e3 * c->mass, 1e3 * most);
    else if (rule == BLY_RULE_EYE_SHANK)
        (void)bly_format(out, size, "%s, a longer shank of its kind would fit", eye->id);
    else if (rule == BLY_RULE_EYE_SOLID)
        (void)bly_format(out, size, "%s stands in a hollow or in thin infill", eye->id);
    else
        (void)bly_format(out, size, "%s has too little wood about it there%s", eye->id,
                         style == 0 && c->build->blank.body_density < c->rules->screw_density
                             ? ", or too light a wood for a screw"
                             : "");
}

static void say_lip(const Craft *c, BlyRuleId rule, const BlySeat *seat, const BlyChoice *choice,
                    char *out, size_t size) {
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    double free_length = craft_lip_free(seat, choice), least = 0, most = 0;
    double thick =
        (isfinite(choice->thickness) ? choice->thickness : sheet->thickness) - choice->filed;
    bool flat = c->width < c->rules->flat_from * c->height;
    (void)craft_gauges(c, sheet, &least, &most);
    if (rule == BLY_RULE_LIP_WIDTH)
        (void)bly_format(out, size, "%.1f mm wide; a body of %.1f mm takes %.1f to %.1f mm",
                         1e3 * choice->of[BLY_PART_OUTLINE].part->width, 1e3 * c->width,
                         1e3 * c->rules->lip_least * c->width,
                         1e3 * (flat ? c->rules->lip_flat_most : c->rules->lip_most) * c->width);
    else if (rule == BLY_RULE_LIP_FREE)
        (void)bly_format(out, size, "stands out by %.1f mm; %.0f mm of body take %.1f to %.1f mm",
                         1e3 * free_length, 1e3 * c->length, 1e3 * c->rules->free_least * c->length,
                         1e3 * c->rules->free_most * c->length);
    else if (rule == BLY_RULE_LIP_GAUGE)
        (void)bly_format(out, size, "%s of %.2f mm; %.0f mm of body take %.2f to %.2f mm",
                         sheet->material, 1e3 * thick, 1e3 * c->length, 1e3 * least, 1e3 * most);
    else {
        double root = craft_lip_root(seat, choice), force = craft_lip_force(c);
        (void)bly_format(out, size,
                         "%s of %.2f mm, %.1f mm free and %.1f mm wide: pushed with %.0f N it "
                         "bears %.0f MPa, it may %.0f",
                         sheet->material, 1e3 * thick, 1e3 * free_length, 1e3 * root, force,
                         6e-6 * force * free_length / (root * thick * thick),
                         1e-6 * sheet->bending);
    }
}

static void say_hooks_together(const Craft *c, BlyRuleId rule, int seat, const BlyRig *rig,
                               char *out, size_t size) {
    const BlyChoice *own = &rig->at[seat];
    BlyPartKind kind = rule == BLY_RULE_RING_ALIKE  ? BLY_PART_RING
                       : rule == BLY_RULE_EYE_ALIKE ? BLY_PART_EYE
                                                    : BLY_PART_HOOK;
    for (int s = 0; s < seat; s++) {
        if ((craft_pair(c, s, &rig->at[s], seat, own) & (1u << rule)) == 0)
            continue;
        const BlyPart *a = rig->at[s].of[kind].part, *b = own->of[kind].part;
        (void)bly_format(out, size, "%s at %s, %s at %s", a != NULL ? a->id : "none",
                         c->build->seats[s].name, b != NULL ? b->id : "none",
                         c->build->seats[seat].name);
        return;
    }
}

/* The parts that the rule speaks of. */
static bool speaks_of(BlyRuleId rule, int kind, const BlyPart *part) {
    if (rule == BLY_RULE_LEAD)
        return part->lead;
    if (rule == BLY_RULE_SNAP)
        return kind == BLY_PART_SNAP;
    return kind == BLY_PART_DOT ||
           kind == (rule == BLY_RULE_SURFACE ? BLY_PART_STRIP : BLY_PART_WIRE);
}

static void say_parts(BlyRuleId rule, const BlyChoice *choice, char *out, size_t size) {
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        const BlyPart *part = choice->of[kind].part;
        if (part == NULL || !speaks_of(rule, kind, part))
            continue;
        bool counted = kind == BLY_PART_STRIP || kind == BLY_PART_DOT || kind == BLY_PART_WIRE;
        const char *of = kind == BLY_PART_STRIP  ? "layers of "
                         : kind == BLY_PART_WIRE ? "turns of "
                                                 : "";
        if (counted && choice->count > 1)
            (void)bly_format(out, size, "%d %s%s", choice->count, of, part->id);
        else
            (void)bly_format(out, size, "%s", part->id);
        return;
    }
}

void craft_say(const Craft *c, BlyRuleId rule, int seat, const BlyRig *rig, char *out,
               size_t size) {
    const BlyChoice *choice = seat >= 0 ? &rig->at[seat] : NULL;
    const BlyPart *eye = choice != NULL ? choice->of[BLY_PART_EYE].part : NULL;
    const BlyPart *hook = choice != NULL ? choice->of[BLY_PART_HOOK].part : NULL;
    out[0] = '\0';
    switch (rule) {
    case BLY_RULE_HOOK_SIZE:
        say_hook_size(c, hook, out, size);
        break;
    case BLY_RULE_HOOK_GRADE:
        (void)bly_format(out, size, "%s", hook->id);
        break;
    case BLY_RULE_RING_SIZE:
        say_rings(c, seat, rig, out, size);
        break;
    case BLY_RULE_EYE_WIRE:
    case BLY_RULE_EYE_SHANK:
    case BLY_RULE_EYE_WOOD:
    case BLY_RULE_EYE_SOLID:
        say_eye(c, rule, seat, eye, out, size);
        break;
    case BLY_RULE_HOOK_STYLE:
    case BLY_RULE_HOOK_ORDER:
    case BLY_RULE_HOOK_ALIKE:
    case BLY_RULE_RING_ALIKE:
    case BLY_RULE_EYE_ALIKE:
        say_hooks_together(c, rule, seat, rig, out, size);
        break;
    case BLY_RULE_LIP_WIDTH:
    case BLY_RULE_LIP_FREE:
    case BLY_RULE_LIP_GAUGE:
    case BLY_RULE_LIP_BENDING:
        say_lip(c, rule, &c->build->seats[seat], choice, out, size);
        break;
    case BLY_RULE_HOOK_SHARE:
        (void)bly_format(out, size, "hooks are %.0f %% of the lure",
                         100 * craft_hook_share(c, rig));
        break;
    case BLY_RULE_FIRST_BUILD:
    case BLY_RULE_SURFACE:
    case BLY_RULE_LEAD:
    case BLY_RULE_SNAP:
        say_parts(rule, choice, out, size);
        break;
    case BLY_RULE_KINDS:
    case BLY_RULE_ATTITUDE:
    case BLY_RULE_MENDING:
    case BLY_RULES:
        break;
    }
}
