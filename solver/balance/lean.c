/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rests that lean or have rolled over, by least potential energy over trim and heel. */
#include "balance/refine.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multimin.h>
#include <gsl/gsl_multiroots.h>
#include <stdlib.h>

enum { DESCENT_MAX = 200, CLIMB_STEPS = 4, POLISH_MAX = 30 };

static const double coarse = 1e-2; /* tolerance of the draft while looking around */

/* A flat map of the sphere of attitudes about one of them: up = (u + a l + b c) / |..|, with l
 * and c its lengthwise and crosswise axes, drawn out so that both ways are about as steep. No angle
 * is singular in it, as heel is where the lure stands on end. */
typedef struct Chart {
    const BlyAfloat *afloat;
    double tolerance; /* of the draft */
    BlyVec3 up, l, c;
    double steep;      /* kg m, second derivatives of the energy on the map, about */
    double drawn;      /* how much the map is drawn out at most */
    BlyPose pose;      /* the last one settled, */
    double a, b;       /* where it lies on the map, */
    double by_a, by_b; /* and how its energy changes there, kg m */
} Chart;

static void put_at(Chart *chart, const BlyPose *pose, double a, double b, double length) {
    BlyVec3 level =
        bly_vec_sub(pose->pull, bly_vec_scale(pose->up, bly_vec_dot(pose->pull, pose->up)));
    chart->pose = *pose;
    chart->a = a;
    chart->b = b;
    chart->by_a = bly_vec_dot(level, chart->l) / length;
    chart->by_b = bly_vec_dot(level, chart->c) / length;
}

static void chart_about(Chart *chart, const BlyAfloat *afloat, const BlyPose *pose,
                        double tolerance) {
    double pitch = fabs(afloat_pitch_stiffness(afloat, pose));
    double roll = fabs(afloat_roll_stiffness(afloat, pose));
    double steep = fmax(pitch, roll), least = 1e-3 * steep;
    double draw_l = sqrt(steep / fmax(pitch, least)), draw_c = sqrt(steep / fmax(roll, least));
    *chart = (Chart){.afloat = afloat, .tolerance = tolerance, .up = pose->up};
    chart->l = bly_vec_scale(pose->lengthwise, steep > 0 ? draw_l : 1);
    chart->c = bly_vec_scale(pose->crosswise, steep > 0 ? draw_c : 1);
    chart->steep = steep;
    chart->drawn = steep > 0 ? fmax(draw_l, draw_c) : 1;
    put_at(chart, pose, 0, 0, 1);
}

/* Settles at a point of the map, unless the chart is there already: GSL asks for the energy and
 * for its slope one after the other. */
static bool go_to(Chart *chart, const gsl_vector *at) {
    double a = gsl_vector_get(at, 0), b = gsl_vector_get(at, 1);
    if (a == chart->a && b == chart->b)
        return true;
    BlyVec3 aside = bly_vec_add(bly_vec_scale(chart->l, a), bly_vec_scale(chart->c, b));
    double length = sqrt(1 + bly_vec_dot(aside, aside));
    BlyVec3 up = bly_vec_scale(bly_vec_add(chart->up, aside), 1 / length);
    double guess = afloat_follow(&chart->pose, up);
    BlyPose pose;
    if (!isfinite(length) || !afloat_settle(chart->afloat, up, guess, chart->tolerance, &pose))
        return false;
    put_at(chart, &pose, a, b, length);
    return true;
}

static void bridge_both(const gsl_vector *at, void *user, double *energy, gsl_vector *gradient) {
    Chart *chart = user;
    bool good = go_to(chart, at);
    *energy = good ? chart->pose.energy : NAN;
    gsl_vector_set(gradient, 0, good ? chart->by_a : NAN);
    gsl_vector_set(gradient, 1, good ? chart->by_b : NAN);
}

static double bridge_energy(const gsl_vector *at, void *user) {
    Chart *chart = user;
    return go_to(chart, at) ? chart->pose.energy : NAN;
}

static void bridge_gradient(const gsl_vector *at, void *user, gsl_vector *gradient) {
    double energy;
    bridge_both(at, user, &energy, gradient);
}

static int bridge_moments(const gsl_vector *at, void *user, gsl_vector *moments) {
    bridge_gradient(at, user, moments);
    return isnan(gsl_vector_get(moments, 0)) ? GSL_EFAILED : GSL_SUCCESS;
}

/* One-sided differences. GSL makes them itself for its solvers without slopes, but asks for memory
 * then and goes on without a word where there is none. */
static int bridge_both_moments(const gsl_vector *at, void *user, gsl_vector *moments,
                               gsl_matrix *slopes) {
    int status = bridge_moments(at, user, moments);
    for (size_t j = 0; status == GSL_SUCCESS && j < 2; j++) {
        double place[2] = {gsl_vector_get(at, 0), gsl_vector_get(at, 1)}, there[2];
        double step = GSL_SQRT_DBL_EPSILON * (place[j] != 0 ? fabs(place[j]) : 1);
        place[j] += step;
        gsl_vector_view moved = gsl_vector_view_array(place, 2),
                        f = gsl_vector_view_array(there, 2);
        status = bridge_moments(&moved.vector, user, &f.vector);
        for (size_t i = 0; i < 2; i++)
            gsl_matrix_set(slopes, i, j, (there[i] - gsl_vector_get(moments, i)) / step);
    }
    return status;
}

