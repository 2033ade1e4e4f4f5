/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of kinds, origins and forms as they stand in files, hook sizes, and default tolerances. */
#include "ballastry/parts.h"

#include <stdio.h>
#include <string.h>

static const char *const kind_names[BLY_PART_KINDS] = {
    [BLY_PART_EYE] = "eye",     [BLY_PART_RING] = "ring",   [BLY_PART_HOOK] = "hook",
    [BLY_PART_SNAP] = "snap",   [BLY_PART_SHEET] = "sheet", [BLY_PART_OUTLINE] = "outline",
    [BLY_PART_STRIP] = "strip", [BLY_PART_DOT] = "dot",     [BLY_PART_WIRE] = "wire",
};

static const char *const origin_names[BLY_ORIGINS] = {
    [BLY_FROM_MEASURED] = "measured", [BLY_FROM_PUBLISHED] = "published",
    [BLY_FROM_MODEL] = "model",       [BLY_FROM_PRACTICE] = "practice",
    [BLY_FROM_MEMORY] = "memory",
};

static const char *const form_names[BLY_OUTLINE_FORMS] = {
    [BLY_OUTLINE_SQUARE] = "square", [BLY_OUTLINE_TONGUE] = "tongue",
    [BLY_OUTLINE_FLARED] = "flared", [BLY_OUTLINE_ROUND] = "round",
    [BLY_OUTLINE_DRAWN] = "drawn",
};

static int find_name(const char *const names[], int count, const char *name) {
    for (int i = 0; name != NULL && i < count; i++) {
        if (strcmp(names[i], name) == 0)
            return i;
    }
    return -1;
}

const char *bly_part_kind_name(BlyPartKind kind) {
    return (unsigned)kind < BLY_PART_KINDS ? kind_names[kind] : "";
}

bool bly_part_kind_read(const char *name, BlyPartKind *out) {
    int i = find_name(kind_names, BLY_PART_KINDS, name);
    if (i < 0)
        return false;
    *out = (BlyPartKind)i;
    return true;
}

const char *bly_origin_name(BlyOrigin origin) {
    return (unsigned)origin < BLY_ORIGINS ? origin_names[origin] : "";
}

bool bly_origin_read(const char *name, BlyOrigin *out) {
    int i = find_name(origin_names, BLY_ORIGINS, name);
    if (i < 0)
        return false;
    *out = (BlyOrigin)i;
    return true;
}

const char *bly_outline_form_name(BlyOutlineForm form) {
    return (unsigned)form < BLY_OUTLINE_FORMS ? form_names[form] : "";
}

bool bly_outline_form_read(const char *name, BlyOutlineForm *out) {
    int i = find_name(form_names, BLY_OUTLINE_FORMS, name);
    if (i < 0)
        return false;
    *out = (BlyOutlineForm)i;
    return true;
}

/* Shares of the mass; of the thickness for sheets and strips. Reasons: docs/parts.md. */
static const double give_share[BLY_ORIGINS][BLY_PART_KINDS] = {
    /*                     eye   ring  hook  snap  sheet outl. strip dot   wire */
    [BLY_FROM_MEASURED] = {0.05, 0.05, 0.05, 0.05, 0.02, 0.00, 0.05, 0.05, 0.02},
    [BLY_FROM_PUBLISHED] = {0.10, 0.10, 0.10, 0.10, 0.05, 0.00, 0.10, 0.10, 0.04},
    [BLY_FROM_MODEL] = {0.12, 0.15, 0.15, 0.20, 0.05, 0.00, 0.10, 0.10, 0.04},
    [BLY_FROM_PRACTICE] = {0.20, 0.20, 0.25, 0.25, 0.10, 0.00, 0.15, 0.15, 0.10},
    [BLY_FROM_MEMORY] = {0.30, 0.30, 0.30, 0.30, 0.10, 0.00, 0.20, 0.20, 0.10},
};

double bly_origin_give(BlyOrigin origin, BlyPartKind kind) {
    if ((unsigned)origin >= BLY_ORIGINS || (unsigned)kind >= BLY_PART_KINDS)
        return 0;
    return give_share[origin][kind];
}

/* Rank 1 is size 24, rank 24 is size 1, rank 25 is 1/0, rank 34 is 10/0. */
enum { RANK_OF_ONE = 24, LARGEST_AUGHT = 10 };

int bly_hook_rank(const char *size) {
    if (size == NULL || size[0] < '1' || size[0] > '9')
        return 0;
    int number = 0;
    for (; *size >= '0' && *size <= '9'; size++) {
        number = 10 * number + (*size - '0');
        if (number > RANK_OF_ONE)
            return 0;
    }
    if (*size == '\0')
        return RANK_OF_ONE + 1 - number;
    return strcmp(size, "/0") == 0 && number <= LARGEST_AUGHT ? RANK_OF_ONE + number : 0;
}

void bly_hook_size(int rank, char out[8]) {
    out[0] = '\0';
    if (rank >= 1 && rank <= RANK_OF_ONE)
        (void)snprintf(out, 8, "%d", RANK_OF_ONE + 1 - rank);
    else if (rank > RANK_OF_ONE && rank <= RANK_OF_ONE + LARGEST_AUGHT)
        (void)snprintf(out, 8, "%d/0", rank - RANK_OF_ONE);
}

bool bly_words_alike(const char *a, const char *b) {
    return strcmp(a != NULL ? a : "", b != NULL ? b : "") == 0;
}
