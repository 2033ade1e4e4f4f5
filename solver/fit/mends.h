/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a maker could do to a finished lure, one thing at a time (mends.c: what hangs; mends_skin.c:
 * metal on the skin and the lip), and how such things go together (mend_apply.c). */
#ifndef BALLASTRY_FIT_MENDS_H
#define BALLASTRY_FIT_MENDS_H

#include "fit/problem.h"

enum { MEND_SEATS = 8, MEND_CLASSES_MAX = 96 };

/* One thing done, at one seat or at several alike. Of `to` only what the kind changes counts. */
typedef struct Mend {
    BlyMend kind;
    int class; /* those of one class do the same thing, by another amount or part */
    int seats; /* how many */
    int seat[MEND_SEATS];
    BlyChoice to[MEND_SEATS];
    Lump adds;      /* to the lure as fitted */
    bool takes;     /* something that the maker's box holds few of */
    double trouble; /* among those of one class: turns, dots, millimetres */
} Mend;

typedef struct MendList {
    Mend *at; /* owned */
    size_t count, room;
    int classes;
    int rung[MEND_CLASSES_MAX];  /* by class: when it is tried */
    int first[MEND_CLASSES_MAX]; /* among those tried at once: the front hook, then all alike */
} MendList;

/* What is mended: all borrowed. */
typedef struct Bench {
    const BlyBuild *build;
    const BlyCatalog *catalog;
    const BlyFitOptions *options;
    const Craft *craft;
    const FitBox *box;
    BlyMending how;
    bool by_scale; /* what goes on or off is weighed where that is surer than its count, and metal
                    * is ground off by the scale: in finer steps */
    double deadline;
} Bench;

/* kg, 95 of 100, that a change by so much is off, where each is off by such a share: less by the
 * scale. */
double mends_give(const Bench *bench, double mass, double share);
/* The same of wire, which is cut to its length where that is surer still. */
double mends_wire_give(const Bench *bench, const BlyPart *wire, double mass);
void mends_release(MendList *list);
bool mends_list(const Bench *bench, MendList *out, BlyError *err) BLY_MUST_CHECK;

/* Steps of it. A class that no mend was put into is taken back. */
bool mends_of_skin(const Bench *bench, int seat, MendList *out, BlyError *err) BLY_MUST_CHECK;
bool mends_of_lip(const Bench *bench, int seat, MendList *out, BlyError *err) BLY_MUST_CHECK;
bool mends_begin(MendList *list, const Bench *bench, BlyMend kind, int first);
void mends_end(MendList *list);
/* Appends one of the class that was begun last, where it fits and breaks no rule that the lure as
 * fitted keeps. */
bool mends_add(const Bench *bench, Mend *mend, MendList *list, BlyError *err) BLY_MUST_CHECK;

/* Wire that goes on or comes off one shank, as mend `like` of the list has it, cut so that it makes
 * up `more` kg, to a half millimetre: its place in the list; `like` itself where that cannot be. */
bool mends_cut(const Bench *bench, int like, double more, MendList *list, int *at,
               BlyError *err) BLY_MUST_CHECK;

/* Does it to a rig of the build. */
void mend_apply(const BlyBuild *build, const Mend *mend, BlyRig *rig);
bool mend_is_exchange(BlyMend kind); /* one part for another: a ring or a hook */
/* Both at once make no sense: the same thing twice, or two hooks that do not change alike. */
bool mends_exclude(const Mend *a, const Mend *b);
/* Whether the maker's box holds what mends so numbered take together. */
bool mends_in_box(const Bench *bench, const MendList *list, const int *mend, int count);

#endif
