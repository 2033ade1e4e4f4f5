/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/scaled.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ballastry/units.h"
#include "desk/aims.h"
#include "json/json.h"
#include "text/text.h"

static const double body_step = 1e-4, seat_step = 0.5e-3; /* m */
static const double speed_step = 1e-3;                    /* m/s */
static const double end_most = 1.5e-3; /* m: so near an end a seat belongs to it */
static const double shows_step = 0.05, shows_least = 0.02, shows_room = 0.1, shows_most = 0.95;

/* How the body grows. */
typedef struct Growth {
    double length, width, height; /* factors */
    double old_length, new_length;
    double old_eye, new_eye; /* where the belly hanger stands */
    bool turned;             /* and stays so */
} Growth;

static cJSON *member(const cJSON *object, const char *key) {
    return cJSON_GetObjectItemCaseSensitive(object, key);
}

static double read_item(const cJSON *item, BlyDimension dim) {
    double si = NAN;
    if (cJSON_IsString(item) && !bly_quantity_read(item->valuestring, dim, NULL, &si, NULL))
        return NAN;
    return si;
}

static bool set_item(cJSON *item, double si, BlyDimension dim) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_within(si, dim == BLY_DIM_LENGTH ? 1e-9 : 1e-6, dim, BLY_METRIC, text);
    return cJSON_SetValuestring(item, text) != NULL;
}

static double stepped(double value, double step) {
    return step * round(value / step);
}

/* One quantity, or each of a list. Nothing there is no error. */
static bool grow(cJSON *object, const char *key, double factor, double step, BlyDimension dim) {
    cJSON *item = member(object, key);
    bool good = true;
    if (cJSON_IsArray(item)) {
        for (cJSON *one = item->child; good && one != NULL; one = one->next)
            good = set_item(one, stepped(factor * read_item(one, dim), step), dim);
        return good;
    }
    return item == NULL || set_item(item, stepped(factor * read_item(item, dim), step), dim);
}

/* ---- the body ---- */

static double most_of(const cJSON *stations, const char *key) {
    double most = NAN;
    for (const cJSON *one = stations->child; one != NULL; one = one->next)
        most = fmax(most, read_item(member(one, key), BLY_DIM_LENGTH));
    return most;
}

static bool read_size(const char *text, const char *option, double *out, BlyError *err) {
    if (text == NULL)
        return true;
    if (!bly_quantity_read(text, BLY_DIM_LENGTH, NULL, out, err)) {
        char prefix[32];
        (void)snprintf(prefix, sizeof prefix, "%s ", option);
        bly_error_prefix(err, prefix);
        return false;
    }
    if (*out >= 10e-3 || (*out >= 2e-3 && strcmp(option, "--length") != 0))
        return *out <= 1.0 ||
               bly_fail(err, BLY_E_RANGE, option, "is too much for a lure; expected at most 1 m");
    return bly_fail(err, BLY_E_RANGE, option, "is too little for a lure; expected at least %d mm",
                    strcmp(option, "--length") == 0 ? 10 : 2);
}

static bool find_growth(const cJSON *doc, const ScaledWords *w, Growth *out, BlyError *err) {
    const cJSON *stations = member(member(doc, "body"), "stations");
    const cJSON *belly = member(member(doc, "seats"), "belly");
    bool round_one = member(stations->child, "diameter") != NULL;
    double length = most_of(stations, "x");
    double width = most_of(stations, round_one ? "diameter" : "width");
    double height = most_of(stations, round_one ? "diameter" : "height");
    double said[3] = {NAN, NAN, NAN};
    if (!read_size(w->length, "--length", &said[0], err) ||
        !read_size(w->width, "--width", &said[1], err) ||
        !read_size(w->height, "--height", &said[2], err))
        return false;
    *out = (Growth){.old_length = length, .new_length = isnan(said[0]) ? length : said[0]};
    out->length = out->new_length / length;
    if (round_one && isnan(said[1]) != isnan(said[2]))
        said[1] = said[2] = isnan(said[1]) ? said[2] : said[1];
    out->width = isnan(said[1]) ? out->length : said[1] / width;
    out->height = isnan(said[2]) ? out->length : said[2] / height;
    out->turned = round_one && out->width == out->height;
    out->old_eye = read_item(member(belly, "x"), BLY_DIM_LENGTH);
    out->new_eye = stepped(out->length * out->old_eye, seat_step);
    return true;
}

