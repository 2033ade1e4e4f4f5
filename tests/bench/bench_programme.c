/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The choice programme's time, as a ratio to one plain linear programme: the relaxation with a
 * variable per part, GLPK's primal simplex, unscaled.
 *
 *   make .build/opt/tests/bench/bench_programme
 *   .build/opt/tests/bench/bench_programme [instances] [n ...]
 *
 * Prints medians and worst over seeded instances (tests/support/tackle.h). Times are CPU seconds of
 * this process; "all" is columns, relaxation and search together. With BENCH_ONLY=best (unlike,
 * hopeless, bare) only that question is asked, with BENCH_VERBOSE each instance has its line, and
 * with BENCH_MPS=PREFIX the plain programme with its whole numbers is written to
 * PREFIX-N-SEED.mps, for other solvers. With BENCH_MEMORY it solves without the plain programme and
 * prints n, columns and the peak memory of the process in kB: one size a process, please. */
#include "bench/timing.h"
#include "support/tackle.h"

#include <glpk.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

enum { MOST = 64 };

/* ---- the plain linear programme ---- */

typedef struct Plain {
    const Tackle *tackle;
    glp_prob *lp;
    int *ia, *ja;
    double *ar;
    int count, room, rows, columns;
} Plain;

static void entry(Plain *plain, int row, int column, double value) {
    if (plain->count + 1 >= plain->room) {
        plain->room = plain->room * 2 + 1024;
        size_t room = (size_t)plain->room;
        plain->ia = realloc(plain->ia, room * sizeof *plain->ia);
        plain->ja = realloc(plain->ja, room * sizeof *plain->ja);
        plain->ar = realloc(plain->ar, room * sizeof *plain->ar);
        if (plain->ia == NULL || plain->ja == NULL || plain->ar == NULL)
            abort();
    }
    if (fabs(value) < 1e-300)
        return;
    plain->ia[++plain->count] = row;
    plain->ja[plain->count] = column;
    plain->ar[plain->count] = value;
}

static int new_row(Plain *plain, int type, double lo, double hi) {
    int row = glp_add_rows(plain->lp, 1);
    glp_set_row_bnds(plain->lp, row, type, lo, hi);
    return row;
}

/* Rows 1 up: per row of the programme its sides, then the targets. */
static void add_features(Plain *plain, int column, const double *f, double scale) {
    const Programme *p = &plain->tackle->programme;
    int row = 0;
    for (size_t r = 0; r < p->row_count; r++) {
        double margin = p->rows[r].margin != PROG_NONE ? f[p->rows[r].margin] : 0;
        if (!isinf(p->rows[r].hi))
            entry(plain, ++row, column, scale * (f[p->rows[r].feature] + margin));
        if (!isinf(p->rows[r].lo))
            entry(plain, ++row, column, scale * (f[p->rows[r].feature] - margin));
    }
    for (size_t t = 0; t < p->target_count; t++)
        entry(plain, ++row, column, scale * f[p->targets[t].feature]);
}

static int new_column(Plain *plain, double hi, double cost) {
    int column = glp_add_cols(plain->lp, 1);
    glp_set_col_bnds(plain->lp, column, isinf(hi) ? GLP_LO : GLP_DB, 0, hi);
    glp_set_obj_coef(plain->lp, column, cost);
    return column;
}

static void add_bands(Plain *plain) {
    const Programme *p = &plain->tackle->programme;
    int v[3];
    for (int c = 0; c < 3; c++)
        v[c] = new_column(plain, INFINITY, p->class_weight[c]);
    for (size_t r = 0; r < p->row_count; r++) {
        const ProgRow *row = &p->rows[r];
        if (!isinf(row->hi))
            entry(plain, new_row(plain, GLP_UP, 0, row->hi - row->base), v[row->elastic],
                  -row->unit);
        if (!isinf(row->lo))
            entry(plain, new_row(plain, GLP_LO, row->lo - row->base, 0), v[row->elastic],
                  row->unit);
    }
    for (size_t t = 0; t < p->target_count; t++) {
        const ProgTarget *target = &p->targets[t];
        double mid = target->centre - target->base;
        int row = new_row(plain, target->dead > 0 ? GLP_DB : GLP_FX, mid - target->dead,
                          mid + target->dead);
        entry(plain, row, new_column(plain, INFINITY, target->weight), -target->unit);
        entry(plain, row, new_column(plain, INFINITY, target->weight), target->unit);
    }
}

