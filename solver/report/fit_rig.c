/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One rig that fit found: in full, as the first screen shows it, or in two lines. */
#include "report/fit_rig.h"
#include "text/format.h"

#include <math.h>
#include <string.h>

/* A floater is described as it lies, anything else as it drifts. */
static void does_words(const Report *r, const BlyTarget *target, const BlyOutcome *o,
                       char out[2 * WORDS_MAX]) {
    char moves[WORDS_MAX], tilt[WORDS_MAX];
    bool afloat = target->state == BLY_FLOATS && o->has_surface;
    attitude_words(afloat ? o->surface.nose_down : o->nose_down, tilt);
    if (afloat)
        (void)bly_format(moves, WORDS_MAX, "floats with %.1f %% above water",
                         o->surface.shows * 100);
    else
        moves_words(o->drift, false, r->system, moves);
    (void)snprintf(out, 2 * WORDS_MAX, "%.150s, %.150s", moves, tilt);
}

/* "fresh, 8 C", "18 g/kg of salt, 15 C". */
static void water_briefly(const Report *r, const BlyWater *water, char out[WORDS_MAX]) {
    char t[BLY_QUANTITY_MAX], salt[BLY_QUANTITY_MAX] = "fresh";
    bly_quantity_show(water->temperature, BLY_DIM_TEMPERATURE, r->system, -1, t);
    if (water->salinity > 0)
        bly_quantity_show(water->salinity, BLY_DIM_SALINITY, r->system, -1, salt);
    (void)snprintf(out, WORDS_MAX, "%.60s%s, %.60s", salt, water->salinity > 0 ? " salt" : "", t);
}

/* `by_design`: what it misses as built is brought in by trims. */
static void text_waters(const Report *r, const BlyBuild *build, const BlyFitRig *rig, bool full,
                        bool by_design) {
    for (size_t w = 0; w < rig->water_count; w++) {
        char water[WORDS_MAX], does[2 * WORDS_MAX], net[WORDS_MAX];
        const BlyOutcome *o = &rig->outcome[w];
        does_words(r, &build->target, o, does);
        if (full) {
            water_words(&o->water, r->system, water);
            small_mass_words(o->sums.net_weight, r->system, true, net);
            text_wrapped(r, 4, "  in %s it %s; weight in water %s", water, does, net);
        } else {
            water_briefly(r, &o->water, water);
            text_wrapped(r, 4, "  %s: %s", water, does);
        }
        if (!rig->met && !by_design && rig->binding < BLY_REQ_TOW_ATTITUDE)
            text_judgement(r, "    ", &build->target, o, &rig->judgement[w]);
    }
}

/* Light where trims can only add, and the like. */
static void text_by_design(const Report *r, const BlyTarget *target, const BlyFitRig *rig) {
    const BlyOutcome *o = &rig->outcome[rig->binding_water];
    const BlyJudgement *judgement = &rig->judgement[rig->binding_water];
    const char *how = "off its middle";
    if (judgement->shows_off > 0)
        how = o->surface.shows > target->shows_high ? "light" : "heavy";
    else if (judgement->drift_off > 0)
        how = o->drift < target->drift_low ? "light" : "heavy";
    text_wrapped(r, 4, "  %s by design: off target as built, brought in by what can be trimmed",
                 how);
}

static size_t steps_of(const Report *r, const BlyBuild *build, const BlyFitRig *rig,
                       char steps[MEND_STEPS_MAX][MEND_WORDS_MAX]) {
    return mend_steps(build, &rig->rig, r->system, steps);
}

/* Of one kind at a seat: to buy or cut. What is fitted already and stays is none. */
static int new_of(const BlyChoice *now, const BlyChoice *was, int kind) {
    bool counted = kind == BLY_PART_DOT || kind == BLY_PART_STRIP;
    bool cut = kind == BLY_PART_SHEET &&
               (now->of[BLY_PART_OUTLINE].part != was->of[BLY_PART_OUTLINE].part ||
                fabs(now->length - was->length) > 1e-6);
    bool same = now->of[kind].part == was->of[kind].part && !cut &&
                (kind != BLY_PART_STRIP || fabs(now->length - was->length) < 1e-6);
    int count = counted && now->count > 1 ? now->count : 1;
    if (now->of[kind].part == NULL || kind == BLY_PART_OUTLINE)
        return 0;
    if (!same)
        return count;
    return counted && now->count > was->count ? now->count - was->count : 0;
}

static int new_parts(const BlyBuild *build, const BlyRig *rig) {
    int count = 0;
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++)
            count += new_of(&rig->at[s], &build->fitted.at[s], kind);
    }
    return count;
}

