/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawings, and what is made of them. A first line that begins with '#' is the id that is asked
 * for; text that does not begin with '<' is path data alone. Laws: an error has a code and a text;
 * what was read is finite; the edges of a drawing lie in its box, the lower one below; a body made
 * from them has the outline's length, and a volume within its box. */
#include "fuzz/fuzz.h"

#include "svg/svg.h"
#include "ballastry/outline.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

static void is_finite(const BlyTrace *trace) {
    for (size_t i = 0; i < trace->count; i++) {
        for (int k = 0; k < 4; k++)
            FUZZ_LAW(isfinite(trace->cubic[i].x[k]) && isfinite(trace->cubic[i].y[k]));
    }
}

static void makes_a_body(const BlyEdges *edges) {
    const BlySectionPlace round = {0.0, 2.0};
    const BlyOutlineSpec spec = {edges, NULL, BLY_WIDTH_OF_HEIGHT, 1.0, &round, 1};
    BlyExtent box = bly_edges_extent(edges);
    BlyBody *body = NULL;
    BlyOutlineFit fit;
    BlyError err = {0};
    for (int i = 0; i <= 16; i++) {
        double low, high;
        bly_edges_at(edges, box.x_low + (box.x_high - box.x_low) * i / 16.0, &low, &high);
        FUZZ_LAW(low <= high && low >= box.y_low - 1e-9 && high <= box.y_high + 1e-9);
    }
    if (!bly_body_from_outline(&spec, &body, &fit, &err)) {
        FUZZ_LAW(err.code != BLY_OK && err.code != BLY_E_INTERNAL && err.text[0] != '\0');
        return;
    }
    double length = box.x_high - box.x_low, high = box.y_high - box.y_low;
    FUZZ_LAW(fabs(bly_body_box(body).high.x - length) <= 1e-9 + 1e-9 * length);
    double volume = bly_body_solid(body)->volume;
    FUZZ_LAW(volume > 0.0 && volume <= length * (high + 1e-5) * (high + 1e-5));
    FUZZ_LAW(isfinite(fit.miss) && fit.stations >= 2);
    bly_body_free(body);
}

static void makes_edges(BlyTrace *trace) {
    const BlyAffine metres = {1e-3, 0.0, 0.0, 1e-3, 0.0, 0.0};
    BlyEdges *edges = NULL;
    BlyError err = {0};
    bly_trace_map(trace, &metres);
    if (!bly_edges_make(trace, "side", &edges, &err)) {
        FUZZ_LAW(err.code != BLY_OK && err.code != BLY_E_INTERNAL && err.text[0] != '\0');
        return;
    }
    makes_a_body(edges);
    bly_edges_free(edges);
}

static void reads_path(const char *text) {
    BlyTrace trace = {0};
    BlyError err = {0};
    if (bly_path_read(text, &trace, &err)) {
        is_finite(&trace);
        makes_edges(&trace);
    } else {
        FUZZ_LAW(err.code != BLY_OK && strncmp(err.where, "offset ", 7) == 0);
    }
    bly_trace_release(&trace);
}

static void reads_drawing(const char *text, size_t size, const char *id) {
    BlyDrawing drawing;
    BlyError err = {0};
    if (bly_svg_read(text, size, id, &drawing, &err))
        makes_edges(&drawing.trace);
    else
        FUZZ_LAW(err.code != BLY_OK && err.code != BLY_E_INTERNAL && err.text[0] != '\0');
    bly_drawing_release(&drawing);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    (void)gsl_set_error_handler_off();
    char *text = malloc(size + 1), *rest = text; /* of just that size */
    const char *id = NULL;
    FUZZ_LAW(text != NULL);
    if (size > 0)
        memcpy(text, data, size);
    text[size] = '\0';
    char *end = size > 0 && text[0] == '#' ? memchr(text, '\n', size) : NULL;
    if (end != NULL) {
        *end = '\0';
        id = text + 1;
        rest = end + 1;
    }
    if (id != NULL || *rest == '<')
        reads_drawing(rest, size - (size_t)(rest - text), id);
    else
        reads_path(rest);
    free(text);
    return 0;
}
