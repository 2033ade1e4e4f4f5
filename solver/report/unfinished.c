/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to type where seats are still open and empty. */
#include "ballastry/tank.h"
#include "report/result.h"

/* What hangs on the real lure is written down by swap, one part after the other. */
static void swap_line(const Report *r, const BlyBuild *build, const char *file) {
    (void)fprintf(r->out, "    ballastry swap %s", file);
    for (size_t i = 0; i < build->seat_count; i++) {
        const char *seat = build->seats[i].name;
        const BlyChoice *choice = &build->fitted.at[i];
        BlyPartKind part = bly_tank_lacks(build, i);
        if (part == BLY_PART_KINDS)
            continue;
        if (part == BLY_PART_HOOK && !choice->of[BLY_PART_EYE].part)
            (void)fprintf(r->out, " --at %s.eye=ID", seat);
        if (part == BLY_PART_SHEET && !choice->of[BLY_PART_OUTLINE].part)
            (void)fprintf(r->out, " --at %s.outline=ID", seat);
        (void)fprintf(r->out, " --at %s.%s=ID", seat, bly_part_kind_name(part));
    }
    (void)fprintf(r->out, " --write NEW.json\n");
}

void text_finish_first(const Report *r, const BlyBuild *build, const char *file,
                       const char *command) {
    (void)fprintf(r->out,
                  "  are they on? say which (ballastry catalog lists ids), then `%s` on "
                  "NEW.json:\n",
                  command);
    swap_line(r, build, file);
    if (build->has_target)
        (void)fprintf(r->out, "  to have them chosen:\n    ballastry fit %s --write NEW.json\n",
                      file);
}
