/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where samples come from: Sobol points of GSL with a seeded shift, or its pseudo-random numbers,
 * made normal by the inverse of the normal's distribution. GSL's Sobol points have 40 dimensions;
 * what is beyond them (inputs of parts, drag and water come last) is pseudo-random. */
#include "spread/spread.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

enum { SOBOL_DIMENSIONS = 40 };

struct SpreadDraw {
    gsl_qrng *sobol; /* NULL: all pseudo-random */
    gsl_rng *random;
    size_t dimensions, sobol_dimensions;
    double shift[SOBOL_DIMENSIONS];
};

SpreadDraw *spread_draw_make(size_t dimensions, BlySource source, unsigned long seed,
                             BlyError *err) {
    SpreadDraw *draw = calloc(1, sizeof *draw);
    if (draw) {
        draw->dimensions = dimensions;
        draw->random = gsl_rng_alloc(gsl_rng_mt19937);
        if (source == BLY_SOURCE_SOBOL && dimensions > 0) {
            draw->sobol_dimensions = dimensions < SOBOL_DIMENSIONS ? dimensions : SOBOL_DIMENSIONS;
            draw->sobol = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)draw->sobol_dimensions);
        }
    }
    if (!draw || !draw->random || (draw->sobol_dimensions > 0 && !draw->sobol)) {
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for random numbers");
        spread_draw_free(draw);
        return NULL;
    }
    gsl_rng_set(draw->random, seed + 1); /* GSL takes 0 for its own default */
    for (size_t i = 0; i < draw->sobol_dimensions; i++)
        draw->shift[i] = gsl_rng_uniform_pos(draw->random);
    return draw;
}

void spread_draw_free(SpreadDraw *draw) {
    if (!draw)
        return;
    if (draw->sobol)
        gsl_qrng_free(draw->sobol);
    if (draw->random)
        gsl_rng_free(draw->random);
    free(draw);
}

void spread_draw_next(SpreadDraw *draw, double *u) {
    size_t i = 0;
    if (draw->sobol) {
        double point[SOBOL_DIMENSIONS];
        (void)gsl_qrng_get(draw->sobol, point);
        for (; i < draw->sobol_dimensions; i++) {
            double x = point[i] + draw->shift[i];
            x -= x >= 1.0 ? 1.0 : 0.0;
            u[i] = gsl_cdf_ugaussian_Pinv(fmax(x, 1e-12));
        }
    }
    for (; i < draw->dimensions; i++)
        u[i] = gsl_ran_gaussian_ziggurat(draw->random, 1.0);
}
