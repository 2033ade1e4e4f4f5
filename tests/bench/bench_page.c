/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an edit on the page costs: the rest route over one kept connection, from the first byte sent
 * to the last one come, for invented lures of 50 stations with five seats, and for one of them as a
 * mesh, where the first answer includes reading it.
 *
 *   bench_page        prints rows of a Markdown table: what, median (worst), target, verdict
 *
 * Wall time, each round another build, as when a station is dragged. The ratio is to the same rest
 * worked out without server and text: how much the page adds. */
#include "ballastry/catalog.h"
#include "ballastry/facets.h"
#include "ballastry/stl.h"
#include "bench/bench.h"
#include "bench/timing.h"

#include <cjson/cJSON.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <netinet/in.h>
#include <pthread.h>
#include <semaphore.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum { ROUNDS = 101, MESH_ROUNDS = 21, STATIONS = 50, TEXT_MOST = 24000, REPLY_MOST = 1 << 20 };
static const double budget_secs = 0.050; /* an edit's answer, by the page's own promise */

static Bench bench;
static sem_t ready;

static _Noreturn void stop(const char *what) {
    (void)fprintf(stderr, "bench_page: %s\n", what);
    exit(1);
}

static double now_secs(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* A spindle with lip, three hooks and a strip; `dragged` moves its shoulder. */
static void write_build(double density, double dragged, char *text) {
    int n = snprintf(text, TEXT_MOST,
                     "{ \"ballastry\": 1, \"name\": \"dragged\", \"body\": { \"material\": { "
                     "\"density\": \"%.3f g/cm3\" }, \"coats\": [ { \"material\": "
                     "\"epoxy-clear\", \"thickness\": \"0.25 mm\" } ], \"stations\": [",
                     density);
    for (int i = 0; i < STATIONS; i++) {
        double u = (double)i / (STATIONS - 1), root = sqrt(u * (1 - u)) * (1 - 0.3 * u);
        n += snprintf(text + n, TEXT_MOST - (size_t)n,
                      "%s{ \"x\": \"%.4f mm\", \"width\": \"%.4f mm\", \"height\": \"%.4f mm\" }",
                      i > 0 ? ", " : "", 95 * u, (28 + dragged) * root, 32 * root);
    }
    static const char chain[] =
        "{ \"eye\": \"screw-eye-0.8-8\", \"ring\": \"ring-2\", \"hook\": \"treble-8-medium\" }";
    (void)snprintf(
        text + n, TEXT_MOST - (size_t)n,
        "] }, \"seats\": { \"tie\": { \"kind\": \"tie\", \"x\": 1, \"side\": \"nose\" }, "
        "\"front\": { \"kind\": \"hanger\", \"x\": 30, \"side\": \"belly\" }, "
        "\"middle\": { \"kind\": \"hanger\", \"x\": 60, \"side\": \"belly\" }, "
        "\"rear\": { \"kind\": \"hanger\", \"x\": 94, \"side\": \"tail\" }, "
        "\"keel\": { \"kind\": \"patch\", \"x\": [35, 55], \"side\": \"belly\", \"width\": 8 } }, "
        "\"fitted\": { \"tie\": { \"eye\": \"screw-eye-0.8-8\" }, \"front\": %s, \"middle\": %s, "
        "\"rear\": %s }, \"target\": { \"state\": \"suspend\", \"drift\": [\"-15 mm/s\", \"15 "
        "mm/s\"] } }",
        chain, chain, chain);
}

/* The same spindle as a mesh in the bench's folder; how many facets. */
static size_t write_mesh(const char *path, double chord) {
    char *text = malloc(TEXT_MOST), *bytes = NULL;
    BlyBuild *build = NULL;
    BlyMesh mesh;
    size_t size = 0;
    if (text == NULL)
        stop("no memory");
    write_build(1.0, 0.0, text);
    if (!bly_build_read(text, strlen(text), &bench.catalog, &build, NULL) ||
        !bly_body_facets(build->shape, chord, &mesh, NULL) ||
        !bly_stl_write(&mesh, 1e-3, BLY_STL_BINARY, &bytes, &size, NULL))
        stop("no mesh");
    FILE *file = fopen(path, "wb");
    if (file == NULL || fwrite(bytes, 1, size, file) != size || fclose(file) != 0)
        stop("the mesh cannot be written");
    size_t facets = mesh.facet_count;
    bly_mesh_release(&mesh);
    bly_build_free(build);
    free(bytes);
    free(text);
    return facets;
}

/* An eye is `dragged`. */
static void write_mesh_build(double density, double dragged, char *text) {
    (void)snprintf(
        text, TEXT_MOST,
        "{ \"ballastry\": 1, \"name\": \"dragged\", \"body\": { \"mesh\": \"m.stl\", "
        "\"unit\": \"mm\", \"nose\": \"-x\", \"up\": \"+z\", \"material\": { "
        "\"density\": \"%.3f g/cm3\" } }, \"seats\": { \"front\": { \"kind\": \"hanger\", "
        "\"x\": %.3f, \"side\": \"belly\" } }, \"fitted\": { \"front\": { \"eye\": "
        "\"screw-eye-0.8-8\" } } }",
        density, 30 + dragged);
}

static void on_ready(const Bench *at_work, const char *address, void *user) {
    (void)at_work, (void)address, (void)user;
    (void)sem_post(&ready);
}

static void *serve(void *context) {
    (void)context;
    if (!bench_serve(&bench, 0, on_ready, NULL, NULL))
        stop("cannot serve");
    return NULL;
}

static int visit(void) {
    struct sockaddr_in at_home = {.sin_family = AF_INET, .sin_port = htons(bench.port)};
    at_home.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    int guest = socket(AF_INET, SOCK_STREAM, 0);
    if (guest < 0 || connect(guest, (const struct sockaddr *)&at_home, sizeof at_home) != 0)
        stop("cannot connect");
    return guest;
}

/* One request and its whole answer; false when it is not a 200. */
static bool exchange(int guest, const char *words, size_t size, char *reply) {
    for (size_t sent = 0; sent < size;) {
        ssize_t part = send(guest, words + sent, size - sent, MSG_NOSIGNAL);
        if (part <= 0)
            return false;
        sent += (size_t)part;
    }
    size_t got = 0, whole = REPLY_MOST;
    while (got < whole && got + 1 < REPLY_MOST) {
        ssize_t part = recv(guest, reply + got, REPLY_MOST - 1 - got, 0);
        if (part <= 0)
            return false;
        got += (size_t)part;
        reply[got] = '\0';
        const char *end = strstr(reply, "\r\n\r\n"), *length = strstr(reply, "Content-Length: ");
        if (end != NULL && length != NULL)
            whole = (size_t)(end - reply) + 4 + strtoul(length + 16, NULL, 10);
    }
    return strncmp(reply, "HTTP/1.1 200", 12) == 0;
}

static char *request_of(const char *build, size_t *size) {
    cJSON *o = cJSON_CreateObject();
    if (o == NULL || cJSON_AddStringToObject(o, "build", build) == NULL)
        stop("no memory");
    char *body = cJSON_PrintUnformatted(o), *words = malloc(TEXT_MOST * 2);
    cJSON_Delete(o);
    if (body == NULL || words == NULL)
        stop("no memory");
    int n = snprintf(words, TEXT_MOST * 2,
                     "POST /api/rest HTTP/1.1\r\nHost: 127.0.0.1:%u\r\nOrigin: "
                     "http://127.0.0.1:%u\r\nX-Bench-Token: %s\r\nContent-Type: "
                     "application/json\r\nContent-Length: %zu\r\n\r\n%s",
                     bench.port, bench.port, bench.token, strlen(body), body);
    *size = (size_t)n;
    free(body);
    return words;
}

/* The same figures without text and server: the build is read, its lure rests. */
static double bare_secs(const char *text) {
    BlyBuild *build = NULL;
    BlyLure lure;
    BlyWater water;
    BlyOutcome outcome;
    if (!bly_build_read(text, strlen(text), &bench.catalog, &build, NULL))
        stop("the build does not read");
    double start = now_secs();
    if (!bly_water_at(build->water.temperature.value, 0, &water, NULL) ||
        !bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, NULL) ||
        !bly_rest(&lure, &water, &outcome, NULL))
        stop("the lure does not rest");
    double secs = now_secs() - start;
    bly_lure_release(&lure);
    bly_build_free(build);
    return secs;
}

