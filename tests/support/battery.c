/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "build/build.h"
#include "support/battery.h"

#include <gsl/gsl_math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "desk/starters.h"
#include "support/dice.h"
#include "text/text.h"

enum { WOODS = 4, TARGETS = 4, STARTERS = 4, PLAIN = STARTERS * WOODS * TARGETS, OWN = 16 };

/* The same starters twice, then OWN bodies of each kind. */
typedef enum Kind { STARTER, CRAFT, MEASURED, DRAWN, SMALL, LONG, KINDS } Kind;
static const char *const kind_names[KINDS] = {
    "starter", "starter in craft limits", "measured", "drawn", "small", "long"};
const size_t battery_count = 2 * PLAIN + 4 * OWN;

static const char *const woods[WOODS] = {"balsa", "basswood", "larch", "beech"};
static const char *const targets[TARGETS] = {
    "{ \"state\": \"suspend\", \"drift\": [\"-15 mm/s\", \"15 mm/s\"], \"nose_down\": [\"0 deg\", "
    "\"20 deg\"] }",
    "{ \"state\": \"sink\", \"drift\": [\"60 mm/s\", \"150 mm/s\"], \"nose_down\": [\"-20 deg\", "
    "\"20 deg\"] }",
    "{ \"state\": \"float\", \"shows\": [\"10 %\", \"30 %\"] }",
    "{ \"state\": \"suspend\", \"drift\": [\"-5 mm/s\", \"10 mm/s\"], \"nose_down\": [\"3 deg\", "
    "\"15 deg\"], \"water\": [{ \"temperature\": \"8 C\" }, { \"temperature\": \"14 C\" }] }"};

/* Trebles for a slender body: common practice, no source. */
static const struct {
    double length; /* mm, up to which */
    const char *sizes;
} treble_table[] = {{45, "[\"14\", \"12\"]"}, {55, "[\"12\", \"10\"]"},
                    {65, "[\"10\", \"8\"]"},  {85, "[\"8\", \"6\"]"},
                    {110, "[\"6\", \"3\"]"},  {130, "[\"4\", \"2\"]"},
                    {145, "[\"3\", \"1\"]"},  {HUGE_VAL, "[\"2\", \"2/0\"]"}};

static const char *trebles(double length) {
    size_t i = 0;
    while (length > treble_table[i].length)
        i++;
    return treble_table[i].sizes;
}

typedef struct Beside {
    const char *outline;
} Beside;

