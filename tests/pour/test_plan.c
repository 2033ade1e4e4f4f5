/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Filler, embedded pieces, allowance: conservation, round trips, and the trade's own figures. */
#include "support/check.h"
#include "pour/bench.h"

static BlyPourPlan plan(const BlyPour *pour) {
    BlyPourPlan out = {0};
    BlyError err = {0};
    if (!bly_pour_plan(pour, &out, &err))
        fail_msg("%s: %s", err.where, err.text);
    return out;
}

/* Common practice, no source: a 240 ml mould filled to 60 % takes 96 ml of resin. */
static void mould_of_240_ml_takes_96_ml(void **state) {
    (void)state;
    BlyPour pour = packed_pour(240, 30, 0.60);
    BlyPourPlan p = plan(&pour);
    assert_close(p.a.volume + p.b.volume, 96 * ML, 1e-15, 0);
    assert_close(p.a.mass + p.b.mass, 0.096 * 1.05, 1e-12, 0);
    assert_close(p.filler.volume, 144 * ML, 1e-15, 0);
}

/* Trade figure (worked there from true densities): resin 1.05 and filler 0.20 to 0.70 takes 41 %
 * by volume, only 12 % by mass. */
static void share_by_volume_is_not_share_by_mass(void **state) {
    (void)state;
    BlyPour pour = packed_pour(100, 200, NAN);
    pour.filler.stirred = true;
    pour.filler.target = 700;
    BlyPourPlan p = plan(&pour);
    assert_close(p.share_by_volume, 0.41, 0.005, 0);
    assert_close(p.share_by_mass, 0.12, 0.005, 0);
    assert_close(p.density.value, 700, 0, 1e-12);
    assert_close(p.share_by_volume, bly_mix_share(1050, 200, 700), 1e-12, 0);
    assert_true(p.notes & BLY_POUR_THICK);
}

/* What is weighed out is what the blank and the leavings weigh; the volumes fill the mould. */
static void blank_and_leavings_weigh_what_was_weighed_out(void **state) {
    (void)state;
    const BlyEmbedded pieces[] = {{sure(0.004), sure(5 * ML)}, {sure(0.009), sure(3 * ML)}};
    for (int i = 0; i < 8; i++) {
        BlyPour pour = packed_pour(60, 180, 0.3 + 0.04 * i);
        pour.filler.stirred = i & 1;
        pour.mould.pieces = pieces;
        pour.mould.piece_count = 2;
        pour.mould.pieces_inside = i & 2;
        pour.resin.shrinkage = sure(0.02);
        if (i & 4)
            pour.bench.allowance_share = 0.15;
        else
            pour.bench.allowance_volume = 7 * ML;
        BlyPourPlan p = plan(&pour);
        assert_close(p.a.mass + p.b.mass + p.filler.mass + 0.013, p.mass.value + p.left_over, 0,
                     1e-12);
        assert_close(p.blank_volume - p.free_volume, 8 * ML, 1e-15, 0);
        assert_close(p.free_volume, (i & 2 ? 60 : 52) * ML, 1e-15, 0);
        assert_close(p.mass.value / p.blank_volume, p.density.value, 0, 1e-12);
        /* Filler and cured resin of the blank fill what is free, with nothing between. */
        double filler = p.share_by_volume * p.free_volume;
        double resin = (1 - p.share_by_volume) * p.free_volume;
        assert_close(filler * 180 + resin * p.cured_density + 0.013, p.mass.value, 0, 1e-12);
        assert_true(p.left_over > 0);
    }
}

