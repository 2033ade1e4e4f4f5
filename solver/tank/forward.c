/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The forward model: a build with its quantities moved, and the hull of the coat that it has then.
 */
#include "tank/forward.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

static const double as_thick = 1e-6; /* m: coats alike, a hundredth of what any gauge tells */

bool forward_begin(Forward *m, const BlyBuild *build, const BlyWaterFacts *tank,
                   const Quantities *quantities, BlyError *err) {
    *m = (Forward){.build = build,
                   .tank = tank,
                   .quantities = quantities,
                   .parameter_count = quantities->parameter_count};
    m->about = &build->blank;
    for (int i = 0; i < BLY_STAGES; i++) {
        m->rests.under_water[0][i] = m->rests.under_water[1][i] = NAN;
        m->rests.afloat[0][i].nose_down = m->rests.afloat[1][i].nose_down = NAN;
    }
    BlyBodyFacts plain = build->facts;
    plain.mass.value = NAN;
    plain.density.value = 1000.0;
    return moved_begin(build, &build->fitted, &m->moved, err) &&
           bly_rig_copy(&m->early_rig, &build->fitted, err) &&
           bly_blank_make(build->shape, &plain, NULL, 0, NULL, NULL, &m->bare, err) &&
           bly_water_at(build->water.temperature.value, build->water.salinity.value, &m->own_water,
                        err);
}

void forward_end(Forward *m) {
    for (size_t i = 0; i < m->hull_count; i++)
        bly_blank_release(&m->hull[i]);
    bly_blank_release(&m->bare);
    moved_end(&m->moved);
    bly_rig_release(&m->early_rig);
    *m = (Forward){0};
}

static void set_piece(BlyRig *rig, const Quantity *quantity, double value) {
    rig->at[quantity->index].of[quantity->part].weighed = (BlyFigure){value, 0.0};
}

static void set_one(Forward *m, const Quantity *quantity, double value, double *temperature,
                    double *salinity) {
    if (quantity->input == BLY_IN_TEMPERATURE) {
        *temperature = value;
    } else if (quantity->input == BLY_IN_SALINITY) {
        *salinity = value;
    } else if (quantity->kind == BLY_LEARN_PIECE) {
        set_piece(&m->moved.fitted, quantity, value);
        set_piece(&m->early_rig, quantity, value);
    } else {
        moved_set(&m->moved, quantity->input, quantity->index, value);
    }
}

bool forward_move(Forward *m, const double *z, BlyError *err) {
    double temperature = m->tank->temperature.value, salinity = m->tank->salinity.value;
    if (m->build->coat_count > 0) /* no quantity sets one without a give anew */
        m->moved.coats[m->build->coat_count - 1] = m->build->coats[m->build->coat_count - 1];
    for (size_t i = 0; i < m->quantities->count; i++) {
        const Quantity *quantity = &m->quantities->at[i];
        set_one(m, quantity, quantity_value(quantity, z), &temperature, &salinity);
    }
    if (m->build->coat_count > 0)
        m->moved.coats[m->build->coat_count - 1].thickness.value += m->more_coat;
    /* Strips and dots lie on the coat; before it they are not there. */
    for (size_t i = 0; i < m->build->seat_count; i++) {
        if (m->moved.seats[i].kind == BLY_SEAT_PATCH)
            m->early_rig.at[i] = bly_choice_empty(m->moved.seats[i].x_from);
    }
    return bly_water_at(temperature, salinity, &m->water, err);
}

/* A hull with as much coat as is called for: one met before, or a new one in the place of the
 * oldest. */
static bool hull_for(Forward *m, double thickness, BlyError *err) {
    BlyBlank fresh;
    BlyBodyFacts plain = m->moved.facts;
    plain.mass.value = NAN;
    plain.density.value = 1000.0;
    plain.inset_count = 0;
    for (size_t i = 0; i < m->hull_count; i++) {
        if (fabs(m->hull[i].coat_thickness - thickness) <= as_thick) {
            m->about = &m->hull[i];
            return true;
        }
    }
    if (!bly_blank_make(m->build->shape, &plain, m->moved.coats, m->build->coat_count, NULL, NULL,
                        &fresh, err))
        return false;
    if (m->about == &m->hull[m->hull_next]) /* in use */
        m->hull_next = (m->hull_next + 1) % HULLS;
    BlyBlank *place = &m->hull[m->hull_next];
    if (m->hull_count < HULLS)
        m->hull_count++;
    else
        bly_blank_release(place);
    m->hull_next = (m->hull_next + 1) % HULLS;
    *place = fresh;
    m->about = place;
    return true;
}

double forward_unsettled(Forward *m, const double *z) {
    if (!forward_move(m, z, NULL))
        return INFINITY;
    return fabs(stage_coat(m) - m->about->coat_thickness);
}

bool forward_settle(Forward *m, const double *z, BlyError *err) {
    if (!forward_move(m, z, err))
        return false;
    double thickness = stage_coat(m);
    memset(m->by_shape, 0, sizeof m->by_shape);
    if (fabs(thickness - m->build->blank.coat_thickness) > as_thick)
        return hull_for(m, thickness, err);
    m->about = &m->build->blank;
    return true;
}

static bool has_shape(const Probe *probe) {
    return probe->stage >= BLY_STAGE_COATED &&
           (probe->kind == BLY_READ_DRIFT || probe->kind == BLY_READ_TILT ||
            probe->kind == BLY_READ_TILT_AFLOAT || probe->kind == BLY_READ_SHOWS);
}

/* With a little more coat: by the stand-in, by a hull of its own, and what the two differ by. */
static bool compare_shapes(Forward *m, const double *z, const Probe *probes, size_t count,
                           double *stand_in, double *exact, BlyError *err) {
    static const double more = 2e-5, jump = 0.1; /* m; rad or so, of another attitude */
    const BlyBlank *about = m->about;
    double shape[2][BLY_STAGES][BLY_READ_KINDS] = {{{0.0}}};
    m->more_coat = more;
    bool good = forward_try(m, z, LOOK_NEAR, probes, count, stand_in, err) &&
                forward_settle(m, z, err) &&
                forward_try(m, z, LOOK_NEAR, probes, count, exact, err);
    m->more_coat = 0.0;
    m->about = about;
    for (size_t i = 0; good && i < count; i++) {
        double off = probe_difference(&probes[i], exact[i], stand_in[i]);
        if (has_shape(&probes[i]) && fabs(off) < jump)
            shape[probes[i].in_tank][probes[i].stage][probes[i].kind] = off / more;
    }
    memcpy(m->by_shape, shape, sizeof shape);
    return good;
}

bool forward_settle_for(Forward *m, const double *z, const Probe *probes, size_t count,
                        BlyError *err) {
    bool any = false;
    for (size_t i = 0; i < count; i++)
        any = any || has_shape(&probes[i]);
    if (!forward_settle(m, z, err))
        return false;
    if (!any || m->build->coat_count == 0)
        return true;
    double *said = calloc(2 * count, sizeof *said);
    bool good = said != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the readings");
    good = good && forward_try(m, z, LOOK_AFRESH, probes, count, said, err) &&
           compare_shapes(m, z, probes, count, said, said + count, err);
    free(said);
    return good;
}
