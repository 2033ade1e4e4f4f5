/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Build files: one lure's body, coats, seats, fitted parts, water and target, as JSON text and as
 * a build that the other rooms work with. The only room that knows the JSON of builds.
 * docs/format.md describes the file. */
#ifndef BALLASTRY_BUILD_H
#define BALLASTRY_BUILD_H

#include "ballastry/slip.h"
#include "ballastry/lure.h"
#include "ballastry/rest.h"
#include "ballastry/tools.h"

BLY_API_BEGIN

typedef struct BlyWaterFacts {
    BlyFigure temperature; /* deg C; give in K */
    BlyFigure salinity;    /* kg/kg */
} BlyWaterFacts;

enum { BLY_TARGET_WATERS_MAX = 4 };

/* What the search may do. */
typedef struct BlyLimits {
    int hook_rank_low, hook_rank_high;    /* 0, 0: any */
    double eye_wire_low, eye_wire_high;   /* m, of an eye's wire; 0, 0: any */
    unsigned grades;                      /* of hooks, bits 1 << bly_hook_grade; 0: any */
    double lip_free_low, lip_free_high;   /* m that a lip stands out; 0, 0: any */
    double lip_gauge_low, lip_gauge_high; /* m, a lip's thickness as it is glued in; 0, 0: any */
    bool same_hooks;                      /* every hanger carries the same hook */
    bool lead_free, lead_said;            /* said: the build speaks of lead at all */
    bool box_only;     /* nothing that is not in the maker's box, save outlines */
    unsigned allow;    /* rules of the craft (rules.h) that may be broken, bits */
    int changes_most;  /* seats that may differ from `fitted`; -1: any number */
    double price_most; /* NAN: any */
    char **only;       /* ids, or beginnings of ids ending in '*'; none: all */
    size_t only_count;
    char **never;
    size_t never_count;
} BlyLimits;

/* What a target asks of the lure drawn on a line. Bands may be open. */
typedef struct BlyTowWish {
    double speed;                 /* m/s, of the draw */
    double nose_low, nose_high;   /* rad */
    double depth_low, depth_high; /* m, trolled */
    double under_most; /* m/s, drawn under at this speed or slower; INFINITY: not asked */
    double length, diameter, rod; /* m, of the line, and how high the rod's tip is */
} BlyTowWish;

/* A build. Its fields are the library's own: what stands below reads them. */
typedef struct BlyBuild BlyBuild;

/* Reads a build. Names of parts and materials are looked up in `catalog`, which must outlive the
 * build. Errors carry a JSON Pointer. bly_begin was called before (version.h). On failure *out is
 * NULL. Free with bly_build_free. */
bool bly_build_read(const char *text, size_t size, const BlyCatalog *catalog, BlyBuild **out,
                    BlyError *err) BLY_MUST_CHECK;

/* Where the texts of files come from that a build names ("stations": "minnow.csv"). This room opens
 * no file: the caller decides what a name means and which names it refuses. `read` gives the whole
 * text, NUL behind its *size bytes, freed by this room; on failure it fills err: a BLY_E_IO keeps
 * the place that it names, any other gets the JSON Pointer of the name. */
typedef struct BlyBuildFiles {
    bool (*read)(void *context, const char *name, char **text, size_t *size, BlyError *err);
    void *context;
    struct BlyKept *kept; /* NULL: each mesh is worked through anew */
} BlyBuildFiles;

/* The last two bodies made from meshes, with their files' bytes: a build that is read again and
 * again, as the page does, finds its body made unless the file or what is said of it has changed.
 * Shared by threads. Owned by who made it, who frees it when nothing reads any more; the bodies
 * live on in their builds. */
typedef struct BlyKept BlyKept;
BlyKept *bly_kept_make(BlyError *err) BLY_MUST_CHECK; /* NULL without memory */
void bly_kept_free(BlyKept *kept);

/* The same as bly_build_read, with files at hand. files == NULL: a build that names one is refused
 * (BLY_E_MISSING), as in bly_build_read. */
bool bly_build_read_with(const char *text, size_t size, const BlyCatalog *catalog,
                         const BlyBuildFiles *files, BlyBuild **out, BlyError *err) BLY_MUST_CHECK;
void bly_build_free(BlyBuild *build);

/* Puts the build into another water: this temperature (deg C; NULL: as it is) and salinity (kg/kg;
 * NULL: as it is) stand in place of its own and of each water of the target; target waters that
 * become the same become one. What hangs from the tie is weighed in it. The file's text stays, so
 * what is written of the build keeps its own waters. BLY_E_RANGE beyond 0 to 40 C, 0 to 42 g/kg. */
bool bly_build_in_water(BlyBuild *build, const BlyFigure *temperature, const BlyFigure *salinity,
                        BlyError *err) BLY_MUST_CHECK;
