/* SPDX-License-Identifier: GPL-3.0-or-later */
/* STL files: both kinds read alike; admesh as second reading; mended, inside-out and hollow ones.
 */
#include "ballastry/stl.h"
#include "support/stl_bytes.h"

#include <admesh/stl.h>
#include <unistd.h>

static BlyMesh read_good(const StlBytes *file, BlyStlMends *mends) {
    BlyError err = {0};
    BlyMesh mesh = {0};
    if (!bly_stl_read(file->bytes, file->size, 1e-3, &mesh, mends, &err))
        fail_msg("%s: %s", err.where, err.text);
    return mesh;
}

static void assert_same_mesh(const BlyMesh *a, const BlyMesh *b) {
    assert_int_equal(a->point_count, b->point_count);
    assert_int_equal(a->facet_count, b->facet_count);
    for (size_t i = 0; i < a->facet_count; i++) {
        for (int k = 0; k < 3; k++) {
            BlyVec3 p = a->points[a->facets[i][k]], q = b->points[b->facets[i][k]];
            assert_close(p.x, q.x, 1e-12, 1.2e-7); /* the last bit */
            assert_close(p.y, q.y, 1e-12, 1.2e-7); /* the last bit */
            assert_close(p.z, q.z, 1e-12, 1.2e-7); /* the last bit */
        }
    }
}

static void both_kinds_read_alike(void **state) {
    (void)state;
    BlyMesh made = mesh_ellipsoid(0.03, 0.007, 0.009, bly_vec(0.03, 0.0, 0.0), 20, 16);
    StlBytes binary = stl_binary(&made, "solid in name only"), text = stl_text(&made);
    BlyStlMends mends;
    BlyMesh one = read_good(&binary, &mends), other = read_good(&text, NULL);
    assert_same_mesh(&one, &other);
    assert_int_equal(one.point_count, made.point_count);
    assert_int_equal(mends.facets, made.facet_count);
    assert_int_equal(mends.dropped + mends.joined + mends.filled + mends.turned, 0);
    for (size_t i = 0; i < made.facet_count; i++) {
        for (int k = 0; k < 3; k++) {
            BlyVec3 p = made.points[made.facets[i][k]], q = one.points[one.facets[i][k]];
            assert_close(q.x, p.x, 1e-12, 6e-8); /* single precision */
            assert_close(q.y, p.y, 1e-12, 6e-8);
            assert_close(q.z, p.z, 1e-12, 6e-8);
        }
    }
    bly_mesh_release(&one);
    bly_mesh_release(&other);
    bly_mesh_release(&made);
    free(binary.bytes);
    free(text.bytes);
}

/* What admesh itself makes of the file, read by name. */
static stl_file second_reading(const StlBytes *file, char path[32]) {
    (void)snprintf(path, 32, "/tmp/bly_stl_XXXXXX");
    int handle = mkstemp(path);
    assert_true(handle >= 0);
    assert_int_equal(write(handle, file->bytes, file->size), (ssize_t)file->size);
    (void)close(handle);
    stl_file stl;
    stl_open(&stl, path);
    assert_int_equal(stl_get_error(&stl), 0);
    stl_check_facets_exact(&stl);
    stl_fix_normal_values(&stl);
    stl_calculate_volume(&stl);
    (void)remove(path);
    return stl;
}

