/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The outline of a body. Sections stand square to its axis, so seen from the side of any heel the
 * outline at x is how far the section reaches along one direction across: the support function of
 * a superellipse |y/b|^n + |z/c|^n = 1 along (u, v), ((b|u|)^q + (c|v|)^q)^(1/q), q = n/(n - 1). */
#include "figure/shapes.h"

#include <gsl/gsl_math.h>

enum { OUTLINE_STEPS = 72 };

static double reach(const BlySection *section, double u, double v) {
    double q = section->exponent / (section->exponent - 1);
    double a = fabs(0.5 * section->width * u), b = fabs(0.5 * section->height * v);
    double most = fmax(a, b);
    if (!(most > 0))
        return 0;
    return most * pow(pow(a / most, q) + pow(b / most, q), 1 / q);
}

static Pt edge(const BlyBody *body, double x, double side, Aspect aspect) {
    BlySection section;
    if (!bly_body_section(body, x, &section))
        return (Pt){NAN, NAN};
    double w =
        section.centre * cos(aspect.h) + side * reach(&section, -sin(aspect.h), cos(aspect.h));
    return bly_aspect_point((Aspect){.t = aspect.t}, bly_vec(x, 0, w));
}

/* Places crowd towards both ends, where round noses turn. */
static double place(const BlyBox *box, int step) {
    double share = 0.5 - 0.5 * cos(M_PI * step / OUTLINE_STEPS);
    return box->low.x + share * (box->high.x - box->low.x);
}

void figure_body(Figure *figure, const BlyBody *body, Aspect aspect) {
    BlyBox box = bly_body_box(body);
    figure_begin(figure, SHAPE_BODY, -1, 0, true);
    for (int i = 0; i <= OUTLINE_STEPS; i++)
        figure_point(figure, edge(body, place(&box, i), 1, aspect));
    for (int i = OUTLINE_STEPS; i >= 0; i--)
        figure_point(figure, edge(body, place(&box, i), -1, aspect));
}

static void put_section(Figure *figure, const BlySection *section, ShapeKind kind) {
    enum { AROUND = 48 };
    double power = 2 / section->exponent;
    figure_begin(figure, kind, -1, 0, true);
    for (int i = 0; i < AROUND; i++) {
        double a = 2 * M_PI * i / AROUND;
        double y = copysign(pow(fabs(cos(a)), power), cos(a));
        double z = copysign(pow(fabs(sin(a)), power), sin(a));
        figure_point(figure,
                     (Pt){0.5 * section->width * y, section->centre + 0.5 * section->height * z});
    }
}

/* All with a strong edge first, then all with a fine one over them: what is left of the strong
 * edges is the outline of the whole. */
void figure_slices(Figure *figure, const BlyBody *body) {
    enum { SLICES = 14 };
    BlyBox box = bly_body_box(body);
    for (int pass = 0; pass < 2; pass++) {
        for (int i = SLICES; i >= 0; i--) {
            BlySection section;
            double x = box.low.x + (box.high.x - box.low.x) * (i + 0.5) / (SLICES + 1);
            if (bly_body_section(body, x, &section))
                put_section(figure, &section, pass == 0 ? SHAPE_BODY : SHAPE_SLICE);
        }
    }
}