/* What a build holds: borrowed, for as long as the build lives. */
const char *bly_build_name(const BlyBuild *build);
const BlyWaterFacts *bly_build_water(const BlyBuild *build); /* its own water */
const BlyBody *bly_build_body(const BlyBuild *build);        /* bare, without coats */
const char *bly_build_material(const BlyBuild *build);       /* id, "" when given by density */
const BlyBodyFacts *bly_build_facts(const BlyBuild *build);
const BlyCoat *bly_build_coats(const BlyBuild *build, size_t *count);
const BlyBlank *bly_build_blank(const BlyBuild *build);
const BlySeat *bly_build_seats(const BlyBuild *build, size_t *count); /* in the file's order */
/* By seat; free seats carry what is fitted now, or nothing. To change it, copy it (rig.h). */
const BlyRig *bly_build_fitted(const BlyBuild *build);
const BlyTarget *bly_build_target(const BlyBuild *build); /* NULL: none */
/* At least one where there is a target: the build's water if none is named. */
const BlyWaterFacts *bly_build_target_waters(const BlyBuild *build, size_t *count);
const BlyTowWish *bly_build_tow_wish(const BlyBuild *build); /* NULL: none */
const BlyLimits *bly_build_limits(const BlyBuild *build);
/* What reading the body found or assumed, a line each; what of it is seldom meant. */
const char *const *bly_build_said(const BlyBuild *build, size_t *count);
const BlySlips *bly_build_own_slips(const BlyBuild *build);

/* The build's blank with a rig on its seats (NULL: as fitted). Release with bly_lure_release,
 * before the build is freed. Errors as bly_lure_make. */
bool bly_build_lure(const BlyBuild *build, const BlyRig *rig, BlyLure *out,
                    BlyError *err) BLY_MUST_CHECK;

/* Appends the build's slips and those of what a rig puts on its seats, each once. BLY_E_MEMORY. */
bool bly_build_slips(const BlyBuild *build, const BlyRig *rig, BlySlips *to,
                     BlyError *err) BLY_MUST_CHECK;

/* The file's text with this rig fitted, everything else as it was; free(*text) by the caller. Seats
 * whose choice is that of build->fitted keep their very words. An open seat stays open: where it
 * was so only because nothing sat there, "open": true is added. */
bool bly_build_text_with_rig(const BlyBuild *build, const BlyRig *rig, char **text,
                             BlyError *err) BLY_MUST_CHECK;

/* The file's text with the value at a JSON Pointer set to this JSON (NULL: removed; nothing there
 * is no error). Objects on the way are made; "-" as the last step appends to a list. free(*text) by
 * the caller. The result is not checked: read it again. */
bool bly_build_text_with(const BlyBuild *build, const char *pointer, const char *json, char **text,
                         BlyError *err) BLY_MUST_CHECK;

/* Whether the build's limits allow a part (lead, never, sizes of hooks and eyes); "only" is not
 * asked. */
bool bly_limits_allow(const BlyLimits *limits, const BlyPart *part);
/* What the limits leave of one kind, in the catalog's order; "only" speaks of the kinds that it
 * names. free(*out). */
bool bly_limits_parts(const BlyLimits *limits, const BlyCatalog *catalog, BlyPartKind kind,
                      const BlyPart ***out, size_t *count, BlyError *err) BLY_MUST_CHECK;

/* The same with several changes, one after the other. */
typedef struct BlyEdit {
    char pointer[128];
    const char *json; /* NULL: removed */
} BlyEdit;
bool bly_build_text_with_all(const BlyBuild *build, const BlyEdit *edits, size_t count, char **text,
                             BlyError *err) BLY_MUST_CHECK;

/* How figures of these names ("": not tied to any) hang together: the lower Cholesky factor of
 * their correlations, count squared, zeros above; the identity when *any is false. */
bool bly_build_ties(const BlyBuild *build, const char *const *names, size_t count, double *factor,
                    bool *any, BlyError *err) BLY_MUST_CHECK;

/* A starter build around a body that is there: the usual seats where its own sizes put them (tie at
 * the nose, belly hanger at a third, tail, lip slot, keel), a target and limits for its size. */
typedef struct BlyAround {
    const char *name;     /* of the build */
    const char *body;     /* members of "body" as JSON, without the braces: where it comes from and
                             what it is made of */
    const BlyBody *shape; /* the same, as read; NULL: the text without seats, to read it from */
} BlyAround;

/* free(*text) by the caller. The text is not checked: read it. */
bool bly_build_around(const BlyAround *around, char **text, BlyError *err) BLY_MUST_CHECK;

/* Index of a seat by name, -1 when there is none. */
int bly_build_seat(const BlyBuild *build, const char *name);

/* Sets the piece of one kind at a seat to a part of the catalog (id "none": takes it off, and what
 * hung from it); used by swap. `rig` must be a copy of the build's fitted rig. What the new part
 * needs besides is kept as far as it fits, or set to the least: one turn, dot or layer, the
 * shortest lip, a strip over the whole reach; a filed sheet becomes one as bought. The seat must
 * fit after each swap, but for a lip between its sheet and its outline. On failure the rig is as
 * before and err->where is "belly.hook". */
bool bly_build_swap(const BlyBuild *build, const BlyCatalog *catalog, BlyRig *rig, const char *seat,
                    const char *kind, const char *id, BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
