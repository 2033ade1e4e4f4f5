/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inputs that hang together, as the build's ties say: independent normal numbers to tied ones. */
#include "uncertain/uncertain.h"

#include <stdlib.h>

bool uncertain_ties(const BlyBuild *build, const BlyInput *inputs, size_t count, double *factor,
                    bool *any, BlyError *err) {
    char(*name)[BLY_INPUT_NAME_MAX] = calloc(count + 1, sizeof *name);
    const char **names = calloc(count + 1, sizeof *names);
    bool good = name && names;
    if (!good)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for how figures depend on each other");
    for (size_t i = 0; good && i < count; i++) {
        bly_input_name(build, &inputs[i], name[i]);
        names[i] = name[i];
    }
    good = good && bly_build_ties(build, names, count, factor, any, err);
    free(name);
    free(names);
    return good;
}

void uncertain_tie(const double *factor, size_t count, double *u) {
    for (size_t i = count; i-- > 0;) { /* from below: what it needs is still as it was */
        double sum = 0.0;
        for (size_t j = 0; j <= i; j++)
            sum += factor[i * count + j] * u[j];
        u[i] = sum;
    }
}
