/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/starters.h"

#include <string.h>

#include "json/json.h"
#include "text/text.h"

static const char minnow[] =
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
    "deg\", \"depth\": \"7 mm\", \"width\": \"16 mm\", \"length\": [\"16 mm\", \"26 mm\"] },\n"
    "    \"chest\": { \"kind\": \"patch\", \"x\": [\"14 mm\", \"30 mm\"], \"side\": \"belly\", "
    "\"width\": \"8 mm\" },\n"
    "    \"keel\": { \"kind\": \"patch\", \"x\": [\"34 mm\", \"60 mm\"], \"side\": \"belly\", "
    "\"width\": \"8 mm\" }\n"
    "  },\n"
    "  \"target\": {\n"
    "    \"state\": \"suspend\",\n"
    "    \"drift\": [\"-15 mm/s\", \"15 mm/s\"],\n"
    "    \"nose_down\": [\"3 deg\", \"15 deg\"]\n"
    "  },\n"
    "  \"limits\": { \"lead_free\": true }\n"
    "}\n";

static const char flat[] =
    "  \"water\": { \"temperature\": \"10 C\", \"salinity\": \"0 g/kg\" },\n"
    "  \"body\": {\n"
    "    \"stations\": [\n"
    "      { \"x\": \"0 mm\", \"width\": \"0 mm\", \"height\": \"0 mm\" },\n"
    "      { \"x\": \"5 mm\", \"width\": \"6 mm\", \"height\": \"10 mm\" },\n"
    "      { \"x\": \"18 mm\", \"width\": \"9 mm\", \"height\": \"19 mm\" },\n"
    "      { \"x\": \"34 mm\", \"width\": \"9 mm\", \"height\": \"20 mm\" },\n"
    "      { \"x\": \"52 mm\", \"width\": \"7 mm\", \"height\": \"13 mm\" },\n"
    "      { \"x\": \"70 mm\", \"width\": \"3 mm\", \"height\": \"5 mm\" }\n"
    "    ],\n"
    "    \"section\": 3,\n"
    "    \"material\": \"paulownia\",\n"
    "    \"coats\": [ { \"material\": \"epoxy-clear\", \"thickness\": \"0.25 mm\" } ]\n"
    "  },\n"
    "  \"seats\": {\n"
    "    \"tie\": { \"kind\": \"tie\", \"x\": \"1 mm\", \"side\": \"nose\" },\n"
    "    \"belly\": { \"kind\": \"hanger\", \"x\": \"22 mm\", \"side\": \"belly\" },\n"
    "    \"tail\": { \"kind\": \"hanger\", \"x\": \"69 mm\", \"side\": \"tail\" },\n"
    "    \"lip\": { \"kind\": \"slot\", \"x\": \"7 mm\", \"side\": \"belly\", \"angle\": \"45 "
    "deg\", \"depth\": \"7 mm\", \"width\": \"14 mm\", \"length\": [\"14 mm\", \"24 mm\"] }\n"
    "  },\n"
    "  \"target\": {\n"
    "    \"state\": \"float\",\n"
    "    \"shows\": [\"15 %\", \"40 %\"]\n"
    "  },\n"
    "  \"limits\": { \"lead_free\": true }\n"
    "}\n";

static const char short_round[] =
    "  \"water\": { \"temperature\": \"10 C\", \"salinity\": \"0 g/kg\" },\n"
    "  \"body\": {\n"
    "    \"stations\": [\n"
    "      { \"x\": \"0 mm\", \"diameter\": \"0 mm\" },\n"
    "      { \"x\": \"4 mm\", \"diameter\": \"11 mm\" },\n"
    "      { \"x\": \"14 mm\", \"diameter\": \"19 mm\" },\n"
    "      { \"x\": \"26 mm\", \"diameter\": \"21 mm\" },\n"
    "      { \"x\": \"40 mm\", \"diameter\": \"15 mm\" },\n"
    "      { \"x\": \"55 mm\", \"diameter\": \"4 mm\" }\n"
    "    ],\n"
    "    \"material\": \"larch\",\n"
    "    \"coats\": [ { \"material\": \"epoxy-clear\", \"thickness\": \"0.25 mm\" } ]\n"
    "  },\n"
    "  \"seats\": {\n"
    "    \"tie\": { \"kind\": \"tie\", \"x\": \"1 mm\", \"side\": \"nose\" },\n"
    "    \"belly\": { \"kind\": \"hanger\", \"x\": \"20 mm\", \"side\": \"belly\" },\n"
    "    \"tail\": { \"kind\": \"hanger\", \"x\": \"54 mm\", \"side\": \"tail\" },\n"
    "    \"chest\": { \"kind\": \"patch\", \"x\": [\"8 mm\", \"18 mm\"], \"side\": \"belly\", "
    "\"width\": \"10 mm\" },\n"
    "    \"keel\": { \"kind\": \"patch\", \"x\": [\"22 mm\", \"40 mm\"], \"side\": \"belly\", "
    "\"width\": \"10 mm\" }\n"
    "  },\n"
    "  \"target\": {\n"
    "    \"state\": \"float\",\n"
    "    \"shows\": [\"5 %\", \"30 %\"]\n"
    "  },\n"
    "  \"limits\": { \"lead_free\": true }\n"
    "}\n";

