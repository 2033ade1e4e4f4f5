/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The public face of a body: looking up, and handing over to its kind. */
#include "shape/shape.h"

void bly_body_free(BlyBody *body) {
    if (body == NULL || atomic_fetch_sub(&body->more_owners, 1) > 0)
        return;
    bly_body_free(body->rough);
    body->kind->free(body);
}

void bly_body_share(BlyBody *body) {
    (void)atomic_fetch_add(&body->more_owners, 1);
}

const BlyBody *bly_body_rough(const BlyBody *body) {
    return body->rough;
}

BlyBox bly_body_box(const BlyBody *body) {
    return body->box;
}

const BlySolid *bly_body_solid(const BlyBody *body) {
    return &body->solid;
}

const BlySolid *bly_body_material(const BlyBody *body) {
    return &body->material;
}

const BlyArea *bly_body_surface(const BlyBody *body) {
    return &body->surface;
}

const BlyArea *bly_body_side(const BlyBody *body) {
    return &body->side;
}

const BlyArea *bly_body_plan(const BlyBody *body) {
    return &body->plan;
}

BlyArea bly_body_seen(const BlyBody *body, BlyVec3 direction) {
    return body->kind->seen(body, direction);
}

BlyFilled bly_body_filled(const BlyBody *body, BlyVec3 point) {
    return body->hollow ? body->kind->filled(body, point) : (BlyFilled){1.0, 1.0};
}

bool bly_body_is_solid(const BlyBody *body) {
    return !body->hollow;
}

bool bly_body_section(const BlyBody *body, double x, BlySection *out) {
    return body->kind->section(body, x, out);
}

double bly_body_half_width(const BlyBody *body, double x, double z) {
    return body->kind->half_width(body, x, z);
}

double bly_body_support(const BlyBody *body, BlyVec3 direction) {
    return body->kind->support(body, direction);
}

BlyCut bly_body_cut(const BlyBody *body, BlyPlane plane) {
    return body->kind->cut(body, plane);
}

bool bly_body_coated(const BlyBody *body, double thickness, BlyBody **out, BlyError *err) {
    if (!isfinite(thickness) || thickness < 0.0 || thickness > 0.1)
        return bly_fail(err, BLY_E_RANGE, "/thickness", "a layer of %g mm, expected 0 to 100 mm",
                        1e3 * thickness);
    return body->kind->coated(body, thickness, out, err);
}

static bool refuse_length(const char *where, double value, BlyError *err) {
    return bly_fail(err, BLY_E_RANGE, where, "%g mm, expected a length above 0 and up to 2 m",
                    1e3 * value);
}

bool bly_body_strip(const BlyBody *body, BlySide side, double x_from, double x_to, double width,
                    double thickness, BlySolid *out, double *length, BlyError *err) {
    BlyStripSpec spec = {side, x_from, x_to, width, thickness, 0.0};
    BlyStripLaid laid;
    if (!bly_body_strip_coated(body, &spec, &laid, err))
        return false;
    *out = laid.metal;
    if (length != NULL)
        *length = laid.length;
    return true;
}

bool bly_body_strip_coated(const BlyBody *body, const BlyStripSpec *spec, BlyStripLaid *out,
                           BlyError *err) {
    const BlyBox *box = &body->box;
    if (!(spec->width > 0.0 && spec->width <= 2.0))
        return refuse_length("/width", spec->width, err);
    if (!(spec->thickness > 0.0 && spec->thickness <= 2.0))
        return refuse_length("/thickness", spec->thickness, err);
    if (!(spec->coat >= 0.0 && spec->coat <= 0.1))
        return bly_fail(err, BLY_E_RANGE, "/coat", "%g mm, expected 0 to 100 mm", 1e3 * spec->coat);
    if (!(spec->x_from >= box->low.x - 1e-9 && spec->x_from <= box->high.x + 1e-9))
        return bly_fail(err, BLY_E_RANGE, "/x/0", "%g mm lies off the body, %g to %g mm",
                        1e3 * spec->x_from, 1e3 * box->low.x, 1e3 * box->high.x);
    if (!(spec->x_to <= box->high.x + 1e-9 && spec->x_to > spec->x_from))
        return bly_fail(err, BLY_E_RANGE, "/x/1", "%g mm, expected behind %g and up to %g mm",
                        1e3 * spec->x_to, 1e3 * spec->x_from, 1e3 * box->high.x);
    return strip_put(body, spec, out, err);
}
