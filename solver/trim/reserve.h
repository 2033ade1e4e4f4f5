/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the room trim: trims as lists of options, the planned tank tests, what the maker takes
 * the lure for after each, and the search for the best trims. */
#ifndef BALLASTRY_TRIM_RESERVE_H
#define BALLASTRY_TRIM_RESERVE_H

#include "trim/trim.h"
#include "practice/craft.h"

enum { TRIM_OPTIONS_MAX = 64, TRIM_GROUPS_MAX = BLY_TRIMS_MAX };

typedef struct TrimOption {
    Moments add;       /* to what the lure has */
    int steps, things; /* that there are to do: of another hook and wire on it two */
    double x;
    double give_share;    /* of it, 95 of 100, where it has one of its own; else 0 */
    const BlyPart *other; /* hook that hangs then in place of that as built; else NULL */
    bool by_scale;        /* with wire on it until the scale shows what goes off */
} TrimOption;

/* Options of one group exclude one another; those of different groups add up (what hangs acts at
 * one point). Doing nothing is not listed. */
typedef struct TrimGroup {
    BlyTrimKind kind;
    int seat;
    const BlyPart *part;
    double give_share; /* of what a step adds, 95 of 100 */
    double play; /* kg: wire is cut that much longer or shorter than an option has it; else 0 */
    TrimOption option[TRIM_OPTIONS_MAX];
    size_t count;
} TrimGroup;

typedef struct TrimList {
    TrimGroup group[TRIM_GROUPS_MAX];
    size_t count;
} TrimList;

/* need: net weight (kg) by which the far end of the spread misses the middle of the target: dots
 * and wire are chosen to reach that with the smallest step. Where that step is above `half`, half
 * the target's band, finer ones go beside them. */
typedef struct TrimTask {
    const BlyBuild *build;
    const BlyCatalog *catalog;
    const BlyRig *rig;
    const BlyReserveOptions *options;
    double density; /* of the tank's water */
    double need, half;
    const Craft *craft; /* what a trim may not break */
} TrimTask;
double trims_unit(const BlyCatalog *catalog,
                  BlyTrimKind kind); /* m a step of what is measured, else 0 */
bool trims_list(const TrimTask *task, TrimList *out, BlyError *err) BLY_MUST_CHECK;
/* What is cut or ground off does not come back. */
bool trim_is_final(BlyTrimKind kind);

/* ---- belief.c: a lure as far as tests and trims touch it, and what is believed of it ---- */

typedef enum BeliefState {
    BELIEF_N,     /* kg, net weight in the tank */
    BELIEF_X,     /* kg m, where that acts, as GripLoad has it */
    BELIEF_Z,     /* the same */
    BELIEF_DRAG,  /* factor */
    BELIEF_MUNK,  /* factor */
    BELIEF_SHOWS, /* share, in the tank; at the surface only */
    BELIEF_NOSE,  /* rad, afloat there; at the surface only */
    BELIEF_WATER, /* kg: how much more it weighs in each water of the target, one after the other */
    BELIEF_STATES = BELIEF_WATER + BLY_SPREAD_WATERS_MAX
} BeliefState;

/* A normal law: what the build says and its gives, then what readings leave of them. */
typedef struct Belief {
    size_t count; /* of BELIEF_STATES that are in use */
    double mean[BELIEF_STATES];
    double cov[BELIEF_STATES][BELIEF_STATES];
} Belief;

/* Learns that h . state is 0 for the state as it is, apart from a normal error of `variance`: `off`
 * is h . state as believed. */
void belief_learn(Belief *belief, const double h[BELIEF_STATES], double off, double variance);
/* The lure changes by `change`, known but for a share of it with such a variance. */
void belief_move(Belief *belief, const double change[BELIEF_STATES], double share_variance);
double belief_variance(const Belief *belief, const double h[BELIEF_STATES]);

/* ---- planned_test.c ---- */

/* Water 0 of the lure is the tank, those after it are the target's. */
typedef struct PlannedTest {
    const QuickLure *quick;
    const BlyTarget *target;
    double drift_low, drift_high; /* effective */
    bool at_surface;
    unsigned tools;
    Belief prior;
    GripLoad load[BLY_SPREAD_WATERS_MAX + 1]; /* nominal, by water */
    double shows[BLY_SPREAD_WATERS_MAX + 1];  /* nominal */
    double mass;                              /* kg */
    double hull, load_mass, load_x, load_z;   /* m3, kg, m: at the surface, in the tank */
    double timing_give, angle_sigma, thread_sigma, weights_step, shows_sigma; /* of tools */
    double depth, patience;
} PlannedTest;

void planned_make(const QuickLure *quick, const BlyReserveOptions *options, unsigned tools,
                  PlannedTest *out);
/* The lure as believed, in a water of the task. */
GripLoad planned_load(const PlannedTest *task, const Belief *belief, size_t water);

/* NAN: not read. */
typedef struct PlannedReading {
    double drift, drift_sigma; /* m/s; 0: hung still */
    double nose_down;          /* rad */
    bool afloat;               /* nose_down is that at the surface */
    double shows;
    double in_water; /* kg */
} PlannedReading;

enum { PLANNED_NOISES = 4 }; /* time, angle, thread, float line: standard normal numbers */
/* Of a sample in the tank. */
PlannedReading planned_read(const PlannedTest *task, const BlyOutcome *outcome,
                            const double noise[PLANNED_NOISES]);
void planned_learn(const PlannedTest *task, const PlannedReading *reading, Belief *belief);

/* ---- outlook.c: where in its bands the lure is believed to lie ---- */

enum { OUTLOOK_PLACES = 3 }; /* drift or shows, angle, roll arm */

