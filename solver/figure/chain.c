/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What hangs: it hangs straight down whatever the lure does. */
#include "figure/shapes.h"

#include <gsl/gsl_math.h>
#include <string.h>

static double known(double size, double otherwise) {
    return isfinite(size) && size > 0 ? size : otherwise;
}

static Pt below(Pt from, double right, double down) {
    return (Pt){from.x + right, from.y - down};
}

/* Split ring or snap: a loop, drawn narrow because it hangs turned out of the eye's plane. */
static void put_loop(Figure *figure, const BlyItem *item, Pt at, double slender) {
    double wire = known(item->part->wire, 0);
    double top = item->hang_from - (item->part->kind == BLY_PART_RING ? wire : 0);
    double tall = fmax(item->hang_to - top - wire, 0), middle = 0.5 * (item->hang_to + top);
    double stroke = item->part->kind == BLY_PART_RING ? 1.6 * wire : wire;
    figure_begin(figure, SHAPE_WIRE, item->seat, stroke, true);
    figure_arc(figure, below(at, 0, middle), slender * 0.5 * tall, 0.5 * tall, 0, 2 * M_PI);
}

/* One bend: down the shank, around, up to the point, which leans in a little. */
static void put_bend(Figure *figure, const BlyItem *item, Pt at, double side, double gape) {
    double wire = known(item->part->wire, 0);
    double radius = 0.5 * (gape + wire), base = item->hang_to - 0.5 * wire - radius;
    double r = side * radius;
    figure_begin(figure, SHAPE_WIRE, item->seat, wire, false);
    figure_arc(figure, below(at, r, base), r, radius, M_PI, 2 * M_PI);
    figure_point(figure, below(at, 2 * r, base));
    figure_point(figure, below(at, 1.9 * r, base - 0.9 * gape));
    figure_begin(figure, SHAPE_WIRE, item->seat, 0.6 * wire, false); /* the barb */
    figure_point(figure, below(at, 1.9 * r, base - 0.9 * gape));
    figure_point(figure, below(at, 1.6 * r, base - 0.5 * gape));
}

static void put_hook(Figure *figure, const BlyItem *item, Pt at) {
    const BlyPart *hook = item->part;
    double length = item->hang_to - item->hang_from, wire = known(hook->wire, 0.03 * length);
    double gape = fmin(known(hook->gape, 0.35 * length), 0.6 * length);
    double eye = fmin(0.5 * (known(hook->bore, 1.5 * wire) + wire), 0.2 * length);
    bool treble = strcmp(hook->style, "single") != 0;
    figure_begin(figure, SHAPE_WIRE, item->seat, wire, true);
    figure_arc(figure, below(at, 0, item->hang_from + eye + 0.5 * wire), 0.7 * eye, eye, 0,
               2 * M_PI);
    double base = item->hang_to - 0.5 * wire - 0.5 * (gape + wire);
    figure_begin(figure, SHAPE_WIRE, item->seat, treble ? 1.8 * wire : wire, false);
    figure_point(figure, below(at, 0, item->hang_from + 2 * eye));
    figure_point(figure, below(at, 0, base));
    put_bend(figure, item, at, 1, gape);
    if (treble)
        put_bend(figure, item, at, -1, gape);
}

static void put_turns(Figure *figure, const BlyItem *item, Pt at) {
    double wire = known(item->part->wire, 0);
    figure_begin(figure, SHAPE_TURNS, item->seat, 5 * wire, false);
    figure_point(figure, below(at, 0, item->hang_from));
    figure_point(figure, below(at, 0, item->hang_to));
}

void figure_hanging(Figure *figure, const BlyItem *item, Aspect aspect) {
    Pt at = bly_aspect_point(aspect, item->at);
    switch (item->part->kind) {
    case BLY_PART_RING:
        put_loop(figure, item, at, 0.55);
        break;
    case BLY_PART_SNAP:
        put_loop(figure, item, at, 0.3);
        break;
    case BLY_PART_HOOK:
        put_hook(figure, item, at);
        break;
    case BLY_PART_WIRE:
        put_turns(figure, item, at);
        break;
    default:
        break;
    }
}
