/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The route of mend: what to do now at the bench to a finished lure, in the words of the command.
 */
#include "bench/results.h"
#include "bench/route.h"

typedef struct MendText {
    const BlyBuild *build;
    const MendWork *work;
    BlySystem system;
    void (*write)(const Report *report, const BlyBuild *build, const BlyMendPlan *plan);
} MendText;

static void write_part(FILE *out, void *context) {
    const MendText *text = context;
    const Report report = {out, text->system};
    text->write(&report, text->build, &text->work->plan);
}

static void write_all(FILE *out, void *context) {
    const MendText *text = context;
    const Report report = {out, text->system};
    text_mend(&report, text->build, &text->work->plan, NULL, NULL);
    text_slips(&report, &text->work->slips);
}

/* The build as mended; null where it is best left alone. */
static bool put_mended(cJSON *o, const BlyBuild *build, const BlyMendPlan *plan, BlyError *err) {
    return plan->leaves ? cJSON_AddNullToObject(o, "build") != NULL
                        : put_rig_text(o, build, &plan->rig.rig, err);
}

static cJSON *mend_tree(const Bench *bench, const BlyBuild *build, const MendWork *work,
                        BlyError *err) {
    const Report plain = {NULL, bench->system};
    MendText expected = {build, work, bench->system, text_mend_expected};
    MendText otherwise = {build, work, bench->system, text_mend_otherwise};
    cJSON *o = json_mend(&plain, build, &work->plan);
    return json_finished(o, o != NULL && route_put_text(o, "expected", write_part, &expected) &&
                                route_put_text(o, "otherwise", write_part, &otherwise) &&
                                route_put_text(o, "text", write_all, &expected) &&
                                put_mended(o, build, &work->plan, err));
}

cJSON *route_mend(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build;
    if (!route_build(bench, in, &build, err))
        return NULL;
    MendWork work;
    cJSON *o = NULL;
    if (mend_work(build, bench->catalog, NULL, &work, err))
        o = mend_tree(bench, build, &work, err);
    mend_work_release(&work);
    bly_build_free(build);
    return o;
}
