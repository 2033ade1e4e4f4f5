/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The check finds each fault, one record at a time, and nothing in sound records. */
#include "support/check.h"
#include "ballastry/catalog.h"

static char *text(const char *words) {
    return (char *)(uintptr_t)words;
}

static BlyMaterial material(const char *id, double density, bool lead) {
    BlyMaterial m = bly_material_blank();
    m.id = m.name = text(id);
    m.source = m.expansion_source = text("a handbook");
    m.density = (BlyFigure){density, 0.01 * density};
    m.expansion = (BlyFigure){17e-6, 1e-6};
    m.metal = true;
    m.lead = lead;
    return m;
}

static BlyPart part(BlyPartKind kind, const char *of) {
    BlyPart p = bly_part_blank(kind);
    p.id = p.name = text("p");
    p.source = text("the model");
    p.material = text(of);
    p.origin = BLY_FROM_MODEL;
    p.style = p.size = text("");
    return p;
}

static BlyPart hook(void) {
    BlyPart p = part(BLY_PART_HOOK, "steel");
    p.style = text("treble");
    p.size = text("6");
    p.size_rank = bly_hook_rank("6");
    p.wire = 0.95e-3;
    p.gape = 6.7e-3;
    p.length = 18.3e-3;
    p.bore = 1.75e-3;
    p.shank = 7.4e-3;
    return p;
}

static BlyPart eye(void) {
    BlyPart p = part(BLY_PART_EYE, "steel");
    p.style = text("screw");
    p.wire = 1e-3;
    p.outer = 4.2e-3;
    p.length = 10e-3;
    return p;
}

static BlyPart ring(void) {
    BlyPart p = part(BLY_PART_RING, "steel");
    p.size = text("4");
    p.wire = 0.85e-3;
    p.outer = 7.2e-3;
    p.passes = 1.7e-3;
    return p;
}

static BlyPart dot(void) {
    BlyPart p = part(BLY_PART_DOT, "lead");
    p.lead = true;
    p.outer = 6e-3;
    p.thickness = 0.14e-3;
    return p;
}

static BlyPart sheet(void) {
    BlyPart p = part(BLY_PART_SHEET, "steel");
    p.thickness = 1e-3;
    p.thinnest = 0.7e-3;
    return p;
}

static BlyPart outline(void) {
    BlyPart p = part(BLY_PART_OUTLINE, "");
    p.form = BLY_OUTLINE_ROUND;
    p.width = 16e-3;
    p.root_width = 9e-3;
    p.root_length = 9e-3;
    p.length_least = 20e-3;
    p.length_most = 40e-3;
    return p;
}

typedef struct Heard {
    size_t count;
    BlyCode code;
    char kind[32], id[32], text[BLY_TEXT_MAX];
} Heard;

static void listen(const BlyFinding *finding, void *user) {
    Heard *heard = user;
    heard->count++;
    heard->code = finding->code;
    snprintf(heard->kind, sizeof heard->kind, "%s", finding->kind);
    snprintf(heard->id, sizeof heard->id, "%s", finding->id);
    snprintf(heard->text, sizeof heard->text, "%s", finding->text);
}

/* Checks a catalog of steel, lead and this part. */
static Heard check_part(BlyPart p) {
    BlyCatalog catalog = {0};
    BlyMaterial steel = material("steel", 7850, false), lead = material("lead", 11340, true);
    BlyError err = {0};
    assert_true(bly_catalog_put_material(&catalog, &steel, &err));
    assert_true(bly_catalog_put_material(&catalog, &lead, &err));
    assert_true(bly_catalog_put_part(&catalog, &p, &err));
    bly_catalog_complete(&catalog);
    Heard heard = {0};
    size_t found = bly_catalog_check(&catalog, listen, &heard);
    assert_int_equal(found, heard.count);
    assert_int_equal(bly_catalog_check(&catalog, NULL, NULL), heard.count);
    bly_catalog_release(&catalog);
    return heard;
}

static Heard check_material(BlyMaterial m) {
    BlyCatalog catalog = {0};
    BlyError err = {0};
    assert_true(bly_catalog_put_material(&catalog, &m, &err));
    Heard heard = {0};
    size_t found = bly_catalog_check(&catalog, listen, &heard);
    assert_int_equal(found, heard.count);
    bly_catalog_release(&catalog);
    return heard;
}

