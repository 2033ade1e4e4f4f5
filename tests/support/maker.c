/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The frame, and hooks with their rings. */
#include "support/maker.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void maker_say(MakerCase *c, BlyRuleId rule, MakerWord word) {
    if (word > c->verdict->of[rule])
        c->verdict->of[rule] = word;
}

MakerWord maker_at_most(double value, double most, double share) {
    if (value > most * (1 + share))
        return MAKER_BROKEN;
    return value > most * (1 - share) ? MAKER_OPEN : MAKER_KEPT;
}

/* Trebles that are sold, smallest first. */
static const char *const sold[] = {"18", "16", "14", "12", "10",  "8",   "7",   "6",   "5",
                                   "4",  "3",  "2",  "1",  "1/0", "2/0", "3/0", "4/0", "5/0"};
enum { SOLD = sizeof sold / sizeof sold[0], NUMBER_14 = 2 };

static double number_of(const char *size) {
    for (int i = 0; i < SOLD; i++)
        if (strcmp(sold[i], size) == 0)
            return i;
    return NAN;
}

typedef struct Row {
    double mm;
    const char *from, *to;
} Row;

static const Row slender[] = {{40, "14", "14"},  {50, "12", "10"},  {60, "10", "8"},
                              {70, "8", "6"},    {80, "8", "5"},    {90, "6", "4"},
                              {100, "6", "3"},   {120, "4", "2"},   {140, "3", "1"},
                              {150, "2", "1/0"}, {165, "1", "3/0"}, {200, "1/0", "5/0"}};
static const Row deep[] = {
    {40, "10", "8"}, {50, "6", "4"}, {60, "6", "4"}, {70, "4", "2"}, {75, "2", "1/0"}};

/* Straight between the rows; beyond the ends the nearest row. */
static void row_at(const Row *rows, size_t count, double mm, double out[2]) {
    size_t i = 0;
    while (i + 1 < count && rows[i + 1].mm <= mm)
        i++;
    size_t j = mm > rows[i].mm && i + 1 < count ? i + 1 : i;
    double share = j > i ? (mm - rows[i].mm) / (rows[j].mm - rows[i].mm) : 0;
    out[0] = number_of(rows[i].from) + share * (number_of(rows[j].from) - number_of(rows[i].from));
    out[1] = number_of(rows[i].to) + share * (number_of(rows[j].to) - number_of(rows[i].to));
}

static void trebles_for(const MakerCase *c, double out[2]) {
    double thin[2], thick[2], tall = c->height / c->length;
    row_at(slender, sizeof slender / sizeof slender[0], c->length, thin);
    row_at(deep, sizeof deep / sizeof deep[0], c->length, thick);
    double share = fmin(fmax((tall - 1. / 4) / (1. / 3 - 1. / 4), 0), 1);
    for (int i = 0; i < 2; i++)
        out[i] = thin[i] + share * (thick[i] - thin[i]);
}

/* A single by the treble that it stands in for, by rank (14 for a 14 treble .. 1 is 24, 1/0 is 25):
 * 14 10, 12 8, 10 6, 6 1, 1/0 4/0. */
static double treble_of_single(const BlyPart *hook) {
    static const int pairs[][2] = {{15, 11}, {17, 13}, {19, 15}, {24, 19}, {28, 25}};
    int rank = hook->size_rank, i = 0;
    while (i < 3 && rank > pairs[i + 1][0])
        i++;
    double share = (double)(rank - pairs[i][0]) / (pairs[i + 1][0] - pairs[i][0]);
    double treble = pairs[i][1] + share * (pairs[i + 1][1] - pairs[i][1]);
    int low = (int)floor(treble);
    double at = NAN;
    for (int k = low; k > 0 && isnan(at); k--) { /* the number sold at or below that rank */
        char size[8];
        bly_hook_size(k, size);
        at = number_of(size);
    }
    return at;
}

static bool is_single(const BlyPart *hook) {
    return strcmp(hook->style, "single") == 0;
}

static double number_of_hook(const BlyPart *hook) {
    return is_single(hook) ? treble_of_single(hook) : number_of(hook->size);
}

static int grade_of(const BlyPart *hook) {
    static const char *const grades[] = {"fine", "medium", "stout", "extra"};
    for (int i = 0; i < 4; i++)
        if (strcmp(grades[i], hook->grade) == 0)
            return i;
    return -1;
}

