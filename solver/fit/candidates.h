/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every choice that one open seat allows, with what it adds, in grams and millimetres. */
#ifndef BALLASTRY_FIT_CANDIDATES_H
#define BALLASTRY_FIT_CANDIDATES_H

#include "ballastry/fit.h"
#include "build/build.h"
#include "fit/box.h"
#include "moments/moments.h"
#include "practice/craft.h"

#include <stdint.h>

/* What a choice adds to the lure: g, cm3 displaced outside the hull, and with mm the first moments
 * of both. */
typedef Moments Lump;

typedef struct Candidate {
    BlyChoice choice;
    Lump lump;
    double filing;  /* mm that the sheet may still be filed down; 0: nothing to file */
    Lump per_filed; /* what one mm of filing takes away */
    double cost;    /* in half-bands: pieces, change, price */
    double price;   /* NAN unknown */
    int pieces;
    bool changed;     /* differs from what is fitted */
    BlySwing swing;   /* m: the room that its hook takes; reach 0 without a hook */
    uint64_t taken;   /* equal for choices that take the same out of the box; 0: nothing scarce */
    uint64_t visible; /* equal for choices that a maker would call the same */
} Candidate;

/* Owned by the set; zero is a valid empty one. */
typedef struct CandidateSet {
    Candidate *at;
    size_t count, room;
    bool borrowed;  /* from another set, which outlives it */
    size_t thin_at; /* how many there must be before they are thinned early */
    int seat;
    unsigned open;      /* kinds that are chosen here, bits 1 << BlyPartKind */
    const Craft *craft; /* NULL: no rule thins the list */
    const FitBox *box;  /* NULL: nothing is scarce */
    bool by_line; /* lips alike in weight are not alike on the line, of which the target asks */
    bool boxed;   /* there is a box: what is not in it is bought */
    const BlyFitOptions *options; /* whose stop flag ends the listing; NULL: it runs on */
    double deadline;              /* read with options alone */
} CandidateSet;

/* What a change of a fitted seat costs, in half-bands. */
#define FIT_CHANGE_COST 0.10
/* Half-bands for each millimetre filed off: a tenth of a millimetre is a piece's worth of work. */
#define FIT_FILING_COST 0.2
/* What each part costs that is not in the maker's box, and one that is but was not weighed. */
#define FIT_BUY_COST 0.05
#define FIT_UNWEIGHED_COST 0.005

void candidates_release(CandidateSet *set);

/* All candidates of a seat; some of them, or none, where the time is over (out->options). `open`
 * replaces the seat's own bits (what may still be chosen).
 * Fails with BLY_E_CONFLICT and the seat's pointer when the limits leave nothing. */
bool candidates_of_seat(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                        CandidateSet *out, BlyError *err) BLY_MUST_CHECK;

/* Why the limits and the catalog leave nothing that fits a seat, in words. */
void seat_unfillable(const BlyBuild *build, const BlyCatalog *catalog, int seat, char *out,
                     size_t size);

/* Sums a choice's items into a lump. */
Lump lump_of_items(const BlyItem *items, size_t count);

/* Private steps, one file each: append to `out`. */
bool hanger_candidates(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                       CandidateSet *out, BlyError *err) BLY_MUST_CHECK;
bool slot_candidates(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                     CandidateSet *out, BlyError *err) BLY_MUST_CHECK;
bool patch_candidates(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                      CandidateSet *out, BlyError *err) BLY_MUST_CHECK;

/* Appends one; fills lump from the choice's items unless `lump` is given, and cost, pieces,
 * price, changed and visible from the choice. */
bool candidates_add(CandidateSet *set, const BlyBuild *build, const BlyChoice *choice,
                    const Lump *lump, BlyError *err) BLY_MUST_CHECK;

/* Keeps what goes with the fitted parts of another seat, which stays as it is; all where
 * nothing does. */
void candidates_beside(CandidateSet *set, int fixed_seat, const BlyChoice *fixed);
/* What two seats' choices break together, of the kinds that are chosen at either. */
unsigned candidates_break(const Craft *craft, int seat_a, unsigned open_a, const BlyChoice *a,
                          int seat_b, unsigned open_b, const BlyChoice *b);

/* The places a seat may stand: x_from, x_from + step, ..; calls for each. */
size_t seat_places(const BlySeat *seat);
double seat_place(const BlySeat *seat, size_t index);

/* Keeps, of candidates alike in weight in water (to `grain` grams) and place, the cheapest. Does
 * nothing while there are no more than `keep` of them. */
bool candidates_thin(CandidateSet *set, size_t keep, double grain, BlyError *err) BLY_MUST_CHECK;

/* For every few entries of a long list: false where it may end as it is, since the fit's time is
 * over. */
bool candidates_go_on(const CandidateSet *set);

/* The same as candidates_thin while the list still grows, now and then, so that it stays short.
 * What is left in the end is what thinning the whole list would leave. */
bool candidates_thin_early(CandidateSet *set, size_t keep, double grain,
                           BlyError *err) BLY_MUST_CHECK;

#endif
