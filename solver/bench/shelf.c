/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What there is to choose from: parts, materials, bodies to begin with. */
#include "bench/route.h"
#include "desk/starters.h"
#include "report/report.h"

#include <math.h>
#include <stdlib.h>

/* A new object of the list with its id and name. NULL without memory. */
static cJSON *add(cJSON *list, const char *id, const char *name) {
    cJSON *o = cJSON_CreateObject();
    if (o == NULL || !cJSON_AddItemToArray(list, o)) {
        cJSON_Delete(o);
        return NULL;
    }
    return put_text(o, "id", id) && put_text(o, "name", name) ? o : NULL;
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
    const BlyCatalog *catalog = &bench->catalog;
    cJSON *o = cJSON_CreateObject();
    cJSON *parts = o != NULL ? cJSON_AddArrayToObject(o, "parts") : NULL;
    cJSON *materials = parts != NULL ? cJSON_AddArrayToObject(o, "materials") : NULL;
    bool good = materials != NULL;
    for (size_t i = 0; good && i < catalog->part_count; i++)
        good = add_part(parts, &catalog->parts[i]);
    for (size_t i = 0; good && i < catalog->material_count; i++)
        good = add(materials, catalog->materials[i].id, catalog->materials[i].name) != NULL;
    if (good && put_text(o, "units", bench->system == BLY_INCH ? "inch" : "metric"))
        return o;
    cJSON_Delete(o);
    return NULL;
}

static bool add_body(cJSON *list, const Starter *starter, BlyError *err) {
    char *text = NULL;
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && starter_text(starter, starter->name, &text, err) &&
                put_text(o, "id", starter->id) && put_text(o, "name", starter->name) &&
                put_text(o, "about", starter->about) && put_text(o, "build", text) &&
                cJSON_AddItemToArray(list, o);
    if (!good)
        cJSON_Delete(o);
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
    if (good)
        return o;
    cJSON_Delete(o);
    return NULL;
}