/* "8 new parts", "2 things to do (*)". */
static void work_words(const Report *r, const BlyBuild *build, const BlyFitRig *rig, bool finished,
                       char out[WORDS_MAX]) {
    char steps[MEND_STEPS_MAX][MEND_WORDS_MAX];
    size_t count = finished ? steps_of(r, build, rig, steps) : (size_t)new_parts(build, &rig->rig);
    if (finished ? rig->changes == 0 : count == 0)
        (void)snprintf(out, WORDS_MAX, "as it is");
    else if (finished)
        (void)snprintf(out, WORDS_MAX, "%zu thing%s to do (*)", count, count == 1 ? "" : "s");
    else
        (void)snprintf(out, WORDS_MAX, "%zu new part%s", count, count == 1 ? "" : "s");
}

static void head_line(const Report *r, const BlyBuild *build, const FitShown *shown,
                      const BlyFitRig *rig, size_t number, const char *more) {
    char mass[WORDS_MAX], work[WORDS_MAX], price[WORDS_MAX] = "", chance[WORDS_MAX] = "";
    small_mass_words(rig->outcome[0].sums.mass, r->system, false, mass);
    work_words(r, build, rig, shown->result->finished, work);
    if (isfinite(rig->price) && rig->price > 0)
        (void)bly_format(price, WORDS_MAX, ", price %.2f", rig->price);
    if (shown->result->finished && isfinite(rig->chance))
        (void)bly_format(chance, WORDS_MAX, "; then on target%s: %s in 100",
                         shown->result->surest ? tests_words(build->tests) : "",
                         share_text(rig->chance).words);
    text_wrapped(r, 3, "%zu. %s, finished lure %s%s%s%s", number, work, mass, price, chance, more);
}

static void what_to_do(const Report *r, const BlyBuild *build, const BlyFitRig *rig) {
    char steps[MEND_STEPS_MAX][MEND_WORDS_MAX];
    size_t count = steps_of(r, build, rig, steps);
    for (size_t i = 0; i < count; i++)
        text_wrapped(r, 6, "    - %s", steps[i]);
}

/* Above the share that is usual they were taken as ballast. */
static void text_hook_share(const Report *r, const BlyBuild *build, const BlyFitRig *rig) {
    const BlyPractice *rules = bly_catalog_practice(build->catalog);
    double share = hook_share(&rig->rig, rig->outcome[0].sums.mass);
    if (rules != NULL && rules->rule[BLY_RULE_HOOK_SHARE].strength != BLY_RULE_OFF &&
        (build->limits.allow & (1u << BLY_RULE_HOOK_SHARE)) == 0 &&
        rint(100.0 * share) > rint(100.0 * rules->share_most)) /* as it is printed */
        text_wrapped(r, 4,
                     "  note: hooks make up %.0f %% of the lure; above %.0f %% they are ballast",
                     100 * share, 100 * rules->share_most);
}

unsigned fit_rig_notes(const BlyFitRig *rig) {
    unsigned notes = 0;
    for (size_t w = 0; w < rig->water_count; w++)
        notes |= rig->outcome[w].notes;
    return notes;
}

void text_rig_found(const Report *r, const BlyBuild *build, const FitShown *shown, size_t index) {
    const BlyFitRig *rig = &shown->result->rigs[index];
    const BlyReserve *reserve = shown->reserves != NULL ? &shown->reserves[index] : NULL;
    const BlyRig *old = shown->result->finished ? &build->fitted : NULL;
    head_line(r, build, shown, rig, index + 1, "");
    if (shown->result->finished)
        what_to_do(r, build, rig);
    if (shown->full)
        text_rig(r, build, &rig->rig, old);
    else
        text_rig_brief(r, build, &rig->rig, old);
    text_to_buy(r, build, &rig->rig);
    const bool by_design = shown->result->surest && !shown->result->finished && !rig->met &&
                           rig->binding < BLY_REQ_TOW_ATTITUDE;
    text_waters(r, build, rig, shown->full, by_design);
    if (by_design)
        text_by_design(r, &build->target, rig);
    if (shown->wished != NULL)
        text_wished(r, build, &shown->wished[index]);
    if (reserve != NULL) {
        text_chances(r, "  ", reserve);
        text_test(r, "  ", build, &rig->rig, reserve, !shown->full);
    }
    text_notes(r, "  ", fit_rig_notes(rig) & ~shown->common);
    text_hook_share(r, build, rig);
    if (shown->full && rig->equals != NULL && rig->equals[0] != '\0')
        text_wrapped(r, 4, "  also fits, as heavy: %s", rig->equals);
}

/* ---- in two lines ---- */

typedef struct Line {
    char text[4 * CHOICE_MAX];
    size_t length;
    const char *between; /* before the next word */
} Line;

static void add(Line *line, const char *word) {
    int n = snprintf(line->text + line->length, sizeof line->text - line->length, "%s%s",
                     line->between, word);
    size_t room = sizeof line->text - line->length - 1;
    line->length += n < 0 ? 0 : (size_t)n < room ? (size_t)n : room;
    line->between = ", ";
}

