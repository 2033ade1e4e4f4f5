/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Works every record of a catalog through again and says what is wrong or doubtful. */
#include "ballastry/catalog.h"
#include "catalog/fields.h"
#include "text/format.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Rounding of a mass that was worked out by the model and printed to three figures. */
static const double model_rounding = 0.02;
/* kg/m3: below the lightest foam and above osmium nothing is a material. */
static const double lightest = 15, heaviest = 22700;
/* 1/K: no solid of the trade grows faster than soft plastics do. */
static const double fastest_growth = 300e-6;

/* Pa: below lead, and above spring steel, nothing is sheet. */
static const double weakest = 1e6, strongest = 3e9;

typedef struct Check {
    BlyFindingSink tell;
    void *user;
    const char *kind, *id;
    size_t found;
} Check;

static void find(Check *check, BlyCode code, const char *fmt, ...) BLY_PRINTF(3, 4);
static void find(Check *check, BlyCode code, const char *fmt, ...) {
    BlyFinding finding = {.kind = check->kind, .id = check->id, .code = code};
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(finding.text, sizeof finding.text, fmt, args);
    va_end(args);
    check->found++;
    if (check->tell != NULL)
        check->tell(&finding, check->user);
}

static bool is_empty(const char *text) {
    return text == NULL || text[0] == '\0';
}

static bool is_one_of(const char *text, const char *one, const char *other) {
    return text != NULL && (strcmp(text, one) == 0 || strcmp(text, other) == 0);
}

static void check_texts(Check *check, const char *name, const char *source) {
    if (is_empty(name))
        find(check, BLY_E_MISSING, "has no name");
    if (is_empty(source))
        find(check, BLY_E_MISSING, "does not say where its figures come from");
}

/* A give of nothing claims a perfect figure; one beyond the value itself says nothing. */
static void check_give(Check *check, const char *what, BlyFigure figure) {
    if (isfinite(figure.value) && !(figure.give > 0 && figure.give < fabs(figure.value)))
        find(check, BLY_E_RANGE,
             "its %s has a tolerance of %.3g times itself; expected more than 0 and less than 1",
             what, figure.give / figure.value);
}

static void check_strength(Check *check, const BlyMaterial *material) {
    const double values[] = {material->bending, material->yield_strength, material->yield_soft};
    bool any = false;
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        any = any || isfinite(values[i]);
        if (isfinite(values[i]) && !(values[i] >= weakest && values[i] <= strongest))
            find(check, BLY_E_RANGE, "no sheet has a strength of %.4g MPa", values[i] * 1e-6);
    }
    if (any && is_empty(material->strength_source))
        find(check, BLY_E_MISSING, "does not say where its strength comes from");
    if (material->yield_soft > material->yield_strength)
        find(check, BLY_E_CONFLICT, "yields later annealed than half hard");
}

static void check_material(Check *check, const BlyMaterial *material) {
    check->kind = "material";
    check->id = material->id;
    check_texts(check, material->name, material->source);
    double density = material->density.value;
    if (!(density >= lightest && density <= heaviest))
        find(check, BLY_E_RANGE, "no material has a density of %.4g kg/m3", density);
    check_give(check, "density", material->density);
    if (material->lead && !material->metal)
        find(check, BLY_E_CONFLICT, "is lead, but not said to be metal");
    check_strength(check, material);
    if (isnan(material->expansion.value))
        return;
    if (!(material->expansion.value >= 0 && material->expansion.value <= fastest_growth))
        find(check, BLY_E_RANGE, "no material has an expansion of %.3g /K",
             material->expansion.value);
    check_give(check, "expansion", material->expansion);
    if (is_empty(material->expansion_source))
        find(check, BLY_E_MISSING, "does not say where its expansion comes from");
}

static void check_needed(Check *check, const BlyPart *part) {
    for (size_t i = 0; i < catalog_field_count; i++) {
        const CatalogField *field = &catalog_fields[i];
        double value = catalog_field_value(part, field);
        if ((field->needed & catalog_bit(part->kind)) != 0 && !isfinite(value))
            find(check, BLY_E_MISSING, "has no %s", field->key);
        else if ((field->allowed & catalog_bit(part->kind)) != 0 &&
                 (value < 0 || (value == 0 && !field->may_be_zero)))
            find(check, BLY_E_RANGE, "its %s is %g", field->key, value);
    }
}

static void check_substance(Check *check, const BlyPart *part, const BlyMaterial *material) {
    if (part->kind == BLY_PART_OUTLINE)
        return;
    if (is_empty(part->material)) { /* compound: the file must say what it displaces */
        if (!part->volume_given)
            find(check, BLY_E_MISSING, "has neither a material nor a volume");
    } else if (material == NULL) {
        find(check, BLY_E_UNKNOWN, "is of \"%.60s\", a material that the catalog does not have",
             part->material);
    } else if (material->lead && !part->lead) {
        find(check, BLY_E_CONFLICT, "is of %s but not said to hold lead", material->id);
    } else if (!material->lead && part->lead) {
        find(check, BLY_E_CONFLICT, "is said to hold lead, but %s does not", material->id);
    }
}

