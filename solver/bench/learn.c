/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes of tank and pour: readings and mixes in the same words as on the command line. */
#include "bench/folder.h"
#include "bench/route.h"
#include "desk/desk.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* An error about words of the request: where they stand in it. */
static bool blame(BlyError *err, const char *where) {
    (void)snprintf(err->where, sizeof err->where, "%s", where);
    return false;
}

/* ---- tank ---- */

static bool read_one(const BlyJson *at, BlyStage stage, BlyReading *out, BlyError *err) {
    static const char *const members[] = {"kind", "text"};
    const char *names[READING_WAYS], *text;
    BlyJson kind;
    size_t which;
    for (size_t i = 0; i < READING_WAYS; i++)
        names[i] = reading_options[i].name + 2; /* without the dashes */
    if (!bly_json_object(at, members, 2, err) || !bly_json_require(at, "kind", &kind, err) ||
        !bly_json_word(&kind, names, READING_WAYS, &which, err) ||
        !route_text(at, "text", &text, err))
        return false;
    BlyJson place = bly_json_member(at, "text");
    return reading_parse(text, &reading_options[which], stage, out, err) || blame(err, place.where);
}

static bool read_readings(const BlyJson *in, TankWork *out, BlyError *err) {
    BlyStage stage = BLY_STAGE_COMPLETE;
    const char *named = NULL;
    BlyJson list;
    if (!route_text_maybe(in, "stage", &named, err) ||
        !bly_json_require(in, "readings", &list, err) ||
        !bly_json_array(&list, 1, BLY_READINGS_MAX, err))
        return false;
    if (named != NULL && !stage_parse(named, "--stage", &stage, err))
        return blame(err, "/stage");
    for (BlyJson at = bly_json_first(&list); at.node != NULL; bly_json_next(&at)) {
        if (!read_one(&at, stage, &out->readings[out->count++], err))
            return false;
    }
    return true;
}

static bool read_water(const BlyJson *in, BlyWaterFacts *out, BlyError *err) {
    const char *temperature = NULL, *salt = NULL;
    if (!route_text_maybe(in, "water", &temperature, err) ||
        !route_text_maybe(in, "salt", &salt, err))
        return false;
    return tank_water_parse(temperature, salt, out, err) ||
           blame(err, strcmp(err->where, "--salt") == 0 ? "/salt" : "/water");
}

typedef struct TankText {
    const TankReport *tank;
    BlySystem system;
} TankText;

static void write_tank(FILE *out, void *context) {
    const TankText *text = context;
    const Report report = {out, text->system};
    text_tank(&report, text->tank);
}

/* Kept in the maker's book, as the command does: *lure is its name there, "" where it was not. */
static bool keep_lure(const Bench *bench, cJSON *o, const BlyBuild *build, const TankWork *work,
                      char lure[BOOK_NAME_MAX], BlyError *err) {
    BookKept kept;
    const char *path = bench->stock->book_path;
    lure[0] = '\0';
    if (path[0] == '\0')
        return bly_fail(err, BLY_E_MISSING, "/keep", "no book is kept here");
    if (!book_keep(path, build, work, NULL, true, &kept, lure, err) ||
        !put_tree(o, "kept", json_book_kept(kept, lure, path)))
        return false;
    if (kept == BOOK_OFF || kept == BOOK_UNKNOWN)
        lure[0] = '\0';
    return true;
}

static bool put_learnt(const Bench *bench, cJSON *o, const BlyBuild *build, const TankWork *work,
                       bool anyway, bool keep, BlyError *err) {
    if (tank_refused(work, anyway))
        return cJSON_AddNullToObject(o, "build") != NULL;
    char *text = NULL, today[BUILD_DATE_MAX], lure[BOOK_NAME_MAX] = "";
    const LearntNotes notes = {work->readings, work->count, &work->water, desk_today(today)};
    bool good = (!keep || keep_lure(bench, o, build, work, lure, err)) &&
                learnt_text_named(build, &work->result, &notes, lure, &text, err) &&
                put_text(o, "build", text);
    free(text);
    return good;
}

