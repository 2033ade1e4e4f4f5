/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cast blanks: how much of each resin part and of a light filler to weigh out, what density the
 * blank comes out with, and what to mind. Formulas, sources and tests: docs/pour.md.
 *
 * kg, m3, kg/m3, deg C; shares 0 to 1; a value that is not known is NAN. A figure's give is the
 * half-width that 95 of 100 keep. Nothing here allocates or keeps what it is given. */
#ifndef BALLASTRY_POUR_H
#define BALLASTRY_POUR_H

#include "ballastry/parts.h"

BLY_API_BEGIN

/* A burl, a cone, a wire frame: what lies in the mould before the pour. Every give is its own
 * piece's, so several pieces add as squares. */
typedef struct BlyEmbedded {
    BlyFigure mass;   /* kg, >= 0 */
    BlyFigure volume; /* m3, > 0; sealed, the water that it pushes aside (bly_pour_water_volume) */
} BlyEmbedded;

typedef struct BlyMould {
    BlyFigure volume;   /* m3, > 0 to 1 */
    bool pieces_inside; /* the volume was measured with the pieces in: it is what is left free */
    const BlyEmbedded *pieces; /* borrowed; NULL when piece_count is 0 */
    size_t piece_count;
} BlyMould;

/* What the filler is and how its amount is known: at most one of packed, gap_water, mass and
 * target, the others NAN; all NAN: plain resin. */
typedef struct BlyFiller {
    BlyFigure density; /* kg/m3, true density of the pieces, not of a scoop; 1 to 25000 */
    /* false: the filler fills the mould dry and resin is poured into its gaps.
     * true: it is stirred into the resin; then an allowance takes filler too. */
    bool stirred;
    BlyFigure packed; /* share of the free volume (stirred: of the mix) that is filler, 0 to <1 */
    BlyFigure gap_water;      /* kg of water that fills the gaps of the dry filled vessel */
    BlyFigure gap_vessel;     /* m3 of that vessel; NAN: it is the mould with its pieces */
    double water_temperature; /* deg C of that water, 0 to 40; NAN: 20 */
    BlyFigure mass;           /* kg that goes in, all of it */
    double target;            /* kg/m3 that the whole blank shall have */
    BlyFigure poured;         /* packed share of a scoop of it; NAN: as in the mould when
                               * packed or gap_water tell that, else BLY_POUR_SCOOP */
} BlyFiller;

/* Packed share of a scoop where the filler's own is not known; from memory, hence the note. */
#define BLY_POUR_SCOOP 0.62

typedef enum BlyResinKind { BLY_RESIN_OTHER, BLY_RESIN_EPOXY, BLY_RESIN_URETHANE } BlyResinKind;

/* A resin of two parts, A and B (hardener). Ratios are parts of A to one of B: "100:90" is 1.111.
 * Enough is: by volume with both densities; or by weight with both densities or the cured one; or
 * both ratios with one density, or with the cured density. */
typedef struct BlyResin {
    BlyResinKind kind;
    double by_weight; /* 0.01 to 100 */
    double by_volume;
    BlyFigure a_density, b_density; /* kg/m3, liquid, 500 to 5000 */
    BlyFigure cured_density;        /* kg/m3; NAN: from liquid volumes and shrinkage */
    BlyFigure
        shrinkage; /* share of volume lost in curing, 0 to 0.2; NAN: from the densities, or 0 */
} BlyResin;

/* Zero is valid: no allowance, scale not known. */
typedef struct BlyPourBench {
    double allowance_share;  /* of what goes into the mould, 0 to 10, for cup and sprue; or */
    double allowance_volume; /* m3, 0 to 1; not both */
    double scale_give;       /* kg, half-width of one reading of the scale */
} BlyPourBench;

typedef struct BlyPour {
    BlyMould mould;
    BlyFiller filler;
    BlyResin resin;
    BlyPourBench bench;
} BlyPour;

/* A pour in which nothing is known yet: all NAN, to be filled by a reader. */
BlyPour bly_pour_blank(void);

typedef enum BlyFillerBy {
    BLY_FILLER_NONE,
    BLY_FILLER_PACKED,
    BLY_FILLER_GAP_WATER,
    BLY_FILLER_MASS,
    BLY_FILLER_TARGET
} BlyFillerBy;

