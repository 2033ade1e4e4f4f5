/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the scale should read step by step, from what it has read already. */
#include "report/lines.h"
#include "report/result.h"

#include <math.h>
#include <string.h>

/* The word by which a reading after each step is said; NULL: none of its own. */
static const char *step_stage(BlyStep step) {
    static const int stages[BLY_STEPS] = {BLY_STAGE_BLANK,  BLY_STAGE_CUT,     BLY_STAGE_EYED, -1,
                                          BLY_STAGE_COATED, BLY_STAGE_COMPLETE};
    return stages[step] < 0 ? NULL : bly_stage_words[stages[step]];
}

static BlyStep stage_step(BlyStage stage) {
    static const BlyStep steps[BLY_STAGES] = {BLY_STEP_BLANK, BLY_STEP_CUT, BLY_STEP_MOUNTED,
                                              BLY_STEP_COAT, BLY_STEP_HUNG};
    return steps[stage];
}

/* The ladder of what is fitted: that is what was read. */
static void ladder_as_read(const BlyBuild *build, const BlyRung own[BLY_STEPS],
                           BlyRung out[BLY_STEPS]) {
    BlyLure fitted = {0};
    memcpy(out, own, BLY_STEPS * sizeof *out);
    if (build != NULL && bly_lure_make(&build->blank, build->seats, &build->fitted, &fitted, NULL))
        bly_ladder(&fitted, out);
    bly_lure_release(&fitted);
}

/* From the last reading on; of a step that was read with other parts, what hangs now is in doubt by
 * its own give. */
static BlyRung rung_from(const BuildReading *last, const BlyRung *now, const BlyRung *was,
                         const BlyRung *below) {
    BlyRung out = *now;
    double less = below != NULL ? below->give : was->give;
    out.reads += last->read.value - was->reads;
    out.give = hypot(last->read.give, sqrt(fmax(now->give * now->give - less * less, 0)));
    return out;
}

size_t ladder_rows(const BlyBuild *build, const BlyLure *lure, LadderRow out[BLY_STEPS]) {
    static const double alike = 5e-6; /* kg */
    BlyRung rung[BLY_STEPS], was[BLY_STEPS];
    const BuildReading *last = build != NULL ? build_last_scale(build) : NULL;
    int from = last != NULL ? (int)stage_step(last->stage) : -1;
    size_t count = 0;
    bly_ladder(lure, rung);
    ladder_as_read(build, rung, was);
    for (int s = 0; s < BLY_STEPS; s++) {
        LadderRow row = {(BlyStep)s, step_stage((BlyStep)s), rung[s], NULL, s < from};
        /* What hangs may have been exchanged since it was read. */
        const bool other = s == BLY_STEP_HUNG && fabs(rung[s].reads - was[s].reads) > alike;
        if (from >= 0 && (s > from || (s == from && other)))
            row.rung =
                rung_from(last, &rung[s], &was[from], s == from && s > 0 ? &rung[s - 1] : NULL);
        for (size_t i = 0; build != NULL && i < build->reading_count; i++) {
            const BuildReading *read = &build->readings[i];
            if (read->kind == 0 && (int)stage_step(read->stage) == s && !other)
                row.read = read;
        }
        if (row.read != NULL) {
            row.rung.reads = row.read->read.value;
            row.rung.give = row.read->read.give;
        }
        if (row.read == NULL && s > 0 && fabs(rung[s].adds) < 5e-7)
            continue;
        out[count++] = row;
    }
    return count;
}