/* Columns of one class at one place, with their "choose one" row; returns the first column. */
static int add_class(Plain *plain, const TacklePart *parts, double x, double z) {
    int first = 0, one = new_row(plain, GLP_FX, 1, 1);
    for (size_t i = 0; i < plain->tackle->n; i++) {
        double f[TACKLE_FEATURES];
        int column = new_column(plain, 1, 0.05 * parts[i].price);
        first = first == 0 ? column : first;
        entry(plain, one, column, 1);
        tackle_features(parts[i].mass_g, parts[i].volume_cm3, x, z, TACKLE_WIRE_TOLERANCE, f);
        add_features(plain, column, f, 1);
    }
    return first;
}

/* For each wire q: what is narrower than q excludes a wire of q and more. */
static void add_threads(Plain *plain, const TacklePart *wires, int first_wire,
                        const TacklePart *bores, int first_bore) {
    for (int step = 0; step < 14; step++) {
        double q = 0.4 + 0.05 * step;
        bool any_wire = false, any_bore = false;
        for (size_t i = 0; i < plain->tackle->n; i++) {
            any_wire = any_wire || wires[i].wire_mm > q - 1e-9;
            any_bore = any_bore || bores[i].bore_mm < q - 1e-9;
        }
        if (!any_wire || !any_bore)
            continue;
        int row = new_row(plain, GLP_UP, 0, 1);
        for (size_t i = 0; i < plain->tackle->n; i++) {
            if (wires[i].wire_mm > q - 1e-9)
                entry(plain, row, first_wire + (int)i, 1);
            if (bores[i].bore_mm < q - 1e-9)
                entry(plain, row, first_bore + (int)i, 1);
        }
    }
}

/* Rings of size s exclude hooks below s - 1, and hooks above s + 1. */
static void add_sizes(Plain *plain, int first_ring, int first_hook) {
    const Tackle *tackle = plain->tackle;
    for (int size = 0; size < 6; size++) {
        int below = new_row(plain, GLP_UP, 0, 1), above = new_row(plain, GLP_UP, 0, 1);
        for (size_t i = 0; i < tackle->n; i++) {
            if (tackle->rings[i].size >= size)
                entry(plain, below, first_ring + (int)i, 1);
            if (tackle->hooks[i].size < size - 1)
                entry(plain, below, first_hook + (int)i, 1);
            if (tackle->rings[i].size <= size)
                entry(plain, above, first_ring + (int)i, 1);
            if (tackle->hooks[i].size > size + 1)
                entry(plain, above, first_hook + (int)i, 1);
        }
    }
}

static void add_hangers(Plain *plain) {
    const Tackle *tackle = plain->tackle;
    int eye = add_class(plain, tackle->eyes, TACKLE_TIE_X, TACKLE_TIE_Z);
    int snap = add_class(plain, tackle->snaps, TACKLE_TIE_X, TACKLE_TIE_Z);
    add_threads(plain, tackle->snaps, snap, tackle->eyes, eye);
    for (size_t h = 0; h < TACKLE_HANGERS; h++) {
        double x = tackle->hanger_x[h], f[TACKLE_FEATURES];
        eye = add_class(plain, tackle->eyes, x, TACKLE_HANGER_Z);
        int ring = add_class(plain, tackle->rings, x, TACKLE_HANGER_Z);
        int hook = add_class(plain, tackle->hooks, x, TACKLE_HANGER_Z);
        add_threads(plain, tackle->rings, ring, tackle->eyes, eye);
        add_threads(plain, tackle->rings, ring, tackle->hooks, hook);
        add_sizes(plain, ring, hook);
        tackle_features(TACKLE_WRAP_G, TACKLE_WRAP_G / 10.5, x, TACKLE_HANGER_Z, 0.008, f);
        add_features(plain, new_column(plain, TACKLE_WRAPS, 0.02), f, 1);
    }
}

