/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How alike a build's eyes can be: which wire goes in at each place, and whether one eye, or one
 * kind or metal of them, goes in at all places. */
#include "practice/craft.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool craft_same_eye(const BlyPart *a, const BlyPart *b) {
    static const double same = 1e-5; /* m */
    return strcmp(a->style, b->style) == 0 && fabs(a->wire - b->wire) < same &&
           strcmp(a->material, b->material) == 0;
}

static bool of_one_kind(const BlyPart *a, const BlyPart *b) {
    return strcmp(a->style, b->style) == 0 && strcmp(a->material, b->material) == 0;
}

static bool of_one_metal(const BlyPart *a, const BlyPart *b) {
    return strcmp(a->material, b->material) == 0;
}

bool craft_eyes_go_together(const Craft *c, const BlyPart *a, const BlyPart *b) {
    if (c->eyes_alike || c->eyes_of_kind)
        return c->eyes_alike ? craft_same_eye(a, b) : of_one_kind(a, b);
    return !c->eyes_of_metal || of_one_metal(a, b);
}

static bool takes_eyes(const BlyBuild *build, size_t seat) {
    BlySeatKind kind = build->seats[seat].kind;
    return kind == BLY_SEAT_TIE || kind == BLY_SEAT_HANGER;
}

static bool is_open_for_eyes(const Craft *c, size_t seat) {
    return takes_eyes(c->build, seat) &&
           (c->judging || (c->build->seats[seat].open & (1u << BLY_PART_EYE)) != 0);
}

/* Of the eyes that the limits leave the finest wire that is strong enough; INFINITY: none. */
static double finest_for(const Craft *c, const BlyPart *const *eyes, size_t count, int style,
                         double mass) {
    static const double slack = 0.03;
    double wanted = craft_eye_wire(c, style, mass), finest = INFINITY;
    for (size_t i = 0; i < count; i++) {
        double wire = eyes[i]->wire;
        if (craft_eye_style(eyes[i]) == style && wire >= wanted * (1 - slack))
            finest = fmin(finest, wire);
    }
    return finest;
}

/* The wire that a style has at a seat: `finest`, or where the place forbids it the next finer one.
 */
static double wire_at(const Craft *c, const BlyPart *const *eyes, size_t count, size_t seat,
                      int style, double finest) {
    const BlySeat *s = &c->build->seats[seat];
    double strongest = NAN;
    for (size_t i = 0; i < count; i++) {
        double wire = eyes[i]->wire;
        if (craft_eye_style(eyes[i]) != style || wire > finest * (1 + 1e-9) ||
            (strongest >= wire) ||
            (craft_shank(c, s, s->x_from, eyes[i]) != 0 &&
             craft_shank(c, s, s->x_to, eyes[i]) != 0))
            continue;
        strongest = wire;
    }
    return isnan(strongest) && isfinite(finest) ? finest : strongest;
}

/* Sorted so that eyes of one metal, of one style of it, and of nearly one wire lie side by side. */
static int by_metal(const void *a, const void *b) {
    const BlyPart *x = *(const BlyPart *const *)a, *y = *(const BlyPart *const *)b;
    int order = strcmp(x->material, y->material);
    if (order == 0)
        order = strcmp(x->style, y->style);
    if (order == 0)
        order = (x->wire > y->wire) - (x->wire < y->wire);
    return order != 0 ? order : strcmp(x->id, y->id);
}

/* The eyes that go in at one seat: next[i] is the first from i on, `count` none. */
static void find_next(const Craft *c, size_t seat, const BlyPart *const *eyes, size_t count,
                      size_t *next) {
    const BlySeat *s = &c->build->seats[seat];
    next[count] = count;
    for (size_t i = count; i-- > 0;)
        next[i] = craft_eye(c, (int)seat, s->x_from, eyes[i]) == 0 ? i : next[i + 1];
}

typedef bool (*Alike)(const BlyPart *a, const BlyPart *b);

/* Whether at a seat some eye goes in that is like eyes[i], or none goes in at all; the eyes like it
 * begin at `low`. */
static bool one_goes_in(const Craft *c, size_t seat, Alike alike, const BlyPart *const *eyes,
                        size_t count, const size_t *next, size_t i, size_t low) {
    if (!takes_eyes(c->build, seat))
        return true;
    if (!is_open_for_eyes(c, seat)) {
        const BlyPart *fitted = c->build->fitted.at[seat].of[BLY_PART_EYE].part;
        return fitted == NULL || alike(fitted, eyes[i]);
    }
    return next[0] == count || (next[low] < count && alike(eyes[next[low]], eyes[i]));
}

/* Whether some eye goes in at every seat that takes any; where none does, they cannot be alike. */
static bool some_goes_everywhere(const Craft *c, Alike alike, const BlyPart *const *eyes,
                                 size_t count, const size_t *next) {
    size_t low = 0;
    for (size_t i = 0; i < count; i++) {
        bool all = true;
        while (!alike(eyes[low], eyes[i]))
            low++;
        for (size_t s = 0; s < c->build->seat_count && all; s++)
            all = one_goes_in(c, s, alike, eyes, count, &next[s * (count + 1)], i, low);
        if (all)
            return true;
    }
    return false;
}