/* Density to filler to density, by each way of telling the amount. */
static void every_way_of_telling_the_filler_gives_the_same_blank(void **state) {
    (void)state;
    BlyPour pour = packed_pour(45, 210, 0.58);
    BlyPourPlan by_share = plan(&pour);
    BlyPour mass = packed_pour(45, 210, NAN);
    mass.filler.mass = sure(by_share.filler.mass);
    BlyPour aim = packed_pour(45, 210, NAN);
    aim.filler.target = by_share.density.value;
    BlyPour gap = packed_pour(45, 210, NAN);
    gap.filler.water_temperature = 15;
    gap.filler.gap_water = sure(0.42 * 45 * ML * 999.1026); /* Tanaka 2001, Table 1, 15 C */
    BlyPour cup = gap;                                      /* the same filler in a cup of 100 ml */
    cup.filler.gap_vessel = sure(100 * ML);
    cup.filler.gap_water = sure(0.42 * 100 * ML * 999.1026);
    BlyPour room = gap; /* nothing said of the water: that of a room, 20 C */
    room.filler.water_temperature = NAN;
    room.filler.gap_water = sure(0.42 * 45 * ML * 998.2067); /* Tanaka 2001, Table 1, 20 C */
    const BlyPour *others[] = {&mass, &aim, &gap, &cup, &room};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        BlyPourPlan p = plan(others[i]);
        assert_close(p.share_by_volume, 0.58, 1e-7, 0);
        assert_close(p.density.value, by_share.density.value, 0, 1e-7);
        assert_close(p.filler.mass, by_share.filler.mass, 0, 2e-7);
        assert_close(p.a.mass, by_share.a.mass, 0, 2e-7);
    }
}

/* A target for the whole blank is met with embedded pieces and allowance, dry or stirred. */
static void targets_are_met_with_pieces_in(void **state) {
    (void)state;
    const BlyEmbedded burl = {sure(0.011), sure(14 * ML)};
    for (int stirred = 0; stirred < 2; stirred++) {
        BlyPour pour = packed_pour(52, 150, NAN);
        pour.mould.pieces = &burl;
        pour.mould.piece_count = 1;
        pour.filler.stirred = stirred;
        pour.filler.target = 780;
        pour.bench.allowance_share = 0.2;
        BlyPourPlan p = plan(&pour);
        assert_close(p.density.value, 780, 0, 1e-12);
        assert_close(p.mass.value, 780 * 52 * ML, 0, 1e-12);
        /* The allowance of a stirred mix takes its filler too, that of a dry fill none. */
        double in_blank = p.share_by_volume * p.free_volume * 150;
        assert_close(p.filler.mass, in_blank * (stirred ? 1.2 : 1.0), 0, 1e-12);
    }
}

/* Water at 20 C is 998.2067 kg/m3 (Tanaka 2001, Table 1): a rise of 25 g is 25.0449 ml. */
static void water_rise_becomes_volume(void **state) {
    (void)state;
    double v = 0;
    assert_true(bly_pour_water_volume(0.025, 20, &v, NULL));
    assert_close(v, 0.025 / 998.2067, 0, 1e-7);
}

/* Archimedes: lift is displaced liquid less own mass, 144 ml of 0.03 in 1.05 g/cm3. */
static void light_filler_must_be_held_down(void **state) {
    (void)state;
    BlyPour pour = packed_pour(240, 30, 0.60);
    BlyPourPlan p = plan(&pour);
    assert_close(p.filler_lift, 0.144 * (1.05 - 0.03), 1e-12, 0);
    assert_true(p.notes & BLY_POUR_FLOATS);
    pour.filler.density = sure(1300);
    p = plan(&pour);
    assert_close(p.filler_lift, 0.144 * (1.05 - 1.30), 1e-12, 0);
    assert_true(p.notes & BLY_POUR_SETTLES);
    assert_false(p.notes & BLY_POUR_FLOATS);
}

/* A cork floats, a washer does not, and the washer does not hold the cork. */
static void pieces_lift_one_by_one(void **state) {
    (void)state;
    const BlyEmbedded pieces[] = {{sure(0.001), sure(5 * ML)}, {sure(0.0315), sure(4 * ML)}};
    BlyPour pour = plain_pour(60);
    pour.mould.pieces = pieces;
    pour.mould.piece_count = 2;
    BlyPourPlan p = plan(&pour);
    assert_close(p.pieces_lift, 0.005 * 1.05 - 0.001, 1e-12, 0);
    assert_true(p.notes & BLY_POUR_PIECES_FLOAT);
    pour.filler = packed_pour(60, 200, 0.5).filler; /* in a stirred, lighter mix it lifts less */
    pour.filler.stirred = true;
    assert_close(plan(&pour).pieces_lift, 0.005 * (1.05 + 0.20) / 2 - 0.001, 1e-12, 0);
}

