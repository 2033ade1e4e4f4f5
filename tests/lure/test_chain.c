/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tie and hanger on a cylinder: every place and mass worked by hand. */
#include "lure/kit.h"

static BlyBody *body;
static BlyBlank blank;

static int set_up(void **state) {
    (void)state;
    body = kit_cylinder(0, 80e-3, 16e-3);
    BlyBodyFacts facts = kit_facts(500);
    blank = kit_blank(body, &facts);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    bly_blank_release(&blank);
    bly_body_free(body);
    return 0;
}

/* The threaded shank adds its mass, takes wood away, and displaces nothing. */
static void test_eye(void **state) {
    (void)state;
    BlyPart eye = kit_eye();
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 30e-3, 30e-3);
    BlyChoice choice = bly_choice_empty(30e-3);
    choice.of[BLY_PART_EYE].part = &eye;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = kit_items(&blank, &seat, &choice, items);
    assert_int_equal(count, 3);
    double mass = 0, volume = 0, give = 0;
    for (size_t i = 0; i < count; i++) {
        mass += items[i].mass;
        volume += items[i].volume;
        give += items[i].mass_give;
        assert_int_equal(items[i].seat, 3);
        assert_false(items[i].hangs);
    }
    assert_close(mass, 0.4e-3 - 500 * 0.25e-3 / 7850, 1e-12, 0);
    assert_close(volume, 0.15e-3 / 7850, 1e-16, 0);
    assert_close(give, 0.05 * 0.4e-3, 1e-12, 0);
    /* Belly at -8 mm: loop from there to -13, shank up to +2. */
    assert_close(items[0].at.z, -10.5e-3, 1e-12, 0);
    assert_close(items[0].from.z, -8e-3, 1e-12, 0);
    assert_close(items[0].to.z, -13e-3, 1e-12, 0);
    assert_close(items[1].at.z, -3e-3, 1e-12, 0);
    assert_close(items[1].mass, 0.25e-3, 1e-12, 0);
    const BlyItem *removed = kit_find(items, count, BLY_PART_EYE, BLY_ITEM_REMOVED);
    assert_close(removed->at.z, -3e-3, 1e-12, 0);
    assert_close(removed->mass, -500 * 0.25e-3 / 7850, 1e-15, 0);
}

/* A loop of 5 mm stands off the body; its lowest inside is a wire above its lowest outside. */
static void test_stand_off(void **state) {
    (void)state;
    BlyPart eye = kit_eye();
    const struct {
        BlySeatSide side;
        double x, z, hang_x, hang_z;
    } cases[] = {
        {BLY_AT_BELLY, 30e-3, -8e-3, 30e-3, -12e-3},
        {BLY_AT_BACK, 30e-3, 8e-3, 30e-3, 9e-3},
        {BLY_AT_NOSE, 0, 0, -2.5e-3, -1.5e-3},
        {BLY_AT_TAIL, 80e-3, 0, 82.5e-3, -1.5e-3},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        BlySeat seat = kit_seat(BLY_SEAT_HANGER, cases[i].side, cases[i].x, cases[i].x);
        BlyVec3 surface = bly_seat_surface(&blank, &seat, cases[i].x);
        BlyVec3 hang = bly_seat_hang(&blank, &seat, cases[i].x, &eye);
        assert_close(surface.x, cases[i].x, 1e-12, 0);
        assert_close(surface.z, cases[i].z, 1e-12, 0);
        assert_close(hang.x, cases[i].hang_x, 1e-12, 0);
        assert_close(hang.z, cases[i].hang_z, 1e-12, 0);
        BlyVec3 bare = bly_seat_hang(&blank, &seat, cases[i].x, NULL);
        assert_close(bare.z, cases[i].z, 1e-12, 0);
    }
}

/* The chain's mass acts at the loop. Wire in wire: ring 6 mm from 0 to 5.3 below, its lowest inside
 * at 4.6; hook of 18 mm from 3.7 to 21.7; its shank begins 3.4 mm below its top. */
