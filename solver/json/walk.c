/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Places in a tree, with their JSON Pointer (RFC 6901). */
#include "json/json.h"
#include "json/words.h"
#include "text/format.h"
#include "text/near.h"
#include "text/quote.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Adds one step to the pointer: '~' and '/' escaped, what does not print as '?'. */
static void add_step(char *where, size_t parent_length, const char *step) {
    const size_t room = BLY_WHERE_MAX - sizeof "...";
    size_t used = parent_length;
    bool fits = used < room;
    if (fits)
        where[used++] = '/';
    for (; *step != '\0' && fits;) {
        size_t length = bly_utf8_length(step), n = length > 0 ? length : 1;
        unsigned char c = (unsigned char)*step;
        fits = used + 4 <= room;
        if (!fits)
            break;
        if (c == '~' || c == '/') {
            where[used++] = '~';
            where[used++] = c == '~' ? '0' : '1';
        } else if (length == 0 || c < 0x20 || c == 0x7F) {
            where[used++] = '?';
        } else {
            memcpy(where + used, step, n);
            used += n;
        }
        step += n;
    }
    if (!fits && parent_length < room) {
        memcpy(where + used, "...", 3);
        used += 3;
    }
    where[used] = '\0';
}

static void name_place(BlyJson *at) {
    char number[16];
    if (at->node == NULL)
        return;
    (void)snprintf(number, sizeof number, "%d", at->index);
    add_step(at->where, at->parent_length, at->node->string != NULL ? at->node->string : number);
}

BlyJson bly_json_root(const cJSON *tree) {
    return (BlyJson){.node = tree};
}

static bool is_container(const BlyJson *at) {
    return at->node != NULL && (cJSON_IsObject(at->node) || cJSON_IsArray(at->node));
}

/* A member's place without its node yet. */
static BlyJson inside(const BlyJson *parent) {
    BlyJson at = {.parent_length = strlen(parent->where)};
    memcpy(at.where, parent->where, at.parent_length + 1);
    return at;
}

BlyJson bly_json_first(const BlyJson *parent) {
    BlyJson at = inside(parent);
    if (is_container(parent))
        at.node = parent->node->child;
    name_place(&at);
    return at;
}

void bly_json_next(BlyJson *member) {
    member->node = member->node->next;
    member->index++;
    name_place(member);
}

size_t bly_json_count(const BlyJson *parent) {
    size_t count = 0;
    if (is_container(parent)) {
        for (const cJSON *child = parent->node->child; child != NULL; child = child->next)
            count++;
    }
    return count;
}

const char *bly_json_key(const BlyJson *member) {
    return member->node != NULL && member->node->string != NULL ? member->node->string : "";
}

BlyJson bly_json_member(const BlyJson *object, const char *key) {
    BlyJson at = inside(object);
    if (object->node != NULL && cJSON_IsObject(object->node))
        at.node = cJSON_GetObjectItemCaseSensitive(object->node, key);
    add_step(at.where, at.parent_length, key);
    return at;
}

bool bly_json_refuse(const BlyJson *at, BlyCode code, BlyError *err, const char *fmt, ...) {
    char text[BLY_TEXT_MAX];
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(text, sizeof text, fmt, args);
    va_end(args);
    return bly_fail(err, code, at->where, "%s", text);
}

bool bly_json_require(const BlyJson *object, const char *key, BlyJson *out, BlyError *err) {
    BlyJson at = bly_json_member(object, key);
    if (at.node == NULL)
        return bly_json_refuse(object, BLY_E_MISSING, err, "\"%s\" is missing", key);
    *out = at;
    return true;
}

/* "name, water, body" as far as it fits. */
static void list_words(const char *const *words, size_t count, char *out, size_t size) {
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < count; i++) {
        size_t need = strlen(words[i]) + 2;
        if (used + need + sizeof "..." > size) {
            (void)snprintf(out + used, size - used, "...");
            return;
        }
        used +=
            (size_t)snprintf(out + used, size - used, "%s%s", words[i], i + 1 < count ? ", " : "");
    }
}

bool json_unknown_word(const BlyJson *at, const char *what, const char *word,
                       const char *const *words, size_t count, BlyError *err) {
    char quoted[BLY_QUOTE_MAX], list[220];
    bly_quote(word, quoted);
    const char *near = bly_near(word, words, count);
    if (near != NULL)
        return bly_json_refuse(at, BLY_E_UNKNOWN, err, "unknown %s \"%s\"; did you mean \"%s\"?",
                               what, quoted, near);
    list_words(words, count, list, sizeof list);
    return bly_json_refuse(at, BLY_E_UNKNOWN, err, "unknown %s \"%s\"; known: %s", what, quoted,
                           list);
}

bool bly_json_object(const BlyJson *at, const char *const *known, size_t count, BlyError *err) {
    if (at->node == NULL || !cJSON_IsObject(at->node))
        return bly_json_refuse(at, BLY_E_SYNTAX, err, "expected an object { ... }");
    for (BlyJson member = bly_json_first(at); member.node != NULL && known != NULL;
         bly_json_next(&member)) {
        const char *key = bly_json_key(&member);
        size_t i = 0;
        while (i < count && strcmp(known[i], key) != 0)
            i++;
        if (i == count)
            return json_unknown_word(&member, "key", key, known, count, err);
    }
    return true;
}

bool bly_json_array(const BlyJson *at, size_t least, size_t most, BlyError *err) {
    if (at->node == NULL || !cJSON_IsArray(at->node))
        return bly_json_refuse(at, BLY_E_SYNTAX, err, "expected an array [ ... ]");
    size_t count = bly_json_count(at);
    if (count < least)
        return bly_json_refuse(at, BLY_E_RANGE, err, "holds %zu, expected at least %zu", count,
                               least);
    if (count > most)
        return bly_json_refuse(at, BLY_E_RANGE, err, "holds %zu, expected at most %zu", count,
                               most);
    return true;
}
