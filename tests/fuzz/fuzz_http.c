/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Requests to the bench: "METHOD PATH", header lines, an empty line, the body. What is not said is
 * as the page says it, so that most inputs come past the door; a header line may say otherwise.
 * Laws: every answer is one of the statuses that docs/bench.md lists; JSON is JSON; a refusal says
 * why; nobody gets past the door with another host, origin or token; and nothing outside the folder
 * is read or written. */
#include "fuzz/fuzz.h"

#include "bench/bench.h"
#include "files/files.h"

#include <cjson/cJSON.h>
#include <dirent.h>
#include <gsl/gsl_errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define HTTP_SECRET "what lies outside the folder"
enum { HTTP_LINES_MAX = 12 };

static char http_base[64];
static Bench http_bench;

static void http_clean(void) {
    char command[128];
    bench_release(&http_bench);
    (void)snprintf(command, sizeof command, "rm -rf %s", http_base);
    FUZZ_LAW(system(command) == 0);
}

static void http_put(const char *name, const char *text) {
    char path[128];
    (void)snprintf(path, sizeof path, "%s/%s", http_base, name);
    FUZZ_LAW(bly_file_write(path, text, strlen(text), BLY_KEEP_NOTHING, NULL));
}

/* In memory where there is such a place: every save waits for the disk. */
static void http_start(void) {
    char folder[128];
    (void)gsl_set_error_handler_off();
    (void)snprintf(http_base, sizeof http_base, "%s/ballastry-fuzz-XXXXXX",
                   access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp");
    FUZZ_LAW(mkdtemp(http_base) != NULL);
    (void)snprintf(folder, sizeof folder, "%s/builds", http_base);
    FUZZ_LAW(mkdir(folder, 0700) == 0);
    http_put("secret.json", HTTP_SECRET);
    http_put("builds/there.json", "{\"ballastry\": 1}");
    http_put("builds/list.csv", "x,diameter\n0,0\n20,14\n60,3\n");
    (void)snprintf(folder, sizeof folder, "%s/builds/link.json", http_base);
    FUZZ_LAW(symlink("../secret.json", folder) == 0);
    (void)snprintf(folder, sizeof folder, "%s/builds", http_base);
    FUZZ_LAW(bench_start(&http_bench, folder, NULL, BLY_METRIC, NULL));
    http_bench.port = 4321;
    (void)atexit(http_clean);
}

/* The text with its lines ended by NUL; *body is what comes after the first empty one. */
static size_t http_lines(char *text, size_t size, char *lines[HTTP_LINES_MAX], char **body) {
    size_t count = 0;
    char *at = text, *end = text + size;
    *body = end;
    while (at < end && count < HTTP_LINES_MAX) {
        char *stop = memchr(at, '\n', (size_t)(end - at));
        if (stop == NULL)
            stop = end;
        *stop = '\0';
        if (*at == '\0') {
            *body = stop < end ? stop + 1 : end;
            break;
        }
        lines[count++] = at;
        at = stop + 1;
    }
    return count;
}

static void http_header(BenchRequest *request, char *line) {
    const struct {
        const char *name;
        const char **to;
    } headers[] = {{"Host: ", &request->host},
                   {"Origin: ", &request->origin},
                   {"X-Bench-Token: ", &request->token},
                   {"Content-Type: ", &request->type}};
    for (size_t i = 0; i < sizeof headers / sizeof headers[0]; i++) {
        size_t length = strlen(headers[i].name);
        if (strncmp(line, headers[i].name, length) == 0)
            *headers[i].to = line + length;
    }
}

static bool http_known_status(int status) {
    static const int known[] = {200, 400, 403, 404, 405, 409, 413, 415, 422, 429, 507};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (status == known[i])
            return true;
    }
    return false;
}

static bool http_let_in(const BenchRequest *request) {
    bool host = strcmp(request->host, "127.0.0.1:4321") == 0 ||
                strcmp(request->host, "[::1]:4321") == 0 ||
                strcmp(request->host, "localhost:4321") == 0;
    if (strcmp(request->method, "GET") == 0)
        return host;
    return host && strncmp(request->origin, "http://", 7) == 0 &&
           strcmp(request->origin + 7, request->host) == 0 &&
           strcmp(request->token, http_bench.token) == 0;
}

static bool http_within(const char *bytes, size_t size, const char *words) {
    size_t length = strlen(words);
    for (size_t i = 0; i + length <= size; i++) {
        if (memcmp(bytes + i, words, length) == 0)
            return true;
    }
    return false;
}

