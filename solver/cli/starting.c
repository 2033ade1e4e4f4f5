/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What kind of body a file holds is found by trying: each way of reading it is a build text, and
 * the first that reads is the one. Nothing is copied; the build names the file. */
#include "cli/start_body.h"

#include <stdlib.h>
#include <string.h>

#include "build/build.h"
#include "json/json.h"
#include "text/text.h"

bool start_bodily(const StartWords *w) {
    return w->from != NULL || w->top != NULL || w->width != NULL || w->nose != NULL ||
           w->unit != NULL || w->displaced != NULL || w->water != NULL || w->height != NULL ||
           w->length != NULL || w->material != NULL || w->scale != NULL || w->balance != NULL ||
           w->no_lip;
}

/* The places of a build that an option wrote. */
static const struct {
    const char *place, *option;
} option_table[] = {
    {"/body/mesh", "--from"},
    {"/body/unit", "--unit"},
    {"/body/nose", "--nose"},
    {"/body/stations", "--from"},
    {"/body/outline/side", "--from"},
    {"/body/outline/top", "--top"},
    {"/body/outline/width", "--width"},
    {"/body/outline/length", "--length"},
    {"/body/outline/nose", "--nose"},
    {"/body/measured/displaced", "--displaced"},
    {"/body/measured/water", "--water"},
    {"/body/measured/length", "--length"},
    {"/body/measured/width", "--width"},
    {"/body/measured/height", "--height"},
    {"/body/measured/balance", "--balance"},
    {"/body/measured", "--displaced"},
    {"/body/material", "--material"},
    {"/body/mass", "--scale"},
    {"/body/balance", "--balance"},
};

static bool blame_option(BlyError *err) {
    for (size_t i = 0; i < sizeof option_table / sizeof option_table[0]; i++) {
        if (strncmp(err->where, option_table[i].place, strlen(option_table[i].place)) == 0) {
            (void)snprintf(err->where, sizeof err->where, "%s", option_table[i].option);
            break;
        }
    }
    return false;
}

static bool read_text(Cli *cli, const char *text, BlyError *err) {
    bly_build_free(cli->build);
    cli->build = NULL;
    return bly_build_read_with(text, strlen(text), &cli->catalog, &cli->files, &cli->build, err);
}

/* The text in the units that are asked for, read. */
static bool finish_text(Cli *cli, char **text, BlyError *err) {
    return (cli->system != BLY_INCH || text_in_inches(text, err)) && read_text(cli, *text, err);
}

/* Seats and target around the bare body that was read. */
static bool surround(Cli *cli, const BlyAround *around, const StartWords *w, char **text,
                     BlyError *err) {
    BlyState state = BLY_SUSPENDS;
    double weighs;
    if ((w->target != NULL && !aim_read(w->target, "--target", &state, err)) ||
        !aim_weighs(cli->build, &weighs, err))
        return false;
    BlyText target;
    bly_text_init(&target);
    aim_put(state, !w->no_lip, weighs, &target);
    bool good = bly_text_good(&target, err) &&
                build_around(around, bly_text_string(&target), w->no_lip, text, err);
    bly_text_release(&target);
    return good;
}

/* Where no seat will go on the body, a slip about the body is the likelier fault. */
static bool add_seats(Cli *cli, BlyAround *around, const StartWords *w, char **text,
                      BlyError *err) {
    BlySlip slip = {0};
    bool slipped = cli->build->slips.count > 0;
    if (slipped)
        slip = cli->build->slips.at[0];
    around->shape = cli->build->shape;
    if (surround(cli, around, w, text, err) && finish_text(cli, text, err))
        return true;
    if (slipped && strncmp(err->where, "/seats", 6) == 0)
        (void)bly_fail(err, BLY_E_RANGE, slip.where, "%s", slip.text);
    return false;
}

/* Reads the bare body this way, then the whole build with seats around it. */

