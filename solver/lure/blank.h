/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a blank is inside, for the rooms that work with it; programs that use the library have it
 * closed (ballastry/lure.h), so that a new field breaks nobody. */
#ifndef BALLASTRY_LURE_BLANK_H
#define BALLASTRY_LURE_BLANK_H

#include "ballastry/lure.h"

/* What is seen of the hull from any side, tabulated; private to the room. */
typedef struct BlySeenTable BlySeenTable;
/* Hulls under other coats that were asked for; private to the room. */
typedef struct BlyCoatedHulls BlyCoatedHulls;

struct BlyBlank {
    const BlyBody *bare; /* borrowed */
    BlyBody *hull;       /* owned unless hull_borrowed: body and coats, what the water meets */
    BlyBodyFacts facts;
    double body_mass;    /* kg, dry bare body before cutting, all pieces in */
    double body_density; /* kg/m3 of its own material that follows from it */
    double hull_volume;  /* m3 at reference_t: the hull's shape, corrected by volume_share */
    BlyVec3 hull_centroid;
    BlySeenTable *seen; /* as hull */
    bool hull_borrowed;
    BlyCoatedHulls *coated; /* as hull; NULL where that is borrowed */
    double coat_thickness;  /* m, all coats together */
    BlyItem *items;         /* owned: body, coats, soak */
    size_t item_count;
};

/* As bly_blank_new, into a place of the caller's. Release in every case. */
bool bly_blank_make(const BlyBody *bare, const BlyBodyFacts *facts, const BlyCoat *coats,
                    size_t coat_count, const BlySeat *seats, const BlyRig *fitted, BlyBlank *out,
                    BlyError *err) BLY_MUST_CHECK;
void bly_blank_release(BlyBlank *blank);

/* The same, quicker, when `like` has the same bare body: its hull is borrowed where it has as much
 * coat, and under another coat one is made once and stays with `like`, for a few thicknesses. So
 * `like` must outlive *out and serve one thread at a time. For trying other facts on one lure.
 * `like` may be NULL. */
bool bly_blank_like(const BlyBlank *like, const BlyBody *bare, const BlyBodyFacts *facts,
                    const BlyCoat *coats, size_t coat_count, const BlySeat *seats,
                    const BlyRig *fitted, BlyBlank *out, BlyError *err) BLY_MUST_CHECK;

/* The same with the hull of `like` as it stands, whatever its coat: grown alike in all directions
 * to the volume that these coats come to, with the centroid that they give. For small steps about
 * `like`: volume, masses and centres are exact, the areas that the water meets are off by some 0.05
 * % for each 0.01 mm of coat. `like` must outlive *out. */
bool bly_blank_about(const BlyBlank *like, const BlyBodyFacts *facts, const BlyCoat *coats,
                     size_t coat_count, const BlySeat *seats, const BlyRig *fitted, BlyBlank *out,
                     BlyError *err) BLY_MUST_CHECK;

#endif
