/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pieces that a blank is glued of: layers between planes, and plain solids set in. */
#include "build/sections.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const Quantity density_range = {BLY_DIM_DENSITY, "g/cm3", 10.0, 23000.0, false};
static const Quantity expansion_range = {BLY_DIM_EXPANSION, "1/K", 0.0, 1e-3, false};

/* Docs/format.md, defaults. */
static const Give scale_give = {0.02e-3, 0.0};
static const Give unknown_density = {0.0, 0.10};
static const Give unknown_expansion = {0.0, 0.30};

enum { NAME_MOST = 32 };

/* ---- what it is made of ---- */

static bool read_empty(const BlyJson *item, BlyInset *out, BlyError *err) {
    BlyJson empty;
    bool nothing = false;
    if (build_member(item, "empty", &empty) && !bly_json_bool(&empty, &nothing, err))
        return false;
    bool some =
        build_has(item, "material") || build_has(item, "density") || build_has(item, "mass");
    if (nothing && some)
        return bly_json_refuse(&empty, BLY_E_CONFLICT, err,
                               "is empty, and has a material, density or mass");
    if (!nothing && !some)
        return bly_json_refuse(
            item, BLY_E_MISSING, err,
            "expected \"material\", \"density\" or \"mass\", or \"empty\": true");
    if (nothing)
        out->density = (BlyFigure){0.0, 0.0};
    return true;
}

static bool read_substance(const BlyJson *item, const BlyCatalog *catalog, BlyInset *out,
                           BlyError *err) {
    const BlyFigure unknown = {NAN, 0.0};
    BlyJson material, expansion;
    Swelling swelling = {unknown, BLY_FROM_MEMORY};
    out->density = out->mass = unknown;
    if (!read_empty(item, out, err))
        return false;
    if (build_member(item, "material", &material)) {
        if (!build_read_material(&material, catalog, &out->material, &out->density, &swelling, err))
            return false;
    } else {
        out->material = build_copy("", err);
        if (out->material == NULL)
            return false;
    }
    if (build_member(item, "expansion", &expansion)) {
        swelling.origin = BLY_FROM_MEASURED;
        if (!build_figure(&expansion, &expansion_range, unknown_expansion, &swelling.figure, err))
            return false;
    }
    out->expansion = swelling.figure;
    out->expansion_origin = swelling.origin;
    return build_opt_figure(item, "density", &density_range, unknown_density, &out->density, err) &&
           build_opt_figure(item, "mass", &bly_some_mass, scale_give, &out->mass, err);
}

/* ---- layers ---- */

static bool read_layer(const BlyJson *item, BlyInset *out, BlyError *err) {
    static const char *const of_solid[] = {"x",         "y",     "z",     "inner",
                                           "thickness", "proud", "sides", "count"};
    BlyZone *zone = &out->zone;
    BlyJson other;
    for (size_t i = 0; i < sizeof of_solid / sizeof of_solid[0]; i++) {
        if (build_member(item, of_solid[i], &other))
            return bly_json_refuse(&other, BLY_E_CONFLICT, err,
                                   "goes with a \"diameter\" or a \"length\", not with a layer");
    }
    out->is_layer = true;
    *zone = (BlyZone){{-INFINITY, INFINITY}, {-INFINITY, INFINITY}, {0.0, INFINITY}};
    if (!build_opt_quantity(item, "from", &bly_any_length, &zone->x[0], err) ||
        !build_opt_quantity(item, "to", &bly_any_length, &zone->x[1], err) ||
        !build_opt_quantity(item, "above", &bly_any_length, &zone->z[0], err) ||
        !build_opt_quantity(item, "below", &bly_any_length, &zone->z[1], err) ||
        !build_opt_quantity(item, "beyond", &bly_solid_length, &zone->off[0], err) ||
        !build_opt_quantity(item, "within", &bly_solid_length, &zone->off[1], err))
        return false;
    if (isfinite(zone->x[0]) || isfinite(zone->x[1]) || isfinite(zone->z[0]) ||
        isfinite(zone->z[1]) || zone->off[0] > 0.0 || isfinite(zone->off[1]))
        return true;
    return bly_json_refuse(item, BLY_E_MISSING, err,
                           "expected where it lies: \"below\", \"above\", \"from\", \"to\", "
                           "\"within\", \"beyond\", or a \"diameter\" or \"length\"");
}

