/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a maker must know before any figure of a tank test. */
#include "report/tank.h"
#include "text/format.h"

#include <math.h>
#include <string.h>

/* "3.20 cm/s" says less than which way. */
static void reading_words(const Report *r, BlyReadingKind kind, double value, char out[WORDS_MAX]) {
    char figure[BLY_QUANTITY_MAX], words[WORDS_MAX];
    if (!isfinite(value)) {
        (void)snprintf(out, WORDS_MAX, "nothing of the kind");
        return;
    }
    switch (kind) {
    case BLY_READ_DRIFT:
        speed_words(value, r->system, out);
        return;
    case BLY_READ_TILT:
    case BLY_READ_TILT_AFLOAT:
        attitude_words(value, words);
        (void)snprintf(out, WORDS_MAX, "%.100s%s", words,
                       kind == BLY_READ_TILT ? "" : " at the surface");
        return;
    case BLY_READ_SHOWS:
        if (value <= 0.0) {
            (void)snprintf(out, WORDS_MAX, "nothing above the water");
            return;
        }
        break;
    case BLY_READ_SCALE:
    case BLY_READ_IN_WATER:
    case BLY_READ_BALANCE:
    case BLY_READ_KINDS:
        break;
    }
    tank_reading_figure(r, kind, value, figure);
    (void)snprintf(out, WORDS_MAX, "%s %s", bly_reading_words(kind), figure);
}

static const char *slip_question(double slip) {
    if (slip < 0.0)
        return "was it the other way?";
    if (slip > 20.0)
        return "were those ounces, not grams?";
    return slip < 0.05 ? "were those grams, not ounces?" : "did the decimal point slip?";
}

static void slip_words(const Report *r, const BlyReading *reading, double slip,
                       char out[2 * WORDS_MAX]) {
    char would[WORDS_MAX];
    out[0] = '\0';
    if (isnan(slip))
        return;
    reading_words(r, reading->kind, slip * reading->value.value, would);
    (void)snprintf(out, 2 * WORDS_MAX, "; %s would agree: %s", would, slip_question(slip));
}

static void contradiction(const Report *r, const TankReport *t, size_t i,
                          char out[TANK_SENTENCE_MAX]) {
    const BlyReading *reading = &t->readings[i];
    const BlyTaught *taught = &t->result->taught[i];
    char read[WORDS_MAX], expected[WORDS_MAX], slip[2 * WORDS_MAX];
    reading_words(r, reading->kind, reading->value.value, read);
    reading_words(r, reading->kind, taught->expected, expected);
    slip_words(r, reading, taught->slip, slip);
    double off = fabs(taught->contradiction);
    (void)bly_format(
        out, TANK_SENTENCE_MAX,
        "%s contradicts %s: %s would be expected (off by %.*f times what the tolerances allow)%s",
        read, t->result->reading_count > 1 ? "all else" : "the build", expected, off < 99.5 ? 1 : 0,
        off, slip);
}

/* Of several that may be the wrong one, the only one that a slip explains. */
static bool blamed(const BlyTankResult *result, size_t i) {
    size_t slips = 0;
    for (size_t k = 0; k < result->reading_count; k++)
        slips += result->taught[k].contradicts && !isnan(result->taught[k].slip);
    return result->taught[i].contradicts && (slips != 1 || !isnan(result->taught[i].slip));
}

/* Some reading is of a stage at which that part would be on. */
static bool felt(const TankReport *t, BlyPartKind part) {
    BlyStage from = part == BLY_PART_HOOK ? BLY_STAGE_COMPLETE : BLY_STAGE_EYED;
    for (size_t i = 0; i < t->result->reading_count; i++) {
        if (t->readings[i].stage >= from)
            return true;
    }
    return false;
}

static bool unfinished_felt(const TankReport *t) {
    for (size_t i = 0; i < t->build->seat_count; i++) {
        BlyPartKind part = bly_tank_lacks(t->build, i);
        if (part != BLY_PART_KINDS && felt(t, part))
            return true;
    }
    return false;
}

static bool unfinished(const TankReport *t, char out[TANK_SENTENCE_MAX]) {
    if (!bly_tank_unfinished(t->build, out, TANK_SENTENCE_MAX / 2))
        return false;
    size_t length = strlen(out);
    (void)snprintf(out + length, TANK_SENTENCE_MAX - length, "; %s without",
                   unfinished_felt(t) ? "the readings are compared with the lure"
                                      : "the forecast is of the lure");
    return true;
}

/* Read under water, written down as the mass in air. */
static bool weighed_wet(const TankReport *t, size_t i, char out[TANK_SENTENCE_MAX]) {
    const BlyReading *reading = &t->readings[i];
    const BlyBand90 *wet = &t->before->net_weight;
    double value = reading->value.value;
    if (reading->kind != BLY_READ_SCALE || reading->stage != BLY_STAGE_COMPLETE ||
        !(value >= wet->low && value <= wet->high))
        return false;
    (void)snprintf(out, TANK_SENTENCE_MAX,
                   "so much it would weigh under water: was it read there? Then it is --in-water");
    return true;
}

/* The build has been corrected by the very same readings. */
static bool stands_already(const BlyBuild *build, const BlyReading *reading) {
    static const double same = 0.02; /* of its give: the file rounds */
    for (size_t i = 0; i < build->reading_count; i++) {
        const BuildReading *kept = &build->readings[i];
        if (kept->kind == (int)reading->kind && kept->stage == reading->stage &&
            fabs(kept->read.value - reading->value.value) <= same * reading->value.give)
            return true;
    }
    return false;
}

static bool read_before(const TankReport *t, char out[TANK_SENTENCE_MAX]) {
    size_t again = 0, count = t->result->reading_count;
    for (size_t i = 0; i < count; i++)
        again += stands_already(t->build, &t->readings[i]);
    if (count == 0 || again < count)
        return false;
    (void)snprintf(out, TANK_SENTENCE_MAX,
                   "%s in the build already and %s counted once more: right only if read anew",
                   count == 1 ? "this reading stands" : "these readings stand",
                   count == 1 ? "is" : "are");
    return true;
}

size_t tank_said(const Report *r, const TankReport *t,
                 char said[TANK_SAID_MAX][TANK_SENTENCE_MAX]) {
    size_t count = unfinished(t, said[0]), accused = 0;
    for (size_t i = 0; i < t->result->reading_count; i++)
        accused += blamed(t->result, i);
    if (accused > 1)
        (void)snprintf(said[count++], TANK_SENTENCE_MAX,
                       "one of these is wrong; the others cannot tell which");
    for (size_t i = 0; i < t->result->reading_count; i++) {
        if (!blamed(t->result, i))
            continue;
        contradiction(r, t, i, said[count++]);
        if (isnan(t->result->taught[i].slip))
            count += weighed_wet(t, i, said[count]) || tank_other_stage(r, t, i, said[count]);
    }
    count += read_before(t, said[count]);
    count += tank_odd_stage(r, t, said[count]);
    if (!t->result->settled && !t->result->contradiction)
        (void)snprintf(said[count++], TANK_SENTENCE_MAX,
                       "the corrections did not settle: these are the best that were found");
    return count;
}

void text_tank_unfinished(const Report *r, const TankReport *t) {
    char words[TANK_SENTENCE_MAX];
    if (t->file == NULL || !unfinished_felt(t) || !unfinished(t, words))
        return;
    text_finish_first(r, t->build, t->file, "tank");
    (void)fprintf(r->out, "  read before the coat, or of the bare body: add --stage eyed, or "
                          "--stage blank\n");
}
