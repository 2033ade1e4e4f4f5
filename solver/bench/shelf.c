/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What there is to choose from: parts, materials, bodies to begin with. */
#include "bench/route.h"
#include "desk/starters.h"
#include "report/report.h"

#include <stdlib.h>

static bool add(cJSON *list, const char *kind, const char *id, const char *name) {
    cJSON *o = cJSON_CreateObject();
    if (o == NULL || !cJSON_AddItemToArray(list, o)) {
        cJSON_Delete(o);
        return false;
    }
    return put_text(o, "id", id) && put_text(o, "name", name) &&
           (kind == NULL || put_text(o, "kind", kind));
}

cJSON *route_catalog(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)in, (void)status, (void)err;
    const BlyCatalog *catalog = &bench->catalog;
    cJSON *o = cJSON_CreateObject();
    cJSON *parts = o != NULL ? cJSON_AddArrayToObject(o, "parts") : NULL;
    cJSON *materials = parts != NULL ? cJSON_AddArrayToObject(o, "materials") : NULL;
    bool good = materials != NULL;
    for (size_t i = 0; good && i < catalog->part_count; i++) {
        const BlyPart *part = &catalog->parts[i];
        good = add(parts, bly_part_kind_name(part->kind), part->id, part->name);
    }
    for (size_t i = 0; good && i < catalog->material_count; i++)
        good = add(materials, NULL, catalog->materials[i].id, catalog->materials[i].name);
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
