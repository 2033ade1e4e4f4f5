/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which parts make this build meet its target: the K best different rigs, or the nearest misses.
 *
 * The choice is made by a mixed-integer programme (solver/programme/programme.h) on grams and
 * millimetres; every rig that comes back has been worked through the full physics (rest.h) in
 * every water of the target, and only those figures are in the result. */
#ifndef BALLASTRY_FIT_H
#define BALLASTRY_FIT_H

#include "ballastry/trim.h"

BLY_API_BEGIN

enum { BLY_FIT_WATERS_MAX = 4, BLY_FIT_RIGS_MAX = 50 };

/* What a fit is busy with, in the order of a search; a search may go through them several times. */
typedef enum BlyFitStage {
    BLY_FIT_GATHERS, /* lists what could go to each open seat */
    BLY_FIT_CHOOSES, /* the programme */
    BLY_FIT_WORKS,   /* works its picks through the full physics */
    BLY_FIT_POLISHES,
    BLY_FIT_FINISHES, /* what the listed rigs do at the surface; what is missing */
    BLY_FIT_RANKS,    /* bly_fit_surest: the chance of each */
    BLY_FIT_STAGES
} BlyFitStage;
const char *bly_fit_stage_words(BlyFitStage stage); /* "choosing among the parts" */

/* How far a search is. Counts are those of the search under way: the finished and the surest make
 * several. */
typedef struct BlyFitProgress {
    BlyFitStage stage;
    size_t rigs; /* worked through so far */
    bool met;    /* the best of them meets the target */
    double
        off; /* its distance from the middle of the bands, in half-bands; NAN before there is one */
    double gap; /* as in the result; NAN before a rig meets the target */
} BlyFitProgress;

typedef struct BlyFitOptions {
    size_t rigs;            /* how many different rigs, 1 to BLY_FIT_RIGS_MAX; 0: five */
    double time_limit_secs; /* > 0, of the whole search however often it looks; 0: none */
    bool by_reserve;        /* bly_fit_finished: the chance after the build's tests and the best
                             * trims after each ranks, in place of that as mended */
    bool margins;           /* the parts' and the body's gives eat into the weight's band */
    /* NULL, or asked on the calling thread again and again: true ends the search early, with what
     * was found so far. What another thread or a signal sets for it must be atomic. */
    bool (*stop)(void *context);
    void *stop_context;
    /* NULL, or told on the calling thread whenever something changed. */
    void (*progress)(void *context, const BlyFitProgress *progress);
    void *progress_context;
} BlyFitOptions;

/* Whether fits may run in several threads at once, each with its own build: so where GLPK was built
 * with thread-local memory, as Debian's is. The catalog may be shared. */
bool bly_fit_threads(void);

/* A requirement of the target that a rig misses. */
typedef enum BlyRequirement {
    BLY_REQ_NONE,
    BLY_REQ_DRIFT,
    BLY_REQ_SHOWS,
    BLY_REQ_ATTITUDE,
    BLY_REQ_ROLL,
    BLY_REQ_STATE,
    BLY_REQ_TOW_ATTITUDE, /* of the drawn lure, as are those below (tow_wish.h) */
    BLY_REQ_TOW_DEPTH,
    BLY_REQ_TOW_UNDER,
    BLY_REQ_COUNT
} BlyRequirement;
const char *bly_requirement_words(BlyRequirement requirement);

typedef struct BlyFitRig {
    BlyRig rig;
    size_t water_count;
    BlyOutcome outcome[BLY_FIT_WATERS_MAX]; /* in the target's order of waters */
    BlyJudgement judgement[BLY_FIT_WATERS_MAX];
    bool met;      /* in every water */
    double off;    /* distance from the middle of the bands, in half-bands; see docs/fit.md */
    double chance; /* bly_fit_finished: that the lure then meets its target, 0 to 1 (stopped: of 512
                      lures only); else NAN */
    double cost;   /* changes, pieces and price, weighted */
    int changes;   /* seats that differ from what is fitted */
    int pieces;    /* loose parts to buy or cut */
    double price;  /* NAN when any part's price is unknown */
    BlyRequirement binding; /* the worst missed requirement, BLY_REQ_NONE when met */
    size_t binding_water;
    /* Parts that would do just as well, seat by seat, as text "belly: treble-6-fine, ..."; owned.
     */
    char *equals;
} BlyFitRig;

