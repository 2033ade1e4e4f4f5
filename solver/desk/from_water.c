/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/from_water.h"
#include "desk/readings.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ballastry/units.h"
#include "build/build.h"
#include "json/json.h"
#include "report/report.h"
#include "text/format.h"
#include "text/text.h"

const WaterOption water_options[BLY_TOW_READ_KINDS] = {
    {"--ran-deep", "ran_deep", BLY_TOW_READ_DEPTH},
    {"--pulled", "pulled", BLY_TOW_READ_PULL},
    {"--ran-down", "ran_down", BLY_TOW_READ_NOSE},
    {"--drew-under", "drew_under", BLY_TOW_READ_UNDER},
};

static const struct {
    BlyDimension dim;
    const char *bare, *like;
} measures[BLY_TOW_READ_KINDS] = {
    [BLY_TOW_READ_DEPTH] = {BLY_DIM_LENGTH, "m", "1.6 m at 1 m/s"},
    [BLY_TOW_READ_PULL] = {BLY_DIM_MASS, "g", "22 g at 1 m/s"},
    [BLY_TOW_READ_NOSE] = {BLY_DIM_ANGLE, "deg", "9 deg at 1 m/s"},
    [BLY_TOW_READ_UNDER] = {BLY_DIM_SPEED, "m/s", "0.6 m/s"},
};

enum { WORDS = 80 };

/* "VALUE", "VALUE +- GIVE", each with " at SPEED" behind it. */
typedef struct Cut {
    char value[WORDS], give[WORDS], speed[WORDS];
} Cut;

static void copy(const char *from, const char *to, char out[WORDS]) {
    size_t length = (size_t)(to - from);
    length = length < WORDS - 1 ? length : WORDS - 1;
    memcpy(out, from, length);
    out[length] = '\0';
}

static bool cut_up(const char *text, const char *option, Cut *out, BlyError *err) {
    const char *end = text + strlen(text), *at = strstr(text, " at "), *give = strstr(text, "+-");
    *out = (Cut){"", "", ""};
    if (strlen(text) >= WORDS)
        return bly_fail(err, BLY_E_SYNTAX, option, "is longer than any reading");
    if (at && give && give > at)
        return bly_fail(err, BLY_E_SYNTAX, option,
                        "expected the tolerance before the speed, as in \"1.6 m +- 0.2 m at 1 "
                        "m/s\"");
    if (at)
        copy(at + 4, end, out->speed);
    const char *stop = at ? at : end;
    if (give)
        copy(give + 2, stop, out->give);
    copy(text, give ? give : stop, out->value);
    return true;
}

static bool read_speed(const Cut *cut, const WaterOption *option, double *out, BlyError *err) {
    bool needed = option->kind != BLY_TOW_READ_UNDER;
    *out = 1;
    if (!needed && cut->speed[0] != '\0')
        return bly_fail(err, BLY_E_SYNTAX, option->name, "expected the speed alone, as in \"%s\"",
                        measures[option->kind].like);
    if (!needed)
        return true;
    if (cut->speed[0] == '\0')
        return bly_fail(err, BLY_E_SYNTAX, option->name,
                        "expected the speed of the draw behind it, as in \"%s\"",
                        measures[option->kind].like);
    if (!option_quantity(cut->speed, BLY_DIM_SPEED, "m/s", option->name, out, err))
        return false;
    return (*out >= 0.05 && *out <= 5) ||
           bly_fail(err, BLY_E_RANGE, option->name,
                    "the speed is out of range: expected 0.05 m/s to 5 m/s");
}

static bool in_range(const WaterOption *option, double value, BlyError *err) {
    static const struct {
        double low, high;
        const char *words;
    } ranges[BLY_TOW_READ_KINDS] = {{0, 50, "0 m to 50 m"},
                                    {1e-6, 20, "above 0 g to 20 kg"},
                                    {-1.3962634, 1.3962634, "-80 deg to 80 deg"},
                                    {0.05, 5, "0.05 m/s to 5 m/s"}};
    return (value >= ranges[option->kind].low && value <= ranges[option->kind].high) ||
           bly_fail(err, BLY_E_RANGE, option->name, "is out of range: expected %s",
                    ranges[option->kind].words);
}

