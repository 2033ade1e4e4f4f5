/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body: what the scale, the knife edge and the tank say of it. */
#include "build/sections.h"

#include <math.h>
#include <stdio.h>

static const Quantity soak_share = {BLY_DIM_RATIO, NULL, 0.0, 1.0, false};
static const Quantity workshop = {BLY_DIM_TEMPERATURE, "C", -10.0, 60.0, false};
static const Quantity drag_range = {BLY_DIM_RATIO, NULL, 0.1, 10.0, false};
static const Quantity munk_range = {BLY_DIM_RATIO, NULL, 0.0, 1.0, false};
static const Quantity volume_range = {BLY_DIM_RATIO, NULL, 0.5, 2.0, false};

/* Reasons in docs/format.md, defaults. */
static const Give scale_give = {0.02e-3, 0.0};
static const Give knife_edge_give = {0.5e-3, 0.0};
static const Give soak_give = {0.0, 0.5};
static const Give drag_give = {0.344, 0.0}; /* 95 of 100, from a mean error of 14 % */
static const Give munk_give = {0.5, 0.0};
static const double USUAL_MUNK = 0.5;
static const double USUAL_REFERENCE_C = 20.0;

static BlyBodyFacts nothing_known(void) {
    const BlyFigure unknown = {NAN, 0.0};
    return (BlyBodyFacts){
        .density = unknown,
        .mass = unknown,
        .stage = BLY_STAGE_BLANK,
        .balance = unknown,
        .balance_up = unknown,
        .volume_share = {1.0, 0.0},
        .expansion = unknown,
        .soak = {0.0, 0.0},
        .reference_t = USUAL_REFERENCE_C,
        .drag_factor = {1.0, drag_give.fixed},
        .munk_factor = {USUAL_MUNK, munk_give.fixed},
    };
}

static bool read_mass(const BlyJson *body, BlyBodyFacts *facts, BlyError *err) {
    BlyJson weighed;
    bool staged = build_member(body, "weighed", &weighed);
    bool has_mass = build_has(body, "mass");
    if (!has_mass && !build_has(body, "material"))
        return bly_json_refuse(body, BLY_E_MISSING, err,
                               "expected \"material\", \"mass\", or both");
    if (staged && !has_mass)
        return bly_json_refuse(&weighed, BLY_E_CONFLICT, err,
                               "says when, but there is no \"mass\"");
    size_t stage = BLY_STAGE_BLANK;
    if (staged && !bly_json_word(&weighed, bly_stage_words, BLY_STAGES, &stage, err))
        return false;
    facts->stage = (BlyStage)stage;
    return build_opt_figure(body, "mass", &bly_some_mass, scale_give, &facts->mass, err);
}

static bool check_within(const BlyJson *body, const char *key, double value, double low,
                         double high, BlyError *err) {
    if (isnan(value) || (value >= low && value <= high))
        return true;
    BlyJson place;
    (void)build_member(body, key, &place);
    return bly_json_refuse(&place, BLY_E_RANGE, err,
                           "is %.4g mm; the body reaches from %.4g mm to %.4g mm", value * 1e3,
                           low * 1e3, high * 1e3);
}

/* One material is never quite even, and of a body that is only measured nobody knows where its bulk
 * sits: docs/format.md, defaults. */
static const double uneven_drawn = 0.005, uneven_measured = 0.02; /* of length and height */

/* What a knife edge says is of the whole blank; what "core_balance" says, of its own material
 * without the pieces, as if it filled the body. Without pieces they are the same. */
static bool which_balance(const BlyJson *body, const char *of_all, const char *of_core,
                          const char **key, BlyError *err) {
    BlyJson core;
    *key = of_all;
    if (!build_member(body, of_core, &core))
        return true;
    if (build_has(body, of_all))
        return bly_json_refuse(&core, BLY_E_CONFLICT, err, "does not go with \"%s\"", of_all);
    *key = of_core;
    return true;
}

