/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bench on a folder of its own, and requests to it as the page makes them. */
#ifndef BALLASTRY_TESTS_PAGE_KIT_H
#define BALLASTRY_TESTS_PAGE_KIT_H

#include "support/check.h"
#include "bench/bench.h"
#include "files/files.h"
#include "report/report.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include <gsl/gsl_errno.h>

static char folder[] = "/tmp/ballastry-page-XXXXXX";
static Bench bench;
static char *example; /* examples/sinker-swap.json */

static inline void in_folder(const char *name, char out[256]) {
    (void)snprintf(out, 256, "%s/%s", folder, name);
}

static inline int start(void **state) {
    (void)state;
    size_t size;
    BlyError err = {0};
    (void)gsl_set_error_handler_off();
    if (mkdtemp(folder) == NULL ||
        !bly_file_read("examples/sinker-swap.json", 1 << 20, &example, &size, &err) ||
        !bench_start(&bench, folder, NULL, BLY_METRIC, &err))
        return -1;
    bench.port = 4321;
    return 0;
}

static inline int stop(void **state) {
    (void)state;
    char command[300];
    bench_release(&bench);
    free(example);
    (void)snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

/* A request as the page makes it. */
static inline BenchRequest good_request(const char *path, const char *body) {
    return (BenchRequest){.method = "POST",
                          .path = path,
                          .host = "127.0.0.1:4321",
                          .origin = "http://127.0.0.1:4321",
                          .token = bench.token,
                          .type = "application/json",
                          .body = body,
                          .size = strlen(body)};
}

/* Asks, checks the status; an error must say why. cJSON_Delete by the caller. */
static inline cJSON *ask(const BenchRequest *request, int status) {
    BenchReply reply;
    bench_answer(&bench, request, &reply);
    if (reply.status != status)
        fail_msg("%s: status %d, expected %d: %s", request->path, reply.status, status,
                 reply.bytes != NULL ? reply.bytes : "");
    cJSON *tree = cJSON_ParseWithLength(reply.bytes, reply.size);
    assert_non_null(tree);
    bench_reply_release(&reply);
    const cJSON *error = cJSON_GetObjectItemCaseSensitive(tree, "error");
    assert_true(status == 200 || error != NULL);
    if (error != NULL)
        assert_true(cJSON_GetObjectItemCaseSensitive(error, "text")->valuestring[0] != '\0');
    return tree;
}

static inline void refused(const BenchRequest *request, int status) {
    cJSON_Delete(ask(request, status));
}

/* {"build": .., and up to three more texts}; NULL values become null. free() by the caller. */
static inline char *body_of(const char *build, const char *const pairs[][2], size_t count) {
    cJSON *o = cJSON_CreateObject();
    if (build != NULL)
        (void)cJSON_AddStringToObject(o, "build", build);
    for (size_t i = 0; i < count; i++) {
        if (pairs[i][1] != NULL)
            (void)cJSON_AddStringToObject(o, pairs[i][0], pairs[i][1]);
        else
            (void)cJSON_AddNullToObject(o, pairs[i][0]);
    }
    char *text = cJSON_PrintUnformatted(o);
    cJSON_Delete(o);
    assert_non_null(text);
    return text;
}

static inline cJSON *post(const char *path, const char *build, const char *const pairs[][2],
                          size_t count, int status) {
    char *body = body_of(build, pairs, count);
    const BenchRequest request = good_request(path, body);
    cJSON *tree = ask(&request, status);
    free(body);
    return tree;
}

static inline const char *text_at(const cJSON *tree, const char *key) {
    const cJSON *at = cJSON_GetObjectItemCaseSensitive(tree, key);
    assert_true(cJSON_IsString(at));
    return at->valuestring;
}

static inline double number_at(const cJSON *tree, const char *key) {
    const cJSON *at = cJSON_GetObjectItemCaseSensitive(tree, key);
    assert_true(cJSON_IsNumber(at));
    return at->valuedouble;
}

/* A request whose body is a tree, which it takes. */
static inline cJSON *post_tree(const char *path, cJSON *body, int status) {
    char *text = cJSON_PrintUnformatted(body);
    cJSON_Delete(body);
    assert_non_null(text);
    const BenchRequest request = good_request(path, text);
    cJSON *tree = ask(&request, status);
    free(text);
    return tree;
}

static inline const cJSON *at(const cJSON *tree, const char *key) {
    const cJSON *found = cJSON_GetObjectItemCaseSensitive(tree, key);
    if (found == NULL)
        fail_msg("no %s in the answer", key);
    return found;
}

/* Text of an example or another file of ours; free. Not inline: gcc 12 mistakes the copies. */
__attribute__((noinline, unused)) static char *file_text(const char *path) {
    char *text = NULL;
    size_t size;
    assert_true(bly_file_read(path, 1 << 20, &text, &size, NULL));
    return text;
}

static inline void assert_disk(const char *name, const char *want) {
    char path[256], *text;
    size_t size;
    in_folder(name, path);
    assert_true(bly_file_read(path, 1 << 20, &text, &size, NULL));
    assert_string_equal(text, want);
    free(text);
}

static inline void put_disk(const char *name, const char *text) {
    char path[256];
    in_folder(name, path);
    assert_true(bly_file_write(path, text, strlen(text), BLY_KEEP_NOTHING, NULL));
}

#endif