static void admesh_has_the_same_volume(void **state) {
    (void)state;
    for (int i = 0; i < 4; i++) {
        BlyMesh made = i == 0   ? mesh_brick(bly_vec(0.0, 0.0, 0.0), bly_vec(0.09, 0.014, 0.02))
                       : i == 1 ? mesh_frustum(0.08, 0.003, 0.009, 37)
                       : i == 2 ? mesh_ellipsoid(0.03, 0.007, 0.009, bly_vec(0, 0, 0), 20, 16)
                                : mesh_ellipsoid(0.01, 0.01, 0.01, bly_vec(0.1, 0.2, 0), 9, 7);
        StlBytes file = i % 2 == 0 ? stl_binary(&made, "") : stl_text(&made);
        char path[32];
        stl_file stl = second_reading(&file, path);
        BlyMesh mesh = read_good(&file, NULL);
        BlyBody *body = mesh_to_body(&mesh);
        assert_int_equal(stl.stats.number_of_facets, mesh.facet_count);
        assert_int_equal(stl.stats.connected_facets_3_edge, mesh.facet_count);
        /* in single precision throughout */
        assert_close(bly_body_solid(body)->volume * 1e9, (double)stl.stats.volume, 0.0, 3e-5);
        bly_body_free(body);
        bly_mesh_release(&mesh);
        bly_mesh_release(&made);
        stl_close(&stl);
        free(file.bytes);
    }
}

static void drop_facet(BlyMesh *mesh, size_t facet) {
    mesh->facet_count--;
    memcpy(mesh->facets[facet], mesh->facets[mesh->facet_count], sizeof mesh->facets[facet]);
}

static BlyVec3 middle_of(const BlyMesh *mesh, size_t facet) {
    const uint32_t *f = mesh->facets[facet];
    BlyVec3 sum =
        bly_vec_add(mesh->points[f[0]], bly_vec_add(mesh->points[f[1]], mesh->points[f[2]]));
    return bly_vec_scale(sum, 1.0 / 3.0);
}

/* A small hole is closed, a large one refused. */
static void holes(void **state) {
    (void)state;
    BlyMesh made = mesh_ellipsoid(0.03, 0.007, 0.009, bly_vec(0.03, 0.0, 0.0), 30, 24);
    StlBytes whole = stl_binary(&made, "");
    BlyMesh mesh = read_good(&whole, NULL);
    BlyBody *body = mesh_to_body(&mesh);
    double volume = bly_body_solid(body)->volume;
    bly_body_free(body);
    bly_mesh_release(&mesh);
    BlyVec3 middle = middle_of(&made, 500);
    drop_facet(&made, 500);
    StlBytes holed = stl_binary(&made, "");
    BlyStlMends mends;
    mesh = read_good(&holed, &mends);
    assert_int_equal(mends.filled, 1);
    assert_int_equal(mends.open, 3);
    assert_true(mends.open_facet >= 1 && mends.open_facet <= mends.facets);
    assert_close(bly_vec_norm(bly_vec_sub(mends.open_at, middle)), 0, 2e-3, 0);
    body = mesh_to_body(&mesh);
    assert_close(bly_body_solid(body)->volume, volume, 0.0, 1e-9); /* the very facet again */
    bly_body_free(body);
    bly_mesh_release(&mesh);
    for (int i = 0; i < 60; i++)
        drop_facet(&made, 0);
    StlBytes torn = stl_binary(&made, "");
    BlyError err = {0};
    assert_false(bly_stl_read(torn.bytes, torn.size, 1e-3, &mesh, NULL, &err));
    assert_int_equal(err.code, BLY_E_CONFLICT);
    assert_non_null(strstr(err.text, "is not closed"));
    assert_non_null(strstr(err.text, "facet"));
    bly_mesh_release(&made);
    free(whole.bytes);
    free(holed.bytes);
    free(torn.bytes);
}

