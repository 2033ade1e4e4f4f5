/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Results as JSON trees. Keys carry their unit. */
#include "report/sure.h"
#include "text/format.h"

#include <math.h>
#include <gsl/gsl_math.h>
#include <stdlib.h>

static const double mm = 1e3, g = 1e3, cm3 = 1e6, deg = 180 / M_PI;

bool put_number(cJSON *object, const char *key, double value) {
    if (!isfinite(value))
        return cJSON_AddNullToObject(object, key) != NULL;
    char text[32];
    (void)bly_format(text, sizeof text, "%.9g", value);
    double rounded = bly_read_double(text, NULL);
    return cJSON_AddNumberToObject(object, key, rounded == 0 ? 0 : rounded) != NULL;
}

bool put_text(cJSON *object, const char *key, const char *value) {
    return cJSON_AddStringToObject(object, key, value) != NULL;
}

bool put_bool(cJSON *object, const char *key, bool value) {
    return cJSON_AddBoolToObject(object, key, value) != NULL;
}

bool put_tree(cJSON *object, const char *key, cJSON *tree) {
    if (tree == NULL)
        return false;
    if (cJSON_AddItemToObject(object, key, tree))
        return true;
    cJSON_Delete(tree);
    return false;
}

bool put_last(cJSON *list, cJSON *tree) {
    if (tree != NULL && cJSON_AddItemToArray(list, tree))
        return true;
    cJSON_Delete(tree);
    return false;
}

static cJSON *finished(cJSON *tree, bool good) {
    if (good)
        return tree;
    cJSON_Delete(tree);
    return NULL;
}

static cJSON *json_point(BlyVec3 p) {
    cJSON *o = cJSON_CreateObject();
    return finished(o, o != NULL && put_number(o, "x_mm", p.x * mm) &&
                           put_number(o, "y_mm", p.y * mm) && put_number(o, "z_mm", p.z * mm));
}

static cJSON *json_notes(unsigned notes) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (unsigned bit = 1; good && bit != 0 && bit <= notes; bit <<= 1) {
        if (notes & bit)
            good = cJSON_AddItemToArray(list, cJSON_CreateString(bly_note_words((BlyNote)bit)));
    }
    return finished(list, good);
}

bool put_said(cJSON *object, const BlyBuild *build) {
    cJSON *list = build->said_count > 0 ? cJSON_AddArrayToObject(object, "body_said") : NULL;
    for (size_t i = 0; list != NULL && i < build->said_count; i++) {
        if (!cJSON_AddItemToArray(list, cJSON_CreateString(build->said[i])))
            return false;
    }
    return list != NULL || build->said_count == 0;
}

static cJSON *json_surface(const BlyFloat *f) {
    cJSON *o = cJSON_CreateObject();
    return finished(o, o != NULL && put_number(o, "nose_down_deg", f->nose_down * deg) &&
                           put_number(o, "heel_deg", f->heel * deg) &&
                           put_number(o, "draft_mm", f->draft * mm) &&
                           put_number(o, "shows_percent", f->shows * 100) &&
                           put_number(o, "shows_whole_percent", f->shows_whole * 100) &&
                           put_number(o, "roll_height_mm", f->roll_height * mm) &&
                           put_number(o, "pitch_height_mm", f->pitch_height * mm) &&
                           put_bool(o, "rolls_over", f->upright_unstable) &&
                           put_bool(o, "roll_neutral", f->roll_neutral) &&
                           put_number(o, "film_g", f->film * g));
}

static cJSON *json_water(const BlyWater *w) {
    cJSON *o = cJSON_CreateObject();
    return finished(o, o != NULL && put_number(o, "temperature_c", w->temperature) &&
                           put_number(o, "salinity_g_kg", w->salinity * 1e3) &&
                           put_number(o, "density_kg_m3", w->density) &&
                           put_number(o, "viscosity_mpa_s", w->viscosity * 1e3));
}

static const char *state_name(BlyState state) {
    return state == BLY_FLOATS ? "float" : state == BLY_SUSPENDS ? "suspend" : "sink";
}

