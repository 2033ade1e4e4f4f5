/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program: finds the command in the table and runs it. */
#include "cli/cli.h"

#include <string.h>
#include <gsl/gsl_errno.h>

static const Command commands[] = {
    {"fit", "BUILD", "choose hardware and ballast that meet the build's target",
     "Looks through the catalog for every open seat and prints the best different rigs,\n"
     "each worked through the full physics in every water of the target. When nothing\n"
     "meets the target it prints what comes nearest and exits with 1. With --lines it works many\n"
     "builds, one a line, and BUILD may be left out; docs/sweeps.md tells more.\n",
     cmd_fit},
    {"rest", "BUILD", "say what the build does as it is fitted",
     "Mass, weight in water, drift, attitude and stability, what the scale should read\n"
     "after each step, and what a little more metal at each seat would do. With --lines it works\n"
     "many builds, one a line, and BUILD may be left out; docs/sweeps.md tells more.\n",
     cmd_rest},
    {"swap", "BUILD --at SEAT.PART=ID ...", "the same before and after changing parts",
     "Changes parts at named seats and puts before and after side by side, for example\n"
     "    ballastry swap lure.json --at belly.hook=treble-4-medium\n"
     "ID may be none. Give --at as often as needed.\n",
     cmd_swap},
    {"tank", "BUILD --READING VALUE ...", "correct the build from a scale and a tank test",
     "Takes what was read of the lure, at any stage, and corrects body, coat, parts and drag\n"
     "within their tolerances: --scale \"14.2 g\" --sinks \"60 cm in 5.2 s\" --tilts \"11 deg\".\n"
     "A reading may name its own give and stage: \"14.2 g +- 0.05 g at coated\". The build\n"
     "stays as it is; --write puts the corrected one beside it.\n",
     cmd_tank},
    {"sheet", "BUILD -o FILE", "draw the build and write its bench sheet",
     "Writes SVG, PDF or PNG by the file's ending. The page holds the drawing at life size,\n"
     "templates to cut out, parts, the weigh ladder and curves; print it at 100 %. Views:\n"
     "page (the default), side, outlines, curves, chance, influence. With --after the side\n"
     "view shows the build before and after a change, for example\n"
     "    ballastry sheet lure.json -o lure.pdf --after belly.hook=treble-4-medium\n"
     "With -o FILE.stl the body itself is written at 1:1 in mm, its lip slot sawn into it.\n",
     cmd_sheet},
    {"catalog", "[list|check|materials]", "list, check and extend the parts",
     "list shows the parts (the default), materials the materials; check works out every\n"
     "mass again from the part's sizes and tells what disagrees.\n",
     cmd_catalog},
    {"pour", "[BUILD]", "say what to weigh out for a cast blank",
     "Resin and light filler for a mould, or for the body of a build: what to weigh out, which\n"
     "density comes out, whether the filler must be held down, and what such a blank will do.\n"
     "Figures may name their give: --cured \"1.05 g/cm3 +- 0.02 g/cm3\". The maker's data sheet\n"
     "goes before all of this.\n",
     cmd_pour},
    {"bench", "[BUILD|FOLDER]", "the same in a browser, on this machine",
     "Serves one page on this machine alone and prints its address, which holds the key to it.\n"
     "It reads and writes build files of one folder: the one named, or the build's.\n",
     cmd_bench},
    {"new", "NAME", "write a starter build file",
     "Writes NAME.json: a plain body with the usual seats, ready to be changed; or, with\n"
     "--from, seats around your own body, which stays in its file beside the build; or, with\n"
     "--displaced, around a plain shape that agrees with what you measured. It never writes\n"
     "over a file.\n",
     cmd_new},
};

static void print_overview(FILE *to) {
    (void)fprintf(to, "ballastry balances hard fishing lures with the hardware they carry anyway.\n"
                      "\nusage: ballastry COMMAND ...\n\n");
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++)
        (void)fprintf(to, "  %-9s %s\n", commands[i].name, commands[i].summary);
    (void)fprintf(to,
                  "\nballastry COMMAND --help tells more. Exit status: 0 done, 1 no rig meets the"
                  "\ntarget, 2 wrong usage, 3 bad input, 4 internal fault.\n");
}

int main(int argc, char **argv) {
    (void)gsl_set_error_handler_off(); /* GSL aborts by default; we look at every status */
    if (argc < 2) {
        print_overview(stderr);
        return EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "help") == 0) {
        print_overview(stdout);
        return cli_flush();
    }
    if (strcmp(argv[1], "--version") == 0) {
        (void)printf("ballastry %s\n", BALLASTRY_VERSION);
        return cli_flush();
    }
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        if (strcmp(argv[1], commands[i].name) == 0)
            return commands[i].run(&commands[i], argc - 1, argv + 1);
    }
    (void)fprintf(stderr, "ballastry: unknown command '%s'; try ballastry --help\n", argv[1]);
    return EXIT_USAGE;
}
