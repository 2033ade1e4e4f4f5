/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry pour [BUILD]: what to weigh out for a cast blank, and what that blank will do. */
#include "cli/cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ballastry/pour.h"
#include "report/sure.h"

typedef struct PourWords {
    const char *mould, *filler, *packed, *gap_water, *filler_mass, *target;
    const char *resin, *by_weight, *by_volume, *a_density, *b_density, *cured, *shrinkage;
    const char *allowance, *scale_give;
    bool stirred;
} PourWords;

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

static bool read_pour(const PourWords *w, const BlyBuild *build, BlyPour *out, BlyError *err) {
    BlyFigure allowance = {0, 0}, scale = {0, 0};
    *out = bly_pour_blank();
    if (build != NULL && w->mould == NULL) {
        double share = build->facts.volume_share.give;
        double volume = bly_body_solid(build->shape)->volume;
        out->mould.volume = (BlyFigure){volume, isfinite(share) ? share * volume : 0};
    }
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

typedef struct Forecast {
    BlyBuild *made; /* owned: the build with such a blank */
    BlyOutcome outcome;
    BlySpread *spread; /* owned */
} Forecast;

static void forecast_release(Forecast *f) {
    bly_build_free(f->made);
    free(f->spread);
}

/* What was measured on the old blank says nothing of the new one: it goes. */
static bool make_build(const Cli *cli, const BlyPourPlan *plan, BlyBuild **out, BlyError *err) {
    char material[160];
    const BlyEdit edits[] = {{"/body/material", material}, {"/body/mass", NULL},
                             {"/body/weighed", NULL},      {"/body/balance", NULL},
                             {"/body/balance_up", NULL},   {"/body/soak", NULL},
                             {"/body/expansion", NULL}};
    char *text = NULL;
    (void)snprintf(material, sizeof material,
                   "{\"density\": \"%.6g kg/m3\", \"give\": \"%.6g kg/m3\"}", plan->density.value,
                   fmax(plan->density.give, 1e-3));
    bool good =
        bly_build_text_with_all(cli->build, edits, sizeof edits / sizeof edits[0], &text, err) &&
        bly_build_read_with(text, strlen(text), &cli->catalog, &cli->files, out, err);
    free(text);
    return good;
}

static bool foretell(const Cli *cli, const BlyPourPlan *plan, Forecast *f, BlyError *err) {
    BlyLure lure = {0};
    BlyWater water;
    if (!make_build(cli, plan, &f->made, err))
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

/* ---- text ---- */

static void line(const Cli *cli, const char *label, double si, BlyDimension dim, int digits) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(si, dim, cli->system, digits, text);
    (void)fprintf(cli->report.out, "  %-28s %s\n", label, text);
}

static void portion(const Cli *cli, const char *label, const BlyPortion *p) {
    char mass[BLY_QUANTITY_MAX], volume[BLY_QUANTITY_MAX];
    bly_quantity_show(p->mass, BLY_DIM_MASS, cli->system, cli->system == BLY_INCH ? 3 : 1, mass);
    bly_quantity_show(p->volume, BLY_DIM_VOLUME, cli->system, 1, volume);
    (void)fprintf(cli->report.out, "  %-28s %s on the scale (%s)\n", label, mass, volume);
}

static void figure(const Cli *cli, const char *label, BlyFigure f, BlyDimension dim, int digits) {
    char value[BLY_QUANTITY_MAX], give[BLY_QUANTITY_MAX];
    bly_quantity_show(f.value, dim, cli->system, digits, value);
    bly_quantity_show(f.give, dim, cli->system, digits, give);
    (void)fprintf(cli->report.out, "  %-28s %s, 95 of 100 within +- %s\n", label, value, give);
}

static void notes_text(const Cli *cli, unsigned notes) {
    for (int i = 0; i < BLY_POUR_NOTE_COUNT; i++) {
        if (notes & (1u << i))
            (void)fprintf(cli->report.out, "  note: %s\n",
                          bly_pour_note_words((BlyPourNote)(1 << i)));
    }
}

static void plan_text(const Cli *cli, const BlyPourPlan *p) {
    (void)fprintf(cli->report.out, "weigh out, allowance included\n");
    portion(cli, "resin part A", &p->a);
    portion(cli, "resin part B", &p->b);
    if (p->filler_by != BLY_FILLER_NONE) {
        portion(cli, "filler", &p->filler);
        line(cli, "the same filler, scooped", p->filler_scoop, BLY_DIM_VOLUME, 1);
        (void)fprintf(cli->report.out, "  %-28s %.0f %% by volume, %.0f %% by mass\n",
                      "filler in the mix", 100 * p->share_by_volume, 100 * p->share_by_mass);
    }
    if (isfinite(p->swap_weighed) && fabs(p->swap_weighed) > 0.01)
        (void)fprintf(cli->report.out,
                      "  %-28s the ratio would be %.0f %% off if that by volume were weighed\n",
                      "mind the two ratios", 100 * fabs(p->swap_weighed));
    (void)fprintf(cli->report.out, "\nthe blank\n");
    double resin =
        p->free_volume * (1 - (p->filler_by != BLY_FILLER_NONE ? p->share_by_volume : 0));
    line(cli, "resin in the mould", resin, BLY_DIM_VOLUME, 1);
    figure(cli, "mass", p->mass, BLY_DIM_MASS, 2);
    figure(cli, "density", p->density, BLY_DIM_DENSITY, 3);
    if (p->filler_by != BLY_FILLER_NONE)
        line(cli, p->filler_lift > 0 ? "filler presses up with" : "filler sinks with",
             fabs(p->filler_lift), BLY_DIM_MASS, 1);
    notes_text(cli, p->notes);
}

/* ---- JSON ---- */

static bool put_portion(cJSON *o, const char *key, const BlyPortion *p) {
    cJSON *one = cJSON_CreateObject();
    return put_tree(o, key, one) && put_number(one, "mass_g", p->mass * 1e3) &&
           put_number(one, "volume_ml", p->volume * 1e6);
}

static bool put_notes(cJSON *o, unsigned notes) {
    cJSON *list = cJSON_AddArrayToObject(o, "notes");
    bool good = list != NULL;
    for (int i = 0; good && i < BLY_POUR_NOTE_COUNT; i++) {
        if (notes & (1u << i))
            good = cJSON_AddItemToArray(
                list, cJSON_CreateString(bly_pour_note_words((BlyPourNote)(1 << i))));
    }
    return good;
}

static cJSON *plan_json(const BlyPourPlan *p, const Forecast *f) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_portion(o, "part_a", &p->a) && put_portion(o, "part_b", &p->b) &&
                put_portion(o, "filler", &p->filler) &&
                put_number(o, "filler_scoop_ml", p->filler_scoop * 1e6) &&
                put_number(o, "filler_share_by_volume_percent", p->share_by_volume * 100) &&
                put_number(o, "filler_share_by_mass_percent", p->share_by_mass * 100) &&
                put_number(o, "ratio_by_weight", p->by_weight) &&
                put_number(o, "ratio_by_volume", p->by_volume) &&
                put_number(o, "filler_lift_g", p->filler_lift * 1e3) &&
                put_number(o, "blank_mass_g", p->mass.value * 1e3) &&
                put_number(o, "blank_mass_give_g", p->mass.give * 1e3) &&
                put_number(o, "blank_density_g_cm3", p->density.value * 1e-3) &&
                put_number(o, "blank_density_give_g_cm3", p->density.give * 1e-3) &&
                put_notes(o, p->notes) &&
                (f->made == NULL || (put_tree(o, "outcome", json_outcome(&f->outcome)) &&
                                     put_tree(o, "spread", json_spread(f->made, f->spread, NULL))));
    if (good)
        return o;
    cJSON_Delete(o);
    return NULL;
}

