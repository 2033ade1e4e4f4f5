/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the rooms practice and fit: what the rules ask of one build, worked out once, and the
 * questions that a search asks again and again. Answers are bits 1 << BlyRuleId of rules that are
 * broken; rules that are off or that the build asks to break never show. */
#ifndef BALLASTRY_PRACTICE_CRAFT_H
#define BALLASTRY_PRACTICE_CRAFT_H

#include "ballastry/practice.h"
#include "build/build.h"

enum {
    CRAFT_STYLES = 2 /* of eyes: screw, twisted */,
    CRAFT_RANKS = 40 /* of hooks */,
    CRAFT_RINGS = 32 /* their numbers */
};

/* What goes in at one seat. */
typedef struct CraftSeat {
    double wire[CRAFT_STYLES]; /* m, the least that the rules ask for here; NAN: none */
    bool keeps_wood; /* EYE_WOOD binds here though it is let go: another place cannot keep it */
} CraftSeat;

/* Zero: no rules. The build and its catalog are borrowed. */
typedef struct Craft {
    const BlyBuild *build;
    const BlyCatalog *catalog;
    const BlyPractice *rules;     /* NULL: none, and nothing is ever broken */
    unsigned live;                /* rules that bind */
    unsigned asked;               /* rules that the build asks to break, or that are off */
    double length, width, height; /* m, of the body */
    double mass;                  /* kg, of the finished lure: the rig's own when one is judged,
                                   * else estimated */
    int hook_low, hook_high;      /* ranks of trebles */
    unsigned grades;              /* bits 1 << bly_hook_grade */
    int hangers;
    bool judging;      /* what is fitted counts as chosen */
    bool rear_larger;  /* the target stands tail-down */
    bool eyes_alike;   /* some eye goes in at every seat */
    bool eyes_of_kind; /* or eyes of one kind and metal do, some of finer wire */
    bool
        fine_everywhere; /* the finest wire of the seats' may stand at any: for a maker's own rig */
    bool eyes_of_metal;  /* or eyes of one metal do */
    bool eyes_usual;     /* eyes of the usual metals go in wherever one is chosen */
    double wire_least[CRAFT_STYLES]; /* m, of the seats' wires: alike everywhere */
    double wire_most[CRAFT_STYLES];  /* m, whatever the place */
    double longest[CRAFT_RANKS];     /* m, treble of a rank in the catalog; 0: none */
    double
        ring_wire[CRAFT_RINGS]; /* m, the finest that a ring's number has in the catalog; 0: none */
    CraftSeat *seat;            /* owned, by seat */
} Craft;

/* `loosened`: rules that shall not bind, beside those that the build's limits loosen. */
bool craft_begin(const BlyBuild *build, const BlyCatalog *catalog, unsigned loosened, Craft *out,
                 BlyError *err) BLY_MUST_CHECK;
/* The same for judging the rig that a maker has put together: no seat is taken as settled. */
bool craft_begin_judging(const BlyBuild *build, const BlyRig *rig, Craft *out,
                         BlyError *err) BLY_MUST_CHECK;
void craft_end(Craft *craft);
/* Rules that the build's limits ask to break; of a craft whose sizes and grades are set. */
unsigned craft_asked(const Craft *craft);

static inline bool craft_binds(const Craft *craft, BlyRuleId rule) {
    return (craft->live & (1u << rule)) != 0;
}

/* What a rule may not look at: parts that the build keeps at the seat. `open`: kinds that are
 * chosen, bits 1 << BlyPartKind; a rule speaks only where one of its kinds is. */
unsigned craft_hook(const Craft *craft, const BlyPart *hook);
unsigned craft_ring(const Craft *craft, const BlyPart *ring, const BlyPart *hook);
/* Whether a ring is one lighter than its hook's own. */
bool craft_ring_is_light(const Craft *craft, const BlyPart *ring, const BlyPart *hook);
/* At a place x, m, of a seat. EYE_SHANK is not asked: craft_eye_is_short. */
unsigned craft_eye(const Craft *craft, int seat, double x, const BlyPart *eye);
/* A longer one of the same class would go in, too. */
bool craft_eye_is_short(const Craft *craft, int seat, double x, const BlyPart *eye);
/* Of another metal than the usual, where those go in everywhere and it is neither in the maker's
 * box nor asked for: it would be chosen for its weight. */
