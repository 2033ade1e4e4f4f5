/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a body of triangles costs beside the same body of stations.
 *
 *   bench_mesh        prints rows of a Markdown table: facets, reading the build, `rest` and `fit`
 *                     as ratios to the stations': afloat; `fit` alone, sinking; and both afloat
 *                     with a lump to one side, beside the same stations without it
 *
 * CPU time of this process, medians. The lure is an ellipsoid, exact with three stations; its mesh
 * goes through the bytes of a binary STL file. */
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "ballastry/stl.h"
#include "bench/time_rest.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { RUNS = 5, FACET = 50, HEAD = 84 };

static const double half_length = 45.0, half_width = 7.0, half_height = 9.5; /* mm */

typedef struct File {
    char *bytes;
    size_t size, rings, around;
    double lump; /* mm, added to starboard alone */
} File;

/* A target, and a body that hooks alone bring there. */
typedef struct Aim {
    const char *material, *target;
} Aim;
static const Aim floats = {"\"larch\"", "\"state\": \"float\", \"shows\": [\"15 %\", \"30 %\"]"};
static const Aim sinks = {"{ \"density\": \"0.85 g/cm3\", \"give\": \"3 %\" }",
                          "\"state\": \"sink\", \"drift\": [\"40 mm/s\", \"120 mm/s\"]"};

static void put_corner(File *file, size_t ring, size_t j) {
    const double pi = 3.14159265358979323846;
    double t = pi * (double)ring / (double)(file->rings + 1);
    double w = 2.0 * pi * (double)(j % file->around) / (double)file->around;
    bool end = ring == 0 || ring == file->rings + 1;
    double starboard = fmax(0.0, sin(t) * sin(w));
    float p[3] = {(float)(half_length - half_length * cos(t)),
                  end ? 0.0F
                      : (float)(half_width * sin(t) * sin(w) + file->lump * starboard * starboard),
                  end ? 0.0F : (float)(-half_height * sin(t) * cos(w))};
    memcpy(file->bytes + file->size, p, sizeof p); /* little-endian, as this machine is */
    file->size += sizeof p;
}

static void put_facet(File *file, const size_t corner[3][2]) {
    memset(file->bytes + file->size, 0, 12);
    file->size += 12;
    for (int k = 0; k < 3; k++)
        put_corner(file, corner[k][0], corner[k][1]);
    memset(file->bytes + file->size, 0, 2);
    file->size += 2;
}

static File make_file(size_t rings, size_t around, double lump) {
    size_t facets = 2 * rings * around;
    File file = {calloc(HEAD + FACET * facets + 1, 1), HEAD, rings, around, lump};
    if (file.bytes == NULL)
        exit(1);
    uint32_t count = (uint32_t)facets;
    memcpy(file.bytes + 80, &count, sizeof count);
    for (size_t i = 0; i <= rings; i++) {
        for (size_t j = 0; j < around; j++) {
            if (i > 0)
                put_facet(&file, (const size_t[3][2]){{i, j}, {i, j + 1}, {i + 1, j}});
            if (i < rings)
                put_facet(&file, (const size_t[3][2]){{i, j + 1}, {i + 1, j + 1}, {i + 1, j}});
        }
    }
    return file;
}

static bool give_file(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    const File *file = context;
    *text = malloc(file->size + 1);
    if (*text == NULL)
        return bly_fail(err, BLY_E_MEMORY, name, "no memory for the file");
    memcpy(*text, file->bytes, file->size + 1);
    *size = file->size;
    return true;
}

