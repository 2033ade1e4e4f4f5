/* SPDX-License-Identifier: GPL-3.0-or-later */
/* STL files. Laws: a mesh that is taken is closed; what the body made of it answers is finite and
 * of the right sign; what is refused is refused with words. A surface may run through itself here,
 * so that nothing more can be asked of the figures. */
#include "ballastry/stl.h"
#include "fuzz/fuzz.h"

#include <gsl/gsl_errno.h>
#include <string.h>

static void cut_in_two(const BlyBody *body) {
    const BlySolid *solid = bly_body_solid(body);
    for (int i = 0; i < 4; i++) {
        BlyVec3 up = bly_vec_up(0.9 * i, 0.4 * i);
        double height = bly_vec_dot(up, solid->centroid);
        BlyCut below = bly_body_cut(body, (BlyPlane){up, height});
        BlyCut above = bly_body_cut(body, (BlyPlane){bly_vec_scale(up, -1.0), -height});
        FUZZ_LAW(below.volume >= 0.0 && above.volume >= 0.0);
        FUZZ_LAW(isfinite(below.area) && isfinite(below.centroid.x) && isfinite(below.along));
    }
}

static void look_around(const BlyBody *body) {
    BlyBox box = bly_body_box(body);
    BlySection section;
    for (int i = 0; i <= 8; i++) {
        double x = box.low.x + (box.high.x - box.low.x) * i / 8.0;
        FUZZ_LAW(bly_body_section(body, x, &section));
        FUZZ_LAW(section.width >= 0.0 && section.height >= 0.0 && isfinite(section.exponent));
        FUZZ_LAW(bly_body_half_width(body, x, section.centre) >= 0.0);
    }
    BlyVec3 up = bly_vec_up(0.3, 0.2);
    FUZZ_LAW(bly_body_seen(body, up).area >= 0.0);
    FUZZ_LAW(bly_body_support(body, up) >= bly_vec_dot(up, box.low) - 10.0);
    BlyBody *hull = NULL;
    BlyError err = {0};
    if (bly_body_coated(body, 0.01 * (box.high.z - box.low.z), &hull, &err))
        bly_body_free(hull);
    else
        FUZZ_LAW(err.text[0] != '\0');
}

static void make_body(BlyMesh *mesh) {
    BlyVec3 nose = {0}, up = {0};
    BlyMeshFill fill = {1e-3, 0.2};
    BlyMeshFacts facts;
    BlyMeshCheck check;
    BlyBody *body = NULL;
    BlyError err = {0};
    FUZZ_LAW(bly_mesh_pair(mesh, NULL, &check, &err));
    FUZZ_LAW(check.first == BLY_MESH_CLOSED && check.open + check.turned + check.crowded == 0);
    FUZZ_LAW(bly_mesh_lay(mesh, &nose, &up, &err));
    bool printed = mesh->facet_count % 4 == 0;
    if (!bly_body_from_mesh(mesh, printed ? &fill : NULL, &body, &facts, &err)) {
        FUZZ_LAW(err.code != BLY_OK && err.text[0] != '\0');
        return;
    }
    FUZZ_LAW(bly_body_material(body)->volume > 0.0 && facts.shells > 0);
    cut_in_two(body);
    look_around(body);
    bly_body_free(body);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *bytes = malloc(size + 1);
    BlyMesh mesh;
    BlyStlMends mends;
    BlyError err = {0};
    if (bytes == NULL)
        return 0;
    (void)gsl_set_error_handler_off();
    if (size > 0)
        memcpy(bytes, data, size);
    bytes[size] = '\0';
    if (bly_stl_read(bytes, size, 1e-3, &mesh, &mends, &err)) {
        FUZZ_LAW(mesh.facet_count >= 2 && mends.facets > 0);
        make_body(&mesh);
        bly_mesh_release(&mesh);
    } else {
        FUZZ_LAW(err.code != BLY_OK && err.text[0] != '\0');
    }
    free(bytes);
    return 0;
}
