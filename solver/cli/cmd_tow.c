/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry tow BUILD: what the lure does that is drawn on a line. */
#include "cli/cli.h"

#include <stdlib.h>
#include <string.h>

#include "desk/desk.h"

static cJSON *make_json(const BlyBuild *build, const TowFound *found) {
    cJSON *o = cJSON_CreateObject();
    double speed = found->ask.speeds[found->ask.change_at];
    return json_finished(
        o, o && put_text(o, "name", build->name) && put_tree(o, "tow", json_towed(&found->towed)) &&
               put_tree(o, "changes", json_tow_levers(found->levers, speed)) &&
               (!found->asked || put_tree(o, "wished", json_wished(&found->wished))));
}

static void print_text(const Cli *cli, const TowFound *found) {
    char water[WORDS_MAX];
    water_words(&found->water, cli->system, water);
    (void)fprintf(cli->report.out, "%s\n", cli->build->name);
    text_said(&cli->report, cli->build);
    text_rig(&cli->report, cli->build, &cli->build->fitted, NULL);
    (void)fprintf(cli->report.out, "\nin %s\n", water);
    text_towed(&cli->report, &found->towed);
    if (found->asked)
        text_wish_kept(&cli->report, cli->build, &found->wished);
    (void)fprintf(cli->report.out, "\n");
    text_tow_levers(&cli->report, found->levers, found->ask.speeds[found->ask.change_at]);
}

/* ---- from the water back ---- */

typedef struct WaterOptions {
    OptionList readings[BLY_TOW_READ_KINDS], saw;
    const char *write, *on;
    bool anyway;
} WaterOptions;

static bool gather(const WaterOptions *options, const BlyTowLine *line, WaterWork *work,
                   BlyError *err) {
    for (size_t k = 0; k < BLY_TOW_READ_KINDS; k++) {
        for (size_t i = 0; i < options->readings[k].count; i++) {
            if (work->count == BLY_TOW_READINGS_MAX)
                return bly_fail(err, BLY_E_RANGE, water_options[k].name, "at most %d readings",
                                BLY_TOW_READINGS_MAX);
            if (!water_reading_parse(options->readings[k].at[i], &water_options[k], line,
                                     &work->readings[work->count++], err))
                return false;
        }
    }
    if (options->saw.count > WATER_SAW_MOST)
        return bly_fail(err, BLY_E_RANGE, "--saw", "at most %d at once", WATER_SAW_MOST);
    for (size_t i = 0; i < options->saw.count; i++) {
        if (strlen(options->saw.at[i]) > WATER_SAW_LONGEST)
            return bly_fail(err, BLY_E_RANGE, "--saw", "at most %d letters", WATER_SAW_LONGEST);
        work->saw[work->saw_count++] = options->saw.at[i];
    }
    if (options->on == NULL)
        (void)desk_today(work->on);
    else if (!water_day_parse(options->on, "--on", work->on, err))
        return false;
    if (options->write == NULL || work->count + work->saw_count > 0)
        return true;
    return bly_fail(err, BLY_E_MISSING, "--write",
                    "nothing to write: say what was read or seen, such as --saw \"rolls over at "
                    "about 1.8 m/s\"");
}

static bool write_build(const Cli *cli, const WaterWork *work, const char *file, BlyError *err) {
    char *text = NULL;
    bool good = water_text(cli->build, work, &text, err) && cli_write_new(file, text, err);
    free(text);
    return good;
}

static cJSON *water_json(const BlyBuild *build, const WaterWork *work) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o && put_text(o, "name", build->name) && put_said(o, build) &&
               (work->count == 0 ||
                put_tree(o, "from_water", json_water(work->readings, &work->lesson))));
}

/* With the build, where there is a book: asked for by --book, or there and not switched off. */
static bool keep_in_book(const Cli *cli, const WaterWork *work, BookKept *kept,
                         char name[BOOK_NAME_MAX], BlyError *err) {
    bool asked = cli->book_words != NULL || cli->book_there;
    return cli->no_book || !asked || (cli->book_words == NULL && cli->book.off) ||
           book_keep_water(cli->book_path, cli->build, work, kept, name, err);
}

static int from_water(Cli *cli, const WaterOptions *options, WaterWork *work, cJSON **tree) {
    BlyError err = {0};
    BookKept kept = BOOK_NOT_ASKED;
    char name[BOOK_NAME_MAX] = "";
    if (!water_work(cli->build, work, &err))
        return cli_tell(cli->file, &err);
    bool refused = work->count > 0 && work->lesson.contradiction && !options->anyway;
    cli->found_fault = refused;
    if (options->write != NULL && !refused &&
        (!cli_is_new(options->write, &err) || !keep_in_book(cli, work, &kept, name, &err) ||
         !write_build(cli, work, options->write, &err)))
        return cli_tell(cli->file, &err);
    if (cli->json) {
        *tree = water_json(cli->build, work);
        if (*tree != NULL && kept != BOOK_NOT_ASKED)
            *tree = json_finished(
                *tree, put_tree(*tree, "kept", json_book_kept(kept, name, cli->book_path)));
        return EXIT_DONE;
    }
    (void)fprintf(cli->report.out, "%s\n", cli->build->name);
    text_said(&cli->report, cli->build);
    if (work->count > 0)
        text_water(&cli->report, work->readings, &work->lesson);
    text_book_kept(&cli->report, kept, name, cli->book_path);
    if (options->write != NULL && !refused)
        (void)fprintf(cli->report.out, "the build that knows of it is in %s\n", options->write);
    else if (options->write != NULL)
        (void)fprintf(cli->report.out, "nothing written\n");
    else
        (void)fprintf(cli->report.out, refused ? "--write FILE --anyway keeps it all the same\n"
                                               : "--write FILE keeps it with the build\n");
    return EXIT_DONE;
}

