/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A body bounded by triangles: how it is put together. */
#include "mesh/mesh_body.h"

#include <stdlib.h>
#include <string.h>

const BlyBodyKind mesh_kind = {
    .section = mesh_section,
    .half_width = mesh_half_width,
    .seen = mesh_seen,
    .blunt = mesh_blunt,
    .cut = mesh_cut,
    .support = mesh_support,
    .coated = mesh_coated,
    .strip_at = mesh_strip_at,
    .strip_nodes = 16,
    .filled = mesh_filled,
    .free = mesh_free,
};

static const double size_least = 1e-6, size_most = 2.0;

/* Facets on one side seldom mirror those on the other; that makes a centroid this share of the
 * width off the middle, or moments mixed by as much, in a body that is meant to be even. */
static const double even_share = 2e-3;

void mesh_free(BlyBody *body) {
    MeshBody *mesh = (MeshBody *)body;
    bly_mesh_release(&mesh->mesh);
    mesh_tree_release(&mesh->tree);
    free(mesh->across);
    free(mesh->area);
    free(mesh->station);
    free(mesh->move);
    if (mesh->inside != NULL) {
        bly_mesh_release(&mesh->inside->whole);
        mesh_cells_release(&mesh->inside->cells);
        free(mesh->inside);
    }
    free(mesh);
}

const BlyMesh *bly_body_mesh(const BlyBody *body) {
    return body->kind == &mesh_kind ? &mesh_of(body)->mesh : NULL;
}

const BlyMesh *bly_body_mesh_whole(const BlyBody *body) {
    if (body->kind != &mesh_kind)
        return NULL;
    const MeshBody *mesh = mesh_of(body);
    bool hollow = mesh->inside != NULL && mesh->inside->whole.facet_count > 0;
    return hollow ? &mesh->inside->whole : &mesh->mesh;
}

/* Products of inertia of x and y, and of y and z, about the middle of the box. */
static bool sides_alike(const BlyMesh *mesh, const BlyBody *body) {
    BlyVec3 size = bly_vec_sub(body->box.high, body->box.low);
    BlyVec3 m = bly_vec_scale(bly_vec_add(body->box.low, body->box.high), 0.5);
    double xy = 0.0, yz = 0.0;
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 a = bly_vec_sub(mesh_corner(mesh, i, 0), m);
        BlyVec3 b = bly_vec_sub(mesh_corner(mesh, i, 1), m);
        BlyVec3 c = bly_vec_sub(mesh_corner(mesh, i, 2), m);
        BlyVec3 s = bly_vec_add(a, bly_vec_add(b, c));
        double w = bly_vec_dot(a, bly_vec_cross(b, c)) / 120.0;
        xy += w * (s.x * s.y + a.x * a.y + b.x * b.y + c.x * c.y);
        yz += w * (s.y * s.z + a.y * a.z + b.y * b.z + c.y * c.z);
    }
    double most = even_share * body->solid.volume * size.y;
    return fabs(m.y) <= even_share * size.y &&
           fabs(body->solid.centroid.y - m.y) <= even_share * size.y && fabs(xy) <= most * size.x &&
           fabs(yz) <= most * size.z;
}

static bool check_size(const BlyMesh *mesh, BlyError *err) {
    BlyBox box = mesh_box(mesh);
    const double size[3] = {box.high.x - box.low.x, box.high.y - box.low.y, box.high.z - box.low.z};
    static const char *const word[3] = {"long", "wide", "high"};
    for (int i = 0; i < 3; i++) {
        if (!(size[i] >= size_least && size[i] <= size_most))
            return bly_fail(err, BLY_E_RANGE, NULL, "is %g mm %s; expected 0.001 to 2000 mm",
                            1e3 * size[i], word[i]);
    }
    return true;
}

