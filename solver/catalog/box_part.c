/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A new part after one that is known: sizes are taken from the shipped part of that size and kept
 * in proportion, so that mass goes with the cube of them, as the models of docs/parts.md do. */
#include "catalog/box.h"
#include "ballastry/units.h"
#include "text/format.h"

#include <ctype.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

/* Beyond these a part of one size is not heavier or lighter: a unit or a count is misread. */
static const double least_scale = 0.7, most_scale = 1.45;

typedef struct Sizes {
    double at[2]; /* m: wire and shank, thickness and width, diameter; NAN: not said */
} Sizes;

static bool is_cut(BlyPartKind kind) {
    return kind == BLY_PART_SHEET || kind == BLY_PART_STRIP;
}

static bool is_numbered(BlyPartKind kind) {
    return kind == BLY_PART_HOOK || kind == BLY_PART_RING;
}

/* "1.3 mm", "1.3 x 16 mm", "0.5x10": a number alone is in mm. */
static bool read_sizes(const char *text, Sizes *out, BlyError *err) {
    char one[2][48];
    *out = (Sizes){{NAN, NAN}};
    if (text[0] == '\0')
        return true;
    size_t first = strcspn(text, "xX*");
    bool two = text[first] != '\0';
    if (first >= sizeof one[0] || (two && strlen(text + first + 1) >= sizeof one[1]))
        return bly_fail(err, BLY_E_SYNTAX, NULL, "a size such as 1.3 mm or 0.5 x 10 mm");
    (void)snprintf(one[0], sizeof one[0], "%.*s", (int)first, text);
    (void)snprintf(one[1], sizeof one[1], "%s", two ? text + first + 1 : "");
    for (int i = 0; i < (two ? 2 : 1); i++) {
        if (!bly_quantity_read(one[i], BLY_DIM_LENGTH, "mm", &out->at[i], err))
            return false;
        if (!(out->at[i] > 0))
            return bly_fail(err, BLY_E_RANGE, NULL, "expected a size above 0");
    }
    return true;
}

/* What the two sizes of a kind stand for. */
static void places(BlyPart *part, double *out[2]) {
    out[1] = NULL;
    switch (part->kind) {
    case BLY_PART_EYE:
        out[0] = &part->wire;
        out[1] = &part->length;
        break;
    case BLY_PART_SHEET:
        out[0] = &part->thickness;
        break;
    case BLY_PART_STRIP:
        out[0] = &part->thickness;
        out[1] = &part->width;
        break;
    case BLY_PART_DOT:
        out[0] = &part->outer;
        out[1] = &part->thickness;
        break;
    case BLY_PART_SNAP:
        out[0] = &part->length;
        break;
    default: /* wire by its diameter; hooks and rings by their number */
        out[0] = &part->wire;
    }
}

/* How far the part lies from what is said: ln of ratios, so that a half and a double are alike. */
static double size_off(const BlyPart *part, const Sizes *sizes) {
    BlyPart copy = *part;
    double *at[2], off = 0;
    places(&copy, at);
    for (int i = 0; i < 2; i++) {
        if (at[i] != NULL && isfinite(sizes->at[i]) && *at[i] > 0)
            off += fabs(log(sizes->at[i] / *at[i]));
    }
    return off;
}

static bool same_text(const char *said, const char *has) {
    return said[0] == '\0' || strcmp(said, has) == 0;
}

static double density_of(const BlyCatalog *catalog, const char *material) {
    const BlyMaterial *m = bly_catalog_material(catalog, material);
    return m != NULL ? m->density.value : NAN;
}

/* What a part of this material in the same sizes would weigh. */
static double mass_in(const BlyCatalog *catalog, const BlyPart *part, const char *material) {
    double own = density_of(catalog, part->material), other = density_of(catalog, material);
    return part->mass.value * (material[0] != '\0' && isfinite(own / other) ? other / own : 1);
}

typedef struct Likeness {
    bool other_material;
    double size, mass;
} Likeness;

static bool better(const Likeness *a, const Likeness *b) {
    if (a->other_material != b->other_material)
        return !a->other_material;
    if (fabs(a->size - b->size) > 1e-9)
        return a->size < b->size;
    return a->mass < b->mass - 1e-12;
}

static bool may_stand(const BlyPart *part, BlyPartKind kind, const BoxWords *w) {
    return part->kind == kind && same_text(w->style, part->style) &&
           same_text(w->grade, part->grade) &&
           (!is_numbered(kind) || same_text(w->size, part->size)) &&
           !(is_cut(kind) && !same_text(w->material, part->material));
}

static const BlyPart *most_like(const BlyCatalog *catalog, BlyPartKind kind, const BoxWords *w,
                                const Sizes *sizes) {
    const BlyPart *best = NULL;
    Likeness least = {0};
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        if (!may_stand(part, kind, w))
            continue;
        double mass = mass_in(catalog, part, w->material);
        Likeness like = {!same_text(w->material, part->material), size_off(part, sizes),
                         isfinite(w->mass / mass) ? fabs(log(w->mass / mass)) : 0};
        if (best == NULL || better(&like, &least)) {
            best = part;
            least = like;
        }
    }
    return best;
}

