/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A blank glued of pieces: closed forms of caps, balls and discs, sums by hand, and the scale. */
#include "lure/kit.h"

static const double A = 40e-3, B = 8e-3, C = 10e-3; /* half axes of the body, m */
static const double CORE = 400, HEAVY = 900;        /* kg/m3, invented */

static char belly_name[] = "belly", ball_name[] = "ball", none[] = "";

static BlyInset layer(double below, double density) {
    return (BlyInset){
        .name = belly_name,
        .material = none,
        .density = {density, 0},
        .mass = {NAN, 0},
        .expansion = {NAN, 0},
        .is_layer = true,
        .zone = {{-INFINITY, INFINITY}, {-INFINITY, below}, {0, INFINITY}},
    };
}

static BlyInset solid(BlyForm form, double density) {
    return (BlyInset){.name = ball_name,
                      .material = none,
                      .density = {density, 0},
                      .mass = {NAN, 0},
                      .expansion = {NAN, 0},
                      .form = {form},
                      .form_count = 1};
}

static BlyForm ball(double x, double z, double radius, double bore) {
    return (BlyForm){BLY_FORM_BALL, {x, 0, z}, {x, 0, z}, radius, bore};
}

static BlyBlank glued(const BlyBody *body, BlyBodyFacts facts, BlyInset *insets, size_t count) {
    must(bly_insets_place(body, insets, count, err));
    facts.insets = insets;
    facts.inset_count = count;
    return kit_blank(body, &facts);
}

static double mass_of(const BlyBlank *blank, BlyVec3 *centre) {
    double mass = 0;
    BlyVec3 moment = {0, 0, 0};
    for (size_t i = 0; i < blank->item_count; i++) {
        mass += blank->items[i].mass;
        moment = bly_vec_add(moment, bly_vec_scale(blank->items[i].at, blank->items[i].mass));
    }
    *centre = bly_vec_scale(moment, 1 / mass);
    return mass;
}

/* A body sawn in two and glued again of one material is the body. */
static void halves_of_one_material_are_the_body(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(5e-3, 2 * A, 2 * B, 2 * C);
    BlyBodyFacts facts = kit_facts(CORE);
    BlyBlank whole = kit_blank(body, &facts);
    for (int i = -3; i <= 3; i++) {
        BlyInset belly = layer(2.5e-3 * i, CORE);
        BlyBlank blank = glued(body, facts, &belly, 1);
        BlyVec3 a, b;
        assert_close(mass_of(&blank, &a), mass_of(&whole, &b), 0, 1e-12);
        assert_close(bly_vec_norm(bly_vec_sub(a, b)), 0, 1e-12, 0);
        assert_close(blank.body_mass, whole.body_mass, 0, 1e-12);
        bly_blank_release(&blank);
    }
    bly_blank_release(&whole);
    bly_body_free(body);
}

/* The cap of a ball, stretched: volume abc pi (2 - 3 c + c^3)/3, its moment abc C pi (1 - c^2)^2/4
 * below the middle (any book of geometry). */
static void heavy_belly_of_an_ellipsoid(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * A, 2 * B, 2 * C);
    for (int i = -4; i <= 4; i++) {
        double c = i / 5.0, abc = A * B * C;
        double cap = abc * M_PI * (2 - 3 * c + c * c * c) / 3, all = abc * M_PI * 4 / 3;
        double moment = -abc * C * M_PI * (1 - c * c) * (1 - c * c) / 4;
        BlyInset belly = layer(-c * C, HEAVY);
        BlyBlank blank = glued(body, kit_facts(CORE), &belly, 1);
        BlyVec3 centre;
        double mass = CORE * all + (HEAVY - CORE) * cap;
        assert_close(mass_of(&blank, &centre), mass, 0, 1e-9);
        assert_close(centre.x, A, 1e-10, 0);
        assert_close(centre.z, (HEAVY - CORE) * moment / mass, 1e-10, 0);
        assert_close(blank.items[1].mass, HEAVY * cap, 0, 1e-9);
        bly_blank_release(&blank);
    }
    bly_body_free(body);
}

