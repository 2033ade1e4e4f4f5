/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures that a build leaves to be usual, as the maker's own lures came out: from the catalog's
 * habits (book/book.h). What the file says with a give of its own stands as it is. */
#include "book/book.h"
#include "build/sections.h"
#include "decimal/decimal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const Quantity filler_share = {BLY_DIM_RATIO, NULL, 0.0, 0.95, false};

/* ---- keys ---- */

static const char *phase_id(const BlyJson *mix, const char *key) {
    BlyJson phase = bly_json_member(mix, key);
    return cJSON_IsString(phase.node) ? phase.node->valuestring : NULL;
}

/* "epoxy-clear + glass-bubbles 30 %"; "" where a side of it is written out. */
static void mix_key(const BlyJson *mix, char out[BOOK_KEY_MAX]) {
    const char *resin = phase_id(mix, "resin"), *filler = phase_id(mix, "filler");
    BlyJson share = bly_json_member(mix, "share"), by_mass = bly_json_member(mix, "share_by_mass");
    bool mass = by_mass.node != NULL;
    BlyFigure figure;
    char number[BLY_NUMBER_MAX];
    out[0] = '\0';
    if (resin == NULL || filler == NULL ||
        !build_figure(mass ? &by_mass : &share, &filler_share, (Give){0}, &figure, NULL))
        return;
    bly_number_shortest(round(1e3 * figure.value) / 10.0, number);
    (void)snprintf(out, BOOK_KEY_MAX, "%.30s + %.30s %.8s %%%s", resin, filler, number,
                   mass ? " by mass" : "");
}

static void material_key(const BlyJson *holder, char out[BOOK_KEY_MAX]) {
    BlyJson material = bly_json_member(holder, "material");
    BlyJson mix = bly_json_member(&material, "mix");
    out[0] = '\0';
    if (cJSON_IsString(material.node))
        (void)snprintf(out, BOOK_KEY_MAX, "%.90s", material.node->valuestring);
    else if (mix.node != NULL)
        mix_key(&mix, out);
}

static BlyJson member_at(const BlyBuild *build, const char *list, size_t index) {
    BlyJson root = bly_json_root(build->doc), body = bly_json_member(&root, "body"),
            all = bly_json_member(&body, list), item = bly_json_first(&all);
    while (item.node != NULL && index-- > 0)
        bly_json_next(&item);
    return item;
}

void build_body_key(const BlyBuild *build, char out[BOOK_KEY_MAX]) {
    BlyJson root = bly_json_root(build->doc), body = bly_json_member(&root, "body");
    material_key(&body, out);
}

void build_piece_key(const BlyBuild *build, size_t piece, char out[BOOK_KEY_MAX]) {
    BlyJson item = member_at(build, "pieces", piece);
    material_key(&item, out);
}

void build_coat_key(const BlyBuild *build, size_t coat, char out[BOOK_KEY_MAX]) {
    BlyJson item = member_at(build, "coats", coat);
    char material[BOOK_KEY_MAX];
    material_key(&item, material);
    out[0] = '\0';
    if (material[0] != '\0')
        book_coat_key(material, build->coats[coat].way, out);
}

void build_shape_key(const BlyBuild *build, char out[BOOK_KEY_MAX]) {
    BlyBox box = bly_body_box(build->shape);
    book_shape_key(box.high.x - box.low.x, box.high.y - box.low.y, box.high.z - box.low.z, out);
}

/* ---- figures ---- */