/* What under "limits" lets go the rule that stands in the way. */
typedef struct BlyAllowance {
    char key[16];      /* "" where nothing does */
    size_t count;      /* of value; 0: the key's value is false */
    char value[4][40]; /* texts of a list, as a build file has them */
} BlyAllowance;

typedef struct BlyFitResult {
    BlyFitRig *rigs; /* best first; when !met, the nearest misses */
    size_t count;
    bool met;          /* at least one rig meets the target; only such rigs are listed then */
    bool finished;     /* ranked by the number of changes: bly_fit_finished */
    bool surest;       /* ranked by the chance after the build's tests and the trims after each:
                        * bly_fit_surest; bly_fit_finished with by_reserve */
    int on_paper;      /* of bly_fit_surest: which rig lies nearest to the middle of the bands on
                        * paper, from 1; count + 1: one that is not listed; 0: none meets the
                        * target as built, or nearness is what ranks */
    bool complete;     /* every combination of the candidates was weighed, by the linear model; the
                        * likeliest were worked through, and no look at them was cut short, by
                        * time or by the length of the proof */
    bool proven;       /* nothing better than the first exists among the candidates, or none that
                        * meets the target, by the full physics: every rig that might be was worked
                        * through, or none could cost less */
    bool stopped;      /* stop or the time limit ended it early */
    double gap;        /* 0 when proven; else no rig's off + cost is lower than that of the first by
                        * more than this, in half-bands, by the full physics; NAN: not known, as when
                        * nothing meets the target yet, or the chance ranks */
    double cost_least; /* of the cheapest choice at every seat: no rig costs less */
    int rounds;        /* how often bands were set anew until physics and programme agreed */
    size_t columns;    /* candidates looked at */
    size_t nodes;
    char impossible[320]; /* not empty: why no lure meets this target or keeps its limits */
    bool second_try;      /* nothing but wire on shanks, dots or washers reaches the target, which
                           * are else kept for the tank */
    char place[480]; /* not empty: rules of the craft that some seat cannot keep and that were let
                      * go, in words */
    char light[320]; /* not empty: how much too light the body is, and which wood makes that up */
    char heavy[320]; /* not empty: how much too heavy, likewise */
    char craft[480]; /* not empty: the rule of the craft that stands in the way, in words */
    BlyAllowance allows; /* it */
    char missing[320];   /* not empty: the part that would do it, in words */
} BlyFitResult;

/* Chooses. No rig is an answer (met false), not an error. Errors: no target, no open seat
 * (BLY_E_MISSING), limits that leave no candidate for a seat (BLY_E_CONFLICT), memory, solver.
 * The catalog must be the one that the build was read with. Release the result in every case. */
bool bly_fit(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
             BlyFitResult *out, BlyError *err) BLY_MUST_CHECK;
void bly_fit_release(BlyFitResult *result);

/* For a finished lure: what a maker would still do to it, in the order of the rule "mending" of the
 * practice table: wire on a shank, dots and strips; a ring one step heavier or lighter; the same
 * hook in the next grade, or one number up or down, one hook or all alike; the lip's edge cut back,
 * its back ground last. Only what bly_seat_mendable leaves open, within the limits, and nothing
 * that breaks a rule of the craft which the lure as fitted keeps. Up to as many of these at once as
 * the rule says; more than one only where that betters the chance. Each rig is worked through the
 * full physics; best first by BlyFitRig.chance, chances alike within the rule's `alike` by the
 * order of mending. As it is counts as a rig, too. When none meets the target: the nearest misses.
 * BLY_E_MISSING where nothing may change. */
bool bly_fit_finished(const BlyBuild *build, const BlyCatalog *catalog,
                      const BlyFitOptions *options, BlyFitResult *out,
                      BlyError *err) BLY_MUST_CHECK;

/* The same as bly_fit, ranked by the chance to meet the target after the tests that the build's
 * maker is willing to make (bly_reserve_chance) in place of the distance from the bands' middle;
 * chances closer than 2 in 100 are alike, and the nearer one comes first. Rigs come from two
 * searches: as bly_fit, and with the weight's band widened by what can be added and taken off later
 * and narrowed by the gives (rows with margins), so that a lure that can only be added to comes out
 * light by design. Such a rig may miss the bands as built. Where none meets them, out->met is true
 * when one does after its tests with a chance of one half at least; else the list is bly_fit's, and
 * *reserves is NULL. *reserves: one a rig, free() by the caller. */
bool bly_fit_surest(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                    BlyFitResult *out, BlyReserve **reserves, BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
