/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Catalog files in JSON: the frame, and materials. Parts: read_part.c. */
#include "catalog/read.h"
#include "catalog/fields.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A whole file of parts is far below this; it keeps a mistaken file from filling memory. */
enum { RECORDS_MOST = 1000000 };

bool catalog_read_text(const BlyJson *object, const char *key, size_t most, char **out,
                       BlyError *err) {
    BlyJson at;
    const char *text;
    if (!bly_json_require(object, key, &at, err) || !bly_json_string(&at, most, &text, err))
        return false;
    *out = catalog_borrow(text);
    return true;
}

bool catalog_read_origin(const BlyJson *object, const char *key, BlyOrigin *out, BlyError *err) {
    const char *words[BLY_ORIGINS];
    for (int i = 0; i < BLY_ORIGINS; i++)
        words[i] = bly_origin_name((BlyOrigin)i);
    BlyJson at;
    size_t index;
    if (!bly_json_require(object, key, &at, err) ||
        !bly_json_word(&at, words, BLY_ORIGINS, &index, err))
        return false;
    *out = (BlyOrigin)index;
    return true;
}

bool catalog_read_give(const BlyJson *at, double value, BlyDimension dimension,
                       const char *bare_unit, double *give, BlyError *err) {
    double read;
    bool share = cJSON_IsString(at->node) && strchr(at->node->valuestring, '%') != NULL;
    if (!bly_json_quantity(at, share ? BLY_DIM_RATIO : dimension, share ? NULL : bare_unit, &read,
                           err))
        return false;
    if (share)
        read *= value;
    if (!catalog_give_is_good(value, read))
        return bly_json_refuse(at, BLY_E_RANGE, err, "%s", catalog_give_words);
    *give = read;
    return true;
}

const BlyMaterial *catalog_find_material(CatalogShelves shelves, const char *id) {
    const BlyMaterial *material = bly_catalog_material(shelves.own, id);
    if (material == NULL && shelves.base != NULL)
        material = bly_catalog_material(shelves.base, id);
    return material;
}

static const double densest = 23e3; /* kg/m3: above osmium, as in builds */

static bool read_density(const BlyJson *at, BlyFigure *density, BlyError *err) {
    BlyJson value, give;
    if (!bly_json_require(at, "density", &value, err) ||
        !bly_json_quantity(&value, BLY_DIM_DENSITY, "g/cm3", &density->value, err))
        return false;
    if (!(density->value > 0))
        return bly_json_refuse(&value, BLY_E_RANGE, err, "expected a density above 0");
    if (density->value > densest)
        return bly_json_refuse(&value, BLY_E_RANGE, err,
                               "is %.4g g/cm3; nothing is denser than 23 g/cm3. A bare number is "
                               "g/cm3; in kg/m3 write the unit",
                               density->value * 1e-3);
    return bly_json_require(at, "give", &give, err) &&
           catalog_read_give(&give, density->value, BLY_DIM_DENSITY, "g/cm3", &density->give, err);
}

/* All four keys or none. */
static bool read_expansion(const BlyJson *at, BlyMaterial *material, BlyError *err) {
    BlyJson value = bly_json_member(at, "expansion"), give;
    if (value.node == NULL) {
        static const char *const others[] = {"expansion_give", "expansion_origin",
                                             "expansion_source"};
        for (size_t i = 0; i < 3; i++) {
            BlyJson other = bly_json_member(at, others[i]);
            if (other.node != NULL)
                return bly_json_refuse(&other, BLY_E_CONFLICT, err, "there is no expansion");
        }
        return true;
    }
    return bly_json_quantity(&value, BLY_DIM_EXPANSION, "/K", &material->expansion.value, err) &&
           bly_json_require(at, "expansion_give", &give, err) &&
           catalog_read_give(&give, material->expansion.value, BLY_DIM_EXPANSION, "/K",
                             &material->expansion.give, err) &&
           catalog_read_origin(at, "expansion_origin", &material->expansion_origin, err) &&
           catalog_read_text(at, "expansion_source", CATALOG_SOURCE_MOST,
                             &material->expansion_source, err);
}