/* About a belief: places in the target's bands, -1 and 1 their edges, straight about the middle of
 * the bands. low and high: the lowest and highest of the target's waters. */
typedef struct Outlook {
    const PlannedTest *task;
    size_t states; /* of the belief, in use */
    double low[OUTLOOK_PLACES], high[OUTLOOK_PLACES];
    double slope[OUTLOOK_PLACES][BELIEF_STATES]; /* mean over the waters */
    double variance[OUTLOOK_PLACES];
    bool has_low[OUTLOOK_PLACES], has_high[OUTLOOK_PLACES]; /* edges that there are */
    double middle[OUTLOOK_PLACES];                          /* of low and high */
    double least[OUTLOOK_PLACES], most[OUTLOOK_PLACES];     /* 0 where a side is open */
} Outlook;
void outlook_make(const PlannedTest *task, const Belief *belief, Outlook *out);
/* What a change of the state does to the places. */
void outlook_move(const Outlook *outlook, const double change[BELIEF_STATES],
                  double by[OUTLOOK_PLACES]);
/* Squares of the places once they have moved so, added; of a one-sided band nothing well inside.
 * What is `bar` or more may be told too low, but not below it. Here in the header, since most of a
 * plan's time is spent on it. */
static inline double outlook_square(const Outlook *outlook, const double by[OUTLOOK_PLACES],
                                    double bar) {
    double sum = 0.0;
    for (int k = 0; k < OUTLOOK_PLACES && sum < bar; k++) {
        double at = outlook->middle[k] + by[k];
        at = at < outlook->least[k] ? outlook->least[k] : at;
        at = at > outlook->most[k] ? outlook->most[k] : at;
        sum += at * at;
    }
    return sum;
}
/* How likely the target is missed once places have moved so, be it by one requirement or by all,
 * and a little for each square, so that what one trim cannot bring home comes nearer for the next:
 * the less the better. */
double outlook_score(const Outlook *outlook, const double by[OUTLOOK_PLACES],
                     const double more_variance[OUTLOOK_PLACES]);
/* What more put on does to the state. */
void outlook_change(const PlannedTest *task, const Moments *add, double change[BELIEF_STATES]);
/* Net weight (kg in the tank) that the nominal lure lacks to the middle, and half the band. */
void planned_missing(const PlannedTest *task, double *missing, double *half);

/* ---- choose.c ---- */

enum { TRIM_MOVES = 2 };

/* What hangs on a lure after trims: for each group the option that is on, -1: as built; kg by which
 * its wire is longer than that; and kg, one standard deviation, what it is off by. */
typedef struct TrimState {
    short on[TRIM_GROUPS_MAX];
    double more[TRIM_GROUPS_MAX], sigma[TRIM_GROUPS_MAX];
} TrimState;
void trim_state_begin(TrimState *state);

typedef struct TrimMove {
    short group, option; /* the option that the group then has */
    double more;         /* kg of wire beyond it, within the group's play */
} TrimMove;
typedef struct TrimMoves {
    TrimMove move[TRIM_MOVES];
    int count;
} TrimMoves;

/* An option as a change of the state. */
typedef struct TrimChange {
    double change[BELIEF_STATES];
} TrimChange;

typedef struct TrimChooser {
    const PlannedTest *task;
    const TrimList *trims;
    TrimChange *at; /* owned: group by group TRIM_OPTIONS_MAX */
} TrimChooser;
bool trim_chooser_make(const PlannedTest *task, const TrimList *trims, TrimChooser *out,
                       BlyError *err) BLY_MUST_CHECK;
void trim_chooser_release(TrimChooser *chooser);
/* The best moves from a state, by outlook_score and what each costs; none where nothing betters. */
TrimMoves trim_choose(const TrimChooser *chooser, const TrimState *state, const Outlook *outlook);
/* Does the moves: to the state, and to what is believed. */
void trim_move(const TrimChooser *chooser, const TrimMoves *moves, TrimState *state,
               Belief *belief);
/* What a group has on comes to, in so many of its standard deviations, as a share of the option. */
double trim_state_share(const TrimGroup *group, const TrimState *state, size_t g, double noise);

/* ---- plan.c: many lures, each looked at in the tank and trimmed the best way ---- */

struct TrimPlan {
    const BlyCatalog *catalog; /* borrowed */
    QuickLure *quick;
    PlannedTest task;
    TrimList *trims;
    TrimChooser chooser;
    SpreadDraw *draw;
    int tests, asked;       /* worked out; that the maker is willing to make */
    size_t samples, looked; /* room for; worked so far */
    size_t met[BLY_TESTS_MAX + 1], left_alone;
    size_t kept[BLY_TESTS_MAX + 1]; /* of met: as built as well */
    bool own_lures;                 /* the chance as built is that of these lures */
    unsigned long seed;
    unsigned char *met_then;      /* by sample: after the tests that are asked */
    unsigned char *mends;         /* by lure */
    double *drift, *nose, *shows; /* in the tank as built, by sample */
    size_t shows_count, nose_count, turned;
    BlyOutcome nominal;           /* in the tank */
    size_t used[TRIM_GROUPS_MAX]; /* after the first test */
    double *steps[TRIM_GROUPS_MAX], *places[TRIM_GROUPS_MAX],
        *from[TRIM_GROUPS_MAX]; /* of the lures that it is used on */
};

/* The usual ones filled in; what is out of range refused. */
bool plan_check(const BlyBuild *build, BlyReserveOptions *options, BlyError *err) BLY_MUST_CHECK;
/* Begins anew with the first lure, by the law that the inputs of plan->quick have by now. */
bool plan_again(TrimPlan *plan, const BlyReserveOptions *options, BlyError *err) BLY_MUST_CHECK;

#endif
