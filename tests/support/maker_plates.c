/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lips and what lies on the surface; lead, snaps, and what is kept for the tank. */
#include "support/maker.h"

#include <math.h>
#include <string.h>

/* MPa in bending (metals 1.5 times the yield), least and greatest that a handbook prints for what a
 * shop sells under the name; tests/catalog/strengths.csv has the rows. */
static const struct {
    const char *material, *temper;
    double low, high;
} strengths[] = {{"polycarbonate", "", 90, 100},
                 {"acrylic", "", 97, 117},
                 {"polyester", "", 75, 80},
                 {"g10", "", 280, 310},
                 {"brass", "half hard", 370, 525},
                 {"brass", "annealed", 165, 217.5},
                 {"copper", "half hard", 207, 403.5},
                 {"copper", "annealed", 50, 114},
                 {"stainless", "half hard", 300, 1137},
                 {"stainless", "annealed", 300, 315},
                 {"aluminium", "half hard", 150, 270},
                 {"aluminium", "annealed", 15, 97.5},
                 {"nickel-silver", "half hard", 630, 705},
                 {"nickel-silver", "annealed", 187, 225},
                 {"phosphor-bronze", "half hard", 570, 592.5},
                 {"titanium", "annealed", 412, 675},
                 {"zinc", "", 150, 150},
                 {"tin", "", 16, 22.5},
                 {"lead", "", 7, 12}};

static MakerWord bending_word(const MakerCase *c, const BlyPart *sheet, double stress_low,
                              double stress_high) {
    (void)c;
    for (size_t i = 0; i < sizeof strengths / sizeof strengths[0]; i++) {
        bool temper = strengths[i].temper[0] == '\0' ||
                      strcmp(sheet->temper, strengths[i].temper) == 0 ||
                      (sheet->temper[0] == '\0' && strcmp(strengths[i].temper, "half hard") == 0);
        if (strcmp(sheet->material, strengths[i].material) != 0 || !temper)
            continue;
        if (stress_low > strengths[i].high)
            return MAKER_BROKEN;
        return stress_high > strengths[i].low ? MAKER_OPEN : MAKER_KEPT;
    }
    return MAKER_OPEN;
}

typedef struct Gauge {
    double least, most; /* surely used between; beyond by more than `hair`: asked for */
    double hair;
} Gauge;

/* mm by the body's length. Pages name single lengths, so what lies between them is open widely. */
static Gauge gauge_of(const char *material, double mm) {
    if (strcmp(material, "polycarbonate") == 0)
        return mm < 60    ? (Gauge){1.0, 1.0, 0.6}
               : mm < 120 ? (Gauge){1.5, 1.6, 0.9}
               : mm < 170 ? (Gauge){2.0, 2.4, 1.0}
                          : (Gauge){2.4, 4, 2.5};
    if (strcmp(material, "g10") == 0)
        return mm <= 60 ? (Gauge){0.6, 0.8, 0.25} : (Gauge){0.8, 0.8, 0.9};
    if (strcmp(material, "acrylic") == 0 || strcmp(material, "polyester") == 0)
        return (Gauge){2, 2, 1.1};
    return (Gauge){0.8, 1.0, 0.65}; /* metal: 0.6 to 1.6 in use, common practice */
}

static MakerWord gauge_word(const MakerCase *c, const BlyPart *sheet, double t) {
    Gauge g = gauge_of(sheet->material, c->length);
    if (t < g.least - g.hair || t > g.most + g.hair)
        return MAKER_BROKEN;
    return t >= g.least && t <= g.most ? MAKER_KEPT : MAKER_OPEN;
}

static void judge_lip(MakerCase *c, const BlySeat *seat, const BlyChoice *at) {
    const BlyPart *sheet = at->of[BLY_PART_SHEET].part;
    const BlyPart *outline = at->of[BLY_PART_OUTLINE].part;
    double wide = outline->width * 1e3 / c->width;
    bool flat = c->width / c->height < 0.75;
    maker_say(c, BLY_RULE_LIP_WIDTH, maker_at_most(0.8, wide, 0.005));
    MakerWord most = maker_at_most(wide, 1.6, 0.005);
    if (most == MAKER_BROKEN && flat && wide <= 2.01)
        most = MAKER_OPEN;
    maker_say(c, BLY_RULE_LIP_WIDTH, most);

    double l = (at->length - seat->depth) * 1e3, out = l / c->length;
    maker_say(c, BLY_RULE_LIP_FREE, maker_at_most(0.1, out, 0.02));
    maker_say(c, BLY_RULE_LIP_FREE,
              out > 0.71   ? MAKER_BROKEN
              : out > 0.49 ? MAKER_OPEN
                           : MAKER_KEPT);

    double t = (isfinite(at->thickness) ? at->thickness : sheet->thickness) * 1e3;
    maker_say(c, BLY_RULE_LIP_GAUGE, gauge_word(c, sheet, t));
    t -= at->filed * 1e3;
    double push = fmax(10, 0.3 * c->mass_least), shove = fmax(10, 0.3 * c->mass_most);
    double root = 2e3 * bly_outline_half_width(outline, at->length, 0);
    double mouth = 2e3 * bly_outline_half_width(outline, at->length, seat->depth);
    double high = 6 * shove * l / (fmin(root, mouth) * t * t);
    double low = 6 * push * l / (fmax(root, mouth) * t * t);
    maker_say(c, BLY_RULE_LIP_BENDING, bending_word(c, sheet, low * 0.98, high * 1.02));
}

