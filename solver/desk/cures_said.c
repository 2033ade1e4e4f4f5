/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each cure would do, as text and JSON. */
#include "desk/cures_said.h"

#include <gsl/gsl_math.h>

#include "ballastry/units.h"
#include "text/format.h"

static double attitude_of(const BlyOutcome *o) {
    return o->state == BLY_FLOATS && o->has_surface ? o->surface.nose_down : o->nose_down;
}

static void rests_words(const BlyOutcome *o, BlySystem system, char out[WORDS_MAX]) {
    char attitude[WORDS_MAX], net[WORDS_MAX], arm[BLY_QUANTITY_MAX];
    attitude_words(attitude_of(o), attitude);
    small_mass_words(o->sums.net_weight, system, true, net);
    bly_quantity_show(o->roll_arm, BLY_DIM_LENGTH, system, system == BLY_INCH ? 3 : 1, arm);
    (void)snprintf(out, WORDS_MAX, "%.40s, %.30s in water, roll arm %.20s", attitude, net, arm);
}

static void run_words(const BlyTowEffect *run, char out[WORDS_MAX]) {
    const char *depth = run->depth.sign > 0 ? "deeper" : run->depth.sign < 0 ? "shallower" : NULL;
    const char *pull = run->pull.sign > 0   ? "pulls harder"
                       : run->pull.sign < 0 ? "pulls less"
                                            : NULL;
    if (!depth && !pull && run->nose_down.sign == 0) {
        (void)snprintf(out, WORDS_MAX, "about alike");
        return;
    }
    char nose[WORDS_MAX] = "";
    if (run->nose_down.sign != 0)
        (void)bly_format(nose, WORDS_MAX, ", nose %.0f deg %s",
                         fabs(run->nose_down.middle) * 180 / M_PI,
                         run->nose_down.sign > 0 ? "lower" : "higher");
    (void)snprintf(out, WORDS_MAX, "%s, %s%.40s", depth ? depth : "depth about alike",
                   pull ? pull : "pull about alike", nose);
}

static void rest_said(const BlyOutcome *rest, double chance, BlySystem system, CureSaid *out) {
    *out = (CureSaid){.rests = ""};
    rests_words(rest, system, out->rests);
    if (isfinite(chance))
        (void)bly_format(out->chance, WORDS_MAX, "%s in 100", share_text(chance).words);
}

void cure_said(const CureDone *cure, BlySystem system, CureSaid *out) {
    *out = (CureSaid){.rests = ""};
    if (!cure->possible)
        return;
    rest_said(&cure->rest, cure->chance, system, out);
    run_words(&cure->run, out->runs);
    if (cure->change == BLY_TOW_LINE_LONGER || cure->change == BLY_TOW_TIE_FORWARD) {
        (void)snprintf(out->rests, WORDS_MAX, "%sas it is",
                       cure->change == BLY_TOW_TIE_FORWARD ? "all but " : "");
        out->chance[0] = '\0';
    }
}

const char *cure_why_not(BlyTowLever change) {
    switch (change) {
    case BLY_TOW_METAL_FORWARD:
        return "not on this lure: no strip or dot that its seat lets go forward";
    case BLY_TOW_METAL_MORE:
        return "not on this lure: no strip or dot is on it; mount one and ask again";
    case BLY_TOW_REAR_HOOK_LARGER:
        return "not on this lure: no hook there, or no larger one of its style";
    case BLY_TOW_LIP_SHORTER:
    case BLY_TOW_LIP_NARROWER:
    case BLY_TOW_LIP_STEEPER:
        return "not on this lure: no lip, or it cannot be changed so far";
    default:
        return "not on this lure";
    }
}

void cures_before_said(const CuresWork *work, BlySystem system, CureSaid *out) {
    rest_said(&work->before, work->chance_before, system, out);
}

const char *const cures_words =
    "nothing here says that any of these cures it: the model does not know. It is what makers try, "
    "in this order (common practice, no source), and what each does to this lure";

static void text_one(const Report *r, const char *what, const CureSaid *said) {
    (void)fprintf(r->out, "  %s\n", what);
    text_wrapped(r, 19, "      at rest      %s%s%s", said->rests,
                 said->chance[0] != '\0' ? "; right first time: " : "", said->chance);
    if (said->runs[0] != '\0')
        text_wrapped(r, 19, "      on the line  %s", said->runs);
}

void text_cures(const Report *r, const CuresWork *w) {
    CureSaid said;
    text_wrapped(r, 2, "seen: %s", saw_words(w->saw));
    text_wrapped(r, 0, "%s:", cures_words);
    cures_before_said(w, r->system, &said);
    text_one(r, bly_tow_lever_words(BLY_TOW_LEVERS), &said);
    for (size_t i = 0; i < w->count; i++) {
        const CureDone *cure = &w->at[i];
        cure_said(cure, r->system, &said);
        if (cure->possible)
            text_one(r, bly_tow_lever_words(cure->change), &said);
        else
            (void)fprintf(r->out, "  %s\n      %s\n", bly_tow_lever_words(cure->change),
                          cure_why_not(cure->change));
    }
    (void)fprintf(r->out, "on the line: an estimate, told where 95 of 100 such lures agree\n");
}

static cJSON *json_rest(const BlyOutcome *o, double chance) {
    cJSON *tree = cJSON_CreateObject();
    return json_finished(tree, tree &&
                                   put_number(tree, "nose_down_deg", attitude_of(o) * 180 / M_PI) &&
                                   put_number(tree, "net_weight_g", 1e3 * o->sums.net_weight) &&
                                   put_number(tree, "roll_arm_mm", 1e3 * o->roll_arm) &&
                                   put_number(tree, "chance", chance));
}

static cJSON *json_cure(const CureDone *cure) {
    cJSON *o = cJSON_CreateObject();
    bool good = o && put_text(o, "change", bly_tow_lever_words(cure->change)) &&
                put_bool(o, "possible", cure->possible);
    if (good && cure->possible)
        good = put_tree(o, "rest", json_rest(&cure->rest, cure->chance)) &&
               put_tree(o, "on_the_line", json_tow_effect(&cure->run));
    return json_finished(o, good);
}

cJSON *json_cures(const CuresWork *w) {
    cJSON *o = cJSON_CreateObject(), *list = cJSON_CreateArray();
    bool good = o && list;
    for (size_t i = 0; good && i < w->count; i++)
        good = put_last(list, json_cure(&w->at[i]));
    if (!o) {
        cJSON_Delete(list);
        return NULL;
    }
    good = put_tree(o, "tries", list) && good && put_text(o, "seen", saw_words(w->saw)) &&
           put_number(o, "speed_m_s", w->speed) &&
           put_tree(o, "as_it_is", json_rest(&w->before, w->chance_before));
    return json_finished(o, good);
}