bool water_reading_parse(const char *text, const WaterOption *option, const BlyTowLine *line,
                         BlyTowReading *out, BlyError *err) {
    BlyDimension dim = measures[option->kind].dim;
    const char *bare = measures[option->kind].bare;
    Cut cut;
    *out = (BlyTowReading){.kind = option->kind, .line = *line};
    if (!cut_up(text, option->name, &cut, err) ||
        !option_quantity(cut.value, dim, bare, option->name, &out->value.value, err) ||
        !in_range(option, out->value.value, err) || !read_speed(&cut, option, &out->speed, err))
        return false;
    double unit = option->kind == BLY_TOW_READ_PULL ? BLY_GRAVITY : 1; /* a scale says mass */
    out->value.value *= unit;
    out->value.give = bly_tow_read_give(option->kind, out->value.value);
    if (cut.give[0] == '\0')
        return true;
    if (!option_quantity(cut.give, dim, bare, option->name, &out->value.give, err))
        return false;
    out->value.give *= unit;
    return out->value.give > 0 ||
           bly_fail(err, BLY_E_RANGE, option->name, "expected a tolerance above 0");
}

bool water_work(const BlyBuild *build, WaterWork *work, BlyError *err) {
    return work->count == 0 ||
           bly_tow_learn(build, work->readings, work->count, &work->lesson, err);
}

bool water_day_parse(const char *text, const char *place, char out[TODAY_MAX], BlyError *err) {
    if (!build_is_date(text))
        return bly_fail(err, BLY_E_SYNTAX, place, "\"%.30s\": expected a date such as 2031-04-30",
                        text);
    memcpy(out, text, TODAY_MAX);
    return true;
}

/* ---- the build with it ---- */

/* "2031-04-30: trolled depth 1.6 m at 1.0 m/s, 30.0 m of 0.30 mm". */
static void put_reading(const WaterWork *work, size_t i, BlyText *out) {
    const BlyTowReading *reading = &work->readings[i];
    char words[2 * WORDS_MAX], line[WORDS_MAX] = "", length[WORDS_MAX];
    WaterReadSaid said;
    water_read_said(reading, NAN, NAN, BLY_METRIC, &said);
    tow_reach_words(reading->line.length, BLY_METRIC, length);
    if (reading->kind == BLY_TOW_READ_DEPTH || reading->kind == BLY_TOW_READ_PULL)
        (void)bly_format(line, sizeof line, ", %.20s of %.2f mm", length,
                         1e3 * reading->line.diameter);
    (void)snprintf(words, sizeof words, "%s%s%s %.40s%s%.20s%.60s", work->on,
                   work->on[0] != '\0' ? ": " : "", bly_tow_read_words(reading->kind), said.read,
                   said.at[0] != '\0' ? " at " : "", said.at, line);
    bly_json_print_string(words, out);
}

/* Readings of earlier lessons stay; the oldest are let go where they grow too many. */
static void put_read(const BlyBuild *build, const WaterWork *work, BlyText *out) {
    const BuildTowLearnt *old = &build->tow_learnt;
    size_t all = old->read_count + work->count,
           first = all > BUILD_TOW_READ_MOST ? all - BUILD_TOW_READ_MOST : 0;
    bly_text_appendf(out, "[");
    for (size_t i = first; i < all; i++) {
        if (i > first)
            bly_text_appendf(out, ", ");
        if (i < old->read_count)
            bly_json_print_string(old->read[i], out);
        else
            put_reading(work, i - old->read_count, out);
    }
    bly_text_appendf(out, "]");
}