/* The number of a hook or ring of this kind that comes next to the one that is not there. */
static bool refuse_kind(const BlyCatalog *catalog, BlyPartKind kind, const BoxWords *w,
                        BlyError *err) {
    const BlyPart *near = NULL;
    int rank = kind == BLY_PART_HOOK ? bly_hook_rank(w->size) : 0, least = 1000;
    for (size_t i = 0; rank > 0 && i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        int off = part->size_rank > rank ? part->size_rank - rank : rank - part->size_rank;
        if (part->kind == kind && same_text(w->style, part->style) && off < least) {
            near = part;
            least = off;
        }
    }
    if (is_cut(kind))
        return bly_fail(err, BLY_E_UNKNOWN, NULL, "no %s of the material \"%.40s\" is known",
                        bly_part_kind_name(kind), w->material);
    return bly_fail(err, BLY_E_UNKNOWN, NULL, "no %s%s%.20s%s%.20s%s%.20s is known%s%s",
                    bly_part_kind_name(kind), w->style[0] != '\0' ? ", " : "", w->style,
                    w->size[0] != '\0' ? ", size " : "", w->size, w->grade[0] != '\0' ? ", " : "",
                    w->grade, near != NULL ? "; the nearest is " : "",
                    near != NULL ? near->id : "");
}

static void scale_sizes(BlyPart *part, double by) {
    double *const sizes[] = {&part->wire, &part->outer, &part->length, &part->shank,
                             &part->gape, &part->bore,  &part->passes, &part->thickness};
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++)
        *sizes[i] *= by;
}

/* As cut: gauge and width are said, what follows from the gauge stays in proportion. */
static void cut_to(BlyPart *part, const Sizes *sizes) {
    double ratio = isfinite(sizes->at[0]) ? sizes->at[0] / part->thickness : 1;
    part->thickness *= ratio;
    part->thinnest *= ratio;
    part->thickness_give *= fmin(ratio, 1);
    if (part->kind == BLY_PART_STRIP && isfinite(sizes->at[1]))
        part->width = sizes->at[1];
}

static bool scale_to_mass(const BlyPart *like, double would, double mass, BlyPart *out,
                          double *scale, BlyError *err) {
    double power = like->kind == BLY_PART_WIRE ? 0.5 : 1.0 / 3.0; /* wire by the metre */
    *scale = pow(mass / would, power);
    if (!(*scale > least_scale && *scale < most_scale))
        return bly_fail(err, BLY_E_CONFLICT, NULL,
                        "weighs %.3g g, %s of that size %.3g g: is it one piece, in grams?",
                        1e3 * mass, like->id, 1e3 * would);
    scale_sizes(out, *scale);
    out->mass.value = mass;
    return true;
}

static void set_said(BlyPart *part, const Sizes *sizes) {
    double *at[2];
    places(part, at);
    for (int i = 0; i < 2; i++) {
        if (at[i] != NULL && isfinite(sizes->at[i]))
            *at[i] = sizes->at[i];
    }
}

bool box_part_like(const BlyCatalog *catalog, BlyPartKind kind, const BoxWords *w, BlyPart *out,
                   char name[BOX_TEXT_MAX], char source[BOX_TEXT_MAX], BlyError *err) {
    Sizes sizes = {{NAN, NAN}};
    double scale = 1;
    if (!is_numbered(kind) && !read_sizes(w->size, &sizes, err))
        return false;
    const BlyPart *like = most_like(catalog, kind, w, &sizes);
    if (like == NULL)
        return refuse_kind(catalog, kind, w, err);
    *out = *like;
    if (w->material[0] != '\0')
        out->material = (char *)(uintptr_t)w->material; /* borrowed, not written to */
    out->mass.give = NAN;
    out->volume = out->volume_given ? out->volume : NAN;
    out->price = NAN;
    if (is_cut(kind))
        cut_to(out, &sizes);
    else if (!scale_to_mass(like, mass_in(catalog, like, w->material), w->mass, out, &scale, err))
        return false;
    set_said(out, &sizes);
    (void)bly_format(name, BOX_TEXT_MAX, "%.200s, of the box", like->name);
    (void)bly_format(source, BOX_TEXT_MAX, "sizes of %.100s times %.2f", like->id, scale);
    if (is_cut(kind))
        (void)bly_format(source, BOX_TEXT_MAX, "the gauge as said; all else as %.100s", like->id);
    out->name = name;
    out->source = source;
    return true;
}

/* Of the words, what is no letter, digit or point a hyphen. */
void box_part_id(const BlyCatalog *base, const BlyCatalog *own, BlyPartKind kind, const BoxWords *w,
                 char out[BOX_ID_MAX]) {
    const char *first = w->style[0] != '\0' ? w->style : bly_part_kind_name(kind);
    char plain[BOX_ID_MAX - 16];
    (void)snprintf(plain, sizeof plain, "box-%s%s%.20s%s%.20s%s%.20s", first,
                   w->size[0] != '\0' ? "-" : "", w->size, w->grade[0] != '\0' ? "-" : "", w->grade,
                   w->material[0] != '\0' ? "-" : "", w->material);
    for (char *p = plain; *p != '\0'; p++) {
        unsigned char c = (unsigned char)*p;
        *p = (char)(c < 128 && (isalnum(c) || c == '.') ? tolower(c) : '-');
    }
    (void)snprintf(out, BOX_ID_MAX, "%s", plain);
    for (int n = 2; bly_catalog_part(base, out) != NULL || bly_catalog_part(own, out) != NULL; n++)
        (void)snprintf(out, BOX_ID_MAX, "%s-%d", plain, n);
}
