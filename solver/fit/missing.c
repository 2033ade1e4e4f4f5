/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The part that the catalog lacks: takes the nearest miss, works out how much heavier or lighter
 * one or two of its parts would have to be, and says so only when the full physics agrees. */
#include "fit/problem.h"
#include "text/format.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* One part whose weight could be another: a hook, or a lip's sheet by its thickness. */
typedef struct Knob {
    size_t seat;
    BlyPartKind kind;
    double now;       /* g, or mm of sheet */
    double per;       /* g in water for one g of hook or one mm of sheet */
    double lever;     /* mm: moment at the middle angle for one g in water */
    double low, high; /* g or mm that are still believable */
} Knob;

enum { KNOBS_MOST = 8 };

/* What hooks weigh that the craft lets hang there, g; other makers' of the same number weigh so
 * much more or less. */
static void believe_hooks(const Problem *p, Knob *knob) {
    static const double other_makers = 1.25; /* common practice, no source */
    double least = INFINITY, most = 0;
    for (size_t i = 0; i < p->catalog->part_count; i++) {
        const BlyPart *part = &p->catalog->parts[i];
        if (part->kind != BLY_PART_HOOK || craft_hook(&p->craft, part) != 0)
            continue;
        least = fmin(least, 1e3 * part->mass.value);
        most = fmax(most, 1e3 * part->mass.value);
    }
    knob->low = fmax(knob->low, least / other_makers);
    knob->high = fmin(knob->high, most * other_makers);
}

static bool knob_of_hook(const Problem *p, const BlyRig *rig, size_t seat, Knob *out) {
    const BlyChosenPart *hook = &rig->at[seat].of[BLY_PART_HOOK];
    const BlyPart *eye = rig->at[seat].of[BLY_PART_EYE].part;
    if (hook->part == NULL)
        return false;
    const Frame *f = &p->frame[0];
    double t = f->angle[AT_MIDDLE], density = hook->part->mass.value / hook->part->volume * 1e-3;
    BlyVec3 at = bly_seat_hang(&p->build->blank, &p->build->seats[seat], rig->at[seat].x, eye);
    *out = (Knob){.seat = seat,
                  .kind = BLY_PART_HOOK,
                  .now = 1e3 * hook->part->mass.value,
                  .per = 1 - f->rho / density,
                  .lever = 1e3 * (at.x * cos(t) - at.z * sin(t)) - f->ref_x[AT_MIDDLE],
                  .low = 0.02,
                  .high = 8};
    believe_hooks(p, out);
    return true;
}

static bool knob_of_sheet(const Problem *p, const BlyRig *rig, size_t seat, Knob *out) {
    const BlyChoice *c = &rig->at[seat];
    const BlyPart *sheet = c->of[BLY_PART_SHEET].part;
    if (sheet == NULL)
        return false;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    BlyChoice bought = *c;
    bought.thickness = NAN;
    if (!bly_choice_items(&p->build->blank, &p->build->seats[seat], (int)seat, &bought, items,
                          &count, NULL))
        return false;
    const Frame *f = &p->frame[0];
    Lump lump = lump_of_items(items, count);
    double weight = frame_weight(f, &lump);
    double thickness = 1e3 * sheet->thickness;
    *out =
        (Knob){.seat = seat,
               .kind = BLY_PART_SHEET,
               .now = isfinite(c->thickness) ? 1e3 * c->thickness : thickness,
               .per = weight / thickness,
               .lever = frame_moment(f, &lump, AT_MIDDLE) / weight,
               .low = 0.2,
               .high = isfinite(p->build->seats[seat].gap) ? 1e3 * p->build->seats[seat].gap : 4};
    return fabs(weight) > 1e-9;
}

static size_t list_knobs(const Problem *p, const BlyRig *rig, Knob out[KNOBS_MOST]) {
    size_t n = 0;
    for (size_t i = 0; i < p->set_count && n < KNOBS_MOST; i++) {
        size_t seat = (size_t)p->sets[i].seat;
        unsigned open = problem_open(p->build, seat);
        bool found = false;
        if (open & (1u << BLY_PART_SHEET))
            found = knob_of_sheet(p, rig, seat, &out[n]);
        else if (open & (1u << BLY_PART_HOOK))
            found = knob_of_hook(p, rig, seat, &out[n]);
        n += found;
    }
    return n;
}

