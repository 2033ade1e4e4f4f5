/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The server on real sockets: who reaches it, and that clients that are slow, greedy or talk
 * nonsense hold up nobody else. Status codes: RFC 9110; 100 ms and the like are our own limits. */
#include "page/kit.h"

#include <arpa/inet.h>
#include <errno.h>
#include <ifaddrs.h>
#include <netinet/in.h>
#include <poll.h>
#include <pthread.h>
#include <semaphore.h>
#include <signal.h>
#include <sys/socket.h>
#include <time.h>

enum { IDLE_SECS = 2, PATIENT_SECS = 600 };
static const double request_secs = 1.5;
static bool patient; /* nobody is shown out for being slow */

static pthread_t server;
static sem_t ready;
static bool served;

static void on_ready(const Bench *at_work, const char *address, void *user) {
    (void)at_work, (void)address, (void)user;
    (void)sem_post(&ready);
}

static void *serve(void *context) {
    (void)context;
    served = bench_serve(&bench, 0, on_ready, NULL, NULL);
    return NULL;
}

static int start_server(void **state) {
    sigset_t ends;
    (void)sigemptyset(&ends);
    (void)sigaddset(&ends, SIGTERM);
    (void)sigaddset(&ends, SIGINT);
    (void)pthread_sigmask(SIG_BLOCK, &ends, NULL);
    (void)signal(SIGPIPE, SIG_IGN);
    if (start(state) != 0 || sem_init(&ready, 0, 0) != 0)
        return -1;
    bench.idle_secs = patient ? PATIENT_SECS : IDLE_SECS;
    bench.request_secs = patient ? PATIENT_SECS : request_secs;
    return pthread_create(&server, NULL, serve, NULL) == 0 && sem_wait(&ready) == 0 ? 0 : -1;
}

static int start_patient_server(void **state) {
    patient = true;
    memset(folder + strlen(folder) - 6, 'X', 6); /* a name anew */
    return start_server(state);
}

static int stop_server(void **state) {
    (void)pthread_kill(server, SIGTERM);
    (void)pthread_join(server, NULL);
    (void)sem_destroy(&ready);
    return served ? stop(state) : -1;
}

