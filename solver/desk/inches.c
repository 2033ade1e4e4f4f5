/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/inches.h"

#include <stdlib.h>
#include <string.h>

#include "ballastry/units.h"
#include "json/json.h"
#include "text/text.h"

/* What a key of an object holds, and how near the new words are to the old, SI. */
typedef struct Measure {
    const char *key;
    BlyDimension dim;
    double within;
    bool up;
} Measure;

static const double inch = 0.0254;
enum { KEYS_MOST = 6 };
static const Measure water_keys[KEYS_MOST] = {{"temperature", BLY_DIM_TEMPERATURE, 0.05, false}};
static const Measure body_keys[KEYS_MOST] = {
    {"x", BLY_DIM_LENGTH, 0.0005, false},         {"diameter", BLY_DIM_LENGTH, 0.0005, false},
    {"width", BLY_DIM_LENGTH, 0.0005, false},     {"height", BLY_DIM_LENGTH, 0.0005, false},
    {"thickness", BLY_DIM_LENGTH, 0.0005, false},
};
static const Measure seat_keys[KEYS_MOST] = {
    {"x", BLY_DIM_LENGTH, 0.005, false},
    {"depth", BLY_DIM_LENGTH, 0.005, false},
    {"length", BLY_DIM_LENGTH, 0.005, false},
    {"width", BLY_DIM_LENGTH, 0.005, true},
};
static const Measure target_keys[KEYS_MOST] = {{"drift", BLY_DIM_SPEED, 0.05, false}};

static cJSON *member(const cJSON *object, const char *key) {
    return cJSON_GetObjectItemCaseSensitive(object, key);
}

static bool turn_one(cJSON *item, const Measure *m) {
    char text[BLY_QUANTITY_MAX];
    double si, within = m->dim == BLY_DIM_TEMPERATURE ? m->within : inch * m->within;
    if (!cJSON_IsString(item) || !bly_quantity_read(item->valuestring, m->dim, NULL, &si, NULL))
        return true;
    bly_quantity_within(m->up ? si + within : si, within, m->dim, BLY_INCH, text);
    return cJSON_SetValuestring(item, text) != NULL;
}

static bool turn_object(cJSON *object, const Measure keys[KEYS_MOST]) {
    bool good = true;
    for (const Measure *m = keys; good && m < keys + KEYS_MOST && m->key != NULL; m++) {
        cJSON *item = member(object, m->key);
        if (item == NULL)
            continue;
        good = turn_one(item, m);
        for (cJSON *one = cJSON_IsArray(item) ? item->child : NULL; good && one != NULL;
             one = one->next)
            good = turn_one(one, m);
    }
    return good;
}

/* Each of a list of objects; a name of a file is none. */
static bool turn_each(cJSON *list, const Measure keys[KEYS_MOST]) {
    bool good = true;
    for (cJSON *one = list != NULL ? list->child : NULL; good && one != NULL; one = one->next)
        good = turn_object(one, keys);
    return good;
}

static bool turn_build(const cJSON *doc) {
    const cJSON *body = member(doc, "body");
    return turn_object(member(doc, "water"), water_keys) &&
           turn_each(member(body, "stations"), body_keys) &&
           turn_each(member(body, "coats"), body_keys) &&
           turn_each(member(doc, "seats"), seat_keys) &&
           turn_object(member(doc, "target"), target_keys);
}

bool text_in_inches(char **text, BlyError *err) {
    cJSON *doc = bly_json_parse(*text, strlen(*text), err);
    BlyText out;
    bly_text_init(&out);
    bool good = doc != NULL;
    if (good && !turn_build(doc))
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the text");
    good = good && bly_json_print(doc, &out, err) && bly_text_good(&out, err);
    if (good) {
        free(*text);
        *text = bly_text_detach(&out);
    }
    bly_text_release(&out);
    cJSON_Delete(doc);
    return good;
}
