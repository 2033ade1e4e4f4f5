/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Results as JSON trees. Keys carry their unit. */
#include "ballastry/rules.h"
#include "report/book.h"
#include "report/box.h"
#include "report/sure.h"

#include <math.h>
#include <gsl/gsl_math.h>
#include <stdlib.h>

static const double mm = 1e3, g = 1e3, cm3 = 1e6, deg = 180 / M_PI;

static cJSON *json_point(BlyVec3 p) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_number(o, "x_mm", p.x * mm) &&
                                put_number(o, "y_mm", p.y * mm) && put_number(o, "z_mm", p.z * mm));
}

static cJSON *json_notes(unsigned notes) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (unsigned bit = 1; good && bit != 0 && bit <= notes; bit <<= 1) {
        if (notes & bit)
            good = cJSON_AddItemToArray(list, cJSON_CreateString(bly_note_words((BlyNote)bit)));
    }
    return json_finished(list, good);
}

bool put_said(cJSON *object, const BlyBuild *build) {
    cJSON *list = build->said_count > 0 ? cJSON_AddArrayToObject(object, "body_said") : NULL;
    for (size_t i = 0; list != NULL && i < build->said_count; i++) {
        if (!cJSON_AddItemToArray(list, cJSON_CreateString(build->said[i])))
            return false;
    }
    cJSON *seen = build->seen_count > 0 ? cJSON_AddArrayToObject(object, "seen") : NULL;
    for (size_t i = 0; seen != NULL && i < build->seen_count; i++) {
        if (!cJSON_AddItemToArray(seen, cJSON_CreateString(build->seen[i])))
            return false;
    }
    return (list != NULL || build->said_count == 0) && (seen != NULL || build->seen_count == 0) &&
           put_shape_seen(object, build) && put_book_used(object, build);
}

bool put_slips(cJSON *object, const BlySlips *slips) {
    cJSON *list = slips->count > 0 ? cJSON_AddArrayToObject(object, "slips") : NULL;
    bool good = list != NULL || slips->count == 0;
    for (size_t i = 0; good && i < slips->count; i++) {
        cJSON *one = cJSON_CreateObject();
        good = put_last(list, one) && put_text(one, "where", slips->at[i].where) &&
               put_text(one, "text", slips->at[i].text);
    }
    return good;
}

static cJSON *json_surface(const BlyFloat *f) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_number(o, "nose_down_deg", f->nose_down * deg) &&
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
    return json_finished(o, o != NULL && put_number(o, "temperature_c", w->temperature) &&
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
    return json_finished(o, good && put_tree(o, "notes", json_notes(oc->notes)));
}

static bool put_choice(cJSON *o, const BlyChoice *c) {
    bool good = true;
    for (int kind = 0; good && kind < BLY_PART_KINDS; kind++) {
        const BlyChosenPart *piece = &c->of[kind];
        if (piece->part != NULL)
            good = put_text(o, bly_part_kind_name((BlyPartKind)kind), piece->part->id);
    }
    bool cut = c->of[BLY_PART_SHEET].part != NULL || c->of[BLY_PART_STRIP].part != NULL;
    good = good && put_number(o, "x_mm", c->x * mm);
    if (good && cut)
        good = put_number(o, "length_mm", c->length * mm);
    if (good && c->of[BLY_PART_SHEET].part != NULL && isfinite(c->thickness))
        good = put_number(o, "thickness_mm", c->thickness * mm);
    if (good && c->filed > 0)
        good = put_number(o, "filed_mm", c->filed * mm);
    if (good && c->of[BLY_PART_WIRE].part != NULL)
        good = put_number(o, "turns", c->count);
    if (good && c->of[BLY_PART_STRIP].part != NULL)
        good = put_number(o, "layers", c->count);
    if (good && c->of[BLY_PART_DOT].part != NULL)
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
    return json_finished(o, good);
}

