/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Candidates of a patch: strips cut to length and moved along the line, dots by count and place.
 *
 * A strip is the sum of short cells along the line, so each width and thickness is integrated once
 * and every beginning and end is a difference of running sums; cut down to a tenth of a millimetre
 * it weighs in proportion less. */
#include "fit/candidates.h"
#include "fit/fewer_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    CELLS_MOST = 40,
    LAYERS_MOST = 2,
    SIZES_KEPT = 64,
    DOTS_MOST = 8,
    DOT_PLACES = 20,
    CANDIDATES_KEPT = 4000
};
static const double grain_g = 0.01, cell_least = 1e-3, strip_least = 4e-3, dot_step = 2e-3;
static const double strip_step = 1e-4; /* scissors cut no finer; common practice, no source */

/* Running sums from the patch's front end to each grid line, for strips of one size whatever their
 * metal. */
typedef struct Cells {
    double width, thickness;
    size_t count;
    double x[CELLS_MOST + 1];
    double length[CELLS_MOST + 1];
    int bare[CELLS_MOST + 1];    /* cells in which a strip so wide does not go around the body */
    Lump volume[CELLS_MOST + 1]; /* v, vx, vz only: what is displaced where the coat bulges */
    double x_moment[CELLS_MOST + 1], z_moment[CELLS_MOST + 1]; /* of the metal, on the skin */
} Cells;

static bool cells_make(const BlyBuild *build, const BlySeat *seat, double width, double thickness,
                       Cells *out, BlyError *err) {
    double reach = seat->x_to - seat->x_from;
    size_t n = (size_t)fmin(CELLS_MOST, fmax(1, floor(reach / cell_least + 1e-6)));
    double step = strip_step * ceil(reach / (double)n / strip_step - 1e-6);
    n = (size_t)fmax(1, ceil(reach / step - 1e-6));
    memset(out, 0, sizeof *out);
    out->width = width;
    out->thickness = thickness;
    out->count = n;
    out->x[0] = seat->x_from;
    BlySide side = seat->side == BLY_AT_BACK ? BLY_BACK : BLY_BELLY;
    for (size_t i = 0; i < n; i++) {
        BlyStripLaid laid;
        out->x[i + 1] = fmin(seat->x_from + (double)(i + 1) * step, seat->x_to);
        BlyStripSpec spec = {side,  out->x[i], out->x[i + 1],
                             width, thickness, build->blank.coat_thickness};
        BlyError why = {0};
        bool goes = bly_body_strip_coated(build->blank.bare, &spec, &laid, &why);
        if (!goes && why.code != BLY_E_RANGE) {
            if (err != NULL)
                *err = why;
            return false;
        }
        out->bare[i + 1] = out->bare[i] + !goes;
        laid = goes ? laid : (BlyStripLaid){0};
        double v = laid.metal.volume * 1e6;
        Lump cell = {.v = v, .vx = v * laid.bulge.x * 1e3, .vz = v * laid.bulge.z * 1e3};
        out->volume[i + 1] = moments_sum(out->volume[i], cell);
        out->x_moment[i + 1] = out->x_moment[i] + v * laid.metal.centroid.x * 1e3;
        out->z_moment[i + 1] = out->z_moment[i] + v * laid.metal.centroid.z * 1e3;
        out->length[i + 1] = out->length[i] + laid.length;
    }
    return true;
}

/* The tape's own mass on what it displaces: density in g/cm3. */
static Lump strip_lump(const Cells *cells, size_t from, size_t to, double density) {
    Lump v = moments_sum(cells->volume[to], moments_scaled(cells->volume[from], -1));
    v.m = density * v.v;
    v.mx = density * (cells->x_moment[to] - cells->x_moment[from]);
    v.mz = density * (cells->z_moment[to] - cells->z_moment[from]);
    return v;
}

static bool add_strip(const BlyBuild *build, const BlyPart *strip, int layers, const Cells *cells,
                      CandidateSet *out, BlyError *err) {
    double longest = isfinite(strip->length) ? strip->length : INFINITY;
    for (size_t from = 0; from < cells->count; from++) {
        for (size_t to = from + 1; to <= cells->count; to++) {
            double along = cells->length[to] - cells->length[from];
            double length = strip_step * floor(along / strip_step + 1e-6);
            if (length < strip_least || length > longest || cells->bare[to] > cells->bare[from])
                continue;
            BlyChoice choice = bly_choice_empty(cells->x[from]);
            choice.of[BLY_PART_STRIP] = (BlyChosenPart){strip, {NAN, 0}};
            choice.length = length;
            choice.count = layers;
            if (out->craft != NULL &&
                craft_patch(out->craft, &build->seats[out->seat], &choice) != 0)
                continue;
            Lump lump = moments_scaled(strip_lump(cells, from, to, strip->density.value * 1e-3),
                                       length / along);
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
    if (!fit_fewer_parts(build, catalog, BLY_PART_STRIP, NULL, &strips, &count, err))
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

/* Whether a row of n dots at the place before this one lies just where it lies here: a row is
 * shifted as far as it must to stay within the patch (docs/lure.md). */
static bool lies_as_before(const BlySeat *seat, const BlyPart *dot, double x, double step, int n) {
    double reach = seat->x_to - seat->x_from;
    double half = 0.5 * dot->outer * fmin(n, fmax(1, floor(reach / dot->outer + 1e-6)));
    return x - step + 1e-9 >= seat->x_to - half || x - 1e-9 <= seat->x_from + half;
}

static bool add_dots(const BlyBuild *build, const BlyCatalog *catalog, CandidateSet *out,
                     BlyError *err) {
    const BlySeat *seat = &build->seats[out->seat];
    const BlyPart **dots;
    size_t count;
    if (!fit_fewer_parts(build, catalog, BLY_PART_DOT, NULL, &dots, &count, err))
        return false;
    double reach = seat->x_to - seat->x_from;
    double step = fmax(dot_step, reach / DOT_PLACES);
    bool good = true;
    for (size_t i = 0; good && i < count && candidates_go_on(out); i++) {
        double edge = dots[i]->outer / 2;
        size_t places = reach > 2 * edge ? (size_t)floor((reach - 2 * edge) / step) + 1 : 1;
        for (size_t p = 0; good && p < places; p++) {
            double x =
                places == 1 ? seat->x_from + reach / 2 : seat->x_from + edge + (double)p * step;
            for (int n = 1; good && n <= DOTS_MOST; n++) {
                BlyChoice choice = bly_choice_empty(x);
                choice.of[BLY_PART_DOT] = (BlyChosenPart){dots[i], {NAN, 0}};
                choice.count = n;
                if (!bly_choice_fits(seat, &choice, NULL))
                    break;
                if (out->craft != NULL && craft_patch(out->craft, seat, &choice) != 0)
                    continue;
                if (p == 0 || !lies_as_before(seat, dots[i], x, step, n))
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
    bool dots = out->craft == NULL || !craft_binds(out->craft, BLY_RULE_FIRST_BUILD);
    if (good && dots && (open & (1u << BLY_PART_DOT)))
        good = add_dots(build, catalog, out, err);
    return good && candidates_thin(out, CANDIDATES_KEPT, grain_g, err);
}