cJSON *json_outcome(const BlyOutcome *oc) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_tree(o, "water", json_water(&oc->water)) &&
                put_text(o, "state", state_name(oc->state)) &&
                put_number(o, "mass_g", oc->sums.mass * g) &&
                put_number(o, "volume_cm3", oc->sums.volume * cm3) &&
                put_number(o, "net_weight_g", oc->sums.net_weight * g) &&
                put_tree(o, "gravity", json_point(oc->sums.gravity)) &&
                put_tree(o, "buoyancy", json_point(oc->sums.buoyancy)) &&
                put_number(o, "roll_arm_mm", oc->roll_arm * mm) &&
                put_number(o, "nose_down_deg", oc->nose_down * deg) &&
                put_number(o, "stiffness_g_mm_deg", oc->stiffness * g * mm / deg) &&
                put_number(o, "drift_mm_s", oc->drift * mm) &&
                put_tree(o, "drag_centre", json_point(oc->drag_centre)) &&
                put_number(o, "drag_area_cm2", oc->drag_area * 1e4) &&
                put_number(o, "reynolds", oc->reynolds);
    if (good && oc->has_surface)
        good = put_tree(o, "surface", json_surface(&oc->surface));
    return finished(o, good && put_tree(o, "notes", json_notes(oc->notes)));
}

cJSON *json_judgement(const BlyTarget *target, const BlyJudgement *j) {
    (void)target;
    cJSON *o = cJSON_CreateObject();
    return finished(o, o != NULL && put_bool(o, "met", j->met) &&
                           put_number(o, "drift_off_mm_s", j->drift_off * mm) &&
                           put_number(o, "shows_off_percent", j->shows_off * 100) &&
                           put_number(o, "nose_down_off_deg", j->nose_off * deg) &&
                           put_number(o, "roll_arm_off_mm", j->roll_off * mm));
}

static bool put_choice(cJSON *o, const BlyChoice *c) {
    bool good = true;
    for (int kind = 0; good && kind < BLY_PART_KINDS; kind++) {
        const BlyPiece *piece = &c->piece[kind];
        if (piece->part != NULL)
            good = put_text(o, bly_part_kind_name((BlyPartKind)kind), piece->part->id);
    }
    bool cut = c->piece[BLY_PART_SHEET].part != NULL || c->piece[BLY_PART_STRIP].part != NULL;
    good = good && put_number(o, "x_mm", c->x * mm);
    if (good && cut)
        good = put_number(o, "length_mm", c->length * mm);
    if (good && c->piece[BLY_PART_SHEET].part != NULL && isfinite(c->thickness))
        good = put_number(o, "thickness_mm", c->thickness * mm);
    if (good && c->filed > 0)
        good = put_number(o, "filed_mm", c->filed * mm);
    if (good && c->piece[BLY_PART_WIRE].part != NULL)
        good = put_number(o, "turns", c->count);
    if (good && c->piece[BLY_PART_STRIP].part != NULL)
        good = put_number(o, "layers", c->count);
    if (good && c->piece[BLY_PART_DOT].part != NULL)
        good = put_number(o, "count", c->count);
    return good;
}

cJSON *json_rig(const BlyBuild *build, const BlyRig *rig) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    for (size_t i = 0; good && i < rig->count; i++) {
        cJSON *seat = cJSON_CreateObject();
        good = put_tree(o, build->seats[i].name, seat) && put_choice(seat, &rig->at[i]);
    }
    return finished(o, good);
}

static cJSON *json_piece(const char *name, const BlyFigure *mass, double volume) {
    cJSON *o = cJSON_CreateObject();
    bool good =
        o != NULL && put_text(o, "piece", name) && put_number(o, "mass_g", mass->value * g) &&
        put_number(o, "give_g", mass->give * g) && put_number(o, "volume_cm3", volume * 1e6);
    return finished(o, good);
}

/* What a glued blank is made of; NULL without memory. */
static cJSON *json_pieces(const BlyLure *lure) {
    const BlyBlank *blank = lure->blank;
    const BlyBodyFacts *facts = &blank->facts;
    double share = facts->volume_share.value;
    const BlyFigure own = {blank->items[0].mass, blank->items[0].mass_give};
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL &&
                put_last(list, json_piece("own material", &own, own.value / blank->body_density));
    for (size_t i = 0; good && i < facts->inset_count; i++) {
        BlyFigure weighs = bly_inset_weighs(&facts->insets[i], share);
        good = put_last(list, json_piece(facts->insets[i].name, &weighs,
                                         bly_inset_own(&facts->insets[i], share).volume));
    }
    return finished(list, good);
}

