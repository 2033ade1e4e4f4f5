/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two parts of resin: ratios by weight and by volume, the density that follows, and what to weigh.
 * With r parts of A to one of B:  r_weight = r_volume a/b,  liquid = (1 + r_weight)/(r_weight/a +
 * 1/b)  (definitions; volumes of the parts add),  cured = liquid/(1 - shrinkage). */
#include "pour/inside.h"

#include <math.h>

/* Beyond this, ratios and densities cannot belong to the same resin: one of them is misread. */
static const double contradiction = 0.25;
/* What curing can do to a volume; outside it a density is misread. */
static const double most_swelling = 0.1, most_shrinkage = 0.2;

static double liquid_density(double by_weight, double a, double b) {
    return (1 + by_weight) / (by_weight / a + 1 / b);
}

static bool known(double x) {
    return !isnan(x);
}

/* Densities of the parts that follow from both ratios and one density, or from both ratios, the
 * cured density and the shrinkage. */
static void fill_densities(Resin *r) {
    double a_to_b = r->by_weight / r->by_volume; /* NAN unless both are known */
    if (!known(a_to_b))
        return;
    if (!known(r->a) && !known(r->b) && known(r->cured) && known(r->shrinkage))
        r->b = r->cured * (1 - r->shrinkage) * (1 + r->by_volume) / (1 + r->by_weight);
    r->a_follows = !known(r->a) && known(r->b);
    r->b_follows = !known(r->b) && known(r->a);
    if (r->a_follows)
        r->a = r->b * a_to_b;
    if (r->b_follows)
        r->b = r->a / a_to_b;
}

static bool fill_ratios(Resin *r, BlyError *err) {
    if (!known(r->by_weight) && !known(r->by_volume))
        return bly_fail(err, BLY_E_MISSING, "/resin/by_weight",
                        "the mix ratio is unknown, expected parts of A to one of B, by weight "
                        "or by volume, from the maker's data sheet");
    bool both = known(r->a) && known(r->b);
    if (!known(r->by_weight) && !both)
        return bly_fail(err, BLY_E_MISSING, known(r->a) ? "/resin/b_density" : "/resin/a_density",
                        "a ratio by volume cannot be weighed out without the densities of both "
                        "parts");
    if (!known(r->by_weight))
        r->by_weight = r->by_volume * r->a / r->b;
    else if (!known(r->by_volume) && both)
        r->by_volume = r->by_weight * r->b / r->a;
    double off = r->by_volume * r->a / (r->by_weight * r->b) - 1; /* NAN: nothing to compare */
    r->disagree = fabs(off) > BLY_POUR_RATIO_KEEP;
    if (fabs(off) > contradiction)
        return bly_fail(err, BLY_E_CONFLICT, "/resin/by_volume",
                        "%g:1 by weight and %g:1 by volume with parts of %g and %g g/cm3 are %.0f "
                        "%% apart; one of them is misread",
                        r->by_weight, r->by_volume, r->a / 1e3, r->b / 1e3, 100 * fabs(off));
    return true;
}

static bool fill_cured(Resin *r, BlyError *err) {
    if (known(r->a) && known(r->b))
        r->liquid = liquid_density(r->by_weight, r->a, r->b);
    else if (known(r->cured) && known(r->shrinkage))
        r->liquid = r->cured * (1 - r->shrinkage);
    if (!r->cured_given && !known(r->liquid))
        return bly_fail(err, BLY_E_MISSING, "/resin/cured_density",
                        "nothing tells how heavy the cured resin is, expected its density or the "
                        "densities of both parts");
    if (!r->cured_given) {
        r->shrinkage = known(r->shrinkage) ? r->shrinkage : 0;
        r->cured = r->liquid / (1 - r->shrinkage);
    }
    r->shrinkage = 1 - r->liquid / r->cured; /* NAN: liquid not known */
    if (r->shrinkage < -most_swelling || r->shrinkage > most_shrinkage)
        return bly_fail(err, BLY_E_CONFLICT, "/resin/cured_density",
                        "cured resin of %g g/cm3 from a liquid of %g g/cm3 would change its "
                        "volume by %.0f %%; one of them is misread",
                        r->cured / 1e3, r->liquid / 1e3, -100 * r->shrinkage);
    return true;
}

bool pour_resin(const BlyResin *given, Resin *out, BlyError *err) {
    *out = (Resin){
        .by_weight = given->by_weight,
        .by_volume = given->by_volume,
        .a = given->a_density.value,
        .b = given->b_density.value,
        .liquid = NAN,
        .cured = given->cured_density.value,
        .shrinkage = given->shrinkage.value,
        .cured_given = known(given->cured_density.value),
    };
    bool parts_given = known(out->a) && known(out->b);
    if (parts_given && out->cured_given && known(out->shrinkage))
        return bly_fail(err, BLY_E_CONFLICT, "/resin/shrinkage",
                        "cured density and shrinkage are both given beside the liquid densities, "
                        "expected one of them");
    fill_densities(out);
    return fill_ratios(out, err) && fill_cured(out, err);
}

double pour_cured(const Resin *resin, const double *x) {
    if (resin->cured_given)
        return x[BLY_POUR_CURED_DENSITY];
    double a = x[BLY_POUR_A_DENSITY], b = x[BLY_POUR_B_DENSITY];
    if (resin->a_follows)
        a = b * resin->a / resin->b;
    if (resin->b_follows)
        b = a * resin->b / resin->a;
    return liquid_density(resin->by_weight, a, b) / (1 - x[BLY_POUR_SHRINKAGE]);
}

/* The maker's two ratios may be rounded, so that they do not quite fit the densities: each is kept
 * for what it is printed for, and both sets weigh the same in all. */
void pour_split(const Resin *resin, double mass, BlyPortion *a, BlyPortion *b) {
    double r = resin->by_weight, v = resin->by_volume;
    a->mass = mass * r / (1 + r);
    b->mass = mass / (1 + r);
    b->volume = mass / (v * resin->a + resin->b);
    a->volume = v * b->volume;
}
