/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Choices and rigs as records, and each reason why a choice may not sit on a seat. The parts are
 * invented; nothing here is compared with a published figure. */
#include "ballastry/rig.h"
#include "support/check.h"

static char EYE_ID[] = "eye", RING_ID[] = "ring", HOOK_ID[] = "hook", SNAP_ID[] = "snap",
            WIRE_ID[] = "wire", SHEET_ID[] = "sheet", OUTLINE_ID[] = "outline",
            STRIP_ID[] = "strip", DOT_ID[] = "dot", TREBLE[] = "treble", NAME[] = "seat";

static BlyPart eye, ring, hook, snap, wire, sheet, outline, strip, dot;

static int make_parts(void **state) {
    (void)state;
    BlyPart *all[] = {&eye, &ring, &hook, &snap, &wire, &sheet, &outline, &strip, &dot};
    char *ids[] = {EYE_ID,   RING_ID,    HOOK_ID,  SNAP_ID, WIRE_ID,
                   SHEET_ID, OUTLINE_ID, STRIP_ID, DOT_ID};
    BlyPartKind kinds[] = {BLY_PART_EYE,     BLY_PART_RING,  BLY_PART_HOOK,
                           BLY_PART_SNAP,    BLY_PART_WIRE,  BLY_PART_SHEET,
                           BLY_PART_OUTLINE, BLY_PART_STRIP, BLY_PART_DOT};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        *all[i] = bly_part_blank(kinds[i]);
        all[i]->id = all[i]->name = ids[i];
    }
    eye.wire = 1e-3, eye.outer = 5e-3, eye.bore = 3e-3, eye.length = 10e-3;
    ring.wire = 0.7e-3, ring.outer = 6e-3, ring.passes = 1.4e-3;
    hook.wire = 0.9e-3, hook.bore = 1.6e-3, hook.length = 18e-3, hook.shank = 8e-3;
    hook.style = TREBLE, hook.size_rank = bly_hook_rank("6"), hook.gape = 6e-3;
    snap.wire = 0.6e-3, snap.passes = 0.6e-3, snap.length = 11e-3;
    wire.wire = 0.5e-3;
    sheet.thickness = 1e-3, sheet.thinnest = 0.5e-3;
    outline.form = BLY_OUTLINE_SQUARE, outline.width = 16e-3;
    outline.length_least = 15e-3, outline.length_most = 30e-3;
    strip.width = 6e-3, strip.thickness = 0.2e-3, strip.length = 100e-3;
    dot.outer = 5e-3, dot.thickness = 0.2e-3;
    return 0;
}

static BlySeat seat_of(BlySeatKind kind, BlySeatSide side, double from, double to) {
    return (BlySeat){.name = NAME,
                     .kind = kind,
                     .side = side,
                     .x_from = from,
                     .x_to = to,
                     .step = 1e-3,
                     .angle = 0.7,
                     .depth = 8e-3,
                     .length_from = NAN,
                     .length_to = NAN,
                     .gap = NAN,
                     .width = NAN};
}

static void refused(const BlySeat *seat, const BlyChoice *choice, BlyCode code, const char *text) {
    BlyError why = {0};
    assert_false(bly_choice_fits(seat, choice, &why));
    if (why.code != code || !strstr(why.text, text))
        print_error("got code %d, \"%s\"; want %d, \"%s\"\n", why.code, why.text, code, text);
    assert_int_equal(why.code, code);
    assert_non_null(strstr(why.text, text));
    assert_int_equal(strncmp(why.where, NAME, strlen(NAME)), 0);
    assert_false(bly_choice_fits(seat, choice, NULL));
}

static void accepted(const BlySeat *seat, const BlyChoice *choice) {
    BlyError why = {0};
    if (!bly_choice_fits(seat, choice, &why))
        fail_msg("refused: %s", why.text);
}

