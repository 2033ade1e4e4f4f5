/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry tank BUILD --READING VALUE: what was read, what it teaches, the corrected build. */
#include "cli/cli.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "desk/desk.h"

typedef struct TankWords {
    OptionList readings[READING_WAYS]; /* in the order of the table */
    const char *stage, *water, *salt, *on, *write, *lure;
    bool anyway;
    BookKept kept; /* what became of it in the maker's book */
    char kept_as[BOOK_NAME_MAX];
} TankWords;

static bool read_readings(const TankWords *words, TankWork *tank, BlyError *err) {
    BlyStage stage = BLY_STAGE_COMPLETE;
    if (words->stage != NULL && !stage_parse(words->stage, "--stage", &stage, err))
        return false;
    if (words->on != NULL && !stages_date(words->on, "--on", err))
        return false;
    for (size_t o = 0; o < READING_WAYS; o++) {
        for (size_t i = 0; i < words->readings[o].count; i++) {
            if (tank->count == BLY_READINGS_MAX)
                return bly_fail(err, BLY_E_RANGE, reading_options[o].name, "at most %d readings",
                                BLY_READINGS_MAX);
            if (!reading_parse(words->readings[o].at[i], &reading_options[o], stage,
                               &tank->readings[tank->count++], err))
                return false;
        }
    }
    if (tank->count > 0)
        return true;
    return bly_fail(err, BLY_E_MISSING, NULL,
                    "give at least one reading, such as --scale \"14.2 g\"");
}

/* The old build stays; a file that is there already is never written over. */
static bool write_build(const Cli *cli, const TankWork *tank, const TankWords *words,
                        BlyError *err) {
    char *text = NULL, today[BUILD_DATE_MAX];
    const char *lure = words->kept != BOOK_OFF && words->kept != BOOK_UNKNOWN ? words->kept_as : "";
    const LearntNotes notes = {tank->readings, tank->count, &tank->water,
                               words->on != NULL ? words->on : desk_today(today)};
    bool good = learnt_text_named(cli->build, &tank->result, &notes, lure, &text, err) &&
                cli_write_new(words->write, text, err);
    free(text);
    return good;
}

/* Asked for by --book, or by a book that is there and not switched off. */
static bool keep_in_book(const Cli *cli, TankWords *words, const TankWork *tank, BlyError *err) {
    bool asked = cli->book_words != NULL || cli->book_there;
    return cli->no_book || !asked || (cli->book_words == NULL && cli->book.off) ||
           book_keep(cli->book_path, cli->build, tank, words->lure, words->write != NULL,
                     &words->kept, words->kept_as, err);
}

static bool work(Cli *cli, TankWords *words, TankWork *tank, bool *written, BlyError *err) {
    *written = false;
    if ((!words->anyway && !stages_passed(cli->build, tank, err)) ||
        !tank_work(cli->build, tank, err))
        return false;
    cli->found_fault = tank_refused(tank, words->anyway);
    if (cli->found_fault)
        return true;
    if (!tank_next(cli->build, &cli->catalog, &cli->files, tank, err))
        return false;
    if (words->write != NULL && !cli_is_new(words->write, err))
        return false; /* before anything goes into the book */
    if (!keep_in_book(cli, words, tank, err))
        return false;
    if (words->write == NULL)
        return true;
    *written = write_build(cli, tank, words, err);
    return *written;
}

static cJSON *add_kept(const Cli *cli, const TankWords *words, cJSON *tree) {
    bool told = words->kept != BOOK_NOT_ASKED;
    return json_finished(
        tree, tree != NULL && put_book_used(tree, cli->build) &&
                  (!told || put_tree(tree, "kept",
                                     json_book_kept(words->kept, words->kept_as, cli->book_path))));
}

