/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the finished lure does in its own water, before and after. */
#include "tank/forecast.h"
#include "tank/bands.h"

#include <math.h>

bool forecast_make(Forward *m, const double *z, const double *covariance, BlyForecast *out,
                   BlyError *err) {
    const Probe probes[BANDS_MAX] = {{BLY_READ_IN_WATER, BLY_STAGE_COMPLETE, false},
                                     {BLY_READ_TILT, BLY_STAGE_COMPLETE, false},
                                     {BLY_READ_DRIFT, BLY_STAGE_COMPLETE, false},
                                     {BLY_READ_SHOWS, BLY_STAGE_COMPLETE, false}};
    BlyBand90 band[BANDS_MAX];
    BlyOutcome *o = &out->outcome;
    if (!forward_outcome(m, z, o, err) ||
        !forward_settle_for(m, z, probes, o->has_surface ? 4 : 3, err) ||
        !bands_find(m, z, covariance, probes, o->has_surface ? 4 : 3, band, NULL, err))
        return false;
    out->net_weight = band[0];
    out->nose_down = band[1];
    out->drift = (BlyBand90){drift_from_square(band[2].low), drift_from_square(band[2].high)};
    out->shows = (BlyBand90){NAN, NAN};
    if (o->has_surface)
        out->shows = (BlyBand90){fmax(band[3].low, 0.0), fmin(band[3].high, 1.0)};
    return true;
}

bool forecast_body_mass(Forward *m, const double *z, const double *covariance, BlyFigure *out,
                        BlyError *err) {
    const Probe bare = {BLY_READ_SCALE, BLY_STAGE_BLANK, true};
    BlyBand90 band;
    double sigma;
    if (!forward_read(m, z, LOOK_NEAR, &bare, 1, &out->value, err) ||
        !bands_find(m, z, covariance, &bare, 1, &band, &sigma, err))
        return false;
    out->give = BLY_SIGMAS_95 * sigma;
    return true;
}
