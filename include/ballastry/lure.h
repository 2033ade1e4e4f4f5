/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One lure put together: which lumps of mass and volume it is made of, and where they act.
 *
 * A BlyBlank is the body with its coats, made once. A BlyLure is a blank with a rig, as a list of
 * items; everything that balance, sink and fit know of a lure is in those items, and all that an
 * item adds is additive. SI, body axes. */
#ifndef BALLASTRY_LURE_H
#define BALLASTRY_LURE_H

#include "ballastry/inset.h"
#include "ballastry/rig.h"

BLY_API_BEGIN

/* At which stage the scale was read. The figure includes all that was on the lure by then. */
typedef enum BlyStage {
    BLY_STAGE_BLANK,    /* bare, before slots and eyes */
    BLY_STAGE_CUT,      /* slot cut and eye holes drilled, nothing mounted */
    BLY_STAGE_EYED,     /* eyes and lip mounted */
    BLY_STAGE_COATED,   /* and coated, surface metal under the coat */
    BLY_STAGE_COMPLETE, /* and hooks, rings, snaps hung */
    BLY_STAGES
} BlyStage;
extern const char *const bly_stage_words[BLY_STAGES]; /* "blank", "cut", .. as in build files */

typedef struct BlyCoat {
    char *material;      /* id */
    char *way;           /* of coating, the maker's own word; NULL or "": not said */
    BlyFigure density;   /* kg/m3 */
    BlyFigure thickness; /* m, >= 0 */
} BlyCoat;

/* What the body is made of and how it was measured. Values that are not known are NAN. */
typedef struct BlyBodyFacts {
    BlyFigure density; /* kg/m3: from the material; used when there is no mass */
    BlyFigure mass;    /* kg on the scale at `stage`, all pieces in; NAN: not weighed */
    BlyStage stage;
    BlyFigure balance;    /* m from the nose, centre of mass of the bare body; NAN: its centroid */
    BlyFigure balance_up; /* m, height of that centre; NAN: the centroid's */
    /* Of a body with pieces these two are those of the blank with all of them in, or (false) of its
     * own material alone, as if that filled the whole of it. */
    bool balance_of_all, balance_up_of_all;
    const BlyInset *insets; /* borrowed: the pieces glued into it, placed; NULL: none */
    size_t inset_count;
    BlyFigure volume_share;     /* value 1: factor on the shape's volume, with its give */
    BlyFigure expansion;        /* 1/K linear; NAN: not known */
    BlyOrigin expansion_origin; /* BLY_FROM_MEMORY: results say so */
    BlyFigure soak;             /* share of the dry mass taken up as water, spread over the body */
    double reference_t;         /* deg C at which sizes and volume were taken; 20 */
    BlyFigure drag_factor;      /* 1 until a tank test says otherwise */
    BlyFigure munk_factor;      /* 0 to 1, share of the ideal-flow couple that acts */
} BlyBodyFacts;

typedef enum BlyItemKind {
    BLY_ITEM_BODY,  /* the bare body's own material: it displaces as the hull, volume here is 0 */
    BLY_ITEM_INSET, /* a piece glued in; its volume here is what stands out */
    BLY_ITEM_COAT,
    BLY_ITEM_REMOVED, /* wood or resin taken out by a shank or a slot: mass < 0 */
    BLY_ITEM_PART,    /* anything from the catalog */
    BLY_ITEM_LOAD,    /* leader on the tie */
    BLY_ITEM_SOAK     /* water taken up */
} BlyItemKind;

typedef enum BlyFaceKind { BLY_FACE_NONE, BLY_FACE_PLATE, BLY_FACE_WIRE } BlyFaceKind;

typedef struct BlyItem {
    BlyItemKind kind;
    int seat;            /* index into the seats; -1: the blank's own */
    const BlyPart *part; /* NULL for the blank's own */
    double mass;         /* kg */
    double mass_give;    /* kg, 95 of 100 */
    BlyVec3 at;          /* m, centre of mass; for what hangs: the point it hangs from */
    int inset;           /* INSET: which; REMOVED: which it was taken from; -1: the body's own */
    double taken;        /* REMOVED: m3 of the bare body, hollows and all */
    double taken_own;    /* and as much of its material at its mean density, m3 */
    double volume;       /* m3 that it displaces outside the hull */
    /* Where the volume is: spread evenly along the line from..to (body axes). For what hangs,
     * both are the hanging point and the volume reaches from hang_from to hang_to (m) straight
     * below it, whatever the attitude; its mass acts there too at the surface. */
    BlyVec3 from, to;
    bool hangs;
    double hang_from, hang_to;
    /* What the flow meets. */
    BlyFaceKind face;
    double face_area;    /* m2: plate's face (one side), or wire's area met across: 3 pi/16 of
                          * diameter times length, docs/lure.md */
    double face_size;    /* m: plate's shorter side, or wire diameter */
    double face_across;  /* m: plates: how wide across the lure; 0: as face_size */
    double face_aspect;  /* longer side over shorter; plates */
    BlyVec3 face_normal; /* plates; wires: unused, met across */
    BlyVec3 face_at;     /* m, where its drag acts */
} BlyItem;

/* The body with its coats. Its fields are the library's own; builds hold one
 * (bly_build_blank). */
typedef struct BlyBlank BlyBlank;

/* Puts a blank together. Coats lie on the bare body, which is borrowed, in the given order. `seats`
 * and `fitted` are needed only when the mass was read at a later stage than BLANK: what was on by
 * then is taken off. Fails when a mass or thickness is out of range, or when the scale says less
 * than what is mounted weighs; *out is NULL then. Free with bly_blank_free. */
