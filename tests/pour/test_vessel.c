/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cups and stock by their sizes. A cylinder holds pi/4 d^2 h, a block l w h; 1 in = 25.4 mm (NIST
 * SP 811, appendix B.8); independent gives add as squares. What a kind of resin weighs is the
 * shipped catalog's own row. */
#include "desk/pour.h"
#include "desk/vessel.h"
#include "lure/kit.h"

static const double pi = 3.14159265358979323846;

static void assert_holds(const char *text, double volume, double give) {
    BlyFigure got;
    BlyError err = {0};
    assert_true(vessel_is_sizes(text));
    if (!vessel_parse(text, "--mould", 0.01, &got, &err))
        fail_msg("\"%s\": %s %s", text, err.where, err.text);
    assert_close(got.value, volume, 0, 1e-12);
    assert_close(got.give, give, 0, 1e-9);
}

static void sizes_hold_what_they_hold(void **state) {
    (void)state;
    double cup = pi / 4 * 0.04 * 0.04 * 0.12, inch = 25.4e-3;
    assert_holds("40 mm x 120 mm", cup, 0.01 * cup);
    assert_holds("40 x 120 mm", cup, 0.01 * cup);
    assert_holds("4cm X 12cm", cup, 0.01 * cup);
    assert_holds("40 mm \xc3\x97 120 mm", cup, 0.01 * cup);
    assert_holds("4 cm*120 mm", cup, 0.01 * cup);
    assert_holds("1 1/2 x 4 in", pi / 4 * 1.5 * 1.5 * 4 * pow(inch, 3),
                 0.01 * pi / 4 * 9 * pow(inch, 3));
    double block = 0.08 * 0.03 * 0.025;
    assert_holds("80 x 30 x 25 mm", block, 0.01 * block);
    assert_holds("40 x 120 mm +- 0.5 mm", cup, cup * hypot(2 * 0.5 / 40, 0.5 / 120));
    assert_holds("80 x 30 x 25 mm +- 0.1 mm", block,
                 block * sqrt(pow(0.1 / 80, 2) + pow(0.1 / 30, 2) + pow(0.1 / 25, 2)));
}

static void bad_sizes_are_refused(void **state) {
    (void)state;
    static const char *const rows[] = {"40 x",       "x 40 mm",           "40 x 120",
                                       "40 x 120 g", "1 x 2 x 3 x 4 mm",  "0 x 12 mm",
                                       "-4 x 12 mm", "40 x 12 mm +- 2 g", "40 mm x blue"};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        BlyFigure got = {7, 7};
        BlyError err = {0};
        if (vessel_parse(rows[i], "--mould", 0.01, &got, &err))
            fail_msg("\"%s\" was read as %g", rows[i], got.value);
        assert_true(strncmp(err.where, "--mould", 7) == 0 || strncmp(err.text, "--mould", 7) == 0);
    }
    assert_false(vessel_is_sizes("240 ml"));
    assert_false(vessel_is_sizes("2 fl oz"));
}

static const PourWords kind_alone = {.mould = "240 ml", .resin = "epoxy", .by_weight = "100:45"};

/* What is said besides may not do for a pour: the resin is looked up before. */
static const BlyMaterial *known_of(const PourWords *words, const BlyCatalog *catalog) {
    PourWork work;
    BlyError err = {0};
    (void)!pour_work(words, NULL, catalog, NULL, &work, &err);
    const BlyMaterial *known = work.known;
    pour_work_release(&work);
    return known;
}

static void a_kind_brings_its_cured_density(void **state) {
    (void)state;
    BlyCatalog catalog = {0};
    PourWork work;
    must(bly_catalog_shipped(&catalog, err));
    const BlyMaterial *epoxy = bly_catalog_material(&catalog, "epoxy");
    assert_non_null(epoxy);
    must(pour_work(&kind_alone, NULL, &catalog, NULL, &work, err));
    const BlyPourPlan *plan = &work.plan;
    assert_ptr_equal(work.known, epoxy);
    /* Plain resin: the blank has the density of the row, and as much give, with the mould's own in
     * its mass alone. */
    assert_close(plan->density.value, epoxy->density.value, 0, 1e-12);
    assert_close(plan->density.give, epoxy->density.give, 0, 1e-6);
    assert_close(plan->mass.value, 240e-6 * epoxy->density.value, 0, 1e-9);
    pour_work_release(&work);
    PourWords w = kind_alone;
    w.cured = "1.05 g/cm3";
    assert_null(known_of(&w, &catalog));
    w = kind_alone;
    w.a_density = "1.15 g/cm3";
    assert_ptr_equal(known_of(&w, &catalog), epoxy);
    w.b_density = "1.0 g/cm3";
    assert_null(known_of(&w, &catalog));
    w = kind_alone;
    w.resin = "other";
    assert_null(known_of(&w, &catalog));
    bly_catalog_release(&catalog);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sizes_hold_what_they_hold),
        cmocka_unit_test(bad_sizes_are_refused),
        cmocka_unit_test(a_kind_brings_its_cured_density),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
