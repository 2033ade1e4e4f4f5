/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the lure room: how the files that know one kind of seat hand over their items. */
#ifndef BALLASTRY_LURE_ITEMS_H
#define BALLASTRY_LURE_ITEMS_H

#include "lure/blank.h"

/* A list under construction; `out` has room for BLY_CHOICE_ITEMS. */
typedef struct BlyItemList {
    const BlyBlank *blank;
    const BlySeat *seat;
    int seat_index;
    BlyItem *out;
    size_t count;
} BlyItemList;

/* Takes the next place in the list: a part's item with no mass, no volume and no face, standing at
 * `at`. */
BlyItem *items_next(BlyItemList *list, const BlyPart *part, BlyVec3 at);

/* Mass that the piece stands for and its give, kg: from the scale if weighed, else `modelled` with
 * the part's own share of give. Fails with BLY_E_MISSING when neither is known. */
bool inset_mass(const BlyChosenPart *piece, double modelled, BlyFigure *out,
                BlyError *err) BLY_MUST_CHECK;

/* What the flow meets of a bent wire of this diameter and volume, at a point. */
void item_wire_face(BlyItem *item, double diameter, double volume, BlyVec3 at);

/* filling.c: how dense the body's own material is at a point, as a share of its mean; 1 where it is
 * solid throughout. And the sums of that over a volume, point by point; none in a solid body. */
double filling_at(const BlyBody *body, BlyVec3 point);
typedef struct BlyFilling {
    double volume, filled; /* weights, as they are and by what is there */
    BlyVec3 moment, filled_moment;
} BlyFilling;
void filling_add(BlyFilling *filling, const BlyBody *body, BlyVec3 point, double weight);
/* The mean over the volume, and how far the middle of what is there lies from the volume's. */
double filling_share(const BlyFilling *filling, BlyVec3 *off);
BlyFilling filling_of_rod(const BlyBody *body, BlyVec3 from, BlyVec3 to, double radius);

/* Makes it what a shank or slot takes out of the blank (m3, with its middle at item->at): of the
 * piece that its middle lies in, or of the body's own material, as that fills it there. */
void item_remove(const BlyItemList *list, BlyItem *item, double volume, const BlyFilling *filling);

bool items_chain(BlyItemList *list, const BlyChoice *choice, BlyError *err) BLY_MUST_CHECK;
bool items_lip(BlyItemList *list, const BlyChoice *choice, BlyError *err) BLY_MUST_CHECK;
bool items_patch(BlyItemList *list, const BlyChoice *choice, BlyError *err) BLY_MUST_CHECK;

/* Which way a loop stands off the body: belly down, back up, nose forward, tail aft. */
BlyVec3 seat_outward(BlySeatSide side);

/* A size that is not known counts as nothing. */
static inline double known_or_zero(double size) {
    return isfinite(size) ? size : 0.0;
}

/* coated.c: hulls under other coats, made once, owned by the list and lent out. Without a list, or
 * when it is full, nothing is kept. */
BlyCoatedHulls *coated_make(BlyError *err);
void coated_free(BlyCoatedHulls *hulls);
bool coated_find(const BlyCoatedHulls *hulls, double thickness, BlyBody **hull,
                 BlySeenTable **seen);
bool coated_keep(BlyCoatedHulls *hulls, double thickness, BlyBody *hull, BlySeenTable *seen);

/* The table of what is seen. NULL on failure, with err filled. */
BlySeenTable *seen_make(const BlyBody *hull, BlyError *err);
void seen_free(BlySeenTable *table);

#endif