static bool find_areas(MeshBody *mesh, BlyError *err) {
    mesh->area = calloc(mesh->mesh.facet_count + 1, sizeof *mesh->area);
    if (mesh->area == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    for (size_t i = 0; i < mesh->mesh.facet_count; i++)
        mesh->area[i] = mesh_area(&mesh->mesh, i);
    return true;
}

/* What is looked up. The order matters: silhouettes need the tree, its cones and `across`. */
static bool measure(MeshBody *mesh, BlyError *err) {
    BlyBody *body = &mesh->body;
    if (!check_size(&mesh->mesh, err) || !find_areas(mesh, err) ||
        !mesh_tree_make(&mesh->mesh, &mesh->tree, err) || !mesh_cones_make(mesh, err))
        return false;
    body->box = mesh_box(&mesh->mesh);
    body->solid = mesh_solid(&mesh->mesh);
    body->surface = mesh_surface(&mesh->mesh);
    BlyVec3 size = bly_vec_sub(body->box.high, body->box.low);
    if (!(body->solid.volume > 1e-9 * size.x * size.y * size.z))
        return bly_fail(err, BLY_E_RANGE, NULL, "encloses no volume");
    mesh->even = sides_alike(&mesh->mesh, body);
    if (mesh->even)
        body->solid.centroid.y = body->surface.centroid.y = 0.0;
    body->material = body->solid;
    if (!mesh_profile_make(mesh, err) || !mesh_stand_in_make(mesh, err))
        return false;
    body->side = mesh_seen(body, bly_vec(0.0, 1.0, 0.0));
    body->plan = mesh_seen(body, bly_vec(0.0, 0.0, 1.0));
    if (!(body->side.area > 0.0) || !(body->plan.area > 0.0))
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh's outline");
    return true;
}

static bool make_afresh(MeshBody *mesh, BlyError *err) {
    BlyMeshCheck check;
    if (!mesh_sort(&mesh->mesh, err))
        return false;
    mesh->across = calloc(mesh->mesh.facet_count + 1, sizeof *mesh->across);
    if (mesh->across == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    if (!bly_mesh_pair(&mesh->mesh, mesh->across, &check, err) || !measure(mesh, err))
        return false;
    mesh->body.curvature = mesh_curvature(&mesh->mesh, (const uint32_t(*)[3])mesh->across);
    return mesh_moves_make(mesh, err);
}

bool mesh_body_make(BlyMesh *mesh, BlyBody **out, BlyError *err) {
    MeshBody *made = calloc(1, sizeof *made);
    if (made == NULL) {
        bly_mesh_release(mesh);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    }
    made->body.kind = &mesh_kind;
    made->mesh = *mesh;
    *mesh = (BlyMesh){0};
    if (!make_afresh(made, err)) {
        bly_body_free(&made->body);
        return false;
    }
    *out = &made->body;
    return true;
}

static bool take_facets(const MeshBody *like, MeshBody *out, BlyError *err) {
    size_t count = like->mesh.facet_count;
    out->mesh.facets = calloc(count + 1, sizeof *out->mesh.facets);
    out->across = calloc(count + 1, sizeof *out->across);
    if (out->mesh.facets == NULL || out->across == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    memcpy(out->mesh.facets, like->mesh.facets, count * sizeof *out->mesh.facets);
    memcpy(out->across, like->across, count * sizeof *out->across);
    out->mesh.facet_count = count;
    return true;
}

bool mesh_body_moved(const MeshBody *like, BlyVec3 *points, const BlyCurvature *curvature,
                     BlyBody **out, BlyError *err) {
    MeshBody *made = calloc(1, sizeof *made);
    if (made == NULL) {
        free(points);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    }
    made->body.kind = &mesh_kind;
    made->body.curvature = *curvature;
    made->mesh.points = points;
    made->mesh.point_count = like->mesh.point_count;
    if (!take_facets(like, made, err) || !measure(made, err)) {
        bly_body_free(&made->body);
        return false;
    }
    *out = &made->body;
    return true;
}

static bool check_count(const BlyMesh *mesh, BlyError *err) {
    if (mesh->facet_count > 0 && mesh->facet_count <= BLY_MESH_FACETS_MAX)
        return true;
    return bly_fail(err, BLY_E_RANGE, NULL, "has %zu facets; expected 4 to %d", mesh->facet_count,
                    BLY_MESH_FACETS_MAX);
}

static bool check_whole(const BlyMesh *whole, const MeshTree *tree, BlyMeshFacts *facts,
                        BlyError *err) {
    BlyMeshCheck check;
    uint32_t(*across)[3] = calloc(whole->facet_count + 1, sizeof *across);
    if (across == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the hollows of a mesh");
    bool good =
        bly_mesh_pair(whole, across, &check, err) &&
        mesh_check_crossing(whole, tree, (const uint32_t(*)[3])across, &facts->searched, err);
    free(across);
    return good;
}

/* The whole mesh, hollows too, has a tree of its own. */
static bool fill_hollow(MeshBody *body, const BlyMeshFill *fill, BlyMeshFacts *facts,
                        BlySolid *material, BlyError *err) {
    BlyMesh *whole = &body->inside->whole;
    MeshTree tree = {0};
    bool good = mesh_sort(whole, err) && mesh_tree_make(whole, &tree, err) &&
                check_whole(whole, &tree, facts, err) &&
                mesh_fill(body, whole, &tree, fill, &body->inside->cells, material, err);
    mesh_tree_release(&tree);
    return good;
}

/* Takes over `whole`, releases it where nothing is hollow. */
static bool fill_body(MeshBody *body, BlyMesh *whole, const BlyMeshFill *fill, BlyMeshFacts *facts,
                      BlyError *err) {
    bool hollow = facts->hollows > 0, walled = fill != NULL && !isnan(fill->wall);
    BlySolid *material = &body->body.material;
    if (!hollow)
        bly_mesh_release(whole);
    if (hollow || walled) {
        body->inside = calloc(1, sizeof *body->inside);
        if (body->inside == NULL) {
            bly_mesh_release(whole);
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the inside of a mesh");
        }
        body->inside->whole = *whole;
        body->body.hollow = true;
    }
    if (hollow)
        return fill_hollow(body, fill, facts, material, err);
    if (!mesh_check_crossing(&body->mesh, &body->tree, (const uint32_t(*)[3])body->across,
                             &facts->searched, err))
        return false;
    return !walled ||
           mesh_fill(body, &body->mesh, &body->tree, fill, &body->inside->cells, material, err);
}

bool bly_body_from_mesh(const BlyMesh *mesh, const BlyMeshFill *fill, BlyBody **out,
                        BlyMeshFacts *facts, BlyError *err) {
    BlyMesh outer, whole;
    BlyMeshFacts found;
    if (!check_count(mesh, err) || !check_size(mesh, err) ||
        !mesh_shells(mesh, &outer, &whole, &found, err))
        return false;
    BlyBody *body = NULL;
    if (!mesh_body_make(&outer, &body, err)) {
        bly_mesh_release(&whole);
        return false;
    }
    MeshBody *made = (MeshBody *)body;
    bool good = fill_body(made, &whole, fill, &found, err);
    if (good && !(body->material.volume > 0.0))
        good = bly_fail(err, BLY_E_RANGE, NULL, "is hollow throughout: it has no material");
    if (!good) {
        bly_body_free(body);
        return false;
    }
    if (made->even && found.hollows == 0)
        body->material.centroid.y = 0.0;
    found.even = made->even;
    if (facts != NULL)
        *facts = found;
    *out = body;
    return true;
}
