/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What slots, shanks and pieces take out of bodies with hollows or infill: boxes, where walls and
 * infill are plain products. The body counts in cells of about 0.57 mm; the tolerance beside each
 * figure is a cell's, where its planes lie off the cells' own. */
#include "lure/kit.h"
#include "support/meshes.h"

static const double L = 80e-3, W = 14e-3, H = 20e-3; /* the box */
static const double RHO = 1240;                      /* kg/m3 of the solid material, invented */

static BlyBody *box_with(double wall, double infill, const BlyBox *hollow) {
    BlyMesh mesh = mesh_brick(bly_vec(0, -W / 2, -H / 2), bly_vec(L, W / 2, H / 2));
    BlyMeshFill fill = {wall, infill};
    BlyBody *body = NULL;
    if (hollow != NULL) {
        BlyMesh air = mesh_brick(hollow->low, hollow->high);
        mesh_join(&mesh, &air, true);
    }
    must(bly_body_from_mesh(&mesh, &fill, &body, NULL, err));
    bly_mesh_release(&mesh);
    return body;
}

/* As the build room does it: the mean density. */
static BlyBodyFacts facts_of(const BlyBody *body) {
    return kit_facts(RHO * bly_body_material(body)->volume / bly_body_solid(body)->volume);
}

/* A plate 1 mm thick; straight in or slanting, the slot is 6 mm deep along it. */
static BlyItem slot_in(const BlyBlank *blank, double width, double angle) {
    static BlyPart sheet, outline;
    sheet = kit_part(BLY_PART_SHEET, NAN);
    sheet.thickness = 1e-3;
    outline = kit_part(BLY_PART_OUTLINE, NAN);
    outline.form = BLY_OUTLINE_SQUARE;
    outline.width = width;
    BlySeat seat = kit_seat(BLY_SEAT_SLOT, BLY_AT_BELLY, 40e-3, 40e-3);
    seat.angle = angle;
    seat.depth = 6e-3;
    BlyChoice choice = bly_choice_empty(40e-3);
    choice.of[BLY_PART_SHEET].part = &sheet;
    choice.of[BLY_PART_OUTLINE].part = &outline;
    choice.length = 25e-3;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    must(bly_choice_items(blank, &seat, 0, &choice, items, &count, err));
    const BlyItem *removed = &items[count - 1];
    assert_int_equal(removed->kind, BLY_ITEM_REMOVED);
    return *removed;
}

/* Wall t and infill f: of a slot w wide, all of the belly wall; w more than the body's width, of
 * both side walls too. Volumes and first moments of rectangles; the slant stretches heights. */
static void a_slot_through_walls_and_infill(void **state) {
    (void)state;
    const double wall[] = {0.8e-3, 1.2e-3, 2e-3}, infill[] = {0, 0.15, 0.6};
    double worst = 0, worst_at = 0;
    for (int i = 0; i < 18; i++) {
        double t = wall[i % 3], f = infill[i / 3 % 3], angle = i >= 9 ? 0.8 : M_PI_2;
        BlyBody *body = box_with(t, f, NULL);
        BlyBodyFacts facts = facts_of(body);
        BlyBlank blank = kit_blank(body, &facts);
        for (int wide = 0; wide < 2; wide++) {
            BlyItem removed = slot_in(&blank, wide == 1 ? 20e-3 : 8e-3, angle);
            double w = wide == 1 ? W : 8e-3, core = wide == 1 ? W - 2 * t : w;
            double skin = t / sin(angle), depth = 6e-3; /* along the plate */
            double area = w * skin + (w - core + f * core) * (depth - skin);
            double moment =
                w * skin * skin / 2 + (w - core + f * core) * (depth * depth - skin * skin) / 2;
            assert_close(removed.taken, 1e-3 * w * depth, 0, 2e-3);
            assert_close(removed.mass, -RHO * 1e-3 * area, 0, 0.05);
            double up = (removed.at.z + H / 2) / sin(angle);
            assert_close(up, moment / area, 0.15e-3, 0);
            assert_close(removed.at.y, 0, 1e-5, 0);
            worst = fmax(worst, fabs(removed.mass / (-RHO * 1e-3 * area) - 1));
            worst_at = fmax(worst_at, fabs(up - moment / area));
        }
        bly_blank_release(&blank);
        bly_body_free(body);
    }
    print_message("slots: mass within %.1f %%, middle within %.3f mm\n", 100 * worst,
                  1e3 * worst_at);
}

/* Of steel, 10 mm long. */
static BlyPart eye_of_shank(double volume) {
    BlyPart eye = kit_part(BLY_PART_EYE, 0.4e-3);
    eye.wire = 1e-3, eye.outer = 5e-3, eye.length = 10e-3;
    eye.shank_mass = 7850 * volume, eye.shank_volume = volume;
    return eye;
}

