/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a swap changes and how sure that is, as text and JSON. */
#include "report/lines.h"
#include "report/sure.h"
#include "text/format.h"

#include <gsl/gsl_math.h>

static const struct {
    const char *key, *more, *less; /* more: the quantity grows */
    double scale;
} quantity[BLY_QUANTITIES] = {
    [BLY_Q_NET_WEIGHT] = {"net_weight_ranges_g", "heavier", "lighter", 1e3},
    [BLY_Q_DRIFT] = {"drift_ranges_mm_s", "sinks faster", "sinks slower", 1e3},
    [BLY_Q_NOSE_DOWN] = {"nose_down_ranges_deg", "more nose-down", "more nose-up", 180 / M_PI},
    [BLY_Q_SHOWS] = {"shows_ranges_percent", "rides higher", "rides lower", 100},
};

/* A change has no way of its own: signed figures. */
static void change_words(const Report *r, BlyQuantity q, const BlyRange *change,
                         char out[WORDS_MAX]) {
    char low[WORDS_MAX], high[WORDS_MAX];
    if (q == BLY_Q_NET_WEIGHT) {
        band_words(r, q, change, out);
        return;
    }
    if (q == BLY_Q_DRIFT) {
        small_speed_words(change->low, r->system, true, low);
        small_speed_words(change->high, r->system, true, high);
        (void)snprintf(out, WORDS_MAX, "%.60s to %.60s", low, high);
        return;
    }
    (void)bly_format(out, WORDS_MAX, "%+.1f to %+.1f %s", change->low * quantity[q].scale,
                     change->high * quantity[q].scale, q == BLY_Q_SHOWS ? "%" : "deg");
}

/* Which way, by what the lure does after the swap. */
static const char *change_way(BlyQuantity q, const BlySwapRange *range, bool grows) {
    if (q == BLY_Q_DRIFT && range->after.nominal < 0)
        return grows ? "rises slower" : "rises faster";
    return grows ? quantity[q].more : quantity[q].less;
}

static void text_one(const Report *r, BlyQuantity q, const BlySwapSpread *s) {
    const BlySwapRange *range = &s->range[q];
    const char *label = quantity_label(q, s->afloat);
    char words[WORDS_MAX];
    if (isnan(range->change.low))
        return;
    band_words(r, q, &range->before, words);
    (void)fprintf(r->out, "  %-20s before  %s\n", label, words);
    band_words(r, q, &range->after, words);
    (void)fprintf(r->out, "  %-20s after   %s\n", "", words);
    change_words(r, q, &range->change, words);
    bool grows = range->more >= 0.5;
    (void)fprintf(r->out, "  %-20s change  %s; %s in %.0f of 100\n", "", words,
                  change_way(q, range, grows), in_100(grows ? range->more : 1 - range->more));
}

void text_swap_sure(const Report *r, const BlySwapSpread *s) {
    (void)fprintf(r->out,
                  "\nhow sure that is: of 100 such lures, 90 stay within; the change is of one "
                  "lure\n");
    for (int q = 0; q < BLY_QUANTITIES; q++)
        text_one(r, (BlyQuantity)q, s);
    if (s->has_target)
        text_wrapped(r, 23,
                     "  %-20s %s in 100 before, %s after; of 100 lures the swap brings %.0f onto "
                     "target, %.0f off it",
                     "on target", share_text(s->chance_before).words,
                     share_text(s->chance_after).words, in_100(s->mended), in_100(s->spoilt));
}

static cJSON *json_span(const BlyRange *range, double scale) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_number(o, "nominal", range->nominal * scale) &&
                                put_number(o, "low", range->low * scale) &&
                                put_number(o, "high", range->high * scale));
}

static cJSON *json_one(const BlySwapRange *range, double scale) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_tree(o, "before", json_span(&range->before, scale)) &&
                                put_tree(o, "after", json_span(&range->after, scale)) &&
                                put_tree(o, "change", json_span(&range->change, scale)) &&
                                put_number(o, "share_more", range->more) &&
                                put_number(o, "share_apart", range->apart));
}

cJSON *json_swap_sure(const BlySwapSpread *s) {
    cJSON *o = cJSON_CreateObject();
    bool good = o && put_text(o, "attitude", s->afloat ? "afloat" : "under water");
    for (int q = 0; good && q < BLY_QUANTITIES; q++) {
        if (!isnan(s->range[q].change.low))
            good = put_tree(o, quantity[q].key, json_one(&s->range[q], quantity[q].scale));
    }
    if (good && s->has_target)
        good = put_number(o, "chance_before", s->chance_before) &&
               put_number(o, "chance_after", s->chance_after) &&
               put_number(o, "share_mended", s->mended) && put_number(o, "share_spoilt", s->spoilt);
    return json_finished(o, good && put_number(o, "samples", (double)s->samples));
}
