/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stand-in: how the water holds a drifting lure, tabulated over angle and speed, and the rest of a
 * sample found in the table.
 *
 * All drag coefficients depend on v / nu alone, so with w = v / nu the balance of forces reads
 *   q = |N| g / (f rho nu^2) = 1/2 w^2 A(t, w)
 * and the place of the drag and the couple over |N| depend on (t, q) alone: one table for all
 * waters, weights and drag factors f. Its period is half a turn. Held to bly_rest in
 * tests/spread/test_quick.c (rest_in_other_waters). */
#include "spread/quick.h"

#include <gsl/gsl_interp.h>
#include <gsl/gsl_math.h>
#include <stdlib.h>

static const double least_weight = 1e-13;
static const double slowest = 1e-5, fastest = 4.0; /* m/s, what is looked at */
/* Net weights that the table spans, kg, in water as it is made with. */
static const double lightest = 1e-8, heaviest = 0.2;

enum { SPEEDS = 18 };

typedef struct Column {
    double log_q[SPEEDS], value[4][SPEEDS]; /* ln w, x, z, turn */
} Column;

static bool look(const BlyLure *lure, const BlyWater *water, double t, Column *out, BlyError *err) {
    double speeds[SPEEDS], nu = water->viscosity / water->density;
    BlyHold hold[SPEEDS];
    for (int i = 0; i < SPEEDS; i++)
        speeds[i] = slowest * pow(fastest / slowest, (double)i / (SPEEDS - 1));
    if (!bly_rest_hold(lure, water, t, speeds, SPEEDS, hold, err))
        return false;
    for (int i = 0; i < SPEEDS; i++) {
        double w = speeds[i] / nu;
        out->log_q[i] = log(0.5 * w * w * hold[i].area);
        out->value[0][i] = log(w);
        out->value[1][i] = hold[i].centre.x;
        out->value[2][i] = hold[i].centre.z;
        out->value[3][i] = hold[i].turn;
        if (i > 0 && !(out->log_q[i] > out->log_q[i - 1]))
            out->log_q[i] = out->log_q[i - 1] + 1e-9; /* drag crisis: take the lowest speed */
    }
    return true;
}

/* From equal steps in speed to equal steps in load. */
static bool fill(const Column *column, const QuickGrip *grip, GripCell *cells, BlyError *err) {
    gsl_interp *interp = gsl_interp_alloc(gsl_interp_steffen, SPEEDS);
    bool good = interp != NULL;
    double found[4];
    for (int k = 0; good && k < 4; k++) {
        good = gsl_interp_init(interp, column->log_q, column->value[k], SPEEDS) == 0;
        for (int j = 0; good && j < GRIP_LOADS; j++) {
            double at = grip->log_q_low + j * grip->log_q_step;
            at = fmin(fmax(at, column->log_q[0]), column->log_q[SPEEDS - 1]);
            good = gsl_interp_eval_e(interp, column->log_q, column->value[k], at, NULL,
                                     &found[k]) == 0;
            double *cell[4] = {&cells[j].log_w, &cells[j].x, &cells[j].z, &cells[j].turn};
            *cell[k] = found[k];
        }
    }
    gsl_interp_free(interp);
    return good || bly_fail(err, BLY_E_INTERNAL, NULL, "no table of the drag");
}

bool quick_grip_make(const BlyLure *lure, const BlyWater *water, QuickGrip *out, BlyError *err) {
    BlyBlank blank = *lure->blank; /* borrowed, with factors of 1 */
    blank.facts.drag_factor.value = blank.facts.munk_factor.value = 1.0;
    BlyLure plain = {.blank = &blank, .items = lure->items, .count = lure->count};
    double nu = water->viscosity / water->density;
    double q_per_kg = BLY_GRAVITY / (water->density * nu * nu);
    out->log_q_low = log(lightest * q_per_kg);
    out->log_q_step = log(heaviest / lightest) / (GRIP_LOADS - 1);
    for (int i = 0; i < 2 * GRIP_ANGLES; i++) {
        double t = M_PI * i / GRIP_ANGLES;
        out->cosine[i] = cos(t);
        out->sine[i] = sin(t);
    }
    for (int i = 0; i < GRIP_ANGLES; i++) {
        Column column;
        if (!look(&plain, water, M_PI * i / GRIP_ANGLES, &column, err) ||
            !fill(&column, out, out->cell[i], err))
            return false;
    }
    return true;
}

/* ---- a sample ---- */

GripLoad quick_grip_added(const GripLoad *load, const Moments *more) {
    WeightInWater weight = moments_weight(more, load->density);
    GripLoad sum = *load;
    sum.net_weight += weight.net;
    sum.wx += weight.x;
    sum.wz += weight.z;
    return sum;
}

typedef struct Place { /* between two loads of the table */
    int column;
    double share, beyond; /* beyond: how far ln q lies off the table */
} Place;

static Place place_of(const QuickGrip *grip, double log_q) {
    double at = (log_q - grip->log_q_low) / grip->log_q_step;
    double inside = fmin(fmax(at, 0.0), GRIP_LOADS - 1.000001);
    int column = (int)inside;
    return (Place){column, inside - column, (at - inside) * grip->log_q_step};
}

static double mix(double a, double b, double share) {
    return a + share * (b - a);
}

static int folded(int node) {
    int rest = node % GRIP_ANGLES;
    return rest < 0 ? rest + GRIP_ANGLES : rest;
}

