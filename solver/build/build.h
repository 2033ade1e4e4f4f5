/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a build is inside, for the rooms that work with it; programs that use the library have it
 * closed (ballastry/build.h), so that a new field breaks nobody. */
#ifndef BALLASTRY_BUILD_BUILD_H
#define BALLASTRY_BUILD_BUILD_H

#include "ballastry/pour.h"
#include "ballastry/build.h"
#include "book/book.h"
#include "lure/blank.h"

enum { BUILD_NAME_MAX = 128, BUILD_TIES_MOST = 64 };
/* Names by which ties that follow from the maker's book speak of figures that no file holds. */
#define BUILD_DENSITY_NAME "/body/density"
#define BUILD_PART_NAME "/parts/%.90s/mass"

/* A figure that the build leaves to be usual, and what the maker's book says of it. */
typedef struct BuildHabit {
    char name[BUILD_NAME_MAX]; /* as ties have it: "/body/coats/0/thickness" */
    int habit;                 /* of the catalog's habits */
    bool taken;             /* false: what is planned is another thing than the book's lures had */
    BlyFigure planned, now; /* as it would be without the book, and as it is; SI */
} BuildHabit;

/* What lures of this shape taught on the water, by build_tow_factor_key: factors on the lip's force
 * and on hooks and rings, shift of the lip's centre of pressure in chords. A give of 0: not learnt.
 * r: correlations of wire with lip, centre with lip, centre with wire. */
enum { BUILD_TOW_FACTORS = 3, BUILD_TOW_TIES = 3 };
typedef struct BuildTowLearnt {
    bool any;
    bool by_book; /* these are the maker's book's, of lures of this shape */
    BlyFigure by[BUILD_TOW_FACTORS];
    double r[BUILD_TOW_TIES];
    char **read; /* owned: the readings that taught it, as words */
    size_t read_count;
} BuildTowLearnt;
enum { BUILD_TOW_READ_MOST = 32, BUILD_SEEN_MOST = 16, BUILD_SEEN_LONGEST = 160 };
const char *build_tow_factor_key(int factor); /* "lip_factor" */

enum { BUILD_READ_KINDS = 7, BUILD_READINGS_MAX = 64, BUILD_DATE_MAX = 11 };

/* What was read of the real lure on the way, as the file keeps it. */
typedef struct BuildReading {
    BlyStage stage;
    int kind; /* BlyReadingKind (tank.h) */
    BlyFigure read;
    BlyFigure planned; /* kg, of a scale: what the build said before it; value NAN: not kept */
    char on[BUILD_DATE_MAX]; /* "2031-04-30"; "": not said */
} BuildReading;

struct BlyBuild {
    char *name;
    BlyWaterFacts water; /* the build's own water */
    BlyBody *shape;      /* owned */
    char *material;      /* id, "" when given by density */
    BlyBodyFacts facts;
    BlyInset *insets; /* owned; the pieces that facts.insets points to */
    size_t inset_count;
    BlyFigure filled; /* share of the outer volume that is material: 1, less for hollow and printed
                         bodies; facts.density has it in already */
    BlyCoat *coats;
    size_t coat_count;
    BlySeat *seats; /* in the order of the file */
    size_t seat_count;
    BlyRig fitted; /* by seat; free seats carry what is fitted now, or nothing */
    bool has_target;
    BlyTarget target;
    BlyWaterFacts
        *target_waters; /* at least one when has_target: the build's water if none named */
    size_t target_water_count;
    int tests;      /* in the tank that the maker is willing to make, 0 to BLY_TESTS_MAX */
    unsigned tools; /* bits 1 << BlyTool that they are read with */
    bool has_tow_wish;
    BlyTowWish tow_wish;
    BuildTowLearnt tow_learnt;
    bool has_seen; /* the file has "seen", if only an empty list */
    char **seen;   /* owned: what was seen on the water, as words; nothing is computed from it */
    size_t seen_count;
    BlyLimits limits;
    unsigned assumed; /* rules (rules.h) that filled in what target and limits are silent about */
    bool roll_assumed;
    char **tied; /* figures that hang together: "/body/mass", "/fitted/belly/hook/ID" .. */
    size_t tied_count;
    double *tie;        /* tied_count squared, their correlations */
    bool tied_by_book;  /* these follow from the maker's book, not from a tank test of this lure */
    char *lure;         /* owned: its name in the book that a tank test gave it; NULL: none */
    BuildHabit *habits; /* owned: what the maker's book was asked for */
    size_t habit_count;
    BuildReading *readings; /* owned; in the order of the file */
    size_t reading_count;
    BlyBlank blank; /* made from the above */
    char **said;    /* owned: what reading the body found or assumed, a line each, for people */
    size_t said_count;
    BlySlips slips;   /* owned: what of body, coats, pieces, water and seats is seldom meant */
    double mesh_unit; /* m, of the numbers in the body's mesh; NAN: no mesh */
    const BlyCatalog *catalog; /* borrowed: the one it was read with */
    void *doc;                 /* the file as read; private to the room */
};

