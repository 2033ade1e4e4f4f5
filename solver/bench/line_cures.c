/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The route of what makers try where a lure swims badly, worked through for this one. */
#include "bench/line_ask.h"
#include "bench/results.h"
#include "build/build.h"

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
        line_ask(in, build, &ask, err) && cures_work(build, saw, &ask, &work, err)) {
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
