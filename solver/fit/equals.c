/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts that would do as well: the same kind, within what a maker's scale shows, and fitting. */
#include "fit/problem.h"
#include "text/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { NAMED_A_PIECE = 4 };
static const double alike_kg = 1e-5;

static bool does_as_well(const Problem *p, size_t seat, const BlyChoice *choice, BlyPartKind kind,
                         const BlyPart *other) {
    const BlyPart *chosen = choice->piece[kind].part;
    if (other == chosen || other->kind != kind || !bly_limits_allow(&p->build->limits, other) ||
        !(fabs(other->mass.value - chosen->mass.value) <= alike_kg))
        return false;
    BlyChoice swapped = *choice;
    swapped.piece[kind] = (BlyPiece){other, {NAN, 0}};
    return bly_choice_fits(&p->build->seats[seat], &swapped, NULL);
}

static void name_equals(const Problem *p, size_t seat, const BlyChoice *choice, BlyPartKind kind,
                        BlyText *text) {
    int named = 0;
    for (size_t i = 0; i < p->catalog->part_count && named < NAMED_A_PIECE; i++) {
        const BlyPart *other = &p->catalog->parts[i];
        if (!does_as_well(p, seat, choice, kind, other))
            continue;
        if (named == 0)
            bly_text_appendf(text, "%s%s %s: ", text->length > 0 ? "; " : "",
                             p->build->seats[seat].name, bly_part_kind_name(kind));
        bly_text_appendf(text, "%s%s", named > 0 ? " or " : "", other->id);
        named++;
    }
}

bool rig_equals(const Problem *p, const BlyRig *rig, char **out, BlyError *err) {
    static const BlyPartKind kinds[] = {BLY_PART_EYE, BLY_PART_RING, BLY_PART_HOOK};
    BlyText text;
    bly_text_init(&text);
    *out = NULL;
    for (size_t i = 0; i < p->set_count; i++) {
        size_t seat = (size_t)p->sets[i].seat;
        unsigned open = problem_open(p->build, p->options, seat);
        for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
            if ((open & (1u << kinds[k])) && rig->at[seat].piece[kinds[k]].part != NULL)
                name_equals(p, seat, &rig->at[seat], kinds[k], &text);
        }
    }
    bool good = bly_text_good(&text, err);
    if (good)
        *out = bly_text_detach(&text);
    bly_text_release(&text);
    return good;
}
