/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The model's factors as a build knows them: by their bounds, or as the water taught them. */
#include "tow/sample.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

static const BlyTowFactor taught[BUILD_TOW_FACTORS] = {BLY_TOW_LIP, BLY_TOW_WIRE, BLY_TOW_CENTRE};

BlyTowFactor tow_taught_factor(int index) {
    return taught[index];
}

BlyTowModel bly_tow_model(const BlyBuild *build) {
    BlyTowModel model = bly_tow_nominal();
    for (int i = 0; i < BUILD_TOW_FACTORS; i++) {
        if (build->tow_learnt.by[i].give > 0)
            model.by[taught[i]] = build->tow_learnt.by[i].value;
    }
    return model;
}

/* Standard normal numbers put together as the build has their correlations (Cholesky of three). */
static void tie(const double r[BUILD_TOW_TIES], double u[BUILD_TOW_FACTORS]) {
    double b = sqrt(fmax(1 - r[0] * r[0], 1e-12));
    double c1 = (r[2] - r[1] * r[0]) / b;
    double c2 = sqrt(fmax(1 - r[1] * r[1] - c1 * c1, 0));
    u[2] = r[1] * u[0] + c1 * u[1] + c2 * u[2];
    u[1] = r[0] * u[0] + b * u[1];
}

BlyTowModel tow_model_at(const BlyBuild *build, const double place[BLY_TOW_FACTORS]) {
    const BuildTowLearnt *learnt = &build->tow_learnt;
    BlyTowModel model;
    double u[BUILD_TOW_FACTORS];
    for (int i = 0; i < BLY_TOW_FACTORS; i++) {
        double low, high;
        bly_tow_bounds((BlyTowFactor)i, &low, &high);
        model.by[i] = low + (high - low) * place[i];
    }
    for (int i = 0; i < BUILD_TOW_FACTORS; i++)
        u[i] = learnt->any ? gsl_cdf_ugaussian_Pinv(place[taught[i]]) : 0;
    tie(learnt->r, u);
    for (int i = 0; i < BUILD_TOW_FACTORS; i++) {
        double give = learnt->by[i].give, least = taught[i] == BLY_TOW_CENTRE ? -0.5 : 0.05;
        if (give > 0)
            model.by[taught[i]] = fmax(learnt->by[i].value + give / 1.96 * u[i], least);
    }
    return model;
}
