/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry catalog: list, check and look at parts and materials. */
#include "cli/cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ballastry/catalog.h"

typedef struct Filter {
    const char *kind, *material, *size, *search;
    BlyPartKind kind_value;
    bool lead_free;
} Filter;

static bool wanted(const Filter *f, const BlyPart *p) {
    if (f->kind != NULL && p->kind != f->kind_value)
        return false;
    if (f->material != NULL && strcmp(p->material, f->material) != 0)
        return false;
    if (f->size != NULL && strcmp(p->size, f->size) != 0)
        return false;
    if (f->lead_free && p->lead)
        return false;
    return f->search == NULL || strstr(p->id, f->search) != NULL ||
           strstr(p->name, f->search) != NULL;
}

static const char *mass_text(const Cli *cli, const BlyPart *p, char out[WORDS_MAX]) {
    if (!isfinite(p->mass.value)) {
        (void)snprintf(out, WORDS_MAX, "by size");
        return out;
    }
    char mass[BLY_QUANTITY_MAX];
    int digits = cli->system == BLY_INCH ? 4 : 3;
    bly_quantity_show(p->mass.value, BLY_DIM_MASS, cli->system, digits, mass);
    const char *each = p->kind == BLY_PART_WIRE ? " a metre" : "";
    (void)snprintf(out, WORDS_MAX, "%s +-%.0f %%%s", mass, 100 * p->mass.give / p->mass.value,
                   each);
    return out;
}

static void list_text(const Cli *cli, const Filter *filter) {
    size_t shown = 0;
    for (size_t i = 0; i < cli->catalog.part_count; i++) {
        const BlyPart *p = &cli->catalog.parts[i];
        char mass[WORDS_MAX];
        if (!wanted(filter, p))
            continue;
        (void)fprintf(cli->report.out, "%-8s %-28s %-22s %-10s %s\n", bly_part_kind_name(p->kind),
                      p->id, mass_text(cli, p, mass), bly_origin_name(p->origin), p->name);
        shown++;
    }
    (void)fprintf(cli->report.out, "%zu part%s\n", shown, shown == 1 ? "" : "s");
}

static bool put_size(cJSON *o, const char *key, double metres) {
    return !isfinite(metres) || put_number(o, key, metres * 1e3);
}

static cJSON *part_json(const BlyPart *p) {
    cJSON *o = cJSON_CreateObject();
    bool good =
        o != NULL && put_text(o, "kind", bly_part_kind_name(p->kind)) && put_text(o, "id", p->id) &&
        put_text(o, "name", p->name) && put_text(o, "material", p->material) &&
        put_text(o, "origin", bly_origin_name(p->origin)) && put_text(o, "source", p->source) &&
        put_number(o, p->kind == BLY_PART_WIRE ? "mass_g_m" : "mass_g", p->mass.value * 1e3) &&
        put_number(o, "mass_give_g", p->mass.give * 1e3) &&
        put_number(o, "volume_cm3", p->volume * 1e6) && put_bool(o, "lead", p->lead) &&
        put_size(o, "wire_mm", p->wire) && put_size(o, "outer_mm", p->outer) &&
        put_size(o, "length_mm", p->length) && put_size(o, "gape_mm", p->gape) &&
        put_size(o, "bore_mm", p->bore) && put_size(o, "passes_mm", p->passes) &&
        put_size(o, "thickness_mm", p->thickness) && put_size(o, "width_mm", p->width);
    return json_finished(o, good);
}

static cJSON *list_json(const Cli *cli, const Filter *filter) {
    cJSON *root = cJSON_CreateObject();
    cJSON *list = root != NULL ? cJSON_AddArrayToObject(root, "parts") : NULL;
    bool good = list != NULL;
    for (size_t i = 0; good && i < cli->catalog.part_count; i++) {
        if (!wanted(filter, &cli->catalog.parts[i]))
            continue;
        cJSON *one = part_json(&cli->catalog.parts[i]);
        good = one != NULL && cJSON_AddItemToArray(list, one);
    }
    return json_finished(root, good);
}

static void materials_text(const Cli *cli) {
    for (size_t i = 0; i < cli->catalog.material_count; i++) {
        const BlyMaterial *m = &cli->catalog.materials[i];
        char density[BLY_QUANTITY_MAX], expansion[BLY_QUANTITY_MAX];
        bly_quantity_show(m->density.value, BLY_DIM_DENSITY, cli->system, -1, density);
        bly_quantity_show(m->expansion.value, BLY_DIM_EXPANSION, cli->system, 0, expansion);
        (void)fprintf(cli->report.out, "%-24s %-12s +-%-3.0f %% %-10s swells %-10s %s\n", m->id,
                      density, 100 * m->density.give / m->density.value, bly_origin_name(m->origin),
                      expansion, m->name);
    }
}

static cJSON *materials_json(const Cli *cli) {
    cJSON *root = cJSON_CreateObject();
    cJSON *list = root != NULL ? cJSON_AddArrayToObject(root, "materials") : NULL;
    bool good = list != NULL;
    for (size_t i = 0; good && i < cli->catalog.material_count; i++) {
        const BlyMaterial *m = &cli->catalog.materials[i];
        cJSON *o = cJSON_CreateObject();
        good = o != NULL && cJSON_AddItemToArray(list, o) && put_text(o, "id", m->id) &&
               put_text(o, "name", m->name) &&
               put_number(o, "density_g_cm3", m->density.value * 1e-3) &&
               put_number(o, "density_give_g_cm3", m->density.give * 1e-3) &&
               put_number(o, "expansion_ppm_k", m->expansion.value * 1e6) &&
               put_text(o, "origin", bly_origin_name(m->origin)) &&
               put_text(o, "source", m->source);
    }
    return json_finished(root, good);
}