static cJSON *json_piece(const char *name, const BlyFigure *mass, double volume) {
    cJSON *o = cJSON_CreateObject();
    bool good =
        o != NULL && put_text(o, "piece", name) && put_number(o, "mass_g", mass->value * g) &&
        put_number(o, "give_g", mass->give * g) && put_number(o, "volume_cm3", volume * 1e6);
    return json_finished(o, good);
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
    return json_finished(list, good);
}

/* Steps that add nothing are told, too. */
static bool put_read(cJSON *o, const LadderRow *rows, size_t count, BlyStep step) {
    for (size_t i = 0; i < count; i++) {
        const LadderRow *row = &rows[i];
        if (row->step != step)
            continue;
        bool good = row->stage == NULL || put_text(o, "stage", row->stage);
        if (good && row->read != NULL)
            good = put_number(o, "read_g", row->read->read.value * g) &&
                   (row->read->on[0] == '\0' || put_text(o, "read_on", row->read->on));
        return good;
    }
    return true;
}

static BlyRung rung_of(const LadderRow *rows, size_t count, BlyStep step, BlyRung otherwise) {
    for (size_t i = 0; i < count; i++) {
        if (rows[i].step == step)
            return rows[i].rung;
    }
    return otherwise;
}

cJSON *json_ladder(const BlyBuild *build, const BlyLure *lure) {
    BlyRung rungs[BLY_STEPS];
    LadderRow rows[BLY_STEPS];
    bly_ladder(lure, rungs);
    size_t count = ladder_rows(build, lure, rows);
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (int s = 0; good && s < BLY_STEPS; s++) {
        cJSON *o = cJSON_CreateObject();
        BlyRung rung = rung_of(rows, count, (BlyStep)s, rungs[s]);
        good = put_last(list, o) && put_text(o, "step", bly_step_words((BlyStep)s)) &&
               put_read(o, rows, count, (BlyStep)s) && put_number(o, "adds_g", rung.adds * g) &&
               put_number(o, "reads_g", rung.reads * g) && put_number(o, "give_g", rung.give * g) &&
               (s != BLY_STEP_BLANK || lure->blank->facts.inset_count == 0 ||
                put_tree(o, "pieces", json_pieces(lure)));
    }
    return json_finished(list, good);
}

bool put_stage(cJSON *object, const BlyBuild *build) {
    BlyStage reached;
    return !build_reached(build, &reached) || put_text(object, "stage", bly_stage_words[reached]);
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
    return json_finished(o, good);
}

/* What to do to the finished lure, in order. */
static cJSON *json_mends(const BlyBuild *build, const BlyRig *rig) {
    char steps[MEND_STEPS_MAX][MEND_WORDS_MAX];
    size_t count = mend_steps(build, rig, BLY_METRIC, steps);
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (size_t i = 0; good && i < count; i++)
        good = put_last(list, cJSON_CreateString(steps[i]));
    return json_finished(list, good);
}

static cJSON *json_fit_rig(const BlyBuild *build, const BlyFitRig *rig, const BlyReserve *reserve,
                           bool finished) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_bool(o, "met", rig->met) &&
                put_tree(o, "parts", json_rig(build, &rig->rig)) &&
                put_number(o, "off", rig->off) && put_number(o, "cost", rig->cost) &&
                put_number(o, "pieces", rig->pieces) && put_number(o, "changes", rig->changes) &&
                put_number(o, "price", rig->price) && put_to_buy(o, build, &rig->rig) &&
                put_number(o, "share_of_hooks", hook_share(&rig->rig, rig->outcome[0].sums.mass)) &&
                put_text(o, "misses_most", bly_requirement_words(rig->binding));
    cJSON *waters = good ? cJSON_AddArrayToObject(o, "waters") : NULL;
    good = good && waters != NULL;
    for (size_t w = 0; good && w < rig->water_count; w++) {
        cJSON *one = json_outcome(&rig->outcome[w]);
        good = put_last(waters, one) &&
               put_tree(one, "target",
                        json_judgement(&build->target, &rig->outcome[w], &rig->judgement[w]));
    }
    if (good && rig->equals != NULL && rig->equals[0] != '\0')
        good = put_text(o, "as_good", rig->equals);
    if (good && finished)
        good =
            put_tree(o, "do", json_mends(build, &rig->rig)) && put_number(o, "chance", rig->chance);
    if (good && reserve != NULL)
        good = put_tree(o, "reserve", json_reserve(build, reserve));
    return json_finished(o, good);
}