/* The inputs whose gives spread to the blank. */
typedef enum BlyPourInput {
    BLY_POUR_MOULD_VOLUME,
    BLY_POUR_PIECES_MASS,
    BLY_POUR_PIECES_VOLUME,
    BLY_POUR_FILLER_DENSITY,
    BLY_POUR_FILLER_AMOUNT, /* packed share, gap water or mass */
    BLY_POUR_GAP_VESSEL,
    BLY_POUR_A_DENSITY,
    BLY_POUR_B_DENSITY,
    BLY_POUR_CURED_DENSITY,
    BLY_POUR_SHRINKAGE,
    BLY_POUR_INPUTS
} BlyPourInput;
const char *bly_pour_input_words(BlyPourInput input); /* "true density of the filler" */

/* Things to say beside a result; words by bly_pour_note_words. */
typedef enum BlyPourNote {
    BLY_POUR_DATA_SHEET = 1 << 0, /* always: the maker's sheet goes before this */
    BLY_POUR_POT_LIFE = 1 << 1,   /* always */
    BLY_POUR_SKIN = 1 << 2,       /* always */
    BLY_POUR_VAPOUR = 1 << 3,     /* always */
    BLY_POUR_DUST = 1 << 4,       /* always: filler, and sanding what has cured */
    BLY_POUR_HEAT = 1 << 5,       /* more than BLY_POUR_HEAT_MASS of resin at once */
    BLY_POUR_SMALL = 1 << 6,      /* less than BLY_POUR_SMALL_MASS of resin */
    BLY_POUR_SCALE = 1 << 7,      /* the scale alone can spoil the ratio by more than 5 % */
    BLY_POUR_MOISTURE = 1 << 8,   /* urethane foams on moisture */
    BLY_POUR_DRY = 1 << 9,        /* the filler was wet for the gap reading */
    BLY_POUR_SWAP = 1 << 10,      /* ratios by weight and by volume differ by more than 5 % */
    BLY_POUR_DISAGREE = 1 << 11,  /* ratios and densities of the resin differ by more than 5 % */
    BLY_POUR_FLOATS = 1 << 12,    /* filler lighter than the liquid: hold it down */
    BLY_POUR_SETTLES = 1 << 13,   /* filler heavier than the liquid */
    BLY_POUR_PIECES_FLOAT = 1 << 14,
    BLY_POUR_LOOSE = 1 << 15,         /* dry filler that does not fill the mould: it will gather */
    BLY_POUR_THICK = 1 << 16,         /* stirred above BLY_POUR_CREAM: thick cream */
    BLY_POUR_TOO_FULL = 1 << 17,      /* above BLY_POUR_FULLEST: more than loose pieces pack */
    BLY_POUR_SCOOP_GUESSED = 1 << 18, /* the scoop uses BLY_POUR_SCOOP, from memory */
    BLY_POUR_LIGHTER_CURED = 1 << 19, /* cured density below the liquid's: bubbles, or a misprint */
    BLY_POUR_ROUGH = 1 << 20,         /* gives so wide that the range is not even on both sides */
    BLY_POUR_LIQUID_UNKNOWN = 1 << 21 /* no liquid density: no volumes, lift by the cured one */
} BlyPourNote;
enum { BLY_POUR_NOTE_COUNT = 22 };
const char *bly_pour_note_words(BlyPourNote note); /* one sentence, never NULL; one bit */

#define BLY_POUR_HEAT_MASS 0.1   /* kg: 100 g of epoxy in a pot can pass 200 C (trade report) */
#define BLY_POUR_SMALL_MASS 0.1  /* kg: below it ratio errors and weak cure (trade report) */
#define BLY_POUR_RATIO_KEEP 0.05 /* keep the mix ratio within 5 % (a maker's data sheet) */
#define BLY_POUR_CREAM 0.40      /* share of filler; from memory */
#define BLY_POUR_LOOSEST 0.55    /* random loose packing of equal spheres, published */
#define BLY_POUR_FULLEST 0.64    /* random close packing of equal spheres, published */

typedef struct BlyPortion {
    double mass;   /* kg, for the scale */
    double volume; /* m3, for the cup; NAN: not known */
} BlyPortion;