/* A hollow ball of steel within: the body gives way to the whole ball, the wall alone weighs. */
static void hollow_ball_within(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * A, 2 * B, 2 * C);
    double out = 4.0 / 3 * M_PI * pow(4e-3, 3), in = 4.0 / 3 * M_PI * pow(3.5e-3, 3);
    double all = A * B * C * M_PI * 4 / 3;
    BlyInset shell = solid(ball(30e-3, -3e-3, 4e-3, 3.5e-3), 7850);
    BlyBlank blank = glued(body, kit_facts(CORE), &shell, 1);
    BlyVec3 centre;
    double wall = 7850 * (out - in), mass = CORE * (all - out) + wall;
    assert_close(mass_of(&blank, &centre), mass, 0, 1e-12);
    assert_close(centre.x, (CORE * (all * A - out * 30e-3) + wall * 30e-3) / mass, 1e-12, 0);
    assert_close(centre.z, (wall - CORE * out) * -3e-3 / mass, 1e-12, 0);
    assert_close(blank.items[1].volume, 0, 1e-20, 0);
    assert_close(bly_inset_inside(&shell), out, 0, 1e-12);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* By hand, on a cylinder 100 mm long and 20 mm across: a heavy belly below the axis, a wire along
 * the joint (half of it in either wood), a loose ball in a tube in the belly. */
static void sums_by_hand(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 100e-3, 20e-3);
    BlyInset pieces[] = {
        layer(0, HEAVY),
        solid((BlyForm){BLY_FORM_ROD, {10e-3, 0, 0}, {90e-3, 0, 0}, 0.5e-3, 0}, 7900),
        solid((BlyForm){BLY_FORM_ROD, {40e-3, 0, -5e-3}, {60e-3, 0, -5e-3}, 3e-3, 2.5e-3}, 1200),
        solid(ball(45e-3, -5e-3, 2e-3, 0), NAN),
    };
    pieces[3].mass.value = 0.25e-3;
    BlyBlank blank = glued(body, kit_facts(CORE), pieces, 4);
    double half = M_PI * 1e-4 * 0.1 / 2, wire = M_PI * 0.25e-6 * 80e-3;
    double tube = M_PI * 9e-6 * 20e-3, bore = M_PI * 6.25e-6 * 20e-3;
    BlyVec3 centre;
    assert_close(blank.items[0].mass, CORE * (half - wire / 2), 0, 1e-7);
    assert_close(blank.items[1].mass, HEAVY * (half - wire / 2 - tube), 0, 1e-7);
    assert_close(blank.items[2].mass, 7900 * wire, 0, 1e-12);
    assert_close(blank.items[3].mass, 1200 * (tube - bore), 0, 1e-12);
    assert_close(blank.items[4].mass, 0.25e-3, 0, 0); /* it takes nothing: the bore is empty */
    double mass = CORE * (half - wire / 2) + HEAVY * (half - wire / 2 - tube) + 7900 * wire +
                  1200 * (tube - bore) + 0.25e-3;
    assert_close(mass_of(&blank, &centre), mass, 0, 1e-7);
    double moment = mass * 50e-3 - 0.25e-3 * 5e-3; /* all but the ball are middled on 50 mm */
    assert_close(centre.x, moment / mass, 1e-9, 0);
    /* Half a disc has its middle 4 r/(3 pi) off. */
    double off = 4 * 10e-3 / (3 * M_PI), thin = 4 * 0.5e-3 / (3 * M_PI);
    moment = (CORE - HEAVY) * (half * off - wire / 2 * thin) + HEAVY * tube * 5e-3 -
             (1200 * (tube - bore) + 0.25e-3) * 5e-3;
    assert_close(centre.z, moment / mass, 1e-9, 0);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* A joint across a rod parts it exactly; across a ball it leaves caps, to 1 % of the ball. */
static void joints_part_what_lies_across(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 100e-3, 20e-3);
    BlyInset pieces[] = {
        layer(INFINITY, HEAVY),
        solid((BlyForm){BLY_FORM_ROD, {10e-3, 0, 4e-3}, {90e-3, 0, 4e-3}, 1e-3, 0}, 7900),
        solid(ball(31e-3, -4e-3, 3e-3, 0), 7900),
    };
    pieces[0].zone.x[1] = 30e-3;
    BlyBlank blank = glued(body, kit_facts(CORE), pieces, 3);
    double nose = M_PI * 1e-4 * 30e-3, in_nose = M_PI * 1e-6 * 20e-3;
    double h = 2e-3, cap = M_PI * h * h * (3 * 3e-3 - h) / 3, whole = 4.0 / 3 * M_PI * 27e-9;
    assert_close(bly_inset_own(&pieces[0], 1).volume, nose - in_nose - cap, 0.01 * whole, 0);
    assert_close(pieces[1].taken.volume, M_PI * 1e-6 * 60e-3, 0, 1e-12);
    assert_close(pieces[2].taken.volume, whole - cap, 0.01 * whole, 0);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* Eyes set into a box's flat sides and standing out: what stands out displaces, the rest takes. */