static void add_lip_and_strips(Plain *plain) {
    const Tackle *tackle = plain->tackle;
    int lip = add_class(plain, tackle->plates, TACKLE_LIP_X, TACKLE_LIP_Z), row[240] = {0};
    for (size_t i = 0; i < tackle->n; i++) {
        const TacklePart *plate = &tackle->plates[i];
        int kind = plate->footprint * 6 + plate->material;
        if (row[kind] == 0) {
            double f[TACKLE_FEATURES], volume = plate->area_mm2 * 1e-3;
            row[kind] = new_row(plain, GLP_UP, 0, 0);
            int delta = new_column(plain, INFINITY, 0);
            entry(plain, row[kind], delta, 1);
            tackle_features(volume * plate->density, volume, TACKLE_LIP_X, TACKLE_LIP_Z, 0.01, f);
            add_features(plain, delta, f, -1);
        }
        entry(plain, row[kind], lip + (int)i, -plate->range_mm);
    }
    for (size_t s = 0; s < TACKLE_STRIPS; s++) {
        int one = new_row(plain, GLP_FX, 1, 1);
        for (size_t mm = 0; mm <= TACKLE_STRIP_MM; mm++) {
            double f[TACKLE_FEATURES];
            int column = new_column(plain, 1, mm > 0 ? 0.08 + 0.0005 * (double)mm : 0);
            entry(plain, one, column, 1);
            tackle_strip(tackle, s, mm, f);
            add_features(plain, column, f, 1);
        }
    }
}

/* Columns with an upper bound are parts, lengths and wraps: whole numbers. */
static void write_mps(const Plain *plain, size_t seed) {
    const char *prefix = getenv("BENCH_MPS");
    if (prefix == NULL)
        return;
    char path[512];
    (void)snprintf(path, sizeof path, "%s-%zu-%zu.mps", prefix, plain->tackle->n, seed);
    for (int j = 1; j <= glp_get_num_cols(plain->lp); j++)
        glp_set_col_kind(plain->lp, j, glp_get_col_type(plain->lp, j) == GLP_DB ? GLP_IV : GLP_CV);
    glp_write_mps(plain->lp, GLP_MPS_FILE, NULL, path);
    for (int j = 1; j <= glp_get_num_cols(plain->lp); j++)
        glp_set_col_kind(plain->lp, j, GLP_CV);
}

/* Seconds of one glp_simplex call; the programme's own making is not counted. */
static double plain_lp_secs(const Tackle *tackle, size_t seed, double *objective) {
    Plain plain = {.tackle = tackle};
    glp_term_out(GLP_OFF);
    plain.lp = glp_create_prob();
    add_bands(&plain);
    add_hangers(&plain);
    add_lip_and_strips(&plain);
    glp_load_matrix(plain.lp, plain.count, plain.ia, plain.ja, plain.ar);
    glp_smcp parameters;
    glp_init_smcp(&parameters);
    parameters.msg_lev = GLP_MSG_OFF;
    write_mps(&plain, seed);
    double start = cpu_secs();
    if (glp_simplex(plain.lp, &parameters) != 0 || glp_get_status(plain.lp) != GLP_OPT)
        fprintf(stderr, "the plain programme was not solved\n");
    double secs = cpu_secs() - start;
    *objective = glp_get_obj_val(plain.lp);
    glp_delete_prob(plain.lp);
    glp_free_env();
    free(plain.ia);
    free(plain.ja);
    free(plain.ar);
    return secs;
}

/* ---- measuring ---- */

static double worst(const double *x, size_t n) {
    double most = 0;
    for (size_t i = 0; i < n; i++)
        most = fmax(most, x[i]);
    return most;
}

typedef struct Times {
    double plain[MOST], lp[MOST], search[MOST], all[MOST], ratio[MOST], nodes[MOST];
    size_t columns, unproven, in_bands, treed;
} Times;

static void measure(Times *times, size_t i, size_t n, const ProgOptions *options,
                    const TackleOptions *tackle_options, bool verbose) {
    Tackle tackle;
    tackle_make(&tackle, n, i + 1, tackle_options);
    double start = cpu_secs();
    tackle_build(&tackle);
    ProgResult result;
    BlyError err = {0};
    if (!programme_solve(&tackle.programme, options, &result, &err)) {
        fprintf(stderr, "%s\n", err.text);
        exit(1);
    }
    times->all[i] = cpu_secs() - start;
    double relaxed = 0, plain[5];
    for (size_t k = 0; k < 5; k++)
        plain[k] = plain_lp_secs(&tackle, i + 1, &relaxed);
    times->plain[i] = median(plain, n > 500 ? 1 : 5);
    times->lp[i] = result.stats.lp_secs;
    times->search[i] = result.stats.enumerate_secs + result.stats.tree_secs;
    times->ratio[i] = times->all[i] / times->plain[i];
    times->nodes[i] = (double)result.stats.nodes;
    times->columns += result.stats.columns;
    times->unproven += !result.proven;
    times->treed += result.stats.tree_rounds > 0;
    times->in_bands += result.count > 0 && result.rigs[0].in_bands;
    if (verbose)
        printf(
            "  seed %2zu plain %.2f ms z %.6f | z0 %.6f z1 %.6f zK %.6f | lp %.2f search %.2f tree "
            "%.2f all %.2f ms | lpcols %zu it %zu rounds %zu nodes %zu leaves %zu kept %zu%s%s\n",
            i + 1, 1e3 * times->plain[i], relaxed, result.relaxed,
            result.count > 0 ? result.rigs[0].objective : -1,
            result.count > 0 ? result.rigs[result.count - 1].objective : -1, 1e3 * times->lp[i],
            1e3 * result.stats.enumerate_secs, 1e3 * result.stats.tree_secs, 1e3 * times->all[i],
            result.stats.lp_columns, result.stats.lp_iterations, result.stats.rounds,
            result.stats.nodes, result.stats.leaves, result.stats.kept_columns,
            result.proven ? "" : " UNPROVEN", result.ties_open ? " ties" : "");
    programme_free(&result);
    tackle_free(&tackle);
}

