/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The linear relaxation: fractions of columns, solved by GLPK for its prices.
 *
 * A column with a delta enters twice, unfiled and filed to the end: every thickness between is a
 * mixture of the two, so the relaxation is as tight as with a variable per plate and needs no row
 * for it. Columns are brought in as their prices ask for them; a handful out of thousands is
 * enough. Hard rows give way here at a steep price, so that the programme always has a solution. */
#include "programme/internal.h"

#include <glpk.h>
#include <math.h>
#include <stdlib.h>

enum { ROWS_MAX = PROG_GROUPS_MAX + PROG_SIDES_MAX + PROG_TARGETS_MAX };
enum { BRING_IN = 12, ROUNDS_MAX = 200 };
#define HARD_PRICE 1e4

typedef struct Relax {
    const ProgModel *model;
    ProgPrices *prices; /* of the solution at hand */
    ProgPrices *all;
    size_t count;
    ProgStats *stats;
    unsigned char *inside; /* per column: 1 unfiled is in, 2 filed is in */
    size_t first[PROG_GROUPS_MAX];
    glp_prob *lp;
} Relax;

static size_t side_row(const Relax *relax, size_t s) {
    return relax->model->in->group_count + 1 + s;
}

static size_t target_row(const Relax *relax, size_t t) {
    return side_row(relax, relax->model->side_count) + t;
}

static void add_priced(glp_prob *lp, double price, int count, const int *rows,
                       const double *values) {
    int column = glp_add_cols(lp, 1);
    glp_set_col_bnds(lp, column, GLP_LO, 0, 0);
    glp_set_obj_coef(lp, column, price);
    glp_set_mat_col(lp, column, count, rows, values);
}

static void add_class(Relax *relax, size_t elastic) {
    const ProgModel *model = relax->model;
    int rows[ROWS_MAX + 1], n = 0;
    double values[ROWS_MAX + 1];
    for (size_t s = 0; s < model->side_count; s++) {
        if (model->side[s].elastic != elastic)
            continue;
        rows[++n] = (int)side_row(relax, s);
        values[n] = -model->side[s].unit;
    }
    add_priced(relax->lp, model->in->class_weight[elastic], n, rows, values);
}

static void add_frame(Relax *relax) {
    const ProgModel *model = relax->model;
    const Programme *in = model->in;
    glp_prob *lp = relax->lp;
    glp_add_rows(lp, (int)(in->group_count + model->side_count + in->target_count));
    for (size_t g = 0; g < in->group_count; g++)
        glp_set_row_bnds(lp, (int)g + 1, GLP_FX, 1, 1);
    for (size_t s = 0; s < model->side_count; s++) {
        int row = (int)side_row(relax, s), rows[2] = {0, row};
        double give[2] = {0, -1};
        glp_set_row_bnds(lp, row, GLP_UP, 0, -model->side[s].constant);
        if (model->side[s].elastic == PROG_NONE)
            add_priced(lp, HARD_PRICE, 1, rows, give);
    }
    for (size_t c = 0; c < in->class_count; c++)
        add_class(relax, c);
    for (size_t t = 0; t < in->target_count; t++) {
        const ProgTarget *target = &in->targets[t];
        int row = (int)target_row(relax, t), rows[2] = {0, row};
        double mid = target->centre - target->base, take[2] = {0, -target->unit};
        glp_set_row_bnds(lp, row, target->dead > 0 ? GLP_DB : GLP_FX, mid - target->dead,
                         mid + target->dead);
        add_priced(lp, target->weight, 1, rows, take);
        take[1] = target->unit;
        add_priced(lp, target->weight, 1, rows, take);
    }
}

static void put(double value, size_t row, int *n, int *rows, double *values) {
    if (value <= 0 && value >= 0)
        return;
    rows[++*n] = (int)row;
    values[*n] = value;
}

static double feature_at(const ProgColumn *column, size_t k, double delta) {
    return delta > 0 ? column->f[k] - delta * column->g[k] : column->f[k];
}

