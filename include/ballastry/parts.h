/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts and materials that may be chosen: mass, volume, size, where the figure comes from,
 * and what goes with what. Records in memory; files are read by the catalog room.
 * All numbers SI. A length, mass or price that is not known is NAN. Formulas and their sources:
 * docs/parts.md. */
#ifndef BALLASTRY_PARTS_H
#define BALLASTRY_PARTS_H

#include "ballastry/error.h"

BLY_API_BEGIN

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
    BLY_FROM_MEASURED,  /* weighed or calipered */
    BLY_FROM_PUBLISHED, /* a standard, a handbook, a data sheet */
    BLY_FROM_MODEL,     /* sizes put into a formula of docs/parts.md */
    BLY_FROM_PRACTICE,  /* common practice, no source */
    BLY_FROM_MEMORY,    /* remembered, not seen */
    BLY_ORIGINS
} BlyOrigin;

/* So many standard deviations either way hold 95, and 90, of 100 of a normal law. */
#define BLY_SIGMAS_95 1.959963984540054
#define BLY_SIGMAS_90 1.6448536269514722

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
    double bending;      /* strength in bending as published, Pa; NAN: by its yield */
    double
        yield_strength; /* a metal's yield as half-hard sheet (or as it is sold), Pa; NAN unknown */
    double yield_soft;  /* the same annealed */
    bool lead;          /* contains lead */
    bool metal;
    BlyOrigin origin;
    char *source;
    BlyOrigin expansion_origin;
    char *expansion_source;
    BlyOrigin strength_origin;
    char *strength_source;
} BlyMaterial;

/* Outlines of lips, from the slot end (s = 0) to the free end (s = length). */
typedef enum BlyOutlineForm {
    BLY_OUTLINE_SQUARE, /* straight sides, square end */
    BLY_OUTLINE_TONGUE, /* straight sides, half-round end */
    BLY_OUTLINE_FLARED, /* widens evenly from root width to width, square end */
    BLY_OUTLINE_ROUND,  /* straight root of root_length, then an ellipse through its corners */
    BLY_OUTLINE_DRAWN,  /* a maker's own, by points; made shorter at the slot end */
    BLY_OUTLINE_FORMS
} BlyOutlineForm;

typedef struct BlyPart {
    BlyPartKind kind;
    char *id; /* unique in a catalog, [a-z0-9.-] */
    char *name;
    char *material; /* material id; "" where the part is compound, and for OUTLINE */
    BlyOrigin origin;
    char *source;
    BlyFigure mass; /* kg a piece; per metre for WIRE; NAN for SHEET, STRIP and OUTLINE */
    double volume;  /* m3 a piece, per metre for WIRE: water displaced outside the body when wet */
    bool volume_given; /* the volume was read; false: follows from mass and density */
    BlyFigure density; /* kg/m3, copied from the material (bly_part_complete); NAN: compound */
    double price;      /* a piece (SHEET and STRIP: per m2; WIRE: per m); NAN unknown */
    bool lead;

    /* Sizes. Which are used depends on the kind; the others are NAN (size_rank: 0). */
    double wire;      /* wire diameter (EYE, RING, HOOK, SNAP, WIRE) */
    double outer;     /* outer diameter (EYE loop, RING, DOT) */
    double length;    /* HOOK overall, EYE shank inside the wood, SNAP overall; STRIP longest */
    double shank;     /* HOOK straight shank free for wire; EYE: wire in the shank (m of it) */
    double gape;      /* HOOK, clear */
    double bore;      /* clear hole: EYE loop, HOOK eye, SNAP; DOT: hole of a washer, 0 none */
    double passes;    /* thickness that must go through a bore: RING (both turns), SNAP wire */
    double thickness; /* SHEET, STRIP, DOT */
    double thickness_give;            /* SHEET, STRIP: half-width of the thickness */
    double width;                     /* STRIP, OUTLINE */
    double root_width;                /* OUTLINE at the slot: FLARED, ROUND */
    double root_length;               /* OUTLINE: straight part of ROUND */
    double length_least, length_most; /* OUTLINE: allowed lengths, slot depth included */
    double thinnest;                  /* SHEET: may be filed down to this */
    double bending;                   /* SHEET: strength in bending, Pa; NAN unknown */
    bool bending_given;               /* it was read; false: follows from material and temper */
    double shank_mass;                /* EYE: mass of the threaded shank within `mass`, kg */
    double shank_volume;              /* EYE: volume of that shank, m3; not part of `volume` */
    BlyOutlineForm form;              /* OUTLINE */
    /* OUTLINE DRAWN: drawn_count pairs of s and half-width, m, straight between, s rising from 0 at
     * the slot end to length_most; `width` is twice the greatest. Owned like the texts. */
    double *drawn;
    size_t drawn_count;

    /* Pieces in the maker's box (m of WIRE); INFINITY: there, not counted; NAN: not in it. */
    double in_box;

    /* What goes with what. Sizes are ranks: hook sizes 14, 12, 10 .. 2, 1, 1/0 .. count upwards
     * (bly_hook_rank). */
    int size_rank; /* HOOK */
    char *size;    /* HOOK and RING number as printed: "6", "1/0" */
    /* RING: hook sizes that it suits; 0, 0 means any. A single stands in for a treble of a smaller
     * number, so singles have a range of their own. */
    int hook_rank_low, hook_rank_high;
    int single_rank_low, single_rank_high;
    char *style;  /* HOOK "treble" or "single"; EYE "screw" or "twisted"; or "" */
    char *temper; /* SHEET "half hard", "annealed"; "" counts as half hard, or has none */
    char *grade;  /* HOOK wire grade "fine", "medium", "stout", "extra"; or "" */
} BlyPart;