static void assert_heard(Heard heard, BlyCode code, const char *words) {
    if (strcmp(heard.text, words) != 0 || heard.count != 1)
        fail_msg("%zu findings, the last \"%s\", wanted \"%s\"", heard.count, heard.text, words);
    assert_int_equal(heard.code, code);
}

static void sound_records_pass(void **state) {
    (void)state;
    const BlyPart good[] = {hook(), eye(), ring(), dot(), sheet(), outline()};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        Heard heard = check_part(good[i]);
        if (heard.count != 0)
            fail_msg("%s: %s", heard.kind, heard.text);
    }
    assert_int_equal(check_material(material("brass", 8500, false)).count, 0);
    assert_int_equal(bly_catalog_check(&(BlyCatalog){0}, NULL, NULL), 0);
}

static void masses_that_sizes_do_not_bear_out(void **state) {
    (void)state;
    BlyPart p = hook();
    p.mass.value = 0.40e-3; /* its sizes say 0.521 g */
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "weighs 0.4 g, by its sizes it would be 0.5212 g (-23 %)");
    p.mass.value = 0.5211e-3 * 1.015; /* rounding passes, 2.5 % does not */
    assert_int_equal(check_part(p).count, 0);
    p.mass.value = 0.5211e-3 * 1.025;
    assert_int_equal(check_part(p).count, 1);
    p.origin = BLY_FROM_PUBLISHED; /* give 10 % */
    assert_int_equal(check_part(p).count, 0);
    p.mass.value = 0.5211e-3 * 1.15;
    assert_int_equal(check_part(p).count, 1);
    p.origin = BLY_FROM_MEASURED; /* 5 % of itself and the model's 15 % */
    assert_int_equal(check_part(p).count, 0);
    p.mass.value = 0.5211e-3 * 1.3;
    assert_int_equal(check_part(p).count, 1);
}

static void gives_must_say_something(void **state) {
    (void)state;
    BlyPart p = hook();
    p.origin = BLY_FROM_MEASURED;
    p.mass = (BlyFigure){0.52e-3, 0};
    assert_heard(
        check_part(p), BLY_E_RANGE,
        "its mass has a tolerance of 0 times itself; expected more than 0 and less than 1");
    p.mass.give = 0.6e-3;
    assert_heard(
        check_part(p), BLY_E_RANGE,
        "its mass has a tolerance of 1.15 times itself; expected more than 0 and less than 1");
}

static void missing_fields_are_named(void **state) {
    (void)state;
    BlyPart p = hook();
    p.gape = NAN;
    p.mass.value = 0.5e-3;
    assert_heard(check_part(p), BLY_E_MISSING, "has no gape");
    p = ring();
    p.passes = NAN;
    assert_heard(check_part(p), BLY_E_MISSING, "has no passes");
    p = sheet();
    p.thickness = NAN;
    assert_heard(check_part(p), BLY_E_MISSING, "has no thickness");
    p = dot();
    p.source = NULL;
    assert_heard(check_part(p), BLY_E_MISSING, "does not say where its figures come from");
    p = dot();
    p.name = text("");
    assert_heard(check_part(p), BLY_E_MISSING, "has no name");
    p = outline();
    p.root_length = NAN;
    assert_heard(check_part(p), BLY_E_MISSING, "its form needs a root_width or root_length");
    p = outline();
    p.length_least = NAN;
    assert_heard(check_part(p), BLY_E_MISSING, "has no lengths");
    p = part(BLY_PART_WIRE, "steel");
    p.wire = 0.5e-3;
    p.origin = BLY_FROM_MEASURED;
    assert_heard(check_part(p), BLY_E_MISSING, "has no mass_per_m");
}

