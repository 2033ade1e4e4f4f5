/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes of the maker's box: what lies in it, what a rig takes out of it, one line changed, the
 * whole list changed. It is written beside the builds; what is read from elsewhere stays as it is.
 */
#include "bench/folder.h"
#include "bench/route.h"
#include "bench/stock.h"
#include "catalog/catalog.h"
#include "desk/desk.h"
#include "files/files.h"

#include <stdlib.h>
#include <string.h>

static const char box_name[] = "box.csv";

/* The file beside the builds; *text is NULL where there is none. */
static bool read_beside(const Bench *bench, char **text, BlyError *err) {
    size_t size;
    bool there;
    BlyError reading = {0};
    *text = NULL;
    if (folder_read(bench, box_name, BENCH_BODY_MAX, text, &size, &there, &reading)) {
        if (strlen(*text) == size)
            return true;
        return bly_fail(err, BLY_E_SYNTAX, box_name, "holds a NUL character");
    }
    return !there || bly_fail(err, reading.code, reading.where, "%s", reading.text);
}

/* What the rig of this build takes, by part; NULL without a build. */
static bool find_takes(const Bench *bench, const BlyJson *in, double **out, BlyError *err) {
    BlyBuild *build;
    *out = NULL;
    if (bly_json_member(in, "build").node == NULL)
        return true;
    if (!route_build(bench, in, &build, err))
        return false;
    *out = calloc(bench->catalog->part_count + 1, sizeof **out);
    if (*out != NULL)
        box_used(bench->catalog, &build->fitted, NULL, *out);
    bly_build_free(build);
    return *out != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what it takes");
}

/* Where it is read from: "" none yet, box.csv the one beside the builds, else a path. */
static const char *place_of(const BenchStock *stock, const char *beside) {
    return stock->box_fixed || beside == NULL ? stock->box_path : box_name;
}

/* A first change begins the list beside the builds with all that the one elsewhere has; *text stays
 * NULL where there is none, or one beside. free. */
static bool read_elsewhere(const Bench *bench, const char *beside, char **text, BlyError *err) {
    size_t size;
    const BenchStock *stock = bench->stock;
    *text = NULL;
    if (beside != NULL || stock->box_fixed || stock->box_path[0] == '\0')
        return true;
    if (!bly_file_read(stock->box_path, BENCH_BODY_MAX, text, &size, err))
        return false;
    return strlen(*text) == size ||
           bly_fail(err, BLY_E_SYNTAX, stock->box_path, "holds a NUL character");
}

static cJSON *box_tree(const Bench *bench, const double *takes, BlyError *err) {
    char *text, *elsewhere = NULL;
    if (!read_beside(bench, &text, err) || !read_elsewhere(bench, text, &elsewhere, err)) {
        free(elsewhere);
        free(text);
        return NULL;
    }
    cJSON *o = json_box(bench->catalog, takes);
    cJSON *was = text != NULL ? cJSON_CreateString(text) : cJSON_CreateNull();
    bool good = o != NULL && put_text(o, "place", place_of(bench->stock, text)) &&
                put_bool(o, "fixed", bench->stock->box_fixed);
    good = put_tree(good ? o : NULL, "was", was) && good;
    good = good && (elsewhere == NULL || put_text(o, "elsewhere", elsewhere));
    free(elsewhere);
    free(text);
    return json_finished(o, good);
}

/* As it lies on the disk now, should another program have written it. */
static bool restock(Bench *own, const char *box, BlyError *err) {
    BenchStock *fresh = shelf_read(own->shelf, own, box, err);
    if (fresh == NULL)
        return false;
    own->stock = fresh;
    own->catalog = &fresh->catalog;
    return true;
}

cJSON *route_box(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    Bench own = *bench;
    double *takes = NULL;
    cJSON *o = NULL;
    if (!restock(&own, NULL, err))
        return NULL;
    shelf_put(own.shelf, own.stock);
    if (find_takes(&own, in, &takes, err))
        o = box_tree(&own, takes, err);
    free(takes);
    stock_let_go(own.stock);
    return o;
}

/* ---- writing ---- */

/* Only a list that reads as a box is written; then it is what builds are read with. */
static cJSON *write_box(const Bench *bench, const BlyJson *in, const char *text, int *status,
                        BlyError *err) {
    Bench own = *bench;
    cJSON *o = NULL;
    if (bench->stock->box_fixed)
        return (void)bly_fail(err, BLY_E_CONFLICT, box_name,
                              "the program was started with --box, which is only read; start it "
                              "without, and the box can be changed here"),
               NULL;
    if (!restock(&own, text, err))
        return NULL;
    folder_lock(bench);
    if (folder_unchanged(bench, in, box_name, status, err) &&
        folder_write(bench, box_name, text, strlen(text), true, status, err)) {
        shelf_put(own.shelf, own.stock);
        o = box_tree(&own, NULL, err);
    }
    folder_unlock(bench);
    stock_let_go(own.stock);
    return o;
}

cJSON *route_box_save(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    const char *text;
    return route_text(in, "text", &text, err) ? write_box(bench, in, text, status, err) : NULL;
}

static bool read_line(const BlyJson *at, BoxLine *out, BlyError *err) {
    static const char *const members[] = {"id",       "kind", "size",    "style", "grade",
                                          "material", "mass", "weighed", "count", "note"};
    const char **const cells[] = {&out->id,    &out->kind,     &out->size, &out->style,
                                  &out->grade, &out->material, &out->mass, &out->weighed,
                                  &out->count, &out->note};
    enum { CELLS = sizeof members / sizeof members[0] };
    *out = (BoxLine){0};
    bool good = bly_json_object(at, members, CELLS, err);
    for (size_t i = 0; good && i < CELLS; i++)
        good = route_text_maybe(at, members[i], cells[i], err);
    return good;
}

cJSON *route_box_put(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    BlyJson at, was = bly_json_member(in, "was");
    BoxLine line;
    BlyText text = {0};
    cJSON *o = NULL;
    char *elsewhere = NULL;
    if (!bly_json_require(in, "line", &at, err) || !read_line(&at, &line, err))
        return NULL;
    const char *before = cJSON_IsString(was.node) ? was.node->valuestring : NULL;
    if (!read_elsewhere(bench, before, &elsewhere, err)) {
        free(elsewhere);
        return NULL;
    }
    if (before == NULL)
        before = elsewhere != NULL ? elsewhere : "";
    if (box_put_line(before, strlen(before), &line, &text, err))
        o = write_box(bench, in, bly_text_string(&text), status, err);
    bly_text_release(&text);
    free(elsewhere);
    return o;
}
