/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawings byte for byte. What they show is fixed here by hand, so that they change when the
 * drawing changes and not when the physics does. `make golden` writes them anew: look at them then.
 */
#include "sheet/kit.h"

#include <stdio.h>

static BlyCatalog catalog;
static BlyBuild *build;
static BlySheetFacts facts;

static BlyOutcome fixed_outcome(const BlyOutcome *worked_out) {
    BlyOutcome o = *worked_out;
    o.state = BLY_SUSPENDS;
    o.sums.net_weight = 2e-6;
    o.sums.gravity = bly_vec(0.0372, 0, -0.0031);
    o.sums.buoyancy = bly_vec(0.0380, 0, -0.0004);
    o.roll_arm = 0.0027;
    o.nose_down = 0.17;
    o.drift = 0.004;
    o.has_surface = false;
    o.notes = BLY_NOTE_EXPANSION_MEMORY;
    return o;
}

static void fix_spread(BlySpread *spread) {
    spread->input_count = 2;
    spread->inputs[0] = (BlyInput){.kind = BLY_IN_BODY_MASS, .id = "", .seat = -1};
    spread->inputs[1] = (BlyInput){.kind = BLY_IN_PIECE_MASS, .id = "treble", .seat = 1};
    spread->matters = BLY_Q_DRIFT;
    spread->order[0] = 1;
    spread->order[1] = 0;
    spread->share[BLY_Q_DRIFT][0] = 0.2;
    spread->share[BLY_Q_DRIFT][1] = 0.8;
    spread->chance = 0.42;
    for (size_t w = 0; w < spread->water_count; w++) {
        double k = (double)w;
        BlyRange *range = spread->water[w].range;
        range[BLY_Q_NET_WEIGHT] = (BlyRange){.nominal = 2e-6, .low = -3e-5, .high = 4e-5};
        range[BLY_Q_DRIFT] =
            (BlyRange){.nominal = 0.004 + 0.003 * k, .low = -0.01, .high = 0.03 - 0.004 * k};
        range[BLY_Q_NOSE_DOWN] = (BlyRange){.nominal = 0.17, .low = 0.05 + 0.01 * k, .high = 0.3};
        range[BLY_Q_SHOWS] = (BlyRange){.nominal = NAN, .low = NAN, .high = NAN};
    }
}

static void fix_curves(void) {
    for (int i = 0; i < BLY_SHEET_POINTS; i++) {
        double share = (double)i / (BLY_SHEET_POINTS - 1), place = 2 * share - 1;
        facts.temperature[i] = 30 * share;
        facts.net_weight[i] = 1e-5 * (4 * (share - 0.15) * (share - 0.15) - 0.2);
        facts.suspend_low[i] = -8e-6;
        facts.suspend_high[i] = 8e-6;
        facts.weight[i] = 1e-4 * place * fabs(place);
        facts.speed[i] = 0.05 * place;
    }
}

static void fix_towed(BlyTowed *towed) {
    BlyTowAt *at = &towed->at[0];
    *towed = (BlyTowed){.count = 1, .line = bly_tow_line_usual(), .draws = 200};
    at->run = (BlyTowRun){.state = BLY_TOW_DIVES, .speed = 1, .nose_down = 0.2, .rise = 0.4};
    at->share[BLY_TOW_DIVES] = 0.97;
    at->share[BLY_TOW_ON_TOP] = 0.03;
    at->depth = (BlyTowRange){.nominal = 1.6, .said_low = 1.1, .said_high = 2.2};
    at->run.line = (BlyTowCurve){.depth = 1.6, .wet = 15, .tension = 0.3, .count = 9};
    for (int i = 0; i < 9; i++) {
        at->run.line.ahead[i] = 1.8 * i;
        at->run.line.below[i] = 0.025 * (8 - i) * (8 - i);
    }
}

static void fix_facts(void) {
    facts.outcome = fixed_outcome(&facts.outcome);
    for (size_t i = 0; i < facts.target_count; i++)
        facts.target[i] = fixed_outcome(&facts.target[i]);
    for (int s = 0; s < BLY_STEPS; s++)
        facts.ladder[s] = (BlyRung){.adds = 1e-3, .reads = 6e-3 + 1e-3 * s, .give = 1e-5 * (s + 1)};
    for (size_t s = 0; s < build->seat_count; s++)
        facts.influence[s] = (BlyInfluence){.seat = (int)s,
                                            .net_weight = 8.8e-5,
                                            .nose_down = 0.03 - 0.01 * (double)s,
                                            .drift = 0.01};
    for (size_t i = 0; i < facts.spread_count; i++)
        fix_spread(&facts.spread[i]);
    fix_curves();
    assert_non_null(facts.towed);
    fix_towed(facts.towed);
}

static void write_golden(const char *path, const BlySheetPage *page) {
    BlyError err = {0};
    if (!bly_file_write(path, page->svg, page->size, BLY_KEEP_NOTHING, &err))
        fail_msg("%s: %s", path, err.text);
}

/* Says where the first difference is, for the whole would drown it. */
static void compare_golden(const char *path, const BlySheetPage *page) {
    char *text;
    size_t size, at = 0;
    BlyError err = {0};
    if (!bly_file_read(path, 1 << 22, &text, &size, &err))
        fail_msg("%s: %s (make golden writes it)", path, err.text);
    while (at < size && at < page->size && text[at] == page->svg[at])
        at++;
    if (at < size || at < page->size)
        fail_msg("%s differs from byte %zu on: wanted \"%.60s\", drawn \"%.60s\"", path, at,
                 text + at, page->svg + at);
    free(text);
}

static void check_view(BlySheetView view, BlyPaper paper) {
    BlySheetOrder order = {.view = view, .paper = paper};
    BlySheet sheet = {0};
    BlyError err = {0};
    assert_true(bly_sheet_draw(&facts, NULL, &order, &sheet, &err));
    for (size_t i = 0; i < sheet.count; i++) {
        char path[128];
        (void)snprintf(path, sizeof path, "tests/sheet/golden/%s-%zu.svg", sheet_view_name(view),
                       i + 1);
        if (getenv("GOLDEN") != NULL)
            write_golden(path, &sheet.pages[i]);
        else
            compare_golden(path, &sheet.pages[i]);
    }
    bly_sheet_release(&sheet);
}

static void every_view_is_drawn_as_before(void **state) {
    (void)state;
    for (int view = 0; view < BLY_SHEET_VIEWS; view++)
        check_view((BlySheetView)view, BLY_PAPER_A4);
}

static int set_up(void **state) {
    (void)state;
    kit_catalog(&catalog, false);
    build = kit_build("tests/sheet/builds/full.json", &catalog);
    kit_gather(build, &catalog, &facts);
    fix_facts();
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    bly_sheet_facts_release(&facts);
    bly_build_free(build);
    bly_catalog_release(&catalog);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_view_is_drawn_as_before),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