static void test_chain_hangs_from_the_loop(void **state) {
    (void)state;
    BlyPart eye = kit_eye(), ring = kit_ring(), hook = kit_hook(0.6e-3);
    BlyPart wire = kit_part(BLY_PART_WIRE, 7850 * M_PI / 4 * 0.25e-6); /* a metre */
    wire.wire = 0.5e-3;
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 30e-3, 30e-3);
    BlyChoice choice = bly_choice_empty(30e-3);
    choice.of[BLY_PART_EYE].part = &eye;
    choice.of[BLY_PART_RING].part = &ring;
    choice.of[BLY_PART_HOOK].part = &hook;
    choice.of[BLY_PART_WIRE].part = &wire;
    choice.count = 4;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = kit_items(&blank, &seat, &choice, items);
    assert_int_equal(count, 6);
    for (size_t i = 3; i < count; i++) {
        assert_true(items[i].hangs);
        assert_close(items[i].at.x, 30e-3, 1e-12, 0);
        assert_close(items[i].at.z, -12e-3, 1e-12, 0);
    }
    const BlyItem *r = kit_find(items, count, BLY_PART_RING, BLY_ITEM_PART);
    assert_close(r->hang_from, 0, 1e-12, 0);
    assert_close(r->hang_to, 5.3e-3, 1e-12, 0);
    const BlyItem *h = kit_find(items, count, BLY_PART_HOOK, BLY_ITEM_PART);
    assert_close(h->hang_from, 3.7e-3, 1e-12, 0);
    assert_close(h->hang_to, 21.7e-3, 1e-12, 0);
    assert_close(h->volume, 0.6e-3 / 7850, 1e-18, 0);
    /* 4 turns of 0.5 mm on a bundle of 2.15 x 0.9 mm; steel by the formula of parts.h. */
    const BlyItem *w = kit_find(items, count, BLY_PART_WIRE, BLY_ITEM_PART);
    double turn = 7850 * M_PI / 4 * 0.25e-6 * M_PI * (2.15 * 0.9e-3 + 0.5e-3);
    assert_close(w->mass, 4 * turn, 1e-12, 0);
    assert_close(0.5 * (w->hang_from + w->hang_to), 3.7e-3 + 3.4e-3 + 4e-3, 1e-12, 0);
    assert_close(w->hang_to - w->hang_from, 2e-3, 1e-12, 0);
    assert_close(w->volume, w->mass / 7850, 1e-15, 0);
}

/* Wire area: brute force over all directions of the cross-flow principle, sin^3 of the lean on
 * d dL, against what the item carries for its volume. */
static void test_wire_face(void **state) {
    (void)state;
    BlyPart hook = kit_hook(0.6e-3), eye = kit_eye();
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_TAIL, 80e-3, 80e-3);
    BlyChoice choice = bly_choice_empty(80e-3);
    choice.of[BLY_PART_EYE].part = &eye;
    choice.of[BLY_PART_HOOK].part = &hook;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = kit_items(&blank, &seat, &choice, items);
    const BlyItem *h = kit_find(items, count, BLY_PART_HOOK, BLY_ITEM_PART);
    double mean = 0;
    const int n = 2000;
    for (int i = 0; i < n; i++) { /* cos of the lean is even over a sphere */
        double c = (i + 0.5) / n;
        mean += pow(1 - c * c, 1.5) / n;
    }
    double length = 0.6e-3 / 7850 / (M_PI / 4 * 0.81e-6);
    assert_int_equal(h->face, BLY_FACE_WIRE);
    assert_close(h->face_area, mean * 0.9e-3 * length, 0, 1e-4);
    assert_close(h->face_at.x, 82.5e-3, 1e-12, 0);
}

static void test_scale_overrides_catalog(void **state) {
    (void)state;
    BlyPart eye = kit_eye();
    eye.mass.value = 0.4e-3;
    BlySeat seat = kit_seat(BLY_SEAT_TIE, BLY_AT_NOSE, 0, 0);
    BlyChoice choice = bly_choice_empty(0);
    choice.of[BLY_PART_EYE] = (BlyChosenPart){&eye, {0.44e-3, 0.01e-3}};
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = kit_items(&blank, &seat, &choice, items);
    assert_int_equal(count, 3);
    assert_close(items[0].mass + items[1].mass, 0.44e-3, 1e-12, 0);
    assert_close(items[1].mass, 0.44e-3 * 0.625, 1e-12, 0);
    assert_close(items[0].mass_give + items[1].mass_give, 0.01e-3, 1e-12, 0);
}

static void test_snap_and_leader(void **state) {
    (void)state;
    BlyPart eye = kit_eye(), snap = kit_part(BLY_PART_SNAP, 0.07e-3);
    snap.wire = 0.5e-3, snap.length = 11e-3, snap.passes = 0.5e-3;
    BlySeat seat = kit_seat(BLY_SEAT_TIE, BLY_AT_NOSE, 0, 0);
    seat.load = (BlyFigure){0.05e-3, 0.01e-3};
    BlyChoice choice = bly_choice_empty(0);
    choice.of[BLY_PART_EYE].part = &eye;
    choice.of[BLY_PART_SNAP].part = &snap;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = kit_items(&blank, &seat, &choice, items);
    assert_int_equal(count, 5);
    assert_close(items[3].hang_from, 0, 1e-12, 0);
    assert_close(items[3].hang_to, 11e-3, 1e-12, 0);
    assert_int_equal(items[4].kind, BLY_ITEM_LOAD);
    assert_close(items[4].mass, 0.05e-3, 1e-12, 0);
    assert_true(items[4].volume == 0.0 && !items[4].part);
    /* The leader pulls on an empty tie too; not on a hanger. */
    BlyChoice empty = bly_choice_empty(0);
    assert_int_equal(kit_items(&blank, &seat, &empty, items), 1);
    seat.load.value = NAN;
    assert_int_equal(kit_items(&blank, &seat, &empty, items), 0);
}

