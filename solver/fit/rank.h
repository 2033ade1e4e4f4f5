/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the fit room: which of some rigs is surest to meet the target after the tests that the
 * maker is willing to make, looked at in stages. */
#ifndef BALLASTRY_FIT_RANK_H
#define BALLASTRY_FIT_RANK_H

#include "fit/staged.h"
#include "trim/trim.h"

typedef struct Ranked {
    BlyFitRig rig;       /* owned; as the build's own target judges it */
    TrimPlan *plan;      /* owned; NULL: not looked at */
    double chance;       /* by as many lures as were looked at; NAN: by none */
    double mends;        /* that a lure needs, on the average */
    double unusual;      /* in chance: what hooks above their share and a rare lip cost */
    bool out;            /* it cannot come first any more */
    bool listed, passed; /* one that a maker sees no other in is */
} Ranked;

typedef struct RankedList {
    Ranked *at;
    size_t count, room;
} RankedList;

/* Lures of each stage; the last is as many as a reserve has. */
enum { RANK_STAGES = 5 };
extern const size_t rank_lures[RANK_STAGES];

/* In chance: closer than this is alike. */
#define RANK_AS_GOOD 0.02
/* How much surer a rig must be that misses the target as built: a maker would rather have one that
 * meets it, and the plan is not known closer. */
#define RANK_BY_DESIGN 0.05
/* A mend more that a lure needs on the average is worth as much as this: ten mends, each an hour at
 * the bench, are a lure that fails. Ours. */
#define RANK_A_MEND 0.1
/* The chance less what a rig must be surer by for what it is and for the mends it needs; what
 * misses on the line comes below all others, what was not looked at below these. */
double rank_standing(const Ranked *one);
/* Which of those that may comes first: the surest by that; of those within 2 in 100 of it the one
 * nearest on paper, then by ids. What misses on the line comes last: the chance speaks of still
 * water. list->count: there is none. */
size_t rank_leader(const RankedList *list, bool (*may)(const Ranked *one));
/* Has the plan of one of the list look at so many lures, telling the caller again and again that so
 * many rigs are being looked at; at fewer, where it is halted meanwhile. */
bool rank_look(const Problem *problem, size_t lures, const RankedList *list, Ranked *one,
               BlyError *err) BLY_MUST_CHECK;
/* Looks at all by the first lures, then by more at those that may yet come first: by the lures on
 * which one meets the target and the leader does not, and the other way round, two standard
 * deviations of that. `whole`: by all lures at all. *over: it was ended early. */
bool rank_race(const Problem *problem, bool whole, RankedList *list, bool *over,
               BlyError *err) BLY_MUST_CHECK;

/* As bly_fit_surest; whole: with no stages, which comes to the same first rig. */
bool fit_by_chance(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                   bool whole, BlyFitResult *out, BlyReserve **reserves,
                   BlyError *err) BLY_MUST_CHECK;

#endif