static bool try_way(Cli *cli, const char *name, const StartWords *words, const StartWay *way,
                    char **text, BlyError *err) {
    BlyText body;
    char *bare = NULL;
    bly_text_init(&body);
    start_body_put(words, way, &body);
    BlyAround around = {name, bly_text_string(&body), NULL};
    bool good = bly_text_good(&body, err) && bly_build_around(&around, &bare, err) &&
                read_text(cli, bare, err);
    free(bare);
    if (good)
        good = add_seats(cli, &around, words, text, err);
    bly_text_release(&body);
    if (!good) {
        free(*text);
        *text = NULL;
    }
    return good;
}

/* Whether the file was not of that kind at all, rather than one of that kind with a fault. */
static bool other_kind(const BlyError *err) {
    bool header = strstr(err->text, "line 1, ") != NULL;
    bool no_id = strstr(err->text, "nothing has the id") != NULL;
    return (err->code == BLY_E_UNKNOWN || err->code == BLY_E_MISSING) && (header || no_id);
}

/* Of a target no more is known than its state, and often not that. */
static const char *target_assumed(const char *state) {
    if (state == NULL)
        return "it is to suspend; --target float or sink says otherwise";
    if (strcmp(state, "float") == 0)
        return "how much of it is to show, by what the bare body weighs";
    return strcmp(state, "sink") == 0 ? "how fast it is to sink, as usual"
                                      : "how slow and how level it is to hang, as usual";
}

static void tell_assumed(const StartWords *w, const StartWay *way, Started *out) {
    bool drawn = strcmp(way->key, "outline") == 0;
    if (drawn && w->top == NULL && w->width == NULL && way->top_id == NULL)
        out->assumed[out->assumed_count++] =
            "as wide as high: only one outline is drawn; --top or --width says otherwise";
    if (strcmp(way->key, "mesh") == 0 && w->unit == NULL)
        out->assumed[out->assumed_count++] = "the mesh is in mm; --unit says otherwise";
    if (drawn && w->nose == NULL)
        out->assumed[out->assumed_count++] = "its nose is on the left; --nose right says otherwise";
    if (w->material == NULL)
        out->assumed[out->assumed_count++] =
            w->scale != NULL
                ? "larch, which swells with warmth as larch does; --material says otherwise"
                : "larch; --material says otherwise, --scale what it weighs";
    out->assumed[out->assumed_count++] =
        "coat, seats and hooks as makers usually have them at this length";
    if (!w->no_lip)
        out->assumed[out->assumed_count++] = "it has a lip; --no-lip says otherwise";
    out->assumed[out->assumed_count++] = target_assumed(w->target);
}

/* One measure as typed behind its option; none was: it is good. */
static bool is_measure(const char *text, const char *option, BlyDimension dim, BlyError *err) {
    BlyError found = {0};
    double value;
    return text == NULL || bly_quantity_read(text, dim, NULL, &value, &found) ||
           bly_fail(err, found.code, option, "%s", found.text);
}

/* Before anything else is asked: a slip in a unit is told as that. */
static bool check_measures(const StartWords *w, BlyError *err) {
    bool share = w->width != NULL && strchr(w->width, '%') != NULL; /* of the height */
    return is_measure(w->length, "--length", BLY_DIM_LENGTH, err) &&
           is_measure(w->width, "--width", share ? BLY_DIM_RATIO : BLY_DIM_LENGTH, err) &&
           is_measure(w->height, "--height", BLY_DIM_LENGTH, err) &&
           is_measure(w->balance, "--balance", BLY_DIM_LENGTH, err) &&
           is_measure(w->scale, "--scale", BLY_DIM_MASS, err) &&
           is_measure(w->displaced, "--displaced", BLY_DIM_MASS, err) &&
           is_measure(w->water, "--water", BLY_DIM_TEMPERATURE, err);
}

