/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Typed values out of a tree. */
#include "json/json.h"
#include "json/words.h"
#include "decimal/decimal.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* What is there, for "expected ..., found ...". */
static const char *found(const BlyJson *at) {
    const cJSON *node = at->node;
    return node == NULL           ? "nothing"
           : cJSON_IsObject(node) ? "an object"
           : cJSON_IsArray(node)  ? "an array"
           : cJSON_IsString(node) ? "a text"
           : cJSON_IsNumber(node) ? "a number"
           : cJSON_IsBool(node)   ? (cJSON_IsTrue(node) ? "true" : "false")
           : cJSON_IsNull(node)   ? "null"
                                  : "something else";
}

static bool refuse_kind(const BlyJson *at, const char *expected, BlyError *err) {
    return bly_json_refuse(at, at->node == NULL ? BLY_E_MISSING : BLY_E_SYNTAX, err,
                           "expected %s, found %s", expected, found(at));
}

bool bly_json_string(const BlyJson *at, size_t most, const char **out, BlyError *err) {
    if (at->node == NULL || !cJSON_IsString(at->node))
        return refuse_kind(at, "a text", err);
    const char *text = at->node->valuestring;
    size_t length = strlen(text);
    if (length == 0)
        return bly_json_refuse(at, BLY_E_RANGE, err, "the text is empty");
    if (length > most)
        return bly_json_refuse(at, BLY_E_RANGE, err,
                               "the text has %zu bytes, at most %zu are allowed", length, most);
    for (const char *c = text; *c != '\0'; c++) {
        unsigned char byte = (unsigned char)*c;
        if (byte < 0x20 || byte == 0x7F)
            return bly_json_refuse(at, BLY_E_RANGE, err,
                                   "the text holds a control character (code %u)", (unsigned)byte);
    }
    *out = text;
    return true;
}

bool bly_json_bool(const BlyJson *at, bool *out, BlyError *err) {
    if (at->node == NULL || !cJSON_IsBool(at->node))
        return refuse_kind(at, "true or false", err);
    *out = cJSON_IsTrue(at->node);
    return true;
}

bool bly_json_integer(const BlyJson *at, int64_t low, int64_t high, int64_t *out, BlyError *err) {
    if (at->node == NULL || !cJSON_IsNumber(at->node))
        return refuse_kind(at, "a whole number", err);
    double value = at->node->valuedouble;
    if (!(fabs(value) <= 0x1p53) || value != floor(value))
        return bly_json_refuse(at, BLY_E_RANGE, err, "expected a whole number");
    if ((int64_t)value < low || (int64_t)value > high)
        return bly_json_refuse(at, BLY_E_RANGE, err,
                               "%" PRId64 " lies outside %" PRId64 " to %" PRId64, (int64_t)value,
                               low, high);
    *out = (int64_t)value;
    return true;
}

bool bly_json_number(const BlyJson *at, double low, double high, double *out, BlyError *err) {
    if (at->node == NULL || !cJSON_IsNumber(at->node))
        return refuse_kind(at, "a number", err);
    double value = at->node->valuedouble;
    if (!(value >= low && value <= high)) {
        char is[BLY_NUMBER_MAX], from[BLY_NUMBER_MAX], to[BLY_NUMBER_MAX];
        bly_number_shortest(value, is);
        bly_number_shortest(low, from);
        bly_number_shortest(high, to);
        return bly_json_refuse(at, BLY_E_RANGE, err, "%s lies outside %s to %s", is, from, to);
    }
    *out = value;
    return true;
}

bool bly_json_quantity(const BlyJson *at, BlyDimension dim, const char *bare_unit, double *si,
                       BlyError *err) {
    char number[BLY_NUMBER_MAX];
    const char *text = NULL;
    if (at->node != NULL && cJSON_IsString(at->node)) {
        text = at->node->valuestring;
    } else if (at->node != NULL && cJSON_IsNumber(at->node)) {
        bly_number_shortest(at->node->valuedouble, number);
        text = number;
    } else {
        return refuse_kind(at, bly_dimension_words(dim), err);
    }
    BlyError deeper = {0};
    if (bly_quantity_read(text, dim, bare_unit, si, &deeper))
        return true;
    return bly_json_refuse(at, deeper.code, err, "%s", deeper.text); /* the pointer says where */
}

/* "0 mm to 500 mm", "at least 0 mm": the side that is open is not named. */
static void name_range(double low, double high, BlyDimension dim, char *out, size_t size) {
    char from[BLY_QUANTITY_MAX], to[BLY_QUANTITY_MAX];
    bly_quantity_exact(low, dim, BLY_METRIC, from);
    bly_quantity_exact(high, dim, BLY_METRIC, to);
    if (!isfinite(high))
        (void)snprintf(out, size, "expected at least %s", from);
    else if (!isfinite(low))
        (void)snprintf(out, size, "expected at most %s", to);
    else
        (void)snprintf(out, size, "expected %s to %s", from, to);
}

bool json_quantity_between(const BlyJson *at, BlyDimension dim, const char *bare_unit, double low,
                           double high, double *si, BlyError *err) {
    double value;
    if (!bly_json_quantity(at, dim, bare_unit, &value, err))
        return false;
    if (!(value >= low && value <= high)) {
        char range[2 * BLY_QUANTITY_MAX + 32], is[BLY_QUANTITY_MAX];
        name_range(low, high, dim, range, sizeof range);
        bly_quantity_exact(value, dim, BLY_METRIC, is);
        return bly_json_refuse(at, BLY_E_RANGE, err, "%s is out of range; %s", is, range);
    }
    *si = value;
    return true;
}

bool bly_json_pair(const BlyJson *at, BlyDimension dim, const char *bare_unit, double out[2],
                   BlyError *err) {
    if (at->node == NULL || !cJSON_IsArray(at->node) || bly_json_count(at) != 2)
        return bly_json_refuse(at, BLY_E_SYNTAX, err, "expected [low, high], each %s",
                               bly_dimension_words(dim));
    double value[2] = {-INFINITY, INFINITY};
    for (BlyJson side = bly_json_first(at); side.node != NULL; bly_json_next(&side)) {
        if (!cJSON_IsNull(side.node) &&
            !bly_json_quantity(&side, dim, bare_unit, &value[side.index], err))
            return false;
    }
    if (isinf(value[0]) && isinf(value[1]))
        return bly_json_refuse(at, BLY_E_MISSING, err, "one of low and high must be given");
    if (value[0] > value[1]) {
        char low[BLY_QUANTITY_MAX], high[BLY_QUANTITY_MAX];
        bly_quantity_exact(value[0], dim, BLY_METRIC, low);
        bly_quantity_exact(value[1], dim, BLY_METRIC, high);
        return bly_json_refuse(at, BLY_E_RANGE, err, "low (%s) is above high (%s)", low, high);
    }
    memcpy(out, value, sizeof value);
    return true;
}

bool bly_json_word(const BlyJson *at, const char *const *words, size_t count, size_t *index,
                   BlyError *err) {
    const char *word;
    if (at->node == NULL || !cJSON_IsString(at->node))
        return refuse_kind(at, "a word", err);
    word = at->node->valuestring;
    for (size_t i = 0; i < count; i++) {
        if (strcmp(word, words[i]) == 0) {
            *index = i;
            return true;
        }
    }
    return json_unknown_word(at, "choice", word, words, count, err);
}