/* How strong: in bending as published, or a metal's yield as half-hard and as annealed sheet. */
static bool read_strength(const BlyJson *at, BlyMaterial *material, BlyError *err) {
    const struct {
        const char *key;
        double *value;
    } strengths[] = {{"bending", &material->bending},
                     {"yield", &material->yield_strength},
                     {"yield_soft", &material->yield_soft}};
    bool any = false;
    for (size_t i = 0; i < sizeof strengths / sizeof strengths[0]; i++) {
        BlyJson value = bly_json_member(at, strengths[i].key);
        if (value.node == NULL)
            continue;
        any = true;
        if (!bly_json_quantity(&value, BLY_DIM_STRESS, "MPa", strengths[i].value, err))
            return false;
        if (!(*strengths[i].value > 0))
            return bly_json_refuse(&value, BLY_E_RANGE, err, "expected a strength above 0");
    }
    if (any)
        return catalog_read_origin(at, "strength_origin", &material->strength_origin, err) &&
               catalog_read_text(at, "strength_source", CATALOG_SOURCE_MOST,
                                 &material->strength_source, err);
    BlyJson origin = bly_json_member(at, "strength_origin");
    if (origin.node == NULL)
        origin = bly_json_member(at, "strength_source");
    return origin.node == NULL ||
           bly_json_refuse(&origin, BLY_E_CONFLICT, err, "there is no strength");
}

static bool read_flag(const BlyJson *object, const char *key, bool *out, BlyError *err) {
    BlyJson at = bly_json_member(object, key);
    return at.node == NULL || bly_json_bool(&at, out, err);
}

static bool read_material(const BlyJson *at, BlyMaterial *material, BlyError *err) {
    static const char *const known[] = {
        "id",
        "name",
        "density",
        "give",
        "origin",
        "source",
        "metal",
        "lead",
        "expansion",
        "expansion_give",
        "expansion_origin",
        "expansion_source",
        "bending",
        "yield",
        "yield_soft",
        "strength_origin",
        "strength_source",
    };
    *material = bly_material_blank();
    return bly_json_object(at, known, sizeof known / sizeof known[0], err) &&
           catalog_read_text(at, "id", CATALOG_ID_MOST, &material->id, err) &&
           catalog_read_text(at, "name", CATALOG_NAME_MOST, &material->name, err) &&
           read_density(at, &material->density, err) &&
           catalog_read_origin(at, "origin", &material->origin, err) &&
           catalog_read_text(at, "source", CATALOG_SOURCE_MOST, &material->source, err) &&
           read_flag(at, "metal", &material->metal, err) &&
           read_flag(at, "lead", &material->lead, err) && read_expansion(at, material, err) &&
           read_strength(at, material, err);
}

static bool doubled(const BlyJson *at, const char *id, BlyError *err) {
    BlyJson place = bly_json_member(at, "id");
    return bly_json_refuse(&place, BLY_E_CONFLICT, err, "\"%.64s\" appears twice", id);
}

/* Puts the record's pointer before an error of the store's ("/id"). */
static bool stored(bool good, const BlyJson *at, BlyError *err) {
    if (!good)
        bly_error_prefix(err, at->where);
    return good;
}

static bool read_materials(const BlyJson *root, BlyCatalog *out, BlyError *err) {
    BlyJson list = bly_json_member(root, "materials");
    if (list.node == NULL)
        return true;
    if (!bly_json_array(&list, 0, RECORDS_MOST, err))
        return false;
    for (BlyJson at = bly_json_first(&list); at.node != NULL; bly_json_next(&at)) {
        BlyMaterial material;
        if (!read_material(&at, &material, err))
            return false;
        if (bly_catalog_material(out, material.id) != NULL)
            return doubled(&at, material.id, err);
        if (!stored(bly_catalog_put_material(out, &material, err), &at, err))
            return false;
    }
    return true;
}

static bool read_parts(const BlyJson *root, const BlyCatalog *base, const BlyCatalogFiles *files,
                       BlyCatalog *out, BlyError *err) {
    BlyJson list = bly_json_member(root, "parts");
    if (list.node == NULL)
        return true;
    if (!bly_json_array(&list, 0, RECORDS_MOST, err))
        return false;
    for (BlyJson at = bly_json_first(&list); at.node != NULL; bly_json_next(&at)) {
        BlyPart part = bly_part_blank(BLY_PART_HOOK);
        bool good = catalog_read_part(&at, (CatalogShelves){out, base, files}, &part, err) &&
                    (bly_catalog_part(out, part.id) == NULL || doubled(&at, part.id, err)) &&
                    stored(bly_catalog_put_part(out, &part, err), &at, err);
        free(part.drawn);
        if (!good)
            return false;
    }
    return true;
}

