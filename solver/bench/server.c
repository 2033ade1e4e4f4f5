/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sockets: libmicrohttpd on the loopback addresses only, a thread for each connection, so that a
 * sheet being drawn or a page waiting for its fit holds up nobody. */
#include "bench/bench.h"
#include "bench/jobs.h"
#include "bench/watch.h"

#include <arpa/inet.h>
#include <fcntl.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

enum { CONNECTIONS_MAX = 16, FREE_LEAST = 4 };

/* A body beyond the limit is passed over so that the refusal can be told; one announced beyond this
 * is refused before it comes. */
static const unsigned long long passed_over_most = 16ULL * BENCH_BODY_MAX;

/* What the callbacks know. */
typedef struct Server {
    Bench *bench;
    Watch *watch;
} Server;

/* A request's body as it arrives. */
typedef struct Arriving {
    char *bytes;
    size_t size, most;
    bool too_large;
} Arriving;

static const char policy[] = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src "
                             "'self'; img-src 'self' blob:; "
                             "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

static enum MHD_Result send_reply(struct MHD_Connection *connection, BenchReply *reply) {
    static char nothing[1];
    struct MHD_Response *response =
        reply->bytes != NULL
            ? MHD_create_response_from_buffer(reply->size, reply->bytes, MHD_RESPMEM_MUST_FREE)
            : MHD_create_response_from_buffer(0, nothing, MHD_RESPMEM_PERSISTENT);
    if (response == NULL) {
        bench_reply_release(reply);
        return MHD_NO;
    }
    const char *const headers[][2] = {{"Content-Type", reply->type},
                                      {"Content-Security-Policy", policy},
                                      {"X-Content-Type-Options", "nosniff"},
                                      {"Referrer-Policy", "no-referrer"},
                                      {"Cross-Origin-Resource-Policy", "same-origin"},
                                      {"Cache-Control", "no-store"}};
    enum MHD_Result result = MHD_YES;
    for (size_t i = 0; result == MHD_YES && i < sizeof headers / sizeof headers[0]; i++)
        result = MHD_add_response_header(response, headers[i][0], headers[i][1]);
    char pages[32];
    (void)snprintf(pages, sizeof pages, "%zu", reply->pages);
    if (result == MHD_YES && reply->pages > 0)
        result = MHD_add_response_header(response, "X-Bench-Pages", pages);
    if (result == MHD_YES)
        result = MHD_queue_response(connection, (unsigned)reply->status, response);
    MHD_destroy_response(response);
    return result;
}

/* What goes beyond the limit is passed over, so that the refusal can still be told. */
static enum MHD_Result take(Arriving *arriving, const char *bytes, size_t size) {
    if (arriving->too_large || size > arriving->most - arriving->size) {
        arriving->too_large = true;
        return MHD_YES;
    }
    char *more = realloc(arriving->bytes, arriving->size + size + 1);
    if (more == NULL)
        return MHD_NO;
    memcpy(more + arriving->size, bytes, size);
    arriving->bytes = more;
    arriving->size += size;
    more[arriving->size] = '\0';
    return MHD_YES;
}

/* What decides where a request goes and where it ends may stand there once. */
typedef struct Counted {
    unsigned hosts, lengths, codings;
    unsigned long long length;
} Counted;

static enum MHD_Result count_header(void *user, enum MHD_ValueKind kind, const char *key,
                                    const char *value) {
    Counted *counted = user;
    (void)kind;
    if (strcasecmp(key, "Host") == 0)
        counted->hosts++;
    if (strcasecmp(key, "Transfer-Encoding") == 0)
        counted->codings++;
    if (strcasecmp(key, "Content-Length") == 0) {
        counted->lengths++;
        counted->length = value != NULL ? strtoull(value, NULL, 10) : 0;
    }
    return MHD_YES;
}

