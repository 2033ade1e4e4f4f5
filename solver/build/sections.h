/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections of a build file, each read by a file of its own into its part of the record. They
 * run in this order: a later one may look at what an earlier one has filled in. On failure what
 * was filled in stays in the build and goes with bly_build_free. */
#ifndef BALLASTRY_BUILD_SECTIONS_H
#define BALLASTRY_BUILD_SECTIONS_H

#include "build/build.h"
#include "build/value.h"

/* "water": temperature and salinity; what is not named keeps the value that *out has. */
bool build_read_water(const BlyJson *water, BlyWaterFacts *out, BlyError *err) BLY_MUST_CHECK;
BlyWaterFacts build_usual_water(void);

/* "body": shape, facts and coats. The outside first (outside.c), then what it is made of. */
bool build_read_body(const BlyJson *body, const BlyCatalog *catalog, const BlyBuildFiles *files,
                     BlyBuild *build, BlyError *err) BLY_MUST_CHECK;
bool build_read_outside(const BlyJson *body, const BlyBuildFiles *files, BlyBuild *build,
                        BlyError *err) BLY_MUST_CHECK;

enum { BLY_STATIONS_LEAST = 2, BLY_STATIONS_MOST = 500 };

/* The text of a file that the build names at `place`; free(*text). */
bool build_fetch(const BlyJson *place, const char *name, const BlyBuildFiles *files, char **text,
                 size_t *size, BlyError *err) BLY_MUST_CHECK;
/* An error found within that file ("line 3, column 2") becomes one of the build's; returns false.
 */
bool build_blame_file(const BlyJson *place, const char *name, const BlyError *found, BlyError *err);

/* The body from the caliper list that `name` names; `section` where the list has none. */
bool build_read_calipers(const BlyJson *name, double section, const BlyBuildFiles *files,
                         BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

/* The body from an STL file, and what is to be said of that. */
bool build_read_mesh(const BlyJson *body, const BlyJson *source, const BlyBuildFiles *files,
                     BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

/* The body from its outlines, and what is to be said of that. */
bool build_read_outline(const BlyJson *body, const BlyJson *source, const BlyBuildFiles *files,
                        BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

/* Appends one line, no full stop, to build->said; false without memory. */
bool build_say(BlyBuild *build, BlyError *err, const char *fmt, ...) BLY_PRINTF(3, 4);
void build_release_said(BlyBuild *build);
/* Once the blank stands: fills build->slips with what of it is seldom meant. */
bool build_look(const BlyJson *root, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

/* The exponents that a section may have; docs/format.md. */
extern const double bly_exponent_least, bly_exponent_most;
bool build_read_coats(const BlyJson *coats, const BlyCatalog *catalog, BlyBuild *build,
                      BlyError *err) BLY_MUST_CHECK;

/* How far a material swells with warmth, and where the figure comes from. */
typedef struct Swelling {
    BlyFigure figure; /* 1/K */
    BlyOrigin origin;
} Swelling;

/* An id of the catalog, or { "density", "give", "expansion" }: *id is owned by the caller, "" when
 * written out. swelling may be NULL: then it may not be written. */
bool build_read_material(const BlyJson *material, const BlyCatalog *catalog, char **id,
                         BlyFigure *density, Swelling *swelling, BlyError *err) BLY_MUST_CHECK;

/* The member "expansion", when it is there; what the maker writes down counts as measured. */
bool build_read_expansion(const BlyJson *object, Swelling *out, BlyError *err) BLY_MUST_CHECK;

/* "pieces" of the body, once its outside and its own material are known. Unless the body has an
 * expansion of its own, its becomes the mean of all. */
bool build_read_pieces(const BlyJson *pieces, const BlyCatalog *catalog, bool own_expansion,
                       BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

/* "learnt": factors that tank tests have taught. */
bool build_read_learnt(const BlyJson *learnt, BlyBodyFacts *facts, BlyError *err) BLY_MUST_CHECK;

/* "learnt"/"lure": its name in the maker's book. */
bool build_read_lure(const BlyJson *learnt, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

/* What a leader of this kind leaves to the lure, kg as weighed in the build's water. */
bool build_read_leader(const BlyJson *leader, const BlyWaterFacts *water, BlyFigure *load,
                       BlyError *err) BLY_MUST_CHECK;

/* "learnt"/"ties": after seats and coats, which its names speak of. */
bool build_read_ties(const BlyJson *learnt, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

/* Once all is read: figures that the file leaves to be usual, as the catalog's habits have them. */
bool build_use_habits(BlyBuild *build, const BlyJson *root, BlyError *err) BLY_MUST_CHECK;
/* "readings" of the real lure on the way. */
bool build_read_log(const BlyJson *list, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

bool build_read_seats(const BlyJson *seats, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

/* "fitted": after the seats, whose `open` it settles where the file leaves it open. `fitted` may be
 * NULL: the file has none. */
bool build_read_fitted(const BlyJson *fitted, const BlyCatalog *catalog, BlyBuild *build,
                       BlyError *err) BLY_MUST_CHECK;

/* "tests" and "tools" of the target. */
bool build_read_tests(const BlyJson *target, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;
/* on_line.c: "target"/"tow", after the seats; "learnt"/"tow"; "seen". */
bool build_read_tow_wish(const BlyJson *target, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;
bool build_read_tow_learnt(const BlyJson *learnt, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;
bool build_read_seen(const BlyJson *root, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;

bool build_read_target(const BlyJson *target, BlyBuild *build, BlyError *err) BLY_MUST_CHECK;
bool build_read_limits(const BlyJson *limits, const BlyCatalog *catalog, BlyLimits *limits_out,
                       BlyError *err) BLY_MUST_CHECK;
void build_release_limits(BlyLimits *limits);

/* Marks a seat whose `open` the file does not say, until "fitted" is read. */
#define BLY_OPEN_UNSAID (~0u)

/* A part by id, with the nearest one named when there is none. */
const BlyPart *build_find_part(const BlyCatalog *catalog, const char *id, const BlyJson *field,
                               BlyError *err);

/* The place of a seat's choice in the file, "/fitted/belly", for errors found by other rooms. */
bool build_blame_seat(const char *seat, BlyError *err);

char *build_copy(const char *text, BlyError *err) BLY_MUST_CHECK;

#endif
