/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several builds at once, such as one at several temperatures: only what comes out, for curves. */
#include "bench/folder.h"
#include "bench/results.h"
#include "bench/route.h"

#include <string.h>

enum { BUILDS_MAX = 8 }; /* so that no request takes long; the page asks piece by piece */

/* A build that will not do has no outcome, but the words why. */
static cJSON *one_tree(const Bench *bench, const char *text) {
    const BlyBuildFiles files = folder_files(bench);
    BlyBuild *build = NULL;
    BlyError why = {0};
    RestWork work = {0};
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    if (bly_build_read_with(text, strlen(text), bench->catalog, &files, &build, &why) &&
        rest_work(build, bench->catalog, &build->fitted, 0, &work, &why))
        good = good && put_tree(o, "outcome", json_outcome(&work.outcome));
    else /* a lack of memory is no word on the build */
        good = good && why.code != BLY_E_MEMORY && put_text(o, "refused", why.text);
    rest_work_release(&work);
    bly_build_free(build);
    return json_finished(o, good);
}

cJSON *route_along(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyJson builds;
    if (!bly_json_require(in, "builds", &builds, err) ||
        !bly_json_array(&builds, 1, BUILDS_MAX, err))
        return NULL;
    cJSON *o = cJSON_CreateObject();
    cJSON *list = o != NULL ? cJSON_AddArrayToObject(o, "along") : NULL;
    bool good = list != NULL;
    for (BlyJson build = bly_json_first(&builds); good && build.node != NULL;
         bly_json_next(&build)) {
        good = cJSON_IsString(build.node)
                   ? put_last(list, one_tree(bench, build.node->valuestring))
                   : bly_json_refuse(&build, BLY_E_SYNTAX, err, "should be a text");
    }
    return json_finished(o, good);
}