static void test_records(void **state) {
    (void)state;
    BlyChoice empty = bly_choice_empty(0.03);
    assert_true(bly_choice_is_empty(&empty));
    assert_true(empty.x == 0.03);
    assert_true(isnan(empty.thickness) && isnan(empty.of[BLY_PART_DOT].weighed.value));
    BlyRig rig, copy;
    BlyError err = {0};
    assert_true(bly_rig_init(&rig, 3, &err));
    assert_int_equal(rig.count, 3);
    rig.at[1].of[BLY_PART_EYE].part = &eye;
    assert_true(bly_rig_copy(&copy, &rig, &err));
    rig.at[1].of[BLY_PART_EYE].part = NULL;
    assert_ptr_equal(copy.at[1].of[BLY_PART_EYE].part, &eye);
    assert_false(bly_choice_is_empty(&copy.at[1]));
    assert_true(bly_choice_is_empty(&copy.at[2]));
    bly_rig_release(&rig);
    bly_rig_release(&copy);
    assert_true(bly_rig_init(&rig, 0, &err));
    assert_null(rig.at);
    bly_rig_release(&rig);
}

static void test_names(void **state) {
    (void)state;
    assert_string_equal(bly_seat_kind_name(BLY_SEAT_HANGER), "hanger");
    assert_string_equal(bly_seat_side_name(BLY_AT_BACK), "back");
    assert_int_equal(bly_seat_carries(BLY_SEAT_PATCH), 1u << BLY_PART_STRIP | 1u << BLY_PART_DOT);
    assert_false(bly_seat_carries(BLY_SEAT_TIE) & 1u << BLY_PART_HOOK);
}

static void test_empty_and_place(void **state) {
    (void)state;
    BlySeat seat = seat_of(BLY_SEAT_HANGER, BLY_AT_BELLY, 0.02, 0.03);
    BlyChoice choice = bly_choice_empty(0.9);
    accepted(&seat, &choice);
    choice.of[BLY_PART_EYE].part = &eye;
    refused(&seat, &choice, BLY_E_RANGE, "stands at 900.00 mm");
    choice.x = 0.02;
    accepted(&seat, &choice);
    choice.x = NAN;
    refused(&seat, &choice, BLY_E_RANGE, "stands at");
    choice.x = 0.025;
    choice.of[BLY_PART_SHEET].part = &sheet;
    refused(&seat, &choice, BLY_E_CONFLICT, "a hanger carries no sheet");
    choice.of[BLY_PART_SHEET].part = NULL;
    choice.of[BLY_PART_HOOK].part = &ring;
    refused(&seat, &choice, BLY_E_INTERNAL, "ring stands where a hook belongs");
}

static void test_chain(void **state) {
    (void)state;
    BlySeat seat = seat_of(BLY_SEAT_HANGER, BLY_AT_BELLY, 0.02, 0.03);
    BlyChoice choice = bly_choice_empty(0.025);
    choice.of[BLY_PART_HOOK].part = &hook;
    refused(&seat, &choice, BLY_E_MISSING, "a hook needs an eye");
    choice.of[BLY_PART_EYE].part = &eye;
    accepted(&seat, &choice);
    choice.of[BLY_PART_RING].part = &ring;
    accepted(&seat, &choice);
    BlyPart thick = ring;
    thick.passes = 1.8e-3; /* goes through the eye, not through the hook */
    choice.of[BLY_PART_RING].part = &thick;
    refused(&seat, &choice, BLY_E_CONFLICT, "the eye of hook");
    thick.passes = 3.2e-3;
    refused(&seat, &choice, BLY_E_CONFLICT, "through");
    choice.of[BLY_PART_RING].part = &ring;
    choice.of[BLY_PART_WIRE].part = &wire;
    refused(&seat, &choice, BLY_E_RANGE, "0 turns");
    choice.count = 16;
    accepted(&seat, &choice);
    choice.count = 17; /* 8.5 mm on 8 mm of shank */
    refused(&seat, &choice, BLY_E_CONFLICT, "");
    choice.of[BLY_PART_HOOK].part = NULL;
    refused(&seat, &choice, BLY_E_MISSING, "wire needs a hook");
}

static void test_tie(void **state) {
    (void)state;
    BlySeat seat = seat_of(BLY_SEAT_TIE, BLY_AT_NOSE, 1e-3, 1e-3);
    BlyChoice choice = bly_choice_empty(1e-3);
    choice.of[BLY_PART_SNAP].part = &snap;
    refused(&seat, &choice, BLY_E_MISSING, "a snap needs an eye");
    choice.of[BLY_PART_EYE].part = &eye;
    accepted(&seat, &choice);
    BlyPart thick = snap;
    thick.passes = 3.5e-3;
    choice.of[BLY_PART_SNAP].part = &thick;
    refused(&seat, &choice, BLY_E_CONFLICT, "");
    choice.of[BLY_PART_SNAP].part = NULL;
    choice.of[BLY_PART_HOOK].part = &hook;
    refused(&seat, &choice, BLY_E_CONFLICT, "a tie carries no hook");
}