/* Trade figure: a scooped volume is 1.6 times the true one at a packed share of 0.62. */
static void scoops_hold_more_gap_than_one_thinks(void **state) {
    (void)state;
    BlyPour pour = packed_pour(100, 200, 0.30);
    pour.filler.stirred = true;
    BlyPourPlan p = plan(&pour);
    assert_close(p.filler_scoop / p.filler.volume, 1.6, 0.05, 0);
    assert_true(p.notes & BLY_POUR_SCOOP_GUESSED);
    pour.filler.poured = sure(0.5);
    p = plan(&pour);
    assert_close(p.filler_scoop, 60 * ML, 1e-15, 0);
    assert_false(p.notes & BLY_POUR_SCOOP_GUESSED);
    pour = packed_pour(100, 200, 0.58); /* dry in the mould: the scoop is the mould */
    p = plan(&pour);
    assert_close(p.filler_scoop, 100 * ML, 1e-15, 0);
    assert_false(p.notes & BLY_POUR_SCOOP_GUESSED);
}

static void notes_come_when_due_and_speak(void **state) {
    (void)state;
    const unsigned always =
        BLY_POUR_DATA_SHEET | BLY_POUR_POT_LIFE | BLY_POUR_SKIN | BLY_POUR_VAPOUR | BLY_POUR_DUST;
    BlyPour pour = plain_pour(90);
    assert_int_equal(plan(&pour).notes, always | BLY_POUR_SMALL); /* 94.5 g */
    pour.mould.volume = sure(100 * ML);                           /* 105 g */
    assert_int_equal(plan(&pour).notes, always | BLY_POUR_HEAT);
    pour.resin.kind = BLY_RESIN_URETHANE;
    assert_true(plan(&pour).notes & BLY_POUR_MOISTURE);
    pour.resin.cured_density = sure(1000);
    assert_true(plan(&pour).notes & BLY_POUR_LIGHTER_CURED);
    pour = packed_pour(100, 200, 0.50); /* published: balls pour no looser than 0.55 */
    assert_true(plan(&pour).notes & BLY_POUR_LOOSE);
    pour.filler.packed = sure(0.60);
    assert_false(plan(&pour).notes & (BLY_POUR_LOOSE | BLY_POUR_TOO_FULL | BLY_POUR_THICK));
    pour.filler.packed = sure(0.66); /* published: balls pack no closer than 0.64 */
    assert_true(plan(&pour).notes & BLY_POUR_TOO_FULL);
    pour.filler.packed = sure(NAN);
    pour.filler.gap_water = sure(0.040);
    assert_true(plan(&pour).notes & BLY_POUR_DRY);
    for (int i = 0; i < BLY_POUR_NOTE_COUNT; i++)
        assert_true(strlen(bly_pour_note_words((BlyPourNote)(1 << i))) > 20);
    for (int i = 0; i < BLY_POUR_INPUTS; i++)
        assert_true(strlen(bly_pour_input_words((BlyPourInput)i)) > 8);
    assert_string_equal(bly_pour_note_words((BlyPourNote)(1 << BLY_POUR_NOTE_COUNT)), "");
    assert_string_equal(bly_pour_input_words(BLY_POUR_INPUTS), "");
}

/* The lightest mix there is: filler as close as balls pack. */
static void lightest_density_is_that_of_the_closest_heap(void **state) {
    (void)state;
    BlyPour pour = packed_pour(100, 200, 0.30);
    double lightest = plan(&pour).lightest_density;
    pour.filler.packed = sure(BLY_POUR_FULLEST);
    assert_close(plan(&pour).mix_density, lightest, 0, 1e-12);
    pour = plain_pour(100);
    assert_true(isnan(plan(&pour).lightest_density));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mould_of_240_ml_takes_96_ml),
        cmocka_unit_test(share_by_volume_is_not_share_by_mass),
        cmocka_unit_test(blank_and_leavings_weigh_what_was_weighed_out),
        cmocka_unit_test(every_way_of_telling_the_filler_gives_the_same_blank),
        cmocka_unit_test(targets_are_met_with_pieces_in),
        cmocka_unit_test(water_rise_becomes_volume),
        cmocka_unit_test(light_filler_must_be_held_down),
        cmocka_unit_test(pieces_lift_one_by_one),
        cmocka_unit_test(scoops_hold_more_gap_than_one_thinks),
        cmocka_unit_test(notes_come_when_due_and_speak),
        cmocka_unit_test(lightest_density_is_that_of_the_closest_heap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