static void check_mass(Check *check, const BlyPart *part, const BlyMaterial *material) {
    double model = bly_part_model_mass(part, material), mass = part->mass.value;
    if (!isfinite(mass))
        return;
    check_give(check, "mass", part->mass);
    if (!isfinite(model))
        return;
    double allowed = part->mass.give;
    if (part->origin == BLY_FROM_MODEL)
        allowed = model_rounding * model;
    else if (part->origin == BLY_FROM_MEASURED)
        allowed += bly_origin_give(BLY_FROM_MODEL, part->kind) * model;
    if (fabs(mass - model) > allowed)
        find(check, BLY_E_CONFLICT, "weighs %.4g g, by its sizes it would be %.4g g (%+.0f %%)",
             mass * 1e3, model * 1e3, 100 * (mass / model - 1));
}

/* Only where the file itself gave a volume; else it follows from the density. */
static void check_density(Check *check, const BlyPart *part, const BlyMaterial *material) {
    if (!part->volume_given || !isfinite(part->mass.value))
        return;
    double inside = isfinite(part->shank_volume) ? part->shank_volume : 0;
    double density = part->mass.value / (part->volume + inside);
    if (!(density >= lightest && density <= heaviest))
        find(check, BLY_E_RANGE, "mass and volume make %.4g kg/m3, no material's density", density);
    else if (material != NULL &&
             fabs(density / material->density.value - 1) >
                 bly_part_give_share(part) + material->density.give / material->density.value)
        find(check, BLY_E_CONFLICT, "mass and volume make %.4g kg/m3, %s has %.4g", density,
             material->id, material->density.value);
}

static void check_order(Check *check, const char *small_name, double small, const char *large_name,
                        double large) {
    if (small > large * (1 + 1e-9))
        find(check, BLY_E_CONFLICT, "its %s of %.4g mm is more than its %s of %.4g mm", small_name,
             small * 1e3, large_name, large * 1e3);
}

static void check_range(Check *check, const char *what, int low, int high) {
    if (low > high || (low == 0) != (high == 0))
        find(check, BLY_E_CONFLICT, "its %s runs backwards", what);
}

static void check_hook(Check *check, const BlyPart *hook) {
    if (hook->size_rank == 0 || hook->size_rank != bly_hook_rank(hook->size))
        find(check, BLY_E_CONFLICT, "\"%.20s\" is not a hook size, or not the one it is ranked by",
             hook->size != NULL ? hook->size : "");
    if (!is_one_of(hook->style, "treble", "single"))
        find(check, BLY_E_UNKNOWN, "is neither treble nor single");
    double straight = hook->length - hook->bore - hook->gape / 2 - 3 * hook->wire;
    check_order(check, "free shank", hook->shank, "straight shank", straight);
}

static void check_shape(Check *check, const BlyPart *part) {
    switch (part->kind) {
    case BLY_PART_HOOK:
        check_hook(check, part);
        break;
    case BLY_PART_EYE:
        if (!is_one_of(part->style, "screw", "twisted"))
            find(check, BLY_E_UNKNOWN, "is neither a screw eye nor a twisted eye");
        check_order(check, "bore", part->bore, "loop within the wire",
                    part->outer - 2 * part->wire);
        break;
    case BLY_PART_RING:
        check_order(check, "two turns of wire", 2 * part->wire, "passing thickness", part->passes);
        check_order(check, "passing thickness", part->passes, "outer diameter", part->outer);
        check_range(check, "hook_size", part->hook_rank_low, part->hook_rank_high);
        check_range(check, "single_size", part->single_rank_low, part->single_rank_high);
        break;
    case BLY_PART_DOT:
        check_order(check, "hole", part->bore, "outer diameter", part->outer);
        break;
    case BLY_PART_SHEET:
        check_order(check, "thinnest", part->thinnest, "thickness", part->thickness);
        break;
    case BLY_PART_OUTLINE:
        check_order(check, "root", part->root_width, "width", part->width);
        check_order(check, "least length", part->length_least, "greatest", part->length_most);
        if (!isfinite(part->length_least + part->length_most))
            find(check, BLY_E_MISSING, "has no lengths");
        if (!(bly_outline_area(part, part->length_most) > 0))
            find(check, BLY_E_MISSING, "its form needs a root_width or root_length");
        break;
    default:
        break;
    }
}

static void check_part(Check *check, const BlyPart *part, const BlyMaterial *material) {
    check->kind = bly_part_kind_name(part->kind);
    check->id = part->id;
    check_texts(check, part->name, part->source);
    check_needed(check, part);
    check_substance(check, part, material);
    check_mass(check, part, material);
    check_density(check, part, material);
    check_shape(check, part);
}

size_t bly_part_check(const BlyPart *part, const BlyMaterial *material, BlyFindingSink tell,
                      void *user) {
    Check check = {.tell = tell, .user = user};
    check_part(&check, part, material);
    return check.found;
}

size_t bly_catalog_check(const BlyCatalog *catalog, BlyFindingSink tell, void *user) {
    Check check = {.tell = tell, .user = user};
    for (size_t i = 0; i < catalog->material_count; i++)
        check_material(&check, &catalog->materials[i]);
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        check_part(&check, part, bly_catalog_material(catalog, part->material));
    }
    return check.found;
}