static void bring_in(Relax *relax, size_t g, size_t c, bool filed) {
    const ProgModel *model = relax->model;
    const Programme *in = model->in;
    unsigned char *inside = &relax->inside[relax->first[g] + c];
    if (*inside & (filed ? 2 : 1))
        return;
    *inside = (unsigned char)(*inside | (filed ? 2 : 1));
    const ProgColumn *column = &in->groups[g].columns[c];
    double delta = filed ? column->range : 0;
    int rows[ROWS_MAX + 1], n = 0;
    double values[ROWS_MAX + 1];
    put(1.0, g + 1, &n, rows, values);
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        double value = side->sign * feature_at(column, side->feature, delta);
        if (side->margin != PROG_NONE)
            value += feature_at(column, side->margin, delta);
        put(value, side_row(relax, s), &n, rows, values);
    }
    for (size_t t = 0; t < in->target_count; t++)
        put(feature_at(column, in->targets[t].feature, delta), target_row(relax, t), &n, rows,
            values);
    add_priced(relax->lp, column->cost + delta * column->cost_slope, n, rows, values);
    relax->stats->lp_columns++;
}

/* The cheapest column and the ends of every target's feature: a first handful. */
static void bring_in_first(Relax *relax, size_t g) {
    const Programme *in = relax->model->in;
    const ProgGroup *group = &in->groups[g];
    size_t cheapest = 0;
    for (size_t c = 1; c < group->count; c++) {
        if (group->columns[c].cost < group->columns[cheapest].cost)
            cheapest = c;
    }
    bring_in(relax, g, cheapest, false);
    for (size_t t = 0; t < in->target_count; t++) {
        size_t k = in->targets[t].feature, least = 0, most = 0;
        for (size_t c = 1; c < group->count; c++) {
            least = group->columns[c].f[k] < group->columns[least].f[k] ? c : least;
            most = group->columns[c].f[k] > group->columns[most].f[k] ? c : most;
        }
        bring_in(relax, g, least, false);
        bring_in(relax, g, most, false);
    }
}

typedef struct Bid {
    double price; /* cost at the current prices, less than the group's own */
    size_t column;
    bool filed;
} Bid;

/* Keeps the lowest bids, lowest first. */
static void keep_bid(Bid *bids, size_t *count, Bid bid) {
    if (*count == BRING_IN && bids[BRING_IN - 1].price <= bid.price)
        return;
    size_t at = *count < BRING_IN ? (*count)++ : BRING_IN - 1;
    for (; at > 0 && bids[at - 1].price > bid.price; at--)
        bids[at] = bids[at - 1];
    bids[at] = bid;
}

static bool bring_in_bids(Relax *relax, const ProgCut *cut, size_t g) {
    const ProgGroup *group = &relax->model->in->groups[g];
    double own = glp_get_row_dual(relax->lp, (int)g + 1);
    Bid bids[BRING_IN];
    size_t count = 0;
    for (size_t c = 0; c < group->count; c++) {
        double value, slope;
        prog_cut_at(relax->model, cut, &group->columns[c], &value, &slope);
        unsigned char inside = relax->inside[relax->first[g] + c];
        if (value < own - 1e-8 && !(inside & 1))
            keep_bid(bids, &count, (Bid){value - own, c, false});
        value += slope * group->columns[c].range;
        if (group->columns[c].range > 0 && value < own - 1e-8 && !(inside & 2))
            keep_bid(bids, &count, (Bid){value - own, c, true});
    }
    for (size_t i = 0; i < count; i++)
        bring_in(relax, g, bids[i].column, bids[i].filed);
    return count > 0;
}

static void read_prices(Relax *relax) {
    const ProgModel *model = relax->model;
    for (size_t s = 0; s < model->side_count; s++)
        relax->prices->side[s] = -glp_get_row_dual(relax->lp, (int)side_row(relax, s));
    for (size_t t = 0; t < model->in->target_count; t++)
        relax->prices->target[t] = -glp_get_row_dual(relax->lp, (int)target_row(relax, t));
}

