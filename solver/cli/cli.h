/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the commands share. A command reads its arguments, calls a room, prints; if it computes,
 * the arithmetic belongs in a room.
 *
 * A new command takes: a file cmd_NAME.c with cmd_NAME, a line in the table of main.c, a page
 * docs/commands/NAME.md, and a test in tests/cli. */
#ifndef BALLASTRY_CLI_H
#define BALLASTRY_CLI_H

#include <stdio.h>

#include "desk/desk.h"
#include "report/report.h"
#include "text/text.h"

/* Exit status; docs/commands.md. */
enum { EXIT_DONE = 0, EXIT_NO_RIG = 1, EXIT_USAGE = 2, EXIT_BAD_INPUT = 3, EXIT_FAULT = 4 };

enum { CATALOG_FILES_MAX = 16 };

/* One option of a command. Every command also takes --help, --json, --units and --catalog. */
typedef enum OptionKind { OPT_FLAG, OPT_TEXT, OPT_TEXTS } OptionKind;
typedef struct OptionList {
    const char *at[64];
    size_t count;
} OptionList;
typedef struct Option {
    const char *name; /* without the dashes: two, but one before a single letter */
    OptionKind kind;
    void *to;          /* bool *, const char **, or OptionList * */
    const char *value; /* what the value is called in the help, NULL for flags */
    const char *help;
} Option;

typedef struct Command {
    const char *name;
    const char *arguments; /* "BUILD" */
    const char *summary;   /* one line */
    const char *about;     /* the longer help, lines ready to print */
    int (*run)(const struct Command *self, int argc, char **argv);
} Command;

/* Another water than the build's, as `tank` takes it. */
typedef struct WaterWords {
    const char *temperature, *salt; /* NULL: the build's */
    BlyWaterFacts read;             /* what they say */
} WaterWords;
#define WATER_OPTIONS(words)                                                                       \
    {"water", OPT_TEXT, &(words).temperature, "TEMPERATURE",                                       \
     "water temperature, in place of the build's"},                                                \
    {                                                                                              \
        "salt", OPT_TEXT, &(words).salt, "SALINITY",                                               \
            "how salt the water is, in place of the build's"                                       \
    }

/* A run's settings and everything it holds; all released by cli_end. */
typedef struct Cli {
    const char *command; /* its name */
    bool json, help;
    BlySystem system;
    const char *units;
    OptionList catalogs;
    const char *box;             /* --box: a file, "none", or NULL: where a box is looked for */
    char box_path[BOX_PATH_MAX]; /* of the box that was read; "": none */
    const char *book_words;      /* --book; NULL: the usual one, where there is one */
    bool no_book;
    char book_path[BOOK_PATH_MAX]; /* of the book; "": none */
    bool book_there;               /* there is such a file */
    Book book;
    BookHabits habits;            /* the catalog points to them */
    const char *const *arguments; /* what is not an option */
    size_t argument_count;
    WaterWords water; /* of commands that take WATER_OPTIONS(cli.water) */
    BlyCatalog catalog;
    BlyBuild *build;
    bool found_fault;    /* the result that is printed is itself a fault: exit 3 */
    const char *file;    /* of the build, for messages */
    BlyBuildFiles files; /* those that the build names, beside it */
    BlyText output;      /* what will be printed, collected so that nothing is printed by halves */
    Report report;       /* writes into output */
} Cli;

/* Reads options and sets up the report. Returns true to go on; else *status is the exit status
 * (help printed, or a usage error told). `options` ends with a zeroed entry and may be NULL. */
bool cli_begin(Cli *cli, const Command *command, int argc, char **argv, const Option *options,
               size_t least, size_t most, int *status);

/* The same with errors as values, for what is read again later. `box`: a text in place of the box's
 * file, NULL: the file. *file: what an error is about. *out belongs to the caller. */
bool cli_read_catalog(const Cli *cli, const char *box, BlyCatalog *out, char box_path[BOX_PATH_MAX],
                      const char **file, BlyError *err);
bool cli_read_book(const Cli *cli, BlyCatalog *catalog, char path[BOOK_PATH_MAX], bool *there,
                   Book *book, BookHabits *habits, BlyError *err);
/* The shipped catalog, the --catalog files, JSON or CSV by their ending, and the maker's box,
 * beside cli->file where that is set. */
bool cli_catalog(Cli *cli, int *status);
/* The maker's book, and what it says put into the catalog; --book, else the usual one where it is
 * there, and with --no-book none. */
bool cli_book(Cli *cli, int *status);
/* Catalog and the build named by the first argument ("-" is standard input). */
bool cli_build(Cli *cli, int *status);

/* The water of the options in place of the build's; nothing was said: nothing changes. The words
 * were read by cli_begin. */
bool cli_in_water(const WaterWords *water, BlyBuild *build, BlyError *err);

/* Files that the build names, in its own folder or below; set by cli_build. */
BlyBuildFiles cli_files(Cli *cli);

/* Writes the build's file with this rig fitted, whole or not at all. */
bool cli_write_rig(const Cli *cli, const BlyRig *rig, const char *file, BlyError *err);

/* Changes one piece of the rig by "belly.hook=ID"; `option` is named when the words are wrong. */
bool cli_swap(const Cli *cli, const char *option, const char *words, BlyRig *rig, BlyError *err);

/* Whether no file of that name is there. */
bool cli_is_new(const char *file, BlyError *err);
/* Writes a file that must not be there yet. */
bool cli_write_new(const char *file, const char *text, BlyError *err);

/* The tree of a result behind its version and its command's name; takes it. NULL without memory,
 * and of NULL. */
cJSON *cli_result(const char *command, cJSON *tree);

/* Prints what was collected, or the tree (which it takes) when --json; releases everything.
 * Returns `status`, or the status of a failure to print. */
int cli_end(Cli *cli, cJSON *tree, int status);

/* A small side view at rest, on a terminal only; without colour when NO_COLOR is set. */
void cli_glance(const Cli *cli, const BlyRig *rig, const BlyLure *lure, const BlyOutcome *outcome);

int cli_status(BlyCode code); /* the exit status that an error ends with */
/* Tells one error on one line: "ballastry: FILE: PLACE: text"; returns its exit status. */
int cli_tell(const char *file, const BlyError *err);
int cli_no_memory(void); /* says so; EXIT_FAULT */
int cli_flush(void);     /* standard output; EXIT_DONE, or says why not */
int cli_usage(const Command *command, const char *format, ...) BLY_PRINTF(2, 3);

int cmd_fit(const Command *self, int argc, char **argv);
int cmd_mend(const Command *self, int argc, char **argv);
int cmd_rest(const Command *self, int argc, char **argv);
int cmd_sheet(const Command *self, int argc, char **argv);
int cmd_swap(const Command *self, int argc, char **argv);
int cmd_tank(const Command *self, int argc, char **argv);
int cmd_tow(const Command *self, int argc, char **argv);
int cmd_catalog(const Command *self, int argc, char **argv);
int cmd_pour(const Command *self, int argc, char **argv);
int cmd_book(const Command *self, int argc, char **argv);
int cmd_bench(const Command *self, int argc, char **argv);
int cmd_new(const Command *self, int argc, char **argv);

#endif
