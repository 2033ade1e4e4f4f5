/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rules of the craft against what makers say of them (common practice, no source, where nothing
 * else stands), the lip's bending against the cantilever formula of any handbook, and the page of
 * the rules against the table. */
#include "support/check.h"
#include "support/shipped.h"
#include "practice/craft.h"

#include <stdio.h>

enum { TEXT_MOST = 3000 };

/* A round minnow of `length` mm, a sixth as thick, with a rig for tie, belly, tail and lip. */
static BlyBuild *minnow(double length, const char *thick, const char *fitted, const char *more) {
    char text[TEXT_MOST];
    double k = length / 90, d = strcmp(thick, "deep") == 0 ? 33 : 15;
    BlyBuild *build;
    BlyError err = {0};
    int n = snprintf(
        text, sizeof text,
        "{ \"ballastry\": 1, \"name\": \"made up\", \"body\": { \"stations\": [ { \"x\": 0, "
        "\"diameter\": 0 }, { \"x\": %.3f, \"diameter\": %.3f }, { \"x\": %.3f, \"diameter\": %.3f "
        "}, { \"x\": %.3f, \"diameter\": %.3f } ], \"material\": \"larch\" },"
        "\"seats\": { \"tie\": { \"kind\": \"tie\", \"x\": 1, \"side\": \"nose\" },"
        "\"belly\": { \"kind\": \"hanger\", \"x\": %.3f, \"side\": \"belly\" },"
        "\"tail\": { \"kind\": \"hanger\", \"x\": %.3f, \"side\": \"tail\" },"
        "\"lip\": { \"kind\": \"slot\", \"x\": %.3f, \"side\": \"belly\", \"angle\": \"40 deg\", "
        "\"depth\": 7 } }, \"fitted\": { %s } %s }",
        20 * k, (d - 1) * k, 45 * k, d * k, 90 * k, 8 * k, 32 * k, 89 * k, 9 * k, fitted, more);
    assert_true(n > 0 && n < TEXT_MOST);
    if (!bly_build_read(text, strlen(text), &catalog, &build, &err))
        fail_msg("%s: %s", err.where, err.text);
    return build;
}

static unsigned judged(const BlyBuild *build) {
    BlyBreaches breaches;
    unsigned broken = 0;
    assert_true(bly_practice_judge(build, &build->fitted, &breaches, NULL));
    for (size_t i = 0; i < breaches.count; i++)
        broken |= 1u << breaches.at[i].rule;
    bly_breaches_release(&breaches);
    return broken & ~(1u << BLY_RULE_HOOK_SHARE);
}

static void expect(double length, const char *thick, const char *fitted, const char *more,
                   unsigned rules) {
    BlyBuild *build = minnow(length, thick, fitted, more);
    unsigned broken = judged(build);
    if (broken != rules)
        fail_msg("%s: breaks %#x, expected %#x", fitted, broken, rules);
    bly_build_free(build);
}

#define EYES "\"tie\": { \"eye\": \"screw-eye-1.0-13\" }, "
#define CHAIN(seat, ring, hook)                                                                    \
    "\"" seat "\": { \"eye\": \"screw-eye-1.0-13\", \"ring\": \"" ring "\", \"hook\": \"" hook     \
    "\" }"
#define PAIR(ring, front, rear) EYES CHAIN("belly", ring, front) ", " CHAIN("tail", ring, rear)

static unsigned only(BlyRuleId rule) {
    return 1u << rule;
}

