/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rig back into the text of its build. Only what changed is written anew: seats whose choice is
 * as it was keep the very words that the maker typed. */
#include "ballastry/build.h"
#include "build/fitted.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static bool same_number(double a, double b) {
    return a == b || (isnan(a) && isnan(b));
}

static bool same_piece(const BlyChosenPart *a, const BlyChosenPart *b) {
    if (a->part == NULL || b->part == NULL)
        return a->part == b->part;
    return strcmp(a->part->id, b->part->id) == 0 &&
           same_number(a->weighed.value, b->weighed.value) &&
           (isnan(a->weighed.value) || a->weighed.give == b->weighed.give);
}

static bool same_choice(const BlyChoice *a, const BlyChoice *b) {
    for (int i = 0; i < BLY_PART_KINDS; i++) {
        if (!same_piece(&a->of[i], &b->of[i]))
            return false;
    }
    if (bly_choice_is_empty(a))
        return true;
    return a->x == b->x && a->length == b->length && same_number(a->thickness, b->thickness) &&
           a->filed == b->filed && a->count == b->count;
}

static bool put(cJSON *object, const char *key, cJSON *value) {
    if (value != NULL && cJSON_AddItemToObject(object, key, value))
        return true;
    cJSON_Delete(value);
    return false;
}

/* Sums of round figures are off by some 1e-17 m, which nobody writes down. */
static const double hair_m = 1e-9, share_of_give = 1e-3, give_of_give = 5e-3;

static bool put_quantity(cJSON *object, const char *key, double si, double within,
                         BlyDimension dim) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_within(si, within, dim, BLY_METRIC, text);
    return put(object, key, cJSON_CreateString(text));
}

static bool put_length(cJSON *object, const char *key, double si) {
    return put_quantity(object, key, si, hair_m, BLY_DIM_LENGTH);
}

static bool put_piece(cJSON *object, const char *key, const BlyChosenPart *piece) {
    if (isnan(piece->weighed.value))
        return put(object, key, cJSON_CreateString(piece->part->id));
    double within = share_of_give * piece->weighed.give;
    cJSON *wide = cJSON_CreateObject();
    if (wide == NULL || !put(wide, "part", cJSON_CreateString(piece->part->id)) ||
        !put_quantity(wide, "mass", piece->weighed.value, within, BLY_DIM_MASS) ||
        !put_quantity(wide, "give", piece->weighed.give, give_of_give * piece->weighed.give,
                      BLY_DIM_MASS)) {
        cJSON_Delete(wide);
        return false;
    }
    return put(object, key, wide);
}

/* The measures that go with a kind of part, right behind it. */
static bool put_measures(cJSON *object, const BlyChoice *choice, BlyPartKind kind) {
    switch (kind) {
    case BLY_PART_WIRE:
        return put(object, "turns", cJSON_CreateNumber(choice->count));
    case BLY_PART_SHEET:
        return (isnan(choice->thickness) || put_length(object, "thickness", choice->thickness)) &&
               (choice->filed == 0.0 || put_length(object, "filed", choice->filed));
    case BLY_PART_OUTLINE:
        return put_length(object, "length", choice->length);
    case BLY_PART_STRIP:
        return put_length(object, "length", choice->length) &&
               (choice->count == 1 || put(object, "layers", cJSON_CreateNumber(choice->count)));
    case BLY_PART_DOT:
        return put(object, "count", cJSON_CreateNumber(choice->count));
    default:
        return true;
    }
}

static cJSON *choice_to_json(const BlyChoice *choice, const BlySeat *seat) {
    cJSON *object = cJSON_CreateObject();
    bool good = object != NULL;
    for (int i = 0; good && i < BLY_PART_KINDS; i++) {
        BlyPartKind kind = (BlyPartKind)i;
        if (choice->of[i].part != NULL)
            good = put_piece(object, bly_part_kind_name(kind), &choice->of[i]) &&
                   put_measures(object, choice, kind);
    }
    if (good && !bly_choice_is_empty(choice) && seat->x_from != seat->x_to)
        good = put_length(object, "x", choice->x);
    if (good)
        return object;
    cJSON_Delete(object);
    return NULL;
}

static cJSON *member(const cJSON *object, const char *key) {
    return cJSON_GetObjectItemCaseSensitive(object, key);
}

/* "fitted" of the document, made right behind "seats" when it is not there: put last, and what
 * stood behind "seats" moved behind it one by one. */
static cJSON *fitted_of(cJSON *doc) {
    cJSON *fitted = member(doc, "fitted"), *seats = member(doc, "seats");
    if (fitted != NULL)
        return fitted;
    fitted = cJSON_CreateObject();
    if (fitted == NULL || !put(doc, "fitted", fitted))
        return NULL;
    while (seats != NULL && seats->next != fitted) {
        if (!cJSON_AddItemToArray(doc, cJSON_DetachItemViaPointer(doc, seats->next)))
            return NULL;
    }
    return fitted;
}

/* A seat that was open only because nothing sat there would close with its name under "fitted". */
static bool keep_open(cJSON *doc, const BlySeat *seat) {
    cJSON *entry = member(member(doc, "seats"), seat->name);
    if (entry == NULL || seat->open == 0 || member(entry, "open") != NULL)
        return true;
    return put(entry, "open", cJSON_CreateTrue());
}

/* cJSON 1.7.15 says nothing where it has no memory for the new value's name, and takes the value
 * all the same. */
bool build_replace(cJSON *object, const char *key, cJSON *value) {
    if (cJSON_ReplaceItemInObjectCaseSensitive(object, key, value))
        return value->string != NULL;
    cJSON_Delete(value);
    return false;
}

static bool write_choice(cJSON *doc, cJSON *fitted, const BlySeat *seat, const BlyChoice *choice) {
    cJSON *old = member(fitted, seat->name);
    if (bly_choice_is_empty(choice) && (seat->open != 0 || old == NULL)) {
        cJSON_DeleteItemFromObjectCaseSensitive(fitted, seat->name);
        return true;
    }
    cJSON *fresh = choice_to_json(choice, seat);
    if (fresh == NULL || !keep_open(doc, seat)) {
        cJSON_Delete(fresh);
        return false;
    }
    if (old == NULL)
        return put(fitted, seat->name, fresh);
    return build_replace(fitted, seat->name, fresh);
}

static bool write_rig(cJSON *doc, const BlyBuild *build, const BlyRig *rig) {
    cJSON *fitted = NULL;
    for (size_t i = 0; i < build->seat_count; i++) {
        if (same_choice(&rig->at[i], &build->fitted.at[i]))
            continue;
        if (fitted == NULL)
            fitted = fitted_of(doc);
        if (fitted == NULL || !write_choice(doc, fitted, &build->seats[i], &rig->at[i]))
            return false;
    }
    return true;
}

bool build_print(const cJSON *doc, char **text, BlyError *err) {
    BlyText out;
    bly_text_init(&out);
    bool good = bly_json_print(doc, &out, err) && bly_text_good(&out, err);
    *text = good ? bly_text_detach(&out) : NULL;
    bly_text_release(&out);
    return good;
}

bool bly_build_text_with_rig(const BlyBuild *build, const BlyRig *rig, char **text, BlyError *err) {
    *text = NULL;
    if (rig->count != build->seat_count)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "a rig of %zu seats for a build of %zu",
                        rig->count, build->seat_count);
    cJSON *doc = cJSON_Duplicate(build->doc, true);
    bool good = doc != NULL && write_rig(doc, build, rig);
    if (!good)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory to write the build");
    good = good && build_print(doc, text, err);
    cJSON_Delete(doc);
    return good;
}
