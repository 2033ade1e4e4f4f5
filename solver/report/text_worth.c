/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to measure next. */
#include "report/worth.h"
#include "report/lines.h"
#include "text/format.h"

#include <math.h>

void act_words(const BlyBuild *build, const WorthAct *act, char out[WORDS_MAX]) {
    const char *id = act->part != NULL ? act->part->id : "";
    switch (act->kind) {
    case WORTH_PIECE: {
        const char *seat = build->seats[act->seat].name;
        if (act->part != NULL && act->part->kind == BLY_PART_HOOK)
            (void)snprintf(out, WORDS_MAX, "weigh the %.40s hook", seat);
        else
            (void)snprintf(out, WORDS_MAX, "weigh the %.60s of %.40s, cut to size", id, seat);
        return;
    }
    case WORTH_FIVE:
        (void)snprintf(out, WORDS_MAX, "weigh five %.60s together", id);
        return;
    case WORTH_BLANK:
        (void)snprintf(out, WORDS_MAX, "weigh the blank");
        return;
    case WORTH_CUP:
        (void)snprintf(out, WORDS_MAX, "push the blank under in a cup on the scale");
        return;
    case WORTH_BALANCE:
        (void)snprintf(out, WORDS_MAX, "balance the blank on a knife edge");
        return;
    case WORTH_GAUGE:
        (void)snprintf(out, WORDS_MAX, "measure %.60s with a micrometer", id);
        return;
    case WORTH_COAT:
        (void)snprintf(out, WORDS_MAX, "weigh the lure before and after coating");
        return;
    case WORTH_WATER:
        (void)snprintf(out, WORDS_MAX, "take the water's temperature");
        return;
    case WORTH_LURE:
        (void)snprintf(out, WORDS_MAX, "weigh the finished lure");
        return;
    case WORTH_THREAD:
        (void)snprintf(out, WORDS_MAX, "weigh the lure on a thread in the water");
        return;
    case WORTH_KINDS:
        break;
    }
    out[0] = '\0';
}

/* Of a finished lure: nothing is to be done to it now. */
static const double on_target = 0.9;

/* In 100, as the reserve tells it. */
static double told(const Worth *w, const BlyReserve *reserve, double chance) {
    return fmin(fmax(bly_reserve_chance(reserve) + chance - w->now, 0.0), 1.0);
}

void text_worth(const Report *r, const BlyBuild *build, const Worth *w, const BlyReserve *reserve) {
    char act[WORDS_MAX], after[WORDS_MAX] = "right first time";
    if (w->tests > 0)
        (void)snprintf(after, sizeof after, "after %d test%s", w->tests, w->tests == 1 ? "" : "s");
    if (w->best < 0) {
        char none[WORDS_MAX] = "";
        bool any = bly_reserve_chance(reserve) >= WORTH_LEAST;
        if (any)
            (void)bly_format(none, WORDS_MAX, "; no reading before that buys %.0f in 100",
                             100 * WORTH_LEAST);
        if (w->made && reserve->chance[0] >= on_target)
            text_wrapped(r, 2,
                         "next: leave it, it is on target as it is; `mend` says what the next test "
                         "should show");
        else if (any || w->made)
            text_wrapped(r, 2, "next: %s%s",
                         w->made ? "what `mend` says, and the tank again"
                                 : "build it and go to the tank",
                         none);
        return;
    }
    const WorthAct *best = &w->act[w->best];
    act_words(build, best, act);
    text_wrapped(r, 2, "next: %s (%.0f minute%s): %s in 100 becomes %s %s", act, best->minutes,
                 best->minutes == 1 ? "" : "s", share_text(told(w, reserve, w->now)).words,
                 share_text(told(w, reserve, best->chance)).words, after);
}

static const char *const reading_words[WORTH_KINDS] = {
    [WORTH_PIECE] = "piece",  [WORTH_FIVE] = "five",       [WORTH_BLANK] = "blank",
    [WORTH_CUP] = "cup",      [WORTH_BALANCE] = "balance", [WORTH_GAUGE] = "gauge",
    [WORTH_COAT] = "coat",    [WORTH_WATER] = "water",     [WORTH_LURE] = "lure",
    [WORTH_THREAD] = "thread"};

static cJSON *json_act(const BlyBuild *build, const Worth *w, const WorthAct *act,
                       const BlyReserve *reserve) {
    char words[WORDS_MAX];
    cJSON *o = cJSON_CreateObject();
    act_words(build, act, words);
    return json_finished(o,
                         o != NULL && put_text(o, "act", words) &&
                             put_text(o, "reading", reading_words[act->kind]) &&
                             (act->seat < 0 || put_text(o, "seat", build->seats[act->seat].name)) &&
                             (act->part == NULL || put_text(o, "part", act->part->id)) &&
                             put_number(o, "minutes", act->minutes) &&
                             put_number(o, "chance", told(w, reserve, act->chance)));
}

cJSON *json_worth(const BlyBuild *build, const Worth *w, const BlyReserve *reserve) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_number(o, "tests", w->tests) &&
                put_number(o, "chance", bly_reserve_chance(reserve)) &&
                (w->best < 0 || put_tree(o, "best", json_act(build, w, &w->act[w->best], reserve)));
    cJSON *list = good ? cJSON_AddArrayToObject(o, "looked_at") : NULL;
    good = good && list != NULL;
    for (size_t i = 0; good && i < w->count; i++) {
        if (!isnan(w->act[i].chance))
            good = put_last(list, json_act(build, w, &w->act[i], reserve));
    }
    return json_finished(o, good);
}
