/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One line of many: a build, or { "key", "build" } or { "key", "set" }, to its result on one line.
 * Builds are read from text, as from a file: what a line says and what a file says is the same. */
#include "cli/lines.h"

#include <stdlib.h>
#include <string.h>

#include "cli/reader.h"
#include "json/json.h"

enum { KEY_MOST = 200 }; /* bytes */

static bool has(const BlyJson *at, const char *key) {
    return cJSON_IsObject(at->node) && bly_json_member(at, key).node != NULL;
}

/* Errors of text that is no JSON speak of the first line; only the column is of use here. */
static void drop_line(BlyError *err) {
    static const char first[] = "line 1, ";
    if (strncmp(err->where, first, sizeof first - 1) == 0)
        memmove(err->where, err->where + sizeof first - 1, strlen(err->where) - sizeof first + 2);
}

static bool read_inner(const LineJob *job, const BlyJson *inner, BlyBuild **build, BlyError *err) {
    BlyText text;
    bly_text_init(&text);
    bool good = bly_json_print(inner->node, &text, err);
    if (good &&
        !bly_build_read_with(text.bytes, text.length, job->catalog, &job->here, build, err)) {
        bly_error_prefix(err, inner->where);
        good = false;
    }
    bly_text_release(&text);
    return good;
}

/* null takes a value away, as it does in a JSON merge patch (RFC 7396). */
static bool read_edit(const BlyJson *value, BlyEdit *edit, char **json, BlyError *err) {
    const char *pointer = bly_json_key(value);
    if (strlen(pointer) >= sizeof edit->pointer)
        return bly_json_refuse(value, BLY_E_RANGE, err, "a pointer of more than %zu characters",
                               sizeof edit->pointer - 1);
    memcpy(edit->pointer, pointer, strlen(pointer) + 1);
    if (cJSON_IsNull(value->node))
        return true;
    BlyText text;
    bly_text_init(&text);
    bool good = bly_json_print(value->node, &text, err);
    *json = good ? bly_text_detach(&text) : NULL;
    edit->json = *json;
    bly_text_release(&text);
    return good;
}

static bool read_edits(const BlyJson *set, BlyEdit *edits, char **json, BlyError *err) {
    for (BlyJson m = bly_json_first(set); m.node != NULL; bly_json_next(&m)) {
        if (!read_edit(&m, &edits[m.index], &json[m.index], err))
            return false;
    }
    return true;
}

static bool read_changed(const LineJob *job, const BlyJson *set, BlyBuild **build, BlyError *err) {
    if (job->base == NULL)
        return bly_json_refuse(set, BLY_E_MISSING, err,
                               "there is nothing to change; name a BUILD on the command line");
    if (!bly_json_object(set, NULL, 0, err))
        return false;
    size_t count = bly_json_count(set);
    BlyEdit *edits = calloc(count + 1, sizeof *edits);
    char **json = calloc(count + 1, sizeof *json), *text = NULL;
    bool good = (edits != NULL && json != NULL) ||
                bly_fail(err, BLY_E_MEMORY, set->where, "no memory for %zu changes", count);
    good = good && read_edits(set, edits, json, err) &&
           bly_build_text_with_all(job->base, edits, count, &text, err) &&
           bly_build_read_with(text, strlen(text), job->catalog, &job->beside_base, build, err);
    for (size_t i = 0; json != NULL && i < count; i++)
        free(json[i]);
    free(json);
    free(edits);
    free(text);
    return good;
}

/* *key points into the tree, NULL for none. */
static bool read_named(const LineJob *job, const BlyJson *line, const char **key, BlyBuild **build,
                       BlyError *err) {
    static const char *const keys[] = {"key", "build", "set"};
    BlyJson name = bly_json_member(line, "key"), inner = bly_json_member(line, "build"),
            set = bly_json_member(line, "set");
    if ((name.node != NULL && !bly_json_string(&name, KEY_MOST, key, err)) ||
        !bly_json_object(line, keys, sizeof keys / sizeof keys[0], err))
        return false;
    if (inner.node != NULL && set.node != NULL)
        return bly_json_refuse(&set, BLY_E_CONFLICT, err,
                               "changes the BUILD of the command line; expected it or \"build\"");
    if (inner.node == NULL && set.node == NULL)
        return bly_json_refuse(line, BLY_E_MISSING, err, "expected \"build\" or \"set\"");
    return inner.node != NULL ? read_inner(job, &inner, build, err)
                              : read_changed(job, &set, build, err);
}

static bool read_line(const LineJob *job, const RingLine *line, const cJSON *doc, const char **key,
                      BlyBuild **build, BlyError *err) {
    BlyJson root = bly_json_root(doc);
    if (has(&root, "key") || has(&root, "build") || has(&root, "set"))
        return read_named(job, &root, key, build, err);
    return bly_build_read_with(line->text, line->length, job->catalog, &job->here, build, err);
}

static bool parse(const RingLine *line, cJSON **doc, BlyError *err) {
    if (line->too_long)
        return bly_fail(err, BLY_E_RANGE, NULL, "a line of more than %d bytes", LINE_MOST);
    *doc = bly_json_parse(line->text, line->length, err);
    return *doc != NULL;
}

static cJSON *error_tree(const RingLine *line, const char *key, const BlyError *err) {
    cJSON *tree = cJSON_CreateObject();
    return json_finished(tree, tree != NULL && (key == NULL || put_text(tree, "key", key)) &&
                                   put_number(tree, "line", (double)line->number) &&
                                   put_tree(tree, "error", json_error(err)));
}

/* Takes the result. */
static cJSON *keyed_tree(const char *key, cJSON *result) {
    if (key == NULL || result == NULL)
        return result;
    cJSON *tree = cJSON_CreateObject();
    if (tree == NULL || !put_text(tree, "key", key)) {
        cJSON_Delete(result);
        return json_finished(tree, false);
    }
    return json_finished(tree, put_tree(tree, "result", result));
}

/* What cannot be printed for want of memory is left failed, which ends the run. */
static void print_answer(cJSON *tree, BlyText *answer) {
    BlyError ignored;
    if (!bly_json_print_line(tree, answer, &ignored))
        answer->failed = true;
    cJSON_Delete(tree);
}

RingEnd line_answer(void *context, const RingLine *line, BlyText *answer) {
    const LineJob *job = context;
    BlyError err = {0};
    cJSON *doc = NULL, *tree = NULL;
    BlyBuild *build = NULL;
    const char *key = NULL;
    bool no_rig = false;
    bool good = parse(line, &doc, &err) && read_line(job, line, doc, &key, &build, &err) &&
                cli_in_water(job->water, build, &err) &&
                job->task->work(build, job->catalog, job->task->settings, &tree, &no_rig, &err);
    drop_line(&err);
    print_answer(good ? keyed_tree(key, cli_result(job->command, tree))
                      : error_tree(line, key, &err),
                 answer);
    bly_build_free(build);
    cJSON_Delete(doc);
    if (good)
        return no_rig ? RING_NO_RIG : RING_GOOD;
    return bly_code_of_input(err.code) ? RING_BAD : RING_FAULT;
}
