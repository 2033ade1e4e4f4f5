/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/pour.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ballastry/units.h"

enum { HALF_MOST = 120 };

static bool named(BlyError *err, bool good, const char *option) {
    char prefix[64];
    if (good)
        return true;
    (void)snprintf(prefix, sizeof prefix, "%s ", option);
    bly_error_prefix(err, prefix);
    return false;
}

/* "1.05 g/cm3 +- 0.02 g/cm3": a value and, if said, its give; else a share of the value. */
static bool read_figure(const char *text, const char *option, BlyDimension dim, const char *unit,
                        double share, BlyFigure *out, BlyError *err) {
    if (text == NULL)
        return true;
    const char *give = strstr(text, "+-");
    char value[HALF_MOST];
    size_t n = give != NULL ? (size_t)(give - text) : strlen(text);
    if (n >= sizeof value)
        return bly_fail(err, BLY_E_SYNTAX, option, "is too long");
    memcpy(value, text, n);
    value[n] = '\0';
    if (!named(err, bly_quantity_read(value, dim, unit, &out->value, err), option))
        return false;
    out->give = share * fabs(out->value);
    return give == NULL ||
           named(err, bly_quantity_read(give + 2, dim, unit, &out->give, err), option);
}

/* "100:90" or "2": parts of A to one of B. */
static bool read_ratio(const char *text, const char *option, double *out, BlyError *err) {
    if (text == NULL)
        return true;
    char *end;
    if (text[strspn(text, "0123456789.:")] != '\0') /* strtod also takes hex, inf and blanks */
        return bly_fail(err, BLY_E_SYNTAX, option, "'%s' should look like 100:90 or 2", text);
    double a = strtod(text, &end), b = 1;
    if (end != text && *end == ':') {
        const char *rest = end + 1;
        b = strtod(rest, &end);
        if (end == rest)
            b = NAN;
    }
    if (end == text || *end != '\0' || !(a > 0) || !(b > 0) || !isfinite(a / b))
        return bly_fail(err, BLY_E_SYNTAX, option, "'%s' should look like 100:90 or 2", text);
    *out = a / b;
    return true;
}

static bool read_packed(const char *text, BlyFigure *out, BlyError *err) {
    if (text == NULL)
        return true;
    const BlyPacking *known = bly_packing_find(text);
    if (known != NULL) {
        *out = bly_packing_figure(known);
        return true;
    }
    return read_figure(text, "--packed", BLY_DIM_RATIO, NULL, 0.05, out, err);
}

static bool read_resin(const PourWords *w, BlyResin *out, BlyError *err) {
    static const struct {
        const char *name;
        BlyResinKind kind;
    } kinds[] = {
        {"epoxy", BLY_RESIN_EPOXY}, {"urethane", BLY_RESIN_URETHANE}, {"other", BLY_RESIN_OTHER}};
    for (size_t i = 0; w->resin != NULL && i < sizeof kinds / sizeof kinds[0]; i++) {
        if (strcmp(w->resin, kinds[i].name) == 0)
            out->kind = kinds[i].kind;
        else if (i + 1 == sizeof kinds / sizeof kinds[0] && strcmp(w->resin, "epoxy") != 0 &&
                 strcmp(w->resin, "urethane") != 0)
            return bly_fail(err, BLY_E_UNKNOWN, "--resin",
                            "should be epoxy, urethane or other, not '%s'", w->resin);
    }
    return read_ratio(w->by_weight, "--by-weight", &out->by_weight, err) &&
           read_ratio(w->by_volume, "--by-volume", &out->by_volume, err) &&
           read_figure(w->a_density, "--a-density", BLY_DIM_DENSITY, NULL, 0.02, &out->a_density,
                       err) &&
           read_figure(w->b_density, "--b-density", BLY_DIM_DENSITY, NULL, 0.02, &out->b_density,
                       err) &&
           read_figure(w->cured, "--cured", BLY_DIM_DENSITY, NULL, 0.02, &out->cured_density,
                       err) &&
           read_figure(w->shrinkage, "--shrinkage", BLY_DIM_RATIO, NULL, 0.3, &out->shrinkage, err);
}

static bool read_filler(const PourWords *w, BlyFiller *out, BlyError *err) {
    BlyFigure target = {NAN, 0};
    out->stirred = w->stirred;
    bool good =
        read_figure(w->filler, "--filler", BLY_DIM_DENSITY, NULL, 0.05, &out->density, err) &&
        read_packed(w->packed, &out->packed, err) &&
        read_figure(w->gap_water, "--gap-water", BLY_DIM_MASS, NULL, 0.01, &out->gap_water, err) &&
        read_figure(w->filler_mass, "--filler-mass", BLY_DIM_MASS, NULL, 0.005, &out->mass, err) &&
        read_figure(w->target, "--target", BLY_DIM_DENSITY, NULL, 0, &target, err);
    out->target = target.value;
    if (good && w->filler != NULL && w->packed == NULL && w->gap_water == NULL &&
        w->filler_mass == NULL && w->target == NULL)
        return bly_fail(err, BLY_E_MISSING, "--filler",
                        "say how much: --packed, --gap-water, --filler-mass or --target");
    return good;
}

