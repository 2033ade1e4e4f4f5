/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words for a body of too light a wood: metal alone does not bring it down within the craft. By
 * Archimedes' law of the nearest miss; how a denser one hangs is not looked at. */
#include "fit/problem.h"
#include "text/format.h"

#include <math.h>

/* Of the body's mass: below it parts make up for it. */
static const double worth_saying = 0.05;

/* g that the rig weighs too little in a water; 0 or less: enough. */
static double lacks(const Problem *p, const BlyFitRig *rig, size_t w) {
    const BlyOutcome *o = &rig->outcome[w];
    const Frame *f = &p->frame[w];
    if (p->build->target.state != BLY_FLOATS)
        return f->n_low - 1e3 * o->sums.net_weight;
    double most = p->build->target.shows_high;
    return o->has_surface && isfinite(most) ? (o->surface.shows - most) * f->rho * f->hull_v : 0;
}

/* The lightest that is dense enough, of cedar's density at least: what is lighter yet, balsa, cork
 * and foam, is not what a maker turns to. */
static const BlyMaterial *dense_enough(const BlyCatalog *catalog, double density, double most) {
    static const double cedar = 340; /* kg/m3 */
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

void problem_too_light(const Problem *p, const BlyFitRig *nearest, char *out, size_t size) {
    const BlyBlank *blank = &p->build->blank;
    double most = 0, water = 1e3;
    for (size_t w = 0; w < p->water_count; w++) {
        double lacking = lacks(p, nearest, w);
        if (isfinite(lacking) && lacking > most) {
            most = lacking;
            water = 1e3 * p->frame[w].rho;
        }
    }
    if (!(1e-3 * most > worth_saying * blank->body_mass) || !(blank->body_density > 0))
        return;
    double volume = blank->body_mass / blank->body_density;
    double density = blank->body_density + 1e-3 * most / volume;
    const BlyMaterial *wood = dense_enough(p->catalog, density, water);
    char named[80] = "";
    if (wood != NULL)
        (void)bly_format(named, sizeof named, " (%.50s has %.2f)", wood->name,
                         1e-3 * wood->density.value);
    (void)bly_format(out, size,
                     "the body is light for this: the nearest weighs %.2f g too little in water; a "
                     "body of %.2f g/cm3 in place of %.2f makes that up%s, or a hole for weight",
                     most, 1e-3 * density, 1e-3 * blank->body_density, named);
}