/* A round section that is to be oval has two sizes in place of one. */
static bool make_oval(cJSON *station) {
    cJSON *diameter = cJSON_DetachItemFromObjectCaseSensitive(station, "diameter");
    bool good = diameter != NULL &&
                cJSON_AddStringToObject(station, "width", diameter->valuestring) != NULL &&
                cJSON_AddStringToObject(station, "height", diameter->valuestring) != NULL;
    cJSON_Delete(diameter);
    return good;
}

static bool grow_stations(cJSON *stations, const Growth *g) {
    bool good = true;
    for (cJSON *one = stations->child; good && one != NULL; one = one->next) {
        cJSON *x = member(one, "x");
        bool last = one->next == NULL;
        if (!g->turned && member(one, "diameter") != NULL)
            good = make_oval(one);
        good = good &&
               (last ? set_item(x, g->new_length, BLY_DIM_LENGTH)
                     : grow(one, "x", g->length, body_step, BLY_DIM_LENGTH)) &&
               grow(one, "diameter", g->width, body_step, BLY_DIM_LENGTH) &&
               grow(one, "width", g->width, body_step, BLY_DIM_LENGTH) &&
               grow(one, "height", g->height, body_step, BLY_DIM_LENGTH);
    }
    return good;
}

static double widest(const cJSON *stations) {
    double round_one = most_of(stations, "diameter");
    return isnan(round_one) ? most_of(stations, "width") : round_one;
}

/* ---- seats ---- */

/* Ties and tail eyes stand as far from their end as they did. */
static bool grow_place(cJSON *seat, const Growth *g) {
    cJSON *x = member(seat, "x");
    double at = read_item(x, BLY_DIM_LENGTH), behind = g->old_length - at;
    if (at <= end_most)
        return true;
    if (behind <= end_most) /* NAN: a reach */
        return set_item(x, g->new_length - behind, BLY_DIM_LENGTH);
    return grow(seat, "x", g->length, seat_step, BLY_DIM_LENGTH);
}

/* What a patch keeps clear of the belly eye stays, but on very short ones. */
static bool grow_patch(cJSON *seat, const Growth *g) {
    static const double clear = 2e-3, clear_share = 0.05; /* of the length */
    double kept = fmin(clear, clear_share * g->new_length);
    bool good = true;
    for (cJSON *end = member(seat, "x")->child; good && end != NULL; end = end->next) {
        double x = read_item(end, BLY_DIM_LENGTH), off = x - g->old_eye;
        bool near = fabs(off) < clear + 0.5 * seat_step;
        x = near ? g->new_eye + copysign(kept, off) : stepped(g->length * x, seat_step);
        good = set_item(end, x, BLY_DIM_LENGTH);
    }
    return good;
}

/* The narrowest strip that is sold, m: a patch that takes none is of no use to anyone. */
static double narrowest_strip(const BlyCatalog *catalog) {
    double least = INFINITY;
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *p = &catalog->parts[i];
        if (p->kind == BLY_PART_STRIP)
            least = fmin(least, p->width);
    }
    return least;
}

static bool is_patch(const cJSON *seat) {
    const cJSON *kind = member(seat, "kind");
    return cJSON_IsString(kind) && strcmp(kind->valuestring, "patch") == 0;
}

/* The widest strip a patch takes, grown, but for the narrowest one where the body carries it. */
static bool grow_width(cJSON *seat, const Growth *g, double narrowest, double body) {
    static const double share_most = 0.7; /* of the body's width: common practice, no source */
    double old = read_item(member(seat, "width"), BLY_DIM_LENGTH);
    double grown = stepped(g->width * old, seat_step);
    if (is_patch(seat) && grown < narrowest && narrowest <= share_most * body)
        return set_item(member(seat, "width"), narrowest, BLY_DIM_LENGTH);
    return grow(seat, "width", g->width, seat_step, BLY_DIM_LENGTH);
}

/* The slot is as deep as length and height allow. `body`: how wide it is at its widest. */
static bool grow_seats(cJSON *seats, const Growth *g, double narrowest, double body) {
    bool good = true;
    for (cJSON *one = seats->child; good && one != NULL; one = one->next)
        good = (is_patch(one) ? grow_patch(one, g) : grow_place(one, g)) &&
               grow(one, "depth", fmin(g->length, g->height), seat_step, BLY_DIM_LENGTH) &&
               grow_width(one, g, narrowest, body) &&
               grow(one, "length", g->length, seat_step, BLY_DIM_LENGTH);
    return good;
}

/* ---- hooks and speeds ---- */

static const BlyPart *treble(const BlyCatalog *catalog, const char *size) {
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *p = &catalog->parts[i];
        if (p->kind == BLY_PART_HOOK && strcmp(p->style, "treble") == 0 &&
            strcmp(p->grade, "medium") == 0 && isfinite(p->length) &&
            (size == NULL || strcmp(p->size, size) == 0))
            return p;
    }
    return NULL;
}

