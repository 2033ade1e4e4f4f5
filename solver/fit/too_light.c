/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words for a body of too light a wood: metal alone does not bring it down within the craft; and
 * for one too heavy: nothing that hangs on it brings it up. By Archimedes' law of the nearest miss;
 * how another body hangs is not looked at. */
#include "fit/problem.h"
#include "text/format.h"

#include <math.h>

/* Of the body's mass: below it parts make up for it. */
static const double worth_saying = 0.05;

/* g that the rig weighs too little in a water, or too much; 0 or less: enough. */
static double lacks(const Problem *p, const BlyFitRig *rig, size_t w, bool heavy) {
    const BlyOutcome *o = &rig->outcome[w];
    const Frame *f = &p->frame[w];
    const BlyTarget *t = &p->build->target;
    if (t->state != BLY_FLOATS)
        return heavy ? 1e3 * o->sums.net_weight - f->n_high : f->n_low - 1e3 * o->sums.net_weight;
    double bound = heavy ? t->shows_low : t->shows_high;
    if (!isfinite(bound))
        return 0;
    if (o->has_surface)
        return (heavy ? bound - o->surface.shows : o->surface.shows - bound) * f->rho * f->hull_v;
    return heavy ? 1e3 * o->sums.net_weight + bound * f->rho * f->hull_v : 0; /* it sinks */
}

/* The most in any of the waters, g; *water is the density of that one, kg/m3. */
static double most_lacking(const Problem *p, const BlyFitRig *nearest, bool heavy, double *water) {
    double most = 0;
    *water = 1e3;
    for (size_t w = 0; w < p->water_count; w++) {
        double lacking = lacks(p, nearest, w, heavy);
        if (isfinite(lacking) && lacking > most) {
            most = lacking;
            *water = 1e3 * p->frame[w].rho;
        }
    }
    return most;
}

/* What a maker turns to is of cedar's density at least, kg/m3: not balsa, cork or foam. */
static const double cedar = 340;

/* The lightest that is dense enough. */
static const BlyMaterial *dense_enough(const BlyCatalog *catalog, double density, double most) {
    const BlyMaterial *best = NULL;
    for (size_t i = 0; i < catalog->material_count; i++) {
        const BlyMaterial *m = &catalog->materials[i];
        double own = m->density.value;
        if (!m->metal && own >= fmax(density, cedar) && own < most &&
            (best == NULL || own < best->density.value))
            best = m;
    }
    return best;
}

/* The densest that is light enough. */
static const BlyMaterial *light_enough(const BlyCatalog *catalog, double density) {
    const BlyMaterial *best = NULL;
    for (size_t i = 0; i < catalog->material_count; i++) {
        const BlyMaterial *m = &catalog->materials[i];
        double own = m->density.value;
        if (!m->metal && own >= cedar && own <= density &&
            (best == NULL || own > best->density.value))
            best = m;
    }
    return best;
}

static void name_wood(const BlyMaterial *wood, char out[80]) {
    out[0] = '\0';
    if (wood != NULL)
        (void)bly_format(out, 80, " (%.50s has %.2f)", wood->name, 1e-3 * wood->density.value);
}

/* A floater may also be left to float higher, which costs nothing. */
static void say_higher(const Problem *p, const BlyFitRig *nearest, char out[64]) {
    double shows = 0;
    out[0] = '\0';
    if (p->build->target.state != BLY_FLOATS)
        return;
    for (size_t w = 0; w < p->water_count; w++) {
        if (nearest->outcome[w].has_surface)
            shows = fmax(shows, nearest->outcome[w].surface.shows);
    }
    (void)bly_format(out, 64, "; or let it float higher: \"shows\" up to %.0f %%",
                     5 * ceil(20 * shows + 0.5));
}

static void say_glued(double most, const char *way, char *out, size_t size) {
    (void)bly_format(out, size,
                     "with what is mounted already the nearest weighs %.2f g too %s in water", most,
                     way);
}

void problem_too_light(const Problem *p, const BlyFitRig *nearest, char *out, size_t size) {
    const BlyBlank *blank = &p->build->blank;
    double water, most = most_lacking(p, nearest, false, &water);
    char named[80], higher[64];
    if (!(1e-3 * most > worth_saying * blank->body_mass) || !(blank->body_density > 0))
        return;
    if (build_is_glued(p->build)) {
        say_glued(most, "little", out, size);
        return;
    }
    double volume = blank->body_mass / blank->body_density;
    double density = blank->body_density + 1e-3 * most / volume;
    name_wood(dense_enough(p->catalog, density, water), named);
    say_higher(p, nearest, higher);
    (void)bly_format(out, size,
                     "the body is light for this: the nearest weighs %.2f g too little in water; a "
                     "body of %.2f g/cm3 in place of %.2f makes that up%s, or a hole for weight%s",
                     most, 1e-3 * density, 1e-3 * blank->body_density, named, higher);
}

void problem_too_heavy(const Problem *p, const BlyFitRig *nearest, char *out, size_t size) {
    const BlyBuild *build = p->build;
    double water, most = most_lacking(p, nearest, true, &water);
    double own = build->blank.body_density;
    char named[80];
    if (!(1e-3 * most > worth_saying * build->blank.body_mass) || !(own > 0))
        return;
    if (build_is_glued(build)) {
        say_glued(most, "much", out, size);
        return;
    }
    double density = own - 1e-3 * most * own / build->blank.body_mass;
    bool solid_print = isfinite(build->mesh_unit) && build->filled.value > 0.99;
    if (!(density > 0))
        return;
    name_wood(light_enough(p->catalog, density), named);
    (void)bly_format(out, size,
                     "the body is heavy for this: the nearest weighs %.2f g too much in water; a "
                     "body of %.2f g/cm3 in place of %.2f makes that up%s%s",
                     most, 1e-3 * density, 1e-3 * own, named,
                     solid_print ? "; a printed one is not solid: say its \"wall\" and \"infill\""
                                 : "");
}
