/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws of a build on the line. Each input and each factor of the model has a stratified sample of
 * its own (a Latin hypercube: McKay, Beckman & Conover 1979, Technometrics 21, 239), put in an
 * order that its name alone decides: lures that share an input share its draws. */
#include "tow/sample.h"
#include "tow/parts.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <stdlib.h>
#include <string.h>

typedef struct Draws {
    const TowTask *task;
    BlyInput inputs[BLY_INPUTS_MAX];
    size_t input_count, draws;
    double *place; /* owned: (inputs + factors) rows of draws, 0 to 1 */
    double factor[BLY_INPUTS_MAX * BLY_INPUTS_MAX];
    bool tied;
    BlySeat *seats; /* owned room for a lever */
    BlyPart *parts;
    gsl_rng *random;
} Draws;

/* FNV-1a, of an input's name. */
static unsigned long name_of(const BlyInput *input, unsigned long seed) {
    unsigned long hash = 2166136261UL ^ seed;
    int numbers[] = {(int)input->kind, input->seat, input->index, input->part_kind};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
        hash = (hash ^ (unsigned long)(numbers[i] + 2)) * 16777619UL & 0xffffffffUL;
    for (const char *c = input->id; *c; c++)
        hash = (hash ^ (unsigned char)*c) * 16777619UL & 0xffffffffUL;
    return hash;
}

static void stratify(Draws *draws, size_t row, unsigned long seed) {
    double *place = draws->place + row * draws->draws;
    gsl_rng_set(draws->random, seed);
    for (size_t k = 0; k < draws->draws; k++)
        place[k] = ((double)k + 0.5) / (double)draws->draws;
    gsl_ran_shuffle(draws->random, place, draws->draws, sizeof *place);
}

static const BlyWaterFacts *water_of(const TowTask *task) {
    return task->water ? task->water : &task->build->water;
}

static bool open_draws(const TowTask *task, Draws *out, BlyError *err) {
    const BlyBuild *build = task->build;
    memset(out, 0, sizeof *out);
    out->task = task;
    out->draws = task->ask->draws ? task->ask->draws : BLY_TOW_DRAWS;
    if (!bly_inputs_list(build, task->rig, water_of(task), out->inputs, &out->input_count, err) ||
        !uncertain_ties(build, out->inputs, out->input_count, out->factor, &out->tied, err))
        return false;
    size_t rows = out->input_count + BLY_TOW_FACTORS;
    out->place = calloc(rows * out->draws, sizeof *out->place);
    out->seats = calloc(build->seat_count + 1, sizeof *out->seats);
    out->parts = calloc(build->seat_count + 1, sizeof *out->parts);
    out->random = gsl_rng_alloc(gsl_rng_mt19937);
    if (!out->place || !out->seats || !out->parts || !out->random)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for draws of the lure");
    for (size_t i = 0; i < out->input_count; i++)
        stratify(out, i, name_of(&out->inputs[i], task->ask->seed) + 100);
    for (size_t i = 0; i < BLY_TOW_FACTORS; i++)
        stratify(out, out->input_count + i, task->ask->seed * 64 + i + 1);
    return true;
}

static void close_draws(Draws *draws) {
    free(draws->place);
    free(draws->seats);
    free(draws->parts);
    if (draws->random)
        gsl_rng_free(draws->random);
}

static void draw(const Draws *draws, size_t k, double *u, BlyTowModel *model) {
    for (size_t i = 0; i < draws->input_count; i++)
        u[i] = gsl_cdf_ugaussian_Pinv(draws->place[i * draws->draws + k]);
    if (draws->tied)
        uncertain_tie(draws->factor, draws->input_count, u);
    double place[BLY_TOW_FACTORS];
    for (size_t i = 0; i < BLY_TOW_FACTORS; i++)
        place[i] = draws->place[(draws->input_count + i) * draws->draws + k];
    *model = tow_model_at(draws->task->build, place);
}

/* One lure on its line. */
typedef struct Drawn {
    BlyTow *tow; /* owned */
    BlyTowLine line;
    bool possible;
} Drawn;

/* The lure as moved, with the lever pulled. */
static bool tow_changed(Draws *draws, MovedLure *moved, const BlyWater *water, Drawn *out,
                        BlyError *err) {
    const TowTask *task = draws->task;
    size_t seats = task->build->seat_count;
    BlyRig rig = {NULL, 0};
    BlyLure lure = {0};
    BlyVec3 tie;
    memcpy(draws->seats, moved->build.seats, seats * sizeof *draws->seats);
    bool done = bly_rig_copy(&rig, &moved->rig, err);
    TowRigged on = {draws->seats, &rig, {0, 0, 0}, task->ask->line, draws->parts};
    out->possible = done && tow_lever_pull(task->lever, task->build, task->rig, &on);
    out->line = on.line;
    if (out->possible)
        done = bly_lure_make(&moved->blank, on.seats, &rig, &lure, err) &&
               bly_tow_tie(&lure, on.seats, seats, &rig, &tie, err) &&
               bly_tow_make(&lure, bly_vec_add(tie, on.tie_moved), water, &out->tow, err);
    bly_lure_release(&lure);
    bly_rig_release(&rig);
    return done;
}

