/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The forces as sums over columns of a choice: brute force over small catalogs. */
#include "ballastry/build.h"
#include "build/build.h"
#include "lure/kit.h"
#include "support/shipped.h"

#include "ballastry/tow.h"

#define DEG(x) ((x)*0.017453292519943295)

static const char text[] =
    "{\"ballastry\": 1, \"name\": \"diver\", \"water\": {\"temperature\": \"12 C\"},"
    " \"body\": {\"stations\": ["
    "  {\"x\": \"0 mm\", \"width\": \"0 mm\", \"height\": \"0 mm\"},"
    "  {\"x\": \"25 mm\", \"width\": \"13 mm\", \"height\": \"17 mm\"},"
    "  {\"x\": \"80 mm\", \"width\": \"3 mm\", \"height\": \"4 mm\"}], \"material\": \"larch\"},"
    " \"seats\": {"
    "  \"tie\": {\"kind\": \"tie\", \"x\": \"0 mm\", \"side\": \"nose\"},"
    "  \"belly\": {\"kind\": \"hanger\", \"x\": \"26 mm\", \"side\": \"belly\"},"
    "  \"tail\": {\"kind\": \"hanger\", \"x\": \"80 mm\", \"side\": \"tail\"},"
    "  \"lip\": {\"kind\": \"slot\", \"x\": \"9 mm\", \"side\": \"belly\", \"angle\": \"45 deg\","
    "   \"depth\": \"6 mm\", \"length\": [\"12 mm\", \"30 mm\"]}},"
    " \"fitted\": {"
    "  \"tie\": {\"eye\": \"screw-eye-1.0-10\"},"
    "  \"belly\": {\"eye\": \"screw-eye-1.0-10\", \"ring\": \"ring-3\", \"hook\": "
    "\"treble-6-medium\"},"
    "  \"tail\": {\"eye\": \"screw-eye-1.0-10\", \"ring\": \"ring-3\", \"hook\": "
    "\"treble-6-medium\"},"
    "  \"lip\": {\"sheet\": \"copper-1.0\", \"outline\": \"tongue-15\", \"length\": \"18 mm\"}}}";

/* The sums of one build at one attitude and speed: hull and blank first, then a column each. */
typedef struct Sums {
    const BlyBuild *build;
    BlyVec3 tie;
    BlyWater water;
    BlyTowModel model;
    double nose_down, speed;
} Sums;

static void add(BlyTowTerms *to, BlyTowTerms more) {
    to->couple += more.couple;
    to->drag += more.drag;
    to->down += more.down;
}

static BlyTowTerms of_items(const Sums *s, const BlyItem *items, size_t count) {
    return bly_tow_item_terms(items, count, s->tie, &s->water, &s->model, s->nose_down, s->speed);
}

static BlyTowTerms of_rig(const Sums *s, const BlyRig *rig) {
    const BlyBlank *blank = &s->build->blank;
    BlyTowTerms sum;
    must(
        bly_tow_hull_terms(blank, s->tie, &s->water, &s->model, s->nose_down, s->speed, &sum, err));
    add(&sum, of_items(s, blank->items, blank->item_count));
    for (size_t seat = 0; seat < s->build->seat_count; seat++) {
        BlyItem items[BLY_CHOICE_ITEMS];
        size_t count;
        must(bly_choice_items(blank, &s->build->seats[seat], (int)seat, &rig->at[seat], items,
                              &count, err));
        add(&sum, of_items(s, items, count));
    }
    return sum;
}

static void open_case(BlyBuild **build, Sums *s) {
    BlyLure lure;
    must(bly_build_read(text, strlen(text), &catalog, build, err));
    *s = (Sums){.build = *build, .model = bly_tow_nominal(), .speed = 1};
    must(bly_water_at(12, 0, &s->water, err));
    must(bly_lure_make(&(*build)->blank, (*build)->seats, &(*build)->fitted, &lure, err));
    must(
        bly_tow_tie(&lure, (*build)->seats, (*build)->seat_count, &(*build)->fitted, &s->tie, err));
    bly_lure_release(&lure);
}

static BlyTow *tow_with(const Sums *s, const BlyRig *rig) {
    BlyLure lure;
    BlyTow *tow;
    must(bly_lure_make(&s->build->blank, s->build->seats, rig, &lure, err));
    must(bly_tow_make(&lure, s->tie, &s->water, &tow, err));
    bly_lure_release(&lure);
    return tow;
}

