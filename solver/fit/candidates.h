/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every choice that one open seat allows, with what it adds, in grams and millimetres. */
#ifndef BALLASTRY_FIT_CANDIDATES_H
#define BALLASTRY_FIT_CANDIDATES_H

#include "ballastry/fit.h"

#include <stdint.h>

/* What a choice adds to the lure, all additive: grams, cubic centimetres, millimetres. */
typedef struct Lump {
    double m;      /* g */
    double v;      /* cm3 displaced outside the hull */
    double mx, mz; /* g mm: first moments of mass */
    double vx, vz; /* cm3 mm: first moments of that volume */
} Lump;

typedef struct Candidate {
    BlyChoice choice;
    Lump lump;
    double filing;  /* mm that the sheet may still be filed down; 0: nothing to file */
    Lump per_filed; /* what one mm of filing takes away */
    double cost;    /* in half-bands: pieces, change, price */
    double price;   /* NAN unknown */
    int pieces;
    bool changed;    /* differs from what is fitted */
    BlyVec3 hook_at; /* m: where a hook swings from, and how far; reach 0 without a hook */
    double hook_reach;
    uint64_t visible; /* equal for choices that a maker would call the same */
} Candidate;

/* Beside the kinds that are open: the lure is finished. What is on it is a candidate whatever the
 * limits say, eyes stay where they are, and a lip may be filed or cut shorter. */
#define OPEN_FINISHED (1u << BLY_PART_KINDS)

/* Owned by the set; zero is a valid empty one. */
typedef struct CandidateSet {
    Candidate *at;
    size_t count, room;
    size_t thin_at; /* how many there must be before they are thinned early */
    int seat;
    const BlyFitOptions *options; /* whose stop flag ends the listing; NULL: it runs on */
    double deadline;              /* read with options alone */
} CandidateSet;

/* What a change of a fitted seat costs, in half-bands. */
#define FIT_CHANGE_COST 0.10

void candidates_release(CandidateSet *set);

/* All candidates of a seat; some of them, or none, where the time is over (out->options). `open`
 * replaces the seat's own bits (what may still be chosen).
 * Fails with BLY_E_CONFLICT and the seat's pointer when the limits leave nothing. */
bool candidates_of_seat(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                        CandidateSet *out, BlyError *err) BLY_MUST_CHECK;

/* Sums a choice's items into a lump. */
Lump lump_of_items(const BlyItem *items, size_t count);
Lump lump_add(Lump a, Lump b);
Lump lump_scale(Lump a, double k);

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

bool tie_candidates(const BlyBuild *build, const BlyCatalog *catalog, int seat, CandidateSet *out,
                    BlyError *err) BLY_MUST_CHECK;
bool more_dots(const BlyBuild *build, int seat, CandidateSet *out, BlyError *err) BLY_MUST_CHECK;
bool filed_candidates(const BlyBuild *build, int seat, CandidateSet *out,
                      BlyError *err) BLY_MUST_CHECK;

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
