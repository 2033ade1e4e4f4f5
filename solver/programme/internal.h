/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the choice programme share: the model seen as one-sided prices, the cuts that
 * bound it, the pool of the best, and the three stages (relaxation, enumeration, tree). */
#ifndef BALLASTRY_PROGRAMME_INTERNAL_H
#define BALLASTRY_PROGRAMME_INTERNAL_H

#include "programme/guard.h"
#include "programme/programme.h"

#include <stdint.h>

enum { PROG_SIDES_MAX = 2 * PROG_ROWS_MAX, PROG_CUTS_MAX = 96 };

/* Objectives closer than this are equals; the same figure is the slack of every comparison with
 * the K-th best, so that equals are met before they are ordered. */
#define PROG_EQUAL 1e-7
/* Rounding of our own sums, and what a hard row may be over by (times its own size). */
#define PROG_ROUND 1e-9

/* One side of a row: violation = sum over columns of (sign f + margin) + constant, to be <= 0. */
typedef struct ProgSide {
    size_t row, feature, margin;
    double sign, constant;
    size_t elastic;
    double unit;
    double slack; /* what a hard side may be over by */
} ProgSide;

/* The programme, checked, with what can be known of it before any search. Borrows the input. */
typedef struct ProgModel {
    const Programme *in;
    ProgSide side[PROG_SIDES_MAX];
    size_t side_count;
    size_t column_count;
    bool any_delta;
    bool any_slope; /* filing some column costs */
    double worst;   /* no rig's objective is above this */
    double grid; /* every column's cost is a multiple of this; 0 when there is none to speak of */
} ProgModel;

bool prog_check(const Programme *in, const ProgOptions *options, BlyError *err);
void prog_model_init(ProgModel *model, const Programme *in);

/* Prices per side (>= 0) and per target (signed), brought within what the model can charge. */
typedef struct ProgPrices {
    double side[PROG_SIDES_MAX];
    double target[PROG_TARGETS_MAX];
} ProgPrices;

/* ---- the worth of one rig (value.c) ---- */

typedef struct ProgEntry {
    double objective, cost, deviation, penalty, distance;
    size_t column[PROG_GROUPS_MAX];
    double delta[PROG_GROUPS_MAX];
} ProgEntry;

/* Works out entry->column at its best deltas. False when a hard row forbids it, or when the
 * objective is above `limit` (the rest of the entry is then not filled). */
bool prog_value(const ProgModel *model, ProgGuard *guard, double limit, ProgEntry *entry);
/* The smallest objective over two and more deltas at once, by GLPK: fills entry->delta, and
 * `nearest` (per group) with deltas that should do as well and lie nearest to the centres. */
bool prog_value_many(const ProgModel *model, ProgGuard *guard, ProgEntry *entry, double *nearest);
/* Prices under which the rig of these columns is worth its objective and no less, whatever else is
 * paid for: its own cut. False where hard rows forbid it, or with two plates and more. */
bool prog_value_prices(const ProgModel *model, const size_t *column, ProgPrices *prices);
/* Sums of all features at the entry's columns and deltas. */
void prog_sums(const ProgModel *model, const ProgEntry *entry, double *sums);
/* How far a side is over, for given sums; at most 0 when it holds. */
double prog_side_over(const ProgSide *side, const double *sums);

/* ---- bounds (cut.c) ---- */

/* A price per feature under which no rig's objective is below
 *     constant + sum over groups of min over columns (cost + q . f),
 * whatever the prices, so that a poor relaxation costs time and never exactness. With ray set the
 * cost does not count, and a sum above 0 means that no rig exists. */
typedef struct ProgCut {
    double q[PROG_FEATURES_MAX];
    size_t used[PROG_FEATURES_MAX], used_count; /* features whose price is not zero */
    double constant;
    double charge; /* largest share of a target's or class's price that it asks for, 0 to 1 */
    double target_charge; /* the same of targets alone */
    double dead;          /* what the dead zones take off the bound */
    bool ray;
    bool misses; /* asks a class for all it can charge: a band that no mixture of columns keeps */
} ProgCut;

typedef struct ProgCuts {
    /* cut[0] is the relaxation's; then those of its variants, plain ones, and what was learnt */
    ProgCut cut[PROG_CUTS_MAX];
    size_t count, relaxed, learnt; /* `relaxed` at the front and `learnt` at the end are sharpest */
} ProgCuts;

