/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Catalogs as files: the shipped one, a user's own JSON, and CSV lists of weighed parts. Text in,
 * records of the parts room out; opening files is the caller's business. docs/catalog.md describes
 * both formats, docs/catalog.schema.json the JSON. */
#ifndef BALLASTRY_CATALOG_H
#define BALLASTRY_CATALOG_H

#include "ballastry/parts.h"

BLY_API_BEGIN

/* The catalog that is built into the library, complete and sorted. *out is overwritten; the caller
 * releases it. */
bool bly_catalog_shipped(BlyCatalog *out, BlyError *err) BLY_MUST_CHECK;

/* Reads a catalog in JSON and adds its materials and parts to *into; a record whose id is there
 * already takes the place of the old one. Materials may stand in the same file or in *into.
 * Afterwards *into is complete and sorted, and pointers into it are stale.
 * Errors carry a JSON Pointer ("/parts/3/wire"); *into is then as before, save that BLY_E_MEMORY
 * may leave part of the file in it. */
bool bly_catalog_read_json(BlyCatalog *into, const char *text, size_t size,
                           BlyError *err) BLY_MUST_CHECK;

/* Where the drawings come from that a catalog names ("drawing": "lip.svg#spade"), as BlyBuildFiles
 * (build.h): `read` gives the whole text, freed by this room. */
typedef struct BlyCatalogFiles {
    bool (*read)(void *context, const char *name, char **text, size_t *size, BlyError *err);
    void *context;
} BlyCatalogFiles;

/* The same with files at hand; NULL: a catalog that names one is refused (BLY_E_MISSING). */
bool bly_catalog_read_json_with(BlyCatalog *into, const char *text, size_t size,
                                const BlyCatalogFiles *files, BlyError *err) BLY_MUST_CHECK;

/* Reads a CSV list of weighed parts (RFC 4180, header row, columns in any order: id, mass, and if
 * wanted give, count, note, source). Each row gives a part of *into the origin MEASURED and the
 * mass on the scale, divided by `count`. A bare number is in grams, or in the heading's unit; tabs,
 * semicolons and decimal commas as spreadsheets write them.
 * Errors carry "line 3, column 2"; *into is then as before, save for BLY_E_MEMORY as above. */
bool bly_catalog_read_csv(BlyCatalog *into, const char *text, size_t size,
                          BlyError *err) BLY_MUST_CHECK;

/* Reads what lies in a maker's box from CSV of the same kind: id, and if wanted kind, size, style,
 * grade, material, mass, give, count, weighed, name, note, source. A part that is known gets its
 * `in_box` (pieces, m of wire and strip; INFINITY where the line does not count) and, where the
 * line has one, its mass: of one piece, or of as many as `weighed` says; "no": it was not weighed.
 * A line with kind and mass (sheet and strip: material and gauge) whose id is not known, or is not
 * there, is a new part: its sizes are those of the known part most like it, in proportion to the
 * mass, and its source says so. Errors and *into as above. */
bool bly_catalog_read_box(BlyCatalog *into, const char *text, size_t size,
                          BlyError *err) BLY_MUST_CHECK;

/* One thing that is wrong or doubtful with a record. */
typedef struct BlyFinding {
    const char *kind; /* "material", or the part's kind; borrowed */
    const char *id;   /* borrowed from the catalog */
    BlyCode code;     /* MISSING, UNKNOWN, RANGE, or CONFLICT: two fields that disagree */
    char text[BLY_TEXT_MAX];
} BlyFinding;
typedef void (*BlyFindingSink)(const BlyFinding *finding, void *user);

/* Works every record through again: masses against their sizes (within 2 % for the origin MODEL,
 * else within the give, to which a weighed part adds the model's own), fields that its kind needs,
 * sources, lead, densities, sizes that contradict each other. Calls tell (NULL: nobody) once per
 * finding, in the catalog's order; returns how many there are. */
size_t bly_catalog_check(const BlyCatalog *catalog, BlyFindingSink tell, void *user);
/* The same of one part; `material`: its own, NULL where it has none or the catalog has it not. */
size_t bly_part_check(const BlyPart *part, const BlyMaterial *material, BlyFindingSink tell,
                      void *user);

BLY_API_END

#endif
