/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rules of the craft as records: words, origin, numbers. A table in the catalog holds them
 * (catalog/practice.json; a maker's own file overrides rules as it overrides parts); what they ask
 * of a rig is in practice.h. docs/practice.md lists them. SI; ranks of hooks as bly_hook_rank. */
#ifndef BALLASTRY_RULES_H
#define BALLASTRY_RULES_H

#include "ballastry/parts.h"

BLY_API_BEGIN

/* In the order in which a fit loosens them when nothing within the craft will do. */
typedef enum BlyRuleId {
    BLY_RULE_FIRST_BUILD, /* wire on a shank, dots, washers: only when nothing else will do */
    BLY_RULE_HOOK_SIZE,
    BLY_RULE_HOOK_GRADE,
    BLY_RULE_HOOK_STYLE, /* one style */
    BLY_RULE_HOOK_ORDER, /* rear not larger, at most so many numbers smaller */
    BLY_RULE_HOOK_ALIKE, /* grades at most so many apart */
    BLY_RULE_RING_SIZE,
    BLY_RULE_RING_ALIKE,
    BLY_RULE_EYE_WIRE,
    BLY_RULE_EYE_SHANK,
    BLY_RULE_EYE_WOOD,
    BLY_RULE_EYE_SOLID, /* a shank stands in solid */
    BLY_RULE_EYE_ALIKE,
    BLY_RULE_LIP_WIDTH,
    BLY_RULE_LIP_FREE,
    BLY_RULE_LIP_GAUGE,
    BLY_RULE_LIP_BENDING,
    BLY_RULE_SURFACE, /* widths and stacks of strips and dots */
    BLY_RULE_LEAD,
    BLY_RULE_SNAP, /* none at the line tie */
    BLY_RULE_HOOK_SHARE,
    BLY_RULE_KINDS,
    BLY_RULE_ATTITUDE,
    BLY_RULE_MENDING, /* of a finished lure: in which order, in which steps */
    BLY_RULES
} BlyRuleId;

typedef enum BlyRuleStrength {
    BLY_RULE_OFF,
    BLY_RULE_NEVER, /* unless the build asks for it */
    BLY_RULE_COSTS, /* where something else will do, not this */
    BLY_RULE_ORDER, /* among equals */
    BLY_RULE_STRENGTHS
} BlyRuleStrength;

enum {
    BLY_RULE_ROWS_MAX = 40,
    BLY_RULE_COLUMNS_MAX = 3,
    BLY_RULE_WORD_MAX = 24,
    BLY_RULE_TEXT_MAX = 320
};

typedef struct BlyRule {
    char words[BLY_RULE_TEXT_MAX], source[BLY_RULE_TEXT_MAX];
    char limit[BLY_RULE_WORD_MAX]; /* the key of "limits" that loosens it */
    BlyOrigin origin;
    BlyRuleStrength strength; /* OFF also where the catalog has no such rule */
} BlyRule;

/* Rows of numbers, and of one or two words that they belong to. */
typedef struct BlyRuleTable {
    size_t rows;
    double at[BLY_RULE_ROWS_MAX][BLY_RULE_COLUMNS_MAX];
    char word[BLY_RULE_ROWS_MAX][2][BLY_RULE_WORD_MAX];
} BlyRuleTable;

/* What a maker does to a finished lure. */
typedef enum BlyMend {
    BLY_MEND_WIRE,  /* turns on a shank, more or fewer */
    BLY_MEND_DOT,   /* put on or taken off */
    BLY_MEND_STRIP, /* put on where no metal lies, or cut shorter */
    BLY_MEND_RING,
    BLY_MEND_GRADE,
    BLY_MEND_NUMBER,
    BLY_MEND_EDGE, /* the lip cut back */
    BLY_MEND_BACK, /* ground thinner where it stands out */
    BLY_MENDS
} BlyMend;
const char *bly_mend_id(BlyMend mend); /* "wire" */

/* All numbers of the rules. Plain data: copied as it is. */
struct BlyPractice {
    BlyRule rule[BLY_RULES];
    /* HOOK_SIZE: length, smallest and largest rank, straight between; heights as shares of the
     * length; with three trebles so many numbers smaller; where the rule is let go at most so many
     * numbers beyond; trebles and the singles in their place;
     * ranks that are sold. */
    BlyRuleTable slender, deep, singles, sold;
    double slender_height, deep_height, three_smaller, size_beyond;
    BlyRuleTable grades, salt_grades; /* HOOK_GRADE: words */
    double salt_from;                 /* kg/kg */
    double smaller_most, tail_down;   /* HOOK_ORDER: ranks; rad */
    double grades_apart;              /* HOOK_ALIKE */
    BlyRuleTable rings;               /* RING_SIZE: hook's rank, lightest and heaviest number */
    double ring_lighter;              /* under a larger or stouter hook */
    BlyRuleTable screw_wire, twisted_wire; /* EYE_WIRE: length, wire */
    double screw_heavy, twisted_heavy;     /* kg: from here one step more, and the last */
    double heavy_border;                   /* share of them within which either is right */
    double screw_share, twisted_share;     /* EYE_WOOD: of the least thickness */
    double skin, far_skin;                 /* m */
    double lip_least, lip_most, lip_flat_most, flat_from; /* LIP_WIDTH; width over height */
    double free_least, free_most;                         /* LIP_FREE: shares of the length */
    BlyRuleTable gauges;           /* LIP_GAUGE: material; length, least, most */
    double bend_force, bend_per_g; /* LIP_BENDING: N, N a gram */
    double strip_share, layers_most, stack_most, clear; /* SURFACE */
    double share_least, share_most;                     /* HOOK_SHARE */
    double share_cost, share_chance; /* for each hundredth above: half-bands; chance, 0 to 1 */
    double kind_cost;                /* KINDS: half-bands */
    double grade_cost, number_cost;  /* half-bands for each that two hooks differ by */
    BlyRuleTable mend_order;         /* MENDING: names of BlyMend, and when it is tried, 1 first */
    double edge_step, back_step, back_give;               /* m */
    double mends_most, mend_gain, mend_alike, mend_worth; /* at once; chances, 0 to 1 */
    double single_cost, short_cost, metal_cost;           /* half-bands for what is not usual */
    double metal_chance;     /* what a lip of a rare one must be surer by, 0 to 1 */
    double short_below;      /* of the longest hook of its style and size */
    BlyRuleTable eye_metals; /* words: usual */
    BlyRuleTable rare_lips;  /* words: materials that lips are seldom made of */
    double suspend_low, suspend_high, sink_low, sink_high, float_low,
        float_high;       /* ATTITUDE, rad */
    double screw_density; /* EYE_WOOD: kg/m3 of wood, below it no screw holds; 0: any does */
};

/* How a maker mends: the rule "mending" of a catalog, usual figures where it has none. */
typedef struct BlyMending {
    int rung[BLY_MENDS];                    /* when each is tried, 1 first; 0: never */
    double edge_step, back_step, back_give; /* m */
    int at_once;
    /* Of the chance: what a further thing to do must gain, within how much two count as alike, and
     * the share of the best below which a mend is not worth telling. */
    double gain, alike, worth;
} BlyMending;
BlyMending bly_practice_mending(const BlyPractice *practice); /* NULL: no rules */

const char *bly_rule_id(BlyRuleId rule); /* "hook-size" */
bool bly_rule_read(const char *id, BlyRuleId *out);
const char *bly_rule_strength_name(BlyRuleStrength strength); /* "never" */

/* The rules of a catalog; NULL: it has none, and nothing is against the craft. */
const BlyPractice *bly_catalog_practice(const BlyCatalog *catalog);
/* Takes a copy. BLY_E_MEMORY. */
bool bly_catalog_put_practice(BlyCatalog *catalog, const BlyPractice *practice,
                              BlyError *err) BLY_MUST_CHECK;

/* "000" is -2, "00" -1, "0" 0, "1" 1 ..; false for what is no number of a ring. */
bool bly_ring_number(const char *size, int *out);
/* "fine", "medium", "stout", "extra" as 1 to 4; 0 for any other word, or none. */
int bly_hook_grade(const char *grade);

BLY_API_END

#endif