static bool note(BlyBuild *build, const char *name, int habit, bool taken, BlyFigure planned,
                 const BlyFigure *now, BlyError *err) {
    BuildHabit *more = realloc(build->habits, (build->habit_count + 1) * sizeof *more);
    if (more == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what the book says");
    build->habits = more;
    BuildHabit *at = &more[build->habit_count++];
    *at = (BuildHabit){.habit = habit, .taken = taken, .planned = planned, .now = *now};
    (void)snprintf(at->name, sizeof at->name, "%s", name);
    return true;
}

/* Takes what the next lure comes out at. */
static bool take(BlyBuild *build, const char *kind, const char *key, const char *name,
                 BlyFigure *figure, BlyError *err) {
    const BookHabits *habits = build->catalog->habits;
    int habit = key[0] != '\0' ? book_habit(habits, kind, key) : -1;
    if (habit < 0)
        return true;
    double si = book_kind(kind)->si;
    BlyFigure planned = *figure, next = habits->at[habit].next;
    *figure = (BlyFigure){si * next.value, si * next.give};
    return note(build, name, habit, true, planned, figure, err);
}

static bool take_coat(BlyBuild *build, size_t i, const BlyJson *item, BlyError *err) {
    /* Nearer to one such coat than to two of them, or half of one. */
    static const double nearer = 1.41421356237309505;
    const BookHabits *habits = build->catalog->habits;
    BlyCoat *coat = &build->coats[i];
    BlyJson thickness = bly_json_member(item, "thickness");
    char key[BOOK_KEY_MAX], name[BUILD_NAME_MAX];
    build_coat_key(build, i, key);
    (void)snprintf(name, sizeof name, "/body/coats/%zu/density", i);
    if (!build_has(item, "density") &&
        !take(build, BOOK_COAT_DENSITY, key, name, &coat->density, err))
        return false;
    int habit = key[0] != '\0' ? book_habit(habits, BOOK_COAT, key) : -1;
    if (habit < 0 || build_has(&thickness, "give"))
        return true;
    double ratio = 1e-3 * habits->at[habit].own.value / coat->thickness.value;
    (void)snprintf(name, sizeof name, "/body/coats/%zu/thickness", i);
    if (thickness.node != NULL && !(ratio < nearer && ratio > 1.0 / nearer))
        return note(build, name, habit, false, coat->thickness, &coat->thickness, err);
    return take(build, BOOK_COAT, key, name, &coat->thickness, err);
}

/* A hollow or printed body is as dense as what is in it, spread over its outer volume. */
static bool take_body(BlyBuild *build, const BlyJson *body, BlyError *err) {
    char key[BOOK_KEY_MAX];
    BlyFigure solid = build->facts.density, filled = build->filled;
    material_key(body, key);
    if (!isnan(build->facts.mass.value))
        return true;
    size_t before = build->habit_count;
    if (!take(build, BOOK_DENSITY, key, BUILD_DENSITY_NAME, &solid, err))
        return false;
    if (build->habit_count == before)
        return true;
    double share = filled.value == 1.0
                       ? solid.give / solid.value
                       : hypot(solid.give / solid.value, filled.give / filled.value);
    build->facts.density.value = solid.value * filled.value;
    build->facts.density.give = share * build->facts.density.value;
    build->habits[before].now = (BlyFigure){solid.value, share * solid.value};
    return true;
}

static bool take_piece(BlyBuild *build, size_t i, const BlyJson *item, BlyError *err) {
    char key[BOOK_KEY_MAX], name[BUILD_NAME_MAX];
    material_key(item, key);
    if (build_has(item, "density") || !isnan(build->insets[i].mass.value))
        return true;
    (void)snprintf(name, sizeof name, "/body/pieces/%zu/density", i);
    return take(build, BOOK_DENSITY, key, name, &build->insets[i].density, err);
}

/* ---- the drawn lure ---- */

static const char *const on_line_kinds[BUILD_TOW_FACTORS] = {BOOK_LIP, BOOK_WIRE, BOOK_LIP_CENTRE};

static void on_line_name(int factor, char out[BUILD_NAME_MAX]) {
    (void)snprintf(out, BUILD_NAME_MAX, "/learnt/tow/%s", build_tow_factor_key(factor));
}

/* What lures of this shape taught on the water; what this very one taught stands. */
static bool take_on_line(BlyBuild *build, const char *shape, BlyError *err) {
    BuildTowLearnt *learnt = &build->tow_learnt;
    for (int i = 0; !learnt->any && i < BUILD_TOW_FACTORS; i++) {
        int habit = book_habit(build->catalog->habits, on_line_kinds[i], shape);
        char name[BUILD_NAME_MAX];
        if (habit < 0)
            continue;
        on_line_name(i, name);
        learnt->by[i] = build->catalog->habits->at[habit].usual;
        if (!take(build, on_line_kinds[i], shape, name, &learnt->by[i], err))
            return false;
        learnt->by_book = true;
    }
    learnt->any = learnt->any || learnt->by_book;
    return true;
}

/* ---- how they hang together ---- */

/* Masses of hooks are the catalog's, which has them from the same lures. */
static bool note_hooks(BlyBuild *build, BlyError *err) {
    const BookHabits *habits = build->catalog->habits;
    for (size_t k = 0; k < habits->count; k++) {
        const BookHabit *habit = &habits->at[k];
        const BlyPart *part = strcmp(habit->kind, BOOK_HOOK) == 0
                                  ? bly_catalog_part(build->catalog, habit->key)
                                  : NULL;
        char name[BUILD_NAME_MAX];
        if (part == NULL)
            continue;
        BlyFigure usual = {1e-3 * habit->usual.value, 1e-3 * habit->usual.give};
        (void)snprintf(name, sizeof name, BUILD_PART_NAME, part->id);
        if (!note(build, name, (int)k, true, usual, &part->mass, err))
            return false;
    }
    return true;
}

/* What two lures' figures have in common is the maker's own middles. */
static double correlation(const BlyBuild *build, const BuildHabit *a, const BuildHabit *b) {
    const BookHabits *habits = build->catalog->habits;
    double sa = book_kind(habits->at[a->habit].kind)->si,
           sb = book_kind(habits->at[b->habit].kind)->si;
    double both = habits->together[(size_t)a->habit * habits->count + (size_t)b->habit] * sa * sb;
    return both * BLY_SIGMAS_95 * BLY_SIGMAS_95 / (a->now.give * b->now.give);
}

static const BuildHabit *on_line_habit(const BlyBuild *build, int factor) {
    char name[BUILD_NAME_MAX];
    on_line_name(factor, name);
    for (size_t i = 0; i < build->habit_count; i++) {
        if (strcmp(build->habits[i].name, name) == 0)
            return &build->habits[i];
    }
    return NULL;
}

/* The drawn lure's three hang together among themselves. */
static void tie_on_line(BlyBuild *build) {
    static const int pairs[BUILD_TOW_TIES][2] = {{1, 0}, {2, 0}, {2, 1}};
    for (int i = 0; build->tow_learnt.by_book && i < BUILD_TOW_TIES; i++) {
        const BuildHabit *a = on_line_habit(build, pairs[i][0]),
                         *b = on_line_habit(build, pairs[i][1]);
        build->tow_learnt.r[i] = a != NULL && b != NULL ? 0.999 * correlation(build, a, b) : 0;
    }
}

static bool tie(BlyBuild *build, BlyError *err) {
    static const char on_line[] = "/learnt/tow/";
    size_t n = 0;
    const BuildHabit *of[BUILD_TIES_MOST];
    tie_on_line(build);
    for (size_t i = 0; i < build->habit_count; i++) {
        if (build->habits[i].taken && n < BUILD_TIES_MOST &&
            strncmp(build->habits[i].name, on_line, sizeof on_line - 1) != 0)
            of[n++] = &build->habits[i];
    }
    if (build->tied_count > 0 || n < 2) /* the tank's own word of this lure goes first */
        return true;
    build->tied = calloc(n, sizeof *build->tied);
    build->tie = calloc(n * n, sizeof *build->tie);
    if (build->tied == NULL || build->tie == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what the book says");
    build->tied_count = n;
    build->tied_by_book = true;
    for (size_t i = 0; i < n; i++) {
        build->tied[i] = build_copy(of[i]->name, err);
        if (build->tied[i] == NULL)
            return false;
        for (size_t j = 0; j < n; j++)
            build->tie[i * n + j] = i == j ? 1.0 : (1.0 - 1e-6) * correlation(build, of[i], of[j]);
    }
    return true;
}

static bool take_all(BlyBuild *build, const BlyJson *root, BlyError *err) {
    BlyJson body = bly_json_member(root, "body"), coats = bly_json_member(&body, "coats"),
            pieces = bly_json_member(&body, "pieces"), learnt = bly_json_member(root, "learnt");
    char shape[BOOK_KEY_MAX];
    if (!take_body(build, &body, err))
        return false;
    for (BlyJson item = bly_json_first(&coats); item.node != NULL; bly_json_next(&item)) {
        if (!take_coat(build, (size_t)item.index, &item, err))
            return false;
    }
    for (BlyJson item = bly_json_first(&pieces); item.node != NULL; bly_json_next(&item)) {
        if (!take_piece(build, (size_t)item.index, &item, err))
            return false;
    }
    build_shape_key(build, shape);
    if (!take_on_line(build, shape, err))
        return false;
    return build_has(&learnt, "drag_factor") ||
           take(build, BOOK_DRAG, shape, "/learnt/drag_factor", &build->facts.drag_factor, err);
}

bool build_use_habits(BlyBuild *build, const BlyJson *root, BlyError *err) {
    return build->catalog->habits == NULL || build->catalog->habits->count == 0 ||
           (take_all(build, root, err) && note_hooks(build, err) && tie(build, err));
}