static bool read_balance(const BlyJson *body, BlyBuild *build, BlyError *err) {
    BlyBodyFacts *facts = &build->facts;
    const char *along, *up;
    BlyBox box = bly_body_box(build->shape);
    BlyVec3 middle = bly_body_material(build->shape)->centroid;
    double length = box.high.x - box.low.x, height = box.high.z - box.low.z;
    BlyJson measured, point;
    bool rough = build_member(body, "measured", &measured);
    bool balanced = rough && build_member(&measured, "balance", &point);
    double uneven = rough ? uneven_measured : uneven_drawn;
    facts->balance = (BlyFigure){middle.x - box.low.x, uneven * length};
    if (balanced)
        facts->balance.give = knife_edge_give.fixed;
    facts->balance_up = (BlyFigure){middle.z, uneven * height};
    facts->balance_of_all = build_has(body, "balance");
    facts->balance_up_of_all = build_has(body, "balance_up");
    return which_balance(body, "balance", "core_balance", &along, err) &&
           which_balance(body, "balance_up", "core_balance_up", &up, err) &&
           build_opt_figure(body, along, &bly_any_length, knife_edge_give, &facts->balance, err) &&
           build_opt_figure(body, up, &bly_any_length, knife_edge_give, &facts->balance_up, err) &&
           check_within(body, along, facts->balance.value, 0.0, length, err) &&
           check_within(body, up, facts->balance_up.value, box.low.z, box.high.z, err);
}

/* A hollow or printed body is as dense as what is in it, spread over its outer volume. */
static void thin_out(BlyFigure filled, BlyFigure *density) {
    if (filled.value == 1.0 || isnan(density->value))
        return;
    double share = hypot(density->give / density->value, filled.give / filled.value);
    density->value *= filled.value;
    density->give = share * density->value;
}

static bool read_substance(const BlyJson *body, const BlyCatalog *catalog, BlyBuild *build,
                           BlyError *err) {
    BlyJson material, coats, pieces;
    BlyBodyFacts *facts = &build->facts;
    Swelling swelling = {facts->expansion, facts->expansion_origin};
    if (build_member(body, "material", &material)) {
        if (!build_read_material(&material, catalog, &build->material, &facts->density, &swelling,
                                 err))
            return false;
    } else {
        build->material = build_copy("", err);
        if (build->material == NULL)
            return false;
    }
    if (!build_read_expansion(body, &swelling, err) ||
        !build_opt_figure(body, "soak", &soak_share, soak_give, &facts->soak, err) ||
        !build_opt_quantity(body, "reference", &workshop, &facts->reference_t, err))
        return false;
    thin_out(build->filled, &facts->density);
    facts->expansion = swelling.figure;
    facts->expansion_origin = swelling.origin;
    if (build_member(body, "pieces", &pieces) &&
        !build_read_pieces(&pieces, catalog, build_has(body, "expansion"), build, err))
        return false;
    return !build_member(body, "coats", &coats) || build_read_coats(&coats, catalog, build, err);
}

bool build_read_body(const BlyJson *body, const BlyCatalog *catalog, const BlyBuildFiles *files,
                     BlyBuild *build, BlyError *err) {
    static const char *const keys[] = {
        "stations", "measured", "mesh",      "outline",      "section",         "give",
        "material", "mass",     "weighed",   "balance",      "balance_up",      "coats",
        "soak",     "pieces",   "expansion", "core_balance", "core_balance_up", "reference",
        "unit",     "nose",     "up",        "wall",         "infill"};
    build->facts = nothing_known();
    return bly_json_object(body, keys, sizeof keys / sizeof keys[0], err) &&
           build_read_outside(body, files, build, err) && read_mass(body, &build->facts, err) &&
           read_balance(body, build, err) && read_substance(body, catalog, build, err);
}

bool build_read_learnt(const BlyJson *learnt, BlyBodyFacts *facts, BlyError *err) {
    static const char *const keys[] = {"drag_factor", "munk_factor", "volume_factor",
                                       "ties",        "lure",        "tow"};
    const Give as_before = {facts->volume_share.give, 0.0};
    return bly_json_object(learnt, keys, sizeof keys / sizeof keys[0], err) &&
           build_opt_figure(learnt, "drag_factor", &drag_range, drag_give, &facts->drag_factor,
                            err) &&
           build_opt_figure(learnt, "munk_factor", &munk_range, munk_give, &facts->munk_factor,
                            err) &&
           build_opt_figure(learnt, "volume_factor", &volume_range, as_before, &facts->volume_share,
                            err);
}

bool build_read_lure(const BlyJson *learnt, BlyBuild *build, BlyError *err) {
    BlyJson lure;
    const char *name;
    if (!build_member(learnt, "lure", &lure))
        return true;
    if (!bly_json_string(&lure, BOOK_NAME_MAX - 8, &name, err))
        return false;
    build->lure = build_copy(name, err);
    return build->lure != NULL;
}
