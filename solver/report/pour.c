/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/lines.h"
#include "report/pour.h"

#include <math.h>

/* ---- text ---- */

static void line(const Report *r, const char *label, double si, BlyDimension dim, int digits) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(si, dim, r->system, digits, text);
    (void)fprintf(r->out, "  %-28s %s\n", label, text);
}

static void portion(const Report *r, const char *label, const BlyPortion *p) {
    char mass[BLY_QUANTITY_MAX], volume[BLY_QUANTITY_MAX];
    bly_quantity_show(p->mass, BLY_DIM_MASS, r->system, r->system == BLY_INCH ? 3 : 1, mass);
    bly_quantity_show(p->volume, BLY_DIM_VOLUME, r->system, 1, volume);
    bool known = isfinite(p->volume);
    (void)fprintf(r->out, "  %-28s %s on the scale%s%s%s\n", label, mass, known ? " (" : "",
                  known ? volume : "", known ? ")" : "");
}

static void figure(const Report *r, const char *label, BlyFigure f, BlyDimension dim, int digits) {
    char words[WORDS_MAX];
    tolerance_words(r, f.value, f.give, dim, digits, words);
    (void)fprintf(r->out, "  %-28s %s\n", label, words);
}

static void notes_text(const Report *r, unsigned notes) {
    for (int i = 0; i < BLY_POUR_NOTE_COUNT; i++) {
        if (notes & (1u << i))
            text_wrapped(r, 8, "  note: %s", bly_pour_note_words((BlyPourNote)(1 << i)));
    }
}

static void text_plan(const Report *r, const BlyPourPlan *p) {
    (void)fprintf(r->out, "weigh out, allowance included\n");
    portion(r, "resin part A", &p->a);
    portion(r, "resin part B", &p->b);
    if (p->filler_by != BLY_FILLER_NONE) {
        portion(r, "filler", &p->filler);
        line(r, "the same filler, scooped", p->filler_scoop, BLY_DIM_VOLUME, 1);
        (void)fprintf(r->out, "  %-28s %.0f %% by volume, %.0f %% by mass\n", "filler in the mix",
                      100 * p->share_by_volume, 100 * p->share_by_mass);
    }
    if (isfinite(p->swap_weighed) && fabs(p->swap_weighed) > 0.01)
        text_wrapped(r, 31, "  %-28s weighing out the ratio by volume would be %.0f %% off",
                     "mind the two ratios", 100 * fabs(p->swap_weighed));
    (void)fprintf(r->out, "\nthe blank (95 of 100 lie within the +-)\n");
    line(r, "volume", p->blank_volume, BLY_DIM_VOLUME, 1);
    double resin =
        p->free_volume * (1 - (p->filler_by != BLY_FILLER_NONE ? p->share_by_volume : 0));
    line(r, "resin in the mould", resin, BLY_DIM_VOLUME, 1);
    figure(r, "mass", p->mass, BLY_DIM_MASS, 2);
    figure(r, "density", p->density, BLY_DIM_DENSITY, 3);
    if (p->filler_by != BLY_FILLER_NONE)
        line(r, p->filler_lift > 0 ? "filler presses up with" : "filler sinks with",
             fabs(p->filler_lift), BLY_DIM_MASS, 1);
    notes_text(r, p->notes);
}

static void known_text(const Report *r, const BlyMaterial *cured) {
    char density[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    if (cured == NULL)
        return;
    bly_quantity_show(cured->density.value, BLY_DIM_DENSITY, r->system, -1, density);
    bly_quantity_show(cured->density.give, BLY_DIM_DENSITY, r->system, -1, give);
    text_wrapped(r, 4,
                 "  assumed: %s +- %s when cured, as %s of the catalog (%s: %s); --cured says "
                 "otherwise",
                 density, give, cured->id, bly_origin_name(cured->origin), cured->source);
}

void text_pour(const Report *r, const BlyPourPlan *plan, const BlyMaterial *known, bool of_build,
               const BlyBuild *made, const BlyOutcome *outcome, const BlySpread *spread) {
    text_plan(r, plan);
    known_text(r, known);
    if (of_build)
        text_wrapped(r, 4,
                     "  taken from the build: its mix, the filler stirred in; --filler says "
                     "otherwise");
    if (made == NULL)
        return;
    (void)fprintf(r->out, "\nsuch a blank in %s, as it is fitted\n", made->name);
    text_outcome(r, outcome);
    (void)fprintf(r->out, "\n");
    text_spread(r, made, spread, NULL, false);
}

/* ---- JSON ---- */

static bool put_portion(cJSON *o, const char *key, const BlyPortion *p) {
    cJSON *one = cJSON_CreateObject();
    return put_tree(o, key, one) && put_number(one, "mass_g", p->mass * 1e3) &&
           put_number(one, "volume_cm3", p->volume * 1e6);
}

static bool put_notes(cJSON *o, unsigned notes) {
    cJSON *list = cJSON_AddArrayToObject(o, "notes");
    bool good = list != NULL;
    for (int i = 0; good && i < BLY_POUR_NOTE_COUNT; i++) {
        if (notes & (1u << i))
            good = cJSON_AddItemToArray(
                list, cJSON_CreateString(bly_pour_note_words((BlyPourNote)(1 << i))));
    }
    return good;
}

static bool put_known(cJSON *o, const BlyMaterial *cured) {
    cJSON *one = cured != NULL ? cJSON_CreateObject() : NULL;
    return cured == NULL ||
           (put_tree(o, "cured_assumed", one) && put_text(one, "material", cured->id) &&
            put_number(one, "density_g_cm3", cured->density.value * 1e-3) &&
            put_number(one, "density_give_g_cm3", cured->density.give * 1e-3) &&
            put_text(one, "origin", bly_origin_name(cured->origin)) &&
            put_text(one, "source", cured->source));
}

cJSON *json_pour(const BlyPourPlan *p, const BlyMaterial *known, const BlyBuild *made,
                 const BlyOutcome *outcome, const BlySpread *spread) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_portion(o, "part_a", &p->a) && put_portion(o, "part_b", &p->b) &&
                put_portion(o, "filler", &p->filler) &&
                put_number(o, "filler_scoop_cm3", p->filler_scoop * 1e6) &&
                put_number(o, "filler_by_volume_percent", p->share_by_volume * 100) &&
                put_number(o, "filler_by_mass_percent", p->share_by_mass * 100) &&
                put_number(o, "ratio_by_weight", p->by_weight) &&
                put_number(o, "ratio_by_volume", p->by_volume) &&
                put_number(o, "filler_lift_g", p->filler_lift * 1e3) &&
                put_number(o, "blank_volume_cm3", p->blank_volume * 1e6) &&
                put_number(o, "blank_mass_g", p->mass.value * 1e3) &&
                put_number(o, "blank_mass_give_g", p->mass.give * 1e3) &&
                put_number(o, "blank_density_g_cm3", p->density.value * 1e-3) &&
                put_number(o, "blank_density_give_g_cm3", p->density.give * 1e-3) &&
                put_notes(o, p->notes) &&
                (made == NULL || (put_tree(o, "outcome", json_outcome(outcome)) &&
                                  put_tree(o, "spread", json_spread(made, spread, NULL)))) &&
                put_known(o, known);
    return json_finished(o, good);
}
