/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Skin and infill of a printed body.
 *
 * Its material is counted on a grid of cells in columns. How much of a cell lies within the mesh
 * follows from where its column crosses the surface. A cell nearer to any surface than the wall is
 * full, one deeper holds the infill's share, and one that the wall's inner side runs through is
 * shared out by the distance of its middle. At the end all is scaled by the mesh's true volume. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

enum { CELLS_MOST = 120000 };
static const double wall_least = 1e-5, wall_most = 0.1;
static const double cell_share = 0.3; /* of the wall */

typedef struct Grid {
    const BlyMesh *mesh; /* hollows too */
    const MeshTree *tree;
    const MeshBody *outer; /* NULL: no hollows */
    BlyBox box;
    BlyVec3 step; /* of the cells, about `cell` each way */
    double cell, wall, infill;
    size_t nx, ny, nz;
    MeshColumn column, outer_column; /* those that are at work */
    MeshCells *cells;
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
static double share_within(const MeshColumn *column, double low, double high) {
    double within = 0.0;
    const MeshCrossing *at = column->at;
    for (size_t i = 0; i + 1 < column->count; i += 2) {
        double from = fmax(low, at[i].z), to = fmin(high, at[i + 1].z);
        within += fmax(0.0, to - from);
    }
    return within / (high - low);
}

/* `*last` is the distance of the cell below: this one is at most a cell farther off, which spares
 * most of the search. */
static double deep_share(const Grid *grid, BlyVec3 p, double in, double *last) {
    if (isnan(grid->wall) || !(in > 0.5)) {
        *last = HUGE_VAL;
        return 0.0;
    }
    double most = fmin(*last + grid->step.z, grid->wall + grid->cell);
    *last = mesh_distance(grid->mesh, grid->tree, p, 1.000001 * most);
    return fmin(in, beyond((*last - grid->wall) / grid->cell));
}

static void add_cell(const Grid *grid, size_t cell, BlyVec3 p, double *last, FillSums *sum) {
    double low = p.z - 0.5 * grid->step.z, high = p.z + 0.5 * grid->step.z;
    double in = share_within(&grid->column, low, high), deep = deep_share(grid, p, in, last);
    double volume = grid->step.x * grid->step.y * grid->step.z, filled = in - deep;
    if (deep > 0.0)
        filled += grid->infill * deep;
    grid->cells->filled[cell] = (float)filled;
    grid->cells->within[cell] =
        grid->outer != NULL ? (float)share_within(&grid->outer_column, low, high) : (float)in;
    sum->inside += volume * in;
    sum->filled += volume * filled;
    sum->moment = bly_vec_add(sum->moment, bly_vec_scale(p, volume * filled));
    sum->inside_moment = bly_vec_add(sum->inside_moment, bly_vec_scale(p, volume * in));
}

static bool add_column(Grid *grid, size_t first, double x, double y, FillSums *sum, BlyError *err) {
    const MeshBody *outer = grid->outer;
    if (!mesh_column(grid->mesh, grid->tree, x, y, &grid->column, err))
        return false;
    if (outer != NULL && !mesh_column(&outer->mesh, &outer->tree, x, y, &grid->outer_column, err))
        return false;
    bool meets = grid->column.count > 0 || grid->outer_column.count > 0;
    double last = HUGE_VAL;
    for (size_t k = 0; meets && k < grid->nz; k++) {
        double z = grid->box.low.z + grid->step.z * ((double)k + 0.5);
        add_cell(grid, first + k, bly_vec(x, y, z), &last, sum);
    }
    return true;
}

/* A share of the wall, or larger where that would be too many cells; whole cells fill the box. */
static void lay_grid(Grid *grid) {
    BlyVec3 size = bly_vec_sub(grid->box.high, grid->box.low);
    double least = cbrt(size.x * size.y * size.z / CELLS_MOST);
    grid->cell = isnan(grid->wall) ? least : fmax(cell_share * grid->wall, least);
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

static bool make_cells(const Grid *grid, MeshCells *cells, BlyError *err) {
    size_t count = grid->nx * grid->ny * grid->nz;
    cells->low = grid->box.low;
    cells->step = grid->step;
    cells->nx = grid->nx;
    cells->ny = grid->ny;
    cells->nz = grid->nz;
    cells->within = calloc(count, sizeof *cells->within);
    cells->filled = calloc(count, sizeof *cells->filled);
    if (cells->within != NULL && cells->filled != NULL)
        return true;
    mesh_cells_release(cells);
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a body's filling");
}

static bool count_cells(Grid *grid, FillSums *sum, BlyError *err) {
    lay_grid(grid);
    if (!make_cells(grid, grid->cells, err))
        return false;
    for (size_t i = 0; i < grid->nx; i++) {
        for (size_t j = 0; j < grid->ny; j++) {
            double x = grid->box.low.x + grid->step.x * ((double)i + 0.5);
            double y = grid->box.low.y + grid->step.y * ((double)j + 0.5);
            if (!add_column(grid, (i * grid->ny + j) * grid->nz, x, y, sum, err))
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

void mesh_cells_release(MeshCells *cells) {
    free(cells->within);
    free(cells->filled);
    *cells = (MeshCells){0};
}

bool mesh_fill(const MeshBody *outer, const BlyMesh *whole, const MeshTree *tree,
               const BlyMeshFill *fill, MeshCells *cells, BlySolid *out, BlyError *err) {
    bool walled = fill != NULL && !isnan(fill->wall), hollow = whole != &outer->mesh;
    *out = mesh_solid(whole);
    if (walled && !check_fill(fill, err))
        return false;
    Grid grid = {.mesh = whole,
                 .tree = tree,
                 .outer = hollow ? outer : NULL,
                 .box = mesh_box(&outer->mesh),
                 .wall = walled ? fill->wall : NAN,
                 .infill = walled ? fill->infill : NAN,
                 .cells = cells};
    FillSums sum = {0};
    bool good = count_cells(&grid, &sum, err);
    free(grid.column.at);
    free(grid.outer_column.at);
    if (!good)
        return false;
    if (!(sum.filled > 0.0 && sum.inside > 0.0))
        return bly_fail(err, BLY_E_RANGE, walled ? "/wall" : NULL, "leaves no material");
    if (!walled)
        return true;
    BlyVec3 off = bly_vec_sub(bly_vec_scale(sum.moment, 1.0 / sum.filled),
                              bly_vec_scale(sum.inside_moment, 1.0 / sum.inside));
    out->centroid = bly_vec_add(out->centroid, off);
    out->volume *= sum.filled / sum.inside;
    out->xx = out->yy = out->zz = out->xz = NAN;
    return true;
}

static size_t cell_of(double at, double low, double step, size_t count) {
    double cell = floor((at - low) / step), last = (double)count - 1.0;
    return (size_t)(cell < 0.0 ? 0.0 : cell < last ? cell : last);
}

BlyFilled mesh_filled(const BlyBody *body, BlyVec3 p) {
    const MeshCells *c = &mesh_of(body)->inside->cells;
    size_t i = cell_of(p.x, c->low.x, c->step.x, c->nx);
    size_t j = cell_of(p.y, c->low.y, c->step.y, c->ny);
    size_t k = cell_of(p.z, c->low.z, c->step.z, c->nz);
    size_t at = (i * c->ny + j) * c->nz + k;
    return (BlyFilled){(double)c->within[at], (double)c->filled[at]};
}
