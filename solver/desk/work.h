/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs on one build: rest, how sure that is, fit, swap, sheet. What a work points to is its own,
 * the build and what else it is given are borrowed; release it in every case. Each fails as the
 * rooms that it asks do, and with BLY_E_MEMORY. */
#ifndef BALLASTRY_DESK_WORK_H
#define BALLASTRY_DESK_WORK_H

#include "ballastry/tow_wish.h"
#include "report/report.h"
#include "sheet/sheet.h"

/* ---- how sure ---- */

/* The target's waters may be others than the build's: how sure the figures are, and how sure the
 * target is, are two questions. */
typedef struct SureWork {
    BlySpread *spread;   /* in the build's own water, and behind it in the target's */
    size_t spread_count; /* 1; with a target 2 */
    BlyReserve *reserve; /* with a target, else NULL */
} SureWork;

/* The spreads alone. */
bool spread_work(const BlyBuild *build, const BlyRig *rig, SureWork *out,
                 BlyError *err) BLY_MUST_CHECK;
/* Both. */
bool sure_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig, SureWork *out,
               BlyError *err) BLY_MUST_CHECK;
void sure_work_release(SureWork *work);

/* As text with, if asked and there, how it can still be trimmed. */
void sure_text(const Report *report, const BlyBuild *build, const BlyRig *rig, const SureWork *work,
               bool trims);
/* Adds "spread" and "reserve". */
bool put_sure(cJSON *object, const BlyBuild *build, const SureWork *work);

/* What to measure next for a rig; *out is the caller's, free(*out), and NULL without a target. */
bool worth_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                const TrimHalt *halt, Worth **out, BlyError *err) BLY_MUST_CHECK;

/* ---- rest ---- */

/* The outcome is worked out in every case. */
typedef enum RestParts {
    REST_INFLUENCE = 1 << 0, /* of REST_EXTRA at each seat */
    REST_LEADER = 1 << 1,
    REST_SURE = 1 << 2,
    REST_WATERS = 1 << 3,
    REST_SLIPS = 1 << 4, /* what is seldom meant, and rules of the craft that the rig breaks */
    REST_TOW = 1 << 5,   /* on the usual line */
    REST_WORTH = 1 << 6  /* what to measure next; with REST_SURE, of a build with a target */
} RestParts;

#define REST_EXTRA 1e-4 /* kg: the table of influence speaks of 0.1 g */

typedef struct RestWork {
    BlyLure lure;
    BlyOutcome outcome; /* in the build's own water */
    BlyInfluence *influence, leader;
    SureWork sure;
    BlyWindow *window;   /* NULL: not asked for */
    BlyTowed *towed;     /* the same */
    BlyTowVerdict *line; /* where the target asks for the line; else NULL */
    Worth *worth;        /* NULL: not asked for, or no target */
    BlySlips slips;
    BlyBreaches craft;
} RestWork;

/* parts: of RestParts. */
bool rest_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig, unsigned parts,
               RestWork *out, BlyError *err) BLY_MUST_CHECK;
void rest_work_release(RestWork *work);

/* Adds name, what reading the body found, slips and the craft. */
bool put_named(cJSON *object, const BlyBuild *build, const RestWork *work);
/* Adds outcome, ladder and influence. */
bool put_rested(cJSON *object, const BlyBuild *build, const RestWork *work);
/* Adds "target", where there is one. */
bool put_judged(cJSON *object, const BlyBuild *build, const RestWork *work);

/* ---- swap ---- */

typedef struct SwapWork {
    RestWork before, after;
    BlySwapSpread sure; /* how sure the change is */
} SwapWork;

/* The build as it is fitted and with this rig; parts as for rest_work, of both. */
bool swap_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig, unsigned parts,
               SwapWork *out, BlyError *err) BLY_MUST_CHECK;
void swap_work_release(SwapWork *work);

/* ---- fit ---- */

/* By the chance after the build's tests; by nearness on paper; mends, by that chance; mends, by the
 * chance as mended. */
typedef enum FitRank {
    FIT_SUREST,
    FIT_ON_PAPER,
    FIT_FINISHED,
    FIT_FINISHED_ON_PAPER,
    FIT_RANKS
} FitRank;

typedef struct FitWork {
    BlyFitResult result;
    BlyReserve *reserves; /* one a rig; near misses have none: NULL */
    BlyTowWished *wished; /* one a rig, of a target that asks for the line; else NULL */
    Worth *worth;         /* what to measure next, of the first rig; NULL as the reserves */
    BlySlips slips;       /* of all its rigs, each once; of the build where there is no rig */
} FitWork;

bool fit_work(const BlyBuild *build, const BlyCatalog *catalog, FitRank rank,
              const BlyFitOptions *options, FitWork *out, BlyError *err) BLY_MUST_CHECK;
void fit_work_release(FitWork *work);

/* ---- sheet ---- */

typedef struct SheetWork {
    BlySheet sheet;
    BlySlips slips; /* of what is drawn */
} SheetWork;

/* `after` (may be NULL) is compared with the build as it is fitted. */
bool sheet_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *after,
                const BlySheetOrder *order, SheetWork *out, BlyError *err) BLY_MUST_CHECK;
void sheet_work_release(SheetWork *work);

/* All that is drawn of one rig, which build, catalog and rig must outlive. On failure *out holds
 * nothing. */
bool sheet_gather(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                  BlySheetFacts *out, BlyError *err) BLY_MUST_CHECK;
/* What BLY_VIEW_TOW shows besides: the rig on the usual line at 1 m/s. *facts stays as it is when
 * that fails, or when no tie is there to draw by. */
bool sheet_gather_tow(BlySheetFacts *facts, BlyError *err) BLY_MUST_CHECK;

#endif