/* The bound of one rig, at the deltas that the cut likes best. */
double prog_cut_of_rig(const ProgModel *model, const ProgCut *cut, const size_t *column);
void prog_cut_from_prices(const ProgModel *model, const ProgPrices *prices, ProgCut *cut);
/* Adds the cuts that speak of one side or target alone, and the ray of the hard sides. */
void prog_cuts_plain(const ProgModel *model, const ProgPrices *relaxed, ProgCuts *cuts);
/* Adds cuts that a plate's filing leaves as they are: with the thickness free, only such a
 * combination of two pulls says what a partial rig still lacks. */
void prog_cuts_neutral(const ProgModel *model, ProgCuts *cuts);
/* Adds the cut of the rig's own prices, under which neither it nor its like pass again, unless one
 * of those learnt since the first `known` bounds the rig above `limit` already. True when added. */
bool prog_cuts_learn(const ProgModel *model, size_t known, const size_t *column, double limit,
                     ProgCuts *cuts);
/* The group's column with a delta that the cut likes best, or NULL. */
const ProgColumn *prog_likely_plate(const ProgModel *model, const ProgCut *cut, size_t g);
/* The largest bound of this cut that a rig with objective <= limit can have. Where costs are
 * multiples of a grid, a bound between two steps means the next step, or a deviation that makes up
 * for it; the cut asks for only a share of the deviation's price, so that is soon too dear. */
double prog_cut_reach(const ProgModel *model, const ProgCut *cut, double limit);
/* The column's part of a cut at delta 0, and its change per unit of delta. */
void prog_cut_at(const ProgModel *model, const ProgCut *cut, const ProgColumn *column,
                 double *value, double *slope);
/* constant + sum of the least parts: the bound itself. */
double prog_cut_floor(const ProgModel *model, const ProgCut *cut);

/* ---- the relaxation (relax.c) ---- */

enum { PROG_PRICES_MAX = 3 };

/* Solves the linear relaxation and gives its prices, then those of the relaxation in which a likely
 * plate may be filed at will: *count sets in all, 1 to PROG_PRICES_MAX. A solver that fails leaves
 * zero prices: still a bound. False only without memory. */
bool prog_relax(const ProgModel *model, ProgGuard *guard, ProgPrices *prices, size_t *count,
                ProgStats *stats, BlyError *err);

/* ---- the pool of the best (pool.c) ---- */

typedef struct ProgPool {
    const ProgModel *model;
    ProgEntry *entry;   /* room for one more than `best` */
    size_t count, best; /* best: as many as wanted, or as there can be */
    bool visibly;
} ProgPool;

bool prog_pool_init(ProgPool *pool, const ProgModel *model, size_t wanted, bool visibly,
                    BlyError *err);
void prog_pool_free(ProgPool *pool);
/* Keeps the entry if it is among the best; true when the pool changed. */
bool prog_pool_offer(ProgPool *pool, const ProgEntry *entry);
/* The K-th once K are held, else NULL; its objective, else INFINITY. */
const ProgEntry *prog_pool_last(const ProgPool *pool);
double prog_pool_limit(const ProgPool *pool);
/* The held rig that looks the same, or NULL. */
const ProgEntry *prog_pool_lookalike(const ProgPool *pool, const size_t *column);

/* ---- the end of patience (clock.c) ---- */

typedef struct ProgClock {
    double start_secs, limit_secs; /* limit 0: none */
    bool (*stop)(void *context);
    void *stop_context;
    bool over; /* time is up, or stop said so */
} ProgClock;

void prog_clock_start(ProgClock *clock, const ProgOptions *options);
double prog_clock_secs(const ProgClock *clock); /* since the start */
bool prog_clock_over(ProgClock *clock);

/* ---- what a limit leaves standing (sieve.c) ---- */

/* One column of a group that may still be in a rig worth having. */
typedef struct ProgOption {
    uint32_t column;
    uint32_t look; /* number of its visible key within the group */
    int32_t line;  /* row of `slope` for a column with a delta, else -1 */
} ProgOption;

/* Options group by group, and what the cuts say of them. */
typedef struct ProgSieve {
    const ProgModel *model;
    const ProgCuts *cuts;
    double limit;
    ProgOption *option;
    size_t *group; /* of each option */
    size_t count;
    const ProgCut *cut[PROG_CUTS_MAX]; /* those that can end a branch, cuts->cut[0] first */
    size_t cut_count;
    double *least; /* prog_sieve_least */
    double group_least[PROG_GROUPS_MAX][PROG_CUTS_MAX];
    double group_most[PROG_GROUPS_MAX][PROG_CUTS_MAX];
    size_t group_count[PROG_GROUPS_MAX];
    double floor[PROG_CUTS_MAX], room[PROG_CUTS_MAX];
} ProgSieve;

