/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One way to print a tree, over lines or on a single one. */
#include "json/json.h"
#include "text/quote.h"
#include "decimal/decimal.h"

#include <math.h>
#include <string.h>

enum { LINE_WIDTH = 100 };

typedef struct Printer {
    BlyText *out;
    BlyError *err;
} Printer;

void bly_json_print_string(const char *string, BlyText *out) {
    bly_text_append(out, "\"");
    while (*string != '\0') {
        size_t length = bly_utf8_length(string);
        unsigned char c = (unsigned char)*string;
        if (length == 0)
            bly_text_append(out, "\xEF\xBF\xBD"); /* U+FFFD */
        else if (c == '"' || c == '\\')
            bly_text_appendf(out, "\\%c", c);
        else if (c == '\n')
            bly_text_append(out, "\\n");
        else if (c == '\t')
            bly_text_append(out, "\\t");
        else if (c < 0x20 || c == 0x7F)
            bly_text_appendf(out, "\\u%04x", c);
        else
            bly_text_append_bytes(out, string, length);
        string += length > 0 ? length : 1;
    }
    bly_text_append(out, "\"");
}

static bool is_container(const cJSON *node) {
    return cJSON_IsObject(node) || cJSON_IsArray(node);
}

static bool print_scalar(const Printer *p, const BlyJson *at) {
    const cJSON *node = at->node;
    char number[BLY_NUMBER_MAX];
    if (cJSON_IsString(node)) {
        bly_json_print_string(node->valuestring, p->out);
    } else if (cJSON_IsNumber(node)) {
        if (!isfinite(node->valuedouble))
            return bly_json_refuse(at, BLY_E_INTERNAL, p->err, "a number that is not finite");
        bly_number_shortest(node->valuedouble, number);
        bly_text_append(p->out, number);
    } else if (cJSON_IsBool(node) || cJSON_IsNull(node)) {
        bly_text_append(p->out, cJSON_IsNull(node)   ? "null"
                                : cJSON_IsTrue(node) ? "true"
                                                     : "false");
    } else {
        return bly_json_refuse(at, BLY_E_INTERNAL, p->err, "a node of no JSON kind");
    }
    return true;
}

static void print_key(const Printer *p, const BlyJson *member, bool of_object) {
    if (!of_object)
        return;
    bly_json_print_string(bly_json_key(member), p->out);
    bly_text_append(p->out, ": ");
}

/* All members on this line, or nothing when they do not fit. The root always takes lines. */
static bool print_inline(const Printer *p, const BlyJson *at, size_t column, bool *done) {
    *done = false;
    const bool object = cJSON_IsObject(at->node);
    for (const cJSON *child = at->node->child; child != NULL; child = child->next) {
        if (is_container(child))
            return true;
    }
    const size_t start = p->out->length;
    bly_text_append(p->out, object ? "{ " : "[");
    for (BlyJson member = bly_json_first(at); member.node != NULL; bly_json_next(&member)) {
        if (member.index > 0)
            bly_text_append(p->out, ", ");
        print_key(p, &member, object);
        if (!print_scalar(p, &member))
            return false;
        if (column + (p->out->length - start) >= LINE_WIDTH) {
            bly_text_cut(p->out, start);
            return true;
        }
    }
    bly_text_append(p->out, object ? " }" : "]");
    *done = true;
    return true;
}

/* `column` is how much of the line is taken; `indent` where the closing bracket goes. */
static bool print_value(const Printer *p, const BlyJson *at, size_t indent, size_t column) {
    if (!is_container(at->node))
        return print_scalar(p, at);
    const bool object = cJSON_IsObject(at->node);
    if (at->node->child == NULL) {
        bly_text_append(p->out, object ? "{}" : "[]");
        return true;
    }
    bool done = false;
    if (indent > 0 && !print_inline(p, at, column, &done))
        return false;
    if (done)
        return true;
    bly_text_append(p->out, object ? "{" : "[");
    for (BlyJson member = bly_json_first(at); member.node != NULL; bly_json_next(&member)) {
        bly_text_append(p->out, member.index > 0 ? ",\n" : "\n");
        size_t line = p->out->length;
        bly_text_repeat(p->out, ' ', indent + 2);
        print_key(p, &member, object);
        if (!print_value(p, &member, indent + 2, p->out->length - line))
            return false;
    }
    bly_text_append(p->out, "\n");
    bly_text_repeat(p->out, ' ', indent);
    bly_text_append(p->out, object ? "}" : "]");
    return true;
}

static bool print_flat(const Printer *p, const BlyJson *at) {
    if (!is_container(at->node))
        return print_scalar(p, at);
    const bool object = cJSON_IsObject(at->node);
    bly_text_append(p->out, object ? "{" : "[");
    for (BlyJson member = bly_json_first(at); member.node != NULL; bly_json_next(&member)) {
        if (member.index > 0)
            bly_text_append(p->out, ",");
        if (object) {
            bly_json_print_string(bly_json_key(&member), p->out);
            bly_text_append(p->out, ":");
        }
        if (!print_flat(p, &member))
            return false;
    }
    bly_text_append(p->out, object ? "}" : "]");
    return true;
}

static bool print_document(const cJSON *tree, bool flat, BlyText *out, BlyError *err) {
    const Printer p = {.out = out, .err = err};
    const size_t start = out->length;
    BlyJson root = bly_json_root(tree);
    bool good = tree != NULL && (flat ? print_flat(&p, &root) : print_value(&p, &root, 0, 0));
    if (tree == NULL)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a document");
    bly_text_append(out, "\n");
    if (good)
        good = bly_text_good(out, err);
    if (!good)
        bly_text_cut(out, start);
    return good;
}

bool bly_json_print(const cJSON *tree, BlyText *out, BlyError *err) {
    return print_document(tree, false, out, err);
}

bool bly_json_print_line(const cJSON *tree, BlyText *out, BlyError *err) {
    return print_document(tree, true, out, err);
}
