/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Candidates of a patch: strips cut to length and moved along the line, dots by count and place.
 *
 * A strip is the sum of short cells along the line, so each width and thickness is integrated once
 * and every beginning and end is a difference of running sums. */
#include "fit/candidates.h"
#include "fit/shelf.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELLS_MOST = 40, LAYERS_MOST = 2, SIZES_KEPT = 64, DOTS_MOST = 8, CANDIDATES_KEPT = 4000 };
static const double grain_g = 0.01, cell_least = 1e-3, strip_least = 4e-3;

/* Running sums from the patch's front end to each grid line, for strips of one size whatever their
 * metal. */
typedef struct Cells {
    double width, thickness;
    size_t count;
    double x[CELLS_MOST + 1];
    double length[CELLS_MOST + 1];
    Lump volume[CELLS_MOST + 1]; /* v, vx, vz only */
} Cells;

static bool cells_make(const BlyBuild *build, const BlySeat *seat, double width, double thickness,
                       Cells *out, BlyError *err) {
    double reach = seat->x_to - seat->x_from;
    size_t n = (size_t)fmin(CELLS_MOST, fmax(1, floor(reach / cell_least + 1e-6)));
    double step = reach / (double)n;
    memset(out, 0, sizeof *out);
    out->width = width;
    out->thickness = thickness;
    out->count = n;
    out->x[0] = seat->x_from;
    BlySide side = seat->side == BLY_AT_BACK ? BLY_BACK : BLY_BELLY;
    for (size_t i = 0; i < n; i++) {
        BlySolid solid;
        double length;
        out->x[i + 1] = seat->x_from + (double)(i + 1) * step;
        if (!bly_body_strip(build->blank.hull, side, out->x[i], out->x[i + 1], width, thickness,
                            &solid, &length, err))
            return false;
        double v = solid.volume * 1e6;
        Lump cell = {0, v, 0, 0, v * solid.centroid.x * 1e3, v * solid.centroid.z * 1e3};
        out->volume[i + 1] = lump_add(out->volume[i], cell);
        out->length[i + 1] = out->length[i] + length;
    }
    return true;
}

/* The tape's own mass on what it displaces: density in g/cm3. */
static Lump strip_lump(const Cells *cells, size_t from, size_t to, double density) {
    Lump v = lump_add(cells->volume[to], lump_scale(cells->volume[from], -1));
    v.m = density * v.v;
    v.mx = density * v.vx;
    v.mz = density * v.vz;
    return v;
}

static bool add_strip(const BlyBuild *build, const BlyPart *strip, int layers, const Cells *cells,
                      CandidateSet *out, BlyError *err) {
    double longest = isfinite(strip->length) ? strip->length : INFINITY;
    for (size_t from = 0; from < cells->count; from++) {
        for (size_t to = from + 1; to <= cells->count; to++) {
            double length = cells->length[to] - cells->length[from];
            if (length < strip_least || length > longest)
                continue;
            BlyChoice choice = bly_choice_empty(cells->x[from]);
            choice.piece[BLY_PART_STRIP] = (BlyPiece){strip, {NAN, 0}};
            choice.length = length;
            choice.count = layers;
            Lump lump = strip_lump(cells, from, to, strip->density.value * 1e-3);
            if (!candidates_add(out, build, &choice, &lump, err))
                return false;
        }
    }
    return true;
}

/* The sizes that were worked out last. */
typedef struct Sizes {
    Cells at[SIZES_KEPT];
    size_t made;
} Sizes;

static const Cells *cells_of(const BlyBuild *build, const BlySeat *seat, double width,
                             double thickness, Sizes *sizes, BlyError *err) {
    for (size_t i = 0; i < sizes->made && i < SIZES_KEPT; i++) {
        if (sizes->at[i].width == width && sizes->at[i].thickness == thickness)
            return &sizes->at[i];
    }
    Cells *made = &sizes->at[sizes->made % SIZES_KEPT];
    if (!cells_make(build, seat, width, thickness, made, err))
        return NULL;
    sizes->made++;
    return made;
}

