/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lure as it is on the bench at one stage of the work. */
#include "tank/model.h"

#include <math.h>

/* A hull with as much coat as is called for: one met before, or a new one in the place of the
 * oldest. NULL without memory, or when the coats are refused: then the caller's own try says why.
 */
static const BlyBlank *hull_for(Model *m, double thickness) {
    const BlyBlank *built = &m->build->blank;
    if (built->coat_thickness == thickness)
        return built;
    for (size_t i = 0; i < m->hull_count; i++) {
        if (m->hull[i].coat_thickness == thickness)
            return &m->hull[i];
    }
    BlyBlank fresh;
    BlyBodyFacts plain = m->facts;
    plain.mass.value = NAN;
    plain.density.value = 1000.0;
    if (!bly_blank_make(m->build->shape, &plain, m->coats, m->build->coat_count, NULL, NULL, &fresh,
                        NULL))
        return NULL;
    BlyBlank *place = &m->hull[m->hull_next];
    if (m->hull_count < HULLS)
        m->hull_count++;
    else
        bly_blank_release(place);
    m->hull_next = (m->hull_next + 1) % HULLS;
    *place = fresh;
    return place;
}

static bool finished_blank(Model *m, BlyBlank *out, BlyError *err) {
    double thickness = 0.0;
    for (size_t i = 0; i < m->build->coat_count; i++)
        thickness += m->coats[i].thickness.value;
    return bly_blank_like(hull_for(m, thickness), m->build->shape, &m->facts, m->coats,
                          m->build->coat_count, m->seats, &m->rig, out, err);
}

/* Before the coat: the same body, of the density that the scale's figure comes to, bare. */
static bool early_blank(Model *m, BlyBlank *out, BlyError *err) {
    BlyBlank finished;
    if (!finished_blank(m, &finished, err))
        return false;
    BlyBodyFacts facts = m->facts;
    facts.mass.value = NAN;
    facts.density.value = finished.body_density;
    bly_blank_release(&finished);
    return bly_blank_like(&m->bare, m->build->shape, &facts, NULL, 0, NULL, NULL, out, err);
}

/* Keeps what is on by then. Nothing fills what has been cut out as yet, so the water does: what is
 * taken out no longer displaces it. Water taken up is in the lure at every stage. */
static void strip_down(BlyLure *lure, const Probe *probe) {
    size_t kept = 0;
    for (size_t i = 0; i < lure->count; i++) {
        BlyItem item = lure->items[i];
        bool leader = item.kind == BLY_ITEM_LOAD;
        bool on = leader ? !probe->in_tank
                         : item.kind == BLY_ITEM_SOAK || bly_item_stage(&item) <= probe->stage;
        if (!on)
            continue;
        if (item.kind == BLY_ITEM_REMOVED && probe->stage == BLY_STAGE_CUT)
            item.volume = -item.taken;
        lure->items[kept++] = item;
    }
    lure->count = kept;
}

bool stage_make(Model *m, const Probe *probe, StageLure *out, BlyError *err) {
    bool early = probe->stage < BLY_STAGE_COATED;
    *out = (StageLure){0};
    if (!(early ? early_blank(m, &out->blank, err) : finished_blank(m, &out->blank, err)))
        return false;
    if (!bly_lure_make(&out->blank, m->seats, early ? &m->early_rig : &m->rig, &out->lure, err)) {
        bly_blank_release(&out->blank);
        return false;
    }
    strip_down(&out->lure, probe);
    return true;
}

void stage_release(StageLure *stage) {
    bly_lure_release(&stage->lure);
    bly_blank_release(&stage->blank);
}
