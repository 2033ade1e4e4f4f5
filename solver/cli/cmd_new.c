/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry new NAME: a starter build, written to NAME.json. */
#include "cli/cli.h"

#include <string.h>

/* A plain turned minnow; every line is meant to be changed. */
static const char starter[] =
    "{\n"
    "  \"ballastry\": 1,\n"
    "  \"name\": \"%s\",\n"
    "  \"water\": { \"temperature\": \"10 C\", \"salinity\": \"0 g/kg\" },\n"
    "  \"body\": {\n"
    "    \"stations\": [\n"
    "      { \"x\": \"0 mm\", \"diameter\": \"0 mm\" },\n"
    "      { \"x\": \"6 mm\", \"diameter\": \"9 mm\" },\n"
    "      { \"x\": \"18 mm\", \"diameter\": \"14 mm\" },\n"
    "      { \"x\": \"35 mm\", \"diameter\": \"16 mm\" },\n"
    "      { \"x\": \"55 mm\", \"diameter\": \"14 mm\" },\n"
    "      { \"x\": \"75 mm\", \"diameter\": \"9 mm\" },\n"
    "      { \"x\": \"90 mm\", \"diameter\": \"3 mm\" }\n"
    "    ],\n"
    "    \"material\": \"larch\",\n"
    "    \"coats\": [ { \"material\": \"epoxy-clear\", \"thickness\": \"0.25 mm\" } ]\n"
    "  },\n"
    "  \"seats\": {\n"
    "    \"tie\": { \"kind\": \"tie\", \"x\": \"1 mm\", \"side\": \"nose\" },\n"
    "    \"belly\": { \"kind\": \"hanger\", \"x\": \"32 mm\", \"side\": \"belly\" },\n"
    "    \"tail\": { \"kind\": \"hanger\", \"x\": \"89 mm\", \"side\": \"tail\" },\n"
    "    \"lip\": { \"kind\": \"slot\", \"x\": \"9 mm\", \"side\": \"belly\", \"angle\": \"40 "
    "deg\","
    " \"depth\": \"7 mm\", \"width\": \"16 mm\", \"length\": [\"16 mm\", \"26 mm\"] },\n"
    "    \"keel\": { \"kind\": \"patch\", \"x\": [\"24 mm\", \"60 mm\"], \"side\": \"belly\","
    " \"width\": \"8 mm\" }\n"
    "  },\n"
    "  \"target\": {\n"
    "    \"state\": \"suspend\",\n"
    "    \"drift\": [\"-15 mm/s\", \"15 mm/s\"],\n"
    "    \"nose_down\": [\"3 deg\", \"15 deg\"]\n"
    "  },\n"
    "  \"limits\": { \"hook_size\": [\"10\", \"6\"], \"lead_free\": true }\n"
    "}\n";

static bool plain_name(const char *name) {
    if (*name == '\0' || strlen(name) > 60)
        return false;
    for (const char *p = name; *p != '\0'; p++) {
        bool good = (*p >= 'a' && *p <= 'z') || (*p >= 'A' && *p <= 'Z') || *p == '-' ||
                    *p == '_' || *p == ' ' || (*p >= '0' && *p <= '9');
        if (!good)
            return false;
    }
    return name[0] != '-' && name[0] != ' ';
}

static bool write_starter(const char *name, char file[80], BlyError *err) {
    if (!plain_name(name))
        return bly_fail(err, BLY_E_SYNTAX, "NAME",
                        "'%.60s' should be letters, digits, blanks and hyphens, at most 60", name);
    char text[sizeof starter + 80];
    (void)snprintf(file, 80, "%s.json", name);
    (void)snprintf(text, sizeof text, starter, name);
    return cli_write_new(file, text, err);
}

int cmd_new(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    char file[80] = "";
    if (!cli_begin(&cli, self, argc, argv, NULL, 1, 1, &status))
        return status;
    BlyError err = {0};
    cJSON *tree = NULL;
    if (!write_starter(cli.arguments[0], file, &err)) {
        status = cli_tell(NULL, &err);
    } else if (cli.json) {
        tree = cJSON_CreateObject();
        if (tree != NULL && !put_text(tree, "written", file)) {
            cJSON_Delete(tree);
            tree = NULL;
        }
    } else {
        (void)fprintf(cli.report.out,
                      "wrote %s\nchange sizes, material and seats to yours, then: ballastry fit "
                      "\"%s\"\n",
                      file, file);
    }
    return cli_end(&cli, tree, status);
}