static bool read_beside(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    const Beside *beside = context;
    if (beside->outline == NULL || strcmp(name, "side.csv") != 0)
        return bly_fail(err, BLY_E_IO, name, "no such file");
    *size = strlen(beside->outline);
    *text = malloc(*size + 1);
    if (*text == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the file");
    memcpy(*text, beside->outline, *size + 1);
    return true;
}

static bool read_text(const char *text, const char *outline, const BlyCatalog *catalog,
                      BlyBuild **out, BlyError *err) {
    Beside beside = {outline};
    BlyBuildFiles files = {.read = read_beside, .context = &beside};
    return bly_build_read_with(text, strlen(text), catalog, &files, out, err);
}

bool battery_read(const BatteryBuild *made, const BlyCatalog *catalog, BlyBuild **out,
                  BlyError *err) {
    return read_text(made->text, made->outline, catalog, out, err);
}

void battery_free(BatteryBuild *made) {
    free(made->text);
    free(made->outline);
    *made = (BatteryBuild){0};
}

/* Replaces made->text by itself with the edits. */
static bool edit(BatteryBuild *made, const BlyCatalog *catalog, const BlyEdit *edits, size_t count,
                 BlyError *err) {
    BlyBuild *build = NULL;
    char *text = NULL;
    bool good = battery_read(made, catalog, &build, err) &&
                bly_build_text_with_all(build, edits, count, &text, err);
    bly_build_free(build);
    if (!good)
        return false;
    free(made->text);
    made->text = text;
    return true;
}

static BlyEdit change(const char *pointer, const char *json) {
    BlyEdit e = {.json = json};
    (void)snprintf(e.pointer, sizeof e.pointer, "%s", pointer);
    return e;
}

static double length_of(const BatteryBuild *made, const BlyCatalog *catalog, BlyError *err) {
    BlyBuild *build = NULL;
    double length = NAN;
    if (battery_read(made, catalog, &build, err)) {
        BlyBox box = bly_body_box(build->shape);
        length = 1e3 * (box.high.x - box.low.x);
    }
    bly_build_free(build);
    return length;
}

static bool make_starter(size_t n, bool craft, const BlyCatalog *catalog, BatteryBuild *made,
                         BlyError *err) {
    const Starter *starter = &starters[n % STARTERS];
    char wood[40];
    (void)snprintf(wood, sizeof wood, "\"%s\"", woods[n / STARTERS % WOODS]);
    (void)snprintf(made->name, sizeof made->name, "%s of %s, target %zu%s", starter->id,
                   woods[n / STARTERS % WOODS], n / STARTERS / WOODS,
                   craft ? ", craft limits" : "");
    if (!starter_text(starter, made->name, &made->text, err))
        return false;
    made->kind = kind_names[craft ? CRAFT : STARTER];
    double length = length_of(made, catalog, err);
    char limits[200];
    (void)snprintf(limits, sizeof limits,
                   craft ? "{ \"lead_free\": true, \"same_hooks\": true, \"hook_size\": %s, "
                           "\"eye_wire\": [null, \"1 mm\"] }"
                         : "{ \"lead_free\": true }",
                   trebles(length));
    const BlyEdit edits[] = {change("/body/material", wood),
                             change("/target", targets[n / STARTERS / WOODS]),
                             change("/limits", limits)};
    return isfinite(length) && edit(made, catalog, edits, 3, err);
}

/* ---- bodies of one's own ---- */

typedef struct Sizes {
    double length, width, height; /* mm */
} Sizes;

static Sizes roll_sizes(Kind kind, Dice *dice) {
    static const double lengths[KINDS][2] = {
        [MEASURED] = {35, 160}, [DRAWN] = {50, 130}, [SMALL] = {30, 60}, [LONG] = {140, 220}};
    Sizes s = {.length = dice_stepped(dice, lengths[kind][0], lengths[kind][1], 1)};
    s.height = dice_stepped(dice, 0.16, kind == SMALL ? 0.38 : 0.26, 0.001) * s.length;
    s.width = dice_stepped(dice, 0.6, 1.0, 0.01) * s.height;
    return s;
}

/* Full towards the nose, as most bodies are: share of the greatest size at u from 0 to 1. */
static double profile(double u) {
    return pow(sin(M_PI * pow(u, 0.8)), 0.7);
}

static void put_stations(const Sizes *s, BlyText *out) {
    enum { COUNT = 12 };
    bly_text_append(out, "\"stations\": [");
    for (int i = 0; i <= COUNT; i++) {
        double u = (double)i / COUNT, share = i == 0 || i == COUNT ? 0 : profile(u);
        share = i == COUNT ? 0.15 : share;
        bly_text_appendf(out, "%s{ \"x\": %.2f, \"width\": %.2f, \"height\": %.2f }",
                         i > 0 ? ", " : "", u * s->length, share * s->width, share * s->height);
    }
    bly_text_append(out, "]");
}

static void put_body(Kind kind, const Sizes *s, const char *wood, BlyText *out) {
    if (kind == MEASURED)
        bly_text_appendf(out,
                         "\"measured\": { \"length\": %.1f, \"width\": %.1f, \"height\": %.1f, "
                         "\"volume\": %.2f }",
                         s->length, s->width, s->height,
                         0.47e-3 * s->length * s->width * s->height);
    else if (kind == DRAWN)
        bly_text_appendf(out, "\"outline\": { \"side\": \"side.csv\", \"width\": %.1f }", s->width);
    else
        put_stations(s, out);
    bly_text_appendf(out,
                     ", \"material\": \"%s\", \"coats\": [ { \"material\": \"epoxy-clear\", "
                     "\"thickness\": \"0.25 mm\" } ]",
                     wood);
}

static bool draw_outline(const Sizes *s, char **out, BlyError *err) {
    enum { COUNT = 60 };
    BlyText text;
    bly_text_init(&text);
    bly_text_append(&text, "x,upper,lower\n");
    for (int i = 0; i <= COUNT; i++) {
        double u = (double)i / COUNT,
               half = 0.5 * s->height * sqrt(fmax(0, sin(M_PI * pow(u, 0.8))));
        bly_text_appendf(&text, "%.3f,%.3f,%.3f\n", u * s->length, 0.9 * half, -1.1 * half);
    }
    if (!bly_text_good(&text, err)) {
        bly_text_release(&text);
        return false;
    }
    *out = bly_text_detach(&text);
    return true;
}

static bool around(const char *name, const char *body, BatteryBuild *made,
                   const BlyCatalog *catalog, BlyError *err) {
    char *bare = NULL;
    BlyBuild *build = NULL;
    bool good = bly_build_around(&(BlyAround){name, body, NULL}, &bare, err) &&
                read_text(bare, made->outline, catalog, &build, err) &&
                bly_build_around(&(BlyAround){name, body, build->shape}, &made->text, err);
    bly_build_free(build);
    free(bare);
    return good;
}

static bool make_own(Kind kind, size_t n, const BlyCatalog *catalog, BatteryBuild *made,
                     BlyError *err) {
    Dice dice = {1000 * (uint64_t)kind + n};
    Sizes s = roll_sizes(kind, &dice);
    const char *wood = woods[dice_below(&dice, WOODS)], *target = targets[n % TARGETS];
    (void)snprintf(made->name, sizeof made->name, "%s %.0f mm of %s, target %zu", kind_names[kind],
                   s.length, wood, n % TARGETS);
    made->kind = kind_names[kind];
    BlyText body;
    bly_text_init(&body);
    put_body(kind, &s, wood, &body);
    char middle[120];
    (void)snprintf(middle, sizeof middle,
                   "{ \"kind\": \"hanger\", \"x\": \"%.1f mm\", \"side\": \"belly\" }",
                   0.65 * s.length);
    const BlyEdit edits[] = {change("/target", target), change("/seats/middle", middle)};
    bool good = (kind != DRAWN || draw_outline(&s, &made->outline, err)) &&
                bly_text_good(&body, err) &&
                around(made->name, bly_text_string(&body), made, catalog, err) &&
                edit(made, catalog, edits, kind == LONG ? 2 : 1, err);
    bly_text_release(&body);
    return good;
}

bool battery_make(size_t n, const BlyCatalog *catalog, BatteryBuild *out, BlyError *err) {
    *out = (BatteryBuild){0};
    if (n < 2 * PLAIN)
        return make_starter(n % PLAIN, n >= PLAIN, catalog, out, err);
    n -= 2 * PLAIN;
    return make_own((Kind)(MEASURED + n / OWN), n % OWN, catalog, out, err);
}