static bool simplex(Relax *relax) {
    glp_smcp parameters;
    glp_init_smcp(&parameters);
    parameters.msg_lev = GLP_MSG_OFF;
    parameters.it_lim = 20000;
    int code = glp_simplex(relax->lp, &parameters);
    if (prog_solver_status(code, glp_get_status(relax->lp)) == PROG_SOLVER_OPTIMAL)
        return true;
    glp_std_basis(relax->lp);
    code = glp_simplex(relax->lp, &parameters);
    return prog_solver_status(code, glp_get_status(relax->lp)) == PROG_SOLVER_OPTIMAL;
}

/* Brings in columns until none is worth more than what is in; false when GLPK fails. */
static bool settle(Relax *relax) {
    for (int round = 0; round < ROUNDS_MAX; round++) {
        if (!simplex(relax))
            return false;
        read_prices(relax);
        ProgCut cut;
        prog_cut_from_prices(relax->model, relax->prices, &cut);
        bool more = false;
        for (size_t g = 0; g < relax->model->in->group_count; g++)
            more = bring_in_bids(relax, &cut, g) || more;
        if (!more)
            break;
    }
    return true;
}

/* A column without cost or bounds that moves the sums as the plate's filing does: at its best
 * prices, filing costs nothing and saves nothing. */
static void free_filing(Relax *relax, const ProgColumn *plate) {
    const ProgModel *model = relax->model;
    int rows[ROWS_MAX + 1], n = 0;
    double values[ROWS_MAX + 1];
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        double lost = side->sign * plate->g[side->feature];
        if (side->margin != PROG_NONE)
            lost += plate->g[side->margin];
        put(-lost, side_row(relax, s), &n, rows, values);
    }
    for (size_t t = 0; t < model->in->target_count; t++)
        put(-plate->g[model->in->targets[t].feature], target_row(relax, t), &n, rows, values);
    int column = glp_add_cols(relax->lp, 1);
    glp_set_col_bnds(relax->lp, column, GLP_FR, 0, 0);
    glp_set_mat_col(relax->lp, column, n, rows, values);
}

static void solve(void *context) {
    Relax *relax = context;
    const Programme *in = relax->model->in;
    relax->lp = glp_create_prob();
    add_frame(relax);
    for (size_t g = 0; g < in->group_count; g++)
        bring_in_first(relax, g);
    relax->prices = &relax->all[0];
    relax->count = 1;
    bool good = settle(relax);
    ProgCut cut;
    prog_cut_from_prices(relax->model, relax->prices, &cut);
    for (size_t g = 0; good && relax->model->any_delta && g < in->group_count; g++) {
        const ProgColumn *plate = prog_likely_plate(relax->model, &cut, g);
        if (plate == NULL || relax->count == PROG_PRICES_MAX)
            continue;
        relax->prices = &relax->all[relax->count];
        *relax->prices = relax->all[0];
        free_filing(relax, plate);
        good = settle(relax);
        relax->count += good;
    }
    relax->stats->lp_iterations = (size_t)glp_get_it_cnt(relax->lp);
    glp_delete_prob(relax->lp);
}

bool prog_relax(const ProgModel *model, ProgGuard *guard, ProgPrices *prices, size_t *count,
                ProgStats *stats, BlyError *err) {
    prices[0] = (ProgPrices){0};
    Relax relax = {.model = model, .prices = prices, .all = prices, .count = 1, .stats = stats};
    size_t total = 0;
    for (size_t g = 0; g < model->in->group_count; g++) {
        relax.first[g] = total;
        total += model->in->groups[g].count;
    }
    relax.inside = calloc(total, 1);
    if (relax.inside == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu columns", total);
    /* A failure leaves the prices of the last round that was solved. */
    (void)prog_guard_run(guard, solve, &relax, NULL);
    *count = relax.count;
    free(relax.inside);
    return true;
}