bool craft_eye_is_odd(const Craft *craft, const BlyPart *eye);
bool craft_is_usual_metal(const Craft *craft, const BlyPart *eye);
/* Whether the body takes the shank there: wood, far skin, solid. */
unsigned craft_shank(const Craft *craft, const BlySeat *seat, double x, const BlyPart *eye);
/* Eyes that a maker would call the same but for their length. */
bool craft_same_eye(const BlyPart *a, const BlyPart *b);
/* Sets the seats and what their eyes can have in common; at a failure craft_end. */
bool craft_set_eyes(Craft *craft, BlyError *err) BLY_MUST_CHECK;
/* As alike as the places of this build let eyes be. */
bool craft_eyes_go_together(const Craft *craft, const BlyPart *a, const BlyPart *b);
/* Of a lip as long and as thick (m) as it is glued in. */
unsigned craft_lip(const Craft *craft, const BlySeat *seat, const BlyChoice *choice,
                   double thickness);
/* Of its outline alone: width, and how far it stands out. */
unsigned craft_lip_outline(const Craft *craft, const BlySeat *seat, const BlyChoice *choice);
/* The thinnest (m) that gauge and bending let pass; 0: any. */
double craft_lip_least(const Craft *craft, const BlySeat *seat, const BlyChoice *choice);
unsigned craft_patch(const Craft *craft, const BlySeat *seat, const BlyChoice *choice);
/* All that one seat's choice breaks by itself, of the kinds given. */
unsigned craft_choice(const Craft *craft, int seat, const BlyChoice *choice, unsigned kinds);
/* What two seats' choices break together. */
unsigned craft_pair(const Craft *craft, int seat_a, const BlyChoice *a, int seat_b,
                    const BlyChoice *b);

/* What a choice costs for parts that are not usual, of the kinds given; half-bands. */
void craft_set_usual(Craft *craft);
double craft_unusual(const Craft *craft, const BlyChoice *choice, unsigned kinds);
/* What a rig must be surer by, in chance, for lips of a metal that is seldom used, unless the maker
 * has it: fitted, or in the box. */
double craft_rare_chance(const Craft *craft, const BlyRig *rig);

/* What hooks of unlike grade or number cost, half-bands. */
double craft_unlike_hooks(const Craft *craft, const BlyRig *rig);
/* Ids beyond the first of each kind of part in a rig. */
int craft_further_kinds(const BlyRig *rig);
/* Of the whole lure's mass; NAN where the rig has no hooks or a mass is not known. */
double craft_hook_share(const Craft *craft, const BlyRig *rig);
/* Whether hooks that are more of the lure than usual cost. */
bool craft_hooks_cost(const Craft *craft);
/* kg, of the hook that a choice has; 0: none. */
double craft_hook_mass(const BlyChoice *choice);

/* Hooks so many numbers beyond those of the rule "hook-size", which then binds again; all where
 * that says nothing of it. */
void craft_widen_hooks(Craft *craft);
/* How many sizes that are sold lie below a rank: differences are "numbers". */
int craft_size_step(const Craft *craft, int rank);
/* Where a ring's number stands in ring_wire; -1: nowhere. */
int craft_ring_row(const BlyPart *ring);
/* Of the same number in thicker wire than the catalog's finest. */
bool craft_ring_is_heavy(const Craft *craft, const BlyPart *ring);
/* The rank of the treble in whose place a single stands; a treble's own. 0: no size. */
int craft_treble_rank(const Craft *craft, const BlyPart *hook);
/* Straight between a table's rows, by its first number; NAN without rows. `word`: only the rows of
 * that word; NULL: all. */
double craft_between(const BlyRuleTable *table, const char *word, double at, int column);
/* The lip's free length and its least width at or near the slot, m; the force that it is pushed
 * with, N. What it bears is the sheet's own (BlyPart.bending). */
double craft_lip_free(const BlySeat *seat, const BlyChoice *choice);
double craft_lip_root(const BlySeat *seat, const BlyChoice *choice);
double craft_lip_force(const Craft *craft);
/* The gauges in use for a sheet, m; false: the rules do not know it. */
bool craft_gauges(const Craft *craft, const BlyPart *sheet, double *least, double *most);
/* The wire (m) that the table asks for, whatever the place, of a lure of this mass (kg). */
double craft_eye_wire(const Craft *craft, int style, double mass);
int craft_eye_style(const BlyPart *eye); /* -1: neither */
/* The numbers of rings for a hook. */
bool craft_rings_for(const Craft *craft, const BlyPart *hook, int *low, int *high);

/* One rule as figures in words: what is, and what the rule says. */
void craft_say(const Craft *craft, BlyRuleId rule, int seat, const BlyRig *rig, char *out,
               size_t size);

#endif
