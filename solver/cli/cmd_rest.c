/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry rest BUILD: what the build does as it is fitted. */
#include "cli/lines.h"
#include "desk/desk.h"

/* What is asked for besides. */
typedef struct Asked {
    bool waters, tow;
} Asked;

static void print_text(const Cli *cli, const RestWork *w) {
    const BlyBuild *build = cli->build;
    const Report *report = &cli->report;
    (void)fprintf(report->out, "%s\n", build->name);
    text_said(report, build);
    text_slips(report, &w->slips);
    text_craft(report, build, &w->craft);
    text_rig(report, build, &build->fitted, NULL);
    (void)fprintf(report->out, "\n");
    cli_glance(cli, &build->fitted, &w->lure, &w->outcome);
    text_outcome(report, &w->outcome);
    if (build->has_target) {
        BlyJudgement judgement = bly_judge(&build->target, &w->outcome);
        if (w->line != NULL && judgement.met)
            (void)fprintf(report->out, "  meets the target in still water\n");
        else
            text_judgement(report, "  ", &build->target, &w->outcome, &judgement);
    }
    if (w->line != NULL)
        text_tow_verdict(report, "  ", build, w->line);
    (void)fprintf(report->out, "\n");
    sure_text(report, build, &build->fitted, &w->sure, w->window == NULL);
    (void)fprintf(report->out, "\n");
    if (w->towed != NULL) {
        text_tow_short(report, w->towed);
        (void)fprintf(report->out, "\n");
    }
    if (w->window != NULL) {
        (void)fprintf(report->out, "where it still works\n");
        text_window(report, w->window);
        return;
    }
    text_ladder(report, build, &w->lure);
    (void)fprintf(report->out, "\n");
    text_influence(report, build, w->influence, build->seat_count, REST_EXTRA);
    text_leader(report, build, &w->leader);
    if (w->worth != NULL && w->sure.reserve != NULL)
        text_worth(report, build, w->worth, w->sure.reserve);
}

static cJSON *make_json(const BlyBuild *build, const RestWork *w) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o,
        o != NULL && put_named(o, build, w) && put_rested(o, build, w) &&
            put_sure(o, build, &w->sure) &&
            (w->worth == NULL ||
             put_tree(o, "next_reading", json_worth(build, w->worth, w->sure.reserve))) &&
            (w->window == NULL || put_tree(o, "water_window", json_window(w->window))) &&
            (w->towed == NULL || put_tree(o, "tow", json_towed(w->towed))) &&
            (w->leader.seat < 0 || put_tree(o, "leader", json_influence(build, &w->leader, 1))) &&
            put_judged(o, build, w));
}

static bool work(const BlyBuild *build, const BlyCatalog *catalog, const Asked *asked,
                 RestWork *out, BlyError *err) {
    unsigned parts = REST_INFLUENCE | REST_LEADER | REST_SURE | REST_SLIPS | REST_WORTH;
    parts |= (asked->waters ? REST_WATERS : 0u) | (asked->tow ? REST_TOW : 0u);
    return rest_work(build, catalog, &build->fitted, parts, out, err);
}

/* A LineTask; its setting is what is asked for. */
static bool rest_line(const BlyBuild *build, const BlyCatalog *catalog, const void *asked,
                      cJSON **tree, bool *no_rig, BlyError *err) {
    RestWork rested;
    bool good = work(build, catalog, asked, &rested, err);
    *no_rig = false;
    *tree = good ? make_json(build, &rested) : NULL;
    rest_work_release(&rested);
    return good;
}

int cmd_rest(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    Asked asked = {0};
    LineWords line_words = {0};
    const Option options[] = {
        {"waters", OPT_FLAG, &asked.waters, NULL,
         "over which temperatures and salinities it still works"},
        {"tow", OPT_FLAG, &asked.tow, NULL, "estimate what it does on a line, in short"},
        WATER_OPTIONS(cli.water),
        LINE_OPTIONS(line_words),
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 0, 1, &status))
        return status;
    if (line_words.lines != NULL)
        return cli_lines(&cli, self, &line_words, &(LineTask){rest_line, &asked});
    if (!cli_one_build(&cli, self, &line_words, &status))
        return cli_end(&cli, NULL, status);
    RestWork rested;
    BlyError err = {0};
    cJSON *tree = NULL;
    if (!work(cli.build, &cli.catalog, &asked, &rested, &err))
        status = cli_tell(cli.file, &err);
    else if (cli.json)
        tree = make_json(cli.build, &rested);
    else
        print_text(&cli, &rested);
    rest_work_release(&rested);
    return cli_end(&cli, tree, status);
}
