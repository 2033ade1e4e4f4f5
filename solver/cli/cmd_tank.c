/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry tank BUILD --READING VALUE: what was read, what it teaches, the corrected build. */
#include "cli/cli.h"

#include <stdlib.h>

#include "desk/learnt.h"
#include "desk/readings.h"
#include "report/tank.h"

typedef struct TankWords {
    OptionList readings[READING_WAYS]; /* in the order of the table */
    const char *stage, *water, *salt, *write;
    bool anyway;
} TankWords;

typedef struct Tank {
    BlyReading readings[BLY_READINGS_MAX];
    size_t count;
    BlyWaterFacts water;
    BlyTankResult result;
    BlyForecast before, after;
} Tank;

static bool read_readings(const TankWords *words, Tank *tank, BlyError *err) {
    BlyStage stage = BLY_STAGE_COMPLETE;
    if (words->stage != NULL && !stage_parse(words->stage, "--stage", &stage, err))
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
static bool write_build(const Cli *cli, const Tank *tank, const char *file, BlyError *err) {
    char *text = NULL;
    bool good =
        learnt_text(cli->build, &tank->result, &text, err) && cli_write_new(file, text, err);
    free(text);
    return good;
}

static bool work(Cli *cli, const TankWords *words, Tank *tank, bool *written, BlyError *err) {
    *written = false;
    if (!bly_tank_learn(cli->build, tank->readings, tank->count, &tank->water, &tank->result,
                        err) ||
        !bly_tank_forecast(cli->build, &tank->water, &tank->result, &tank->before, &tank->after,
                           err))
        return false;
    cli->found_fault = tank->result.contradiction && !words->anyway;
    if (words->write == NULL || cli->found_fault)
        return true;
    *written = write_build(cli, tank, words->write, err);
    return *written;
}

static cJSON *print(const Cli *cli, const TankWords *words, const Tank *tank, bool written) {
    const TankReport report = {cli->build,    tank->readings, &tank->water,
                               &tank->result, &tank->before,  &tank->after};
    if (cli->json)
        return json_tank(&report);
    text_tank(&cli->report, &report);
    if (written)
        (void)fprintf(cli->report.out, "\nthe corrected build is in %s\n", words->write);
    else if (words->write != NULL)
        (void)fprintf(cli->report.out,
                      "\nnothing written: read that again, leave it out, or add --anyway\n");
    return NULL;
}

/* Wrong words on the command line are wrong usage, wrong content of the build is bad input. */
static int run(Cli *cli, const TankWords *words, Tank *tank, cJSON **tree) {
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
        {"write", OPT_TEXT, &words.write, "FILE", "write the corrected build to a new file"},
        {"anyway", OPT_FLAG, &words.anyway, NULL, "take readings that contradict"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    Tank *tank = calloc(1, sizeof *tank);
    cJSON *tree = NULL;
    if (tank == NULL)
        return cli_end(&cli, NULL, cli_no_memory());
    status = run(&cli, &words, tank, &tree);
    bly_tank_release(&tank->result);
    free(tank);
    return cli_end(&cli, tree, status);
}
