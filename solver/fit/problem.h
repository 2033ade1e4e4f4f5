/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One fit under way: the open seats' candidates, the waters' frames, and the rigs found so far. */
#ifndef BALLASTRY_FIT_PROBLEM_H
#define BALLASTRY_FIT_PROBLEM_H

#include "fit/frame.h"

/* Watching (watch.c). A deadline is a time of the monotonic clock, s, INFINITY where there is no
 * limit; what is left of it is a limit again: above 0, or 0 for none. It is over when the caller
 * wants an end or the deadline has passed, and stays so. */
double fit_deadline(const BlyFitOptions *options);
double fit_secs_left(double deadline);
bool fit_over(const BlyFitOptions *options, double deadline);
/* Tells the caller how far it is. */
void fit_tell(const BlyFitOptions *options, const BlyFitProgress *progress);

typedef struct Problem {
    const BlyBuild *build;
    const BlyBuild *searched; /* what picks are worked through on: the build, or `quick` */
    BlyBuild quick;           /* a view of the build, lying at the surface by a stand-in */
    const BlyCatalog *catalog;
    const BlyFitOptions *options;
    double deadline;
    size_t rigs_wanted;
    CandidateSet *sets; /* one for each open seat */
    size_t set_count;
    double cost_least; /* of the cheapest candidates, one of each set: no rig costs less */
    Lump blank;        /* blank and fixed seats, without the hull's displacement */
    Frame frame[BLY_FIT_WATERS_MAX];
    size_t water_count;
} Problem;

bool problem_begin(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                   Problem *out, BlyError *err) BLY_MUST_CHECK;
void problem_end(Problem *problem);
bool problem_over(const Problem *problem);

/* Which kinds a seat leaves open under these options. */
unsigned problem_open(const BlyBuild *build, const BlyFitOptions *options, size_t seat);

/* Sets the frames of all waters from the lure of this rig. */
bool problem_frames(Problem *problem, const BlyRig *like, BlyError *err) BLY_MUST_CHECK;

/* What the programme picked: a candidate for each set, and how far its sheet is filed (mm). */
typedef struct Pick {
    size_t *candidate; /* by set; owned by the list */
    double *filed;
    double objective;
} Pick;
typedef struct PickList {
    Pick *at;
    size_t count;
    bool proven, stopped; /* stopped: the stop flag or the time limit ended it */
    size_t nodes, columns;
} PickList;
void picks_release(PickList *picks);

/* Asks the programme for the `wanted` best picks under the present frames, each visibly different
 * from the others, until the deadline. */
bool problem_choose(const Problem *problem, size_t wanted, PickList *out,
                    BlyError *err) BLY_MUST_CHECK;

/* The rig of a pick; release it. */
bool problem_rig(const Problem *problem, const Pick *pick, BlyRig *out,
                 BlyError *err) BLY_MUST_CHECK;

/* Works a rig through the full physics in every water of the target; owns a copy of the rig.
 * rig_finish adds how it lies at the surface, where that was not needed for the choice. */
bool rig_rework(const BlyBuild *build, const BlyRig *rig, BlyFitRig *out,
                BlyError *err) BLY_MUST_CHECK;
bool rig_finish(const BlyBuild *build, BlyFitRig *rig, BlyError *err) BLY_MUST_CHECK;
void fit_rig_release(BlyFitRig *rig);

/* Adds up cost, pieces, changes and price of a pick; what merit ranks by: lower is better, and what
 * meets the target comes before what does not. */
void rig_account(const Problem *problem, const Pick *pick, BlyFitRig *rig);
double rig_merit(const BlyFitRig *rig);

/* How much lower the merit of any rig could be than that of `best`, which may be NULL, where costs
 * come to `cost_least` at least: the distance `off` is never below 0. NAN while nothing meets the
 * target, because merit does not bound how near the others come. Holds of every rig the candidates
 * make, whatever was looked at by then. */
double rig_gap(const BlyFitRig *best, double cost_least);

/* Betters a rig seat by seat with alternatives of the same look, by the full physics, until the
 * deadline. */
bool rig_polish(const Problem *problem, Pick *pick, BlyFitRig *rig, BlyError *err) BLY_MUST_CHECK;

/* Words for a target that no lure can meet, before anything is solved; "" when nothing speaks
 * against it. */
void problem_impossible(const Problem *problem, char *out, size_t size);

/* Words for limits that leave no rig at all, where the programme proved that there is none. */
void problem_nothing_left(const Problem *problem, char *out, size_t size);

/* Parts that would do as well as those chosen, as text (owned by the rig; NULL: none). */
bool rig_equals(const Problem *problem, const BlyRig *rig, char **out,
                BlyError *err) BLY_MUST_CHECK;

/* Words for the part that would turn a near miss into a rig; "" when none is found. */
bool problem_missing(const Problem *problem, const BlyFitRig *nearest, char *out, size_t size,
                     BlyError *err) BLY_MUST_CHECK;

/* Half of the dead zone around the middle of a band, in half-bands: inside it cost decides. */
#define FIT_DEAD_ZONE 0.25
/* Half-bands for each millimetre filed off: a tenth of a millimetre is a piece's worth of work. */
#define FIT_FILING_COST 0.2

#endif
