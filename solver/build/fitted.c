/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What sits on the seats now. */
#include "build/fitted.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { TURNS_MOST = 200, LAYERS_MOST = 20, DOTS_MOST = 200 };

static const Give scale_give = {0.02e-3, 0.0}; /* as for the body: docs/format.md, defaults */

/* Measures of a choice, each with the part that it belongs to and whether that part needs it. */
static const struct {
    const char *key;
    BlyPartKind part;
    bool needed;
} measure_table[] = {
    {"turns", BLY_PART_WIRE, true},    {"length", BLY_PART_OUTLINE, true},
    {"length", BLY_PART_STRIP, true},  {"thickness", BLY_PART_SHEET, false},
    {"layers", BLY_PART_STRIP, false}, {"count", BLY_PART_DOT, false},
    {"filed", BLY_PART_SHEET, false},
};
enum { MEASURES = sizeof measure_table / sizeof measure_table[0] };

static const char *const measure_keys[] = {"turns", "length", "thickness", "layers",
                                           "count", "filed",  "x"};
enum { MEASURE_KEYS = sizeof measure_keys / sizeof measure_keys[0] };

static const char *article(BlyPartKind kind) {
    return kind == BLY_PART_EYE || kind == BLY_PART_OUTLINE ? "an" : "a";
}

const BlyPart *build_find_part(const BlyCatalog *catalog, const char *id, const BlyJson *field,
                               BlyError *err) {
    const BlyPart *part = bly_catalog_part(catalog, id);
    if (part == NULL)
        (void)build_unknown(field, "part", id, bly_catalog_nearest_part(catalog, id), err);
    return part;
}

static bool check_keys(const BlyJson *fitted, BlyError *err) {
    const char *keys[BLY_PART_KINDS + MEASURE_KEYS];
    for (int i = 0; i < BLY_PART_KINDS; i++)
        keys[i] = bly_part_kind_name((BlyPartKind)i);
    memcpy(keys + BLY_PART_KINDS, measure_keys, sizeof measure_keys);
    return bly_json_object(fitted, keys, BLY_PART_KINDS + MEASURE_KEYS, err);
}

static bool read_weighed(const BlyJson *piece, BlyPartKind kind, BlyFigure *weighed,
                         BlyError *err) {
    BlyJson mass, give;
    bool has_mass = build_member(piece, "mass", &mass);
    bool has_give = build_member(piece, "give", &give);
    if (has_give && !has_mass)
        return bly_json_refuse(&give, BLY_E_CONFLICT, err,
                               "there is no \"mass\" that it belongs to");
    if (!has_mass)
        return true;
    if (kind == BLY_PART_OUTLINE)
        return bly_json_refuse(&mass, BLY_E_CONFLICT, err,
                               "an outline weighs nothing; the lip's mass goes with its sheet");
    if (!build_quantity(&mass, &bly_some_mass, &weighed->value, err))
        return false;
    weighed->give = fmax(scale_give.fixed, build_as_written(&mass, &bly_some_mass));
    return !has_give || build_give(&give, &bly_some_mass, weighed->value, &weighed->give, err);
}

static bool read_piece(const BlyJson *field, BlyPartKind kind, const BlyCatalog *catalog,
                       BlyChosenPart *out, BlyError *err) {
    static const char *const keys[] = {"part", "mass", "give"};
    BlyJson id = *field;
    bool wide = cJSON_IsObject(field->node);
    if (wide &&
        (!bly_json_object(field, keys, 3, err) || !bly_json_require(field, "part", &id, err)))
        return false;
    if (!cJSON_IsString(id.node))
        return bly_json_refuse(&id, BLY_E_SYNTAX, err, "expected the id of %s %s", article(kind),
                               bly_part_kind_name(kind));
    const BlyPart *part = build_find_part(catalog, id.node->valuestring, &id, err);
    if (part == NULL)
        return false;
    if (part->kind != kind)
        return bly_json_refuse(&id, BLY_E_CONFLICT, err, "%s is %s %s; expected %s %s", part->id,
                               article(part->kind), bly_part_kind_name(part->kind), article(kind),
                               bly_part_kind_name(kind));
    out->part = part;
    return !wide || read_weighed(field, kind, &out->weighed, err);
}

static bool read_pieces(const BlyJson *fitted, const BlySeat *seat, const BlyCatalog *catalog,
                        BlyChoice *choice, BlyError *err) {
    for (int i = 0; i < BLY_PART_KINDS; i++) {
        BlyJson piece;
        BlyPartKind kind = (BlyPartKind)i;
        if (!build_member(fitted, bly_part_kind_name(kind), &piece))
            continue;
        if (!(bly_seat_carries(seat->kind) & 1u << i))
            return bly_json_refuse(&piece, BLY_E_CONFLICT, err, "a %s carries no %s",
                                   bly_seat_kind_name(seat->kind), bly_part_kind_name(kind));
        if (!read_piece(&piece, kind, catalog, &choice->of[i], err))
            return false;
    }
    return true;
}