/* ---- solids ---- */

/* What the file says of one copy. */
typedef struct Solid {
    double x, y, z, diameter, inner, thickness, length, width, height, proud;
    bool sides, has_y, is_rod;
    int64_t count;
    BlyVec3 from, to;
} Solid;

/* [x, z], or x alone at the piece's own z. */
static bool read_end(const BlyJson *item, const char *key, const Solid *solid, BlyVec3 *out,
                     BlyError *err) {
    BlyJson end;
    double at[2] = {0.0, solid->z};
    if (!bly_json_require(item, key, &end, err))
        return false;
    if (!cJSON_IsArray(end.node)) {
        if (!build_quantity(&end, &bly_any_length, &at[0], err))
            return false;
    } else {
        if (!bly_json_array(&end, 2, 2, err))
            return false;
        for (BlyJson one = bly_json_first(&end); one.node != NULL; bly_json_next(&one)) {
            if (!build_quantity(&one, &bly_any_length, &at[one.index], err))
                return false;
        }
    }
    *out = bly_vec(at[0], solid->y, at[1]);
    return true;
}

static bool read_rod(const BlyJson *item, Solid *solid, BlyError *err) {
    BlyJson x;
    solid->is_rod = true;
    if (build_member(item, "x", &x))
        return bly_json_refuse(&x, BLY_E_CONFLICT, err, "a rod runs \"from\" here \"to\" there");
    if (!read_end(item, "from", solid, &solid->from, err) ||
        !read_end(item, "to", solid, &solid->to, err))
        return false;
    BlyVec3 along = bly_vec_sub(solid->to, solid->from);
    return bly_vec_norm(along) >= 1e-4 ||
           bly_json_refuse(item, BLY_E_RANGE, err, "is less than 0.1 mm long");
}

static bool read_sizes(const BlyJson *item, Solid *solid, BlyError *err) {
    BlyJson inner, sides, count;
    if (!build_opt_quantity(item, "diameter", &bly_solid_length, &solid->diameter, err) ||
        !build_opt_quantity(item, "inner", &bly_solid_length, &solid->inner, err) ||
        !build_opt_quantity(item, "thickness", &bly_solid_length, &solid->thickness, err) ||
        !build_opt_quantity(item, "length", &bly_solid_length, &solid->length, err) ||
        !build_opt_quantity(item, "width", &bly_solid_length, &solid->width, err) ||
        !build_opt_quantity(item, "height", &bly_solid_length, &solid->height, err) ||
        !build_opt_quantity(item, "proud", &bly_some_length, &solid->proud, err) ||
        !build_opt_quantity(item, "y", &bly_any_length, &solid->y, err) ||
        !build_opt_quantity(item, "z", &bly_any_length, &solid->z, err) ||
        (build_member(item, "sides", &sides) && !bly_json_bool(&sides, &solid->sides, err)) ||
        (build_member(item, "count", &count) &&
         !bly_json_integer(&count, 1, BLY_INSET_FORMS, &solid->count, err)))
        return false;
    if (build_member(item, "inner", &inner) && !(solid->inner < solid->diameter))
        return bly_json_refuse(&inner, BLY_E_RANGE, err,
                               "is as wide as the diameter, or there is none");
    return true;
}

static bool refuse_together(const BlyJson *item, const char *key, const char *why, BlyError *err) {
    BlyJson field;
    (void)build_member(item, key, &field);
    return bly_json_refuse(&field, BLY_E_CONFLICT, err, "%s", why);
}