/* Looks at the headers before any of the body is taken; false: *reply is a refusal. */
static bool headers_will_do(struct MHD_Connection *connection, BenchReply *reply) {
    Counted counted = {0};
    (void)MHD_get_connection_values(connection, MHD_HEADER_KIND, count_header, &counted);
    if (counted.hosts > 1)
        bench_refuse(reply, 400, "there is more than one Host");
    else if (counted.lengths + counted.codings > 1)
        bench_refuse(reply, 400, "the length of the body is told more than once");
    else if (counted.length > passed_over_most)
        bench_refuse(reply, 413, "the body is too large");
    else
        return true;
    return false;
}

static Guest *guest_of(struct MHD_Connection *connection) {
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info != NULL ? info->socket_context : NULL;
}

static void on_connection(void *user, struct MHD_Connection *connection, void **own,
                          enum MHD_ConnectionNotificationCode what) {
    const Server *server = user;
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    if (what == MHD_CONNECTION_NOTIFY_CLOSED) {
        watch_leave(*own);
        *own = NULL;
    } else if (info != NULL) {
        *own = watch_enter(server->watch, info->connect_fd);
    }
}

static BenchRequest request_of(struct MHD_Connection *connection, const char *url,
                               const char *method) {
#define HEADER(name) MHD_lookup_connection_value(connection, MHD_HEADER_KIND, name)
    return (BenchRequest){.method = method,
                          .path = url,
                          .host = HEADER("Host"),
                          .origin = HEADER("Origin"),
                          .token = HEADER("X-Bench-Token"),
                          .type = HEADER("Content-Type"),
                          .units = HEADER("X-Bench-Units"),
                          .body = ""};
#undef HEADER
}

static enum MHD_Result on_request(void *user, struct MHD_Connection *connection, const char *url,
                                  const char *method, const char *version, const char *bytes,
                                  size_t *size, void **own) {
    (void)version;
    const Server *server = user;
    BenchReply reply;
    BenchRequest request = request_of(connection, url, method);
    Guest *guest = guest_of(connection);
    Arriving *arriving = *own;
    if (arriving == NULL) {
        watch_hear(guest);
        *own = arriving = calloc(1, sizeof *arriving);
        if (arriving == NULL)
            return MHD_NO;
        arriving->most = bench_body_most(server->bench, &request);
        return headers_will_do(connection, &reply) ? MHD_YES : send_reply(connection, &reply);
    }
    if (*size > 0) {
        enum MHD_Result taken = take(arriving, bytes, *size);
        *size = 0;
        return taken;
    }
    if (arriving->bytes != NULL)
        request.body = arriving->bytes;
    request.size = arriving->too_large ? arriving->most + 1 : arriving->size;
    watch_work(guest);
    bench_answer(server->bench, &request, &reply);
    watch_wait(guest);
    return send_reply(connection, &reply);
}

static void on_end(void *user, struct MHD_Connection *connection, void **own,
                   enum MHD_RequestTerminationCode why) {
    (void)user, (void)why;
    watch_rest(guest_of(connection));
    Arriving *arriving = *own;
    if (arriving != NULL)
        free(arriving->bytes);
    free(arriving);
    *own = NULL;
}

/* Paths here have no escapes: left as they are they lead nowhere, and none hides the path's end. */
static size_t keep_escapes(void *user, struct MHD_Connection *connection, char *text) {
    (void)user, (void)connection;
    return strlen(text);
}

/* A listening socket, -1 where there is none to be had. */
static int socket_on(const struct sockaddr *address, socklen_t size) {
    int descriptor = socket(address->sa_family, SOCK_STREAM, 0), yes = 1;
    if (descriptor < 0)
        return -1;
    bool good = setsockopt(descriptor, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes) == 0;
    if (good && address->sa_family == AF_INET6)
        good = setsockopt(descriptor, IPPROTO_IPV6, IPV6_V6ONLY, &yes, sizeof yes) == 0;
    if (good && fcntl(descriptor, F_SETFD, FD_CLOEXEC) == 0 &&
        bind(descriptor, address, size) == 0 && listen(descriptor, SOMAXCONN) == 0)
        return descriptor;
    (void)close(descriptor);
    return -1;
}