static void test_lip(void **state) {
    (void)state;
    BlySeat seat = seat_of(BLY_SEAT_SLOT, BLY_AT_BELLY, 6e-3, 6e-3);
    BlyChoice choice = bly_choice_empty(6e-3);
    choice.of[BLY_PART_SHEET].part = &sheet;
    choice.length = 20e-3;
    refused(&seat, &choice, BLY_E_MISSING, "a lip needs an outline");
    choice.of[BLY_PART_OUTLINE].part = &outline;
    accepted(&seat, &choice);
    choice.length = 31e-3;
    refused(&seat, &choice, BLY_E_RANGE, "30.00 mm is the most");
    choice.length = 14e-3;
    refused(&seat, &choice, BLY_E_RANGE, "15.00 mm is the least");
    choice.length = 8e-3;
    refused(&seat, &choice, BLY_E_RANGE, "the slot 8.00 mm deep");
    choice.length = NAN;
    refused(&seat, &choice, BLY_E_RANGE, "long");
    choice.length = 20e-3;
    seat.length_to = 19e-3;
    refused(&seat, &choice, BLY_E_RANGE, "19.00 mm is the most");
    seat.length_to = NAN;
    seat.gap = 0.8e-3;
    refused(&seat, &choice, BLY_E_CONFLICT, "the slot takes 0.80");
    choice.thickness = 0.8e-3; /* filed to fit */
    accepted(&seat, &choice);
    choice.thickness = 0.4e-3;
    refused(&seat, &choice, BLY_E_RANGE, "0.50 mm is the thinnest");
    choice.thickness = 1.2e-3;
    refused(&seat, &choice, BLY_E_RANGE, "1.20 mm thick, the sheet 1.00 mm");
    choice.thickness = 0.8e-3;
    seat.width = 15e-3;
    refused(&seat, &choice, BLY_E_CONFLICT, "15.00 mm is the most");
}

static void test_patch(void **state) {
    (void)state;
    BlySeat seat = seat_of(BLY_SEAT_PATCH, BLY_AT_BELLY, 20e-3, 40e-3);
    BlyChoice choice = bly_choice_empty(22e-3);
    choice.of[BLY_PART_STRIP].part = &strip;
    choice.count = 1;
    refused(&seat, &choice, BLY_E_RANGE, "no length");
    choice.length = 18e-3;
    accepted(&seat, &choice);
    choice.length = 26e-3; /* more than a line at 45 degrees has over 18 mm */
    refused(&seat, &choice, BLY_E_RANGE, "the patch has 18.00 mm");
    choice.length = 110e-3;
    refused(&seat, &choice, BLY_E_RANGE, "100.00 mm is the longest");
    choice.length = 18e-3;
    choice.count = 0;
    refused(&seat, &choice, BLY_E_RANGE, "0 layers");
    choice.count = 1;
    seat.width = 5e-3;
    refused(&seat, &choice, BLY_E_CONFLICT, "strip is 6.00 mm wide");
    seat.side = BLY_AT_TAIL;
    refused(&seat, &choice, BLY_E_CONFLICT, "belly or on the back");
    seat.side = BLY_AT_BACK;
    choice.of[BLY_PART_DOT].part = &dot;
    refused(&seat, &choice, BLY_E_CONFLICT, "not both");
    choice.of[BLY_PART_STRIP].part = NULL;
    accepted(&seat, &choice);
    seat.x_to = 24e-3;
    refused(&seat, &choice, BLY_E_RANGE, "the patch 4.00 mm long");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_records),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_empty_and_place),
        cmocka_unit_test(test_chain),
        cmocka_unit_test(test_tie),
        cmocka_unit_test(test_lip),
        cmocka_unit_test(test_patch),
    };
    return cmocka_run_group_tests(tests, make_parts, NULL);
}
