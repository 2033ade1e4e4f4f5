/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/maker_first.h"

#include "desk/desk.h"

#include <gsl/gsl_randist.h>
#include <stdlib.h>
#include <string.h>

static const double scale_give = 0.02e-3; /* kg, 95 of 100: docs/tank.md */

typedef struct First {
    const BlyCatalog *catalog;
    double give;
    RealLure *lure;
    BlyBuild *file; /* owned */
    FitWork fitted;
    bool weighed; /* the blank */
} First;

static bool take(First *f, char *text, BlyError *err) {
    BlyBuild *build = NULL;
    bool good = bly_build_read(text, strlen(text), f->catalog, &build, err);
    free(text);
    if (!good)
        return false;
    bly_build_free(f->file);
    f->file = build;
    return true;
}

static bool choose(First *f, BlyError *err) {
    const BlyFitOptions one = {.rigs = 1};
    fit_work_release(&f->fitted);
    return fit_work(f->file, f->catalog, FIT_SUREST, &one, &f->fitted, err) &&
           (f->fitted.result.count > 0 ||
            bly_fail(err, BLY_E_CONFLICT, f->file->name, "no rig at all"));
}

static BlyFigure read_mass(First *f, double mass) {
    double off = gsl_ran_gaussian(f->lure->dice, f->give / BLY_SIGMAS_95);
    return (BlyFigure){mass + off, f->give};
}

/* `tank --stage blank --scale ..`, and fit anew. One that contradicts teaches nothing. */
static bool weigh_blank(First *f, BlyError *err) {
    TankWork tank = {.count = 1, .water = f->file->water};
    double mass;
    char *text = NULL;
    f->weighed = true;
    if (!real_blank(f->lure, &mass, err))
        return false;
    tank.readings[0] = (BlyReading){BLY_READ_SCALE, read_mass(f, mass), BLY_STAGE_BLANK};
    const LearntNotes notes = {tank.readings, 1, &tank.water, NULL};
    bool good = tank_work(f->file, &tank, err), taken = good && !tank_refused(&tank, false);
    good = good && (!taken || learnt_text(f->file, &tank.result, &notes, &text, err));
    tank_work_release(&tank);
    return good && (!taken || (take(f, text, err) && choose(f, err)));
}

/* The piece is the one that the rig then hangs: its mass stands in the file. */
static bool weigh_piece(First *f, const WorthAct *act, BlyError *err) {
    BlyRig *rig = &f->fitted.result.rigs[0].rig;
    double mass;
    if (!real_takes(f->lure, rig, err) ||
        !real_piece(f->lure, act->seat, act->part->kind, &mass, err))
        return false;
    rig->at[act->seat].of[act->part->kind].weighed = read_mass(f, mass);
    return true;
}

static const WorthAct *asked(const First *f) {
    const Worth *worth = f->fitted.worth;
    return worth != NULL && worth->best >= 0 ? &worth->act[worth->best] : NULL;
}

/* The blank until it is cut, and fit anew; then the one piece that is worth it. */
static bool read_first(First *f, int *read, BlyError *err) {
    const WorthAct *act = asked(f);
    bool good = true;
    if (act != NULL && act->kind == WORTH_BLANK && !f->weighed) {
        good = weigh_blank(f, err);
        (*read)++;
        act = good ? asked(f) : NULL;
    }
    if (act != NULL && act->kind == WORTH_PIECE) {
        good = weigh_piece(f, act, err);
        (*read)++;
    }
    return good;
}

bool maker_first(const BlyBuild *open, const BlyCatalog *catalog, bool sharp, RealLure *lure,
                 BlyBuild **file, int *read, BlyError *err) {
    First f = {.catalog = catalog, .give = (sharp ? 1e-3 : 1) * scale_give, .lure = lure};
    char *text = NULL;
    bool good = bly_build_text_with_rig(open, &open->fitted, &text, err) && take(&f, text, err) &&
                choose(&f, err) && read_first(&f, read, err);
    bool fits = good && f.fitted.result.met;
    if (fits)
        good = real_takes(lure, &f.fitted.result.rigs[0].rig, err) &&
               bly_build_text_with_rig(f.file, &f.fitted.result.rigs[0].rig, &text, err) &&
               take(&f, text, err);
    fit_work_release(&f.fitted);
    *file = NULL;
    if (good && fits)
        *file = f.file;
    else
        bly_build_free(f.file);
    return good;
}
