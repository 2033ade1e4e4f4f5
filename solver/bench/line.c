/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes of a lure on its line: what it does there, what makers try where it swims badly, what
 * the water taught. The same works as the command's. */
#include "bench/results.h"
#include "bench/route.h"
#include "build/build.h"
#include "tow/tow.h"

#include <stdlib.h>
#include <string.h>

/* ---- what is asked ---- */

static bool place(BlyError *err, const char *where) {
    (void)snprintf(err->where, sizeof err->where, "%s", where);
    return false;
}

/* Options are members here: "--speed" is "/speeds". */
static bool blame(BlyError *err) {
    return place(err, strcmp(err->where, "--line") == 0  ? "/line"
                      : strcmp(err->where, "--rod") == 0 ? "/rod"
                                                         : "/speeds");
}

/* Texts are borrowed from the request. */
static bool read_speeds(const BlyJson *in, const char *speeds[BLY_TOW_SPEEDS_MAX], size_t *count,
                        BlyError *err) {
    BlyJson list = bly_json_member(in, "speeds");
    *count = 0;
    if (list.node == NULL)
        return true;
    if (!bly_json_array(&list, 1, BLY_TOW_SPEEDS_MAX, err))
        return false;
    for (BlyJson at = bly_json_first(&list); at.node != NULL; bly_json_next(&at)) {
        if (!bly_json_string(&at, 100, &speeds[(*count)++], err))
            return false;
    }
    return true;
}

/* Where nothing is asked and the target asks for the line: at its speed, on its line. */
static bool read_ask(const BlyJson *in, const BlyBuild *build, BlyTowAsk *ask, BlyError *err) {
    const char *speeds[BLY_TOW_SPEEDS_MAX];
    TowWords words = {.speeds = speeds};
    if (!read_speeds(in, speeds, &words.speed_count, err) ||
        !route_text_maybe(in, "line", &words.line, err) ||
        !route_text_maybe(in, "rod", &words.rod, err))
        return false;
    if (!tow_words_read(&words, ask, err))
        return blame(err);
    if (words.speed_count == 0 && words.line == NULL && words.rod == NULL)
        tow_ask_of(build, ask);
    return true;
}

/* ---- tow ---- */

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
    if (found && route_build(bench, in, &build, err) && read_ask(in, build, &ask, err) &&
        tow_find(build, &build->fitted, &ask, found, err))
        o = tow_tree(build, found, bench->system, err);
    bly_build_free(build);
    free(found);
    return o;
}

/* ---- what makers try ---- */

static cJSON *said_cure(const char *what, const char *why_not, const CureSaid *said) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o && put_text(o, "change", what) && put_bool(o, "possible", why_not[0] == '\0') &&
               put_text(o, "why_not", why_not) && put_text(o, "rests", said->rests) &&
               put_text(o, "chance", said->chance) && put_text(o, "runs", said->runs));
}

/* The lure as it is first. */
static cJSON *said_cures(const CuresWork *work, BlySystem system) {
    CureSaid said;
    cures_before_said(work, system, &said);
    cJSON *list = cJSON_CreateArray();
    bool good = list && put_last(list, said_cure(bly_tow_lever_words(BLY_TOW_LEVERS), "", &said));
    for (size_t i = 0; good && i < work->count; i++) {
        cure_said(&work->at[i], system, &said);
        good = put_last(
            list, said_cure(bly_tow_lever_words(work->at[i].change),
                            work->at[i].possible ? "" : cure_why_not(work->at[i].change), &said));
    }
    return json_finished(list, good);
}

static bool read_saw(const BlyJson *in, Saw *out, BlyError *err) {
    const char *text;
    BlyJson at;
    return bly_json_require(in, "saw", &at, err) && route_text(in, "saw", &text, err) &&
           (saw_parse(text, out) ||
            bly_json_refuse(&at, BLY_E_UNKNOWN, err, "expected porpoises or rolls-over"));
}

cJSON *route_cures(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build = NULL;
    BlyTowAsk ask;
    Saw saw;
    CuresWork work;
    cJSON *o = NULL;
    if (read_saw(in, &saw, err) && route_build(bench, in, &build, err) &&
        read_ask(in, build, &ask, err) && cures_work(build, saw, &ask, &work, err)) {
        char at[WORDS_MAX];
        tow_speed_words(work.speed, bench->system, at);
        o = cJSON_CreateObject();
        o = json_finished(o, o && put_text(o, "name", build->name) &&
                                 put_tree(o, "cures", json_cures(&work)) && put_text(o, "at", at) &&
                                 put_text(o, "words", cures_words) &&
                                 put_tree(o, "said", said_cures(&work, bench->system)));
    }
    bly_build_free(build);
    return o;
}

/* ---- from the water back ---- */

static bool read_reading(const BlyJson *at, const BlyTowLine *line, BlyTowReading *out,
                         BlyError *err) {
    static const char *const members[] = {"kind", "text"};
    const char *names[BLY_TOW_READ_KINDS], *text;
    BlyJson kind;
    size_t which;
    for (size_t i = 0; i < BLY_TOW_READ_KINDS; i++)
        names[i] = water_options[i].name + 2; /* without the dashes */
    if (!bly_json_object(at, members, 2, err) || !bly_json_require(at, "kind", &kind, err) ||
        !bly_json_word(&kind, names, BLY_TOW_READ_KINDS, &which, err) ||
        !route_text(at, "text", &text, err))
        return false;
    BlyJson words = bly_json_member(at, "text");
    return water_reading_parse(text, &water_options[which], line, out, err) ||
           place(err, words.where);
}