bool bly_blank_new(const BlyBody *bare, const BlyBodyFacts *facts, const BlyCoat *coats,
                   size_t coat_count, const BlySeat *seats, const BlyRig *fitted, BlyBlank **out,
                   BlyError *err) BLY_MUST_CHECK;
void bly_blank_free(BlyBlank *blank); /* NULL is none; never one that a build holds */

/* What it is made of: borrowed, for as long as the blank lives. */
const BlyBody *bly_blank_hull(const BlyBlank *blank); /* body and coats, what the water meets */
const BlyBodyFacts *bly_blank_facts(const BlyBlank *blank);
const BlyItem *bly_blank_items(const BlyBlank *blank, size_t *count); /* body, coats, soak */
double bly_blank_body_mass(const BlyBlank *blank); /* kg, dry and bare, pieces in, nothing cut */
/* m3 that the hull displaces at the temperature at which sizes were taken, corrected by
 * volume_share; its centroid in *centroid, which may be NULL. */
double bly_blank_hull_volume(const BlyBlank *blank, BlyVec3 *centroid);

/* kg/m3 of the bare body at a point, and in *inset the piece that it lies in; -1: its own material,
 * of which it is the mean density where there are hollows or infill.
 */
double bly_blank_density(const BlyBlank *blank, BlyVec3 point, int *inset);

/* The stage from which on an item is on the lure when it is weighed; BLY_STAGES: never (a leader,
 * water taken up). */
BlyStage bly_item_stage(const BlyItem *item);

/* What is seen of the hull along the vertical when it lies nose-down by t (rad, any): as
 * bly_body_seen(hull, bly_vec_up(t, 0)), from a table, smooth in t. */
BlyArea bly_blank_seen(const BlyBlank *blank, double t);

/* What else drag asks of the hull's shape: the mean of the areas seen from all sides square to a
 * flow along z (the lure lies level) or along x (it hangs upright), m2, and bly_body_blunt. */
typedef struct BlySides {
    double level, upright;
    double blunt[2];
} BlySides;
BlySides bly_blank_sides(const BlyBlank *blank);

enum { BLY_CHOICE_ITEMS = 12 };

/* What one choice adds to the blank: at most BLY_CHOICE_ITEMS items. The same function serves the
 * whole lure and the columns of the programme. Of one piece in two items (an eye's loop and shank,
 * a lip's inner and outer piece) the gives stand in the ratio of the masses: they vary together.
 * Fails when a seat is off the body (BLY_E_RANGE), a strip ends beyond its reach (BLY_E_RANGE), a
 * shank is longer than the body is high there (BLY_E_CONFLICT), or a mass or density that is
 * needed is not known (BLY_E_MISSING); err->where is the seat's name. Sizes that are not known
 * count as nothing. bly_choice_fits is not asked. */
bool bly_choice_items(const BlyBlank *blank, const BlySeat *seat, int seat_index,
                      const BlyChoice *choice, BlyItem out[BLY_CHOICE_ITEMS], size_t *count,
                      BlyError *err) BLY_MUST_CHECK;

/* Volume of a piece that is `modelled` kg and `volume` m3 by the catalog: where it was weighed, in
 * the ratio of the masses, for what weighs more is more metal; as it is where it was not, or where
 * the volume was read by itself. Strips and sheets keep their sizes. */
double bly_chosen_volume(const BlyChosenPart *piece, double modelled, double volume);

typedef struct BlyLure {
    const BlyBlank *blank; /* borrowed */
    BlyItem *items;        /* owned: the blank's first, then seat by seat */
    size_t count;
} BlyLure;

bool bly_lure_make(const BlyBlank *blank, const BlySeat *seats, const BlyRig *rig, BlyLure *out,
                   BlyError *err) BLY_MUST_CHECK;
void bly_lure_release(BlyLure *lure);

/* Factor on the hull's volume at a temperature: 1 + 3 alpha (t - reference). 1 where unknown. */
double bly_blank_swelling(const BlyBlank *blank, double temperature);

/* The point of the bare body's surface where a seat at x is (m, body axes): on the belly or back
 * line, or for nose and tail on the line of the sections' centres. NAN when x is off the body.
 * bly_seat_hang: where the eye's loop (NULL: no eye, the surface point) holds its chain: the
 * lowest inside of a loop that stands off the surface by its outer diameter. */
BlyVec3 bly_seat_surface(const BlyBlank *blank, const BlySeat *seat, double x);
BlyVec3 bly_seat_hang(const BlyBlank *blank, const BlySeat *seat, double x, const BlyPart *eye);

/* How far (m) a hook's bend can swing from the point where its chain hangs; 0 when the item is no
 * hanging hook. */
double bly_hook_reach(const BlyItem *item);

/* The room that a hanging hook takes: where its chain hangs (m, body axes), how far it swings from
 * there (0: no hook), and how far its points stand off to the side while it hangs still. */
typedef struct BlySwing {
    BlyVec3 at;
    double reach, side;
} BlySwing;
BlySwing bly_hook_swing(const BlyItem *item);

/* What is left between two hooks, m. */
#define BLY_HOOK_CLEARANCE 1e-3

/* Two hooks touch where one in full swing does not clear the other hanging still: the distance of
 * their loops is less than the reach of one, the side of the other and BLY_HOOK_CLEARANCE. Lures
 * that are sold have hooks which would meet if both swung at once. Common practice, no source. */
bool bly_swings_touch(const BlySwing *a, const BlySwing *b);
/* The distance of the loops, m, that two hooks need; -HUGE_VAL where one is none. */
double bly_swings_room(const BlySwing *a, const BlySwing *b);
bool bly_hooks_touch(const BlyItem *a, const BlyItem *b);
bool bly_lure_hooks_touch(const BlyLure *lure); /* any two of the lure's hooks */

BLY_API_END

#endif
