/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the finished lure does in its own water, before and after. */
#include "tank/forecast.h"
#include "tank/bands.h"

#include <math.h>

bool forecast_make(Model *m, const double *z, const double *covariance, BlyForecast *out,
                   BlyError *err) {
    const Probe probes[BANDS_MAX] = {{BLY_READ_IN_WATER, BLY_STAGE_COMPLETE, false},
                                     {BLY_READ_TILT, BLY_STAGE_COMPLETE, false},
                                     {BLY_READ_DRIFT, BLY_STAGE_COMPLETE, false},
                                     {BLY_READ_SHOWS, BLY_STAGE_COMPLETE, false}};
    BlyBand90 band[BANDS_MAX];
    BlyOutcome *o = &out->outcome;
    if (!model_outcome(m, z, o, err))
        return false;
    m->angle[0][BLY_STAGE_COMPLETE] = o->nose_down;
    m->trim[0][BLY_STAGE_COMPLETE] = o->has_surface ? o->surface.nose_down : NAN;
    if (!bands_find(m, z, covariance, probes, o->has_surface ? 4 : 3, band, NULL, err))
        return false;
    out->net_weight = band[0];
    out->nose_down = band[1];
    out->drift = (BlyBand90){drift_from_square(band[2].low), drift_from_square(band[2].high)};
    out->shows = (BlyBand90){NAN, NAN};
    if (o->has_surface)
        out->shows = (BlyBand90){fmax(band[3].low, 0.0), fmin(band[3].high, 1.0)};
    return true;
}

bool forecast_body_mass(Model *m, const double *z, const double *covariance, BlyFigure *out,
                        BlyError *err) {
    const Probe bare = {BLY_READ_SCALE, BLY_STAGE_BLANK, true};
    BlyBand90 band;
    double sigma;
    if (!model_read(m, z, &bare, 1, &out->value, err) ||
        !bands_find(m, z, covariance, &bare, 1, &band, &sigma, err))
        return false;
    out->give = SIGMAS_95 * sigma;
    return true;
}
