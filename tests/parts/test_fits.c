/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each way in which two parts do not go together, by its own words. */
#include "support/check.h"
#include "ballastry/parts.h"

static char *text(const char *words) {
    return (char *)(uintptr_t)words;
}

static BlyPart eye(void) {
    BlyPart part = bly_part_blank(BLY_PART_EYE);
    part.id = text("eye-a");
    part.wire = 1.3e-3;
    part.bore = 2.5e-3;
    return part;
}

static BlyPart ring(void) {
    BlyPart part = bly_part_blank(BLY_PART_RING);
    part.id = text("ring-a");
    part.passes = 1.44e-3;
    part.hook_rank_low = bly_hook_rank("8");
    part.hook_rank_high = bly_hook_rank("4");
    part.single_rank_low = bly_hook_rank("6");
    part.single_rank_high = bly_hook_rank("1/0");
    return part;
}

static BlyPart hook(const char *size, const char *style) {
    BlyPart part = bly_part_blank(BLY_PART_HOOK);
    part.id = text("hook-a");
    part.style = text(style);
    part.size_rank = bly_hook_rank(size);
    part.wire = 0.8e-3;
    part.bore = 1.45e-3;
    part.shank = 6e-3;
    return part;
}

static BlyPart wire(void) {
    BlyPart part = bly_part_blank(BLY_PART_WIRE);
    part.id = text("wire-a");
    part.wire = 0.5e-3;
    return part;
}

static void assert_reason(bool fits, const BlyError *why, BlyCode code, const char *words) {
    assert_false(fits);
    assert_int_equal(why->code, code);
    assert_string_equal(why->text, words);
}

static void ring_through_eye(void **state) {
    (void)state;
    BlyPart r = ring(), e = eye();
    BlyError why = {0};
    assert_true(bly_fits_ring_eye(&r, &e, &why));
    e.bore = 2 * 0.72e-3; /* equal but for the last bit of a double */
    assert_true(bly_fits_ring_eye(&r, &e, &why));
    e.bore = 1.43e-3; /* sizes are told to 0.01 mm: that much too small is too small */
    assert_reason(bly_fits_ring_eye(&r, &e, &why), &why, BLY_E_CONFLICT,
                  "ring ring-a is 1.44 mm through, the eye of eye-a has 1.43 mm");
    e.bore = 1.2e-3;
    assert_reason(bly_fits_ring_eye(&r, &e, &why), &why, BLY_E_CONFLICT,
                  "ring ring-a is 1.44 mm through, the eye of eye-a has 1.20 mm");
    e.bore = NAN;
    assert_reason(bly_fits_ring_eye(&r, &e, &why), &why, BLY_E_MISSING,
                  "the bore of eye eye-a is unknown");
    r.passes = NAN;
    assert_reason(bly_fits_ring_eye(&r, &e, &why), &why, BLY_E_MISSING,
                  "the thickness of ring ring-a is unknown");
    assert_false(bly_fits_ring_eye(&r, &e, NULL));
}

static void ring_through_hook(void **state) {
    (void)state;
    BlyPart r = ring(), h = hook("8", "treble");
    BlyError why = {0};
    assert_true(bly_fits_ring_hook(&r, &h, &why));
    h.bore = 1.25e-3;
    assert_reason(bly_fits_ring_hook(&r, &h, &why), &why, BLY_E_CONFLICT,
                  "ring ring-a is 1.44 mm through, the eye of hook-a has 1.25 mm");
}

static void ring_size_to_hook_size(void **state) {
    (void)state;
    BlyPart r = ring();
    BlyError why = {0};
    BlyPart smallest = hook("8", "treble"), largest = hook("4", "treble");
    assert_true(bly_fits_ring_hook(&r, &smallest, &why));
    assert_true(bly_fits_ring_hook(&r, &largest, &why));
    BlyPart small = hook("10", "treble"), large = hook("3", "treble");
    assert_reason(bly_fits_ring_hook(&r, &small, &why), &why, BLY_E_CONFLICT,
                  "ring ring-a suits treble hooks from size 8 to 4, hook-a is 10");
    assert_reason(bly_fits_ring_hook(&r, &large, &why), &why, BLY_E_CONFLICT,
                  "ring ring-a suits treble hooks from size 8 to 4, hook-a is 3");
    BlyPart single = hook("1/0", "single"), stronger = hook("2/0", "single");
    assert_true(bly_fits_ring_hook(&r, &single, &why));
    assert_reason(bly_fits_ring_hook(&r, &stronger, &why), &why, BLY_E_CONFLICT,
                  "ring ring-a suits single hooks from size 6 to 1/0, hook-a is 2/0");
    BlyPart unknown = hook("huge", "treble");
    assert_reason(bly_fits_ring_hook(&r, &unknown, &why), &why, BLY_E_CONFLICT,
                  "ring ring-a suits treble hooks from size 8 to 4, hook-a is of no known size");
    r.hook_rank_low = r.hook_rank_high = 0; /* any */
    assert_true(bly_fits_ring_hook(&r, &large, &why));
}