static bool read_readings(const BlyJson *in, const BlyTowLine *line, WaterWork *work,
                          BlyError *err) {
    BlyJson list = bly_json_member(in, "readings"), saw = bly_json_member(in, "saw");
    if (list.node != NULL && !bly_json_array(&list, 0, BLY_TOW_READINGS_MAX, err))
        return false;
    if (saw.node != NULL && !bly_json_array(&saw, 0, WATER_SAW_MOST, err))
        return false;
    for (BlyJson at = bly_json_first(&list); at.node != NULL; bly_json_next(&at)) {
        if (!read_reading(&at, line, &work->readings[work->count++], err))
            return false;
    }
    for (BlyJson at = bly_json_first(&saw); at.node != NULL; bly_json_next(&at)) {
        if (!bly_json_string(&at, WATER_SAW_LONGEST, &work->saw[work->saw_count++], err))
            return false;
    }
    return work->count + work->saw_count > 0 ||
           bly_fail(err, BLY_E_MISSING, "/readings", "nothing was read or seen");
}

static bool read_day(const BlyJson *in, WaterWork *work, BlyError *err) {
    const char *on = NULL;
    if (!route_text_maybe(in, "on", &on, err))
        return false;
    if (on != NULL)
        return water_day_parse(on, "/on", work->on, err);
    (void)desk_today(work->on);
    return true;
}

static cJSON *said_reading(const WaterWork *work, size_t i, BlySystem system) {
    WaterReadSaid said;
    water_read_said(&work->readings[i], work->lesson.before[i], work->lesson.after[i], system,
                    &said);
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o && put_text(o, "reading", bly_tow_read_words(work->readings[i].kind)) &&
               put_text(o, "at", said.at) && put_text(o, "read", said.read) &&
               put_text(o, "before", said.before) && put_text(o, "after", said.after));
}

static cJSON *said_taught(const BlyTowCorrection *c) {
    char words[2 * WORDS_MAX];
    water_taught_said(c, words);
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o && put_text(o, "figure", bly_tow_factor_words(c->factor)) &&
               put_text(o, "words", words) &&
               put_text(o, "beyond", c->beyond && c->learnt >= 0.01 ? water_beyond_words : ""));
}

typedef struct WaterHow {
    bool anyway, keep; /* where readings contradict; in the maker's book too */
} WaterHow;

static bool read_how(const BlyJson *in, WaterHow *out, BlyError *err) {
    BlyJson anyway = bly_json_member(in, "anyway"), keep = bly_json_member(in, "keep");
    *out = (WaterHow){0};
    return (anyway.node == NULL || bly_json_bool(&anyway, &out->anyway, err)) &&
           (keep.node == NULL || bly_json_bool(&keep, &out->keep, err));
}

static bool put_lesson(cJSON *o, const WaterWork *work, BlySystem system) {
    cJSON *readings = cJSON_AddArrayToObject(o, "readings"),
          *taught = cJSON_AddArrayToObject(o, "taught");
    bool good = readings && taught;
    for (size_t i = 0; good && i < work->count; i++)
        good = put_last(readings, said_reading(work, i, system));
    for (int i = 0; good && work->count > 0 && i < BLY_TOW_LEARNT; i++)
        good = put_last(taught, said_taught(&work->lesson.corrections[i]));
    return good && (work->count == 0 ||
                    put_tree(o, "from_water", json_water(work->readings, &work->lesson)));
}

/* In the maker's book, as the command does with the build that it writes. */
static bool keep_water(const Bench *bench, cJSON *o, const BlyBuild *build, const WaterWork *work,
                       BlyError *err) {
    BookKept kept;
    char lure[BOOK_NAME_MAX];
    const char *path = bench->stock->book_path;
    if (path[0] == '\0')
        return bly_fail(err, BLY_E_MISSING, "/keep", "no book is kept here");
    return book_keep_water(path, build, work, &kept, lure, err) &&
           put_tree(o, "kept", json_book_kept(kept, lure, path));
}

static bool put_taught(const Bench *bench, cJSON *o, const BlyBuild *build, const WaterWork *work,
                       const WaterHow *how, BlyError *err) {
    if (work->count > 0 && work->lesson.contradiction && !how->anyway)
        return cJSON_AddNullToObject(o, "build") != NULL;
    char *text = NULL;
    bool good = (!how->keep || keep_water(bench, o, build, work, err)) &&
                water_text(build, work, &text, err) && put_text(o, "build", text);
    free(text);
    return good;
}

cJSON *route_water(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build = NULL;
    BlyTowAsk ask;
    WaterHow how;
    WaterWork work = {.count = 0};
    cJSON *o = NULL;
    if (read_how(in, &how, err) && read_day(in, &work, err) &&
        route_build(bench, in, &build, err) && read_ask(in, build, &ask, err) &&
        read_readings(in, &ask.line, &work, err) && water_work(build, &work, err)) {
        o = cJSON_CreateObject();
        o = json_finished(o, o && put_text(o, "name", build->name) &&
                                 put_lesson(o, &work, bench->system) &&
                                 put_taught(bench, o, build, &work, &how, err));
    }
    bly_build_free(build);
    return o;
}
