/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sections of a mesh square to x, taken once at fixed stations and looked up from then on.
 *
 * A station's section is cut exactly on the facets. Kept of it are belly and back, the width over
 * all, the exponent of the superellipse with the same width, height and area, and half the chord at
 * fixed levels. Between stations all run straight in theta, between levels in phi (mesh.h). */
#include "mesh/mesh_body.h"
#include "numeric/numeric.h"
#include "oval/oval.h"

#include <stdlib.h>

#define PI 3.14159265358979323846

static const double inset = 1e-7; /* of length or height: the first look within an end */

typedef struct Segment {
    double y0, z0, y1, z1;
} Segment;

typedef struct Section {
    Segment *segment;
    size_t count, room;
    bool full; /* no memory for more */
    double area, belly, back, port, starboard;
} Section;

static void keep_segment(void *user, BlyVec3 from, BlyVec3 to) {
    Section *section = user;
    if (section->count == section->room) {
        size_t room = section->room == 0 ? 256 : 2 * section->room;
        Segment *wider = realloc(section->segment, room * sizeof *wider);
        if (wider == NULL) {
            section->full = true;
            return;
        }
        section->segment = wider;
        section->room = room;
    }
    section->segment[section->count++] = (Segment){from.y, from.z, to.y, to.z};
    section->area += 0.5 * (from.y * to.z - to.y * from.z);
    section->belly = fmin(section->belly, fmin(from.z, to.z));
    section->back = fmax(section->back, fmax(from.z, to.z));
    section->port = fmin(section->port, fmin(from.y, to.y));
    section->starboard = fmax(section->starboard, fmax(from.y, to.y));
}

/* The section before x = `at`, seen from aft: counter-clockwise with y to the right, z up. */
static bool take_section(const MeshBody *mesh, double at, Section *section) {
    section->count = 0;
    section->area = 0.0;
    section->belly = section->port = HUGE_VAL;
    section->back = section->starboard = -HUGE_VAL;
    mesh_walk_edges(mesh, (BlyPlane){bly_vec(1.0, 0.0, 0.0), at}, keep_segment, section);
    return !section->full;
}

static double level_height(const MeshStation *station, int level) {
    double half = 0.5 * (station->back - station->belly);
    double share = cos(PI * level / (MESH_LEVELS - 1));
    share = fmin(1.0 - inset, fmax(inset - 1.0, share));
    return station->belly + half * (1.0 - share);
}

/* The level at or above the height z, as a share of the angle. */
static double level_of(double belly, double back, double z) {
    double half = 0.5 * (back - belly);
    if (!(half > 0.0))
        return 0.0;
    double share = fmin(1.0, fmax(-1.0, 1.0 - (z - belly) / half));
    return acos(share) / PI * (MESH_LEVELS - 1);
}

/* Going up, the rim has the inside to its left and closes a chord; going down it opens one. */
static void add_chords(const Segment *segment, MeshStation *station) {
    bool rises = segment->z1 > segment->z0;
    double low = rises ? segment->z0 : segment->z1, high = rises ? segment->z1 : segment->z0;
    int first = (int)floor(level_of(station->belly, station->back, low)) - 1;
    for (int k = first < 0 ? 0 : first; k < MESH_LEVELS; k++) {
        double z = level_height(station, k);
        if (z >= high)
            break;
        if (z < low)
            continue;
        double y = segment->y0 +
                   (segment->y1 - segment->y0) * (z - segment->z0) / (segment->z1 - segment->z0);
        station->half[k] += rises ? 0.5 * y : -0.5 * y;
        station->off[k] += rises ? 0.5 * y * y : -0.5 * y * y; /* its moment, as yet */
    }
}

typedef struct Want {
    double quarter;
} Want;

static double quarter_miss(double n, void *user) {
    const Want *want = user;
    return bly_oval_quarter(n) - want->quarter;
}

/* 1.2 to 20, as stations have it. */
static double exponent_for(double area, double width, double height) {
    Want want = {width > 0.0 && height > 0.0 ? area / (width * height) : 0.0};
    if (want.quarter <= bly_oval_quarter(1.2))
        return 1.2;
    if (want.quarter >= bly_oval_quarter(20.0))
        return 20.0;
    return bly_root(quarter_miss, &want, 1.2, 20.0);
}

static void fill_station(const Section *section, bool even, MeshStation *station) {
    station->belly = section->belly;
    station->back = section->back;
    station->width = section->starboard - section->port;
    station->exponent = exponent_for(section->area, station->width, station->back - station->belly);
    for (size_t i = 0; i < section->count; i++)
        add_chords(&section->segment[i], station);
    double least = 1e-6 * station->width;
    for (int k = 0; k < MESH_LEVELS; k++) {
        station->half[k] = fmax(0.0, station->half[k]);
        double middle = station->half[k] > least ? 0.5 * station->off[k] / station->half[k]
                                                 : 0.5 * (section->port + section->starboard);
        station->off[k] = even ? 0.0 : middle;
    }
}