/* How many there are: pieces, or a length of wire and strip. */
static bool read_box_count(const BlyJson *at, BlyPart *part, BlyError *err) {
    BlyJson count = bly_json_member(at, "count");
    int64_t pieces;
    part->in_box = INFINITY;
    if (count.node == NULL)
        return true;
    if (part->kind != BLY_PART_WIRE && part->kind != BLY_PART_STRIP) {
        if (!bly_json_integer(&count, 0, RECORDS_MOST, &pieces, err))
            return false;
        part->in_box = (double)pieces;
        return true;
    }
    return bly_json_quantity(&count, BLY_DIM_LENGTH, "m", &part->in_box, err) &&
           (part->in_box >= 0 || bly_json_refuse(&count, BLY_E_RANGE, err, "is less than nothing"));
}

/* What lies in the maker's box, by id: parts of this file or known before. */
static bool read_box(const BlyJson *root, const BlyCatalog *base, BlyCatalog *out, BlyError *err) {
    static const char *const known[] = {"id", "count"};
    BlyJson list = bly_json_member(root, "box"), id;
    const char *text;
    if (list.node == NULL)
        return true;
    if (!bly_json_array(&list, 0, RECORDS_MOST, err))
        return false;
    for (BlyJson at = bly_json_first(&list); at.node != NULL; bly_json_next(&at)) {
        if (!bly_json_object(&at, known, 2, err) || !bly_json_require(&at, "id", &id, err) ||
            !bly_json_string(&id, CATALOG_ID_MOST, &text, err))
            return false;
        const BlyPart *old = bly_catalog_part(out, text);
        if (old != NULL && !isnan(old->in_box))
            return doubled(&at, text, err);
        if (old == NULL && base != NULL)
            old = bly_catalog_part(base, text);
        if (old == NULL) {
            const char *near = base != NULL ? bly_catalog_nearest_part(base, text) : NULL;
            return bly_json_refuse(&id, BLY_E_UNKNOWN, err, "no part \"%.60s\"%s%s%s", text,
                                   near != NULL ? "; did you mean \"" : "",
                                   near != NULL ? near : "", near != NULL ? "\"?" : "");
        }
        BlyPart part = *old;
        if (!read_box_count(&at, &part, err) ||
            !stored(bly_catalog_put_part(out, &part, err), &at, err))
            return false;
    }
    return true;
}

static bool read_root(const BlyJson *root, const BlyCatalog *base, const BlyCatalogFiles *files,
                      BlyCatalog *out, BlyError *err) {
    static const char *const known[] = {"ballastry_catalog", "materials", "parts", "box",
                                        "practice"};
    BlyJson version;
    int64_t number;
    return bly_json_object(root, known, sizeof known / sizeof known[0], err) &&
           bly_json_require(root, "ballastry_catalog", &version, err) &&
           bly_json_integer(&version, 1, 1, &number, err) && read_materials(root, out, err) &&
           read_parts(root, base, files, out, err) && read_box(root, base, out, err) &&
           catalog_read_rules(root, base, out, err);
}

bool catalog_read_records(BlyCatalog *out, const BlyCatalog *base, const BlyCatalogFiles *files,
                          const char *text, size_t size, BlyError *err) {
    cJSON *tree = bly_json_parse(text, size, err);
    if (tree == NULL)
        return false;
    BlyJson root = bly_json_root(tree);
    bool good = read_root(&root, base, files, out, err);
    cJSON_Delete(tree);
    return good;
}

bool bly_catalog_read_json_with(BlyCatalog *into, const char *text, size_t size,
                                const BlyCatalogFiles *files, BlyError *err) {
    BlyCatalog read = {0};
    bool good = catalog_read_records(&read, into, files, text, size, err);
    for (size_t i = 0; good && i < read.material_count; i++)
        good = bly_catalog_put_material(into, &read.materials[i], err);
    for (size_t i = 0; good && i < read.part_count; i++)
        good = bly_catalog_put_part(into, &read.parts[i], err);
    if (good && bly_catalog_practice(&read) != NULL)
        good = bly_catalog_put_practice(into, bly_catalog_practice(&read), err);
    bly_catalog_release(&read);
    bly_catalog_complete(into);
    bly_catalog_sort(into);
    return good;
}

bool bly_catalog_read_json(BlyCatalog *into, const char *text, size_t size, BlyError *err) {
    return bly_catalog_read_json_with(into, text, size, NULL, err);
}