/* From the first byte sent to the last one come. */
static double trip_secs(int guest, const char *text, char *reply) {
    size_t size;
    char *words = request_of(text, &size);
    double start = now_secs();
    if (!exchange(guest, words, size, reply))
        stop("the route did not answer");
    double secs = now_secs() - start;
    free(words);
    return secs;
}

/* The first round, in which the mesh is read, and the middle of the others. */
static void measure_mesh(const char *path, double chord, double density) {
    double trip[MESH_ROUNDS], first = 0;
    char *text = malloc(TEXT_MOST), *reply = malloc(REPLY_MOST);
    size_t facets = write_mesh(path, chord);
    int guest = visit();
    if (text == NULL || reply == NULL)
        stop("no memory");
    for (int i = 0; i <= MESH_ROUNDS; i++) {
        write_mesh_build(density, 0.02 * i, text);
        double secs = trip_secs(guest, text, reply);
        if (i == 0)
            first = secs;
        else
            trip[i - 1] = secs;
    }
    (void)close(guest);
    double middle = median(trip, MESH_ROUNDS);
    (void)printf("| .. on a mesh of %zu facets, %s: the first, and those behind it | %.3g ms, %.3g "
                 "ms (%.3g ms) | none set | |\n",
                 facets, density > 1 ? "sinks" : "floats", 1e3 * first, 1e3 * middle,
                 1e3 * trip[MESH_ROUNDS - 1]);
    free(text);
    free(reply);
    (void)remove(path);
}