/* One corner of one facet a hair off; a facet facing inward; a facet without area. */
static void small_faults_are_mended(void **state) {
    (void)state;
    BlyMesh made = mesh_ellipsoid(0.03, 0.007, 0.009, bly_vec(0.03, 0.0, 0.0), 30, 24);
    StlBytes good = stl_binary(&made, "");
    BlyMesh mesh = read_good(&good, NULL);
    BlyBody *body = mesh_to_body(&mesh);
    double volume = bly_body_solid(body)->volume;
    bly_body_free(body);
    bly_mesh_release(&mesh);
    BlyStlMends mends;

    StlBytes off = stl_binary(&made, "");
    float z;
    memcpy(&z, off.bytes + 84 + 50 * 700 + 12 + 8, sizeof z);
    z += 2e-5F; /* 0.00002 mm */
    memcpy(off.bytes + 84 + 50 * 700 + 12 + 8, &z, sizeof z);
    mesh = read_good(&off, &mends);
    assert_true(mends.joined > 0);
    assert_int_equal(mends.filled, 0);
    body = mesh_to_body(&mesh);
    assert_close(bly_body_solid(body)->volume, volume, 0.0, 1e-6);
    bly_body_free(body);
    bly_mesh_release(&mesh);

    uint32_t *facet = made.facets[321], keep = facet[1];
    facet[1] = facet[2];
    facet[2] = keep;
    StlBytes turned = stl_binary(&made, "");
    mesh = read_good(&turned, &mends);
    assert_true(mends.turned > 0);
    body = mesh_to_body(&mesh);
    assert_close(bly_body_solid(body)->volume, volume, 0.0, 1e-9);
    bly_body_free(body);
    bly_mesh_release(&mesh);
    facet[2] = facet[1];
    facet[1] = keep;

    BlyMesh more = mesh_room(made.point_count, made.facet_count + 1);
    for (size_t p = 0; p < made.point_count; p++)
        more.points[more.point_count++] = made.points[p];
    for (size_t i = 0; i < made.facet_count; i++)
        mesh_facet(&more, made.facets[i][0], made.facets[i][1], made.facets[i][2]);
    mesh_facet(&more, 5, 5, 9);
    StlBytes flat = stl_binary(&more, "");
    mesh = read_good(&flat, &mends);
    assert_int_equal(mends.dropped, 1);
    assert_int_equal(mesh.facet_count, made.facet_count);
    bly_mesh_release(&mesh);
    bly_mesh_release(&more);
    bly_mesh_release(&made);
    free(good.bytes);
    free(off.bytes);
    free(turned.bytes);
    free(flat.bytes);
}

/* All facets inside out, and a hollow: outer less inner volume, which way round either faces. */
static void inside_out_and_hollow(void **state) {
    (void)state;
    for (int way = 0; way < 4; way++) {
        BlyMesh made = mesh_room(0, 0);
        BlyMesh outer = mesh_brick(bly_vec(0.0, -0.007, -0.01), bly_vec(0.09, 0.007, 0.01));
        BlyMesh inner = mesh_brick(bly_vec(0.01, -0.005, -0.008), bly_vec(0.03, 0.005, 0.008));
        mesh_join(&made, &outer, way & 1);
        mesh_join(&made, &inner, way & 2);
        StlBytes file = stl_text(&made);
        BlyMesh mesh = read_good(&file, NULL);
        BlyMeshFacts facts;
        BlyBody *body = NULL;
        BlyError err = {0};
        assert_true(bly_body_from_mesh(&mesh, NULL, &body, &facts, &err));
        assert_int_equal(facts.shells, 2);
        assert_int_equal(facts.hollows, 1);
        assert_int_equal(facts.turned, way & 1);
        double v = 0.09 * 0.014 * 0.02, h = 0.02 * 0.01 * 0.016;
        assert_close(facts.hollow_volume, h, 0.0, 1e-6);
        assert_close(bly_body_solid(body)->volume, v, 0.0, 1e-6);
        assert_close(bly_body_material(body)->volume, v - h, 0.0, 1e-6);
        assert_close(bly_body_material(body)->centroid.x, (v * 0.045 - h * 0.02) / (v - h), 0.0,
                     1e-6);
        bly_body_free(body);
        bly_mesh_release(&mesh);
        bly_mesh_release(&made);
        free(file.bytes);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_kinds_read_alike),
        cmocka_unit_test(admesh_has_the_same_volume),
        cmocka_unit_test(holes),
        cmocka_unit_test(small_faults_are_mended),
        cmocka_unit_test(inside_out_and_hollow),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