/* What the rules of the craft filled in where the build is silent. */
static bool put_assumed(cJSON *o, const BlyBuild *build) {
    bool attitude = (build->assumed & (1u << BLY_RULE_ATTITUDE)) != 0;
    bool lead = (build->assumed & (1u << BLY_RULE_LEAD)) != 0;
    if (!attitude && !lead && !build->roll_assumed)
        return true;
    cJSON *one = cJSON_CreateObject();
    const double ends[] = {build->target.nose_low * deg, build->target.nose_high * deg};
    bool good = one != NULL;
    if (good && attitude)
        good = put_tree(one, "nose_down_band_deg", cJSON_CreateDoubleArray(ends, 2));
    if (good && build->roll_assumed)
        good = put_number(one, "roll_arm_mm", 1e3 * build->target.roll_arm_least);
    if (good && lead)
        good = put_bool(one, "lead_free", true);
    return put_tree(o, "assumed", json_finished(one, good));
}

/* As it stands under "limits" of a build. */
static bool put_allows(cJSON *o, const BlyAllowance *allows) {
    if (allows->key[0] == '\0')
        return true;
    cJSON *limits = cJSON_AddObjectToObject(o, "allows");
    if (allows->count == 0)
        return limits != NULL && put_bool(limits, allows->key, false);
    cJSON *list = limits != NULL ? cJSON_AddArrayToObject(limits, allows->key) : NULL;
    bool good = list != NULL;
    for (size_t i = 0; good && i < allows->count; i++)
        good = put_last(list, cJSON_CreateString(allows->value[i]));
    return good;
}

cJSON *json_fit(const BlyBuild *build, const BlyFitResult *result, const BlyReserve *reserves) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_text(o, "name", build->name) && put_said(o, build) &&
                put_bool(o, "met", result->met) && put_bool(o, "proven", result->proven) &&
                put_bool(o, "complete", result->complete) && put_number(o, "gap", result->gap) &&
                put_number(o, "candidates", (double)result->columns) &&
                put_number(o, "rounds", result->rounds);
    if (good && result->surest)
        good = put_number(o, "ranked_after_tests", build->tests);
    if (good && result->on_paper > 0 && (size_t)result->on_paper <= result->count)
        good = put_number(o, "nearest_on_paper", result->on_paper);
    if (good && result->stopped)
        good = put_bool(o, "stopped", true);
    if (good && result->impossible[0] != '\0')
        good = put_text(o, "impossible", result->impossible);
    if (good && result->place[0] != '\0')
        good = put_text(o, "let_go", result->place);
    if (good && result->light[0] != '\0')
        good = put_text(o, "light", result->light);
    if (good && result->heavy[0] != '\0')
        good = put_text(o, "heavy", result->heavy);
    if (good && result->craft[0] != '\0')
        good = put_text(o, "craft", result->craft) && put_allows(o, &result->allows);
    if (good && result->second_try)
        good = put_bool(o, "second_try", true);
    good = good && put_assumed(o, build) && (result->finished || put_stage(o, build));
    if (good && result->missing[0] != '\0')
        good = put_text(o, "missing", result->missing);
    cJSON *rigs = good ? cJSON_AddArrayToObject(o, "rigs") : NULL;
    good = good && rigs != NULL;
    for (size_t i = 0; good && i < result->count; i++) {
        cJSON *one = json_fit_rig(build, &result->rigs[i], reserves != NULL ? &reserves[i] : NULL,
                                  result->finished);
        good = put_last(rigs, one);
    }
    return json_finished(o, good);
}
