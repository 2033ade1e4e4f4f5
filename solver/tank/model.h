/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the tank room: the quantities that may be corrected, and what a lure would read with
 * them moved. */
#ifndef BALLASTRY_TANK_MODEL_H
#define BALLASTRY_TANK_MODEL_H

#include "ballastry/tank.h"

/* 95 and 90 of 100 of a normal law lie within so many standard deviations. */
#define SIGMAS_95 1.959963984540054
#define SIGMAS_90 1.6448536269514722

/* How far one knob moves a quantity: by `sigma` a standard deviation. */
typedef struct Pull {
    size_t knob;
    double sigma;
} Pull;

enum { PULLS_MAX = 64 };

/* A quantity of the build or the tank that may be corrected. The knobs are independent standard
 * normals; most move one quantity alone, but what the catalog says of a part moves all pieces of
 * it, and what an earlier tank test has tied moves together. */
typedef struct Quant {
    BlyLearnKind kind;
    int index;
    BlyPartKind part;
    BlyFigure prior;
    double low, high; /* the value is kept within */
    Pull pull[PULLS_MAX];
    size_t pull_count;
} Quant;

typedef struct Quants {
    Quant *at; /* owned */
    size_t count, knob_count;
} Quants;

/* All that has a give; free(out->at) by the caller. */
bool quants_of(const BlyBuild *build, const BlyWaterFacts *tank, Quants *out,
               BlyError *err) BLY_MUST_CHECK;

double quant_value(const Quant *quant, const double *z);
/* Range of a knob that its quantity allows. */
void quants_range(const Quants *quants, size_t knob, double *low, double *high);

/* What is read: a reading of the tank, or a figure of the finished lure in its own water. */
typedef struct Probe {
    BlyReadingKind kind;
    BlyStage stage;
    bool in_tank; /* in the tank's water and without a leader */
} Probe;

enum { HULLS = 4 };

typedef struct Model {
    const BlyBuild *build;
    const BlyWaterFacts *tank;
    const Quants *quants;
    size_t knob_count;
    /* The build as moved; owned. */
    BlyBodyFacts facts;
    BlyCoat *coats;
    BlyInset *insets;
    BlyRig rig, early_rig; /* early: without what lies on the coat's surface */
    BlySeat *seats;        /* copies; patches reach a little further */
    BlyWater water, own_water;
    /* Hulls of coats' thicknesses met lately; owned. */
    BlyBlank bare, hull[HULLS];
    size_t hull_count, hull_next;
    double angle[2][BLY_STAGES]; /* rest attitudes found last, by in_tank and stage; NAN */
    double trim[2][BLY_STAGES];  /* the same at the surface */
} Model;

/* The build, the quantities and the tank must outlive the model. Release in every case. */
bool model_begin(Model *model, const BlyBuild *build, const BlyWaterFacts *tank,
                 const Quants *quants, BlyError *err) BLY_MUST_CHECK;
void model_end(Model *model);

/* What the probes would read with the knobs moved by z (one for each knob). Drift comes as v |v|,
 * m2/s2, which goes all but straight with net weight. An attitude that does not exist, or shows of
 * what sinks, is continued smoothly where that makes sense, else NAN. */
bool model_read(Model *model, const double *z, const Probe *probes, size_t count, double *out,
                BlyError *err) BLY_MUST_CHECK;

/* The full outcome of the finished lure in its own water. */
bool model_outcome(Model *model, const double *z, BlyOutcome *out, BlyError *err) BLY_MUST_CHECK;

/* Derivatives of the probes by z, count rows of knob_count. `active` may be NULL for all; columns
 * of the others are 0. Central differences; one-sided at the end of a range. */
bool model_slopes(Model *model, const double *z, const bool *active, const Probe *probes,
                  size_t count, double *out, BlyError *err) BLY_MUST_CHECK;

/* v |v| and back. */
double drift_signed_square(double v);
double drift_from_square(double y);

/* The lure as it is at a stage. */
typedef struct StageLure {
    BlyBlank blank; /* own items, hull borrowed from the model */
    BlyLure lure;
    BlyOutcome outcome; /* under water, once rested */
    BlyFloat surface;   /* once floated */
    bool rested, floated;
} StageLure;
bool stage_make(Model *model, const Probe *probe, StageLure *out, BlyError *err) BLY_MUST_CHECK;
void stage_release(StageLure *stage);

#endif
