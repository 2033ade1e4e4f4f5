/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts and materials that may be chosen: mass, volume, size, where the figure comes from,
 * and what goes with what. Records in memory; files are read by the catalog room.
 * All numbers SI. A length, mass or price that is not known is NAN. */
#ifndef BALLASTRY_PARTS_H
#define BALLASTRY_PARTS_H

#include "ballastry/error.h"

typedef enum BlyPartKind {
    BLY_PART_EYE,     /* screw eye or twisted eye */
    BLY_PART_RING,    /* split ring */
    BLY_PART_HOOK,    /* treble or inline single */
    BLY_PART_SNAP,    /* snap at the line tie */
    BLY_PART_SHEET,   /* plate stock: material and gauge, for lips and keels */
    BLY_PART_OUTLINE, /* a lip's outline and width; its length is trimmed */
    BLY_PART_STRIP,   /* tape or sheet strip for the surface, cut to length */
    BLY_PART_DOT,     /* a round of tape, a washer: laid on the surface by count */
    BLY_PART_WIRE,    /* wrapped on a hook's shank by turns */
    BLY_PART_KINDS
} BlyPartKind;

/* Where a figure comes from, surest first. The default give follows from it (bly_origin_give). */
typedef enum BlyOrigin {
    BLY_FROM_MEASURED,
    BLY_FROM_PUBLISHED,
    BLY_FROM_MODEL,
    BLY_FROM_PRACTICE,
    BLY_FROM_MEMORY,
    BLY_ORIGINS
} BlyOrigin;

/* A value with its tolerance: 95 of 100 pieces lie within value - give .. value + give. */
typedef struct BlyFigure {
    double value;
    double give; /* >= 0 */
} BlyFigure;

typedef struct BlyMaterial {
    char *id; /* "larch", "brass", "epoxy-clear" */
    char *name;
    BlyFigure density;   /* kg/m3 */
    BlyFigure expansion; /* 1/K, linear along the lure's volume; NAN where unknown */
    bool lead;           /* contains lead */
    bool metal;
    BlyOrigin origin;
    char *source;
    BlyOrigin expansion_origin;
    char *expansion_source;
} BlyMaterial;

/* Outlines of lips, from the slot end (s = 0) to the free end (s = length). */
typedef enum BlyOutlineForm {
    BLY_OUTLINE_SQUARE, /* straight sides, square end */
    BLY_OUTLINE_TONGUE, /* straight sides, half-round end */
    BLY_OUTLINE_FLARED, /* widens evenly from root width to width, square end */
    BLY_OUTLINE_ROUND,  /* straight root to the slot, then an ellipse */
    BLY_OUTLINE_FORMS
} BlyOutlineForm;

typedef struct BlyPart {
    BlyPartKind kind;
    char *id; /* unique in a catalog, [a-z0-9.-] */
    char *name;
    char *material; /* material id; "" where the part is compound */
    BlyOrigin origin;
    char *source;
    BlyFigure mass; /* kg a piece; per metre for WIRE; NAN for SHEET, STRIP and OUTLINE */
    double volume;  /* m3 a piece (water it displaces when all of it is wet) */
    double price;   /* a piece (SHEET and STRIP: per m2; WIRE: per m); NAN unknown */
    bool lead;

    /* Sizes. Which are used depends on the kind; the others are NAN (size_rank: 0). */
    double wire;       /* wire diameter (EYE, RING, HOOK, SNAP, WIRE) */
    double outer;      /* outer diameter (EYE loop, RING, DOT) */
    double length;     /* HOOK overall, EYE shank inside the wood, SNAP overall; STRIP longest */
    double shank;      /* HOOK straight shank free for wire; EYE: shank wire factor * length */
    double gape;       /* HOOK */
    double bore;       /* clear hole: EYE loop, HOOK eye, SNAP */
    double passes;     /* thickness that must go through a bore: RING (both turns), SNAP wire */
    double thickness;  /* SHEET, STRIP, DOT */
    double width;      /* STRIP, OUTLINE */
    double root_width; /* OUTLINE at the slot */
    double length_least, length_most; /* OUTLINE: allowed lengths, slot depth included */
    double thinnest;                  /* SHEET: may be filed down to this */
    double shank_mass;                /* EYE: mass of the threaded shank within `mass`, kg */
    double shank_volume;              /* EYE: volume of that shank, m3; not part of `volume` */
    BlyOutlineForm form;              /* OUTLINE */

    /* What goes with what. Sizes are ranks: hook sizes 14, 12, 10 .. 2, 1, 1/0 .. count upwards
     * (bly_hook_rank). */
    int size_rank;                     /* HOOK */
    char *size;                        /* HOOK and RING number as printed: "6", "1/0" */
    int hook_rank_low, hook_rank_high; /* RING: hook sizes that it suits; 0, 0 means any */
    char *style; /* HOOK "treble" or "single"; EYE "screw" or "twisted"; or "" */
    char *grade; /* HOOK wire grade "fine", "medium", "stout", "extra"; or "" */
} BlyPart;

