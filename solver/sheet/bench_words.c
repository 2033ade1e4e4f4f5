/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the lure was made for and will do, and what to mind while making it. */
#include "sheet/bench.h"

#include <math.h>
#include <string.h>

static void say_outcome(Bench *bench, const char *lead, const BlyOutcome *outcome) {
    char water[WORDS_MAX], doing[3 * WORDS_MAX], text[5 * WORDS_MAX];
    water_words(&outcome->water, bench->order->system, water);
    bly_doing_words(outcome, bench->order->system, doing);
    (void)snprintf(text, sizeof text, "%s%s: %s", lead, water, doing);
    bly_bench_say(bench, TEXT_PLAIN, text);
}

/* What 90 of 100 such lures do, in the build's own water. */
static void say_range(Bench *bench) {
    const BlySpread *spread = &bench->shown->spread[0], *judged = spread;
    const BlyRange *net = &spread->water[0].range[BLY_Q_NET_WEIGHT];
    const BlyRange *drift = &spread->water[0].range[BLY_Q_DRIFT];
    char light[WORDS_MAX], heavy[WORDS_MAX], fast[WORDS_MAX], slow[WORDS_MAX], text[5 * WORDS_MAX];
    if (bench->shown->spread_count > 1)
        judged = &bench->shown->spread[1];
    small_mass_words(net->low, bench->order->system, true, light);
    small_mass_words(net->high, bench->order->system, true, heavy);
    speed_words(drift->low, bench->order->system, slow);
    speed_words(drift->high, bench->order->system, fast);
    (void)snprintf(
        text, sizeof text,
        "90 of 100 such lures weigh %s to %s in it, and drift from %s to %s under water.", light,
        heavy, slow, fast);
    bly_bench_say(bench, TEXT_PLAIN, text);
    if (!judged->has_target)
        return;
    (void)snprintf(text, sizeof text, "%.0f of 100 meet the target%s before they are trimmed.",
                   floor(100 * judged->chance + 0.5),
                   judged->water_count > 1 ? " in every water" : "");
    bly_bench_say(bench, TEXT_PLAIN, text);
}

void bly_bench_doing(Bench *bench) {
    const BlySheetFacts *f = bench->shown;
    if (bench->after != NULL)
        say_outcome(bench, "before, in ", &bench->facts->outcome);
    say_outcome(bench, bench->after != NULL ? "after, in " : "Made for ", &f->outcome);
    for (size_t i = 0; i < f->target_count; i++) {
        if (fabs(f->target[i].water.temperature - f->outcome.water.temperature) > 1e-9 ||
            fabs(f->target[i].water.salinity - f->outcome.water.salinity) > 1e-9)
            say_outcome(bench, "In ", &f->target[i]);
    }
    say_range(bench);
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
            const BlyPart *part = facts->rig->at[s].piece[k].part;
            if (part != NULL)
                look_at_part(facts, part, &d);
        }
    }
    const BlyMaterial *body = bly_catalog_material(facts->catalog, facts->build->material);
    d.lead = d.lead || (body != NULL && body->lead);
    return d;
}

static void caution(Bench *bench, const char *text) {
    double width = bench->right - bench->left - 4, pitch = bly_text_pitch(TEXT_PLAIN);
    if (!bly_bench_need(bench, pitch * (double)bly_paragraph_lines(TEXT_PLAIN, width, text)))
        return;
    (void)bly_canvas_text(bench->canvas, TEXT_STRONG, ANCHOR_START,
                          (Pt){bench->left, bench->y + 0.75 * pitch}, 0, "!");
    bench->y = bly_paragraph(bench->canvas, TEXT_PLAIN, bench->left + 4, bench->y + 0.75 * pitch,
                             width, text) -
               0.75 * pitch + 0.6;
}

static void put_cautions(Bench *bench, const Dangers *d) {
    caution(bench,
            "Sanding dust of wood, board, filler and cured resin harms the lungs: dust mask, "
            "extraction, wet sanding where it goes.");
    if (d->coats)
        caution(bench,
                "Liquid resin and its vapour harm skin and lungs, and a full pot can get very "
                "hot: gloves, fresh air, small pots. The maker's data sheet goes before this "
                "page.");
    if (d->laminate)
        caution(bench,
                "Dust of sheet with glass fibre in it pricks and harms the lungs: cut and sand "
                "it wet, with a mask.");
    if (d->metal)
        caution(bench,
                "Filed and sheared metal is sharp and its filings fly: eye protection, clamp "
                "the piece, break the edges.");
    if (d->lead)
        caution(bench,
                "Lead is poisonous: wash your hands, no sanding and no heating, keep it from "
                "children, seal it under the coat. In many places small lead weights are "
                "forbidden: ask.");
    if (d->hooks)
        caution(bench,
                "Hooks are sharp: mount them last, cover the points while you work, wear eye "
                "protection when opening rings.");
}

void bly_bench_cautions(Bench *bench) {
    Dangers dangers = dangers_of(bench->shown);
    unsigned notes = bench->shown->outcome.notes;
    if (!bly_bench_heading(bench, "Mind", 3 * bly_text_pitch(TEXT_PLAIN)))
        return;
    put_cautions(bench, &dangers);
    for (unsigned bit = 1; bit != 0 && bit <= notes; bit <<= 1) {
        if (notes & bit)
            bly_bench_say(bench, TEXT_PLAIN, bly_note_words((BlyNote)bit));
    }
}
