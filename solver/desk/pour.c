/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/pour.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ballastry/units.h"
#include "text/format.h"
#include "text/quote.h"

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
    double a = bly_read_double(text, &end), b = 1;
    if (end != text && *end == ':') {
        const char *rest = end + 1;
        b = bly_read_double(rest, &end);
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

/* A quantity begins with a digit, a point or a sign, an id with a letter. */
static bool is_id(const char *text) {
    return (*text >= 'a' && *text <= 'z') || (*text >= 'A' && *text <= 'Z');
}

static bool find_material(const char *id, const BlyCatalog *catalog, BlyFigure *out,
                          BlyError *err) {
    char quoted[BLY_QUOTE_MAX];
    const BlyMaterial *material = bly_catalog_material(catalog, id);
    bly_quote(id, quoted);
    if (material != NULL) {
        *out = material->density;
        return true;
    }
    const char *near = bly_catalog_nearest_material(catalog, id);
    if (near != NULL)
        return bly_fail(err, BLY_E_UNKNOWN, "--filler", "no material \"%s\"; did you mean \"%s\"?",
                        quoted, near);
    return bly_fail(err, BLY_E_UNKNOWN, "--filler", "no material \"%s\", nor one like it", quoted);
}

static bool read_filler_density(const char *text, const BlyCatalog *catalog, BlyFigure *out,
                                BlyError *err) {
    if (text != NULL && is_id(text))
        return find_material(text, catalog, out, err);
    return read_figure(text, "--filler", BLY_DIM_DENSITY, NULL, 0.05, out, err);
}

/* Vessel and temperature say nothing without the water that was weighed. */
static bool read_gap(const PourWords *w, BlyFiller *out, BlyError *err) {
    BlyFigure warmth = {NAN, 0};
    const char *lone = w->gap_vessel != NULL ? "--gap-vessel" : "--gap-temperature";
    if (w->gap_water == NULL && (w->gap_vessel != NULL || w->gap_temperature != NULL))
        return bly_fail(err, BLY_E_MISSING, lone, "goes with --gap-water");
    bool good =
        read_figure(w->gap_water, "--gap-water", BLY_DIM_MASS, NULL, 0.01, &out->gap_water, err) &&
        read_figure(w->gap_vessel, "--gap-vessel", BLY_DIM_VOLUME, NULL, 0.01, &out->gap_vessel,
                    err) &&
        read_figure(w->gap_temperature, "--gap-temperature", BLY_DIM_TEMPERATURE, "C", 0, &warmth,
                    err);
    out->water_temperature = warmth.value;
    return good;
}

static bool read_filler(const PourWords *w, const BlyCatalog *catalog, BlyFiller *out,
                        BlyError *err) {
    BlyFigure target = {NAN, 0};
    out->stirred = w->stirred;
    bool good =
        read_filler_density(w->filler, catalog, &out->density, err) &&
        read_packed(w->packed, &out->packed, err) && read_gap(w, out, err) &&
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

bool pour_read(const PourWords *w, const BlyBuild *build, const BlyCatalog *catalog,
               BlyEmbedded pieces[BLY_INSETS_MAX], BlyPour *out, BlyError *err) {
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
        read_filler(w, catalog, &out->filler, err) && read_resin(w, &out->resin, err) &&
        read_figure(w->allowance, "--allowance", BLY_DIM_RATIO, NULL, 0, &allowance, err) &&
        read_figure(w->scale_give, "--scale-give", BLY_DIM_MASS, NULL, 0, &scale, err);
    out->bench.allowance_share = allowance.value;
    out->bench.scale_give = scale.value;
    return good;
}

/* The pour room names what it refuses by its own records, a maker by options. */
static const struct {
    const char *where, *option;
} said_by[] = {
    {"/mould", "--mould"},
    {"/filler/density", "--filler"},
    {"/filler/packed", "--packed"},
    {"/filler/gap_water", "--gap-water"},
    {"/filler/gap_vessel", "--gap-vessel"},
    {"/filler/water_temperature", "--gap-temperature"},
    {"/filler/mass", "--filler-mass"},
    {"/filler/target", "--target"},
    {"/filler", "--filler"},
    {"/resin/by_weight", "--by-weight"},
    {"/resin/by_volume", "--by-volume"},
    {"/resin/a_density", "--a-density"},
    {"/resin/b_density", "--b-density"},
    {"/resin/cured_density", "--cured"},
    {"/resin/shrinkage", "--shrinkage"},
    {"/bench/allowance", "--allowance"},
    {"/bench/scale_give", "--scale-give"},
};

bool pour_plan(const PourWords *w, const BlyPour *pour, BlyPourPlan *out, BlyError *err) {
    if (bly_pour_plan(pour, out, err))
        return true;
    static const char mould[] = "/mould";
    char where[BLY_WHERE_MAX];
    if (err == NULL)
        return false;
    memcpy(where, err->where, sizeof where);
    if (strncmp(where, "/mould/pieces", 13) == 0) {
        (void)snprintf(err->where, sizeof err->where, "/body%s", where + sizeof mould - 1);
        return false;
    }
    for (size_t i = 0; i < sizeof said_by / sizeof said_by[0]; i++) {
        if (strncmp(where, said_by[i].where, strlen(said_by[i].where)) != 0)
            continue;
        bool of_build = strcmp(said_by[i].where, mould) == 0 && w->mould == NULL;
        (void)snprintf(err->where, sizeof err->where, "%s", of_build ? "/body" : said_by[i].option);
        break;
    }
    return false;
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
    (void)bly_format(material, sizeof material,
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