typedef struct Hung {
    const BlyPart *hook, *ring;
    double x, number;
} Hung;
enum { HUNG_MOST = 8 };

static int by_place(const void *left, const void *right) {
    const Hung *a = left, *b = right;
    return (a->x > b->x) - (a->x < b->x);
}

static size_t find_hooks(const MakerCase *c, Hung *out) {
    size_t count = 0;
    for (size_t i = 0; i < c->rig->count && count < HUNG_MOST; i++) {
        const BlyChoice *at = &c->rig->at[i];
        const BlyPart *hook = at->of[BLY_PART_HOOK].part;
        if (c->build->seats[i].kind == BLY_SEAT_HANGER && hook != NULL)
            out[count++] = (Hung){hook, at->of[BLY_PART_RING].part, at->x, number_of_hook(hook)};
    }
    qsort(out, count, sizeof *out, by_place);
    return count;
}

/* A number between two rows is not said to the digit: half a number is open above, where a larger
 * hook is soon ballast, one below; for singles, whose numbers are two apart, two. Below 40 mm no
 * row speaks of smaller ones. */
static MakerWord size_word(const MakerCase *c, const Hung *h, size_t trebles) {
    double range[2], hair = is_single(h->hook) ? 2.01 : 0.99;
    double above = is_single(h->hook) ? hair : 0.51;
    trebles_for(c, range);
    if (trebles >= 3)
        range[0] -= 2;
    bool small = c->length < 40 && h->number <= NUMBER_14;
    if (h->number > range[1] + above || (h->number < range[0] - hair && !small))
        return MAKER_BROKEN;
    bool on_row = h->number >= range[0] && h->number <= range[1];
    return on_row && !is_single(h->hook) ? MAKER_KEPT : MAKER_OPEN;
}

static bool is_salt(const BlyBuild *build) {
    bool salt = build->water.salinity.value >= 10e-3;
    for (size_t i = 0; i < build->target_water_count; i++)
        salt = salt || build->target_waters[i].salinity.value >= 10e-3;
    return salt;
}

static void judge_pair(MakerCase *c, const Hung *front, const Hung *rear) {
    if (is_single(front->hook) != is_single(rear->hook)) {
        maker_say(c, BLY_RULE_HOOK_STYLE, MAKER_BROKEN);
        maker_say(c, BLY_RULE_HOOK_ORDER, MAKER_OPEN); /* no row compares the two */
    } else if (is_single(front->hook)) {
        int larger = rear->hook->size_rank - front->hook->size_rank;
        maker_say(c, BLY_RULE_HOOK_ORDER,
                  larger > 0     ? MAKER_BROKEN
                  : larger < -6  ? MAKER_BROKEN
                  : larger <= -2 ? MAKER_OPEN
                                 : MAKER_KEPT);
    } else {
        /* Whether 8 and 12 are two numbers apart (as sold) or four is not said. */
        int ranks = front->hook->size_rank - rear->hook->size_rank;
        bool apart = rear->number < front->number - 2;
        if (rear->number > front->number || apart)
            maker_say(c, BLY_RULE_HOOK_ORDER, MAKER_BROKEN);
        else if (ranks > 2)
            maker_say(c, BLY_RULE_HOOK_ORDER, MAKER_OPEN);
    }
    if (abs(grade_of(front->hook) - grade_of(rear->hook)) > 1)
        maker_say(c, BLY_RULE_HOOK_ALIKE, MAKER_BROKEN);
    if (front->ring != NULL && rear->ring != NULL && strcmp(front->ring->id, rear->ring->id) != 0)
        maker_say(c, BLY_RULE_RING_ALIKE, MAKER_BROKEN);
    if ((front->ring == NULL) != (rear->ring == NULL))
        maker_say(c, BLY_RULE_RING_ALIKE, MAKER_OPEN);
}

/* Numbers of rings by treble; the last flag: the words name that treble. */
static const struct {
    const char *hook;
    int least, most;
    bool said;
} ring_rows[] = {{"18", -2, -1, false}, {"16", -2, -1, false}, {"14", -1, 0, true},
                 {"12", 0, 1, true},    {"10", 1, 1, true},    {"8", 2, 2, true},
                 {"7", 2, 3, false},    {"6", 3, 3, true},     {"5", 3, 3, true},
                 {"4", 4, 4, true},     {"3", 4, 4, true},     {"2", 5, 5, true},
                 {"1", 5, 6, false},    {"1/0", 6, 6, true},   {"2/0", 6, 7, false},
                 {"3/0", 7, 7, false},  {"4/0", 7, 8, false},  {"5/0", 7, 8, false}};

