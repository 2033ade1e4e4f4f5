/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program: finds the command in the table and runs it. */
#include "cli/cli.h"
#include "ballastry/version.h"

#include <signal.h>
#include <string.h>

static const Command commands[] = {
    {"fit", "BUILD", "choose hardware and ballast that meet the build's target",
     "Looks through the catalog for every open seat and prints the best different rigs,\n"
     "each worked through the full physics in every water of the target. When nothing\n"
     "meets the target it prints what comes nearest and exits with 1. With --lines it works many\n"
     "builds, one a line, and BUILD may be left out; docs/sweeps.md tells more.\n",
     cmd_fit},
    {"rest", "BUILD", "say what the build does as it is fitted",
     "Mass, weight in water, speed, tilt and stability, what the scale should read\n"
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
     "A reading may name its own tolerance and stage: \"14.2 g +- 0.05 g at coated\". The build\n"
     "stays as it is; --write puts the corrected one beside it.\n",
     cmd_tank},
    {"mend", "BUILD", "say what to do now to a finished lure",
     "After `tank --write NEW.json`: the trim of what is mounted after which NEW.json is surest "
     "on\n"
     "target, how many turns, dots or millimetres and where; what the lure then weighs, what the\n"
     "next test should show, and what to do where it comes out on either side. A part is\n"
     "exchanged only where no trim does it. -o writes the build as mended.\n",
     cmd_mend},
    {"tow", "BUILD", "estimate what it does when it is drawn on a line",
     "Whether it dives, how it lies, how hard it pulls and how deep it runs, trolled and cast,\n"
     "for example\n"
     "    ballastry tow lure.json --speed \"1 m/s\" --line \"30 m of 0.30 mm\" --rod \"1 m\"\n"
     "and what a longer lip, a larger hook or a thinner line would change. An estimate with its\n"
     "range: nothing of it was checked against a lure on a line.\n",
     cmd_tow},
    {"sheet", "BUILD -o FILE", "draw the build and write its bench sheet",
     "Writes SVG, PDF or PNG by the file's ending. The page holds the drawing at life size,\n"
     "templates to cut out, parts, the weigh ladder and curves; print it at 100 %. Views:\n"
     "page (the default), side, outlines, curves, chance, tow, influence. With --after the side\n"
     "view shows the build before and after a change, for example\n"
     "    ballastry sheet lure.json -o lure.pdf --after belly.hook=treble-4-medium\n"
     "With -o FILE.stl the body itself is written at 1:1 in mm, its lip slot sawn into it.\n",
     cmd_sheet},
    {"catalog", "[list|check|materials|box [BUILD]]", "list, check and extend the parts",
     "list shows the parts (the default), materials the materials; check works out every\n"
     "mass again from the part's sizes and tells what disagrees. box shows what your own\n"
     "box holds (box.csv), and with a BUILD what its rig takes out of it.\n",
     cmd_catalog},
    {"book", "[list|explain [KIND KEY]|forget LURE|forget KIND KEY|on|off]",
     "what your own finished lures came out at",
     "list shows what the next lure is taken for, and what each lure came out at (the default);\n"
     "explain tells what a figure rests on, forget takes a lure or a figure out. on keeps each\n"
     "finished lure that tank reads from now on, off leaves the book alone. It lies in your own\n"
     "data folder, or where --book says.\n",
     cmd_book},
    {"pour", "[BUILD]", "say what to weigh out for a cast blank",
     "Resin and light filler for a mould, or for the body of a build: what to weigh out, which\n"
     "density comes out, whether the filler must be held down, and what such a blank will do.\n"
     "Figures may name their tolerance: --cured \"1.05 g/cm3 +- 0.02 g/cm3\". The maker's data "
     "sheet\n"
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
    bly_begin();                    /* GSL aborts by default; we look at every status */
    (void)signal(SIGXFSZ, SIG_IGN); /* a file too large is an error told, not a file left half */
    if (argc < 2) {
        print_overview(stderr);
        return EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "help") == 0) {
        print_overview(stdout);
        return cli_flush();
    }
    if (strcmp(argv[1], "--version") == 0) {
        (void)printf("ballastry %s\n", BLY_VERSION);
        return cli_flush();
    }
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        if (strcmp(argv[1], commands[i].name) == 0)
            return commands[i].run(&commands[i], argc - 1, argv + 1);
    }
    (void)fprintf(stderr, "ballastry: unknown command '%s'; try ballastry --help\n", argv[1]);
    return EXIT_USAGE;
}
