/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of how a lure is held in roll: one truth, whatever the words' place. The lures are
 * made up, their outcomes are the full physics; what is checked is that no two phrases beside each
 * other contradict. */
#include "lure/kit.h"
#include "report/report.h"

#include "ballastry/rest.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>

typedef struct Made {
    double density, up, ahead; /* kg/m3; m, of the centre of mass off the middle */
    double height;             /* m, of a body 20 mm wide */
} Made;

static BlyOutcome outcome_of(const Made *made) {
    BlyBody *body = kit_ellipsoid(0, 80e-3, 20e-3, made->height);
    BlyBodyFacts facts = kit_facts(made->density);
    facts.balance.value = 40e-3 - made->ahead;
    facts.balance_up.value = made->up;
    BlyBlank blank = kit_blank(body, &facts);
    BlyRig none = {0};
    BlyLure lure;
    BlyWater water;
    BlyOutcome out;
    must(bly_lure_make(&blank, NULL, &none, &lure, err));
    must(bly_water_at(12, 0, &water, err));
    must(bly_rest(&lure, &water, &out, err));
    bly_lure_release(&lure);
    bly_blank_release(&blank);
    bly_body_free(body);
    return out;
}

static char *said_of(const BlyOutcome *outcome) {
    char *text = NULL;
    size_t size = 0;
    Report report = {open_memstream(&text, &size), BLY_METRIC};
    assert_non_null(report.out);
    text_outcome(&report, outcome);
    (void)fclose(report.out);
    return text;
}

/* Each pair contradicts, wherever in one result it stands. */
static const char *const contradict[][2] = {
    {" 0.0 mm (falls on its side", ""},
    {" 0.0 mm (rights itself", ""},
    {" 0.0 mm (under water it falls on its side", ""},
    {" 0.0 mm (under water it rights itself", ""},
    {" 0.0 mm (stays upright", ""},
    {"falls on its side", "turns freely"},
    {"rights itself", "as high as its buoyancy"},
    {"falls on its side", "as high as its buoyancy"},
    {"rights itself", "it rolls over"},
    {"rights itself", "rests on its back"},
    {"nothing keeps it upright", "it rolls over"},
    {"nothing keeps it upright", "rests on its back"},
    {"(stays upright)", "rolls over by"},
    {"(stays upright)", "may roll over"},
    {"turns freely", "rolls over by"},
    {"turns freely", "may roll over"},
};

static void assert_one_truth(const char *text) {
    for (size_t i = 0; i < sizeof contradict / sizeof contradict[0]; i++) {
        if (strstr(text, contradict[i][0]) && strstr(text, contradict[i][1]))
            fail_msg("\"%s\" beside \"%s\":\n%s", contradict[i][0], contradict[i][1], text);
    }
}

static bool says(const char *text, const char *phrase) {
    return strstr(text, phrase) != NULL;
}

/* Floating high and low, suspending, sinking; centre of mass below, in and above the middle, by a
 * hair and by much; round, flat and tall. */
static void no_two_truths(void **state) {
    (void)state;
    static const double density[] = {200, 600, 900, 985, 999.4, 1010, 1300};
    static const double up[] = {-2e-3, -2e-4, -6e-5, -3e-5, -1e-6, 0, 1e-6, 3e-5, 6e-5, 2e-4, 2e-3};
    static const double ahead[] = {0, 1e-7, 1e-4, 4e-3};
    static const double height[] = {20e-3, 12e-3, 30e-3};
    int free_of = 0, neither = 0, rights = 0, lies = 0;
    for (size_t d = 0; d < 7; d++) {
        for (size_t u = 0; u < 11; u++) {
            for (size_t a = 0; a < 4; a++) {
                for (size_t h = 0; h < 3; h++) {
                    BlyOutcome out = outcome_of(&(Made){density[d], up[u], ahead[a], height[h]});
                    char *text = said_of(&out);
                    assert_one_truth(text);
                    free_of += says(text, "turns freely");
                    neither += says(text, "nothing keeps it upright");
                    rights += says(text, "rights itself");
                    lies += says(text, "falls on its side");
                    free(text);
                }
            }
        }
    }
    assert_true(free_of > 5 && neither > 50 && rights > 100 && lies > 100);
}

/* A round body of one material, no hardware: nothing keeps it upright under water, free at the
 * surface. */
static void round_body_turns_freely(void **state) {
    (void)state;
    BlyOutcome out = outcome_of(&(Made){600, 0, 0, 20e-3});
    char *text = said_of(&out);
    assert_true(says(text, "(under water nothing keeps it upright)"));
    assert_true(says(text, "(turns freely)"));
    assert_false(says(text, "falls on its side") || says(text, "rights itself"));
    free(text);
    out = outcome_of(&(Made){1200, 0, 0, 20e-3});
    text = said_of(&out);
    assert_true(says(text, "(nothing keeps it upright)"));
    free(text);
}

/* The edge lies where the arm is told: 0.05 mm, the last that reads 0.0. */
static void the_edge(void **state) {
    (void)state;
    static const struct {
        double up;
        unsigned notes;
        const char *words;
    } cases[] = {{-45e-6, BLY_NOTE_ROLL_NEUTRAL, "(nothing keeps it upright)"},
                 {-55e-6, 0, "0.1 mm (rights itself)"},
                 {45e-6, BLY_NOTE_ROLL_NEUTRAL, "(nothing keeps it upright)"},
                 {55e-6, BLY_NOTE_UPSIDE_DOWN, "-0.1 mm (falls on its side)"}};
    for (size_t i = 0; i < 4; i++) {
        BlyOutcome out = outcome_of(&(Made){1200, cases[i].up, 0, 20e-3});
        char *text = said_of(&out);
        unsigned roll = BLY_NOTE_ROLL_NEUTRAL | BLY_NOTE_UPSIDE_DOWN;
        if (!says(text, cases[i].words) || (out.notes & roll) != cases[i].notes)
            fail_msg("not \"%s\", notes %x:\n%s", cases[i].words, out.notes & roll, text);
        free(text);
    }
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_two_truths),
        cmocka_unit_test(round_body_turns_freely),
        cmocka_unit_test(the_edge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
