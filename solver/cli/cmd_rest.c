/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry rest BUILD: what the build does as it is fitted. */
#include "cli/lines.h"
#include "report/sure.h"

#include <stdlib.h>

static const double extra_kg = 1e-4; /* the table of influence speaks of 0.1 g */

typedef struct Rested {
    BlyLure lure;
    BlyOutcome outcome;
    BlyInfluence *influence, leader;
    BlySpread *spread; /* owned: in the build's own water, and in the target's when there is one */
    size_t spread_count;
    BlyWindow *window;  /* owned: asked for by --waters */
    BlyReserve reserve; /* with a target */
} Rested;

/* The target's waters may be others than the build's: how sure the figures are, and how sure the
 * target is, are two questions. */
static bool work_out_spread(const BlyBuild *build, Rested *r, BlyError *err) {
    const BlySpreadOptions quick = {.sample_all = true};
    const BlyTarget *target = build->has_target ? &build->target : NULL;
    r->spread = calloc(2, sizeof *r->spread);
    if (r->spread == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    r->spread_count = target != NULL ? 2 : 1;
    return bly_spread(build, &build->fitted, &build->water, 1, target, NULL, &r->spread[0], err) &&
           (target == NULL ||
            bly_spread(build, &build->fitted, build->target_waters, build->target_water_count,
                       target, &quick, &r->spread[1], err));
}

static bool work_out_window(const BlyBuild *build, Rested *r, BlyError *err) {
    r->window = calloc(1, sizeof *r->window);
    if (r->window == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the water window");
    return bly_water_window(build, &build->fitted, build->has_target ? &build->target : NULL,
                            r->window, err);
}

static bool work_out(const BlyBuild *build, const BlyCatalog *catalog, bool waters, Rested *r,
                     BlyError *err) {
    BlyWater water;
    r->influence = calloc(build->seat_count + 1, sizeof *r->influence);
    if (r->influence == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the table of influence");
    return bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, err) &&
           bly_lure_make(&build->blank, build->seats, &build->fitted, &r->lure, err) &&
           bly_rest(&r->lure, &water, &r->outcome, err) &&
           bly_rest_influence(&r->lure, build->seats, build->seat_count, &build->fitted, &water,
                              extra_kg, r->influence, err) &&
           bly_rest_leader(&r->lure, &water, &r->leader, err) && work_out_spread(build, r, err) &&
           (!build->has_target ||
            bly_reserve(build, catalog, &build->fitted, NULL, &r->reserve, err)) &&
           (!waters || work_out_window(build, r, err));
}

static void print_text(const Cli *cli, const Rested *r) {
    const BlyBuild *build = cli->build;
    (void)fprintf(cli->report.out, "%s\n", build->name);
    text_said(&cli->report, build);
    text_rig(&cli->report, build, &build->fitted, NULL);
    (void)fprintf(cli->report.out, "\n");
    cli_glance(cli, &build->fitted, &r->lure, &r->outcome);
    text_outcome(&cli->report, &r->outcome);
    if (build->has_target) {
        BlyJudgement judgement = bly_judge(&build->target, &r->outcome);
        text_judgement(&cli->report, "  ", &build->target, &r->outcome, &judgement);
    }
    (void)fprintf(cli->report.out, "\n");
    text_spread(&cli->report, build, &r->spread[0], r->spread_count > 1 ? &r->spread[1] : NULL);
    (void)fprintf(cli->report.out, "\n");
    if (build->has_target && r->window == NULL) {
        (void)fprintf(cli->report.out, "how it can still be trimmed\n");
        text_reserve(&cli->report, build, &build->fitted, &r->reserve);
        (void)fprintf(cli->report.out, "\n");
    }
    if (r->window != NULL) {
        (void)fprintf(cli->report.out, "in which waters it keeps\n");
        text_window(&cli->report, r->window);
        return;
    }
    text_ladder(&cli->report, &r->lure);
    (void)fprintf(cli->report.out, "\n");
    text_influence(&cli->report, build, r->influence, build->seat_count, extra_kg);
    text_leader(&cli->report, build, &r->leader);
}

static cJSON *make_json(const BlyBuild *build, const Rested *r) {
    cJSON *o = cJSON_CreateObject();
    bool good =
        o != NULL && put_text(o, "name", build->name) && put_said(o, build) &&
        put_tree(o, "outcome", json_outcome(&r->outcome)) &&
        put_tree(o, "ladder", json_ladder(&r->lure)) &&
        put_tree(o, "influence_of_0.1_g", json_influence(build, r->influence, build->seat_count));
    good =
        good &&
        put_tree(o, "spread",
                 json_spread(build, &r->spread[0], r->spread_count > 1 ? &r->spread[1] : NULL)) &&
        (!build->has_target || put_tree(o, "reserve", json_reserve(build, &r->reserve))) &&
        (r->window == NULL || put_tree(o, "water_window", json_window(r->window)));
    if (good && r->leader.seat >= 0)
        good = put_tree(o, "leader", json_influence(build, &r->leader, 1));
    if (good && build->has_target) {
        BlyJudgement judgement = bly_judge(&build->target, &r->outcome);
        good = put_tree(o, "target", json_judgement(&build->target, &judgement));
    }
    if (good)
        return o;
    cJSON_Delete(o);
    return NULL;
}

static void release(Rested *r) {
    bly_lure_release(&r->lure);
    free(r->influence);
    free(r->spread);
    free(r->window);
}

/* A LineTask; its setting is whether the waters are asked for. */
static bool rest_line(const BlyBuild *build, const BlyCatalog *catalog, const void *waters,
                      cJSON **tree, bool *no_rig, BlyError *err) {
    Rested rested = {0};
    bool good = work_out(build, catalog, *(const bool *)waters, &rested, err);
    *no_rig = false;
    *tree = good ? make_json(build, &rested) : NULL;
    release(&rested);
    return good;
}

int cmd_rest(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    bool waters = false;
    LineWords line_words = {0};
    const Option options[] = {
        {"waters", OPT_FLAG, &waters, NULL, "tell over which temperatures and salinities it keeps"},
        LINE_OPTIONS(line_words),
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 0, 1, &status))
        return status;
    if (line_words.lines != NULL)
        return cli_lines(&cli, self, &line_words, &(LineTask){rest_line, &waters});
    if (!cli_one_build(&cli, self, &line_words, &status))
        return cli_end(&cli, NULL, status);
    Rested rested = {0};
    BlyError err = {0};
    cJSON *tree = NULL;
    if (!work_out(cli.build, &cli.catalog, waters, &rested, &err))
        status = cli_tell(cli.file, &err);
    else if (cli.json)
        tree = make_json(cli.build, &rested);
    else
        print_text(&cli, &rested);
    release(&rested);
    return cli_end(&cli, tree, status);
}