/* The pieces of the build lie in the mould before the pour. */
static void embed(const BlyBuild *build, BlyEmbedded pieces[BLY_INSETS_MAX], BlyMould *mould) {
    for (size_t i = 0; i < build->inset_count; i++) {
        const BlyInset *inset = &build->insets[i];
        pieces[i] = (BlyEmbedded){bly_inset_weighs(inset, 1.0), {bly_inset_inside(inset), 0.0}};
    }
    mould->pieces = pieces;
    mould->piece_count = build->inset_count;
}

bool pour_read(const PourWords *w, const BlyBuild *build, BlyEmbedded pieces[BLY_INSETS_MAX],
               BlyPour *out, BlyError *err) {
    BlyFigure allowance = {0, 0}, scale = {0, 0};
    *out = bly_pour_blank();
    if (build != NULL && w->mould == NULL) {
        double share = build->facts.volume_share.give;
        double volume = bly_body_solid(build->shape)->volume;
        out->mould.volume = (BlyFigure){volume, isfinite(share) ? share * volume : 0};
    }
    if (build != NULL)
        embed(build, pieces, &out->mould);
    if (build == NULL && w->mould == NULL)
        return bly_fail(err, BLY_E_MISSING, "--mould", "say the mould's volume, or name a build");
    bool good =
        read_figure(w->mould, "--mould", BLY_DIM_VOLUME, NULL, 0.01, &out->mould.volume, err) &&
        read_filler(w, &out->filler, err) && read_resin(w, &out->resin, err) &&
        read_figure(w->allowance, "--allowance", BLY_DIM_RATIO, NULL, 0, &allowance, err) &&
        read_figure(w->scale_give, "--scale-give", BLY_DIM_MASS, NULL, 0, &scale, err);
    out->bench.allowance_share = allowance.value;
    out->bench.scale_give = scale.value;
    return good;
}

/* ---- what that blank will do in the build ---- */

void pour_forecast_release(PourForecast *f) {
    bly_build_free(f->made);
    free(f->spread);
}

/* What was measured on the old blank says nothing of the new one: it goes. */
static bool make_build(const BlyBuild *build, const BlyCatalog *catalog, const BlyBuildFiles *files,
                       const BlyPourPlan *plan, BlyBuild **out, BlyError *err) {
    char material[160];
    const BlyEdit edits[] = {{"/body/material", material},   {"/body/mass", NULL},
                             {"/body/weighed", NULL},        {"/body/balance", NULL},
                             {"/body/balance_up", NULL},     {"/body/soak", NULL},
                             {"/body/expansion", NULL},      {"/body/core_balance", NULL},
                             {"/body/core_balance_up", NULL}};
    char *text = NULL;
    bool pieces = build->inset_count > 0; /* then the body's own material is the mix alone */
    double density = pieces ? plan->mix_density : plan->density.value;
    double give = pieces ? plan->mass.give / plan->free_volume : plan->density.give;
    (void)snprintf(material, sizeof material,
                   "{\"density\": \"%.6g kg/m3\", \"give\": \"%.6g kg/m3\"}", density,
                   fmax(give, 1e-3));
    bool good = bly_build_text_with_all(build, edits, sizeof edits / sizeof edits[0], &text, err) &&
                bly_build_read_with(text, strlen(text), catalog, files, out, err);
    free(text);
    return good;
}

bool pour_foretell(const BlyBuild *build, const BlyCatalog *catalog, const BlyBuildFiles *files,
                   const BlyPourPlan *plan, PourForecast *f, BlyError *err) {
    BlyLure lure = {0};
    BlyWater water;
    if (!make_build(build, catalog, files, plan, &f->made, err))
        return false;
    const BlyBuild *made = f->made;
    f->spread = calloc(1, sizeof *f->spread);
    if (f->spread == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    bool good =
        bly_water_at(made->water.temperature.value, made->water.salinity.value, &water, err) &&
        bly_lure_make(&made->blank, made->seats, &made->fitted, &lure, err) &&
        bly_rest(&lure, &water, &f->outcome, err) &&
        bly_spread(made, &made->fitted, &made->water, 1, NULL, NULL, f->spread, err);
    bly_lure_release(&lure);
    return good;
}