cJSON *json_ladder(const BlyLure *lure) {
    BlyRung rung[BLY_STEPS];
    bly_ladder(lure, rung);
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (int s = 0; good && s < BLY_STEPS; s++) {
        cJSON *o = cJSON_CreateObject();
        good = o != NULL && cJSON_AddItemToArray(list, o);
        if (!good) {
            cJSON_Delete(o);
            break;
        }
        good = put_text(o, "step", bly_step_words((BlyStep)s)) &&
               put_number(o, "adds_g", rung[s].adds * g) &&
               put_number(o, "reads_g", rung[s].reads * g) &&
               put_number(o, "give_g", rung[s].give * g) &&
               (s != BLY_STEP_BLANK || lure->blank->facts.inset_count == 0 ||
                put_tree(o, "pieces", json_pieces(lure)));
    }
    return finished(list, good);
}

cJSON *json_influence(const BlyBuild *build, const BlyInfluence *influence, size_t count) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    for (size_t i = 0; good && i < count; i++) {
        cJSON *seat = cJSON_CreateObject();
        good = put_tree(o, build->seats[influence[i].seat].name, seat) &&
               put_number(seat, "net_weight_g", influence[i].net_weight * g) &&
               put_number(seat, "nose_down_deg", influence[i].nose_down * deg) &&
               put_number(seat, "drift_mm_s", influence[i].drift * mm);
    }
    return finished(o, good);
}

static cJSON *json_fit_rig(const BlyBuild *build, const BlyFitRig *rig, const BlyReserve *reserve) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_bool(o, "met", rig->met) &&
                put_tree(o, "parts", json_rig(build, &rig->rig)) &&
                put_number(o, "off", rig->off) && put_number(o, "cost", rig->cost) &&
                put_number(o, "pieces", rig->pieces) && put_number(o, "changes", rig->changes) &&
                put_number(o, "price", rig->price) &&
                put_text(o, "misses", bly_requirement_words(rig->binding));
    cJSON *waters = good ? cJSON_AddArrayToObject(o, "waters") : NULL;
    good = good && waters != NULL;
    for (size_t w = 0; good && w < rig->water_count; w++) {
        cJSON *one = json_outcome(&rig->outcome[w]);
        good = one != NULL &&
               put_tree(one, "target", json_judgement(&build->target, &rig->judgement[w]));
        if (one != NULL && !cJSON_AddItemToArray(waters, one)) {
            cJSON_Delete(one);
            good = false;
        }
    }
    if (good && rig->equals != NULL && rig->equals[0] != '\0')
        good = put_text(o, "as_good", rig->equals);
    if (good && reserve != NULL)
        good = put_tree(o, "reserve", json_reserve(build, reserve));
    return finished(o, good);
}

cJSON *json_fit(const BlyBuild *build, const BlyFitResult *result, const BlyReserve *reserves) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_text(o, "name", build->name) && put_said(o, build) &&
                put_bool(o, "met", result->met) && put_bool(o, "proven", result->proven) &&
                put_number(o, "gap", result->gap) &&
                put_number(o, "candidates", (double)result->columns) &&
                put_number(o, "rounds", result->rounds);
    if (good && result->stopped)
        good = put_bool(o, "stopped", true);
    if (good && result->impossible[0] != '\0')
        good = put_text(o, "impossible", result->impossible);
    if (good && result->missing[0] != '\0')
        good = put_text(o, "missing", result->missing);
    cJSON *rigs = good ? cJSON_AddArrayToObject(o, "rigs") : NULL;
    good = good && rigs != NULL;
    for (size_t i = 0; good && i < result->count; i++) {
        cJSON *one = json_fit_rig(build, &result->rigs[i], reserves != NULL ? &reserves[i] : NULL);
        good = one != NULL && cJSON_AddItemToArray(rigs, one);
        if (!good)
            cJSON_Delete(one);
    }
    return finished(o, good);
}