/* Which keys go together. */
static bool check_keys(const BlyJson *item, const Solid *solid, BlyError *err) {
    static const char *const of_box[] = {"length", "width", "height"};
    static const char *const of_layer[] = {"below", "above", "within", "beyond"};
    bool round = build_has(item, "diameter");
    for (int i = 0; i < 3; i++) {
        if (round && build_has(item, of_box[i]))
            return refuse_together(item, of_box[i], "goes with a box, but it has a diameter", err);
        if (!round && !build_has(item, of_box[i]))
            return bly_json_refuse(
                item, BLY_E_MISSING, err,
                "expected \"length\", \"width\" and \"height\", or \"diameter\"");
    }
    for (int i = 0; i < 4; i++) {
        if (build_has(item, of_layer[i]))
            return refuse_together(item, of_layer[i], "goes with a layer, not with a solid", err);
    }
    bool rod = build_has(item, "from") || build_has(item, "to");
    if (!round && build_has(item, "thickness"))
        return refuse_together(item, "thickness", "goes with a diameter", err);
    if (rod && (build_has(item, "thickness") || !round))
        return refuse_together(item, build_has(item, "from") ? "from" : "to",
                               "goes with a rod, which has a diameter alone", err);
    if (solid->sides && solid->count > 1)
        return refuse_together(item, "count", "does not go with \"sides\", which are two", err);
    if (build_has(item, "proud") && (!solid->sides || solid->has_y))
        return refuse_together(item, "proud", "goes with \"sides\" and without \"y\"", err);
    if (rod && solid->sides && !solid->has_y)
        return bly_json_refuse(item, BLY_E_MISSING, err, "expected \"y\" of a rod at both sides");
    return true;
}

/* Half of its extent across the lure. */
static double half_across(const Solid *solid) {
    if (solid->thickness > 0.0)
        return 0.5 * solid->thickness;
    return 0.5 * (solid->diameter > 0.0 ? solid->diameter : solid->width);
}

static BlyForm form_at(const Solid *solid, double y) {
    BlyForm form = {.radius = 0.5 * solid->diameter, .bore = 0.5 * solid->inner};
    BlyVec3 at = bly_vec(solid->x, y, solid->z);
    if (solid->is_rod) {
        form.kind = BLY_FORM_ROD;
        form.from = bly_vec(solid->from.x, y, solid->from.z);
        form.to = bly_vec(solid->to.x, y, solid->to.z);
    } else if (solid->thickness > 0.0) {
        BlyVec3 half = bly_vec(0.0, 0.5 * solid->thickness, 0.0);
        form.kind = BLY_FORM_ROD;
        form.from = bly_vec_sub(at, half);
        form.to = bly_vec_add(at, half);
    } else if (solid->diameter > 0.0) {
        form.kind = BLY_FORM_BALL;
        form.from = form.to = at;
    } else {
        BlyVec3 half = bly_vec_scale(bly_vec(solid->length, solid->width, solid->height), 0.5);
        form.kind = BLY_FORM_BOX;
        form.from = bly_vec_sub(at, half);
        form.to = bly_vec_add(at, half);
    }
    return form;
}

/* Set into the surface, its outermost point so far out of it. */
static bool find_surface(const BlyJson *item, const BlyBody *body, Solid *solid, BlyError *err) {
    double half = bly_body_half_width(body, solid->x, solid->z);
    if (!(half > 0.0))
        return bly_json_refuse(item, BLY_E_RANGE, err, "lies off the body at x %.1f mm, z %.1f mm",
                               1e3 * solid->x, 1e3 * solid->z);
    solid->y = half + solid->proud - half_across(solid);
    return true;
}

static bool place_copies(const BlyJson *item, const BlyBody *body, Solid *solid, BlyInset *out,
                         BlyError *err) {
    if (!solid->sides) {
        out->form_count = (size_t)solid->count;
        for (int64_t i = 0; i < solid->count; i++) {
            double step = (double)i - 0.5 * (double)(solid->count - 1);
            out->form[i] = form_at(solid, solid->y + step * 2.0 * half_across(solid));
        }
        return true;
    }
    out->stands_out = !solid->has_y;
    if (out->stands_out && !find_surface(item, body, solid, err))
        return false;
    if (!(solid->y >= half_across(solid) * (1.0 - 1e-9)))
        return bly_json_refuse(item, BLY_E_CONFLICT, err, "the two sides meet in the middle");
    out->form_count = 2;
    out->form[0] = form_at(solid, solid->y);
    out->form[1] = form_at(solid, -solid->y);
    return true;
}

