/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A mix of resin and filler as one material: its density and how it swells with temperature. */
#include "pour/inside.h"

#include <math.h>

static double squares(double a, double b, double c) {
    return sqrt(a * a + b * b + c * c);
}

typedef struct Share {
    BlyFigure by_volume;
    BlyFigure density; /* of the mix */
} Share;

/* v = w rho/f and 1/rho = w/f + (1-w)/r, so d rho = rho^2 (w df/f^2 + (1-w) dr/r^2 + (1/r - 1/f)
 * dw), dv = rho^2/(f r) dw - v (1-v) (df/f - dr/r). */
static Share share_by_mass(const BlyMix *mix) {
    double w = mix->share.value, f = mix->filler_density.value, r = mix->resin_density.value;
    double rho = 1 / (w / f + (1 - w) / r), v = w * rho / f;
    double df = mix->filler_density.give, dr = mix->resin_density.give, dw = mix->share.give;
    double to_v = rho * rho / (f * r); /* dv/dw */
    return (Share){
        .by_volume = {v, squares(to_v * dw, v * (1 - v) * df / f, v * (1 - v) * dr / r)},
        .density = {rho, squares(v * rho / f * df, (1 - v) * rho / r * dr,
                                 rho * rho * (1 / r - 1 / f) * dw)},
    };
}

static Share share_by_volume(const BlyMix *mix) {
    double v = mix->share.value, f = mix->filler_density.value, r = mix->resin_density.value;
    return (Share){
        .by_volume = mix->share,
        .density = {v * f + (1 - v) * r,
                    squares(v * mix->filler_density.give, (1 - v) * mix->resin_density.give,
                            (f - r) * mix->share.give)},
    };
}

/* A phase that is not there needs no figure. */
static BlyFigure expansion_of(const BlyMix *mix, BlyFigure share) {
    BlyFigure f = mix->filler_expansion, r = mix->resin_expansion;
    double v = share.value;
    if (v == 0)
        return r;
    if (v == 1)
        return f;
    if (isnan(f.value) || isnan(r.value))
        return (BlyFigure){NAN, 0};
    double apart = f.value - r.value;
    double inputs = squares(v * f.give, (1 - v) * r.give, apart * share.give);
    return (BlyFigure){v * f.value + (1 - v) * r.value, hypot(inputs, v * (1 - v) * apart)};
}

static bool check_expansion(BlyFigure expansion, const char *where, BlyError *err) {
    const Bound bound = {"linear expansion", -1e-3, 1e-3, false, 1e-6, "e-6 /K"};
    return isnan(expansion.value) || pour_figure(expansion, &bound, where, err);
}

bool bly_mix_figures(const BlyMix *mix, BlyFigure *density, BlyFigure *expansion, BlyError *err) {
    const Bound resin = {"density of the resin", 500, 5000, false, 1e3, "g/cm3"};
    const Bound filler = {"true density of the filler", 1, 25000, false, 1e3, "g/cm3"};
    const Bound part = {"share of filler", 0, 1, false, 0.01, "%"};
    if (!pour_figure(mix->resin_density, &resin, "/resin/density", err) ||
        !pour_figure(mix->filler_density, &filler, "/filler/density", err) ||
        !pour_figure(mix->share, &part, "/share", err) ||
        !check_expansion(mix->resin_expansion, "/resin/expansion", err) ||
        !check_expansion(mix->filler_expansion, "/filler/expansion", err))
        return false;
    Share share = mix->by == BLY_MIX_BY_MASS ? share_by_mass(mix) : share_by_volume(mix);
    if (density != NULL)
        *density = share.density;
    if (expansion != NULL)
        *expansion = expansion_of(mix, share.by_volume);
    return true;
}
