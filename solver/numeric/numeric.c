/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "numeric/numeric.h"

#include <float.h>
#include <gsl/gsl_integration.h>
#include <math.h>

#include "numeric/roots.h"

bool bly_rule_make(size_t count, BlyRule *out, BlyError *err) {
    if (count == 0 || count > BLY_RULE_MAX)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "a rule of %zu nodes is not provided", count);
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(count);
    if (table == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a quadrature rule");
    out->count = count;
    for (size_t i = 0; i < count; i++)
        (void)gsl_integration_glfixed_point(0.0, 1.0, i, &out->at[i], &out->weight[i], table);
    gsl_integration_glfixed_table_free(table);
    return true;
}

double bly_root(BlyFunction f, void *user, double low, double high) {
    BlySolverRoom room;
    double f_low = f(low, user), f_high = f(high, user);
    if (f_low == 0.0 || f_high == 0.0 || (f_low < 0.0) == (f_high < 0.0))
        return fabs(f_low) <= fabs(f_high) ? low : high;
    gsl_root_fsolver solver;
    gsl_function function = {.function = f, .params = user};
    if (bly_brent_begin(&solver, &room, &function, low, high) != GSL_SUCCESS)
        return NAN;
    for (int i = 0; i < 100; i++) {
        if (gsl_root_fsolver_iterate(&solver) != 0)
            break;
        if (solver.x_upper - solver.x_lower <= 4.0 * DBL_EPSILON * fabs(solver.root))
            break;
    }
    return solver.root;
}
