/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry bench [BUILD|FOLDER]: the page in a browser, on this machine. */
#include "cli/cli.h"
#include "bench/bench.h"

#include <stdlib.h>

#include "cli/browser.h"

typedef struct Showing {
    bool no_open;
    char file[BROWSER_FILE_MAX];
} Showing;

/* Told at once and not collected: the command goes on until it is ended. */
static void tell_address(const Bench *bench, const char *address, void *user) {
    Showing *showing = user;
    (void)printf("%s\nfiles of %s; Ctrl-C ends it\n", address, bench->folder);
    (void)fflush(stdout);
    if (!showing->no_open)
        browser_open(address, showing->file);
}

/* The same parts, box and book as at the start, as they lie on the disk now. */
static bool read_stock(void *context, const char *box, BenchStock *out, BlyError *err) {
    const Cli *cli = context;
    const char *file;
    out->box_fixed = cli->box != NULL;
    return cli_read_catalog(cli, box, &out->catalog, out->box_path, &file, err) &&
           cli_read_book(cli, &out->catalog, out->book_path, &out->book_there, &out->book,
                         &out->habits, err);
}

static bool read_port(const char *words, uint16_t *out, BlyError *err) {
    char *end;
    long n = strtol(words, &end, 10);
    if (*words == '\0' || *end != '\0' || n < 1024 || n > 65535)
        return bly_fail(err, BLY_E_RANGE, "--port", "'%s' is not a number from 1024 to 65535",
                        words);
    *out = (uint16_t)n;
    return true;
}

int cmd_bench(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    const char *port_words = NULL;
    Showing showing = {.no_open = false};
    const Option options[] = {
        {"port", OPT_TEXT, &port_words, "N",
         "listen there (default: the folder's own, or a free one)"},
        {"no-open", OPT_FLAG, &showing.no_open, NULL, "print the address and open no browser"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 0, 1, &status))
        return status;
    if (cli.json)
        return cli_end(&cli, NULL, cli_usage(self, "bench prints no JSON; its routes do"));
    BlyError err = {0};
    uint16_t port = 0;
    Bench bench = {0};
    if (port_words != NULL && !read_port(port_words, &port, &err))
        return cli_end(&cli, NULL, (cli_tell(NULL, &err), EXIT_USAGE));
    cli.file = cli.argument_count > 0 ? cli.arguments[0] : NULL;
    if (!cli_catalog(&cli, &status) || !cli_book(&cli, &status))
        return cli_end(&cli, NULL, status);
    if (!bench_start(&bench, cli.file, &cli.catalog, cli.system, &err) ||
        !bench_stock_by(&bench, read_stock, &cli, &err) ||
        !bench_serve(&bench, port, tell_address, &showing, &err))
        status = cli_tell(NULL, &err);
    browser_forget(showing.file);
    bench_release(&bench);
    cli.file = NULL;
    return cli_end(&cli, NULL, status);
}
