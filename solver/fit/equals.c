/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts that would do as well: the same kind, within what a maker's scale shows, and fitting. */
#include "fit/problem.h"
#include "text/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { NAMED_A_PIECE = 4 };
static const double alike_kg = 1e-5;

/* With all that is on the other seats. */
static bool keeps_craft(const Problem *p, size_t seat, const BlyChoice *swapped, BlyPartKind kind,
                        const BlyRig *rig) {
    const Craft *craft = &p->craft;
    if (craft->rules == NULL)
        return true;
    if (craft_choice(craft, (int)seat, swapped, 1u << kind) != 0)
        return false;
    for (size_t s = 0; s < rig->count; s++) {
        if (s != seat &&
            candidates_break(craft, (int)seat, 1u << kind, swapped, (int)s, 0, &rig->at[s]) != 0)
            return false;
    }
    return true;
}

static bool does_as_well(const Problem *p, size_t seat, const BlyRig *rig, BlyPartKind kind,
                         const BlyPart *other) {
    const BlyChoice *choice = &rig->at[seat];
    const BlyPart *chosen = choice->of[kind].part;
    if (other == chosen || !(fabs(other->mass.value - chosen->mass.value) <= alike_kg))
        return false;
    BlyChoice swapped = *choice;
    swapped.of[kind] = (BlyChosenPart){other, {NAN, 0}};
    return bly_choice_fits(&p->build->seats[seat], &swapped, NULL) &&
           keeps_craft(p, seat, &swapped, kind, rig);
}

/* Among what all the limits leave, "only" too. */
static bool name_equals(const Problem *p, size_t seat, const BlyRig *rig, BlyPartKind kind,
                        BlyText *text, BlyError *err) {
    const BlyPart **parts;
    size_t count;
    int named = 0;
    if (!bly_limits_parts(&p->build->limits, p->catalog, kind, &parts, &count, err))
        return false;
    for (size_t i = 0; i < count && named < NAMED_A_PIECE; i++) {
        const BlyPart *other = parts[i];
        if (!does_as_well(p, seat, rig, kind, other) || !box_holds(&p->box, p->build, rig, other))
            continue;
        if (named == 0)
            bly_text_appendf(text, "%s%s %s: ", text->length > 0 ? "; " : "",
                             p->build->seats[seat].name, bly_part_kind_name(kind));
        bly_text_appendf(text, "%s%s", named > 0 ? " or " : "", other->id);
        named++;
    }
    free(parts);
    return true;
}

bool rig_equals(const Problem *p, const BlyRig *rig, char **out, BlyError *err) {
    static const BlyPartKind kinds[] = {BLY_PART_EYE, BLY_PART_RING, BLY_PART_HOOK};
    BlyText text;
    bool good = true;
    bly_text_init(&text);
    *out = NULL;
    for (size_t i = 0; good && i < p->set_count; i++) {
        size_t seat = (size_t)p->sets[i].seat;
        unsigned open = problem_open(p->build, seat);
        for (size_t k = 0; good && k < sizeof kinds / sizeof kinds[0]; k++) {
            if ((open & (1u << kinds[k])) && rig->at[seat].of[kinds[k]].part != NULL)
                good = name_equals(p, seat, rig, kinds[k], &text, err);
        }
    }
    good = good && bly_text_good(&text, err);
    if (good)
        *out = bly_text_detach(&text);
    bly_text_release(&text);
    return good;
}