static BlyBuild *read_build(const BlyCatalog *catalog, File *file, const Aim *aim) {
    char source[256], text[2000];
    if (file != NULL)
        (void)snprintf(source, sizeof source,
                       "\"mesh\": \"e.stl\", \"unit\": \"mm\", \"nose\": \"-x\", \"up\": \"+z\"");
    else
        (void)snprintf(source, sizeof source,
                       "\"stations\": [{ \"x\": 0, \"width\": 0, \"height\": 0 }, { \"x\": %g, "
                       "\"width\": %g, \"height\": %g }, { \"x\": %g, \"width\": 0, \"height\": 0 "
                       "}]",
                       half_length, 2.0 * half_width, 2.0 * half_height, 2.0 * half_length);
    (void)snprintf(
        text, sizeof text,
        "{ \"ballastry\": 1, \"name\": \"e\", \"body\": { %s, \"material\": %s, \"coats\": "
        "[{ \"material\": \"epoxy-clear\", \"thickness\": \"0.25 mm\" }] }, \"seats\": { \"tie\": "
        "{ \"kind\": \"tie\", \"x\": 1, \"side\": \"nose\" }, \"front\": { \"kind\": \"hanger\", "
        "\"x\": 30, \"side\": \"belly\" }, \"rear\": { \"kind\": \"hanger\", \"x\": 75, \"side\": "
        "\"belly\" } }, \"fitted\": { \"tie\": { \"eye\": \"screw-eye-1.0-10\" } }, \"target\": { "
        "%s }, "
        "\"limits\": { \"hook_size\": [\"8\", \"4\"], \"lead_free\": true } }",
        source, aim->material, aim->target);
    BlyBuildFiles files = {.read = give_file, .context = file};
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!bly_build_read_with(text, strlen(text), catalog, &files, &build, &err))
        stop(&err);
    return build;
}

static double middle_rest(const BlyBuild *build) {
    double runs[RUNS];
    time_rest(build, 1, runs, RUNS);
    return median(runs, RUNS);
}

static double time_fit(const BlyBuild *build, const BlyCatalog *catalog) {
    double runs[RUNS];
    for (int r = 0; r < RUNS; r++) {
        BlyFitOptions options = {.rigs = 10};
        BlyFitResult result;
        BlyError err = {0};
        double start = cpu_secs();
        if (!bly_fit(build, catalog, &options, &result, &err))
            stop(&err);
        runs[r] = cpu_secs() - start;
        if (!result.met) {
            (void)fprintf(stderr, "bench: the target is not met, so its time says little\n");
            exit(1);
        }
        bly_fit_release(&result);
    }
    return median(runs, RUNS);
}

typedef struct Times {
    double rest, fit;
} Times;

static Times times_of(const BlyBuild *build, const BlyCatalog *catalog) {
    return (Times){middle_rest(build), time_fit(build, catalog)};
}

static Times beside(const BlyCatalog *catalog, File *file, const Aim *aim, double *read) {
    BlyBuild *stations = read_build(catalog, NULL, aim);
    double start = cpu_secs();
    BlyBuild *mesh = read_build(catalog, file, aim);
    *read = cpu_secs() - start;
    Times plain = times_of(stations, catalog), times = times_of(mesh, catalog);
    bly_build_free(stations);
    bly_build_free(mesh);
    return (Times){times.rest / plain.rest, times.fit / plain.fit};
}

int main(void) {
    static const size_t sizes[][2] = {{40, 25}, {125, 80}, {316, 158}, {1000, 500}};
    BlyCatalog catalog;
    BlyError err = {0};
    (void)gsl_set_error_handler_off();
    if (!bly_catalog_shipped(&catalog, &err))
        stop(&err);
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        double read, again;
        File even = make_file(sizes[i][0], sizes[i][1], 0.0);
        File lump = make_file(sizes[i][0], sizes[i][1], 0.5);
        Times afloat = beside(&catalog, &even, &floats, &read);
        Times sinking = beside(&catalog, &even, &sinks, &again);
        Times uneven = beside(&catalog, &lump, &floats, &again);
        (void)printf("| %zu | %.2g s | %.2f | %.2f | %.2f | %.2f | %.2f |\n",
                     2 * sizes[i][0] * sizes[i][1], read, afloat.rest, afloat.fit, sinking.fit,
                     uneven.rest, uneven.fit);
        free(even.bytes);
        free(lump.bytes);
    }
    bly_catalog_release(&catalog);
    return 0;
}