/* Where each id stands in an array. */
typedef struct BlyIdIndex BlyIdIndex;

/* The rules of the craft (rules.h). */
typedef struct BlyPractice BlyPractice;

/* A catalog owns its records. Zero is a valid empty catalog. A pointer to a record holds until the
 * next put, sort or release. */
typedef struct BlyCatalog {
    BlyPart *parts;
    size_t part_count;
    BlyMaterial *materials;
    size_t material_count;
    BlyIdIndex *part_index, *material_index;
    BlyPractice *practice;           /* owned; NULL: none */
    const struct BookHabits *habits; /* borrowed: what the maker's own lures came out at, in place
                                        of figures that a build leaves to be usual; NULL: nothing */
} BlyCatalog;

/* A record whose numbers are all NAN and whose texts are all NULL, to be filled by a reader. */
BlyPart bly_part_blank(BlyPartKind kind);
BlyMaterial bly_material_blank(void);

void bly_catalog_release(BlyCatalog *catalog);

/* NULL when there is none. bly_catalog_nearest gives the id most like the wanted one, for "did
 * you mean"; NULL when nothing is near. */
const BlyPart *bly_catalog_part(const BlyCatalog *catalog, const char *id);
const BlyMaterial *bly_catalog_material(const BlyCatalog *catalog, const char *id);
const char *bly_catalog_nearest_part(const BlyCatalog *catalog, const char *id);
const char *bly_catalog_nearest_material(const BlyCatalog *catalog, const char *id);

/* Adds deep copies (a NULL text becomes ""); a record with the same id takes the place of the old
 * one. BLY_E_SYNTAX when the id is not made of a-z and 0-9, and within it point and hyphen;
 * BLY_E_CONFLICT when it is "none", which takes a part off; BLY_E_MEMORY. On failure the catalog is
 * as it was. */
bool bly_catalog_put_part(BlyCatalog *catalog, const BlyPart *part, BlyError *err) BLY_MUST_CHECK;
bool bly_catalog_put_material(BlyCatalog *catalog, const BlyMaterial *material,
                              BlyError *err) BLY_MUST_CHECK;
/* Whether a box was read: some part is in it. */
bool bly_catalog_has_box(const BlyCatalog *catalog);

/* Puts parts in order of kind and id, materials in order of id. */
void bly_catalog_sort(BlyCatalog *catalog);

/* Fills what follows from the sizes and the material and is not known: density; mass by the
 * model when the origin is MODEL; give by bly_origin_give; an eye's bore, shank, shank_mass and
 * shank_volume; volume, unless volume_given; a sheet's bending, unless bending_given. What is known
 * stays, save that density, shank_mass, shank_volume, a volume and a bending not given are worked
 * out anew, so that it may be called again after mass or material changed. `material` may be NULL.
 */
void bly_part_complete(BlyPart *part, const BlyMaterial *material);
/* The same for each part of a catalog with the catalog's own materials. */
void bly_catalog_complete(BlyCatalog *catalog);

/* What sheet of this temper ("": half hard) bears in bending before it breaks or stays bent, Pa:
 * the material's own `bending`, or 1.5 times its yield (docs/parts.md). NAN when unknown. */