static void set_wires(Craft *c, const BlyPart *const *eyes, size_t count, int style) {
    const double border = c->rules->heavy_border;
    double finest = finest_for(c, eyes, count, style, c->mass * (1 - border));
    c->wire_most[style] = finest_for(c, eyes, count, style, c->mass * (1 + border));
    c->wire_least[style] = INFINITY;
    for (size_t s = 0; s < c->build->seat_count; s++) {
        double wire =
            takes_eyes(c->build, s) ? wire_at(c, eyes, count, s, style, finest) : (double)NAN;
        c->seat[s].wire[style] = wire;
        c->wire_least[style] = fmin(c->wire_least[style], wire); /* NAN is passed over */
    }
}

static bool some_keeps_wood(Craft *c, size_t seat, const BlyPart *const *eyes, size_t count) {
    const BlySeat *s = &c->build->seats[seat];
    bool some = false;
    c->seat[seat].keeps_wood = true;
    for (size_t i = 0; i < count && !some; i++)
        some = craft_eye(c, (int)seat, s->x_from, eyes[i]) == 0 ||
               craft_eye(c, (int)seat, s->x_to, eyes[i]) == 0;
    c->seat[seat].keeps_wood = some;
    return some;
}

/* Let go because one place cannot keep it, the rule goes on where it can be kept: a tail too thin
 * for any eye makes no screw hold in balsa. */
static void keep_wood_elsewhere(Craft *c, const BlyPart *const *eyes, size_t count) {
    bool everywhere = true;
    if (craft_binds(c, BLY_RULE_EYE_WOOD) || (c->asked & (1u << BLY_RULE_EYE_WOOD)) != 0)
        return;
    for (size_t s = 0; s < c->build->seat_count; s++) {
        if (is_open_for_eyes(c, s))
            everywhere = some_keeps_wood(c, s, eyes, count) && everywhere;
    }
    for (size_t s = 0; everywhere && s < c->build->seat_count; s++)
        c->seat[s].keeps_wood = false; /* let go to see what comes of it */
}

static bool set_alike(Craft *c, const BlyPart **eyes, size_t count, BlyError *err) {
    size_t seats = c->build->seat_count;
    size_t *next = calloc(seats * (count + 1) + 1, sizeof *next);
    if (next == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rules");
    if (count > 0)
        qsort(eyes, count, sizeof(const BlyPart *), by_metal);
    for (size_t s = 0; s < seats; s++) {
        if (is_open_for_eyes(c, s))
            find_next(c, s, eyes, count, &next[s * (count + 1)]);
    }
    c->eyes_alike = some_goes_everywhere(c, craft_same_eye, eyes, count, next);
    c->eyes_of_kind = some_goes_everywhere(c, of_one_kind, eyes, count, next);
    c->eyes_of_metal = some_goes_everywhere(c, of_one_metal, eyes, count, next);
    free(next);
    return true;
}

static bool usual_goes_in(const Craft *c, size_t seat, const BlyPart *const *eyes, size_t count) {
    const BlyPart *fitted = c->build->fitted.at[seat].of[BLY_PART_EYE].part;
    if (!takes_eyes(c->build, seat))
        return true;
    if (!is_open_for_eyes(c, seat))
        return fitted == NULL || craft_is_usual_metal(c, fitted);
    for (size_t i = 0; i < count; i++) {
        if (craft_is_usual_metal(c, eyes[i]) &&
            craft_eye(c, (int)seat, c->build->seats[seat].x_from, eyes[i]) == 0)
            return true;
    }
    return false;
}

static void set_usual(Craft *c, const BlyPart *const *eyes, size_t count) {
    c->eyes_usual = !c->judging;
    for (size_t s = 0; s < c->build->seat_count && c->eyes_usual; s++)
        c->eyes_usual = usual_goes_in(c, s, eyes, count);
}

bool craft_eye_is_odd(const Craft *c, const BlyPart *eye) {
    return c->eyes_usual && craft_binds(c, BLY_RULE_KINDS) && craft_binds(c, BLY_RULE_EYE_WIRE) &&
           !(eye->in_box > 0) && !craft_is_usual_metal(c, eye);
}

bool craft_set_eyes(Craft *c, BlyError *err) {
    static const BlyLimits none = {0};
    const BlyBuild *build = c->build;
    const BlyLimits *limits = c->judging ? &none : &build->limits;
    const BlyPart **eyes = NULL;
    size_t count = 0;
    c->seat = calloc(build->seat_count + 1, sizeof *c->seat);
    if (c->seat == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rules");
    if (!bly_limits_parts(limits, c->catalog, BLY_PART_EYE, &eyes, &count, err))
        return false;
    for (int style = 0; style < CRAFT_STYLES; style++)
        set_wires(c, eyes, count, style);
    keep_wood_elsewhere(c, eyes, count);
    bool done = set_alike(c, eyes, count, err);
    set_usual(c, eyes, count);
    c->fine_everywhere = c->judging; /* what must be alike is settled without it */
    free(eyes);
    return done;
}
