/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes that work one build out: rest, sure and swap, by the same functions as the commands.
 */
#include "bench/results.h"
#include "bench/folder.h"
#include "bench/route.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool route_text_maybe(const BlyJson *in, const char *key, const char **out, BlyError *err) {
    BlyJson at = bly_json_member(in, key);
    if (at.node == NULL)
        return true;
    if (!cJSON_IsString(at.node))
        return bly_json_refuse(&at, BLY_E_SYNTAX, err, "should be a text");
    *out = at.node->valuestring;
    return true;
}

bool route_text(const BlyJson *in, const char *key, const char **out, BlyError *err) {
    BlyJson at;
    return bly_json_require(in, key, &at, err) && route_text_maybe(in, key, out, err);
}

/* Places in the build are pointers into the build, not into the request. */
bool route_build(const Bench *bench, const BlyJson *in, BlyBuild **out, BlyError *err) {
    const char *text;
    const BlyBuildFiles files = folder_files(bench);
    *out = NULL;
    return route_text(in, "build", &text, err) &&
           bly_build_read_with(text, strlen(text), bench->catalog, &files, out, err);
}

bool route_put_text(cJSON *o, const char *key, void (*write)(FILE *out, void *context),
                    void *context) {
    BlyText text = {0};
    FILE *out = report_collect(&text);
    if (out == NULL)
        return false;
    write(out, context);
    bool good = fclose(out) == 0 && !text.failed && put_text(o, key, bly_text_string(&text));
    bly_text_release(&text);
    return good;
}

/* Nothing is added where memory ran out: then the whole answer goes. */
static cJSON *with_body(cJSON *o, const BlyBuild *build, const BlyJson *in) {
    const char *text = bly_json_member(in, "build").node->valuestring;
    cJSON *doc = bly_json_parse(text, strlen(text), NULL);
    bool good = o != NULL && doc != NULL && put_tree(o, "body", draw_body(build, doc));
    cJSON_Delete(doc);
    return json_finished(o, good);
}

cJSON *route_rest(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build;
    RestWork work;
    if (!route_build(bench, in, &build, err))
        return NULL;
    cJSON *o = NULL;
    if (rest_work(build, bench->catalog, &build->fitted, REST_PARTS, &work, err))
        o = with_body(rest_tree(build, &build->fitted, &work, bench->system), build, in);
    rest_work_release(&work);
    bly_build_free(build);
    return o;
}

cJSON *route_sure(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build;
    if (!route_build(bench, in, &build, err))
        return NULL;
    SureWork work;
    Worth *worth = NULL;
    cJSON *o = NULL;
    if (sure_work(build, bench->catalog, &build->fitted, &work, err) &&
        worth_work(build, bench->catalog, &build->fitted, NULL, &worth, err))
        o = sure_tree(build, &work, worth, bench->system);
    free(worth);
    sure_work_release(&work);
    bly_build_free(build);
    return o;
}

static bool swap_one(const Bench *bench, const BlyBuild *build, const BlyJson *swap, BlyRig *rig,
                     BlyError *err) {
    const char *seat, *kind, *id;
    return route_text(swap, "seat", &seat, err) && route_text(swap, "kind", &kind, err) &&
           route_text(swap, "id", &id, err) &&
           bly_build_swap(build, bench->catalog, rig, seat, kind, id, err);
}

bool route_rig(const Bench *bench, const BlyBuild *build, const BlyJson *at, BlyRig *out,
               BlyError *err) {
    static const char *const members[] = {"seat", "kind", "id"};
    enum { SWAPS_MAX = 64 };
    if (!bly_rig_copy(out, &build->fitted, err) || !bly_json_array(at, 0, SWAPS_MAX, err))
        return false;
    for (BlyJson swap = bly_json_first(at); swap.node != NULL; bly_json_next(&swap)) {
        if (!bly_json_object(&swap, members, 3, err) || !swap_one(bench, build, &swap, out, err))
            return false;
    }
    return true;
}

/* One change, or a list of them; not both. */
static bool one_way(const BlyJson *in, BlyError *err) {
    static const char *const of_one[] = {"seat", "kind", "id"};
    BlyJson after = bly_json_member(in, "after");
    for (size_t i = 0; after.node != NULL && i < 3; i++) {
        BlyJson said = bly_json_member(in, of_one[i]);
        if (said.node != NULL)
            return bly_json_refuse(&said, BLY_E_CONFLICT, err, "goes without \"after\"");
    }
    return true;
}

typedef struct SwapText {
    const SwapWork *work;
    BlySystem system;
} SwapText;

static void write_swap(FILE *out, void *context) {
    const SwapText *text = context;
    const Report report = {out, text->system};
    text_swap_sure(&report, &text->work->sure);
}

cJSON *route_swap(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    if (!one_way(in, err))
        return NULL;
    BlyBuild *build;
    if (!route_build(bench, in, &build, err))
        return NULL;
    BlyRig rig = {0};
    SwapWork work = {0};
    SwapText text = {&work, bench->system};
    BlyJson after = bly_json_member(in, "after");
    cJSON *o = cJSON_CreateObject();
    bool good =
        o != NULL &&
        (after.node != NULL
             ? route_rig(bench, build, &after, &rig, err)
             : bly_rig_copy(&rig, &build->fitted, err) && swap_one(bench, build, in, &rig, err)) &&
        swap_work(build, bench->catalog, &rig, REST_PARTS, &work, err) &&
        put_tree(o, "before", rest_tree(build, &build->fitted, &work.before, bench->system)) &&
        put_tree(o, "after", rest_tree(build, &rig, &work.after, bench->system)) &&
        put_tree(o, "spread", json_swap_sure(&work.sure)) &&
        route_put_text(o, "text", write_swap, &text) && put_rig_text(o, build, &rig, err);
    swap_work_release(&work);
    bly_rig_release(&rig);
    bly_build_free(build);
    return json_finished(o, good);
}
