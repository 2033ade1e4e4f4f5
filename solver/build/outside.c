/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body's outside: where it comes from, and how far its volume may lie off. Each source is a
 * row of one table; exactly one of them stands in a file. */
#include "ballastry/loft.h"
#include "build/sections.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double USUAL_SECTION = 2.0; /* an ellipse */
const double bly_exponent_least = 1.2, bly_exponent_most = 20.0;
static const Quantity body_volume = {BLY_DIM_VOLUME, "cm3", 0.0, 1.0, true};
static const Quantity volume_share = {BLY_DIM_RATIO, NULL, 0.0, 0.5, false};

/* Calipers to 0.1 mm on a 20 mm section, and the ends. docs/format.md, defaults. */
static const double USUAL_VOLUME_SHARE = 0.015;
/* Two readings of the scale, the needle that pushes, bubbles. docs/format.md, defaults. */
static const Give displaced_give = {0.05e-3, 0.003};

static bool station_keys(const BlyJson *item, BlyError *err) {
    static const char *const keys[] = {"x", "diameter", "width", "height", "centre", "section"};
    return bly_json_object(item, keys, sizeof keys / sizeof keys[0], err);
}

static bool read_station_size(const BlyJson *item, BlyStation *out, BlyError *err) {
    BlyJson size;
    bool turned = build_member(item, "diameter", &size);
    bool wide = build_has(item, "width"), high = build_has(item, "height");
    if (turned && (wide || high))
        return bly_json_refuse(item, BLY_E_CONFLICT, err,
                               "has a diameter and a width or height; expected one or the other");
    if (turned) {
        if (!build_quantity(&size, &bly_some_length, &out->width, err))
            return false;
        out->height = out->width;
        return true;
    }
    if (!wide || !high)
        return bly_json_refuse(item, BLY_E_MISSING, err,
                               "expected \"diameter\", or \"width\" and \"height\"");
    return build_opt_quantity(item, "width", &bly_some_length, &out->width, err) &&
           build_opt_quantity(item, "height", &bly_some_length, &out->height, err);
}

static bool read_exponent(const BlyJson *object, double *out, BlyError *err) {
    BlyJson section;
    return !build_member(object, "section", &section) ||
           bly_json_number(&section, bly_exponent_least, bly_exponent_most, out, err);
}

static bool read_station(const BlyJson *item, double section, BlyStation *out, BlyError *err) {
    BlyJson x;
    *out = (BlyStation){.exponent = section};
    return station_keys(item, err) && bly_json_require(item, "x", &x, err) &&
           build_quantity(&x, &bly_any_length, &out->x, err) && read_station_size(item, out, err) &&
           build_opt_quantity(item, "centre", &bly_any_length, &out->centre, err) &&
           read_exponent(item, &out->exponent, err);
}

/* The loft room speaks of width and height; a turned station has a diameter in the file. */
static bool blame_station(const BlyJson *list, BlyError *err) {
    if (err == NULL)
        return false;
    bly_error_prefix(err, "/body");
    for (BlyJson item = bly_json_first(list); item.node != NULL; bly_json_next(&item)) {
        size_t length = strlen(item.where);
        BlyJson size;
        if (strncmp(err->where, item.where, length) == 0 && err->where[length] == '/' &&
            strcmp(err->where + length, "/x") != 0 && build_member(&item, "diameter", &size))
            (void)snprintf(err->where, sizeof err->where, "%s", size.where);
    }
    return false;
}

static bool make_from_stations(const BlyJson *list, double section, BlyStation *stations,
                               size_t count, BlyBuild *build, BlyError *err) {
    for (BlyJson item = bly_json_first(list); item.node != NULL; bly_json_next(&item)) {
        if (!read_station(&item, section, &stations[item.index], err))
            return false;
    }
    if (!bly_body_from_stations(stations, count, &build->shape, err))
        return blame_station(list, err);
    return bly_slip_stations(&build->slips, stations, count, NULL, NULL, err);
}

