/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/print_body.h"

#include "ballastry/facets.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const double millimetre = 1e-3;
static const double planes_move = 4e-6; /* m, both walls of a slot: facets.h */
static const double rounding = 2e-8;    /* m, single precision of 0.2 m */

typedef struct Printing {
    const BlyBuild *build;
    const BlyRig *rig;
    const PrintOrder *order;
    PrintedBody *out;
    BlyMesh mesh;  /* owned */
    double volume; /* m3 of the body before any slot, hollows left out */
    double slack;  /* m3 by which the volume may be off */
} Printing;

static bool slot_of(const Printing *p, size_t s, BlySlot *slot, BlyError *err) {
    const BlySeat *seat = &p->build->seats[s];
    const BlyChoice *choice = &p->rig->at[s];
    const BlyPart *sheet = choice->of[BLY_PART_SHEET].part;
    double x = sheet != NULL ? choice->x : seat->x_from, thickness = seat->gap;
    if (sheet != NULL)
        thickness = isnan(choice->thickness) ? sheet->thickness : choice->thickness;
    if (isfinite(p->order->slot_gap))
        thickness = p->order->slot_gap;
    if (sheet == NULL && seat->x_to > seat->x_from)
        return bly_fail(err, BLY_E_MISSING, seat->name,
                        "no lip is fitted, so where its slot goes is open: fit one, or leave the "
                        "slot out with --whole");
    if (!(thickness > 0.0))
        return bly_fail(err, BLY_E_MISSING, seat->name,
                        "the width of the slot is unknown: fit a lip, or say it with --slot-gap, "
                        "or leave the slot out with --whole");
    *slot = (BlySlot){bly_seat_surface(&p->build->blank, seat, x),
                      {-cos(seat->angle), 0.0, -sin(seat->angle)},
                      thickness,
                      seat->depth};
    return true;
}

static bool saw(Printing *p, size_t s, BlyError *err) {
    BlySlot slot;
    BlyMesh sawn;
    if (!slot_of(p, s, &slot, err))
        return false;
    double taken = p->out->of_mesh ? bly_mesh_slot_volume(&p->mesh, &slot)
                                   : bly_slot_volume(p->build->shape, &slot);
    if (!bly_mesh_slot(&p->mesh, &slot, &sawn, err)) {
        bly_error_prefix(err, p->build->seats[s].name);
        return false;
    }
    bly_mesh_release(&p->mesh);
    p->mesh = sawn;
    p->out->slots++;
    p->out->slot_volume += taken;
    p->slack += (planes_move + p->order->chord) * taken / slot.thickness +
                p->order->chord * slot.depth * 2.0 * slot.thickness +
                (p->out->of_mesh ? taken / BLY_SLOT_PLANES : 0.0);
    return true;
}

static void lay_at_nose(Printing *p) {
    double nose = bly_body_box(p->build->shape).low.x;
    for (size_t i = 0; i < p->mesh.point_count; i++)
        p->mesh.points[i].x -= nose;
}

/* As a stranger's file: closed as it stands, and as much within as there should be. */
static bool check(const Printing *p, BlyError *err) {
    BlyMesh again;
    BlyStlMends mends;
    if (!bly_stl_read(p->out->bytes, p->out->size, millimetre, &again, &mends, err))
        return false;
    double volume = bly_mesh_volume(&again);
    double wanted = p->volume - p->out->slot_volume;
    p->out->facets = again.facet_count;
    p->out->volume = volume;
    bly_mesh_release(&again);
    if (mends.joined + mends.removed + mends.filled + mends.turned > 0)
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "the body as triangles is not closed; try another --chord");
    if (!(fabs(volume - wanted) <= p->slack))
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "the body as triangles holds %.4f cm3, expected %.4f within %.4f; try "
                        "another --chord",
                        1e6 * volume, 1e6 * wanted, 1e6 * p->slack);
    return true;
}

static bool print(Printing *p, BlyError *err) {
    const BlyBody *body = p->build->shape;
    p->out->of_mesh = bly_body_mesh(body) != NULL;
    /* hollows have a surface too, which lies within */
    double off = p->out->of_mesh ? 2.0 * rounding : rounding + p->order->chord;
    p->slack = off * bly_body_surface(body)->area;
    if (!bly_body_facets(body, p->order->chord, &p->mesh, err))
        return false;
    p->volume = p->out->of_mesh ? bly_mesh_volume(&p->mesh) : bly_body_solid(body)->volume;
    for (size_t s = 0; s < p->build->seat_count && !p->order->whole; s++) {
        if (p->build->seats[s].kind == BLY_SEAT_SLOT && !saw(p, s, err))
            return false;
    }
    lay_at_nose(p);
    return bly_stl_write(&p->mesh, millimetre, p->order->kind, &p->out->bytes, &p->out->size,
                         err) &&
           check(p, err);
}

PrintOrder print_order(void) {
    static const double chord = 2e-5; /* m */
    return (PrintOrder){.chord = chord, .slot_gap = NAN, .kind = BLY_STL_BINARY};
}

bool print_body(const BlyBuild *build, const BlyRig *rig, const PrintOrder *order, PrintedBody *out,
                BlyError *err) {
    Printing p = {.build = build, .rig = rig, .order = order, .out = out};
    *out = (PrintedBody){0};
    bool good = print(&p, err);
    bly_mesh_release(&p.mesh);
    return good;
}

void print_body_release(PrintedBody *printed) {
    free(printed->bytes);
    *printed = (PrintedBody){0};
}