typedef struct BlyPourPlan {
    /* To weigh out, allowance included. a and b by mass follow the ratio by weight, by volume the
     * ratio by volume; never one by the other. */
    BlyPortion a, b;
    BlyPortion filler;   /* volume: true volume of its pieces */
    double filler_scoop; /* m3 of the same filler as scooped, gaps included */
    double left_over;    /* kg of resin (stirred: of mix) meant for cup and sprue */

    /* The resin. */
    double by_weight, by_volume; /* A to one B; by_volume NAN: not known */
    double swap_weighed;   /* relative error of the ratio if the ratio by volume is weighed out */
    double swap_measured;  /* and if the ratio by weight is measured in cups; NAN: not known */
    double scale_error;    /* relative error of the ratio by the scale, 95 of 100; NAN: no scale */
    double liquid_density; /* kg/m3; NAN: not known */
    double cured_density;
    double shrinkage; /* share of volume; NAN: not known */

    /* The filler in the blank. */
    BlyFillerBy filler_by;
    double share_by_volume; /* of mix, pieces not counted */
    double share_by_mass;
    double mix_density;      /* kg/m3 of resin and filler, cured */
    double lightest_density; /* kg/m3 of the mix at BLY_POUR_FULLEST; NAN: no filler */
    double filler_lift;      /* kg by which the filler in the mould presses upwards in the liquid;
                              * negative: it settles */
    double pieces_lift;      /* kg, those embedded pieces that float; the others do not hold them */

    /* The blank as it leaves the mould, cut at the sprue. */
    double free_volume;  /* m3 for resin and filler */
    double blank_volume; /* m3, pieces included */
    double sink_volume;  /* m3 the resin draws in while it shrinks: the sprue must feed it */
    BlyFigure mass;      /* kg */
    BlyFigure density;   /* kg/m3 */
    double influence[BLY_POUR_INPUTS]; /* share of the density's variance, sum 1; 0 with no give */
    unsigned notes;                    /* BlyPourNote bits */
} BlyPourPlan;

/* Works a pour out. On failure *out is untouched; places: "/mould/volume",
 * "/mould/pieces/N/mass", "/mould/pieces/N/volume", "/filler/density", "/filler/packed",
 * "/filler/gap_water", "/filler/gap_vessel", "/filler/water_temperature", "/filler/mass",
 * "/filler/target", "/filler/poured", "/resin/by_weight", "/resin/by_volume", "/resin/a_density",
 * "/resin/b_density", "/resin/cured_density", "/resin/shrinkage", "/bench/allowance_share",
 * "/bench/allowance_volume", "/bench/scale_give".
 * BLY_E_RANGE: out of range, NaN, infinite, no room left, or a target that this filler and resin
 * cannot make; BLY_E_MISSING: too little known; BLY_E_CONFLICT: too much, or figures that cannot
 * both hold. Whatever can be made but not well is a note and not an error. */
bool bly_pour_plan(const BlyPour *pour, BlyPourPlan *out, BlyError *err) BLY_MUST_CHECK;

/* m3 of fresh water of a mass or a rise of the scale (kg) at a temperature (deg C): a mould filled
 * from the scale, or a piece held under in a cup. Air's buoyancy (0.1 %) is left out. Places:
 * "/mass", "/temperature". Source: Tanaka et al. 2001 (docs/water.md). */
bool bly_pour_water_volume(double mass, double temperature, double *out,
                           BlyError *err) BLY_MUST_CHECK;

/* Share by volume of filler in a mix of wanted density: (resin - target)/(resin - filler), true
 * densities, kg/m3. NAN when the two are equal; outside 0..1 it cannot be made. */
double bly_mix_share(double resin_density, double filler_density, double target);

/* A mix as a body's material. */
typedef enum BlyMixBy { BLY_MIX_BY_VOLUME, BLY_MIX_BY_MASS } BlyMixBy;
typedef struct BlyMix {
    BlyFigure resin_density;  /* kg/m3, cured */
    BlyFigure filler_density; /* kg/m3, true */
    BlyFigure share;          /* of filler, 0 to 1 */
    BlyMixBy by;
    BlyFigure resin_expansion; /* 1/K, linear; NAN: not known */
    BlyFigure filler_expansion;
} BlyMix;

/* Density and linear expansion of a mix, each with its give.
 * Density: volumes add; give to first order. Expansion: weighted by volume (equal stress in both),
 * its give widened by share (1 - share) |difference|, which covers a filler between half and twice
 * as stiff as the resin (Turner 1946); say of it `from memory`. *expansion.value is NAN where
 * one of the two is not known, unless its share is 0. Either out may be NULL. Places:
 * "/resin/density", "/filler/density", "/share", "/resin/expansion", "/filler/expansion". */
bool bly_mix_figures(const BlyMix *mix, BlyFigure *density, BlyFigure *expansion,
                     BlyError *err) BLY_MUST_CHECK;

/* Packed shares as published: how much of a poured heap is solid. */
typedef struct BlyPacking {
    const char *name; /* "granulate" */
    const char *words;
    double low, high; /* share of volume */
    BlyOrigin origin;
    const char *source;
} BlyPacking;

/* The table, in order of name; lives as long as the program. */
const BlyPacking *bly_packings(size_t *count);
const BlyPacking *bly_packing_find(const char *name); /* NULL: not there */
/* Middle and half-width of a record. */
BlyFigure bly_packing_figure(const BlyPacking *packing);

BLY_API_END

#endif