static cJSON *tank_tree(const Bench *bench, const BlyBuild *build, TankWork *work, bool anyway,
                        bool keep, BlyError *err) {
    if ((!anyway && !stages_passed(build, work, err)) || !tank_work(build, work, err))
        return NULL;
    const BlyBuildFiles files = folder_files(bench);
    if (!tank_refused(work, anyway) && !tank_next(build, bench->catalog, &files, work, err))
        return NULL;
    const TankReport report = tank_report(build, work, NULL, anyway);
    TankText text = {&report, bench->system};
    const Report plain = {NULL, bench->system};
    cJSON *o = json_tank(&plain, &report);
    return json_finished(o, o != NULL && route_put_text(o, "text", write_tank, &text) &&
                                put_learnt(bench, o, build, work, anyway, keep, err));
}

cJSON *route_tank(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build = NULL;
    bool anyway = false, keep = false;
    BlyJson said = bly_json_member(in, "anyway"), kept = bly_json_member(in, "keep");
    TankWork *work = calloc(1, sizeof *work);
    if (work == NULL)
        return NULL;
    bool good = read_readings(in, work, err) &&
                (said.node == NULL || bly_json_bool(&said, &anyway, err)) &&
                (kept.node == NULL || bly_json_bool(&kept, &keep, err)) &&
                route_build(bench, in, &build, err);
    if (good) {
        work->water = build->water;
        good = read_water(in, &work->water, err);
    }
    cJSON *o = good ? tank_tree(bench, build, work, anyway, keep, err) : NULL;
    tank_work_release(work);
    free(work);
    bly_build_free(build);
    return o;
}

/* ---- pour ---- */

static bool read_asked(const BlyJson *asked, PourWords *w, BlyError *err) {
    const struct {
        const char *name;
        const char **to;
    } texts[] = {{"mould", &w->mould},
                 {"filler", &w->filler},
                 {"packed", &w->packed},
                 {"gap-water", &w->gap_water},
                 {"gap-vessel", &w->gap_vessel},
                 {"gap-temperature", &w->gap_temperature},
                 {"filler-mass", &w->filler_mass},
                 {"target", &w->target},
                 {"resin", &w->resin},
                 {"by-weight", &w->by_weight},
                 {"by-volume", &w->by_volume},
                 {"a-density", &w->a_density},
                 {"b-density", &w->b_density},
                 {"cured", &w->cured},
                 {"shrinkage", &w->shrinkage},
                 {"allowance", &w->allowance},
                 {"scale-give", &w->scale_give}};
    enum { TEXTS = sizeof texts / sizeof texts[0] };
    const char *members[TEXTS + 1];
    for (size_t i = 0; i < TEXTS; i++)
        members[i] = texts[i].name;
    members[TEXTS] = "stirred";
    BlyJson stirred = bly_json_member(asked, "stirred");
    bool good = bly_json_object(asked, members, TEXTS + 1, err) &&
                (stirred.node == NULL || bly_json_bool(&stirred, &w->stirred, err));
    for (size_t i = 0; good && i < TEXTS; i++)
        good = route_text_maybe(asked, texts[i].name, texts[i].to, err);
    return good;
}

typedef struct PourText {
    const PourWork *work;
    BlySystem system;
} PourText;

static void write_pour(FILE *out, void *context) {
    const PourText *text = context;
    const PourWork *w = text->work;
    const Report report = {out, text->system};
    text_pour(&report, &w->plan, w->known, w->of_build, w->made, &w->outcome, w->spread);
}

static cJSON *pour_tree(const Bench *bench, const BlyBuild *build, const PourWords *words,
                        BlyError *err) {
    PourWork w;
    const BlyBuildFiles files = folder_files(bench);
    cJSON *o = NULL;
    if (pour_work(words, build, bench->catalog, &files, &w, err)) {
        PourText text = {&w, bench->system};
        o = json_pour(&w.plan, w.known, w.made, &w.outcome, w.spread);
        o = json_finished(o, o != NULL && route_put_text(o, "text", write_pour, &text));
    }
    pour_work_release(&w);
    return o;
}

cJSON *route_pour(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyJson asked;
    PourWords words = {0};
    BlyBuild *build = NULL;
    if (!bly_json_require(in, "asked", &asked, err) || !read_asked(&asked, &words, err) ||
        (bly_json_member(in, "build").node != NULL && !route_build(bench, in, &build, err)))
        return NULL;
    cJSON *o = pour_tree(bench, build, &words, err);
    bly_build_free(build);
    return o;
}
