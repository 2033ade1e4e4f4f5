/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Skin and infill of a printed body.
 *
 * Its material is counted on a grid of cells in columns. How much of a cell lies within the mesh
 * follows from where its column crosses the surface. A cell nearer to any surface than the wall is
 * full, one deeper holds the infill's share, and one that the wall's inner side runs through is
 * shared out by the distance of its middle. At the end all is scaled by the mesh's true volume. */
#include "shape/mesh.h"

#include <stdlib.h>

enum { CELLS_MOST = 120000 };
static const double wall_least = 1e-5, wall_most = 0.1;
static const double cell_share = 0.3; /* of the wall */

typedef struct Grid {
    const BlyMesh *mesh;
    const MeshTree *tree;
    BlyBox box;
    BlyVec3 step; /* of the cells, about `cell` each way */
    double cell, wall, infill;
    size_t nx, ny, nz;
    MeshColumn column; /* the one that is at work */
} Grid;

typedef struct FillSums {
    double inside, filled;
    BlyVec3 moment, inside_moment;
} FillSums;

/* The share of a cell beyond a surface at this distance (cells) from its middle. */
static double beyond(double distance) {
    return fmin(1.0, fmax(0.0, 0.5 + distance));
}

/* The share of the column between the heights low and high that lies within the mesh. */
static double share_within(const Grid *grid, double low, double high) {
    double within = 0.0;
    const MeshCrossing *at = grid->column.at;
    for (size_t i = 0; i + 1 < grid->column.count; i += 2) {
        double from = fmax(low, at[i].z), to = fmin(high, at[i + 1].z);
        within += fmax(0.0, to - from);
    }
    return within / (high - low);
}

/* `*last` is the distance of the cell below: this one is at most a cell farther off, which spares
 * most of the search. */
static void add_cell(const Grid *grid, BlyVec3 p, double *last, FillSums *sum) {
    double half = 0.5 * grid->step.z, in = share_within(grid, p.z - half, p.z + half), deep = 0.0;
    if (in > 0.5) {
        double most = fmin(*last + grid->step.z, grid->wall + grid->cell);
        *last = mesh_distance(grid->mesh, grid->tree, p, 1.000001 * most);
        deep = fmin(in, beyond((*last - grid->wall) / grid->cell));
    } else {
        *last = HUGE_VAL;
    }
    double volume = grid->step.x * grid->step.y * grid->step.z;
    double filled = volume * (in - deep + grid->infill * deep);
    sum->inside += volume * in;
    sum->filled += filled;
    sum->moment = bly_vec_add(sum->moment, bly_vec_scale(p, filled));
    sum->inside_moment = bly_vec_add(sum->inside_moment, bly_vec_scale(p, volume * in));
}

static bool add_column(Grid *grid, double x, double y, FillSums *sum, BlyError *err) {
    if (!mesh_column(grid->mesh, grid->tree, x, y, &grid->column, err))
        return false;
    double last = HUGE_VAL;
    for (size_t k = 0; grid->column.count > 0 && k < grid->nz; k++) {
        double z = grid->box.low.z + grid->step.z * ((double)k + 0.5);
        add_cell(grid, bly_vec(x, y, z), &last, sum);
    }
    return true;
}

/* A share of the wall, or larger where that would be too many cells; whole cells fill the box. */
static void lay_grid(Grid *grid) {
    BlyVec3 size = bly_vec_sub(grid->box.high, grid->box.low);
    double least = cbrt(size.x * size.y * size.z / CELLS_MOST);
    grid->cell = fmax(cell_share * grid->wall, least);
    /* a plate or a needle has at least one cell across */
    while (ceil(size.x / grid->cell) * ceil(size.y / grid->cell) * ceil(size.z / grid->cell) >
           2.0 * CELLS_MOST)
        grid->cell *= 1.25;
    grid->nx = (size_t)ceil(size.x / grid->cell);
    grid->ny = (size_t)ceil(size.y / grid->cell);
    grid->nz = (size_t)ceil(size.z / grid->cell);
    grid->step =
        bly_vec(size.x / (double)grid->nx, size.y / (double)grid->ny, size.z / (double)grid->nz);
    grid->cell = cbrt(grid->step.x * grid->step.y * grid->step.z);
}

static bool count_cells(Grid *grid, FillSums *sum, BlyError *err) {
    lay_grid(grid);
    for (size_t i = 0; i < grid->nx; i++) {
        for (size_t j = 0; j < grid->ny; j++) {
            double x = grid->box.low.x + grid->step.x * ((double)i + 0.5);
            double y = grid->box.low.y + grid->step.y * ((double)j + 0.5);
            if (!add_column(grid, x, y, sum, err))
                return false;
        }
    }
    return true;
}

static bool check_fill(const BlyMeshFill *fill, BlyError *err) {
    if (!(fill->wall >= wall_least && fill->wall <= wall_most))
        return bly_fail(err, BLY_E_RANGE, "/wall", "%g mm, expected 0.01 to 100 mm",
                        1e3 * fill->wall);
    if (!(fill->infill >= 0.0 && fill->infill <= 1.0))
        return bly_fail(err, BLY_E_RANGE, "/infill", "%g %%, expected 0 to 100 %%",
                        100.0 * fill->infill);
    return true;
}

bool mesh_fill(const BlyMesh *whole, const BlyMeshFill *fill, BlySolid *out, BlyError *err) {
    *out = mesh_solid(whole);
    if (fill == NULL || isnan(fill->wall))
        return true;
    if (!check_fill(fill, err))
        return false;
    MeshTree tree;
    if (!mesh_tree_make(whole, &tree, err))
        return false;
    Grid grid = {.mesh = whole,
                 .tree = &tree,
                 .box = mesh_box(whole),
                 .wall = fill->wall,
                 .infill = fill->infill};
    FillSums sum = {0};
    bool good = count_cells(&grid, &sum, err);
    free(grid.column.at);
    mesh_tree_release(&tree);
    if (!good)
        return false;
    if (!(sum.filled > 0.0 && sum.inside > 0.0))
        return bly_fail(err, BLY_E_RANGE, "/wall", "leaves no material");
    BlyVec3 off = bly_vec_sub(bly_vec_scale(sum.moment, 1.0 / sum.filled),
                              bly_vec_scale(sum.inside_moment, 1.0 / sum.inside));
    out->centroid = bly_vec_add(out->centroid, off);
    out->volume *= sum.filled / sum.inside;
    out->xx = out->yy = out->zz = out->xz = NAN;
    return true;
}
