/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The route from the water back: what was read and seen on the line, and what it taught. */
#include "bench/line_ask.h"
#include "bench/results.h"
#include "build/build.h"

#include <stdlib.h>

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
    if (water_reading_parse(text, &water_options[which], line, out, err))
        return true;
    (void)snprintf(err->where, sizeof err->where, "%s", words.where);
    return false;
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
        route_build(bench, in, &build, err) && line_ask(in, build, &ask, err) &&
        read_readings(in, &ask.line, &work, err) && water_work(build, &work, err)) {
        o = cJSON_CreateObject();
        o = json_finished(o, o && put_text(o, "name", build->name) &&
                                 put_lesson(o, &work, bench->system) &&
                                 put_taught(bench, o, build, &work, &how, err));
    }
    bly_build_free(build);
    return o;
}