static int bridge_slopes(const gsl_vector *at, void *user, gsl_matrix *slopes) {
    double here[2];
    gsl_vector_view moments = gsl_vector_view_array(here, 2);
    return bridge_both_moments(at, user, &moments.vector, slopes);
}

/* GSL's tools for two unknowns. */
typedef struct Tools {
    gsl_vector *origin;
    gsl_multimin_fdfminimizer *downhill;
    gsl_multiroot_fdfsolver *polish;
} Tools;

static void free_polish(gsl_multiroot_fdfsolver *solver) {
    gsl_vector_free(solver->x);
    gsl_vector_free(solver->f);
    gsl_matrix_free(solver->J);
    gsl_vector_free(solver->dx);
    free(solver->state);
    free(solver);
}

/* Step by step, because gsl_multiroot_fdfsolver_alloc (2.7) frees the state a second time where
 * there is no memory for all of it. */
static gsl_multiroot_fdfsolver *make_polish(void) {
    gsl_multiroot_fdfsolver *solver = calloc(1, sizeof *solver);
    if (solver == NULL)
        return NULL;
    solver->type = gsl_multiroot_fdfsolver_hybridsj;
    solver->x = gsl_vector_calloc(2);
    solver->f = gsl_vector_calloc(2);
    solver->J = gsl_matrix_calloc(2, 2);
    solver->dx = gsl_vector_calloc(2);
    solver->state = calloc(1, solver->type->size);
    if (solver->x != NULL && solver->f != NULL && solver->J != NULL && solver->dx != NULL &&
        solver->state != NULL && solver->type->alloc(solver->state, 2) == GSL_SUCCESS)
        return solver;
    free_polish(solver);
    return NULL;
}

static void tools_release(Tools *tools) {
    gsl_vector_free(tools->origin);
    if (tools->downhill != NULL)
        gsl_multimin_fdfminimizer_free(tools->downhill);
    if (tools->polish != NULL)
        gsl_multiroot_fdfsolver_free(tools->polish);
}

static bool tools_make(Tools *tools, BlyError *err) {
    tools->origin = gsl_vector_calloc(2);
    tools->downhill = gsl_multimin_fdfminimizer_alloc(gsl_multimin_fdfminimizer_vector_bfgs2, 2);
    tools->polish = make_polish();
    if (tools->origin != NULL && tools->downhill != NULL && tools->polish != NULL)
        return true;
    tools_release(tools);
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the search of a rest");
}

/* Downhill until a rest is about `near` (rad) away on the map, or steps no longer help; the chart's
 * pose ends there. */
static bool descend(Chart *chart, const Tools *tools, double near) {
    double first_step = fmin(0.1, 10 * near) / chart->drawn;
    gsl_multimin_function_fdf function = {bridge_energy, bridge_gradient, bridge_both, 2, chart};
    gsl_multimin_fdfminimizer *solver = tools->downhill;
    if (gsl_multimin_fdfminimizer_set(solver, &function, tools->origin, first_step, 0.1) !=
        GSL_SUCCESS)
        return false;
    for (int i = 0; i < DESCENT_MAX; i++) {
        if (gsl_multimin_fdfminimizer_iterate(solver) != GSL_SUCCESS ||
            gsl_multimin_test_gradient(solver->gradient, near * chart->steep) == GSL_SUCCESS)
            break;
    }
    return go_to(chart, solver->x);
}

/* Both moments to zero from close by. Kept only where it does not lead uphill or away. */
static bool polish(Chart *chart, const Tools *tools) {
    const double wanted = 1e-8 * chart->steep, enough = 1e-5 * chart->steep;
    gsl_multiroot_function_fdf function = {bridge_moments, bridge_slopes, bridge_both_moments, 2,
                                           chart};
    gsl_multiroot_fdfsolver *solver = tools->polish;
    BlyPose before = chart->pose;
    bool good = gsl_multiroot_fdfsolver_set(solver, &function, tools->origin) == GSL_SUCCESS;
    for (int i = 0; good && i < POLISH_MAX; i++) {
        if (gsl_multiroot_test_residual(solver->f, wanted) == GSL_SUCCESS ||
            gsl_multiroot_fdfsolver_iterate(solver) != GSL_SUCCESS)
            break;
    }
    good = good && go_to(chart, solver->x) && hypot(chart->by_a, chart->by_b) <= enough &&
           bly_vec_dot(chart->pose.up, before.up) > 0.999 &&
           chart->pose.energy <= before.energy + trim_energy_floor(chart->afloat);
    if (!good)
        chart_about(chart, chart->afloat, &before, chart->tolerance);
    return good;
}

