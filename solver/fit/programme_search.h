/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the enumeration: one search as its budgets (programme_budget.c) set it up and its tree
 * (programme_search.c) goes through it. */
#ifndef BALLASTRY_FIT_PROGRAMME_SEARCH_H
#define BALLASTRY_FIT_PROGRAMME_SEARCH_H

#include "fit/programme_internal.h"

enum { PROG_LEVELS_MAX = 2 * PROG_GROUPS_MAX };

typedef struct ProgLevel {
    size_t group;
    bool looks; /* chooses a visible key, not a column */
} ProgLevel;

typedef struct ProgSearch {
    const ProgModel *model;
    ProgField field; /* what the present budget leaves; built and freed by run_budget */
    ProgCuts *cuts;
    ProgPool *pool;
    FitGuard *guard;
    ProgClock *clock;
    ProgStats *stats;
    size_t node_cap, tie_cap, tie_nodes;
    bool visibly, full, halt, capped, ties_cut;
    bool representing; /* below a combination of visible keys */
    size_t too_dear;   /* rigs that passed all cuts of the field and cost more than the limit */
    bool anew;         /* the budget is worth starting again with what was learnt from them */
    double limit;      /* of the budget */
    double finished;   /* of the budget before: every rig below has been met */
    double reach;      /* of the budget or the rival, whichever is less */
    ProgLevel level[PROG_LEVELS_MAX];
    size_t level_count, first_column_level;
    size_t look_of[PROG_GROUPS_MAX];   /* chosen look, per group */
    size_t option_of[PROG_GROUPS_MAX]; /* chosen option, per group */
    size_t line_at[PROG_GROUPS_MAX], line_count;
    double room[PROG_CUTS_MAX], tight[PROG_CUTS_MAX], nearer[PROG_CUTS_MAX];
    double *sums; /* level_count + 1 rows of width */
    double *base; /* the same, less the look's own increments */
    ProgEntry entry;
    ProgWindows windows;
} ProgSearch;

/* Everything in search->field with an objective up to search->limit, into its pool. False only
 * without memory. */
bool prog_search_field(ProgSearch *search) BLY_MUST_CHECK;

#endif