static double now_secs(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void pause_ms(long ms) {
    struct timespec t = {.tv_sec = ms / 1000, .tv_nsec = ms % 1000 * 1000000};
    (void)nanosleep(&t, NULL);
}

static int visit(void) {
    struct sockaddr_in at_home = {.sin_family = AF_INET, .sin_port = htons(bench.port)};
    at_home.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    int guest = socket(AF_INET, SOCK_STREAM, 0);
    assert_true(guest >= 0);
    assert_int_equal(connect(guest, (const struct sockaddr *)&at_home, sizeof at_home), 0);
    return guest;
}

static bool say(int guest, const char *words, size_t size) {
    while (size > 0) {
        ssize_t sent = send(guest, words, size, MSG_NOSIGNAL);
        if (sent <= 0)
            return false;
        words += sent;
        size -= (size_t)sent;
    }
    return true;
}

/* Everything until the server closes, or what has come within the time: its length. */
static size_t hear(int guest, char *out, size_t room, int ms, bool *closed) {
    size_t size = 0;
    double until = now_secs() + ms * 1e-3;
    *closed = false;
    while (size + 1 < room && now_secs() < until) {
        struct pollfd wait = {.fd = guest, .events = POLLIN};
        if (poll(&wait, 1, 20) <= 0)
            continue;
        ssize_t got = recv(guest, out + size, room - 1 - size, 0);
        *closed = got <= 0;
        if (got <= 0)
            break;
        size += (size_t)got;
    }
    out[size] = '\0';
    return size;
}

static void post_words(const char *route, const char *length, const char *connection,
                       char out[700]) {
    (void)snprintf(out, 700,
                   "POST %s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\nOrigin: http://127.0.0.1:%u\r\n"
                   "X-Bench-Token: %s\r\nContent-Type: application/json\r\nContent-Length: %s\r\n"
                   "Connection: %s\r\n\r\n",
                   route, bench.port, bench.port, bench.token, length, connection);
}

static int status_in(const char *reply) {
    int status = 0;
    return sscanf(reply, "HTTP/1.1 %d", &status) == 1 ? status : 0;
}

/* One whole request on a connection of its own; 0: no answer. */
static int asked(void) {
    char words[700], reply[4096];
    bool closed;
    int guest = visit();
    post_words("/api/list", "2", "close", words);
    (void)say(guest, words, strlen(words));
    (void)say(guest, "{}", 2);
    (void)hear(guest, reply, sizeof reply, 8000, &closed);
    (void)close(guest);
    return status_in(reply);
}

static void test_answers_at_home(void **state) {
    (void)state;
    assert_int_equal(asked(), 200);
    struct sockaddr_in6 six = {.sin6_family = AF_INET6, .sin6_port = htons(bench.port)};
    six.sin6_addr = in6addr_loopback;
    int guest = socket(AF_INET6, SOCK_STREAM, 0);
    if (guest < 0 || connect(guest, (const struct sockaddr *)&six, sizeof six) != 0)
        print_message("::1: left out, this machine has no IPv6\n");
    if (guest >= 0)
        (void)close(guest);
}

/* The machine's own addresses in the network lead nowhere. */
static void test_is_not_at_home_for_the_network(void **state) {
    (void)state;
    struct ifaddrs *all = NULL;
    size_t tried = 0;
    assert_int_equal(getifaddrs(&all), 0);
    for (const struct ifaddrs *one = all; one != NULL; one = one->ifa_next) {
        if (one->ifa_addr == NULL || one->ifa_addr->sa_family != AF_INET)
            continue;
        struct sockaddr_in there = *(const struct sockaddr_in *)(const void *)one->ifa_addr;
        if (ntohl(there.sin_addr.s_addr) >> 24 == 127)
            continue;
        there.sin_port = htons(bench.port);
        int guest = socket(AF_INET, SOCK_STREAM, 0);
        assert_true(guest >= 0);
        assert_int_not_equal(connect(guest, (const struct sockaddr *)&there, sizeof there), 0);
        (void)close(guest);
        tried++;
    }
    freeifaddrs(all);
    if (tried == 0)
        print_message("addresses in the network: left out, this machine has none\n");
}

/* Whatever is said, the answer is a refusal or a closed door, and the next guest is served. */
static void test_nonsense_is_refused(void **state) {
    (void)state;
    static const char *const nonsense[] = {
        "\r\n\r\n\r\n\r\n",
        "GET\r\n\r\n",
        "GET / HTTP/9.9\r\n\r\n",
        "GET / HTTP/1.1\r\nHost\r\n\r\n",
        "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03 a TLS greeting\r\n\r\n",
        "POST /api/list HTTP/1.1\r\nHost: x\r\nContent-Length: -1\r\n\r\n{}",
        "POST /api/list HTTP/1.1\r\nHost: x\r\nContent-Length: 99999999999999999999\r\n\r\n{}",
        "POST /api/list HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n{}",
        "CONNECT bench.example:443 HTTP/1.1\r\nHost: bench.example\r\n\r\n",
    };
    for (size_t i = 0; i < sizeof nonsense / sizeof nonsense[0]; i++) {
        char reply[4096];
        bool closed;
        int guest = visit();
        (void)say(guest, nonsense[i], strlen(nonsense[i]));
        (void)shutdown(guest, SHUT_WR);
        (void)hear(guest, reply, sizeof reply, 8000, &closed);
        int status = status_in(reply);
        assert_true(closed);
        assert_true(status == 0 || status >= 400);
        (void)close(guest);
    }
    assert_int_equal(asked(), 200);
}

static void test_large_requests_are_refused(void **state) {
    (void)state;
    enum { LARGE = 200000 };
    char *header = malloc(LARGE + 1), words[700], length[32], reply[4096];
    bool closed;
    assert_non_null(header);
    memset(header, 'x', LARGE);
    int guest = visit();
    (void)(say(guest, "GET / HTTP/1.1\r\nHost: ", 22) && say(guest, header, LARGE) &&
           say(guest, "\r\n\r\n", 4));
    (void)hear(guest, reply, sizeof reply, 8000, &closed);
    assert_true(status_in(reply) == 0 || status_in(reply) >= 400);
    (void)close(guest);
    guest = visit();
    (void)snprintf(length, sizeof length, "%d", BENCH_BODY_MAX + LARGE);
    post_words("/api/list", length, "close", words);
    (void)say(guest, words, strlen(words));
    for (size_t sent = 0; sent < (size_t)BENCH_BODY_MAX + LARGE;) {
        size_t part = (size_t)BENCH_BODY_MAX + LARGE - sent;
        part = part < LARGE ? part : LARGE;
        if (!say(guest, header, part))
            break;
        sent += part;
    }
    (void)hear(guest, reply, sizeof reply, 8000, &closed);
    assert_int_equal(status_in(reply), 413);
    (void)close(guest);
    free(header);
}

/* A guest that says `words` and then, if it drips, one more byte every 100 ms: whether it is shown
 * out before it has patiently waited 600 times. */
static bool shown_out(const char *words, bool drips) {
    char reply[4096];
    bool closed = false;
    int guest = visit();
    (void)say(guest, words, strlen(words));
    assert_true(!drips || say(guest, "x", 1)); /* not at once */
    for (int i = 0; !closed && i < 600; i++) {
        (void)hear(guest, reply, sizeof reply, 100, &closed);
        if (drips && !closed)
            closed = !say(guest, "x", 1);
    }
    (void)close(guest);
    return closed;
}

/* Each would stay for ever if only silence counted. */
static void test_slow_guests_are_shown_out(void **state) {
    (void)state;
    char words[700];
    post_words("/api/list", "1000000", "keep-alive", words);
    const char *const slow[] = {"GET / HTTP/1.1\r\nHost: ", words};
    for (size_t i = 0; i < sizeof slow / sizeof slow[0]; i++)
        assert_true(shown_out(slow[i], true));
}

static void test_silent_guests_are_shown_out(void **state) {
    (void)state;
    assert_true(shown_out("", false));
}

/* What is said to one request whose words are these, with %H for the bench's own host. */
static int told(const char *words) {
    char text[900], host[40], reply[4096];
    bool closed;
    size_t used = 0;
    (void)snprintf(host, sizeof host, "127.0.0.1:%u", bench.port);
    for (; *words != '\0' && used + sizeof host < sizeof text; words++) {
        if (strncmp(words, "%H", 2) == 0) {
            used += (size_t)snprintf(text + used, sizeof text - used, "%s", host);
            words++;
        } else {
            text[used++] = *words;
        }
    }
    int guest = visit();
    (void)say(guest, text, used);
    (void)hear(guest, reply, sizeof reply, 8000, &closed);
    (void)close(guest);
    return status_in(reply);
}

/* RFC 9112, 3.2: more than one Host is answered with 400; 6.3: so are lengths that contradict each
 * other. Two that agree may be refused as well. */
static void test_what_stands_twice_is_refused(void **state) {
    (void)state;
    static const char *const twice[] = {
        "GET / HTTP/1.1\r\nHost: %H\r\nHost: %H\r\nConnection: close\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: %H\r\nHost: elsewhere.example\r\nConnection: close\r\n\r\n",
        "GET / HTTP/1.1\r\nHost: elsewhere.example\r\nhost: %H\r\nConnection: close\r\n\r\n",
        "POST /api/list HTTP/1.1\r\nHost: %H\r\nContent-Length: 2\r\nContent-Length: 2\r\n"
        "Connection: close\r\n\r\n{}",
        "POST /api/list HTTP/1.1\r\nHost: %H\r\nContent-Length: 2\r\ncontent-length: 40\r\n"
        "Connection: close\r\n\r\n{}",
        "POST /api/list HTTP/1.1\r\nHost: %H\r\nContent-Length: 2\r\n"
        "Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n2\r\n{}\r\n0\r\n\r\n",
    };
    assert_int_equal(told("GET / HTTP/1.1\r\nHost: %H\r\nConnection: close\r\n\r\n"), 200);
    for (size_t i = 0; i < sizeof twice / sizeof twice[0]; i++)
        assert_int_equal(told(twice[i]), 400);
}

/* Not a byte of the body is sent, and the connection would be kept: the answer cannot wait. */
static void test_absurd_lengths_are_refused_at_once(void **state) {
    (void)state;
    static const char *const lengths[] = {"100000000", "999999999999", "18446744073709551615"};
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++) {
        char words[700], reply[4096];
        bool closed;
        int guest = visit();
        post_words("/api/list", lengths[i], "keep-alive", words);
        (void)say(guest, words, strlen(words));
        (void)hear(guest, reply, sizeof reply, 8000, &closed);
        assert_int_equal(status_in(reply), 413);
        (void)close(guest);
    }
}

