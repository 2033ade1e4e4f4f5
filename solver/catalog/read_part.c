/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One part of a catalog file: the keys that every kind has, the sizes of fields.c, and the few keys
 * that are neither text nor size. */
#include "catalog/fields.h"
#include "catalog/read.h"

#include <math.h>

enum { KNOWN_MOST = 40, RING_SIZE_MOST = 16 };

static const char *const eye_styles[] = {"screw", "twisted"};
static const char *const hook_styles[] = {"treble", "single"};
static const char *const tempers[] = {"half hard", "annealed"};
static const char *const grades[] = {"fine", "medium", "stout", "extra"};

static bool is_cut_to_size(BlyPartKind kind) {
    return kind == BLY_PART_SHEET || kind == BLY_PART_STRIP || kind == BLY_PART_OUTLINE;
}

static bool read_kind(const BlyJson *at, BlyPartKind *kind, BlyError *err) {
    const char *words[BLY_PART_KINDS];
    for (int i = 0; i < BLY_PART_KINDS; i++)
        words[i] = bly_part_kind_name((BlyPartKind)i);
    BlyJson member;
    size_t index;
    if (!bly_json_object(at, NULL, 0, err) || !bly_json_require(at, "kind", &member, err) ||
        !bly_json_word(&member, words, BLY_PART_KINDS, &index, err))
        return false;
    *kind = (BlyPartKind)index;
    return true;
}

/* Which keys a part of this kind may have. */
static bool check_keys(const BlyJson *at, BlyPartKind kind, BlyError *err) {
    const char *known[KNOWN_MOST] = {"kind", "id", "name", "origin", "source"};
    size_t count = 5;
    for (size_t i = 0; i < catalog_field_count; i++) {
        if ((catalog_fields[i].allowed & catalog_bit(kind)) != 0)
            known[count++] = catalog_fields[i].key;
    }
    if (kind != BLY_PART_OUTLINE) {
        known[count++] = "material";
        known[count++] = "lead";
    }
    if (!is_cut_to_size(kind))
        known[count++] = "give";
    if (kind == BLY_PART_EYE || kind == BLY_PART_HOOK)
        known[count++] = "style";
    if (kind == BLY_PART_HOOK || kind == BLY_PART_RING)
        known[count++] = "size";
    if (kind == BLY_PART_HOOK)
        known[count++] = "grade";
    if (kind == BLY_PART_SHEET)
        known[count++] = "temper";
    if (kind == BLY_PART_RING) {
        known[count++] = "hook_size";
        known[count++] = "single_size";
    }
    if (kind == BLY_PART_OUTLINE) {
        known[count++] = "form";
        known[count++] = "lengths";
        known[count++] = "points";
        known[count++] = "path";
        known[count++] = "drawing";
        known[count++] = "slot";
        known[count++] = "shortest";
    }
    return bly_json_object(at, known, count, err);
}

static bool read_sizes(const BlyJson *at, BlyPart *part, BlyError *err) {
    for (size_t i = 0; i < catalog_field_count; i++) {
        const CatalogField *field = &catalog_fields[i];
        BlyJson member = bly_json_member(at, field->key);
        if (member.node == NULL || (field->allowed & catalog_bit(part->kind)) == 0)
            continue;
        double *value = catalog_field_of(part, field);
        if (!bly_json_quantity(&member, field->dimension, field->bare_unit, value, err))
            return false;
        if (*value < 0)
            return bly_json_refuse(&member, BLY_E_RANGE, err, "expected a %s of 0 or more",
                                   field->key);
        if (*value == 0 && !field->may_be_zero)
            return bly_json_refuse(&member, BLY_E_RANGE, err, "expected a %s above 0", field->key);
    }
    part->volume_given = isfinite(part->volume);
    part->bending_given = isfinite(part->bending);
    BlyJson give = bly_json_member(at, "give");
    if (give.node == NULL)
        return true;
    if (isnan(part->mass.value))
        return bly_json_refuse(&give, BLY_E_CONFLICT, err,
                               "\"give\" is a tolerance of the mass, and there is no mass");
    return catalog_read_give(&give, part->mass.value, BLY_DIM_MASS, "g", &part->mass.give, err);
}

static bool read_word(const BlyJson *at, const char *key, const char *const *words, size_t count,
                      char **out, BlyError *err) {
    BlyJson member;
    size_t index;
    if (!bly_json_require(at, key, &member, err) ||
        !bly_json_word(&member, words, count, &index, err))
        return false;
    *out = catalog_borrow(words[index]);
    return true;
}

static bool read_hook_size(const BlyJson *at, int *rank, const char **size, BlyError *err) {
    if (!bly_json_string(at, RING_SIZE_MOST, size, err))
        return false;
    *rank = bly_hook_rank(*size);
    if (*rank == 0)
        return bly_json_refuse(at, BLY_E_RANGE, err,
                               "\"%s\" is not a hook size: they run 24 to 1, then 1/0 to 10/0",
                               *size);
    return true;
}

