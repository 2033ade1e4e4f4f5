/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawings that a maker looks at, prints and cuts from. Everything here makes text (SVG, or plain
 * characters for a terminal) from records; turning SVG into PDF or PNG and writing files is done
 * by the room `picture`. What each drawing shows: docs/sheet.md. */
#ifndef BALLASTRY_SHEET_H
#define BALLASTRY_SHEET_H

#include "ballastry/ladder.h"
#include "ballastry/rest.h"
#include "ballastry/spread.h"
#include "ballastry/tow_range.h"
#include "ballastry/units.h"
#include "build/build.h"

typedef enum BlyPaper { BLY_PAPER_A4, BLY_PAPER_LETTER, BLY_PAPERS } BlyPaper;
const char *paper_name(BlyPaper paper); /* "a4" */
bool bly_paper_read(const char *name, BlyPaper *out);

typedef enum BlySheetView {
    BLY_VIEW_PAGE,      /* the whole bench sheet, on as many pages as it takes */
    BLY_VIEW_SIDE,      /* at rest in its water, to scale */
    BLY_VIEW_OUTLINES,  /* from above and from the front */
    BLY_VIEW_CURVES,    /* net weight over temperature, speed over net weight */
    BLY_VIEW_INFLUENCE, /* what a little more at each seat does */
    BLY_VIEW_CHANCE,    /* how far 90 of 100 such lures spread, against the target */
    BLY_VIEW_TOW,       /* on the line: an estimate */
    BLY_SHEET_VIEWS
} BlySheetView;
const char *sheet_view_name(BlySheetView view); /* "page" */
bool bly_sheet_view_read(const char *name, BlySheetView *out);

enum { BLY_SHEET_POINTS = 41 };

/* All that is drawn of one rig; desk gathers it (desk/work.h). */
typedef struct BlySheetFacts {
    const BlyBuild *build;                    /* borrowed */
    const BlyCatalog *catalog;                /* borrowed */
    const BlyRig *rig;                        /* borrowed */
    BlyLure lure;                             /* owned */
    BlyOutcome outcome;                       /* in the build's own water */
    BlyOutcome target[BLY_TARGET_WATERS_MAX]; /* in each water of the target */
    size_t target_count;
    BlyRung ladder[BLY_STEPS];
    BlySlips slips;          /* owned: what of build and rig is seldom meant */
    BlyInfluence *influence; /* owned, one a seat, of `extra` more */
    double extra;            /* kg */
    /* How sure that is: in the build's own water, and with a target in the target's. Owned. */
    BlySpread *spread;
    size_t spread_count; /* 1 or 2 */
    /* Net weight (kg) over the water's temperature (deg C), and the least and greatest net weight
     * that suspends there (BLY_SUSPEND_SPEED), all at the rest attitude of `outcome`. */
    double temperature[BLY_SHEET_POINTS], net_weight[BLY_SHEET_POINTS];
    double suspend_low[BLY_SHEET_POINTS], suspend_high[BLY_SHEET_POINTS];
    BlyTowed *towed; /* owned; NULL: not worked out, or no tie. Its first speed is drawn */
    /* Speed (m/s, down positive) over net weight (kg) in the build's water. */
    double weight[BLY_SHEET_POINTS], speed[BLY_SHEET_POINTS];
} BlySheetFacts;

void bly_sheet_facts_release(BlySheetFacts *facts);

/* Where a line of text lies on its page: mm from the upper left corner. */
typedef struct BlySheetText {
    double x, y, width, height;
} BlySheetText;

/* One page: an SVG document whose user unit is a millimetre. */
typedef struct BlySheetPage {
    char *svg; /* owned, NUL after `size` bytes */
    size_t size;
    double width_mm, height_mm;
    BlySheetText *texts; /* owned: every line of text on the page */
    size_t text_count;
} BlySheetPage;

typedef struct BlySheet {
    BlySheetPage *pages; /* owned */
    size_t count;
} BlySheet;

typedef struct BlySheetOrder {
    BlySheetView view;
    BlyPaper paper;   /* PAGE only: the other views are as large as they need to be */
    BlySystem system; /* which units come first */
} BlySheetOrder;

/* Draws. `after` (may be NULL) is another rig of the same build: side view and text then show both,
 * `facts` as before. Same records, same bytes. Fails only without memory. */
bool bly_sheet_draw(const BlySheetFacts *facts, const BlySheetFacts *after,
                    const BlySheetOrder *order, BlySheet *out, BlyError *err) BLY_MUST_CHECK;
void bly_sheet_release(BlySheet *sheet);

/* The side view at rest in plain characters. */
typedef struct BlyTerminal {
    int columns; /* 20 to 400; what is given is brought into that range */
    int rows;    /* 5 to 100, at most that many are used */
    bool blocks; /* block elements of Unicode; false: ASCII alone */
    bool colour; /* ANSI colours; never needed to read the picture */
} BlyTerminal;
bool bly_sheet_terminal(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                        const BlyOutcome *outcome, const BlyTerminal *terminal, char **text,
                        BlyError *err) BLY_MUST_CHECK; /* free(*text) by the caller */

#endif
