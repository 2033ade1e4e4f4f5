/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The choice programme: one column per group, additive features, bands, costs; the K best, exactly.
 *
 * Private to the room fit, and it knows nothing of lures. A rig is one column per group ("nothing"
 * is a column like any other). Every column adds its features to sums; rows keep sums within bands,
 * targets pull sums towards a centre, and both speak in prices:
 *
 *   objective = cost of the columns
 *             + weight * max(0, |sum - centre| - dead) / unit           for each target
 *             + weight * (worst violation / unit over the class's rows) for each elastic class
 *
 * Because bands give way at a price, there is always an answer unless a hard row forbids it; with
 * no rig inside its bands the K nearest misses come back, each with the amount by which it misses.
 *
 * Units are the caller's and should bring numbers near 1: grams, millimetres, g mm; prices in
 * tolerances. Never SI: 1e-6 kg m drowns in the tolerances of a linear programme.
 *
 * The caller owns all it passes in, and may free it once programme_solve has returned. */
#ifndef BALLASTRY_PROGRAMME_H
#define BALLASTRY_PROGRAMME_H

#include "ballastry/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    PROG_FEATURES_MAX = 64,
    PROG_GROUPS_MAX = 32,
    PROG_ROWS_MAX = 64,
    PROG_TARGETS_MAX = 16,
    PROG_CLASSES_MAX = 8,
    PROG_PAIRS_MAX = 64,
    PROG_BEST_MAX = 1000
};

/* A distance (ProgRig) too small to look for a better: a twentieth of a tolerance. */
#define PROG_NEAR 0.05

/* "No margin" for a row, "hard" for its class. */
#define PROG_NONE ((size_t)-1)

/* One choice. A plate that may be filed thinner has range > 0: its features are f - delta g for a
 * delta anywhere in [0, range]; range 0 is a fixed column and g may be NULL. */
typedef struct ProgColumn {
    const double *f;   /* feature_count numbers */
    const double *g;   /* feature_count numbers lost per unit of delta, or NULL */
    double range;      /* largest delta, >= 0 */
    double cost;       /* >= 0 */
    double cost_slope; /* cost per unit of delta, >= 0 */
    int64_t visible;   /* rigs are visibly different when this differs in some group */
} ProgColumn;

typedef struct ProgGroup {
    const ProgColumn *columns;
    size_t count; /* >= 1 */
} ProgGroup;

/* lo + sum margin <= base + sum f[feature] <= hi - sum margin. The margin is a feature too (the
 * columns' own tolerances), so that it is additive. lo may be -INFINITY, hi INFINITY. */
typedef struct ProgRow {
    size_t feature, margin; /* margin may be PROG_NONE */
    double base, lo, hi;
    size_t elastic; /* class that pays for a violation, or PROG_NONE: the row is hard */
    double unit;    /* one unit of violation, > 0; not read for a hard row */
} ProgRow;

/* Pays weight * max(0, |base + sum f[feature] - centre| - dead) / unit. */
typedef struct ProgTarget {
    size_t feature;
    double base, centre;
    double dead; /* >= 0 */
    double unit; /* > 0 */
    double weight;
} ProgTarget;

/* Two groups whose columns cannot always go together (hooks that touch). */
typedef struct ProgPair {
    size_t group_a, group_b;
} ProgPair;

/* True when column a of pairs[pair].group_a excludes column b of its group_b. Must be a pure
 * function of its arguments. */
typedef bool (*ProgForbidden)(void *context, size_t pair, size_t column_a, size_t column_b);

typedef struct Programme {
    size_t feature_count;
    const ProgGroup *groups;
    size_t group_count;
    const ProgRow *rows;
    size_t row_count;
    const ProgTarget *targets;
    size_t target_count;
    const double *class_weight; /* price of one unit of violation, per elastic class, > 0 */
    size_t class_count;
    const ProgPair *pairs;
    size_t pair_count;
    ProgForbidden forbidden; /* NULL when pair_count is 0 */
    void *forbidden_context;
} Programme;

/* Which way to search. AUTO is the one to use; the others are for tests and measurements. */
typedef enum ProgMethod {
    PROG_AUTO,      /* enumeration; the tree where it meets its cap; enumeration to the end */
    PROG_ENUMERATE, /* enumeration alone, without a cap */
    PROG_TREE,      /* the relaxation, then GLPK's branch and bound alone */
    PROG_RELAX      /* the relaxation alone: no rigs, a bound */
} ProgMethod;

typedef struct ProgOptions {
    size_t best;                 /* how many rigs to find, 1 to PROG_BEST_MAX */
    bool visibly_different;      /* at most one rig, the best, per combination of visible keys */
    double time_limit_secs;      /* 0: none */
    bool (*stop)(void *context); /* NULL, or asked now and then: true to stop soon */
    void *stop_context;
    ProgMethod method;
    size_t node_cap; /* nodes before the tree takes over in AUTO; 0: a sound default */
    size_t tree_cap; /* nodes before the tree gives up in AUTO; 0: a sound default */
    size_t patience; /* nodes after which a full list is good enough, and after eight times as many
                        any list; its bound says what may still be missing. 0: to the end */
    double enough;   /* > 0: rigs above this objective are of no interest; 0: all are */
    bool exact_ties; /* order all equals of the last rig, whatever it costs; see ties_open */
} ProgOptions;