/* The catalog's treble that is nearest to this one, so many times as long. */
static bool grow_hook(cJSON *size, double factor, const BlyCatalog *catalog) {
    const BlyPart *old = treble(catalog, size->valuestring), *best = old;
    if (old == NULL)
        return true;
    double wanted = factor * old->length;
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *p = treble(catalog, catalog->parts[i].size);
        if (p == &catalog->parts[i] && fabs(p->length - wanted) < fabs(best->length - wanted))
            best = p;
    }
    return cJSON_SetValuestring(size, best->size) != NULL;
}

static bool grow_limits(cJSON *limits, const Growth *g, const BlyCatalog *catalog) {
    cJSON *sizes = member(limits, "hook_size");
    bool good = true;
    for (cJSON *one = sizes != NULL ? sizes->child : NULL; good && one != NULL; one = one->next)
        good = grow_hook(one, g->length, catalog);
    return good;
}

/* ---- all of it ---- */

static bool set_text(cJSON *object, const char *key, const char *value) {
    if (value == NULL)
        return true;
    cJSON_DeleteItemFromObjectCaseSensitive(object, key);
    return cJSON_AddStringToObject(object, key, value) != NULL;
}

static bool grow_doc(cJSON *doc, const ScaledWords *w, const Growth *g, const BlyCatalog *catalog) {
    cJSON *body = member(doc, "body"), *material = member(body, "material");
    double narrowest = narrowest_strip(catalog);
    bool good = w->material == NULL || cJSON_SetValuestring(material, w->material) != NULL;
    return good && set_text(body, "mass", w->mass) && grow_stations(member(body, "stations"), g) &&
           grow_seats(member(doc, "seats"), g, narrowest, widest(member(body, "stations"))) &&
           grow(member(doc, "target"), "drift", sqrt(g->length), speed_step, BLY_DIM_SPEED) &&
           grow_limits(member(doc, "limits"), g, catalog);
}

/* ---- what shows ---- */

static bool print(const cJSON *doc, char **text, BlyError *err) {
    BlyText out;
    bly_text_init(&out);
    bool good = bly_json_print(doc, &out, err) && bly_text_good(&out, err);
    *text = good ? bly_text_detach(&out) : NULL;
    bly_text_release(&out);
    return *text != NULL || (good && bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the text"));
}

/* As aim_weighs; NAN where the text is no build, which its reader will tell. */
static double weighs(const char *text, const BlyCatalog *catalog) {
    BlyBuild *build = NULL;
    BlyError err = {0};
    double mass = NAN;
    if (bly_build_read(text, strlen(text), catalog, &build, &err) &&
        !aim_weighs(build, &mass, &err))
        mass = NAN;
    bly_build_free(build);
    return mass;
}

/* By Archimedes' law a body lighter by so many g for each cm3 that it displaces shows so much more
 * under the same parts: a floater's band goes with its wood. Steps of 5 %. */
static bool lift_band(cJSON *doc, double lighter) {
    static const double worth = 0.025;
    cJSON *band = member(member(doc, "target"), "shows");
    if (band == NULL || !(fabs(lighter) > worth))
        return true;
    double low = read_item(cJSON_GetArrayItem(band, 0), BLY_DIM_RATIO) + lighter;
    double high = read_item(cJSON_GetArrayItem(band, 1), BLY_DIM_RATIO) + lighter;
    low = fmax(stepped(low, shows_step), shows_least);
    high = fmin(fmax(stepped(high, shows_step), low + shows_room), shows_most);
    return set_item(cJSON_GetArrayItem(band, 0), low, BLY_DIM_RATIO) &&
           set_item(cJSON_GetArrayItem(band, 1), high, BLY_DIM_RATIO);
}

bool starter_scaled(const Starter *starter, const char *name, const ScaledWords *words,
                    const BlyCatalog *catalog, char **text, BlyError *err) {
    char *plain = NULL, *grown = NULL;
    Growth growth;
    *text = NULL;
    if (!starter_text(starter, name, &plain, err))
        return false;
    cJSON *doc = bly_json_parse(plain, strlen(plain), err);
    bool good = doc != NULL && find_growth(doc, words, &growth, err);
    if (good && !grow_doc(doc, words, &growth, catalog))
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the text");
    good = good && print(doc, &grown, err);
    if (good && !lift_band(doc, weighs(plain, catalog) - weighs(grown, catalog)))
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the text");
    good = good && print(doc, text, err);
    free(plain);
    free(grown);
    cJSON_Delete(doc);
    return good;
}
