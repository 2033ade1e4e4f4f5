/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Makers in the loop, as a table: how many lures of a hundred are on target as built and after one,
 * two, three tank tests and what the program then says; what the plan foretells of makers with the
 * same tools; and what those miss that are off after two. As told: each maker first weighs what
 * `fit` ends in saying, and fits anew.
 *
 *   makers [--makers N] [--seed N] [--no-thread] [--finished] [--on-paper] [--sharp] [--deft]
 *          [--as-told] [--tell] [BUILD ..] */
#include "ballastry/catalog.h"
#include "ballastry/trim.h"
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

static void put_row(const char *path, const LoopTally *t, const BlyReserve *plan) {
    const char *name = strrchr(path, '/');
    (void)printf("%-22s", name != NULL ? name + 1 : path);
    for (int k = 0; k <= LOOP_TESTS; k++)
        (void)printf(" %5.1f", of_100(t->met[k], t->makers));
    (void)printf(" | %5.2f %4d", t->mends > 0 ? (double)t->changes / t->mends : 0, t->changes_most);
    put_share(t->farther, t->mends);
    (void)printf(" |");
    for (int f = 0; f < LOOP_FIGURES; f++)
        put_share(t->held[f], t->asked[f]);
    (void)printf(" |");
    for (int k = 0; k <= LOOP_TESTS; k++)
        (void)printf(" %5.1f", 100 * plan->chance[k]);
    (void)printf(" |");
    for (int k = 0; k < REAL_MISSES; k++)
        put_share(t->missed[2][k], t->makers);
    if (t->left > 0)
        (void)printf(" | %d told that nothing fits", t->left);
    (void)printf("\n");
    (void)fflush(stdout);
}

static bool run_one(const char *path, bool on_paper, bool as_told, LoopOrder *order,
                    LoopTally *tally, BlyReserve *plan, BlyError *err) {
    BlyBuild *build = NULL, *open = NULL;
    const BlyReserveOptions options = {.tools = BLY_TOOLS_USUAL |
                                                (order->thread ? 1u << BLY_TOOL_THREAD : 0)};
    if (!loop_build(path, order->catalog, on_paper, &build, err))
        return false;
    bool good = !as_told || loop_open(path, order->catalog, &open, err);
    order->build = build;
    order->open = open;
    good = good && bly_reserve(build, order->catalog, &build->fitted, &options, plan, err) &&
           loop_run(order, tally, err);
    bly_build_free(open);
    bly_build_free(build);
    return good;
}

int main(int argc, char **argv) {
    LoopOrder order = {.makers = 200, .seed = 1, .thread = true};
    const char *paths[16];
    int count = 0;
    bool on_paper = false, as_told = false;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--makers") == 0 && i + 1 < argc)
            order.makers = atoi(argv[++i]);
        else if (strcmp(argv[i], "--seed") == 0 && i + 1 < argc)
            order.seed = strtoul(argv[++i], NULL, 10);
        else if (strcmp(argv[i], "--no-thread") == 0)
            order.thread = false;
        else if (strcmp(argv[i], "--finished") == 0)
            order.way = LOOP_FINISHED;
        else if (strcmp(argv[i], "--on-paper") == 0)
            on_paper = true;
        else if (strcmp(argv[i], "--sharp") == 0)
            order.sharp = true;
        else if (strcmp(argv[i], "--as-told") == 0)
            as_told = true;
        else if (strcmp(argv[i], "--deft") == 0)
            order.deft = true;
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
                 "hold, of 100; foretold by the plan, as built\nand after 1, 2, 3 tests; of 100 "
                 "what misses most after 2\n%-22s %5s %5s %5s %5s | %5s %4s %5s | %5s %5s %5s "
                 "%5s | %5s %5s %5s %5s | %5s %5s %5s\n",
                 order.makers, "", "built", "1", "2", "3", "mean", "most", "worse", "net", "drift",
                 "nose", "shows", "built", "1", "2", "3", "drift", "nose", "shows");
    for (int i = 0; i < count; i++) {
        LoopTally tally;
        BlyReserve plan;
        if (!run_one(paths[i], on_paper, as_told, &order, &tally, &plan, &err))
            return stop(&err);
        put_row(paths[i], &tally, &plan);
    }
    bly_catalog_release(&catalog);
    return 0;
}
