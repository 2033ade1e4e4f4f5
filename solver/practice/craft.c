/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rules ask of one build: sizes of hooks, grades, what binds at all. */
#include "practice/craft.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

double craft_between(const BlyRuleTable *table, const char *word, double at, int column) {
    const double *before = NULL;
    for (size_t i = 0; i < table->rows; i++) {
        const double *row = table->at[i];
        if (word != NULL && strcmp(table->word[i][0], word) != 0)
            continue;
        if (row[0] >= at) {
            if (before == NULL || !(row[0] > before[0]))
                return row[column];
            double share = (at - before[0]) / (row[0] - before[0]);
            return before[column] + share * (row[column] - before[column]);
        }
        before = row;
    }
    return before != NULL ? before[column] : NAN;
}

/* The largest size sold that is no larger. */
static int sold_below(const BlyRuleTable *sizes, double rank) {
    static const double slack = 1e-6;
    int best = (int)floor(rank + slack);
    double least = INFINITY;
    for (size_t i = 0; i < sizes->rows; i++) {
        double off = rank - sizes->at[i][0];
        if (off >= -slack && off < least) {
            least = off;
            best = (int)sizes->at[i][0];
        }
    }
    return best;
}

/* The nearest size sold, the larger of two as near. */
static int sold_near(const BlyRuleTable *sizes, double rank) {
    static const double slack = 1e-6;
    int best = (int)lround(rank);
    double least = INFINITY;
    for (size_t i = 0; i < sizes->rows; i++) {
        double off = fabs(sizes->at[i][0] - rank);
        if (off < least - slack || (off < least + slack && sizes->at[i][0] > best)) {
            least = fmin(off, least);
            best = (int)sizes->at[i][0];
        }
    }
    return best;
}

static int hangers_of(const BlyBuild *build) {
    int count = 0;
    for (size_t s = 0; s < build->seat_count; s++)
        count += build->seats[s].kind == BLY_SEAT_HANGER;
    return count;
}

/* Between the rows of slender and of deep bodies straight by the height. A lure is not hung with
 * the next larger hook because its row ends a hair above a number. */
static void set_sizes(Craft *c) {
    const BlyPractice *p = c->rules;
    double share = c->height / c->length;
    double deep = (share - p->slender_height) / (p->deep_height - p->slender_height);
    double ranks[2];
    deep = fmin(fmax(deep, 0), 1);
    for (int i = 0; i < 2; i++)
        ranks[i] = (1 - deep) * craft_between(&p->slender, NULL, c->length, i + 1) +
                   deep * craft_between(&p->deep, NULL, c->length, i + 1);
    if (c->hangers >= 3)
        ranks[0] -= p->three_smaller;
    c->hook_low = sold_below(&p->sold, ranks[0]);
    c->hook_high = sold_near(&p->sold, ranks[1]);
}

static bool salty(const BlyBuild *build, double from) {
    bool salt = build->water.salinity.value >= from;
    for (size_t w = 0; w < build->target_water_count; w++)
        salt = salt || build->target_waters[w].salinity.value >= from;
    return salt;
}

static void set_grades(Craft *c) {
    const BlyRuleTable *grades =
        salty(c->build, c->rules->salt_from) ? &c->rules->salt_grades : &c->rules->grades;
    for (size_t i = 0; i < grades->rows; i++)
        c->grades |= 1u << bly_hook_grade(grades->word[i][0]);
}

/* A lure that hangs in the water weighs what it displaces, and one that floats as much less as it
 * shows; hardware displaces little. */
static double mass_of(const BlyBuild *build) {
    static const double water = 1000, usual_share = 0.2; /* kg/m3 */
    double share = 0;
    if (build->has_target && build->target.state == BLY_FLOATS) {
        double low = build->target.shows_low, high = build->target.shows_high;
        share = isfinite(low) && isfinite(high) ? (low + high) / 2 : usual_share;
    }
    return build->blank.hull_volume * water * (1 - share);
}

double craft_eye_wire(const Craft *c, int style, double mass) {
    const BlyRuleTable *table = style == 0 ? &c->rules->screw_wire : &c->rules->twisted_wire;
    double heavy = style == 0 ? c->rules->screw_heavy : c->rules->twisted_heavy;
    const BlyLimits *l = &c->build->limits;
    size_t row = 0;
    if (table->rows == 0)
        return NAN;
    while (row + 1 < table->rows && c->length > table->at[row][0] + 1e-9)
        row++;
    if (mass >= heavy)
        row = style == 1 || row + 1 == table->rows ? table->rows - 1 : row + 1;
    double wire = table->at[row][1];
    return l->eye_wire_high > 0 ? fmin(fmax(wire, l->eye_wire_low), l->eye_wire_high) : wire;
}

int craft_eye_style(const BlyPart *eye) {
    if (eye->style == NULL)
        return -1;
    return strcmp(eye->style, "screw") == 0 ? 0 : strcmp(eye->style, "twisted") == 0 ? 1 : -1;
}

/* `mass`: of a rig that is judged; NAN: one is looked for. */
static bool begin(const BlyBuild *build, const BlyCatalog *catalog, unsigned loosened, double mass,
                  Craft *out, BlyError *err) {
    *out = (Craft){.build = build,
                   .catalog = catalog,
                   .rules = bly_catalog_practice(catalog),
                   .judging = !isnan(mass)};
    if (out->rules == NULL)
        return true;
    for (int i = 0; i < BLY_RULES; i++) {
        if (out->rules->rule[i].strength != BLY_RULE_OFF)
            out->live |= 1u << i;
    }
    BlyBox box = bly_body_box(build->shape);
    out->length = box.high.x - box.low.x;
    out->width = box.high.y - box.low.y;
    out->height = box.high.z - box.low.z;
    out->mass = out->judging ? mass : mass_of(build);
    out->hangers = hangers_of(build);
    out->rear_larger =
        build->has_target && build->target.nose_high <= -out->rules->tail_down + 1e-9;
    set_sizes(out);
    set_grades(out);
    out->live &= ~craft_asked(out);
    out->asked = ~out->live;
    out->live &= ~loosened;
    craft_set_usual(out);
    if (craft_set_eyes(out, err))
        return true;
    craft_end(out);
    return false;
}

bool craft_begin(const BlyBuild *build, const BlyCatalog *catalog, unsigned loosened, Craft *out,
                 BlyError *err) {
    return begin(build, catalog, loosened, NAN, out, err);
}

bool craft_begin_judging(const BlyBuild *build, const BlyRig *rig, Craft *out, BlyError *err) {
    BlyLure lure = {0};
    BlyError why = {0};
    double mass = 0;
    *out = (Craft){0};
    if (bly_lure_make(&build->blank, build->seats, rig, &lure, &why)) {
        for (size_t i = 0; i < lure.count; i++)
            mass += lure.items[i].mass;
    } else if (why.code == BLY_E_MEMORY) {
        return bly_fail(err, BLY_E_MEMORY, NULL, "%s", why.text);
    } else { /* what does not go together has no mass of its own */
        mass = mass_of(build);
    }
    bly_lure_release(&lure);
    return begin(build, build->catalog, 0, mass, out, err);
}

void craft_end(Craft *craft) {
    free(craft->seat);
    *craft = (Craft){0};
}
