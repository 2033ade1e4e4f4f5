/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lure as it is on the bench at one stage of the work. */
#include "tank/forward.h"

#include <math.h>

double stage_coat(const Forward *m) {
    double thickness = 0.0;
    for (size_t i = 0; i < m->build->coat_count; i++)
        thickness += m->moved.coats[i].thickness.value;
    return thickness;
}

static bool finished_blank(Forward *m, BlyBlank *out, BlyError *err) {
    return bly_blank_about(m->about, &m->moved.facts, m->moved.coats, m->build->coat_count,
                           m->moved.seats, &m->moved.fitted, out, err);
}

/* Before the coat: the same body, of the density that the scale's figure comes to, bare. */
static bool early_blank(Forward *m, BlyBlank *out, BlyError *err) {
    BlyBlank finished;
    if (!finished_blank(m, &finished, err))
        return false;
    BlyBodyFacts facts = m->moved.facts;
    facts.mass.value = NAN;
    facts.density.value = finished.body_density;
    bly_blank_release(&finished);
    return bly_blank_about(&m->bare, &facts, NULL, 0, NULL, NULL, out, err);
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

bool stage_make(Forward *m, const Probe *probe, StageLure *out, BlyError *err) {
    bool early = probe->stage < BLY_STAGE_COATED;
    *out = (StageLure){.made_for = early ? 0.0 : m->about->coat_thickness};
    if (!(early ? early_blank(m, &out->blank, err) : finished_blank(m, &out->blank, err)))
        return false;
    if (!bly_lure_make(&out->blank, m->moved.seats, early ? &m->early_rig : &m->moved.fitted,
                       &out->lure, err)) {
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