static void test_escapes_in_paths_are_refused(void **state) {
    (void)state;
    static const char *const paths[] = {"/%00", "/bench.js%00", "/bench.js%00.html", "/%62ench.js",
                                        "/%2e%2e/bench.js"};
    assert_int_equal(told("GET /bench.js HTTP/1.1\r\nHost: %H\r\nConnection: close\r\n\r\n"), 200);
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        char words[200];
        (void)snprintf(words, sizeof words,
                       "GET %s HTTP/1.1\r\nHost: %%H\r\nConnection: close\r\n\r\n", paths[i]);
        assert_int_equal(told(words), 400);
    }
}

/* Two hundred who say nothing, or half a line, and whom no clock shows out: a good one is served
 * all the same, and again. */
static void test_a_silent_crowd_locks_nobody_out(void **state) {
    (void)state;
    enum { CROWD = 200 };
    int crowd[CROWD];
    for (int i = 0; i < CROWD; i++) {
        crowd[i] = visit();
        if (i % 2 == 1)
            (void)say(crowd[i], "GET / HT", 8);
    }
    for (int i = 0; i < 5; i++)
        assert_int_equal(asked(), 200);
    for (int i = 0; i < CROWD; i++)
        (void)close(crowd[i]);
}

/* All connections taken by guests that say nothing: a good one is served once they are gone. */
static void test_a_crowd_goes_away(void **state) {
    (void)state;
    enum { CROWD = 40 };
    int crowd[CROWD];
    for (int i = 0; i < CROWD; i++)
        crowd[i] = visit();
    int status = 0;
    for (int i = 0; status != 200 && i < 1200; i++) {
        status = asked();
        pause_ms(50);
    }
    assert_int_equal(status, 200);
    for (int i = 0; i < CROWD; i++)
        (void)close(crowd[i]);
    assert_int_equal(asked(), 200);
}