static void put_learnt(const BlyBuild *build, const WaterWork *work, BlyText *out) {
    char number[64];
    bly_text_appendf(out, "{");
    for (int i = 0; i < BLY_TOW_LEARNT; i++) {
        const BlyFigure *after = &work->lesson.corrections[i].after;
        (void)bly_format(number, sizeof number, "{\"value\": %.4f, \"give\": %.4f}", after->value,
                         after->give);
        bly_text_appendf(out, "\"%s\": %s, ", bly_tow_learnt_key(i), number);
    }
    const double *r = work->lesson.together;
    (void)bly_format(number, sizeof number, "[[%.5f], [%.5f, %.5f]]", r[0], r[1], r[2]);
    bly_text_appendf(out, "\"ties\": %s, \"read\": ", number);
    put_read(build, work, out);
    bly_text_appendf(out, "}");
}

/* "2031-04-30: rolls over at about 1.8 m/s". */
static void put_seen(const WaterWork *work, size_t i, BlyText *out) {
    BlyText words;
    bly_text_init(&words);
    bly_text_appendf(&words, "%s%s%s", work->on, work->on[0] != '\0' ? ": " : "", work->saw[i]);
    bly_json_print_string(bly_text_string(&words), out);
    out->failed = out->failed || words.failed;
    bly_text_release(&words);
}

/* Texts are released by the caller. */
static bool edit_all(const BlyBuild *build, const WaterWork *work, BlyText *learnt, BlyText *seen,
                     char **text, BlyError *err) {
    BlyEdit edits[WATER_SAW_MOST + 2] = {0};
    size_t count = 0;
    if (work->count > 0) {
        put_learnt(build, work, learnt);
        (void)snprintf(edits[count].pointer, sizeof edits[count].pointer, "/learnt/tow");
        edits[count++].json = bly_text_string(learnt);
    }
    if (work->saw_count > 0 && !build->has_seen) {
        (void)snprintf(edits[count].pointer, sizeof edits[count].pointer, "/seen");
        edits[count++].json = "[]";
    }
    bool good = bly_text_good(learnt, err);
    for (size_t i = 0; i < work->saw_count; i++) {
        put_seen(work, i, &seen[i]);
        good = good && bly_text_good(&seen[i], err);
        (void)snprintf(edits[count].pointer, sizeof edits[count].pointer, "/seen/-");
        edits[count++].json = bly_text_string(&seen[i]);
    }
    return good && bly_build_text_with_all(build, edits, count, text, err);
}

bool water_text(const BlyBuild *build, const WaterWork *work, char **text, BlyError *err) {
    BlyText learnt, seen[WATER_SAW_MOST];
    if (build->seen_count + work->saw_count > BUILD_SEEN_MOST)
        return bly_fail(err, BLY_E_RANGE, "/seen",
                        "%zu texts of what was seen, at most %d: take old ones out of the file",
                        build->seen_count + work->saw_count, BUILD_SEEN_MOST);
    bly_text_init(&learnt);
    for (size_t i = 0; i < WATER_SAW_MOST; i++)
        bly_text_init(&seen[i]);
    bool good = edit_all(build, work, &learnt, seen, text, err);
    for (size_t i = 0; i < WATER_SAW_MOST; i++)
        bly_text_release(&seen[i]);
    bly_text_release(&learnt);
    return good;
}

BlyFigure water_usual(size_t correction) {
    static const BlyTowFactor factors[BLY_TOW_LEARNT] = {BLY_TOW_LIP, BLY_TOW_WIRE, BLY_TOW_CENTRE};
    BlyTowModel nominal = bly_tow_nominal();
    double low, high;
    bly_tow_bounds(factors[correction], &low, &high);
    return (BlyFigure){nominal.by[factors[correction]], BLY_SIGMAS_95 * (high - low) / sqrt(12.0)};
}

void water_readings_said(const WaterWork *work, char *out, size_t size) {
    size_t length = 0;
    out[0] = '\0';
    for (size_t i = 0; i < work->count && length + 1 < size; i++) {
        WaterReadSaid said;
        water_read_said(&work->readings[i], NAN, NAN, BLY_METRIC, &said);
        int more = snprintf(out + length, size - length, "%s%s %.40s%s%.20s", i > 0 ? "; " : "",
                            bly_tow_read_words(work->readings[i].kind), said.read,
                            said.at[0] != '\0' ? " at " : "", said.at);
        length += more > 0 ? (size_t)more : 0;
    }
}