static void eyes_stand_out(void **state) {
    (void)state;
    const BlyStation stations[] = {{0, 20e-3, 20e-3, 0, 20}, {60e-3, 20e-3, 20e-3, 0, 20}};
    BlyBody *body = NULL;
    must(bly_body_from_stations(stations, 2, &body, err));
    double flat = bly_body_half_width(body, 15e-3, 2e-3), out = 1e-3, thick = 3e-3;
    BlyInset eyes = solid(
        (BlyForm){
            BLY_FORM_ROD, {15e-3, flat + out - thick, 2e-3}, {15e-3, flat + out, 2e-3}, 3e-3, 0},
        2500);
    eyes.form[1] = eyes.form[0];
    eyes.form[1].from.y *= -1;
    eyes.form[1].to.y *= -1;
    eyes.form_count = 2;
    eyes.stands_out = true;
    BlyBlank blank = glued(body, kit_facts(CORE), &eyes, 1);
    double face = M_PI * 9e-6;
    assert_close(eyes.taken.volume, 2 * face * (thick - out), 0, 1e-3);
    assert_close(blank.items[1].volume, 2 * face * out, 0, 2e-3);
    assert_close(blank.items[1].mass, 2500 * 2 * face * thick, 0, 1e-12);
    assert_close(blank.items[1].at.y, 0, 1e-15, 0);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* There and back: the scale that reads what the pieces and the core weigh gives the core back, at
 * every stage, and what a shank takes is of the wood that it goes into. */
static void weighed_whole(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * A, 2 * B, 2 * C);
    BlyInset belly = layer(-2e-3, HEAVY);
    BlyBlank known = glued(body, kit_facts(CORE), &belly, 1);
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, A, A);
    BlyPart eye = kit_eye();
    BlyChoice choice = bly_choice_empty(A);
    eye.length = 6e-3;
    choice.of[BLY_PART_EYE].part = &eye;
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count = kit_items(&known, &seat, &choice, items);
    const BlyItem *removed = kit_find(items, count, BLY_PART_EYE, BLY_ITEM_REMOVED);
    assert_close(removed->mass, -HEAVY * eye.shank_volume, 0, 1e-9);
    BlyRig rig = {&choice, 1};
    for (int stage = BLY_STAGE_BLANK; stage <= BLY_STAGE_EYED; stage++) {
        BlyBodyFacts facts = known.facts;
        facts.stage = (BlyStage)stage;
        facts.mass.value = known.body_mass;
        if (stage >= BLY_STAGE_CUT)
            facts.mass.value += removed->mass;
        if (stage >= BLY_STAGE_EYED)
            facts.mass.value += eye.mass.value;
        facts.density.value = NAN;
        BlyBlank again;
        must(bly_blank_make(body, &facts, NULL, 0, &seat, &rig, &again, err));
        assert_close(again.body_density, CORE, 0, 1e-9);
        assert_close(again.body_mass, known.body_mass, 0, 1e-12);
        bly_blank_release(&again);
    }
    bly_blank_release(&known);
    bly_body_free(body);
}

/* The knife edge is that of the whole blank, whatever the pieces weigh; that of the core is not. */
static void balance_of_all_and_of_the_core(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * A, 2 * B, 2 * C);
    BlyBodyFacts facts = kit_facts(CORE);
    BlyInset nose = layer(INFINITY, HEAVY);
    BlyVec3 centre;
    nose.zone.x[1] = 20e-3;
    facts.balance.value = 33e-3;
    facts.balance_up.value = -1e-3;
    facts.balance_of_all = facts.balance_up_of_all = true;
    BlyBlank blank = glued(body, facts, &nose, 1);
    (void)mass_of(&blank, &centre);
    assert_close(centre.x, 33e-3, 1e-12, 0);
    assert_close(centre.z, -1e-3, 1e-12, 0);
    bly_blank_release(&blank);
    facts.balance_of_all = facts.balance_up_of_all = false;
    blank = glued(body, facts, &nose, 1);
    double whole = bly_body_solid(body)->volume, mass = mass_of(&blank, &centre);
    double moment = CORE * whole * 33e-3 + (HEAVY - CORE) * nose.gross.volume * nose.gross.at.x;
    assert_close(centre.x, moment / mass, 1e-12, 0);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* A body larger than its shape has more of each layer, but no larger rattle. */
