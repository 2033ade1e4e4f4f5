/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two readings of the craft: the practice room's verdicts on random rigs, good and bad, against a
 * judge written from the words of the craft with its own numbers (support/maker.c; makers' pages
 * and common practice, as docs/practice.md says of each rule). Where the words leave a border open,
 * either verdict will do; how often that is, is counted too. */
#include "support/battery.h"
#include "support/check.h"
#include "support/maker.h"
#include "support/dice.h"
#include "ballastry/catalog.h"
#include "ballastry/practice.h"

enum { TRIES = 80 };

static BlyCatalog catalog;

static int load(void **state) {
    (void)state;
    BlyError err = {0};
    return bly_catalog_shipped(&catalog, &err) ? 0 : -1;
}

static int unload(void **state) {
    (void)state;
    bly_catalog_release(&catalog);
    return 0;
}

static bool chance(Dice *dice, double share) {
    return dice_between(dice, 0, 1) < share;
}

static void put(Dice *dice, BlyChoice *choice, BlyPartKind kind) {
    size_t first = 0, count = 0;
    for (size_t i = 0; i < catalog.part_count; i++)
        if (catalog.parts[i].kind == kind && count++ == 0)
            first = i;
    choice->of[kind].part = &catalog.parts[first + dice_below(dice, count)];
}

static BlyChoice draw_choice(Dice *dice, const BlySeat *seat) {
    BlyChoice choice = bly_choice_empty(seat->x_to > seat->x_from
                                            ? dice_stepped(dice, seat->x_from, seat->x_to, 1e-3)
                                            : seat->x_from);
    choice.x = fmin(fmax(choice.x, seat->x_from), seat->x_to);
    switch (seat->kind) {
    case BLY_SEAT_TIE:
    case BLY_SEAT_HANGER:
        put(dice, &choice, BLY_PART_EYE);
        if (seat->kind == BLY_SEAT_TIE) {
            if (chance(dice, 0.1))
                put(dice, &choice, BLY_PART_SNAP);
            break;
        }
        put(dice, &choice, BLY_PART_HOOK);
        if (chance(dice, 0.95))
            put(dice, &choice, BLY_PART_RING);
        if (chance(dice, 0.06)) {
            put(dice, &choice, BLY_PART_WIRE);
            choice.count = 1 + (int)dice_below(dice, 4);
        }
        break;
    case BLY_SEAT_SLOT:
        put(dice, &choice, BLY_PART_SHEET);
        put(dice, &choice, BLY_PART_OUTLINE);
        choice.length = dice_stepped(dice, choice.of[BLY_PART_OUTLINE].part->length_least,
                                     choice.of[BLY_PART_OUTLINE].part->length_most, 1e-3);
        break;
    default:
        if (chance(dice, 0.5)) {
            put(dice, &choice, BLY_PART_STRIP);
            choice.length = dice_stepped(dice, 3e-3, seat->x_to - choice.x, 1e-3);
            choice.count = 1 + (int)dice_below(dice, 3);
        } else if (chance(dice, 0.3)) {
            put(dice, &choice, BLY_PART_DOT);
            choice.count = 1 + (int)dice_below(dice, 5);
        }
    }
    return choice;
}

/* Something that goes together, or nothing after many tries. */
static BlyChoice draw_seat(Dice *dice, const BlySeat *seat) {
    for (int i = 0; i < TRIES; i++) {
        BlyChoice choice = draw_choice(dice, seat);
        if (bly_choice_is_empty(&choice) || bly_choice_fits(seat, &choice, NULL))
            return choice;
    }
    return bly_choice_empty(seat->x_from);
}

static int faults_of(const MakerVerdict *verdict) {
    int faults = 0;
    for (int i = 0; i < BLY_RULES; i++)
        faults += verdict->of[i] == MAKER_BROKEN ? 1 : 0;
    return faults;
}

/* As the seat before it has them, where both are hangers: makers hang alike. */
static BlyChoice copy_seat(const BlyBuild *build, const BlyRig *rig, size_t seat, Dice *dice) {
    size_t from = dice_below(dice, rig->count);
    BlyChoice choice = rig->at[seat];
    if (build->seats[from].kind > BLY_SEAT_HANGER || build->seats[seat].kind > BLY_SEAT_HANGER)
        return draw_seat(dice, &build->seats[seat]);
    choice.of[BLY_PART_EYE] = rig->at[from].of[BLY_PART_EYE];
    if (build->seats[from].kind == build->seats[seat].kind) {
        choice.of[BLY_PART_RING] = rig->at[from].of[BLY_PART_RING];
        choice.of[BLY_PART_HOOK] = rig->at[from].of[BLY_PART_HOOK];
    }
    return bly_choice_fits(&build->seats[seat], &choice, NULL) ? choice : rig->at[seat];
}

/* Random, then so many seats drawn anew, kept where the craft is broken no more than before: from
 * rigs that nobody would make to rigs that one would. */
