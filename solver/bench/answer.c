/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A request is let in or turned away, sent to its route, and its result or error made into bytes.
 * Who may ask: only a page of this very address (Host and Origin) that knows the token of this
 * start. The page's own files hold nothing secret and are given without the token. */
#include "bench/route.h"
#include "bench/stock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char json_type[] = "application/json";

static const char import_path[] = "/api/import";

static const char *const just_build[] = {"build", NULL};
static const char *const just_builds[] = {"builds", NULL};
static const char *const just_name[] = {"name", NULL};
static const char *const just_job[] = {"job", NULL};
static const char *const nothing[] = {NULL};
static const char *const of_start[] = {"build", "page", "rank", "rigs", "seconds", NULL};
static const char *const of_look[] = {"job", "wait_ms", NULL};
static const char *const of_swap[] = {"build", "seat", "kind", "id", "after", NULL};
static const char *const of_mountable[] = {"build", "seat", "kind", NULL};
static const char *const of_tank[] = {"build", "readings", "stage", "water",
                                      "salt",  "anyway",   "keep",  NULL};
static const char *const of_import[] = {"name", "base64", "build", "over", NULL};
static const char *const of_rename[] = {"name", "to", "was", NULL};
static const char *const of_delete[] = {"name", "was", NULL};
static const char *const of_box[] = {"build", NULL};
static const char *const of_box_put[] = {"was", "line", NULL};
static const char *const of_box_save[] = {"was", "text", NULL};
static const char *const of_switch[] = {"off", NULL};
static const char *const of_forget[] = {"lure", "kind", "key", NULL};
static const char *const of_pour[] = {"build", "asked", NULL};
static const char *const of_sheet[] = {"build", "view", "format", "paper", "number", "after", NULL};
static const char *const of_tow[] = {"build", "speeds", "line", "rod", NULL};
static const char *const of_cures[] = {"build", "saw", "speeds", "line", "rod", NULL};
static const char *const of_water[] = {"build", "readings", "saw",  "line", "rod",
                                       "on",    "anyway",   "keep", NULL};
static const char *const of_save[] = {"name", "build", "was", "draft", NULL};
static const char *const of_draft[] = {"name", "build", NULL};

static const struct {
    const char *path;
    const char *const *members;
    Route route; /* NULL: route_sheet, which gives a file */
} routes[] = {
    {"/api/alive", nothing, route_alive},
    {"/api/rest", just_build, route_rest},
    {"/api/along", just_builds, route_along},
    {"/api/sure", just_build, route_sure},
    {"/api/fit-start", of_start, route_fit_start},
    {"/api/fit-look", of_look, route_fit_look},
    {"/api/fit-stop", just_job, route_fit_stop},
    {"/api/swap", of_swap, route_swap},
    {"/api/mountable", of_mountable, route_mountable},
    {"/api/tank", of_tank, route_tank},
    {"/api/tow", of_tow, route_tow},
    {"/api/cures", of_cures, route_cures},
    {"/api/water", of_water, route_water},
    {"/api/mend", just_build, route_mend},
    {import_path, of_import, route_import},
    {"/api/rename", of_rename, route_rename},
    {"/api/delete", of_delete, route_delete},
    {"/api/box", of_box, route_box},
    {"/api/box-put", of_box_put, route_box_put},
    {"/api/box-save", of_box_save, route_box_save},
    {"/api/book", nothing, route_book},
    {"/api/book-switch", of_switch, route_book_switch},
    {"/api/book-forget", of_forget, route_book_forget},
    {"/api/pour", of_pour, route_pour},
    {"/api/sheet", of_sheet, NULL},
    {"/api/catalog", nothing, route_catalog},
    {"/api/bodies", nothing, route_bodies},
    {"/api/list", nothing, route_list},
    {"/api/open", just_name, route_open},
    {"/api/save", of_save, route_save},
    {"/api/draft", of_draft, route_draft},
    {"/api/draft-drop", just_name, route_draft_drop},
    {"/api/draft-open", just_name, route_draft_open},
};
enum { ROUTES = sizeof routes / sizeof routes[0] };

bool bench_route(size_t index, const char **path, const char *const **members) {
    if (index >= ROUTES)
        return false;
    *path = routes[index].path;
    *members = routes[index].members;
    return true;
}

static bool own_host(const Bench *bench, const char *host) {
    static const char *const names[] = {"127.0.0.1", "[::1]", "localhost"};
    for (size_t i = 0; host != NULL && i < sizeof names / sizeof names[0]; i++) {
        char want[32];
        (void)snprintf(want, sizeof want, "%s:%u", names[i], bench->port);
        if (strcmp(host, want) == 0)
            return true;
    }
    return false;
}

static bool own_origin(const BenchRequest *request) {
    static const char scheme[] = "http://";
    return request->origin != NULL && strncmp(request->origin, scheme, sizeof scheme - 1) == 0 &&
           strcmp(request->origin + sizeof scheme - 1, request->host) == 0;
}

/* Takes as long for a wrong token as for the right one. */
static bool own_token(const Bench *bench, const char *token) {
    if (token == NULL || strlen(token) != BENCH_TOKEN_LENGTH)
        return false;
    unsigned differ = 0;
    for (size_t i = 0; i < BENCH_TOKEN_LENGTH; i++)
        differ |= (unsigned)(token[i] ^ bench->token[i]);
    return differ == 0;
}

/* Only who is let in may send a whole mesh. */
size_t bench_body_most(const Bench *bench, const BenchRequest *request) {
    bool whole = strcmp(request->path, import_path) == 0 && own_host(bench, request->host) &&
                 own_origin(request) && own_token(bench, request->token);
    return whole ? BENCH_IMPORT_MAX : BENCH_BODY_MAX;
}

