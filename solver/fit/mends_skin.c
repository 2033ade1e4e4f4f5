/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mends of what is stuck on, and of a mounted lip. */
#include "fit/mends.h"

#include <math.h>
#include <stdlib.h>

enum { DOTS_MOST = 8, DOT_PLACES = 7, STRIPS_KEPT = 300 };
static const double strip_step = 1e-3, strip_least = 4e-3, lip_outside = 5e-3;
/* kg: what is ground off by the scale goes in such steps. */
static const double scale_step = 10e-6;

static unsigned open_at(const Bench *bench, int seat) {
    const BlyBuild *build = bench->build;
    return bly_seat_mendable(&build->seats[seat], &build->fitted.at[seat], build->coat_count > 0);
}

static bool add_dots(const Bench *bench, int seat, const BlyPart *dot, double x, int count,
                     MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    int have = now->of[BLY_PART_DOT].part != NULL ? now->count : 0;
    Mend mend = {.kind = BLY_MEND_DOT, .seats = 1, .seat = {seat}};
    BlyChosenPart piece = {dot, {NAN, 0}};
    double more = (count - have) * dot->mass.value;
    double give = mends_give(bench, more, bly_part_give_share(dot));
    if (have > 0 && count > 0) {
        piece.weighed = now->of[BLY_PART_DOT].weighed;
        piece.weighed.value += more; /* NAN stays so */
        piece.weighed.give = hypot(piece.weighed.give, bench->by_scale && more > 0 ? give : 0);
    } else if (count > 0 && give < more * bly_part_give_share(dot)) {
        piece.weighed = (BlyFigure){more, give};
    }
    mend.to[0] = count > 0 ? *now : bly_choice_empty(x);
    mend.to[0].x = x;
    mend.to[0].count = count;
    if (count > 0)
        mend.to[0].of[BLY_PART_DOT] = piece;
    mend.trouble = abs(count - have);
    return mends_add(bench, &mend, list, err);
}

/* More of the same where they are; fewer where no coat holds them. */
static bool more_or_fewer(const Bench *bench, int seat, MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    int least = bench->build->coat_count > 0 ? now->count : 0;
    bool good = true;
    for (int n = least; good && n <= now->count + DOTS_MOST; n++) {
        if (n != now->count)
            good = add_dots(bench, seat, now->of[BLY_PART_DOT].part, now->x, n, list, err);
    }
    return good;
}

static bool new_dots(const Bench *bench, int seat, MendList *list, BlyError *err) {
    const BlySeat *s = &bench->build->seats[seat];
    const BlyPart **dots;
    size_t count;
    if (!bly_limits_parts(&bench->build->limits, bench->catalog, BLY_PART_DOT, &dots, &count, err))
        return false;
    bool good = true;
    for (size_t i = 0; good && i < count && !fit_over(bench->options, bench->deadline); i++) {
        double from = s->x_from + dots[i]->outer / 2, to = s->x_to - dots[i]->outer / 2;
        int places = to - from > 2e-3 ? DOT_PLACES : 1;
        for (int p = 0; good && p < places; p++) {
            double x = places > 1 ? from + (to - from) * p / (places - 1) : (from + to) / 2;
            x = places > 1 ? round(x * 1e3) / 1e3 : x; /* a maker marks whole millimetres */
            for (int n = 1; good && n <= DOTS_MOST; n++)
                good = add_dots(bench, seat, dots[i], fmin(fmax(x, from), to), n, list, err);
        }
    }
    free(dots);
    return good;
}

static bool dots(const Bench *bench, int seat, MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    if ((open_at(bench, seat) & (1u << BLY_PART_DOT)) == 0 ||
        now->of[BLY_PART_STRIP].part != NULL || !mends_begin(list, bench, BLY_MEND_DOT, 0))
        return true;
    bool good = now->of[BLY_PART_DOT].part != NULL ? more_or_fewer(bench, seat, list, err)
                                                   : new_dots(bench, seat, list, err);
    mends_end(list);
    return good;
}

static bool shorter(const Bench *bench, int seat, MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    bool good = true;
    for (int step = 1; good && now->length - step * strip_step >= strip_least - 1e-9; step++) {
        Mend mend = {.kind = BLY_MEND_STRIP, .seats = 1, .seat = {seat}, .trouble = step};
        BlyFigure *weighed = &mend.to[0].of[BLY_PART_STRIP].weighed;
        mend.to[0] = *now;
        mend.to[0].length -= step * strip_step;
        weighed->value *= mend.to[0].length / now->length;
        weighed->give *= mend.to[0].length / now->length;
        good = mends_add(bench, &mend, list, err);
    }
    return good;
}

/* A strip is weighed before it is stuck on, where that tells more than its gauge. */
static void weigh_strip(const Bench *bench, int seat, BlyChoice *choice) {
    BlyItem items[BLY_CHOICE_ITEMS];
    BlyChosenPart *strip = &choice->of[BLY_PART_STRIP];
    size_t count;
    double mass = 0, share = bly_part_give_share(strip->part);
    if (!bly_choice_items(&bench->build->blank, &bench->build->seats[seat], seat, choice, items,
                          &count, NULL))
        return;
    for (size_t i = 0; i < count; i++)
        mass += items[i].kind == BLY_ITEM_PART ? items[i].mass : 0;
    if (mends_give(bench, mass, share) < mass * share)
        strip->weighed = (BlyFigure){mass, BLY_SCALE_GIVE};
}