static void turn(BlyRig *rig, const Knob *knob, double to) {
    BlyChoice *c = &rig->at[knob->seat];
    if (knob->kind == BLY_PART_SHEET)
        c->thickness = to * 1e-3;
    else
        c->of[BLY_PART_HOOK].weighed = (BlyFigure){to * 1e-3, 0};
}

/* What is tried is what will be printed: hundredths. */
static double as_said(double value) {
    return round(value * 100) / 100;
}

static bool believable(const Knob *knob, double to) {
    return isfinite(to) && to >= knob->low && to <= knob->high;
}

/* What is wanted: weight and moment at the middle of the bands of the first water. */
static void wanted(const Problem *p, const BlyOutcome *o, double *weight, double *moment) {
    const Frame *f = &p->frame[0];
    double aim = isfinite(f->n_middle) ? f->n_middle
                 : isfinite(f->n_low)  ? f->n_low + f->n_half
                                       : f->n_high - f->n_half;
    *weight = aim - 1e3 * o->sums.net_weight;
    bool afloat = p->build->target.state == BLY_FLOATS && o->has_surface;
    double angle = afloat ? o->surface.nose_down : o->nose_down;
    *moment =
        f->has_attitude && isfinite(angle) ? -(f->angle[AT_MIDDLE] - angle) * f->stiffness : 0;
}

/* How much (g in water) each of one or two knobs must give; false when they pull alike. */
static bool turns_of(const Knob *a, const Knob *b, double weight, double moment, double *x,
                     double *y) {
    *x = weight;
    *y = 0;
    if (a == b)
        return true;
    double det = b->lever - a->lever;
    if (fabs(det) < 1)
        return false;
    *x = (weight * b->lever - moment) / det;
    *y = (moment - weight * a->lever) / det;
    return true;
}

static void say(const Problem *p, const BlyRig *rig, const Knob *knob, double to, char *out,
                size_t size) {
    const BlyChoice *c = &rig->at[knob->seat];
    const char *seat = p->build->seats[knob->seat].name;
    if (knob->kind == BLY_PART_SHEET)
        (void)bly_format(out, size, "a %s plate %.2f mm thick, %s cut to %.1f mm, at %s",
                         c->of[BLY_PART_SHEET].part->material, to, c->of[BLY_PART_OUTLINE].part->id,
                         1e3 * c->length, seat);
    else
        (void)bly_format(out, size, "a hook of %.2f g at %s", to, seat);
}

/* Tries one pair of knobs (a == b: one alone). Newton-like: turned again from where it came out. */
static bool try_knobs(const Problem *p, const BlyRig *nearest, const Knob *a, const Knob *b,
                      char *out, size_t size, bool *done, BlyError *err) {
    BlyRig rig = {0};
    double ta = a->now, tb = b->now;
    bool good = bly_rig_copy(&rig, nearest, err);
    *done = false;
    for (int step = 0; good && step < 6; step++) {
        BlyFitRig worked;
        double weight, moment, x, y;
        if (!(good = rig_rework(p->build, &rig, &worked, err)))
            break;
        *done = worked.met;
        wanted(p, &worked.outcome[0], &weight, &moment);
        fit_rig_release(&worked);
        if (*done || !turns_of(a, b, weight, moment, &x, &y))
            break;
        ta = as_said(ta + x / a->per);
        tb = a == b ? tb : as_said(tb + y / b->per);
        if (!believable(a, ta) || (a != b && !believable(b, tb)))
            break;
        turn(&rig, a, ta);
        if (a != b)
            turn(&rig, b, tb);
    }
    if (good && *done) {
        char first[160], second[160];
        say(p, &rig, a, ta, first, sizeof first);
        say(p, &rig, b, tb, second, sizeof second);
        (void)snprintf(out, size, a == b ? "%s" : "%s and %s", first, second);
    }
    bly_rig_release(&rig);
    return good;
}