static void measure(const char *what, double density) {
    double trip[ROUNDS], ratio[ROUNDS];
    char *text = malloc(TEXT_MOST), *reply = malloc(REPLY_MOST);
    int guest = visit();
    if (text == NULL || reply == NULL)
        stop("no memory");
    for (int i = 0; i < ROUNDS; i++) {
        write_build(density, 0.02 * i, text);
        trip[i] = trip_secs(guest, text, reply);
        ratio[i] = trip[i] / bare_secs(text);
    }
    (void)close(guest);
    double middle = median(trip, ROUNDS), worst = trip[ROUNDS - 1];
    double apart = median(ratio, ROUNDS);
    (void)printf(
        "| an edit on the page, %s: round trip | %.3g ms (%.3g ms) | 50 ms, worst too | %s "
        "|\n",
        what, 1e3 * middle, 1e3 * worst, worst <= budget_secs ? "met" : "missed");
    (void)printf("| .. as a ratio to the bare `rest` | %.3g (%.3g) | none set | |\n", apart,
                 ratio[ROUNDS - 1]);
    free(text);
    free(reply);
}

int main(void) {
    char folder[] = "/tmp/ballastry-bench-XXXXXX";
    pthread_t server;
    sigset_t ends;
    (void)gsl_set_error_handler_off();
    (void)sigemptyset(&ends);
    (void)sigaddset(&ends, SIGTERM);
    (void)pthread_sigmask(SIG_BLOCK, &ends, NULL);
    if (mkdtemp(folder) == NULL || sem_init(&ready, 0, 0) != 0 ||
        !bench_start(&bench, folder, NULL, BLY_METRIC, NULL) ||
        pthread_create(&server, NULL, serve, NULL) != 0 || sem_wait(&ready) != 0)
        stop("cannot start");
    measure("sinks", 1.05);
    measure("floats", 0.55);
    char path[64];
    (void)snprintf(path, sizeof path, "%s/m.stl", folder);
    measure_mesh(path, 1.5e-5, 0.55);
    measure_mesh(path, 4e-6, 0.55);
    measure_mesh(path, 1.2e-6, 0.55);
    (void)pthread_kill(server, SIGTERM);
    (void)pthread_join(server, NULL);
    bench_release(&bench);
    (void)rmdir(folder);
    return 0;
}