static bool read_stations(const BlyJson *body, const BlyJson *list, const BlyBuildFiles *files,
                          BlyBuild *build, BlyError *err) {
    double section = USUAL_SECTION;
    if (!read_exponent(body, &section, err))
        return false;
    if (cJSON_IsString(list->node))
        return build_read_calipers(list, section, files, build, err);
    if (!bly_json_array(list, BLY_STATIONS_LEAST, BLY_STATIONS_MOST, err))
        return false;
    size_t count = bly_json_count(list);
    BlyStation *stations = calloc(count, sizeof *stations);
    if (stations == NULL)
        return bly_json_refuse(list, BLY_E_MEMORY, err, "no memory for %zu stations", count);
    bool good = make_from_stations(list, section, stations, count, build, err);
    free(stations);
    return good;
}

/* The scale rises by the mass of the water pushed aside. Air's buoyancy on the scale is left out
 * here and on every other reading: docs/format.md. */
static bool read_displaced(const BlyJson *measured, const BlyJson *displaced, BlyFigure *volume,
                           BlyError *err) {
    BlyJson place;
    BlyWaterFacts facts = {{20.0, 1.0}, {0.0, 0.0}};
    BlyWater water;
    BlyFigure mass;
    bool has_water = build_member(measured, "water", &place);
    if ((has_water && !build_read_water(&place, &facts, err)) ||
        !build_figure(displaced, &bly_some_mass, displaced_give, &mass, err))
        return false;
    if (!bly_water_at(facts.temperature.value, facts.salinity.value, &water, err))
        return false;
    double share = mass.give / mass.value;
    *volume = (BlyFigure){mass.value / water.density, share * mass.value / water.density};
    return true;
}

static bool read_volume(const BlyJson *measured, BlyFigure *volume, BlyError *err) {
    BlyJson known, displaced, water;
    bool rise = build_member(measured, "displaced", &displaced);
    bool has = build_member(measured, "volume", &known);
    if (rise && has)
        return bly_json_refuse(&displaced, BLY_E_CONFLICT, err,
                               "there is a \"volume\" already; expected one or the other");
    if (rise)
        return read_displaced(measured, &displaced, volume, err);
    if (build_member(measured, "water", &water))
        return bly_json_refuse(&water, BLY_E_CONFLICT, err, "goes with \"displaced\" only");
    if (!has)
        return bly_json_refuse(measured, BLY_E_MISSING, err,
                               "expected \"volume\", or \"displaced\", the rise of the scale");
    return build_figure(&known, &body_volume, (Give){0.0, USUAL_VOLUME_SHARE}, volume, err);
}

static bool read_measured_sizes(const BlyJson *measured, BlyPlainShape *plain, BlyFigure *volume,
                                BlyError *err) {
    BlyJson length, width, height;
    *plain = (BlyPlainShape){.centroid_x = NAN};
    if (!bly_json_require(measured, "length", &length, err) ||
        !bly_json_require(measured, "width", &width, err) ||
        !bly_json_require(measured, "height", &height, err) ||
        !build_quantity(&length, &bly_solid_length, &plain->length, err) ||
        !build_quantity(&width, &bly_solid_length, &plain->width, err) ||
        !build_quantity(&height, &bly_solid_length, &plain->height, err) ||
        !read_volume(measured, volume, err))
        return false;
    plain->volume = volume->value;
    return build_opt_quantity(measured, "balance", &bly_solid_length, &plain->centroid_x, err);
}