static bool add_layers(const BlyBuild *build, const BlyPart *strip, Sizes *sizes, CandidateSet *out,
                       BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    if (isfinite(seat->width) && strip->width > seat->width + 1e-9)
        return true;
    for (int layers = 1; layers <= LAYERS_MOST; layers++) {
        const Cells *cells =
            cells_of(build, seat, strip->width, strip->thickness * layers, sizes, err);
        if (cells == NULL || !add_strip(build, strip, layers, cells, out, err))
            return false;
    }
    return candidates_thin_early(out, CANDIDATES_KEPT, grain_g, err);
}

static bool add_strips(const BlyBuild *build, const BlyCatalog *catalog, CandidateSet *out,
                       BlyError *err) {
    const BlyPart **strips;
    size_t count;
    if (!fit_shelf(build, catalog, BLY_PART_STRIP, NULL, &strips, &count, err))
        return false;
    Sizes *sizes = calloc(1, sizeof *sizes);
    if (sizes == NULL) {
        free(strips);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for strips");
    }
    bool good = true;
    for (size_t i = 0; good && i < count && candidates_go_on(out); i++)
        good = add_layers(build, strips[i], sizes, out, err);
    free(sizes);
    free(strips);
    return good;
}

static bool add_dots(const BlyBuild *build, const BlyCatalog *catalog, CandidateSet *out,
                     BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    const BlyPart **dots;
    size_t count;
    if (!fit_shelf(build, catalog, BLY_PART_DOT, NULL, &dots, &count, err))
        return false;
    double reach = seat->x_to - seat->x_from;
    bool good = true;
    for (size_t i = 0; good && i < count && candidates_go_on(out); i++) {
        double edge = dots[i]->outer / 2;
        size_t places = reach > 2 * edge ? (size_t)floor((reach - 2 * edge) / 2e-3) + 1 : 1;
        for (size_t p = 0; good && p < places; p++) {
            double x =
                places == 1 ? seat->x_from + reach / 2 : seat->x_from + edge + (double)p * 2e-3;
            for (int n = 1; good && n <= DOTS_MOST; n++) {
                BlyChoice choice = bly_choice_empty(x);
                choice.piece[BLY_PART_DOT] = (BlyPiece){dots[i], {NAN, 0}};
                choice.count = n;
                if (!bly_choice_fits(seat, &choice, NULL))
                    break;
                good = candidates_add(out, build, &choice, NULL, err);
            }
        }
        good = good && candidates_thin_early(out, CANDIDATES_KEPT, grain_g, err);
    }
    free(dots);
    return good;
}

bool patch_candidates(const BlyBuild *build, const BlyCatalog *catalog, int seat, unsigned open,
                      CandidateSet *out, BlyError *err) {
    bool good = true;
    if (build->seats[seat].may_stay_empty) {
        BlyChoice empty = bly_choice_empty(build->seats[seat].x_from);
        good = candidates_add(out, build, &empty, NULL, err);
    }
    if (good && (open & (1u << BLY_PART_STRIP)))
        good = add_strips(build, catalog, out, err);
    if (good && (open & (1u << BLY_PART_DOT)))
        good = add_dots(build, catalog, out, err);
    return good && candidates_thin(out, CANDIDATES_KEPT, grain_g, err);
}

/* Dots that are under the coat stay; more of them may be stuck on top. */
bool more_dots(const BlyBuild *build, int seat, CandidateSet *out, BlyError *err) {
    const BlyChoice *fitted = &build->fitted.at[seat];
    for (int n = fitted->count; n <= fitted->count + DOTS_MOST; n++) {
        BlyChoice choice = *fitted;
        BlyPiece *dot = &choice.piece[BLY_PART_DOT];
        choice.count = n;
        dot->weighed.value += (n - fitted->count) * dot->part->mass.value; /* NAN stays so */
        if (!bly_choice_fits(&build->seats[seat], &choice, NULL))
            break;
        if (!candidates_add(out, build, &choice, NULL, err))
            return false;
    }
    return true;
}
