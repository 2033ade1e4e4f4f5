/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the figures of a build hang together: a tank test knows sums of them better than each. */
#include "build/sections.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const plain_names[] = {
    "/body/mass",         "/body/balance",         "/body/balance_up",    "/body/soak",
    "/body/expansion",    "/learnt/drag_factor",   "/learnt/munk_factor", "/learnt/volume_factor",
    "/body/core_balance", "/body/core_balance_up",
};

/* "/body/coats/0/thickness", "/body/pieces/1/density", "/fitted/belly/hook/ID" and the plain ones.
 * Whether the figure is there now does not matter: a hook that was swapped takes its tie with it.
 */
static bool known_name(const BlyBuild *build, const char *name) {
    char seat[40], kind[16], what[16];
    int coat, piece, used = 0;
    for (size_t i = 0; i < sizeof plain_names / sizeof plain_names[0]; i++) {
        if (strcmp(name, plain_names[i]) == 0)
            return true;
    }
    if (sscanf(name, "/body/coats/%2d/%15[a-z]%n", &coat, what, &used) == 2 && name[used] == '\0')
        return coat >= 0 && (size_t)coat < build->coat_count &&
               (strcmp(what, "thickness") == 0 || strcmp(what, "density") == 0);
    used = 0;
    if (sscanf(name, "/body/pieces/%2d/%15[a-z]%n", &piece, what, &used) == 2 && name[used] == '\0')
        return piece >= 0 && (size_t)piece < build->facts.inset_count &&
               (strcmp(what, "density") == 0 || strcmp(what, "mass") == 0);
    used = 0;
    if (sscanf(name, "/fitted/%39[a-z0-9_-]/%15[a-z]/%n", seat, kind, &used) != 2 || used == 0 ||
        name[used] == '\0' || bly_build_seat(build, seat) < 0)
        return false;
    for (int k = 0; k < BLY_PART_KINDS; k++) {
        if (strcmp(kind, bly_part_kind_name((BlyPartKind)k)) == 0)
            return true;
    }
    return false;
}

static bool read_names(const BlyJson *of, BlyBuild *build, BlyError *err) {
    if (!bly_json_array(of, 2, BUILD_TIES_MOST, err))
        return false;
    size_t count = bly_json_count(of);
    build->tied = calloc(count, sizeof *build->tied);
    build->tie = calloc(count * count, sizeof *build->tie);
    if (build->tied == NULL || build->tie == NULL)
        return bly_json_refuse(of, BLY_E_MEMORY, err, "no memory for %zu ties", count);
    build->tied_count = count;
    for (BlyJson item = bly_json_first(of); item.node != NULL; bly_json_next(&item)) {
        const char *name;
        if (!bly_json_string(&item, 120, &name, err))
            return false;
        if (!known_name(build, name))
            return bly_json_refuse(&item, BLY_E_UNKNOWN, err,
                                   "expected a figure such as \"/body/mass\" or "
                                   "\"/fitted/belly/hook/ID\"");
        for (int i = 0; i < item.index; i++) {
            if (strcmp(build->tied[i], name) == 0)
                return bly_json_refuse(&item, BLY_E_CONFLICT, err, "appears twice");
        }
        build->tied[item.index] = build_copy(name, err);
        if (build->tied[item.index] == NULL)
            return false;
    }
    return true;
}

/* Row i holds the i correlations with those before. */
static bool read_rows(const BlyJson *rows, BlyBuild *build, BlyError *err) {
    static const Quantity correlation = {BLY_DIM_RATIO, NULL, -1.0, 1.0, true};
    size_t n = build->tied_count;
    if (!bly_json_array(rows, n - 1, n - 1, err))
        return false;
    for (size_t i = 0; i < n; i++)
        build->tie[i * n + i] = 1.0;
    for (BlyJson row = bly_json_first(rows); row.node != NULL; bly_json_next(&row)) {
        size_t i = (size_t)row.index + 1;
        if (!bly_json_array(&row, i, i, err))
            return false;
        for (BlyJson item = bly_json_first(&row); item.node != NULL; bly_json_next(&item)) {
            double r;
            if (!build_quantity(&item, &correlation, &r, err))
                return false;
            if (!(r < 1.0))
                return bly_json_refuse(&item, BLY_E_RANGE, err, "expected less than 1");
            build->tie[i * n + (size_t)item.index] = build->tie[(size_t)item.index * n + i] = r;
        }
    }
    return true;
}

/* The lower Cholesky factor in place, zeros above. */
static bool factorise(double *matrix, size_t n) {
    gsl_matrix_view view = gsl_matrix_view_array(matrix, n, n);
    if (gsl_linalg_cholesky_decomp1(&view.matrix) != GSL_SUCCESS)
        return false;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = i + 1; j < n; j++)
            matrix[i * n + j] = 0.0;
    }
    return true;
}

bool build_read_ties(const BlyJson *learnt, BlyBuild *build, BlyError *err) {
    static const char *const keys[] = {"of", "r"};
    BlyJson ties, of, rows;
    if (!build_member(learnt, "ties", &ties))
        return true;
    if (!bly_json_object(&ties, keys, 2, err) || !bly_json_require(&ties, "of", &of, err) ||
        !bly_json_require(&ties, "r", &rows, err) || !read_names(&of, build, err) ||
        !read_rows(&rows, build, err))
        return false;
    size_t n = build->tied_count;
    double *copy = malloc(n * n * sizeof *copy);
    if (copy == NULL)
        return bly_json_refuse(&ties, BLY_E_MEMORY, err, "no memory for %zu ties", n);
    memcpy(copy, build->tie, n * n * sizeof *copy);
    bool good = factorise(copy, n);
    free(copy);
    return good || bly_json_refuse(&rows, BLY_E_CONFLICT, err,
                                   "no figures can depend on each other like this");
}

static int place_of(const BlyBuild *build, const char *name) {
    for (size_t i = 0; i < build->tied_count; i++) {
        if (strcmp(build->tied[i], name) == 0)
            return (int)i;
    }
    return -1;
}

bool bly_build_ties(const BlyBuild *build, const char *const *names, size_t count, double *factor,
                    bool *any, BlyError *err) {
    *any = false;
    for (size_t i = 0; i < count; i++) {
        int a = place_of(build, names[i]);
        for (size_t j = 0; j < count; j++) {
            int b = place_of(build, names[j]);
            double r = i == j ? 1.0 : 0.0;
            if (i != j && a >= 0 && b >= 0)
                r = build->tie[(size_t)a * build->tied_count + (size_t)b];
            factor[i * count + j] = r;
            *any = *any || (i != j && r != 0.0);
        }
    }
    if (!*any || factorise(factor, count))
        return true;
    return bly_fail(err, BLY_E_INTERNAL, "/learnt/ties", "do not hold together");
}