static bool read_measured(const BlyJson *body, const BlyJson *measured, const BlyBuildFiles *files,
                          BlyBuild *build, BlyError *err) {
    (void)files;
    static const char *const keys[] = {"length",    "width", "height", "volume",
                                       "displaced", "water", "balance"};
    BlyJson other;
    if (build_member(body, "give", &other))
        return bly_json_refuse(&other, BLY_E_CONFLICT, err,
                               "a measured body has its tolerance on its volume");
    if (build_member(body, "section", &other))
        return bly_json_refuse(&other, BLY_E_CONFLICT, err,
                               "only stations and outlines have a section");
    BlyPlainShape plain;
    BlyFigure volume;
    if (!bly_json_object(measured, keys, sizeof keys / sizeof keys[0], err) ||
        !read_measured_sizes(measured, &plain, &volume, err))
        return false;
    if (!bly_body_from_plain(&plain, &build->shape, err)) {
        bly_error_prefix(err, "/body/measured");
        return false;
    }
    build->facts.volume_share.give = volume.give / volume.value;
    return build_say(build, err,
                     "a plain shape of %.4g cm3 with the measured length, width and height%s; "
                     "its details are unknown",
                     1e6 * volume.value,
                     isnan(plain.centroid_x) ? ", its bulk in the middle" : " and balance point");
}

/* Where a body may come from. */
static const struct {
    const char *key;
    bool (*read)(const BlyJson *body, const BlyJson *source, const BlyBuildFiles *files,
                 BlyBuild *build, BlyError *err);
} source_table[] = {
    {"stations", read_stations},
    {"measured", read_measured},
    {"mesh", build_read_mesh},
    {"outline", build_read_outline},
};
enum { SOURCES = sizeof source_table / sizeof source_table[0] };

static bool find_source(const BlyJson *body, size_t *which, BlyJson *source, BlyError *err) {
    size_t found = SOURCES;
    for (size_t i = 0; i < SOURCES; i++) {
        BlyJson one;
        if (!build_member(body, source_table[i].key, &one))
            continue;
        if (found < SOURCES)
            return bly_json_refuse(&one, BLY_E_CONFLICT, err,
                                   "the body comes from \"%s\" already; expected one source",
                                   source_table[found].key);
        found = i;
        *source = one;
    }
    if (found == SOURCES)
        return bly_json_refuse(body, BLY_E_MISSING, err,
                               "expected \"stations\", \"outline\", \"mesh\" or \"measured\"");
    *which = found;
    return true;
}

/* All sizes off by the same length d: a skin of d/2 all over, so dV/V = S d / (2 V). */
static bool read_give(const BlyJson *give, BlyBuild *build, BlyError *err) {
    if (build_in_percent(give))
        return build_quantity(give, &volume_share, &build->facts.volume_share.give, err);
    double length;
    if (!build_quantity(give, &bly_some_length, &length, err))
        return false;
    double skin = bly_body_surface(build->shape)->area * length / 2.0;
    double share = skin / bly_body_solid(build->shape)->volume;
    if (share > volume_share.high)
        return bly_json_refuse(give, BLY_E_RANGE, err,
                               "is %.0f %% of the volume; expected at most %.0f %%", 100.0 * share,
                               100.0 * volume_share.high);
    build->facts.volume_share.give = share;
    return true;
}

/* What only a mesh needs to be told. */
static bool refuse_mesh_keys(const BlyJson *body, const char *source, BlyError *err) {
    static const char *const keys[] = {"unit", "nose", "up", "wall", "infill"};
    BlyJson key;
    for (size_t i = 0; strcmp(source, "mesh") != 0 && i < sizeof keys / sizeof keys[0]; i++) {
        if (build_member(body, keys[i], &key))
            return bly_json_refuse(&key, BLY_E_CONFLICT, err, "goes with \"mesh\" only");
    }
    return true;
}

bool build_read_outside(const BlyJson *body, const BlyBuildFiles *files, BlyBuild *build,
                        BlyError *err) {
    size_t which = 0;
    BlyJson source, give;
    build->facts.volume_share = (BlyFigure){1.0, USUAL_VOLUME_SHARE};
    build->filled = (BlyFigure){1.0, 0.0};
    build->mesh_unit = NAN;
    if (!find_source(body, &which, &source, err) ||
        !refuse_mesh_keys(body, source_table[which].key, err) ||
        !source_table[which].read(body, &source, files, build, err))
        return false;
    return !build_member(body, "give", &give) || read_give(&give, build, err);
}