static void reply_tree(BenchReply *reply, int status, cJSON *tree) {
    BlyText text;
    bly_text_init(&text);
    *reply = (BenchReply){.status = 500, .type = json_type};
    if (tree != NULL && bly_json_print_line(tree, &text, NULL)) {
        size_t size = text.length;
        char *bytes = bly_text_detach(&text);
        if (bytes != NULL)
            *reply = (BenchReply){status, json_type, bytes, size, 0};
    }
    bly_text_release(&text);
    cJSON_Delete(tree);
}

static void reply_error(BenchReply *reply, int status, const BlyError *err) {
    cJSON *tree = cJSON_CreateObject();
    reply_tree(reply, status,
               json_finished(tree, tree != NULL && put_tree(tree, "error", json_error(err))));
}

static void refuse_at(BenchReply *reply, int status, const char *where, const char *why) {
    BlyError err = {0};
    (void)bly_fail(&err, BLY_E_CONFLICT, where, "%s", why);
    reply_error(reply, status, &err);
}

void bench_refuse(BenchReply *reply, int status, const char *why) {
    refuse_at(reply, status, NULL, why);
}

/* Whether the path was turned away; asked only of those who were let in. */
static bool refuse_path(const BenchRequest *request, BenchReply *reply) {
    if (strchr(request->path, '%') == NULL)
        return false;
    bench_refuse(reply, 400, "no path here has a % in it");
    return true;
}

static void answer_asset(const BenchRequest *request, BenchReply *reply) {
    if (refuse_path(request, reply))
        return;
    size_t size;
    const char *type;
    const unsigned char *asset = page_asset(request->path, &size, &type);
    if (asset == NULL) {
        bench_refuse(reply, 404, "nothing is here");
        return;
    }
    *reply = (BenchReply){.status = 500, .type = type};
    reply->bytes = malloc(size + 1);
    if (reply->bytes == NULL)
        return;
    memcpy(reply->bytes, asset, size);
    reply->size = size;
    reply->status = 200;
}

static int status_of(BlyCode code) {
    if (!bly_code_of_input(code))
        return 500;
    return code == BLY_E_IO ? 404 : 422;
}

static size_t member_count(const char *const *members) {
    size_t count = 0;
    while (members[count] != NULL)
        count++;
    return count;
}

/* One route's answer to a request that is a JSON object. */
static void ask_route(const Bench *bench, size_t index, const BlyJson *in, BenchReply *reply) {
    BlyError err = {0};
    int status = 0;
    const char *const *members = routes[index].members;
    cJSON *out = NULL;
    bool good = bly_json_object(in, members, member_count(members), &err);
    if (good && routes[index].route == NULL) {
        good = route_sheet(bench, in, reply, &err);
    } else if (good) {
        out = routes[index].route(bench, in, &status, &err);
        good = out != NULL;
        if (good)
            reply_tree(reply, 200, out);
    }
    if (good)
        return;
    if (err.code == BLY_OK)
        (void)bly_fail(&err, BLY_E_MEMORY, NULL, "no memory for the answer");
    reply_error(reply, status != 0 ? status : status_of(err.code), &err);
}

/* The page may ask for other units than the bench was started with. */
static bool own_units(const BenchRequest *request, Bench *own) {
    if (request->units == NULL)
        return true;
    own->system = strcmp(request->units, "inch") == 0 ? BLY_INCH : BLY_METRIC;
    return own->system == BLY_INCH || strcmp(request->units, "metric") == 0;
}

static void answer_route(const Bench *shared, size_t index, const BenchRequest *request,
                         BenchReply *reply) {
    BlyError err = {0};
    Bench own = *shared;
    if (!own_units(request, &own)) {
        bench_refuse(reply, 400, "X-Bench-Units should be metric or inch");
        return;
    }
    cJSON *tree = bly_json_parse(request->body, request->size, &err);
    BlyJson in = bly_json_root(tree);
    if (tree == NULL || !bly_json_object(&in, NULL, 0, &err))
        reply_error(reply, err.code == BLY_E_MEMORY ? 500 : 400, &err);
    else {
        own.stock = shelf_hold(shared->shelf);
        own.catalog = &own.stock->catalog;
        ask_route(&own, index, &in, reply);
        stock_let_go(own.stock);
    }
    cJSON_Delete(tree);
}

static void answer_post(const Bench *bench, const BenchRequest *request, BenchReply *reply) {
    size_t index = 0;
    while (index < ROUTES && strcmp(routes[index].path, request->path) != 0)
        index++;
    if (!own_origin(request))
        bench_refuse(reply, 403, "asked from another page");
    else if (!own_token(bench, request->token))
        refuse_at(reply, 403, "X-Bench-Token", "is not the key that this start printed");
    else if (refuse_path(request, reply))
        return;
    else if (index == ROUTES)
        bench_refuse(reply, 404, "no such route");
    else if (request->type == NULL || strcmp(request->type, json_type) != 0)
        bench_refuse(reply, 415, "the body should be application/json");
    else if (request->size > bench_body_most(bench, request))
        bench_refuse(reply, 413, "the body is too large");
    else
        answer_route(bench, index, request, reply);
}

void bench_answer(const Bench *bench, const BenchRequest *request, BenchReply *reply) {
    if (!own_host(bench, request->host))
        bench_refuse(reply, 403, "asked for another host");
    else if (strcmp(request->method, "GET") == 0)
        answer_asset(request, reply);
    else if (strcmp(request->method, "POST") == 0)
        answer_post(bench, request, reply);
    else
        bench_refuse(reply, 405, "only GET and POST");
}

void bench_reply_release(BenchReply *reply) {
    free(reply->bytes);
    *reply = (BenchReply){0};
}
