/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the enumeration: one search as its budgets (budget.c) set it up and its tree
 * (search.c) goes through it. */
#ifndef BALLASTRY_PROGRAMME_SEARCH_H
#define BALLASTRY_PROGRAMME_SEARCH_H

#include "programme/internal.h"

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
    ProgGuard *guard;
    ProgClock *clock;
    ProgStats *stats;
    size_t node_cap, tie_cap, tie_nodes;
    size_t patience, give_up_at; /* nodes: of the whole search; of this budget, 0: never */
    double enough;
    size_t look_cap, look_ends_at; /* nodes below one combination of visible keys, 0: no end */
    bool skipped;                  /* some such combination was left at its cap */
    bool leave;                    /* the present one is being left */
    bool visibly, full, halt, capped, ties_cut;
    bool representing; /* below a combination of visible keys */
    size_t too_dear;   /* rigs that passed all cuts of the field and cost more than the limit */
    bool learns;       /* bounds taken from such rigs have sharpened the field of late */
    bool anew;         /* the budget is worth starting again with what was learnt from them */
    bool given_up;   /* a budget that takes long and fills no list: a larger one fills it sooner */
    double limit;    /* of the budget */
    double finished; /* of the budget before: every rig below has been met */
    double reach;    /* of the budget or the rival, whichever is less */
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
