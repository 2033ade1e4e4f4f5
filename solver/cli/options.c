/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options of a command from its table; the same table prints the help. */
#define _GNU_SOURCE /* getopt_long */
#include "cli/cli.h"

#include <getopt.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

enum { OPTIONS_MAX = 32 };

static size_t gather(Cli *cli, const Option *own, Option all[OPTIONS_MAX]) {
    const Option common[] = {
        {"json", OPT_FLAG, &cli->json, NULL, "print the result as JSON"},
        {"units", OPT_TEXT, &cli->units, "metric|inch", "units of the text (default metric)"},
        {"catalog", OPT_TEXTS, &cli->catalogs, "FILE",
         "add a catalog of your own, JSON, or CSV of weighed parts"},
        {"box", OPT_TEXT, &cli->box, "FILE",
         "what your box holds (default: box.csv beside the build, or your own); none"},
        {"book", OPT_TEXT, &cli->book_words, "FILE",
         "your book of finished lures (default: your own, where you keep one)"},
        {"no-book", OPT_FLAG, &cli->no_book, NULL, "leave the book alone"},
        {"help", OPT_FLAG, &cli->help, NULL, "print this help"},
    };
    size_t n = 0;
    for (; own != NULL && own->name != NULL && n < OPTIONS_MAX - 7; own++)
        all[n++] = *own;
    for (size_t i = 0; i < sizeof common / sizeof common[0]; i++)
        all[n++] = common[i];
    return n;
}

static bool is_letter(const Option *option) {
    return option->name[1] == '\0';
}

static void print_help(const Command *command, const Option *all, size_t count) {
    (void)printf("usage: ballastry %s %s [options]\n\n%s\n%s\n", command->name, command->arguments,
                 command->summary, command->about);
    for (size_t i = 0; i < count; i++) {
        char left[48];
        (void)snprintf(left, sizeof left, "%s%s%s%s", is_letter(&all[i]) ? "-" : "--", all[i].name,
                       all[i].value ? " " : "", all[i].value ? all[i].value : "");
        (void)printf("  %-24s %s\n", left, all[i].help);
    }
}

int cli_usage(const Command *command, const char *format, ...) {
    va_list args;
    va_start(args, format);
    (void)fprintf(stderr, "ballastry %s: ", command->name);
    (void)vfprintf(stderr, format, args);
    (void)fprintf(stderr, "; try ballastry %s --help\n", command->name);
    va_end(args);
    return EXIT_USAGE;
}

static bool take(const Option *option, char *value, const Command *command, int *status) {
    if (option->kind == OPT_FLAG) {
        *(bool *)option->to = true;
    } else if (option->kind == OPT_TEXT) {
        *(const char **)option->to = value;
    } else {
        OptionList *list = option->to;
        if (list->count == sizeof list->at / sizeof list->at[0]) {
            *status = cli_usage(command, "--%s given too often", option->name);
            return false;
        }
        list->at[list->count++] = value;
    }
    return true;
}

static bool parse(const Option *all, size_t count, const Command *command, int argc, char **argv,
                  int *status) {
    struct option table[OPTIONS_MAX + 1];
    char letters[2 * OPTIONS_MAX + 2] = ":";
    memset(table, 0, sizeof table);
    for (size_t i = 0; i < count; i++) {
        table[i].name = all[i].name;
        table[i].has_arg = all[i].kind == OPT_FLAG ? no_argument : required_argument;
        if (is_letter(&all[i]))
            (void)snprintf(letters + strlen(letters), 3, "%s%s", all[i].name,
                           all[i].kind == OPT_FLAG ? "" : ":");
    }
    opterr = 0;
    optind = 1;
    for (;;) {
        int index = -1;
        int c = getopt_long(argc, argv, letters, table, &index);
        if (c == -1)
            return true;
        if (c == ':') {
            *status = cli_usage(command, "%s needs a value", argv[optind - 1]);
            return false;
        }
        for (size_t i = 0; index < 0 && c != 0 && i < count; i++)
            index = is_letter(&all[i]) && all[i].name[0] == c ? (int)i : -1;
        if (index < 0) {
            *status = cli_usage(command, "unknown option '%s'", argv[optind - 1]);
            return false;
        }
        if (!take(&all[index], optarg, command, status))
            return false;
    }
}

static bool set_units(Cli *cli, const Command *command, int *status) {
    if (cli->units == NULL || strcmp(cli->units, "metric") == 0) {
        cli->system = BLY_METRIC;
    } else if (strcmp(cli->units, "inch") == 0) {
        cli->system = BLY_INCH;
    } else {
        *status = cli_usage(command, "--units is metric or inch, not '%s'", cli->units);
        return false;
    }
    return true;
}

/* What water is, whatever the build's: told before any file is opened. */
static bool read_water(WaterWords *water, int *status) {
    BlyError err = {0};
    if (tank_water_parse(water->temperature, water->salt, &water->read, &err))
        return true;
    (void)cli_tell(NULL, &err);
    *status = EXIT_USAGE;
    return false;
}

bool cli_begin(Cli *cli, const Command *command, int argc, char **argv, const Option *options,
               size_t least, size_t most, int *status) {
    memset(cli, 0, sizeof *cli);
    cli->command = command->name;
    Option all[OPTIONS_MAX];
    size_t count = gather(cli, options, all);
    if (!parse(all, count, command, argc, argv, status))
        return false;
    if (cli->help) {
        print_help(command, all, count);
        *status = cli_flush();
        return false;
    }
    cli->arguments = (const char *const *)argv + optind;
    cli->argument_count = (size_t)(argc - optind);
    if (cli->argument_count < least || cli->argument_count > most) {
        if (cli->argument_count < least)
            *status = cli_usage(command, "expected %s", command->arguments);
        else
            *status = cli_usage(command, "too many arguments: '%.60s'", cli->arguments[most]);
        return false;
    }
    if (!set_units(cli, command, status) || !read_water(&cli->water, status))
        return false;
    cli->report.system = cli->system;
    cli->report.out = report_collect(&cli->output);
    if (cli->report.out == NULL) {
        *status = cli_no_memory();
        return false;
    }
    return true;
}
