/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the lure was made for and will do, and what to mind while making it. */
#include "sheet/flow.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void say_outcome(Flow *flow, const char *lead, const BlyOutcome *outcome) {
    char water[WORDS_MAX], doing[3 * WORDS_MAX], text[5 * WORDS_MAX];
    water_words(&outcome->water, flow->order->system, water);
    doing_words(outcome, flow->order->system, doing);
    (void)snprintf(text, sizeof text, "%s%s: %s", lead, water, doing);
    flow_say(flow, TEXT_PLAIN, text);
}

/* What 90 of 100 such lures do, in the build's own water. */
static void say_range(Flow *flow) {
    const BlySpread *spread = &flow->shown->spread[0], *judged = spread;
    const BlyRange *net = &spread->water[0].range[BLY_Q_NET_WEIGHT];
    const BlyRange *drift = &spread->water[0].range[BLY_Q_DRIFT];
    char light[WORDS_MAX], heavy[WORDS_MAX], fast[WORDS_MAX], slow[WORDS_MAX], text[5 * WORDS_MAX];
    if (flow->shown->spread_count > 1)
        judged = &flow->shown->spread[1];
    small_mass_words(net->low, flow->order->system, true, light);
    small_mass_words(net->high, flow->order->system, true, heavy);
    speed_words(drift->low, flow->order->system, slow);
    speed_words(drift->high, flow->order->system, fast);
    (void)snprintf(text, sizeof text,
                   "90 of 100 such lures weigh %s to %s in it; under water they go from %s to %s.",
                   light, heavy, slow, fast);
    flow_say(flow, TEXT_PLAIN, text);
    if (!judged->has_target)
        return;
    (void)snprintf(text, sizeof text, "%s of 100 meet the target%s before they are trimmed.",
                   share_text(judged->chance).words,
                   judged->water_count > 1 ? " in every water" : "");
    flow_say(flow, TEXT_PLAIN, text);
}

void block_doing(Flow *flow) {
    const BlySheetFacts *f = flow->shown;
    if (flow->after != NULL)
        say_outcome(flow, "before, in ", &flow->facts->outcome);
    say_outcome(flow, flow->after != NULL ? "after, in " : "Made for ", &f->outcome);
    for (size_t i = 0; i < f->target_count; i++) {
        if (fabs(f->target[i].water.temperature - f->outcome.water.temperature) > 1e-9 ||
            fabs(f->target[i].water.salinity - f->outcome.water.salinity) > 1e-9)
            say_outcome(flow, "In ", &f->target[i]);
    }
    say_range(flow);
}

/* --- cautions -------------------------------------------------------------------------------- */

typedef struct Dangers {
    bool lead, metal, laminate, hooks, coats;
} Dangers;

static void look_at_part(const BlySheetFacts *facts, const BlyPart *part, Dangers *d) {
    const BlyMaterial *material = bly_catalog_material(facts->catalog, part->material);
    bool metal = material != NULL && material->metal;
    d->lead = d->lead || part->lead || (material != NULL && material->lead);
    if (part->kind == BLY_PART_SHEET)
        d->laminate = d->laminate || !metal;
    if (part->kind == BLY_PART_SHEET || part->kind == BLY_PART_STRIP)
        d->metal = d->metal || metal;
    d->hooks = d->hooks || part->kind == BLY_PART_HOOK;
}

static Dangers dangers_of(const BlySheetFacts *facts) {
    Dangers d = {.coats = facts->build->coat_count > 0};
    for (size_t s = 0; s < facts->rig->count; s++) {
        for (int k = 0; k < BLY_PART_KINDS; k++) {
            const BlyPart *part = facts->rig->at[s].of[k].part;
            if (part != NULL)
                look_at_part(facts, part, &d);
        }
    }
    const BlyMaterial *body = bly_catalog_material(facts->catalog, facts->build->material);
    d.lead = d.lead || (body != NULL && body->lead);
    return d;
}

static void caution(Flow *flow, const char *text) {
    double width = flow->right - flow->left - 4, pitch = text_pitch(TEXT_PLAIN);
    if (!flow_need(flow, pitch * (double)paragraph_lines(TEXT_PLAIN, width, text)))
        return;
    (void)canvas_text(flow->canvas, TEXT_STRONG, ANCHOR_START,
                      (Pt){flow->left, flow->y + 0.75 * pitch}, 0, "!");
    flow->y = flow_paragraph(flow->canvas, TEXT_PLAIN, flow->left + 4, flow->y + 0.75 * pitch,
                             width, text) -
              0.75 * pitch + 0.6;
}

static void put_cautions(Flow *flow, const Dangers *d) {
    caution(flow, "Sanding dust of wood, board, filler and cured resin harms the lungs: dust mask, "
                  "extraction, wet sanding where it goes.");
    if (d->coats)
        caution(flow,
                "Liquid resin and its vapour harm skin and lungs, and a full pot can get very "
                "hot: gloves, fresh air, small pots. The maker's data sheet goes before this "
                "page.");
    if (d->laminate)
        caution(flow,
                "Dust of sheet with glass fibre in it pricks and harms the lungs: cut and sand "
                "it wet, with a mask.");
    if (d->metal)
        caution(flow, "Filed and sheared metal is sharp and its filings fly: eye protection, clamp "
                      "the piece, break the edges.");
    if (d->lead)
        caution(flow, "Lead is poisonous: wash your hands, no sanding and no heating, keep it from "
                      "children, seal it under the coat. In many places small lead weights are "
                      "forbidden: ask.");
    if (d->hooks)
        caution(flow, "Hooks are sharp: mount them last, cover the points while you work, wear eye "
                      "protection when opening rings.");
}

/* The sheet hangs at the bench when the screen is off. */
static void say_slips(Flow *flow) {
    const BlySlips *slips = &flow->shown->slips;
    for (size_t i = 0; i < slips->count; i++) {
        char text[BLY_TEXT_MAX + 160];
        (void)snprintf(text, sizeof text, "A slip? %s: %s.", slips->at[i].where, slips->at[i].text);
        flow_say(flow, TEXT_PLAIN, text);
    }
}

void block_cautions(Flow *flow) {
    Dangers dangers = dangers_of(flow->shown);
    unsigned notes = flow->shown->outcome.notes;
    if (!flow_heading(flow, "Mind", 3 * text_pitch(TEXT_PLAIN)))
        return;
    put_cautions(flow, &dangers);
    say_slips(flow);
    for (unsigned bit = 1; bit != 0 && bit <= notes; bit <<= 1) {
        if (notes & bit)
            flow_say(flow, TEXT_PLAIN, bly_note_words((BlyNote)bit));
    }
}
