/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/box.h"
#include "text/format.h"

#include <math.h>
#include <string.h>

static bool in_box(const BlyPart *part) {
    return part->in_box > 0;
}

static bool is_bought(const BlyBuild *build, const BlyRig *rig, size_t seat, int kind) {
    const BlyPart *part = rig->at[seat].of[kind].part;
    return part != NULL && kind != BLY_PART_OUTLINE && !in_box(part) &&
           build->fitted.at[seat].of[kind].part != part;
}

/* Each id once: whether an earlier seat or kind has named it. */
static bool named_before(const BlyBuild *build, const BlyRig *rig, size_t seat, int kind) {
    const BlyPart *part = rig->at[seat].of[kind].part;
    for (size_t s = 0; s < seat; s++) {
        if (rig->at[s].of[kind].part == part && is_bought(build, rig, s, kind))
            return true;
    }
    return false;
}

/* Calls for each part to buy, seat by seat; counts the pieces. */
typedef bool (*EachBought)(void *user, const BlyPart *part);
static bool each_bought(const BlyBuild *build, const BlyRig *rig, EachBought tell, void *user) {
    bool good = true;
    if (!bly_catalog_has_box(build->catalog))
        return true;
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; good && kind < BLY_PART_KINDS; kind++) {
            if (is_bought(build, rig, s, kind) && !named_before(build, rig, s, kind))
                good = tell(user, rig->at[s].of[kind].part);
        }
    }
    return good;
}

typedef struct Line {
    const Report *r;
    size_t told;
} Line;

static bool tell_line(void *user, const BlyPart *part) {
    Line *line = user;
    (void)fprintf(line->r->out, "%s%s", line->told++ == 0 ? "  not in your box: " : ", ", part->id);
    return true;
}

void text_to_buy(const Report *r, const BlyBuild *build, const BlyRig *rig) {
    Line line = {r, 0};
    (void)each_bought(build, rig, tell_line, &line);
    if (line.told > 0)
        (void)fprintf(r->out, "\n");
}

static bool tell_json(void *user, const BlyPart *part) {
    return put_last(user, cJSON_CreateString(part->id));
}

bool put_to_buy(cJSON *o, const BlyBuild *build, const BlyRig *rig) {
    if (!bly_catalog_has_box(build->catalog))
        return true;
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL && each_bought(build, rig, tell_json, list);
    return put_tree(o, "to_buy", json_finished(list, good));
}

/* ---- the whole box ---- */

/* "12", "1.5 m", "some" for what is not counted. */
static void amount_words(const BlyPart *part, double amount, char out[WORDS_MAX]) {
    bool by_length = part->kind == BLY_PART_WIRE || part->kind == BLY_PART_STRIP;
    if (isinf(amount))
        (void)snprintf(out, WORDS_MAX, "some");
    else if (by_length)
        (void)bly_format(out, WORDS_MAX, "%.2f m", amount);
    else
        (void)bly_format(out, WORDS_MAX, "%.0f", amount);
}

static void mass_words(const Report *r, const BlyPart *part, char out[WORDS_MAX]) {
    char mass[BLY_QUANTITY_MAX];
    if (!isfinite(part->mass.value)) {
        (void)snprintf(out, WORDS_MAX, "by its gauge");
        return;
    }
    bly_quantity_show(part->mass.value, BLY_DIM_MASS, r->system, r->system == BLY_INCH ? 4 : 3,
                      mass);
    (void)snprintf(out, WORDS_MAX, "%.40s %s", mass,
                   part->origin == BLY_FROM_MEASURED ? "weighed" : "not weighed");
}

static void text_part(const Report *r, const BlyPart *part, double takes) {
    char has[WORDS_MAX], mass[WORDS_MAX], takes_words[WORDS_MAX], left[WORDS_MAX];
    amount_words(part, part->in_box, has);
    mass_words(r, part, mass);
    (void)fprintf(r->out, "  %-6s %-28s %-8s %-22s", bly_part_kind_name(part->kind), part->id, has,
                  mass);
    if (takes > 0) {
        amount_words(part, takes, takes_words);
        amount_words(part, part->in_box - takes, left);
        (void)fprintf(r->out, " takes %s%s%s", takes_words,
                      takes > part->in_box  ? ": more than there is"
                      : isinf(part->in_box) ? ""
                                            : ", leaves ",
                      takes > part->in_box || isinf(part->in_box) ? "" : left);
    }
    (void)fprintf(r->out, "\n");
}

void text_box(const Report *r, const BlyCatalog *catalog, const double *takes) {
    size_t parts = 0, weighed = 0, bought = 0;
    for (size_t i = 0; i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        if (isnan(part->in_box))
            continue;
        text_part(r, part, takes != NULL ? takes[i] : 0);
        parts++;
        weighed += part->origin == BLY_FROM_MEASURED;
    }
    (void)fprintf(r->out, "%zu part%s in the box, %zu of them weighed\n", parts,
                  parts == 1 ? "" : "s", weighed);
    for (size_t i = 0; takes != NULL && i < catalog->part_count; i++) {
        char amount[WORDS_MAX];
        if (!(takes[i] > 0) || in_box(&catalog->parts[i]))
            continue;
        amount_words(&catalog->parts[i], takes[i], amount);
        (void)fprintf(r->out, "%s%s %s", bought++ == 0 ? "to buy: " : ", ", amount,
                      catalog->parts[i].id);
    }
    if (bought > 0)
        (void)fprintf(r->out, "\n");
}

static cJSON *json_part(const BlyPart *part, double takes, bool has_rig) {
    bool by_length = part->kind == BLY_PART_WIRE || part->kind == BLY_PART_STRIP;
    const char *unit = by_length ? "length_m" : "count";
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_text(o, "kind", bly_part_kind_name(part->kind)) &&
                put_text(o, "id", part->id) && put_text(o, "name", part->name) &&
                put_number(o, unit, isinf(part->in_box) ? NAN : part->in_box) &&
                put_bool(o, "in_box", in_box(part)) &&
                put_bool(o, "weighed", part->origin == BLY_FROM_MEASURED) &&
                put_number(o, part->kind == BLY_PART_WIRE ? "mass_g_m" : "mass_g",
                           part->mass.value * 1e3) &&
                put_number(o, "mass_give_g", part->mass.give * 1e3) &&
                put_text(o, "source", part->source);
    if (good && has_rig)
        good = put_number(o, "takes", takes);
    return json_finished(o, good);
}

cJSON *json_box(const BlyCatalog *catalog, const double *takes) {
    cJSON *root = cJSON_CreateObject();
    cJSON *list = root != NULL ? cJSON_AddArrayToObject(root, "box") : NULL;
    bool good = list != NULL;
    for (size_t i = 0; good && i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        double taken = takes != NULL ? takes[i] : 0;
        if (!isnan(part->in_box) || taken > 0)
            good = put_last(list, json_part(part, taken, takes != NULL));
    }
    return json_finished(root, good);
}