static void report(const char *name, size_t n, size_t count, const ProgOptions *options,
                   const TackleOptions *tackle_options) {
    Times *times = calloc(1, sizeof *times);
    if (times == NULL)
        abort();
    bool verbose = getenv("BENCH_VERBOSE") != NULL;
    for (size_t i = 0; i < count; i++)
        measure(times, i, n, options, tackle_options, verbose);
    printf("%-10s %6zu %8zu %9.2f %8.2f %8.2f (%8.2f) %8.2f (%8.2f) %7.2f (%7.2f) %9.0f %3zu %3zu "
           "%3zu\n",
           name, n, times->columns / count, 1e3 * median(times->plain, count),
           1e3 * median(times->lp, count), 1e3 * median(times->search, count),
           1e3 * worst(times->search, count), 1e3 * median(times->all, count),
           1e3 * worst(times->all, count), median(times->ratio, count), worst(times->ratio, count),
           median(times->nodes, count), times->in_bands, times->treed, times->unproven);
    fflush(stdout);
    free(times);
}

static void report_memory(size_t n, size_t count) {
    TackleOptions usual = {.dead = 0.5};
    ProgOptions best = {.best = 10};
    size_t columns = 0;
    for (size_t i = 0; i < count; i++) {
        Tackle tackle;
        ProgResult result;
        BlyError err = {0};
        tackle_make(&tackle, n, i + 1, &usual);
        tackle_build(&tackle);
        if (!programme_solve(&tackle.programme, &best, &result, &err))
            exit(1);
        columns = result.stats.columns > columns ? result.stats.columns : columns;
        programme_free(&result);
        tackle_free(&tackle);
    }
    struct rusage usage;
    (void)getrusage(RUSAGE_SELF, &usage);
    printf("%zu %zu %ld\n", n, columns, usage.ru_maxrss);
}

int main(int argc, char **argv) {
    static const size_t sizes[] = {12, 50, 200, 1000, 5000};
    size_t count = argc > 1 ? (size_t)strtoul(argv[1], NULL, 10) : 15;
    count = count < 1 ? 1 : count > MOST ? MOST : count;
    if (getenv("BENCH_MEMORY") != NULL) {
        report_memory(argc > 2 ? (size_t)strtoul(argv[2], NULL, 10) : 200, count);
        return 0;
    }
    printf("ms; median (worst) of %zu seeded instances, 10 rigs\n", count);
    printf("%-10s %6s %8s %9s %8s %8s %10s %8s %10s %7s %9s %9s  ok tre unp\n", "asked", "n",
           "columns", "plain lp", "lp", "search", "worst", "all", "worst", "ratio", "worst",
           "nodes");
    const char *only = getenv("BENCH_ONLY");
    for (size_t s = 0; s < (argc > 2 ? (size_t)argc - 2 : 5); s++) {
        size_t n = argc > 2 ? (size_t)strtoul(argv[s + 2], NULL, 10) : sizes[s];
        TackleOptions usual = {.dead = 0.5}, bare = {.dead = 0},
                      heavy = {.dead = 0.5, .heavy_g = 12};
        ProgOptions best = {.best = 10}, unlike = {.best = 10, .visibly_different = true};
        if (only == NULL || strcmp(only, "best") == 0)
            report("best", n, count, &best, &usual);
        if (only == NULL || strcmp(only, "unlike") == 0)
            report("unlike", n, count, &unlike, &usual);
        if (only == NULL || strcmp(only, "hopeless") == 0)
            report("hopeless", n, count, &best, &heavy);
        if (only == NULL || strcmp(only, "bare") == 0)
            report("no dead", n, count, &best, &bare);
    }
    return 0;
}
