/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sockets: libmicrohttpd on the loopback addresses only, a thread for each connection, so that a
 * sheet being drawn or a page waiting for its fit holds up nobody. */
#include "bench/bench.h"
#include "bench/jobs.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { IDLE_SECS = 15, CONNECTIONS_MAX = 16 };

/* A request's body as it arrives. */
typedef struct Arriving {
    char *bytes;
    size_t size;
    bool too_large;
} Arriving;

static const char policy[] =
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src blob:; "
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
    if (arriving->too_large || size > BENCH_BODY_MAX - arriving->size) {
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

static enum MHD_Result on_request(void *user, struct MHD_Connection *connection, const char *url,
                                  const char *method, const char *version, const char *bytes,
                                  size_t *size, void **own) {
    (void)version;
    if (*own == NULL) {
        *own = calloc(1, sizeof(Arriving));
        return *own != NULL ? MHD_YES : MHD_NO;
    }
    Arriving *arriving = *own;
    if (*size > 0) {
        enum MHD_Result taken = take(arriving, bytes, *size);
        *size = 0;
        return taken;
    }
#define HEADER(name) MHD_lookup_connection_value(connection, MHD_HEADER_KIND, name)
    const BenchRequest request = {.method = method,
                                  .path = url,
                                  .host = HEADER("Host"),
                                  .origin = HEADER("Origin"),
                                  .token = HEADER("X-Bench-Token"),
                                  .type = HEADER("Content-Type"),
                                  .body = arriving->bytes != NULL ? arriving->bytes : "",
                                  .size = arriving->too_large ? (size_t)BENCH_BODY_MAX + 1
                                                              : arriving->size};
#undef HEADER
    BenchReply reply;
    bench_answer(user, &request, &reply);
    return send_reply(connection, &reply);
}

static void on_end(void *user, struct MHD_Connection *connection, void **own,
                   enum MHD_RequestTerminationCode why) {
    (void)user, (void)connection, (void)why;
    Arriving *arriving = *own;
    if (arriving != NULL)
        free(arriving->bytes);
    free(arriving);
    *own = NULL;
}

static struct MHD_Daemon *listen_on(Bench *bench, unsigned flags, const struct sockaddr *address) {
    return MHD_start_daemon(MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_THREAD_PER_CONNECTION | flags,
                            0, NULL, NULL, on_request, bench, MHD_OPTION_SOCK_ADDR, address,
                            MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)IDLE_SECS,
                            MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS_MAX,
                            MHD_OPTION_NOTIFY_COMPLETED, on_end, NULL, MHD_OPTION_END);
}

/* Ends on SIGINT or SIGTERM, which every thread blocks. */
static void wait_for_end(const sigset_t *ends) {
    int which;
    while (sigwait(ends, &which) != 0)
        continue;
}

bool bench_serve(Bench *bench, uint16_t port, BenchReady ready, void *user, BlyError *err) {
    sigset_t ends, before;
    (void)sigemptyset(&ends);
    (void)sigaddset(&ends, SIGINT);
    (void)sigaddset(&ends, SIGTERM);
    (void)pthread_sigmask(SIG_BLOCK, &ends, &before);
    struct sockaddr_in four = {.sin_family = AF_INET, .sin_port = htons(port)};
    four.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    struct MHD_Daemon *daemon = listen_on(bench, 0, (const struct sockaddr *)&four);
    if (daemon == NULL) {
        (void)pthread_sigmask(SIG_SETMASK, &before, NULL);
        return bly_fail(err, BLY_E_IO, "127.0.0.1", "cannot listen on port %u", port);
    }
    bench->port = MHD_get_daemon_info(daemon, MHD_DAEMON_INFO_BIND_PORT)->port;
    struct sockaddr_in6 six = {.sin6_family = AF_INET6, .sin6_port = htons(bench->port)};
    six.sin6_addr = in6addr_loopback;
    struct MHD_Daemon *second = listen_on(bench, MHD_USE_IPv6, (const struct sockaddr *)&six);
    char address[128];
    (void)snprintf(address, sizeof address, "http://127.0.0.1:%u/#%s", bench->port, bench->token);
    ready(bench, address, user);
    wait_for_end(&ends);
    jobs_close(bench->jobs); /* whoever waits for a fit is let go */
    if (second != NULL)
        MHD_stop_daemon(second);
    MHD_stop_daemon(daemon);
    (void)pthread_sigmask(SIG_SETMASK, &before, NULL);
    return true;
}