/* F at a node of the circle, kg m; docs/rest.md. */
static double moment(const QuickGrip *grip, const GripLoad *load, const Place *place, int node) {
    const GripCell *cell = &grip->cell[folded(node)][place->column];
    int circle = node < 0 ? node + 2 * GRIP_ANGLES : node % (2 * GRIP_ANGLES);
    double n = load->net_weight;
    double x = load->wx - n * mix(cell[0].x, cell[1].x, place->share);
    double z = load->wz - n * mix(cell[0].z, cell[1].z, place->share);
    double turn = mix(cell[0].turn, cell[1].turn, place->share);
    WeightInWater about_drag = {.x = x, .z = z};
    return moments_turning(about_drag, grip->cosine[circle], grip->sine[circle], 0.0,
                           fabs(n) * load->munk / load->drag * turn);
}

/* Let go level it turns the way F says until F changes its sign. Between two nodes F is taken as
 * straight: it is a sine about its own zero, so that is good to 1e-5 rad. */
static double settle(const QuickGrip *grip, const GripLoad *load, const Place *place) {
    double here = moment(grip, load, place, 0);
    int way = here < 0.0 ? 1 : -1;
    for (int step = 1; step <= 2 * GRIP_ANGLES; step++) {
        double next = moment(grip, load, place, way * step);
        if (here == 0.0 && next * way > 0.0)
            return M_PI / GRIP_ANGLES * way * (step - 1);
        if (here * way < 0.0 && next * way >= 0.0) {
            double t = M_PI / GRIP_ANGLES * way * (step - next / (next - here));
            return remainder(t, 2.0 * M_PI);
        }
        here = next;
    }
    return NAN;
}

typedef struct Corner { /* the four cells about an angle and a load */
    const GripCell *low, *high;
    double share;
} Corner;

static Corner corner_of(const QuickGrip *grip, double t, const Place *place) {
    double at = (isnan(t) ? 0.0 : t) * GRIP_ANGLES / M_PI, node = floor(at);
    return (Corner){&grip->cell[folded((int)node)][place->column],
                    &grip->cell[folded((int)node + 1)][place->column], at - node};
}

static double log_w_at(const Corner *corner, const Place *place) {
    double a = mix(corner->low[0].log_w, corner->low[1].log_w, place->share);
    double b = mix(corner->high[0].log_w, corner->high[1].log_w, place->share);
    double rise = place->beyond < 0.0 ? 1.0 : 0.5; /* Stokes below the table, squares above */
    return mix(a, b, corner->share) + rise * place->beyond;
}

GripRest quick_grip_rest(const QuickGrip *grip, const GripLoad *load) {
    double n = fabs(load->net_weight);
    double log_q = log(fmax(n, least_weight) * BLY_GRAVITY /
                       (load->drag * load->density * load->nu * load->nu));
    Place place = place_of(grip, log_q);
    GripRest rest = {.nose_down = settle(grip, load, &place)};
    Corner corner = corner_of(grip, rest.nose_down, &place);
    double a = mix(corner.low[0].z, corner.low[1].z, place.share);
    double b = mix(corner.high[0].z, corner.high[1].z, place.share);
    rest.drag_z = mix(a, b, corner.share);
    if (n >= least_weight)
        rest.drift = copysign(load->nu * exp(log_w_at(&corner, &place)), load->net_weight);
    return rest;
}

/* ln w rises with ln q; the table's ends are carried on as in log_w_at. */
double quick_grip_weight(const QuickGrip *grip, const GripLoad *load, double nose_down,
                         double drift, GripCell *hold) {
    double log_w = log(fmax(fabs(drift), 1e-9) / load->nu);
    Place place = {.column = 0};
    Corner corner = corner_of(grip, nose_down, &place);
    double low = mix(corner.low[0].log_w, corner.high[0].log_w, corner.share), high = low;
    for (place.column = 0; place.column < GRIP_LOADS - 1; place.column++) {
        int j = place.column + 1;
        high = mix(corner.low[j].log_w, corner.high[j].log_w, corner.share);
        if (log_w < high || j == GRIP_LOADS - 1)
            break;
        low = high;
    }
    place.share = fmin(fmax((log_w - low) / (high - low), 0.0), 1.0);
    double beyond = log_w < low ? log_w - low : log_w > high ? 2.0 * (log_w - high) : 0.0;
    double log_q = grip->log_q_low + (place.column + place.share) * grip->log_q_step + beyond;
    corner = corner_of(grip, nose_down, &place);
    double *to[3] = {&hold->x, &hold->z, &hold->turn};
    const double part[3][4] = {
        {corner.low[0].x, corner.low[1].x, corner.high[0].x, corner.high[1].x},
        {corner.low[0].z, corner.low[1].z, corner.high[0].z, corner.high[1].z},
        {corner.low[0].turn, corner.low[1].turn, corner.high[0].turn, corner.high[1].turn}};
    for (int k = 0; k < 3; k++)
        *to[k] = mix(mix(part[k][0], part[k][1], place.share),
                     mix(part[k][2], part[k][3], place.share), corner.share);
    hold->log_w = log_w;
    double net = exp(log_q) * load->drag * load->density * load->nu * load->nu / BLY_GRAVITY;
    return drift == 0.0 ? 0.0 : copysign(net, drift);
}
