/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pieces that a blank is glued of, beside the body's own material: layers that planes part from
 * the body (a hardwood belly, a nose cap), and plain solids set into it (a through-wire, rattles,
 * glass eyes). Build files call them "pieces". */
#ifndef BALLASTRY_INSET_H
#define BALLASTRY_INSET_H

#include "ballastry/form.h"
#include "ballastry/parts.h"
#include "ballastry/shape.h"

BLY_API_BEGIN

enum { BLY_INSET_FORMS = 8, BLY_INSETS_MAX = 24 };

/* A volume and where its middle is. */
typedef struct BlyLump {
    double volume; /* m3 */
    BlyVec3 at;    /* m */
} BlyLump;

typedef struct BlyInset {
    char *name;     /* "belly" */
    char *material; /* id, "" when given otherwise */
    BlyFigure
        density;    /* kg/m3 of its own material, 0: nothing in it; NAN: only the mass is known */
    BlyFigure mass; /* kg of all its copies on the scale, which overrides; NAN: not weighed */
    BlyFigure expansion; /* 1/K, linear; NAN: not known */
    BlyOrigin expansion_origin;
    bool is_layer;
    BlyZone zone;                  /* of a layer */
    BlyForm form[BLY_INSET_FORMS]; /* of the others: its copies */
    size_t form_count;
    bool stands_out; /* may stand out of the body by up to BLY_INSET_OUT_MOST of its volume */

    /* Found by bly_insets_place, for a volume_share of 1. */
    BlyLump gross;   /* of a layer: all of the body in its zone; grows with volume_share */
    BlyLump own;     /* its own material: hollows, and what the others took from it, left out */
    BlyLump taken;   /* what it takes from the body's own material, at that one's mean density */
    BlyLump outside; /* what stands out of the body and displaces water of its own */
} BlyInset;

/* Shares of a piece's volume: that may stand out; that counts as lying in the surface where it may
 * not (the end of a wire in a round nose); and that two pieces may have in common. */
#define BLY_INSET_OUT_MOST 0.7
#define BLY_INSET_OUT_SLIGHT 0.02
#define BLY_INSET_COMMON 0.02

/* Finds what each piece of the blank takes from the body and from the others. Layers are as exact
 * as bly_body_zone; so is a solid that lies wholly in one of them, or in none. Where a joint runs
 * through a solid other than a rod, what it takes from either side is parted to about 1 % of the
 * solid. Refused (where: "/3", the piece) are layers that overlap or hold nothing of the body
 * (BLY_E_CONFLICT, BLY_E_RANGE), solids that stand out of the body (BLY_E_RANGE) or have more than
 * BLY_INSET_COMMON of the smaller one in common (BLY_E_CONFLICT), layers that leave nothing of the
 * body's own material, and more than BLY_INSETS_MAX pieces. In a body with hollows or infill layers
 * are refused (BLY_E_CONFLICT); what a solid takes there is summed up by bly_body_filled. */
bool bly_insets_place(const BlyBody *body, BlyInset *insets, size_t count,
                      BlyError *err) BLY_MUST_CHECK;

/* What a piece weighs and where, and what it takes from the body's own material, when the body's
 * volume is `share` of its shape's. */
double bly_inset_mass(const BlyInset *inset, double share);
BlyFigure bly_inset_weighs(const BlyInset *inset, double share); /* and its give */
BlyLump bly_inset_own(const BlyInset *inset, double share);
BlyLump bly_inset_taken(const BlyInset *inset, double share);
double bly_inset_inside(const BlyInset *inset); /* m3 of the body that it fills, hollows too */

/* The piece that a point of the body lies in, a solid before a layer; -1: the body's own material.
 */
int bly_insets_at(const BlyInset *insets, size_t count, BlyVec3 point);

BLY_API_END

#endif