static bool tow_plain(const TowTask *task, const MovedLure *moved, const BlyWater *water,
                      Drawn *out, BlyError *err) {
    BlyVec3 tie;
    out->possible = true;
    out->line = task->ask->line;
    return bly_tow_tie(&moved->lure, moved->build.seats, task->build->seat_count, &moved->rig, &tie,
                       err) &&
           bly_tow_make(&moved->lure, tie, water, &out->tow, err);
}

static bool drawn_make(Draws *draws, const double *u, Drawn *out, BlyError *err) {
    const TowTask *task = draws->task;
    UncertainCase set = {task->build, task->rig, draws->inputs, draws->input_count,
                         &task->build->blank};
    MovedLure moved;
    BlyWater water;
    *out = (Drawn){0};
    bool done = moved_lure_about(&set, u, &moved, err) &&
                uncertain_water(&set, water_of(task), u, &water, err) &&
                (task->lever == BLY_TOW_LEVERS ? tow_plain(task, &moved, &water, out, err)
                                               : tow_changed(draws, &moved, &water, out, err));
    moved_lure_release(&moved);
    return done;
}

static double angle_near(const BlyTow *tow, const BlyTowModel *model, double speed, double guess) {
    double angle = NAN;
    if (!isnan(guess)) {
        TowAt at = tow_at(tow, model, speed);
        angle = tow_root_near(&at, guess);
    }
    return isnan(angle) ? tow_followed(tow, model, speed) : angle;
}

static bool look(Draws *draws, const Drawn *lure, const BlyTowModel *model, size_t k,
                 TowSample *out, BlyError *err) {
    const TowTask *task = draws->task;
    for (size_t s = 0; s < out->speeds; s++) {
        double speed = task->ask->speeds[s];
        double angle = angle_near(lure->tow, model, speed, out->nominal[s].nose_down);
        BlyTowRun run;
        if (!tow_run_at(lure->tow, model, speed, angle, &lure->line, &run, err))
            return false;
        out->at[k * out->speeds + s] = (TowDrawn){run.state,      run.nose_down, run.pull,
                                                  run.line.depth, run.cast_most, run.near_rod};
    }
    out->floats[k] = bly_tow_net_weight(lure->tow) < 0;
    if (task->under)
        out->under[k] = bly_tow_draws_under(lure->tow, model);
    return true;
}

static bool nominal(Draws *draws, TowSample *out, BlyError *err) {
    double u[BLY_INPUTS_MAX] = {0};
    BlyTowModel model = bly_tow_model(draws->task->build);
    Drawn lure;
    bool done = drawn_make(draws, u, &lure, err);
    out->possible = lure.possible;
    if (done && lure.possible) {
        out->net_weight = bly_tow_net_weight(lure.tow);
        if (draws->task->under)
            out->nominal_under = bly_tow_draws_under(lure.tow, &model);
        for (size_t s = 0; s < out->speeds && done; s++)
            done = bly_tow_run(lure.tow, &model, draws->task->ask->speeds[s], &lure.line,
                               &out->nominal[s], err);
    }
    bly_tow_free(lure.tow);
    return done;
}

static bool all(Draws *draws, TowSample *out, BlyError *err) {
    out->draws = draws->draws;
    out->speeds = draws->task->speeds;
    out->at = calloc(out->draws * out->speeds, sizeof *out->at);
    out->under = calloc(out->draws, sizeof *out->under);
    out->floats = calloc(out->draws, sizeof *out->floats);
    if (!out->at || !out->under || !out->floats)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for draws of the lure");
    if (!nominal(draws, out, err))
        return false;
    for (size_t k = 0; k < out->draws && out->possible; k++) {
        double u[BLY_INPUTS_MAX] = {0};
        BlyTowModel model;
        Drawn lure;
        draw(draws, k, u, &model);
        bool done = drawn_make(draws, u, &lure, err) && look(draws, &lure, &model, k, out, err);
        bly_tow_free(lure.tow);
        if (!done)
            return false;
    }
    return true;
}

bool tow_sample_make(const TowTask *task, TowSample *out, BlyError *err) {
    Draws *draws = malloc(sizeof *draws);
    memset(out, 0, sizeof *out);
    if (!draws)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for draws of the lure");
    bool done = open_draws(task, draws, err) && all(draws, out, err);
    close_draws(draws);
    free(draws);
    return done;
}

void tow_sample_release(TowSample *sample) {
    free(sample->at);
    free(sample->under);
    free(sample->floats);
    memset(sample, 0, sizeof *sample);
}