static void forecast_text(const Cli *cli, const Forecast *f) {
    (void)fprintf(cli->report.out, "\nsuch a blank in %s, as it is fitted\n", f->made->name);
    text_outcome(&cli->report, &f->outcome);
    (void)fprintf(cli->report.out, "\n");
    text_spread(&cli->report, f->made, f->spread, NULL);
}

static int work(Cli *cli, const PourWords *words, cJSON **tree) {
    BlyError err = {0};
    BlyPour pour;
    BlyPourPlan plan;
    Forecast forecast = {0};
    int status = EXIT_DONE;
    if (!read_pour(words, cli->build, &pour, &err) || !bly_pour_plan(&pour, &plan, &err) ||
        (cli->build != NULL && !foretell(cli, &plan, &forecast, &err))) {
        status = cli_tell(cli->file, &err);
    } else if (cli->json) {
        *tree = plan_json(&plan, &forecast);
    } else {
        plan_text(cli, &plan);
        if (forecast.made != NULL)
            forecast_text(cli, &forecast);
    }
    forecast_release(&forecast);
    return status;
}

int cmd_pour(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    PourWords w = {0};
    const Option options[] = {
        {"mould", OPT_TEXT, &w.mould, "VOLUME", "of the mould; without it the build's body"},
        {"filler", OPT_TEXT, &w.filler, "DENSITY", "true density of the light filler's pieces"},
        {"packed", OPT_TEXT, &w.packed, "SHARE",
         "of the space that is filler: \"60 %\", granulate .."},
        {"gap-water", OPT_TEXT, &w.gap_water, "MASS", "of water that fills the gaps instead"},
        {"filler-mass", OPT_TEXT, &w.filler_mass, "MASS", "of filler that goes in instead"},
        {"target", OPT_TEXT, &w.target, "DENSITY", "that the blank shall have instead"},
        {"stirred", OPT_FLAG, &w.stirred, NULL, "the filler is stirred into the resin"},
        {"resin", OPT_TEXT, &w.resin, "KIND", "epoxy, urethane or other"},
        {"by-weight", OPT_TEXT, &w.by_weight, "A:B", "mix ratio by weight"},
        {"by-volume", OPT_TEXT, &w.by_volume, "A:B", "mix ratio by volume"},
        {"a-density", OPT_TEXT, &w.a_density, "DENSITY", "of liquid part A"},
        {"b-density", OPT_TEXT, &w.b_density, "DENSITY", "of liquid part B"},
        {"cured", OPT_TEXT, &w.cured, "DENSITY", "of the cured resin"},
        {"shrinkage", OPT_TEXT, &w.shrinkage, "SHARE", "of volume that curing takes"},
        {"allowance", OPT_TEXT, &w.allowance, "SHARE", "more, for cup and sprue"},
        {"scale-give", OPT_TEXT, &w.scale_give, "MASS", "what the scale can be off"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 0, 1, &status))
        return status;
    if (cli.argument_count > 0 && !cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    cJSON *tree = NULL;
    status = work(&cli, &w, &tree);
    return cli_end(&cli, tree, status);
}