/* Keys of the book (book/book.h) for the body's material, a piece of it, a coat, and the body's
 * shape; "" where it is written out and has none. */
void build_body_key(const BlyBuild *build, char out[BOOK_KEY_MAX]);
void build_piece_key(const BlyBuild *build, size_t piece, char out[BOOK_KEY_MAX]);
void build_coat_key(const BlyBuild *build, size_t coat, char out[BOOK_KEY_MAX]);
void build_shape_key(const BlyBuild *build, char out[BOOK_KEY_MAX]);
/* ---- around.c ---- */

/* bly_build_around with a "target" of the caller's own, as JSON without its name (NULL: the usual
 * suspender), and maybe without a lip: then its patch reaches as far as the body carries a strip
 * that is sold, so that metal can lie ahead of the belly hook and behind it. */
bool build_around(const BlyAround *around, const char *target, bool lipless, char **text,
                  BlyError *err) BLY_MUST_CHECK;

/* ---- carry.c ---- */

/* At a seat `to` takes the place of `from`, which may be the same part; its mass is known by the
 * difference, so that `share` of its doubt is that of `from`. */
typedef struct BuildCarry {
    int seat;
    BlyPartKind kind;
    const BlyPart *from, *to;
    double share; /* 0 to 1 */
} BuildCarry;

/* How figures hang together, as `tied` and `tie` of a build; owned. */
typedef struct BuildTies {
    char **tied;
    double *tie;
    size_t count;
} BuildTies;

/* The build's ties with these carried over; build_ties_free. NULL only without memory. */
BuildTies *build_ties_carry(const BlyBuild *build, const BuildCarry *carry, size_t count,
                            BlyError *err);
void build_ties_free(BuildTies *ties);
/* bly_build_text_with_rig with these ties. */
bool build_text_mended(const BlyBuild *build, const BlyRig *rig, const BuildTies *ties, char **text,
                       BlyError *err) BLY_MUST_CHECK;

/* ---- material.c ---- */

/* What the body's own material is mixed of; false: it is no mix. */
bool build_mix(const BlyBuild *build, const BlyCatalog *catalog, BlyMix *out);

/* ---- log.c ---- */

extern const char *const build_reading_keys[BUILD_READ_KINDS]; /* of the file: "scale" .. */
bool build_is_date(const char *text);
/* The furthest stage that a reading speaks of; false: nothing was read. */
bool build_reached(const BlyBuild *build, BlyStage *stage);
/* By what was read eyes and lip are in: no other body, eye or lip will come of it. */
bool build_is_glued(const BlyBuild *build);
/* The scale's reading of the furthest stage, the latest of them; NULL: none. */
const BuildReading *build_last_scale(const BlyBuild *build);
/* The kinds of part, bits 1 << BlyPartKind, that are glued in or coated over by the stage reached:
 * they stay as fitted. */
unsigned build_mounted(const BlyBuild *build, size_t seat);

#endif