static void refused(const BlySeat *seat, const BlyChoice *choice, BlyCode code, const char *text) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = 9;
    BlyError err = {0};
    assert_false(bly_choice_items(&blank, seat, 0, choice, items, &count, &err));
    assert_int_equal(err.code, code);
    assert_non_null(strstr(err.text, text));
    assert_string_equal(err.where, "seat");
    assert_int_equal(count, 0);
}

static void test_refusals(void **state) {
    (void)state;
    BlyPart eye = kit_eye();
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 0, 90e-3);
    BlyChoice choice = bly_choice_empty(81e-3);
    choice.of[BLY_PART_EYE].part = &eye;
    refused(&seat, &choice, BLY_E_RANGE, "off the body");
    choice.x = NAN;
    refused(&seat, &choice, BLY_E_RANGE, "off the body");
    choice.x = 30e-3;
    eye.length = 16.5e-3; /* the body is 16 mm high */
    refused(&seat, &choice, BLY_E_CONFLICT, "16.0 mm high");
    seat.side = BLY_AT_TAIL; /* lengthwise there is room */
    BlyItem items[BLY_CHOICE_ITEMS];
    assert_int_equal(kit_items(&blank, &seat, &choice, items), 3);
    eye.mass.value = NAN;
    refused(&seat, &choice, BLY_E_MISSING, "mass of piece is unknown");
    choice.of[BLY_PART_EYE].weighed.value = -1;
    refused(&seat, &choice, BLY_E_RANGE, "scale");
}

/* Reach: the bend's outer corner, hypot(21.7, 6.9) = 22.77 mm from the loop; the other hangs still,
 * its points 6 mm to the side, and a millimetre is left between them: 29.77 mm. The rule is common
 * practice, no source. */
static void test_hooks_touch(void **state) {
    (void)state;
    BlyPart eye = kit_eye(), ring = kit_ring(), hook = kit_hook(0.6e-3);
    for (int near = 0; near < 2; near++) {
        double gap = near ? 29.7e-3 : 29.8e-3;
        BlySeat seats[2] = {kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 20e-3, 20e-3),
                            kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 0, 80e-3)};
        BlyRig rig;
        must(bly_rig_init(&rig, 2, err));
        for (int i = 0; i < 2; i++) {
            rig.at[i].x = 20e-3 + i * gap;
            rig.at[i].of[BLY_PART_EYE].part = &eye;
            rig.at[i].of[BLY_PART_RING].part = &ring;
            rig.at[i].of[BLY_PART_HOOK].part = &hook;
        }
        BlyLure lure;
        must(bly_lure_make(&blank, seats, &rig, &lure, err));
        assert_int_equal(bly_lure_hooks_touch(&lure), near);
        bly_lure_release(&lure);
        bly_rig_release(&rig);
    }
}

/* Metal that weighs more is more metal: volume follows the scale, unless it was read by itself. */
static void test_weighed_volume(void **state) {
    (void)state;
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 30e-3, 30e-3);
    BlyPart eye = kit_eye(), hook = kit_hook(0.5e-3);
    BlyChoice choice = bly_choice_empty(30e-3);
    BlyItem items[BLY_CHOICE_ITEMS];
    choice.of[BLY_PART_EYE] = (BlyChosenPart){&eye, {0.44e-3, 0}};
    choice.of[BLY_PART_HOOK] = (BlyChosenPart){&hook, {0.55e-3, 0}};
    for (int given = 0; given < 2; given++) {
        double factor = given ? 1.0 : 1.1;
        hook.volume_given = eye.volume_given = given;
        size_t count = kit_items(&blank, &seat, &choice, items);
        const BlyItem *hung = kit_find(items, count, BLY_PART_HOOK, BLY_ITEM_PART);
        assert_close(hung->mass, 0.55e-3, 1e-15, 0);
        assert_close(hung->volume, factor * hook.volume, 0, 1e-12);
        assert_close(kit_find(items, count, BLY_PART_EYE, BLY_ITEM_PART)->volume,
                     factor * eye.volume, 0, 1e-12);
        assert_close(kit_find(items, count, BLY_PART_EYE, BLY_ITEM_REMOVED)->mass,
                     -500 * factor * eye.shank_volume, 0, 1e-12);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_weighed_volume),  cmocka_unit_test(test_eye),
        cmocka_unit_test(test_stand_off),       cmocka_unit_test(test_chain_hangs_from_the_loop),
        cmocka_unit_test(test_wire_face),       cmocka_unit_test(test_scale_overrides_catalog),
        cmocka_unit_test(test_snap_and_leader), cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_hooks_touch),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