/* Optional: ["8", "4"], the smallest hook first. */
static bool read_size_range(const BlyJson *object, const char *key, int *low, int *high,
                            BlyError *err) {
    BlyJson at = bly_json_member(object, key);
    if (at.node == NULL)
        return true;
    if (!bly_json_array(&at, 2, 2, err))
        return false;
    const char *size;
    BlyJson end = bly_json_first(&at);
    if (!read_hook_size(&end, low, &size, err))
        return false;
    bly_json_next(&end);
    if (!read_hook_size(&end, high, &size, err))
        return false;
    return *low <= *high ||
           bly_json_refuse(&at, BLY_E_CONFLICT, err, "the smallest hook comes first: \"8\", \"4\"");
}

static bool read_hook(const BlyJson *at, BlyPart *part, BlyError *err) {
    BlyJson size, grade = bly_json_member(at, "grade");
    const char *text;
    if (!read_word(at, "style", hook_styles, 2, &part->style, err) ||
        !bly_json_require(at, "size", &size, err) ||
        !read_hook_size(&size, &part->size_rank, &text, err))
        return false;
    part->size = catalog_borrow(text);
    return grade.node == NULL || read_word(at, "grade", grades, 4, &part->grade, err);
}

static bool read_own_keys(const BlyJson *at, const BlyCatalogFiles *files, BlyPart *part,
                          BlyError *err) {
    switch (part->kind) {
    case BLY_PART_HOOK:
        return read_hook(at, part, err);
    case BLY_PART_EYE:
        return read_word(at, "style", eye_styles, 2, &part->style, err);
    case BLY_PART_RING:
        return catalog_read_text(at, "size", RING_SIZE_MOST, &part->size, err) &&
               read_size_range(at, "hook_size", &part->hook_rank_low, &part->hook_rank_high, err) &&
               read_size_range(at, "single_size", &part->single_rank_low, &part->single_rank_high,
                               err);
    case BLY_PART_OUTLINE:
        return catalog_read_outline(at, files, part, err);
    case BLY_PART_SHEET:
        return bly_json_member(at, "temper").node == NULL ||
               read_word(at, "temper", tempers, 2, &part->temper, err);
    default:
        return true;
    }
}

/* The material by its id; parts that are cut to size, and wire, cannot do without. */
static bool read_material_of(const BlyJson *at, CatalogShelves shelves, BlyPart *part,
                             const BlyMaterial **material, BlyError *err) {
    *material = NULL;
    bool must_have = (is_cut_to_size(part->kind) && part->kind != BLY_PART_OUTLINE) ||
                     part->kind == BLY_PART_WIRE;
    BlyJson member = bly_json_member(at, "material");
    if (member.node == NULL && !must_have)
        return true;
    if (!catalog_read_text(at, "material", CATALOG_ID_MOST, &part->material, err))
        return false;
    *material = catalog_find_material(shelves, part->material);
    if (*material != NULL)
        return true;
    const char *near = bly_catalog_nearest_material(shelves.own, part->material);
    if (near == NULL && shelves.base != NULL)
        near = bly_catalog_nearest_material(shelves.base, part->material);
    return bly_json_refuse(&member, BLY_E_UNKNOWN, err, "no material \"%s\"%s%s%s", part->material,
                           near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                           near != NULL ? "\"?" : "");
}

static bool check_needed(const BlyJson *at, const BlyPart *part, BlyError *err) {
    for (size_t i = 0; i < catalog_field_count; i++) {
        const CatalogField *field = &catalog_fields[i];
        if ((field->needed & catalog_bit(part->kind)) != 0 &&
            !isfinite(catalog_field_value(part, field)))
            return bly_json_refuse(at, BLY_E_MISSING, err, "a %s needs \"%s\"",
                                   bly_part_kind_name(part->kind), field->key);
    }
    if (!is_cut_to_size(part->kind) && part->kind != BLY_PART_WIRE && isnan(part->volume))
        return bly_json_refuse(at, BLY_E_MISSING, err,
                               "a part without a material needs a \"volume\"");
    return true;
}

bool catalog_read_part(const BlyJson *at, CatalogShelves shelves, BlyPart *part, BlyError *err) {
    BlyPartKind kind;
    const BlyMaterial *material;
    if (!read_kind(at, &kind, err))
        return false;
    *part = bly_part_blank(kind);
    if (!check_keys(at, kind, err) ||
        !catalog_read_text(at, "id", CATALOG_ID_MOST, &part->id, err) ||
        !catalog_read_text(at, "name", CATALOG_NAME_MOST, &part->name, err) ||
        !catalog_read_origin(at, "origin", &part->origin, err) ||
        !catalog_read_text(at, "source", CATALOG_SOURCE_MOST, &part->source, err) ||
        !read_sizes(at, part, err) || !read_own_keys(at, shelves.files, part, err) ||
        !read_material_of(at, shelves, part, &material, err))
        return false;
    part->lead = material != NULL && material->lead;
    BlyJson lead = bly_json_member(at, "lead");
    if (lead.node != NULL && !bly_json_bool(&lead, &part->lead, err))
        return false;
    bly_part_complete(part, material); /* an eye's bore, a model's mass */
    return check_needed(at, part, err);
}
