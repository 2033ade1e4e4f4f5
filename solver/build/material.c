/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What body and coats are made of. */
#include "build/sections.h"
#include "ballastry/pour.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* From granulated cork to iridium: wider than anything a lure is made of. */
static const Quantity density_range = {BLY_DIM_DENSITY, "g/cm3", 10.0, 23000.0, false};
static const Quantity expansion_range = {BLY_DIM_EXPANSION, "1/K", 0.0, 1e-3, false};
static const Quantity coat_thickness = {BLY_DIM_LENGTH, "mm", 0.0, 5e-3, false};

/* Docs/format.md, defaults: scatter inside one species of wood; handbook ranges of one plastic;
 * dip coats pool. All from memory. */
static const Give unknown_density = {0.0, 0.10};
static const Give unknown_expansion = {0.0, 0.30};
static const Give uneven_coat = {0.0, 0.25};

enum { COATS_MOST = 12, WAY_MOST = 24 };

bool build_read_expansion(const BlyJson *object, Swelling *out, BlyError *err) {
    BlyJson field;
    if (!build_member(object, "expansion", &field))
        return true;
    out->origin = BLY_FROM_MEASURED;
    return build_figure(&field, &expansion_range, unknown_expansion, &out->figure, err);
}

static bool read_written_out(const BlyJson *material, BlyFigure *density, Swelling *swelling,
                             BlyError *err) {
    static const char *const keys[] = {"density", "give", "expansion"};
    BlyJson value, give;
    if (!bly_json_object(material, keys, swelling != NULL ? 3 : 2, err) ||
        !bly_json_require(material, "density", &value, err) ||
        !build_quantity(&value, &density_range, &density->value, err))
        return false;
    density->give = unknown_density.share * density->value;
    if (build_member(material, "give", &give) &&
        !build_give(&give, &density_range, density->value, &density->give, err))
        return false;
    return swelling == NULL || build_read_expansion(material, swelling, err);
}

static const Quantity filler_share = {BLY_DIM_RATIO, NULL, 0.0, 0.95, false};
static const Give measured_share = {0.0, 0.05};

/* One side of a mix: a material of the catalog or one written out, but no mix again. */
static bool read_phase(const BlyJson *mix, const char *key, const BlyCatalog *catalog,
                       BlyFigure *density, Swelling *swelling, BlyError *err) {
    BlyJson phase;
    char *id = NULL;
    *swelling = (Swelling){{NAN, 0}, BLY_FROM_MEMORY};
    if (!bly_json_require(mix, key, &phase, err))
        return false;
    if (bly_json_member(&phase, "mix").node != NULL)
        return bly_json_refuse(&phase, BLY_E_CONFLICT, err, "a mix of mixes; give its density");
    bool good = build_read_material(&phase, catalog, &id, density, swelling, err);
    free(id);
    return good;
}

/* Resin with a light filler, by share of volume or of mass; docs/pour.md. */
static bool read_recipe(const BlyJson *material, const BlyCatalog *catalog, BlyMix *out,
                        BlyError *err) {
    static const char *const outer[] = {"mix"};
    static const char *const keys[] = {"resin", "filler", "share", "share_by_mass"};
    BlyJson mix = bly_json_member(material, "mix"), share, by_mass;
    Swelling resin, filler;
    *out = (BlyMix){0};
    if (!bly_json_object(material, outer, 1, err) || !bly_json_object(&mix, keys, 4, err) ||
        !read_phase(&mix, "resin", catalog, &out->resin_density, &resin, err) ||
        !read_phase(&mix, "filler", catalog, &out->filler_density, &filler, err))
        return false;
    bool volume = build_member(&mix, "share", &share);
    bool mass = build_member(&mix, "share_by_mass", &by_mass);
    if (volume == mass)
        return bly_json_refuse(&mix, volume ? BLY_E_CONFLICT : BLY_E_MISSING, err,
                               "expected either \"share\" (of volume) or \"share_by_mass\"");
    out->by = mass ? BLY_MIX_BY_MASS : BLY_MIX_BY_VOLUME;
    out->resin_expansion = resin.figure;
    out->filler_expansion = filler.figure;
    return build_figure(mass ? &by_mass : &share, &filler_share, measured_share, &out->share, err);
}

bool build_mix(const BlyBuild *build, const BlyCatalog *catalog, BlyMix *out) {
    BlyJson root = bly_json_root(build->doc), body = bly_json_member(&root, "body"),
            material = bly_json_member(&body, "material");
    return bly_json_member(&material, "mix").node != NULL &&
           read_recipe(&material, catalog, out, NULL);
}

