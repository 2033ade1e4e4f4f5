/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stand-in: a sample at the surface. What shows follows from volumes alone, as long as the same
 * parts are wet; the angle is a curve of second degree in what shows and in the place of the load
 * that the hull carries (masses less what the parts displace), through the full physics; so is what
 * the hull does against rolling, a curve in what shows. */
#include "spread/quick.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

typedef struct Floater {
    const BlyLure *lure;
    BlyLure copy; /* with room for two lumps */
    const BlyWater *water;
    BlySums sums;
    double load; /* kg */
    BlyVec3 at;  /* where the load is */
} Floater;

/* Mass that the hull carries, and the place of it. */
static double load_of(const double sums[SUMS], double density, double *x, double *z) {
    Moments all = quick_sums_moments(sums);
    WeightInWater load = moments_weight(&all, density);
    *x = load.x / load.net;
    *z = load.z / load.net;
    return load.net;
}

/* The lure with lumps that make it heavier by `mass` and move the load by dx, dz. */
static bool float_with(Floater *f, double mass, double dx, double dz, BlyFloat *out,
                       BlyError *err) {
    const double lump = 1e-3;
    double by = (f->load + mass) / lump;
    BlyVec3 far = bly_vec_add(f->at, bly_vec(by * dx, 0, by * dz));
    BlyItem *items = f->copy.items + f->lure->count;
    items[0] = (BlyItem){.seat = -1, .mass = mass - lump, .at = f->at};
    items[1] = (BlyItem){.seat = -1, .mass = lump, .at = far};
    f->copy.count = f->lure->count + 2;
    return bly_balance_float(&f->copy, f->water, out, err);
}

static bool open_floater(Floater *f, const BlyLure *lure, const BlyWater *water, BlyError *err) {
    *f = (Floater){.lure = lure, .water = water};
    f->copy.blank = lure->blank;
    f->copy.items = calloc(lure->count + 2, sizeof *f->copy.items);
    if (!f->copy.items)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a lure at the surface");
    for (size_t i = 0; i < lure->count; i++)
        f->copy.items[i] = lure->items[i];
    bly_balance_sums(lure, water, &f->sums);
    return true;
}

/* What the hull alone does against rolling, of a lure with `mass` more at the load. */
static double righting(const Floater *f, double mass, double cosine, const BlyFloat *found) {
    return (f->sums.mass + mass) * found->roll_height + (f->load + mass) * f->at.z * cosine;
}

static void find_righting(const Floater *f, double mass, const BlyFloat *more, const BlyFloat *less,
                          QuickAfloat *out) {
    double by = 0.5 * (more->shows - less->shows);
    double up = righting(f, mass, out->cosine, more) - out->righting;
    double down = righting(f, -mass, out->cosine, less) - out->righting;
    out->righting_slope = 0.5 * (up - down) / by;
    out->righting_bend = 0.5 * (up + down) / (by * by);
}

static bool find_angle(Floater *f, const double steps[3], QuickAfloat *out, BlyError *err) {
    for (int k = 0; k < 3; k++) {
        BlyFloat more, less;
        double d[3] = {0};
        /* Half of what it floats by, at most: it must still float. */
        d[k] = k == 0 ? fmin(steps[0], -0.5 * f->sums.net_weight) : steps[k];
        if (!(d[k] > 0.0))
            continue;
        if (!float_with(f, d[0], d[1], d[2], &more, err) ||
            !float_with(f, -d[0], -d[1], -d[2], &less, err))
            return false;
        if (k == 0)
            find_righting(f, d[0], &more, &less, out);
        double by = k == 0 ? 0.5 * (more.shows - less.shows) : d[k];
        double up = remainder(more.nose_down - out->nose_down, 2.0 * M_PI);
        double down = remainder(less.nose_down - out->nose_down, 2.0 * M_PI);
        out->slope[k] = 0.5 * (up - down) / by;
        out->bend[k] = 0.5 * (up + down) / (by * by);
    }
    return true;
}

bool quick_afloat_make(const BlyLure *lure, const BlyWater *water, const BlyOutcome *nominal,
                       const double steps[3], bool without_angle, QuickAfloat *out, BlyError *err) {
    Floater f;
    double sums[SUMS];
    *out = (QuickAfloat){.known = nominal->has_surface, .righting = NAN};
    if (!open_floater(&f, lure, water, err))
        return false;
    quick_sums_of(lure, sums);
    out->parts = out->wet_parts = sums[SUM_P];
    bool good = true;
    if (out->known) {
        double hull = f.sums.volume - out->parts;
        out->shows = nominal->surface.shows;
        out->nose_down = nominal->surface.nose_down;
        out->wet_parts = f.sums.mass / water->density - (1.0 - out->shows) * hull;
        out->at[0] = out->shows;
        f.load = load_of(sums, water->density, &out->at[1], &out->at[2]);
        f.at = bly_vec(out->at[1], 0.0, out->at[2]);
        out->cosine = cos(out->nose_down);
        out->righting = righting(&f, 0.0, out->cosine, &nominal->surface);
        good = without_angle || find_angle(&f, steps, out, err);
    }
    free(f.copy.items);
    return good;
}

void quick_afloat_at(const QuickAfloat *afloat, const double sums[SUMS], double density,
                     double hull, double *shows, double *nose_down) {
    double wet = afloat->wet_parts + sums[SUM_P] - afloat->parts;
    *shows = fmin(fmax(1.0 - (sums[SUM_M] / density - wet) / hull, 0.0), 1.0);
    *nose_down = NAN;
    if (!afloat->known)
        return;
    double now[3] = {*shows};
    (void)load_of(sums, density, &now[1], &now[2]);
    *nose_down = afloat->nose_down;
    for (int k = 0; k < 3; k++) {
        double d = now[k] - afloat->at[k];
        *nose_down += d * (afloat->slope[k] + d * afloat->bend[k]);
    }
}

double quick_afloat_roll(const QuickAfloat *afloat, const double sums[SUMS], double density,
                         double shows) {
    double x, z, d = shows - afloat->at[0];
    double load = load_of(sums, density, &x, &z);
    double hull = afloat->righting + d * (afloat->righting_slope + d * afloat->righting_bend);
    return (hull - load * z * afloat->cosine) / sums[SUM_M];
}