static void draw_rig(Dice *dice, const BlyBuild *build, BlyRig *rig) {
    for (size_t i = 0; i < rig->count; i++)
        rig->at[i] = draw_seat(dice, &build->seats[i]);
    size_t steps = dice_below(dice, 400);
    MakerVerdict verdict = maker_judge(build, rig, &catalog);
    int faults = faults_of(&verdict);
    for (size_t i = 0; i < steps; i++) {
        size_t seat = dice_below(dice, rig->count);
        BlyChoice before = rig->at[seat];
        rig->at[seat] = chance(dice, 0.5) ? copy_seat(build, rig, seat, dice)
                                          : draw_seat(dice, &build->seats[seat]);
        verdict = maker_judge(build, rig, &catalog);
        if (faults_of(&verdict) > faults && !chance(dice, 0.01))
            rig->at[seat] = before;
        else
            faults = faults_of(&verdict);
    }
}

typedef struct Tally {
    int kept, broken, open, against;
} Tally;

/* Of targets, of order among equals, or of hollow bodies, which these are not. */
static bool is_left_out(int rule) {
    return rule == BLY_RULE_HOOK_SHARE || rule == BLY_RULE_KINDS || rule == BLY_RULE_ATTITUDE ||
           rule == BLY_RULE_EYE_SOLID;
}

static void tell_rig(const BlyBuild *build, const BlyRig *rig) {
    for (size_t i = 0; i < rig->count; i++) {
        print_message("    %s x %.0f:", build->seats[i].name, rig->at[i].x * 1e3);
        for (int k = 0; k < BLY_PART_KINDS; k++)
            if (rig->at[i].of[k].part != NULL)
                print_message(" %s", rig->at[i].of[k].part->id);
        print_message(" length %.0f count %d\n", rig->at[i].length * 1e3, rig->at[i].count);
    }
}

static void compare(const BlyBuild *build, const BlyRig *rig, Tally *tally) {
    BlyBreaches breaches = {0};
    BlyError err = {0};
    assert_true(bly_practice_judge(build, rig, &breaches, &err));
    MakerVerdict verdict = maker_judge(build, rig, &catalog);
    for (int rule = 0; rule < BLY_RULES; rule++) {
        const char *said = NULL;
        for (size_t i = 0; i < breaches.count; i++)
            if ((int)breaches.at[i].rule == rule)
                said = breaches.at[i].text;
        Tally *t = &tally[rule];
        MakerWord word = verdict.of[rule];
        if (is_left_out(rule))
            continue;
        if (word == MAKER_OPEN) {
            t->open++;
            continue;
        }
        t->kept += word == MAKER_KEPT ? 1 : 0;
        t->broken += word == MAKER_BROKEN ? 1 : 0;
        if ((said != NULL) == (word == MAKER_BROKEN))
            continue;
        if (t->against++ < (getenv("MAKER_SAYS") != NULL ? 8 : 2)) {
            print_message("%s: %s: the room says %s\n", build->name, bly_rule_id((BlyRuleId)rule),
                          said != NULL ? said : "nothing");
            tell_rig(build, rig);
            for (size_t i = 0; i < breaches.count; i++)
                print_message("    room: %s at %s: %s\n", bly_rule_id(breaches.at[i].rule),
                              breaches.at[i].seat >= 0 ? build->seats[breaches.at[i].seat].name
                                                       : "-",
                              breaches.at[i].text);
        }
    }
    bly_breaches_release(&breaches);
}

static void both_readings_agree(void **state) {
    (void)state;
    Tally tally[BLY_RULES] = {{0, 0, 0, 0}};
    Dice dice = {20270401};
    int rigs = 0, rigs_wanted = repeats(500, 100);
    for (size_t n = 0; rigs < rigs_wanted; n = (n + 1) % battery_count) {
        BatteryBuild made;
        BlyBuild *build = NULL;
        BlyError err = {0};
        assert_true(battery_make(n, &catalog, &made, &err));
        bool plain = strcmp(made.kind, "starter in craft limits") != 0;
        if (plain && !battery_read(&made, &catalog, &build, &err))
            fail_msg("%s: %s %s", made.name, err.where, err.text);
        for (int k = 0; plain && k < 5 && rigs < rigs_wanted; k++, rigs++) {
            BlyRig rig = {0};
            assert_true(bly_rig_init(&rig, build->seat_count, &err));
            draw_rig(&dice, build, &rig);
            compare(build, &rig, tally);
            bly_rig_release(&rig);
        }
        bly_build_free(build);
        battery_free(&made);
    }
    int against = 0, open = 0, said = 0;
    for (int rule = 0; rule < BLY_RULES; rule++) {
        if (is_left_out(rule))
            continue;
        const Tally *t = &tally[rule];
        print_message("%-14s kept %3d broken %3d open %3d against %d\n",
                      bly_rule_id((BlyRuleId)rule), t->kept, t->broken, t->open, t->against);
        against += t->against;
        open += t->open;
        said += t->kept + t->broken;
    }
    print_message("%d verdicts, %d open, %d against\n", said, open, against);
    assert_int_equal(against, 0);
    assert_true(said >= 2 * open);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(both_readings_agree)};
    return cmocka_run_group_tests(tests, load, unload);
}
