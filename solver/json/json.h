/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON read strictly, walked with a JSON Pointer at hand, and printed in one way; shared by the
 * rooms that know a format. The tree is cJSON's, the strictness is ours: the whole text must be one
 * value of RFC 8259, without doubled keys, broken UTF-8, NUL characters or numbers beyond a double.
 *
 * Errors: where is "line 3, column 7" while the text is not yet JSON, and a JSON Pointer (RFC 6901)
 * from then on. */
#ifndef BALLASTRY_JSON_JSON_H
#define BALLASTRY_JSON_JSON_H

#include "ballastry/units.h"
#include "text/text.h"

#include <cjson/cJSON.h>

#include <stdint.h>

enum { BLY_JSON_DEPTH_MAX = 64, BLY_JSON_NUMBER_MAX = 60, BLY_JSON_SIZE_MAX = 64 * 1024 * 1024 };

/* Reads `length` bytes as one JSON value. The tree belongs to the caller, who frees it with
 * cJSON_Delete. NULL on failure: BLY_E_SYNTAX with line and column, BLY_E_CONFLICT for a doubled
 * key, BLY_E_RANGE for a number beyond a double, or a text of more than BLY_JSON_SIZE_MAX bytes. A
 * byte order mark at the start is passed over. */
cJSON *bly_json_parse(const char *text, size_t length, BlyError *err) BLY_MUST_CHECK;

/* ---- walking ------------------------------------------------------------------------------ */

/* A value and the JSON Pointer to it. It points into the tree and is copied freely. node is NULL
 * where nothing is: an optional member that is absent, the end of a walk. A pointer too long for
 * `where` ends in "...". */
typedef struct BlyJson {
    const cJSON *node;
    size_t parent_length; /* of `where` without the last step */
    int index;            /* among its siblings */
    char where[BLY_WHERE_MAX];
} BlyJson;

BlyJson bly_json_root(const cJSON *tree);

/* Checks that it is an object whose every key is among `known`. An unknown one is refused with the
 * nearest known (BLY_E_UNKNOWN). known may be NULL: any key will do. */
bool bly_json_object(const BlyJson *at, const char *const *known, size_t count,
                     BlyError *err) BLY_MUST_CHECK;

/* Checks that it is an array with least to most members. */
bool bly_json_array(const BlyJson *at, size_t least, size_t most, BlyError *err) BLY_MUST_CHECK;

/* The member of an object; node is NULL when it is absent (or `object` is none). */
BlyJson bly_json_member(const BlyJson *object, const char *key);

/* The same where it must be there: BLY_E_MISSING at the object. */
bool bly_json_require(const BlyJson *object, const char *key, BlyJson *out,
                      BlyError *err) BLY_MUST_CHECK;

/* The members of an object or array in order:
 *     for (BlyJson m = bly_json_first(&at); m.node != NULL; bly_json_next(&m)) */
BlyJson bly_json_first(const BlyJson *parent);
void bly_json_next(BlyJson *member);
size_t bly_json_count(const BlyJson *parent);

/* The key of a member that was reached through an object, "" otherwise. */
const char *bly_json_key(const BlyJson *member);

/* Refuses the value at this place, for checks that a room makes itself. */
bool bly_json_refuse(const BlyJson *at, BlyCode code, BlyError *err, const char *fmt, ...)
    BLY_PRINTF(4, 5);

/* ---- values. Each leaves its output alone on failure; BLY_E_SYNTAX means "of another kind". - */

/* One printable line of 1 to `most` bytes. *out points into the tree. */
bool bly_json_string(const BlyJson *at, size_t most, const char **out,
                     BlyError *err) BLY_MUST_CHECK;

bool bly_json_bool(const BlyJson *at, bool *out, BlyError *err) BLY_MUST_CHECK;

/* A whole number from low to high, itself within +-2^53; "4.0" and "4e0" are whole too. */
bool bly_json_integer(const BlyJson *at, int64_t low, int64_t high, int64_t *out,
                      BlyError *err) BLY_MUST_CHECK;

/* A plain number from low to high. */
bool bly_json_number(const BlyJson *at, double low, double high, double *out,
                     BlyError *err) BLY_MUST_CHECK;

/* A string with a unit, or a bare number in bare_unit (as in bly_quantity_read), to SI. */
bool bly_json_quantity(const BlyJson *at, BlyDimension dim, const char *bare_unit, double *si,
                       BlyError *err) BLY_MUST_CHECK;

/* The same, from low to high in SI (BLY_E_RANGE with both named in words). Either may be infinite.
 */
bool json_quantity_between(const BlyJson *at, BlyDimension dim, const char *bare_unit, double low,
                           double high, double *si, BlyError *err) BLY_MUST_CHECK;

/* Two quantities [low, high] with low <= high. null for either leaves that side open (-INFINITY,
 * INFINITY), but not both. */
bool bly_json_pair(const BlyJson *at, BlyDimension dim, const char *bare_unit, double out[2],
                   BlyError *err) BLY_MUST_CHECK;

/* One of `words`; *index says which. */
bool bly_json_word(const BlyJson *at, const char *const *words, size_t count, size_t *index,
                   BlyError *err) BLY_MUST_CHECK;

/* ---- printing ----------------------------------------------------------------------------- */

/* Appends the tree: members in their order, indented by two, innermost arrays and objects on one
 * line where they fit, numbers with the fewest digits that read back, a newline at the end. Broken
 * UTF-8 becomes U+FFFD. BLY_E_INTERNAL with the pointer for a number that is not finite or a raw
 * node; BLY_E_MEMORY. What was appended before a failure is taken back. */
bool bly_json_print(const cJSON *tree, BlyText *out, BlyError *err) BLY_MUST_CHECK;

/* The same on one line without a blank outside the strings. */
bool bly_json_print_line(const cJSON *tree, BlyText *out, BlyError *err) BLY_MUST_CHECK;

/* Appends a string as JSON, with its quotes. */
void bly_json_print_string(const char *string, BlyText *out);

/* ---- building ------------------------------------------------------------------------------ */

/* Each returns false when memory ran out; NULL values count as that, so calls can be chained with
 * &&. */
cJSON *json_number(double value);                              /* 9 digits; not finite: null */
bool put_number(cJSON *object, const char *key, double value); /* the same */
bool put_text(cJSON *object, const char *key, const char *value);
bool put_bool(cJSON *object, const char *key, bool value);
bool put_tree(cJSON *object, const char *key, cJSON *tree); /* takes the tree in every case */
bool put_last(cJSON *list, cJSON *tree);                    /* so does this */
cJSON *json_finished(cJSON *tree, bool good);               /* the tree, or frees it and is NULL */
cJSON *json_error(const BlyError *err); /* kind, where and text; NULL without memory */

#endif
