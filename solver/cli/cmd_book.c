/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry book: the maker's own record of finished lures, listed, explained, forgotten. */
#include "cli/cli.h"

#include <string.h>

/* Switched on for the first time it is an empty book. */
static bool switch_book(Book *book, void *off, bool *unchanged, BlyError *err) {
    (void)unchanged;
    (void)err;
    book->off = *(const bool *)off;
    return true;
}

static int book_switch(Cli *cli, bool off) {
    BlyError err = {0};
    if (!book_change(cli->book_path, switch_book, &off, &err))
        return cli_tell(cli->book_path, &err);
    if (!cli->json)
        (void)fprintf(
            cli->report.out,
            off ? "%s: switched off; nothing is taken from it or added\n"
                : "%s: switched on; each finished lure that tank reads is kept in it, and "
                  "builds take from it what they leave to be usual\n",
            cli->book_path);
    return EXIT_DONE;
}

typedef struct Forgetting {
    const char *kind, *name; /* kind NULL: a lure */
    size_t gone;
} Forgetting;

static bool forget_it(Book *book, void *context, bool *unchanged, BlyError *err) {
    Forgetting *f = context;
    f->gone = f->kind != NULL ? book_forget_figure(book, f->kind, f->name)
                              : book_forget_lure(book, f->name);
    *unchanged = f->gone == 0;
    if (f->gone > 0)
        return true;
    return f->kind != NULL
               ? bly_fail(err, BLY_E_UNKNOWN, NULL,
                          "has no %.40s of %.90s; \"ballastry book\" lists it", f->kind, f->name)
               : bly_fail(err, BLY_E_UNKNOWN, NULL,
                          "has no lure %.100s; \"ballastry book\" lists it", f->name);
}

/* One word names a lure, two a figure by kind and key. */
static int book_forget(Cli *cli) {
    BlyError err = {0};
    bool figure = cli->argument_count == 3;
    Forgetting f = {figure ? cli->arguments[1] : NULL, cli->arguments[cli->argument_count - 1], 0};
    if (!cli->book_there)
        return (void)bly_fail(&err, BLY_E_IO, cli->book_path, "there is no such book"),
               cli_tell(NULL, &err);
    if (!book_change(cli->book_path, forget_it, &f, &err))
        return cli_tell(cli->book_path, &err);
    if (!cli->json)
        (void)fprintf(cli->report.out, "forgotten: %s%s%s%s; as it was before: %s~\n",
                      figure ? f.kind : "", figure ? " " : "", f.name,
                      figure ? f.gone == 1 ? ", of one lure" : ", of all lures" : "",
                      cli->book_path);
    return EXIT_DONE;
}

static int book_explain(Cli *cli) {
    BlyError err = {0};
    size_t told = 0;
    bool all = cli->argument_count < 3;
    for (size_t i = 0; i < cli->habits.count; i++) {
        const BookHabit *h = &cli->habits.at[i];
        if (!all &&
            (strcmp(h->kind, cli->arguments[1]) != 0 || strcmp(h->key, cli->arguments[2]) != 0))
            continue;
        if (told++ > 0)
            (void)fprintf(cli->report.out, "\n");
        text_book_figure(&cli->report, &cli->book, h);
    }
    if (told > 0 || all)
        return EXIT_DONE;
    (void)bly_fail(&err, BLY_E_UNKNOWN, NULL, "has no %.40s of %.90s; \"ballastry book\" lists it",
                   cli->arguments[1], cli->arguments[2]);
    return cli_tell(cli->book_path, &err);
}

static int book_list(Cli *cli) {
    BlyError err = {0};
    if (cli->book_there) {
        (void)fprintf(cli->report.out, "%s: ", cli->book_path);
        text_book(&cli->report, &cli->book, &cli->habits);
        return EXIT_DONE;
    }
    if (cli->book_words != NULL) {
        (void)bly_fail(&err, BLY_E_IO, cli->book_path, "there is no such book");
        return cli_tell(NULL, &err);
    }
    (void)fprintf(cli->report.out, "no book yet; \"ballastry book on\" begins one: %s\n",
                  cli->book_path);
    return EXIT_DONE;
}

static int read_book(Cli *cli) {
    int status = EXIT_DONE;
    bool good = cli_catalog(cli, &status) && cli_book(cli, &status);
    return good ? EXIT_DONE : status;
}

static int run(Cli *cli, const Command *self, cJSON **tree) {
    const char *action = cli->argument_count > 0 ? cli->arguments[0] : "list";
    bool on = strcmp(action, "on") == 0, off = strcmp(action, "off") == 0,
         forget = strcmp(action, "forget") == 0, explain = strcmp(action, "explain") == 0;
    size_t words = cli->argument_count;
    if (!on && !off && !forget && !explain && strcmp(action, "list") != 0)
        return cli_usage(self, "'%s' is not list, explain, forget, on or off", action);
    if ((forget && words < 2) || (explain && words == 2) || (!forget && !explain && words > 1))
        return cli_usage(self, forget    ? "say which lure, or KIND KEY of a figure"
                               : explain ? "say KIND KEY of a figure, or nothing for all"
                                         : "too many arguments");
    if (cli->no_book)
        return cli_usage(self, "--no-book leaves nothing to do");
    int status = read_book(cli);
    if (status != EXIT_DONE)
        return status;
    if (cli->book_path[0] == '\0')
        return cli_usage(self, "there is no home for a book here; --book FILE names one");
    status = on || off ? book_switch(cli, off)
             : forget  ? book_forget(cli)
             : explain ? book_explain(cli)
                       : book_list(cli);
    if (status != EXIT_DONE || !cli->json)
        return status;
    if (on || off || forget) { /* as it is now */
        BlyError err = {0};
        bool there;
        book_habits_release(&cli->habits);
        book_release(&cli->book);
        cli->catalog.habits = NULL;
        if (!book_load(cli->book_path, &cli->book, &there, &err) ||
            !book_use(&cli->book, &cli->catalog, &cli->habits, &err))
            return cli_tell(cli->book_path, &err);
    }
    *tree = json_book(&cli->book, &cli->habits);
    return EXIT_DONE;
}

int cmd_book(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    if (!cli_begin(&cli, self, argc, argv, NULL, 0, 3, &status))
        return status;
    cJSON *tree = NULL;
    status = run(&cli, self, &tree);
    return cli_end(&cli, tree, status);
}