/* One rig, worked out anew from its columns. Arrays belong to the result. */
typedef struct ProgRig {
    double objective, cost, deviation, penalty; /* objective is the sum of the other three */
    double distance;   /* sum of weight |sum - centre| / unit, dead zone or not: orders equals */
    size_t *columns;   /* per group */
    double *delta;     /* per group, 0 for fixed columns */
    double *value;     /* per row: base + sum f */
    double *margin;    /* per row: sum of the margin, 0 without one */
    double *violation; /* per row, in the row's own unit of value, >= 0 */
    double *off;       /* per target: base + sum f - centre */
    bool in_bands;     /* no violation above 1e-9 */
} ProgRig;

typedef struct ProgStats {
    size_t columns, lp_columns, lp_iterations;
    size_t rounds, nodes, leaves; /* of the enumeration */
    size_t kept_columns;          /* that the last budget left standing */
    size_t learnt;                /* bounds taken from rigs that all others let pass */
    size_t tree_nodes, tree_rounds;
    double lp_secs, enumerate_secs, tree_secs;
} ProgStats;

typedef struct ProgResult {
    ProgRig *rigs; /* best first: objective, cost, distance, then columns in group order */
    size_t count;
    /* No rig outside the list has an objective below `bound` (INFINITY when the list holds every
     * rig there is; `enough` where nothing below that is missing), so rigs at or below it are
     * proven to be in their place. */
    double bound;
    bool proven; /* every rig of the list is in its place, and none of interest is missing */
    /* Equals of the last rig may exist that come before it by the finer order. Without exact_ties
     * they are looked for until the last rig lies within PROG_NEAR of the centres, or for a set
     * number of nodes: hundreds of rigs may cost the same, and no scale tells them apart. */
    bool ties_open;
    bool impossible;  /* proven: the hard rows (and forbidden pairs) leave no rig at all */
    bool out_of_time; /* the time limit or the stop flag ended the search */
    double relaxed;   /* bound of the linear relaxation */
    ProgStats stats;
} ProgResult;

/* Finds the K best rigs. Fills *result (to be freed with programme_free) and returns true whenever
 * the input was sound; fewer rigs than asked for, or none, is an answer, and so is "not proven":
 * look at the result. Rigs whose objectives differ by less than 1e-7 count as equals and are
 * ordered by cost, then distance, then columns. The same input gives the same answer unless time or
 * the stop flag ended the search.
 * Errors: BLY_E_RANGE for a number that is NaN, infinite or out of range, BLY_E_MISSING for an
 * empty group, BLY_E_UNKNOWN for an index out of range, BLY_E_MEMORY. Nothing is printed, ever. */
bool programme_solve(const Programme *programme, const ProgOptions *options, ProgResult *result,
                     BlyError *err) BLY_MUST_CHECK;

/* For a programme that is solved in parts, each of which allows only columns of one key: bounds[k],
 * of `keys`, is what no rig of part k is better than, from one relaxation of the whole (so less
 * sharp than that of the part). key[g][c] is the key of group g's column c, below `keys`, or
 * PROG_ANY_KEY for a column that every part allows. INFINITY where a part leaves a group without a
 * column. Errors: as programme_solve. */
#define PROG_ANY_KEY ((size_t)-1)
bool programme_bounds(const Programme *programme, const size_t *const *key, size_t keys,
                      double *bounds, BlyError *err) BLY_MUST_CHECK;

/* Whether programmes may be solved in several threads at once: so where GLPK was built with
 * thread-local memory, as Debian's is. */
bool prog_threads(void);

/* Releases what programme_solve allocated and zeroes *result. A zeroed result is allowed. */
void programme_free(ProgResult *result);

/* Columns that weigh the same within `step` are equals for the eye and the scale: keeps the
 * cheapest of each bucket (the first of equals) and lists the others behind it. Only the caller
 * knows when one feature stands for all, as a chain's mass does for all that hangs from one point.
 */
typedef struct ProgBuckets {
    size_t *kept;   /* `count` column numbers, ascending by bucket, then by visible key */
    size_t count;   /* buckets */
    size_t *first;  /* count + 1 places in `equals` */
    size_t *equals; /* column numbers by bucket: kept[b] first, then by cost, then by number */
} ProgBuckets;

/* Buckets columns[0..count-1] by round(f[feature] / step); by_visible keeps unlike visible keys
 * apart. Columns with range > 0 are never put together. step > 0. Errors: BLY_E_RANGE, _MEMORY. */
bool programme_bucket(const ProgColumn *columns, size_t count, size_t feature, double step,
                      bool by_visible, ProgBuckets *buckets, BlyError *err) BLY_MUST_CHECK;
void programme_buckets_free(ProgBuckets *buckets);

#endif
