/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One fit under way: the open seats' candidates, the waters' frames, and the rigs found so far. */
#ifndef BALLASTRY_FIT_PROBLEM_H
#define BALLASTRY_FIT_PROBLEM_H

#include "fit/frame.h"
#include "fit/line_rows.h"

/* Watching (watch.c). A deadline is a time of the monotonic clock, s, INFINITY where there is no
 * limit; what is left of it is a limit again: above 0, or 0 for none. It is over when the caller
 * wants an end or the deadline has passed, and stays so. */
double fit_deadline(const BlyFitOptions *options);
double fit_secs_left(double deadline);
bool fit_over(const BlyFitOptions *options, double deadline);
/* The caller wants an end now, and not for the deadline's sake: then nothing is begun that takes
 * longer than a person waits. */
bool fit_halted(const BlyFitOptions *options);
/* Tells the caller how far it is. */
void fit_tell(const BlyFitOptions *options, const BlyFitProgress *progress);

enum { FIT_RANKED_MOST = 10, FIT_RANKED_AFLOAT = 3 };

typedef struct Problem {
    const BlyBuild *build;
    const BlyCatalog *catalog;
    const BlyFitOptions *options;
    Craft craft; /* what a maker would build */
    FitBox box;  /* what the maker has too few of */
    double deadline;
    size_t rigs_wanted;
    bool ranked;        /* what is found is ranked anew: see FitRanker */
    size_t a_look;      /* how many rigs of a look are of use; 0: one */
    CandidateSet *sets; /* one for each open seat */
    size_t set_count;
    double enough;     /* what no pick of interest costs more than; 0: all are of interest */
    size_t patience;   /* nodes a choice may take; 0: as many as are usual */
    double cost_least; /* of the cheapest candidates, one of each set: no rig costs less */
    bool hooks_cost;   /* some are chosen, and what they are of the lure above a share costs */
    Lump blank;        /* blank and fixed seats, without the hull's displacement */
    double mass;       /* g, of the lure that the frames are of */
    Frame frame[BLY_FIT_WATERS_MAX];
    LineRows line; /* what the target asks of the drawn lure */
    size_t water_count;
} Problem;

/* `loosened`: rules of the craft that shall not bind, bits 1 << BlyRuleId. */
bool problem_begin(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                   unsigned loosened, Problem *out, BlyError *err) BLY_MUST_CHECK;
/* The same with one more rule loosened than `like`, whose lists it borrows where the rule does not
 * speak of them: `like` must outlive *out. *alike: no list is any other, and the rule is of one
 * seat alone, so that nothing new can come of it. `build` is that of `like`, or a copy with other
 * limits. `loosened`: all rules that shall not bind. HOOK_SIZE still binds, some numbers wider. */
bool problem_begin_like(const Problem *like, const BlyBuild *build, BlyRuleId rule,
                        unsigned loosened, Problem *out, bool *alike, BlyError *err) BLY_MUST_CHECK;
void problem_end(Problem *problem);
bool problem_over(const Problem *problem);

/* What no pick that keeps its bands costs more than, and some that miss them by a little. */
double problem_in_bands(const Problem *problem);

/* The frames before anything is chosen: of the candidates of middling mass. */
bool problem_first_frames(Problem *problem, BlyError *err) BLY_MUST_CHECK;

/* Which kinds a seat leaves open once what is mounted by the readings kept stays. */
unsigned problem_open(const BlyBuild *build, size_t seat);

/* Sets the frames of all waters from the lure of this rig; `worked`: what the full physics says of
 * it, by water, or NULL. */
bool problem_frames(Problem *problem, const BlyRig *like, const BlyOutcome *worked,
                    BlyError *err) BLY_MUST_CHECK;