/* Words that the request did not bring itself. */
static bool http_tells(const BenchRequest *request, const BenchReply *reply, const char *words) {
    return http_within(reply->bytes, reply->size, words) &&
           !http_within(request->body, request->size, words);
}

/* A fit that was started is stopped again. */
static void http_stop_job(const cJSON *job) {
    char body[64];
    (void)snprintf(body, sizeof body, "{\"job\": %.0f}", job->valuedouble);
    const BenchRequest request = {.method = "POST",
                                  .path = "/api/fit-stop",
                                  .host = "127.0.0.1:4321",
                                  .origin = "http://127.0.0.1:4321",
                                  .token = http_bench.token,
                                  .type = "application/json",
                                  .body = body,
                                  .size = strlen(body)};
    BenchReply reply;
    bench_answer(&http_bench, &request, &reply);
    bench_reply_release(&reply);
}

static void http_json(const BenchReply *reply) {
    cJSON *tree = cJSON_ParseWithLength(reply->bytes, reply->size);
    FUZZ_LAW(cJSON_IsObject(tree));
    const cJSON *error = cJSON_GetObjectItemCaseSensitive(tree, "error");
    if (reply->status != 200) {
        const cJSON *text = cJSON_GetObjectItemCaseSensitive(error, "text");
        FUZZ_LAW(cJSON_IsString(text) && text->valuestring[0] != '\0');
    }
    const cJSON *job = cJSON_GetObjectItemCaseSensitive(tree, "job");
    if (cJSON_IsNumber(job) && cJSON_GetArraySize(tree) == 1)
        http_stop_job(job);
    cJSON_Delete(tree);
}

/* Beside the folder lies only what lay there. */
static void http_outside(void) {
    char path[128], *text;
    size_t size, count = 0;
    DIR *dir = opendir(http_base);
    FUZZ_LAW(dir != NULL);
    for (const struct dirent *entry; (entry = readdir(dir)) != NULL;)
        count += entry->d_name[0] != '.';
    (void)closedir(dir);
    FUZZ_LAW(count == 2);
    (void)snprintf(path, sizeof path, "%s/secret.json", http_base);
    FUZZ_LAW(bly_file_read(path, 1 << 20, &text, &size, NULL));
    FUZZ_LAW(strcmp(text, HTTP_SECRET) == 0);
    free(text);
}

static void http_ask(const BenchRequest *request) {
    BenchReply reply;
    bench_answer(&http_bench, request, &reply);
    FUZZ_LAW(http_known_status(reply.status));
    FUZZ_LAW(reply.bytes != NULL && reply.type != NULL);
    FUZZ_LAW(http_let_in(request) || reply.status == 403 ||
             (reply.status == 405 && strcmp(request->method, "POST") != 0));
    bool file = reply.status == 200 && strcmp(reply.type, "application/json") != 0;
    FUZZ_LAW(!file || strcmp(request->method, "GET") == 0 ||
             strcmp(request->path, "/api/sheet") == 0);
    if (!file)
        http_json(&reply);
    FUZZ_LAW(!http_tells(request, &reply, HTTP_SECRET) && !http_tells(request, &reply, http_base));
    bench_reply_release(&reply);
    if (strncmp(request->path, "/api/save", 9) == 0 ||
        strncmp(request->path, "/api/draft", 10) == 0)
        http_outside();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *text = malloc(size + 1), *lines[HTTP_LINES_MAX], *body;
    if (http_base[0] == '\0')
        http_start();
    FUZZ_LAW(text != NULL);
    if (size > 0)
        memcpy(text, data, size);
    text[size] = '\0';
    size_t count = http_lines(text, size, lines, &body);
    char *path = count > 0 ? strchr(lines[0], ' ') : NULL;
    if (path != NULL) {
        *path++ = '\0';
        size_t length = (size_t)(text + size - body);
        char *exact = malloc(length + 1); /* of just that size, so that reading beyond is seen */
        FUZZ_LAW(exact != NULL);
        memcpy(exact, body, length);
        exact[length] = '\0';
        BenchRequest request = {.method = lines[0],
                                .path = path,
                                .host = "127.0.0.1:4321",
                                .origin = "http://127.0.0.1:4321",
                                .token = http_bench.token,
                                .type = "application/json",
                                .body = exact,
                                .size = length};
        for (size_t i = 1; i < count; i++)
            http_header(&request, lines[i]);
        http_ask(&request);
        free(exact);
    }
    free(text);
    return 0;
}