static int ring_number(const BlyPart *ring) {
    if (strcmp(ring->size, "000") == 0)
        return -2;
    return strcmp(ring->size, "00") == 0 ? -1 : atoi(ring->size);
}

static void judge_ring(MakerCase *c, const Hung *h, double smallest, bool larger_than_usual) {
    if (h->ring == NULL || is_single(h->hook)) {
        maker_say(c, BLY_RULE_RING_SIZE, MAKER_OPEN);
        return;
    }
    int ring = ring_number(h->ring);
    size_t row = (size_t)h->number;
    bool lighter_is_good = h->number > smallest || grade_of(h->hook) >= 2;
    int least = ring_rows[row].least - (lighter_is_good ? 1 : 0), most = ring_rows[row].most;
    bool kept = ring >= least && ring <= most;
    /* Open: numbers that no page names; heavy wire of the right number (a heavier one is a trim);
     * one lighter under a hook that the body does not take anyhow. */
    bool near = !ring_rows[row].said && (ring == least - 1 || ring == most + 1);
    bool heavy = strstr(h->ring->id, "heavy") != NULL;
    if (kept ? heavy : near || (larger_than_usual && ring == least - 1))
        maker_say(c, BLY_RULE_RING_SIZE, MAKER_OPEN);
    else if (!kept)
        maker_say(c, BLY_RULE_RING_SIZE, MAKER_BROKEN);
}

void maker_hooks(MakerCase *c) {
    Hung hung[HUNG_MOST];
    size_t count = find_hooks(c, hung), trebles = 0;
    double smallest = INFINITY, range[2];
    trebles_for(c, range);
    for (size_t i = 0; i < count; i++) {
        trebles += is_single(hung[i].hook) ? 0 : 1;
        smallest = fmin(smallest, hung[i].number);
    }
    for (size_t i = 0; i < count; i++) {
        maker_say(c, BLY_RULE_HOOK_SIZE,
                  c->build->limits.hook_rank_high != 0 ? MAKER_OPEN /* the build asks for its own */
                                                       : size_word(c, &hung[i], trebles));
        int grade = grade_of(hung[i].hook);
        if (grade == 3 || (grade == 2 && !is_salt(c->build)))
            maker_say(c, BLY_RULE_HOOK_GRADE, MAKER_BROKEN);
        judge_ring(c, &hung[i], smallest, hung[i].number > range[1]);
        for (size_t k = i + 1; k < count; k++)
            judge_pair(c, &hung[i], &hung[k]);
    }
}

static double finished_mass(const BlyBuild *build, const BlyRig *rig) {
    BlyLure lure;
    double mass = NAN;
    if (bly_lure_make(&build->blank, build->seats, rig, &lure, NULL)) {
        mass = 0;
        for (size_t i = 0; i < lure.count; i++)
            if (lure.items[i].kind != BLY_ITEM_LOAD && lure.items[i].kind != BLY_ITEM_SOAK)
                mass += lure.items[i].mass;
    }
    bly_lure_release(&lure);
    return mass;
}

MakerVerdict maker_judge(const BlyBuild *build, const BlyRig *rig, const BlyCatalog *catalog) {
    MakerVerdict verdict = {{MAKER_KEPT}};
    BlyBox box = bly_body_box(build->shape);
    MakerCase c = {.build = build,
                   .rig = rig,
                   .catalog = catalog,
                   .length = (box.high.x - box.low.x) * 1e3,
                   .width = (box.high.y - box.low.y) * 1e3,
                   .height = (box.high.z - box.low.z) * 1e3,
                   .verdict = &verdict};
    /* A rig that misses its target weighs something else than the lure that is wanted, which weighs
     * about what it displaces: what only one of the two masses asks for is open. */
    double mass = finished_mass(build, rig) * 1e3, wanted = build->blank.hull_volume * 1e6;
    c.mass_least = fmin(mass, 0.8 * wanted);
    c.mass_most = fmax(mass, 1.15 * wanted);
    maker_hooks(&c);
    maker_eyes(&c);
    maker_lips(&c);
    maker_surface(&c);
    return verdict;
}
