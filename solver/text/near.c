/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "text/near.h"

#include <string.h>

static int least(int a, int b) {
    return a < b ? a : b;
}

int bly_edit_distance(const char *a, const char *b) {
    size_t n = strlen(a), m = strlen(b);
    if (n >= BLY_NEAR_MAX || m >= BLY_NEAR_MAX)
        return BLY_NEAR_MAX;
    int row[3][BLY_NEAR_MAX]; /* the last two rows of the table and the one being filled */
    int *before = row[0], *above = row[1], *now = row[2];
    for (size_t j = 0; j <= m; j++)
        above[j] = (int)j;
    for (size_t i = 1; i <= n; i++) {
        now[0] = (int)i;
        for (size_t j = 1; j <= m; j++) {
            int change = above[j - 1] + (a[i - 1] != b[j - 1]);
            now[j] = least(change, 1 + least(above[j], now[j - 1]));
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                now[j] = least(now[j], before[j - 2] + 1);
        }
        int *oldest = before;
        before = above;
        above = now;
        now = oldest;
    }
    return above[m];
}

const char *bly_near(const char *word, const char *const *known, size_t count) {
    size_t letters = strlen(word);
    int allowed = letters < 4 ? 1 : least(3, (int)(letters + 2) / 3);
    if (letters >= 4 && allowed < 2)
        allowed = 2;
    const char *best = NULL;
    int best_distance = allowed + 1;
    for (size_t i = 0; i < count; i++) {
        int distance = bly_edit_distance(word, known[i]);
        if (distance < best_distance && distance < (int)letters) {
            best = known[i];
            best_distance = distance;
        }
    }
    return best;
}