static int socket_four(uint16_t port, uint16_t *taken) {
    struct sockaddr_in four = {.sin_family = AF_INET, .sin_port = htons(port)};
    socklen_t size = sizeof four;
    four.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    int descriptor = socket_on((const struct sockaddr *)&four, sizeof four);
    if (descriptor >= 0 && getsockname(descriptor, (struct sockaddr *)&four, &size) == 0)
        *taken = ntohs(four.sin_port);
    return descriptor;
}

static int socket_six(uint16_t port) {
    struct sockaddr_in6 six = {.sin6_family = AF_INET6, .sin6_port = htons(port)};
    six.sin6_addr = in6addr_loopback;
    return socket_on((const struct sockaddr *)&six, sizeof six);
}

/* The same folder has the same port where it is free, so that a page that was left open finds the
 * program again: one of the ports for private use (RFC 6335, 49152 to 65535). */
static uint16_t port_of(const Bench *bench) {
    return (uint16_t)(49152 + bench->mark % 16384);
}

static int socket_for(const Bench *bench, uint16_t asked, uint16_t *taken) {
    int descriptor = socket_four(asked != 0 ? asked : port_of(bench), taken);
    return descriptor < 0 && asked == 0 ? socket_four(0, taken) : descriptor;
}

/* Takes the socket. */
static struct MHD_Daemon *serve_on(Server *server, int descriptor) {
    if (descriptor < 0)
        return NULL;
    struct MHD_Daemon *daemon = MHD_start_daemon(
        MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_THREAD_PER_CONNECTION, 0, NULL, NULL, on_request,
        server, MHD_OPTION_LISTEN_SOCKET, descriptor, MHD_OPTION_CONNECTION_TIMEOUT,
        server->bench->idle_secs, MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS_MAX,
        MHD_OPTION_UNESCAPE_CALLBACK, keep_escapes, NULL, MHD_OPTION_NOTIFY_COMPLETED, on_end, NULL,
        MHD_OPTION_NOTIFY_CONNECTION, on_connection, server, MHD_OPTION_END);
    if (daemon == NULL)
        (void)close(descriptor);
    return daemon;
}

/* Ends on SIGINT or SIGTERM, which every thread blocks. */
static void wait_for_end(const sigset_t *ends) {
    int which;
    while (sigwait(ends, &which) != 0)
        continue;
}

static bool serve(Server *server, uint16_t port, const sigset_t *ends, BenchReady ready, void *user,
                  BlyError *err) {
    Bench *bench = server->bench;
    char address[128];
    int four = socket_for(bench, port, &bench->port); /* known before the first request can come */
    struct MHD_Daemon *daemon = serve_on(server, four);
    if (daemon == NULL)
        return bly_fail(err, BLY_E_IO, "127.0.0.1", "cannot listen on port %u", port);
    struct MHD_Daemon *second = serve_on(server, socket_six(bench->port));
    (void)snprintf(address, sizeof address, "http://127.0.0.1:%u/#%s", bench->port, bench->token);
    ready(bench, address, user);
    wait_for_end(ends);
    jobs_close(bench->jobs); /* whoever waits for a fit is let go */
    if (second != NULL)
        MHD_stop_daemon(second);
    MHD_stop_daemon(daemon);
    return true;
}

bool bench_serve(Bench *bench, uint16_t port, BenchReady ready, void *user, BlyError *err) {
    sigset_t ends, before;
    (void)sigemptyset(&ends);
    (void)sigaddset(&ends, SIGINT);
    (void)sigaddset(&ends, SIGTERM);
    (void)pthread_sigmask(SIG_BLOCK, &ends, &before);
    Server server = {bench, watch_new(bench->request_secs, CONNECTIONS_MAX - FREE_LEAST)};
    bool good = server.watch != NULL ? serve(&server, port, &ends, ready, user, err)
                                     : bly_fail(err, BLY_E_MEMORY, NULL, "no memory to serve");
    watch_free(server.watch);
    (void)pthread_sigmask(SIG_SETMASK, &before, NULL);
    return good;
}