/* Common practice, no source. A slender body of 90 mm takes trebles 6 to 4. */
static void hooks_and_rings(void **state) {
    (void)state;
    expect(90, "slender", PAIR("ring-3", "treble-6-medium", "treble-6-medium"), "", 0);
    expect(90, "slender", PAIR("ring-3", "treble-4-medium", "treble-6-medium"), "", 0);
    expect(90, "slender", PAIR("ring-3", "treble-4-medium", "treble-4-medium"), "",
           only(BLY_RULE_RING_SIZE));
    expect(90, "slender", PAIR("ring-3", "treble-6-medium", "treble-5-medium"), "",
           only(BLY_RULE_HOOK_ORDER));
    expect(90, "slender", PAIR("ring-2", "treble-8-medium", "treble-8-medium"), "",
           only(BLY_RULE_HOOK_SIZE));
    expect(90, "slender", PAIR("ring-2", "treble-8-medium", "treble-8-medium"),
           ", \"limits\": { \"hook_size\": [\"8\", \"4\"] }", 0);
    expect(90, "slender", PAIR("ring-3-heavy", "treble-6-medium", "treble-6-medium"), "",
           only(BLY_RULE_RING_SIZE));
    expect(90, "slender", PAIR("ring-3", "treble-6-extra", "treble-6-medium"), "",
           only(BLY_RULE_HOOK_GRADE) | only(BLY_RULE_HOOK_ALIKE));
    expect(90, "slender", PAIR("ring-3", "treble-6-stout", "treble-6-medium"), "",
           only(BLY_RULE_HOOK_GRADE));
    expect(90, "slender", PAIR("ring-3", "treble-6-stout", "treble-6-medium"),
           ", \"water\": { \"temperature\": \"15 C\", \"salinity\": \"35 g/kg\" }", 0);
    expect(90, "slender",
           EYES CHAIN("belly", "ring-3", "treble-6-medium") ", " CHAIN("tail", "ring-4",
                                                                       "treble-4-medium"),
           "", only(BLY_RULE_HOOK_ORDER) | only(BLY_RULE_RING_ALIKE));
}

/* Common practice, no source: a screw eye is 1.0 mm to 90 mm of body, and kept alike. */
static void eyes(void **state) {
    (void)state;
    expect(90, "slender",
           EYES "\"belly\": { \"eye\": \"screw-eye-1.3-12\", \"ring\": \"ring-3\", \"hook\": "
                "\"treble-6-fine\" }",
           "", only(BLY_RULE_EYE_WIRE) | only(BLY_RULE_EYE_ALIKE));
    expect(90, "slender", "\"tie\": { \"eye\": \"screw-eye-1.0-10\" }", "",
           only(BLY_RULE_EYE_SHANK));
    expect(90, "slender", "\"tie\": { \"eye\": \"screw-eye-1.0-10\" }",
           ", \"limits\": { \"allow\": [\"eye-shank\"] }", 0);
}