/* What the blank is glued of, each by itself: the core first. */
static void text_pieces(const Report *r, const BlyLure *lure, int digits) {
    const BlyBodyFacts *facts = &lure->blank->facts;
    char mass[BLY_QUANTITY_MAX], words[WORDS_MAX];
    if (facts->inset_count == 0)
        return;
    bly_quantity_show(lure->blank->items[0].mass, BLY_DIM_MASS, r->system, digits, mass);
    (void)fprintf(r->out, "    of that %-22s %s\n", "the core", mass);
    for (size_t i = 0; i < facts->inset_count; i++) {
        BlyFigure weighs = bly_inset_weighs(&facts->insets[i], facts->volume_share.value);
        tolerance_words(r, weighs.value, weighs.give, BLY_DIM_MASS, digits, words);
        text_wrapped(r, 14, "            %-22s %s", facts->insets[i].name, words);
    }
}

static int mass_digits(const Report *r) {
    return r->system == BLY_INCH ? 3 : 2;
}

/* What stands behind a step: what the scale should read or did, or that it is done. */
static void reads_words(const Report *r, const LadderRow *row, char out[WORDS_MAX]) {
    if (row->passed && row->read == NULL)
        (void)snprintf(out, WORDS_MAX, "done");
    else
        tolerance_words(r, row->rung.reads, row->rung.give, BLY_DIM_MASS, mass_digits(r), out);
}

void text_ladder(const Report *r, const BlyBuild *build, const BlyLure *lure) {
    LadderRow row[BLY_STEPS];
    size_t count = ladder_rows(build, lure, row);
    (void)fprintf(r->out, "what the scale should read (the word in front is for tank --stage)\n");
    for (size_t i = 0; i < count; i++) {
        char reads[WORDS_MAX], adds[WORDS_MAX] = "";
        reads_words(r, &row[i], reads);
        if (row[i].read != NULL)
            (void)snprintf(adds, WORDS_MAX, "read %s", row[i].read->on);
        else if (!row[i].passed && row[i].step != BLY_STEP_BLANK)
            small_mass_words(row[i].rung.adds, r->system, true, adds);
        (void)fprintf(r->out, adds[0] != '\0' ? "  %-8s %-20s %18s  %9s\n" : "  %-8s %-20s %18s\n",
                      row[i].stage != NULL ? row[i].stage : "", bly_step_words(row[i].step), reads,
                      adds);
        if (row[i].step == BLY_STEP_BLANK)
            text_pieces(r, lure, mass_digits(r));
    }
}

void text_ladder_short(const Report *r, const char *margin, const BlyBuild *build,
                       const BlyLure *lure) {
    LadderRow row[BLY_STEPS];
    size_t count = ladder_rows(build, lure, row);
    (void)fprintf(
        r->out, "%swhat the scale should read (tank --stage blank, cut, eyed, coated, complete)\n",
        margin);
    for (size_t i = 0; i < count; i++) {
        char reads[WORDS_MAX];
        reads_words(r, &row[i], reads);
        (void)fprintf(r->out, i % 2 == 0 ? "%s%-20s %16s" : "%s%-20s %16s\n",
                      i % 2 == 0 ? margin : "  ", bly_step_words(row[i].step), reads);
    }
    if (count % 2 == 1)
        (void)fprintf(r->out, "\n");
}

void text_stage(const Report *r, const BlyBuild *build) {
    BlyStage reached;
    char names[WORDS_MAX] = "";
    size_t length = 0;
    if (!build_reached(build, &reached))
        return;
    for (size_t s = 0; s < build->seat_count; s++) {
        if (build_mounted(build, s) != 0 && length < WORDS_MAX / 2)
            length += (size_t)snprintf(names + length, WORDS_MAX - length, "%s%.40s",
                                       length > 0 ? ", " : "", build->seats[s].name);
    }
    if (length > 0)
        text_wrapped(r, 2,
                     "the lure is read as %s: what is mounted at %s stays, only what %s is chosen",
                     bly_stage_words[reached], names,
                     reached == BLY_STAGE_COMPLETE ? "hangs" : "is not on it yet");
    else
        text_wrapped(r, 2,
                     "the lure is read as %s: nothing is mounted yet, all that is open is chosen",
                     bly_stage_words[reached]);
}