/* Cut to whole millimetres and begun at one, as a maker marks it. */
static bool new_strips(const Bench *bench, int seat, MendList *list, BlyError *err) {
    CandidateSet set = {.seat = seat,
                        .open = 1u << BLY_PART_STRIP,
                        .craft = bench->craft,
                        .options = bench->options,
                        .deadline = bench->deadline};
    bool good = patch_candidates(bench->build, bench->catalog, seat, set.open, &set, err);
    double grain = 0.02;
    while (good && set.count > STRIPS_KEPT && grain < 1) {
        good = candidates_thin(&set, STRIPS_KEPT, grain, err);
        grain *= 1.5;
    }
    for (size_t i = 0; good && i < set.count; i++) {
        Mend mend = {.kind = BLY_MEND_STRIP, .seats = 1, .seat = {seat}};
        mend.to[0] = set.at[i].choice;
        if (bly_choice_is_empty(&mend.to[0]))
            continue;
        mend.to[0].length = fmax(round(mend.to[0].length * 1e3) / 1e3, strip_least);
        weigh_strip(bench, seat, &mend.to[0]);
        mend.trouble = mend.to[0].count + 1;
        good = mends_add(bench, &mend, list, err);
    }
    candidates_release(&set);
    return good;
}

static bool strips(const Bench *bench, int seat, MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    if ((open_at(bench, seat) & (1u << BLY_PART_STRIP)) == 0 ||
        now->of[BLY_PART_DOT].part != NULL || !mends_begin(list, bench, BLY_MEND_STRIP, 1))
        return true;
    bool good = now->of[BLY_PART_STRIP].part != NULL ? shorter(bench, seat, list, err)
                                                     : new_strips(bench, seat, list, err);
    mends_end(list);
    return good;
}

bool mends_of_skin(const Bench *bench, int seat, MendList *out, BlyError *err) {
    return dots(bench, seat, out, err) && strips(bench, seat, out, err);
}

/* ---- a lip that is glued in ---- */

/* A flared or drawn outline is not cut back: its sides would no longer be those of a shorter one.
 */
static bool edges(const Bench *bench, int seat, MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    const BlyPart *outline = now->of[BLY_PART_OUTLINE].part;
    double least = fmax(outline->length_least, bench->build->seats[seat].depth + lip_outside);
    bool good = true;
    if (outline->form == BLY_OUTLINE_FLARED || outline->form == BLY_OUTLINE_DRAWN ||
        !mends_begin(list, bench, BLY_MEND_EDGE, 0))
        return true;
    for (int step = 1; good && now->length - step * bench->how.edge_step >= least - 1e-9; step++) {
        Mend mend = {.kind = BLY_MEND_EDGE, .seats = 1, .seat = {seat}, .trouble = 0.5 * step};
        mend.to[0] = *now;
        mend.to[0].length = now->length - step * bench->how.edge_step;
        good = mends_add(bench, &mend, list, err);
    }
    mends_end(list);
    return good;
}

/* What stands out of the body of a mounted lip, kg a metre of its thickness. */
static double lip_mass_a_metre(const Bench *bench, int seat, double thick) {
    const BlyBuild *build = bench->build;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    double outer = 0;
    if (!bly_choice_items(&build->blank, &build->seats[seat], seat, &build->fitted.at[seat], items,
                          &count, NULL))
        return NAN;
    for (size_t i = 0; i < count; i++)
        outer += items[i].kind == BLY_ITEM_PART && items[i].volume > 0 ? items[i].mass : 0;
    return outer / thick;
}

/* Steps and how sure they are: of a gauge, or of a scale that is looked at while the metal goes. */
static void back_step(const Bench *bench, int seat, double thick, double *step, double *give) {
    double mass = bench->by_scale ? lip_mass_a_metre(bench, seat, thick) : NAN;
    *step = bench->how.back_step;
    *give = bench->how.back_give;
    if (!(mass > 0))
        return;
    *step = fmin(*step, fmax(scale_step / mass, 0.01e-3));
    *give = fmin(*give, BLY_SCALE_GIVE / mass);
}

static bool backs(const Bench *bench, int seat, MendList *list, BlyError *err) {
    const BlyChoice *now = &bench->build->fitted.at[seat];
    const BlyPart *sheet = now->of[BLY_PART_SHEET].part;
    double thick = isfinite(now->thickness) ? now->thickness : sheet->thickness;
    bool good = true;
    if (!isfinite(sheet->thinnest) || !mends_begin(list, bench, BLY_MEND_BACK, 0))
        return true;
    double left = thick - now->filed - sheet->thinnest, a_step, give;
    back_step(bench, seat, thick - now->filed, &a_step, &give);
    for (int step = 1; good && step * a_step <= left + 1e-9; step++) {
        Mend mend = {.kind = BLY_MEND_BACK,
                     .seats = 1,
                     .seat = {seat},
                     .trouble = step * a_step / bench->how.back_step};
        mend.to[0] = *now;
        mend.to[0].filed = now->filed + step * a_step;
        mend.to[0].filed_give = give;
        good = mends_add(bench, &mend, list, err);
    }
    mends_end(list);
    return good;
}

bool mends_of_lip(const Bench *bench, int seat, MendList *out, BlyError *err) {
    unsigned open = open_at(bench, seat);
    return ((open & (1u << BLY_PART_OUTLINE)) == 0 || edges(bench, seat, out, err)) &&
           ((open & (1u << BLY_PART_SHEET)) == 0 || backs(bench, seat, out, err));
}
