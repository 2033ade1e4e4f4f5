/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ranges of what the finished lure does, from the covariance of what was learnt. */
#include "tank/forecast.h"

#include <math.h>
#include <stdlib.h>

/* C a, the way in which the knobs go together when a quantity of slopes a is off; and a'C a. */
static double direction(const double *slope, const double *covariance, size_t knobs, double *out) {
    double variance = 0.0;
    for (size_t i = 0; i < knobs; i++) {
        out[i] = covariance ? 0.0 : slope[i];
        for (size_t j = 0; covariance && j < knobs; j++)
            out[i] += covariance[i * knobs + j] * slope[j];
        variance += slope[i] * out[i];
    }
    return fmax(variance, 0.0);
}

static bool slopes_of(Model *m, const double *z, const Probe *probes, size_t count, double **out,
                      BlyError *err) {
    *out = calloc(count * m->knob_count + 1, sizeof **out);
    if (!*out)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the forecast");
    return model_slopes(m, z, NULL, probes, count, *out, err);
}

/* Where first order puts the 5th and the 95th of 100 lures, by the full model: z less and more
 * 1.645 C a / sigma. Exact where the quantity follows one such direction, however bent. */
static bool ends(Model *m, const double *z, const double *covariance, const double *slope,
                 const Probe *probe, BlyBand90 *out, BlyError *err) {
    double *room = calloc(2 * m->knob_count + 1, sizeof *room);
    if (!room)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the forecast");
    double *way = room, *at = room + m->knob_count, end[2];
    double sigma = sqrt(direction(slope, covariance, m->knob_count, way));
    bool good = true;
    for (int side = 0; good && side < 2; side++) {
        double step = (side ? SIGMAS_90 : -SIGMAS_90) / (sigma > 0.0 ? sigma : 1.0);
        for (size_t k = 0; k < m->knob_count; k++)
            at[k] = z[k] + step * way[k];
        good = model_read(m, at, probe, 1, &end[side], err);
    }
    if (good)
        *out = (BlyBand90){fmin(end[0], end[1]), fmax(end[0], end[1])};
    free(room);
    return good;
}

bool forecast_make(Model *m, const double *z, const double *covariance, BlyForecast *out,
                   BlyError *err) {
    const Probe probes[] = {{BLY_READ_IN_WATER, BLY_STAGE_COMPLETE, false},
                            {BLY_READ_TILT, BLY_STAGE_COMPLETE, false},
                            {BLY_READ_DRIFT, BLY_STAGE_COMPLETE, false},
                            {BLY_READ_SHOWS, BLY_STAGE_COMPLETE, false}};
    BlyBand90 band[4] = {{NAN, NAN}, {NAN, NAN}, {NAN, NAN}, {NAN, NAN}};
    BlyOutcome *o = &out->outcome;
    double *slopes = NULL;
    if (!model_outcome(m, z, o, err))
        return false;
    m->angle[0][BLY_STAGE_COMPLETE] = o->nose_down;
    m->trim[0][BLY_STAGE_COMPLETE] = o->has_surface ? o->surface.nose_down : NAN;
    size_t count = o->has_surface ? 4 : 3;
    bool good = slopes_of(m, z, probes, count, &slopes, err);
    for (size_t i = 0; good && i < count; i++)
        good = ends(m, z, covariance, slopes + i * m->knob_count, &probes[i], &band[i], err);
    free(slopes);
    if (!good)
        return false;
    out->net_weight = band[0];
    out->nose_down = band[1];
    out->drift = (BlyBand90){drift_from_square(band[2].low), drift_from_square(band[2].high)};
    out->shows = (BlyBand90){fmax(band[3].low, 0.0), fmin(band[3].high, 1.0)};
    if (!o->has_surface)
        out->shows = (BlyBand90){NAN, NAN};
    return true;
}

bool forecast_body_mass(Model *m, const double *z, const double *covariance, BlyFigure *out,
                        BlyError *err) {
    const Probe bare = {BLY_READ_SCALE, BLY_STAGE_BLANK, true};
    double *slopes = NULL, *way = calloc(m->knob_count + 1, sizeof *way);
    bool good = way != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the forecast");
    good = good && model_read(m, z, &bare, 1, &out->value, err) &&
           slopes_of(m, z, &bare, 1, &slopes, err);
    if (good)
        out->give = SIGMAS_95 * sqrt(direction(slopes, covariance, m->knob_count, way));
    free(way);
    free(slopes);
    return good;
}
