/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Makers in the loop, as a table: how many lures of a hundred are on target as built and after one,
 * two, three tank tests and what the program then says.
 *
 *   makers [--makers N] [--seed N] [--no-thread] [--finished] [--surest] [--sharp]
 *          [--tell] [BUILD ..] */
#include "ballastry/catalog.h"
#include "support/maker_loop.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const usual[] = {"examples/larch-minnow.json", "examples/board-lip.json",
                                    "examples/sinker-swap.json", "examples/cedar-floater.json"};

static int stop(const BlyError *err) {
    (void)fprintf(stderr, "makers: %s: %s\n", err->where, err->text);
    return 1;
}

static double of_100(int part, int whole) {
    return whole > 0 ? 100.0 * part / whole : NAN;
}

static void put_share(int part, int whole) {
    if (whole > 0)
        (void)printf(" %5.1f", of_100(part, whole));
    else
        (void)printf("     -");
}

static void put_row(const char *path, const LoopTally *t) {
    const char *name = strrchr(path, '/');
    (void)printf("%-22s", name != NULL ? name + 1 : path);
    for (int k = 0; k <= LOOP_TESTS; k++)
        (void)printf(" %5.1f", of_100(t->met[k], t->makers));
    (void)printf(" | %5.2f %4d", t->mends > 0 ? (double)t->changes / t->mends : 0, t->changes_most);
    put_share(t->farther, t->mends);
    (void)printf(" |");
    for (int f = 0; f < LOOP_FIGURES; f++)
        put_share(t->held[f], t->asked[f]);
    (void)printf("\n");
    (void)fflush(stdout);
}

static bool run_one(const char *path, bool surest, LoopOrder *order, LoopTally *tally,
                    BlyError *err) {
    BlyBuild *build = NULL;
    if (!loop_build(path, order->catalog, surest, &build, err))
        return false;
    order->build = build;
    bool good = loop_run(order, tally, err);
    bly_build_free(build);
    return good;
}

int main(int argc, char **argv) {
    LoopOrder order = {.makers = 200, .seed = 1, .thread = true};
    const char *paths[16];
    int count = 0;
    bool surest = false;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--makers") == 0 && i + 1 < argc)
            order.makers = atoi(argv[++i]);
        else if (strcmp(argv[i], "--seed") == 0 && i + 1 < argc)
            order.seed = strtoul(argv[++i], NULL, 10);
        else if (strcmp(argv[i], "--no-thread") == 0)
            order.thread = false;
        else if (strcmp(argv[i], "--finished") == 0)
            order.way = LOOP_FINISHED;
        else if (strcmp(argv[i], "--surest") == 0)
            surest = true;
        else if (strcmp(argv[i], "--sharp") == 0)
            order.sharp = true;
        else if (strcmp(argv[i], "--tell") == 0)
            order.tell = true;
        else if (count < 16)
            paths[count++] = argv[i];
    }
    for (int i = 0; count == 0 && i < 4; i++)
        paths[i] = usual[i];
    count = count == 0 ? 4 : count;
    (void)gsl_set_error_handler_off();
    BlyCatalog catalog;
    BlyError err = {0};
    if (!bly_catalog_shipped(&catalog, &err))
        return stop(&err);
    order.catalog = &catalog;
    (void)printf("%d makers a build; on target of 100 as built and after 1, 2, 3 mends; changes a "
                 "mend, mean and most;\nmends that leave it further off, of 100; 90 %% ranges that "
                 "hold, of 100\n%-22s %5s %5s %5s %5s | %5s %4s %5s | %5s %5s %5s %5s\n",
                 order.makers, "", "built", "1", "2", "3", "mean", "most", "worse", "net", "drift",
                 "nose", "shows");
    for (int i = 0; i < count; i++) {
        LoopTally tally;
        if (!run_one(paths[i], surest, &order, &tally, &err))
            return stop(&err);
        put_row(paths[i], &tally);
    }
    bly_catalog_release(&catalog);
    return 0;
}