/* A strip and dots share the count; the two lengths never meet on one seat. */
static bool check_measures(const BlyJson *fitted, const BlyChoice *choice, BlyError *err) {
    BlyJson dot;
    if (choice->of[BLY_PART_STRIP].part != NULL && build_member(fitted, "dot", &dot))
        return bly_json_refuse(&dot, BLY_E_CONFLICT, err,
                               "a patch carries a strip or dots, not both");
    for (size_t i = 0; i < MEASURES; i++) {
        BlyPartKind kind = measure_table[i].part;
        if (measure_table[i].needed && choice->of[kind].part != NULL &&
            !build_has(fitted, measure_table[i].key))
            return bly_json_refuse(fitted, BLY_E_MISSING, err, "%s %s needs \"%s\"", article(kind),
                                   bly_part_kind_name(kind), measure_table[i].key);
    }
    for (size_t k = 0; k < MEASURE_KEYS; k++) {
        BlyJson value;
        bool belongs = strcmp(measure_keys[k], "x") == 0;
        const char *owner = "";
        for (size_t i = 0; i < MEASURES; i++) {
            if (strcmp(measure_table[i].key, measure_keys[k]) != 0)
                continue;
            owner = bly_part_kind_name(measure_table[i].part);
            belongs = belongs || choice->of[measure_table[i].part].part != NULL;
        }
        if (!belongs && build_member(fitted, measure_keys[k], &value))
            return bly_json_refuse(&value, BLY_E_CONFLICT, err, "there is no %s that it belongs to",
                                   owner);
    }
    return true;
}

static bool read_count(const BlyJson *fitted, const char *key, int most, int *count,
                       BlyError *err) {
    BlyJson value;
    int64_t whole;
    if (!build_member(fitted, key, &value))
        return true;
    if (!bly_json_integer(&value, 1, most, &whole, err))
        return false;
    *count = (int)whole;
    return true;
}

static bool read_measures(const BlyJson *fitted, BlyChoice *choice, BlyError *err) {
    bool laid = choice->of[BLY_PART_STRIP].part != NULL || choice->of[BLY_PART_DOT].part != NULL;
    choice->count = laid ? 1 : 0;
    return check_measures(fitted, choice, err) &&
           read_count(fitted, "turns", TURNS_MOST, &choice->count, err) &&
           read_count(fitted, "layers", LAYERS_MOST, &choice->count, err) &&
           read_count(fitted, "count", DOTS_MOST, &choice->count, err) &&
           build_opt_quantity(fitted, "length", &bly_solid_length, &choice->length, err) &&
           build_opt_quantity(fitted, "filed", &bly_some_length, &choice->filed, err) &&
           build_opt_quantity(fitted, "thickness", &bly_solid_length, &choice->thickness, err);
}

static bool read_x(const BlyJson *fitted, const BlySeat *seat, BlyChoice *choice, BlyError *err) {
    BlyJson x;
    if (!build_member(fitted, "x", &x)) {
        if (seat->x_from == seat->x_to || bly_choice_is_empty(choice))
            return true;
        return bly_json_refuse(
            fitted, BLY_E_MISSING, err,
            "the seat reaches from %.5g mm to %.5g mm; expected \"x\", the place",
            seat->x_from * 1e3, seat->x_to * 1e3);
    }
    if (!build_quantity(&x, &bly_any_length, &choice->x, err))
        return false;
    if (choice->x >= seat->x_from && choice->x <= seat->x_to)
        return true;
    if (seat->x_from == seat->x_to)
        return bly_json_refuse(&x, BLY_E_RANGE, err, "is %.5g mm; the seat stands at %.5g mm",
                               choice->x * 1e3, seat->x_from * 1e3);
    return bly_json_refuse(&x, BLY_E_RANGE, err,
                           "is %.5g mm; the seat reaches from %.5g mm to %.5g mm", choice->x * 1e3,
                           seat->x_from * 1e3, seat->x_to * 1e3);
}

bool build_blame_seat(const char *seat, BlyError *err) {
    if (err != NULL)
        (void)snprintf(err->where, sizeof err->where, "/fitted/%s", seat);
    return false;
}

static bool read_choice(const BlyJson *fitted, const BlySeat *seat, const BlyCatalog *catalog,
                        BlyChoice *choice, BlyError *err) {
    if (!check_keys(fitted, err) || !read_pieces(fitted, seat, catalog, choice, err) ||
        !read_measures(fitted, choice, err) || !read_x(fitted, seat, choice, err))
        return false;
    return bly_choice_fits(seat, choice, err) || build_blame_seat(seat->name, err);
}

static bool read_all(const BlyJson *fitted, const BlyCatalog *catalog, BlyBuild *build,
                     BlyError *err) {
    if (!bly_json_object(fitted, NULL, 0, err))
        return false;
    for (BlyJson item = bly_json_first(fitted); item.node != NULL; bly_json_next(&item)) {
        const char *name = bly_json_key(&item);
        int at = bly_build_seat(build, name);
        if (at < 0)
            return build_unknown_seat(build, &item, err);
        BlySeat *seat = &build->seats[at];
        if (!read_choice(&item, seat, catalog, &build->fitted.at[at], err))
            return false;
        if (seat->open == BLY_OPEN_UNSAID)
            seat->open = 0;
    }
    return true;
}

bool build_read_fitted(const BlyJson *fitted, const BlyCatalog *catalog, BlyBuild *build,
                       BlyError *err) {
    if (!bly_rig_init(&build->fitted, build->seat_count, err))
        return false;
    for (size_t i = 0; i < build->seat_count; i++)
        build->fitted.at[i] = bly_choice_empty(build->seats[i].x_from);
    if (fitted != NULL && !read_all(fitted, catalog, build, err))
        return false;
    for (size_t i = 0; i < build->seat_count; i++) {
        BlySeat *seat = &build->seats[i];
        if (seat->open == BLY_OPEN_UNSAID)
            seat->open = bly_seat_carries(seat->kind);
    }
    return true;
}