/* Column by column the sums are those of the whole lure, at any attitude and speed. */
static void columns_add_up_to_the_lure(void **state) {
    (void)state;
    BlyBuild *build;
    Sums s;
    open_case(&build, &s);
    BlyTow *tow = tow_with(&s, &build->fitted);
    for (s.nose_down = DEG(-60); s.nose_down < DEG(65); s.nose_down += DEG(12)) {
        for (s.speed = 0.3; s.speed < 2; s.speed += 0.8) {
            BlyTowTerms sum = of_rig(&s, &build->fitted);
            BlyTowForce whole = bly_tow_force(tow, &s.model, s.nose_down, s.speed);
            double drag = whole.drag[0] + whole.drag[1] + whole.drag[2];
            assert_close(sum.drag, drag, 0, 1e-9);
            assert_close(sum.couple, whole.couple, 1e-9 * 0.05 * drag + 1e-12, 1e-9);
            assert_close(sum.down,
                         bly_tow_net_weight(tow) * BLY_GRAVITY - whole.up[0] - whole.up[1] -
                             whole.up[2],
                         1e-9 * drag, 1e-9);
        }
    }
    bly_tow_free(tow);
    bly_build_free(build);
}

/* Brute force: every lip length, outline and pair of hooks of a small catalog. Rows at both ends of
 * the band say the same as the attitude found; what the rows let pass as steep enough is so. */
typedef struct Tally {
    int rigs, within, steep;
} Tally;

static void one_rig(Sums *s, const BlyRig *rig, Tally *tally) {
    const double band[2] = {DEG(12), DEG(17)}, steep = tan(DEG(20));
    BlyTowLine line = bly_tow_line_usual();
    BlyTow *tow = tow_with(s, rig);
    BlyTowRun run;
    BlyTowTerms at[2];
    must(bly_tow_run(tow, &s->model, s->speed, &line, &run, err));
    for (int i = 0; i < 2; i++) {
        s->nose_down = band[i];
        at[i] = of_rig(s, rig);
    }
    bool rows = at[0].couple >= 0 && at[1].couple <= 0;
    bool inside = run.nose_down >= band[0] && run.nose_down <= band[1];
    if (run.other_count == 0)
        assert_int_equal(rows, inside);
    bool steep_rows =
        rows && at[0].down - at[0].drag * steep >= 0 && at[1].down - at[1].drag * steep >= 0;
    if (steep_rows)
        assert_true(run.rise >= DEG(20) - 1e-9);
    tally->rigs++;
    tally->within += rows;
    tally->steep += steep_rows;
    bly_tow_free(tow);
}

static void rows_against_the_root(void **state) {
    (void)state;
    static const char *const hooks[] = {"treble-8-medium", "treble-6-medium", "treble-4-medium"};
    static const char *const outlines[] = {"tongue-12", "tongue-15", "tongue-18"};
    BlyBuild *build;
    Sums s;
    BlyRig rig;
    Tally tally = {0, 0, 0};
    open_case(&build, &s);
    must(bly_rig_copy(&rig, &build->fitted, err));
    int belly = bly_build_seat(build, "belly"), tail = bly_build_seat(build, "tail"),
        lip = bly_build_seat(build, "lip");
    for (int k = 0; k < 3 * 3 * 3 * 6; k++) {
        rig.at[belly].of[BLY_PART_HOOK].part = bly_catalog_part(&catalog, hooks[k % 3]);
        rig.at[tail].of[BLY_PART_HOOK].part = bly_catalog_part(&catalog, hooks[k / 3 % 3]);
        rig.at[lip].of[BLY_PART_OUTLINE].part = bly_catalog_part(&catalog, outlines[k / 9 % 3]);
        rig.at[lip].length = 14e-3 + 2e-3 * (k / 27);
        s.speed = k % 2 ? 0.6 : 1.2;
        one_rig(&s, &rig, &tally);
    }
    assert_int_equal(tally.rigs, 162);
    assert_between(tally.within, 10, 152); /* the rows part the rigs */
    assert_between(tally.steep, 3, tally.within - 1);
    bly_rig_release(&rig);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(columns_add_up_to_the_lure),
        cmocka_unit_test(rows_against_the_root),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
