/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts that their own sizes do not bear out, and parts that the wood will not bear. */
#include "ballastry/catalog.h"
#include "ballastry/slip.h"
#include "lure/blank.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double in_mm = 1e3, in_g = 1e3;
static const double piece_off = 1.5;   /* a weighed piece over or under what its sizes make */
static const double wood_least = 2.0;  /* the wood about an eye's shank, in thicknesses of it */
static const double cut_most = 0.5;    /* of the body's mass may be drilled and sawn out */
static const double lip_longest = 0.6; /* of the body's length */

typedef struct Look {
    BlySlips *to;
    const BlyBlank *blank;
    const BlySeat *seat;
    const BlyChoice *choice;
    int index;
    char place[128]; /* "belly.hook" */
    bool good;
    BlyError *err;
} Look;

static void set_place(Look *look, BlyPartKind kind) {
    (void)snprintf(look->place, sizeof look->place, "%s.%s", look->seat->name,
                   bly_part_kind_name(kind));
}

static void take_finding(const BlyFinding *finding, void *user) {
    Look *look = user;
    look->good = look->good && bly_slip_add(look->to, look->err, look->place,
                                            "%s %s: mend its record if that is a slip", finding->id,
                                            finding->text);
}

/* What the catalog makes of this piece on this seat: all items of the part, not weighed. */
static double modelled_mass(const Look *look, BlyPartKind kind) {
    BlyChoice plain = *look->choice;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = 0;
    double mass = 0;
    plain.of[kind].weighed = (BlyFigure){NAN, 0.0};
    if (!bly_choice_items(look->blank, look->seat, look->index, &plain, items, &count, NULL))
        return NAN;
    for (size_t i = 0; i < count; i++) {
        if (items[i].kind == BLY_ITEM_PART && items[i].part == plain.of[kind].part)
            mass += items[i].mass;
    }
    return mass;
}

static bool slip_weighed(Look *look, BlyPartKind kind) {
    const BlyChosenPart *piece = &look->choice->of[kind];
    if (!(piece->weighed.value > 0))
        return true;
    double weighed = piece->weighed.value, by_size = modelled_mass(look, kind);
    double least = by_size / piece_off; /* a wire's last turn may be part of one */
    if (kind == BLY_PART_WIRE && look->choice->count > 0)
        least *= fmax(look->choice->count - 1, 0.2) / look->choice->count;
    if (!(by_size > 0) || (weighed <= piece_off * by_size && weighed >= least))
        return true;
    return bly_slip_add(look->to, look->err, look->place,
                        "weighs %.4g g here, the catalog's %s comes to %.4g g: is the decimal "
                        "point in its place, is it one piece that was weighed?",
                        in_g * weighed, piece->part->id, in_g * by_size);
}

/* The narrowest wood about the shank: across it half way in, and where it goes in from below or
 * above. */
static bool wood_about(const Look *look, const BlyPart *eye, double *x, double *wood) {
    BlySection section;
    bool ends = look->seat->side == BLY_AT_NOSE || look->seat->side == BLY_AT_TAIL;
    double in = ends && isfinite(eye->length) ? 0.5 * eye->length : 0;
    *x = look->choice->x + (look->seat->side == BLY_AT_TAIL ? -in : in);
    if (!bly_body_section(look->blank->bare, *x, &section))
        return false;
    *wood = ends ? fmin(section.width, section.height) : section.width;
    return true;
}

static bool slip_eye(Look *look) {
    const BlyPart *eye = look->choice->of[BLY_PART_EYE].part;
    double x, wood;
    if (eye == NULL || !isfinite(eye->wire) || !wood_about(look, eye, &x, &wood))
        return true;
    bool twisted = eye->style != NULL && strcmp(eye->style, "twisted") == 0;
    double thick = twisted ? 2 * eye->wire : eye->wire;
    set_place(look, BLY_PART_EYE);
    if (thick >= wood)
        return bly_slip_add(look->to, look->err, look->place,
                            "the shank of %s is %.2g mm thick, the body only %.2g mm at %.4g mm "
                            "from the nose: there is no wood for it",
                            eye->id, in_mm * thick, in_mm * wood, in_mm * x);
    return wood >= wood_least * thick ||
           bly_slip_add(look->to, look->err, look->place,
                        "the shank of %s is %.2g mm thick, the body %.2g mm at %.4g mm from the "
                        "nose: it will hardly hold, and may split",
                        eye->id, in_mm * thick, in_mm * wood, in_mm * x);
}

static bool slip_lip(Look *look) {
    BlyBox box = bly_body_box(look->blank->bare);
    double length = box.high.x - box.low.x;
    if (look->seat->kind != BLY_SEAT_SLOT || !(look->choice->length > lip_longest * length))
        return true;
    set_place(look, BLY_PART_OUTLINE);
    return bly_slip_add(look->to, look->err, look->place,
                        "the lip is %.4g mm long on a body of %.4g mm: is the unit right?",
                        in_mm * look->choice->length, in_mm * length);
}

static bool slip_choice(Look *look, const BlyCatalog *catalog) {
    for (int k = 0; look->good && k < BLY_PART_KINDS; k++) {
        const BlyPart *part = look->choice->of[k].part;
        if (part == NULL)
            continue;
        set_place(look, (BlyPartKind)k);
        (void)bly_part_check(part, bly_catalog_material(catalog, part->material), take_finding,
                             look);
        look->good = look->good && slip_weighed(look, (BlyPartKind)k);
    }
    return look->good && slip_eye(look) && slip_lip(look);
}

/* What was drilled and sawn out, against what there was. */
static double cut_out(const Look *look) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = 0;
    double mass = 0;
    if (bly_choice_is_empty(look->choice) ||
        !bly_choice_items(look->blank, look->seat, look->index, look->choice, items, &count, NULL))
        return 0;
    for (size_t i = 0; i < count; i++)
        mass -= items[i].kind == BLY_ITEM_REMOVED ? items[i].mass : 0;
    return mass;
}

bool bly_slip_rig(BlySlips *to, const BlyBlank *blank, const BlySeat *seats, const BlyRig *rig,
                  const BlyCatalog *catalog, BlyError *err) {
    double cut = 0;
    for (size_t i = 0; i < rig->count; i++) {
        Look look = {to, blank, &seats[i], &rig->at[i], (int)i, "", true, err};
        if (!slip_choice(&look, catalog))
            return false;
        cut += cut_out(&look);
    }
    return cut <= cut_most * blank->body_mass ||
           bly_slip_add(to, err, "/body",
                        "eyes and slot take %.3g g out of a body of %.3g g: are its sizes and "
                        "their unit right?",
                        in_g * cut, in_g * blank->body_mass);
}