static bool read_mix(const BlyJson *material, const BlyCatalog *catalog, BlyFigure *density,
                     Swelling *swelling, BlyError *err) {
    BlyJson mix = bly_json_member(material, "mix");
    BlyMix recipe;
    BlyFigure expansion;
    if (!read_recipe(material, catalog, &recipe, err))
        return false;
    if (!bly_mix_figures(&recipe, density, &expansion, err)) {
        bly_error_prefix(err, mix.where);
        return false;
    }
    if (swelling != NULL)
        *swelling = (Swelling){expansion, BLY_FROM_MEMORY};
    return true;
}

bool build_read_material(const BlyJson *material, const BlyCatalog *catalog, char **id,
                         BlyFigure *density, Swelling *swelling, BlyError *err) {
    const char *name = "";
    if (bly_json_member(material, "mix").node != NULL) {
        if (!read_mix(material, catalog, density, swelling, err))
            return false;
    } else if (cJSON_IsObject(material->node)) {
        if (!read_written_out(material, density, swelling, err))
            return false;
    } else {
        if (!cJSON_IsString(material->node))
            return bly_json_refuse(material, BLY_E_SYNTAX, err,
                                   "expected the id of a material, or an object with its density");
        name = material->node->valuestring;
        const BlyMaterial *known = bly_catalog_material(catalog, name);
        if (known == NULL)
            return build_unknown(material, "material", name,
                                 bly_catalog_nearest_material(catalog, name), err);
        *density = known->density;
        if (swelling != NULL)
            *swelling = (Swelling){known->expansion, known->expansion_origin};
    }
    *id = build_copy(name, err);
    return *id != NULL;
}

/* The maker's own word: "dipped", "two-brushed". */
static bool read_way(const BlyJson *item, BlyCoat *out, BlyError *err) {
    static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789-";
    BlyJson way;
    const char *word;
    if (!build_member(item, "way", &way))
        return true;
    if (!bly_json_string(&way, WAY_MOST, &word, err))
        return false;
    if (word[strspn(word, letters)] != '\0')
        return bly_json_refuse(&way, BLY_E_SYNTAX, err,
                               "expected a word of a-z, 0-9 and -, such as \"dipped\"");
    out->way = build_copy(word, err);
    return out->way != NULL;
}

/* Left out, it is what the maker's book has; build_use_habits puts it there. */
static bool read_thickness(const BlyJson *item, const BlyCatalog *catalog, BlyCoat *out,
                           BlyError *err) {
    BlyJson thickness, material = bly_json_member(item, "material");
    char key[BOOK_KEY_MAX];
    if (build_member(item, "thickness", &thickness))
        return build_figure(&thickness, &coat_thickness, uneven_coat, &out->thickness, err);
    book_coat_key(cJSON_IsString(material.node) ? material.node->valuestring : "", out->way, key);
    int habit = book_habit(catalog->habits, BOOK_COAT, key);
    if (habit < 0)
        return bly_json_refuse(item, BLY_E_MISSING, err,
                               "expected \"thickness\"; no book has such a coat of yours");
    BlyFigure next = catalog->habits->at[habit].next;
    out->thickness = (BlyFigure){1e-3 * next.value, 1e-3 * next.give};
    return true;
}

static bool read_coat(const BlyJson *item, const BlyCatalog *catalog, BlyCoat *out, BlyError *err) {
    static const char *const keys[] = {"material", "thickness", "density", "way"};
    BlyJson material;
    return bly_json_object(item, keys, 4, err) &&
           bly_json_require(item, "material", &material, err) &&
           build_read_material(&material, catalog, &out->material, &out->density, NULL, err) &&
           build_opt_figure(item, "density", &density_range, unknown_density, &out->density, err) &&
           read_way(item, out, err) && read_thickness(item, catalog, out, err);
}

bool build_read_coats(const BlyJson *coats, const BlyCatalog *catalog, BlyBuild *build,
                      BlyError *err) {
    if (!bly_json_array(coats, 0, COATS_MOST, err))
        return false;
    size_t count = bly_json_count(coats);
    if (count == 0)
        return true;
    build->coats = calloc(count, sizeof *build->coats);
    if (build->coats == NULL)
        return bly_json_refuse(coats, BLY_E_MEMORY, err, "no memory for %zu coats", count);
    build->coat_count = count;
    for (BlyJson item = bly_json_first(coats); item.node != NULL; bly_json_next(&item)) {
        if (!read_coat(&item, catalog, &build->coats[item.index], err))
            return false;
    }
    return true;
}
