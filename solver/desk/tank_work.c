/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/tank.h"

bool tank_work(const BlyBuild *build, TankWork *w, BlyError *err) {
    return bly_tank_learn(build, w->readings, w->count, &w->water, &w->result, err) &&
           bly_tank_forecast(build, &w->water, &w->result, &w->before, &w->after, err) &&
           bly_build_slips(build, &build->fitted, &w->slips, err);
}

void tank_work_release(TankWork *w) {
    bly_tank_release(&w->result);
    bly_slips_release(&w->slips);
}

TankReport tank_report(const BlyBuild *build, const TankWork *w, const char *file, bool anyway) {
    return (TankReport){build,     w->readings, &w->water, &w->result, &w->before,
                        &w->after, &w->slips,   file,      anyway};
}

bool tank_refused(const TankWork *w, bool anyway) {
    return w->result.contradiction && !anyway;
}
