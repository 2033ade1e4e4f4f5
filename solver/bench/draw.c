/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lure as it lies, as points for the page to join: mm, x to the right from the nose's side, y
 * down. Afloat y = 0 is the water's surface. Heel is not drawn: the view is of the upright side. */
#include "bench/route.h"
#include "report/report.h"

#include <math.h>

enum { OUTLINE_POINTS = 60 };

typedef struct Lie {
    double cosine, sine, level; /* level: m, what y counts from */
} Lie;

static Lie lie_of(const BlyOutcome *outcome) {
    double t = outcome->has_surface ? outcome->surface.nose_down : outcome->nose_down;
    if (!isfinite(t))
        t = 0;
    return (Lie){cos(t), sin(t), outcome->has_surface ? outcome->surface.plane_height : 0};
}

static cJSON *point(const Lie *lie, double x, double z) {
    double at[2] = {(x * lie->cosine - z * lie->sine) * 1e3,
                    (lie->level - x * lie->sine - z * lie->cosine) * 1e3};
    return cJSON_CreateDoubleArray(at, 2);
}

static bool put_item(cJSON *list, cJSON *at) {
    if (at != NULL && cJSON_AddItemToArray(list, at))
        return true;
    cJSON_Delete(at);
    return false;
}

/* Back line from nose to tail, belly line back to the nose. */
static cJSON *outline(const BlyBody *hull, const Lie *lie) {
    cJSON *list = cJSON_CreateArray();
    BlyBox box = bly_body_box(hull);
    bool good = list != NULL;
    for (int i = 0; good && i <= 2 * OUTLINE_POINTS + 1; i++) {
        bool back = i <= OUTLINE_POINTS;
        double share = (double)(back ? i : 2 * OUTLINE_POINTS + 1 - i) / OUTLINE_POINTS;
        share = (1 - cos(share * acos(-1))) / 2; /* close together at the round ends */
        double x = box.low.x + (box.high.x - box.low.x) * share;
        BlySection section;
        if (bly_body_section(hull, x, &section))
            good = put_item(list, point(lie, x, back ? section.back : section.belly));
    }
    if (good)
        return list;
    cJSON_Delete(list);
    return NULL;
}

static const char *item_kind(const BlyItem *item) {
    return item->part != NULL ? bly_part_kind_name(item->part->kind) : "";
}

/* From where to where an item is seen; what hangs hangs straight down. */
static cJSON *stroke(const BlyItem *item, const Lie *lie) {
    cJSON *list = cJSON_CreateArray();
    if (list == NULL)
        return NULL;
    bool good = put_item(list, point(lie, item->from.x, item->from.z)) &&
                put_item(list, point(lie, item->to.x, item->to.z));
    if (good && item->hangs) {
        const double ends[2] = {item->hang_from, item->hang_to};
        for (int i = 0; i < 2; i++) {
            cJSON *y = cJSON_GetArrayItem(cJSON_GetArrayItem(list, i), 1);
            (void)cJSON_SetNumberHelper(y, y->valuedouble + ends[i] * 1e3);
        }
    }
    if (good)
        return list;
    cJSON_Delete(list);
    return NULL;
}

static cJSON *piece(const BlyBuild *build, const BlyItem *item, const Lie *lie) {
    cJSON *o = cJSON_CreateObject();
    if (o != NULL && put_text(o, "seat", build->seats[item->seat].name) &&
        put_text(o, "kind", item_kind(item)) && put_tree(o, "line", stroke(item, lie)))
        return o;
    cJSON_Delete(o);
    return NULL;
}

static cJSON *pieces(const BlyBuild *build, const BlyLure *lure, const Lie *lie) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (size_t i = 0; good && i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (item->kind == BLY_ITEM_PART && item->seat >= 0)
            good = put_item(list, piece(build, item, lie));
    }
    if (good)
        return list;
    cJSON_Delete(list);
    return NULL;
}

static cJSON *seat_marks(const BlyBuild *build, const BlyRig *rig, const Lie *lie) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    for (size_t i = 0; good && i < build->seat_count; i++) {
        BlyVec3 p = bly_seat_surface(&build->blank, &build->seats[i], rig->at[i].x);
        if (isfinite(p.x) && isfinite(p.z))
            good = put_tree(o, build->seats[i].name, point(lie, p.x, p.z));
    }
    if (good)
        return o;
    cJSON_Delete(o);
    return NULL;
}

cJSON *draw_lure(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                 const BlyOutcome *outcome) {
    Lie lie = lie_of(outcome);
    cJSON *o = cJSON_CreateObject();
    if (o != NULL && put_bool(o, "afloat", outcome->has_surface) &&
        put_tree(o, "outline", outline(build->blank.hull, &lie)) &&
        put_tree(o, "seats", seat_marks(build, rig, &lie)) &&
        put_tree(o, "pieces", pieces(build, lure, &lie)))
        return o;
    cJSON_Delete(o);
    return NULL;
}
