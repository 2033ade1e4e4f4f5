/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/pour.h"
#include "desk/work.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ballastry/units.h"
#include "desk/vessel.h"
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

/* A volume said outright, or by the sizes of what holds it. */
static bool read_volume(const char *text, const char *option, BlyFigure *out, BlyError *err) {
    static const double share = 0.01;
    if (text != NULL && vessel_is_sizes(text))
        return vessel_parse(text, option, share, out, err);
    return read_figure(text, option, BLY_DIM_VOLUME, NULL, share, out, err);
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

static const struct {
    const char *name;
    BlyResinKind kind;
    const char *material; /* of the catalog, whose density such a resin has when cured */
} resin_table[] = {
    {"epoxy", BLY_RESIN_EPOXY, "epoxy"},
    {"urethane", BLY_RESIN_URETHANE, "urethane"},
    {"other", BLY_RESIN_OTHER, NULL},
};
enum { RESINS = sizeof resin_table / sizeof resin_table[0] };

static int find_resin(const char *name) {
    for (int i = 0; name != NULL && i < RESINS; i++) {
        if (strcmp(name, resin_table[i].name) == 0)
            return i;
    }
    return -1;
}

static const BlyMaterial *cured_by_kind(const PourWords *w, const BlyCatalog *catalog) {
    int at = find_resin(w->resin);
    bool ratios = w->by_weight != NULL && w->by_volume != NULL;
    int liquids = (w->a_density != NULL) + (w->b_density != NULL);
    bool by_parts = liquids == 2 || (liquids == 1 && ratios); /* then the liquid's is known */
    if (at < 0 || resin_table[at].material == NULL || w->cured != NULL || by_parts)
        return NULL;
    return bly_catalog_material(catalog, resin_table[at].material);
}

static bool read_resin(const PourWords *w, const BlyMaterial *known, BlyResin *out, BlyError *err) {
    int at = find_resin(w->resin);
    if (w->resin != NULL && at < 0)
        return bly_fail(err, BLY_E_UNKNOWN, "--resin",
                        "should be epoxy, urethane or other, not '%s'", w->resin);
    if (at >= 0)
        out->kind = resin_table[at].kind;
    if (known != NULL)
        out->cured_density = known->density;
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
        read_volume(w->gap_vessel, "--gap-vessel", &out->gap_vessel, err) &&
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

static bool says_filler(const PourWords *w) {
    return w->filler != NULL || w->packed != NULL || w->gap_water != NULL ||
           w->gap_vessel != NULL || w->gap_temperature != NULL || w->filler_mass != NULL ||
           w->target != NULL || w->stirred;
}

/* Its share by volume: masses over densities. */
static BlyFigure filler_by_volume(const BlyMix *mix) {
    double share = mix->share.value;
    if (mix->by == BLY_MIX_BY_VOLUME || !(share > 0))
        return mix->share;
    double filler = share / mix->filler_density.value;
    double volume = filler / (filler + (1 - share) / mix->resin_density.value);
    return (BlyFigure){volume, mix->share.give * volume * (1 - volume) / (share * (1 - share))};
}

/* A body that is a mix is cast of it; what is said of the resin goes before. */
static void take_mix(const PourWords *w, const BlyBuild *build, const BlyCatalog *catalog,
                     PourWork *work) {
    BlyMix mix;
    if (build == NULL || says_filler(w) || !build_mix(build, catalog, &mix))
        return;
    work->of_build = true;
    work->pour.filler.density = mix.filler_density;
    work->pour.filler.packed = filler_by_volume(&mix);
    work->pour.filler.stirred = true;
    if (w->cured == NULL && w->a_density == NULL && w->b_density == NULL) {
        work->pour.resin.cured_density = mix.resin_density;
        work->known = NULL;
    }
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

static bool read_pour(const PourWords *w, const BlyBuild *build, const BlyCatalog *catalog,
                      PourWork *work, BlyError *err) {
    BlyFigure allowance = {0, 0}, scale = {0, 0};
    BlyPour *out = &work->pour;
    work->known = cured_by_kind(w, catalog);
    *out = bly_pour_blank();
    if (build != NULL && w->mould == NULL) {
        double share = build->facts.volume_share.give;
        double volume = bly_body_solid(build->shape)->volume;
        out->mould.volume = (BlyFigure){volume, isfinite(share) ? share * volume : 0};
    }
    if (build != NULL)
        embed(build, work->pieces, &out->mould);
    if (build == NULL && w->mould == NULL)
        return bly_fail(err, BLY_E_MISSING, "--mould", "say the mould's volume, or name a build");
    bool good = read_volume(w->mould, "--mould", &out->mould.volume, err) &&
                read_filler(w, catalog, &out->filler, err) &&
                read_resin(w, work->known, &out->resin, err) &&
                read_figure(w->allowance, "--allowance", BLY_DIM_RATIO, NULL, 0, &allowance, err) &&
                read_figure(w->scale_give, "--scale-give", BLY_DIM_MASS, NULL, 0, &scale, err);
    out->bench.allowance_share = allowance.value;
    out->bench.scale_give = scale.value;
    if (good)
        take_mix(w, build, catalog, work);
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

static bool plan(const PourWords *w, const BlyPour *pour, BlyPourPlan *out, BlyError *err) {
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

static bool foretell(PourWork *w, BlyError *err) {
    const BlyBuild *made = w->made;
    RestWork rest;
    w->spread = calloc(1, sizeof *w->spread);
    if (w->spread == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    bool good = rest_work(made, NULL, &made->fitted, 0, &rest, err) &&
                bly_spread(made, &made->fitted, &made->water, 1, NULL, NULL, w->spread, err);
    w->outcome = rest.outcome;
    rest_work_release(&rest);
    return good;
}

bool pour_work(const PourWords *words, const BlyBuild *build, const BlyCatalog *catalog,
               const BlyBuildFiles *files, PourWork *w, BlyError *err) {
    *w = (PourWork){.made = NULL};
    return read_pour(words, build, catalog, w, err) && plan(words, &w->pour, &w->plan, err) &&
           (build == NULL ||
            (make_build(build, catalog, files, &w->plan, &w->made, err) && foretell(w, err)));
}

void pour_work_release(PourWork *w) {
    bly_build_free(w->made);
    free(w->spread);
}