static bool read_filter(Filter *f, BlyError *err) {
    if (f->kind == NULL || bly_part_kind_read(f->kind, &f->kind_value))
        return true;
    return bly_fail(
        err, BLY_E_UNKNOWN, "--kind",
        "'%s' is not a kind of part; expected eye, ring, hook, snap, sheet, outline, strip, dot or "
        "wire",
        f->kind);
}

typedef struct Findings {
    FILE *out;
    cJSON *list; /* NULL: text */
    bool broken;
} Findings;

static void take_finding(const BlyFinding *finding, void *user) {
    Findings *f = user;
    if (f->list == NULL) {
        (void)fprintf(f->out, "%s %s: %s\n", finding->kind, finding->id, finding->text);
        return;
    }
    cJSON *o = cJSON_CreateObject();
    if (o == NULL || !cJSON_AddItemToArray(f->list, o)) {
        cJSON_Delete(o);
        f->broken = true;
    } else if (!put_text(o, "kind", finding->kind) || !put_text(o, "id", finding->id) ||
               !put_text(o, "finding", finding->text)) {
        f->broken = true;
    }
}

/* Findings are bad input: exit 3, but told on standard output as the result that was asked for. */
static int catalog_check(Cli *cli, cJSON **tree) {
    Findings f = {.out = cli->report.out};
    cJSON *root = cli->json ? cJSON_CreateObject() : NULL;
    if (cli->json) {
        f.list = root != NULL ? cJSON_AddArrayToObject(root, "findings") : NULL;
        f.broken = f.list == NULL;
    }
    size_t count = f.broken ? 0 : bly_catalog_check(&cli->catalog, take_finding, &f);
    if (!cli->json)
        (void)fprintf(f.out, "%zu parts and %zu materials checked: %zu finding%s\n",
                      cli->catalog.part_count, cli->catalog.material_count, count,
                      count == 1 ? "" : "s");
    if (f.broken) {
        cJSON_Delete(root);
        return cli_no_memory();
    }
    *tree = root;
    cli->found_fault = count > 0;
    return EXIT_DONE;
}

/* The box, and what the rig of a build takes out of it. */
static int catalog_box(Cli *cli, cJSON **tree) {
    double *takes = NULL;
    if (cli->box_path[0] == '\0' && !bly_catalog_has_box(&cli->catalog)) {
        BlyError err = {0};
        (void)bly_fail(&err, BLY_E_MISSING, NULL,
                       "no box: expected box.csv beside the build or in ~/.config/ballastry, or "
                       "--box FILE");
        return cli_tell(NULL, &err);
    }
    if (cli->build != NULL) {
        takes = calloc(cli->catalog.part_count + 1, sizeof *takes);
        if (takes == NULL)
            return cli_no_memory();
        box_used(&cli->catalog, &cli->build->fitted, NULL, takes);
    }
    if (cli->json) {
        *tree = json_box(&cli->catalog, takes);
    } else {
        if (cli->box_path[0] != '\0')
            (void)fprintf(cli->report.out, "%s\n", cli->box_path);
        text_box(&cli->report, &cli->catalog, takes);
    }
    free(takes);
    return EXIT_DONE;
}

static int run_action(Cli *cli, const Command *self, const Filter *filter, cJSON **tree) {
    const char *action = cli->argument_count > 0 ? cli->arguments[0] : "list";
    if (strcmp(action, "list") == 0) {
        if (cli->json)
            *tree = list_json(cli, filter);
        else
            list_text(cli, filter);
        return EXIT_DONE;
    }
    if (strcmp(action, "materials") == 0) {
        if (cli->json)
            *tree = materials_json(cli);
        else
            materials_text(cli);
        return EXIT_DONE;
    }
    if (strcmp(action, "check") == 0)
        return catalog_check(cli, tree);
    if (strcmp(action, "box") == 0)
        return catalog_box(cli, tree);
    return cli_usage(self, "'%s' is not list, check, materials or box", action);
}

int cmd_catalog(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    Filter filter = {0};
    const Option options[] = {
        {"kind", OPT_TEXT, &filter.kind, "KIND", "only this kind: hook, ring, eye, sheet .."},
        {"material", OPT_TEXT, &filter.material, "ID", "only of this material"},
        {"size", OPT_TEXT, &filter.size, "SIZE", "only this number: 6, 1/0"},
        {"lead-free", OPT_FLAG, &filter.lead_free, NULL, "nothing with lead"},
        {"search", OPT_TEXT, &filter.search, "TEXT", "id or name contains this"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 0, 2, &status))
        return status;
    BlyError err = {0};
    if (!read_filter(&filter, &err))
        return cli_end(&cli, NULL, (cli_tell(NULL, &err), EXIT_USAGE));
    bool with_build = cli.argument_count == 2;
    if (with_build && strcmp(cli.arguments[0], "box") != 0)
        return cli_end(&cli, NULL, cli_usage(self, "too many arguments"));
    cli.arguments += with_build; /* the build's file is what cli_build reads */
    if (!(with_build ? cli_build(&cli, &status) : cli_catalog(&cli, &status)))
        return cli_end(&cli, NULL, status);
    cli.arguments -= with_build;
    cJSON *tree = NULL;
    status = run_action(&cli, self, &filter, &tree);
    return cli_end(&cli, tree, status);
}
