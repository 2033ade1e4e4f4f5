/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The route of a lure on its line: what it does there. The same works as the command's. */
#include "bench/line_ask.h"
#include "bench/results.h"
#include "build/build.h"

#include <stdlib.h>
#include <string.h>

static cJSON *said_at(const BlyTowAt *at, BlySystem system) {
    TowSaid said;
    tow_said(at, system, &said);
    cJSON *o = cJSON_CreateObject();
    return json_finished(o,
                         o && put_text(o, "speed", said.speed) && put_text(o, "does", said.does) &&
                             put_text(o, "lies", said.lies) && put_text(o, "pull", said.pull) &&
                             put_text(o, "at_rod", said.at_rod) && put_text(o, "most", said.most) &&
                             put_text(o, "depth", said.depth) && put_text(o, "cast", said.cast) &&
                             put_text(o, "near_rod", said.near_rod));
}

static cJSON *said_speeds(const BlyTowed *towed, BlySystem system) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (size_t i = 0; good && i < towed->count; i++)
        good = put_last(list, said_at(&towed->at[i], system));
    return json_finished(list, good);
}

static cJSON *said_changes(const TowFound *found) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (int i = 0; good && i < BLY_TOW_LEVERS; i++) {
        TowChangeSaid said;
        if (!found->levers[i].possible)
            continue;
        tow_change_said(&found->levers[i], &said);
        cJSON *o = cJSON_CreateObject();
        good = put_last(
            list,
            json_finished(o, o && put_text(o, "change", bly_tow_lever_words((BlyTowLever)i)) &&
                                 put_text(o, "depth", said.depth) &&
                                 put_text(o, "pull", said.pull) && put_text(o, "tilt", said.tilt)));
    }
    return json_finished(list, good);
}

static cJSON *said_of(const TowFound *found, BlySystem system) {
    char under[2 * WORDS_MAX], at[WORDS_MAX];
    tow_under_said(&found->towed, system, under);
    tow_speed_words(found->ask.speeds[found->ask.change_at], system, at);
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_tree(o, "speeds", said_speeds(&found->towed, system)) &&
                                put_text(o, "under", under) && put_text(o, "changes_at", at) &&
                                put_tree(o, "changes", said_changes(found)));
}

/* The curve from the lure to the rod's tip, and beside it the band; [x, y] in m, y down. */
static cJSON *points(const double *x, const double *y, size_t count) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (size_t i = 0; good && i < count; i++) {
        const double at[2] = {x[i], y[i] == 0 ? 0 : -y[i]};
        good = put_last(list, cJSON_CreateDoubleArray(at, 2));
    }
    return json_finished(list, good);
}

static cJSON *line_drawn(const BlyTowed *towed, size_t speed) {
    TowLineDrawn d = tow_line_drawn(towed, speed);
    size_t band = d.wet > 1 ? d.wet : 0;
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_tree(o, "curve", points(d.x, d.y, d.wet + 1)) &&
                                put_tree(o, "upper", points(d.x, d.high, band)) &&
                                put_tree(o, "lower", points(d.x, d.low, band)));
}

static cJSON *drawing(const BlyBuild *build, const BlyLure *lure, const BlyTowed *towed,
                      size_t speed) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o && put_tree(o, "line", line_drawn(towed, speed)) &&
               put_tree(o, "lure", draw_towed(build, &build->fitted, lure, &towed->at[speed].run)));
}

/* One a speed; its lure null where it lies nowhere. */
static cJSON *drawings(const BlyBuild *build, const BlyTowed *towed, BlyError *err) {
    BlyLure lure = {0};
    cJSON *list = cJSON_CreateArray();
    bool good = list && bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err);
    for (size_t i = 0; good && i < towed->count; i++)
        good = put_last(list, drawing(build, &lure, towed, i));
    bly_lure_release(&lure);
    return json_finished(list, good);
}

typedef struct LineText {
    const BlyBuild *build;
    const TowFound *found;
    BlySystem system;
} LineText;

static void write_tow(FILE *out, void *context) {
    const LineText *t = context;
    const Report report = {out, t->system};
    text_towed(&report, &t->found->towed);
    text_tow_levers(&report, t->found->levers, t->found->ask.speeds[t->found->ask.change_at]);
}

static void write_wished(FILE *out, void *context) {
    const LineText *t = context;
    const Report report = {out, t->system};
    text_wish_kept(&report, t->build, &t->found->wished);
}

static cJSON *tow_tree(const BlyBuild *build, const TowFound *found, BlySystem system,
                       BlyError *err) {
    LineText text = {build, found, system};
    double speed = found->ask.speeds[found->ask.change_at];
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o && put_text(o, "name", build->name) && put_tree(o, "tow", json_towed(&found->towed)) &&
               put_tree(o, "changes", json_tow_levers(found->levers, speed)) &&
               put_tree(o, "said", said_of(found, system)) &&
               put_tree(o, "drawings", drawings(build, &found->towed, err)) &&
               (!found->asked || (put_tree(o, "wished", json_wished(&found->wished)) &&
                                  route_put_text(o, "wished_text", write_wished, &text))) &&
               route_put_text(o, "text", write_tow, &text));
}

cJSON *route_tow(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build = NULL;
    BlyTowAsk ask;
    TowFound *found = malloc(sizeof *found);
    cJSON *o = NULL;
    if (found && route_build(bench, in, &build, err) && line_ask(in, build, &ask, err) &&
        tow_find(build, &build->fitted, &ask, found, err))
        o = tow_tree(build, found, bench->system, err);
    bly_build_free(build);
    free(found);
    return o;
}