/* A catalog owns its records. Zero is a valid empty catalog. */
typedef struct BlyCatalog {
    BlyPart *parts;
    size_t part_count;
    BlyMaterial *materials;
    size_t material_count;
} BlyCatalog;

void bly_catalog_release(BlyCatalog *catalog);

/* NULL when there is none. bly_catalog_nearest gives the id most like the wanted one, for "did
 * you mean"; NULL when nothing is near. */
const BlyPart *bly_catalog_part(const BlyCatalog *catalog, const char *id);
const BlyMaterial *bly_catalog_material(const BlyCatalog *catalog, const char *id);
const char *bly_catalog_nearest_part(const BlyCatalog *catalog, const char *id);
const char *bly_catalog_nearest_material(const BlyCatalog *catalog, const char *id);

/* Adds copies; a record with the same id takes the place of the old one. */
bool bly_catalog_put_part(BlyCatalog *catalog, const BlyPart *part, BlyError *err) BLY_MUST_CHECK;
bool bly_catalog_put_material(BlyCatalog *catalog, const BlyMaterial *material,
                              BlyError *err) BLY_MUST_CHECK;
/* Sorts by kind and id and drops dearer duplicates of nothing: order only. Call once after
 * reading; look-ups are by bisection. */
void bly_catalog_sort(BlyCatalog *catalog);

const char *bly_part_kind_name(BlyPartKind kind); /* "hook" */
bool bly_part_kind_read(const char *name, BlyPartKind *out);
const char *bly_origin_name(BlyOrigin origin); /* "measured" */
bool bly_origin_read(const char *name, BlyOrigin *out);
double bly_origin_give(BlyOrigin origin,
                       BlyPartKind kind); /* default give as a share of the mass */
const char *bly_outline_form_name(BlyOutlineForm form);
bool bly_outline_form_read(const char *name, BlyOutlineForm *out);

/* "14" .. "1", "1/0" .. "10/0" to a rank that grows with the hook; 0 when it is no size. */
int bly_hook_rank(const char *size);
void bly_hook_size(int rank, char out[8]);

/* Geometric models of mass (docs/parts.md gives each formula): what the record's sizes say the
 * mass should be, kg (per metre for WIRE). NAN when the kind has no model or sizes are missing. */
double bly_part_model_mass(const BlyPart *part, const BlyMaterial *material);

/* What goes with what. Each returns true when the two fit; else false with the reason in plain
 * words in err->text ("ring 4 is 1.7 mm through, the hook's eye has 1.2 mm"). */
bool bly_fits_ring_eye(const BlyPart *ring, const BlyPart *eye, BlyError *why);
bool bly_fits_ring_hook(const BlyPart *ring, const BlyPart *hook, BlyError *why);
bool bly_fits_hook_eye(const BlyPart *hook, const BlyPart *eye, BlyError *why);
bool bly_fits_wire_hook(const BlyPart *wire, int turns, const BlyPart *hook, BlyError *why);

/* Mass (kg) of one turn of wire on this hook's shank: rho pi/4 w^2 pi (2.15 d + w). */
double bly_wire_turn_mass(const BlyPart *wire, const BlyPart *hook);

/* Half-width (m) of an outline of total length `length` at s from the slot end; 0 off it. */
double bly_outline_half_width(const BlyPart *outline, double length, double s);
double bly_outline_area(const BlyPart *outline, double length); /* m2 */

#endif