/* Leaves what can be part of a rig with objective <= limit. False only without memory; to be freed
 * either way. */
bool prog_sieve(ProgSieve *sieve, const ProgModel *model, const ProgCuts *cuts, double limit);
void prog_sieve_free(ProgSieve *sieve);
/* An option's least part of every cut of the sieve, over its deltas. */
double *prog_sieve_least(const ProgSieve *sieve, size_t option);

/* ---- the same, packed for the search (field.c) ---- */

/* A visible key of a group, with its options next to each other. */
typedef struct ProgLook {
    size_t first, count; /* options, by their part of cut 0 */
} ProgLook;

typedef struct ProgSpan {
    size_t first, count;
} ProgSpan;

/* All increments are >= 0 and measured from the least of their group, so a partial rig is dead as
 * soon as one of its sums passes that cut's room. `width` is the number of cuts kept, rounded up.
 */
typedef struct ProgField {
    size_t width, cut_count;
    size_t known_cuts; /* that it was built from; cut_count of them are kept */
    const ProgCut *cut[PROG_CUTS_MAX];
    double floor[PROG_CUTS_MAX]; /* bound before any choice; 0 for a ray */
    double ray_room[PROG_CUTS_MAX];
    bool ray[PROG_CUTS_MAX];
    ProgSpan group[PROG_GROUPS_MAX]; /* options */
    ProgSpan look_span[PROG_GROUPS_MAX];
    ProgOption *option;
    double *inc;      /* option_count * width */
    double *slope;    /* line_count * width */
    double *range;    /* line_count */
    ProgLook *look;   /* look_count */
    double *look_inc; /* look_count * width */
    size_t option_count, line_count, look_count;
    bool empty; /* some group has no column left: nothing lies within the limit */
} ProgField;

/* Keeps what can be part of a rig with objective <= limit. False only without memory. */
bool prog_field_build(ProgField *field, const ProgModel *model, const ProgCuts *cuts, double limit,
                      bool by_look, BlyError *err);
void prog_field_free(ProgField *field);

/* ---- windows (window.c) ---- */

enum { PROG_EDGES = 3 };

/* For the cut: increment >= key / inverse + least. */
typedef struct ProgEdge {
    size_t cut;
    double inverse, least;
} ProgEdge;

typedef struct ProgWindow {
    bool open; /* false: too few options, or no direction says anything */
    ProgEdge hi[PROG_EDGES], lo[PROG_EDGES];
    size_t hi_count, lo_count;
} ProgWindow;

typedef struct ProgWindows {
    ProgWindow window[PROG_GROUPS_MAX];
    uint32_t *option; /* look by look in the order of the keys */
    double *key;
    double *part; /* increment of cut 0, in the field's own order */
} ProgWindows;

bool prog_windows_init(ProgWindows *windows, const ProgModel *model, const ProgField *field,
                       const double *room);
void prog_windows_free(ProgWindows *windows);
/* The shorter list of options that covers all which fit: places in windows->option when
 * *by_window, else in the field's own order. base: what the partial rig has used of every cut. */
ProgSpan prog_window_span(const ProgWindows *windows, size_t group, const ProgLook *look,
                          const double *base, const double *room, bool *by_window);

/* ---- enumeration (budget.c, search.c) ---- */

typedef struct ProgReach {
    double bound;  /* every rig below this has been met */
    bool capped;   /* ended by the node cap, or tired */
    bool ties_cut; /* equals were left unseen */
} ProgReach;

/* When a search has done enough without having seen everything; 0: never. */
typedef struct ProgPatience {
    size_t node_cap; /* further nodes */
    size_t tie_cap;  /* nodes that can at best hold equals */
    size_t patience; /* as in ProgOptions, as is enough */
    double enough;
} ProgPatience;

/* Whether what the pool holds is good enough after so many nodes. */
bool prog_tired(size_t patience, double enough, const ProgPool *pool, const ProgStats *stats);

/* Enumerates in budgets that double until the K best are proven, or patience or the clock ends it.
 * False only without memory. */
bool prog_enumerate(const ProgModel *model, ProgCuts *cuts, ProgPool *pool, ProgGuard *guard,
                    ProgClock *clock, const ProgPatience *patience, ProgReach *reach,
                    ProgStats *stats, BlyError *err);

/* ---- branch and bound (tree.c) ---- */

/* GLPK's tree with a pool. Bounds as above. False only without memory. */
bool prog_tree(const ProgModel *model, const ProgCuts *cuts, ProgPool *pool, ProgGuard *guard,
               ProgClock *clock, size_t node_cap, ProgReach *reach, ProgStats *stats,
               BlyError *err);

#endif