/* A gap in the body lengthwise (two shells, one behind the other) leaves a flat knife edge. */
static void fill_gap(MeshStation *station, const MeshStation *before) {
    double middle = before == NULL ? 0.0 : 0.5 * (before->belly + before->back);
    station->belly = station->back = middle;
    station->width = 0.0;
    station->exponent = 2.0;
}

static void set_slopes(MeshStation *station) {
    for (int i = 0; i < MESH_STATIONS; i++) {
        const MeshStation *a = &station[i > 0 ? i - 1 : i];
        const MeshStation *b = &station[i + 1 < MESH_STATIONS ? i + 1 : i];
        station[i].belly_slope = (b->belly - a->belly) / (b->x - a->x);
        station[i].back_slope = (b->back - a->back) / (b->x - a->x);
    }
}

bool mesh_profile_make(MeshBody *mesh, BlyError *err) {
    BlyBox box = mesh->body.box;
    double length = box.high.x - box.low.x, middle = 0.5 * (box.low.x + box.high.x);
    Section section = {0};
    bool good = true;
    mesh->station = calloc(MESH_STATIONS, sizeof *mesh->station);
    for (int i = 0; mesh->station != NULL && good && i < MESH_STATIONS; i++) {
        MeshStation *station = &mesh->station[i];
        double x = middle - 0.5 * length * cos(PI * i / (MESH_STATIONS - 1));
        station->x = i == 0 ? box.low.x : i == MESH_STATIONS - 1 ? box.high.x : x;
        double within = fmin(box.high.x - inset * length, fmax(box.low.x + inset * length, x));
        good = take_section(mesh, within, &section);
        if (section.count > 0)
            fill_station(&section, mesh->even, station);
        else
            fill_gap(station, i > 0 ? station - 1 : NULL);
    }
    free(section.segment);
    if (mesh->station == NULL || !good)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the sections of a mesh");
    set_slopes(mesh->station);
    return true;
}

/* The stations around x, and the share of the way from the first to the second. */
static const MeshStation *stations_at(const MeshBody *mesh, double x, double *part) {
    BlyBox box = mesh->body.box;
    double half = 0.5 * (box.high.x - box.low.x), middle = 0.5 * (box.high.x + box.low.x);
    double share = fmin(1.0, fmax(-1.0, (middle - x) / half));
    double at = acos(share) / PI * (MESH_STATIONS - 1);
    int i = (int)fmin(floor(at), MESH_STATIONS - 2);
    *part = fmin(1.0, fmax(0.0, at - i));
    return &mesh->station[i];
}

static double mix(double a, double b, double part) {
    return a + part * (b - a);
}

bool mesh_section(const BlyBody *body, double x, BlySection *out) {
    const MeshBody *mesh = mesh_of(body);
    *out = (BlySection){0};
    if (!(x >= body->box.low.x - 1e-9 && x <= body->box.high.x + 1e-9))
        return false;
    double part;
    const MeshStation *a = stations_at(mesh, x, &part), *b = a + 1;
    double belly = mix(a->belly, b->belly, part), back = mix(a->back, b->back, part);
    *out = (BlySection){.width = mix(a->width, b->width, part),
                        .height = back - belly,
                        .centre = 0.5 * (belly + back),
                        .exponent = mix(a->exponent, b->exponent, part),
                        .belly = belly,
                        .back = back,
                        .belly_slope = mix(a->belly_slope, b->belly_slope, part),
                        .back_slope = mix(a->back_slope, b->back_slope, part)};
    return true;
}

double mesh_half_width(const BlyBody *body, double x, double z) {
    const MeshBody *mesh = mesh_of(body);
    if (!(x >= body->box.low.x && x <= body->box.high.x))
        return 0.0;
    double part;
    const MeshStation *a = stations_at(mesh, x, &part), *b = a + 1;
    double belly = mix(a->belly, b->belly, part), back = mix(a->back, b->back, part);
    if (!(z >= belly && z <= back))
        return 0.0;
    double at = level_of(belly, back, z);
    int k = (int)fmin(floor(at), MESH_LEVELS - 2);
    double up = fmin(1.0, at - k);
    return mix(mix(a->half[k], a->half[k + 1], up), mix(b->half[k], b->half[k + 1], up), part);
}

MeshPlace mesh_place(const MeshBody *mesh, double x) {
    MeshPlace place;
    place.fore = stations_at(mesh, x, &place.part);
    place.aft = place.fore + 1;
    return place;
}

void mesh_level(const MeshPlace *place, int level, double *z, double *half) {
    const MeshStation *a = place->fore, *b = place->aft;
    *z = mix(level_height(a, level), level_height(b, level), place->part);
    *half = mix(a->half[level], b->half[level], place->part);
}

void mesh_outline(const MeshBody *mesh, double x, MeshOutline *out) {
    MeshPlace place = mesh_place(mesh, x);
    for (int k = 0; k < MESH_LEVELS; k++) {
        mesh_level(&place, k, &out->z[k], &out->half[k]);
        out->off[k] = mix(place.fore->off[k], place.aft->off[k], place.part);
    }
}
