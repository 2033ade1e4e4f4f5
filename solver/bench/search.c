/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes of fit: started, looked at, stopped. */
#include "bench/results.h"
#include "bench/jobs.h"
#include "bench/route.h"

#include <math.h>
#include <string.h>

static const char *const ranks[FIT_RANKS] = {"surest", "on-paper", "finished", "finished-on-paper"};
static const char *const states[] = {"running", "done", "stopped", "failed"};
static const double usual_secs = 60, most_secs = 600, stop_wait_secs = 10;
static const long most_wait_ms = 10000;

static bool read_order(const BlyJson *in, JobOrder *out, BlyError *err) {
    *out = (JobOrder){.rank = FIT_SUREST, .rigs = 5, .seconds = usual_secs};
    BlyJson page, rank = bly_json_member(in, "rank"), rigs = bly_json_member(in, "rigs");
    BlyJson seconds = bly_json_member(in, "seconds");
    size_t which = FIT_SUREST;
    int64_t count = 5;
    if (!bly_json_require(in, "page", &page, err) ||
        !bly_json_string(&page, JOB_PAGE_MAX, &out->page, err) ||
        (rank.node != NULL && !bly_json_word(&rank, ranks, FIT_RANKS, &which, err)) ||
        (rigs.node != NULL && !bly_json_integer(&rigs, 1, BLY_FIT_RIGS_MAX, &count, err)) ||
        (seconds.node != NULL && !bly_json_number(&seconds, 0.001, most_secs, &out->seconds, err)))
        return false;
    out->rank = (FitRank)which;
    out->rigs = (size_t)count;
    return true;
}

cJSON *route_fit_start(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    JobOrder order;
    BlyBuild *build;
    uint64_t number;
    bool busy;
    if (!read_order(in, &order, err) || !route_build(bench, in, &build, err))
        return NULL;
    if (!jobs_start(bench->jobs, build, &order, &number, &busy, err)) {
        *status = busy ? 429 : 500;
        return NULL;
    }
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_number(o, "job", (double)number));
}

/* Takes the view's answer. */
static cJSON *view_tree(JobView *view) {
    const BlyFitProgress *progress = &view->progress;
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_number(o, "job", (double)view->number) &&
                put_text(o, "state", states[view->state]) &&
                put_text(o, "stage", bly_fit_stage_words(progress->stage)) &&
                put_number(o, "rigs", (double)progress->rigs) &&
                put_bool(o, "met", progress->met) && put_number(o, "off", progress->off) &&
                put_number(o, "gap", progress->gap) && put_number(o, "seconds", view->seconds);
    bool has_answer = view->state == JOB_DONE || view->state == JOB_STOPPED;
    if (good && has_answer) {
        good = put_tree(o, "answer", view->answer);
        view->answer = NULL;
    } else if (good && view->state == JOB_FAILED) {
        good =
            put_tree(o, "error", json_error(&view->err)); /* as a refusal; the asking went well */
    }
    cJSON_Delete(view->answer);
    return json_finished(o, good);
}

static cJSON *look(const Bench *bench, uint64_t number, double secs, int *status, BlyError *err) {
    JobView view = {0};
    if (jobs_look(bench->jobs, number, secs, &view, err))
        return view_tree(&view);
    *status = 404;
    return NULL;
}

static bool read_job(const BlyJson *in, uint64_t *out, BlyError *err) {
    BlyJson job;
    int64_t number;
    if (!bly_json_require(in, "job", &job, err) ||
        !bly_json_integer(&job, 1, INT64_C(1) << 50, &number, err))
        return false;
    *out = (uint64_t)number;
    return true;
}

cJSON *route_fit_look(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    uint64_t number;
    int64_t wait_ms = 0;
    BlyJson wait = bly_json_member(in, "wait_ms");
    if (!read_job(in, &number, err) ||
        (wait.node != NULL && !bly_json_integer(&wait, 0, most_wait_ms, &wait_ms, err)))
        return NULL;
    return look(bench, number, (double)wait_ms * 1e-3, status, err);
}

cJSON *route_fit_stop(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    uint64_t number;
    if (!read_job(in, &number, err))
        return NULL;
    if (!jobs_stop(bench->jobs, number, err)) {
        *status = 404;
        return NULL;
    }
    return look(bench, number, stop_wait_secs, status, err);
}