static cJSON *print(const Cli *cli, const TankWords *words, const TankWork *tank, bool written) {
    const TankReport report = tank_report(cli->build, tank, cli->file, words->anyway);
    if (cli->json)
        return add_kept(cli, words, json_tank(&cli->report, &report));
    text_tank(&cli->report, &report);
    text_book_used(&cli->report, cli->build);
    text_book_kept(&cli->report, words->kept, words->kept_as, cli->book_path);
    if (words->kept == BOOK_ADDED && words->lure == NULL &&
        strcmp(words->kept_as, cli->build->name) != 0)
        (void)fprintf(cli->report.out, "another lure than those of this build that are there; "
                                       "if not, --lure NAME says\nwhich it is\n");
    if (words->kept == BOOK_NOT_ASKED && !cli->no_book && !cli->book_there && !cli->found_fault &&
        isatty(STDOUT_FILENO))
        text_book_offer(&cli->report);
    if (written)
        (void)fprintf(cli->report.out, "\nthe corrected build is in %s\n", words->write);
    else if (words->write != NULL)
        (void)fprintf(cli->report.out, "nothing written\n");
    return NULL;
}

/* Wrong words on the command line are wrong usage, wrong content of the build is bad input. */
static int run(Cli *cli, TankWords *words, TankWork *tank, cJSON **tree) {
    BlyError err = {0};
    int status = EXIT_DONE;
    bool written;
    if (!read_readings(words, tank, &err))
        return (void)cli_tell(NULL, &err), EXIT_USAGE;
    if (!cli_build(cli, &status))
        return status;
    tank->water = cli->build->water;
    if (!tank_water_parse(words->water, words->salt, &tank->water, &err))
        return (void)cli_tell(NULL, &err), EXIT_USAGE;
    if (!work(cli, words, tank, &written, &err))
        return cli_tell(cli->file, &err);
    *tree = print(cli, words, tank, written);
    return EXIT_DONE;
}

int cmd_tank(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    TankWords words = {0};
    OptionList *list = words.readings;
    const Option options[] = {
        {"scale", OPT_TEXTS, &list[0], "MASS", "mass in air"},
        {"in-water", OPT_TEXTS, &list[1], "MASS", "weight in water; below zero: pushed under"},
        {"sinks", OPT_TEXTS, &list[2], "\"DEPTH in TIME\"", "steady, after the first 15 cm"},
        {"rises", OPT_TEXTS, &list[3], "\"DEPTH in TIME\"", "let go at depth"},
        {"tilts", OPT_TEXTS, &list[4], "ANGLE", "nose-down as it drifts under water"},
        {"tilts-afloat", OPT_TEXTS, &list[5], "ANGLE", "nose-down at the surface"},
        {"shows", OPT_TEXTS, &list[6], "SHARE", "body and coat above the water"},
        {"balance", OPT_TEXTS, &list[7], "LENGTH", "from the nose, on a knife edge"},
        {"stage", OPT_TEXT, &words.stage, "STAGE",
         "blank, cut, eyed, coated or complete (default)"},
        {"water", OPT_TEXT, &words.water, "TEMPERATURE", "of the tank (default: the build's)"},
        {"salt", OPT_TEXT, &words.salt, "SALINITY", "of the tank (default: the build's)"},
        {"on", OPT_TEXT, &words.on, "DATE", "the day of the readings (default: today)"},
        {"write", OPT_TEXT, &words.write, "FILE", "write the corrected build to a new file"},
        {"lure", OPT_TEXT, &words.lure, "NAME",
         "of this very lure in your book (default: the build's)"},
        {"anyway", OPT_FLAG, &words.anyway, NULL, "use readings that contradict, too"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    TankWork *tank = calloc(1, sizeof *tank);
    cJSON *tree = NULL;
    if (tank == NULL)
        return cli_end(&cli, NULL, cli_no_memory());
    status = run(&cli, &words, tank, &tree);
    tank_work_release(tank);
    free(tank);
    return cli_end(&cli, tree, status);
}