double bly_material_bending(const BlyMaterial *material, const char *temper);

const char *bly_part_kind_name(BlyPartKind kind); /* "hook" */
bool bly_part_kind_read(const char *name, BlyPartKind *out);
const char *bly_origin_name(BlyOrigin origin); /* "measured" */
bool bly_origin_read(const char *name, BlyOrigin *out);
/* Default give as a share of the mass (SHEET, STRIP: of the thickness). docs/parts.md says why. */
double bly_origin_give(BlyOrigin origin, BlyPartKind kind);
/* Give of the mass as a share of it, 95 of 100: for SHEET and STRIP thickness and density add as
 * squares. 0 for OUTLINE. NAN when nothing is known. */
double bly_part_give_share(const BlyPart *part);
const char *bly_outline_form_name(BlyOutlineForm form);
bool bly_outline_form_read(const char *name, BlyOutlineForm *out);

/* "24" .. "1", "1/0" .. "10/0" to a rank (1 to 34) that grows with the hook; 0 when it is no size.
 * Back again: "" when it is no rank. */
int bly_hook_rank(const char *size);
void bly_hook_size(int rank, char out[8]);

/* Geometric models of mass (docs/parts.md gives each formula): what the record's sizes say the
 * mass should be, kg (per metre for WIRE). NAN when the kind has no model or sizes are missing. */
double bly_part_model_mass(const BlyPart *part, const BlyMaterial *material);

/* What goes with what. Each compares fields of the two records and nothing else, to a nanometre.
 * True when the two fit; else false with the reason in plain words in why->text ("ring 4 is 1.70 mm
 * through, the hook's eye has 1.25 mm") and the code BLY_E_CONFLICT, or BLY_E_MISSING when a size
 * that has to be compared is not known, or BLY_E_INTERNAL when a record is of the wrong kind.
 * ring_eye, ring_hook: passes <= bore; ring_hook: also the hook's size within the ring's range.
 * hook_eye, hung without a ring: each one's wire through the other's bore.
 * snap_eye: passes <= bore. wire_hook: turns side by side in one layer on the free shank. */
bool bly_fits_ring_eye(const BlyPart *ring, const BlyPart *eye, BlyError *why);
bool bly_fits_ring_hook(const BlyPart *ring, const BlyPart *hook, BlyError *why);
bool bly_fits_hook_eye(const BlyPart *hook, const BlyPart *eye, BlyError *why);
bool bly_fits_snap_eye(const BlyPart *snap, const BlyPart *eye, BlyError *why);
bool bly_fits_wire_hook(const BlyPart *wire, int turns, const BlyPart *hook, BlyError *why);

/* Mass (kg) of one turn of wire on this hook's shank: rho pi/4 w^2 pi (b + w), where the shank is
 * b = 2.15 d thick for a treble (three wires brazed together) and d for a single. NAN when a size
 * is missing. */
double bly_wire_turn_mass(const BlyPart *wire, const BlyPart *hook);

/* kg, 95 of 100: what a difference of two readings of a hundredth of a gram is known by, so what is
 * put on or taken off by the scale. Each is good to its last digit: 10 mg times sqrt 2. */
#define BLY_SCALE_GIVE 14e-6

/* By how much one hook differs from the next of its kind, a share of its mass, 95 of 100: five
 * weighed, "surprisingly large"; the number from memory. */
#define BLY_HOOK_TO_HOOK 0.05

/* kg, 95 of 100, by which a piece of wire of so much mass is off that is cut to its length by a
 * ruler: half a millimetre at the cut (from memory), and what a metre of this very wire is known
 * by, weighed once (BLY_SCALE_GIVE). NAN when the mass by the metre is. */
double bly_wire_cut_give(const BlyPart *wire, double mass);

/* Whether two words of parts (style, material, grade) are alike; both missing are. */
bool bly_words_alike(const char *a, const char *b);

/* How many turns go on the free shank in one layer; 0 when unknown. */
int bly_wire_turns_most(const BlyPart *wire, const BlyPart *hook);

/* Half-width (m) of an outline of total length `length` at s from the slot end; 0 off it. The area
 * is the integral of twice that in closed form, m2. NAN when a size is missing. */
double bly_outline_half_width(const BlyPart *outline, double length, double s);
double bly_outline_area(const BlyPart *outline, double length);

BLY_API_END

#endif