/* Sizes by length, as the pages have them: common practice, no source. */
static void sizes_by_length(void **state) {
    (void)state;
    static const struct {
        double length;
        const char *thick, *low, *high, *lower, *higher; /* two numbers that are sold beyond */
    } rows[] = {{50, "slender", "12", "10", "16", "7"}, {60, "slender", "10", "8", "14", "6"},
                {80, "slender", "8", "5", "12", "3"},   {100, "slender", "6", "3", "8", "1"},
                {120, "slender", "4", "2", "6", "1/0"}, {150, "slender", "2", "1/0", "4", "3/0"},
                {50, "deep", "6", "4", "8", "2"},       {70, "deep", "4", "2", "6", "1/0"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyBuild *build = minnow(rows[i].length, rows[i].thick, "", "");
        Craft craft;
        char low[8], high[8];
        assert_true(craft_begin(build, &catalog, 0, &craft, NULL));
        bly_hook_size(craft.hook_low, low);
        bly_hook_size(craft.hook_high, high);
        assert_string_equal(low, rows[i].low);
        assert_string_equal(high, rows[i].high);
        craft_widen_hooks(&craft);
        bly_hook_size(craft.hook_low, low);
        bly_hook_size(craft.hook_high, high);
        assert_string_equal(low, rows[i].lower);
        assert_string_equal(high, rows[i].higher);
        craft_end(&craft);
        bly_build_free(build);
    }
}

static bool bends(const BlyBuild *build, const char *sheet, const char *outline, double length) {
    Craft craft;
    int lip = bly_build_seat(build, "lip");
    BlyChoice choice = bly_choice_empty(build->seats[lip].x_from);
    choice.of[BLY_PART_SHEET].part = bly_catalog_part(&catalog, sheet);
    choice.of[BLY_PART_OUTLINE].part = bly_catalog_part(&catalog, outline);
    choice.length = length;
    assert_non_null(choice.of[BLY_PART_SHEET].part);
    assert_non_null(choice.of[BLY_PART_OUTLINE].part);
    assert_true(craft_begin(build, &catalog, 0, &craft, NULL));
    unsigned broken =
        craft_lip(&craft, &build->seats[lip], &choice, choice.of[BLY_PART_SHEET].part->thickness);
    craft_end(&craft);
    return (broken & only(BLY_RULE_LIP_BENDING)) != 0;
}

/* Cantilever of rectangular section, force at its end: stress 6 F l / (b t2), any handbook. With 10
 * N, 13 mm free and 15 mm wide: tin of 1 mm 52 MPa against 1.5 x 11; polycarbonate of 1 mm 52
 * against 90; copper foil of 0.3 mm 578 against 1.5 x 269; brass of 0.5 mm 208 against 525. */
static void a_lip_bends_as_a_cantilever(void **state) {
    (void)state;
    BlyBuild *build = minnow(60, "slender", "", "");
    assert_true(bends(build, "tin-1.0", "square-15", 20e-3));
    assert_false(bends(build, "polycarbonate-1.0", "square-15", 20e-3));
    assert_true(bends(build, "copper-0.3", "square-15", 20e-3));
    assert_false(bends(build, "brass-0.5", "square-15", 20e-3));
    /* The thinnest that bears it: sqrt(6 F l / (b sigma)). */
    Craft craft;
    int lip = bly_build_seat(build, "lip");
    BlyChoice choice = bly_choice_empty(build->seats[lip].x_from);
    choice.of[BLY_PART_SHEET].part = bly_catalog_part(&catalog, "tin-1.0");
    choice.of[BLY_PART_OUTLINE].part = bly_catalog_part(&catalog, "square-15");
    choice.length = 20e-3;
    assert_true(craft_begin(build, &catalog, 1u << BLY_RULE_LIP_GAUGE, &craft, NULL));
    double least = craft_lip_least(&craft, &build->seats[lip], &choice);
    assert_close(least, sqrt(6 * 10 * 13e-3 / (15e-3 * 1.5 * 11e6)), 1e-9, 1e-6);
    craft_end(&craft);
    bly_build_free(build);
}

static bool holds(const char *page, const char *words) {
    return strstr(page, words) != NULL;
}

static void the_page_has_the_table(void **state) {
    (void)state;
    FILE *file = fopen("docs/practice.md", "rb");
    static char page[1 << 16];
    assert_non_null(file);
    size_t size = fread(page, 1, sizeof page - 1, file);
    (void)fclose(file);
    page[size] = '\0';
    const BlyPractice *rules = bly_catalog_practice(&catalog);
    assert_non_null(rules);
    for (int r = 0; r < BLY_RULES; r++) {
        char row[2 * BLY_RULE_TEXT_MAX];
        const BlyRule *rule = &rules->rule[r];
        assert_true(rule->strength != BLY_RULE_OFF);
        (void)snprintf(row, sizeof row, "| `%s` | %s | `%s` | %s |", bly_rule_id((BlyRuleId)r),
                       bly_rule_strength_name(rule->strength), rule->limit, rule->words);
        if (!holds(page, row) || !holds(page, rule->source))
            fail_msg("docs/practice.md has not: %s", row);
    }
}

/* A maker's own file takes a rule's place whole, and no other's. */
static void a_rule_of_ones_own(void **state) {
    (void)state;
    static const char own[] =
        "{ \"ballastry_catalog\": 1, \"practice\": [ { \"id\": \"hook-alike\", \"strength\": "
        "\"off\", \"limit\": \"allow\", \"words\": \"any\", \"origin\": \"measured\", \"source\": "
        "\"mine\", \"apart\": 3 } ] }";
    static const char bad[] =
        "{ \"ballastry_catalog\": 1, \"practice\": [ { \"id\": \"hook-alikes\" } ] }";
    BlyCatalog mine = {0};
    BlyError err = {0};
    assert_true(bly_catalog_shipped(&mine, &err));
    assert_false(bly_catalog_read_json(&mine, bad, strlen(bad), &err));
    assert_string_equal(err.where, "/practice/0/id");
    assert_true(bly_catalog_read_json(&mine, own, strlen(own), &err));
    const BlyPractice *now = bly_catalog_practice(&mine), *before = bly_catalog_practice(&catalog);
    assert_int_equal(now->rule[BLY_RULE_HOOK_ALIKE].strength, BLY_RULE_OFF);
    assert_close(now->grades_apart, 3, 0, 0);
    assert_close(now->slender.at[3][1], before->slender.at[3][1], 0, 0);
    bly_catalog_release(&mine);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hooks_and_rings),        cmocka_unit_test(eyes),
        cmocka_unit_test(sizes_by_length),        cmocka_unit_test(a_lip_bends_as_a_cantilever),
        cmocka_unit_test(the_page_has_the_table), cmocka_unit_test(a_rule_of_ones_own),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