static void hook_straight_on_eye(void **state) {
    (void)state;
    BlyPart h = hook("8", "treble"), e = eye();
    BlyError why = {0};
    assert_true(bly_fits_hook_eye(&h, &e, &why));
    e.bore = 0.7e-3;
    assert_reason(bly_fits_hook_eye(&h, &e, &why), &why, BLY_E_CONFLICT,
                  "hook hook-a is 0.80 mm through, the eye of eye-a has 0.70 mm");
    e = eye();
    e.wire = 1.5e-3;
    assert_reason(bly_fits_hook_eye(&h, &e, &why), &why, BLY_E_CONFLICT,
                  "eye eye-a is 1.50 mm through, the eye of hook-a has 1.45 mm");
}

static void snap_through_eye(void **state) {
    (void)state;
    BlyPart s = bly_part_blank(BLY_PART_SNAP), e = eye();
    BlyError why = {0};
    s.id = text("snap-a");
    s.passes = 0.65e-3;
    assert_true(bly_fits_snap_eye(&s, &e, &why));
    e.bore = 0.6e-3;
    assert_reason(bly_fits_snap_eye(&s, &e, &why), &why, BLY_E_CONFLICT,
                  "snap snap-a is 0.65 mm through, the eye of eye-a has 0.60 mm");
}

static void turns_on_shank(void **state) {
    (void)state;
    BlyPart w = wire(), h = hook("8", "treble");
    BlyError why = {0};
    assert_int_equal(bly_wire_turns_most(&w, &h), 12);
    assert_true(bly_fits_wire_hook(&w, 0, &h, &why));
    assert_true(bly_fits_wire_hook(&w, 12, &h, &why));
    assert_reason(bly_fits_wire_hook(&w, 13, &h, &why), &why, BLY_E_CONFLICT,
                  "13 turns of wire-a need 6.5 mm, the free shank of hook-a has 6.0 mm");
    assert_reason(bly_fits_wire_hook(&w, -1, &h, &why), &why, BLY_E_RANGE, "-1 turns of wire");
    h.shank = NAN;
    assert_reason(bly_fits_wire_hook(&w, 1, &h, &why), &why, BLY_E_MISSING,
                  "the free shank of hook hook-a is unknown");
    assert_int_equal(bly_wire_turns_most(&w, &h), 0);
    w.wire = 0;
    h.shank = 6e-3;
    assert_int_equal(bly_wire_turns_most(&w, &h), 0); /* no number of turns, not too many */
}

static void wrong_kinds_are_named(void **state) {
    (void)state;
    BlyPart r = ring(), e = eye(), h = hook("8", "treble"), w = wire();
    BlyError why = {0};
    assert_reason(bly_fits_ring_eye(&e, &r, &why), &why, BLY_E_INTERNAL, "eye eye-a is no ring");
    assert_reason(bly_fits_ring_eye(&r, &h, &why), &why, BLY_E_INTERNAL, "hook hook-a is no eye");
    assert_false(bly_fits_ring_hook(&r, NULL, &why));
    assert_false(bly_fits_ring_hook(NULL, &h, &why));
    assert_false(bly_fits_hook_eye(&r, &e, &why));
    assert_false(bly_fits_hook_eye(&h, &r, &why));
    assert_false(bly_fits_snap_eye(&r, &e, &why));
    assert_false(bly_fits_wire_hook(&h, 1, &h, &why));
    assert_false(bly_fits_wire_hook(&w, 1, &w, &why));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ring_through_eye),       cmocka_unit_test(ring_through_hook),
        cmocka_unit_test(ring_size_to_hook_size), cmocka_unit_test(hook_straight_on_eye),
        cmocka_unit_test(snap_through_eye),       cmocka_unit_test(turns_on_shank),
        cmocka_unit_test(wrong_kinds_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
