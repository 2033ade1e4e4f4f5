/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/line_ask.h"
#include "bench/results.h"

#include <stdio.h>
#include <string.h>

/* Options are members here: "--speed" is "/speeds". */
static bool blame(BlyError *err) {
    const char *where = strcmp(err->where, "--line") == 0  ? "/line"
                        : strcmp(err->where, "--rod") == 0 ? "/rod"
                                                           : "/speeds";
    (void)snprintf(err->where, sizeof err->where, "%s", where);
    return false;
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

bool line_ask(const BlyJson *in, const BlyBuild *build, BlyTowAsk *ask, BlyError *err) {
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
