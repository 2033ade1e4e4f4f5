/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bounds for parts of a programme, held against brute force over each part: no rig of a part is
 * better than its bound, and a part without a rig has an infinite one. Instances are made up; the
 * check is one way against another. */
#include "support/brute.h"
#include "support/check.h"
#include "support/riddle.h"

#include <math.h>
#include <string.h>

enum { KEYS = 3, COLUMNS_MOST = 8, GROUPS_MOST = 6 };

typedef struct Part {
    ProgGroup groups[GROUPS_MOST];
    ProgColumn columns[GROUPS_MOST][COLUMNS_MOST];
    bool empty;
} Part;

static void make_part(const Riddle *riddle, size_t keys[GROUPS_MOST][COLUMNS_MOST], size_t key,
                      Part *part) {
    part->empty = false;
    for (size_t g = 0; g < riddle->programme.group_count; g++) {
        size_t count = 0;
        for (size_t c = 0; c < riddle->groups[g].count; c++) {
            if (keys[g][c] == key || keys[g][c] == PROG_ANY_KEY)
                part->columns[g][count++] = riddle->groups[g].columns[c];
        }
        part->groups[g] = (ProgGroup){part->columns[g], count};
        part->empty = part->empty || count == 0;
    }
}

static void no_part_beats_its_bound(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 5, .columns = 7, .waters = 2, .plates = 1, .dead = 0.5};
    size_t parts = 0, empty = 0, near = 0;
    for (uint64_t seed = 1; seed <= 60; seed++) {
        Riddle riddle;
        Dice dice = {seed};
        size_t keys[GROUPS_MOST][COLUMNS_MOST];
        const size_t *by_group[GROUPS_MOST];
        double bounds[KEYS];
        riddle_make(&riddle, &shape, seed);
        for (size_t g = 0; g < riddle.programme.group_count; g++) {
            by_group[g] = keys[g];
            for (size_t c = 0; c < riddle.groups[g].count; c++)
                keys[g][c] = dice_below(&dice, 4) == 0 ? PROG_ANY_KEY : dice_below(&dice, KEYS);
        }
        assert_true(programme_bounds(&riddle.programme, by_group, KEYS, bounds, NULL));
        for (size_t k = 0; k < KEYS; k++) {
            static Part part;
            make_part(&riddle, keys, k, &part);
            assert_int_equal(part.empty, isinf(bounds[k]) && bounds[k] > 0);
            parts++;
            empty += part.empty;
            if (part.empty)
                continue;
            Programme small = riddle.programme;
            BruteRig best[1];
            small.groups = part.groups;
            if (brute_force(&small, 1, false, best) == 0)
                continue;
            assert_true(bounds[k] <= best[0].objective + 1e-7);
            near += bounds[k] > 0.5 * best[0].objective;
        }
        riddle_free(&riddle);
    }
    print_message("%zu parts, %zu without a column, %zu bounds above half of the best\n", parts,
                  empty, near);
    assert_true(parts - empty > 40 && empty > 5 && near > 20);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(no_part_beats_its_bound)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
