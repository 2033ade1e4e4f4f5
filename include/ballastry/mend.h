/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now at the bench to a finished lure that was looked at in the tank: trims on what is
 * mounted first, how sure the lure is then, what the next test should show, and what to do where it
 * comes out on either side. docs/fit.md. */
#ifndef BALLASTRY_MEND_H
#define BALLASTRY_MEND_H

#include "ballastry/fit.h"
#include "ballastry/rules.h"
#include "ballastry/tank.h"

BLY_API_BEGIN

/* The smallest step that is left once the mend is done, for a lure that the next test shows beyond
 * an edge of its band. */
typedef struct BlyMendStep {
    bool known;
    double edge;  /* beyond which it is asked for, as read in the tank: m/s of drift, positive
                   * down; share that shows of what is to float */
    BlyMend kind; /* WIRE, DOT, STRIP, EDGE, BACK, RING */
    int seat;
    const BlyPart *part; /* borrowed from the catalog */
    int count;           /* whole turns or dots on (above 0) or off; 0 of what is measured */
    double length;       /* m, of strip, lip, or wire that is no whole turn: off; below 0 on */
    double net_weight;   /* kg that it adds in the tank's water, signed */
} BlyMendStep;

typedef struct BlyMendPlan {
    BlyFitRig rig;     /* the lure as mended, in every water of the target; owned */
    bool leaves;       /* there is nothing to do: rig is as fitted */
    bool exchanges;    /* some part is another one then */
    double chance_now; /* that the target is met in every water as the lure is */
    double chance;     /* and as mended */
    double farther;    /* share of lures that the mend leaves farther outside than they are */
    double mass;       /* kg in air, dry, as mended, and as it is */
    double mass_now;
    /* The next test, in the build's own water: what comes out in 90 of 100. */
    BlyOutcome tank;
    BlyBand90 net_weight, drift, nose_down, shows;
    BlyMendStep too_light, too_heavy;
    size_t looked_at;       /* mends, singly and together */
    struct BuildTies *ties; /* how what is known hangs together then; owned */
} BlyMendPlan;

/* Needs a target; what a seat leaves open is bly_seat_mendable's. Of options only stop, time limit
 * and progress count. Errors as bly_fit_finished. Release the plan in every case. */
bool bly_mend(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
              BlyMendPlan *out, BlyError *err) BLY_MUST_CHECK;
void bly_mend_release(BlyMendPlan *plan);
/* The build as mended, for its file. What is weighed as it goes on or comes off is known by the
 * difference: it hangs together with the rest as what it takes the place of. free(*text). */
bool bly_mend_text(const BlyBuild *build, const BlyMendPlan *plan, char **text,
                   BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