/* While one guest drips, another is answered at once. */
static void test_a_slow_guest_holds_up_nobody(void **state) {
    (void)state;
    int slow = visit();
    (void)say(slow, "POST /api/li", 12);
    assert_int_equal(asked(), 200);
    (void)close(slow);
}

/* Several requests on one connection, as a browser makes them. */
static void test_a_connection_is_kept(void **state) {
    (void)state;
    char words[700], reply[4096];
    bool closed;
    int guest = visit();
    post_words("/api/list", "2", "keep-alive", words);
    for (int i = 0; i < 3; i++) {
        (void)say(guest, words, strlen(words));
        (void)say(guest, "{}", 2);
        for (size_t size = 0; size == 0 || strstr(reply, "\"left_out\":0}") == NULL;) {
            size = hear(guest, reply, sizeof reply, 100, &closed);
            assert_false(closed);
        }
        assert_int_equal(status_in(reply), 200);
    }
    (void)close(guest);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_answers_at_home),
        cmocka_unit_test(test_is_not_at_home_for_the_network),
        cmocka_unit_test(test_nonsense_is_refused),
        cmocka_unit_test(test_large_requests_are_refused),
        cmocka_unit_test(test_slow_guests_are_shown_out),
        cmocka_unit_test(test_silent_guests_are_shown_out),
        cmocka_unit_test(test_a_crowd_goes_away),
        cmocka_unit_test(test_what_stands_twice_is_refused),
        cmocka_unit_test(test_escapes_in_paths_are_refused),
        cmocka_unit_test(test_a_slow_guest_holds_up_nobody),
        cmocka_unit_test(test_a_connection_is_kept),
    };
    const struct CMUnitTest patiently[] = {
        cmocka_unit_test(test_absurd_lengths_are_refused_at_once),
        cmocka_unit_test(test_a_silent_crowd_locks_nobody_out),
    };
    int failed = cmocka_run_group_tests(tests, start_server, stop_server);
    return failed + cmocka_run_group_tests(patiently, start_patient_server, stop_server);
}