static const char stick[] =
    "  \"water\": { \"temperature\": \"10 C\", \"salinity\": \"0 g/kg\" },\n"
    "  \"body\": {\n"
    "    \"stations\": [\n"
    "      { \"x\": \"0 mm\", \"diameter\": \"4 mm\" },\n"
    "      { \"x\": \"10 mm\", \"diameter\": \"11 mm\" },\n"
    "      { \"x\": \"30 mm\", \"diameter\": \"15 mm\" },\n"
    "      { \"x\": \"60 mm\", \"diameter\": \"16 mm\" },\n"
    "      { \"x\": \"85 mm\", \"diameter\": \"14 mm\" },\n"
    "      { \"x\": \"105 mm\", \"diameter\": \"9 mm\" },\n"
    "      { \"x\": \"115 mm\", \"diameter\": \"4 mm\" }\n"
    "    ],\n"
    "    \"material\": \"larch\",\n"
    "    \"coats\": [ { \"material\": \"epoxy-clear\", \"thickness\": \"0.25 mm\" } ]\n"
    "  },\n"
    "  \"seats\": {\n"
    "    \"tie\": { \"kind\": \"tie\", \"x\": \"1 mm\", \"side\": \"nose\" },\n"
    "    \"belly\": { \"kind\": \"hanger\", \"x\": \"40 mm\", \"side\": \"belly\" },\n"
    "    \"tail\": { \"kind\": \"hanger\", \"x\": \"114 mm\", \"side\": \"tail\" },\n"
    "    \"keel\": { \"kind\": \"patch\", \"x\": [\"70 mm\", \"105 mm\"], \"side\": \"belly\", "
    "\"width\": \"8 mm\" }\n"
    "  },\n"
    "  \"target\": {\n"
    "    \"state\": \"float\",\n"
    "    \"shows\": [\"10 %\", \"35 %\"],\n"
    "    \"nose_down\": [\"-40 deg\", \"-2 deg\"]\n"
    "  },\n"
    "  \"limits\": { \"lead_free\": true }\n"
    "}\n";

const Starter starters[] = {
    {"minnow", "turned minnow, 90 mm",
     "Round, slim, with a lip and room for metal on the belly; to suspend nose-down.", minnow},
    {"flat", "flat-sided body, 70 mm", "Cut from board, taller than wide, with a lip; to float.",
     flat},
    {"short", "short round body, 55 mm", "Turned, thick, without a lip; to float.", short_round},
    {"stick", "long slim body, 115 mm",
     "Turned, heaviest behind the middle, without a lip; to float nose-up.", stick},
};
const size_t starter_count = sizeof starters / sizeof starters[0];

const Starter *starter_find(const char *id) {
    for (size_t i = 0; i < starter_count; i++) {
        if (strcmp(starters[i].id, id) == 0)
            return &starters[i];
    }
    return NULL;
}

bool starter_text(const Starter *starter, const char *name, char **text, BlyError *err) {
    BlyText out;
    bly_text_init(&out);
    bly_text_append(&out, "{\n  \"ballastry\": 1,\n  \"name\": ");
    bly_json_print_string(name, &out);
    bly_text_append(&out, ",\n");
    bly_text_append(&out, starter->text);
    if (!bly_text_good(&out, err)) {
        bly_text_release(&out);
        return false;
    }
    *text = bly_text_detach(&out);
    return *text != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the text");
}