static void sizes_that_contradict_each_other(void **state) {
    (void)state;
    BlyPart p = ring();
    p.passes = 1.2e-3;
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "its two turns of wire of 1.7 mm is more than its passing thickness of 1.2 mm");
    p = ring();
    p.hook_rank_low = 10;
    p.hook_rank_high = 5;
    assert_heard(check_part(p), BLY_E_CONFLICT, "its hook_size runs backwards");
    p = ring();
    p.single_rank_low = 10;
    assert_heard(check_part(p), BLY_E_CONFLICT, "its single_size runs backwards");
    p = hook();
    p.shank = 12e-3;
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "its free shank of 12 mm is more than its straight shank of 10.35 mm");
    p = hook();
    p.size_rank++;
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "\"6\" is not a hook size, or not the one it is ranked by");
    p = hook();
    p.style = text("double");
    assert_int_equal(check_part(p).code, BLY_E_UNKNOWN);
    p = eye();
    p.style = NULL;
    assert_heard(check_part(p), BLY_E_UNKNOWN, "is neither a screw eye nor a twisted eye");
    p = eye();
    p.bore = 3e-3;
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "its bore of 3 mm is more than its loop within the wire of 2.2 mm");
    p = dot();
    p.mass.value = 0.04e-3;
    p.bore = 7e-3;
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "its hole of 7 mm is more than its outer diameter of 6 mm");
    p = sheet();
    p.thinnest = 1.1e-3;
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "its thinnest of 1.1 mm is more than its thickness of 1 mm");
    p = outline();
    p.length_least = 50e-3;
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "its least length of 50 mm is more than its greatest of 40 mm");
    p = sheet();
    p.thinnest = -1e-3;
    assert_heard(check_part(p), BLY_E_RANGE, "its thinnest is -0.001");
}

static void substance_and_lead(void **state) {
    (void)state;
    BlyPart p = dot();
    p.lead = false;
    assert_heard(check_part(p), BLY_E_CONFLICT, "is of lead but not said to hold lead");
    p = hook();
    p.lead = true;
    assert_heard(check_part(p), BLY_E_CONFLICT, "is said to hold lead, but steel does not");
    p = sheet();
    p.material = text("unobtainium");
    assert_heard(check_part(p), BLY_E_UNKNOWN,
                 "is of \"unobtainium\", a material that the catalog does not have");
    p = hook();
    p.material = text("");
    p.origin = BLY_FROM_MEASURED;
    p.mass.value = 0.5e-3;
    assert_heard(check_part(p), BLY_E_MISSING, "has neither a material nor a volume");
    p.volume = 0.1e-6; /* 5 g/cm3 */
    p.volume_given = true;
    assert_int_equal(check_part(p).count, 0);
    p.volume = 1e-6 * 50;
    assert_heard(check_part(p), BLY_E_RANGE,
                 "mass and volume make 10 kg/m3, no material's density");
    p = hook();
    p.volume = 0.05e-6;
    p.volume_given = true; /* 0.521 g in 0.05 cm3 of steel */
    assert_heard(check_part(p), BLY_E_CONFLICT,
                 "mass and volume make 1.042e+04 kg/m3, steel has 7850");
}

static void materials_are_checked(void **state) {
    (void)state;
    BlyMaterial m = material("m", 8.5, false); /* g/cm3 taken for kg/m3 */
    assert_heard(check_material(m), BLY_E_RANGE, "no material has a density of 8.5 kg/m3");
    m = material("m", NAN, false);
    assert_int_equal(check_material(m).code, BLY_E_RANGE);
    m = material("m", 8500, false);
    m.density.give = NAN;
    assert_int_equal(check_material(m).code, BLY_E_RANGE);
    m = material("m", 8500, false);
    m.source = NULL;
    assert_heard(check_material(m), BLY_E_MISSING, "does not say where its figures come from");
    m = material("m", 8500, false);
    m.expansion_source = NULL;
    assert_heard(check_material(m), BLY_E_MISSING, "does not say where its expansion comes from");
    m = material("m", 8500, false);
    m.expansion.value = 17; /* per million taken for one */
    assert_int_equal(check_material(m).code, BLY_E_RANGE);
    m.expansion.value = NAN; /* not known is no fault */
    m.expansion_source = NULL;
    assert_int_equal(check_material(m).count, 0);
    m = material("m", 11340, true);
    m.metal = false;
    assert_heard(check_material(m), BLY_E_CONFLICT, "is lead, but not said to be metal");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sound_records_pass),
        cmocka_unit_test(masses_that_sizes_do_not_bear_out),
        cmocka_unit_test(gives_must_say_something),
        cmocka_unit_test(missing_fields_are_named),
        cmocka_unit_test(sizes_that_contradict_each_other),
        cmocka_unit_test(substance_and_lead),
        cmocka_unit_test(materials_are_checked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