/* ---- the fallback: so much metal at such a place ---- */

static const double metal_density = 8500; /* kg/m3, about brass */

/* Works a rig with one lump of metal on its skin, as one more item of the lure. */
static bool work_with_lump(const Problem *p, const BlyRig *rig, double mass, BlyVec3 at,
                           BlyOutcome outcome[BLY_FIT_WATERS_MAX], bool *met, BlyError *err) {
    BlyLure lure = {0};
    bool good = bly_lure_make(&p->build->blank, p->build->seats, rig, &lure, err);
    BlyItem *items = good ? realloc(lure.items, (lure.count + 1) * sizeof *items) : NULL;
    if (good && items == NULL)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a lure");
    if (good) {
        lure.items = items;
        lure.items[lure.count++] = (BlyItem){.kind = BLY_ITEM_LOAD,
                                             .seat = -1,
                                             .mass = mass,
                                             .at = at,
                                             .volume = mass / metal_density,
                                             .from = at,
                                             .to = at};
    }
    *met = good;
    for (size_t w = 0; good && w < p->water_count; w++) {
        good = bly_rest(&lure, &p->frame[w].water, &outcome[w], err);
        *met = good && *met && bly_judge(&p->build->target, &outcome[w]).met;
    }
    bly_lure_release(&lure);
    return good;
}

static bool on_belly(const Problem *p, double x, BlyVec3 *out) {
    BlySection section;
    if (!bly_body_section(p->build->blank.hull, x, &section) || !(section.height > 0))
        return false;
    *out = bly_vec(x, 0, section.belly);
    return true;
}

/* Starts under the centre of buoyancy and corrects weight and place from the full physics. */
static bool missing_lump(const Problem *p, const BlyFitRig *nearest, char *out, size_t size,
                         BlyError *err) {
    const Frame *f = &p->frame[0];
    BlyOutcome now[BLY_FIT_WATERS_MAX];
    memcpy(now, nearest->outcome, sizeof now);
    double in_water = 0, x = now[0].sums.buoyancy.x;
    for (int step = 0; step < 20; step++) {
        double weight, moment;
        BlyVec3 at;
        bool met;
        wanted(p, &now[0], &weight, &moment);
        double lever = 1e3 * x * cos(f->angle[AT_MIDDLE]) - f->ref_x[AT_MIDDLE];
        double wish = in_water * lever + moment;
        in_water += weight;
        if (!(in_water > 0.01))
            return true;
        if (step > 0)
            x += 1e-3 * (wish / in_water - lever);
        if (!on_belly(p, x, &at))
            return true;
        double mass = in_water * 1e-3 / (1 - 1e3 * f->rho / metal_density);
        if (!work_with_lump(p, &nearest->rig, mass, at, now, &met, err))
            return false;
        if (met) {
            (void)bly_format(
                out, size,
                "on the first of these, %.2f g more of metal on the belly %.0f mm from "
                "the nose",
                1e3 * mass, 1e3 * x);
            return true;
        }
    }
    return true;
}

bool problem_missing(const Problem *p, const BlyFitRig *nearest_rig, char *out, size_t size,
                     BlyError *err) {
    const BlyRig *nearest = &nearest_rig->rig;
    Knob knobs[KNOBS_MOST];
    size_t count = list_knobs(p, nearest, knobs);
    if (!missing_plate(p, nearest, out, size, err) || out[0] != '\0')
        return out[0] != '\0';
    for (int apart = 0; apart < 2; apart++) { /* one part alone before two */
        for (size_t a = 0; a < count; a++) {
            for (size_t b = apart == 0 ? a : a + 1; b < (apart == 0 ? a + 1 : count); b++) {
                bool done;
                if (!try_knobs(p, nearest, &knobs[a], &knobs[b], out, size, &done, err))
                    return false;
                if (done)
                    return true;
            }
        }
    }
    return missing_lump(p, nearest_rig, out, size, err);
}
