/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules of strips and dots. */
#include "practice/craft.h"

#include <math.h>

static const double slack = 1e-6; /* m */

static double width_at(const Craft *c, double x) {
    BlySection section;
    return bly_body_section(c->build->shape, x, &section) ? section.width : 0;
}

/* Where metal begins and ends along the body, and how high it is stacked. */
typedef struct Laid {
    double from, to, width, stack;
    double layers;
} Laid;

static Laid strip_laid(const BlyChoice *choice) {
    const BlyPart *strip = choice->of[BLY_PART_STRIP].part;
    int layers = choice->count > 1 ? choice->count : 1;
    return (Laid){choice->x, choice->x + choice->length, strip->width, layers * strip->thickness,
                  layers};
}

/* In a row as far as the patch reaches, then in layers (docs/lure.md). */
static Laid dots_laid(const BlySeat *seat, const BlyChoice *choice) {
    const BlyPart *dot = choice->of[BLY_PART_DOT].part;
    double fit = fmax(1, floor((seat->x_to - seat->x_from) / dot->outer + 1e-6));
    double row = fmin(choice->count, fit), half = 0.5 * dot->outer * row;
    double layers = ceil(choice->count / fit - 1e-9);
    double x = fmin(fmax(choice->x, seat->x_from + half), fmax(seat->x_to - half, seat->x_from));
    return (Laid){x - half, x + half, dot->outer, layers * dot->thickness, layers};
}

/* Holes on the same side that metal must keep clear of. */
static bool near_a_hole(const Craft *c, const BlySeat *seat, const Laid *laid) {
    for (size_t s = 0; s < c->build->seat_count; s++) {
        const BlySeat *other = &c->build->seats[s];
        if (other->side != seat->side || other->kind == BLY_SEAT_PATCH)
            continue;
        if (laid->to > other->x_from - c->rules->clear + slack &&
            laid->from < other->x_to + c->rules->clear - slack)
            return true;
    }
    return false;
}

unsigned craft_patch(const Craft *c, const BlySeat *seat, const BlyChoice *choice) {
    bool strip = choice->of[BLY_PART_STRIP].part != NULL;
    bool dots = choice->of[BLY_PART_DOT].part != NULL;
    if (c->rules == NULL || (!strip && !dots))
        return 0;
    unsigned broken = dots ? 1u << BLY_RULE_FIRST_BUILD : 0;
    Laid laid = strip ? strip_laid(choice) : dots_laid(seat, choice);
    double wide = fmin(width_at(c, laid.from), fmin(width_at(c, laid.to), INFINITY));
    wide = fmax(wide, 0);
    if (laid.width > c->rules->strip_share * wide + slack ||
        laid.stack > c->rules->stack_most + slack || laid.layers > c->rules->layers_most + 1e-9 ||
        near_a_hole(c, seat, &laid))
        broken |= 1u << BLY_RULE_SURFACE;
    return broken & c->live;
}