/* What the programme picked: a candidate for each set, and how far its sheet is filed (mm). */
typedef struct Pick {
    size_t count;      /* of sets */
    size_t *candidate; /* by set; owned by the list */
    double *filed;
    double objective;
} Pick;
typedef struct PickList {
    Pick *at;
    size_t count;
    bool proven, stopped; /* stopped: the stop flag or the time limit ended it */
    double bound;         /* no pick that is left out has a lower objective */
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
/* That, and the parts that would do as well. */
bool problem_finish(const Problem *problem, BlyFitRig *rig, BlyError *err) BLY_MUST_CHECK;
/* As a maker sees it. */
bool fit_looks_alike(const BlyRig *a, const BlyRig *b);

/* Adds up cost, pieces, changes and price of a pick; what merit ranks by: lower is better, and what
 * meets the target comes before what does not. */
void rig_account(const Problem *problem, const Pick *pick, BlyFitRig *rig);
/* How many hundredths of the lure its hooks weigh above the rule "hook-share"; 0 where that costs
 * nothing. Of a rig that was worked through. */
double rig_hooks_above(const Problem *problem, const BlyFitRig *rig);
double rig_merit(const BlyFitRig *rig);

/* For orders: figures in steps of 1e-9, so that last bits decide nothing and the order is total;
 * and rigs by ids, seat by seat, then by what was cut, counted and placed. */
int64_t rig_steps(double figure);
int rig_order(const BlyRig *a, const BlyRig *b);

/* How much lower the merit of any rig could be than that of `best`, which may be NULL, where costs
 * come to `cost_least` at least: the distance `off` is never below 0. NAN while nothing meets the
 * target, because merit does not bound how near the others come. Holds of every rig the candidates
 * make, whatever was looked at by then. */
double rig_gap(const BlyFitRig *best, double cost_least);

/* Betters a rig seat by seat with alternatives of the same look, by the full physics, until the
 * deadline. */
bool rig_polish(const Problem *problem, Pick *pick, BlyFitRig *rig, BlyError *err) BLY_MUST_CHECK;

/* Calls `work` for each rig of the candidates whose merit could be below *below (read again each
 * time), judged by what is exact without physics; the likeliest first. *all: every such rig came
 * up. When there are more than `most`, or a sheet may be filed (which makes any number of rigs),
 * nothing is called and *all is false; it is false as well when the time ran out. */
typedef bool (*EachRig)(void *context, const Pick *pick, BlyError *err);
bool problem_every_rig(const Problem *problem, const double *below, size_t most, EachRig work,
                       void *context, bool *all, BlyError *err) BLY_MUST_CHECK;

/* Whether candidates of two sets exclude each other: their hooks get in each other's way, or a rule
 * of the craft speaks against it. */
bool problem_clash(const Problem *problem, size_t set_a, const Candidate *a, size_t set_b,
                   const Candidate *b);

/* Whether the box holds what these candidates, one of each set, take out of it. */
bool problem_box_holds(const Problem *problem, const size_t *candidate);

/* The second half of it: seat by seat, for lures that do not float. */
bool rig_polish_seats(const Problem *problem, Pick *pick, BlyFitRig *rig,
                      BlyError *err) BLY_MUST_CHECK;

/* Works a pick through; where it is better than `rig` it takes its place. */
bool rig_try(const Problem *problem, const Pick *pick, BlyFitRig *rig, bool *better,
             BlyError *err) BLY_MUST_CHECK;

/* Words for a target that no lure can meet, before anything is solved; "" when nothing speaks
 * against it. */
void problem_impossible(const Problem *problem, char *out, size_t size);

/* Words for limits that leave no rig at all, where the programme proved that there is none. */
void problem_nothing_left(const Problem *problem, char *out, size_t size);

/* Parts that would do as well as those chosen, as text (owned by the rig; NULL: none). */
bool rig_equals(const Problem *problem, const BlyRig *rig, char **out,
                BlyError *err) BLY_MUST_CHECK;

/* Words for a body too light or too heavy for its target, under the frames of the nearest miss; out
 * stays as it is where that is not so. */
void problem_too_light(const Problem *problem, const BlyFitRig *nearest, char *out, size_t size);
void problem_too_heavy(const Problem *problem, const BlyFitRig *nearest, char *out, size_t size);

/* Words for the part that would turn a near miss into a rig; "" when none is found. */
bool problem_missing(const Problem *problem, const BlyFitRig *nearest, char *out, size_t size,
                     BlyError *err) BLY_MUST_CHECK;

/* The same for a plate of a thickness that is not on offer, of a material that is, with whatever
 * the other seats allow: "" when the full physics finds none, or no seat takes a lip. */
bool missing_plate(const Problem *problem, const BlyRig *nearest, char *out, size_t size,
                   BlyError *err) BLY_MUST_CHECK;

/* Half of the dead zone around the middle of a band, in half-bands: inside it cost decides. */
#define FIT_DEAD_ZONE 0.25

#endif