static bool read_solid(const BlyJson *item, const BlyBody *body, BlyInset *out, BlyError *err) {
    Solid solid = {.count = 1, .has_y = build_has(item, "y")};
    BlyJson x;
    if (!read_sizes(item, &solid, err) || !check_keys(item, &solid, err))
        return false;
    if (build_has(item, "from") || build_has(item, "to")) {
        if (!read_rod(item, &solid, err))
            return false;
    } else if (!bly_json_require(item, "x", &x, err) ||
               !build_quantity(&x, &bly_any_length, &solid.x, err)) {
        return false;
    }
    return place_copies(item, body, &solid, out, err);
}

/* ---- all of them ---- */

static bool read_name(const BlyJson *item, const BlyBuild *build, BlyInset *out, BlyError *err) {
    BlyJson name;
    const char *text;
    if (!bly_json_require(item, "name", &name, err) ||
        !bly_json_string(&name, NAME_MOST, &text, err))
        return false;
    for (int i = 0; i < item->index; i++) {
        if (strcmp(build->insets[i].name, text) == 0)
            return bly_json_refuse(&name, BLY_E_CONFLICT, err, "appears twice");
    }
    out->name = build_copy(text, err);
    return out->name != NULL;
}

static bool read_piece(const BlyJson *item, const BlyCatalog *catalog, BlyBuild *build,
                       BlyError *err) {
    static const char *const keys[] = {
        "name",  "material", "density",   "mass",   "empty",  "expansion", "from",  "to",
        "above", "below",    "within",    "beyond", "x",      "y",         "z",     "diameter",
        "inner", "length",   "thickness", "width",  "height", "sides",     "proud", "count"};
    BlyInset *out = &build->insets[item->index];
    build->inset_count = (size_t)item->index + 1;
    bool solid = build_has(item, "diameter") || build_has(item, "length") ||
                 build_has(item, "width") || build_has(item, "height");
    return bly_json_object(item, keys, sizeof keys / sizeof keys[0], err) &&
           read_name(item, build, out, err) && read_substance(item, catalog, out, err) &&
           (solid ? read_solid(item, build->shape, out, err) : read_layer(item, out, err));
}

/* The whole swells by the mean of its materials, each by its share of the body; a piece of which
 * it is not known as the body's own. */
static void mix_expansion(BlyBuild *build) {
    BlyBodyFacts *facts = &build->facts;
    double whole = bly_body_solid(build->shape)->volume, own = whole, sum = 0.0, square = 0.0;
    if (isnan(facts->expansion.value))
        return;
    for (size_t i = 0; i < build->inset_count; i++) {
        const BlyInset *inset = &build->insets[i];
        double share = inset->own.volume / whole;
        if (isnan(inset->expansion.value))
            continue;
        own -= inset->own.volume;
        sum += share * inset->expansion.value;
        square += pow(share * inset->expansion.give, 2.0);
        if (inset->expansion_origin == BLY_FROM_MEMORY)
            facts->expansion_origin = BLY_FROM_MEMORY;
    }
    facts->expansion.value = sum + own / whole * facts->expansion.value;
    facts->expansion.give = hypot(sqrt(square), own / whole * facts->expansion.give);
}

bool build_read_pieces(const BlyJson *pieces, const BlyCatalog *catalog, bool own_expansion,
                       BlyBuild *build, BlyError *err) {
    if (!bly_json_array(pieces, 0, BLY_INSETS_MAX, err))
        return false;
    size_t count = bly_json_count(pieces);
    if (count == 0)
        return true;
    build->insets = calloc(count, sizeof *build->insets);
    if (build->insets == NULL)
        return bly_json_refuse(pieces, BLY_E_MEMORY, err, "no memory for %zu pieces", count);
    for (BlyJson item = bly_json_first(pieces); item.node != NULL; bly_json_next(&item)) {
        if (!read_piece(&item, catalog, build, err))
            return false;
    }
    if (!bly_insets_place(build->shape, build->insets, count, err)) {
        bly_error_prefix(err, pieces->where);
        return false;
    }
    build->facts.insets = build->insets;
    build->facts.inset_count = count;
    /* What lies in a hollow or in infill does not stretch the wall. */
    if (!own_expansion && bly_body_is_solid(build->shape))
        mix_expansion(build);
    return true;
}