void maker_lips(MakerCase *c) {
    for (size_t i = 0; i < c->rig->count; i++)
        if (c->rig->at[i].of[BLY_PART_SHEET].part != NULL &&
            c->rig->at[i].of[BLY_PART_OUTLINE].part != NULL)
            judge_lip(c, &c->build->seats[i], &c->rig->at[i]);
}

/* The body's least and greatest width, mm, over a reach; the greatest of each section. */
static void widths(const MakerCase *c, double from, double to, double out[2]) {
    out[0] = INFINITY;
    out[1] = 0;
    for (int i = 0; i <= 40; i++) {
        BlySection s;
        if (!bly_body_section(c->build->shape, from + (to - from) * i / 40, &s))
            continue;
        out[0] = fmin(out[0], s.width * 1e3);
        out[1] = fmax(out[1], s.width * 1e3);
    }
}

/* Eyes on the same side and slots, to the nearest end of the metal: 2 mm, and how thick an eye or a
 * plate counts is not said, so 1 mm to 4 mm are open. */
static void judge_clear(MakerCase *c, size_t patch, double from, double to) {
    for (size_t i = 0; i < c->build->seat_count; i++) {
        const BlySeat *s = &c->build->seats[i];
        const BlyChoice *at = &c->rig->at[i];
        bool eye = at->of[BLY_PART_EYE].part != NULL && s->side == c->build->seats[patch].side;
        bool slot = s->kind == BLY_SEAT_SLOT && at->of[BLY_PART_SHEET].part != NULL;
        if (!eye && !slot)
            continue;
        double away = fmax(from - at->x, at->x - to) * 1e3;
        if (slot && s->side != c->build->seats[patch].side)
            maker_say(c, BLY_RULE_SURFACE, away < 6 ? MAKER_OPEN : MAKER_KEPT);
        else
            maker_say(c, BLY_RULE_SURFACE,
                      away < 1.0 ? MAKER_BROKEN
                      : away < 4 ? MAKER_OPEN
                                 : MAKER_KEPT);
    }
}

static void judge_strip(MakerCase *c, size_t seat, const BlyPart *strip, const BlyChoice *at) {
    double w[2], wide = strip->width * 1e3, t = strip->thickness * 1e3;
    widths(c, at->x, at->x + at->length, w);
    maker_say(c, BLY_RULE_SURFACE,
              wide > 0.7 * w[1] * 1.01   ? MAKER_BROKEN
              : wide > 0.7 * w[0] * 0.99 ? MAKER_OPEN
                                         : MAKER_KEPT);
    if (at->count > 2 || at->count * t > 1.001)
        maker_say(c, BLY_RULE_SURFACE, MAKER_BROKEN);
    judge_clear(c, seat, at->x, at->x + at->length);
}

static void judge_dots(MakerCase *c, size_t seat, const BlyPart *dot, const BlyChoice *at) {
    const BlySeat *s = &c->build->seats[seat];
    double d = dot->outer, reach = s->x_to - s->x_from, w[2];
    int a_row = (int)(reach / d + 1e-6);
    a_row = a_row < 1 ? 1 : a_row;
    int rows = (at->count + a_row - 1) / a_row, first = at->count < a_row ? at->count : a_row;
    widths(c, at->x - first * d / 2, at->x + first * d / 2, w);
    maker_say(c, BLY_RULE_FIRST_BUILD, MAKER_BROKEN);
    maker_say(c, BLY_RULE_SURFACE,
              d * 1e3 > 0.7 * w[1] * 1.01   ? MAKER_BROKEN
              : d * 1e3 > 0.7 * w[0] * 0.99 ? MAKER_OPEN
                                            : MAKER_KEPT);
    if (rows * dot->thickness * 1e3 > 1.001)
        maker_say(c, BLY_RULE_SURFACE, MAKER_BROKEN);
    if (rows > 2)
        maker_say(c, BLY_RULE_SURFACE, MAKER_OPEN); /* layers are said of strips, a stack of dots */
    /* A row that does not fit about its place is shifted; the shift is the lure room's. */
    double from = at->x - first * d / 2, to = at->x + first * d / 2;
    double shift = fmax(s->x_from - from, 0) - fmax(to - s->x_to, 0);
    judge_clear(c, seat, from + shift, to + shift);
}

void maker_surface(MakerCase *c) {
    for (size_t i = 0; i < c->rig->count; i++) {
        const BlyChoice *at = &c->rig->at[i];
        for (int kind = 0; kind < BLY_PART_KINDS; kind++)
            if (at->of[kind].part != NULL && at->of[kind].part->lead)
                maker_say(c, BLY_RULE_LEAD, MAKER_BROKEN);
        if (at->of[BLY_PART_SNAP].part != NULL)
            maker_say(c, BLY_RULE_SNAP, MAKER_BROKEN);
        if (at->of[BLY_PART_WIRE].part != NULL)
            maker_say(c, BLY_RULE_FIRST_BUILD, MAKER_BROKEN);
        if (at->of[BLY_PART_STRIP].part != NULL)
            judge_strip(c, i, at->of[BLY_PART_STRIP].part, at);
        if (at->of[BLY_PART_DOT].part != NULL)
            judge_dots(c, i, at->of[BLY_PART_DOT].part, at);
    }
}