/* A shank of 10 mm from the belly through the wall into infill, or into a hollow. */
static void a_shank(void **state) {
    (void)state;
    const BlyBox air = {{20e-3, -4e-3, -7e-3}, {60e-3, 4e-3, 6e-3}}; /* the wall is 3 mm there */
    for (int hollow = 0; hollow < 2; hollow++) {
        BlyBody *body = box_with(hollow ? NAN : 1e-3, hollow ? NAN : 0.25, hollow ? &air : NULL);
        BlyBodyFacts facts = facts_of(body);
        BlyBlank blank = kit_blank(body, &facts);
        BlyPart eye = eye_of_shank(8e-9);
        BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 40e-3, 40e-3);
        BlyChoice choice = bly_choice_empty(40e-3);
        choice.of[BLY_PART_EYE].part = &eye;
        BlyItem items[BLY_CHOICE_ITEMS];
        size_t count;
        must(bly_choice_items(&blank, &seat, 0, &choice, items, &count, err));
        const BlyItem *removed = &items[count - 1];
        assert_int_equal(removed->kind, BLY_ITEM_REMOVED);
        double share = hollow ? 0.3 : (1 + 9 * 0.25) / 10;
        double up = hollow ? 1.5e-3 : (0.5 + 9 * 0.25 * 5.5) / (1 + 9 * 0.25) * 1e-3;
        assert_close(removed->mass, -RHO * share * 8e-9, 0, 0.05);
        assert_close(removed->taken, 8e-9, 1e-20, 0);
        assert_close(removed->at.z + H / 2, up, 0.15e-3, 0);
        bly_blank_release(&blank);
        bly_body_free(body);
    }
}

static BlyInset piece(BlyForm form) {
    static char name[] = "ball", none[] = "";
    return (BlyInset){.name = name,
                      .material = none,
                      .density = {8000, 0},
                      .mass = {NAN, 0},
                      .expansion = {NAN, 0},
                      .form = {form},
                      .form_count = 1};
}

/* A ball of 8 mm wholly in the infill takes its share of the ball; wholly in a hollow, nothing; a
 * rod across, through both side walls, them and the infill between. What is left of the body's own
 * weighs so much less, and its middle moves by that. */
static void a_piece(void **state) {
    (void)state;
    const double r = 4e-3, t = 1e-3, f = 0.3, x = 55e-3, z = 2e-3;
    const BlyBox air = {{40e-3, -5e-3, -6e-3}, {70e-3, 5e-3, 7e-3}};
    for (int i = 0; i < 3; i++) {
        BlyForm form = {BLY_FORM_BALL, {x, 0, z}, {x, 0, z}, r, 0};
        if (i == 2)
            form = (BlyForm){BLY_FORM_ROD, {x, -W / 2, z}, {x, W / 2, z}, r, 0};
        double ball = 4 * M_PI / 3 * r * r * r, disc = M_PI * r * r;
        double taken = i == 0 ? f * ball : i == 1 ? 0 : disc * (2 * t + f * (W - 2 * t));
        double size = i == 2 ? disc * W : ball;
        BlyBody *body = box_with(i == 1 ? NAN : t, i == 1 ? NAN : f, i == 1 ? &air : NULL);
        BlyInset inset = piece(form);
        BlyBodyFacts facts = facts_of(body);
        must(bly_insets_place(body, &inset, 1, err));
        facts.insets = &inset;
        facts.inset_count = 1;
        BlyBlank blank = kit_blank(body, &facts);
        const BlySolid *solid = bly_body_material(body);
        double own = RHO * (solid->volume - taken);
        assert_close(blank.items[1].mass, 8000 * size, 0, 1e-9);
        assert_close(blank.items[0].mass, own, 0.02 * RHO * taken + 1e-12, 0);
        assert_close(blank.items[0].at.x,
                     (solid->volume * solid->centroid.x - taken * x) / (solid->volume - taken),
                     0.02 * taken / solid->volume * x + 1e-9, 0);
        assert_close(blank.hull_volume, L * W * H, 0, 1e-9); /* it displaces as before */
        bly_blank_release(&blank);
        bly_body_free(body);
    }
}

/* A layer has no meaning there. */
static void a_layer_is_refused(void **state) {
    (void)state;
    BlyBody *body = box_with(1e-3, 0.2, NULL);
    BlyInset belly = piece((BlyForm){BLY_FORM_BALL, {0, 0, 0}, {0, 0, 0}, 0, 0});
    belly.is_layer = true;
    belly.zone = (BlyZone){{-INFINITY, INFINITY}, {-INFINITY, 0}, {0, INFINITY}};
    BlyError err = {0};
    assert_false(bly_insets_place(body, &belly, 1, &err));
    assert_int_equal(err.code, BLY_E_CONFLICT);
    assert_string_equal(err.where, "/0");
    bly_body_free(body);
}

/* Weighed with its slot cut, the density comes back. */
static void weighed_when_cut(void **state) {
    (void)state;
    BlyBody *body = box_with(1e-3, 0.2, NULL);
    BlyBodyFacts facts = facts_of(body);
    BlyBlank blank = kit_blank(body, &facts), again;
    BlyPart eye = eye_of_shank(30e-9);
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 40e-3, 40e-3);
    BlyChoice choice = bly_choice_empty(40e-3);
    choice.of[BLY_PART_EYE].part = &eye;
    BlyRig rig = {&choice, 1};
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    must(bly_choice_items(&blank, &seat, 0, &choice, items, &count, err));
    BlyBodyFacts weighed = kit_facts(NAN);
    weighed.mass = (BlyFigure){blank.body_mass + items[count - 1].mass, 0};
    weighed.stage = BLY_STAGE_CUT;
    must(bly_blank_make(body, &weighed, NULL, 0, &seat, &rig, &again, err));
    assert_close(again.body_density, blank.body_density, 0, 1e-12);
    bly_blank_release(&again);
    bly_blank_release(&blank);
    bly_body_free(body);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_slot_through_walls_and_infill),
        cmocka_unit_test(a_shank),
        cmocka_unit_test(a_piece),
        cmocka_unit_test(a_layer_is_refused),
        cmocka_unit_test(weighed_when_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