static bool settle_down(Chart *chart, const Tools *tools, const BlyPose *start) {
    chart_about(chart, chart->afloat, start, 1e-3);
    if (!descend(chart, tools, 0.01))
        return false;
    BlyPose near = chart->pose;
    chart_about(chart, chart->afloat, &near, 1e-5);
    return polish(chart, tools) || descend(chart, tools, 1e-5);
}

/* `shown`: with the hull itself; else with a stand-in, for the next better one. */
static bool lean_with(const Tools *tools, const BlyAfloat *afloat, const BlyPose *start, bool shown,
                      BlyPose *out, BlyError *err) {
    Chart chart = {.afloat = afloat};
    BlyAfloat rough;
    BlyPose near;
    if (afloat_rough(afloat, &rough) && lean_with(tools, &rough, start, false, &near, NULL) &&
        refine_lean(afloat, &near, shown, out))
        return true;
    if (!afloat_settle(afloat, start->up, start->height, 1e-3, &near))
        return bly_fail(err, BLY_E_INTERNAL, NULL, "the draft cannot be worked out");
    if (!settle_down(&chart, tools, &near))
        return bly_fail(err, BLY_E_INTERNAL, NULL, "the lean cannot be worked out");
    *out = chart.pose;
    return true;
}

bool lean_from(const BlyAfloat *afloat, const BlyPose *start, BlyPose *out, BlyError *err) {
    Tools tools;
    if (!tools_make(&tools, err))
        return false;
    bool good = lean_with(&tools, afloat, start, true, out, err);
    tools_release(&tools);
    return good;
}

typedef struct Lowest {
    const BlyAfloat *afloat;
    BlyPose pose;
    bool found;
} Lowest;

/* Alike within rounding the first one stays: it leans least. */
static bool offer(Lowest *lowest, const BlyPose *pose) {
    if (lowest->found && !(pose->energy < lowest->pose.energy - trim_energy_floor(lowest->afloat)))
        return false;
    lowest->pose = *pose;
    lowest->found = true;
    return true;
}

/* Settles along one trim at heels 22.5, 67.5 .. deg, beginning from a pose: off the symmetric
 * heels, where the slope is zero without a rest being there. */
static bool climb(Lowest *lowest, double trim, const BlyPose *from, BlyError *err) {
    BlyPose pose = *from;
    for (int i = 0; i < CLIMB_STEPS; i++) {
        BlyVec3 up = bly_vec_up(trim, (i + 0.5) * M_PI / CLIMB_STEPS);
        if (!afloat_settle(lowest->afloat, up, afloat_follow(&pose, up), coarse, &pose))
            return bly_fail(err, BLY_E_INTERNAL, NULL, "the draft cannot be worked out");
        offer(lowest, &pose);
    }
    return true;
}

static bool is_new(const double *trim, size_t count, double x) {
    const double apart = 10 * M_PI / 180;
    for (size_t i = 0; i < count; i++) {
        if (fabs(trim[i] - x) < apart)
            return false;
    }
    return true;
}

/* A trim that is stable in roll is a rest, unless the lure is heavier to one side: then the rest is
 * downhill from there. */
static bool offer_trim(Lowest *rest, const BlyPose *trim, BlyError *err) {
    BlyPose down = *trim;
    if (!(afloat_roll_stiffness(rest->afloat, trim) > 0))
        return true;
    if (fabs(trim->pull.y) > trim_moment_floor(rest->afloat) &&
        !lean_from(rest->afloat, trim, &down, err))
        return false;
    (void)offer(rest, &down);
    return true;
}

bool lean_lowest(const BlyAfloat *afloat, const BlyTrims *trims, BlyPose *out, BlyError *err) {
    const double steep = 50 * M_PI / 180;
    BlyAfloat quick = *afloat;
    while (afloat_rough(&quick, &quick))
        continue;
    Lowest start = {&quick, {.height = 0}, false};
    Lowest rest = {afloat, {.height = 0}, false};
    BlyPose down;
    const BlyPose *first = &trims->at[0].pose;
    double trim[BLY_CIRCLE_MAX + 2];
    size_t count = 0;
    for (size_t i = 0; i < trims->count; i++) {
        double x = asin(fmax(-1, fmin(1, trims->at[i].pose.up.x)));
        if (is_new(trim, count, x))
            trim[count++] = x;
    }
    trim[count++] = steep;
    trim[count++] = -steep;
    for (size_t i = 0; i < count; i++) {
        if (!climb(&start, trim[i], first, err))
            return false;
    }
    for (size_t i = 0; i < trims->count; i++) {
        if (!offer_trim(&rest, &trims->at[i].pose, err))
            return false;
    }
    if (!lean_from(afloat, &start.pose, &down, err))
        return false;
    offer(&rest, &down);
    if (quick.hull == afloat->hull || !refine_lean(afloat, &rest.pose, true, out))
        *out = rest.pose;
    return true;
}
