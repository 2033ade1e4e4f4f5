/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Trees built in one chain of calls. */
#include "json/json.h"
#include "text/format.h"

#include <math.h>

cJSON *json_number(double value) {
    if (!isfinite(value))
        return cJSON_CreateNull();
    char text[32];
    (void)bly_format(text, sizeof text, "%.9g", value);
    double rounded = bly_read_double(text, NULL);
    return cJSON_CreateNumber(rounded == 0 ? 0 : rounded);
}

bool put_number(cJSON *object, const char *key, double value) {
    return put_tree(object, key, json_number(value));
}

cJSON *json_finished(cJSON *tree, bool good) {
    if (good)
        return tree;
    cJSON_Delete(tree);
    return NULL;
}

bool put_text(cJSON *object, const char *key, const char *value) {
    return cJSON_AddStringToObject(object, key, value) != NULL;
}

bool put_bool(cJSON *object, const char *key, bool value) {
    return cJSON_AddBoolToObject(object, key, value) != NULL;
}

bool put_tree(cJSON *object, const char *key, cJSON *tree) {
    if (tree == NULL)
        return false;
    if (cJSON_AddItemToObject(object, key, tree))
        return true;
    cJSON_Delete(tree);
    return false;
}

bool put_last(cJSON *list, cJSON *tree) {
    if (tree != NULL && cJSON_AddItemToArray(list, tree))
        return true;
    cJSON_Delete(tree);
    return false;
}

cJSON *json_error(const BlyError *err) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_text(o, "kind", bly_code_words(err->code)) &&
                                put_text(o, "where", err->where) && put_text(o, "text", err->text));
}