static void layers_grow_with_the_body(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * A, 2 * B, 2 * C);
    BlyBodyFacts facts = kit_facts(CORE);
    facts.volume_share.value = 1.1;
    double whole = bly_body_solid(body)->volume, hole = 4.0 / 3 * M_PI * 8e-9;
    BlyInset pieces[] = {layer(0, HEAVY), solid(ball(A, -4e-3, 2e-3, 0), 7900)};
    BlyBlank blank = glued(body, facts, pieces, 2);
    assert_close(blank.items[0].mass, CORE * 1.1 * whole / 2, 0, 1e-9);
    assert_close(blank.items[1].mass, HEAVY * (1.1 * whole / 2 - hole), 0, 1e-9);
    assert_close(blank.items[2].mass, 7900 * hole, 0, 1e-12);
    bly_blank_release(&blank);
    bly_body_free(body);
}

static void refused(const BlyBody *body, BlyInset *pieces, size_t count, BlyCode code,
                    const char *where, const char *text) {
    BlyError err = {0};
    assert_false(bly_insets_place(body, pieces, count, &err));
    assert_int_equal(err.code, code);
    assert_string_equal(err.where, where);
    if (!strstr(err.text, text))
        fail_msg("\"%s\" is not in \"%s\"", text, err.text);
}

static void what_cannot_be(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * A, 2 * B, 2 * C);
    BlyInset pieces[2] = {layer(-2e-3, HEAVY), layer(-4e-3, HEAVY)};
    refused(body, pieces, 2, BLY_E_CONFLICT, "/1", "overlaps \"belly\"");
    pieces[1] = layer(INFINITY, HEAVY);
    pieces[1].zone.x[1] = 10e-3; /* a nose cap across the belly */
    refused(body, pieces, 2, BLY_E_CONFLICT, "/1", "overlaps \"belly\"");
    pieces[0].zone.x[0] = 10e-3; /* ends where the cap begins */
    must(bly_insets_place(body, pieces, 2, err));
    pieces[0] = layer(-11e-3, HEAVY);
    refused(body, pieces, 1, BLY_E_RANGE, "/0", "nothing of the body");
    pieces[0] = solid(ball(A, 8e-3, 4e-3, 0), 7900);
    refused(body, pieces, 1, BLY_E_RANGE, "/0", "stands out of the body, most at x 40.");
    pieces[0] = solid(ball(A, 0, 4e-3, 0), 7900);
    pieces[1] = solid(ball(A + 5e-3, 0, 2e-3, 0), 7900);
    refused(body, pieces, 2, BLY_E_CONFLICT, "/1", "lies where \"ball\" already is");
    pieces[1] = solid(ball(A + 6e-3, 0, 2e-3, 0), 7900); /* they touch */
    must(bly_insets_place(body, pieces, 2, err));
    pieces[0] = layer(0, HEAVY);
    pieces[1] = layer(0, HEAVY);
    pieces[1].zone.z[0] = 0;
    pieces[1].zone.z[1] = INFINITY;
    refused(body, pieces, 2, BLY_E_CONFLICT, "", "fill the whole body");
    bly_body_free(body);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(halves_of_one_material_are_the_body),
        cmocka_unit_test(heavy_belly_of_an_ellipsoid),
        cmocka_unit_test(hollow_ball_within),
        cmocka_unit_test(sums_by_hand),
        cmocka_unit_test(joints_part_what_lies_across),
        cmocka_unit_test(eyes_stand_out),
        cmocka_unit_test(weighed_whole),
        cmocka_unit_test(balance_of_all_and_of_the_core),
        cmocka_unit_test(layers_grow_with_the_body),
        cmocka_unit_test(what_cannot_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
