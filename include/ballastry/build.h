/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Build files: one lure's body, coats, seats, fitted parts, water and target, as JSON text and as
 * the records that the other rooms work with. The only room that knows the JSON of builds.
 * docs/format.md describes the file. */
#ifndef BALLASTRY_BUILD_H
#define BALLASTRY_BUILD_H

#include "ballastry/lure.h"
#include "ballastry/rest.h"

typedef struct BlyWaterFacts {
    BlyFigure temperature; /* deg C; give in K */
    BlyFigure salinity;    /* kg/kg */
} BlyWaterFacts;

enum { BLY_TARGET_WATERS_MAX = 4 };

/* What the search may do. */
typedef struct BlyLimits {
    int hook_rank_low, hook_rank_high;  /* 0, 0: any */
    double eye_wire_low, eye_wire_high; /* m, of an eye's wire; 0, 0: any */
    double eyes_for;                    /* m: eyes that suit a body so long; 0: any */
    bool same_hooks;                    /* every hanger carries the same hook */
    bool lead_free;
    int changes_most;  /* seats that may differ from `fitted`; -1: any number */
    double price_most; /* NAN: any */
    char **only;       /* ids, or beginnings of ids ending in '*'; none: all */
    size_t only_count;
    char **never;
    size_t never_count;
} BlyLimits;

typedef struct BlyBuild {
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
    BlyLimits limits;
    char **tied; /* figures that hang together: "/body/mass", "/fitted/belly/hook/ID" .. */
    size_t tied_count;
    double *tie;    /* tied_count squared, their correlations */
    BlyBlank blank; /* made from the above */
    char **said;    /* owned: what reading the body found or assumed, a line each, for people */
    size_t said_count;
    void *doc; /* the file as read; private to the room */
} BlyBuild;

/* Reads a build. Names of parts and materials are looked up in `catalog`, which must outlive the
 * build. Errors carry a JSON Pointer. GSL's error handler must be off (rest.h). On failure *out is
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

#endif