static void add_length(const Report *r, Line *line, const char *before, double si,
                       const char *after) {
    char length[BLY_QUANTITY_MAX], words[WORDS_MAX];
    bly_quantity_show(si, BLY_DIM_LENGTH, r->system, r->system == BLY_INCH ? 2 : 1, length);
    (void)snprintf(words, sizeof words, "%s%.60s%s", before, length, after);
    add(line, words);
}

static bool differs(double a, double b) {
    return isfinite(a) != isfinite(b) || (isfinite(a) && fabs(a - b) > 1e-7);
}

/* What of a seat is otherwise than in rig 1. */
static void add_difference(const Report *r, const BlySeat *seat, const BlyChoice *was,
                           const BlyChoice *is, Line *line) {
    char words[WORDS_MAX];
    (void)snprintf(words, sizeof words, "%s%.60s ", line->length > 3 ? "; " : "", seat->name);
    line->between = "";
    add(line, words);
    line->between = "";
    if (bly_choice_is_empty(is))
        add(line, "nothing");
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        const BlyPart *part = is->of[kind].part;
        bool counted = kind == BLY_PART_DOT && part != NULL;
        if (counted && (part != was->of[kind].part || is->count != was->count)) {
            (void)snprintf(words, sizeof words, "%d x %.100s", is->count, part->id);
            add(line, words);
        } else if (part != NULL && part != was->of[kind].part)
            add(line, part->id);
        else if (part == NULL && was->of[kind].part != NULL && !bly_choice_is_empty(is))
            add(line, kind == BLY_PART_RING ? "no ring" : "one part less");
    }
    bool strip = is->of[BLY_PART_STRIP].part != NULL, wire = is->of[BLY_PART_WIRE].part != NULL;
    if (is->count != was->count && (strip || wire)) {
        (void)snprintf(words, sizeof words, "%d %s%s", is->count, strip ? "layer" : "turn",
                       is->count == 1 ? "" : "s");
        add(line, words);
    }
    if (differs(is->length, was->length) && is->length > 0)
        add_length(r, line, "", is->length, " long");
    if (differs(is->filed, was->filed) || differs(is->thickness, was->thickness))
        add(line, "filed otherwise");
    if (differs(is->x, was->x))
        add_length(r, line, seat->kind == BLY_SEAT_PATCH ? "from " : "at ", is->x, "");
}

static void text_difference(const Report *r, const BlyBuild *build, const BlyRig *first,
                            const BlyRig *rig) {
    Line line = {"   ", 3, ""};
    for (size_t s = 0; s < rig->count; s++) {
        if (!same_pieces(&first->at[s], &rig->at[s]))
            add_difference(r, &build->seats[s], &first->at[s], &rig->at[s], &line);
    }
    text_wrapped_most(r, 3, 1, line.text);
}

/* "4 in 100, after 2 tests 96; ": as built and after the tests that the maker is willing to make.
 */
static void chance_beside(const BlyReserve *reserve, char out[WORDS_MAX]) {
    int tests = reserve->tests < reserve->worked ? reserve->tests : reserve->worked;
    ShareText first = share_text(reserve->chance[0]),
              then = share_text(bly_reserve_chance(reserve));
    if (tests == 0)
        (void)bly_format(out, WORDS_MAX, "%s in 100; ", first.words);
    else
        (void)bly_format(out, WORDS_MAX, "%s in 100, after %s %s; ", first.words,
                         tests == 1   ? "a test"
                         : tests == 2 ? "two tests"
                                      : "three tests",
                         then.words);
}

void text_rig_beside(const Report *r, const BlyBuild *build, const FitShown *shown, size_t index) {
    const BlyFitRig *rig = &shown->result->rigs[index];
    const BlyReserve *reserve = shown->reserves != NULL ? &shown->reserves[index] : NULL;
    const BlyOutcome *o = &rig->outcome[0];
    char does[2 * WORDS_MAX], mass[WORDS_MAX], chance[WORDS_MAX] = "", line[6 * WORDS_MAX];
    bool afloat = build->target.state == BLY_FLOATS && o->has_surface;
    char moves[WORDS_MAX], tilt[WORDS_MAX];
    attitude_words(afloat ? o->surface.nose_down : o->nose_down, tilt);
    drift_range_words(o->drift, o->drift, r->system, 0, moves);
    if (afloat)
        (void)bly_format(moves, sizeof moves, "%.1f %% above water", 100 * o->surface.shows);
    (void)snprintf(does, sizeof does, "%.150s, %.150s", moves, tilt);
    small_mass_words(o->sums.mass, r->system, false, mass);
    if (shown->result->finished && isfinite(rig->chance))
        (void)bly_format(chance, sizeof chance, "%s in 100; ", share_text(rig->chance).words);
    else if (reserve != NULL)
        chance_beside(reserve, chance);
    (void)snprintf(line, sizeof line, "%zu. %s%s; %s", index + 1, chance, does, mass);
    text_wrapped_most(r, 3, 1, line);
    text_difference(r, build, &shown->result->rigs[0].rig, &rig->rig);
    if (shown->wished != NULL)
        text_wished_beside(r, &shown->wished[index]);
}
