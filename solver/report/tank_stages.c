/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of a scale's reading that contradicts: which other stage it would agree with, and which of the
 * readings before it is the odd one. */
#include "report/tank.h"
#include "tank/tank.h"

#include <math.h>

/* What the scale should read at a stage, and how sure that is by the parts' own gives. */
static BlyFigure should_read(const BlyLure *lure, BlyStage stage) {
    BlyFigure sum = {0.0, 0.0};
    for (size_t i = 0; i < lure->count; i++) {
        if (bly_item_stage(&lure->items[i]) > stage)
            continue;
        sum.value += lure->items[i].mass;
        sum.give = hypot(sum.give, lure->items[i].mass_give);
    }
    return sum;
}

bool tank_other_stage(const Report *r, const TankReport *t, size_t i, char out[TANK_SENTENCE_MAX]) {
    const BlyReading *reading = &t->readings[i];
    const BlyBuild *build = t->build;
    BlyLure lure = {0};
    double nearest = 1.5;
    int found = -1;
    BlyFigure should[BLY_STAGES];
    if (reading->kind != BLY_READ_SCALE ||
        !bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, NULL))
        return false;
    for (int s = 0; s < BLY_STAGES; s++) {
        should[s] = should_read(&lure, (BlyStage)s);
        double off = fabs(reading->value.value - should[s].value) /
                     hypot(should[s].give, reading->value.give);
        if (s != (int)reading->stage && off < nearest) {
            nearest = off;
            found = s;
        }
    }
    bly_lure_release(&lure);
    if (found < 0)
        return false;
    char expected[BLY_QUANTITY_MAX];
    tank_reading_figure(r, BLY_READ_SCALE, should[found].value, expected);
    (void)snprintf(out, TANK_SENTENCE_MAX,
                   "it would agree with the stage %s, where the scale should read %s: was that "
                   "meant, in place of %s?",
                   bly_stage_words[found], expected, bly_stage_words[reading->stage]);
    return true;
}

/* The scale's readings that the build keeps with what was said before each, and this one. */
static size_t gather(const TankReport *t, TankStage out[BUILD_READINGS_MAX + 1],
                     const BuildReading *of[BUILD_READINGS_MAX + 1]) {
    size_t count = 0;
    for (size_t i = 0; i < t->build->reading_count; i++) {
        const BuildReading *kept = &t->build->readings[i];
        if (kept->kind != BLY_READ_SCALE || !isfinite(kept->planned.value) ||
            !(kept->planned.give > 0.0) || !(kept->read.give > 0.0))
            continue;
        of[count] = kept;
        out[count++] = (TankStage){kept->read, kept->planned};
    }
    double h = fmin(t->result->taught[0].weight, 1.0 - 1e-12);
    double give = t->readings[0].value.give;
    out[count++] = (TankStage){t->readings[0].value,
                               {t->result->taught[0].before, give * sqrt(h / (1.0 - h))}};
    return count;
}

bool tank_odd_stage(const Report *r, const TankReport *t, char out[TANK_SENTENCE_MAX]) {
    TankStage at[BUILD_READINGS_MAX + 1];
    const BuildReading *of[BUILD_READINGS_MAX + 1];
    if (t->result->reading_count != 1 || t->readings[0].kind != BLY_READ_SCALE ||
        !t->result->contradiction)
        return false;
    size_t count = gather(t, at, of);
    if (count < 2)
        return false;
    bool sure;
    size_t odd = tank_odd_one(at, count, &sure);
    char read[BLY_QUANTITY_MAX];
    if (sure && odd == count - 1) {
        (void)snprintf(out, TANK_SENTENCE_MAX,
                       "the stages read before agree with each other: this one is the odd one");
        return true;
    }
    if (odd == count - 1) /* which of two, they cannot tell: the one before it is named */
        odd = count - 2;
    tank_reading_figure(r, BLY_READ_SCALE, of[odd]->read.value, read);
    (void)snprintf(out, TANK_SENTENCE_MAX,
                   sure ? "the odd one is that of %s, %s%s%s: without it all agree; go back to the "
                          "build before it"
                        : "either this one is wrong or that of %s, %s%s%s",
                   bly_stage_words[of[odd]->stage], read, of[odd]->on[0] != '\0' ? " on " : "",
                   of[odd]->on);
    return true;
}
