/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Seats of a lure and what is chosen for them: plain records in SI, clean-up, and whether a choice
 * may sit on a seat at all. */
#ifndef BALLASTRY_RIG_H
#define BALLASTRY_RIG_H

#include "ballastry/parts.h"

BLY_API_BEGIN

typedef enum BlySeatKind {
    BLY_SEAT_TIE,    /* line tie: eye, and maybe ring and snap */
    BLY_SEAT_HANGER, /* eye, ring, hook, wire wraps on the hook's shank */
    BLY_SEAT_SLOT,   /* lip slot: sheet and outline */
    BLY_SEAT_PATCH,  /* place on the surface: a strip, or dots */
    BLY_SEAT_KINDS
} BlySeatKind;

typedef enum BlySeatSide {
    BLY_AT_NOSE,
    BLY_AT_BELLY,
    BLY_AT_BACK,
    BLY_AT_TAIL,
    BLY_SIDES
} BlySeatSide;

typedef struct BlySeat {
    char *name; /* "belly"; unique in a build */
    BlySeatKind kind;
    BlySeatSide side;
    double x_from, x_to; /* m. Equal: the place is fixed. PATCH: the reach that may be covered */
    double step;         /* m, > 0: the grid on which a place is chosen (default 1 mm) */
    double angle;        /* SLOT: rad below the body's axis, pointing forward and down */
    double depth;        /* SLOT: m along the plate, from the slot's mouth inward */
    double length_from, length_to; /* SLOT: whole length of the lip allowed, m; NAN: any */
    double gap;                    /* SLOT: thickest sheet that goes in, m; NAN: any */
    double width;                  /* PATCH: widest strip, m; SLOT: widest lip, m; NAN: any */
    BlyFigure load; /* TIE: what the leader adds, kg as weighed in water; 0 or NAN: nothing */
    /* Which kinds of part may still be chosen here, bits 1 << BlyPartKind; the others stay as
     * fitted. 0: the seat is fixed. A seat that is not named under "fitted" is open for all that
     * its kind carries; one that is named is fixed unless the file opens it. */
    unsigned open;
    bool open_said;      /* the file says what is open here: true, false or kinds by name */
    unsigned named;      /* kinds that it opens by name, bits 1 << BlyPartKind */
    bool may_stay_empty; /* open seats only: nothing at all is allowed here */
} BlySeat;

/* One part in a choice; part NULL: none. A mass from the scale overrides the catalog's; it is the
 * mass of all that it stands for: the lip as cut, the strip with its layers, all dots, all
 * turns of wire together. For a lip it is kept with the sheet (an outline weighs nothing). */
typedef struct BlyChosenPart {
    const BlyPart *part;
    BlyFigure weighed; /* kg; value NAN: not weighed */
} BlyChosenPart;

/* What sits on one seat. `of` is indexed by the kind of part. Zero-initialise with
 * bly_choice_empty. */
typedef struct BlyChoice {
    BlyChosenPart of[BLY_PART_KINDS];
    double x; /* m: where the seat stands; for a strip where it begins, for dots their middle */
    double length; /* m: lip's whole length, slot depth included; strip's length along the line */
    double thickness;  /* m: the sheet as filed; NAN: as bought */
    double filed;      /* m: SHEET, filed off what stands out of the body once it was glued in */
    double filed_give; /* m: how evenly; 0: as well as filed says */
    int count;         /* turns of wire; dots; layers of a strip (>= 1) */
} BlyChoice;

/* A choice for every seat, in the order of the build's seats. `at` is owned by the rig; parts
 * belong to the catalog, which must outlive it. */
typedef struct BlyRig {
    BlyChoice *at;
    size_t count;
} BlyRig;

/* Nothing at x: no parts, nothing weighed, length 0, thickness NAN, count 0. */
BlyChoice bly_choice_empty(double x);
bool bly_choice_is_empty(const BlyChoice *choice);    /* true when no part is named */
double bly_choice_wire_mass(const BlyChoice *choice); /* kg, all turns: as weighed, else by count */
bool bly_rig_init(BlyRig *rig, size_t count, BlyError *err) BLY_MUST_CHECK; /* all empty */
bool bly_rig_copy(BlyRig *to, const BlyRig *from, BlyError *err) BLY_MUST_CHECK;
void bly_rig_release(BlyRig *rig);

/* True when the choice may sit on the seat: kinds, sizes, bores, gap, width, reach; an empty choice
 * always may. Otherwise false, with why->where the seat's name and why->text the reason. It knows
 * no body: that a strip's far end and an eye's shank stay within it is found by bly_choice_items.
 */
bool bly_choice_fits(const BlySeat *seat, const BlyChoice *choice, BlyError *why);

/* The kinds of part that a seat of this kind can carry, as bits 1 << BlyPartKind. */
unsigned bly_seat_carries(BlySeatKind kind);

/* The kinds of part that may still change once the lure is finished, the same bits: what hangs
 * (ring, hook, wire), what is stuck on, and the lip, whose OUTLINE may be cut back and whose SHEET
 * be ground. Eyes stay, and so does a strip under the coat (`coated`); ring and snap at the line
 * tie are the angler's unless the file opens them by name. What the file closes, or does not name
 * beside others of the seat, stays; where the hook is named, its shank may carry wire. */
unsigned bly_seat_mendable(const BlySeat *seat, const BlyChoice *fitted, bool coated);

const char *bly_seat_kind_name(BlySeatKind kind); /* "hanger" */
const char *bly_seat_side_name(BlySeatSide side); /* "belly" */

BLY_API_END

#endif