/* ---- what makers try ---- */

static int cures(Cli *cli, const char *saw, const BlyTowAsk *ask, cJSON **tree) {
    CuresWork work;
    BlyError err = {0};
    Saw seen;
    if (!saw_parse(saw, &seen)) {
        (void)bly_fail(&err, BLY_E_UNKNOWN, "--cures",
                       "\"%.30s\": expected porpoises or rolls-over", saw);
        return (void)cli_tell(NULL, &err), EXIT_USAGE;
    }
    if (!cures_work(cli->build, seen, ask, &work, &err))
        return cli_tell(cli->file, &err);
    if (cli->json) {
        cJSON *o = cJSON_CreateObject();
        *tree = json_finished(o, o && put_text(o, "name", cli->build->name) &&
                                     put_said(o, cli->build) &&
                                     put_tree(o, "cures", json_cures(&work)));
        return EXIT_DONE;
    }
    (void)fprintf(cli->report.out, "%s\n", cli->build->name);
    text_said(&cli->report, cli->build);
    text_cures(&cli->report, &work);
    return EXIT_DONE;
}

/* Wrong words on the command line are wrong usage. */
static int tell(const Cli *cli, const BlyError *err) {
    bool option = strncmp(err->where, "--", 2) == 0;
    int status = cli_tell(option ? NULL : cli->file, err);
    return option && status == EXIT_BAD_INPUT ? EXIT_USAGE : status;
}

int cmd_tow(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    OptionList speeds = {0};
    TowWords words = {0};
    WaterOptions water = {0};
    const char *saw = NULL;
    WaterWork work = {.count = 0};
    const Option options[] = {
        {"speed", OPT_TEXTS, &speeds, "SPEED", "as often as needed (default 0.5, 1, 1.5 m/s)"},
        {"line", OPT_TEXT, &words.line, "LINE",
         "length and diameter, or the length alone (default \"30 m of 0.30 mm\")"},
        {"rod", OPT_TEXT, &words.rod, "HEIGHT", "of its tip above the water (default 1 m)"},
        {"ran-deep", OPT_TEXTS, &water.readings[0], "\"DEPTH at SPEED\"",
         "seen on the water: trolled on this line"},
        {"pulled", OPT_TEXTS, &water.readings[1], "\"MASS at SPEED\"",
         "the same: what a scale at the line's end reads"},
        {"ran-down", OPT_TEXTS, &water.readings[2], "\"ANGLE at SPEED\"",
         "the same: nose-down, seen from beside"},
        {"drew-under", OPT_TEXTS, &water.readings[3], "SPEED",
         "the same: from which on it goes under"},
        {"saw", OPT_TEXTS, &water.saw, "WORDS",
         "kept as words with the build: \"rolls over at about 1.8 m/s\""},
        {"on", OPT_TEXT, &water.on, "DATE", "the day of it, kept with it (default: today)"},
        {"cures", OPT_TEXT, &saw, "porpoises|rolls-over",
         "what makers try against it, and what each does to this lure"},
        {"write", OPT_TEXT, &water.write, "FILE", "write the build that knows of it to a new file"},
        {"anyway", OPT_FLAG, &water.anyway, NULL, "take readings that contradict"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    BlyError err = {0};
    BlyTowAsk ask;
    words.speeds = speeds.at;
    words.speed_count = speeds.count;
    if (!tow_words_read(&words, &ask, &err) || !gather(&water, &ask.line, &work, &err))
        return cli_end(&cli, NULL, tell(&cli, &err));
    if (!cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    TowFound found;
    cJSON *tree = NULL;
    if (work.count + work.saw_count > 0) {
        status = from_water(&cli, &water, &work, &tree);
        return cli_end(&cli, tree, status);
    }
    if (saw != NULL) {
        status = cures(&cli, saw, &ask, &tree);
        return cli_end(&cli, tree, status);
    }
    if (words.speed_count == 0 && words.line == NULL && words.rod == NULL)
        tow_ask_of(cli.build, &ask);
    if (!tow_find(cli.build, &cli.build->fitted, &ask, &found, &err))
        status = tell(&cli, &err);
    else if (cli.json)
        tree = make_json(cli.build, &found);
    else
        print_text(&cli, &found);
    return cli_end(&cli, tree, status);
}
