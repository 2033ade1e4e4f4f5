/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "readings": what was read of the real lure on the way, stage by stage, and what is glued in by
 * the last of them. */
#include "build/sections.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double widest_angle = 3.2; /* rad */

/* In the order of BlyReadingKind (tank.h). */
const char *const build_reading_keys[BUILD_READ_KINDS] = {
    "scale", "in_water", "drift", "tilt", "tilt_afloat", "shows", "balance"};

static const Quantity read_as[BUILD_READ_KINDS] = {
    {BLY_DIM_MASS, "g", 0.0, 50.0, true},
    {BLY_DIM_MASS, "g", -50.0, 50.0, false},
    {BLY_DIM_SPEED, "mm/s", -10.0, 10.0, false},
    {BLY_DIM_ANGLE, "deg", -widest_angle, widest_angle, false},
    {BLY_DIM_ANGLE, "deg", -widest_angle, widest_angle, false},
    {BLY_DIM_RATIO, NULL, 0.0, 1.0, false},
    {BLY_DIM_LENGTH, "mm", -5.0, 5.0, false},
};
static const Quantity planned_mass = {BLY_DIM_MASS, "g", -50.0, 50.0, false};
static const Give usual = {0.02e-3, 0.0}; /* where a hand has written no give: the scale's */

/* A day of the calendar as ISO 8601 writes it. */
bool build_is_date(const char *text) {
    static const int longest[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    static const char form[] = "dddd-dd-dd";
    if (strlen(text) != sizeof form - 1)
        return false;
    for (size_t i = 0; form[i] != '\0'; i++) {
        bool digit = text[i] >= '0' && text[i] <= '9';
        if (form[i] == 'd' ? !digit : text[i] != form[i])
            return false;
    }
    int month = 10 * (text[5] - '0') + text[6] - '0', day = 10 * (text[8] - '0') + text[9] - '0';
    return month >= 1 && month <= 12 && day >= 1 && day <= longest[month - 1];
}

static bool read_date(const BlyJson *entry, char out[BUILD_DATE_MAX], BlyError *err) {
    BlyJson on;
    const char *text;
    out[0] = '\0';
    if (!build_member(entry, "on", &on))
        return true;
    if (!bly_json_string(&on, BUILD_DATE_MAX - 1, &text, err))
        return false;
    if (!build_is_date(text))
        return bly_json_refuse(&on, BLY_E_SYNTAX, err, "expected a date such as \"2031-04-30\"");
    memcpy(out, text, strlen(text) + 1);
    return true;
}

static bool read_one(const BlyJson *entry, BuildReading *out, BlyError *err) {
    static const char *const keys[] = {"stage", "on",   "planned", "scale",       "in_water",
                                       "drift", "tilt", "shows",   "tilt_afloat", "balance"};
    BlyJson stage, figure;
    size_t which;
    *out = (BuildReading){.kind = -1, .planned = {NAN, 0.0}};
    if (!bly_json_object(entry, keys, sizeof keys / sizeof keys[0], err) ||
        !bly_json_require(entry, "stage", &stage, err) ||
        !bly_json_word(&stage, bly_stage_words, BLY_STAGES, &which, err) ||
        !read_date(entry, out->on, err))
        return false;
    out->stage = (BlyStage)which;
    for (int kind = 0; kind < BUILD_READ_KINDS; kind++) {
        if (!build_member(entry, build_reading_keys[kind], &figure))
            continue;
        if (out->kind >= 0)
            return bly_json_refuse(&figure, BLY_E_CONFLICT, err, "one reading an entry");
        out->kind = kind;
        if (!build_figure(&figure, &read_as[kind], usual, &out->read, err))
            return false;
    }
    if (out->kind < 0)
        return bly_json_refuse(entry, BLY_E_MISSING, err,
                               "expected what was read, such as \"scale\": \"9.94 g\"");
    return build_opt_figure(entry, "planned", &planned_mass, usual, &out->planned, err);
}

bool build_read_log(const BlyJson *list, BlyBuild *build, BlyError *err) {
    if (!bly_json_array(list, 0, BUILD_READINGS_MAX, err))
        return false;
    build->readings = calloc(bly_json_count(list) + 1, sizeof *build->readings);
    if (build->readings == NULL)
        return bly_json_refuse(list, BLY_E_MEMORY, err, "no memory for the readings");
    for (BlyJson at = bly_json_first(list); at.node != NULL; bly_json_next(&at)) {
        if (!read_one(&at, &build->readings[build->reading_count], err))
            return false;
        build->reading_count++;
    }
    return true;
}

bool build_reached(const BlyBuild *build, BlyStage *stage) {
    *stage = BLY_STAGE_BLANK;
    for (size_t i = 0; i < build->reading_count; i++) {
        if (build->readings[i].stage > *stage)
            *stage = build->readings[i].stage;
    }
    return build->reading_count > 0;
}

bool build_is_glued(const BlyBuild *build) {
    BlyStage stage;
    return build_reached(build, &stage) && stage >= BLY_STAGE_EYED;
}

const BuildReading *build_last_scale(const BlyBuild *build) {
    const BuildReading *last = NULL;
    for (size_t i = 0; i < build->reading_count; i++) {
        const BuildReading *r = &build->readings[i];
        if (r->kind == 0 && (last == NULL || r->stage >= last->stage))
            last = r;
    }
    return last;
}

/* What is glued or coated in stays; of a lip and of a patch the whole. */
unsigned build_mounted(const BlyBuild *build, size_t seat) {
    static const BlyStage from[BLY_SEAT_KINDS] = {BLY_STAGE_EYED, BLY_STAGE_EYED, BLY_STAGE_EYED,
                                                  BLY_STAGE_COATED};
    BlyStage stage;
    const BlySeat *at = &build->seats[seat];
    const BlyChoice *choice = &build->fitted.at[seat];
    if (!build_reached(build, &stage) || stage < from[at->kind] || bly_choice_is_empty(choice))
        return 0;
    if (at->kind == BLY_SEAT_SLOT || at->kind == BLY_SEAT_PATCH)
        return bly_seat_carries(at->kind);
    return choice->of[BLY_PART_EYE].part != NULL ? 1u << BLY_PART_EYE : 0;
}