static bool check_words(const StartWords *w, BlyError *err) {
    bool mesh = w->from != NULL && start_ends_with(w->from, ".stl");
    if (mesh && (w->top != NULL || w->width != NULL || w->length != NULL))
        return bly_fail(err, BLY_E_CONFLICT, "--from",
                        "a mesh goes without --top, --width and --length; its size is its own");
    if (!mesh && w->unit != NULL)
        return bly_fail(err, BLY_E_CONFLICT, "--unit", "goes with a mesh only");
    if (w->from == NULL && w->displaced == NULL)
        return bly_fail(err, BLY_E_MISSING, "--from",
                        "expected --from FILE, or --displaced MASS with --length, --width and "
                        "--height, or --body to scale a plain one");
    if (w->from != NULL && (w->displaced != NULL || w->water != NULL || w->height != NULL))
        return bly_fail(err, BLY_E_CONFLICT, "--from",
                        "goes without --displaced, --water and --height, which measure a body");
    if (w->displaced != NULL && (w->top != NULL || w->nose != NULL))
        return bly_fail(err, BLY_E_CONFLICT, "--displaced",
                        "goes without --top and --nose, which are of drawings");
    bool sized = w->length != NULL && w->width != NULL && w->height != NULL;
    if (w->displaced != NULL && !sized)
        return bly_fail(err, BLY_E_MISSING, "--displaced",
                        "needs --length, --width and --height, the greatest of each");
    return true;
}

bool start_build(Cli *cli, const char *name, const StartWords *words, Started *out, BlyError *err) {
    StartWay way[START_WAYS_MOST];
    BlyError first = {0};
    cli->files = cli_files(cli);
    if (!check_measures(words, err) || !check_words(words, err))
        return false;
    size_t count = start_ways(words, way);
    for (size_t i = 0; i < count; i++) {
        BlyError found = {0};
        if (try_way(cli, name, words, &way[i], &out->text, &found)) {
            tell_assumed(words, &way[i], out);
            return true;
        }
        bool last = i + 1 == count;
        if (i == 0)
            first = found;
        if (last || !other_kind(&found)) {
            *err = other_kind(&found) && start_ends_with(words->from, ".csv") ? first : found;
            break;
        }
    }
    return blame_option(err);
}

bool start_scales(const StartWords *w) {
    return w->from == NULL && w->top == NULL && w->nose == NULL && w->unit == NULL &&
           w->displaced == NULL && w->water == NULL && w->balance == NULL && !w->no_lip;
}

/* Of a floater the share that shows is aimed at, of others a speed. */
static void tell_scaled(const Cli *cli, const StartWords *w, Started *out) {
    bool floats = cli->build->target.state == BLY_FLOATS;
    if (w->length != NULL || w->width != NULL || w->height != NULL)
        out->assumed[out->assumed_count++] =
            floats ? "seats and lip grow with the body"
                   : "seats, lip and the speed aimed at grow with the body";
    if (floats && (w->material != NULL || w->scale != NULL || w->target != NULL))
        out->assumed[out->assumed_count++] =
            "the lighter the body, the more of it is to show above water";
    if (w->material == NULL)
        out->assumed[out->assumed_count++] = "the starter's wood; --material says otherwise";
}

static bool aim_starter(const Cli *cli, const StartWords *w, char **text, BlyError *err) {
    BlyState state;
    char *aimed = NULL;
    if (w->target == NULL)
        return true;
    if (!aim_read(w->target, "--target", &state, err) || !aim_text(cli->build, state, &aimed, err))
        return false;
    free(*text);
    *text = aimed;
    return true;
}

bool start_scaled(Cli *cli, const char *name, const Starter *starter, const StartWords *w,
                  Started *out, BlyError *err) {
    const ScaledWords words = {w->length, w->width, w->height, w->material, w->scale};
    cli->files = cli_files(cli);
    if (!check_measures(w, err) ||
        !starter_scaled(starter, name, &words, &cli->catalog, &out->text, err))
        return false;
    if (!read_text(cli, out->text, err) || !aim_starter(cli, w, &out->text, err) ||
        !finish_text(cli, &out->text, err)) {
        bool sized =
            strncmp(err->where, "/seats", 6) == 0 || strncmp(err->where, "/fitted", 7) == 0;
        (void)blame_option(err);
        if (sized)
            bly_error_prefix(err, "--body ");
        return false;
    }
    tell_scaled(cli, w, out);
    return true;
}
