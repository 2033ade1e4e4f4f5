/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What there is to choose from: parts, materials, bodies to begin with. */
#include "bench/route.h"
#include "desk/desk.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A new object of the list with its id and name. NULL without memory. */
static cJSON *add(cJSON *list, const char *id, const char *name) {
    cJSON *o = cJSON_CreateObject();
    return put_last(list, o) && put_text(o, "id", id) && put_text(o, "name", name) ? o : NULL;
}

/* What a maker chooses by; null where a part of this kind has no such figure. */
static bool add_part(cJSON *list, const BlyPart *part) {
    cJSON *o = add(list, part->id, part->name);
    bool piece = part->kind != BLY_PART_WIRE; /* of wire the mass is that of a metre */
    return o != NULL && put_text(o, "kind", bly_part_kind_name(part->kind)) &&
           put_text(o, "material", part->material) &&
           put_number(o, "mass_g", piece ? part->mass.value * 1e3 : NAN) &&
           put_number(o, "thickness_mm", part->thickness * 1e3) &&
           put_number(o, "width_mm", part->width * 1e3) && put_bool(o, "lead", part->lead);
}

cJSON *route_catalog(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)in, (void)status, (void)err;
    const BlyCatalog *catalog = bench->catalog;
    cJSON *o = cJSON_CreateObject();
    cJSON *parts = o != NULL ? cJSON_AddArrayToObject(o, "parts") : NULL;
    cJSON *materials = parts != NULL ? cJSON_AddArrayToObject(o, "materials") : NULL;
    bool good = materials != NULL;
    for (size_t i = 0; good && i < catalog->part_count; i++)
        good = add_part(parts, &catalog->parts[i]);
    for (size_t i = 0; good && i < catalog->material_count; i++)
        good = add(materials, catalog->materials[i].id, catalog->materials[i].name) != NULL;
    return json_finished(
        o, good && put_text(o, "units", bench->system == BLY_INCH ? "inch" : "metric"));
}

/* ---- what a seat takes ---- */

/* Null, or why the part cannot be mounted with what else is on the seat. */
static bool add_verdict(cJSON *o, const BlyBuild *build, const BlyCatalog *catalog,
                        const char *seat, const char *kind, const BlyPart *part, BlyError *err) {
    BlyRig rig = {0};
    BlyError why = {0};
    bool good = bly_rig_copy(&rig, &build->fitted, err);
    int at = good ? bly_build_seat(build, seat) : -1;
    if (at >= 0 && (!bly_build_swap(build, catalog, &rig, seat, kind, part->id, &why) ||
                    !bly_choice_fits(&build->seats[at], &rig.at[at], &why)))
        good = put_text(o, part->id, why.text);
    bly_rig_release(&rig);
    return good;
}

/* Ids of the kind that cannot be mounted on the seat, each with why. */
cJSON *route_mountable(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    const char *seat, *kind;
    BlyBuild *build;
    if (!route_text(in, "seat", &seat, err) || !route_text(in, "kind", &kind, err) ||
        !route_build(bench, in, &build, err))
        return NULL;
    if (bly_build_seat(build, seat) < 0) {
        (void)bly_fail(err, BLY_E_UNKNOWN, "/seat", "the build has no seat \"%.100s\"", seat);
        bly_build_free(build);
        return NULL;
    }
    const BlyCatalog *catalog = bench->catalog;
    cJSON *o = cJSON_CreateObject(), *list = o != NULL ? cJSON_AddObjectToObject(o, "not") : NULL;
    bool good = list != NULL;
    for (size_t i = 0; good && i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        if (strcmp(bly_part_kind_name(part->kind), kind) == 0)
            good = add_verdict(list, build, catalog, seat, kind, part, err);
    }
    bly_build_free(build);
    return json_finished(o, good);
}

static bool add_body(cJSON *list, const Starter *starter, BlyError *err) {
    char *text = NULL;
    cJSON *o = add(list, starter->id, starter->name);
    bool good = o != NULL && starter_text(starter, starter->name, &text, err) &&
                put_text(o, "about", starter->about) && put_text(o, "build", text);
    free(text);
    return good;
}

cJSON *route_bodies(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)bench, (void)in, (void)status;
    cJSON *o = cJSON_CreateObject();
    cJSON *bodies = o != NULL ? cJSON_AddArrayToObject(o, "bodies") : NULL;
    bool good = bodies != NULL;
    for (size_t i = 0; good && i < starter_count; i++)
        good = add_body(bodies, &starters[i], err);
    return json_finished(o, good);
}
