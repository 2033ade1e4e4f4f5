/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The room trim for the other rooms: what readings taken before the planned tests would make of the
 * chance after them. */
#ifndef BALLASTRY_TRIM_TRIM_H
#define BALLASTRY_TRIM_TRIM_H

#include "ballastry/trim.h"
#include "spread/spread.h"

/* ---- the plan of one rig, lure by lure ---- */

/* Lures are drawn one after the other, the same for every rig of a build and seed, so that a rig's
 * chance is known roughly by the first few. The whole of them is bly_reserve. */
typedef struct TrimPlan TrimPlan;

/* Errors as bly_reserve's; trim_plan_free in every case. Borrows build, catalog and rig. */
bool trim_plan_open(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                    const BlyReserveOptions *options, TrimPlan **out, BlyError *err) BLY_MUST_CHECK;
void trim_plan_free(TrimPlan *plan);
/* Looks at lures until so many are, options->samples at most. */
void trim_plan_look(TrimPlan *plan, size_t lures);
size_t trim_plan_looked(const TrimPlan *plan);
/* Whether a lure that was looked at meets its target after the build's tests; the share that does,
 * NAN before there is one. */
bool trim_plan_met(const TrimPlan *plan, size_t lure);
double trim_plan_chance(const TrimPlan *plan);
/* How many of the tests that the maker is willing to make find it off target, and so ask for a
 * mend. */
int trim_plan_mends(const TrimPlan *plan, size_t lure);
/* What one trim can add and take off at most, kg in water, up to what the spread asks for: twice
 * the 5 % lure's distance from the nominal one. */
void trim_plan_room(const TrimPlan *plan, double *add, double *take_off);
/* What the lures that were looked at come to, the chances as BlyReserve has them; once, last. */
bool trim_plan_reserve(TrimPlan *plan, const BlyBuild *build, BlyReserve *out,
                       BlyError *err) BLY_MUST_CHECK;

/* ---- with something read before ---- */

/* A reading of the sum of row[i] u[i] over a lure's inputs (standard normal numbers, tied as the
 * build has them), with a normal error; both in the reading's own unit. */
typedef struct TrimKnown {
    double row[BLY_INPUTS_MAX];
    enum {
        TRIM_KNOWS_ROW,
        TRIM_KNOWS_MASS,
        TRIM_KNOWS_NET
    } what;       /* the latter two, kg of the
                   * whole lure in air, and in the
                   * tank: the row is filled in */
    double sigma; /* > 0 */
} TrimKnown;

enum { TRIM_KNOWN_MAX = 40 };
/* Lists the readings that there are, by the inputs of the rig; at most TRIM_KNOWN_MAX. */
typedef size_t (*TrimKnownList)(const void *context, const BlyInput *inputs, size_t count,
                                TrimKnown out[TRIM_KNOWN_MAX]);

/* Asked between readings: true ends it early. `asked` NULL, or no TrimHalt: never. */
typedef struct TrimHalt {
    bool (*asked)(void *context);
    void *context;
} TrimHalt;

/* The chance after the build's tests with nothing read, *now, and once each of the readings was
 * taken alone and what is still open was chosen anew for the lure as it is then believed, so that
 * it lies where the rig had it. Only the `most` readings that take most doubt off net weight and
 * balance are worked; chance of the others is NAN, as of those that `halt` left. All by the same
 * `samples` lures. Errors as bly_reserve's. */
bool trim_knowing(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                  const BlyReserveOptions *options, TrimKnownList list, const void *context,
                  size_t most, const TrimHalt *halt, double *now, double chance[TRIM_KNOWN_MAX],
                  size_t *count, BlyError *err) BLY_MUST_CHECK;

/* What is left of the inputs' law after a reading: `factor` (n squared, lower triangle: the
 * inputs' own ties; any == false: the identity) becomes that of the law given the reading. */
bool trim_condition(double *factor, bool any, size_t n, const TrimKnown *known,
                    BlyError *err) BLY_MUST_CHECK;

/* Wire that goes on or comes off, in a plan and in a mend: m, what a ruler still tells; and turns,
 * what still holds on a shank. */
extern const double trim_cut_least, trim_turns_least;

#endif
